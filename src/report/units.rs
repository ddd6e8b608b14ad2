//! Units of the terminal table and of the charts. CSV and JSON always keep the units of the measures.

use crate::scenario::wording::Wording;
use crate::study::design::wanted::Target;

/// Which units a person wants to read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Units {
    /// Litres, kilograms, metres, degrees Celsius.
    #[default]
    Metric,
    /// US gallons, pounds, feet, degrees Fahrenheit.
    Us,
}

/// From a unit of the measures to one that is shown: `shown = factor * value + offset`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shown {
    /// Name of the unit, empty for none; of money a mark, for which pages and charts put the
    /// [currency](crate::scenario::wording).
    pub unit: &'static str,
    /// What a value is multiplied by to be shown.
    pub factor: f64,
    /// Added after it; a half-width takes no part in it.
    pub offset: f64,
    /// Decimals that the conversion adds (or takes, below 0).
    pub decimals: i32,
}

/// Unit, shown in US, factor, offset. Factors: NIST Special Publication 811 (2008), appendix B.
const US: &[(&str, &str, f64, f64)] = &[
    ("L", "gal", 0.264_172_052, 0.0),
    ("kg", "lb", 2.204_622_62, 0.0),
    ("m", "ft", 3.280_839_9, 0.0),
    ("°C", "°F", 1.8, 32.0),
    ("g/L", "oz/gal", 0.133_526_471, 0.0),
];

/// What somebody wrote in another unit, to the digits that are worth reading.
pub(super) fn converted(value: f64) -> f64 {
    format!("{value:.3e}").parse().unwrap_or(value)
}

impl Units {
    /// A target in words, its limit in these units.
    pub(super) fn target(self, target: &Target, wording: &Wording) -> String {
        let unit = target.measure.info().unit;
        let shown = self.shown(unit);
        if self == Self::Metric || shown.unit == unit || matches!(unit, "1" | "money") {
            return target.words(wording);
        }
        target.words_in(wording, shown.unit, |value| {
            converted(value * shown.factor + shown.offset)
        })
    }

    /// How a value in `unit` is shown. Shares are shown in percent in either system.
    #[must_use]
    pub fn shown(self, unit: &'static str) -> Shown {
        if unit == "1" {
            return Shown {
                unit: "%",
                factor: 100.0,
                offset: 0.0,
                decimals: -2,
            };
        }
        if unit == "money" {
            return Shown {
                unit: "‹money›",
                factor: 1.0,
                offset: 0.0,
                decimals: 0,
            };
        }
        let us = (self == Self::Us)
            .then(|| US.iter().find(|row| row.0 == unit))
            .flatten();
        let (unit, factor, offset) = us.map_or((unit, 1.0, 0.0), |row| (row.1, row.2, row.3));
        Shown {
            unit,
            factor,
            offset,
            decimals: 0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_thousand_litres_are_264_gallons_and_a_share_is_a_percentage() {
        let litres = Units::Us.shown("L");
        assert_eq!(litres.unit, "gal");
        assert!((1000.0 * litres.factor - 264.172).abs() < 1e-3);
        let boiling = Units::Us.shown("°C");
        assert!((100.0 * boiling.factor + boiling.offset - 212.0).abs() < 1e-9);
        // An ounce (avoirdupois) per gallon is 7.489152 kg/m³, the same source.
        let soil = Units::Us.shown("g/L");
        assert!((7.489_152 * soil.factor - 1.0).abs() < 1e-6, "{soil:?}");
        assert_eq!(Units::Metric.shown("L").unit, "L");
        assert_eq!(Units::Us.shown("1").unit, "%");
        assert_eq!(Units::Us.shown("min").unit, "min");
    }
}
