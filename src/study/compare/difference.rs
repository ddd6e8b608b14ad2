//! The differences in the measures: paired, with their intervals, and what several of them may claim
//! together.
//!
//! In: the rows of the base and of an alternative, replication by replication. Out: a [`Difference`] a
//! measure. Some measures have no value on some evenings (nobody was short, so nobody waited); means
//! are over the evenings that have one, differences over those where both have.
//!
//! Sources: paired Student intervals, Holm's procedure and Bonferroni's intervals as in
//! [`statistics::paired`](crate::statistics::paired).

use crate::service::measure::Measure;
use crate::statistics::interval::Sample;
use crate::statistics::paired::{holm, paired};
use crate::study::evening::Row;
use crate::study::matters::TooSmall;
use crate::study::plan::LEVEL;

/// A mean over the evenings of one scenario.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[non_exhaustive]
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
#[non_exhaustive]
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
#[non_exhaustive]
pub struct Judged {
    /// Holm's adjusted p-value.
    pub p_value: Option<f64>,
    /// Half-width of an interval that holds together with all the others at 95 % (Bonferroni).
    pub half_width: Option<f64>,
    /// A difference up to this is too small to matter, in the measure's unit.
    pub too_small: f64,
    /// In a word.
    pub verdict: Verdict,
}

/// A difference in a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Verdict {
    /// There are no two pairs to compare.
    Absent,
    /// The same on every evening.
    Same,
    /// It could be luck.
    Luck,
    /// It could be luck, and it matters in no case: the whole interval is within what is too small.
    NoMatter,
    /// It is beyond chance, and too small to matter: the whole interval is within what is too small.
    Small,
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
            Self::NoMatter => "none-that-matters",
            Self::Small => "too-small-to-matter",
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

    /// Verdict without any doubt of the numbers: what Holm's p-value allows to say, and whether it matters at the far end
    /// of the interval that holds together with the others.
    fn verdict(&self, p_value: Option<f64>, half_width: Option<f64>, too_small: f64) -> Verdict {
        let (Some(mean), Some(sd), Some(p_value)) = (self.mean, self.sd, p_value) else {
            return Verdict::Absent;
        };
        // Where all differences were alike there is no interval, and no doubt.
        let half_width = half_width.or((sd == 0.0).then_some(0.0));
        let is_small = half_width.is_some_and(|half| mean.abs() + half <= too_small);
        match mean {
            _ if mean == 0.0 && sd == 0.0 => Verdict::Same,
            _ if p_value > 1.0 - LEVEL && is_small => Verdict::NoMatter,
            _ if p_value > 1.0 - LEVEL => Verdict::Luck,
            _ if is_small => Verdict::Small,
            _ if mean < 0.0 => Verdict::Less,
            _ => Verdict::More,
        }
    }
}

/// Judges the headline measures of all alternatives together, each with its differences by [`Measure::ALL`], by what is
/// too small to matter; how many have a p-value.
pub fn judge(
    alternatives: &mut [&mut [Difference]],
    headline: &[Measure],
    too_small: &TooSmall,
) -> usize {
    let places: Vec<(usize, usize)> = (0..alternatives.len())
        .flat_map(|alternative| headline.iter().map(move |m| (alternative, *m as usize)))
        .collect();
    let p_value = |&(a, m): &(usize, usize)| Some((a, m, alternatives[a][m].p_value?));
    let known: Vec<(usize, usize, f64)> = places.iter().filter_map(p_value).collect();
    let p_values: Vec<f64> = known.iter().map(|(.., p)| *p).collect();
    let adjusted = holm(&p_values);
    let find = |place| {
        let index = known.iter().position(|(a, m, _)| (*a, *m) == place)?;
        adjusted.get(index).copied()
    };
    let adjusted: Vec<Option<f64>> = places.iter().map(|place| find(*place)).collect();
    for ((alternative, measure), p_value) in places.into_iter().zip(adjusted) {
        let difference = &mut alternatives[alternative][measure];
        let half_width = together(difference, known.len());
        let too_small = too_small.of(difference.measure);
        let too_small = too_small.amount(difference.base.mean.unwrap_or(0.0));
        difference.judged = Some(Judged {
            p_value,
            half_width,
            too_small,
            verdict: difference.verdict(p_value, half_width, too_small),
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::service::measure::MEASURE_COUNT;

    fn rows(measure: Measure, values: &[Option<f64>]) -> Vec<Row> {
        let row = |(replication, value): (usize, &Option<f64>)| {
            let mut values = vec![None; MEASURE_COUNT];
            values[measure as usize] = *value;
            Row {
                replication: replication as u64,
                values,
                finished: true,
            }
        };
        values.iter().enumerate().map(row).collect()
    }

    fn known(values: &[f64]) -> Vec<Row> {
        let values: Vec<_> = values.iter().copied().map(Some).collect();
        rows(Measure::WaitMean, &values)
    }

    fn near(found: Option<f64>, expected: f64, error: f64) {
        let found = found.unwrap();
        assert!((found - expected).abs() <= error, "{found} {expected}");
    }

    /// Four designs on common random numbers, ten replications each: a data set of a published
    /// simulation library, after Banks et al.; the statistics recomputed.
    const DESIGNS: [[f64; 10]; 4] = [
        [
            63.72, 32.24, 40.28, 36.94, 36.29, 56.94, 34.10, 63.36, 49.29, 87.20,
        ],
        [
            63.06, 31.78, 40.32, 37.71, 36.79, 57.93, 33.39, 62.92, 47.67, 80.79,
        ],
        [
            57.74, 29.65, 36.52, 35.71, 33.81, 51.54, 31.39, 57.24, 42.63, 67.27,
        ],
        [
            62.63, 31.56, 39.87, 37.35, 36.65, 57.15, 33.30, 62.21, 47.46, 79.60,
        ],
    ];

    fn alternatives() -> Vec<Vec<Difference>> {
        let base = known(&DESIGNS[0]);
        DESIGNS[1..]
            .iter()
            .map(|design| all(&base, &known(design)))
            .collect()
    }

    #[test]
    fn four_designs_as_published() {
        let expected = [(-0.800, 1.517), (-5.686, 3.819), (-1.258, 1.676)];
        for (alternative, (mean, half_width)) in alternatives().iter().zip(expected) {
            let difference = &alternative[Measure::WaitMean as usize];
            near(difference.mean, mean, 5e-4);
            near(difference.half_width, half_width, 6e-4);
            near(difference.base.mean, 50.036, 5e-4);
            assert!(difference.saved.unwrap() > 0.9 && difference.pairs == 10);
        }
    }

    /// Bonferroni over three at 5 % in all, t = 2.9333: design 3 lies in [−10.638, −0.734].
    #[test]
    fn what_holds_together_is_wider_and_judged_by_holm() {
        let mut alternatives = alternatives();
        let mut all: Vec<&mut [Difference]> = alternatives.iter_mut().map(|a| &mut a[..]).collect();
        let headline = [Measure::WaitMean, Measure::Cost];
        assert_eq!(judge(&mut all, &headline, &TooSmall::default()), 3);
        let judged = |i: usize, m: Measure| {
            let alternative: &Vec<Difference> = &alternatives[i];
            alternative[m as usize].judged.unwrap()
        };
        near(judged(1, Measure::WaitMean).half_width, 4.952, 1e-3);
        let verdicts = [0, 1, 2].map(|i| judged(i, Measure::WaitMean).verdict);
        assert_eq!(verdicts, [Verdict::Luck, Verdict::Less, Verdict::Luck]);
        assert_eq!(judged(0, Measure::Cost).verdict, Verdict::Absent);
        // The smallest p-value is multiplied by three, the next by two, the last by one.
        let p = |i: usize| {
            let difference = &alternatives[i][Measure::WaitMean as usize];
            (
                difference.p_value.unwrap(),
                judged(i, Measure::WaitMean).p_value.unwrap(),
            )
        };
        let [(first, a), (least, b), (second, c)] = [p(0), p(1), p(2)];
        assert!(least < second && second < first);
        assert_eq!(
            (b, c, a),
            (3.0 * least, 2.0 * second, first.max(2.0 * second))
        );
    }

    /// Law's inventory example (ch. 10; from memory, recomputed): ordering policy 2 less policy 1.
    #[test]
    fn an_inventory_as_in_the_textbook() {
        let first = known(&[126.97, 124.31, 126.68, 122.66, 127.23]);
        let second = known(&[118.21, 120.22, 122.45, 122.68, 119.40]);
        let difference = of(Measure::WaitMean, &second, &first);
        near(difference.mean, 4.978, 5e-4);
        let variance_of_mean = difference.sd.map(|sd| sd * sd / 5.0);
        near(variance_of_mean, 2.438, 1e-3);
        // 90 % in the book, [1.649, 8.307] with t = 2.132; 95 % with t = 2.776.
        near(difference.half_width, 3.329 / 2.132 * 2.776, 3e-3);
    }

    #[test]
    fn values_that_only_one_has_are_in_its_mean_and_in_no_difference() {
        let base = rows(
            Measure::ShortWaitMean,
            &[Some(4.0), None, Some(6.0), Some(5.0)],
        );
        let other = rows(
            Measure::ShortWaitMean,
            &[Some(3.0), Some(9.0), None, Some(3.0)],
        );
        let difference = of(Measure::ShortWaitMean, &base, &other);
        assert_eq!(
            (difference.base.n, difference.other.n, difference.pairs),
            (3, 3, 2)
        );
        assert_eq!(difference.base.mean, Some(5.0));
        assert_eq!(difference.mean, Some(-1.5));
        let nothing = of(Measure::Cost, &base, &other);
        assert_eq!(
            (nothing.pairs, nothing.mean, nothing.p_value),
            (0, None, None)
        );
    }

    #[test]
    fn what_is_the_same_every_time_is_no_luck() {
        let base = known(&[3.0, 5.0, 4.0]);
        let verdict = |other: &[f64]| {
            let difference = of(Measure::WaitMean, &base, &known(other));
            difference.verdict(difference.p_value, difference.half_width, 0.0)
        };
        assert_eq!(verdict(&[3.0, 5.0, 4.0]), Verdict::Same);
        assert_eq!(verdict(&[2.0, 4.0, 3.0]), Verdict::Less);
        assert_eq!(verdict(&[3.1, 5.2, 3.7]), Verdict::Luck);
        let one = of(Measure::WaitMean, &known(&[3.0]), &known(&[2.0]));
        assert_eq!(one.verdict(one.p_value, None, 0.0), Verdict::Absent);
    }

    /// Real or not, a difference matters unless all of its interval is within what is too small.
    #[test]
    fn what_is_too_small_to_matter_is_called_that() {
        let base = known(&[3.0, 5.0, 4.0, 6.0]);
        let verdict = |other: &[f64], too_small| {
            let difference = of(Measure::WaitMean, &base, &known(other));
            difference.verdict(difference.p_value, difference.half_width, too_small)
        };
        // 0.2, 0.3, 0.2, 0.3: 0.25 ± 0.09.
        let real = [3.2, 5.3, 4.2, 6.3];
        assert_eq!(verdict(&real, 0.0), Verdict::More);
        assert_eq!(verdict(&real, 0.3), Verdict::More);
        assert_eq!(verdict(&real, 0.4), Verdict::Small);
        // 0.1, −0.1, 0.1, −0.1: 0 ± 0.18.
        let luck = [3.1, 4.9, 4.1, 5.9];
        assert_eq!(verdict(&luck, 0.1), Verdict::Luck);
        assert_eq!(verdict(&luck, 0.2), Verdict::NoMatter);
        // The same difference on every evening has no interval.
        assert_eq!(verdict(&[3.5, 5.5, 4.5, 6.5], 0.5), Verdict::Small);
        assert_eq!(verdict(&[3.5, 5.5, 4.5, 6.5], 0.4), Verdict::More);
        assert_eq!(verdict(&[3.0, 5.0, 4.0, 6.0], 9.0), Verdict::Same);
    }

    #[test]
    fn no_pairing_saves_more_than_the_most() {
        near(most_saved(3.0, 3.0), 1.0, 0.0);
        near(most_saved(3.0, 0.0), 0.0, 0.0);
        near(most_saved(2.0, 1.0), 0.8, 1e-15);
        assert_eq!(most_saved(0.0, 0.0), None);
    }
}
