//! The drawing from the side: to see how high things are, to set heights by hand, and to see the sun's way over them.

mod camera;
mod hand;
mod levels;
mod model;
mod paint;

use std::sync::Arc;

use egui::{Key, PointerButton, Rect, Response, Sense, Ui, WidgetInfo, accesskit::Role};

use self::{
    camera::Camera,
    hand::Grip,
    model::{Figure, Piece},
};
use super::{layers::Layers, pots, shade::Shade, shape};
use crate::{
    app::{
        parts::{escape, menus},
        state::{Request, Sight},
    },
    base::{Pt, names},
    site::{Place, edit::ObjectKind},
};

/// Degrees turned by a point of pull, and by an arrow key.
const TURN_PER_POINT: f64 = 0.4;
const KEY_STEP_DEG: f64 = 5.0;

/// The view from the side and what the hand holds in it.
#[derive(Default)]
pub struct Elevation {
    camera: Camera,
    /// Document the view was fitted to.
    fitted: Option<Arc<Place>>,
    fit: bool,
    canvas: Option<Rect>,
    grip: Option<Grip>,
    shade: Shade,
    modelled: Option<Modelled>,
}

/// The drawing in space, and what it was made of: bodies are cut anew only when the drawing or the month is another.
struct Modelled {
    place: Arc<Place>,
    revision: u64,
    month0: usize,
    dark: bool,
    pieces: Vec<Piece>,
}

impl Modelled {
    fn of(ui: &Ui, sight: &Sight<'_>) -> Self {
        let month0 = sight.week().month0();
        Self {
            place: Arc::clone(&sight.site().place),
            revision: sight.document.revision(),
            month0,
            dark: ui.visuals().dark_mode,
            pieces: model::pieces(sight.site(), crate::app::theme::tokens(ui), month0),
        }
    }

    fn fits(&self, ui: &Ui, sight: &Sight<'_>) -> bool {
        Arc::ptr_eq(&self.place, &sight.site().place)
            && self.revision == sight.document.revision()
            && self.month0 == sight.week().month0()
            && self.dark == ui.visuals().dark_mode
    }
}

impl Elevation {
    /// One frame.
    pub fn show_ui(
        &mut self,
        ui: &mut Ui,
        sight: &Sight<'_>,
        layers: &Layers,
        requests: &mut Vec<Request>,
    ) {
        let (canvas, response) =
            ui.allocate_exact_size(ui.available_size(), Sense::click_and_drag());
        self.canvas = Some(canvas);
        let title = format!(
            "{} from {}, {:.0}° above the horizon",
            sight.site().name,
            self.side_words(&sight.site().place),
            self.camera.tilt_deg
        );
        response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, &title));
        self.fit_if_asked(sight, canvas);
        self.navigate(ui, &response, canvas);
        self.keys(ui, &response, sight, requests);
        let t = crate::app::theme::tokens(ui);
        let modelled = self
            .modelled
            .take()
            .filter(|m| m.fits(ui, sight))
            .unwrap_or_else(|| Modelled::of(ui, sight));
        let view = self.camera.on(canvas);
        let mut pieces: Vec<&Piece> = modelled
            .pieces
            .iter()
            .filter(|p| layers.shows(p.item.0))
            .collect();
        pieces.sort_by(|a, b| nearness(&view, a).total_cmp(&nearness(&view, b)));
        let standing = if layers.pots {
            pots::standing(sight)
        } else {
            Vec::new()
        };
        if response.clicked()
            && let Some(at) = response.interact_pointer_pos()
        {
            requests.push(Request::Select(
                paint::hit(&view, &pieces, at).into_iter().collect(),
            ));
        }
        paint::Brush {
            ui,
            view: &view,
            t,
            sight,
        }
        .all(&mut self.shade, &pieces, &standing);
        self.handles(ui, &response, &view, sight, requests);
        self.modelled = Some(modelled);
    }

    pub fn zoom(&mut self, factor: f64) {
        if let Some(canvas) = self.canvas {
            self.camera.zoom(canvas, canvas.center(), factor);
        }
    }

    /// Shows everything that matters at the next frame.
    pub fn fit_all(&mut self) {
        self.fit = true;
    }

    /// Buttons for where to look from.
    pub fn directions_ui(&mut self, ui: &mut Ui, place: &Place) {
        ui.menu_button(format!("From {}", self.side_words(place)), |ui| {
            menus::rolled_ui(ui, |ui| {
                // From the side of the sun at northern noon on, clockwise.
                for point in 4..12 {
                    let azimuth_deg = f64::from(point) * 45.0;
                    let words = names::compass(azimuth_deg);
                    let plan_deg = (azimuth_deg - place.plan_north_deg).rem_euclid(360.0);
                    let chosen = (self.camera.from_deg - plan_deg).abs() < 0.5;
                    if ui.radio(chosen, format!("From the {words}")).clicked() {
                        self.camera.from_deg = plan_deg;
                    }
                }
                ui.separator();
                for (words, tilt_deg) in [
                    ("Level: a true elevation", 0.0),
                    ("A little from above", 18.0),
                    ("High above", 45.0),
                ] {
                    let chosen = (self.camera.tilt_deg - tilt_deg).abs() < 0.5;
                    if ui.radio(chosen, words).clicked() {
                        self.camera.tilt_deg = tilt_deg;
                    }
                }
            })
        })
        .response
        .on_hover_text("Where the eye stands. Pull the drawing to turn it, or use the arrow keys.");
    }

    /// What the hand can do here.
    #[must_use]
    pub fn help(sight: &Sight<'_>) -> &'static str {
        match sight.looking.selected.as_slice() {
            [item] if !levels::of(sight.site(), item).is_empty() => {
                "Pull a handle up or down to set the height; arrows move it by 5 cm"
            }
            _ => {
                "Pull to turn, wheel to zoom, Shift or Space and pull to move; click what is to have another height"
            }
        }
    }

    fn side_words(&self, place: &Place) -> String {
        let true_deg = self.camera.from_deg + place.plan_north_deg;
        format!("the {}", names::compass(true_deg))
    }

    fn fit_if_asked(&mut self, sight: &Sight<'_>, canvas: Rect) {
        let place = &sight.site().place;
        let first = self.fitted.is_none();
        let another = !self.fitted.as_ref().is_some_and(|p| Arc::ptr_eq(p, place))
            && sight.document.revision() == 0;
        if first {
            // The side on which the sun stands at noon.
            let azimuth = if place.latitude_deg < 0.0 { 0.0 } else { 180.0 };
            self.camera.from_deg = (azimuth + 25.0 - place.plan_north_deg).rem_euclid(360.0);
        }
        self.fitted = Some(Arc::clone(place));
        if first || another || std::mem::take(&mut self.fit) {
            let (low, high) = shape::heart(sight.site()).unwrap_or((Pt(-5.0, -4.0), Pt(5.0, 4.0)));
            let top = levels::highest(sight.site(), (low, high));
            self.camera.fit(canvas, (low, high), top, 48.0);
        }
    }

    fn navigate(&mut self, ui: &Ui, response: &Response, canvas: Rect) {
        let (space, shift) = ui.input(|i| (i.key_down(Key::Space), i.modifiers.shift));
        let delta = response.drag_delta();
        if response.dragged_by(PointerButton::Middle)
            || (response.dragged_by(PointerButton::Primary) && (space || shift))
        {
            self.camera.pan(canvas, delta);
        } else if response.dragged_by(PointerButton::Primary) {
            self.camera.turn(f64::from(delta.x) * TURN_PER_POINT);
            self.camera.tilt(f64::from(delta.y) * TURN_PER_POINT);
        }
        if !response.contains_pointer() {
            return;
        }
        let about = response.hover_pos().unwrap_or(canvas.center());
        let (scroll, pinch) = ui.input(|i| (i.smooth_scroll_delta(), i.zoom_delta()));
        let factor = f64::from(pinch) * 1.0035_f64.powf(f64::from(scroll.y));
        if (factor - 1.0).abs() > 1e-4 {
            self.camera.zoom(canvas, about, factor);
        }
    }

    fn keys(
        &mut self,
        ui: &Ui,
        response: &Response,
        sight: &Sight<'_>,
        requests: &mut Vec<Request>,
    ) {
        if response.clicked() {
            response.request_focus();
        }
        if !response.has_focus() {
            return;
        }
        let filter = egui::EventFilter {
            tab: false,
            horizontal_arrows: true,
            vertical_arrows: true,
            escape: true,
        };
        ui.memory_mut(|m| m.set_focus_lock_filter(response.id, filter));
        let pressed = |key: Key| ui.input(|i| i.key_pressed(key));
        for (key, turn, tilt) in [
            (Key::ArrowLeft, -1.0, 0.0),
            (Key::ArrowRight, 1.0, 0.0),
            (Key::ArrowUp, 0.0, 1.0),
            (Key::ArrowDown, 0.0, -1.0),
        ] {
            if pressed(key) {
                self.camera.turn(turn * KEY_STEP_DEG);
                self.camera.tilt(tilt * KEY_STEP_DEG);
            }
        }
        if pressed(Key::Home) {
            self.fit = true;
        }
        let drops = !sight.looking.selected.is_empty() && !sight.looking.covered;
        if self.grip.is_none() && drops && escape::take(ui.ctx()) {
            requests.push(Request::Select(Vec::new()));
        }
    }
}

fn nearness(view: &camera::View, piece: &Piece) -> f64 {
    let of = |points: &[camera::At]| {
        points.iter().map(|p| view.nearness(*p)).sum::<f64>() / points.len().max(1) as f64
    };
    let own = match &piece.figure {
        Figure::Flat { corners, .. } => of(corners),
        Figure::Line(points) => of(points),
        Figure::Crown { middle, .. } => view.nearness(*middle),
    };
    let ground = if piece.item.0 == ObjectKind::Ground {
        -1e6
    } else {
        0.0
    };
    own + piece.lift_m + ground
}
