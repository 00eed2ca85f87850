//! Fields of forms, each with its name. [`Form`] makes one undo step of each visit to a field; [`object::ObjectForm`]
//! knows units and ranges, changes a copy of an object, and makes one step of each change.

pub mod object;
pub mod quantity;

use std::ops::RangeInclusive;

use egui::{
    DragValue, Key, Response, TextEdit, Ui, Vec2,
    text::{CCursor, CCursorRange},
    text_edit::TextEditState,
};

use self::quantity::Quantity;
use super::{escape, locale};
use crate::app::{
    state::{Request, Units},
    theme::{self, space, text},
};

/// Follows which field is being changed, so that a drag or a typed word becomes one step to undo.
#[derive(Default)]
pub struct Form {
    open: Option<egui::Id>,
}

impl Form {
    /// Opens a step of this name when a field begins to be changed. Call for every response of a field, before the
    /// edit is pushed.
    pub fn watch(&mut self, response: &Response, name: &str, requests: &mut Vec<Request>) {
        if (response.gained_focus() || response.drag_started()) && self.open != Some(response.id) {
            if self.open.is_some() {
                requests.push(Request::End);
            }
            requests.push(Request::Begin(name.to_owned()));
            self.open = Some(response.id);
        }
    }

    /// Closes the step once the field is left, or takes it back where Esc left it. Call after all edits of the frame
    /// were pushed.
    pub fn settle(&mut self, ctx: &egui::Context, requests: &mut Vec<Request>) {
        if let Some(id) = self.open
            && !ctx.memory(|m| m.has_focus(id))
            && !ctx.is_being_dragged(id)
        {
            requests.push(if escape::pressed(ctx) {
                Request::Abandon
            } else {
                Request::End
            });
            self.open = None;
        }
    }
}

/// Width of the names on a sheet, points.
const NAMES: f32 = 150.0;

/// A row: the field's name, then the field.
pub fn row_ui<R>(ui: &mut Ui, name: &str, field: impl FnOnce(&mut Ui) -> R) -> R {
    named_row_ui(ui, (name, NAMES), "", field)
}

/// A row whose name has a width of its own and says more on hovering.
fn named_row_ui<R>(
    ui: &mut Ui,
    (name, width): (&str, f32),
    help: &str,
    field: impl FnOnce(&mut Ui) -> R,
) -> R {
    ui.horizontal(|ui| {
        ui.set_min_height(28.0);
        ui.spacing_mut().item_spacing.x = space::XS;
        ui.allocate_ui_with_layout(
            egui::vec2(width, 26.0),
            egui::Layout::left_to_right(egui::Align::Center),
            |ui| {
                ui.set_min_width(width);
                let label = ui.add(
                    egui::Label::new(text::soft(name))
                        .wrap()
                        .sense(egui::Sense::hover()),
                );
                if !help.is_empty() {
                    label.on_hover_text(help);
                }
            },
        );
        field(ui)
    })
    .inner
}

/// A number with its unit.
pub fn number_ui(
    ui: &mut Ui,
    name: &str,
    value: &mut f64,
    range: RangeInclusive<f64>,
    step: f64,
    unit: &str,
) -> Response {
    let decimals = if step >= 1.0 {
        0
    } else if step >= 0.1 {
        1
    } else {
        2
    };
    let suffix = if unit.is_empty() {
        String::new()
    } else {
        format!(" {unit}")
    };
    figure_ui(
        ui,
        name,
        value,
        range,
        step,
        decimals..=decimals.max(1),
        |f| f.suffix(suffix),
    )
}

/// What all fields for numbers have in common, on sheets and in the inspector.
pub fn figure_ui(
    ui: &mut Ui,
    name: &str,
    value: &mut f64,
    range: RangeInclusive<f64>,
    step: f64,
    decimals: RangeInclusive<usize>,
    dress: impl FnOnce(DragValue<'_>) -> DragValue<'_>,
) -> Response {
    // egui counts a field as just left for two frames, and looks for Esc in the first only: in the second it would take
    // over what Esc had refused, but for a field whose value has changed meanwhile.
    let memory = ui.next_auto_id().with("left by esc");
    let left = ui.data_mut(|d| d.remove_temp::<bool>(memory)).is_some();
    let mut shown = if left { value.next_up() } else { *value };
    let field = DragValue::new(&mut shown)
        .range(range)
        // A file may hold more than is usual: looking at it changes nothing.
        .clamp_existing_to_range(false)
        .speed(step)
        .min_decimals(*decimals.start())
        .max_decimals(*decimals.end())
        .custom_parser(locale::typed)
        .update_while_editing(false);
    let response = ui.add(dress(field)).accessible_name(name);
    if response.changed() {
        *value = shown;
    }
    if response.lost_focus() && ui.input(|i| i.key_pressed(Key::Escape)) {
        ui.data_mut(|d| d.insert_temp(memory, true));
    }
    response
}

/// A quantity in the grower's units; `range` and `value` are as the document holds it. Showing it does not round it.
pub fn quantity_ui(
    ui: &mut Ui,
    units: Units,
    name: &str,
    quantity: Quantity,
    range: RangeInclusive<f64>,
    value: &mut f64,
) -> Response {
    let least = ui.spacing().interact_size;
    sized_quantity_ui(ui, units, name, quantity, range, value, least)
}

/// The same no smaller than `least`, so that figures stand in a column.
fn sized_quantity_ui(
    ui: &mut Ui,
    units: Units,
    name: &str,
    quantity: Quantity,
    range: RangeInclusive<f64>,
    value: &mut f64,
    least: Vec2,
) -> Response {
    let mut shown = quantity.shown(*value, units);
    let ends = quantity.shown(*range.start(), units)..=quantity.shown(*range.end(), units);
    let decimals = 0..=quantity.decimals(units);
    let response = figure_ui(
        ui,
        name,
        &mut shown,
        ends,
        quantity.speed(),
        decimals,
        |f| f.suffix(quantity.unit(units)).min_size(least),
    );
    if response.changed() {
        *value = quantity
            .held(shown, units)
            .clamp(*range.start(), *range.end());
    }
    response
}

/// Gives a line of text the keyboard with all of it selected, so that typing writes it anew.
pub fn begin_typing(ui: &Ui, field: &Response, held: &str) {
    field.request_focus();
    let mut state = TextEditState::load(ui.ctx(), field.id).unwrap_or_default();
    let end = CCursor::new(held.chars().count());
    let all = CCursorRange::two(CCursor::new(0), end);
    state.cursor.set_char_range(Some(all));
    state.store(ui.ctx(), field.id);
}

/// A line of text.
pub fn text_ui(ui: &mut Ui, name: &str, value: &mut String) -> Response {
    ui.add(
        TextEdit::singleline(value)
            .hint_text(name)
            .desired_width(ui.available_width().min(260.0)),
    )
    .accessible_name(name)
}

/// Several lines of text.
pub fn note_ui(ui: &mut Ui, name: &str, value: &mut String) -> Response {
    ui.add(
        TextEdit::multiline(value)
            .hint_text(name)
            .desired_rows(2)
            .desired_width(ui.available_width()),
    )
    .accessible_name(name)
}

/// A choice of one among few, by name. Returns whether it changed.
pub fn choice_ui<T: Copy + PartialEq>(
    ui: &mut Ui,
    name: &str,
    value: &mut T,
    all: &[(T, &str)],
) -> bool {
    let shown = all
        .iter()
        .find(|(v, _)| v == value)
        .map_or("", |(_, word)| word);
    let before = *value;
    let inner = egui::ComboBox::from_id_salt(name)
        .selected_text(shown)
        .width(160.0)
        .show_ui(ui, |ui| {
            for (v, word) in all {
                ui.selectable_value(value, *v, *word);
            }
        });
    inner.response.accessible_name(format!("{name}: {shown}"));
    *value != before
}

/// A button that is to be pressed first.
pub fn first_ui(ui: &mut Ui, name: &str) -> bool {
    let t = theme::tokens(ui);
    ui.add(egui::Button::new(egui::RichText::new(name).color(t.on_accent)).fill(t.accent))
        .clicked()
}

/// The answer that Enter gives to a question: it has the keyboard until something else takes it.
pub fn answer_ui(ui: &mut Ui, name: &str) -> bool {
    let t = theme::tokens(ui);
    let response =
        ui.add(egui::Button::new(egui::RichText::new(name).color(t.on_accent)).fill(t.accent));
    if ui.memory(|m| m.focused().is_none()) {
        response.request_focus();
    }
    response.clicked()
}

/// A heading of a group within a form.
pub fn group_ui(ui: &mut Ui, name: &str) {
    ui.add_space(space::M);
    ui.label(text::group(name));
}
