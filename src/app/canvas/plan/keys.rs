//! Keys on the plan. Tools are taken up by their letters, what is selected is moved by the arrows; while something is
//! being drawn, figures are a typed length.

use egui::{Event, EventFilter, Key, Modifiers, Response, Ui};

use super::{Plan, Seen};
use crate::{
    app::{
        canvas::{
            change, measure, snap,
            tools::{
                Tool,
                draft::{Input, Outcome},
                make, pick,
            },
        },
        state::Request,
    },
    base::Pt,
};

impl Plan {
    pub(super) fn keys(
        &mut self,
        ui: &Ui,
        response: &Response,
        sight: &Seen<'_>,
        requests: &mut Vec<Request>,
    ) {
        if response.has_focus() {
            let filter = EventFilter {
                tab: false,
                horizontal_arrows: true,
                vertical_arrows: true,
                escape: true,
            };
            ui.memory_mut(|m| m.set_focus_lock_filter(response.id, filter));
        }
        let focus = ui.memory(|m| m.focused());
        let ours = focus.is_none_or(|id| id == response.id || self.is_reader(response, sight, id));
        if ui.ctx().text_edit_focused() || egui::Popup::is_any_open(ui.ctx()) || !ours {
            return;
        }
        self.escape(ui, sight, requests);
        if self.is_drawing() {
            self.drawing_keys(ui, sight, requests);
        } else {
            self.idle_keys(ui, sight, requests);
        }
    }

    fn escape(&mut self, ui: &Ui, sight: &Seen<'_>, requests: &mut Vec<Request>) {
        if !pressed(ui, Modifiers::NONE, Key::Escape) {
            return;
        }
        if !self.pick.is_idle() {
            requests.extend(self.pick.leave());
        } else if !self.typed.is_empty() {
            self.typed.clear();
        } else if self.tool != Tool::Pick {
            let outcome = self.draft.feed(self.tool.gesture(), Input::Leave);
            self.settle(outcome, sight, requests);
        } else if !sight.looking.selected.is_empty() {
            requests.push(Request::Select(Vec::new()));
        }
    }

    fn drawing_keys(&mut self, ui: &Ui, sight: &Seen<'_>, requests: &mut Vec<Request>) {
        let words: String = ui.input(|i| {
            i.events
                .iter()
                .filter_map(|e| match e {
                    Event::Text(t) => Some(t.as_str()),
                    _ => None,
                })
                .flat_map(str::chars)
                .filter(|c| c.is_ascii_digit() || ".,'\" mcftin".contains(*c))
                .collect()
        });
        self.typed.push_str(&words);
        let gesture = self.tool.gesture();
        if pressed(ui, Modifiers::NONE, Key::Backspace) && self.typed.pop().is_none() {
            self.draft.feed(gesture, Input::TakeBack);
        }
        if pressed(ui, Modifiers::NONE, Key::Enter) {
            let outcome = if self.typed.trim().is_empty() {
                self.draft.feed(gesture, Input::Confirm)
            } else {
                match measure::typed(&self.typed, sight.looking.units.feet) {
                    Some(metres) => self.draft.feed(gesture, Input::Length(metres)),
                    None => {
                        requests.push(Request::Say(format!(
                            "\"{}\" is not a length; type a figure such as 3.2 or 10ft 6in",
                            self.typed.trim()
                        )));
                        return;
                    }
                }
            };
            self.typed.clear();
            self.settle(outcome, sight, requests);
        }
    }

    fn idle_keys(&mut self, ui: &Ui, sight: &Seen<'_>, requests: &mut Vec<Request>) {
        let selected = &sight.looking.selected;
        if !selected.is_empty() {
            if pressed(ui, Modifiers::NONE, Key::Delete)
                || pressed(ui, Modifiers::NONE, Key::Backspace)
            {
                delete(sight, requests);
            }
            if pressed(ui, Modifiers::COMMAND, Key::D) {
                duplicate(sight, requests);
            }
            for (key, way) in [
                (Key::ArrowLeft, Pt(-1.0, 0.0)),
                (Key::ArrowRight, Pt(1.0, 0.0)),
                (Key::ArrowDown, Pt(0.0, -1.0)),
                (Key::ArrowUp, Pt(0.0, 1.0)),
            ] {
                if pressed(ui, Modifiers::SHIFT, key) {
                    self.nudge(sight, way, requests);
                } else if pressed(ui, Modifiers::NONE, key) {
                    self.nudge(sight, way * 0.1, requests);
                }
            }
        }
        if self.tool != Tool::Pick && pressed(ui, Modifiers::NONE, Key::Enter) {
            self.place_in_the_middle(sight, requests);
        }
        if pressed(ui, Modifiers::NONE, Key::Home) {
            self.fit_all();
        }
        if pressed(ui, Modifiers::NONE, Key::End) && !selected.is_empty() {
            self.fit_to(selected);
        }
        for tool in Tool::all() {
            if tool
                .key()
                .is_some_and(|key| pressed(ui, Modifiers::NONE, key))
            {
                self.take(tool);
            }
        }
    }
}

impl Plan {
    /// Enter with a tool in hand: one of usual size in the middle of what is seen, to be set right by its fields.
    fn place_in_the_middle(&mut self, sight: &Seen<'_>, requests: &mut Vec<Request>) {
        let middle = snap::to_grid(self.middle());
        if self.tool == Tool::Horizon {
            self.look_out_from(middle);
            return;
        }
        if let Some(figure) = make::usual_figure(self.tool, middle) {
            self.settle(Outcome::Done(figure), sight, requests);
        }
    }
}

/// Takes what is selected away, as one step.
pub(super) fn delete(sight: &Seen<'_>, requests: &mut Vec<Request>) {
    let selected = &sight.looking.selected;
    let name = pick::describe(sight.site(), selected);
    requests.push(Request::Edit(
        format!("Delete {name}"),
        change::removed(selected),
    ));
    requests.push(Request::Select(Vec::new()));
}

/// Sets a copy of what is selected beside it.
pub(super) fn duplicate(sight: &Seen<'_>, requests: &mut Vec<Request>) {
    let selected = &sight.looking.selected;
    let (edit, copies) = change::duplicated(sight.whole(), selected, Pt(0.5, -0.5));
    if copies.is_empty() {
        return;
    }
    let name = pick::describe(sight.site(), selected);
    requests.push(Request::Edit(format!("Duplicate {name}"), edit));
    requests.push(Request::Select(copies));
}

fn pressed(ui: &Ui, modifiers: Modifiers, key: Key) -> bool {
    ui.input_mut(|i| i.consume_key(modifiers, key))
}
