//! Stations that cannot be.

use super::{Clash, Sums, metres};
use crate::scenario::model::{Machine, MachineKind, Places, Rack, Style};

/// Reports what is impossible about the stations.
pub fn check(sums: &mut Sums<'_>) {
    drop_off(sums);
    fleet(sums);
    batches(sums);
    soak_batch(sums);
    machines_and_loading(sums);
    inspect(sums);
    dollies(sums);
    for machine in &sums.scenario.machine {
        if let Some(rack) = longest_rack(sums) {
            tunnel(sums, machine, rack);
            landing(sums, machine, rack);
        }
    }
}

fn drop_off(sums: &mut Sums<'_>) {
    tub_size(sums);
    let drop_off = &sums.scenario.drop_off;
    let Some(Places::LengthM(length_m)) = drop_off.tubs else {
        return;
    };
    if length_m < drop_off.tub_length_m {
        let label = format!("{} of table", metres(length_m));
        sums.wrong(
            Clash::new("the drop-off has no room for a tub", "drop_off.tubs", label)
                .with(
                    "drop_off.tub_length",
                    format!("one tub takes {}", metres(drop_off.tub_length_m)),
                )
                .help("make it longer, or leave `tubs` out: then there is room for all"),
        );
    }
}

/// Without a tub that holds so many pieces, one tub takes all, and the drop-off is never full.
fn tub_size(sums: &mut Sums<'_>) {
    let scenario = sums.scenario;
    if scenario.drop_off.tubs.is_none()
        || scenario.clear_down.is_some()
        || sums.is_bad_inside("clear_down")
    {
        return;
    }
    sums.wrong(
        Clash::new(
            "room for tubs, and no size of a tub",
            "drop_off.tubs",
            "it would never be full",
        )
        .help("give `clear_down.tub`, the pieces a tub or tray cart holds: add `tub = 24` under [clear_down]")
        .help("or leave `tubs` out: then there is room for all"),
    );
}

/// Tubs of a house whose guests carry their own trays.
fn fleet(sums: &mut Sums<'_>) {
    let guests = sums.scenario.guests.as_ref();
    let carry = guests.is_some_and(|guests| guests.style == Style::Cafeteria);
    let clear = sums.scenario.clear_down.as_ref();
    if carry && clear.is_some_and(|clear| clear.fleet.is_some()) {
        let title = "tubs are counted, and nobody fills one";
        sums.wrong(
            Clash::new(title, "clear_down.fleet", "tubs for the tables")
                .with("guests.style", "guests carry their own trays")
                .help("leave `fleet` out, or let guests be served at the table"),
        );
    }
}

/// Dollies that nobody moves a rack to, for racks that are never washed, or that wait for more than a landing holds.
fn dollies(sums: &mut Sums<'_>) {
    let scenario = sums.scenario;
    let Some(dollies) = &scenario.dollies else {
        return;
    };
    if scenario.unload.is_none() || scenario.machine.is_empty() {
        sums.wrong(
            Clash::new("nobody parks racks", "dollies", "whoever unloads does")
                .help("add [unload] and a machine, or take [dollies] out"),
        );
        return;
    }
    if sums.is_bad_inside("machine") || sums.is_bad_inside("rack") {
        return;
    }
    let machines = &scenario.machine;
    let is_washed = |rack: &String| machines.iter().any(|machine| machine.takes(rack));
    if let Some((at, rack)) = (dollies.racks.iter().enumerate()).find(|(_, rack)| !is_washed(rack))
    {
        let title = format!("no machine washes the \"{rack}\" that is to be parked");
        let label = "never comes to a landing";
        let clash = Clash::new(title, format!("dollies.racks[{at}]"), label);
        sums.wrong(
            clash.help(
                "name a rack that a machine takes, or leave `racks` out: then all are parked",
            ),
        );
    }
    let Some((once, longest)) = dollies.once_on_landing.zip(longest_rack(sums)) else {
        return;
    };
    let holds = |machine: &Machine| match machine.landing {
        Places::Count(count) => f64::from(count),
        Places::LengthM(length_m) => (length_m / longest.footprint_m + 1e-6).floor(),
    };
    let most = machines.iter().map(holds).fold(0.0, f64::max);
    if f64::from(once) > most {
        let title = "a landing is never so full that a rack is parked";
        let label = format!("no landing holds more than {most} racks");
        let clash = Clash::new(title, "dollies.once_on_landing", label);
        sums.wrong(clash.help(format!(
            "write {most} or fewer, or leave it out: then a full landing is enough"
        )));
    }
}

/// A batch larger than the table it goes to can never be put down.
fn batches(sums: &mut Sums<'_>) {
    let scenario = sums.scenario;
    let loading = scenario
        .loading
        .as_ref()
        .and_then(|l| l.table)
        .map(|room| ("loading", room));
    let pre_rinse = scenario.pre_rinse.as_ref();
    let after_scrape = match pre_rinse {
        Some(bench) => bench.table.map(|room| ("pre_rinse", room)),
        None => loading,
    };
    let scrape = scenario
        .scrape
        .as_ref()
        .map(|bench| ("scrape", bench.batch));
    let rinse = pre_rinse.map(|bench| ("pre_rinse", bench.batch));
    for (bench, next) in [(scrape, after_scrape), (rinse, loading)] {
        if let (Some((bench, batch)), Some((next, room))) = (bench, next)
            && batch > room
        {
            let title = format!("a batch of `{bench}` never fits on the table of `{next}`");
            sums.wrong(
                Clash::new(
                    title,
                    format!("{next}.table"),
                    format!("room for {room} pieces"),
                )
                .with(format!("{bench}.batch"), format!("{batch} pieces at once"))
                .help(format!(
                    "let the table hold at least {batch}, or take fewer at once"
                )),
            );
        }
    }
}

fn soak_batch(sums: &mut Sums<'_>) {
    let (Some(soak), Some(scrape)) = (&sums.scenario.soak, &sums.scenario.scrape) else {
        return;
    };
    if scrape.batch > soak.holds {
        let label = format!("a sink holds {} pieces", soak.holds);
        sums.wrong(
            Clash::new(
                "a scraped batch never fits into a soak sink",
                "soak.holds",
                label,
            )
            .with("scrape.batch", format!("{} pieces at once", scrape.batch))
            .help(format!(
                "let a sink hold at least {}, or scrape fewer at once",
                scrape.batch
            )),
        );
    }
}

fn machines_and_loading(sums: &mut Sums<'_>) {
    let (loading, machines) = (&sums.scenario.loading, &sums.scenario.machine);
    let loading_known = !sums.is_bad_inside("loading");
    let machines_known = !sums.is_bad("machine");
    if let (None, Some(machine), true) = (loading, machines.first(), loading_known) {
        let path = format!("machine[{}]", machine.name);
        sums.wrong(
            Clash::new("a machine without loading", path, "nobody fills its racks")
                .help("add [loading]"),
        );
    }
    if loading.is_some() && machines.is_empty() && machines_known {
        sums.wrong(
            Clash::new(
                "loading without a machine",
                "loading",
                "racks would go nowhere",
            )
            .help("add a [[machine]], or leave [loading] out"),
        );
    }
}

fn inspect(sums: &mut Sums<'_>) {
    if sums.scenario.inspect.is_some() && sums.scenario.unload.is_none() && !sums.is_bad("unload") {
        sums.wrong(
            Clash::new(
                "inspection without unloading",
                "inspect",
                "whoever unloads inspects",
            )
            .help("add [unload], or leave [inspect] out"),
        );
    }
}

fn longest_rack<'a>(sums: &Sums<'a>) -> Option<&'a Rack> {
    sums.scenario
        .rack
        .iter()
        .max_by(|a, b| a.footprint_m.total_cmp(&b.footprint_m))
}

fn tunnel(sums: &mut Sums<'_>, machine: &Machine, rack: &Rack) {
    let MachineKind::RackConveyor { tunnel_m, .. } = machine.kind else {
        return;
    };
    if rack.footprint_m > tunnel_m {
        let title = format!("the rack \"{}\" is longer than the tunnel", rack.name);
        sums.wrong(
            Clash::new(
                title,
                format!("machine[{}].tunnel", machine.name),
                metres(tunnel_m),
            )
            .with(
                format!("rack[{}].footprint", rack.name),
                metres(rack.footprint_m),
            )
            .help("a tunnel is at least as long as one rack"),
        );
    }
}

fn landing(sums: &mut Sums<'_>, machine: &Machine, rack: &Rack) {
    for (key, places, may_be_none) in [
        ("landing", machine.landing, false),
        ("lane", machine.lane, true),
    ] {
        let Places::LengthM(length_m) = places else {
            continue;
        };
        if length_m >= rack.footprint_m || (may_be_none && length_m == 0.0) {
            continue;
        }
        let title = format!("the {key} of \"{}\" has no room for a rack", machine.name);
        sums.wrong(
            Clash::new(
                title,
                format!("machine[{}].{key}", machine.name),
                metres(length_m),
            )
            .with(
                format!("rack[{}].footprint", rack.name),
                metres(rack.footprint_m),
            )
            .help(format!(
                "make it at least as long as the rack \"{}\"",
                rack.name
            )),
        );
    }
}
