//! Random gardens against a plain ray tracer.

#![expect(
    clippy::approx_constant,
    reason = "a turn, nearly: the gardens would be others with all of it"
)]

use chrono::TimeDelta;
use glam::DVec3;
use sillward::{
    base::{Day, Id, Months, Progress, Pt, calendar::MONTH_STARTS},
    climate::TypicalYear,
    light::{LightInputs, Scene, spots_year},
    site::{
        Building, Canopy, Cloth, ClothColour, Ground, GroundKind, Leafing, Place, Roof, Screen,
        ScreenKind, Site, Spot, Tree, Weave,
    },
    sky::{SkyYear, clear::irradiance},
    sun::{REFERENCE_YEAR, SunTable, position},
};

use super::{
    known,
    naive::{Dice, MonthSky, Naive},
};
use crate::accuracy::{Check, hold_all};

pub const SCENES: u64 = 30;
const POINTS: usize = 5;
/// Middle of winter, an equinox, the longest day, late summer.
const DAYS: [usize; 4] = [355, 79, 171, 226];
const MONTHS: [usize; 2] = [0, 6];

fn pick<T: Copy>(dice: &mut Dice, from: &[T]) -> T {
    from[(dice.unit() * from.len() as f64) as usize]
}

fn rectangle(middle: Pt, turn: f64, length: f64, width: f64) -> Vec<Pt> {
    let along = Pt::towards(turn) * (length / 2.0);
    let across = Pt::towards(turn).left() * (width / 2.0);
    vec![
        middle - along - across,
        middle + along - across,
        middle + along + across,
        middle - along + across,
    ]
}

/// A house by the garden, a neighbour, a shed, and of all that grows or is put up a little.
pub fn garden(seed: u64) -> Site {
    let mut dice = Dice(seed);
    let d = &mut dice;
    let mut site = Site::default();
    let mut building =
        |d: &mut Dice, name: &str, distance: f64, length: f64, width: f64, top: f64| {
            let azimuth = d.roll(0.0, 6.28);
            let turn = azimuth + 1.57 + d.roll(-0.5, 0.5);
            let rise = d.roll(0.8, 2.5);
            let turns_deg = turn.to_degrees();
            let roof = match (d.unit() * 4.0) as usize {
                0 => Roof::Flat,
                1 => Roof::Gable {
                    ridge_m: top + rise,
                },
                2 => Roof::Hip {
                    ridge_m: top + rise,
                },
                _ => Roof::Lean {
                    high_m: top + rise,
                    towards_deg: turns_deg + pick(d, &[0.0, 90.0, 180.0, 217.0]),
                },
            };
            let b = Building {
                outline: rectangle(Pt::towards(azimuth) * distance, turn, length, width),
                wall_top_m: top,
                roof,
                eaves_m: pick(d, &[0.0, 0.3, 0.7]),
                reflectance: d.roll(0.2, 0.75),
                ..Building::default()
            };
            site.buildings.put(name.into(), b);
        };
    let (length, width, top) = (d.roll(8.0, 13.0), d.roll(5.5, 7.5), d.roll(2.6, 5.6));
    let near = d.roll(6.5, 8.0);
    building(d, "house", near, length, width, top);
    let (far, top) = (d.roll(14.0, 20.0), d.roll(4.0, 8.0));
    building(d, "neighbour", far, 14.0, 9.0, top);
    let top = d.roll(2.0, 2.4);
    building(d, "shed", 6.0, 3.0, 2.0, top);
    let place =
        |d: &mut Dice, low: f64, high: f64| Pt::towards(d.roll(0.0, 6.28)) * d.roll(low, high);
    for k in 0..3 {
        let (from, turn) = (place(d, 3.0, 8.0), d.roll(0.0, 6.28));
        let to = from + Pt::towards(turn) * d.roll(2.0, 7.0);
        let end = to + Pt::towards(turn + 1.2) * d.roll(1.0, 4.0);
        let kind = [ScreenKind::Wall, ScreenKind::Fence, ScreenKind::Hedge][k];
        let bare = (d.unit() < 0.5).then_some(0.45);
        let screen = Screen {
            kind,
            line: vec![from, to, end],
            top_m: d.roll(1.2, 2.4),
            porosity: [0.0, d.roll(0.1, 0.5), 0.1][k],
            bare_porosity: if kind == ScreenKind::Hedge {
                bare
            } else {
                None
            },
            leaf_months: Months::span(5, 10),
            ..Screen::default()
        };
        site.screens.put(Id::new(&format!("screen-{k}")), screen);
    }
    for k in 0..2 {
        let base = d.roll(0.8, 2.0);
        let tree = Tree {
            at: place(d, 2.0, 8.0),
            crown_radius_m: d.roll(1.0, 3.0),
            crown_base_m: base,
            top_m: base + d.roll(2.0, 5.0),
            leafing: if k == 0 {
                Leafing::Deciduous {
                    months: Months::span(5, 10),
                }
            } else {
                Leafing::Evergreen
            },
            leaf_area_index: d.roll(2.0, 5.0),
            ..Tree::default()
        };
        site.trees.put(Id::new(&format!("tree-{k}")), tree);
    }
    let (open, pergola_at) = (d.roll(0.2, 0.7), place(d, 0.0, 5.0));
    let pergola = Canopy {
        outline: rectangle(
            pergola_at,
            d.roll(0.0, 3.0),
            d.roll(2.0, 4.0),
            d.roll(2.0, 3.0),
        ),
        height_m: d.roll(2.2, 2.8),
        passes: open,
        months: Months::span(4, 11),
        ..Canopy::default()
    };
    site.canopies.put("pergola".into(), pergola);
    let porch_at = place(d, 2.0, 6.0);
    let porch = Canopy {
        outline: rectangle(porch_at, d.roll(0.0, 3.0), 3.0, 2.0),
        height_m: d.roll(2.2, 3.0),
        ..Canopy::default()
    };
    site.canopies.put("porch".into(), porch);
    let cloth_at = place(d, 0.0, 4.0);
    let cloth = Cloth {
        outline: rectangle(
            cloth_at,
            d.roll(0.0, 3.0),
            d.roll(2.0, 4.0),
            d.roll(2.0, 3.0),
        ),
        height_m: d.roll(1.9, 2.6),
        shade_pct: pick(d, &[30.0, 50.0, 70.0, 80.0]),
        colour: pick(
            d,
            &[ClothColour::Black, ClothColour::White, ClothColour::Green],
        ),
        weave: pick(d, &[Weave::Knitted, Weave::Woven]),
        drop_m: pick(d, &[0.0, 0.0, 0.5]),
        months: Months::span(5, 9),
        ..Cloth::default()
    };
    site.cloths.put("cloth".into(), cloth);
    let paving = Ground {
        kind: GroundKind::PalePaving,
        outline: rectangle(Pt(0.0, 0.0), d.roll(0.0, 3.0), 6.0, 4.0),
        ..Ground::default()
    };
    site.grounds.put("paving".into(), paving);
    site.place = Place {
        latitude_deg: 47.0,
        longitude_deg: 8.0,
        elevation_m: 400.0,
        time_zone: "Etc/GMT-1".to_owned(),
        plan_north_deg: d.roll(0.0, 360.0),
        ..Place::default()
    }
    .into();
    // One under the cloth, one under the pergola, the others anywhere outside the walls.
    let mut places = vec![cloth_at, pergola_at];
    while places.len() < POINTS {
        places.push(place(d, 0.0, 7.0));
    }
    for (k, mut at) in places.into_iter().enumerate() {
        let clear = |p: Pt| {
            site.buildings.values().all(|b| {
                let middle = sillward::base::geometry::centroid(&b.outline);
                let grown: Vec<Pt> = b.outline.iter().map(|c| middle.lerp(*c, 1.1)).collect();
                !sillward::base::geometry::contains(&grown, p)
            })
        };
        while !clear(at) {
            at = place(d, 0.0, 7.0);
        }
        let spot = Spot {
            outline: vec![at],
            height_m: d.roll(0.2, 1.2),
            leaf_m: 0.0,
            ..Spot::default()
        };
        site.spots.put(Id::new(&format!("spot-{k}")), spot);
    }
    site
}

/// The sun at a time of a day of the reference year, local standard time.
pub fn sun_at(place: &Place, day: usize, time_h: f64) -> DVec3 {
    let midnight = Day::new(day)
        .in_year(REFERENCE_YEAR)
        .and_hms_opt(0, 0, 0)
        .unwrap();
    let utc = midnight - TimeDelta::hours(1) + TimeDelta::milliseconds((time_h * 3.6e6) as i64);
    position(place, utc.and_utc()).direction()
}

pub struct Skies {
    typical: sillward::climate::TypicalYear,
    sun: SunTable,
    sky: SkyYear,
    /// By day: the sun at the middle of each minute that it is up.
    minutes: Vec<Vec<DVec3>>,
    pub months: Vec<MonthSky>,
    /// Light of a month on the open level.
    pub open: Vec<f64>,
}

const BEAM: f64 = 2.02;
const SKY: f64 = 2.20;
const MOMENTS: usize = 12;

pub fn skies(place: &Place) -> Skies {
    let sun = SunTable::of(place);
    let typical = year_of_days(place, &sun);
    let sky = SkyYear::of(place, &sun, &typical);
    let minutes = DAYS
        .iter()
        .map(|day| {
            (0..1440)
                .map(|k| sun_at(place, *day, (f64::from(k) + 0.5) / 60.0))
                .filter(|dir| dir.z > 0.0)
                .collect()
        })
        .collect();
    let months: Vec<MonthSky> = MONTHS
        .iter()
        .map(|month0| month_sky(place, *month0, &typical, &sky))
        .collect();
    let open = MONTHS
        .iter()
        .map(|m| {
            (MONTH_STARTS[*m] * 24..MONTH_STARTS[*m + 1] * 24)
                .map(|h| {
                    let sky = f64::from(typical.sky_w_m2[h]);
                    SKY * sky + BEAM * (f64::from(typical.global_w_m2[h]) - sky)
                })
                .sum()
        })
        .collect();
    Skies {
        typical,
        sun,
        sky,
        minutes,
        months,
        open,
    }
}

/// An invented year of clear, broken and dull days, so that the gardens' table hangs on no weather generator.
fn year_of_days(place: &Place, sun: &SunTable) -> TypicalYear {
    let mut dice = Dice(365);
    let mut year = TypicalYear::default();
    for day in 0..365 {
        let (direct, diffuse) = match dice.unit() {
            k if k < 0.3 => (1.0, 1.0),
            k if k < 0.65 => (dice.roll(0.2, 0.7), dice.roll(1.2, 1.8)),
            _ => (0.0, dice.roll(0.8, 1.6)),
        };
        for hour in day * 24..day * 24 + 24 {
            let up = f64::from(sun.up_share[hour]);
            let elevation = f64::from(sun.elevation_rad[hour]).max(0.0);
            let clear = irradiance(
                place.elevation_m,
                elevation,
                f64::from(sun.extraterrestrial_w_m2[day]),
                3.0,
            );
            let (beam, sky) = (up * direct * clear.beam_w_m2, up * diffuse * clear.sky_w_m2);
            year.beam_w_m2.push(beam as f32);
            year.sky_w_m2.push(sky as f32);
            year.global_w_m2.push((sky + beam * elevation.sin()) as f32);
        }
    }
    year
}

/// The month's hours added up, as PPFD hours.
fn month_sky(
    place: &Place,
    month0: usize,
    typical: &sillward::climate::TypicalYear,
    sky: &SkyYear,
) -> MonthSky {
    let hours = MONTH_STARTS[month0] * 24..MONTH_STARTS[month0 + 1] * 24;
    let mut sums = vec![0.0; sky.patches.len()];
    let mut beams = Vec::new();
    for hour in hours {
        if let Some(row) = sky.hour(hour) {
            for (sum, l) in sums.iter_mut().zip(row) {
                *sum += SKY * f64::from(*l);
            }
        }
        // The table's beam on the level, spread over the hour as the sun's height has it.
        let level = f64::from(typical.global_w_m2[hour] - typical.sky_w_m2[hour]);
        let suns: Vec<DVec3> = (0..MOMENTS)
            .map(|k| {
                let time = (hour % 24) as f64 + (k as f64 + 0.5) / MOMENTS as f64;
                sun_at(place, hour / 24, time)
            })
            .filter(|dir| dir.z > 0.0)
            .collect();
        let height: f64 = suns.iter().map(|dir| dir.z).sum();
        if level > 0.0 && height > 0.0 {
            beams.extend(suns.iter().map(|dir| (*dir, BEAM * level / height)));
        }
    }
    let mut rows: Vec<(f64, Vec<(f64, f64)>)> = Vec::new();
    for (patch, sum) in sky.patches.iter().zip(&sums) {
        let z = patch.direction.z;
        let azimuth = patch.direction.x.atan2(patch.direction.y);
        let turn = (azimuth + 1e-6).rem_euclid(std::f64::consts::TAU);
        match rows.iter_mut().find(|r| (r.0 - z).abs() < 1e-4) {
            Some(row) => row.1.push((turn, *sum)),
            None => rows.push((z, vec![(turn, *sum)])),
        }
    }
    rows.sort_by(|a, b| a.0.total_cmp(&b.0));
    let row_rad = 2.0 * rows[0].0.asin();
    let rows = rows
        .into_iter()
        .map(|(_, mut row)| {
            row.sort_by(|a, b| a.0.total_cmp(&b.0));
            (row[0].0, row.into_iter().map(|p| p.1).collect())
        })
        .collect();
    let so_far = beams
        .iter()
        .scan(0.0, |sum, (_, light)| {
            *sum += light;
            Some(*sum)
        })
        .collect();
    MonthSky {
        month0,
        rows,
        row_rad,
        beams,
        so_far,
    }
}

#[test]
fn validate_random_gardens_against_plain_ray_tracing() {
    let skies = skies(&garden(1).place);
    let rows = known::gardens(&skies);
    known::hold(&rows, &skies);
    let (mut minutes, mut level, mut plain, mut dli) = (vec![], vec![], vec![], vec![]);
    for seed in 1..=SCENES {
        let site = garden(seed);
        let scene = Scene::of(&site);
        let inputs = LightInputs {
            place: &site.place,
            sun: &skies.sun,
            typical: &skies.typical,
            sky: &skies.sky,
            scene: &scene,
            turbidity_linke: [3.0; 12],
        };
        let spots: Vec<(&Id, &Spot)> = site.spots.iter().map(|(id, s)| (id, &**s)).collect();
        let ours = spots_year(&inputs, &site, &spots, &Progress::new()).unwrap();
        let naive = Naive::of(&site);
        for ((id, spot), ours) in spots.into_iter().zip(ours) {
            let at = naive.point(spot.middle()).extend(spot.height_m);
            for (day, suns) in DAYS.into_iter().zip(&skies.minutes) {
                let month0 = Day::new(day).month0();
                let theirs: f64 = suns.iter().map(|dir| naive.share(month0, at, *dir)).sum();
                let ours: f32 = ours.sunlit[day * 24..day * 24 + 24].iter().sum();
                let off = 60.0 * f64::from(ours) - theirs;
                let where_it_is = format!("garden {seed}, {id}, day {day}: {theirs:.1}");
                minutes.push((100.0 * off / suns.len() as f64, where_it_is));
            }
            for (month, open) in skies.months.iter().zip(&skies.open) {
                let m = month.month0;
                let here = format!("garden {seed}, {id}, month {}", m + 1);
                let seen = known::of(&rows, seed, id.as_str(), m, *open);
                let (sky, thrown) = (seen.sky, seen.thrown);
                let f = ours.factors[m];
                plain.push((f.sky_view_plain - seen.by_angle, here.clone()));
                level.push((f.sky_view_cosine - seen.by_cosine, here.clone()));
                let beam: f64 = month
                    .beams
                    .iter()
                    .map(|(dir, light)| light * dir.z * naive.share(m, at, *dir))
                    .sum();
                let theirs = beam + sky + thrown;
                let sum = |v: &[f32]| -> f64 {
                    let hours = &v[MONTH_STARTS[m] * 24..MONTH_STARTS[m + 1] * 24];
                    hours.iter().map(|x| f64::from(*x)).sum()
                };
                let (b, s, t) = (
                    sum(&ours.beam_ppfd),
                    sum(&ours.sky_ppfd),
                    sum(&ours.reflected_ppfd),
                );
                let off = 100.0 * ((b + s + t) / theirs - 1.0);
                let pct = |ours: f64, theirs: f64| {
                    format!("{:.2}/{:.2}", 100.0 * ours / open, 100.0 * theirs / open)
                };
                dli.push((
                    off,
                    format!(
                        "{here}: beam {}, sky {}, thrown {} % of the open",
                        pct(b, beam),
                        pct(s, sky),
                        pct(t, thrown)
                    ),
                ));
            }
        }
    }
    let by = "plain ray tracing of 30 random gardens";
    let views = (0.005, "of 1");
    hold_all([
        Check::new(
            "Outdoors",
            "minutes of direct sun on a day",
            by,
            (1.0, "% of the day"),
        )
        .mean_within(0.1)
        .found(&minutes),
        Check::new("Outdoors", "sky view factor, level", by, views)
            .mean_within(0.001)
            .found(&level),
        // Rays stand for 0.15 % more than the dome, so that light on the level is exact.
        Check::new("Outdoors", "sky view factor, solid angle", by, views)
            .mean_within(0.002)
            .found(&plain),
        Check::new("Outdoors", "light of a month (mean DLI)", by, (2.0, "%"))
            .mean_within(0.5)
            .found(&dli),
    ]);
}
