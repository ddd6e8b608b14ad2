//! Pixels as a PNG file: opaque, fast to make, and small.
//!
//! A chart has a handful of colours, and some thousand blends of two of them at the edges of lines and letters. The
//! colours that cover most become a palette, and a blend that is all but one of them takes its place, which no eye
//! sees. Where that makes too many, as in a fine ramp, the file keeps every colour as it is.

use png::{BitDepth, ColorType, Compression, Encoder, EncodingError, Filter};
use std::cmp::Reverse;
use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};
use tiny_skia::Pixmap;

type Rgb = [u8; 3];

/// Colours of a palette, as the format has it.
const MAX_COLORS: usize = 256;
/// A colour may be moved so far in each of red, green and blue.
const UNSEEN: u8 = 6;

/// `pixels`, which hide all below them, as a file.
pub fn encode(pixels: &Pixmap) -> Result<Vec<u8>, EncodingError> {
    let picture = Picture::of(pixels);
    let (width, height) = (pixels.width(), pixels.height());
    let mut file = Vec::new();
    let mut encoder = Encoder::new(&mut file, width, height);
    encoder.set_depth(BitDepth::Eight);
    encoder.set_compression(Compression::Fast);
    // Most rows of a chart are like the one above.
    encoder.set_filter(Filter::Up);
    let mut bytes = Vec::with_capacity(3 * pixels.pixels().len());
    if let Some(palette) = Palette::of(&picture.colors) {
        encoder.set_color(ColorType::Indexed);
        encoder.set_palette(palette.colors.concat());
        for (color, length) in picture.runs {
            bytes.resize(bytes.len() + length, palette.places[color]);
        }
    } else {
        encoder.set_color(ColorType::Rgb);
        for (color, length) in picture.runs {
            let color = picture.colors[color].0;
            bytes.extend(std::iter::repeat_n(color, length).flatten());
        }
    }
    encoder.write_header()?.write_image_data(&bytes)?;
    Ok(file)
}

/// A picture as runs of one colour, row by row.
struct Picture {
    /// Each colour with the number of its pixels, in the order in which they are met.
    colors: Vec<(Rgb, usize)>,
    /// Index of the colour, and how many pixels have it.
    runs: Vec<(usize, usize)>,
}

impl Picture {
    fn of(pixels: &Pixmap) -> Self {
        let mut known: HashMap<u32, usize, BuildHasherDefault<Spread>> = HashMap::default();
        let mut colors: Vec<(Rgb, usize)> = Vec::new();
        let runs = pixels.pixels().chunk_by(|a, b| a == b).map(|run| {
            let [r, g, b] = [run[0].red(), run[0].green(), run[0].blue()];
            let color = *known
                .entry(u32::from_be_bytes([0, r, g, b]))
                .or_insert_with(|| {
                    colors.push(([r, g, b], 0));
                    colors.len() - 1
                });
            colors[color].1 += run.len();
            (color, run.len())
        });
        let runs = runs.collect();
        Self { colors, runs }
    }
}

/// Hashes a pixel: what keeps strangers from choosing keys takes longer than all the rest of the counting.
#[derive(Default)]
struct Spread(u64);

impl Hasher for Spread {
    fn write(&mut self, bytes: &[u8]) {
        bytes.iter().for_each(|byte| self.write_u32((*byte).into()));
    }

    fn write_u32(&mut self, pixel: u32) {
        self.0 = (self.0 ^ u64::from(pixel)).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    }

    fn finish(&self) -> u64 {
        self.0.rotate_left(32)
    }
}

/// Few colours for many.
struct Palette {
    colors: Vec<Rgb>,
    /// For each colour of a picture its place in the palette.
    places: Vec<u8>,
}

impl Palette {
    /// The colours that cover most; all of them, if they are few. None if some are too far from all of these.
    fn of(colors: &[(Rgb, usize)]) -> Option<Self> {
        let mut order: Vec<usize> = (0..colors.len()).collect();
        order.sort_by_key(|color| (Reverse(colors[*color].1), *color));
        let unseen = if colors.len() <= MAX_COLORS {
            0
        } else {
            UNSEEN
        };
        let mut palette = Self {
            colors: Vec::new(),
            places: vec![0; colors.len()],
        };
        for index in order {
            let color = colors[index].0;
            let near = palette.nearest(color).filter(|(_, far)| *far <= unseen);
            let place = match near {
                Some((place, _)) => place,
                None if palette.colors.len() < MAX_COLORS => {
                    palette.colors.push(color);
                    palette.colors.len() - 1
                }
                None => return None,
            };
            palette.places[index] = place as u8;
        }
        Some(palette)
    }

    /// The place of the colour that is nearest, and how far it is.
    fn nearest(&self, color: Rgb) -> Option<(usize, u8)> {
        let far = |other: &Rgb| {
            let [r, g, b] = [0, 1, 2].map(|i| color[i].abs_diff(other[i]));
            r.max(g).max(b)
        };
        let places = self.colors.iter().map(far).enumerate();
        places.min_by_key(|(_, far)| *far)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use tiny_skia::PremultipliedColorU8;

    /// Pixels of these colours, in rows of 64.
    fn pixels(colors: &[Rgb]) -> Pixmap {
        let mut pixels = Pixmap::new(64, colors.len().div_ceil(64) as u32).unwrap();
        for (pixel, [r, g, b]) in pixels.pixels_mut().iter_mut().zip(colors) {
            *pixel = PremultipliedColorU8::from_rgba(*r, *g, *b, 255).unwrap();
        }
        pixels
    }

    /// What a viewer makes of a file, and whether it has a palette.
    fn decoded(file: &[u8]) -> (Vec<Rgb>, bool) {
        let mut decoder = png::Decoder::new(std::io::Cursor::new(file));
        let header = decoder.read_header_info().unwrap();
        let has_palette = header.color_type == ColorType::Indexed;
        decoder.set_transformations(png::Transformations::EXPAND);
        let mut reader = decoder.read_info().unwrap();
        let mut bytes = vec![0; reader.output_buffer_size().unwrap()];
        let frame = reader.next_frame(&mut bytes).unwrap();
        assert_eq!(frame.color_type, ColorType::Rgb, "opaque");
        (bytes.as_chunks().0.to_vec(), has_palette)
    }

    fn is_near(one: &[Rgb], other: &[Rgb]) -> bool {
        let far = |(a, b): (&Rgb, &Rgb)| (0..3).any(|i| a[i].abs_diff(b[i]) > UNSEEN);
        one.len() == other.len() && !one.iter().zip(other).any(far)
    }

    #[test]
    fn few_colours_come_back_as_they_are() {
        let colors: Vec<Rgb> = (0..64 * 20_u32).map(|i| [0, (i % 256) as u8, 7]).collect();
        let (back, has_palette) = decoded(&encode(&pixels(&colors)).unwrap());
        assert!(has_palette && back == colors);
    }

    #[test]
    fn a_blend_beyond_the_palette_moves_by_less_than_is_seen() {
        // Blends of two colours, and of one of them with a third: some 500, each met less often than the one before.
        let blend = |i: usize| [i as u8, i as u8 / 2, 255 - i as u8];
        let other = |i: usize| [i as u8, i as u8 / 2 + 1, 255 - i as u8];
        let mut colors: Vec<Rgb> = (0..250).flat_map(|i| vec![blend(i); 300 - i]).collect();
        colors.extend((0..250).map(other));
        colors.resize(colors.len().next_multiple_of(64), [0, 0, 255]);
        let (back, has_palette) = decoded(&encode(&pixels(&colors)).unwrap());
        assert!(has_palette && back != colors && is_near(&back, &colors));
        let often = 300 - 249;
        let kept = back.iter().zip(&colors).take(often).all(|(a, b)| a == b);
        assert!(kept, "what covers most stays");
    }

    #[test]
    fn a_ramp_too_fine_for_a_palette_keeps_every_colour() {
        let colors: Vec<Rgb> = (0..64 * 64)
            .map(|i| [(i % 64 * 4) as u8, (i / 64 * 4) as u8, 9])
            .collect();
        let (back, has_palette) = decoded(&encode(&pixels(&colors)).unwrap());
        assert!(!has_palette && back == colors);
    }
}
