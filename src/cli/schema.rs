//! `scullery schema`

use std::process::ExitCode;

use clap::Args;
use serde_json::{Value, json};

use super::Failure;
use crate::report::{ReportError, out};
use crate::scenario;
use crate::service::measure::MEASURES;

/// Print the JSON Schema of scenario files, for editors
#[derive(Debug, Args)]
pub struct Schema {}

impl Schema {
    /// The schema of the scenario, and the measures with their units and meanings.
    pub fn run(self) -> Result<ExitCode, Failure> {
        let mut schema = scenario::schema();
        if let Some(object) = schema.as_object_mut() {
            let definitions = object.entry("$defs").or_insert_with(|| json!({}));
            definitions["measure"] = measures();
        }
        let text = serde_json::to_string_pretty(&schema).map_err(ReportError::Json)?;
        out::print(&(text + "\n"))?;
        Ok(ExitCode::SUCCESS)
    }
}

fn measures() -> Value {
    let of = |info: &crate::service::measure::MeasureInfo| json!({ "const": info.name, "description": format!("[{}] {}", info.unit, info.meaning) });
    json!({
        "description": "A measure of one service.",
        "oneOf": MEASURES.iter().map(of).collect::<Vec<_>>(),
    })
}
