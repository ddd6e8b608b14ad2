//! What other programs see: a few functions over the rooms. What they take and give is exported beside them, in `lib.rs`.

use std::path::{Path, PathBuf};

use crate::report::ReportError;
use crate::report::out::OutputFolder;
use crate::report::output::{self, Handing, Output, Printed};
use crate::report::pictures::Pictures;
use crate::report::units::Units;
use crate::room::Room;
use crate::scenario::{self, Loaded, Mistakes};
use crate::service::measure::Measure;
use crate::study::compare::{self as comparing, Comparison, HEADLINE};
use crate::study::evening::Evening;
use crate::study::sheet::Sheet;
use crate::study::{self, Plan, PlayError, Watch};

/// Reads a scenario file, with all it is based on, what it includes and the logs it names.
///
/// # Errors
/// All [`Mistakes`] of all these files at once.
///
/// ```
/// let friday = scullery::load("scenarios/friday-rush.toml")?;
/// assert_eq!(friday.name, "friday-rush");
///
/// let mistakes = scullery::load("scenarios/monday.toml").unwrap_err();
/// assert!(mistakes.to_string().contains("there is no such file"));
/// # Ok::<(), scullery::Mistakes>(())
/// ```
pub fn load(path: impl AsRef<Path>) -> Result<Loaded, Mistakes> {
    scenario::load(path.as_ref())
}

/// Reads a scenario from text, as if a file called `name` with that text stood in `folder`.
///
/// What it is based on, includes or names is looked for from there. Without a folder, naming another file is a mistake.
/// Results and messages go by `name`; of a path, by its last part.
///
/// # Errors
/// All [`Mistakes`] at once.
///
/// ```
/// use std::path::Path;
///
/// let text = r#"
///     version = 1
///     title = "The same Friday with slower scraping"
///     based_on = "friday-rush.toml"
///
///     [scrape]
///     per_unit = "4 s"
/// "#;
/// let slower = scullery::load_text("slower.toml", text, Some(Path::new("scenarios")))?;
/// assert_eq!(slower.name, "slower");
///
/// let mistakes = scullery::load_text("slower.toml", text, None).unwrap_err();
/// assert!(mistakes.to_string().contains("cannot read"));
/// # Ok::<(), scullery::Mistakes>(())
/// ```
pub fn load_text(name: &str, text: &str, folder: Option<&Path>) -> Result<Loaded, Mistakes> {
    scenario::load_text(name, text, folder)
}

/// Plays a scenario as a [`Plan`] says, and estimates everything.
///
/// # Errors
/// If the machine does not give so many threads.
///
/// ```
/// use scullery::{Plan, load, play};
///
/// let evening = play(&load("scenarios/friday-rush.toml")?, &Plan::new(20))?;
/// assert_eq!(evening.replications, 20);
/// println!("{}", evening.sentence);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn play(scenario: &Loaded, plan: &Plan) -> Result<Evening, PlayError> {
    play_watched(scenario, plan, &Watch::default())
}

/// The same, watched: what is known so far, progress, and a way to cancel. To play until a mean is known well enough
/// there is [`Stop::Precise`](crate::Stop::Precise).
///
/// # Errors
/// As [`play`].
///
/// ```
/// use scullery::{Measure, Plan, Watch, load, play_watched};
///
/// // Whoever watches may have seen enough: here at the first look.
/// let watch = Watch::showing(|so_far| {
///     let wait = so_far.estimate(0, Measure::WaitMean);
///     println!("{} evenings: {:?} ± {:?} min", so_far.done, wait.mean, wait.half_width);
///     so_far.cancel();
/// });
/// let friday = load("scenarios/friday-rush.toml")?;
/// let evening = play_watched(&friday, &Plan::new(1000), &watch)?;
/// assert!(evening.interrupted && evening.replications < 1000);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn play_watched(scenario: &Loaded, plan: &Plan, watch: &Watch) -> Result<Evening, PlayError> {
    study::simulate(scenario, plan, watch)
}

/// The same, with advice that has been tried: for each problem and warning it plays the few changes that could help, on
/// the same guests and luck, at most as many evenings in all as the run has. What came of each is in
/// [`Finding::tried`](crate::Finding::tried).
///
/// # Errors
/// As [`play`].
///
/// ```
/// use scullery::{Plan, Watch, load, play_and_advise};
/// use scullery::details::Fate;
///
/// let friday = load("scenarios/friday-rush.toml")?;
/// let evening = play_and_advise(&friday, &Plan::new(100), &Watch::default())?;
/// let trial = evening.trial.ok_or("nothing to try")?;
/// assert!(trial.evenings <= 100);
/// for finding in &evening.findings {
///     if let Some(best) = finding.tried.first().filter(|tried| tried.fate == Fate::Advised) {
///         println!("{}: {}\n{}", finding.code, best.change, best.variant);
///     }
/// }
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn play_and_advise(
    scenario: &Loaded,
    plan: &Plan,
    watch: &Watch,
) -> Result<Evening, PlayError> {
    study::simulate_and_advise(scenario, plan, watch)
}

/// Plays scenarios on the same evenings; the first is what the others are compared with. The measures of [`HEADLINE`]
/// are judged together.
///
/// # Errors
/// If the machine does not give so many threads, or without a scenario.
///
/// ```
/// use scullery::{Plan, compare, load};
///
/// let friday = load("scenarios/friday-rush.toml")?;
/// let helped = load("scenarios/second-loader.toml")?;
/// let comparison = compare(&[friday, helped], &Plan::new(20))?;
/// let buys = comparison.alternative("second-loader").ok_or("not played")?;
/// let wait = buys.difference("wait_p95_min").ok_or("no such measure")?;
/// assert_eq!(wait.pairs, 20);
/// assert!(wait.mean < Some(-10.0), "a second loader saves much of the wait");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn compare(scenarios: &[Loaded], plan: &Plan) -> Result<Comparison, PlayError> {
    compare_watched(scenarios, plan, &HEADLINE, &Watch::default())
}

/// The same with measures of your own that are judged together, and watched.
///
/// # Errors
/// As [`compare`].
///
/// ```
/// use scullery::{Measure, Plan, Watch, compare_watched, load};
///
/// let friday = load("scenarios/friday-rush.toml")?;
/// let helped = load("scenarios/second-loader.toml")?;
/// let headline = [Measure::WaitP95];
/// let comparison = compare_watched(&[friday, helped], &Plan::new(20), &headline, &Watch::default())?;
/// let wait = comparison.alternatives[0].difference("wait_p95_min").ok_or("no such measure")?;
/// let judged = wait.judged.ok_or("not of the headline")?;
/// assert_eq!(judged.verdict, scullery::details::Verdict::Less);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn compare_watched(
    scenarios: &[Loaded],
    plan: &Plan,
    headline: &[Measure],
    watch: &Watch,
) -> Result<Comparison, PlayError> {
    comparing::compare(scenarios, plan, headline, watch)
}

/// What a pencil would work out before anything is played: the hand-calculation sheet.
///
/// ```
/// let friday = scullery::load("scenarios/friday-rush.toml")?;
/// let sheet = scullery::sheet(&friday);
/// println!("{:.0} pieces in the busiest hour", sheet.peak.pieces);
/// if let Some(binds) = &sheet.binds {
///     println!("{}", binds.sentence);
/// }
/// assert!(sheet.findings().iter().any(|finding| finding.code == "drop-off-short"));
/// # Ok::<(), scullery::Mistakes>(())
/// ```
#[must_use]
pub fn sheet(scenario: &Loaded) -> Sheet {
    Sheet::of(&scenario.scenario, &Room::of(&scenario.scenario))
}

/// Writes a result into a folder as the program does: CSV files, their data dictionary, charts. Gives the number of
/// files. All are put in their places together, or none.
///
/// # Errors
/// If the folder cannot be made or written. All earlier files in it are then as they were.
///
/// ```
/// use scullery::{Pictures, Plan, load, play, write};
///
/// let folder = tempfile::tempdir()?;
/// let evening = play(&load("scenarios/friday-rush.toml")?, &Plan::new(2))?;
/// assert!(write(&evening, folder.path(), Pictures::None)? > 2);
/// assert!(folder.path().join("measures.csv").is_file());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn write(
    result: &impl Output,
    folder: impl Into<PathBuf>,
    pictures: Pictures,
) -> Result<usize, ReportError> {
    let handing = Handing {
        units: Units::Metric,
        pictures,
        printed: Printed::Nothing,
    };
    output::write(result, &handing, &OutputFolder::open(folder)?)
}
