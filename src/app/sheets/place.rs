//! Where the site lies: a town found by name, or typed coordinates.

use egui::{Key, TextEdit, Ui};

use crate::{
    app::{
        parts::{
            figures,
            form::{Form, number_ui, quantity::Quantity, quantity_ui, row_ui, text_ui},
        },
        state::{Request, Sight, Units},
        theme::{self, space, text},
    },
    places::{self, Town},
    site::{Place, edit::Edit},
};

const STEP: &str = "Change the place";
const MOST_SHOWN: usize = 8;

/// What is typed into the search, and what was found for it.
#[derive(Default)]
pub struct PlaceSheet {
    typed: String,
    searched: String,
    found: Vec<&'static Town>,
    near: Option<Near>,
}

/// The nearest town, kept while the coordinates stay.
struct Near {
    of: (f64, f64),
    town: Option<(&'static Town, f64)>,
}

impl PlaceSheet {
    pub fn show_ui(
        &mut self,
        ui: &mut Ui,
        sight: &Sight<'_>,
        form: &mut Form,
        requests: &mut Vec<Request>,
    ) {
        self.search_ui(ui, sight, requests);
        self.fields_ui(ui, sight, form, requests);
    }

    pub(super) fn search_ui(
        &mut self,
        ui: &mut Ui,
        sight: &Sight<'_>,
        requests: &mut Vec<Request>,
    ) {
        let mut chosen = None;
        row_ui(ui, "Find a town", |ui| {
            let field = TextEdit::singleline(&mut self.typed)
                .hint_text("Town, or town, country")
                .desired_width(ui.available_width().min(260.0));
            let r = ui.add(field).accessible_name("Find a town");
            if self.typed != self.searched {
                self.found = places::find(&self.typed, MOST_SHOWN);
                self.searched.clone_from(&self.typed);
            }
            if r.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter)) {
                chosen = self.found.first().copied();
            }
        });
        for town in &self.found {
            if found_ui(ui, sight, town) {
                chosen = Some(town);
            }
        }
        if self.found.is_empty() && !self.typed.trim().is_empty() {
            ui.label(text::soft(
                "No town of 5,000 people or more begins so. Take the nearest larger one and then set the coordinates, or \
                 type latitude and longitude here, such as 47.4, 8.5.",
            ));
        }
        if !self.typed.is_empty() {
            ui.label(text::caption("Towns: GeoNames, CC BY 4.0"));
            ui.add_space(space::S);
        }
        if let Some(town) = chosen {
            requests.push(Request::Edit(
                format!("Move the site to {}", town.name),
                Edit::SetPlace(sight.site().place.moved_to(town)),
            ));
            let height = town.elevation_m.map_or_else(
                || "Its height is not known: please type it.".to_owned(),
                |m| {
                    format!(
                        "Its height, {}, is that of the town: please check it.",
                        Quantity::Elevation.words(m, sight.looking.units)
                    )
                },
            );
            requests.push(Request::Say(format!(
                "The site is in {} now. {height}",
                town.name
            )));
            self.typed.clear();
            self.searched.clear();
            self.found.clear();
        }
    }

    fn fields_ui(
        &mut self,
        ui: &mut Ui,
        sight: &Sight<'_>,
        form: &mut Form,
        requests: &mut Vec<Request>,
    ) {
        let old = &sight.site().place;
        let units = sight.looking.units;
        let mut next = Place::clone(old);
        row_ui(ui, "Place", |ui| {
            let r = text_ui(ui, "Place", &mut next.name);
            form.watch(&r, STEP, requests);
        });
        for (name, value, range, speed, unit) in [
            (
                "Latitude, north +",
                &mut next.latitude_deg,
                -90.0..=90.0,
                0.01,
                "°",
            ),
            (
                "Longitude, east +",
                &mut next.longitude_deg,
                -180.0..=180.0,
                0.01,
                "°",
            ),
            (
                "Plan-up points to",
                &mut next.plan_north_deg,
                -180.0..=360.0,
                0.5,
                "° from north",
            ),
        ] {
            row_ui(ui, name, |ui| {
                let before = *value;
                let r = number_ui(ui, name, value, range, speed, unit);
                form.watch(&r, STEP, requests);
                if !r.changed() {
                    // Showing a figure must not round it.
                    *value = before;
                }
            });
        }
        let name = "Above the sea";
        row_ui(ui, name, |ui| {
            let value = &mut next.elevation_m;
            let ends = -430.0..=6000.0;
            let r = quantity_ui(ui, units, name, Quantity::Elevation, ends, value);
            form.watch(&r, STEP, requests);
        });
        ground_ui(ui, units, &mut next, form, requests);
        row_ui(ui, "Time zone", |ui| {
            let r = text_ui(ui, "Time zone", &mut next.time_zone);
            form.watch(&r, STEP, requests);
        });
        if next != **old {
            requests.push(Request::Edit(STEP.to_owned(), Edit::SetPlace(next)));
        }
        self.nearest_ui(ui, sight, requests);
    }

    /// The nearest town, as a check of typed coordinates, and its time zone where it differs.
    fn nearest_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        let place = &sight.site().place;
        let of = (place.latitude_deg, place.longitude_deg);
        if self.near.as_ref().is_none_or(|n| n.of != of) {
            self.near = Some(Near {
                of,
                town: places::nearest(of.0, of.1),
            });
        }
        let Some((town, km)) = self.near.as_ref().and_then(|n| n.town) else {
            return;
        };
        let away = Quantity::Distance.words(km, sight.looking.units);
        if km >= 2.0 || town.name != place.name {
            ui.label(text::caption(format!(
                "The nearest town in the list is {}, {away} away.",
                town.full_name()
            )));
        }
        if town.time_zone != place.time_zone {
            ui.horizontal_wrapped(|ui| {
                ui.label(text::caption(format!(
                    "Clocks there keep {}.",
                    town.time_zone
                )));
                if ui.small_button(format!("Use {}", town.time_zone)).clicked() {
                    let mut next = Place::clone(place);
                    town.time_zone.clone_into(&mut next.time_zone);
                    requests.push(Request::Edit(STEP.to_owned(), Edit::SetPlace(next)));
                }
            });
        }
    }
}

/// The sea, and how the ground lies.
fn ground_ui(
    ui: &mut Ui,
    units: Units,
    next: &mut Place,
    form: &mut Form,
    requests: &mut Vec<Request>,
) {
    let level = next.slope_deg <= 0.0;
    for (name, value, most, unit, help) in [
        (
            "Ground falls by",
            &mut next.slope_deg,
            45.0,
            "°",
            "How steep the garden is. Cold air runs down a slope and stands behind what lies across it.",
        ),
        (
            "Falls towards",
            &mut next.falls_towards_deg,
            360.0,
            "° from up on the plan",
            "Clockwise from up on the plan.",
        ),
    ] {
        if name == "Falls towards" && level {
            continue;
        }
        row_ui(ui, name, |ui| {
            let before = *value;
            let r = number_ui(ui, name, value, 0.0..=most, 0.5, unit);
            form.watch(&r, STEP, requests);
            if !r.changed() {
                *value = before;
            }
            r.on_hover_text(help);
        });
    }
    row_ui(ui, "To the sea", |ui| {
        let by_map = places::coast_km(next.latitude_deg, next.longitude_deg);
        let mut km = next.coast_km.unwrap_or(by_map);
        let ends = 0.0..=3000.0;
        let r = quantity_ui(ui, units, "To the sea", Quantity::Distance, ends, &mut km);
        form.watch(&r, STEP, requests);
        if r.changed() {
            next.coast_km = Some(km);
        }
        r.on_hover_text("It matters only while temperatures are not known.");
        if next.coast_km.is_some() {
            if ui.small_button("By the map").clicked() {
                next.coast_km = None;
            }
        } else {
            ui.label(text::caption("by a coarse map"));
        }
    });
}

/// One town of the list; true when it is chosen.
fn found_ui(ui: &mut Ui, sight: &Sight<'_>, town: &Town) -> bool {
    let t = theme::tokens(ui);
    let full = town.full_name();
    let rest = full.strip_prefix(town.name).unwrap_or(&full);
    let mut job = egui::text::LayoutJob::default();
    let format = |colour, font| egui::TextFormat {
        color: colour,
        font_id: font,
        ..Default::default()
    };
    job.append(town.name, 0.0, format(t.ink, text::semibold(text::BODY)));
    job.append(rest, 0.0, format(t.ink_soft, text::regular(text::SMALL)));
    let height = town.elevation_m.map_or_else(String::new, |m| {
        format!(", {}", Quantity::Elevation.words(m, sight.looking.units))
    });
    ui.add(egui::Button::new(job).frame(false).truncate())
        .on_hover_text(format!(
            "{}{height}, {}",
            figures::coordinates(town.latitude_deg, town.longitude_deg),
            town.time_zone
        ))
        .accessible_name(full)
        .clicked()
}
