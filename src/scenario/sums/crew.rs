//! Shifts and duties that cannot be.

use super::{Clash, Sums};
use crate::scenario::model::{Carrier, Duty, DutyEntry, MachineKind, RosterRow, Scenario};
use crate::scenario::units::clock_text;

/// The most operators in one dish room.
const MAX_OPERATORS: u32 = 64;

/// Reports what is impossible about the crew.
pub fn check(sums: &mut Sums<'_>) {
    let operators: u32 = sums.scenario.roster.iter().map(|row| row.count).sum();
    if operators > MAX_OPERATORS && !sums.is_bad_inside("roster") {
        sums.wrong(
            Clash::new(
                "too many operators",
                "roster",
                format!("{operators} in all"),
            )
            .help(format!("at most {MAX_OPERATORS}")),
        );
    }
    for row in &sums.scenario.roster {
        shift(sums, row);
        help(sums, row);
        coming(sums, row);
        breaks(sums, row);
        duties(sums, row);
    }
    for duty in Duty::ALL {
        held(sums, duty);
    }
}

fn shift(sums: &mut Sums<'_>, row: &RosterRow) {
    if row.to_s > row.from_s {
        return;
    }
    let path = |key: &str| format!("roster[{}].{key}", row.name);
    let title = format!("the shift of \"{}\" ends before it starts", row.name);
    sums.wrong(
        Clash::new(title, path("to"), "end")
            .with(path("from"), "start")
            .help("let `to` be after `from`; both lie between 6 h before the opening and 18 h after it"),
    );
}

/// People who are late by nothing, or who come when their shift is over.
fn coming(sums: &mut Sums<'_>, row: &RosterRow) {
    let path = |key: &str| format!("roster[{}].{key}", row.name);
    let Some(late_by) = &row.late_by else {
        if row.late.is_some() {
            let title = format!("\"{}\" are late, and nothing says by how long", row.name);
            let clash = Clash::new(title, path("late"), "late by how long?");
            sums.wrong(clash.help("add `late_by`, such as late_by = \"20 min\""));
        }
        return;
    };
    if row.to_s > row.from_s && late_by.mean_s >= row.to_s - row.from_s {
        let shift = format!("{} to {}", clock_text(row.from_s), clock_text(row.to_s));
        let title = format!("\"{}\" come when their shift is over", row.name);
        sums.wrong(
            Clash::new(title, path("late_by"), "as long as the shift, or longer")
                .with(path("to"), "the end of the shift")
                .help(format!(
                    "the shift is from {shift}; for somebody who does not come, write `absent = 1`"
                )),
        );
    }
}

/// Help that comes when the shift is over, or would go as soon as it has come.
fn help(sums: &mut Sums<'_>, row: &RosterRow) {
    let Some(called) = &row.called else { return };
    let path = |key: &str| format!("roster[{}].called.{key}", row.name);
    if row.to_s > row.from_s && row.from_s + called.comes_after_s >= row.to_s {
        let title = format!("\"{}\" can only come when the shift is over", row.name);
        sums.wrong(
            Clash::new(
                title,
                path("comes_after"),
                "called at the start of the shift",
            )
            .with(format!("roster[{}].to", row.name), "its end")
            .help("let them come sooner, or let the shift be longer"),
        );
    }
    if called.goes_below > called.once_waiting {
        let title = format!("\"{}\" would go while enough waits to call them", row.name);
        sums.wrong(
            Clash::new(title, path("goes_below"), "they go below this")
                .with(path("once_waiting"), "they are called from this on")
                .help("let `goes_below` be at most `once_waiting`"),
        );
    }
}

fn breaks(sums: &mut Sums<'_>, row: &RosterRow) {
    let shift = format!("{} to {}", clock_text(row.from_s), clock_text(row.to_s));
    for (at, pause) in row.breaks.iter().enumerate() {
        let path = |at: usize, key: &str| format!("roster[{}].breaks[{at}].{key}", row.name);
        if pause.to_s <= pause.from_s {
            sums.wrong(
                Clash::new("a break ends before it starts", path(at, "to"), "end")
                    .with(path(at, "from"), "start")
                    .help("let `to` be after `from`"),
            );
            continue;
        }
        if row.to_s > row.from_s && (pause.from_s < row.from_s || pause.to_s > row.to_s) {
            let key = if pause.from_s < row.from_s {
                "from"
            } else {
                "to"
            };
            let title = format!("a break of \"{}\" lies outside the shift", row.name);
            sums.wrong(
                Clash::new(title, path(at, key), "the break")
                    .with(format!("roster[{}].{key}", row.name), "the shift")
                    .help(format!("the shift is from {shift}")),
            );
        }
        let before = at.checked_sub(1).and_then(|before| row.breaks.get(before));
        if before.is_some_and(|before| pause.from_s < before.to_s) {
            let title = format!("two breaks of \"{}\" overlap or are out of order", row.name);
            sums.wrong(
                Clash::new(title, path(at, "from"), "this one starts")
                    .with(path(at - 1, "to"), "before this one ends")
                    .help("list the breaks in the order of time, one after the other"),
            );
        }
    }
}

/// Whether the scenario has a stage where operators do this.
pub(super) fn stage(scenario: &Scenario, duty: Duty) -> bool {
    match duty {
        Duty::ClearDown => scenario
            .clear_down
            .as_ref()
            .is_some_and(|c| c.by == Carrier::Crew),
        Duty::Scrape => scenario.scrape.is_some(),
        Duty::PreRinse => scenario.pre_rinse.is_some(),
        Duty::Soak => scenario.soak.is_some(),
        Duty::WashPots => scenario.pot_sink.is_some(),
        Duty::Load => scenario.loading.is_some(),
        Duty::Hood => attended_hood(scenario).is_some(),
        Duty::Unload => scenario.unload.is_some(),
        Duty::PutAway => scenario.put_away.is_some(),
        Duty::SetUp => !scenario.set_up.is_empty(),
        Duty::Tend => is_mended(scenario) || by_hand(scenario).is_some(),
        Duty::CloseDown => !scenario.close_down.is_empty(),
    }
}

/// The name of a hood that needs an operator.
fn attended_hood(scenario: &Scenario) -> Option<&str> {
    let attended = |kind: &MachineKind| matches!(kind, MachineKind::Hood { attended: true, .. });
    scenario
        .machine
        .iter()
        .find(|m| attended(&m.kind))
        .map(|machine| machine.name.as_str())
}

/// Whether any fault has to be mended by somebody.
fn is_mended(scenario: &Scenario) -> bool {
    scenario.fault.iter().any(|fault| fault.lasts_s.is_none())
}

/// The name of a machine whose water is changed by hand.
fn by_hand(scenario: &Scenario) -> Option<&str> {
    let hands = |kind: &MachineKind| match kind {
        MachineKind::RackConveyor { water_change, .. } | MachineKind::Hood { water_change, .. } => {
            let change = water_change.as_ref();
            change.is_some_and(|change| change.by_hand.is_some())
        }
    };
    let machine = scenario.machine.iter().find(|m| hands(&m.kind));
    machine.map(|machine| machine.name.as_str())
}

/// Where the stage of a duty is written in the file.
fn stage_path(scenario: &Scenario, duty: Duty) -> String {
    match duty {
        Duty::ClearDown => "clear_down.by".to_string(),
        Duty::Hood => format!(
            "machine[{}].attended",
            attended_hood(scenario).unwrap_or_default()
        ),
        Duty::Load => "loading".to_string(),
        Duty::WashPots => "pot_sink".to_string(),
        Duty::Tend => match by_hand(scenario) {
            Some(name) if !is_mended(scenario) => {
                format!("machine[{name}].water_change.by_hand")
            }
            _ => "fault".to_string(),
        },
        _ => duty.name().replace('-', "_"),
    }
}

/// What makes the stage of a duty exist.
fn cure(duty: Duty) -> String {
    match duty {
        Duty::ClearDown => "write `by = \"crew\"` in [clear_down]".to_string(),
        Duty::Hood => "write `attended = true` for a hood".to_string(),
        Duty::Load => "add [loading]".to_string(),
        Duty::WashPots => "add [pot_sink]".to_string(),
        _ => format!("add [{}]", duty.name().replace('-', "_")),
    }
}

fn duties(sums: &mut Sums<'_>, row: &RosterRow) {
    for (at, entry) in row.duties.iter().enumerate() {
        let path = format!("roster[{}].duties[{at}]", row.name);
        no_stage(sums, &row.name, entry.duty, path.clone());
        no_condition(sums, entry, path);
    }
    if let Some(home) = row.home {
        no_stage(sums, &row.name, home, format!("roster[{}].home", row.name));
    }
}

/// A task or a fault that waits for company may wait for ever; what is short is put away, and nothing else.
fn no_condition(sums: &mut Sums<'_>, entry: &DutyEntry, path: String) {
    if entry.once_short && !matches!(entry.duty, Duty::Unload | Duty::PutAway) {
        let title = format!(
            "the duty `{}` cannot look at what is short",
            entry.duty.name()
        );
        let clash = Clash::new(
            title,
            path.clone(),
            "only what is washed can be brought to the guests",
        );
        sums.wrong(clash.help("write { duty = \"unload\", once_short = true } before it, or the same with \"put-away\""));
    }
    if Duty::OF_WARE.contains(&entry.duty) || entry.once_waiting <= 1 {
        return;
    }
    let name = entry.duty.name();
    let title = format!("the duty `{name}` cannot wait for more work");
    let label = "what waits alone would wait for ever";
    sums.wrong(Clash::new(title, path, label).help(format!("write \"{name}\" alone")));
}

/// A duty without work. Those of the machines may stand there all the same, so that a variant can switch
/// faults or tasks off and leave the roster alone.
fn no_stage(sums: &mut Sums<'_>, name: &str, duty: Duty, path: String) {
    if !Duty::OF_WARE.contains(&duty) {
        return;
    }
    let part = match duty {
        Duty::Hood => "machine".to_string(),
        _ => stage_path(sums.scenario, duty)
            .split('.')
            .next()
            .unwrap_or_default()
            .to_string(),
    };
    if stage(sums.scenario, duty) || sums.is_bad_inside(&part) || sums.is_bad_inside(&path) {
        return;
    }
    let title = format!("\"{name}\" has nowhere to {}", verb(duty));
    let label = "this scenario has no such stage";
    sums.wrong(Clash::new(title, path, label).help(format!("take it out, or {}", cure(duty))));
}

/// The duty as something one does.
pub(super) const fn verb(duty: Duty) -> &'static str {
    match duty {
        Duty::ClearDown => "clear down",
        Duty::Scrape => "scrape",
        Duty::PreRinse => "pre-rinse",
        Duty::Soak => "soak",
        Duty::WashPots => "wash pots",
        Duty::Load => "load",
        Duty::Hood => "work a hood",
        Duty::Unload => "unload",
        Duty::PutAway => "put away",
        Duty::SetUp => "set up",
        Duty::Tend => "tend",
        Duty::CloseDown => "close down",
    }
}

/// Whether somebody of a row is there for sure and has a duty.
pub(super) fn holds(row: &RosterRow, duty: Duty) -> bool {
    let is_there = row.count > 0 && row.absent < 1.0 && row.called.is_none();
    is_there && row.duties.iter().any(|d| d.duty == duty && !d.once_short)
}

/// A stage whose work nobody does would hold up the evening for ever.
fn held(sums: &mut Sums<'_>, duty: Duty) {
    let held = sums.scenario.roster.iter().any(|row| holds(row, duty));
    if held || !stage(sums.scenario, duty) || sums.is_bad_inside("roster") {
        return;
    }
    let path = stage_path(sums.scenario, duty);
    let label = match duty {
        Duty::Hood => "an attended hood needs an operator",
        _ => "work for somebody",
    };
    let name = duty.name();
    let title = format!("nobody has the duty `{name}`");
    let help = format!("add \"{name}\" to the `duties` of a row of the roster");
    sums.wrong(Clash::new(title, path, label).help(help));
}
