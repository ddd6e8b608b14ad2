//! The few changes that could help against a finding. Pure: a scenario and what was seen of it go in, changes come out.
//! Whether they help is not asked here; whether they can be read and break no guide neither.

use super::aim::Aim;
use super::change::{Change, Kind, quoted};
use super::crew::Crew;
use super::things::Things;
use crate::room::Room;
use crate::scenario::Loaded;
use crate::scenario::model::{Duty, SoakPolicy};
use crate::service::measure::{Measure, StationMeasure};
use crate::service::obstacle::Obstacle;
use crate::study::binding::Binding;
use crate::study::evening::{Evening, GroupKind};
use crate::words::advice as words;

/// A crew that is less busy than this has hands to spare.
const IDLE_CREW: f64 = 0.6;
/// Ware that comes so long after closing keeps the crew, min, however few they are.
const LATE_WARE_MIN: f64 = 15.0;

/// What candidates are made from.
pub(super) struct Maker<'a> {
    /// The scenario.
    pub loaded: &'a Loaded,
    /// Its room.
    pub room: &'a Room,
    /// What was seen.
    pub evening: &'a Evening,
    /// What held up the line, if anything did.
    pub binding: Option<&'a Binding>,
}

impl Maker<'_> {
    /// The changes that could help, most likely ones first.
    pub fn changes(&self, aim: &Aim) -> Vec<Change> {
        let (crew, things) = (self.crew(), self.things());
        let duty = aim.duty.or_else(|| self.lacking());
        let mut all = match aim.code {
            "binds" => self.against_an_obstacle(aim, duty),
            "ware-short" | "ware-near-limit" => self.for_ware(aim, duty),
            "overtime" => self.against_overtime(duty),
            "rules-broken" => {
                let mut all = crew.rest(aim_operator(self.evening, aim));
                all.extend(self.against_overtime(duty));
                all
            }
            "machine-stopped" => {
                let mut all = crew.hands(Duty::Unload);
                all.extend(things.place(Duty::Unload));
                all.extend(things.landings());
                all.extend(things.dollies());
                all
            }
            "racks-in-store" => things.racks(),
            "final-rinse-cold" => things.heat(true),
            "machine-held" | "wash-cold" => things.heat(false),
            "water-old" => {
                let mut all = things.change_water();
                all.extend(crew.give(Duty::Tend));
                all.extend(crew.move_up(Duty::Tend));
                all
            }
            "opened-unready" => {
                let late = self.mean(Measure::MachineReady).unwrap_or(0.0);
                let mut all = crew.earlier(Duty::SetUp, late);
                all.extend(crew.give(Duty::SetUp));
                all
            }
            "faults" | "nobody-to-tend" => {
                let mut all = crew.give(Duty::Tend);
                all.extend(crew.move_up(Duty::Tend));
                all
            }
            "stretched" => {
                let mut all = crew.relieve(aim_operator(self.evening, aim));
                all.extend(crew.share());
                all
            }
            // What waits too long, wherever: dried on, on the floor, in hands, unfinished.
            _ => {
                let mut all = match (aim.code, duty) {
                    ("unfinished", Some(duty)) => crew.stays(duty),
                    _ => Vec::new(),
                };
                all.extend(self.for_the_line(duty));
                all.extend(match aim.code {
                    "dried-on" => self.soak_dried(),
                    "no-tub" => things.tubs(),
                    _ => things.drop_off(),
                });
                all.extend(things.faster());
                all
            }
        };
        all.retain(|change| !change.is_empty());
        all
    }

    fn crew(&self) -> Crew<'_> {
        Crew {
            loaded: self.loaded,
            evening: self.evening,
        }
    }

    fn things(&self) -> Things<'_> {
        Things {
            loaded: self.loaded,
        }
    }

    fn mean(&self, measure: Measure) -> Option<f64> {
        self.evening.measures[measure as usize].mean
    }

    /// The duty that work waited for most for want of somebody to do it.
    fn lacking(&self) -> Option<Duty> {
        let named = |name: &str| {
            Duty::OF_WARE
                .iter()
                .copied()
                .find(|duty| duty.name() == name)
        };
        if let Some(binding) = self.binding {
            return Some(binding.duty);
        }
        let stations = self.evening.groups.iter();
        let stations = stations.filter(|group| group.kind == GroupKind::Station);
        let waits = stations.filter_map(|group| {
            let mean = |m: StationMeasure| group.measures[m as usize].mean.unwrap_or(0.0);
            let minutes = mean(StationMeasure::NoPerson) * mean(StationMeasure::QueueWaitMean);
            Some((named(&group.name)?, minutes))
        });
        let most = waits.max_by(|a, b| a.1.total_cmp(&b.1));
        most.filter(|(_, minutes)| *minutes > 0.0)
            .map(|(duty, _)| duty)
    }

    /// Hands, places and the order of duties, for work that waits too long at a station.
    fn for_the_line(&self, duty: Option<Duty>) -> Vec<Change> {
        let (crew, things) = (self.crew(), self.things());
        let Some(duty) = duty else {
            return crew.share();
        };
        let mut all = crew.give(duty);
        all.extend(crew.everywhere(duty));
        all.extend(crew.share());
        all.extend(crew.move_up(duty));
        all.extend(crew.hands(duty));
        all.extend(things.place(duty));
        all
    }

    fn against_an_obstacle(&self, aim: &Aim, duty: Option<Duty>) -> Vec<Change> {
        let things = self.things();
        let mut all = match aim.obstacle {
            Some(Obstacle::Rack) => things.racks(),
            Some(Obstacle::Room) if duty == Some(Duty::WashPots) => things.pot_sink(),
            Some(Obstacle::Room) => {
                let mut all = things.lanes();
                all.extend(things.drop_off());
                all.extend(things.table());
                all.extend(things.faster());
                all
            }
            Some(Obstacle::Place) => {
                let mut all = things.faster();
                all.extend(duty.map(|duty| things.place(duty)).unwrap_or_default());
                all
            }
            Some(Obstacle::Person) | None => Vec::new(),
        };
        all.extend(self.for_the_line(duty));
        all
    }

    /// Ware that runs out: more of it, or what lies soiled or clean elsewhere brought back sooner.
    fn for_ware(&self, aim: &Aim, duty: Option<Duty>) -> Vec<Change> {
        let (crew, things) = (self.crew(), self.things());
        let mut all = crew.run_short();
        all.extend(crew.give(Duty::PutAway));
        all.extend(crew.move_up(Duty::PutAway));
        all.extend(things.carry_sooner());
        all.extend(aim.ware.map(|ware| self.own_more(ware)));
        all.extend(self.for_the_line(duty));
        all
    }

    fn own_more(&self, ware: usize) -> Change {
        let ware = &self.room.wares[ware];
        let owned = ware.owned.unwrap_or(0);
        let more = (owned + owned / 5 + 1).div_ceil(10) * 10;
        let words = words::own(&ware.name, more, owned);
        Change::new(Kind::Thing, words).row("ware", &ware.name, "owned", more.to_string())
    }

    /// A backlog asks for hands while it grows; late guests, or idle hands, for fewer who stay.
    fn against_overtime(&self, duty: Option<Duty>) -> Vec<Change> {
        let crew = self.crew();
        let busy = self.mean(Measure::CrewBusyShare).unwrap_or(1.0);
        let is_late = self
            .mean(Measure::LastWareAfterClose)
            .is_some_and(|min| min > LATE_WARE_MIN);
        let mut all = crew.share();
        all.extend(crew.goes_home());
        if is_late {
            all.extend(crew.later());
        }
        if busy < IDLE_CREW {
            all.extend(crew.fewer());
        }
        all.extend(self.for_the_line(duty));
        all
    }

    fn soak_dried(&self) -> Vec<Change> {
        if self.loaded.scenario.soak.is_none() {
            return Vec::new();
        }
        let wares = self.loaded.scenario.ware.iter();
        let never = wares.filter(|ware| ware.soak == SoakPolicy::Never);
        let change = Change::new(Kind::Other, words::SOAK_DRIED.into());
        let soaked = never.fold(change, |change, ware| {
            change.row(
                "ware",
                &ware.name,
                "soak",
                quoted(SoakPolicy::WhenDried.name()),
            )
        });
        vec![soaked]
    }
}

/// The row of the roster that a finding on an operator is of: `loader 2` is one of several.
fn aim_operator<'e>(evening: &'e Evening, aim: &Aim) -> &'e str {
    let finding = evening.findings.get(aim.finding);
    finding
        .and_then(|finding| finding.of.as_deref())
        .unwrap_or("")
}

/// Two changes of which one alone may do nothing: a pair of hands and the place where they work, duties shared and
/// somebody who may then go.
pub(super) fn together(changes: &[&Change]) -> Vec<(usize, usize)> {
    let of = |kind: Kind| list(changes, kind);
    let mut pairs = Vec::new();
    for (first, second) in [(Kind::Hands, Kind::Place), (Kind::Share, Kind::Leave)] {
        for a in of(first) {
            pairs.extend(of(second).into_iter().map(|b| (a, b)));
        }
    }
    pairs
}

/// Places of changes of a kind in a list.
fn list(changes: &[&Change], kind: Kind) -> Vec<usize> {
    let all = changes.iter().enumerate();
    all.filter(|(_, change)| change.kind == kind)
        .map(|(at, _)| at)
        .collect()
}
