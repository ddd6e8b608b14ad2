//! Tables in a spreadsheet: no text of a file is run, numbers are numbers, and what is read back is the same.

use std::fs;
use std::path::Path;

use crate::program::{SUPPER, folder, run};

const FORMULAS: [&str; 6] = ["=1+1", "+cmd", "-2+3", "@SUM(A1)", " =1", "'=1"];

/// The supper in which every name is a formula.
fn hostile(folder: &Path) -> String {
    let mut text = fs::read_to_string(SUPPER).unwrap();
    let names = ["plate", "cutlery", "pan", "peg", "conveyor", "dishwasher"];
    for (name, formula) in names.iter().zip(FORMULAS) {
        text = text.replace(&format!("\"{name}\""), &format!("\"{formula}{name}\""));
    }
    let path = folder.join("=supper.toml");
    fs::write(&path, text).unwrap();
    path.to_str().unwrap().to_owned()
}

/// A cell that a spreadsheet would take for a formula.
fn is_run(cell: &str) -> bool {
    let text = cell.trim_start();
    let is_number = cell.parse::<f64>().is_ok_and(f64::is_finite);
    text.starts_with(['=', '+', '-', '@']) && !is_number
}

/// All CSV files below a folder: no cell is run; all cells.
fn cells(folder: &Path) -> Vec<String> {
    let mut all = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            all.extend(cells(&path));
        } else if path.extension().is_some_and(|e| e == "csv") {
            let mut reader = csv::ReaderBuilder::new();
            let mut reader = reader.has_headers(false).from_path(&path).unwrap();
            for cell in reader.records().flat_map(|row| {
                let row = row.unwrap();
                row.iter().map(str::to_owned).collect::<Vec<_>>()
            }) {
                assert!(!is_run(&cell), "{}: {cell:?}", path.display());
                all.push(cell);
            }
        }
    }
    all
}

#[test]
fn no_text_of_a_scenario_is_a_formula_in_any_table() {
    let place = folder();
    let file = hostile(place.path());
    let other = place.path().join("@other.toml");
    fs::copy(&file, &other).unwrap();
    let out = place.path().join("out");
    let lines: [&[&str]; 3] = [
        &["simulate", &file, "-n", "3"],
        &["compare", &file, other.to_str().unwrap(), "-n", "3"],
        &["diary", &file],
    ];
    for line in lines {
        let _ = fs::remove_dir_all(&out);
        let ran = run([line, &["--out", out.to_str().unwrap()]].concat());
        assert_eq!(ran.code, 0, "{line:?}: {}", ran.err);
        let cells = cells(&out);
        let is_text = |cell: &String| cell.starts_with("'=") || cell.starts_with("'@");
        assert!(cells.iter().any(is_text), "{line:?}");
        assert!(
            !cells
                .iter()
                .any(|cell| cell.starts_with("'-") && cell[1..].parse::<f64>().is_ok())
        );
    }
}

/// A table of sites as we write names reads as it was meant, and makes the same tables.
#[test]
fn sites_and_levels_read_back_the_same() {
    let place = folder();
    let base = fs::canonicalize(SUPPER).unwrap();
    let study = |sites: &str| {
        fs::write(place.path().join("sites.csv"), sites).unwrap();
        let text = format!(
            "title = \"=study\"\nbase = {base:?}\nmeasures = [\"wait_mean_min\", \"labour_h\"]\nreplications = 2\n\
             [sites]\nfile = \"sites.csv\"\n\
             [[factor]]\nname = \"=crew\"\nbundles = [\n\
             {{ name = \"-5 °C\", set = {{ \"air.temperature\" = \"24 C\" }} }},\n\
             {{ name = \"@two\", set = {{ \"air.temperature\" = \"30 C\" }} }} ]\n"
        );
        let file = place.path().join("study.toml");
        fs::write(&file, text).unwrap();
        let out = place.path().join("out");
        let _ = fs::remove_dir_all(&out);
        let line = [
            "sweep",
            file.to_str().unwrap(),
            "--per-replication",
            "--out",
        ];
        let ran = run(line.into_iter().chain([out.to_str().unwrap()]));
        assert_eq!(ran.code, 0, "{}", ran.err);
        let points = fs::read_to_string(out.join("points.csv")).unwrap();
        (cells(&out), points)
    };
    let head = "site,roster[dishwasher].count\n";
    let (written, first) = study(&format!("{head}=a,1\n+b,2\n''=c,1\n-7,2\n"));
    for text in ["'=a", "'+b", "''=c", "-7", "'-5 °C", "'@two", "'=crew"] {
        assert!(written.iter().any(|cell| cell == text), "{text}");
    }
    let (_, second) = study(&format!("{head}'=a,1\n'+b,2\n''=c,1\n-7,2\n"));
    assert_eq!(first, second);
}
