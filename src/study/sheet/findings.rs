//! What of the sheet is worth saying. Codes are stable; the words are not.

use super::Sheet;
use super::binds::NOTHING_OVER;
use super::dries::Dries;
use super::labour::rank;
use super::lengths::DROP_OFF_GUIDE_TUBS;
use super::machines::{MachineFigures, ZoneFigures, landing_guide};
use super::stations::{Station, Thing};
use super::stock::Par;
use super::water::WaterFigures;
use crate::scenario::model::{Duty, Sanitising};
use crate::scenario::units::clock_text;
use crate::study::evening::{Finding, Severity};
use crate::study::sentence::rounded;

/// Above this share of its capacity a station is near it: two equipment guides design for 70 to 80 %
/// of the rated racks per hour.
const NEAR: f64 = 0.8;

/// Drop-offs that hold less than this many minutes of the peak's deliveries are short.
const HOLDS_AT_LEAST_MIN: f64 = 5.0;

pub(super) fn of(sheet: &Sheet) -> Vec<Finding> {
    let mut all = Vec::new();
    all.extend(capacity(sheet));
    all.extend(over_too(sheet));
    all.extend(sheet.machines.iter().flat_map(machine));
    all.extend(sheet.water.iter().filter_map(weak_booster));
    all.extend(sheet.water.iter().filter_map(cold_supply));
    all.extend(opens_unready(sheet));
    all.extend(
        sheet
            .routine
            .left_alone
            .iter()
            .map(|duty| left_alone(*duty)),
    );
    all.extend(sheet.outside_limits.iter().cloned());
    all.extend(sheet.pars.iter().filter_map(par));
    all.extend(drop_off(sheet));
    all.extend(sheet.drying.soils.iter().filter_map(dries));
    all.sort_by_key(|finding| finding.severity);
    all
}

fn finding(code: &'static str, severity: Severity, evidence: String, advice: &str) -> Finding {
    Finding {
        code,
        severity,
        evidence,
        advice: advice.to_owned(),
    }
}

/// A duty that may be wanted when everybody who has it has gone.
fn left_alone(duty: Duty) -> Finding {
    let (code, wanted) = match duty {
        Duty::Tend => ("nobody-stays-to-tend", "a fault after that is never mended"),
        _ => (
            "nobody-stays-to-close-down",
            "what is not done by then is never done",
        ),
    };
    let evidence = format!(
        "nobody with the duty `{}` is there at closing and stays until all is done: {wanted}",
        duty.name()
    );
    let advice = "give it to somebody with `stays = true` whose shift ends at closing or later";
    finding(code, Severity::Warning, evidence, advice)
}

/// Machines that are not ready when the service opens.
fn opens_unready(sheet: &Sheet) -> Option<Finding> {
    let set_up = sheet.routine.set_up.as_ref()?;
    let late_min = set_up.ready_min_after_open.filter(|min| *min > 0.0)?;
    let evidence = format!(
        "setting up from {} on, racks may enter {late_min:.0} min after opening at the earliest",
        clock_text(set_up.begins_s?)
    );
    let advice = "begin earlier, with more hands, hotter supply or a stronger heater; or let racks not wait for the \
                  heat (`racks_wait`), which washes cold";
    Some(finding(
        "opens-unready",
        Severity::Warning,
        evidence,
        advice,
    ))
}

fn capacity(sheet: &Sheet) -> Option<Finding> {
    let binds = sheet.binds.as_ref()?;
    let used = rank(binds.utilisation);
    let sentence = binds.sentence.as_str();
    let mut evidence = sentence
        .strip_suffix(NOTHING_OVER)
        .unwrap_or(sentence)
        .to_owned();
    if binds.utilisation.is_none() {
        let advice = "give the duty to somebody who is there in the peak";
        return Some(finding(
            "nobody-on-duty",
            Severity::Problem,
            evidence,
            advice,
        ));
    }
    if let Some(backlog) = binds.backlog_pieces.filter(|_| used > 1.0) {
        let (left, at) = (rounded(backlog.at_end_of_peak), clock_text(sheet.peak.to_s));
        evidence += &format!(" That leaves about {left} pieces waiting at {at}.");
    }
    if used > 1.0 {
        let advice = "move or add people, places or racks there, or spread the peak; then look what \
                      binds next";
        return Some(finding(
            "peak-over-capacity",
            Severity::Problem,
            evidence,
            advice,
        ));
    }
    (used > NEAR).then(|| {
        let advice = "variation makes queues above 70 to 80 %: simulate before trusting it";
        finding("peak-near-capacity", Severity::Warning, evidence, advice)
    })
}

/// Places and things over capacity besides the one that binds.
fn over_too(sheet: &Sheet) -> Vec<Finding> {
    let binds = sheet.binds.as_ref().map(|binds| binds.name.as_str());
    let over = sheet
        .stations
        .iter()
        .filter(|row| rank(row.utilisation) > 1.0 && Some(row.name.as_str()) != binds);
    over.map(|row| {
        let (code, advice) = match row.thing {
            Thing::Landing => (
                "landing-short",
                "a longer landing, a shorter drain or faster unloading",
            ),
            Thing::Racks => (
                "racks-short",
                "more racks of this kind, or a quicker way back for them",
            ),
            _ => (
                "peak-over-capacity",
                "it binds next once the first is relieved",
            ),
        };
        finding(code, Severity::Problem, wanted(row), advice)
    })
    .collect()
}

fn wanted(row: &Station) -> String {
    format!(
        "{}: the peak needs {:.0} {} per hour, and {:.0} can go through.",
        row.name, row.units_per_hour, row.unit, row.capacity_per_hour
    )
}

fn machine(machine: &MachineFigures) -> Vec<Finding> {
    let mut all = Vec::new();
    let name = &machine.name;
    let (has, needs) = (machine.contact_s, machine.contact_needed_s);
    if has < needs * (1.0 - 1e-9) {
        let evidence =
            format!("{name}: racks are washed for {has:.0} s; a normal wash needs {needs:.0} s.");
        let advice = "a slower belt or a longer tunnel; slower means fewer racks per hour";
        all.push(finding(
            "contact-short",
            Severity::Warning,
            evidence,
            advice,
        ));
    }
    if machine.conveyor && has < machine.contact_guide_s * (1.0 - 1e-9) {
        let evidence = format!(
            "{name}: {has:.0} s in the tunnel; German practice asks for 90 s in a single-tank machine (DIN \
             10511, 10512) and 120 s in a multi-tank conveyor (DIN 10510)."
        );
        let advice = "guidance, not a limit: the data plate of the machine decides";
        all.push(finding(
            "contact-below-guide",
            Severity::Note,
            evidence,
            advice,
        ));
    }
    all.extend(
        machine
            .zones
            .iter()
            .filter_map(|zone| short_zone(name, zone)),
    );
    all.extend(short_landing(machine));
    all
}

fn short_zone(machine: &str, zone: &ZoneFigures) -> Option<Finding> {
    let needs = zone.contact_needed_s?;
    if zone.contact_s >= needs * (1.0 - 1e-9) {
        return None;
    }
    let (name, has) = (&zone.name, zone.contact_s);
    let evidence = format!(
        "{machine}: racks are {has:.0} s in the zone \"{name}\", which has to last {needs:.0} s."
    );
    let advice = "a slower belt or a longer zone; slower means fewer racks per hour";
    Some(finding(
        "contact-short",
        Severity::Warning,
        evidence,
        advice,
    ))
}

fn short_landing(machine: &MachineFigures) -> Option<Finding> {
    let (guide, _) = landing_guide(machine.sanitising);
    if machine.landing >= guide {
        return None;
    }
    let (length, behind) = match machine.sanitising {
        Sanitising::HotWater => ("60 in, 152 cm", "a hot-water machine"),
        Sanitising::Chemical => ("100 in, 254 cm", "a machine that sanitises with a chemical"),
    };
    let evidence = format!(
        "{}: the clean landing holds {}; plan-review letters of the Minnesota Department of Health \
         ask for {guide} ({length}) behind {behind}.",
        machine.name,
        racks(machine.landing)
    );
    let advice = "a longer clean table; when it is full the machine stands";
    Some(finding(
        "landing-short",
        Severity::Warning,
        evidence,
        advice,
    ))
}

fn weak_booster(water: &WaterFigures) -> Option<Finding> {
    let booster = water.booster.as_ref()?;
    let minimum_c = booster.minimum_c?;
    if booster.comes_to_c >= minimum_c - 1e-6 {
        return None;
    }
    let evidence = format!(
        "{}: with no gap between racks, the booster's {:.1} kW let the final rinse fall to {:.1} °C ({:.0} °F); \
         {:.1} kW would hold its set point.",
        water.machine,
        booster.power_w / 1e3,
        booster.comes_to_c,
        booster.comes_to_c * 1.8 + 32.0,
        booster.needed_w / 1e3
    );
    let advice = "a stronger booster, warmer supply, less rinse water, or racks with gaps between";
    Some(finding("booster-weak", Severity::Warning, evidence, advice))
}

fn cold_supply(water: &WaterFigures) -> Option<Finding> {
    let (comes_c, least_c) = (water.supply_c?, water.minimum_c?);
    if comes_c >= least_c - 1e-6 {
        return None;
    }
    let evidence = format!(
        "{}: without a booster the final rinse comes at {comes_c:.1} °C ({:.0} °F) and has to keep {least_c:.1} \
         °C ({:.0} °F).",
        water.machine,
        comes_c * 1.8 + 32.0,
        least_c * 1.8 + 32.0
    );
    let advice = "a booster, or a warmer supply";
    Some(finding("supply-cold", Severity::Problem, evidence, advice))
}

/// A number of racks.
fn racks(count: u32) -> String {
    match count {
        1 => "1 rack".to_owned(),
        _ => format!("{count} racks"),
    }
}

fn par(par: &Par) -> Option<Finding> {
    let owned = f64::from(par.owned);
    if par.away_most <= owned {
        return None;
    }
    let (ware, most) = (&par.ware, par.away_most);
    let at = clock_text(par.away_most_at_s);
    let evidence = format!(
        "{ware}: {most:.0} pieces are away from the store at {at} even if nothing queues; {owned:.0} \
         are owned."
    );
    let advice = "more pieces, or a quicker way back to the store";
    Some(finding("par-short", Severity::Problem, evidence, advice))
}

fn drop_off(sheet: &Sheet) -> Option<Finding> {
    let lengths = &sheet.lengths;
    let (tubs, minutes) = lengths.drop_off_tubs.zip(lengths.holds_min)?;
    let few = tubs < DROP_OFF_GUIDE_TUBS;
    if !few && minutes >= HOLDS_AT_LEAST_MIN {
        return None;
    }
    let evidence = format!(
        "The drop-off holds {tubs} {}, {minutes:.0} min of the deliveries of the busiest quarter of an \
         hour.",
        if tubs == 1 { "tub" } else { "tubs" }
    );
    let advice = "room for more tubs, or somebody who scrapes all through the peak";
    Some(finding(
        "drop-off-short",
        Severity::Warning,
        evidence,
        advice,
    ))
}

fn dries(soil: &Dries) -> Option<Finding> {
    let (dry, allowed) = soil.dries_in_min.zip(soil.wait_allowed_min)?;
    if allowed >= 0.0 {
        return None;
    }
    let evidence = format!(
        "{}: a mean film has dried on after {dry:.0} min, before it reaches the machine even if nothing \
         queues.",
        soil.soil
    );
    let advice = "shorter ways, smaller loads to wait for, a soak or a pre-rinse";
    Some(finding(
        "dries-on-the-way",
        Severity::Warning,
        evidence,
        advice,
    ))
}
