//! What the terminal shows of a key.

use super::layout::{Page, bold, line, wrapped};
use super::width::Width;
use crate::scenario::explain::{Explained, plain};
use crate::scenario::field::Field;
use crate::scenario::wording::Wording;
use crate::words::explain as words;

/// Where the second column begins.
const INDENT: usize = 12;
/// Where what a key is begins, in a list of keys.
const NAME: usize = 22;
/// Keys of one name that are shown whole; of more, only what they are.
const WHOLE: usize = 3;
/// Shipped files that are named for a key.
const USED: usize = 4;

/// Keys of one name, one under the other.
#[must_use]
pub fn keys(all: &[Explained], width: Width) -> String {
    let mut out = Page::new(width, &Wording::default());
    if all.len() > WHOLE {
        line(&mut out, words::SEVERAL);
        for one in all {
            entry(&mut out, &one.name(), one.field.what);
        }
        return out.into_text();
    }
    for (at, one) in all.iter().enumerate() {
        if at > 0 {
            line(&mut out, "");
        }
        key(&mut out, one);
    }
    out.into_text()
}

/// The tables and keys at the top of a scenario.
#[must_use]
pub fn top(fields: &[&'static Field], width: Width) -> String {
    let mut out = Page::new(width, &Wording::default());
    line(&mut out, &bold(words::TOP));
    list(&mut out, fields.iter().copied());
    line(&mut out, "");
    wrapped(&mut out, words::READ_ON, "", "");
    out.into_text()
}

fn key(out: &mut Page, one: &Explained) {
    line(out, &bold(&one.name()));
    wrapped(out, one.field.what, "  ", "  ");
    if let Some(of) = one.shared_by {
        wrapped(out, &words::shared(&plain(of.path)), "  ", "  ");
    }
    line(out, "");
    about(out, words::GIVEN, &words::given(one.field));
    about(out, words::LEFT_OUT, &words::left_out(one.field));
    if let Some(kind) = one.field.only {
        about(out, words::ONLY, &format!("kind = \"{kind}\""));
    }
    about(out, words::USED, &used(one));
    if let Some(example) = &one.example {
        line(out, "");
        line(out, words::EXAMPLE);
        for text in example.lines() {
            line(out, &format!("    {text}"));
        }
    }
    if !one.below().is_empty() {
        line(out, "");
        line(out, words::KEYS);
        list(out, one.below().iter());
        line(out, "");
        wrapped(out, words::READ_ON, "", "");
    }
}

fn used(one: &Explained) -> String {
    let named = one.used.iter().take(USED);
    let mut files: Vec<String> = named.map(|(name, at)| format!("{name}:{at}")).collect();
    let more = one.used.len().saturating_sub(USED);
    if more > 0 {
        files.push(format!("{more} more"));
    }
    if files.is_empty() {
        return words::UNUSED.to_owned();
    }
    files.join(", ")
}

fn about(out: &mut Page, head: &str, text: &str) {
    let first = format!("  {head:<INDENT$}");
    let rest = " ".repeat(INDENT + 2);
    wrapped(out, text, &first, &rest);
}

fn list<'f>(out: &mut Page, fields: impl Iterator<Item = &'f Field>) {
    for field in fields {
        entry(out, field.key(), field.what);
    }
}

fn entry(out: &mut Page, name: &str, what: &str) {
    let first = format!("  {name:<NAME$}");
    wrapped(out, what, &first, &" ".repeat(NAME + 2));
}
