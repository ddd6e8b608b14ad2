//! A value of a scenario as a number in the unit it was written in, and back, so that a study can step
//! through a range of it or keep its ratio to another.

use super::field::Kind;
use super::tree::{Node, Value};
use super::units::{self, Dimension, Unit};

/// How a number is written.
#[derive(Debug, Clone, Copy)]
pub enum Scale {
    /// In a unit.
    Unit(&'static Unit),
    /// Without one.
    Plain,
    /// Whole, without one.
    Whole,
    /// A share in per cent.
    Percent,
    /// A time of day, in seconds after midnight.
    Clock,
}

/// A number and how it is written.
#[derive(Debug, Clone, Copy)]
pub struct Amount {
    /// The number, in the unit of the scale.
    pub number: f64,
    /// How it is written.
    pub scale: Scale,
}

impl Amount {
    /// Reads a value of that kind; nothing if it is no number, or not one of that kind.
    #[must_use]
    pub fn read(node: &Node, kind: Kind) -> Option<Self> {
        let of = |number, scale| Some(Self { number, scale });
        match (kind, &node.value) {
            (Kind::Quantity(q) | Kind::Time(q), Value::Text(text)) => in_unit(text, q.dimension),
            (Kind::Places(_, _, q), Value::Text(text)) => in_unit(text, q.dimension),
            (Kind::Places(..) | Kind::Whole(..), Value::Whole(number)) => {
                of(*number as f64, Scale::Whole)
            }
            (Kind::Number(_) | Kind::Share(_), Value::Whole(number)) => {
                of(*number as f64, Scale::Plain)
            }
            (Kind::Number(_) | Kind::Share(_), Value::Number(number)) if number.is_finite() => {
                of(*number, Scale::Plain)
            }
            (Kind::Share(_), Value::Text(text)) => {
                of(units::percent(text)? * 100.0, Scale::Percent)
            }
            (Kind::TimeOfDay, Value::Text(text)) => of(units::clock(text)?, Scale::Clock),
            _ => None,
        }
    }

    /// The same scale with another number, as many digits as are worth writing.
    #[must_use]
    pub fn with(self, number: f64, digits: usize) -> Self {
        let number = match self.scale {
            Scale::Whole | Scale::Clock => libm::round(number),
            _ => rounded(number, digits),
        };
        Self { number, ..self }
    }

    /// The number in SI, where there is a unit.
    #[must_use]
    pub fn si(self) -> f64 {
        match self.scale {
            Scale::Unit(unit) => unit.to_si(self.number),
            Scale::Percent => self.number / 100.0,
            Scale::Plain | Scale::Whole | Scale::Clock => self.number,
        }
    }

    /// The same scale with a number given in SI.
    #[must_use]
    pub fn with_si(self, si: f64, digits: usize) -> Self {
        let number = match self.scale {
            Scale::Unit(unit) => unit.from_si(si),
            Scale::Percent => si * 100.0,
            Scale::Plain | Scale::Whole | Scale::Clock => si,
        };
        self.with(number, digits)
    }

    /// What it measures, if it has a unit.
    #[must_use]
    pub const fn dimension(self) -> Option<Dimension> {
        match self.scale {
            Scale::Unit(unit) => Some(unit.dimension),
            _ => None,
        }
    }

    /// Its unit; empty if it has none.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self.scale {
            Scale::Unit(unit) => unit.names[0],
            Scale::Percent => "%",
            Scale::Plain | Scale::Whole | Scale::Clock => "",
        }
    }

    /// As a file would have it.
    #[must_use]
    pub fn value(self) -> Value {
        match self.scale {
            Scale::Unit(_) | Scale::Percent | Scale::Clock => Value::Text(self.text()),
            Scale::Plain => Value::Number(self.number),
            Scale::Whole => Value::Whole(self.number as i64),
        }
    }

    /// As people read it.
    #[must_use]
    pub fn text(self) -> String {
        match self.scale {
            Scale::Unit(_) | Scale::Percent => format!("{} {}", self.number, self.unit()),
            Scale::Plain | Scale::Whole => self.number.to_string(),
            Scale::Clock => units::clock_text(self.number),
        }
    }
}

fn in_unit(text: &str, dimension: Dimension) -> Option<Amount> {
    let si = units::quantity(text, dimension).ok()?;
    if !si.is_finite() {
        return None;
    }
    let is_number = |c: char| c.is_ascii_digit() || matches!(c, '+' | '-' | '.' | 'e' | 'E' | ' ');
    let name = text.trim_start_matches(is_number).trim();
    let unit = units::find(name, dimension);
    // A time in two parts has no one unit.
    let unit = unit.or_else(|| dimension.units().next())?;
    Some(Amount {
        number: rounded(unit.from_si(si), 12),
        scale: Scale::Unit(unit),
    })
}

/// A number to so many significant digits.
#[must_use]
pub fn rounded(number: f64, digits: usize) -> f64 {
    let text = format!("{number:.*e}", digits.saturating_sub(1));
    text.parse().unwrap_or(number)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::fields;
    use crate::scenario::sources::Place;

    fn read(path: &str, value: Value) -> Option<Amount> {
        let place = Place {
            file: 0,
            span: 0..0,
        };
        Amount::read(&Node { value, place }, fields::find(path)?.kind)
    }

    #[test]
    fn numbers_come_back_as_they_were_written() {
        let text = |text: &str| Value::Text(text.into());
        let cases = [
            ("machine[].tunnel", text("44 in"), "44 in"),
            ("machine[].speed", text("5.5 ft/min"), "5.5 ft/min"),
            ("air.temperature", text("79 °F"), "79 °F"),
            ("roster[].count", Value::Whole(2), "2"),
            ("roster[].pace", Value::Number(1.1), "1.1"),
            ("inspect.catches", text("85 %"), "85 %"),
            ("service.opens", text("17:30"), "17:30"),
            ("service.give_up_after", text("1 h 30 min"), "5400 s"),
        ];
        for (path, value, expected) in cases {
            let amount = read(path, value).unwrap_or_else(|| panic!("{path}"));
            assert_eq!(amount.text(), expected, "{path}");
            assert_eq!(
                amount.with_si(amount.si(), 12).text(),
                expected,
                "{path} from SI"
            );
        }
        assert!(read("machine[].tunnel", text("44")).is_none());
        assert!(read("roster[].count", text("two")).is_none());
    }
}
