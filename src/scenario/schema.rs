//! The JSON Schema of a scenario file, made from the table of fields, for editors.
//!
//! It knows keys, kinds, units, limits of plain numbers and which keys must be there. A file that is
//! `based_on` another or includes one need not have them, but the name of a row. What a schema cannot say (limits of
//! quantities, names that must exist, impossible sums) is said by [`super::load()`].

use serde_json::{Map, Value as Json, json};

use super::fields::{self, Bounds, Field, Kind, Unset};
use super::model::Duty;
use super::units::{CLOCK_PATTERN, PERCENT_PATTERN};
use super::version;

/// The JSON Schema (2020-12) of a scenario file.
#[must_use]
pub fn schema() -> Json {
    let top = fields::of_scenario();
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A scullery scenario",
        "type": "object",
        "if": { "anyOf": [{ "required": ["based_on"] }, { "required": ["include"] }] },
        "then": { "$ref": "#/$defs/variant" },
        "else": { "$ref": "#/$defs/scenario" },
        "$defs": {
            "scenario": object(&top, Rule::Whole, false),
            "variant": object(&top, Rule::Variant, false),
        },
    })
}

/// The JSON Schema (2020-12) of a study file; `$defs.measure` is left to whoever knows the measures.
#[must_use]
pub fn study_schema() -> Json {
    let mut schema = object(&fields::of_study(), Rule::Whole, false);
    schema["$schema"] = json!("https://json-schema.org/draft/2020-12/schema");
    schema["title"] = json!("A scullery study");
    schema
}

/// Which keys must be there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Rule {
    /// All that have no default.
    Whole,
    /// Only the name of a row: the rest may stand in the file it is based on.
    Variant,
}

/// A table with these keys and no others.
fn object(fields: &[&'static Field], rule: Rule, removable: bool) -> Json {
    let mut properties: Map<String, Json> = fields
        .iter()
        .map(|field| (field.key().to_string(), described(field, rule)))
        .collect();
    if removable && rule == Rule::Variant {
        let about = "takes away what the file it is based on has";
        properties.insert(
            "remove".into(),
            json!({ "type": "boolean", "description": about }),
        );
    }
    let must = |field: &&&Field| match rule {
        Rule::Whole => field.unset == Unset::Required && field.only.is_none(),
        Rule::Variant => matches!(field.kind, Kind::Name),
    };
    let required: Vec<&str> = fields
        .iter()
        .filter(must)
        .map(|field| field.key())
        .collect();
    let mut object = json!({
        "type": "object",
        "properties": properties,
        "required": required,
        "additionalProperties": false,
    });
    let kinds = by_kind(fields, rule);
    if !kinds.is_empty() {
        object["allOf"] = Json::Array(kinds);
    }
    object
}

/// What each kind of machine must have, and may not have.
fn by_kind(fields: &[&'static Field], rule: Rule) -> Vec<Json> {
    let mut kinds: Vec<&str> = fields.iter().filter_map(|field| field.only).collect();
    kinds.dedup();
    let of_kind = |kind: &&str| {
        let others = fields
            .iter()
            .filter(|field| field.only.is_some_and(|only| only != *kind));
        let refused: Map<String, Json> = others
            .map(|field| (field.key().to_string(), Json::Bool(false)))
            .collect();
        let own = fields.iter().filter(|field| field.only == Some(*kind));
        let needed = own.filter(|field| field.unset == Unset::Required && rule == Rule::Whole);
        let required: Vec<&str> = needed.map(|field| field.key()).collect();
        json!({
            "if": { "properties": { "kind": { "const": kind } }, "required": ["kind"] },
            "then": { "properties": refused, "required": required },
        })
    };
    kinds.iter().map(of_kind).collect()
}

/// The schema of a field, with what it is.
fn described(field: &'static Field, rule: Rule) -> Json {
    let mut schema = of_kind(field, rule);
    schema["description"] = Json::from(about(field));
    schema
}

/// What a field is, its limits, its default and where that comes from.
fn about(field: &Field) -> String {
    let mut text = field.what.to_string();
    match field.kind {
        Kind::Quantity(q) | Kind::Time(q) => text.push_str(&format!("; {}", q.words())),
        Kind::Number(bounds) => text.push_str(&format!("; {}", bounds.words(""))),
        _ => {}
    }
    let default = match field.unset {
        Unset::Required | Unset::Absent | Unset::Empty => None,
        Unset::Text(value) => Some(format!("\"{value}\"")),
        Unset::Number(value) => Some(value.to_string()),
        Unset::Whole(value) => Some(value.to_string()),
        Unset::Flag(value) => Some(value.to_string()),
        Unset::Lognormal(mean, cv) => Some(format!("{mean}, cv {cv}, lognormal")),
        Unset::Worked(how) => Some(how.to_string()),
    };
    if let Some(default) = default {
        text.push_str(&format!(". Default: {default}"));
    }
    if !field.source.is_empty() {
        text.push_str(&format!(" ({})", field.source));
    }
    text
}

fn of_kind(field: &'static Field, rule: Rule) -> Json {
    let children = field.children();
    match field.kind {
        Kind::Quantity(q) => json!({ "type": "string", "pattern": q.dimension.pattern() }),
        Kind::Number(bounds) => number(bounds),
        Kind::Whole(least, most) => whole(least, most),
        Kind::Share(bounds) => json!({
            "anyOf": [number(bounds), { "type": "string", "pattern": PERCENT_PATTERN }]
        }),
        Kind::Name => json!({ "type": "string", "pattern": "\\S" }),
        Kind::Text | Kind::Reference(_) | Kind::File | Kind::BasedOn => {
            json!({ "type": "string" })
        }
        Kind::Include | Kind::References(_) => {
            json!({ "type": "array", "items": { "type": "string" } })
        }
        Kind::Version => json!({ "enum": [version::NEWEST] }),
        Kind::Choice(words) => json!({ "enum": words }),
        Kind::Flag => json!({ "type": "boolean" }),
        Kind::TimeOfDay => json!({ "type": "string", "pattern": CLOCK_PATTERN }),
        Kind::Time(q) => {
            let mut table = object(&children, rule, false);
            if rule == Rule::Whole {
                table["anyOf"] =
                    json!([{ "required": ["mean"] }, { "required": ["observations"] }]);
            }
            json!({ "anyOf": [{ "type": "string", "pattern": q.dimension.pattern() }, table] })
        }
        Kind::Places(least, most, length) => json!({
            "anyOf": [
                whole(least, most),
                { "type": "string", "pattern": length.dimension.pattern() },
            ]
        }),
        Kind::Duties => json!({
            "type": "array",
            "minItems": 1,
            "items": { "anyOf": [{ "enum": Duty::WORDS }, object(&children, Rule::Whole, false)] },
        }),
        Kind::Rows(named, most) => {
            let rule = if named { rule } else { Rule::Whole };
            let items = object(&children, rule, named);
            json!({ "type": "array", "maxItems": most, "items": items })
        }
        Kind::Table => object(&children, rule, field.unset != Unset::Required),
        Kind::Position => object(&children, rule, false),
        Kind::Measure => json!({ "$ref": "#/$defs/measure" }),
        Kind::Any(_) => json!({}),
    }
}

fn whole(least: u32, most: u32) -> Json {
    json!({ "type": "integer", "minimum": least, "maximum": most })
}

fn number(bounds: Bounds) -> Json {
    let low = if bounds.above {
        "exclusiveMinimum"
    } else {
        "minimum"
    };
    let high = if bounds.below {
        "exclusiveMaximum"
    } else {
        "maximum"
    };
    json!({ "type": "number", low: bounds.least, high: bounds.most })
}
