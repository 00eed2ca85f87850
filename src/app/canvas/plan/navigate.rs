//! Pan and zoom: wheel, middle button, space, two fingers.

use egui::{Event, Key, MouseWheelUnit, PointerButton, Response, Ui};

use super::Plan;

impl Plan {
    pub(super) fn navigate(&mut self, ui: &Ui, response: &Response) {
        let space = ui.input(|i| i.key_down(Key::Space)) && !ui.ctx().text_edit_focused();
        let pulled = response.dragged_by(PointerButton::Middle)
            || (response.dragged_by(PointerButton::Primary) && (space || self.panning));
        if pulled {
            self.panning = true;
            self.view.pan(response.drag_delta());
        } else if !response.dragged() {
            self.panning = space && response.is_pointer_button_down_on();
        }
        if !response.contains_pointer() {
            return;
        }
        let about = response.hover_pos().unwrap_or(self.canvas.center());
        if let Some(touch) = ui.input(|i| i.multi_touch()) {
            self.view
                .zoom(self.canvas, touch.center_pos, f64::from(touch.zoom_delta));
            self.view.pan(touch.translation_delta);
            return;
        }
        let (events, pinch) = ui.input(|i| (i.events.clone(), i.zoom_delta()));
        if (pinch - 1.0).abs() > 1e-4 {
            self.view.zoom(self.canvas, about, f64::from(pinch));
        }
        for event in events {
            let Event::MouseWheel {
                unit,
                delta,
                modifiers,
                ..
            } = event
            else {
                continue;
            };
            // With Ctrl it is the pinch above.
            if modifiers.command || modifiers.ctrl {
                continue;
            }
            match unit {
                // A trackpad scrolls by points: two fingers push the paper.
                MouseWheelUnit::Point => self.view.pan(delta),
                _ if modifiers.shift => self.view.pan(egui::vec2(delta.y + delta.x, 0.0) * 40.0),
                _ => self
                    .view
                    .zoom(self.canvas, about, 1.18_f64.powf(f64::from(delta.y))),
            }
        }
    }
}
