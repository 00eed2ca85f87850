//! What lies round the drawing: grid, scale bar, north.

use egui::{Align2, Pos2, Rect, Shape, Stroke, pos2, vec2};

use super::Pen;
use crate::{
    app::{
        canvas::{light_map::Scale, measure},
        theme::text,
    },
    base::Pt,
};

/// Lines at round distances, each fifth or tenth a little stronger.
pub fn grid(pen: &Pen<'_>, feet: bool) {
    let step = measure::grid_step(pen.on.metres(22.0), feet);
    let strong = measure::grid_step(pen.on.metres(100.0), feet);
    let (low, high) = pen.on.seen();
    let lines = |from: f64, to: f64, step: f64| {
        let first = (from / step).ceil() as i64;
        let last = (to / step).floor() as i64;
        (first..=last.min(first + 400)).map(move |k| k as f64 * step)
    };
    for (step, share) in [(step, 0.28), (strong, 0.55)] {
        let stroke = Stroke::new(1.0, pen.t.line.gamma_multiply(share));
        for x in lines(low.x(), high.x(), step) {
            let at = pen
                .painter
                .round_to_pixel_center(pen.on.screen(Pt(x, 0.0)).x);
            pen.painter.vline(at, pen.on.canvas.y_range(), stroke);
        }
        for y in lines(low.y(), high.y(), step) {
            let at = pen
                .painter
                .round_to_pixel_center(pen.on.screen(Pt(0.0, y)).y);
            pen.painter.hline(pen.on.canvas.x_range(), at, stroke);
        }
    }
}

/// A bar of a round length at the lower left; returns the room it takes.
pub fn scale_bar(pen: &Pen<'_>, feet: bool) -> Rect {
    let length = measure::grid_step(pen.on.metres(70.0), feet);
    let width = pen.on.points(length);
    let left = pen.on.canvas.left_bottom() + vec2(16.0, -18.0);
    let ink = pen.t.ink;
    let half = width * 0.5;
    let plate = Rect::from_min_max(left - vec2(8.0, 26.0), left + vec2(width + 26.0, 7.0));
    pen.painter
        .rect_filled(plate, 4, pen.t.paper.gamma_multiply(0.7));
    // Ink and paper by turns, as on printed maps.
    let bar = Rect::from_min_size(left - vec2(0.0, 5.0), vec2(width, 5.0));
    pen.painter.rect_filled(bar, 0, pen.t.sheet);
    pen.painter
        .rect_filled(Rect::from_min_size(bar.min, vec2(half, 5.0)), 0, ink);
    pen.painter
        .rect_stroke(bar, 0, Stroke::new(1.0, ink), egui::StrokeKind::Inside);
    let font = text::regular(text::SMALL);
    pen.painter.text(
        bar.left_top() - vec2(0.0, 3.0),
        Align2::LEFT_BOTTOM,
        "0",
        font.clone(),
        ink,
    );
    let words = if feet {
        measure::length(length, true)
    } else if length >= 1.0 {
        format!("{length:.0} m")
    } else {
        format!("{:.0} cm", length * 100.0)
    };
    let end = pen.painter.text(
        bar.right_top() - vec2(0.0, 3.0),
        Align2::CENTER_BOTTOM,
        words,
        font,
        ink,
    );
    bar.union(end).expand(6.0)
}

/// An arrow to true north at the lower right; returns the room it takes.
pub fn north(pen: &Pen<'_>) -> Rect {
    let middle = pen.on.canvas.right_bottom() + vec2(-38.0, -42.0);
    let radius = 22.0;
    // Plan-up points to `plan_north_deg`, so north lies that far back from up.
    let turn = -pen.site.place.plan_north_deg.to_radians() as f32;
    let towards = |a: f32, r: f32| -> Pos2 { pos2(middle.x + a.sin() * r, middle.y - a.cos() * r) };
    let ink = pen.t.ink;
    pen.painter
        .circle_filled(middle, radius + 9.0, pen.t.paper.gamma_multiply(0.7));
    pen.painter
        .circle_stroke(middle, radius - 6.0, Stroke::new(1.0, pen.t.ink_soft));
    let (tip, tail) = (towards(turn, radius - 2.0), towards(turn, -(radius - 10.0)));
    let side = |k: f32| towards(turn + k * 2.55, radius - 9.0);
    pen.painter.add(Shape::convex_polygon(
        vec![tip, side(1.0), middle],
        ink,
        Stroke::NONE,
    ));
    pen.painter.add(Shape::closed_line(
        vec![tip, side(-1.0), middle],
        Stroke::new(1.0, ink),
    ));
    pen.painter
        .line_segment([middle, tail], Stroke::new(1.0, pen.t.ink_soft));
    pen.painter.text(
        towards(turn, radius + 6.0),
        Align2::CENTER_CENTER,
        "N",
        text::semibold(text::SMALL),
        ink,
    );
    Rect::from_center_size(middle, vec2(66.0, 66.0))
}

/// How far a plate at the lower middle must rise to stay clear of what lies in the corners of a narrow plan.
#[must_use]
pub fn lift(plate: Rect, corners: &[Rect]) -> f32 {
    corners
        .iter()
        .filter(|c| c.x_range().intersects(plate.x_range()))
        .map(|c| plate.bottom() + 4.0 - c.top())
        .fold(0.0, f32::max)
}

/// The ramp of the map of light with its figures, at the lower middle and above what lies in the corners; returns the
/// room it takes.
pub fn light_legend(
    pen: &Pen<'_>,
    scale: Scale,
    title: &str,
    marks: &[(f64, String)],
    corners: &[Rect],
) -> Rect {
    let size = vec2(230.0, 9.0);
    let low = Rect::from_center_size(pen.on.canvas.center_bottom() - vec2(0.0, 34.0), size);
    let plate = low.expand2(vec2(16.0, 0.0)).with_max_y(low.bottom() + 26.0);
    let bar = low.translate(vec2(0.0, -lift(plate, corners)));
    let around = bar
        .expand2(vec2(16.0, 0.0))
        .with_max_y(bar.bottom() + 26.0)
        .with_min_y(bar.top() - 24.0);
    pen.painter
        .rect_filled(around, 4, pen.t.sheet.gamma_multiply(0.9));
    let steps = 46;
    for k in 0..steps {
        let share = |k: usize| k as f32 / steps as f32;
        let cell = Rect::from_x_y_ranges(
            bar.left() + bar.width() * share(k)..=bar.left() + bar.width() * share(k + 1),
            bar.y_range(),
        );
        pen.painter.rect_filled(
            cell,
            0,
            pen.t
                .light
                .at((f64::from(share(k)) + f64::from(share(k + 1))) * 0.5),
        );
    }
    let font = text::regular(text::SMALL);
    for (v, words) in marks {
        let x = bar.left() + bar.width() * scale.share(*v) as f32;
        pen.painter.vline(
            x,
            bar.bottom()..=bar.bottom() + 4.0,
            Stroke::new(1.0, pen.t.ink),
        );
        pen.painter.text(
            pos2(x, bar.bottom() + 5.0),
            Align2::CENTER_TOP,
            words,
            font.clone(),
            pen.t.ink,
        );
    }
    pen.painter.text(
        bar.center_top() - vec2(0.0, 4.0),
        Align2::CENTER_BOTTOM,
        title,
        font,
        pen.t.ink,
    );
    around
}

/// A short notice at the lower middle.
pub fn notice(pen: &Pen<'_>, words: &str) {
    if words.is_empty() {
        return;
    }
    let font = text::regular(text::SMALL);
    let galley = pen
        .painter
        .layout_no_wrap(words.to_owned(), font, pen.t.ink);
    let middle = pen.on.canvas.center_bottom() - vec2(0.0, 24.0);
    let rect = Rect::from_center_size(middle, galley.size());
    pen.painter
        .rect_filled(rect.expand2(vec2(10.0, 5.0)), 4, pen.t.sheet);
    pen.painter.galley(rect.min, galley, pen.t.ink);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_rises_only_over_what_it_would_cover() {
        let plate = Rect::from_min_max(pos2(100.0, 560.0), pos2(360.0, 620.0));
        let scale = Rect::from_min_max(pos2(0.0, 580.0), pos2(90.0, 620.0));
        let north = Rect::from_min_max(pos2(350.0, 550.0), pos2(420.0, 620.0));
        assert_eq!(lift(plate, &[]), 0.0);
        assert_eq!(lift(plate, &[scale]), 0.0);
        let risen = plate.translate(vec2(0.0, -lift(plate, &[scale, north])));
        assert!(risen.bottom() < north.top() && risen.bottom() > north.top() - 8.0);
    }
}
