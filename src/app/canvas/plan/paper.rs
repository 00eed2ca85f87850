//! Painting one frame, from the ground upwards.

use egui::{
    Rect, Sense, Shape, Stroke, StrokeKind, TextureId, Ui, WidgetInfo, accesskit::Role, pos2,
};

use super::{Plan, Seen};
use crate::{
    app::{
        canvas::{
            air_map::Wanted,
            carry::{self, Landing},
            layers::Cover,
            light_map::{Choice, Scale, When},
            measure,
            paint::{self, Pen, marks},
            pots::Standing,
            shade::{self, Moment},
            shape,
            tools::Tool,
        },
        state::Units,
        theme,
    },
    site::{Site, edit::ObjectKind},
};

/// What lies below the drawing in this frame, and where it would lie on the screen.
enum Covered {
    Sun {
        rect: Rect,
        outdoors: TextureId,
        indoors: TextureId,
    },
    Light {
        rect: Rect,
        picture: TextureId,
        /// It is of what was there before a change.
        stale: bool,
    },
    Air {
        rect: Rect,
        picture: TextureId,
    },
    /// The sun is down.
    Night,
    Awaited,
    Nothing,
}

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
        let mut pen = Pen::new(
            &painter,
            self.on(),
            t,
            sight.site(),
            week.month0(),
            sight.looking.hour,
        );
        pen.over = self.over.clone().filter(|_| self.tool == Tool::Pick);
        let feet = sight.looking.units.feet;
        let layers = self.layers;

        if layers.garden {
            paint::garden::grounds(&pen);
        }
        if layers.grid {
            paint::frame::grid(&pen, feet);
        }
        let cover = self.cover(ui, sight);
        if matches!(cover, Covered::Light { .. } | Covered::Air { .. }) {
            // The light on a spot is what is looked for.
            pen.spot_cover = 0.25;
        }
        let under = match &cover {
            Covered::Sun { rect, outdoors, .. } => Some((*rect, *outdoors, false)),
            Covered::Light {
                rect,
                picture,
                stale,
            } => Some((*rect, *picture, *stale)),
            Covered::Air { rect, picture } => Some((*rect, *picture, false)),
            _ => None,
        };
        if let Some((rect, picture, stale)) = under {
            let uv = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
            let tint = egui::Color32::WHITE.gamma_multiply(if stale { 0.45 } else { 1.0 });
            painter.add(Shape::image(picture, rect, uv, tint));
        }
        if layers.house {
            paint::house::buildings(&pen);
            paint::house::rooms(&pen);
        }
        match &cover {
            Covered::Sun { rect, indoors, .. } => paint::house::sun_patches(&pen, *indoors, *rect),
            Covered::Light { rect, picture, .. } | Covered::Air { rect, picture } => {
                paint::house::sun_patches(&pen, *picture, *rect);
            }
            _ => {}
        }
        if matches!(cover, Covered::Light { stale: false, .. }) {
            self.paint_lines(&pen, sight.looking.units);
        }
        if let Some(u) = sight.whole().drawing.underlay.as_ref().filter(|u| u.shown) {
            self.underlay.look(ui.ctx(), u, sight.folder);
            self.underlay.paint(&pen, u);
        }
        if layers.house {
            paint::house::room_rims(&pen);
            paint::house::windows(&pen);
        }
        if matches!(cover, Covered::Air { .. }) {
            self.air.paint_lines(&pen);
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
        let corners = [
            paint::frame::north(&pen),
            paint::frame::scale_bar(&pen, feet),
        ];
        corners.iter().for_each(|c| pen.keep_clear(*c));
        if matches!(cover, Covered::Light { .. }) {
            let Choice { shows, over, .. } = self.map;
            let units = sight.looking.units;
            let scale = self
                .light
                .drawn()
                .map_or_else(|| Scale::of_year(shows), |d| d.scale);
            let marks = scale.marks(shows, units);
            let title = shows.title(over, units);
            let room = paint::frame::light_legend(&pen, scale, &title, &marks, &corners);
            let steps: Vec<&str> = marks.iter().map(|(_, w)| w.as_str()).collect();
            let words = format!("{title}: {}", steps.join(", "));
            let legend = ui.interact(room, ui.scope_id().with("legend of light"), Sense::hover());
            legend.widget_info(|| WidgetInfo::labeled(Role::Label, true, &words));
            pen.keep_clear(room);
        }
        if matches!(cover, Covered::Air { .. })
            && let Some(room) = self.air.legend(&pen, sight.looking.units, &corners)
        {
            pen.keep_clear(room);
        }
        pen.write_labels();
        self.paint_hand(&pen, sight, feet);
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
        let words = match cover {
            Covered::Night => "The sun is down at this hour",
            Covered::Awaited => "The map is being computed",
            Covered::Sun { .. }
            | Covered::Light { .. }
            | Covered::Air { .. }
            | Covered::Nothing => "",
        };
        paint::frame::notice(&pen, words);
    }

    /// The computed picture below the drawing.
    fn cover(&mut self, ui: &Ui, sight: &Seen<'_>) -> Covered {
        let t = theme::tokens(ui);
        let on = self.on();
        let Some(outcome) = sight.outcome else {
            return Covered::Nothing;
        };
        let (week, dark) = (sight.week(), ui.visuals().dark_mode);
        let rect = |low, high| Rect::from_two_pos(on.screen(low), on.screen(high));
        match self.layers.cover {
            Cover::Nothing => Covered::Nothing,
            Cover::Sun => {
                let moment = Moment {
                    month0: week.month0(),
                    sun: shade::sun_at(&sight.site().place, outcome, week, sight.looking.hour),
                    level_m: self.level_m,
                };
                if moment.sun.elevation_rad <= 0.0 {
                    return Covered::Night;
                }
                self.shade
                    .picture(ui.ctx(), outcome, moment, t, dark)
                    .map_or(Covered::Nothing, |drawn| Covered::Sun {
                        rect: rect(drawn.low, drawn.high),
                        outdoors: drawn.outdoors.id(),
                        indoors: drawn.indoors.id(),
                    })
            }
            Cover::WeekLight => {
                let when = When {
                    week,
                    hour: sight.looking.hour,
                    hemisphere: sight.hemisphere(),
                    level_m: self.level_m,
                    units: sight.looking.units,
                };
                self.light
                    .look(ui.ctx(), outcome, self.map, &when, &t.light, dark);
                let stale = self.light.stale || sight.stale;
                let drawn = self.light.drawn();
                drawn.map_or(Covered::Awaited, |drawn| Covered::Light {
                    rect: rect(drawn.low, drawn.high),
                    picture: drawn.texture.id(),
                    stale,
                })
            }
            cover @ (Cover::ClearNight | Cover::WeekNight | Cover::MovingAir) => self
                .air
                .picture(
                    ui.ctx(),
                    outcome,
                    Wanted {
                        cover,
                        week,
                        hour: sight.looking.hour,
                        level_m: self.level_m,
                    },
                    t,
                    dark,
                )
                .map_or(Covered::Awaited, |drawn| Covered::Air {
                    rect: rect(drawn.low, drawn.high),
                    picture: drawn.picture.id(),
                }),
        }
    }

    /// Lines of equal light, each with its figure.
    fn paint_lines(&self, pen: &Pen<'_>, units: Units) {
        let Some(drawn) = self.light.drawn() else {
            return;
        };
        let marks = self.map.shows.lines(units);
        let stroke = Stroke::new(1.0, pen.t.ink.gamma_multiply(0.75));
        for line in drawn.lines.iter().filter(|l| l.points.len() >= 8) {
            pen.line(&line.points, stroke);
            let words = marks.iter().find(|(v, _)| *v == line.level);
            if let (Some((_, words)), Some(p)) = (words, line.points.get(line.points.len() / 2)) {
                pen.label(3, pen.on.screen(*p), words, true, pen.t.ink);
            }
        }
    }

    fn paint_marks(&self, pen: &Pen<'_>, sight: &Seen<'_>, standing: &[Standing]) {
        if let Some(p) = self.lookout {
            marks::lookout(pen, p);
        }
        for item in sight.looking.selected.iter().chain(&pen.over) {
            first_name(pen, sight.site(), item);
        }
        for item in &sight.looking.selected {
            marks::selected(pen, item);
            if sight.site().drawing.is_locked(item.0, &item.1) {
                marks::locked(pen, item);
            }
        }
        if let [item] = sight.looking.selected.as_slice()
            && self.tool == Tool::Pick
            && !sight.site().drawing.is_locked(item.0, &item.1)
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

    fn paint_hand(&self, pen: &Pen<'_>, sight: &Seen<'_>, feet: bool) {
        if let Some((a, b)) = self.pick.band() {
            marks::band(pen, a, b);
        }
        if let Some(rest) = self.pick.rest() {
            marks::rest(pen, rest);
        }
        if let Some((plant, at)) = self.pick.pot() {
            let spot = self.spot_at(sight, at);
            let landing = carry::landing(sight.sight, plant, spot.as_ref());
            let goes = matches!(landing, Landing::Pinned(_) | Landing::Stands(_));
            if let Some(spot) = spot.filter(|_| goes) {
                marks::pointed_at(pen, &(ObjectKind::Spot, spot));
            }
            let radius_m = sight
                .whole()
                .plants
                .get(plant)
                .map_or(0.12, |p| p.pot.rim_cm / 200.0);
            marks::carried(pen, at, radius_m);
            marks::figure(pen, pen.on.screen(at), &landing.words(sight.sight));
        }
        if let Some((ObjectKind::Window, id)) = self.pick.moved_alone()
            && let Some(o) = pen
                .site
                .windows
                .get(id)
                .and_then(|w| shape::opening(pen.site, w))
        {
            for (a, b) in [(o.wall.a, o.a), (o.a, o.b), (o.b, o.wall.b)] {
                marks::dimension(pen, a, b, feet);
            }
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
            if let Some(p) = self.pointer.filter(|_| !self.pick.is_moving()) {
                let words = self.map_reading(p, sight.looking.units);
                marks::figure(pen, pen.on.screen(p), &words);
            }
            return;
        }
        if let Some(rest) = self.rest.filter(|_| self.pointer.is_some()) {
            marks::rest(pen, rest);
        }
        self.paint_draft(pen, feet);
        self.paint_figures(pen, feet);
    }
}

/// The name of what is selected or pointed at comes before all others. House and rooms are too large to have it beside
/// them, and have it written in.
fn first_name(pen: &Pen<'_>, site: &Site, item: &shape::Item) {
    use ObjectKind as K;
    if !matches!(
        item.0,
        K::Spot
            | K::Cloth
            | K::Tree
            | K::Canopy
            | K::Screen
            | K::Heater
            | K::Vent
            | K::Fan
            | K::Tray
    ) {
        return;
    }
    if let Some(shape) = shape::shape(site, item) {
        let rect = pen.on.around(&shape.extent());
        let name = site.name_of(item.0, &item.1);
        pen.label_beside(0, rect, &name, pen.t.ink);
    }
}
