//! The one player of all studies: watched, cancelled, and the same on any number of threads.

use std::path::Path;
use std::sync::{Arc, Mutex};

use scullery::scenario::{self, Loaded};
use scullery::service::measure::Measure;
use scullery::study::choose::{End, choose};
use scullery::study::compare::{HEADLINE, compare};
use scullery::study::design::read::read;
use scullery::study::evening::Evening;
use scullery::study::player::BLOCK;
use scullery::study::sweep::{Played, SweepError, sweep};
use scullery::study::swept::Cell;
use scullery::study::{Plan, Stop, Watch, simulate};

const SUPPER: &str = "tests/late-supper.toml";

fn loaded(file: &str) -> Loaded {
    scenario::load(Path::new(file)).unwrap_or_else(|mistakes| panic!("{mistakes}"))
}

/// A line that is played in no time.
fn line() -> Loaded {
    loaded("tests/plain-line.toml")
}

fn plan(replications: u64, threads: usize) -> Plan {
    Plan {
        threads,
        ..Plan::new(replications)
    }
}

fn wait(evening: &Evening) -> Cell {
    let found = evening.measures[Measure::WaitMean as usize];
    Cell {
        mean: found.mean,
        half_width: found.half_width,
        n: found.n,
    }
}

/// What was shown after each block.
type Shown = Arc<Mutex<Vec<(u64, Option<u64>, usize, Cell)>>>;

/// Writes down what it is shown of a side, and cancels after so many blocks.
fn watch(side: usize, last_block: usize) -> (Watch, Shown) {
    let shown = Shown::default();
    let seen = Arc::clone(&shown);
    let watch = Watch::showing(move |so_far| {
        let cell = match side {
            0 => so_far.estimate(0, Measure::WaitMean),
            other => so_far.difference(other, Measure::WaitMean),
        };
        let mut seen = seen.lock().unwrap();
        seen.push((so_far.done, so_far.wanted, so_far.sides(), cell));
        if seen.len() == last_block {
            so_far.cancel();
        }
    });
    (watch, shown)
}

#[test]
fn every_block_is_shown_as_a_run_that_ends_there_would_be() {
    let line = line();
    let (watching, shown) = watch(0, usize::MAX);
    let whole = simulate(&line, &plan(300, 2), &watching).unwrap();
    let shown = shown.lock().unwrap();
    let done: Vec<u64> = shown.iter().map(|one| one.0).collect();
    assert_eq!(done, [BLOCK, 2 * BLOCK, 300]);
    for (done, wanted, sides, cell) in shown.iter() {
        let short = simulate(&line, &plan(*done, 1), &Watch::default()).unwrap();
        assert_eq!((*wanted, *sides, *cell), (Some(300), 1, wait(&short)));
    }
    assert!(!whole.interrupted);
    assert_eq!(watching.done(), 300);
}

#[test]
fn who_watches_may_cancel_and_what_is_finished_is_kept() {
    let line = line();
    for threads in [1, 3] {
        let (watching, shown) = watch(0, 2);
        let ended = simulate(&line, &plan(100_000, threads), &watching).unwrap();
        assert!(ended.interrupted);
        assert_eq!((ended.replications, ended.wanted), (2 * BLOCK, 100_000));
        assert_eq!(shown.lock().unwrap().len(), 2);
        let whole = simulate(&line, &plan(2 * BLOCK, 1), &Watch::default()).unwrap();
        assert_eq!(ended.rows, whole.rows);
        assert_eq!(ended.measures, whole.measures);
        assert_eq!(ended.series, whole.series);
    }
}

#[test]
fn a_watch_that_was_cancelled_before_plays_nothing() {
    let watch = Watch::default();
    watch.cancel();
    let evening = simulate(&line(), &plan(10, 2), &watch).unwrap();
    assert!(evening.interrupted);
    assert_eq!((evening.replications, watch.done()), (0, 0));
}

#[test]
fn a_comparison_shows_its_differences() {
    let scenarios = [loaded(SUPPER), loaded("tests/late-supper-helped.toml")];
    let (watching, shown) = watch(1, 1);
    let compared = compare(&scenarios, &plan(10_000, 2), &HEADLINE, &watching).unwrap();
    assert!(compared.interrupted);
    assert_eq!(compared.replications, BLOCK);
    let difference = compared.alternatives[0].differences[Measure::WaitMean as usize];
    let expected = Cell {
        mean: difference.mean,
        half_width: difference.half_width,
        n: difference.pairs,
    };
    assert!(difference.mean.is_some_and(|mean| mean < 0.0));
    assert_eq!(*shown.lock().unwrap(), [(BLOCK, Some(10_000), 2, expected)]);
}

/// One room alone, and the base of a comparison, are the same evenings.
#[test]
fn a_simulation_is_a_comparison_of_one() {
    let base = loaded(SUPPER);
    let other = loaded("tests/late-supper-drained.toml");
    let plan = plan(20, 2);
    let one = simulate(&base, &plan, &Watch::default()).unwrap();
    let compared = compare(&[base, other], &plan, &HEADLINE, &Watch::default()).unwrap();
    assert_eq!(one.rows, compared.base.rows);
    assert_eq!(one.clock, compared.base.clock);
    let alone = compare(&[loaded(SUPPER)], &plan, &[], &Watch::default());
    assert_eq!(alone.unwrap().base.rows, one.rows);
    assert!(compare(&[], &plan, &[], &Watch::default()).is_err());
}

/// Whoever stops at a precision stops at the same evening, and one evening alone is the one of that number.
#[test]
fn plans_end_where_they_say_on_any_number_of_threads() {
    let supper = loaded(SUPPER);
    let precise = |threads| Plan {
        stop: Stop::Precise {
            measure: Measure::WaitMean,
            relative: 0.05,
            most: 5_000,
        },
        ..plan(0, threads)
    };
    let [one, three] =
        [1, 3].map(|threads| simulate(&supper, &precise(threads), &Watch::default()).unwrap());
    assert_eq!(one.replications % BLOCK, 0);
    assert!(one.replications < 5_000);
    assert_eq!(one.rows, three.rows);
    assert_eq!(one.series, three.series);
    let only = Plan {
        stop: Stop::Only(17),
        ..plan(0, 1)
    };
    let only = simulate(&supper, &only, &Watch::default()).unwrap();
    assert_eq!(only.rows, one.rows[17..18]);
}

const STUDY: &str = "replications = 30\none_at_a_time = false\nmeasures = [\"wait_mean_min\", \"racks\"]\n\
                     [[factor]]\nname = \"pace\"\npath = \"roster[loader].pace\"\nvalues = [0.8, 1, 1.2]\n";
const CHOICE: &str = "[[target]]\nmeasure = \"wait_mean_min\"\nat_most = 1\ntolerance = 0.1\n\
                      [choose]\ncheapest = \"racks\"\nindifference = 1\nfirst = 30\nrarest = 0.05\n";

/// A study of the plain line.
fn study(more: &str) -> (scullery::study::design::Study, tempfile::TempDir) {
    let folder = tempfile::tempdir().unwrap();
    let base = std::fs::canonicalize("tests/plain-line.toml").unwrap();
    let file = folder.path().join("study.toml");
    std::fs::write(
        &file,
        format!("base = {:?}\n{STUDY}{more}", base.display().to_string()),
    )
    .unwrap();
    (
        read(&file).unwrap_or_else(|mistakes| panic!("{mistakes}")),
        folder,
    )
}

fn swept(threads: usize, watch: &Watch) -> (Vec<Played>, Result<(), SweepError<std::fmt::Error>>) {
    let (study, _folder) = study("");
    let mut points = Vec::new();
    let ended = sweep(&study, 0..study.points(), threads, watch, |played| {
        points.push(played);
        Ok(())
    });
    (points, ended)
}

/// The points of a sweep are those of simulations of the same rooms.
#[test]
fn a_sweep_gives_the_same_bits_on_any_number_of_threads() {
    let (one, ended) = swept(1, &Watch::default());
    assert!(ended.is_ok());
    assert_eq!(
        one.iter().map(|played| played.point).collect::<Vec<_>>(),
        [0, 1, 2]
    );
    assert_eq!(one, swept(3, &Watch::default()).0);
    let as_it_is = simulate(&line(), &plan(30, 1), &Watch::default()).unwrap();
    let expected: Vec<Option<f64>> = (as_it_is.rows.iter())
        .map(|row| row.values[Measure::WaitMean as usize])
        .collect();
    let values: Vec<Option<f64>> = one[1]
        .replications
        .iter()
        .map(|one| one.values[0])
        .collect();
    assert_eq!(values, expected);
}

/// 64 evenings of one thread are played before the first look: two points of 30, which are handed over.
#[test]
fn a_sweep_that_is_cancelled_hands_over_what_is_finished() {
    let (watching, shown) = watch(0, 1);
    let (points, ended) = swept(1, &watching);
    assert!(matches!(ended, Err(SweepError::Interrupted)));
    assert_eq!(points, swept(2, &Watch::default()).0[..2]);
    assert_eq!(shown.lock().unwrap()[0].0, 64);
}

#[test]
fn a_choice_shows_its_designs_and_may_be_cancelled() {
    let (study, _folder) = study(CHOICE);
    let (watching, shown) = watch(0, 1);
    let choice = choose(&study, 2, &watching).unwrap();
    assert!(matches!(choice.end, End::Interrupted { .. }));
    let shown = shown.lock().unwrap();
    let (_, wanted, sides, cell) = shown[0];
    assert_eq!((wanted, sides), (None, 3));
    assert_eq!(cell, choice.designs[0].measures[0]);
    assert!(cell.n >= 30);
}

/// A study within a pool of threads: a worker that waits for a study does not begin another one meanwhile, which
/// would fill its stack in the end.
#[test]
fn studies_may_be_played_from_the_threads_of_another_pool() {
    use rayon::prelude::*;
    use std::cell::Cell as Depth;
    thread_local! { static DEPTH: Depth<usize> = const { Depth::new(0) }; }
    let line = line();
    let deepest = (0..40).into_par_iter().map(|seed| {
        let depth = DEPTH.get() + 1;
        DEPTH.set(depth);
        let plan = Plan { seed, ..plan(5, 1) };
        assert_eq!(
            simulate(&line, &plan, &Watch::default())
                .unwrap()
                .replications,
            5
        );
        DEPTH.set(depth - 1);
        depth
    });
    assert_eq!(deepest.max(), Some(1));
}
