//! Options that several commands share, as typed.

use std::io::IsTerminal;
use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum, ValueHint};

use super::{DASH, Failure};
use crate::report::out::OutputFolder;
use crate::report::output::{Handing, Printed};
use crate::report::pictures::Pictures;
use crate::report::units::Units;
use crate::report::width::Width;
use crate::service::measure::Measure;
use crate::study::design::wanted::amount_of;
use crate::study::design::{Study, read};
use crate::study::matters::{Threshold, TooSmall};
use crate::words::help;

/// Most replications of one run: what is kept of each must fit in memory.
pub const MAX_REPLICATIONS: u64 = 100_000;
/// Replications unless said otherwise.
pub const DEFAULT_REPLICATIONS: u64 = 1000;
/// The most of them with `--precision`, unless said otherwise.
pub const PRECISION_CAP: u64 = 20_000;

/// What a precision is about unless said otherwise.
const DEFAULT_MEASURE: Measure = Measure::WaitMean;

/// What `-n` says of itself, with both its defaults.
pub fn replications_help(what: &str) -> String {
    format!(
        "{what} [default: {DEFAULT_REPLICATIONS}]; with --precision, at most that many [default: {PRECISION_CAP}]"
    )
}

/// How many replications, and which random numbers.
#[derive(Debug, Args)]
pub struct Playing {
    #[arg(
        short = 'n', long, value_name = "N", help = replications_help("Replications to play"),
        value_parser = clap::value_parser!(u64).range(1..=MAX_REPLICATIONS),
    )]
    pub replications: Option<u64>,

    /// Play until the half-width of the 95 % interval is this share of the mean, such as 5%
    #[arg(long, value_name = "SHARE", value_parser = share)]
    pub precision: Option<f64>,

    /// The measure that --precision is about
    #[arg(long, value_name = "MEASURE", default_value = DEFAULT_MEASURE.info().name, value_parser = measure)]
    pub on: Measure,

    /// Play only this replication, counted from 0
    #[arg(long, value_name = "I", conflicts_with_all = ["replications", "precision"])]
    pub replication: Option<u64>,

    /// Base seed: the same seed gives the same evenings
    #[arg(long, value_name = "SEED", default_value_t = 1)]
    pub seed: u64,

    /// Worker threads (0: one per core). Does not affect results
    #[arg(
        long, value_name = "N", default_value_t = 0,
        value_parser = clap::value_parser!(u64).range(0..=1024),
    )]
    pub threads: u64,
}

/// Charts as typed.
#[derive(Debug, Args)]
pub struct Drawing {
    /// Formats of the charts
    #[cfg(feature = "charts")]
    #[arg(long, value_enum, value_name = "FORMAT", default_value_t = PictureFormat::Both)]
    pictures: PictureFormat,

    /// Formats of the charts: only none, as this program was built without them
    #[cfg(not(feature = "charts"))]
    #[arg(long, value_name = "FORMAT", default_value = "none", value_parser = no_format)]
    pictures: Pictures,
}

/// A format of charts as typed.
#[cfg(feature = "charts")]
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum PictureFormat {
    /// SVG only
    Svg,
    /// PNG only
    Png,
    /// Each chart as SVG and as PNG
    Both,
    /// No charts: only tables
    None,
}

#[cfg(feature = "charts")]
impl Drawing {
    /// The formats typed.
    pub const fn formats(&self) -> Pictures {
        match self.pictures {
            PictureFormat::Svg => Pictures::Svg,
            PictureFormat::Png => Pictures::Png,
            PictureFormat::Both => Pictures::Both,
            PictureFormat::None => Pictures::None,
        }
    }
}

#[cfg(not(feature = "charts"))]
impl Drawing {
    /// None.
    pub const fn formats(&self) -> Pictures {
        self.pictures
    }
}

/// What a program without charts takes for a format.
#[cfg(not(feature = "charts"))]
fn no_format(text: &str) -> Result<Pictures, &'static str> {
    let why =
        "this program was built without charts; write none, or build it with the feature `charts`";
    if text == "none" {
        Ok(Pictures::None)
    } else {
        Err(why)
    }
}

/// How results are shown.
#[derive(Debug, Args)]
pub struct Showing {
    /// Folder for the results [default: output/NAME]
    #[arg(long, value_name = "DIR", value_hint = ValueHint::DirPath)]
    pub out: Option<PathBuf>,

    /// Print one JSON document instead of the table, even with --quiet
    #[arg(long)]
    pub json: bool,

    /// Units of the table and the charts
    #[arg(long, value_enum, value_name = "UNITS", default_value_t = UnitSystem::Metric)]
    pub units: UnitSystem,

    #[command(flatten)]
    pub drawing: Drawing,

    /// Print only errors, and the document of --json
    #[arg(short, long)]
    pub quiet: bool,
}

/// As wide as the terminal that standard output is; without one, always the same.
pub fn width() -> Width {
    let size = terminal_size::terminal_size_of(std::io::stdout());
    size.map_or(Width::FIXED, |(columns, _)| {
        Width::of_terminal(columns.0.into())
    })
}

/// What goes to standard output.
pub fn printed(json: bool, quiet: bool) -> Printed {
    match (json, quiet) {
        (true, _) => Printed::Json,
        (false, false) => Printed::Table(width()),
        (false, true) => Printed::Nothing,
    }
}

impl Showing {
    /// What was typed, for a result.
    pub fn handing(&self) -> Handing {
        Handing {
            units: self.units.into(),
            pictures: self.drawing.formats(),
            printed: printed(self.json, self.quiet),
        }
    }

    /// Whether there is anybody to see how far a run is.
    pub fn shows_progress(&self) -> bool {
        !self.quiet && std::io::stderr().is_terminal()
    }
}

/// Units as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum UnitSystem {
    /// US customary
    Us,
    /// Metric
    Metric,
}

impl From<UnitSystem> for Units {
    fn from(system: UnitSystem) -> Self {
        match system {
            UnitSystem::Us => Self::Us,
            UnitSystem::Metric => Self::Metric,
        }
    }
}

/// `5%`, `5 %` or `0.05`, above 0 and up to 1.
pub fn share(text: &str) -> Result<f64, String> {
    let (number, factor) = match text.trim().strip_suffix('%') {
        Some(number) => (number, 0.01),
        None => (text, 1.0),
    };
    let value = number
        .trim()
        .parse::<f64>()
        .map_err(|_| "write a share such as 5% or 0.05")?;
    let share = value * factor;
    if share > 0.0 && share <= 1.0 {
        Ok(share)
    } else {
        Err("it must be above 0 % and up to 100 %".into())
    }
}

/// What matters, as typed.
#[derive(Debug, Args)]
pub struct Mattering {
    /// Up to where a difference in a measure is too small to matter, such as cost=5 or wait_mean_min="2 min"
    ///
    /// May be given once for each measure. A share of the base is written like cost=2%. Of a measure that is a share
    /// itself, 2% are two points. `compare --help` lists what is too small without it. What gains no more than that is
    /// not advised.
    #[arg(long, value_name = "MEASURE=VALUE", value_parser = too_small)]
    too_small: Vec<(Measure, Threshold)>,
}

impl Mattering {
    /// The thresholds of all measures; of one given twice the last.
    pub fn thresholds(&self) -> TooSmall {
        let mut all = TooSmall::default();
        for (measure, threshold) in &self.too_small {
            all.set(*measure, *threshold);
        }
        all
    }
}

/// A measure with its threshold.
fn too_small(text: &str) -> Result<(Measure, Threshold), String> {
    let (name, value) = text
        .split_once('=')
        .ok_or("write a measure and a value, such as cost=5")?;
    let measure = measure(name.trim())?;
    let info = measure.info();
    let value = value.trim();
    let percent = || value.strip_suffix('%')?.trim().parse::<f64>().ok();
    let threshold = match value.parse::<f64>().ok().or_else(|| amount_of(value, info)) {
        Some(amount) => Threshold::Amount(amount),
        None => percent()
            .map(|share| Threshold::OfBase(share / 100.0))
            .ok_or_else(|| {
                format!(
                    "`{value}` is no amount of `{}`; write a number{}, or a share of the base such as 2%",
                    info.name,
                    in_unit(info.unit)
                )
            })?,
    };
    let (Threshold::Amount(number) | Threshold::OfBase(number)) = threshold;
    if number.is_finite() && number >= 0.0 {
        Ok((measure, threshold))
    } else {
        Err("it must be 0 or more".into())
    }
}

/// Up to where differences are too small unless it is said, each amount with its measures.
pub fn too_small_help() -> String {
    let all = TooSmall::default();
    let mut rows: Vec<(String, Vec<&str>)> = Vec::new();
    for measure in Measure::ALL {
        let info = measure.info();
        let amount = match all.of(measure) {
            Threshold::OfBase(share) => help::of_base(100.0 * share),
            Threshold::Amount(amount) if info.unit == "1" => help::points(100.0 * amount),
            Threshold::Amount(amount) => format!("{amount} {}", info.unit),
        };
        match rows.iter_mut().find(|(known, _)| *known == amount) {
            Some((_, names)) => names.push(info.name),
            None => rows.push((amount, vec![info.name])),
        }
    }
    let lines = rows
        .iter()
        .map(|(amount, names)| format!("  {amount}: {}\n", names.join(", ")));
    format!("{}\n{}", help::TOO_SMALL, lines.collect::<String>())
}

/// Where the unit is none that a person writes, nothing.
fn in_unit(unit: &str) -> String {
    match unit {
        "1" => " such as 0.02 or 2%".to_owned(),
        "money" => String::new(),
        _ => format!(" in {unit}, such as \"2 {unit}\""),
    }
}

/// A measure by its name.
pub fn measure(text: &str) -> Result<Measure, String> {
    let all = Measure::ALL;
    if let Some(found) = all.into_iter().find(|measure| measure.info().name == text) {
        return Ok(found);
    }
    let distance = |measure: &Measure| strsim::damerau_levenshtein(measure.info().name, text);
    let nearest = all
        .into_iter()
        .min_by_key(distance)
        .map(|measure| measure.info().name);
    Err(format!(
        "no such measure; did you mean `{}`?",
        nearest.unwrap_or(DEFAULT_MEASURE.info().name)
    ))
}

/// What commands about studies share.
#[derive(Debug, Args)]
pub struct Studying {
    /// Base seed [default: the study's]
    #[arg(long, value_name = "SEED")]
    pub seed: Option<u64>,

    /// Worker threads (0: one per core). Does not affect results
    #[arg(
        long, value_name = "N", default_value_t = 0,
        value_parser = clap::value_parser!(u64).range(0..=1024),
    )]
    pub threads: u64,

    /// Folder for the results [default: output/NAME]
    #[arg(long, value_name = "DIR", value_hint = ValueHint::DirPath)]
    pub out: Option<PathBuf>,

    /// Print one JSON document instead of the table, even with --quiet
    #[arg(long)]
    pub json: bool,

    /// Units of table and charts; CSV and JSON keep those of the measures
    #[arg(long, value_enum, value_name = "UNITS", default_value_t = UnitSystem::Metric)]
    pub units: UnitSystem,

    /// Print only errors, and the document of --json
    #[arg(short, long)]
    pub quiet: bool,
}

impl Studying {
    /// What was typed, for a result with charts in these formats.
    pub fn handing(&self, pictures: Pictures) -> Handing {
        Handing {
            units: self.units.into(),
            pictures,
            printed: printed(self.json, self.quiet),
        }
    }

    /// The study of a file, with what was typed instead of its own.
    pub fn read(&self, file: &Path) -> Result<Study, Failure> {
        let study = if file == Path::new(DASH) {
            read::read_from(std::io::stdin().lock())
        } else {
            read::read(file)
        };
        let mut study = study.map_err(Failure::Mistakes)?;
        if let Some(seed) = self.seed {
            study.seed = seed;
        }
        Ok(study)
    }

    /// The folder for the results of a study.
    pub fn folder(&self, study: &Study) -> Result<OutputFolder, Failure> {
        let folder = self.out.clone();
        let folder = folder.unwrap_or_else(|| Path::new("output").join(&study.name));
        Ok(OutputFolder::open(folder)?)
    }
}

#[cfg(all(test, not(feature = "charts")))]
mod tests {
    use super::no_format;
    use crate::report::pictures::Pictures;

    #[test]
    fn a_program_without_charts_says_so() {
        assert_eq!(no_format("none"), Ok(Pictures::None));
        for format in ["svg", "png", "both", ""] {
            let why = no_format(format).unwrap_err();
            assert!(why.contains("built without charts"), "{why}");
        }
    }
}
