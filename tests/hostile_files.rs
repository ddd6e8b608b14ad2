//! Files that nobody writes by hand: too large, too many, endless, or not meant for us. Each is refused in
//! bounded memory, with a bounded count of allocations, in a short message.

#![cfg(unix)]

use std::fs;
use std::io::{Write as _, pipe};
use std::os::fd::AsRawFd as _;
use std::os::unix::net::UnixListener;
use std::path::{Path, PathBuf};
use std::sync::mpsc;
use std::time::Duration;

use scullery::scenario::{self, Loaded, Mistakes};
use scullery::study::design::read;
use tempfile::TempDir;

/// No message is longer, bytes.
const MAX: usize = 32_768;
/// A child that is still there after this long waits for ever.
const FOR_EVER: Duration = Duration::from_secs(300);

fn folder_with(files: &[(&str, &str)]) -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for (name, text) in files {
        fs::write(folder.path().join(name), text).expect("a file");
    }
    folder
}

fn good() -> PathBuf {
    fs::canonicalize("tests/bad/base/good.toml").expect("its path")
}

fn refused(loaded: Result<Loaded, Mistakes>) -> String {
    let message = loaded.expect_err("it is refused").to_string();
    assert!(message.len() < MAX, "{} bytes", message.len());
    message
}

/// Loads `scenario.toml` of a folder; its message, and how many MB were held at most.
fn counted(folder: &TempDir) -> (String, u64) {
    let path = folder.path().join("scenario.toml");
    let mut message = String::new();
    let counts = allocation_counter::measure(|| message = refused(scenario::load(&path)));
    (message, counts.bytes_max >> 20)
}

#[test]
fn broken_lines_do_not_fill_the_memory() {
    for (bytes, most_mb) in [(4 << 20, 4), (1 << 20, 200), (60 << 10, 200)] {
        let folder = folder_with(&[("scenario.toml", &"x\n".repeat(bytes / 2))]);
        let (message, mb) = counted(&folder);
        assert!(mb <= most_mb, "{mb} MB for {bytes} bytes");
        let said = if bytes > 1 << 20 {
            "larger than 1 MiB"
        } else {
            "this is not TOML"
        };
        assert!(message.contains(said), "{message}");
    }
}

#[test]
fn a_long_line_is_not_printed() {
    let long = "y".repeat(60_000);
    let folder = folder_with(&[("scenario.toml", &format!("title = {long}\n[{long}]\n"))]);
    let (message, _) = counted(&folder);
    assert!(message.len() < 4_096, "{}", message.len());
    assert!(message.contains("scenario.toml:1:"), "{message}");
}

#[test]
fn a_cell_of_megabytes_is_shown_in_few_words() {
    let scenario = format!(
        "based_on = {:?}\n[guests]\nseating = []\nlog = \"till.csv\"\n",
        good()
    );
    let cell = "9".repeat(5_000_000);
    for till in [
        format!("seated_at,covers\n18:05,{cell}\n"),
        format!("seated_at,covers\n{cell},2\n"),
        format!("{cell},covers\n18:05,2\n"),
    ] {
        let folder = folder_with(&[("scenario.toml", &scenario), ("till.csv", &till)]);
        let (message, mb) = counted(&folder);
        assert!(message.len() < 2_048, "{} bytes", message.len());
        assert!(message.contains("till.csv:"), "{message}");
        assert!(mb < 64, "{mb} MB");
    }
}

#[test]
fn a_library_included_thousands_of_times_is_not_read_once() {
    let names = "\"library.toml\",\n".repeat(48_000);
    let library = format!("note = {:?}\n", "n".repeat(100_000));
    let scenario = format!("based_on = {:?}\ninclude = [\n{names}]\n", good());
    let folder = folder_with(&[("scenario.toml", &scenario), ("library.toml", &library)]);
    let path = folder.path().join("scenario.toml");
    let mut message = String::new();
    let counts = allocation_counter::measure(|| message = refused(scenario::load(&path)));
    assert!(message.contains("names 48000 files"), "{message}");
    assert!(counts.count_total < 1_000_000, "{}", counts.count_total);
    assert!(counts.bytes_max < 200 << 20, "{}", counts.bytes_max);
}

/// Eight files, one based on the other, that include sixty-four each.
#[test]
fn there_is_an_end_to_the_files_of_a_scenario() {
    let folder = tempfile::tempdir().expect("a folder");
    for level in 0..8 {
        let name = |at: usize| format!("library-{level}-{at}.toml");
        let include: Vec<String> = (0..64).map(name).collect();
        for name in &include {
            fs::write(folder.path().join(name), "note = \"\"\n").expect("a file");
        }
        let text = format!("based_on = \"{}.toml\"\ninclude = {include:?}\n", level + 1);
        fs::write(folder.path().join(format!("{level}.toml")), text).expect("a file");
    }
    let message = refused(scenario::load(&folder.path().join("0.toml")));
    assert!(message.contains("more than 256 files"), "{message}");
}

/// Calls that wait for ever fail, and do not keep the tests.
fn in_time<T: Send + 'static>(call: impl FnOnce() -> T + Send + 'static) -> T {
    let (done, waits) = mpsc::channel();
    std::thread::spawn(move || done.send(call()));
    waits.recv_timeout(FOR_EVER).expect("it waits for ever")
}

#[test]
fn what_is_no_file_is_not_opened() {
    // Somebody holds the other end, and never says anything.
    let (reader, _writer) = pipe().expect("a pipe");
    let pipe = format!("/proc/self/fd/{}", reader.as_raw_fd());
    let folder = tempfile::tempdir().expect("a folder");
    let socket = folder.path().join("socket");
    let _listener = UnixListener::bind(&socket).expect("a socket");
    for (path, what) in [
        (PathBuf::from(pipe), "it is a pipe, not a file"),
        (PathBuf::from("/dev/zero"), "it is a device, not a file"),
        (socket, "it is a socket, not a file"),
    ] {
        let given = path.clone();
        let alone = in_time(move || refused(scenario::load(&given)));
        assert!(alone.contains(what), "{alone}");
        assert!(alone.contains("standard input"), "{alone}");
        let given = path.clone();
        let study = in_time(move || read::read(&given).expect_err("it is refused").to_string());
        assert!(study.contains(what), "{study}");
        for text in [
            format!("based_on = {path:?}\n"),
            format!("based_on = {:?}\ninclude = [{path:?}]\n", good()),
            format!("based_on = {:?}\nguests = {{ log = {path:?} }}\n", good()),
        ] {
            let folder = folder_with(&[("scenario.toml", &text)]);
            let path = folder.path().join("scenario.toml");
            let message = in_time(move || refused(scenario::load(&path)));
            assert!(message.contains(what), "{message}");
        }
    }
}

/// What stands in a file that somebody named by mistake, or on purpose, stays there.
#[test]
fn a_message_shows_nothing_of_a_file_that_is_not_ours() {
    let secret = "open-sesame";
    let strangers = [
        format!("cook:x:{secret}:/home\n"),
        format!("KEY = \"{secret}\"\n"),
        format!("[service]\nKEY = {secret}\n"),
        format!("title = \"a key\"\n-----{secret}-----\n"),
        format!("{secret}\n"),
    ];
    for stranger in &strangers {
        for text in [
            "based_on = \"stranger\"\n".to_string(),
            format!("based_on = {:?}\ninclude = [\"stranger\"]\n", good()),
            format!(
                "based_on = {:?}\nguests = {{ log = \"stranger\" }}\n",
                good()
            ),
            format!(
                "based_on = {:?}\nscrape = {{ per_unit = {{ observations = \"stranger\" }} }}\n",
                good()
            ),
        ] {
            let folder = folder_with(&[("scenario.toml", &text), ("stranger", stranger)]);
            let message = refused(scenario::load(&folder.path().join("scenario.toml")));
            assert!(!message.contains(secret), "{message}");
            assert!(message.contains("stranger:"), "{message}");
        }
        for text in [
            "base = \"stranger\"\nmeasures = [\"cost\"]\n".to_string(),
            format!(
                "base = {:?}\nmeasures = [\"cost\"]\nsites = {{ file = \"stranger\" }}\n",
                good()
            ),
        ] {
            let folder = folder_with(&[("study.toml", &text), ("stranger", stranger)]);
            let message = read::read(&folder.path().join("study.toml")).expect_err("it is refused");
            assert!(!message.to_string().contains(secret), "{message}");
        }
    }
}

/// Ten factors of 10,000 values are 10^40 points. Every value would be held against the base scenario,
/// which takes some thousand allocations each.
#[test]
fn too_many_points_are_refused_before_they_are_made() {
    let values: Vec<String> = (0..10_000)
        .map(|at| format!("{}", 0.5 + f64::from(at) * 1e-5))
        .collect();
    let values = values.join(", ");
    let mut text = "base = \"tests/two-people.toml\"\nmeasures = [\"wait_mean_min\"]\n".to_string();
    for at in 0..10 {
        text.push_str(&format!(
            "[[factor]]\nname = \"f{at}\"\npath = \"roster[{}].pace\"\nvalues = [{values}]\n",
            if at == 0 { "loader" } else { "unloader" }
        ));
        // Half a MB: 1 MiB is the most that a study holds.
        if text.len() > 500_000 {
            break;
        }
    }
    let mut message = String::new();
    let counts = allocation_counter::measure(|| {
        message = read::read_from(text.as_bytes())
            .expect_err("it is refused")
            .to_string();
    });
    assert!(
        message.contains("more than 1000000 design points"),
        "{message}"
    );
    assert!(counts.count_total < 5_000_000, "{}", counts.count_total);
}

/// What a study with these sites says, and how many allocations reading it took.
fn with_sites(sites: &str) -> (String, u64) {
    let base = fs::canonicalize("tests/two-people.toml").expect("its path");
    let text =
        format!("base = {base:?}\nmeasures = [\"cost\"]\nsites = {{ file = \"sites.csv\" }}\n");
    let folder = folder_with(&[("study.toml", &text), ("sites.csv", sites)]);
    let path = folder.path().join("study.toml");
    let mut message = String::new();
    let counts = allocation_counter::measure(|| {
        message = read::read(&path).expect_err("it is refused").to_string();
    });
    assert!(message.len() < MAX, "{} bytes", message.len());
    (message, counts.count_total)
}

#[test]
fn a_wide_table_of_sites_is_refused_by_its_head() {
    let wide = format!("site{}\na\n", ",roster[loader].pace".repeat(500_000));
    let (message, allocations) = with_sites(&wide);
    assert!(message.contains("500001 columns are more"), "{message}");
    assert!(message.contains("at most 199 values"), "{message}");
    assert!(allocations < 100_000, "{allocations}");
}

/// Holding one row against the base takes some thousand allocations.
#[test]
fn a_column_that_is_wrong_throughout_is_not_read_to_its_end() {
    let mut long = "site,roster[loader].pace\n".to_string();
    (0..5_000).for_each(|at| long.push_str(&format!("s{at},-1\n")));
    let (message, allocations) = with_sites(&long);
    assert!(message.contains("the first 50 shown"), "{message}");
    assert!(allocations < 2_000_000, "{allocations}");
}

#[test]
fn standard_input_is_a_file_like_any_other() {
    let text = "based_on = \"tests/bad/base/good.toml\"\n";
    let loaded =
        scenario::load_from(text.as_bytes()).unwrap_or_else(|mistakes| panic!("{mistakes}"));
    assert_eq!(loaded.name, "stdin");
    assert_eq!(loaded.files[0], Path::new("<stdin>"));
    let wrong = refused(scenario::load_from("[servise]\n".as_bytes()));
    assert!(wrong.contains("<stdin>:1:2"), "{wrong}");
    let empty = refused(scenario::load_from(&b""[..]));
    assert!(empty.contains("`<stdin>`: it is empty"), "{empty}");
    let mut endless = String::new();
    let counts = allocation_counter::measure(|| {
        endless = refused(scenario::load_from(std::io::repeat(b'x')));
    });
    assert!(endless.contains("larger than 1 MiB"), "{endless}");
    assert!(counts.bytes_max < 8 << 20, "{}", counts.bytes_max);
}

#[test]
fn a_study_may_come_from_standard_input() {
    let text = "base = \"tests/two-people.toml\"\nmeasures = [\"wait_mean_min\"]\n";
    let study = read::read_from(text.as_bytes()).unwrap_or_else(|mistakes| panic!("{mistakes}"));
    assert_eq!((study.name.as_str(), study.points()), ("stdin", 1));
    let wrong = read::read_from("base = 3\n".as_bytes()).expect_err("it is refused");
    assert!(wrong.to_string().contains("<stdin>:1:8"), "{wrong}");
}

/// A file that grows while it is read, as a log does, is read no further than it may be.
#[test]
fn a_large_log_is_refused() {
    let folder = folder_with(&[(
        "scenario.toml",
        &format!(
            "based_on = {:?}\nguests = {{ log = \"till.csv\" }}\n",
            good()
        ),
    )]);
    let mut till = fs::File::create(folder.path().join("till.csv")).expect("a file");
    till.write_all(b"seated_at,covers\n").expect("its head");
    till.set_len((16 << 20) + 1).expect("its length");
    let (message, mb) = counted(&folder);
    assert!(message.contains("larger than 16 MiB"), "{message}");
    assert!(mb < 64, "{mb} MB");
}
