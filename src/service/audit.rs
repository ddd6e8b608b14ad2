//! A recount of everything from scratch, for tests: does the state agree with itself?
//!
//! The running counts are kept piece by piece as things move; the audit walks all queues, racks,
//! sinks, hands and lots instead, and compares. It may be called after any event.

use super::crew::Doing;
use super::index::{LotId, MachineId};
use super::job::Thing;
use super::line::racks::{Place, Rack};
use super::machine::Phase;
use super::pieces::{Pile, Zone};
use super::{Service, stations};
use crate::room::own::Whose;
use crate::scenario::model::Duty;

impl Service<'_> {
    /// Recounts the room.
    ///
    /// # Errors
    /// Says, in words, the first thing that does not agree.
    pub fn audit(&self) -> Result<(), String> {
        self.audit_pieces()?;
        self.audit_racks()?;
        self.audit_people()?;
        self.audit_room()?;
        self.audit_tables()?;
        self.audit_lines()?;
        self.audit_supply()?;
        self.audit_machines()
    }

    /// Every piece is in at most one queue, and zones count what the queues hold.
    fn audit_pieces(&self) -> Result<(), String> {
        let mut seen = vec![false; self.common.flow.pieces.len()];
        let mut count = |pile: &Pile, what: &str| -> Result<u32, String> {
            let mut found = 0;
            for run in pile.runs(&self.common.flow) {
                found += run.count;
                for piece in run.range() {
                    if std::mem::replace(&mut seen[piece], true) {
                        return Err(format!(
                            "piece {piece} is in two places, one of them {what}"
                        ));
                    }
                }
            }
            if found != pile.len() {
                let len = pile.len();
                return Err(format!("{what}: a pile of {len} holds {found} pieces"));
            }
            Ok(found)
        };
        let at_drop_off = count(self.soiled.drop_off.line.pile(), "drop-off")?
            + count(self.soiled.drop_off.again.pile(), "rewash")?;
        self.agrees("drop-off", Zone::DropOff, at_drop_off)?;
        let in_tubs: u32 = self.soiled.drop_off.tubs.iter().map(|tub| tub.left).sum();
        if in_tubs != self.soiled.drop_off.line.len() {
            return Err(format!(
                "{in_tubs} pieces in tubs, {} in line",
                self.soiled.drop_off.line.len()
            ));
        }
        let to_pre_rinse = count(self.soiled.to_pre_rinse.pile(), "pre-rinse table")?;
        self.agrees("pre-rinse table", Zone::ToPreRinse, to_pre_rinse)?;
        let pots = &self.soiled.pots;
        let to_pots = count(pots.line.pile(), "before the pot sink")?;
        self.agrees("before the pot sink", Zone::ToPotSink, to_pots)?;
        let sanitising = count(&pots.sanitising, "the sanitising compartment")?;
        self.agrees("sanitising", Zone::Sanitising, sanitising)?;
        let mut drying = 0;
        for pile in &pots.drying {
            drying += count(pile, "the drainboard")?;
        }
        self.agrees("on the drainboard", Zone::OnDrainboard, drying)?;
        let to_soak = count(self.soiled.soak.line.pile(), "before the soak")?;
        self.agrees("before the soak", Zone::ToSoak, to_soak)?;
        let (mut to_rack, mut sorted) = (0, 0);
        for kind in &self.soiled.racking.kinds {
            to_rack += count(kind.line.pile(), "racking table")?;
            if let Some(decoys) = &kind.decoys {
                sorted += count(decoys.line.pile(), "a decoy rack")?;
            }
        }
        self.agrees("decoy racks", Zone::InDecoy, sorted)?;
        self.agrees("racking table", Zone::ToRack, to_rack)?;
        let mut clean = 0;
        for store in &self.clean.stores {
            clean += count(store.line.pile(), "clean")?;
        }
        self.agrees("clean", Zone::ToPutAway, clean)?;
        let mut sinks = 0;
        for sink in &self.soiled.soak.sinks {
            sinks += count(&sink.pile, "a sink")?;
        }
        let mut racks = [0; 3];
        for rack in &self.soiled.racking.racks {
            let pieces = count(&rack.pile, "a rack")?;
            match rack.place {
                Place::Filled | Place::Lane(_) => racks[0] += pieces,
                Place::Machine(_) => racks[1] += pieces,
                Place::Landing(_)
                | Place::Unloading(_)
                | Place::Moving(_)
                | Place::Parked(_)
                | Place::UnloadingParked(_) => racks[2] += pieces,
                Place::Free | Place::Decoy | Place::Filling | Place::Stored if pieces > 0 => {
                    return Err("a free rack has ware in it".into());
                }
                Place::Free | Place::Decoy | Place::Filling | Place::Stored => {}
            }
        }
        let mut carried = 0;
        for trip in &self.soiled.drop_off.trips {
            carried += count(&trip.hand, "a waiting trip")?;
        }
        for tub in &self.soiled.drop_off.carried {
            carried += count(tub, "a tub on its way")?;
        }
        let mut in_hand = [0; Duty::ALL.len()];
        for operator in &self.crew.operators {
            in_hand[operator.duty as usize] += count(&operator.job.hand, "a hand")?;
        }
        self.agrees("scraping", Zone::Scraping, in_hand[Duty::Scrape as usize])?;
        self.agrees(
            "pre-rinsing",
            Zone::PreRinsing,
            in_hand[Duty::PreRinse as usize],
        )?;
        self.agrees(
            "soaking",
            Zone::Soaking,
            sinks + in_hand[Duty::Soak as usize],
        )?;
        self.agrees(
            "scrubbing",
            Zone::Scrubbing,
            in_hand[Duty::WashPots as usize],
        )?;
        self.agrees("racking", Zone::Racking, in_hand[Duty::Load as usize])?;
        self.agrees("racks waiting", Zone::RackWaiting, racks[0])?;
        self.agrees("in machines", Zone::InMachine, racks[1])?;
        self.agrees(
            "landings",
            Zone::OnLanding,
            racks[2] + in_hand[Duty::Unload as usize],
        )?;
        self.agrees(
            "put away",
            Zone::PuttingAway,
            in_hand[Duty::PutAway as usize],
        )?;
        if carried + in_hand[Duty::ClearDown as usize] > self.common.flow.census.of(Zone::OnTrip) {
            return Err("more pieces carried than on trips".into());
        }
        if self.common.flow.census.total() as usize != self.common.flow.pieces.len() {
            return Err(format!(
                "{} pieces counted of {}",
                self.common.flow.census.total(),
                self.common.flow.pieces.len()
            ));
        }
        Ok(())
    }

    fn agrees(&self, what: &str, zone: Zone, found: u32) -> Result<(), String> {
        let counted = self.common.flow.census.of(zone);
        if counted == found {
            Ok(())
        } else {
            Err(format!("{what}: {counted} pieces counted, {found} found"))
        }
    }

    /// Every rack is in one place; lanes, landings and stations hold what they may.
    fn audit_racks(&self) -> Result<(), String> {
        let of = |wanted: fn(&Place) -> bool| {
            self.soiled
                .racking
                .racks
                .iter()
                .filter(|rack| wanted(&rack.place))
                .count()
        };
        let free: usize = self
            .soiled
            .racking
            .kinds
            .iter()
            .map(|kind| kind.free.len())
            .sum();
        if free != of(|place| *place == Place::Free) {
            return Err("free racks do not agree with the stacks".into());
        }
        let kinds = self.soiled.racking.kinds.iter();
        let decoys = kinds.filter_map(|kind| kind.decoys.as_ref());
        if decoys
            .clone()
            .map(|decoys| decoys.racks.len())
            .sum::<usize>()
            != of(|place| *place == Place::Decoy)
        {
            return Err("racks at the drop-off do not agree".into());
        }
        for decoys in decoys {
            let (racks, pieces) = (decoys.racks.len() as u32, decoys.line.len());
            if pieces < racks || racks == 0 && pieces > 0 {
                return Err(format!("{pieces} pieces in {racks} racks at the drop-off"));
            }
        }
        for (index, kind) in self.common.room.rack_kinds.iter().enumerate() {
            let owned = self
                .soiled
                .racking
                .racks
                .iter()
                .filter(|rack| rack.kind == index);
            if owned.count() != kind.fleet as usize {
                return Err(format!("{}: racks gained or lost", kind.name));
            }
            let stack = &self.soiled.racking.kinds[index].free;
            if stack.iter().any(|&rack| self.rack_kind(rack) != index) {
                return Err(format!("{}: another kind's rack in the stack", kind.name));
            }
        }
        let parked = of(|place| matches!(place, Place::Parked(_)));
        let kept = of(|place| matches!(place, Place::Moving(_) | Place::UnloadingParked(_)));
        let dollies = &self.machines.dollies;
        if [parked, kept] != [dollies.racks.len() as usize, dollies.kept as usize] {
            return Err("racks on dollies do not agree".into());
        }
        let places = (self.common.room.dollies.as_ref()).map_or(0, |dollies| dollies.places);
        if dollies.taken() > places {
            return Err("more racks on dollies than they hold".into());
        }
        let stock = &self.clean.stock;
        let mut left = vec![0; self.soiled.racking.racks.len()];
        for (racks, clean) in stock.in_racks.iter().zip(&stock.clean) {
            racks
                .iter()
                .for_each(|(rack, pieces)| left[rack.at()] += pieces);
            let all: u32 = racks.iter().map(|(_, pieces)| pieces).sum();
            if all > clean.unwrap_or(0) {
                return Err("more clean ware in racks than in the store".into());
            }
        }
        let stands = |(rack, left): (&Rack, &u32)| (rack.place == Place::Stored) == (*left > 0);
        let racks = self.soiled.racking.racks.iter();
        if left != stock.left || !racks.zip(&left).all(stands) {
            return Err("racks in the store do not agree".into());
        }
        self.audit_stations()?;
        for (index, (state, machine)) in self
            .machines
            .states
            .iter()
            .zip(&self.common.room.machines)
            .enumerate()
        {
            let index = MachineId::new(index);
            let in_place = |place: Place| {
                self.soiled
                    .racking
                    .racks
                    .iter()
                    .filter(|rack| rack.place == place)
                    .count()
            };
            if in_place(Place::Lane(index)) != state.lane.len() as usize
                || state.racks_in_lane() > machine.lane
            {
                return Err(format!("{}: lane does not agree", machine.name));
            }
            if in_place(Place::Machine(index)) != state.inside.len() {
                return Err(format!("{}: inside does not agree", machine.name));
            }
            if in_place(Place::Landing(index)) != state.landing.len() as usize {
                return Err(format!("{}: landing does not agree", machine.name));
            }
            if state.on_landing() > machine.landing {
                return Err(format!("{}: landing overfull", machine.name));
            }
        }
        Ok(())
    }

    /// Every place holds as many racks as are counted, and no more than it has stations; a full rack finds a machine.
    fn audit_stations(&self) -> Result<(), String> {
        let racking = &self.soiled.racking;
        let loading = self.common.room.loading.as_ref();
        let stations = loading.map_or(0, |loading| loading.stations);
        for (place, &used) in racking.stations_used.iter().enumerate() {
            let here = racking.racks.iter().filter(|rack| {
                matches!(rack.place, Place::Filling | Place::Filled) && rack.filled_at == place
            });
            let found = here.count() as u32;
            if found != used {
                return Err(format!("{found} racks on stations, {used} counted"));
            }
            if used > stations {
                return Err("more racks than loading stations".into());
            }
        }
        for rack in &racking.racks {
            let machine = match rack.place {
                Place::Lane(machine) | Place::Machine(machine) => machine,
                _ => continue,
            };
            if self.common.room.machines[machine].filled_at != rack.filled_at {
                return Err("a rack in a machine that it was not filled for".into());
            }
        }
        Ok(())
    }

    /// Nobody is at two places; no station has more people than places; only people here work.
    fn audit_people(&self) -> Result<(), String> {
        for duty in Duty::ALL {
            let at = self.crew.operators.iter().filter(|operator| {
                matches!(operator.doing, Doing::Working | Doing::Waiting) && operator.duty == duty
            });
            let found = at.count() as u32;
            if found != self.crew.at_work(duty) {
                return Err(format!(
                    "{}: {found} at work, another number counted",
                    duty.name()
                ));
            }
            if found > stations::work(duty).places.count(self.common.room) {
                return Err(format!("{}: more people than places", duty.name()));
            }
        }
        self.audit_own()?;
        for (index, operator) in self.crew.operators.iter().enumerate() {
            let marked = self.crew.free & (1 << index) != 0;
            if marked != (operator.doing == Doing::Free) {
                return Err(format!(
                    "operator {index} is marked free and is not, or the reverse"
                ));
            }
        }
        Ok(())
    }

    /// Whoever looks after some machines only has nothing in hand that is of others.
    fn audit_own(&self) -> Result<(), String> {
        for (of, operator) in self.common.room.crew.iter().zip(&self.crew.operators) {
            if of.own.is_none() || operator.doing != Doing::Working {
                continue;
            }
            let whose = of.whose();
            let (hand, thing) = (&operator.job.hand, operator.job.thing);
            let is_own = match (operator.duty, thing) {
                (Duty::SetUp | Duty::CloseDown, _) => true,
                (Duty::Load, Thing::Rack(rack)) => whose.fills(self.rack_kind(rack)),
                (_, Thing::Rack(rack) | Thing::ToDolly(rack)) => {
                    match self.soiled.racking.racks[rack].place {
                        Place::Unloading(machine)
                        | Place::UnloadingParked(machine)
                        | Place::Moving(machine) => whose.has_machine(machine.at()),
                        _ => false,
                    }
                }
                (_, Thing::Machine(machine)) => whose.has_machine(machine.at()),
                (_, Thing::Fault(fault) | Thing::Look(fault)) => {
                    whose.has_machine(self.common.room.faults[fault].machine)
                }
                (Duty::PutAway, _) => hand.runs(&self.common.flow).all(|run| {
                    let ware = &self.common.room.wares[run.ware as usize];
                    run.by_hand || whose.fills(ware.rack_kind)
                }),
                _ => true,
            };
            if !is_own {
                return Err(format!(
                    "{}: {:?} of a machine of others",
                    of.name, operator.duty
                ));
            }
        }
        Ok(())
    }

    /// Tables, tubs, sinks and stock hold what they may.
    fn audit_room(&self) -> Result<(), String> {
        let holds = self.common.room.soak.as_ref().map_or(0, |soak| soak.holds);
        if self
            .soiled
            .soak
            .sinks
            .iter()
            .any(|sink| sink.pile.len() > holds)
        {
            return Err("a sink holds more than it can".into());
        }
        let waits = self
            .common
            .room
            .clear_down
            .as_ref()
            .is_some_and(|clear| clear.waits);
        if waits && self.soiled.drop_off.floor_tubs(&self.common) > 0 {
            return Err("tubs on the floor although trips wait".into());
        }
        self.audit_pot_sink()?;
        let wares = self.common.room.wares.iter().enumerate();
        for ((index, ware), stock) in wares.zip(&self.clean.stock.clean) {
            let brought = self.common.room.demand.deliveries.iter();
            let brought = brought.filter(|of| of.ware == index && of.at <= self.common.now);
            let brought: u32 = brought.map(|of| of.pieces).sum();
            let more = |owned| stock.is_some_and(|stock| stock > owned + brought);
            if ware.owned.is_some_and(more) {
                return Err(format!("{}: more clean pieces than owned", ware.name));
            }
        }
        if self.common.flow.census.of(Zone::Out) > self.common.flow.census.total() {
            return Err("more pieces out than came in".into());
        }
        Ok(())
    }

    /// The compartment and the drainboard of the pot sink hold what they may, and nothing that is ready waits for nothing.
    fn audit_pot_sink(&self) -> Result<(), String> {
        let pots = &self.soiled.pots;
        let Some(sink) = &self.common.room.pot_sink else {
            let nothing = pots.line.len() + pots.sanitising.len() + self.clean.on_drainboard();
            return match nothing {
                0 => Ok(()),
                _ => Err("ware at a pot sink that is not there".into()),
            };
        };
        let scrubbing = self.common.flow.census.of(Zone::Scrubbing);
        if pots.kept != scrubbing {
            let kept = pots.kept;
            return Err(format!("{kept} places kept to sanitise {scrubbing} pieces"));
        }
        if pots.sanitising.len() + pots.kept > sink.holds {
            return Err("more to sanitise than the compartment holds".into());
        }
        let stores = self.clean.stores.iter();
        let lying = stores.flat_map(|store| store.line.pile().runs(&self.common.flow));
        let dry: u32 = lying.filter(|run| run.by_hand).map(|run| run.count).sum();
        if dry != self.clean.on_drainboard() {
            return Err("dry pieces on the drainboard do not agree".into());
        }
        let on_board = pots.on_drainboard(&self.clean);
        let has_room = sink.drainboard.is_none_or(|places| on_board < places);
        if sink.drainboard.is_some_and(|places| on_board > places) {
            return Err("more on the drainboard than it holds".into());
        }
        let overdue = |pile: &Pile, after| {
            let head = pile.head().map(|head| &self.common.flow[head]);
            head.is_some_and(|run| run.joined + after < self.common.now)
        };
        if has_room && overdue(&pots.sanitising, sink.contact) {
            return Err("a sanitised piece waits although the drainboard has room".into());
        }
        let mut drying = pots.drying.iter().zip(&sink.dry_after);
        if drying.any(|(pile, after)| overdue(pile, *after)) {
            return Err("a dry piece is taken for a wet one".into());
        }
        let mut runs = self.common.flow.runs.iter();
        let by_machine = |ware: u16| !self.common.room.wares[usize::from(ware)].at_pot_sink;
        if runs.any(|run| run.by_hand && by_machine(run.ware)) {
            return Err("ware for machines was washed by hand".into());
        }
        Ok(())
    }

    /// Tables and drop-off hold what they may, what is on its way to them included.
    fn audit_tables(&self) -> Result<(), String> {
        let kept = |duties: &[Duty]| -> u32 {
            let here = self.crew.operators.iter();
            let with_hand = here.filter(|operator| duties.contains(&operator.duty));
            with_hand.map(|operator| operator.job.kept).sum()
        };
        let pre_rinses = self.common.room.pre_rinse.is_some();
        let (to_table, to_pre_rinse) = if pre_rinses {
            (kept(&[Duty::PreRinse, Duty::Soak]), kept(&[Duty::Scrape]))
        } else {
            (kept(&[Duty::Scrape, Duty::Soak]), 0)
        };
        if (to_table, to_pre_rinse)
            != (
                self.soiled.racking.table.kept(),
                self.soiled.pre_rinse_table.kept(),
            )
        {
            return Err("room kept on a table for nobody".into());
        }
        let full = |table: Option<u32>, on: u32| table.is_some_and(|table| on > table);
        let loading = self
            .common
            .room
            .loading
            .as_ref()
            .and_then(|loading| loading.table);
        if full(
            loading,
            self.common.flow.census.of(Zone::ToRack) + self.soiled.racking.table.kept(),
        ) {
            return Err("more on the racking table than it holds".into());
        }
        let before = self
            .common
            .room
            .pre_rinse
            .as_ref()
            .and_then(|bench| bench.table);
        if full(
            before,
            self.soiled.to_pre_rinse.len() + self.soiled.pre_rinse_table.kept(),
        ) {
            return Err("more on the pre-rinse table than it holds".into());
        }
        let waits = self
            .common
            .room
            .clear_down
            .as_ref()
            .is_some_and(|c| c.waits);
        let tubs = self.soiled.drop_off.tubs.len() as u32 + self.crew.at_work(Duty::ClearDown);
        if waits && full(self.common.room.drop_off_tubs, tubs) {
            return Err("more tubs than the drop-off holds".into());
        }
        for (short, missing) in self.clean.stock.short.iter().zip(&self.clean.stock.missing) {
            let of = |lot: &LotId| self.common.flow.lots[*lot].missing;
            if short.iter().map(of).sum::<u32>() != *missing {
                return Err("what guests wait for does not agree".into());
            }
        }
        if self.soiled.drop_off.tubs.iter().any(|tub| tub.left == 0) {
            return Err("an empty tub stands on the drop-off".into());
        }
        Ok(())
    }

    /// Lines of work count what stands in the queues.
    fn audit_lines(&self) -> Result<(), String> {
        let attended = MachineId::all(self.machines.states.len())
            .filter(|&m| self.common.room.machines[m].is_attended());
        let expected = [
            (Duty::ClearDown, self.tables.len()),
            (Duty::Scrape, self.common.flow.census.of(Zone::DropOff)),
            (Duty::PreRinse, self.soiled.to_pre_rinse.len()),
            (Duty::Soak, self.soiled.soak.line.len()),
            (Duty::WashPots, self.soiled.pots.line.len()),
            (
                Duty::Load,
                self.soiled
                    .racking
                    .kinds
                    .iter()
                    .map(|kind| {
                        let sorted = kind.decoys.as_ref().map(|decoys| decoys.line.len());
                        kind.line.len() + sorted.unwrap_or(0)
                    })
                    .sum(),
            ),
            (
                Duty::Hood,
                attended
                    .map(|m| self.machines.states[m].racks_in_lane())
                    .sum(),
            ),
            (
                Duty::Unload,
                (self.machines.states.iter().map(|m| m.landing.len())).sum::<u32>()
                    + self.machines.dollies.racks.len(),
            ),
            (Duty::PutAway, self.clean.waiting(Whose::ANYBODY)),
            (Duty::SetUp, self.tasks.tasks_waiting(Duty::SetUp)),
            (Duty::CloseDown, self.tasks.tasks_waiting(Duty::CloseDown)),
            (
                Duty::Tend,
                self.machines
                    .waits_to_be_tended(&self.common, Whose::ANYBODY),
            ),
        ];
        for (duty, found) in expected {
            let counted = self.common.flow.lines.len(duty);
            if counted != found {
                return Err(format!(
                    "{}: {counted} counted in line, {found} found",
                    duty.name()
                ));
            }
        }
        let waiting = self.soiled.racking.racks.iter();
        let waiting = waiting.filter(|r| matches!(r.place, Place::Filled | Place::Lane(_)));
        if waiting.count() != self.common.flow.lines.racks_waiting().len as usize {
            return Err("racks waiting do not agree".into());
        }
        let runs = self.common.flow.runs.iter();
        let first = runs.filter(|run| run.waits_for_first_wash());
        let first: u32 = first.map(|run| run.count).sum();
        if first != self.common.flow.lines.soiled().len {
            return Err("soiled pieces waiting do not agree".into());
        }
        Ok(())
    }

    /// What fills shares the supply fairly, and as much was given as was asked for and is not to come yet.
    fn audit_supply(&self) -> Result<(), String> {
        let taps = &self.common.taps;
        let supply = self.common.room.supply.as_ref();
        let flow = supply.map_or(f64::INFINITY, |supply| supply.flow_l_per_s);
        let open = || taps.open();
        let given: f64 = open().map(|tap| tap.gets_l_per_s).sum();
        let best = open().map(|tap| tap.gets_l_per_s).fold(0.0, f64::max);
        let hair = 1e-9 * (1.0 + given);
        if given > flow + hair {
            return Err(format!("{given} L/s from a supply of {flow}"));
        }
        for tap in open() {
            let [gets, most] = [tap.gets_l_per_s, tap.most_l_per_s];
            if gets > most + hair {
                return Err("a tap gets more than it would take".into());
            }
            if gets < most - hair && (gets < best - hair || given < flow - hair) {
                return Err("a tap gets less than others, or water is left over".into());
            }
        }
        let left: f64 = open().map(|tap| tap.left_l).sum();
        if (taps.given_l + left - taps.asked_l).abs() > 1e-6 * (1.0 + taps.asked_l) {
            return Err("water of the supply gained or lost".into());
        }
        Ok(())
    }

    /// Machines do what their phase says, and what is planned lies ahead.
    fn audit_machines(&self) -> Result<(), String> {
        for (state, machine) in self.machines.states.iter().zip(&self.common.room.machines) {
            let empty = state.inside.is_empty();
            let agrees = match state.phase {
                Phase::Idle | Phase::Starting => empty,
                Phase::Held => true,
                Phase::Refilling => empty,
                Phase::Stopped => !empty && state.on_landing() >= machine.landing,
                Phase::Finished => {
                    machine.is_attended()
                        && state.inside.len() == 1
                        && state.on_landing() < machine.landing
                }
                Phase::Washing => state.inside.len() == 1,
                Phase::Changing => state.inside.len() <= 1,
                Phase::Running => empty || !machine.is_hood(),
                Phase::Down => state.inside.len() <= 1 || !machine.is_hood(),
                Phase::Off => empty,
            };
            if !agrees {
                return Err(format!(
                    "{}: {:?} with {} racks inside",
                    machine.name,
                    state.phase,
                    state.inside.len()
                ));
            }
        }
        if self
            .common
            .events
            .next_at()
            .is_some_and(|next| next < self.common.now)
        {
            return Err("the clock would run backward".into());
        }
        Ok(())
    }
}
