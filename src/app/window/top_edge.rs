//! The top edge: whose site, which desk, what is under way, the menu.

use egui::{Align, Layout, RichText, Ui};

use super::{
    App,
    asks::{Ask, Next},
    faults::FaultList,
};
use crate::{
    app::{
        actions::Action,
        parts::{
            icons::{Icon, tipped_icon_button_ui},
            keys, locale, menus,
            tabs::tab_ui,
        },
        state::{Desk, Request, Sheet},
        theme::{self, space, text},
    },
    site::samples::SAMPLES,
};

/// Least room that words beside the menu are written in, points.
const LEAST_WORDS: f32 = 60.0;

/// Actions of the menu, in groups.
const MENU: &[(&str, &[Action])] = &[
    (
        "Site file",
        &[Action::NewSite, Action::Open, Action::Save, Action::SaveAs],
    ),
    (
        "What is known",
        &[Action::Plants, Action::Climate, Action::PlanChoices],
    ),
    (
        "Window",
        &[
            Action::Preferences,
            Action::FindCommand,
            Action::FirstSteps,
            Action::Tour,
            Action::Keys,
            Action::Quit,
        ],
    ),
];

impl App {
    pub(super) fn top_edge_ui(&mut self, ui: &mut Ui, requests: &mut Vec<Request>) {
        ui.horizontal(|ui| {
            ui.set_min_height(44.0);
            ui.label(text::heading("Sillward"));
            ui.add_space(space::M);
            // Two words on a small window: the tabs come before the site's name.
            ui.spacing_mut().item_spacing.x = if ui.available_width() < 700.0 {
                0.0
            } else {
                space::S
            };
            for desk in Desk::ALL {
                let action = Action::opening(desk);
                let tip = action.tip_with_keys(ui.ctx());
                if tab_ui(ui, self.looking.desk == desk, desk.name(), 17.0)
                    .on_hover_text(tip)
                    .clicked()
                {
                    requests.push(Request::OpenDesk(desk));
                }
            }
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                self.menu_ui(ui, requests);
                let undo = self.document.undo_name().map(str::to_owned);
                let redo = self.document.redo_name().map(str::to_owned);
                for (icon, verb, name, action) in [
                    (
                        Icon::Search,
                        "Find a command",
                        Some(String::new()),
                        Action::FindCommand,
                    ),
                    (Icon::Redo, "Redo", redo, Action::Redo),
                    (Icon::Undo, "Undo", undo, Action::Undo),
                ] {
                    let enabled = name.is_some();
                    let what = name.filter(|n| !n.is_empty());
                    let label = match what {
                        Some(what) => format!("{verb}: {what}"),
                        None => verb.to_owned(),
                    };
                    let keys = action.shortcut().map(|k| keys::written(ui.ctx(), &k));
                    let tip = match (enabled, action) {
                        (true, _) => format!("{label}  {}", keys.unwrap_or_default()),
                        (false, Action::Redo) => "Nothing was taken back".to_owned(),
                        (false, _) => "Nothing to take back".to_owned(),
                    };
                    if tipped_icon_button_ui(ui, icon, &label, &tip, enabled).clicked() {
                        requests.push(Request::Run(action));
                    }
                }
                ui.add_space(space::S);
                self.guessed_ui(ui, requests);
                self.status_ui(ui);
            });
        });
    }

    /// A mark as long as all figures rest on a guess of the climate.
    fn guessed_ui(&self, ui: &mut Ui, requests: &mut Vec<Request>) {
        let words = self.document.site().climate.guessed_words();
        if words.is_empty() || self.document.site().spots.is_empty() {
            return;
        }
        let t = theme::tokens(ui);
        if ui
            .button(RichText::new("Climate guessed").color(t.caution))
            .on_hover_text(locale::said(words))
            .clicked()
        {
            requests.push(Request::OpenSheet(Sheet::Climate));
        }
    }

    /// Whose site it is, or what is being worked out.
    fn status_ui(&mut self, ui: &mut Ui) {
        let t = theme::tokens(ui);
        let wrong = self.wrong.1.len();
        if wrong > 0 {
            let words = match wrong {
                1 => "1 thing to mend".to_owned(),
                n => format!("{n} things to mend"),
            };
            if ui
                .button(RichText::new(words).color(t.fault))
                .on_hover_text("Until then nothing is computed anew.")
                .clicked()
            {
                self.ask = Some(Ask::Faults(FaultList {
                    file: self.files.name(),
                    opened: true,
                    lines: self.wrong.1.clone(),
                    other: String::new(),
                }));
            }
            return;
        }
        if let Some((what, share)) = self.worker.progress(ui.ctx()) {
            let what = if what.is_empty() {
                "Working it out".to_owned()
            } else {
                what
            };
            // On a small window the tabs leave it less room, or none for words.
            let room = ui.available_width() - space::S;
            ui.add(
                egui::ProgressBar::new(share)
                    .desired_width(room.clamp(8.0, 90.0))
                    .desired_height(6.0)
                    .fill(t.accent),
            )
            .on_hover_text(&what)
            .accessible_name("Progress");
            if ui.available_width() > LEAST_WORDS {
                ui.add(egui::Label::new(text::caption(what)).truncate());
            }
            if self.outcome.is_some() && ui.available_width() > 2.0 * LEAST_WORDS {
                ui.add(
                    egui::Label::new(text::caption("Figures from before the change.")).truncate(),
                );
            }
            return;
        }
        let changed = self.is_changed();
        let name = match self.site_name() {
            "" => "Site without a name",
            name => name,
        };
        let file = self.files.name();
        let mark = if changed { "changed" } else { "saved" };
        let mark = if self.files.path.is_none() && !changed {
            "not changed"
        } else {
            mark
        };
        if changed {
            ui.label(text::caption("unsaved"));
        }
        if ui.available_width() > LEAST_WORDS {
            ui.add(egui::Label::new(RichText::new(name).color(t.ink_soft)).truncate())
                .on_hover_text(format!("{name}: {file}, {mark}"));
        }
    }

    fn menu_ui(&mut self, ui: &mut Ui, requests: &mut Vec<Request>) {
        let mut next = None;
        ui.menu_button("Menu", |ui| {
            menus::rolled_ui(ui, |ui| {
                ui.set_min_width(260.0);
                for (group, actions) in MENU {
                    ui.label(text::caption(*group));
                    for action in *actions {
                        let keys = action
                            .shortcut()
                            .map_or_else(String::new, |k| ui.ctx().format_shortcut(&k));
                        let button = egui::Button::new(action.text()).shortcut_text(keys);
                        if ui.add(button).on_hover_text(action.tip()).clicked() {
                            requests.push(Request::Run(*action));
                            ui.close();
                        }
                    }
                    if *group == "Site file" {
                        if !self.settings.recent.is_empty() {
                            ui.menu_button("Used last", |ui| {
                                menus::rolled_ui(ui, |ui| {
                                    for path in &self.settings.recent {
                                        let name =
                                            path.file_stem().unwrap_or_default().to_string_lossy();
                                        if ui
                                            .button(name.as_ref())
                                            .on_hover_text(path.display().to_string())
                                            .clicked()
                                        {
                                            next = Some(Next::File(path.clone()));
                                            ui.close();
                                        }
                                    }
                                })
                            });
                        }
                        ui.menu_button("Invented samples", |ui| {
                            menus::rolled_ui(ui, |ui| {
                                for s in SAMPLES {
                                    if ui.button(s.title).clicked() {
                                        next = Some(Next::Sample(s.id));
                                        ui.close();
                                    }
                                }
                            })
                        });
                    }
                    ui.separator();
                }
            })
        });
        if let Some(next) = next {
            let ctx = ui.ctx().clone();
            self.ask_before(&ctx, next);
        }
    }
}
