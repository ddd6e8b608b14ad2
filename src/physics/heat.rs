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
mod tests;
