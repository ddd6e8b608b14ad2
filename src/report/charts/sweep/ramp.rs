//! The colours of a heat map: one hue, from nearly white to nearly black, in even steps of lightness, so
//! that every eye and grey print can order them.

use super::super::style::WHITE;
use plotters::style::RGBColor;

/// From least to most; the middle ones are those of bands and medians.
const STOPS: [RGBColor; 6] = [
    RGBColor(0xF4, 0xF9, 0xFC),
    RGBColor(0xBC, 0xDD, 0xF2),
    RGBColor(0x7C, 0xB9, 0xDF),
    RGBColor(0x35, 0x8E, 0xBF),
    RGBColor(0x00, 0x5A, 0x8C),
    RGBColor(0x06, 0x2B, 0x47),
];

/// Ink would not stand out enough amid the range.
const BLACK: RGBColor = RGBColor(0, 0, 0);

/// The colour of a part of the range, 0 to 1.
pub fn color(part: f64) -> RGBColor {
    let part = if part.is_nan() { 0.0 } else { part };
    let place = part.clamp(0.0, 1.0) * (STOPS.len() - 1) as f64;
    let below = (place as usize).min(STOPS.len() - 2);
    let (from, to) = (STOPS[below], STOPS[below + 1]);
    let rest = place - below as f64;
    let mix = |a: u8, b: u8| libm::round(f64::from(a) + rest * (f64::from(b) - f64::from(a))) as u8;
    RGBColor(mix(from.0, to.0), mix(from.1, to.1), mix(from.2, to.2))
}

/// The colour of text on a ground: whichever of black and white stands out more.
pub fn on(ground: RGBColor) -> RGBColor {
    if contrast(ground, BLACK) >= contrast(ground, WHITE) {
        BLACK
    } else {
        WHITE
    }
}

/// Contrast ratio of two colours, 1 to 21 (Web Content Accessibility Guidelines 2.1, "contrast ratio").
fn contrast(a: RGBColor, b: RGBColor) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// Relative luminance, 0 to 1 (the same source).
fn luminance(color: RGBColor) -> f64 {
    let linear = |channel: u8| {
        let part = f64::from(channel) / 255.0;
        if part <= 0.03928 {
            part / 12.92
        } else {
            libm::pow((part + 0.055) / 1.055, 2.4)
        }
    };
    0.2126 * linear(color.0) + 0.7152 * linear(color.1) + 0.0722 * linear(color.2)
}

#[cfg(test)]
mod tests {
    use super::super::super::style::LEAST;
    use super::*;

    /// Lightness, 0 to 100 (CIE 15:2004, L*).
    fn lightness(color: RGBColor) -> f64 {
        116.0 * libm::cbrt(luminance(color)) - 16.0
    }

    #[test]
    fn more_is_darker_in_even_steps() {
        let steps: Vec<f64> = (0..=20)
            .map(|i| lightness(color(f64::from(i) / 20.0)))
            .collect();
        let drops: Vec<f64> = steps.windows(2).map(|w| w[0] - w[1]).collect();
        assert!(drops.iter().all(|d| (2.5..6.0).contains(d)), "{drops:?}");
        assert!(steps[0] > 95.0 && steps[20] < 20.0);
    }

    /// 4.5 is the least for text (Web Content Accessibility Guidelines 2.1, 1.4.3).
    #[test]
    fn text_stands_out_on_every_colour() {
        for i in 0..=1000 {
            let ground = color(f64::from(i) / 1000.0);
            let contrast = contrast(ground, on(ground));
            assert!(contrast >= 4.5, "{i}: {contrast}");
        }
    }

    /// The outline of the target has a white line on either side.
    #[test]
    fn the_outline_stands_out_on_white() {
        assert!(contrast(LEAST, WHITE) >= 3.0);
    }

    #[test]
    fn out_of_range_is_brought_to_the_ends() {
        assert_eq!(color(-3.0), STOPS[0]);
        assert_eq!(color(9.0), STOPS[5]);
        assert_eq!(color(f64::NAN), STOPS[0]);
    }
}
