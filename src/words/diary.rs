//! What happens, line by line of the diary.

use crate::service::diary::Happening;
use crate::words::names::phase;

/// What happened, in a few words.
#[must_use]
pub const fn what(happening: &Happening) -> &'static str {
    match happening {
        Happening::Short { .. } => "not there",
        Happening::Soiled { .. } => "soiled",
        Happening::PutDown { .. } => "put down at the drop-off",
        Happening::SoakStarts { .. } => "soak starts",
        Happening::SoakEnds { .. } => "taken from the soak",
        Happening::SinkFilled => "pot sink filled",
        Happening::Sanitised { .. } => "sanitised, on the drainboard",
        Happening::Dry { .. } => "dry on the drainboard",
        Happening::Sorted { .. } => "sorted into a rack at the drop-off",
        Happening::Racked { .. } => "rack filled",
        Happening::Enters { .. } => "rack enters",
        Happening::Leaves { .. } => "rack leaves",
        Happening::Phase { phase: begun, .. } => phase(*begun),
        Happening::RackStored { .. } => "rack stored",
        Happening::RackEmpty { .. } => "rack empty",
        Happening::Parked { .. } => "rack parked",
        Happening::Unloaded { .. } => "rack unloaded",
        Happening::Caught { .. } => "caught dirty",
        Happening::Brought { .. } => "clean ware comes",
        Happening::Stored { .. } => "put away",
        Happening::Strikes { .. } => "fault strikes",
        Happening::Noticed { .. } => "fault noticed",
        Happening::Mended { .. } => "fault mended",
        Happening::Passes { .. } => "fault is over",
        Happening::TaskDone { .. } => "task done",
        Happening::Ready { .. } => "machine is set up",
        Happening::Comes { .. } => "comes",
        Happening::Absent { .. } => "does not come",
        Happening::Called { .. } => "is called in",
        Happening::WashesHands { .. } => "washes hands",
        Happening::Goes { .. } => "goes home",
        Happening::Break { .. } => "break",
        Happening::Starts { .. } => "takes up",
        Happening::Ends { .. } => "finishes",
    }
}
