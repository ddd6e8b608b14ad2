//! One measure of a study as its charts show it: values in the units that people read, the words of its
//! targets, and which design points meet them.

use super::super::axis::tiny;
use crate::report::number::{decimals, finite, text};
use crate::report::units::{Shown, Units};
use crate::service::measure::MeasureInfo;
use crate::study::swept::{Cell, Swept, Target};
use crate::words::charts::study as words;
use crate::words::measures::heading;
use crate::words::study::side;

/// A value, in shown units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Value {
    /// The mean.
    pub mean: f64,
    /// Half-width of its 95 % interval.
    pub half: Option<f64>,
}

/// One measure of a study.
#[derive(Debug, Clone, Copy)]
pub struct View<'a> {
    /// The study.
    pub swept: &'a Swept,
    /// Which of its measures.
    pub measure: usize,
    /// That measure.
    pub info: &'static MeasureInfo,
    shown: Shown,
}

/// A bound of a target, in shown units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bound {
    /// The bound.
    pub value: f64,
    /// Whether it is an upper bound.
    pub is_upper: bool,
    /// In which share of the evenings; of the mean if in none.
    pub in_share: Option<f64>,
}

/// Nothing on a chart is larger.
const LARGEST: f64 = 1e15;

impl<'a> View<'a> {
    /// A measure of the study in `units`; none if there is no such measure.
    pub fn new(swept: &'a Swept, measure: usize, units: Units) -> Option<Self> {
        let info = *swept.measures.get(measure)?;
        let shown = units.shown(info.unit);
        Some(Self {
            swept,
            measure,
            info,
            shown,
        })
    }

    /// What it is, in words.
    pub fn words(&self) -> String {
        heading(self.info)
    }

    /// Its unit as shown.
    pub fn unit(&self) -> &'a str {
        match self.info.unit {
            "money" => self.swept.wording.unit("money"),
            _ => self.shown.unit,
        }
    }

    /// Whether a design point misses a target of safety, or some of its evenings were cut off unfinished.
    pub fn is_unsafe(&self, point: usize) -> bool {
        let is = |of: &[bool]| of.get(point) == Some(&true);
        is(&self.swept.unfinished) || is(&self.swept.dangerous)
    }

    /// The estimate at a design point.
    pub fn cell(&self, point: usize) -> Option<&'a Cell> {
        self.swept.cells.get(point)?.get(self.measure)
    }

    /// The value at a design point.
    pub fn at(&self, point: usize) -> Option<Value> {
        self.value(self.cell(point)?)
    }

    /// An estimate in shown units.
    pub fn value(&self, cell: &Cell) -> Option<Value> {
        let mean = finite(cell.mean)? * self.shown.factor + self.shown.offset;
        Some(Value {
            mean: mean.clamp(-LARGEST, LARGEST),
            half: self.spread(cell.half_width),
        })
    }

    /// A half-width in shown units.
    pub fn spread(&self, half_width: Option<f64>) -> Option<f64> {
        let half = finite(half_width)? * self.shown.factor;
        Some(half.clamp(0.0, LARGEST))
    }

    /// The least value that there can be, in shown units: nothing but times after closing is less than 0.
    pub fn least(&self) -> Option<f64> {
        let may_be_before = self.info.name.ends_with("_after_close");
        (!may_be_before).then_some(self.shown.offset)
    }

    /// The largest value that there can be, in shown units: all of a share.
    pub fn most(&self) -> Option<f64> {
        (self.info.unit == "1").then_some(self.shown.factor + self.shown.offset)
    }

    /// Both ends of an interval, within what there can be.
    pub fn within(&self, (low, high): (f64, f64)) -> (f64, f64) {
        let low_end = |end: f64| {
            self.least()
                .filter(|l| *l <= high)
                .map_or(end, |l| end.max(l))
        };
        let high_end = |end: f64| {
            self.most()
                .filter(|m| *m >= low)
                .map_or(end, |m| end.min(m))
        };
        (low_end(low), high_end(high))
    }

    /// Whether there is nothing of it at any design point, beyond doubt.
    pub fn is_nothing(&self) -> bool {
        let mut values = (0..self.swept.points.len()).filter_map(|point| self.at(point));
        let is_none = |v: Value| v.mean == 0.0 && v.half.unwrap_or(0.0) == 0.0;
        self.range() == Some((0.0, 0.0)) && values.all(is_none)
    }

    /// Least and largest mean of all design points.
    pub fn range(&self) -> Option<(f64, f64)> {
        let points = 0..self.swept.points.len();
        let means = points.filter_map(|point| self.at(point)).map(|v| v.mean);
        means.fold(None, |range, mean| {
            let (low, high) = range.unwrap_or((mean, mean));
            Some((low.min(mean), high.max(mean)))
        })
    }

    /// A number to the digits that its half-width supports.
    pub fn number(&self, value: f64, half: Option<f64>) -> String {
        self.written(value, self.places(half))
    }

    /// A half-width, never rounded to 0; nothing where there is none, or where nothing varied.
    pub fn plus_minus(&self, half: Option<f64>) -> Option<String> {
        let half = half.filter(|half| *half > 0.0)?;
        let places = self.places(Some(half));
        let step = libm::pow(10.0, f64::from(-places));
        Some(if half < 0.5 * step {
            format!("±<{}", self.written(step, places))
        } else {
            format!("±{}", self.written(half, places))
        })
    }

    fn places(&self, half: Option<f64>) -> i32 {
        let most = i32::try_from(self.info.decimals).unwrap_or(0) + self.shown.decimals;
        decimals(half, most.max(0))
    }

    fn written(&self, value: f64, places: i32) -> String {
        let (divisor, letter, taken) = match value.abs() {
            size if size > 0.0 && size < 1e-4 && places > 4 => return tiny(value),
            size if size >= 1e9 => (1e9, words::BILLIONS, 9),
            size if size >= 1e6 => (1e6, words::MILLIONS, 6),
            _ => (1.0, "", 0),
        };
        let places = if taken > 0 {
            (places + taken).clamp(0, 2)
        } else {
            places
        };
        text(Some(value / divisor), places) + letter
    }

    /// The bounds of its own targets.
    pub fn bounds(&self) -> Vec<Bound> {
        let own = self.swept.targets.iter();
        let own = own.filter(|target| target.measure == self.measure);
        let of = |target: &Target| {
            let shown = |v: f64| v * self.shown.factor + self.shown.offset;
            let bound = |value: Option<f64>, is_upper| {
                let value = shown(finite(value)?).clamp(-LARGEST, LARGEST);
                let in_share = finite(target.in_share);
                Some(Bound {
                    value,
                    is_upper,
                    in_share,
                })
            };
            [bound(target.at_most, true), bound(target.at_least, false)]
        };
        own.flat_map(of).flatten().collect()
    }

    /// A bound in words: `at most 3 %`, `at most 0 covers in 95 % of evenings`.
    pub fn bound_text(&self, bound: Bound) -> String {
        let label = self.bound_label(bound);
        bound
            .in_share
            .map_or(label.clone(), |share| words::in_share(&label, share))
    }

    /// The same beside its line, where room is short.
    pub fn bound_label(&self, bound: Bound) -> String {
        let word = side(bound.is_upper);
        let most = i32::try_from(self.info.decimals).unwrap_or(0) + self.shown.decimals;
        let places = (0..most.max(0))
            .find(|places| {
                let scaled = bound.value * libm::pow(10.0, f64::from(*places));
                (scaled - libm::round(scaled)).abs() < 1e-6 * scaled.abs().max(1.0)
            })
            .unwrap_or(most.max(0));
        format!(
            "{word} {} {}",
            self.written(bound.value, places),
            self.unit()
        )
    }

    /// All bounds in words, if there are any.
    pub fn bounds_text(&self) -> Option<String> {
        let bounds: Vec<_> = self.bounds().iter().map(|b| self.bound_text(*b)).collect();
        (!bounds.is_empty()).then(|| bounds.join(words::AND))
    }

    /// Whether a design point meets the measure's own targets; of a measure without any of its mean alone, all those of the
    /// study. A mean that does not exist meets none, nor does a point that is unsafe.
    pub fn keeps(&self, point: usize) -> bool {
        if self.is_unsafe(point) {
            return false;
        }
        let has_own = self.has_own_mean();
        if !has_own && !self.swept.keeping.is_empty() {
            return self.swept.keeping.get(point) == Some(&true);
        }
        let targets = self.swept.targets.iter();
        let mut asked = targets
            .filter(|target| !has_own || target.measure == self.measure)
            .peekable();
        asked.peek().is_some() && asked.all(|target| self.keeps_one(point, target))
    }

    /// Whether all its own targets, of which there are some, are of the mean: those of shares of evenings are known only
    /// together with all others.
    pub fn has_own_mean(&self) -> bool {
        let bounds = self.bounds();
        !bounds.is_empty() && bounds.iter().all(|bound| bound.in_share.is_none())
    }

    fn keeps_one(&self, point: usize, target: &Target) -> bool {
        let cells = self.swept.cells.get(point);
        let cell = cells.and_then(|cells| cells.get(target.measure));
        let Some(mean) = cell.and_then(|cell| finite(cell.mean)) else {
            return false;
        };
        finite(target.at_most).is_none_or(|most| mean <= most)
            && finite(target.at_least).is_none_or(|least| mean >= least)
    }

    /// Whether the interval at a design point reaches across one of the measure's own bounds: which side
    /// it is on could be luck.
    pub fn is_unsure(&self, point: usize) -> bool {
        let Some(value) = self.at(point) else {
            return false;
        };
        let half = value.half.unwrap_or(0.0);
        let bounds = self.bounds();
        let mut bounds = bounds.iter().filter(|bound| bound.in_share.is_none());
        half > 0.0 && bounds.any(|b| (value.mean - b.value).abs() < half)
    }

    /// `40 evenings`, or `20 to 400 evenings`, over the design points that have a value.
    pub fn evenings(&self) -> String {
        let points = 0..self.swept.points.len();
        let counts = points.filter_map(|p| self.cell(p)).map(|cell| cell.n);
        let counts = counts.filter(|n| *n > 0);
        let (least, most) = counts.fold((u64::MAX, 0), |(a, b), n| (a.min(n), b.max(n)));
        let words = words::evenings(least, most);
        self.swept.wording.said(&words).into_owned()
    }
}
