//! Fields that many objects have: months, hours, rooms, places, corners.

use egui::{Sense, Stroke, Ui, WidgetInfo, accesskit::Role, vec2};

use super::ObjectForm;
use crate::{
    app::{
        canvas::shape,
        parts::form::quantity::Quantity,
        theme::{self, text},
    },
    base::{Id, Months, Pt, calendar::MONTH_NAMES},
    site::{
        Site, Timetable,
        edit::{Object, ObjectKind},
    },
};

impl ObjectForm {
    /// Twelve months to switch on and off.
    pub fn months(&mut self, ui: &mut Ui, name: &str, help: &str, value: &mut Months) {
        let words = if value.is_all() {
            format!("{name}: all year")
        } else {
            name.to_owned()
        };
        let label = ui.add(egui::Label::new(text::soft(words)).sense(Sense::hover()));
        if !help.is_empty() {
            label.on_hover_text(help);
        }
        let t = theme::tokens(ui);
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 2.0;
            let width = ((ui.available_width() - 22.0) / 12.0).clamp(16.0, 30.0);
            for (month0, month) in MONTH_NAMES.iter().enumerate() {
                let on = value.has(month0);
                let (rect, response) = ui.allocate_exact_size(vec2(width, 24.0), Sense::click());
                response.widget_info(|| {
                    WidgetInfo::selected(Role::CheckBox, true, on, format!("{name} in {month}"))
                });
                if response.clicked() {
                    *value = value.with(month0, !on);
                    self.mark(name);
                }
                let painter = ui.painter();
                if on {
                    painter.rect_filled(rect, 2, t.accent_wash);
                    painter.hline(
                        rect.x_range().shrink(2.0),
                        rect.bottom() - 1.5,
                        Stroke::new(2.5, t.accent),
                    );
                } else if response.hovered() {
                    painter.rect_filled(rect, 2, t.hover_wash);
                }
                if response.has_focus() {
                    painter.rect_stroke(
                        rect,
                        2,
                        Stroke::new(1.5, t.accent),
                        egui::StrokeKind::Inside,
                    );
                }
                let (font, ink) = if on {
                    (text::semibold(text::SMALL), t.ink)
                } else {
                    (text::regular(text::SMALL), t.ink_soft)
                };
                let letter = month.get(..1).unwrap_or("");
                painter.text(
                    rect.center(),
                    egui::Align2::CENTER_CENTER,
                    letter,
                    font,
                    ink,
                );
                response.on_hover_text(*month);
            }
        });
    }

    /// From hour to hour; equal hours mean all day.
    pub fn hours(&mut self, ui: &mut Ui, name: &str, help: &str, from: &mut f64, to: &mut f64) {
        self.row(ui, name, help, |form, ui| {
            form.bare_number(
                ui,
                &format!("{name} from"),
                help,
                Quantity::Hour,
                0.0..=24.0,
                from,
            );
            ui.label(text::soft("to"));
            form.bare_number(
                ui,
                &format!("{name} to"),
                help,
                Quantity::Hour,
                0.0..=24.0,
                to,
            );
        });
        if (*from - *to).abs() < 1e-9 {
            ui.label(text::caption("Equal hours: all day"));
        }
    }

    pub fn timetable(&mut self, ui: &mut Ui, value: &mut Timetable) {
        self.section(ui, "When it runs");
        self.months(ui, "Runs", "Months in which it runs.", &mut value.months);
        self.hours(
            ui,
            "Hours",
            "Clock hours between which it runs; round midnight is fine.",
            &mut value.from_h,
            &mut value.to_h,
        );
    }

    /// A room of the site.
    pub fn room(&mut self, ui: &mut Ui, site: &Site, value: &mut Id) {
        let rooms = rooms(site);
        let all: Vec<(Id, &str)> = rooms
            .iter()
            .map(|(id, name)| (id.clone(), name.as_str()))
            .collect();
        self.choice(ui, "Room", "The room it belongs to.", value, &all);
    }

    /// A room, or the open air.
    pub fn room_or_outdoors(&mut self, ui: &mut Ui, site: &Site, value: &mut Option<Id>) {
        let rooms = rooms(site);
        let mut all: Vec<(Option<Id>, &str)> = vec![(None, "outdoors")];
        all.extend(
            rooms
                .iter()
                .map(|(id, name)| (Some(id.clone()), name.as_str())),
        );
        self.choice(
            ui,
            "Stands in",
            "The room it is in. Heights count from its floor.",
            value,
            &all,
        );
    }

    pub fn place(&mut self, ui: &mut Ui, at: &mut Pt) {
        self.row(ui, "Place", "Right and up on the plan.", |form, ui| {
            form.bare_number(
                ui,
                "Place, to the right",
                "",
                Quantity::Length,
                -5_000.0..=5_000.0,
                &mut at.0,
            );
            form.bare_number(
                ui,
                "Place, upwards",
                "",
                Quantity::Length,
                -5_000.0..=5_000.0,
                &mut at.1,
            );
        });
    }

    /// Every corner by its figures, for exact plans and for hands without a pointer.
    pub fn corners(&mut self, ui: &mut Ui, points: &mut Vec<Pt>, is_sound: impl Fn(&[Pt]) -> bool) {
        let before = points.clone();
        egui::CollapsingHeader::new(text::soft(format!("Corners ({})", points.len())))
            .id_salt("corners")
            .show(ui, |ui| {
                for (i, p) in points.iter_mut().enumerate() {
                    let name = format!("Corner {}", i + 1);
                    self.row(ui, &name, "Right and up on the plan.", |form, ui| {
                        form.bare_number(
                            ui,
                            &format!("{name}, to the right"),
                            "",
                            Quantity::Length,
                            -5_000.0..=5_000.0,
                            &mut p.0,
                        );
                        form.bare_number(
                            ui,
                            &format!("{name}, upwards"),
                            "",
                            Quantity::Length,
                            -5_000.0..=5_000.0,
                            &mut p.1,
                        );
                    });
                }
            });
        if *points != before && !is_sound(points) {
            *points = before;
            self.changed = None;
        }
    }

    /// Corners of an object, kept sound.
    pub fn corners_of(&mut self, ui: &mut Ui, object: &mut Object) {
        let frame = object.clone();
        if let Some(points) = shape::corners_mut(object) {
            self.corners(ui, points, |p| {
                let mut probe = frame.clone();
                if let Some(own) = shape::corners_mut(&mut probe) {
                    *own = p.to_vec();
                }
                shape::is_sound(&probe)
            });
        }
    }
}

fn rooms(site: &Site) -> Vec<(Id, String)> {
    site.rooms
        .ids()
        .map(|id| (id.clone(), site.name_of(ObjectKind::Room, id)))
        .collect()
}
