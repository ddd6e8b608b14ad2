//! Quantiles and p-values.
//!
//! The crate has Student's quantile of its own, and of the F distribution only a relative: t² of a
//! two-sided level is the F quantile with 1 and as many degrees of freedom. F, gamma and lognormal
//! quantiles themselves come from `statrs`, which the commands for comparing and fitting will lean on;
//! it is held to what it reaches. Its gamma quantile stops at steps of about 1e-9 whatever the scale, so
//! that the lower tail of a shape below 0.5, which lies far below that, is right in absolute terms only.

use std::sync::LazyLock;

use scullery::statistics::interval::{student_t, student_two_sided_p};
use serde_json::json;
use statrs::distribution::{ContinuousCDF, FisherSnedecor, Gamma, LogNormal};

use super::{Asked, answered, ask, column, farthest, most, numbers};
use crate::ledger::{Row, holds};

const LEVELS: [f64; 6] = [0.90, 0.95, 0.975, 0.99, 0.995, 0.9995];
const SHARES: [f64; 11] = [
    0.001, 0.005, 0.025, 0.05, 0.25, 0.5, 0.75, 0.95, 0.975, 0.995, 0.999,
];
const DEVIATES: [f64; 5] = [0.1, 1.0, 2.0, 3.0, 5.0];

/// Every whole number of degrees of freedom to 1000, some beyond, and some that are not whole.
fn degrees_of_freedom() -> Vec<f64> {
    let beyond = [1001.0, 1500.0, 2000.0, 5000.0, 19_999.0];
    let between = [1.37, 2.5, 3.999, 7.992, 29.5, 117.3, 999.5, 1000.5, 4321.1];
    let whole = (1..=1000_u32).map(f64::from);
    whole.chain(beyond).chain(between).collect()
}

/// Every one with every one.
fn pairs(first: &[f64], second: &[f64]) -> Vec<[f64; 2]> {
    let with_all = |&a: &f64| second.iter().map(move |&b| [a, b]);
    first.iter().flat_map(with_all).collect()
}

fn quantile([df, p]: [f64; 2]) -> f64 {
    student_t(df, p).expect("a quantile")
}

fn two_sided([df, t]: [f64; 2]) -> f64 {
    student_two_sided_p(df, t).expect("a p-value")
}

fn student() -> Asked {
    let cases = pairs(&degrees_of_freedom(), &LEVELS);
    let ours = cases.iter().copied().map(quantile).collect();
    let (df, p) = (column(&cases, 0), column(&cases, 1));
    let question = json!({"ask": "student_quantiles", "df": df, "p": p});
    let what = "Student's t, 1 to 19,999 degrees of freedom, 0.9 to 0.9995";
    Asked::farthest(question, what, ours, 1e-9, "`scipy.stats.t.ppf`")
}

fn student_p() -> Asked {
    let cases = pairs(&degrees_of_freedom(), &DEVIATES);
    let ours = cases.iter().copied().map(two_sided).collect();
    let (df, t) = (column(&cases, 0), column(&cases, 1));
    let question = json!({"ask": "student_two_sided_p", "df": df, "t": t});
    let what = "two-sided p of t from 0.1 to 5, the same degrees of freedom";
    Asked::farthest(question, what, ours, 1e-9, "`scipy.stats.t.sf`")
}

fn student_squared() -> Asked {
    let cases = pairs(&degrees_of_freedom(), &LEVELS);
    let squared = |case| quantile(case) * quantile(case);
    let ours = cases.iter().copied().map(squared).collect();
    let two_sided: Vec<f64> = cases.iter().map(|[_, p]| 2.0 * p - 1.0).collect();
    let df = column(&cases, 0);
    let question = json!({"ask": "f_quantiles", "first": 1, "second": df, "p": two_sided});
    let what = "t² as F with 1 and the same degrees of freedom";
    Asked::farthest(question, what, ours, 1e-9, "`scipy.stats.f.ppf`")
}

fn package_f() -> Asked {
    let df = [1.0, 2.0, 3.0, 5.0, 9.0, 20.0, 49.0, 200.0, 1000.0];
    let with_shares = |[a, b]: [f64; 2]| SHARES.map(|p| [a, b, p]);
    let cases: Vec<[f64; 3]> = pairs(&df, &df).into_iter().flat_map(with_shares).collect();
    let quantile = |&[first, second, p]: &[f64; 3]| {
        let law = FisherSnedecor::new(first, second).expect("a law");
        law.inverse_cdf(p)
    };
    let ours = cases.iter().map(quantile).collect();
    let [first, second, p] = [0, 1, 2].map(|place| column(&cases, place));
    let question = json!({"ask": "f_quantiles", "first": first, "second": second, "p": p});
    let what = "F of `statrs`, 1 to 1000 degrees of freedom, 0.001 to 0.999";
    Asked::farthest(question, what, ours, 1e-7, "`scipy.stats.f.ppf`")
}

fn gamma_quantile([shape, p]: [f64; 2]) -> f64 {
    let law = Gamma::new(shape, 1.0).expect("a law");
    law.inverse_cdf(p)
}

fn package_gamma() -> Asked {
    let shapes = [0.5, 0.64, 1.0, 2.5, 4.0, 16.0, 100.0, 1000.0];
    let cases = pairs(&shapes, &SHARES);
    let ours = cases.iter().copied().map(gamma_quantile).collect();
    let (shape, p) = (column(&cases, 0), column(&cases, 1));
    let question = json!({"ask": "gamma_quantiles", "shape": shape, "p": p});
    let what = "gamma of `statrs`, shape 0.5 to 1000, 0.001 to 0.999";
    Asked::farthest(question, what, ours, 1e-8, "`scipy.stats.gamma.ppf`")
}

/// Of small shapes, ours less theirs.
fn package_gamma_of_small_shape() -> Asked {
    let cases = pairs(&[0.1, 0.2, 0.3, 0.4], &SHARES);
    let (shape, p) = (column(&cases, 0), column(&cases, 1));
    let question = json!({"ask": "gamma_quantiles", "shape": shape, "p": p});
    Asked::new(question, move |answer| {
        let apart = |(case, theirs): (&[f64; 2], f64)| gamma_quantile(*case) - theirs;
        let apart = cases.iter().zip(numbers(answer)).map(apart);
        let what = "gamma of `statrs`, shape 0.1 to 0.4: ours less theirs, farthest of 44";
        vec![Row::is(
            what,
            most(apart),
            1e-8,
            0.0,
            "`scipy.stats.gamma.ppf`",
        )]
    })
}

fn package_lognormal() -> Asked {
    let cases = pairs(&[0.1, 0.25, 0.5, 1.0, 1.5], &SHARES);
    let quantile = |&[sigma, p]: &[f64; 2]| {
        let law = LogNormal::new(0.7, sigma).expect("a law");
        law.inverse_cdf(p)
    };
    let ours = cases.iter().map(quantile).collect();
    let (sigma, p) = (column(&cases, 0), column(&cases, 1));
    let question = json!({"ask": "lognormal_quantiles", "location": 0.7, "sigma": sigma, "p": p});
    let what = "lognormal of `statrs`, sigma 0.1 to 1.5, 0.001 to 0.999";
    Asked::farthest(question, what, ours, 1e-9, "`scipy.stats.lognorm.ppf`")
}

pub fn rows() -> &'static [Row] {
    static ROWS: LazyLock<Vec<Row>> = LazyLock::new(|| {
        answered(vec![
            student(),
            student_p(),
            student_squared(),
            package_f(),
            package_gamma(),
            package_gamma_of_small_shape(),
            package_lognormal(),
        ])
    });
    &ROWS
}

#[test]
fn quantiles_agree() {
    holds(rows());
}

/// A test of the test: one degree of freedom more, or a level a little off, is detected.
#[test]
fn another_degree_of_freedom_does_not_agree() {
    let question = json!({"ask": "student_quantiles", "df": 1000, "p": [0.975]});
    let theirs = numbers(&ask(vec![question])[0]);
    let agrees = |case| farthest("t", &[quantile(case)], &theirs, 1e-9, "").agrees();
    assert!(agrees([1000.0, 0.975]));
    assert!(!agrees([1001.0, 0.975]));
    assert!(!agrees([1000.0, 0.975_001]));
}
