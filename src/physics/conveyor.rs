//! Rates, lengths and contact times of dish machines.
//!
//! In: lengths in m, speeds in m/s, times in s. Out: the same, and racks per hour. All inputs are above
//! zero.
//!
//! Source: the calculation note that heads the official listings for NSF/ANSI 3: racks per hour of a
//! rack conveyor = CS × 60/RL (speed in ft/min, rack length in ft), of a stationary-rack machine
//! = 3600 × NR/TC (racks per cycle, cycle in s with the load time in it).

/// Seconds in an hour.
const HOUR_S: f64 = 3600.0;

/// Rated racks per hour of a conveyor fed without a gap.
///
/// ```
/// # use scullery::physics::conveyor::rated_racks_per_hour;
/// // 6 ft/min and racks of 20 in.
/// assert!((rated_racks_per_hour(6.0 * 0.3048 / 60.0, 20.0 * 0.0254) - 216.0).abs() < 1e-9);
/// ```
#[inline]
#[must_use]
pub fn rated_racks_per_hour(speed_m_per_s: f64, pitch_m: f64) -> f64 {
    HOUR_S * speed_m_per_s / pitch_m
}

/// Racks an hour of a hood machine; the cycle holds washing, rinsing, dwell and load time.
///
/// ```
/// # use scullery::physics::conveyor::hood_racks_per_hour;
/// assert_eq!(hood_racks_per_hour(1.0, 120.0 + 30.0), 24.0);
/// ```
#[inline]
#[must_use]
pub fn hood_racks_per_hour(racks_per_cycle: f64, cycle_s: f64) -> f64 {
    HOUR_S * racks_per_cycle / cycle_s
}

/// Time a point of the belt spends in zones of this length, s.
#[inline]
#[must_use]
pub fn contact_s(zones_m: f64, speed_m_per_s: f64) -> f64 {
    zones_m / speed_m_per_s
}

/// Fastest belt that keeps the contact time in zones of this length, m/s.
#[inline]
#[must_use]
pub fn speed_for_contact_m_per_s(zones_m: f64, contact_s: f64) -> f64 {
    zones_m / contact_s
}

/// Shortest zones that keep the contact time at this speed, m.
#[inline]
#[must_use]
pub fn length_for_contact_m(speed_m_per_s: f64, contact_s: f64) -> f64 {
    speed_m_per_s * contact_s
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn speed_length_and_contact_time_agree() {
        let speed = speed_for_contact_m_per_s(3.4, 120.0);
        assert!((contact_s(3.4, speed) - 120.0).abs() < 1e-9);
        assert!((length_for_contact_m(speed, 120.0) - 3.4).abs() < 1e-12);
    }
}
