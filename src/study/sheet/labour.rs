//! People: the work of the peak by duty, who is there, and which duties bind.
//!
//! Duties are shared: one person racks and scrapes, another unloads and racks. Whether the crew can
//! carry the load is a flow problem (work of each duty to the people who hold it); by Hall's theorem
//! in its form for divisible work it can if and only if, for every set of duties, the work of the set
//! is no more than the hours of all who hold any of them. The set with the greatest ratio binds, and
//! with nine duties all 511 sets are simply tried. Conditions (`once_waiting`) and walking are
//! ignored; hours are those of the peak without breaks, times the pace. Work at machines with a crew of their own counts
//! apart: so do those who may do it.

use serde::Serialize;

use super::crews::{Part, parts};
use super::peak::Load;
use super::stages::on_the_way;
use super::stations::{Asked, utilisation};
use crate::room::Room;
use crate::room::crew::Operator;
use crate::scenario::model::Duty;
pub use crate::study::covered::DutyWork;

/// One operator in the peak.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OperatorHours {
    /// Name.
    pub name: String,
    /// Share of the peak at hand: there and not on a break.
    pub at_hand: f64,
    /// Hours of work they can do in it: at hand × pace.
    pub hours: f64,
}

/// The set of duties that binds.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DutySet {
    /// The duties.
    pub duties: Vec<Duty>,
    /// The same, each with the machines that it is done at, if not everywhere.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub at_machines: Vec<String>,
    /// Names of those who hold any of them and are there.
    pub operators: Vec<String>,
    /// Their work in an hour, h.
    pub people_needed: f64,
    /// Hours that all who hold any of them can work in it.
    pub people_there: f64,
    /// Needed over there; `None` if nobody is.
    pub utilisation: Option<f64>,
}

/// The crew against the peak.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Labour {
    /// By duty, in the order ware meets them.
    pub duties: Vec<DutyWork>,
    /// By operator, in roster order.
    pub operators: Vec<OperatorHours>,
    /// Work of all duties in an hour, h.
    pub people_needed: f64,
    /// Hours that all operators can work in it.
    pub people_there: f64,
    /// The set of duties with the highest work over the people who hold any of them.
    pub binds: Option<DutySet>,
}

impl DutySet {
    /// The names of its duties, as sentences give them.
    #[must_use]
    pub fn names(&self) -> Vec<&str> {
        if self.at_machines.is_empty() {
            return self.duties.iter().map(|duty| duty.name()).collect();
        }
        self.at_machines.iter().map(String::as_str).collect()
    }
}

impl Labour {
    /// In the stretch between two moments, s after the start.
    #[must_use]
    pub fn of(room: &Room, load: &Load, from_s: f64, to_s: f64) -> Self {
        let operators: Vec<OperatorHours> = room
            .crew
            .iter()
            .map(|operator| {
                let at_hand = at_hand_s(operator, from_s, to_s) / (to_s - from_s);
                OperatorHours {
                    name: operator.name.clone(),
                    at_hand,
                    hours: at_hand * operator.pace,
                }
            })
            .collect();
        let people_there = operators.iter().map(|operator| operator.hours).sum();
        let duties = duty_work(room, load, &operators);
        let needed: Vec<(Duty, f64)> = duties.iter().map(|d| (d.duty, d.people_needed)).collect();
        Self {
            people_needed: duties.iter().map(|duty| duty.people_needed).sum(),
            people_there,
            binds: binding_set(room, &parts(room, load, &needed), &operators),
            duties,
            operators,
        }
    }

    /// People on duty in the peak, on average, who hold a duty.
    #[must_use]
    pub fn on_duty(&self, room: &Room, duty: Duty) -> f64 {
        on_duty(room, &self.operators, duty)
    }
}

fn on_duty(room: &Room, operators: &[OperatorHours], duty: Duty) -> f64 {
    let crew = room.crew.iter().zip(operators);
    crew.filter(|(operator, _)| holds(operator, duty))
        .map(|(_, hours)| hours.at_hand)
        .sum()
}

/// Hours that all who hold any of some duties can work in a stretch, s after the start.
pub(super) fn can_do_h(room: &Room, duties: &[Duty], from_s: f64, to_s: f64) -> f64 {
    let may = |operator: &&Operator| duties.iter().any(|duty| holds(operator, *duty));
    let crew = room.crew.iter().filter(may);
    crew.fold(0.0, |sum, operator| {
        sum + at_hand_s(operator, from_s, to_s) * operator.pace / 3600.0
    })
}

fn holds(operator: &Operator, duty: Duty) -> bool {
    operator.duties.iter().any(|entry| entry.duty == duty)
}

fn duty_work(room: &Room, load: &Load, operators: &[OperatorHours]) -> Vec<DutyWork> {
    let mut rows: Vec<DutyWork> = on_the_way(room)
        .map(|(duty, work)| {
            let asked = Asked::of(room, load, work);
            DutyWork {
                duty,
                people_needed: asked.units * asked.each_s / 3600.0,
                share: 0.0,
                people_there: on_duty(room, operators, duty),
            }
        })
        .collect();
    let all: f64 = rows.iter().map(|row| row.people_needed).sum();
    if all > 0.0 {
        rows.iter_mut()
            .for_each(|row| row.share = row.people_needed / all);
    }
    rows
}

/// Seconds of a stretch that an operator is there and not on a break.
fn at_hand_s(operator: &Operator, from_s: f64, to_s: f64) -> f64 {
    let leaves_s = if operator.stays {
        f64::INFINITY
    } else {
        operator.to.s()
    };
    let (begins, ends) = (operator.from.s().max(from_s), leaves_s.min(to_s));
    let breaks = operator.breaks.iter();
    let off: f64 = breaks
        .map(|(at, length)| ((at.s() + length.s()).min(ends) - at.s().max(begins)).max(0.0))
        .sum();
    (ends - begins - off).max(0.0)
}

/// Of all sets of duties with work, the one with the highest work over hours; of equal ones the first
/// found, which has the fewest late duties. None without work or without a crew.
fn binding_set(room: &Room, needed: &[Part], operators: &[OperatorHours]) -> Option<DutySet> {
    if room.crew.is_empty() {
        return None;
    }
    let with_work: Vec<&Part> = needed.iter().filter(|part| part.hours > 0.0).collect();
    let mut best: Option<DutySet> = None;
    for bits in 1_u32..1 << with_work.len() {
        let chosen: Vec<&Part> = with_work
            .iter()
            .enumerate()
            .filter(|(index, _)| bits & (1 << index) != 0)
            .map(|(_, row)| *row)
            .collect();
        let set = duty_set(room, &chosen, operators);
        let is_worse =
            |known: &DutySet| rank(set.utilisation) > rank(known.utilisation) * (1.0 + 1e-9);
        if best.as_ref().is_none_or(is_worse) {
            best = Some(set);
        }
    }
    best
}

/// A utilisation to compare by: nobody there is the worst.
pub(super) fn rank(utilisation: Option<f64>) -> f64 {
    utilisation.unwrap_or(f64::INFINITY)
}

fn duty_set(room: &Room, chosen: &[&Part], operators: &[OperatorHours]) -> DutySet {
    let crew = room.crew.iter().zip(operators);
    let holders: Vec<&OperatorHours> = crew
        .filter(|(operator, hours)| {
            hours.hours > 0.0 && chosen.iter().any(|part| part.is_of(operator))
        })
        .map(|(_, hours)| hours)
        .collect();
    let people_needed = chosen.iter().map(|part| part.hours).sum();
    let mut duties: Vec<Duty> = chosen.iter().map(|part| part.duty).collect();
    duties.dedup();
    let is_divided = chosen.iter().any(|part| part.machines.is_some());
    let labels = chosen.iter().filter(|_| is_divided);
    let people_there = holders.iter().map(|operator| operator.hours).sum();
    DutySet {
        duties,
        at_machines: labels.map(|part| part.label(room)).collect(),
        operators: holders.iter().map(|o| o.name.clone()).collect(),
        people_needed,
        people_there,
        utilisation: utilisation(people_needed, people_there),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::load;

    /// A loader with soak, load and scrape, an unloader with unload, load and put-away.
    fn room() -> Room {
        let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
        let loaded = load(&file.join("tests/two-people.toml")).unwrap();
        Room::of(&loaded.scenario)
    }

    fn bound(loader: f64, unloader: f64, needed: &[(Duty, f64)]) -> DutySet {
        let room = room();
        let hours = room.crew.iter().zip([loader, unloader]);
        let operators: Vec<OperatorHours> = hours
            .map(|(operator, hours)| OperatorHours {
                name: operator.name.clone(),
                at_hand: hours,
                hours,
            })
            .collect();
        let part = |(duty, hours): &(Duty, f64)| Part {
            duty: *duty,
            hours: *hours,
            machines: None,
        };
        let needed: Vec<Part> = needed.iter().map(part).collect();
        binding_set(&room, &needed, &operators).unwrap()
    }

    #[test]
    fn one_duty_binds_its_only_holder() {
        let work = [(Duty::Scrape, 1.2), (Duty::Load, 0.3), (Duty::Unload, 0.3)];
        let set = bound(1.0, 1.0, &work);
        assert_eq!(set.duties, [Duty::Scrape]);
        assert_eq!(set.operators, ["loader"]);
        assert_eq!(set.utilisation, Some(1.2));
    }

    #[test]
    fn duties_that_share_people_bind_together() {
        // Each alone, and any two, fit: all three are 2.2 hours for the 2 there are.
        let work = [(Duty::Scrape, 0.8), (Duty::Load, 0.7), (Duty::Unload, 0.7)];
        let set = bound(1.0, 1.0, &work);
        assert_eq!(set.duties, [Duty::Scrape, Duty::Load, Duty::Unload]);
        assert!((set.utilisation.unwrap() - 1.1).abs() < 1e-12);
    }

    #[test]
    fn a_duty_that_nobody_there_holds_is_the_worst() {
        let work = [(Duty::Scrape, 1.9), (Duty::Unload, 0.1)];
        let set = bound(1.0, 0.0, &work);
        assert_eq!((set.duties, set.utilisation), (vec![Duty::Unload], None));
    }

    #[test]
    fn breaks_and_shifts_take_from_the_hours_of_the_peak() {
        let room = room();
        // The loader's break is 20:00 to 20:15; both stay after their shift.
        let at = |time_of_day_h: f64| time_of_day_h * 3600.0 - room.hours.start_s;
        let loader = |from: f64, to: f64| at_hand_s(&room.crew[0], at(from), at(to)) / 60.0;
        assert!((loader(19.5, 20.5) - 45.0).abs() < 1e-9);
        assert!((loader(20.125, 21.125) - 52.5).abs() < 1e-9);
        assert!((loader(16.0, 17.0) - 30.0).abs() < 1e-9);
        assert!((loader(23.0, 24.0) - 60.0).abs() < 1e-9);
    }
}
