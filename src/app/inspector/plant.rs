//! A pot on the plan: how its plant fares where it stands, and the ways on.

use egui::Ui;

use crate::{
    app::{
        parts::score,
        state::{Desk, Request, Sheet, Sight},
        theme::{space, text},
    },
    base::Id,
};

pub(super) fn show_ui(ui: &mut Ui, sight: &Sight<'_>, id: &Id, requests: &mut Vec<Request>) {
    let site = sight.site();
    let Some(plant) = site.plants.get(id) else {
        return;
    };
    ui.label(text::caption("Plant"));
    ui.label(text::heading(sight.plant_name(id)));
    let kind = site
        .kind(&plant.kind)
        .map_or_else(|| plant.kind.to_string(), |k| k.name.clone());
    ui.label(text::soft(kind));
    ui.add_space(space::M);
    let planned = sight
        .plan()
        .and_then(|p| p.spot_of(id, sight.looking.plan_week));
    match planned.or(plant.stands.as_ref()) {
        Some(spot) => {
            let says = if planned.is_some() {
                "Planned for"
            } else {
                "Stands on"
            };
            ui.horizontal(|ui| {
                ui.label(text::soft(says));
                if ui.link(sight.spot_name(spot)).clicked() {
                    requests.push(Request::Select(vec![(
                        crate::site::edit::ObjectKind::Spot,
                        spot.clone(),
                    )]));
                }
            });
            if let Some(s) = sight.score(id, spot, sight.week()) {
                score::reason_ui(ui, s);
            }
        }
        None => {
            ui.label(text::soft("It has no place in this week"));
        }
    }
    ui.add_space(space::M);
    if ui.button("Compare spots for it").clicked() {
        requests.push(Request::ShowPlant(id.clone()));
        requests.push(Request::OpenDesk(Desk::Fit));
    }
    if ui.button("Pot and plant…").clicked() {
        requests.push(Request::OpenSheet(Sheet::Plant(id.clone())));
    }
}
