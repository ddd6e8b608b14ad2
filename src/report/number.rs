//! Numbers as a person reads them: no more digits than the interval supports.

pub use crate::words::number::{decimals, finite, text};

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
}
