//! Working times out of the program, law by law.
//!
//! Each file in this folder lets 64 people scrape thousands of pieces one by one. The time from a piece
//! taken up to its end is read from the diary of the program, whose clock is printed to the millisecond:
//! of a mean of 10 min that is one part in 600,000, far below what thousands of times can show.
//!
//! scipy makes its law from the mean and the coefficient of variation in the file. Its fits to our times
//! are held against its fits to sets of its own times: the least and the most of 1,999 of them enclose
//! one more with probability 0.999, whatever the law.

use std::collections::HashMap;
use std::path::PathBuf;
use std::process::Command;
use std::sync::LazyLock;

use scullery::scenario;
use scullery::scenario::model::TimeDistribution;
use scullery::statistics::quantile::quantile;
use serde_json::{Value, json};

use super::{Asked, answered, ask, most, not_refused, number, refused};
use crate::ledger::{Row, Theirs, holds};

/// The files, each with a seed of its own: with the same one they would share their draws.
const FILES: [(&str, &str); 6] = [
    ("lognormal", "1"),
    ("gamma", "2"),
    ("gamma-below-1", "3"),
    ("exponential", "4"),
    ("triangular", "5"),
    ("uniform", "6"),
];
const QUANTILES: [f64; 2] = [0.5, 0.95];

/// What a file asks for, and what was played.
struct Times {
    asked: TimeDistribution,
    times_s: Vec<f64>,
}

static PLAYED: LazyLock<Vec<Times>> = LazyLock::new(|| FILES.map(played).into());

fn played((name, seed): (&str, &str)) -> Times {
    let file = PathBuf::from(format!("tests/outside/library/{name}.toml"));
    let loaded = scenario::load(&file).unwrap_or_else(|mistakes| panic!("{mistakes}"));
    let ran = Command::new(env!("CARGO_BIN_EXE_scullery"))
        .arg("diary")
        .arg(&file)
        .args(["--seed", seed])
        .output()
        .expect("the program");
    let said = String::from_utf8_lossy(&ran.stderr);
    assert!(ran.status.success() && said.is_empty(), "{name}: {said}");
    let times_s = times_s(&ran.stdout);
    // Every one of them, or the long ones might be missing.
    let pieces = loaded.scenario.backlog[0].pieces;
    assert_eq!(times_s.len(), pieces as usize, "{name}");
    Times {
        asked: loaded.scenario.scrape.expect("a bench").per_unit,
        times_s,
    }
}

/// From taking up to the end, unit by unit, of whoever did it.
fn times_s(diary: &[u8]) -> Vec<f64> {
    let mut taken_up = HashMap::new();
    let mut times_s = Vec::new();
    for row in csv::Reader::from_reader(diary).deserialize() {
        let row: HashMap<String, String> = row.expect("a line of the diary");
        let (at_ms, who) = (milliseconds(&row["clock"]), row["who"].clone());
        match row["what"].as_str() {
            "takes up" => {
                taken_up.insert(who, at_ms);
            }
            "finishes" => {
                let from_ms = taken_up.remove(&who).expect("it was taken up");
                times_s.push(f64::from(at_ms - from_ms) / 1000.0);
            }
            _ => {}
        }
    }
    times_s
}

/// Of a clock `HH:MM:SS.mmm`; these evenings end before midnight.
fn milliseconds(clock: &str) -> i32 {
    let number = |part: &str| part.parse::<i32>().expect("digits");
    let parts: Vec<i32> = clock.split([':', '.']).map(number).collect();
    ((parts[0] * 60 + parts[1]) * 60 + parts[2]) * 1000 + parts[3]
}

impl Times {
    /// A question about these times and a law.
    fn question(&self, ask: &str, law: &Value) -> Value {
        json!({"ask": ask, "values": self.times_s, "law": law})
    }

    /// The law that the file asks for, its mean and variation times these.
    fn law(&self, mean_times: f64, cv_times: f64) -> Value {
        let TimeDistribution { mean_s, cv, .. } = self.asked;
        json!({"name": self.asked.shape, "mean": mean_times * mean_s, "cv": cv_times * cv})
    }

    fn title(&self) -> String {
        let TimeDistribution { mean_s, cv, .. } = self.asked;
        let law = json!(self.asked.shape);
        format!("{}, {mean_s} s, cv {cv}", law.as_str().expect("a name"))
    }

    fn own_p(&'static self) -> Asked {
        let question = self.question("times_p", &self.law(1.0, 1.0));
        let what = format!("{}: p of {} times", self.title(), self.times_s.len());
        Asked::new(question, move |p| {
            vec![not_refused(what, number(p), "`scipy.stats.kstest`")]
        })
    }

    fn wrong_p(&'static self, law: &Value, what: &str) -> Asked {
        let question = self.question("times_p", law);
        let what = format!("{}: p {what}", self.title());
        Asked::new(question, move |p| {
            let source = "wrong on purpose: `scipy.stats.kstest`";
            vec![refused(what, number(p), source)]
        })
    }

    fn own_fit(&'static self) -> Asked {
        let question = self.question("times_fit", &self.law(1.0, 1.0));
        Asked::new(question, |answer| self.fitted(answer))
    }

    /// Their fit to our times; the least and the most of their fits to their own.
    fn fitted(&self, answer: &Value) -> Vec<Row> {
        let row = |answer: &Value| {
            let [ours, least, most] = [1, 2, 3].map(|i| number(&answer[i]));
            let parameter = answer[0].as_str().expect("a name");
            let what = format!("{}: fitted {parameter}", self.title());
            let middle = 0.5 * (least + most);
            let source = "`fit` to 1,999 sets of scipy's own times";
            Row::is(what, ours, most - middle, middle, source)
        };
        answer.as_array().expect("a list").iter().map(row).collect()
    }

    /// How far our quantiles are from theirs; 1 is the end of our interval on that side.
    fn quantiles_apart(&self, answer: &Value) -> Vec<f64> {
        let mut sorted = self.times_s.clone();
        sorted.sort_by(f64::total_cmp);
        let apart = |(p, answer): (f64, &Value)| {
            let [theirs, low, high] = [0, 1, 2].map(|i| number(&answer[i]));
            let ours = quantile(&sorted, p).expect("a quantile");
            let side = if theirs > ours { high } else { low };
            (theirs - ours) / (side - ours).abs()
        };
        let answers = answer.as_array().expect("a list");
        QUANTILES.into_iter().zip(answers).map(apart).collect()
    }
}

/// The farthest quantile of all files.
fn quantiles() -> Row {
    let question = |times: &Times| {
        let mut question = times.question("times_quantiles", &times.law(1.0, 1.0));
        question["p"] = json!(QUANTILES);
        question
    };
    let answers = ask(PLAYED.iter().map(question).collect());
    let apart = |(times, answer): (&Times, &Value)| times.quantiles_apart(answer);
    let apart = PLAYED.iter().zip(&answers).flat_map(apart);
    let what = "p50 and p95 of these laws, apart in half-widths at 99.9 %: farthest of 12";
    let source = "`ppf` and `scipy.stats.quantile_test`";
    Row {
        theirs: Theirs::Below(1.0),
        ..Row::is(what, most(apart), 0.0, 1.0, source)
    }
}

pub fn rows() -> &'static [Row] {
    static ROWS: LazyLock<Vec<Row>> = LazyLock::new(|| {
        let own = PLAYED
            .iter()
            .flat_map(|times| [times.own_p(), times.own_fit()]);
        let lognormal = &PLAYED[0];
        let (mut gamma, longer) = (lognormal.law(1.0, 1.0), lognormal.law(1.05, 1.0));
        gamma["name"] = json!("gamma");
        let wrong = [
            lognormal.wrong_p(&gamma, "as gamma of that mean and cv"),
            lognormal.wrong_p(&longer, "with a mean of 630 s"),
        ];
        let mut rows = answered(own.chain(wrong).collect());
        rows.push(quantiles());
        rows
    });
    &ROWS
}

#[test]
fn times_follow_their_laws() {
    holds(rows());
}

/// A test of the test: fits to a variation or a mean 5 % off do not enclose ours.
#[test]
fn other_parameters_do_not_agree() {
    let lognormal = &PLAYED[0];
    let question = |law| lognormal.question("times_fit", &law);
    let answers = ask(vec![
        question(lognormal.law(1.0, 1.05)),
        question(lognormal.law(1.05, 1.0)),
    ]);
    let [spread, mean] = [0, 1].map(|i| lognormal.fitted(&answers[i]));
    assert!(!spread[0].agrees(), "{:?}", spread[0]);
    assert!(!mean[1].agrees(), "{:?}", mean[1]);
}
