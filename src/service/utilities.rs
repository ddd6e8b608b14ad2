//! What a service took: fresh water, energy by what it is for, detergent, rinse aid.
//!
//! In: the books of the machines' water, and the work at pre-rinse, soak and pot sink. Out: measures. Only the parts
//! count that the scenario says the figures of; a part that is not there has no value.

use super::Service;
use super::measure::Measure;
use super::tanks::WaterBooks;
use crate::physics::dilution;
use crate::room::stations::Filling;
use crate::room::time::Time;
use crate::room::water::Water;
use crate::scenario::model::Duty;

/// Joules in a kilowatt-hour.
const KWH_J: f64 = 3.6e6;

impl Service<'_> {
    /// Water, energy and detergent, of the parts that say what they take.
    pub(super) fn utilities(&self, set: &mut impl FnMut(Measure, Option<f64>)) {
        let machines = self.common.room.machines.iter().zip(&self.machines.states);
        let (mut machine_l, mut under) = (None, None);
        let (mut cold_washes, mut cold_rinses, mut old_water) = (None, None, None);
        let mut energy = Energy::default();
        let (mut detergent_g, mut rinse_aid_l) = (None, None);
        let add = |sum: &mut Option<f64>, more: f64| *sum = Some(sum.unwrap_or(0.0) + more);
        for (machine, state) in machines {
            let (Some(water), Some(at)) = (&machine.water, &state.water) else {
                continue;
            };
            let books = &at.books;
            add(&mut machine_l, books.fresh_l);
            let ran = if machine.is_hood() {
                books.cycles
            } else {
                state.time.pumps()
            };
            energy.add(water, books, ran);
            add(
                &mut detergent_g,
                dilution::detergent_g(water.detergent_g_per_l, books.fresh_l - books.undosed_l),
            );
            add(&mut rinse_aid_l, water.rinse_aid_l_per_l * books.rinse_l);
            let has_minimum = [
                water.tanks.iter().any(|tank| tank.minimum_c.is_some()),
                water.rinse.minimum_c.is_some(),
            ];
            for (has, sum, racks) in [
                (has_minimum[0], &mut cold_washes, books.cold_washes),
                (has_minimum[1], &mut cold_rinses, books.cold_rinses),
                (water.has_minimum(), &mut under, books.under_temperature),
                (
                    water.change_within.is_some(),
                    &mut old_water,
                    books.old_water,
                ),
            ] {
                if has {
                    add(sum, racks as f64);
                }
            }
        }
        let pots = self.pot_sink();
        if let Some(pots) = &pots {
            add(&mut energy.pot_sink, pots.heat_j);
            add(&mut detergent_g, pots.detergent_g);
        }
        let pots_l = pots.map(|pots| pots.water_l);
        let by_hand = [self.pre_rinse_l(), self.soak_l(), pots_l];
        let parts = by_hand.into_iter().chain([machine_l]).flatten();
        set(Measure::Water, parts.reduce(|sum, part| sum + part));
        energy.set(set);
        set(Measure::Detergent, detergent_g.map(|g| g / 1e3));
        set(Measure::RinseAid, rinse_aid_l);
        set(Measure::UnderTemperatureRacks, under);
        set(Measure::ColdWashRacks, cold_washes);
        set(Measure::ColdRinseRacks, cold_rinses);
        set(Measure::OldWaterRacks, old_water);
    }

    /// Water of the pre-rinse spray, L.
    fn pre_rinse_l(&self) -> Option<f64> {
        let flow_l_per_s = self.common.room.pre_rinse.as_ref()?.flow_l_per_s?;
        Some(flow_l_per_s * self.common.tally.work[Duty::PreRinse as usize].s())
    }

    /// What the pot sink took in all.
    fn pot_sink(&self) -> Option<Filling> {
        let filling = self.common.room.pot_sink.as_ref()?.filling?;
        Some(filling.times(self.common.tally.pot_sink_filled as f64))
    }

    /// Water of the soak sinks, L.
    fn soak_l(&self) -> Option<f64> {
        let each_l = self.common.room.soak.as_ref()?.water_l?;
        Some(each_l * self.common.tally.sinks_filled as f64)
    }
}

/// Energy of all machines and of the pot sink, J, by what it is for.
#[derive(Default)]
struct Energy {
    tanks: Option<f64>,
    pot_sink: Option<f64>,
    booster: Option<f64>,
    pumps: Option<f64>,
    dryer: Option<f64>,
    lost: Option<f64>,
}

impl Energy {
    /// Adds that of a machine whose pumps ran so long, as far as it has the parts.
    fn add(&mut self, water: &Water, books: &WaterBooks, ran: Time) {
        let heats = water.rinse.booster.is_some();
        let has_tanks = !water.tanks.is_empty();
        let [pumps_j, dryer_j] = [water.pumps_w, water.dryer_w].map(|w| w * ran.s());
        for (part, is_there, j) in [
            (&mut self.tanks, has_tanks, books.tanks_j),
            (&mut self.booster, heats, books.booster_j),
            (&mut self.pumps, water.pumps_w > 0.0, pumps_j),
            (&mut self.dryer, water.dryer_w > 0.0, dryer_j),
            (&mut self.lost, heats || has_tanks, books.lost_j),
        ] {
            if is_there {
                *part = Some(part.unwrap_or(0.0) + j);
            }
        }
    }

    fn set(&self, set: &mut impl FnMut(Measure, Option<f64>)) {
        let kwh = |j: Option<f64>| j.map(|j| j / KWH_J);
        let parts = [
            self.tanks,
            self.booster,
            self.pumps,
            self.dryer,
            self.pot_sink,
        ];
        let whole = parts.into_iter().flatten().reduce(|a, b| a + b);
        set(Measure::Energy, kwh(whole));
        set(Measure::TankHeat, kwh(self.tanks));
        set(Measure::BoosterHeat, kwh(self.booster));
        set(Measure::Pumps, kwh(self.pumps));
        set(Measure::Dryer, kwh(self.dryer));
        set(Measure::PotSinkHeat, kwh(self.pot_sink));
        set(Measure::HeatLost, kwh(self.lost));
    }
}
