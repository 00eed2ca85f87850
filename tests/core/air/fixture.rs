//! An invented year of plain sines, so that each test knows what the open air is.

use std::f64::consts::{PI, TAU};

use sillward::{
    air::{AirInputs, SpotAir, spots_year},
    base::{
        Id, Progress, Pt,
        calendar::{DAYS, HOURS},
    },
    climate::{FilledNormals, TypicalYear, Weather, WeatherYears},
    light::{LightFactors, SpotLight},
    site::{Place, Site, Spot},
    sun::{SunDay, SunTable},
};

pub struct World {
    pub place: Place,
    pub sun: SunTable,
    pub weather: Weather,
}

/// Daily mean of the invented open air, °C: 1 in mid January, 19 in mid July.
pub fn day_mean_c(day: usize) -> f64 {
    10.0 - 9.0 * (TAU * (day as f64 - 15.0) / 365.0).cos()
}

/// Every third day is clear, the next mixed, the next dull.
fn cloud_of(day: usize) -> f64 {
    [0.0, 0.77, 1.0][day % 3]
}

fn clearness_of(day: usize) -> f64 {
    [0.75, 0.5, 0.25][day % 3]
}

impl World {
    /// 47.4° N, 400 m; days 4 K about their mean, wind 2 m/s, humidity 75 %.
    pub fn new() -> Self {
        let place = Place {
            latitude_deg: 47.4,
            longitude_deg: 8.5,
            elevation_m: 400.0,
            ..Place::default()
        };
        let sun = plain_sun(place.latitude_deg);
        let mut typical = TypicalYear::default();
        for h in 0..HOURS {
            let (day, clock) = (h / 24, (h % 24) as f64 + 0.5);
            let air = day_mean_c(day) - 4.0 * (TAU * (clock - 3.5) / 24.0).cos();
            let elevation = f64::from(sun.elevation_rad[h]);
            let outside = 1361.0 * elevation.sin().max(0.0) * f64::from(sun.up_share[h]);
            let global = clearness_of(day) * outside;
            let beam_share = [0.8, 0.4, 0.0][day % 3];
            typical.air_c.push(air as f32);
            typical.rh_pct.push(75.0);
            typical.wind_m_s.push(2.0);
            typical.global_w_m2.push(global as f32);
            let level = global * beam_share;
            typical
                .beam_w_m2
                .push((level / elevation.sin().max(0.1)) as f32);
            typical.sky_w_m2.push((global - level) as f32);
            typical.cloud.push(cloud_of(day) as f32);
        }
        typical.rain_mm = vec![2.0; DAYS];
        let count = 40;
        let mut years = WeatherYears {
            years: count,
            ..WeatherYears::default()
        };
        for year in 0..count {
            // Years run from 3 K colder to 3 K warmer than usual.
            let shift = 6.0 * (year as f64 + 0.5) / count as f64 - 3.0;
            for day in 0..DAYS {
                years
                    .night_min_c
                    .push((day_mean_c(day) - 4.0 + shift) as f32);
                years.day_max_c.push((day_mean_c(day) + 4.0 + shift) as f32);
                years.clearness.push(clearness_of(day) as f32);
                years.rain_mm.push(2.0);
                years.wind_m_s.push(2.0);
            }
        }
        let normals = FilledNormals {
            night_min_sd_k: [3.5; 12],
            day_max_sd_k: [3.5; 12],
            ..FilledNormals::default()
        };
        Self {
            place,
            sun,
            weather: Weather {
                normals,
                typical,
                years,
                methods: Vec::new(),
            },
        }
    }

    pub fn inputs(&self) -> AirInputs<'_> {
        AirInputs {
            place: &self.place,
            sun: &self.sun,
            weather: &self.weather,
        }
    }

    /// Air at one spot of a site, with a light of that sky view and no sun.
    pub fn air(&self, site: &Site, spot: &Spot, sky_view: f64) -> SpotAir {
        self.air_in(site, spot, &light(sky_view))
    }

    pub fn air_in(&self, site: &Site, spot: &Spot, light: &SpotLight) -> SpotAir {
        let id = Id::new("spot");
        let all = spots_year(
            &self.inputs(),
            site,
            &[(&id, spot)],
            std::slice::from_ref(light),
            &Progress::new(),
        );
        all.unwrap().remove(0)
    }

    /// Light of the open: all sun and sky of the year on the level.
    pub fn open_light(&self, sky_view: f64) -> SpotLight {
        let typical = &self.weather.typical;
        let mut all = light(sky_view);
        for h in 0..HOURS {
            let sky = typical.sky_w_m2[h];
            all.sky_ppfd.push(sky * 2.20 * sky_view as f32);
            all.beam_ppfd.push((typical.global_w_m2[h] - sky) * 2.02);
            all.reflected_ppfd.push(0.0);
            all.sunlit.push(1.0);
        }
        all
    }
}

pub fn light(sky_view: f64) -> SpotLight {
    SpotLight {
        factors: vec![
            LightFactors {
                sky_view_plain: sky_view,
                sky_view_cosine: sky_view,
                ..LightFactors::default()
            };
            12
        ],
        ..SpotLight::default()
    }
}

pub fn spot_at(x: f64, y: f64) -> Spot {
    Spot {
        outline: vec![Pt(x, y)],
        ..Spot::default()
    }
}

pub fn rectangle(x0: f64, y0: f64, x1: f64, y1: f64) -> Vec<Pt> {
    vec![Pt(x0, y0), Pt(x1, y0), Pt(x1, y1), Pt(x0, y1)]
}

/// A sun good to a degree, with noon at 12.
fn plain_sun(latitude_deg: f64) -> SunTable {
    let mut sun = SunTable::default();
    let latitude = latitude_deg.to_radians();
    for day in 0..DAYS {
        let declination = (-23.44_f64).to_radians() * (TAU * (day as f64 + 10.0) / 365.0).cos();
        let half = (-latitude.tan() * declination.tan()).acos() * 12.0 / PI;
        sun.days.push(SunDay {
            rise_h: Some(12.0 - half),
            set_h: Some(12.0 + half),
            transit_h: 12.0,
            length_h: 2.0 * half,
        });
        sun.extraterrestrial_w_m2.push(1361.0);
        for hour in 0..24 {
            let angle = (f64::from(hour) + 0.5 - 12.0) * PI / 12.0;
            let sine = latitude.sin() * declination.sin()
                + latitude.cos() * declination.cos() * angle.cos();
            let x = -declination.cos() * angle.sin();
            let y = declination.sin() * latitude.cos()
                - declination.cos() * latitude.sin() * angle.cos();
            sun.azimuth_rad.push(x.atan2(y).rem_euclid(TAU) as f32);
            sun.elevation_rad.push(sine.asin() as f32);
            sun.up_share.push(if sine > 0.0 { 1.0 } else { 0.0 });
        }
    }
    sun
}

pub fn near(value: f64, expected: f64, tolerance: f64) {
    assert!(
        (value - expected).abs() <= tolerance,
        "{value} is not {expected} ± {tolerance}"
    );
}
