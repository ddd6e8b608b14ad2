//! Machines with a crew of their own, where racks for them are filled, and where what they washed is put away.
//!
//! Whoever looks after some machines only fills racks that one of these takes, changes and unloads their racks, mends
//! them, and puts away what they washed. Ware that is brought clean is put away as if the first machine that takes its
//! racks had washed it.
//!
//! A rack is filled for the first machine of the loader that takes its kind. Filled where that machine has a place of its
//! own, it goes to the machines of that place alone.

use crate::room::plan::Spot;
use crate::scenario::model::{Duty, Machine, RosterRow, Scenario, Ware};

/// The machines that somebody looks after, and what is theirs by that.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Own {
    machines: Vec<bool>,
    kinds: Vec<bool>,
    filled_at: Vec<usize>,
    stores: Vec<bool>,
}

impl Own {
    /// Of a row of the roster; `None` if it looks after all machines.
    pub(super) fn of(
        row: &RosterRow,
        scenario: &Scenario,
        stores: &Stores,
        stations: &Stations,
    ) -> Option<Self> {
        if row.machines.is_empty() {
            return None;
        }
        let is_own = |machine: &Machine| row.machines.contains(&machine.name);
        let machines: Vec<bool> = scenario.machine.iter().map(is_own).collect();
        let kinds = scenario.rack.iter().map(|rack| {
            let mut takes = scenario.machine.iter().filter(|one| one.takes(&rack.name));
            takes.any(is_own)
        });
        let holds = |store: usize| {
            let mut own = machines.iter().zip(&stores.of_machine);
            stores.of_all == Some(store) || own.any(|(is_own, at)| *is_own && *at == store)
        };
        let stores = (0..stores.spots.len()).map(holds).collect();
        Some(Self {
            kinds: kinds.collect(),
            filled_at: filled_at(scenario, &stations.of_machine, is_own),
            stores,
            machines,
        })
    }
}

/// Whose work is asked about: that of somebody who looks after some machines, or anybody's.
#[derive(Debug, Clone, Copy)]
pub struct Whose<'r>(Option<&'r Own>);

impl<'r> Whose<'r> {
    /// Anybody's.
    pub const ANYBODY: Self = Self(None);

    /// That of somebody with these machines of their own, if they have any.
    #[must_use]
    pub const fn of(own: Option<&'r Own>) -> Self {
        Self(own)
    }

    /// Whether it is anybody's.
    #[must_use]
    pub const fn is_anybody(self) -> bool {
        self.0.is_none()
    }

    /// Whether a machine is theirs.
    #[must_use]
    pub fn has_machine(self, machine: usize) -> bool {
        self.0.is_none_or(|own| own.machines[machine])
    }

    /// Whether they fill racks of a kind.
    #[must_use]
    pub fn fills(self, kind: usize) -> bool {
        self.0.is_none_or(|own| own.kinds[kind])
    }

    /// Whether they put away into a store.
    #[must_use]
    pub fn puts_into(self, store: usize) -> bool {
        self.0.is_none_or(|own| own.stores[store])
    }
}

/// Where clean ware is put away. What the same people carry to the same place is one store.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stores {
    /// Where each is.
    pub spots: Vec<Spot>,
    of_machine: Vec<usize>,
    of_ware: Vec<usize>,
    /// Of what no machine washes: everybody puts it away.
    of_all: Option<usize>,
}

impl Stores {
    /// Of a scenario: one, unless machines have a store or a crew of their own.
    pub(super) fn of(scenario: &Scenario) -> Self {
        let common = Spot::of_duty(Duty::PutAway);
        let machines = scenario.machine.iter().enumerate();
        let (of_machine, mut spots) = places(machines.map(|(index, machine)| {
            let spot = machine.store.map_or(common, |_| Spot::of_store(index));
            let who = carriers(scenario, &machine.name);
            (spot, (machine.store, who))
        }));
        if spots.is_empty() {
            spots.push(common);
        }
        let washed_by = |ware: &Ware| {
            let by_machine = !ware.rack_kind.is_empty();
            let machine = first_to_take(scenario, &ware.rack_kind, |_| true);
            machine.filter(|_| by_machine)
        };
        let by_hand = scenario.ware.iter().any(|ware| washed_by(ware).is_none());
        if by_hand && spots != [common] {
            spots.push(common);
        }
        let of_all = by_hand.then(|| spots.len() - 1);
        let of_ware = scenario.ware.iter().map(|ware| {
            let machine = washed_by(ware);
            machine.map_or(of_all.unwrap_or(0), |machine| of_machine[machine])
        });
        Self {
            of_ware: of_ware.collect(),
            spots,
            of_machine,
            of_all,
        }
    }

    /// Where what a machine washed is put away.
    #[must_use]
    pub fn of_machine(&self, machine: usize) -> usize {
        self.of_machine[machine]
    }

    /// Where ware is put away that no machine here has washed.
    #[must_use]
    pub fn of_ware(&self, ware: usize) -> usize {
        self.of_ware[ware]
    }
}

/// Where racks are filled. Machines with the same place have the same racks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stations {
    /// Where each place is.
    pub spots: Vec<Spot>,
    of_machine: Vec<usize>,
    of_kind: Vec<usize>,
}

impl Stations {
    /// Of a scenario: one place, unless machines have their own.
    pub(super) fn of(scenario: &Scenario) -> Self {
        let common = Spot::of_duty(Duty::Load);
        let machines = scenario.machine.iter().enumerate();
        let (of_machine, mut spots) = places(machines.map(|(index, machine)| {
            let spot = machine.loading.map_or(common, |_| Spot::of_loading(index));
            (spot, machine.loading)
        }));
        if spots.is_empty() {
            spots.push(common);
        }
        let of_kind = filled_at(scenario, &of_machine, |_| true);
        Self {
            spots,
            of_kind,
            of_machine,
        }
    }

    /// Where racks for a machine are filled.
    #[must_use]
    pub fn of_machine(&self, machine: usize) -> usize {
        self.of_machine[machine]
    }

    /// Where somebody fills racks of a kind, if they do.
    #[must_use]
    pub fn of_kind(&self, kind: usize, whose: Whose<'_>) -> Option<usize> {
        match whose.0 {
            None => Some(self.of_kind[kind]),
            Some(own) => own.kinds[kind].then(|| own.filled_at[kind]),
        }
    }
}

/// Which of the places each machine has, and where these are: alike ones are one place.
fn places<K: PartialEq>(machines: impl Iterator<Item = (Spot, K)>) -> (Vec<usize>, Vec<Spot>) {
    let (mut known, mut spots, mut of_machine) = (Vec::new(), Vec::new(), Vec::new());
    for (spot, place) in machines {
        let at = known.iter().position(|one| *one == place);
        of_machine.push(at.unwrap_or(known.len()));
        if at.is_none() {
            known.push(place);
            spots.push(spot);
        }
    }
    (of_machine, spots)
}

/// The first of some machines that takes racks of a kind.
fn first_to_take(
    scenario: &Scenario,
    rack: &str,
    is_one: impl Fn(&Machine) -> bool,
) -> Option<usize> {
    let mut machines = scenario.machine.iter();
    machines.position(|machine| machine.takes(rack) && is_one(machine))
}

/// At which place racks of each kind are filled for some machines.
fn filled_at(
    scenario: &Scenario,
    of_machine: &[usize],
    is_one: impl Fn(&Machine) -> bool,
) -> Vec<usize> {
    let racks = scenario.rack.iter();
    let at = racks.map(|rack| {
        let machine = first_to_take(scenario, &rack.name, &is_one);
        machine.map_or(0, |machine| of_machine[machine])
    });
    at.collect()
}

/// Whether each row that looks after some machines alone looks after this one.
fn carriers(scenario: &Scenario, machine: &String) -> Vec<bool> {
    let rows = scenario.roster.iter().filter(|row| row.count > 0);
    let limited = rows.filter(|row| !row.machines.is_empty());
    limited.map(|row| row.machines.contains(machine)).collect()
}
