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
    let ends = |measure: Measure| {
        let of = &evening.measures[measure as usize];
        Some([of.p10.value?, of.p90.value?])
    };
    let binding = binding(evening);
    let binds = binding.as_ref();
    words::of(&Figures {
        wait_min: mean(Measure::WaitMean).zip(mean(Measure::WaitP95)),
        wait_evenings_min: ends(Measure::WaitMean),
        most_pieces: mean(Measure::SoiledWaitingMax),
        dried_on: mean(Measure::DriedOnShare),
        short_covers: mean(Measure::ShortCovers),
        crew_out: crew_out(evening),
        binds: binds.map(|binding| (binding.duty.name(), binding.obstacle)),
        unfinished: (evening.unfinished, evening.replications),
    })
}

/// When the crew is out by the clock: in the mean, and in the evening of which one in ten is later.
fn crew_out(evening: &Evening) -> Option<[String; 2]> {
    let of = &evening.measures[Measure::CrewOutAfterClose as usize];
    let (mean, late) = (of.mean?, of.p90.value?);
    let clock = |minutes: f64| evening.clock.after_close(minutes);
    Some([clock(mean), clock(late.max(mean))])
}
