//! One plant's fields.

use egui::{ComboBox, Ui};

use super::{
    collection::{kind_chooser_ui, remove_ui},
    plant_year::year_ui,
};
use crate::{
    app::{
        canvas::finder::capital,
        parts::{
            dates::{self, date_field_ui},
            form::{
                Form, choice_ui, group_ui, note_ui, number_ui, quantity::Quantity, quantity_ui,
                row_ui, text_ui,
            },
            icons::{Icon, icon_button_ui},
        },
        state::{Request, Sheet, Sight},
        theme::{space, text},
    },
    base::Id,
    pipeline::readings::date_doubt,
    site::{
        Condition, Flowering, Medium, Plant, PotMaterial,
        edit::{Edit, Object, ObjectKind},
    },
};

#[derive(Default)]
pub struct PlantSheet {
    choosing_kind: bool,
    typed: String,
}

impl PlantSheet {
    pub fn show_ui(
        &mut self,
        ui: &mut Ui,
        sight: &Sight<'_>,
        id: &Id,
        form: &mut Form,
        requests: &mut Vec<Request>,
    ) {
        let Some(plant) = sight.site().plants.get(id) else {
            return;
        };
        let mut next = Plant::clone(plant);
        let step = format!("Change {}", plant.name);
        let mut watch = |r: &egui::Response, requests: &mut Vec<Request>| {
            form.watch(r, &step, requests);
        };

        row_ui(ui, "Name", |ui| {
            let r = text_ui(ui, "Name", &mut next.name);
            watch(&r, requests);
        });
        self.kind_ui(ui, sight, &mut next, requests);
        row_ui(ui, "Clone", |ui| {
            let r = text_ui(ui, "Clone", &mut next.clone_name);
            watch(&r, requests);
        });
        row_ui(ui, "Stands now on", |ui| {
            stands_ui(ui, sight, &mut next);
        });

        group_ui(ui, "Pot");
        let (cm, kg) = (Quantity::Centimetres, Quantity::Kilograms);
        for (name, value, range, quantity) in [
            ("Rim", &mut next.pot.rim_cm, 4.0..=120.0, cm),
            ("Height", &mut next.pot.height_cm, 4.0..=120.0, cm),
            ("Weight watered", &mut next.weight_kg, 0.1..=300.0, kg),
            ("Spread of leaves", &mut next.spread_cm, 5.0..=400.0, cm),
        ] {
            row_ui(ui, name, |ui| {
                let units = sight.looking.units;
                let r = quantity_ui(ui, units, name, quantity, range, value);
                watch(&r, requests);
            });
        }
        row_ui(ui, "Pot of", |ui| {
            choice_ui(
                ui,
                "Pot of",
                &mut next.pot.material,
                &PotMaterial::ALL.map(|m| (m, m.word())),
            )
        });
        row_ui(ui, "Roots in", |ui| {
            choice_ui(
                ui,
                "Roots in",
                &mut next.pot.medium,
                &Medium::ALL.map(|m| (m, m.word())),
            )
        });
        row_ui(ui, "Last repotted", |ui| match next.pot.repotted {
            Some(date) => {
                let (_, day) = date_field_ui(ui, "Last repotted", date);
                if let Some(day) = day {
                    next.pot.repotted = Some(day);
                }
                if icon_button_ui(ui, Icon::Close, "Not known when repotted", true).clicked() {
                    next.pot.repotted = None;
                }
            }
            None => {
                if ui.button("Not known; say when").clicked() {
                    next.pot.repotted = Some(sight.today);
                }
            }
        });

        group_ui(ui, "In the plan");
        row_ui(ui, "Condition", |ui| {
            choice_ui(
                ui,
                "Condition",
                &mut next.condition,
                &Condition::ALL.map(|c| (c, c.word())),
            )
        });
        row_ui(ui, "Worth beside others", |ui| {
            let r = number_ui(
                ui,
                "Worth beside others",
                &mut next.worth,
                0.1..=10.0,
                0.1,
                "",
            );
            watch(&r, requests);
        });
        ui.checkbox(&mut next.show_in_bloom, "To be seen while in bloom");

        year_ui(ui, sight, id, &mut next, &mut watch, requests);

        group_ui(ui, "Flowered");
        flowered_ui(ui, sight, &mut next);

        group_ui(ui, "History");
        history_ui(ui, sight, id);

        group_ui(ui, "Note");
        let r = note_ui(ui, "Note", &mut next.note);
        watch(&r, requests);

        if next != **plant {
            requests.push(Request::Edit(
                step,
                Edit::Put(id.clone(), Object::Plant(next)),
            ));
        }
        ui.add_space(space::L);
        remove_ui(ui, sight, ObjectKind::Plant, id, requests);
    }

    fn kind_ui(
        &mut self,
        ui: &mut Ui,
        sight: &Sight<'_>,
        next: &mut Plant,
        requests: &mut Vec<Request>,
    ) {
        let kind = sight
            .site()
            .kind(&next.kind)
            .map_or_else(|| next.kind.to_string(), |k| k.name.clone());
        row_ui(ui, "Kind", |ui| {
            if ui
                .button(&kind)
                .on_hover_text("Choose another kind")
                .clicked()
            {
                self.choosing_kind = !self.choosing_kind;
            }
            if ui.button("Needs…").clicked() {
                requests.push(Request::OpenSheet(Sheet::Kind(next.kind.clone())));
            }
        });
        if self.choosing_kind
            && let Some(chosen) = kind_chooser_ui(ui, sight, &mut self.typed)
        {
            next.kind = chosen;
            self.choosing_kind = false;
            self.typed.clear();
        }
    }
}

fn stands_ui(ui: &mut Ui, sight: &Sight<'_>, next: &mut Plant) {
    let shown = next
        .stands
        .as_ref()
        .map_or_else(|| "not placed yet".to_owned(), |s| sight.spot_name(s));
    let inner = ComboBox::from_id_salt("stands")
        .selected_text(&shown)
        .width(200.0)
        .show_ui(ui, |ui| {
            ui.selectable_value(&mut next.stands, None, "not placed yet");
            for id in sight.site().spots.ids() {
                ui.selectable_value(&mut next.stands, Some(id.clone()), sight.spot_name(id));
            }
        });
    inner
        .response
        .accessible_name(format!("Stands now on: {shown}"));
}

fn flowered_ui(ui: &mut Ui, sight: &Sight<'_>, next: &mut Plant) {
    let mut gone = None;
    let kind = sight.site().kind(&next.kind);
    let counted_in = kind.map_or("flowers", |k| k.flower_words().1);
    for (i, flowering) in next.flowered.iter_mut().enumerate() {
        ui.push_id(i, |ui| {
            ui.horizontal(|ui| {
                let name = format!("First flower of flowering {}", i + 1);
                if let (_, Some(day)) = date_field_ui(ui, &name, flowering.first_open) {
                    flowering.first_open = day;
                }
                let mut spikes = f64::from(flowering.spikes);
                let name = format!("{} of flowering {}", capital(counted_in), i + 1);
                number_ui(ui, &name, &mut spikes, 0.0..=200.0, 1.0, counted_in);
                flowering.spikes = spikes.round() as u32;
                let name = format!("Delete flowering {}", i + 1);
                if icon_button_ui(ui, Icon::Close, &name, true).clicked() {
                    gone = Some(i);
                }
            });
        });
    }
    if let Some(i) = gone {
        next.flowered.remove(i);
    }
    if next.flowered.is_empty() {
        ui.label(text::soft("No flowering recorded."));
    }
    if ui.button("Add a flowering").clicked() {
        next.flowered.push(Flowering {
            first_open: sight.today,
            last_open: None,
            spikes: 1,
        });
    }
}

/// Entries of the history shown.
const REMEMBERED: usize = 15;

/// What is on record of the plant, newest first.
fn history_ui(ui: &mut Ui, sight: &Sight<'_>, id: &Id) {
    let site = sight.site();
    let rows = site.remembered_of(id);
    if rows.is_empty() {
        ui.label(text::soft(
            "Nothing yet: what you note of it on the Week desk, its flowerings and repottings are gathered here.",
        ));
    }
    for row in rows.iter().take(REMEMBERED) {
        ui.horizontal_wrapped(|ui| {
            ui.label(text::soft(dates::long(row.date)));
            ui.label(site.remembered_words(row));
            if !row.note.is_empty() {
                ui.label(text::soft(&row.note));
            }
            if let Some(why) = date_doubt(row.date, sight.today) {
                ui.label(text::caption(why));
            }
        });
    }
    if rows.len() > REMEMBERED {
        ui.label(text::caption(format!(
            "and {} older entries",
            rows.len() - REMEMBERED
        )));
    }
}
