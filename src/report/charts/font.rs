//! The embedded font: the same letters in every PNG, and the widths every layout uses.
//!
//! Open Sans (Apache License 2.0, see `font/LICENSE.txt`), cut down to Latin letters, figures and a few
//! signs. An SVG names it first and then others of about its width; layouts leave room for a wider one.

use skrifa::charmap::Charmap;
use skrifa::instance::{LocationRef, Size};
use skrifa::outline::{DrawSettings, OutlineGlyphCollection, OutlinePen};
use skrifa::raw::TableProvider;
use skrifa::raw::tables::kern::SubtableKind;
use skrifa::{FontRef, GlyphId, MetadataProvider};
use std::sync::OnceLock;
use tiny_skia::{Path, PathBuilder};

/// Families an SVG asks for, the embedded one first.
pub const FAMILY: &str = "'Open Sans', 'Noto Sans', 'DejaVu Sans', Verdana, sans-serif";

/// Room that a substitute may take beyond the embedded font.
pub const SUBSTITUTE: f64 = 1.16;

static REGULAR: &[u8] = include_bytes!("font/OpenSans-Regular.ttf");
static BOLD: &[u8] = include_bytes!("font/OpenSans-Bold.ttf");

/// What is read of a font file, all in font units. The reader is slow, so each thing is read from it once.
struct Face {
    letters: Charmap<'static>,
    /// Glyphs of the plain letters, which nearly all text is made of.
    ascii: Vec<GlyphId>,
    /// By glyph.
    advances: Vec<f64>,
    /// Pairs of glyphs, rising, with what is added between the two.
    kerning: Vec<(u32, f64)>,
    outlines: OutlineGlyphCollection<'static>,
    /// By glyph, read when first drawn.
    paths: Vec<OnceLock<Option<Path>>>,
    units_per_em: f64,
}

impl Face {
    fn read(bytes: &'static [u8]) -> Option<Self> {
        let font = FontRef::new(bytes).ok()?;
        let units = font.head().ok()?.units_per_em();
        let glyphs = u32::from(font.maxp().ok()?.num_glyphs());
        let metrics = font.glyph_metrics(Size::unscaled(), LocationRef::default());
        let advance = |glyph| metrics.advance_width(GlyphId::new(glyph));
        let letters = font.charmap();
        let ascii = (0..128_u8).map(|byte| letters.map(byte).unwrap_or_default());
        Some(Self {
            ascii: ascii.collect(),
            letters,
            advances: (0..glyphs)
                .map(|glyph| f64::from(advance(glyph).unwrap_or_default()))
                .collect(),
            kerning: pairs(&font),
            outlines: font.outline_glyphs(),
            paths: (0..glyphs).map(|_| OnceLock::new()).collect(),
            units_per_em: f64::from(units),
        })
    }

    /// The glyph of a letter; the box of a missing one where the font has none.
    fn glyph(&self, letter: char) -> GlyphId {
        let plain = self.ascii.get(letter as usize).copied();
        plain.unwrap_or_else(|| self.letters.map(letter).unwrap_or_default())
    }

    fn advance(&self, glyph: GlyphId) -> f64 {
        let advance = self.advances.get(glyph.to_u32() as usize);
        advance.copied().unwrap_or_default()
    }

    /// How much further apart two glyphs stand than their advances say.
    fn between(&self, left: Option<GlyphId>, right: GlyphId) -> f64 {
        let found = left.and_then(|left| {
            let key = pair(left.to_u32(), right.to_u32());
            let at = self.kerning.binary_search_by_key(&key, |entry| entry.0);
            at.ok().map(|at| self.kerning[at].1)
        });
        found.unwrap_or_default()
    }

    /// The outline of a glyph, in font units, upwards; none if there is nothing to fill.
    fn path(&self, glyph: GlyphId) -> Option<&Path> {
        let slot = self.paths.get(glyph.to_u32() as usize)?;
        slot.get_or_init(|| {
            let mut pen = Pen(PathBuilder::new());
            let plain = DrawSettings::unhinted(Size::unscaled(), LocationRef::default());
            // An outline that cannot be read is left out; both embedded faces are whole, which a test checks.
            self.outlines.get(glyph)?.draw(plain, &mut pen).ok()?;
            pen.0.finish()
        })
        .as_ref()
    }
}

fn pair(left: u32, right: u32) -> u32 {
    left << 16 | right
}

/// The pairs of the first level table of kerning.
fn pairs(font: &FontRef<'static>) -> Vec<(u32, f64)> {
    let level = font.kern().ok().and_then(|tables| {
        let mut tables = tables.subtables().flatten();
        tables.find(|table| table.is_horizontal())
    });
    let Some(Ok(SubtableKind::Format0(table))) = level.map(|level| level.kind()) else {
        return Vec::new();
    };
    let pairs = table.pairs().iter().map(|entry| {
        let key = pair(entry.left().to_u32(), entry.right().to_u32());
        (key, f64::from(entry.value()))
    });
    let mut pairs: Vec<(u32, f64)> = pairs.collect();
    pairs.sort_by_key(|entry| entry.0);
    pairs
}

/// Takes an outline as it comes from the font.
struct Pen(PathBuilder);

impl OutlinePen for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.0.move_to(x, y);
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.0.line_to(x, y);
    }

    fn quad_to(&mut self, by_x: f32, by_y: f32, x: f32, y: f32) {
        self.0.quad_to(by_x, by_y, x, y);
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.0.cubic_to(x1, y1, x2, y2, x, y);
    }

    fn close(&mut self) {
        self.0.close();
    }
}

/// A face, or none if the embedded bytes were no font, which a test excludes.
fn face(bold: bool) -> Option<&'static Face> {
    static FACES: [OnceLock<Option<Face>>; 2] = [OnceLock::new(), OnceLock::new()];
    let bytes = if bold { BOLD } else { REGULAR };
    let slot = &FACES[usize::from(bold)];
    slot.get_or_init(|| Face::read(bytes)).as_ref()
}

/// One glyph of a line of text: its outline in font units, upwards, and how to place it.
pub struct Placed {
    /// The outline.
    pub path: &'static Path,
    /// Right of the start of the text, in px.
    pub x: f64,
    /// Pixels to a font unit.
    pub scale: f64,
}

/// The glyphs of `text` set in `em` px that have anything to fill.
pub fn glyphs(text: &str, em: f64, bold: bool) -> impl Iterator<Item = Placed> {
    let steps = face(bold).map(|face| (face, Walk::new(text, em, face)));
    steps.into_iter().flat_map(|(face, walk)| {
        let scale = walk.scale;
        walk.filter_map(move |step| {
            Some(Placed {
                path: face.path(step.glyph)?,
                x: step.from,
                scale,
            })
        })
    })
}

/// Width of `text` set in `em` px, in the embedded font.
pub fn width(text: &str, em: f64, bold: bool) -> f64 {
    let walk = face(bold).and_then(|face| Walk::new(text, em, face).last());
    walk.map_or(0.0, |last| last.to)
}

/// A letter of a line of text.
struct Step {
    glyph: GlyphId,
    /// Where the letter begins and ends, px.
    from: f64,
    to: f64,
    /// Bytes of the text up to its end.
    bytes: usize,
}

/// Goes along a line of text, letter by letter, and measures no more of it than is asked for.
struct Walk<'a> {
    letters: std::str::CharIndices<'a>,
    face: &'static Face,
    scale: f64,
    x: f64,
    before: Option<GlyphId>,
}

impl<'a> Walk<'a> {
    fn new(text: &'a str, em: f64, face: &'static Face) -> Self {
        Self {
            letters: text.char_indices(),
            face,
            scale: em / face.units_per_em,
            x: 0.0,
            before: None,
        }
    }
}

impl Iterator for Walk<'_> {
    type Item = Step;

    fn next(&mut self) -> Option<Step> {
        let (at, letter) = self.letters.next()?;
        #[cfg(test)]
        tests::MEASURED.with(|count| count.set(count.get() + 1));
        let glyph = self.face.glyph(letter);
        let from = self.x + self.scale * self.face.between(self.before, glyph);
        self.x = from + self.scale * self.face.advance(glyph);
        self.before = Some(glyph);
        Some(Step {
            glyph,
            from,
            to: self.x,
            bytes: at + letter.len_utf8(),
        })
    }
}

const ELLIPSIS: char = '…';

/// `text`, or its beginning and …, such that even a substitute font fits into `room` px. Control
/// characters, which no SVG may hold, are left out. Measures no more letters than find room.
pub fn fitted(text: &str, em: f64, bold: bool, room: f64) -> String {
    let Some(face) = face(bold) else {
        return String::new();
    };
    let clean: String = text.chars().filter(|c| !c.is_control()).collect();
    let fits = |width: f64| SUBSTITUTE * width <= room;
    let mut steps: Vec<Step> = Vec::new();
    for step in Walk::new(&clean, em, face) {
        let is_in = fits(step.to);
        steps.push(step);
        if !is_in {
            break;
        }
    }
    if steps.last().is_none_or(|last| fits(last.to)) {
        return clean;
    }
    let (dots, scale) = (face.glyph(ELLIPSIS), em / face.units_per_em);
    let kept = steps.iter().rev().skip(1).find(|step| {
        let after = face.between(Some(step.glyph), dots) + face.advance(dots);
        fits(step.to + scale * after)
    });
    let kept = kept.map_or("", |step| &clean[..step.bytes]);
    format!("{}{ELLIPSIS}", kept.trim_end())
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::cell::Cell;

    thread_local! {
        /// Letters measured on this thread.
        pub static MEASURED: Cell<usize> = const { Cell::new(0) };
    }

    /// Letters measured while `work` is done.
    fn measured(work: impl FnOnce()) -> usize {
        let before = MEASURED.get();
        work();
        MEASURED.get() - before
    }

    #[test]
    fn a_long_text_is_shortened_without_measuring_what_finds_no_room() {
        for text in ["W", "i", "rush ", "Ä… "] {
            let of = |times| measured(|| drop(fitted(&text.repeat(times), 28.0, true, 600.0)));
            let (short, long) = (of(1_000), of(100_000));
            assert!(long == short && long < 300, "{text}: {short}, {long}");
        }
        let whole = measured(|| drop(fitted("a short title", 28.0, true, 600.0)));
        assert_eq!(whole, 13);
    }

    #[test]
    fn both_faces_hold_the_signs_that_charts_use() {
        for bold in [false, true] {
            let font = face(bold).unwrap();
            for c in "Aé09 –±°µ×≤≥…%".chars() {
                assert_ne!(font.glyph(c), GlyphId::NOTDEF, "{c}");
            }
            assert!(font.between(Some(font.glyph('A')), font.glyph('V')) < 0.0);
            for (_, outline) in font.outlines.iter() {
                let plain = DrawSettings::unhinted(Size::unscaled(), LocationRef::default());
                outline
                    .draw(plain, &mut skrifa::outline::pen::NullPen)
                    .unwrap();
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
