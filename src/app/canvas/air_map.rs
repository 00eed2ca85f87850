//! Air over the plan: how cold nights are, and what heaters, vents and fans move; computed on a thread of its own.

use std::sync::Arc;

use egui::{Align2, Color32, ColorImage, Rect, Stroke, TextureHandle, TextureOptions, pos2, vec2};

use super::{
    latest::Latest,
    layers::Cover,
    paint::{Pen, frame},
    shade, storeys,
};
use crate::{
    air::{
        AirInputs,
        map::{clear_night, sky_views, streams, week_night},
    },
    app::{
        parts::{figures, form::quantity::Quantity},
        state::Units,
        theme::{Ramp, Tokens, text},
    },
    base::{Progress, Pt, Week},
    light::{Scene, map::Grid},
    pipeline::Outcome,
    site::Site,
};

/// Cells of a map at most, and its finest cell, m.
const MOST_CELLS: f64 = 9_000.0;
const FINEST_M: f64 = 0.12;
/// Heights above floor or ground at which nights and moved air are shown, m: leaves of a pot on the ground, and on a sill.
const NIGHT_M: f64 = 0.45;
const MOVED_M: f64 = 1.1;
/// Ends of the scale of a clear night, K above the open, and of moving air, m/s.
const NIGHT_K: (f64, f64) = (1.0, -3.0);
const MOST_M_S: f64 = 1.0;

/// What is to be shown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wanted {
    pub cover: Cover,
    pub week: Week,
    /// Of the day, local standard time.
    pub hour: f64,
    pub level_m: f64,
}

#[derive(Clone)]
struct Key {
    scene: Arc<Scene>,
    site: Site,
    wanted: Wanted,
}

impl Key {
    fn same(&self, other: &Self) -> bool {
        let (a, b) = (&self.site, &other.site);
        let devices = self.wanted.cover != Cover::MovingAir
            || (a.heaters == b.heaters && a.vents == b.vents && a.fans == b.fans);
        // What walls hold and where cold air runs is not in the scene.
        let ground = self.wanted.cover == Cover::MovingAir
            || (a.place == b.place && a.grounds == b.grounds && a.rooms == b.rooms);
        Arc::ptr_eq(&self.scene, &other.scene) && self.wanted == other.wanted && devices && ground
    }
}

struct Job {
    key: Key,
    outcome: Outcome,
    grid: Grid,
}

/// A level line.
struct Line {
    level: f64,
    a: Pt,
    b: Pt,
}

struct Answer {
    cover: Cover,
    grid: Grid,
    /// K, °C or m/s by the cover.
    cells: Vec<Option<f32>>,
    /// Of the same; with moved air of its warmth, K.
    lines: Vec<Line>,
    /// Figures at the pale and at the dark end of the ramp.
    scale: (f64, f64),
    /// Warmth of moved air, K.
    warmth: Vec<Option<f32>>,
}

impl Answer {
    /// Whether nothing moves anywhere.
    fn is_still(&self) -> bool {
        self.cells.iter().flatten().all(|v| *v < 0.02)
    }
}

/// The map on the screen.
pub struct Drawn {
    pub low: Pt,
    pub high: Pt,
    pub picture: TextureHandle,
    answer: Answer,
    dark: bool,
}

/// Asks for maps and keeps the last one.
pub struct AirMap {
    latest: Latest<Job, Answer>,
    asked: Option<Key>,
    drawn: Option<Drawn>,
}

impl Default for AirMap {
    fn default() -> Self {
        Self {
            latest: Latest::new("air over the plan", work),
            asked: None,
            drawn: None,
        }
    }
}

impl AirMap {
    /// The map that is wanted, once it is there.
    pub fn picture(
        &mut self,
        ctx: &egui::Context,
        outcome: &Outcome,
        mut wanted: Wanted,
        t: &Tokens,
        dark: bool,
    ) -> Option<&Drawn> {
        if wanted.cover != Cover::MovingAir {
            wanted.hour = 0.0;
        }
        let key = Key {
            scene: Arc::clone(&outcome.scene),
            site: outcome.site.clone(),
            wanted,
        };
        if !self.asked.as_ref().is_some_and(|asked| asked.same(&key)) {
            let mut grid = shade::grid(&outcome.site, MOST_CELLS, FINEST_M)?;
            grid.height_m = if wanted.cover == Cover::MovingAir {
                MOVED_M
            } else {
                NIGHT_M
            };
            // A map of something else must not stand for this one.
            if self
                .asked
                .as_ref()
                .is_none_or(|a| a.wanted.cover != wanted.cover)
            {
                self.drawn = None;
            }
            self.asked = Some(key.clone());
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
                "air over the plan",
                image(&answer, ramp(answer.cover, t)),
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

    /// What the map says at a point.
    #[must_use]
    pub fn reading(&self, cover: Cover, p: Pt, units: Units) -> String {
        let Some(answer) = self.drawn.as_ref().map(|d| &d.answer) else {
            return String::new();
        };
        if answer.cover != cover {
            return String::new();
        }
        match (cover, at(&answer.grid, &answer.cells, p)) {
            (Cover::ClearNight, Some(k)) => {
                format!("{} to the open on a clear night", difference(units, k))
            }
            (Cover::WeekNight, Some(c)) => {
                format!("nights of {}", figures::temperature(units, c))
            }
            (Cover::MovingAir, Some(speed)) => {
                let warm = at(&answer.grid, &answer.warmth, p).unwrap_or(0.0);
                format!(
                    "{}, {} at full output",
                    Quantity::Speed.words(speed, units),
                    difference(units, warm)
                )
            }
            _ => String::new(),
        }
    }

    /// Level lines over the picture.
    pub fn paint_lines(&self, pen: &Pen<'_>) {
        let Some(drawn) = &self.drawn else { return };
        for line in &drawn.answer.lines {
            let colour = match drawn.answer.cover {
                Cover::MovingAir if line.level > 0.0 => pen.t.heat,
                Cover::MovingAir => pen.t.frost,
                _ => pen.t.ink_soft,
            };
            let width = if line.level.abs() < 1e-9 { 1.6 } else { 0.9 };
            pen.painter.line_segment(
                [pen.on.screen(line.a), pen.on.screen(line.b)],
                Stroke::new(width, colour),
            );
        }
    }

    /// The ramp with its figures, at the lower middle and above what lies in the corners; the room it takes.
    #[must_use]
    pub fn legend(&self, pen: &Pen<'_>, units: Units, corners: &[Rect]) -> Option<Rect> {
        let answer = &self.drawn.as_ref()?.answer;
        let (pale, dark) = answer.scale;
        let title = match answer.cover {
            Cover::ClearNight => format!(
                "Clear still night against the open at 1.5 m, {}",
                figures::temperature_unit(units)
            ),
            Cover::WeekNight => format!(
                "Night minimum of the week, {}",
                figures::temperature_unit(units)
            ),
            _ if answer.is_still() => {
                "At this hour no heater, vent or fan is felt at 1.1 m".to_owned()
            }
            _ => {
                let each = [1.0, 2.0, 4.0, 8.0]
                    .map(|k| figures::trimmed(Quantity::Difference.shown(k, units), 1));
                format!(
                    "Moving air,{}; lines at {}{} warmer or colder",
                    Quantity::Speed.unit(units),
                    each.join(" · "),
                    Quantity::Difference.unit(units)
                )
            }
        };
        let low = Rect::from_center_size(
            pen.on.canvas.center_bottom() - vec2(0.0, 34.0),
            vec2(250.0, 9.0),
        );
        let font = text::regular(text::SMALL);
        let galley = pen.painter.layout_no_wrap(title, font.clone(), pen.t.ink);
        let half = (0.5 * galley.size().x).max(0.5 * low.width() + 16.0) + 8.0;
        let plate = Rect::from_x_y_ranges(
            low.center().x - half..=low.center().x + half,
            low.top()..=low.bottom() + 26.0,
        );
        let bar = low.translate(vec2(0.0, -frame::lift(plate, corners)));
        let around = Rect::from_x_y_ranges(
            bar.center().x - half..=bar.center().x + half,
            bar.top() - 24.0..=bar.bottom() + 26.0,
        );
        pen.painter
            .rect_filled(around, 4, pen.t.sheet.gamma_multiply(0.9));
        let ramp = ramp(answer.cover, pen.t);
        let steps = 50;
        for k in 0..steps {
            let x = |k: usize| bar.left() + bar.width() * k as f32 / steps as f32;
            let cell = Rect::from_x_y_ranges(x(k)..=x(k + 1), bar.y_range());
            pen.painter
                .rect_filled(cell, 0, ramp.at((k as f64 + 0.5) / f64::from(steps as u32)));
        }
        for k in 0..=4 {
            let part = f64::from(k) / 4.0;
            let value = pale + (dark - pale) * part;
            let shown = match answer.cover {
                Cover::WeekNight => figures::temperature_value(units, value),
                Cover::ClearNight => Quantity::Difference.shown(value, units),
                Cover::MovingAir => Quantity::Speed.shown(value, units),
                _ => value,
            };
            let decimals = if answer.cover == Cover::MovingAir {
                2
            } else {
                1
            };
            let x = bar.left() + bar.width() * part as f32;
            pen.painter.vline(
                x,
                bar.bottom()..=bar.bottom() + 4.0,
                Stroke::new(1.0, pen.t.ink),
            );
            pen.painter.text(
                pos2(x, bar.bottom() + 5.0),
                Align2::CENTER_TOP,
                figures::signed(shown, decimals),
                font.clone(),
                pen.t.ink,
            );
        }
        pen.painter.galley(
            pos2(bar.center().x - 0.5 * galley.size().x, bar.top() - 20.0),
            galley,
            pen.t.ink,
        );
        Some(around)
    }
}

fn difference(units: Units, kelvin: f64) -> String {
    let figure = figures::difference(units, kelvin);
    if kelvin >= 0.05 {
        format!("+{figure}")
    } else {
        figure
    }
}

fn ramp(cover: Cover, t: &Tokens) -> &Ramp {
    if cover == Cover::MovingAir {
        &t.moving_air
    } else {
        &t.cold
    }
}

fn at(grid: &Grid, cells: &[Option<f32>], p: Pt) -> Option<f64> {
    let (low, _) = shade::corners(grid);
    let d = (p - low) * (1.0 / grid.cell_m);
    if d.x() < 0.0 || d.y() < 0.0 || d.x() as usize >= grid.columns {
        return None;
    }
    let index = d.y() as usize * grid.columns + d.x() as usize;
    cells.get(index).copied().flatten().map(f64::from)
}

fn image(answer: &Answer, ramp: &Ramp) -> ColorImage {
    let grid = &answer.grid;
    let (pale, dark) = answer.scale;
    let span = if (dark - pale).abs() < 1e-9 {
        1.0
    } else {
        dark - pale
    };
    let mut pixels = Vec::with_capacity(grid.columns * grid.rows);
    for row in (0..grid.rows).rev() {
        for column in 0..grid.columns {
            let cell = answer.cells.get(row * grid.columns + column);
            pixels.push(match cell.copied().flatten() {
                // Still air leaves the drawing as it is.
                Some(v) if answer.cover == Cover::MovingAir && v < 0.02 => Color32::TRANSPARENT,
                Some(v) => ramp.at((f64::from(v) - pale) / span),
                None => Color32::TRANSPARENT,
            });
        }
    }
    if answer.cover != Cover::MovingAir {
        shade::grow(&mut pixels, grid.columns);
    }
    ColorImage::new([grid.columns, grid.rows], pixels)
}

fn work(job: Job, progress: &Progress) -> Option<Answer> {
    let Job { key, outcome, grid } = job;
    let wanted = key.wanted;
    let month0 = wanted.week.month0();
    let shown = storeys::on(&outcome.site, wanted.level_m);
    if wanted.cover == Cover::MovingAir {
        let moved = streams(&shown, month0, wanted.hour, &grid);
        progress.check().ok()?;
        let cells = moved.iter().map(|c| Some(c.speed_m_s)).collect();
        let warmth: Vec<Option<f32>> = moved.iter().map(|c| Some(c.excess_k)).collect();
        let levels = [-8.0, -4.0, -2.0, -1.0, 1.0, 2.0, 4.0, 8.0];
        return Some(Answer {
            cover: wanted.cover,
            lines: contours(&grid, &warmth, &levels),
            grid,
            cells,
            scale: (0.0, MOST_M_S),
            warmth,
        });
    }
    let views = sky_views(&key.scene, month0, &grid, progress).ok()?;
    let inputs = AirInputs {
        place: &outcome.site.place,
        sun: &outcome.sun,
        weather: &outcome.weather,
    };
    let (cells, scale) = if wanted.cover == Cover::ClearNight {
        let cells = clear_night(&inputs, &outcome.site, month0, &views, &grid);
        (cells, NIGHT_K)
    } else {
        let cells = week_night(&inputs, &outcome.site, wanted.week, &views, &grid);
        let known = || cells.iter().flatten().map(|v| f64::from(*v));
        let (low, high) = (
            known().fold(f64::MAX, f64::min),
            known().fold(f64::MIN, f64::max),
        );
        // Half degrees that hold all there is, two at least, so that a flat garden looks flat.
        let scale = if low > high {
            (1.0, -1.0)
        } else {
            let top = (2.0 * high).ceil() / 2.0;
            (top, ((2.0 * low).floor() / 2.0).min(top - 2.0))
        };
        (cells, scale)
    };
    progress.check().ok()?;
    let (top, bottom) = (scale.0.max(scale.1), scale.0.min(scale.1));
    let levels: Vec<f64> = (0..=40)
        .map(|k| bottom + 0.5 * f64::from(k))
        .filter(|v| *v < top + 0.01)
        .collect();
    Some(Answer {
        cover: wanted.cover,
        lines: contours(&grid, &cells, &levels),
        grid,
        cells,
        scale,
        warmth: Vec::new(),
    })
}

/// Level lines between the middles of cells: each square of four known cells is crossed where its edges are.
fn contours(grid: &Grid, cells: &[Option<f32>], levels: &[f64]) -> Vec<Line> {
    let mut lines = Vec::new();
    let value = |c: usize, r: usize| -> Option<f64> {
        cells
            .get(r * grid.columns + c)
            .copied()
            .flatten()
            .map(f64::from)
    };
    let place = |c: usize, r: usize| grid.origin + Pt(c as f64, r as f64) * grid.cell_m;
    for r in 0..grid.rows.saturating_sub(1) {
        for c in 0..grid.columns.saturating_sub(1) {
            let corners = [(c, r), (c + 1, r), (c + 1, r + 1), (c, r + 1)];
            let known: Vec<(Pt, f64)> = corners
                .iter()
                .filter_map(|(c, r)| Some((place(*c, *r), value(*c, *r)?)))
                .collect();
            let [p0, p1, p2, p3] = known.as_slice() else {
                continue;
            };
            for level in levels {
                let crossings: Vec<Pt> = [(p0, p1), (p1, p2), (p2, p3), (p3, p0)]
                    .iter()
                    .filter(|(a, b)| (a.1 < *level) != (b.1 < *level))
                    .map(|(a, b)| a.0.lerp(b.0, (level - a.1) / (b.1 - a.1)))
                    .collect();
                for pair in crossings.chunks_exact(2) {
                    lines.push(Line {
                        level: *level,
                        a: pair[0],
                        b: pair[1],
                    });
                }
            }
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn level_lines_run_where_the_value_passes_the_level() {
        let mut grid = shade::grid(
            &crate::site::samples::SAMPLES[0].read().unwrap().site,
            25.0,
            1.0,
        )
        .unwrap();
        grid.origin = Pt(0.0, 0.0);
        grid.cell_m = 1.0;
        grid.columns = 4;
        grid.rows = 3;
        // Values rise with x: 0, 1, 2, 3.
        let cells: Vec<Option<f32>> = (0..12).map(|k| Some((k % 4) as f32)).collect();
        let lines = contours(&grid, &cells, &[1.5]);
        assert_eq!(lines.len(), 2);
        for line in &lines {
            assert!((line.a.x() - 1.5).abs() < 1e-9 && (line.b.x() - 1.5).abs() < 1e-9);
        }
        // Nothing is drawn beside what is not known.
        let mut holed = cells;
        holed[1] = None;
        assert_eq!(contours(&grid, &holed, &[1.5]).len(), 1);
        assert!((at(&grid, &holed, Pt(2.2, 0.1)).unwrap() - 2.0).abs() < 1e-9);
        assert_eq!(at(&grid, &holed, Pt(1.0, 0.0)), None);
    }
}
