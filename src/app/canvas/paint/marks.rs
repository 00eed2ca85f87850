//! What shows that something is selected, pointed at, focused, or being drawn. Never by colour alone: selected is a
//! double line with handles, pointed at a halo, focused a dotted box.

use egui::{Align2, Pos2, Rect, Stroke, StrokeKind, Vec2};

use super::Pen;
use crate::{
    app::{
        canvas::{
            handles::{self, Handle},
            measure,
            shape::{self, Item, Shape},
            snap::{On, Rest},
            tools::{Gesture, draft::Draft},
        },
        theme::text,
    },
    base::{Pt, geometry},
    site::edit::ObjectKind,
};

fn trace(pen: &Pen<'_>, item: &Item, stroke: Stroke) {
    match shape::shape(pen.site, item) {
        Some(Shape::Area(outline)) => pen.rim(&outline, stroke),
        Some(Shape::Line(line)) => pen.line(&line, stroke),
        Some(Shape::Disc { at, radius_m }) => {
            let r = pen.on.points(radius_m).max(9.0);
            pen.painter.circle_stroke(pen.on.screen(at), r, stroke);
        }
        None => {}
    }
}

/// A soft halo round what the pointer is on.
pub fn pointed_at(pen: &Pen<'_>, item: &Item) {
    // Wide things are nearly always under the pointer: a line is enough.
    let wide = matches!(
        item.0,
        ObjectKind::Building | ObjectKind::Room | ObjectKind::Ground
    );
    if !wide {
        let halo = pen.t.accent.gamma_multiply(0.25);
        trace(pen, item, Stroke::new(6.0, halo));
    }
    trace(pen, item, Stroke::new(1.5, pen.t.accent));
}

/// Paper below and accent above: two lines that stand out from ink without their colour too.
pub fn selected(pen: &Pen<'_>, item: &Item) {
    trace(pen, item, Stroke::new(6.0, pen.t.sheet));
    trace(pen, item, Stroke::new(2.5, pen.t.accent));
}

/// The point from which the horizon is seen: an open half circle of sky over it.
pub fn lookout(pen: &Pen<'_>, p: Pt) {
    let at = pen.on.screen(p);
    let half: Vec<Pos2> = (0..=16)
        .map(|k| {
            let a = std::f32::consts::PI * k as f32 / 16.0;
            at + Vec2::new(-a.cos(), -a.sin()) * 11.0
        })
        .collect();
    let foot = |weight: f32, colour| {
        let stroke = Stroke::new(weight, colour);
        pen.painter.line(half.clone(), stroke);
        let wide = Vec2::new(15.0, 0.0);
        pen.painter.line_segment([at - wide, at + wide], stroke);
    };
    foot(5.0, pen.t.sheet);
    foot(2.0, pen.t.accent);
    pen.painter
        .circle(at, 3.5, pen.t.sunlight, Stroke::new(1.5, pen.t.ink));
}

/// Where the keyboard is.
pub fn focused(pen: &Pen<'_>, rect: Rect) {
    let r = rect.expand(5.0);
    let corners = [
        r.left_top(),
        r.right_top(),
        r.right_bottom(),
        r.left_bottom(),
        r.left_top(),
    ];
    pen.painter.extend(egui::Shape::dashed_line(
        &corners,
        Stroke::new(2.0, pen.t.accent),
        3.0,
        3.0,
    ));
}

/// How far a turning handle stands off from its device, screen points.
pub const ARM: f32 = 44.0;

pub fn handles(pen: &Pen<'_>, item: &Item, over: Option<Handle>) {
    for (handle, at) in handles::of(pen.site, item, pen.on.metres(ARM)) {
        let p = pen.on.screen(at);
        let big = over == Some(handle);
        let size = if big { 11.0 } else { 8.0 };
        let line = Stroke::new(1.6, pen.t.accent);
        let fill = if big { pen.t.accent } else { pen.t.sheet };
        match handle {
            Handle::Corner(_) | Handle::WindowEnd(_) | Handle::HeaterEnd(_) => {
                let rect = Rect::from_center_size(p, Vec2::splat(size));
                pen.painter.rect_filled(rect, 1, fill);
                pen.painter.rect_stroke(rect, 1, line, StrokeKind::Middle);
            }
            Handle::Edge(edge) => {
                let along = corner_pair(pen, item, edge)
                    .map_or(Vec2::RIGHT, |(a, b)| pen.on.vector(b - a).normalized());
                let half = along * if big { 9.0 } else { 7.0 };
                let bar = |weight: f32, colour| {
                    pen.painter
                        .line_segment([p - half, p + half], Stroke::new(weight, colour));
                };
                bar(8.0, pen.t.accent);
                bar(5.0, fill);
            }
            Handle::NewCorner(_) => {
                let half = if big { 6.0 } else { 3.5 };
                pen.painter
                    .circle(p, half, pen.t.sheet, Stroke::new(1.0, pen.t.accent));
                if big {
                    pen.painter
                        .line_segment([p - Vec2::new(3.0, 0.0), p + Vec2::new(3.0, 0.0)], line);
                    pen.painter
                        .line_segment([p - Vec2::new(0.0, 3.0), p + Vec2::new(0.0, 3.0)], line);
                }
            }
            Handle::Radius => {
                pen.painter.circle(p, size * 0.6, fill, line);
            }
            Handle::Turn => {
                let object = pen.site.object(item.0, &item.1);
                let foot = object.as_ref().and_then(|o| {
                    shape::bearing(o)
                        .map(|(from, _)| from)
                        .or_else(|| handles::knob_foot(shape::corners(o)?))
                });
                if let Some(from) = foot {
                    pen.painter
                        .line_segment([pen.on.screen(from), p], Stroke::new(1.0, pen.t.accent));
                }
                pen.painter.circle(p, size * 0.65, fill, line);
            }
        }
    }
}

fn corner_pair(pen: &Pen<'_>, item: &Item, edge: usize) -> Option<(Pt, Pt)> {
    let object = pen.site.object(item.0, &item.1)?;
    let points = shape::corners(&object)?;
    let n = points.len().max(1);
    Some((*points.get(edge % n)?, *points.get((edge + 1) % n)?))
}

/// A label with a figure beside the pointer.
pub fn figure(pen: &Pen<'_>, at: Pos2, words: &str) {
    if words.is_empty() {
        return;
    }
    let galley =
        pen.painter
            .layout_no_wrap(words.to_owned(), text::semibold(text::SMALL), pen.t.ink);
    let mut rect =
        Rect::from_min_size(at + Vec2::new(16.0, 12.0), galley.size()).expand2(Vec2::new(6.0, 3.0));
    let beyond = (rect.max - pen.on.canvas.max).max(Vec2::ZERO);
    rect = rect.translate(-beyond);
    pen.painter.rect_filled(rect, 3, pen.t.sheet);
    pen.painter.rect_stroke(
        rect,
        3,
        Stroke::new(1.0, pen.t.line_strong),
        StrokeKind::Inside,
    );
    pen.painter
        .galley(rect.min + Vec2::new(6.0, 3.0), galley, pen.t.ink);
}

/// A figure that can be typed while drawing.
pub struct Field {
    pub name: &'static str,
    pub words: String,
    /// It was typed, and holds.
    pub typed: bool,
    /// What is typed goes here.
    pub active: bool,
}

/// Figures beside the pointer; the one that is typed into has a line below it.
pub fn fields(pen: &Pen<'_>, at: Pos2, fields: &[Field]) {
    let small = |words: String, strong: bool, colour| {
        let font = if strong {
            text::semibold(text::SMALL)
        } else {
            text::regular(text::SMALL)
        };
        pen.painter.layout_no_wrap(words, font, colour)
    };
    let parts: Vec<_> = fields
        .iter()
        .map(|f| {
            let ink = if f.typed { pen.t.accent } else { pen.t.ink };
            (
                small(f.name.to_owned(), false, pen.t.ink_soft),
                small(f.words.clone(), true, ink),
                f.active,
            )
        })
        .collect();
    let (gap, between) = (5.0, 14.0);
    let width: f32 = parts
        .iter()
        .map(|(n, w, _)| n.size().x + gap + w.size().x + between)
        .sum::<f32>()
        - between;
    let height = parts.iter().map(|(_, w, _)| w.size().y).fold(0.0, f32::max);
    let mut rect = Rect::from_min_size(at + Vec2::new(18.0, 14.0), Vec2::new(width, height))
        .expand2(Vec2::new(8.0, 4.0));
    rect = rect.translate(-(rect.max - pen.on.canvas.max).max(Vec2::ZERO));
    pen.painter.rect_filled(rect, 3, pen.t.sheet);
    pen.painter.rect_stroke(
        rect,
        3,
        Stroke::new(1.0, pen.t.line_strong),
        StrokeKind::Inside,
    );
    let mut x = rect.left() + 8.0;
    for (name, words, active) in parts {
        let top = rect.top() + 4.0;
        let wide = name.size().x;
        pen.painter.galley(Pos2::new(x, top), name, pen.t.ink_soft);
        x += wide + gap;
        let wide = words.size().x;
        pen.painter.galley(Pos2::new(x, top), words, pen.t.ink);
        if active {
            pen.painter.hline(
                x..=x + wide,
                rect.bottom() - 2.5,
                Stroke::new(1.5, pen.t.accent),
            );
        }
        x += wide + between;
    }
}

/// A pot in the hand.
pub fn carried(pen: &Pen<'_>, at: Pt, radius_m: f64) {
    let (at, r) = (pen.on.screen(at), pen.on.points(radius_m).clamp(6.0, 60.0));
    pen.painter.circle_filled(
        at + Vec2::new(3.0, 4.0),
        r,
        pen.t.shade.gamma_multiply(0.25),
    );
    pen.painter
        .circle(at, r, pen.t.pot, Stroke::new(2.0, pen.t.accent));
}

/// A small padlock at the upper left of what is locked.
pub fn locked(pen: &Pen<'_>, item: &Item) {
    let Some(s) = shape::shape(pen.site, item) else {
        return;
    };
    let rect = pen.on.around(&s.extent());
    let at = rect.left_top() + Vec2::new(-9.0, -9.0);
    let body = Rect::from_center_size(at + Vec2::new(0.0, 3.0), Vec2::new(11.0, 8.0));
    let shackle: Vec<Pos2> = (0..=8)
        .map(|k| {
            let a = std::f32::consts::PI * k as f32 / 8.0;
            at + Vec2::new(-a.cos() * 3.5, -1.0 - a.sin() * 4.5)
        })
        .collect();
    pen.painter
        .circle_filled(at, 11.0, pen.t.sheet.gamma_multiply(0.9));
    pen.painter.line(shackle, Stroke::new(1.6, pen.t.accent));
    pen.painter.rect_filled(body, 1, pen.t.accent);
}

/// Length of an edge, written beside its middle.
pub fn dimension(pen: &Pen<'_>, a: Pt, b: Pt, feet: bool) {
    let length = a.distance(b);
    let (p, q) = (pen.on.screen(a), pen.on.screen(b));
    if length < 1e-3 || (q - p).length() < 24.0 {
        return;
    }
    let normal = Vec2::new(-(q - p).y, (q - p).x).normalized();
    let side = if normal.y > 0.0 { -1.0 } else { 1.0 };
    let at = p + (q - p) * 0.5 + normal * (side * 13.0);
    let galley = pen.painter.layout_no_wrap(
        measure::length(length, feet),
        text::regular(text::SMALL),
        pen.t.ink,
    );
    let rect = Rect::from_center_size(at, galley.size());
    pen.painter.rect_filled(
        rect.expand2(Vec2::new(3.0, 0.0)),
        2,
        pen.t.paper.gamma_multiply(0.85),
    );
    pen.painter.galley(rect.min, galley, pen.t.ink);
}

/// Where the pointer came to rest.
pub fn rest(pen: &Pen<'_>, rest: Rest) {
    let p = pen.on.screen(rest.at);
    let stroke = Stroke::new(1.6, pen.t.accent);
    for from in rest.with.into_iter().flatten() {
        let thin = Stroke::new(1.0, pen.t.accent.gamma_multiply(0.8));
        pen.dashes(&[from, rest.at], false, thin, 2.0, 4.0);
    }
    match rest.on {
        On::Corner => {
            pen.painter.rect_stroke(
                Rect::from_center_size(p, Vec2::splat(12.0)),
                0,
                stroke,
                StrokeKind::Middle,
            );
        }
        On::Middle => {
            let tri = vec![
                p + Vec2::new(0.0, -7.0),
                p + Vec2::new(7.0, 5.0),
                p + Vec2::new(-7.0, 5.0),
            ];
            pen.painter.add(egui::Shape::closed_line(tri, stroke));
        }
        On::Edge => {
            for d in [Vec2::new(5.0, 5.0), Vec2::new(5.0, -5.0)] {
                pen.painter.line_segment([p - d, p + d], stroke);
            }
        }
        On::Line | On::Grid => {
            pen.painter.circle_filled(p, 2.5, pen.t.accent);
        }
        On::Free => {}
    }
    let word = rest.on.word();
    if !word.is_empty() {
        pen.painter.text(
            p + Vec2::new(11.0, -9.0),
            Align2::LEFT_BOTTOM,
            word,
            text::regular(text::SMALL),
            pen.t.accent,
        );
    }
}

/// The box over several objects.
pub fn band(pen: &Pen<'_>, a: Pt, b: Pt) {
    let rect = Rect::from_two_pos(pen.on.screen(a), pen.on.screen(b));
    pen.painter
        .rect_filled(rect, 0, pen.t.accent.gamma_multiply(0.08));
    let corners = [
        rect.left_top(),
        rect.right_top(),
        rect.right_bottom(),
        rect.left_bottom(),
        rect.left_top(),
    ];
    pen.painter.extend(egui::Shape::dashed_line(
        &corners,
        Stroke::new(1.2, pen.t.accent),
        5.0,
        3.0,
    ));
}

/// The figure in the making, with its dimensions.
pub fn draft(pen: &Pen<'_>, gesture: Gesture, draft: &Draft, pulled: bool, feet: bool) {
    let line = Stroke::new(2.0, pen.t.accent);
    let points = draft.points();
    let Some(pointer) = draft.pointer() else {
        return;
    };
    let Some(first) = points.first().copied() else {
        return;
    };
    match gesture {
        Gesture::Outline if points.len() == 1 && pulled => {
            let corners = [
                first,
                Pt(pointer.x(), first.y()),
                pointer,
                Pt(first.x(), pointer.y()),
            ];
            pen.fill(&corners, pen.t.accent.gamma_multiply(0.10));
            pen.rim(&corners, line);
            dimension(pen, corners[0], corners[1], feet);
            dimension(pen, corners[1], corners[2], feet);
            let area = geometry::signed_area(&corners).abs();
            figure(pen, pen.on.screen(pointer), &measure::area(area, feet));
        }
        Gesture::Outline | Gesture::Line => {
            let mut path = points.to_vec();
            path.push(pointer);
            if gesture == Gesture::Outline && path.len() >= 3 {
                pen.dashes(
                    &[pointer, first],
                    false,
                    Stroke::new(1.0, pen.t.accent),
                    4.0,
                    4.0,
                );
            }
            pen.line(&path, line);
            // The last one's figures stand beside the pointer.
            for w in points.windows(2) {
                dimension(pen, w[0], w[1], feet);
            }
            for (i, p) in points.iter().enumerate() {
                let r = if i == 0 { 5.0 } else { 3.5 };
                pen.painter.circle(
                    pen.on.screen(*p),
                    r,
                    pen.t.sheet,
                    Stroke::new(1.6, pen.t.accent),
                );
            }
        }
        Gesture::Disc => {
            let r = pen.on.points(first.distance(pointer));
            pen.painter.circle(
                pen.on.screen(first),
                r,
                pen.t.accent.gamma_multiply(0.10),
                line,
            );
            pen.line(&[first, pointer], Stroke::new(1.0, pen.t.accent));
        }
        Gesture::Stretch => {
            pen.line(&[first, pointer], line);
        }
        Gesture::Aim if pulled => {
            let (a, b) = (pen.on.screen(first), pen.on.screen(pointer));
            pen.painter.arrow(a, b - a, line);
        }
        Gesture::Aim | Gesture::Place | Gesture::OnWall | Gesture::Pick => {
            pen.painter.circle_stroke(pen.on.screen(first), 6.0, line);
        }
    }
}

/// Where a window would sit: its opening on the wall.
pub fn on_wall(pen: &Pen<'_>, a: Pt, b: Pt, feet: bool) {
    pen.line(&[a, b], Stroke::new(7.0, pen.t.accent.gamma_multiply(0.35)));
    pen.line(&[a, b], Stroke::new(2.0, pen.t.accent));
    dimension(pen, a, b, feet);
}
