//! Numbers as a person reads them: no more digits than the interval supports.

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

/// A mean and what stands after its ±. One that would be written as nothing, and is not, is less than a step: no
/// interval goes with that.
pub(super) fn mean_text(
    mean: Option<f64>,
    half_width: Option<f64>,
    places: i32,
) -> (String, Option<String>) {
    let step = libm::pow(10.0, f64::from(-places));
    match (finite(mean), finite(half_width)) {
        (Some(value), Some(h)) if value != 0.0 && value.abs() < 0.5 * step && h < 0.5 * step => {
            let sign = if value > 0.0 { "<" } else { ">-" };
            (format!("{sign}{}", text(Some(step), places)), None)
        }
        (mean, half_width) => (text(mean, places), half_width_text(half_width, places)),
    }
}

/// To three digits at most: what a pencil works out from means is known no better.
pub(super) fn planned(value: Option<f64>, decimals: i32) -> String {
    let whole = finite(value).filter(|value| *value != 0.0);
    let most = whole.map_or(decimals, |value| {
        2 - libm::floor(libm::log10(value.abs())) as i32
    });
    text(value, decimals.min(most))
}

/// A half-width as it stands after ±; one that would round to nothing is said to be less than a step.
/// None where there is none, or where it is 0: no evening differed, which is no proof that none ever does.
pub(super) fn half_width_text(half_width: Option<f64>, places: i32) -> Option<String> {
    let h = finite(half_width).filter(|h| *h > 0.0)?;
    let step = libm::pow(10.0, f64::from(-places));
    Some(if h < 0.5 * step {
        format!("<{}", text(Some(step), places))
    } else {
        text(Some(h), places)
    })
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
    fn a_half_width_is_never_0() {
        let cases = [
            (Some(0.34), 2, Some("0.34")),
            (Some(0.004), 2, Some("<0.01")),
            (Some(0.0), 2, None),
            (Some(f64::NAN), 2, None),
            (None, 2, None),
        ];
        for (half_width, places, expected) in cases {
            assert_eq!(half_width_text(half_width, places).as_deref(), expected);
        }
    }

    #[test]
    fn what_is_nearly_nothing_is_not_nothing_give_or_take_nothing() {
        let of = |mean, half| mean_text(Some(mean), Some(half), 1);
        assert_eq!(of(0.01, 0.01), ("<0.1".to_owned(), None));
        assert_eq!(of(-0.01, 0.01), (">-0.1".to_owned(), None));
        assert_eq!(of(0.0, 0.0), ("0.0".to_owned(), None));
        assert_eq!(of(0.01, 0.3), ("0.0".to_owned(), Some("0.3".to_owned())));
    }

    #[test]
    fn a_pencil_gives_three_digits() {
        let of = |value, decimals| planned(Some(value), decimals);
        assert_eq!(of(14.34, 2), "14.3");
        assert_eq!(of(218.19, 2), "218");
        assert_eq!(of(13_313.0, 0), "13,300");
        assert_eq!(of(0.84, 2), "0.84");
        assert_eq!(of(3.0, 0), "3");
        assert_eq!(of(0.0, 1), "0.0");
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
