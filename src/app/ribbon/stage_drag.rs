//! Taking hold of the beginning of a stage on the ribbon and dragging it to another day, for the plant that is shown.

use chrono::Days;
use egui::{CursorIcon, Pos2, Rect, Response, Stroke, Ui, pos2};

use crate::{
    app::{
        parts::{
            dates, escape,
            weeks::{self, PlantWeek},
        },
        state::{Request, Sight},
        theme::{self, text},
    },
    base::{Id, calendar::WEEKS},
    needs::StageName,
    site::{
        Plant, StageShift,
        edit::{Edit, Object},
    },
};

/// How near to a beginning one takes hold of it, points.
const REACH: f32 = 6.0;

/// A beginning that is held.
#[derive(Clone, Copy)]
struct Held {
    stage: StageName,
    /// Where it was, where it was taken, and where the pointer was last.
    from_x: f32,
    pressed_x: f32,
    pointer_x: f32,
    /// By Esc: letting it go changes nothing.
    left: bool,
}

/// Follows the pointer over the row of stages. Whether a beginning is held: then the track must not move its week.
pub fn react(
    ui: &Ui,
    sight: &Sight<'_>,
    row: Rect,
    response: &Response,
    year: &[PlantWeek<'_>],
    requests: &mut Vec<Request>,
) -> bool {
    let memory = response.id.with("held stage");
    let held: Option<Held> = ui.data(|d| d.get_temp(memory));
    let down = response.is_pointer_button_down_on();
    let pointer = ui.input(|i| i.pointer.latest_pos());
    match (held, down) {
        (None, _) => {
            let near = |at: Pos2| row.contains(at).then(|| nearest(row, year, at.x)).flatten();
            let Some((stage, from_x)) = pointer
                .filter(|_| response.hovered() || down)
                .and_then(near)
            else {
                return false;
            };
            ui.ctx().set_cursor_icon(CursorIcon::ResizeHorizontal);
            let pressed = down && ui.input(|i| i.pointer.any_pressed());
            if let Some(at) = pointer.filter(|_| pressed) {
                let held = Held {
                    stage,
                    from_x,
                    pressed_x: at.x,
                    pointer_x: at.x,
                    left: false,
                };
                ui.data_mut(|d| d.insert_temp(memory, held));
            }
            pressed
        }
        (Some(held), true) => {
            if held.left || escape::take(ui.ctx()) {
                ui.data_mut(|d| d.insert_temp(memory, Held { left: true, ..held }));
                return true;
            }
            ui.ctx().set_cursor_icon(CursorIcon::ResizeHorizontal);
            let held = Held {
                pointer_x: pointer.map_or(held.pointer_x, |at| at.x),
                ..held
            };
            ui.data_mut(|d| d.insert_temp(memory, held));
            mark_paint(ui, sight, row, held);
            true
        }
        (Some(held), false) => {
            ui.data_mut(|d| d.remove::<Held>(memory));
            let x = pointer.map_or(held.pointer_x, |at| at.x);
            let moved_d = days(row, x - held.pressed_x);
            if !held.left
                && moved_d.abs() >= 2
                && let Some((id, _)) = sight.plant()
            {
                requests.extend(shift(sight, id, held.stage, moved_d));
            }
            true
        }
    }
}

/// The beginning that is drawn nearest to a place, if it is within reach.
fn nearest(row: Rect, year: &[PlantWeek<'_>], x: f32) -> Option<(StageName, f32)> {
    let stages: Vec<_> = year.iter().map(|w| w.stage).collect();
    weeks::runs(&stages)
        .into_iter()
        .filter(|(_, from, _)| *from > 0)
        .filter_map(|(stage, from, _)| {
            let at = row.left() + row.width() * from as f32 / WEEKS as f32;
            Some((stage?, at))
        })
        .filter(|(_, at)| (at - x).abs() <= REACH)
        .min_by(|a, b| (a.1 - x).abs().total_cmp(&(b.1 - x).abs()))
}

fn days(row: Rect, width: f32) -> i64 {
    (width / row.width() * (WEEKS * 7) as f32).round() as i64
}

/// The edit that begins a stage of a plant so many days later than it does now.
fn shift(sight: &Sight<'_>, id: &Id, stage: StageName, moved_d: i64) -> Option<Request> {
    let plant = sight.site().plants.get(id)?;
    let calendar = sight.outcome?.scores.calendar(id)?;
    let now = calendar.starts().iter().find(|s| s.stage == stage)?;
    // The grower's days count from where kind and climate have it.
    let days = (now.later_d() - now.climate_d + moved_d).clamp(-90, 90) as i32;
    let mut next = Plant::clone(plant);
    next.stage_shift.retain(|s| s.stage != stage);
    next.stage_shift.push(StageShift { stage, days });
    Some(Request::Edit(
        format!("Move {} of {}", stage.word(), plant.name),
        Edit::Put(id.clone(), Object::Plant(next)),
    ))
}

fn mark_paint(ui: &Ui, sight: &Sight<'_>, row: Rect, held: Held) {
    let t = theme::tokens(ui);
    let x = (held.from_x + held.pointer_x - held.pressed_x).clamp(row.left(), row.right());
    let day = days(row, x - row.left()).max(0) as u64;
    let date = sight.plan_from() + Days::new(day);
    let painter = ui.painter();
    painter.vline(
        x,
        row.top() - 3.0..=row.bottom() + 3.0,
        Stroke::new(2.5, t.accent),
    );
    let right = x < row.center().x;
    let (align, to) = if right {
        (egui::Align2::LEFT_CENTER, x + 8.0)
    } else {
        (egui::Align2::RIGHT_CENTER, x - 8.0)
    };
    let words = format!("{} from {}", held.stage.word(), dates::short(date));
    let galley = painter.layout_no_wrap(words, text::regular(13.0), t.ink);
    let rect = align.anchor_size(pos2(to, row.center().y), galley.size());
    painter.rect_filled(rect.expand2(egui::vec2(5.0, 2.0)), 3, t.sheet);
    painter.galley(rect.min, galley, t.ink);
}
