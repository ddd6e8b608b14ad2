//! The same seed gives the same bits, on any number of threads, together or one alone.

use crate::program::{SUPPER, contents, csv, folder, simulated};

#[test]
fn the_number_of_threads_changes_nothing() {
    let played = |threads: &str| {
        let out = folder();
        // More than one block of replications.
        let options = ["-n", "150", "--seed", "3", "--json", "--threads", threads];
        let json = simulated(SUPPER, out.path(), &options).out;
        (json, contents(out.path()))
    };
    let one = played("1");
    for threads in ["2", "3", "8", "0"] {
        assert_eq!(played(threads), one, "{threads} threads");
    }
}

#[test]
fn one_replication_alone_is_that_row_of_a_longer_run() {
    let (all, one) = (folder(), folder());
    simulated(SUPPER, all.path(), &["-n", "120", "--seed", "5"]);
    simulated(SUPPER, one.path(), &["--replication", "99", "--seed", "5"]);
    let all = csv(&all.path().join("replications.csv")).1;
    let one = csv(&one.path().join("replications.csv")).1;
    assert_eq!(one, [all[99].clone()]);
    assert_eq!(one[0]["replication"], "99");
}

#[test]
fn a_shorter_run_is_the_beginning_of_a_longer_one() {
    let (short, long) = (folder(), folder());
    simulated(SUPPER, short.path(), &["-n", "7"]);
    simulated(SUPPER, long.path(), &["-n", "130"]);
    let short = csv(&short.path().join("replications.csv")).1;
    let long = csv(&long.path().join("replications.csv")).1;
    assert_eq!(short[..], long[..7]);
}

#[test]
fn another_seed_is_another_run() {
    let rows = |seed: &str| {
        let out = folder();
        simulated(SUPPER, out.path(), &["-n", "5", "--seed", seed]);
        csv(&out.path().join("replications.csv")).1
    };
    let first = rows("1");
    assert_eq!(first, rows("1"));
    for seed in ["0", "2", "18446744073709551615"] {
        let other = rows(seed);
        for row in &other {
            let same_evening = |one: &_| {
                let (mut one, mut row): (std::collections::BTreeMap<_, _>, _) =
                    (Clone::clone(one), row.clone());
                one.remove("replication");
                row.remove("replication");
                one == row
            };
            assert!(!first.iter().any(same_evening), "seed {seed}: {row:?}");
        }
    }
}
