//! Texts of help that are longer than a line, as `--help` and the manual pages print them.
//!
//! What an option does stands in its own declaration (`cli/`), where the command line is read from it. All pages as they
//! read are in `tests/command_line/snapshots/`.

/// Heading of the exit codes.
pub const EXIT_CODES: &str = "Exit codes:";

/// What the exit codes mean, in their order: 0, 1, 2, 3, 4, 130.
pub const CODES: [&str; 6] = [
    "done",
    "failed (disk, permission)",
    "a mistake in the command line or in a file",
    "done, but no design meets the targets",
    "not decided within the evenings allowed",
    "interrupted; what was finished is kept",
];

/// Heading of the measures.
pub const MEASURES: &str = "Measures:";
/// The unit of a share.
pub const SHARE: &str = "share";
/// Under the measures.
pub const OF_MEASURES: &str = "\
A measure of a part that the scenario leaves out has no value: `-` in the table, null in JSON, an empty \
cell in CSV. Planning figures are no proof of sanitation: the machine's data plate, the local code and \
licensed practice come first.";

/// What the columns of a comparison mean.
pub const COMPARED: &str = "\
A difference is OTHER minus BASE, over the evenings on which both have a value. The headline \
states what holds for all its measures and all alternatives together, with 95 % confidence. Its \
p-values and verdicts are by Holm's procedure, its intervals by Bonferroni's. `could be luck` means \
that the evenings played do not settle the difference. `too small to matter` is a difference beyond \
chance whose interval lies wholly within what is too small. `none that matters` is one that could be luck \
and lies there too. --too-small changes what is too small. All other intervals are of one difference \
alone. `saved` is the share of the variance of the difference that pairing removes, compared with \
unrelated evenings.";

/// Heading of the list of what is too small to matter.
pub const TOO_SMALL: &str = "Too small to matter, unless --too-small says otherwise, up to:";

/// A threshold as a share of the base.
#[must_use]
pub fn of_base(percent: f64) -> String {
    format!("{percent} % of the base")
}

/// A threshold of a measure that is a share.
#[must_use]
pub fn points(points: f64) -> String {
    format!("{points} points")
}

/// How parts of a study are played.
pub const PARTS: &str = "\
Parts: all parts of a study may write into one folder, each to its own file. `--part 3/64` plays the \
third of 64 equal shares. In a job array that is submitted whole and counts from 1, `--part array` reads \
both numbers from SLURM_ARRAY_TASK_ID and SLURM_ARRAY_TASK_COUNT. It also needs SLURM_ARRAY_TASK_MIN (1) and \
SLURM_ARRAY_TASK_MAX to see that the array is whole. `--part array/64` reads only the \
number of the task, from SLURM_ARRAY_TASK_ID (from 1) or JOB_COMPLETION_INDEX (from 0). Then `scullery \
sweep STUDY --gather`, with the same --out, -n, --seed and --per-replication, writes the tables.";

/// What a choice does, and what it guarantees.
pub const CHOICE: &str = "\
Procedure: every design plays a first stage of evenings, all with the same guests, soil and luck. The \
best so far plays on until rare events have been seen. Then every other design is compared with it, and \
those that come close play further. Means are compared by empirical likelihood, which allows for costs \
of any shape, however skewed. Shares of evenings are compared by Wald's test.

Guarantee: with the stated confidence, no design that meets every target with its tolerance to spare \
is better by the indifference amount or more. The chance of choosing a design \
that misses a target by its tolerance or more is at most the remainder. A design with an evening that never finishes is out. What \
happens in fewer evenings than `rarest` (1 %) may not have been seen. Nor may rare evenings that would \
improve a design far from the one chosen.

A choice that was interrupted resumes with the same command.

Exit codes:
    0  chosen
    1  failed (disk, permission)
    2  a mistake in the command line or in a file
    3  done, but no design meets all targets; the closest is named
    4  not decided within the evenings allowed
  130  interrupted; what was finished is kept";
