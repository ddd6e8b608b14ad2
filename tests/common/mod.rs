//! Rooms for tests, put together in Rust: an empty one, and a builder for each part of it.
//!
//! Every part is the plainest that works: times do not vary, soil does not dry, nobody walks. A test
//! says only what it is about.

#![allow(dead_code, missing_docs)] // each test binary uses its own part

pub mod bad_files;
pub mod random_room;
mod washed;

use scullery::room::Room;
use scullery::scenario::model::*;
use scullery::service::Service;
use scullery::service::diary::{Entry, Happening};
use scullery::service::outcome::Outcome;

#[allow(unused_imports)] // each test binary uses its own part
pub use washed::{measures, played, racks_at};

/// Opening of every test evening, s after midnight.
pub const NOON: f64 = 43_200.0;

/// A time that does not vary, s.
pub fn fixed(mean_s: f64) -> TimeDistribution {
    TimeDistribution {
        mean_s,
        cv: 0.0,
        shape: Shape::Fixed,
        observations_s: Vec::new(),
    }
}

/// A time that varies, s.
pub fn varying(mean_s: f64, cv: f64, shape: Shape) -> TimeDistribution {
    TimeDistribution {
        shape,
        cv,
        ..fixed(mean_s)
    }
}

pub fn at(x_m: f64, y_m: f64) -> Position {
    Position { x_m, y_m }
}

/// Opens at noon for two hours; nothing comes, nothing is there.
pub fn empty() -> Scenario {
    Scenario {
        title: "test".into(),
        note: String::new(),
        service: ServiceHours {
            called: None,
            busyness_cv: 0.0,
            called_plural: None,
            opens_s: NOON,
            closes_s: NOON + 7_200.0,
            give_up_after_s: 21_600.0,
        },
        guests: None,
        party: Vec::new(),
        menu: Vec::new(),
        soiled: Vec::new(),
        soiled_log: None,
        backlog: Vec::new(),
        delivery: Vec::new(),
        soil: vec![soil("sauce")],
        ware: Vec::new(),
        rack: Vec::new(),
        air: Air {
            temperature_c: 24.0,
            humidity: 0.5,
            speed_m_per_s: 0.1,
            surface: Surface::Air,
            drying_multiplier: 0.0,
            on_tables: 1.0,
            in_tubs: 1.0,
            in_racks: 1.0,
        },
        clear_down: None,
        drop_off: DropOff {
            tubs: None,
            tub_length_m: 0.508,
            decoy_racks: Vec::new(),
            decoy_takes_s: 0.0,
            position: Position::default(),
        },
        scrape: None,
        pre_rinse: None,
        soak: None,
        pot_sink: None,
        loading: None,
        machine: Vec::new(),
        supply: None,
        unload: None,
        dollies: None,
        inspect: None,
        put_away: None,
        walking: None,
        set_up: Vec::new(),
        close_down: Vec::new(),
        fault: Vec::new(),
        roster: Vec::new(),
        hands: Hands {
            wash_s: 0.0,
            position: None,
        },
        rules: None,
        prices: None,
    }
}

/// A task without machine or conditions.
pub fn task(name: &str, takes_s: f64) -> Task {
    Task {
        name: name.into(),
        takes: fixed(takes_s),
        by: None,
        after: Vec::new(),
        machine: None,
        does: None,
        flow_l_per_s: 0.3,
        racks_wait: true,
    }
}

/// A fault that stops the machine after exactly so long a run, is noticed at once, and is repaired so fast.
pub fn stops(name: &str, every_s: f64, mend_s: f64) -> Fault {
    Fault {
        name: name.into(),
        machine: None,
        every_s: Some(every_s),
        at_s: None,
        lasts_s: None,
        strikes: Strikes::Regularly,
        alarm_after_s: Some(0.0),
        check_every_s: None,
        check_takes_s: 0.0,
        outside: None,
        dirty_in_rack: None,
        mend: fixed(mend_s),
        stops: true,
        mend_stops: true,
        spray: 1.0,
        detergent: 1.0,
        heat: 1.0,
        level: 1.0,
    }
}

/// A fault that strikes once, so long after noon, and passes by itself after so long.
pub fn passes(name: &str, at_s: f64, lasts_s: f64) -> Fault {
    Fault {
        every_s: None,
        at_s: Some(NOON + at_s),
        lasts_s: Some(lasts_s),
        alarm_after_s: None,
        ..stops(name, 1.0, 0.0)
    }
}

pub fn soil(name: &str) -> Soil {
    Soil {
        name: name.into(),
        film_m: 1e-4,
        film_cv: 0.0,
        amount_kg: 0.005,
        critical_moisture: 0.4,
        soak_time_constant_s: 300.0,
        dirty_when_fresh: 0.02,
        dirty_when_dried: 0.5,
    }
}

/// Ware that is washed one piece per rack, so that a piece is a rack; it takes no time by itself.
pub fn ware(name: &str, rack: &str, per_rack: u32) -> Ware {
    Ware {
        name: name.into(),
        rack_kind: rack.into(),
        per_rack,
        owned: None,
        soak: SoakPolicy::Never,
        material: None,
        dries_in_s: None,
        weight_kg: 0.4,
        washed_at: WashedAt::Machine,
        scrub_s: 0.0,
        scrape_s: 0.0,
        pre_rinse_s: 0.0,
        load_s: 0.0,
        unload_s: 0.0,
        inspect_s: 0.0,
        put_away_s: 0.0,
    }
}

/// Racks with a pitch of one metre that leave when full, or after ten minutes.
pub fn rack(name: &str, fleet: u32) -> Rack {
    Rack {
        name: name.into(),
        fleet,
        footprint_m: 1.0,
        weight_kg: 2.0,
        fill: 1.0,
        full_enough: 1.0,
        stored_in_rack: false,
        carry: fixed(20.0),
        wait_at_most_s: 600.0,
    }
}

pub fn backlog(ware: &str, pieces: u32) -> BacklogRow {
    BacklogRow {
        name: format!("{ware} left over"),
        ware: ware.into(),
        soil: "sauce".into(),
        pieces,
        age_s: 0.0,
    }
}

/// Pieces evenly over an interval, `from_s` and `to_s` counted from noon.
pub fn stream(ware: &str, from_s: f64, to_s: f64, pieces: f64) -> SoiledRow {
    SoiledRow {
        name: format!("{ware} stream"),
        ware: ware.into(),
        soil: "sauce".into(),
        from_s: NOON + from_s,
        to_s: NOON + to_s,
        pieces,
        at_a_time: 1,
        arrivals: Arrivals::Even,
    }
}

/// Logged arrivals of one ware: (s after noon, pieces).
pub fn logged(ware: &str, rows: &[(f64, u32)]) -> SoiledLog {
    SoiledLog {
        soil: "sauce".into(),
        rows: rows
            .iter()
            .map(|&(time_s, pieces)| SoiledLogRow {
                time_s: NOON + time_s,
                ware: ware.into(),
                pieces,
            })
            .collect(),
    }
}

/// Parties as logged: (seated, covers, left), s after noon.
pub fn parties(style: Style, rows: &[(f64, u32, f64)]) -> Guests {
    Guests {
        style,
        arrivals: Arrivals::Even,
        seating: Vec::new(),
        log: rows
            .iter()
            .map(|&(seated, covers, left)| LoggedParty {
                seated_at_s: NOON + seated,
                covers,
                left_at_s: Some(NOON + left),
            })
            .collect(),
        seats: None,
        seat_wait_at_most_s: None,
        party_sizes: Vec::new(),
        dwell: fixed(3_600.0),
        dwell_per_extra_cover_s: 0.0,
    }
}

/// A party that is booked: when it sits down, s after noon, how many they are, and how long they stay.
pub fn booking(name: &str, at_s: f64, covers: u32, stays_s: f64) -> Booking {
    Booking {
        name: name.into(),
        at_s: NOON + at_s,
        covers,
        stays: fixed(stays_s),
    }
}

pub fn course(ware: &str, per_cover: f64, laid: f64, cleared: f64) -> MenuRow {
    MenuRow {
        name: format!("{ware} course"),
        ware: ware.into(),
        per_cover,
        soil: "sauce".into(),
        laid,
        cleared,
    }
}

pub fn bench(places: u32, per_unit_s: f64, batch: u32) -> Bench {
    Bench {
        places,
        per_unit: fixed(per_unit_s),
        batch,
        removes: 0.8,
        dried_takes: 1.0,
        thins: 0.0,
        position: Position::default(),
    }
}

/// A ware that is washed by hand; it takes no time by itself.
pub fn pot(name: &str) -> Ware {
    Ware {
        washed_at: WashedAt::PotSink,
        ..ware(name, "", 1)
    }
}

/// A pot sink for one, that holds so many pieces for so long to sanitise them; nothing else takes time.
pub fn pot_sink(holds: u32, contact_s: f64) -> PotSink {
    PotSink {
        places: 1,
        per_unit: fixed(0.0),
        rinse_s: 0.0,
        dried_takes: 1.0,
        sanitises_by: SinkSanitiser::Quat,
        contact_s,
        holds,
        drainboard: None,
        dries_in_s: 0.0,
        wash_c: 43.0,
        sanitise_c: None,
        water_l: None,
        supply_c: 15.0,
        detergent_g_per_l: 2.0,
        change_every_s: None,
        change_after: None,
        change_s: 0.0,
        position: Position::default(),
    }
}

pub fn unload(places: u32, per_unit_s: f64) -> Unload {
    Unload {
        places,
        per_unit: fixed(per_unit_s),
        left_until: LeftUntil::Drained,
    }
}

/// Dollies for so many racks, and how long it takes to move one there.
pub fn dollies(places: u32, takes_s: f64) -> Dollies {
    Dollies {
        places,
        racks: Vec::new(),
        takes: fixed(takes_s),
        once_on_landing: None,
        position: Position::default(),
    }
}

pub fn loading(stations: u32, per_unit_s: f64) -> Loading {
    Loading {
        stations,
        per_unit: fixed(per_unit_s),
        table: None,
        position: Position::default(),
    }
}

/// A conveyor of one metre in ten seconds: with racks of one metre, a rack each ten seconds.
pub fn conveyor(lane: u32, landing: u32, tunnel_m: f64) -> Machine {
    Machine {
        name: "conveyor".into(),
        lane: Places::Count(lane),
        racks: Vec::new(),
        landing: Places::Count(landing),
        drain_s: 0.0,
        position: Position::default(),
        loading: None,
        store: None,
        contact_time_s: tunnel_m / 0.1,
        wash_factor: 1.0,
        sanitising: Sanitising::HotWater,
        kind: MachineKind::RackConveyor {
            tunnel_m,
            zones: Vec::new(),
            speed_m_per_s: 0.1,
            idle_after_s: None,
            restart_s: 0.0,
            rinse_runs: RinseRuns::WithRack,
            when_cold: WhenCold::Count,
            booster: None,
            supply_c: 60.0,
            detergent_g_per_l: 2.0,
            rinse_aid_l_per_l: 0.0003,
            soil_halves_wash_g_per_l: None,
            cold_halves_wash_k: None,
            water_change: None,
            change_water_within_s: None,
            least_level: 0.67,
        },
    }
}

/// A tunnel of 6 m, a rack each 10 s, 60 s inside: 2 m of wash, 2 m of rinse, 2 m of final rinse.
pub fn washer() -> Machine {
    let mut machine = conveyor(400, 4, 6.0);
    let MachineKind::RackConveyor { zones, booster, .. } = &mut machine.kind else {
        panic!("a conveyor")
    };
    *zones = vec![
        Zone {
            temperature_c: Some(66.0),
            tank_l: Some(80.0),
            heater_w: Some(15_000.0),
            idle_loss_w: 1_500.0,
            pump_w: Some(1_000.0),
            ..zone("wash", ZoneKind::Wash, 2.0)
        },
        zone("rinse", ZoneKind::Rinse, 2.0),
        Zone {
            temperature_c: Some(85.0),
            minimum_c: Some(82.0),
            flow_l_per_s: Some(0.2),
            ..zone("final rinse", ZoneKind::FinalRinse, 2.0)
        },
    ];
    *booster = Some(Booster {
        power_w: 30_000.0,
        holds_l: 20.0,
        hot_water: HotWater::Stirred,
        idle_loss_w: 0.0,
    });
    machine
}

/// A hood of 50 s with 5 s to change racks, which nobody is needed for: 40 L held at 66 °C, 3 L of rinse at 85 °C in the
/// last 10 s.
pub fn wet_hood() -> Machine {
    let mut machine = hood(400, 4, 50.0, 5.0, false);
    if let MachineKind::Hood { water, .. } = &mut machine.kind {
        *water = Some(HoodWater {
            rinse: Some(HoodRinse {
                water_l: 3.0,
                time_s: 10.0,
                temperature_c: Some(85.0),
                minimum_c: Some(82.0),
            }),
            tank: Some(HoodTank {
                holds_l: 40.0,
                temperature_c: 66.0,
                minimum_c: None,
                heater_w: Some(6_000.0),
                idle_loss_w: 700.0,
                pump_w: Some(800.0),
            }),
            booster: Some(Booster {
                power_w: 12_000.0,
                holds_l: 12.0,
                hot_water: HotWater::Stirred,
                idle_loss_w: 0.0,
            }),
            supply_c: 60.0,
            detergent_g_per_l: 2.0,
            rinse_aid_l_per_l: 0.0003,
            soil_halves_wash_g_per_l: None,
            cold_halves_wash_k: None,
            when_cold: WhenCold::Count,
        });
    }
    machine
}

/// Water that is changed by hand: so often, hands of so long, a minute to drain, 0.4 L/s to fill.
pub fn changed_by_hand(machine: &mut Machine, every_s: f64, hands_s: f64) {
    let (MachineKind::RackConveyor { water_change, .. } | MachineKind::Hood { water_change, .. }) =
        &mut machine.kind;
    *water_change = Some(WaterChange {
        every_s: Some(every_s),
        at_soil_g_per_l: None,
        by_hand: Some(fixed(hands_s)),
        drain_s: 60.0,
        flow_l_per_s: 0.4,
    });
}

/// A zone without water.
pub fn zone(name: &str, kind: ZoneKind, length_m: f64) -> Zone {
    Zone {
        name: name.into(),
        kind,
        length_m,
        contact_time_s: None,
        temperature_c: None,
        minimum_c: None,
        tank_l: None,
        catches: 0.7,
        heater_w: None,
        idle_loss_w: 0.0,
        pump_w: None,
        flow_l_per_s: None,
    }
}

pub fn hood(lane: u32, landing: u32, cycle_s: f64, load_time_s: f64, attended: bool) -> Machine {
    Machine {
        name: "hood".into(),
        contact_time_s: cycle_s,
        kind: MachineKind::Hood {
            cycle: fixed(cycle_s),
            load_time_s,
            attended,
            position: Position::default(),
            water: None,
            water_change: None,
            change_water_within_s: None,
        },
        ..conveyor(lane, landing, 1.0)
    }
}

/// Somebody with duties, the most preferred first, from noon for two hours; they stay on.
pub fn person(name: &str, duties: &[Duty]) -> RosterRow {
    RosterRow {
        name: name.into(),
        count: 1,
        from_s: NOON,
        to_s: NOON + 7_200.0,
        stays: true,
        absent: 0.0,
        late_by: None,
        late: None,
        breaks: Vec::new(),
        called: None,
        pace_cv: 0.0,
        slower_per_h: 0.0,
        pace: 1.0,
        home: None,
        wage_per_h: None,
        machines: Vec::new(),
        duties: duties.iter().map(|&duty| always(duty)).collect(),
    }
}

pub fn always(duty: Duty) -> DutyEntry {
    DutyEntry {
        duty,
        once_waiting: 0,
        once_short: false,
    }
}

pub fn once(duty: Duty, once_waiting: u32) -> DutyEntry {
    DutyEntry {
        once_waiting,
        ..always(duty)
    }
}

/// Prices of labour alone, overtime half as much again.
pub fn labour_at(labour_per_h: f64) -> Prices {
    Prices {
        currency: None,
        labour_per_h: Some(labour_per_h),
        overtime_factor: 1.5,
        water_per_m3: None,
        sewer_per_m3: None,
        energy_per_kwh: None,
        detergent_per_kg: None,
        rinse_aid_per_l: None,
    }
}

/// Plays an evening with a diary, the recount holding after every event.
pub fn diary_of(scenario: &Scenario) -> (Vec<Entry>, bool) {
    let room = Room::of(scenario);
    let mut service = Service::new(&room);
    service.keep_diary();
    service.begin(1, 0);
    while service.step() {
        service.audit().expect("the books agree");
    }
    (service.diary().to_vec(), service.finished())
}

/// Plays an evening; its measures.
pub fn outcome(scenario: &Scenario) -> Outcome {
    let room = Room::of(scenario);
    let mut service = Service::new(&room);
    service.play(1, 0);
    let mut outcome = Outcome::new(&room);
    service.outcome(&mut outcome);
    outcome
}

/// Moments, s after the start, of the diary lines that `wanted` picks.
pub fn times(diary: &[Entry], wanted: impl Fn(&Happening) -> bool) -> Vec<f64> {
    let lines = diary.iter().filter(|line| wanted(&line.what));
    lines.map(|line| line.at.s()).collect()
}

/// When racks enter a machine.
pub fn enters(diary: &[Entry]) -> Vec<f64> {
    times(diary, |what| matches!(what, Happening::Enters { .. }))
}

/// When racks leave a machine.
pub fn leaves(diary: &[Entry]) -> Vec<f64> {
    times(diary, |what| matches!(what, Happening::Leaves { .. }))
}

/// When faults strike.
pub fn strikes(diary: &[Entry]) -> Vec<f64> {
    times(diary, |what| matches!(what, Happening::Strikes { .. }))
}

/// Racks that wait at noon before a conveyor of six metres; nobody is needed to unload.
pub fn racks_and_porter(racks: u32, hands: &[Duty]) -> Scenario {
    let mut room = empty();
    room.ware = vec![ware("plate", "peg", 1)];
    room.rack = vec![rack("peg", racks)];
    room.backlog = vec![backlog("plate", racks)];
    room.loading = Some(loading(racks, 0.0));
    room.machine = vec![conveyor(racks, racks, 6.0)];
    room.roster = vec![person("loader", &[Duty::Load]), person("porter", hands)];
    room
}
