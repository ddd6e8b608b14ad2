//! `scullery new`: a scenario of one's own from a handful of questions.

use std::fs::{self, File};
use std::io::{Read, Write};
use std::path::Path;
use std::process::{Command, Stdio};

use scullery::scenario::{load, shipped, start};

use crate::program::{contents, folder, program, run, run_command};

const DEFAULTS: &str = "--defaults";

/// With the answers of the shipped scenario, a start of each kind is that scenario, but for ware owned in tens.
#[test]
fn a_start_is_the_shipped_scenario_until_answers_change_it() {
    for kind in start::KINDS {
        let place = folder();
        let made = run_command(
            program()
                .args(["new", "ours", "--like", kind.name, DEFAULTS])
                .current_dir(place.path()),
        );
        assert_eq!((made.code, made.err.as_str()), (0, ""), "{}", kind.name);
        let path = place.path().join("ours.toml");
        let text = fs::read_to_string(&path).unwrap();
        assert!((40..=110).contains(&text.lines().count()), "{text}");
        assert!(
            text.lines().all(|line| line.chars().count() <= 110),
            "{text}"
        );
        let ours = load(&path).unwrap_or_else(|mistakes| panic!("{mistakes}"));
        let base = load(&shipped::path(kind.base)).unwrap_or_else(|mistakes| panic!("{mistakes}"));
        let mut scenario = ours.scenario;
        for (ours, theirs) in scenario.ware.iter_mut().zip(&base.scenario.ware) {
            let (Some(owned), Some(all)) = (ours.owned, theirs.owned) else {
                assert_eq!(ours.owned, theirs.owned);
                continue;
            };
            assert!((all..all + 10).contains(&owned), "{owned} for {all}");
            ours.owned = theirs.owned;
        }
        scenario.title.clone_from(&base.scenario.title);
        scenario.note.clone_from(&base.scenario.note);
        assert_eq!(scenario, base.scenario, "{}", kind.name);
    }
}

/// What `check` warns of stands in the comment above the file.
#[test]
fn comments_say_what_the_check_warns_of() {
    for kind in start::KINDS {
        let place = folder();
        let within =
            |arguments: &[&str]| run_command(program().args(arguments).current_dir(place.path()));
        within(&["new", "ours", "--like", kind.name, DEFAULTS]);
        let text = fs::read_to_string(place.path().join("ours.toml")).unwrap();
        let comments: Vec<&str> = text
            .lines()
            .filter_map(|line| line.strip_prefix('#'))
            .collect();
        let comments = comments.join(" ");
        let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        let checked = within(&["check", "ours.toml", "--json"]).json();
        let findings = checked["findings"].as_array().expect("findings");
        for finding in findings.iter().filter(|one| one["severity"] != "note") {
            let evidence = finding["evidence"].as_str().unwrap();
            let first = evidence.split(". ").next().unwrap();
            // Without the line of the file that the check adds.
            let first = first.split(" (ours.toml").next().unwrap();
            let start: String = first.chars().take(30).collect();
            assert!(
                words(&comments).contains(words(&start).as_str()),
                "{start}\n{comments}"
            );
        }
    }
}

/// Plays what was typed on a terminal; everything that it showed, and the exit code. Nothing where the machine has no
/// pseudo-terminals: no /dev/pts, as in a folder that is used as a root.
#[cfg(unix)]
fn on_a_terminal(at: &Path, arguments: &[&str], typed: &str) -> Option<(String, i32)> {
    let pty = nix::pty::openpty(None, None).ok()?;
    let (mut keys, screen) = (File::from(pty.master), File::from(pty.slave));
    let mut command = Command::new(env!("CARGO_BIN_EXE_scullery"));
    command
        .args(arguments)
        .current_dir(at)
        .stdin(Stdio::from(screen))
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    let mut running = command.spawn().unwrap();
    drop(command);
    keys.write_all(typed.as_bytes()).unwrap();
    let mut shown = String::new();
    running
        .stdout
        .take()
        .unwrap()
        .read_to_string(&mut shown)
        .unwrap();
    running
        .stderr
        .take()
        .unwrap()
        .read_to_string(&mut shown)
        .unwrap();
    Some((shown, running.wait().unwrap().code().unwrap()))
}

/// A café from nine to five with 240 covers and two people: questions are answered, wrong answers asked again. What was
/// not asked goes with the answers: half past twelve is as far into the day, and twice the covers own twice the ware.
#[cfg(unix)]
#[test]
fn a_first_run_of_ones_own() {
    let place = folder();
    let typed = "tavern\ncafe\nThe Copper Ladle\nnine\n09:00\n17:00\nmany\n240\n99\n2\n";
    let Some((shown, code)) = on_a_terminal(place.path(), &["new", "ladle"], typed) else {
        return eprintln!("not tested: there is no pseudo-terminal here");
    };
    assert_eq!(code, 0, "{shown}");
    for said in [
        "no kind of dish room called tavern",
        "That is no time of day",
        "That is no whole number from 1 to 20000.",
        "That is no whole number from 0 to 20.",
        "ladle.toml is written. Next: scullery check ladle.toml",
    ] {
        assert!(shown.contains(said), "{said}: {shown}");
    }
    let path = place.path().join("ladle.toml");
    let ours = load(&path)
        .unwrap_or_else(|mistakes| panic!("{mistakes}"))
        .scenario;
    assert_eq!(ours.title, "The Copper Ladle");
    assert_eq!(
        (ours.service.opens_s, ours.service.closes_s),
        (9.0 * 3_600.0, 17.0 * 3_600.0)
    );
    let covers: Vec<f64> = ours
        .guests
        .unwrap()
        .seating
        .iter()
        .map(|row| row.covers)
        .collect();
    assert_eq!(covers, [44.0, 16.0, 48.0, 16.0, 80.0, 36.0]);
    assert_eq!(ours.ware[0].owned, Some(140));
    let pell = &ours.roster[0];
    assert_eq!(
        (pell.count, pell.from_s, pell.to_s),
        (2, 9.0 * 3_600.0, 17.5 * 3_600.0)
    );
    assert_eq!(pell.breaks[0].from_s, 10.0 * 3_600.0 + 50.0 * 60.0);
    for arguments in [
        &["check", "ladle.toml"][..],
        &["simulate", "ladle.toml", "-n", "2", "--no-advice"],
    ] {
        let ran = run_command(program().args(arguments).current_dir(place.path()));
        assert_eq!(ran.code, 0, "{ran:?}");
        assert!(ran.out.contains("The Copper Ladle"), "{}", ran.out);
    }
}

/// The answers end in the middle: nothing is there, not even half a file.
#[cfg(unix)]
#[test]
fn answers_that_end_write_nothing() {
    let place = folder();
    let Some((shown, code)) = on_a_terminal(
        place.path(),
        &["new", "ours", "--like", "cafe"],
        "Ours\n09:00\n\u{4}",
    ) else {
        return eprintln!("not tested: there is no pseudo-terminal here");
    };
    assert_eq!(code, 2, "{shown}");
    assert!(shown.contains("nothing was written"), "{shown}");
    assert!(contents(place.path()).is_empty());
}

#[test]
fn what_cannot_be_started_is_refused() {
    let place = folder();
    let refused = |arguments: &[&str]| {
        let ran = run_command(program().args(arguments).current_dir(place.path()));
        assert_ne!(ran.code, 0, "{arguments:?}: {ran:?}");
        ran
    };
    let none = refused(&["new", "ours"]);
    assert!(
        none.err.contains("no terminal to ask on") && none.err.contains("--like"),
        "{none:?}"
    );
    let wrong = refused(&["new", "ours", "--like", "caffe"]);
    assert!(wrong.err.contains("did you mean \"cafe\"?"), "{wrong:?}");
    assert_eq!(
        refused(&["new", "no/such/folder/ours", "--like", "cafe"]).code,
        1
    );
    assert_eq!(refused(&["new", "--list", "ours"]).code, 2);
    assert!(contents(place.path()).is_empty());
    // What is there stays as it is.
    fs::write(place.path().join("ours.toml"), "mine").unwrap();
    let there = refused(&["new", "ours.toml", "--like", "cafe"]);
    assert!(there.err.contains("it was not touched"), "{there:?}");
    assert_eq!(
        fs::read_to_string(place.path().join("ours.toml")).unwrap(),
        "mine"
    );
    let listed = run(["new", "--list"]);
    assert!(
        start::KINDS
            .iter()
            .all(|kind| listed.out.contains(kind.name)),
        "{}",
        listed.out
    );
}
