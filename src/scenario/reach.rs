//! Files that other files name: where they lie, and why they cannot be read.

use std::path::{Path, PathBuf};

use super::mistakes::{Mistake, Sort};
use super::shipped;
use super::sources::{Place, ReadProblem};
use super::suggest;

/// The path of a file named in another.
#[must_use]
pub fn beside(path: &Path, name: &str) -> PathBuf {
    if name.starts_with(shipped::LIBRARY) || shipped::is_shipped(path) {
        return shipped::path(name);
    }
    path.parent().unwrap_or_else(|| Path::new("")).join(name)
}

/// The mistake that a file cannot be read.
pub fn unreadable(
    what: &str,
    path: &Path,
    problem: ReadProblem,
    named_at: Option<&Place>,
) -> Mistake {
    let relative = "the path of a file is relative to the file that names it";
    let relative = named_at.map(|_| relative.to_string());
    let (sort, why, help) = match problem {
        ReadProblem::Mend(why) => (Sort::File, why, relative),
        ReadProblem::System(why) => (Sort::System, why, relative),
        ReadProblem::NoFolder => {
            let why = "the text that names it stands in no folder";
            let help = "say in which folder to look, or write it all in one text";
            (Sort::File, why.to_string(), Some(help.to_string()))
        }
        ReadProblem::NotShipped => {
            let why = "nothing of that name comes with the program";
            let help = suggest::among(named(path), &shipped::names());
            (Sort::File, why.to_string(), Some(help))
        }
        ReadProblem::NoFile(why) => (Sort::File, why.to_string(), Some(no_file(named_at))),
    };
    let shown = path.display();
    let title = format!("cannot read {what} `{shown}`: {why}");
    let mistake = Mistake::new(sort, title).help_if(help);
    match named_at {
        Some(place) => mistake.at(place, "named here"),
        None => mistake,
    }
}

/// The name behind `library:`.
fn named(path: &Path) -> &str {
    let path = path.to_str().unwrap_or_default();
    path.strip_prefix(shipped::LIBRARY).unwrap_or(path)
}

/// The cure for what is no file.
fn no_file(named_at: Option<&Place>) -> String {
    match named_at {
        Some(_) => "name a file that lies on a disk".to_string(),
        None => {
            "pipe it in, and write `-` in place of the file: that is standard input".to_string()
        }
    }
}
