//! Round numbers and round times for the axes.

/// Values a value axis shows, mostly from 0 up, and how they are written.
#[derive(Debug, Clone, PartialEq)]
pub struct Scale {
    /// Distance between ticks.
    pub step: f64,
    /// Lower end: a multiple of the step, but of differences.
    pub base: f64,
    /// Upper end: a multiple of the step, unless that left much of the plot empty.
    pub top: f64,
}

/// No axis is finer than this,
const MIN_TOP: f64 = 0.01;
/// nor goes further than this; what lies beyond is drawn at the edge.
const MAX_TOP: f64 = 1e15;

/// No axis around equal values is narrower than this part of them.
const MIN_PART: f64 = 0.01;
/// What is smaller is nothing.
const SMALLEST: f64 = 1e-200;
/// What is smaller is written with a power of ten.
const TINY: f64 = 1e-4;

/// A tiny number: `2.5e-9`.
pub fn tiny(value: f64) -> String {
    let text = format!("{value:.3e}");
    let (mantissa, power) = text.split_once('e').unwrap_or((&text, "0"));
    let short = mantissa.trim_end_matches('0').trim_end_matches('.');
    format!("{short}e{power}")
}

impl Scale {
    /// A scale from 0 to at least `most`, with at most `ticks` steps; whole numbers if `whole`.
    pub fn new(most: f64, ticks: usize, whole: bool) -> Self {
        let most = if most.is_finite() && most > 0.0 {
            most.clamp(MIN_TOP, MAX_TOP)
        } else {
            1.0
        };
        let mut step = round_up(most / ticks.max(1) as f64);
        if whole {
            step = libm::ceil(step.max(1.0));
        }
        let rounded = step * libm::ceil(most / step - 1e-9).max(1.0);
        let top = if rounded > 1.15 * most && rounded > step {
            1.05 * most
        } else {
            rounded
        };
        Self {
            step,
            base: 0.0,
            top,
        }
    }

    /// A scale that holds both of these, for what is far from 0, with some `ticks` steps.
    pub fn between(low: f64, high: f64, ticks: usize) -> Self {
        if !(low.is_finite() && high.is_finite() && high >= low && high.abs() < MAX_TOP) {
            return Self::new(high, ticks, false);
        }
        // No narrower than two of the unit: a hair is no change.
        let step = round_up((high - low).max(2.0) / ticks.max(1) as f64);
        Self {
            step,
            base: step * libm::floor(low / step + 1e-9),
            top: step * (libm::floor(high / step + 1e-9) + 1.0),
        }
    }

    /// A scale around values of any size and sign, with at most `ticks` steps or a few more; both ends are
    /// ticks. `low` and `high` are the least and the largest of the values.
    pub fn around(low: f64, high: f64, ticks: usize) -> Self {
        if !(low.is_finite() && high.is_finite() && high >= low) {
            return Self::new(1.0, ticks, false);
        }
        let (low, high) = (low.clamp(-MAX_TOP, MAX_TOP), high.clamp(-MAX_TOP, MAX_TOP));
        let size = low.abs().max(high.abs());
        // Values that differ by a hair, or not at all, stand amid a little room.
        let room = MIN_PART * size - (high - low);
        let (low, high) = match size {
            size if size < SMALLEST => (0.0, 1.0),
            _ if room > 0.0 => (low - 0.5 * room, high + 0.5 * room),
            _ => (low, high),
        };
        let step = round_up((high - low) / ticks.max(1) as f64);
        let base = step * libm::floor(low / step + 1e-9);
        let top = step * libm::ceil(high / step - 1e-9);
        Self {
            step,
            base,
            top: if top > base { top } else { base + step },
        }
    }

    /// A scale for differences: 0 and both of these are on it, with some `ticks` steps.
    pub fn signed(low: f64, high: f64, ticks: usize) -> Self {
        let within = |value: f64| match value.is_finite() {
            true => value.clamp(-MAX_TOP, MAX_TOP),
            false => 0.0,
        };
        let (low, high) = (within(low).min(0.0), within(high).max(0.0));
        if high - low <= 0.0 {
            return Self::new(1.0, 1, true);
        }
        let span = (high - low).max(MIN_TOP);
        // A little room beyond what is not 0.
        let room = |end: f64| if end == 0.0 { 0.0 } else { 0.06 * span };
        Self {
            step: round_up(span / ticks.max(1) as f64),
            base: low - room(low),
            top: high + room(high),
        }
    }

    /// The ticks, from the first multiple of the step on.
    pub fn ticks(&self) -> Vec<f64> {
        let first = libm::ceil(self.base / self.step - 1e-9);
        let count = libm::floor(self.top / self.step - first + 1e-9).max(0.0) as usize;
        (0..=count.min(50))
            .map(|i| (first + i as f64) * self.step)
            .collect()
    }

    /// Where a value stands between the two ends, 0 to 1.
    pub fn part(&self, value: f64) -> f64 {
        ((value - self.base) / (self.top - self.base)).clamp(0.0, 1.0)
    }

    /// A tick as it is written.
    pub fn label(&self, tick: f64) -> String {
        let size = self.top.max(self.base.abs());
        let (divisor, letter) = match size {
            size if size < TINY => return tiny(tick),
            top if top >= 1e9 => (1e9, " bn"),
            top if top >= 1e6 => (1e6, " m"),
            _ => (1.0, ""),
        };
        if tick == 0.0 {
            return "0".to_owned();
        }
        let digits = (-libm::floor(libm::log10(self.step / divisor) + 1e-9)).max(0.0) as usize;
        let half = (self.step / divisor * libm::pow(10.0, digits as f64)).fract() > 1e-6;
        let decimals = i32::try_from(digits + usize::from(half)).unwrap_or(0);
        crate::report::number::text(Some(tick / divisor), decimals) + letter
    }
}

/// The next of 1, 2, 2.5, 5 and 10 times a power of ten.
fn round_up(value: f64) -> f64 {
    let power = libm::pow(10.0, libm::floor(libm::log10(value)));
    let factor = [1.0, 2.0, 2.5, 5.0]
        .into_iter()
        .find(|f| f * power >= value * (1.0 - 1e-9));
    factor.unwrap_or(10.0) * power
}

/// Minutes between labels that a clock may have.
const STEPS_MIN: [f64; 11] = [
    1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 180.0, 240.0, 360.0,
];

/// Times of day, s, at round steps within `from..=to`, such that at most `most` fit.
pub fn times(from_s: f64, to_s: f64, most: f64) -> Vec<f64> {
    let fits = |step: &&f64| (to_s - from_s) / (60.0 * **step) <= most;
    let step = 60.0 * STEPS_MIN.iter().find(fits).unwrap_or(&1440.0);
    let first = libm::ceil(from_s / step - 1e-9);
    let count = libm::floor((to_s - first * step) / step + 1e-9);
    if count < 0.0 {
        return Vec::new();
    }
    (0..=(count as usize).min(100))
        .map(|i| (first + i as f64) * step)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn labels(most: f64, ticks: usize, whole: bool) -> Vec<String> {
        let scale = Scale::new(most, ticks, whole);
        scale.ticks().into_iter().map(|t| scale.label(t)).collect()
    }

    #[test]
    fn ticks_are_round() {
        assert_eq!(labels(187.0, 4, true), ["0", "50", "100", "150", "200"]);
        assert_eq!(labels(2.6, 3, true), ["0", "1", "2"]);
        assert_eq!(labels(2.7, 3, true), ["0", "1", "2", "3"]);
        assert_eq!(labels(0.9, 2, false), ["0", "0.5", "1.0"]);
        assert_eq!(labels(9.0, 4, false), ["0", "2.5", "5.0", "7.5", "10.0"]);
        assert_eq!(labels(3_900_000.0, 2, true), ["0", "2 m", "4 m"]);
        assert_eq!(labels(0.0, 3, true), ["0", "1"]);
        assert_eq!(labels(1e-300, 1, false), ["0", "0.01"]);
        assert!(Scale::new(f64::MAX, 4, true).top <= 2e15);
        assert_eq!(
            labels(f64::NAN, 3, false).first().map(String::as_str),
            Some("0")
        );
        assert_eq!(
            labels(29_000.0, 3, true),
            ["0", "10,000", "20,000", "30,000"]
        );
    }

    #[test]
    fn what_is_far_from_nothing_is_shown_from_near_it() {
        let labels = |low, high, ticks| -> Vec<String> {
            let scale = Scale::between(low, high, ticks);
            scale.ticks().into_iter().map(|t| scale.label(t)).collect()
        };
        assert_eq!(labels(81.2, 85.0, 4), ["81", "82", "83", "84", "85", "86"]);
        assert_eq!(labels(72.0, 72.0, 4), ["72.0", "72.5"]);
        assert_eq!(labels(0.3, 17.0, 4), ["0", "5", "10", "15", "20"]);
        assert_eq!(labels(f64::NAN, 3.0, 3), ["0", "1", "2", "3"]);
        let scale = Scale::between(80.0, 84.0, 4);
        assert_eq!([scale.part(80.0), scale.part(90.0)], [0.0, 1.0]);
    }

    #[test]
    fn scales_around_values_of_any_size_and_sign_have_few_round_ticks() {
        let labels = |low, high| -> Vec<String> {
            let scale = Scale::around(low, high, 4);
            scale.ticks().into_iter().map(|t| scale.label(t)).collect()
        };
        assert_eq!(labels(0.3, 7.9), ["0", "2", "4", "6", "8"]);
        assert_eq!(labels(-3.0, 4.2), ["-4", "-2", "0", "2", "4", "6"]);
        assert_eq!(labels(27.52, 27.93), ["27.4", "27.6", "27.8", "28.0"]);
        assert_eq!(labels(2e-9, 8e-9), ["2e-9", "4e-9", "6e-9", "8e-9"]);
        assert_eq!(
            labels(-2e6, -1e6),
            ["-2.00 m", "-1.75 m", "-1.50 m", "-1.25 m", "-1.00 m"]
        );
        assert_eq!(labels(0.0, 0.0), ["0", "0.25", "0.50", "0.75", "1.00"]);
        for value in [72.0, -72.0, 1e-12, 1e15, f64::MAX, f64::MIN, 5e-324] {
            let scale = Scale::around(value, value, 4);
            let ticks = scale.ticks();
            assert!((2..=8).contains(&ticks.len()), "{value}: {ticks:?}");
            let held = value.clamp(-1e15, 1e15);
            assert!(
                scale.base <= held && held <= scale.top,
                "{value}: {scale:?}"
            );
            let mut labels: Vec<_> = ticks.iter().map(|t| scale.label(*t)).collect();
            labels.dedup();
            assert_eq!(labels.len(), ticks.len(), "{labels:?}");
        }
        assert_eq!(labels(f64::NAN, 1.0).first().map(String::as_str), Some("0"));
    }

    #[test]
    fn differences_are_shown_around_nought() {
        let labels = |low, high, ticks| -> Vec<String> {
            let scale = Scale::signed(low, high, ticks);
            scale.ticks().into_iter().map(|t| scale.label(t)).collect()
        };
        assert_eq!(labels(-930.0, 0.0, 4), ["-750", "-500", "-250", "0"]);
        assert_eq!(labels(-930.0, 12.0, 4), ["-750", "-500", "-250", "0"]);
        assert_eq!(labels(-4.2, 7.9, 3), ["0", "5"]);
        assert_eq!(labels(-0.04, 0.14, 3), ["0", "0.1"]);
        assert_eq!(labels(0.0, 0.0, 3), ["0", "1"]);
        assert_eq!(labels(f64::NAN, f64::INFINITY, 3), ["0", "1"]);
        let scale = Scale::signed(-10.0, 0.0, 2);
        assert_eq!(scale.part(0.0), 1.0);
    }

    #[test]
    fn times_are_round_and_within() {
        let hour = 3600.0;
        assert_eq!(times(16.5 * hour, 24.2 * hour, 16.0).len(), 16);
        assert_eq!(
            times(16.5 * hour, 24.2 * hour, 8.0).first(),
            Some(&(17.0 * hour))
        );
        assert_eq!(
            times(16.5 * hour, 16.5 * hour + 60.0, 8.0),
            [16.5 * hour, 16.5 * hour + 60.0]
        );
        assert!(times(5.0 * hour, 23.0 * hour, 9.0).len() <= 10);
    }
}
