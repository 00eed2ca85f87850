//! Spots that the drawing offers: sills, balconies, glazed rooms, the foot of walls.

use egui::Ui;

use super::walls::{self, Drawn};
use crate::{
    app::{
        parts::{
            form::{quantity::Quantity, quantity_ui, row_ui},
            kept::Kept,
            locale,
        },
        state::{Request, Sight},
        theme::text,
    },
    site::{
        Pot, Spot,
        edit::{Edit, Object, ObjectKind},
    },
};

/// What the grower says of the sills, and what is offered.
pub struct SpotsStep {
    /// Widest pot that they take, cm.
    sill_cm: f64,
    /// By the drawing and the widest pot that it follows from.
    offered: Kept<(Drawn, f64), Vec<Spot>>,
}

impl Default for SpotsStep {
    fn default() -> Self {
        Self {
            sill_cm: Pot::default().rim_cm,
            offered: Kept::default(),
        }
    }
}

impl SpotsStep {
    pub fn show_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        let of = (Drawn::of(sight.site()), self.sill_cm);
        let sill_cm = self.sill_cm;
        let offered = self
            .offered
            .get(of, || walls::offered_spots(sight.site(), sill_cm));
        offered_ui(ui, sight, offered, &mut self.sill_cm, requests);
    }
}

fn offered_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    offered: &[Spot],
    sill_cm: &mut f64,
    requests: &mut Vec<Request>,
) {
    let site = sight.site();
    ui.label(text::soft(
        "Every place where pots can stand, indoors and out. These follow from the drawing; others are drawn with “Single \
         pot”, “Sill or row” and “Bench”.",
    ));
    for spot in site.spots.values() {
        ui.label(text::strong(format!("{}: {}", spot.name, holds(spot))));
    }
    if offered.iter().any(|s| s.name.starts_with(walls::SILL)) {
        let name = "Widest pot on a sill";
        row_ui(ui, name, |ui| {
            let units = sight.looking.units;
            quantity_ui(ui, units, name, Quantity::Centimetres, 8.0..=60.0, sill_cm)
        });
        ui.label(text::caption(
            "Of the usual size; no wider pot is planned for a sill.",
        ));
    }
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
            ui.label(text::soft(holds(spot)));
        });
    }
}

fn holds(spot: &Spot) -> String {
    let pots = match spot.holds.pots {
        1 => "one pot".to_owned(),
        n => format!("{n} pots"),
    };
    let takes = format!("{pots} of {:.0} cm", spot.holds.rim_cm);
    locale::said(&takes)
}
