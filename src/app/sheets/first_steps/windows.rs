//! Windows, wall by wall.

use egui::Ui;

use super::{
    house::length_ui,
    walls::{self, Drawn, OuterWall},
};
use crate::{
    app::{
        parts::{
            form::{choice_ui, row_ui},
            kept::Kept,
        },
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
    walls: Kept<(Drawn, Window), Vec<WallLine>>,
}

/// A wall, what is in it, and what would put in one more.
struct WallLine {
    name: String,
    there: usize,
    edit: Option<Edit>,
}

impl Default for WindowsStep {
    fn default() -> Self {
        Self {
            wanted: Window {
                width_m: 1.6,
                ..Window::default()
            },
            walls: Kept::default(),
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
        let of = (Drawn::of(site), self.wanted.clone());
        for line in self.walls.get(of, || lines(site, &self.wanted)) {
            wall_ui(ui, line, requests);
        }
    }

    fn fields_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>) {
        let units = sight.looking.units;
        let w = &mut self.wanted;
        row_ui(ui, "Kind", |ui| {
            if choice_ui(ui, "Kind", &mut w.kind, &KINDS) {
                (w.sill_m, w.height_m) = if w.kind == WindowKind::GlassDoor {
                    (0.1, 2.0)
                } else {
                    (0.9, 1.2)
                };
            }
        });
        length_ui(ui, units, "Width", 0.3..=8.0, &mut w.width_m);
        length_ui(ui, units, "Sill height", 0.0..=2.0, &mut w.sill_m);
        length_ui(ui, units, "Height", 0.3..=3.0, &mut w.height_m);
        row_ui(ui, "Panes", |ui| {
            choice_ui(ui, "Panes", &mut w.glazing, &PANES)
        });
    }
}

/// Walls that windows can be put into; walls of glass need none.
fn lines(site: &Site, wanted: &Window) -> Vec<WallLine> {
    let glass = |outer: &OuterWall| {
        let room = site.rooms.get(&outer.room);
        room.is_some_and(|r| r.glazed_walls.is_some())
    };
    let outer = walls::outer_walls(site);
    let line = |outer: &OuterWall| {
        let room_m = site.rooms.get(&outer.room).map_or(2.5, |r| r.height_m);
        let mut wanted = wanted.clone();
        wanted.sill_m = wanted.sill_m.min(room_m - 0.3);
        wanted.height_m = wanted.height_m.min(room_m - wanted.sill_m);
        WallLine {
            name: outer.name(site),
            there: site
                .windows
                .values()
                .filter(|w| w.room == outer.room && w.wall == outer.index)
                .count(),
            edit: walls::window_in(site, outer, &wanted),
        }
    };
    outer.iter().filter(|o| !glass(o)).map(line).collect()
}

fn wall_ui(ui: &mut Ui, line: &WallLine, requests: &mut Vec<Request>) {
    let name = &line.name;
    ui.horizontal(|ui| {
        if ui
            .add_enabled(line.edit.is_some(), egui::Button::new("Add"))
            .on_hover_text("In the middle of the widest free part of this wall")
            .on_disabled_hover_text("This wall has no room for another")
            .accessible_name(format!("Add to {name}"))
            .clicked()
            && let Some(edit) = &line.edit
        {
            let item = match edit {
                Edit::Put(id, Object::Window(_)) => vec![(ObjectKind::Window, id.clone())],
                _ => Vec::new(),
            };
            requests.push(Request::Edit(
                format!("Add a window to {name}"),
                edit.clone(),
            ));
            requests.push(Request::Select(item));
        }
        ui.label(name);
        ui.label(text::soft(match line.there {
            0 => String::new(),
            1 => "1 there".to_owned(),
            n => format!("{n} there"),
        }));
    });
}
