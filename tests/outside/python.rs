//! Python in an environment of its own, with the packages of `python/requirements.txt` and no others.
//!
//! It is made once under the target folder, and made anew when the requirements change. On a machine
//! without Python, Debian's is installed first (as root, or with sudo).

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::OnceLock;

use serde_json::Value;

const SCRIPTS: &str = "tests/outside/python";

/// Runs a script with arguments and what it reads; what it printed, one JSON document.
///
/// A script that fails, or prints anything else, fails the test.
pub fn run(script: &str, arguments: &[&str], input: &str) -> Value {
    static PYTHON: OnceLock<PathBuf> = OnceLock::new();
    let python = PYTHON.get_or_init(|| set_up().unwrap_or_else(|why| panic!("{why}")));
    run_in(python, script, arguments, input).unwrap_or_else(|why| panic!("{why}"))
}

fn run_in(python: &Path, script: &str, arguments: &[&str], input: &str) -> Result<Value, String> {
    let mut child = Command::new(python)
        .arg(Path::new(SCRIPTS).join(script))
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .map_err(|error| format!("{}: {error}", python.display()))?;
    let mut stdin = child.stdin.take().expect("it was piped");
    let text = input.to_owned();
    // Fed from beside, so that neither waits for the other with full hands.
    let feeder = std::thread::spawn(move || stdin.write_all(text.as_bytes()));
    let ran = child.wait_with_output().map_err(|e| e.to_string())?;
    if !ran.status.success() {
        return Err(format!("{script} failed: {}", ran.status));
    }
    feeder
        .join()
        .expect("it only writes")
        .map_err(|error| format!("{script} did not read: {error}"))?;
    serde_json::from_slice(&ran.stdout).map_err(|error| format!("{script}: {error}"))
}

/// The interpreter of the environment, which is made if it is not there.
fn set_up() -> Result<PathBuf, String> {
    let requirements = Path::new(SCRIPTS).join("requirements.txt");
    let wanted = fs::read_to_string(&requirements).map_err(|e| e.to_string())?;
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("python");
    let (python, made) = (folder.join("bin/python"), folder.join("made-of.txt"));
    if fs::read_to_string(&made).is_ok_and(|have| have == wanted) && answers(&python) {
        return Ok(python);
    }
    if folder.exists() {
        fs::remove_dir_all(&folder).map_err(|e| e.to_string())?;
    }
    if !make_environment(&folder) {
        install_python()?;
        if !make_environment(&folder) {
            return Err("python3 -m venv failed: install python3 and python3-venv".into());
        }
    }
    let mut pip = Command::new(&python);
    pip.args(["-m", "pip", "install", "--quiet", "--no-deps"])
        .args(["--disable-pip-version-check", "--no-input", "-r"])
        .arg(&requirements);
    if !succeeds(&mut pip) {
        return Err(
            "pip could not install what tests/outside/python/requirements.txt names".into(),
        );
    }
    fs::write(&made, wanted).map_err(|e| e.to_string())?;
    Ok(python)
}

fn make_environment(folder: &Path) -> bool {
    succeeds(Command::new("python3").args(["-m", "venv"]).arg(folder))
}

fn answers(python: &Path) -> bool {
    succeeds(Command::new(python).args(["-c", "import scipy, simpy"]))
}

/// Debian's Python, where there is none or it cannot make environments.
fn install_python() -> Result<(), String> {
    let apt = "apt-get update -q && apt-get install -q -y python3 python3-venv";
    let script = format!("if [ \"$(id -u)\" = 0 ]; then {apt}; else sudo -n sh -c '{apt}'; fi");
    if succeeds(Command::new("sh").args(["-c", &script])) {
        return Ok(());
    }
    Err("there is no python3 that can make environments, and apt-get could not install one".into())
}

fn succeeds(command: &mut Command) -> bool {
    let quiet = command.stdin(Stdio::null()).stdout(Stdio::null());
    quiet.status().is_ok_and(|status| status.success())
}

#[test]
fn nothing_passes_where_python_or_its_answer_is_missing() {
    let nowhere = Path::new("tests/outside/no-python-here");
    assert!(run_in(nowhere, "statistics_library.py", &[], "").is_err());
    // A program that prints nothing, and one that fails.
    for program in ["/bin/true", "/bin/false"] {
        assert!(run_in(Path::new(program), "statistics_library.py", &[], "").is_err());
    }
}
