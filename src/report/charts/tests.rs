//! Every chart of every evening must be there, be well formed and be the right size.

mod drawn;

use super::*;
use crate::report::examples;
use std::path::Path;

/// Every chart of an evening, drawn and checked: the cost only where there are prices.
fn drawn(evening: &Evening) -> tempfile::TempDir {
    let root = tempfile::tempdir().unwrap();
    let folder = OutputFolder::open(root.path()).unwrap();
    let paths = draw(&of_evening(evening, Units::Metric), Pictures::Both, &folder).unwrap();
    folder.keep().unwrap();
    let has_prices = evening.groups.iter().any(|g| g.kind == GroupKind::Cost);
    let is_machine =
        |band: &crate::study::evening::Band| band.info.kind == SeriesKind::MachinesRunning;
    let has_machine = evening.series.iter().any(is_machine);
    // Queues, what dries on, the crew always; the others where there is something to see.
    let others = [has_machine, subjects::has_stock(evening), has_prices];
    let others = others.into_iter().filter(|is_there| *is_there).count();
    assert_eq!(paths.len(), 2 * (3 + others));
    for path in paths {
        check(&path);
    }
    root
}

pub fn check(path: &Path) {
    let bytes = std::fs::read(path).unwrap();
    if path.extension().is_some_and(|e| e == "png") {
        assert_eq!(&bytes[1..4], b"PNG");
        assert_eq!(&bytes[16..24], [0, 0, 4, 176, 0, 0, 2, 163], "1200 × 675");
        return;
    }
    let text = String::from_utf8(bytes).unwrap();
    let document = roxmltree::Document::parse(&text).unwrap();
    let root = document.root_element();
    assert_eq!(
        (root.attribute("width"), root.attribute("height")),
        (Some("1200"), Some("675"))
    );
    for node in document.descendants().filter(roxmltree::Node::is_element) {
        for attribute in node.attributes().filter(|a| a.name() != "font-family") {
            let value = attribute.value();
            assert!(!value.contains("NaN") && !value.contains("inf"), "{value}");
        }
    }
    for text in texts(&document) {
        assert!(!text.contains("NaN") && !text.contains("inf "), "{text}");
    }
}

fn texts<'a>(document: &'a roxmltree::Document<'a>) -> Vec<&'a str> {
    document
        .descendants()
        .filter_map(|node| node.text())
        .collect()
}

#[test]
fn a_friday() {
    drawn(&examples::friday());
}

fn text_of(folder: &tempfile::TempDir, name: &str) -> String {
    std::fs::read_to_string(folder.path().join(name)).unwrap()
}

#[test]
fn a_priced_friday_has_a_bar_a_part_and_no_bar_for_what_has_no_cost() {
    let text = text_of(&drawn(&examples::priced()), "cost.svg");
    for part in [
        "In all 486.2",
        "412.4, 85 % of the cost",
        "Energy",
        "47.30, 9.7 % of the cost",
        "Rinse aid",
        "10th–90th",
    ] {
        assert!(text.contains(part), "{part}");
    }
    assert_eq!(text.matches("not measured, or without a price").count(), 1);
}

/// The cost of the priced Friday with every value of it changed.
fn costing(change: impl Fn(f64) -> f64) -> Evening {
    let mut evening = examples::priced();
    let groups = evening.groups.iter_mut();
    for e in groups
        .filter(|g| g.kind == GroupKind::Cost)
        .flat_map(|g| &mut g.measures)
    {
        let quantiles = [&mut e.p10.value, &mut e.p50.value, &mut e.p90.value];
        for value in quantiles.into_iter().chain([&mut e.mean]) {
            *value = value.map(&change);
        }
    }
    evening
}

#[test]
fn odd_costs_are_drawn() {
    for factor in [0.0, 1e-9, 1e12, f64::NAN, f64::INFINITY, -1.0] {
        drawn(&costing(|v| v * factor));
    }
    let mut one = examples::priced();
    one.replications = 1;
    assert!(!text_of(&drawn(&one), "cost.svg").contains("percentile"));
    let none = costing(|_| f64::NAN);
    assert!(text_of(&drawn(&none), "cost.svg").contains("Nothing to show"));
}

#[test]
fn a_title_that_would_break_xml_is_escaped() {
    let mut evening = examples::friday();
    evening.title = "Fish & <chips> \"on\" a 'Friday' \u{1b}".to_owned();
    let root = drawn(&evening);
    let text = std::fs::read_to_string(root.path().join("queues.svg")).unwrap();
    let document = roxmltree::Document::parse(&text).unwrap();
    let expected = "Fish & <chips> \"on\" a 'Friday' ";
    assert!(
        texts(&document)
            .iter()
            .any(|t| t.trim_start() == format!("{expected}\n"))
    );
}

#[test]
fn an_evening_without_series_says_so() {
    let mut evening = examples::friday();
    evening.series.clear();
    let root = drawn(&evening);
    let text = std::fs::read_to_string(root.path().join("crew.svg")).unwrap();
    assert!(text.contains("Nothing to show"));
}

#[test]
fn one_evening_has_no_band() {
    let mut evening = examples::friday();
    evening.replications = 1;
    let root = drawn(&evening);
    let text = std::fs::read_to_string(root.path().join("queues.svg")).unwrap();
    assert!(text.contains("One evening") && !text.contains("percentile"));
    assert!(!text.contains("#BCDDF2"));
}

/// The Friday with every series made `minutes` long, and its values changed.
fn bent(minutes: usize, change: impl Fn(f64) -> Option<f64>) -> Evening {
    let mut evening = examples::friday();
    for band in &mut evening.series {
        for values in [&mut band.mean, &mut band.p10, &mut band.p50, &mut band.p90] {
            values.resize(minutes, Some(1.0));
            for value in values {
                *value = value.and_then(&change);
            }
        }
    }
    evening
}

#[test]
fn degenerate_evenings_are_drawn() {
    for minutes in [0, 1, 2, 1080] {
        drawn(&bent(minutes, Some));
    }
    drawn(&bent(461, |_| Some(0.0)));
    drawn(&bent(461, |_| None));
    drawn(&bent(461, |v| Some(v * 1e12)));
    drawn(&bent(461, |v| Some(v * 1e-9)));
    drawn(&bent(461, |_| Some(f64::NAN)));
    drawn(&bent(461, |_| Some(f64::INFINITY)));
    drawn(&bent(461, |v| Some(-v)));
}

#[test]
fn odd_clocks_are_drawn() {
    let mut evening = examples::friday();
    evening.clock.start_s = f64::NAN;
    drawn(&evening);
    evening.clock = crate::study::evening::Clock {
        start_s: 0.0,
        opens_s: f64::NAN,
        closes_s: f64::INFINITY,
        peak_from_s: f64::NAN,
        peak_to_s: f64::NEG_INFINITY,
        shown_to_s: f64::NAN,
    };
    drawn(&evening);
}

fn many_wares() -> Evening {
    let mut evening = examples::friday();
    evening.title = "A very long title ".repeat(12);
    for i in 0..15 {
        let name = format!("clean_stock:{}", "ware & <name> 皿 ".repeat(i));
        let kind = crate::service::series::SeriesKind::CleanStock(10 + i);
        let value = |m| Some((m + i) as f64);
        evening
            .series
            .push(examples::band(kind, &name, "pieces", 0.1, value));
    }
    evening
}

#[test]
fn odd_names_and_many_wares_are_drawn() {
    let root = drawn(&many_wares());
    let text = std::fs::read_to_string(root.path().join("clean-stock.svg")).unwrap();
    assert!(text.contains("8 of 20 wares, lowest."));
}

/// A stock that nobody touches has nothing to see.
#[test]
fn an_unused_stock_is_left_out() {
    let mut evening = examples::friday();
    let caption = |evening: &Evening| {
        let text = text_of(&drawn(evening), "clean-stock.svg");
        (
            text.contains("Spare bowl"),
            text.contains("1 unused ware is left out."),
        )
    };
    assert_eq!(caption(&evening), (false, false));
    let kind = crate::service::series::SeriesKind::CleanStock(10);
    let mut spare = examples::band(kind, "clean_stock:spare bowl", "pieces", 0.0, |_| {
        Some(40.0)
    });
    evening.series.push(spare.clone());
    assert_eq!(caption(&evening), (false, true));
    spare.p10[9] = Some(39.0);
    *evening.series.last_mut().unwrap() = spare;
    assert_eq!(caption(&evening), (true, false));
}

/// 84 °C is 183.2 °F; 2 g/L is 0.267 oz/gal. Both minimum and line move.
#[test]
fn the_water_is_in_the_units_asked_for() {
    use crate::service::series::SeriesKind;
    let mut evening = examples::friday();
    for (kind, name, unit, value) in [
        (
            SeriesKind::FinalRinse(0),
            "final_rinse:conveyor",
            "°C",
            84.0,
        ),
        (SeriesKind::TankSoil(0), "tank_soil:conveyor", "g/L", 2.0),
    ] {
        let mut band = examples::band(kind, name, unit, 0.0, |_| Some(value));
        band.info.least = (unit == "°C").then_some(82.0);
        evening.series.push(band);
    }
    let axes = |units: Units| {
        let root = tempfile::tempdir().unwrap();
        let folder = OutputFolder::open(root.path()).unwrap();
        draw(&of_evening(&evening, units), Pictures::Both, &folder).unwrap();
        folder.keep().unwrap();
        let text = text_of(&root, "water.svg");
        let document = roxmltree::Document::parse(&text).unwrap();
        let texts = texts(&document).into_iter();
        texts.map(|t| t.trim().to_owned()).collect::<Vec<_>>()
    };
    let (metric, us) = (axes(Units::Metric), axes(Units::Us));
    for (texts, expected) in [
        (
            &metric,
            [
                "Final rinse (°C)",
                "82.0",
                "84.0",
                "Soil in the first water (g/L)",
            ],
        ),
        (
            &us,
            [
                "Final rinse (°F)",
                "180",
                "183",
                "Soil in the first water (oz/gal)",
            ],
        ),
    ] {
        for words in expected {
            assert!(texts.iter().any(|t| t == words), "{words}: {texts:?}");
        }
    }
    assert!(!us.iter().any(|t| t.contains("°C") || t.contains("g/L")));
}

/// The Friday's stages: five of the seven, in their order, and none of few racks.
#[test]
fn the_queues_are_those_where_something_waits() {
    let headings = |evening: &Evening| {
        let root = drawn(evening);
        let text = std::fs::read_to_string(root.path().join("queues.svg")).unwrap();
        let document = roxmltree::Document::parse(&text).unwrap();
        let of_panels = texts(&document).into_iter().map(str::trim);
        let of_panels = of_panels.filter(|t| t.ends_with("(pieces)") || t.ends_with("(racks)"));
        let mut all: Vec<String> = of_panels.map(str::to_owned).collect();
        all.dedup();
        all
    };
    assert!(headings(&examples::friday()).len() <= 5);
    let mut few = examples::friday();
    for band in &mut few.series {
        let is_drop_off = band.info.kind == crate::service::series::SeriesKind::AtDropOff;
        let value = if is_drop_off { 30.0 } else { 1.0 };
        for values in [&mut band.mean, &mut band.p10, &mut band.p50, &mut band.p90] {
            values.fill(Some(value));
        }
    }
    assert_eq!(headings(&few), ["Soiled, at the drop-off (pieces)"]);
}

#[test]
fn charts_end_before_the_last_of_many_evenings() {
    let mut evening = examples::friday();
    evening.clock.shown_to_s = 22.0 * 3600.0;
    let root = drawn(&evening);
    for name in ["queues", "crew"] {
        let text = std::fs::read_to_string(root.path().join(format!("{name}.svg"))).unwrap();
        assert!(text.contains("21:00") && !text.contains("23:00"), "{name}");
    }
}

/// A legend that has to be shortened says nothing.
/// Nobody unloads after ten: that is written over the gap, and nothing of the kind where somebody is there.
#[test]
fn a_gap_in_the_cover_is_named() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/friday-rush.toml");
    let leaves = "[[roster]]\nname = \"unloader\"\nto = \"22:00\"\nbreaks = []\nstays = false\n";
    let nobody = |changes: &str| {
        let loaded = crate::scenario::load_changed(&path, changes).unwrap();
        let room = crate::room::Room::of(&loaded.scenario);
        let sheet = crate::study::sheet::Sheet::of(&loaded.scenario, &room);
        let scene = cover::draw(cover::Covered {
            name: &loaded.name,
            title: &sheet.title,
            wording: &sheet.wording,
            clock: sheet.clock,
            cover: &sheet.cover,
        });
        let boxes = scene.boxes();
        assert!(
            boxes.iter().all(|(text, _)| !text.contains('…')),
            "{boxes:?}"
        );
        boxes.iter().filter(|(text, _)| *text == "nobody").count()
    };
    assert_eq!(nobody(""), 0);
    assert_eq!(nobody(leaves), 2);
}

#[test]
fn every_legend_is_whole() {
    let mut evening = examples::friday();
    for band in &mut evening.series {
        let machines = band.info.name.starts_with("machines_");
        for value in band.mean.iter_mut().flatten().filter(|_| machines) {
            *value = 0.2;
        }
    }
    let root = drawn(&evening);
    for name in ["machine.svg", "crew.svg"] {
        let text = std::fs::read_to_string(root.path().join(name)).unwrap();
        assert!(!text.contains('…'), "{name}");
    }
    let text = std::fs::read_to_string(root.path().join("machine.svg")).unwrap();
    assert!(text.contains("To be opened"));
}

/// A small evening and one with more hands.
fn comparison(replications: u64, other: &str) -> Comparison {
    let files = ["tests/late-supper.toml", other];
    let load = |file| crate::scenario::load(Path::new(file)).unwrap_or_else(|e| panic!("{e}"));
    let (plan, watch) = (
        crate::study::Plan::new(replications),
        crate::study::Watch::default(),
    );
    let headline = crate::study::compare::HEADLINE;
    crate::study::compare::compare(&files.map(load), &plan, &headline, &watch).unwrap()
}

const HELPED: &str = "tests/late-supper-helped.toml";

fn drawn_compared(comparison: &Comparison) -> tempfile::TempDir {
    let root = tempfile::tempdir().unwrap();
    let folder = OutputFolder::open(root.path()).unwrap();
    let paths = draw(
        &of_comparison(comparison, Units::Metric),
        Pictures::Both,
        &folder,
    )
    .unwrap();
    folder.keep().unwrap();
    assert_eq!(paths.len(), 4);
    for path in paths {
        check(&path);
    }
    root
}

#[test]
fn two_evenings_and_their_difference() {
    let mut both = comparison(6, HELPED);
    let root = drawn_compared(&both);
    let evenings = text_of(&root, "late-supper-helped-evenings.svg");
    let difference = text_of(&root, "late-supper-helped-difference.svg");
    for part in [
        "Late supper with a scraper",
        "of the same 6 evenings",
        "(%)",
    ] {
        assert!(evenings.contains(part), "{part}");
    }
    for part in ["less Late supper", "from 6 pairs", "(points)"] {
        assert!(difference.contains(part), "{part}");
    }
    both.base.title = "Late supper with a scraper".to_owned();
    let evenings = text_of(&drawn_compared(&both), "late-supper-helped-evenings.svg");
    assert!(evenings.contains("Late supper with a scraper (late-supper)"));
}

#[test]
fn odd_comparisons_are_drawn() {
    let bent = |change: &dyn Fn(f64) -> Option<f64>| {
        let mut both = comparison(3, HELPED);
        let alternative = &mut both.alternatives[0];
        for curve in &mut alternative.curves {
            for value in curve.mean.iter_mut().chain(&mut curve.half_width) {
                *value = value.and_then(change);
            }
        }
        for band in both
            .base
            .series
            .iter_mut()
            .chain(&mut alternative.side.series)
        {
            for values in [&mut band.mean, &mut band.p10, &mut band.p50, &mut band.p90] {
                for value in values {
                    *value = value.and_then(change);
                }
            }
        }
        drawn_compared(&both)
    };
    bent(&|_| None);
    bent(&|_| Some(f64::NAN));
    bent(&|_| Some(f64::NEG_INFINITY));
    bent(&|v| Some(v * -1e12));
    bent(&|v| Some(v * 1e-9));
    let mut both = comparison(2, HELPED);
    both.base.title = "A very long title & <more> ".repeat(12);
    both.base.clock.shown_to_s = f64::NAN;
    drawn_compared(&both);
    both.alternatives[0].curves.clear();
    let difference = text_of(&drawn_compared(&both), "late-supper-helped-difference.svg");
    assert!(difference.contains("no minute in common"));
    drawn_compared(&comparison(2, "tests/plain-line.toml"));
}

/// The machine as it really runs: its water, its faults and its states, of several evenings and of one, and of
/// an evening in which nothing goes wrong.
#[test]
fn trouble_is_drawn() {
    use crate::study::{Plan, Stop, Watch, simulate};
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/friday-as-it-runs.toml");
    let played = |changes: &str, count| {
        let loaded = crate::scenario::load_changed(&file, changes).unwrap();
        let plan = Plan {
            seed: 1,
            stop: Stop::After(count),
            threads: 1,
        };
        simulate(&loaded, &plan, &Watch::default()).unwrap()
    };
    let text = |evening: &Evening, name: &str| {
        let root = tempfile::tempdir().unwrap();
        let folder = OutputFolder::open(root.path()).unwrap();
        let paths = draw(&of_evening(evening, Units::Metric), Pictures::Both, &folder).unwrap();
        folder.keep().unwrap();
        paths.iter().for_each(|path| check(path));
        text_of(&root, name)
    };
    let several = played("", 12);
    let water = text(&several, "water.svg");
    for part in [
        "Machine (mean)",
        "Faults there",
        "Green: water changed",
        "Off",
    ] {
        assert!(water.contains(part), "{part}");
    }
    let faults = text(&several, "faults.svg");
    assert!(faults.contains("Machine stands") && faults.contains("Rack jam"));
    let one = played("", 1);
    assert!(text(&one, "water.svg").contains("minute by minute"));
    // Without faults there is no chart of them, and no strip.
    let calm = played("fault = []\n", 3);
    let water = text(&calm, "water.svg");
    assert!(water.contains("Machine (mean)") && !water.contains("Faults there"));
    let is_of_faults = |band: &crate::study::evening::Band| machines::is_of_faults(band.info.kind);
    assert!(!calm.series.iter().any(is_of_faults));
}
