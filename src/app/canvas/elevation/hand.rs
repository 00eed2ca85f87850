//! Handles by which the heights of what is selected are set.

use egui::{
    Align2, EventFilter, Key, Rect, Response, Sense, Stroke, Ui, Vec2, WidgetInfo, accesskit, vec2,
};

use super::{
    Elevation,
    camera::View,
    levels::{self, Handle, Level},
};
use crate::{
    app::{
        canvas::{measure, plan::spoken, shape::Item},
        parts::escape,
        state::{Request, Sight},
        theme::{self, text},
    },
    site::edit::Edit,
};

/// Heights come to rest on steps of this, m; not while Alt is held.
const STEP_M: f64 = 0.05;
const HANDLE: f32 = 12.0;

/// A handle in the hand.
#[derive(Clone, Debug)]
pub struct Grip {
    item: Item,
    level: Level,
    /// Where it was taken, m.
    from_m: f64,
    pulled: f32,
}

impl Elevation {
    pub(super) fn handles(
        &mut self,
        ui: &Ui,
        canvas: &Response,
        view: &View,
        sight: &Sight<'_>,
        requests: &mut Vec<Request>,
    ) {
        let [item] = sight.looking.selected.as_slice() else {
            self.drop_grip(requests);
            return;
        };
        let handles = if sight.site().drawing.is_locked(item.0, &item.1) {
            Vec::new()
        } else {
            levels::of(sight.site(), item)
        };
        let ends: Vec<_> = handles.iter().map(|h| view.screen(h.at)).collect();
        if let (Some(low), Some(high)) = (ends.first(), ends.last()) {
            let t = theme::tokens(ui);
            let painter = ui.painter_at(view.canvas);
            painter.line_segment([*low, *high], Stroke::new(1.5, t.accent));
        }
        for handle in &handles {
            self.handle(ui, canvas, view, sight, item, handle, requests);
        }
        if self.grip.is_some() && escape::take(ui.ctx()) {
            self.grip = None;
            requests.push(Request::Abandon);
        }
    }

    #[expect(clippy::too_many_arguments, reason = "one handle in its surroundings")]
    fn handle(
        &mut self,
        ui: &Ui,
        canvas: &Response,
        view: &View,
        sight: &Sight<'_>,
        item: &Item,
        handle: &Handle,
        requests: &mut Vec<Request>,
    ) {
        let site = sight.site();
        let id = canvas.id.with((item.0, item.1.as_str(), handle.level));
        let middle = view.screen(handle.at);
        let rect = Rect::from_center_size(middle, Vec2::splat(HANDLE));
        let node = ui.interact(rect.expand(5.0), id, Sense::click_and_drag());
        let feet = sight.looking.units.feet;
        let figure = measure::length(handle.shown_m, feet);
        let name = format!(
            "{} of {}, {figure}",
            handle.level.word(),
            spoken(site, item)
        );
        node.widget_info(|| WidgetInfo::slider(true, handle.shown_m, &name));
        ui.ctx().accesskit_node_builder(id, |n| {
            n.add_action(accesskit::Action::Increment);
            n.add_action(accesskit::Action::Decrement);
        });
        let step_name = format!("Set height of {}", spoken(site, item));
        let put =
            |z: f64| levels::set(site, item, handle.level, z).map(|o| Edit::Put(item.1.clone(), o));
        if node.drag_started() {
            self.grip = Some(Grip {
                item: item.clone(),
                level: handle.level,
                from_m: handle.at.z,
                pulled: 0.0,
            });
            requests.push(Request::Begin(step_name.clone()));
        }
        let fine = ui.input(|i| i.modifiers.alt);
        if let Some(grip) = &mut self.grip
            && grip.level == handle.level
            && grip.item == *item
        {
            if node.dragged() {
                grip.pulled -= node.drag_delta().y;
                let z = rounded(grip.from_m + view.rise(grip.pulled), fine);
                if (z - handle.at.z).abs() > 1e-9
                    && let Some(edit) = put(z)
                {
                    requests.push(Request::Apply(edit));
                }
            }
            if node.drag_stopped() {
                self.grip = None;
                requests.push(Request::End);
            }
        }
        let steps = key_steps(ui, &node);
        if steps != 0.0
            && let Some(edit) = put(rounded(handle.at.z + steps * STEP_M, false))
        {
            requests.push(Request::Edit(step_name, edit));
        }
        paint(
            ui,
            view,
            &node,
            rect,
            &format!("{} {figure}", handle.level.word()),
        );
    }

    /// What was held has gone from under the hand.
    fn drop_grip(&mut self, requests: &mut Vec<Request>) {
        if self.grip.take().is_some() {
            requests.push(Request::End);
        }
    }
}

fn rounded(z: f64, fine: bool) -> f64 {
    if fine {
        (z * 1000.0).round() / 1000.0
    } else {
        (z / STEP_M).round() * STEP_M
    }
}

/// Steps up (or down) asked for by keys or by a screen reader.
fn key_steps(ui: &Ui, node: &Response) -> f64 {
    let mut steps = 0.0;
    if node.has_focus() {
        let filter = EventFilter {
            tab: false,
            horizontal_arrows: true,
            vertical_arrows: true,
            escape: false,
        };
        ui.memory_mut(|m| m.set_focus_lock_filter(node.id, filter));
        ui.input(|i| {
            let by = if i.modifiers.shift { 10.0 } else { 1.0 };
            steps += by * i.num_presses(Key::ArrowUp) as f64;
            steps -= by * i.num_presses(Key::ArrowDown) as f64;
        });
    }
    ui.input(|i| {
        let asked = |a| i.num_accesskit_action_requests(node.id, a) as f64;
        steps + asked(accesskit::Action::Increment) - asked(accesskit::Action::Decrement)
    })
}

fn paint(ui: &Ui, view: &View, node: &Response, rect: Rect, words: &str) {
    let t = theme::tokens(ui);
    let painter = ui.painter_at(view.canvas);
    let held = node.hovered() || node.dragged() || node.has_focus();
    let (fill, line) = if held {
        (t.accent, t.on_accent)
    } else {
        (t.sheet, t.accent)
    };
    let c = rect.center();
    let r = rect.width() * 0.5;
    let corners = vec![
        c + vec2(0.0, -r),
        c + vec2(r * 0.8, 0.0),
        c + vec2(0.0, r),
        c + vec2(-r * 0.8, 0.0),
    ];
    painter.add(egui::Shape::convex_polygon(
        corners,
        fill,
        Stroke::new(1.5, line),
    ));
    if node.has_focus() {
        painter.circle_stroke(c, r + 4.0, Stroke::new(1.5, t.accent));
    }
    let galley = painter.layout_no_wrap(words.to_owned(), text::semibold(text::SMALL), t.ink);
    let at = Align2::LEFT_CENTER
        .anchor_size(c + vec2(r + 8.0, 0.0), galley.size())
        .min;
    let plate = Rect::from_min_size(at, galley.size()).expand2(vec2(4.0, 1.0));
    painter.rect_filled(plate, 3, t.paper.gamma_multiply(0.92));
    painter.galley(at, galley, t.ink);
    if held {
        ui.ctx().set_cursor_icon(egui::CursorIcon::ResizeVertical);
    }
}

#[cfg(test)]
mod tests {
    use super::rounded;

    #[test]
    fn heights_come_to_rest_on_five_centimetres() {
        assert!((rounded(1.234, false) - 1.25).abs() < 1e-12);
        assert!((rounded(1.2344, true) - 1.234).abs() < 1e-12);
    }
}
