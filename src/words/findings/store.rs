//! Findings of racks that go to the store as they are.

use super::{Said, said};

/// Racks that cannot hold all that is owned, and go round besides.
pub fn too_few(kind: &str, fleet: u32, needed: f64) -> Said {
    said(
        format!(
            "{kind}: all that is owned fills {needed:.0} racks, and there are {fleet}. When all of it is clean no rack \
             is left for the machine, and the rest is unpacked by hand"
        ),
        "own more racks, or let fewer pieces stand in them",
    )
}

/// Ware waited for racks that stood in the store.
pub fn stood(minutes: f64, most: f64, owned: u32) -> Said {
    said(
        format!(
            "no rack was free for {minutes:.0} minutes of the ‹evening› while ware waited for one: up to {most:.0} of \
             {owned} stood in the store with clean ware, on average"
        ),
        "own more racks, or unpack some in the store before the rush",
    )
}
