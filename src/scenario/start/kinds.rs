//! The kinds of dish room that one may start from.

/// A kind of dish room.
#[derive(Debug)]
pub struct StartKind {
    /// Its name on the command line.
    pub name: &'static str,
    /// What it is.
    pub what: &'static str,
    /// The shipped scenario that it starts from.
    pub base: &'static str,
}

/// All of them.
pub const KINDS: &[StartKind] = &[
    StartKind {
        name: "restaurant",
        what: "a large house with a rack conveyor, one who loads and one who unloads",
        base: "friday-rush",
    },
    StartKind {
        name: "cafe",
        what: "a small house with a hood and one person who does everything",
        base: "corner-cafe",
    },
    StartKind {
        name: "canteen",
        what: "trays that guests carry back, two hoods side by side",
        base: "canteen-lunch",
    },
    StartKind {
        name: "banquet",
        what: "one hall that sits down and is cleared in one wave",
        base: "banquet",
    },
    StartKind {
        name: "central-kitchen",
        what: "no guests: soiled ware reaches the dish room by itself",
        base: "central-kitchen",
    },
];

/// The kind of a name.
#[must_use]
pub fn find(name: &str) -> Option<&'static StartKind> {
    KINDS.iter().find(|kind| kind.name == name)
}
