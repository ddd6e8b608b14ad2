//! Python in an environment of its own, with the packages of `python/requirements.txt` and no others.
//!
//! `tests/run` makes it under the target folder, and makes it again when the requirements change.

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use serde_json::Value;

use crate::outside;

const SCRIPTS: &str = "tests/outside/python";

/// Runs a script with arguments and what it reads; what it printed, one JSON document.
///
/// A script that fails, or prints anything else, fails the test.
pub fn run(script: &str, arguments: &[&str], input: &str) -> Value {
    let ran = interpreter().and_then(|python| run_in(&python, script, arguments, input));
    ran.unwrap_or_else(|why| panic!("{why}"))
}

/// The interpreter of the environment, if it was made of the requirements as they are now.
fn interpreter() -> Result<PathBuf, String> {
    let wanted =
        fs::read(Path::new(SCRIPTS).join("requirements.txt")).map_err(|e| e.to_string())?;
    let made_of = outside::fetched("python/made-of.txt").and_then(|path| fs::read(path).ok());
    outside::fetched("bin/python")
        .filter(|_| made_of == Some(wanted))
        .ok_or_else(|| outside::missing("Python with the packages that these tests need"))
}

fn run_in(python: &Path, script: &str, arguments: &[&str], input: &str) -> Result<Value, String> {
    let mut child = Command::new(python)
        .arg(Path::new(SCRIPTS).join(script))
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .map_err(|error| format!("{}: {error}", python.display()))?;
    let mut stdin = child.stdin.take().expect("it was piped");
    let text = input.to_owned();
    // Fed from beside, so that neither waits for the other with full hands.
    let feeder = std::thread::spawn(move || stdin.write_all(text.as_bytes()));
    let ran = child.wait_with_output().map_err(|e| e.to_string())?;
    if !ran.status.success() {
        return Err(format!("{script} failed: {}", ran.status));
    }
    feeder
        .join()
        .expect("it only writes")
        .map_err(|error| format!("{script} did not read: {error}"))?;
    serde_json::from_slice(&ran.stdout).map_err(|error| format!("{script}: {error}"))
}

#[test]
fn nothing_passes_where_python_or_its_answer_is_missing() {
    let nowhere = Path::new("tests/outside/no-python-here");
    assert!(run_in(nowhere, "statistics_library.py", &[], "").is_err());
    // A program that prints nothing, and one that fails.
    for program in ["/bin/true", "/bin/false"] {
        assert!(run_in(Path::new(program), "statistics_library.py", &[], "").is_err());
    }
}
