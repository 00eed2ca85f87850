//! What a cloth really is, by a reading under it and one beside it.

use egui::Ui;

use crate::{
    app::{
        parts::form::{choice_ui, number_ui, row_ui},
        state::{LightUnit, Sight},
        theme::text,
    },
    cloth::{TwoReadings, real_shade},
    site::{LightValue, SkyState},
};

const SKIES: [(SkyState, &str); 3] = [
    (SkyState::Clear, "clear"),
    (SkyState::Mixed, "mixed"),
    (SkyState::Overcast, "overcast"),
];

/// What was typed. Not part of the document.
pub struct Form {
    /// In the grower's unit; 0 is not typed yet.
    under: f64,
    beside: f64,
    minutes: f64,
    label_pct: f64,
    sky: SkyState,
}

impl Default for Form {
    fn default() -> Self {
        Self {
            under: 0.0,
            beside: 0.0,
            minutes: 2.0,
            label_pct: 0.0,
            sky: SkyState::Clear,
        }
    }
}

impl Form {
    pub fn show_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>) {
        let unit = sight.looking.units.light;
        let (sign, most) = match unit {
            LightUnit::Ppfd => ("µmol/m² s", 3_000.0),
            LightUnit::Lux => ("lx", 160_000.0),
            LightUnit::FootCandles => ("fc", 15_000.0),
        };
        ui.label(text::group("What is a cloth really?"));
        ui.label(text::caption(
            "Two readings with one meter held level, about noon: one in the middle under the cloth, one in the open beside \
             it, a few minutes apart.",
        ));
        row_ui(ui, "Under the cloth", |ui| {
            number_ui(
                ui,
                "Reading under the cloth",
                &mut self.under,
                0.0..=most,
                1.0,
                sign,
            );
        });
        row_ui(ui, "Beside it", |ui| {
            number_ui(
                ui,
                "Reading beside the cloth",
                &mut self.beside,
                0.0..=most,
                1.0,
                sign,
            );
        });
        row_ui(ui, "Between them", |ui| {
            number_ui(
                ui,
                "Minutes between the readings",
                &mut self.minutes,
                0.0..=60.0,
                1.0,
                "min",
            );
        });
        row_ui(ui, "The sky", |ui| {
            choice_ui(ui, "Sky of the readings", &mut self.sky, &SKIES);
        });
        row_ui(ui, "Its label", |ui| {
            number_ui(
                ui,
                "Percentage on the label",
                &mut self.label_pct,
                0.0..=99.0,
                1.0,
                "%",
            );
            ui.label(text::caption("0 if there is none"));
        });
        if self.under <= 0.0 || self.beside <= 0.0 {
            return;
        }
        let value = |v: f64| match unit {
            LightUnit::Ppfd => LightValue::Ppfd(v),
            LightUnit::Lux => LightValue::Lux(v),
            LightUnit::FootCandles => LightValue::FootCandles(v),
        };
        let readings = TwoReadings {
            under: value(self.under),
            beside: value(self.beside),
            minutes_apart: self.minutes,
            sky: self.sky,
        };
        let label = Some(self.label_pct).filter(|l| *l > 0.0);
        let said = match real_shade(&readings, label) {
            Ok(found) => found.sentence(),
            Err(refused) => {
                let text = refused.to_string();
                let mut letters = text.chars();
                letters
                    .next()
                    .map(|c| c.to_uppercase().chain(letters).collect::<String>() + ".")
                    .unwrap_or_default()
            }
        };
        ui.add(egui::Label::new(said).wrap());
    }
}
