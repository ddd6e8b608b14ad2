//! A result, handed over: its files on all threads, what was asked for on standard output, and where the files are.

use super::{Failure, place};
use crate::report::out::OutputFolder;
use crate::report::output::{self, Handing, Output};
use crate::study::player::pool;

/// Writes, then prints; unless `quiet`, says where the files are.
pub fn deliver(
    result: &impl Output,
    handing: &Handing,
    folder: &OutputFolder,
    (threads, quiet): (usize, bool),
) -> Result<(), Failure> {
    let files = write(result, handing, folder, threads)?;
    output::print(result, handing)?;
    if !quiet {
        place::say_files(files, folder.path());
    }
    Ok(())
}

/// All files of a result; how many.
pub fn write(
    result: &impl Output,
    handing: &Handing,
    folder: &OutputFolder,
    threads: usize,
) -> Result<usize, Failure> {
    let pool = pool(threads)?;
    Ok(pool.install(|| output::write(result, handing, folder))?)
}
