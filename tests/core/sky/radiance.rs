//! Clear and all-weather skies against reference libraries and closed forms.

use std::f64::consts::{FRAC_PI_2, PI};

use sillward::{
    base::{Progress, calendar::Day},
    climate::weather,
    site::{Climate, Place},
    sky::{Patch, SkyYear, clear, overcast, patch_radiance, reinhart},
    sun::{
        SunPosition, SunTable,
        extraterrestrial::{SOLAR_CONSTANT_W_M2, distance_factor},
    },
};

use super::tables::{number, table};
use crate::accuracy::{Check, hold_all};

#[test]
fn validate_clear_skies_against_a_general_library() {
    let mut parts: [Vec<(f64, String)>; 3] = Default::default();
    for row in table("sky/clear.csv") {
        let v: Vec<f64> = row.iter().map(|cell| number(cell)).collect();
        let elevation_rad = (90.0 - v[2]).to_radians();
        let sky = clear::irradiance(v[0], elevation_rad, 1361.1, v[1]);
        let ours = [sky.global_w_m2, sky.beam_w_m2, sky.sky_w_m2];
        for ((part, ours), theirs) in parts.iter_mut().zip(ours).zip(&v[3..6]) {
            part.push((
                100.0 * (ours - theirs) / theirs.max(50.0),
                format!("{row:?}"),
            ));
        }
    }
    let by = "Ineichen & Perez 2002 by pvlib 0.16.1";
    // The pressures of the elevation differ a little at 4,000 m.
    let check = |what| Check::new("Sky", what, by, (0.6, "%"));
    hold_all([
        check("clear sky, global").found(&parts[0]),
        check("clear sky, beam").found(&parts[1]),
        check("clear sky, from the sky").found(&parts[2]),
    ]);
}

#[test]
fn validate_all_weather_skies_patch_by_patch() {
    let patches = reinhart();
    let expected = table("sky/perez.csv");
    assert_eq!(expected.len(), patches.len());
    let mut off = Vec::new();
    for (column, sky) in table("sky/skies.csv").iter().enumerate() {
        let v: Vec<f64> = sky.iter().map(|cell| number(cell)).collect();
        let day = sillward::base::MonthDay::new(v[0] as u8, v[1] as u8)
            .map_or(Day::new(0), |date| date.day_of_year());
        let position = SunPosition {
            azimuth_rad: v[2].atan2(v[3]).rem_euclid(2.0 * PI),
            elevation_rad: v[4].asin(),
        };
        let outside = SOLAR_CONSTANT_W_M2 * distance_factor(day.index());
        let ours = patch_radiance(&patches, position, v[5], v[6], outside);
        let theirs: Vec<f64> = expected.iter().map(|row| number(&row[column])).collect();
        let level: f64 = theirs
            .iter()
            .zip(&patches)
            .map(|(l, patch)| l * patch.level_weight_sr())
            .sum();
        assert!((level / v[6] - 1.0).abs() < 0.005, "{sky:?}: {level}");
        for (i, (a, b)) in ours.iter().zip(&theirs).enumerate() {
            let share = (f64::from(*a) - b) / b.max(5.0);
            off.push((100.0 * share, format!("{sky:?}, patch {i}: {a} for {b}")));
        }
    }
    let by = "Perez, Seals & Michalsky 1993 by gendaymtx of Radiance 5.4, twelve skies";
    Check::new("Sky", "radiance of 577 patches", by, (3.0, "%"))
        .mean_within(0.5)
        .hold(&off);
}

/// Irradiance of a plane from the patches in front of it.
fn on_plane(patches: &[Patch], radiance: &[f32], normal: glam::DVec3) -> f64 {
    patches
        .iter()
        .zip(radiance)
        .map(|(p, l)| p.direction.dot(normal).max(0.0) * p.solid_angle_sr * f64::from(*l))
        .sum()
}

#[test]
fn validate_the_overcast_sky_against_closed_forms() {
    let patches = reinhart();
    let sky = overcast(&patches);
    let level = on_plane(&patches, &sky, glam::DVec3::Z);
    assert!((level - 1.0).abs() < 1e-5);
    // Zenith by level irradiance: 9/(7π) (Moon & Spencer 1942).
    let zenith = f64::from(sky[576]);
    assert!((zenith * 7.0 * PI / 9.0 - 1.0).abs() < 0.003, "{zenith}");
    // An upright plane gets (3/7)(1/2 + 4/(3π)) of the level one: integral of (1 + 2 sin g)/3 by hand.
    let expected = 3.0 / 7.0 * (0.5 + 4.0 / (3.0 * PI));
    for azimuth in [0.0, 1.0, FRAC_PI_2, 4.0_f64] {
        let normal = glam::DVec3::new(azimuth.sin(), azimuth.cos(), 0.0);
        let upright = on_plane(&patches, &sky, normal);
        assert!((upright / expected - 1.0).abs() < 0.005, "{upright}");
    }
}

#[test]
fn verify_skies_of_the_year_add_up() {
    let place = Place {
        latitude_deg: 60.2,
        longitude_deg: 25.0,
        time_zone: "Europe/Helsinki".to_owned(),
        ..Place::default()
    };
    let sun = SunTable::of(&place);
    let typical = weather(&place, &Climate::default(), &sun, &Progress::new())
        .unwrap()
        .typical;
    let sky = SkyYear::of(&place, &sun, &typical);
    let mut daylight = 0;
    for hour in 0..8760 {
        match sky.hour(hour) {
            None => assert_eq!(typical.sky_w_m2[hour], 0.0),
            Some(row) => {
                daylight += 1;
                assert!(row.iter().all(|l| l.is_finite() && *l >= 0.0));
                let level = on_plane(&sky.patches, row, glam::DVec3::Z);
                let wanted = f64::from(typical.sky_w_m2[hour]);
                assert!((level / wanted - 1.0).abs() < 1e-4, "{hour}: {level}");
            }
        }
    }
    assert!(daylight > 4300, "{daylight}");
}

#[test]
fn odd_skies_do_not_fail() {
    let patches = reinhart();
    for (elevation_rad, beam, sky) in [
        (-0.2, 0.0, 5.0),
        (0.0, 900.0, 1e-6),
        (FRAC_PI_2, 1100.0, 10.0),
        (0.02, 0.0, 400.0),
        (0.5, -3.0, 100.0),
    ] {
        let position = SunPosition {
            azimuth_rad: 3.0,
            elevation_rad,
        };
        let row = patch_radiance(&patches, position, beam, sky, 1361.0);
        assert!(row.iter().all(|l| l.is_finite() && *l >= 0.0));
        let level = on_plane(&patches, &row, glam::DVec3::Z);
        assert!((level / sky - 1.0).abs() < 1e-3, "{level} {sky}");
    }
}
