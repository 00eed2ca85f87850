//! What the plain ray tracer finds in the random gardens, with more rays than a test has time for:
//! `tests/reference/light/gardens.csv`. `SILLWARD_TRACE_GARDENS=1 cargo test --release --test core light::outdoors`
//! makes it anew, and the ordinary test traces some of its rows again with fewer.

use std::{fmt::Write as _, fs, path::Path};

use rayon::prelude::*;

use super::{
    naive::{Dice, Level, Naive},
    outdoors::{SCENES, Skies, garden},
};
use crate::sky::tables::{number, table};

const FILE: &str = "light/gardens.csv";
const MANY_RAYS: (usize, usize) = (256, 512);
const SOME_RAYS: (usize, usize) = (64, 128);
/// Gardens that are traced again.
const AGAIN: u64 = 3;

/// A row: garden, spot, month; sky view factors; light of the month from the sky and thrown back, PPFD hours.
pub struct Row {
    key: String,
    open: f64,
    pub level: Level,
}

/// The table's rows; made anew if that is asked for.
pub fn gardens(skies: &Skies) -> Vec<Row> {
    if std::env::var_os("SILLWARD_TRACE_GARDENS").is_some() {
        let mut text = String::from("garden,spot,month,open,sky_view,sky_view_level,sky,thrown\n");
        for row in (1..=SCENES).flat_map(|seed| traced(skies, seed, MANY_RAYS)) {
            let l = &row.level;
            let _ = writeln!(
                text,
                "{},{:.1},{:.5},{:.5},{:.1},{:.1}",
                row.key, row.open, l.by_angle, l.by_cosine, l.sky, l.thrown
            );
        }
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference");
        fs::write(path.join(FILE), text).unwrap();
    }
    table(FILE)
        .iter()
        .map(|r| Row {
            key: r[..3].join(","),
            open: number(&r[3]),
            level: Level {
                by_angle: number(&r[4]),
                by_cosine: number(&r[5]),
                sky: number(&r[6]),
                thrown: number(&r[7]),
            },
        })
        .collect()
}

/// The row of a spot and month, which must have been made under the same skies.
pub fn of<'r>(rows: &'r [Row], garden: u64, spot: &str, month0: usize, open: f64) -> &'r Level {
    let key = format!("{garden},{spot},{}", month0 + 1);
    let row = rows.iter().find(|r| r.key == key);
    let row = row.unwrap_or_else(|| panic!("{FILE} has no row {key}"));
    assert!(
        (row.open / open - 1.0).abs() < 1e-3,
        "{FILE} was made under other skies: {} for {open}. Make it anew with SILLWARD_TRACE_GARDENS=1",
        row.open
    );
    &row.level
}

fn traced(skies: &Skies, seed: u64, rays: (usize, usize)) -> Vec<Row> {
    let site = garden(seed);
    let naive = Naive::of(&site);
    let spots: Vec<_> = site.spots.iter().collect();
    spots
        .par_iter()
        .enumerate()
        .flat_map_iter(|(k, (id, spot))| {
            let at = naive.point(spot.middle()).extend(spot.height_m);
            let mut dice = Dice(1000 + seed * 100 + k as u64);
            let rows: Vec<Row> = skies
                .months
                .iter()
                .zip(&skies.open)
                .map(|(month, open)| Row {
                    key: format!("{seed},{id},{}", month.month0 + 1),
                    open: *open,
                    level: naive.level(month, at, rays, &mut dice),
                })
                .collect();
            rows
        })
        .collect()
}

/// The table is what the tracer finds today: some gardens again, with fewer rays.
pub fn hold(rows: &[Row], skies: &Skies) {
    for seed in 1..=AGAIN {
        for now in traced(skies, seed, SOME_RAYS) {
            let kept = rows.iter().find(|r| r.key == now.key).unwrap();
            let (a, b) = (&now.level, &kept.level);
            let off = |x: f64, y: f64| 100.0 * (x - y).abs() / now.open;
            assert!(
                (a.by_angle - b.by_angle).abs() < 0.003
                    && off(a.sky, b.sky) < 0.3
                    && off(a.thrown, b.thrown) < 0.2 + 6.0 * b.thrown / now.open,
                "{}: traced again {:?}, kept {:?}",
                now.key,
                (a.by_angle, a.sky, a.thrown),
                (b.by_angle, b.sky, b.thrown)
            );
        }
    }
}
