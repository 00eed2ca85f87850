//! What a view shows while it has nothing to show: why, and what to do about it.

use crate::app::{
    actions::Action,
    state::{Request, Sheet, Sight},
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

/// While nothing is computed yet: `title` and `hint`, or else why nothing is being computed.
pub fn awaited_ui(ui: &mut egui::Ui, sight: &Sight<'_>, title: &str, hint: &str) {
    if sight.halted {
        empty_ui(
            ui,
            "First there is something to mend",
            "The drawing is unfinished, so nothing can be computed with it yet. The button at the top right lists what \
             to mend and how.",
        );
    } else {
        empty_ui(ui, title, hint);
    }
}

/// The way from an empty site to a plan.
pub fn steps_button_ui(ui: &mut egui::Ui, requests: &mut Vec<Request>) {
    ui.add_space(space::S);
    ui.vertical_centered(|ui| {
        if ui
            .button("First steps…")
            .on_hover_text(Action::FirstSteps.tip())
            .clicked()
        {
            requests.push(Request::OpenSheet(Sheet::FirstSteps));
        }
        if ui
            .button("Collection…")
            .on_hover_text(Action::Plants.tip_with_keys(ui.ctx()))
            .clicked()
        {
            requests.push(Request::OpenSheet(Sheet::Collection));
        }
    });
}
