//! What was changed between two scenarios, in a few words that a sentence can begin with.

/// Some people of the roster, of one name: `a second loader from 18:00 to 23:30`, `2 runners from 19:00 to 22:00`.
pub fn people(count: u64, name: &str, article: &str, [from, to]: [&str; 2]) -> String {
    let who = match count {
        1 if article == "a " && name.starts_with(['a', 'e', 'i', 'o']) => format!("an {name}"),
        1 => format!("{article}{name}"),
        n => format!("{n} {name}s"),
    };
    format!("{who} from {from} to {to}")
}

/// The same without their name: `from 18:00 to 23:30`, `2 from 19:00 to 22:00`.
pub fn shift(count: u64, [from, to]: [&str; 2]) -> String {
    match count {
        1 => format!("from {from} to {to}"),
        n => format!("{n} from {from} to {to}"),
    }
}

/// Somebody who is not there any more.
pub fn doing_without(people: &str) -> String {
    format!("doing without {people}")
}

/// Keys whose own word would not do in a sentence, by the end of their path.
const KEYS: &[(&str, &str)] = &[
    ("service.opens", "opening time"),
    ("service.closes", "closing time"),
    ("per_unit.mean", "time per unit"),
    ("per_unit", "time per unit"),
    ("catches", "share caught"),
    ("count", "number"),
    ("fleet", "number of racks"),
    ("owned", "pieces owned"),
    ("per_rack", "pieces per rack"),
    ("from", "start"),
    ("to", "end"),
];

/// Keys of a row of the roster, where they are those of a shift.
const SHIFT: &[(&str, &str)] = &[("from", "start of the shift"), ("to", "end of the shift")];

/// Flags of a row: the key, what it is, and what it is to set it and not to; `{}` is the row.
const FLAGS: &[[&str; 4]] = &[
    [
        "stays",
        "{} stays until all is done",
        "keeping the {} until all is done",
        "sending the {} home at the end of the shift",
    ],
    [
        "attended",
        "{} is attended",
        "attending the {}",
        "leaving the {} unattended",
    ],
    [
        "racks_wait",
        "racks wait until {} is done",
        "holding racks until {} is done",
        "letting racks in before {} is done",
    ],
    [
        "stops",
        "machine stands from when {} strikes",
        "stopping the machine when {} strikes",
        "letting the machine run on when {} strikes",
    ],
    [
        "mend_stops",
        "machine stands while {} is repaired",
        "stopping the machine while {} is repaired",
        "running the machine while {} is repaired",
    ],
];

/// A flag as people say it.
pub const fn flag(is_set: bool) -> &'static str {
    if is_set { "yes" } else { "no" }
}

/// Tables whose own word would not do.
const TABLES: &[(&str, &str)] = &[
    ("inspect", "inspection"),
    ("drop_off", "drop-off"),
    ("put_away", "put-away"),
    ("pre_rinse", "pre-rinse"),
    ("clear_down", "clear-down"),
    ("prices", "price of"),
];

/// Lists whose own word is of several.
const LISTS: &[(&str, &str)] = &[
    ("zones", "zone"),
    ("courses", "course"),
    ("breaks", "break"),
];

/// Where a value stands, in words: `tunnel of the conveyor`, `length of the zone wash of the conveyor`, `soak time`,
/// `machine hood`, `position of put-away, x`.
pub fn label(path: &str) -> String {
    if let Some(list) = path.strip_suffix(" (order)") {
        return format!("order of the {}", label(list));
    }
    if let Some((position, axis @ ("x" | "y"))) = path.rsplit_once('.')
        && position.ends_with("position")
    {
        return format!("{}, {axis}", label(position));
    }
    if let Some((row, [_, what, ..])) = flag_of(path) {
        return what.replace("{}", row);
    }
    let (rows, key) = rows(path);
    if let ([("roster", who)], key) = (&rows[..], key) {
        return match of(SHIFT, key) {
            _ if key.is_empty() => (*who).to_owned(),
            Some(words) => format!("{words} of the {who}"),
            None => format!("{} of the {who}", key_label(key)),
        };
    }
    let (Some((list, row)), above) = (rows.last(), rows.len().saturating_sub(1)) else {
        return of_table(path);
    };
    let of_rows = rows.iter().take(above).rev();
    let of_rows: String = of_rows.map(|(_, row)| format!(" of the {row}")).collect();
    let within = above > 0;
    match (key.is_empty(), within) {
        (true, _) => format!("{} {row}{of_rows}", one_of(list)),
        (false, true) => format!("{} of the {} {row}{of_rows}", key_label(key), one_of(list)),
        (false, false) => format!("{} of the {row}", key_label(key)),
    }
}

/// The row of a flag, and its words.
fn flag_of(path: &str) -> Option<(&str, &'static [&'static str; 4])> {
    let (rows, key) = rows(path);
    let words = FLAGS.iter().find(|words| words[0] == key)?;
    Some((rows.last()?.1, words))
}

/// A flag that is set, or is not any more.
pub fn turning(path: &str, is_set: bool) -> Option<String> {
    let (row, [_, _, set, unset]) = flag_of(path)?;
    Some(if is_set { set } else { unset }.replace("{}", row))
}

/// The rows of lists that a path goes through, each list with the row's name, and the keys below the last of them.
fn rows(path: &str) -> (Vec<(&str, &str)>, &str) {
    let (mut rows, mut rest) = (Vec::new(), path);
    while let Some((list, after)) = rest.split_once('[') {
        // A name may have brackets of its own: the row ends where the next key or the path does.
        let (row, below) = after
            .split_once("].")
            .unwrap_or((after.strip_suffix(']').unwrap_or(after), ""));
        rows.push((list, row));
        rest = below;
    }
    (rows, rest)
}

/// What one row of a list is.
fn one_of(list: &str) -> String {
    let plain = plain(list);
    of(LISTS, list).map_or(plain, str::to_owned)
}

/// A value that stands in no row.
fn of_table(path: &str) -> String {
    if let Some(words) = of(KEYS, path) {
        return words.to_owned();
    }
    match path.split_once('.') {
        None => of(TABLES, path).map_or_else(|| plain(path), str::to_owned),
        Some((table, key)) => {
            let table = of(TABLES, table).map_or_else(|| plain(table), str::to_owned);
            match key {
                "position" => format!("position of {table}"),
                _ => format!("{table} {}", key_label(key)),
            }
        }
    }
}

/// A key within its table, and those below it.
fn key_label(key: &str) -> String {
    if let Some(words) = of(KEYS, key) {
        return words.to_owned();
    }
    let last = |words: &&(&str, &str)| {
        key.strip_suffix(words.0)
            .is_some_and(|above| above.ends_with('.'))
    };
    match KEYS.iter().find(last) {
        Some((end, words)) => format!("{} {words}", plain(key.trim_end_matches(end))),
        None => plain(key),
    }
    .trim()
    .to_owned()
}

fn of(table: &'static [(&str, &str)], key: &str) -> Option<&'static str> {
    table.iter().find(|row| row.0 == key).map(|row| row.1)
}

fn plain(key: &str) -> String {
    key.trim_end_matches('.').replace(['_', '.'], " ")
}

/// A value that is another.
pub fn changing(label: &str, from: &str, to: &str) -> String {
    format!("changing the {label} from {from} to {to}")
}

/// A value that only the alternative gives.
pub fn setting(label: &str, to: &str) -> String {
    format!("setting the {label} to {to}")
}

/// A table that only the alternative has.
pub fn adding(label: &str) -> String {
    format!("adding {label}")
}

/// What only the base has.
pub fn leaving_out(label: &str) -> String {
    format!("leaving out {label}")
}

/// A list in place of its values.
pub fn list_of(count: usize) -> String {
    format!("a list of {count}")
}

/// A table in place of its values.
pub const THERE: &str = "there";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_within_rows_are_named_from_within() {
        let cases = [
            ("machine[conveyor].tunnel", "tunnel of the conveyor"),
            (
                "machine[conveyor].zones[final rinse].flow",
                "flow of the zone final rinse of the conveyor",
            ),
            ("machine[conveyor].zones[wash]", "zone wash of the conveyor"),
            ("machine[hood]", "machine hood"),
            ("machine[one [of two]].lane", "lane of the one [of two]"),
            (
                "machine[conveyor].zones (order)",
                "order of the zones of the conveyor",
            ),
            ("rack (order)", "order of the rack"),
            ("soak.time", "soak time"),
            ("put_away.position.x", "position of put-away, x"),
            (
                "machine[hood].operator_position.y",
                "operator position of the hood, y",
            ),
            ("roster[second loader]", "second loader"),
            ("roster[unloader].to", "end of the shift of the unloader"),
            (
                "roster[unloader].breaks[supper].to",
                "end of the break supper of the unloader",
            ),
            ("roster[unloader].stays", "unloader stays until all is done"),
            (
                "fault[jam].mend_stops",
                "machine stands while jam is repaired",
            ),
        ];
        for (path, expected) in cases {
            assert_eq!(label(path), expected, "{path}");
        }
    }
}
