//! Painting the view from the side: ground with its shadow, pieces from the back to the front, pots, the sun's way.

use egui::{
    Align2, Color32, Mesh, Pos2, Rect, Shape, Stroke, Ui, Vec2, epaint::Vertex, pos2, vec2,
};

use super::{
    camera::{At, View},
    levels,
    model::{Figure, Piece},
};
use crate::{
    app::{
        canvas::{
            paint::triangles,
            plan::spoken,
            pots::Standing,
            shade::{self, Moment, Shade},
            shape::{self, Item},
        },
        state::Sight,
        theme::{Tokens, text},
    },
    base::{Pt, geometry, names},
    site::edit::ObjectKind,
};

/// Ground drawn beyond what stands on it, m.
const MARGIN_M: f64 = 5.0;
/// Height of a pot, by the radius of its rim.
const POT_HEIGHT: f64 = 1.7;
/// The sun's way is drawn this far off, by the size of what is seen.
const SUN_OFF: f64 = 0.75;

pub struct Brush<'a> {
    pub ui: &'a Ui,
    pub view: &'a View,
    pub t: &'static Tokens,
    pub sight: &'a Sight<'a>,
}

impl Brush<'_> {
    pub fn all(&self, shade: &mut Shade, pieces: &[&Piece], standing: &[Standing]) {
        let painter = self.ui.painter_at(self.view.canvas);
        painter.rect_filled(self.view.canvas, 0, self.t.paper);
        let site = self.sight.site();
        let (low, high) = shape::site_bounds(site).unwrap_or((Pt(-8.0, -8.0), Pt(8.0, 8.0)));
        let out = Pt(MARGIN_M, MARGIN_M);
        let ground = rectangle(low - out, high + out);
        self.polygon(&ground, self.t.outdoors, Stroke::NONE);
        let (soil, rest): (Vec<&Piece>, Vec<&Piece>) =
            pieces.iter().partition(|p| p.item.0 == ObjectKind::Ground);
        for piece in soil {
            self.piece(piece);
        }
        self.shadow(shade);
        let heart = shape::heart(site).map_or(0.0, |(a, b)| {
            self.view.nearness(At::new(a.lerp(b, 0.5), 0.0))
        });
        for piece in rest {
            if piece.aside && self.view.nearness(middle_of(&piece.figure)) > heart {
                // The neighbour's house between the eye and the garden.
                let mut through = piece.clone();
                through.fill = piece.fill.gamma_multiply(0.15);
                through.stroke.color = piece.stroke.color.gamma_multiply(0.4);
                self.piece(&through);
            } else {
                self.piece(piece);
            }
        }
        self.pots(standing);
        self.sun(low, high);
        self.names(pieces);
    }

    fn polygon(&self, corners: &[At], fill: Color32, stroke: Stroke) {
        let path: Vec<Pos2> = corners.iter().map(|c| self.view.screen(*c)).collect();
        let painter = self.ui.painter_at(self.view.canvas);
        if fill != Color32::TRANSPARENT {
            let flat: Vec<Pt> = path.iter().map(|p| Pt(p.x.into(), (-p.y).into())).collect();
            if geometry::signed_area(&flat).abs() > 0.5 {
                let mut mesh = Mesh::default();
                for p in &path {
                    mesh.colored_vertex(*p, fill);
                }
                for [a, b, c] in triangles(&flat) {
                    mesh.add_triangle(a, b, c);
                }
                painter.add(Shape::mesh(mesh));
            }
        }
        if stroke.width > 0.0 {
            painter.add(Shape::closed_line(path, stroke));
        }
    }

    fn piece(&self, piece: &Piece) {
        let chosen = self.sight.looking.selected.contains(&piece.item);
        let stroke = if chosen {
            Stroke::new(piece.stroke.width.max(1.8), self.t.accent)
        } else {
            piece.stroke
        };
        match &piece.figure {
            Figure::Flat { normal, .. } if normal.is_some_and(|n| !self.view.faces(n)) => {}
            Figure::Flat { corners, .. } => self.polygon(corners, piece.fill, stroke),
            Figure::Line(points) => {
                let path: Vec<Pos2> = points.iter().map(|p| self.view.screen(*p)).collect();
                self.ui
                    .painter_at(self.view.canvas)
                    .add(Shape::line(path, stroke));
            }
            Figure::Crown {
                middle,
                radius_m,
                half_height_m,
            } => {
                let radius = vec2(
                    self.view.points(*radius_m),
                    self.view.half_height(*radius_m, *half_height_m),
                );
                let middle = self.view.screen(*middle);
                let painter = self.ui.painter_at(self.view.canvas);
                painter.add(Shape::ellipse_filled(middle, radius, piece.fill));
                painter.add(Shape::ellipse_stroke(middle, radius, stroke));
            }
        }
    }

    /// The computed shadow of this hour, laid on the ground.
    fn shadow(&self, shade: &mut Shade) {
        let Some(outcome) = self.sight.outcome else {
            return;
        };
        let week = self.sight.week();
        let moment = Moment {
            month0: week.month0(),
            sun: shade::sun_at(
                &self.sight.site().place,
                outcome,
                week,
                self.sight.looking.hour,
            ),
            level_m: 0.0,
        };
        let dark = self.ui.visuals().dark_mode;
        let Some(drawn) = shade.picture(self.ui.ctx(), outcome, moment, self.t, dark) else {
            return;
        };
        let mut mesh = Mesh::with_texture(drawn.outdoors.id());
        let corners = rectangle(drawn.low, drawn.high);
        let uv = [
            pos2(0.0, 1.0),
            pos2(1.0, 1.0),
            pos2(1.0, 0.0),
            pos2(0.0, 0.0),
        ];
        for (corner, uv) in corners.iter().zip(uv) {
            mesh.vertices.push(Vertex {
                pos: self.view.screen(*corner),
                uv,
                color: Color32::WHITE,
            });
        }
        mesh.add_triangle(0, 1, 2);
        mesh.add_triangle(0, 2, 3);
        self.ui.painter_at(self.view.canvas).add(Shape::mesh(mesh));
    }

    fn pots(&self, standing: &[Standing]) {
        let site = self.sight.site();
        let painter = self.ui.painter_at(self.view.canvas);
        let mut pots: Vec<(&Standing, At, f64)> = standing
            .iter()
            .filter_map(|pot| {
                let spot = site.spots.get(&pot.spot)?;
                Some((pot, At::new(pot.at, site.spot_height_m(spot)), spot.leaf_m))
            })
            .collect();
        pots.sort_by(|a, b| self.view.nearness(a.1).total_cmp(&self.view.nearness(b.1)));
        for (pot, foot, leaf_m) in pots {
            let r = self.view.points(pot.radius_m).max(3.0);
            let rim_z = pot.radius_m * POT_HEIGHT;
            let top = self.view.screen(At::new(foot.plan, foot.z + rim_z));
            let low = self.view.screen(foot);
            let tip = self
                .view
                .screen(At::new(foot.plan, foot.z + leaf_m.max(rim_z + 0.05)));
            let planned = self.sight.plan().is_some();
            let fill = if planned {
                self.t.score_colour(pot.points)
            } else {
                self.t.leaf
            };
            // A tuft of leaves in the colour of the score.
            for lean in [-0.9_f32, -0.45, 0.0, 0.45, 0.9] {
                let end = tip + vec2(lean * r * 1.6, (lean.abs() - 0.2) * r * 0.6);
                painter.line_segment([top, end], Stroke::new((r * 0.22).max(1.5), fill));
            }
            let body = vec![
                top + vec2(-r, 0.0),
                top + vec2(r, 0.0),
                low + vec2(r * 0.7, 0.0),
                low + vec2(-r * 0.7, 0.0),
            ];
            painter.add(Shape::convex_polygon(
                body,
                self.t.pot,
                Stroke::new(1.0, self.t.wall),
            ));
            if self.sight.looking.plant.as_ref() == Some(&pot.plant) {
                let rect = Rect::from_two_pos(low, tip).expand2(vec2(r * 1.7, 5.0));
                painter.rect_stroke(
                    rect,
                    4,
                    Stroke::new(2.0, self.t.accent),
                    egui::StrokeKind::Outside,
                );
                let words = pot.points.filter(|_| planned).map_or_else(
                    || self.sight.plant_name(&pot.plant),
                    |p| format!("{} {p:.0}", self.sight.plant_name(&pot.plant)),
                );
                self.name(rect.center_top() - vec2(0.0, 10.0), &words, true);
            }
        }
    }

    /// The sun's way over the week's day, hours marked, and where it stands at the hour of the dial.
    fn sun(&self, low: Pt, high: Pt) {
        let (Some(outcome), Some((a, b))) = (self.sight.outcome, shape::heart(self.sight.site()))
        else {
            return;
        };
        let place = &self.sight.site().place;
        let week = self.sight.week();
        let middle = a.lerp(b, 0.5);
        let off_m = SUN_OFF * (b - a).length().min((high - low).length()).max(4.0);
        let at = |hour: f64| {
            let sun = shade::sun_at(place, outcome, week, hour);
            (sun.elevation_rad > -0.01).then(|| {
                let azimuth = sun.azimuth_rad - place.plan_north_deg.to_radians();
                let flat = Pt::towards(azimuth) * (off_m * sun.elevation_rad.cos());
                At::new(middle + flat, off_m * sun.elevation_rad.sin().max(0.0))
            })
        };
        let painter = self.ui.painter_at(self.view.canvas);
        let faint = Stroke::new(1.2, self.t.ink_soft.gamma_multiply(0.6));
        let mut path = Vec::new();
        for k in 0..=24 * 6 {
            match at(f64::from(k) / 6.0) {
                Some(p) => path.push(self.view.screen(p)),
                None if path.len() > 1 => {
                    painter.add(Shape::line(std::mem::take(&mut path), faint));
                }
                None => path.clear(),
            }
        }
        if path.len() > 1 {
            painter.add(Shape::line(path, faint));
        }
        for hour in 0..24 {
            if let Some(p) = at(f64::from(hour)) {
                let p = self.view.screen(p);
                painter.circle_filled(p, 2.0, self.t.ink_soft);
                if hour % 3 == 0 {
                    painter.text(
                        p - vec2(0.0, 10.0),
                        Align2::CENTER_BOTTOM,
                        hour.to_string(),
                        text::regular(text::SMALL),
                        self.t.ink_soft,
                    );
                }
            }
        }
        if let Some(sun) = at(self.sight.looking.hour) {
            let (p, foot) = (
                self.view.screen(sun),
                self.view.screen(At::new(middle, 0.0)),
            );
            painter.extend(Shape::dashed_line(&[p, foot], faint, 3.0, 5.0));
            painter.circle(p, 8.0, self.t.sunlight, Stroke::new(1.5, self.t.ink));
        }
        self.compass(middle, off_m);
    }

    fn compass(&self, middle: Pt, off_m: f64) {
        let north = self.sight.site().place.plan_north_deg;
        for (point, letter) in names::POINTS.iter().enumerate().step_by(2) {
            let deg = point as f64 * 45.0;
            let towards = Pt::towards((deg - north).to_radians());
            let at = self.view.screen(At::new(middle + towards * off_m, 0.0));
            // Seen level, north and south fall together.
            if (at - self.view.screen(At::new(middle, 0.0))).length() > 60.0 {
                self.name(at, letter, true);
            }
        }
    }

    /// Names of spots, and of what is selected.
    fn names(&self, pieces: &[&Piece]) {
        let site = self.sight.site();
        let mut named: Vec<&Item> = Vec::new();
        for piece in pieces {
            let chosen = self.sight.looking.selected.contains(&piece.item);
            if named.contains(&&piece.item)
                || !(chosen || (piece.item.0 == ObjectKind::Spot && self.view.camera.scale > 45.0))
            {
                continue;
            }
            named.push(&piece.item);
            if chosen {
                let top = levels::of(site, &piece.item)
                    .last()
                    .map_or_else(|| middle_of(&piece.figure), |h| h.at);
                let at = self.view.screen(top) - vec2(0.0, 22.0);
                self.name(at, &spoken(site, &piece.item), true);
            } else {
                let at = self.view.screen(middle_of(&piece.figure)) + vec2(0.0, 12.0);
                self.name(at, &site.name_of(piece.item.0, &piece.item.1), false);
            }
        }
    }

    fn name(&self, at: Pos2, words: &str, strong: bool) {
        let painter = self.ui.painter_at(self.view.canvas);
        let font = if strong {
            text::semibold(text::SMALL)
        } else {
            text::regular(text::SMALL)
        };
        let galley = painter.layout_no_wrap(words.to_owned(), font, self.t.ink);
        let rect = Rect::from_center_size(at, galley.size());
        painter.rect_filled(
            rect.expand2(vec2(3.0, 0.0)),
            3,
            self.t.paper.gamma_multiply(0.85),
        );
        painter.galley(rect.min, galley, self.t.ink);
    }
}

fn rectangle(low: Pt, high: Pt) -> Vec<At> {
    [low, Pt(high.0, low.1), high, Pt(low.0, high.1)]
        .into_iter()
        .map(|p| At::new(p, 0.0))
        .collect()
}

fn middle_of(figure: &Figure) -> At {
    let points = match figure {
        Figure::Flat { corners, .. } => corners.as_slice(),
        Figure::Line(points) => points.as_slice(),
        Figure::Crown { middle, .. } => return *middle,
    };
    let n = points.len().max(1) as f64;
    let plan = points.iter().fold(Pt(0.0, 0.0), |sum, p| sum + p.plan);
    At::new(
        plan * (1.0 / n),
        points.iter().map(|p| p.z).sum::<f64>() / n,
    )
}

/// What is meant by a click: small things before large ones, near ones before far ones.
#[must_use]
pub fn hit(view: &View, pieces: &[&Piece], at: Pos2) -> Option<Item> {
    pieces
        .iter()
        .enumerate()
        .filter(|(_, p)| distance(view, &p.figure, at) <= 6.0)
        .max_by_key(|(k, p)| (smallness(p.item.0), *k))
        .map(|(_, p)| p.item.clone())
}

fn smallness(kind: ObjectKind) -> u8 {
    match kind {
        ObjectKind::Ground => 0,
        ObjectKind::Building => 1,
        ObjectKind::Room => 2,
        ObjectKind::Canopy | ObjectKind::Screen | ObjectKind::Tree | ObjectKind::Cloth => 3,
        ObjectKind::Window => 4,
        _ => 5,
    }
}

/// Distance from a figure on the screen, points; 0 on it.
fn distance(view: &View, figure: &Figure, at: Pos2) -> f32 {
    let flat = |points: &[At]| -> Vec<Pt> {
        points
            .iter()
            .map(|p| view.screen(*p))
            .map(|p| Pt(p.x.into(), p.y.into()))
            .collect()
    };
    let p = Pt(at.x.into(), at.y.into());
    match figure {
        Figure::Flat { normal, .. } if normal.is_some_and(|n| !view.faces(n)) => f32::INFINITY,
        Figure::Flat { corners, .. } => {
            let outline = flat(corners);
            if geometry::contains(&outline, p) {
                0.0
            } else {
                geometry::distance_to_rim(&outline, p) as f32
            }
        }
        Figure::Line(points) => shape::distance_to_line(&flat(points), p) as f32,
        Figure::Crown {
            middle,
            radius_m,
            half_height_m,
        } => {
            let radius = vec2(
                view.points(*radius_m),
                view.half_height(*radius_m, *half_height_m),
            );
            let d = (at - view.screen(*middle)) / radius.max(Vec2::splat(1.0));
            if d.length() <= 1.0 {
                0.0
            } else {
                f32::INFINITY
            }
        }
    }
}
