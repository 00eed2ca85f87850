//! What is selected, field by field, in the grower's units; each change is one step to undo.

mod across;
mod devices;
mod garden;
mod house;
mod nothing;
mod outline;
mod plant;
mod several;
mod shared;
mod spot;

use egui::Ui;

use crate::{
    app::{
        canvas::{
            change, finder, measure, reshape,
            shape::{self, Item, Shape},
        },
        parts::{
            form::{self, object::ObjectForm},
            icons,
        },
        state::{Request, Sight},
        theme::{self, space, text},
    },
    base::geometry,
    site::edit::{Edit, Object, ObjectKind},
};

/// The panel, and whether a field of it is being pulled.
#[derive(Default)]
pub struct Inspector {
    pulled: bool,
    /// The name of what is selected is to be typed.
    name_asked: bool,
}

impl Inspector {
    /// Gives the keyboard to the name of what is selected.
    pub fn ask_name(&mut self) {
        self.name_asked = true;
    }

    pub fn show_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        ui.spacing_mut().item_spacing.y = space::XS;
        match sight.looking.selected.as_slice() {
            [] => nothing::show_ui(ui, &mut self.pulled, sight, requests),
            [(ObjectKind::Plant, id)] => plant::show_ui(ui, sight, id, requests),
            [item] => self.one_ui(ui, sight, item, requests),
            many => several::show_ui(ui, &mut self.pulled, sight, many, requests),
        }
    }

    fn one_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, item: &Item, requests: &mut Vec<Request>) {
        let site = sight.site();
        let Some(mut object) = site.object(item.0, &item.1) else {
            return;
        };
        let before = object.clone();
        let mut form = ObjectForm::new(sight.looking.units);
        // Fields of different objects are different fields, or one would take over what was typed in another.
        ui.push_id((item.0, item.1.as_str()), |ui| {
            ui.label(text::caption(finder::capital(word(&object))));
            let mut name = object.name().to_owned();
            let field = form.title(ui, "Name", &mut name);
            if std::mem::take(&mut self.name_asked) {
                form::begin_typing(ui, &field, &name);
            }
            object.set_name(name.trim());
            size_ui(ui, sight, item);
            // First what the grower came for, then the fields.
            if let Object::Spot(spot) = &object {
                spot::summary_ui(ui, sight, &item.1);
                spot::readings_ui(ui, spot, &item.1, requests);
            }
            ui.add_space(space::XS);
            fields(&mut form, ui, sight, &mut object);
            outline::fields(&mut form, ui, &mut object);
            form.corners_of(ui, &mut object);
            caution_ui(ui, &object);
        });
        let name = site.name_of(item.0, &item.1);
        if form.has_changed() && object == before {
            // Nothing in the end: an outline that would have crossed, a name left as it was.
            form.forget();
        }
        form.settle(
            &mut self.pulled,
            &name,
            || changed(sight, item, object),
            requests,
        );
        if item.0 != ObjectKind::Window {
            ui.add_space(space::S);
            outline::turn_ui(ui, sight, std::slice::from_ref(item), requests);
        }
        ui.add_space(space::L);
        several::actions_ui(ui, sight, requests);
    }
}

/// The edit, with what must follow: windows fitted to a wall, what stands in a room moved along with it.
fn changed(sight: &Sight<'_>, item: &Item, mut object: Object) -> Edit {
    let site = sight.site();
    if let Some(before) = site.object(item.0, &item.1)
        && let Some(by) = outline::shift(&before, &object)
        && !site.drawing.is_locked(item.0, &item.1)
    {
        return Edit::All(change::moved(site, std::slice::from_ref(item), by, true));
    }
    if let Object::Room(room) = &object {
        let mut edits = reshape::windows_kept(site, &item.1, room);
        edits.insert(0, Edit::Put(item.1.clone(), object));
        return Edit::All(edits);
    }
    if let Object::Window(window) = &mut object
        && let Some(room) = site.rooms.get(&window.room)
    {
        window.wall = window.wall.min(room.outline.len().saturating_sub(1));
        if let Some(wall) = shape::wall(room, window.wall) {
            change::fit(window, wall.length());
        }
    }
    Edit::Put(item.1.clone(), object)
}

fn word(object: &Object) -> &'static str {
    match object {
        Object::Screen(s) => match s.kind {
            crate::site::ScreenKind::Wall => "wall",
            crate::site::ScreenKind::Fence => "fence",
            crate::site::ScreenKind::Hedge => "hedge",
        },
        Object::Window(w) => match w.kind {
            crate::site::WindowKind::Window => "window",
            crate::site::WindowKind::GlassDoor => "glass door",
            crate::site::WindowKind::Door => "door",
        },
        other => other.kind().word(),
    }
}

/// How large it is on the plan.
fn size_ui(ui: &mut Ui, sight: &Sight<'_>, item: &Item) {
    if item.0 == ObjectKind::Window {
        return;
    }
    let feet = sight.looking.units.feet;
    let words = match shape::shape(sight.site(), item) {
        Some(Shape::Area(outline)) => {
            let Some((low, high)) = geometry::bounds(outline.iter().copied()) else {
                return;
            };
            let size = high - low;
            format!(
                "{} by {}, {}",
                measure::length(size.x(), feet),
                measure::length(size.y(), feet),
                measure::area(geometry::signed_area(&outline).abs(), feet)
            )
        }
        Some(Shape::Line(line)) => {
            let length: f64 = line.windows(2).map(|w| w[0].distance(w[1])).sum();
            format!("{} long", measure::length(length, feet))
        }
        _ => return,
    };
    ui.label(text::caption(words));
}

fn fields(form: &mut ObjectForm, ui: &mut Ui, sight: &Sight<'_>, object: &mut Object) {
    let site = sight.site();
    match object {
        Object::Building(o) => house::building(form, ui, o),
        Object::Room(o) => house::room(form, ui, o),
        Object::Window(o) => house::window(form, ui, site, o),
        Object::Canopy(o) => garden::canopy(form, ui, o),
        Object::Screen(o) => garden::screen(form, ui, o),
        Object::Tree(o) => garden::tree(form, ui, sight.hemisphere(), o),
        Object::Ground(o) => garden::ground(form, ui, o),
        Object::Cloth(o) => garden::cloth(form, ui, o),
        Object::Heater(o) => devices::heater(form, ui, site, o),
        Object::Vent(o) => devices::vent(form, ui, site, o),
        Object::Fan(o) => devices::fan(form, ui, site, o),
        Object::Tray(o) => devices::tray(form, ui, site, o),
        Object::Spot(o) => spot::fields(form, ui, site, o),
        Object::Plant(_) | Object::Kind(_) => {}
    }
}

fn caution_ui(ui: &mut Ui, object: &Object) {
    let words = match object {
        Object::Heater(o) => devices::heater_caution(o.kind),
        Object::Fan(_) => devices::FAN_CAUTION,
        Object::Cloth(_) => garden::CLOTH_CAUTION,
        _ => return,
    };
    let t = theme::tokens(ui);
    ui.add_space(space::M);
    egui::Frame::new()
        .fill(t.caution_wash)
        .corner_radius(space::CORNER)
        .inner_margin(egui::Margin::same(space::S as i8))
        .show(ui, |ui| {
            ui.horizontal_top(|ui| {
                let (rect, _) =
                    ui.allocate_exact_size(egui::vec2(20.0, 20.0), egui::Sense::hover());
                icons::paint(ui.painter(), rect, icons::Icon::Caution, t.caution);
                ui.add(egui::Label::new(text::caption(words)).wrap());
            });
        });
}
