//! People needed beside people there, duty by duty and half hour by half hour: the hand sheet's cover as a picture.
//!
//! All panels have one axis, so that heights can be held against each other. What is needed beyond those who are there
//! stands out in a colour of its own, and so does work that comes while nobody has the duty.

use super::axis::Scale;
use super::font::{SUBSTITUTE, width as text_width};
use super::frame::{
    BOTTOM, EDGE, TOP, TimeAxis, nothing, right_edge, small_print, subtitle, titled,
};
use super::panels::{HEADING_HEIGHT, ROW_GAP, grid, heading, tick_width, ticks, y};
use super::scene::{Anchor, Point, Scene};
use super::style::{INK, LEAST, NEEDED, NOTE};
use crate::scenario::model::Duty;
use crate::scenario::wording::Wording;
use crate::study::evening::Clock;
use crate::study::sheet::cover::{Cover, HalfHour, Together};
use crate::words::charts::{self as words, NO_VALUES, titles};
use crate::words::names::doing;
use crate::words::text::capital;

/// Panels of one column; more stand in two.
const IN_A_COLUMN: usize = 3;
const COLUMN_GAP: f64 = 34.0;
/// Work that nobody is there for is seen however little it is, px.
const LEAST_SEEN: f64 = 5.0;
/// Needs below this round to nothing on the sheet.
const NOTHING: f64 = 0.005;

/// What it is drawn from.
#[derive(Debug, Clone, Copy)]
pub struct Covered<'a> {
    /// File stem of the scenario.
    pub name: &'a str,
    /// Its title.
    pub title: &'a str,
    /// What it calls its service.
    pub wording: &'a Wording,
    /// Opening, closing, busiest hour.
    pub clock: Clock,
    /// People needed and there.
    pub cover: &'a Cover,
}

impl Covered<'_> {
    /// Whether somebody is needed for anything.
    pub fn is_any(&self) -> bool {
        let mut rows = self.cover.half_hours.iter();
        rows.any(|row| row.people_needed > NOTHING)
    }
}

/// One panel: people needed and there in each half hour.
struct Panel {
    heading: String,
    rows: Vec<[f64; 2]>,
}

fn panels(cover: &Cover) -> Vec<Panel> {
    let of = |heading: &str, figures: &dyn Fn(&HalfHour) -> Option<[f64; 2]>| Panel {
        heading: capital(heading),
        rows: (cover.half_hours.iter())
            .map(|row| figures(row).unwrap_or_default())
            .collect(),
    };
    let all = of(words::ALL_DUTIES, &|row| {
        Some([row.people_needed, row.people_there])
    });
    let first = cover.half_hours.first();
    let duties = first.iter().flat_map(|row| &row.duties).map(|work| {
        let duty = work.duty;
        of(doing(duty), &|row| {
            let mut duties = row.duties.iter();
            let work = duties.find(|work| work.duty == duty)?;
            Some([work.people_needed, work.people_there])
        })
    });
    let is_whole = |together: &&Together| {
        let needed = duties_needed(cover);
        needed.iter().all(|duty| together.duties.contains(duty))
    };
    let shared = cover.tightest.as_ref().filter(|one| !is_whole(one));
    let shared = shared.map(|together| {
        let names: Vec<String> = together
            .duties
            .iter()
            .map(|duty| doing(*duty).to_lowercase())
            .collect();
        let rows = together.people_needed.iter().zip(&together.people_there);
        Panel {
            heading: capital(&words::together(&names)),
            rows: rows.map(|(needed, there)| [*needed, *there]).collect(),
        }
    });
    let is_needed = |panel: &Panel| panel.rows.iter().any(|[needed, _]| *needed > NOTHING);
    std::iter::once(all)
        .chain(shared)
        .chain(duties)
        .filter(is_needed)
        .collect()
}

/// Duties that somebody is needed for at some time.
fn duties_needed(cover: &Cover) -> Vec<Duty> {
    let works = cover.half_hours.iter().flat_map(|row| &row.duties);
    let needed = works.filter(|work| work.people_needed > NOTHING);
    needed.map(|work| work.duty).collect()
}

/// The picture.
pub fn draw(of: Covered<'_>) -> Scene {
    let mut scene = titled(titles::COVER, of.title, words::OF_COVER, of.wording);
    subtitle(&mut scene, of.title);
    small_print(&mut scene, &words::from_sheet(of.name));
    let panels = panels(of.cover);
    let (Some(first), Some(last)) = (of.cover.half_hours.first(), of.cover.half_hours.last())
    else {
        nothing(&mut scene, NO_VALUES);
        return scene;
    };
    let clock = Clock {
        start_s: first.from_s,
        shown_to_s: last.to_s,
        ..of.clock
    };
    let minutes = ((last.to_s - first.from_s) / 60.0) as usize + 1;
    let columns = if panels.len() > IN_A_COLUMN { 2 } else { 1 };
    let lines = panels.len().div_ceil(columns);
    let height = (BOTTOM - TOP + ROW_GAP) / lines as f64;
    let most = panels.iter().flat_map(|panel| panel.rows.iter().flatten());
    let scale = Scale::new(
        most.copied().fold(0.0, f64::max),
        ticks(height).min(4),
        true,
    );
    let gutter = tick_width(&scale) + 14.0;
    let width = (right_edge() - EDGE + COLUMN_GAP) / columns as f64;
    for (at, panel) in panels.iter().enumerate() {
        let (column, line) = (at % columns, at / columns);
        let left = EDGE + width * column as f64;
        let axis = TimeAxis::new(left + gutter, left + width - COLUMN_GAP, &clock, minutes);
        let top = TOP + line as f64 * height;
        let bounds = (top + HEADING_HEIGHT, top + height - ROW_GAP);
        plot(
            &mut scene,
            panel,
            (&axis, &clock),
            (&scale, bounds),
            of.cover,
        );
        if at + columns >= panels.len() {
            axis.labels(&mut scene, bounds.1);
        }
        if line == 0 {
            axis.marks(&mut scene, &clock);
        }
    }
    scene
}

fn plot(
    scene: &mut Scene,
    panel: &Panel,
    (axis, clock): (&TimeAxis, &Clock),
    (scale, bounds): (&Scale, Point),
    cover: &Cover,
) {
    let at = (axis.left, bounds.0 - 9.0);
    heading(scene, at, axis.right, &panel.heading, words::PEOPLE);
    axis.ground(scene, clock, bounds.0, bounds.1);
    grid(scene, axis, scale, bounds);
    let mut there = Vec::new();
    for (row, [needed, people]) in cover.half_hours.iter().zip(&panel.rows) {
        // On whole pixels, so that neighbours leave no seam.
        let (from, to) = (
            libm::round(axis.at(row.from_s)),
            libm::round(axis.at(row.to_s)),
        );
        let height = |value: f64| y(scale, bounds, value);
        let within = needed.min(*people);
        scene.rect((from, height(within)), (to, bounds.1), NEEDED);
        if needed > people {
            let is_alone = *people <= 0.0;
            let least = if is_alone {
                bounds.1 - LEAST_SEEN
            } else {
                f64::INFINITY
            };
            scene.rect(
                (from, height(*needed).min(least)),
                (to, height(within)),
                LEAST,
            );
        }
        there.extend([(from, height(*people)), (to, height(*people))]);
    }
    scene.line(there, INK, 2.5);
    nobody(scene, panel, axis, (scale, bounds), cover);
    axis.service(scene, clock, bounds.0, bounds.1);
}

/// Says so over the stretches in which there is work and nobody who has the duty, where they are wide enough.
fn nobody(
    scene: &mut Scene,
    panel: &Panel,
    axis: &TimeAxis,
    (scale, bounds): (&Scale, Point),
    cover: &Cover,
) {
    let room = SUBSTITUTE * text_width(words::NOBODY, NOTE.em, false) + 8.0;
    let rows: Vec<_> = cover.half_hours.iter().zip(&panel.rows).collect();
    let is_gap = |[needed, people]: &[f64; 2]| *needed > 0.0 && *people <= 0.0;
    for gap in rows.chunk_by(|a, b| is_gap(a.1) == is_gap(b.1)) {
        let (Some((first, figures)), Some((last, _))) = (gap.first(), gap.last()) else {
            continue;
        };
        let (from, to) = (axis.at(first.from_s), axis.at(last.to_s));
        if is_gap(figures) && to - from > room {
            let most = gap
                .iter()
                .map(|(_, [needed, _])| *needed)
                .fold(0.0, f64::max);
            let above = y(scale, bounds, most).min(bounds.1 - LEAST_SEEN) - 7.0;
            // At the beginning, where the mark of the closing rarely is.
            let at = (from + 6.0, above.max(bounds.0 + 16.0));
            scene.text(at, words::NOBODY, NOTE, Anchor::Start);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::room::Room;
    use crate::scenario;
    use crate::study::sheet::Sheet;
    use std::path::Path;

    fn sheet(file: &str) -> Sheet {
        let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
        let loaded = scenario::load(&file).unwrap();
        Sheet::of(&loaded.scenario, &Room::of(&loaded.scenario))
    }

    fn drawn(sheet: &Sheet) -> Scene {
        draw(Covered {
            name: "friday-rush",
            title: &sheet.title,
            wording: &sheet.wording,
            clock: sheet.clock,
            cover: &sheet.cover,
        })
    }

    fn headings(scene: &Scene) -> Vec<&str> {
        let texts = scene.boxes().into_iter().map(|(text, _)| text);
        texts.filter(|text| text.ends_with(" (people)")).collect()
    }

    /// All duties, those that one person shares and that bind, then each duty that somebody is needed for.
    #[test]
    fn each_duty_has_a_panel_and_those_that_bind_one_together() {
        let sheet = sheet("scenarios/friday-rush.toml");
        assert_eq!(
            headings(&drawn(&sheet)),
            [
                "All duties (people)",
                "Scraping + soaking + loading (people)",
                "Scraping (people)",
                "Soaking (people)",
                "Loading (people)",
                "Unloading (people)",
                "Putting away (people)"
            ]
        );
        // The figures are those of the table: 1.50 needed of 1.00 in the hour that binds.
        let together = sheet.cover.tightest.as_ref().unwrap();
        let pairs = together.people_needed.iter().zip(&together.people_there);
        let (needed, there) = pairs.max_by(|a, b| a.0.total_cmp(b.0)).unwrap();
        assert!(
            (1.45..1.55).contains(needed) && (there - 1.0).abs() < 1e-9,
            "{needed} of {there}"
        );
    }

    /// What is more than are there is orange, and only that.
    #[test]
    fn a_gap_is_seen_where_there_is_one() {
        let lacks = |sheet: &Sheet| {
            let svg = drawn(sheet).svg().unwrap();
            svg.to_uppercase().matches("#D55E00").count()
        };
        let mut friday = sheet("scenarios/friday-rush.toml");
        assert!(lacks(&friday) > 4);
        for row in &mut friday.cover.half_hours {
            row.people_there = 9.0;
            row.duties
                .iter_mut()
                .for_each(|work| work.people_there = 9.0);
        }
        friday.cover.tightest = None;
        assert_eq!(lacks(&friday), 0);
        // However little comes while nobody is there.
        let first = &mut friday.cover.half_hours[0].duties[0];
        (first.people_needed, first.people_there) = (0.01, 0.0);
        assert_eq!(lacks(&friday), 1);
    }

    #[test]
    fn texts_stand_within_the_picture() {
        for name in ["friday-rush", "banquet", "corner-cafe", "central-kitchen"] {
            let sheet = sheet(&format!("scenarios/{name}.toml"));
            let scene = drawn(&sheet);
            for (text, [left, top, right, bottom]) in scene.boxes() {
                assert!(!text.ends_with('…'), "{name}: {text}");
                let is_in = left >= 0.0 && top >= 0.0 && right <= 1200.0 && bottom <= 675.0;
                assert!(is_in, "{name}: {text}");
            }
        }
    }
}
