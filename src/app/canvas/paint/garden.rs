//! Ground surfaces, canopies, walls, fences, hedges, trees.

use std::f64::consts::TAU;

use egui::{Color32, Stroke};

use super::Pen;
use crate::{
    app::canvas::shape,
    base::{Id, Pt, geometry},
    site::{GroundKind, Leafing, Screen, ScreenKind, Tree, edit::ObjectKind},
};

pub fn grounds(pen: &Pen<'_>) {
    for (id, ground) in pen.site.grounds.iter() {
        if ground.outline.len() < 3 || !pen.sees(&ground.outline, 0.0) {
            continue;
        }
        let t = pen.t;
        let outline = &ground.outline;
        let thin = |colour: Color32, share: f32| Stroke::new(1.0, colour.gamma_multiply(share));
        let tint = match ground.kind {
            GroundKind::Lawn => t.lawn,
            GroundKind::PalePaving | GroundKind::Gravel => t.paving,
            GroundKind::DarkPaving => t.paving.lerp_to_gamma(t.wall_fill, 0.2),
            GroundKind::Soil => t.soil,
            GroundKind::Decking => t.soil.lerp_to_gamma(t.paving, 0.5),
            GroundKind::Water => t.outdoors.lerp_to_gamma(t.water, 0.35),
        };
        pen.fill(outline, tint);
        let joint = thin(t.wall_fill, 0.28);
        match ground.kind {
            GroundKind::PalePaving | GroundKind::DarkPaving => {
                let slab = pen.on.points(0.5);
                if slab > 9.0 {
                    pen.hatch(outline, 0.0, slab, joint);
                    pen.hatch(outline, 90.0, slab, joint);
                }
            }
            GroundKind::Decking => {
                let board = pen.on.points(0.14);
                pen.hatch(outline, 0.0, board.max(5.0), joint);
            }
            GroundKind::Water => pen.hatch(outline, 0.0, 9.0, thin(t.water, 0.35)),
            GroundKind::Gravel => stipple(pen, outline, t.wall_fill.gamma_multiply(0.4)),
            GroundKind::Soil => pen.hatch(outline, 30.0, 9.0, thin(t.wall_fill, 0.14)),
            GroundKind::Lawn => {}
        }
        pen.rim(outline, thin(t.wall_fill, 0.55));
        let rect = pen.on.around(outline);
        if pen.is_large() && rect.width() > 90.0 && rect.height() > 40.0 {
            let name = pen.site.name_of(ObjectKind::Ground, id);
            pen.label(
                6,
                pen.on.screen(geometry::centroid(outline)),
                &name,
                false,
                pen.t.ink_soft,
            );
        }
    }
}

/// Dots strewn evenly but not in rows, at fixed places on the plan.
fn stipple(pen: &Pen<'_>, outline: &[Pt], colour: Color32) {
    let step = 0.16_f64.max(pen.on.metres(9.0));
    let (low, high) = pen.on.seen();
    let Some((a, b)) = geometry::bounds(outline.iter().copied()) else {
        return;
    };
    let (x0, x1) = (
        (low.x().max(a.x()) / step).floor() as i64,
        (high.x().min(b.x()) / step).ceil() as i64,
    );
    let (y0, y1) = (
        (low.y().max(a.y()) / step).floor() as i64,
        (high.y().min(b.y()) / step).ceil() as i64,
    );
    if (x1 - x0).saturating_mul(y1 - y0) > 6_000 {
        return;
    }
    for i in x0..=x1 {
        for j in y0..=y1 {
            let p = Pt(
                (i as f64 + scatter(i, j)) * step,
                (j as f64 + scatter(j, i + 7)) * step,
            );
            if geometry::contains(outline, p) {
                pen.painter.circle_filled(pen.on.screen(p), 0.9, colour);
            }
        }
    }
}

/// A number in 0..1 that is always the same for the same two.
fn scatter(i: i64, j: i64) -> f64 {
    let mixed =
        (i.wrapping_mul(0x9e37_79b9) ^ j.wrapping_mul(0x85eb_ca6b)).wrapping_mul(0xc2b2_ae35);
    (mixed.unsigned_abs() >> 7 & 0xffff) as f64 / 65_536.0
}

pub fn screens(pen: &Pen<'_>) {
    for screen in pen.site.screens.values() {
        if screen.line.len() < 2 || !pen.sees(&screen.line, 1.0) {
            continue;
        }
        match screen.kind {
            ScreenKind::Wall => {
                let width = pen.on.points(screen.thickness_m).max(2.5);
                pen.line(&screen.line, Stroke::new(width, pen.t.wall));
            }
            ScreenKind::Fence => fence(pen, screen),
            ScreenKind::Hedge => hedge(pen, screen),
        }
        if pen.is_large() {
            let at = pen.on.screen(shape::along(&screen.line, 0.5));
            pen.label(
                6,
                at + egui::vec2(0.0, 12.0),
                &screen.name,
                false,
                pen.t.ink_soft,
            );
        }
    }
}

fn fence(pen: &Pen<'_>, screen: &Screen) {
    pen.line(&screen.line, pen.ink(1.4));
    let length: f64 = screen.line.windows(2).map(|w| w[0].distance(w[1])).sum();
    let posts = (length / 1.8).ceil().clamp(1.0, 200.0) as usize;
    for k in 0..=posts {
        let at = pen
            .on
            .screen(shape::along(&screen.line, k as f64 / posts as f64));
        pen.painter.rect_filled(
            egui::Rect::from_center_size(at, egui::Vec2::splat(4.5)),
            0,
            pen.t.wall,
        );
    }
}

fn hedge(pen: &Pen<'_>, screen: &Screen) {
    let bare = screen.bare_porosity.is_some() && !screen.leaf_months.has(pen.month0);
    let width = pen.on.points(screen.thickness_m).max(7.0);
    if bare {
        pen.dashes(
            &screen.line,
            false,
            Stroke::new(width, pen.t.leaf.gamma_multiply(0.25)),
            5.0,
            5.0,
        );
        pen.line(&screen.line, Stroke::new(1.2, pen.t.leaf_deep));
        return;
    }
    pen.line(
        &screen.line,
        Stroke::new(width, pen.t.leaf.gamma_multiply(0.6)),
    );
    // Tufts along the middle, so that it is a hedge without its colour too.
    let length: f64 = screen.line.windows(2).map(|w| w[0].distance(w[1])).sum();
    let count = (f64::from(pen.on.points(length)) / 9.0).clamp(2.0, 300.0) as usize;
    for k in 0..=count {
        let side = if k % 2 == 0 { 1.0 } else { -1.0 };
        let at = pen
            .on
            .screen(shape::along(&screen.line, k as f64 / count as f64));
        let stroke = Stroke::new(1.0, pen.t.leaf_deep);
        pen.painter.circle_stroke(
            at + egui::vec2(0.0, side * width * 0.16),
            width * 0.24,
            stroke,
        );
    }
}

pub fn trees(pen: &Pen<'_>) {
    for (id, tree) in pen.site.trees.iter() {
        let r = tree.crown_radius_m;
        if !pen.sees(&[tree.at - Pt(r, r), tree.at + Pt(r, r)], 0.0) {
            continue;
        }
        let leafless =
            matches!(tree.leafing, Leafing::Deciduous { months } if !months.has(pen.month0));
        crown(pen, id, tree, leafless);
        let at = pen.on.screen(tree.at - Pt(0.0, r * 0.45));
        pen.label(5, at, &tree.name, false, pen.t.ink_soft);
    }
}

/// Radius from which a crown is drawn with all its twigs and leaves, screen points.
const FINE_CROWN: f32 = 24.0;

/// A crown as a draughtsman draws it: lobes in leaf, twigs when bare.
fn crown(pen: &Pen<'_>, id: &Id, tree: &Tree, leafless: bool) {
    let seed = id
        .as_str()
        .bytes()
        .fold(7_i64, |h, b| h.wrapping_mul(31).wrapping_add(i64::from(b)));
    let r = tree.crown_radius_m;
    let polar = |turn: f64, r: f64| tree.at + Pt(turn.sin(), turn.cos()) * r;
    // No finer than the eye sees: many trees seen from afar are most of what a frame costs.
    let size = pen.on.points(r);
    let fine = size > FINE_CROWN;
    if leafless {
        let corners = if fine { 48 } else { 24 };
        let ring: Vec<Pt> = (0..corners)
            .map(|k| polar(f64::from(k) / f64::from(corners) * TAU, r))
            .collect();
        pen.dashes(
            &ring,
            true,
            Stroke::new(1.0, pen.t.leaf_deep.gamma_multiply(0.7)),
            2.0,
            4.0,
        );
        for k in 0..9 {
            let turn = (f64::from(k) + 0.5 * scatter(seed, i64::from(k))) / 9.0 * TAU;
            let fork = polar(turn, r * 0.5);
            let twig = Stroke::new(1.2, pen.t.leaf_deep.gamma_multiply(0.8));
            pen.line(&[tree.at, fork], twig);
            if !fine {
                continue;
            }
            for side in [-1.0, 1.0] {
                pen.line(
                    &[
                        fork,
                        polar(
                            turn + side * 0.2,
                            r * (0.78 + 0.16 * scatter(seed + 3, i64::from(k))),
                        ),
                    ],
                    Stroke::new(1.0, twig.color),
                );
            }
        }
    } else {
        let lobes = (r * 7.0).clamp(9.0, 22.0).round();
        let each = (f64::from(size) * TAU / lobes / 3.5)
            .round()
            .clamp(2.0, 8.0);
        let rim: Vec<Pt> = (0..(lobes * each) as usize)
            .map(|k| {
                let turn = k as f64 / (lobes * each) * TAU;
                let lobe = (turn * lobes * 0.5).sin().abs();
                let wander = 0.04 * (turn * 3.0 + scatter(seed, 5) * TAU).sin();
                polar(turn, r * (0.90 + 0.10 * lobe + wander))
            })
            .collect();
        pen.fill_about(tree.at, &rim, pen.t.leaf.gamma_multiply(0.30));
        pen.rim(&rim, Stroke::new(1.4, pen.t.leaf_deep));
        // A few leaf strokes on the shaded side.
        for k in 0..if fine { 5 } else { 0 } {
            let turn = 2.2 + f64::from(k) * 0.42 + 0.3 * scatter(seed, i64::from(k));
            let arc: Vec<Pt> = (0..6)
                .map(|j| {
                    polar(
                        turn + f64::from(j) * 0.05,
                        r * (0.45 + 0.08 * f64::from(k % 3)) + r * 0.03 * f64::from(j % 2),
                    )
                })
                .collect();
            pen.line(&arc, Stroke::new(1.0, pen.t.leaf_deep.gamma_multiply(0.7)));
        }
    }
    let trunk = pen.on.points(0.12).clamp(2.5, 14.0);
    pen.painter
        .circle_filled(pen.on.screen(tree.at), trunk, pen.t.leaf_deep);
}

pub fn canopies(pen: &Pen<'_>) {
    for canopy in pen.site.canopies.values() {
        if canopy.outline.len() < 3 || !pen.sees(&canopy.outline, 0.0) {
            continue;
        }
        let there = canopy.months.has(pen.month0);
        let ink = pen.t.wall.gamma_multiply(if there { 1.0 } else { 0.45 });
        if there {
            pen.fill(&canopy.outline, pen.t.wall_fill.gamma_multiply(0.10));
            if canopy.passes > 0.05 {
                pen.hatch(
                    &canopy.outline,
                    90.0,
                    8.0,
                    Stroke::new(1.0, ink.gamma_multiply(0.25)),
                );
            }
        }
        pen.dashes(&canopy.outline, true, Stroke::new(1.6, ink), 9.0, 5.0);
        if let Some((low, high)) = geometry::bounds(canopy.outline.iter().copied()) {
            let at =
                pen.on.screen(Pt((low.x() + high.x()) * 0.5, high.y())) + egui::vec2(0.0, 12.0);
            pen.label(5, at, &canopy.name, false, pen.t.ink_soft);
        }
    }
}
