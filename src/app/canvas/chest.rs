//! The tool chest beside the plan: every tool by name, with a small drawing of what it makes.

use egui::{
    Color32, Painter, Rect, Response, Sense, Shape, Stroke, StrokeKind, Ui, WidgetInfo,
    accesskit::Role, pos2, vec2,
};

use super::tools::{CHEST, Tool};
use crate::app::theme::{self, space, text};

/// All tools; returns the one that was taken.
pub fn chest_ui(ui: &mut Ui, in_hand: Tool) -> Option<Tool> {
    let mut taken = None;
    let mut pair = |ui: &mut Ui, tools: &[Tool]| {
        for row in tools.chunks(2) {
            ui.horizontal(|ui| {
                ui.spacing_mut().item_spacing.x = space::XS;
                let width = (ui.available_width() - space::XS) * 0.5;
                for tool in row {
                    if tool_ui(ui, *tool, *tool == in_hand, width).clicked() {
                        taken = Some(*tool);
                    }
                }
            });
        }
    };
    ui.spacing_mut().item_spacing.y = 1.0;
    pair(ui, &[Tool::Pick, Tool::Measure, Tool::Horizon]);
    for (name, tools) in CHEST {
        ui.add_space(space::S);
        ui.label(text::caption(name));
        pair(ui, tools);
    }
    taken
}

fn tool_ui(ui: &mut Ui, tool: Tool, in_hand: bool, width: f32) -> Response {
    let t = theme::tokens(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(width, 27.0), Sense::click());
    response.widget_info(|| {
        WidgetInfo::selected(Role::Button, true, in_hand, format!("Tool {}", tool.name()))
    });
    if ui.is_rect_visible(rect) {
        let painter = ui.painter();
        let ink = if in_hand { t.accent } else { t.ink };
        if in_hand {
            painter.rect_filled(rect, space::CORNER, t.accent_wash);
            painter.rect_stroke(
                rect,
                space::CORNER,
                Stroke::new(1.5, t.accent),
                StrokeKind::Inside,
            );
        } else if response.hovered() {
            painter.rect_filled(rect, space::CORNER, t.hover_wash);
        }
        if response.has_focus() {
            painter.rect_stroke(
                rect.shrink(2.0),
                space::CORNER,
                Stroke::new(1.5, t.accent),
                StrokeKind::Inside,
            );
        }
        let sign =
            Rect::from_center_size(pos2(rect.left() + 15.0, rect.center().y), vec2(18.0, 18.0));
        sign_paint(painter, sign, tool, t, ink);
        let font = if in_hand {
            text::semibold(14.0)
        } else {
            text::regular(14.0)
        };
        let galley = painter.layout_no_wrap(tool.name().to_owned(), font, ink);
        painter.galley(
            pos2(rect.left() + 29.0, rect.center().y - galley.size().y * 0.5),
            galley,
            ink,
        );
    }
    let key = tool
        .key()
        .map_or_else(String::new, |k| format!("  ({})", k.name()));
    response.on_hover_text(format!("{}{key}", tool.help()))
}

/// A small plan drawing of what the tool makes.
fn sign_paint(painter: &Painter, rect: Rect, tool: Tool, t: &theme::Tokens, ink: Color32) {
    let pen = Stroke::new(1.4, ink);
    let thin = Stroke::new(1.0, ink);
    let at = |x: f32, y: f32| {
        pos2(
            rect.left() + x * rect.width(),
            rect.top() + y * rect.height(),
        )
    };
    let line = |points: &[(f32, f32)], stroke: Stroke| {
        painter.line(points.iter().map(|(x, y)| at(*x, *y)).collect(), stroke);
    };
    let ring = |x: f32, y: f32, r: f32, stroke: Stroke| {
        painter.circle_stroke(at(x, y), r * rect.width(), stroke);
    };
    let dash = |points: &[(f32, f32)]| {
        let path: Vec<_> = points.iter().map(|(x, y)| at(*x, *y)).collect();
        painter.extend(Shape::dashed_line(&path, pen, 3.0, 2.0));
    };
    let square = [
        (0.1, 0.15),
        (0.9, 0.15),
        (0.9, 0.85),
        (0.1, 0.85),
        (0.1, 0.15),
    ];
    match tool {
        Tool::Pick => line(
            &[
                (0.25, 0.1),
                (0.25, 0.8),
                (0.45, 0.62),
                (0.6, 0.92),
                (0.7, 0.86),
                (0.57, 0.58),
                (0.82, 0.55),
                (0.25, 0.1),
            ],
            pen,
        ),
        Tool::Measure => {
            line(&[(0.05, 0.7), (0.95, 0.3)], pen);
            for (x, y) in [(0.05, 0.7), (0.35, 0.567), (0.65, 0.433), (0.95, 0.3)] {
                line(&[(x - 0.05, y - 0.13), (x + 0.05, y + 0.13)], thin);
            }
        }
        // They stand in no chest: the panel of the picture hands them out.
        Tool::ScalePicture | Tool::TurnPicture => {}
        Tool::Horizon => {
            let sky: Vec<(f32, f32)> = (0..=10)
                .map(|k| {
                    let a = std::f32::consts::PI * k as f32 / 10.0;
                    (0.5 - 0.44 * a.cos(), 0.8 - 0.62 * a.sin())
                })
                .collect();
            line(&sky, thin);
            line(
                &[
                    (0.02, 0.8),
                    (0.2, 0.8),
                    (0.2, 0.52),
                    (0.4, 0.52),
                    (0.4, 0.8),
                    (0.98, 0.8),
                ],
                pen,
            );
            painter.circle_filled(at(0.66, 0.36), 2.0, t.sunlight);
        }
        Tool::Building => {
            line(&square, pen);
            line(&[(0.1, 0.5), (0.9, 0.5)], thin);
            line(&[(0.3, 0.15), (0.3, 0.85)], thin);
            line(&[(0.6, 0.15), (0.6, 0.85)], thin);
        }
        Tool::Room => line(
            &[
                (0.12, 0.15),
                (0.88, 0.15),
                (0.88, 0.85),
                (0.5, 0.85),
                (0.5, 0.6),
                (0.12, 0.6),
                (0.12, 0.15),
            ],
            Stroke::new(2.4, ink),
        ),
        Tool::Window => {
            line(&[(0.0, 0.5), (0.2, 0.5)], Stroke::new(3.4, ink));
            line(&[(0.8, 0.5), (1.0, 0.5)], Stroke::new(3.4, ink));
            line(&[(0.2, 0.42), (0.8, 0.42)], Stroke::new(1.2, t.glass_line));
            line(&[(0.2, 0.58), (0.8, 0.58)], Stroke::new(1.2, t.glass_line));
        }
        Tool::GlassDoor | Tool::Door => {
            let c = if tool == Tool::GlassDoor {
                t.glass_line
            } else {
                ink
            };
            line(&[(0.0, 0.8), (0.2, 0.8)], Stroke::new(3.4, ink));
            line(&[(0.8, 0.8), (1.0, 0.8)], Stroke::new(3.4, ink));
            line(&[(0.2, 0.8), (0.2, 0.2)], Stroke::new(1.6, c));
            let arc: Vec<(f32, f32)> = (0..=8)
                .map(|k| {
                    let a = std::f32::consts::FRAC_PI_2 * k as f32 / 8.0;
                    (0.2 + 0.6 * a.sin(), 0.8 - 0.6 * a.cos())
                })
                .collect();
            line(&arc, Stroke::new(1.0, c));
        }
        Tool::Canopy => dash(&square),
        Tool::Cloth => {
            for k in 1..5 {
                let s = k as f32 * 0.2;
                line(&[(s, 0.1), (s, 0.9)], Stroke::new(1.0, t.cloth));
                line(&[(0.1, s), (0.9, s)], Stroke::new(1.0, t.cloth));
            }
        }
        Tool::Wall => line(
            &[(0.05, 0.7), (0.55, 0.7), (0.95, 0.3)],
            Stroke::new(3.4, ink),
        ),
        Tool::Fence => {
            line(&[(0.05, 0.5), (0.95, 0.5)], thin);
            for x in [0.08, 0.36, 0.64, 0.92] {
                painter.rect_filled(Rect::from_center_size(at(x, 0.5), vec2(3.5, 3.5)), 0, ink);
            }
        }
        Tool::Hedge => {
            for x in [0.2, 0.4, 0.6, 0.8] {
                ring(
                    x,
                    if x == 0.2 || x == 0.6 { 0.45 } else { 0.58 },
                    0.14,
                    Stroke::new(1.2, t.leaf_deep),
                );
            }
        }
        Tool::Tree => {
            ring(0.5, 0.5, 0.4, Stroke::new(1.4, t.leaf_deep));
            painter.circle_filled(at(0.5, 0.5), 2.0, t.leaf_deep);
        }
        Tool::Ground => {
            line(&square, thin);
            for k in [0.36, 0.64] {
                line(&[(k, 0.15), (k, 0.85)], Stroke::new(0.8, ink));
            }
            line(&[(0.1, 0.5), (0.9, 0.5)], Stroke::new(0.8, ink));
        }
        Tool::Heater => {
            line(
                &[
                    (0.1, 0.15),
                    (0.9, 0.15),
                    (0.9, 0.38),
                    (0.1, 0.38),
                    (0.1, 0.15),
                ],
                thin,
            );
            for x in [0.28, 0.5, 0.72] {
                line(
                    &[(x, 0.48), (x - 0.07, 0.6), (x + 0.07, 0.74), (x, 0.9)],
                    Stroke::new(1.3, t.heat),
                );
            }
        }
        Tool::Vent => {
            line(&[(0.06, 0.25), (0.06, 0.75)], Stroke::new(3.0, ink));
            for y in [0.3, 0.5, 0.7] {
                let end = 0.5 + (y - 0.5) * 1.5;
                line(&[(0.2, y), (0.92, end)], Stroke::new(1.3, t.draught));
            }
        }
        Tool::Fan => {
            ring(0.5, 0.5, 0.42, thin);
            for k in 0..3 {
                let a = k as f32 * std::f32::consts::TAU / 3.0;
                line(
                    &[
                        (0.5, 0.5),
                        (0.5 + 0.2 * a.sin(), 0.5 - 0.2 * a.cos()),
                        (0.5 + 0.34 * (a + 0.6).sin(), 0.5 - 0.34 * (a + 0.6).cos()),
                    ],
                    pen,
                );
            }
        }
        Tool::Tray => {
            ring(0.5, 0.5, 0.4, Stroke::new(1.3, t.water));
            line(
                &[(0.25, 0.5), (0.4, 0.42), (0.6, 0.58), (0.75, 0.5)],
                Stroke::new(1.2, t.water),
            );
        }
        Tool::SpotPoint => {
            painter.circle(
                at(0.5, 0.5),
                0.3 * rect.width(),
                t.spot,
                Stroke::new(1.4, t.spot_line),
            );
        }
        Tool::SpotLine => {
            let body = Rect::from_min_max(at(0.02, 0.36), at(0.98, 0.64));
            painter.rect_filled(body, 1, t.spot);
            painter.rect_stroke(body, 1, Stroke::new(1.3, t.spot_line), StrokeKind::Inside);
        }
        Tool::SpotArea => {
            let body = Rect::from_min_max(at(0.06, 0.18), at(0.94, 0.82));
            painter.rect_filled(body, 1, t.spot);
            painter.rect_stroke(body, 1, Stroke::new(1.3, t.spot_line), StrokeKind::Inside);
            for x in [0.3, 0.7] {
                painter.circle_stroke(at(x, 0.5), 3.0, Stroke::new(1.0, t.spot_line));
            }
        }
    }
}
