//! The fields of the service, its guests and its soiled ware.

use super::{
    COMMON, Field, INVENTED, Kind, Log, Unset, above, may, minutes, need, quantity, row, within,
};
use crate::scenario::units::Dimension;

const ARRIVALS: &[&str] = &["random", "even"];
const POISSON: &str =
    "Kim and Whitt 2014 (abstract): a Poisson process of changing rate fits call-centre arrivals";
const OPERATOR: &str = "an operator's note on upscale casual dining: a party of two 75 to 90 min, of four about 90, of six to eight 105 and more; the variation is invented";

/// The rows.
#[rustfmt::skip]
pub const FIELDS: &[Field] = &[
    may("based_on", "the scenario file this one starts from, relative to this one", Kind::BasedOn),
    may("include", "files whose rows are taken in, such as a library of faults, relative to this one; what stands here changes them", Kind::Include),
    need("title", "one line that says what this evening is", Kind::Text),
    row("note", "anything worth saying about it; `check` prints it", Kind::Text, Unset::Text(""), "nothing to say"),

    need("service", "opening and closing", Kind::Table),
    need("service.opens", "when the service opens", Kind::TimeOfDay),
    need("service.closes", "when the service closes", Kind::TimeOfDay),
    row("service.give_up_after", "an evening that is not finished this long after closing ends there", Kind::Quantity(quantity(Dimension::Time, "h", within(0.1, 48.0))), Unset::Text("6 h"), INVENTED),

    may("guests", "guests, if covers are counted", Kind::Table),
    row("guests.style", "how ware leaves the guests: each course cleared as it ends; the whole room in one wave; carried to the drop-off by the guests", Kind::Choice(&["table", "banquet", "cafeteria"]), Unset::Text("table"), COMMON),
    row("guests.arrivals", "how parties arrive within a seating: a Poisson process, or evenly spaced", Kind::Choice(ARRIVALS), Unset::Text("random"), POISSON),
    row("guests.seating", "expected covers by interval", Kind::Rows(false, 1_000), Unset::Empty, "none: a till log is given"),
    need("guests.seating[].from", "start of the interval", Kind::TimeOfDay),
    need("guests.seating[].to", "end of the interval; equal to `from` seats everyone at once", Kind::TimeOfDay),
    need("guests.seating[].covers", "expected covers in the interval", Kind::Number(within(0.0, 100_000.0))),
    row("guests.log", "a CSV file of parties from the till: seated_at,covers and, if known, left_at", Kind::File(Log::Till), Unset::Empty, "none: a seating curve is given"),
    row("guests.party_sizes", "party sizes and their weights", Kind::Rows(false, 200), Unset::Empty, "none: a till log is given"),
    need("guests.party_sizes[].covers", "covers of the party", Kind::Whole(1, 1_000)),
    need("guests.party_sizes[].weight", "relative frequency; weights need not sum to one", Kind::Number(within(0.0, 1e9))),
    row("guests.dwell", "time at the table of a party of one or two", Kind::Time(quantity(Dimension::Time, "min", within(1.0, 480.0))), Unset::Lognormal("80 min", 0.25), OPERATOR),
    row("guests.dwell_per_extra_cover", "added to the mean dwell for each cover above two", minutes(0.0, 60.0), Unset::Text("5 min"), OPERATOR),

    row("menu", "what each cover uses, course by course", Kind::Rows(true, 1_000), Unset::Empty, "none: soiled ware reaches the drop-off by itself"),
    need("menu[].name", "name of the row", Kind::Name),
    need("menu[].ware", "ware it is served in or with", Kind::Reference("ware")),
    need("menu[].per_cover", "pieces per cover; a fraction is a share of the covers", Kind::Number(above(0.0, 100.0))),
    need("menu[].soil", "soil it comes back with", Kind::Reference("soil")),
    row("menu[].laid", "share of the dwell at which it is taken from the clean stock", Kind::Share(within(0.0, 1.0)), Unset::Number(0.0), "when the party sits down"),
    row("menu[].cleared", "share of the dwell at which it is soiled and waits to be cleared", Kind::Share(within(0.0, 1.0)), Unset::Number(1.0), "when the party leaves"),

    row("soiled", "soiled ware that reaches the drop-off by itself", Kind::Rows(true, 1_000), Unset::Empty, "none"),
    need("soiled[].name", "name of the row", Kind::Name),
    need("soiled[].ware", "ware", Kind::Reference("ware")),
    need("soiled[].soil", "its soil", Kind::Reference("soil")),
    need("soiled[].from", "start of the interval", Kind::TimeOfDay),
    need("soiled[].to", "end of the interval", Kind::TimeOfDay),
    need("soiled[].pieces", "expected pieces in the interval", Kind::Number(within(0.0, 1e6))),
    row("soiled[].at_a_time", "pieces that arrive together", Kind::Whole(1, 100_000), Unset::Whole(1), "one by one"),
    row("soiled[].arrivals", "how they arrive: a Poisson process, or evenly spaced", Kind::Choice(ARRIVALS), Unset::Text("random"), POISSON),

    may("soiled_log", "soiled ware that reaches the drop-off as logged", Kind::Table),
    need("soiled_log.file", "a CSV file: time,ware,pieces", Kind::File(Log::Soiled)),
    need("soiled_log.soil", "its soil", Kind::Reference("soil")),

    row("backlog", "soiled ware that already stands at the drop-off when the dish room starts", Kind::Rows(true, 1_000), Unset::Empty, "none"),
    need("backlog[].name", "name of the row", Kind::Name),
    need("backlog[].ware", "ware", Kind::Reference("ware")),
    need("backlog[].soil", "its soil", Kind::Reference("soil")),
    need("backlog[].pieces", "pieces", Kind::Whole(1, 100_000)),
    row("backlog[].age", "how long ago it was soiled", minutes(0.0, 2880.0), Unset::Text("0 min"), "just soiled"),
];
