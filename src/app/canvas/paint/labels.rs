//! Names on the plan that never lie on one another.

use std::sync::Arc;

use egui::{Galley, Pos2, Rect, Vec2};

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

    /// Where each label goes: in its place, a line higher or a line lower. Those without room are left out, but
    /// those of rank 0 are always written.
    pub(super) fn settle(&mut self, canvas: Rect) -> Vec<(Pos2, Arc<Galley>)> {
        let mut asked = std::mem::take(&mut self.asked);
        asked.sort_by_key(|a| a.rank);
        let mut placed = Vec::new();
        for label in asked {
            let size = label.galley.size();
            let rect_at = |shift: f32| {
                Rect::from_center_size(label.middle + Vec2::new(0.0, shift * size.y), size)
            };
            if !canvas.intersects(rect_at(0.0)) {
                continue;
            }
            let free = |rect: &Rect| !self.taken.iter().any(|t| t.intersects(*rect));
            let room = [0.0, 1.0, -1.0]
                .into_iter()
                .map(rect_at)
                .find(free)
                .or_else(|| (label.rank == 0).then(|| rect_at(0.0)));
            if let Some(rect) = room {
                self.taken.push(rect.expand2(Vec2::new(4.0, 0.0)));
                placed.push((rect.min, label.galley));
            }
        }
        placed
    }
}
