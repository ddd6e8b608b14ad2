//! Places on the plan, and room for racks and tubs.

use super::keys::keys;
use crate::scenario::check::{Checker, Read};
use crate::scenario::field::{Field, Kind, Unset, length, row};
use crate::scenario::tree::{Node, Value};

keys! {
    /// A place on the plan, m; walking is along the straight line between two.
    #[derive(Copy, Default)]
    pub struct Position at "" {
        x_m: f64 = row("x", "how far east", length("m", -500.0, 500.0), Unset::Text("0 m"), "the corner of the plan"),
        y_m: f64 = row("y", "how far north", length("m", -500.0, 500.0), Unset::Text("0 m"), "the corner of the plan"),
    }
}

/// Room for racks or tubs: counted, or as a length of table.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Places {
    /// That many.
    Count(u32),
    /// As many as fit on this length, m.
    LengthM(f64),
}

impl Read for Places {
    fn read(
        check: &mut Checker<'_>,
        field: &'static Field,
        node: &Node,
        path: &str,
    ) -> Option<Self> {
        let Kind::Places(least, most, length) = field.kind else {
            return check.misfit(field, node, path);
        };
        match &node.value {
            Value::Text(_) => check.quantity(length, node, path).map(Self::LengthM),
            Value::Whole(number) => {
                let count = u32::try_from(*number).ok();
                let count = count.filter(|count| (least..=most).contains(count));
                if count.is_none() {
                    let limits = format!("at least {least} and at most {most} places, or a length");
                    check.beyond((*number as f64, f64::from(least)), &limits, node, path);
                }
                count.map(Self::Count)
            }
            _ => {
                let what = "how many, or a length with its unit";
                check.not_a(what, "3 or \"60 in\"", node, path);
                None
            }
        }
    }

    fn harmless(_: &'static Field) -> Self {
        Self::Count(1)
    }
}
