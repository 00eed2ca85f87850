//! Beside the grid: how good the plan is, and its moves with dates and reasons.

use egui::{Sense, Ui};

use crate::{
    app::{
        parts::{caution::caution_ui, dates, figures, locale},
        state::{Request, Sheet, Sight},
        theme::{self, space, text},
    },
    planner::{Move, Plan},
};

/// Both parts, in a column of their own or below the grid.
pub fn moves_ui(ui: &mut Ui, sight: &Sight<'_>, plan: &Plan, requests: &mut Vec<Request>) {
    proof_ui(ui, sight, plan, requests);
    ui.add_space(space::M);
    list_ui(ui, sight, plan, requests);
}

fn proof_ui(ui: &mut Ui, sight: &Sight<'_>, plan: &Plan, requests: &mut Vec<Request>) {
    let t = theme::tokens(ui);
    ui.label(text::heading("How good it is"));
    ui.label(goodness(plan)).on_hover_text(format!(
        "Worth {:.0} score-weeks; no plan can be worth more than {:.0}. A score-week is a week at 100 points.",
        plan.solution.objective, plan.solution.upper_bound
    ));
    for (plant, from, weeks) in &plan.solution.without_room {
        let words = format!(
            "No room for {} for {weeks} weeks from {}.",
            sight.plant_name(plant),
            dates::short(sight.date_of(*from))
        );
        ui.label(egui::RichText::new(words).color(t.caution));
    }
    for exposed in &plan.exposed {
        let name = sight.plant_name(&exposed.plant);
        caution_ui(ui, &locale::said(&format!("{name}: {}", exposed.words())));
    }
    let choices = &sight.site().choices;
    if ui
        .button(format!(
            "Pins {} · absences {}",
            choices.pins.len(),
            choices.absences.len()
        ))
        .on_hover_text(
            "What you have decided about the plan, and when nobody is there to move pots.",
        )
        .clicked()
    {
        requests.push(Request::OpenSheet(Sheet::Choices));
    }
}

fn list_ui(ui: &mut Ui, sight: &Sight<'_>, plan: &Plan, requests: &mut Vec<Request>) {
    ui.label(text::heading(match plan.moves.len() {
        0 if plan.is_safe() => "No moves are needed".to_owned(),
        0 => "No moves".to_owned(),
        1 => "One move".to_owned(),
        n => format!("{n} moves"),
    }));
    if plan.moves.is_empty() {
        ui.label(text::soft(if plan.is_safe() {
            "Every plant may stay where it stands."
        } else {
            "No move would help: see above what would."
        }));
    }
    for (i, step) in plan.moves.iter().enumerate() {
        ui.push_id(("move", i), |ui| {
            // The day heads all that is carried on it.
            if i == 0 || plan.moves.get(i - 1).is_some_and(|b| b.date != step.date) {
                ui.add_space(space::XS);
                ui.label(text::group(dates::long(step.date)));
                ui.separator();
            }
            move_ui(ui, sight, step, requests);
        });
    }
}

fn move_ui(ui: &mut Ui, sight: &Sight<'_>, step: &Move, requests: &mut Vec<Request>) {
    ui.spacing_mut().item_spacing.y = 2.0;
    let line = ui
        .add(
            egui::Label::new(text::strong(sight.plant_name(&step.plant)))
                .sense(Sense::click())
                .wrap(),
        )
        .on_hover_text("Shows the week and the plant");
    if line.clicked() {
        requests.push(Request::GoToWeek(step.week));
        requests.push(Request::ShowPlant(step.plant.clone()));
    }
    let to = sight.spot_name(&step.to);
    ui.label(match &step.from {
        Some(from) => format!("{} → {to}", sight.spot_name(from)),
        None => format!("to {to}"),
    });
    ui.label(text::caption(locale::said(&step.reason)));
    match step.cautions.as_slice() {
        [] => {}
        [only] => caution_ui(ui, &locale::said(only)),
        several => {
            let name = format!("{} things to mind", several.len());
            egui::CollapsingHeader::new(text::caption(name))
                .id_salt("mind")
                .show_unindented(ui, |ui| {
                    for caution in several {
                        caution_ui(ui, &locale::said(caution));
                    }
                });
        }
    }
    ui.add_space(space::M);
}

/// The proof in words.
fn goodness(plan: &Plan) -> String {
    let gap = plan.solution.gap() * 100.0;
    if gap < 0.05 {
        "No better plan is possible: that is proven.".to_owned()
    } else {
        format!(
            "No plan can be more than {} % better: that is proven.",
            figures::signed(gap, 1)
        )
    }
}
