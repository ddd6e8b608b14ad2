//! What a scenario says, after reading, merging and checking: plain values in SI units.
//!
//! Every member stands beside its row of the table of [`super::fields`]: the key in the file, what it is, its
//! unit and limits, its default and where that comes from (see `keys`). Times of day are seconds after
//! midnight of the opening day (so 01:30 after a 23:00 closing is 91 800). A part that the scenario leaves out
//! is `None` or an empty list: that stage does not exist in the room.

mod crew;
mod demand;
mod keys;
mod machine;
mod money;
mod place;
mod rules;
mod stations;
pub mod study;
mod task;
mod time;
mod ware;

pub use crew::*;
pub use demand::*;
pub use machine::*;
pub use money::*;
pub use place::*;
pub use rules::*;
pub use stations::*;
pub use task::*;
pub use time::*;
pub use ware::*;

use super::field::{Kind, Unset, may, need, row};
use keys::keys;

keys! {
    /// A checked scenario.
    pub struct Scenario at "" besides [
        row("version", "version of the language that the file is written in", Kind::Version, Unset::Whole(1), "what files said nothing of at first"),
        may("based_on", "the scenario file this one starts from, relative to this one, or one that comes with the program, such as \"library:corner-cafe\"", Kind::BasedOn),
        may("include", "files whose rows are taken in, relative to this one, or libraries that come with the program, such as \"library:faults\"; what stands here changes them", Kind::Include),
    ] {
        title: String = need("title", "what this evening is, in one line", Kind::Text),
        note: String = row("note", "remarks; `check` prints them", Kind::Text, Unset::Text(""), "nothing to say"),
        service: ServiceHours = need("service", "opening and closing", Kind::Table),
        guests: Option<Guests> = may("guests", "guests, if covers are counted", Kind::Table),
        party: Vec<Booking> = row("party", "parties that are booked: each sits, eats, is cleared and leaves as one, beside the other guests", Kind::Rows(true, 100), Unset::Empty, "none"),
        menu: Vec<MenuRow> = row("menu", "what each cover uses, course by course", Kind::Rows(true, 1_000), Unset::Empty, "none: soiled ware reaches the drop-off by itself"),
        soiled: Vec<SoiledRow> = row("soiled", "soiled ware that reaches the drop-off by itself", Kind::Rows(true, 1_000), Unset::Empty, "none"),
        soiled_log: Option<SoiledLog> = may("soiled_log", "soiled ware that reaches the drop-off as logged", Kind::Table),
        backlog: Vec<BacklogRow> = row("backlog", "soiled ware that already stands at the drop-off when the dish room starts", Kind::Rows(true, 1_000), Unset::Empty, "none"),
        delivery: Vec<Delivery> = row("delivery", "clean ware that is brought during the service, such as what was lent or hired", Kind::Rows(true, 100), Unset::Empty, "none"),
        soil: Vec<Soil> = row("soil", "kinds of soil", Kind::Rows(true, 100), Unset::Empty, "none"),
        ware: Vec<Ware> = row("ware", "kinds of ware", Kind::Rows(true, 200), Unset::Empty, "none"),
        rack: Vec<Rack> = row("rack", "kinds of rack", Kind::Rows(true, 100), Unset::Empty, "none"),
        air: Air = row("air", "air of the room, for drying", Kind::Table, Unset::Empty, ""),
        clear_down: Option<ClearDown> = may("clear_down", "how soiled ware comes from the tables", Kind::Table),
        drop_off: DropOff = row("drop_off", "the soiled landing", Kind::Table, Unset::Empty, ""),
        scrape: Option<Bench> = may("scrape", "scraping", Kind::Table),
        pre_rinse: Option<PreRinse> = may("pre_rinse", "pre-rinsing", Kind::Table),
        soak: Option<Soak> = may("soak", "soak sinks", Kind::Table),
        pot_sink: Option<PotSink> = may("pot_sink", "a sink of three compartments (wash, rinse, sanitise), where pots and the like are washed by hand", Kind::Table),
        loading: Option<Loading> = may("loading", "racking", Kind::Table),
        machine: Vec<Machine> as machine::Written = row("machine", "dish machines, side by side", Kind::Rows(true, 16), Unset::Empty, "none"),
        supply: Option<Supply> = may("supply", "the water that the room is supplied with; left out, whatever fills has all the water that it would take", Kind::Table),
        unload: Option<Unload> = may("unload", "unloading of the clean landings", Kind::Table),
        dollies: Option<Dollies> = may("dollies", "dollies on which washed racks are parked, off the landings; left out, there are none", Kind::Table),
        inspect: Option<Inspect> = may("inspect", "inspection while unloading", Kind::Table),
        put_away: Option<PutAway> = may("put_away", "carrying clean ware to the store", Kind::Table),
        set_up: Vec<Task> = row("set_up", "what is done before the machines may wash, in the order in which it is taken up", Kind::Rows(true, 64), Unset::Empty, "nothing: they stand full and hot"),
        close_down: Vec<Task> as task::Closing = row("close_down", "what is done after the last rack, in the order in which it is taken up", Kind::Rows(true, 64), Unset::Empty, "nothing"),
        fault: Vec<Fault> = row("fault", "what goes wrong with the machines", Kind::Rows(true, 64), Unset::Empty, "nothing"),
        walking: Option<Walking> = may("walking", "walking between stations; left out, nobody walks", Kind::Table),
        roster: Vec<RosterRow> = row("roster", "the crew", Kind::Rows(true, 64), Unset::Empty, "nobody"),
        hands: Hands = row("hands", "washing hands between soiled and clean work, by whoever does both", Kind::Table, Unset::Empty, ""),
        rules: Option<Rules> = may("rules", "rules of working hours that the roster is held against; left out, there are none", Kind::Table),
        prices: Option<Prices> = may("prices", "what things cost; left \
            out, there is no cost. A price that is left out, or whose quantity is not measured, is not \
            part of the cost", Kind::Table),
    }
}
