//! Fields that things of different kinds have in common: what is changed here changes for all that are selected. Pots are
//! left out: where they stand and how large they are is said on their sheets.

use std::ops::RangeInclusive;

use egui::Ui;

use crate::{
    app::{
        canvas::shape::{self, Item},
        parts::form::{object::ObjectForm, quantity::Quantity as Q},
        state::{Request, Sight},
        theme::text,
    },
    base::Months,
    site::{
        Timetable,
        edit::{Edit, Object, ObjectKind},
    },
};

/// The figure in an object that has it, and its range.
type Slot<'a> = Option<(&'a mut f64, RangeInclusive<f64>)>;

/// A figure that several kinds have, and what it may be in each of them.
struct Field {
    name: &'static str,
    help: &'static str,
    quantity: Q,
    of: fn(&mut Object) -> Slot<'_>,
}

/// Ranges are those of the fields of each kind alone.
const FIELDS: [Field; 8] = [
    Field {
        name: "Foot",
        help: "Above the ground.",
        quantity: Q::Length,
        of: |o| match o {
            Object::Building(o) => Some((&mut o.base_m, -5.0..=50.0)),
            Object::Screen(o) => Some((&mut o.base_m, 0.0..=20.0)),
            _ => None,
        },
    },
    Field {
        name: "Top",
        help: "Above the ground; of a heater above the floor.",
        quantity: Q::Length,
        of: |o| match o {
            Object::Building(o) => Some((&mut o.wall_top_m, 0.1..=80.0)),
            Object::Screen(o) => Some((&mut o.top_m, 0.1..=30.0)),
            Object::Tree(o) => Some((&mut o.top_m, 0.3..=60.0)),
            Object::Heater(o) => Some((&mut o.top_m, 0.05..=3.0)),
            _ => None,
        },
    },
    Field {
        name: "Height",
        help: "Above the ground, or above the floor of the room it is in.",
        quantity: Q::Length,
        of: |o| match o {
            Object::Canopy(o) => Some((&mut o.height_m, 0.3..=30.0)),
            Object::Cloth(o) => Some((&mut o.height_m, 0.3..=12.0)),
            Object::Vent(o) => Some((&mut o.height_m, 0.0..=8.0)),
            Object::Fan(o) => Some((&mut o.height_m, 0.0..=8.0)),
            Object::Spot(o) => Some((&mut o.height_m, 0.0..=6.0)),
            _ => None,
        },
    },
    Field {
        name: "Thickness",
        help: "",
        quantity: Q::SmallLength,
        of: |o| match o {
            Object::Canopy(o) => Some((&mut o.thickness_m, 0.0..=2.0)),
            Object::Screen(o) => Some((&mut o.thickness_m, 0.0..=5.0)),
            _ => None,
        },
    },
    Field {
        name: "Brightness",
        help: "Share of light thrown back: white about 75 %, wood and brick 30 %, leaves 20 %.",
        quantity: Q::Share,
        of: |o| match o {
            Object::Building(o) => Some((&mut o.reflectance, 0.0..=1.0)),
            Object::Screen(o) => Some((&mut o.reflectance, 0.0..=0.95)),
            _ => None,
        },
    },
    Field {
        name: "Points to",
        help: "Clockwise from up on the plan.",
        quantity: Q::Degrees,
        of: |o| match o {
            Object::Heater(o) => Some((&mut o.faces_deg, 0.0..=360.0)),
            Object::Vent(o) => Some((&mut o.blows_deg, 0.0..=360.0)),
            Object::Fan(o) => Some((&mut o.blows_deg, 0.0..=360.0)),
            _ => None,
        },
    },
    Field {
        name: "Air speed",
        help: "In the opening, or at the blades.",
        quantity: Q::Speed,
        of: |o| match o {
            Object::Vent(o) => Some((&mut o.speed_m_s, 0.1..=12.0)),
            Object::Fan(o) => Some((&mut o.speed_m_s, 0.1..=12.0)),
            _ => None,
        },
    },
    Field {
        name: "Area",
        help: "Of the opening, or of the water.",
        quantity: Q::Area,
        of: |o| match o {
            Object::Vent(o) => Some((&mut o.area_m2, 0.001..=1.0)),
            Object::Tray(o) => Some((&mut o.area_m2, 0.005..=5.0)),
            _ => None,
        },
    },
];

fn months(object: &mut Object) -> Option<&mut Months> {
    match object {
        Object::Canopy(o) => Some(&mut o.months),
        Object::Cloth(o) => Some(&mut o.months),
        Object::Tray(o) => Some(&mut o.months),
        Object::Spot(o) => Some(&mut o.months),
        other => runs(other).map(|r| &mut r.months),
    }
}

fn runs(object: &mut Object) -> Option<&mut Timetable> {
    match object {
        Object::Heater(o) => Some(&mut o.runs),
        Object::Vent(o) => Some(&mut o.runs),
        Object::Fan(o) => Some(&mut o.runs),
        _ => None,
    }
}

/// What is drawn among the selected.
#[must_use]
pub(super) fn drawn(items: &[Item]) -> Vec<Item> {
    let drawn = items
        .iter()
        .filter(|(kind, _)| shape::DRAWN.contains(kind) && *kind != ObjectKind::Plant);
    drawn.cloned().collect()
}

/// The common fields; only the name where there are no others.
pub(super) fn fields_ui(
    ui: &mut Ui,
    pulled: &mut bool,
    sight: &Sight<'_>,
    items: &[Item],
    requests: &mut Vec<Request>,
) {
    let site = sight.site();
    let before: Vec<(Item, Object)> = items
        .iter()
        .filter_map(|item| Some((item.clone(), site.object(item.0, &item.1)?)))
        .collect();
    let mut after: Vec<Object> = before.iter().map(|(_, o)| o.clone()).collect();
    let mut form = ObjectForm::new(sight.looking.units);
    ui.push_id("across", |ui| {
        name_ui(ui, &mut form, &mut after);
        for field in &FIELDS {
            figure_ui(ui, &mut form, field, &mut after);
        }
        months_ui(ui, &mut form, &mut after);
        hours_ui(ui, &mut form, &mut after);
    });
    let changed = || before.iter().zip(&after).filter(|((_, b), a)| b != *a);
    if form.has_changed() && changed().next().is_none() {
        form.forget();
    }
    let edit = || {
        let edits = changed().map(|((item, _), a)| super::changed(sight, item, a.clone()));
        Edit::All(edits.collect())
    };
    form.settle(pulled, &format!("{} objects", items.len()), edit, requests);
}

/// One name for all, with a number behind it.
pub(super) fn name_ui(ui: &mut Ui, form: &mut ObjectForm, all: &mut [Object]) {
    let mut name = shared_name(all);
    let was = name.clone();
    form.text(ui, "Name of all", &mut name);
    if name != was && !name.trim().is_empty() {
        for (i, object) in all.iter_mut().enumerate() {
            object.set_name(&format!("{} {}", name.trim(), i + 1));
        }
    }
}

/// What is common to their names before the numbers; empty where they are called differently.
fn shared_name(all: &[Object]) -> String {
    let stem = |o: &Object| {
        o.name()
            .trim_end_matches(|c: char| c.is_ascii_digit())
            .trim_end()
            .to_owned()
    };
    let Some(first) = all.first().map(stem) else {
        return String::new();
    };
    if all.iter().all(|o| stem(o) == first) {
        first
    } else {
        String::new()
    }
}

fn figure_ui(ui: &mut Ui, form: &mut ObjectForm, field: &Field, all: &mut [Object]) {
    let mut given = Vec::new();
    let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
    for object in all.iter_mut() {
        let Some((value, range)) = (field.of)(object) else {
            return;
        };
        given.push(*value);
        (low, high) = (low.max(*range.start()), high.min(*range.end()));
    }
    let Some(mut value) = given.first().copied() else {
        return;
    };
    let was = value;
    form.number(
        ui,
        field.name,
        field.help,
        field.quantity,
        low..=high,
        &mut value,
    );
    let least = given.iter().copied().fold(f64::INFINITY, f64::min);
    let most = given.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if most - least > 1e-9 {
        let words = |v| field.quantity.words(v, form.units);
        ui.label(text::caption(format!(
            "they differ: {} to {}",
            words(least),
            words(most)
        )));
    }
    if value != was {
        for (slot, _) in all.iter_mut().filter_map(field.of) {
            *slot = value;
        }
    }
}

fn months_ui(ui: &mut Ui, form: &mut ObjectForm, all: &mut [Object]) {
    let given: Vec<Months> = all.iter_mut().filter_map(|o| months(o).copied()).collect();
    let Some(first) = given.first().copied().filter(|_| given.len() == all.len()) else {
        return;
    };
    let mut value = first;
    let help = "Months in which they are there, open or running.";
    form.months(ui, "Months", help, &mut value);
    if given.iter().any(|m| *m != first) {
        ui.label(text::caption("they differ; a change makes them alike"));
    }
    if value != first {
        for slot in all.iter_mut().filter_map(months) {
            *slot = value;
        }
    }
}

fn hours_ui(ui: &mut Ui, form: &mut ObjectForm, all: &mut [Object]) {
    let given: Vec<(f64, f64)> = all
        .iter_mut()
        .filter_map(|o| runs(o).map(|r| (r.from_h, r.to_h)))
        .collect();
    let Some(first) = given.first().copied().filter(|_| given.len() == all.len()) else {
        return;
    };
    let (mut from, mut to) = first;
    let help = "Clock hours between which they run; round midnight is fine.";
    form.hours(ui, "Hours", help, &mut from, &mut to);
    if given.iter().any(|h| *h != first) {
        ui.label(text::caption("they differ; a change makes them alike"));
    }
    if (from, to) != first {
        for slot in all.iter_mut().filter_map(runs) {
            (slot.from_h, slot.to_h) = (from, to);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_are_whole_and_every_figure_belongs_to_several_kinds() {
        for field in &FIELDS {
            let mut kinds = 0;
            for kind in ObjectKind::ALL {
                let Some(mut blank) = kind.blank() else {
                    continue;
                };
                if let Some((_, range)) = (field.of)(&mut blank) {
                    assert!(range.start() < range.end(), "{}", field.name);
                    kinds += 1;
                }
            }
            assert!(kinds >= 2, "{}", field.name);
        }
    }
}
