//! What the grower has decided about the plan: pins, absences, how much moves are disliked.

use chrono::Days;
use egui::Ui;

use crate::{
    app::{
        parts::{
            dates::{self, date_field_ui},
            form::{Form, group_ui, number_ui, quantity::Quantity, quantity_ui, row_ui},
            icons::{Icon, icon_button_ui},
        },
        state::{Request, Sight},
        theme::text,
    },
    site::{Absence, Choices, edit::Edit},
};

pub fn choices_ui(ui: &mut Ui, sight: &Sight<'_>, form: &mut Form, requests: &mut Vec<Request>) {
    let old = &sight.site().choices;
    let mut next = Choices::clone(old);
    let step = "Change plan choices";

    group_ui(ui, "Start");
    row_ui(ui, "Plan from", |ui| match next.plan_from {
        Some(date) => {
            if let (_, Some(day)) = date_field_ui(ui, "Plan from", date) {
                next.plan_from = Some(day);
            }
            if ui.button("Today").clicked() {
                next.plan_from = None;
            }
        }
        None => {
            ui.label("today");
            if ui.button("Another day").clicked() {
                next.plan_from = Some(sight.today);
            }
        }
    });

    group_ui(ui, "Moves");
    row_ui(ui, "Dislike of moves", |ui| {
        let r = number_ui(
            ui,
            "Dislike of moves",
            &mut next.move_dislike,
            0.0..=3.0,
            0.05,
            "",
        );
        form.watch(&r, step, requests);
    });
    ui.label(text::caption("0 not at all, 1 as usual, 3 very much"));
    row_ui(ui, "Shortest stay", |ui| {
        let mut weeks = f64::from(next.shortest_stay_weeks);
        let r = number_ui(ui, "Shortest stay", &mut weeks, 1.0..=12.0, 1.0, "weeks");
        form.watch(&r, step, requests);
        next.shortest_stay_weeks = weeks.round() as u32;
    });
    row_ui(ui, "One person lifts", |ui| {
        let r = quantity_ui(
            ui,
            sight.looking.units,
            "One person lifts",
            Quantity::Kilograms,
            1.0..=100.0,
            &mut next.lift_limit_kg,
        );
        form.watch(&r, step, requests);
    });

    group_ui(ui, "Away");
    let mut gone = None;
    for (i, absence) in next.absences.iter_mut().enumerate() {
        ui.push_id(("absence", i), |ui| {
            ui.horizontal(|ui| {
                let name = format!("First day of absence {}", i + 1);
                if let (_, Some(day)) = date_field_ui(ui, &name, absence.from) {
                    absence.from = day;
                    absence.to = absence.to.max(day);
                }
                let name = format!("Last day of absence {}", i + 1);
                if let (_, Some(day)) = date_field_ui(ui, &name, absence.to) {
                    absence.to = day.max(absence.from);
                }
                let name = format!("Delete absence {}", i + 1);
                if icon_button_ui(ui, Icon::Close, &name, true).clicked() {
                    gone = Some(i);
                }
            });
        });
    }
    if let Some(i) = gone {
        next.absences.remove(i);
    }
    if ui
        .button("Add an absence")
        .on_hover_text("Days on which nobody moves pots. The plan keeps clear of them.")
        .clicked()
    {
        let from = sight.date_of(sight.looking.plan_week);
        next.absences.push(Absence {
            from,
            to: from + Days::new(13),
        });
    }

    group_ui(ui, "Pins");
    if next.pins.is_empty() {
        ui.label(text::soft(
            "Nothing is pinned. Drag along a plant's row on the Year desk to keep it somewhere.",
        ));
    }
    let mut unpinned = None;
    for (i, pin) in next.pins.iter().enumerate() {
        ui.horizontal(|ui| {
            let plant = sight.plant_name(&pin.plant);
            let name = format!("Unpin {plant} from {}", sight.spot_name(&pin.spot));
            if icon_button_ui(ui, Icon::Close, &name, true).clicked() {
                unpinned = Some(i);
            }
            ui.vertical(|ui| {
                ui.label(text::strong(plant));
                ui.label(text::soft(format!(
                    "{}, {} to {}",
                    sight.spot_name(&pin.spot),
                    dates::short(pin.from),
                    dates::long(pin.to)
                )));
            });
        });
    }
    let mut name = step.to_owned();
    if let Some(i) = unpinned {
        let pin = next.pins.remove(i);
        name = format!("Unpin {}", sight.plant_name(&pin.plant));
    }
    if next != **old {
        requests.push(Request::Edit(name, Edit::SetChoices(next)));
    }
}
