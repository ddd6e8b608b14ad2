//! Impossible sums: values that are right one by one and cannot be true together.
//!
//! Each mistake names its places by path; one that rests on a value already found wrong is not
//! reported, because it would only follow from that.

mod crew;
mod demand;
mod machine;
mod money;
mod names;
mod own;
mod room;
mod rules;
mod seats;
mod supply;
mod tasks;
mod ware;

use std::collections::BTreeSet;

use super::mistakes::{Mistake, Sort};
use super::model::Scenario;
use super::origins::Origins;
use super::sources::Place;
use super::units::clock_text;

/// Reports every impossible sum.
pub fn check(
    scenario: &Scenario,
    origins: &Origins,
    bad: &BTreeSet<String>,
    mistakes: &mut Vec<Mistake>,
) {
    let mut sums = Sums {
        scenario,
        origins,
        bad,
        mistakes,
    };
    demand::check(&mut sums);
    ware::check(&mut sums);
    room::check(&mut sums);
    machine::check(&mut sums);
    supply::check(&mut sums);
    tasks::check(&mut sums);
    crew::check(&mut sums);
    own::check(&mut sums);
    rules::check(&mut sums);
    money::check(&mut sums);
    names::of_service(&mut sums);
}

/// A scenario under check.
struct Sums<'a> {
    scenario: &'a Scenario,
    origins: &'a Origins,
    bad: &'a BTreeSet<String>,
    mistakes: &'a mut Vec<Mistake>,
}

/// A clash of values, given by their paths.
struct Clash {
    title: String,
    at: (String, String),
    also: Vec<(String, String)>,
    help: Vec<String>,
}

impl Clash {
    /// What is wrong, at which path, and what stands there.
    fn new(title: impl Into<String>, path: impl Into<String>, label: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            at: (path.into(), label.into()),
            also: Vec::new(),
            help: Vec::new(),
        }
    }

    /// The other value that it clashes with.
    fn with(mut self, path: impl Into<String>, label: impl Into<String>) -> Self {
        self.also.push((path.into(), label.into()));
        self
    }

    /// The cure.
    fn help(mut self, text: impl Into<String>) -> Self {
        self.help.push(text.into());
        self
    }
}

impl Sums<'_> {
    /// Reports a clash, unless it rests on something already reported.
    fn wrong(&mut self, clash: Clash) {
        let rests_on = std::iter::once(&clash.at).chain(&clash.also);
        if rests_on.map(|(path, _)| path).any(|path| self.is_bad(path)) {
            return;
        }
        let mut mistake = Mistake::new(Sort::Clash, clash.title);
        mistake.at = Some((self.place(&clash.at.0), clash.at.1));
        mistake.also = clash
            .also
            .into_iter()
            .map(|(path, label)| (self.place(&path), label))
            .collect();
        mistake.help = clash.help;
        self.mistakes.push(mistake);
    }

    /// Whether a path, or a table that holds it, was found wrong.
    fn is_bad(&self, path: &str) -> bool {
        self.bad.iter().any(|bad| path == bad || below(path, bad))
    }

    /// Whether anything under a path was found wrong.
    fn is_bad_inside(&self, path: &str) -> bool {
        self.is_bad(path) || self.bad.iter().any(|bad| below(bad, path))
    }

    fn place(&self, path: &str) -> Place {
        self.origins.place(path).cloned().unwrap_or(Place {
            file: 0,
            span: 0..0,
        })
    }
}

/// Whether a path lies under another.
fn below(path: &str, other: &str) -> bool {
    path.strip_prefix(other)
        .is_some_and(|rest| rest.starts_with(['.', '[']))
}

/// What happens at a time of day happens while the dish room is at work.
fn at_work(sums: &mut Sums<'_>, at_s: f64, path: &str, name: &str) {
    let (from_s, to_s) = hours(sums.scenario);
    let parts = ["service", "roster"];
    if (from_s..=to_s).contains(&at_s) || parts.iter().any(|part| sums.is_bad_inside(part)) {
        return;
    }
    let hours = format!("from {} to {}", clock_text(from_s), clock_text(to_s));
    let title = format!("nobody would be there for \"{name}\"");
    let label = "outside the hours of the dish room";
    sums.wrong(Clash::new(title, path, label).help(format!(
        "the dish room is at work {hours}, by opening, closing and shifts; give a time in between"
    )));
}

/// When the dish room is at work by opening, closing and shifts, s.
fn hours(scenario: &Scenario) -> (f64, f64) {
    let service = &scenario.service;
    let people = scenario.roster.iter().filter(|row| row.count > 0);
    people.fold((service.opens_s, service.closes_s), |(from, to), row| {
        (from.min(row.from_s), to.max(row.to_s))
    })
}

/// A length as people say it.
fn metres(length_m: f64) -> String {
    format!("{} m", (length_m * 1000.0).round() / 1000.0)
}
