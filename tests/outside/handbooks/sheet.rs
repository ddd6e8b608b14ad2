//! The hand-calculation sheet of a scenario, as the program's `check` prints it.

use std::fs;
use std::path::Path;
use std::process::Command;

use serde_json::Value;

/// A sheet, and the codes of what is said of it.
pub struct Sheet(Value, Vec<String>);

/// The sheet of a scenario in `handbooks/` with something changed in it.
pub fn sheet(file: &str, changes: &str) -> Sheet {
    let base = Path::new("tests/outside/handbooks").join(file);
    let base = fs::canonicalize(base).expect("the file");
    let folder = tempfile::tempdir().expect("a folder");
    let changed = folder.path().join("changed.toml");
    let text = format!("based_on = \"{}\"\n{changes}\n", base.display());
    fs::write(&changed, text).expect("the changes");
    let ran = Command::new(env!("CARGO_BIN_EXE_scullery"))
        .arg("check")
        .arg(&changed)
        .arg("--json")
        .output()
        .expect("the program");
    let said = String::from_utf8_lossy(&ran.stderr);
    assert!(ran.status.success(), "{file}: {said}");
    let mut document: Value = serde_json::from_slice(&ran.stdout).expect("one JSON document");
    let findings = document["findings"].as_array().expect("findings");
    let code = |finding: &Value| finding["code"].as_str().expect("a code").to_owned();
    let codes = findings.iter().map(code).collect();
    Sheet(document["sheet"].take(), codes)
}

impl Sheet {
    /// A figure: `/peak/racks_all`, `/machines/0/transit_s`.
    #[track_caller]
    pub fn figure(&self, path: &str) -> f64 {
        let found = self.0.pointer(path).and_then(Value::as_f64);
        found.unwrap_or_else(|| panic!("no {path} on the sheet"))
    }

    /// How many findings have this code.
    pub fn said(&self, code: &str) -> usize {
        self.1.iter().filter(|found| *found == code).count()
    }
}
