//! What held up the line over the evenings played: the station, and what work there waited for.
//!
//! A station where work waits for many minutes, each piece for a moment, holds nobody up; nor does one
//! where something once waited long. So stations and reasons are ranked by the minutes in which work
//! waited for that reason times the mean wait of what waited there. Nothing binds if at the first of
//! them that wait is under [`MIN_WAIT_MIN`], or the minutes are under [`MIN_SHARE`] of the opening
//! hours. Clean ware that waits to be carried counts only where guests go short. Want of room at the
//! benches and the soak is not theirs: the racking table behind them is full because of the loading.
//!
//! The thresholds are ours (common practice, no source). The wait holds what waits for a fuller load,
//! too, so a soak may look worse than it is.

use super::evening::{Evening, Finding, Group, GroupKind, Severity};
use crate::scenario::model::Duty;
use crate::service::measure::{Measure, StationMeasure};
use crate::service::obstacle::Obstacle;
use crate::service::stations;
use crate::service::work::{Comes, Full};
use crate::words::findings::evening::{SpareHands, binds};

/// A shorter mean wait at a station holds nobody up, min.
pub const MIN_WAIT_MIN: f64 = 2.0;
/// Nor does a wait in fewer of the minutes from opening to closing.
pub const MIN_SHARE: f64 = 0.05;
/// Covers short, of all covers, from which putting away counts.
const SHORT_SHARE: f64 = 0.01;
/// Mean wait that is worth a warning, min.
const WARNING_WAIT_MIN: f64 = 5.0;

/// What binds.
#[derive(Debug, Clone, PartialEq)]
pub struct Binding {
    /// The duty of the station.
    pub duty: Duty,
    /// What its work waits for.
    pub obstacle: Obstacle,
    /// Minutes of the evening in which work waits there for that.
    pub minutes: f64,
    /// Mean wait of what waits there, min.
    pub wait_min: f64,
}

/// What held up the line, if anything did.
#[must_use]
pub fn binding(evening: &Evening) -> Option<Binding> {
    let mean = |measure: Measure| evening.measures[measure as usize].mean.unwrap_or(0.0);
    let is_short = mean(Measure::ShortCovers) > SHORT_SHARE * mean(Measure::Covers);
    let groups = evening.groups.iter();
    let stations = groups
        .filter(|group| group.kind == GroupKind::Station)
        .filter_map(|group| Some((duty_of(group)?, group)))
        .filter(|(duty, _)| is_short || !matches!(stations::work(*duty).comes, Comes::Clean));
    let mut worst: Option<Binding> = None;
    for binding in stations.flat_map(|(duty, group)| reasons(duty, group)) {
        if worst
            .as_ref()
            .is_none_or(|known| binding.score() > known.score())
        {
            worst = Some(binding);
        }
    }
    let hours_min = (evening.clock.closes_s - evening.clock.opens_s) / 60.0;
    worst.filter(|worst| {
        worst.wait_min >= MIN_WAIT_MIN && worst.minutes >= (MIN_SHARE * hours_min).max(1.0)
    })
}

fn duty_of(group: &Group) -> Option<Duty> {
    let mut duties = Duty::ALL.into_iter();
    duties.find(|duty| duty.name() == group.name)
}

/// Every reason for which work may wait at a station.
fn reasons(duty: Duty, station: &Group) -> impl Iterator<Item = Binding> + '_ {
    let mean = |measure: StationMeasure| station.measures[measure as usize].mean.unwrap_or(0.0);
    let work = stations::work(duty);
    let before_the_table = matches!(
        (work.comes, work.full),
        (Comes::Soiled | Comes::ToSoak, Full::Pieces(_))
    );
    let own = Obstacle::ALL
        .into_iter()
        .filter(move |obstacle| !(before_the_table && *obstacle == Obstacle::Room));
    own.map(move |obstacle| Binding {
        duty,
        obstacle,
        minutes: mean(measure_of(obstacle)),
        wait_min: mean(StationMeasure::QueueWaitMean),
    })
}

const fn measure_of(obstacle: Obstacle) -> StationMeasure {
    match obstacle {
        Obstacle::Person => StationMeasure::NoPerson,
        Obstacle::Place => StationMeasure::NoPlace,
        Obstacle::Rack => StationMeasure::NoRack,
        Obstacle::Room => StationMeasure::NoRoom,
    }
}

impl Binding {
    fn score(&self) -> f64 {
        self.minutes * self.wait_min
    }

    /// As a finding, with those who have time and not the duty, and their share of busy time.
    #[must_use]
    pub fn finding(&self, idle: &[SpareHands<'_>]) -> Finding {
        let severity = if self.wait_min >= WARNING_WAIT_MIN {
            Severity::Warning
        } else {
            Severity::Note
        };
        let of = (self.duty, self.obstacle);
        let said = binds(of, self.minutes, self.wait_min, idle);
        Finding::new("binds", severity, said).of(self.duty.name())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::examples;

    /// Stations with minutes for lack of a person and a mean wait; covers short of 800.
    fn evening(stations: &[(&str, f64, f64)], short: f64) -> Evening {
        let mut evening = examples::friday();
        evening.measures[Measure::ShortCovers as usize].mean = Some(short);
        evening.groups = stations
            .iter()
            .map(|(name, minutes, wait)| Group {
                kind: GroupKind::Station,
                name: (*name).to_owned(),
                measures: StationMeasure::ALL
                    .map(|measure| {
                        let mean = match measure {
                            StationMeasure::NoRoom if *name == "soak" => 300.0,
                            StationMeasure::NoPerson => *minutes,
                            StationMeasure::QueueWaitMean => *wait,
                            _ => 0.0,
                        };
                        examples::estimate(measure.info(), 200, mean, 1.0)
                    })
                    .to_vec(),
            })
            .collect();
        evening
    }

    fn station(stations: &[(&str, f64, f64)], short: f64) -> Option<&'static str> {
        binding(&evening(stations, short)).map(|binding| binding.duty.name())
    }

    #[test]
    fn a_long_wait_counts_for_more_than_many_minutes() {
        let stations = [("scrape", 60.0, 0.5), ("load", 40.0, 9.0)];
        assert_eq!(station(&stations, 0.0), Some("load"));
        let found = binding(&evening(&stations, 0.0)).unwrap();
        assert_eq!((found.minutes, found.wait_min), (40.0, 9.0));
        assert_eq!(found.obstacle, Obstacle::Person);
    }

    #[test]
    fn short_waits_and_few_minutes_bind_nothing() {
        assert_eq!(station(&[("scrape", 300.0, 1.9)], 0.0), None);
        // Six hours: 5 % are 18 min.
        assert_eq!(station(&[("scrape", 17.0, 30.0)], 0.0), None);
        assert!(station(&[("scrape", 18.0, 30.0)], 0.0).is_some());
        assert_eq!(station(&[], 0.0), None);
    }

    #[test]
    fn a_full_racking_table_is_the_loading_s_doing() {
        let stations = [("soak", 10.0, 13.0), ("load", 120.0, 3.5)];
        assert_eq!(station(&stations, 0.0), Some("load"));
    }

    #[test]
    fn putting_away_binds_only_where_guests_go_short() {
        let stations = [("put-away", 200.0, 9.0)];
        assert_eq!(station(&stations, 2.0), None);
        assert_eq!(station(&stations, 20.0), Some("put-away"));
    }
}
