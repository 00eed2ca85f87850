//! What can be said of one quantity from others, and of a climate from latitude and height alone.

use crate::sun::extraterrestrial;

/// Saturation vapour pressure over water, kPa; FAO-56 eq. 11 (Tetens). Within 0.2 % of psychrometric tables from 0 to 45 °C.
pub(super) fn saturation_kpa(air_c: f64) -> f64 {
    0.6108 * (17.27 * air_c / (air_c + 237.3).max(1.0)).exp()
}

/// Mean relative humidity of a day with a steady dew point, %: FAO-56 eq. 10 to 12.
pub(super) fn mean_rh_pct(dew_c: f64, night_min_c: f64, day_max_c: f64) -> f64 {
    let mean_kpa = f64::midpoint(saturation_kpa(night_min_c), saturation_kpa(day_max_c));
    (100.0 * saturation_kpa(dew_c) / mean_kpa).clamp(3.0, 100.0)
}

/// How far the dew point lies under the mean night minimum, K. Nothing where nights cool down to it; up to 3 K where
/// hot days and a wide range tell of dry air (FAO-56, annex 6, takes 2 to 3 K off in arid places); up to 2.5 K where
/// sea wind or cloud keeps nights from cooling that far (fitted to a subarctic and a subtropical coast, 4 and 6 K of
/// range: 2.6 and 1.7 K).
pub(super) fn dew_point_shortfall_k(night_min_c: f64, day_max_c: f64) -> f64 {
    let range_k = day_max_c - night_min_c;
    let arid_k = (range_k - 12.0) / 2.0;
    let maritime_k = (10.0 - range_k) * 0.43;
    arid_k.clamp(0.0, 3.0) + maritime_k.clamp(0.0, 2.5)
}

/// Global radiation from sunshine, MJ m⁻² d⁻¹: FAO-56 eq. 35 (Ångström 1924, Prescott 1940), a 0.25, b 0.50.
/// Monthly errors 8 to 10 %.
pub(super) fn radiation_from_sunshine(
    outside_mj_m2_d: f64,
    sunshine_h: f64,
    day_length_h: f64,
) -> f64 {
    let share = if day_length_h > 0.1 {
        (sunshine_h / day_length_h).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (0.25 + 0.50 * share) * outside_mj_m2_d
}

/// Global radiation from the daily range of temperature, MJ m⁻² d⁻¹: FAO-56 eq. 50 (Hargreaves & Samani 1982) with
/// 0.17, between the 0.16 of inland places and the 0.19 of coasts, and at most what a clear sky gives (eq. 37).
/// Monthly errors about 15 %.
pub(super) fn radiation_from_range(
    outside_mj_m2_d: f64,
    night_min_c: f64,
    day_max_c: f64,
    elevation_m: f64,
) -> f64 {
    let share = 0.17 * (day_max_c - night_min_c).max(0.0).sqrt();
    share.min(0.75 + 2e-5 * elevation_m.max(0.0)) * outside_mj_m2_d
}

/// Mean of a function over the days of a month.
pub(super) fn month_mean(month0: usize, of_day: impl Fn(usize) -> f64) -> f64 {
    let days = super::month_days(month0);
    let count = days.len() as f64;
    days.map(of_day).sum::<f64>() / count
}

/// Radiation outside the air, mean of the month, MJ m⁻² d⁻¹.
pub(super) fn outside_mj_m2_d(latitude_deg: f64, month0: usize) -> f64 {
    month_mean(month0, |day| {
        extraterrestrial::daily_mj_m2(latitude_deg, day)
    })
}

/// Astronomical length of the day, mean of the month, h.
pub(super) fn day_length_h(latitude_deg: f64, month0: usize) -> f64 {
    month_mean(month0, |day| {
        extraterrestrial::sunset_angle_rad(latitude_deg, day) * 24.0 / std::f64::consts::PI
    })
}

/// Mean temperature of each month from latitude and height alone, °C: a yearly mean that falls with the square of the
/// sine of the latitude (as the zonal means of energy-balance models do, North & Coakley 1979), an annual swing with its
/// sine, larger in the north where there is more land, less 5.5 K per 1,000 m. Fitted to the 45 towns of the test, where
/// people and not oceans are: midwinter is off by 5 K in the mean square (oceanic coasts too cold by 6 to 10 K, the hearts
/// of continents too warm by 9 to 13 K), midsummer by 3 K.
pub(super) fn zonal_month_means_c(latitude_deg: f64, elevation_m: f64) -> [f64; 12] {
    let x = latitude_deg.to_radians().sin();
    let annual = 28.3 - 31.4 * x * x - 0.0055 * elevation_m;
    let swing = if x > 0.0 { 14.8 } else { 9.4 };
    std::array::from_fn(|month0| {
        // The middle of January of the north is the coldest time, so that the swing is lowest there.
        let phase = std::f64::consts::TAU * month0 as f64 / 12.0;
        annual - swing * x * phase.cos()
    })
}

/// Daily range where nothing is known, K: that of open country in temperate and dry places lies at 7 to 14 K.
pub(super) const DAILY_RANGE_K: f64 = 9.0;

/// Standard deviation of daily extremes within a month, K, from the annual range of the monthly means (the more
/// continental, the more changeable) and the season (winter more than summer). Fitted by eye to a maritime
/// (12 K: 3.0 K), a central European (18 K: 3.7 K) and an equatorial climate (2 K: 1.7 K); our choice.
pub(super) fn daily_sd_k(means_c: &[f64; 12]) -> [f64; 12] {
    let high = means_c.iter().copied().fold(f64::MIN, f64::max);
    let low = means_c.iter().copied().fold(f64::MAX, f64::min);
    let range = high - low;
    let middle = f64::midpoint(high, low);
    std::array::from_fn(|m| {
        let coldness = if range > 1.0 {
            (middle - means_c[m]) / (range / 2.0)
        } else {
            0.0
        };
        (1.4 + 0.13 * range).min(5.5) * (1.0 + 0.18 * coldness)
    })
}

/// Linke turbidity of low land by month, mean of zones 10° wide from 60° south to 80° north: zonal means, taken for this
/// program, of the world maps of Remund, Wald, Lefèvre, Ranchin & Page 2003 as a general library carries them.
#[rustfmt::skip]
const ZONAL_TURBIDITY: [[f64; 12]; 15] = [
    [2.5, 2.4, 2.1, 2.1, 2.0, 1.9, 1.9, 2.0, 2.1, 2.0, 2.3, 2.3], // -60
    [3.4, 3.2, 2.5, 2.7, 2.2, 2.0, 2.1, 2.0, 2.7, 2.7, 3.2, 3.2], // -50
    [3.5, 3.6, 3.2, 3.1, 3.0, 2.8, 2.7, 2.7, 3.3, 3.3, 3.5, 3.5], // -40
    [3.8, 3.7, 3.6, 3.4, 3.1, 3.1, 3.0, 3.0, 3.4, 3.4, 3.4, 3.6], // -30
    [4.1, 4.0, 3.8, 3.5, 3.1, 3.1, 3.1, 3.4, 4.0, 4.0, 3.9, 3.9], // -20
    [4.0, 4.0, 4.1, 3.8, 3.5, 3.6, 3.5, 4.2, 5.0, 5.0, 4.4, 4.3], // -10
    [4.4, 4.5, 4.8, 4.5, 4.4, 4.3, 4.1, 4.2, 4.6, 4.8, 4.6, 4.6], // 0
    [4.2, 4.4, 4.8, 4.8, 5.0, 5.0, 4.9, 4.9, 5.1, 4.7, 4.4, 4.3], // 10
    [3.5, 3.5, 4.0, 4.3, 4.5, 4.5, 4.7, 4.9, 4.5, 4.1, 3.7, 3.6], // 20
    [3.1, 3.2, 3.5, 3.9, 4.2, 4.2, 4.5, 4.5, 4.1, 3.8, 3.4, 3.2], // 30
    [2.5, 2.6, 2.9, 3.5, 3.9, 4.0, 4.3, 4.1, 3.7, 3.1, 2.8, 2.5], // 40
    [2.3, 2.4, 2.5, 2.9, 3.4, 3.7, 4.0, 3.8, 3.4, 2.9, 2.4, 2.3], // 50
    [2.0, 2.0, 2.1, 2.2, 2.7, 3.2, 3.5, 3.3, 2.9, 2.2, 2.0, 2.0], // 60
    [1.8, 1.9, 1.9, 1.9, 2.1, 2.4, 3.0, 2.8, 2.3, 2.0, 1.9, 1.9], // 70
    [1.7, 1.7, 1.8, 1.9, 1.8, 1.9, 1.9, 1.9, 1.9, 1.8, 1.8, 1.7], // 80
];

/// Linke turbidity by month where nothing is known: the zone's mean, thinned with height as those maps are on the
/// whole (3.9 near the sea, 2.8 at 2,500 m, 2.0 at 4,700 m). Single places differ by 1 either way.
pub(super) fn turbidity_linke(latitude_deg: f64, elevation_m: f64) -> [f64; 12] {
    let place = ((latitude_deg + 60.0) / 10.0).clamp(0.0, (ZONAL_TURBIDITY.len() - 1) as f64);
    let south = place as usize;
    let north = (south + 1).min(ZONAL_TURBIDITY.len() - 1);
    let thinning = (-elevation_m.max(0.0) / 3200.0).exp();
    std::array::from_fn(|m| {
        let (a, b) = (ZONAL_TURBIDITY[south][m], ZONAL_TURBIDITY[north][m]);
        1.7 + (a + (b - a) * place.fract() - 1.7) * thinning
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    // Worked examples of FAO Irrigation and Drainage Paper 56 (Allen et al. 1998); inputs as printed, from memory.
    #[test]
    fn validate_radiation_against_fao_56() {
        // Example 10: Rio de Janeiro, May: Ra 25.1, N 10.9, n 7.1 h: 14.5 MJ.
        let from_sun = radiation_from_sunshine(25.1, 7.1, 10.9);
        assert!((from_sun - 14.5).abs() < 0.1, "{from_sun}");
        // Example 15: Lyon, July: Ra 40.6, 26.6 and 14.8 °C, 22.3 MJ with 0.16; ours has 0.17.
        let from_range = radiation_from_range(40.6, 14.8, 26.6, 200.0) * 0.16 / 0.17;
        assert!((from_range - 22.3).abs() < 0.05, "{from_range}");
        // Example 2 to 4: es(24.5) = 3.075, es(15) = 1.705 kPa.
        assert!((saturation_kpa(24.5) - 3.075).abs() < 0.002);
        assert!((saturation_kpa(15.0) - 1.705).abs() < 0.001);
    }

    /// Latitude, height, mean of January and of July, °C; rounded normals of towns, from memory.
    const TOWNS: [(f64, f64, f64, f64); 45] = [
        (51.5, 25.0, 5.0, 19.0),
        (48.9, 40.0, 5.0, 20.0),
        (52.5, 40.0, 1.0, 20.0),
        (55.8, 150.0, -6.0, 20.0),
        (40.4, 650.0, 6.0, 26.0),
        (41.9, 20.0, 8.0, 25.0),
        (38.0, 100.0, 10.0, 29.0),
        (59.9, 90.0, -3.0, 18.0),
        (64.1, 50.0, 0.0, 12.0),
        (38.7, 80.0, 12.0, 23.0),
        (41.0, 40.0, 6.0, 25.0),
        (55.0, 160.0, -17.0, 20.0),
        (35.7, 25.0, 5.0, 26.0),
        (39.9, 50.0, -3.0, 27.0),
        (37.6, 80.0, -2.0, 26.0),
        (28.6, 220.0, 14.0, 31.0),
        (19.1, 10.0, 24.0, 28.0),
        (13.8, 5.0, 27.0, 29.0),
        (1.4, 15.0, 27.0, 28.0),
        (-1.3, 1660.0, 19.0, 17.0),
        (30.1, 60.0, 14.0, 29.0),
        (6.5, 10.0, 27.0, 25.0),
        (-33.9, 40.0, 21.0, 12.0),
        (-26.2, 1700.0, 20.0, 10.0),
        (-33.9, 40.0, 23.0, 13.0),
        (-37.8, 30.0, 21.0, 10.0),
        (-36.9, 30.0, 19.0, 11.0),
        (-34.6, 25.0, 25.0, 11.0),
        (-33.4, 520.0, 21.0, 9.0),
        (-12.0, 30.0, 23.0, 17.0),
        (-0.2, 2800.0, 14.0, 14.0),
        (4.7, 2550.0, 14.0, 14.0),
        (19.4, 2240.0, 15.0, 18.0),
        (-23.5, 760.0, 23.0, 17.0),
        (40.7, 20.0, 1.0, 25.0),
        (41.9, 180.0, -4.0, 24.0),
        (39.7, 1610.0, 0.0, 24.0),
        (25.8, 2.0, 20.0, 29.0),
        (34.0, 60.0, 14.0, 22.0),
        (47.5, 50.0, 5.0, 19.0),
        (49.2, 5.0, 4.0, 18.0),
        (49.9, 240.0, -16.0, 20.0),
        (43.7, 110.0, -4.0, 22.0),
        (61.2, 40.0, -8.0, 15.0),
        (64.8, 135.0, -22.0, 17.0),
    ];

    #[test]
    fn validate_a_climate_from_latitude_alone_is_as_far_off_as_is_said() {
        type Town = (f64, f64, f64, f64);
        let off = |pick: fn(&Town) -> (usize, f64)| -> (f64, f64) {
            let all: Vec<f64> = TOWNS
                .iter()
                .map(|t| {
                    let (month, measured) = pick(t);
                    zonal_month_means_c(t.0, t.1)[month] - measured
                })
                .collect();
            let squares = all.iter().map(|v| v * v).sum::<f64>() / all.len() as f64;
            (squares.sqrt(), all.iter().fold(0.0, |m, v| v.abs().max(m)))
        };
        let (january, july) = (off(|t| (0, t.2)), off(|t| (6, t.3)));
        assert!(january.0 < 5.5 && january.1 < 13.5, "{january:?}");
        assert!(july.0 < 2.8 && july.1 < 8.0, "{july:?}");
    }
}
