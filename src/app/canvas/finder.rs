//! Everything in the drawing as a list, to find by name and to reach without a pointer.

use egui::{Key, Ui, WidgetInfo, accesskit::Role};

use super::{
    delete,
    shape::{DRAWN, Item},
};
use crate::{
    app::{
        state::{Request, Sight},
        theme::{self, space, text},
    },
    site::edit::ObjectKind,
};

/// Kinds in the order in which a grower thinks of them.
fn order() -> impl Iterator<Item = ObjectKind> {
    [ObjectKind::Spot, ObjectKind::Room, ObjectKind::Window]
        .into_iter()
        .chain(
            DRAWN
                .into_iter()
                .filter(|k| !matches!(k, ObjectKind::Spot | ObjectKind::Room | ObjectKind::Window)),
        )
}

/// The list; returns what is to be shown large (a double click). Del takes away what the keyboard is on.
pub fn finder_ui(
    ui: &mut Ui,
    sought: &mut String,
    sight: &Sight<'_>,
    requests: &mut Vec<Request>,
) -> Option<Item> {
    let site = sight.site();
    let mut large = None;
    ui.add(
        egui::TextEdit::singleline(sought)
            .hint_text("Find by name")
            .desired_width(f32::INFINITY),
    )
    .accessible_name("Find in the drawing");
    let needle = sought.to_lowercase();
    let mut found = 0;
    ui.spacing_mut().item_spacing.y = 0.0;
    for kind in order() {
        let mut rows: Vec<(String, Item)> = site
            .ids(kind)
            .into_iter()
            .map(|id| (site.name_of(kind, &id), (kind, id)))
            .filter(|(name, _)| name.to_lowercase().contains(&needle))
            .collect();
        if rows.is_empty() {
            continue;
        }
        rows.sort_by(|a, b| {
            a.0.to_lowercase()
                .cmp(&b.0.to_lowercase())
                .then_with(|| a.1.cmp(&b.1))
        });
        found += rows.len();
        ui.add_space(space::S);
        ui.label(text::caption(capital(kind.plural())));
        for (name, item) in rows {
            let response = row_ui(ui, sight, &name, &item);
            if response.clicked() {
                let adds = ui.input(|i| i.modifiers.shift || i.modifiers.command);
                let mut selected = if adds {
                    sight.looking.selected.clone()
                } else {
                    Vec::new()
                };
                if adds && selected.contains(&item) {
                    selected.retain(|i| *i != item);
                } else {
                    selected.push(item.clone());
                }
                requests.push(Request::Select(selected));
            }
            let pressed = |key| ui.input_mut(|i| i.consume_key(egui::Modifiers::NONE, key));
            if response.has_focus() && (pressed(Key::Delete) || pressed(Key::Backspace)) {
                // A row outside of what is selected means itself.
                let alone = std::slice::from_ref(&item);
                let all = &sight.looking.selected;
                let items = if all.contains(&item) { all } else { alone };
                delete::delete(ui.ctx(), site, items, requests);
            }
            if response.double_clicked() {
                large = Some(item);
            }
        }
    }
    if found == 0 {
        let words = if needle.is_empty() {
            "Nothing drawn yet"
        } else {
            "Nothing of that name"
        };
        ui.add_space(space::S);
        ui.label(text::soft(words));
    }
    large
}

fn row_ui(ui: &mut Ui, sight: &Sight<'_>, name: &str, item: &Item) -> egui::Response {
    let t = theme::tokens(ui);
    let selected = sight.looking.selected.contains(item);
    let (rect, response) =
        ui.allocate_exact_size(egui::vec2(ui.available_width(), 24.0), egui::Sense::click());
    response.widget_info(|| {
        WidgetInfo::selected(
            Role::ListItem,
            true,
            selected,
            format!("{name}, {}", item.0.word()),
        )
    });
    if ui.is_rect_visible(rect) {
        let painter = ui.painter().with_clip_rect(rect.intersect(ui.clip_rect()));
        if selected {
            painter.rect_filled(rect, space::CORNER, t.accent_wash);
            painter.vline(
                rect.left() + 1.5,
                rect.y_range(),
                egui::Stroke::new(3.0, t.accent),
            );
        } else if response.hovered() {
            painter.rect_filled(rect, space::CORNER, t.hover_wash);
        }
        if response.has_focus() {
            painter.rect_stroke(
                rect.shrink(1.0),
                space::CORNER,
                egui::Stroke::new(1.5, t.accent),
                egui::StrokeKind::Inside,
            );
        }
        let font = if selected {
            text::semibold(14.0)
        } else {
            text::regular(14.0)
        };
        let galley = painter.layout_no_wrap(name.to_owned(), font, t.ink);
        painter.galley(
            egui::pos2(rect.left() + 9.0, rect.center().y - galley.size().y * 0.5),
            galley,
            t.ink,
        );
    }
    response
}

/// With a capital letter, for headings.
#[must_use]
pub fn capital(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(chars).collect()
    })
}
