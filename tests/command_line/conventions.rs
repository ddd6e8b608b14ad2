//! What people expect of any program: manual pages, completions, `--color`, a last line that says where the files
//! are, and a document with `--quiet`.

use std::fs;
use std::path::Path;

use scullery::version;

use crate::program::{HELPED, LINE, Ran, SUPPER, contents, folder, program, run, run_command};

const COMMANDS: [&str; 11] = [
    "new",
    "simulate",
    "check",
    "compare",
    "diary",
    "explain",
    "schema",
    "sweep",
    "choose",
    "completions",
    "man",
];
const BAD: &str = "tests/bad/unknown-key.toml";
const ESCAPE: char = '\u{1b}';

/// A study that is quick to sweep and to choose from, in a folder.
fn study(place: &Path) -> String {
    let line = fs::canonicalize(LINE).unwrap();
    let text = format!(
        "base = {line:?}\nmeasures = [\"racks\"]\nreplications = 3\n\
         [[factor]]\nname = \"pace\"\npath = \"roster[loader].pace\"\nvalues = [1.0, 1.1]\n\
         [[target]]\nmeasure = \"pieces\"\nat_least = 1\ntolerance = 1\n\
         [choose]\ncheapest = \"labour_h\"\nindifference = 1\n"
    );
    let path = place.join("pace.toml");
    fs::write(&path, text).unwrap();
    path.to_str().unwrap().to_owned()
}

/// Every command that writes files, ready for its `--out`, with what its last line begins with.
fn writers(study: &str) -> Vec<(Vec<&str>, &'static str, &'static str)> {
    vec![
        (vec!["simulate", LINE, "-n", "2"], "14 files in ", ""),
        (
            vec!["compare", SUPPER, HELPED, "-n", "2"],
            "8 files in ",
            "",
        ),
        (vec!["sweep", study], "19 files in ", ""),
        (
            vec!["sweep", study, "--part", "1/2"],
            "part 1 of 2 is finished: ",
            "parts/part-1-of-2.txt",
        ),
        (vec!["choose", study], "2 files in ", ""),
        (vec!["diary", LINE], "", "diary.csv"),
        (vec!["man"], "12 files in ", ""),
    ]
}

#[test]
fn the_last_line_ends_with_where_the_files_are() {
    let place = folder();
    let study = study(place.path());
    for (at, (arguments, begins, within)) in writers(&study).into_iter().enumerate() {
        let out = place.path().join(format!("results of {at}"));
        let ran = run_command(program().args(&arguments).arg("--out").arg(&out));
        assert_eq!(ran.code, 0, "{arguments:?}: {ran:?}");
        let last = ran.err.lines().last().unwrap_or_default();
        let path = out.join(within);
        assert!(
            last.ends_with(path.to_str().unwrap()),
            "{arguments:?}: {last}"
        );
        assert!(path.exists());
        if let Some(count) = begins.strip_suffix(" files in ") {
            let charts = out.join("charts");
            let charts = charts.is_dir().then(|| contents(&charts).len());
            let files = contents(&out).len() + charts.unwrap_or(0);
            assert_eq!(files.to_string(), count, "{arguments:?}");
        }
        assert!(last.starts_with(begins), "{arguments:?}: {last}");
        assert!(
            !ran.err.contains(ESCAPE),
            "no link but on a terminal: {last}"
        );
    }
}

/// A terminal that has links gets one, with the whole path in it, however it was typed.
#[test]
fn the_path_is_a_link_where_the_terminal_has_links() {
    let place = folder();
    fs::copy(LINE, place.path().join("line.toml")).unwrap();
    let played = |color: &str, links: &str| {
        let mut command = program();
        command.args([
            "simulate",
            "line.toml",
            "-n",
            "2",
            "--out",
            "the results",
            "--color",
            color,
        ]);
        run_command(
            command
                .current_dir(place.path())
                .env("FORCE_HYPERLINK", links),
        )
    };
    let linked = played("always", "1").err;
    let top = fs::canonicalize(place.path()).unwrap();
    let url = format!("{}/the%20results/", top.display());
    assert!(
        linked.contains("\u{1b}]8;;file://") && linked.contains(&url),
        "{linked:?}"
    );
    assert!(
        linked.ends_with("the results/\u{1b}]8;;\u{1b}\\\n"),
        "{linked:?}"
    );
    for (color, links) in [("never", "1"), ("always", "0"), ("auto", "1")] {
        let plain = played(color, links).err;
        assert_eq!(plain, "14 files in the results/\n", "{color}, {links}");
    }
}

/// A name may hold anything; what is printed of it moves no cursor.
#[cfg(unix)]
#[test]
fn a_path_with_control_characters_is_printed_without_them() {
    let place = folder();
    let out = place.path().join("a\u{1b}[2Jb\nc");
    let ran = run_command(
        program()
            .args(["diary", LINE, "--color", "always", "--out"])
            .arg(&out),
    );
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(!ran.err.contains(ESCAPE), "{ran:?}");
    assert_eq!(ran.err.lines().count(), 1, "{ran:?}");
}

#[test]
fn quiet_with_json_prints_the_document_and_nothing_else() {
    let place = folder();
    let study = study(place.path());
    let documents = [
        vec!["simulate", LINE, "-n", "2"],
        vec!["compare", SUPPER, HELPED, "-n", "2"],
        vec!["sweep", &study],
        vec!["choose", &study],
        vec!["check", LINE],
    ];
    for (at, arguments) in documents.into_iter().enumerate() {
        let mut command = program();
        command.args(&arguments).args(["-q", "--json"]);
        if arguments[0] != "check" {
            command.arg("--out").arg(place.path().join(at.to_string()));
        }
        let ran = run_command(&mut command);
        assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{arguments:?}");
        let document = ran.json();
        says_what_it_is_of(&document, arguments[0]);
        warns_of_what_hurts(&document);
        // And each says which program it is of.
        assert_eq!(document["version"], version::NUMBER, "{arguments:?}");
        let commit = version::COMMIT.map_or(serde_json::Value::Null, Into::into);
        assert_eq!(document.get("commit"), Some(&commit), "{arguments:?}");
        let help = run([arguments[0], "--help"]).out;
        assert!(help.contains("even with --quiet") && help.contains("the document of --json"));
    }
    let schema = run(["schema"]).json();
    assert_eq!(schema["$comment"], format!("scullery {}", version::FULL));
}

/// Hot water, chemicals and slips: whoever reads the document alone is warned, too.
fn warns_of_what_hurts(document: &serde_json::Value) {
    let cautions = document["cautions"].as_array().unwrap();
    assert!(cautions.iter().all(serde_json::Value::is_string));
    let all = document["cautions"].to_string();
    for word in [
        "scald",
        "Detergents",
        "slippery",
        "running machine",
        "local",
    ] {
        assert!(all.contains(word), "{word}: {all}");
    }
}

/// Digests of what was read, and the seed where something was drawn.
fn says_what_it_is_of(document: &serde_json::Value, command: &str) {
    let read = match command {
        "compare" => vec![&document["base"], &document["alternatives"][0]],
        _ => vec![document],
    };
    for one in read {
        let digest = one["digest"].as_str().unwrap_or_default();
        let is_one = digest.len() == 32 && digest.chars().all(|c| c.is_ascii_hexdigit());
        assert!(is_one, "{command}: {digest:?}");
        assert!(one["title"].is_string() || command == "sweep", "{command}");
    }
    assert_eq!(document["seed"].is_u64(), command != "check", "{command}");
}

/// Of a scenario by any command, and of whatever stands in one of its files.
#[test]
fn the_digest_is_of_the_text_that_was_read() {
    let place = folder();
    let digest = |command: &str, file: &str| {
        let out = place.path().join("out");
        let mut ran = program();
        ran.args([command, file, "-q", "--json"]);
        if command == "simulate" {
            ran.args(["-n", "2", "--out"]).arg(&out);
        }
        run_command(&mut ran).json()["digest"].clone()
    };
    let line = digest("check", LINE);
    assert_eq!(line, digest("simulate", LINE));
    let base = std::fs::canonicalize(LINE).unwrap();
    let other = place.path().join("other.toml");
    let other = other.to_str().unwrap();
    let mut seen = vec![line];
    for title in ["One", "Two"] {
        let text = format!("version = 1\nbased_on = {base:?}\ntitle = \"{title}\"\n");
        std::fs::write(other, text).unwrap();
        let now = digest("check", other);
        assert!(!seen.contains(&now), "{title}");
        seen.push(now);
    }
}

#[test]
fn colours_are_as_asked_for() {
    let colored = |arguments: &[&str], environment: &[(&str, &str)]| {
        let mut command = program();
        for name in ["NO_COLOR", "CLICOLOR", "CLICOLOR_FORCE"] {
            command.env_remove(name);
        }
        command.args(arguments).envs(environment.iter().copied());
        let Ran { out, err, .. } = run_command(&mut command);
        (out + &err).contains(ESCAPE)
    };
    for line in [
        &["check", LINE][..],
        &["check", BAD],
        &["--help"],
        &["sweep", "--help"],
        &["sweep", "--no-such-option"],
    ] {
        let with = |color: &str, environment: &[(&str, &str)]| {
            let typed = ["--color", color];
            colored(&[&typed, line].concat(), environment)
        };
        assert!(!colored(line, &[]), "no terminal: {line:?}");
        assert!(with("always", &[]), "{line:?}");
        assert!(
            with("always", &[("NO_COLOR", "1")]),
            "typed is typed: {line:?}"
        );
        assert!(!with("never", &[("CLICOLOR_FORCE", "1")]), "{line:?}");
        assert!(with("auto", &[("CLICOLOR_FORCE", "1")]), "{line:?}");
        let both = [("CLICOLOR_FORCE", "1"), ("NO_COLOR", "1")];
        assert!(!with("auto", &both), "NO_COLOR: {line:?}");
    }
    // It may stand after the command too, and is one of three.
    assert!(colored(&["check", BAD, "--color=always"], &[]));
    let ran = run(["check", BAD, "--color", "blue"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("auto, always, never"), "{}", ran.err);
}

#[test]
fn there_is_a_manual_page_of_the_program_and_of_each_command() {
    let page = |arguments: &[&str]| {
        let ran = run([&["man"], arguments].concat());
        assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{arguments:?}");
        ran.out
    };
    let plain = |text: &str| {
        text.replace("\\-", "-")
            .replace("\\fB", "")
            .replace("\\fR", "")
    };
    let place = folder();
    let out = place.path().join("man1");
    run(["man", "--out", out.to_str().unwrap()]);
    let pages = contents(&out);
    assert_eq!(pages.len(), COMMANDS.len() + 1);
    let main = page(&[]);
    assert!(main.contains(".TH scullery 1"), "{main}");
    assert_eq!(pages["scullery.1"], main.as_bytes());
    for command in COMMANDS {
        assert!(
            plain(&main).contains(&format!("scullery-{command}(1)")),
            "{command}"
        );
        let own = page(&[command]);
        assert_eq!(
            pages[&format!("scullery-{command}.1")],
            own.as_bytes(),
            "{command}"
        );
        // Every option of the help stands in the page.
        let help = run([command, "--help"]).out;
        let options = help
            .split_whitespace()
            .filter(|word| word.starts_with("--"));
        for option in options.map(|word| word.trim_end_matches([',', '.', ':', ';'])) {
            assert!(plain(&own).contains(option), "{command}: {option}");
        }
    }
}

#[test]
fn a_manual_page_of_nothing_is_refused_with_what_there_is() {
    let ran = run(["man", "wash"]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    assert!(
        ran.err.contains("`wash`") && ran.err.contains("simulate, check"),
        "{}",
        ran.err
    );
    assert_eq!(run(["man", "sweep", "--out", "x"]).code, 2);
}

#[test]
fn each_shell_gets_completions_of_all_commands() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let ran = run(["completions", shell]);
        assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{shell}");
        for word in COMMANDS.into_iter().chain(["precision", "gather", "color"]) {
            assert!(ran.out.contains(word), "{shell}: {word}");
        }
    }
    let ran = run(["completions", "sh"]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("bash"), "{}", ran.err);
}
