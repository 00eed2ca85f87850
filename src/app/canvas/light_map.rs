//! The map of light over the plan: where a spot would be worth making. Computed by `light` on a thread of its own, shown
//! coarse at once and finer as it comes.

use std::sync::{Arc, Mutex, PoisonError};

use egui::{Color32, ColorImage, TextureHandle, TextureOptions};

use super::{latest::Latest, shade};
use crate::{
    app::{parts::figures, state::Units, theme::Ramp},
    base::{Hemisphere, Progress, Pt, Week},
    light::{
        Scene,
        map::{
            Ask, Grid, Kept, Picture, Quantity, Span,
            contours::{Contour, contours},
            draw,
        },
    },
    pipeline::Outcome,
    sky::SkyYear,
};

/// Cells of the map at most.
const MOST_CELLS: f64 = 10_000.0;
/// Finest cell, m.
const FINEST_M: f64 = 0.2;
/// Least distance of the figures of the legend, as a share of it.
const LEAST_APART: f64 = 0.11;

/// What the map shows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Shows {
    #[default]
    Dli,
    SunHours,
    /// Brightness at the hour of the dial.
    Hour,
}

/// Over which time.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Over {
    #[default]
    Week,
    Season,
}

/// How the map is chosen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Choice {
    pub shows: Shows,
    pub over: Over,
    /// Above ground or floor, m.
    pub height_m: f64,
    /// The colours stand for the same figures in every week; else they are spread over what the week has.
    pub same_all_year: bool,
}

impl Default for Choice {
    fn default() -> Self {
        Self {
            shows: Shows::Dli,
            over: Over::Week,
            height_m: 0.8,
            same_all_year: false,
        }
    }
}

/// Figures at the dim and the bright end of the ramp, in the unit of the map.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scale {
    low: f64,
    high: f64,
    /// Light goes by the square root, so that the dim end, where plants suffer, has most of the steps.
    root: bool,
}

impl Scale {
    /// One for all weeks.
    #[must_use]
    pub fn of_year(shows: Shows) -> Self {
        let high = match shows {
            // A clear midsummer day in the open gives about 60.
            Shows::Dli => 40.0,
            Shows::SunHours => 14.0,
            Shows::Hour => 1_500.0,
        };
        Self {
            low: 0.0,
            high,
            root: shows != Shows::SunHours,
        }
    }

    /// Round figures round all that there is, but never so near to one another that a flat garden looks steep.
    #[must_use]
    pub fn of_values(shows: Shows, values: impl Iterator<Item = f64>) -> Self {
        let year = Self::of_year(shows);
        let ends = values
            .filter(|v| v.is_finite())
            .fold(None, |e: Option<(f64, f64)>, v| {
                Some(e.map_or((v, v), |(low, high)| (low.min(v), high.max(v))))
            });
        let Some((low, high)) = ends else {
            return year;
        };
        let least = match shows {
            Shows::Dli | Shows::SunHours => 2.0,
            Shows::Hour => 100.0,
        };
        let step = round_step((high - low).max(least) / 4.0);
        let low = ((low / step).floor() * step).max(0.0);
        let high = ((high / step).ceil() * step).max(low + least);
        Self { low, high, ..year }
    }

    /// Place of a value on the ramp, 0..=1 between its ends.
    #[must_use]
    pub fn share(self, value: f64) -> f64 {
        let turned = |v: f64| if self.root { v.max(0.0).sqrt() } else { v };
        let (low, high) = (turned(self.low), turned(self.high));
        (turned(value) - low) / (high - low).max(1e-9)
    }

    /// Figures that the legend is marked at, with their words: round, and so far apart that they can be read.
    #[must_use]
    pub fn marks(self, shows: Shows, units: Units) -> Vec<(f64, String)> {
        if self == Self::of_year(shows) {
            let mut marks = shows.marks(units);
            marks.retain(|(v, _)| self.share(*v) <= 1.0 + 1e-9);
            return marks;
        }
        // Round in the grower's unit, which is in proportion to the map's.
        let shown = match shows {
            Shows::Dli | Shows::SunHours => 1.0,
            Shows::Hour => figures::brightness_value(units, 1.0),
        };
        let (low, high) = (self.low * shown, self.high * shown);
        let step = round_step((high - low) / 16.0);
        let first = (low / step).ceil() as usize;
        let all = (first..)
            .map(|k| k as f64 * step)
            .take_while(|v| *v <= high + 1e-9)
            .map(|v| (v / shown, shows.figure(v)));
        let mut marks: Vec<(f64, String)> = Vec::new();
        for (v, words) in all {
            let share = self.share(v);
            let apart = marks
                .last()
                .is_none_or(|(last, _)| share - self.share(*last) >= LEAST_APART);
            if (-1e-9..=1.0 + 1e-9).contains(&share) && apart {
                marks.push((v, words));
            }
        }
        marks
    }
}

/// 1, 2 or 5 times a power of ten, the next one up.
fn round_step(least: f64) -> f64 {
    let power = 10_f64.powf(least.log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .map(|k| k * power)
        .into_iter()
        .find(|step| *step >= least - 1e-9)
        .unwrap_or(10.0 * power)
}

impl Shows {
    pub const ALL: [(Self, &'static str, &'static str); 3] = [
        (
            Self::Dli,
            "Light by day",
            "Mean daily light of the typical year",
        ),
        (
            Self::SunHours,
            "Hours of sun",
            "Hours of direct sun on a clear day",
        ),
        (
            Self::Hour,
            "Brightness at this hour",
            "Mean brightness of the typical year at the hour of the dial",
        ),
    ];

    /// Values that lines of equal light are drawn at, in the unit of the map, with their words.
    #[must_use]
    pub fn lines(self, units: Units) -> Vec<(f64, String)> {
        let plain = |v: &[f64]| v.iter().map(|v| (*v, figures::trimmed(*v, 1))).collect();
        match self {
            Self::Dli => plain(&[
                0.5, 1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0,
            ]),
            Self::SunHours => plain(&[1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0, 12.0, 14.0]),
            Self::Hour => figures::round_brightness(units),
        }
    }

    /// Values that the legend is marked at, in the unit of the map, with their words.
    #[must_use]
    pub fn marks(self, units: Units) -> Vec<(f64, String)> {
        let plain = |v: &[f64]| v.iter().map(|v| (*v, format!("{v:.0}"))).collect();
        match self {
            Self::Dli => plain(&[1.0, 5.0, 10.0, 20.0, 40.0]),
            Self::SunHours => plain(&[1.0, 2.0, 4.0, 6.0, 8.0, 12.0]),
            Self::Hour => figures::round_brightness(units),
        }
    }

    /// What the legend is headed with.
    #[must_use]
    pub fn title(self, over: Over, units: Units) -> String {
        let time = match over {
            Over::Week => "the week",
            Over::Season => "its season",
        };
        match self {
            Self::Dli => format!("Light of {time}, mol/m² a day"),
            Self::SunHours => format!("Direct sun, clear days of {time}, h"),
            Self::Hour => format!(
                "At this hour of {time}, {}",
                figures::brightness_unit(units)
            ),
        }
    }

    #[must_use]
    pub fn reading(self, units: Units, value: f64) -> String {
        match self {
            Self::Dli => figures::dli(value),
            Self::SunHours => format!("{} h of sun", figures::signed(value, 1)),
            Self::Hour => figures::brightness(units, value),
        }
    }

    /// A value in the grower's unit as the legend writes it.
    fn figure(self, value: f64) -> String {
        match self {
            Self::Dli | Self::SunHours => figures::trimmed(value, 1),
            Self::Hour => figures::grouped(value),
        }
    }
}

/// The time a map is of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct When {
    pub week: Week,
    /// Hour of the dial.
    pub hour: f64,
    pub hemisphere: Hemisphere,
    /// Storey that is shown.
    pub level_m: f64,
    pub units: Units,
}

#[derive(Clone)]
struct Key {
    scene: Arc<Scene>,
    sky: Arc<SkyYear>,
    shows: Shows,
    ask: Ask,
    height_m: f64,
    level_m: f64,
    units: Units,
}

impl Key {
    fn of(outcome: &Outcome, choice: Choice, when: &When) -> Self {
        let span = match choice.over {
            Over::Week => Span::week(when.week),
            Over::Season => Span::season(when.week.season(when.hemisphere), when.hemisphere),
        };
        let (quantity, hour) = match choice.shows {
            Shows::Dli => (Quantity::Dli, None),
            Shows::SunHours => (Quantity::SunHours, None),
            Shows::Hour => (Quantity::Ppfd, Some((when.hour.max(0.0) as usize).min(23))),
        };
        Self {
            scene: Arc::clone(&outcome.scene),
            sky: Arc::clone(&outcome.sky),
            shows: choice.shows,
            ask: Ask {
                quantity,
                span,
                hour,
            },
            height_m: choice.height_m,
            level_m: when.level_m,
            units: when.units,
        }
    }

    fn same(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.scene, &other.scene)
            && Arc::ptr_eq(&self.sky, &other.sky)
            && self.shows == other.shows
            && self.ask == other.ask
            && self.height_m.to_bits() == other.height_m.to_bits()
            && self.level_m.to_bits() == other.level_m.to_bits()
            && self.units == other.units
    }
}

/// Pictures on their way to the window.
type Early = Arc<Mutex<Option<Answer>>>;

struct Job {
    key: Key,
    outcome: Outcome,
    grid: Grid,
    kept: Option<Kept>,
    early: Early,
    ctx: egui::Context,
}

struct Answer {
    picture: Picture,
    lines: Vec<Contour>,
    kept: Option<Kept>,
}

/// The map on the screen.
pub struct Drawn {
    pub low: Pt,
    pub high: Pt,
    pub texture: TextureHandle,
    pub lines: Vec<Contour>,
    pub scale: Scale,
    picture: Picture,
    shows: Shows,
    same_all_year: bool,
    dark: bool,
}

/// Asks for maps and keeps the last one.
pub struct LightMap {
    latest: Latest<Job, Answer>,
    asked: Option<Key>,
    early: Early,
    kept: Option<Kept>,
    drawn: Option<Drawn>,
    /// Whether what is drawn is older than what was asked for.
    pub stale: bool,
}

impl Default for LightMap {
    fn default() -> Self {
        Self {
            latest: Latest::new("map of light", work),
            asked: None,
            early: Early::default(),
            kept: None,
            drawn: None,
            stale: false,
        }
    }
}

impl LightMap {
    /// Brings the map up to date as far as it is there, and asks for a newer one if it is not what is wanted.
    pub fn look(
        &mut self,
        ctx: &egui::Context,
        outcome: &Outcome,
        choice: Choice,
        when: &When,
        ramp: &Ramp,
        dark: bool,
    ) {
        let key = Key::of(outcome, choice, when);
        if !self.asked.as_ref().is_some_and(|asked| asked.same(&key)) {
            let Some(grid) = shade::grid(&outcome.site, MOST_CELLS, FINEST_M) else {
                return;
            };
            // An old picture of something else would be read in the wrong unit.
            let other = self.drawn.as_ref().is_some_and(|d| d.shows != choice.shows);
            self.drawn = self.drawn.take().filter(|_| !other);
            self.stale = true;
            self.asked = Some(key.clone());
            self.early = Early::default();
            let job = Job {
                key,
                outcome: outcome.clone(),
                grid: Grid {
                    height_m: choice.height_m,
                    storey_m: when.level_m,
                    ..grid
                },
                kept: self.kept.clone(),
                early: Arc::clone(&self.early),
                ctx: ctx.clone(),
            };
            self.latest.ask(ctx, job);
        }
        let early = self
            .early
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .take();
        let fresh = self.latest.take().or(early);
        let repaint = match (fresh, &mut self.drawn) {
            (Some(answer), _) => {
                if answer.kept.is_some() {
                    self.kept = answer.kept;
                }
                self.stale = false;
                Some((answer.picture, answer.lines))
            }
            (None, Some(drawn))
                if drawn.dark != dark || drawn.same_all_year != choice.same_all_year =>
            {
                self.drawn.take().map(|d| (d.picture, d.lines))
            }
            _ => None,
        };
        if let Some((picture, lines)) = repaint {
            let (low, high) = shade::corners(&picture.grid);
            let scale = if choice.same_all_year {
                Scale::of_year(choice.shows)
            } else {
                let known = picture.values.iter().flatten().map(|v| f64::from(*v));
                Scale::of_values(choice.shows, known)
            };
            let texture = ctx.load_texture(
                "map of light",
                image(&picture, scale, ramp),
                TextureOptions::LINEAR,
            );
            self.drawn = Some(Drawn {
                low,
                high,
                texture,
                lines,
                scale,
                picture,
                shows: choice.shows,
                same_all_year: choice.same_all_year,
                dark,
            });
        }
    }

    #[must_use]
    pub fn drawn(&self) -> Option<&Drawn> {
        self.drawn.as_ref()
    }

    /// Light at a point in words, if the map is there.
    #[must_use]
    pub fn reading(&self, units: Units, p: Pt) -> Option<String> {
        let drawn = self.drawn.as_ref()?;
        Some(drawn.shows.reading(units, at(&drawn.picture, p)?))
    }
}

/// The map's value at a point of the plan.
fn at(picture: &Picture, p: Pt) -> Option<f64> {
    let (low, _) = shade::corners(&picture.grid);
    let d = (p - low) * (1.0 / picture.grid.cell_m);
    if d.x() < 0.0 || d.y() < 0.0 {
        return None;
    }
    let (column, row) = (d.x() as usize, d.y() as usize);
    if column >= picture.grid.columns {
        return None;
    }
    let cell = picture.values.get(row * picture.grid.columns + column)?;
    cell.map(f64::from)
}

fn image(picture: &Picture, scale: Scale, ramp: &Ramp) -> ColorImage {
    let grid = &picture.grid;
    let mut pixels = Vec::with_capacity(grid.cells());
    for row in (0..grid.rows).rev() {
        for column in 0..grid.columns {
            let cell = picture.values.get(row * grid.columns + column);
            pixels.push(match cell.copied().flatten() {
                Some(v) => ramp.at(scale.share(f64::from(v))),
                None => Color32::TRANSPARENT,
            });
        }
    }
    shade::grow(&mut pixels, grid.columns);
    ColorImage::new([grid.columns, grid.rows], pixels)
}

fn work(job: Job, progress: &Progress) -> Option<Answer> {
    let Job {
        key,
        outcome,
        grid,
        kept,
        early,
        ctx,
    } = job;
    let foundations = outcome.foundations();
    let inputs = foundations.light_inputs(&outcome.site);
    let mut shown = |picture: &Picture| {
        let answer = Answer {
            picture: picture.clone(),
            lines: Vec::new(),
            kept: None,
        };
        *early.lock().unwrap_or_else(PoisonError::into_inner) = Some(answer);
        ctx.request_repaint();
    };
    let (picture, kept) = draw(&inputs, &key.ask, &grid, kept, progress, &mut shown).ok()?;
    // What came early must not come after the whole.
    *early.lock().unwrap_or_else(PoisonError::into_inner) = None;
    let levels: Vec<f64> = key.shows.lines(key.units).iter().map(|(v, _)| *v).collect();
    let lines = contours(&picture.grid, &picture.values, &levels);
    Some(Answer {
        picture,
        lines,
        kept: Some(kept),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ramp_is_spread_over_what_the_week_has() {
        for shows in [Shows::Dli, Shows::SunHours, Shows::Hour] {
            for values in [
                vec![2.1, 3.9],
                vec![0.0, 57.0],
                vec![700.0, 710.0],
                vec![3.0],
            ] {
                let scale = Scale::of_values(shows, values.iter().copied());
                for v in &values {
                    let share = scale.share(*v);
                    assert!(
                        (-1e-9..=1.0 + 1e-9).contains(&share),
                        "{shows:?} {v}: {share}"
                    );
                }
                let marks = scale.marks(shows, Units::default());
                assert!(
                    (2..=10).contains(&marks.len()),
                    "{shows:?} {values:?}: {marks:?}"
                );
                let apart = marks
                    .windows(2)
                    .all(|w| scale.share(w[1].0) - scale.share(w[0].0) >= LEAST_APART);
                assert!(apart, "{marks:?}");
            }
        }
        // A winter's week fills most of the ramp; what is nearly flat does not.
        let winter = Scale::of_values(Shows::Dli, [2.1, 3.9].into_iter());
        assert!(winter.share(3.9) - winter.share(2.1) > 0.6);
        let flat = Scale::of_values(Shows::Dli, [3.0, 3.1].into_iter());
        assert!(flat.share(3.1) - flat.share(3.0) < 0.1);
        let year = Scale::of_year(Shows::Dli);
        assert!(year.share(3.9) - year.share(2.1) < 0.1);
    }

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
        let picture = Picture {
            grid,
            values: vec![Some(1.0), Some(2.0), None, Some(4.0)],
            step: 1,
            whole: true,
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
            assert_eq!(at(&picture, p), expected, "{p:?}");
        }
    }
}
