//! Heat maps: a cell for each pair of levels, coloured by the mean, its value printed where there is
//! room; of three factors a panel for each level of one. All panels share one scale of colours.
//!
//! Cells that meet the target are outlined; a corner is marked where the interval reaches across it.
//! Cells without a value are hatched.

mod axes;
mod labels;
mod legend;
mod map;
mod outline;
mod values;

use super::super::axis::Scale;
use super::super::frame::nothing;
use super::super::scene::Scene;
use super::mesh::Mesh;
use super::page::{captions, page};
use super::view::View;
use map::Map;

/// Draws a measure on a mesh; none if its cells would be too small.
pub fn draw(view: &View<'_>, mesh: &Mesh) -> Option<Scene> {
    let map = Map::new(view, mesh)?;
    let mut scene = page(view);
    let Some((low, high)) = view.range() else {
        nothing(&mut scene, "Nothing to show: no design point has a value.");
        captions(&mut scene, view, Vec::new());
        return Some(scene);
    };
    let scale = Scale::around(low, high, 5);
    map.axes(&mut scene);
    for panel in 0..mesh.shown.len() {
        map.cells(&mut scene, panel, &scale);
        map.outline(&mut scene, panel);
    }
    map.values(&mut scene, &scale);
    map.legend(&mut scene, &scale);
    captions(&mut scene, view, map.sentences());
    Some(scene)
}

impl Map<'_> {
    fn sentences(&self) -> Vec<String> {
        let view = self.view;
        let print = self.print(&self.printed());
        let (evenings, seed) = (view.evenings(), view.swept.seed);
        let mut sentences = vec![format!("Mean of {evenings} in each cell, seed {seed}.")];
        if print.is_some_and(|print| print.has_spread) {
            sentences.push("±: half-width of its 95 % interval.".to_owned());
        }
        if let Some(name) = self.headless() {
            sentences.push(format!("A panel for each level of {name}."));
        }
        if let Some(axis) = &self.mesh.panels {
            let (shown, all) = (self.mesh.shown.len(), axis.len());
            if shown < all {
                sentences.push(format!("{shown} of the {all} levels of {}.", axis.name));
            }
        }
        let target = match view.bounds_text() {
            Some(text) => Some(format!("the target, {text}")),
            None if view.swept.targets.is_empty() && view.swept.keeping.is_empty() => None,
            None => Some("all targets of the study".to_owned()),
        };
        if let Some(target) = target {
            let any = self.all().any(|(p, c, l)| self.keeps(p, c, l));
            let by_mean = !view.bounds().is_empty() || view.swept.keeping.is_empty();
            sentences.push(if any && !by_mean {
                format!("Outlined: {target} are met, by their estimates.")
            } else if any {
                format!("Outlined: the mean meets {target}.")
            } else {
                format!("No cell meets {target}.")
            });
        }
        if self.is_marked() && self.any_unsure() {
            sentences.push("Could be luck: the interval reaches across the target.".to_owned());
        }
        sentences
    }
}
