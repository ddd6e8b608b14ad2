//! A scenario file played by the program, as by anybody at a terminal: its JSON document and its series.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command;

use scullery::statistics::interval::Sample;
use serde_json::Value;
use tempfile::TempDir;

/// Level of all intervals here.
pub const LEVEL: f64 = 0.999;
/// Seed of all evenings here.
const SEED: &str = "1";

/// What the program said.
pub struct Played {
    document: Value,
    folder: TempDir,
}

/// Plays a file under `tests/outside` that many times.
pub fn play(file: &str, replications: u64) -> Played {
    play_file(&Path::new("tests/outside").join(file), replications)
}

/// Plays the same file with something changed in it.
pub fn play_changed(file: &str, changes: &str, replications: u64) -> Played {
    let base = fs::canonicalize(Path::new("tests/outside").join(file)).expect("the file");
    let folder = tempfile::tempdir().expect("a folder");
    let changed = folder.path().join("changed.toml");
    let text = format!("based_on = \"{}\"\n{changes}\n", base.display());
    fs::write(&changed, text).expect("the changes");
    play_file(&changed, replications)
}

fn play_file(file: &Path, replications: u64) -> Played {
    let folder = tempfile::tempdir().expect("a folder");
    let ran = Command::new(env!("CARGO_BIN_EXE_scullery"))
        .arg("simulate")
        .arg(file)
        .args([
            "--json",
            "--quiet",
            "--pictures",
            "none",
            "--seed",
            SEED,
            "-n",
        ])
        .arg(replications.to_string())
        .arg("--out")
        .arg(folder.path())
        .output()
        .expect("the program");
    let said = String::from_utf8_lossy(&ran.stderr);
    assert!(ran.status.success(), "{}: {said}", file.display());
    Played {
        document: serde_json::from_slice(&ran.stdout).expect("one JSON document"),
        folder,
    }
}

impl Played {
    /// A figure of the document: `measures/racks`, `by_station/scrape/queue_mean`.
    #[track_caller]
    pub fn figure(&self, path: &str) -> Sample {
        let found = path
            .split('/')
            .fold(&self.document, |value, key| &value[key]);
        let number = |key: &str| found[key].as_f64();
        let mean = number("mean").unwrap_or_else(|| panic!("no value of {path}"));
        #[allow(clippy::cast_possible_truncation)] // replications
        let n = found["n"].as_u64().expect("how many") as usize;
        Sample {
            n,
            mean,
            sd: number("sd"),
        }
    }

    /// A measure of the whole evening, replication by replication.
    #[track_caller]
    pub fn column(&self, measure: &str) -> Vec<f64> {
        let mut reader = csv::Reader::from_path(self.folder.path().join("replications.csv"))
            .expect("the replications are written");
        let heads = reader.headers().expect("heads");
        let at = heads
            .iter()
            .position(|head| head.split(' ').next() == Some(measure))
            .unwrap_or_else(|| panic!("no {measure}"));
        reader
            .records()
            .map(|row| row.expect("a row")[at].parse().expect("a number"))
            .collect()
    }

    /// A series at a time of the clock: mean, and 10th, 50th and 90th percentile.
    pub fn at(&self, series: &str, clock: &str) -> [f64; 4] {
        let mut reader = csv::Reader::from_path(self.folder.path().join("series.csv"))
            .expect("the series are written");
        let row = reader
            .deserialize()
            .map(|row| row.expect("a row"))
            .find(|row: &BTreeMap<String, String>| row["series"] == series && row["clock"] == clock)
            .unwrap_or_else(|| panic!("no {series} at {clock}"));
        ["mean", "p10", "p50", "p90"].map(|column| row[column].parse().expect("a number"))
    }
}

/// Half-width of the interval of a mean; a figure that never varies has none.
pub fn half_width(sample: Sample) -> f64 {
    sample.half_width(LEVEL).expect("more than one replication")
}
