//! A caution, at the place where the advice is given.

use egui::{Frame, Margin, Rect, Sense, Ui, vec2};

use crate::app::{
    parts::icons::{self, Icon},
    theme::{self, space, text},
};

pub fn caution_ui(ui: &mut Ui, words: &str) {
    let t = theme::tokens(ui);
    Frame::new()
        .fill(t.caution_wash)
        .corner_radius(space::CORNER)
        .inner_margin(Margin::symmetric(8, 5))
        .show(ui, |ui| {
            ui.horizontal_top(|ui| {
                let (rect, _) = ui.allocate_exact_size(vec2(18.0, 18.0), Sense::hover());
                icons::paint(
                    ui.painter(),
                    Rect::from_center_size(rect.center(), vec2(20.0, 20.0)),
                    Icon::Caution,
                    t.caution,
                );
                ui.add(
                    egui::Label::new(
                        egui::RichText::new(words)
                            .size(text::SMALL)
                            .color(t.caution),
                    )
                    .wrap(),
                );
            });
        });
}
