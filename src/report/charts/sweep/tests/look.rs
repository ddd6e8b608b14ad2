//! Pictures for people to look at.

use super::*;

/// A picture of every kind, checked like any other and left under `target/pictures`, for people.
#[test]
fn pictures_to_look_at() {
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/target/pictures");
    let crews = || {
        words(
            "crew",
            &[
                "as it is",
                "second loader 18:00 to 22:00",
                "second unloader",
                "both, from opening to closing",
            ],
        )
    };
    let mut holes = of(vec![loaders(), tunnel()]);
    for cells in holes.cells.iter_mut().skip(18) {
        cells[0] = Cell {
            mean: None,
            half_width: None,
            n: 0,
        };
    }
    let hypercube = {
        let factors: Vec<Factor> = [
            "loaders",
            "tunnel length",
            "landing length",
            "entry length",
            "air temperature",
        ]
        .map(|name| steps(name, 60))
        .to_vec();
        let points = (0..60_usize)
            .map(|i| vec![i, i * 7 % 60, i * 11 % 60, i * 13 % 60, i * 17 % 60])
            .collect();
        study(factors, points, &MEASURES, |m, s| {
            evening(m, &[s[0], 0.8 * s[1], s[2]])
        })
    };
    for (name, swept) in [
        ("one", with_swings(of(vec![tunnel()]))),
        ("one-word", of(vec![crews()])),
        ("two", with_swings(of(vec![loaders(), tunnel()]))),
        ("two-holes", holes),
        ("two-word", with_swings(of(vec![crews(), tunnel()]))),
        (
            "two-words",
            of(vec![
                crews(),
                words(
                    "rack plan",
                    &["cups first", "plates first", "as it comes", "by ware"],
                ),
            ]),
        ),
        (
            "three",
            with_swings(of(vec![loaders(), tunnel(), landing()])),
        ),
        ("three-word", of(vec![crews(), tunnel(), landing()])),
        (
            "twelve",
            of(vec![tunnel(), landing(), steps("entry length", 40)]),
        ),
        (
            "sixty",
            of(vec![
                steps("tunnel length", 60),
                steps("landing length", 60),
            ]),
        ),
        ("sites", of(vec![sites(60), loaders()])),
        ("many-sites", of(vec![sites(400), loaders()])),
        ("four", of(vec![loaders(), tunnel(), landing(), crews()])),
        ("hypercube", hypercube),
    ] {
        let folder = OutputFolder::open(std::path::Path::new(root).join(name)).unwrap();
        let paths = draw(&of_sweep(&swept, Units::Metric), Pictures::Both, &folder).unwrap();
        folder.keep().unwrap();
        let sound = crate::report::charts::tests::check;
        paths.iter().for_each(|path| sound(path));
        drawn(&swept);
    }
}
