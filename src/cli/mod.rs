//! The command line: one file per command, thin. It parses, resolves, calls the rooms above it and turns
//! what comes back into an exit code.
//!
//! | code | means |
//! |---|---|
//! | 0 | done |
//! | 1 | failed: disk, permission |
//! | 2 | a mistake in the command line or in a file |
//! | 3 | done, but no design meets the targets |
//! | 4 | not decided within the evenings allowed |
//! | 130 | interrupted; what was finished is kept |

mod check;
mod choose;
mod color;
mod compare;
mod completions;
mod deliver;
mod diary;
mod explain;
mod interrupt;
mod man;
mod new;
mod options;
mod place;
mod schema;
mod simulate;
mod sweep;

use std::io::Write;
use std::path::Path;
use std::process::ExitCode;

use clap::{ColorChoice, CommandFactory, Parser, Subcommand};

use crate::report::ReportError;
use crate::report::parts::Problem;
use crate::scenario::{self, Loaded, Mistakes, visible};
use crate::study::PlayError;
use crate::study::choose::error::ChooseError;
use crate::study::sweep::SweepError;
use crate::words::help;

/// Simulates a service in the dish room, event by event, many times over: what piles up, what dries
/// on, what runs short, who was busy, and when the crew gets out.
#[derive(Debug, Parser)]
#[command(
    name = "scullery",
    version = crate::version::FULL,
    propagate_version = true,
    max_term_width = 100,
    after_help = exit_codes(&[0, 1, 2, 3, 4, 130])
)]
struct Arguments {
    /// When to use colours and bold: in tables, messages and help
    ///
    /// `auto` uses them on a terminal, unless NO_COLOR is set or TERM is dumb.
    #[arg(long, global = true, value_name = "WHEN", value_enum, default_value_t = ColorChoice::Auto, display_order = 900)]
    color: ColorChoice,

    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    New(new::New),
    Simulate(simulate::Simulate),
    Check(check::Check),
    Compare(compare::Compare),
    Diary(diary::Diary),
    Explain(explain::Explain),
    Schema(schema::Schema),
    Sweep(sweep::Sweep),
    Choose(choose::Choose),
    Completions(completions::Completions),
    Man(man::Man),
}

/// Why a command was not carried out.
#[derive(Debug)]
enum Failure {
    /// A scenario has mistakes.
    Mistakes(Box<Mistakes>),
    /// The command line has a mistake.
    Usage(String),
    /// Results could not be written.
    Report(ReportError),
    /// What lies in the folder, or was typed, does not fit; what is wrong, and the cure.
    Refused(Vec<String>, String),
    /// Nothing could be played.
    Play(PlayError),
    /// The machine did not let us.
    System(String),
}

impl From<ReportError> for Failure {
    fn from(error: ReportError) -> Self {
        Self::Report(error)
    }
}

impl From<Problem> for Failure {
    fn from(problem: Problem) -> Self {
        match problem {
            Problem::Report(error) => Self::Report(error),
            Problem::Refused(what, cure) => Self::Refused(what, cure),
        }
    }
}

impl From<PlayError> for Failure {
    fn from(error: PlayError) -> Self {
        Self::Play(error)
    }
}

impl From<SweepError<ReportError>> for Failure {
    fn from(error: SweepError<ReportError>) -> Self {
        match error {
            SweepError::Wrong(mistakes) => Self::Mistakes(mistakes),
            SweepError::Refused(error) => Self::Report(error),
            SweepError::NotPlayed(error) => error.into(),
            SweepError::Interrupted => Self::System(error.to_string()),
        }
    }
}

impl From<ChooseError<ReportError>> for Failure {
    fn from(error: ChooseError<ReportError>) -> Self {
        let help = error.help().unwrap_or_default();
        match error {
            ChooseError::Wrong(mistakes) => Self::Mistakes(mistakes),
            ChooseError::Refused(error) => Self::Report(error),
            ChooseError::NotPlayed(error) => error.into(),
            ChooseError::Absent { .. } => Self::Refused(vec![error.to_string()], help.into()),
        }
    }
}

const COULD_NOT: u8 = 1;
const HAS_MISTAKES: u8 = 2;
const NONE_MEETS: u8 = 3;
const UNDECIDED: u8 = 4;
const INTERRUPTED: u8 = 130;

/// The exit codes of a command, for `--help`.
fn exit_codes(of: &[u8]) -> String {
    let codes = [
        0,
        COULD_NOT,
        HAS_MISTAKES,
        NONE_MEETS,
        UNDECIDED,
        INTERRUPTED,
    ];
    let mut text = format!("{}\n", help::EXIT_CODES);
    let all = codes.into_iter().zip(help::CODES);
    for (code, means) in all.filter(|(code, _)| of.contains(code)) {
        text += &format!("  {code:>3}  {means}\n");
    }
    text
}

/// Reads the command line and does what it says.
#[must_use]
pub fn run() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(message) => {
            color::choose(color::typed(std::env::args_os()));
            return not_parsed(&shown(message));
        }
    };
    color::choose(arguments.color);
    let done = match arguments.command {
        Command::New(command) => command.run(),
        Command::Simulate(command) => command.run(),
        Command::Check(command) => command.run(),
        Command::Compare(command) => command.run(),
        Command::Diary(command) => command.run(),
        Command::Explain(command) => command.run(),
        Command::Schema(command) => command.run(),
        Command::Sweep(command) => command.run(),
        Command::Choose(command) => command.run(),
        Command::Completions(command) => command.run(Arguments::command()),
        Command::Man(command) => command.run(Arguments::command()),
    };
    done.unwrap_or_else(|failure| failure.report())
}

/// A message about the command line that quotes what was typed as a terminal may have it.
fn shown(message: clap::Error) -> clap::Error {
    let typed: Vec<String> = std::env::args_os()
        .map(|word| word.to_string_lossy().into_owned())
        .collect();
    let words: Vec<_> = typed.iter().map(|word| visible::quoted(word)).collect();
    if words.iter().zip(&typed).all(|(shown, word)| shown == word) {
        return message;
    }
    // What does not parse now for another reason is wrong all the same.
    Arguments::try_parse_from(words.iter().map(AsRef::<str>::as_ref))
        .map_or_else(|shown| shown, |_| message)
}

/// Help and version are answers, printed on standard output; anything else is a mistake in the command line.
fn not_parsed(message: &clap::Error) -> ExitCode {
    let text = message.render();
    if message.use_stderr() {
        complain_styled(&text.ansi().to_string());
        return ExitCode::from(HAS_MISTAKES);
    }
    match crate::report::out::print_styled(&text.ansi().to_string()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => Failure::Report(error).report(),
    }
}

impl Failure {
    fn report(self) -> ExitCode {
        match self {
            Self::Mistakes(mistakes) => {
                complain_styled(&mistakes.render(color::on_stderr()));
                let code = if mistakes.is_system() {
                    COULD_NOT
                } else {
                    HAS_MISTAKES
                };
                ExitCode::from(code)
            }
            Self::Usage(text) => {
                complain(&format!("error: {text}\n"));
                ExitCode::from(HAS_MISTAKES)
            }
            Self::Report(error) => {
                complain(&format!("error: {error}\n"));
                ExitCode::from(COULD_NOT)
            }
            Self::Refused(what, cure) => {
                let what: Vec<String> =
                    what.iter().map(|what| format!("error: {what}\n")).collect();
                complain(&format!("{}help: {cure}\n", what.concat()));
                ExitCode::from(HAS_MISTAKES)
            }
            Self::Play(error) => {
                complain(&format!("error: {error}\nhelp: {}\n", error.help()));
                ExitCode::from(match error {
                    PlayError::Threads { .. } => COULD_NOT,
                    PlayError::NoScenario | PlayError::Currencies { .. } => HAS_MISTAKES,
                })
            }
            Self::System(text) => {
                complain(&format!("error: {text}\n"));
                ExitCode::from(COULD_NOT)
            }
        }
    }
}

/// Says something on standard error. If even that cannot be written, nobody would see it.
fn complain(text: &str) {
    complain_as_is(&visible::quoted(text));
}

/// Says what a library has coloured.
fn complain_styled(text: &str) {
    complain_as_is(&visible::of_styled(text));
}

/// Says what has been made safe for a terminal before.
fn complain_as_is(text: &str) {
    let _ = anstream::stderr().lock().write_all(text.as_bytes());
}

/// What stands for standard input where a file is asked for.
const DASH: &str = "-";

fn load(file: &Path) -> Result<Loaded, Failure> {
    let loaded = if file == Path::new(DASH) {
        scenario::load_from(std::io::stdin().lock())
    } else {
        scenario::load(file)
    };
    loaded.map_err(|mistakes| Failure::Mistakes(Box::new(mistakes)))
}
