//! Parts on any number of machines make the tables of one, and nothing that does not fit is gathered.

use std::fs;
use std::path::Path;

use scullery::report::parts::seal;
use scullery::version;

use crate::program::{folder, program, run_command};
use crate::{SUPPERS, part, sweep, swept, tables};

const OF: u64 = 5;

/// Plays a part of five.
fn play(out: &Path, which: u64, more: &[&str]) {
    let share = format!("{which}/{OF}");
    let mut arguments = vec!["--part", &share, "--quiet"];
    arguments.extend(more);
    swept(SUPPERS, out, &arguments);
}

fn refused(out: &Path, words: &[&str]) {
    let ran = sweep(SUPPERS, out, &["--gather"]);
    assert_eq!(ran.code, 2, "{ran:?}");
    for word in words {
        assert!(ran.err.contains(word), "{word}: {}", ran.err);
    }
    assert!(ran.err.contains("help: "), "{}", ran.err);
    assert!(!out.join("points.csv").exists(), "nothing is written");
}

/// All five parts in a folder.
fn all_parts(out: &Path) {
    for which in 1..=OF {
        play(out, which, &[]);
    }
}

#[test]
fn parts_gathered_are_the_bytes_of_one_machine() {
    let (whole, parts) = (folder(), folder());
    swept(SUPPERS, whole.path(), &["--per-replication"]);
    // In any order, with any number of threads; and from the variables of job arrays.
    for (which, threads) in [(4, "1"), (2, "2"), (5, "3")] {
        play(
            parts.path(),
            which,
            &["--threads", threads, "--per-replication"],
        );
    }
    let mut command = program();
    command.args([
        "sweep",
        SUPPERS,
        "--per-replication",
        "--part",
        "array",
        "--out",
    ]);
    command.arg(parts.path()).envs([
        ("SLURM_ARRAY_TASK_ID", "1"),
        ("SLURM_ARRAY_TASK_MIN", "1"),
        ("SLURM_ARRAY_TASK_MAX", "5"),
        ("SLURM_ARRAY_TASK_COUNT", "5"),
    ]);
    assert_eq!(run_command(&mut command).code, 0);
    let mut command = program();
    command.args([
        "sweep",
        SUPPERS,
        "--per-replication",
        "--part",
        "array/5",
        "--out",
    ]);
    command.arg(parts.path()).env("JOB_COMPLETION_INDEX", "2");
    assert_eq!(run_command(&mut command).code, 0);
    let ran = swept(SUPPERS, parts.path(), &["--gather", "--per-replication"]);
    assert_eq!(tables(whole.path()), tables(parts.path()));
    // Gathering again changes nothing, and the terminal says the same as of one machine.
    assert_eq!(
        swept(SUPPERS, parts.path(), &["--gather", "--per-replication"]).out,
        ran.out
    );
    assert_eq!(
        swept(SUPPERS, whole.path(), &["--per-replication"]).out,
        ran.out
    );
}

#[test]
fn more_parts_than_points_leave_some_with_nothing_to_do() {
    let (whole, parts) = (folder(), folder());
    swept(SUPPERS, whole.path(), &["-n", "1"]);
    for which in 1..=50 {
        let share = format!("{which}/50");
        swept(
            SUPPERS,
            parts.path(),
            &["-n", "1", "--part", &share, "--quiet"],
        );
    }
    swept(SUPPERS, parts.path(), &["-n", "1", "--gather"]);
    assert_eq!(tables(whole.path()), tables(parts.path()));
}

#[test]
fn missing_parts_are_named() {
    let out = folder();
    play(out.path(), 2, &[]);
    refused(out.path(), &["missing: 1, 3-5"]);
    let empty = folder();
    refused(empty.path(), &["there are no parts in"]);
}

#[test]
fn a_truncated_part_is_refused() {
    let out = folder();
    all_parts(out.path());
    let file = part(out.path(), 3, OF);
    let text = fs::read_to_string(&file).unwrap();
    let lines: Vec<&str> = text.split_inclusive('\n').collect();
    for (end, words) in [
        (
            lines[..lines.len() - 1].concat(),
            "is not finished: 9 of 9 points",
        ),
        (lines[..4].concat(), "is not finished: 3 of 9 points"),
        (text[..text.len() - 40].to_string(), "is not finished"),
        (String::new(), "is not finished: 0 of 9 points"),
    ] {
        fs::write(&file, end).unwrap();
        refused(out.path(), &["part-3-of-5", words]);
    }
    // The same part run again mends it.
    play(out.path(), 3, &[]);
    assert_eq!(fs::read_to_string(&file).unwrap(), text);
    swept(SUPPERS, out.path(), &["--gather"]);
}

#[test]
fn an_edited_part_is_refused_with_the_line() {
    let out = folder();
    all_parts(out.path());
    let file = part(out.path(), 3, OF);
    let text = fs::read_to_string(&file).unwrap();
    let lines: Vec<&str> = text.split_inclusive('\n').collect();
    let digit = lines[3].rfind(|c: char| c.is_ascii_digit()).unwrap();
    let mut changed = lines[3].to_string();
    let other = if &changed[digit..=digit] == "1" {
        "2"
    } else {
        "1"
    };
    changed.replace_range(digit..=digit, other);
    let edited = |line: &str| [&lines[..3].concat(), line, &lines[4..].concat()].concat();
    let swapped = [lines[0], lines[2], lines[1], &lines[3..].concat()].concat();
    for (text, line) in [
        (edited(&changed), 4),
        (edited(""), 4),
        (swapped, 2),
        (format!("{text}{}", lines[1]), lines.len() + 1),
    ] {
        fs::write(&file, text).unwrap();
        let words = format!("line {line} of");
        refused(
            out.path(),
            &[&words, "part-3-of-5", "not as it was written"],
        );
        // Nor is it gone on with.
        let ran = sweep(SUPPERS, out.path(), &["--part", "3/5"]);
        assert_eq!(ran.code, 2, "{ran:?}");
        assert!(ran.err.contains(&words), "{}", ran.err);
    }
}

#[test]
fn parts_of_other_studies_are_refused() {
    let (out, other) = (folder(), folder());
    all_parts(out.path());
    let third = part(out.path(), 3, OF);
    let own = fs::read(&third).unwrap();
    // Another seed.
    play(other.path(), 3, &["--seed", "7"]);
    fs::copy(part(other.path(), 3, OF), &third).unwrap();
    refused(out.path(), &["part-3-of-5", "of another study", "digest"]);
    // Another part under this name.
    fs::copy(part(out.path(), 2, OF), &third).unwrap();
    refused(
        out.path(),
        &["part-3-of-5", "is another part under this name"],
    );
    // A part of another cutting among them.
    fs::write(&third, &own).unwrap();
    fs::write(part(out.path(), 1, 7), &own).unwrap();
    refused(out.path(), &["part-1-of-7.txt lies among 5 parts"]);
    fs::remove_file(part(out.path(), 1, 7)).unwrap();
    swept(SUPPERS, out.path(), &["--gather"]);
}

/// A part with another commit in its head, its checksums right.
fn of_another_commit(text: &str, commit: &str) -> String {
    let (mut read, mut written) = (seal::START, seal::START);
    let mut bytes = Vec::new();
    for line in text.split_inclusive('\n') {
        let (line, sum) = seal::read(line.as_bytes(), read).expect("it was whole");
        read = sum;
        let text = match line.kind {
            b'h' => {
                let (part, stamp) = line.text.split_once(' ').unwrap();
                format!("{part} {}", with_commit(stamp, commit))
            }
            _ => line.text,
        };
        written = seal::add(&mut bytes, written, line.kind, &text);
    }
    String::from_utf8(bytes).unwrap()
}

fn with_commit(stamp: &str, commit: &str) -> String {
    let mut stamp: serde_json::Value = serde_json::from_str(stamp).unwrap();
    stamp["commit"] = commit.into();
    stamp.to_string()
}

/// What one build began, another neither goes on with nor gathers, though both are of one version.
#[test]
fn parts_of_another_build_are_refused() {
    let out = folder();
    all_parts(out.path());
    let theirs = format!("of version {} (0123abcde)", version::NUMBER);
    let ours = version::words(version::NUMBER, version::COMMIT);
    let ours = format!("this is {ours}");
    let third = part(out.path(), 3, OF);
    let own = fs::read_to_string(&third).unwrap();
    fs::write(&third, of_another_commit(&own, "0123abcde")).unwrap();
    let words = ["part-3-of-5", &theirs, &ours, "of another version"];
    refused(out.path(), &words);
    let ran = sweep(SUPPERS, out.path(), &["--part", "3/5"]);
    assert_eq!(ran.code, 2, "{ran:?}");
    assert!(
        ran.err.contains(&theirs) && ran.err.contains(&ours),
        "{}",
        ran.err
    );
    assert!(
        ran.err.contains("with the program that began them"),
        "{}",
        ran.err
    );
    fs::write(&third, own).unwrap();
    // All of the folder is of another build.
    let stamp = out.path().join("parts/study.json");
    let own = fs::read_to_string(&stamp).unwrap();
    fs::write(&stamp, with_commit(&own, "0123abcde")).unwrap();
    refused(
        out.path(),
        &[
            &theirs,
            &ours,
            "with the program that began them",
            "--restart",
        ],
    );
    fs::write(&stamp, own).unwrap();
    swept(SUPPERS, out.path(), &["--gather"]);
}

/// The scenario a study reads, and the logs of that, belong to the study.
#[test]
fn a_changed_scenario_or_log_is_another_study() {
    let place = folder();
    let write = |name: &str, text: &str| fs::write(place.path().join(name), text).unwrap();
    let line = fs::read_to_string("tests/plain-line.toml").unwrap();
    let logged = line.replace(
        "per_unit = \"5 s\"\n\n[[machine]]",
        "per_unit = { observations = \"times.csv\" }\n\n[[machine]]",
    );
    assert_ne!(line, logged);
    write("line.toml", &logged);
    write("times.csv", "seconds\n4\n6\n");
    write(
        "study.toml",
        "base = \"line.toml\"\nmeasures = [\"racks\"]\nreplications = 2\n[[factor]]\nname = \"pace\"\npath = \"roster[loader].pace\"\nvalues = [1.0, 1.1]\n",
    );
    let study = place.path().join("study.toml");
    let study = study.to_str().unwrap();
    let out = place.path().join("out");
    swept(study, &out, &["--part", "1/2"]);
    for (name, before, after) in [
        ("times.csv", "seconds\n4\n6\n", "seconds\n4\n7\n"),
        (
            "line.toml",
            logged.as_str(),
            logged.replace("720", "700").as_str(),
        ),
    ] {
        write(name, after);
        for more in [&["--part", "2/2"][..], &["--gather"]] {
            let ran = sweep(study, &out, more);
            assert_eq!(ran.code, 2, "{ran:?}");
            assert!(ran.err.contains("of another study"), "{}", ran.err);
        }
        write(name, before);
    }
    swept(study, &out, &["--part", "2/2"]);
    swept(study, &out, &["--gather"]);
}

#[test]
fn command_lines_that_mean_nothing_are_refused() {
    let out = folder();
    for more in [
        &["--part", "0/4"][..],
        &["--part", "5/4"],
        &["--part", "a"],
        &["--part", "1/2", "--gather"],
        &["--gather", "--restart"],
        &["--part", "array"],
        &["-n", "0"],
    ] {
        let ran = sweep(SUPPERS, out.path(), more);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{more:?}: {ran:?}");
    }
}

/// The job manifest asks for as many pods as its parts are cut in, of a study that is shipped.
#[test]
fn the_job_manifest_is_of_one_piece() {
    let text = fs::read_to_string("scenarios/batch/kubernetes-job.yaml").unwrap();
    let value = |key: &str| {
        let line = text.lines().find(|line| line.trim().starts_with(key));
        line.and_then(|line| line.split(':').nth(1))
            .expect("the key")
            .trim()
            .to_string()
    };
    assert_eq!(value("completionMode:"), "Indexed");
    assert!(
        text.contains(&format!("- array/{}\n", value("completions:"))),
        "{text}"
    );
    let study = text
        .lines()
        .find_map(|line| line.trim().strip_prefix("- /scullery/scenarios/"));
    let study = format!("scenarios/{}", study.expect("the study"));
    let ran = crate::program::run(["sweep", &study, "--check"]);
    assert_eq!(ran.code, 0, "{ran:?}");
}
