//! `scullery new NAME`

use std::io::{self, BufRead, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Args;

use super::{Failure, exit_codes};
use crate::report::{out, start as files};
use crate::scenario::start::{KINDS, Question, Start, StartKind, file_of, find};
use crate::scenario::{suggest, visible};
use crate::words::start as words;

/// Write a scenario of your own, from a handful of questions
///
/// The file starts from a shipped scenario of its kind and says again what differs from house to house, with comments. An
/// existing file is never overwritten.
#[derive(Debug, Args)]
#[command(after_long_help = exit_codes(&[0, 1, 2]))]
pub struct New {
    /// Name of the file; .toml is added
    #[arg(required_unless_present = "list")]
    name: Option<PathBuf>,

    /// Kind of dish room to start from (see --list)
    #[arg(long, value_name = "KIND")]
    like: Option<String>,

    /// Ask nothing: take the hours, covers and people of the shipped scenario
    #[arg(long)]
    defaults: bool,

    /// List the kinds
    #[arg(long, exclusive = true)]
    list: bool,
}

impl New {
    /// Ask, and write.
    pub fn run(self) -> Result<ExitCode, Failure> {
        let Some(name) = self.name else {
            out::print(&kinds())?;
            return Ok(ExitCode::SUCCESS);
        };
        let path = file_of(&name);
        if path.exists() {
            return Err(exists(&path));
        }
        let asks = !self.defaults && io::stdin().is_terminal();
        let kind = match &self.like {
            Some(like) => kind_of(like)?,
            None if asks => ask_kind()?,
            None => return Err(refused(words::NO_TERMINAL, words::SAY_LIKE)),
        };
        let stem = path.file_stem().unwrap_or_default().to_string_lossy();
        let start_of = Start::of(kind, stem.clone().into_owned());
        let mut start = start_of.map_err(|mistakes| Failure::Mistakes(Box::new(mistakes)))?;
        if asks {
            for question in start.questions() {
                ask(&mut start, question)?;
            }
        }
        write(&path, &files::text(&start, &stem))?;
        out::print(&format!("{}\n", words::written(&shown(&path))))?;
        Ok(ExitCode::SUCCESS)
    }
}

fn refused(what: &str, cure: &str) -> Failure {
    Failure::Refused(vec![what.to_owned()], cure.to_owned())
}

fn exists(path: &Path) -> Failure {
    refused(&words::exists(&shown(path)), words::OTHER_NAME)
}

fn shown(path: &Path) -> String {
    visible::quoted(&path.display().to_string()).into_owned()
}

fn kinds() -> String {
    let lines = KINDS.iter();
    lines
        .map(|kind| format!("{:<17}{}\n", kind.name, kind.what))
        .collect()
}

fn kind_of(name: &str) -> Result<&'static StartKind, Failure> {
    find(name).ok_or_else(|| {
        let names: Vec<&str> = KINDS.iter().map(|kind| kind.name).collect();
        let title = words::no_kind(&visible::quoted(name));
        refused(&title, &suggest::among(name, &names))
    })
}

/// Asks until a kind is named; Enter is the first.
fn ask_kind() -> Result<&'static StartKind, Failure> {
    say(&kinds())?;
    let first = &KINDS[0];
    loop {
        say(&words::which(first.name))?;
        let answer = answer()?;
        if answer.trim().is_empty() {
            return Ok(first);
        }
        match kind_of(answer.trim()) {
            Err(Failure::Refused(what, cure)) => say(&format!("{}; {cure}\n", what.concat()))?,
            other => return other,
        }
    }
}

/// Asks until the answer does; Enter takes the one that stands.
fn ask(start: &mut Start, question: Question) -> Result<(), Failure> {
    loop {
        say(&words::asked(start, question))?;
        let answer = answer()?;
        if answer.trim().is_empty() {
            return Ok(());
        }
        let taken = start.with(question, &answer);
        match taken.and_then(|taken| files::checked(&taken).map(|()| taken)) {
            Ok(taken) => {
                *start = taken;
                return Ok(());
            }
            Err(why) => say(&format!("{}\n", words::wrong(&why)))?,
        }
    }
}

fn say(text: &str) -> Result<(), Failure> {
    let mut to = anstream::stdout().lock();
    let said = to.write_all(visible::of(text).as_bytes());
    said.and_then(|()| to.flush())
        .map_err(|error| Failure::System(error.to_string()))
}

/// The longest answer that is read, bytes.
const LONGEST: u64 = 4_096;

fn answer() -> Result<String, Failure> {
    let mut line = Vec::new();
    let mut from = io::Read::take(io::stdin().lock(), LONGEST);
    let read = from.read_until(b'\n', &mut line);
    match read {
        Ok(0) => Err(refused(words::ENDED, words::AGAIN)),
        Ok(_) => Ok(String::from_utf8_lossy(&line).into_owned()),
        Err(error) => Err(Failure::System(error.to_string())),
    }
}

/// Written aside, then put in place, unless somebody else has put one there meanwhile.
fn write(path: &Path, text: &str) -> Result<(), Failure> {
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty());
    let folder = folder.unwrap_or_else(|| Path::new("."));
    let failed = |error: &io::Error| {
        let what = format!("cannot write `{}`: {error}", shown(path));
        Failure::System(what)
    };
    let mut aside = out::aside(folder).map_err(|error| failed(&error))?;
    aside
        .write_all(text.as_bytes())
        .and_then(|()| aside.as_file().sync_all())
        .map_err(|error| failed(&error))?;
    match aside.persist_noclobber(path) {
        Ok(_) => Ok(()),
        Err(error) if error.error.kind() == io::ErrorKind::AlreadyExists => Err(exists(path)),
        Err(error) => Err(failed(&error.error)),
    }
}
