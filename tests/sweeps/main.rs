//! Studies as a person plays them: resumed, cut in parts, gathered, refused.
//!
//! | file | about |
//! |---|---|
//! | `tables` | what the tables say |
//! | `memory` | a hundred thousand design points |
//! | `resumed` | runs that were killed, and disks that filled up |
//! | `parts` | parts gathered, and parts that do not fit |
//!
//! Mutations tried, and what turned red: a checksum that forgets the line before (`an_edited_part`); a part
//! that is not cut off before it is gone on with (`wherever_the_file_was_cut_off`, `a_disk_that_fills_up`); a
//! stamp that does not compare the digest (`parts_of_other_studies`, `a_changed_scenario_or_log`); `<` for
//! `<=` in a target (`the_tables_are_tidy`); a round more than precision needs (`precision_ends_each_point`);
//! levels counted backward (`check_plays_nothing`).

#[path = "../command_line/program.rs"]
#[allow(dead_code)] // each binary uses its own part of it
mod program;
#[cfg(target_os = "linux")]
#[path = "../common/running.rs"]
#[allow(dead_code)]
mod running;

mod memory;
mod parts;
mod resumed;
mod tables;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use program::{Ran, program, run_command};

/// The study of these tests.
pub const SUPPERS: &str = "tests/sweeps/supper.toml";
/// What a sweep leaves in its folder: the tables and their data dictionary.
pub const TABLES: [&str; 3] = ["datapackage.json", "one-at-a-time.csv", "points.csv"];

/// `sweep STUDY --out FOLDER` and more.
pub fn sweep(study: &str, folder: &Path, more: &[&str]) -> Ran {
    let mut command = program();
    command.args(["sweep", study, "--out"]).arg(folder);
    run_command(command.args(more))
}

/// The same, which must succeed.
pub fn swept(study: &str, folder: &Path, more: &[&str]) -> Ran {
    let ran = sweep(study, folder, more);
    assert_eq!(ran.code, 0, "{ran:?}");
    ran
}

/// The tables of a folder and their data dictionary, by their names.
pub fn tables(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut files = program::contents(folder);
    files.retain(|name, _| name.ends_with(".csv") || name == TABLES[0]);
    files
}

/// The file of a part.
pub fn part(folder: &Path, part: u64, of: u64) -> PathBuf {
    folder.join(format!("parts/part-{part}-of-{of}.txt"))
}
