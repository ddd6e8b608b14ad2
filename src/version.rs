//! Which program this is: its version, and the commit it was built from where there is one.
//!
//! In: what the build script found out (`build.rs`). Out: constants, the same for every build of the same sources.

/// The version of the package.
pub const NUMBER: &str = env!("CARGO_PKG_VERSION");

/// The version as a person reads it, with commit and day: `0.1.0 (908f870a1 2026-11-27)`.
pub const FULL: &str = env!("SCULLERY_VERSION");

/// The commit, with a digest of what was changed since: `908f870a1`, `908f870a1-dirty-03c41f2`.
pub const COMMIT: Option<&str> = {
    let commit = env!("SCULLERY_COMMIT");
    if commit.is_empty() {
        None
    } else {
        Some(commit)
    }
};

/// A version and a commit in words.
#[must_use]
pub fn words(number: &str, commit: Option<&str>) -> String {
    commit.map_or(number.to_owned(), |commit| format!("{number} ({commit})"))
}
