//! Advice is tried before it is given: what it is, that it helps, that it does no harm, and what it takes to try.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use scullery::room::Room;
use scullery::scenario::model::Duty;
use scullery::scenario::{Loaded, load, load_changed, load_text};
use scullery::service::measure::{Measure, OperatorMeasure, StationMeasure, WareMeasure};
use scullery::service::outcome::Outcome;
use scullery::statistics::paired::{Paired, paired};
use scullery::study::advice::{MIN_EVENINGS, leave_out};
use scullery::study::evening::{Effect, Evening, Fate, Finding, Severity, Tried};
use scullery::study::sheet::Sheet;
use scullery::study::simulate::play;
use scullery::study::{Plan, Stop, Watch, simulate, simulate_and_advise};

/// Evenings of a run whose advice is to be believed.
const MANY: u64 = 600;
/// Another seed: evenings that the advice has never seen.
const FRESH: u64 = 7;

const BISTRO: &str = "tests/late-bistro.toml";

fn read(path: &Path) -> Loaded {
    load(path).unwrap_or_else(|mistakes| panic!("{mistakes}"))
}

fn changed(path: &str, changes: &str) -> Loaded {
    load_changed(Path::new(path), changes).unwrap_or_else(|mistakes| panic!("{mistakes}"))
}

fn plan(seed: u64, count: u64) -> Plan {
    Plan {
        seed,
        ..Plan::new(count)
    }
}

fn advised(loaded: &Loaded, count: u64) -> Evening {
    simulate_and_advise(loaded, &plan(1, count), &Watch::default()).expect("threads")
}

fn finding<'e>(evening: &'e Evening, code: &str) -> &'e Finding {
    let mut findings = evening.findings.iter();
    let found = findings.find(|finding| finding.code == code);
    found.unwrap_or_else(|| panic!("no {code}: {:#?}", evening.findings))
}

fn best(finding: &Finding) -> Option<&Tried> {
    finding
        .tried
        .first()
        .filter(|tried| tried.fate == Fate::Advised)
}

fn mean(loaded: &Loaded, seed: u64, measure: Measure) -> f64 {
    let evening = simulate(loaded, &plan(seed, 100), &Watch::default()).expect("threads");
    evening.measures[measure as usize].mean.expect("a value")
}

/// The scenario of a variant, as if it were saved beside the file it is based on.
fn variant(of: &Path, tried: &Tried) -> Loaded {
    let folder = of.parent().expect("a folder");
    load_text("variant.toml", &tried.variant, Some(folder))
        .unwrap_or_else(|mistakes| panic!("{}\n{mistakes}", tried.variant))
}

/// Two people are busy a fifth of their time and have overtime all the same. More hands do harm; shared duties help, and
/// who follows the advice does not get it again.
#[test]
fn an_idle_crew_shares_its_duties_rather_than_growing() {
    let path = Path::new(BISTRO);
    let loaded = read(path);
    let evening = advised(&loaded, MANY);
    let busy = evening.measures[Measure::CrewBusyShare as usize]
        .mean
        .unwrap();
    assert!(busy < 0.3, "{busy}");
    let overtime = finding(&evening, "overtime");
    assert_ne!(overtime.severity, Severity::Note);
    assert!(
        overtime.evidence.contains("the crew was busy"),
        "{}",
        overtime.evidence
    );
    assert!(
        !overtime.advice.contains("add people"),
        "{}",
        overtime.advice
    );
    // What was advised before: add people.
    let more = changed(BISTRO, "[[roster]]\nname = \"stacker\"\ncount = 2\n");
    let of = |loaded: &Loaded, measure| mean(loaded, FRESH, measure);
    assert!(of(&more, Measure::Overtime) > 1.4 * of(&loaded, Measure::Overtime));
    assert!(of(&more, Measure::Cost) > 1.2 * of(&loaded, Measure::Cost));
    // What is advised now.
    let advice = best(overtime).expect("something helps");
    assert!(advice.change.contains("duties shared"), "{}", advice.change);
    let followed = variant(path, advice);
    let (before, after) = (
        of(&loaded, Measure::Overtime),
        of(&followed, Measure::Overtime),
    );
    assert!(after < 0.6 * before, "{before} {after}");
    assert!(of(&followed, Measure::Cost) < of(&loaded, Measure::Cost));
    let again = advised(&followed, MANY);
    let same = |finding: &Finding| best(finding).is_some_and(|tried| tried.change == advice.change);
    assert!(!again.findings.iter().any(same));
}

/// What is said of a change is what its variant does on the evenings it was tried on, to the last bit, and every variant
/// can be read.
#[test]
fn a_variant_does_what_is_said_of_it() {
    let path = Path::new(BISTRO);
    let loaded = read(path);
    let evening = advised(&loaded, 100);
    let trial = evening.trial.expect("asked for");
    let numbers = trial.screened as usize..(trial.screened + trial.estimated) as usize;
    let mut played_ones = 0;
    for tried in evening.findings.iter().flat_map(|finding| &finding.tried) {
        let other = variant(path, tried);
        if tried.fate != Fate::Advised {
            continue;
        }
        let costs = |loaded: &Loaded| -> Vec<f64> {
            let room = Room::of(&loaded.scenario);
            let played = play(&room, &plan(1, 100), &Watch::default()).expect("threads");
            let outcomes = played.all[numbers.clone()].iter();
            outcomes
                .filter_map(|(_, one)| one.get(Measure::Cost))
                .collect()
        };
        let found = paired(&costs(&other), &costs(&loaded)).expect("evenings");
        let mut effects = tried.effects.iter();
        let cost = effects
            .find(|effect| effect.info == Measure::Cost.info())
            .unwrap();
        assert_eq!(
            (cost.difference, cost.n),
            (found.mean_difference, trial.estimated)
        );
        assert_eq!(cost.half_width, found.half_width(0.95));
        played_ones += 1;
    }
    assert!(played_ones > 0);
}

/// With the ware that comes late there is no backlog, and it is not said that there is.
#[test]
fn late_guests_are_no_backlog() {
    let late = "[guests]\nseating = [{ from = \"20:00\", to = \"22:00\", covers = 30 }]\n";
    let evidence = |changes: &str| {
        let evening = simulate(&changed(BISTRO, changes), &plan(1, 40), &Watch::default());
        finding(&evening.unwrap(), "overtime").clone()
    };
    let late = evidence(late);
    assert!(
        late.evidence.contains("no backlog keeps them"),
        "{}",
        late.evidence
    );
    assert!(!late.advice.contains("add people"), "{}", late.advice);
    let backlog = evidence("");
    assert!(
        backlog.evidence.contains("after the last soiled ware"),
        "{}",
        backlog.evidence
    );
}

/// Where somebody else has time, hands are not what is short.
#[test]
fn want_of_the_duty_is_not_want_of_hands() {
    let slow = "[[ware]]\nname = \"plate\"\nscrape = \"30 s\"\n";
    let evening = simulate(&changed(BISTRO, slow), &plan(1, 40), &Watch::default()).unwrap();
    let binds = finding(&evening, "binds");
    assert!(
        binds
            .evidence
            .contains("stacker, who does not do it, was busy"),
        "{}",
        binds.evidence
    );
    assert!(
        binds
            .advice
            .contains("the duty is not: give `scrape` to stacker"),
        "{}",
        binds.advice
    );
}

/// Plates that lie clean and are not put away are not bought.
#[test]
fn clean_ware_on_the_clean_side_is_not_bought() {
    let lying = "[guests]\nseating = [{ from = \"17:30\", to = \"21:00\", covers = 80 }]\n[[ware]]\n\
                 name = \"plate\"\nscrape = \"3 s\"\nowned = 110\n[put_away]\nbatch = 300\n\
                 wait_at_most = \"60 min\"\n";
    let evening = advised(&changed(BISTRO, lying), 200);
    let short = finding(&evening, "ware-short");
    assert!(
        short.evidence.contains("lay clean and were not put away"),
        "{}",
        short.evidence
    );
    let advice = best(short).expect("something helps");
    assert!(
        advice
            .change
            .starts_with("clean ware put away in half the batches"),
        "{}",
        advice.change
    );
    assert!(!advice.change.contains("owned"), "{}", advice.change);
    // The same where there are too few: buying is right.
    let few = "[[ware]]\nname = \"plate\"\nowned = 60\n";
    let evening = simulate(&changed(BISTRO, few), &plan(1, 40), &Watch::default()).unwrap();
    let short = finding(&evening, "ware-short");
    assert!(!short.evidence.contains("lay clean"), "{}", short.evidence);
}

/// However many things there are to try, the run is at most doubled; a short run tries nothing, and says so.
#[test]
fn no_more_evenings_than_the_run_itself() {
    let loaded = read(Path::new("scenarios/friday-rush.toml"));
    for count in [MIN_EVENINGS, 41, 120] {
        let watch = Watch::default();
        let evening = simulate_and_advise(&loaded, &plan(1, count), &watch).unwrap();
        let trial = evening.trial.expect("asked for");
        assert!(trial.evenings <= count && trial.changes > 0, "{trial:?}");
        assert_eq!(watch.done(), count + trial.evenings);
        assert_eq!(evening.replications, count);
    }
    let watch = Watch::default();
    let short = simulate_and_advise(&loaded, &plan(1, MIN_EVENINGS - 1), &watch).unwrap();
    assert!(short.trial.is_some_and(|trial| trial.too_few));
    assert_eq!(watch.done(), MIN_EVENINGS - 1);
    assert!(
        short
            .findings
            .iter()
            .all(|finding| finding.tried.is_empty())
    );
    let only = Plan {
        stop: Stop::Only(3),
        ..Plan::new(1)
    };
    assert!(
        simulate_and_advise(&loaded, &only, &Watch::default())
            .unwrap()
            .trial
            .is_none()
    );
    let without = simulate(&loaded, &plan(1, 40), &Watch::default()).unwrap();
    assert!(without.trial.is_none());
}

/// Trying changes nothing of the run, and comes out the same on any number of threads.
#[test]
fn the_same_on_any_number_of_threads() {
    let loaded = read(Path::new(BISTRO));
    let on = |threads: usize| {
        let plan = Plan {
            threads,
            ..Plan::new(60)
        };
        simulate_and_advise(&loaded, &plan, &Watch::default()).unwrap()
    };
    let [one, three] = [1, 3].map(on);
    assert_eq!(one.findings, three.findings);
    assert_eq!(one.trial, three.trial);
    let plain = simulate(&loaded, &plan(1, 60), &Watch::default()).unwrap();
    assert_eq!(plain.rows, one.rows);
}

/// What a faster belt gains is not offered where the checks say that contact times are not kept.
#[test]
fn a_change_that_breaks_a_guide_is_not_played() {
    let path = "scenarios/friday-rush.toml";
    // Slow enough to hold up the line, and no faster than its contact time allows.
    let slow =
        "[[machine]]\nname = \"conveyor\"\nspeed = \"1.4 ft/min\"\ncontact_time = \"157 s\"\n";
    let evening = advised(&changed(path, slow), 300);
    let all = || evening.findings.iter().flat_map(|finding| &finding.tried);
    let broken: Vec<&Tried> = all()
        .filter(|tried| tried.fate == Fate::BreaksGuide)
        .collect();
    assert!(
        broken
            .iter()
            .any(|tried| tried.change.contains("a speed of the conveyor")),
        "{broken:#?}"
    );
    for tried in broken {
        assert!(tried.evenings == 0 && tried.effects.is_empty());
    }
}

/// All scenarios that come with the program.
fn shipped() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let files = std::fs::read_dir(folder).expect("the folder of scenarios");
    let mut all: Vec<PathBuf> = files.map(|file| file.unwrap().path()).collect();
    all.retain(|path| path.extension().is_some_and(|end| end == "toml"));
    all.sort();
    all
}

/// What an effect is about, of an evening.
fn value(effect: &Effect, room: &Room, outcome: &Outcome) -> Option<f64> {
    let name = effect.info.name;
    let of = effect.of.as_deref();
    let mut measures = Measure::ALL.into_iter();
    if let (Some(measure), None) = (measures.find(|m| m.info() == effect.info), of) {
        return outcome.get(measure);
    }
    let ware = room
        .wares
        .iter()
        .position(|ware| Some(ware.name.as_str()) == of);
    if let Some(ware) = ware {
        let measure = WareMeasure::ALL
            .into_iter()
            .find(|m| m.info().name == name)?;
        return outcome.wares[ware][measure as usize];
    }
    let duty = Duty::ALL.into_iter().find(|duty| Some(duty.name()) == of);
    if let Some(duty) = duty {
        let measure = StationMeasure::ALL
            .into_iter()
            .find(|m| m.info().name == name)?;
        return outcome.stations[duty as usize][measure as usize];
    }
    let busy = outcome
        .operators
        .iter()
        .filter_map(|of| of[OperatorMeasure::BusyShare as usize]);
    match name {
        "busiest_share" => busy.max_by(f64::total_cmp),
        "trips_waiting_most" => Some(f64::from(outcome.trips_waiting_most)),
        "unfinished" => Some(f64::from(u8::from(!outcome.finished))),
        _ => panic!("{name}"),
    }
}

/// Evenings that nothing was chosen by.
fn fresh(loaded: &Loaded) -> Vec<Outcome> {
    let room = Room::of(&loaded.scenario);
    let played = play(&room, &plan(FRESH, 100), &Watch::default()).expect("threads");
    played.all.into_iter().map(|(_, outcome)| outcome).collect()
}

/// With a change less without, evening by evening.
fn difference(
    [without, with]: [&[Outcome]; 2],
    value: impl Fn(&Outcome) -> Option<f64>,
) -> Option<Paired> {
    let pairs = with.iter().zip(without);
    let pairs = pairs.filter_map(|(with, without)| value(with).zip(value(without)));
    let (with, without): (Vec<f64>, Vec<f64>) = pairs.unzip();
    paired(&with, &without)
}

/// Not more of it beyond chance.
fn is_no_worse(evenings: [&[Outcome]; 2], measure: Measure) -> bool {
    let found = difference(evenings, |outcome| outcome.get(measure));
    found.is_none_or(|found| {
        found.mean_difference <= 0.0 || found.p_value().is_none_or(|p| p > 0.001)
    })
}

/// The checks say nothing of the changed scenario that they do not say of this one.
fn codes(loaded: &Loaded) -> Vec<&'static str> {
    let sheet = Sheet::of(&loaded.scenario, &Room::of(&loaded.scenario));
    // To wash hands between soiled and clean work is said below all that was tried. Near its capacity is less than over it.
    let code = |finding: &Finding| match finding.code {
        "peak-near-capacity" => "peak-over-capacity",
        code => code,
    };
    let found = sheet.findings();
    let found = found
        .iter()
        .filter(|finding| finding.code != "hands-between");
    found.map(code).collect()
}

/// No note gives a duty to people to whom it was given in vain.
fn agrees(evening: &Evening) {
    let all = || evening.findings.iter().flat_map(|finding| &finding.tried);
    let vain = all().filter(|tried| [Fate::InVain, Fate::Harms].contains(&tried.fate));
    let vain: Vec<&str> = vain.map(|tried| tried.change.as_str()).collect();
    for note in evening
        .findings
        .iter()
        .filter(|one| one.severity == Severity::Note)
    {
        let Some((_, given)) = note.advice.split_once("give `") else {
            continue;
        };
        let Some((duty, _)) = given.split_once('`') else {
            continue;
        };
        let same = format!("`{duty}` given to");
        assert!(
            !vain.iter().any(|change| change.contains(&same)),
            "{}",
            note.advice
        );
    }
}

/// What is called vain helps by no more than chance, and what is called too dear does.
fn vain_is_chance(tried: &Tried) {
    let Some(effect) = tried.effects.first() else {
        return;
    };
    let is_beyond_chance = effect
        .half_width
        .is_some_and(|h| effect.difference.abs() > h);
    let is_more = effect.info.name == "clean_stock_least";
    let is_better = is_more == (effect.difference > 0.0) && effect.difference != 0.0;
    let helps = is_better && is_beyond_chance;
    match tried.fate {
        Fate::InVain => assert!(!helps, "{tried:#?}"),
        Fate::TooDear | Fate::TooLittle => assert!(helps, "{tried:#?}"),
        _ => (),
    }
}

/// For each scenario: what is advised against each problem and warning, what it does by the run's own estimate, and
/// whether that is true on evenings that the advice has never seen. It is never colder or dirtier, and breaks no guide.
#[test]
fn advice_given_tried_true() {
    let mut table = String::new();
    for path in shipped() {
        let loaded = read(&path);
        let evening = advised(&loaded, MANY);
        let trial = evening.trial.expect("asked for");
        assert!(trial.evenings <= MANY);
        let (room, without) = (Room::of(&loaded.scenario), fresh(&loaded));
        let name = path.file_stem().unwrap().to_string_lossy();
        let _ = writeln!(
            table,
            "{name}: {} changes on {} evenings",
            trial.changes, trial.evenings
        );
        agrees(&evening);
        for finding in evening
            .findings
            .iter()
            .filter(|f| f.severity != Severity::Note)
        {
            let of = finding
                .of
                .as_deref()
                .map_or_else(String::new, |of| format!(" ({of})"));
            let _ = writeln!(table, "  {}{of}", finding.code);
            for tried in &finding.tried {
                vain_is_chance(tried);
            }
            let Some(tried) = best(finding) else {
                let _ = writeln!(table, "    {}", finding.advice);
                continue;
            };
            let other = variant(&path, tried);
            let effect = &tried.effects[0];
            let with = fresh(&other);
            let evenings = [&without[..], &with];
            let found = difference(evenings, |outcome| value(effect, &room, outcome));
            let found = found.expect("values in both");
            let half_width = found.half_width(0.95).expect("many");
            let points_there = found.mean_difference.signum() == effect.difference.signum();
            // Of what strikes on a few of the fresh evenings these can only say that it may be.
            let is_rare = without
                .iter()
                .filter(|one| value(effect, &room, one) > Some(0.0));
            let is_rare = is_rare.count() < 30;
            let apart = (found.mean_difference - effect.difference).abs();
            let may_be = is_rare && apart <= half_width + effect.half_width.unwrap_or(0.0);
            let is_true = points_there && (found.p_value().is_some_and(|p| p < 0.05) || may_be);
            let _ = writeln!(table, "    {}", tried.change);
            let _ = writeln!(
                table,
                "    {}: {:.3} {:+.3} ± {:.3} on {} evenings; {:+.3} ± {:.3} on 100 fresh ones: {}",
                effect.name(),
                effect.without,
                effect.difference,
                effect.half_width.unwrap_or(0.0),
                tried.evenings,
                found.mean_difference,
                half_width,
                match (is_true, is_rare) {
                    (true, false) => "true",
                    (true, true) => "as true as so few can say",
                    (false, _) => "NOT TRUE",
                },
            );
            assert!(is_true, "{table}");
            let guarded = [
                Measure::UnderTemperatureRacks,
                Measure::SentOutSoiledShare,
                Measure::DriedOnShare,
                Measure::ShortCovers,
            ];
            // Safe ware is worth a wait, and what dries on meanwhile.
            let safe = ["wash-cold", "final-rinse-cold", "water-old"].contains(&finding.code);
            for measure in &guarded[..if safe { 1 } else { guarded.len() }] {
                let measure = *measure;
                assert!(is_no_worse(evenings, measure), "{measure:?}\n{table}");
            }
            let known = codes(&loaded);
            assert!(
                codes(&other).iter().all(|code| known.contains(code)),
                "{table}"
            );
        }
    }
    insta::with_settings!({ snapshot_path => "advice", prepend_module_to_snapshot => false }, {
        insta::assert_snapshot!("given-tried-true", table);
    });
}

/// Three tubs for the whole house: ware waits on the tables for one, and more of them are the cure.
#[test]
fn few_tubs_are_answered_by_more() {
    let three = "[clear_down]\nfleet = 3\n";
    let loaded = changed("scenarios/second-loader-from-six.toml", three);
    let evening = advised(&loaded, 240);
    let found = finding(&evening, "no-tub");
    let advice = best(found).expect("something helps");
    assert_eq!(advice.change, "5 tubs instead of 3");
    let more = changed(
        "scenarios/second-loader-from-six.toml",
        "[clear_down]\nfleet = 5\n",
    );
    let waits = |loaded: &Loaded| mean(loaded, FRESH, Measure::NoTub);
    assert!(waits(&more) < 0.25 * waits(&loaded));
}

/// Ware that dries for three minutes fills the landing, and the machine stands half the evening. A longer landing is tried
/// because the machine stands; it is the cure of all that follows from that.
#[test]
fn a_change_made_for_one_finding_counts_for_all() {
    let slow = "[[machine]]\nname = \"conveyor\"\ndrain = \"180 s\"\n";
    let loaded = changed("scenarios/second-loader-from-six.toml", slow);
    let evening = advised(&loaded, 300);
    let landing = "a landing behind the conveyor of 100 in instead of 60 in";
    for code in [
        "machine-stopped",
        "binds",
        "dried-on",
        "floor-tubs",
        "overtime",
    ] {
        let advice = best(finding(&evening, code)).unwrap_or_else(|| panic!("{code}"));
        assert_eq!(advice.change, landing, "{code}");
    }
    // Its variant was made for another finding and is true for this one.
    let wait = |loaded: &Loaded| mean(loaded, FRESH, Measure::WaitMean);
    let advice = best(finding(&evening, "binds")).expect("found above");
    let followed = variant(Path::new("scenarios/second-loader-from-six.toml"), advice);
    assert!(wait(&loaded) > 30.0);
    let longer = changed(
        "scenarios/second-loader-from-six.toml",
        &format!("{slow}landing = \"100 in\"\n"),
    );
    assert!(wait(&longer) < 0.3 * wait(&loaded));
    assert!(followed.scenario.machine[0].landing == longer.scenario.machine[0].landing);
}

/// The cures that anybody would think of: plates that are not scraped in time, and a wash that runs on without heat.
#[test]
fn rare_trouble_of_a_machine_as_it_runs_has_its_obvious_cure() {
    // Without what lets the water run out: a belt that is held does not refill its tank, and may stand to the end.
    let leaks = [
        "drain not shut or obstructed",
        "overflow cap off",
        "worn drain seal",
        "low water cutting the heat",
    ];
    let leaks = leaks.map(|name| format!("[[fault]]\nname = \"{name}\"\nremove = true\n"));
    let loaded = changed("scenarios/friday-as-it-runs.toml", &leaks.concat());
    let evening = advised(&loaded, 1_000);
    let trial = evening.trial.expect("asked for");
    assert!(trial.estimated > 60 && trial.evenings <= 1_000, "{trial:?}");
    let plates = best(finding(&evening, "ware-short")).expect("plates are short for want of hands");
    let effect = &plates.effects[0];
    assert!(-effect.difference > 0.5 * effect.without, "{plates:#?}");
    for code in ["wash-cold", "final-rinse-cold"] {
        let held = best(finding(&evening, code)).unwrap_or_else(|| panic!("{code}"));
        assert!(
            held.change.contains("held until its water is hot again"),
            "{held:#?}"
        );
        let effect = &held.effects[0];
        assert!(-effect.difference > 0.9 * effect.without, "{held:#?}");
    }
    // More hands let the machine run for a shorter time, in which it breaks down less. That mends no fault.
    let faults = best(finding(&evening, "faults"));
    assert!(
        faults.is_none_or(|one| one.change.contains("tend")),
        "{faults:#?}"
    );
}

/// A second person in a café takes an eighth off a wait and nearly doubles the labour: that helps, and is not worth it.
#[test]
fn what_helps_and_is_too_dear_is_not_in_vain() {
    let evening = advised(&read(Path::new("scenarios/corner-cafe.toml")), 300);
    let binds = finding(&evening, "binds");
    let second = |one: &&Tried| one.change.starts_with("one more person like") && one.parts == 1;
    let second = binds.tried.iter().find(second).expect("tried");
    assert_eq!(second.fate, Fate::TooDear, "{second:#?}");
    assert!(
        binds.advice.contains("for more labour than it is worth"),
        "{}",
        binds.advice
    );
    assert!(
        !binds
            .advice
            .contains("changes that were tried helps beyond chance")
    );
}

/// Against what struck six times in a run nothing is played: it is said how long a run would have to be.
#[test]
fn what_is_too_rare_is_not_played() {
    let evening = advised(&read(Path::new("scenarios/central-kitchen.toml")), 600);
    let cold = finding(&evening, "wash-cold");
    assert!(cold.tried.len() > 3 && cold.tried.iter().all(|one| one.evenings == 0));
    let unknown = [Fate::TooRare, Fate::BreaksGuide];
    assert!(cold.tried.iter().all(|one| unknown.contains(&one.fate)));
    assert!(
        cold.advice
            .starts_with("wash them again; too rare to try anything in 600 "),
        "{}",
        cold.advice
    );
}

/// Nothing is called vain that was tried where there was nothing to better.
#[test]
fn what_was_hardly_tried_is_not_in_vain() {
    let evening = advised(&read(Path::new("scenarios/friday-rush.toml")), 40);
    let all = || evening.findings.iter().flat_map(|finding| &finding.tried);
    let of = |fate: Fate| all().filter(move |tried| tried.fate == fate);
    for tried in of(Fate::InVain) {
        assert!(tried.effects[0].without != 0.0, "{tried:#?}");
    }
    assert!(of(Fate::TooRare).count() > 0);
    let rare = |finding: &&Finding| finding.tried.iter().any(|one| one.fate == Fate::TooRare);
    for finding in evening.findings.iter().filter(rare) {
        assert!(
            best(finding).is_some()
                || finding.advice.contains("too rare to try")
                || finding
                    .advice
                    .contains("met the trouble on too few evenings"),
            "{}",
            finding.advice
        );
    }
}

/// A wash that goes cold on one evening in twenty is tried on such evenings, and what is said of the cure is true of all.
#[test]
fn a_rare_trouble_is_tried_where_it_strikes() {
    let late = "[[machine]]\nname = \"conveyor\"\nwater_change = { every = \"4 h\" }\n";
    let loaded = changed("scenarios/friday-as-it-runs.toml", late);
    let evening = advised(&loaded, 1_000);
    let trial = evening.trial.expect("asked for");
    assert!(trial.picked > 0 && trial.evenings <= 1_000, "{trial:?}");
    let cold = finding(&evening, "wash-cold");
    let effect = |tried: &&Tried| tried.effects.first().is_some_and(|one| one.without > 0.0);
    let played = || cold.tried.iter().filter(|tried| tried.evenings > 0);
    assert_eq!(
        played().filter(effect).count(),
        played().count(),
        "{cold:#?}"
    );
    // Safe water is worth a wait and its price: both are said beside it.
    let old = finding(&evening, "water-old");
    let change = best(old).expect("water changed sooner helps");
    assert!(change.effects[0].difference < 0.0, "{change:#?}");
    let cost = change
        .effects
        .iter()
        .find(|one| one.info == Measure::Cost.info());
    assert!(
        cost.is_some_and(|cost| cost.difference > 0.0),
        "{change:#?}"
    );
    // Of what was not tried only what keeps ware safe is said.
    assert!(
        cold.advice.starts_with("wash them again; "),
        "{}",
        cold.advice
    );
    assert!(!cold.advice.contains("a larger tank"), "{}", cold.advice);
    // The mean without is that of the run, though evenings were picked.
    let all = evening.measure("cold_wash_racks").unwrap();
    let (mean, error) = (all.mean.unwrap(), all.half_width.unwrap());
    for tried in played() {
        let without = tried.effects[0].without;
        assert!(
            (without - mean).abs() < 4.0 * error,
            "{without} {mean} ± {error}"
        );
    }
}

/// Evenings that cannot end are judged by what is missing in the end, and nothing that was counted of them speaks against
/// the cure: a wait that was cut off is short.
#[test]
fn evenings_that_do_not_end_are_given_what_is_missing_in_the_end() {
    let path = Path::new("tests/never-finished.toml");
    let evening = advised(&read(path), 100);
    let unfinished = finding(&evening, "unfinished");
    assert_eq!(unfinished.of.as_deref(), Some("unload"));
    let advice = best(unfinished).expect("something helps");
    let cures = [
        "unloader stays until all is done",
        "`unload` given to loader too, last in the list",
        "duties shared: loader and unloader do each other's work too",
    ];
    assert!(cures.contains(&&advice.change[..]), "{}", advice.change);
    let followed = variant(path, advice);
    let after = simulate(&followed, &plan(FRESH, 40), &Watch::default()).unwrap();
    assert_eq!(after.unfinished, 0);
}

/// A small booster whose water is stirred cools every rack: more of it, or one that pushes its hot water out, is the cure.
#[test]
fn a_small_stirred_booster_is_exchanged() {
    let path = "scenarios/corner-cafe.toml";
    let small = "[[machine]]\nname = \"hood\"\nbooster = { power = \"12 kW\", holds = \"12 L\" }\n";
    let evening = advised(&changed(path, small), 300);
    let cold = finding(&evening, "final-rinse-cold");
    let advice = best(cold).unwrap_or_else(|| panic!("{cold:#?}"));
    let effect = &advice.effects[0];
    assert!(
        effect.without + effect.difference < 0.1 * effect.without,
        "{effect:?}"
    );
    for cure in ["pushes its hot water out", "that holds more"] {
        let tried = cold.tried.iter().find(|tried| tried.change.contains(cure));
        let effect = &tried.unwrap_or_else(|| panic!("{cure}")).effects[0];
        assert!(effect.difference < 0.0, "{cure}: {effect:?}");
    }
}

/// Without prices labour is the price: nobody pays a second person for an eighth of a wait.
#[test]
fn labour_is_weighed_where_there_are_no_prices() {
    let evening = advised(&read(Path::new("scenarios/corner-cafe.toml")), 300);
    let labour = evening
        .measure("labour_h")
        .and_then(|one| one.mean)
        .expect("a crew");
    for finding in evening
        .findings
        .iter()
        .filter(|one| !one.code.contains("cold"))
    {
        let Some(advice) = best(finding) else {
            continue;
        };
        let more = advice
            .effects
            .iter()
            .find(|one| one.info == Measure::LabourHours.info());
        let more = more.map_or(0.0, |one| one.difference / labour);
        let gained = advice.effects[0].difference.abs() / advice.effects[0].without.abs();
        assert!(
            more <= gained + 0.05,
            "{}: {more} for {gained}",
            advice.change
        );
    }
}

/// Without advice there is what was seen, and what keeps ware safe.
#[test]
fn advice_left_out_leaves_safety() {
    let small = "[[machine]]\nname = \"hood\"\nbooster = { power = \"12 kW\", holds = \"12 L\" }\n";
    let loaded = changed("scenarios/corner-cafe.toml", small);
    let seen = simulate(&loaded, &plan(1, 40), &Watch::default()).unwrap();
    let mut evening = seen.clone();
    leave_out(&mut evening);
    for (before, after) in seen.findings.iter().zip(&evening.findings) {
        assert_eq!(before.evidence, after.evidence);
        let left = match after.code {
            _ if after.severity == Severity::Note => &before.advice[..],
            "final-rinse-cold" => "they are not sanitised by heat: wash them again",
            "wash-cold" => "wash them again",
            _ => "",
        };
        assert_eq!(after.advice, left);
    }
    let grave = |code: &str| seen.findings.iter().any(|finding| finding.code == code);
    assert!(grave("final-rinse-cold") && grave("ware-short"));
}
