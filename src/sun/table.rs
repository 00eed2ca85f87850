use super::{
    clock,
    course::Course,
    extraterrestrial::{SOLAR_CONSTANT_W_M2, distance_factor},
    position::Observer,
};
use crate::{
    base::calendar::{DAYS, HOURS},
    site::Place,
};

/// Calendar year (without a leap day) whose sun is computed with.
pub const REFERENCE_YEAR: i32 = 2027;

/// The sun on one day, local standard time, h. `None` in polar day or night.
///
/// Rise and set are those of almanacs: the upper limb on a level horizon, the middle 0.833° below it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SunDay {
    pub rise_h: Option<f64>,
    pub set_h: Option<f64>,
    pub transit_h: f64,
    /// Hours between rise and set: 0 in polar night, 24 in polar day.
    pub length_h: f64,
}

/// The sun at each hour of the typical year. Hour k covers k to k + 1 in local standard time; the position is that
/// at the middle of the part of the hour with the sun up (of the whole hour when it is down).
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SunTable {
    pub azimuth_rad: Vec<f32>,
    pub elevation_rad: Vec<f32>,
    /// Share of the hour with the sun's middle above the horizon, 0..=1.
    pub up_share: Vec<f32>,
    /// 365 days.
    pub days: Vec<SunDay>,
    /// Irradiance outside the air on a plane square to the sun, W/m², for each of 365 days.
    pub extraterrestrial_w_m2: Vec<f32>,
    /// Local standard time less UTC, h.
    pub standard_offset_h: f64,
}

impl SunTable {
    /// The table of a place for [`REFERENCE_YEAR`].
    #[must_use]
    pub fn of(place: &Place) -> Self {
        let offset_h = clock::standard_offset_h(place);
        let observer = Observer::of(place);
        let course = Course::of(&observer, offset_h);
        let turns = course.turns();
        let limb = Spans::of(&course, &turns, LIMB_HORIZON_RAD);
        let middle = Spans::of(&course, &turns, observer.horizon_rad());
        let mut table = Self {
            azimuth_rad: Vec::with_capacity(HOURS),
            elevation_rad: Vec::with_capacity(HOURS),
            up_share: Vec::with_capacity(HOURS),
            days: (0..DAYS).map(|day| limb.day(&turns, day)).collect(),
            extraterrestrial_w_m2: (0..DAYS)
                .map(|day| (SOLAR_CONSTANT_W_M2 * distance_factor(day)) as f32)
                .collect(),
            standard_offset_h: offset_h,
        };
        for hour in 0..HOURS {
            let (share, middle_h) = middle.up_part(hour as f64);
            let sun = course.position(middle_h);
            table.azimuth_rad.push(sun.azimuth_rad as f32);
            table.elevation_rad.push(sun.elevation_rad as f32);
            table.up_share.push(share as f32);
        }
        table
    }

    /// The hour's irradiance outside the air on the level, W/m², mean over the whole hour.
    #[must_use]
    pub fn extraterrestrial_level_w_m2(&self, hour: usize) -> f64 {
        let at = |values: &[f32], index: usize| values.get(index).copied().map_or(0.0, f64::from);
        at(&self.extraterrestrial_w_m2, hour / 24)
            * at(&self.elevation_rad, hour).sin().max(0.0)
            * at(&self.up_share, hour)
    }
}

/// True height of the sun's middle at the rise and set of almanacs, rad: half its disc and the usual refraction.
const LIMB_HORIZON_RAD: f64 = -0.833 * std::f64::consts::PI / 180.0;

/// Spans of the year with the sun above a height, h, ascending; the first and last may reach beyond the year.
struct Spans(Vec<(f64, f64)>);

impl Spans {
    fn of(course: &Course<'_>, turns: &[(f64, bool)], height_rad: f64) -> Self {
        let (above, crossings) = course.crossings(turns, height_rad);
        let mut since = above.then_some(f64::NEG_INFINITY);
        let mut spans = Vec::with_capacity(DAYS + 2);
        for (at, rises) in crossings {
            if rises {
                since = Some(at);
            } else if let Some(from) = since.take() {
                spans.push((from, at));
            }
        }
        spans.extend(since.map(|from| (from, f64::INFINITY)));
        Self(spans)
    }

    /// The spans that reach into a stretch of time, cut to it.
    fn within(&self, from: f64, to: f64) -> impl Iterator<Item = (f64, f64)> + '_ {
        let first = self.0.partition_point(|span| span.1 <= from);
        self.0[first..]
            .iter()
            .take_while(move |span| span.0 < to)
            .map(move |span| (span.0.max(from), span.1.min(to)))
    }

    fn day(&self, turns: &[(f64, bool)], day: usize) -> SunDay {
        let (from, to) = (day as f64 * 24.0, day as f64 * 24.0 + 24.0);
        let inside = |at: &f64| (from..to).contains(at);
        let first = self.0.partition_point(|span| span.1 <= from);
        let near = self.0[first..].iter().take_while(|span| span.0 < to);
        let next = turns.partition_point(|t| t.0 < from);
        let transit = turns[next..].iter().find(|t| t.1).map(|t| t.0);
        SunDay {
            rise_h: near.clone().map(|s| s.0).find(inside).map(|h| h - from),
            set_h: near.map(|s| s.1).filter(inside).last().map(|h| h - from),
            // Where the clock is half a day off the sun, a date can go without a transit: its neighbour's will do.
            transit_h: transit.filter(inside).map_or(0.0, |h| h - from),
            length_h: self.within(from, to).map(|(a, b)| b - a).sum(),
        }
    }

    /// Share of an hour that lies in the spans and the middle of the longest such part, h; the hour's own middle if
    /// there is none.
    fn up_part(&self, hour: f64) -> (f64, f64) {
        let mut share = 0.0;
        let mut longest = (0.0, hour + 0.5);
        for (from, to) in self.within(hour, hour + 1.0) {
            share += to - from;
            if to - from > longest.0 {
                longest = (to - from, f64::midpoint(from, to));
            }
        }
        (share, longest.1)
    }
}
