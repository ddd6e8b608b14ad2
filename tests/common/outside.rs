//! What `tests/run` fetches for the tests that need more than Rust. They fetch nothing themselves.

use std::path::{Path, PathBuf};

/// Where `tests/run` puts it, below the target folder.
fn folder() -> PathBuf {
    let below = Path::new(env!("CARGO_TARGET_TMPDIR"));
    below.parent().unwrap_or(below).join("outside")
}

/// A file of it; nothing where it was not fetched.
pub fn fetched(name: &str) -> Option<PathBuf> {
    Some(folder().join(name)).filter(|path| path.exists())
}

/// What a test says where something is missing.
pub fn missing(what: &str) -> String {
    format!("{what} is missing: `tests/run` fetches it, and runs all tests")
}
