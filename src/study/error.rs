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
    /// Costs in different currencies, which nothing converts.
    #[error("the prices of {} are in {}, those of {} in {}", .of[0], .currencies[0], .of[1], .currencies[1])]
    Currencies {
        /// Two scenarios.
        of: [String; 2],
        /// Their currencies.
        currencies: [String; 2],
    },
}

impl PlayError {
    /// What to do about it.
    #[must_use]
    pub const fn help(&self) -> &'static str {
        match self {
            Self::Threads { .. } => "ask for fewer with --threads",
            Self::Currencies { .. } => {
                "give the prices of both in one currency, and name it in `currency` of [prices]"
            }
            Self::NoScenario => "give a scenario to compare the others with",
        }
    }
}
