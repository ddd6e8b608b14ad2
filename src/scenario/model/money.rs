//! What things cost. Whatever a file gives prices in, costs come out in: nothing is converted.

use super::keys::keys;
use crate::scenario::field::{COMMON, Kind, Unset, may, row, within};

/// No price is higher, in the smallest coin there is.
const DEAREST: f64 = 1e9;
/// A price.
pub(super) const PRICE: Kind = Kind::Number(within(0.0, DEAREST));

keys! {
    /// Prices. What has none takes no part in the cost.
    pub struct Prices at "prices." {
        currency: Option<String> = may("currency", "what prices are in, such as \"crowns\": costs are printed with it; left out, in money of no name", Kind::Text),
        labour_per_h: Option<f64> = may("labour", "a paid hour, breaks included, of anyone without a wage of their own", PRICE),
        overtime_factor: f64 = row("overtime", "overtime pay as a multiple of the wage", Kind::Number(within(0.0, 10.0)), Unset::Number(1.5), COMMON),
        water_per_m3: Option<f64> = may("water", "a cubic metre of fresh water", PRICE),
        sewer_per_m3: Option<f64> = may("sewer", "letting a cubic metre of used water into the sewer; all that is used goes there", PRICE),
        energy_per_kwh: Option<f64> = may("energy", "a kilowatt-hour", PRICE),
        detergent_per_kg: Option<f64> = may("detergent", "a kilogram of detergent", PRICE),
        rinse_aid_per_l: Option<f64> = may("rinse_aid", "a litre of rinse aid", PRICE),
    }
}

impl Prices {
    /// A litre of fresh water.
    #[must_use]
    pub fn water_per_l(&self) -> Option<f64> {
        self.water_per_m3.map(per_l)
    }

    /// A litre of used water.
    #[must_use]
    pub fn sewer_per_l(&self) -> Option<f64> {
        self.sewer_per_m3.map(per_l)
    }
}

fn per_l(per_m3: f64) -> f64 {
    per_m3 / 1000.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cubic_metre_is_a_thousand_litres() {
        let prices = Prices {
            currency: None,
            labour_per_h: None,
            overtime_factor: 1.5,
            water_per_m3: Some(4.0),
            sewer_per_m3: None,
            energy_per_kwh: Some(0.3),
            detergent_per_kg: None,
            rinse_aid_per_l: Some(6.0),
        };
        assert_eq!(prices.water_per_l(), Some(0.004));
        assert_eq!(prices.sewer_per_l(), None);
    }
}
