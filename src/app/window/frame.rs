//! One frame: keys and answers first, then the views, then what they requested.

use egui::{Area, CentralPanel, Frame, Id, Margin, Order, Panel, Sense, Stroke};

use super::{
    App, SETTINGS,
    asks::{Ask, Next},
    dropped, faults, sight,
    tour::Parts,
};
use crate::app::{
    actions::Action,
    files::{Picked, Purpose},
    parts::{escape, locale},
    sheets,
    state::{Request, Sheet},
    theme::{self, space},
};

/// Width from which a sheet stands beside the desk, points. Below it the sheet lies over the desk, which keeps its
/// width: half a desk beside half a sheet would serve neither.
const LEAST_BESIDE: f32 = 1100.0;
/// A hand that pulls something and rests this long wants to see what it would bring, s.
const PAUSE_S: f64 = 0.12;

/// How long menus and folds take to open, s.
const SLIDE_S: f32 = 0.15;

impl eframe::App for App {
    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        let ctx = ui.ctx().clone();
        locale::set(self.settings.locale(self.system));
        self.listen(&ctx);
        let mut requests = Vec::new();
        if self.ask.is_none()
            && self.command_list.is_none()
            && let Some(action) = Action::pressed(&ctx)
        {
            // At once, so that the views of this frame already see it.
            self.act(&ctx, action);
            self.drop_what_is_gone();
        }
        let t = theme::tokens(ui);
        let margin = |m: Margin| Frame::new().fill(t.margin).inner_margin(m);

        let top = Panel::top("top edge")
            .frame(margin(Margin::symmetric(16, 4)))
            .show_separator_line(false)
            .show(ui, |ui| self.top_edge_ui(ui, &mut requests));
        let halted = !self.wrong.1.is_empty();
        let edge = Panel::bottom("ribbon")
            .frame(margin(Margin::symmetric(16, 10)))
            .exact_size(self.ribbon.height(ui.ctx().content_rect().height()))
            .resizable(false)
            .show_separator_line(false)
            .show(ui, |ui| {
                let sight = sight(
                    &self.document,
                    &self.outcome,
                    &self.looking,
                    self.today,
                    halted,
                    self.files.folder(),
                );
                self.ribbon
                    .show_ui(ui, &sight, self.settings.still, &mut requests);
            });
        let sight = sight(
            &self.document,
            &self.outcome,
            &self.looking,
            self.today,
            halted,
            self.files.folder(),
        );
        let room = ui.available_rect_before_wrap();
        let covers = room.width() < LEAST_BESIDE;
        let dress = Frame::new()
            .fill(t.sheet)
            .stroke(Stroke::new(1.0, t.line))
            .inner_margin(Margin::same(space::L as i8));
        if let Some(sheet) = self.sheet.as_ref().filter(|_| !covers) {
            Panel::right("side sheet")
                .frame(dress)
                .exact_size(sheets::width(sheet))
                .resizable(false)
                .show(ui, |ui| {
                    self.sheets
                        .show_ui(ui, sheet, &sight, &mut self.settings, &mut requests);
                });
        }
        let desk = CentralPanel::default()
            .frame(Frame::new().fill(t.paper))
            .show(ui, |ui| self.desks.show_ui(ui, &sight, &mut requests));
        if let Some(sheet) = self.sheet.as_ref().filter(|_| covers) {
            let place = sheets::covering(sheet, room);
            Area::new(Id::unique("covering sheet"))
                .order(Order::Middle)
                .fixed_pos(place.min)
                .constrain(false)
                .sense(Sense::click_and_drag())
                .show(&ctx, |ui| {
                    dress.show(ui, |ui| {
                        let inside = place.size() - dress.total_margin().sum();
                        ui.set_min_size(inside);
                        ui.set_max_size(inside);
                        self.sheets
                            .show_ui(ui, sheet, &sight, &mut self.settings, &mut requests);
                    });
                });
        }
        let parts = Parts {
            top: top.response.rect,
            desk: desk.response.rect,
            ribbon: edge.response.rect,
        };
        self.tour_ui(ui, &parts, &mut requests);
        if self.looking.covered && escape::take(&ctx) {
            self.uncover(&mut requests);
        }
        self.says.show(ui, edge.response.rect.top());
        self.asks_ui(&ctx);
        self.command_list_ui(&ctx, &mut requests);
        self.focus.ring_paint(ui);
        dropped::hover_paint(ui);
        self.carry_out(&ctx, requests);
        self.tidy(&ctx);
        escape::follow(&ctx);
    }

    fn save(&mut self, storage: &mut dyn eframe::Storage) {
        eframe::set_value(storage, SETTINGS, &self.settings);
    }

    fn clear_color(&self, visuals: &egui::Visuals) -> [f32; 4] {
        visuals.panel_fill.to_normalized_gamma_f32()
    }
}

impl App {
    /// Answers that came since the last frame: results, file dialogs, dropped files, the wish to close.
    fn listen(&mut self, ctx: &egui::Context) {
        if let Some((tag, outcome)) = self.worker.take() {
            // Results of a document that is no longer open are of no use.
            if tag.0 == self.opened {
                self.outcome = Some((tag.1, outcome));
            }
        }
        let tag = (self.opened, self.document.revision());
        if self.is_at_rest(ctx, tag) {
            if self.wrong.0 != tag {
                self.wrong = (tag, faults::halting(self.document.site()));
            }
            if self.wrong.1.is_empty() {
                self.worker.ask(tag, self.document.site(), self.today);
            }
        }
        while let Some((purpose, picked)) = self.files.picked() {
            self.take_picked(purpose, picked);
        }
        let dropped = ctx.input(|i| i.raw.dropped_files.first().map(|f| f.path().to_owned()));
        // An open question is answered first.
        if self.ask.is_none()
            && let Some(path) = dropped
        {
            self.take_dropped(ctx, &path);
        }
        if ctx.input(|i| i.viewport().close_requested()) && !self.closing {
            if self.is_changed() {
                ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
                self.ask_before(ctx, Next::Close);
            } else {
                self.files.forget_copy();
            }
        }
    }

    /// Esc closes the sheet, or else the card of the tour.
    fn uncover(&mut self, requests: &mut Vec<Request>) {
        if self.sheet.is_some() {
            requests.push(Request::CloseSheet);
        } else {
            self.leave_tour();
        }
    }

    /// Whether the document is worth computing: while something is being pulled, once the hand pauses. Computing every
    /// place on the way would be thrown away each time, and would take the processor from the hand.
    fn is_at_rest(&mut self, ctx: &egui::Context, tag: (u64, u64)) -> bool {
        let now = ctx.input(|i| i.time);
        if self.moved.0 != tag {
            self.moved = (tag, now);
        }
        if !self.document.is_open() {
            return true;
        }
        let pause = PAUSE_S - (now - self.moved.1);
        if pause > 0.0 {
            ctx.request_repaint_after(std::time::Duration::from_secs_f64(pause));
        }
        pause <= 0.0
    }

    fn take_picked(&mut self, purpose: Purpose, picked: Picked) {
        match picked {
            Picked::Path(path) => {
                if let Some(Ask::Path(ask)) = &mut self.ask {
                    ask.typed = path.display().to_string();
                    ask.go = true;
                }
            }
            Picked::Nothing => {}
            Picked::NoDialog => {
                let verb = if purpose == Purpose::Open {
                    "opened"
                } else {
                    "written"
                };
                self.says.note(format!(
                    "This system shows no file dialog. Type the path of the file to be {verb}."
                ));
            }
        }
    }

    /// What the window keeps in step with the document and the settings.
    fn tidy(&mut self, ctx: &egui::Context) {
        self.looking.units = self.settings.units;
        if self.sheet.is_none() {
            self.sheets.left();
        }
        self.looking.led = self.sheet == Some(Sheet::FirstSteps);
        self.looking.covered = self.sheet.is_some() || self.shows_card();
        self.settings.desk = self.looking.desk;
        // Nothing slides or fades for whoever wants stillness.
        let slide_s = if self.settings.still { 0.0 } else { SLIDE_S };
        if (ctx.global_style().animation_time - slide_s).abs() > 1e-3 {
            ctx.all_styles_mut(|style| style.animation_time = slide_s);
        }
        let scale = self.settings.scale.clamp(1.0, 2.0);
        if (ctx.zoom_factor() - scale).abs() > 1e-3 {
            ctx.set_zoom_factor(scale);
        }
        let changed = self.is_changed();
        let name = match self.site_name() {
            "" => "Site without a name",
            name => name,
        };
        let title = format!("{}{name} · Sillward", if changed { "* " } else { "" });
        if title != self.titled {
            ctx.send_viewport_cmd(egui::ViewportCommand::Title(title.clone()));
            self.titled = title;
        }
        if let Err(e) =
            self.files
                .guard(ctx, self.document.site(), self.document.revision(), changed)
        {
            self.says.fault(format!(
                "The copy against a crash could not be written: {e}"
            ));
        }
    }
}
