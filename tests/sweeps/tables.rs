//! What the tables of a study say, held against runs of single evenings and against each other.

use std::fs;

use crate::program::{csv, folder, program, run, run_command, simulated};
use crate::{SUPPERS, TABLES, swept, tables};

fn number(text: &str) -> f64 {
    text.parse()
        .unwrap_or_else(|_| panic!("{text} is a number"))
}

/// A design point is the same evenings as that scenario alone: mean and half-width are those that
/// `simulate` gives of the same changes.
#[test]
fn a_design_point_is_the_scenario_it_says() {
    let (out, alone) = (folder(), folder());
    swept(SUPPERS, out.path(), &["--quiet"]);
    let (_, rows) = csv(&out.path().join("points.csv"));
    let variant = alone.path().join("variant.toml");
    let base = fs::canonicalize("tests/late-supper.toml").unwrap();
    let text = format!(
        "based_on = {:?}\nair = {{ humidity = \"50 %\" }}\nloading = {{ stations = 2 }}\nsoak = {{ sinks = 2 }}\n\
         [[machine]]\nname = \"conveyor\"\ntunnel = \"66 in\"\nspeed = \"7.5 ft/min\"\nlanding = 4\n",
        base.display().to_string()
    );
    fs::write(&variant, text).unwrap();
    simulated(
        variant.to_str().unwrap(),
        alone.path(),
        &["-n", "4", "--quiet"],
    );
    let (_, measures) = csv(&alone.path().join("measures.csv"));
    let row = rows
        .iter()
        .find(|row| {
            let keys = ["site", "tunnel [in]", "help, with a comma", "landing"];
            let wanted = ["harbour", "66.0", "a \"second\" hand", "4"];
            keys.iter()
                .zip(wanted)
                .all(|(key, value)| row[*key] == value)
        })
        .expect("the point");
    for (name, unit) in [
        ("wait_mean_min", "min"),
        ("dried_on_share", "1"),
        ("short_covers", "covers"),
    ] {
        let measure = measures
            .iter()
            .find(|m| m["of"] == "service" && m["measure"] == name)
            .unwrap();
        let head = format!("{name} [{unit}]");
        let width = format!("{name} half_width_95 [{unit}]");
        // The belt's speed is 5 x 66/44 to 12 digits, which may differ in its last bit.
        assert!(
            (number(&row[&head]) - number(&measure["mean"])).abs() < 1e-6,
            "{name}"
        );
        assert!(
            (number(&row[&width]) - number(&measure["half_width_95"])).abs() < 1e-6,
            "{name}"
        );
    }
}

#[test]
fn the_tables_are_tidy_and_the_same_for_any_number_of_threads() {
    let (one, three) = (folder(), folder());
    swept(
        SUPPERS,
        one.path(),
        &["--threads", "1", "--per-replication"],
    );
    swept(
        SUPPERS,
        three.path(),
        &["--threads", "3", "--per-replication"],
    );
    assert_eq!(tables(one.path()), tables(three.path()));
    let names: Vec<String> = tables(one.path()).into_keys().collect();
    assert_eq!(names, [TABLES[0], TABLES[1], TABLES[2], "replications.csv"]);
    let (heads, rows) = csv(&one.path().join("points.csv"));
    // 2 sites x 3 tunnels x 2 bundles x 3 landings.
    assert_eq!(rows.len(), 36);
    assert!(heads.contains(&"tunnel [in]".to_string()), "{heads:?}");
    let points: Vec<&str> = rows.iter().map(|row| row["point"].as_str()).collect();
    assert_eq!(points, (0..36).map(|at| at.to_string()).collect::<Vec<_>>());
    let (_, each) = csv(&one.path().join("replications.csv"));
    assert_eq!(each.len(), 36 * 4);
    // The mean in one table is that of the rows in the other.
    for (row, four) in rows.iter().zip(each.chunks(4)) {
        let mean = four
            .iter()
            .map(|row| number(&row["wait_mean_min [min]"]))
            .sum::<f64>()
            / 4.0;
        assert!((mean - number(&row["wait_mean_min [min]"])).abs() < 1e-9);
        let kept = four
            .iter()
            .filter(|row| number(&row["short_covers [covers]"]) == 0.0)
            .count();
        let share = number(&row["share of evenings with short_covers at most 0 covers [1]"]);
        assert_eq!(share, kept as f64 / 4.0);
        // Where nobody was short there is no mean wait of them: an empty cell, never 0.
        let none = four
            .iter()
            .all(|row| row["short_wait_mean_min [min]"].is_empty());
        assert_eq!(row["short_wait_mean_min [min]"].is_empty(), none);
    }
}

/// The base and each factor moved alone, with paired differences.
#[test]
fn one_factor_at_a_time_is_compared_with_the_base() {
    let out = folder();
    swept(SUPPERS, out.path(), &[]);
    let (_, rows) = csv(&out.path().join("one-at-a-time.csv"));
    // The base, two sites, two ends of two ranges, two bundles: 9 points, 5 measures, that of the evenings
    // finished among them.
    assert_eq!(rows.len(), 9 * 5);
    assert!(
        rows.iter()
            .take(5)
            .all(|row| row["factor"] == "base" && row["difference_from_base"].is_empty())
    );
    let of = |factor: &str, setting: &str| {
        let of = |row: &&std::collections::BTreeMap<String, String>| {
            row["factor"] == factor
                && row["setting"] == setting
                && row["measure"] == "wait_mean_min"
        };
        rows.iter().find(of).expect("a row")
    };
    // 44 in of tunnel and 3 places of landing are what the base has: no difference, for certain.
    for same in [
        of("tunnel", "44 in"),
        of("landing", "3"),
        of("help, with a comma", "none"),
    ] {
        assert_eq!(number(&same["difference_from_base"]), 0.0);
        assert_eq!(number(&same["difference_half_width_95"]), 0.0);
    }
    let moved = of("help, with a comma", "a \"second\" hand");
    let base = &rows[0];
    let difference = number(&moved["mean"]) - number(&base["mean"]);
    assert!((number(&moved["difference_from_base"]) - difference).abs() < 1e-9);
}

#[test]
fn check_plays_nothing_and_says_how_large_it_is() {
    let ran = run(["sweep", SUPPERS, "--check"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(
        ran.out
            .contains("36 design points and 9 with one factor moved alone, 4 replications each"),
        "{}",
        ran.out
    );
    let wrong = run([
        "sweep",
        "tests/bad/studies/design-point-impossible.toml",
        "--check",
    ]);
    assert_eq!((wrong.code, wrong.out.as_str()), (2, ""));
    assert!(
        wrong
            .err
            .contains("at design point 0: loaders 1, tunnel 15 in, and at 2 more"),
        "{}",
        wrong.err
    );
}

/// A sample over few levels meets the same designs again: it is said before anything is played, in the table
/// and in the document.
#[test]
fn design_points_that_are_the_same_are_said() {
    let out = folder();
    let base = fs::canonicalize("tests/late-supper.toml").unwrap();
    let text = format!(
        "base = {:?}\nreplications = 2\nmeasures = [\"wait_mean_min\"]\none_at_a_time = false\n\
         design = \"latin-hypercube\"\npoints = 6\n\
         [[factor]]\nname = \"landing\"\npath = \"machine[conveyor].landing\"\nvalues = [3, 4]\n\
         [[target]]\nmeasure = \"wait_mean_min\"\nat_most = 60\ntolerance = 10\n\
         [choose]\ncheapest = \"labour_h\"\nindifference = 2\n",
        base.display().to_string()
    );
    let study = out.path().join("study.toml");
    fs::write(&study, text).unwrap();
    let study = study.to_str().unwrap();
    let note = "4 of 6 design points are the same as others before: 2 differ.";
    let checked = run(["sweep", study, "--check"]);
    assert!(checked.out.contains(note), "{}", checked.out);
    let results = out.path().join("out");
    let played = swept(study, &results, &[]);
    assert!(played.out.contains(note), "{}", played.out);
    let document = swept(study, &results, &["--json"]).json();
    assert_eq!(document["points_repeated"], 4);
    let mut command = program();
    command.args(["choose", study, "--out"]).arg(&results);
    let chosen = run_command(&mut command);
    assert!(chosen.err.contains(&format!("note: {note}")), "{chosen:?}");
    let grid = run(["sweep", SUPPERS, "--check"]);
    assert!(!grid.out.contains("the same as"), "{}", grid.out);
}

/// Precision is looked at after whole rounds, and the rows say how many replications there were.
#[test]
fn precision_ends_each_point_when_it_is_met() {
    let (place, out) = (folder(), folder());
    let study = place.path().join("precise.toml");
    let base = fs::canonicalize("tests/late-supper.toml").unwrap();
    let text = format!(
        "base = {:?}\nreplications = 10\nmeasures = [\"wait_mean_min\"]\none_at_a_time = false\n\
         precision = {{ measure = \"wait_mean_min\", within = \"10 %\", at_most = 200 }}\n\
         [[factor]]\nname = \"landing\"\npath = \"machine[conveyor].landing\"\nvalues = [2, 3, 5]\n",
        base.display().to_string()
    );
    fs::write(&study, text).unwrap();
    let study = study.to_str().unwrap();
    swept(study, out.path(), &["--per-replication", "--threads", "3"]);
    let (_, rows) = csv(&out.path().join("points.csv"));
    let (_, each) = csv(&out.path().join("replications.csv"));
    for row in &rows {
        let count = number(&row["replications"]);
        assert!(
            count % 10.0 == 0.0 && (10.0..=200.0).contains(&count),
            "{count}"
        );
        let values: Vec<f64> = each
            .iter()
            .filter(|each| each["point"] == row["point"])
            .map(|each| number(&each["wait_mean_min [min]"]))
            .collect();
        assert_eq!(values.len() as f64, count);
        let met = |values: &[f64]| {
            let sample = scullery::statistics::interval::Sample::of(values).unwrap();
            scullery::statistics::precision::met(sample, 0.1, 0.95)
        };
        assert!(met(&values) || count == 200.0);
        assert!(
            (10..values.len()).step_by(10).all(|n| !met(&values[..n])),
            "it went on in vain"
        );
    }
    let again = folder();
    swept(
        study,
        again.path(),
        &["--per-replication", "--threads", "1"],
    );
    assert_eq!(tables(out.path()), tables(again.path()));
}

/// The JSON document has the figures of the tables, and nothing else is on standard output.
#[test]
fn one_json_document_has_the_figures_of_the_tables() {
    let out = folder();
    let ran = swept(SUPPERS, out.path(), &["--json"]);
    let document = ran.json();
    let (_, rows) = csv(&out.path().join("points.csv"));
    let points = document["design_points"].as_array().unwrap();
    assert_eq!(points.len(), rows.len());
    for (point, row) in points.iter().zip(&rows) {
        let mean = |name: &str| point["measures"][name]["mean"].as_f64();
        assert_eq!(
            mean("wait_mean_min"),
            row["wait_mean_min [min]"].parse().ok()
        );
        assert_eq!(
            mean("short_wait_mean_min"),
            row["short_wait_mean_min [min]"].parse().ok()
        );
        assert_eq!(
            point["settings"]["tunnel"].as_f64(),
            row["tunnel [in]"].parse().ok()
        );
        assert_eq!(
            point["settings"]["site"].as_str(),
            Some(row["site"].as_str())
        );
    }
    assert_eq!(document["one_at_a_time"].as_array().unwrap().len(), 4 * 5);
}

/// Whoever goes home at eight leaves the ware standing: that design point is unsafe, and it is said.
#[test]
fn a_point_that_is_never_finished_keeps_nothing() {
    let out = folder();
    let base = fs::canonicalize("scenarios/friday-rush.toml").unwrap();
    let text = format!(
        "base = {:?}\nreplications = 3\nmeasures = [\"cost\"]\none_at_a_time = false\n\
         [[factor]]\nname = \"loader to\"\npath = \"roster[loader].to\"\nvalues = [\"22:40\", \"23:30\"]\n\
         linked = [{{ path = \"roster[loader].stays\", values = [false, true] }}]\n\
         [[target]]\nmeasure = \"cost\"\nat_most = 100000\n",
        base.display().to_string()
    );
    let study = out.path().join("study.toml");
    fs::write(&study, text).unwrap();
    let ran = swept(study.to_str().unwrap(), &out.path().join("out"), &[]);
    let said = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("1 of 2 design points meet"), "{said}");
    assert!(
        said.contains("UNFINISHED: some evenings of design point 0 were cut off"),
        "{said}"
    );
    assert!(said.contains("0 22:40"), "listed last: {said}");
    assert!(said.contains("3 of 3 unsafe 2, 3"), "{said}");
    let (_, rows) = csv(&out.path().join("out/points.csv"));
    let meets = rows.iter().map(|row| row["meets_targets"].as_str());
    assert_eq!(meets.collect::<Vec<_>>(), ["false", "true"]);
    let document = swept(
        study.to_str().unwrap(),
        &out.path().join("out"),
        &["--json"],
    )
    .json();
    assert_eq!(document["points_unfinished"], 1);
    assert_eq!(document["digest"].as_str().map(str::len), Some(32));
    let points = document["design_points"].as_array().unwrap();
    for (point, (unfinished, meets)) in points.iter().zip([(3, false), (0, true)]) {
        assert_eq!(point["evenings"], 3);
        assert_eq!(point["unfinished"], unfinished);
        assert_eq!(point["meets_targets"], meets);
        // The mean cost keeps to its limit, cut off or not; an evening that was cut off meets nothing.
        assert_eq!(point["targets"][0]["share"], if meets { 1.0 } else { 0.0 });
        assert_eq!(point["targets"][0]["met"], true);
        assert_eq!(point["targets"][2]["met"], meets, "all done");
    }
}

/// The table of points is as long as wanted, the best first, in the units wanted.
#[test]
fn the_best_points_come_first_in_the_units_wanted() {
    let out = folder();
    let base = fs::canonicalize("scenarios/friday-rush.toml").unwrap();
    let text = format!(
        "base = {:?}\nreplications = 3\nmeasures = [\"water_l\", \"cost\"]\none_at_a_time = false\n\
         [[factor]]\nname = \"unloaders\"\npath = \"roster[unloader].count\"\nvalues = [1, 2, 3]\n",
        base.display().to_string()
    );
    let study = out.path().join("study.toml");
    fs::write(&study, text).unwrap();
    let (study, to) = (study.to_str().unwrap(), out.path().join("out"));
    let said = swept(study, &to, &["--top", "2", "--units", "us"]).out;
    let (_, rows) = csv(&to.join("points.csv"));
    let mut order: Vec<usize> = (0..3).collect();
    order.sort_by(|a, b| {
        number(&rows[*a]["water_l [L]"]).total_cmp(&number(&rows[*b]["water_l [L]"]))
    });
    let table = said
        .split("Design points, best first (least: water used)")
        .nth(1)
        .expect(&said);
    let listed: Vec<usize> = table
        .lines()
        .filter_map(|line| line.split_whitespace().next()?.parse().ok())
        .collect();
    assert_eq!(listed, order[..2], "{said}");
    assert!(table.contains("gal") && !said.contains(" L "), "{said}");
    assert!(said.contains("… and 1 more"), "{said}");
    let none = swept(study, &to, &["--top", "0"]).out;
    assert!(
        !none.contains("Design points, best first") && none.contains(" L "),
        "{none}"
    );
}

/// What never varied among the evenings played has no half-width: that may be luck.
#[test]
fn no_half_width_of_what_never_varied() {
    let out = folder();
    let played = swept(SUPPERS, out.path(), &[]);
    assert!(played.out.contains(" ± "), "{}", played.out);
    let zero = ["± 0 ", "± 0.0 ", "± 0.00 "];
    let found = zero.iter().find(|zero| played.out.contains(**zero));
    assert_eq!(found, None, "{}", played.out);
}

/// A booster of 1 kW washes every rack cold and costs least. It is neither the least of the cost nor among the first
/// points, and it is called unsafe; nothing of it is framed in the heat map.
#[test]
fn an_unsafe_point_is_never_the_cheapest() {
    let out = folder();
    let base = fs::canonicalize("scenarios/friday-rush.toml").unwrap();
    let study = out.path().join("boosters.toml");
    let text = format!(
        "version = 1\nbase = {:?}\nreplications = 4\nmeasures = [\"cost\"]\n\
         [[factor]]\nname = \"booster\"\npath = \"machine[conveyor].booster.power\"\nvalues = [\"1 kW\", \"15 kW\"]\n\
         [[factor]]\nname = \"energy\"\npath = \"prices.energy\"\nvalues = [0.2, 0.3]\n\
         [[target]]\nmeasure = \"cost\"\nat_most = 1000\n",
        base.display().to_string()
    );
    fs::write(&study, text).unwrap();
    let results = out.path().join("results");
    let ran = swept(study.to_str().unwrap(), &results, &[]);
    let least = ran
        .out
        .lines()
        .find(|line| line.trim_start().starts_with("least"));
    assert!(
        least.is_some_and(|line| line.contains("booster 15 kW")),
        "{}",
        ran.out
    );
    let rows = || {
        ran.out
            .lines()
            .filter(|line| line.contains(" kW   "))
            .map(str::trim_end)
    };
    let verdicts: Vec<&str> = rows()
        .map(|row| row.split("  ").last().unwrap_or(""))
        .collect();
    assert_eq!(
        verdicts,
        ["met", "met", "unsafe 2", "unsafe 2"],
        "{}",
        ran.out
    );
    let svg = fs::read_to_string(results.join("charts/cost-heat-map.svg")).unwrap();
    assert!(
        svg.contains("Cross: unsafe or unfinished, 2 points."),
        "{svg}"
    );
}
