//! Lets hours or weeks pass by themselves.

use std::time::Duration;

use crate::{
    app::{
        parts::escape,
        state::{Request, Sight},
    },
    base::calendar::WEEKS,
};

#[derive(Clone, Copy, Debug, Default, PartialEq)]
enum Playing {
    #[default]
    Nothing,
    /// Hours still to pass.
    Day(f64),
    /// Weeks still to pass.
    Year(usize),
}

#[derive(Default)]
pub struct Play {
    playing: Playing,
    /// Time of the last step, s.
    last: Option<f64>,
}

/// Pace of a day, hours per second.
const HOURS_PER_S: f64 = 3.0;
/// Seconds a week stays.
const WEEK_S: f64 = 0.25;
/// Seconds between steps when nothing may move smoothly.
const STILL_S: f64 = 1.0;

impl Play {
    pub fn start_day(&mut self) {
        self.playing = Playing::Day(24.0);
        self.last = None;
    }

    pub fn start_year(&mut self) {
        self.playing = Playing::Year(WEEKS);
        self.last = None;
    }

    pub fn stop(&mut self) {
        self.playing = Playing::Nothing;
    }

    pub fn is_day(&self) -> bool {
        matches!(self.playing, Playing::Day(_))
    }

    pub fn is_year(&self) -> bool {
        matches!(self.playing, Playing::Year(_))
    }

    /// Moves on by the time that has passed. With `still`, in whole steps instead of a glide.
    pub fn step(
        &mut self,
        ctx: &egui::Context,
        sight: &Sight<'_>,
        still: bool,
        requests: &mut Vec<Request>,
    ) {
        if self.playing == Playing::Nothing {
            return;
        }
        if escape::take(ctx) {
            self.stop();
            return;
        }
        let now = ctx.input(|i| i.time);
        let since = now - *self.last.get_or_insert(now);
        let wait = match (self.playing, still) {
            (Playing::Day(_), false) => 0.0,
            (_, true) => STILL_S,
            _ => WEEK_S,
        };
        if since + 1e-3 < wait || since <= 0.0 {
            ctx.request_repaint_after(Duration::from_secs_f64((wait - since).max(0.016)));
            return;
        }
        self.last = Some(now);
        match &mut self.playing {
            Playing::Nothing => return,
            Playing::Day(left) => {
                let hours = if still {
                    1.0
                } else {
                    since.min(0.2) * HOURS_PER_S
                }
                .min(*left);
                *left -= hours;
                requests.push(Request::GoToHour(sight.looking.hour + hours));
                if *left <= 1e-9 {
                    self.playing = Playing::Nothing;
                }
            }
            Playing::Year(left) => {
                *left -= 1;
                requests.push(Request::GoToWeek((sight.looking.plan_week + 1) % WEEKS));
                if *left == 0 {
                    self.playing = Playing::Nothing;
                }
            }
        }
        let next = if wait > 0.0 { wait } else { 0.016 };
        ctx.request_repaint_after(Duration::from_secs_f64(next));
    }
}
