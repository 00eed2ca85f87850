//! What shows while something is being drawn.

use super::{Plan, STILL};
use crate::{
    app::{
        canvas::{
            change, measure,
            paint::{Pen, marks},
            shape,
            tools::{Gesture, Tool, draft::Figure, make},
        },
        parts::figures,
    },
    base::names,
    site::edit::{Edit, Object},
};

impl Plan {
    pub(super) fn paint_draft(&self, pen: &Pen<'_>, feet: bool) {
        let gesture = self.tool.gesture();
        if gesture == Gesture::OnWall {
            self.paint_on_wall(pen, feet);
            return;
        }
        let pulled = self.draft.is_pulled(pen.on.metres(STILL * 2.0));
        marks::draft(pen, gesture, &self.draft, pulled, feet);
        if self.tool == Tool::Measure
            && let (Some(from), Some(to)) = (self.draft.points().first(), self.draft.pointer())
        {
            // A true direction, from the way the plan is turned.
            let azimuth = change::azimuth_deg(to - *from) + pen.site.place.plan_north_deg;
            let words = format!(
                "{} to the {}",
                measure::length(from.distance(to), feet),
                names::compass(azimuth)
            );
            marks::figure(pen, pen.on.screen(to), &words);
        }
    }

    /// Length and angle of the line that is being drawn, and what of it was typed.
    pub(super) fn paint_figures(&self, pen: &Pen<'_>, feet: bool) {
        let (Some(last), Some(at)) = (self.draft.points().last(), self.draft.pointer()) else {
            return;
        };
        let gesture = self.tool.gesture();
        if !self.takes_figures()
            || self.tool == Tool::Measure && self.typing.is_empty()
            || gesture == Gesture::Outline && self.draft.is_pulled(pen.on.metres(STILL * 2.0))
        {
            return;
        }
        let d = at - *last;
        let azimuth_deg = d.x().atan2(d.y()).to_degrees().rem_euclid(360.0);
        let typed = |text: &str| (!text.is_empty()).then(|| text.to_owned());
        let length = typed(&self.typing.length);
        let angle = typed(&self.typing.angle);
        let mut fields = vec![marks::Field {
            name: "Length",
            typed: length.is_some(),
            words: length.unwrap_or_else(|| measure::length(d.length(), feet)),
            active: !self.typing.on_angle,
        }];
        if gesture != Gesture::Disc {
            fields.push(marks::Field {
                name: "Angle",
                typed: angle.is_some(),
                words: angle.unwrap_or_else(|| format!("{}°", figures::signed(azimuth_deg, 1))),
                active: self.typing.on_angle,
            });
        }
        marks::fields(pen, pen.on.screen(at), &fields);
    }

    /// The window as it would sit in the wall.
    fn paint_on_wall(&self, pen: &Pen<'_>, feet: bool) {
        let Some(pointer) = self.draft.pointer() else {
            return;
        };
        let from = self.draft.points().first().copied().unwrap_or(pointer);
        let to = if self.draft.is_pulled(pen.on.metres(STILL * 2.0)) {
            pointer
        } else {
            from
        };
        if let Ok(made) = make::make(
            pen.site,
            pen.site,
            self.level_m,
            self.tool,
            Figure::OnWall { from, to },
        ) && let Edit::Put(_, Object::Window(window)) = &made.edit
            && let Some(o) = shape::opening(pen.site, window)
        {
            marks::on_wall(pen, o.a, o.b, feet);
        }
    }
}
