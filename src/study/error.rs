//! Why services could not be played.

use thiserror::Error;

/// Why nothing was played.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum PlayError {
    /// The machine did not give so many threads.
    #[error("cannot start {threads} threads: {cause}")]
    Threads {
        /// How many.
        threads: usize,
        /// What it said.
        #[source]
        cause: rayon::ThreadPoolBuildError,
    },
    /// There was no scenario to compare with.
    #[error("there is no scenario to compare")]
    NoScenario,
}

impl PlayError {
    /// What to do about it.
    #[must_use]
    pub const fn help(&self) -> &'static str {
        match self {
            Self::Threads { .. } => "ask for fewer with --threads",
            Self::NoScenario => "give a scenario to compare the others with",
        }
    }
}
