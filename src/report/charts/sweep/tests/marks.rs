//! What a picture of a study must show, and what it must not.

use super::*;
use crate::study::swept::Swing;

/// Numbers along the axes.
fn ticks(scene: &Scene) -> Vec<f64> {
    let boxes = scene.boxes();
    let texts = boxes.iter().map(|(text, _)| text.replace(',', ""));
    texts.filter_map(|text| text.parse().ok()).collect()
}

fn kind<'a>(all: &'a [(&'static str, Scene)], wanted: &str) -> Vec<&'a Scene> {
    let of = all.iter().filter(|(kind, _)| *kind == wanted);
    of.map(|(_, scene)| scene).collect()
}

fn read(scene: &Scene) -> String {
    let boxes = scene.boxes();
    let texts: Vec<&str> = boxes.iter().map(|(text, _)| *text).collect();
    texts.join(" ")
}

/// Wide intervals of few evenings reach below nothing: covers, minutes and money do not, nor shares above all.
#[test]
fn no_axis_goes_below_what_cannot_be_negative() {
    for factor in [tunnel(), words("crew", &["as it is", "one more"])] {
        let mut swept = with_swings(of(vec![factor]));
        swept
            .measures
            .retain(|info| !info.name.ends_with("_after_close"));
        swept.swings.retain(|swing| swing.measure != 3);
        for cells in &mut swept.cells {
            cells.remove(3);
            cells
                .iter_mut()
                .for_each(|cell| cell.half_width = cell.mean.map(|v| 20.0 * v));
        }
        let wide = |swing: &mut Swing| swing.low_half_width = swing.at_base.mean.map(|v| 20.0 * v);
        swept.swings.iter_mut().for_each(wide);
        swept
            .swings
            .iter_mut()
            .for_each(|swing| swing.measure -= usize::from(swing.measure > 3));
        swept.targets.truncate(1);
        for (kind, scene) in drawn(&swept) {
            let ticks = ticks(&scene);
            assert!(ticks.iter().all(|tick| *tick >= 0.0), "{kind}: {ticks:?}");
        }
    }
    // Before closing is negative.
    let before = bent(of(vec![tunnel()]), |_, _| Some(-30.0));
    assert!(ticks(&drawn(&before)[3].1).iter().any(|tick| *tick < 0.0));
}

#[test]
fn names_that_are_alike_are_cut_where_they_are_alike() {
    let long = "one more of those who scrape and load on every Friday and Saturday from";
    let names = ["18:00 to the end", "19:00 to the end"].map(|end| format!("{long} {end}"));
    let crew = || words("crew", &[&names[0], &names[1], "as it is"]);
    let swept = with_swings(of(vec![crew(), tunnel()]));
    let all = drawn(&swept);
    let map = read(kind(&all, "heat-map")[0]);
    assert!(map.contains("…18:00") && map.contains("…19:00"), "{map}");
    let mut two = with_swings(of(vec![words("crew", &[&names[0], &names[1]]), tunnel()]));
    two.swings.retain(|swing| swing.factor == 0);
    let all = drawn(&two);
    let tornado = read(kind(&all, "tornado")[0]);
    assert!(
        tornado.contains("…18:00") && tornado.contains("…19:00"),
        "{tornado}"
    );
}

/// Levels of words are neither low nor high.
#[test]
fn a_tornado_of_names_says_the_names() {
    let of_kind = |factor| {
        let all = drawn(&with_swings(of(vec![factor, loaders()])));
        read(kind(&all, "tornado")[0])
    };
    let mut swept = with_swings(of(vec![words("crew", &["early", "late"]), loaders()]));
    swept.swings.retain(|swing| swing.factor == 0);
    let all = drawn(&swept);
    let names = read(kind(&all, "tornado")[0]);
    assert!(
        names.contains("the two levels named") && !names.contains("low level"),
        "{names}"
    );
    assert!(
        names.contains("early: ") && names.contains("late: "),
        "{names}"
    );
    assert!(of_kind(tunnel()).contains("Orange: its low level."));
}

#[test]
fn a_tornado_shows_the_target_and_nothing_that_moves_nothing() {
    let swept = with_swings(of(vec![loaders(), tunnel()]));
    let all = drawn(&swept);
    let tornadoes = kind(&all, "tornado");
    assert!(read(tornadoes[0]).contains("Orange line: the target, at most 3 %."));
    assert!(tornadoes[0].svg().unwrap().contains("stroke=\"#D55E00\""));
    assert!(!read(tornadoes[4]).contains("Orange line"));
    let mut still = bent(swept, |_, _| Some(7.0));
    for swing in &mut still.swings {
        (swing.low_half_width, swing.high_half_width) = (Some(0.0), Some(0.0));
    }
    let all = drawn(&still);
    let text = read(kind(&all, "tornado")[4]);
    assert!(text.contains("No factor moves it: "), "{text}");
}

#[test]
fn nothing_dried_on_is_said_instead_of_an_empty_axis() {
    for factors in [
        vec![tunnel()],
        vec![loaders(), tunnel(), landing(), words("rack", &["a", "b"])],
    ] {
        let none = bent(of(factors), |_, _| Some(0.0));
        let all = drawn(&none);
        assert!(read(&all[0].1).contains("Nothing dried on at any design point."));
        assert!(ticks(&all[0].1).is_empty());
    }
}

#[test]
fn of_many_sites_the_first_and_the_last_are_named() {
    let swept = of(vec![sites(400), loaders()]);
    let all = drawn(&swept);
    let text = read(&all[4].1);
    // The cost rises with the place of the site among the levels.
    let is_named = |i: &usize| text.contains(&format!("site {i} of"));
    let named: Vec<usize> = (0..400).filter(is_named).collect();
    assert!(
        named.len() == 2 && named[0] < 9 && named[1] > 390,
        "{named:?}"
    );
}

/// Thirty points of a latin hypercube: what moves nothing has no curve with peaks.
#[test]
fn a_sampled_factor_that_does_nothing_has_no_peak() {
    let factors: Vec<Factor> = ["energy price", "landing"]
        .map(|name| steps(name, 30))
        .to_vec();
    let points: Vec<Vec<usize>> = (0..30_usize).map(|i| vec![i, i * 7 % 30]).collect();
    let luck = |s: &[f64]| (libm::sin(1000.0 * s[0]) + 1.5) * 0.02;
    let of = |trend: f64| {
        let mean = |m: Measure, s: &[f64]| match m {
            Measure::DriedOnShare => Some(luck(s) + trend * s[1]),
            _ => Some(1.0),
        };
        let swept = study(factors.clone(), points.clone(), &MEASURES, mean);
        Mesh::of(&swept).is_none().then(|| drawn(&swept)).unwrap()
    };
    let flat = of(0.0);
    assert!(read(&flat[0].1).contains("Dashed: no trend beyond chance."));
    // One dashed line per panel, and no curve.
    let svg = flat[0].1.svg().unwrap();
    let curves = svg.matches("fill=\"none\"").count();
    let steep = of(1.0);
    let text = read(&steep[0].1);
    assert!(text.find("Landing") < text.find("Energy price"), "{text}");
    assert!(curves > 0 && steep[0].1.svg().unwrap() != svg);
}

/// A triangle on every axis whose factor has the base among its levels, or within its range.
#[test]
fn the_base_is_marked() {
    let based = |mut factor: Factor, at: usize| {
        factor.base = factor.levels.get(at).cloned();
        factor
    };
    let crews = || words("crew", &["as it is", "one more"]);
    for factors in [
        vec![based(tunnel(), 2)],
        vec![based(crews(), 0)],
        vec![based(loaders(), 1), tunnel()],
        vec![based(crews(), 0), loaders()],
        vec![based(loaders(), 1), tunnel(), landing(), crews()],
    ] {
        let all = drawn(&of(factors.clone()));
        assert!(read(&all[0].1).contains("Triangle: the base."));
        let without: Vec<Factor> = factors.iter().map(|f| based(f.clone(), 99)).collect();
        let plain = drawn(&of(without));
        assert!(!read(&plain[0].1).contains("the base"));
        assert_eq!(all[0].1.corners().len(), plain[0].1.corners().len() + 3);
    }
}

/// A point some of whose evenings were cut off looks cheap: it is crossed in every kind of picture.
#[test]
fn unfinished_design_points_are_crossed() {
    for factors in [
        vec![tunnel()],
        vec![words("crew", &["as it is", "one more"])],
        vec![loaders(), tunnel()],
        vec![loaders(), tunnel(), landing()],
        vec![loaders(), tunnel(), landing(), words("rack", &["a", "b"])],
    ] {
        let mut swept = of(factors);
        let svg = |swept: &Swept| drawn(swept)[0].1.svg().unwrap().matches("#A50F15").count();
        assert_eq!(svg(&swept), 0);
        swept.unfinished = vec![false; swept.points.len()];
        swept.unfinished[1] = true;
        let crosses = svg(&swept);
        assert!(crosses >= 2, "{crosses}");
        assert!(says(&swept, "Cross: unsafe or unfinished, 1 point."));
    }
}

/// A study of costs that are known to the last digit.
fn exact(
    factors: Vec<Factor>,
    points: Vec<Vec<usize>>,
    cost: impl Fn(Measure, &[f64]) -> Option<f64>,
) -> Swept {
    let mut swept = study(factors, points, &[Measure::Cost], cost);
    let cells = swept.cells.iter_mut().flatten();
    cells.for_each(|cell| cell.half_width = None);
    swept
}

/// What one factor does is no peak of another that happens to go with it: the price that a thing costs at has no
/// valley where the points had low wages.
#[test]
fn what_one_sampled_factor_does_is_not_shown_of_another() {
    let factors: Vec<Factor> = ["landing", "wage"].map(|name| steps(name, 30)).to_vec();
    // Low wages come up in the middle of the landings.
    let wage = |i: usize| match i {
        0..15 => 2 * (14 - i) + 1,
        _ => 2 * (i - 15),
    };
    let points: Vec<Vec<usize>> = (0..30_usize).map(|i| vec![i, wage(i)]).collect();
    let cost = |_: Measure, s: &[f64]| Some(200.0 + 40.0 * s[1]);
    let text = read(&drawn(&exact(factors, points, cost))[0].1);
    assert!(text.find("Wage") < text.find("Landing"), "{text}");
    assert!(text.contains("Dashed: no trend beyond chance."), "{text}");
    assert!(text.contains("taken out"), "{text}");
}

/// Two levels that move a measure far do not hide the line of a sampled factor that moves it a little at every point.
#[test]
fn a_factor_of_two_levels_does_not_hide_a_sampled_one() {
    let factors: Vec<Factor> = vec![
        steps("energy price", 30),
        steps("loaders", 2),
        steps("lane", 2),
    ];
    let points: Vec<Vec<usize>> = (0..30_usize)
        .map(|i| vec![i, i * 7 % 30 / 15, i % 2])
        .collect();
    let cost = |_: Measure, s: &[f64]| Some(200.0 + 40.0 * s[0] + 300.0 * s[1]);
    let text = read(&drawn(&exact(factors, points, cost))[0].1);
    assert!(text.contains("taken out"), "{text}");
    assert!(!text.contains("Dashed: no trend beyond chance."), "{text}");
}

/// Levels that carry their unit have it on round numbers, too.
#[test]
fn round_numbers_have_the_unit_of_the_levels() {
    let mut factor = steps("landing", 70);
    for level in &mut factor.levels {
        level.text += " m";
    }
    let text = read(&drawn(&of(vec![factor]))[0].1);
    assert!(text.contains("2 m "), "{text}");
}

/// A target on a share of evenings has its line, too, and says what it asks.
#[test]
fn a_target_of_a_share_of_evenings_has_a_line() {
    let mut swept = of(vec![tunnel()]);
    swept.targets.truncate(1);
    let orange = |swept: &Swept| {
        let all = drawn(swept);
        let svg = kind(&all, "curve")[0].svg().unwrap();
        (svg.matches("#D55E00").count(), read(kind(&all, "curve")[0]))
    };
    let (of_mean, _) = orange(&swept);
    swept.targets[0].in_share = Some(0.95);
    let (of_share, text) = orange(&swept);
    assert!(
        of_share >= of_mean.min(1) && of_share > 0,
        "{of_share} {of_mean}"
    );
    assert!(text.contains("in 95 % of evenings"), "{text}");
    swept.targets.clear();
    assert_eq!(orange(&swept).0, 0);
}

/// Every kind of picture says which file, version, seed and evenings it is from.
#[test]
fn every_kind_says_where_it_is_from() {
    let studies = [
        of(vec![tunnel()]),
        with_swings(of(vec![tunnel(), loaders()])),
        with_swings(of(vec![tunnel(), loaders(), landing()])),
        with_swings(of(vec![words("crew", &["as it is", "one more"])])),
        // Points of no grid.
        study(
            ["energy price", "landing"]
                .map(|name| steps(name, 30))
                .to_vec(),
            (0..30_usize).map(|i| vec![i, i * 7 % 30]).collect(),
            &MEASURES,
            |_, s| Some(s[0]),
        ),
    ];
    let from = format!(", scullery {}, seed ", crate::version::NUMBER);
    let mut seen: Vec<&str> = Vec::new();
    for study in &studies {
        for (kind, scene) in drawn(study) {
            let text = read(&scene);
            assert!(
                text.contains(&from) && text.contains(" evenings"),
                "{kind}: {text}"
            );
            assert!(text.contains(&study.name), "{kind}: {text}");
            seen.push(kind);
        }
    }
    for kind in crate::report::pictures::SWEEP {
        assert!(seen.contains(&kind), "{kind} is in none: {seen:?}");
    }
}
