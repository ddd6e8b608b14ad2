//! The data dictionary beside CSV files: `datapackage.json`, as the Data Package standard of Frictionless
//! Data has it.
//!
//! It lists the CSV files of a run, each with its columns: name, type, unit (a property of our own, as the
//! standard allows) and meaning. An empty cell is a value that does not exist.

use std::borrow::Cow;

use serde::Serialize;

use super::ReportError;
use super::columns::{Column, Holds};
use super::out::OutputFolder;
use crate::scenario::cells;
use crate::scenario::wording::Wording;
use crate::version;

/// Its name in the output folder.
pub const FILE: &str = "datapackage.json";

/// What a CSV file is about, and its columns.
#[derive(Debug, Clone)]
pub struct Described {
    /// Name of the file, without `.csv`.
    pub name: &'static str,
    /// What a row of it is.
    pub about: Cow<'static, str>,
    /// Its columns, in order.
    pub columns: Vec<Column>,
    /// The columns that identify a row, where they are never empty; otherwise none.
    pub key: &'static [&'static str],
}

impl Described {
    /// Name of the file.
    #[must_use]
    pub fn file(&self) -> String {
        format!("{}.csv", self.name)
    }

    /// The same in the words of a scenario: what it calls its service, and its money.
    #[must_use]
    pub fn said(mut self, wording: &Wording) -> Self {
        self.about = Cow::Owned(wording.said(&self.about).into_owned());
        for column in &mut self.columns {
            wording.say(&mut column.head);
            wording.say(&mut column.meaning);
            let unit = wording.unit(&column.unit);
            if unit != column.unit {
                let [own, named] = [&column.unit, unit].map(|unit| format!("[{unit}]"));
                column.head = column.head.replace(&own, &named);
                column.unit = unit.to_owned();
            }
        }
        self
    }
}

#[derive(Serialize)]
struct Package<'a> {
    profile: &'static str,
    title: &'a str,
    seed: u64,
    program: String,
    resources: Vec<Resource<'a>>,
}

#[derive(Serialize)]
struct Resource<'a> {
    profile: &'static str,
    name: &'static str,
    path: String,
    description: &'a str,
    format: &'static str,
    mediatype: &'static str,
    encoding: &'static str,
    schema: Schema<'a>,
}

#[derive(Serialize)]
struct Schema<'a> {
    fields: Vec<Field<'a>>,
    #[serde(rename = "missingValues")]
    missing_values: [&'static str; 1],
    #[serde(rename = "primaryKey", skip_serializing_if = "<[_]>::is_empty")]
    primary_key: &'a [&'a str],
}

#[derive(Serialize)]
struct Field<'a> {
    name: Cow<'a, str>,
    #[serde(rename = "type")]
    holds: &'static str,
    #[serde(skip_serializing_if = "str::is_empty")]
    unit: &'a str,
    description: &'a str,
}

/// Writes it, for these files of one run.
///
/// # Errors
/// [`ReportError::File`].
pub fn write(
    folder: &OutputFolder,
    title: &str,
    seed: u64,
    files: &[Described],
) -> Result<(), ReportError> {
    let package = Package {
        profile: "tabular-data-package",
        title: if title.is_empty() { "Results" } else { title },
        seed,
        program: format!("scullery {}", version::NUMBER),
        resources: files.iter().map(resource).collect(),
    };
    let text = serde_json::to_string_pretty(&package).map_err(ReportError::Json)?;
    folder.write(FILE, |to| writeln!(to, "{text}"))?;
    Ok(())
}

fn resource(file: &Described) -> Resource<'_> {
    Resource {
        profile: "tabular-data-resource",
        name: file.name,
        path: file.file(),
        description: &file.about,
        format: "csv",
        mediatype: "text/csv",
        encoding: "utf-8",
        schema: Schema {
            fields: file.columns.iter().map(field).collect(),
            missing_values: [""],
            primary_key: file.key,
        },
    }
}

fn field(column: &Column) -> Field<'_> {
    Field {
        // As the head of the file has it.
        name: cells::harmless(&column.head),
        holds: match column.holds {
            Holds::Text => "string",
            Holds::Whole => "integer",
            Holds::Decimal => "number",
            Holds::Flag => "boolean",
        },
        unit: &column.unit,
        description: &column.meaning,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::columns::Rows;

    #[test]
    fn a_column_is_called_what_the_file_calls_it() {
        let heads = ["=f()", "'=f()", "@sum [min]", "plain", "-1"];
        let columns = heads.map(|head| Column::new(head, Holds::Text, "a factor"));
        let mut bytes = Vec::new();
        Rows::new(&columns, &mut bytes).unwrap().end().unwrap();
        let mut reader = csv::Reader::from_reader(&bytes[..]);
        let written: Vec<&str> = reader.headers().unwrap().iter().collect();
        let names: Vec<_> = columns.iter().map(|column| field(column).name).collect();
        assert_eq!(names, written);
        assert_eq!(names[0], "'=f()");
    }
}
