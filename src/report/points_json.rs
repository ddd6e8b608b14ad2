//! One JSON document of a study as played: its factors, every design point with its estimates, and how far
//! each factor alone moves each measure. What does not exist is `null`.

use serde_json::{Map, Value as Json, json};

use super::ReportError;
use super::json::pretty;
use super::number::finite;
use super::points::{Found, PointPlayed, Written};
use crate::study::design::Study;
use crate::study::swept::{Cell, Level, Swept, Swing};
use crate::version;
use crate::words::tables::CAREFUL;

/// The document, indented, with a newline at its end.
///
/// # Errors
/// [`ReportError::Json`].
pub fn document(study: &Study, written: &Written) -> Result<String, ReportError> {
    let mut document = json!({
        "version": version::NUMBER,
        "commit": version::COMMIT,
        "study": study.name,
        "title": study.title,
        "seed": study.seed,
        "digest": study.digest(),
        "currency": study.wording.currency(),
        "points": study.points(),
        "points_repeated": study.repeated(),
        "replications_at_most": study.replications.most(),
        "targets": study.targets.iter().map(|target| target.words(&study.wording)).collect::<Vec<_>>(),
        "points_unfinished": written.unfinished.len(),
        "points_keeping_all_targets": (!study.targets.is_empty()).then_some(written.keeping),
        "cautions": CAREFUL,
    });
    if let Some(swept) = &written.swept {
        document["factors"] = swept.factors.iter().map(|factor| {
            json!({ "name": factor.name, "unit": factor.unit, "levels": factor.levels.iter().map(level).collect::<Vec<_>>() })
        }).collect();
        document["design_points"] = (0..swept.points.len())
            .map(|point| design_point(study, swept, written, point))
            .collect();
        document["one_at_a_time"] = swept
            .swings
            .iter()
            .map(|swing| moved(swept, swing))
            .collect();
    }
    pretty(&document)
}

fn level(level: &Level) -> Json {
    level.number.map_or_else(|| json!(level.text), Json::from)
}

fn design_point(study: &Study, swept: &Swept, written: &Written, point: usize) -> Json {
    let settings = swept.factors.iter().zip(&swept.points[point]);
    let settings: Map<String, Json> = settings
        .filter_map(|(factor, at)| Some((factor.name.clone(), level(factor.levels.get(*at)?))))
        .collect();
    let cells = swept.measures.iter().zip(&swept.cells[point]);
    let measures: Map<String, Json> = cells
        .map(|(info, cell)| {
            (
                info.name.to_string(),
                figures(study.wording.unit(info.unit), cell),
            )
        })
        .collect();
    let played = written.played.get(point);
    let found = played.map_or(&[][..], |played| &played.targets);
    json!({
        "point": point,
        "settings": settings,
        "evenings": played.map(|played| played.evenings),
        "unfinished": played.map(|played| played.unfinished),
        "measures": measures,
        "targets": found.iter().map(target).collect::<Vec<_>>(),
        "meets_targets": played.filter(|_| !study.targets.is_empty()).map(PointPlayed::keeps),
    })
}

/// A target at a design point; in the order of the document's `targets`.
fn target(found: &Found) -> Json {
    json!({
        "share": finite(found.share),
        "share_low_95": finite(found.low),
        "share_high_95": finite(found.high),
        "met": found.is_met,
    })
}

fn figures(unit: &str, cell: &Cell) -> Json {
    json!({ "unit": unit, "mean": finite(cell.mean), "half_width": finite(cell.half_width), "n": cell.n })
}

fn moved(swept: &Swept, swing: &Swing) -> Json {
    let info = swept.measures[swing.measure];
    let unit = swept.wording.unit(info.unit);
    json!({
        "factor": swept.factors[swing.factor].name,
        "measure": info.name,
        "base": figures(unit, &swing.at_base),
        "low": { "setting": level(&swing.low), "measure": figures(unit, &swing.at_low), "difference_half_width": finite(swing.low_half_width) },
        "high": { "setting": level(&swing.high), "measure": figures(unit, &swing.at_high), "difference_half_width": finite(swing.high_half_width) },
    })
}
