//! A made-up evening for the tests of this room: 16:30 to 00:10, five wares, a crew of four.

mod series;

use crate::room::money::CostPart;
use crate::scenario::model::Duty;
use crate::service::measure::{
    CostMeasure, Measure, MeasureInfo, OperatorMeasure, StationMeasure, WareMeasure,
};
use crate::study::evening::{
    Clock, Estimate, Evening, Finding, Group, GroupKind, Quantile, Row, Severity,
};

#[cfg(feature = "charts")]
pub use series::band;

/// Minutes of the evening.
pub const MINUTES: usize = 461;
const START_S: f64 = 16.5 * 3600.0;
const WARES: [(&str, f64); 5] = [
    ("plate", 700.0),
    ("side plate", 900.0),
    ("cutlery", 3600.0),
    ("glass", 1500.0),
    ("cup", 420.0),
];

/// Two hundred evenings of the Friday rush.
pub fn friday() -> Evening {
    Evening {
        name: "friday-rush".to_owned(),
        digest: "0123456789abcdef0123456789abcdef".to_owned(),
        cover: crate::study::sheet::cover::Cover {
            half_hours: Vec::new(),
            gaps: Vec::new(),
            tightest: None,
        },
        wording: crate::scenario::wording::Wording::default(),
        title: "Friday rush at the Tin Lantern, Wrackmouth".to_owned(),
        seed: 1,
        replications: 200,
        wanted: 200,
        interrupted: false,
        unfinished: 0,
        clock: Clock {
            start_s: START_S,
            opens_s: 17.0 * 3600.0,
            closes_s: 23.0 * 3600.0,
            peak_from_s: 19.7 * 3600.0,
            peak_to_s: 20.7 * 3600.0,
            shown_to_s: START_S + 60.0 * (MINUTES - 1) as f64,
        },
        measures: Measure::ALL.map(evening_estimate).to_vec(),
        groups: groups(),
        rows: (0..200).map(row).collect(),
        series: series::all(),
        findings: findings(),
        trial: None,
        sentence: "The dish room kept up until 19:40, then fell behind: soiled pieces waited 11 minutes on \
                   average, 6.1 % had dried on, and the crew left 64 minutes after closing."
            .to_owned(),
    }
}

fn evening_estimate(m: Measure) -> Estimate {
    let (mean, sd) = match m {
        Measure::Covers => (799.4, 28.0),
        Measure::Pieces => (6712.0, 231.0),
        Measure::Racks => (431.6, 14.2),
        Measure::RewashedShare => (0.0412, 0.0061),
        Measure::SentOutSoiledShare => (0.0071, 0.0013),
        Measure::DriedOnShare => (0.0613, 0.021),
        Measure::WetWhenUnloadedShare => (0.312, 0.014),
        Measure::WaitMean => (11.2, 3.9),
        Measure::WaitP95 => (34.0, 9.7),
        Measure::SoakMean => (2.1, 0.3),
        Measure::SoiledWaitingMean => (212.0, 71.0),
        Measure::SoiledWaitingMax => (804.0, 240.0),
        Measure::RacksWaitingMax => (3.0, 0.0),
        Measure::FloorTubsMax => (6.4, 3.2),
        Measure::ShortCovers => (14.2, 17.0),
        Measure::ShortWaitMean => (3.4, 1.8),
        Measure::MachineRunningShare => (0.713, 0.021),
        Measure::MachineStopped => (22.6, 8.3),
        Measure::RacksPerHourPeak => (94.0, 3.1),
        Measure::CrewBusyShare => (0.822, 0.018),
        Measure::WalkingShare => (0.064, 0.005),
        Measure::Overtime => (96.0, 31.0),
        Measure::LastGuestAfterClose => (12.4, 9.0),
        Measure::LastWareAfterClose => (16.1, 9.1),
        Measure::LastRackAfterClose => (41.0, 11.0),
        Measure::CrewOutAfterClose => (64.3, 12.6),
        Measure::LabourHours => (27.6, 0.5),
        _ => return missing(m.info()),
    };
    let n = if m == Measure::ShortWaitMean {
        151
    } else {
        200
    };
    estimate(m.info(), n, mean, sd)
}

/// The same evenings with prices; rinse aid has none.
pub fn priced() -> Evening {
    let mut evening = friday();
    for (measure, mean, sd) in [
        (Measure::Cost, 486.2, 11.0),
        (Measure::CostPerCover, 0.608, 0.021),
        (Measure::CostPerRack, 1.126, 0.031),
    ] {
        evening.measures[measure as usize] = estimate(measure.info(), 200, mean, sd);
    }
    let operators = evening.groups.iter_mut();
    for group in operators.filter(|group| group.kind == GroupKind::Operator) {
        let cost = OperatorMeasure::Cost;
        group.measures[cost as usize] = estimate(cost.info(), 200, 101.0, 3.4);
    }
    let parts = [412.4, 9.6, 8.1, 47.3, 8.8].map(Some).into_iter();
    let parts = CostPart::ALL.into_iter().zip(parts.chain([None]));
    evening
        .groups
        .extend(parts.map(|(part, mean)| cost_part(part, mean)));
    evening
}

fn cost_part(part: CostPart, mean: Option<f64>) -> Group {
    let measures = CostMeasure::ALL.map(|m| {
        let Some(mean) = mean else {
            return missing(m.info());
        };
        let over = match m {
            CostMeasure::Cost => 1.0,
            CostMeasure::Share => 486.2,
            CostMeasure::CostPerCover => 799.4,
            CostMeasure::CostPerRack => 431.6,
        };
        estimate(m.info(), 200, mean / over, 0.03 * mean / over)
    });
    group(GroupKind::Cost, part.name(), measures.to_vec())
}

/// A measure that this scenario does not have.
pub fn missing(info: &'static MeasureInfo) -> Estimate {
    Estimate {
        info,
        n: 0,
        mean: None,
        half_width: None,
        sd: None,
        p10: Quantile::default(),
        p50: Quantile::default(),
        p90: Quantile::default(),
    }
}

/// A measure with normal quantiles.
pub fn estimate(info: &'static MeasureInfo, n: u64, mean: f64, sd: f64) -> Estimate {
    let quantile = |z: f64| {
        let value = (mean + z * sd).max(0.0);
        Quantile {
            value: Some(value),
            low: Some((value - 0.2 * sd).max(0.0)),
            high: Some(value + 0.2 * sd),
        }
    };
    Estimate {
        info,
        n,
        mean: Some(mean),
        half_width: Some(1.96 * sd / libm::sqrt(n as f64)),
        sd: Some(sd),
        p10: quantile(-1.2816),
        p50: quantile(0.0),
        p90: quantile(1.2816),
    }
}

fn groups() -> Vec<Group> {
    let mut groups: Vec<Group> = WARES.iter().map(|w| ware(w.0, w.1)).collect();
    for (i, name) in ["loader", "unloader", "dishwasher 1", "dishwasher 2"]
        .iter()
        .enumerate()
    {
        groups.push(operator(name, i as f64));
    }
    let duties = [
        Duty::Scrape,
        Duty::Soak,
        Duty::Load,
        Duty::Unload,
        Duty::PutAway,
    ];
    groups.extend(
        duties
            .iter()
            .enumerate()
            .map(|(i, d)| station(d.name(), i as f64)),
    );
    groups
}

fn ware(name: &str, owned: f64) -> Group {
    let measures = WareMeasure::ALL.map(|m| match m {
        WareMeasure::Pieces => estimate(m.info(), 200, owned * 1.6, owned * 0.05),
        WareMeasure::RewashedShare => estimate(m.info(), 200, 0.041, 0.008),
        WareMeasure::SentOutSoiledShare => estimate(m.info(), 200, 0.007, 0.002),
        WareMeasure::DriedOnShare => estimate(m.info(), 200, 0.063, 0.03),
        WareMeasure::WaitMean => estimate(m.info(), 200, 11.6, 3.0),
        WareMeasure::ShortCovers if name == "glass" => missing(m.info()),
        WareMeasure::ShortCovers => estimate(m.info(), 200, 4.1, 6.0),
        WareMeasure::CleanLying if name == "glass" => missing(m.info()),
        WareMeasure::CleanLying => estimate(m.info(), 140, 23.0, 9.0),
        WareMeasure::CleanLeast => estimate(m.info(), 200, owned * 0.12, owned * 0.04),
    });
    group(GroupKind::Ware, name, measures.to_vec())
}

fn operator(name: &str, i: f64) -> Group {
    let measures = OperatorMeasure::ALL.map(|m| match m {
        OperatorMeasure::BusyShare => estimate(m.info(), 200, 0.9 - 0.06 * i, 0.03),
        OperatorMeasure::WalkingShare => estimate(m.info(), 200, 0.03 + 0.02 * i, 0.01),
        OperatorMeasure::Overtime => estimate(m.info(), 200, 24.0 + i, 9.0),
        OperatorMeasure::Present => estimate(m.info(), 200, 6.9, 0.2),
        OperatorMeasure::Stretch | OperatorMeasure::RulesBroken => missing(m.info()),
        OperatorMeasure::Cost => missing(m.info()),
    });
    group(GroupKind::Operator, name, measures.to_vec())
}

fn station(name: &str, i: f64) -> Group {
    let measures = StationMeasure::ALL.map(|m| match m {
        StationMeasure::Units => estimate(m.info(), 200, 431.0 + 60.0 * i, 14.0),
        StationMeasure::BusyShare => estimate(m.info(), 200, 0.8 - 0.1 * i, 0.02),
        StationMeasure::NoRack => missing(m.info()),
        _ => estimate(m.info(), 200, 12.0 + 7.0 * i, 6.0),
    });
    group(GroupKind::Station, name, measures.to_vec())
}

fn group(kind: GroupKind, name: &str, measures: Vec<Estimate>) -> Group {
    Group {
        kind,
        name: name.to_owned(),
        measures,
    }
}

fn row(replication: u64) -> Row {
    let wobble = (replication * 37 % 101) as f64 / 50.0 - 1.0;
    let value = |m: Measure| {
        let e = evening_estimate(m);
        e.mean.zip(e.sd).map(|(mean, sd)| mean + wobble * sd)
    };
    Row {
        replication,
        values: Measure::ALL.map(value).to_vec(),
        finished: true,
    }
}

fn findings() -> Vec<Finding> {
    vec![
        Finding {
            code: "ware-short",
            severity: Severity::Problem,
            evidence: "14.2 ± 2.4 covers had to wait for side plates; the least clean stock was 0 in 71 of 200 \
                       evenings"
                .to_owned(),
            advice: "own 120 more side plates, or rack them before the cutlery from 19:30".to_owned(),
            of: None,
            path: None,
            tried: Vec::new(),
        },
        Finding {
            code: "binds",
            severity: Severity::Warning,
            evidence: "loading was busy 96 % of the peak hour while 380 scraped pieces waited for it"
                .to_owned(),
            advice: "a second loading station between 19:00 and 21:00".to_owned(),
            of: None,
            path: None,
            tried: Vec::new(),
        },
        Finding {
            code: "drying-rate",
            severity: Severity::Note,
            evidence: "published drying rates differ threefold".to_owned(),
            advice: "time a few plates on your own landing".to_owned(),
            of: None,
            path: None,
            tried: Vec::new(),
        },
    ]
}
