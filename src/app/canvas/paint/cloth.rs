//! Shade cloth as a weave: the closer its threads, the more it shades.

use egui::Stroke;

use super::Pen;
use crate::base::{Pt, geometry};

pub fn cloths(pen: &Pen<'_>) {
    for cloth in pen.site.cloths.values() {
        if cloth.outline.len() < 3 || !pen.sees(&cloth.outline, 0.0) {
            continue;
        }
        let up = cloth.months.has(pen.month0);
        let share = (cloth.shade_pct / 100.0).clamp(0.0, 1.0) as f32;
        let tone = if up { 1.0 } else { 0.5 };
        if up {
            pen.fill(
                &cloth.outline,
                pen.t.cloth.gamma_multiply(0.05 + 0.16 * share),
            );
            let spacing = 11.0 - 7.0 * share;
            let thread = Stroke::new(1.0, pen.t.cloth.gamma_multiply(0.30));
            for angle in [30.0, -60.0] {
                pen.hatch(&cloth.outline, angle, spacing, thread);
            }
        }
        pen.dashes(
            &cloth.outline,
            true,
            Stroke::new(1.4, pen.t.cloth.gamma_multiply(tone)),
            2.5,
            2.5,
        );
        // Eyelets at the corners, where it is tied.
        for corner in &cloth.outline {
            pen.painter.circle_stroke(
                pen.on.screen(*corner),
                2.6,
                Stroke::new(1.2, pen.t.cloth.gamma_multiply(tone)),
            );
        }
        if let Some((low, high)) = geometry::bounds(cloth.outline.iter().copied()) {
            let at =
                pen.on.screen(Pt((low.x() + high.x()) * 0.5, low.y())) + egui::vec2(0.0, -12.0);
            let state = if up { "" } else { ", down now" };
            let name = if pen.is_large() {
                cloth.name.as_str()
            } else {
                "Cloth"
            };
            let words = format!("{name} {:.0} %{state}", cloth.shade_pct);
            pen.label(2, at, &words, false, pen.t.ink);
        }
    }
}
