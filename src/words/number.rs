//! Numbers as a person reads them, in tables and sentences alike: no more digits than the interval supports.

/// A finite value, or nothing: NaN and the infinities never leave the program.
pub fn finite(value: Option<f64>) -> Option<f64> {
    value.filter(|v| v.is_finite())
}

/// Decimals that a half-width supports: its second digit if it begins with 1, else its first.
/// Below 0 whole digits are rounded away. A missing or a zero half-width gives `most`; only a half-width
/// that would then round to nothing is worth one more.
pub fn decimals(half_width: Option<f64>, most: i32) -> i32 {
    let Some(h) = finite(half_width).filter(|h| *h > 0.0) else {
        return most;
    };
    let magnitude = libm::floor(libm::log10(h)) as i32;
    let first = (h / libm::pow(10.0, f64::from(magnitude))) as i32;
    let digits = if first <= 1 { 1 } else { 0 };
    let is_lost = h < 0.5 * libm::pow(10.0, f64::from(-most));
    (digits - magnitude).min(most + i32::from(is_lost))
}

/// `value` to `decimals` places (whole tens, hundreds below 0), thousands set apart; `-` if missing.
pub fn text(value: Option<f64>, decimals: i32) -> String {
    finite(value).map_or_else(|| "-".to_owned(), |v| rounded(v, decimals))
}

fn rounded(value: f64, decimals: i32) -> String {
    let scale = libm::pow(10.0, f64::from((-decimals).max(0)));
    let places = usize::try_from(decimals).unwrap_or(0);
    let plain = format!("{:.places$}", libm::round(value / scale) * scale);
    let plain = if decimals > 0 {
        format!("{value:.places$}")
    } else {
        plain
    };
    let is_zero = !plain.contains(|c| ('1'..='9').contains(&c));
    grouped(if is_zero {
        plain.trim_start_matches('-')
    } else {
        &plain
    })
}

/// Thousands set apart from 10 000 on.
fn grouped(plain: &str) -> String {
    let (sign, rest) = plain.split_at(usize::from(plain.starts_with('-')));
    let (whole, fraction) = rest.split_at(rest.find('.').unwrap_or(rest.len()));
    if whole.len() < 5 {
        return plain.to_owned();
    }
    let mut out = String::from(sign);
    for (i, digit) in whole.chars().enumerate() {
        if i > 0 && (whole.len() - i) % 3 == 0 {
            out.push(',');
        }
        out.push(digit);
    }
    out + fraction
}

/// Decimals beyond those that half-widths support, where two values would read the same and must not.
const MORE_DECIMALS: i32 = 3;

/// Two values, each to the decimals that its half-width supports; with more if they would read the same and must not.
pub fn pair(
    values: [Option<f64>; 2],
    half_widths: [Option<f64>; 2],
    most: i32,
    apart: bool,
) -> [String; 2] {
    let places = half_widths.map(|half_width| decimals(half_width, most));
    let written = |more: i32| [0, 1].map(|at: usize| text(values[at], places[at] + more));
    let usual = written(0);
    if !apart || usual[0] != usual[1] {
        return usual;
    }
    let mut finer = (1..=MORE_DECIMALS).map(written);
    finer.find(|[one, other]| one != other).unwrap_or(usual)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_stop_where_the_interval_does() {
        let cases = [
            (Some(0.034), 4, 2),
            (Some(0.012), 4, 3),
            (Some(2.3), 1, 0),
            (Some(1.4), 3, 1),
            (Some(0.06), 1, 1),
            (Some(0.44), 0, 1),
            (Some(0.004), 1, 2),
            (Some(340.0), 0, -2),
            (Some(0.0), 2, 2),
            (None, 2, 2),
            (Some(f64::NAN), 2, 2),
        ];
        for (half_width, most, expected) in cases {
            assert_eq!(decimals(half_width, most), expected, "{half_width:?}");
        }
    }

    #[test]
    fn two_values_that_differ_read_differently() {
        let of = |values: [f64; 2], apart| pair(values.map(Some), [Some(2.0); 2], 1, apart);
        assert_eq!(of([17.23, 17.31], true), ["17.2", "17.3"]);
        assert_eq!(of([17.23, 17.31], false), ["17", "17"]);
        assert_eq!(of([28.4, 46.2], true), ["28", "46"]);
        assert_eq!(of([28.4, 28.4], true), ["28", "28"]);
    }

    #[test]
    fn numbers_read_well() {
        assert_eq!(text(Some(12_345.0), -1), "12,350");
        assert_eq!(text(Some(1_234_567.8), 1), "1,234,567.8");
        assert_eq!(text(Some(9_999.0), 0), "9999");
        assert_eq!(text(Some(-0.04), 1), "0.0");
        assert_eq!(text(Some(-12_345.0), 0), "-12,345");
        assert_eq!(text(Some(0.25), 2), "0.25");
        assert_eq!(text(None, 2), "-");
        assert_eq!(text(Some(f64::INFINITY), 2), "-");
    }
}
