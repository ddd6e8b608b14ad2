//! `scullery schema`

use std::process::ExitCode;

use clap::{Args, ValueEnum};
use serde_json::{Value, json};

use super::{Failure, exit_codes};
use crate::report::{ReportError, out};
use crate::scenario;
use crate::scenario::wording::Wording;
use crate::service::measure::MEASURES;
use crate::version;

/// Print the JSON Schema of scenario files, or of study files, for editors
#[derive(Debug, Args)]
#[command(after_long_help = exit_codes(&[0, 1, 2]))]
pub struct Schema {
    /// Kind of file
    #[arg(value_enum, default_value_t = Of::Scenario)]
    of: Of,
}

/// What a schema is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Of {
    /// Scenario files
    Scenario,
    /// Study files
    Study,
}

impl Schema {
    /// The schema, and the measures with their units and meanings.
    pub fn run(self) -> Result<ExitCode, Failure> {
        let mut schema = match self.of {
            Of::Scenario => scenario::schema(),
            Of::Study => scenario::study_schema(),
        };
        if let Some(object) = schema.as_object_mut() {
            let definitions = object.entry("$defs").or_insert_with(|| json!({}));
            definitions["measure"] = measures();
            // The keys of a schema are not ours: strict readers refuse others.
            let built = format!("scullery {}", version::FULL);
            object.insert("$comment".to_owned(), built.into());
        }
        let text = serde_json::to_string_pretty(&schema).map_err(ReportError::Json)?;
        out::print(&(text + "\n"))?;
        Ok(ExitCode::SUCCESS)
    }
}

fn measures() -> Value {
    let wording = Wording::default();
    let of = |info: &crate::service::measure::MeasureInfo| {
        let said = wording.said(info.meaning);
        json!({ "const": info.name, "description": format!("[{}] {said}", info.unit) })
    };
    json!({
        "description": "A measure of one service.",
        "oneOf": MEASURES.iter().map(of).collect::<Vec<_>>(),
    })
}
