//! What each of the charts is about: its series, in words.

use super::absence::Absences;
use super::bars::{self, Bar, Value};
use super::frame::{EDGE, TOP, evenings, nothing, right_edge, scene};
use super::panels::{self, Panel, has_any, heading};
use super::scene::Scene;
use super::stack::{self, Layer, Sum};
use super::style::{FREE, Fill, ON_BREAK, WALKING, of_duty};
use crate::report::number::{decimals, finite, text};
use crate::report::units::Units;
use crate::room::money::CostPart;
use crate::scenario::model::Duty;
use crate::service::measure::{CostMeasure, Measure};
use crate::service::series::SeriesKind;
use crate::study::evening::{Band, Estimate, Evening, Group, GroupKind};
use crate::words::charts::{self as words, titles};
use crate::words::names::{cost_part, doing};
use crate::words::text::capital;

/// Wares that are shown at most.
const MAX_WARES: usize = 8;

/// The band of a series, if there is one.
pub fn find(evening: &Evening, kind: SeriesKind) -> Option<&Band> {
    evening.series.iter().find(|band| band.info.kind == kind)
}

fn panel<'a>(
    evening: &'a Evening,
    kind: SeriesKind,
    heading: &str,
    unit: &'static str,
) -> Option<Panel<'a>> {
    let band = find(evening, kind).filter(|band| has_any(band))?;
    let is_share = band.info.unit == "1";
    Some(Panel {
        heading: heading.to_owned(),
        unit,
        band,
        factor: if is_share { 100.0 } else { 1.0 },
        whole: !is_share,
        near: false,
        by_mean: evening.replications > 1 && flips(band),
        none: None,
    })
}

/// Panels of one column: stages are followed downwards, wares are not.
const WARES_IN_A_COLUMN: usize = 4;
/// Stages that are shown at most.
const MAX_STAGES: usize = 5;
/// A queue of fewer pieces is no queue,
const FEW_PIECES: f64 = 20.0;
/// nor is one of fewer racks.
const FEW_RACKS: f64 = 2.0;

/// What waits at each stage where something waits, in one evening of ten at least; of more than five
/// stages those where most does.
pub fn queues(evening: &Evening) -> Scene {
    let mut scene = scene(evening, titles::QUEUES, &caption(evening));
    let mut stages: Vec<(f64, Panel<'_>)> = words::STAGES
        .into_iter()
        .filter(|(kind, ..)| *kind != SeriesKind::OnTables || waits_on_tables(evening))
        .filter_map(|(kind, heading, unit)| panel(evening, kind, heading, unit))
        .map(|panel| (fullness(panel.band), panel))
        .collect();
    let mut sizes: Vec<f64> = stages.iter().map(|(size, _)| *size).collect();
    sizes.sort_by(|a, b| b.total_cmp(a));
    // On a quiet evening the fullest stage stands for all.
    let least = sizes.first().copied().unwrap_or(0.0).min(1.0);
    let least = sizes.get(MAX_STAGES - 1).map_or(least, |s| s.max(least));
    stages.retain(|(size, _)| *size >= least);
    let panels = stages.into_iter().map(|(_, panel)| panel);
    let panels: Vec<_> = panels.take(MAX_STAGES).collect();
    panels::draw(&mut scene, evening, &panels, MAX_STAGES);
    scene
}

/// A count of whole things that is never larger flips between neighbours,
const FLIPS: f64 = 5.0;

/// so that its median jumps and its mean does not. So does that of racks that are either fresh or dried on.
pub fn flips(band: &Band) -> bool {
    let is_of_few = band.info.unit == words::RACKS && most(band) <= FLIPS;
    is_of_few || band.info.kind == SeriesKind::ExpectedRewash
}

/// Most that waits, over what is hardly a queue.
fn fullness(band: &Band) -> f64 {
    let few = if band.info.unit == "racks" {
        FEW_RACKS
    } else {
        FEW_PIECES
    };
    most(band) / few
}

fn most(band: &Band) -> f64 {
    let values = band.p90.iter().chain(&band.mean);
    values.filter_map(|v| finite(*v)).fold(0.0, f64::max)
}

/// Whether ware waits to be cleared down, rather than being on its way: the dish room clears down
/// itself, or more is out there than ever waits at a later stage.
fn waits_on_tables(evening: &Evening) -> bool {
    let by_crew =
        |group: &Group| group.kind == GroupKind::Station && group.name == Duty::ClearDown.name();
    let of = |kind| find(evening, kind).map_or(0.0, most);
    let later = [
        SeriesKind::AtDropOff,
        SeriesKind::InSoak,
        SeriesKind::AtPotSink,
        SeriesKind::ToRack,
        SeriesKind::ToPutAway,
    ];
    evening.groups.iter().any(by_crew)
        || later
            .into_iter()
            .all(|kind| of(SeriesKind::OnTables) > of(kind))
}

/// The caption of panels of bands.
fn caption(evening: &Evening) -> String {
    let absences = words::of_absences(Absences::of(evening).any());
    words::of_bands(evenings(evening)) + absences
}

/// What dries on while it waits.
pub fn dried_on(evening: &Evening) -> Scene {
    let mut scene = scene(evening, titles::DRIED_ON, &caption(evening));
    let panels: Vec<_> = words::DRYING
        .into_iter()
        .filter_map(|(kind, heading, none)| {
            let panel = panel(evening, kind, heading, "%")?;
            let none = Some(none);
            Some(Panel { none, ..panel })
        })
        .collect();
    panels::draw(&mut scene, evening, &panels, WARES_IN_A_COLUMN);
    scene
}

/// Whether a series is of the water of a machine.
pub fn is_of_water(kind: SeriesKind) -> bool {
    matches!(
        kind,
        SeriesKind::FinalRinse(_) | SeriesKind::Wash(_) | SeriesKind::TankSoil(_)
    )
}

/// A band in shown units.
pub fn in_units(band: &Band, units: Units) -> Band {
    let shown = units.shown(band.info.unit);
    let one = |value: Option<f64>| value.map(|v| v * shown.factor + shown.offset);
    let all = |values: &[Option<f64>]| values.iter().map(|v| one(*v)).collect();
    let mut info = band.info.clone();
    (info.unit, info.least) = (shown.unit, one(info.least));
    Band {
        info,
        mean: all(&band.mean),
        p10: all(&band.p10),
        p50: all(&band.p50),
        p90: all(&band.p90),
    }
}

/// Whether there is any clean stock to show.
pub fn has_stock(evening: &Evening) -> bool {
    let mut series = evening.series.iter();
    series.any(|band| matches!(band.info.kind, SeriesKind::CleanStock(_)) && has_any(band))
}

/// Clean stock by ware; of many wares those that run lowest.
pub fn clean_stock(evening: &Evening) -> Scene {
    let mut wares: Vec<_> = evening
        .series
        .iter()
        .filter(|band| matches!(band.info.kind, SeriesKind::CleanStock(_)) && has_any(band))
        .collect();
    let mut caption = words::of_bands(evenings(evening));
    let unused = wares.iter().filter(|band| is_flat(band)).count();
    if unused < wares.len() {
        wares.retain(|band| !is_flat(band));
        caption += &words::unused_wares(unused);
    }
    let all = wares.len();
    if all > MAX_WARES {
        wares.sort_by(|a, b| least_part(a).total_cmp(&least_part(b)));
        wares.truncate(MAX_WARES);
        caption += &words::lowest_wares(MAX_WARES, all);
    } else {
        // Narrow panels have no room to name it.
        caption += words::SHADED_PEAK;
    }
    caption += words::of_absences(Absences::of(evening).any());
    let mut scene = scene(evening, titles::STOCK, &caption);
    let panels: Vec<_> = wares
        .into_iter()
        .map(|band| Panel {
            heading: ware_name(&band.info.name),
            unit: words::PIECES,
            band,
            factor: 1.0,
            whole: true,
            near: false,
            by_mean: false,
            none: None,
        })
        .collect();
    panels::draw(&mut scene, evening, &panels, WARES_IN_A_COLUMN);
    scene
}

/// Ware that nobody took in any evening.
fn is_flat(band: &Band) -> bool {
    let mut values = band.p10.iter().chain(&band.mean).filter_map(|v| finite(*v));
    let first = values.next();
    values.all(|value| Some(value) == first)
}

/// The name after the colon, with a capital.
pub fn ware_name(series: &str) -> String {
    let name = series.split_once(':').map_or(series, |(_, name)| name);
    capital(name)
}

/// Least over most of a stock: how low it runs.
pub fn least_part(band: &Band) -> f64 {
    let values = band.mean.iter().filter_map(|v| finite(*v));
    let (least, most) = values.fold((f64::MAX, 0.0), |(a, b), v| (v.min(a), v.max(b)));
    if most > 0.0 { least / most } else { 1.0 }
}

/// What the crew does.
pub fn crew(evening: &Evening) -> Scene {
    let mut scene = scene(evening, titles::CREW, &words::of_means(evenings(evening)));
    let duties = Duty::ALL.map(|duty| {
        let name = doing(duty).to_owned();
        (SeriesKind::AtDuty(duty), name, of_duty(duty))
    });
    let others = [
        (SeriesKind::Walking, words::WALKING.to_owned(), WALKING),
        (SeriesKind::Free, words::FREE.to_owned(), FREE),
        (SeriesKind::OnBreak, words::ON_BREAK.to_owned(), ON_BREAK),
    ];
    let layers = layers(evening, duties.into_iter().chain(others));
    let sum = Sum {
        heading: words::AT_EACH_DUTY,
        unit: words::OPERATORS,
        factor: 1.0,
        top: None,
    };
    stack::draw(&mut scene, evening, &layers, &sum);
    scene
}

/// The layers that have any value above 0.
pub fn layers(
    evening: &Evening,
    wanted: impl IntoIterator<Item = (SeriesKind, String, Fill)>,
) -> Vec<Layer<'_>> {
    wanted
        .into_iter()
        .filter_map(|(kind, name, fill)| {
            let band = find(evening, kind)?;
            let is_there = band
                .mean
                .iter()
                .any(|v| finite(*v).is_some_and(|v| v > 0.0));
            is_there.then_some(Layer { name, band, fill })
        })
        .collect()
}

/// What a service costs, part by part, with what all of it comes to above.
pub fn cost(evening: &Evening) -> Scene {
    let mut scene = scene(evening, titles::COST, &words::of_bars(evenings(evening)));
    let bars: Vec<Bar> = evening
        .groups
        .iter()
        .filter(|group| group.kind == GroupKind::Cost)
        .map(|group| cost_bar(evening, group))
        .collect();
    if bars.iter().all(|bar| bar.value.is_none()) {
        nothing(&mut scene, words::NO_VALUES);
        return scene;
    }
    let whole = [Measure::Cost, Measure::CostPerCover, Measure::CostPerRack];
    let listed: Vec<String> = whole
        .into_iter()
        .zip(words::WHOLE_COST)
        .filter_map(|(measure, of)| {
            let estimate = evening.measures.iter().find(|e| e.info == measure.info())?;
            finite(estimate.mean).map(|_| format!("{of} {}", mean_text(estimate)))
        })
        .collect();
    let at = (EDGE, TOP - 10.0);
    let heads = listed.join(", ");
    heading(&mut scene, at, right_edge(), &heads, words::MONEY);
    bars::draw(&mut scene, &bars);
    scene
}

fn cost_bar(evening: &Evening, group: &Group) -> Bar {
    let of = |measure: CostMeasure| group.measures.iter().find(|e| e.info == measure.info());
    let part = CostPart::ALL
        .into_iter()
        .find(|part| part.name() == group.name);
    let name = part.map_or("", cost_part);
    let cost = of(CostMeasure::Cost).and_then(|e| Some((e, finite(e.mean)?)));
    let Some((estimate, mean)) = cost else {
        let words = words::NO_COST.to_owned();
        return Bar {
            name,
            value: None,
            words,
        };
    };
    let spread = finite(estimate.p10.value).zip(finite(estimate.p90.value));
    let share = of(CostMeasure::Share).and_then(|e| finite(e.mean));
    let share = share.map(percent);
    Bar {
        name,
        value: Some(Value {
            mean,
            spread: spread.filter(|_| evening.replications > 1),
        }),
        words: match share {
            Some(share) => words::part_of_cost(&mean_text(estimate), &share),
            None => mean_text(estimate),
        },
    }
}

/// A share as a percentage, with a decimal as long as it means something.
fn percent(share: f64) -> String {
    match 100.0 * share {
        percent if percent >= 9.95 => format!("{percent:.0} %"),
        percent if percent >= 0.05 => format!("{percent:.1} %"),
        _ => words::HARDLY.to_owned(),
    }
}

/// A mean to the digits that its interval supports.
fn mean_text(e: &Estimate) -> String {
    text(e.mean, decimals(e.half_width, e.info.decimals as i32))
}
