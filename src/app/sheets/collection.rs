//! The plants: who they are, where they stand, how they do this week; adding one.

use egui::{Align, Layout, TextEdit, Ui};

use crate::{
    app::{
        parts::{score::chip_ui, weeks},
        state::{Request, Sheet, Sight},
        theme::{self, space, text},
    },
    base::Id,
    needs::library,
    site::{
        Plant,
        edit::{Edit, Object, ObjectKind},
    },
};

#[derive(Default)]
pub struct Collection {
    adding: bool,
    typed: String,
}

impl Collection {
    pub fn show_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        let site = sight.site();
        if self.adding {
            self.add_ui(ui, sight, requests);
            return;
        }
        if ui.button("Add a plant…").clicked() {
            self.adding = true;
            self.typed.clear();
        }
        ui.add_space(space::S);
        if site.plants.is_empty() {
            ui.label(text::soft(
                "No plants yet. Add one: choose its kind, then say how large its pot is and where it stands.",
            ));
        }
        for (id, plant) in site.plants.iter() {
            let week = weeks::of_plant(sight, id, sight.looking.plan_week);
            ui.horizontal(|ui| {
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    if ui
                        .button("Needs…")
                        .on_hover_text(format!(
                            "What {} wants in each stage, with sources",
                            plant.name
                        ))
                        .accessible_name(format!("Needs of {}", plant.name))
                        .clicked()
                    {
                        requests.push(Request::OpenSheet(Sheet::Kind(plant.kind.clone())));
                    }
                    if ui
                        .button("Edit…")
                        .on_hover_text(format!("Opens the sheet of {}", plant.name))
                        .accessible_name(format!("Edit {}", plant.name))
                        .clicked()
                    {
                        requests.push(Request::OpenSheet(Sheet::Plant(id.clone())));
                    }
                    ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                        let open = ui
                            .add(
                                egui::Label::new(text::strong(&plant.name))
                                    .sense(egui::Sense::click())
                                    .truncate(),
                            )
                            .on_hover_text("Opens the plant's sheet");
                        if open.clicked() {
                            requests.push(Request::ShowPlant(id.clone()));
                            requests.push(Request::OpenSheet(Sheet::Plant(id.clone())));
                        }
                    });
                });
            });
            ui.horizontal(|ui| {
                chip_ui(ui, week.points());
                let kind = site.kind(&plant.kind).map_or("", |k| k.name.as_str());
                // The score is that of the planned spot.
                let place = match (week.spot, plant.stands.as_ref()) {
                    (Some(planned), Some(stands)) if planned == stands => {
                        format!("on {}", sight.spot_name(stands))
                    }
                    (Some(planned), Some(stands)) => format!(
                        "planned on {}, now on {}",
                        sight.spot_name(planned),
                        sight.spot_name(stands)
                    ),
                    (Some(planned), None) => format!("planned on {}", sight.spot_name(planned)),
                    (None, Some(stands)) => format!("now on {}", sight.spot_name(stands)),
                    (None, None) => "not placed yet".to_owned(),
                };
                ui.add(egui::Label::new(text::soft(format!("{kind}, {place}"))).wrap());
            });
            ui.separator();
        }
    }

    fn add_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        ui.horizontal(|ui| {
            ui.label(text::group("What kind of plant?"));
            if ui.button("Back").clicked() {
                self.adding = false;
            }
        });
        if let Some(kind) = kind_chooser_ui(ui, sight, &mut self.typed) {
            let site = sight.site();
            let name = site
                .kind(&kind)
                .map_or_else(|| kind.to_string(), |k| k.name.clone());
            let id = Id::from_name(&name, |i| site.plants.contains(i));
            let plant = Plant {
                name: name.clone(),
                kind,
                ..Plant::default()
            };
            requests.push(Request::Edit(
                format!("Add {name}"),
                Edit::Put(id.clone(), Object::Plant(plant)),
            ));
            requests.push(Request::ShowPlant(id.clone()));
            requests.push(Request::OpenSheet(Sheet::Plant(id)));
            self.adding = false;
        }
    }
}

/// All kinds, the site's own first, narrowed by what is typed. Returns the one that was chosen.
pub fn kind_chooser_ui(ui: &mut Ui, sight: &Sight<'_>, typed: &mut String) -> Option<Id> {
    let t = theme::tokens(ui);
    ui.add(
        TextEdit::singleline(typed)
            .hint_text("Search by name or genus")
            .desired_width(ui.available_width()),
    )
    .accessible_name("Search kinds");
    let words: Vec<String> = typed.split_whitespace().map(str::to_lowercase).collect();
    let own = &sight.site().kinds;
    let mut all: Vec<_> = own
        .iter()
        .map(|(id, k)| (id, k, true))
        .chain(
            library::kinds()
                .iter()
                .filter(|(id, _)| !own.contains(id))
                .map(|(id, k)| (id, k, false)),
        )
        .filter(|(_, k, _)| {
            let name = format!("{} {}", k.name, k.botanical).to_lowercase();
            words.iter().all(|w| name.contains(w))
        })
        .collect();
    // By what stands first in each line.
    all.sort_by_key(|(_, kind, _)| kind.name.to_lowercase());
    let mut chosen = None;
    let mut any = false;
    for (id, kind, is_own) in all {
        any = true;
        let note = if is_own { "your own" } else { &kind.botanical };
        let button = egui::Button::selectable(false, kind.name.as_str())
            .right_text(
                egui::RichText::new(note)
                    .size(text::SMALL)
                    .color(t.ink_soft),
            )
            .min_size(egui::vec2(ui.available_width(), 28.0));
        if ui.add(button).clicked() {
            chosen = Some(id.clone());
        }
    }
    if !any {
        ui.label(text::soft("No kind has this in its name."));
    }
    chosen
}

/// A button that takes an object away.
pub fn remove_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    kind: ObjectKind,
    id: &Id,
    requests: &mut Vec<Request>,
) {
    let name = sight.site().name_of(kind, id);
    if ui
        .button(format!("Delete {name}"))
        .on_hover_text("Undo brings it back.")
        .clicked()
    {
        requests.push(Request::Edit(
            format!("Delete {name}"),
            Edit::Remove(kind, id.clone()),
        ));
    }
}
