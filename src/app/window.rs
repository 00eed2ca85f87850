//! The window: top edge, one of five desks, the ribbon. Holds the document, asks for outcomes and carries out
//! what views request.

use chrono::NaiveDate;

use super::{
    actions::Action,
    parts::empty::empty_ui,
    state::{Desk, Looking, Request, Sight},
    theme::{self, space, text},
    worker::Worker,
};
use crate::{
    pipeline::Outcome,
    site::{Site, history::Document, samples::SAMPLES},
};

/// How the window opens.
#[derive(Clone, Debug)]
pub struct Start {
    /// The site file to open.
    pub path: Option<std::path::PathBuf>,
    /// First day of a plan whose site names none.
    pub today: NaiveDate,
}

pub struct App {
    document: Document,
    outcome: Option<(u64, Outcome)>,
    looking: Looking,
    today: NaiveDate,
    worker: Worker,
}

/// Opens the window and stays until it is closed.
///
/// # Errors
/// When no window can be opened, for instance without a display.
pub fn run(start: Start) -> eframe::Result {
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_app_id("sillward")
            .with_inner_size([1280.0, 800.0])
            .with_min_inner_size([800.0, 560.0]),
        ..Default::default()
    };
    eframe::run_native(
        "Sillward",
        options,
        Box::new(|cc| Ok(Box::new(App::new(cc, start)))),
    )
}

impl App {
    #[must_use]
    pub fn new(cc: &eframe::CreationContext<'_>, start: Start) -> Self {
        theme::apply(&cc.egui_ctx);
        let site = SAMPLES
            .first()
            .and_then(|s| s.read().ok())
            .map_or_else(Site::default, |r| r.site);
        Self {
            document: Document::new(site),
            outcome: None,
            looking: Looking {
                hour: 12.0,
                ..Looking::default()
            },
            today: start.today,
            worker: Worker::new(&cc.egui_ctx),
        }
    }

    fn carry_out(&mut self, ctx: &egui::Context, requests: Vec<Request>) {
        for request in requests {
            match request {
                Request::Edit(name, edit) => {
                    let _ = self.document.edit(&name, edit);
                }
                Request::Begin(name) => self.document.begin(&name),
                Request::Apply(edit) => {
                    let _ = self.document.apply(edit);
                }
                Request::End => self.document.end(),
                Request::Abandon => self.document.abandon(),
                Request::Select(objects) => self.looking.selected = objects,
                Request::ShowPlant(id) => self.looking.plant = Some(id),
                Request::ShowSpot(id) => self.looking.spot = Some(id),
                Request::GoToWeek(week) => self.looking.plan_week = week.min(51),
                Request::GoToHour(hour) => self.looking.hour = hour.rem_euclid(24.0),
                Request::OpenDesk(desk) => self.looking.desk = desk,
                Request::Undo => {
                    self.document.undo();
                }
                Request::Redo => {
                    self.document.redo();
                }
                Request::OpenSheet(_) | Request::CloseSheet | Request::Run(_) | Request::Say(_) => {
                }
            }
            ctx.request_repaint();
        }
    }
}

impl eframe::App for App {
    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        let ctx = ui.ctx().clone();
        let mut requests = Vec::new();
        if let Some(action) = Action::pressed(&ctx) {
            match action {
                Action::Undo => requests.push(Request::Undo),
                Action::Redo => requests.push(Request::Redo),
                _ => requests.extend(action.desk().map(Request::OpenDesk)),
            }
        }
        if !self.document.is_open() {
            self.worker
                .ask(self.document.revision(), self.document.site(), self.today);
        }
        if let Some(done) = self.worker.take() {
            self.outcome = Some(done);
        }
        let sight = Sight {
            document: &self.document,
            outcome: self.outcome.as_ref().map(|(_, o)| o),
            stale: self
                .outcome
                .as_ref()
                .is_some_and(|(r, _)| *r != self.document.revision()),
            looking: &self.looking,
            today: self.today,
        };
        let t = theme::tokens(ui);
        egui::Panel::top("top edge")
            .frame(egui::Frame::new().fill(t.margin).inner_margin(space::S))
            .show(ui, |ui| {
                ui.horizontal(|ui| {
                    ui.label(text::heading("Sillward"));
                    ui.add_space(space::L);
                    for desk in Desk::ALL {
                        if ui
                            .selectable_label(sight.looking.desk == desk, desk.name())
                            .on_hover_text(desk.purpose())
                            .clicked()
                        {
                            requests.push(Request::OpenDesk(desk));
                        }
                    }
                });
            });
        egui::Panel::bottom("ribbon")
            .frame(egui::Frame::new().fill(t.margin).inner_margin(space::S))
            .exact_size(150.0)
            .show(ui, |ui| {
                ui.label(text::soft("Year ribbon"));
            });
        egui::CentralPanel::default()
            .frame(egui::Frame::new().fill(t.paper))
            .show(ui, |ui| match sight.looking.desk {
                Desk::Site => empty_ui(ui, "The site", "The drawing is being prepared."),
                desk => empty_ui(ui, desk.name(), desk.purpose()),
            });
        self.carry_out(&ctx, requests);
    }
}
