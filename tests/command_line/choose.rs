//! `choose`: the answer, its files, how it leaves, what it refuses.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command;
use std::sync::LazyLock;

#[cfg(target_os = "linux")]
use nix::sys::signal::Signal;

use crate::program::{PATH, Ran, contents, csv, csv_of, folder, program, run_command};
#[cfg(target_os = "linux")]
use crate::running::Running;

const CREW: &str = "scenarios/studies/cheapest-crew.toml";

/// The supper with one or two dishwashers, and what is added.
fn supper(more: &str) -> String {
    let base = fs::canonicalize("tests/late-supper.toml").unwrap();
    format!(
        "title = \"Supper\"\nbase = \"{}\"\nmeasures = [\"wait_mean_min\"]\n\
         [[factor]]\nname = \"crew\"\npath = \"roster[dishwasher].count\"\nvalues = [1, 2, 3]\n{more}",
        base.display()
    )
}

/// A study that is answered after few evenings.
fn quick() -> String {
    supper(
        "[[target]]\nmeasure = \"wait_mean_min\"\nat_most = 12\ntolerance = 2\n\
         [[target]]\nmeasure = \"crew_out_min_after_close\"\nat_most = 60\nin = \"90 %\"\ntolerance = \"5 %\"\n\
         [choose]\ncheapest = \"labour_h\"\nindifference = 0.5\n",
    )
}

fn choose_from(study: &str, out: &Path, more: &[&str]) -> Ran {
    let file = out.join("study.toml");
    fs::write(&file, study).unwrap();
    choose(file.to_str().unwrap(), &out.join("results"), more)
}

fn choose(file: &str, out: &Path, more: &[&str]) -> Ran {
    let mut command = program();
    command.args(["choose", file, "--out"]).arg(out);
    run_command(command.args(more))
}

/// The shipped study, played once for all tests.
struct Shipped {
    ran: Ran,
    files: BTreeMap<String, Vec<u8>>,
}

static SHIPPED: LazyLock<Shipped> = LazyLock::new(|| {
    let out = folder();
    let ran = choose(CREW, out.path(), &[]);
    assert_eq!(ran.code, 0, "{ran:?}");
    let files = contents(out.path());
    Shipped { ran, files }
});

/// One answer, with what it rests on.
#[test]
fn the_shipped_study_is_answered() {
    let Shipped { ran, files } = &*SHIPPED;
    let joined = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "Least cost to within 2 crowns of those that meet all targets: help",
        "Targets for this design",
        "Runner-up",
        "Closest of the cheaper ones",
        "Guaranteed with 95 % confidence",
        "is lower in cost by 2 crowns or more",
        "fewer than 1 % of the evenings may not have been seen",
        "evenings were played",
        "Equal allocation would have taken",
    ] {
        assert!(joined.contains(words), "{words}: {}", ran.out);
    }
    let widest = ran.out.lines().map(|line| line.chars().count()).max();
    assert!(widest <= Some(100), "{widest:?}");
    let (heads, rows) = csv_of(str::from_utf8(&files["choice.csv"]).unwrap());
    assert_eq!(rows.len(), 16);
    assert!(
        heads.iter().any(|head| head == "cost [crowns]"),
        "{heads:?}"
    );
    let chosen: Vec<_> = rows.iter().filter(|row| row["fate"] == "chosen").collect();
    assert_eq!(chosen.len(), 1);
    assert!(
        rows.iter()
            .all(|row| row["replications"].parse::<u64>().unwrap() >= 100)
    );
}

#[test]
fn json_says_all_of_it_and_nothing_else() {
    let out = folder();
    let ran = choose_from(&quick(), out.path(), &["--json"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    let document = ran.json();
    let keys: Vec<&str> = document
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect();
    let mut expected = [
        "cautions",
        "version",
        "commit",
        "study",
        "title",
        "digest",
        "currency",
        "seed",
        "verdict",
        "sentence",
        "guarantee",
        "measure",
        "seeks",
        "rarest",
        "evenings_to_see",
        "indifference",
        "confidence",
        "error_each",
        "evenings",
        "equal_allocation",
        "equal_allocation_each",
        "chosen",
        "runner_up",
        "closest_cheaper",
        "closest",
        "targets",
        "designs",
        "findings",
    ];
    expected.sort_unstable();
    let mut sorted = keys.clone();
    sorted.sort_unstable();
    assert_eq!(sorted, expected);
    assert_eq!(document["verdict"], "chosen");
    assert_eq!(document["confidence"], 0.95);
    assert_eq!(document["indifference"], 0.5);
    // Two targets, one of safety and three designs: α/2/(3 + 3 − 1).
    assert!((document["error_each"].as_f64().unwrap() - 0.005).abs() < 1e-12);
    // ln(1/0.005)/0.01.
    assert_eq!(document["evenings_to_see"], 530);
    let designs = document["designs"].as_array().unwrap();
    let evenings: u64 = designs
        .iter()
        .map(|one| one["evenings"].as_u64().unwrap())
        .sum();
    assert_eq!(document["evenings"], evenings);
    assert_eq!(document["targets"][1]["in"], 0.9);
    let chosen = document["chosen"].as_u64().unwrap() as usize;
    assert_eq!(designs[chosen]["fate"], "chosen");
    assert_eq!(designs[chosen]["difference"], 0.0);
}

/// Whoever goes home at eight leaves the ware standing, and costs less for it: such a design is out.
#[test]
fn a_design_that_is_never_finished_is_out() {
    let out = folder();
    let base = fs::canonicalize("scenarios/friday-rush.toml").unwrap();
    let study = format!(
        "base = \"{}\"\nmeasures = [\"cost\"]\n\
         [[factor]]\nname = \"loader to\"\npath = \"roster[loader].to\"\nvalues = [\"22:40\", \"23:30\"]\n\
         linked = [{{ path = \"roster[loader].stays\", values = [false, true] }}]\n\
         [[target]]\nmeasure = \"crew_out_min_after_close\"\nat_most = \"400 min\"\ntolerance = \"5 min\"\n\
         [choose]\nindifference = 2\nfirst = 20\n",
        base.display()
    );
    let ran = choose_from(&study, out.path(), &["--json"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    let designs = ran.json()["designs"].clone();
    assert_eq!(designs[0]["fate"], "unsafe");
    assert_eq!(designs[0]["unfinished"], designs[0]["evenings"]);
    assert_eq!(designs[1]["fate"], "chosen");
    assert!(ran.json()["targets"].to_string().contains("finished_share"));
}

/// What a study asks for by itself: no cold rack, no rack in old water, all done, each in a share of the evenings that
/// can be changed, and nothing twice.
#[test]
fn the_targets_of_safety_can_be_changed() {
    let out = folder();
    let base = fs::canonicalize("scenarios/friday-as-it-runs.toml").unwrap();
    let asked = |more: &str| {
        let study = format!(
            "base = \"{}\"\nmeasures = [\"cost\"]\n{more}\
             [[factor]]\nname = \"water\"\npath = \"machine[conveyor].change_water_within\"\nvalues = [\"4 h\"]\n\
             [choose]\nindifference = 50\nfirst = 20\nrarest = 0.2\nat_most = 50\n",
            base.display()
        );
        let ran = choose_from(&study, out.path(), &["--json"]);
        let targets = ran.json()["targets"].clone();
        let of = |target: &serde_json::Value| {
            let measure = target["measure"].as_str().unwrap().to_owned();
            (measure, target["in"].as_f64())
        };
        let all: Vec<_> = targets.as_array().unwrap().iter().map(of).collect();
        all
    };
    let all_of = |cold, old, finished| {
        vec![
            ("under_temperature_racks".to_owned(), Some(cold)),
            ("old_water_racks".to_owned(), Some(old)),
            ("rules_broken_share".to_owned(), Some(0.95)),
            ("finished_share".to_owned(), Some(finished)),
        ]
    };
    let changed = "no_cold_rack_in = 0.9\nno_old_water_in = 0.5\nfinished_in = 0.8\n";
    let own = "[[target]]\nmeasure = \"finished_share\"\nat_least = 0.9\ntolerance = 0.05\n";
    assert_eq!(asked(""), all_of(0.95, 0.95, 0.99));
    assert_eq!(asked(changed), all_of(0.9, 0.5, 0.8));
    let with_own = asked(own);
    assert_eq!(with_own[0], ("finished_share".to_owned(), None));
    assert_eq!(with_own[1..], all_of(0.95, 0.95, 0.99)[..3]);
}

/// Threads change nothing, the seed does; `--quiet` prints nothing.
#[test]
fn the_same_bits_on_any_number_of_threads() {
    let (one, many, other) = (folder(), folder(), folder());
    let play = |out: &Path, more: &[&str]| {
        let ran = choose_from(&quick(), out, more);
        assert_eq!(ran.code, 0, "{ran:?}");
        (ran.out, contents(&out.join("results")))
    };
    let first = play(one.path(), &["--json", "--threads", "1"]);
    assert_eq!(first, play(many.path(), &["--json", "--threads", "7"]));
    assert_ne!(first, play(other.path(), &["--json", "--seed", "2"]));
    let quiet = choose_from(&quick(), one.path(), &["--quiet"]);
    assert_eq!((quiet.out.as_str(), quiet.err.as_str()), ("", ""));
}

/// None out within twenty minutes of closing: exit 3, the closest and by how much it misses.
#[test]
fn none_keeps_the_targets() {
    let out = folder();
    let base = fs::canonicalize("scenarios/second-loader-from-six.toml").unwrap();
    let study = format!(
        "base = \"{}\"\nmeasures = [\"cost\"]\n\
         [[factor]]\nname = \"from\"\npath = \"roster[second loader].from\"\nvalues = [\"18:00\", \"20:00\"]\n\
         [[target]]\nmeasure = \"crew_out_min_after_close\"\nat_most = \"5 min\"\ntolerance = \"5 min\"\n\
         [[target]]\nmeasure = \"short_covers\"\nat_most = 0\nin = \"95 %\"\ntolerance = \"4 %\"\n\
         [choose]\nindifference = 2\nfirst = 30\n",
        base.display()
    );
    let ran = choose_from(&study, out.path(), &[]);
    assert_eq!(ran.code, 3, "{ran:?}");
    for words in [
        "No design meets all targets. The closest is from",
        "misses crew out, after closing: at most 5 min, seen",
        "min too much",
        "at most 5 % of such studies would give this answer",
    ] {
        let joined = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(joined.contains(words), "{words}: {}", ran.out);
    }
    let ran = choose_from(&study, out.path(), &["--json"]);
    assert_eq!(ran.code, 3);
    let document = ran.json();
    assert_eq!(document["verdict"], "none-meets");
    assert!(document["chosen"].is_null());
    let by = document["closest"]["misses"][0]["by"].as_f64().unwrap();
    assert!(by > 5.0, "{by}");
}

/// A cap that is too low is no answer, with an exit code of its own.
#[test]
fn not_decided_within_the_cap() {
    let out = folder();
    let study = quick().replace(
        "indifference = 0.5",
        "indifference = 0.5\nfirst = 10\nrarest = 0.5\nat_most = 40",
    );
    let study = study.replace(
        "at_most = 12\ntolerance = 2",
        "at_most = 12\ntolerance = 0.001",
    );
    let ran = choose_from(&study, out.path(), &[]);
    assert_eq!(ran.code, 4, "{ran:?}");
    assert!(
        ran.out
            .contains("Not decided within 40 evenings per design"),
        "{}",
        ran.out
    );
    assert!(ran.out.contains("Nothing is guaranteed"), "{}", ran.out);
    assert!(ran.err.contains("help: raise `at_most`"), "{}", ran.err);
}

/// Each is reported with its place and a cure, and nothing is written.
#[test]
fn what_cannot_be_chosen_from_is_refused() {
    let target = "[[target]]\nmeasure = \"wait_mean_min\"\nat_most = 12\n";
    let rule = "[choose]\ncheapest = \"labour_h\"\nindifference = 0.5\n";
    let cases = [
        (
            supper(target),
            "does not say how to choose",
            "add a table [choose]",
        ),
        (
            supper(&format!("{target}{rule}")),
            "`wait to wash, mean: at most 12 min` needs a tolerance",
            "like 3, in min",
        ),
        (
            supper(&format!(
                "{target}tolerance = 1\n{}",
                rule.replace("0.5", "0")
            )),
            "an indifference of nothing",
            "that you would act upon",
        ),
        (
            supper(&format!("{target}tolerance = 1\n{rule}confidence = 1.0\n")),
            "`choose.confidence` is out of range",
            "give more than 0.5 and less than 1",
        ),
        (
            supper(&format!(
                "{target}tolerance = 1\n{rule}first = 50\nat_most = 40\n"
            )),
            "`first` is above `at_most`",
            "raise `at_most`",
        ),
        (
            supper(&format!(
                "{target}tolerance = 1\n[choose]\nindifference = 1\n"
            )),
            "cost per service has no value in evening 0",
            "the cost needs [prices]",
        ),
        (
            supper(&format!("{target}tolerance = 1\n{rule}at_most = 400\n")),
            "to see what happens in 1 % of the evenings takes 508 of them",
            "raise `at_most`",
        ),
        (
            supper(&format!(
                "{target}tolerance = 1\n{rule}largest = \"pieces\"\n"
            )),
            "cannot seek the least and the largest at once",
            "leave one of them out",
        ),
    ];
    for (study, what, cure) in cases {
        let out = folder();
        let ran = choose_from(&study, out.path(), &[]);
        assert_eq!(ran.code, 2, "{ran:?}");
        assert!(
            ran.err.contains(what) && ran.err.contains(cure),
            "{what}, {cure}: {}",
            ran.err
        );
        assert!(!out.path().join("results/choice.csv").exists());
        if !what.contains("no value") {
            assert!(ran.err.contains("study.toml:"), "{}", ran.err);
        }
    }
}

/// Ctrl-C: what was seen is written, and that nothing is chosen is said.
#[cfg(target_os = "linux")]
#[test]
fn an_interrupt_keeps_what_was_seen() {
    let out = folder();
    let text = fs::read_to_string(CREW).unwrap();
    let base = fs::canonicalize("scenarios/friday-rush.toml").unwrap();
    // Tolerances and an indifference that take hours.
    let long = text
        .replace("../friday-rush.toml", base.to_str().unwrap())
        .replace("indifference = 2", "indifference = 0.001\nat_most = 100000")
        .replace("tolerance = \"0.3 %\"", "tolerance = \"0.0001 %\"")
        .replace("tolerance = \"2 min\"", "tolerance = \"0.001 min\"");
    let file = out.path().join("study.toml");
    fs::write(&file, long).unwrap();
    let mut command = Command::new(PATH);
    command.arg("choose").arg(&file).args(["--json", "--out"]);
    let mut run = Running::start_piped(command.arg(out.path().join("results")));
    run.wait_until_busy(100);
    run.send(Signal::SIGINT);
    let output = run.output();
    assert_eq!(output.status.code(), Some(130), "{output:?}");
    let document: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(document["verdict"], "interrupted");
    let (_, rows) = csv(&out.path().join("results/choice.csv"));
    assert_eq!(rows.len(), 16);
    assert!(rows.iter().all(|row| row["fate"] != "chosen"));
}

/// Interrupted and started again, it goes on, and the answer is that of a run that was left alone.
#[cfg(target_os = "linux")]
#[test]
fn an_interrupted_choice_goes_on() {
    let (alone, cut) = (&*SHIPPED, folder());
    let mut command = Command::new(PATH);
    command.args(["choose", CREW, "--out"]);
    let run = Running::start_piped(command.arg(cut.path()));
    let kept = cut.path().join("parts/evenings.txt");
    while fs::metadata(&kept).map_or(0, |about| about.len()) < 10_000 {
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    run.send(Signal::SIGTERM);
    let output = run.output();
    assert_eq!(output.status.code(), Some(130), "{output:?}");
    let evenings = fs::read_to_string(&kept).unwrap().lines().count() - 1;
    assert!(evenings > 0);
    // Evenings of another study are not mixed in.
    let other = choose("tests/command_line/crew-again.toml", cut.path(), &[]);
    assert_eq!(other.code, 2, "{other:?}");
    assert!(other.err.contains("--restart"), "{}", other.err);
    // The last line was being written when it was killed.
    let mut text = fs::read(&kept).unwrap();
    text.truncate(text.len() - 3);
    fs::write(&kept, text).unwrap();
    let again = choose(CREW, cut.path(), &[]);
    assert_eq!((again.code, &again.out), (0, &alone.ran.out));
    let before = format!("resuming after {} evenings played before", evenings - 1);
    assert!(again.err.contains(&before), "{before}: {}", again.err);
    assert_eq!(contents(cut.path()), alone.files);
    assert!(!kept.exists());
}

/// What was damaged is refused, and thrown away on demand.
#[test]
fn a_damaged_journal_is_refused() {
    let out = folder();
    let parts = out.path().join("results/parts");
    fs::create_dir_all(&parts).unwrap();
    fs::write(parts.join("evenings.txt"), "0123456789abcdef h {}\n").unwrap();
    let ran = choose_from(&quick(), out.path(), &[]);
    assert_eq!(ran.code, 2, "{ran:?}");
    assert!(ran.err.contains("line 1 of"), "{}", ran.err);
    let ran = choose_from(&quick(), out.path(), &["--restart"]);
    assert_eq!(ran.code, 0, "{ran:?}");
}

/// A wash heater of 4 kW takes less energy and leaves the wash too cold: unsafe, without anybody having asked. Whoever says so gets it all the same.
#[test]
fn what_washes_cold_is_unsafe_rather_than_cheap() {
    let base = fs::canonicalize("scenarios/friday-rush.toml").unwrap();
    let study = |more: &str| {
        format!(
            "version = 1\ntitle = \"Heater\"\nbase = \"{}\"\nmeasures = [\"cost\"]\n{more}\
             [[factor]]\nname = \"heater\"\npath = \"machine[conveyor].zones[wash].heater\"\n\
             values = [\"4 kW\", \"24 kW\"]\n\
             [choose]\ncheapest = \"energy_kwh\"\nindifference = 0.5\nat_most = 1000\n",
            base.display()
        )
    };
    let fates = |more: &str| {
        let out = folder();
        let ran = choose_from(&study(more), out.path(), &[]);
        assert_eq!(ran.code, 0, "{ran:?}");
        let (_, designs) = csv(&out.path().join("results/choice.csv"));
        let fates: Vec<String> = designs.iter().map(|row| row["fate"].clone()).collect();
        (
            fates,
            ran.out.split_whitespace().collect::<Vec<_>>().join(" "),
        )
    };
    let (by_default, text) = fates("");
    assert_eq!(by_default, ["unsafe", "chosen"]);
    assert!(text.contains("is unsafe: misses"), "{text}");
    let own = "[[target]]\nmeasure = \"under_temperature_racks\"\nat_most = 400\ntolerance = 5\n";
    assert_eq!(fates(own).0[0], "chosen");
}

/// The largest of a measure, without targets: no heading of targets, and no half-width of what never varied.
#[test]
fn the_largest_may_be_sought() {
    let out = folder();
    let study = supper("[choose]\nlargest = \"labour_h\"\nindifference = 0.5\n");
    let ran = choose_from(&study, out.path(), &[]);
    assert_eq!(ran.code, 0, "{ran:?}");
    let joined = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "Largest labour to within 0.5 h of those that meet all targets: crew 3, with",
        "no design that meets all targets with tolerance to spare is higher in labour by 0.5 h or more",
    ] {
        assert!(joined.contains(words), "{words}: {}", ran.out);
    }
    assert!(!joined.contains("± 0.00"), "{}", ran.out);
    let json = choose_from(&study, out.path(), &["--json"]).json();
    assert_eq!(
        (&json["seeks"], &json["measure"]),
        (&"largest".into(), &"labour_h".into())
    );
}

/// What is promised is printed with all its digits, never rounded to a stronger promise.
#[test]
fn promises_are_not_rounded() {
    let out = folder();
    let study = supper(
        "[choose]\ncheapest = \"labour_h\"\nindifference = \"15 min\"\nconfidence = \"99.95 %\"\nrarest = \"1.25 %\"\n",
    );
    let ran = choose_from(&study, out.path(), &[]);
    assert_eq!(ran.code, 0, "{ran:?}");
    let joined = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "Guaranteed with 99.95 % confidence",
        "is lower in labour by 0.25 h or more",
        "in fewer than 1.25 % of the evenings",
    ] {
        assert!(joined.contains(words), "{words}: {}", ran.out);
    }
}

/// A study that cannot be chosen from leaves nothing to go on with.
#[test]
fn a_refused_choice_leaves_no_journal() {
    let out = folder();
    let study = supper("[choose]\nindifference = 1\n");
    assert_eq!(choose_from(&study, out.path(), &[]).code, 2);
    assert!(!out.path().join("results/parts").exists());
}

/// Where no design finishes its evenings that is what is said.
#[test]
fn no_design_that_finishes_is_said_so() {
    let out = folder();
    let base = fs::canonicalize("scenarios/friday-rush.toml").unwrap();
    let study = format!(
        "base = \"{}\"\nmeasures = [\"cost\"]\n[[factor]]\nname = \"stays\"\npath = \"roster[loader].stays\"\nvalues = [false]\n\
         linked = [{{ path = \"roster[loader].to\", values = [\"22:40\"] }}]\n\
         [choose]\nindifference = 2\n",
        base.display()
    );
    let ran = choose_from(&study, out.path(), &[]);
    assert_eq!(ran.code, 3, "{ran:?}");
    let joined = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        joined.contains("No design meets all targets. The closest is stays false: it is unsafe: misses racks washed"),
        "{}",
        ran.out
    );
    let target = "finished: at least 99 %, seen 0 % of evenings";
    assert!(joined.contains(target), "{}", ran.out);
}
