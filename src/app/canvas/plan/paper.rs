//! Painting one frame, from the ground upwards.

use egui::{Rect, Shape, Stroke, StrokeKind, Ui, pos2};

use super::{Plan, Seen};
use crate::{
    app::{
        canvas::{
            measure,
            paint::{self, Pen, marks},
            pots::Standing,
            shade,
            tools::Tool,
        },
        theme,
    },
    site::edit::ObjectKind,
};

impl Plan {
    pub(super) fn paint(
        &mut self,
        ui: &Ui,
        sight: &Seen<'_>,
        standing: &[Standing],
        focused: Option<Rect>,
        canvas_focused: bool,
    ) {
        let t = theme::tokens(ui);
        let painter = ui.painter_at(self.canvas);
        painter.rect_filled(self.canvas, 0, t.outdoors);
        let week = sight.week();
        let pen = Pen::new(
            &painter,
            self.on(),
            t,
            sight.site(),
            week.month0(),
            sight.looking.hour,
        );
        let feet = sight.looking.units.feet;
        let layers = self.layers;

        if layers.garden {
            paint::garden::grounds(&pen);
        }
        if layers.grid {
            paint::frame::grid(&pen, feet);
        }
        let sun = sight.outcome.filter(|_| layers.shadows).map(|o| {
            (
                o,
                shade::sun_at(&sight.site().place, o, week, sight.looking.hour),
            )
        });
        let on = self.on();
        let pictures = sun.and_then(|(outcome, sun)| {
            let drawn = self.shade.picture(
                ui.ctx(),
                outcome,
                week.month0(),
                sun,
                t,
                ui.visuals().dark_mode,
            )?;
            let rect = Rect::from_two_pos(on.screen(drawn.low), on.screen(drawn.high));
            Some((rect, drawn.outdoors.id(), drawn.indoors.id()))
        });
        let uv = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
        if let Some((rect, outdoors, _)) = pictures {
            painter.add(Shape::image(outdoors, rect, uv, egui::Color32::WHITE));
        }
        if layers.house {
            paint::house::buildings(&pen);
            paint::house::rooms(&pen);
        }
        if let Some((rect, _, indoors)) = pictures {
            paint::house::sun_patches(&pen, indoors, rect);
        }
        if layers.house {
            paint::house::room_rims(&pen);
            paint::house::windows(&pen);
        }
        if layers.garden {
            paint::garden::screens(&pen);
        }
        if layers.spots {
            paint::spots::spots(&pen);
        }
        if layers.devices {
            paint::devices::all(&pen);
        }
        if layers.garden {
            paint::garden::canopies(&pen);
            paint::cloth::cloths(&pen);
            paint::garden::trees(&pen);
        }
        if layers.pots {
            paint::spots::pots(&pen, sight, standing);
        }
        self.paint_marks(&pen, sight, standing);
        pen.keep_clear(paint::frame::north(&pen));
        pen.keep_clear(paint::frame::scale_bar(&pen, feet));
        pen.write_labels();
        self.paint_hand(&pen, feet);
        if let Some(rect) = focused {
            marks::focused(&pen, rect);
        } else if canvas_focused {
            painter.rect_stroke(
                self.canvas.shrink(1.0),
                0,
                Stroke::new(1.0, t.accent),
                StrokeKind::Inside,
            );
        }
        if sun.is_some_and(|(_, sun)| sun.elevation_rad <= 0.0) {
            let words = "The sun is down at this hour";
            painter.text(
                self.canvas.center_bottom() - egui::vec2(0.0, 14.0),
                egui::Align2::CENTER_BOTTOM,
                words,
                theme::text::regular(theme::text::SMALL),
                t.ink_soft,
            );
        }
    }

    fn paint_marks(&self, pen: &Pen<'_>, sight: &Seen<'_>, standing: &[Standing]) {
        for item in &sight.looking.selected {
            marks::selected(pen, item);
        }
        if let [item] = sight.looking.selected.as_slice()
            && self.tool == Tool::Pick
        {
            marks::handles(pen, item, self.over_handle);
        }
        if let Some(item) = &self.over {
            if item.0 == ObjectKind::Plant {
                if let Some(pot) = standing.iter().find(|s| s.plant == item.1) {
                    let r = paint::spots::radius(pen, pot) + 3.0;
                    pen.painter.circle_stroke(
                        pen.on.screen(pot.at),
                        r,
                        Stroke::new(1.5, pen.t.accent),
                    );
                }
            } else if !sight.looking.selected.contains(item) {
                marks::pointed_at(pen, item);
            }
        }
    }

    fn paint_hand(&self, pen: &Pen<'_>, feet: bool) {
        if let Some((a, b)) = self.pick.band() {
            marks::band(pen, a, b);
        }
        if let Some((at, on)) = self.pick.rest() {
            marks::rest(pen, crate::app::canvas::snap::Rest { at, on });
        }
        if let (Some(from), Some(p)) = (self.pick.moved_from(), self.pointer) {
            let words = if self.pick.was_refused() {
                "its edges would cross".to_owned()
            } else {
                measure::length(from.distance(p), feet)
            };
            marks::figure(pen, pen.on.screen(p), &words);
        }
        if self.tool == Tool::Pick {
            return;
        }
        if let Some(rest) = self.rest.filter(|_| self.pointer.is_some()) {
            marks::rest(pen, rest);
        }
        self.paint_draft(pen, feet);
        if !self.typed.is_empty()
            && let Some(p) = self.pointer
        {
            marks::figure(pen, pen.on.screen(p), &format!("{} and Enter", self.typed));
        }
    }
}
