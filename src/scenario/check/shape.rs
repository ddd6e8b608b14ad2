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
    let number = |row: &Map<String, Json>, key: &str| row.get(key).and_then(Json::as_f64);
    let kind = row
        .remove("kind")
        .and_then(|k| k.as_str().map(str::to_string))
        .unwrap_or_default();
    let contact = number(row, "contact_time");
    let worked = if kind == "hood" {
        row.get("cycle")
            .and_then(|cycle| cycle.get("mean"))
            .and_then(Json::as_f64)
    } else {
        let tunnel = number(row, "tunnel").unwrap_or(1.0);
        let speed = number(row, "speed");
        let contact = contact
            .or_else(|| speed.map(|speed| tunnel / speed))
            .unwrap_or(CONTACT_S);
        row.insert("speed".into(), json!(speed.unwrap_or(tunnel / contact)));
        Some(contact)
    };
    row.insert(
        "contact_time".into(),
        json!(contact.or(worked).unwrap_or(CONTACT_S)),
    );
    let own: &[&str] = if kind == "hood" {
        &["cycle", "load_time", "attended", "operator_position"]
    } else {
        &["tunnel", "speed", "idle_after", "restart"]
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
