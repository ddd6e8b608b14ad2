//! Measures in words, and the sections of the table they stand in.

use super::text::capital;
use crate::service::measure::{
    CostMeasure, Measure, MeasureInfo, OperatorMeasure, StationMeasure, WareMeasure,
};

/// A section of the table: its heading, and its measures in order with their words.
pub type Section = (&'static str, &'static [(Measure, &'static str)]);

/// The words of a measure where there is no machine: nothing is washed, and what is done is passed on.
#[must_use]
pub const fn without_machine(measure: Measure, words: &'static str) -> &'static str {
    match measure {
        Measure::Pieces => "pieces passed on",
        Measure::DriedOnShare => "dried on before they are passed on",
        Measure::WaitMean => "wait, mean",
        Measure::WaitP95 => "wait, 95th percentile",
        _ => words,
    }
}

/// The whole table. A test proves that every measure stands in it once, in the order of the contract.
pub const SECTIONS: &[Section] = &[
    (
        "Through the room",
        &[
            (Measure::Covers, "guests seated"),
            (Measure::TurnedAway, "guests turned away"),
            (Measure::SeatWaitMean, "wait for seats, mean"),
            (Measure::Pieces, "pieces washed"),
            (Measure::Racks, "racks washed"),
        ],
    ),
    (
        "How clean",
        &[
            (Measure::RewashedShare, "caught dirty, washed again"),
            (Measure::SentOutSoiledShare, "sent out dirty"),
            (Measure::DriedOnShare, "dried on before the wash"),
            (Measure::WetWhenUnloadedShare, "wet when unloaded"),
        ],
    ),
    (
        "Waiting",
        &[
            (Measure::WaitMean, "wait to wash, mean"),
            (Measure::WaitP95, "wait to wash, 95th percentile"),
            (Measure::SoakMean, "time in the soak, mean"),
            (Measure::SoiledWaitingMean, "soiled pieces waiting, mean"),
            (Measure::SoiledWaitingMax, "most soiled pieces at once"),
            (Measure::RacksWaitingMax, "most filled racks at once"),
            (Measure::FloorTubsMax, "most tubs on the floor at once"),
            (Measure::NoTub, "no tub free for the tables"),
        ],
    ),
    (
        "Short of ware",
        &[
            (Measure::ShortCovers, "covers that had to wait"),
            (Measure::ShortWaitMean, "wait of those covers, mean"),
        ],
    ),
    (
        "Machine",
        &[
            (Measure::MachineReady, "set up, after opening"),
            (Measure::MachineRunningShare, "running with racks inside"),
            (Measure::MachineStopped, "stopped by a full landing"),
            (Measure::MachineHeld, "held for a cold wash or final rinse"),
            (Measure::WaterChange, "closed for a change of water"),
            (Measure::MachineDown, "stood for a fault"),
            (Measure::Faults, "faults"),
            (Measure::RacksInFault, "racks washed during a fault"),
            (Measure::RacksPerHourPeak, "racks in the busiest hour"),
            (
                Measure::UnderTemperatureRacks,
                "racks washed or rinsed too cool",
            ),
            (Measure::ColdWashRacks, "of which washed too cool"),
            (Measure::ColdRinseRacks, "of which rinsed too cool"),
            (Measure::OldWaterRacks, "racks washed in old water"),
        ],
    ),
    (
        "Crew",
        &[
            (Measure::CrewBusyShare, "busy"),
            (Measure::WalkingShare, "of which walking"),
            (Measure::Overtime, "overtime, all together"),
            (Measure::RulesBroken, "rules of hours broken"),
        ],
    ),
    (
        "After closing",
        &[
            (Measure::LastGuestAfterClose, "last guests gone"),
            (Measure::LastWareAfterClose, "last soiled ware in"),
            (Measure::LastRackAfterClose, "last rack out"),
            (Measure::CrewOutAfterClose, "crew out"),
            (Measure::FinishedShare, "finished"),
        ],
    ),
    (
        "What it took",
        &[
            (Measure::Water, "water"),
            (Measure::Energy, "energy"),
            (Measure::TankHeat, "of which heating tanks"),
            (Measure::BoosterHeat, "of which the booster"),
            (Measure::Pumps, "of which pumps"),
            (Measure::Dryer, "of which dryer fans"),
            (Measure::PotSinkHeat, "of which the pot sink"),
            (Measure::HeatLost, "heat lost to the room"),
            (Measure::Detergent, "detergent"),
            (Measure::RinseAid, "rinse aid"),
            (Measure::LabourHours, "labour"),
        ],
    ),
    (
        "What it cost",
        &[
            (Measure::Cost, "cost"),
            (Measure::CostPerCover, "cost per cover"),
            (Measure::CostPerRack, "cost per rack"),
        ],
    ),
];

/// Measures that say more about the one before them: where they are left out there is nothing to show.
pub const DETAILS: &[Measure] = &[
    Measure::TurnedAway,
    Measure::SeatWaitMean,
    Measure::NoTub,
    Measure::ShortWaitMean,
    Measure::ColdWashRacks,
    Measure::ColdRinseRacks,
    Measure::RulesBroken,
    Measure::TankHeat,
    Measure::BoosterHeat,
    Measure::Pumps,
    Measure::Dryer,
    Measure::PotSinkHeat,
    Measure::HeatLost,
];

/// Whether a measure of a group has no column where no group has a value: money without prices, hours without rules.
#[must_use]
pub fn is_left_out_unless_there(info: &MeasureInfo) -> bool {
    let of_rules = [OperatorMeasure::Stretch, OperatorMeasure::RulesBroken];
    info.unit == "money" || of_rules.iter().any(|measure| measure.info() == info)
}

/// Heading of a column of the table by ware: two short lines.
#[must_use]
pub fn ware_column(measure: WareMeasure) -> [&'static str; 2] {
    match measure {
        WareMeasure::Pieces => ["pieces", "washed"],
        WareMeasure::RewashedShare => ["washed", "again"],
        WareMeasure::SentOutSoiledShare => ["sent out", "dirty"],
        WareMeasure::DriedOnShare => ["dried", "on"],
        WareMeasure::WaitMean => ["wait,", "mean"],
        WareMeasure::ShortCovers => ["covers", "short"],
        WareMeasure::CleanLying => ["clean, not", "put away"],
        WareMeasure::CleanLeast => ["clean,", "least"],
    }
}

/// Heading of a column of the table by operator.
#[must_use]
pub fn operator_column(measure: OperatorMeasure) -> [&'static str; 2] {
    match measure {
        OperatorMeasure::BusyShare => ["", "busy"],
        OperatorMeasure::WalkingShare => ["of which", "walking"],
        OperatorMeasure::Overtime => ["", "overtime"],
        OperatorMeasure::Present => ["", "present"],
        OperatorMeasure::Stretch => ["longest", "stretch"],
        OperatorMeasure::RulesBroken => ["a rule", "broken"],
        OperatorMeasure::Cost => ["", "cost"],
    }
}

/// Heading of a column of the table by part of the cost.
#[must_use]
pub fn cost_column(measure: CostMeasure) -> [&'static str; 2] {
    match measure {
        CostMeasure::Cost => ["per", "service"],
        CostMeasure::Share => ["share of", "the cost"],
        CostMeasure::CostPerCover => ["per", "cover"],
        CostMeasure::CostPerRack => ["per", "rack"],
    }
}

/// Heading of a column of the table by station.
#[must_use]
pub fn station_column(measure: StationMeasure) -> [&'static str; 2] {
    match measure {
        StationMeasure::Units => ["units", "done"],
        StationMeasure::BusyShare => ["places", "busy"],
        StationMeasure::QueueMean => ["queue,", "mean"],
        StationMeasure::QueueMax => ["queue,", "most"],
        StationMeasure::QueueWaitMean => ["wait,", "mean"],
        StationMeasure::NoPerson => ["lacks", "person"],
        StationMeasure::NoPlace => ["lacks", "place"],
        StationMeasure::NoRack => ["lacks", "rack"],
        StationMeasure::NoRoom => ["lacks", "room"],
    }
}

/// Heading of the column of `info` in the table of a kind of group; its own name if it has no words.
#[must_use]
pub fn column(info: &'static MeasureInfo) -> [&'static str; 2] {
    let ware = WareMeasure::ALL.into_iter().find(|m| is(m.info(), info));
    let operator = OperatorMeasure::ALL
        .into_iter()
        .find(|m| is(m.info(), info));
    let station = StationMeasure::ALL.into_iter().find(|m| is(m.info(), info));
    let cost = CostMeasure::ALL.into_iter().find(|m| is(m.info(), info));
    ware.map(ware_column)
        .or_else(|| operator.map(operator_column))
        .or_else(|| station.map(station_column))
        .or_else(|| cost.map(cost_column))
        .unwrap_or(["", info.name])
}

/// Measures whose words in the table do not say alone what they are of.
const ALONE: &[(Measure, &str)] = &[
    (Measure::WaitP95, "Wait to wash, 95th percentile"),
    (
        Measure::SoiledWaitingMax,
        "Most soiled pieces waiting at once, mean over ‹evenings›",
    ),
    (
        Measure::RacksWaitingMax,
        "Most filled racks waiting at once, mean over ‹evenings›",
    ),
    (
        Measure::FloorTubsMax,
        "Most tubs on the floor at once, mean over ‹evenings›",
    ),
    (Measure::ShortCovers, "Covers that had to wait for ware"),
    (Measure::ShortWaitMean, "Wait of covers short of ware, mean"),
    (Measure::MachineReady, "Machine set up, after opening"),
    (
        Measure::MachineRunningShare,
        "Machine running with racks inside",
    ),
    (Measure::MachineStopped, "Machine stopped by a full landing"),
    (
        Measure::MachineHeld,
        "Machine held for a cold wash or final rinse",
    ),
    (Measure::WaterChange, "Machine closed for a change of water"),
    (Measure::MachineDown, "Machine stood for a fault"),
    (Measure::RacksInFault, "Racks washed during a fault"),
    (Measure::ColdWashRacks, "Racks washed too cool"),
    (Measure::ColdRinseRacks, "Racks rinsed too cool"),
    (Measure::CrewBusyShare, "Crew busy"),
    (Measure::WalkingShare, "Crew walking"),
    (
        Measure::LastGuestAfterClose,
        "Last guests gone, after closing",
    ),
    (
        Measure::LastWareAfterClose,
        "Last soiled ware in, after closing",
    ),
    (Measure::LastRackAfterClose, "Last rack out, after closing"),
    (Measure::CrewOutAfterClose, "Crew out, after closing"),
    (Measure::Water, "Water used"),
    (Measure::Energy, "Energy used"),
    (Measure::TankHeat, "Energy: heat of the tanks"),
    (Measure::BoosterHeat, "Energy: the booster"),
    (Measure::Pumps, "Energy: pumps"),
    (Measure::Dryer, "Energy: fans of the dryer"),
    (Measure::PotSinkHeat, "Energy: heat of the pot sink"),
    (Measure::Detergent, "Detergent used"),
    (Measure::RinseAid, "Rinse aid used"),
    (Measure::Cost, "Cost per service"),
];

/// A measure of the evening as a heading of its own, where no section says what it is of; the name of
/// any other.
#[must_use]
pub fn heading(info: &MeasureInfo) -> String {
    let alone = ALONE.iter().copied();
    let rows = SECTIONS.iter().flat_map(|(_, rows)| rows.iter().copied());
    let found = alone.chain(rows).find(|(m, _)| is(m.info(), info));
    capital(&found.map_or_else(|| info.name.replace('_', " "), |row| row.1.to_owned()))
}

/// The same within a sentence.
#[must_use]
pub fn label(info: &MeasureInfo) -> String {
    let heading = heading(info);
    let mut letters = heading.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(letters).collect()
    })
}

/// Whether two rows are the same; measures of different groups may share a name.
fn is(a: &MeasureInfo, b: &MeasureInfo) -> bool {
    a.name == b.name && a.meaning == b.meaning
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_measure_stands_in_the_table_once_in_the_order_of_the_contract() {
        let listed: Vec<_> = SECTIONS.iter().flat_map(|s| s.1).map(|row| row.0).collect();
        assert_eq!(listed, Measure::ALL);
    }

    #[test]
    fn every_measure_has_a_heading_of_its_own() {
        let mut headings: Vec<_> = Measure::ALL.map(|m| heading(m.info())).to_vec();
        assert_eq!(headings[Measure::Racks as usize], "Racks washed");
        assert_eq!(headings[Measure::CrewBusyShare as usize], "Crew busy");
        assert!(
            headings
                .iter()
                .all(|h| !h.starts_with("Of which") && !h.contains('_'))
        );
        headings.sort();
        headings.dedup();
        assert_eq!(headings.len(), Measure::ALL.len());
    }

    #[test]
    fn columns_of_one_name_keep_their_own_words() {
        assert_eq!(column(OperatorMeasure::BusyShare.info())[1], "busy");
        assert_eq!(column(StationMeasure::BusyShare.info()), ["places", "busy"]);
        assert_eq!(column(Measure::Cost.info()), ["", "cost"]);
    }
}
