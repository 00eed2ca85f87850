use super::estimates as est;
use crate::{
    places,
    site::{Normals, Place},
};

/// Monthly normals with every gap filled. No value is NaN, and each month's maximum lies above its minimum.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FilledNormals {
    pub night_min_c: [f64; 12],
    pub day_max_c: [f64; 12],
    pub night_min_sd_k: [f64; 12],
    pub day_max_sd_k: [f64; 12],
    pub rh_pct: [f64; 12],
    /// Global radiation, MJ m⁻² d⁻¹.
    pub radiation_mj_m2_d: [f64; 12],
    pub rain_mm: [f64; 12],
    pub rain_days: [f64; 12],
    /// At 10 m, m/s.
    pub wind_m_s: [f64; 12],
    pub turbidity_linke: [f64; 12],
}

/// Wind at 10 m where nothing is known: the 2 m/s at 2 m that FAO-56 takes, brought to 10 m by its eq. 47.
const USUAL_WIND_M_S: f64 = 2.7;

/// Rain of a day with rain, mm, where only one of amount and days is known: middle of temperate stations (from memory).
const USUAL_RAIN_PER_RAIN_DAY_MM: f64 = 6.5;

/// Rain days of a month where nothing is known; with the amount above 65 mm, a temperate climate.
const USUAL_RAIN_DAYS: f64 = 10.0;

/// Smallest daily range kept between mean minimum and mean maximum, K.
const LEAST_RANGE_K: f64 = 0.5;

/// Fills every gap and says how, one sentence per quantity.
pub(super) fn fill(place: &Place, given: &Normals) -> (FilledNormals, Vec<String>) {
    let (latitude_deg, elevation_m) = (place.latitude_deg, place.elevation_m);
    let mut methods = Vec::new();

    let (night_min_c, day_max_c) = temperatures(place, given, &mut methods);
    let (night_min_sd_k, day_max_sd_k) = spreads((&night_min_c, &day_max_c), given, &mut methods);
    let radiation_mj_m2_d = radiation(
        latitude_deg,
        elevation_m,
        given,
        (&night_min_c, &day_max_c),
        &mut methods,
    );
    let rh_pct = humidity(given, &night_min_c, &day_max_c, &mut methods);
    let (rain_mm, rain_days) = rain(given, &mut methods);

    let usual = [USUAL_WIND_M_S; 12];
    let wind_m_s = one(
        given.wind_m_s.as_ref(),
        &usual,
        (0.1, 25.0),
        "Wind",
        "Wind is not given: 2.7 m/s at 10 m all year is assumed (2 m/s at 2 m, FAO-56's world mean); a sheltered or \
         windy place differs by half or double.",
        &mut methods,
    );
    let usual = est::turbidity_linke(latitude_deg, elevation_m);
    let turbidity_linke = one(
        given.turbidity_linke.as_ref(),
        &usual,
        (1.5, 9.0),
        "Haze of the clear sky (Linke turbidity)",
        "Haze of the clear sky (Linke turbidity) is a usual figure for the latitude, season and height; clear-sky \
         light may differ by 5 %.",
        &mut methods,
    );
    (
        FilledNormals {
            night_min_c,
            day_max_c,
            night_min_sd_k,
            day_max_sd_k,
            rh_pct,
            radiation_mj_m2_d,
            rain_mm,
            rain_days,
            wind_m_s,
            turbidity_linke,
        },
        methods,
    )
}

fn temperatures(
    place: &Place,
    given: &Normals,
    methods: &mut Vec<String>,
) -> ([f64; 12], [f64; 12]) {
    let coast_km = place
        .coast_km
        .filter(|km| km.is_finite())
        .unwrap_or_else(|| places::coast_km(place.latitude_deg, place.longitude_deg));
    let guess_c = est::month_means_c(place.latitude_deg, place.elevation_m, coast_km);
    let half = est::daily_range_k(coast_km) / 2.0;
    let night = usable(given.night_min_c.as_ref(), -80.0, 45.0);
    let day = usable(given.day_max_c.as_ref(), -75.0, 60.0);
    let mut night_c = [0.0; 12];
    let mut day_c = [0.0; 12];
    let (mut guessed, mut ranged) = (false, false);
    for m in 0..12 {
        (night_c[m], day_c[m]) = match (night[m], day[m]) {
            (Some(n), Some(d)) => (n, d),
            (Some(n), None) => {
                ranged = true;
                (n, n + 2.0 * half)
            }
            (None, Some(d)) => {
                ranged = true;
                (d - 2.0 * half, d)
            }
            (None, None) => {
                guessed = true;
                (guess_c[m] - half, guess_c[m] + half)
            }
        };
        if day_c[m] < night_c[m] + LEAST_RANGE_K {
            let middle = f64::midpoint(day_c[m], night_c[m]);
            (night_c[m], day_c[m]) = (middle - LEAST_RANGE_K / 2.0, middle + LEAST_RANGE_K / 2.0);
        }
    }
    methods.push(
        if guessed {
            format!(
                "Night minima and day maxima are not given (or not for each month): they are guessed from latitude, height \
                 and the distance to the sea, {coast_km:.0} km. Winters may be 9 K off (west coasts are milder, east coasts \
                 of continents colder), summers 5 K, so that no frost or heat figure can be relied on until they are \
                 filled in."
            )
        } else if ranged {
            format!(
                "Only one of night minima and day maxima is given: the other is taken {:.0} K away, which may be 4 K off.",
                2.0 * half
            )
        } else {
            "Night minima and day maxima are the normals given.".to_owned()
        },
    );
    (night_c, day_c)
}

fn spreads(
    (night_c, day_c): (&[f64; 12], &[f64; 12]),
    given: &Normals,
    methods: &mut Vec<String>,
) -> ([f64; 12], [f64; 12]) {
    let (night, day) = est::daily_sd_k(night_c, day_c);
    let night_sd = one(
        given.night_min_sd_k.as_ref(),
        &night,
        (0.2, 12.0),
        "Spread of night minima",
        "Spread of night minima from day to day is estimated from the difference between summer and winter and \
         the warmth of nights, good to about a third; it decides how early the earliest frost comes.",
        methods,
    );
    let day_sd = one(
        given.day_max_sd_k.as_ref(),
        &day,
        (0.2, 12.0),
        "Spread of day maxima",
        "Spread of day maxima from day to day is estimated from the difference between summer and winter and the \
         warmth of nights, good to about a third.",
        methods,
    );
    (night_sd, day_sd)
}

fn radiation(
    latitude_deg: f64,
    elevation_m: f64,
    given: &Normals,
    (night_c, day_c): (&[f64; 12], &[f64; 12]),
    methods: &mut Vec<String>,
) -> [f64; 12] {
    let measured = usable(given.radiation_mj_m2_d.as_ref(), 0.0, 50.0);
    let sunshine = usable(given.sunshine_h.as_ref(), 0.0, 24.0);
    let mut from = [0_usize; 3];
    let mut beyond = false;
    let filled = std::array::from_fn(|m| {
        let outside = est::outside_mj_m2_d(latitude_deg, m);
        // Nothing on earth lets more through over a month than high, dry mountain air.
        let most = 0.83 * outside;
        if let Some(value) = measured[m] {
            from[0] += 1;
            beyond |= value > most + 0.05;
            value.min(most)
        } else if let Some(hours) = sunshine[m] {
            from[1] += 1;
            est::radiation_from_sunshine(outside, hours, est::day_length_h(latitude_deg, m))
        } else {
            from[2] += 1;
            est::radiation_from_range(outside, night_c[m], day_c[m], elevation_m)
        }
    });
    methods.push(match from {
        [12, _, _] => "Radiation is the normal given.".to_owned(),
        [_, 12, _] => "Radiation is estimated from the sunshine hours given (Ångström-Prescott, FAO-56), good to \
                       about 10 % in a month."
            .to_owned(),
        [_, _, 12] => "Radiation is estimated from the daily range of temperature (Hargreaves-Samani, FAO-56), good \
                       to about 15 % in a month; sunshine hours or measured radiation would make all light figures \
                       surer."
            .to_owned(),
        [given, sun, range] => format!(
            "Radiation is given for {given} months, estimated from sunshine for {sun} (good to 10 %) and from the \
             daily range of temperature for {range} (good to 15 %)."
        ),
    });
    if beyond {
        methods.push(
            "The radiation given is more than reaches the ground at this latitude in at least one month and was cut \
             to 83 % of that outside the air: please check its unit (MJ/m² a day) and the latitude."
                .to_owned(),
        );
    }
    filled
}

fn humidity(
    given: &Normals,
    night_c: &[f64; 12],
    day_c: &[f64; 12],
    methods: &mut Vec<String>,
) -> [f64; 12] {
    let dew = usable(given.dew_point_c.as_ref(), -80.0, 40.0);
    let estimated = std::array::from_fn(|m| {
        let dew_c =
            dew[m].unwrap_or_else(|| night_c[m] - est::dew_point_shortfall_k(night_c[m], day_c[m]));
        est::mean_rh_pct(dew_c, night_c[m], day_c[m])
    });
    if dew.iter().all(Option::is_some) && given.rh_pct.is_none() {
        methods.push(
            "Humidity is worked out from the dew points given and the means of nights and days (FAO-56, eq. 10 to 12)."
                .to_owned(),
        );
        return estimated;
    }
    one(
        given.rh_pct.as_ref(),
        &estimated,
        (3.0, 100.0),
        "Humidity",
        "Humidity is estimated by taking the night minimum for the dew point, up to 3 K lower where the daily range \
         is wide or very narrow (after FAO-56); good to about 10 points.",
        methods,
    )
}

fn rain(given: &Normals, methods: &mut Vec<String>) -> ([f64; 12], [f64; 12]) {
    let amount = usable(given.rain_mm.as_ref(), 0.0, 3000.0);
    let days = usable(given.rain_days.as_ref(), 0.0, 31.0);
    let mut mm = [0.0; 12];
    let mut count = [0.0; 12];
    let (mut no_days, mut no_amount, mut nothing) = (false, false, false);
    for m in 0..12 {
        (mm[m], count[m]) = match (amount[m], days[m]) {
            (Some(a), Some(d)) => (a, d),
            (Some(a), None) => {
                no_days = true;
                (a, a / USUAL_RAIN_PER_RAIN_DAY_MM)
            }
            (None, Some(d)) => {
                no_amount = true;
                (d * USUAL_RAIN_PER_RAIN_DAY_MM, d)
            }
            (None, None) => {
                nothing = true;
                (
                    USUAL_RAIN_DAYS * USUAL_RAIN_PER_RAIN_DAY_MM,
                    USUAL_RAIN_DAYS,
                )
            }
        };
        let length = super::month_days(m).len() as f64;
        // A day with rain has at least 1 mm, and no month rains without end.
        count[m] = count[m].min(mm[m]).min(length - 1.0);
    }
    methods.push(
        if nothing {
            "Rain is not given: 10 days and 65 mm a month are assumed, a temperate climate's order of magnitude; \
             watering outdoors can't be judged from that."
        } else if no_days {
            "Rain amounts are given; days with rain are estimated from 6.5 mm a rain day."
        } else if no_amount {
            "Days with rain are given; amounts are estimated from 6.5 mm a rain day."
        } else {
            "Rain is the normal given."
        }
        .to_owned(),
    );
    (mm, count)
}

/// The given value of each month if it is possible, else the estimate, with a sentence.
fn one(
    given: Option<&[f64; 12]>,
    estimate: &[f64; 12],
    (low, high): (f64, f64),
    what: &str,
    estimated: &str,
    methods: &mut Vec<String>,
) -> [f64; 12] {
    let values = usable(given, low, high);
    let known = values.iter().flatten().count();
    methods.push(match known {
        12 => format!("{what}: the normals given."),
        0 => estimated.to_owned(),
        _ => format!("{what}: given for {known} months; for the others: {estimated}"),
    });
    std::array::from_fn(|m| values[m].unwrap_or(estimate[m]))
}

/// Months whose given value is a number, drawn into the possible range.
fn usable(given: Option<&[f64; 12]>, low: f64, high: f64) -> [Option<f64>; 12] {
    std::array::from_fn(|m| {
        given
            .map(|values| values[m])
            .filter(|v| v.is_finite())
            .map(|v| v.clamp(low, high))
    })
}
