//! All commands by name, found by typing a part of it.

use egui::{Key, ScrollArea, TextEdit};

use super::{App, asks::Next};
use crate::{
    app::{
        actions::Action,
        canvas::{shape, tools::Tool},
        parts::question::question_ui,
        state::{Desk, Request, Sheet},
        theme::{space, text},
    },
    site::samples::SAMPLES,
};

#[derive(Default)]
pub struct CommandList {
    typed: String,
    chosen: usize,
    focused: bool,
}

struct Row {
    name: String,
    tip: String,
    keys: String,
    does: Does,
}

enum Does {
    Requests(Vec<Request>),
    /// Takes a tool of the plan in hand.
    Tool(Tool),
    Open(Next),
}

impl Does {
    fn request(request: Request) -> Self {
        Self::Requests(vec![request])
    }
}

impl App {
    pub(super) fn command_list_ui(&mut self, ctx: &egui::Context, requests: &mut Vec<Request>) {
        let Some(mut list) = self.command_list.take() else {
            return;
        };
        let rows = self.rows(ctx, &list.typed);
        list.chosen = list.chosen.min(rows.len().saturating_sub(1));
        let mut picked = None;
        let modal = question_ui(ctx, "command list", 480.0, |ui| {
            let down = ui.input_mut(|i| {
                i32::from(i.consume_key(egui::Modifiers::NONE, Key::ArrowDown))
                    - i32::from(i.consume_key(egui::Modifiers::NONE, Key::ArrowUp))
            });
            let moved = list.chosen as i32 + down;
            list.chosen = moved.clamp(0, rows.len().saturating_sub(1) as i32) as usize;
            let field = ui
                .add(
                    TextEdit::singleline(&mut list.typed)
                        .hint_text("What do you want to do?")
                        .desired_width(ui.available_width()),
                )
                .accessible_name("Find a command");
            if !list.focused {
                field.request_focus();
                list.focused = true;
            }
            if field.changed() {
                list.chosen = 0;
            }
            if ui.input(|i| i.key_pressed(Key::Enter)) {
                picked = Some(list.chosen);
            }
            ui.add_space(space::XS);
            // Of one height however many rows there are: a list that jumps about is hard to aim at.
            let height = (ui.ctx().content_rect().height() - 160.0).clamp(90.0, 360.0);
            let list_area = ScrollArea::vertical()
                .auto_shrink(false)
                .max_height(height)
                .min_scrolled_height(height);
            list_area.show(ui, |ui| {
                ui.set_width(ui.available_width() - space::M);
                if rows.is_empty() {
                    ui.label(text::soft("No command has this in its name."));
                }
                for (i, row) in rows.iter().enumerate() {
                    let button = egui::Button::selectable(i == list.chosen, row.name.as_str())
                        .right_text(text::caption(&row.keys))
                        .min_size(egui::vec2(ui.available_width(), 28.0));
                    let response = ui.add(button).on_hover_text(&row.tip);
                    if down != 0 && i == list.chosen {
                        response.scroll_to_me(None);
                    }
                    if response.clicked() {
                        picked = Some(i);
                    }
                }
            });
        });
        if let Some(row) = picked.and_then(|i| rows.into_iter().nth(i)) {
            match row.does {
                Does::Requests(all) => requests.extend(all),
                Does::Tool(tool) => {
                    requests.push(Request::OpenDesk(Desk::Site));
                    requests.push(Request::SeeFromSide(false));
                    self.desks.site.take(tool);
                }
                Does::Open(next) => self.ask_before(ctx, next),
            }
        } else if picked.is_none() && !modal.should_close() {
            self.command_list = Some(list);
        }
    }

    /// Commands, tools, files, plants, spots and what is drawn whose names hold every typed word.
    fn rows(&self, ctx: &egui::Context, typed: &str) -> Vec<Row> {
        let words: Vec<String> = typed.split_whitespace().map(str::to_lowercase).collect();
        let site = self.document.site();
        let actions = Action::ALL
            .iter()
            .filter(|a| **a != Action::FindCommand)
            .map(|a| Row {
                name: a.text().to_owned(),
                tip: a.tip().to_owned(),
                keys: a
                    .shortcut()
                    .map_or_else(String::new, |k| ctx.format_shortcut(&k)),
                does: Does::request(Request::Run(*a)),
            });
        let samples = SAMPLES.iter().map(|s| Row {
            name: format!("Open the sample {}", s.title),
            tip: "An invented site that comes with the program.".to_owned(),
            keys: String::new(),
            does: Does::Open(Next::Sample(s.id)),
        });
        let recent = self.settings.recent.iter().map(|path| Row {
            name: format!(
                "Open {}",
                path.file_stem().unwrap_or_default().to_string_lossy()
            ),
            tip: path.display().to_string(),
            keys: String::new(),
            does: Does::Open(Next::File(path.clone())),
        });
        let tools = Tool::all().map(|tool| Row {
            name: format!("Tool “{}”", tool.name()),
            tip: tool.help().to_owned(),
            keys: tool.key().map_or_else(String::new, |k| k.name().to_owned()),
            does: Does::Tool(tool),
        });
        let drawn = shape::items(site).map(|(kind, id)| {
            let name = site.name_of(kind, &id);
            Row {
                name: format!("Find {name} on the plan"),
                tip: format!("Selects this {}.", kind.word()),
                keys: String::new(),
                does: Does::Requests(vec![
                    Request::OpenDesk(Desk::Site),
                    Request::Select(vec![(kind, id)]),
                ]),
            }
        });
        let plants = site.plants.iter().flat_map(|(id, plant)| {
            [
                Row {
                    name: format!("Show {}", plant.name),
                    tip: "Shows this plant on the ribbon and every desk.".to_owned(),
                    keys: String::new(),
                    does: Does::request(Request::ShowPlant(id.clone())),
                },
                Row {
                    name: format!("Edit {}", plant.name),
                    tip: "Opens the plant's sheet.".to_owned(),
                    keys: String::new(),
                    does: Does::request(Request::OpenSheet(Sheet::Plant(id.clone()))),
                },
            ]
        });
        let spots = site.spots.iter().map(|(id, spot)| Row {
            name: format!("Readings of {}", spot.name),
            tip: "Light, thermometer and humidity readings of the spot.".to_owned(),
            keys: String::new(),
            does: Does::request(Request::OpenSheet(Sheet::Readings(id.clone()))),
        });
        actions
            .chain(tools)
            .chain(samples)
            .chain(recent)
            .chain(plants)
            .chain(spots)
            .chain(drawn)
            .filter(|row| {
                let name = row.name.to_lowercase();
                words.iter().all(|w| name.contains(w))
            })
            .collect()
    }
}
