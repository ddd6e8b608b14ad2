//! What differs between two scenarios, in the words of the files.
//!
//! In: two checked scenarios. Out: a [`Change`] for each value that differs and for each row that only
//! one has; rows with names are the same row if they have the same name. Title and note do not count.

use serde_json::{Map, Value};

use crate::scenario::Loaded;
use crate::scenario::fields::{self, Field, Kind, Quantity};
use crate::scenario::model::Scenario;
use crate::scenario::units::{self, Dimension};
use crate::words::sentences::changes as say;

/// One thing that differs.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Change {
    /// Where, such as `machine[conveyor].tunnel` or `roster[second loader]`.
    pub path: String,
    /// The same in words: `tunnel of the conveyor`.
    pub label: String,
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
pub fn between(base: &Loaded, other: &Loaded) -> Vec<Change> {
    let mut found = Found {
        changes: Vec::new(),
        both: [base, other],
    };
    // A checked scenario is plain values: it always becomes JSON.
    let as_json = |scenario: &Scenario| serde_json::to_value(scenario).unwrap_or(Value::Null);
    let (base, other) = (as_json(&base.scenario), as_json(&other.scenario));
    if let (Value::Object(base), Value::Object(other)) = (&base, &other) {
        tables("", base, other, &mut found);
    }
    found.changes
}

/// What was found so far, and how the authors of both wrote their values.
struct Found<'a> {
    changes: Vec<Change>,
    both: [&'a Loaded; 2],
}

impl Found<'_> {
    /// Adds a value that differs, or that only one has.
    fn add(&mut self, path: &str, base: &Value, other: &Value) {
        let written = self.both.map(|loaded| written(loaded, path));
        self.changes.push(changed(path, [base, other], written));
    }
}

/// A value as it was written; of a time that varies, the text of its mean may stand for all of it.
fn written<'a>(loaded: &'a Loaded, path: &str) -> Option<&'a str> {
    let origins = &loaded.origins;
    let whole = || origins.written(path.strip_suffix(".mean")?);
    origins.written(path).or_else(whole)
}

/// Keys that only describe.
const DESCRIBES: [&str; 2] = ["title", "note"];

fn tables(
    path: &str,
    base: &Map<String, Value>,
    other: &Map<String, Value>,
    found: &mut Found<'_>,
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

fn values(path: &str, base: &Value, other: &Value, found: &mut Found<'_>) {
    if base == other {
        return;
    }
    match (base, other) {
        _ if is_places(base) || is_places(other) => found.add(path, base, other),
        (Value::Object(base), Value::Object(other)) => match of_kind(path, base, other) {
            None if path.ends_with(HOOD_WATER) && field(path).is_none() => {
                tables(path.trim_end_matches(HOOD_WATER), base, other, found);
            }
            Some((above, base, other)) => values(above, base, other, found),
            None => tables(path, base, other, found),
        },
        (Value::Array(base), Value::Array(other)) if named(base) && named(other) => {
            rows(path, base, other, found);
        }
        _ => found.add(path, base, other),
    }
}

/// So do the keys of a hood's water.
const HOOD_WATER: &str = ".water";

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

fn rows(path: &str, base: &[Value], other: &[Value], found: &mut Found<'_>) {
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
        found.add(
            &format!("{path} (order)"),
            &order(in_base),
            &order(in_other),
        );
    }
}

/// A value that differs, or that only one has; with each as its author wrote it.
fn changed(path: &str, [base, other]: [&Value; 2], written: [Option<&str>; 2]) -> Change {
    let [here, there] = written;
    let in_base = text(path, base, [here, there]);
    let in_other = text(path, other, [there, here]);
    let label = say::label(path);
    let turned = other.as_bool().and_then(|flag| say::turning(path, flag));
    let (words, several) = match (&in_base, &in_other) {
        (None, Some(_)) if is_row_of_roster(path) => (people(other, "a "), count(other) != 1),
        (Some(_), None) if is_row_of_roster(path) => {
            (say::doing_without(&people(base, "the ")), false)
        }
        (Some(from), Some(to)) => {
            let changing = || say::changing(&label, from, to);
            (turned.unwrap_or_else(changing), false)
        }
        (None, Some(to)) if is_plain(other) => (say::setting(&label, to), false),
        (None, Some(_)) => (say::adding(&label), false),
        (Some(_), None) => (say::leaving_out(&label), false),
        (None, None) => (label.clone(), false),
    };
    Change {
        path: path.to_owned(),
        label,
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
    let [from, to] = &shift(row);
    let name = name(row).unwrap_or_default();
    say::people(count(row), name, article, [from, to])
}

/// When people of a row come and go.
fn shift(row: &Value) -> [String; 2] {
    ["from", "to"].map(|key| {
        let seconds = row.get(key).and_then(Value::as_f64);
        seconds.map_or_else(|| "?".to_owned(), units::clock_text)
    })
}

/// A value as people read it, in the unit of whoever wrote it, or the other; nothing if it is not there.
fn text(path: &str, value: &Value, written: [Option<&str>; 2]) -> Option<String> {
    let kind = field(path).map(|field| field.kind);
    match value {
        Value::Null => None,
        Value::Bool(flag) => Some(say::flag(*flag).to_owned()),
        Value::String(text) => Some(text.clone()),
        Value::Number(number) => Some(shown(number.as_f64()?, kind, written)),
        Value::Array(list) => Some(listed(list)),
        Value::Object(table) => {
            let length = table.get("length_m").and_then(Value::as_f64);
            let places = table.get("count").filter(|_| is_places(value));
            Some(match (length, places) {
                (Some(metres), _) => in_unit(metres, Dimension::Length, written)
                    .unwrap_or_else(|| format!("{} m", short(metres))),
                (_, Some(count)) => count.to_string(),
                _ if is_row_of_roster(path) => {
                    let [from, to] = &shift(value);
                    say::shift(count(value), [from, to])
                }
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

/// A quantity in the first of these texts' unit that is one of its dimension.
fn in_unit(si: f64, dimension: Dimension, written: [Option<&str>; 2]) -> Option<String> {
    let unit = |text: &str| {
        let from = text.find(|letter: char| letter.is_alphabetic() || letter == '°')?;
        units::find(text[from..].trim(), dimension)
    };
    let unit = written.into_iter().flatten().find_map(unit)?;
    Some(format!("{} {}", short(unit.from_si(si)), unit.names[0]))
}

/// A number in the unit it was written in, else in that of its key.
fn shown(value: f64, kind: Option<Kind>, written: [Option<&str>; 2]) -> String {
    if let Some(Kind::Quantity(quantity) | Kind::Time(quantity)) = kind
        && let Some(text) = in_unit(value, quantity.dimension, written)
    {
        return text;
    }
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
        between(&base, &other)
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
        let gone = between(&with, &without);
        assert_eq!(
            gone[0].words,
            "doing without the second loader from 18:00 to 23:30"
        );
        assert!(gone.len() == 1 && gone[0].other.is_none());
    }

    /// Nobody says "the stays of the unloader from true to false".
    #[test]
    fn flags_and_shifts_are_said_as_people_say_them() {
        let leaves = "[[roster]]\nname = \"unloader\"\nstays = false\nto = \"23:00\"\n";
        let leaves = changes(leaves);
        let lines = leaves.iter().map(|c| {
            let of = |value: &Option<String>| value.clone().unwrap();
            (c.label.as_str(), of(&c.base), of(&c.other), &c.words[..])
        });
        let mut lines: Vec<_> = lines.collect();
        lines.sort();
        let end = "changing the end of the shift of the unloader from 23:30 to 23:00";
        let home = "sending the unloader home at the end of the shift";
        let expected = [
            ("end of the shift of the unloader", "23:30", "23:00", end),
            ("unloader stays until all is done", "yes", "no", home),
        ];
        let expected = expected
            .map(|(label, base, other, words)| (label, base.to_owned(), other.to_owned(), words));
        assert_eq!(lines, expected);
        let second = "[[roster]]\nname = \"second loader\"\nfrom = \"21:15\"\nto = \"23:30\"\nduties = [\"load\"]\n";
        let second = &changes(second)[0];
        assert_eq!(second.label, "second loader");
        assert_eq!(second.other.as_deref(), Some("from 21:15 to 23:30"));
        let moved = changes("[put_away.position]\nx = \"9 m\"\n");
        assert_eq!(moved[0].label, "position of put-away, x");
    }

    #[test]
    fn values_are_given_in_the_units_of_their_keys() {
        let cases = [
            (
                "[loading]\nstations = 2\n",
                "changing the loading stations from 1 to 2",
            ),
            (
                "[soak]\ntime = \"15 min\"\n",
                "changing the soak time from 10 min to 15 min",
            ),
            (
                "[inspect]\ncatches = 0.9\n",
                "changing the inspection share caught from 85 % to 90 %",
            ),
            (
                "[service]\ncloses = \"23:30\"\n",
                "changing the closing time from 23:00 to 23:30",
            ),
            (
                "[[machine]]\nname = \"conveyor\"\nlane = 4\n",
                "changing the lane of the conveyor from 2 to 4",
            ),
            (
                "[[machine]]\nname = \"conveyor\"\ndrain = \"60 s\"\n",
                "changing the drain of the conveyor from 40 s to 60 s",
            ),
            (
                "[[roster]]\nname = \"loader\"\nduties = [\"load\", \"soak\", \"scrape\"]\n",
                "changing the duties of the loader from soak, load, scrape to load, soak, scrape",
            ),
            (
                "[unload.per_unit]\nmean = \"4 s\"\n",
                "changing the unload time per unit from 3 s to 4 s",
            ),
            (
                "[[roster]]\nname = \"unloader\"\nwage = 16\n",
                "setting the wage of the unloader to 16",
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
        assert_eq!(all[0].label, "speed of the conveyor");
        let both = [all[0].base.as_deref(), all[0].other.as_deref()];
        assert_eq!(both, [Some("5.5 ft/min"), Some("7 ft/min")]);
        let heater = "[[machine]]\nname = \"hood\"\ntank = { heater = \"5 kW\" }\n";
        let path = Path::new("tests/everything.toml");
        let both =
            ["", heater].map(|text| load_changed(path, text).unwrap_or_else(|m| panic!("{m}")));
        let words = between(&both[0], &both[1]);
        assert_eq!(
            words[0].words,
            "changing the tank heater of the hood from 6 kW to 5 kW"
        );
        // What was left out is said in the unit of whoever gave the other.
        let feet = changes("[[machine]]\nname = \"conveyor\"\ntunnel = \"66 in\"\n");
        assert_eq!(
            feet[0].words,
            "changing the tunnel of the conveyor from 44 in to 66 in"
        );
    }

    /// Every number of a scenario that uses every key is said with its unit, if it has one.
    #[test]
    fn no_quantity_is_a_bare_number() {
        let path = Path::new("tests/everything.toml");
        let loaded = load(path).unwrap_or_else(|mistakes| panic!("{mistakes}"));
        let scenario = serde_json::to_value(&loaded.scenario).unwrap();
        let mut bare = Vec::new();
        numbers("", &scenario, &mut |path, value| {
            let known = field(path).is_some_and(|field| {
                !matches!(field.kind, Kind::Table | Kind::Rows(..) | Kind::Any(_))
            });
            // A task that fills nothing has no such key.
            let fills_nothing = path.starts_with("close_down[") && path.ends_with(".flow");
            if !known && !fills_nothing {
                bare.push(format!("{path} = {value}"));
            }
        });
        assert_eq!(bare, [""; 0]);
    }

    fn numbers(path: &str, value: &Value, take: &mut impl FnMut(&str, f64)) {
        match value {
            Value::Object(_) if is_places(value) => {}
            Value::Object(table) => {
                for (key, value) in table {
                    let below = match (path, path.strip_suffix(".kind")) {
                        ("", _) => key.clone(),
                        _ if path.starts_with("machine[")
                            && key == "water"
                            && value.is_object() =>
                        {
                            path.to_owned()
                        }
                        (_, Some(above)) => above.to_owned(),
                        _ => format!("{path}.{key}"),
                    };
                    numbers(&below, value, take);
                }
            }
            Value::Array(list) if named(list) => {
                for row in list {
                    let name = name(row).unwrap_or_default();
                    numbers(&format!("{path}[{name}]"), row, take);
                }
            }
            Value::Number(number) => take(path, number.as_f64().unwrap()),
            _ => {}
        }
    }
}
