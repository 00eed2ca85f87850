//! What a view shows while it has nothing to show: why, and what to do about it.

use crate::app::{
    state::{Request, Sheet},
    theme::{space, text},
};

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

/// The way from an empty site to a plan.
pub fn steps_button_ui(ui: &mut egui::Ui, requests: &mut Vec<Request>) {
    ui.add_space(space::S);
    ui.vertical_centered(|ui| {
        if ui.button("First steps…").clicked() {
            requests.push(Request::OpenSheet(Sheet::FirstSteps));
        }
    });
}
