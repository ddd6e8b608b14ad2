//! Statistics and laws against a general statistics library: scipy, asked live.
//!
//! | file | holds |
//! |---|---|
//! | [`quantiles`] | Student's quantiles and p-values, and those of the package that the crate leans on |
//! | [`intervals`] | coverage of order-statistic intervals; Wilson, Welch and paired intervals |
//! | [`laws`] | working times out of the diary of the program, law by law |
//! | [`draws`] | single draws and the table of films, by calls of the library |
//!
//! `python/statistics_library.py` answers the questions.

mod draws;
mod intervals;
mod laws;
mod quantiles;

use serde_json::Value;

use super::python;
use crate::ledger::{self, Row, Theirs};

/// A p-value below this refuses.
const REFUSED_BELOW: f64 = 0.001;

/// What becomes of an answer.
type Rows = dyn FnOnce(&Value) -> Vec<Row>;

/// A question, and the rows that its answer makes.
struct Asked {
    question: Value,
    rows: Box<Rows>,
}

impl Asked {
    fn new(question: Value, rows: impl FnOnce(&Value) -> Vec<Row> + 'static) -> Self {
        Self {
            question,
            rows: Box::new(rows),
        }
    }

    /// Many figures, of which the farthest makes a row.
    fn farthest(
        question: Value,
        what: &'static str,
        ours: Vec<f64>,
        within: f64,
        source: &'static str,
    ) -> Self {
        Self::new(question, move |answer| {
            vec![farthest(what, &ours, &numbers(answer), within, source)]
        })
    }
}

/// The rows of all these questions, which are asked at once.
fn answered(asked: Vec<Asked>) -> Vec<Row> {
    let questions = asked.iter().map(|asked| asked.question.clone()).collect();
    let answers = ask(questions);
    let rows = |(asked, answer): (Asked, &Value)| (asked.rows)(answer);
    asked.into_iter().zip(&answers).flat_map(rows).collect()
}

/// Asks all questions at once; the answers in the same order.
fn ask(questions: Vec<Value>) -> Vec<Value> {
    let count = questions.len();
    let input = Value::Array(questions).to_string();
    let Value::Array(answers) = python::run("statistics_library.py", &[], &input) else {
        panic!("no list of answers");
    };
    assert_eq!(answers.len(), count, "answers");
    answers
}

#[track_caller]
fn number(answer: &Value) -> f64 {
    answer.as_f64().expect("a number")
}

#[track_caller]
fn numbers(answer: &Value) -> Vec<f64> {
    let list = answer.as_array().expect("a list");
    list.iter().map(number).collect()
}

/// One place of each of these.
fn column<const N: usize>(cases: &[[f64; N]], place: usize) -> Vec<f64> {
    cases.iter().map(|case| case[place]).collect()
}

/// Many comparisons as one row: the farthest of them, as ours over theirs.
#[track_caller]
fn farthest(what: &str, ours: &[f64], theirs: &[f64], within: f64, source: &str) -> Row {
    assert_eq!(ours.len(), theirs.len(), "{what}");
    let ratio = |(ours, theirs): (&f64, &f64)| if ours == theirs { 1.0 } else { ours / theirs };
    let farther = |a: f64, b: f64| {
        // What is not a number is the farthest there is.
        let nearer = (b - 1.0).abs() <= (a - 1.0).abs();
        if a.is_nan() || nearer { a } else { b }
    };
    let worst = ours.iter().zip(theirs).map(ratio).fold(1.0, farther);
    let what = format!("{what}: ours over theirs, farthest of {}", ours.len());
    Row::is(what, worst, within, 1.0, source)
}

/// The farthest from 0, unlike `f64::max` also what is not a number.
fn most(apart: impl Iterator<Item = f64>) -> f64 {
    let farther = |a: f64, b: f64| {
        if a.is_nan() || b.abs() <= a {
            a
        } else {
            b.abs()
        }
    };
    apart.fold(0.0, farther)
}

/// A p-value that does not refuse.
fn not_refused(what: impl Into<String>, p: f64, source: &str) -> Row {
    Row {
        theirs: Theirs::Above(REFUSED_BELOW),
        ..Row::is(what, p, 0.0, 0.0, source)
    }
}

/// A p-value that refuses what is wrong on purpose.
fn refused(what: impl Into<String>, p: f64, source: &str) -> Row {
    Row {
        theirs: Theirs::Below(REFUSED_BELOW),
        ..Row::is(what, p, 0.0, 0.0, source)
    }
}

#[test]
fn the_page() {
    let rows = [
        quantiles::rows(),
        intervals::rows(),
        laws::rows(),
        draws::rows(),
    ];
    ledger::on_the_page("library", "allowed", &rows.concat());
}

#[test]
fn what_is_no_number_is_the_farthest() {
    let agrees = |ours: &[f64], theirs: &[f64]| farthest("", ours, theirs, 1e-9, "").agrees();
    assert!(agrees(&[0.0, 2.0], &[0.0, 2.0]));
    for ours in [[f64::NAN, 3.0, 1.0], [1.0, 3.0, f64::NAN]] {
        assert!(!agrees(&ours, &[1.0; 3]));
        assert!(most(ours.into_iter()).is_nan());
    }
    for (ours, theirs) in [(0.0, 1e-300), (1e-300, 0.0), (1.0, -1.0)] {
        assert!(!agrees(&[ours, 2.0], &[theirs, 2.0]));
    }
}
