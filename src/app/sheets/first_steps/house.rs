//! The house, from a simple shape and a few sizes.

use egui::{Rect, Sense, Stroke, StrokeKind, Ui, WidgetInfo, accesskit::Role, pos2, vec2};

use super::shapes::{HouseShape, Measure, Sizes};
use crate::{
    app::{
        parts::{
            form::{first_ui, number_ui, quantity::Quantity, quantity_ui, row_ui},
            kept::Kept,
        },
        state::{Request, Sight, Units},
        theme::{self, space, text},
    },
    base::{Pt, geometry, names},
    site::{Site, edit::Edit},
};

#[derive(Default)]
pub struct HouseStep {
    shape: HouseShape,
    sizes: Option<Sizes>,
    signs: Kept<(), Vec<(HouseShape, Site)>>,
}

impl HouseStep {
    pub fn show_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        let site = sight.site();
        let drawn = !site.buildings.is_empty() || !site.rooms.is_empty();
        if drawn {
            ui.label(text::soft(
                "Walls and rooms are on the plan. Move corners and walls there until they are right; another house can be \
                 set beside.",
            ));
        } else {
            ui.label(text::soft(
                "Choose the shape that comes nearest. A sketch to scale is enough, and every wall can be moved later.",
            ));
        }
        let sizes = self
            .sizes
            .get_or_insert_with(|| Sizes::usual(site.hemisphere()));
        ui.horizontal_wrapped(|ui| {
            for shape in HouseShape::ALL {
                let signs = self.signs.get((), || HouseShape::ALL.map(sign).to_vec());
                let sign = signs.iter().find(|s| s.0 == shape).map(|s| &s.1);
                if shape_ui(ui, (shape, sign), self.shape == shape) {
                    self.shape = shape;
                }
            }
        });
        ui.label(text::strong(self.shape.name()));
        for measure in self.shape.measures() {
            measure_ui(ui, sight.looking.units, self.shape, *measure, sizes);
        }
        facing_ui(ui, sizes, site, drawn);
        ui.add_space(space::XS);
        ui.horizontal(|ui| {
            let pressed = if drawn {
                ui.button("Draw another beside it").clicked()
            } else {
                first_ui(ui, "Draw it")
            };
            if pressed {
                requests.push(Request::Edit(
                    format!("Draw a {}", self.shape.name().to_lowercase()),
                    Edit::All(self.shape.drawn(sizes, site)),
                ));
            }
        });
    }
}

/// A shape to choose, with a small drawing of it.
fn shape_ui(ui: &mut Ui, (shape, sign): (HouseShape, Option<&Site>), chosen: bool) -> bool {
    let t = theme::tokens(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(58.0, 52.0), Sense::click());
    response.widget_info(|| WidgetInfo::selected(Role::RadioButton, true, chosen, shape.name()));
    if ui.is_rect_visible(rect) {
        let ground = if chosen {
            t.accent_wash
        } else if response.hovered() {
            t.hover_wash
        } else {
            t.sheet
        };
        let edge = if chosen {
            Stroke::new(1.5, t.accent)
        } else {
            Stroke::new(1.0, t.line_strong)
        };
        ui.painter()
            .rect(rect, space::CORNER, ground, edge, StrokeKind::Inside);
        if let Some(site) = sign {
            sign_paint(ui, rect.shrink(7.0), site);
        }
    }
    response.clone().on_hover_text(shape.name());
    response.clicked()
}

/// A house of the shape, to be drawn small.
fn sign(shape: HouseShape) -> (HouseShape, Site) {
    let mut site = Site::default();
    let sizes = Sizes {
        porch_width_m: 4.0,
        porch_depth_m: 2.8,
        ..Sizes::usual(site.hemisphere())
    };
    // A small picture says no more than the outlines, so nothing is lost where an edit is refused.
    let _ = site.apply(Edit::All(shape.drawn(&sizes, &Site::default())));
    (shape, site)
}

/// Outlines of a site in a small rectangle.
fn sign_paint(ui: &Ui, rect: Rect, site: &Site) {
    let t = theme::tokens(ui);
    let outlines = site
        .buildings
        .values()
        .map(|b| &b.outline)
        .chain(site.rooms.values().map(|r| &r.outline))
        .chain(site.canopies.values().map(|c| &c.outline));
    let Some((low, high)) = geometry::bounds(outlines.flatten().copied()) else {
        return;
    };
    let size = high - low;
    let scale = (f64::from(rect.width()) / size.x()).min(f64::from(rect.height()) / size.y());
    let middle = low.lerp(high, 0.5);
    let at = |p: &Pt| {
        let d = *p - middle;
        pos2(
            rect.center().x + (d.x() * scale) as f32,
            rect.center().y - (d.y() * scale) as f32,
        )
    };
    let painter = ui.painter();
    let closed = |outline: &[Pt], fill, stroke| {
        let points = outline.iter().map(at).collect();
        painter.add(egui::Shape::convex_polygon(points, fill, stroke));
    };
    for building in site.buildings.values() {
        closed(&building.outline, t.building, Stroke::new(1.0, t.wall));
    }
    for room in site.rooms.values() {
        let glass = room.glazed_walls.is_some();
        let pen = if glass { t.glass_line } else { t.wall };
        closed(&room.outline, t.floor, Stroke::new(1.0, pen));
    }
    for canopy in site.canopies.values() {
        closed(
            &canopy.outline,
            egui::Color32::TRANSPARENT,
            Stroke::new(1.0, t.ink_soft),
        );
    }
}

fn measure_ui(ui: &mut Ui, units: Units, shape: HouseShape, measure: Measure, s: &mut Sizes) {
    let name = shape.measure_name(measure);
    let widest = (s.width_m - 1.5).max(1.6);
    match measure {
        Measure::Storeys => count_ui(ui, name, 1..=4, &mut s.storeys),
        Measure::FloorsUp => count_ui(ui, name, 1..=20, &mut s.floors_up),
        Measure::Width => length_ui(ui, units, name, 3.0..=60.0, &mut s.width_m),
        Measure::Depth => length_ui(ui, units, name, 3.0..=40.0, &mut s.depth_m),
        Measure::WingWidth => length_ui(ui, units, name, 1.5..=widest, &mut s.wing_width_m),
        Measure::WingDepth => length_ui(ui, units, name, 1.5..=30.0, &mut s.wing_depth_m),
        Measure::PorchWidth => length_ui(ui, units, name, 1.0..=s.width_m, &mut s.porch_width_m),
        Measure::PorchDepth => length_ui(ui, units, name, 0.8..=8.0, &mut s.porch_depth_m),
    }
}

fn count_ui(ui: &mut Ui, name: &str, range: std::ops::RangeInclusive<u32>, value: &mut u32) {
    row_ui(ui, name, |ui| {
        let mut shown = f64::from(*value);
        let ends = f64::from(*range.start())..=f64::from(*range.end());
        number_ui(ui, name, &mut shown, ends, 1.0, "");
        *value = shown.round() as u32;
    });
}

pub(super) fn length_ui(
    ui: &mut Ui,
    units: Units,
    name: &str,
    range: std::ops::RangeInclusive<f64>,
    metres: &mut f64,
) {
    // A wing may have become too wide for a house made narrower.
    *metres = metres.clamp(*range.start(), *range.end());
    row_ui(ui, name, |ui| {
        quantity_ui(ui, units, name, Quantity::Length, range, metres);
    });
}

/// Which way the front looks: turned by pulling, typed, or one of eight.
fn facing_ui(ui: &mut Ui, sizes: &mut Sizes, site: &Site, drawn: bool) {
    if drawn {
        let foot = site.place.plan_north_deg + 180.0;
        ui.label(text::caption(format!(
            "The foot of the plan looks {}; a house beside it has its front there too.",
            names::compass(foot)
        )));
        return;
    }
    row_ui(ui, "Its front looks to", |ui| {
        let mut shown = sizes.front_deg;
        if number_ui(ui, "Its front looks to", &mut shown, 0.0..=360.0, 1.0, "°").changed() {
            sizes.front_deg = shown.rem_euclid(360.0);
        }
        ui.label(text::soft(names::compass(sizes.front_deg)));
    });
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = space::XS;
        for (point, word) in names::POINTS.iter().enumerate() {
            let deg = point as f64 * 45.0;
            let on = (sizes.front_deg - deg).abs() < 0.5;
            if ui
                .selectable_label(on, *word)
                .on_hover_text(format!("The front looks {}", names::compass(deg)))
                .clicked()
            {
                sizes.front_deg = deg;
            }
        }
    });
    ui.label(text::caption(
        "The front is drawn at the foot of the plan, and the north arrow turned to suit.",
    ));
}
