//! Air over an area, for the plan's pictures: where heaters, vents and fans are felt, and where clear nights are cold.

use rayon::prelude::*;

use super::{
    AirInputs,
    devices::{self, Reached, Running},
    outdoors::{NightPlace, warm_by_night_k},
    sum_streams,
    year::{self, OpenYear},
};
use crate::{
    base::{Cancelled, Day, Progress, Pt, Week, calendar::DAYS, geometry},
    light::{Scene, map::Grid},
    site::{Site, Spot},
};

/// What devices bring to a cell.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct AirCell {
    /// K above the air around; negative is colder.
    pub excess_k: f32,
    pub speed_m_s: f32,
}

fn middle_of(grid: &Grid, k: usize) -> Pt {
    let columns = grid.columns.max(1);
    grid.origin
        + Pt(
            (k % columns) as f64 * grid.cell_m,
            (k / columns) as f64 * grid.cell_m,
        )
}

/// Air that heaters, vents and fans move over a grid, row by row from the lowest y, in a month (0..12) at an hour of
/// the clock: each device that runs then at its full output, rooms at 20 °C. Indoors the grid's height counts from
/// the room's floor. Leaks and the house's own warmth are left out.
#[must_use]
pub fn streams(site: &Site, month0: usize, clock_h: f64, grid: &Grid) -> Vec<AirCell> {
    let now = Running {
        month0,
        clock_h,
        room_c: 20.0,
        demand: 1.0,
    };
    (0..grid.columns * grid.rows)
        .into_par_iter()
        .map(|k| {
            let at = middle_of(grid, k);
            let room = site
                .rooms
                .iter()
                .find(|(_, r)| geometry::contains(&r.outline, at));
            let place = Reached {
                points: vec![at],
                leaf_m: grid.height_m,
                foot_m: grid.height_m,
                outline: &[],
                room: room.map(|(id, _)| id),
                walls: room.map(|(_, r)| r.outline.as_slice()),
                ceiling_m: room.map_or(f64::INFINITY, |(_, r)| r.height_m),
            };
            let all = devices::effects_at(site, &place);
            let felt = sum_streams(all.iter().map(|e| e.at(&now)));
            AirCell {
                excess_k: felt.excess_k as f32,
                speed_m_s: felt.speed_m_s as f32,
            }
        })
        .collect()
}

/// How much colder (negative) or warmer than the open air at 1.5 m it is over a grid towards the morning of a clear
/// night with 1 m/s of wind at 10 m, K, with what walls and
/// paving give back on a usual night of the month; cells in rooms and buildings are `None`. `sky_view` is the cosine-weighted share
/// of the sky seen from each cell, 0..=1; cells beyond its end count as open.
#[must_use]
pub fn clear_night(
    inputs: &AirInputs<'_>,
    site: &Site,
    month0: usize,
    sky_view: &[f32],
    grid: &Grid,
) -> Vec<Option<f32>> {
    let open = OpenYear::of(inputs);
    over(site, month0, sky_view, grid, |place, spot, view| {
        let night = place.night(1.0, 0.0, 1.0);
        let warm = open.as_ref().map_or(0.0, |open| {
            warm_by_night_k(site, spot, open, month0 % 12, view, place.shelter())
        });
        night.sky_k + night.cover_k + night.hollow_k + warm
    })
}

/// Share of the sky that each cell of a grid sees in a month (0..12), weighed by the cosine as a level surface loses heat
/// to it, 0..=1; by 24 directions of equal weight, so within some 0.05.
///
/// # Errors
/// [`Cancelled`].
pub fn sky_views(
    scene: &Scene,
    month0: usize,
    grid: &Grid,
    progress: &Progress,
) -> Result<Vec<f32>, Cancelled> {
    const ROUND: usize = 8;
    // Middles of three rings of equal cosine weight: sin² of the elevation is even.
    const RINGS: [f64; 3] = [1.0 / 6.0, 0.5, 5.0 / 6.0];
    (0..grid.rows)
        .into_par_iter()
        .map(|row| {
            progress.check()?;
            Ok((0..grid.columns)
                .map(|column| {
                    let at = middle_of(grid, row * grid.columns + column);
                    let seen: f64 = RINGS
                        .iter()
                        .flat_map(|s| (0..ROUND).map(move |k| (s.sqrt().asin(), k as f64 + 0.5)))
                        .map(|(elevation, k)| {
                            let azimuth = k / ROUND as f64 * std::f64::consts::TAU;
                            scene.clear_share(month0, at, grid.height_m, azimuth, elevation)
                        })
                        .sum();
                    (seen / (RINGS.len() * ROUND) as f64) as f32
                })
                .collect::<Vec<f32>>())
        })
        .collect::<Result<Vec<_>, Cancelled>>()
        .map(|rows| rows.concat())
}

/// Night minimum that is expected over a grid in a calendar week, °C, by the mean of the weather years and the clouds and
/// winds of the month's nights in the typical year; cells in rooms and buildings are `None`.
#[must_use]
pub fn week_night(
    inputs: &AirInputs<'_>,
    site: &Site,
    week: Week,
    sky_view: &[f32],
    grid: &Grid,
) -> Vec<Option<f32>> {
    let Some(open) = OpenYear::of(inputs) else {
        return vec![None; grid.columns * grid.rows];
    };
    let month0 = week.month0();
    let nights: Vec<(f64, f64)> = (0..DAYS)
        .filter(|d| Day::new(*d).month0() == month0)
        .map(|d| {
            let hour = &open.hours[open.min_hour[d]];
            (hour.wind_m_s, hour.cloud)
        })
        .collect();
    let years = &inputs.weather.years;
    let known = years.years > 0 && years.night_min_c.len() >= years.years * DAYS;
    let (mut sum, mut n) = (0.0, 0.0_f64);
    for d in week.days() {
        if known {
            for year in 0..years.years {
                sum += year::at(&years.night_min_c, years.at(year, d));
                n += 1.0;
            }
        } else {
            sum += open.night_min_c[d];
            n += 1.0;
        }
    }
    let open_c = sum / n.max(1.0);
    over(site, month0, sky_view, grid, |place, spot, view| {
        let departure: f64 = nights
            .iter()
            .map(|(wind, cloud)| {
                let night = place.night(*wind, *cloud, 1.0);
                night.sky_k + night.cover_k + night.hollow_k
            })
            .sum();
        let warm = warm_by_night_k(site, spot, &open, month0, view, place.shelter());
        open_c + departure / nights.len().max(1) as f64 + warm
    })
}

/// A figure for each cell in the open.
fn over(
    site: &Site,
    month0: usize,
    sky_view: &[f32],
    grid: &Grid,
    figure: impl Fn(&NightPlace, &Spot, f64) -> f64 + Sync,
) -> Vec<Option<f32>> {
    (0..grid.columns * grid.rows)
        .into_par_iter()
        .map(|k| {
            let at = middle_of(grid, k);
            let within = |outline: &[Pt]| geometry::contains(outline, at);
            if site.rooms.values().any(|r| within(&r.outline))
                || site.buildings.values().any(|b| within(&b.outline))
            {
                return None;
            }
            let spot = Spot {
                outline: vec![at],
                height_m: 0.0,
                leaf_m: grid.height_m,
                ..Spot::default()
            };
            let view = sky_view
                .get(k)
                .map_or(1.0, |v| f64::from(*v).clamp(0.0, 1.0));
            let place = NightPlace::of(site, &spot, month0 % 12, view);
            Some(figure(&place, &spot, view) as f32)
        })
        .collect()
}
