//! What of the sheet is worth saying. Codes are stable; the words are not.

use super::Sheet;
use super::cools::Cooling;
use super::cover::Gap;
use super::dries::Dries;
use super::labour::rank;
use super::lengths::DROP_OFF_GUIDE_TUBS;
use super::machines::{MachineFigures, ZoneFigures, landing_guide};
use super::stations::Thing;
use super::stock::Par;
use super::water::WaterFigures;
use crate::scenario::model::Duty;
use crate::scenario::units::clock_text;
use crate::study::evening::{Finding, Severity};
use crate::words::findings::sheet::{self as words, Relief};
use crate::words::sentences::binds::NOTHING_OVER;
use crate::words::text::rounded;

/// Above this share of its capacity a station is near it: two equipment guides design for 70 to 80 %
/// of the rated racks per hour.
const NEAR: f64 = 0.8;

/// Drop-offs that hold less than this many minutes of the peak's deliveries are short.
const HOLDS_AT_LEAST_MIN: f64 = 5.0;

/// Gaps in the cover of a duty with less work than this in them are no more than a pause, h.
const GAP_H: f64 = 0.05;

pub(super) fn of(sheet: &Sheet) -> Vec<Finding> {
    let mut all = Vec::new();
    all.extend(capacity(sheet));
    all.extend(over_too(sheet));
    all.extend(sheet.machines.iter().flat_map(machine));
    all.extend(sheet.water.iter().flat_map(cools));
    all.extend(sheet.water.iter().filter_map(weak_booster));
    all.extend(sheet.water.iter().filter_map(cold_supply));
    all.extend(opens_unready(sheet));
    all.extend(sheet.cover.gaps.iter().filter_map(gap));
    all.extend(
        sheet
            .routine
            .left_alone
            .iter()
            .map(|duty| left_alone(*duty)),
    );
    all.extend(sheet.outside_limits.iter().cloned());
    all.extend(sheet.rules.iter().cloned());
    all.extend(sheet.help.iter().cloned());
    all.extend(sheet.supply.iter().cloned());
    all.extend(sheet.store.iter().cloned());
    all.extend(sheet.pars.iter().filter_map(par));
    all.extend(drop_off(sheet));
    all.extend(sheet.drying.soils.iter().filter_map(dries));
    all.sort_by_key(|finding| finding.severity);
    all
}

/// A duty that may be wanted when everybody who has it has gone.
fn left_alone(duty: Duty) -> Finding {
    let code = match duty {
        Duty::Tend => "nobody-stays-to-tend",
        _ => "nobody-stays-to-close-down",
    };
    Finding::new(code, Severity::Warning, words::nobody_stays(duty))
}

/// Ware comes, and nobody is there who may see to it.
fn gap(gap: &Gap) -> Option<Finding> {
    let hours = gap.people_needed * (gap.to_s - gap.from_s) / 3600.0;
    if hours < GAP_H {
        return None;
    }
    let (from, to) = (clock_text(gap.from_s), clock_text(gap.to_s));
    let said = words::nobody_there(gap.duty, [&from, &to], gap.people_needed);
    Some(Finding::new("gap-in-cover", Severity::Warning, said))
}

/// Machines that are not ready when the service opens.
fn opens_unready(sheet: &Sheet) -> Option<Finding> {
    let set_up = sheet.routine.set_up.as_ref()?;
    let late_min = set_up.ready_min_after_open.filter(|min| *min > 0.0)?;
    let said = words::opens_unready(
        &clock_text(set_up.begins_s?),
        &clock_text(60.0 * libm::ceil(set_up.ready_s? / 60.0)),
        late_min,
    );
    Some(Finding::new("opens-unready", Severity::Warning, said))
}

fn capacity(sheet: &Sheet) -> Option<Finding> {
    let binds = sheet.binds.as_ref()?;
    let used = rank(binds.utilisation);
    let sentence = binds.sentence.as_str();
    let sentence = sentence.strip_suffix(NOTHING_OVER).unwrap_or(sentence);
    if binds.utilisation.is_none() {
        let said = words::nobody_on_duty(sentence);
        return Some(Finding::new("nobody-on-duty", Severity::Problem, said));
    }
    if used > 1.0 {
        let left = binds.backlog_pieces.map(|backlog| {
            let pieces = rounded(backlog.at_end_of_peak);
            (pieces, clock_text(sheet.peak.to_s))
        });
        let left = left.as_ref().map(|(pieces, at)| (&pieces[..], &at[..]));
        let said = words::over_capacity(sentence, left);
        return Some(Finding::new("peak-over-capacity", Severity::Problem, said));
    }
    let said = words::near_capacity(sentence);
    (used > NEAR).then(|| Finding::new("peak-near-capacity", Severity::Warning, said))
}

/// Places and things over capacity besides the one that binds.
fn over_too(sheet: &Sheet) -> Vec<Finding> {
    let binds = sheet.binds.as_ref().map(|binds| binds.name.as_str());
    let over = sheet
        .stations
        .iter()
        .filter(|row| rank(row.utilisation) > 1.0 && Some(row.name.as_str()) != binds);
    over.map(|row| {
        let (code, relief) = match row.thing {
            Thing::Landing => ("landing-short", Relief::Landing),
            Thing::Racks => ("racks-short", Relief::Racks),
            _ => ("peak-over-capacity", Relief::Place),
        };
        let per_hour = [row.units_per_hour, row.capacity_per_hour];
        let said = words::over_too(&row.name, row.unit, per_hour, relief);
        Finding::new(code, Severity::Problem, said)
    })
    .collect()
}

fn machine(machine: &MachineFigures) -> Vec<Finding> {
    let mut all = Vec::new();
    let name = &machine.name;
    let (has, needs) = (machine.contact_s, machine.contact_needed_s);
    if has < needs * (1.0 - 1e-9) {
        let said = words::contact_short(name, has, needs);
        all.push(Finding::new("contact-short", Severity::Warning, said));
    }
    if machine.conveyor && has < machine.contact_guide_s * (1.0 - 1e-9) {
        let said = words::contact_below_guide(name, has);
        all.push(Finding::new("contact-below-guide", Severity::Note, said));
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
    let said = words::zone_short(machine, &zone.name, zone.contact_s, needs);
    Some(Finding::new("contact-short", Severity::Warning, said))
}

fn short_landing(machine: &MachineFigures) -> Option<Finding> {
    let (guide, _) = landing_guide(machine.sanitising);
    if machine.landing >= guide {
        return None;
    }
    let said = words::landing_short(&machine.name, machine.landing, guide, machine.sanitising);
    Some(Finding::new("landing-short", Severity::Warning, said))
}

/// Tanks and final rinses that one rack alone, or racks without a gap, take below their minimum; a weak booster has a
/// finding of its own, and where the belt is held no rack comes to it cold.
fn cools(water: &WaterFigures) -> Vec<Finding> {
    let Some(rack) = &water.heaviest_rack else {
        return Vec::new();
    };
    let of = |cooling: &Cooling| {
        let minimum_c = cooling.minimum_c?;
        let what = (water.machine.as_str(), cooling.zone.as_deref());
        if cooling.is_cold(cooling.set_c) {
            None
        } else if cooling.is_cold(cooling.one_rack_c) {
            let said = words::one_rack_cools(
                what,
                (rack.pieces, &rack.ware),
                cooling.one_rack_c,
                minimum_c,
            );
            Some(Finding::new("one-rack-cools", Severity::Problem, said))
        } else if cooling.is_cold(cooling.no_gap_c) && cooling.zone.is_some() && !water.holds {
            let said = words::no_gap_cools(what, cooling.no_gap_c, minimum_c);
            Some(Finding::new("no-gap-cools", Severity::Warning, said))
        } else {
            None
        }
    };
    water.cooling.iter().filter_map(of).collect()
}

fn weak_booster(water: &WaterFigures) -> Option<Finding> {
    let booster = water.booster.as_ref()?;
    let minimum_c = booster.minimum_c?;
    if booster.comes_to_c >= minimum_c - 1e-6 {
        return None;
    }
    let (has_w, needed_w) = (booster.power_w, booster.needed_w);
    let said = if booster.is_weak() {
        words::booster_weak(&water.machine, has_w, booster.comes_to_c, needed_w)
    } else {
        words::booster_stirred(&water.machine, booster.comes_to_c)
    };
    Some(Finding::new("booster-weak", Severity::Warning, said))
}

fn cold_supply(water: &WaterFigures) -> Option<Finding> {
    let (comes_c, least_c) = (water.supply_c?, water.minimum_c?);
    if comes_c >= least_c - 1e-6 {
        return None;
    }
    let said = words::supply_cold(&water.machine, comes_c, least_c);
    Some(Finding::new("supply-cold", Severity::Problem, said))
}

fn par(par: &Par) -> Option<Finding> {
    let owned = f64::from(par.owned);
    if par.away_most <= owned {
        return None;
    }
    let at = clock_text(par.away_most_at_s);
    let said = words::par_short(&par.ware, par.away_most, &at, owned);
    Some(Finding::new("par-short", Severity::Problem, said))
}

fn drop_off(sheet: &Sheet) -> Option<Finding> {
    let lengths = &sheet.lengths;
    let (tubs, minutes) = lengths.drop_off_tubs.zip(lengths.holds_min)?;
    let few = tubs < DROP_OFF_GUIDE_TUBS;
    if !few && minutes >= HOLDS_AT_LEAST_MIN {
        return None;
    }
    let said = words::drop_off_short(tubs, minutes);
    Some(Finding::new("drop-off-short", Severity::Warning, said))
}

fn dries(soil: &Dries) -> Option<Finding> {
    let (dry, allowed) = soil.dries_in_min.zip(soil.wait_allowed_min)?;
    if allowed >= 0.0 {
        return None;
    }
    let said = words::dries_on_the_way(&soil.soil, dry);
    Some(Finding::new("dries-on-the-way", Severity::Warning, said))
}
