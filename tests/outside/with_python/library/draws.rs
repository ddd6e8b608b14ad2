//! Single draws, by calls of the library.
//!
//! The table of films is a lognormal law with the last half step at either end cut off, so its quantiles
//! are held against the law's from 0.001 to 0.999.

use std::convert::Infallible;
use std::sync::LazyLock;

use rand::{SeedableRng, TryRng};
use rand_xoshiro::Xoshiro256PlusPlus;
use scullery::room::draws::{exponential, gamma, normal, poisson};
use scullery::room::law::Law;
use serde_json::{Value, json};

use super::{Asked, answered, not_refused, number, refused};
use crate::ledger::{Row, holds};

type Stream = Xoshiro256PlusPlus;

/// Draws of each law.
const COUNT: usize = 20_000;
/// Coefficient of variation of films, unless a file says otherwise.
const FILM_CV: f64 = 0.5;
/// Steps of their table.
const STEPS: u32 = 1024;

/// So many draws, from a stream of their own.
fn drawn(seed: u64, draw: impl Fn(&mut Stream) -> f64) -> Vec<f64> {
    let stream = &mut Stream::seed_from_u64(seed);
    (0..COUNT).map(|_| draw(stream)).collect()
}

fn question(values: &[f64], family: &str, parameters: &[f64]) -> Value {
    json!({"ask": "draws_p", "values": values, "family": family, "parameters": parameters})
}

/// A row of a p-value that does not refuse.
fn follows(what: impl Into<String>, question: Value) -> Asked {
    let (what, by_chi_square) = (what.into(), question["family"] == "poisson");
    Asked::new(question, move |p| {
        let test = if by_chi_square { "chisquare" } else { "kstest" };
        let what = format!("{what}: p of {COUNT} draws");
        let source = format!("`scipy.stats.{test}`");
        vec![not_refused(what, number(p), &source)]
    })
}

fn continuous() -> Vec<Asked> {
    let laws: [(&str, &str, &[f64], Vec<f64>); 4] = [
        ("normal", "norm", &[], drawn(1, normal)),
        ("exponential", "expon", &[], drawn(2, exponential)),
        (
            "gamma, shape 0.3",
            "gamma",
            &[0.3],
            drawn(3, |s| gamma(0.3, s)),
        ),
        (
            "gamma, shape 4",
            "gamma",
            &[4.0],
            drawn(4, |s| gamma(4.0, s)),
        ),
    ];
    let follows = |(what, family, parameters, values): (_, _, _, Vec<f64>)| {
        follows(what, question(&values, family, parameters))
    };
    laws.map(follows).into()
}

fn poissons(mean: f64) -> Vec<f64> {
    drawn(5, |stream| poisson(mean, stream) as f64)
}

/// The last is drawn in three stretches.
fn discrete() -> Vec<Asked> {
    let of_mean = |mean| {
        let question = question(&poissons(mean), "poisson", &[mean]);
        follows(format!("Poisson, mean {mean}"), question)
    };
    [0.2, 3.0, 70.0, 1234.5].map(of_mean).into()
}

/// A stream that says one thing.
struct Only(u64);

impl Only {
    /// So that the next number between 0 and 1 is this.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // from 0 to 2^53
    fn number(share: f64) -> Self {
        Self(((share * (1_u64 << 53) as f64) as u64) << 11)
    }
}

impl TryRng for Only {
    type Error = Infallible;

    #[allow(clippy::cast_possible_truncation)] // its high half
    fn try_next_u32(&mut self) -> Result<u32, Infallible> {
        Ok((self.0 >> 32) as u32)
    }

    fn try_next_u64(&mut self) -> Result<u64, Infallible> {
        Ok(self.0)
    }

    fn try_fill_bytes(&mut self, bytes: &mut [u8]) -> Result<(), Infallible> {
        let said = self.0.to_le_bytes();
        bytes
            .iter_mut()
            .zip(said.iter().cycle())
            .for_each(|(byte, said)| *byte = *said);
        Ok(())
    }
}

/// The lognormal law of mean 1 behind the table: location and sigma.
fn film_law() -> (f64, f64) {
    let variance = libm::log1p(FILM_CV * FILM_CV);
    (-0.5 * variance, libm::sqrt(variance))
}

fn films() -> [Asked; 2] {
    let film = Law::lognormal_table(FILM_CV, STEPS);
    let (location, sigma) = film_law();
    let shares: Vec<f64> = (1..1000).map(|step| f64::from(step) / 1000.0).collect();
    let at = |&share: &f64| film.draw(&mut Only::number(share));
    let ours = shares.iter().map(at).collect();
    let quantiles = json!({
        "ask": "lognormal_quantiles", "location": location, "sigma": sigma, "p": shares,
    });
    let drawn = drawn(6, |stream| film.draw(stream));
    let parameters = [sigma, 0.0, libm::exp(location)];
    let what = "films, cv 0.5, 0.001 to 0.999";
    [
        Asked::farthest(quantiles, what, ours, 0.002, "`scipy.stats.lognorm.ppf`"),
        follows("films, cv 0.5", question(&drawn, "lognorm", &parameters)),
    ]
}

/// Parameters 5 % off.
fn wrong() -> [Asked; 2] {
    let gammas = drawn(4, |stream| gamma(4.0, stream));
    let refuses = |what, question| {
        Asked::new(question, move |p| {
            vec![refused(what, number(p), "wrong on purpose")]
        })
    };
    [
        refuses(
            "gamma, shape 4: p as 4.2",
            question(&gammas, "gamma", &[4.2]),
        ),
        refuses(
            "Poisson, mean 70: p as 73.5",
            question(&poissons(70.0), "poisson", &[73.5]),
        ),
    ]
}

pub fn rows() -> &'static [Row] {
    static ROWS: LazyLock<Vec<Row>> = LazyLock::new(|| {
        let mut asked = continuous();
        asked.extend(discrete());
        asked.extend(films());
        asked.extend(wrong());
        answered(asked)
    });
    &ROWS
}

#[test]
fn draws_follow_their_laws() {
    holds(rows());
}
