//! The plan: plants by weeks, with stays and moves; what each choice costs; how good the plan is.

mod grid;
mod moves;
mod pin;

use egui::{Frame, Margin, Panel, ScrollArea, Ui};

use crate::app::{
    parts::empty::{awaited_ui, empty_ui, steps_button_ui},
    state::{Request, Sheet, Sight},
    theme::{self, space, text},
};
use pin::PinForm;

/// Width from which the moves have a column of their own, points.
const LEAST_FOR_TWO: f32 = 860.0;

#[derive(Default)]
pub struct YearDesk {
    pin: Option<PinForm>,
    grid: grid::Grid,
}

impl YearDesk {
    pub fn show_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        let t = theme::tokens(ui);
        let Some(outcome) = sight.outcome else {
            awaited_ui(
                ui,
                sight,
                "The plan is being made",
                "Light, air and scores come first, then the best places for every plant and week.",
            );
            return;
        };
        if sight.site().plants.is_empty() {
            empty_ui(
                ui,
                "No plants yet",
                "Add plants to the collection, and the coming year is planned for them.",
            );
            steps_button_ui(ui, requests);
            return;
        }
        if sight.site().spots.is_empty() {
            empty_ui(
                ui,
                "No spots yet",
                "Draw every place where pots can stand, indoors and out, on the Site desk. The plan chooses among them.",
            );
            steps_button_ui(ui, requests);
            return;
        }
        let plan = match &outcome.plan {
            Ok(plan) => plan,
            Err(why) => {
                empty_ui(ui, "There is no plan", &why.to_string());
                ui.vertical_centered(|ui| {
                    if ui.button("Plan choices…").clicked() {
                        requests.push(Request::OpenSheet(Sheet::Choices));
                    }
                });
                return;
            }
        };
        // Beside the grid where there is room for both, else below it.
        let beside = ui.available_width() >= LEAST_FOR_TWO;
        if beside {
            let width = (ui.available_width() * 0.28).clamp(290.0, 400.0);
            Panel::right("moves")
                .frame(Frame::new().fill(t.paper).inner_margin(Margin {
                    left: 16,
                    right: 12,
                    top: 16,
                    bottom: 8,
                }))
                .exact_size(width)
                .resizable(false)
                .show(ui, |ui| {
                    ScrollArea::vertical()
                        .id_salt("moves")
                        .auto_shrink([false, true])
                        .show(ui, |ui| {
                            ui.set_width(ui.available_width() - space::M);
                            moves::moves_ui(ui, sight, plan, requests);
                        });
                });
        }
        Frame::new()
            .inner_margin(Margin::symmetric(24, 16))
            .show(ui, |ui| {
                ui.horizontal_wrapped(|ui| {
                    ui.label(text::title("The year"));
                    ui.add_space(space::M);
                    ui.label(text::caption(
                        "Drag along a row to keep a plant somewhere; click a stay to change it.",
                    ));
                });
                ui.add_space(space::XS);
                ScrollArea::vertical()
                    .id_salt("year grid")
                    .auto_shrink([false, true])
                    .show(ui, |ui| {
                        ui.set_width(ui.available_width() - space::M);
                        if let Some(form) =
                            ui.scope(|ui| self.grid.show_ui(ui, sight, requests)).inner
                        {
                            self.pin = Some(form);
                        }
                        if !beside {
                            ui.add_space(space::L);
                            moves::moves_ui(ui, sight, plan, requests);
                        }
                    });
            });
        if let Some(mut form) = self.pin.take()
            && form.show_ui(ui, sight, plan, requests)
        {
            self.pin = Some(form);
        }
    }
}
