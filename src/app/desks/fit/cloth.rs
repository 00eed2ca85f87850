//! The shade-cloth chooser: which cloth over a spot gives its plants the best year.

mod months;
mod readings;
mod sizes;

use std::{
    sync::Arc,
    time::{Duration, Instant},
};

use egui::{ScrollArea, Ui};

use crate::{
    app::{
        canvas::latest::Latest,
        parts::{caution::caution_ui, empty::empty_ui, tabs::tab_ui},
        state::{Request, Sight},
        theme::{space, text},
    },
    base::{Id, Progress},
    cloth::{self, CannotChoose, ClothInputs, Counted, PlantAsk, Report},
    pipeline::Outcome,
    scoring::Scores,
};

/// After this long without an answer the desk shows how far the work is.
const PATIENCE: Duration = Duration::from_millis(150);

/// For which plants a cloth is sought.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Whose {
    /// The plant everything is shown for.
    #[default]
    Shown,
    /// All that stand there or are planned.
    All,
}

/// What was asked: new scores mean that something changed that may matter here.
#[derive(Clone)]
struct Key {
    scores: Arc<Scores>,
    spot: Id,
    asks: Vec<PlantAsk>,
}

impl Key {
    fn same(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.scores, &other.scores)
            && self.spot == other.spot
            && self.asks == other.asks
    }
}

struct Job {
    outcome: Outcome,
    spot: Id,
    asks: Vec<PlantAsk>,
}

type Answer = Result<Report, CannotChoose>;

pub struct Chooser {
    whose: Whose,
    counted: Counted,
    latest: Latest<Job, Answer>,
    asked: Option<(Key, Instant)>,
    answer: Option<Answer>,
    /// The trial that is looked at, if not the chosen one.
    looked_at: Option<usize>,
    readings: readings::Form,
}

impl Default for Chooser {
    fn default() -> Self {
        Self {
            whose: Whose::default(),
            counted: Counted::default(),
            latest: Latest::new("shade cloth", work),
            asked: None,
            answer: None,
            looked_at: None,
            readings: readings::Form::default(),
        }
    }
}

fn work(job: Job, progress: &Progress) -> Option<Answer> {
    let outcome = &job.outcome;
    let inputs = ClothInputs {
        site: &outcome.site,
        sun: &outcome.sun,
        weather: &outcome.weather,
        sky: &outcome.sky,
    };
    match cloth::choose(&inputs, &job.spot, &job.asks, progress) {
        Err(CannotChoose::Cancelled(_)) => None,
        answer => Some(answer),
    }
}

impl Chooser {
    pub fn show_ui(
        &mut self,
        ui: &mut Ui,
        sight: &Sight<'_>,
        spot: Option<&Id>,
        requests: &mut Vec<Request>,
    ) {
        let (Some(outcome), Some(spot)) = (sight.outcome, spot) else {
            return;
        };
        self.choices_ui(ui, sight);
        // The outcome may be of a site that had no such spot yet.
        if outcome.site.spots.contains(spot) {
            self.ask(ui.ctx(), sight, outcome, spot);
        }
        ScrollArea::vertical()
            .id_salt("cloth")
            .auto_shrink([false, true])
            .show(ui, |ui| {
                ui.set_width(ui.available_width() - space::M);
                match self.answer.take() {
                    None => self.waiting_ui(ui),
                    Some(Err(refused)) => {
                        empty_ui(ui, "No cloth to compare", &format!("{refused}."));
                        self.answer = Some(Err(refused));
                    }
                    Some(Ok(report)) => {
                        self.report_ui(ui, sight, &report, requests);
                        self.answer = Some(Ok(report));
                    }
                }
                ui.add_space(space::L);
                ui.separator();
                self.readings.show_ui(ui, sight);
                ui.add_space(space::L);
            });
    }

    fn choices_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>) {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 0.0;
            let plant = sight.plant().map(|(id, _)| sight.plant_name(id));
            let shown = format!("For {}", plant.unwrap_or_else(|| "no plant".to_owned()));
            for (whose, word) in [
                (Whose::Shown, shown.as_str()),
                (Whose::All, "For all plants there"),
            ] {
                if tab_ui(ui, self.whose == whose, word, text::BODY).clicked() {
                    self.whose = whose;
                }
            }
            ui.add_space(space::L);
            for (counted, word) in [
                (Counted::Year, "The whole year counts"),
                (Counted::WhilePlanned, "Only weeks planned there"),
            ] {
                if tab_ui(ui, self.counted == counted, word, text::BODY).clicked() {
                    self.counted = counted;
                }
            }
        });
    }

    fn ask(&mut self, ctx: &egui::Context, sight: &Sight<'_>, outcome: &Outcome, spot: &Id) {
        let plan = outcome.plan.as_deref().ok();
        let plants = match self.whose {
            Whose::Shown => sight
                .plant()
                .map(|(id, _)| id.clone())
                .into_iter()
                .collect(),
            Whose::All => cloth::plants_at(&outcome.site, plan, spot),
        };
        let key = Key {
            scores: Arc::clone(&outcome.scores),
            spot: spot.clone(),
            asks: cloth::ask(&outcome.site, plan, spot, &plants, self.counted),
        };
        if !self
            .asked
            .as_ref()
            .is_some_and(|(asked, _)| asked.same(&key))
        {
            let job = Job {
                outcome: outcome.clone(),
                spot: key.spot.clone(),
                asks: key.asks.clone(),
            };
            self.latest.ask(ctx, job);
            self.asked = Some((key, Instant::now()));
            self.answer = None;
            self.looked_at = None;
        }
        if let Some(answer) = self.latest.take() {
            self.answer = Some(answer);
        }
    }

    fn waiting_ui(&self, ui: &mut Ui) {
        let Some((_, since)) = &self.asked else {
            return;
        };
        let waited = since.elapsed();
        if waited < PATIENCE {
            ui.ctx().request_repaint_after(PATIENCE - waited);
            return;
        }
        ui.ctx().request_repaint_after(Duration::from_millis(100));
        let (what, share) = self.latest.told().unwrap_or_default();
        ui.add_space(space::XL);
        ui.vertical_centered(|ui| {
            ui.label(text::soft(format!("{what}…")));
            ui.add(
                egui::ProgressBar::new(share)
                    .desired_width(space::READING / 2.0)
                    .desired_height(6.0),
            );
        });
    }

    fn report_ui(
        &mut self,
        ui: &mut Ui,
        sight: &Sight<'_>,
        report: &Report,
        requests: &mut Vec<Request>,
    ) {
        ui.add_space(space::S);
        ui.horizontal_top(|ui| {
            ui.allocate_ui(
                egui::vec2((ui.available_width() - 240.0).max(240.0), 0.0),
                |ui| {
                    ui.set_min_width(ui.available_width());
                    ui.add(egui::Label::new(&report.sentence).wrap());
                },
            );
            let trial = self.looked_at.unwrap_or(report.chosen);
            let hang = report.hang(sight.site(), trial);
            let word = match (&hang, report.trials.get(trial)) {
                (Some(_), Some(t)) => format!("Hang the {:.0} % cloth", t.shade_pct),
                _ => "Hang no cloth".to_owned(),
            };
            let button = ui
                .add_enabled(hang.is_some(), egui::Button::new(word))
                .on_hover_text(
                    "Puts this cloth into the drawing, in place of one that hangs there. Can be undone.",
                )
                .on_disabled_hover_text("There is no cloth in this trial to be hung");
            if let Some((name, edit)) = hang.filter(|_| button.clicked()) {
                requests.push(Request::Edit(name, edit));
            }
        });
        ui.add_space(space::S);
        sizes::sizes_ui(ui, sight, report, &mut self.looked_at);
        let trial = self.looked_at.unwrap_or(report.chosen);
        for (k, plant) in report.plants.iter().enumerate() {
            ui.add_space(space::M);
            ui.push_id(plant.as_str(), |ui| {
                months::months_ui(ui, sight, report, k, trial);
            });
        }
        ui.add_space(space::M);
        for note in &report.notes {
            ui.add(egui::Label::new(text::soft(note)).wrap());
        }
        ui.add_space(space::XS);
        caution_ui(ui, &report.wind_words());
    }
}
