//! Sun and shadow on the plan: computed by `light` on a thread of its own, shown as two soft pictures. The window
//! never waits for it; the last picture stays until the next is there.

use std::sync::{Arc, Condvar, Mutex, PoisonError};

use chrono::Duration;
use egui::{Color32, ColorImage, TextureHandle, TextureOptions};

use super::shape;
use crate::{
    app::theme::Tokens,
    base::{Pt, geometry},
    light::{
        Scene,
        map::{Grid, sunlight},
    },
    pipeline::Outcome,
    site::{Place, Site},
    sun::{self, REFERENCE_YEAR, SunPosition},
};

/// Cells of the picture at most.
const MOST_CELLS: f64 = 36_000.0;
/// Finest cell, m.
const FINEST_M: f64 = 0.08;
/// Seen beyond the drawing's rim, m.
const MARGIN_M: f64 = 4.0;

#[derive(Clone)]
struct Key {
    scene: Arc<Scene>,
    month0: usize,
    sun: SunPosition,
    dark: bool,
}

impl Key {
    fn same(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.scene, &other.scene)
            && self.month0 == other.month0
            && self.sun == other.sun
            && self.dark == other.dark
    }
}

struct Job {
    key: Key,
    grid: Grid,
    rooms: Vec<Vec<Pt>>,
    shadow: Color32,
    sunlight: Color32,
}

struct Picture {
    key: Key,
    low: Pt,
    high: Pt,
    /// Shadow on the ground.
    outdoors: ColorImage,
    /// Sun patches on floors.
    indoors: ColorImage,
}

#[derive(Default)]
struct Slot {
    job: Option<Job>,
    picture: Option<Picture>,
    closed: bool,
}

type Shared = Arc<(Mutex<Slot>, Condvar)>;

/// The pictures on the screen.
pub struct Drawn {
    pub low: Pt,
    pub high: Pt,
    pub outdoors: TextureHandle,
    pub indoors: TextureHandle,
}

/// Asks for pictures and keeps the last one.
#[derive(Default)]
pub struct Shade {
    shared: Option<Shared>,
    asked: Option<Key>,
    drawn: Option<Drawn>,
}

/// Where the sun stands in the middle of a calendar week at an hour of local standard time.
#[must_use]
pub fn sun_at(place: &Place, outcome: &Outcome, week: crate::base::Week, hour: f64) -> SunPosition {
    let date = week.first_day().plus(3).in_year(REFERENCE_YEAR);
    let seconds = (hour - outcome.sun.standard_offset_h) * 3600.0;
    let utc = date.and_time(chrono::NaiveTime::MIN) + Duration::seconds(seconds.round() as i64);
    sun::position(place, utc.and_utc())
}

impl Shade {
    /// The latest picture; asks for a newer one if what it shows is out of date.
    pub fn picture(
        &mut self,
        ctx: &egui::Context,
        outcome: &Outcome,
        month0: usize,
        sun: SunPosition,
        t: &Tokens,
        dark: bool,
    ) -> Option<&Drawn> {
        let key = Key {
            scene: Arc::clone(&outcome.scene),
            month0,
            sun,
            dark,
        };
        if !self.asked.as_ref().is_some_and(|asked| asked.same(&key)) {
            self.ask(ctx, &outcome.site, key, t);
        }
        self.take(ctx);
        (sun.elevation_rad > 0.0).then_some(())?;
        self.drawn.as_ref()
    }

    fn ask(&mut self, ctx: &egui::Context, site: &Site, key: Key, t: &Tokens) {
        self.asked = Some(key.clone());
        if key.sun.elevation_rad <= 0.0 {
            return;
        }
        let Some(grid) = grid(site) else {
            return;
        };
        let job = Job {
            key,
            grid,
            rooms: site.rooms.values().map(|r| r.outline.clone()).collect(),
            shadow: t.shadow,
            sunlight: t.sunlight,
        };
        let shared = self.shared.get_or_insert_with(|| start(ctx.clone()));
        let (slot, bell) = &**shared;
        slot.lock().unwrap_or_else(PoisonError::into_inner).job = Some(job);
        bell.notify_one();
    }

    fn take(&mut self, ctx: &egui::Context) {
        let Some(shared) = &self.shared else {
            return;
        };
        let picture = shared
            .0
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .picture
            .take();
        // Of an older hour or scene: a newer one is on its way.
        if let Some(p) =
            picture.filter(|p| self.asked.as_ref().is_some_and(|asked| asked.same(&p.key)))
        {
            self.drawn = Some(Drawn {
                low: p.low,
                high: p.high,
                outdoors: ctx.load_texture("shadow", p.outdoors, TextureOptions::LINEAR),
                indoors: ctx.load_texture("sun patches", p.indoors, TextureOptions::LINEAR),
            });
        }
    }
}

impl Drop for Shade {
    fn drop(&mut self) {
        if let Some(shared) = &self.shared {
            shared
                .0
                .lock()
                .unwrap_or_else(PoisonError::into_inner)
                .closed = true;
            shared.1.notify_one();
        }
    }
}

/// The grid over the whole drawing.
fn grid(site: &Site) -> Option<Grid> {
    let (low, high) = shape::site_bounds(site)?;
    let size = high - low + Pt(2.0 * MARGIN_M, 2.0 * MARGIN_M);
    let cell_m = (size.x() * size.y() / MOST_CELLS).sqrt().max(FINEST_M);
    let count = |metres: f64| ((metres / cell_m).ceil() as usize).clamp(1, 2_000);
    Some(Grid {
        origin: low - Pt(MARGIN_M, MARGIN_M) + Pt(cell_m * 0.5, cell_m * 0.5),
        cell_m,
        columns: count(size.x()),
        rows: count(size.y()),
        height_m: 0.02,
    })
}

fn start(ctx: egui::Context) -> Shared {
    let shared: Shared = Arc::default();
    let theirs = Arc::clone(&shared);
    // Without a thread there are no pictures; everything else works.
    let _ = std::thread::Builder::new()
        .name("sun and shadow".to_owned())
        .spawn(move || {
            let (slot, bell) = &*theirs;
            loop {
                let mut guard = slot.lock().unwrap_or_else(PoisonError::into_inner);
                let job = loop {
                    if guard.closed {
                        return;
                    }
                    if let Some(job) = guard.job.take() {
                        break job;
                    }
                    guard = bell.wait(guard).unwrap_or_else(PoisonError::into_inner);
                };
                drop(guard);
                let picture = paint(job);
                slot.lock().unwrap_or_else(PoisonError::into_inner).picture = Some(picture);
                ctx.request_repaint();
            }
        });
    shared
}

fn paint(job: Job) -> Picture {
    let Job {
        key,
        grid,
        rooms,
        shadow,
        sunlight: patch,
    } = job;
    let lit = sunlight(
        &key.scene,
        key.month0,
        key.sun.azimuth_rad,
        key.sun.elevation_rad,
        &grid,
    );
    let mut outdoors = vec![Color32::TRANSPARENT; grid.columns * grid.rows];
    let mut indoors = outdoors.clone();
    for row in 0..grid.rows {
        for column in 0..grid.columns {
            let p = grid.origin + Pt(column as f64, row as f64) * grid.cell_m;
            let share = lit
                .get(row * grid.columns + column)
                .copied()
                .unwrap_or(1.0)
                .clamp(0.0, 1.0);
            // Pictures run from the top down, the plan from the bottom up.
            let pixel = (grid.rows - 1 - row) * grid.columns + column;
            let inside = rooms.iter().any(|room| geometry::contains(room, p));
            let target = if inside {
                indoors.get_mut(pixel)
            } else {
                outdoors.get_mut(pixel)
            };
            if let Some(target) = target {
                *target = if inside {
                    patch.gamma_multiply((0.75 * share).max(0.004))
                } else {
                    shadow.gamma_multiply(0.34 * (1.0 - share))
                };
            }
        }
    }
    grow(&mut indoors, grid.columns);
    let half = Pt(grid.cell_m * 0.5, grid.cell_m * 0.5);
    let low = grid.origin - half;
    let size = [grid.columns, grid.rows];
    Picture {
        key,
        low,
        high: low + Pt(grid.columns as f64, grid.rows as f64) * grid.cell_m,
        outdoors: ColorImage::new(size, outdoors),
        indoors: ColorImage::new(size, indoors),
    }
}

/// Carries the picture one cell beyond the rooms' edges, so that it doesn't fade towards the walls.
fn grow(pixels: &mut [Color32], columns: usize) {
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
        if let Some(near) = around
            .into_iter()
            .flatten()
            .find(|c| *c != Color32::TRANSPARENT)
        {
            *pixel = near;
        }
    }
}
