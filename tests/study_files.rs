//! What good study files become: design points, their settings, the scenarios that come of them.

use std::path::Path;

use scullery::scenario::model::{MachineKind, Places};
use scullery::study::design::{Study, read::read};

fn good(path: &str) -> Study {
    read(Path::new(path)).unwrap_or_else(|mistakes| panic!("{mistakes}"))
}

/// The shipped study: 3 loaders x 4 tunnels x 3 landings, and the tornado's base and two ends of each.
#[test]
fn every_combination_is_a_design_point() {
    let study = good("scenarios/studies/crew-and-conveyor.toml");
    assert_eq!((study.points(), study.to_play()), (36, 36 + 1 + 6));
    assert_eq!(
        study.label(4),
        "design point 4: loaders 1, tunnel 55 in, landing 80 in"
    );
    assert_eq!(study.label(36), "one factor alone: the base scenario");
    let (mut sources, point) = (study.sources(), 4);
    let scenario = study.scenario(point, &mut sources).expect("a scenario");
    let machine = &scenario.machine[0];
    assert_eq!(machine.landing, Places::LengthM(2.032));
    let MachineKind::RackConveyor {
        tunnel_m,
        speed_m_per_s,
        zones,
        ..
    } = &machine.kind
    else {
        panic!("a conveyor");
    };
    // 55 in of tunnel at 5.5 x 55/44 ft/min: a rack is inside as long as before, 40 s.
    assert!((tunnel_m - 55.0 * 0.0254).abs() < 1e-12);
    assert!((tunnel_m / speed_m_per_s - 44.0 * 0.0254 / (5.5 * 0.3048 / 60.0)).abs() < 1e-9);
    // The wash grows by the 11 in.
    assert!((zones[0].length_m - 41.0 * 0.0254).abs() < 1e-12);
    assert!((machine.position.x_m - (6.5 + 11.0 * 0.0254)).abs() < 1e-9);
}
