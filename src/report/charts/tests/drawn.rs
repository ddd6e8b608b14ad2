//! What a chart of an evening or of a comparison must show, read from its scene.

use super::*;
use crate::service::measure::Measure;
use crate::words::measures::heading;

/// Whether one of the texts of a scene contains this.
fn says(scene: &Scene, part: &str) -> bool {
    scene.boxes().iter().any(|(text, _)| text.contains(part))
}

fn set(band: &mut crate::study::evening::Band, value: impl Fn(usize) -> f64) {
    for values in [&mut band.mean, &mut band.p10, &mut band.p50, &mut band.p90] {
        let filled = values.iter_mut().enumerate();
        filled.for_each(|(minute, v)| *v = Some(value(minute)));
    }
}

fn band_of(evening: &mut Evening, kind: SeriesKind) -> &mut crate::study::evening::Band {
    let mut bands = evening.series.iter_mut();
    bands.find(|band| band.info.kind == kind).unwrap()
}

/// A share in brackets behind a mean with a whisker reads as its interval.
#[test]
fn a_share_of_the_cost_is_not_written_like_an_interval() {
    let scene = subjects::cost(&examples::priced());
    assert!(says(&scene, "% of the cost") && !says(&scene, " %)"));
}

/// A full hour at the very end of the axis is written within the edge, not across it.
#[test]
fn the_last_tick_is_inside() {
    let mut evening = bent(541, Some);
    (evening.clock.start_s, evening.clock.shown_to_s) = (15.0 * 3600.0, 24.0 * 3600.0);
    for scene in [subjects::queues(&evening), machines::machine(&evening)] {
        let boxes = scene.boxes();
        let outside = boxes
            .iter()
            .find(|(_, b)| b[2] > frame::right_edge() + 0.01);
        assert_eq!(outside, None);
        assert!(says(&scene, "00:00"));
    }
}

/// One band, wide as the hour, and no hairlines: also where areas hide the ground.
#[test]
fn the_busiest_hour_is_a_band_over_stacked_areas() {
    let evening = examples::friday();
    for scene in [subjects::crew(&evening), machines::machine(&evening)] {
        let svg = scene.svg().unwrap();
        assert!(svg.contains("opacity=\"0.07\" fill=\"#222222\""), "no band");
        assert!(!svg.contains("stroke=\"#F3F1EA\""), "hairlines");
    }
}

/// A median of racks jumps between two whole numbers from minute to minute; the mean does not, and has no band.
#[test]
fn racks_of_which_there_are_few_are_shown_by_their_mean() {
    let mut evening = examples::friday();
    let band = band_of(&mut evening, SeriesKind::OnLanding);
    band.p10.fill(Some(0.0));
    band.p90.fill(Some(3.0));
    for (minute, value) in band.p50.iter_mut().enumerate() {
        *value = Some((minute % 2) as f64);
    }
    band.mean.fill(Some(0.5));
    let scene = subjects::queues(&evening);
    assert!(says(&scene, "Washed racks on the landing (racks, mean)"));
    let others = evening.series.iter_mut();
    let others = others.filter(|band| band.info.kind != SeriesKind::OnLanding);
    others.for_each(|band| set(band, |_| 0.0));
    let svg = subjects::queues(&evening).svg().unwrap();
    assert!(!svg.contains("#BCDDF2"), "a band of what flips");
    // Of one evening the count itself is shown.
    evening.replications = 1;
    assert!(!says(&subjects::queues(&evening), "mean)"));
}

#[test]
fn nothing_dried_on_is_said_and_has_no_axis() {
    let mut evening = examples::friday();
    set(band_of(&mut evening, SeriesKind::DriedOnShare), |_| 0.0);
    set(band_of(&mut evening, SeriesKind::ExpectedRewash), |_| 0.0);
    let scene = subjects::dried_on(&evening);
    assert!(says(&scene, "Nothing dried on"));
    assert!(!scene.boxes().iter().any(|(text, _)| *text == "0.5"));
    set(band_of(&mut evening, SeriesKind::DriedOnShare), |m| {
        f64::from(u8::from(m == 9))
    });
    assert!(!says(&subjects::dried_on(&evening), "Nothing dried on"));
}

/// From 18:00 to 18:15 one of three is on a break; at 20:00 one leaves for good, at 23:00 all do.
#[test]
fn breaks_and_ends_of_shifts_are_marked_above_what_waits() {
    let mut evening = examples::friday();
    let plain = subjects::queues(&evening).corners().len();
    let crew = |kind| {
        matches!(
            kind,
            SeriesKind::AtDuty(_) | SeriesKind::Walking | SeriesKind::Free | SeriesKind::OnBreak
        )
    };
    evening.series.retain(|band| !crew(band.info.kind));
    let without = subjects::queues(&evening);
    assert!(!says(&without, "a break") && !says(&without, "a shift ends"));
    let on_break = |m: usize| f64::from(u8::from((90..105).contains(&m)));
    let free = move |m: usize| match m {
        0..210 => 3.0 - on_break(m),
        210..390 => 2.0,
        _ => 0.0,
    };
    let named = |kind, name, value: &dyn Fn(usize) -> f64| {
        examples::band(kind, name, "operators", 0.0, |m| Some(value(m)))
    };
    let band = named(SeriesKind::OnBreak, "on_break", &on_break);
    evening.series.push(band);
    evening.series.push(named(SeriesKind::Free, "free", &free));
    let scene = subjects::queues(&evening);
    assert!(says(&scene, "Bar: a break. Triangle: a shift ends."));
    // A bar of four corners and a triangle of three in each panel.
    let panels = scene
        .boxes()
        .iter()
        .filter(|(t, _)| t.ends_with(')'))
        .count();
    let more = scene.corners().len() - without.corners().len();
    assert_eq!(more, 7 * panels, "{plain}");
}

/// File, version, seed and evenings stand on every chart.
#[test]
fn every_chart_says_where_it_is_from() {
    let evening = examples::priced();
    let from = format!(
        "friday-rush, scullery {}, seed 1, 200 evenings",
        crate::version::NUMBER
    );
    for chart in of_evening(&evening, Units::Metric) {
        for (stem, scene) in (chart.draw)() {
            assert!(says(&scene, &from), "{stem}");
        }
    }
    let mut both = comparison(2, HELPED);
    both.alternatives.push(both.alternatives[0].clone());
    let all = scenes(&both);
    assert_eq!(all.len(), 5, "with that of all alternatives");
    for (stem, scene) in all {
        let from = "late-supper, late-supper-helped, ";
        assert!(says(&scene, from), "{stem}");
        assert!(says(&scene, ", seed 1, 2 evenings"), "{stem}");
    }
    // Of many files the seed and the evenings are not cut off.
    both.alternatives = vec![both.alternatives[0].clone(); 20];
    let scene = alternatives::alternatives(&both, Units::Metric);
    let from = format!(
        "late-supper and 20 others, scullery {}, seed 1, 2 evenings",
        crate::version::NUMBER
    );
    assert!(says(&scene, &from));
}

/// Shares differ by 100 points at most, however wide an interval of few pairs is.
#[test]
fn a_difference_of_shares_stays_within_a_hundred_points() {
    let mut both = comparison(2, HELPED);
    let mut bands = both.base.series.iter_mut();
    let dried_on = bands.find(|band| band.info.kind == SeriesKind::DriedOnShare);
    set(dried_on.unwrap(), |_| 0.1);
    for curve in &mut both.alternatives[0].curves {
        curve
            .half_width
            .iter_mut()
            .flatten()
            .for_each(|half| *half = 1e6);
    }
    let scene = compared::difference(&both, &both.alternatives[0]);
    let has_share = says(&scene, "(points)");
    let ticks: Vec<String> = scene.boxes().iter().map(|(t, _)| (*t).to_owned()).collect();
    assert!(
        has_share && ticks.iter().any(|t| t == "100" || t == "-100" || t == "50"),
        "{ticks:?}"
    );
}

fn scenes(comparison: &Comparison) -> Vec<(String, Scene)> {
    let charts = of_comparison(comparison, Units::Metric);
    charts.iter().flat_map(|chart| (chart.draw)()).collect()
}

/// Everybody at once: names, means, what may be claimed, and who is unsafe or was not finished.
#[test]
fn all_alternatives_stand_in_one_chart() {
    let one = comparison(6, HELPED);
    assert!(scenes(&one).iter().all(|(stem, _)| stem != "alternatives"));
    let mut two = one.clone();
    let mut colder = two.alternatives[0].clone();
    colder.side.name = "colder".to_owned();
    colder.side.unfinished = 2;
    let cold = Measure::UnderTemperatureRacks as usize;
    colder
        .side
        .rows
        .iter_mut()
        .for_each(|row| row.values[cold] = Some(3.0));
    two.alternatives.push(colder);
    let all = scenes(&two);
    let (_, scene) = all.iter().find(|(stem, _)| stem == "alternatives").unwrap();
    for part in [
        "late-supper (base)",
        "late-supper-helped",
        "Unsafe, 2 unfinished",
        ", could be luck",
        "6 evenings",
    ] {
        assert!(says(scene, part), "{part}");
    }
    let dried_on = heading(Measure::DriedOnShare.info());
    assert!(says(scene, dried_on.split(' ').next().unwrap()));
}

/// As many alternatives as may be given, with names, values and titles of any size.
#[test]
fn many_and_odd_alternatives_stay_within_the_picture() {
    for value in [Some(1e12), Some(-1e12), Some(0.0), Some(f64::NAN), None] {
        let mut many = comparison(3, HELPED);
        let first = many.alternatives[0].clone();
        many.alternatives = (0..20)
            .map(|at| {
                let mut other = first.clone();
                other.side.name = "a very long name ".repeat(at % 4 * 3 + 1);
                let measure = Measure::Cost as usize + at % 2;
                other
                    .side
                    .rows
                    .iter_mut()
                    .for_each(|row| row.values[measure] = value);
                other
            })
            .collect();
        many.headline = Measure::ALL.to_vec();
        let scene = alternatives::alternatives(&many, Units::Us);
        assert!(says(&scene, "The first 6 of"));
        for (text, [left, top, right, bottom]) in scene.boxes() {
            assert!(
                left >= 0.0 && top >= 0.0 && right <= 1200.0 && bottom <= 675.0,
                "{text}"
            );
        }
        for (x, y) in scene.corners() {
            assert!(
                (0.0..=1200.0).contains(&x) && (0.0..=675.0).contains(&y),
                "{x} {y}"
            );
        }
    }
}

/// The base alone would show its cutlery; it is the alternative's plates that run out.
#[test]
fn the_ware_nearest_to_nothing_in_any_scenario_is_drawn() {
    let load = |changes: &str| {
        let file = Path::new("tests/late-supper.toml");
        crate::scenario::load_changed(file, changes).unwrap_or_else(|e| panic!("{e}"))
    };
    let fewer = "[[ware]]\nname = \"plate\"\nowned = 12\n";
    let drawn = |files: [&str; 2]| {
        let (plan, watch) = (crate::study::Plan::new(8), crate::study::Watch::default());
        let headline = crate::study::compare::HEADLINE;
        let files = files.map(load);
        let both = crate::study::compare::compare(&files, &plan, &headline, &watch).unwrap();
        let scene = compared::evenings(&both, &both.alternatives[0]);
        let of_store = |text: &str| text.contains("left in the store");
        scene
            .boxes()
            .iter()
            .map(|(text, _)| (*text).to_owned())
            .find(|text| of_store(text))
            .unwrap()
    };
    let [plenty, more] = [
        "[[ware]]\nname = \"plate\"\nowned = 400\n",
        "[[ware]]\nname = \"plate\"\nowned = 401\n",
    ];
    assert_eq!(drawn([plenty, more]), "Cutlery left in the store (pieces)");
    assert_eq!(drawn([plenty, fewer]), "Plate left in the store (pieces)");
    assert_eq!(drawn([fewer, plenty]), "Plate left in the store (pieces)");
}

/// A title is set smaller before it is cut.
#[test]
fn titles_of_two_scenarios_are_whole_where_there_is_room() {
    let mut both = comparison(2, HELPED);
    both.base.title = "Friday rush at the Tin Lantern, Wrackmouth, as it is".to_owned();
    both.alternatives[0].side.title =
        "Friday rush with a second loader from a quarter past nine".to_owned();
    for (stem, scene) in scenes(&both) {
        let cut = scene.boxes().iter().any(|(text, _)| text.contains('…'));
        assert!(!cut, "{stem}");
    }
}

/// Where nothing dried on in either, the chart says so instead of drawing an axis.
#[test]
fn nothing_that_dried_on_is_said() {
    let says_it = |both: &Comparison| {
        let all = scenes(both);
        let said = all.iter().map(|(_, scene)| says(scene, "Nothing dried on"));
        said.collect::<Vec<_>>()
    };
    let mut both = comparison(3, HELPED);
    let dried_on = |side: &mut crate::study::compare::Side, value: f64| {
        let mut bands = side.series.iter_mut();
        let band = bands
            .find(|band| band.info.kind == SeriesKind::DriedOnShare)
            .unwrap();
        set(band, |_| value);
    };
    dried_on(&mut both.base, 0.0);
    dried_on(&mut both.alternatives[0].side, 0.0);
    assert_eq!(says_it(&both), [true, true]);
    dried_on(&mut both.alternatives[0].side, 0.1);
    assert_eq!(says_it(&both), [false, false]);
}

/// Breaks and ends of shifts make peaks in comparisons, too: once where both plans are alike, else for each.
#[test]
fn a_comparison_marks_breaks_and_ends_of_shifts() {
    let mut both = comparison(2, HELPED);
    both.base.away = crate::study::compare::Away::default();
    both.alternatives[0].side.away = both.base.away.clone();
    let plain: Vec<usize> = scenes(&both)
        .iter()
        .map(|(_, scene)| scene.corners().len())
        .collect();
    let hours = |h: f64| 3600.0 * h;
    both.base.away.breaks_s = vec![(hours(22.5), hours(22.75))];
    both.base.away.ends_s = vec![hours(23.25)];
    let marks = |both: &Comparison| -> Vec<usize> {
        let all = scenes(both);
        let more = all.iter().zip(&plain).map(|((_, scene), plain)| {
            let panels = scene
                .boxes()
                .iter()
                .filter(|(t, _)| t.ends_with(')'))
                .count();
            assert!(says(scene, "Bar above: a break. Triangle: a shift ends."));
            assert!(!scene.boxes().iter().any(|(t, _)| t.contains('…')));
            assert_eq!((scene.corners().len() - plain) % panels, 0);
            (scene.corners().len() - plain) / panels
        });
        more.collect()
    };
    // Four corners of a bar, three of a triangle.
    assert_eq!(marks(&both), [7, 7]);
    both.alternatives[0].side.away = both.base.away.clone();
    assert_eq!(marks(&both), [7, 7]);
    both.alternatives[0].side.away.ends_s = vec![hours(23.5)];
    assert_eq!(marks(&both), [14, 14]);
}
