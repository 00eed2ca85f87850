//! Buildings, rooms, windows and doors.

use egui::{Color32, Stroke};

use super::{Pen, offset};
use crate::{
    app::canvas::shape::{self, WALL_M},
    base::{Pt, geometry},
    site::{Building, Roof, Window, WindowKind},
};

pub fn buildings(pen: &Pen<'_>) {
    for building in pen.site.buildings.values() {
        if building.outline.len() < 3 || !pen.sees(&building.outline, building.eaves_m) {
            continue;
        }
        let open =
            pen.site.rooms.values().any(|room| {
                geometry::contains(&building.outline, geometry::centroid(&room.outline))
            });
        pen.fill(&building.outline, pen.t.building);
        if open {
            // Cut through: what is not drawn as a room stays hatched.
            pen.hatch(
                &building.outline,
                45.0,
                7.0,
                Stroke::new(1.0, pen.t.wall_fill.gamma_multiply(0.35)),
            );
            pen.rim(&building.outline, pen.ink(2.2));
        } else {
            roof(pen, building);
            pen.rim(&building.outline, pen.ink(1.8));
        }
        if building.eaves_m > 0.05 {
            let eaves = offset(&building.outline, building.eaves_m);
            pen.dashes(
                &eaves,
                true,
                Stroke::new(1.0, pen.t.wall_fill.gamma_multiply(0.7)),
                5.0,
                4.0,
            );
        }
        if !open {
            let middle = pen.on.screen(geometry::centroid(&building.outline));
            pen.label(4, middle, &building.name, false, pen.t.ink_soft);
        }
    }
}

/// The rectangle along the longest wall that holds the outline: middle, half length, half width, direction.
fn roof_box(outline: &[Pt]) -> Option<(Pt, f64, f64, Pt)> {
    let (a, b) = geometry::edges(outline)
        .max_by(|(a, b), (c, d)| a.distance(*b).total_cmp(&c.distance(*d)))?;
    let along = (b - a).unit();
    let across = along.left();
    let span = |v: Pt| {
        outline
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), p| {
                (lo.min(p.dot(v)), hi.max(p.dot(v)))
            })
    };
    let ((u0, u1), (v0, v1)) = (span(along), span(across));
    let middle = along * ((u0 + u1) * 0.5) + across * ((v0 + v1) * 0.5);
    let (l, w) = ((u1 - u0) * 0.5, (v1 - v0) * 0.5);
    // The ridge lies along the longer side.
    Some(if l >= w {
        (middle, l, w, along)
    } else {
        (middle, w, l, across)
    })
}

fn roof(pen: &Pen<'_>, building: &Building) {
    let Some((middle, l, w, along)) = roof_box(&building.outline) else {
        return;
    };
    let across = along.left();
    let at = |u: f64, v: f64| middle + along * u + across * v;
    let ridge = pen.ink(1.4);
    let slope = Stroke::new(1.0, pen.t.wall_fill.gamma_multiply(0.8));
    let tiles = Stroke::new(1.0, pen.t.wall_fill.gamma_multiply(0.22));
    let tilt = |v: Pt| (v.y().atan2(v.x())).to_degrees() as f32;
    match building.roof {
        Roof::Flat => {
            pen.rim(&offset(&building.outline, -0.25), slope);
        }
        Roof::Gable { .. } => {
            pen.hatch(&building.outline, tilt(across), 6.0, tiles);
            pen.line(&[at(-l, 0.0), at(l, 0.0)], ridge);
        }
        Roof::Hip { .. } => {
            pen.hatch(&building.outline, tilt(along), 6.0, tiles);
            let end = (l - w).max(0.0);
            pen.line(&[at(-end, 0.0), at(end, 0.0)], ridge);
            for (u, v) in [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)] {
                pen.line(&[at(u * l, v * w), at(u * end, 0.0)], slope);
            }
        }
        Roof::Lean { towards_deg, .. } => {
            let up = Pt::towards(towards_deg.to_radians());
            pen.hatch(&building.outline, tilt(up), 6.0, tiles);
            let foot = middle - up * (w * 0.5);
            pen.painter
                .arrow(pen.on.screen(foot), pen.on.vector(up * w), slope);
        }
    }
}

/// Walls first, all floors after, so that the wall between two rooms is drawn once.
pub fn rooms(pen: &Pen<'_>) {
    let seen = || {
        pen.site
            .rooms
            .values()
            .filter(|r| r.outline.len() >= 3 && pen.sees(&r.outline, 0.5))
    };
    for room in seen() {
        let ring = offset(&room.outline, WALL_M);
        if room.glazed_walls.is_some() {
            pen.fill(&ring, pen.t.glass);
            pen.rim(&ring, Stroke::new(1.2, pen.t.glass_line));
        } else {
            pen.fill(&ring, pen.t.wall);
        }
    }
    for room in seen() {
        pen.fill(&room.outline, pen.t.floor);
        if room.glazed_roof.is_some() {
            // Glazing bars overhead.
            pen.hatch(
                &room.outline,
                90.0,
                pen.on.points(0.6).max(8.0),
                Stroke::new(1.0, pen.t.glass),
            );
        }
    }
}

/// Sun patches, cut off at the walls. `rect` is where the whole picture would lie on the screen.
pub fn sun_patches(pen: &Pen<'_>, picture: egui::TextureId, rect: egui::Rect) {
    for room in pen.site.rooms.values() {
        if room.outline.len() >= 3 && pen.sees(&room.outline, 0.0) {
            pen.fill_picture(&room.outline, picture, rect);
        }
    }
}

/// Over the sun patches.
pub fn room_rims(pen: &Pen<'_>) {
    for (id, room) in pen.site.rooms.iter() {
        if room.outline.len() < 3 || !pen.sees(&room.outline, 0.5) {
            continue;
        }
        let stroke = if room.glazed_walls.is_some() {
            Stroke::new(1.2, pen.t.glass_line)
        } else {
            pen.ink(1.2)
        };
        pen.rim(&room.outline, stroke);
        let rect = pen.on.around(&room.outline);
        if rect.width() > 56.0 && rect.height() > 24.0 {
            let name = pen.site.name_of(crate::site::edit::ObjectKind::Room, id);
            pen.title(3, rect, &name);
        }
    }
}

pub fn windows(pen: &Pen<'_>) {
    for window in pen.site.windows.values() {
        opening(pen, window);
    }
}

fn opening(pen: &Pen<'_>, window: &Window) {
    let Some(o) = shape::opening(pen.site, window) else {
        return;
    };
    if !pen.sees(&[o.a, o.b], 1.0) {
        return;
    }
    let out = o.inward * -1.0;
    let depth = shape::opening_depth(window);
    let at = |p: Pt, d: f64| p + out * d;
    let quad = |near: f64, far: f64| [at(o.a, near), at(o.b, near), at(o.b, far), at(o.a, far)];
    // The opening cuts through the wall.
    pen.fill(&quad(-0.01, depth + 0.01), pen.t.floor);
    for p in [o.a, o.b] {
        pen.line(&[at(p, 0.0), at(p, depth)], pen.ink(1.4));
    }
    let thin = pen.ink(1.0);
    let glass_at = window.reveal_m.min(depth);
    let pane = 0.045_f64.max(pen.on.metres(3.0));
    match window.kind {
        WindowKind::Window | WindowKind::GlassDoor => {
            pen.fill(
                &quad(glass_at - pane * 0.5, glass_at + pane * 0.5),
                pen.t.glass,
            );
            let glass = Stroke::new(1.2, pen.t.glass_line);
            for d in [glass_at - pane * 0.5, glass_at + pane * 0.5] {
                pen.line(&[at(o.a, d), at(o.b, d)], glass);
            }
            if window.kind == WindowKind::Window {
                // Sill board and outer edge of the reveal.
                for d in [0.0, depth] {
                    pen.line(&[at(o.a, d), at(o.b, d)], Stroke::new(1.0, pen.t.wall_fill));
                }
            } else {
                leaf(pen, &o, glass_at, Stroke::new(1.2, pen.t.glass_line));
            }
        }
        WindowKind::Door => {
            pen.line(
                &[at(o.a, depth), at(o.b, depth)],
                Stroke::new(1.0, pen.t.wall_fill),
            );
            leaf(pen, &o, 0.0, thin);
        }
    }
    coverings(pen, window, &o);
}

/// A door's leaf, open, and the quarter circle it sweeps.
fn leaf(pen: &Pen<'_>, o: &shape::Opening, depth: f64, stroke: Stroke) {
    let hinge = o.a - o.inward * depth;
    let width = o.a.distance(o.b);
    let (along, open) = ((o.b - o.a).unit(), o.inward);
    let arc: Vec<Pt> = (0..=12)
        .map(|k| {
            let turn = std::f64::consts::FRAC_PI_2 * f64::from(k) / 12.0;
            hinge + (along * turn.cos() + open * turn.sin()) * width
        })
        .collect();
    pen.line(
        &[hinge, hinge + open * width],
        Stroke::new(stroke.width + 0.6, stroke.color),
    );
    pen.line(&arc, Stroke::new(1.0, faint(stroke.color)));
}

/// Net, screen, blind or curtain drawn in this month: a broken line on the room's side.
fn coverings(pen: &Pen<'_>, window: &Window, o: &shape::Opening) {
    for covering in window.coverings.iter().filter(|c| c.months.has(pen.month0)) {
        let stand = if covering.behind_plants { 0.35 } else { 0.05 };
        let shift = o.inward * stand;
        let stroke = Stroke::new(1.4, pen.t.cloth);
        pen.dashes(&[o.a + shift, o.b + shift], false, stroke, 3.0, 2.0);
    }
}

fn faint(colour: Color32) -> Color32 {
    colour.gamma_multiply(0.55)
}
