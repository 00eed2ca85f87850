//! The journal: what was done and seen, by plant and day.

use chrono::NaiveDate;
use egui::{ComboBox, TextEdit, Ui};

use crate::{
    app::{
        parts::{
            dates::{self, date_field_ui},
            icons::{Icon, quiet_icon_button_ui},
        },
        state::{Request, Sight},
        theme::{self, space, text},
    },
    base::Id,
    site::{Event, JournalEntry, edit::Edit},
};

/// Entries shown before the grower asks for all.
const SHOWN: usize = 30;

/// An event as the form offers it; moving needs a spot besides.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Happening {
    #[default]
    Watered,
    Fed,
    Repotted,
    Moved,
    Spike,
    Buds,
    FirstFlower,
    LastFlower,
    BudsDropped,
    LeavesScorched,
    LeavesYellow,
    Frost,
    Pest,
    Note,
}

impl Happening {
    const ALL: [(Self, &'static str); 14] = [
        (Self::Watered, "Watered"),
        (Self::Fed, "Fed"),
        (Self::Moved, "Moved"),
        (Self::Repotted, "Repotted"),
        (Self::Spike, "Spike seen"),
        (Self::Buds, "Buds seen"),
        (Self::FirstFlower, "First flower open"),
        (Self::LastFlower, "Last flower gone"),
        (Self::BudsDropped, "Buds dropped"),
        (Self::LeavesScorched, "Leaves scorched"),
        (Self::LeavesYellow, "Leaves yellow"),
        (Self::Frost, "Frost seen"),
        (Self::Pest, "Pest seen"),
        (Self::Note, "Note"),
    ];

    fn word(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(s, _)| *s == self)
            .map_or("", |(_, w)| w)
    }

    fn event(self, spot: Option<&Id>) -> Option<Event> {
        Some(match self {
            Self::Watered => Event::Watered,
            Self::Fed => Event::Fed,
            Self::Repotted => Event::Repotted,
            Self::Moved => Event::Moved(spot?.clone()),
            Self::Spike => Event::SpikeSeen,
            Self::Buds => Event::BudsSeen,
            Self::FirstFlower => Event::FirstFlower,
            Self::LastFlower => Event::LastFlower,
            Self::BudsDropped => Event::BudsDropped,
            Self::LeavesScorched => Event::LeavesScorched,
            Self::LeavesYellow => Event::LeavesYellow,
            Self::Frost => Event::FrostSeen,
            Self::Pest => Event::PestSeen,
            Self::Note => Event::Note,
        })
    }
}

/// An event in words.
fn event_words(sight: &Sight<'_>, event: &Event) -> String {
    match event {
        Event::Moved(spot) => format!("Moved to {}", sight.spot_name(spot)),
        event => event.words().to_owned(),
    }
}

#[derive(Default)]
pub struct Journal {
    seen: Happening,
    /// The day of the entry; today unless the grower says otherwise.
    date: Option<NaiveDate>,
    /// About the whole site instead of the plant that is shown.
    whole_site: bool,
    spot: Option<Id>,
    note: String,
    all: bool,
}

impl Journal {
    pub fn show_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        ui.label(text::heading("Journal"));
        self.form_ui(ui, sight, requests);
        ui.add_space(space::M);
        self.list_ui(ui, sight, requests);
    }

    fn form_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        let t = theme::tokens(ui);
        let plant = sight.plant().map(|(id, _)| id);
        ui.horizontal_wrapped(|ui| {
            let event = ComboBox::from_id_salt("event")
                .selected_text(self.seen.word())
                .width(150.0)
                .height(420.0)
                .show_ui(ui, |ui| {
                    for (seen, word) in Happening::ALL {
                        ui.selectable_value(&mut self.seen, seen, word);
                    }
                });
            event
                .response
                .accessible_name(format!("What happened: {}", self.seen.word()));
            let date = self.date.unwrap_or(sight.today);
            if let (_, Some(day)) = date_field_ui(ui, "Day of the entry", date) {
                self.date = Some(day);
            }
        });
        if self.seen == Happening::Moved {
            let shown = self
                .spot
                .as_ref()
                .map_or_else(|| "choose a spot".to_owned(), |s| sight.spot_name(s));
            let spot = ComboBox::from_id_salt("moved to")
                .selected_text(&shown)
                .width(220.0)
                .show_ui(ui, |ui| {
                    for id in sight.site().spots.ids() {
                        if ui
                            .selectable_label(self.spot.as_ref() == Some(id), sight.spot_name(id))
                            .clicked()
                        {
                            self.spot = Some(id.clone());
                        }
                    }
                });
            spot.response.accessible_name(format!("Moved to: {shown}"));
        }
        ui.add(
            TextEdit::singleline(&mut self.note)
                .hint_text("Note, if there is more to say")
                .desired_width(ui.available_width()),
        )
        .accessible_name("Note of the entry");
        ui.checkbox(&mut self.whole_site, "About the whole site");
        let about = if self.whole_site { None } else { plant };
        let event = self.seen.event(self.spot.as_ref());
        let ready = event.is_some() && (self.whole_site || plant.is_some());
        let name = match about {
            Some(id) => format!("Record for {}", sight.plant_name(id)),
            None => "Record".to_owned(),
        };
        let button = egui::Button::new(egui::RichText::new(name).color(t.on_accent)).fill(t.accent);
        let why_not = if event.is_none() {
            "Say first where it was moved to"
        } else {
            "Choose a plant first, or write about the whole site"
        };
        if ui
            .add_enabled(ready, button)
            .on_disabled_hover_text(why_not)
            .clicked()
            && let Some(event) = event
        {
            requests.push(Request::Edit(
                format!("Record “{}”", self.seen.word()),
                Edit::Record(JournalEntry {
                    date: self.date.unwrap_or(sight.today),
                    plant: about.cloned(),
                    event,
                    from: None,
                    note: std::mem::take(&mut self.note),
                }),
            ));
        }
    }

    fn list_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        let journal = &sight.site().journal;
        if journal.is_empty() {
            ui.label(text::soft(
                "Nothing is recorded yet. What you record here is the evidence when something goes wrong.",
            ));
            return;
        }
        // Newest first; of one day, the one recorded last.
        let mut order: Vec<usize> = (0..journal.len()).collect();
        order.sort_by_key(|i| std::cmp::Reverse((journal.get(*i).map(|e| e.date), *i)));
        let shown = if self.all { order.len() } else { SHOWN };
        for index in order.iter().take(shown) {
            let Some(entry) = journal.get(*index) else {
                continue;
            };
            let who = entry
                .plant
                .as_ref()
                .map_or_else(|| "Whole site".to_owned(), |p| sight.plant_name(p));
            let words = event_words(sight, &entry.event);
            let name = format!("Delete: {words}, {who}, {}", dates::short(entry.date));
            let width = ui.available_width();
            ui.horizontal_top(|ui| {
                ui.vertical(|ui| {
                    ui.set_width(width - 44.0);
                    ui.spacing_mut().item_spacing.y = 1.0;
                    ui.label(text::strong(words));
                    ui.label(text::caption(format!("{who}, {}", dates::long(entry.date))));
                    if !entry.note.is_empty() {
                        ui.label(text::soft(&entry.note));
                    }
                });
                if quiet_icon_button_ui(ui, Icon::Close, &name).clicked() {
                    requests.push(Request::Edit(
                        "Delete a journal entry".to_owned(),
                        Edit::Unrecord(*index),
                    ));
                }
            });
            ui.add_space(space::XS);
        }
        if order.len() > shown && ui.button(format!("Show all {}", order.len())).clicked() {
            self.all = true;
        }
    }
}
