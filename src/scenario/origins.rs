//! Where every value of a scenario stands, so that later findings can say whether it was given.

use std::collections::BTreeMap;
use std::path::PathBuf;

use super::sources::{Place, Sources};

/// Looks up where a value was given.
#[derive(Debug, Clone, Default)]
pub struct Origins {
    places: BTreeMap<String, Place>,
    lines: BTreeMap<String, (PathBuf, usize)>,
    written: BTreeMap<String, String>,
}

/// Longer texts are no quantities.
const LONGEST: usize = 40;

impl Origins {
    pub(super) fn insert(&mut self, path: &str, place: Place) {
        self.places.insert(path.to_string(), place);
    }

    pub(super) fn has(&self, path: &str) -> bool {
        self.places.contains_key(path)
    }

    /// Where a path stands; if it was left out, where the table that should hold it stands.
    pub(super) fn place(&self, path: &str) -> Option<&Place> {
        let mut path = path;
        loop {
            if let Some(place) = self.places.get(path) {
                return Some(place);
            }
            path = above(path)?;
        }
    }

    /// Notes file and line of every place, once all files are read.
    pub(super) fn number_lines(&mut self, sources: &Sources) {
        let lines = self.places.iter().filter_map(|(path, place)| {
            let (file, line) = sources.line(place)?;
            Some((path.clone(), (sources.get(file)?.path.clone(), line)))
        });
        self.lines = lines.collect();
        let written = self.places.iter().filter_map(|(path, place)| {
            let text = sources.text(place.file).get(place.span.clone())?;
            let inside = text.strip_prefix(['"', '\''])?.strip_suffix(['"', '\''])?;
            let is_short = inside.len() <= LONGEST && !inside.contains(['"', '\'', '\\', '\n']);
            is_short.then(|| (path.clone(), inside.trim().to_owned()))
        });
        self.written = written.collect();
    }

    /// File and line where a value was given, by a path such as `machine[conveyor].speed` or
    /// `guests.seating[0].covers`; nothing if it was left out and a default holds.
    #[must_use]
    pub fn line(&self, path: &str) -> Option<(&std::path::Path, usize)> {
        self.lines
            .get(path)
            .map(|(file, line)| (file.as_path(), *line))
    }

    /// A short text as its author wrote it, such as `44 in`; nothing if it was left out, or is no text.
    #[must_use]
    pub fn written(&self, path: &str) -> Option<&str> {
        self.written.get(path).map(String::as_str)
    }

    /// The paths of all values that were given, in the order of the alphabet.
    pub fn paths(&self) -> impl Iterator<Item = &str> {
        self.places.keys().map(String::as_str)
    }

    /// Whether a value was given in a file.
    #[must_use]
    pub fn is_given(&self, path: &str) -> bool {
        self.places.contains_key(path)
    }
}

/// The path one step up: `a[b].c` → `a[b]` → `a`. Names may hold any character.
fn above(path: &str) -> Option<&str> {
    if path.ends_with(']') {
        return path
            .find('[')
            .map(|_| &path[..path.rfind('[').unwrap_or(0)]);
    }
    path.rfind(['.', '[']).map(|at| &path[..at])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_left_out_stands_where_its_table_stands() {
        let mut origins = Origins::default();
        let row = Place {
            file: 0,
            span: 3..7,
        };
        origins.insert("machine[big]", row.clone());
        assert_eq!(origins.place("machine[big].landing"), Some(&row));
        assert_eq!(origins.place("roster[x].from"), None);
        assert!(!origins.is_given("machine[big].landing"));
    }
}
