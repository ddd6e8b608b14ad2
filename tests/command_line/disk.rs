//! What cannot be written is exit code 1 and leaves earlier results as they were; a reader who leaves
//! early is no mistake.

use std::fs::{self, OpenOptions};
use std::io::Read;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::program::{
    DRAINED, HELPED, LINE, PATH, SUPPER, contents, folder, run, simulate, simulated,
};

#[test]
fn a_folder_that_cannot_be_written_is_reported_before_the_long_work() {
    let place = folder();
    let taken = place.path().join("taken");
    fs::write(&taken, "mine").unwrap();
    for path in [taken.clone(), taken.join("below"), "/proc/results".into()] {
        // Long enough that it would be ended for hanging if it played first.
        let ran = simulate(SUPPER, &path, &["-n", "100000"]);
        assert_eq!(ran.code, 1, "{ran:?}");
        assert_eq!(ran.out, "");
        assert!(ran.err.contains(&path.display().to_string()), "{}", ran.err);
        assert!(ran.err.contains("help: "), "{}", ran.err);
    }
    assert_eq!(fs::read(&taken).unwrap(), b"mine");
    let path = taken.to_str().unwrap();
    assert_eq!(run(["diary", LINE, "--out", path]).code, 1);
}

#[test]
fn a_folder_in_the_way_of_one_file_leaves_all_the_others_as_they_were() {
    let out = folder();
    simulated(SUPPER, out.path(), &["-n", "3", "--seed", "1"]);
    let in_the_way = out.path().join("series.csv");
    fs::remove_file(&in_the_way).unwrap();
    fs::create_dir(&in_the_way).unwrap();
    let before = contents(out.path());
    let ran = simulate(SUPPER, out.path(), &["-n", "3", "--seed", "2"]);
    assert_eq!((ran.code, ran.out.as_str()), (1, ""), "{}", ran.err);
    assert!(ran.err.contains("series.csv"), "{}", ran.err);
    assert_eq!(contents(out.path()), before);
}

/// No file may grow past a few kilobytes, as on a disk that fills up while results are written.
#[cfg(target_os = "linux")]
#[test]
fn a_disk_that_fills_up_leaves_earlier_results_as_they_were() {
    let out = folder();
    simulated(SUPPER, out.path(), &["-n", "3", "--seed", "1"]);
    let before = contents(out.path());
    let small = "trap '' XFSZ; ulimit -f 8; exec \"$0\" \"$@\"";
    let output = Command::new("sh")
        .args([
            "-c", small, PATH, "simulate", SUPPER, "-n", "3", "--seed", "2",
        ])
        .arg("--out")
        .arg(out.path())
        .output()
        .unwrap();
    let message = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(1), "{message}");
    assert!(message.starts_with("error: cannot write "), "{message}");
    assert!(output.stdout.is_empty());
    assert_eq!(contents(out.path()), before);
}

#[cfg(target_os = "linux")]
#[test]
fn a_comparison_on_a_full_disk_leaves_earlier_results_as_they_were() {
    let out = folder();
    let arguments = |seed| ["compare", SUPPER, HELPED, "-n", "3", "--seed", seed];
    let mut first = Command::new(PATH);
    let first = first.args(arguments("1")).arg("--out").arg(out.path());
    assert!(first.output().unwrap().status.success());
    let before = contents(out.path());
    let small = "trap '' XFSZ; ulimit -f 8; exec \"$0\" \"$@\"";
    let output = Command::new("sh")
        .args(["-c", small, PATH])
        .args(arguments("2"))
        .arg("--out")
        .arg(out.path())
        .output()
        .unwrap();
    let message = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(1), "{message}");
    assert!(message.starts_with("error: cannot write "), "{message}");
    assert!(output.stdout.is_empty() && contents(out.path()) == before);
}

/// With so few files open at once a run must close each before the next.
#[cfg(target_os = "linux")]
#[test]
fn sixteen_descriptors_suffice() {
    let study = "tests/sweeps/supper.toml";
    let lines: [&[&str]; 4] = [
        &["simulate", SUPPER, "-n", "3"],
        &["compare", SUPPER, HELPED, DRAINED, "-n", "3"],
        &["sweep", study, "-n", "2", "--per-replication"],
        &["sweep", study, "-n", "2", "--per-replication", "--restart"],
    ];
    let out = folder();
    for line in lines {
        let output = Command::new("sh")
            .args(["-c", "ulimit -n 16; exec \"$0\" \"$@\"", PATH])
            .args(line)
            .args(["--threads", "16", "--out"])
            .arg(out.path())
            .output()
            .unwrap();
        let message = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(0), "{line:?}: {message}");
    }
    assert!(contents(&out.path().join("charts")).len() >= 16);
}

/// Throws away more parts than may be open at once.
#[cfg(target_os = "linux")]
#[test]
fn sixteen_descriptors_suffice_for_many_parts() {
    let out = folder();
    let parts = out.path().join("parts");
    fs::create_dir(&parts).unwrap();
    for part in 1..=40 {
        fs::write(parts.join(format!("part-{part}-of-40.txt")), "old").unwrap();
    }
    let output = Command::new("sh")
        .args(["-c", "ulimit -n 16; exec \"$0\" \"$@\"", PATH])
        .args([
            "sweep",
            "tests/sweeps/supper.toml",
            "-n",
            "2",
            "--restart",
            "--out",
        ])
        .arg(out.path())
        .output()
        .unwrap();
    let message = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(0), "{message}");
    assert_eq!(contents(&parts).len(), 2);
}

/// Every command that prints.
fn printing(out: &Path) -> Vec<Vec<String>> {
    let out = out.to_str().unwrap();
    let lines: [&[&str]; 8] = [
        &["simulate", SUPPER, "-n", "2", "--out", out],
        &["simulate", SUPPER, "-n", "2", "--json", "--out", out],
        &["compare", SUPPER, HELPED, "-n", "2", "--out", out],
        &["compare", SUPPER, HELPED, "-n", "2", "--json", "--out", out],
        &["check", SUPPER],
        &["diary", SUPPER],
        &["schema"],
        &["--help"],
    ];
    let owned = |line: &[&str]| line.iter().map(|&word| word.to_owned()).collect();
    lines.into_iter().map(owned).collect()
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_under_standard_output_is_reported() {
    let out = folder();
    for line in printing(out.path()) {
        let full = OpenOptions::new().write(true).open("/dev/full").unwrap();
        let output = Command::new(PATH)
            .args(&line)
            .stdout(full)
            .output()
            .unwrap();
        let message = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(1), "{line:?}: {message}");
        assert!(
            message.contains("cannot write standard output"),
            "{line:?}: {message}"
        );
    }
}

#[test]
fn a_reader_who_has_left_is_success() {
    let out = folder();
    for line in printing(out.path()) {
        for read_first in [0, 20] {
            let mut child = Command::new(PATH)
                .args(&line)
                .stdin(Stdio::null())
                .stdout(Stdio::piped())
                .stderr(Stdio::piped())
                .spawn()
                .unwrap();
            let mut reader = child.stdout.take().unwrap();
            let mut start = vec![0; read_first];
            reader.read_exact(&mut start).unwrap();
            drop(reader);
            let output = child.wait_with_output().unwrap();
            let message = String::from_utf8(output.stderr).unwrap();
            assert_eq!(output.status.code(), Some(0), "{line:?}: {message}");
            assert!(
                !message.contains("error") && !message.contains("panic"),
                "{message}"
            );
        }
    }
}
