//! From a file to a scenario: read, merge, check, convert.

use std::collections::BTreeSet;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::amount::Amount;
use super::check::Checked;
use super::mistakes::{Mistake, Mistakes, Sort};
use super::model::Scenario;
use super::origins::Origins;
use super::path::ValuePath;
use super::reach::beside;
use super::sources::{STDIN, Sources, stem};
use super::tree::Node;
use super::{chain, check, reach, sums};

/// With so many mistakes, the sums are not worth doing.
const MANY: usize = 1_000;

/// The name of a scenario that has none of its own.
const UNNAMED: &str = "scenario";

/// A scenario that was read without a mistake.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Loaded {
    /// What it says.
    #[cfg_attr(not(rooms), doc(hidden))]
    pub scenario: Scenario,
    /// The name of its file, without ending.
    pub name: String,
    /// Every file that was read for it, itself first.
    pub files: Vec<PathBuf>,
    /// Those of them that do not say which version of the language they are written in.
    pub unversioned: Vec<PathBuf>,
    /// Where its values stand.
    #[cfg_attr(not(rooms), doc(hidden))]
    pub origins: Origins,
    /// The merged files, to lay changes over.
    whole: Arc<Whole>,
}

/// All that was read for a scenario, merged.
#[derive(Debug)]
struct Whole {
    tree: Node,
    sources: Sources,
}

impl Loaded {
    /// The same scenario with changes laid over it, given as the text of a file in the same folder that is based on
    /// it. No file that was read for it is read again, so this works for a scenario from standard input, too.
    ///
    /// # Errors
    /// All mistakes at once.
    pub fn changed(&self, changes: &str) -> Result<Self, Mistakes> {
        let mut sources = self.whole.sources.clone();
        let mut tree = self.whole.tree.clone();
        let mut mistakes = Vec::new();
        let path = beside(&self.path(), chain::CHANGES);
        chain::lay_over(&mut tree, changes, path, &mut sources, &mut mistakes);
        let changed = finish(tree, sources, mistakes)?;
        Ok(Self {
            name: self.name.clone(),
            files: self.files.clone(),
            unversioned: self.unversioned.clone(),
            ..changed
        })
    }

    /// A digest of all that was read for it: other text, another digest.
    #[must_use]
    pub fn digest(&self) -> String {
        self.whole.sources.digest(&[])
    }

    /// A number of it in the unit it was written in, by a path such as `machine[conveyor].landing`; nothing if it was
    /// left out, or is no number.
    pub(crate) fn amount(&self, path: &str) -> Option<Amount> {
        let path = ValuePath::resolve(path, &self.whole.tree).ok()?;
        Amount::read(path.get(&self.whole.tree)?, path.field()?.kind)
    }

    /// The path of its own file, or what stands for it.
    pub(crate) fn path(&self) -> PathBuf {
        self.files.first().cloned().unwrap_or_default()
    }
}

/// Reads a scenario file, with all it is based on and the logs it names.
///
/// # Errors
/// All mistakes of all these files at once.
pub fn load(path: &Path) -> Result<Loaded, Mistakes> {
    read(path, None, Sources::default())
}

/// Reads a scenario from standard input, or whatever stands for it. Paths in it start at the working
/// folder; messages call it [`STDIN`].
///
/// # Errors
/// All mistakes at once.
pub fn load_from(input: impl Read) -> Result<Loaded, Mistakes> {
    let (mut sources, path) = (Sources::default(), Path::new(STDIN));
    match sources.read_from(input) {
        Ok(_) => read(path, None, sources),
        Err(problem) => {
            let mistake = reach::unreadable("the scenario", path, problem, None);
            Err(Mistakes::new(vec![mistake], sources))
        }
    }
}

/// Reads a scenario from text, as if a file called `name` stood in `folder` with that text in it. Without a folder it
/// may name no other file.
///
/// # Errors
/// All mistakes at once.
pub fn load_text(name: &str, text: &str, folder: Option<&Path>) -> Result<Loaded, Mistakes> {
    let name = Path::new(name).file_name().unwrap_or(UNNAMED.as_ref());
    let path = folder.map_or_else(|| PathBuf::from(name), |folder| folder.join(name));
    let mut sources = Sources::default();
    if let Err(problem) = sources.read_text(&path, text) {
        let mistake = reach::unreadable("the scenario", &path, problem, None);
        return Err(Mistakes::new(vec![mistake], sources));
    }
    if folder.is_none() {
        sources.close();
    }
    read(&path, None, sources)
}

/// The same with changes, given as the text of a file in the same folder that would be based on it.
///
/// # Errors
/// All mistakes of these files and of the changes at once.
pub fn load_changed(path: &Path, changes: &str) -> Result<Loaded, Mistakes> {
    read(path, Some(changes), Sources::default())
}

fn read(path: &Path, changes: Option<&str>, mut sources: Sources) -> Result<Loaded, Mistakes> {
    let mut mistakes = Vec::new();
    let Some(tree) = chain::read(path, changes, &mut sources, &mut mistakes) else {
        return Err(Mistakes::new(mistakes, sources));
    };
    let loaded = finish(tree, sources, mistakes)?;
    Ok(Loaded {
        name: folder_name(&stem(path)),
        files: loaded.files[usize::from(changes.is_some())..].to_vec(),
        ..loaded
    })
}

/// A merged tree, checked; the mistakes so far are those of reading it. It has no name yet, and its files are all that
/// were read.
fn finish(
    tree: Node,
    mut sources: Sources,
    mut mistakes: Vec<Mistake>,
) -> Result<Loaded, Mistakes> {
    let whole = mistakes
        .iter()
        .all(|m| matches!(m.sort, Sort::Value | Sort::Clash));
    let mut checked = checked(&tree, &mut sources, &mut mistakes);
    if whole {
        if checked.is_whole && mistakes.len() < MANY {
            sums::check(
                &checked.value,
                &checked.origins,
                &checked.bad,
                &mut mistakes,
            );
        }
    } else {
        drop_follow_ups(&mut mistakes, &sources);
    }
    if !mistakes.is_empty() {
        return Err(Mistakes::new(mistakes, sources));
    }
    checked.origins.number_lines(&sources);
    Ok(Loaded {
        scenario: checked.value,
        name: String::new(),
        files: sources.paths(),
        unversioned: sources.unversioned(),
        origins: checked.origins,
        whole: Arc::new(Whole { tree, sources }),
    })
}

/// A merged tree as a scenario; nothing if it has mistakes, which are then reported. Every design point of a
/// study goes through this.
pub fn model_of(
    tree: &Node,
    sources: &mut Sources,
    mistakes: &mut Vec<Mistake>,
) -> Option<Scenario> {
    let before = mistakes.len();
    let checked = checked(tree, sources, mistakes);
    if checked.is_whole {
        sums::check(&checked.value, &checked.origins, &checked.bad, mistakes);
    }
    (mistakes.len() == before).then_some(checked.value)
}

fn checked(tree: &Node, sources: &mut Sources, mistakes: &mut Vec<Mistake>) -> Checked<Scenario> {
    check::check("a scenario", tree, sources, mistakes)
}

/// A file that could not be read whole makes things look missing or wrong that are not: what looks
/// wrong stays only if there is no mistake of syntax in its line.
fn drop_follow_ups(mistakes: &mut Vec<Mistake>, sources: &Sources) {
    let line = |m: &Mistake| m.at.as_ref().and_then(|(place, _)| sources.line(place));
    let broken: BTreeSet<_> = mistakes
        .iter()
        .filter(|m| m.sort == Sort::Syntax)
        .filter_map(line)
        .collect();
    let near = |m: &Mistake| line(m).is_some_and(|line| broken.contains(&line));
    mistakes.retain(|m| match m.sort {
        Sort::Missing | Sort::Clash => false,
        Sort::Value => !near(m),
        Sort::System | Sort::File | Sort::Syntax => true,
    });
}

/// The stem of a file as the name of a folder: one that means another place is not taken.
fn folder_name(stem: &str) -> String {
    let plain = !matches!(stem, "" | "." | "..");
    if plain { stem } else { UNNAMED }.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::model::{MachineKind, Places, Shape};

    fn good(path: &str) -> Loaded {
        load(Path::new(path)).unwrap_or_else(|mistakes| panic!("{mistakes}"))
    }

    #[test]
    fn a_stem_that_means_another_place_names_no_folder() {
        assert_eq!(folder_name("friday-rush"), "friday-rush");
        assert_eq!(folder_name(".."), "scenario");
        assert_eq!(folder_name(""), "scenario");
    }

    #[test]
    fn an_evening_loads() {
        let loaded = good("tests/two-people.toml");
        let evening = &loaded.scenario;
        assert_eq!(loaded.name, "two-people");
        assert_eq!(evening.service.closes_s, 23.0 * 3600.0);
        assert_eq!(evening.machine[0].landing, Places::LengthM(1.524));
        let MachineKind::RackConveyor {
            tunnel_m,
            speed_m_per_s,
            ..
        } = evening.machine[0].kind
        else {
            panic!("a conveyor");
        };
        assert_eq!(tunnel_m, 1.1176);
        assert_eq!(speed_m_per_s, 0.030_48);
        assert_eq!(
            loaded.origins.line("roster[unloader].pace").map(|l| l.0),
            Some(Path::new("tests/two-people.toml"))
        );
        assert!(!loaded.origins.is_given("machine[conveyor].wash_factor"));
    }

    #[test]
    fn changes_are_a_variant_without_a_file() {
        let path = Path::new("tests/plain-line.toml");
        let changes = "[[machine]]\nname = \"hood\"\nlane = 4\n";
        let changed = load_changed(path, changes).unwrap_or_else(|mistakes| panic!("{mistakes}"));
        assert_eq!(changed.scenario.machine[0].lane, Places::Count(4));
        assert_eq!(
            (changed.name.as_str(), changed.files.len()),
            ("plain-line", 1)
        );
        let wrong = load_changed(path, "[scrap]\n").unwrap_err().to_string();
        assert!(
            wrong.contains("tests/(changes):1:2") && wrong.contains("`scrape`"),
            "{wrong}"
        );
    }

    /// What is laid over a scenario that is there already comes to what reading both would.
    #[test]
    fn changes_over_what_is_loaded_are_those_over_its_file() {
        let path = Path::new("scenarios/second-loader.toml");
        let changes = "[[roster]]\nname = \"unloader\"\nduties = [\"put-away\", \"unload\"]\n[drop_off]\ntubs = \"3 m\"\n";
        let (loaded, read) = (
            good("scenarios/second-loader.toml"),
            load_changed(path, changes),
        );
        let (changed, read) = (loaded.changed(changes).unwrap(), read.unwrap());
        assert_eq!(changed.scenario, read.scenario);
        assert_eq!((changed.name, changed.files), (read.name, read.files));
        let twice = loaded
            .changed(changes)
            .unwrap()
            .changed("[scrape]\nplaces = 3\n");
        assert_eq!(
            twice.unwrap().scenario.drop_off.tubs,
            Some(Places::LengthM(3.0))
        );
        let wrong = loaded.changed("[scrap]\n").unwrap_err().to_string();
        assert!(wrong.contains("scenarios/(changes):1:2"), "{wrong}");
        assert_eq!(
            loaded.amount("machine[conveyor].landing").map(Amount::text),
            Some("60 in".into())
        );
        assert!(loaded.amount("loading.position").is_none());
        // Of a text without a file, too.
        let text = std::fs::read_to_string("tests/plain-line.toml").unwrap();
        let typed = load_text("typed.toml", &text, None).unwrap();
        assert_eq!(
            typed.changed("title = \"other\"\n").unwrap().scenario.title,
            "other"
        );
    }

    #[test]
    fn a_plain_line_loads_with_its_defaults() {
        let line = good("tests/plain-line.toml").scenario;
        assert_eq!(line.machine[0].contact_time_s, 60.0);
        assert_eq!(line.rack[0].footprint_m, 0.508);
        assert_eq!(line.soil[0].dirty_when_fresh, 0.02);
        assert_eq!(line.roster[0].pace, 1.0);
        let per_unit = &line.unload.as_ref().unwrap().per_unit;
        assert_eq!((per_unit.mean_s, per_unit.shape), (5.0, Shape::Fixed));
        assert!(line.guests.is_none() && line.soak.is_none() && line.walking.is_none());
    }
}
