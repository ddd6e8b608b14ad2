//! What differs between two scenarios, in the words of the files.
//!
//! In: two checked scenarios. Out: a [`Change`] for each value that differs and for each row that only
//! one has; rows with names are the same row if they have the same name. Title and note do not count.

use serde_json::{Map, Value};

use crate::scenario::fields::{self, Field, Kind, Quantity};
use crate::scenario::model::Scenario;
use crate::scenario::units;
use crate::words::sentences::changes as say;

/// One thing that differs.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Change {
    /// Where, such as `machine[conveyor].tunnel` or `roster[second loader]`.
    pub path: String,
    /// In the base; `None` if it is not there.
    pub base: Option<String>,
    /// In the alternative; `None` if it is not there.
    pub other: Option<String>,
    /// As one would say it: `a second loader from 18:00 to 23:30`.
    pub words: String,
    /// Whether these words mean several: `two loaders take`, not `takes`.
    pub several: bool,
}

/// Everything that differs, in the order of the files' keys.
#[must_use]
pub fn between(base: &Scenario, other: &Scenario) -> Vec<Change> {
    let mut found = Vec::new();
    // A checked scenario is plain values: it always becomes JSON.
    let as_json = |scenario: &Scenario| serde_json::to_value(scenario).unwrap_or(Value::Null);
    let (base, other) = (as_json(base), as_json(other));
    if let (Value::Object(base), Value::Object(other)) = (&base, &other) {
        tables("", base, other, &mut found);
    }
    found
}

/// Keys that only describe.
const DESCRIBES: [&str; 2] = ["title", "note"];

fn tables(
    path: &str,
    base: &Map<String, Value>,
    other: &Map<String, Value>,
    found: &mut Vec<Change>,
) {
    let only_other = other.keys().filter(|key| !base.contains_key(*key));
    for key in base.keys().chain(only_other) {
        let (base, other) = (base.get(key), other.get(key));
        if path.is_empty() && DESCRIBES.contains(&key.as_str()) {
            continue;
        }
        let below = match path {
            "" => key.clone(),
            _ => format!("{path}.{key}"),
        };
        values(
            &below,
            base.unwrap_or(&Value::Null),
            other.unwrap_or(&Value::Null),
            found,
        );
    }
}

fn values(path: &str, base: &Value, other: &Value, found: &mut Vec<Change>) {
    if base == other {
        return;
    }
    match (base, other) {
        _ if is_places(base) || is_places(other) => found.push(changed(path, base, other)),
        (Value::Object(base), Value::Object(other)) => match of_kind(path, base, other) {
            Some((above, base, other)) => values(above, base, other, found),
            None => tables(path, base, other, found),
        },
        (Value::Array(base), Value::Array(other)) if named(base) && named(other) => {
            rows(path, base, other, found);
        }
        _ => found.push(changed(path, base, other)),
    }
}

/// The keys of a kind of machine stand a step lower in the model than in the file.
fn of_kind<'a>(
    path: &'a str,
    base: &'a Map<String, Value>,
    other: &'a Map<String, Value>,
) -> Option<(&'a str, &'a Value, &'a Value)> {
    let above = path.strip_suffix(".kind")?;
    let (kind, base) = base.iter().next()?;
    Some((above, base, other.get(kind)?))
}

fn named(rows: &[Value]) -> bool {
    rows.iter().all(|row| name(row).is_some())
}

fn name(row: &Value) -> Option<&str> {
    row.get("name")?.as_str()
}

fn rows(path: &str, base: &[Value], other: &[Value], found: &mut Vec<Change>) {
    let twin = |row: &Value, rows: &[Value]| rows.iter().find(|r| name(r) == name(row)).cloned();
    for row in base {
        let below = format!("{path}[{}]", name(row).unwrap_or_default());
        values(&below, row, &twin(row, other).unwrap_or(Value::Null), found);
    }
    for row in other.iter().filter(|row| twin(row, base).is_none()) {
        let below = format!("{path}[{}]", name(row).unwrap_or_default());
        values(&below, &Value::Null, row, found);
    }
    let names = |rows: &[Value]| {
        rows.iter()
            .filter_map(name)
            .map(str::to_owned)
            .collect::<Vec<_>>()
    };
    let (mut in_base, mut in_other) = (names(base), names(other));
    in_base.retain(|name| in_other.contains(name));
    in_other.retain(|name| in_base.contains(name));
    if in_base != in_other {
        let order = |names: Vec<String>| Value::String(names.join(", "));
        found.push(changed(
            &format!("{path} (order)"),
            &order(in_base),
            &order(in_other),
        ));
    }
}

/// A value that differs, or that only one has.
fn changed(path: &str, base: &Value, other: &Value) -> Change {
    let (in_base, in_other) = (text(path, base), text(path, other));
    let (words, several) = match (&in_base, &in_other) {
        (None, Some(_)) if is_row_of_roster(path) => (people(other, "a "), count(other) != 1),
        (Some(_), None) if is_row_of_roster(path) => {
            (say::doing_without(&people(base, "the ")), false)
        }
        (Some(from), Some(to)) => (say::changing(path, from, to), false),
        (None, Some(to)) if is_plain(other) => (say::setting(path, to), false),
        (None, Some(_)) => (say::adding(path), false),
        (Some(_), None) => (say::leaving_out(path), false),
        (None, None) => (path.to_owned(), false),
    };
    Change {
        path: path.to_owned(),
        base: in_base,
        other: in_other,
        words,
        several,
    }
}

fn is_row_of_roster(path: &str) -> bool {
    path.starts_with("roster[") && path.ends_with(']')
}

fn count(row: &Value) -> u64 {
    row.get("count").and_then(Value::as_u64).unwrap_or(1)
}

/// `a second loader from 18:00 to 23:30`.
fn people(row: &Value, article: &str) -> String {
    let time = |key| {
        let seconds = row.get(key).and_then(Value::as_f64);
        seconds.map_or_else(|| "?".to_owned(), units::clock_text)
    };
    let (from, to) = (time("from"), time("to"));
    let name = name(row).unwrap_or_default();
    say::people(count(row), name, article, [&from, &to])
}

/// A value as people read it; nothing if it is not there.
fn text(path: &str, value: &Value) -> Option<String> {
    let kind = field(path).map(|field| field.kind);
    match value {
        Value::Null => None,
        Value::Bool(flag) => Some(flag.to_string()),
        Value::String(text) => Some(text.clone()),
        Value::Number(number) => Some(shown(number.as_f64()?, kind)),
        Value::Array(list) => Some(listed(list)),
        Value::Object(table) => {
            let length = table.get("length_m").and_then(Value::as_f64);
            let places = table.get("count").filter(|_| is_places(value));
            Some(match (length, places) {
                (Some(metres), _) => format!("{} m", short(metres)),
                (_, Some(count)) => count.to_string(),
                _ if is_row_of_roster(path) => people(value, ""),
                _ => say::THERE.to_owned(),
            })
        }
    }
}

fn is_places(value: &Value) -> bool {
    let keys = value.as_object().filter(|table| table.len() == 1);
    keys.is_some_and(|table| table.contains_key("length_m") || table.contains_key("count"))
}

fn is_plain(value: &Value) -> bool {
    !value.is_object() && !value.is_array() || is_places(value)
}

/// Duties by name; of other lists how long they are.
fn listed(list: &[Value]) -> String {
    let duty = |entry: &Value| entry.get("duty").and_then(Value::as_str).map(str::to_owned);
    let duties: Option<Vec<String>> = list.iter().map(duty).collect();
    match duties.filter(|duties| !duties.is_empty()) {
        Some(duties) => duties.join(", "),
        None => say::list_of(list.len()),
    }
}

/// A time from here on reads better in minutes, s.
const LONG_S: f64 = 300.0;

/// A number in the unit of its key.
fn shown(value: f64, kind: Option<Kind>) -> String {
    match kind {
        Some(Kind::Quantity(Quantity { unit: "s", .. })) if value >= LONG_S => {
            format!("{} min", short(value / 60.0))
        }
        Some(Kind::Quantity(Quantity {
            unit, dimension, ..
        })) => {
            let of_unit = units::find(unit, dimension).map_or(value, |unit| unit.from_si(value));
            format!("{} {unit}", short(of_unit))
        }
        Some(Kind::TimeOfDay) => units::clock_text(value),
        Some(Kind::Share(_)) => format!("{} %", short(100.0 * value)),
        _ => short(value),
    }
}

/// To five significant digits.
fn short(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return "0".to_owned();
    }
    let digits = 4.0 - libm::floor(libm::log10(value.abs()));
    let scale = libm::pow(10.0, digits.clamp(0.0, 12.0));
    format!("{}", libm::round(value * scale) / scale)
}

/// The row of the table of fields for a path with names in it.
fn field(path: &str) -> Option<&'static Field> {
    let mut plain = String::new();
    let mut depth = 0_usize;
    for letter in path.chars() {
        match letter {
            '[' => {
                depth += 1;
                if depth == 1 {
                    plain.push_str("[]");
                }
            }
            ']' => depth = depth.saturating_sub(1),
            _ if depth == 0 => plain.push(letter),
            _ => {}
        }
    }
    if let Some(field) = fields::find(&plain) {
        return Some(field);
    }
    let (parent, key) = plain.rsplit_once('.')?;
    let children = fields::find(parent)?.children();
    children.into_iter().find(|child| child.path == key)
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;
    use crate::scenario::{load, load_changed};

    fn changes(text: &str) -> Vec<Change> {
        let path = Path::new("scenarios/friday-rush.toml");
        let base = load(path).unwrap_or_else(|mistakes| panic!("{mistakes}"));
        let other = load_changed(path, text).unwrap_or_else(|mistakes| panic!("{mistakes}"));
        between(&base.scenario, &other.scenario)
    }

    fn words(text: &str) -> Vec<String> {
        changes(text)
            .into_iter()
            .map(|change| change.words)
            .collect()
    }

    #[test]
    fn a_scenario_does_not_differ_from_itself_nor_by_its_title() {
        assert!(changes("").is_empty());
        assert!(changes("title = \"Another\"\nnote = \"x\"\n").is_empty());
    }

    #[test]
    fn people_who_come_and_go_are_people() {
        let second = "[[roster]]\nname = \"second loader\"\nfrom = \"18:00\"\nto = \"22:00\"\nduties = [\"load\"]\n";
        assert_eq!(words(second), ["a second loader from 18:00 to 22:00"]);
        let two = second.replace("from =", "count = 2\nfrom =");
        let two = changes(&two);
        assert_eq!(two[0].words, "2 second loaders from 18:00 to 22:00");
        assert!(two[0].several && two[0].base.is_none());
        assert_eq!(two[0].path, "roster[second loader]");
        let path = Path::new("scenarios/second-loader-from-six.toml");
        let with = load(path).unwrap_or_else(|mistakes| panic!("{mistakes}"));
        let without = load(Path::new("scenarios/friday-rush.toml"));
        let without = without.unwrap_or_else(|mistakes| panic!("{mistakes}"));
        let gone = between(&with.scenario, &without.scenario);
        assert_eq!(
            gone[0].words,
            "doing without the second loader from 18:00 to 23:30"
        );
        assert!(gone.len() == 1 && gone[0].other.is_none());
    }

    #[test]
    fn values_are_given_in_the_units_of_their_keys() {
        let cases = [
            (
                "[loading]\nstations = 2\n",
                "changing `loading.stations` from 1 to 2",
            ),
            (
                "[soak]\ntime = \"15 min\"\n",
                "changing `soak.time` from 10 min to 15 min",
            ),
            (
                "[inspect]\ncatches = 0.9\n",
                "changing `inspect.catches` from 85 % to 90 %",
            ),
            (
                "[service]\ncloses = \"23:30\"\n",
                "changing `service.closes` from 23:00 to 23:30",
            ),
            (
                "[[machine]]\nname = \"conveyor\"\nlane = 4\n",
                "changing `machine[conveyor].lane` from 2 to 4",
            ),
            (
                "[[machine]]\nname = \"conveyor\"\ndrain = \"60 s\"\n",
                "changing `machine[conveyor].drain` from 40 s to 60 s",
            ),
            (
                "[[roster]]\nname = \"loader\"\nduties = [\"load\", \"soak\", \"scrape\"]\n",
                "changing `roster[loader].duties` from soak, load, scrape to load, soak, scrape",
            ),
            (
                "[unload.per_unit]\nmean = \"4 s\"\n",
                "changing `unload.per_unit.mean` from 3 s to 4 s",
            ),
            (
                "[[roster]]\nname = \"unloader\"\nwage = 16\n",
                "setting `roster[unloader].wage` to 16",
            ),
        ];
        for (text, expected) in cases {
            assert_eq!(words(text), [expected], "{text}");
        }
    }

    #[test]
    fn a_conveyor_changed_in_its_tunnel_keeps_the_words_of_the_file() {
        let longer = "[[machine]]\nname = \"conveyor\"\nspeed = \"7 ft/min\"\n";
        let all = changes(longer);
        assert_eq!(all.len(), 1, "{all:?}");
        assert_eq!(all[0].path, "machine[conveyor].speed");
        assert_eq!(all[0].base.as_deref(), Some("1.6764 m/min"));
    }
}
