//! What the window says in passing: short messages that go by themselves, and lists of faults that stay.

use egui::{Align2, Area, Frame, Id, Margin, Stroke, vec2};

use super::theme::{self, space};

/// Seconds a message stays, and more for long ones.
const STAY_S: f64 = 5.0;
const STAY_S_PER_LETTER: f64 = 0.05;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    Note,
    Fault,
}

struct Say {
    text: String,
    weight: Weight,
    /// Set when it is first shown, s.
    until: Option<f64>,
}

#[derive(Default)]
pub struct Says(Vec<Say>);

impl Says {
    pub fn note(&mut self, text: impl Into<String>) {
        self.push(text.into(), Weight::Note);
    }

    pub fn fault(&mut self, text: impl Into<String>) {
        self.push(text.into(), Weight::Fault);
    }

    fn push(&mut self, text: String, weight: Weight) {
        self.0.retain(|s| s.text != text);
        self.0.push(Say {
            text,
            weight,
            until: None,
        });
    }

    /// Shows what is to be said above `bottom`.
    pub fn show(&mut self, ui: &egui::Ui, bottom: f32) {
        let ctx = ui.ctx();
        let now = ctx.input(|i| i.time);
        for say in &mut self.0 {
            say.until
                .get_or_insert(now + STAY_S + say.text.chars().count() as f64 * STAY_S_PER_LETTER);
        }
        self.0.retain(|s| s.until.is_none_or(|u| u > now));
        let Some(next) = self.0.iter().filter_map(|s| s.until).min_by(f64::total_cmp) else {
            return;
        };
        ctx.request_repaint_after(std::time::Duration::from_secs_f64((next - now).max(0.05)));
        let t = theme::tokens(ui);
        let above = ctx.content_rect().bottom() - bottom;
        Area::new(Id::unique("says"))
            .anchor(Align2::CENTER_BOTTOM, vec2(0.0, -above - space::M))
            .interactable(true)
            .show(ctx, |ui| {
                let mut read = None;
                for (i, say) in self.0.iter().enumerate() {
                    let (ground, edge) = match say.weight {
                        Weight::Note => (t.sheet, t.line_strong),
                        Weight::Fault => (t.fault_wash, t.fault),
                    };
                    Frame::new()
                        .fill(ground)
                        .stroke(Stroke::new(1.0, edge))
                        .corner_radius(space::CORNER)
                        .inner_margin(Margin::symmetric(14, 9))
                        .show(ui, |ui| {
                            ui.set_max_width(space::READING);
                            let label =
                                ui.add(egui::Label::new(&say.text).sense(egui::Sense::click()));
                            // Read out as soon as the reader has a moment.
                            ui.ctx().accesskit_node_builder(label.id, |node| {
                                node.set_live(egui::accesskit::Live::Polite);
                            });
                            if label.on_hover_text("Click to take it away").clicked() {
                                read = Some(i);
                            }
                        });
                    ui.add_space(space::XS);
                }
                if let Some(i) = read {
                    self.0.remove(i);
                }
            });
    }
}
