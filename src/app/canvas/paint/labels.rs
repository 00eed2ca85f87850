//! Names on the plan that never lie on one another.

use std::sync::Arc;

use egui::{Galley, Pos2, Rect, Vec2};

/// Kept free round a label, points.
const AIR: f32 = 4.0;

/// Between a thing and the label beside it, points.
const GAP: f32 = 2.0;

/// Where a label belongs.
enum Place {
    /// About a point, or some lines higher or lower.
    At(Pos2),
    /// Below a thing, above it, or at one of its sides.
    Beside(Rect),
}

struct Asked {
    rank: u8,
    place: Place,
    galley: Arc<Galley>,
}

impl Asked {
    /// The places it may take, the best first.
    fn rects(&self) -> Vec<Rect> {
        let size = self.galley.size();
        match self.place {
            Place::At(middle) => {
                let shifts: &[f32] = if self.rank == 0 {
                    &[0.0, -1.0, 1.0, -2.0, 2.0, -3.0, 3.0]
                } else {
                    &[0.0, 1.0, -1.0]
                };
                shifts
                    .iter()
                    .map(|s| Rect::from_center_size(middle + Vec2::new(0.0, s * size.y), size))
                    .collect()
            }
            Place::Beside(thing) => {
                let (across, down) = (
                    (thing.width() + size.x) / 2.0,
                    (thing.height() + size.y) / 2.0,
                );
                [
                    Vec2::new(0.0, down + GAP),
                    Vec2::new(0.0, -down - GAP),
                    Vec2::new(across + 2.0 * GAP, 0.0),
                    Vec2::new(-across - 2.0 * GAP, 0.0),
                ]
                .map(|by| Rect::from_center_size(thing.center() + by, size))
                .to_vec()
            }
        }
    }

    fn is_seen(&self, canvas: Rect) -> bool {
        match self.place {
            Place::At(middle) => canvas.contains(middle),
            Place::Beside(thing) => canvas.intersects(thing),
        }
    }
}

/// Labels asked for, and room that is taken.
#[derive(Default)]
pub(super) struct Labels {
    asked: Vec<Asked>,
    taken: Vec<Rect>,
    /// Things that no label but that of what is pointed at may cover.
    things: Vec<Rect>,
}

impl Labels {
    pub(super) fn ask(&mut self, rank: u8, middle: Pos2, galley: Arc<Galley>) {
        self.asked.push(Asked {
            rank,
            place: Place::At(middle),
            galley,
        });
    }

    /// A label beside a thing that fills `thing` on the screen.
    pub(super) fn ask_beside(&mut self, rank: u8, thing: Rect, galley: Arc<Galley>) {
        self.asked.push(Asked {
            rank,
            place: Place::Beside(thing),
            galley,
        });
    }

    pub(super) fn keep_clear(&mut self, rect: Rect) {
        self.taken.push(rect);
    }

    pub(super) fn keep_seen(&mut self, thing: Rect) {
        self.things.push(thing);
    }

    /// Where each label goes: the first of its places that is free. Those without room are left out, but those of rank
    /// 0 are always written.
    pub(super) fn settle(&mut self, canvas: Rect) -> Vec<(Pos2, Arc<Galley>)> {
        let mut asked = std::mem::take(&mut self.asked);
        asked.sort_by_key(|a| a.rank);
        let inner = canvas.shrink(AIR);
        let mut placed: Vec<(Pos2, Arc<Galley>)> = Vec::new();
        for label in asked.iter().filter(|l| l.is_seen(canvas)) {
            // What is pointed at is asked for twice: by its kind, and first of all.
            let words = label.galley.text();
            if label.rank > 0 && placed.iter().any(|(_, g)| g.text() == words) {
                continue;
            }
            let rects: Vec<Rect> = label
                .rects()
                .into_iter()
                .map(|rect| within(inner, rect))
                .collect();
            let free = |rect: &&Rect| {
                !self.taken.iter().any(|t| t.intersects(rect.expand(AIR)))
                    && (label.rank == 0 || !self.things.iter().any(|t| t.intersects(**rect)))
            };
            let always = rects.first().filter(|_| label.rank == 0);
            if let Some(rect) = rects.iter().find(free).or(always) {
                self.taken.push(rect.expand2(Vec2::new(AIR, 0.0)));
                placed.push((rect.min, Arc::clone(&label.galley)));
            }
        }
        placed
    }
}

/// A rectangle pushed in over the edges of another, as far as it has room there.
fn within(canvas: Rect, rect: Rect) -> Rect {
    let push = |low: f32, high: f32, from: f32, to: f32| {
        if high - low > to - from {
            0.0
        } else {
            (from - low).max(0.0) - (high - to).max(0.0)
        }
    };
    rect.translate(Vec2::new(
        push(rect.left(), rect.right(), canvas.left(), canvas.right()),
        push(rect.top(), rect.bottom(), canvas.top(), canvas.bottom()),
    ))
}
