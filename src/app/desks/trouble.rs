//! What went wrong: a plant, a symptom, and the causes as its own year speaks for and against them.

mod record;

use egui::{Frame, Margin, ScrollArea, Ui};

use crate::{
    app::{
        parts::{
            empty::{empty_ui, steps_button_ui},
            locale,
        },
        state::{Request, Sight},
        theme::{self, space, text},
    },
    base::Id,
    trouble::{Cause, Symptom, TroubleInputs, causes},
};

#[derive(Default)]
pub struct TroubleDesk {
    symptom: Option<Symptom>,
    /// Causes, and what they were ranked for: working them out every frame would be waste.
    ranked: Option<(Asked, Vec<Cause>)>,
}

#[derive(PartialEq)]
struct Asked {
    symptom: Symptom,
    plant: Id,
    revision: u64,
    stale: bool,
}

impl TroubleDesk {
    pub fn show_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        let Some((id, _)) = sight.plant() else {
            empty_ui(
                ui,
                "No plants yet",
                "Add plants to the collection. What you record of them in the journal is the evidence here.",
            );
            steps_button_ui(ui, requests);
            return;
        };
        Frame::new()
            .inner_margin(Margin::symmetric(24, 16))
            .show(ui, |ui| {
                // One area for all of it: in a low window the answer rolls up over the question.
                ScrollArea::vertical()
                    .id_salt("causes")
                    .auto_shrink([false, true])
                    .show(ui, |ui| {
                        ui.set_width(ui.available_width() - space::M);
                        ui.label(text::title(format!(
                            "What is wrong with {}?",
                            sight.plant_name(id)
                        )));
                        self.symptoms_ui(ui);
                        ui.add_space(space::S);
                        self.causes_ui(ui, sight, id);
                        record::record_ui(ui, sight, id, requests);
                    });
            });
    }

    /// All that can be seen, laid out until one is chosen, then folded to a list.
    fn symptoms_ui(&mut self, ui: &mut Ui) {
        let Some(symptom) = self.symptom else {
            ui.horizontal_wrapped(|ui| {
                for symptom in Symptom::ALL {
                    let button = egui::Button::selectable(false, symptom.words());
                    if ui.add(button.frame_when_inactive(true)).clicked() {
                        self.symptom = Some(symptom);
                    }
                }
            });
            return;
        };
        let chooser = egui::ComboBox::from_id_salt("symptom")
            .selected_text(symptom.words())
            .width(ui.available_width().min(space::READING / 2.0))
            .show_ui(ui, |ui| {
                for other in Symptom::ALL {
                    ui.selectable_value(&mut self.symptom, Some(other), other.words());
                }
            });
        chooser
            .response
            .accessible_name(format!("Symptom: {}", symptom.words()));
    }

    fn causes_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, plant: &Id) {
        let Some(symptom) = self.symptom else {
            ui.label(text::soft(
                "Choose what you see. The causes are ranked by the plant's own record.",
            ));
            return;
        };
        let Some(outcome) = sight.outcome else {
            ui.label(text::soft(
                "The plant's year is being worked out; the causes follow from it.",
            ));
            return;
        };
        let asked = Asked {
            symptom,
            plant: plant.clone(),
            revision: sight.document.revision(),
            stale: sight.stale,
        };
        if self.ranked.as_ref().is_none_or(|(a, _)| *a != asked) {
            let inputs = TroubleInputs {
                site: sight.site(),
                plant,
                scores: &outcome.scores,
                spot_weeks: outcome
                    .spots
                    .iter()
                    .map(|(id, s)| (id.clone(), s.weeks.as_slice()))
                    .collect(),
                today: sight.today,
            };
            self.ranked = Some((asked, causes(&inputs, symptom)));
        }
        let found = self.ranked.iter().flat_map(|(_, c)| c);
        for cause in found.clone() {
            cause_ui(ui, cause);
        }
        if found.count() == 0 {
            ui.label(text::soft("Nothing is known of causes for this plant."));
        }
    }
}

/// One cause with what speaks for and against it.
fn cause_ui(ui: &mut Ui, cause: &Cause) {
    let t = theme::tokens(ui);
    ui.add_space(space::S);
    ui.horizontal(|ui| {
        let (bar, _) = ui.allocate_exact_size(egui::vec2(90.0, 8.0), egui::Sense::hover());
        ui.painter().rect_filled(bar, 4, t.unknown);
        let mut filled = bar;
        filled.set_width(bar.width() * cause.likelihood.clamp(0.0, 1.0) as f32);
        ui.painter().rect_filled(filled, 4, t.accent);
        ui.label(text::strong(format!("{:.0} %", cause.likelihood * 100.0)));
        ui.label(text::heading(&cause.name));
    });
    for (list, sign) in [
        (&cause.evidence_for, "for"),
        (&cause.evidence_against, "against"),
    ] {
        for line in list {
            ui.horizontal_wrapped(|ui| {
                ui.label(text::soft(sign));
                ui.label(locale::said(line));
            });
        }
    }
    if !cause.remedy.is_empty() {
        ui.label(format!("Remedy: {}", locale::said(&cause.remedy)));
    }
    if !cause.source.is_empty() {
        ui.label(text::caption(&cause.source));
    }
}
