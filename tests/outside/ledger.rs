//! Comparisons with the outside, side by side, and the tables they make in `tests/outside/FOUND.md`.
//!
//! `UPDATE_EXPECTED=1 cargo test --test outside` rewrites the tables; otherwise a table that is not
//! what was found is a failure.

use std::fmt::Write as _;
use std::fs;
use std::sync::{Mutex, PoisonError};

/// The page.
const PAGE: &str = "tests/outside/FOUND.md";

/// What the outside says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Theirs {
    /// It is this.
    Is(f64),
    /// It is more than this.
    Above(f64),
    /// It is less than this.
    Below(f64),
}

/// One comparison.
#[derive(Debug, Clone)]
pub struct Row {
    /// What is compared, with its unit.
    pub what: String,
    /// Our value.
    pub ours: f64,
    /// How far apart the two may be: a half-width, or what rounding of the printed figure allows.
    pub within: f64,
    /// Their value.
    pub theirs: Theirs,
    /// Where it is published, or that it is not.
    pub source: String,
}

impl Row {
    /// Ours is theirs, as far as either is known.
    pub fn is(what: impl Into<String>, ours: f64, within: f64, theirs: f64, source: &str) -> Self {
        Self {
            what: what.into(),
            ours,
            within,
            theirs: Theirs::Is(theirs),
            source: source.into(),
        }
    }

    /// Whether they agree. What is not a number agrees with nothing.
    pub fn agrees(&self) -> bool {
        let Self { ours, within, .. } = *self;
        match self.theirs {
            Theirs::Is(theirs) => (ours - theirs).abs() <= within,
            Theirs::Above(least) => ours - within > least,
            Theirs::Below(most) => ours + within < most,
        }
    }

    fn cells(&self) -> String {
        let places = self.decimals();
        let theirs = match self.theirs {
            Theirs::Is(value) => as_printed(value, places),
            Theirs::Above(value) => format!("above {value}"),
            Theirs::Below(value) => format!("below {value}"),
        };
        let (ours, within) = (number(self.ours, places), number(self.within, places));
        let Self { what, source, .. } = self;
        format!("| {what} | {ours} | {within} | {theirs} | {source} |")
    }

    /// Decimals that show two digits of `within`; where nothing is allowed, six digits of our value, or
    /// three of one that is only above or below something.
    fn decimals(&self) -> usize {
        let (size, digits) = match self.theirs {
            _ if self.within > 0.0 => (self.within, 2.0),
            Theirs::Is(_) => (self.ours.abs().max(1e-9), 6.0),
            Theirs::Above(_) | Theirs::Below(_) => (self.ours.abs().max(1e-3), 3.0),
        };
        let places = digits - 1.0 - size.log10().floor();
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // from 0 to 12
        let places = places.clamp(0.0, 12.0) as usize;
        places
    }
}

/// With so many decimals; whole numbers without any, and what would look like nothing as a power of ten.
fn number(value: f64, places: usize) -> String {
    let rounded = format!("{value:.places$}");
    let looks_like_nothing = !rounded.contains(|c| ('1'..='9').contains(&c));
    if value.fract() == 0.0 {
        format!("{value:.0}")
    } else if looks_like_nothing {
        format!("{value:.0e}")
    } else {
        rounded
    }
}

/// A figure that has fewer decimals than that stands as its source prints it.
fn as_printed(value: f64, places: usize) -> String {
    let (whole, rounded) = (value.to_string(), number(value, places));
    if whole.len() < rounded.len() {
        whole
    } else {
        rounded
    }
}

/// Fails with every row that does not agree.
#[track_caller]
pub fn holds(rows: &[Row]) {
    assert!(!rows.is_empty(), "nothing was compared");
    let wrong: Vec<String> = rows
        .iter()
        .filter(|row| !row.agrees())
        .map(|row| format!("{row:?}"))
        .collect();
    assert!(wrong.is_empty(), "disagree:\n{}", wrong.join("\n"));
}

/// One figure of ours beside the same worked out apart.
#[derive(Debug, Clone)]
pub struct Apart {
    what: String,
    ours: f64,
    apart: f64,
    within: f64,
    how: String,
}

impl Apart {
    /// They differ by `within` at most; `how` says how it was worked out.
    pub fn of(what: impl Into<String>, ours: f64, apart: f64, within: f64, how: &str) -> Self {
        Self {
            what: what.into(),
            ours,
            apart,
            within,
            how: how.into(),
        }
    }

    fn differs(&self) -> bool {
        let difference = (self.ours - self.apart).abs();
        difference.is_nan() || difference > self.within
    }

    /// Six digits; a difference that the last of them would not show is none.
    fn cells(&self) -> String {
        let digits = |value: f64| {
            let size = value.abs().max(1e-3).log10().floor();
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // from 0 to 8
            let places = (5.0 - size).clamp(0.0, 8.0) as usize;
            number(value, places)
        };
        let difference = self.ours - self.apart;
        let shown = if difference.abs() <= 1e-6 {
            "0".to_owned()
        } else {
            format!("{difference:.5}")
        };
        let (ours, apart) = (digits(self.ours), digits(self.apart));
        let Self { what, how, .. } = self;
        format!("| {what} | {ours} | {apart} | {shown} | {how} |")
    }
}

/// Fails with every row that differs by more than it may, and unless the table of that name on the page is made of them.
#[track_caller]
pub fn apart_on_the_page(name: &str, rows: &[Apart]) {
    let wrong: Vec<&Apart> = rows.iter().filter(|row| row.differs()).collect();
    assert!(wrong.is_empty(), "differ:\n{wrong:#?}");
    let heads = "| what | ours | worked out apart | difference | how |\n";
    write_table(name, heads, rows.iter().map(Apart::cells));
}

/// Fails unless the table of that name on the page is made of these rows.
#[track_caller]
pub fn on_the_page(name: &str, within: &str, rows: &[Row]) {
    let heads = format!("| what | ours | {within} | theirs | source of theirs |\n");
    write_table(name, &heads, rows.iter().map(Row::cells));
}

#[track_caller]
fn write_table(name: &str, heads: &str, rows: impl Iterator<Item = String>) {
    static WRITING: Mutex<()> = Mutex::new(());
    // A table that failed before must not hide what is wrong with this one.
    let _one_at_a_time = WRITING.lock().unwrap_or_else(PoisonError::into_inner);
    let mut table = format!("{heads}|---|---|---|---|---|\n");
    for row in rows {
        writeln!(table, "{row}").expect("a text");
    }
    let page = fs::read_to_string(PAGE).expect("the page");
    let (begin, end) = (format!("<!-- found: {name} -->\n"), "<!-- end -->");
    let (before, rest) = page.split_once(&begin).expect("the mark of the table");
    let (old, after) = rest.split_once(end).expect("its end");
    if old == table {
        return;
    }
    assert!(
        std::env::var_os("UPDATE_EXPECTED").is_some(),
        "the table `{name}` of {PAGE} is not what was found:\n{table}"
    );
    fs::write(PAGE, format!("{before}{begin}{table}{end}{after}")).expect("the page");
}

#[test]
fn what_differs_by_more_than_it_may_differs() {
    let row = |ours| Apart::of("x", ours, 1.0, 0.1, "");
    assert!(!row(1.05).differs());
    assert!(
        [0.85, 1.2, f64::NAN]
            .into_iter()
            .all(|ours| row(ours).differs())
    );
}

#[test]
fn what_is_not_near_enough_does_not_agree() {
    let near = |ours, theirs| Row {
        theirs,
        ..Row::is("x", ours, 0.1, 0.0, "")
    };
    for row in [
        near(1.2, Theirs::Is(1.0)),
        near(0.8, Theirs::Is(1.0)),
        near(0.05, Theirs::Above(0.0)),
        near(-0.05, Theirs::Below(0.0)),
        near(f64::NAN, Theirs::Is(1.0)),
        near(f64::NAN, Theirs::Above(0.0)),
    ] {
        assert!(!row.agrees(), "{row:?}");
    }
    for row in [
        near(1.05, Theirs::Is(1.0)),
        near(0.2, Theirs::Above(0.0)),
        near(-0.2, Theirs::Below(0.0)),
    ] {
        assert!(row.agrees(), "{row:?}");
    }
}
