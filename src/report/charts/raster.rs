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
use skrifa::outline::OutlinePen;
use tiny_skia::{FillRule, LineJoin, Paint, Path, PathBuilder, Pixmap, Stroke, Transform};

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
        if let Some(path) = path(points, false) {
            self.stroke(&path, style.color(), style.stroke_width());
        }
        Ok(())
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        points: I,
        style: &S,
    ) -> Drawn {
        if let Some(path) = path(points, true) {
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
        for glyph in font::glyphs(text, em, bold) {
            if let Some(path) = outline(&glyph, x, baseline) {
                self.fill(&path, style.color());
            }
        }
        Ok(())
    }
}

/// The outline of a glyph in pixels.
fn outline(glyph: &font::Placed, x: f64, baseline: f64) -> Option<Path> {
    let mut pen = Pen {
        builder: PathBuilder::new(),
        x: x + glyph.x,
        baseline,
        scale: glyph.scale,
    };
    glyph.draw(&mut pen);
    pen.builder.finish()
}

/// Takes an outline in font units, upwards, into pixels, downwards.
struct Pen {
    builder: PathBuilder,
    x: f64,
    baseline: f64,
    scale: f64,
}

impl Pen {
    fn at(&self, x: f32, y: f32) -> (f32, f32) {
        let right = self.x + self.scale * f64::from(x);
        let down = self.baseline - self.scale * f64::from(y);
        (right as f32, down as f32)
    }
}

impl OutlinePen for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        let (x, y) = self.at(x, y);
        self.builder.move_to(x, y);
    }

    fn line_to(&mut self, x: f32, y: f32) {
        let (x, y) = self.at(x, y);
        self.builder.line_to(x, y);
    }

    fn quad_to(&mut self, by_x: f32, by_y: f32, x: f32, y: f32) {
        let ((by_x, by_y), (x, y)) = (self.at(by_x, by_y), self.at(x, y));
        self.builder.quad_to(by_x, by_y, x, y);
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let ((x1, y1), (x2, y2), (x, y)) = (self.at(x1, y1), self.at(x2, y2), self.at(x, y));
        self.builder.cubic_to(x1, y1, x2, y2, x, y);
    }

    fn close(&mut self) {
        self.builder.close();
    }
}
