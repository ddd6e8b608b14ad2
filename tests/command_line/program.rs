//! Runs the program and keeps what it said.

use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::fs;
use std::path::Path;
use std::time::Duration;

use serde_json::Value;

/// A small evening past midnight with most stages, quick to play.
pub const SUPPER: &str = "tests/late-supper.toml";
/// The same with one more pair of hands, and with racks that drain a little longer.
pub const HELPED: &str = "tests/late-supper-helped.toml";
pub const DRAINED: &str = "tests/late-supper-drained.toml";
/// One ware through one hood; only what comes out dirty varies.
pub const LINE: &str = "tests/plain-line.toml";
/// The shipped evening.
pub const RUSH: &str = "scenarios/friday-rush.toml";
/// What a run leaves in its folder.
pub const FILES: [&str; 16] = [
    "clean-stock.png",
    "clean-stock.svg",
    "cover.png",
    "cover.svg",
    "crew.png",
    "crew.svg",
    "datapackage.json",
    "dried-on.png",
    "dried-on.svg",
    "machine.png",
    "machine.svg",
    "measures.csv",
    "queues.png",
    "queues.svg",
    "replications.csv",
    "series.csv",
];
/// And what it leaves besides where there are prices, as in the shipped evening.
pub const OF_COST: [&str; 2] = ["cost.png", "cost.svg"];
/// And of a scenario that says what takes water.
pub const OF_WATER: [&str; 2] = ["water.png", "water.svg"];
/// And of one with faults.
pub const OF_FAULTS: [&str; 2] = ["faults.png", "faults.svg"];
/// The path of the program.
pub const PATH: &str = env!("CARGO_BIN_EXE_scullery");

/// How a run ended and what it said.
#[derive(Debug)]
pub struct Ran {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Ran {
    /// Standard output as the one JSON document it must be.
    pub fn json(&self) -> Value {
        serde_json::from_str(&self.out).unwrap_or_else(|e| panic!("{e}: {self:?}"))
    }
}

/// The program, to be run in the top folder, ended if it hangs.
pub fn program() -> assert_cmd::Command {
    let mut command = assert_cmd::Command::new(PATH);
    command
        .env_remove("COLUMNS")
        .timeout(Duration::from_secs(300));
    command
}

/// Runs it.
pub fn run<S: AsRef<OsStr>>(arguments: impl IntoIterator<Item = S>) -> Ran {
    run_command(program().args(arguments))
}

/// Runs a command that was made ready.
pub fn run_command(command: &mut assert_cmd::Command) -> Ran {
    let output = command.output().expect("the program can be started");
    Ran {
        code: output.status.code().expect("the program ends by itself"),
        out: String::from_utf8(output.stdout).expect("UTF-8"),
        err: String::from_utf8(output.stderr).expect("UTF-8"),
    }
}

/// `simulate FILE --out FOLDER` and more.
pub fn simulate(file: &str, folder: &Path, more: &[&str]) -> Ran {
    let mut command = program();
    command.args(["simulate", file, "--out"]).arg(folder);
    run_command(command.args(more))
}

/// The same, which must succeed.
pub fn simulated(file: &str, folder: &Path, more: &[&str]) -> Ran {
    let ran = simulate(file, folder, more);
    assert_eq!(ran.code, 0, "{ran:?}");
    ran
}

/// A folder that goes when it is let go.
pub fn folder() -> tempfile::TempDir {
    tempfile::tempdir().expect("a folder for temporary files")
}

/// Names and contents of the files of a folder.
pub fn contents(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = fs::read_dir(folder).expect("the folder is there");
    let files = entries
        .map(|entry| entry.expect("an entry").path())
        .filter(|p| p.is_file());
    files
        .map(|path| {
            let name = path.file_name().expect("a name").to_string_lossy();
            (name.into_owned(), fs::read(&path).expect("it can be read"))
        })
        .collect()
}

/// A CSV file: its heads, and its rows by head.
pub fn csv(path: &Path) -> (Vec<String>, Vec<BTreeMap<String, String>>) {
    csv_of(&fs::read_to_string(path).expect("the file is there"))
}

/// CSV text: its heads, and its rows by head. Every row has as many cells as there are heads.
pub fn csv_of(text: &str) -> (Vec<String>, Vec<BTreeMap<String, String>>) {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let heads: Vec<String> = reader
        .headers()
        .expect("heads")
        .iter()
        .map(str::to_owned)
        .collect();
    let rows = reader.records().map(|record| {
        let record = record.expect("a row as long as the heads");
        let cells = record.iter().map(str::to_owned);
        heads.iter().cloned().zip(cells).collect()
    });
    let rows = rows.collect();
    (heads, rows)
}
