//! Small words that many sentences are made of: lists, plurals, numbers as one would say them.

/// `a`, `a and b`, `a, b and c`.
#[must_use]
pub fn listed<S: AsRef<str>>(names: &[S]) -> String {
    match names {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [before @ .., last] => {
            let before: Vec<&str> = before.iter().map(AsRef::as_ref).collect();
            format!("{} and {}", before.join(", "), last.as_ref())
        }
    }
}

/// With a capital.
#[must_use]
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// `1 rack`, `3 racks`.
#[must_use]
pub fn counted(count: u32, thing: &str) -> String {
    match count {
        1 => format!("1 {thing}"),
        _ => format!("{count} {thing}s"),
    }
}

/// To two significant digits, as one would say it.
#[must_use]
pub fn rounded(value: f64) -> String {
    if value < 100.0 {
        return format!("{value:.0}");
    }
    let step = libm::pow(10.0, libm::floor(libm::log10(value)) - 1.0);
    format!("{:.0}", libm::round(value / step) * step)
}

/// Degrees Fahrenheit.
#[must_use]
pub const fn fahrenheit(c: f64) -> f64 {
    c * 1.8 + 32.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_listed_as_people_list_them() {
        assert_eq!(listed(&["load", "scrape", "soak"]), "load, scrape and soak");
        assert_eq!(listed(&["load".to_owned()]), "load");
        assert_eq!(listed::<&str>(&[]), "");
        assert_eq!(capital("soak sinks"), "Soak sinks");
        assert_eq!([counted(1, "tub"), counted(0, "tub")], ["1 tub", "0 tubs"]);
    }
}
