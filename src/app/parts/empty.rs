//! What a view shows while it has nothing to show: why, and what to do about it.

use crate::app::theme::{space, text};

/// A quiet page in the middle of the free space.
pub fn empty_ui(ui: &mut egui::Ui, title: &str, hint: &str) {
    ui.add_space(space::XL);
    ui.vertical_centered(|ui| {
        ui.label(text::heading(title));
        ui.add_space(space::XS);
        ui.set_max_width(space::READING);
        ui.label(text::soft(hint));
    });
}
