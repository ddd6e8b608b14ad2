//! Values that move with a factor: the same value, the same difference or ratio as in the base, or their own.

use super::factor::{Follows, Link};
use super::reader::Reader;
use crate::scenario::amount::Amount;
use crate::scenario::mistakes::{Mistake, Sort};
use crate::scenario::path::ValuePath;
use crate::scenario::tree::{Node, Table, Value};

/// The values that move with a factor; all mistakes in them are reported.
pub(super) fn links(
    reader: &mut Reader<'_>,
    table: &Table,
    factor: Option<&ValuePath>,
) -> Option<Vec<Link>> {
    let Some(Value::List(rows)) = table.get("linked").map(|entry| &entry.node.value) else {
        return Some(Vec::new());
    };
    let links: Vec<Option<Link>> = rows.iter().map(|row| link(reader, row, factor)).collect();
    links.into_iter().collect()
}

fn link(reader: &mut Reader<'_>, row: &Node, factor: Option<&ValuePath>) -> Option<Link> {
    let table = row.table()?;
    let path = reader.path(&table.get("path")?.node)?;
    let follows = match (table.get("follows"), table.get("values")) {
        (Some(word), None) => follows(reader, &word.node, &path, factor?)?,
        (None, Some(values)) => Follows::Listed(reader.list(&values.node, "values")?.to_vec()),
        _ => {
            let title = format!("`{}` is linked, but how?", path.text());
            let help = "give either `follows`, one of \"value\", \"difference\" and \"ratio\", or `values`";
            let mistake = Mistake::new(Sort::Missing, title).at(&row.place, "this link");
            reader.mistakes.push(mistake.help(help));
            return None;
        }
    };
    Some(Link { path, follows })
}

fn follows(
    reader: &mut Reader<'_>,
    word: &Node,
    path: &ValuePath,
    factor: &ValuePath,
) -> Option<Follows> {
    let amount = |path: &ValuePath| Amount::read(path.get(reader.base)?, path.field()?.kind);
    let (own, its) = (amount(path), amount(factor));
    match word.text()? {
        "value" => Some(Follows::Value),
        way => {
            let missing = match (own, its) {
                (Some(base), Some(of_factor)) if way == "difference" => {
                    if base.dimension() == of_factor.dimension() {
                        let factor_si = of_factor.si();
                        return Some(Follows::Difference { factor_si, base });
                    }
                    format!(
                        "`{}` and `{}` are not of the same kind",
                        path.text(),
                        factor.text()
                    )
                }
                (Some(base), Some(of_factor)) if of_factor.si() != 0.0 => {
                    let factor_si = of_factor.si();
                    return Some(Follows::Ratio { factor_si, base });
                }
                (Some(_), Some(_)) => {
                    "the base scenario has 0 there, and nothing is in proportion to it".into()
                }
                (None, _) => format!("the base scenario gives no number for `{}`", path.text()),
                (_, None) => {
                    format!("the base scenario gives no number for `{}`", factor.text())
                }
            };
            let title = format!("there is no {way} to keep");
            let mistake = Mistake::new(Sort::Clash, title)
                .at(&word.place, missing)
                .help("give it in the base scenario, or list the linked values with `values`");
            reader.mistakes.push(mistake);
            None
        }
    }
}
