//! Published limits of warewashing: temperatures, chlorine, rinse pressure, contact time, rinse water.
//!
//! In: °C, kPa, s, mg/L, litres per rack. Out: a [`Limit`] with its clause, or the [`Breach`] of one.
//! A figure that is printed in two units, 180 °F and 82 °C, is met when either is: 82.0 °C passes and
//! 81.9 °C does not, though 180 °F are 82.22 °C.
//!
//! Sources: the FDA Food Code (2009 and 2017, the same figures) as adopted in Washington
//! (WAC 246-215), Wisconsin and Maine; DIN 10510, 10511 and 10512 as a trade lexicon quotes them; the
//! water limits of ENERGY STAR 2.0 out of a public calculator.
//!
//! ```
//! use scullery::physics::limits::{Breach, Machine, Sanitising, final_rinse};
//!
//! let rinse = final_rinse(Machine::SingleTankConveyor, Sanitising::HotWater).unwrap();
//! assert_eq!(rinse.breach(82.0), None);
//! let too_cold = rinse.breach(81.9).unwrap();
//! assert_eq!(too_cold, Breach::Under(rinse.least));
//! assert_eq!(
//!     too_cold.to_string(),
//!     "under the least, 82 °C (180 °F): Food Code 4-501.112(A), as adopted in WAC 246-215-04555"
//! );
//! ```

use std::fmt;

use super::heat::{WATER_KG_PER_L, heat_to_raise_j};

/// Litres in a US gallon.
pub const LITRES_PER_GALLON: f64 = 3.785_411_784;

/// Kilopascals in a psi.
const KPA_PER_PSI: f64 = 6.894_757;

/// So much past a limit is rounding of a conversion, and no breach.
const HAIR: f64 = 1e-6;

/// The kinds of machine that the code distinguishes. Dual and single temperature is whether the final
/// rinse is hotter than the wash.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Machine {
    /// Stationary rack (undercounter, door, hood), single temperature.
    StationarySingleTemperature,
    /// Stationary rack, dual temperature.
    StationaryDualTemperature,
    /// Conveyor with one tank, dual temperature.
    SingleTankConveyor,
    /// Conveyor with several tanks, multitemperature.
    MultiTankConveyor,
}

/// What sanitises.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sanitising {
    /// The heat of the final rinse.
    HotWater,
    /// A chemical in the final rinse.
    Chemical,
}

/// What a limit limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// In °C, and °F.
    Temperature,
    /// In kPa, and psi.
    Pressure,
    /// In s.
    Time,
    /// In litres per rack, and US gallons per rack.
    WaterPerRack,
}

/// A published limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// What it limits.
    pub quantity: Quantity,
    /// The figure in metric units as printed there.
    pub printed: f64,
    /// The figure in customary units as printed there.
    pub customary: f64,
    /// The customary figure in metric units, not rounded.
    pub exact: f64,
    /// Where it is printed.
    pub clause: &'static str,
}

impl Limit {
    const fn fahrenheit(customary: f64, printed: f64, clause: &'static str) -> Self {
        Self {
            quantity: Quantity::Temperature,
            printed,
            customary,
            exact: (customary - 32.0) * 5.0 / 9.0,
            clause,
        }
    }

    const fn psi(customary: f64, printed: f64, clause: &'static str) -> Self {
        Self {
            quantity: Quantity::Pressure,
            printed,
            customary,
            exact: customary * KPA_PER_PSI,
            clause,
        }
    }

    const fn seconds(seconds: f64, clause: &'static str) -> Self {
        Self {
            quantity: Quantity::Time,
            printed: seconds,
            customary: seconds,
            exact: seconds,
            clause,
        }
    }

    const fn gallons(customary: f64, clause: &'static str) -> Self {
        let litres = customary * LITRES_PER_GALLON;
        Self {
            quantity: Quantity::WaterPerRack,
            printed: litres,
            customary,
            exact: litres,
            clause,
        }
    }

    /// The figure as a minimum: the lower of the two that are printed.
    #[inline]
    #[must_use]
    pub const fn least(self) -> f64 {
        self.printed.min(self.exact)
    }

    /// The figure as a maximum: the higher of the two that are printed.
    #[inline]
    #[must_use]
    pub const fn most(self) -> f64 {
        self.printed.max(self.exact)
    }

    /// The breach of it as a minimum. What is not a number breaks every limit.
    #[inline]
    #[must_use]
    pub fn breach_as_least(self, found: f64) -> Option<Breach> {
        let met = found >= self.least() - HAIR;
        (!met).then_some(Breach::Under(self))
    }

    /// The breach of it as a maximum.
    #[inline]
    #[must_use]
    pub fn breach_as_most(self, found: f64) -> Option<Breach> {
        let met = found <= self.most() + HAIR;
        (!met).then_some(Breach::Over(self))
    }
}

/// The figure with its units: "82 °C (180 °F)", "10 s".
impl fmt::Display for Limit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            printed, customary, ..
        } = self;
        match self.quantity {
            Quantity::Temperature => write!(f, "{printed} °C ({customary} °F)"),
            Quantity::Pressure => write!(f, "{printed} kPa ({customary} psi)"),
            Quantity::Time => write!(f, "{printed} s"),
            Quantity::WaterPerRack => write!(f, "{printed:.2} L ({customary:.2} gal) per rack"),
        }
    }
}

/// A minimum and a maximum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// The minimum.
    pub least: Limit,
    /// The maximum.
    pub most: Limit,
}

impl Range {
    /// The breach of either.
    #[inline]
    #[must_use]
    pub fn breach(self, found: f64) -> Option<Breach> {
        let under = self.least.breach_as_least(found);
        under.or_else(|| self.most.breach_as_most(found))
    }
}

/// How a limit is broken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Breach {
    /// Under the minimum.
    Under(Limit),
    /// Over the maximum.
    Over(Limit),
    /// Weaker than any chlorine solution that the clause lists, or at a higher pH.
    Unlisted(&'static str),
}

/// The end of a sentence that says what was found: "under the least, 10 s: Food Code …".
impl fmt::Display for Breach {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Under(limit) => write!(f, "under the least, {limit}: {}", limit.clause),
            Self::Over(limit) => write!(f, "over the most, {limit}: {}", limit.clause),
            Self::Unlisted(clause) => write!(f, "not a solution that is listed: {clause}"),
        }
    }
}

const WASH_HOT_WATER: &str = "Food Code 4-501.110(A), as adopted in WAC 246-215-04545";
const WASH_CHEMICAL: &str = "Food Code 4-501.110(B), as adopted in WAC 246-215-04545";
const FINAL_RINSE: &str = "Food Code 4-501.112(A), as adopted in WAC 246-215-04555";
const PRESSURE: &str = "Food Code 4-501.113, as adopted in WAC 246-215-04560";
const CHLORINE: &str = "Food Code 4-501.114(A), as adopted in the Wisconsin Food Code, appendix";
const SURFACE: &str = "Food Code 4-703.11(B), as adopted in the Maine Food Code, chapter 200";
const CHLORINE_CONTACT: &str =
    "Food Code 4-703.11(C), as adopted in the Maine Food Code, chapter 200";
const SINK_WASH: &str = "Food Code 4-501.19 (from memory)";
const SINK_HOT: &str = "Food Code 4-501.111, as adopted in WAC 246-215-04550";
const SINK_CHEMICAL: &str = "Food Code 4-501.114, as adopted in the Wisconsin Food Code, appendix";
const SINK_CONTACT: &str = "Food Code 4-703.11, as adopted in the Maine Food Code, chapter 200";
const TWO_MINUTES: &str = "DIN 10510, as a trade lexicon quotes it";
const NINETY_SECONDS: &str = "DIN 10511 and 10512, as a trade lexicon quotes them";
const ENERGY_STAR: &str = "ENERGY STAR 2.0, as a public calculator carries it";

/// Coldest wash water of a spray machine.
#[must_use]
pub const fn wash_least(machine: Machine, sanitising: Sanitising) -> Limit {
    match (sanitising, machine) {
        (Sanitising::Chemical, _) => Limit::fahrenheit(120.0, 49.0, WASH_CHEMICAL),
        (Sanitising::HotWater, Machine::StationarySingleTemperature) => {
            Limit::fahrenheit(165.0, 74.0, WASH_HOT_WATER)
        }
        (Sanitising::HotWater, Machine::SingleTankConveyor) => {
            Limit::fahrenheit(160.0, 71.0, WASH_HOT_WATER)
        }
        (Sanitising::HotWater, Machine::StationaryDualTemperature | Machine::MultiTankConveyor) => {
            Limit::fahrenheit(150.0, 66.0, WASH_HOT_WATER)
        }
    }
}

/// Final rinse as it enters the manifold. `None` where a chemical sanitises: see [`chlorine`]. A wand
/// that is held by hand has no maximum.
#[must_use]
pub const fn final_rinse(machine: Machine, sanitising: Sanitising) -> Option<Range> {
    let least = match (sanitising, machine) {
        (Sanitising::Chemical, _) => return None,
        (Sanitising::HotWater, Machine::StationarySingleTemperature) => {
            Limit::fahrenheit(165.0, 74.0, FINAL_RINSE)
        }
        (Sanitising::HotWater, _) => Limit::fahrenheit(180.0, 82.0, FINAL_RINSE),
    };
    Some(Range {
        least,
        most: Limit::fahrenheit(194.0, 90.0, FINAL_RINSE),
    })
}

/// Flow pressure of a fresh hot-water rinse, kPa, in the line beside the rinse control valve.
pub const RINSE_PRESSURE: Range = Range {
    least: Limit::psi(5.0, 35.0, PRESSURE),
    most: Limit::psi(30.0, 200.0, PRESSURE),
};

/// What the surface of the ware has to reach where hot water sanitises in a machine.
pub const UTENSIL_SURFACE: Limit = Limit::fahrenheit(160.0, 71.0, SURFACE);

/// What a chlorine solution needs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chlorine {
    /// Coldest solution.
    pub least: Limit,
    /// Shortest contact.
    pub contact: Limit,
}

/// Coldest solution and shortest contact for so much chlorine at this pH: steps, nothing in between.
///
/// `None` under 25 mg/L and above pH 10, which are not listed. Ten seconds, and seven from 50 to
/// 99 mg/L, where the temperatures are those that seven go with.
///
/// ```
/// # use scullery::physics::limits::chlorine;
/// let needs = chlorine(50.0, 8.0).unwrap();
/// assert_eq!((needs.least.customary, needs.contact.printed), (75.0, 7.0));
/// ```
#[must_use]
pub fn chlorine(mg_per_l: f64, ph: f64) -> Option<Chlorine> {
    let listed = mg_per_l >= 25.0 && ph <= 10.0;
    let (fahrenheit, celsius, seconds) = if mg_per_l < 50.0 {
        (120.0, 49.0, 10.0)
    } else if mg_per_l >= 100.0 {
        (55.0, 13.0, 10.0)
    } else if ph <= 8.0 {
        (75.0, 24.0, 7.0)
    } else {
        (100.0, 38.0, 7.0)
    };
    listed.then_some(Chlorine {
        least: Limit::fahrenheit(fahrenheit, celsius, CHLORINE),
        contact: Limit::seconds(seconds, CHLORINE_CONTACT),
    })
}

/// The breach of what a chlorine solution needs; of two the temperature.
#[must_use]
pub fn chlorine_breach(mg_per_l: f64, ph: f64, solution_c: f64, contact_s: f64) -> Option<Breach> {
    let Some(Chlorine { least, contact }) = chlorine(mg_per_l, ph) else {
        return Some(Breach::Unlisted(CHLORINE));
    };
    let too_cold = least.breach_as_least(solution_c);
    too_cold.or_else(|| contact.breach_as_least(contact_s))
}

/// What sanitises in the third compartment of a sink.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SinkSanitiser {
    /// Hot water.
    HotWater,
    /// Chlorine.
    Chlorine,
    /// Iodine.
    Iodine,
    /// A quaternary ammonium compound.
    Quat,
}

/// Coldest wash water of a sink.
pub const SINK_WASH_LEAST: Limit = Limit::fahrenheit(110.0, 43.0, SINK_WASH);

/// Coldest water that sanitises in a sink; of chlorine, of the strongest solution that is listed.
#[must_use]
pub const fn sink_least(by: SinkSanitiser) -> Limit {
    match by {
        SinkSanitiser::HotWater => Limit::fahrenheit(171.0, 77.0, SINK_HOT),
        SinkSanitiser::Chlorine => Limit::fahrenheit(55.0, 13.0, SINK_CHEMICAL),
        SinkSanitiser::Iodine => Limit::fahrenheit(68.0, 20.0, SINK_CHEMICAL),
        SinkSanitiser::Quat => Limit::fahrenheit(75.0, 24.0, SINK_CHEMICAL),
    }
}

/// Shortest time in it, at so many °C. Seven seconds in chlorine are enough in warm solutions of 50 to 99 mg/L.
///
/// ```
/// # use scullery::physics::limits::{SinkSanitiser, sink_contact};
/// let least_s = |by, c| sink_contact(by, c).printed;
/// assert_eq!(least_s(SinkSanitiser::HotWater, 77.0), 30.0);
/// assert_eq!([least_s(SinkSanitiser::Chlorine, 24.0), least_s(SinkSanitiser::Chlorine, 20.0)], [7.0, 10.0]);
/// ```
#[must_use]
pub fn sink_contact(by: SinkSanitiser, solution_c: f64) -> Limit {
    let warm = Limit::fahrenheit(75.0, 24.0, CHLORINE);
    let seconds = match by {
        SinkSanitiser::Chlorine if warm.breach_as_least(solution_c).is_none() => 7.0,
        SinkSanitiser::Chlorine => 10.0,
        SinkSanitiser::HotWater | SinkSanitiser::Iodine | SinkSanitiser::Quat => 30.0,
    };
    Limit::seconds(seconds, SINK_CONTACT)
}

/// Shortest time in all zones together: a guide, not a rule.
#[must_use]
pub const fn contact_guide(machine: Machine) -> Limit {
    match machine {
        Machine::MultiTankConveyor => Limit::seconds(120.0, TWO_MINUTES),
        Machine::StationarySingleTemperature
        | Machine::StationaryDualTemperature
        | Machine::SingleTankConveyor => Limit::seconds(90.0, NINETY_SECONDS),
    }
}

/// The kinds of machine that ENERGY STAR distinguishes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rated {
    /// Under a counter.
    Undercounter,
    /// Stationary rack with a door or hood.
    Door,
    /// Conveyor with one tank.
    SingleTankConveyor,
    /// Conveyor with several tanks.
    MultiTankConveyor,
}

/// Most water per rack of a machine with the label, litres.
///
/// ```
/// # use scullery::physics::limits::{Rated, Sanitising, rinse_water_most};
/// let limit = rinse_water_most(Rated::SingleTankConveyor, Sanitising::HotWater);
/// assert_eq!(limit.to_string(), "2.65 L (0.70 gal) per rack");
/// ```
#[must_use]
pub const fn rinse_water_most(rated: Rated, sanitising: Sanitising) -> Limit {
    let gallons = match (rated, sanitising) {
        (Rated::Undercounter, Sanitising::HotWater) => 0.86,
        (Rated::Undercounter, Sanitising::Chemical) => 1.19,
        (Rated::Door, Sanitising::HotWater) => 0.89,
        (Rated::Door, Sanitising::Chemical) => 1.18,
        (Rated::SingleTankConveyor, Sanitising::HotWater) => 0.70,
        (Rated::SingleTankConveyor, Sanitising::Chemical) => 0.79,
        (Rated::MultiTankConveyor, _) => 0.54,
    };
    Limit::gallons(gallons, ENERGY_STAR)
}

/// Supply of a booster, °C: 140 °F (definition in ASTM F1696-96).
pub const BOOSTER_SUPPLY_C: f64 = 60.0;

/// What a booster makes of it, °C: 180 °F (the same).
pub const BOOSTER_OUTLET_C: f64 = (180.0 - 32.0) * 5.0 / 9.0;

/// Heat that a booster gives so much water, J.
///
/// ```
/// # use scullery::physics::limits::{LITRES_PER_GALLON, booster_j};
/// let kwh_per_gallon = booster_j(LITRES_PER_GALLON) / 3.6e6;
/// assert!((kwh_per_gallon - 0.0978).abs() < 5e-5);
/// ```
#[inline]
#[must_use]
pub fn booster_j(litres: f64) -> f64 {
    heat_to_raise_j(litres * WATER_KG_PER_L, BOOSTER_SUPPLY_C, BOOSTER_OUTLET_C)
}

#[cfg(test)]
mod tests {
    use super::*;

    const MACHINES: [Machine; 4] = [
        Machine::StationarySingleTemperature,
        Machine::StationaryDualTemperature,
        Machine::SingleTankConveyor,
        Machine::MultiTankConveyor,
    ];

    const fn celsius(fahrenheit: f64) -> f64 {
        (fahrenheit - 32.0) / 1.8
    }

    /// Every minimum and maximum in °F and kPa.
    fn every_limit() -> (Vec<Limit>, Vec<Limit>) {
        let (mut least, mut most) = (vec![UTENSIL_SURFACE, RINSE_PRESSURE.least], vec![]);
        most.push(RINSE_PRESSURE.most);
        for machine in MACHINES {
            for sanitising in [Sanitising::HotWater, Sanitising::Chemical] {
                least.push(wash_least(machine, sanitising));
                if let Some(rinse) = final_rinse(machine, sanitising) {
                    least.push(rinse.least);
                    most.push(rinse.most);
                }
            }
        }
        for (mg_per_l, ph) in [(25.0, 8.0), (50.0, 8.0), (50.0, 9.0), (100.0, 9.0)] {
            least.push(chlorine(mg_per_l, ph).expect("listed").least);
        }
        (least, most)
    }

    #[test]
    fn either_printed_figure_meets_a_limit_and_a_degree_less_does_not() {
        let (least, most) = every_limit();
        assert_eq!((least.len(), most.len()), (18, 5));
        for limit in least {
            for met in [limit.printed, limit.exact] {
                assert_eq!(limit.breach_as_least(met), None, "{limit}");
            }
            let short = limit.least() - 0.01;
            assert_eq!(limit.breach_as_least(short), Some(Breach::Under(limit)));
        }
        for limit in most {
            for met in [limit.printed, limit.exact] {
                assert_eq!(limit.breach_as_most(met), None, "{limit}");
            }
            let past = limit.most() + 0.01;
            assert_eq!(limit.breach_as_most(past), Some(Breach::Over(limit)));
        }
    }

    #[test]
    fn the_two_printed_figures_are_nearly_the_same() {
        let (least, most) = every_limit();
        for limit in least.into_iter().chain(most) {
            let rounding = match limit.quantity {
                Quantity::Pressure => 7.0,
                _ => 0.5,
            };
            assert!((limit.printed - limit.exact).abs() <= rounding, "{limit:?}");
        }
    }

    #[test]
    fn a_final_rinse_has_a_floor_and_a_ceiling() {
        let rinse = final_rinse(Machine::MultiTankConveyor, Sanitising::HotWater).expect("hot");
        for met_c in [82.0, celsius(180.0), 85.0, celsius(194.0)] {
            assert_eq!(rinse.breach(met_c), None, "{met_c}");
        }
        assert_eq!(rinse.breach(81.9), Some(Breach::Under(rinse.least)));
        assert_eq!(rinse.breach(90.1), Some(Breach::Over(rinse.most)));
        for machine in MACHINES {
            assert_eq!(final_rinse(machine, Sanitising::Chemical), None);
        }
    }

    #[test]
    fn chlorine_goes_by_steps() {
        let needs = |mg_per_l, ph| {
            let needs = chlorine(mg_per_l, ph)?;
            Some((needs.least.customary, needs.contact.printed))
        };
        for (mg_per_l, ph, expected) in [
            (24.9, 7.0, None),
            (25.0, 7.0, Some((120.0, 10.0))),
            (49.9, 10.0, Some((120.0, 10.0))),
            (50.0, 8.0, Some((75.0, 7.0))),
            (50.0, 8.1, Some((100.0, 7.0))),
            (99.9, 10.0, Some((100.0, 7.0))),
            (100.0, 10.0, Some((55.0, 10.0))),
            (200.0, 7.0, Some((55.0, 10.0))),
            (100.0, 10.1, None),
        ] {
            assert_eq!(needs(mg_per_l, ph), expected, "{mg_per_l} {ph}");
        }
    }

    #[test]
    fn chlorine_may_be_unlisted_too_cold_or_too_short() {
        let unlisted = chlorine_breach(10.0, 7.0, 50.0, 60.0);
        assert_eq!(unlisted, Some(Breach::Unlisted(CHLORINE)));
        let words = |solution_c, contact_s| {
            let breach = chlorine_breach(50.0, 8.0, solution_c, contact_s)?;
            Some(breach.to_string())
        };
        assert_eq!(words(24.0, 7.0), None);
        let cold = words(20.0, 1.0).expect("a breach");
        assert!(cold.starts_with("under the least, 24 °C (75 °F): Food Code 4-501.114(A)"));
        let short = words(24.0, 6.0).expect("a breach");
        assert!(short.starts_with("under the least, 7 s: Food Code 4-703.11(C)"));
    }

    #[test]
    fn what_is_not_a_number_breaks_every_limit() {
        assert!(UTENSIL_SURFACE.breach_as_least(f64::NAN).is_some());
        assert!(UTENSIL_SURFACE.breach_as_most(f64::NAN).is_some());
        assert!(chlorine_breach(f64::NAN, 7.0, 50.0, 60.0).is_some());
        assert!(chlorine_breach(50.0, f64::NAN, 50.0, 60.0).is_some());
    }

    #[test]
    fn pressure_is_said_in_both_units() {
        let breach = RINSE_PRESSURE.breach(20.0).expect("a breach");
        let said = "under the least, 35 kPa (5 psi): Food Code 4-501.113";
        assert!(breach.to_string().starts_with(said), "{breach}");
    }
}
