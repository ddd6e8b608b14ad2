//! A plotters backend onto an antialiasing rasteriser, for the PNGs.
//!
//! Coordinates come in fractions of a pixel ([`FINE`] to a pixel), as they do on the SVG backend, so
//! that one drawing gives the same picture in both formats.

use super::font;
use plotters_backend::text_anchor::HPos;
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind,
    FontStyle,
};
use tiny_skia::{FillRule, LineJoin, Paint, Path, PathBuilder, Pixmap, Rect, Stroke, Transform};

/// Backend coordinates to a pixel.
pub const FINE: f64 = 4.0;

/// Where the first line of text stands under its coordinate, in em: as on plotters' SVG backend.
pub const TOP_TO_BASELINE: f64 = 0.76;

/// plotters' text size to its em, as on its SVG backend.
pub const SIZE_TO_EM: f64 = 1.24;

/// What tiny-skia refused.
#[derive(Debug)]
pub struct Refused;

impl std::fmt::Display for Refused {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("the rasteriser refused a shape")
    }
}

impl std::error::Error for Refused {}

type Drawn = Result<(), DrawingErrorKind<Refused>>;

/// Draws onto pixels.
pub struct Raster<'a> {
    pixels: &'a mut Pixmap,
}

impl<'a> Raster<'a> {
    /// A backend that draws onto `pixels`.
    pub fn new(pixels: &'a mut Pixmap) -> Self {
        Self { pixels }
    }

    /// Without corners there is nothing to rasterise: most shapes of a chart are rectangles.
    fn rect(&mut self, (left, top): (f32, f32), (right, bottom): (f32, f32), color: BackendColor) {
        if let Some(rect) = Rect::from_ltrb(left, top, right, bottom) {
            let transform = Transform::identity();
            self.pixels.fill_rect(rect, &paint(color), transform, None);
        }
    }

    fn fill(&mut self, path: &Path, color: BackendColor) {
        let transform = Transform::identity();
        self.pixels
            .fill_path(path, &paint(color), FillRule::Winding, transform, None);
    }

    fn stroke(&mut self, path: &Path, color: BackendColor, width: u32) {
        let stroke = Stroke {
            width: (f64::from(width) / FINE) as f32,
            line_join: LineJoin::Round,
            ..Stroke::default()
        };
        let transform = Transform::identity();
        self.pixels
            .stroke_path(path, &paint(color), &stroke, transform, None);
    }
}

fn paint(color: BackendColor) -> Paint<'static> {
    let mut paint = Paint::default();
    let (r, g, b) = color.rgb;
    let alpha = (color.alpha.clamp(0.0, 1.0) * 255.0) as u8;
    paint.set_color_rgba8(r, g, b, alpha);
    paint
}

fn pixel(fine: i32) -> f32 {
    (f64::from(fine) / FINE) as f32
}

/// The upper left and the lower right corner of a rectangle with upright sides, if `points` are one.
fn corners(points: &[BackendCoord]) -> Option<((f32, f32), (f32, f32))> {
    let [a, b, c, d] = *points else { return None };
    let is_level_first = a.1 == b.1 && b.0 == c.0 && c.1 == d.1 && d.0 == a.0;
    let is_upright_first = a.0 == b.0 && b.1 == c.1 && c.0 == d.0 && d.1 == a.1;
    let least = (pixel(a.0.min(c.0)), pixel(a.1.min(c.1)));
    let most = (pixel(a.0.max(c.0)), pixel(a.1.max(c.1)));
    (is_level_first || is_upright_first).then_some((least, most))
}

/// A path through `points`; none if there is nothing to draw.
fn path(points: impl IntoIterator<Item = BackendCoord>, close: bool) -> Option<Path> {
    let mut builder = PathBuilder::new();
    for (i, (x, y)) in points.into_iter().enumerate() {
        if i == 0 {
            builder.move_to(pixel(x), pixel(y));
        } else {
            builder.line_to(pixel(x), pixel(y));
        }
    }
    if close && !builder.is_empty() {
        builder.close();
    }
    builder.finish()
}

impl DrawingBackend for Raster<'_> {
    type ErrorType = Refused;

    fn get_size(&self) -> (u32, u32) {
        let fine = |size: u32| (f64::from(size) * FINE) as u32;
        (fine(self.pixels.width()), fine(self.pixels.height()))
    }

    fn ensure_prepared(&mut self) -> Drawn {
        Ok(())
    }

    fn present(&mut self) -> Drawn {
        Ok(())
    }

    fn draw_pixel(&mut self, (x, y): BackendCoord, color: BackendColor) -> Drawn {
        let corners = [(x, y), (x + 1, y), (x + 1, y + 1), (x, y + 1)];
        if let Some(path) = path(corners, true) {
            self.fill(&path, color);
        }
        Ok(())
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        points: I,
        style: &S,
    ) -> Drawn {
        let points: Vec<BackendCoord> = points.into_iter().collect();
        let (color, width) = (style.color(), style.stroke_width());
        if let [from, to] = points[..]
            && (from.0 == to.0 || from.1 == to.1)
        {
            let half = (f64::from(width) / FINE / 2.0) as f32;
            let (across, along) = if from.0 == to.0 {
                (half, 0.0)
            } else {
                (0.0, half)
            };
            let least = (
                pixel(from.0.min(to.0)) - across,
                pixel(from.1.min(to.1)) - along,
            );
            let most = (
                pixel(from.0.max(to.0)) + across,
                pixel(from.1.max(to.1)) + along,
            );
            self.rect(least, most, color);
        } else if let Some(path) = path(points, false) {
            self.stroke(&path, color, width);
        }
        Ok(())
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        points: I,
        style: &S,
    ) -> Drawn {
        let points: Vec<BackendCoord> = points.into_iter().collect();
        if let Some((least, most)) = corners(&points) {
            self.rect(least, most, style.color());
        } else if let Some(path) = path(points, true) {
            self.fill(&path, style.color());
        }
        Ok(())
    }

    fn draw_text<S: BackendTextStyle>(
        &mut self,
        text: &str,
        style: &S,
        (x, y): BackendCoord,
    ) -> Drawn {
        let em = style.size() / SIZE_TO_EM / FINE;
        let bold = matches!(style.style(), FontStyle::Bold);
        let width = font::width(text, em, bold);
        let left = match style.anchor().h_pos {
            HPos::Left => 0.0,
            HPos::Center => -0.5 * width,
            HPos::Right => -width,
        };
        let x = f64::from(x) / FINE + left;
        let baseline = f64::from(y) / FINE + TOP_TO_BASELINE * em;
        let paint = paint(style.color());
        for glyph in font::glyphs(text, em, bold) {
            let (scale, x) = (glyph.scale as f32, (x + glyph.x) as f32);
            let place = Transform::from_row(scale, 0.0, 0.0, -scale, x, baseline as f32);
            self.pixels
                .fill_path(glyph.path, &paint, FillRule::Winding, place, None);
        }
        Ok(())
    }
}
