//! Air over an area, for the plan's pictures: where heaters, vents and fans are felt, and where clear nights are cold.

use rayon::prelude::*;

use super::{
    devices::{self, Reached, Running},
    outdoors::OutdoorSpot,
    sum_streams,
};
use crate::{
    base::{Pt, geometry},
    light::map::Grid,
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
/// night with 1 m/s of wind at 10 m, K; cells in rooms and buildings are `None`. `sky_view` is the cosine-weighted share
/// of the sky seen from each cell, 0..=1; cells beyond its end count as open.
#[must_use]
pub fn clear_night(site: &Site, month0: usize, sky_view: &[f32], grid: &Grid) -> Vec<Option<f32>> {
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
            let night = OutdoorSpot::still_night(site, &spot, month0 % 12, view);
            Some((night.sky_k + night.cover_k) as f32)
        })
        .collect()
}
