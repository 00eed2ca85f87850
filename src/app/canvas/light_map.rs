//! Light of the ribbon's week over the plan, by day and square metre: where a spot would be worth making.

use std::sync::Arc;

use egui::{Color32, ColorImage, TextureHandle, TextureOptions};

use super::{latest::Latest, shade};
use crate::{
    app::theme::Ramp,
    base::{Progress, Pt, Week},
    light::{
        LightInputs, Scene,
        map::{Grid, dli},
    },
    pipeline::Outcome,
};

/// Cells of the map at most: each follows many rays.
const MOST_CELLS: f64 = 5_000.0;
/// Finest cell, m.
const FINEST_M: f64 = 0.2;
/// The brightest end of the ramp, mol m⁻² d⁻¹; a clear midsummer day in the open gives about 60.
pub const MOST_DLI: f64 = 40.0;

#[derive(Clone)]
struct Key {
    scene: Arc<Scene>,
    week: Week,
    level_m: f64,
}

impl Key {
    fn same(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.scene, &other.scene)
            && self.week == other.week
            && self.level_m.to_bits() == other.level_m.to_bits()
    }
}

struct Job {
    key: Key,
    outcome: Outcome,
    grid: Grid,
}

/// Computed light, mol m⁻² d⁻¹; `None` inside solid bodies.
struct Answer {
    grid: Grid,
    cells: Vec<Option<f32>>,
}

/// The map on the screen.
pub struct Drawn {
    pub low: Pt,
    pub high: Pt,
    pub picture: TextureHandle,
    answer: Answer,
    dark: bool,
}

impl Drawn {
    /// Light at a point of the plan, mol m⁻² d⁻¹.
    #[must_use]
    pub fn at(&self, p: Pt) -> Option<f64> {
        self.answer.at(p)
    }
}

impl Answer {
    fn at(&self, p: Pt) -> Option<f64> {
        let (low, _) = shade::corners(&self.grid);
        let d = (p - low) * (1.0 / self.grid.cell_m);
        if d.x() < 0.0 || d.y() < 0.0 {
            return None;
        }
        let (column, row) = (d.x() as usize, d.y() as usize);
        if column >= self.grid.columns {
            return None;
        }
        let cell = self.cells.get(row * self.grid.columns + column)?;
        cell.map(f64::from)
    }
}

/// Asks for maps and keeps the last one.
pub struct LightMap {
    latest: Latest<Job, Answer>,
    asked: Option<Key>,
    drawn: Option<Drawn>,
}

impl Default for LightMap {
    fn default() -> Self {
        Self {
            latest: Latest::new("light of the week", work),
            asked: None,
            drawn: None,
        }
    }
}

impl LightMap {
    /// The latest map, and whether it is of what was asked for; asks for a newer one if it is not.
    pub fn picture(
        &mut self,
        ctx: &egui::Context,
        outcome: &Outcome,
        week: Week,
        level_m: f64,
        ramp: &Ramp,
        dark: bool,
    ) -> Option<&Drawn> {
        let key = Key {
            scene: Arc::clone(&outcome.scene),
            week,
            level_m,
        };
        if !self.asked.as_ref().is_some_and(|asked| asked.same(&key)) {
            self.asked = Some(key.clone());
            let grid = shade::grid(&outcome.site, MOST_CELLS, FINEST_M)?;
            self.drawn = None;
            let outcome = outcome.clone();
            self.latest.ask(ctx, Job { key, outcome, grid });
        }
        let fresh = self.latest.take();
        let again = match (&fresh, &self.drawn) {
            (None, Some(drawn)) if drawn.dark != dark => self.drawn.take().map(|d| d.answer),
            _ => None,
        };
        if let Some(answer) = fresh.or(again) {
            let (low, high) = shade::corners(&answer.grid);
            let picture = ctx.load_texture(
                "light of the week",
                image(&answer, ramp),
                TextureOptions::LINEAR,
            );
            self.drawn = Some(Drawn {
                low,
                high,
                picture,
                answer,
                dark,
            });
        }
        self.drawn.as_ref()
    }

    /// Light at a point, if the map is there.
    #[must_use]
    pub fn at(&self, p: Pt) -> Option<f64> {
        self.drawn.as_ref()?.at(p)
    }
}

/// Place on the ramp: by the square root, so that the dim end, where plants suffer, has most of the steps.
#[must_use]
pub fn share(dli_mol_m2_d: f64) -> f64 {
    (dli_mol_m2_d / MOST_DLI).max(0.0).sqrt()
}

fn image(answer: &Answer, ramp: &Ramp) -> ColorImage {
    let grid = &answer.grid;
    let mut pixels = Vec::with_capacity(grid.columns * grid.rows);
    for row in (0..grid.rows).rev() {
        for column in 0..grid.columns {
            let cell = answer.cells.get(row * grid.columns + column);
            pixels.push(match cell.copied().flatten() {
                Some(v) => ramp.at(share(f64::from(v))),
                None => Color32::TRANSPARENT,
            });
        }
    }
    shade::grow(&mut pixels, grid.columns);
    ColorImage::new([grid.columns, grid.rows], pixels)
}

fn work(job: Job, progress: &Progress) -> Option<Answer> {
    let Job { key, outcome, grid } = job;
    let (shown, scene) = shade::scene_of(&outcome.site, &key.scene, key.level_m);
    let inputs = LightInputs {
        place: &shown.place,
        sun: &outcome.sun,
        typical: &outcome.weather.typical,
        sky: &outcome.sky,
        scene: &scene,
        turbidity_linke: outcome.weather.normals.turbidity_linke,
    };
    let cells = dli(&inputs, key.week, &grid, progress).ok()?;
    Some(Answer { grid, cells })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_pointer_reads_the_cell_it_is_in() {
        let grid = Grid {
            origin: Pt(10.25, 20.25),
            cell_m: 0.5,
            columns: 2,
            rows: 2,
            height_m: 0.0,
            storey_m: 0.0,
        };
        let answer = Answer {
            grid,
            cells: vec![Some(1.0), Some(2.0), None, Some(4.0)],
        };
        for (p, expected) in [
            (Pt(10.1, 20.1), Some(1.0)),
            (Pt(10.9, 20.1), Some(2.0)),
            (Pt(10.1, 20.9), None),
            (Pt(10.9, 20.9), Some(4.0)),
            (Pt(11.1, 20.1), None),
            (Pt(9.9, 20.1), None),
            (Pt(10.1, 21.1), None),
        ] {
            assert_eq!(answer.at(p), expected, "{p:?}");
        }
    }
}
