//! Lays the shadows of bodies on a grid for one direction after another.

use glam::{Vec2, Vec3};

use super::shapes::{Bodies, Body, Form, Law, Piece};

/// Share let through, 0..=255.
pub type Share = u8;
pub const ALL: Share = 255;

/// A span of columns in a row.
pub type Span = std::ops::Range<usize>;

/// Cells from (column, row) `low` to before `high`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Window {
    pub low: (usize, usize),
    pub high: (usize, usize),
}

impl Window {
    pub fn is_empty(&self) -> bool {
        self.low.0 >= self.high.0 || self.low.1 >= self.high.1
    }

    /// Part of the window that the shadows of some bodies can reach for lines of this slope.
    pub fn reached<'b>(self, bodies: impl Iterator<Item = &'b Body>, slope: Vec2) -> Self {
        let (mut lo, mut hi) = (Vec2::INFINITY, Vec2::NEG_INFINITY);
        for body in bodies {
            let (l, h) = shadow_box(body.low, body.high, slope);
            (lo, hi) = (lo.min(l), hi.max(h));
        }
        let inside = |v: f32, low: usize, high: usize| {
            (v.clamp(low as f32, high as f32) as usize).clamp(low, high)
        };
        Self {
            low: (
                inside(lo.x.floor(), self.low.0, self.high.0),
                inside(lo.y.floor(), self.low.1, self.high.1),
            ),
            high: (
                inside(hi.x.ceil() + 1.0, self.low.0, self.high.0),
                inside(hi.y.ceil() + 1.0, self.low.1, self.high.1),
            ),
        }
    }
}

/// Corners of a box on the plan that holds the shadow of an upright box.
fn shadow_box(low: Vec3, high: Vec3, slope: Vec2) -> (Vec2, Vec2) {
    let (z0, z1) = (low.z.max(0.0), high.z.max(0.0));
    let (a, b) = (slope * z0, slope * z1);
    (low.truncate() - a.max(b), high.truncate() - a.min(b))
}

/// A row's columns that a polygon covers, found edge by edge.
#[derive(Default)]
pub struct Scan {
    ends: Vec<(f32, f32)>,
}

impl Scan {
    /// Calls `cover` with each row and its columns whose middles lie in the shadow of a piece.
    pub fn piece(
        &mut self,
        piece: &Piece,
        slope: Vec2,
        window: Window,
        mut cover: impl FnMut(usize, Span),
    ) {
        let (lo, hi) = shadow_box(piece.low, piece.high, slope);
        if hi.x < window.low.0 as f32
            || lo.x > window.high.0 as f32
            || hi.y < window.low.1 as f32
            || lo.y > window.high.1 as f32
        {
            return;
        }
        let rows = window.low.1.max(lo.y.ceil().max(0.0) as usize)
            ..window.high.1.min((hi.y.floor().max(-1.0) + 1.0) as usize);
        if rows.is_empty() {
            return;
        }
        self.ends.clear();
        self.ends
            .resize(rows.len(), (f32::INFINITY, f32::NEG_INFINITY));
        let shadow = |c: &Vec3| c.truncate() - slope * c.z;
        let Some(last) = piece.corners.last() else {
            return;
        };
        let mut from = shadow(last);
        for corner in &piece.corners {
            let to = shadow(corner);
            // From the lower end up, so that neighbours agree on their common edge.
            let (a, b) = if from.y <= to.y {
                (from, to)
            } else {
                (to, from)
            };
            from = to;
            let first = (a.y.ceil().max(rows.start as f32)) as usize;
            let end = (b.y.ceil().clamp(0.0, rows.end as f32)) as usize;
            if first >= end {
                continue;
            }
            let lean = (b.x - a.x) / (b.y - a.y);
            for (row, ends) in (first..end).zip(self.ends.iter_mut().skip(first - rows.start)) {
                let x = a.x + (row as f32 - a.y) * lean;
                ends.0 = ends.0.min(x);
                ends.1 = ends.1.max(x);
            }
        }
        for (row, (left, right)) in rows.zip(&self.ends) {
            let from = left.ceil().max(window.low.0 as f32) as usize;
            let to = right.ceil().clamp(0.0, window.high.0 as f32) as usize;
            if from < to && left < right {
                cover(row, from..to);
            }
        }
    }

    /// The same for an ellipsoid; the line's way through it in metres of height is left to [`chord`].
    pub fn crown(
        middle: Vec3,
        radius: f32,
        half_height: f32,
        slope: Vec2,
        window: Window,
        mut cover: impl FnMut(usize, Span),
    ) {
        let r = Vec3::new(radius, radius, half_height);
        let (lo, hi) = shadow_box(middle - r, middle + r, slope);
        let clamp = |v: f32, low: usize, high: usize| v.clamp(low as f32, high as f32) as usize;
        let rows = clamp(lo.y.floor(), window.low.1, window.high.1)
            ..clamp(hi.y.ceil() + 1.0, window.low.1, window.high.1);
        // A line meets the ellipsoid where (d·o)² - d·d (o·o - 1) > 0; in each row that is a span of x.
        let d = slope.extend(1.0) / r;
        let dd = d.dot(d);
        for row in rows {
            let (oy, oz) = ((row as f32 - middle.y) / radius, -middle.z / half_height);
            let (k, m) = (d.y * oy + d.z * oz, oy * oy + oz * oz);
            let (p, q) = (d.x * d.x - dd, d.x * k);
            let root = q * q - p * (k * k - dd * (m - 1.0));
            if root <= 0.0 {
                continue;
            }
            let (a, b) = ((-q + root.sqrt()) / p, (-q - root.sqrt()) / p);
            let from = clamp((middle.x + a * radius).floor(), window.low.0, window.high.0);
            let to = clamp(
                (middle.x + b * radius).ceil() + 1.0,
                window.low.0,
                window.high.0,
            );
            if from < to {
                cover(row, from..to);
            }
        }
    }
}

/// Heights at which a line from a cell enters and leaves an ellipsoid, m above the level.
pub fn chord(
    cell: Vec2,
    middle: Vec3,
    radius: f32,
    half_height: f32,
    slope: Vec2,
) -> Option<(f32, f32)> {
    let scale = Vec3::new(1.0 / radius, 1.0 / radius, 1.0 / half_height);
    let o = (cell.extend(0.0) - middle) * scale;
    let d = slope.extend(1.0) * scale;
    let (a, b, c) = (d.dot(d), o.dot(d), o.dot(o) - 1.0);
    let root = b * b - a * c;
    if root <= 0.0 {
        return None;
    }
    let root = root.sqrt();
    let (enter, leave) = (((-b - root) / a).max(0.0), (-b + root) / a);
    (leave > enter).then_some((enter, leave))
}

pub fn times(a: Share, b: Share) -> Share {
    ((u16::from(a) * u16::from(b) + 127) / 255) as u8
}

pub fn share_of(x: f32) -> Share {
    (x * 255.0 + 0.5) as u8
}

/// Sums over directions of what is lost to shadows, cell by cell.
pub struct Caster {
    columns: usize,
    scan: Scan,
    /// What solids leave, for one direction.
    solid: Vec<Share>,
    /// What all leave, for one direction and state.
    share: Vec<Share>,
    /// Columns of each row that anything was laid on.
    touched: Vec<Span>,
    pub lost: Vec<u32>,
}

/// How a direction's share counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Count {
    Share,
    /// In full where at least half comes through, else in proportion.
    SunHours,
}

impl Caster {
    pub fn new(columns: usize, rows: usize) -> Self {
        Self {
            columns,
            scan: Scan::default(),
            solid: vec![ALL; columns * rows],
            share: vec![ALL; columns * rows],
            touched: vec![0..0; rows],
            lost: vec![0; columns * rows],
        }
    }

    /// Adds what is lost from one direction. `parts` has the state and weight of each part of the time.
    pub fn cast(
        &mut self,
        bodies: &Bodies,
        dir: Vec3,
        slope: Vec2,
        parts: &[(usize, u32)],
        window: Window,
        count: Count,
    ) {
        let all: u32 = parts.iter().map(|(_, w)| *w).sum();
        if all == 0 || window.is_empty() {
            return;
        }
        let mut soft = false;
        for body in &bodies.list {
            match &body.form {
                Form::Solid { faces, .. } => {
                    if window.reached(std::iter::once(body), slope).is_empty() {
                        continue;
                    }
                    for (_, piece) in faces.iter().filter(|(_, p)| p.normal.dot(dir) < 0.0) {
                        let (solid, touched, columns) =
                            (&mut self.solid, &mut self.touched, self.columns);
                        self.scan.piece(piece, slope, window, |row, span| {
                            touch(touched, row, &span);
                            if let Some(cells) =
                                solid.get_mut(row * columns + span.start..row * columns + span.end)
                            {
                                cells.fill(0);
                            }
                        });
                    }
                }
                _ => soft |= !window.reached(std::iter::once(body), slope).is_empty(),
            }
        }
        if soft {
            for (state, weight) in parts.iter().filter(|(_, w)| *w > 0) {
                self.soften(bodies, dir, slope, *state, window);
                self.lose(*weight, count, true);
            }
        } else {
            self.lose(all, count, false);
        }
        for (row, span) in self.touched.iter_mut().enumerate() {
            let at = row * self.columns;
            self.solid[at + span.start..at + span.end].fill(ALL);
            *span = 0..0;
        }
    }

    /// Makes `share` of `solid` and the soft bodies of a state.
    fn soften(&mut self, bodies: &Bodies, dir: Vec3, slope: Vec2, state: usize, window: Window) {
        let columns = self.columns;
        // What soft bodies touch grows while they are laid on; `share` is whole outside it.
        for (row, span) in self.touched.iter().enumerate() {
            let cells = row * columns + span.start..row * columns + span.end;
            self.share[cells.clone()].copy_from_slice(&self.solid[cells]);
        }
        for body in &bodies.list {
            let mut sheet = Laid {
                columns,
                solid: &self.solid,
                share: &mut self.share,
                touched: &mut self.touched,
            };
            match &body.form {
                Form::Solid { .. } => {}
                Form::Sheet { soft, parts } => {
                    for piece in parts {
                        let Some(q) =
                            sheet_share(bodies.laws.get(*soft as usize), state, piece, dir)
                        else {
                            continue;
                        };
                        self.scan.piece(piece, slope, window, |row, span| {
                            sheet.lay(row, span, |_| q);
                        });
                    }
                }
                Form::Crown {
                    soft,
                    middle,
                    radius,
                    half_height,
                } => {
                    let Some(passes) = law(bodies.laws.get(*soft as usize), state) else {
                        continue;
                    };
                    let (middle, radius, half) = (*middle, *radius, *half_height);
                    Scan::crown(middle, radius, half, slope, window, |row, span| {
                        sheet.lay(row, span, |column| {
                            let cell = Vec2::new(column as f32, row as f32);
                            chord(cell, middle, radius, half, slope).map_or(
                                ALL,
                                |(enter, leave)| {
                                    share_of(passes.share(1.0, (leave - enter) / dir.z))
                                },
                            )
                        });
                    });
                }
            }
        }
    }

    fn lose(&mut self, weight: u32, count: Count, softened: bool) {
        let from = if softened { &self.share } else { &self.solid };
        for (row, span) in self.touched.iter().enumerate() {
            let cells = row * self.columns + span.start..row * self.columns + span.end;
            let pairs = self.lost[cells.clone()].iter_mut().zip(&from[cells]);
            match count {
                Count::Share => pairs.for_each(|(lost, s)| *lost += weight * u32::from(ALL - s)),
                Count::SunHours => {
                    pairs.for_each(|(lost, s)| {
                        *lost += weight * u32::from(ALL - s.saturating_mul(2))
                    });
                }
            }
        }
    }
}

/// What soft bodies are laid on: whole outside what is touched.
struct Laid<'a> {
    columns: usize,
    solid: &'a [Share],
    share: &'a mut [Share],
    touched: &'a mut [Span],
}

impl Laid<'_> {
    fn lay(&mut self, row: usize, span: Span, mut by: impl FnMut(usize) -> Share) {
        let at = row * self.columns;
        let before = self.touched[row].clone();
        touch(self.touched, row, &span);
        let after = self.touched[row].clone();
        let fresh = if before.start >= before.end {
            [after, 0..0]
        } else {
            [after.start..before.start, before.end..after.end]
        };
        for part in fresh {
            let cells = at + part.start..at + part.end;
            self.share[cells.clone()].copy_from_slice(&self.solid[cells]);
        }
        let cells = self.share[at + span.start..at + span.end].iter_mut();
        for (column, cell) in span.zip(cells) {
            if *cell > 0 {
                *cell = times(*cell, by(column));
            }
        }
    }
}

fn touch(touched: &mut [Span], row: usize, span: &Span) {
    if let Some(t) = touched.get_mut(row) {
        *t = if t.start >= t.end {
            span.clone()
        } else {
            t.start.min(span.start)..t.end.max(span.end)
        };
    }
}

pub fn law(law: Option<&Law>, state: usize) -> Option<crate::light::scene::soft::Passes> {
    law?.by_state.get(state).copied().flatten()
}

/// What a sheet lets through along a direction; nothing if it is away or met along its plane.
pub fn sheet_share(of: Option<&Law>, state: usize, piece: &Piece, dir: Vec3) -> Option<Share> {
    let cos = piece.normal.dot(dir).abs();
    (cos >= 1e-6)
        .then(|| law(of, state).map(|passes| share_of(passes.share(cos, 0.0))))
        .flatten()
}
