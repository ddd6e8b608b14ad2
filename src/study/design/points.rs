//! Which design point has which settings, and the scenario that comes of it.
//!
//! Points are counted from 0: sites are the slowest, then the factors in the order they are written, the
//! last the fastest; a sample is taken at each site. After them come the points of the tornado, where one
//! factor at a time is moved from the base; they are counted on. Points are worked out when they are
//! asked for, so that a hundred thousand take no memory.

use std::hash::Hasher as _;

use siphasher::sip128::{Hasher128 as _, SipHasher13};

use super::coordinate::{Coordinate, LAST, Points};
use super::factor::{Factor, Level, Varies};
use super::study::Study;
use crate::room::Room;
use crate::scenario::amount::Amount;
use crate::scenario::mistakes::{Mistake, Sort};
use crate::scenario::model::Scenario;
use crate::scenario::path::ValuePath;
use crate::scenario::sources::Sources;
use crate::scenario::tree::{Node, Value};
use crate::scenario::{chain, load};
use crate::words::study as words;
use crate::words::study::NO_CURRENCY;

/// The value of a factor at a design point.
#[derive(Debug, Clone, PartialEq)]
pub struct Setting {
    /// As people read it; empty where the factor is as the base has it.
    pub text: String,
    /// As a number in the unit of the factor, if it is one.
    pub number: Option<f64>,
}

impl Study {
    /// How many design points there are.
    #[must_use]
    pub fn points(&self) -> u64 {
        let levels = |factor: &Factor| factor.levels().map_or(1, <[Level]>::len) as u64;
        match &self.points {
            Points::Grid => self.factors.iter().map(levels).product(),
            Points::Sample(each, _) => {
                let sites = self.factors.iter().filter(|factor| factor.is_site);
                each * sites.map(levels).product::<u64>()
            }
        }
    }

    /// How many points there are to play: the design points, then those of the tornado.
    #[must_use]
    pub fn to_play(&self) -> u64 {
        self.points() + self.alone.len() as u64
    }

    /// The points of the tornado: which factor is moved where; the first is the base itself.
    #[must_use]
    pub fn one_at_a_time(&self) -> &[(usize, Coordinate)] {
        &self.alone
    }

    /// Where each factor stands at a point.
    #[must_use]
    pub fn coordinates(&self, point: u64) -> Vec<Coordinate> {
        let all = self.points();
        if point >= all {
            let mut base = vec![Coordinate::Base; self.factors.len()];
            let moved = self.alone.get((point - all) as usize);
            if let Some((factor, at)) = moved
                && let Some(slot) = base.get_mut(*factor)
            {
                *slot = *at;
            }
            return base;
        }
        match &self.points {
            Points::Grid => self.on_the_grid(point),
            Points::Sample(each, columns) => {
                let (site, row) = (point / each, (point % each) as usize);
                let at = |(factor, column): (&Factor, &Vec<f64>)| match column.get(row) {
                    Some(u) if !factor.is_site => Coordinate::At(*u),
                    _ => Coordinate::Level(site as usize),
                };
                self.factors.iter().zip(columns).map(at).collect()
            }
        }
    }

    fn on_the_grid(&self, point: u64) -> Vec<Coordinate> {
        let mut rest = point;
        let mut coordinates = vec![Coordinate::Base; self.factors.len()];
        for (slot, factor) in coordinates.iter_mut().zip(&self.factors).rev() {
            let levels = factor.levels().map_or(1, <[Level]>::len) as u64;
            *slot = Coordinate::Level((rest % levels) as usize);
            rest /= levels;
        }
        coordinates
    }

    /// The value of each factor at a point.
    #[must_use]
    pub fn settings(&self, point: u64) -> Vec<Setting> {
        let coordinates = self.coordinates(point);
        let of = |(factor, at): (&Factor, Coordinate)| match factor.level(at) {
            Some(level) => Setting {
                text: level.text.clone(),
                number: level.number,
            },
            None => Setting {
                text: String::new(),
                number: None,
            },
        };
        self.factors.iter().zip(coordinates).map(of).collect()
    }

    /// How many design points have the settings of one before them: a sample of few levels meets the same
    /// again, a grid never does.
    #[must_use]
    pub fn repeated(&self) -> u64 {
        let Points::Sample(each, _) = &self.points else {
            return 0;
        };
        // Every site has the same sample.
        let settings = |point| {
            let mut hasher = SipHasher13::new_with_keys(0, 2);
            for setting in self.settings(point).iter().zip(&self.factors) {
                if !setting.1.is_site {
                    hasher.write(&(setting.0.text.len() as u64).to_le_bytes());
                    hasher.write(setting.0.text.as_bytes());
                }
            }
            hasher.finish128().as_u128()
        };
        let mut distinct: Vec<u128> = (0..*each).map(settings).collect();
        distinct.sort_unstable();
        distinct.dedup();
        let sites = self.points().checked_div(*each).unwrap_or(0);
        (each - distinct.len() as u64) * sites
    }

    /// A point in words: "design point 17: loaders 3, tunnel 55 in".
    #[must_use]
    pub fn label(&self, point: u64) -> String {
        let settings = self.settings(point);
        let listed = self.factors.iter().zip(&settings);
        let listed: Vec<String> = listed
            .filter(|(_, setting)| !setting.text.is_empty())
            .map(|(factor, setting)| format!("{} {}", factor.name, setting.text))
            .collect();
        words::point((point < self.points()).then_some(point), &listed)
    }

    /// The files it was read from, to be shared out among threads: a clone costs little.
    #[must_use]
    pub fn sources(&self) -> Sources {
        self.sources.clone()
    }

    /// A digest of every file that was read, of seed, replications and version: parts of one study have
    /// the same.
    #[must_use]
    pub fn digest(&self) -> String {
        let plays = format!("{} {:?}", self.seed, self.replications);
        self.sources.digest(&[env!("CARGO_PKG_VERSION"), &plays])
    }

    /// The scenario of a point.
    ///
    /// # Errors
    /// All that is wrong with it.
    pub fn scenario(&self, point: u64, sources: &mut Sources) -> Result<Scenario, Vec<Mistake>> {
        let mut mistakes = Vec::new();
        let mut tree = self.base.clone();
        for (factor, at) in self.factors.iter().zip(self.coordinates(point)) {
            if let Some(level) = factor.level(at) {
                apply(&level, &mut tree, &mut mistakes);
            }
        }
        let scenario = load::model_of(&tree, sources, &mut mistakes);
        if let Some(scenario) = &scenario {
            self.in_the_currency_of_the_base(scenario, &mut mistakes);
        }
        scenario.filter(|_| mistakes.is_empty()).ok_or(mistakes)
    }

    /// Costs of design points are held against each other, and nothing converts them.
    fn in_the_currency_of_the_base(&self, scenario: &Scenario, mistakes: &mut Vec<Mistake>) {
        let own = scenario.prices.as_ref().and_then(|p| p.currency.as_deref());
        let base = self.wording.currency();
        if let Some(own) = own.filter(|own| Some(*own) != base) {
            let base = base.map_or(NO_CURRENCY.to_owned(), |base| format!("in {base}"));
            let title = format!("prices of a design point are in {own}, those of the base {base}");
            let cure =
                "give the prices of all in one currency, and name it in [prices] of the base";
            mistakes.push(Mistake::new(Sort::Clash, title).help(cure));
        }
    }

    /// The room of a point.
    ///
    /// # Errors
    /// All that is wrong with it.
    pub fn room(&self, point: u64, sources: &mut Sources) -> Result<Room, Vec<Mistake>> {
        self.scenario(point, sources)
            .map(|scenario| Room::of(&scenario))
    }

    /// What is wrong with a level alone, the other factors as the base has them. Values that do not go
    /// together are left out: at a design point they might.
    pub(super) fn wrong_alone(&self, level: &Level, sources: &mut Sources) -> Vec<Mistake> {
        let mut mistakes = Vec::new();
        let mut tree = self.base.clone();
        apply(level, &mut tree, &mut mistakes);
        load::model_of(&tree, sources, &mut mistakes);
        mistakes.retain(|mistake| mistake.sort != Sort::Clash);
        mistakes
    }

    /// The level of a factor that the base scenario has: one of its list, or a value of its range.
    #[must_use]
    pub fn base_of(&self, factor: &Factor) -> Option<Level> {
        match &factor.varies {
            Varies::Levels(levels) => levels.iter().find(|level| self.is_base(level)).cloned(),
            Varies::Span(span) => span.level_of(&self.base),
        }
    }

    /// Whether a level leaves the base as it is.
    fn is_base(&self, level: &Level) -> bool {
        let is_own = |(path, node): &(ValuePath, Node)| {
            path.get(&self.base)
                .is_some_and(|own| is_same(path, own, node))
        };
        level.change.is_none() && level.sets.iter().all(is_own)
    }

    /// All levels there are; of what varies along a range, its ends.
    pub(super) fn all_levels(&self) -> Vec<Level> {
        let of = |factor: &Factor| match &factor.varies {
            Varies::Levels(levels) => levels.clone(),
            Varies::Span(_) => [0.0, LAST]
                .iter()
                .filter_map(|u| Some(factor.level(Coordinate::At(*u))?.into_owned()))
                .collect(),
        };
        self.factors.iter().flat_map(of).collect()
    }
}

/// Whether two values of a path are the same, in whatever unit each is written.
fn is_same(path: &ValuePath, one: &Node, other: &Node) -> bool {
    let kind = path.field().map(|field| field.kind);
    let amount = |node: &Node| kind.and_then(|kind| Amount::read(node, kind));
    match (amount(one), amount(other)) {
        (Some(one), Some(other)) => {
            let (one, other) = (one.si(), other.si());
            (one - other).abs() <= 1e-9 * one.abs().max(other.abs())
        }
        _ => match (&one.value, &other.value) {
            (Value::Text(one), Value::Text(other)) => one == other,
            (Value::Flag(one), Value::Flag(other)) => one == other,
            _ => false,
        },
    }
}

/// Changes a tree as a level says.
fn apply(level: &Level, tree: &mut Node, mistakes: &mut Vec<Mistake>) {
    if let Some(change) = &level.change {
        chain::merge_over(tree, change.clone(), mistakes);
    }
    for (path, node) in &level.sets {
        if !path.put(tree, node.clone()) {
            let title = format!("there is no `{}` any more", path.text());
            let mistake = Mistake::new(Sort::Value, title)
                .at(&node.place, "to be set here")
                .help("a bundle has taken its row away: set it in the bundles that leave it there");
            mistakes.push(mistake);
        }
    }
}
