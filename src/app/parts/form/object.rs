//! Fields with name, unit, range and help. A form changes a copy of an object; what happened becomes one step to undo
//! for each field that was changed, however long it was pulled.

mod common;

use std::ops::RangeInclusive;

use egui::{ComboBox, DragValue, Response, TextEdit, Ui, vec2};

use super::{named_row_ui, quantity::Quantity, sized_quantity_ui};
use crate::{
    app::{
        parts::{escape, figures},
        state::{Request, Units},
        theme::{space, text},
    },
    site::edit::Edit,
};

/// Width of figures, so that they stand in a column.
const FIGURES: f32 = 66.0;
/// Width of the names on the left.
const NAMES: f32 = 124.0;

/// What the fields of one frame did.
#[derive(Default)]
pub struct ObjectForm {
    pub units: Units,
    begun: Option<String>,
    changed: Option<String>,
    ended: bool,
    /// The pull was left by Esc.
    left: bool,
}

impl ObjectForm {
    #[must_use]
    pub fn new(units: Units) -> Self {
        Self {
            units,
            ..Self::default()
        }
    }

    /// Whether any field was changed in this frame.
    #[must_use]
    pub fn has_changed(&self) -> bool {
        self.changed.is_some()
    }

    /// Turns what happened into requests. `open`: a field is being pulled since an earlier frame.
    pub fn settle(
        self,
        open: &mut bool,
        of: &str,
        edit: impl FnOnce() -> Edit,
        requests: &mut Vec<Request>,
    ) {
        if let Some(field) = &self.begun {
            requests.push(Request::Begin(step(field, of)));
            *open = true;
        }
        if let Some(field) = &self.changed {
            requests.push(if *open {
                Request::Apply(edit())
            } else {
                Request::Edit(step(field, of), edit())
            });
        }
        if self.ended && *open {
            requests.push(if self.left {
                Request::Abandon
            } else {
                Request::End
            });
            *open = false;
        }
    }

    fn note(&mut self, field: &str, response: &Response) {
        if response.drag_started() {
            self.begun = Some(field.to_owned());
        }
        if response.changed() {
            self.changed = Some(field.to_owned());
        }
        if response.drag_stopped() {
            self.ended = true;
            self.left = escape::pressed(&response.ctx);
        }
    }

    /// Takes back that a field was changed: what was typed was no good.
    pub fn forget(&mut self) {
        self.changed = None;
    }

    /// Says that a field was changed by other means.
    pub fn mark(&mut self, field: &str) {
        self.changed = Some(field.to_owned());
    }

    /// A row: the field's name, then the field.
    pub fn row<R>(
        &mut self,
        ui: &mut Ui,
        name: &str,
        help: &str,
        field: impl FnOnce(&mut Self, &mut Ui) -> R,
    ) -> R {
        named_row_ui(ui, (name, NAMES), help, |ui| field(self, ui))
    }

    pub fn section(&self, ui: &mut Ui, name: &str) {
        ui.add_space(space::M);
        ui.label(text::group(name));
    }

    /// A number; `range` is in the document's unit.
    pub fn number(
        &mut self,
        ui: &mut Ui,
        name: &str,
        help: &str,
        quantity: Quantity,
        range: RangeInclusive<f64>,
        value: &mut f64,
    ) {
        self.row(ui, name, help, |form, ui| {
            form.bare_number(ui, name, help, quantity, range, value);
        });
    }

    /// A number without its name before it.
    pub fn bare_number(
        &mut self,
        ui: &mut Ui,
        name: &str,
        help: &str,
        quantity: Quantity,
        range: RangeInclusive<f64>,
        value: &mut f64,
    ) {
        let u = self.units;
        let least = vec2(FIGURES, 26.0);
        let ends = [*range.start(), *range.end()]
            .map(|v| figures::trimmed(quantity.shown(v, u), quantity.decimals(u)));
        let response = sized_quantity_ui(ui, u, name, quantity, range, value, least);
        self.note(name, &response);
        let words = format!(
            "{help}\n{} to {}{}. Pull sideways, or click and type.",
            ends[0],
            ends[1],
            quantity.unit(u)
        );
        response.on_hover_text(words.trim_start().to_owned());
    }

    pub fn count(
        &mut self,
        ui: &mut Ui,
        name: &str,
        help: &str,
        range: RangeInclusive<u32>,
        value: &mut u32,
    ) {
        self.row(ui, name, help, |form, ui| {
            let response = ui
                .add(
                    DragValue::new(value)
                        .range(range)
                        .speed(0.05)
                        .update_while_editing(false),
                )
                .accessible_name(name);
            form.note(name, &response);
            if !help.is_empty() {
                response.on_hover_text(help);
            }
        });
    }

    /// A number that may be missing; `usual` is what it begins with.
    #[expect(
        clippy::too_many_arguments,
        reason = "a field is described by just these"
    )]
    pub fn optional(
        &mut self,
        ui: &mut Ui,
        name: &str,
        help: &str,
        quantity: Quantity,
        range: RangeInclusive<f64>,
        usual: f64,
        value: &mut Option<f64>,
    ) {
        self.row(ui, name, help, |form, ui| {
            let mut given = value.is_some();
            let tick = ui
                .checkbox(&mut given, "")
                .accessible_name(format!("{name} is given"));
            if tick.changed() {
                *value = given.then_some(usual);
                form.mark(name);
            }
            match value {
                Some(v) => form.bare_number(ui, name, help, quantity, range, v),
                None => {
                    ui.label(text::soft("none"));
                }
            }
        });
    }

    pub fn toggle(&mut self, ui: &mut Ui, name: &str, help: &str, value: &mut bool) {
        self.row(ui, name, help, |form, ui| {
            let response = ui.checkbox(value, "").accessible_name(name);
            form.note(name, &response);
            if !help.is_empty() {
                response.on_hover_text(help);
            }
        });
    }

    /// One of few, by name. Returns whether it changed.
    pub fn choice<T: Clone + PartialEq>(
        &mut self,
        ui: &mut Ui,
        name: &str,
        help: &str,
        value: &mut T,
        all: &[(T, &str)],
    ) -> bool {
        let shown = all
            .iter()
            .find(|(v, _)| v == value)
            .map_or("", |(_, word)| *word);
        self.row(ui, name, help, |form, ui| {
            let mut picked = None;
            // Less the margins that the box adds to its width, or the panel would grow.
            let width = (ui.available_width() - 24.0).max(80.0);
            let inner = ComboBox::from_id_salt(name)
                .selected_text(shown)
                .width(width)
                .truncate()
                .show_ui(ui, |ui| {
                    for (v, word) in all {
                        if ui.selectable_label(v == value, *word).clicked() {
                            picked = Some(v.clone());
                        }
                    }
                });
            inner.response.accessible_name(format!("{name}: {shown}"));
            match picked.filter(|v| v != value) {
                Some(v) => {
                    *value = v;
                    form.mark(name);
                    true
                }
                None => false,
            }
        })
    }

    /// A line of text, taken over when the field is left.
    pub fn text(&mut self, ui: &mut Ui, name: &str, value: &mut String) {
        self.row(ui, name, "", |form, ui| {
            let width = ui.available_width();
            form.bare_text(ui, name, value, |t| t.desired_width(width));
        });
    }

    /// The name of an object, large.
    pub fn title(&mut self, ui: &mut Ui, name: &str, value: &mut String) -> Response {
        let width = ui.available_width();
        // A long name is written smaller before it is cut.
        let room = width - 2.0 * ui.spacing().button_padding.x;
        let large = text::serif(text::HEADING);
        let ink = ui.visuals().text_color();
        let long = ui
            .painter()
            .layout_no_wrap(value.clone(), large.clone(), ink)
            .size()
            .x;
        let font = if long <= room {
            large
        } else {
            text::serif((text::HEADING * room / long).max(text::SMALL))
        };
        self.bare_text(ui, name, value, |t| {
            t.desired_width(width).hint_text(name.to_owned()).font(font)
        })
    }

    /// Several lines.
    pub fn lines(&mut self, ui: &mut Ui, name: &str, value: &mut String) {
        ui.label(text::soft(name));
        let id = ui.id_of(name);
        let mut shown = drafted(ui, id, value);
        let response = ui
            .add(
                TextEdit::multiline(&mut shown)
                    .id(id)
                    .desired_rows(2)
                    .desired_width(f32::INFINITY),
            )
            .accessible_name(name);
        self.take_over(ui, name, &response, shown, value);
    }

    fn bare_text(
        &mut self,
        ui: &mut Ui,
        name: &str,
        value: &mut String,
        dress: impl FnOnce(TextEdit<'_>) -> TextEdit<'_>,
    ) -> Response {
        let id = ui.id_of(name);
        let mut shown = drafted(ui, id, value);
        let response = ui
            .add(dress(TextEdit::singleline(&mut shown).id(id)))
            .accessible_name(name);
        self.take_over(ui, name, &response, shown, value);
        response
    }

    fn take_over(
        &mut self,
        ui: &Ui,
        name: &str,
        response: &Response,
        shown: String,
        value: &mut String,
    ) {
        if response.lost_focus() {
            ui.data_mut(|d| d.remove::<String>(response.id));
            // Esc leaves the field as it was.
            if shown != *value && !escape::pressed(ui.ctx()) {
                *value = shown;
                self.mark(name);
            }
        } else if response.has_focus() {
            ui.data_mut(|d| d.insert_temp(response.id, shown));
        }
    }
}

fn step(field: &str, of: &str) -> String {
    let mut chars = field.chars();
    let lower = chars
        .next()
        .map_or_else(String::new, |c| c.to_lowercase().chain(chars).collect());
    format!("Change {lower} of {of}")
}

/// What was typed into a field so far, or what the document holds.
fn drafted(ui: &Ui, id: egui::Id, value: &str) -> String {
    ui.data(|d| d.get_temp::<String>(id))
        .unwrap_or_else(|| value.to_owned())
}

/// An id below this part of the window that stays the same from frame to frame.
trait IdOf {
    fn id_of(&self, name: &str) -> egui::Id;
}

impl IdOf for Ui {
    fn id_of(&self, name: &str) -> egui::Id {
        self.scope_id().with(name)
    }
}
