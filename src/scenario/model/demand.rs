//! Opening hours, guests and soiled ware.

use super::TimeDistribution;
use super::keys::{keys, words};
use crate::scenario::check::{Cells, Checker, Item, LogRow, WrongRow};
use crate::scenario::field::{
    COMMON, Field, INVENTED, Kind, Unset, above, may, minutes, need, quantity, row, within,
};
use crate::scenario::tree::Node;
use crate::scenario::units::Dimension;

/// Nobody sits down later than this after closing, s.
const SEATED_AFTER_S: f64 = 3_600.0;
/// Nobody leaves, and no ware comes back, later than this after closing, s.
const BACK_AFTER_S: f64 = 4.0 * 3_600.0;
const POISSON: &str =
    "Kim and Whitt 2014 (abstract): a Poisson process of changing rate fits call-centre arrivals";
const BUSYNESS: &str = "nothing beyond chance: an assumption, and the least there can be. That a gamma factor fits days of a call centre: Oreshkin, Regnard and L'Ecuyer (from memory)";
const OPERATOR: &str = "an operator's note on upscale casual dining: a party of two 75 to 90 min, of four about 90, of six to eight 105 and more; the variation is invented";

keys! {
    /// Opening and closing of the service.
    pub struct ServiceHours at "service." {
        opens_s: f64 = need("opens", "when the service opens", Kind::TimeOfDay),
        closes_s: f64 = need("closes", "when the service closes", Kind::TimeOfDay),
        called: Option<String> = may("called", "what one such service is called in all texts, such as \"lunch\"; left out, \"evening\"", Kind::Text),
        called_plural: Option<String> = may("called_plural", "what several are called, where that is not spelt as usual; left out, \"lunches\", \"days\", \"parties\"", Kind::Text),
        busyness_cv: f64 = row("busyness_cv", "how much busier or quieter one such service is than another, beyond chance: the coefficient of variation of a gamma factor of mean 1 on all expected covers and soiled ware of the evening. Logs and bookings are as they are", Kind::Number(within(0.0, 1.0)), Unset::Number(0.0), BUSYNESS),
        give_up_after_s: f64 = row("give_up_after", "an evening that is not finished this long after closing is cut off", Kind::Quantity(quantity(Dimension::Time, "h", within(0.1, 48.0))), Unset::Text("6 h"), INVENTED),
    }
}

words! {
    /// How things reach the room in time.
    pub enum Arrivals {
        /// A Poisson process.
        Random = "random",
        /// Evenly spaced, the expected number rounded: nothing varies.
        Even = "even",
    }
}

words! {
    /// How ware leaves the guests.
    pub enum Style {
        /// Each course is cleared as it ends.
        Table = "table",
        /// Everyone seated in one seating eats in step, and the whole room clears in one wave.
        Banquet = "banquet",
        /// Guests keep their ware to the end of the meal and carry it to the drop-off themselves.
        Cafeteria = "cafeteria",
    }
}

keys! {
    /// Guests: a seating curve, or a till log.
    pub struct Guests at "guests." {
        style: Style = row("style", "how ware leaves the guests: each course cleared as it ends; the whole room in one wave; carried to the drop-off by the guests", Kind::Choice(Style::WORDS), Unset::Text("table"), COMMON),
        arrivals: Arrivals = row("arrivals", "how parties arrive within a seating: a Poisson process, or evenly spaced", Kind::Choice(Arrivals::WORDS), Unset::Text("random"), POISSON),
        seating: Vec<Seating> = row("seating", "expected covers by interval", Kind::Rows(false, 1_000), Unset::Empty, "none: a till log is given"),
        log: Vec<LoggedParty> = row("log", "a CSV file of parties from the till: seated_at,covers and, if known, left_at", Kind::File, Unset::Empty, "none: a seating curve is given"),
        seats: Option<u32> = may("seats", "seats of the house. Parties that find too few wait in the order in which they came; left out, everybody sits down at once. `check` seats everybody at once", Kind::Whole(1, 100_000)),
        seat_wait_at_most_s: Option<f64> = may("seat_wait_at_most", "a party that has waited so long for seats goes away; 0: whoever finds none does. Left out, they wait as long as it takes", minutes(0.0, 480.0)),
        party_sizes: Vec<PartySize> = row("party_sizes", "party sizes and their weights", Kind::Rows(false, 200), Unset::Empty, "none: a till log is given"),
        dwell: TimeDistribution = row("dwell", "time at the table of a party of one or two", Kind::Time(quantity(Dimension::Time, "min", within(1.0, 480.0))), Unset::Lognormal("80 min", 0.25), OPERATOR),
        dwell_per_extra_cover_s: f64 = row("dwell_per_extra_cover", "added to the mean dwell for each cover above two", minutes(0.0, 60.0), Unset::Text("5 min"), OPERATOR),
    }
}

keys! {
    /// Expected covers of one interval of the seating curve.
    pub struct Seating at "guests.seating[]." {
        from_s: f64 = need("from", "start of the interval", Kind::TimeOfDay),
        to_s: f64 = need("to", "end of the interval; equal to `from` seats everyone at once", Kind::TimeOfDay),
        covers: f64 = need("covers", "expected covers in the interval", Kind::Number(within(0.0, 100_000.0))),
    }
}

/// A party of the till log.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct LoggedParty {
    /// Time of day, s.
    pub seated_at_s: f64,
    /// Covers of the party.
    pub covers: u32,
    /// Time of day, s, if logged; otherwise the dwell is drawn.
    pub left_at_s: Option<f64>,
}

impl LogRow for LoggedParty {
    const COLUMNS: &'static [&'static str] = &["seated_at", "covers", "left_at"];
    const NEEDED: usize = 2;

    fn read(cells: &Cells<'_>, check: &Checker<'_>) -> Result<(f64, Self), WrongRow> {
        let seated_at_s = cells.clock(0, check, SEATED_AFTER_S)?;
        let covers = cells.count(1)?;
        let left_at_s = match cells.text(2) {
            "" => None,
            _ => Some(cells.clock(2, check, BACK_AFTER_S)?),
        };
        if left_at_s.is_some_and(|left| left < seated_at_s) {
            let title = "a party leaves before it is seated".to_string();
            return Err((title, "`left_at` is at or after `seated_at`".to_string()));
        }
        let party = Self {
            seated_at_s,
            covers,
            left_at_s,
        };
        Ok((seated_at_s, party))
    }
}

impl Item for LoggedParty {
    const ROWS: &'static [Field] = &[];

    fn list(
        check: &mut Checker<'_>,
        field: &'static Field,
        node: &Node,
        path: &str,
    ) -> Option<Vec<Self>> {
        check.lines(field, node, path)
    }
}

keys! {
    /// A party size with its weight.
    pub struct PartySize at "guests.party_sizes[]." {
        covers: u32 = need("covers", "covers of the party", Kind::Whole(1, 1_000)),
        weight: f64 = need("weight", "relative frequency; weights need not sum to one", Kind::Number(within(0.0, 1e9))),
    }
}

keys! {
    /// A party that is booked.
    pub struct Booking at "party[]." {
        name: String = need("name", "name of the row", Kind::Name),
        at_s: f64 = need("at", "the time of day at which it sits down, on seats that are kept for it: \"19:30\"", Kind::TimeOfDay),
        covers: u32 = need("covers", "covers of the party", Kind::Whole(1, 10_000)),
        stays: TimeDistribution = need("stays", "time at the table: courses are laid and cleared at the menu's shares of it", Kind::Time(quantity(Dimension::Time, "min", within(1.0, 720.0)))),
    }
}

keys! {
    /// One use of ware by the guests.
    pub struct MenuRow at "menu[]." {
        name: String = need("name", "name of the row", Kind::Name),
        ware: String = need("ware", "ware it is served in or with", Kind::Reference("ware")),
        per_cover: f64 = need("per_cover", "pieces per cover; a fraction is a share of the covers", Kind::Number(above(0.0, 100.0))),
        soil: String = need("soil", "soil it comes back with", Kind::Reference("soil")),
        laid: f64 = row("laid", "share of the dwell at which it is taken from the clean stock", Kind::Share(within(0.0, 1.0)), Unset::Number(0.0), "when the party sits down"),
        cleared: f64 = row("cleared", "share of the dwell at which it is soiled and waits to be cleared", Kind::Share(within(0.0, 1.0)), Unset::Number(1.0), "when the party leaves"),
    }
}

keys! {
    /// A stream of soiled ware.
    pub struct SoiledRow at "soiled[]." {
        name: String = need("name", "name of the row", Kind::Name),
        ware: String = need("ware", "ware", Kind::Reference("ware")),
        soil: String = need("soil", "its soil", Kind::Reference("soil")),
        from_s: f64 = need("from", "start of the interval", Kind::TimeOfDay),
        to_s: f64 = need("to", "end of the interval", Kind::TimeOfDay),
        pieces: f64 = need("pieces", "expected pieces in the interval", Kind::Number(within(0.0, 1e6))),
        at_a_time: u32 = row("at_a_time", "pieces that arrive together", Kind::Whole(1, 100_000), Unset::Whole(1), "one by one"),
        arrivals: Arrivals = row("arrivals", "how they arrive: a Poisson process, or evenly spaced", Kind::Choice(Arrivals::WORDS), Unset::Text("random"), POISSON),
    }
}

keys! {
    /// Soiled ware as logged at the drop-off.
    pub struct SoiledLog at "soiled_log." {
        rows: Vec<SoiledLogRow> = need("file", "a CSV file: time,ware,pieces", Kind::File),
        soil: String = need("soil", "its soil", Kind::Reference("soil")),
    }
}

/// A row of the soiled log.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct SoiledLogRow {
    /// Time of day, s.
    pub time_s: f64,
    /// Name of a ware.
    pub ware: String,
    /// Pieces that arrive together.
    pub pieces: u32,
}

impl LogRow for SoiledLogRow {
    const COLUMNS: &'static [&'static str] = &["time", "ware", "pieces"];
    const NEEDED: usize = 3;

    fn read(cells: &Cells<'_>, check: &Checker<'_>) -> Result<(f64, Self), WrongRow> {
        let time_s = cells.clock(0, check, BACK_AFTER_S)?;
        let ware = cells.text(1);
        if !check.has_row("ware", ware) {
            let title = format!("there is no ware \"{ware}\"");
            return Err((title, check.known_names("ware", ware)));
        }
        let row = Self {
            time_s,
            ware: ware.to_string(),
            pieces: cells.count(2)?,
        };
        Ok((time_s, row))
    }
}

impl Item for SoiledLogRow {
    const ROWS: &'static [Field] = &[];

    fn list(
        check: &mut Checker<'_>,
        field: &'static Field,
        node: &Node,
        path: &str,
    ) -> Option<Vec<Self>> {
        check.lines(field, node, path)
    }
}

keys! {
    /// Soiled ware that already stands there.
    pub struct BacklogRow at "backlog[]." {
        name: String = need("name", "name of the row", Kind::Name),
        ware: String = need("ware", "ware", Kind::Reference("ware")),
        soil: String = need("soil", "its soil", Kind::Reference("soil")),
        pieces: u32 = need("pieces", "pieces", Kind::Whole(1, 100_000)),
        age_s: f64 = row("age", "how long ago it was soiled", minutes(0.0, 2880.0), Unset::Text("0 min"), "just soiled"),
    }
}

keys! {
    /// Clean ware that is brought.
    pub struct Delivery at "delivery[]." {
        name: String = need("name", "name of the row", Kind::Name),
        at_s: f64 = need("at", "the time of day at which it comes: \"19:30\". The dish room does not close down before", Kind::TimeOfDay),
        ware: String = need("ware", "ware; it has `owned`, which does not count what is brought", Kind::Reference("ware")),
        pieces: u32 = need("pieces", "pieces. Where there is [put_away] they wait there first and take its hands; then they are clean stock", Kind::Whole(1, 100_000)),
    }
}
