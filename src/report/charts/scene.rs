//! A drawing as a list of marks, and its two formats. Each chart is drawn once, in pixels of
//! 1200 × 675, and the same marks then go through plotters to SVG and to PNG.

use super::raster::{FINE, Raster, SIZE_TO_EM, TOP_TO_BASELINE};
use super::{font, png};
use crate::scenario::wording::Wording;
use plotters::coord::Shift;
use plotters::drawing::{DrawingArea, DrawingAreaErrorKind, IntoDrawingArea};
use plotters::element::{PathElement, Polygon, Text};
use plotters::prelude::{DrawingBackend, SVGBackend};
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{Color, FontDesc, FontFamily, FontStyle, RGBColor, TextStyle};
use std::borrow::Cow;
use std::fmt::Display;

/// Width of a chart, px.
pub const WIDTH: u32 = 1200;
/// Height of a chart, px.
pub const HEIGHT: u32 = 675;

/// A point, px from the upper left corner.
pub type Point = (f64, f64);

/// Where a text stands from its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// It begins there.
    Start,
    /// Its middle is there.
    Middle,
    /// It ends there.
    End,
}

/// How a text is set.
#[derive(Debug, Clone, Copy)]
pub struct Type {
    /// Size, px.
    pub em: f64,
    /// Whether it is bold.
    pub bold: bool,
    /// Colour.
    pub color: RGBColor,
}

#[derive(Debug, Clone)]
enum Mark {
    Line {
        points: Vec<Point>,
        color: RGBColor,
        width: f64,
    },
    Area {
        points: Vec<Point>,
        color: RGBColor,
        /// From 0, not to be seen, to 1, hiding all below.
        cover: f64,
    },
    Text {
        at: Point,
        text: String,
        face: Type,
        anchor: Anchor,
    },
}

/// A drawing.
#[derive(Debug, Clone)]
pub struct Scene {
    title: String,
    wording: Wording,
    marks: Vec<Mark>,
}

impl Scene {
    /// A white ground. `title` is what a screen reader says of it.
    pub fn new(title: &str, wording: &Wording) -> Self {
        let title = wording.said(title);
        let mut scene = Self {
            wording: wording.clone(),
            title: title.chars().filter(|c| !c.is_control()).collect(),
            marks: Vec::new(),
        };
        let (w, h) = (f64::from(WIDTH), f64::from(HEIGHT));
        scene.rect((0.0, 0.0), (w, h), RGBColor(255, 255, 255));
        scene
    }

    /// A line through `points`.
    pub fn line(&mut self, points: Vec<Point>, color: RGBColor, width: f64) {
        if points.len() > 1 {
            self.marks.push(Mark::Line {
                points,
                color,
                width,
            });
        }
    }

    /// A line of dashes from `from` to `to`.
    pub fn dashes(&mut self, from: Point, to: Point, color: RGBColor, width: f64) {
        let length = libm::hypot(to.0 - from.0, to.1 - from.1);
        let count = (length / 8.0).clamp(1.0, 500.0) as usize;
        let at = |part: f64| {
            let f = part / count as f64;
            (from.0 + f * (to.0 - from.0), from.1 + f * (to.1 - from.1))
        };
        for i in 0..count {
            self.line(vec![at(i as f64), at(i as f64 + 0.6)], color, width);
        }
    }

    /// A filled outline.
    pub fn area(&mut self, points: Vec<Point>, color: RGBColor) {
        self.veil(points, color, 1.0);
    }

    /// A filled outline through which what lies below is seen; `cover` from 0 to 1.
    pub fn veil(&mut self, points: Vec<Point>, color: RGBColor, cover: f64) {
        if points.len() > 2 {
            self.marks.push(Mark::Area {
                points,
                color,
                cover,
            });
        }
    }

    /// A filled rectangle.
    pub fn rect(&mut self, from: Point, to: Point, color: RGBColor) {
        self.area(vec![from, (to.0, from.1), to, (from.0, to.1)], color);
    }

    /// A text in the words of the scenario, for one that must fit. [`Scene::text`] puts it in them anyway.
    pub fn said<'t>(&self, text: &'t str) -> Cow<'t, str> {
        self.wording.said(text)
    }

    /// A text whose baseline is at `at`.
    pub fn text(&mut self, at: Point, text: &str, face: Type, anchor: Anchor) {
        let text = self.said(text).into_owned();
        self.marks.push(Mark::Text {
            at,
            text,
            face,
            anchor,
        });
    }

    /// As an SVG document.
    pub fn svg(&self) -> Result<String, String> {
        let mut text = String::new();
        let fine = (
            (f64::from(WIDTH) * FINE) as u32,
            (f64::from(HEIGHT) * FINE) as u32,
        );
        self.draw(&SVGBackend::with_string(&mut text, fine).into_drawing_area())?;
        Ok(self.framed(&text, fine))
    }

    /// plotters' document in the fine coordinates it is drawn in, within one that has the size of the picture, a title
    /// for screen readers, and round joins, which the inner one inherits.
    fn framed(&self, inner: &str, (width, height): (u32, u32)) -> String {
        let title = escaped(&self.title);
        format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH}" height="{HEIGHT}" viewBox="0 0 {width} {height}" role="img" stroke-linejoin="round">
<title>{title}</title>
{inner}</svg>
"#
        )
    }

    /// As a PNG file.
    pub fn png(&self) -> Result<Vec<u8>, String> {
        let mut pixels = tiny_skia::Pixmap::new(WIDTH, HEIGHT).ok_or("no room for the pixels")?;
        self.draw(&Raster::new(&mut pixels).into_drawing_area())?;
        png::encode(&pixels).map_err(in_words)
    }

    fn draw<DB: DrawingBackend>(&self, area: &DrawingArea<DB, Shift>) -> Result<(), String> {
        for mark in &self.marks {
            put(area, mark).map_err(in_words)?;
        }
        area.present().map_err(in_words)
    }
}

/// What tests look at.
#[cfg(test)]
impl Scene {
    /// Every text with its box, left, top, right, bottom, px, as wide as a substitute font sets it.
    pub fn boxes(&self) -> Vec<(&str, [f64; 4])> {
        let of = |mark: &'_ Mark| match mark {
            Mark::Text {
                at,
                text,
                face,
                anchor,
            } => {
                let width = font::SUBSTITUTE * font::width(text, face.em, face.bold);
                let left = match anchor {
                    Anchor::Start => at.0,
                    Anchor::Middle => at.0 - 0.5 * width,
                    Anchor::End => at.0 - width,
                };
                let (top, bottom) = (at.1 - 0.74 * face.em, at.1 + 0.22 * face.em);
                Some([left, top, left + width, bottom])
            }
            _ => None,
        };
        let text = |mark: &'_ Mark| of(mark).is_some();
        let marks = self.marks.iter().filter(|mark| text(mark));
        let texts = marks.filter_map(|mark| match mark {
            Mark::Text { text, .. } => Some((text.as_str(), of(mark)?)),
            _ => None,
        });
        texts.filter(|(text, _)| !text.trim().is_empty()).collect()
    }

    /// Every corner of every line and area, px.
    pub fn corners(&self) -> Vec<Point> {
        let marks = self.marks.iter().map(|mark| match mark {
            Mark::Line { points, .. } | Mark::Area { points, .. } => points.clone(),
            Mark::Text { .. } => Vec::new(),
        });
        marks.flatten().collect()
    }
}

fn in_words(cause: impl Display) -> String {
    cause.to_string()
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}

/// Fine coordinates; a point that is not finite, or far outside, is brought to the edge.
fn fine((x, y): Point) -> (i32, i32) {
    let one = |v: f64| libm::round(v.clamp(-1e4, 1e4) * FINE) as i32;
    (one(x), one(y))
}

fn put<DB: DrawingBackend>(
    area: &DrawingArea<DB, Shift>,
    mark: &Mark,
) -> Result<(), DrawingAreaErrorKind<DB::ErrorType>> {
    let all = |points: &[Point]| points.iter().copied().map(fine).collect::<Vec<_>>();
    match mark {
        Mark::Line {
            points,
            color,
            width,
        } => {
            let style = color.stroke_width((width * FINE) as u32);
            area.draw(&PathElement::new(all(points), style))
        }
        Mark::Area {
            points,
            color,
            cover,
        } => area.draw(&Polygon::new(all(points), color.mix(*cover).filled())),
        Mark::Text {
            at,
            text,
            face,
            anchor,
        } => {
            let top = (at.0, at.1 - TOP_TO_BASELINE * face.em);
            area.draw(&Text::new(text.as_str(), fine(top), style(face, *anchor)))
        }
    }
}

fn style(face: &Type, anchor: Anchor) -> TextStyle<'_> {
    let weight = if face.bold {
        FontStyle::Bold
    } else {
        FontStyle::Normal
    };
    let size = face.em * SIZE_TO_EM * FINE;
    let horizontal = match anchor {
        Anchor::Start => HPos::Left,
        Anchor::Middle => HPos::Center,
        Anchor::End => HPos::Right,
    };
    TextStyle::from(FontDesc::new(FontFamily::Name(font::FAMILY), size, weight))
        .color(&face.color)
        .pos(Pos::new(horizontal, VPos::Top))
}
