//! Signs drawn with the pen of the theme, and buttons that carry one. Each has a name for screen readers.

use std::f32::consts::{PI, TAU};

use egui::{
    Color32, Painter, Pos2, Rect, Response, Sense, Stroke, Ui, WidgetInfo, accesskit::Role, pos2,
    vec2,
};

use crate::app::theme::{self, space};

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Icon {
    Undo,
    Redo,
    Play,
    Pause,
    Close,
    Search,
    Menu,
    Plus,
    Pin,
    Caution,
    Up,
    Down,
}

/// Draws a sign in the middle of `rect`.
pub fn paint(painter: &Painter, rect: Rect, icon: Icon, colour: Color32) {
    let c = rect.center();
    let r = rect.width().min(rect.height()) * 0.32;
    let pen = Stroke::new(1.6, colour);
    let at = |x: f32, y: f32| pos2(c.x + x * r, c.y + y * r);
    let line = |points: Vec<Pos2>| {
        painter.line(points, pen);
    };
    match icon {
        Icon::Undo | Icon::Redo => {
            let side = if icon == Icon::Undo { -1.0 } else { 1.0 };
            let arc: Vec<Pos2> = (0..=14)
                .map(|k| {
                    let a = -PI / 2.0 + PI * 1.15 * k as f32 / 14.0;
                    at(-side * 0.95 * a.cos(), 0.15 + 0.75 * a.sin())
                })
                .collect();
            line(arc);
            line(vec![at(side * 0.9, -0.6), at(0.0, -0.6)]);
            line(vec![
                at(side * 0.4, -1.1),
                at(side * 0.95, -0.6),
                at(side * 0.4, -0.1),
            ]);
        }
        Icon::Play => {
            painter.add(egui::Shape::convex_polygon(
                vec![at(-0.7, -0.95), at(0.95, 0.0), at(-0.7, 0.95)],
                colour,
                Stroke::NONE,
            ));
        }
        Icon::Pause => {
            for x in [-0.5, 0.5] {
                painter.line_segment([at(x, -0.85), at(x, 0.85)], Stroke::new(3.0, colour));
            }
        }
        Icon::Close => {
            line(vec![at(-0.75, -0.75), at(0.75, 0.75)]);
            line(vec![at(0.75, -0.75), at(-0.75, 0.75)]);
        }
        Icon::Search => {
            painter.circle_stroke(at(-0.2, -0.2), r * 0.7, pen);
            line(vec![at(0.32, 0.32), at(1.0, 1.0)]);
        }
        Icon::Menu => {
            for y in [-0.7, 0.0, 0.7] {
                line(vec![at(-0.95, y), at(0.95, y)]);
            }
        }
        Icon::Plus => {
            line(vec![at(-0.85, 0.0), at(0.85, 0.0)]);
            line(vec![at(0.0, -0.85), at(0.0, 0.85)]);
        }
        Icon::Pin => {
            painter.circle_filled(at(0.0, -0.45), r * 0.5, colour);
            line(vec![at(0.0, 0.0), at(0.0, 1.1)]);
        }
        Icon::Up => line(vec![at(-0.85, 0.4), at(0.0, -0.45), at(0.85, 0.4)]),
        Icon::Down => line(vec![at(-0.85, -0.4), at(0.0, 0.45), at(0.85, -0.4)]),
        Icon::Caution => {
            let corners = (0..3)
                .map(|k| {
                    let a = -PI / 2.0 + TAU * k as f32 / 3.0;
                    at(1.15 * a.cos(), 0.2 + 1.15 * a.sin())
                })
                .collect();
            painter.add(egui::Shape::closed_line(corners, pen));
            line(vec![at(0.0, -0.35), at(0.0, 0.3)]);
            painter.circle_filled(at(0.0, 0.56), 1.0, colour);
        }
    }
}

/// A square button with a sign; `name` is read out and shown when the pointer rests on it.
pub fn icon_button_ui(ui: &mut Ui, icon: Icon, name: &str, enabled: bool) -> Response {
    tipped_icon_button_ui(ui, icon, name, name, enabled)
}

/// The same that says more than its name when the pointer rests on it: its keys, or why it cannot be pressed.
pub fn tipped_icon_button_ui(
    ui: &mut Ui,
    icon: Icon,
    name: &str,
    tip: &str,
    enabled: bool,
) -> Response {
    let t = theme::tokens(ui);
    let colour = if enabled { t.ink } else { t.line_strong };
    button_ui(ui, icon, name, enabled, colour).on_hover_text(tip)
}

/// The same for lists, where many of one sign would be loud: it steps back until it is pointed at.
pub fn quiet_icon_button_ui(ui: &mut Ui, icon: Icon, name: &str) -> Response {
    let colour = theme::tokens(ui).line_strong;
    button_ui(ui, icon, name, true, colour).on_hover_text(name)
}

fn button_ui(ui: &mut Ui, icon: Icon, name: &str, enabled: bool, colour: Color32) -> Response {
    let size = vec2(30.0, 28.0);
    let sense = if enabled {
        Sense::click()
    } else {
        Sense::hover()
    };
    let (rect, response) = ui.allocate_exact_size(size, sense);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, enabled, name));
    let t = theme::tokens(ui);
    if ui.is_rect_visible(rect) {
        if enabled && (response.hovered() || response.has_focus()) {
            ui.painter().rect_filled(rect, space::CORNER, t.hover_wash);
        }
        if response.has_focus() {
            ui.painter().rect_stroke(
                rect,
                space::CORNER,
                Stroke::new(1.5, t.accent),
                egui::StrokeKind::Inside,
            );
        }
        let colour = if enabled && response.hovered() {
            t.ink
        } else {
            colour
        };
        paint(ui.painter(), rect, icon, colour);
    }
    response
}
