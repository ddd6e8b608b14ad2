//! What was changed between two scenarios, in a few words that a sentence can begin with.

/// Some people of the roster, of one name: `a second loader from 18:00 to 23:30`, `2 runners from 19:00 to 22:00`.
pub fn people(count: u64, name: &str, article: &str, [from, to]: [&str; 2]) -> String {
    let who = match count {
        1 if article == "a " && name.starts_with(['a', 'e', 'i', 'o']) => format!("an {name}"),
        1 => format!("{article}{name}"),
        n => format!("{n} {name}s"),
    };
    format!("{who} from {from} to {to}")
}

/// Somebody who is not there any more.
pub fn doing_without(people: &str) -> String {
    format!("doing without {people}")
}

/// A value that is another.
pub fn changing(path: &str, from: &str, to: &str) -> String {
    format!("changing `{path}` from {from} to {to}")
}

/// A value that only the alternative gives.
pub fn setting(path: &str, to: &str) -> String {
    format!("setting `{path}` to {to}")
}

/// A table that only the alternative has.
pub fn adding(path: &str) -> String {
    format!("adding `{path}`")
}

/// What only the base has.
pub fn leaving_out(path: &str) -> String {
    format!("leaving out `{path}`")
}

/// A list in place of its values.
pub fn list_of(count: usize) -> String {
    format!("a list of {count}")
}

/// A table in place of its values.
pub const THERE: &str = "there";
