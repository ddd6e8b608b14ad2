//! The embedded font: the same letters in every PNG, and the widths every layout reckons with.
//!
//! Open Sans (Apache License 2.0, see `font/LICENSE.txt`), cut down to Latin letters, figures and a few
//! signs. An SVG names it first and then others of about its width; layouts leave room for a wider one.

use ab_glyph::{Font, FontRef, OutlineCurve};
use std::sync::OnceLock;

/// Families an SVG asks for, the embedded one first.
pub const FAMILY: &str = "'Open Sans', 'Noto Sans', 'DejaVu Sans', Verdana, sans-serif";

/// Room that a substitute may take beyond the embedded font.
pub const SUBSTITUTE: f64 = 1.16;

static REGULAR: &[u8] = include_bytes!("font/OpenSans-Regular.ttf");
static BOLD: &[u8] = include_bytes!("font/OpenSans-Bold.ttf");

/// A face, or none if the embedded bytes were no font, which a test excludes.
fn face(bold: bool) -> Option<&'static FontRef<'static>> {
    static FACES: OnceLock<[Option<FontRef<'static>>; 2]> = OnceLock::new();
    let load = |bytes| FontRef::try_from_slice(bytes).ok();
    FACES.get_or_init(|| [load(REGULAR), load(BOLD)])[usize::from(bold)].as_ref()
}

/// One glyph of a line of text: its outline in font units, and how to place it.
pub struct Placed {
    /// Curves, in font units, upwards.
    pub curves: Vec<OutlineCurve>,
    /// Right of the start of the text, in px.
    pub x: f64,
    /// Pixels to a font unit.
    pub scale: f64,
}

/// The glyphs of `text` set in `em` px.
pub fn glyphs(text: &str, em: f64, bold: bool) -> Vec<Placed> {
    let mut placed = Vec::new();
    walk(text, em, bold, |font, id, x, scale| {
        if let Some(outline) = font.outline(id) {
            let curves = outline.curves;
            placed.push(Placed { curves, x, scale });
        }
    });
    placed
}

/// Width of `text` set in `em` px, in the embedded font.
pub fn width(text: &str, em: f64, bold: bool) -> f64 {
    walk(text, em, bold, |_, _, _, _| ())
}

fn walk(
    text: &str,
    em: f64,
    bold: bool,
    mut each: impl FnMut(&FontRef<'static>, ab_glyph::GlyphId, f64, f64),
) -> f64 {
    let Some(font) = face(bold) else { return 0.0 };
    let scale = em / f64::from(font.units_per_em().unwrap_or(2048.0));
    let mut x = 0.0;
    let mut before = None;
    for c in text.chars() {
        let id = font.glyph_id(c);
        if let Some(before) = before {
            x += scale * f64::from(font.kern_unscaled(before, id));
        }
        each(font, id, x, scale);
        x += scale * f64::from(font.h_advance_unscaled(id));
        before = Some(id);
    }
    x
}

/// `text`, or its beginning and …, such that even a substitute font fits into `room` px. Control
/// characters, which no SVG may hold, are left out.
pub fn fitted(text: &str, em: f64, bold: bool, room: f64) -> String {
    let clean: String = text.chars().filter(|c| !c.is_control()).collect();
    if SUBSTITUTE * width(&clean, em, bold) <= room {
        return clean;
    }
    let mut kept: Vec<char> = clean.chars().collect();
    loop {
        let shorter: String = kept.iter().collect::<String>().trim_end().to_owned() + "…";
        if kept.is_empty() || SUBSTITUTE * width(&shorter, em, bold) <= room {
            return shorter;
        }
        kept.pop();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_faces_hold_the_signs_that_charts_use() {
        for bold in [false, true] {
            let font = face(bold).unwrap();
            for c in "Aé09 –±°µ×≤≥…%".chars() {
                assert_ne!(font.glyph_id(c).0, 0, "{c}");
            }
        }
        assert!(width("wide", 18.0, true) > width("wide", 18.0, false));
    }

    #[test]
    fn long_titles_end_in_an_ellipsis_and_fit() {
        let long = fitted(&"Friday rush ".repeat(20), 28.0, true, 600.0);
        assert!(long.ends_with('…') && width(&long, 28.0, true) <= 600.0);
        assert_eq!(fitted("short", 28.0, true, 600.0), "short");
        assert_eq!(fitted("bell\u{7}", 28.0, true, 600.0), "bell");
        assert_eq!(fitted("anything", 28.0, true, 1.0), "…");
    }
}
