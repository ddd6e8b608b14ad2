//! Racks that are sent, part-full ones included, by kind and half hour.
//!
//! A rack leaves when it is full enough, or when its first piece has waited as long as it may; the next is begun by
//! the next lot. Of ware that comes in λ lots an hour, together r racks' worth, a turn takes
//!
//! ```text
//! min(wait_at_most, (full_enough − r/λ)/r) + 1/λ hours,
//! ```
//!
//! and racks per hour are one over that: about one per wait while anything comes, and never fewer than full ones. Tubs that
//! the crew gathers and soak sinks are turns of the same kind; what leaves them is the lots of the next.
//!
//! In: pulses. Out: racks by kind.

use super::arrivals::{Arrivals, Pulse};
use super::passes::Passes;
use super::stages::{guests_carry, on_the_way};
use crate::room::Room;
use crate::room::stations::Machine;
use crate::room::time::Time;
use crate::room::ware::RackKind;
use crate::scenario::model::SoakPolicy;
use crate::service::work::{Comes, PartFull};

/// What comes, and how often it is washed.
#[derive(Debug, Clone, Copy)]
pub struct Expected<'a> {
    /// The room.
    pub room: &'a Room,
    /// All that comes in an evening.
    pub pulses: &'a [Pulse],
    /// The same by minute.
    pub arrivals: &'a Arrivals,
    /// The first minute of the peak.
    pub first: usize,
    /// Passes through the machine.
    pub passes: &'a Passes,
}

/// Stretches of the evening that are taken as even, min.
pub(super) const STRETCH_MIN: usize = 30;

/// What comes in an hour.
#[derive(Debug, Clone, Copy, Default)]
struct Flow {
    /// Racks' worth, or pieces.
    amount: f64,
    /// Lots.
    lots: f64,
}

impl Flow {
    fn with(self, other: Self) -> Self {
        Self {
            amount: self.amount + other.amount,
            lots: self.lots + other.lots,
        }
    }

    /// From a load's first lot until it leaves: with so much, or after so long, h.
    fn waits_h(self, enough: f64, wait_at_most: Time) -> f64 {
        let lot = self.amount / self.lots;
        let gathers_h = (enough - lot).max(0.0) / self.amount;
        gathers_h.min(wait_at_most.h())
    }

    /// Loads an hour of what leaves with so much, or after so long.
    fn loads(self, enough: f64, most: f64, wait_at_most: Time) -> f64 {
        if self.amount <= 0.0 || self.lots <= 0.0 {
            return 0.0;
        }
        let turn_h = self.waits_h(enough, wait_at_most) + 1.0 / self.lots;
        (1.0 / turn_h).max(self.amount / most)
    }

    /// How many of so many loads an hour have any of it.
    fn gathered(self, loads: f64) -> Self {
        let lots = if loads > 0.0 {
            -loads * libm::expm1(-self.lots / loads)
        } else {
            0.0
        };
        Self { lots, ..self }
    }
}

/// Racks by kind that leave between two moments, s after the start.
#[must_use]
pub(super) fn racks(expected: &Expected<'_>, from_s: f64, to_s: f64) -> Vec<f64> {
    let room = expected.room;
    let mut all = vec![0.0; room.rack_kinds.len()];
    if room.loading.is_none() {
        return all;
    }
    let mut begins_s = from_s;
    while begins_s < to_s {
        let ends_s = (begins_s + 60.0 * STRETCH_MIN as f64).min(to_s);
        let hours = (ends_s - begins_s) / 3600.0;
        let flows = Coming::between(expected, begins_s, ends_s).to_racks(room);
        for (sum, per_h) in all.iter_mut().zip(an_hour(room, &flows)) {
            *sum += hours * per_h;
        }
        begins_s = ends_s;
    }
    all
}

/// Racks by kind an hour. Where machines cannot take so many, racks wait for them and are filled meanwhile.
fn an_hour(room: &Room, flows: &[ToKind]) -> Vec<f64> {
    let pairs = flows.iter().zip(&room.rack_kinds);
    let full: Vec<f64> = pairs
        .clone()
        .map(|(flow, kind)| flow.all().amount / kind.fill)
        .collect();
    let mut sent: Vec<f64> = pairs.map(|(flow, kind)| flow.racks(kind)).collect();
    let (all, all_full): (f64, f64) = (sent.iter().sum(), full.iter().sum());
    let machines = room.machines.iter();
    let rated = machines.map(Machine::rated_racks_per_hour).sum::<f64>();
    if all > rated && all > all_full && rated > 0.0 {
        let share = ((rated - all_full) / (all - all_full)).max(0.0);
        for (sent, full) in sent.iter_mut().zip(&full) {
            *sent = full + (*sent - full) * share;
        }
    }
    sent
}

/// What comes to the racks of a kind in an hour.
#[derive(Debug, Clone, Copy, Default)]
struct ToKind {
    /// In lots that are enough for a rack.
    large: Flow,
    /// Racks of these.
    racks_of_large: f64,
    /// In lots that wait for more.
    small: Flow,
}

impl ToKind {
    /// What a lot has beyond whole racks waits like any small lot, unless it is enough.
    fn add(&mut self, flow: Flow, kind: &RackKind) {
        const HAIR: f64 = 1e-9;
        let lot = if flow.lots > 0.0 {
            flow.amount / flow.lots
        } else {
            0.0
        };
        if lot < kind.enough - HAIR {
            self.small = self.small.with(flow);
            return;
        }
        let whole = kind.fill * libm::floor(lot / kind.fill + HAIR);
        let over = (lot - whole).max(0.0);
        let goes_too = whole <= 0.0 || over >= kind.enough - HAIR;
        let waits = if goes_too { 0.0 } else { over };
        self.large = self.large.with(Flow {
            amount: flow.lots * (lot - waits),
            ..flow
        });
        self.racks_of_large += flow.lots * libm::ceil((lot - waits) / kind.fill - HAIR);
        if waits > HAIR {
            self.small = self.small.with(Flow {
                amount: flow.lots * waits,
                ..flow
            });
        }
    }

    fn all(self) -> Flow {
        self.large.with(self.small)
    }

    /// Racks an hour. A large lot leaves at once, with what waits.
    fn racks(self, kind: &RackKind) -> f64 {
        let (large, small) = (self.large, self.small);
        if small.amount <= 0.0 {
            return self.racks_of_large;
        }
        if large.lots <= 0.0 {
            return small.loads(kind.enough, kind.fill, kind.wait_at_most);
        }
        let waits_h = small.waits_h(kind.enough, kind.wait_at_most);
        let alone = libm::exp(-large.lots * waits_h);
        let turn_h = (1.0 - alone) / large.lots + 1.0 / small.lots;
        let racks = self.racks_of_large + alone / turn_h;
        racks.max(self.all().amount / kind.fill)
    }
}

/// Ware of a stretch by ware, an hour: pieces, and lots.
struct Coming {
    wares: Vec<Flow>,
    /// Pieces that come round again.
    again: Vec<f64>,
    /// Carried by the crew, all of it together.
    carried: Flow,
}

impl Coming {
    fn between(expected: &Expected<'_>, from_s: f64, to_s: f64) -> Self {
        let room = expected.room;
        let hours = (to_s - from_s) / 3600.0;
        let mut coming = Self {
            wares: vec![Flow::default(); room.wares.len()],
            again: vec![0.0; room.wares.len()],
            carried: Flow::default(),
        };
        for pulse in expected.pulses {
            let share = pulse.come(to_s, 0.0) - pulse.come(from_s, 0.0);
            let flow = Flow {
                amount: share * pulse.pieces / hours,
                lots: share * pulse.lots / hours,
            };
            let ware = pulse.ware;
            coming.wares[ware] = coming.wares[ware].with(flow);
            coming.again[ware] += flow.amount * (expected.passes.of(ware, pulse.soil) - 1.0);
            if pulse.out_s.is_some() {
                coming.carried = coming.carried.with(flow);
            }
        }
        coming
    }

    /// By rack kind, in racks' worth.
    fn to_racks(&self, room: &Room) -> Vec<ToKind> {
        let mut kinds = vec![ToKind::default(); room.rack_kinds.len()];
        let trips = self.trips(room);
        let sinks = self.sinks(room, trips);
        for (index, ware) in room.wares.iter().enumerate() {
            let (Some(to), Some(kind)) = (
                kinds.get_mut(ware.rack_kind),
                room.rack_kinds.get(ware.rack_kind),
            ) else {
                continue;
            };
            if ware.at_pot_sink {
                continue;
            }
            let mut flow = self.after_trips(index, trips);
            if ware.soak == SoakPolicy::Always {
                flow = sinks.map_or(flow, |loads| flow.gathered(loads));
            }
            let again = self.again[index];
            for flow in [
                flow,
                Flow {
                    amount: again,
                    lots: again,
                },
            ] {
                let racks_worth = Flow {
                    amount: flow.amount * ware.rack_share,
                    ..flow
                };
                to.add(racks_worth, kind);
            }
        }
        kinds
    }

    /// Trips with tubs an hour, where the crew carries.
    fn trips(&self, room: &Room) -> Option<f64> {
        let part = part_full(room, |comes| matches!(comes, Comes::FromTables))?;
        let enough = f64::from(part.enough);
        (!guests_carry(room)).then(|| self.carried.loads(enough, enough, part.wait_at_most))
    }

    /// Sinks an hour.
    fn sinks(&self, room: &Room, trips: Option<f64>) -> Option<f64> {
        let part = part_full(room, |comes| matches!(comes, Comes::ToSoak))?;
        let enough = f64::from(part.enough);
        let wares = room.wares.iter().enumerate();
        let soaked = wares.filter(|(_, ware)| ware.soak == SoakPolicy::Always);
        let flows = soaked.map(|(index, _)| self.after_trips(index, trips));
        let flow = flows.reduce(Flow::with)?;
        Some(flow.loads(enough, enough, part.wait_at_most))
    }

    fn after_trips(&self, ware: usize, trips: Option<f64>) -> Flow {
        let flow = self.wares[ware];
        trips.map_or(flow, |trips| flow.gathered(trips))
    }
}

fn part_full(room: &Room, is: impl Fn(Comes) -> bool) -> Option<PartFull> {
    let mut stations = on_the_way(room).filter(|(_, work)| is(work.comes));
    stations.find_map(|(_, work)| (work.part_full)(room))
}
