//! Spots, and the pots that stand on them.

use egui::{Align2, Rect, Stroke, Vec2};

use super::Pen;
use crate::{
    app::{canvas::pots::Standing, state::Sight, theme::text},
    base::Pt,
    site::{Spot, edit::ObjectKind},
};

/// Half the width at which a sill or row is drawn, m.
fn half_row_m(spot: &Spot) -> f64 {
    (spot.holds.rim_cm / 200.0).clamp(0.06, 0.25)
}

pub fn spots(pen: &Pen<'_>) {
    for (id, spot) in pen.site.spots.iter() {
        if !pen.sees(&spot.outline, 1.0) {
            continue;
        }
        let open = spot.months.has(pen.month0);
        let t = pen.t;
        let cover = pen.spot_cover * if open { 1.0 } else { 0.4 };
        let ground = t.spot.gamma_multiply(cover);
        let line = Stroke::new(1.3, t.spot_line);
        let body = match spot.outline.as_slice() {
            [] => continue,
            [at] => {
                let r = pen.on.points(half_row_m(spot)).max(6.0);
                let middle = pen.on.screen(*at);
                pen.painter.circle(middle, r, ground, line);
                Rect::from_center_size(middle, Vec2::splat(2.0 * r))
            }
            [a, b] => {
                let half = half_row_m(spot);
                let (d, n) = ((*b - *a).unit(), (*b - *a).unit().left());
                let end = half.min(0.1);
                let body = [
                    *a - d * end - n * half,
                    *b + d * end - n * half,
                    *b + d * end + n * half,
                    *a - d * end + n * half,
                ];
                pen.fill(&body, ground);
                outline(pen, &body, open, line);
                pen.on.around(&body)
            }
            area => {
                pen.fill(area, ground);
                outline(pen, area, open, line);
                pen.on.around(area)
            }
        };
        let name = pen.site.name_of(ObjectKind::Spot, id);
        pen.keep_seen(body);
        pen.label_beside(1, body, &name, t.spot_line);
    }
}

/// A spot that is closed in this month has a broken rim.
fn outline(pen: &Pen<'_>, points: &[Pt], open: bool, line: Stroke) {
    if open {
        pen.rim(points, line);
    } else {
        pen.dashes(points, true, line, 4.0, 4.0);
    }
}

/// Pots as round rims with what they score; the plant that is shown everywhere carries a second ring.
pub fn pots(pen: &Pen<'_>, sight: &Sight<'_>, standing: &[Standing]) {
    for pot in standing {
        let middle = pen.on.screen(pot.at);
        let r = radius(pen, pot);
        if !pen.on.canvas.expand(r).contains(middle) {
            continue;
        }
        let t = pen.t;
        let shown = sight.looking.plant.as_ref() == Some(&pot.plant);
        let planned = sight.plan().is_some();
        let fill = if planned {
            t.score_colour(pot.points)
        } else {
            t.pot
        };
        pen.painter.circle_filled(
            middle + Vec2::new(0.8, 1.2),
            r,
            t.shade.gamma_multiply(0.22),
        );
        pen.painter
            .circle(middle, r, t.pot, Stroke::new(1.2, t.wall));
        pen.painter.circle_filled(middle, r * 0.78, fill);
        if planned && r >= 9.0 {
            let words = pot
                .points
                .map_or_else(|| "?".to_owned(), |p| format!("{p:.0}"));
            pen.painter.text(
                middle,
                Align2::CENTER_CENTER,
                words,
                text::semibold((r * 0.95).clamp(9.0, 15.0)),
                t.text_on(fill),
            );
        }
        if shown {
            pen.painter
                .circle_stroke(middle, r + 3.0, Stroke::new(2.0, t.accent));
        }
        pen.keep_clear(Rect::from_center_size(middle, Vec2::splat(r * 1.6)));
        let name = short(&sight.plant_name(&pot.plant));
        let score = match pot.points {
            Some(p) if planned && r < 9.0 => format!("{name} {p:.0}"),
            _ => name,
        };
        let over = pen
            .over
            .as_ref()
            .is_some_and(|(kind, id)| *kind == ObjectKind::Plant && *id == pot.plant);
        if shown || over || pen.on.view.scale > 55.0 {
            let rank = if shown || over { 0 } else { 3 };
            pen.label(
                rank,
                middle + Vec2::new(0.0, -r - 9.0),
                &score,
                shown,
                t.ink,
            );
        }
    }
}

/// Radius on the screen: to scale, but large enough to click, as far as the pots beside it leave room.
#[must_use]
pub fn radius(pen: &Pen<'_>, pot: &Standing) -> f32 {
    let least = pen.on.points(pot.room_m).clamp(2.5, 5.0);
    pen.on.points(pot.radius_m).clamp(least, 60.0)
}

/// The name, cut to what fits beside others.
fn short(name: &str) -> String {
    const MOST: usize = 18;
    if name.chars().count() <= MOST {
        return name.to_owned();
    }
    let cut: String = name.chars().take(MOST - 1).collect();
    format!("{}…", cut.trim_end())
}
