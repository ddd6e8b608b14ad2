//! The version, and the commit the build script finds: in repositories made for the purpose. Where there is no
//! `git`, it must find none.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use scullery::version;

use crate::program::{folder, run};

#[path = "../../src/build.rs"]
#[allow(dead_code)] // its `main` is cargo's
mod build;

use build::{Built, Checkout};

#[test]
fn the_version_is_that_of_the_package_and_of_the_commit() {
    let expected = format!("scullery {}\n", version::FULL);
    assert_eq!(run(["--version"]).out, expected);
    assert_eq!(run(["-V"]).out, expected);
    assert_eq!(version::NUMBER, env!("CARGO_PKG_VERSION"));
    let built = version::FULL.strip_prefix(version::NUMBER).unwrap();
    let Some(commit) = version::COMMIT else {
        assert_eq!(built, "", "no commit, no brackets");
        return;
    };
    let inside = built
        .strip_prefix(" (")
        .and_then(|rest| rest.strip_suffix(')'));
    let (named, day) = inside.unwrap().split_once(' ').unwrap();
    assert_eq!(named, commit);
    assert_eq!(day.len(), "2026-11-27".len());
    let digits = commit.split('-').next().unwrap();
    assert!(
        digits.len() == 9 && digits.bytes().all(|b| b.is_ascii_hexdigit()),
        "{commit}"
    );
}

/// `git` as nobody's configuration would have it.
fn git(folder: &Path, arguments: &[&str]) {
    let mut command = Command::new("git");
    command.current_dir(folder).args(arguments);
    command
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .env("GIT_CONFIG_NOSYSTEM", "1");
    for name in ["GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE"] {
        command.env_remove(name);
    }
    for who in ["AUTHOR", "COMMITTER"] {
        command
            .env(format!("GIT_{who}_NAME"), "a")
            .env(format!("GIT_{who}_EMAIL"), "a@b.example");
        command.env(format!("GIT_{who}_DATE"), "2026-11-27T12:00:00Z");
    }
    let output = command.output().expect("git starts");
    assert!(output.status.success(), "{arguments:?}: {output:?}");
}

fn there_is_git() -> bool {
    Command::new("git").arg("--version").output().is_ok()
}

fn commit(folder: &Path) {
    git(folder, &["commit", "-q", "--allow-empty", "-m", "a change"]);
}

/// A folder with sources and a page, not in any repository.
fn sources() -> tempfile::TempDir {
    let place = folder();
    fs::create_dir(place.path().join("src")).unwrap();
    for (name, text) in [
        ("Cargo.toml", "[package]"),
        ("Cargo.lock", ""),
        ("README.md", "Read."),
        ("src/main.rs", "fn main() {}"),
    ] {
        fs::write(place.path().join(name), text).unwrap();
    }
    place
}

/// The same, committed.
fn repository() -> tempfile::TempDir {
    let place = sources();
    git(place.path(), &["init", "-q", "-b", "main"]);
    git(place.path(), &["add", "."]);
    commit(place.path());
    place
}

fn built(folder: &Path) -> Option<Built> {
    Checkout::new(folder, "git").commit()
}

/// The commit as the program would say it.
fn named(folder: &Path) -> String {
    built(folder).expect("a commit").commit
}

#[test]
fn outside_a_repository_or_without_git_there_is_no_commit() {
    let place = sources();
    assert_eq!(built(place.path()), None);
    assert_eq!(Checkout::new(Path::new("."), "no-such-git").commit(), None);
    assert!(
        Checkout::new(Path::new("."), "no-such-git")
            .moves_with_head()
            .is_empty()
    );
    if !there_is_git() {
        return;
    }
    // Inside somebody else's repository, which knows nothing of them.
    let other = folder();
    git(other.path(), &["init", "-q", "-b", "main"]);
    commit(other.path());
    let inside = other.path().join("inside");
    fs::rename(place.path(), &inside).unwrap();
    assert_eq!(built(&inside), None);
}

#[test]
fn what_was_changed_and_not_committed_marks_the_build() {
    if !there_is_git() {
        return;
    }
    let place = repository();
    let write = |name: &str, text: &str| fs::write(place.path().join(name), text).unwrap();
    let clean = built(place.path()).unwrap();
    assert_eq!((clean.commit.len(), clean.date.as_str()), (9, "2026-11-27"));
    // Pages and tests are no part of the program; nor is a file only touched.
    write("README.md", "Read again.");
    write("src/main.rs", "fn main() {}");
    assert_eq!(built(place.path()).unwrap(), clean);
    let mut seen = vec![clean.commit.clone()];
    let mut is_new = |what: &str| {
        let name = named(place.path());
        assert!(
            name.starts_with(&format!("{}-dirty-", clean.commit)),
            "{what}: {name}"
        );
        assert!(!seen.contains(&name), "{what}: {name} again");
        assert_eq!(named(place.path()), name, "the same sources, the same name");
        seen.push(name);
    };
    write("src/main.rs", "fn main() { }");
    is_new("changed");
    write("src/main.rs", "fn main() {  }");
    is_new("changed otherwise");
    write("src/other.rs", "");
    is_new("with a new file");
    write("src/other.rs", "//");
    is_new("with another new file");
    git(place.path(), &["add", "."]);
    is_new("staged");
    commit(place.path());
    let name = named(place.path());
    assert!(name.len() == 9 && name != clean.commit, "{name}");
}

/// What cargo would look at: the files watched, with what is in them.
fn watched(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let paths = Checkout::new(folder, "git").moves_with_head();
    assert!(!paths.is_empty());
    let read = |path: PathBuf| {
        assert!(
            path.exists(),
            "cargo would build again every time: {}",
            path.display()
        );
        let bytes = if path.is_dir() {
            let mut names: Vec<_> = fs::read_dir(&path)
                .unwrap()
                .map(|e| e.unwrap().path())
                .collect();
            names.sort();
            format!("{names:?}").into_bytes()
        } else {
            fs::read(&path).unwrap()
        };
        (path, bytes)
    };
    paths.into_iter().map(read).collect()
}

/// The files watched before a change, as they are after it.
fn moved(folder: &Path, change: impl FnOnce()) -> bool {
    let before = watched(folder);
    change();
    before.iter().any(|(path, bytes)| {
        fs::read(path).unwrap_or_default() != *bytes && {
            path.is_file() || watched(folder).get(path) != Some(bytes)
        }
    })
}

#[test]
fn cargo_builds_again_when_the_head_moves_and_only_then() {
    if !there_is_git() {
        return;
    }
    let place = repository();
    let top = place.path();
    let other = folder();
    let worktree = other.path().join("worktree");
    let path = worktree.to_str().unwrap().to_owned();
    assert!(moved(top, || commit(top)), "a commit");
    assert!(
        !moved(top, || git(
            top,
            &["worktree", "add", "-q", "-b", "side", &path]
        )),
        "a worktree"
    );
    assert!(
        !moved(top, || commit(&worktree)),
        "a commit on another branch"
    );
    assert!(
        moved(&worktree, || commit(&worktree)),
        "a commit in the worktree"
    );
    assert!(
        !moved(&worktree, || commit(top)),
        "a commit beside the worktree"
    );
    assert_ne!(named(top), named(&worktree));
    git(top, &["pack-refs", "--all"]);
    assert!(moved(top, || commit(top)), "a commit on a packed branch");
    assert!(
        moved(&worktree, || commit(&worktree)),
        "and in the worktree"
    );
    assert!(
        moved(top, || git(top, &["checkout", "-q", "--detach"])),
        "detached"
    );
    assert!(moved(top, || commit(top)), "a commit on no branch");
    assert!(
        moved(top, || git(top, &["checkout", "-q", "main"])),
        "another branch"
    );
    assert!(
        moved(top, || git(top, &["reset", "-q", "--hard", "HEAD~1"])),
        "a reset"
    );
}
