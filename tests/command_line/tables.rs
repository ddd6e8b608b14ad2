//! The shape of the three CSV files: heads with units, empty cells where nothing exists.

use std::collections::{BTreeMap, BTreeSet};

use scullery::service::measure::{MEASURES, OPERATOR_MEASURES, STATION_MEASURES, WARE_MEASURES};

use crate::program::{SUPPER, csv, folder, simulated};

type Rows = Vec<BTreeMap<String, String>>;

fn table(name: &str, count: &str) -> (Vec<String>, Rows) {
    let out = folder();
    simulated(SUPPER, out.path(), &["-n", count, "--quiet"]);
    csv(&out.path().join(name))
}

/// A cell that must be a number, written so that it reads back.
fn number(cell: &str) -> f64 {
    let value: f64 = cell
        .parse()
        .unwrap_or_else(|_| panic!("`{cell}` is no number"));
    assert!(value.is_finite(), "{cell}");
    value
}

#[test]
fn measures_have_a_row_each_for_the_evening_and_its_parts() {
    let (heads, rows) = table("measures.csv", "60");
    let expected = "of,name,measure,unit,n,mean,half_width_95,sd,p10,p10_low,p10_high,p50,p50_low,\
                    p50_high,p90,p90_low,p90_high,meaning";
    assert_eq!(heads.join(","), expected);
    let of = |kind: &str| rows.iter().filter(|row| row["of"] == kind).count();
    assert_eq!(of("service"), MEASURES.len());
    assert_eq!(of("ware"), 3 * WARE_MEASURES.len());
    assert_eq!(of("operator"), OPERATOR_MEASURES.len());
    assert_eq!(of("station"), 5 * STATION_MEASURES.len());
    for row in &rows {
        assert!(
            !row["unit"].is_empty() && !row["meaning"].is_empty(),
            "{row:?}"
        );
        let missing = row["n"] == "0";
        for head in ["mean", "p10", "p50", "p90"] {
            assert_eq!(row[head].is_empty(), missing, "{row:?}");
        }
        if !missing {
            let quantiles = ["p10", "p50", "p90"].map(|head| number(&row[head]));
            assert!(quantiles.is_sorted(), "{row:?}");
            assert!(number(&row["half_width_95"]) >= 0.0);
        }
    }
}

#[test]
fn series_run_by_minute_past_midnight() {
    let (heads, rows) = table("series.csv", "10");
    assert_eq!(heads.join(","), "minute,clock,series,unit,mean,p10,p50,p90");
    let names: BTreeSet<_> = rows.iter().map(|row| row["series"].clone()).collect();
    let of = |name: &str| {
        rows.iter()
            .filter(|row| row["series"] == name)
            .collect::<Vec<_>>()
    };
    let minutes = of("at_drop_off").len();
    assert!(minutes >= 150, "from ten to half past midnight: {minutes}");
    for name in &names {
        let one = of(name);
        assert_eq!(one.len(), minutes, "{name}");
        for (index, row) in one.iter().enumerate() {
            assert_eq!(row["minute"], index.to_string());
            let of_day = (22 * 60 + index) % 1440;
            assert_eq!(
                row["clock"],
                format!("{:02}:{:02}", of_day / 60, of_day % 60)
            );
            let cells = ["mean", "p10", "p50", "p90"].map(|head| row[head].as_str());
            let all = cells.iter().all(|cell| !cell.is_empty());
            assert!(all || cells.iter().all(|cell| cell.is_empty()), "{row:?}");
            for cell in cells.into_iter().filter(|cell| !cell.is_empty()) {
                number(cell);
            }
        }
    }
    assert!(names.contains("clean_stock:plate"), "{names:?}");
}

#[test]
fn replications_have_units_in_their_heads_and_gaps_where_nothing_was() {
    let (heads, rows) = table("replications.csv", "60");
    let measures = MEASURES
        .iter()
        .map(|info| format!("{} [{}]", info.name, info.unit));
    let expected: Vec<_> = ["replication".into(), "finished".into()]
        .into_iter()
        .chain(measures)
        .collect();
    assert_eq!(heads, expected);
    assert_eq!(rows.len(), 60);
    let mut waited = 0;
    for (index, row) in rows.iter().enumerate() {
        assert_eq!(row["replication"], index.to_string());
        assert_eq!(row["finished"], "true");
        assert_eq!(row["water_l [L]"], "");
        let nobody_short = number(&row["short_covers [covers]"]) == 0.0;
        assert_eq!(
            row["short_wait_mean_min [min]"].is_empty(),
            nobody_short,
            "{row:?}"
        );
        waited += u32::from(!nobody_short);
    }
    assert!((1..60).contains(&waited), "{waited} evenings short of ware");
}
