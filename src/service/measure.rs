//! The measures of one service: names, units and definitions. The names are the contract of every
//! output; nothing else in the program spells them.
//!
//! "Waiting" runs from reaching the drop-off (or its overflow) to entering a machine for the first
//! time (without a machine, to leaving the soiled side). What is scrubbed at the pot sink enters when somebody takes it up:
//! it counts with the rest, but it comes out clean, and nobody inspects it. Shares are of pieces entering a machine for the
//! first time, but `rewashed_share` and `sent_out_soiled_share`, which are of pieces leaving. Maxima are
//! within one service. A measure of a part that the scenario leaves out has no value; it is never 0.
//!
//! The evening starts with the opening, the first shift or the first ware, whichever is earliest, and
//! ends when everything is done after closing, or when it is given up.

/// Name, unit, meaning and printed digits of a measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MeasureInfo {
    /// The contract: as in JSON and CSV.
    pub name: &'static str,
    /// Unit; `"1"` for shares.
    pub unit: &'static str,
    /// What exactly it is.
    pub meaning: &'static str,
    /// Decimals worth printing at most.
    pub decimals: usize,
}

const fn row(
    name: &'static str,
    unit: &'static str,
    decimals: usize,
    meaning: &'static str,
) -> MeasureInfo {
    MeasureInfo {
        name,
        unit,
        meaning,
        decimals,
    }
}

macro_rules! measures {
    ($(#[$doc:meta])* $type:ident, $table:ident, $count:ident: $($variant:ident = $row:expr;)+) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[allow(missing_docs)] // the table below says what each one is
        pub enum $type { $($variant),+ }

        /// One row for each variant, in order.
        pub const $table: &[MeasureInfo] = &[$($row),+];
        /// How many there are.
        pub const $count: usize = $table.len();

        impl $type {
            /// All of them, in the order of the table.
            pub const ALL: [Self; $count] = [$(Self::$variant),+];
            /// Name, unit and meaning.
            #[must_use]
            pub const fn info(self) -> &'static MeasureInfo { &$table[self as usize] }
        }
    };
}

measures! {
    /// A measure of the whole evening.
    Measure, MEASURES, MEASURE_COUNT:
    Covers = row("covers", "covers", 0, "guests seated");
    TurnedAway = row("turned_away_covers", "covers", 1, "guests who went away because they found no seats, or had waited too long for them");
    SeatWaitMean = row("seat_wait_mean_min", "min", 1, "mean time for which guests who sat down had waited for seats; of those who found some at once it is 0");
    Pieces = row("pieces", "pieces", 0, "pieces of ware that entered a machine for the first time, or were taken up at the pot sink; without a machine, that left the soiled side");
    Racks = row("racks", "racks", 0, "racks that entered a machine, rewashed ware included");
    RewashedShare = row("rewashed_share", "1", 4, "of pieces leaving inspection, the share that was caught dirty and sent back to be washed again");
    SentOutSoiledShare = row("sent_out_soiled_share", "1", 4, "of pieces leaving as clean, the share that was dirty and not caught");
    DriedOnShare = row("dried_on_share", "1", 4, "of pieces entering a machine for the first time, the share whose soil was below its critical moisture");
    WetWhenUnloadedShare = row("wet_when_unloaded_share", "1", 4, "of pieces taken from a rack of which it is known how long they take to dry, the share that was still wet");
    WaitMean = row("wait_mean_min", "min", 1, "mean time of a piece from reaching the drop-off, or its overflow, to entering a machine for the first time, less its time in the soak");
    WaitP95 = row("wait_p95_min", "min", 1, "95th percentile over pieces of the same time");
    SoakMean = row("soak_mean_min", "min", 1, "mean time in the soak of a piece, put in to taken out, before it entered a machine for the first time; of a piece that was not soaked it is 0");
    SoiledWaitingMean = row("soiled_waiting_mean", "pieces", 0, "soiled pieces waiting or in the soak, averaged over time from the start to the end of the ‹evening›: by Little's law, wait and soak together of all pieces over that time");
    SoiledWaitingMax = row("soiled_waiting_max", "pieces", 0, "most soiled pieces waiting or in the soak at any moment; over several ‹evenings›, the mean of these maxima");
    RacksWaitingMax = row("racks_waiting_max", "racks", 0, "most filled racks waiting at any moment, on loading stations and in entry lanes; over several ‹evenings›, the mean of these maxima");
    FloorTubsMax = row("floor_tubs_max", "tubs", 0, "most tubs standing on the floor because the drop-off was full; over several ‹evenings›, the mean of these maxima");
    NoTub = row("no_tub_min", "min", 1, "time for which soiled ware that was due for a trip stayed on the tables because no tub was free");
    ShortCovers = row("short_covers", "covers", 1, "covers that had to wait for ware that was not there, counted again for each ware and course that was missing");
    ShortWaitMean = row("short_wait_mean_min", "min", 1, "mean time until their last missing piece was back in the store, of those of these covers that were served");
    MachineReady = row("machine_ready_min_after_open", "min", 1, "when the last machine was set up and racks could enter, after opening; below 0 before it");
    MachineRunningShare = row("machine_running_share", "1", 3, "share of the time from the first rack's entry to the last rack's exit (to the end of ‹an evening› that was given up) in which machines washed or changed a rack inside, averaged over machines");
    MachineStopped = row("machine_stopped_min", "min", 1, "time machines stood with a finished rack because the landing was full, summed over machines");
    MachineHeld = row("machine_held_min", "min", 1, "time belts were held, or cycles went on, because wash or final rinse was below its minimum, summed over machines");
    WaterChange = row("water_change_min", "min", 1, "time for which changes of water kept racks from entering: until those inside were out, then until the tanks were full and hot again; summed over machines");
    MachineDown = row("machine_down_min", "min", 1, "time machines stood because of a fault or its mending, summed over machines");
    Faults = row("faults", "faults", 2, "faults that struck");
    RacksInFault = row("racks_washed_in_fault", "racks", 1, "racks that entered while a fault spoiled the wash or its heat");
    RacksPerHourPeak = row("racks_per_hour_peak", "racks/h", 0, "most racks entering machines within 60 minutes, wherever those begin");
    UnderTemperatureRacks = row("under_temperature_racks", "racks", 0, "racks that came to a tank below its minimum, or left one, or whose final rinse fell below its own");
    ColdWashRacks = row("cold_wash_racks", "racks", 0, "of these, racks that came to a tank below its minimum, or left one for the final rinse. What they cool it by between is not looked at: it is taken at once, not little by little");
    ColdRinseRacks = row("cold_rinse_racks", "racks", 0, "of these, racks whose final rinse fell below its minimum while they passed it");
    OldWaterRacks = row("old_water_racks", "racks", 0, "racks that entered in water older than its machine's `change_water_within`");
    CrewBusyShare = row("crew_busy_share", "1", 3, "of the crew's time present, breaks apart, the share spent working or walking to it");
    WalkingShare = row("walking_share", "1", 3, "of the crew's time present, breaks apart, the share spent walking between stations");
    Overtime = row("overtime_min", "min", 1, "time present after the end of shifts, working or not, summed over operators");
    RulesBroken = row("rules_broken_share", "1", 3, "1 if the hours of anybody there broke a rule of [rules], 0 if not: its mean is the share of the ‹evenings› in which one was broken");
    LastGuestAfterClose = row("last_guest_min_after_close", "min", 1, "when the last guests left, after closing; below 0 before it");
    LastWareAfterClose = row("last_ware_min_after_close", "min", 1, "when soiled ware last came to the drop-off, after closing; below 0 before it. What is sent back to be washed again does not count");
    LastRackAfterClose = row("last_rack_min_after_close", "min", 1, "when the last rack left a machine, after closing; below 0 before it");
    CrewOutAfterClose = row("crew_out_min_after_close", "min", 1, "when the last operator left, after closing; below 0 before it");
    FinishedShare = row("finished_share", "1", 3, "1 if all was done before the ‹evening› was given up, 0 if not: its mean is the share of the ‹evenings› that were finished");
    Water = row("water_l", "L", 0, "fresh water used: fill of the tanks, final rinse, pre-rinse spray, soak sinks, pot sink, as far as the scenario says what they take");
    Energy = row("energy_kwh", "kWh", 1, "energy used by machines and the pot sink: heating the fill, heaters, booster, pumps and fans, as far as the scenario says what they take");
    TankHeat = row("tank_heat_kwh", "kWh", 1, "of the energy, what heated tanks: their fill above its supply, and their heaters");
    BoosterHeat = row("booster_kwh", "kWh", 1, "of the energy, what heated the final rinse: the fill of the booster above its supply, and its heater");
    Pumps = row("pumps_kwh", "kWh", 1, "of the energy, what drove pumps");
    Dryer = row("dryer_kwh", "kWh", 1, "of the energy, what drove the fans of blow-dry zones");
    PotSinkHeat = row("pot_sink_kwh", "kWh", 1, "of the energy, what heated the fillings of the pot sink above their supply");
    HeatLost = row("heat_lost_kwh", "kWh", 1, "of the heat in tanks and booster, what was lost to the room; below 0 where the room was warmer");
    Detergent = row("detergent_kg", "kg", 2, "detergent used: the dose of the fresh water of the machines, and of the wash compartment of the pot sink");
    RinseAid = row("rinse_aid_l", "L", 2, "rinse aid used: the dose of the final rinse");
    LabourHours = row("labour_h", "h", 1, "time the crew was present and paid, breaks included");
    Cost = row("cost", "money", 2, "cost of the service at the scenario's prices: the sum of its parts that have both a quantity and a price");
    CostPerCover = row("cost_per_cover", "money", 2, "the same for each cover");
    CostPerRack = row("cost_per_rack", "money", 2, "the same for each rack that entered a machine");
}

impl Measure {
    /// Whether it can be below 0. All others count or measure what there is.
    #[must_use]
    pub const fn can_be_below_0(self) -> bool {
        matches!(
            self,
            Self::MachineReady
                | Self::LastGuestAfterClose
                | Self::LastWareAfterClose
                | Self::LastRackAfterClose
                | Self::CrewOutAfterClose
                | Self::HeatLost
        )
    }
}

measures! {
    /// A measure of one kind of ware.
    WareMeasure, WARE_MEASURES, WARE_MEASURE_COUNT:
    Pieces = row("pieces", "pieces", 0, "pieces that entered a machine for the first time; without a machine, that left the soiled side");
    RewashedShare = row("rewashed_share", "1", 4, "of pieces leaving inspection, the share sent back");
    SentOutSoiledShare = row("sent_out_soiled_share", "1", 4, "of pieces leaving as clean, the share that was dirty and not caught");
    DriedOnShare = row("dried_on_share", "1", 4, "of pieces entering a machine for the first time, the share dried on");
    WaitMean = row("wait_mean_min", "min", 1, "mean time of a piece from reaching the drop-off to entering a machine for the first time, less its time in the soak");
    ShortCovers = row("short_covers", "covers", 1, "covers that had to wait for this ware, counted again for each course");
    CleanLying = row("clean_lying_when_short", "pieces", 0, "clean pieces of it that waited to be put away when covers had to wait for it, averaged over those covers");
    CleanLeast = row("clean_stock_least", "pieces", 0, "least clean stock at any moment");
}

measures! {
    /// A measure of one operator.
    OperatorMeasure, OPERATOR_MEASURES, OPERATOR_MEASURE_COUNT:
    BusyShare = row("busy_share", "1", 3, "of the time present, breaks apart, the share spent working or walking to it");
    WalkingShare = row("walking_share", "1", 3, "of the time present, breaks apart, the share spent walking");
    Overtime = row("overtime_min", "min", 1, "time present after the end of the shift, working or not");
    Present = row("present_h", "h", 2, "time present, breaks included");
    Stretch = row("longest_stretch_h", "h", 2, "longest time present without a break that counts by [rules]");
    RulesBroken = row("rules_broken_share", "1", 3, "1 if their hours broke a rule of [rules], 0 if not: its mean is the share of the ‹evenings› in which one was broken");
    Cost = row("cost", "money", 2, "cost of the time present, breaks included, at the wage; after the end of the shift at the factor for overtime");
}

measures! {
    /// A measure of one station (the duty done there).
    StationMeasure, STATION_MEASURES, STATION_MEASURE_COUNT:
    Units = row("units", "units", 0, "units of work finished");
    BusyShare = row("busy_share", "1", 3, "mean number at work there, walking apart, over the places there are, from the start to the end of the ‹evening›");
    QueueMean = row("queue_mean", "queue", 2, "what waits there, averaged over time from the start to the end of the ‹evening›: racks to unload or for a hood, pieces of everything else");
    QueueMax = row("queue_max", "queue", 0, "most that waits there at any moment; over several ‹evenings›, the mean of these maxima");
    QueueWaitMean = row("queue_wait_mean_min", "min", 2, "mean wait of what was taken up there");
    NoPerson = row("waits_for_person_min", "min", 1, "whole minutes of the ‹evening› at whose mark work waited there for somebody free to do it");
    NoPlace = row("waits_for_place_min", "min", 1, "whole minutes of the ‹evening› at whose mark work waited there for a free place, station, sink or machine");
    NoRack = row("waits_for_rack_min", "min", 1, "whole minutes of the ‹evening› at whose mark work waited there for an empty rack");
    NoRoom = row("waits_for_room_min", "min", 1, "whole minutes of the ‹evening› at whose mark work waited there for room further on");
}

measures! {
    /// A measure of one part of the cost.
    CostMeasure, COST_MEASURES, COST_MEASURE_COUNT:
    Cost = row("cost", "money", 2, "cost of this part; none if its quantity is not measured or its price is not given");
    Share = row("share", "1", 3, "share of this part in the cost of the service");
    CostPerCover = row("cost_per_cover", "money", 3, "cost of this part for each cover");
    CostPerRack = row("cost_per_rack", "money", 3, "cost of this part for each rack that entered a machine");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_can_be_below_0_says_so() {
        for measure in Measure::ALL {
            let said = measure.info().meaning.contains("below 0");
            assert_eq!(measure.can_be_below_0(), said, "{}", measure.info().name);
        }
    }
}
