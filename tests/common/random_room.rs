//! Random rooms over the whole model, for the properties.

use proptest::option::weighted;
use proptest::prelude::*;
use scullery::scenario::model::*;

use super::*;

/// A random room, and whether it must finish: every duty held, without condition, by somebody who
/// stays, stock for the largest party, and no more faults than can be mended.
#[derive(Debug, Clone)]
pub struct Case {
    pub scenario: Scenario,
    pub must_finish: bool,
    pub seed: u64,
}

fn time(mean: std::ops::Range<f64>) -> impl Strategy<Value = TimeDistribution> {
    let shape = prop_oneof![
        4 => Just((Shape::Fixed, 0.0)),
        1 => Just((Shape::Lognormal, 0.5)),
        1 => Just((Shape::Gamma, 0.7)),
        1 => Just((Shape::Exponential, 1.0)),
        1 => Just((Shape::Triangular, 0.4)),
        1 => Just((Shape::Uniform, 0.57)),
        1 => Just((Shape::Empirical, 0.5)),
    ];
    let mean =
        prop_oneof![1 => Just(mean.start), 3 => mean.clone().prop_map(f64::round), 1 => mean];
    (mean, shape).prop_map(|(mean_s, (shape, cv))| {
        let mut time = varying(mean_s, cv, shape);
        if shape == Shape::Empirical {
            time.observations_s = vec![0.5 * mean_s, mean_s, 1.5 * mean_s];
        }
        time
    })
}

/// A place on a plan of ten metres square, often the corner.
fn spot() -> impl Strategy<Value = Position> {
    prop_oneof![
        Just(Position::default()),
        (0.0..10.0, 0.0..10.0).prop_map(|(x, y)| at(x, y))
    ]
}

fn name_of(list: &'static str) -> impl Strategy<Value = String> {
    (0..2_u32).prop_map(move |number| format!("{list} {number}"))
}

prop_compose! {
    fn any_soil()(film_cv in 0.0..1.0, film in 2e-5..3e-4, fresh in 0.001..0.3, more in 0.0..0.5)
        -> Soil {
        let mut soil = soil("");
        (soil.film_m, soil.film_cv) = (film, film_cv);
        (soil.dirty_when_fresh, soil.dirty_when_dried) = (fresh, fresh + more);
        soil
    }
}

prop_compose! {
    fn any_ware()(rack in name_of("rack"), per_rack in 1..12_u32,
        soak in prop_oneof![Just(SoakPolicy::Never), Just(SoakPolicy::Always), Just(SoakPolicy::WhenDried)],
        seconds in prop::array::uniform6(prop_oneof![Just(0.0), 0.0..4.0]),
        owned in weighted(0.6, 1..60_u32), dries_in_s in weighted(0.3, 0.0..900.0)) -> Ware {
        let [scrape_s, pre_rinse_s, load_s, unload_s, inspect_s, put_away_s] = seconds;
        Ware { rack_kind: rack, dries_in_s, per_rack, owned, soak, scrape_s, pre_rinse_s, load_s, unload_s,
            inspect_s, put_away_s, ..ware("", "", 1) }
    }
}

prop_compose! {
    fn any_rack()(fleet in prop_oneof![Just(1_u32), 1..6_u32], footprint_m in 0.3..1.2,
        fill in prop_oneof![Just(1.0), 0.1..2.0], full_enough in 0.05..=1.0, wait_at_most_s in 0.0..900.0, stored_in_rack in weighted(0.3, time(0.0..60.0))) -> Rack {
        let (carry, stored_in_rack) = (stored_in_rack.clone().unwrap_or(fixed(20.0)), stored_in_rack.is_some());
        Rack { stored_in_rack, carry, footprint_m, fill, full_enough, wait_at_most_s, ..rack("", fleet) }
    }
}

prop_compose! {
    fn any_guests()(style in prop_oneof![Just(Style::Table), Just(Style::Banquet), Just(Style::Cafeteria)],
        even in any::<bool>(), intervals in prop::collection::vec((0.0..5000.0, prop_oneof![Just(0.0), 0.0..2000.0], 0.0..15.0), 0..3),
        log in prop::collection::vec((0.0..6000.0, 1..6_u32, prop::option::of(300.0..4000.0)), 0..4),
        dwell in time(60.0..4000.0), extra in 0.0..300.0, seats in (weighted(0.5, 5..30_u32), weighted(0.7, 0.0..3000.0))) -> Guests {
        let mut guests = parties(style, &[]);
        guests.arrivals = if even { Arrivals::Even } else { Arrivals::Random };
        guests.seating = intervals.into_iter().map(|(from, length, covers)| Seating {
            from_s: NOON + from, to_s: NOON + from + length, covers }).collect();
        guests.log = log.into_iter().map(|(seated, covers, stays): (f64, u32, Option<f64>)| LoggedParty {
            seated_at_s: NOON + seated, covers, left_at_s: stays.map(|stays| NOON + seated + stays) }).collect();
        guests.party_sizes = vec![PartySize { covers: 1, weight: 1.0 }, PartySize { covers: 4, weight: 2.0 }];
        (guests.dwell, guests.dwell_per_extra_cover_s) = (dwell, extra);
        (guests.seats, guests.seat_wait_at_most_s) = seats;
        guests
    }
}

prop_compose! {
    fn any_booking()(at in 0.0..5000.0, covers in 1..6_u32, stays in time(60.0..4000.0)) -> Booking {
        Booking { stays, ..booking("", at, covers, 0.0) }
    }
}

prop_compose! {
    fn any_course()(ware in name_of("ware"), soil in name_of("soil"), per_cover in 0.1..3.0, a in 0.0..=1.0, b in 0.0..=1.0) -> MenuRow {
        MenuRow { soil, ..course(&ware, per_cover, f64::min(a, b), f64::max(a, b)) }
    }
}

prop_compose! {
    fn any_stream()(ware in name_of("ware"), soil in name_of("soil"), from in -1800.0..6000.0, length in prop_oneof![Just(0.0), 0.0..2000.0],
        pieces in 0.0..40.0, at_a_time in 1..8_u32, even in any::<bool>()) -> SoiledRow {
        let arrivals = if even { Arrivals::Even } else { Arrivals::Random };
        SoiledRow { soil, at_a_time, arrivals, ..stream(&ware, from, from + length, pieces) }
    }
}

prop_compose! {
    fn any_backlog()(ware in name_of("ware"), soil in name_of("soil"), pieces in 1..30_u32, age_s in 0.0..20_000.0) -> BacklogRow {
        BacklogRow { soil, age_s, ..backlog(&ware, pieces) }
    }
}

prop_compose! {
    fn any_delivery()(ware in name_of("ware"), pieces in 1..30_u32, at in 0.0..8000.0) -> Delivery {
        Delivery { name: String::new(), at_s: NOON + at, ware, pieces }
    }
}

fn any_log() -> impl Strategy<Value = SoiledLog> {
    let rows = prop::collection::vec((0.0..7000.0, 1..9_u32), 0..4);
    (name_of("ware"), rows).prop_map(|(ware, rows)| SoiledLog {
        soil: "soil 0".into(),
        ..logged(&ware, &rows)
    })
}

/// All that comes.
#[derive(Debug, Clone)]
struct Comes {
    guests: Option<Guests>,
    party: Vec<Booking>,
    menu: Vec<MenuRow>,
    soiled: Vec<SoiledRow>,
    log: Option<SoiledLog>,
    backlog: Vec<BacklogRow>,
    delivery: Vec<Delivery>,
    soil: Vec<Soil>,
    ware: Vec<Ware>,
    rack: Vec<Rack>,
}

prop_compose! {
    fn comes()(guests in weighted(0.7, any_guests()), party in prop::collection::vec(any_booking(), 0..3), menu in prop::collection::vec(any_course(), 0..4),
        soiled in prop::collection::vec(any_stream(), 0..3), log in weighted(0.2, any_log()),
        backlog in prop::collection::vec(any_backlog(), 0..3), delivery in prop::collection::vec(any_delivery(), 0..3), soil in prop::collection::vec(any_soil(), 2),
        ware in prop::collection::vec(any_ware(), 2), rack in prop::collection::vec(any_rack(), 2)) -> Comes {
        Comes { guests, party, menu, soiled, log, backlog, delivery, soil, ware, rack }
    }
}

prop_compose! {
    fn any_clear_down()(crew in any::<bool>(), wait in any::<bool>(), tub in 1..20_u32, trip in time(0.0..200.0), wait_at_most_s in 0.0..900.0, fleet in weighted(0.4, 1..9_u32))
        -> ClearDown {
        ClearDown { by: if crew { Carrier::Crew } else { Carrier::FloorStaff }, tub, fleet, trip, wait_at_most_s,
            when_full: if wait { WhenFull::Wait } else { WhenFull::Floor } }
    }
}

prop_compose! {
    fn any_bench()(places in 1..3_u32, per_unit in time(0.0..20.0), batch in 1..15_u32, position in spot()) -> Bench {
        Bench { places, per_unit, batch, removes: 0.8, dried_takes: 1.0, thins: 0.0, position }
    }
}

fn table() -> impl Strategy<Value = Option<u32>> {
    prop::option::of(prop_oneof![1..4_u32, 1..40_u32])
}

prop_compose! {
    fn any_pre_rinse()(bench in any_bench(), table in table(), wets in 0.0..=1.0) -> PreRinse {
        PreRinse { places: bench.places, per_unit: bench.per_unit, batch: bench.batch, table, wets, removes: 0.6, flow_l_per_s: Some(0.06), position: bench.position }
    }
}

prop_compose! {
    fn any_soak()(sinks in 1..3_u32, holds in 1..30_u32, time_s in prop_oneof![Just(0.0), 0.0..300.0], put_in_s in 0.0..1.0,
        take_out_s in 0.0..1.0, per_unit in time(0.0..10.0), full_enough in 0.05..=1.0, wait_at_most_s in 0.0..900.0, position in spot())
        -> Soak {
        Soak { sinks, holds, time_s, water_l: Some(60.0), put_in_s, take_out_s, per_unit, full_enough, wait_at_most_s, position }
    }
}

prop_compose! {
    fn any_pot_sink()(places in 1..3_u32, per_unit in time(0.0..60.0), rinse_s in 0.0..10.0, dried_takes in prop_oneof![Just(1.0), 1.0..4.0],
        sanitises_by in prop_oneof![Just(SinkSanitiser::HotWater), Just(SinkSanitiser::Iodine), Just(SinkSanitiser::Quat)],
        contact_s in prop_oneof![Just(0.0), 0.0..300.0], holds in prop_oneof![Just(1_u32), 1..9_u32], drainboard in prop::option::of(1..12_u32),
        dries_in_s in prop_oneof![Just(0.0), 0.0..400.0], change_every_s in prop::option::of(60.0..6000.0), change_after in prop::option::of(1..40_u32),
        change_s in prop_oneof![Just(0.0), 0.0..400.0]) -> PotSink {
        PotSink { places, per_unit, rinse_s, dried_takes, sanitises_by, drainboard, dries_in_s, water_l: Some(60.0), change_every_s, change_after, change_s, ..pot_sink(holds, contact_s) }
    }
}

prop_compose! {
    fn any_machine()(lane in 0..4_u32, landing in 1..5_u32, drain_s in prop_oneof![Just(0.0), 0.0..60.0], position in spot(),
        is_hood in any::<bool>(), tunnel_m in 0.1..3.0, idle_after_s in prop::option::of(0.0..400.0), restart_s in 0.0..30.0,
        cycle in time(1.0..90.0), load_time_s in prop_oneof![Just(0.0), 0.0..20.0], attended in any::<bool>(), at in spot(),
        wet in weighted(0.5, any_wet())) -> Machine {
        let kind = if is_hood {
            MachineKind::Hood { cycle, load_time_s, attended, position: at, water: None, water_change: None, change_water_within_s: None }
        } else {
            MachineKind::RackConveyor { tunnel_m, zones: Vec::new(), speed_m_per_s: 0.03, idle_after_s, restart_s, rinse_runs: RinseRuns::WithRack, when_cold: WhenCold::Count, booster: None, supply_c: 60.0, detergent_g_per_l: 2.0, rinse_aid_l_per_l: 0.0003, soil_halves_wash_g_per_l: None, cold_halves_wash_k: None, water_change: None, change_water_within_s: None, least_level: 0.67 }
        };
        let mut machine = Machine { drain_s, position, kind, ..conveyor(lane, landing, 1.0) };
        if let (Some(wet), MachineKind::Hood { water, water_change, .. }) = (&wet, &mut machine.kind) {
            *water_change = wet.change.clone();
            *water = Some(wet.hood());
        }
        if let (Some(wet), MachineKind::RackConveyor { zones, booster, when_cold, water_change, .. }) = (wet, &mut machine.kind) {
            let rinse = Zone { temperature_c: Some(85.0), minimum_c: Some(82.0), flow_l_per_s: Some(wet.flow_l_per_s), ..zone("rinse", ZoneKind::FinalRinse, tunnel_m / 2.0) };
            let wash = Zone { temperature_c: Some(66.0), tank_l: Some(80.0), heater_w: Some(9_000.0), idle_loss_w: 1_500.0, ..zone("wash", ZoneKind::Wash, tunnel_m / 2.0) };
            *zones = vec![wash, rinse];
            *booster = Some(Booster { power_w: wet.booster_w, holds_l: 20.0, hot_water: HotWater::Stirred, idle_loss_w: 200.0 });
            *when_cold = if wet.holds { WhenCold::Hold } else { WhenCold::Count };
            *water_change = wet.change;
        }
        machine
    }
}

impl Wet {
    /// The same of a hood: three litres in ten seconds.
    fn hood(&self) -> HoodWater {
        let MachineKind::Hood {
            water: Some(water), ..
        } = wet_hood().kind
        else {
            panic!("a hood with water")
        };
        let booster = water.booster.map(|booster| Booster {
            power_w: self.booster_w,
            ..booster
        });
        let when_cold = if self.holds {
            WhenCold::Hold
        } else {
            WhenCold::Count
        };
        HoodWater {
            booster,
            when_cold,
            ..water
        }
    }
}

/// What makes a machine's water.
#[derive(Debug, Clone)]
struct Wet {
    flow_l_per_s: f64,
    booster_w: f64,
    holds: bool,
    change: Option<WaterChange>,
}

prop_compose! {
    fn any_wet()(flow_l_per_s in 0.01..0.4, booster_w in 3_000.0..40_000.0, holds in any::<bool>(), changes in any::<bool>(), every_s in 600.0..9_000.0,
        by_hand in prop::option::of(time(0.0..300.0)), at_soil in prop::option::of(0.05..3.0)) -> Wet {
        let change = WaterChange { every_s: Some(every_s), at_soil_g_per_l: at_soil, by_hand, drain_s: 60.0, flow_l_per_s: 0.3 };
        Wet { flow_l_per_s, booster_w, holds, change: changes.then_some(change) }
    }
}

prop_compose! {
    fn any_loading()(stations in 1..4_u32, per_unit in time(0.0..20.0), table in table(), position in spot()) -> Loading {
        Loading { stations, per_unit, table, position }
    }
}

prop_compose! {
    fn any_dollies()(places in 1..5_u32, takes in time(0.0..20.0), once_on_landing in weighted(0.5, 1..5_u32), one_kind in any::<bool>(), position in spot())
        -> Dollies {
        let racks = if one_kind { vec!["rack 1".to_owned()] } else { Vec::new() };
        Dollies { places, racks, takes, once_on_landing, position }
    }
}

prop_compose! {
    fn any_put_away()(places in 1..3_u32, per_unit in time(0.0..60.0), batch in 1..40_u32, wait_at_most_s in 0.0..900.0, position in spot())
        -> PutAway {
        PutAway { places, per_unit, batch, wait_at_most_s, position }
    }
}

/// The stages, any of them left out; racking and machines go together.
fn stages() -> impl Strategy<Value = Scenario> {
    let soiled = (
        weighted(0.7, any_clear_down()),
        weighted(0.5, prop_oneof![1..3_u32, 1..8_u32]),
        spot(),
        weighted(0.7, any_bench()),
        weighted(0.4, any_pre_rinse()),
        weighted(0.5, any_soak()),
    );
    let machines = prop::collection::vec(any_machine(), 1..4);
    let clean = (
        weighted(0.85, (any_loading(), machines)),
        weighted(0.7, any_bench()),
        weighted(0.5, 0.0..=1.0_f64),
        weighted(0.6, any_put_away()),
        (weighted(0.5, 0.3..2.0_f64), weighted(0.4, any_dollies())),
    );
    (soiled, clean).prop_map(|(soiled, clean)| {
        let mut room = empty();
        let (clear_down, tubs, position, scrape, pre_rinse, soak) = soiled;
        room.drop_off.tubs = tubs.map(Places::Count);
        room.drop_off.position = position;
        (room.clear_down, room.scrape) = (clear_down, scrape);
        (room.pre_rinse, room.soak) = (pre_rinse, soak);
        let (wash, unload, catches, put_away, (speed, dollies)) = clean;
        if let Some((loading, machines)) = wash {
            (room.loading, room.machine) = (Some(loading), machines);
            room.unload = unload.map(|bench| Unload {
                // The batch of a bench says nothing else here.
                left_until: if bench.batch % 2 == 0 {
                    LeftUntil::Dry
                } else {
                    LeftUntil::Drained
                },
                places: bench.places,
                per_unit: bench.per_unit,
            });
            room.inspect = catches.map(|catches| Inspect { catches });
            room.dollies = dollies.filter(|_| room.unload.is_some());
        }
        room.put_away = put_away;
        room.walking = speed.map(|speed_m_per_s| Walking { speed_m_per_s });
        room
    })
}

fn any_duties() -> impl Strategy<Value = Vec<DutyEntry>> {
    let order = Just(Duty::ALL.to_vec()).prop_shuffle();
    let conditions = prop::collection::vec(prop_oneof![3 => Just(0_u32), 1 => 1..30_u32], 12);
    let runs = weighted(0.4, (0..4_usize, any::<bool>()));
    (order, conditions, 1..13_usize, runs).prop_map(|(order, conditions, count, runs)| {
        let all = order.into_iter().zip(conditions);
        let mut all: Vec<DutyEntry> = all
            .take(count)
            .map(|(duty, waits)| once(duty, waits))
            .collect();
        if let Some((at, unloads)) = runs.filter(|(at, _)| *at < all.len()) {
            let runs = DutyEntry {
                once_short: true,
                ..always(if unloads { Duty::Unload } else { Duty::PutAway })
            };
            all.insert(at, runs);
        }
        all
    })
}

prop_compose! {
    fn any_call()(once_waiting in 1..60_u32, comes_after_s in prop_oneof![Just(0.0), 0.0..1500.0], stays_at_least_s in prop_oneof![Just(0.0), 0.0..4000.0],
        goes_below in prop_oneof![Just(0), 0..60_u32]) -> Called {
        Called { once_waiting, comes_after_s, stays_at_least_s, goes_below: goes_below.min(once_waiting) }
    }
}

prop_compose! {
    fn any_row()(count in 0..3_u32, from in -1800.0..5000.0, length in 600.0..9000.0, stays in any::<bool>(), pace in 0.3..2.0,
        breaks in prop::collection::vec((0.0..6000.0, 60.0..1500.0), 0..3), home in prop::option::of(Just(Duty::Unload)),
        called in weighted(0.3, any_call()), pace_cv in prop_oneof![2 => Just(0.0), 1 => 0.0..0.5], slower_per_h in prop_oneof![2 => Just(0.0), 1 => 0.0..0.3], pace_1 in any::<bool>(), duties in any_duties(), wage_per_h in weighted(0.7, 0.0..40.0), coming in (weighted(0.3, 0.0..=1.0), weighted(0.3, (time(0.0..6000.0), weighted(0.5, 0.0..=1.0))))) -> RosterRow {
        let mut breaks: Vec<(f64, f64)> = breaks;
        breaks.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (absent, late): (Option<f64>, Option<(TimeDistribution, Option<f64>)>) = coming;
        let (late_by, late) = late.unzip();
        RosterRow {
            absent: absent.unwrap_or(0.0), late_by, late: late.flatten(),
            count, from_s: NOON + from, to_s: NOON + from + length, stays, pace: if pace_1 { 1.0 } else { pace }, home, duties, wage_per_h,
            breaks: breaks.into_iter().map(|(at, length)| Break { from_s: NOON + from + at, to_s: NOON + from + at + length }).collect(),
            called, pace_cv, slower_per_h, ..person("", &[])
        }
    }
}

prop_compose! {
    fn any_prices()(labour_per_h in weighted(0.7, 0.0..40.0), overtime_factor in 0.0..3.0,
        prices in prop::array::uniform5(weighted(0.5, 0.0..9.0))) -> Prices {
        let [water_per_m3, sewer_per_m3, energy_per_kwh, detergent_per_kg, rinse_aid_per_l] = prices;
        Prices { currency: None, labour_per_h, overtime_factor, water_per_m3, sewer_per_m3, energy_per_kwh, detergent_per_kg,
            rinse_aid_per_l }
    }
}

prop_compose! {
    fn any_rules()(stretch in weighted(0.7, 600.0..9000.0), pause in weighted(0.5, 60.0..1500.0),
        shift_at_most_s in weighted(0.5, 1200.0..12_000.0), rest_at_least_s in weighted(0.5, 70_000.0..80_000.0)) -> Rules {
        Rules { stretch_at_most_s: stretch, break_at_least_s: pause.filter(|_| stretch.is_some()), shift_at_most_s, rest_at_least_s }
    }
}

/// What is done before and after, and what goes wrong.
#[derive(Debug, Clone)]
struct Trouble {
    set_up: Vec<Task>,
    close_down: Vec<Task>,
    fault: Vec<Fault>,
}

prop_compose! {
    /// A task that waits for some of those before it: their numbers, for now.
    fn any_task()(takes in time(0.0..200.0), racks_wait in any::<bool>(), does in prop::option::of(0..5_usize), after in prop::collection::vec(0..4_usize, 0..2))
        -> Task {
        let all = [TaskDoes::Fill, TaskDoes::Heat, TaskDoes::HeatOff, TaskDoes::PumpsOff, TaskDoes::Drain];
        Task { takes, racks_wait, does: does.map(|does| all[does]), after: after.iter().map(ToString::to_string).collect(), ..task("", 0.0) }
    }
}

prop_compose! {
    fn any_fault()(every_s in 100.0..20_000.0, random in any::<bool>(), alarm_after_s in prop::option::of(0.0..900.0), check_every_s in 60.0..3000.0,
        check_takes_s in prop_oneof![1 => Just(0.0), 1 => 0.0..20.0], outside in weighted(0.2, time(1.0..600.0)), dirty_in_rack in prop::option::of(1..4_u32), mend in time(1.0..600.0), stops_it in any::<bool>(), mend_stops in any::<bool>(),
        spray in 0.0..=1.0, heat in 0.0..=1.0, level in 0.05..=1.0, at in weighted(0.4, -1800.0..9000.0), lasts_s in weighted(0.4, 1.0..4000.0)) -> Fault {
        Fault { strikes: if random { Strikes::AtRandom } else { Strikes::Regularly }, alarm_after_s, check_every_s: Some(check_every_s),
            check_takes_s, outside: outside.filter(|_| lasts_s.is_none()), dirty_in_rack, mend, stops: stops_it, mend_stops, spray, heat, level, at_s: at.map(|at: f64| NOON + at), lasts_s, ..stops("", every_s, 0.0) }
    }
}

prop_compose! {
    fn any_trouble()(set_up in prop::collection::vec(any_task(), 0..4), close_down in prop::collection::vec(any_task(), 0..4),
        fault in prop::collection::vec(any_fault(), 0..3)) -> Trouble {
        Trouble { set_up, close_down, fault }
    }
}

/// Numbers become names; only those of tasks before stay, so that there is no circle.
fn name_tasks(tasks: &mut [Task], closes: bool) {
    for (number, task) in tasks.iter_mut().enumerate() {
        task.name = format!("task {number}");
        let before = |after: &String| after.parse::<usize>().is_ok_and(|after| after < number);
        task.after.retain(before);
        task.after
            .iter_mut()
            .for_each(|after| *after = format!("task {after}"));
        let of_set_up = matches!(task.does, Some(TaskDoes::Fill | TaskDoes::Heat));
        task.does = task.does.filter(|_| of_set_up != closes);
    }
}

/// Any room. Parts are boxed: unoptimised, all of them together do not fit on the stack of a test.
pub fn any_case() -> impl Strategy<Value = Case> {
    let roster = (
        prop::collection::vec(any_row().boxed(), 0..4),
        Just(Duty::ALL.to_vec()).prop_shuffle(),
    );
    (
        comes().boxed(),
        stages().boxed(),
        (
            roster,
            weighted(0.7, any_prices()),
            weighted(0.5, any_trouble().boxed()),
            (
                weighted(0.4, any_rules()),
                weighted(0.4, (0.0..60.0, spot())),
                weighted(0.4, any_pot_sink().boxed()),
            ),
            prop_oneof![2 => Just(0.0), 1 => 0.0..0.5],
        ),
        any::<bool>(),
        0.0..0.8_f64,
        any::<u64>(),
    )
        .prop_map(
            |(
                comes,
                room,
                ((roster, all), prices, trouble, (rules, hands, pots), busyness),
                must_finish,
                drying,
                seed,
            )| {
                let mut scenario = room;
                scenario.air.drying_multiplier = drying;
                (scenario.guests, scenario.soiled_log) = (comes.guests, comes.log);
                (scenario.menu, scenario.soiled) = (comes.menu, comes.soiled);
                (scenario.backlog, scenario.soil) = (comes.backlog, comes.soil);
                (scenario.ware, scenario.rack) = (comes.ware, comes.rack);
                scenario.delivery = comes.delivery;
                scenario.party = comes.party;
                (scenario.roster, scenario.prices) = (roster, prices);
                if let Some((wash_s, position)) = hands {
                    // Some have their sink on the way.
                    let position = (wash_s > 20.0).then_some(position);
                    scenario.hands = Hands { wash_s, position };
                }
                (scenario.rules, scenario.service.busyness_cv) = (rules, busyness);
                if let Some(trouble) = trouble.filter(|_| !scenario.machine.is_empty()) {
                    (scenario.set_up, scenario.close_down) = (trouble.set_up, trouble.close_down);
                    scenario.fault = trouble.fault;
                }
                let mut case = Case {
                    scenario,
                    must_finish,
                    seed,
                };
                if let Some(sink) = pots {
                    pots_by_hand(&mut case.scenario, sink, seed);
                }
                name_rows(&mut case.scenario);
                if seed % 5 == 0 {
                    dries_by_place(&mut case.scenario);
                }
                if seed % 4 == 1 {
                    sorts_as_it_comes(&mut case.scenario, seed);
                }
                if seed % 3 == 0 {
                    machines_take_their_own(&mut case.scenario);
                }
                if seed % 7 < 3 {
                    let flow_l_per_s = 0.1 + (seed % 11) as f64 / 10.0;
                    case.scenario.supply = Some(Supply { flow_l_per_s });
                }
                if seed % 4 < 2 {
                    crews_of_their_own(&mut case.scenario);
                }
                stock_covers_backlog(&mut case.scenario);
                if must_finish {
                    let whole = RosterRow {
                        count: 1,
                        ..person("all hands", &all)
                    };
                    case.scenario.roster.push(whole);
                    // One rack that comes back dirty four times of five is slow, not stuck.
                    case.scenario.service.give_up_after_s = 1_000_000.0;
                    case.scenario.ware.iter_mut().for_each(enough);
                    if let Some(unload) = &mut case.scenario.unload {
                        // A single rack that is left until cold plastic is dry may not come round in two days.
                        unload.left_until = LeftUntil::Drained;
                    }
                    case.must_finish = mending_keeps_up(&case.scenario);
                }
                case
            },
        )
}

/// The largest lot is a party of five with three pieces per cover.
fn enough(ware: &mut Ware) {
    ware.owned = ware.owned.map(|owned| owned.max(15));
}

/// Whether one person has time to spare between all faults: otherwise an evening may end in mending. A minute is for
/// the way there.
fn mending_keeps_up(scenario: &Scenario) -> bool {
    let machines = scenario.machine.len() as f64;
    let again = scenario.fault.iter().filter(|fault| fault.at_s.is_none());
    let busy = again.map(|fault| {
        let lasts_s = fault.lasts_s.unwrap_or(fault.mend.mean_s + 60.0);
        let outside_s = fault.outside.as_ref().map_or(0.0, |of| of.mean_s);
        machines * (lasts_s + outside_s) / fault.every_s.unwrap_or(f64::INFINITY)
    });
    let looks = scenario
        .fault
        .iter()
        .filter(|fault| fault.check_takes_s > 0.0);
    let looking = looks.map(|fault| {
        let every_s = fault.check_every_s.unwrap_or(f64::INFINITY);
        machines * (fault.check_takes_s + 60.0) / every_s
    });
    busy.sum::<f64>() + looking.sum::<f64>() < 0.5
}

fn name_rows(scenario: &mut Scenario) {
    fn number<'a>(names: impl Iterator<Item = &'a mut String>, what: &str) {
        names
            .enumerate()
            .for_each(|(index, name)| *name = format!("{what} {index}"));
    }
    number(scenario.soil.iter_mut().map(|row| &mut row.name), "soil");
    number(scenario.ware.iter_mut().map(|row| &mut row.name), "ware");
    number(scenario.rack.iter_mut().map(|row| &mut row.name), "rack");
    number(scenario.menu.iter_mut().map(|row| &mut row.name), "course");
    number(
        scenario.soiled.iter_mut().map(|row| &mut row.name),
        "stream",
    );
    number(
        scenario.backlog.iter_mut().map(|row| &mut row.name),
        "left over",
    );
    number(scenario.party.iter_mut().map(|row| &mut row.name), "party");
    number(
        scenario.delivery.iter_mut().map(|row| &mut row.name),
        "brought",
    );
    number(
        scenario.machine.iter_mut().map(|row| &mut row.name),
        "machine",
    );
    number(scenario.roster.iter_mut().map(|row| &mut row.name), "role");
    number(scenario.fault.iter_mut().map(|row| &mut row.name), "fault");
    name_tasks(&mut scenario.set_up, false);
    name_tasks(&mut scenario.close_down, true);
}

/// One ware, or every, is washed by hand.
fn pots_by_hand(scenario: &mut Scenario, sink: PotSink, seed: u64) {
    for (ware, number) in scenario.ware.iter_mut().zip(0..) {
        if seed.is_multiple_of(3) || seed % 2 == number {
            ware.washed_at = WashedAt::PotSink;
            ware.scrub_s = 2.0 * (seed % 20) as f64;
        }
    }
    scenario.pot_sink = Some(sink);
}

/// One kind of rack, or both, stands open at the drop-off.
fn sorts_as_it_comes(scenario: &mut Scenario, seed: u64) {
    let most = 1 + (seed / 4 % 2) as usize;
    let kinds = scenario.rack.iter().take(most);
    scenario.drop_off.decoy_racks = kinds.map(|rack| rack.name.clone()).collect();
    scenario.drop_off.decoy_takes_s = (seed % 30) as f64;
}

/// Stacks dry more slowly, and what has dried takes longer to scrape.
fn dries_by_place(scenario: &mut Scenario) {
    let air = &mut scenario.air;
    (air.on_tables, air.in_tubs, air.in_racks) = (1.5, 0.4, 0.0);
    if let Some(scrape) = &mut scenario.scrape {
        (scrape.dried_takes, scrape.thins) = (3.0, 0.5);
    }
}

/// The first machine takes all racks, those after it every other kind.
fn machines_take_their_own(scenario: &mut Scenario) {
    let kinds: Vec<String> = scenario.rack.iter().map(|rack| rack.name.clone()).collect();
    for (number, machine) in scenario.machine.iter_mut().enumerate().skip(1) {
        machine.racks = kinds.iter().skip(number % 2).step_by(2).cloned().collect();
    }
}

/// Each row looks after one machine, in turn, but for every third.
fn crews_of_their_own(scenario: &mut Scenario) {
    let machines: Vec<String> = scenario
        .machine
        .iter()
        .map(|one| one.name.clone())
        .collect();
    if machines.is_empty() {
        return;
    }
    for (number, machine) in scenario.machine.iter_mut().enumerate().skip(1) {
        let place = at(number as f64, 2.0);
        machine.store = Some(place);
        machine.loading = (number == 2).then_some(place);
    }
    for (number, row) in scenario.roster.iter_mut().enumerate() {
        if number % 3 < 2 {
            row.machines = vec![machines[number % machines.len()].clone()];
        }
    }
}

/// What stands there at the start is part of what is owned.
fn stock_covers_backlog(scenario: &mut Scenario) {
    for ware in &mut scenario.ware {
        let rows = scenario.backlog.iter().filter(|row| row.ware == ware.name);
        let standing: u32 = rows.map(|row| row.pieces).sum();
        ware.owned = ware.owned.map(|owned| owned.max(standing));
    }
}
