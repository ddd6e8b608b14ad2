//! `-` in place of a file is standard input: paths in it start at the working folder, and the results go to
//! `output/stdin`.

use std::fs;
use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use tempfile::TempDir;

/// A folder to work in, with a scenario and what it needs.
fn kitchen() -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    fs::create_dir(folder.path().join("rooms")).expect("a folder");
    fs::copy(
        "tests/plain-line.toml",
        folder.path().join("rooms/line.toml"),
    )
    .expect("a copy");
    fs::write(
        folder.path().join("log.csv"),
        "time,ware,pieces\n12:10,plate,18\n",
    )
    .expect("a log");
    folder
}

/// Runs the program in a folder, with that on standard input.
fn run(folder: &Path, arguments: &[&str], input: &str) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_scullery"))
        .args(arguments)
        .current_dir(folder)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program");
    let mut stdin = child.stdin.take().expect("its standard input");
    // Whoever refuses its arguments reads nothing.
    let _ = stdin.write_all(input.as_bytes());
    drop(stdin);
    child.wait_with_output().expect("its end")
}

const VARIANT: &str =
    "based_on = \"rooms/line.toml\"\n[soiled_log]\nfile = \"log.csv\"\nsoil = \"sauce\"\n";
const STUDY: &str = "base = \"rooms/line.toml\"\nreplications = 2\nmeasures = [\"wait_mean_min\"]\n\n[[factor]]\n\
                     name = \"pace\"\npath = \"roster[loader].pace\"\nvalues = [1.0, 1.1]\n";

#[test]
fn every_command_that_reads_a_file_reads_standard_input() {
    for (arguments, input) in [
        (&["check", "-"][..], VARIANT),
        (&["diary", "-"], VARIANT),
        (&["simulate", "-", "-n", "2"], VARIANT),
        (&["compare", "-", "rooms/line.toml", "-n", "2"], VARIANT),
        (&["compare", "rooms/line.toml", "-", "-n", "2"], VARIANT),
        (&["sweep", "-"], STUDY),
    ] {
        let folder = kitchen();
        let output = run(folder.path(), arguments, input);
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{arguments:?}: {said}");
        assert!(!output.stdout.is_empty(), "{arguments:?}");
    }
}

#[test]
fn results_of_standard_input_have_a_folder_of_its_name() {
    for (arguments, input, file) in [
        (
            &["simulate", "-", "-n", "2"][..],
            VARIANT,
            "output/stdin/measures.csv",
        ),
        (&["sweep", "-"], STUDY, "output/stdin/points.csv"),
        (
            &["compare", "-", "rooms/line.toml", "-n", "2"],
            VARIANT,
            "output/stdin-vs-line/comparison.csv",
        ),
    ] {
        let folder = kitchen();
        run(folder.path(), arguments, input);
        assert!(folder.path().join(file).is_file(), "{file}");
    }
}

#[test]
fn the_same_text_gives_the_same_results() {
    let folder = kitchen();
    fs::write(folder.path().join("stdin.toml"), VARIANT).expect("a file");
    let of = |file: &str| {
        run(
            folder.path(),
            &["simulate", file, "-n", "3", "--json", "-q"],
            VARIANT,
        )
        .stdout
    };
    assert_eq!(of("-"), of("stdin.toml"));
}

#[test]
fn what_is_wrong_with_it_is_reported_like_that_of_a_file() {
    for (arguments, input, said) in [
        (&["check", "-"][..], "[servise]\n", "<stdin>:1:2"),
        (&["check", "-"], "", "`<stdin>`: it is empty"),
        (&["sweep", "-"], "base = 3\n", "<stdin>:1:8"),
        (&["choose", "-"], STUDY, "<stdin>"),
        (
            &["compare", "-", "-"],
            VARIANT,
            "standard input can be read once",
        ),
    ] {
        let folder = kitchen();
        let output = run(folder.path(), arguments, input);
        let error = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {error}");
        assert!(error.contains(said), "{arguments:?}: {error}");
        assert!(!folder.path().join("output").exists(), "{arguments:?}");
    }
}
