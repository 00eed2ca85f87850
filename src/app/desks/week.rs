//! What to do in the ribbon's week, and the journal of what was done and seen.

mod forecast;
mod journal;
mod tasks;
mod unrecorded;

use egui::{Frame, Margin, ScrollArea, Ui};

use crate::app::{
    parts::{
        dates,
        empty::{empty_ui, steps_button_ui},
    },
    state::{Request, Sight},
    theme::{space, text},
};

/// Width from which the journal has a column of its own, points.
const LEAST_FOR_TWO: f32 = 760.0;

#[derive(Default)]
pub struct WeekDesk {
    journal: journal::Journal,
    forecast: forecast::Forecast,
    unrecorded: unrecorded::Unrecorded,
}

impl WeekDesk {
    pub fn show_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        Frame::new()
            .inner_margin(Margin::symmetric(24, 16))
            .show(ui, |ui| {
                let date = sight.date_of(sight.looking.plan_week);
                ui.horizontal_wrapped(|ui| {
                    ui.label(text::title(format!("The week of {}", dates::long(date))));
                    ui.add_space(space::M);
                    if !sight.site().plants.is_empty() && ui
                        .button("Copy as text")
                        .on_hover_text("Puts the tasks of the week on the clipboard.")
                        .clicked()
                    {
                        ui.ctx().copy_text(tasks::as_text(sight));
                        requests.push(Request::Say("The week is on the clipboard.".to_owned()));
                    }
                });
                ui.add_space(space::S);
                if sight.site().plants.is_empty() {
                    empty_ui(
                        ui,
                        "No plants yet",
                        "Add plants to the collection. Watering, feeding, moves and checks then come week by week.",
                    );
                    steps_button_ui(ui, requests);
                    return;
                }
                let (width, height) = (ui.available_width(), ui.available_height());
                if width < LEAST_FOR_TWO {
                    ScrollArea::vertical().id_salt("week").auto_shrink([false, true]).show(ui, |ui| {
                        ui.set_width(width - space::M);
                        self.unrecorded.show_ui(ui, sight, requests);
                        self.forecast.show_ui(ui, sight, requests);
                        tasks::tasks_ui(ui, sight, requests);
                        ui.add_space(space::L);
                        self.journal.show_ui(ui, sight, requests);
                    });
                    return;
                }
                let left = width * 0.58;
                ui.horizontal_top(|ui| {
                    ui.spacing_mut().item_spacing.x = space::XL;
                    column_ui(ui, left, height, |ui| {
                        ui.set_width(left);
                        ScrollArea::vertical().id_salt("tasks").auto_shrink([false, true]).show(ui, |ui| {
                            ui.set_width(left - space::M);
                            self.unrecorded.show_ui(ui, sight, requests);
                            self.forecast.show_ui(ui, sight, requests);
                            tasks::tasks_ui(ui, sight, requests);
                        });
                    });
                    let right = width - left - space::XL;
                    column_ui(ui, right, height, |ui| {
                        ui.set_width(right);
                        ScrollArea::vertical().id_salt("journal").auto_shrink([false, true]).show(ui, |ui| {
                            ui.set_width(right - space::M);
                            self.journal.show_ui(ui, sight, requests);
                        });
                    });
                });
            });
    }
}

fn column_ui(ui: &mut Ui, width: f32, height: f32, content: impl FnOnce(&mut Ui)) {
    ui.allocate_ui_with_layout(
        egui::vec2(width, height),
        egui::Layout::top_down(egui::Align::Min),
        |ui| {
            ui.spacing_mut().item_spacing.x = space::S;
            content(ui);
        },
    );
}
