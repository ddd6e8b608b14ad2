//! Odd data: nothing, everything equal, tiny and huge numbers, many levels, long names, studies that do
//! not fit together.

use super::*;

/// Every shape of study that odd values are tried on.
fn shapes() -> Vec<Swept> {
    let crews = || {
        words(
            "crew",
            &[
                "as it is",
                "one more from 18:00",
                "two more on Fridays and holidays",
            ],
        )
    };
    vec![
        of(vec![tunnel()]),
        of(vec![crews()]),
        of(vec![loaders(), tunnel()]),
        of(vec![crews(), tunnel()]),
        of(vec![crews(), words("racks", &["twenty", "forty"])]),
        of(vec![loaders(), tunnel(), landing()]),
        of(vec![loaders(), crews(), landing()]),
        of(vec![
            crews(),
            crews(),
            words("racks", &["twenty", "forty"]),
            loaders(),
        ]),
    ]
}

#[test]
fn nothing_varies_and_nothing_was_measured() {
    assert_eq!(kinds(&of(vec![numbers("loaders", "", &[2.0])])), ["curve"]);
    assert_eq!(kinds(&of(vec![words("crew", &["evening"])])), ["curve"]);
    assert!(says(&of(Vec::new()), "Nothing to show"));
    let mut empty = of(vec![loaders(), tunnel()]);
    (empty.points, empty.cells) = (Vec::new(), Vec::new());
    assert!(says(&empty, "Nothing to show"));
    empty.factors.clear();
    drawn(&empty);
}

#[test]
fn odd_values_are_drawn() {
    let changes: [fn(usize, f64) -> Option<f64>; 14] = [
        |_, _| None,
        |_, _| Some(7.0),
        |_, _| Some(0.0),
        |_, v| Some(-v),
        |i, v| Some(if i % 2 == 0 { v } else { -v }),
        |i, v| (i % 3 > 0).then_some(v),
        |i, v| (i == 0).then_some(v),
        |_, v| Some(v * 1e-12),
        |_, v| Some(v * 1e7),
        |_, v| Some(v * 1e18),
        |i, v| Some(if i == 0 { 1e300 } else { v }),
        |_, _| Some(f64::NAN),
        |i, v| Some(if i % 2 == 0 { v } else { f64::INFINITY }),
        |i, _| Some(1e6 + 1e-3 * i as f64),
    ];
    for swept in shapes() {
        for change in changes {
            drawn(&with_swings(bent(swept.clone(), change)));
            drawn(&bent(with_swings(swept.clone()), change));
        }
    }
}

#[test]
fn one_evening_a_point_has_no_interval() {
    for mut swept in shapes() {
        for cell in swept.cells.iter_mut().flatten() {
            (cell.half_width, cell.n) = (None, 1);
        }
        drawn(&swept);
    }
}

#[test]
fn sixty_levels_and_more_are_drawn() {
    for factors in [
        vec![steps("tunnel", 60)],
        vec![sites(60)],
        vec![steps("tunnel", 60), steps("landing", 60)],
        vec![loaders(), steps("landing", 60)],
        vec![sites(60), loaders()],
        vec![sites(60), words("crew", &["evening", "night"])],
        vec![loaders(), tunnel(), steps("landing", 60)],
        vec![
            steps("landing", 30),
            steps("tunnel", 30),
            steps("entry", 30),
        ],
        vec![sites(400)],
        vec![steps("tunnel", 2000)],
    ] {
        drawn(&with_swings(of(factors)));
    }
    let many = of(vec![loaders(), steps("landing", 40), steps("entry", 15)]);
    assert_eq!(kinds(&many), ["panels"]);
    assert!(kinds(&of(vec![sites(400), tunnel()])) == ["factors"]);
}

#[test]
fn of_many_panels_some_are_shown_and_it_says_so() {
    let swept = of(vec![
        steps("tunnel", 13),
        steps("landing", 14),
        steps("entry", 15),
    ]);
    assert!(
        says(&swept, "12 of the 13 levels of Tunnel."),
        "{:?}",
        texts(&swept)
    );
    let few = of(vec![loaders(), steps("landing", 4), steps("entry", 40)]);
    assert_eq!(
        texts(&few)
            .iter()
            .filter(|t| t.starts_with("Landing: "))
            .count(),
        4
    );
}

#[test]
fn long_and_odd_names_are_drawn() {
    let long = "a very long name of a factor or of a level ".repeat(40);
    let unbroken = "Wrackmouth".repeat(60);
    let odd = "pots & <pans> 皿 \u{1b}[2J \"quoted\"";
    let named = |name: &str, count: usize| {
        let levels: Vec<String> = (0..count).map(|i| format!("{name} {i}")).collect();
        words(name, &levels.iter().map(String::as_str).collect::<Vec<_>>())
    };
    for name in [&long, &unbroken, odd, ""] {
        for count in [1, 5, 40] {
            let mut factors = vec![named(name, count), tunnel(), named(name, 3), named(name, 2)];
            for _ in 0..4 {
                let mut swept = with_swings(of(factors.clone()));
                swept.title = name.to_owned();
                swept.measures.truncate(2);
                drawn(&swept);
                factors.pop();
            }
            let many = vec![named(name, count), named(name, count)];
            drawn(&with_swings(of(many)));
        }
        let mut unit = tunnel();
        (unit.name, unit.unit) = (name.to_owned(), name.to_owned());
        drawn(&with_swings(of(vec![unit, loaders()])));
    }
}

/// As a latin hypercube: each point has levels of its own.
#[test]
fn a_design_that_is_no_grid_is_shown_factor_by_factor() {
    for count in [2_usize, 9, 50, 1000] {
        let factor = |name: &str| steps(name, u32::try_from(count).unwrap());
        let factors: Vec<Factor> = ["tunnel", "landing", "entry"].map(factor).to_vec();
        let points = (0..count)
            .map(|i| vec![i, i * 7 % count, i * 11 % count])
            .collect();
        let swept = study(factors, points, &MEASURES, evening);
        if count > 2 {
            assert_eq!(kinds(&swept), ["factors"], "{count}");
        }
        drawn(&swept);
    }
    let many: Vec<Factor> = (0..30).map(|i| steps(&format!("factor {i}"), 2)).collect();
    let points = (0..64_usize)
        .map(|p| (0..30).map(|f| (p >> (f % 6)) & 1).collect())
        .collect();
    let swept = with_swings(study(many, points, &MEASURES, evening));
    assert!(says(&swept, "12 of 30 factors"));
}

#[test]
fn a_study_that_does_not_fit_together_is_drawn() {
    let mut swept = with_swings(of(vec![loaders(), tunnel(), landing()]));
    swept.points[3] = vec![99, 99, 99];
    swept.points[4] = vec![0];
    swept.points[5] = vec![0; 9];
    swept.cells[6].clear();
    swept.cells.truncate(40);
    swept.targets.push(Target {
        measure: 99,
        at_most: Some(f64::NAN),
        at_least: Some(f64::INFINITY),
        in_share: Some(f64::NAN),
    });
    swept.swings[0].factor = 99;
    swept.swings[1].measure = 99;
    drawn(&swept);
    swept.factors[1].levels.clear();
    drawn(&swept);
    swept.factors.clear();
    drawn(&swept);
}
