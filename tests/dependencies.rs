//! What the program and its tests are built of: packages of the registry, each with its checksum, under
//! licences that let everybody use them.

use std::collections::BTreeSet;
use std::process::Command;

use serde_json::Value;

/// Where packages come from.
const REGISTRY: &str = "registry+https://github.com/rust-lang/crates.io-index";

/// Licences that ask for no more than their text to be passed on, by their SPDX names.
const LICENCES: [&str; 10] = [
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "ISC",
    "MIT",
    "MIT-0",
    "Unicode-3.0",
    "Zlib",
];

/// Packages that are reported unmaintained.
const UNMAINTAINED: [&str; 1] = ["ttf-parser"];

fn packages() -> Vec<toml::Table> {
    let lock: toml::Table = include_str!("../Cargo.lock").parse().unwrap();
    let packages = lock["package"].as_array().unwrap().iter();
    packages.map(|p| p.as_table().unwrap().clone()).collect()
}

#[test]
fn every_package_comes_from_the_registry_with_a_checksum() {
    let packages = packages();
    assert!(packages.len() > 50);
    let (own, others): (Vec<_>, Vec<_>) = packages
        .iter()
        .partition(|p| p["name"].as_str() == Some("scullery"));
    assert_eq!(own.len(), 1);
    for package in others {
        let text = |key: &str| package.get(key).and_then(toml::Value::as_str);
        let name = text("name").unwrap();
        assert_eq!(text("source"), Some(REGISTRY), "{name}");
        let sum = text("checksum").unwrap_or_default();
        let is_sum = sum.len() == 64 && sum.bytes().all(|b| b.is_ascii_hexdigit());
        assert!(is_sum, "{name}: {sum:?}");
        assert!(
            !UNMAINTAINED.contains(&name),
            "{name} is reported unmaintained"
        );
    }
}

#[test]
fn every_licence_is_on_the_list() {
    let metadata = metadata();
    let needed: BTreeSet<&str> = metadata["resolve"]["nodes"]
        .as_array()
        .unwrap()
        .iter()
        .flat_map(|node| node["id"].as_str())
        .collect();
    assert!(needed.len() > 50);
    let all = metadata["packages"].as_array().unwrap().iter();
    let refused: Vec<String> = all
        .filter(|package| needed.contains(package["id"].as_str().unwrap_or_default()))
        .filter(|package| !is_allowed(package["license"].as_str().unwrap_or_default()))
        .map(|package| format!("{}: {}", package["name"], package["license"]))
        .collect();
    assert!(refused.is_empty(), "{refused:#?}");
}

/// What is built on this machine, tests included, as cargo knows it without asking anybody.
fn metadata() -> Value {
    let cargo = std::env::var_os("CARGO").unwrap_or("cargo".into());
    let about = Command::new(&cargo).arg("-vV").output().unwrap();
    let about = String::from_utf8(about.stdout).unwrap();
    let host = about.lines().find_map(|line| line.strip_prefix("host: "));
    let output = Command::new(&cargo)
        .args(["metadata", "--locked", "--offline", "--format-version", "1"])
        .args(["--filter-platform", host.unwrap()])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    let message = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{message}");
    serde_json::from_slice(&output.stdout).unwrap()
}

/// What another program takes with the library, by the features it asks for.
fn taken(features: &str) -> BTreeSet<String> {
    let cargo = std::env::var_os("CARGO").unwrap_or("cargo".into());
    let output = Command::new(&cargo)
        .args(["tree", "--locked", "--offline", "--edges", "normal"])
        .args(["--prefix", "none", "--format", "{lib}"])
        .args(["--no-default-features", "--features", features])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    let message = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{message}");
    let names = String::from_utf8(output.stdout).unwrap();
    names.lines().map(str::to_owned).collect()
}

/// Packages that only the program needs, and those that only the charts need.
#[test]
fn who_takes_the_engine_takes_neither_the_program_nor_the_charts() {
    let of_cli = [
        "anstream",
        "clap",
        "ctrlc",
        "indicatif",
        "supports_hyperlinks",
    ];
    let of_charts = ["plotters", "plotters_backend", "png", "skrifa", "tiny_skia"];
    for (features, cli, charts) in [
        ("", false, false),
        ("cli", true, false),
        ("charts", false, true),
        ("cli,charts", true, true),
    ] {
        let taken = taken(features);
        assert!(taken.contains("rayon"), "{taken:?}");
        for (packages, wanted) in [(of_cli, cli), (of_charts, charts)] {
            for package in packages {
                assert_eq!(taken.contains(package), wanted, "{features}: {package}");
            }
        }
    }
}

/// Whether an SPDX expression leaves a choice of licences that are all on the list. `/` is an old way to
/// write `OR`.
fn is_allowed(expression: &str) -> bool {
    let spaced = expression.replace('/', " OR ");
    let spaced = spaced.replace('(', " ( ").replace(')', " ) ");
    let mut words = spaced.split_whitespace().peekable();
    any(&mut words) && words.next().is_none()
}

type Words<'a, 'b> = &'a mut std::iter::Peekable<std::str::SplitWhitespace<'b>>;

fn any(words: Words<'_, '_>) -> bool {
    let mut allowed = every(words);
    while words.next_if_eq(&"OR").is_some() {
        allowed |= every(words);
    }
    allowed
}

fn every(words: Words<'_, '_>) -> bool {
    let mut allowed = one(words);
    while words.next_if_eq(&"AND").is_some() {
        allowed &= one(words);
    }
    allowed
}

fn one(words: Words<'_, '_>) -> bool {
    if words.next_if_eq(&"(").is_some() {
        let allowed = any(words);
        return words.next() == Some(")") && allowed;
    }
    let mut name = words.next().unwrap_or_default().to_owned();
    if words.next_if_eq(&"WITH").is_some() {
        name = format!("{name} WITH {}", words.next().unwrap_or_default());
    }
    LICENCES.contains(&name.as_str())
}

#[test]
fn expressions_are_read_as_they_are_meant() {
    for allowed in [
        "MIT",
        "MIT/Apache-2.0",
        "GPL-3.0-only OR MIT",
        "(MIT OR Apache-2.0) AND Unicode-3.0",
        "Apache-2.0 WITH LLVM-exception OR GPL-2.0-only",
    ] {
        assert!(is_allowed(allowed), "{allowed}");
    }
    for refused in [
        "",
        "GPL-3.0-only",
        "MIT AND GPL-3.0-only",
        "(MIT OR Apache-2.0) AND GPL-3.0-only",
        "GPL-2.0-only WITH LLVM-exception",
        "(MIT",
        "MIT MIT",
    ] {
        assert!(!is_allowed(refused), "{refused}");
    }
}
