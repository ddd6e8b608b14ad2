//! What `scullery explain` says of a key, and what may be given for it.

use crate::scenario::field::{Field, Kind, Unset};
use crate::scenario::suggest;

/// Before what may be given.
pub const GIVEN: &str = "give";
/// Before what holds when it is left out.
pub const LEFT_OUT: &str = "left out";
/// Before a kind of machine that alone has it.
pub const ONLY: &str = "only for";
/// Above an example.
pub const EXAMPLE: &str = "Example:";
/// Before the shipped files that give it.
pub const USED: &str = "used in";
/// Where no shipped file does.
pub const UNUSED: &str = "no shipped file";
/// Above the keys of a table.
pub const KEYS: &str = "Keys:";
/// Of a key that has to be given, in a list of keys.
pub const REQUIRED: &str = "must be given";
/// How to read on from a list of keys.
pub const READ_ON: &str = "`scullery explain TABLE.KEY` says more of each.";
/// Above several keys of one name.
pub const SEVERAL: &str = "Several keys have that name:";
/// Above the tables of a scenario.
pub const TOP: &str = "A scenario file has these keys and tables";

/// Of a key that every table of its kind has, such as `cv`.
#[must_use]
pub fn shared(of: &str) -> String {
    format!("of every value of its kind, such as `{of}`")
}

/// What may be given, with its limits.
#[must_use]
pub fn given(field: &Field) -> String {
    match field.kind {
        Kind::Quantity(q) => format!(
            "a quantity with its unit, such as \"{}\"; {}",
            q.example(),
            q.words()
        ),
        Kind::Number(bounds) => format!("a number, {}", bounds.words("")),
        Kind::Whole(least, most) => format!("a whole number from {least} to {most}"),
        Kind::Share(bounds) => format!("a share, such as 0.3 or \"30 %\"; {}", bounds.words("")),
        Kind::Text => "text".into(),
        Kind::Name => "a name that no other row of the list has".into(),
        Kind::Choice(words) => one_of(words),
        Kind::Flag => "true or false".into(),
        Kind::TimeOfDay => {
            "a time of day, such as \"18:30\"; past midnight before noon is the next day".into()
        }
        Kind::Time(q) => format!(
            "a time, such as \"{}\", or one that varies: {{ mean = \"{}\", cv = 0.3 }}; {}",
            q.example(),
            q.example(),
            q.words()
        ),
        Kind::Places(least, most, length) => {
            let length = length.example();
            format!("how many, from {least} to {most}, or a length, such as \"{length}\"")
        }
        Kind::Reference(list) => format!("the name of a row of `{list}`"),
        Kind::References(list) => format!("a list of names of rows of `{list}`"),
        Kind::Duties => "a list of duties, the most preferred first; one may carry a condition: \
             { duty = \"load\", once_waiting = 60 }"
            .into(),
        Kind::File => "the name of a CSV file, from the folder of this one".into(),
        Kind::BasedOn => "the name of a scenario file, from the folder of this one".into(),
        Kind::Include => "a list of names of files, from the folder of this one".into(),
        Kind::Version => "the version, a whole number".into(),
        Kind::Rows(true, most) => format!("rows with a name each, {most} at most"),
        Kind::Rows(false, most) => format!("rows, {most} at most"),
        Kind::Table => "a table".into(),
        Kind::Position => "a place on the plan: { x = \"3 m\", y = \"1 m\" }".into(),
        Kind::Measure => "the name of a measure".into(),
        Kind::Any(looks) => looks.into(),
    }
}

fn one_of(words: &[&str]) -> String {
    format!("one of {}", suggest::all(words))
}

/// What holds when it is left out, and where that comes from.
#[must_use]
pub fn left_out(field: &Field) -> String {
    let default = match field.unset {
        Unset::Required => "it must be given".into(),
        Unset::Absent => "there is none".into(),
        Unset::Text(text) => format!("\"{text}\""),
        Unset::Number(value) => value.to_string(),
        Unset::Whole(value) => value.to_string(),
        Unset::Flag(value) => value.to_string(),
        Unset::Lognormal(mean, cv) => format!("{mean} in the mean, cv {cv}, lognormal"),
        Unset::Empty if field.source.is_empty() => "the defaults of its keys".into(),
        Unset::Empty => return field.source.into(),
        Unset::Worked(how) => how.into(),
    };
    if field.source.is_empty() {
        default
    } else {
        format!("{default} ({})", field.source)
    }
}

/// No key has that name: the title, and what to try.
#[must_use]
pub fn unknown(shown: &str, near: &[String]) -> (String, String) {
    let near: Vec<&str> = near.iter().map(String::as_str).collect();
    let cure = if near.is_empty() {
        "`scullery explain` alone lists the tables".to_owned()
    } else {
        format!("near it: {}", suggest::all(&near))
    };
    (format!("there is no key {shown}"), cure)
}
