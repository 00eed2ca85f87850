//! Sun and shadow on the plan: computed by `light` on a thread of its own, shown as two soft pictures. The window
//! never waits for it; the last picture stays until the next is there.

use std::sync::Arc;

use chrono::Duration;
use egui::{Color32, ColorImage, TextureHandle, TextureOptions};

use super::{latest::Latest, shape, storeys};
use crate::{
    app::theme::Tokens,
    base::{Progress, Pt, Week, geometry},
    light::{
        Scene,
        map::{Grid, sunlight},
    },
    pipeline::Outcome,
    site::{Place, Site},
    sun::{self, REFERENCE_YEAR, SunPosition},
};

/// Cells of the picture at most.
const MOST_CELLS: f64 = 60_000.0;
/// Finest cell, m.
const FINEST_M: f64 = 0.08;
/// Seen beyond what matters, m.
const MARGIN_M: f64 = 8.0;
/// The picture fades out over this distance from its rim, m.
const FADE_M: f64 = 3.0;

#[derive(Clone)]
struct Key {
    scene: Arc<Scene>,
    level_m: f64,
    month0: usize,
    sun: SunPosition,
    dark: bool,
}

impl Key {
    fn same(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.scene, &other.scene)
            && self.level_m.to_bits() == other.level_m.to_bits()
            && self.month0 == other.month0
            && self.sun == other.sun
            && self.dark == other.dark
    }
}

struct Job {
    key: Key,
    site: Site,
    grid: Grid,
    shadow: Color32,
    sunlight: Color32,
}

struct Picture {
    low: Pt,
    high: Pt,
    /// Shadow on the ground.
    outdoors: ColorImage,
    /// Sun patches on floors.
    indoors: ColorImage,
}

/// The pictures on the screen.
pub struct Drawn {
    pub low: Pt,
    pub high: Pt,
    pub outdoors: TextureHandle,
    pub indoors: TextureHandle,
}

/// Asks for pictures and keeps the last one.
pub struct Shade {
    latest: Latest<Job, Picture>,
    asked: Option<Key>,
    drawn: Option<Drawn>,
}

impl Default for Shade {
    fn default() -> Self {
        Self {
            latest: Latest::new("sun and shadow", paint),
            asked: None,
            drawn: None,
        }
    }
}

/// Where the sun stands in the middle of a calendar week at an hour of local standard time.
#[must_use]
pub fn sun_at(place: &Place, outcome: &Outcome, week: Week, hour: f64) -> SunPosition {
    let date = week.first_day().plus(3).in_year(REFERENCE_YEAR);
    let seconds = (hour - outcome.sun.standard_offset_h) * 3600.0;
    let utc = date.and_time(chrono::NaiveTime::MIN) + Duration::seconds(seconds.round() as i64);
    sun::position(place, utc.and_utc())
}

/// What the picture is of.
#[derive(Clone, Copy)]
pub struct Moment {
    pub month0: usize,
    pub sun: SunPosition,
    /// Storey that is shown.
    pub level_m: f64,
}

impl Shade {
    /// The latest picture; asks for a newer one if what it shows is out of date.
    pub fn picture(
        &mut self,
        ctx: &egui::Context,
        outcome: &Outcome,
        moment: Moment,
        t: &Tokens,
        dark: bool,
    ) -> Option<&Drawn> {
        let key = Key {
            scene: Arc::clone(&outcome.scene),
            level_m: moment.level_m,
            month0: moment.month0,
            sun: moment.sun,
            dark,
        };
        if moment.sun.elevation_rad <= 0.0 {
            return None;
        }
        if !self.asked.as_ref().is_some_and(|asked| asked.same(&key)) {
            self.asked = Some(key.clone());
            let grid = grid(&outcome.site, MOST_CELLS, FINEST_M)?;
            let job = Job {
                key,
                site: outcome.site.clone(),
                grid,
                shadow: t.shadow,
                sunlight: t.sunlight,
            };
            self.latest.ask(ctx, job);
        }
        if let Some(p) = self.latest.take() {
            self.drawn = Some(Drawn {
                low: p.low,
                high: p.high,
                outdoors: ctx.load_texture("shadow", p.outdoors, TextureOptions::LINEAR),
                indoors: ctx.load_texture("sun patches", p.indoors, TextureOptions::LINEAR),
            });
        }
        self.drawn.as_ref()
    }
}

/// A grid over the part of the drawing that matters and a little round it. What stands farther off casts its shadow
/// into it all the same.
pub(super) fn grid(site: &Site, most_cells: f64, finest_m: f64) -> Option<Grid> {
    let (low, high) = shape::heart(site)?;
    let size = high - low + Pt(2.0 * MARGIN_M, 2.0 * MARGIN_M);
    let cell_m = (size.x() * size.y() / most_cells).sqrt().max(finest_m);
    let count = |metres: f64| ((metres / cell_m).ceil() as usize).clamp(1, 2_000);
    Some(Grid {
        origin: low - Pt(MARGIN_M, MARGIN_M) + Pt(cell_m * 0.5, cell_m * 0.5),
        cell_m,
        columns: count(size.x()),
        rows: count(size.y()),
        height_m: 0.02,
        storey_m: 0.0,
    })
}

/// Lower-left and upper-right corner of a grid's cells.
pub(super) fn corners(grid: &Grid) -> (Pt, Pt) {
    let half = Pt(grid.cell_m * 0.5, grid.cell_m * 0.5);
    let low = grid.origin - half;
    let size = Pt(grid.columns as f64, grid.rows as f64) * grid.cell_m;
    (low, low + size)
}

fn paint(job: Job, progress: &Progress) -> Option<Picture> {
    let Job {
        key,
        site,
        grid,
        shadow,
        sunlight: patch,
    } = job;
    let shown = storeys::on(&site, key.level_m);
    let grid = Grid {
        storey_m: key.level_m,
        ..grid
    };
    progress.check().ok()?;
    let lit = sunlight(
        &key.scene,
        key.month0,
        key.sun.azimuth_rad,
        key.sun.elevation_rad,
        &grid,
    );
    // On dark paper a shadow must be deeper to be seen.
    let depth = if key.dark { 0.65 } else { 0.30 };
    let lit = softened(&lit, &grid);
    let (low, high) = corners(&grid);
    let mut outdoors = vec![Color32::TRANSPARENT; grid.columns * grid.rows];
    let mut indoors = outdoors.clone();
    for row in 0..grid.rows {
        progress.check().ok()?;
        for column in 0..grid.columns {
            let p = grid.origin + Pt(column as f64, row as f64) * grid.cell_m;
            let cell = row * grid.columns + column;
            let share = lit.get(cell).copied().unwrap_or(1.0).clamp(0.0, 1.0);
            // Pictures run from the top down, the plan from the bottom up.
            let pixel = (grid.rows - 1 - row) * grid.columns + column;
            let inside = shown
                .rooms
                .values()
                .any(|room| geometry::contains(&room.outline, p));
            if inside {
                // Never quite nothing, which stands for "no room here".
                let colour = patch.gamma_multiply((0.75 * share).max(0.004));
                set(&mut indoors, pixel, colour);
            } else {
                let colour = shadow.gamma_multiply(depth * (1.0 - share) * fade(p, low, high));
                set(&mut outdoors, pixel, colour);
            }
        }
    }
    grow(&mut indoors, grid.columns);
    let size = [grid.columns, grid.rows];
    Some(Picture {
        low,
        high,
        outdoors: ColorImage::new(size, outdoors),
        indoors: ColorImage::new(size, indoors),
    })
}

/// Each cell with a part of its eight neighbours: no steps along slanting edges of shadows.
fn softened(lit: &[f32], grid: &Grid) -> Vec<f32> {
    let at =
        |row: usize, column: usize| lit.get(row * grid.columns + column).copied().unwrap_or(1.0);
    let near = |k: usize, most: usize| k.saturating_sub(1)..=(k + 1).min(most.saturating_sub(1));
    (0..grid.rows)
        .flat_map(|row| (0..grid.columns).map(move |column| (row, column)))
        .map(|(row, column)| {
            let mut sum = 0.0;
            let mut weights = 0.0;
            for r in near(row, grid.rows) {
                for c in near(column, grid.columns) {
                    let weight =
                        if r == row { 2.0 } else { 1.0 } * if c == column { 2.0 } else { 1.0 };
                    sum += weight * at(r, c);
                    weights += weight;
                }
            }
            sum / weights
        })
        .collect()
}

/// 1 inside, falling to 0 at the rim of the picture.
fn fade(p: Pt, low: Pt, high: Pt) -> f32 {
    let inside = (p.x() - low.x())
        .min(high.x() - p.x())
        .min(p.y() - low.y())
        .min(high.y() - p.y());
    (inside / FADE_M).clamp(0.0, 1.0) as f32
}

fn set(pixels: &mut [Color32], at: usize, colour: Color32) {
    if let Some(pixel) = pixels.get_mut(at) {
        *pixel = colour;
    }
}

/// Carries a picture one cell on into what is transparent, so that it doesn't fade towards walls.
pub(super) fn grow(pixels: &mut [Color32], columns: usize) {
    let before = pixels.to_vec();
    for (i, pixel) in pixels.iter_mut().enumerate() {
        if before.get(i) != Some(&Color32::TRANSPARENT) {
            continue;
        }
        let (row, column) = (i / columns, i % columns);
        let at = |r: Option<usize>, c: Option<usize>| {
            let (r, c) = (r?, c.filter(|c| *c < columns)?);
            before.get(r * columns + c).copied()
        };
        let around = [
            at(Some(row), column.checked_sub(1)),
            at(Some(row), Some(column + 1)),
            at(row.checked_sub(1), Some(column)),
            at(Some(row + 1), Some(column)),
        ];
        let near = around
            .into_iter()
            .flatten()
            .find(|c| *c != Color32::TRANSPARENT);
        if let Some(near) = near {
            *pixel = near;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::canvas::fixture;

    #[test]
    fn a_house_throws_its_shadow_away_from_the_sun_and_lets_sun_in_at_its_window() {
        let site = fixture::site();
        let scene = Arc::new(Scene::of(&site));
        let key = Key {
            scene,
            level_m: 0.0,
            month0: 2,
            // From the south, where the window is.
            sun: SunPosition {
                azimuth_rad: std::f64::consts::PI,
                elevation_rad: 0.6,
            },
            dark: false,
        };
        let grid = grid(&site, 20_000.0, 0.1).unwrap();
        let job = Job {
            key,
            site,
            grid,
            shadow: Color32::BLACK,
            sunlight: Color32::WHITE,
        };
        let picture = paint(job, &Progress::new()).unwrap();
        let at = |image: &ColorImage, p: Pt| {
            let d = (p - picture.low) * (1.0 / grid.cell_m);
            let row = grid.rows - 1 - d.y() as usize;
            image.pixels[row * grid.columns + d.x() as usize].a()
        };
        assert!(at(&picture.outdoors, Pt(2.0, 5.0)) > 50);
        assert_eq!(at(&picture.outdoors, Pt(2.0, -2.0)), 0);
        // The window reaches from 0.9 m to 2.1 m: at 0.6 rad its patch lies 1.3 m to 3.1 m inside.
        assert!(at(&picture.indoors, Pt(1.6, 2.0)) > 60);
        assert!(at(&picture.indoors, Pt(3.5, 2.0)) < 5);
    }
}
