//! Why work waits: for somebody, for a place, for a rack, or for room further on.
//!
//! The same question answers three: what binds (sampled each minute), what is stuck when an evening
//! never ends, and which settings never mattered.

/// What work waits for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Obstacle {
    /// Somebody free who does this duty.
    Person,
    /// A free place, station, sink or machine.
    Place,
    /// An empty rack of the right kind.
    Rack,
    /// Room further on.
    Room,
}

/// How many obstacles there are.
pub const OBSTACLES: usize = 4;

impl Obstacle {
    /// All, in the order of the station measures.
    pub const ALL: [Self; OBSTACLES] = [Self::Person, Self::Place, Self::Rack, Self::Room];
}
