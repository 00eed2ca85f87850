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

/// Mean temperature of each month from latitude, height and distance to the sea, °C: a yearly mean that falls with the square
/// of the sine of the latitude (as the zonal means of energy-balance models do, North & Coakley 1979), less 5.5 K per 1,000 m;
/// an annual swing with that sine, larger in the north where there is more land, and nearly doubled from the coast to the
/// heart of a continent. Fitted to the 45 towns of the test, where people and not oceans are: midwinter is off by 4.5 K in
/// the mean square (west coasts too cold by up to 9 K, east coasts of continents too warm by up to 11), midsummer by 2.6 K.
/// Without the sea it would be 5.3 and 2.6 K.
pub(super) fn month_means_c(latitude_deg: f64, elevation_m: f64, coast_km: f64) -> [f64; 12] {
    let x = latitude_deg.to_radians().sin();
    let annual = 28.3 - 31.4 * x * x - 0.0055 * elevation_m;
    let inland = 1.0 - (-coast_km.max(0.0) / SWING_KM).exp();
    let swing = if x > 0.0 {
        10.8 + 9.8 * inland
    } else {
        8.2 + 7.4 * inland
    };
    std::array::from_fn(|month0| {
        // The middle of January of the north is the coldest time, so that the swing is lowest there.
        let phase = std::f64::consts::TAU * month0 as f64 / 12.0;
        annual - swing * x * phase.cos()
    })
}

/// Distance from the sea over which the swing of the year grows, km.
const SWING_KM: f64 = 300.0;
/// The same for the swing of the day.
const RANGE_KM: f64 = 100.0;

/// Daily range where nothing is known but the distance to the sea, K: 7 at coasts (Auckland 6.5, San Diego 6, Miami 6.5), 11 in
/// open country inland (Clemson 12, Greensboro 11, Chicago and Beijing 9.5; `tests/reference/climate`).
pub(super) fn daily_range_k(coast_km: f64) -> f64 {
    7.0 + 4.0 * (1.0 - (-coast_km.max(0.0) / RANGE_KM).exp())
}

/// Standard deviations of night minima and of day maxima within a month, K: from the annual range of the monthly means (the
/// more continental, the more changeable), the season (winter more than summer), and the warmth of nights, which in moist
/// summer air neither fall nor let days rise far from the usual. Fitted by eye to Auckland, Beijing, Chicago, Clemson, Mumbai,
/// San Diego and Seattle (`tests/reference/climate/spreads.csv`); within a half of the measured in eight months of ten.
pub(super) fn daily_sd_k(night_c: &[f64; 12], day_c: &[f64; 12]) -> ([f64; 12], [f64; 12]) {
    let means_c: [f64; 12] = std::array::from_fn(|m| f64::midpoint(night_c[m], day_c[m]));
    let high = means_c.iter().copied().fold(f64::MIN, f64::max);
    let low = means_c.iter().copied().fold(f64::MAX, f64::min);
    let range = high - low;
    let middle = f64::midpoint(high, low);
    let usual: [f64; 12] = std::array::from_fn(|m| {
        let coldness = if range > 1.0 {
            (middle - means_c[m]) / (range / 2.0)
        } else {
            0.0
        };
        (1.4 + 0.13 * range).min(5.5) * (1.0 + 0.18 * coldness)
    });
    let between = |c: f64, from: f64, to: f64| ((c - from) / (to - from)).clamp(0.0, 1.0);
    (
        std::array::from_fn(|m| usual[m] * (1.0 - 0.5 * between(night_c[m], 10.0, 22.0))),
        std::array::from_fn(|m| (usual[m] + 0.5) * (1.0 - 0.35 * between(night_c[m], 14.0, 22.0))),
    )
}

/// Skewness of night minima and day maxima about the season by the warmth of the month's nights: none where nights are cool;
/// in moist summer air the hottest days are nearer to the usual than the coolest (Clemson -0.8, Beijing -0.6, Chicago -0.4,
/// Mumbai -0.5; Melbourne's dry summers are the other way round, +0.8, which nothing here tells).
pub(super) fn usual_skew(night_c: f64) -> f64 {
    -0.6 * ((night_c - 12.0) / 6.0).clamp(0.0, 1.0)
}

/// Share of the variance of night minima that is spells of weeks, moving night and day alike, where no record tells (our choice).
pub(super) const NIGHT_SPELL_SHARE: f64 = 0.06;

/// The same of day maxima by the warmth of the month's nights. Where these are warm, dry and moist soils make whole summers
/// hotter and cooler: at Clemson a July's mean differs between years by half as much as its days do, a January's by a third.
/// Half of what is found there.
pub(super) fn day_spell_share(night_c: f64) -> f64 {
    NIGHT_SPELL_SHARE + 0.12 * ((night_c - 12.0) / 6.0).clamp(0.0, 1.0)
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

    /// Latitude, longitude, height, mean of January and of July, °C; rounded normals of towns, from memory.
    const TOWNS: [(f64, f64, f64, f64, f64); 45] = [
        (51.5, -0.1, 25.0, 5.0, 19.0),
        (48.9, 2.3, 40.0, 5.0, 20.0),
        (52.5, 13.4, 40.0, 1.0, 20.0),
        (55.8, 37.6, 150.0, -6.0, 20.0),
        (40.4, -3.7, 650.0, 6.0, 26.0),
        (41.9, 12.5, 20.0, 8.0, 25.0),
        (38.0, 23.7, 100.0, 10.0, 29.0),
        (59.9, 10.7, 90.0, -3.0, 18.0),
        (64.1, -21.9, 50.0, 0.0, 12.0),
        (38.7, -9.1, 80.0, 12.0, 23.0),
        (41.0, 29.0, 40.0, 6.0, 25.0),
        (55.0, 82.9, 160.0, -17.0, 20.0),
        (35.7, 139.7, 25.0, 5.0, 26.0),
        (39.9, 116.4, 50.0, -3.0, 27.0),
        (37.6, 127.0, 80.0, -2.0, 26.0),
        (28.6, 77.2, 220.0, 14.0, 31.0),
        (19.1, 72.9, 10.0, 24.0, 28.0),
        (13.8, 100.5, 5.0, 27.0, 29.0),
        (1.4, 103.8, 15.0, 27.0, 28.0),
        (-1.3, 36.8, 1660.0, 19.0, 17.0),
        (30.1, 31.2, 60.0, 14.0, 29.0),
        (6.5, 3.4, 10.0, 27.0, 25.0),
        (-33.9, 18.4, 40.0, 21.0, 12.0),
        (-26.2, 28.0, 1700.0, 20.0, 10.0),
        (-33.9, 151.2, 40.0, 23.0, 13.0),
        (-37.8, 145.0, 30.0, 21.0, 10.0),
        (-36.9, 174.8, 40.0, 19.0, 11.0),
        (-34.6, -58.4, 25.0, 25.0, 11.0),
        (-33.4, -70.7, 520.0, 21.0, 9.0),
        (-12.0, -77.0, 30.0, 23.0, 17.0),
        (-0.2, -78.5, 2800.0, 14.0, 14.0),
        (4.7, -74.1, 2550.0, 14.0, 14.0),
        (19.4, -99.1, 2240.0, 15.0, 18.0),
        (-23.5, -46.6, 760.0, 23.0, 17.0),
        (40.7, -74.0, 20.0, 1.0, 25.0),
        (41.9, -87.6, 180.0, -4.0, 24.0),
        (39.7, -105.0, 1610.0, 0.0, 24.0),
        (25.8, -80.2, 2.0, 20.0, 29.0),
        (34.0, -118.2, 60.0, 14.0, 22.0),
        (47.5, -122.3, 50.0, 5.0, 19.0),
        (49.2, -123.1, 5.0, 4.0, 18.0),
        (49.9, -97.1, 240.0, -16.0, 20.0),
        (43.7, -79.4, 110.0, -4.0, 22.0),
        (61.2, -149.9, 40.0, -8.0, 15.0),
        (64.8, -147.7, 135.0, -22.0, 17.0),
    ];

    #[test]
    fn validate_a_guessed_climate_is_as_far_off_as_is_said() {
        type Town = (f64, f64, f64, f64, f64);
        let off = |pick: fn(&Town) -> (usize, f64)| -> (f64, f64) {
            let all: Vec<f64> = TOWNS
                .iter()
                .map(|t| {
                    let (month, measured) = pick(t);
                    month_means_c(t.0, t.2, crate::places::coast_km(t.0, t.1))[month] - measured
                })
                .collect();
            let squares = all.iter().map(|v| v * v).sum::<f64>() / all.len() as f64;
            (squares.sqrt(), all.iter().fold(0.0, |m, v| v.abs().max(m)))
        };
        let (january, july) = (off(|t| (0, t.3)), off(|t| (6, t.4)));
        assert!(january.0 < 4.6 && january.1 < 11.0, "{january:?}");
        assert!(july.0 < 2.8 && july.1 < 8.0, "{july:?}");
    }
}
