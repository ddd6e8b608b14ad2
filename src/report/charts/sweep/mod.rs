//! Charts of a study: for each measure one picture of the whole design, and one of which factor moves it
//! most.
//!
//! | file in `charts/` | shows | drawn when |
//! |---|---|---|
//! | `MEASURE-curve` | the mean along the levels, with its interval | one factor varies, or none |
//! | `MEASURE-heat-map` | a cell for each pair of levels | two factors vary |
//! | `MEASURE-panels` | heat maps, a panel for each level of a factor | three factors vary |
//! | `MEASURE-factors` | a panel per factor, with the points along its levels | more than three vary, the design is no grid, or it has more cells than can be seen |
//! | `MEASURE-tornado` | from the base to the low and the high level of each factor | the study has such a pass |
//!
//! `MEASURE` is the measure's name with `-` for `_`. A picture that cannot show everything says what it
//! shows; one without values says so.
//!
//! All are drawn from the plain data of [`swept`](crate::study::swept) and nothing else. Which picture a design gets is
//! decided in one place, `whole`. The tests put no text over another and nothing outside the picture, for every odd study
//! in `sweep/tests/`. They leave some ninety pictures in `target/pictures`: look at them.

mod across;
mod axes;
mod chance;
mod curves;
#[cfg(test)]
mod examples;
mod factors;
mod heat;
mod mesh;
mod others;
mod page;
mod ramp;
#[cfg(test)]
mod tests;
mod tornado;
mod view;

use super::Chart;
use super::scene::Scene;
use crate::report::pictures::SWEEP;
use crate::report::units::Units;
use crate::study::swept::Swept;
use axes::{Axis, varying};
use mesh::Mesh;
use std::collections::BTreeSet;
use std::sync::Arc;
use view::View;

/// Letters of a file name at most.
const MAX_LETTERS: usize = 60;

/// The charts of a study with values in `units`, for `charts/` of the output folder.
#[must_use]
pub fn of_sweep(swept: &Swept, units: Units) -> Vec<Chart<'_>> {
    let mesh = Arc::new(Mesh::of(swept));
    let stems = stems(swept).into_iter().enumerate();
    let views = stems.filter_map(|(measure, stem)| Some((View::new(swept, measure, units)?, stem)));
    let charts = views.map(|(view, stem)| {
        let mesh = Arc::clone(&mesh);
        let name = view.info.name;
        let draw = move || {
            let scenes = scenes(&view, mesh.as_ref().as_ref()).into_iter();
            let stems = scenes.map(|(kind, scene)| (format!("charts/{stem}-{kind}"), scene));
            stems.collect()
        };
        Chart {
            name,
            draw: Box::new(draw),
        }
    });
    charts.collect()
}

/// The charts of one measure, with their kinds.
fn scenes(view: &View<'_>, mesh: Option<&Mesh>) -> Vec<(&'static str, Scene)> {
    let tornado = tornado::draw(view).map(|scene| ("tornado", scene));
    let scenes: Vec<_> = std::iter::once(whole(view, mesh)).chain(tornado).collect();
    debug_assert!(scenes.iter().all(|(kind, _)| SWEEP.contains(kind)));
    scenes
}

/// The picture of the whole design.
fn whole(view: &View<'_>, mesh: Option<&Mesh>) -> (&'static str, Scene) {
    let varying = varying(view.swept);
    if varying.len() < 2 {
        let factor = varying.first().copied().unwrap_or(0);
        if let Some(axis) = Axis::new(view.swept, factor) {
            return ("curve", curves::draw(view, &axis));
        }
    }
    let map = mesh.and_then(|mesh| Some((mesh, heat::draw(view, mesh)?)));
    match map {
        Some((mesh, scene)) if mesh.panels.is_some() => ("panels", scene),
        Some((_, scene)) => ("heat-map", scene),
        None => ("factors", factors::draw(view)),
    }
}

/// A stem for the files of each measure: small letters, figures and `-`, each only once.
fn stems(swept: &Swept) -> Vec<String> {
    let mut taken = BTreeSet::new();
    let stem = |info: &&'static crate::service::measure::MeasureInfo| {
        let plain = plain(info.name);
        let numbered = (2..).map(|i: u32| format!("{plain}-{i}"));
        let mut names = std::iter::once(plain.clone()).chain(numbered);
        let free = names
            .find(|name| !taken.contains(name))
            .unwrap_or(plain.clone());
        taken.insert(free.clone());
        free
    };
    swept.measures.iter().map(stem).collect()
}

fn plain(name: &str) -> String {
    let parts = name.split(|c: char| !c.is_ascii_alphanumeric());
    let parts: Vec<&str> = parts.filter(|part| !part.is_empty()).collect();
    let joined = parts.join("-").to_ascii_lowercase();
    let short: String = joined.chars().take(MAX_LETTERS).collect();
    if short.is_empty() {
        "measure".to_owned()
    } else {
        short
    }
}
