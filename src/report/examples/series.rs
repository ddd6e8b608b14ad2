//! Its series by minute: queues that rise at 19:00, stock that falls, a crew with a break.

use super::{MINUTES, WARES};
use crate::scenario::model::Duty;
use crate::service::series::{SeriesInfo, SeriesKind};
use crate::study::evening::Band;

/// A hill that rises at `from` and falls at `to`, in hours of the day.
fn hill(minute: usize, from: f64, to: f64, width: f64) -> f64 {
    let hour = 16.5 + minute as f64 / 60.0;
    let step = |x: f64| 1.0 / (1.0 + libm::exp(-x / width));
    step(hour - from) * step(to - hour)
}

fn noise(minute: usize, salt: usize) -> f64 {
    let mut h = (minute * 1_000 + salt) as u64;
    for _ in 0..3 {
        h = (h ^ (h >> 15)).wrapping_mul(0x2545_F491_4F6C_DD1D);
    }
    (h >> 40) as f64 / f64::from(1 << 23) - 1.0
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
                    (v * (1.0 + factor * spread)
                        * (1.0
                            + 0.08 * spread * noise(m, name.len() * 7 + (factor * 10.0) as usize)))
                    .max(0.0)
                })
            })
            .collect()
    };
    Band {
        info: SeriesInfo {
            kind,
            name: name.to_owned(),
            unit,
            least: None,
        },
        mean: at(0.1),
        p10: at(-1.0),
        p50: at(0.0),
        p90: at(1.3),
    }
}

/// All of them.
pub fn all() -> Vec<Band> {
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
            0.0,
            move |m| Some((present(m) - rest(m)) * (0.15 + 0.75 * load(m)) * part),
        )
    };
    let plain = |kind, name: &str, value: &dyn Fn(usize) -> f64| {
        band(kind, name, "operators", 0.0, |m| Some(value(m)))
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
        plain(SeriesKind::MachinesWaiting, "machines_waiting", &|_| 0.0),
        plain(SeriesKind::MachinesIdle, "machines_idle", &|m| {
            0.5 * (1.0 - busy(m))
        }),
    ]
}
