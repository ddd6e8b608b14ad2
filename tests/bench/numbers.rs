//! The numbers of this build, a line for each room played: what `tests/same-numbers` compares.
//!
//! Every shipped scenario, every scenario of the tests and some hundred random rooms are played, two
//! evenings each. A line has the digest of all measures, the digest of the diary, and the room's name. The
//! last lines count what happened in all of them together: a kind of happening that never came up was
//! not compared. Random rooms come from `common/random_room.rs`; where that changes, builds are not
//! comparable.

#[path = "../common/mod.rs"]
mod common;

use std::collections::BTreeMap;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};

use common::random_room::any_case;
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use scullery::room::Room;
use scullery::scenario::load;
use scullery::service::Service;
use scullery::service::outcome::Outcome;

const EVENINGS: u64 = 2;
const RANDOM_ROOMS: usize = 400;
const FOLDERS: [&str; 3] = ["scenarios", "tests", "tests/rooms"];

/// How often each kind of thing happened.
type Counts = BTreeMap<String, u64>;

/// Of text: the shortest that reads back to the same bits is what numbers are printed as.
fn digest(text: &str) -> u64 {
    let mut hasher = DefaultHasher::new();
    text.hash(&mut hasher);
    hasher.finish()
}

fn play(name: &str, room: &Room, seed: u64, counts: &mut Counts) {
    let mut service = Service::new(room);
    service.keep_diary();
    let mut outcome = Outcome::new(room);
    let (mut measures, mut diary) = (String::new(), String::new());
    for evening in 0..EVENINGS {
        service.play(seed, evening);
        service.outcome(&mut outcome);
        measures += &format!("{outcome:?}\n");
        for line in service.diary() {
            // Not the name of the type, which is no number.
            let text = format!("at: {:?}, what: {:?}", line.at, line.what);
            let what = text.split_once("what: ").map_or("", |(_, what)| what);
            let kind = what.split([' ', '{']).next().unwrap_or_default();
            let kind = match what.split_once("phase: ") {
                Some((_, phase)) => format!("{kind} {}", phase.trim_end_matches([' ', '}'])),
                None => kind.to_owned(),
            };
            *counts.entry(kind).or_default() += 1;
            diary += &text;
        }
    }
    println!("{:016x} {:016x} {name}", digest(&measures), digest(&diary));
}

fn scenarios() -> Vec<PathBuf> {
    let files = FOLDERS.iter().flat_map(|folder| {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        std::fs::read_dir(folder).expect("a folder of scenarios")
    });
    let mut files: Vec<PathBuf> = files
        .filter_map(|file| Some(file.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|end| end == "toml"))
        .collect();
    files.sort();
    files
}

fn main() {
    let mut counts = Counts::new();
    for path in scenarios() {
        let name = path.strip_prefix(env!("CARGO_MANIFEST_DIR"));
        let name = name.unwrap_or(&path).display();
        // Some are parts of others, or no scenarios.
        if let Ok(loaded) = load(&path) {
            play(
                &name.to_string(),
                &Room::of(&loaded.scenario),
                1,
                &mut counts,
            );
        }
    }
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[7; 32]);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    for number in 0..RANDOM_ROOMS {
        let case = any_case().new_tree(&mut runner).expect("a room").current();
        let room = Room::of(&case.scenario);
        play(&format!("random {number}"), &room, case.seed, &mut counts);
    }
    for (kind, count) in counts {
        println!("{count:>12} {kind}");
    }
}
