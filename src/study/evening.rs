//! What a study of one scenario knows in the end: everything `report` prints, and nothing else.

use super::covered::Cover;
use crate::scenario::Origins;
use crate::scenario::units::clock_text;
use crate::scenario::wording::Wording;
use crate::service::measure::MeasureInfo;
use crate::service::series::{SeriesInfo, SeriesKind};
use crate::words::findings::Said;

/// Many replications of one scenario, estimated.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Evening {
    /// File stem of the scenario; the folder name of its output.
    pub name: String,
    /// Title of the scenario.
    pub title: String,
    /// Digest of all that was read for it.
    pub digest: String,
    /// What it calls its service and its money.
    pub wording: Wording,
    /// Base seed.
    pub seed: u64,
    /// Replications finished.
    pub replications: u64,
    /// Replications wanted.
    pub wanted: u64,
    /// Whether it was interrupted: before `wanted`, or while advice was tried.
    pub interrupted: bool,
    /// Replications that reached the limit unfinished.
    pub unfinished: u64,
    /// What the clock of the charts needs.
    pub clock: Clock,
    /// People needed and there by the half hour, from means.
    pub cover: Cover,
    /// Measures of the evening, in the order of the table.
    pub measures: Vec<Estimate>,
    /// The same by ware, by operator, by station, by part of the cost.
    pub groups: Vec<Group>,
    /// One row for each finished replication, in order; columns as `measures`.
    pub rows: Vec<Row>,
    /// Series by minute.
    pub series: Vec<Band>,
    /// Findings, gravest first.
    pub findings: Vec<Finding>,
    /// How advice was tried; none if it was not asked for.
    pub trial: Option<Trial>,
    /// One plain sentence of what the evening looked like.
    pub sentence: String,
}

impl Evening {
    /// Whether there is a machine, and so water that scalds: one that says nothing of its water is a hot-water machine.
    #[must_use]
    pub fn has_machine(&self) -> bool {
        let mut series = self.series.iter();
        series.any(|band| band.info.kind == SeriesKind::MachinesRunning)
    }

    /// A measure by its name, such as `wait_p95_min`. [`MEASURES`](crate::service::measure::MEASURES) has all of them.
    #[must_use]
    pub fn measure(&self, name: &str) -> Option<&Estimate> {
        named(&self.measures, name)
    }

    /// A ware, an operator, a station or a part of the cost by its name.
    #[must_use]
    pub fn group(&self, kind: GroupKind, name: &str) -> Option<&Group> {
        let is_it = |group: &&Group| group.kind == kind && group.name == name;
        self.groups.iter().find(is_it)
    }
}

impl Group {
    /// One of its measures by name.
    #[must_use]
    pub fn measure(&self, name: &str) -> Option<&Estimate> {
        named(&self.measures, name)
    }
}

fn named<'e>(measures: &'e [Estimate], name: &str) -> Option<&'e Estimate> {
    measures.iter().find(|measure| measure.info.name == name)
}

/// Times of the evening, in seconds after midnight of the opening day.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Clock {
    /// Time of day of minute 0 of the series, s.
    pub start_s: f64,
    /// Opening, s.
    pub opens_s: f64,
    /// Closing, s.
    pub closes_s: f64,
    /// Busiest 60 minutes of expected soiled ware: from, s.
    pub peak_from_s: f64,
    /// To, s.
    pub peak_to_s: f64,
    /// Where the charts end, s: 99 evenings in 100 were over by then. The series go on to the last.
    pub shown_to_s: f64,
}

impl Clock {
    /// The time of day, s, that a measure in minutes is counted from; none of other measures.
    #[must_use]
    pub fn counted_from(&self, info: &MeasureInfo) -> Option<f64> {
        match info.name {
            name if name.ends_with("_after_close") => Some(self.closes_s),
            name if name.ends_with("_after_open") => Some(self.opens_s),
            _ => None,
        }
    }

    /// A time of day so long after closing, to the minute.
    #[must_use]
    pub fn after_close(&self, minutes: f64) -> String {
        to_the_minute(self.closes_s + 60.0 * minutes)
    }

    /// The same after opening.
    #[must_use]
    pub fn after_open(&self, minutes: f64) -> String {
        to_the_minute(self.opens_s + 60.0 * minutes)
    }
}

fn to_the_minute(time_s: f64) -> String {
    clock_text(60.0 * libm::round(time_s / 60.0))
}

/// A quantile over replications, with an order-statistic interval where one exists.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[non_exhaustive]
pub struct Quantile {
    /// The sample quantile.
    pub value: Option<f64>,
    /// Lower end of the 95 % interval.
    pub low: Option<f64>,
    /// Upper end.
    pub high: Option<f64>,
}

/// A measure over replications. `None` where it does not exist.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Estimate {
    /// Name, unit, meaning.
    pub info: &'static MeasureInfo,
    /// Replications that had a value.
    pub n: u64,
    /// Mean.
    pub mean: Option<f64>,
    /// Half-width of the 95 % Student interval of the mean.
    pub half_width: Option<f64>,
    /// Standard deviation between replications.
    pub sd: Option<f64>,
    /// 10th percentile.
    pub p10: Quantile,
    /// Median.
    pub p50: Quantile,
    /// 90th percentile.
    pub p90: Quantile,
}

/// What a group is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum GroupKind {
    /// A kind of ware.
    Ware,
    /// An operator.
    Operator,
    /// A station.
    Station,
    /// A part of the cost.
    Cost,
}

/// Measures of one ware, operator, station or part of the cost.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Group {
    /// What it is of.
    pub kind: GroupKind,
    /// Its name: `plate`, `loader`, `dishwasher 2`, `scrape`.
    pub name: String,
    /// Its measures.
    pub measures: Vec<Estimate>,
}

/// One replication.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Row {
    /// Its number, from 0: `--replication` plays it again.
    pub replication: u64,
    /// Values, columns as [`Evening::measures`].
    pub values: Vec<Option<f64>>,
    /// Whether it ended by itself rather than at the limit.
    pub finished: bool,
}

/// A series over replications, an element per minute; `None` where fewer than one replication in ten had
/// a value.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Band {
    /// Name and unit.
    pub info: SeriesInfo,
    /// Mean.
    pub mean: Vec<Option<f64>>,
    /// 10th percentile.
    pub p10: Vec<Option<f64>>,
    /// Median.
    pub p50: Vec<Option<f64>>,
    /// 90th percentile.
    pub p90: Vec<Option<f64>>,
}

/// How grave a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[non_exhaustive]
pub enum Severity {
    /// Something is wrong with the evening.
    Problem,
    /// Something is near a limit.
    Warning,
    /// Worth knowing.
    Note,
}

/// Something worth saying: a value, the same in the table, the JSON and the page.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Finding {
    /// Stable code, for example `binds` or `ware-short`.
    pub code: &'static str,
    /// How grave.
    pub severity: Severity,
    /// What was seen, with figures.
    pub evidence: String,
    /// What one might do: if changes were tried, the one that helps, or that none does.
    pub advice: String,
    /// The ware, station, operator or machine that it is of; none if it is of the whole evening.
    pub of: Option<String>,
    /// The value of the scenario that it is about, until its line stands in the evidence; none if it is about no single
    /// one.
    pub(crate) path: Option<String>,
    /// Changes that were tried against it, the one that is advised first.
    pub tried: Vec<Tried>,
}

/// A change of the scenario that was tried against a finding, on evenings that the scenario itself was played on.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Tried {
    /// What was changed, in words.
    pub change: String,
    /// The same as the text of a scenario based on this one: save it beside its file.
    pub variant: String,
    /// Of how many changes it is made: 2 where one alone did not do.
    pub parts: u8,
    /// What came of it.
    pub fate: Fate,
    /// Evenings that the effects are of; 0 if it was not played.
    pub evenings: u64,
    /// Two-sided p-value of no change in what the finding is about, adjusted for all that was tried (Holm). Only if it
    /// was estimated on evenings that did not choose it.
    pub p_value: Option<f64>,
    /// What it changes in that which the finding is about, then in the measures of the evening.
    pub effects: Vec<Effect>,
}

/// What came of a change that was tried.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Fate {
    /// It helps, on evenings that did not choose it.
    Advised,
    /// It helps too, on evenings that did not choose it, but less than the one advised or at a higher cost.
    Less,
    /// It helps, and takes a larger share of labour than it takes off the trouble.
    TooDear,
    /// It seemed to help, on too few evenings to be sure.
    Unsure,
    /// The trouble struck on too few evenings to be sure, or to try anything.
    TooRare,
    /// It helps, by too little to matter.
    TooLittle,
    /// It does not help beyond chance.
    InVain,
    /// It seems to do harm: colder racks, dirtier ware, longer waits, more covers short, evenings that do not end, or
    /// what another finding is about made worse. For safe ware a wait is no harm, and beside evenings that were cut off
    /// only less safe ware is.
    Harms,
    /// It was not played: the checks of the changed scenario find fault with it that they do not find with this one.
    BreaksGuide,
}

impl Fate {
    /// The word of every output.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Advised => "advised",
            Self::Less => "may-help",
            Self::TooDear => "too-dear",
            Self::Unsure => "unsure",
            Self::TooRare => "too-rare",
            Self::TooLittle => "too-little",
            Self::InVain => "in-vain",
            Self::Harms => "does-harm",
            Self::BreaksGuide => "breaks-guide",
        }
    }
}

/// What a change does to a measure: with the change less without, evening by evening.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Effect {
    /// The measure.
    pub info: &'static MeasureInfo,
    /// The ware, station or operator that it is of; none if it is of the whole evening.
    pub of: Option<String>,
    /// Evenings with a value in both.
    pub n: u64,
    /// Mean without the change, over these evenings.
    pub without: f64,
    /// Mean difference.
    pub difference: f64,
    /// Half-width of its 95 % interval.
    pub half_width: Option<f64>,
}

impl Effect {
    /// Its name in JSON: that of the measure, with what it is of before it.
    #[must_use]
    pub fn name(&self) -> String {
        match &self.of {
            Some(of) => format!("{of}: {}", self.info.name),
            None => self.info.name.to_owned(),
        }
    }
}

/// How advice was tried.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[non_exhaustive]
pub struct Trial {
    /// Changes played, all findings together.
    pub changes: u64,
    /// Evenings played for it, all changes together: at most as many as the run itself has.
    pub evenings: u64,
    /// Evenings on which each change was looked at first.
    pub screened: u64,
    /// Evenings on which those that seemed to help were then estimated.
    pub estimated: u64,
    /// Evenings of both looks that were picked because a rare trouble struck on them. They count for their share of the
    /// run.
    pub picked: u64,
    /// Whether the run had too few evenings to try anything.
    pub too_few: bool,
}

impl Finding {
    /// With the words of its scenario in place of marks.
    pub(super) fn say(&mut self, wording: &Wording) {
        wording.say(&mut self.evidence);
        wording.say(&mut self.advice);
        for tried in &mut self.tried {
            wording.say(&mut tried.change);
        }
    }

    /// With the name of what it is of.
    pub(super) fn of(mut self, name: &str) -> Self {
        self.of = Some(name.to_owned());
        self
    }

    /// Of a value of the scenario, by its path: the line is looked up by [`Self::locate`].
    pub(super) fn at(mut self, path: String) -> Self {
        self.path = Some(path);
        self
    }

    /// Adds file and line of the value that it is about; of one that was left out, those of its row.
    pub(crate) fn locate(&mut self, origins: &Origins) {
        let Some(path) = self.path.take() else {
            return;
        };
        let row = path.rfind(']').map(|end| &path[..=end]);
        let Some((file, line)) = origins.line(&path).or_else(|| origins.line(row?)) else {
            return;
        };
        let name = file.file_name().unwrap_or(file.as_os_str());
        self.evidence += &format!(" ({}:{line})", name.to_string_lossy());
    }

    /// Of these words.
    pub(super) fn new(code: &'static str, severity: Severity, said: Said) -> Self {
        Self {
            code,
            severity,
            evidence: said.evidence,
            advice: said.advice,
            of: None,
            path: None,
            tried: Vec::new(),
        }
    }
}
