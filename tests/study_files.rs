//! What good study files become: design points, their settings, the scenarios that come of them.

use std::collections::BTreeSet;
use std::path::Path;

use scullery::report::parts::rows;
use scullery::scenario::model::{MachineKind, Places};
use scullery::study::design::{Study, read::read};

fn good(path: &str) -> Study {
    read(Path::new(path)).unwrap_or_else(|mistakes| panic!("{mistakes}"))
}

/// The shipped study: 3 loaders x 4 tunnels x 3 landings x 2 drains, and the tornado's base and two ends of each.
#[test]
fn every_combination_is_a_design_point() {
    let study = good("scenarios/studies/crew-and-conveyor.toml");
    assert_eq!((study.points(), study.to_play()), (72, 72 + 1 + 8));
    assert_eq!(
        study.label(8),
        "design point 8: loaders 1, tunnel 55 in, landing 80 in, drain 40 s"
    );
    assert_eq!(study.label(72), "one factor alone: the base scenario");
    let (mut sources, point) = (study.sources(), 8);
    let scenario = study.scenario(point, &mut sources).expect("a scenario");
    let machine = &scenario.machine[0];
    assert_eq!(machine.landing, Places::LengthM(2.032));
    let MachineKind::RackConveyor {
        tunnel_m,
        speed_m_per_s,
        zones,
        ..
    } = &machine.kind
    else {
        panic!("a conveyor");
    };
    // 55 in of tunnel at 5.5 x 55/44 ft/min: a rack is inside as long as before, 40 s.
    assert!((tunnel_m - 55.0 * 0.0254).abs() < 1e-12);
    assert!((tunnel_m / speed_m_per_s - 44.0 * 0.0254 / (5.5 * 0.3048 / 60.0)).abs() < 1e-9);
    // The wash grows by the 11 in.
    assert!((zones[0].length_m - 41.0 * 0.0254).abs() < 1e-12);
    assert!((machine.position.x_m - (6.5 + 11.0 * 0.0254)).abs() < 1e-9);
}

/// A study of `two-people` with these lines, in a folder of its own.
fn study(lines: &str) -> Study {
    let folder = tempfile::tempdir().unwrap();
    let base = std::fs::canonicalize("tests/two-people.toml").unwrap();
    let path = folder.path().join("study.toml");
    let text = format!(
        "base = {:?}\nmeasures = [\"racks\"]\n{lines}",
        base.display().to_string()
    );
    std::fs::write(&path, text).unwrap();
    good(path.to_str().unwrap())
}

/// The texts of a factor's settings, point by point.
fn settings(study: &Study, factor: usize) -> Vec<String> {
    let of = |point| study.settings(point)[factor].text.clone();
    (0..study.points()).map(of).collect()
}

#[test]
fn ranges_are_written_as_their_ends_are() {
    let study = study(
        "[[factor]]\nname = \"from\"\npath = \"roster[loader].from\"\nrange = { from = \"16:00\", to = \"17:00\", step = \"30 min\" }\n\
         [[factor]]\nname = \"eye\"\npath = \"inspect.catches\"\nrange = { from = \"80 %\", to = \"90 %\", count = 3 }\n\
         [[factor]]\nname = \"people\"\npath = \"roster[loader].count\"\nrange = { from = 2, to = 1 }\n",
    );
    assert_eq!(study.points(), 3 * 3 * 2);
    let distinct = |factor| {
        let mut texts = settings(&study, factor);
        texts.sort();
        texts.dedup();
        texts
    };
    assert_eq!(distinct(0), ["16:00", "16:30", "17:00"]);
    assert_eq!(distinct(1), ["80 %", "85 %", "90 %"]);
    assert_eq!(distinct(2), ["1", "2"]);
    let scenario = study.scenario(8, &mut study.sources()).expect("a scenario");
    assert_eq!(scenario.roster[0].from_s, 16.5 * 3600.0);
    assert_eq!(scenario.inspect.unwrap().catches, 0.85);
    assert_eq!(scenario.roster[0].count, 2);
}

#[test]
fn linked_values_move_together() {
    let study = study(
        "[[factor]]\nname = \"lane\"\npath = \"machine[conveyor].landing\"\nvalues = [\"60 in\", \"90 in\"]\n\
         linked = [\n    { path = \"machine[conveyor].tunnel\", follows = \"value\" },\n\
             { path = \"machine[conveyor].drain\", values = [\"45 s\", \"70 s\"] },\n\
             { path = \"scrape.batch\", follows = \"ratio\" },\n]\n",
    );
    let scenario = study.scenario(1, &mut study.sources()).expect("a scenario");
    let base = study
        .scenario(study.points(), &mut study.sources())
        .expect("the base");
    let machine = &scenario.machine[0];
    assert_eq!(
        (&machine.landing, machine.drain_s),
        (&Places::LengthM(2.286), 70.0)
    );
    let MachineKind::RackConveyor { tunnel_m, .. } = machine.kind else {
        panic!("a conveyor");
    };
    assert_eq!(tunnel_m, 2.286);
    // 60 in become 90: half as much again, as a whole number.
    let batch =
        |scenario: &scullery::scenario::model::Scenario| scenario.scrape.as_ref().unwrap().batch;
    assert_eq!(
        f64::from(batch(&scenario)),
        (f64::from(batch(&base)) * 1.5).round()
    );
}

/// A value may be given twice where what is linked to it differs; its levels are distinguished by that.
#[test]
fn a_value_may_be_given_twice_where_the_linked_values_differ() {
    let study = study(
        "[[factor]]\nname = \"lane\"\npath = \"machine[conveyor].landing\"\nvalues = [3, 3, 4]\n\
         linked = [{ path = \"machine[conveyor].drain\", values = [\"45 s\", \"70 s\", \"45 s\"] }]\n",
    );
    assert_eq!(
        settings(&study, 0),
        [
            "3, machine[conveyor].drain 45 s",
            "3, machine[conveyor].drain 70 s",
            "4, machine[conveyor].drain 45 s",
        ]
    );
    let drains = [0, 1, 2].map(|point| {
        let scenario = study.scenario(point, &mut study.sources());
        let machine = &scenario.expect("a scenario").machine[0];
        (machine.landing, machine.drain_s)
    });
    let places = Places::Count;
    assert_eq!(
        drains,
        [(places(3), 45.0), (places(3), 70.0), (places(4), 45.0)]
    );
    // Each of them is moved to alone, beside the base.
    assert_eq!(study.to_play() - study.points(), 4);
    assert_eq!(study.repeated(), 0);
}

/// Two factors of two levels make four designs, however many points are drawn.
#[test]
fn design_points_that_are_the_same_are_counted() {
    let few = "[[factor]]\nname = \"people\"\npath = \"roster[loader].count\"\nvalues = [1, 2]\n\
               [[factor]]\nname = \"by\"\npath = \"clear_down.when_full\"\nvalues = [\"floor\", \"wait\"]\n";
    let pace = "[[factor]]\nname = \"pace\"\npath = \"roster[loader].pace\"\nrange = { from = 0.8, to = 1.2 }\n";
    for design in ["latin-hypercube", "sobol"] {
        let sample = format!("design = \"{design}\"\npoints = 64\n");
        let few = study(&format!("{sample}{few}"));
        let mut seen: Vec<String> = Vec::new();
        for point in 0..64 {
            seen.push(
                few.settings(point)
                    .iter()
                    .map(|s| s.text.clone() + ";")
                    .collect(),
            );
        }
        seen.sort();
        seen.dedup();
        assert_eq!((seen.len(), few.repeated()), (4, 60), "{design}");
        assert_eq!(
            study(&format!("{sample}{}{pace}", "")).repeated(),
            0,
            "{design}"
        );
    }
    assert_eq!(study(few).repeated(), 0, "a grid has each once");
}

#[test]
fn samples_fill_their_ranges_and_meet_every_level() {
    for design in ["latin-hypercube", "sobol"] {
        let study = study(&format!(
            "design = \"{design}\"\npoints = 64\n\
             [[factor]]\nname = \"people\"\npath = \"roster[loader].count\"\nrange = {{ from = 1, to = 4 }}\n\
             [[factor]]\nname = \"tunnel\"\npath = \"machine[conveyor].tunnel\"\nrange = {{ from = \"44 in\", to = \"76 in\" }}\n\
             [[factor]]\nname = \"by\"\npath = \"clear_down.when_full\"\nvalues = [\"floor\", \"wait\"]\n",
        ));
        assert_eq!(study.points(), 64, "{design}");
        let count = |factor, text: &str| {
            settings(&study, factor)
                .iter()
                .filter(|t| *t == text)
                .count()
        };
        for people in ["1", "2", "3", "4"] {
            assert_eq!(count(0, people), 16, "{design}");
        }
        assert_eq!(count(2, "wait"), 32, "{design}");
        // A tunnel in each of 64 strata of half an inch.
        let mut strata: Vec<usize> = (0..64)
            .map(|point| ((study.settings(point)[1].number.unwrap() - 44.0) * 2.0) as usize)
            .collect();
        strata.sort_unstable();
        assert_eq!(strata, (0..64).collect::<Vec<_>>(), "{design}");
        // The tornado: the base, two ends of two ranges, two words.
        assert_eq!(study.to_play() - study.points(), 7);
        assert_eq!(study.label(66), "one factor alone: people 4");
        assert_eq!(study.label(68), "one factor alone: tunnel 76 in");
        let checked = scullery::study::design::checked::check(&study, 0..study.to_play(), 2);
        assert!(checked.is_ok(), "{design}");
    }
}

/// One more factor leaves the others of a latin hypercube where they are, and the digest distinguishes them.
#[test]
fn a_factor_keeps_its_place_in_a_hypercube() {
    let people = "design = \"latin-hypercube\"\npoints = 32\n[[factor]]\nname = \"pace\"\npath = \"roster[loader].pace\"\nrange = { from = 0.8, to = 1.2 }\n";
    let more = format!(
        "{people}[[factor]]\nname = \"eye\"\npath = \"inspect.catches\"\nrange = {{ from = 0.5, to = 0.9 }}\n"
    );
    let (one, two) = (study(people), study(&more));
    assert_eq!(settings(&one, 0), settings(&two, 0));
    assert_ne!(one.digest(), two.digest());
    assert_eq!(one.digest(), study(people).digest());
    let mut other = study(people);
    other.seed = 2;
    assert_ne!(one.digest(), other.digest());
}

#[test]
fn sites_leave_what_they_do_not_say() {
    let study = good("tests/sweeps/supper.toml");
    assert_eq!(study.factors[0].name, "site");
    let humidity = |point| {
        let scenario = study
            .scenario(point, &mut study.sources())
            .expect("a scenario");
        (scenario.rack[0].fleet, scenario.air.humidity)
    };
    let base = humidity(study.points());
    assert_eq!(humidity(0), (4, 0.5));
    assert_eq!(humidity(18), (6, base.1));
}

/// What the tables of a study call a column of their own is no name for a factor.
#[test]
fn no_factor_may_be_called_like_a_column() {
    let factor = |name: &str| {
        format!("[[factor]]\nname = \"{name}\"\npath = \"roster[loader].count\"\nvalues = [1, 2]\n")
    };
    let wanted = "[[target]]\nmeasure = \"racks\"\nat_least = 1\nin = \"90 %\"\n";
    let study = study(&format!("{}{wanted}", factor("people")));
    let tables = [
        rows::points_described(&study),
        rows::replications_described(&study),
        rows::alone_described(&study),
    ];
    let heads = tables.iter().flat_map(|table| &table.columns);
    let heads: BTreeSet<&str> = heads.map(|column| column.head.as_str()).collect();
    assert!(heads.len() > 10, "{heads:?}");
    let folder = tempfile::tempdir().unwrap();
    let base = std::fs::canonicalize("tests/two-people.toml").unwrap();
    for head in heads.into_iter().filter(|head| !head.starts_with("people")) {
        let path = folder.path().join("study.toml");
        let text = format!("base = {base:?}\nmeasures = [\"racks\"]\n{}", factor(head));
        std::fs::write(&path, text).unwrap();
        match read(&path) {
            Ok(_) => panic!("a factor called {head}"),
            Err(refused) => assert!(refused.to_string().contains("of their own"), "{refused}"),
        }
    }
}

/// The level that the base scenario has, in whatever unit either is written; a bundle that changes nothing is it.
#[test]
fn the_base_is_one_of_the_levels_or_lies_in_a_range() {
    let bases = |study: &Study| -> Vec<Option<(String, Option<f64>)>> {
        let base = |factor| {
            study
                .base_of(factor)
                .map(|level| (level.text, level.number))
        };
        study.factors.iter().map(base).collect()
    };
    let crew = bases(&good("scenarios/studies/crew-and-conveyor.toml"));
    let texts: Vec<_> = crew
        .into_iter()
        .map(|base| base.map(|(text, _)| text))
        .collect();
    assert_eq!(texts[..2], [Some("1".into()), Some("44 in".into())]);
    let roster = bases(&good("scenarios/studies/cheapest-crew.toml"));
    assert_eq!(roster[0], Some(("none".into(), None)));
    let sampled = study(
        "design = \"latin-hypercube\"\npoints = 8\n[[factor]]\nname = \"tunnel\"\npath = \"machine[conveyor].tunnel\"\n\
         range = { from = \"100 cm\", to = \"200 cm\" }\n",
    );
    let number = bases(&sampled)[0].as_ref().and_then(|(_, number)| *number);
    assert!(number.is_some_and(|cm| cm > 50.0), "{number:?}");
}
