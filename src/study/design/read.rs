//! A study file to a [`Study`]: read, held against the table of fields, resolved against its base.
//!
//! All mistakes are reported at once, those of the study, of its base and of the sites, each with its place
//! and a cure.

use std::io::Read;
use std::path::Path;

use super::coordinate::{Coordinate, LAST, Points};
use super::factor::{Factor, Varies};
use super::reader::Reader;
use super::study::{Places, Replications, Study};
use super::wanted::{self, Choose, Limit, Seeks, Target};
use super::{columns, latin_hypercube, row, sites, sobol};
use crate::room::Room;
use crate::room::water::Water;
use crate::scenario::Mistakes;
use crate::scenario::fields::study::StudyFile;
use crate::scenario::mistakes::{Mistake, Sort};
use crate::scenario::model::Scenario;
use crate::scenario::sources::{Format, STDIN, Sources, stem};
use crate::scenario::tree::{self, Node, Table, Value};
use crate::scenario::version::{self, Version};
use crate::scenario::wording::Wording;
use crate::scenario::{chain, check, fields, load, reach};
use crate::service::measure::Measure;

/// Factors of words with more levels than this are not moved alone.
const MAX_WORDS: usize = 8;

/// No more levels are held against the base once so many mistakes are known.
const MAX_MISTAKES: usize = 100;

/// Reads a study.
///
/// # Errors
/// All its mistakes at once; of very many the first ones.
pub fn read(path: &Path) -> Result<Study, Box<Mistakes>> {
    read_with(path, Sources::default())
}

/// Reads a study from standard input, or whatever stands for it. Paths in it start at the working folder.
///
/// # Errors
/// All its mistakes at once.
pub fn read_from(input: impl Read) -> Result<Study, Box<Mistakes>> {
    let (mut sources, path) = (Sources::default(), Path::new(STDIN));
    match sources.read_from(input) {
        Ok(_) => read_with(path, sources),
        Err(problem) => {
            let mistake = reach::unreadable("the study", path, problem, None);
            Err(Box::new(Mistakes::new(vec![mistake], sources)))
        }
    }
}

fn read_with(path: &Path, mut sources: Sources) -> Result<Study, Box<Mistakes>> {
    let mut mistakes = Vec::new();
    let study = try_read(path, &mut sources, &mut mistakes);
    match study {
        Some(study) if mistakes.is_empty() => Ok(study),
        _ => Err(Box::new(Mistakes::new(mistakes, sources))),
    }
}

fn try_read(path: &Path, sources: &mut Sources, mistakes: &mut Vec<Mistake>) -> Option<Study> {
    let file = match sources.read(path, Format::Toml) {
        Ok(file) => file,
        Err(problem) => {
            mistakes.push(reach::unreadable("the study", path, problem, None));
            return None;
        }
    };
    let (mut root, syntax) = tree::parse(sources.text(file), file);
    mistakes.extend(syntax);
    if !mistakes.is_empty() {
        return None;
    }
    if version::check(&root, mistakes) == Version::Unreadable {
        return None;
    }
    if at(&root, "base").is_none() && at(&root, "service").is_some() {
        let mistake = Mistake::new(Sort::File, "this is a scenario, not a study")
            .at(&root.place, "it has no `base`")
            .help("a study is a file of its own that names a scenario, like base = \"friday-rush.toml\"");
        mistakes.push(mistake);
        return None;
    }
    let known = fields::of_study();
    chain::drop_duplicates_below(&mut root, &known, "", mistakes);
    let file: StudyFile = check::check("a study", &root, sources, mistakes).value;
    let base_node = at(&root, "base")?;
    let (base, scenario) = base(path, base_node, sources, mistakes)?;
    let mut targets = targets(&root, &file, mistakes);
    if !targets.is_empty() || file.choose.is_some() {
        targets.extend(of_safety(&scenario, &targets, &file));
    }
    let mut study = Study {
        title: file.title.clone(),
        note: file.note.clone(),
        name: stem(path),
        seed: u64::from(file.seed),
        replications: Replications::Fixed(u64::from(file.replications)),
        measures: Vec::new(),
        asked: 0,
        targets,
        choose: None,
        factors: Vec::new(),
        points: Points::Grid,
        alone: Vec::new(),
        wording: Wording::of_tree(&base),
        base_title: base.text_of("title").unwrap_or_default().to_string(),
        base,
        sources: Sources::default(),
        places: places(&root),
    };
    measures(&mut study, &root, &file, mistakes);
    factors(&mut study, &root, sources, mistakes);
    no_path_twice(&study, mistakes);
    columns::check(&study, mistakes);
    if too_many_points(&study, &root, &file, mistakes) {
        return None;
    }
    design(&mut study, &root, &file, mistakes);
    for level in study.all_levels() {
        mistakes.extend(study.wrong_alone(&level, sources));
        // A wrong column of a long table would be reported once for each row.
        if mistakes.len() > MAX_MISTAKES {
            break;
        }
    }
    if file.one_at_a_time {
        study.alone = alone(&study);
    }
    study.sources = sources.clone();
    Some(study)
}

/// The node of a key at the top.
fn at<'n>(root: &'n Node, key: &str) -> Option<&'n Node> {
    Some(&root.table()?.get(key)?.node)
}

/// The rows of a list at the top.
fn rows<'n>(root: &'n Node, key: &str) -> &'n [Node] {
    match at(root, key).map(|node| &node.value) {
        Some(Value::List(rows)) => rows,
        _ => &[],
    }
}

fn places(root: &Node) -> Places {
    let targets = rows(root, "target").iter();
    Places {
        file: root.place.clone(),
        targets: targets.map(|row| row.place.clone()).collect(),
        choose: at(root, "choose").map(|node| node.place.clone()),
    }
}

/// The base scenario, which must be right by itself.
fn base(
    study: &Path,
    named: &Node,
    sources: &mut Sources,
    mistakes: &mut Vec<Mistake>,
) -> Option<(Node, Scenario)> {
    let path = reach::beside(study, named.text()?);
    let before = mistakes.len();
    let place = Some(named.place.clone());
    let base = chain::read_named(&path, place, None, sources, mistakes)?;
    if mistakes.len() > before {
        return None;
    }
    let scenario = load::model_of(&base, sources, mistakes)?;
    Some((base, scenario))
}

/// The targets that a study has by itself, unless it has its own on their measures: a design that washes cold, washes
/// in old water, breaks a rule of working hours or leaves work undone is never the cheaper one.
fn of_safety(scenario: &Scenario, targets: &[Target], file: &StudyFile) -> Vec<Target> {
    let room = Room::of(scenario);
    let water = || room.machines.iter().filter_map(|of| of.water.as_ref());
    let target = |measure, limit, in_share, tolerance| Target {
        measure,
        limit,
        in_share: Some(in_share),
        tolerance: Some(tolerance),
    };
    // What a share of the evenings may be missed by without harm, as a share of them: assumptions.
    let none = |measure, in_share| target(measure, Limit::AtMost(0.0), in_share, 0.02);
    let cold = none(Measure::UnderTemperatureRacks, file.no_cold_rack_in);
    let old = none(Measure::OldWaterRacks, file.no_old_water_in);
    let rules = none(Measure::RulesBroken, file.no_rule_broken_in);
    let all_done = Limit::AtLeast(1.0);
    let finished = target(Measure::FinishedShare, all_done, file.finished_in, 0.01);
    let mut found = Vec::new();
    found.extend(water().any(Water::has_minimum).then_some(cold));
    found.extend(water().any(|of| of.change_within.is_some()).then_some(old));
    found.extend(room.rules.map(|_| rules));
    found.push(finished);
    let is_asked = |own: &Target| targets.iter().any(|target| target.measure == own.measure);
    found.retain(|own| !is_asked(own));
    found
}

fn targets(root: &Node, file: &StudyFile, mistakes: &mut Vec<Mistake>) -> Vec<Target> {
    let mut targets = Vec::new();
    for (at, row) in rows(root, "target").iter().enumerate() {
        let share = file.target.get(at).and_then(|row| row.in_share);
        if let Some(table) = row.table() {
            targets.extend(wanted::target(table, &row.place, share, mistakes));
        }
    }
    targets
}

/// Measures that are wanted, those of precision, and those that targets and choice need.
fn measures(study: &mut Study, root: &Node, file: &StudyFile, mistakes: &mut Vec<Mistake>) {
    if let Some(node) = at(root, "measures") {
        study.measures = wanted::measures(node, mistakes);
    }
    study.asked = study.measures.len();
    let precision =
        at(root, "precision").and_then(|node| Some(&node.table()?.get("measure")?.node));
    if let (Some(node), Some(precision)) = (precision, &file.precision)
        && let Some(measure) = wanted::measure(node, mistakes)
    {
        study.replications = Replications::Precise {
            round: study.replications.most(),
            measure,
            within: precision.within,
            most: u64::from(precision.at_most),
        };
        add(&mut study.measures, measure);
    }
    study.choose = choose(root, file, mistakes);
    let more: Vec<Measure> = study.targets.iter().map(|target| target.measure).collect();
    let sought = study.choose.map(|choose| choose.measure);
    for measure in more.into_iter().chain(sought) {
        add(&mut study.measures, measure);
    }
}

fn add(measures: &mut Vec<Measure>, measure: Measure) {
    if !measures.contains(&measure) {
        measures.push(measure);
    }
}

fn choose(root: &Node, file: &StudyFile, mistakes: &mut Vec<Mistake>) -> Option<Choose> {
    let table = at(root, "choose")?.table()?;
    let (measure, seeks) = sought(table, mistakes)?;
    let node = &table.get("indifference")?.node;
    let amount = wanted::amount(node, measure.info(), mistakes)?;
    let indifference = wanted::not_below_0(node, amount, mistakes)?;
    let keys = file.choose.as_ref()?;
    Some(Choose {
        measure,
        seeks,
        indifference,
        confidence: keys.confidence,
        first: u64::from(keys.first),
        rarest: keys.rarest,
        most: u64::from(keys.at_most),
    })
}

/// The measure that is to be least, or the one that is to be largest.
fn sought(table: &Table, mistakes: &mut Vec<Mistake>) -> Option<(Measure, Seeks)> {
    let named = |key: &str| table.get(key).map(|entry| &entry.node);
    match (named("cheapest"), named("largest")) {
        (Some(_), Some(second)) => {
            let title = "a choice cannot seek the least and the largest at once";
            let mistake =
                Mistake::new(Sort::Clash, title).at(&second.place, "`cheapest` is there too");
            mistakes.push(mistake.help("leave one of them out, and make a target of it"));
            None
        }
        (None, Some(node)) => Some((wanted::measure(node, mistakes)?, Seeks::Largest)),
        (Some(node), None) => Some((wanted::measure(node, mistakes)?, Seeks::Least)),
        (None, None) => Some((Measure::Cost, Seeks::Least)),
    }
}

fn factors(study: &mut Study, root: &Node, sources: &mut Sources, mistakes: &mut Vec<Mistake>) {
    let design = at(root, "design").and_then(Node::text);
    let mut reader = Reader {
        base: &study.base,
        sampled: design.is_some_and(|design| design != "grid"),
        mistakes,
    };
    let mut factors: Vec<Factor> = Vec::new();
    let file = at(root, "sites").and_then(|node| Some(&node.table()?.get("file")?.node));
    if let Some(file) = file {
        factors.extend(sites::read(file, sources, &mut reader));
    }
    for one in rows(root, "factor") {
        factors.extend(row::factor(&mut reader, one));
    }
    if let [site, others @ ..] = &factors[..]
        && site.is_site
        && let Some(other) = others.iter().find(|factor| factor.name == "site")
    {
        let mistake = Mistake::new(
            Sort::Value,
            "the factor \"site\" has the name of the table of sites",
        )
        .at(&other.place, "this factor")
        .help("give it another name");
        mistakes.push(mistake);
    }
    study.factors = factors;
}

/// Two factors that set one value would hide each other.
fn no_path_twice(study: &Study, mistakes: &mut Vec<Mistake>) {
    let mut seen = std::collections::BTreeMap::new();
    for (index, factor) in study.factors.iter().enumerate() {
        let spans: Vec<_> = factor.level(Coordinate::At(0.0)).into_iter().collect();
        let levels = match factor.levels() {
            Some(levels) => levels.iter().collect(),
            None => spans.iter().map(AsRef::as_ref).collect::<Vec<_>>(),
        };
        for (path, node) in levels.iter().flat_map(|level| &level.sets) {
            let first = seen
                .entry(path.text().to_string())
                .or_insert((index, node.place.clone()));
            if first.0 != index {
                let title = format!("two factors set `{}`", path.text());
                let mistake = Mistake::new(Sort::Clash, title)
                    .at(&node.place, "the second")
                    .also(&first.1, "the first")
                    .help("let one factor set it, or make one factor of both with bundles");
                mistakes.push(mistake);
                break;
            }
        }
    }
}

/// Whether there are more design points than anybody can play. Then nothing is made of them: holding every
/// level against the base scenario may take a minute by itself.
fn too_many_points(
    study: &Study,
    root: &Node,
    file: &StudyFile,
    mistakes: &mut Vec<Mistake>,
) -> bool {
    let most = u64::from(fields::study::MAX_POINTS);
    let levels = |factor: &Factor| factor.levels().map_or(1, <[_]>::len) as u64;
    let is_grid = file.design == "grid";
    let crossed = study
        .factors
        .iter()
        .filter(|factor| is_grid || factor.is_site);
    let each = file.points.filter(|_| !is_grid).map_or(1, u64::from);
    let points = crossed.fold(each, |n, factor| n.saturating_mul(levels(factor)));
    if points <= most {
        return false;
    }
    let place = at(root, "factor").map_or(&root.place, |node| &node.place);
    let help = "take fewer levels, or a sample: design = \"latin-hypercube\" and points = 1000";
    let mistake = Mistake::new(Sort::Value, format!("more than {most} design points"))
        .at(place, "together too many")
        .help(help);
    mistakes.push(mistake);
    true
}

/// Which design points there are.
fn design(study: &mut Study, root: &Node, file: &StudyFile, mistakes: &mut Vec<Mistake>) {
    let word = file.design.as_str();
    let each = at(root, "points");
    let all = word == "grid";
    let given = file.points.map(u64::from);
    let mistake = match (all, each) {
        (true, Some(node)) => Some(
            Mistake::new(Sort::Clash, "a grid has the points that it has")
                .at(&node.place, "how many")
                .help("leave `points` out, or write design = \"latin-hypercube\" or \"sobol\""),
        ),
        (false, None) => Some(
            Mistake::new(
                Sort::Missing,
                "`points` is missing: how many design points of a sample",
            )
            .at(
                at(root, "design").map_or(&root.place, |node| &node.place),
                "a sample",
            )
            .help("add `points = 64`"),
        ),
        _ => None,
    };
    if let Some(mistake) = mistake {
        mistakes.push(mistake);
    } else if let Some(each) = given.filter(|_| !all) {
        match coordinates(study, word == "sobol", each) {
            Some(columns) => study.points = Points::Sample(each, columns),
            None => {
                let title = format!("Sobol's sequence has at most {} factors here", sobol::MAX);
                let place = at(root, "factor").map_or(&root.place, |node| &node.place);
                let mistake = Mistake::new(Sort::Value, title).at(place, "more factors than that");
                mistakes.push(mistake.help("write design = \"latin-hypercube\""));
            }
        }
    }
}

fn coordinates(study: &Study, is_sobol: bool, each: u64) -> Option<Vec<Vec<f64>>> {
    let mut dimension = 0;
    let mut column = |factor: &Factor| {
        if factor.is_site {
            return Some(Vec::new());
        }
        dimension += 1;
        if is_sobol {
            sobol::sobol(each as usize, dimension - 1)
        } else {
            Some(latin_hypercube::latin(
                each as usize,
                study.seed,
                &factor.name,
            ))
        }
    };
    study.factors.iter().map(&mut column).collect()
}

/// The base, then each factor moved alone: a number to its ends, a word to each of its few values.
fn alone(study: &Study) -> Vec<(usize, Coordinate)> {
    let mut alone = vec![(0, Coordinate::Base)];
    for (index, factor) in study.factors.iter().enumerate() {
        let at: Vec<Coordinate> = match &factor.varies {
            Varies::Span(_) => vec![Coordinate::At(0.0), Coordinate::At(LAST)],
            Varies::Levels(levels) => {
                let numbers: Option<Vec<f64>> = levels.iter().map(|level| level.number).collect();
                match numbers {
                    Some(numbers) => ends(&numbers),
                    None if levels.len() <= MAX_WORDS => {
                        (0..levels.len()).map(Coordinate::Level).collect()
                    }
                    None => Vec::new(),
                }
            }
        };
        alone.extend(at.into_iter().map(|at| (index, at)));
    }
    if alone.len() == 1 { Vec::new() } else { alone }
}

/// The least and the greatest of the numbers.
fn ends(numbers: &[f64]) -> Vec<Coordinate> {
    let order = |a: &(usize, &f64), b: &(usize, &f64)| a.1.total_cmp(b.1);
    let least = numbers.iter().enumerate().min_by(order);
    let most = numbers.iter().enumerate().max_by(order);
    let mut ends: Vec<usize> = least.into_iter().chain(most).map(|(at, _)| at).collect();
    ends.dedup();
    ends.into_iter().map(Coordinate::Level).collect()
}
