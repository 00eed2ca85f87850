use super::{
    estimates as est,
    gaps::{self, Months},
};
use crate::{
    places,
    site::{Monthly, Normals, Place},
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
#[must_use]
pub fn fill(place: &Place, given: &Normals) -> (FilledNormals, Vec<String>) {
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
    let ranges: Months = std::array::from_fn(|m| Some((day[m]? - night[m]?).max(LEAST_RANGE_K)));
    let range_k = gaps::filled(&ranges, &[2.0 * half; 12]);
    // Of months with one of the two, the other lies a daily range away; of months with neither, both are those about them.
    let either = |of: &Months, other: &Months, sign: f64| -> Months {
        std::array::from_fn(|m| of[m].or_else(|| Some(other[m]? + sign * range_k[m])))
    };
    let (nights, days) = (either(&night, &day, -1.0), either(&day, &night, 1.0));
    let mut night_c = gaps::filled(&nights, &guess_c.map(|c| c - half));
    let mut day_c = gaps::filled(&days, &guess_c.map(|c| c + half));
    for (night, day) in night_c.iter_mut().zip(&mut day_c) {
        if *day < *night + LEAST_RANGE_K {
            let middle = f64::midpoint(*day, *night);
            (*night, *day) = (middle - LEAST_RANGE_K / 2.0, middle + LEAST_RANGE_K / 2.0);
        }
    }
    let count = |months: &Months| months.iter().flatten().count();
    match (count(&night), count(&day), count(&nights)) {
        (12, 12, _) => methods.push("Night minima and day maxima are the normals given.".to_owned()),
        (0, 0, _) => methods.push(format!(
            "Night minima and day maxima are not given: they are guessed from latitude, height and the distance to the \
             sea, {coast_km:.0} km. Winters may be 9 K off (west coasts are milder, east coasts of continents colder), \
             summers 5 K, so that no frost or heat figure can be relied on until they are filled in."
        )),
        (0, 12, _) | (12, 0, _) => methods.push(format!(
            "Only one of night minima and day maxima is given: the other is taken {:.0} K away, which may be 4 K off.",
            2.0 * half
        )),
        (.., either) => {
            let wide = if count(&ranges) > 0 {
                "as wide as in the months about it".to_owned()
            } else {
                format!("{:.0} K, which may be 4 K off", 2.0 * half)
            };
            for (what, of, other) in [
                ("night minimum", &night, &day),
                ("day maximum", &day, &night),
            ] {
                let months = gaps::names_where(|m| of[m].is_none() && other[m].is_some());
                if !months.is_empty() {
                    methods.push(format!(
                        "The {what} of {months} is not given and taken a daily range away, {wide}."
                    ));
                }
            }
            if either < 12 {
                methods.push(format!(
                    "Night minima and day maxima are given but for {}: there they are taken from the months about, by what \
                     these depart from a guess by latitude, height and the distance to the sea (after Willmott & Robeson \
                     1995), {}.",
                    gaps::names(&nights),
                    sureness(&nights)
                ));
            }
        }
    }
    (night_c, day_c)
}

/// How far off temperatures between known months are (leaving months out at the stations of the tests).
fn sureness(known: &Months) -> &'static str {
    match gaps::longest(known) {
        0 | 1 => "good to about 1.5 K",
        2 | 3 => "good to about 2.5 K",
        _ => "which may be 5 K off: so many months in a row should be filled in",
    }
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
    let outside: [f64; 12] = std::array::from_fn(|m| est::outside_mj_m2_d(latitude_deg, m));
    // Nothing on earth lets more through over a month than high, dry mountain air.
    let most = |m: usize| 0.83 * outside[m];
    let estimate: [f64; 12] = std::array::from_fn(|m| match sunshine[m] {
        Some(hours) => {
            est::radiation_from_sunshine(outside[m], hours, est::day_length_h(latitude_deg, m))
        }
        None => est::radiation_from_range(outside[m], night_c[m], day_c[m], elevation_m),
    });
    let known: Months = std::array::from_fn(|m| measured[m].map(|value| value.min(most(m))));
    let filled = gaps::filled_by_factor(&known, &estimate);
    let (given, sun) = (
        measured.iter().flatten().count(),
        (0..12)
            .filter(|m| measured[*m].is_none() && sunshine[*m].is_some())
            .count(),
    );
    methods.push(match (given, sun, 12 - given - sun) {
        (12, ..) => "Radiation is the normal given.".to_owned(),
        (_, 12, _) => "Radiation is estimated from the sunshine hours given (Ångström-Prescott, FAO-56), good to \
                       about 10 % in a month."
            .to_owned(),
        (.., 12) => "Radiation is estimated from the daily range of temperature (Hargreaves-Samani, FAO-56), good \
                       to about 15 % in a month; sunshine hours or measured radiation would make all light figures \
                       surer."
            .to_owned(),
        (given, sun, range) => {
            let mut said = format!(
                "Radiation is given for {given} months, estimated from sunshine for {sun} (good to 10 %) and from the \
                 daily range of temperature for {range} (good to 15 %)"
            );
            if given > 0 {
                said.push_str(&format!(
                    "; the estimates of {} are put right by what the months about them read over or under theirs",
                    gaps::names(&measured)
                ));
            }
            said + "."
        }
    });
    if (0..12).any(|m| measured[m].is_some_and(|value| value > most(m) + 0.05)) {
        methods.push(
            "The radiation given is more than reaches the ground at this latitude in at least one month and was cut \
             to 83 % of that outside the air: please check its unit (MJ/m² a day) and the latitude."
                .to_owned(),
        );
    }
    std::array::from_fn(|m| filled[m].min(most(m)))
}

/// Where the dew point lies if nothing tells.
const DEW_AT_NIGHT: &str = "the night minimum for the dew point, up to 3 K lower where the daily range is wide or very narrow (after FAO-56)";

fn humidity(
    given: &Normals,
    night_c: &[f64; 12],
    day_c: &[f64; 12],
    methods: &mut Vec<String>,
) -> [f64; 12] {
    let rh = usable(given.rh_pct.as_ref(), 3.0, 100.0);
    let dew = usable(given.dew_point_c.as_ref(), -80.0, 40.0);
    let at_night: [f64; 12] =
        std::array::from_fn(|m| night_c[m] - est::dew_point_shortfall_k(night_c[m], day_c[m]));
    let dew_c = gaps::filled(&dew, &at_night);
    let estimated: [f64; 12] =
        std::array::from_fn(|m| est::mean_rh_pct(dew_c[m], night_c[m], day_c[m]));
    // A dew point of the month itself says more than the humidity of other months.
    let known: Months = std::array::from_fn(|m| rh[m].or_else(|| dew[m].map(|_| estimated[m])));
    let counted = |months: &Months| months.iter().flatten().count();
    let from_dew = gaps::names_where(|m| rh[m].is_none() && dew[m].is_some());
    let left = gaps::names(&known);
    let eq = "the means of nights and days (FAO-56, eq. 10 to 12)";
    methods.push(match (counted(&rh), counted(&dew)) {
        (12, _) => "Humidity: the normals given.".to_owned(),
        (0, 12) => format!("Humidity is worked out from the dew points given and {eq}."),
        (0, 0) => {
            format!("Humidity is estimated by taking {DEW_AT_NIGHT}; good to about 10 points.")
        }
        (0, _) => format!(
            "Humidity is worked out from the dew points given and {eq}. Dew points are not given for {left}: there they \
             are taken from the months about, by how far these lie from the night minimum; good to about 5 points."
        ),
        _ => {
            let mut said = format!("Humidity is given but for {}", gaps::names(&rh));
            if !from_dew.is_empty() {
                said.push_str(&format!(
                    "; of {from_dew} it is worked out from the dew points given and {eq}"
                ));
            }
            if !left.is_empty() {
                said.push_str(&format!(
                    "; of {left} it is estimated by taking {DEW_AT_NIGHT}, put right by what the months about are over or \
                     under that; good to about 5 points"
                ));
            }
            said + "."
        }
    });
    gaps::filled(&known, &estimated).map(|v| v.clamp(3.0, 100.0))
}

fn rain(given: &Normals, methods: &mut Vec<String>) -> ([f64; 12], [f64; 12]) {
    let amount = usable(given.rain_mm.as_ref(), 0.0, 3000.0);
    let days = usable(given.rain_days.as_ref(), 0.0, 31.0);
    let of_a_day: Months =
        std::array::from_fn(|m| Some(amount[m]? / days[m].filter(|d| *d > 0.0)?));
    let of_a_day = gaps::filled(&of_a_day, &[USUAL_RAIN_PER_RAIN_DAY_MM; 12]);
    let amounts: Months =
        std::array::from_fn(|m| amount[m].or_else(|| Some(days[m]? * of_a_day[m])));
    let counts: Months =
        std::array::from_fn(|m| days[m].or_else(|| Some(amount[m]? / of_a_day[m].max(0.1))));
    let usual_mm = USUAL_RAIN_DAYS * USUAL_RAIN_PER_RAIN_DAY_MM;
    let mm = gaps::filled(&amounts, &[usual_mm; 12]);
    let mut count = gaps::filled(&counts, &[USUAL_RAIN_DAYS; 12]);
    for m in 0..12 {
        let length = super::month_days(m).len() as f64;
        // A day with rain has at least 1 mm, and no month rains without end.
        count[m] = count[m].min(mm[m]).min(length - 1.0);
    }
    let counted = |months: &Months| months.iter().flatten().count();
    let (given_mm, given_days) = (counted(&amount), counted(&days));
    methods.push(match (given_mm, given_days) {
        (12, 12) => "Rain is the normal given.".to_owned(),
        (0, 0) => "Rain is not given: 10 days and 65 mm a month are assumed, a temperate climate's order of magnitude; \
                   watering outdoors can't be judged from that."
            .to_owned(),
        (12, 0) => {
            "Rain amounts are given; days with rain are estimated from 6.5 mm a rain day.".to_owned()
        }
        (0, 12) => {
            "Days with rain are given; amounts are estimated from 6.5 mm a rain day.".to_owned()
        }
        _ => {
            let mut parts = Vec::new();
            let per_day = if given_mm > 0 && given_days > 0 {
                "the rain of a rain day in the months about"
            } else {
                "6.5 mm a rain day"
            };
            for (what, of, other) in [
                ("amounts", &amount, &days),
                ("days with rain", &days, &amount),
            ] {
                let months = gaps::names_where(|m| of[m].is_none() && other[m].is_some());
                if !months.is_empty() {
                    parts.push(format!("{what} of {months} are estimated from {per_day}"));
                }
            }
            if amounts.contains(&None) {
                parts.push(format!(
                    "{} lies in a straight line between the months about",
                    gaps::names(&amounts)
                ));
            }
            format!(
                "Rain is not given for each month: {}; watering outdoors is less sure there.",
                parts.join("; ")
            )
        }
    });
    (mm, count)
}

/// The given value of each month if it is possible, else the estimate, put right by the months about where some are given;
/// with a sentence.
fn one(
    given: Option<&Monthly>,
    estimate: &[f64; 12],
    (low, high): (f64, f64),
    what: &str,
    estimated: &str,
    methods: &mut Vec<String>,
) -> [f64; 12] {
    let values = usable(given, low, high);
    methods.push(match values.iter().flatten().count() {
        12 => format!("{what}: the normals given."),
        0 => estimated.to_owned(),
        _ => format!(
            "{what}: the normals given; {} by what the months about are over or under the usual estimate.",
            gaps::names(&values)
        ),
    });
    gaps::filled(&values, estimate).map(|v| v.clamp(low, high))
}

/// Months whose given value is a number, drawn into the possible range.
fn usable(given: Option<&Monthly>, low: f64, high: f64) -> Months {
    given.map_or([None; 12], |values| {
        values
            .months()
            .map(|v| v.filter(|v| v.is_finite()).map(|v| v.clamp(low, high)))
    })
}
