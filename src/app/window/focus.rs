//! A ring round what the keyboard is on, while hands are on the keyboard: the same for every control.

use egui::{Event, Key, Stroke, StrokeKind, Ui};

use crate::app::theme::{self, space};

/// Larger parts, such as the drawing, show for themselves that they have the keyboard, points.
const LARGEST: f32 = 360.0;

/// Whether hands are on the keyboard.
#[derive(Default)]
pub(super) struct Focus {
    by_keys: bool,
}

impl Focus {
    pub fn ring_paint(&mut self, ui: &Ui) {
        ui.input(|i| {
            for event in &i.events {
                match event {
                    Event::Key {
                        key:
                            Key::Tab
                            | Key::ArrowUp
                            | Key::ArrowDown
                            | Key::ArrowLeft
                            | Key::ArrowRight
                            | Key::Enter,
                        pressed: true,
                        ..
                    } => self.by_keys = true,
                    Event::PointerButton { pressed: true, .. } => self.by_keys = false,
                    _ => {}
                }
            }
        });
        let focused = ui.memory(|m| m.focused()).filter(|_| self.by_keys);
        let Some(response) = focused.and_then(|id| ui.ctx().read_response(id)) else {
            return;
        };
        let rect = response.interact_rect;
        if rect.height() > LARGEST || !rect.is_positive() {
            return;
        }
        let t = theme::tokens(ui);
        ui.ctx().layer_painter(response.layer_id).rect_stroke(
            rect.expand(1.0),
            space::CORNER,
            Stroke::new(2.0, t.accent),
            StrokeKind::Outside,
        );
    }
}
