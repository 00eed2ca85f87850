//! Names on the plan that never lie on one another.

use std::sync::Arc;

use egui::{Galley, Pos2, Rect, Vec2};

/// Kept free round a label, points.
const AIR: f32 = 4.0;

struct Asked {
    rank: u8,
    middle: Pos2,
    galley: Arc<Galley>,
}

/// Labels asked for, and room that is taken.
#[derive(Default)]
pub(super) struct Labels {
    asked: Vec<Asked>,
    taken: Vec<Rect>,
}

impl Labels {
    pub(super) fn ask(&mut self, rank: u8, middle: Pos2, galley: Arc<Galley>) {
        self.asked.push(Asked {
            rank,
            middle,
            galley,
        });
    }

    pub(super) fn keep_clear(&mut self, rect: Rect) {
        self.taken.push(rect);
    }

    /// Where each label goes: in its place, or up to some lines higher or lower. Those without room are left out, but
    /// those of rank 0 are always written.
    pub(super) fn settle(&mut self, canvas: Rect) -> Vec<(Pos2, Arc<Galley>)> {
        let mut asked = std::mem::take(&mut self.asked);
        asked.sort_by_key(|a| a.rank);
        let mut placed = Vec::new();
        for label in asked {
            let size = label.galley.size();
            let inner = canvas.shrink(AIR);
            let rect_at = |shift: f32| {
                let middle = label.middle + Vec2::new(0.0, shift * size.y);
                within(inner, Rect::from_center_size(middle, size))
            };
            if !canvas.contains(label.middle) {
                continue;
            }
            let free = |rect: &Rect| !self.taken.iter().any(|t| t.intersects(rect.expand(AIR)));
            let shifts: &[f32] = if label.rank == 0 {
                &[0.0, -1.0, 1.0, -2.0, 2.0, -3.0, 3.0]
            } else {
                &[0.0, 1.0, -1.0]
            };
            let room = shifts
                .iter()
                .map(|s| rect_at(*s))
                .find(free)
                .or_else(|| (label.rank == 0).then(|| rect_at(0.0)));
            if let Some(rect) = room {
                self.taken.push(rect.expand2(Vec2::new(AIR, 0.0)));
                placed.push((rect.min, label.galley));
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
