//! What a service and money are called stands in tables and in the middle of sentences: short, and words.

use super::{Clash, Sums};
use crate::scenario::visible::is_obeyed;
use crate::scenario::wording::{MARKS, MOST_LETTERS};

/// Reports a name that could not be printed.
pub fn check(sums: &mut Sums<'_>, path: &str, name: Option<&str>, like: &str) {
    let Some(name) = name else {
        return;
    };
    let long = name.chars().count() > MOST_LETTERS;
    let label = match name {
        name if name.trim().is_empty() => "nothing to print".to_owned(),
        name if name.trim() != name => "blanks at an end".to_owned(),
        name if name.contains(|c| is_obeyed(c) || MARKS.contains(&c)) => {
            "not all of it can be printed".to_owned()
        }
        _ if long => format!("longer than {MOST_LETTERS} characters"),
        _ => return,
    };
    let title = format!("`{path}` cannot be printed in tables and sentences");
    sums.wrong(Clash::new(title, path, label).help(format!("a word or two, such as {like}")));
}

/// Reports what the service cannot be called.
pub fn of_service(sums: &mut Sums<'_>) {
    let service = &sums.scenario.service;
    check(
        sums,
        "service.called",
        service.called.as_deref(),
        "\"lunch\"",
    );
    let plural = service.called_plural.as_deref();
    check(sums, "service.called_plural", plural, "\"lunches\"");
    if plural.is_some() && service.called.is_none() {
        sums.wrong(
            Clash::new(
                "several services have a name, one has none",
                "service.called_plural",
                "of what?",
            )
            .help("give `called` in [service] too, or leave this out"),
        );
    }
}
