//! Water and metal that are heated, flushed and left to cool: the tanks and the booster of a machine.
//!
//! A well-mixed lump follows C dT/dt = P + U (T_room − T) + w c (T_in − T): heat capacity C in J/K,
//! heater P in W, loss U in W/K, and a stream of water w in kg/s that enters at T_in and leaves at T.
//! Between two events nothing of this changes, so there is a closed form and nothing is stepped through
//! time: T = T0 + s t φ(G t/C), with s the slope at the start, G = U + w c, and φ(x) = (1 − e^−x)/x.
//! φ(0) is 1, the straight line of a lump that nothing cools, so no case divides by zero.
//!
//! In: temperatures in °C, water in kg or L, power in W. Out: °C, s and J. Capacities are above zero;
//! losses, streams, powers and times are not negative. What never comes is `None`.
//!
//! Source: the energy balance of a stirred tank, in any textbook. Water has 4186 J/(kg K) and 1 kg/L at
//! every temperature, as the trade takes it; at 80 °C it is 3 % lighter (from memory).

/// Specific heat of water, J/(kg K).
pub const WATER_J_PER_KG_K: f64 = 4186.0;

/// Density of water, kg/L.
pub const WATER_KG_PER_L: f64 = 1.0;

/// A well-mixed tank or booster: its water and metal as one.
///
/// ```
/// # use scullery::physics::heat::{Load, Lump, Thermostat};
/// // A booster of 20 L and 9 kW, set to 85 °C, while 2.52 gal per minute of 60 °C run through it.
/// let booster = Lump::of_water(20.0, 0.0);
/// let rinse = Load { room_c: 24.0, flow_kg_per_s: 0.158987, inlet_c: 60.0 };
/// let thermostat = Thermostat { heater_w: 9_000.0, set_c: 85.0 };
/// let held = booster.hold(rinse, thermostat, 85.0, 60.0);
/// assert!((held.temperature_c - 80.6465).abs() < 5e-5);
/// assert_eq!(held.energy_j, 9_000.0 * 60.0);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lump {
    /// Heat that makes it one degree warmer, J/K.
    pub capacity_j_per_k: f64,
    /// Heat that it loses to the room for each degree above it, W/K.
    pub loss_w_per_k: f64,
}

/// What draws heat from a lump, or gives it some.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// Temperature of the room, °C.
    pub room_c: f64,
    /// Water that enters, and as much that leaves, kg/s.
    pub flow_kg_per_s: f64,
    /// Temperature of the water that enters, °C.
    pub inlet_c: f64,
}

/// A heater that runs at full power below its set point, gives what is needed at it, and is off above.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thermostat {
    /// Full power, W; 0 is no heater.
    pub heater_w: f64,
    /// Set point, °C.
    pub set_c: f64,
}

impl Thermostat {
    /// The same with so much of its power left.
    #[inline]
    #[must_use]
    pub const fn at_share(self, share: f64) -> Self {
        Self {
            heater_w: self.heater_w * share,
            set_c: self.set_c,
        }
    }
}

/// A stretch of time behind a lump. Heat given equals heat stored, lost and carried off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Held {
    /// Temperature at the end, °C.
    pub temperature_c: f64,
    /// Lowest temperature on the way, both ends included, °C.
    pub lowest_c: f64,
    /// Heat that the heater gave, J.
    pub energy_j: f64,
    /// Heat lost to the room, J; negative where the room was warmer.
    pub lost_j: f64,
    /// Heat that the water carried off beyond what it brought in, J.
    pub carried_j: f64,
}

impl Lump {
    /// So much water, its tank counted as nothing.
    #[inline]
    #[must_use]
    pub const fn of_water(kg: f64, loss_w_per_k: f64) -> Self {
        Self {
            capacity_j_per_k: kg * WATER_J_PER_KG_K,
            loss_w_per_k,
        }
    }

    /// The same tank holding so much of its water: it stores and loses in proportion.
    #[inline]
    #[must_use]
    pub const fn filled_to(self, share: f64) -> Self {
        Self {
            capacity_j_per_k: self.capacity_j_per_k * share,
            loss_w_per_k: self.loss_w_per_k * share,
        }
    }

    /// Heat taken from it for each degree, W/K: U + w c.
    fn draw_w_per_k(self, load: Load) -> f64 {
        self.loss_w_per_k + load.flow_kg_per_s * WATER_J_PER_KG_K
    }

    /// Power that holds it at this temperature, W; negative where it would have to be cooled.
    #[inline]
    #[must_use]
    pub fn needed_w(self, load: Load, at_c: f64) -> f64 {
        self.loss_w_per_k * (at_c - load.room_c)
            + load.flow_kg_per_s * WATER_J_PER_KG_K * (at_c - load.inlet_c)
    }

    /// Temperature that it comes to in the end at this power, °C; `None` where nothing draws heat.
    #[must_use]
    pub fn limit_c(self, load: Load, power_w: f64) -> Option<f64> {
        let draw = self.draw_w_per_k(load);
        let unheated_w = -self.needed_w(load, 0.0);
        (draw > 0.0).then(|| (power_w + unheated_w) / draw)
    }

    /// Time in which 63 % of the way to the limit is done, s; `None` where nothing draws heat.
    #[must_use]
    pub fn time_constant_s(self, load: Load) -> Option<f64> {
        let draw = self.draw_w_per_k(load);
        (draw > 0.0).then(|| self.capacity_j_per_k / draw)
    }

    /// A time in time constants; 0 where nothing draws heat.
    fn time_constants(self, load: Load, dt_s: f64) -> f64 {
        self.draw_w_per_k(load) * dt_s / self.capacity_j_per_k
    }

    /// How fast it warms at this temperature and power, K/s.
    fn slope_k_per_s(self, load: Load, power_w: f64, at_c: f64) -> f64 {
        (power_w - self.needed_w(load, at_c)) / self.capacity_j_per_k
    }

    /// Temperature after `dt_s` at this power, °C.
    #[inline]
    #[must_use]
    pub fn after_c(self, load: Load, power_w: f64, start_c: f64, dt_s: f64) -> f64 {
        let straight_k = self.slope_k_per_s(load, power_w, start_c) * dt_s;
        start_c + straight_k * mean_decay(self.time_constants(load, dt_s))
    }

    /// Time at this power until it has the temperature `to_c`, s; `None` if it never has.
    ///
    /// ```
    /// # use scullery::physics::heat::{Load, Lump};
    /// let tank = Lump::of_water(83.0, 0.0);
    /// let still = Load { room_c: 24.0, flow_kg_per_s: 0.0, inlet_c: 60.0 };
    /// let minutes = tank.time_to_s(still, 15_000.0, 60.0, 71.0).map(|s| s / 60.0);
    /// assert!((minutes.unwrap() - 4.246).abs() < 5e-4);
    /// assert_eq!(tank.time_to_s(still, 0.0, 60.0, 71.0), None);
    /// ```
    #[must_use]
    pub fn time_to_s(self, load: Load, power_w: f64, from_c: f64, to_c: f64) -> Option<f64> {
        if from_c == to_c {
            return Some(0.0);
        }
        let straight_s = (to_c - from_c) / self.slope_k_per_s(load, power_w, from_c);
        // The share done of the way to the limit; all of it takes for ever.
        let done = self.time_constants(load, straight_s);
        let time_s = straight_s * log_stretch(done);
        (straight_s > 0.0 && done < 1.0 && time_s.is_finite()).then_some(time_s)
    }

    /// `dt_s` under a thermostat.
    ///
    /// Two stretches at most: off or at full power until the set point is met, then the power that holds
    /// it there, or as near as the heater can. A heater that is too weak lets it fall below; water that
    /// comes in too hot lets it rise above.
    #[must_use]
    pub fn hold(self, load: Load, thermostat: Thermostat, start_c: f64, dt_s: f64) -> Held {
        let Thermostat { heater_w, set_c } = thermostat;
        let holding_w = self.needed_w(load, set_c).min(heater_w).max(0.0);
        if start_c == set_c {
            return self.stretch(load, holding_w, start_c, dt_s);
        }
        let first_w = if start_c < set_c { heater_w } else { 0.0 };
        match self.time_to_s(load, first_w, start_c, set_c) {
            Some(met_s) if met_s < dt_s => {
                let first = self.stretch(load, first_w, start_c, met_s);
                first.then(self.stretch(load, holding_w, set_c, dt_s - met_s))
            }
            _ => self.stretch(load, first_w, start_c, dt_s),
        }
    }

    /// `dt_s` at one power. The temperature goes one way only, so its lowest is at an end.
    fn stretch(self, load: Load, power_w: f64, start_c: f64, dt_s: f64) -> Held {
        let constants = self.time_constants(load, dt_s);
        let straight_k = self.slope_k_per_s(load, power_w, start_c) * dt_s;
        let temperature_c = start_c + straight_k * mean_decay(constants);
        let mean_c = start_c + straight_k * mean_of_means(constants);
        let carried_w = load.flow_kg_per_s * WATER_J_PER_KG_K * (mean_c - load.inlet_c);
        Held {
            temperature_c,
            lowest_c: start_c.min(temperature_c),
            energy_j: power_w * dt_s,
            lost_j: self.loss_w_per_k * (mean_c - load.room_c) * dt_s,
            carried_j: carried_w * dt_s,
        }
    }

    /// `dt_s` of a heater that pushes its hot water out ahead of what flows in, unmixed.
    ///
    /// The lump is what is hot, at the set point, and what is as cold as the water that flows in; `mean_c` is the mean of
    /// both. As long as any is hot it comes at the set point, and the lump is one that loses what is carried off and
    /// that nothing flows through. Then water is only warmed on its way through. `lowest_c` is the lowest at which it came.
    #[must_use]
    pub fn displace(self, load: Load, thermostat: Thermostat, mean_c: f64, dt_s: f64) -> Held {
        let Thermostat { heater_w, set_c } = thermostat;
        let flow_w_per_k = load.flow_kg_per_s * WATER_J_PER_KG_K;
        let off_w = flow_w_per_k * (set_c - load.inlet_c);
        if off_w <= 0.0 {
            return self.hold(load, thermostat, mean_c, dt_s);
        }
        let odd = if mean_c > set_c {
            Some((0.0, set_c))
        } else {
            (mean_c < load.inlet_c).then_some((heater_w, load.inlet_c))
        };
        if let Some((power_w, to_c)) = odd {
            // Hotter than it is kept, or colder than what flows in: stirred, until it is not.
            let met_s = self.time_to_s(load, power_w, mean_c, to_c);
            let met_s = met_s.filter(|met_s| *met_s < dt_s);
            let first = self.stretch(load, power_w, mean_c, met_s.unwrap_or(dt_s));
            return match met_s {
                Some(met_s) => first.then(self.displace(load, thermostat, to_c, dt_s - met_s)),
                None => first,
            };
        }
        let still = Load {
            flow_kg_per_s: 0.0,
            ..load
        };
        let net_w = heater_w - off_w;
        let holding_w = self.needed_w(still, set_c).min(net_w);
        let hot = |power_w: f64, from_c: f64, s: f64| {
            let held = self.stretch(still, power_w, from_c, s);
            Held {
                lowest_c: set_c,
                energy_j: held.energy_j + off_w * s,
                carried_j: off_w * s,
                ..held
            }
        };
        let power_w = if mean_c < set_c { net_w } else { holding_w };
        let used_up_s = if mean_c <= load.inlet_c && net_w <= self.needed_w(still, mean_c) {
            Some(0.0)
        } else {
            self.time_to_s(still, power_w, mean_c, load.inlet_c)
        };
        if let Some(used_up_s) = used_up_s.filter(|s| *s < dt_s) {
            let left_s = dt_s - used_up_s;
            let lost_j = self.loss_w_per_k * (load.inlet_c - load.room_c) * left_s;
            let energy_j = heater_w * left_s;
            let through = Held {
                temperature_c: load.inlet_c,
                lowest_c: load.inlet_c + (energy_j - lost_j) / (flow_w_per_k * left_s),
                energy_j,
                lost_j,
                carried_j: energy_j - lost_j,
            };
            return hot(power_w, mean_c, used_up_s).then(through);
        }
        match self.time_to_s(still, net_w, mean_c, set_c) {
            Some(met_s) if mean_c < set_c && met_s < dt_s => {
                hot(net_w, mean_c, met_s).then(hot(holding_w, set_c, dt_s - met_s))
            }
            _ => hot(power_w, mean_c, dt_s),
        }
    }

    /// Heat stored between two temperatures, J.
    #[inline]
    #[must_use]
    pub fn stored_j(self, from_c: f64, to_c: f64) -> f64 {
        self.capacity_j_per_k * (to_c - from_c)
    }
}

impl Held {
    /// This stretch and the next one as one.
    fn then(self, next: Self) -> Self {
        Self {
            temperature_c: next.temperature_c,
            lowest_c: self.lowest_c.min(next.lowest_c),
            energy_j: self.energy_j + next.energy_j,
            lost_j: self.lost_j + next.lost_j,
            carried_j: self.carried_j + next.carried_j,
        }
    }
}

/// Temperature of a body after another one has been put in, °C.
///
/// `share` says how much of the way to their common temperature is done: 1 all of it. What the first
/// loses the second gains; for the temperature of the second, ask with the two exchanged. A cold rack
/// in the spray of a tank is such a body.
///
/// ```
/// # use scullery::physics::heat::mixed_c;
/// // 83 L at 66 °C meet plates that count as 2 L at 21 °C.
/// assert!((mixed_c(83.0, 66.0, 2.0, 21.0, 1.0) - 64.941).abs() < 5e-4);
/// assert_eq!(mixed_c(83.0, 66.0, 2.0, 21.0, 0.0), 66.0);
/// ```
#[inline]
#[must_use]
pub fn mixed_c(
    capacity_j_per_k: f64,
    temperature_c: f64,
    other_j_per_k: f64,
    other_c: f64,
    share: f64,
) -> f64 {
    let weight = other_j_per_k / (capacity_j_per_k + other_j_per_k);
    temperature_c + share * weight * (other_c - temperature_c)
}

/// Heat that takes so much water from one temperature to another, J.
///
/// ```
/// # use scullery::physics::heat::heat_to_raise_j;
/// // 1.163 Wh a litre and degree.
/// assert!((heat_to_raise_j(1.0, 20.0, 21.0) / 3600.0 - 1.163).abs() < 5e-4);
/// ```
#[inline]
#[must_use]
pub fn heat_to_raise_j(kg: f64, from_c: f64, to_c: f64) -> f64 {
    kg * WATER_J_PER_KG_K * (to_c - from_c)
}

/// Time to heat a tank that loses nothing, s; 0 if it is warm enough, `None` if nothing heats it.
#[must_use]
pub fn heat_up_s(kg: f64, from_c: f64, to_c: f64, power_w: f64) -> Option<f64> {
    time_for(heat_to_raise_j(kg, from_c, to_c), power_w)
}

/// Time to fill a tank, s: volume over flow; `None` if nothing flows.
#[must_use]
pub fn fill_s(volume_l: f64, flow_l_per_s: f64) -> Option<f64> {
    time_for(volume_l, flow_l_per_s)
}

/// Time for so much at this rate.
fn time_for(amount: f64, per_s: f64) -> Option<f64> {
    if amount <= 0.0 {
        return Some(0.0);
    }
    (per_s > 0.0).then(|| amount / per_s)
}

/// φ(x) = (1 − e^−x)/x: the mean of e^−t for t from 0 to x. 1 at 0.
pub(super) fn mean_decay(x: f64) -> f64 {
    if x == 0.0 { 1.0 } else { -libm::expm1(-x) / x }
}

/// (1 − φ(x))/x: the mean of u φ(u x) for u from 0 to 1. A half at 0.
///
/// Near 0 the difference would lose its digits; the series keeps them.
fn mean_of_means(x: f64) -> f64 {
    if x < 1e-3 {
        0.5 - x / 6.0 + x * x / 24.0 - x * x * x / 120.0
    } else {
        (1.0 - mean_decay(x)) / x
    }
}

/// −ln(1 − y)/y: how many times longer a share y of the way takes than at the slope of its start.
/// 1 at 0.
pub(super) fn log_stretch(y: f64) -> f64 {
    if y == 0.0 { 1.0 } else { -libm::log1p(-y) / y }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A lump and its surroundings, a thermostat, and where it starts.
    type Case = (Lump, Load, Thermostat, f64);

    const STRETCHES_S: [f64; 6] = [0.0, 1e-3, 1.0, 35.0, 600.0, 86_400.0];

    /// Every combination of small and large, none and some, colder and hotter.
    fn cases() -> Vec<Case> {
        let mut cases = Vec::new();
        for (kg, loss) in [(20.0, 0.0), (20.0, 7.0), (83.0, 60.0), (83.0, 1e-9)] {
            for (flow, inlet_c) in [(0.0, 60.0), (0.03, 15.0), (0.159, 60.0), (0.159, 75.0)] {
                for heater_w in [0.0, 2_000.0, 9_000.0, 15_000.0] {
                    for (set_c, room_c) in [(60.0, 24.0), (71.0, 10.0), (82.2, 30.0)] {
                        for start_c in [15.0, 60.0, 70.999_999, 82.2, 85.0] {
                            let lump = Lump::of_water(kg, loss);
                            let load = Load {
                                room_c,
                                flow_kg_per_s: flow,
                                inlet_c,
                            };
                            let thermostat = Thermostat { heater_w, set_c };
                            cases.push((lump, load, thermostat, start_c));
                        }
                    }
                }
            }
        }
        cases
    }

    /// Every case for every length of time.
    fn each(mut check: impl FnMut(Case, f64, Held)) {
        for case in cases() {
            let (lump, load, thermostat, start_c) = case;
            for dt_s in STRETCHES_S {
                check(case, dt_s, lump.hold(load, thermostat, start_c, dt_s));
            }
        }
    }

    #[test]
    fn heat_given_is_stored_lost_or_carried_off() {
        each(|(lump, load, thermostat, start_c), dt_s, held| {
            let stored = lump.stored_j(start_c, held.temperature_c);
            let parts = [held.energy_j, stored, held.lost_j, held.carried_j];
            let size: f64 = parts.iter().map(|j| j.abs()).sum();
            let left = held.energy_j - stored - held.lost_j - held.carried_j;
            // A temperature near 100 has its last bit at 1e-14.
            let per_k = lump.capacity_j_per_k + lump.draw_w_per_k(load) * dt_s;
            let rounding = 1e-13 * per_k;
            assert!(
                left.abs() <= 1e-9 * size + rounding,
                "{left} of {size}: {lump:?} {load:?} {thermostat:?} {start_c} {dt_s}"
            );
        });
    }

    #[test]
    fn the_temperature_stays_between_what_is_around_it() {
        each(|(_, load, thermostat, start_c), _, held| {
            let around = [load.room_c, load.inlet_c, thermostat.set_c, start_c];
            let least = around.iter().copied().fold(f64::INFINITY, f64::min) - 1e-9;
            let most = around.iter().copied().fold(f64::NEG_INFINITY, f64::max) + 1e-9;
            assert!((least..=most).contains(&held.temperature_c), "{held:?}");
            assert!((least..=held.temperature_c).contains(&held.lowest_c));
            let heater_most = thermostat.heater_w * 86_400.0;
            assert!((0.0..=heater_most).contains(&held.energy_j));
            assert!(held.lost_j.is_finite() && held.carried_j.is_finite());
        });
    }

    /// 12 L at 85 °C, 0.3 L/s at 60 °C, 9 kW: 31,395 W are carried off, so that 25 K of 50,232 J/K last 1,255,800/22,395 =
    /// 56.07 s. Behind them 9 kW warm what flows through to 60 + 9000/1255.8 = 67.167 °C.
    #[test]
    fn hot_water_that_is_pushed_out_is_hot_until_it_is_used_up() {
        let (lump, flow_kg_per_s) = (Lump::of_water(12.0, 0.0), 0.3);
        let load = Load {
            room_c: 24.0,
            flow_kg_per_s,
            inlet_c: 60.0,
        };
        let of = Thermostat {
            heater_w: 9_000.0,
            set_c: 85.0,
        };
        let rack = lump.displace(load, of, 85.0, 10.0);
        assert!((rack.temperature_c - (85.0 - 223_950.0 / 50_232.0)).abs() < 1e-9);
        assert_eq!(rack.lowest_c, 85.0);
        let all = lump.displace(load, of, 85.0, 100.0);
        assert_eq!(all.temperature_c, 60.0);
        assert!((all.lowest_c - (60.0 + 9_000.0 / 1255.8)).abs() < 1e-9);
        assert!((all.energy_j - 900_000.0).abs() < 1e-6);
        let strong = Thermostat {
            heater_w: 40_000.0,
            ..of
        };
        let held = lump.displace(load, strong, 85.0, 100.0);
        assert_eq!((held.temperature_c, held.lowest_c), (85.0, 85.0));
        assert!((held.energy_j - 3_139_500.0).abs() < 1e-6);
    }

    /// Where it pushes water out, too, heat is neither made nor lost, and two stretches are one of both.
    #[test]
    fn pushed_out_or_not_heat_is_accounted_for() {
        for (lump, load, of, start_c) in cases() {
            for dt_s in STRETCHES_S {
                let held = lump.displace(load, of, start_c, dt_s);
                let stored = lump.stored_j(start_c, held.temperature_c);
                let left = held.energy_j - stored - held.lost_j - held.carried_j;
                let size = 1e-9 * (1e6 + 1e5 * dt_s);
                assert!(
                    left.abs() <= size,
                    "{left}: {lump:?} {load:?} {of:?} {start_c} {dt_s}"
                );
                assert!(
                    held.energy_j >= -1e-6,
                    "{held:?}: {lump:?} {load:?} {of:?} {start_c} {dt_s}"
                );
                let second = lump.displace(load, of, held.temperature_c, 35.0);
                let one = lump.displace(load, of, start_c, dt_s + 35.0);
                let two = held.then(second);
                assert!(
                    (two.temperature_c - one.temperature_c).abs() <= 1e-6,
                    "{two:?} {one:?}: {lump:?} {load:?} {of:?} {start_c} {dt_s}"
                );
                assert!(
                    (two.energy_j - one.energy_j).abs() <= 1e3 * size,
                    "{two:?} {one:?}"
                );
            }
        }
    }

    #[test]
    fn two_stretches_are_one_of_both_lengths() {
        let near = |a: f64, b: f64, size: f64| (a - b).abs() <= 1e-9 * size.max(1.0);
        each(|(lump, load, thermostat, start_c), dt_s, first| {
            for more_s in STRETCHES_S {
                let second = lump.hold(load, thermostat, first.temperature_c, more_s);
                let one = lump.hold(load, thermostat, start_c, dt_s + more_s);
                let two = first.then(second);
                let size = 1e5 * (dt_s + more_s);
                assert!(near(two.temperature_c, one.temperature_c, 1.0));
                assert!(near(two.lowest_c, one.lowest_c, 1.0));
                assert!(near(two.energy_j, one.energy_j, size), "{two:?} {one:?}");
                assert!(near(two.lost_j, one.lost_j, size), "{two:?} {one:?}");
                assert!(near(two.carried_j, one.carried_j, size), "{two:?} {one:?}");
            }
        });
    }

    #[test]
    fn it_goes_one_way_only() {
        for (lump, load, thermostat, start_c) in cases() {
            let on_the_way = STRETCHES_S.map(|dt_s| {
                let held = lump.hold(load, thermostat, start_c, dt_s);
                held.temperature_c
            });
            let rises = on_the_way.windows(2).all(|two| two[1] >= two[0] - 1e-9);
            let falls = on_the_way.windows(2).all(|two| two[1] <= two[0] + 1e-9);
            assert!(rises || falls, "{on_the_way:?}");
        }
    }

    #[test]
    fn more_heat_and_a_warmer_start_never_make_it_colder() {
        each(|(lump, load, thermostat, start_c), dt_s, held| {
            let stronger = Thermostat {
                heater_w: thermostat.heater_w + 500.0,
                ..thermostat
            };
            let hotter = Load {
                inlet_c: load.inlet_c + 3.0,
                ..load
            };
            for other in [
                lump.hold(load, stronger, start_c, dt_s),
                lump.hold(load, thermostat, start_c + 0.5, dt_s),
                lump.hold(hotter, thermostat, start_c, dt_s),
            ] {
                assert!(other.temperature_c >= held.temperature_c - 1e-9);
            }
        });
    }

    #[test]
    fn the_time_to_a_temperature_is_when_it_is_there() {
        let mut met = 0;
        for (lump, load, Thermostat { heater_w, set_c }, start_c) in cases() {
            let Some(time_s) = lump.time_to_s(load, heater_w, start_c, set_c) else {
                let away = lump.slope_k_per_s(load, heater_w, start_c) * (set_c - start_c) <= 0.0;
                let short = lump.limit_c(load, heater_w).is_some_and(|limit_c| {
                    (limit_c - start_c).abs() <= (set_c - start_c).abs() + 1e-9
                });
                assert!(away || short);
                continue;
            };
            met += 1;
            let there_c = lump.after_c(load, heater_w, start_c, time_s);
            assert!((there_c - set_c).abs() < 1e-9, "{there_c} {set_c}");
        }
        assert!(met > 200, "{met}");
    }

    #[test]
    fn a_hundred_time_constants_are_the_limit() {
        for (lump, load, Thermostat { heater_w, .. }, start_c) in cases() {
            match (lump.limit_c(load, heater_w), lump.time_constant_s(load)) {
                (Some(limit_c), Some(constant_s)) => {
                    let end_c = lump.after_c(load, heater_w, start_c, 100.0 * constant_s);
                    assert!((end_c - limit_c).abs() <= 1e-12 * limit_c.abs().max(100.0));
                    let needed_w = lump.needed_w(load, limit_c);
                    assert!((needed_w - heater_w).abs() < 1e-6);
                }
                (None, None) => assert_eq!((lump.loss_w_per_k, load.flow_kg_per_s), (0.0, 0.0)),
                other => panic!("{other:?}"),
            }
        }
    }

    /// The same thermostat, switched on and off by the hundredth of a second.
    #[test]
    fn stepping_through_time_comes_to_the_same() {
        let lump = Lump::of_water(20.0, 7.0);
        let load = Load {
            room_c: 24.0,
            flow_kg_per_s: 0.1,
            inlet_c: 60.0,
        };
        for (heater_w, start_c) in [
            (15_000.0, 70.0),
            (15_000.0, 95.0),
            (6_000.0, 95.0),
            (6_000.0, 60.0),
        ] {
            let thermostat = Thermostat {
                heater_w,
                set_c: 85.0,
            };
            let (mut t_c, mut energy_j) = (start_c, 0.0);
            for _ in 0..30_000 {
                let power_w = if t_c < 85.0 { heater_w } else { 0.0 };
                energy_j += 0.01 * power_w;
                t_c += 0.01 * lump.slope_k_per_s(load, power_w, t_c);
            }
            let held = lump.hold(load, thermostat, start_c, 300.0);
            assert!((held.temperature_c - t_c).abs() < 0.01, "{held:?} {t_c}");
            assert!((held.energy_j / energy_j - 1.0).abs() < 1e-3, "{energy_j}");
        }
    }

    #[test]
    fn nothing_that_cools_is_a_straight_line() {
        let (lump, still) = (
            Lump::of_water(83.0, 0.0),
            Load {
                room_c: 24.0,
                flow_kg_per_s: 0.0,
                inlet_c: 60.0,
            },
        );
        let risen_c = lump.after_c(still, 15_000.0, 20.0, 60.0);
        assert!((risen_c - 20.0 - 15_000.0 * 60.0 / (83.0 * 4186.0)).abs() < 1e-12);
        assert_eq!(lump.after_c(still, 0.0, 20.0, 1e9), 20.0);
        assert_eq!(lump.time_to_s(still, 0.0, 20.0, 20.0), Some(0.0));
        assert_eq!(lump.time_to_s(still, 15_000.0, 20.0, 19.0), None);
        // So little loss makes no difference, and no jump.
        let leaky = Lump::of_water(83.0, 1e-12).after_c(still, 15_000.0, 20.0, 60.0);
        assert!((leaky - risen_c).abs() < 1e-12);
    }

    #[test]
    fn water_that_comes_in_too_hot_lets_it_rise_above() {
        let load = Load {
            room_c: 24.0,
            flow_kg_per_s: 0.1,
            inlet_c: 70.0,
        };
        let thermostat = Thermostat {
            heater_w: 9_000.0,
            set_c: 60.0,
        };
        let tank = Lump::of_water(20.0, 7.0);
        let met_s = tank.time_to_s(load, 9_000.0, 50.0, 60.0).expect("met");
        let held = tank.hold(load, thermostat, 50.0, 3_600.0);
        assert!(held.temperature_c > 69.0);
        assert!((held.energy_j - 9_000.0 * met_s).abs() < 1e-6);
    }

    #[test]
    fn the_series_meets_its_function() {
        let (below, above) = (mean_of_means(1e-3 - 1e-15), mean_of_means(1e-3));
        assert!((below - above).abs() < 1e-12, "{below} {above}");
        assert_eq!((mean_decay(0.0), log_stretch(0.0)), (1.0, 1.0));
        assert_eq!((mean_decay(5e-324), log_stretch(5e-324)), (1.0, 1.0));
    }

    #[test]
    fn what_one_body_loses_the_other_gains() {
        for share in [0.0, 0.3, 1.0] {
            let (a, b) = (347_000.0, 6_500.0);
            let cooled_c = mixed_c(a, 66.0, b, 21.0, share);
            let warmed_c = mixed_c(b, 21.0, a, 66.0, share);
            let (lost, gained) = (a * (66.0 - cooled_c), b * (warmed_c - 21.0));
            assert!((lost - gained).abs() < 1e-6, "{lost} {gained}");
            assert_eq!(share == 1.0, (cooled_c - warmed_c).abs() < 1e-9);
        }
    }

    #[test]
    fn what_is_full_and_warm_takes_no_time() {
        assert_eq!(heat_up_s(83.0, 70.0, 66.0, 0.0), Some(0.0));
        assert_eq!(heat_up_s(83.0, 60.0, 66.0, 0.0), None);
        assert_eq!(fill_s(83.0, 0.5), Some(166.0));
        assert_eq!((fill_s(83.0, 0.0), fill_s(0.0, 0.0)), (None, Some(0.0)));
    }
}
