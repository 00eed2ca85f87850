//! Beside the grid: how good the plan is, and its moves with dates and reasons.

use egui::{ScrollArea, Sense, Ui};

use crate::{
    app::{
        parts::{caution::caution_ui, dates},
        state::{Request, Sheet, Sight},
        theme::{self, space, text},
    },
    planner::Plan,
};

pub fn moves_ui(ui: &mut Ui, sight: &Sight<'_>, plan: &Plan, requests: &mut Vec<Request>) {
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
    ui.add_space(space::M);
    ui.label(text::heading(match plan.moves.len() {
        0 => "No moves".to_owned(),
        1 => "One move".to_owned(),
        n => format!("{n} moves"),
    }));
    ScrollArea::vertical().id_salt("moves").show(ui, |ui| {
        ui.set_width(ui.available_width());
        for (i, step) in plan.moves.iter().enumerate() {
            let to = sight.spot_name(&step.to);
            let from = step
                .from
                .as_ref()
                .map_or_else(|| "no place yet".to_owned(), |f| sight.spot_name(f));
            ui.push_id(i, |ui| {
                let head = format!(
                    "{}  {}",
                    dates::short(step.date),
                    sight.plant_name(&step.plant)
                );
                let line = ui
                    .add(
                        egui::Label::new(text::strong(&head))
                            .sense(Sense::click())
                            .wrap(),
                    )
                    .on_hover_text("Shows the week and the plant");
                if line.clicked() {
                    requests.push(Request::GoToWeek(step.week));
                    requests.push(Request::ShowPlant(step.plant.clone()));
                }
                ui.label(format!("{from} → {to}"));
                ui.label(text::soft(&step.reason));
                for caution in &step.cautions {
                    caution_ui(ui, caution);
                }
                ui.add_space(space::S);
            });
        }
    });
}

/// The proof in words.
fn goodness(plan: &Plan) -> String {
    let gap = plan.solution.gap() * 100.0;
    if gap < 0.05 {
        "Proven to be the best possible plan.".to_owned()
    } else {
        format!("Proven within {gap:.1} % of the best possible.")
    }
}
