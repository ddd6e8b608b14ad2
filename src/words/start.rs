//! What `scullery new` asks, and the comments in the file that it writes.

use crate::scenario::start::{Question, Start, WrongAnswer};

/// The note of a new scenario, which `check` prints.
pub const NOTE: &str = "a start: the shipped figures stand until you put in your own";

/// Above the file: what it is, and what to do with it.
#[must_use]
pub fn head(name: &str, base: &str) -> String {
    format!(
        "A dish room of one's own. It starts from a shipped scenario, `library:{base}`, and says again what\n\
         differs from house to house. All else is as there: menu, soil, seconds per piece, places, air.\n\
         \n\
         What a key means, here or in the shipped file: scullery explain roster.breaks\n\
         The sums, as with paper and pencil:            scullery check {name}.toml\n\
         The service, a thousand times:                 scullery simulate {name}.toml\n\
         \n\
         Seconds per piece matter most, and they are your crew's: time a hundred plates, and put the\n\
         figures in (scullery explain ware.scrape)."
    )
}

/// Above what `check` warns of.
pub const WARNED: &str = "\nWhat `check` warns of in these figures:";

/// Above the hours.
pub const HOURS: &str =
    "When guests may come, and when the last of them sit down. Past midnight is the next day.";
/// Above the seating curve.
pub const GUESTS: &str = "\
Expected covers by interval. They come at random within it. A log of the till is better: see\n\
`scullery explain guests.log`.";
/// Above the ware.
pub const WARE: &str = "\
What the house owns, clean at the start. What runs short is served late, and the simulation counts it.";
/// Above the machines.
pub const MACHINE: &str = "\
The machine: its data plate has the speed or the cycle. `lane` and `landing` are the room for racks\n\
before and after it. `drain` is how long a rack is left before it is unloaded.";
/// Above the roster.
pub const ROSTER: &str = "\
Who is there when. Duties are in order of preference: whoever is free takes the first that has work.\n\
A row with count = 0 is a person one could have.";
/// Above the prices.
pub const PRICES: &str =
    "Prices of the house: per hour, per m³, per kWh, per kg. Invented until you put in your own.";

/// A question, with the answer that Enter takes.
#[must_use]
pub fn asked(start: &Start, question: Question) -> String {
    let text = match question {
        Question::Title => "What is the room called?".into(),
        Question::Opens => "When do you open?".into(),
        Question::Closes => "When do you close?".into(),
        Question::Covers => "How many covers do you expect?".into(),
        Question::People(row) => format!("How many people: {}?", start.role(row)),
    };
    format!("{text} [{}] ", start.answer(question))
}

/// Which kind, after the list of them.
#[must_use]
pub fn which(first: &str) -> String {
    format!("Which is most like yours? [{first}] ")
}

/// Why an answer is asked for again.
#[must_use]
pub fn wrong(why: &WrongAnswer) -> String {
    match why {
        WrongAnswer::NoTime => "That is no time of day, such as 18:30.".into(),
        WrongAnswer::NoNumber(least, most) => {
            format!("That is no whole number from {least} to {most}.")
        }
        WrongAnswer::Impossible(title) => format!("That cannot be: {title}."),
    }
}

/// There is no such kind.
#[must_use]
pub fn no_kind(shown: &str) -> String {
    format!("there is no kind of dish room called {shown}")
}

/// Questions need somebody to answer them.
pub const NO_TERMINAL: &str = "there is no terminal to ask on, and no kind of dish room is given";
/// What to do about that.
pub const SAY_LIKE: &str = "say which with --like; `scullery new --list` has them";
/// The answers ended before the questions.
pub const ENDED: &str = "the answers ended before the questions: nothing was written";
/// What to do about that.
pub const AGAIN: &str = "start again, or take the figures of the shipped scenario with --defaults";

/// It is written: what now.
#[must_use]
pub fn written(path: &str) -> String {
    format!("{path} is written. Next: scullery check {path}")
}

/// There is a file of that name.
#[must_use]
pub fn exists(shown: &str) -> String {
    format!("there is a file `{shown}`; it was not touched")
}

/// What to do about that.
pub const OTHER_NAME: &str = "choose another name";
