//! How often something comes in a week, counted over the weather years.

use crate::{
    base::{Week, calendar::DAYS},
    climate::WeatherYears,
};

/// Share of years in which some night of the week is at or below a limit in the open, 0..=1; `None` without years.
#[must_use]
pub fn cold_night_share(years: &WeatherYears, week: Week, limit_c: f64) -> Option<f64> {
    share(years, week, |nights| {
        nights
            .iter()
            .copied()
            .fold(f32::INFINITY, f32::min)
            .le(&(limit_c as f32))
    })
}

/// Share of years in which the nights of the week are on average above a limit in the open, 0..=1.
#[must_use]
pub fn warm_nights_share(years: &WeatherYears, week: Week, limit_c: f64) -> Option<f64> {
    share(years, week, |nights| {
        let mean = nights.iter().sum::<f32>() / nights.len() as f32;
        f64::from(mean) > limit_c
    })
}

fn share(years: &WeatherYears, week: Week, meets: impl Fn(&[f32]) -> bool) -> Option<f64> {
    let mut counted = 0_u32;
    let mut met = 0_u32;
    for year in years.night_min_c.chunks_exact(DAYS) {
        let nights = year.get(week.days()).filter(|n| !n.is_empty())?;
        counted += 1;
        met += u32::from(meets(nights));
    }
    (counted > 0).then(|| f64::from(met) / f64::from(counted))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_are_counted_over_years() {
        let mut years = WeatherYears {
            years: 4,
            night_min_c: vec![5.0; 4 * DAYS],
            ..WeatherYears::default()
        };
        let week = Week::new(3);
        let hit = years.at(2, week.days().start + 1);
        years.night_min_c[hit] = -1.0;
        assert_eq!(cold_night_share(&years, week, 0.0), Some(0.25));
        assert_eq!(cold_night_share(&years, Week::new(4), 0.0), Some(0.0));
        assert_eq!(warm_nights_share(&years, week, 4.5), Some(0.75));
        assert_eq!(cold_night_share(&WeatherYears::default(), week, 0.0), None);
    }
}
