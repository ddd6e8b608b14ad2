//! How a run is watched and cancelled from outside.
//!
//! A [`Watch`] is shared between the run and whoever looks at it. Any thread may ask how far the run is, or cancel
//! it; that takes effect at the end of the evenings being played, and what is finished is kept. A watch made by
//! [`Watch::showing`] also gets the results so far, [`SoFar`], each time a block of evenings has been folded.
//!
//! ```
//! use scullery::service::measure::Measure;
//! use scullery::study::watch::Watch;
//!
//! let watch = Watch::showing(|so_far| {
//!     let wait = so_far.estimate(0, Measure::WaitMean);
//!     println!("{} evenings: {:?} ± {:?} min", so_far.done, wait.mean, wait.half_width);
//! });
//! assert_eq!(watch.done(), 0);
//! ```

use std::fmt;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use super::plan::LEVEL;
use super::swept::Cell;
use crate::service::measure::Measure;
use crate::statistics::interval::Sample;
use crate::statistics::paired::paired;

/// Who is shown the results so far.
type Show = Box<dyn Fn(&SoFar<'_>) + Send + Sync>;

/// A run as seen from outside.
#[derive(Default)]
pub struct Watch {
    cancelled: AtomicBool,
    done: AtomicU64,
    show: Option<Show>,
}

impl Watch {
    /// Shows the results so far after every block of evenings. The run waits meanwhile.
    #[must_use]
    pub fn showing(show: impl Fn(&SoFar<'_>) + Send + Sync + 'static) -> Self {
        Self {
            show: Some(Box::new(show)),
            ..Self::default()
        }
    }

    /// Ends the run as soon as the evenings being played are over. What is finished is kept.
    pub fn cancel(&self) {
        self.cancelled.store(true, Ordering::Relaxed);
    }

    /// Whether it was cancelled.
    #[must_use]
    pub fn is_cancelled(&self) -> bool {
        self.cancelled.load(Ordering::Relaxed)
    }

    /// Evenings finished so far. An evening of a comparison is one with all its scenarios.
    #[must_use]
    pub fn done(&self) -> u64 {
        self.done.load(Ordering::Relaxed)
    }

    /// Counts evenings.
    pub(super) fn count(&self, evenings: u64) {
        self.done.fetch_add(evenings, Ordering::Relaxed);
    }

    /// Shows what was folded so far.
    pub(super) fn show(&self, wanted: Option<u64>, folded: &dyn Columns) {
        if let Some(show) = &self.show {
            show(&SoFar {
                done: self.done(),
                wanted,
                cancelled: &self.cancelled,
                folded,
            });
        }
    }
}

impl fmt::Debug for Watch {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        to.debug_struct("Watch")
            .field("cancelled", &self.is_cancelled())
            .field("done", &self.done())
            .finish_non_exhaustive()
    }
}

/// The values of measures that a study has folded so far.
pub(super) trait Columns {
    /// What is played side by side: the scenarios of a comparison, the designs of a choice.
    fn sides(&self) -> usize;
    /// The values of a measure with the numbers of their replications, in order.
    fn column(&self, side: usize, measure: Measure) -> Vec<(u64, Option<f64>)>;
}

/// The results so far, as a [`Watch`] shows them.
///
/// Side 0 is the scenario of a simulation or the base of a comparison; the alternatives follow. The sides of a
/// choice are its designs. A sweep hands over each finished point by itself, so it has no sides here.
///
/// Intervals hold for one look. Whoever stops at the first look that pleases has less than 95 % confidence.
pub struct SoFar<'f> {
    /// Evenings finished.
    pub done: u64,
    /// Evenings that will be played at most, where that is known.
    pub wanted: Option<u64>,
    cancelled: &'f AtomicBool,
    folded: &'f dyn Columns,
}

impl SoFar<'_> {
    /// Ends the run, as [`Watch::cancel`] does.
    pub fn cancel(&self) {
        self.cancelled.store(true, Ordering::Relaxed);
    }

    /// How many scenarios or designs there are.
    #[must_use]
    pub fn sides(&self) -> usize {
        self.folded.sides()
    }

    /// The mean of a measure with its 95 % interval; empty where there is no such side.
    #[must_use]
    pub fn estimate(&self, side: usize, measure: Measure) -> Cell {
        let values = self.column(side, measure);
        let values: Vec<f64> = values.into_iter().filter_map(|(_, value)| value).collect();
        let sample = Sample::of(&values);
        Cell {
            mean: sample.map(|sample| sample.mean),
            half_width: sample.and_then(|sample| sample.half_width(LEVEL)),
            n: values.len() as u64,
        }
    }

    /// What a side has more of a measure than the first, on the evenings that both have.
    #[must_use]
    pub fn difference(&self, side: usize, measure: Measure) -> Cell {
        let [first, other] = [0, side].map(|side| self.column(side, measure));
        let mut pairs = (Vec::new(), Vec::new());
        let mut first = first.into_iter().peekable();
        for (replication, value) in other {
            while first.next_if(|(before, _)| *before < replication).is_some() {}
            let same = first.next_if(|(number, _)| *number == replication);
            if let (Some((_, Some(base))), Some(value)) = (same, value) {
                pairs.0.push(value);
                pairs.1.push(base);
            }
        }
        let found = paired(&pairs.0, &pairs.1);
        Cell {
            mean: found.map(|found| found.mean_difference),
            half_width: found.and_then(|found| found.half_width(LEVEL)),
            n: pairs.0.len() as u64,
        }
    }

    fn column(&self, side: usize, measure: Measure) -> Vec<(u64, Option<f64>)> {
        if side < self.sides() {
            self.folded.column(side, measure)
        } else {
            Vec::new()
        }
    }
}
