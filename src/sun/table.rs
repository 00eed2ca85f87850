use chrono::{DateTime, Duration, FixedOffset, NaiveTime, Utc};
use solar_positioning::{Horizon, HorizonState, SolarEvents};

use super::{
    clock,
    extraterrestrial::{SOLAR_CONSTANT_W_M2, distance_factor},
    position::{Observer, delta_t_s},
};
use crate::{
    base::calendar::{DAYS, Day, HOURS},
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
        let horizon_deg = observer.horizon_deg();
        let mut table = Self {
            azimuth_rad: Vec::with_capacity(HOURS),
            elevation_rad: Vec::with_capacity(HOURS),
            up_share: Vec::with_capacity(HOURS),
            days: Vec::with_capacity(DAYS),
            extraterrestrial_w_m2: (0..DAYS)
                .map(|day| (SOLAR_CONSTANT_W_M2 * distance_factor(day)) as f32)
                .collect(),
            standard_offset_h: offset_h,
        };
        for day in 0..DAYS {
            let midnight = midnight_utc(day, offset_h);
            let (sun_day, middle_up) = day_events(&observer, day, offset_h, horizon_deg);
            table.days.push(sun_day);
            for hour in 0..24 {
                let (share, middle_h) = up_part(&middle_up, f64::from(hour));
                let at = midnight + Duration::milliseconds((middle_h * 3_600_000.0).round() as i64);
                let sun = observer.position(at);
                table.azimuth_rad.push(sun.azimuth_rad as f32);
                table.elevation_rad.push(sun.elevation_rad as f32);
                table.up_share.push(share as f32);
            }
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

fn midnight_utc(day: usize, offset_h: f64) -> DateTime<Utc> {
    let local = Day::new(day)
        .in_year(REFERENCE_YEAR)
        .and_time(NaiveTime::MIN);
    local.and_utc() - Duration::seconds((offset_h * 3600.0) as i64)
}

/// Spans of a day with the sun up, h of local standard time, ascending.
type Spans = Vec<(f64, f64)>;

/// The day's rise, set and transit, and the spans in which the sun's middle is above the horizon.
fn day_events(observer: &Observer, day: usize, offset_h: f64, horizon_deg: f64) -> (SunDay, Spans) {
    let midnight = midnight_utc(day, offset_h);
    let hour_of = |t: &DateTime<FixedOffset>| {
        (*t - midnight.fixed_offset()).num_milliseconds() as f64 / 3.6e6
    };
    let zone = FixedOffset::east_opt((offset_h * 3600.0) as i32);
    let events = zone.and_then(|zone| {
        // Grena's third algorithm (2012; 2010 to 2110, within 0.01°) finds crossings ten times faster than SPA, and a
        // hundredth of a degree is a few seconds of rise and set.
        SolarEvents::grena3()
            .for_date_multiple(
                Day::new(day).in_year(REFERENCE_YEAR),
                &zone,
                observer.location,
                delta_t_s(midnight),
                [Horizon::SunriseSunset, Horizon::Custom(horizon_deg)],
            )
            .ok()
    });
    let Some([(_, limb), (_, middle)]) = events.as_deref() else {
        return (SunDay::default(), Vec::new());
    };
    let hours = |list: &[DateTime<FixedOffset>]| list.iter().map(hour_of).collect::<Vec<_>>();
    let spans = |events: &solar_positioning::Events<DateTime<FixedOffset>>| {
        up_spans(
            events.state_at_start,
            &hours(&events.rises),
            &hours(&events.sets),
        )
    };
    let limb_up = spans(limb);
    let sun_day = SunDay {
        rise_h: limb.rises.first().map(hour_of),
        set_h: limb.sets.last().map(hour_of),
        // Where the clock is half a day off the sun, a date can go without a transit: its neighbour's will do.
        transit_h: limb.transits.first().map_or(0.0, hour_of),
        length_h: limb_up.iter().map(|(from, to)| to - from).sum(),
    };
    (sun_day, spans(middle))
}

fn up_spans(at_start: HorizonState, rises: &[f64], sets: &[f64]) -> Spans {
    let mut changes: Vec<(f64, bool)> = rises
        .iter()
        .map(|t| (*t, true))
        .chain(sets.iter().map(|t| (*t, false)))
        .collect();
    changes.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut up_since = match (at_start, changes.first()) {
        (HorizonState::Above, _) | (HorizonState::OnHorizon, Some((_, false))) => Some(0.0),
        _ => None,
    };
    let mut spans = Vec::new();
    for (time, rises) in changes {
        if rises {
            up_since = up_since.or(Some(time));
        } else if let Some(from) = up_since.take() {
            spans.push((from, time));
        }
    }
    spans.extend(up_since.map(|from| (from, 24.0)));
    spans
}

/// Share of an hour that lies in the spans and the middle of the longest such part, h; the hour's own middle if
/// there is none.
fn up_part(spans: &[(f64, f64)], hour: f64) -> (f64, f64) {
    let mut share = 0.0;
    let mut longest = (0.0, hour + 0.5);
    for (from, to) in spans {
        let (from, to) = (from.max(hour), to.min(hour + 1.0));
        if to > from {
            share += to - from;
            if to - from > longest.0 {
                longest = (to - from, f64::midpoint(from, to));
            }
        }
    }
    (share, longest.1)
}
