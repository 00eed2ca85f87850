//! The horizon of any point of the plan, of the spot that is selected, or else of the middle of what is seen: what stands
//! against the sky, the sun's ways through the year, hours of sun and light by month.

use std::sync::Arc;

use egui::{
    Align2, Color32, Panel, Pos2, Rect, Sense, Shape, Stroke, Ui, WidgetInfo, accesskit::Role,
    pos2, vec2,
};

use super::height_ui;
use crate::{
    app::{
        canvas::{latest::Latest, measure},
        parts::figures,
        state::Sight,
        theme::{self, Tokens, space, text},
    },
    base::{Hemisphere, Id, Progress, Pt, calendar::MONTH_NAMES, geometry, names},
    light::{
        Scene,
        horizon::{self, Horizon, SunArc},
    },
    pipeline::Outcome,
    site::{Site, Spot, edit::ObjectKind},
    sky::SkyYear,
};

/// Elevation at the upper end of the chart: above it azimuth says little.
const TOP_DEG: f32 = 90.0;
const HEIGHT: f32 = 316.0;
/// Least height of the plan above it, points.
const LEAST_PLAN: f32 = 120.0;
/// Least height of the chart, points.
const LEAST_CHART: f32 = 150.0;
const BARS: f32 = 236.0;

struct Job {
    outcome: Outcome,
    spot: Spot,
    week: crate::base::Week,
}

struct Answer {
    name: String,
    horizon: Horizon,
    of_week: SunArc,
}

struct Key {
    scene: Arc<Scene>,
    sky: Arc<SkyYear>,
    spot: Spot,
    week: crate::base::Week,
}

/// Where the plan is looked at, for a horizon that no spot has been chosen for.
#[derive(Clone, Copy)]
pub struct View {
    /// The plan point in the middle of what is seen.
    pub middle: Pt,
    /// Floor of the storey that is shown, m above the ground.
    pub level_m: f64,
}

/// The panel below the plan.
pub struct HorizonPanel {
    open: bool,
    /// The point that was asked for; a spot selected after it takes its place.
    point: Option<Pt>,
    /// The spot that was selected in the last frame.
    followed: Option<Id>,
    latest: Latest<Job, Answer>,
    asked: Option<Key>,
    shown: Option<Answer>,
}

impl Default for HorizonPanel {
    fn default() -> Self {
        Self {
            open: false,
            point: None,
            followed: None,
            latest: Latest::new("horizon", work),
            asked: None,
            shown: None,
        }
    }
}

fn work(job: Job, progress: &Progress) -> Option<Answer> {
    let foundations = job.outcome.foundations();
    let inputs = foundations.light_inputs(&job.outcome.site);
    let site = &job.outcome.site;
    let horizon = horizon::horizon(&inputs, site, &job.spot, progress).ok()?;
    Some(Answer {
        name: job.spot.name.clone(),
        horizon,
        of_week: horizon::arc_of_week(&inputs, site, &job.spot, job.week),
    })
}

impl HorizonPanel {
    /// Opens and closes it.
    pub fn switch_ui(&mut self, ui: &mut Ui) {
        let switch = egui::Button::selectable(self.open, "Horizon").frame_when_inactive(true);
        let switch = ui.add(switch).on_hover_text(
            "What stands against the sky at the selected spot, or else in the middle of the plan, and when the sun comes. \
             The tool of this name, or the right button, takes it to any point.",
        );
        if switch.clicked() {
            self.open = !self.open;
        }
    }

    /// Opens it on a point of the plan.
    pub fn look_from(&mut self, p: Pt) {
        self.open = true;
        self.point = Some(p);
    }

    /// The point it is open on, to be marked on the plan.
    #[must_use]
    pub fn point(&self) -> Option<Pt> {
        self.point.filter(|_| self.open)
    }

    /// `height_m` is the height above ground or floor for points that are no spot; it is set here too.
    /// Whether it takes the place of the plan, which it does where there is no room for both.
    pub fn show_ui(
        &mut self,
        ui: &mut Ui,
        sight: &Sight<'_>,
        view: View,
        height_m: &mut f64,
    ) -> bool {
        self.follow_selection(sight);
        if !self.open {
            return false;
        }
        let t = theme::tokens(ui);
        if ui.available_height() < HEIGHT + LEAST_PLAN {
            egui::ScrollArea::both()
                .id_salt("horizon")
                .auto_shrink([false, false])
                .show(ui, |ui| {
                    self.panel_ui(ui, sight, view, height_m);
                });
            return true;
        }
        Panel::bottom("horizon")
            .resizable(false)
            .exact_size(HEIGHT)
            .frame(
                egui::Frame::new()
                    .fill(t.paper)
                    .inner_margin(egui::Margin::symmetric(space::M as i8, space::S as i8)),
            )
            .show(ui, |ui| {
                self.panel_ui(ui, sight, view, height_m);
            });
        false
    }

    /// A spot selected after the point takes its place.
    fn follow_selection(&mut self, sight: &Sight<'_>) {
        let spot = match sight.looking.selected.as_slice() {
            [(ObjectKind::Spot, id)] => Some(id),
            _ => None,
        };
        if spot != self.followed.as_ref() {
            if spot.is_some() {
                self.point = None;
            }
            self.followed = spot.cloned();
        }
    }

    fn panel_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, view: View, height_m: &mut f64) {
        self.ask(ui, sight, view, *height_m);
        let units = sight.looking.units;
        let of_spot = self.point.is_none() && self.followed.is_some();
        let Some(answer) = &self.shown else {
            ui.label(text::soft("The horizon is being computed"));
            return;
        };
        let mut leave = false;
        // In a low window the chart is lower: its foot, where the sun stands in winter, must not be cut.
        let height = (ui.clip_rect().height() - 24.0).clamp(LEAST_CHART, HEIGHT - 24.0);
        ui.horizontal_top(|ui| {
            let size = vec2((ui.available_width() - BARS - space::L).max(240.0), height);
            chart_ui(ui, sight, answer, size);
            ui.add_space(space::M);
            ui.vertical(|ui| {
                ui.set_min_width(BARS);
                bars_ui(ui, answer);
                if of_spot {
                    return;
                }
                ui.add_space(space::XS);
                ui.horizontal(|ui| {
                    height_ui(
                        ui,
                        units,
                        "Height of the point above ground or floor",
                        height_m,
                    )
                    .on_hover_text(
                        "Above the ground or the floor; the map of light is at the same height",
                    );
                    ui.label(text::soft("high"));
                    if self.point.is_some() {
                        leave = ui
                            .button("Leave")
                            .on_hover_text("Back to the selected spot, or the middle of the plan")
                            .accessible_name("Leave this point's horizon")
                            .clicked();
                    }
                });
            });
        });
        if leave {
            self.point = None;
        }
    }

    fn ask(&mut self, ui: &Ui, sight: &Sight<'_>, view: View, height_m: f64) {
        let Some(outcome) = sight.outcome else {
            return;
        };
        let spot = place(sight, &outcome.site, self.point, view, height_m);
        let week = sight.week();
        let same = self.asked.as_ref().is_some_and(|k| {
            Arc::ptr_eq(&k.scene, &outcome.scene)
                && Arc::ptr_eq(&k.sky, &outcome.sky)
                && k.spot == spot
                && k.week == week
        });
        if !same {
            self.asked = Some(Key {
                scene: Arc::clone(&outcome.scene),
                sky: Arc::clone(&outcome.sky),
                spot: spot.clone(),
                week,
            });
            let outcome = outcome.clone();
            self.latest.ask(
                ui.ctx(),
                Job {
                    outcome,
                    spot,
                    week,
                },
            );
        }
        if let Some(answer) = self.latest.take() {
            self.shown = Some(answer);
        }
    }
}

/// The point that was asked for, else the selected spot, else the middle of the plan, in the form of a spot.
fn place(sight: &Sight<'_>, site: &Site, point: Option<Pt>, view: View, height_m: f64) -> Spot {
    if point.is_none()
        && let [(ObjectKind::Spot, id)] = sight.looking.selected.as_slice()
        && let Some(spot) = site.spots.get(id)
    {
        return Spot {
            name: site.name_of(ObjectKind::Spot, id),
            ..Spot::clone(spot)
        };
    }
    let at = point.unwrap_or(view.middle);
    let room = site
        .rooms
        .iter()
        .filter(|(_, r)| geometry::contains(&r.outline, at))
        .min_by(|a, b| {
            let off = |f: f64| (f - view.level_m).abs();
            off(a.1.floor_m).total_cmp(&off(b.1.floor_m))
        });
    // Whole hands' breadths, so that a slow pan does not ask at every frame.
    let round = |v: f64| (v * 10.0).round() / 10.0;
    Spot {
        name: match point {
            Some(p) => {
                let where_to = measure::place(p, sight.looking.units.feet);
                match room {
                    Some((id, _)) => {
                        format!("{where_to}, in {}", site.name_of(ObjectKind::Room, id))
                    }
                    // All is dark there, and it should be plain why.
                    None => match site
                        .buildings
                        .iter()
                        .find(|(_, b)| geometry::contains(&b.outline, p))
                    {
                        Some((id, _)) => format!(
                            "{where_to}, inside {}",
                            site.name_of(ObjectKind::Building, id)
                        ),
                        None => where_to,
                    },
                }
            }
            None => "the middle of the plan".to_owned(),
        },
        room: room.map(|(id, _)| id.clone()),
        outline: vec![Pt(round(at.x()), round(at.y()))],
        height_m,
        leaf_m: 0.0,
        ..Spot::default()
    }
}

/// Where azimuth and elevation lie on the chart: the side of the noon sun in the middle.
#[derive(Clone, Copy)]
struct Chart {
    area: Rect,
    first_deg: f32,
}

impl Chart {
    fn at(&self, azimuth_deg: f32, elevation_deg: f32) -> Pos2 {
        let along = (azimuth_deg - self.first_deg).rem_euclid(360.0) / 360.0;
        pos2(
            self.area.left() + along * self.area.width(),
            self.area.bottom() - elevation_deg.clamp(0.0, TOP_DEG) / TOP_DEG * self.area.height(),
        )
    }
}

fn chart_ui(ui: &mut Ui, sight: &Sight<'_>, answer: &Answer, size: egui::Vec2) {
    let t = theme::tokens(ui);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let month0 = sight.week().month0();
    let name = format!(
        "Horizon of {}: {} hours of sun a day in {}, {}",
        answer.name,
        figures::signed(answer.horizon.sun_h[month0], 1),
        MONTH_NAMES[month0],
        figures::dli(answer.horizon.dli_mol_m2_d[month0]),
    );
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &name));
    let painter = ui.painter_at(rect);
    let chart = Chart {
        area: Rect::from_min_max(rect.min + vec2(26.0, 20.0), rect.max - vec2(6.0, 18.0)),
        first_deg: match sight.hemisphere() {
            Hemisphere::North => 0.0,
            Hemisphere::South => 180.0,
        },
    };
    let small = text::regular(text::SMALL);
    painter.text(
        rect.left_top(),
        Align2::LEFT_TOP,
        format!("Horizon of {}", answer.name),
        text::semibold(text::SMALL),
        t.ink,
    );
    painter.rect_filled(chart.area, 0, t.sheet);
    for elevation in [0_u8, 30, 60, 90] {
        let y = chart.at(0.0, elevation.into()).y;
        painter.hline(chart.area.x_range(), y, Stroke::new(1.0, t.line));
        let at = pos2(chart.area.left() - 4.0, y);
        painter.text(
            at,
            Align2::RIGHT_CENTER,
            format!("{elevation}°"),
            small.clone(),
            t.ink_soft,
        );
    }
    skyline(&painter, t, &chart, &answer.horizon, month0);
    for (point, word) in names::POINTS.iter().enumerate() {
        let azimuth = point as f32 * 45.0;
        let at = pos2(chart.at(azimuth, 0.0).x, chart.area.bottom() + 3.0);
        painter.vline(
            at.x,
            chart.area.bottom()..=at.y,
            Stroke::new(1.0, t.ink_soft),
        );
        painter.text(at, Align2::CENTER_TOP, *word, small.clone(), t.ink);
    }
    // A month and its mirror have nearly one way; the longest and the shortest days stand alone.
    let mut taken = f32::INFINITY;
    for (month, word) in [
        (11, "Dec"),
        (0, "Jan"),
        (1, "Feb"),
        (2, "Mar"),
        (3, "Apr"),
        (4, "May"),
        (5, "Jun"),
    ] {
        if let Some(arc) = answer.horizon.arcs.get(month) {
            way(&painter, &chart, arc, t.ink_soft, 1.0);
            taken = crest(&painter, &chart, arc, word, t, taken);
        }
    }
    if let Some(june) = answer.horizon.arcs.get(5) {
        hours(&painter, &chart, june, t);
    }
    way(&painter, &chart, &answer.of_week, t.accent, 1.6);
    now(&painter, &chart, &answer.of_week, sight.looking.hour, t);
    painter.rect_stroke(
        chart.area,
        0,
        Stroke::new(1.0, t.ink_soft),
        egui::StrokeKind::Inside,
    );
}

/// What stands against the sky: the more it keeps out, the darker; what lets light through is striped besides.
fn skyline(painter: &egui::Painter, t: &Tokens, chart: &Chart, horizon: &Horizon, month0: usize) {
    let line = horizon
        .skylines
        .iter()
        .find(|s| s.months.contains(&month0))
        .or(horizon.skylines.first());
    // One mesh: bars side by side must not show their seams.
    let mut mesh = egui::Mesh::default();
    let width = chart.area.width() / 360.0;
    for (azimuth, column) in line.iter().flat_map(|l| l.columns.iter().enumerate()) {
        for s in column {
            let low = chart.at(azimuth as f32, s.from_deg);
            let high = chart.at(azimuth as f32, s.to_deg);
            let bar = Rect::from_min_max(pos2(low.x, high.y), pos2(low.x + width, low.y));
            let stripe = s.passes > 0.0 && azimuth % 6 < 3;
            let strength = (1.0 - s.passes) * if stripe { 0.25 } else { 0.5 };
            mesh.add_colored_rect(bar, t.ink.gamma_multiply(strength));
        }
    }
    painter.add(Shape::mesh(mesh));
}

/// The sun's way: strong where it reaches the place, thin where it does not.
fn way(painter: &egui::Painter, chart: &Chart, arc: &SunArc, colour: Color32, weight: f32) {
    for pair in arc.points.windows(2) {
        let [a, b] = pair else { continue };
        let at = |p: &horizon::SunPoint| chart.at(p.azimuth_deg as f32, p.elevation_deg as f32);
        let (from, to) = (at(a), at(b));
        // Not across the chart where it is cut open.
        if (from.x - to.x).abs() > chart.area.width() / 2.0 || b.hour_h - a.hour_h > 0.2 {
            continue;
        }
        let reached = a.reaches.min(b.reaches);
        let width = if reached >= 0.5 {
            3.0
        } else if reached > 0.05 {
            1.8
        } else {
            0.8
        };
        let colour = colour.gamma_multiply(if reached > 0.05 { 1.0 } else { 0.7 });
        painter.line_segment([from, to], Stroke::new(width * weight, colour));
    }
}

/// The name of a way at its highest point, unless the one before stands there; answers where the last one stands.
fn crest(
    painter: &egui::Painter,
    chart: &Chart,
    arc: &SunArc,
    word: &str,
    t: &Tokens,
    taken: f32,
) -> f32 {
    let high = arc
        .points
        .iter()
        .max_by(|a, b| a.elevation_deg.total_cmp(&b.elevation_deg));
    let Some(p) = high else {
        return taken;
    };
    let at = chart.at(p.azimuth_deg as f32, p.elevation_deg as f32);
    if (at.y - taken).abs() < 13.0 {
        return taken;
    }
    plate(painter, at, word, t);
    at.y
}

/// Words on a plate of their own, readable on anything.
fn plate(painter: &egui::Painter, at: Pos2, words: &str, t: &Tokens) {
    let galley = painter.layout_no_wrap(words.to_owned(), text::regular(text::SMALL), t.ink);
    let plate = Rect::from_center_size(at, galley.size());
    painter.rect_filled(
        plate.expand2(vec2(2.0, -1.0)),
        2,
        t.sheet.gamma_multiply(0.85),
    );
    painter.galley(plate.min, galley, t.ink);
}

/// Every second full hour on a way.
fn hours(painter: &egui::Painter, chart: &Chart, arc: &SunArc, t: &Tokens) {
    for pair in arc.points.windows(2) {
        let [a, b] = pair else { continue };
        let hour = b.hour_h.floor();
        if a.hour_h < hour && (hour as u32).is_multiple_of(2) && (hour - 12.0).abs() > 0.5 {
            let at = chart.at(b.azimuth_deg as f32, b.elevation_deg as f32);
            painter.circle_filled(at, 2.0, t.ink);
            plate(painter, at - vec2(0.0, 10.0), &format!("{hour:.0}"), t);
        }
    }
}

/// Where the sun stands at the hour of the dial.
fn now(painter: &egui::Painter, chart: &Chart, arc: &SunArc, hour: f64, t: &Tokens) {
    let nearest = arc
        .points
        .iter()
        .filter(|p| (p.hour_h - hour).abs() < 0.2)
        .min_by(|a, b| (a.hour_h - hour).abs().total_cmp(&(b.hour_h - hour).abs()));
    if let Some(p) = nearest {
        let at = chart.at(p.azimuth_deg as f32, p.elevation_deg as f32);
        painter.add(Shape::circle_filled(at, 6.0, t.sunlight));
        painter.add(Shape::circle_stroke(at, 6.0, Stroke::new(1.5, t.ink)));
    }
}

/// Hours of sun as bars, and light, by month.
fn bars_ui(ui: &mut Ui, answer: &Answer) {
    let t = theme::tokens(ui);
    ui.spacing_mut().item_spacing.y = 0.0;
    ui.label(text::caption("Sun, clear days, h      Light, mol/m² a day"));
    for (month, name) in MONTH_NAMES.iter().enumerate() {
        let (sun, dli) = (
            answer.horizon.sun_h[month],
            answer.horizon.dli_mol_m2_d[month],
        );
        let (rect, response) = ui.allocate_exact_size(vec2(BARS, 19.0), Sense::hover());
        let hours = figures::signed(sun, 1);
        let words = format!("{name}: {hours} hours of sun a day, {}", figures::dli(dli));
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &words));
        let font = text::regular(text::SMALL);
        let painter = ui.painter();
        let y = rect.center().y;
        let write = |x: f32, align, words: String| {
            painter.text(pos2(rect.left() + x, y), align, words, font.clone(), t.ink);
        };
        write(0.0, Align2::LEFT_CENTER, name.chars().take(3).collect());
        for (x, value, most, label) in [
            (30.0, sun, 16.0, hours),
            (134.0, dli, 50.0, figures::signed(dli, 1)),
        ] {
            let length = (value / most).clamp(0.0, 1.0) as f32 * 64.0;
            let bar = Rect::from_min_size(pos2(rect.left() + x, y - 5.0), vec2(length, 10.0));
            painter.rect_filled(bar, 1, t.accent.gamma_multiply(0.7));
            write(x + length + 4.0, Align2::LEFT_CENTER, label);
        }
    }
}
