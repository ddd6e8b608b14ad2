//! Machines with a crew of their own, and where what they washed is put away.
//!
//! Whoever looks after some machines only fills racks that one of these takes, changes and unloads their racks, mends
//! them, and puts away what they washed. Ware that is brought clean is put away as if the first machine that takes its
//! racks had washed it.

use crate::room::plan::Spot;
use crate::scenario::model::{Duty, Machine, RosterRow, Scenario};

/// The machines that somebody looks after, and what is theirs by that.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Own {
    machines: Vec<bool>,
    kinds: Vec<bool>,
    stores: Vec<bool>,
}

impl Own {
    /// Of a row of the roster; `None` if it looks after all machines.
    pub(super) fn of(row: &RosterRow, scenario: &Scenario, stores: &Stores) -> Option<Self> {
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
            let own = machines.iter().zip(&stores.of_machine);
            own.into_iter().any(|(is_own, at)| *is_own && *at == store)
        };
        let stores = (0..stores.spots.len()).map(holds).collect();
        Some(Self {
            kinds: kinds.collect(),
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
}

impl Stores {
    /// Of a scenario: one, unless machines have a crew of their own.
    pub(super) fn of(scenario: &Scenario) -> Self {
        let mut found: Vec<Vec<bool>> = Vec::new();
        let mut spots = Vec::new();
        let mut of_machine = Vec::new();
        for machine in &scenario.machine {
            let store = carriers(scenario, &machine.name);
            let at = found.iter().position(|known| *known == store);
            of_machine.push(at.unwrap_or(found.len()));
            if at.is_none() {
                found.push(store);
                spots.push(Spot::of_duty(Duty::PutAway));
            }
        }
        if spots.is_empty() {
            spots.push(Spot::of_duty(Duty::PutAway));
        }
        let first_to_take = |rack: &str| {
            let mut machines = scenario.machine.iter();
            machines.position(|machine| machine.takes(rack))
        };
        let of_ware = scenario.ware.iter().map(|ware| {
            let machine = first_to_take(&ware.rack_kind);
            machine.map_or(0, |machine| of_machine[machine])
        });
        Self {
            of_ware: of_ware.collect(),
            spots,
            of_machine,
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

/// Whether each row that looks after some machines alone looks after this one.
fn carriers(scenario: &Scenario, machine: &String) -> Vec<bool> {
    let rows = scenario.roster.iter().filter(|row| row.count > 0);
    let limited = rows.filter(|row| !row.machines.is_empty());
    limited.map(|row| row.machines.contains(machine)).collect()
}
