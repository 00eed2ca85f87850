//! Drawing the plan: one file for each family of objects. Everything is drawn with a [`Pen`], in plan metres.

pub mod cloth;
pub mod devices;
pub mod frame;
pub mod garden;
pub mod house;
mod labels;
pub mod marks;
pub mod spots;
mod trim;

use std::{cell::RefCell, sync::Arc};

use egui::{Color32, Mesh, Painter, Pos2, Shape, Stroke, epaint::PathStroke};

use self::labels::Labels;
pub use self::trim::offset;
pub(in crate::app::canvas) use self::trim::triangles;
use super::{shape::Item, view::Projection};
use crate::{
    app::theme::{Tokens, text},
    base::Pt,
    site::Site,
};

/// Below this scale names would bury the drawing, screen points per metre: only what is selected or pointed at has one.
const NAMED: f64 = 11.0;

/// What everything on the plan is drawn with.
pub struct Pen<'a> {
    pub painter: &'a Painter,
    pub on: Projection,
    pub t: &'static Tokens,
    pub site: &'a Site,
    /// Month of the ribbon's week, 0..12.
    pub month0: usize,
    /// Hour of the dial, local standard time.
    pub hour: f64,
    /// How much of a spot's ground covers what lies below, 0..=1.
    pub spot_cover: f32,
    /// What the pointer is on: its name comes first.
    pub over: Option<Item>,
    labels: RefCell<Labels>,
}

impl<'a> Pen<'a> {
    #[must_use]
    pub fn new(
        painter: &'a Painter,
        on: Projection,
        t: &'static Tokens,
        site: &'a Site,
        month0: usize,
        hour: f64,
    ) -> Self {
        Self {
            painter,
            on,
            t,
            site,
            month0,
            hour,
            spot_cover: 0.85,
            over: None,
            labels: RefCell::default(),
        }
    }

    /// Whether anything of a box of plan points can be seen.
    #[must_use]
    pub fn sees(&self, points: &[Pt], margin_m: f64) -> bool {
        self.on
            .around(points)
            .expand(self.on.points(margin_m))
            .intersects(self.on.canvas)
    }

    /// Fills an outline of any shape.
    pub fn fill(&self, outline: &[Pt], colour: Color32) {
        let mut mesh = Mesh::default();
        for p in outline {
            mesh.colored_vertex(self.on.screen(*p), colour);
        }
        for [a, b, c] in trim::triangles(outline) {
            mesh.add_triangle(a, b, c);
        }
        self.painter.add(Shape::mesh(mesh));
    }

    /// Fills an outline all of whose corners are seen from one point within.
    pub fn fill_about(&self, middle: Pt, rim: &[Pt], colour: Color32) {
        let mut mesh = Mesh::default();
        mesh.colored_vertex(self.on.screen(middle), colour);
        for p in rim {
            mesh.colored_vertex(self.on.screen(*p), colour);
        }
        let n = rim.len() as u32;
        for k in 0..n {
            mesh.add_triangle(0, 1 + k, 1 + (k + 1) % n);
        }
        self.painter.add(Shape::mesh(mesh));
    }

    /// Fills an outline with its part of a picture that lies in `rect` on the screen.
    pub fn fill_picture(&self, outline: &[Pt], picture: egui::TextureId, rect: egui::Rect) {
        let mut mesh = Mesh::with_texture(picture);
        for p in outline {
            let pos = self.on.screen(*p);
            let uv = (pos - rect.min) / rect.size();
            mesh.vertices.push(egui::epaint::Vertex {
                pos,
                uv: uv.to_pos2(),
                color: Color32::WHITE,
            });
        }
        for [a, b, c] in trim::triangles(outline) {
            mesh.add_triangle(a, b, c);
        }
        self.painter.add(Shape::mesh(mesh));
    }

    /// The name of a room in its upper left corner, if it has room there.
    pub fn title(&self, rank: u8, room: egui::Rect, words: &str) {
        let font = text::regular(text::SMALL);
        let galley = self
            .painter
            .layout_no_wrap(words.to_owned(), font, self.t.ink_soft);
        if galley.size().x + 12.0 > room.width() {
            return;
        }
        let seen = room.intersect(self.on.canvas);
        let at = seen.left_top() + egui::vec2(8.0, 4.0) + galley.size() * 0.5;
        self.labels.borrow_mut().ask(rank, at, galley);
    }

    pub fn rim(&self, outline: &[Pt], stroke: impl Into<PathStroke>) {
        if outline.len() >= 2 {
            self.painter
                .add(Shape::closed_line(self.on.path(outline), stroke));
        }
    }

    pub fn line(&self, points: &[Pt], stroke: impl Into<PathStroke>) {
        if points.len() >= 2 {
            self.painter.add(Shape::line(self.on.path(points), stroke));
        }
    }

    /// Dashes round an outline, or along a line.
    pub fn dashes(&self, points: &[Pt], closed: bool, stroke: Stroke, dash: f32, gap: f32) {
        let mut path = self.on.path(points);
        if closed && let Some(first) = path.first().copied() {
            path.push(first);
        }
        // Far outside the canvas dashes would be many and unseen.
        let near = self.on.canvas.expand(2_000.0);
        if path.iter().all(|p| near.contains(*p)) {
            self.painter
                .extend(Shape::dashed_line(&path, stroke, dash, gap));
        } else {
            self.painter.add(Shape::line(path, stroke));
        }
    }

    /// Parallel lines inside an outline, `spacing` screen points apart, `angle_deg` anticlockwise from the level.
    /// They lie still on the plan when it is panned.
    pub fn hatch(&self, outline: &[Pt], angle_deg: f32, spacing: f32, stroke: Stroke) {
        let path = self.on.path(outline);
        let anchor = self.on.screen(Pt(0.0, 0.0));
        for [a, b] in trim::hatch(&path, anchor, angle_deg, spacing, self.on.canvas) {
            self.painter.line_segment([a, b], stroke);
        }
    }

    /// A name that is drawn at the end if nothing more important stands there. Lower ranks come first.
    pub fn label(&self, rank: u8, at: Pos2, words: &str, strong: bool, colour: Color32) {
        if let Some(galley) = self.named(rank, words, strong, colour) {
            self.labels.borrow_mut().ask(rank, at, galley);
        }
    }

    /// The same beside a thing that fills `thing` on the screen, wherever there is room.
    pub fn label_beside(&self, rank: u8, thing: egui::Rect, words: &str, colour: Color32) {
        if let Some(galley) = self.named(rank, words, true, colour) {
            self.labels.borrow_mut().ask_beside(rank, thing, galley);
        }
    }

    fn named(
        &self,
        rank: u8,
        words: &str,
        strong: bool,
        colour: Color32,
    ) -> Option<Arc<egui::Galley>> {
        if words.is_empty() || (rank > 0 && self.on.view.scale < NAMED) {
            return None;
        }
        let font = if strong {
            text::semibold(text::SMALL)
        } else {
            text::regular(text::SMALL)
        };
        Some(self.painter.layout_no_wrap(words.to_owned(), font, colour))
    }

    /// Whether the plan is large enough for the names of smaller things.
    #[must_use]
    pub fn is_large(&self) -> bool {
        self.on.view.scale >= 48.0
    }

    /// Room that no label may take.
    pub fn keep_clear(&self, rect: egui::Rect) {
        self.labels.borrow_mut().keep_clear(rect);
    }

    /// A thing that the names of others may not cover.
    pub fn keep_seen(&self, thing: egui::Rect) {
        self.labels.borrow_mut().keep_seen(thing);
    }

    /// Draws the labels that find room. Last of all.
    pub fn write_labels(&self) {
        let halo = self.t.paper.gamma_multiply(0.88);
        for (at, galley) in self.labels.borrow_mut().settle(self.on.canvas) {
            let rect = egui::Rect::from_min_size(at, galley.size()).expand2(egui::vec2(3.0, 0.0));
            self.painter.rect_filled(rect, 3, halo);
            self.painter.galley(at, galley, self.t.ink);
        }
    }

    /// Ink of a line weight that neither thins out nor clogs when zoomed.
    #[must_use]
    pub fn ink(&self, width: f32) -> Stroke {
        Stroke::new(width, self.t.wall)
    }
}
