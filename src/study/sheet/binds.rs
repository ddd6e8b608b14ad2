//! What binds first in the peak, and what it leaves behind.

use serde::Serialize;

use super::arrivals::Arrivals;
use super::cover::Left;
use super::labour::{DutySet, Labour, rank};
use super::stations::{Station, Thing};
use crate::scenario::model::Duty;
use crate::words::sentences::binds::{self as words, Capacity};

/// The fullest of everything on the sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Binds {
    /// Name of the station, or of the duties with `+` between.
    pub name: String,
    /// The duties it is about; empty for machines, landings, sinks and racks.
    pub duties: Vec<Duty>,
    /// Whether it is people rather than a place or a thing.
    pub people: bool,
    /// Wanted over capacity; `None` if there is no capacity at all.
    pub utilisation: Option<f64>,
    /// Units wanted per hour that it cannot do, 0 or more.
    pub short_per_hour: f64,
    /// Of which units.
    pub unit: &'static str,
    /// Pieces that wait for it when the peak ends, at a capacity that stays as it is in the peak.
    pub backlog_pieces: Option<Backlog>,
    /// All of it in one plain sentence.
    pub sentence: String,
}

/// A fluid backlog: what comes minus what can be done, never below 0, minute by minute.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Backlog {
    /// At the end of the peak, pieces.
    pub at_end_of_peak: f64,
    /// Most, pieces.
    pub most: f64,
    /// Time of day of the most, s.
    pub most_at_s: f64,
    /// Time of day when it is gone, s.
    pub gone_at_s: f64,
    /// How long what comes in the evening waits for it, on average, s.
    pub wait_s: f64,
}

/// Of places and things the fullest; of people the fullest set of duties; of the two the fuller.
#[must_use]
pub(super) fn binds(stations: &[Station], labour: &Labour) -> Option<Binds> {
    let mut fullest: Option<&Station> = None;
    for station in stations.iter().filter(|row| row.units_per_hour > 0.0) {
        let is_fuller =
            |known: &&Station| rank(station.utilisation) > rank(known.utilisation) * (1.0 + 1e-9);
        if fullest.as_ref().is_none_or(is_fuller) {
            fullest = Some(station);
        }
    }
    match (fullest, &labour.binds) {
        (Some(station), Some(set))
            if rank(set.utilisation) > rank(station.utilisation) * (1.0 + 1e-9) =>
        {
            Some(by_people(set))
        }
        (Some(station), _) => Some(by_station(station)),
        (None, set) => set.as_ref().map(by_people),
    }
}

fn by_station(station: &Station) -> Binds {
    let over = station.units_per_hour - station.capacity_per_hour;
    Binds {
        name: station.name.clone(),
        duties: station.duty.into_iter().collect(),
        people: false,
        utilisation: station.utilisation,
        short_per_hour: over.max(0.0),
        unit: station.unit,
        backlog_pieces: None,
        sentence: station_sentence(station),
    }
}

fn by_people(set: &DutySet) -> Binds {
    let names = set.names();
    Binds {
        name: names.join(" + "),
        duties: set.duties.clone(),
        people: true,
        utilisation: set.utilisation,
        short_per_hour: (set.people_needed - set.people_there).max(0.0),
        unit: words::HOURS,
        backlog_pieces: None,
        sentence: people_sentence(set, &names),
    }
}

fn station_sentence(station: &Station) -> String {
    let capacity = match station.thing {
        Thing::Places => Capacity::Places,
        Thing::Sinks => Capacity::Sinks,
        Thing::Lying => Capacity::Lying,
        Thing::Machines => Capacity::Machines,
        Thing::Landing => Capacity::Landing,
        Thing::Racks => Capacity::Racks,
    };
    words::by_station(
        &station.name,
        station.unit,
        [station.units_per_hour, station.capacity_per_hour],
        capacity(station.places),
        station.utilisation,
    )
}

fn people_sentence(set: &DutySet, duties: &[&str]) -> String {
    let operators: Vec<&str> = set.operators.iter().map(String::as_str).collect();
    let people = [set.people_needed, set.people_there];
    words::by_people(duties, &operators, people, set.utilisation)
}

impl Backlog {
    /// Of hours of work left over by minute, each of so many pieces; `None` if there is never any.
    #[must_use]
    pub fn of_work(
        left: &Left,
        pieces_per_h: f64,
        start_s: f64,
        end_of_peak: usize,
    ) -> Option<Self> {
        let left_h = &left.hours;
        let at_s = |minute: usize| start_s + (minute + 1) as f64 * 60.0;
        let last = left_h.iter().rposition(|left| *left > 0.0)?;
        let most = left_h.iter().copied().fold(0.0, f64::max);
        let most_at = left_h.iter().position(|left| *left >= most).unwrap_or(last);
        let at_end = end_of_peak
            .checked_sub(1)
            .and_then(|minute| left_h.get(minute));
        Some(Self {
            at_end_of_peak: at_end.copied().unwrap_or(0.0) * pieces_per_h,
            most: most * pieces_per_h,
            most_at_s: at_s(most_at),
            gone_at_s: at_s(last + 1),
            wait_s: left.wait_s,
        })
    }

    /// With a capacity in pieces per hour, above 0; `None` if it never holds anything up.
    #[must_use]
    pub fn of(
        arrivals: &Arrivals,
        capacity: f64,
        start_s: f64,
        end_of_peak: usize,
    ) -> Option<Self> {
        let a_minute = capacity / 60.0;
        let (mut waiting, mut come) = (0.0, 0.0);
        let mut found = Self {
            at_end_of_peak: 0.0,
            most: 0.0,
            most_at_s: start_s,
            gone_at_s: start_s,
            wait_s: 0.0,
        };
        for (minute, pieces) in arrivals.total().iter().enumerate() {
            waiting = f64::max(waiting + pieces - a_minute, 0.0);
            come += pieces;
            found.wait_s += pieces * waiting / a_minute * 60.0;
            let now_s = start_s + (minute + 1) as f64 * 60.0;
            if waiting > found.most + 1e-9 {
                (found.most, found.most_at_s) = (waiting, now_s);
            }
            if minute + 1 == end_of_peak {
                found.at_end_of_peak = waiting;
            }
            if waiting > 0.0 {
                found.gone_at_s = now_s;
            }
        }
        if come > 0.0 {
            found.wait_s /= come;
        }
        found.gone_at_s += waiting / a_minute * 60.0;
        (found.most > 0.0).then_some(found)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::sheet::arrivals::Pulse;

    #[test]
    fn a_fluid_backlog_worked_by_hand() {
        // 240 an hour for 1.5 h against 151.2, then 60 an hour: 133.2 behind, gone 87.63 min later.
        let pulse = |from_min: f64, to_min: f64, pieces| Pulse {
            ware: 0,
            soil: 0,
            from_s: from_min * 60.0,
            to_s: to_min * 60.0,
            pieces,
            lots: 1.0,
            gap_s: 0.0,
            out_s: None,
            soiled_s: 0.0,
        };
        let arrivals = Arrivals::of(&[pulse(0.0, 90.0, 360.0), pulse(90.0, 390.0, 300.0)]);
        let backlog = Backlog::of(&arrivals, 151.2, 0.0, 90).unwrap();
        assert!((backlog.at_end_of_peak - 133.2).abs() < 1e-9);
        assert!((backlog.most - 133.2).abs() < 1e-9);
        // Counted by whole minutes: the last of it goes within the 88th.
        assert!((backlog.gone_at_s / 60.0 - 90.0 - 87.63).abs() < 1.0);
    }
}
