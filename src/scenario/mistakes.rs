//! Everything that is wrong with a scenario, at once: where, what, and what would be right.

use std::fmt;
use std::ops::Range;
use std::path::PathBuf;

use annotate_snippets::{
    Annotation, AnnotationKind, Element, Group, Level, Origin, Renderer, Snippet,
};

use super::sources::{Place, Source, Sources};
use super::visible;

/// Mistakes shown in full; the rest are only counted.
const MAX_SHOWN: usize = 50;
/// Longer stretches of a file are not printed.
const MAX_SNIPPET: usize = 20_000;
/// Nor are longer lines of it.
const MAX_LINE: usize = 400;
/// What is longer is cut in its middle, characters: a title, a label, a cure. A value is whatever a file
/// says, and may be megabytes.
const MAX: [usize; 3] = [240, 160, 1_000];

/// What sort of mistake it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Sort {
    /// The system would not let us read a file.
    System,
    /// A file cannot be used at all.
    File,
    /// It is not TOML, or not CSV.
    Syntax,
    /// A key that must be there is not.
    Missing,
    /// A key or a value is wrong.
    Value,
    /// Values that do not go together.
    Clash,
}

/// One mistake. Its texts are raw: they may quote what a file says. [`Mistakes::render`] makes them safe for a terminal.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Mistake {
    /// Its sort.
    pub sort: Sort,
    /// What is wrong.
    pub title: String,
    /// Where, with what stands there.
    pub at: Option<(Place, String)>,
    /// Other places that have to do with it.
    pub also: Vec<(Place, String)>,
    /// What would be right.
    pub help: Vec<String>,
}

impl Mistake {
    /// A mistake without a place.
    #[must_use]
    pub fn new(sort: Sort, title: impl Into<String>) -> Self {
        Self {
            sort,
            title: title.into(),
            at: None,
            also: Vec::new(),
            help: Vec::new(),
        }
    }

    /// Says where it is, and what is wrong there.
    #[must_use]
    pub fn at(mut self, place: &Place, label: impl Into<String>) -> Self {
        self.at = Some((place.clone(), label.into()));
        self
    }

    /// Shows another place that has to do with it.
    #[must_use]
    pub fn also(mut self, place: &Place, label: impl Into<String>) -> Self {
        self.also.push((place.clone(), label.into()));
        self
    }

    /// Says what would be right.
    #[must_use]
    pub fn help(mut self, text: impl Into<String>) -> Self {
        self.help.push(text.into());
        self
    }

    /// Says what would be right, if anything is known.
    #[must_use]
    pub fn help_if(self, text: Option<String>) -> Self {
        match text {
            Some(text) => self.help(text),
            None => self,
        }
    }
}

impl Mistake {
    /// The mistake of a list that is too long.
    #[must_use]
    pub fn too_many(path: &str, rows: usize, most: usize, place: &Place) -> Self {
        Self::new(Sort::Value, format!("`{path}` has too many rows"))
            .at(place, format!("{rows} rows"))
            .help(format!("at most {most}"))
    }

    /// Cuts whatever is too long to be read.
    fn shorten(&mut self) {
        let [title, label, help] = MAX;
        cut(&mut self.title, title);
        for (_, text) in self.at.iter_mut().chain(&mut self.also) {
            cut(text, label);
        }
        for text in &mut self.help {
            cut(text, help);
        }
    }
}

/// Keeps the two ends of a text that is longer than so many characters.
fn cut(text: &mut String, most: usize) {
    if text.len() <= most || text.chars().count() <= most {
        return;
    }
    let half = most / 2;
    let head: String = text.chars().take(half).collect();
    let tail: Vec<char> = text.chars().rev().take(half).collect();
    let tail: String = tail.into_iter().rev().collect();
    *text = format!("{head} … {tail}");
}

/// Where a mistake stands.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Location {
    /// The file, as its path was given, or as the file that names it has it.
    pub file: PathBuf,
    /// Line, from 1.
    pub line: usize,
    /// Column, from 1, in characters.
    pub column: usize,
}

/// All mistakes of a scenario and its files.
#[derive(Debug)]
pub struct Mistakes {
    list: Vec<Mistake>,
    sources: Box<Sources>,
}

impl Mistakes {
    /// In the order of the files and the places in them.
    #[must_use]
    pub fn new(mut list: Vec<Mistake>, sources: Sources) -> Self {
        list.iter_mut().for_each(Mistake::shorten);
        list.sort_by_key(|mistake| {
            mistake
                .at
                .as_ref()
                .map(|(place, _)| (place.file, place.span.start))
        });
        Self {
            list,
            sources: Box::new(sources),
        }
    }

    /// How many.
    #[must_use]
    pub fn len(&self) -> usize {
        self.list.len()
    }

    /// Whether there are none; loading never returns that.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// The mistakes.
    pub fn iter(&self) -> impl Iterator<Item = &Mistake> {
        self.list.iter()
    }

    /// Where one of these mistakes stands; nothing if it is of a whole file, or of the command.
    #[must_use]
    pub fn location(&self, mistake: &Mistake) -> Option<Location> {
        let (place, _) = mistake.at.as_ref()?;
        let (line, column) = self.sources.line_and_column(place)?;
        let file = self.sources.get(place.file)?.path.clone();
        Some(Location { file, line, column })
    }

    /// Whether the system would not let us read a file (exit code 1), rather than something in a
    /// file that has mistakes (exit code 2).
    #[must_use]
    pub fn is_system(&self) -> bool {
        self.list.iter().any(|mistake| mistake.sort == Sort::System)
    }

    /// As text for a terminal, with colours or without; ends with a line that counts them. Nothing that a file
    /// says is obeyed by a terminal.
    #[must_use]
    pub fn render(&self, color: bool) -> String {
        let renderer = if color {
            Renderer::styled()
        } else {
            Renderer::plain()
        };
        let mut text = String::new();
        for mistake in self.list.iter().take(MAX_SHOWN) {
            text.push_str(&renderer.render(&[self.group(mistake)]));
            text.push_str("\n\n");
        }
        let count = self.list.len();
        let noun = if count == 1 { "mistake" } else { "mistakes" };
        text.push_str(&format!("{count} {noun}"));
        if count > MAX_SHOWN {
            text.push_str(&format!(", the first {MAX_SHOWN} shown"));
        }
        text.push('\n');
        text
    }

    fn group<'a>(&'a self, mistake: &'a Mistake) -> Group<'a> {
        let title = Level::ERROR.primary_title(visible::quoted(&mistake.title));
        let mut group = Group::with_title(title);
        let labels = mistake.at.iter().map(|at| (at, AnnotationKind::Primary));
        let labels: Vec<Label> = labels
            .chain(
                mistake
                    .also
                    .iter()
                    .map(|also| (also, AnnotationKind::Context)),
            )
            .collect();
        let mut files: Vec<usize> = Vec::new();
        for ((place, _), _) in &labels {
            if !files.contains(&place.file) {
                files.push(place.file);
            }
        }
        for file in files {
            let here: Vec<Label> = labels
                .iter()
                .filter(|((place, _), _)| place.file == file)
                .copied()
                .collect();
            if let Some(source) = self.sources.get(file) {
                let hidden = self.sources.is_hidden(file);
                group = group.element(snippet(source, hidden, &here));
            }
        }
        group.elements(
            mistake
                .help
                .iter()
                .map(|help| Level::HELP.message(visible::quoted(help))),
        )
    }
}

impl fmt::Display for Mistakes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.render(false))
    }
}

impl std::error::Error for Mistakes {}

type Label<'a> = (&'a (Place, String), AnnotationKind);

/// The lines of a file that the labels stand on, or only the place if they are hidden or too long.
fn snippet<'a>(source: &'a Source, hidden: bool, labels: &[Label<'a>]) -> Element<'a> {
    let path = visible::quoted(&source.path.to_string_lossy()).into_owned();
    let text = &source.text;
    let spans: Vec<Range<usize>> = labels
        .iter()
        .map(|((place, _), _)| clamp(text, &place.span))
        .collect();
    let first = spans.iter().map(|s| s.start).min().unwrap_or(0);
    let last = spans.iter().map(|s| s.end).max().unwrap_or(0);
    let start = text[..first].rfind('\n').map_or(0, |at| at + 1);
    let end = text[last..].find('\n').map_or(text.len(), |at| last + at);
    let line = text[..start].matches('\n').count() + 1;
    if hidden || end - start > MAX_SNIPPET || longest_line(text, &spans) > MAX_LINE {
        let at = spans.first().map_or(0, |s| s.start);
        let line_start = text[..at].rfind('\n').map_or(0, |at| at + 1);
        let line = text[..at].matches('\n').count() + 1;
        let column = text[line_start..at].chars().count() + 1;
        return Origin::path(path).line(line).char_column(column).into();
    }
    let annotations = labels.iter().zip(&spans).map(|(((_, label), kind), span)| {
        let shifted = span.start - start..span.end - start;
        kind.span(shifted)
            .label((!label.is_empty()).then(|| visible::quoted(label)))
    });
    let annotations: Vec<Annotation<'a>> = annotations.collect();
    Snippet::source(visible::in_place(&text[start..end]))
        .path(path)
        .line_start(line)
        .annotations(annotations)
        .into()
}

/// Bytes of the longest line that one of the spans begins on.
fn longest_line(text: &str, spans: &[Range<usize>]) -> usize {
    let line = |span: &Range<usize>| {
        let start = text[..span.start].rfind('\n').map_or(0, |at| at + 1);
        let end = text[span.start..].find('\n');
        end.map_or(text.len(), |at| span.start + at) - start
    };
    spans.iter().map(line).max().unwrap_or(0)
}

/// A span that lies inside the text, between characters, on one line if it begins on one.
fn clamp(text: &str, span: &Range<usize>) -> Range<usize> {
    let floor = |mut at: usize| {
        at = at.min(text.len());
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        at
    };
    let start = floor(span.start);
    let mut end = floor(span.end).max(start);
    if let Some(line_end) = text[start..end].find('\n') {
        end = start + line_end;
    }
    start..end
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_of_ours_in_a_file_are_shown_and_not_obeyed() {
        let text = "a\u{1}b\u{2}c";
        let mistake = Mistake::new(Sort::Value, text).help(text);
        let mistakes = Mistakes::new(vec![mistake], Sources::default());
        let shown = mistakes.render(false);
        assert!(!shown.contains('\x1b'), "{shown:?}");
        assert_eq!(shown.matches("a\\u0001b\\u0002c").count(), 2, "{shown:?}");
    }
}
