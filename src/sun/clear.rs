//! What the sun gives through cloudless air.

/// Irradiance under a cloudless sky, W/m².
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ClearSky {
    /// Global, on the level.
    pub global_w_m2: f64,
    /// Beam, square to the sun.
    pub beam_w_m2: f64,
    /// From the sky, on the level.
    pub sky_w_m2: f64,
}

/// Optical air mass by that of the zenith at sea level: Kasten & Young 1989, times the pressure of the elevation.
/// Takes the apparent elevation of the sun; below the horizon it is that of the horizon (about 38).
#[must_use]
pub fn air_mass(sun_elevation_rad: f64, elevation_m: f64) -> f64 {
    relative_air_mass(sun_elevation_rad) * pressure_hpa(elevation_m) / 1013.25
}

/// Air mass by that of the zenith at the same place.
#[must_use]
pub fn relative_air_mass(sun_elevation_rad: f64) -> f64 {
    let elevation_deg = sun_elevation_rad.to_degrees().clamp(0.0, 90.0);
    1.0 / (elevation_deg.to_radians().sin() + 0.505_72 * (elevation_deg + 6.079_95).powf(-1.6364))
}

/// Pressure of the standard atmosphere (ISO 2533), hPa.
#[must_use]
pub fn pressure_hpa(elevation_m: f64) -> f64 {
    1013.25 * (1.0 - 2.255_77e-5 * elevation_m.clamp(-500.0, 9000.0)).powf(5.255_88)
}

/// Clear-sky irradiance of Ineichen & Perez 2002 (Solar Energy 73:151), without their later factor for high air
/// mass. Zero when the sun is down. Errors about 5 % of global at a site whose turbidity is known.
///
/// `turbidity_linke` is that of air mass 2: 2 very clean and cold, 3 clean, 5 humid or hazy.
#[must_use]
pub fn irradiance(
    elevation_m: f64,
    sun_elevation_rad: f64,
    extraterrestrial_w_m2: f64,
    turbidity_linke: f64,
) -> ClearSky {
    let cos_zenith = sun_elevation_rad.sin();
    if cos_zenith <= 0.0 {
        return ClearSky::default();
    }
    let air_mass = air_mass(sun_elevation_rad, elevation_m);
    let turbidity = turbidity_linke.max(1.0);
    let elevation_m = elevation_m.clamp(-500.0, 9000.0);
    let fh1 = (-elevation_m / 8000.0).exp();
    let fh2 = (-elevation_m / 1250.0).exp();
    let cg1 = 5.09e-5 * elevation_m + 0.868;
    let cg2 = 3.92e-5 * elevation_m + 0.0387;
    let global = cg1
        * extraterrestrial_w_m2
        * cos_zenith
        * (-cg2 * air_mass * (fh1 + fh2 * (turbidity - 1.0))).exp();

    let b = 0.664 + 0.163 / fh1;
    let beam = extraterrestrial_w_m2 * b * (-0.09 * air_mass * (turbidity - 1.0)).exp();
    let limit = global
        * ((1.0 - (0.1 - 0.2 * (-turbidity).exp()) / (0.1 + 0.882 / fh1)) / cos_zenith).max(0.0);
    let beam = beam.min(limit);
    ClearSky {
        global_w_m2: global,
        beam_w_m2: beam,
        sky_w_m2: (global - beam * cos_zenith).max(0.0),
    }
}
