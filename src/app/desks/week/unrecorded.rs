//! Planned moves of days gone by that nobody recorded: all were done, or one by one.

use egui::Ui;

use crate::{
    app::{
        parts::dates,
        state::{Request, Sight},
        theme::{space, text},
    },
    care::done,
    planner::Move,
};

#[derive(Default)]
pub struct Unrecorded {
    open: bool,
}

impl Unrecorded {
    pub fn show_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        let Some(plan) = sight.plan() else { return };
        let moves = done::unrecorded(sight.site(), plan, sight.today);
        let Some(first) = moves.first() else {
            self.open = false;
            return;
        };
        let words = match moves.len() {
            1 => format!(
                "1 planned move of {} is not recorded",
                dates::long(first.date)
            ),
            n => format!(
                "{n} planned moves since {} are not recorded",
                dates::long(first.date)
            ),
        };
        ui.label(text::strong(words));
        ui.label(text::soft(
            "Until then each plant counts as standing where it was last recorded.",
        ));
        ui.horizontal_wrapped(|ui| {
            if ui
                .button("All done")
                .on_hover_text("Records each as done on the day for which it was planned.")
                .clicked()
            {
                requests.push(Request::Edit(
                    "Record the planned moves".to_owned(),
                    done::record(&moves),
                ));
            }
            let name = if self.open {
                "Close the list"
            } else {
                "Look through"
            };
            if ui.button(name).clicked() {
                self.open = !self.open;
            }
        });
        if self.open {
            for (i, m) in moves.iter().enumerate() {
                ui.push_id(("unrecorded", i), |ui| move_ui(ui, sight, m, requests));
            }
        }
        ui.add_space(space::M);
    }
}

fn move_ui(ui: &mut Ui, sight: &Sight<'_>, m: &Move, requests: &mut Vec<Request>) {
    let (plant, to) = (sight.plant_name(&m.plant), sight.spot_name(&m.to));
    ui.horizontal_wrapped(|ui| {
        ui.label(text::soft(dates::short(m.date)));
        ui.label(text::strong(&plant));
        ui.label(format!("to {to}"));
        let button = ui
            .add(egui::Button::new("Done").small())
            .accessible_name(format!(
                "Record as done: {plant} to {to}, {}",
                dates::short(m.date)
            ));
        if button.clicked() {
            requests.push(Request::Edit(
                format!("Record “Moved” for {plant}"),
                done::record(&[m]),
            ));
        }
    });
}
