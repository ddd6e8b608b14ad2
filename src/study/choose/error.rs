//! Why nothing can be chosen.

use thiserror::Error;

use crate::scenario::Mistakes;
use crate::service::measure::Measure;
use crate::study::error::PlayError;
use crate::words::measures::label;

/// Why nothing can be chosen.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum ChooseError<E> {
    /// Whoever keeps the evenings could not.
    #[error("{0}")]
    Refused(E),
    /// The study has mistakes.
    #[error("{0}")]
    Wrong(Box<Mistakes>),
    /// A measure had no value.
    #[error("{} has no value in evening {replication} of {design}", label(.measure.info()))]
    Absent {
        /// At this design, in words.
        design: String,
        /// The measure.
        measure: Measure,
        /// In this evening.
        replication: u64,
    },
    /// Nothing could be played.
    #[error("{0}")]
    NotPlayed(#[source] PlayError),
}

impl<E> ChooseError<E> {
    /// What to do about it, where that is not said already.
    #[must_use]
    pub const fn help(&self) -> Option<&'static str> {
        match self {
            Self::Refused(_) | Self::Wrong(_) => None,
            Self::Absent { .. } => Some(
                "choose and set targets by measures that every evening of every design has; the cost needs [prices]",
            ),
            Self::NotPlayed(error) => Some(error.help()),
        }
    }
}
