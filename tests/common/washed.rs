//! Evenings of racks before one machine with water, and what its water came to.

use super::{empty, loading, logged, person, rack, ware};
use scullery::room::Room;
use scullery::room::water::Water;
use scullery::scenario::model::*;
use scullery::service::Service;
use scullery::service::outcome::Outcome;
use scullery::service::tanks::WaterState;

/// Racks of one piece that come to the drop-off at these moments, s after noon; nobody is needed to unload.
pub fn racks_at(machine: Machine, moments_s: &[f64]) -> Scenario {
    let mut scenario = empty();
    scenario.ware = vec![ware("plate", "peg", 1)];
    scenario.rack = vec![rack("peg", 400)];
    let rows: Vec<(f64, u32)> = moments_s.iter().map(|&at_s| (at_s, 1)).collect();
    scenario.soiled_log = Some(logged("plate", &rows));
    scenario.loading = Some(loading(400, 0.0));
    scenario.machine = vec![machine];
    scenario.roster = vec![person("loader", &[Duty::Load])];
    scenario
}

/// Plays an evening; what its machine's water came to.
pub fn played(scenario: &Scenario, see: impl FnOnce(&Water, &WaterState, &Outcome)) {
    let room = Room::of(scenario);
    let mut service = Service::new(&room);
    service.play(1, 0);
    let mut outcome = Outcome::new(&room);
    service.outcome(&mut outcome);
    let water = room.machines[0].water.as_ref().expect("water");
    let state = service.machines()[0].water.as_ref().expect("water");
    see(water, state, &outcome);
}

/// What an evening with water measures.
pub fn measures(scenario: &Scenario) -> Outcome {
    let mut measured = None;
    played(scenario, |_, _, outcome| measured = Some(outcome.clone()));
    measured.expect("played")
}
