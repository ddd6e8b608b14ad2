//! A time that may vary: `"18 s"`, `{ mean = "18 s", cv = 0.3 }` or `{ observations = "file.csv" }`.

use serde_json::{Value as Json, json};

use super::{Checker, join, shape};
use crate::scenario::fields::{self, Field, Kind, Log, Quantity};
use crate::scenario::mistakes::{Mistake, Sort};
use crate::scenario::tree::{Node, Table, Value};

/// The largest coefficient of variation of a symmetric triangular time: 1/√6.
const TRIANGULAR_CV: f64 = 0.408_248_290_463_863;
/// That of a uniform time: 1/√3.
const UNIFORM_CV: f64 = 0.577_350_269_189_625_8;

/// What is wrong with a coefficient of variation, and the cure.
type Clash = (String, String);

impl Checker<'_> {
    /// A fixed time, a named shape, or observations.
    pub(super) fn time(&mut self, limits: Quantity, node: &Node, path: &str) -> Option<Json> {
        let Value::Table(table) = &node.value else {
            return self.quantity(limits, node, path).map(shape::fixed);
        };
        let known: Vec<&'static Field> = fields::TIME.iter().collect();
        self.unknown_keys(table, &known, path);
        if table.contains_key("observations") {
            return self.observed(limits, table, path);
        }
        let Some(mean) = self.entry(table, "mean", path) else {
            let mistake =
                Mistake::new(Sort::Missing, format!("`{path}.mean` is missing: its mean"))
                    .at(&node.place, "needed here")
                    .help(format!("add `mean = \"{}\"`", limits.example()));
            self.wrong(path, mistake);
            return None;
        };
        let mean_s = self.quantity(limits, mean, &join(path, "mean"));
        let (cv, shape) = self.shape(table, node, path)?;
        let mean_s = mean_s?;
        // A mean of 0 keeps its variation: it is also that of the seconds per piece.
        if cv == 0.0 {
            return Some(shape::fixed(mean_s));
        }
        Some(json!({ "mean": mean_s, "cv": cv, "distribution": shape, "observations": [] }))
    }

    /// Coefficient of variation and shape, which must go together.
    fn shape(&mut self, table: &Table, node: &Node, path: &str) -> Option<(f64, String)> {
        let [_, cv_field, shape_field, _] = fields::TIME else {
            return None;
        };
        let (Kind::Number(bounds), Kind::Choice(words)) = (cv_field.kind, shape_field.kind) else {
            return None;
        };
        let cv_path = join(path, "cv");
        let cv_node = self.entry(table, "cv", path);
        let shape_node = self.entry(table, "distribution", path);
        let cv = match cv_node {
            Some(cv) => Some(self.number(bounds, cv_field, cv, &cv_path)?),
            None => None,
        };
        let shape = match shape_node {
            Some(shape) => {
                Some(self.choice(words, shape_field, shape, &join(path, "distribution"))?)
            }
            None => None,
        };
        let (cv, shape, clash) = settle(cv, shape.as_deref());
        if let Some((title, help)) = clash {
            let place = cv_node.or(shape_node).map_or(&node.place, |n| &n.place);
            let mut mistake = Mistake::new(Sort::Clash, format!("`{path}`: {title}"))
                .at(
                    place,
                    if cv_node.is_some() {
                        "this variation"
                    } else {
                        "this shape"
                    },
                )
                .help(help);
            if let (Some(_), Some(shape)) = (cv_node, shape_node) {
                mistake = mistake.also(&shape.place, "this shape");
            }
            self.wrong(path, mistake);
            return None;
        }
        Some((cv, shape))
    }

    /// Observed times, with their own mean and variation.
    fn observed(&mut self, limits: Quantity, table: &Table, path: &str) -> Option<Json> {
        let file_path = join(path, "observations");
        let [_, _, _, field] = fields::TIME else {
            return None;
        };
        let node = self.entry(table, "observations", path)?;
        if let Some((key, entry)) = table.iter().find(|(key, _)| *key != "observations") {
            let mistake = Mistake::new(
                Sort::Clash,
                format!("`{path}` has observations and `{key}`"),
            )
            .at(&entry.node.place, "given besides")
            .also(&node.place, "the observations")
            .help("leave one of them out: mean and variation are those of the observations");
            self.wrong(path, mistake);
            return None;
        }
        let Json::Array(rows) = self.log(Log::Observations, field, node, &file_path)? else {
            return None;
        };
        let seconds: Vec<f64> = rows.iter().filter_map(Json::as_f64).collect();
        let (mean, cv) = mean_and_cv(&seconds);
        if !limits.bounds_si().holds(mean) {
            let mistake = Mistake::new(Sort::Value, format!("`{path}` is out of range"))
                .at(
                    &node.place,
                    format!("the mean of these observations is {mean:.3} s"),
                )
                .help(format!("give {}", limits.words()));
            self.wrong(path, mistake);
            return None;
        }
        Some(
            json!({ "mean": mean, "cv": cv, "distribution": "empirical", "observations": seconds }),
        )
    }
}

/// Coefficient of variation and shape, each from the other if need be, and whether they clash.
fn settle(cv: Option<f64>, shape: Option<&str>) -> (f64, String, Option<Clash>) {
    let unsaid = if cv.is_some_and(|cv| cv > 0.0) {
        "lognormal"
    } else {
        "fixed"
    };
    let shape = shape.unwrap_or(unsaid);
    let most = match shape {
        "triangular" => Some(TRIANGULAR_CV),
        "uniform" => Some(UNIFORM_CV),
        _ => None,
    };
    let clash = |title: String, help: &str| Some((title, help.to_string()));
    let wrong = match (shape, cv) {
        ("fixed", Some(cv)) if cv > 0.0 => clash(
            "a fixed time does not vary".into(),
            "leave `cv` out, or name another shape",
        ),
        ("exponential", Some(cv)) if cv != 1.0 => clash(
            "the variation of an exponential time is 1".into(),
            "leave `cv` out, or take \"gamma\", which is exponential at cv = 1",
        ),
        ("fixed" | "exponential", _) => None,
        (_, None) => clash(
            format!("a {shape} time needs `cv`"),
            "add `cv`, such as cv = 0.3",
        ),
        (_, Some(cv)) if most.is_some_and(|most| cv > most + 1e-9) => clash(
            format!("a {shape} time cannot vary that much without being negative"),
            "at most 0.408 for triangular and 0.577 for uniform; or take \"gamma\"",
        ),
        _ => None,
    };
    let own = if shape == "exponential" { 1.0 } else { 0.0 };
    (cv.unwrap_or(own), shape.to_string(), wrong)
}

/// Mean and coefficient of variation (with n − 1); no variation for a single observation.
fn mean_and_cv(seconds: &[f64]) -> (f64, f64) {
    let n = seconds.len() as f64;
    let mean = seconds.iter().sum::<f64>() / n.max(1.0);
    let squares: f64 = seconds.iter().map(|s| (s - mean) * (s - mean)).sum();
    let sd = if n > 1.0 {
        (squares / (n - 1.0)).sqrt()
    } else {
        0.0
    };
    (mean, if mean > 0.0 { sd / mean } else { 0.0 })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shape_and_variation_go_together() {
        let ok = |cv, shape| settle(cv, shape).2.is_none();
        assert!(ok(None, None) && ok(Some(0.3), None) && ok(Some(0.0), Some("fixed")));
        assert!(ok(None, Some("exponential")) && ok(Some(1.0), Some("exponential")));
        assert!(ok(Some(0.408), Some("triangular")) && ok(Some(0.577), Some("uniform")));
        assert!(!ok(Some(0.41), Some("triangular")) && !ok(Some(0.58), Some("uniform")));
        assert!(!ok(Some(0.5), Some("exponential")) && !ok(Some(0.1), Some("fixed")));
        assert!(!ok(None, Some("gamma")));
        assert_eq!(settle(Some(0.3), None).1, "lognormal");
    }

    #[test]
    fn mean_and_variation_of_observations() {
        let (mean, cv) = mean_and_cv(&[2.0, 4.0, 4.0, 6.0]);
        assert_eq!(mean, 4.0);
        assert!((cv - (8.0_f64 / 3.0).sqrt() / 4.0).abs() < 1e-15);
        assert_eq!(mean_and_cv(&[3.0]), (3.0, 0.0));
    }
}
