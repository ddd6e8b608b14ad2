//! `scullery compare BASE OTHER...`

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;

use clap::Args;

use super::deliver::deliver;
use super::interrupt::stop_on_interrupt;
use super::options::{
    DEFAULT_REPLICATIONS, MAX_REPLICATIONS, Mattering, PRECISION_CAP, Showing, measure,
    replications_help, share, too_small_help,
};
use super::simulate::{Progress, measures_help};
use super::{DASH, Failure, INTERRUPTED, complain, exit_codes, load};
use crate::report::out::OutputFolder;
use crate::scenario::Loaded;
use crate::scenario::wording::Wording;
use crate::service::measure::Measure;
use crate::study::compare::{compare_with, one_currency};
use crate::study::{Plan, Stop, Watch};
use crate::words::help::COMPARED;
use crate::words::messages;

/// [`HEADLINE`](crate::study::compare::HEADLINE) as it would be typed.
const DEFAULT_HEADLINE: &str =
    "dried_on_share,wait_p95_min,short_covers,crew_out_min_after_close,cost";
/// What `--out` is here.
const OUT: &str = "Folder for the results [default: output/BASE-vs-OTHER]";
/// Alternatives whose names stand in the name of the folder.
const NAMED: usize = 3;

/// Play scenarios on the same evenings: what each gains and costs compared with the first, with charts
///
/// Every replication is played with all scenarios on common random numbers: the same guests, soil and
/// luck. Differences are paired, so the only chance left in them is that of the change itself.
#[derive(Debug, Args)]
#[command(after_long_help = help(), mut_arg("out", |out| out.help(OUT)))]
pub struct Compare {
    /// Scenario file (TOML) that the others are compared with; - is standard input
    base: PathBuf,

    /// Scenario files to compare with it
    #[arg(required = true, value_name = "OTHER", num_args = 1..=20)]
    others: Vec<PathBuf>,

    /// Measures that are judged together (Holm), separated by commas
    #[arg(
        long, value_name = "MEASURES", value_delimiter = ',', value_parser = measure,
        default_value = DEFAULT_HEADLINE,
    )]
    headline: Vec<Measure>,

    #[arg(
        short = 'n', long, value_name = "N", help = replications_help("Replications of each scenario"),
        value_parser = clap::value_parser!(u64).range(2..=MAX_REPLICATIONS),
    )]
    replications: Option<u64>,

    /// Play until each difference in a measure is known to a half-width of this share of the base's
    /// mean, such as 5%
    #[arg(long, value_name = "SHARE", value_parser = share)]
    precision: Option<f64>,

    /// The measure that --precision is about [default: the first of the headline]
    #[arg(long, value_name = "MEASURE", value_parser = measure, requires = "precision")]
    on: Option<Measure>,

    /// Base seed: the same seed gives the same evenings
    #[arg(long, value_name = "SEED", default_value_t = 1)]
    seed: u64,

    /// Worker threads (0: one per core). Does not affect results
    #[arg(
        long, value_name = "N", default_value_t = 0,
        value_parser = clap::value_parser!(u64).range(0..=1024),
    )]
    threads: u64,

    #[command(flatten)]
    mattering: Mattering,

    #[command(flatten)]
    showing: Showing,
}

impl Compare {
    /// Load, play, write, print.
    pub fn run(self) -> Result<ExitCode, Failure> {
        let files: Vec<&Path> = std::iter::once(&self.base)
            .chain(&self.others)
            .map(PathBuf::as_path)
            .collect();
        if files
            .iter()
            .filter(|file| **file == Path::new(DASH))
            .count()
            > 1
        {
            let message = "- is given twice\nhelp: standard input can be read once; give the other scenario as a file";
            return Err(Failure::Usage(message.into()));
        }
        let scenarios: Vec<Loaded> = files
            .iter()
            .map(|file| load(file))
            .collect::<Result<_, _>>()?;
        if let Some(message) = same_name(&files, &scenarios) {
            return Err(Failure::Usage(message));
        }
        one_currency(&scenarios)?;
        let folder = OutputFolder::open(self.folder(&scenarios))?;
        let headline = self.headline();
        let plan = self.plan(&headline);
        let watch = Arc::new(Watch::default());
        stop_on_interrupt(&watch)?;
        let wording = Wording::shared(scenarios.iter().map(|loaded| &loaded.scenario));
        let shown = self.showing.shows_progress();
        let progress = Progress::start(shown, plan.stop.most(), &wording, &watch);
        let too_small = self.mattering.thresholds();
        let comparison = compare_with(&scenarios, &plan, (&headline, &too_small), &watch);
        progress.stop();
        let comparison = comparison?;
        if comparison.replications < 2 {
            complain(&format!("{}\n", wording.said(messages::COMPARED_NOTHING)));
            return Ok(ExitCode::from(INTERRUPTED));
        }
        let how = (plan.threads, self.showing.quiet);
        deliver(&comparison, &self.showing.handing(), &folder, how)?;
        Ok(if comparison.interrupted {
            ExitCode::from(INTERRUPTED)
        } else {
            ExitCode::SUCCESS
        })
    }

    /// The measures typed; one named twice is judged once.
    fn headline(&self) -> Vec<Measure> {
        let mut headline: Vec<Measure> = Vec::new();
        for measure in &self.headline {
            if !headline.contains(measure) {
                headline.push(*measure);
            }
        }
        headline
    }

    /// What was typed, as a plan.
    fn plan(&self, headline: &[Measure]) -> Plan {
        let on = self.on.or_else(|| headline.first().copied());
        let stop = match on.zip(self.precision) {
            Some((measure, relative)) => Stop::Precise {
                measure,
                relative,
                most: self.replications.unwrap_or(PRECISION_CAP),
            },
            None => Stop::After(self.replications.unwrap_or(DEFAULT_REPLICATIONS)),
        };
        Plan {
            seed: self.seed,
            stop,
            threads: self.threads as usize,
        }
    }

    /// `output/BASE-vs-OTHER`, `output/BASE-vs-ONE-and-TWO`.
    fn folder(&self, scenarios: &[Loaded]) -> PathBuf {
        let names: Vec<&str> = scenarios
            .iter()
            .map(|loaded| loaded.name.as_str())
            .collect();
        let others = match &names[1..] {
            few if few.len() <= NAMED => few.join("-and-"),
            many => format!("{}-and-{}-more", many[0], many.len() - 1),
        };
        let name = format!("{}-vs-{others}", names[0]);
        let out = self.showing.out.clone();
        out.unwrap_or_else(|| Path::new("output").join(name))
    }
}

/// Results go by the names of the files: two of one name cannot be compared.
fn same_name(files: &[&Path], scenarios: &[Loaded]) -> Option<String> {
    for (later, scenario) in scenarios.iter().enumerate() {
        let of_name = |earlier: &Loaded| earlier.name == scenario.name;
        let Some(earlier) = scenarios[..later].iter().position(of_name) else {
            continue;
        };
        let [first, second] = [files[earlier], files[later]].map(Path::display);
        return Some(if files[earlier] == files[later] {
            format!(
                "{first} is given twice\nhelp: a scenario does not differ from itself; give each file once"
            )
        } else {
            format!(
                "{first} and {second} are both called `{}`, and results go by the names of the \
                 files\nhelp: give one of them another name",
                scenario.name
            )
        });
    }
    None
}

/// What the columns mean, then the measures.
fn help() -> String {
    format!(
        "{COMPARED}\n\n{}\n{}\n{}",
        too_small_help(),
        measures_help(),
        exit_codes(&[0, 1, 2, 130])
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_headline_by_default_is_that_of_the_study() {
        let typed: Vec<Measure> = DEFAULT_HEADLINE
            .split(',')
            .map(|name| measure(name).unwrap())
            .collect();
        assert_eq!(typed, crate::study::compare::HEADLINE);
    }
}
