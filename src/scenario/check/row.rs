//! How the types of the model read themselves from the tree.

use std::collections::BTreeSet;

use super::{Checker, LeftOut, join};
use crate::scenario::field::Field;
use crate::scenario::sources::Place;
use crate::scenario::tree::{Node, Table};

/// A value of the model.
pub trait Read: Sized {
    /// The keys below it, if it is a table or a list of tables.
    const ROWS: &'static [Field] = &[];

    /// The value in SI; nothing if it is wrong, and then it is reported.
    fn read(
        check: &mut Checker<'_>,
        field: &'static Field,
        node: &Node,
        path: &str,
    ) -> Option<Self>;

    /// Something of the right shape for what is wrong or missing.
    fn harmless(field: &'static Field) -> Self;

    /// What stands for a part that does not exist.
    fn absent(field: &'static Field) -> Self {
        Self::harmless(field)
    }
}

/// A table of the model.
pub trait Keys: Sized {
    /// Its keys.
    const ROWS: &'static [Field];

    /// Reads them one after the other.
    fn read(row: &mut Row<'_, '_>) -> Self;

    /// Something of the right shape for what is wrong or missing.
    fn harmless() -> Self;
}

/// What a list of the model holds.
pub trait Item: Sized {
    /// The keys of its rows.
    const ROWS: &'static [Field];

    /// The list; nothing if it is wrong, and then it is reported.
    fn list(
        check: &mut Checker<'_>,
        field: &'static Field,
        node: &Node,
        path: &str,
    ) -> Option<Vec<Self>>;
}

/// A table that is being read.
pub struct Row<'r, 'a> {
    check: &'r mut Checker<'a>,
    fields: &'static [Field],
    table: &'r Table,
    place: &'r Place,
    path: &'r str,
    /// Keys that were probably meant by unknown ones.
    meant: BTreeSet<&'static str>,
}

impl Row<'_, '_> {
    /// The value of a key: what is given, or what holds when it is left out.
    pub fn key<T: Read>(&mut self, field: &'static Field) -> T {
        let path = join(self.path, field.key());
        let Row { fields, table, .. } = *self;
        if !self.check.belongs(field, fields, table, &path) {
            return T::absent(field);
        }
        if let Some(entry) = self.table.get(field.key()) {
            self.check.note(&path, &entry.node);
            return self.check.given(field, &entry.node, &path);
        }
        let misspelt = self.meant.contains(field.key());
        match self.check.left_out(field, self.place, &path, misspelt) {
            LeftOut::Absent => T::absent(field),
            LeftOut::Harmless => T::harmless(field),
            LeftOut::Default(node) => self.check.given(field, &node, &path),
        }
    }
}

impl Checker<'_> {
    /// A value that was given; something harmless if it is wrong.
    pub fn given<T: Read>(&mut self, field: &'static Field, node: &Node, path: &str) -> T {
        T::read(self, field, node, path).unwrap_or_else(|| {
            self.bad.insert(path.to_string());
            T::harmless(field)
        })
    }

    /// A table: its known keys, its unknown ones, and those that are missing.
    pub fn table<T: Keys>(&mut self, table: &Table, place: &Place, path: &str) -> T {
        self.row(table, place, T::ROWS, path, |row| T::read(row))
    }

    /// The same of these keys.
    pub fn row<T>(
        &mut self,
        table: &Table,
        place: &Place,
        fields: &'static [Field],
        path: &str,
        read: impl FnOnce(&mut Row<'_, '_>) -> T,
    ) -> T {
        let meant = self.unknown_keys(table, fields, path);
        read(&mut Row {
            check: self,
            fields,
            table,
            place,
            path,
            meant,
        })
    }
}

impl<T: Keys> Read for T {
    const ROWS: &'static [Field] = <T as Keys>::ROWS;

    fn read(
        check: &mut Checker<'_>,
        field: &'static Field,
        node: &Node,
        path: &str,
    ) -> Option<Self> {
        let table = check.one_table(field, node, path)?;
        Some(check.table(table, &node.place, path))
    }

    fn harmless(_: &'static Field) -> Self {
        <T as Keys>::harmless()
    }
}

impl<T: Keys> Item for T {
    const ROWS: &'static [Field] = <T as Keys>::ROWS;

    fn list(
        check: &mut Checker<'_>,
        field: &'static Field,
        node: &Node,
        path: &str,
    ) -> Option<Vec<Self>> {
        check.rows(field, node, path)
    }
}

impl<T: Item> Read for Vec<T> {
    const ROWS: &'static [Field] = T::ROWS;

    fn read(
        check: &mut Checker<'_>,
        field: &'static Field,
        node: &Node,
        path: &str,
    ) -> Option<Self> {
        T::list(check, field, node, path)
    }

    fn harmless(_: &'static Field) -> Self {
        Self::new()
    }
}

impl<T: Read> Read for Option<T> {
    const ROWS: &'static [Field] = T::ROWS;

    fn read(
        check: &mut Checker<'_>,
        field: &'static Field,
        node: &Node,
        path: &str,
    ) -> Option<Self> {
        T::read(check, field, node, path).map(Some)
    }

    fn harmless(field: &'static Field) -> Self {
        Some(T::harmless(field))
    }

    fn absent(_: &'static Field) -> Self {
        None
    }
}
