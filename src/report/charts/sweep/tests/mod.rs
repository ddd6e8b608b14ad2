//! Every picture of every study, however odd: no text over another, nothing outside, sound in both
//! formats.

mod look;
mod marks;
mod odd;

use super::super::{Pictures, draw};
use super::*;
use crate::report::out::OutputFolder;
use crate::service::measure::{Measure, MeasureInfo};
use crate::study::swept::{Cell, Factor, Target};
use examples::{
    MEASURES, evening, landing, loaders, numbers, of, study, tunnel, with_swings, words,
};

/// All pictures of a study, kind by kind, after looking at each.
fn drawn(swept: &Swept) -> Vec<(&'static str, Scene)> {
    let mesh = Mesh::of(swept);
    let views = (0..swept.measures.len()).filter_map(|m| View::new(swept, m, Units::Metric));
    let all: Vec<_> = views
        .flat_map(|view| scenes(&view, mesh.as_ref()))
        .collect();
    for (kind, scene) in &all {
        look(kind, scene);
    }
    all
}

/// No text over another and nothing outside the picture.
fn look(kind: &str, scene: &Scene) {
    let boxes = scene.boxes();
    for (i, (text, a)) in boxes.iter().enumerate() {
        let is_inside = a[0] >= 0.0 && a[1] >= 0.0 && a[2] <= 1200.0 && a[3] <= 675.0;
        assert!(is_inside, "{kind}: {text:?} at {a:?}");
        assert!(!text.contains("NaN") && !text.contains("inf"), "{text}");
        for (other, b) in &boxes[..i] {
            let is_apart = a[2] <= b[0] || b[2] <= a[0] || a[3] <= b[1] || b[3] <= a[1];
            assert!(is_apart, "{kind}: {text:?} {a:?} over {other:?} {b:?}");
        }
    }
    for (x, y) in scene.corners() {
        let is_inside = (0.0..=1200.0).contains(&x) && (0.0..=675.0).contains(&y);
        assert!(is_inside, "{kind}: {x} {y}");
    }
}

fn kinds(swept: &Swept) -> Vec<&'static str> {
    let mut kinds: Vec<_> = drawn(swept).into_iter().map(|(kind, _)| kind).collect();
    kinds.dedup();
    kinds
}

/// The texts of the first picture.
fn texts(swept: &Swept) -> Vec<String> {
    let all = drawn(swept);
    let boxes = all[0].1.boxes();
    boxes.into_iter().map(|(text, _)| text.to_owned()).collect()
}

fn says(swept: &Swept, part: &str) -> bool {
    texts(swept).join(" ").contains(part)
}

pub fn sites(count: usize) -> Factor {
    let names: Vec<String> = (0..count)
        .map(|i| format!("site {i} of the harbour"))
        .collect();
    words(
        "site",
        &names.iter().map(String::as_str).collect::<Vec<_>>(),
    )
}

pub fn steps(name: &str, count: u32) -> Factor {
    numbers(
        name,
        "m",
        &(0..count)
            .map(|i| 1.0 + 0.05 * f64::from(i))
            .collect::<Vec<_>>(),
    )
}

/// All means replaced.
fn bent(mut swept: Swept, change: impl Fn(usize, f64) -> Option<f64>) -> Swept {
    for (i, cells) in swept.cells.iter_mut().enumerate() {
        for cell in cells {
            cell.mean = cell.mean.and_then(|v| change(i, v));
            cell.half_width = cell.half_width.and(cell.mean.map(|v| 0.05 * v.abs()));
        }
    }
    for swing in &mut swept.swings {
        for (i, cell) in [&mut swing.at_base, &mut swing.at_low, &mut swing.at_high]
            .into_iter()
            .enumerate()
        {
            cell.mean = cell.mean.and_then(|v| change(i, v));
        }
    }
    swept
}

#[test]
fn the_picture_follows_the_number_of_factors() {
    assert_eq!(kinds(&of(vec![tunnel()])), ["curve"]);
    assert_eq!(kinds(&of(vec![loaders(), tunnel()])), ["heat-map"]);
    assert_eq!(kinds(&of(vec![loaders(), tunnel(), landing()])), ["panels"]);
    let four = of(vec![
        loaders(),
        tunnel(),
        landing(),
        words("rack", &["small", "large"]),
    ]);
    assert_eq!(kinds(&four), ["factors"]);
    let fixed = of(vec![numbers("loaders", "", &[2.0]), tunnel()]);
    assert_eq!(kinds(&fixed), ["curve"]);
    assert!(says(&fixed, "Loaders: 2."));
    let swung = with_swings(of(vec![loaders(), tunnel()]));
    assert_eq!(
        drawn(&swung)
            .iter()
            .filter(|(kind, _)| *kind == "tornado")
            .count(),
        MEASURES.len()
    );
}

/// The target of the example is 3 %: cells of a smaller mean are outlined, and only those.
#[test]
fn targets_are_outlined_or_said_to_be_out_of_reach() {
    let swept = of(vec![loaders(), tunnel()]);
    assert!(says(
        &swept,
        "Outlined: the mean meets the target, at most 3 %."
    ));
    let view = View::new(&swept, 0, Units::Metric).unwrap();
    let kept = (0..swept.points.len()).filter(|p| view.keeps(*p));
    let kept: Vec<f64> = kept.filter_map(|p| swept.cells[p][0].mean).collect();
    assert!(!kept.is_empty() && kept.iter().all(|mean| *mean <= 0.03));
    let far = bent(swept.clone(), |_, _| Some(0.5));
    assert!(says(&far, "No cell meets the target, at most 3 %."));
    // A measure without a target of its own shows where all those of the study are met.
    let cost = View::new(&swept, 4, Units::Metric).unwrap();
    for point in 0..swept.points.len() {
        let both =
            [(0, 0.03), (3, 45.0)].map(|(m, most)| swept.cells[point][m].mean.unwrap() <= most);
        assert_eq!(cost.keeps(point), both == [true, true]);
    }
    let mut curve = of(vec![tunnel()]);
    assert!(says(&curve, "at most 3 %"));
    curve.targets[0].at_most = Some(0.9);
    assert!(says(
        &curve,
        "The target, at most 90 %, lies above the picture."
    ));
    let targets = [0.0301, 0.0302, 0.0303, 0.004, 0.0041].map(|bound| Target {
        measure: 0,
        at_most: Some(bound),
        at_least: Some(0.5 * bound),
        in_share: None,
    });
    curve.targets = targets.to_vec();
    drawn(&curve);
}

/// No more digits than the half-width supports, and a half-width never printed as 0.
#[test]
fn values_in_the_cells_have_the_digits_of_their_intervals() {
    let swept = of(vec![loaders(), tunnel()]);
    let view = View::new(&swept, 0, Units::Metric).unwrap();
    let cases = [
        (12.345, Some(0.6), "12.3", Some("±0.6")),
        (12.345, Some(3.0), "12", Some("±3")),
        (12.345, None, "12.35", None),
        (12.345, Some(0.0), "12.35", None),
        (1_234_567.0, Some(40_000.0), "1.23 m", Some("±40,000")),
        (-0.001, Some(1e-6), "-0.001", Some("±<0.001")),
    ];
    for (mean, half, number, spread) in cases {
        assert_eq!(view.number(mean, half), number);
        assert_eq!(view.plus_minus(half).as_deref(), spread);
    }
}

#[test]
fn the_largest_swing_stands_first_and_luck_is_pale() {
    let swept = with_swings(of(vec![loaders(), tunnel(), landing()]));
    let (_, scene) = drawn(&swept)
        .into_iter()
        .find(|(kind, _)| *kind == "tornado")
        .unwrap();
    let texts: Vec<String> = scene
        .boxes()
        .into_iter()
        .map(|(t, _)| t.to_owned())
        .collect();
    let place = |name: &str| texts.iter().position(|t| t == name).unwrap();
    let swing = |factor: usize| {
        let s = swept
            .swings
            .iter()
            .find(|s| s.factor == factor && s.measure == 0)
            .unwrap();
        let ends = [s.at_low, s.at_base, s.at_high].map(|c| c.mean.unwrap());
        ends.into_iter().fold(f64::MIN, f64::max) - ends.into_iter().fold(f64::MAX, f64::min)
    };
    let mut names = [
        (swing(0), "Loaders"),
        (swing(1), "Tunnel length"),
        (swing(2), "Landing length"),
    ];
    names.sort_by(|a, b| b.0.total_cmp(&a.0));
    assert!(place(names[0].1) < place(names[1].1) && place(names[1].1) < place(names[2].1));
    assert!(texts.iter().any(|t| t.starts_with("base: ")));
}

fn leaked(name: &str) -> &'static MeasureInfo {
    let mut info = *Measure::Cost.info();
    info.name = Box::leak(name.to_owned().into_boxed_str());
    Box::leak(Box::new(info))
}

#[test]
fn names_are_safe_for_files_and_each_is_its_own() {
    let mut swept = of(vec![tunnel()]);
    let odd = ["../up/a:b*?", "../up/a:b*?", "", "CON", &"x".repeat(300)];
    swept.measures = odd.map(leaked).to_vec();
    let stems = stems(&swept);
    assert_eq!(stems[..4], ["up-a-b", "up-a-b-2", "measure", "con"]);
    assert_eq!(stems[4].len(), 60);
}

#[test]
fn files_come_in_both_formats_and_are_sound() {
    let root = tempfile::tempdir().unwrap();
    let folder = OutputFolder::open(root.path()).unwrap();
    let swept = with_swings(of(vec![loaders(), tunnel()]));
    let paths = draw(&of_sweep(&swept, Units::Metric), Pictures::Both, &folder).unwrap();
    folder.keep().unwrap();
    assert_eq!(paths.len(), 4 * MEASURES.len());
    assert_eq!(
        paths[0],
        root.path().join("charts/dried-on-share-heat-map.svg")
    );
    for path in paths {
        crate::report::charts::tests::check(&path);
    }
}

/// The same study gives the same bytes.
#[test]
fn drawing_twice_gives_the_same() {
    let swept = with_swings(of(vec![loaders(), tunnel(), landing()]));
    let all = || -> Vec<String> {
        drawn(&swept)
            .iter()
            .map(|(_, s)| s.svg().unwrap())
            .collect()
    };
    assert_eq!(all(), all());
}
