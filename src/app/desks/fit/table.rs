//! The lines of the comparison: name, mean, seasons, 52 weeks, what holds it back.

use std::collections::BTreeMap;

use egui::{Rect, Sense, Stroke, Ui, WidgetInfo, accesskit::Role, pos2, vec2};

use super::{
    period::{Period, mean},
    sort::{By, Sort},
};
use crate::{
    app::{
        parts::{locale, score, words},
        state::Sight,
        theme::{self, space, text},
    },
    base::{Id, Season, calendar::WEEKS},
    scoring::{Limiting, ScoreWord},
};

const LINE: f32 = 38.0;
/// Size of the names, points.
const NAME_SIZE: f32 = 14.5;
const NAME: f32 = 200.0;
/// Names are given more than that where the row has it to spare, points.
const MOST_NAME: f32 = 300.0;
const MEAN: f32 = 116.0;
const SEASON: f32 = 56.0;
const WHY: f32 = 140.0;
const PARTNER: f32 = 170.0;
/// Width below which the strip of weeks is left out, points.
const LEAST_WITH_WEEKS: f32 = NAME + MEAN + 4.0 * SEASON + WHY + PARTNER + 130.0;
/// Room that reason and partner need to stand side by side, points.
const LEAST_FOR_BOTH: f32 = 215.0;

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
    /// Who suits it best over the same weeks, with its points.
    pub partner: Option<(String, f64)>,
    /// Why the plant may not stand there at all.
    pub misfit: Option<String>,
}

impl Line {
    #[must_use]
    pub fn of(
        sight: &Sight<'_>,
        (plant, spot): (&Id, &Id),
        (id, name, under): (&Id, String, &str),
        partner: Option<(String, f64)>,
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
            partner,
            misfit: sight
                .site()
                .misfit(plant, spot)
                .map(|m| locale::said(&m.words())),
        }
    }

    fn sentence(&self) -> String {
        let partner = self
            .partner_words()
            .map_or_else(String::new, |p| format!("; best partner {p}"));
        format!(
            "{}, {}, mean {}, held back by {}{partner}",
            self.name,
            self.beneath(),
            score::words(self.mean),
            self.held_back
        )
    }

    /// What stands beneath the name: that the pot does not fit goes before all else.
    fn beneath(&self) -> &str {
        self.misfit.as_deref().unwrap_or(&self.under)
    }

    /// `"White cymbidium, 92"`
    fn partner_words(&self) -> Option<String> {
        let (name, points) = self.partner.as_ref()?;
        Some(format!("{name}, {points:.0}"))
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

/// Draws the lines; returns the one that was picked, and the order that was asked for.
pub fn table_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    period: Period,
    lines: &[Line],
    sort: Sort,
    marked: impl Fn(&Id) -> bool,
) -> (Option<Id>, Sort) {
    ui.spacing_mut().item_spacing.y = 0.0;
    let font = text::semibold(NAME_SIZE);
    let names = words::widest(ui, lines.iter().map(|l| l.name.as_str()), &font) + 2.0 * space::M;
    let sort = head_ui(ui, sight, period, sort, names);
    let mut picked = None;
    for line in lines {
        if line_ui(ui, sight, line, marked(&line.id), names) {
            picked = Some(line.id.clone());
        }
    }
    (picked, sort)
}

/// Where the columns of a row begin.
struct Columns {
    mean: f32,
    seasons: f32,
    /// Not drawn where there is no room.
    weeks: Option<Rect>,
    why: f32,
    partner: Option<f32>,
    right: f32,
}

impl Columns {
    fn of(row: Rect, names: f32) -> Self {
        let width = row.width();
        let with_weeks = width >= LEAST_WITH_WEEKS;
        let spare = (width - LEAST_WITH_WEEKS).max(0.0);
        let name = if with_weeks {
            names.clamp(NAME, (NAME + 0.3 * spare).min(MOST_NAME))
        } else {
            (0.28 * width).min(NAME)
        };
        let mean = row.left() + name;
        let seasons = mean + MEAN;
        let after = seasons + 4.0 * SEASON + space::M;
        let room = row.right() - after;
        let partner = (room >= LEAST_FOR_BOTH).then(|| row.right() - PARTNER.min(0.55 * room));
        let end = partner.unwrap_or(row.right());
        let why = if with_weeks { end - WHY } else { after };
        let weeks = with_weeks.then(|| {
            Rect::from_min_max(
                pos2(after, row.top() + 10.0),
                pos2(why - space::M, row.bottom() - 10.0),
            )
        });
        Self {
            mean,
            seasons,
            weeks,
            why,
            partner,
            right: row.right(),
        }
    }
}

/// Heads of the columns; a click sorts by one. Returns the order that holds from now on.
fn head_ui(ui: &mut Ui, sight: &Sight<'_>, period: Period, mut sort: Sort, names: f32) -> Sort {
    let t = theme::tokens(ui);
    let (row, _) = ui.allocate_exact_size(vec2(ui.available_width(), 26.0), Sense::hover());
    let c = Columns::of(row, names);
    let mut heads: Vec<(f32, f32, By, &str)> = vec![
        (row.left(), c.mean, By::Name, "name"),
        (c.mean, c.seasons, By::Mean, period.name()),
    ];
    for (i, season) in Season::ALL.iter().enumerate() {
        let x = c.seasons + i as f32 * SEASON;
        heads.push((x, x + SEASON, By::Season(i), season.name()));
    }
    let end = c.partner.unwrap_or(c.right);
    heads.push((c.why, end, By::HeldBack, "held back by"));
    if let Some(x) = c.partner {
        heads.push((x, c.right, By::Partner, "best partner"));
    }
    for (left, right, by, words) in heads {
        let cell = Rect::from_x_y_ranges(left..=right, row.y_range());
        let response = ui.interact(
            cell,
            ui.scope_id().with(("sort", left.to_bits())),
            Sense::click(),
        );
        let chosen = sort.by == by;
        // Two columns may bear the same name: a season, and the mean over it.
        let name = if by == By::Mean {
            format!("Sort by the mean of {words}")
        } else {
            format!("Sort by {words}")
        };
        response.widget_info(|| WidgetInfo::selected(Role::Button, true, chosen, &name));
        let ink = if chosen || response.hovered() {
            t.ink
        } else {
            t.ink_soft
        };
        let indent = if by == By::Name { 6.0 } else { 0.0 };
        let galley = ui
            .painter()
            .layout_no_wrap(words.to_owned(), text::regular(12.5), ink);
        let end = left + indent + galley.size().x;
        let place = Rect::from_x_y_ranges(left + indent..=right - 2.0, row.y_range());
        words::fit_paint(ui, place, words, text::regular(12.5), ink);
        if chosen {
            let x = (end + 7.0).min(right - 5.0);
            arrow_paint(ui, pos2(x, row.center().y), sort.turned, t.ink);
        }
        if response.has_focus() {
            let pen = Stroke::new(1.5, t.accent);
            ui.painter()
                .rect_stroke(cell, space::CORNER, pen, egui::StrokeKind::Inside);
        }
        if response.clicked() {
            sort = sort.clicked(by);
        }
    }
    if let Some(strip) = c.weeks {
        let words = format!(
            "52 weeks from {}",
            crate::app::parts::dates::short(sight.plan_from())
        );
        let place = Rect::from_x_y_ranges(strip.x_range(), row.y_range());
        words::fit_paint(ui, place, &words, text::regular(12.5), t.ink_soft);
    }
    ui.painter()
        .hline(row.x_range(), row.bottom(), Stroke::new(1.0, t.line_strong));
    sort
}

/// Points down where the best stands above, up where it stands below.
fn arrow_paint(ui: &Ui, at: egui::Pos2, up: bool, ink: egui::Color32) {
    let way = if up { -1.0 } else { 1.0 };
    let corner = |x: f32, y: f32| at + vec2(x, y * way);
    ui.painter().add(egui::Shape::convex_polygon(
        vec![corner(-3.5, -2.0), corner(3.5, -2.0), corner(0.0, 3.0)],
        ink,
        Stroke::NONE,
    ));
}

fn line_ui(ui: &mut Ui, sight: &Sight<'_>, line: &Line, marked: bool, names: f32) -> bool {
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
        let c = Columns::of(row, names);
        let (mean, seasons) = (c.mean, c.seasons);
        let name = |top: f32, bottom: f32| {
            Rect::from_min_max(
                pos2(row.left() + 6.0, row.top() + top),
                pos2(mean - space::S, row.top() + bottom),
            )
        };
        let (ink, beneath) = match line.misfit {
            Some(_) => (t.ink_soft, t.caution),
            None => (t.ink, t.ink_soft),
        };
        words::fit_paint(
            ui,
            name(3.0, 21.0),
            &line.name,
            text::semibold(NAME_SIZE),
            ink,
        );
        words::fit_paint(
            ui,
            name(20.0, LINE - 3.0),
            line.beneath(),
            text::regular(12.0),
            beneath,
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
        if let Some(strip) = c.weeks {
            score::strip_paint(ui, strip, &line.weeks);
            let share = (sight.looking.plan_week as f32 + 0.5) / WEEKS as f32;
            ui.painter().vline(
                strip.left() + strip.width() * share,
                strip.top() - 4.0..=strip.bottom() + 4.0,
                Stroke::new(1.5, t.accent),
            );
        }
        let end = c.partner.unwrap_or(c.right);
        words::fit_paint(
            ui,
            Rect::from_x_y_ranges(c.why..=end - space::S, row.y_range()),
            &line.held_back,
            text::regular(14.0),
            t.ink,
        );
        if let (Some(x), Some(partner)) = (c.partner, line.partner_words()) {
            words::fit_paint(
                ui,
                Rect::from_x_y_ranges(x..=c.right, row.y_range()),
                &partner,
                text::regular(14.0),
                t.ink_soft,
            );
        }
        if line.misfit.is_some() {
            // Greyed, figures and all; the name and the reason stay readable.
            let figures = Rect::from_x_y_ranges(c.mean..=row.right(), row.y_range());
            let veil = if marked { t.accent_wash } else { t.paper };
            ui.painter()
                .rect_filled(figures.shrink(1.0), 0, veil.gamma_multiply(0.65));
        }
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
