//! The differences in the measures: paired, with their intervals, and what several of them may claim
//! together.
//!
//! In: the rows of the base and of an alternative, replication by replication. Out: a [`Difference`] a
//! measure. Some measures have no value on some evenings (nobody was short, so nobody waited); means
//! are over the evenings that have one, differences over those where both have.
//!
//! Sources: paired Student intervals, Holm's procedure and Bonferroni's intervals as in
//! [`statistics::paired`](crate::statistics::paired).

use super::Alternative;
use crate::service::measure::Measure;
use crate::statistics::interval::Sample;
use crate::statistics::paired::{holm, paired};
use crate::study::evening::Row;
use crate::study::replicate::LEVEL;

/// A mean over the evenings of one scenario.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Mean {
    /// Evenings that had a value.
    pub n: u64,
    /// Mean.
    pub mean: Option<f64>,
    /// Half-width of its 95 % interval.
    pub half_width: Option<f64>,
}

/// A measure of an alternative against the base.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Difference {
    /// The measure.
    pub measure: Measure,
    /// In the base.
    pub base: Mean,
    /// In the alternative.
    pub other: Mean,
    /// Evenings that had a value in both.
    pub pairs: u64,
    /// Mean over these pairs of the alternative less the base.
    pub mean: Option<f64>,
    /// Half-width of its 95 % interval, for this difference alone.
    pub half_width: Option<f64>,
    /// Standard deviation of the differences of the pairs.
    pub sd: Option<f64>,
    /// Two-sided p-value of no difference, for this difference alone.
    pub p_value: Option<f64>,
    /// Share of the variance of the difference that pairing saves; below 0 where it does harm.
    pub saved: Option<f64>,
    /// The most that any pairing could save of it: where one of the two hardly varies, little.
    pub saved_at_most: Option<f64>,
    /// What may be claimed of it together with all others of the headline; only of those.
    pub judged: Option<Judged>,
}

/// What may be claimed of a difference together with all others of the headline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judged {
    /// Holm's adjusted p-value.
    pub p_value: Option<f64>,
    /// Half-width of an interval that holds together with all the others at 95 % (Bonferroni).
    pub half_width: Option<f64>,
    /// In a word.
    pub verdict: Verdict,
}

/// A difference in a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// There are no two pairs to compare.
    Absent,
    /// The same on every evening.
    Same,
    /// It could be luck.
    Luck,
    /// The alternative has less of it.
    Less,
    /// The alternative has more of it.
    More,
}

impl Verdict {
    /// The word of every output.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Absent => "absent",
            Self::Same => "same",
            Self::Luck => "could-be-luck",
            Self::Less => "less",
            Self::More => "more",
        }
    }
}

/// Every measure, by [`Measure::ALL`].
#[must_use]
pub fn all(base: &[Row], other: &[Row]) -> Vec<Difference> {
    let measures = Measure::ALL.into_iter();
    measures.map(|measure| of(measure, base, other)).collect()
}

/// One measure. Rows pair up by their place.
#[must_use]
pub fn of(measure: Measure, base: &[Row], other: &[Row]) -> Difference {
    let column = measure as usize;
    let values =
        |rows: &[Row]| -> Vec<f64> { rows.iter().filter_map(|r| r.values[column]).collect() };
    let (in_base, in_other): (Vec<f64>, Vec<f64>) = base
        .iter()
        .zip(other)
        .filter_map(|(base, other)| base.values[column].zip(other.values[column]))
        .unzip();
    let found = paired(&in_other, &in_base);
    let sds = Sample::of(&in_base)
        .zip(Sample::of(&in_other))
        .and_then(|(base, other)| base.sd.zip(other.sd));
    Difference {
        measure,
        base: mean(&values(base)),
        other: mean(&values(other)),
        pairs: in_base.len() as u64,
        mean: found.map(|found| found.mean_difference),
        half_width: found.and_then(|found| found.half_width(LEVEL)),
        sd: found.and_then(|found| found.sd),
        p_value: found.and_then(|found| found.p_value()),
        saved: found.and_then(|found| found.variance_saved_share),
        saved_at_most: sds.and_then(|(base, other)| most_saved(base, other)),
        judged: None,
    }
}

fn mean(values: &[f64]) -> Mean {
    let sample = Sample::of(values);
    Mean {
        n: values.len() as u64,
        mean: sample.map(|sample| sample.mean),
        half_width: sample.and_then(|sample| sample.half_width(LEVEL)),
    }
}

/// With a correlation of 1 the variance of the difference is (σ₁ − σ₂)²; it is never less.
fn most_saved(a_sd: f64, b_sd: f64) -> Option<f64> {
    let independent = a_sd * a_sd + b_sd * b_sd;
    (independent > 0.0).then(|| 1.0 - (a_sd - b_sd) * (a_sd - b_sd) / independent)
}

impl Difference {
    /// Whether its half-width is at most this share of the base's mean. What never varies is known.
    #[must_use]
    pub fn is_known_to(&self, relative: f64) -> bool {
        let base = self.base.mean.map_or(0.0, f64::abs);
        self.half_width
            .is_some_and(|half_width| half_width <= relative * base)
    }

    /// Verdict without any doubt of the numbers: what Holm's p-value allows to say.
    fn verdict(&self, p_value: Option<f64>) -> Verdict {
        let (Some(mean), Some(sd), Some(p_value)) = (self.mean, self.sd, p_value) else {
            return Verdict::Absent;
        };
        match mean {
            _ if mean == 0.0 && sd == 0.0 => Verdict::Same,
            _ if p_value > 1.0 - LEVEL => Verdict::Luck,
            _ if mean < 0.0 => Verdict::Less,
            _ => Verdict::More,
        }
    }
}

/// Judges the headline measures of all alternatives together; how many have a p-value.
pub fn judge(alternatives: &mut [Alternative], headline: &[Measure]) -> usize {
    let places: Vec<(usize, usize)> = (0..alternatives.len())
        .flat_map(|alternative| headline.iter().map(move |m| (alternative, *m as usize)))
        .collect();
    let p_value = |&(a, m): &(usize, usize)| Some((a, m, alternatives[a].differences[m].p_value?));
    let known: Vec<(usize, usize, f64)> = places.iter().filter_map(p_value).collect();
    let p_values: Vec<f64> = known.iter().map(|(.., p)| *p).collect();
    let adjusted = holm(&p_values);
    let find = |place| {
        let index = known.iter().position(|(a, m, _)| (*a, *m) == place)?;
        adjusted.get(index).copied()
    };
    let adjusted: Vec<Option<f64>> = places.iter().map(|place| find(*place)).collect();
    for ((alternative, measure), p_value) in places.into_iter().zip(adjusted) {
        let difference = &mut alternatives[alternative].differences[measure];
        difference.judged = Some(Judged {
            p_value,
            half_width: together(difference, known.len()),
            verdict: difference.verdict(p_value),
        });
    }
    known.len()
}

/// Half-width of an interval that holds together with `judged` − 1 others (Bonferroni).
fn together(difference: &Difference, judged: usize) -> Option<f64> {
    let sample = Sample {
        n: usize::try_from(difference.pairs).ok()?,
        mean: difference.mean?,
        sd: difference.sd,
    };
    sample.half_width(1.0 - (1.0 - LEVEL) / judged.max(1) as f64)
}
