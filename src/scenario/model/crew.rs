//! The crew and its duties.

use super::keys::{keys, words};
use super::money::PRICE;
use super::{Position, TimeDistribution};
use crate::scenario::check::{Checker, Item};
use crate::scenario::field::{
    ASSUMPTION, COMMON, Field, Kind, MANY, Unset, may, minutes, need, quantity, row, within,
};
use crate::scenario::mistakes::{Mistake, Sort};
use crate::scenario::tree::{Node, Value};
use crate::scenario::units::Dimension;

keys! {
    /// Walking.
    pub struct Walking at "walking." {
        speed_m_per_s: f64 = row("speed", "walking speed", Kind::Quantity(quantity(Dimension::Speed, "m/s", within(0.1, 5.0))), Unset::Text("1.2 m/s"), COMMON),
    }
}

const HANDS: &str = "Food Code 2-301.14: hands are washed after soiled ware and before clean; for 20 s by 2-301.12 (from memory)";

keys! {
    /// Washing hands between soiled and clean work.
    pub struct Hands at "hands." {
        wash_s: f64 = row("wash", "how long somebody washes their hands who has handled soiled ware and goes on to unload or to put away; 0: it takes no time, and `check` says who should", Kind::Quantity(quantity(Dimension::Time, "s", within(0.0, 300.0))), Unset::Text("20 s"), HANDS),
        position: Option<Position> = may("position", "where; left out, on the way", Kind::Position),
    }
}

words! {
    /// A duty of the crew.
    #[derive(PartialOrd, Ord, Hash)]
    pub enum Duty {
        /// Carry soiled ware from the tables to the drop-off.
        ClearDown = "clear-down",
        /// Scrape.
        Scrape = "scrape",
        /// Pre-rinse.
        PreRinse = "pre-rinse",
        /// Put into and take out of the soak.
        Soak = "soak",
        /// Wash pots by hand at their own sink.
        WashPots = "wash-pots",
        /// Fill racks.
        Load = "load",
        /// Change racks at an attended hood.
        Hood = "hood",
        /// Unload and inspect.
        Unload = "unload",
        /// Carry clean ware to the store.
        PutAway = "put-away",
        /// Set the machines up before the service.
        SetUp = "set-up",
        /// Mend faults of the machines, and change their water where that is done by hand.
        Tend = "tend",
        /// Close the machines down after the service.
        CloseDown = "close-down",
    }
}

impl Duty {
    /// All duties: those that handle ware, in the order it meets them, then those of the machines.
    pub const ALL: [Self; 12] = [
        Self::ClearDown,
        Self::Scrape,
        Self::PreRinse,
        Self::Soak,
        Self::WashPots,
        Self::Load,
        Self::Hood,
        Self::Unload,
        Self::PutAway,
        Self::SetUp,
        Self::Tend,
        Self::CloseDown,
    ];

    /// How many there are.
    pub const COUNT: usize = Self::ALL.len();

    /// The duties that handle ware: all before the set-up.
    pub const OF_WARE: &[Self] = Self::ALL.split_at(Self::SetUp as usize).0;

    /// Those that soil hands, as a set.
    pub const SOILED: u16 = Self::ClearDown.bit()
        | Self::Scrape.bit()
        | Self::PreRinse.bit()
        | Self::Soak.bit()
        | Self::WashPots.bit()
        | Self::Load.bit();
    /// Those that clean hands are needed for, as a set.
    pub const CLEAN: u16 = Self::Unload.bit() | Self::PutAway.bit();

    /// Those that whoever looks after some machines only does for these, as a set.
    pub const AT_MACHINES: u16 = Self::Load.bit()
        | Self::Hood.bit()
        | Self::Unload.bit()
        | Self::PutAway.bit()
        | Self::Tend.bit();

    /// Its bit in a set of duties.
    #[must_use]
    pub const fn bit(self) -> u16 {
        1 << self as u8
    }
}

/// A duty in somebody's list.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct DutyEntry {
    /// The duty.
    pub duty: Duty,
    /// Only once this much waits: racks to unload or for a hood, tasks and faults, pieces of everything
    /// else (0: always).
    pub once_waiting: u32,
    /// Only while guests wait for ware that is washed: to unload it, or to put it away in whatever load, first of all.
    pub once_short: bool,
}

/// The keys of a duty with a condition.
#[rustfmt::skip]
static DUTY: [Field; 3] = [
    need("duty", "what they do", Kind::Choice(Duty::WORDS)),
    row("once_waiting", "only once this much waits: racks to unload or for a hood, tasks to set up or close down, faults and changes of water to tend, pieces of everything else", Kind::Whole(0, MANY), Unset::Whole(0), "always"),
    row("once_short", "only while guests wait for ware that is washed and not in the store; for `unload` and `put-away`. Of racks that are ready, the one that holds it is unloaded first, by everybody who unloads. What lies clean is carried at once, in whatever load, before other ware", Kind::Flag, Unset::Flag(false), "always, first come first"),
];

impl Item for DutyEntry {
    const ROWS: &'static [Field] = &DUTY;

    /// Words, or tables with a condition.
    fn list(
        check: &mut Checker<'_>,
        _: &'static Field,
        node: &Node,
        path: &str,
    ) -> Option<Vec<Self>> {
        let Value::List(items) = &node.value else {
            check.not_a("a list of duties", "[\"unload\", \"put-away\"]", node, path);
            return None;
        };
        if items.is_empty() {
            let mistake = Mistake::new(Sort::Value, format!("`{path}` is empty"))
                .at(&node.place, "nothing to do")
                .help(
                    "name at least one duty, such as [\"unload\"]; for nobody, write `count = 0`",
                );
            check.wrong(path, mistake);
            return None;
        }
        let [duty, once_waiting, once_short] = &DUTY;
        let entry = |(at, item): (usize, &Node)| {
            let path = format!("{path}[{at}]");
            check.note(&path, item);
            match &item.value {
                Value::Table(table) => check.row(table, &item.place, &DUTY, &path, |row| Self {
                    duty: row.key(duty),
                    once_waiting: row.key(once_waiting),
                    once_short: row.key(once_short),
                }),
                _ => Self {
                    duty: check.given(duty, item, &path),
                    once_waiting: 0,
                    once_short: false,
                },
            }
        };
        Some(items.iter().enumerate().map(entry).collect())
    }
}

keys! {
    /// A break.
    pub struct Break at "roster[].breaks[]." {
        from_s: f64 = need("from", "start of the break", Kind::TimeOfDay),
        to_s: f64 = need("to", "end of the break", Kind::TimeOfDay),
    }
}

keys! {
    /// Help that is called in once much waits.
    pub struct Called at "roster[].called." {
        once_waiting: u32 = need("once_waiting", "from so many soiled pieces on, waiting or in the soak, they are called, between the start and the end of the shift", Kind::Whole(1, MANY)),
        comes_after_s: f64 = row("comes_after", "from the call until they are there", minutes(0.0, 480.0), Unset::Text("15 min"), ASSUMPTION),
        stays_at_least_s: f64 = row("stays_at_least", "how long they are there, and paid, at least", minutes(0.0, 720.0), Unset::Text("60 min"), ASSUMPTION),
        goes_below: u32 = row("goes_below", "after that they go when fewer soiled pieces than this wait; 0: not before the end of the shift", Kind::Whole(0, MANY), Unset::Whole(0), "they stay"),
    }
}

keys! {
    /// A row of the roster.
    pub struct RosterRow at "roster[]." {
        name: String = need("name", "role", Kind::Name),
        count: u32 = row("count", "how many", Kind::Whole(0, 64), Unset::Whole(1), "one"),
        from_s: f64 = need("from", "start of the shift", Kind::TimeOfDay),
        to_s: f64 = need("to", "end of the shift", Kind::TimeOfDay),
        stays: bool = row("stays", "whether they stay after the shift while the dish room is not finished", Kind::Flag, Unset::Flag(true), COMMON),
        breaks: Vec<Break> = row("breaks", "breaks, in order. The people of a row take them together: give two rows to stagger them. One that falls due during work or another break is taken afterwards, in full", Kind::Rows(false, 20), Unset::Empty, "none"),
        called: Option<Called> = may("called", "help: they are there only once they have been called; left out, from the start of the shift. `check` does not count on them", Kind::Table),
        absent: f64 = row("absent", "chance that one of them does not come, for each of them; 1: they do not. `check` counts on everybody", Kind::Share(within(0.0, 1.0)), Unset::Number(0.0), "everybody comes: an assumption, and the best that can happen"),
        late_by: Option<TimeDistribution> = may("late_by", "how long after the start of the shift one of them comes who is late; who would come after its end does not come", Kind::Time(quantity(Dimension::Time, "min", within(0.0, 1_440.0)))),
        late: Option<f64> = may("late", "chance that one of them is late, for each of them; left out, they are, if `late_by` is given", Kind::Share(within(0.0, 1.0))),
        pace: f64 = row("pace", "work rate: at 1.1, work of 11 minutes takes 10", Kind::Number(within(0.2, 3.0)), Unset::Number(1.0), "the times as given"),
        pace_cv: f64 = row("pace_cv", "how much slower or faster each of them is on one day than on another: the coefficient of variation of a lognormal factor of mean 1 on the times of all their work that day", Kind::Number(within(0.0, 1.0)), Unset::Number(0.0), "every day the same: an assumption"),
        slower_per_h: f64 = row("slower_per_h", "how much longer their work takes after each hour there, for tiredness and heat: 0.02 makes it a tenth longer after five hours", Kind::Share(within(0.0, 0.5)), Unset::Number(0.0), "nobody tires: an assumption"),
        home: Option<Duty> = may("home", "where they stand at first: the station of this duty; left out, that of their first duty", Kind::Choice(Duty::WORDS)),
        wage_per_h: Option<f64> = may("wage", "pay per hour of each of them, breaks included; left out, prices.labour; counts only with [prices]", PRICE),
        machines: Vec<String> = row("machines", "the machines that they look after: they fill racks for these alone, change their racks, unload them, put away what they washed and mend them. Set-up and close-down have `by`", Kind::References("machine"), Unset::Empty, "all"),
        duties: Vec<DutyEntry> = need("duties", "duties, the most preferred first; a duty may carry a condition: { duty = \"load\", once_waiting = 60 }", Kind::Duties),
    }
}
