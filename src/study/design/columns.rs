//! Names that a factor may not have: its values are a column of the tables of a study, and these have
//! columns of their own. Whoever reads a table by the names of its columns must find one of each.

use std::collections::BTreeMap;

use super::factor::Factor;
use super::study::Study;
use crate::scenario::mistakes::{Mistake, Sort};
use crate::scenario::sources::Place;
use crate::service::measure::MEASURES;

/// Columns of the tables that are not about a measure, in whatever table they stand.
const FIXED: &[&str] = &[
    "point",
    "replication",
    "replications",
    "finished",
    "unfinished",
    "meets_targets",
    "factor",
    "setting",
    "meaning",
    "mean",
    "half_width_95",
    "n",
    "difference_from_base",
    "difference_half_width_95",
    "measure",
    "unit",
    "fate",
    "why",
    "evenings",
];

/// Reports factors that have the name of a column, or of another factor's.
pub fn check(study: &Study, mistakes: &mut Vec<Mistake>) {
    let mut heads: BTreeMap<String, &Place> = BTreeMap::new();
    for factor in &study.factors {
        if is_column(&factor.name) {
            let title = format!(
                "the tables of a study have a column \"{}\" of their own",
                factor.name
            );
            let mistake = Mistake::new(Sort::Clash, title).at(&factor.place, "this factor");
            mistakes.push(mistake.help("give the factor another name"));
        }
        if let Some(first) = heads.insert(head(factor), &factor.place) {
            let title = format!("two factors have the column \"{}\"", head(factor));
            let mistake = Mistake::new(Sort::Clash, title)
                .at(&factor.place, "the second")
                .also(first, "the first");
            mistakes.push(mistake.help("give one of them another name"));
        }
    }
}

/// The head of a factor's column.
fn head(factor: &Factor) -> String {
    match factor.unit {
        "" => factor.name.clone(),
        unit => format!("{} [{unit}]", factor.name),
    }
}

/// Whether a table has that column. What is about a measure starts with its name, or with words about its
/// target.
fn is_column(name: &str) -> bool {
    let of_measure = |measure: &str| {
        let rest = name.strip_prefix(measure);
        rest.is_some_and(|rest| {
            let rest = rest.trim_start_matches(['_', ' ']);
            rest.is_empty()
                || rest == "n"
                || rest.starts_with('[')
                || rest.starts_with("half_width")
        })
    };
    FIXED.contains(&name)
        || MEASURES.iter().any(|info| of_measure(info.name))
        || name.starts_with("share of evenings with ")
}
