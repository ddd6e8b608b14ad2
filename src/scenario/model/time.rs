//! A time that may vary: `"18 s"`, `{ mean = "18 s", cv = 0.3 }` or `{ observations = "file.csv" }`.

use super::keys::words;
use crate::scenario::check::{Cells, Checker, LogRow, Read, WrongRow, join};
use crate::scenario::field::{
    Bounds, COMMON, Field, Kind, Quantity, Unset, may, row, seconds, within,
};
use crate::scenario::mistakes::{Mistake, Sort};
use crate::scenario::tree::{Node, Table, Value};

words! {
    /// Named shape of a time with a given mean and coefficient of variation.
    pub enum Shape {
        /// Always the mean.
        Fixed = "fixed",
        /// Lognormal.
        Lognormal = "lognormal",
        /// Gamma.
        Gamma = "gamma",
        /// Exponential; its coefficient of variation is 1.
        Exponential = "exponential",
        /// Symmetric triangular; coefficient of variation up to 1/sqrt 6.
        Triangular = "triangular",
        /// Uniform; coefficient of variation up to 1/sqrt 3.
        Uniform = "uniform",
        /// Drawn from observations.
        Empirical = "empirical",
    }
}

/// A time with its variation.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct TimeDistribution {
    /// Mean, s.
    #[serde(rename = "mean")]
    pub mean_s: f64,
    /// Coefficient of variation.
    pub cv: f64,
    /// Named shape.
    #[serde(rename = "distribution")]
    pub shape: Shape,
    /// Observed times, s, for [`Shape::Empirical`]; `mean_s` and `cv` are then theirs.
    #[serde(rename = "observations")]
    pub observations_s: Vec<f64>,
}

/// The largest coefficient of variation of a symmetric triangular time: 1/√6.
const TRIANGULAR_CV: f64 = 0.408_248_290_463_863;
/// That of a uniform time: 1/√3.
const UNIFORM_CV: f64 = 0.577_350_269_189_625_8;
/// The longest observed time, s.
const MAX_S: f64 = 86_400.0;

/// The shapes that a file may name: all but the last, which observations have.
const SHAPES: &[&str] = Shape::WORDS.split_at(Shape::Empirical as usize).0;

const CV: Bounds = within(0.0, 5.0);

/// The keys of a time that varies.
#[rustfmt::skip]
static TIME: [Field; 4] = [
    may("mean", "its mean", seconds(0.0, MAX_S)),
    may("cv", "its coefficient of variation: standard deviation over mean", Kind::Number(CV)),
    row("distribution", "its shape", Kind::Choice(SHAPES), Unset::Worked("lognormal if `cv` is above 0, otherwise fixed"), COMMON),
    may("observations", "a CSV file with observed times instead, one column `seconds`", Kind::File),
];

/// What is wrong with a coefficient of variation, and the cure.
type Clash = (String, String);

impl TimeDistribution {
    /// A time that does not vary.
    #[must_use]
    pub const fn fixed(mean_s: f64) -> Self {
        Self {
            mean_s,
            cv: 0.0,
            shape: Shape::Fixed,
            observations_s: Vec::new(),
        }
    }
}

impl Read for TimeDistribution {
    const ROWS: &'static [Field] = &TIME;

    /// A fixed time, a named shape, or observations.
    fn read(
        check: &mut Checker<'_>,
        field: &'static Field,
        node: &Node,
        path: &str,
    ) -> Option<Self> {
        let Kind::Time(limits) = field.kind else {
            return check.misfit(field, node, path);
        };
        let Value::Table(table) = &node.value else {
            return check.quantity(limits, node, path).map(Self::fixed);
        };
        check.unknown_keys(table, &TIME, path);
        if table.contains_key("observations") {
            return observed(check, limits, table, path);
        }
        let Some(mean) = check.entry(table, "mean", path) else {
            let mistake =
                Mistake::new(Sort::Missing, format!("`{path}.mean` is missing: its mean"))
                    .at(&node.place, "needed here")
                    .help(format!("add `mean = \"{}\"`", limits.example()));
            check.wrong(path, mistake);
            return None;
        };
        let mean_s = check.quantity(limits, mean, &join(path, "mean"));
        let (cv, shape) = variation(check, table, node, path)?;
        let mean_s = mean_s?;
        // A mean of 0 keeps its variation: it is also that of the seconds per piece.
        if cv == 0.0 {
            return Some(Self::fixed(mean_s));
        }
        Some(Self {
            mean_s,
            cv,
            shape,
            observations_s: Vec::new(),
        })
    }

    fn harmless(field: &'static Field) -> Self {
        match field.kind {
            Kind::Time(limits) => Self::fixed(limits.bounds_si().least),
            _ => Self::fixed(0.0),
        }
    }
}

/// Coefficient of variation and shape, which must go together.
fn variation(
    check: &mut Checker<'_>,
    table: &Table,
    node: &Node,
    path: &str,
) -> Option<(f64, Shape)> {
    let [_, cv_field, shape_field, _] = &TIME;
    let cv_node = check.entry(table, "cv", path);
    let shape_node = check.entry(table, "distribution", path);
    let cv = match cv_node {
        Some(cv) => Some(check.number(CV, cv_field, cv, &join(path, "cv"))?),
        None => None,
    };
    let shape = match shape_node {
        Some(shape) => Some(Shape::read(
            check,
            shape_field,
            shape,
            &join(path, "distribution"),
        )?),
        None => None,
    };
    let (cv, shape, clash) = settle(cv, shape);
    if let Some((title, help)) = clash {
        let place = cv_node.or(shape_node).map_or(&node.place, |n| &n.place);
        let label = if cv_node.is_some() {
            "this variation"
        } else {
            "this shape"
        };
        let mut mistake = Mistake::new(Sort::Clash, format!("`{path}`: {title}"))
            .at(place, label)
            .help(help);
        if let (Some(_), Some(shape)) = (cv_node, shape_node) {
            mistake = mistake.also(&shape.place, "this shape");
        }
        check.wrong(path, mistake);
        return None;
    }
    Some((cv, shape))
}

/// One observed time, s.
struct Observed(f64);

impl LogRow for Observed {
    const COLUMNS: &'static [&'static str] = &["seconds"];
    const NEEDED: usize = 1;

    fn read(cells: &Cells<'_>, _: &Checker<'_>) -> Result<(f64, Self), WrongRow> {
        let seconds = cells.text(0).parse::<f64>().ok();
        let seconds = seconds.filter(|s| (0.0..=MAX_S).contains(s));
        let title = || format!("`seconds` is \"{}\"", cells.text(0));
        let help = "give seconds as a number, at least 0 and at most 86400";
        let seconds = seconds.ok_or_else(|| (title(), cells.or_a_point(0, help)))?;
        Ok((0.0, Self(seconds)))
    }
}

/// Observed times, with their own mean and variation.
fn observed(
    check: &mut Checker<'_>,
    limits: Quantity,
    table: &Table,
    path: &str,
) -> Option<TimeDistribution> {
    let file_path = join(path, "observations");
    let [.., field] = &TIME;
    let node = check.entry(table, "observations", path)?;
    if let Some((key, entry)) = table.iter().find(|(key, _)| *key != "observations") {
        let mistake = Mistake::new(
            Sort::Clash,
            format!("`{path}` has observations and `{key}`"),
        )
        .at(&entry.node.place, "given besides")
        .also(&node.place, "the observations")
        .help("leave one of them out: mean and variation are those of the observations");
        check.wrong(path, mistake);
        return None;
    }
    let rows: Vec<Observed> = check.lines(field, node, &file_path)?;
    let observations_s: Vec<f64> = rows.iter().map(|row| row.0).collect();
    let (mean_s, cv) = mean_and_cv(&observations_s);
    if !limits.bounds_si().holds(mean_s) {
        let mistake = Mistake::new(Sort::Value, format!("`{path}` is out of range"))
            .at(
                &node.place,
                format!("the mean of these observations is {mean_s:.3} s"),
            )
            .help(format!("give {}", limits.words()));
        check.wrong(path, mistake);
        return None;
    }
    Some(TimeDistribution {
        mean_s,
        cv,
        shape: Shape::Empirical,
        observations_s,
    })
}

/// Coefficient of variation and shape, each from the other if need be, and whether they clash.
fn settle(cv: Option<f64>, shape: Option<Shape>) -> (f64, Shape, Option<Clash>) {
    let unsaid = if cv.is_some_and(|cv| cv > 0.0) {
        Shape::Lognormal
    } else {
        Shape::Fixed
    };
    let shape = shape.unwrap_or(unsaid);
    let most = match shape {
        Shape::Triangular => Some(TRIANGULAR_CV),
        Shape::Uniform => Some(UNIFORM_CV),
        _ => None,
    };
    let clash = |title: String, help: &str| Some((title, help.to_string()));
    let wrong = match (shape, cv) {
        (Shape::Fixed, Some(cv)) if cv > 0.0 => clash(
            "a fixed time does not vary".into(),
            "leave `cv` out, or name another shape",
        ),
        (Shape::Exponential, Some(cv)) if cv != 1.0 => clash(
            "the variation of an exponential time is 1".into(),
            "leave `cv` out, or take \"gamma\", which is exponential at cv = 1",
        ),
        (Shape::Fixed | Shape::Exponential, _) => None,
        (_, None) => clash(
            format!("a {} time needs `cv`", shape.name()),
            "add `cv`, such as cv = 0.3",
        ),
        (_, Some(cv)) if most.is_some_and(|most| cv > most + 1e-9) => clash(
            format!(
                "a {} time cannot vary that much without being negative",
                shape.name()
            ),
            "at most 0.408 for triangular and 0.577 for uniform; or take \"gamma\"",
        ),
        _ => None,
    };
    let own = if shape == Shape::Exponential {
        1.0
    } else {
        0.0
    };
    (cv.unwrap_or(own), shape, wrong)
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
        use Shape::{Exponential, Fixed, Gamma, Lognormal, Triangular, Uniform};
        let ok = |cv, shape| settle(cv, shape).2.is_none();
        assert!(ok(None, None) && ok(Some(0.3), None) && ok(Some(0.0), Some(Fixed)));
        assert!(ok(None, Some(Exponential)) && ok(Some(1.0), Some(Exponential)));
        assert!(ok(Some(0.408), Some(Triangular)) && ok(Some(0.577), Some(Uniform)));
        assert!(!ok(Some(0.41), Some(Triangular)) && !ok(Some(0.58), Some(Uniform)));
        assert!(!ok(Some(0.5), Some(Exponential)) && !ok(Some(0.1), Some(Fixed)));
        assert!(!ok(None, Some(Gamma)));
        assert_eq!(settle(Some(0.3), None).1, Lognormal);
    }

    #[test]
    fn mean_and_variation_of_observations() {
        let (mean, cv) = mean_and_cv(&[2.0, 4.0, 4.0, 6.0]);
        assert_eq!(mean, 4.0);
        assert!((cv - (8.0_f64 / 3.0).sqrt() / 4.0).abs() < 1e-15);
        assert_eq!(mean_and_cv(&[3.0]), (3.0, 0.0));
    }
}
