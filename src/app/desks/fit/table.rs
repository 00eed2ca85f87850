//! The lines of the comparison: name, mean, seasons, 52 weeks, what holds it back.

use std::collections::BTreeMap;

use egui::{Rect, Sense, Stroke, Ui, WidgetInfo, accesskit::Role, pos2, vec2};

use super::period::{Period, mean};
use crate::{
    app::{
        parts::{score, words},
        state::Sight,
        theme::{self, space, text},
    },
    base::{Id, Season, calendar::WEEKS},
    scoring::{Limiting, ScoreWord},
};

const LINE: f32 = 38.0;
const NAME: f32 = 200.0;
const MEAN: f32 = 116.0;
const SEASON: f32 = 56.0;
const WHY: f32 = 150.0;
/// Width below which the strip of weeks is left out, points.
const LEAST_WITH_WEEKS: f32 = NAME + MEAN + 4.0 * SEASON + WHY + 140.0;

/// One spot for a plant, or one plant for a spot.
pub struct Line {
    pub id: Id,
    pub name: String,
    pub under: String,
    pub mean: Option<f64>,
    pub seasons: [Option<f64>; 4],
    /// In the order of the plan's weeks.
    pub weeks: Vec<Option<f64>>,
    pub held_back: String,
}

impl Line {
    #[must_use]
    pub fn of(
        sight: &Sight<'_>,
        plant: &Id,
        spot: &Id,
        id: &Id,
        name: String,
        under: &str,
        period: Period,
    ) -> Self {
        let scores: Vec<_> = (0..WEEKS)
            .map(|w| {
                let week = sight.calendar_week(w);
                (week, sight.score(plant, spot, week))
            })
            .collect();
        let points = |s: Option<&crate::scoring::Score>| s.and_then(|s| s.points);
        let within: Vec<_> = scores
            .iter()
            .filter(|(w, _)| period.has(sight, plant, *w))
            .collect();
        Self {
            id: id.clone(),
            name,
            under: under.to_owned(),
            mean: mean(within.iter().map(|(_, s)| points(*s))),
            seasons: Season::ALL.map(|season| {
                mean(
                    scores
                        .iter()
                        .filter(|(w, _)| w.season(sight.hemisphere()) == season)
                        .map(|(_, s)| points(*s)),
                )
            }),
            weeks: scores.iter().map(|(_, s)| points(*s)).collect(),
            held_back: held_back(within.iter().filter_map(|(_, s)| *s)),
        }
    }

    fn sentence(&self) -> String {
        format!(
            "{}, {}, mean {}, held back by {}",
            self.name,
            self.under,
            score::words(self.mean),
            self.held_back
        )
    }
}

/// What takes most points over some weeks.
fn held_back<'a>(scores: impl Iterator<Item = &'a crate::scoring::Score>) -> String {
    let mut loss: BTreeMap<&'static str, f64> = BTreeMap::new();
    for s in scores {
        if s.limiting == Limiting::Nothing {
            continue;
        }
        *loss.entry(score::limiting(s.limiting)).or_default() += 100.0 - s.points.unwrap_or(0.0);
    }
    loss.into_iter()
        .filter(|(_, l)| *l > 0.0)
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .map_or_else(|| "nothing".to_owned(), |(word, _)| word.to_owned())
}

/// Draws the lines; returns the one that was picked.
pub fn table_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    period: Period,
    lines: &[Line],
    marked: impl Fn(&Id) -> bool,
) -> Option<Id> {
    ui.spacing_mut().item_spacing.y = 0.0;
    head_ui(ui, sight, period);
    let mut picked = None;
    for line in lines {
        if line_ui(ui, sight, line, marked(&line.id)) {
            picked = Some(line.id.clone());
        }
    }
    picked
}

/// Left edges of the columns after the name, and the strip of weeks.
fn columns(row: Rect) -> ([f32; 5], Rect) {
    let narrow = row.width() < LEAST_WITH_WEEKS;
    let mean = row.left() + if narrow { 0.3 * row.width() } else { NAME };
    let mean = mean.min(row.left() + NAME);
    let seasons = mean + MEAN;
    let strip = seasons + 4.0 * SEASON + space::M;
    let why = if narrow { strip } else { row.right() - WHY };
    (
        [mean, seasons, strip, why, row.right()],
        Rect::from_min_max(
            pos2(strip, row.top() + 10.0),
            pos2(why - space::M, row.bottom() - 10.0),
        ),
    )
}

fn head_ui(ui: &mut Ui, sight: &Sight<'_>, period: Period) {
    let t = theme::tokens(ui);
    let (row, _) = ui.allocate_exact_size(vec2(ui.available_width(), 24.0), Sense::hover());
    let ([mean, seasons, strip, why, _], _) = columns(row);
    let write = |x: f32, words: &str| {
        ui.painter().text(
            pos2(x, row.center().y),
            egui::Align2::LEFT_CENTER,
            words,
            text::regular(12.5),
            t.ink_soft,
        );
    };
    write(mean, period.name());
    for (i, season) in Season::ALL.iter().enumerate() {
        write(seasons + i as f32 * SEASON, season.name());
    }
    if row.width() >= LEAST_WITH_WEEKS {
        write(
            strip,
            &format!(
                "52 weeks from {}",
                crate::app::parts::dates::short(sight.plan_from())
            ),
        );
    }
    write(why, "held back by");
    ui.painter()
        .hline(row.x_range(), row.bottom(), Stroke::new(1.0, t.line_strong));
}

fn line_ui(ui: &mut Ui, sight: &Sight<'_>, line: &Line, marked: bool) -> bool {
    let t = theme::tokens(ui);
    let (row, response) = ui.allocate_exact_size(vec2(ui.available_width(), LINE), Sense::click());
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, marked, line.sentence()));
    if ui.is_rect_visible(row) {
        let painter = ui.painter();
        if marked {
            painter.rect_filled(row, space::CORNER, t.accent_wash);
        } else if response.hovered() {
            painter.rect_filled(row, space::CORNER, t.hover_wash);
        }
        painter.hline(row.x_range(), row.bottom(), Stroke::new(1.0, t.line));
        let ([mean, seasons, _, why, _], strip) = columns(row);
        let name = |top: f32, bottom: f32| {
            Rect::from_min_max(
                pos2(row.left() + 6.0, row.top() + top),
                pos2(mean - space::S, row.top() + bottom),
            )
        };
        words::fit_paint(ui, name(3.0, 21.0), &line.name, text::semibold(14.5), t.ink);
        words::fit_paint(
            ui,
            name(20.0, LINE - 3.0),
            &line.under,
            text::regular(12.0),
            t.ink_soft,
        );
        cell_paint(
            ui,
            Rect::from_min_size(pos2(mean, row.top() + 7.0), vec2(MEAN - space::M, 24.0)),
            line.mean,
            true,
        );
        for (i, points) in line.seasons.iter().enumerate() {
            let cell = Rect::from_min_size(
                pos2(seasons + i as f32 * SEASON, row.top() + 7.0),
                vec2(SEASON - 4.0, 24.0),
            );
            cell_paint(ui, cell, *points, false);
        }
        if row.width() >= LEAST_WITH_WEEKS {
            score::strip_paint(ui, strip, &line.weeks);
            let share = (sight.looking.plan_week as f32 + 0.5) / WEEKS as f32;
            ui.painter().vline(
                strip.left() + strip.width() * share,
                strip.top() - 4.0..=strip.bottom() + 4.0,
                Stroke::new(1.5, t.accent),
            );
        }
        words::fit_paint(
            ui,
            Rect::from_x_y_ranges(why..=row.right(), row.y_range()),
            &line.held_back,
            text::regular(14.0),
            t.ink,
        );
        if response.has_focus() {
            ui.painter().rect_stroke(
                row,
                space::CORNER,
                Stroke::new(1.5, t.accent),
                egui::StrokeKind::Inside,
            );
        }
    }
    response.clicked()
}

/// A patch in the score's colour with its number, and with its word if there is room for one.
fn cell_paint(ui: &Ui, cell: Rect, points: Option<f64>, with_word: bool) {
    let t = theme::tokens(ui);
    let ground = t.score_colour(points);
    let ink = t.text_on(ground);
    ui.painter().rect_filled(cell, 3, ground);
    let number = points.map_or_else(|| "?".to_owned(), |p| format!("{p:.0}"));
    if with_word {
        let word = points.map_or("not known", |p| ScoreWord::of(p).word());
        ui.painter().text(
            pos2(cell.left() + 30.0, cell.center().y),
            egui::Align2::RIGHT_CENTER,
            number,
            text::semibold(text::BODY),
            ink,
        );
        ui.painter().text(
            pos2(cell.left() + 37.0, cell.center().y),
            egui::Align2::LEFT_CENTER,
            word,
            text::regular(text::SMALL),
            ink,
        );
    } else {
        ui.painter().text(
            cell.center(),
            egui::Align2::CENTER_CENTER,
            number,
            text::regular(14.0),
            ink,
        );
        score::notch_paint(ui, cell, points);
    }
}
