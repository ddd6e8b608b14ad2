//! Colours and bold: `--color`, and what the environment says where it is `auto`.

use std::ffi::OsString;

use clap::{ColorChoice, ValueEnum};

/// Holds for all that is written from now on.
pub fn choose(choice: ColorChoice) {
    let choice = match choice {
        ColorChoice::Auto => anstream::ColorChoice::Auto,
        ColorChoice::Always => anstream::ColorChoice::Always,
        ColorChoice::Never => anstream::ColorChoice::Never,
    };
    choice.write_global();
}

/// Whether what is written on standard error may have colours.
pub fn on_stderr() -> bool {
    let choice = anstream::AutoStream::choice(&std::io::stderr());
    choice != anstream::ColorChoice::Never
}

/// The choice on a command line that asks for help or could not be read.
pub fn typed(arguments: impl IntoIterator<Item = OsString>) -> ColorChoice {
    let mut arguments = arguments.into_iter().skip(1).take_while(|one| one != "--");
    while let Some(argument) = arguments.next() {
        let argument = argument.to_string_lossy().into_owned();
        let value = match argument.strip_prefix("--color=") {
            Some(value) => value.to_owned(),
            None if argument == "--color" => {
                let next = arguments.next().unwrap_or_default();
                next.to_string_lossy().into_owned()
            }
            None => continue,
        };
        return ColorChoice::from_str(&value, false).unwrap_or(ColorChoice::Auto);
    }
    ColorChoice::Auto
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_choice_is_found_wherever_it_is_typed() {
        let of = |line: &str| typed(line.split(' ').map(OsString::from));
        assert_eq!(of("scullery --help"), ColorChoice::Auto);
        assert_eq!(of("scullery --color=always --help"), ColorChoice::Always);
        assert_eq!(of("scullery sweep --color never -h"), ColorChoice::Never);
        assert_eq!(of("scullery --color"), ColorChoice::Auto);
        assert_eq!(of("scullery --color blue"), ColorChoice::Auto);
        assert_eq!(of("scullery -- --color always"), ColorChoice::Auto);
    }
}
