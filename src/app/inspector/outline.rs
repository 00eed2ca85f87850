//! Where an outline or line lies, how large it is, and turning, by figures.

use egui::Ui;

use crate::{
    app::{
        canvas::{
            change, reshape,
            shape::{self, Item},
            tools::pick,
        },
        parts::{
            form::{figure_ui, object::ObjectForm, quantity::Quantity},
            keys,
        },
        state::{Request, Sight},
        theme::text,
    },
    base::{Pt, geometry},
    site::edit::{Edit, Object},
};

/// Place and size of what has corners: by the box round them.
pub(super) fn fields(form: &mut ObjectForm, ui: &mut Ui, object: &mut Object) {
    let closed = shape::is_closed(object);
    let Some(points) = shape::corners_mut(object) else {
        return;
    };
    let Some((low, high)) = geometry::bounds(points.iter().copied()) else {
        return;
    };
    form.section(ui, "Place and size");
    let mut at = low;
    form.row(
        ui,
        "Place",
        "The lower left of the box round it: right and up on the plan.",
        |form, ui| {
            let range = -5_000.0..=5_000.0;
            let length = Quantity::Length;
            form.bare_number(ui, "Left side", "", length, range.clone(), &mut at.0);
            form.bare_number(ui, "Lower side", "", length, range, &mut at.1);
        },
    );
    let by = at - low;
    if by.length() > 0.0 {
        points.iter_mut().for_each(|p| *p = *p + by);
    }
    let size = high - low;
    let (mut width, mut depth) = (size.x(), size.y());
    if points.len() < 2 {
        return;
    }
    form.row(
        ui,
        "Size",
        "Across and upwards on the plan, of the box round it; the lower left stays.",
        |form, ui| {
            let length = Quantity::Length;
            // A line that runs level has no depth to change.
            if size.x() > 1e-6 || closed {
                form.bare_number(ui, "Width", "", length, 0.01..=5_000.0, &mut width);
            }
            if size.x() > 1e-6 && size.y() > 1e-6 {
                ui.label(text::soft("×"));
            }
            if size.y() > 1e-6 || closed {
                form.bare_number(ui, "Depth", "", length, 0.01..=5_000.0, &mut depth);
            }
        },
    );
    if width != size.x() || depth != size.y() {
        reshape::resize(points, (width, depth));
    }
}

/// How far an object was moved as a whole; `None` if it was reshaped or has no corners.
pub(super) fn shift(before: &Object, after: &Object) -> Option<Pt> {
    let (a, b) = (shape::corners(before)?, shape::corners(after)?);
    let by = *b.first()? - *a.first()?;
    let whole = a.len() == b.len() && a.iter().zip(b).all(|(p, q)| (*p + by).distance(*q) < 1e-9);
    (whole && by.length() > 0.0).then_some(by)
}

/// Turns what is selected about its middle by a figure.
pub(super) fn turn_ui(ui: &mut Ui, sight: &Sight<'_>, items: &[Item], requests: &mut Vec<Request>) {
    let site = sight.site();
    let Some(about) = reshape::centre(site, items) else {
        return;
    };
    let id = egui::Id::unique("turn by");
    let mut deg = ui.data(|d| d.get_temp::<f64>(id)).unwrap_or(90.0);
    ui.horizontal(|ui| {
        let ends = -360.0..=360.0;
        if figure_ui(ui, "Turn by", &mut deg, ends, 0.5, 0..=1, |f| f.suffix("°"))
            .on_hover_text("Degrees clockwise, about the middle")
            .changed()
        {
            ui.data_mut(|d| d.insert_temp(id, deg));
        }
        let locked = change::all_locked(site, items);
        if ui
            .add_enabled(!locked, egui::Button::new("Turn"))
            .on_hover_text(
                "Turns it clockwise about its middle; a room with what stands in it. What is locked stays.",
            )
            .on_disabled_hover_text(keys::locked(ui.ctx()))
            .clicked()
        {
            let edits = reshape::turned(site, items, about, deg, true);
            let name = pick::describe(site, items);
            requests.push(if edits.is_empty() {
                Request::Say(format!("There is nothing to turn in {name}"))
            } else {
                Request::Edit(format!("Turn {name}"), Edit::All(edits))
            });
        }
    });
}
