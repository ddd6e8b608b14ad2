//! A made-up evening for the tests of this room: 16:30 to 00:10, five wares, a crew of four.

use crate::scenario::model::Duty;
use crate::service::measure::{Measure, MeasureInfo, OperatorMeasure, StationMeasure, WareMeasure};
use crate::service::series::{SeriesInfo, SeriesKind};
use crate::study::evening::{
    Band, Clock, Estimate, Evening, Finding, Group, GroupKind, Quantile, Row, Severity,
};

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
        },
        measures: Measure::ALL.map(|m| evening_estimate(m)).to_vec(),
        groups: groups(),
        rows: (0..200).map(row).collect(),
        series: series(),
        findings: findings(),
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
        Measure::WaitMean => (11.2, 3.9),
        Measure::WaitP95 => (34.0, 9.7),
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
        },
        Finding {
            code: "binds",
            severity: Severity::Warning,
            evidence: "loading was busy 96 % of the peak hour while 380 scraped pieces waited for it"
                .to_owned(),
            advice: "a second loading station between 19:00 and 21:00".to_owned(),
        },
        Finding {
            code: "drying-rate",
            severity: Severity::Note,
            evidence: "published drying rates differ threefold".to_owned(),
            advice: "time a few plates on your own landing".to_owned(),
        },
    ]
}

/// A hill that rises at `from` and falls at `to`, in hours of the day.
fn hill(minute: usize, from: f64, to: f64, width: f64) -> f64 {
    let hour = 16.5 + minute as f64 / 60.0;
    let step = |x: f64| 1.0 / (1.0 + libm::exp(-x / width));
    step(hour - from) * step(to - hour)
}

fn noise(minute: usize, salt: usize) -> f64 {
    let h = (minute * 2_654_435_761 + salt * 40_503) % 65_521;
    h as f64 / 32_760.5 - 1.0
}

/// A series that follows `value`, spread between evenings by `spread` of it.
pub fn band(
    kind: SeriesKind,
    name: &str,
    unit: &'static str,
    spread: f64,
    value: impl Fn(usize) -> Option<f64>,
) -> Band {
    let at = |factor: f64| {
        (0..MINUTES)
            .map(|m| {
                value(m).map(|v| {
                    (v * (1.0 + factor * spread) * (1.0 + 0.02 * noise(m, name.len()))).max(0.0)
                })
            })
            .collect()
    };
    Band {
        info: SeriesInfo {
            kind,
            name: name.to_owned(),
            unit,
        },
        mean: at(0.1),
        p10: at(-1.0),
        p50: at(0.0),
        p90: at(1.3),
    }
}

fn series() -> Vec<Band> {
    use SeriesKind as K;
    let queue = |height: f64, from: f64, to: f64| move |m| Some(height * hill(m, from, to, 0.22));
    let mut all = vec![
        band(
            K::AtDropOff,
            "at_drop_off",
            "pieces",
            0.45,
            queue(182.0, 19.0, 21.2),
        ),
        band(
            K::InSoak,
            "in_soak",
            "pieces",
            0.3,
            queue(420.0, 18.2, 22.3),
        ),
        band(
            K::ToRack,
            "to_rack",
            "pieces",
            0.5,
            queue(376.0, 19.5, 21.9),
        ),
        band(
            K::RacksWaiting,
            "racks_waiting",
            "racks",
            0.2,
            queue(3.0, 18.6, 22.1),
        ),
        band(
            K::OnLanding,
            "on_landing",
            "racks",
            0.4,
            queue(2.4, 19.0, 21.8),
        ),
        band(
            K::SoiledWaiting,
            "soiled_waiting",
            "pieces",
            0.4,
            queue(780.0, 19.1, 21.8),
        ),
        band(K::DriedOnShare, "dried_on_share", "1", 0.6, |m| {
            (m > 48).then(|| 0.01 + 0.16 * hill(m, 19.8, 22.4, 0.3))
        }),
        band(K::ExpectedRewash, "expected_rewash", "1", 0.4, |m| {
            (m > 60 && m < 440).then(|| 0.018 + 0.05 * hill(m, 20.0, 22.6, 0.3))
        }),
    ];
    all.extend(stock());
    all.extend(crew());
    all.extend(machine());
    all
}

fn stock() -> Vec<Band> {
    let of = |(i, (name, owned)): (usize, &(&str, f64))| {
        let depth = 0.6 + 0.07 * i as f64;
        let name = format!("clean_stock:{name}");
        band(SeriesKind::CleanStock(i), &name, "pieces", 0.12, move |m| {
            Some(owned * (1.0 - depth * hill(m, 18.4 + 0.2 * i as f64, 22.6, 0.35)))
        })
    };
    WARES.iter().enumerate().map(of).collect()
}

fn crew() -> Vec<Band> {
    let present = |m: usize| {
        if m < 30 {
            1.0
        } else if m < 390 {
            4.0
        } else {
            3.0
        }
    };
    let rest = |m: usize| if (210..225).contains(&m) { 1.0 } else { 0.0 };
    let load = move |m: usize| hill(m, 18.2, 23.4, 0.4);
    let share = |duty: Duty, part: f64| {
        let name = format!("at_duty:{}", duty.name());
        band(
            SeriesKind::AtDuty(duty),
            &name,
            "operators",
            0.2,
            move |m| Some((present(m) - rest(m)) * (0.15 + 0.75 * load(m)) * part),
        )
    };
    let plain = |kind, name: &str, value: &dyn Fn(usize) -> f64| {
        band(kind, name, "operators", 0.2, |m| Some(value(m)))
    };
    vec![
        share(Duty::Scrape, 0.26),
        share(Duty::Soak, 0.09),
        share(Duty::Load, 0.25),
        share(Duty::Unload, 0.2),
        share(Duty::PutAway, 0.13),
        plain(SeriesKind::Walking, "walking", &|m| {
            (present(m) - rest(m)) * (0.15 + 0.75 * load(m)) * 0.07
        }),
        plain(SeriesKind::Free, "free", &|m| {
            (present(m) - rest(m)) * (0.85 - 0.75 * load(m))
        }),
        plain(SeriesKind::OnBreak, "on_break", &rest),
    ]
}

fn machine() -> Vec<Band> {
    let busy = |m: usize| 0.9 * hill(m, 17.9, 23.5, 0.25);
    let stopped = |m: usize| 0.12 * hill(m, 19.6, 21.6, 0.2);
    let plain = |kind, name: &str, value: &dyn Fn(usize) -> f64| {
        band(kind, name, "1", 0.0, |m| Some(value(m)))
    };
    vec![
        plain(SeriesKind::MachinesRunning, "machines_running", &|m| {
            busy(m) - stopped(m)
        }),
        plain(SeriesKind::MachinesEmpty, "machines_empty", &|m| {
            0.5 * (1.0 - busy(m))
        }),
        plain(SeriesKind::MachinesStopped, "machines_stopped", &stopped),
        plain(SeriesKind::MachinesIdle, "machines_idle", &|m| {
            0.5 * (1.0 - busy(m))
        }),
    ]
}
