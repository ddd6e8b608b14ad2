//! What an evening takes and costs on the sheet, by part, as far as the scenario says what things take and
//! cost.
//!
//! The crew is paid from the start of the shift until it goes: whoever stays, at the end of the close-down, after
//! the end of the shift as overtime; the others at the end of their shift. Pre-rinse and soak take their water
//! for full batches and sinks, the spray at the pace of those who may do it.

use serde::Serialize;

use super::means::coming_all;
use super::milestones::Milestones;
use super::peak::Load;
use super::routine;
use super::stations::Asked;
use super::water::WaterFigures;
use crate::room::Room;
use crate::room::crew::Operator;
use crate::room::money::CostPart;
use crate::room::stations::Filling;
use crate::room::time::Time;
use crate::scenario::model::Duty;
use crate::service::stations;

/// What an evening takes. What no part of the room takes, or nobody can say, is `None`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Spent {
    /// When it is over, time of day, s.
    pub ends_s: f64,
    /// Fresh water, L.
    pub water_l: Option<f64>,
    /// Of that, the pre-rinse spray.
    pub pre_rinse_l: Option<f64>,
    /// Of that, the soak sinks.
    pub soak_l: Option<f64>,
    /// Of that, the pot sink.
    pub pot_sink_l: Option<f64>,
    /// Energy of the machines, and the heat of the pot sink, kWh.
    pub energy_kwh: Option<f64>,
    /// Of that, heat of the tanks.
    pub tank_heat_kwh: Option<f64>,
    /// Of that, the booster.
    pub booster_kwh: Option<f64>,
    /// Of that, heat of the pot sink.
    pub pot_sink_kwh: Option<f64>,
    /// Of that, pumps.
    pub pumps_kwh: Option<f64>,
    /// Of that, fans of the dryer.
    pub dryer_kwh: Option<f64>,
    /// Detergent, kg.
    pub detergent_kg: Option<f64>,
    /// Rinse aid, L.
    pub rinse_aid_l: Option<f64>,
    /// Paid time of the crew, breaks and overtime included, h.
    pub labour_h: Option<f64>,
    /// Of that, after the end of shifts.
    pub overtime_h: Option<f64>,
    /// By part of the cost that has a quantity and a price, in the order of every output.
    pub costs: Vec<Cost>,
    /// Of all of them, money.
    pub cost: Option<f64>,
}

/// A part of the cost.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Cost {
    /// Which.
    #[serde(serialize_with = "name")]
    pub part: CostPart,
    /// Money.
    pub cost: f64,
}

#[allow(clippy::trivially_copy_pass_by_ref)] // as the library asks for it
fn name<S: serde::Serializer>(part: &CostPart, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(part.name())
}

impl Spent {
    /// In an evening of so much ware, with machines that take so much.
    #[must_use]
    pub fn of(
        room: &Room,
        evening: &Load,
        milestones: &Milestones,
        water: &[WaterFigures],
    ) -> Self {
        let pre_rinse_l = pre_rinse_l(room, evening);
        let soak_l = soak_l(room, evening);
        let pots = pot_sink(room, evening);
        let pot_sink_l = pots.map(|pots| pots.water_l);
        let pot_sink_kwh = pots.map(|pots| pots.heat_j / 3.6e6);
        let pots_kg = pots.map(|pots| pots.detergent_g / 1e3);
        // Nobody can say what an evening takes in which one of its machines is not worked out.
        let taken = water.iter().map(|figures| figures.evening.as_ref());
        let taken: Option<Vec<_>> = taken.collect();
        let known = taken.is_some();
        let taken = taken.unwrap_or_default();
        let machine_l = taken.iter().map(|taken| taken.fresh_l).reduce(sum);
        let of_heat = taken.iter().filter_map(|taken| taken.tanks.as_ref());
        let tank_heat_kwh = of_heat.map(|tanks| tanks.takes_kwh).reduce(sum);
        let booster_kwh = taken
            .iter()
            .filter_map(|taken| taken.booster_kwh)
            .reduce(sum);
        let pumps_kwh = taken.iter().filter_map(|taken| taken.pumps_kwh).reduce(sum);
        let dryer_kwh = taken.iter().filter_map(|taken| taken.dryer_kwh).reduce(sum);
        let parts = [
            tank_heat_kwh,
            booster_kwh,
            pumps_kwh,
            dryer_kwh,
            pot_sink_kwh,
        ];
        let water_l = [pre_rinse_l, soak_l, pot_sink_l, machine_l];
        let water_l = water_l.into_iter().flatten();
        let machine_kg = taken.iter().map(|taken| taken.detergent_kg).reduce(sum);
        let mut spent = Self {
            ends_s: room.hours.start_s + milestones.ends_s + closing_s(room),
            water_l: water_l.reduce(sum).filter(|_| known),
            pre_rinse_l,
            soak_l,
            pot_sink_l,
            energy_kwh: parts.into_iter().flatten().reduce(sum),
            tank_heat_kwh,
            booster_kwh,
            pot_sink_kwh,
            pumps_kwh,
            dryer_kwh,
            detergent_kg: [machine_kg, pots_kg].into_iter().flatten().reduce(sum),
            rinse_aid_l: taken.iter().map(|taken| taken.rinse_aid_l).reduce(sum),
            labour_h: hours(room, milestones, paid).map(Time::h),
            overtime_h: hours(room, milestones, |hours| hours[1]).map(Time::h),
            costs: Vec::new(),
            cost: None,
        };
        let costs = CostPart::ALL.into_iter();
        let costs = costs.filter_map(|part| {
            let cost = spent.cost_of(part, room, milestones)?;
            Some(Cost { part, cost })
        });
        spent.costs = costs.collect();
        spent.cost = spent.costs.iter().map(|part| part.cost).reduce(sum);
        spent
    }

    fn cost_of(&self, part: CostPart, room: &Room, milestones: &Milestones) -> Option<f64> {
        let prices = room.prices.as_ref()?;
        match part {
            CostPart::Labour => labour_cost(room, milestones),
            CostPart::Water => Some(self.water_l? * prices.water_per_l()?),
            CostPart::Sewer => Some(self.water_l? * prices.sewer_per_l()?),
            CostPart::Energy => Some(self.energy_kwh? * prices.energy_per_kwh?),
            CostPart::Detergent => Some(self.detergent_kg? * prices.detergent_per_kg?),
            CostPart::RinseAid => Some(self.rinse_aid_l? * prices.rinse_aid_per_l?),
        }
    }

    /// The cost of a part.
    #[must_use]
    pub fn of_part(&self, part: CostPart) -> Option<f64> {
        let found = self.costs.iter().find(|cost| cost.part == part)?;
        Some(found.cost)
    }
}

fn sum(one: f64, other: f64) -> f64 {
    one + other
}

/// Water of the pre-rinse spray, L.
fn pre_rinse_l(room: &Room, evening: &Load) -> Option<f64> {
    let flow_l_per_s = room.pre_rinse.as_ref()?.flow_l_per_s?;
    let asked = Asked::of(room, evening, stations::work(Duty::PreRinse));
    Some(flow_l_per_s * asked.units * asked.each_s / pace(room, Duty::PreRinse))
}

/// Mean pace of those who may do a duty, by the length of their shifts; 1 where nobody may.
fn pace(room: &Room, duty: Duty) -> f64 {
    let may = room
        .crew
        .iter()
        .filter(|operator| operator.duty_bits & duty.bit() != 0);
    let (hours, done) = may.fold((0.0, 0.0), |(hours, done), operator| {
        let shift_h = (operator.to - operator.from).h();
        (hours + shift_h, done + shift_h * operator.pace)
    });
    if hours > 0.0 { done / hours } else { 1.0 }
}

/// Water of full soak sinks, L.
fn soak_l(room: &Room, evening: &Load) -> Option<f64> {
    let soak = room.soak.as_ref()?;
    let work = stations::work(Duty::Soak);
    let fills = coming_all(room, evening, work) / f64::from(soak.enough);
    Some(soak.water_l? * fills)
}

/// What the pot sink takes: one filling for the first piece, and changes while more come.
fn pot_sink(room: &Room, evening: &Load) -> Option<Filling> {
    let sink = room.pot_sink.as_ref()?;
    let filling = sink.filling?;
    let work = stations::work(Duty::WashPots);
    let asked = Asked::of(room, evening, work);
    if asked.units <= 0.0 {
        return Some(filling.times(0.0));
    }
    let by_piece = sink
        .change_after
        .map(|after| asked.units / f64::from(after));
    let open_s = (room.hours.closes - room.hours.opens).s();
    let by_clock = sink.change_every.map(|every| open_s / every.s());
    let changes = by_piece.unwrap_or(0.0).max(by_clock.unwrap_or(0.0));
    Some(filling.times(changes.max(1.0)))
}

/// How long the close-down takes after the last ware, s: as if it began when all is put away, with as many hands
/// as it can use.
fn closing_s(room: &Room) -> f64 {
    routine::takes_s(room, &room.close_down)
}

/// Time that an operator is paid, and how much of it after the end of the shift.
fn times(room: &Room, operator: &Operator, milestones: &Milestones) -> [Time; 2] {
    let ends = Time::from_s(milestones.ends_s + closing_s(room));
    let goes = if operator.stays {
        ends
    } else {
        operator.to.min_of(ends)
    };
    let paid = (goes - operator.from).max(Time::ZERO);
    let over = (goes - operator.to.max(operator.from)).max(Time::ZERO);
    [paid, over]
}

const fn paid(hours: [Time; 2]) -> Time {
    hours[0]
}

/// Of the whole crew, if there is one.
fn hours(room: &Room, milestones: &Milestones, which: impl Fn([Time; 2]) -> Time) -> Option<Time> {
    let crew = room.crew.iter();
    let all: Time = crew
        .map(|operator| which(times(room, operator, milestones)))
        .sum();
    (!room.crew.is_empty()).then_some(all)
}

/// None without a crew, or if an hour of one of them has no price.
fn labour_cost(room: &Room, milestones: &Milestones) -> Option<f64> {
    let pay = |operator: &Operator| {
        let [paid, over] = times(room, operator, milestones);
        Some(operator.wage?.pay(paid, over))
    };
    let mut costs = room.crew.iter().map(pay);
    let first = costs.next()?;
    costs.fold(first, |sum, cost| Some(sum? + cost?))
}
