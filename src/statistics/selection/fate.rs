//! What a selection may find out about a system.

/// What has become of a system.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fate {
    /// Still to be had, or chosen.
    Contends,
    /// Misses this target.
    Misses(usize),
    /// Shown to cost more than this system, which was chosen.
    Beaten(usize),
    /// Shown not to cost less than this system, which was chosen, by the indifference amount.
    Close(usize),
}
