//! An evening that cannot end: it is played to its limit, and what is stuck is named.

use crate::program::{folder, run, simulated};

const NEVER: &str = "tests/never-finished.toml";

#[test]
fn what_is_stuck_is_named_with_its_place_and_its_reason() {
    let out = folder();
    let document = simulated(NEVER, out.path(), &["-n", "20", "--json"]).json();
    assert_eq!(document["unfinished"], 20);
    let findings = document["findings"].as_array().unwrap();
    let first = &findings[0];
    assert_eq!(
        (&first["code"], &first["severity"]),
        (&"unfinished".into(), &"problem".into())
    );
    let evidence = first["evidence"].as_str().unwrap();
    for words in [
        "20 of 20 evenings were not finished 6.0 h after closing",
        "unload: 3 racks wait for somebody free to do it",
        "load: 270 pieces wait for room further on",
        "hood: 3 racks stand on the landing",
    ] {
        assert!(evidence.contains(words), "{words}: {evidence}");
    }
}

#[test]
fn the_table_and_the_replications_say_so() {
    let out = folder();
    let ran = simulated(NEVER, out.path(), &["-n", "3"]);
    assert!(
        ran.out.contains("UNFINISHED: 3 of 3 evenings"),
        "{}",
        ran.out
    );
    assert!(ran.out.contains("PROBLEM (unfinished)"), "{}", ran.out);
    let rows = crate::program::csv(&out.path().join("replications.csv")).1;
    assert!(rows.iter().all(|row| row["finished"] == "false"));
}

#[test]
fn the_diary_ends_and_says_so() {
    let ran = run(["diary", NEVER]);
    assert_eq!(ran.code, 0);
    assert!(
        ran.err.contains("not finished") && ran.err.contains("unload: 3 racks"),
        "{}",
        ran.err
    );
}
