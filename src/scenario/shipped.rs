//! The scenarios and libraries that come with the program, in the program.

/// A file that comes with the program.
#[derive(Debug, Clone, Copy)]
pub struct Shipped {
    /// Its path in `scenarios/`.
    pub name: &'static str,
    /// What it says.
    pub text: &'static str,
}

macro_rules! files {
    ($($name:literal),* $(,)?) => {
        &[$(Shipped { name: $name, text: include_str!(concat!("../../scenarios/", $name)) }),*]
    };
}

/// All of them, scenarios first.
pub const FILES: &[Shipped] = files![
    "friday-rush.toml",
    "friday-as-it-runs.toml",
    "second-loader.toml",
    "second-loader-from-six.toml",
    "longer-conveyor.toml",
    "tuesday-log.toml",
    "corner-cafe.toml",
    "canteen-lunch.toml",
    "banquet.toml",
    "central-kitchen.toml",
    "library/faults.toml",
    "library/daily-routine.toml",
    "library/rules-five-hours.toml",
    "library/rules-six-hours.toml",
];
