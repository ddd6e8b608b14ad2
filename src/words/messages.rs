//! What a run says of itself on standard error: notes, what it resumes, where it stopped, where its files are.

/// Marks a note.
pub const NOTE: &str = "note:";

/// A file that does not name its version.
#[must_use]
pub fn unversioned(file: &str) -> String {
    format!("`{file}` gives no version and is read as version 1; add `version = 1` at its top")
}

/// Progress of a run of known length, in the language of the progress bar.
pub const BAR: &str = "{bar:40} {pos} of {len} ‹evenings›, {eta} left";
/// The same of one whose length nobody knows.
pub const SPINNER: &str = "{spinner} {pos} ‹evenings›, {elapsed}";

/// A choice that goes on.
#[must_use]
pub fn resuming_choice(evenings: usize) -> String {
    format!("resuming after {evenings} ‹evenings› played before")
}

/// A study that goes on.
#[must_use]
pub fn resuming_study(points: u64) -> String {
    format!("resuming after {points} points finished before")
}

/// Many points that are checked first.
#[must_use]
pub fn checking(points: usize) -> String {
    format!("checking {points} points")
}

/// A simulation interrupted at once.
pub const INTERRUPTED_AT_ONCE: &str =
    "interrupted before the first replication was finished; nothing was written";
/// A comparison interrupted at once.
pub const COMPARED_NOTHING: &str =
    "interrupted before two ‹evenings› were finished; nothing was written";
/// A choice interrupted.
pub const CHOICE_INTERRUPTED: &str =
    "interrupted before a choice was made; what was played is kept, and the same command resumes";

/// A study interrupted.
#[must_use]
pub fn study_interrupted(evenings: u64) -> String {
    format!(
        "interrupted after {evenings} ‹evenings›; what is finished is kept, and the same command resumes"
    )
}

/// A choice that was not decided, and what to do.
pub const UNDECIDED: [&str; 2] = [
    "not decided within the ‹evenings› allowed for a design",
    "raise `at_most`, the indifference or a tolerance in the study",
];

/// An evening of a diary that was not finished.
#[must_use]
pub fn unfinished(what: &[String]) -> String {
    format!("the ‹evening› was not finished: {}", what.join("; "))
}

/// Before the path of a diary.
#[must_use]
pub fn lines_in(count: usize) -> String {
    format!("{count} lines in ")
}

/// Before the path of a folder.
#[must_use]
pub fn files_in(count: usize) -> String {
    let files = if count == 1 { "file" } else { "files" };
    format!("{count} {files} in ")
}

/// Before the path of a part.
#[must_use]
pub fn part_finished(part: u64, of: u64) -> String {
    format!("part {part} of {of} is finished: ")
}
