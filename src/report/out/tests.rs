use super::*;

#[test]
fn opening_makes_the_folder_and_leaves_nothing_in_it() {
    let root = tempfile::tempdir().unwrap();
    let folder = OutputFolder::open(root.path().join("a/b")).unwrap();
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}

#[test]
fn a_file_in_the_way_is_named_with_its_cure() {
    let root = tempfile::tempdir().unwrap();
    let path = root.path().join("taken");
    std::fs::write(&path, "x").unwrap();
    let message = OutputFolder::open(&path).unwrap_err().to_string();
    assert!(message.contains("taken"), "{message}");
    assert!(message.contains("help: a file is in the way"), "{message}");
}

#[test]
fn a_failed_write_leaves_the_earlier_file_whole() {
    let root = tempfile::tempdir().unwrap();
    let folder = OutputFolder::open(root.path()).unwrap();
    folder.write("a.csv", |w| w.write_all(b"whole")).unwrap();
    assert_eq!(folder.keep().unwrap(), 1);
    let failed = folder.write("a.csv", |w| {
        w.write_all(b"ha")?;
        Err(io::Error::other("pulled the plug"))
    });
    assert!(matches!(failed, Err(ReportError::File { .. })));
    assert_eq!(
        std::fs::read_to_string(root.path().join("a.csv")).unwrap(),
        "whole"
    );
    drop(folder);
    assert_eq!(std::fs::read_dir(root.path()).unwrap().count(), 1);
}

#[test]
fn files_come_all_together_or_not_at_all() {
    let root = tempfile::tempdir().unwrap();
    let read = || std::fs::read_to_string(root.path().join("a.csv")).unwrap();
    let folder = OutputFolder::open(root.path()).unwrap();
    folder.write("a.csv", |w| w.write_all(b"old")).unwrap();
    folder.keep().unwrap();
    folder.write("a.csv", |w| w.write_all(b"new")).unwrap();
    assert_eq!(read(), "old");
    std::fs::create_dir(root.path().join("b.csv")).unwrap();
    folder.write("b.csv", |w| w.write_all(b"new")).unwrap();
    let message = folder.keep().unwrap_err().to_string();
    assert!(message.contains("b.csv") && message.contains("a folder of that name"));
    assert_eq!(read(), "old");
    assert_eq!(std::fs::read_dir(root.path()).unwrap().count(), 2);
}

/// Five files of which three have an earlier one, a folder that is there and one that is not.
const FIVE: [&str; 5] = ["a.csv", "b.csv", "charts/c.svg", "new.csv", "new/d.svg"];

fn write_five(folder: &OutputFolder, text: &[u8]) {
    for name in FIVE {
        folder.write(name, |w| w.write_all(text)).unwrap();
    }
}

fn with_earlier() -> tempfile::TempDir {
    let root = tempfile::tempdir().unwrap();
    let folder = OutputFolder::open(root.path()).unwrap();
    for name in &FIVE[..3] {
        folder.write(name, |w| w.write_all(b"old")).unwrap();
    }
    folder.keep().unwrap();
    root
}

/// Everything below a folder, with what the files say.
fn all(folder: &Path) -> Vec<(PathBuf, Option<String>)> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(all(&path));
            found.push((path, None));
        } else {
            found.push((path.clone(), std::fs::read_to_string(path).ok()));
        }
    }
    found.sort();
    found
}

#[test]
fn whichever_rename_fails_all_is_as_it_was() {
    let root = with_earlier();
    std::fs::write(root.path().join("stale.svg"), "old").unwrap();
    let before = all(root.path());
    for (failing, name) in FIVE.iter().enumerate() {
        let folder = OutputFolder::open(root.path()).unwrap();
        write_five(&folder, b"new");
        folder.remove("stale.svg");
        let mut renames = 0;
        let message = folder.keep_by(&mut |from, to| {
            renames += 1;
            if renames > failing {
                return Err(io::ErrorKind::PermissionDenied.into());
            }
            std::fs::rename(from, to)
        });
        let message = message.unwrap_err().to_string();
        assert!(message.contains(name), "{message}");
        assert_eq!(all(root.path()), before, "{failing}");
    }
    let folder = OutputFolder::open(root.path()).unwrap();
    write_five(&folder, b"new");
    folder.remove("stale.svg");
    folder.remove("never-there.svg");
    // Folders are nobody's picture, and what is new is not stale.
    folder.remove("charts");
    folder.remove(FIVE[0]);
    assert!(root.path().join("stale.svg").exists());
    assert_eq!(folder.keep().unwrap(), FIVE.len());
    let after = all(root.path());
    assert!(after.iter().flat_map(|f| &f.1).all(|text| text == "new"));
    assert_eq!(after.len(), FIVE.len() + 2);
}

/// The rename itself refuses: a folder within lies on another file system.
#[cfg(target_os = "linux")]
#[test]
fn a_rename_that_the_system_refuses_leaves_all_as_it_was() {
    let (root, Ok(apart)) = (with_earlier(), tempfile::tempdir_in("/dev/shm")) else {
        return;
    };
    std::os::unix::fs::symlink(apart.path(), root.path().join("new")).unwrap();
    let before = all(root.path());
    let folder = OutputFolder::open(root.path()).unwrap();
    write_five(&folder, b"new");
    if let Err(error) = folder.keep() {
        assert!(error.to_string().contains("new/d.svg"), "{error}");
        assert_eq!(all(root.path()), before);
    }
}

/// Is run by the test below, in a process of its own.
#[cfg(unix)]
#[test]
fn is_killed_amid_its_renames() {
    let Ok(path) = std::env::var("SCULLERY_TEST_KILLED_IN") else {
        return;
    };
    let folder = OutputFolder::open(path).unwrap();
    write_five(&folder, b"new");
    folder.remove("stale.svg");
    let mut renames = 0;
    let _ = folder.keep_by(&mut |from, to| {
        renames += 1;
        if renames == 5 {
            std::process::abort();
        }
        std::fs::rename(from, to)
    });
}

#[cfg(unix)]
#[test]
fn what_a_killed_run_left_is_removed_and_the_earlier_results_are_back() {
    let root = with_earlier();
    std::fs::write(root.path().join("stale.svg"), "old").unwrap();
    let before = all(root.path());
    let test = "report::out::tests::is_killed_amid_its_renames";
    let killed = std::process::Command::new(std::env::current_exe().unwrap())
        .args(["--exact", test, "--test-threads=1"])
        .env("SCULLERY_TEST_KILLED_IN", root.path())
        .output()
        .unwrap();
    assert_eq!(killed.status.code(), None, "{killed:?}");
    let mixed = all(root.path());
    assert!(!root.path().join("stale.svg").exists());
    assert!(mixed.contains(&(root.path().join("new.csv"), Some("new".into()))));
    OutputFolder::open(root.path()).unwrap();
    assert_eq!(all(root.path()), before);
}

/// A run that was killed while its last files were removed, its lock among the first.
#[test]
fn what_was_left_without_a_lock_is_removed_and_what_is_not_ours_stays() {
    let root = tempfile::tempdir().unwrap();
    let make = |name: &str| {
        let path = root.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, "x").unwrap();
    };
    make(".scullery-abcdef/old-1");
    make(".scullery-abcdef/12");
    make(".scullery-notes/3");
    make(".scullery-notes/old-mine");
    OutputFolder::open(root.path()).unwrap();
    let notes = root.path().join(".scullery-notes");
    let mine = (notes.join("old-mine"), Some("x".into()));
    assert_eq!(all(root.path()), [(notes, None), mine]);
}

#[test]
fn a_run_that_goes_on_keeps_its_files() {
    let root = with_earlier();
    let first = OutputFolder::open(root.path()).unwrap();
    first.write("a.csv", |w| w.write_all(b"first")).unwrap();
    let second = OutputFolder::open(root.path()).unwrap();
    second.write("b.csv", |w| w.write_all(b"second")).unwrap();
    assert_eq!(second.keep().unwrap(), 1);
    assert_eq!(first.keep().unwrap(), 1);
    let read = |name| std::fs::read_to_string(root.path().join(name)).unwrap();
    assert_eq!(
        (read("a.csv"), read("b.csv")),
        ("first".into(), "second".into())
    );
    drop((first, second));
    assert_eq!(std::fs::read_dir(root.path()).unwrap().count(), 3);
}

#[test]
fn old_single_files_set_aside_are_removed_and_young_ones_stay() {
    let root = tempfile::tempdir().unwrap();
    let make = |name: &str, age_s: u64| {
        let file = std::fs::File::create(root.path().join(name)).unwrap();
        let age = std::time::Duration::from_secs(age_s);
        file.set_modified(std::time::SystemTime::now() - age)
            .unwrap();
    };
    make(".scullery-old.part", 100_000);
    make(".scullery-young.part", 1);
    make("mine.part", 100_000);
    OutputFolder::open(root.path()).unwrap();
    let names = all(root.path());
    let names: Vec<_> = names.iter().map(|f| f.0.file_name().unwrap()).collect();
    assert_eq!(names, [".scullery-young.part", "mine.part"]);
}

/// A journal that was tampered with reaches nothing outside of the folder.
#[test]
fn a_journal_that_points_elsewhere_is_not_followed() {
    let root = tempfile::tempdir().unwrap();
    std::fs::write(root.path().join("mine"), "mine").unwrap();
    let own = root.path().join("out/.scullery-abc");
    std::fs::create_dir_all(&own).unwrap();
    std::fs::write(own.join("lock"), "").unwrap();
    let journal = r#"{"files":["../mine"],"folders":[]}"#;
    std::fs::write(own.join("journal"), journal).unwrap();
    OutputFolder::open(root.path().join("out")).unwrap();
    assert_eq!(
        std::fs::read_to_string(root.path().join("mine")).unwrap(),
        "mine"
    );
    assert!(!own.exists());
}

#[cfg(target_os = "linux")]
#[test]
fn files_are_closed_as_they_are_written() {
    let root = tempfile::tempdir().unwrap();
    let folder = OutputFolder::open(root.path()).unwrap();
    let inside = std::fs::canonicalize(root.path()).unwrap();
    let open = || {
        let links = std::fs::read_dir("/proc/self/fd").unwrap().flatten();
        let targets = links.flat_map(|link| std::fs::read_link(link.path()));
        targets.filter(|target| target.starts_with(&inside)).count()
    };
    let most = std::sync::atomic::AtomicUsize::new(0);
    std::thread::scope(|scope| {
        for thread in 0..4 {
            let (folder, most, open) = (&folder, &most, &open);
            scope.spawn(move || {
                for i in 0..10 {
                    let name = format!("{thread}-{i}.csv");
                    let fill = |w: &mut dyn Write| {
                        most.fetch_max(open(), std::sync::atomic::Ordering::Relaxed);
                        w.write_all(b"text")
                    };
                    folder.write(&name, fill).unwrap();
                }
            });
        }
    });
    // The lock of the run, and the file that is being written.
    assert_eq!((most.into_inner(), open()), (2, 1));
    assert_eq!(folder.keep().unwrap(), 40);
}

#[test]
fn folders_within_are_made_and_a_file_in_their_way_is_named() {
    let root = tempfile::tempdir().unwrap();
    let folder = OutputFolder::open(root.path()).unwrap();
    let write = || {
        folder.write("a.csv", |w| w.write_all(b"a")).unwrap();
        folder.write("charts/b.svg", |w| w.write_all(b"b")).unwrap()
    };
    std::fs::write(root.path().join("charts"), "in the way").unwrap();
    write();
    let message = folder.keep().unwrap_err().to_string();
    assert!(message.contains("a file is in the way"), "{message}");
    assert!(!root.path().join("a.csv").exists());
    std::fs::remove_file(root.path().join("charts")).unwrap();
    let path = write();
    assert_eq!(folder.keep().unwrap(), 2);
    assert_eq!(std::fs::read(path).unwrap(), b"b");
}

#[test]
fn what_a_csv_writer_meets_keeps_its_kind() {
    let kind = io::ErrorKind::StorageFull;
    let fill = |to: &mut dyn Write| -> io::Result<()> {
        let mut csv = csv::Writer::from_writer(to);
        Ok(csv.write_record(["x".repeat(100_000)])?)
    };
    let met = fill(&mut Gone(kind)).unwrap_err();
    assert_eq!(underlying(met).kind(), kind);
}

#[cfg(unix)]
#[test]
fn files_can_be_read_by_whom_the_mask_allows() {
    use std::os::unix::fs::PermissionsExt;
    let root = tempfile::tempdir().unwrap();
    let plain = root.path().join("plain");
    std::fs::write(&plain, "x").unwrap();
    let folder = OutputFolder::open(root.path()).unwrap();
    let ours = folder.write("ours", |w| w.write_all(b"x")).unwrap();
    folder.keep().unwrap();
    let mode = |path: &Path| std::fs::metadata(path).unwrap().permissions().mode();
    assert_eq!(mode(&ours), mode(&plain));
}

struct Gone(io::ErrorKind);

impl Write for Gone {
    fn write(&mut self, _: &[u8]) -> io::Result<usize> {
        Err(self.0.into())
    }
    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

#[test]
fn a_reader_who_left_is_success_and_a_full_disk_is_not() {
    assert!(pour(&mut Gone(io::ErrorKind::BrokenPipe), "text").is_ok());
    assert!(pour(&mut Gone(io::ErrorKind::StorageFull), "text").is_err());
}
