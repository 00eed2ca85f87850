//! Several things are selected: how many of what, what can be done with all of them, and their fields where they are
//! of one kind.

use egui::Ui;

use super::{across, outline, shared};
use crate::{
    app::{
        canvas::{
            arrange::{self, Align, Spread},
            change, clip, delete,
            shape::Item,
            tools::pick,
        },
        parts::{form::object::ObjectForm, keys},
        state::{Request, Sight},
        theme::{space, text},
    },
    base::Pt,
    site::edit::{Edit, ObjectKind},
};

/// As many are listed by name.
const MOST_NAMES: usize = 12;

pub(super) fn show_ui(
    ui: &mut Ui,
    pulled: &mut bool,
    sight: &Sight<'_>,
    items: &[Item],
    requests: &mut Vec<Request>,
) {
    ui.label(text::heading(format!("{} selected", items.len())));
    let counts: Vec<String> = ObjectKind::ALL
        .iter()
        .filter_map(
            |kind| match items.iter().filter(|(k, _)| k == kind).count() {
                0 => None,
                1 => Some(format!("1 {}", kind.word())),
                n => Some(format!("{n} {}", kind.plural())),
            },
        )
        .collect();
    ui.add(egui::Label::new(text::soft(counts.join(", "))).wrap());
    arrange_ui(ui, sight, items, requests);
    common_ui(ui, pulled, sight, items, requests);
    ui.add_space(space::M);
    ui.label(text::group("Selected"));
    ui.horizontal_wrapped(|ui| {
        for item in items.iter().take(MOST_NAMES) {
            let name = sight.site().name_of(item.0, &item.1);
            if ui
                .button(&name)
                .on_hover_text("Select this one alone")
                .accessible_name(format!("Select {name} alone"))
                .clicked()
            {
                requests.push(Request::Select(vec![item.clone()]));
            }
        }
        if items.len() > MOST_NAMES {
            ui.label(text::soft(format!("and {} more", items.len() - MOST_NAMES)));
        }
    });
    ui.add_space(space::M);
    actions_ui(ui, sight, requests);
}

/// In line, at even distances, turned.
fn arrange_ui(ui: &mut Ui, sight: &Sight<'_>, items: &[Item], requests: &mut Vec<Request>) {
    let site = sight.site();
    let count = arrange::count(site, items);
    if count < 2 {
        return;
    }
    let locked = change::all_locked(site, items);
    let stays = keys::locked(ui.ctx());
    let name = pick::describe(site, items);
    ui.add_space(space::M);
    ui.label(text::group("In line"));
    for row in Align::ALL.chunks(3) {
        ui.horizontal(|ui| {
            for (align, word, what) in row {
                let button = egui::Button::new(*word).min_size(egui::vec2(76.0, 0.0));
                if ui
                    .add_enabled(!locked, button)
                    .on_hover_text(format!(
                        "{what}. One that is locked stays and gives the line."
                    ))
                    .on_disabled_hover_text(&stays)
                    .accessible_name(format!("Align {}", word.to_lowercase()))
                    .clicked()
                {
                    requests.push(match arrange::aligned(site, items, *align, true) {
                        Some(edit) => Request::Edit(format!("Align {name}"), edit),
                        None => Request::Say("They are in that line already".to_owned()),
                    });
                }
            }
        });
    }
    ui.add_space(space::S);
    ui.label(text::group("Even gaps"));
    ui.horizontal(|ui| {
        for (spread, word) in [(Spread::Across, "Across"), (Spread::Upwards, "Upwards")] {
            let button = egui::Button::new(word).min_size(egui::vec2(76.0, 0.0));
            let why_not = if locked { &stays } else { "Needs three or more" };
            if ui
                .add_enabled(count >= 3 && !locked, button)
                .on_hover_text(
                    "The outermost two stay; the gaps between all become even. What is locked stays too.",
                )
                .on_disabled_hover_text(why_not)
                .accessible_name(format!("Even gaps {}", word.to_lowercase()))
                .clicked()
            {
                requests.push(match arrange::distributed(site, items, spread, true) {
                    Some(edit) => Request::Edit(format!("Distribute {name}"), edit),
                    None => Request::Say(
                        "The gaps are even already, or what lies unevenly is locked".to_owned(),
                    ),
                });
            }
        }
    });
    ui.add_space(space::S);
    ui.label(text::group("About their middle"));
    outline::turn_ui(ui, sight, items, requests);
}

/// Fields of all at once, where all are of one kind.
fn common_ui(
    ui: &mut Ui,
    pulled: &mut bool,
    sight: &Sight<'_>,
    items: &[Item],
    requests: &mut Vec<Request>,
) {
    let site = sight.site();
    let drawn = across::drawn(items);
    let Some((kind, id)) = drawn.first() else {
        return;
    };
    if drawn.iter().any(|(k, _)| k != kind) || drawn.len() < items.len() {
        if drawn.len() < 2 {
            return;
        }
        ui.add_space(space::M);
        ui.label(text::group(format!("All {}", drawn.len())));
        let pots = if drawn.len() < items.len() {
            " Pots are left out."
        } else {
            ""
        };
        let name = site.name_of(*kind, id);
        ui.add(
            egui::Label::new(text::caption(format!(
                "What all kinds here have; figures of {name} are shown. What you change here changes for all.{pots}"
            )))
            .wrap(),
        );
        locked_ui(ui, sight, &drawn, requests);
        across::fields_ui(ui, pulled, sight, &drawn, requests);
        return;
    }
    let Some(before) = site.object(*kind, id) else {
        return;
    };
    let mut object = before.clone();
    let mut form = ObjectForm::new(sight.looking.units);
    ui.add_space(space::M);
    ui.label(text::group(format!("All {}", items.len())));
    locked_ui(ui, sight, items, requests);
    ui.add(
        egui::Label::new(text::caption(format!(
            "Figures of {} are shown. What you change here changes for all.",
            site.name_of(*kind, id)
        )))
        .wrap(),
    );
    ui.push_id(("several", kind, id.as_str()), |ui| {
        super::fields(&mut form, ui, sight, &mut object);
    });
    if form.has_changed() && object == before {
        form.forget();
    }
    let name = format!("{} {}", items.len(), kind.plural());
    let edit = || {
        let edits = items.iter().filter_map(|item| {
            let other = site.object(item.0, &item.1)?;
            let changed = shared::carried_over(&before, &object, &other)?;
            Some(super::changed(sight, item, changed))
        });
        Edit::All(edits.collect())
    };
    form.settle(pulled, &name, edit, requests);
}

/// A tick that stands half where only some are locked.
fn locked_ui(ui: &mut Ui, sight: &Sight<'_>, items: &[Item], requests: &mut Vec<Request>) {
    let site = sight.site();
    let count = items
        .iter()
        .filter(|(kind, id)| site.drawing.is_locked(*kind, id))
        .count();
    let mut locked = count == items.len();
    let tick = egui::Checkbox::new(&mut locked, "Locked");
    if ui
        .add(tick.indeterminate(count > 0 && count < items.len()))
        .on_hover_text("Hand and keys leave what is locked where it is")
        .changed()
    {
        let name = pick::describe(site, items);
        let switched = change::lock_switched(site, items, &name);
        requests.extend(switched.map(|(step, edit)| Request::Edit(step, edit)));
    }
}

/// What can be done with anything that is selected.
pub(super) fn actions_ui(ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
    let selected = &sight.looking.selected;
    let site = sight.site();
    let name = pick::describe(site, selected);
    let locked = change::all_locked(site, selected);
    ui.horizontal_wrapped(|ui| {
        let keys = |k| keys::written(ui.ctx(), k);
        let (duplicate, copy, paste, lock) = (
            keys(&keys::DUPLICATE),
            keys(&keys::COPY),
            keys(&keys::PASTE),
            keys(&keys::LOCK),
        );
        if ui
            .button("Duplicate")
            .on_hover_text(format!("Sets a copy beside it. {duplicate}"))
            .clicked()
        {
            let (edit, copies) = change::duplicated(site, selected, Pt(0.5, -0.5));
            if !copies.is_empty() {
                requests.push(Request::Edit(format!("Duplicate {name}"), edit));
                requests.push(Request::Select(copies));
            }
        }
        if ui
            .button("Copy")
            .on_hover_text(format!(
                "To be pasted here or in another site with {paste}. {copy}"
            ))
            .clicked()
            && let Some(text) = clip::copied(site, selected)
        {
            ui.ctx().copy_text(text);
        }
        let (word, tip) = if locked {
            ("Unlock", "Hand and keys can move it again.")
        } else {
            ("Lock", "Hand and keys leave it where it is.")
        };
        if ui
            .button(word)
            .on_hover_text(format!("{tip} {lock}"))
            .clicked()
            && let Some((step, edit)) = change::lock_switched(site, selected, &name)
        {
            requests.push(Request::Edit(step, edit));
        }
        if ui
            .add_enabled(!locked, egui::Button::new("Delete"))
            .on_hover_text("Undo brings it back. Del")
            .on_disabled_hover_text(keys::locked(ui.ctx()))
            .clicked()
        {
            delete::delete(ui.ctx(), site, selected, requests);
        }
    });
}
