//! Between the plan's metres and the screen's points.

use egui::{Pos2, Rect, Vec2, pos2, vec2};

use crate::base::{Pt, geometry};

/// Screen points per metre: from a whole village to a pot.
const SCALES: (f64, f64) = (1.5, 2_500.0);

/// What part of the plan is looked at. Survives a change of the window's size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// The plan's point in the middle of the canvas, m.
    pub middle: Pt,
    /// Screen points per metre.
    pub scale: f64,
}

impl Default for View {
    fn default() -> Self {
        Self {
            middle: Pt(0.0, 0.0),
            scale: 50.0,
        }
    }
}

impl View {
    /// The view laid into a canvas.
    #[must_use]
    pub fn on(self, canvas: Rect) -> Projection {
        Projection { canvas, view: self }
    }

    /// Shifts what is seen by a movement on the screen.
    pub fn pan(&mut self, by: Vec2) {
        self.middle = self.middle - Pt(f64::from(by.x), -f64::from(by.y)) * (1.0 / self.scale);
    }

    /// Changes the scale so that the plan's point under `about` stays there.
    pub fn zoom(&mut self, canvas: Rect, about: Pos2, factor: f64) {
        let before = self.on(canvas).plan(about);
        self.scale = (self.scale * factor).clamp(SCALES.0, SCALES.1);
        let after = self.on(canvas).plan(about);
        self.middle = self.middle + (before - after);
    }

    /// Shows a box of the plan whole, with a margin of `margin` screen points on every side.
    pub fn fit(&mut self, canvas: Rect, (low, high): (Pt, Pt), margin: f32) {
        let room = (canvas.size() - Vec2::splat(2.0 * margin)).max(Vec2::splat(40.0));
        let size = high - low;
        let scale =
            (f64::from(room.x) / size.x().max(0.5)).min(f64::from(room.y) / size.y().max(0.5));
        self.scale = scale.clamp(SCALES.0, SCALES.1);
        self.middle = low.lerp(high, 0.5);
    }
}

/// A [`View`] in its place on the screen.
#[derive(Clone, Copy, Debug)]
pub struct Projection {
    pub canvas: Rect,
    pub view: View,
}

impl Projection {
    /// Screen position of a plan point.
    #[must_use]
    pub fn screen(&self, p: Pt) -> Pos2 {
        let d = (p - self.view.middle) * self.view.scale;
        self.canvas.center() + vec2(d.x() as f32, -d.y() as f32)
    }

    /// Plan point of a screen position.
    #[must_use]
    pub fn plan(&self, p: Pos2) -> Pt {
        let d = p - self.canvas.center();
        self.view.middle + Pt(f64::from(d.x), -f64::from(d.y)) * (1.0 / self.view.scale)
    }

    /// A plan vector on the screen.
    #[must_use]
    pub fn vector(&self, v: Pt) -> Vec2 {
        vec2(
            (v.x() * self.view.scale) as f32,
            (-v.y() * self.view.scale) as f32,
        )
    }

    /// Screen points of a length in metres.
    #[must_use]
    pub fn points(&self, metres: f64) -> f32 {
        (metres * self.view.scale) as f32
    }

    /// Metres of a length in screen points.
    #[must_use]
    pub fn metres(&self, points: f32) -> f64 {
        f64::from(points) / self.view.scale
    }

    /// Lower-left and upper-right corner of what is seen.
    #[must_use]
    pub fn seen(&self) -> (Pt, Pt) {
        (
            self.plan(self.canvas.left_bottom()),
            self.plan(self.canvas.right_top()),
        )
    }

    #[must_use]
    pub fn path(&self, points: &[Pt]) -> Vec<Pos2> {
        points.iter().map(|p| self.screen(*p)).collect()
    }

    /// Screen rectangle around plan points.
    #[must_use]
    pub fn around(&self, points: &[Pt]) -> Rect {
        match geometry::bounds(points.iter().copied()) {
            Some((low, high)) => Rect::from_two_pos(self.screen(low), self.screen(high)),
            None => Rect::from_min_size(pos2(0.0, 0.0), Vec2::ZERO),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn canvas() -> Rect {
        Rect::from_min_size(pos2(120.0, 40.0), vec2(800.0, 600.0))
    }

    #[test]
    fn screen_and_plan_undo_one_another_and_y_points_up() {
        let projection = View {
            middle: Pt(3.0, -2.0),
            scale: 64.0,
        }
        .on(canvas());
        for p in [Pt(0.0, 0.0), Pt(3.0, -2.0), Pt(-7.25, 11.5)] {
            assert!(projection.plan(projection.screen(p)).distance(p) < 1e-5);
        }
        assert_eq!(projection.screen(Pt(3.0, -2.0)), canvas().center());
        assert!(projection.screen(Pt(0.0, 1.0)).y < projection.screen(Pt(0.0, 0.0)).y);
    }

    #[test]
    fn zooming_keeps_the_point_under_the_pointer_in_its_place() {
        let mut view = View {
            middle: Pt(1.0, 1.0),
            scale: 40.0,
        };
        let pointer = pos2(300.0, 500.0);
        let held = view.on(canvas()).plan(pointer);
        for factor in [1.3, 1.3, 0.2, 40.0, 1e-9] {
            view.zoom(canvas(), pointer, factor);
            assert!(view.on(canvas()).plan(pointer).distance(held) < 1e-3);
            assert!(view.scale >= SCALES.0 && view.scale <= SCALES.1);
        }
    }

    #[test]
    fn panning_moves_the_drawing_with_the_hand() {
        let mut view = View::default();
        let before = view.on(canvas()).screen(Pt(2.0, 2.0));
        view.pan(vec2(30.0, -12.0));
        let after = view.on(canvas()).screen(Pt(2.0, 2.0));
        assert!((after - before - vec2(30.0, -12.0)).length() < 1e-3);
    }

    #[test]
    fn fitting_shows_the_whole_box() {
        let mut view = View::default();
        view.fit(canvas(), (Pt(-4.0, 2.0), Pt(30.0, 9.0)), 20.0);
        let (low, high) = view.on(canvas()).seen();
        assert!(low.x() <= -4.0 && low.y() <= 2.0 && high.x() >= 30.0 && high.y() >= 9.0);
    }
}
