//! Spots that the drawing offers: sills, balconies, glazed rooms, the foot of walls.

use egui::Ui;

use super::walls;
use crate::{
    app::{
        state::{Request, Sight},
        theme::text,
    },
    site::{
        Spot,
        edit::{Edit, Object, ObjectKind},
    },
};

pub fn spots_ui(ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
    let site = sight.site();
    ui.label(text::soft(
        "Every place where pots can stand, indoors and out. These follow from the drawing; others are drawn with “Single \
         pot”, “Sill or row” and “Bench”.",
    ));
    for spot in site.spots.values() {
        ui.label(text::strong(format!("{}: {}", spot.name, holds(spot))));
    }
    let offered = walls::offered_spots(site);
    if offered.is_empty() && site.spots.is_empty() {
        ui.label("Nothing is drawn yet that could offer a place.");
    }
    for spot in offered {
        ui.horizontal(|ui| {
            let name = spot.name.clone();
            if ui
                .button("Add")
                .on_hover_text("Set it right on the plan afterwards: pull it, or change its fields")
                .accessible_name(format!("Add {name}"))
                .clicked()
            {
                let edit = walls::put(site, spot.clone());
                let item = match &edit {
                    Edit::Put(id, Object::Spot(_)) => vec![(ObjectKind::Spot, id.clone())],
                    _ => Vec::new(),
                };
                requests.push(Request::Edit(format!("Add the spot {name}"), edit));
                requests.push(Request::Select(item));
            }
            ui.add(egui::Label::new(&name).truncate());
            ui.label(text::soft(holds(&spot)));
        });
    }
}

fn holds(spot: &Spot) -> String {
    match spot.holds.pots {
        1 => "one pot".to_owned(),
        n => format!("{n} pots"),
    }
}
