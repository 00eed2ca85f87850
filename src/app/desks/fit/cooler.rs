//! What would bring a spot's nights down in the ribbon's month, for the plant that is compared.

use std::sync::Arc;

use egui::{Grid, Ui};

use crate::{
    air::{
        cooler::{Answer, CAUTION, SUITS},
        evening::{Measure, Wetting},
    },
    app::{
        canvas::latest::Latest,
        parts::{caution::caution_ui, figures},
        state::Sight,
        theme::{space, text},
    },
    base::{Id, Progress, calendar::MONTH_NAMES},
    care::Task,
    pipeline::{Outcome, cooler_nights},
};

#[derive(Clone)]
struct Key {
    spot: Id,
    plant: Id,
    month0: usize,
    /// Changes with whatever is computed anew.
    tasks: Arc<Vec<Task>>,
}

impl Key {
    fn same(&self, other: &Self) -> bool {
        self.spot == other.spot
            && self.plant == other.plant
            && self.month0 == other.month0
            && Arc::ptr_eq(&self.tasks, &other.tasks)
    }
}

struct Job {
    outcome: Outcome,
    key: Key,
}

fn work(job: Job, progress: &Progress) -> Option<Option<Answer>> {
    let Job { outcome, key } = job;
    let plant = Some(&key.plant);
    cooler_nights(
        &outcome,
        &key.spot,
        plant,
        key.month0,
        Wetting::default(),
        progress,
    )
    .ok()
}

/// Asks for one spot at a time, whichever was opened last.
pub struct Cooler {
    open: Option<Id>,
    latest: Latest<Job, Option<Answer>>,
    asked: Option<Key>,
    shown: Option<Option<Answer>>,
    /// It was opened just now: what it says is scrolled into sight as soon as it is there.
    come: bool,
}

impl Default for Cooler {
    fn default() -> Self {
        Self {
            open: None,
            latest: Latest::new("cooler nights", work),
            asked: None,
            shown: None,
            come: false,
        }
    }
}

impl Cooler {
    pub fn show_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, plant: &Id, spot: &Id) {
        let is_open = self.open.as_ref() == Some(spot);
        let words = if is_open {
            "Close cooler nights"
        } else {
            "Cooler nights…"
        };
        let name = format!("{words} on {}", sight.spot_name(spot));
        // In a row of its own, so that it is no wider than its words.
        let pressed = ui
            .horizontal(|ui| {
                ui.button(words)
                    .on_hover_text(
                        "What water and ice in the evening would do here, and what would bring the nights down instead.",
                    )
                    .accessible_name(name)
                    .clicked()
            })
            .inner;
        if pressed {
            self.open = (!is_open).then(|| spot.clone());
            self.come = !is_open;
        }
        if self.open.as_ref() != Some(spot) {
            return;
        }
        let Some(outcome) = sight.outcome else { return };
        let key = Key {
            spot: spot.clone(),
            plant: plant.clone(),
            month0: sight.week().month0(),
            tasks: Arc::clone(&outcome.tasks),
        };
        if !self.asked.as_ref().is_some_and(|a| a.same(&key)) {
            self.asked = Some(key.clone());
            self.shown = None;
            let outcome = outcome.clone();
            self.latest.ask(ui.ctx(), Job { outcome, key });
        }
        if let Some(answer) = self.latest.take() {
            self.shown = Some(answer);
        }
        let top = ui.cursor().top();
        match &self.shown {
            None => {
                ui.label(text::soft("Being computed"));
            }
            Some(None) => {
                ui.label(text::soft("Nothing is known of the air here."));
            }
            Some(Some(answer)) => answer_ui(ui, sight, answer),
        }
        if self.come && self.shown.is_some() {
            let told = ui.min_rect().with_min_y(top - 40.0);
            ui.scroll_to_rect(told, Some(egui::Align::Min));
            self.come = false;
        }
    }
}

fn answer_ui(ui: &mut Ui, sight: &Sight<'_>, answer: &Answer) {
    let units = sight.looking.units;
    let c = |v: f64| figures::temperature(units, v);
    let k = |v: f64| figures::difference(units, v);
    let month = MONTH_NAMES.get(answer.month0).unwrap_or(&"");
    let mut now = format!("{month}: nights of {}", c(answer.night_c));
    if let (Some(wanted), Some(nights)) = (answer.wanted_c, answer.nights) {
        now.push_str(&format!(
            "; wanted at most {}, which {nights:.0} of {} nights are",
            c(wanted),
            answer.nights_of_month
        ));
    }
    ui.label(now);
    if answer.suits {
        ui.label(text::strong(SUITS));
        return;
    }
    ui.label(text::soft(format!(
        "An hour after sunset the air is {} and its wet bulb {} lower: no water cools further.",
        c(answer.evening_c),
        k(answer.wet_bulb_below_k)
    )));
    Grid::new("measures")
        .striped(true)
        .spacing(egui::vec2(space::L, 2.0))
        .show(ui, |ui| {
            for head in ["In the evening", "Air", "Leaves", "Roots", "Night's low"] {
                ui.label(text::caption(head));
            }
            ui.end_row();
            for e in &answer.effects {
                ui.label(measure_words(units.feet, e.measure));
                for fall in [e.air_most_k, e.leaf_most_k, e.root_most_k, e.air_at_low_k] {
                    ui.label(if fall < 0.05 {
                        "–".to_owned()
                    } else {
                        k(-fall)
                    });
                }
                ui.end_row();
            }
        });
    ui.label(text::caption(
        "The most that an hour of the evening falls, and what is left of it in the air at the night's lowest.",
    ));
    if !answer.elsewhere.is_empty() {
        ui.label(text::strong("Instead"));
        for other in &answer.elsewhere {
            ui.label(format!(
                "{}: {} ({})",
                other.what,
                c(other.night_c),
                change(units, other.change_k)
            ));
        }
    }
    caution_ui(ui, CAUTION);
}

fn change(units: crate::app::state::Units, kelvin: f64) -> String {
    let figure = figures::difference(units, kelvin);
    if kelvin >= 0.05 {
        format!("+{figure}")
    } else {
        figure
    }
}

/// As much as [`Wetting::default`] has it. 1 US gallon = 3.785411784 L, 1 oz = 28.349523125 g (definitions).
fn measure_words(feet: bool, measure: Measure) -> &'static str {
    match measure {
        Measure::WetFloor if feet => "43 ft² of floor, 1 gal in all",
        Measure::WetFloor => "4 m² of floor, 1 L/m²",
        Measure::WaterPot => "water and wet the pot",
        Measure::MistLeaves => "mist the leaves",
        Measure::Ice if feet => "3.5 oz of ice on the mix",
        Measure::Ice => "100 g of ice on the mix",
    }
}
