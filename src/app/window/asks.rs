//! Questions that hold everything else up: unsaved work, a file to choose, faults of a file, keys.

use std::path::PathBuf;

use egui::{ScrollArea, TextEdit, Ui};

use super::{
    App,
    dropped::{self, TableAsk, TableIs},
    faults::{self, FaultList},
};
use crate::{
    app::{
        actions::Action,
        canvas::tools::Tool,
        files::{Files, Purpose, typed_path},
        parts::{
            form::{answer_ui, first_ui},
            keys, locale,
            question::question_ui,
        },
        state::Desk,
        theme::{space, text},
    },
    site::samples::SAMPLES,
};

/// What follows once nothing can be lost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Next {
    Close,
    New,
    /// Shows what can be opened.
    Choose,
    File(PathBuf),
    Sample(&'static str),
    /// Opens the first sample and shows it round.
    Tour,
}

pub struct PathAsk {
    pub purpose: Purpose,
    pub typed: String,
    /// Set when a path came from the system's dialog.
    pub go: bool,
    pub then: Option<Next>,
    focused: bool,
}

pub enum Ask {
    Unsaved(Next),
    Path(PathAsk),
    Faults(FaultList),
    Recovery,
    Keys,
    /// A table was dropped that could be weather or a logger's.
    Table(TableAsk),
}

/// What the grower answered.
enum Answer {
    Close,
    SaveThen(Next),
    DropThen(Next),
    Then(Next),
    SaveTo(PathBuf, Option<Next>),
    Browse(Purpose),
    Recover,
    ForgetCopy,
    Table(TableIs),
}

impl Ask {
    pub fn open(files: &Files) -> Self {
        let folder = files.path.as_ref().and_then(|p| p.parent());
        Self::Path(PathAsk {
            purpose: Purpose::Open,
            typed: folder.map_or_else(String::new, |f| format!("{}/", f.display())),
            go: false,
            then: None,
            focused: false,
        })
    }

    pub fn save_as(files: &Files, name: &str, then: Option<Next>) -> Self {
        let typed = files
            .path
            .as_ref()
            .map_or_else(|| file_name(name), |p| p.display().to_string());
        Self::Path(PathAsk {
            purpose: Purpose::Save,
            typed,
            go: false,
            then,
            focused: false,
        })
    }
}

fn file_name(site_name: &str) -> String {
    format!("~/{}.ron", crate::base::Id::from_name(site_name, |_| false))
}

impl App {
    pub(super) fn asks_ui(&mut self, ctx: &egui::Context) {
        let Some(ask) = &mut self.ask else {
            return;
        };
        let document = &self.document;
        let site = document.site().name.clone();
        let recent = self.settings.recent.clone();
        let modal = question_ui(ctx, "ask", 520.0, |ui| match ask {
            Ask::Unsaved(next) => unsaved_ui(ui, &site, next),
            Ask::Path(path) => match path.purpose {
                Purpose::Open => open_ui(ui, path, &recent),
                Purpose::Save => save_ui(ui, path),
            },
            Ask::Faults(list) => faults::faults_ui(ui, list).then_some(Answer::Close),
            Ask::Recovery => recovery_ui(ui),
            Ask::Keys => keys_ui(ui),
            Ask::Table(table) => dropped::table_ui(ui, table, document.site()).map(Answer::Table),
        });
        let closed = modal.should_close();
        let answer = modal.inner.or_else(|| closed.then_some(Answer::Close));
        if let Some(answer) = answer {
            self.answer(ctx, answer);
        }
    }

    fn answer(&mut self, ctx: &egui::Context, answer: Answer) {
        match answer {
            Answer::Close => self.ask = None,
            Answer::SaveThen(next) => self.save(ctx, Some(next)),
            Answer::DropThen(next) | Answer::Then(next) => self.go_on(ctx, next),
            Answer::SaveTo(path, then) => self.save_to(ctx, &path, then),
            Answer::Browse(purpose) => {
                let name = format!(
                    "{}.ron",
                    crate::base::Id::from_name(self.site_name(), |_| false)
                );
                self.files.pick(ctx, purpose, &name);
            }
            Answer::Recover => {
                self.ask = None;
                self.recover();
            }
            Answer::Table(is) => self.take_table(is),
            Answer::ForgetCopy => {
                self.files.forget_copy();
                self.ask = None;
            }
        }
    }
}

fn unsaved_ui(ui: &mut Ui, site: &str, next: &Next) -> Option<Answer> {
    ui.label(text::heading("Save the changes first?"));
    let site = if site.is_empty() { "This site" } else { site };
    ui.label(format!(
        "{site} has changes that are in no file yet. Without saving they are lost."
    ));
    ui.add_space(space::M);
    ui.horizontal(|ui| {
        if answer_ui(ui, "Save") {
            return Some(Answer::SaveThen(next.clone()));
        }
        if ui.button("Do not save").clicked() {
            return Some(Answer::DropThen(next.clone()));
        }
        ui.button("Back to the site")
            .clicked()
            .then_some(Answer::Close)
    })
    .inner
}

fn path_field_ui(ui: &mut Ui, ask: &mut PathAsk, name: &str) -> bool {
    let field = ui
        .add(
            TextEdit::singleline(&mut ask.typed)
                .hint_text("~/garden.ron")
                .desired_width(ui.available_width()),
        )
        .accessible_name(name);
    if !ask.focused {
        field.request_focus();
        ask.focused = true;
    }
    let entered = field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
    std::mem::take(&mut ask.go) || entered
}

fn open_ui(ui: &mut Ui, ask: &mut PathAsk, recent: &[PathBuf]) -> Option<Answer> {
    ui.label(text::heading("Open a site"));
    ui.add_space(space::XS);
    ui.label(text::soft("Path of a site file"));
    let mut go = path_field_ui(ui, ask, "Path of a site file");
    ui.add_space(space::XS);
    let mut answer = ui
        .horizontal(|ui| {
            go |= first_ui(ui, "Open");
            if ui
                .button("Browse…")
                .on_hover_text("Shows the system's file dialog, where there is one.")
                .clicked()
            {
                return Some(Answer::Browse(Purpose::Open));
            }
            ui.button("Cancel").clicked().then_some(Answer::Close)
        })
        .inner;
    if !recent.is_empty() {
        ui.add_space(space::M);
        ui.label(text::group("Used last"));
        for path in recent {
            let name = path.file_stem().unwrap_or_default().to_string_lossy();
            let row = ui
                .selectable_label(false, name.as_ref())
                .on_hover_text(path.display().to_string());
            if row.clicked() {
                answer = Some(Answer::Then(Next::File(path.clone())));
            }
        }
    }
    ui.add_space(space::M);
    ui.label(text::group("Invented samples"));
    for sample in SAMPLES {
        if ui.selectable_label(false, sample.title).clicked() {
            answer = Some(Answer::Then(Next::Sample(sample.id)));
        }
    }
    if go && answer.is_none() {
        answer = typed_path(&ask.typed).map(|p| Answer::Then(Next::File(p)));
    }
    answer
}

fn save_ui(ui: &mut Ui, ask: &mut PathAsk) -> Option<Answer> {
    ui.label(text::heading("Save the site"));
    ui.add_space(space::XS);
    ui.label(text::soft("Path of the site file"));
    let mut go = path_field_ui(ui, ask, "Path of the site file");
    let path = typed_path(&ask.typed);
    if path.as_ref().is_some_and(|p| p.exists()) {
        ui.label(text::soft(
            "This file is there already and will be replaced.",
        ));
    }
    ui.add_space(space::XS);
    let answer = ui
        .horizontal(|ui| {
            go |= first_ui(ui, "Save here");
            if ui
                .button("Browse…")
                .on_hover_text("Shows the system's file dialog, where there is one.")
                .clicked()
            {
                return Some(Answer::Browse(Purpose::Save));
            }
            ui.button("Cancel").clicked().then_some(Answer::Close)
        })
        .inner;
    match (go, path, answer) {
        (true, Some(path), None) => Some(Answer::SaveTo(path, ask.then.clone())),
        (_, _, answer) => answer,
    }
}

fn recovery_ui(ui: &mut Ui) -> Option<Answer> {
    ui.label(text::heading("Unsaved work was found"));
    ui.label(
        "The program ended last time before everything was saved. A copy from shortly before was kept.",
    );
    ui.add_space(space::M);
    ui.horizontal(|ui| {
        if answer_ui(ui, "Open the copy") {
            return Some(Answer::Recover);
        }
        if ui.button("Throw it away").clicked() {
            return Some(Answer::ForgetCopy);
        }
        ui.button("Decide later").clicked().then_some(Answer::Close)
    })
    .inner
}

fn keys_ui(ui: &mut Ui) -> Option<Answer> {
    ui.label(text::heading("Keys and names"));
    ui.label(text::soft(
        "Everything can be reached with the Tab key and the arrows. The ribbon at the bottom is the date of \
         everything above it; the dial beside it is the hour.",
    ));
    ui.add_space(space::S);
    let height = (ui.ctx().content_rect().height() - 270.0).clamp(90.0, 440.0);
    ScrollArea::vertical().max_height(height).show(ui, |ui| {
        ui.set_width(ui.available_width());
        egui::Grid::new("keys")
            .num_columns(2)
            .spacing([space::L, space::XS])
            .show(ui, |ui| {
                for action in Action::ALL {
                    if let Some(keys) = action.shortcut() {
                        ui.label(text::strong(ui.ctx().format_shortcut(&keys)));
                        ui.label(action.text().trim_end_matches('…'))
                            .on_hover_text(action.tip());
                        ui.end_row();
                    }
                }
                for (keys, what) in [
                    ("Left, Right", "on the ribbon: a week back or on"),
                    ("Page Up, Page Down", "on the ribbon: four weeks back or on"),
                    ("Home, End", "on the ribbon: first or last week"),
                    ("Left, Right", "on the dial: half an hour back or on"),
                    ("Arrows", "on the plan: what is selected by 0.1 m, with Shift by 1 m"),
                    ("Enter", "on the plan: what is drawn is done; with a tool in hand, one of usual size"),
                    ("Esc", "one step out: of a menu, a field, a pull, a tool, a sheet, a selection"),
                    ("Del", "on the plan and in its list: deletes what is selected"),
                    ("F2, double click", "on the plan: types the name of what is selected; opens the sheet of a pot"),
                    ("Home, End", "on the plan: all of it, or what is selected"),
                    ("Space and pull", "on the plan: pushes the paper; the middle button does too"),
                    ("Wheel", "on the plan: larger or smaller about the pointer"),
                ] {
                    ui.label(text::strong(keys));
                    ui.label(locale::said(what));
                    ui.end_row();
                }
                for (keys, what) in [
                    (keys::SELECT_ALL, "on the plan: selects all"),
                    (keys::COPY, "on the plan: copies what is selected; it can be pasted in another site too"),
                    (keys::CUT, "on the plan: cuts it out"),
                    (keys::PASTE, "on the plan: pastes"),
                    (keys::DUPLICATE, "on the plan: puts a copy beside it"),
                    (keys::LOCK, "on the plan: locks it, or takes the lock off"),
                ] {
                    ui.label(text::strong(keys::written(ui.ctx(), &keys)));
                    ui.label(what);
                    ui.end_row();
                }
                for tool in Tool::all() {
                    if let Some(key) = tool.key() {
                        ui.label(text::strong(key.name()));
                        ui.label(format!("on the plan: the tool “{}”", tool.name()));
                        ui.end_row();
                    }
                }
            });
        ui.add_space(space::M);
        for desk in Desk::ALL {
            ui.label(text::group(desk.name()));
            ui.label(text::soft(desk.purpose()));
        }
    });
    ui.add_space(space::S);
    ui.label(text::caption(
        "Typefaces: Source Sans 3 and Source Serif 4 by Adobe, SIL Open Font License 1.1. Towns: GeoNames, CC BY 4.0.",
    ));
    answer_ui(ui, "Close").then_some(Answer::Close)
}
