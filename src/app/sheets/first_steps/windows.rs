//! Windows, wall by wall.

use egui::Ui;

use super::{
    house::length_ui,
    walls::{self, OuterWall},
};
use crate::{
    app::{
        parts::form::{choice_ui, row_ui},
        state::{Request, Sight},
        theme::{space, text},
    },
    site::{
        Glazing, Site, Window, WindowKind,
        edit::{Edit, Object, ObjectKind},
    },
};

pub struct WindowsStep {
    wanted: Window,
}

impl Default for WindowsStep {
    fn default() -> Self {
        Self {
            wanted: Window {
                width_m: 1.6,
                ..Window::default()
            },
        }
    }
}

const KINDS: [(WindowKind, &str); 2] = [
    (WindowKind::Window, "window"),
    (WindowKind::GlassDoor, "glass door"),
];
const PANES: [(Glazing, &str); 4] = [
    (Glazing::Single, "single"),
    (Glazing::Double, "double"),
    (Glazing::DoubleLowE, "double, coated"),
    (Glazing::Triple, "triple"),
];

impl WindowsStep {
    pub fn show_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        let site = sight.site();
        if site.rooms.is_empty() {
            ui.label(text::soft(
                "Windows sit in the walls of rooms. For pots that stay outdoors none are needed.",
            ));
            return;
        }
        ui.label(text::soft(
            "Only the windows behind which pots could stand matter. Say their sizes, then put them where they are.",
        ));
        self.fields_ui(ui, sight);
        ui.add_space(space::XS);
        for outer in walls::outer_walls(site) {
            // Walls of glass need no windows.
            let glass = site
                .rooms
                .get(&outer.room)
                .is_some_and(|r| r.glazed_walls.is_some());
            if !glass {
                self.wall_ui(ui, site, &outer, requests);
            }
        }
    }

    fn fields_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>) {
        let units = sight.looking.units;
        let w = &mut self.wanted;
        row_ui(ui, "New are", |ui| {
            if choice_ui(ui, "New are", &mut w.kind, &KINDS) {
                (w.sill_m, w.height_m) = if w.kind == WindowKind::GlassDoor {
                    (0.1, 2.0)
                } else {
                    (0.9, 1.2)
                };
            }
        });
        length_ui(ui, units, "Glass is wide", 0.3..=8.0, &mut w.width_m);
        length_ui(
            ui,
            units,
            "Begins above the floor",
            0.0..=2.0,
            &mut w.sill_m,
        );
        length_ui(ui, units, "Glass is high", 0.3..=3.0, &mut w.height_m);
        row_ui(ui, "Panes", |ui| {
            choice_ui(ui, "Panes", &mut w.glazing, &PANES)
        });
    }

    /// A wall, what is in it, and the way to put in one more.
    fn wall_ui(&self, ui: &mut Ui, site: &Site, outer: &OuterWall, requests: &mut Vec<Request>) {
        let name = outer.name(site);
        let there = site
            .windows
            .values()
            .filter(|w| w.room == outer.room && w.wall == outer.index)
            .count();
        let room_m = site.rooms.get(&outer.room).map_or(2.5, |r| r.height_m);
        let mut wanted = self.wanted.clone();
        wanted.sill_m = wanted.sill_m.min(room_m - 0.3);
        wanted.height_m = wanted.height_m.min(room_m - wanted.sill_m);
        let edit = walls::window_in(site, outer, &wanted);
        ui.horizontal(|ui| {
            if ui
                .add_enabled(edit.is_some(), egui::Button::new("Add"))
                .on_hover_text("In the middle of the widest free part of this wall")
                .on_disabled_hover_text("This wall has no room for another")
                .accessible_name(format!("Add to {name}"))
                .clicked()
                && let Some(edit) = edit
            {
                let item = match &edit {
                    Edit::Put(id, Object::Window(_)) => vec![(ObjectKind::Window, id.clone())],
                    _ => Vec::new(),
                };
                requests.push(Request::Edit(format!("Add a window to {name}"), edit));
                requests.push(Request::Select(item));
            }
            ui.label(&name);
            ui.label(text::soft(match there {
                0 => String::new(),
                1 => "1 there".to_owned(),
                n => format!("{n} there"),
            }));
        });
    }
}
