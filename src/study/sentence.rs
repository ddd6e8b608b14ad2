//! The evening in one plain sentence: its figures. The words are those of `words/sentences/evening.rs`.

use super::binding::binding;
use super::evening::Evening;
use crate::service::measure::Measure;
use crate::words::sentences::evening::{self as words, Figures};

/// What a manager would want to know first: how long ware waited, what piled up, what dried on, what ran
/// short, when the crew was out, and what held everything up. Means over the evenings played.
#[must_use]
pub fn of(evening: &Evening) -> String {
    if evening.replications == 0 {
        return words::NO_EVENING.into();
    }
    let mean = |measure: Measure| evening.measures[measure as usize].mean;
    let binding = binding(evening);
    let binds = binding.as_ref();
    words::of(&Figures {
        wait_min: mean(Measure::WaitMean).zip(mean(Measure::WaitP95)),
        most_pieces: mean(Measure::SoiledWaitingMax),
        dried_on: mean(Measure::DriedOnShare),
        short_covers: mean(Measure::ShortCovers),
        crew_out_min: mean(Measure::CrewOutAfterClose),
        binds: binds.map(|binding| (binding.duty.name(), binding.obstacle)),
        unfinished: (evening.unfinished, evening.replications),
    })
}
