//! Plants by weeks. A row has the named stays above and the score of each week below.

use egui::{Rect, Sense, Stroke, Ui, Vec2, WidgetInfo, accesskit::Role, pos2, vec2};

use super::pin::PinForm;
use crate::{
    app::{
        parts::{
            dates, escape,
            icons::{self, Icon},
            score,
            weeks::{self, PlantWeek},
            words,
        },
        state::{Request, Sight},
        theme::{self, space, text},
    },
    base::{
        Id,
        calendar::{MONTH_NAMES, WEEKS},
    },
};

/// Ends of the width of the names, points; between them it follows the longest.
const LEAST_NAME: f32 = 110.0;
const MOST_NAME: f32 = 250.0;
/// Most of a row that names may take.
const NAME_SHARE: f32 = 0.24;
/// Width from which months have three letters, points.
const LEAST_FOR_MONTHS: f32 = 12.0 * 28.0;
const ROW: f32 = 46.0;
const HEAD: f32 = 20.0;

#[derive(Default)]
pub struct Grid {
    /// Row and week where a drag began.
    drag: Option<(Id, usize)>,
    /// Width of the names in this frame, points.
    names: f32,
}

impl Grid {
    /// Draws the rows; returns a form when a stay was clicked or drawn.
    pub fn show_ui(
        &mut self,
        ui: &mut Ui,
        sight: &Sight<'_>,
        requests: &mut Vec<Request>,
    ) -> Option<PinForm> {
        ui.spacing_mut().item_spacing.y = 0.0;
        let names: Vec<String> = sight
            .site()
            .plants
            .ids()
            .map(|id| sight.plant_name(id))
            .collect();
        let names = names.iter().map(String::as_str);
        let most = (NAME_SHARE * ui.available_width()).clamp(LEAST_NAME, MOST_NAME);
        self.names = (words::widest(ui, names, &text::semibold(14.5)) + 2.0 * space::M)
            .clamp(LEAST_NAME, most);
        head_ui(ui, sight, self.names);
        let mut form = None;
        for id in sight.site().plants.ids() {
            if let Some(asked) = self.row_ui(ui, sight, id, requests) {
                form = Some(asked);
            }
        }
        form
    }

    fn row_ui(
        &mut self,
        ui: &mut Ui,
        sight: &Sight<'_>,
        id: &Id,
        requests: &mut Vec<Request>,
    ) -> Option<PinForm> {
        let t = theme::tokens(ui);
        let year = weeks::year_of(sight, id);
        let shown = sight.looking.plant.as_ref() == Some(id);
        let (row, _) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::hover());
        let name_rect = Rect::from_min_size(row.min, vec2(self.names, ROW));
        let track = track_of(row, self.names);
        let key = ui.make_persistent_id(("year row", id.as_str()));

        let name = ui.interact(name_rect, key.with("name"), Sense::click());
        name.widget_info(|| WidgetInfo::selected(Role::Button, true, shown, sight.plant_name(id)));
        if name.clicked() {
            requests.push(Request::ShowPlant(id.clone()));
        }
        if shown {
            ui.painter()
                .rect_filled(row.shrink2(vec2(0.0, 2.0)), space::CORNER, t.accent_wash);
        } else if name.hovered() {
            ui.painter().rect_filled(
                name_rect.shrink2(vec2(0.0, 2.0)),
                space::CORNER,
                t.hover_wash,
            );
        }
        words::fit_paint(
            ui,
            name_rect.shrink2(vec2(8.0, 0.0)),
            &sight.plant_name(id),
            text::semibold(14.5),
            t.ink,
        );

        let body = ui.interact(track, key.with("weeks"), Sense::click_and_drag());
        body.widget_info(|| {
            WidgetInfo::labeled(
                Role::Button,
                true,
                format!("Year of {}", sight.plant_name(id)),
            )
        });
        paint_row(ui, sight, track, &year);
        let form = self.drag_ui(ui, sight, id, track, &body, &year);
        tip(sight, track, &body, &year);
        form
    }

    /// A click asks about the stay under it, a drag about the weeks it spans.
    fn drag_ui(
        &mut self,
        ui: &Ui,
        sight: &Sight<'_>,
        id: &Id,
        track: Rect,
        body: &egui::Response,
        year: &[PlantWeek<'_>],
    ) -> Option<PinForm> {
        let t = theme::tokens(ui);
        let under = body.interact_pointer_pos().map(|p| week_at(track, p.x));
        if body.drag_started()
            && let Some(origin) = ui.input(|i| i.pointer.press_origin())
        {
            self.drag = Some((id.clone(), week_at(track, origin.x)));
        }
        if self.drag.as_ref().is_some_and(|(row, _)| row == id) && escape::take(ui.ctx()) {
            self.drag = None;
        }
        if let (Some((row, first)), Some(now)) = (&self.drag, under)
            && row == id
        {
            let (from, to) = ((*first).min(now), (*first).max(now));
            let area = span(track, from, to + 1 - from);
            ui.painter().rect(
                area,
                3,
                t.accent.gamma_multiply(0.18),
                Stroke::new(1.5, t.accent),
                egui::StrokeKind::Inside,
            );
            if body.drag_stopped() {
                self.drag = None;
                return PinForm::for_weeks(sight, id, from, to, year);
            }
        }
        // Enter and Space click too, without a pointer: then the ribbon's week is meant.
        if body.clicked() {
            let week = under.unwrap_or(sight.looking.plan_week);
            return PinForm::for_stay(sight, id, week, year);
        }
        None
    }
}

fn tip(sight: &Sight<'_>, track: Rect, body: &egui::Response, year: &[PlantWeek<'_>]) {
    let Some(at) = body.hover_pos().map(|p| week_at(track, p.x)) else {
        return;
    };
    let Some(week) = year.get(at) else { return };
    body.clone().on_hover_ui_at_pointer(|ui| {
        ui.label(text::strong(format!("Week of {}", dates::long(week.date))));
        match week.spot {
            Some(spot) => ui.label(sight.spot_name(spot)),
            None => ui.label("no place planned"),
        };
        if let Some(s) = week.score {
            score::reason_ui(ui, s);
        }
    });
}

fn track_of(row: Rect, names: f32) -> Rect {
    Rect::from_min_max(
        pos2(row.left() + names, row.top() + 5.0),
        pos2(row.right() - 2.0, row.bottom() - 6.0),
    )
}

fn week_at(track: Rect, x: f32) -> usize {
    let share = ((x - track.left()) / track.width()).clamp(0.0, 0.999_9);
    (share * WEEKS as f32) as usize
}

fn span(track: Rect, from: usize, weeks: usize) -> Rect {
    let x = |w: usize| track.left() + track.width() * w as f32 / WEEKS as f32;
    Rect::from_x_y_ranges(x(from)..=x(from + weeks), track.y_range())
}

fn head_ui(ui: &mut Ui, sight: &Sight<'_>, names: f32) {
    use chrono::Datelike;
    let t = theme::tokens(ui);
    let (row, _) = ui.allocate_exact_size(vec2(ui.available_width(), HEAD), Sense::hover());
    let track = track_of(row, names);
    let bottom = row.bottom() + ROW * sight.site().plants.len() as f32;
    let days = (WEEKS * 7) as f32;
    let from = sight.plan_from();
    let mut first = from.with_day(1).unwrap_or(from);
    while let Some(next) = first.checked_add_months(chrono::Months::new(1)) {
        let day = (first - from).num_days() as f32;
        if day > days - 5.0 {
            break;
        }
        let x = track.left() + track.width() * day.max(0.0) / days;
        if day > -18.0 {
            let month = MONTH_NAMES.get(first.month0() as usize).unwrap_or(&"");
            let letters = if track.width() > LEAST_FOR_MONTHS {
                3
            } else {
                1
            };
            ui.painter().text(
                pos2(x + 3.0, row.center().y),
                egui::Align2::LEFT_CENTER,
                month.get(..letters).unwrap_or(month),
                text::regular(12.0),
                t.ink_soft,
            );
        }
        if day > 0.0 {
            ui.painter()
                .vline(x, row.top() + 4.0..=bottom, Stroke::new(1.0, t.line));
        }
        first = next;
    }
    for absence in &sight.site().choices.absences {
        let at = |d: chrono::NaiveDate| {
            let day = ((d - from).num_days() as f32).clamp(0.0, days);
            track.left() + track.width() * day / days
        };
        let area = Rect::from_x_y_ranges(at(absence.from)..=at(absence.to), row.bottom()..=bottom);
        if area.width() > 0.5 {
            ui.painter().rect_filled(area, 0, t.unknown);
        }
    }
    let mark = span(track, sight.looking.plan_week, 1);
    ui.painter().rect_filled(
        Rect::from_x_y_ranges(mark.x_range(), row.bottom()..=bottom),
        0,
        t.accent.gamma_multiply(0.16),
    );
}

fn paint_row(ui: &Ui, sight: &Sight<'_>, track: Rect, year: &[PlantWeek<'_>]) {
    let t = theme::tokens(ui);
    let painter = ui.painter();
    let stays: Vec<_> = year.iter().map(|w| (w.spot, w.pinned)).collect();
    let upper = Rect::from_min_size(track.min, vec2(track.width(), 22.0));
    let lower = Rect::from_min_max(pos2(track.left(), track.top() + 23.0), track.max);
    for ((spot, pinned), from, weeks) in weeks::runs(&stays) {
        let cell = span(upper, from, weeks).shrink2(Vec2::new(0.5, 0.0));
        let Some(spot) = spot else {
            painter.rect_filled(cell, 2, t.caution_wash);
            label(ui, cell, "no room", t.caution);
            continue;
        };
        painter.rect(
            cell,
            2,
            t.sheet,
            Stroke::new(
                if pinned { 1.5 } else { 1.0 },
                if pinned { t.accent } else { t.line_strong },
            ),
            egui::StrokeKind::Inside,
        );
        let mut room = cell;
        if pinned {
            let sign = Rect::from_min_size(cell.min, Vec2::splat(cell.height()));
            icons::paint(painter, sign.shrink(3.0), Icon::Pin, t.accent);
            room.min.x += 15.0;
        }
        label(ui, room, &sight.spot_name(spot), t.ink);
    }
    let points: Vec<_> = year.iter().map(PlantWeek::points).collect();
    score::strip_paint(ui, lower, &points);
}

fn label(ui: &Ui, cell: Rect, name: &str, ink: egui::Color32) {
    let room = cell.shrink2(Vec2::new(4.0, 0.0));
    words::fit_paint(ui, room, name, text::regular(12.5), ink);
}
