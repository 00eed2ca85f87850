//! From where the drawing is looked at, and where its points come to lie on the screen. Lines that are parallel stay
//! so, and lengths keep one scale: heights can be read off.

use egui::{Pos2, Rect, Vec2, vec2};

use crate::base::Pt;

/// A point of the drawing in space: plan, and height above the ground, m.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct At {
    pub plan: Pt,
    pub z: f64,
}

impl At {
    #[must_use]
    pub const fn new(plan: Pt, z: f64) -> Self {
        Self { plan, z }
    }
}

/// Steepest look from above, degrees: beyond it the plan itself shows more.
const STEEPEST_DEG: f64 = 60.0;
/// Screen points per metre.
const SCALES: (f64, f64) = (3.0, 1_200.0);

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Camera {
    /// Where the eye stands, plan azimuth, degrees clockwise from plan-up.
    pub from_deg: f64,
    /// How far above the horizon the eye stands, 0..=60 degrees.
    pub tilt_deg: f64,
    /// What lies in the middle of the canvas.
    pub middle: At,
    /// Screen points per metre.
    pub scale: f64,
}

impl Default for Camera {
    fn default() -> Self {
        Self {
            from_deg: 180.0,
            tilt_deg: 18.0,
            middle: At::default(),
            scale: 40.0,
        }
    }
}

impl Camera {
    pub fn turn(&mut self, by_deg: f64) {
        self.from_deg = (self.from_deg + by_deg).rem_euclid(360.0);
    }

    pub fn tilt(&mut self, by_deg: f64) {
        self.tilt_deg = (self.tilt_deg + by_deg).clamp(0.0, STEEPEST_DEG);
    }

    #[must_use]
    pub fn on(self, canvas: Rect) -> View {
        let towards_eye = Pt::towards(self.from_deg.to_radians());
        let (sin, cos) = self.tilt_deg.to_radians().sin_cos();
        View {
            canvas,
            camera: self,
            towards_eye,
            right: towards_eye.left(),
            sin,
            cos,
        }
    }

    /// Shifts what is seen by a movement on the screen.
    pub fn pan(&mut self, canvas: Rect, by: Vec2) {
        let view = self.on(canvas);
        let (x, y) = (f64::from(by.x) / self.scale, f64::from(by.y) / self.scale);
        self.middle.plan = self.middle.plan - view.right * x;
        if self.tilt_deg < 30.0 {
            self.middle.z += y / view.cos;
        } else {
            self.middle.plan = self.middle.plan - view.towards_eye * (y / view.sin);
        }
    }

    /// Changes the scale so that what lies under `about` stays there.
    pub fn zoom(&mut self, canvas: Rect, about: Pos2, factor: f64) {
        let scale = (self.scale * factor).clamp(SCALES.0, SCALES.1);
        let off = about - canvas.center();
        self.pan(canvas, off * (self.scale / scale - 1.0) as f32);
        self.scale = scale;
    }

    /// Shows a box whole.
    pub fn fit(&mut self, canvas: Rect, (low, high): (Pt, Pt), top_m: f64, margin: f32) {
        self.middle = At::new(low.lerp(high, 0.5), top_m * 0.5);
        self.scale = 1.0;
        let view = self.on(canvas);
        let seen: Vec<Pos2> = [low, Pt(high.0, low.1), high, Pt(low.0, high.1)]
            .into_iter()
            .flat_map(|p| [At::new(p, 0.0), At::new(p, top_m)])
            .map(|at| view.screen(at))
            .collect();
        let all = Rect::from_points(&seen);
        let room = (canvas.size() - Vec2::splat(2.0 * margin)).max(Vec2::splat(40.0));
        let scale =
            f64::from(room.x / all.width().max(0.5)).min(f64::from(room.y / all.height().max(0.5)));
        self.scale = scale.clamp(SCALES.0, SCALES.1);
    }
}

/// A [`Camera`] in its place on the screen.
#[derive(Clone, Copy, Debug)]
pub struct View {
    pub canvas: Rect,
    pub camera: Camera,
    pub towards_eye: Pt,
    right: Pt,
    sin: f64,
    cos: f64,
}

impl View {
    #[must_use]
    pub fn screen(&self, at: At) -> Pos2 {
        let d = at.plan - self.camera.middle.plan;
        let up = (at.z - self.camera.middle.z) * self.cos - d.dot(self.towards_eye) * self.sin;
        self.canvas.center() + vec2(d.dot(self.right) as f32, -up as f32) * self.camera.scale as f32
    }

    /// How near to the eye a point is, m; larger is nearer.
    #[must_use]
    pub fn nearness(&self, at: At) -> f64 {
        at.plan.dot(self.towards_eye) * self.cos + at.z * self.sin
    }

    /// Whether a face with this outward normal is turned to the eye.
    #[must_use]
    pub fn faces(&self, normal: [f64; 3]) -> bool {
        let [x, y, z] = normal;
        Pt(x, y).dot(self.towards_eye) * self.cos + z * self.sin > 1e-6
    }

    /// Metres of height for a movement upwards on the screen, points.
    #[must_use]
    pub fn rise(&self, points: f32) -> f64 {
        f64::from(points) / (self.camera.scale * self.cos)
    }

    #[must_use]
    pub fn points(&self, metres: f64) -> f32 {
        (metres * self.camera.scale) as f32
    }

    /// Half the height on the screen of an upright ellipsoid.
    #[must_use]
    pub fn half_height(&self, radius_m: f64, half_height_m: f64) -> f32 {
        self.points((half_height_m * self.cos).hypot(radius_m * self.sin))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::pos2;

    fn canvas() -> Rect {
        Rect::from_min_size(pos2(100.0, 50.0), vec2(800.0, 600.0))
    }

    #[test]
    fn from_the_south_east_lies_right_and_up_is_up() {
        let view = Camera {
            from_deg: 180.0,
            tilt_deg: 0.0,
            ..Camera::default()
        }
        .on(canvas());
        let middle = view.screen(At::default());
        assert_eq!(middle, canvas().center());
        let east = view.screen(At::new(Pt(1.0, 0.0), 0.0));
        assert!((east - middle - vec2(40.0, 0.0)).length() < 1e-3);
        let up = view.screen(At::new(Pt(0.0, 0.0), 1.0));
        assert!((up - middle - vec2(0.0, -40.0)).length() < 1e-3);
        // North and south fall together, and the south is nearer.
        let south = At::new(Pt(0.0, -3.0), 0.0);
        assert!((view.screen(south) - middle).length() < 1e-3);
        assert!(view.nearness(south) > view.nearness(At::default()));
        assert!(view.faces([0.0, -1.0, 0.0]) && !view.faces([0.0, 1.0, 0.0]));
    }

    #[test]
    fn from_above_what_is_farther_lies_higher() {
        for from_deg in [0.0, 90.0, 135.0, 301.0] {
            let view = Camera {
                from_deg,
                tilt_deg: 40.0,
                ..Camera::default()
            }
            .on(canvas());
            let far = At::new(Pt::towards(f64::to_radians(from_deg)) * -2.0, 0.0);
            let middle = view.screen(At::default());
            assert!(view.screen(far).y < middle.y - 10.0);
            assert!((view.screen(far).x - middle.x).abs() < 1e-3);
            // 40 points on the screen are 1 m / cos 40° of height.
            assert!((view.rise(40.0) - 1.0 / f64::to_radians(40.0).cos()).abs() < 1e-6);
        }
    }

    #[test]
    fn zooming_keeps_what_lies_under_the_pointer() {
        for tilt_deg in [0.0, 20.0, 50.0] {
            let mut camera = Camera {
                from_deg: 200.0,
                tilt_deg,
                middle: At::new(Pt(3.0, 4.0), 1.0),
                scale: 50.0,
            };
            let at = At::new(Pt(4.0, 4.2), 2.0);
            let pointer = camera.on(canvas()).screen(at);
            camera.zoom(canvas(), pointer, 1.7);
            assert!((camera.scale - 85.0).abs() < 1e-9);
            assert!((camera.on(canvas()).screen(at) - pointer).length() < 0.05);
        }
    }

    #[test]
    fn fitting_shows_the_whole_box() {
        let mut camera = Camera::default();
        let (low, high) = (Pt(-4.0, -9.0), Pt(12.0, 3.0));
        for from_deg in [0.0, 45.0, 180.0] {
            camera.from_deg = from_deg;
            camera.fit(canvas(), (low, high), 6.0, 30.0);
            for p in [low, high, Pt(low.0, high.1)] {
                for z in [0.0, 6.0] {
                    assert!(canvas().contains(camera.on(canvas()).screen(At::new(p, z))));
                }
            }
        }
    }

    #[test]
    fn tilt_and_turn_stay_in_range() {
        let mut camera = Camera::default();
        camera.tilt(500.0);
        assert!((camera.tilt_deg - 60.0).abs() < 1e-9);
        camera.tilt(-500.0);
        assert!(camera.tilt_deg.abs() < 1e-9);
        camera.turn(-200.0);
        assert!((camera.from_deg - 340.0).abs() < 1e-9);
    }
}
