//! How often cold nights and hot days come at a spot.
//!
//! Method: each day of each weather year has a minimum, a maximum, a clearness and a wind in the open. Outdoors the
//! same function that makes the typical year's nights turns minimum, cloud (from the clearness of the days before and
//! after the night) and night wind into the air at the spot, and the leaf's energy balance under that night's sky into
//! the leaf's temperature; a still clear night thus costs more than a windy or dull one. The day's maximum
//! is raised by the month's usual gain of the spot, in step with the day's clearness. Indoors the room itself is run
//! through all years (see `room_year`), and glass, curtain and leaks act with that night's inner and outer air.

use super::{
    AirWeek,
    nights::{OpenDay, SpotDay, SpotNights},
    psychrometrics,
    room_year::RoomDays,
    sky_heat,
    year::{OpenYear, at},
};
use crate::{
    base::{
        Day, Week,
        calendar::{DAYS, WEEKS},
    },
    climate::WeatherYears,
    needs::Leaf,
};

/// The leaf that frost risks are counted on: 5 cm wide, of an orchid's conductance.
pub const RISK_LEAF: Leaf = Leaf {
    width_m: 0.05,
    conductance_mol_m2_s: 0.05,
};

/// Fills the distributions over weather years.
pub(crate) fn fill(
    weeks: &mut [AirWeek],
    nights: &SpotNights<'_>,
    years: &WeatherYears,
    rooms: Option<&RoomDays>,
) {
    let count = years.years * DAYS;
    let known = years.night_min_c.len() >= count && years.day_max_c.len() >= count;
    if years.years == 0 || !known || weeks.len() < WEEKS {
        return;
    }
    let open = nights.inputs.open;
    let mut days = Vec::with_capacity(DAYS);
    for year in 0..years.years {
        days.clear();
        days.extend((0..DAYS).map(|d| {
            let room = rooms.and_then(|r| r.get(years.at(year, d)));
            nights.day(&open_day(open, years, year, d), room.as_ref())
        }));
        for week in Week::all() {
            let Some(of_week) = days.get(week.days()) else {
                continue;
            };
            let n = of_week.len() as f64;
            let out = &mut weeks[week.index()];
            let least =
                |v: fn(&SpotDay) -> f64| of_week.iter().map(v).fold(f64::INFINITY, f64::min);
            let mean = |v: fn(&SpotDay) -> f64| of_week.iter().map(v).sum::<f64>() / n;
            let hottest = of_week
                .iter()
                .map(|d| d.max_c)
                .fold(f64::NEG_INFINITY, f64::max);
            out.coldest_leaf_c.push(least(|d| d.leaf_c) as f32);
            out.coldest_air_c.push(least(|d| d.coldest_c) as f32);
            out.night_means_c.push(mean(|d| d.min_c) as f32);
            out.hottest_air_c.push(hottest as f32);
            out.day_night_means_k
                .push(mean(|d| d.max_c - d.min_c) as f32);
        }
    }
    for week in weeks {
        settle(week);
        for values in [
            &mut week.coldest_leaf_c,
            &mut week.coldest_air_c,
            &mut week.night_means_c,
            &mut week.hottest_air_c,
            &mut week.day_night_means_k,
        ] {
            values.sort_by(f32::total_cmp);
        }
    }
}

/// The week's usual figures are those of all weather years: a single typical year has weeks 4 K milder or harsher than
/// usual. Humidity stays the typical year's, and the deficit follows the day's warmth.
fn settle(week: &mut AirWeek) {
    let mean = |values: &[f32]| {
        values.iter().map(|v| f64::from(*v)).sum::<f64>() / values.len().max(1) as f64
    };
    let night_c = mean(&week.night_means_c);
    let day_night_k = mean(&week.day_night_means_k);
    let max_c = night_c + day_night_k;
    // By day the air is nearer to its maximum than to the night's minimum.
    let day_c = week.day_c + 0.65 * (max_c - week.max_c) + 0.35 * (night_c - week.night_c);
    let saturation = |c: f64| psychrometrics::saturation_kpa(c);
    week.vpd_kpa *= saturation(day_c) / saturation(week.day_c);
    week.day_c = day_c;
    week.night_c = night_c;
    week.max_c = max_c;
    week.day_night_k = day_night_k;
}

/// Clearness of a day and of the night before it.
fn clearness(
    open: &OpenYear,
    years: &WeatherYears,
    year: usize,
    d: usize,
    month0: usize,
) -> (f64, f64) {
    let of = |d: usize| {
        years
            .clearness
            .get(years.at(year, d))
            .map_or(open.month_clearness[month0], |v| f64::from(*v))
    };
    let day = of(d);
    (day, 0.5 * (day + of(d.saturating_sub(1))))
}

fn open_day(open: &OpenYear, years: &WeatherYears, year: usize, d: usize) -> OpenDay {
    let month0 = Day::new(d).month0();
    let i = years.at(year, d);
    let (day_clear, night_clear) = clearness(open, years, year, d, month0);
    let wind = years.wind_m_s.get(i).map_or(2.0, |v| f64::from(*v));
    OpenDay {
        day: d,
        min_c: at(&years.night_min_c, i),
        max_c: at(&years.day_max_c, i),
        clearness: day_clear,
        cloud: sky_heat::cloud_from_clearness(night_clear),
        night_wind_m_s: wind * open.night_wind_ratio[month0],
        dew_c: None,
    }
}
