//! What a spot offers in a week: the year of light and air, gathered into the figures that needs are stated in.

use serde::Serialize;

use crate::{
    air::{
        AirWeek, SpotAir,
        roots::{PotHour, Stands, mix_c},
    },
    base::{
        Week,
        calendar::{DAYS, WEEKS},
        units::PPFD_PER_BEAM_W_M2,
    },
    light::SpotLight,
    site::Pot,
};

/// 10 and 90 % points of a normal distribution lie this many standard deviations from the mean.
pub(super) const TENTH_SDS: f64 = 1.2816;

/// How much smaller the spread of a week's mean is than that of single days: √(a/7) with a = (1+r)/(1−r), r = 0.29
/// the day-to-day correlation of clearness (Graham, Hollands & Huget 1988; the value of r from memory).
const WEEK_OF_DAY_SPREAD: f64 = 0.509;

/// What a spot offers in a week. `None` where it is neither measured nor computed: unknown is not average.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct SpotWeek {
    /// Weekly mean DLI on the level, mol m⁻² d⁻¹.
    pub dli: Option<f64>,
    /// The same for upright leaves.
    pub upright_dli: Option<f64>,
    /// 10 and 90 % points of the week's DLI by weather and by the uncertainty of the light model.
    pub dli_band: Option<(f64, f64)>,
    /// Peak PPFD of a clear day, µmol m⁻² s⁻¹.
    pub clear_peak_ppfd: Option<f64>,
    /// Hours of direct sun on a clear day.
    pub clear_sun_h: Option<f64>,
    /// Part of the light that comes from one side, 0..=1.
    pub one_sided: Option<f64>,
    /// Air of the week.
    pub air: Option<AirWeek>,
    /// Standard deviation of a night minimum's remaining error, K.
    pub night_sd_k: f64,
    pub indoors: bool,
    /// How much hotter than the hottest air the mix of a black pot of 20 cm gets on a clear day among others, K.
    pub roots_over_air_k: Option<f64>,
    /// Cosine-weighted sky view of the month, for leaf temperatures by day.
    pub sky_view: f64,
}

/// What a spot offers in each of 52 weeks, as is to be expected in any year: the typical year is one year, with a
/// cold week here and a dull one there, and a plan must not dodge its weather. So its means are taken over the
/// week and two on either side, and nights from the weather years. Vectors that are empty or too short count as
/// unknown.
#[must_use]
pub fn spot_weeks(light: &SpotLight, air: &SpotAir, indoors: bool) -> Vec<SpotWeek> {
    Week::all()
        .map(|week| {
            let dli = expected(week, |w| mean_of_days(&light.dli, w));
            let factors = light.factors.get(week.month0());
            SpotWeek {
                dli,
                upright_dli: expected(week, |w| mean_of_days(&light.upright_dli, w)),
                dli_band: dli.map(|mean| {
                    let spread = day_spread(&light.dli, week) * WEEK_OF_DAY_SPREAD;
                    let model = light.correction.log_sd.max(0.0);
                    let log_sd = (spread * spread + model * model).sqrt();
                    let ratio = (TENTH_SDS * log_sd).exp();
                    (mean / ratio, mean * ratio)
                }),
                clear_peak_ppfd: of_week(&light.clear_peak_ppfd, week),
                clear_sun_h: of_week(&light.clear_sun_h, week),
                one_sided: factors.map(|f| f.one_sided),
                air: expected_air(&air.weeks, week),
                night_sd_k: air.correction.night_sd_at(week.first_day().index() + 3),
                indoors,
                roots_over_air_k: roots_over_air_k(light, air, week),
                sky_view: factors.map_or(0.0, |f| f.sky_view_cosine),
            }
        })
        .collect()
}

/// A clear day in a middling year: the air between night and hottest hour as half a sine, the sun as another. Two days,
/// since a pot remembers the first.
fn roots_over_air_k(light: &SpotLight, air: &SpotAir, week: Week) -> Option<f64> {
    let air = air.weeks.get(week.index())?;
    let peak = of_week(&light.clear_peak_ppfd, week)?;
    let hottest_c = air
        .hottest_air_c
        .get(air.hottest_air_c.len() / 2)
        .map_or(air.max_c, |v| f64::from(*v));
    let night_c = air.night_c.min(hottest_c);
    let hours: Vec<PotHour> = (0..48)
        .map(|h| {
            // Sun from 6 to 18 h, air warmest at 15 h.
            let sun = ((f64::from(h % 24) - 6.0) / 12.0 * std::f64::consts::PI).sin();
            let warm = ((f64::from(h % 24) - 9.0) / 12.0 * std::f64::consts::PI).sin();
            PotHour {
                air_c: night_c + (hottest_c - night_c) * 0.5 * (1.0 + warm),
                sun_w_m2: sun.max(0.0) * peak / PPFD_PER_BEAM_W_M2,
                speed_m_s: air.speed_m_s,
            }
        })
        .collect();
    let black = Pot::default();
    let hottest_mix_c = mix_c(&hours, &black, Stands::AmongOthers)
        .into_iter()
        .fold(f64::MIN, f64::max);
    Some(hottest_mix_c - hottest_c)
}

/// Mean over the week and two on either side, weighed 1, 2, 3, 2, 1.
fn expected(week: Week, value: impl Fn(Week) -> Option<f64>) -> Option<f64> {
    (-2..=2_i64)
        .map(|near| value(week.plus(near)).map(|v| v * (3 - near.abs()) as f64))
        .sum::<Option<f64>>()
        .map(|sum| sum / 9.0)
}

fn expected_air(weeks: &[AirWeek], week: Week) -> Option<AirWeek> {
    let typical = weeks.get(week.index())?;
    let near = |value: fn(&AirWeek) -> f64| {
        expected(week, |w| weeks.get(w.index()).map(value)).unwrap_or_else(|| value(typical))
    };
    let years = |values: &[f32], otherwise: f64| {
        if values.is_empty() {
            otherwise
        } else {
            values.iter().map(|v| f64::from(*v)).sum::<f64>() / values.len() as f64
        }
    };
    let night_c = years(&typical.night_means_c, near(|w| w.night_c));
    let day_night_k = years(&typical.day_night_means_k, near(|w| w.day_night_k));
    Some(AirWeek {
        day_c: near(|w| w.day_c),
        max_c: night_c + day_night_k,
        night_c,
        day_night_k,
        rh_day_pct: near(|w| w.rh_day_pct),
        rh_pct: near(|w| w.rh_pct),
        vpd_kpa: near(|w| w.vpd_kpa),
        speed_m_s: near(|w| w.speed_m_s),
        rain_mm: near(|w| w.rain_mm),
        et0_mm_d: near(|w| w.et0_mm_d),
        // What devices do goes by their timetable, and what strikes in bad years is no mean.
        ..typical.clone()
    })
}

fn of_week(weeks: &[f32], week: Week) -> Option<f64> {
    if weeks.len() < WEEKS {
        return None;
    }
    weeks
        .get(week.index())
        .map(|v| f64::from(*v))
        .filter(|v| v.is_finite())
}

fn mean_of_days(days: &[f32], week: Week) -> Option<f64> {
    if days.len() < DAYS {
        return None;
    }
    let days = days.get(week.days())?;
    let mean = days.iter().map(|v| f64::from(*v)).sum::<f64>() / days.len() as f64;
    mean.is_finite().then_some(mean)
}

/// Coefficient of variation of single days about their own week's mean, over the week and two on either side.
fn day_spread(days: &[f32], week: Week) -> f64 {
    let (mut squares, mut total, mut n) = (0.0, 0.0, 0_usize);
    for near in -2..=2 {
        let week = week.plus(near);
        let Some(mean) = mean_of_days(days, week) else {
            continue;
        };
        for day in days.get(week.days()).unwrap_or_default() {
            squares += (f64::from(*day) - mean).powi(2);
            total += f64::from(*day);
            n += 1;
        }
    }
    // Each of the five weeks gave up one degree of freedom to its own mean.
    if n <= 5 || total <= 0.0 {
        return 0.0;
    }
    (squares / (n - 5) as f64).sqrt() / (total / n as f64)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::light::{LightCorrection, LightFactors};

    #[test]
    fn empty_results_are_unknown_not_zero() {
        let weeks = spot_weeks(&SpotLight::default(), &SpotAir::default(), true);
        assert_eq!(weeks.len(), WEEKS);
        for week in &weeks {
            assert_eq!(week.dli, None);
            assert_eq!(week.dli_band, None);
            assert_eq!(week.clear_peak_ppfd, None);
            assert_eq!(week.air, None);
            assert!(week.indoors);
        }
    }

    #[test]
    fn a_week_is_the_mean_of_its_days_and_its_neighbours() {
        let light = SpotLight {
            dli: (0..DAYS).map(|d| d as f32).collect(),
            upright_dli: vec![3.0; DAYS],
            clear_peak_ppfd: (0..WEEKS).map(|w| w as f32 * 10.0).collect(),
            factors: vec![
                LightFactors {
                    one_sided: 0.4,
                    sky_view_cosine: 0.7,
                    ..LightFactors::default()
                };
                12
            ],
            correction: LightCorrection {
                log_sd: 0.0,
                ..LightCorrection::default()
            },
            ..SpotLight::default()
        };
        let weeks = spot_weeks(&light, &SpotAir::default(), false);
        // Days 28 to 34 have the mean 31, and a straight line keeps it.
        assert_eq!(weeks[4].dli, Some(31.0));
        // The year is a ring: weeks 49, 50, 51 (of eight days), 0, 1.
        let ring = (346.0 + 2.0 * 353.0 + 3.0 * 360.5 + 2.0 * 3.0 + 10.0) / 9.0;
        assert!((weeks[51].dli.unwrap() - ring).abs() < 1e-9);
        assert_eq!(weeks[5].clear_peak_ppfd, Some(50.0));
        assert_eq!(weeks[0].one_sided, Some(0.4));
        assert_eq!(weeks[0].sky_view, 0.7);
        assert_eq!(weeks[3].upright_dli, Some(3.0));
    }

    #[test]
    fn one_odd_week_of_the_typical_year_is_not_expected_every_year() {
        let mut weeks = vec![
            AirWeek {
                night_c: 10.0,
                day_night_k: 8.0,
                day_c: 16.0,
                night_means_c: vec![9.0, 11.0],
                day_night_means_k: vec![7.0, 9.0],
                ..AirWeek::default()
            };
            WEEKS
        ];
        weeks[20].night_c = 3.0;
        weeks[20].day_c = 10.0;
        weeks[20].device_warm_k = 4.0;
        let air = SpotAir {
            weeks,
            ..SpotAir::default()
        };
        let week = spot_weeks(&SpotLight::default(), &air, true)[20]
            .air
            .clone()
            .unwrap();
        assert_eq!(
            (week.night_c, week.day_night_k, week.max_c),
            (10.0, 8.0, 18.0)
        );
        assert_eq!(week.day_c, 14.0);
        assert_eq!(week.device_warm_k, 4.0);
    }

    #[test]
    fn the_band_of_light_holds_weather_and_model() {
        let with = |dli: Vec<f32>, log_sd| {
            let light = SpotLight {
                dli,
                correction: LightCorrection {
                    log_sd,
                    ..LightCorrection::default()
                },
                ..SpotLight::default()
            };
            spot_weeks(&light, &SpotAir::default(), false)[20]
                .dli_band
                .unwrap()
        };
        let even = vec![10.0; DAYS];
        let uneven: Vec<f32> = (0..DAYS)
            .map(|d| if d % 2 == 0 { 4.0 } else { 16.0 })
            .collect();
        assert_eq!(with(even.clone(), 0.0), (10.0, 10.0));
        // Lognormal: ten exp(±1.2816 × 0.2).
        let (low, high) = with(even, 0.2);
        assert!((low - 7.739).abs() < 0.005 && (high - 12.921).abs() < 0.005);
        let (wide_low, wide_high) = with(uneven, 0.2);
        assert!(wide_low < low && wide_high > high);
    }
}
