//! Series over replications: mean, 10th, 50th and 90th percentile of each minute, in memory that does
//! hardly grows with the number of replications.
//!
//! Each minute of each series keeps a histogram. Shares fall into bins of 0.1 %, temperatures of 0.1 °C; soil in
//! water is counted in hundredths of g/L; counts are kept
//! exactly below 64; above, 32 bins share an octave. Percentiles are of type 1 (nearest rank), spread
//! evenly over the bin where they fall, so at most 3 % off; means are exact sums. Of the bins only those
//! between the least and the greatest seen in the minute take memory. Each series is folded
//! by one thread in replication order, so bits do not depend on threads.
//!
//! Not every evening has a value in every minute: when nothing waits, no share of it can be dried on.
//! A minute in which fewer than one evening in ten has a value gets none: what a handful of late
//! evenings did is not what one would see. Of a hundred evenings or more that asks for at least ten.

mod window;

use rayon::prelude::*;

use super::evening::Band;
use crate::room::Room;
use crate::service::series::SeriesInfo;
use crate::service::series::{MISSING, series_of};
use window::{Carries, Window};

/// Counts below this are kept exactly.
const EXACT: u32 = 64;
/// Bins an octave above it.
const PER_OCTAVE: u32 = 32;
/// Octaves above it: up to 2^22 pieces.
const OCTAVES: u32 = 16;
const COUNT_BINS: usize = (EXACT + PER_OCTAVE * OCTAVES) as usize;
/// A minute has values if one evening in this many has one.
const ONE_IN: u32 = 10;
/// Minutes folded together, so that their histograms stay in the cache: 16 samples are a cache line.
const STRIP: usize = 16;

/// One series being folded.
#[derive(Debug)]
struct Histogram {
    info: SeriesInfo,
    /// Worked out once: it is asked for with every value.
    bins: Bins,
    /// By minute: replications with a value, and their sum.
    seen: Vec<u32>,
    sum: Vec<f64>,
    /// By minute.
    counts: Vec<Window>,
    /// What does not fit into them.
    carries: Carries,
}

/// Series of a room, over replications.
#[derive(Debug)]
pub struct Bands {
    minutes: usize,
    replications: u32,
    series: Vec<Histogram>,
}

impl Bands {
    /// All series of a room, nothing folded yet.
    #[must_use]
    pub fn new(room: &Room) -> Self {
        Self::of(series_of(room), room.hours.minutes())
    }

    /// These series of so many minutes, nothing folded yet.
    #[must_use]
    pub fn of(series: Vec<SeriesInfo>, minutes: usize) -> Self {
        let series = series.into_iter().map(|info| Histogram::new(info, minutes));
        Self {
            minutes,
            replications: 0,
            series: series.collect(),
        }
    }

    /// Adds replications: samples series by series, `minutes` each.
    pub fn fold(&mut self, replications: &[&[f32]]) {
        let minutes = self.minutes;
        self.replications += u32::try_from(replications.len()).unwrap_or(u32::MAX);
        self.series
            .par_iter_mut()
            .enumerate()
            .for_each(|(index, series)| {
                let from = index * minutes;
                for strip in (0..minutes).step_by(STRIP) {
                    let to = (strip + STRIP).min(minutes);
                    for samples in replications {
                        for minute in strip..to {
                            series.add(minute, samples[from + minute]);
                        }
                    }
                }
            });
    }

    /// The bands, up to a few minutes after the last evening's end.
    #[must_use]
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // minutes of an evening
    pub fn finish(self, last_min: f64) -> Vec<Band> {
        let minutes = (libm::ceil(last_min) as usize + 3).min(self.minutes);
        self.series
            .into_iter()
            .map(|series| series.band(minutes, self.replications))
            .collect()
    }
}

impl Histogram {
    fn new(info: SeriesInfo, minutes: usize) -> Self {
        Self {
            bins: Bins::of(&info),
            info,
            seen: vec![0; minutes],
            sum: vec![0.0; minutes],
            counts: vec![Window::default(); minutes],
            carries: Carries::new(),
        }
    }

    fn add(&mut self, minute: usize, value: f32) {
        if value == MISSING {
            return;
        }
        self.seen[minute] += 1;
        self.sum[minute] += f64::from(value);
        let bin = self.bins.bin(value);
        if self.counts[minute].add(bin) {
            *self.carries.entry((minute, bin)).or_default() += 1;
        }
    }

    fn band(&self, minutes: usize, replications: u32) -> Band {
        let enough = |minute: usize| {
            let seen = self.seen[minute];
            seen > 0 && seen.saturating_mul(ONE_IN) >= replications
        };
        let mean = (0..minutes)
            .map(|minute| enough(minute).then(|| self.sum[minute] / f64::from(self.seen[minute])));
        let quantile = |p| {
            (0..minutes)
                .map(|minute| self.quantile(minute, p).filter(|_| enough(minute)))
                .collect()
        };
        Band {
            info: self.info.clone(),
            mean: mean.collect(),
            p10: quantile(0.1),
            p50: quantile(0.5),
            p90: quantile(0.9),
        }
    }

    fn quantile(&self, minute: usize, p: f64) -> Option<f64> {
        let rank = crate::statistics::quantile::nearest_rank(self.seen[minute] as usize, p)?;
        let mut below = 0;
        for (bin, count) in self.counts[minute].seen(minute, &self.carries) {
            if below + count as usize >= rank {
                let place = ((rank - below) as f64 - 0.5) / f64::from(count);
                return Some(self.bins.value(bin, place));
            }
            below += count as usize;
        }
        None
    }
}

/// The bins of a series, by its unit.
#[derive(Debug, Clone, Copy)]
enum Bins {
    /// Of the same width from 0 up: so many in one of the unit, which they resolve up to that.
    Even { in_one: u16, most: u16 },
    /// Of counts, of which one of the unit has so many.
    Counts { in_one: f32 },
}

impl Bins {
    fn of(info: &SeriesInfo) -> Self {
        let even = |in_one, most| Self::Even { in_one, most };
        match info.unit {
            "1" => even(1000, 1),
            "°C" => even(10, 110),
            // A hundredth of a gram per litre is worth showing.
            "g/L" => Self::Counts { in_one: 100.0 },
            _ => Self::Counts { in_one: 1.0 },
        }
    }

    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // clamped
    fn bin(self, value: f32) -> usize {
        match self {
            Self::Even { in_one, most } => {
                (value.clamp(0.0, f32::from(most)) * f32::from(in_one) + 0.5) as usize
            }
            Self::Counts { in_one } => count_bin(value * in_one),
        }
    }

    /// The value at a place, 0 to 1, among the counts of a bin.
    fn value(self, bin: usize, place: f64) -> f64 {
        match self {
            Self::Even { in_one, .. } => bin as f64 / f64::from(in_one),
            Self::Counts { in_one } => within_bin(bin as u32, place) / f64::from(in_one),
        }
    }
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // counts, never negative
fn count_bin(value: f32) -> usize {
    let value = value as u32;
    if value < EXACT {
        return value as usize;
    }
    let octave = value.ilog2() - EXACT.ilog2();
    let within = (value >> (octave + 1)) - EXACT / 2;
    ((EXACT + octave * PER_OCTAVE + within) as usize).min(COUNT_BINS - 1)
}

/// The value at a place, 0 to 1, among the counts of a bin.
fn within_bin(bin: u32, place: f64) -> f64 {
    if bin < EXACT {
        return f64::from(bin);
    }
    let octave = (bin - EXACT) / PER_OCTAVE;
    let within = (bin - EXACT) % PER_OCTAVE;
    let low = (within + EXACT / 2) << (octave + 1);
    let width = 1_u32 << (octave + 1);
    f64::from(low) + place * f64::from(width - 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bins_hold_what_they_say() {
        for value in 0..100_000_u32 {
            let back = within_bin(count_bin(value as f32) as u32, 0.5);
            let error = (back - f64::from(value)).abs();
            assert!(error <= 0.016 * f64::from(value), "{value} became {back}");
            assert!(value >= EXACT || error == 0.0);
        }
        assert_eq!(count_bin(4e9), COUNT_BINS - 1);
        let bin = |unit, value| {
            let (kind, name) = (crate::service::series::SeriesKind::Free, String::new());
            Bins::of(&SeriesInfo {
                kind,
                name,
                unit,
                least: None,
            })
            .bin(value)
        };
        assert_eq!(bin("1", 0.25), 250);
        assert_eq!(bin("°C", 82.24), 822);
        assert_eq!((bin("pieces", 9.0), bin("g/L", 0.25)), (9, 25));
    }

    #[test]
    fn percentiles_are_nearest_ranks() {
        let info = SeriesInfo {
            kind: crate::service::series::SeriesKind::Free,
            name: "free".into(),
            unit: "people",
            least: None,
        };
        let mut series = Histogram::new(info, 1);
        (1..=20).for_each(|value| series.add(0, value as f32));
        series.add(0, MISSING);
        let band = series.band(1, 21);
        assert_eq!(band.mean[0], Some(10.5));
        assert_eq!(
            [band.p10[0], band.p50[0], band.p90[0]],
            [Some(2.0), Some(10.0), Some(18.0)]
        );
    }

    #[test]
    fn soil_is_kept_to_a_hundredth_and_has_no_end() {
        let info = SeriesInfo {
            kind: crate::service::series::SeriesKind::TankSoil(0),
            name: "tank_soil:conveyor".into(),
            unit: "g/L",
            least: None,
        };
        let mut series = Histogram::new(info, 2);
        (0..3).for_each(|_| series.add(0, 0.25));
        (0..3).for_each(|_| series.add(1, 850.0));
        let band = series.band(2, 3);
        assert_eq!(band.p50[0], Some(0.25));
        assert!((band.p50[1].unwrap() / 850.0 - 1.0).abs() < 0.03);
    }

    #[test]
    fn a_minute_of_few_evenings_has_no_value() {
        let info = SeriesInfo {
            kind: crate::service::series::SeriesKind::DriedOnShare,
            name: "dried_on_share".into(),
            unit: "1",
            least: None,
        };
        let mut series = Histogram::new(info, 2);
        (0..9).for_each(|_| series.add(0, 0.5));
        (0..10).for_each(|_| series.add(1, 0.5));
        let band = series.band(2, 100);
        assert_eq!(band.mean, [None, Some(0.5)]);
        for values in [band.p10, band.p50, band.p90] {
            assert_eq!(values, [None, Some(0.5)]);
        }
        // Of one evening every value counts.
        assert_eq!(series.band(1, 1).mean, [Some(0.5)]);
    }
}
