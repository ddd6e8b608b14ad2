//! Lengths of the soiled side: tubs on the drop-off, racks in the lane.

use serde::Serialize;

use super::peak::Peak;
use crate::room::Room;
use crate::scenario::model::{Places, Scenario};

/// Tubs a soiled landing should hold at least: an equipment dealer's guide asks for two or three.
pub const DROP_OFF_GUIDE_TUBS: u32 = 2;

/// Racks that fit before the machine at least: one, the same guide.
pub const LANE_GUIDE_RACKS: u32 = 1;

/// The drop-off and the lanes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Lengths {
    /// Tubs the drop-off holds; `None` if it holds all.
    pub drop_off_tubs: Option<u32>,
    /// Its length, m, if given as one.
    pub drop_off_m: Option<f64>,
    /// Pieces a tub holds, where ware comes in tubs.
    pub tub: Option<u32>,
    /// Tubs that reach it in the busiest 15 minutes, each full.
    pub tubs_in_15_min: Option<f64>,
    /// Minutes of those deliveries that fit if nobody scrapes, min.
    pub holds_min: Option<f64>,
    /// Racks that fit before the machines.
    pub lane_racks: Vec<u32>,
}

impl Lengths {
    pub(super) fn of(scenario: &Scenario, room: &Room, peak: &Peak) -> Self {
        let tub = room.clear_down.as_ref().map(|clear| clear.tub);
        let tubs_in_15_min = tub.map(|tub| peak.pieces_in_15_min / f64::from(tub));
        let holds = room.drop_off_tubs.zip(tubs_in_15_min);
        Self {
            drop_off_tubs: room.drop_off_tubs,
            drop_off_m: scenario.drop_off.tubs.and_then(|tubs| match tubs {
                Places::LengthM(metres) => Some(metres),
                Places::Count(_) => None,
            }),
            tub,
            tubs_in_15_min,
            holds_min: holds
                .filter(|(_, tubs)| *tubs > 0.0)
                .map(|(places, tubs)| 15.0 * f64::from(places) / tubs),
            lane_racks: room.machines.iter().map(|machine| machine.lane).collect(),
        }
    }
}
