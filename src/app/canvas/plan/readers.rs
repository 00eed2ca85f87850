//! Everything on the plan by name, for screen readers, for the Tab key, and for tests. The pointer does not go
//! through these: what it picks is decided by the plan itself.

use egui::{EventFilter, Id, Key, Rect, Response, Sense, Ui, WidgetInfo, accesskit};

use super::{Plan, Seen};
use crate::{
    app::{
        canvas::{
            pots::Standing,
            shape::{self, Item},
        },
        state::Request,
    },
    scoring::ScoreWord,
    site::{Site, WindowKind, edit::ObjectKind},
};

impl Plan {
    /// Makes the nodes and answers to them; returns the box of the one that has the keyboard.
    pub(super) fn readers(
        &mut self,
        ui: &Ui,
        response: &Response,
        sight: &Seen<'_>,
        standing: &[Standing],
        requests: &mut Vec<Request>,
    ) -> Option<Rect> {
        let on = self.on();
        let mut focused = None;
        let site = sight.site();
        let drawn = shape::items(site)
            .filter(|(kind, _)| self.layers.shows(*kind))
            .filter_map(|item| {
                let rect = on.around(&shape::shape(site, &item)?.extent());
                let mut name = spoken(site, &item);
                if site.drawing.is_locked(item.0, &item.1) {
                    name.push_str(", locked");
                }
                Some((name, rect, item))
            });
        let pots = standing.iter().map(|pot| {
            let r = on.points(pot.radius_m).max(6.0);
            let rect = Rect::from_center_size(on.screen(pot.at), egui::Vec2::splat(2.0 * r));
            let score = pot.points.map_or_else(String::new, |p| {
                format!(", {p:.0}, {}", ScoreWord::of(p).word())
            });
            let name = format!(
                "Pot of {} on {}{score}",
                sight.plant_name(&pot.plant),
                sight.spot_name(&pot.spot)
            );
            (name, rect, (ObjectKind::Plant, pot.plant.clone()))
        });
        for (name, rect, item) in drawn.chain(pots) {
            let id = reader_id(response, &item);
            let node = ui.interact(rect.expand(4.0), id, Sense::focusable_noninteractive());
            let selected = sight.looking.selected.contains(&item);
            node.widget_info(|| {
                WidgetInfo::selected(accesskit::Role::Button, true, selected, &name)
            });
            ui.ctx()
                .accesskit_node_builder(id, |n| n.add_action(accesskit::Action::Click));
            let chosen = ui.input(|i| i.has_accesskit_action_request(id, accesskit::Action::Click))
                || (node.has_focus()
                    && !self.is_drawing()
                    && ui.input(|i| i.key_pressed(Key::Enter)));
            if chosen {
                if item.0 == ObjectKind::Plant {
                    requests.push(Request::ShowPlant(item.1.clone()));
                }
                requests.push(Request::Select(vec![item]));
            }
            if node.has_focus() {
                let filter = EventFilter {
                    tab: false,
                    horizontal_arrows: true,
                    vertical_arrows: true,
                    escape: true,
                };
                ui.memory_mut(|m| m.set_focus_lock_filter(id, filter));
                focused = Some(rect);
            }
        }
        focused
    }

    /// Whether the keyboard is on something of the plan.
    pub(super) fn is_reader(&self, response: &Response, sight: &Seen<'_>, id: Id) -> bool {
        shape::items(sight.site())
            .chain(
                sight
                    .site()
                    .plants
                    .ids()
                    .map(|p| (ObjectKind::Plant, p.clone())),
            )
            .any(|item| reader_id(response, &item) == id)
    }
}

fn reader_id(response: &Response, item: &Item) -> Id {
    response.id.with((item.0, item.1.as_str()))
}

/// What a thing is and what it is called: `Spot South sill`, `Window 3`.
#[must_use]
pub fn spoken(site: &Site, item: &Item) -> String {
    let name = site.name_of(item.0, &item.1);
    let word = match item.0 {
        ObjectKind::Window => site
            .windows
            .get(&item.1)
            .map_or("Window", |w| match w.kind {
                WindowKind::Window => "Window",
                WindowKind::GlassDoor => "Glass door",
                WindowKind::Door => "Door",
            }),
        ObjectKind::Building => "Building",
        ObjectKind::Room => "Room",
        ObjectKind::Canopy => "Canopy",
        ObjectKind::Screen => "Screen",
        ObjectKind::Tree => "Tree",
        ObjectKind::Ground => "Surface",
        ObjectKind::Cloth => "Cloth",
        ObjectKind::Heater => "Heater",
        ObjectKind::Vent => "Vent",
        ObjectKind::Fan => "Fan",
        ObjectKind::Tray => "Tray",
        ObjectKind::Spot => "Spot",
        ObjectKind::Plant => "Plant",
        ObjectKind::Kind => "Kind",
    };
    if name.to_lowercase().starts_with(&word.to_lowercase()) {
        name
    } else {
        format!("{word} {name}")
    }
}
