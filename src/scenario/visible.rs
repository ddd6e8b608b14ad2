//! What reaches a terminal: everything that is printed passes through here.
//!
//! Names, titles and paths may hold characters that move the cursor, paint, or turn the order of letters
//! round. Such characters are printed as `\u001b`, which a JSON document reads back as what it was. What we
//! set in bold ourselves is marked by two characters that no JSON document holds as they are.

use std::borrow::Cow;
use std::fmt::Write as _;
use std::io::{self, Write};

/// Bold from here on.
pub const BOLD: char = '\u{1}';
/// No longer bold.
pub const PLAIN: char = '\u{2}';

/// Whether a terminal would obey a character rather than show it: controls of both sets, ends of lines and
/// paragraphs that are no line feeds, and what overrides the direction of letters.
#[must_use]
pub const fn is_obeyed(letter: char) -> bool {
    matches!(letter, '\0'..='\u{1f}' | '\u{7f}'..='\u{9f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// Line feeds and tabs are meant.
const fn is_kept(letter: char) -> bool {
    matches!(letter, '\n' | '\t') || !is_obeyed(letter)
}

fn push(out: &mut String, letter: char) {
    if is_kept(letter) {
        out.push(letter);
    } else {
        // Writing into memory does not fail.
        let _ = write!(out, "\\u{:04x}", u32::from(letter));
    }
}

/// Text that says what a file or a person says, as a terminal may have it: without marks, which are not ours there.
#[must_use]
pub fn quoted(text: &str) -> Cow<'_, str> {
    if text.chars().all(is_kept) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 64);
    text.chars().for_each(|letter| push(&mut out, letter));
    Cow::Owned(out)
}

/// Text of ours as a terminal may have it, marks of ours made bold.
#[must_use]
pub fn of(text: &str) -> Cow<'_, str> {
    if text.chars().all(is_kept) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 64);
    for letter in text.chars() {
        match letter {
            BOLD => out.push_str("\x1b[1m"),
            PLAIN => out.push_str("\x1b[0m"),
            other => push(&mut out, other),
        }
    }
    Cow::Owned(out)
}

/// Text that a library has coloured, of words that passed through [`quoted`] before: colours stay, nothing else.
#[must_use]
pub fn of_styled(text: &str) -> Cow<'_, str> {
    if text.chars().all(is_kept) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(letter) = rest.chars().next() {
        let style = style_at(rest);
        match style {
            0 => push(&mut out, letter),
            length => out.push_str(&rest[..length]),
        }
        rest = &rest[style.max(letter.len_utf8())..];
    }
    Cow::Owned(out)
}

/// Bytes of the colour or weight that a text begins with.
fn style_at(text: &str) -> usize {
    let Some(inside) = text.strip_prefix("\x1b[") else {
        return 0;
    };
    let digits = inside
        .bytes()
        .take_while(|b| matches!(b, b'0'..=b'9' | b';'));
    let length = digits.count();
    if inside[length..].starts_with('m') {
        length + 3
    } else {
        0
    }
}

/// Text of a file in which every character that would be obeyed gives way to one of as many bytes, so that
/// places in it stay what they are. Line ends and tabs stay.
#[must_use]
pub fn in_place(text: &str) -> Cow<'_, str> {
    let is_kept = |letter: char| matches!(letter, '\n' | '\r' | '\t') || !is_obeyed(letter);
    if text.chars().all(is_kept) {
        return Cow::Borrowed(text);
    }
    let shown = |letter: char| match letter.len_utf8() {
        _ if is_kept(letter) => letter,
        1 => '?',
        2 => '¤',
        _ => '\u{fffd}',
    };
    Cow::Owned(text.chars().map(shown).collect())
}

/// Writes text whose characters a terminal would obey as [`of`] does, without marks of ours.
pub struct Writer<W> {
    to: W,
    /// Bytes of a character that is not all there yet.
    begun: Vec<u8>,
}

impl<W: Write> Writer<W> {
    /// Writes on to `to`.
    pub const fn new(to: W) -> Self {
        let begun = Vec::new();
        Self { to, begun }
    }
}

impl<W: Write> Write for Writer<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.begun.extend_from_slice(bytes);
        let whole = match std::str::from_utf8(&self.begun) {
            Ok(text) => text.len(),
            Err(error) => error.valid_up_to(),
        };
        let rest = self.begun.split_off(whole);
        let text = String::from_utf8_lossy(&self.begun);
        if text.chars().all(is_kept) {
            self.to.write_all(text.as_bytes())?;
        } else {
            let mut out = String::with_capacity(text.len() + 64);
            text.chars().for_each(|letter| push(&mut out, letter));
            self.to.write_all(out.as_bytes())?;
        }
        self.begun = rest;
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.to.flush()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const HOSTILE: &str = "a\u{1b}[2J\r\u{7}\u{9b}31m\u{7f}\u{202e}\u{2066}\u{2028}é\u{200d}z";
    const SHOWN: &str = "a\\u001b[2J\\u000d\\u0007\\u009b31m\\u007f\\u202e\\u2066\\u2028é\u{200d}z";

    #[test]
    fn what_a_terminal_obeys_is_shown() {
        assert_eq!(of(HOSTILE), SHOWN);
        assert_eq!(of_styled(HOSTILE), SHOWN);
        assert_eq!(of("two\nlines\tand more"), "two\nlines\tand more");
        assert_eq!(of("\u{1}bold\u{2}"), "\x1b[1mbold\x1b[0m");
        assert_eq!(of("\x1b[1m"), "\\u001b[1m");
        assert_eq!(quoted(HOSTILE), SHOWN);
        assert_eq!(quoted("\u{1}bold\u{2}"), "\\u0001bold\\u0002");
    }

    #[test]
    fn colours_of_libraries_stay_and_nothing_else() {
        let colours = "\x1b[1m\x1b[38;5;9merror\x1b[0m";
        assert_eq!(of_styled(colours), colours);
        for other in ["\x1b[2J", "\x1b[1", "\x1b", "\x1b]0;title\x07", "\x1b[?25l"] {
            assert!(!of_styled(other).contains('\x1b'), "{other:?}");
        }
    }

    #[test]
    fn json_reads_the_same() {
        let json = serde_json::to_string(HOSTILE).unwrap();
        assert!(json.contains('\u{9b}'));
        let printed = of(&json);
        assert!(printed.chars().all(|c| !is_obeyed(c)));
        assert_eq!(serde_json::from_str::<String>(&printed).unwrap(), HOSTILE);
    }

    #[test]
    fn places_in_a_text_stay() {
        let shown = in_place(HOSTILE);
        assert_eq!(shown.len(), HOSTILE.len());
        let places = |text: &str| text.char_indices().map(|c| c.0).collect::<Vec<_>>();
        assert_eq!(places(&shown), places(HOSTILE));
        assert!(shown.chars().all(|c| c == '\r' || !is_obeyed(c)));
    }

    #[test]
    fn a_stream_is_cut_anywhere() {
        for size in 1..8 {
            let mut out = Vec::new();
            let mut writer = Writer::new(&mut out);
            for bytes in HOSTILE.as_bytes().chunks(size) {
                writer.write_all(bytes).unwrap();
            }
            writer.flush().unwrap();
            assert_eq!(String::from_utf8(out).unwrap(), SHOWN, "{size}");
        }
    }
}
