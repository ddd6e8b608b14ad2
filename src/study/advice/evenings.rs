//! Which evenings of the run changes are played on.
//!
//! A trouble that strikes on few evenings would be missing from the first few. So evenings of the run are put into
//! strata: those on which a rare trouble struck, one stratum for each such trouble, and the others. Strata of the rare
//! give half of the evenings, and each counts for its share of the run. Which stratum an evening is in depends on the run alone, never on
//! what a change did, and no evening serves both the screening and the estimate.

use super::aim::{Aim, MIN_STRUCK_IN_ALL};
use crate::service::outcome::Outcome;

/// A trouble that strikes on a smaller share of the evenings is rare.
const RARE: f64 = 0.4;
/// So many strata of rare troubles are enough: of the gravest. However rare is read, some evenings are left for the others.
const MOST_STRATA: u64 = 3;
/// An interval takes so many evenings of each stratum.
const MIN_OF_EACH: u64 = 2;

/// The evenings of a run, by stratum.
pub(super) struct Evenings {
    /// Places of its evenings, in order; the first stratum is of those without a rare trouble.
    strata: Vec<Vec<usize>>,
    /// How many of each are drawn.
    drawn: Vec<usize>,
    all: usize,
}

/// Evenings that are played, in order of strata.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Drawn {
    /// Numbers of the evenings, counted from 0.
    pub at: Vec<usize>,
    /// The stratum of each.
    pub stratum: Vec<usize>,
}

impl Drawn {
    /// How many.
    pub const fn len(&self) -> u64 {
        self.at.len() as u64
    }

    /// How many of them are of strata of rare troubles.
    pub fn picked(&self) -> u64 {
        self.stratum.iter().filter(|of| **of > 0).count() as u64
    }
}

impl Evenings {
    /// Those of a run, to draw so many of them at least.
    pub fn of(outcomes: &[(u64, Outcome)], aims: &[Aim], least: u64) -> Self {
        let struck = |aim: &Aim| {
            let all = outcomes.iter().map(|(_, one)| aim.strikes(aim.value(one)));
            all.collect::<Vec<bool>>()
        };
        let most = MOST_STRATA.min(least / (2 * MIN_OF_EACH));
        Self::by(outcomes.len(), aims.iter().map(struck), most as usize)
    }

    /// No fewer may be drawn.
    pub const fn least(&self) -> u64 {
        MIN_OF_EACH * self.strata.len() as u64
    }

    /// By the evenings that each trouble strikes on, the gravest first.
    fn by(all: usize, troubles: impl Iterator<Item = Vec<bool>>, most: usize) -> Self {
        let count = |struck: &Vec<bool>| struck.iter().filter(|one| **one).count();
        let is_rare = |struck: &Vec<bool>| {
            let count = count(struck);
            count >= MIN_STRUCK_IN_ALL && (count as f64) < RARE * all as f64
        };
        let mut rare: Vec<Vec<bool>> = Vec::new();
        for struck in troubles.filter(is_rare) {
            if rare.len() < most && !rare.contains(&struck) {
                rare.push(struck);
            }
        }
        // An evening with several of them is of the rarest.
        rare.sort_by_key(count);
        let mut strata = vec![Vec::new(); rare.len() + 1];
        for at in 0..all {
            let of = rare.iter().position(|struck| struck[at]);
            strata[of.map_or(0, |place| place + 1)].push(at);
        }
        // What is left of a trouble that mostly comes with a rarer one is not enough for a stratum.
        let (mut others, enough): (Vec<_>, Vec<_>) =
            (strata.drain(1..)).partition(|stratum| stratum.len() < MIN_STRUCK_IN_ALL);
        let mut first: Vec<usize> = strata
            .into_iter()
            .chain(others.drain(..))
            .flatten()
            .collect();
        first.sort_unstable();
        let strata: Vec<Vec<usize>> = std::iter::once(first).chain(enough).collect();
        Self {
            drawn: vec![0; strata.len()],
            strata,
            all,
        }
    }

    /// Share of the run that each stratum is.
    pub fn weights(&self) -> Vec<f64> {
        let share = |stratum: &Vec<usize>| stratum.len() as f64 / self.all.max(1) as f64;
        self.strata.iter().map(share).collect()
    }

    /// Draws so many evenings, or as many as there are; each is drawn once. `half` leaves half of each rare stratum.
    pub fn draw(&mut self, count: u64, half: bool) -> Drawn {
        let count = usize::try_from(count).unwrap_or(usize::MAX).min(self.all);
        let rare = self.strata.len() - 1;
        let mut drawn = Drawn::default();
        let each = (count / 2)
            .checked_div(rare)
            .map_or(0, |each| each.max(MIN_OF_EACH as usize));
        let of_rare: Vec<usize> = (1..=rare)
            .map(|of| {
                let there = self.strata[of].len();
                let most = if half { there / 2 } else { there };
                each.min(most.saturating_sub(self.drawn[of]))
            })
            .collect();
        let others = count.saturating_sub(of_rare.iter().sum());
        for (of, count) in std::iter::once(others).chain(of_rare).enumerate() {
            let from = self.drawn[of];
            let to = (from + count).min(self.strata[of].len());
            self.drawn[of] = to;
            drawn.at.extend(&self.strata[of][from..to]);
            drawn.stratum.extend((from..to).map(|_| of));
        }
        drawn
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn every(all: usize, step: usize) -> Vec<bool> {
        (0..all).map(|at| at % step == step - 1).collect()
    }

    #[test]
    fn without_a_rare_trouble_evenings_come_in_order() {
        for troubles in [vec![], vec![every(100, 2)], vec![every(100, 50)]] {
            let mut evenings = Evenings::by(100, troubles.into_iter(), 3);
            assert_eq!(evenings.weights(), [1.0]);
            assert_eq!(evenings.draw(6, true).at, [0, 1, 2, 3, 4, 5]);
            assert_eq!(evenings.draw(2, false).at, [6, 7]);
        }
    }

    #[test]
    fn half_are_of_the_rare_and_none_is_drawn_twice() {
        let mut evenings = Evenings::by(200, [every(200, 20)].into_iter(), 3);
        assert_eq!(evenings.weights(), [0.95, 0.05]);
        let first = evenings.draw(8, true);
        assert_eq!(first.at, [0, 1, 2, 3, 19, 39, 59, 79]);
        assert_eq!((first.len(), first.picked()), (8, 4));
        // Five of ten are the most that the screening may have.
        let second = evenings.draw(190, false);
        assert_eq!((second.len(), second.picked()), (190, 6));
        assert!(second.at.iter().all(|at| !first.at.contains(at)));
    }

    #[test]
    fn an_evening_with_two_troubles_is_of_the_rarer() {
        let troubles = [every(400, 10), every(400, 40)];
        let evenings = Evenings::by(400, troubles.into_iter(), 3);
        assert_eq!(evenings.weights(), [0.9, 0.025, 0.075]);
    }
}
