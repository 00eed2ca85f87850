//! The 52 weeks themselves: months, stages, scores, spots, and the base line with frost and hot nights.

use chrono::Datelike;
use egui::{
    Event, EventFilter, Key, Rect, Response, Sense, Stroke, Ui, Vec2, WidgetInfo,
    accesskit::{Action as Ask, Role},
    pos2,
};

use super::stage_drag;
use crate::{
    app::{
        parts::{
            dates, score,
            weeks::{self, PlantWeek},
            words,
        },
        state::{Request, Sight},
        theme::{self, space, text},
    },
    base::{
        calendar::{MONTH_NAMES, WEEKS},
        names::years_in,
    },
};

/// A share of years from which frost or hot nights are marked.
const WORTH_MARKING: f64 = 0.05;

/// What the base line says of a week in the open.
#[derive(Clone, Copy, Default)]
struct Risk {
    frost: Option<f64>,
    hot: Option<f64>,
}

/// Rows from top to bottom, as y ranges.
struct Rows {
    months: Rect,
    stages: Rect,
    scores: Rect,
    spots: Rect,
    base: Rect,
}

impl Rows {
    fn of(rect: Rect) -> Self {
        let row = |top: f32, height: f32| {
            Rect::from_min_size(
                pos2(rect.left(), rect.top() + top),
                Vec2::new(rect.width(), height),
            )
        };
        let rest = rect.height() - 17.0 - 21.0 - 24.0 - 14.0 - 9.0;
        Self {
            months: row(0.0, 17.0),
            stages: row(17.0, 20.0),
            scores: row(40.0, rest),
            spots: row(43.0 + rest, 22.0),
            base: row(43.0 + rest + 26.0, 14.0),
        }
    }
}

pub fn track_ui(ui: &mut Ui, sight: &Sight<'_>, size: Vec2, requests: &mut Vec<Request>) {
    let (rect, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
    let plant = sight.plant().map(|(id, _)| id.clone());
    let year: Vec<PlantWeek<'_>> = match &plant {
        Some(id) => weeks::year_of(sight, id),
        None => Vec::new(),
    };
    let now = sight.looking.plan_week;
    describe(ui, &response, now, &value(sight, &year));
    let rows = Rows::of(rect);
    if ui.is_rect_visible(rect) {
        months_paint(ui, sight, &rows);
        if year.is_empty() {
            ui.painter()
                .rect_filled(rows.scores, space::CORNER, theme::tokens(ui).unknown);
        } else {
            stages_paint(ui, &rows, &year);
            scores_paint(ui, &rows, &year);
            spots_paint(ui, sight, &rows, &year);
        }
        base_paint(ui, &rows, &risks(sight));
        mark_paint(ui, sight, rect, &rows, response.has_focus());
    }
    // After the painting: a beginning that is held is drawn over it.
    if !stage_drag::react(ui, sight, rows.stages, &response, &year, requests) {
        react(ui, sight, rect, &response, requests);
    }
    pointed_ui(sight, rect, response, &year);
}

/// The same as one low line: scores, and the mark of the week.
pub fn line_ui(ui: &mut Ui, sight: &Sight<'_>, size: Vec2, requests: &mut Vec<Request>) {
    let (rect, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
    let plant = sight.plant().map(|(id, _)| id.clone());
    let year = plant
        .as_ref()
        .map_or_else(Vec::new, |id| weeks::year_of(sight, id));
    let now = sight.looking.plan_week;
    describe(ui, &response, now, &value(sight, &year));
    let strip = rect.shrink2(Vec2::new(0.0, 5.0));
    if ui.is_rect_visible(rect) {
        let t = theme::tokens(ui);
        if year.is_empty() {
            ui.painter().rect_filled(strip, space::CORNER, t.unknown);
        } else {
            let points: Vec<_> = year.iter().map(PlantWeek::points).collect();
            score::strip_paint(ui, strip, &points);
        }
        let week = span(strip, now, 1);
        ui.painter().rect_stroke(
            week.expand2(Vec2::new(0.5, 3.0)),
            2,
            Stroke::new(2.0, t.accent),
            egui::StrokeKind::Outside,
        );
        if response.has_focus() {
            focus_paint(ui, rect);
        }
    }
    react(ui, sight, rect, &response, requests);
    pointed_ui(sight, rect, response, &year);
}

/// The week under the pointer in a few words.
fn pointed_ui(sight: &Sight<'_>, rect: Rect, response: Response, year: &[PlantWeek<'_>]) {
    let pointed = response
        .hover_pos()
        .map(|p| week_at(rect, p.x))
        .filter(|_| !response.dragged());
    if let Some(week) = pointed {
        response.on_hover_ui_at_pointer(|ui| tip_ui(ui, sight, year.get(week), week));
    }
}

/// The ribbon's week as it is read out.
fn value(sight: &Sight<'_>, year: &[PlantWeek<'_>]) -> String {
    let now = sight.looking.plan_week;
    year.get(now).map_or_else(
        || format!("week of {}", dates::short(sight.date_of(now))),
        |w| w.sentence(sight),
    )
}

fn focus_paint(ui: &Ui, rect: Rect) {
    ui.painter().rect_stroke(
        rect.expand(3.0),
        space::CORNER,
        Stroke::new(1.5, theme::tokens(ui).accent),
        egui::StrokeKind::Outside,
    );
}

fn describe(ui: &Ui, response: &Response, week: usize, value: &str) {
    response.widget_info(|| WidgetInfo::slider(true, week as f64, "Year ribbon"));
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_role(Role::Slider);
        node.set_value(value);
        node.set_min_numeric_value(0.0);
        node.set_max_numeric_value((WEEKS - 1) as f64);
        node.add_action(Ask::Increment);
        node.add_action(Ask::Decrement);
    });
}

fn react(ui: &Ui, sight: &Sight<'_>, rect: Rect, response: &Response, requests: &mut Vec<Request>) {
    let now = sight.looking.plan_week as i64;
    let mut to = now;
    if response.is_pointer_button_down_on()
        && let Some(p) = response.interact_pointer_pos()
    {
        response.request_focus();
        to = week_at(rect, p.x) as i64;
    }
    ui.input(|i| {
        to += i.num_accesskit_action_requests(response.id, Ask::Increment) as i64;
        to -= i.num_accesskit_action_requests(response.id, Ask::Decrement) as i64;
    });
    if response.has_focus() {
        ui.memory_mut(|m| {
            m.set_focus_lock_filter(
                response.id,
                EventFilter {
                    horizontal_arrows: true,
                    ..EventFilter::default()
                },
            );
        });
        ui.input(|i| {
            for event in &i.events {
                if let Event::Key {
                    key,
                    pressed: true,
                    modifiers,
                    ..
                } = event
                    && modifiers.is_none()
                {
                    match key {
                        Key::ArrowRight => to += 1,
                        Key::ArrowLeft => to -= 1,
                        Key::PageDown => to += 4,
                        Key::PageUp => to -= 4,
                        Key::Home => to = 0,
                        Key::End => to = WEEKS as i64 - 1,
                        _ => {}
                    }
                }
            }
        });
    }
    let to = to.clamp(0, WEEKS as i64 - 1);
    if to != now {
        requests.push(Request::GoToWeek(to as usize));
    }
}

fn week_at(rect: Rect, x: f32) -> usize {
    let share = ((x - rect.left()) / rect.width()).clamp(0.0, 0.999_9);
    (share * WEEKS as f32) as usize
}

fn week_x(rect: Rect, week: usize) -> f32 {
    rect.left() + rect.width() * week as f32 / WEEKS as f32
}

fn span(row: Rect, from: usize, weeks: usize) -> Rect {
    Rect::from_x_y_ranges(week_x(row, from)..=week_x(row, from + weeks), row.y_range())
}

fn months_paint(ui: &Ui, sight: &Sight<'_>, rows: &Rows) {
    let t = theme::tokens(ui);
    let from = sight.plan_from();
    let days = (WEEKS * 7) as f32;
    let x_of = |day: f32| rows.months.left() + rows.months.width() * day / days;
    let mut first = from.with_day(1).unwrap_or(from);
    loop {
        let day = (first - from).num_days() as f32;
        if day >= days - 3.0 {
            break;
        }
        let month = MONTH_NAMES.get(first.month0() as usize).unwrap_or(&"");
        let x = x_of(day.max(0.0));
        if day > 0.0 {
            ui.painter().vline(
                x,
                rows.months.top() + 3.0..=rows.base.bottom(),
                Stroke::new(1.0, t.line),
            );
        }
        // The first month is named only where it has room, and all letters only where all months have.
        let letters = if rows.months.width() > 12.0 * 27.0 {
            3
        } else {
            1
        };
        if day > -18.0 {
            let wide = rows.months.width() > 12.0 * 62.0;
            let name = if first.month0() == 0 && wide {
                format!("{} {}", month.get(..3).unwrap_or(month), first.year())
            } else {
                month.get(..letters).unwrap_or(month).to_owned()
            };
            ui.painter().text(
                pos2(x + 4.0, rows.months.center().y - 1.0),
                egui::Align2::LEFT_CENTER,
                name,
                text::regular(12.0),
                t.ink_soft,
            );
        }
        let Some(next) = first.checked_add_months(chrono::Months::new(1)) else {
            break;
        };
        first = next;
    }
}

fn label_paint(ui: &Ui, cell: Rect, label: &str, size: f32, ink: egui::Color32) {
    let room = cell.shrink2(Vec2::new(4.0, 0.0));
    words::fit_paint(ui, room, label, text::regular(size), ink);
}

fn stages_paint(ui: &Ui, rows: &Rows, year: &[PlantWeek<'_>]) {
    let t = theme::tokens(ui);
    let stages: Vec<_> = year.iter().map(|w| w.stage).collect();
    for (stage, from, weeks) in weeks::runs(&stages) {
        let Some(stage) = stage else { continue };
        let cell = span(rows.stages, from, weeks).shrink2(Vec2::new(0.5, 0.0));
        ui.painter().rect_filled(cell, 2, t.stage_colour(stage));
        label_paint(ui, cell, stage.word(), 12.5, t.ink);
    }
}

fn scores_paint(ui: &Ui, rows: &Rows, year: &[PlantWeek<'_>]) {
    let t = theme::tokens(ui);
    let row = rows.scores;
    for points in [50.0, 85.0] {
        let y = row.bottom() - row.height() * points / 100.0;
        ui.painter()
            .hline(row.x_range(), y, Stroke::new(0.7, t.line));
    }
    for (i, week) in year.iter().enumerate() {
        let cell = span(row, i, 1).shrink2(Vec2::new(0.7, 0.0));
        match week.points() {
            Some(p) => {
                let height = (row.height() * p as f32 / 100.0).max(2.0);
                let bar = Rect::from_min_max(
                    pos2(cell.left(), row.bottom() - height),
                    cell.right_bottom(),
                );
                ui.painter().rect_filled(bar, 1, t.score_colour(Some(p)));
            }
            None => {
                let bar =
                    Rect::from_min_max(pos2(cell.left(), row.bottom() - 3.0), cell.right_bottom());
                ui.painter().rect_filled(bar, 0, t.line_strong);
            }
        }
    }
}

fn spots_paint(ui: &Ui, sight: &Sight<'_>, rows: &Rows, year: &[PlantWeek<'_>]) {
    let t = theme::tokens(ui);
    let spots: Vec<_> = year.iter().map(|w| (w.spot, w.pinned)).collect();
    for ((spot, pinned), from, weeks) in weeks::runs(&spots) {
        let cell = span(rows.spots, from, weeks).shrink2(Vec2::new(0.5, 0.0));
        let Some(spot) = spot else {
            ui.painter().rect_filled(cell, 2, t.unknown);
            continue;
        };
        ui.painter().rect(
            cell,
            2,
            t.sheet,
            Stroke::new(1.0, if pinned { t.accent } else { t.line }),
            egui::StrokeKind::Inside,
        );
        let mut room = cell;
        if pinned && cell.width() > 20.0 {
            let sign = Rect::from_min_size(cell.min, Vec2::splat(cell.height()));
            crate::app::parts::icons::paint(
                ui.painter(),
                sign.shrink(3.0),
                crate::app::parts::icons::Icon::Pin,
                t.accent,
            );
            room.min.x += 15.0;
        }
        label_paint(ui, room, &sight.spot_name(spot), 12.5, t.ink);
    }
}

/// How often frost and, for the plant that is shown, too warm nights come in the open, week by week.
fn risks(sight: &Sight<'_>) -> Vec<Risk> {
    let Some(outcome) = sight.outcome else {
        return Vec::new();
    };
    let years = &outcome.weather.years;
    let plant = sight.plant().map(|(id, _)| id);
    (0..WEEKS)
        .map(|w| {
            let week = sight.calendar_week(w);
            let warm = plant
                .and_then(|id| sight.stage(id, week))
                .map(|(_, s)| s.needs.night_c.value.ideal_high());
            Risk {
                frost: years.cold_week_share(week, 0.0),
                hot: warm.and_then(|limit| years.warm_week_share(week, limit)),
            }
        })
        .collect()
}

/// Frost hangs from the line as blue teeth, warm nights stand on it as round embers; their size is the share of years.
fn base_paint(ui: &Ui, rows: &Rows, risks: &[Risk]) {
    let t = theme::tokens(ui);
    let y = rows.base.center().y;
    ui.painter()
        .hline(rows.base.x_range(), y, Stroke::new(1.0, t.line_strong));
    for (i, risk) in risks.iter().enumerate() {
        let cell = span(rows.base, i, 1);
        let x = cell.center().x;
        let half = (cell.width() * 0.42).min(7.0);
        if let Some(share) = risk.frost.filter(|s| *s >= WORTH_MARKING) {
            let deep = 2.5 + 5.0 * share as f32;
            ui.painter().add(egui::Shape::convex_polygon(
                vec![pos2(x - half, y), pos2(x + half, y), pos2(x, y + deep)],
                t.frost,
                Stroke::NONE,
            ));
        }
        if let Some(share) = risk.hot.filter(|s| *s >= WORTH_MARKING) {
            let r = 1.2 + 2.0 * share as f32;
            ui.painter()
                .circle_filled(pos2(x, y - r - 1.0), r, t.warm_night);
        }
    }
}

fn mark_paint(ui: &Ui, sight: &Sight<'_>, rect: Rect, rows: &Rows, focus: bool) {
    let t = theme::tokens(ui);
    let painter = ui.painter();
    if let Some(today) = sight.plan_week_of(sight.today) {
        let x = span(rect, today, 1).center().x;
        painter.circle_filled(pos2(x, rect.top() + 1.5), 2.5, t.ink_soft);
    }
    let week = span(rect, sight.looking.plan_week, 1);
    let frame = Rect::from_min_max(
        pos2(week.left() - 0.5, rows.stages.top() - 2.0),
        pos2(week.right() + 0.5, rows.base.bottom()),
    );
    painter.rect_stroke(
        frame,
        2,
        Stroke::new(2.0, t.accent),
        egui::StrokeKind::Outside,
    );
    if focus {
        focus_paint(ui, rect);
    }
}

fn tip_ui(ui: &mut Ui, sight: &Sight<'_>, week: Option<&PlantWeek<'_>>, plan_week: usize) {
    ui.label(text::strong(format!(
        "Week of {}",
        dates::long(sight.date_of(plan_week))
    )));
    if let Some(week) = week {
        if let Some(spot) = week.spot {
            let pinned = if week.pinned { ", pinned" } else { "" };
            ui.label(format!("{}{pinned}", sight.spot_name(spot)));
        }
        match week.score {
            Some(s) => score::reason_ui(ui, s),
            None => {
                if let Some(stage) = week.stage {
                    ui.label(text::soft(stage.word()));
                }
            }
        }
    }
    let calendar = sight.calendar_week(plan_week);
    if let Some((id, _)) = sight.plant()
        && let Some(own) = sight.outcome.and_then(|o| o.scores.calendar(id))
        && let Some(start) = own.index_in(calendar).and_then(|i| own.starts().get(i))
        && let Some(reason) = start.reason()
    {
        let word = start.stage.word();
        ui.label(text::caption(format!(
            "{word} from {}: {reason}",
            start.day
        )));
    }
    if let Some(o) = sight.outcome
        && let Some(share) = o.weather.years.cold_week_share(calendar, 0.0)
        && share >= WORTH_MARKING
    {
        ui.label(text::caption(format!(
            "frost in the open: {}",
            years_in(share)
        )));
    }
}
