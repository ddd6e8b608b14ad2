//! Water and heat worked out apart: single evenings by the front door, beside a closed form or a short sum written here.
//!
//! Nothing here calls the program's own formulas. Racks of 20 in go 72 in a minute through a tunnel of 66 in: one every
//! 16 2/3 s, 55 s from end to end.

use crate::ledger::{self, Apart};
use crate::played::{self, Played};

/// Heats 1 L by 1 K, J.
const LITRE_J: f64 = 4186.0;
const KWH_J: f64 = 3.6e6;
/// A rack every so often, s.
const HEADWAY_S: f64 = 20.0 / 1.2;
/// From entry to exit, s.
const TRANSIT_S: f64 = 55.0;
/// Figures of the measures are kept in full.
const EXACT: f64 = 1e-6;

/// An evening of so many racks that stand ready at noon; `machine` stands among the keys of the machine, `more` behind.
fn conveyor(racks: u32, machine: &str, zones: &str, more: &str) -> Played {
    let changes = format!(
        "[[backlog]]\nname = \"racks\"\npieces = {racks}\n[[soil]]\nname = \"soil\"\namount = \"5 g\"\n\
         [[machine]]\nname = \"conveyor\"\n{machine}\nzones = [{zones}]\n{more}"
    );
    played::play_changed("handbooks/belt.toml", &changes, 1)
}

/// Ware and racks that take no heat.
const WEIGHTLESS: &str =
    "[[ware]]\nname = \"piece\"\nweight = \"0 kg\"\n[[rack]]\nname = \"rack\"\nweight = \"0 kg\"\n";

const PORTER: &str = "[[roster]]\nname = \"porter\"\nfrom = \"12:00\"\nto = \"16:00\"\nduties = [\"set-up\", \"tend\"]\n";

/// A zone of 20 in with a tank.
fn tank(name: &str, kind: &str, litres: f64, keys: &str) -> String {
    format!(
        "{{ name = \"{name}\", kind = \"{kind}\", length = \"20 in\", tank = \"{litres} L\", idle_loss = \"0 kW\"{keys} }}"
    )
}

/// A final rinse of so many litres per rack.
fn rinse(inches: u32, rack_l: f64, keys: &str) -> String {
    let a_minute = rack_l / HEADWAY_S * 60.0;
    format!(
        "{{ name = \"rinse\", kind = \"final-rinse\", length = \"{inches} in\", flow = \"{a_minute} L/min\"{keys} }}"
    )
}

fn figure(played: &Played, name: &str) -> f64 {
    played.figure(&format!("measures/{name}")).mean
}

fn rows() -> Vec<Apart> {
    let mut rows = cascades();
    rows.extend(holds());
    rows.extend(by_soil());
    rows.extend(by_clock());
    rows.extend(by_hand());
    rows.extend(hoods());
    rows.extend(openings());
    rows.extend(last_racks());
    rows.push(pre_wash());
    rows.push(without_a_tank());
    rows
}

#[test]
fn the_page() {
    ledger::apart_on_the_page("water", &rows());
}

/// 85 °C at 7.2 L/min through 40 L and then 80 L that begin at 60 °C: what the second is short of is a sum of two
/// exponentials. One rack of 5 g, of which a pre-wash of 60 L catches 3.5 g and a wash of 60 L the rest, and 10 L of rinse.
fn cascades() -> Vec<Apart> {
    let zones = [
        tank("wash", "wash", 80.0, ""),
        tank("second", "rinse", 40.0, ""),
        rinse(20, 2.0, ", temperature = \"85 °C\""),
    ]
    .join(",");
    let machine = "supply = \"60 °C\"\nrinse_runs = \"always\"\nbooster = { power = \"400 kW\" }";
    let played = conveyor(1, machine, &zones, WEIGHTLESS);
    let (first_s, second_s) = (40.0 / 0.12, 80.0 / 0.12);
    let heat = [5.0, 10.0, 20.0].map(|minutes| {
        let [ours, ..] = played.at("wash_temperature:conveyor", &format!("12:{minutes:02}"));
        let left = |tau_s: f64| tau_s * libm::exp(-minutes * 60.0 / tau_s);
        let short_k = 25.0 * (left(second_s) - left(first_s)) / (second_s - first_s);
        let what = format!("two tanks one after the other, the second after {minutes} min, °C");
        let how = "85 − 25 (τ₂ exp(−t/τ₂) − τ₁ exp(−t/τ₁))/(τ₂ − τ₁); the program hands on the mean of a minute";
        Apart::of(what, ours, 85.0 - short_k, 0.02, how)
    });
    let zones = [
        tank("pre-wash", "pre-wash", 60.0, ""),
        tank("wash", "wash", 60.0, ""),
        rinse(20, 10.0, ""),
    ]
    .join(",");
    let played = conveyor(1, "", &zones, WEIGHTLESS);
    let [ours, ..] = played.at("tank_soil:conveyor", "12:05");
    let share: f64 = 10.0 / 60.0;
    let theirs = (3.5 + 1.5 * share) * libm::exp(-share) / 60.0;
    let soil = Apart::of(
        "soil of one rack in a pre-wash behind a wash, g/L",
        ours,
        theirs,
        1e-4,
        "(s₁ + s₂ w/V) exp(−w/V)/V; the program hands on the mean of a stretch",
    );
    heat.into_iter().chain([soil]).collect()
}

/// 9 kW and 20 L set to 85 °C, 0.2 L/s from 60 °C: after two racks it is below 82 °C, and the third waits for 85 °C.
fn holds() -> Vec<Apart> {
    let zones = [
        tank("wash", "wash", 80.0, ""),
        rinse(
            20,
            0.2 * HEADWAY_S,
            ", temperature = \"85 °C\", minimum = \"82 °C\"",
        ),
    ]
    .join(",");
    let machine = "supply = \"60 °C\"\nwhen_cold = \"hold\"\nbooster = { power = \"9 kW\", holds = \"20 L\" }";
    let played = conveyor(30, machine, &zones, "");
    let end_c = 60.0 + 9_000.0 / (0.2 * LITRE_J);
    let after_two_c = end_c + (85.0 - end_c) * libm::exp(-2.0 * HEADWAY_S * 0.2 / 20.0);
    let each_s = 20.0 * LITRE_J * (85.0 - after_two_c) / 9_000.0;
    let how =
        "by hand: every second of 30 racks falls below, and 14 of 15 pairs wait 20 L c ΔT/9 kW";
    vec![
        Apart::of(
            "belt held, min",
            figure(&played, "machine_held_min"),
            14.0 * each_s / 60.0,
            EXACT,
            how,
        ),
        Apart::of(
            "the same: racks under 82 °C",
            figure(&played, "under_temperature_racks"),
            15.0,
            EXACT,
            how,
        ),
    ]
}

/// How many racks of 5 g and 3.75 L take 70 L to a limit, when rinse begins 20 in behind the entry.
fn racks_to(limit_g_per_l: f64) -> f64 {
    let soil_g = |racks: u32| {
        let now_s = HEADWAY_S * f64::from(racks - 1);
        let left_g = |rack: u32| {
            let since_s = (HEADWAY_S * f64::from(rack)).max(HEADWAY_S);
            5.0 * libm::exp(-(now_s - since_s).max(0.0) / HEADWAY_S * 3.75 / 70.0)
        };
        (0..racks).map(left_g).sum::<f64>()
    };
    let reached = (1..).find(|&racks| soil_g(racks) / 70.0 >= limit_g_per_l);
    f64::from(reached.expect("some"))
}

/// 200 racks; 60 s to drain 70 L and 175 s to fill them.
fn by_soil() -> Vec<Apart> {
    let zones = [tank("wash", "wash", 70.0, ""), rinse(20, 3.75, "")].join(",");
    let machine =
        "water_change = { at_soil = \"1.25 g/L\", drain = \"60 s\", flow = \"24 L/min\" }";
    let played = conveyor(200, machine, &zones, "");
    let one_fewer = conveyor(racks_to(1.25) as u32 - 1, machine, &zones, "");
    let changes = (200.0 / racks_to(1.25)).floor();
    let how = "racks to the limit by a sum over racks; after the soil of the last of them none enters until it is out, \
               60 s have drained and 175 s filled 70 L";
    vec![
        Apart::of(
            "changed by soil: water of 200 racks, L",
            figure(&played, "water_l"),
            70.0 * (1.0 + changes) + 750.0,
            EXACT,
            how,
        ),
        Apart::of(
            "the same: racks kept out, min",
            figure(&played, "water_change_min"),
            changes * (TRANSIT_S + 60.0 + 175.0) / 60.0,
            EXACT,
            how,
        ),
        Apart::of(
            "the same: water of one rack fewer than reach the limit, L",
            figure(&one_fewer, "water_l"),
            70.0 + 3.75 * (racks_to(1.25) - 1.0),
            EXACT,
            "never changed",
        ),
    ]
}

/// Every 61 min, with 400 racks: the first is due among racks, the others after the last.
fn by_clock() -> Vec<Apart> {
    let zones = [tank("wash", "wash", 80.0, ""), rinse(20, 2.0, "")].join(",");
    let machine = "water_change = { every = \"61 min\", drain = \"60 s\", flow = \"24 L/min\" }";
    let played = conveyor(400, machine, &zones, "");
    let takes_s = 60.0 + 80.0 / 0.4;
    let last_in_s = (3660.0 / HEADWAY_S).floor() * HEADWAY_S;
    let runs_out_s = last_in_s + TRANSIT_S - 3660.0;
    let (mut due_s, mut changes) = (3660.0 + runs_out_s, 0.0);
    while due_s < 4.0 * 3600.0 {
        changes += 1.0;
        due_s += takes_s + 3660.0;
    }
    let how = "due 61 min after each fill, until closing; only the first has racks to run out";
    vec![
        Apart::of(
            "changed by the clock: water of 400 racks, L",
            figure(&played, "water_l"),
            80.0 * (1.0 + changes) + 800.0,
            EXACT,
            how,
        ),
        Apart::of(
            "the same: racks kept out, min",
            figure(&played, "water_change_min"),
            (runs_out_s + changes * takes_s) / 60.0,
            EXACT,
            how,
        ),
    ]
}

/// As many racks as reach the limit; somebody is called with the last of them, and has hands in it for 100 s. A
/// call that waits for one rack more would never come.
fn by_hand() -> Vec<Apart> {
    let zones = [tank("wash", "wash", 70.0, ""), rinse(20, 3.75, "")].join(",");
    let machine = "water_change = { at_soil = \"1.25 g/L\", by_hand = \"100 s\", drain = \"60 s\", flow = \"24 L/min\" }";
    let racks = racks_to(1.25);
    let played = conveyor(racks as u32, machine, &zones, PORTER);
    let out_s = (TRANSIT_S - 100.0).max(0.0);
    let how = "called with the last rack, which meets the limit; the hands are done 100 s later";
    vec![
        Apart::of(
            "changed by hand: water of as many racks as reach the limit, L",
            figure(&played, "water_l"),
            140.0 + 3.75 * racks,
            EXACT,
            how,
        ),
        Apart::of(
            "the same: racks kept out, min",
            figure(&played, "water_change_min"),
            (out_s + 60.0 + 175.0) / 60.0,
            EXACT,
            how,
        ),
    ]
}

/// 200 cycles of 12 s on average, exponential, of which more than half are drawn shorter than their rinse of 10 s.
fn hoods() -> Vec<Apart> {
    let hood = "[[machine]]\nname = \"hood\"\ncycle = { mean = \"12 s\", distribution = \"exponential\" }\n\
                rinse = { water = \"3 L\", time = \"10 s\" }\nrinse_aid = \"0.5 mL/L\"\n";
    let played = played::play_changed("handbooks/hood.toml", hood, 1);
    let how = "200 × 3 L, whatever is drawn";
    vec![
        Apart::of(
            "hood, short cycles: water of 200 racks, L",
            figure(&played, "water_l"),
            600.0,
            EXACT,
            how,
        ),
        Apart::of(
            "the same: rinse aid, L",
            figure(&played, "rinse_aid_l"),
            0.3,
            EXACT,
            how,
        ),
    ]
}

/// 80 L from 15 °C to 66 °C by 15 kW, once set up and once hot at opening; and the same tank with nothing to heat it. One rack passes that takes
/// neither heat nor water to speak of.
fn openings() -> Vec<Apart> {
    let one = |heater: &str, more: &str| {
        let keys = format!(", temperature = \"66 °C\"{heater}");
        let zones = [tank("wash", "wash", 80.0, &keys), rinse(20, 1e-6, "")].join(",");
        conveyor(
            1,
            "supply = \"15 °C\"",
            &zones,
            &format!("{WEIGHTLESS}{more}"),
        )
    };
    let heater = ", heater = \"15 kW\"";
    let set_up = format!(
        "{PORTER}[[set_up]]\nname = \"fill\"\ntakes = \"60 s\"\ndoes = \"fill\"\nflow = \"20 L/min\"\n\
         [[set_up]]\nname = \"heat\"\ntakes = \"30 s\"\nafter = [\"fill\"]\ndoes = \"heat\"\n"
    );
    let heat_j = 80.0 * LITRE_J * 51.0;
    let (cold, hot, unheated) = (one(heater, &set_up), one(heater, ""), one("", ""));
    let how = "80 L × 4186 J/(L K) × 51 K";
    vec![
        Apart::of(
            "cold opening: ready, min after it",
            figure(&cold, "machine_ready_min_after_open"),
            1.5 + 80.0 / 20.0 + heat_j / 15_000.0 / 60.0,
            EXACT,
            "hands, 80 L at 20 L/min, and that heat over 15 kW",
        ),
        Apart::of(
            "the same: heat, kWh",
            figure(&cold, "tank_heat_kwh"),
            heat_j / KWH_J,
            EXACT,
            how,
        ),
        Apart::of(
            "hot at opening: heat, kWh",
            figure(&hot, "tank_heat_kwh"),
            heat_j / KWH_J,
            EXACT,
            how,
        ),
        Apart::of(
            "a set point and no heater: heat, kWh",
            figure(&unheated, "tank_heat_kwh"),
            0.0,
            EXACT,
            "nothing gives any",
        ),
    ]
}

/// A final rinse of 10 in at the end of the tunnel: racks of 20 in leave it half rinsed. The evening ends with the last one,
/// or pumps stop at once behind it.
fn last_racks() -> Vec<Apart> {
    let zones = "{ name = \"wash\", kind = \"wash\", length = \"56 in\", tank = \"80 L\", idle_loss = \"0 kW\" },".to_owned()
        + &rinse(10, 2.0, ", temperature = \"85 °C\", minimum = \"84.99 °C\"");
    let weak = "supply = \"60 °C\"\nbooster = { power = \"1 W\" }";
    let short = "[service]\ncloses = \"12:03\"\n[[roster]]\nname = \"loader\"\nto = \"12:03\"\n";
    let ends = conveyor(10, weak, &zones, short);
    let idles = conveyor(10, &format!("{weak}\nidle_after = \"0 s\""), &zones, "");
    let how = "80 L and 10 × 2 L; every rack to the end of its rinse";
    let mut rows = Vec::new();
    for (when, played) in [("the evening ends", ends), ("pumps stop", idles)] {
        rows.push(Apart::of(
            format!("last rack, {when}: water of ten, L"),
            figure(&played, "water_l"),
            100.0,
            EXACT,
            how,
        ));
        let cold = figure(&played, "under_temperature_racks");
        rows.push(Apart::of(
            "the same: cold racks".to_owned(),
            cold,
            10.0,
            EXACT,
            how,
        ));
    }
    rows
}

/// A rack of 20 kg of ware at 24 °C goes through 40 L and 80 L, both at 60 °C and unheated.
fn pre_wash() -> Apart {
    let zones = [
        tank("pre-wash", "pre-wash", 40.0, ""),
        tank("wash", "wash", 80.0, ""),
        rinse(20, 1e-6, ""),
    ]
    .join(",");
    let heavy = "[[ware]]\nname = \"piece\"\nweight = \"20 kg\"\n[[rack]]\nname = \"rack\"\nweight = \"2 kg\"\n\
                 [air]\ntemperature = \"24 °C\"\n";
    let played = conveyor(1, "supply = \"60 °C\"", &zones, heavy);
    let [ours, ..] = played.at("wash_temperature:conveyor", "12:05");
    let rack_j = 20.0 * 900.0 + 2.0 * 1900.0;
    let mixed = |litres: f64, rack_c: f64| {
        (litres * LITRE_J * 60.0 + rack_j * rack_c) / (litres * LITRE_J + rack_j)
    };
    let theirs = mixed(80.0, mixed(40.0, 24.0));
    Apart::of(
        "wash behind a pre-wash after one rack, °C",
        ours,
        theirs,
        1e-4,
        "mixed with 40 L first, and as warm as those with 80 L",
    )
}

fn without_a_tank() -> Apart {
    let played = conveyor(100, "", &rinse(20, 2.0, ""), "");
    let ours = figure(&played, "detergent_kg");
    Apart::of(
        "conveyor without a tank: detergent, kg",
        ours,
        0.0,
        EXACT,
        "nothing to give it to",
    )
}
