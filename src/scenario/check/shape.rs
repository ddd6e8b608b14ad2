//! From the shape of the file to the shape of the model.

use serde_json::{Map, Value as Json, json};

use crate::scenario::model::Scenario;

/// Contact time of a conveyor that gives neither speed nor contact time, s.
const CONTACT_S: f64 = 90.0;

/// A time that does not vary.
pub fn fixed(mean_s: f64) -> Json {
    json!({ "mean": mean_s, "cv": 0.0, "distribution": "fixed", "observations": [] })
}

/// The model of a checked scenario.
///
/// # Errors
/// If table and model disagree, which is a mistake of ours, not of the file.
pub fn into_model(mut json: Json) -> Result<Scenario, serde_json::Error> {
    if let Some(top) = json.as_object_mut() {
        top.remove("based_on");
        top.remove("include");
        rename(top.get_mut("soiled_log"), "file", "rows");
        if let Some(machines) = top.get_mut("machine").and_then(Json::as_array_mut) {
            machines
                .iter_mut()
                .filter_map(Json::as_object_mut)
                .for_each(machine);
        }
    }
    serde_json::from_value(json)
}

fn rename(table: Option<&mut Json>, from: &str, to: &str) {
    if let Some(map) = table.and_then(Json::as_object_mut)
        && let Some(value) = map.remove(from)
    {
        map.insert(to.to_string(), value);
    }
}

/// Works out speed or contact time, and moves the keys of the kind below it.
fn machine(row: &mut Map<String, Json>) {
    let kind = row
        .remove("kind")
        .and_then(|k| k.as_str().map(str::to_string))
        .unwrap_or_default();
    let contact = if kind == "hood" {
        number(row, "contact_time").or_else(|| number(row.get("cycle")?.as_object()?, "mean"))
    } else {
        let (speed, contact) = conveyor(row);
        row.insert("speed".into(), json!(speed));
        Some(contact)
    };
    row.insert("contact_time".into(), json!(contact.unwrap_or(CONTACT_S)));
    after_the_wash(row);
    if kind == "hood" {
        hood_water(row);
    }
    let own: &[&str] = if kind == "hood" {
        &[
            "cycle",
            "load_time",
            "attended",
            "operator_position",
            "water",
        ]
    } else {
        &[
            "tunnel",
            "zones",
            "speed",
            "idle_after",
            "restart",
            "rinse_runs",
            "when_cold",
            "booster",
            "supply",
            "detergent",
            "rinse_aid",
            "soil_halves_wash",
            "cold_halves_wash",
            "water_change",
            "least_level",
        ]
    };
    let mut below = Map::new();
    for key in own {
        if let Some(value) = row.remove(*key) {
            let key = if *key == "operator_position" {
                "position"
            } else {
                key
            };
            below.insert(key.to_string(), value);
        }
    }
    row.insert("kind".into(), json!({ kind: below }));
}

/// Moves what a file says of the water of a hood below `water`; nothing, if it says nothing.
fn hood_water(row: &mut Map<String, Json>) {
    let mut water = Map::new();
    for key in [
        "rinse",
        "tank",
        "booster",
        "supply",
        "detergent",
        "rinse_aid",
        "soil_halves_wash",
        "cold_halves_wash",
    ] {
        if let Some(value) = row.remove(key) {
            water.insert(key.to_string(), value);
        }
    }
    let is_said = |key: &str| water.get(key).is_some_and(|value| !value.is_null());
    if ["rinse", "tank", "booster"].into_iter().any(is_said) {
        row.insert("water".into(), Json::Object(water));
    }
}

/// Landing and drain that are not given: ware from a chemical rinse is cooler and dries slower.
fn after_the_wash(row: &mut Map<String, Json>) {
    let chemical = row.get("sanitising") == Some(&json!("chemical"));
    let (landing_m, drain_s) = if chemical {
        (2.54, 50.0)
    } else {
        (1.524, 30.0)
    };
    row.entry("landing")
        .or_insert_with(|| json!({ "length_m": landing_m }));
    row.entry("drain").or_insert_with(|| json!(drain_s));
}

fn number(row: &Map<String, Json>, key: &str) -> Option<f64> {
    row.get(key).and_then(Json::as_f64)
}

/// Belt speed, m/s, and contact time of a normal wash, s. What is given stands; the speed is otherwise
/// the fastest that keeps the contact time of every zone and that of the whole.
fn conveyor(row: &Map<String, Json>) -> (f64, f64) {
    let zones: Vec<&Map<String, Json>> = row
        .get("zones")
        .and_then(Json::as_array)
        .map_or_else(Vec::new, |zones| {
            zones.iter().filter_map(Json::as_object).collect()
        });
    let is_wet = |zone: &&&Map<String, Json>| zone.get("kind") != Some(&json!("blow-dry"));
    let length = |zone: &Map<String, Json>| number(zone, "length").unwrap_or(0.0);
    let wet_m = if zones.is_empty() {
        number(row, "tunnel").unwrap_or(1.0)
    } else {
        zones.iter().filter(is_wet).map(|zone| length(zone)).sum()
    };
    let needed = |zone: &&Map<String, Json>| number(zone, "contact_time");
    let told = zones.iter().any(|zone| needed(zone).is_some());
    let together = told.then(|| zones.iter().filter_map(needed).sum::<f64>());
    let contact = number(row, "contact_time").or(together);
    let speed = number(row, "speed").unwrap_or_else(|| {
        let whole = wet_m / contact.unwrap_or(CONTACT_S);
        let of_zone = |zone: &&Map<String, Json>| Some(length(zone) / needed(zone)?);
        zones.iter().filter_map(of_zone).fold(whole, f64::min)
    });
    (speed, contact.unwrap_or(wet_m / speed))
}
