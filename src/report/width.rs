//! How wide a table may be: as wide as the terminal, or the same for all files and programs that read it.

/// Narrower terminals break the lines of tables themselves.
const MIN_WIDTH: usize = 60;
/// Longer lines of text are hard to read.
const MAX_WIDTH: usize = 140;

/// Characters that a line of a table may have.
///
/// ```
/// use scullery::Width;
///
/// assert_eq!(Width::FIXED.get(), 92);
/// assert_eq!(Width::of_terminal(120).get(), 120);
/// assert_eq!(Width::of_terminal(20).get(), 60, "narrower ones break lines themselves");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Width(usize);

impl Width {
    /// Where no terminal is: what is written to files can be compared, whatever window it was made in.
    pub const FIXED: Self = Self(92);

    /// Of a terminal with so many columns.
    #[must_use]
    pub fn of_terminal(columns: usize) -> Self {
        Self(columns.clamp(MIN_WIDTH, MAX_WIDTH))
    }

    /// How many characters.
    #[must_use]
    pub const fn get(self) -> usize {
        self.0
    }
}

impl Default for Width {
    fn default() -> Self {
        Self::FIXED
    }
}
