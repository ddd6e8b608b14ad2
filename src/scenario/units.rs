//! Quantities as text with their unit, in both unit systems, and times of day.
//!
//! One table of units. Conversions are by whole numbers (1 in = 254/10 000 m, 1 °F = 5/9 K), so
//! `"20 in"` is exactly the number nearest to 0.508 m. Everything comes out in SI, but temperatures in °C
//! and volumes in litres. A difference of temperature has units of its own: 18 °F
//! more are 10 K more. A gallon is that of the United States.

/// What a quantity measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dimension {
    /// m.
    Length,
    /// s.
    Time,
    /// m/s.
    Speed,
    /// °C.
    Temperature,
    /// K: how much warmer or colder.
    Warmth,
    /// L: the trade's volume, and a kilogram of water.
    Volume,
    /// L/s.
    Flow,
    /// W.
    Power,
    /// kg.
    Mass,
    /// g/L.
    Dose,
    /// L/L.
    Part,
}

/// A unit that may stand behind a number.
#[derive(Debug)]
pub struct Unit {
    /// How it may be written; the first is how we write it.
    pub names: &'static [&'static str],
    /// What it measures.
    pub dimension: Dimension,
    /// SI value = (value + plus) × times / over.
    plus: f64,
    times: f64,
    over: f64,
}

const fn unit(
    names: &'static [&'static str],
    dimension: Dimension,
    plus: f64,
    times: f64,
    over: f64,
) -> Unit {
    Unit {
        names,
        dimension,
        plus,
        times,
        over,
    }
}

/// Every unit.
#[rustfmt::skip]
pub const UNITS: &[Unit] = &[
    unit(&["m"],                Dimension::Length,        0.0,     1.0,         1.0),
    unit(&["cm"],               Dimension::Length,        0.0,     1.0,       100.0),
    unit(&["mm"],               Dimension::Length,        0.0,     1.0,     1_000.0),
    unit(&["um", "µm", "μm"],   Dimension::Length,        0.0,     1.0, 1_000_000.0),
    unit(&["in"],               Dimension::Length,        0.0,   254.0,    10_000.0),
    unit(&["ft"],               Dimension::Length,        0.0, 3_048.0,    10_000.0),
    unit(&["s"],                Dimension::Time,          0.0,     1.0,         1.0),
    unit(&["min"],              Dimension::Time,          0.0,    60.0,         1.0),
    unit(&["h"],                Dimension::Time,          0.0, 3_600.0,         1.0),
    unit(&["m/s"],              Dimension::Speed,         0.0,     1.0,         1.0),
    unit(&["cm/s"],             Dimension::Speed,         0.0,     1.0,       100.0),
    unit(&["m/min"],            Dimension::Speed,         0.0,     1.0,        60.0),
    unit(&["ft/s"],             Dimension::Speed,         0.0, 3_048.0,    10_000.0),
    unit(&["ft/min"],           Dimension::Speed,         0.0, 3_048.0,   600_000.0),
    unit(&["°C", "C"],          Dimension::Temperature,   0.0,     1.0,         1.0),
    unit(&["°F", "F"],          Dimension::Temperature, -32.0,     5.0,         9.0),
    unit(&["K"],                Dimension::Warmth,        0.0,     1.0,         1.0),
    unit(&["°C", "C"],          Dimension::Warmth,        0.0,     1.0,         1.0),
    unit(&["°F", "F"],          Dimension::Warmth,        0.0,     5.0,         9.0),
    unit(&["L"],                Dimension::Volume,        0.0,     1.0,         1.0),
    unit(&["mL"],               Dimension::Volume,        0.0,     1.0,     1_000.0),
    unit(&["gal"],              Dimension::Volume,        0.0, 3_785_411_784.0, 1e9),
    unit(&["L/s"],              Dimension::Flow,          0.0,     1.0,         1.0),
    unit(&["L/min"],            Dimension::Flow,          0.0,     1.0,        60.0),
    unit(&["L/h"],              Dimension::Flow,          0.0,     1.0,     3_600.0),
    unit(&["gal/min"],          Dimension::Flow,          0.0, 3_785_411_784.0, 60e9),
    unit(&["gal/h"],            Dimension::Flow,          0.0, 3_785_411_784.0, 3_600e9),
    unit(&["W"],                Dimension::Power,         0.0,     1.0,         1.0),
    unit(&["kW"],               Dimension::Power,         0.0, 1_000.0,         1.0),
    unit(&["kg"],               Dimension::Mass,          0.0,     1.0,         1.0),
    unit(&["g"],                Dimension::Mass,          0.0,     1.0,     1_000.0),
    unit(&["lb"],               Dimension::Mass,          0.0, 45_359_237.0,    1e8),
    unit(&["oz"],               Dimension::Mass,          0.0, 28_349_523_125.0, 1e12),
    unit(&["g/L"],              Dimension::Dose,          0.0,     1.0,         1.0),
    unit(&["mg/L"],             Dimension::Dose,          0.0,     1.0,     1_000.0),
    unit(&["mL/L"],             Dimension::Part,          0.0,     1.0,     1_000.0),
];

impl Unit {
    /// The SI value of a value in this unit.
    #[must_use]
    pub fn to_si(&self, value: f64) -> f64 {
        (value + self.plus) * self.times / self.over
    }

    /// The value in this unit of an SI value.
    #[must_use]
    pub fn from_si(&self, si: f64) -> f64 {
        si * self.over / self.times - self.plus
    }
}

impl Dimension {
    /// In words, with its article.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Time => "a time",
            Self::Speed => "a speed",
            Self::Temperature => "a temperature",
            Self::Warmth => "a difference of temperature",
            Self::Volume => "a volume",
            Self::Flow => "a flow",
            Self::Power => "a power",
            Self::Mass => "a mass",
            Self::Dose => "a dose",
            Self::Part => "a part by volume",
        }
    }

    /// Its units.
    pub fn units(self) -> impl Iterator<Item = &'static Unit> {
        UNITS.iter().filter(move |u| u.dimension == self)
    }

    /// Its units in words: "s, min or h".
    #[must_use]
    pub fn units_in_words(self) -> String {
        let names: Vec<&str> = self.units().map(|u| u.names[0]).collect();
        either(&names)
    }

    /// A regular expression for a number with one of its units, as JSON Schema takes it; of times also
    /// for one in two parts.
    #[must_use]
    pub fn pattern(self) -> String {
        let names: Vec<&str> = self.units().flat_map(|u| u.names).copied().collect();
        let one = format!(
            r"[+-]?[0-9]+(\.[0-9]+)?([eE][+-]?[0-9]+)?\s*({})",
            names.join("|")
        );
        if self == Self::Time {
            let below_60 = r"[0-5]?[0-9](\.[0-9]+)?";
            let two = format!(r"[0-9]+\s*(h\s*{below_60}\s*min|min\s*{below_60}\s*s)");
            return format!(r"^\s*({one}|{two})\s*$");
        }
        format!(r"^\s*{one}\s*$")
    }
}

/// "a, b or c".
#[must_use]
pub fn either(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [one] => (*one).to_string(),
        [most @ .., last] => format!("{} or {last}", most.join(", ")),
    }
}

/// The unit of that name; of two of the same name that of the dimension asked for.
#[must_use]
pub fn find(name: &str, dimension: Dimension) -> Option<&'static Unit> {
    let is_named = |unit: &&Unit| unit.names.contains(&name);
    let others = || UNITS.iter().find(is_named);
    dimension.units().find(is_named).or_else(others)
}

/// Why a text is no quantity.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Wrong {
    /// It does not start with a number.
    NoNumber,
    /// The number has a decimal comma.
    Comma,
    /// A number without a unit.
    NoUnit,
    /// Not a unit we know.
    UnknownUnit(String),
    /// A unit of something else.
    OtherDimension(String, Dimension),
}

/// The SI value of a text such as `"20 in"`; a time may have two parts, as `"1 h 30 min"`.
///
/// # Errors
/// Says what stands where the number or the unit should be.
pub fn quantity(text: &str, dimension: Dimension) -> Result<f64, Wrong> {
    if dimension == Dimension::Time
        && let Some(seconds) = two_parts(text)
    {
        return Ok(seconds);
    }
    let (number, rest) = number_and_rest(text.trim());
    let Ok(value) = number.parse::<f64>() else {
        return Err(Wrong::NoNumber);
    };
    let unit_text = rest.trim();
    if unit_text.is_empty() {
        return Err(Wrong::NoUnit);
    }
    if unit_text.starts_with([',', '.']) {
        return Err(if unit_text.starts_with(',') {
            Wrong::Comma
        } else {
            Wrong::NoNumber
        });
    }
    let unit =
        find(unit_text, dimension).ok_or_else(|| Wrong::UnknownUnit(unit_text.to_string()))?;
    if unit.dimension != dimension {
        return Err(Wrong::OtherDimension(unit_text.to_string(), unit.dimension));
    }
    Ok(unit.to_si(value))
}

/// Seconds of whole hours and minutes, or whole minutes and seconds, the second part below 60.
fn two_parts(text: &str) -> Option<f64> {
    let text = text.trim();
    let (large, rest) = text.split_at(text.find(|c: char| !c.is_ascii_digit())?);
    let rest = rest.trim_start();
    let (large_s, small_s, rest, small_unit) = if let Some(rest) = rest.strip_prefix("min") {
        (60.0, 1.0, rest, "s")
    } else {
        (3_600.0, 60.0, rest.strip_prefix('h')?, "min")
    };
    let small = rest.trim().strip_suffix(small_unit)?.trim_end();
    let (whole, part) = small.split_once('.').unwrap_or((small, "0"));
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    if !digits(large) || !digits(whole) || !digits(part) || whole.len() > 2 {
        return None;
    }
    let (large, small) = (large.parse::<f64>().ok()?, small.parse::<f64>().ok()?);
    (small < 60.0).then_some(large * large_s + small * small_s)
}

/// Splits `"1.5 h"` after the number.
fn number_and_rest(text: &str) -> (&str, &str) {
    let bytes = text.as_bytes();
    let digits = |mut at: usize| {
        while bytes.get(at).is_some_and(u8::is_ascii_digit) {
            at += 1;
        }
        at
    };
    let sign = usize::from(matches!(bytes.first(), Some(b'+' | b'-')));
    let mut end = digits(sign);
    if bytes.get(end) == Some(&b'.') && digits(end + 1) > end + 1 {
        end = digits(end + 1);
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let power = end + 1 + usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        if digits(power) > power {
            end = digits(power);
        }
    }
    text.split_at(end)
}

/// A share: a number, or text such as `"30 %"`.
#[must_use]
pub fn percent(text: &str) -> Option<f64> {
    let (number, rest) = number_and_rest(text.trim());
    let value = number.parse::<f64>().ok()?;
    (rest.trim() == "%").then_some(value / 100.0)
}

/// Regular expression of a percentage, as JSON Schema takes it.
pub const PERCENT_PATTERN: &str = r"^\s*[+-]?[0-9]+(\.[0-9]+)?([eE][+-]?[0-9]+)?\s*%\s*$";

/// Regular expression of a time of day, as JSON Schema takes it.
pub const CLOCK_PATTERN: &str =
    r"^\s*(([01]?[0-9]|2[0-3]):[0-5][0-9](:[0-5][0-9])?|24:00(:00)?)\s*$";

/// Seconds after midnight of `"18:30"` or `"18:30:15"`; 24:00 is midnight.
#[must_use]
pub fn clock(text: &str) -> Option<f64> {
    let parts: Vec<&str> = text.trim().split(':').collect();
    let (hour, minute, second) = match parts[..] {
        [h, m] => (h, m, "00"),
        [h, m, s] => (h, m, s),
        _ => return None,
    };
    let well_formed = (1..=2).contains(&hour.len()) && minute.len() == 2 && second.len() == 2;
    let all_digits = [hour, minute, second]
        .iter()
        .all(|p| p.bytes().all(|b| b.is_ascii_digit()));
    if !well_formed || !all_digits {
        return None;
    }
    let (h, m, s) = (
        hour.parse::<u32>().ok()?,
        minute.parse::<u32>().ok()?,
        second.parse::<u32>().ok()?,
    );
    let seconds = h * 3600 + m * 60 + s;
    (m < 60 && s < 60 && seconds <= 86_400).then(|| f64::from(seconds % 86_400))
}

/// Hours before the opening that a time of day may lie; the other 18 are after it.
pub const BEFORE_OPENING_S: f64 = 6.0 * 3600.0;
/// A day, s.
pub const DAY_S: f64 = 86_400.0;

/// The time of day, in [opens − 6 h, opens + 18 h), that shows `clock_s` on the clock.
///
/// So a closing at 01:30 after an opening at 18:00 is 91 800 s.
#[must_use]
pub fn in_window(clock_s: f64, opens_s: f64) -> f64 {
    let start = opens_s - BEFORE_OPENING_S;
    start + (clock_s - start).rem_euclid(DAY_S)
}

/// `"18:30"` of seconds after midnight of the opening day; seconds only if there are any.
#[must_use]
pub fn clock_text(seconds: f64) -> String {
    let whole = seconds.round().rem_euclid(86_400.0);
    let (h, m, s) = (
        (whole / 3600.0).floor(),
        (whole / 60.0).floor() % 60.0,
        whole % 60.0,
    );
    if s > 0.0 {
        format!("{h:02}:{m:02}:{s:02}")
    } else {
        format!("{h:02}:{m:02}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn conversions_are_exact() {
        let cases = [
            ("20 in", Dimension::Length, 0.508),
            ("1 ft", Dimension::Length, 0.3048),
            ("150 um", Dimension::Length, 0.000_15),
            ("150µm", Dimension::Length, 0.000_15),
            ("6 ft/min", Dimension::Speed, 0.030_48),
            ("1.7 m/min", Dimension::Speed, 1.7 / 60.0),
            ("160 °F", Dimension::Temperature, 640.0 / 9.0),
            ("-40 F", Dimension::Temperature, -40.0),
            ("71 °C", Dimension::Temperature, 71.0),
            ("10 K", Dimension::Warmth, 10.0),
            ("10 °C", Dimension::Warmth, 10.0),
            ("18 °F", Dimension::Warmth, 10.0),
            ("1.5 h", Dimension::Time, 5400.0),
            ("1e2 s", Dimension::Time, 100.0),
            ("1 h 30 min", Dimension::Time, 5_400.0),
            (" 2min30s ", Dimension::Time, 150.0),
            ("3 h 0.5 min", Dimension::Time, 10_830.0),
            ("90 min 5.25 s", Dimension::Time, 5_405.25),
        ];
        for (text, dimension, si) in cases {
            assert_eq!(quantity(text, dimension), Ok(si), "{text}");
        }
    }

    #[test]
    fn what_is_no_quantity_says_why() {
        let wrong = |text| quantity(text, Dimension::Time).unwrap_err();
        assert_eq!(wrong("soon"), Wrong::NoNumber);
        assert_eq!(wrong(""), Wrong::NoNumber);
        assert_eq!(wrong("3"), Wrong::NoUnit);
        assert_eq!(wrong("1,5 h"), Wrong::Comma);
        assert_eq!(wrong("3 secs"), Wrong::UnknownUnit("secs".into()));
        assert_eq!(
            wrong("3 in"),
            Wrong::OtherDimension("in".into(), Dimension::Length)
        );
        assert_eq!(wrong("1.2.3 s"), Wrong::NoNumber);
        for two in [
            "1 h 60 min",
            "1 h 30 s",
            "30 min 1 h",
            "1.5 h 30 min",
            "1 h -5 min",
            "1 h 5 min 3 s",
            "1 h min",
        ] {
            assert!(matches!(wrong(two), Wrong::UnknownUnit(_)), "{two}");
        }
        let kelvin = quantity("340 K", Dimension::Temperature);
        let other = Wrong::OtherDimension("K".into(), Dimension::Warmth);
        assert_eq!(kelvin, Err(other));
        let length = quantity("1 ft 30 min", Dimension::Length);
        assert!(length.is_err());
    }

    #[test]
    fn clocks() {
        assert_eq!(clock("18:30"), Some(66_600.0));
        assert_eq!(clock("1:30"), Some(5_400.0));
        assert_eq!(clock("24:00"), Some(0.0));
        for wrong in [
            "25:00", "18.30", "18:60", "noon", "", "18", "24:01", "-1:30", "+1:30",
        ] {
            assert_eq!(clock(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn a_service_may_run_past_midnight() {
        let opens = 18.0 * 3600.0;
        assert_eq!(in_window(5_400.0, opens), 91_800.0);
        assert_eq!(in_window(12.0 * 3600.0, opens), 12.0 * 3600.0);
        assert_eq!(in_window(12.0 * 3600.0 - 60.0, opens), 36.0 * 3600.0 - 60.0);
        assert_eq!(clock_text(91_800.0), "01:30");
    }
}
