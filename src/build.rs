//! The build script: which commit the program is built from, for `--version`, JSON documents and the stamp of parts.
//!
//! Without `git`, or outside a checkout, there is no commit, and that is no fault. There are no times of building:
//! the same sources give the same program.
//!
//! A build is dirty if something under `src/`, `Cargo.toml` or `Cargo.lock` differs from the commit. Cargo builds again
//! when one of them changes or the head moves, and for nothing else of git's.

use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// What the program is made of. Changed tests and pages make no other program.
const SOURCES: [&str; 3] = ["src", "Cargo.toml", "Cargo.lock"];
/// Digits of a commit: enough for a long history, and the same in every clone.
const DIGITS: usize = 9;

fn main() {
    let top = std::env::var_os("CARGO_MANIFEST_DIR").unwrap_or_default();
    let checkout = Checkout::new(Path::new(&top), "git");
    for path in SOURCES {
        println!("cargo::rerun-if-changed={path}");
    }
    for path in checkout.moves_with_head() {
        println!("cargo::rerun-if-changed={}", path.display());
    }
    let number = std::env::var("CARGO_PKG_VERSION").unwrap_or_default();
    let built = checkout.commit();
    let version = built.as_ref().map_or(number.clone(), |built| {
        format!("{number} ({} {})", built.commit, built.date)
    });
    let commit = built.map_or(String::new(), |built| built.commit);
    println!("cargo::rustc-env=SCULLERY_VERSION={version}");
    println!("cargo::rustc-env=SCULLERY_COMMIT={commit}");
}

/// A commit, and the day it was made.
#[derive(Debug, PartialEq, Eq)]
pub struct Built {
    /// `908f870a1`, `908f870a1-dirty-03c41f2`.
    pub commit: String,
    /// `2026-11-27`.
    pub date: String,
}

/// The folder of the sources, asked through `git`.
pub struct Checkout<'a> {
    top: &'a Path,
    git: &'a str,
}

impl<'a> Checkout<'a> {
    /// Of the sources in `top`, with the program `git` of that name.
    pub fn new(top: &'a Path, git: &'a str) -> Self {
        Self { top, git }
    }

    /// The commit that is checked out, with a digest of what was changed since; nothing if the sources are in no
    /// repository.
    pub fn commit(&self) -> Option<Built> {
        // Sources unpacked inside somebody else's repository are not of its commit.
        self.ask(&["ls-files", "--error-unmatch", "Cargo.toml"])?;
        let head = self.ask(&["log", "-1", "--no-show-signature", "--format=%H %cs"])?;
        let head = String::from_utf8(head).ok()?;
        let (commit, date) = head.trim().split_once(' ')?;
        let commit = commit.get(..DIGITS)?;
        let dirty = self.changes().map(|digest| format!("-dirty-{digest}"));
        Some(Built {
            commit: format!("{commit}{}", dirty.unwrap_or_default()),
            date: date.to_owned(),
        })
    }

    /// A digest of what was changed in the sources and not committed, so that two such builds differ too.
    fn changes(&self) -> Option<String> {
        let diff = [
            "diff",
            "HEAD",
            "--no-ext-diff",
            "--no-color",
            "--binary",
            "--",
        ];
        let diff = self
            .ask(&[&diff[..], &SOURCES].concat())
            .unwrap_or_default();
        let new = ["ls-files", "-z", "--others", "--exclude-standard", "--"];
        let new = self.ask(&[&new[..], &SOURCES].concat()).unwrap_or_default();
        if diff.is_empty() && new.is_empty() {
            return None;
        }
        let mut digest = DefaultHasher::new();
        (&diff, &new).hash(&mut digest);
        for name in String::from_utf8_lossy(&new).split_terminator('\0') {
            std::fs::read(self.top.join(name)).ok().hash(&mut digest);
        }
        Some(format!("{:07x}", digest.finish() >> 36))
    }

    /// Files that change when another commit is checked out. One that is not there would have cargo build again
    /// every time.
    pub fn moves_with_head(&self) -> Vec<PathBuf> {
        let head = self.path("HEAD");
        let branch = self.ask(&["symbolic-ref", "--quiet", "HEAD"]);
        let branch = branch.and_then(|name| self.path(String::from_utf8_lossy(&name).trim()));
        let loose = branch.filter(|path| path.is_file());
        let mut paths = vec![head];
        if loose.is_none() {
            // A branch whose commit stands in a shared file gets a file of its own with its next commit.
            paths.extend(["packed-refs", "logs/HEAD", "reftable"].map(|name| self.path(name)));
        }
        paths.push(loose);
        paths
            .into_iter()
            .flatten()
            .filter(|path| path.exists())
            .collect()
    }

    /// Where `git` keeps something: a worktree has some of it to itself and shares the rest.
    fn path(&self, name: &str) -> Option<PathBuf> {
        let path = self.ask(&["rev-parse", "--git-path", name])?;
        let path = String::from_utf8(path).ok()?;
        Some(self.top.join(path.trim_end_matches(['\r', '\n'])))
    }

    fn ask(&self, arguments: &[&str]) -> Option<Vec<u8>> {
        let mut command = Command::new(self.git);
        command.arg("--no-optional-locks").args(arguments);
        // A hook that builds has these set, to another repository perhaps.
        for name in ["GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE", "GIT_PREFIX"] {
            command.env_remove(name);
        }
        let quiet = command.stdin(Stdio::null()).stderr(Stdio::null());
        let output = quiet.current_dir(self.top).output().ok()?;
        output.status.success().then_some(output.stdout)
    }
}
