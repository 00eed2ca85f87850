//! Keys on the plan. Tools are taken up by their letters, what is selected is moved by the arrows; while something is
//! being drawn, figures are a typed length.

use egui::{Event, EventFilter, Key, Modifiers, Response, Ui};

use super::{Plan, Seen};
use crate::{
    app::{
        canvas::{
            change, clip, delete, shape, snap,
            tools::{
                Gesture, Tool,
                draft::{Input, Outcome},
                make, pick,
            },
        },
        parts::{escape, keys as shortcut},
        state::Request,
    },
    base::Pt,
};

/// The system hands the clipboard over within this, s.
const ANSWERED_S: f64 = 1.0;

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
                // While something is drawn, Tab goes from length to angle.
                tab: self.is_drawing(),
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
        let holds = !self.pick.is_idle() || !self.typing.is_empty() || self.tool != Tool::Pick;
        let drops = !sight.looking.selected.is_empty() && !sight.looking.covered;
        if !(holds || drops) || !escape::take(ui.ctx()) {
            return;
        }
        if !self.pick.is_idle() {
            requests.extend(self.pick.leave());
        } else if !self.typing.is_empty() {
            self.typing.clear();
        } else if self.tool != Tool::Pick {
            let outcome = self.draft.feed(self.tool.gesture(), Input::Leave);
            self.settle(outcome, sight, requests);
        } else {
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
                .collect()
        });
        let gesture = self.tool.gesture();
        let feet = sight.looking.units.feet;
        if self.takes_figures() {
            self.typing.push(&words);
            if pressed(ui, Modifiers::NONE, Key::Tab) {
                self.typing.on_angle = !self.typing.on_angle && gesture != Gesture::Disc;
            }
        }
        if pressed(ui, Modifiers::NONE, Key::Backspace) && !self.typing.pop() {
            self.draft.feed(gesture, Input::TakeBack);
        }
        let (square, free) = ui.input(|i| (i.modifiers.shift, i.modifiers.alt));
        self.aim(sight, square, free);
        if pressed(ui, Modifiers::NONE, Key::Enter) {
            if let Some(fault) = self.typing.fault(feet) {
                requests.push(Request::Say(fault));
                return;
            }
            let input = self.confirmed(feet);
            let outcome = self.draft.feed(gesture, input);
            self.typing.clear();
            self.aim(sight, square, free);
            self.settle(outcome, sight, requests);
        }
    }

    /// What Enter says, by what was typed before it.
    fn confirmed(&self, feet: bool) -> Input {
        let (last, pointer) = (self.draft.points().last(), self.draft.pointer());
        let (Some(last), Some(pointer)) = (last.copied(), pointer) else {
            return Input::Confirm;
        };
        if let Some((width, depth)) = self.typing.sides(feet) {
            let way = pointer - last;
            let to = Pt(width.copysign(way.x()), depth.copysign(way.y()));
            return Input::Opposite(last + to);
        }
        match self.typing.metres(feet) {
            Some(metres) => Input::Length(metres),
            // An angle alone: as far as the pointer is.
            None if !self.typing.is_empty() => Input::Length(last.distance(pointer)),
            None => Input::Confirm,
        }
    }

    fn idle_keys(&mut self, ui: &Ui, sight: &Seen<'_>, requests: &mut Vec<Request>) {
        let selected = &sight.looking.selected;
        self.clipboard(ui, sight, requests);
        if pressed_all(ui, &shortcut::SELECT_ALL) {
            self.select_everything(sight, requests);
        }
        if !selected.is_empty() {
            if pressed(ui, Modifiers::NONE, Key::Delete)
                || pressed(ui, Modifiers::NONE, Key::Backspace)
            {
                delete(ui, sight, requests);
            }
            if pressed_all(ui, &shortcut::DUPLICATE) {
                duplicate(sight, requests);
            }
            if pressed_all(ui, &shortcut::LOCK) {
                switch_lock(sight, requests);
            }
            for (key, way) in [
                (Key::ArrowLeft, Pt(-1.0, 0.0)),
                (Key::ArrowRight, Pt(1.0, 0.0)),
                (Key::ArrowDown, Pt(0.0, -1.0)),
                (Key::ArrowUp, Pt(0.0, 1.0)),
            ] {
                if pressed(ui, Modifiers::SHIFT, key) {
                    self.nudge(ui, sight, way, requests);
                } else if pressed(ui, Modifiers::NONE, key) {
                    self.nudge(ui, sight, way * 0.1, requests);
                }
            }
        }
        if let [item] = selected.as_slice()
            && pressed(ui, Modifiers::NONE, Key::F2)
        {
            self.open(item, requests);
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

impl Plan {
    /// Copy, cut and paste, as the system's keys or the menu ask for them.
    fn clipboard(&mut self, ui: &Ui, sight: &Seen<'_>, requests: &mut Vec<Request>) {
        let events = ui.input(|i| i.events.clone());
        for event in events {
            match event {
                Event::Copy => copy(ui, sight),
                Event::Cut => cut(ui, sight, requests),
                Event::Paste(text) => self.paste(ui, &text, sight, requests),
                _ => {}
            }
        }
    }

    /// Puts copies in where the menu was opened, or under the pointer, or in the middle of what is seen.
    fn paste(&mut self, ui: &Ui, text: &str, sight: &Seen<'_>, requests: &mut Vec<Request>) {
        let now = ui.input(|i| i.time);
        let asked = self.paste_at.take();
        // The menu's place holds for the answer to its own question only, which an empty clipboard never gives.
        let at = asked
            .filter(|(_, when)| now - when < ANSWERED_S)
            .map(|(at, _)| at)
            .or(self.pointer);
        match clip::pasted(sight.whole(), text, at.unwrap_or(self.middle())) {
            Ok(pasted) => {
                if !pasted.left_out.is_empty() {
                    requests.push(Request::Say(format!(
                        "Left out, for want of a room here: {}",
                        pasted.left_out.join(", ")
                    )));
                }
                let name = match pasted.items.len() {
                    1 => "1 object".to_owned(),
                    n => format!("{n} objects"),
                };
                requests.push(Request::Edit(format!("Paste {name}"), pasted.edit));
                requests.push(Request::Select(pasted.items));
            }
            Err(why) => requests.push(Request::Say(why)),
        }
    }

    pub(super) fn select_everything(&self, sight: &Seen<'_>, requests: &mut Vec<Request>) {
        let all: Vec<_> = shape::items(sight.site())
            .filter(|(kind, _)| self.layers.shows(*kind))
            .collect();
        requests.push(Request::Select(all));
    }
}

/// Puts what is selected on the clipboard.
pub(super) fn copy(ui: &Ui, sight: &Seen<'_>) {
    if let Some(text) = clip::copied(sight.whole(), &sight.looking.selected) {
        ui.ctx().copy_text(text);
    }
}

/// Copies what is selected and takes it away; what cannot be put in again stays.
pub(super) fn cut(ui: &Ui, sight: &Seen<'_>, requests: &mut Vec<Request>) {
    if !sight.looking.selected.iter().all(clip::is_whole) {
        requests.push(Request::Say(
            "Pots and single windows are not cut out: pull a pot to another spot, or delete them"
                .to_owned(),
        ));
        return;
    }
    copy(ui, sight);
    delete(ui, sight, requests);
}

/// Locks what is selected, or unlocks it.
pub(super) fn switch_lock(sight: &Seen<'_>, requests: &mut Vec<Request>) {
    let selected = &sight.looking.selected;
    let name = pick::describe(sight.site(), selected);
    if let Some((step, edit)) = change::lock_switched(sight.site(), selected, &name) {
        requests.push(Request::Edit(step, edit));
    }
}

/// Takes what is selected away.
pub(super) fn delete(ui: &Ui, sight: &Seen<'_>, requests: &mut Vec<Request>) {
    delete::delete(ui.ctx(), sight.whole(), &sight.looking.selected, requests);
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

fn pressed_all(ui: &Ui, keys: &egui::KeyboardShortcut) -> bool {
    ui.input_mut(|i| i.consume_shortcut(keys))
}

fn pressed(ui: &Ui, modifiers: Modifiers, key: Key) -> bool {
    ui.input_mut(|i| i.consume_key(modifiers, key))
}
