//! Several things are selected: how many of what, and what can be done with all of them.

use egui::Ui;

use crate::{
    app::{
        canvas::{change, shape::Item, tools::pick},
        state::{Request, Sight},
        theme::{space, text},
    },
    base::Pt,
    site::edit::ObjectKind,
};

pub(super) fn show_ui(ui: &mut Ui, sight: &Sight<'_>, items: &[Item], requests: &mut Vec<Request>) {
    ui.label(text::heading(format!("{} selected", items.len())));
    for kind in ObjectKind::ALL {
        let count = items.iter().filter(|(k, _)| k == kind).count();
        if count > 0 {
            let word = if count == 1 {
                kind.word()
            } else {
                kind.plural()
            };
            ui.label(text::soft(format!("{count} {word}")));
        }
    }
    ui.add_space(space::M);
    for item in items {
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
    ui.add_space(space::M);
    actions_ui(ui, sight, requests);
}

/// What can be done with anything that is selected.
pub(super) fn actions_ui(ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
    let selected = &sight.looking.selected;
    let name = pick::describe(sight.site(), selected);
    ui.horizontal(|ui| {
        if ui.button("Duplicate").on_hover_text("Ctrl+D").clicked() {
            let (edit, copies) = change::duplicated(sight.site(), selected, Pt(0.5, -0.5));
            if !copies.is_empty() {
                requests.push(Request::Edit(format!("Duplicate {name}"), edit));
                requests.push(Request::Select(copies));
            }
        }
        if ui
            .button("Delete")
            .on_hover_text("Del. Undo brings it back.")
            .clicked()
        {
            requests.push(Request::Edit(
                format!("Delete {name}"),
                change::removed(selected),
            ));
            requests.push(Request::Select(Vec::new()));
        }
    });
}
