//! How often a piece goes through the machine: those that come out dirty and are caught go round again.
//!
//! Soil dries on its way, so it is looked at as dry as it is when it comes to the machine: see `on_the_way`. Films differ:
//! a few thicknesses of the law, each as likely, stand for all.
//!
//! In: how long soil has dried. Out: passes by ware and soil.

use crate::physics::{drying, washing, wetting};
use crate::room::Room;
use crate::room::law::Law;
use crate::room::ware::Soil;
use crate::scenario::model::SoakPolicy;

/// Thicknesses that stand for all.
const FILMS: usize = 32;

/// Mean passes of a piece through the machine.
#[derive(Debug, Clone)]
pub struct Passes {
    /// By ware, then by soil.
    each: Vec<Vec<f64>>,
}

impl Passes {
    /// While all soil is fresh.
    #[must_use]
    pub fn fresh(room: &Room) -> Self {
        Self::aged(room, |_, _| [0.0; 2])
    }

    /// The mean of several, each as likely.
    pub(super) fn mean(all: &[Self]) -> Self {
        let mut sum = Self { each: Vec::new() };
        for one in all {
            sum.each.resize(one.each.len(), Vec::new());
            for (to, from) in sum.each.iter_mut().zip(&one.each) {
                to.resize(from.len(), 0.0);
                for (to, from) in to.iter_mut().zip(from) {
                    *to += from / all.len() as f64;
                }
            }
        }
        sum
    }

    /// Of soil that has dried so long before the soak and after it, s.
    pub(super) fn aged(room: &Room, age_s: impl Fn(usize, usize) -> [f64; 2]) -> Self {
        let of_ware = |ware| {
            let soils = 0..room.soils.len();
            soils
                .map(|soil| passes(room, ware, soil, age_s(ware, soil)))
                .collect()
        };
        Self {
            each: (0..room.wares.len()).map(of_ware).collect(),
        }
    }

    /// Of a ware with a soil.
    #[must_use]
    pub fn of(&self, ware: usize, soil: usize) -> f64 {
        self.each[ware][soil]
    }
}

/// The mean of 1/(1 − p·c) over films: p the share dirty after one wash at its dryness, c the share of those that
/// inspection catches.
fn passes(room: &Room, ware: usize, soil: usize, age_s: [f64; 2]) -> f64 {
    let by_hand = room.wares[ware].at_pot_sink;
    let catches = room.inspect_catches;
    let Some(catches) = catches.filter(|_| !room.machines.is_empty() && !by_hand) else {
        return 1.0;
    };
    let fill = room
        .rack_kinds
        .get(room.wares[ware].rack_kind)
        .map_or(1.0, |kind| kind.fill);
    let factors = room.machines.iter().map(|machine| machine.wash_factor);
    let factor = factors.sum::<f64>() / room.machines.len() as f64;
    let factor = factor * washing::loading_factor(fill);
    let of = &room.soils[soil];
    let films = films(&of.film);
    let each = films.iter().map(|film| {
        let theta = age_s.map(|age_s| age_s * of.drying_per_s / film);
        let dryness = dryness(room, ware, of, theta);
        let dirty = of.wash.dirty_probability(dryness, factor);
        // A piece that is never clean would go round for ever: the figure stops at a thousand.
        1.0 / (1.0 - dirty * catches).max(1e-3)
    });
    each.fold(0.0, |sum, passes| sum + passes) / films.len() as f64
}

/// Dryness at the machine of a film after dimensionless times before the soak and after it.
fn dryness(room: &Room, ware: usize, soil: &Soil, [before, after]: [f64; 2]) -> f64 {
    let critical = soil.critical_moisture;
    let dry = drying::dryness(before, critical);
    let soaked = match room.wares[ware].soak {
        SoakPolicy::Always => true,
        SoakPolicy::WhenDried => drying::is_dried_on(before, critical),
        SoakPolicy::Never => false,
    };
    let soak = room.soak.as_ref().filter(|_| soaked);
    let wet = soak.map_or(dry, |soak| {
        wetting::soaked(dry, soak.time.s(), soil.soak_time_constant_s)
    });
    drying::dryness(drying::theta_of(wet, critical) + after, critical)
}

/// Factors of the mean film, each as likely.
fn films(law: &Law) -> Vec<f64> {
    let Law::Table(points) = law else {
        return vec![1.0];
    };
    let middle = |film: usize| points[(2 * film + 1) * (points.len() - 1) / (2 * FILMS)];
    (0..FILMS).map(middle).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::washing::Wash;
    use crate::scenario::load;

    #[test]
    fn passes_are_those_of_a_loop() {
        let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
        let loaded = load(&file.join("tests/rooms/line.toml")).unwrap();
        let mut room = Room::of(&loaded.scenario);
        assert_eq!(Passes::fresh(&room).of(0, 0), 1.0);
        // Share dirty after a wash, share of it caught, washes a piece: 1/(1 − p·c).
        for (dirty, catches, by_hand) in [
            (0.05, 0.9, 1.047_120),
            (0.2, 0.9, 1.219_512),
            (0.5, 0.95, 1.904_762),
        ] {
            room.inspect_catches = Some(catches);
            room.soils[0].wash = Wash::new(dirty, 0.6);
            assert!((Passes::fresh(&room).of(0, 0) - by_hand).abs() < 1e-6);
            // Bone dry: 0.6 of them dirty.
            let dry = Passes::aged(&room, |_, _| [1e9, 0.0]).of(0, 0);
            assert!((dry - 1.0 / (1.0 - 0.6 * catches)).abs() < 1e-6, "{dry}");
        }
    }
}
