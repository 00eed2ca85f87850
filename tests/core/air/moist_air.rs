use sillward::air::psychrometrics as p;

use super::fixture::near;

fn rows(text: &str) -> Vec<Vec<Option<f64>>> {
    text.lines()
        .skip(1)
        .map(|line| line.split(',').map(|cell| cell.parse().ok()).collect())
        .collect()
}

/// PsychroLib 2.5.0 (ASHRAE Fundamentals 2017); see `tests/reference/air`.
#[test]
fn validate_moist_air_against_psychrolib() {
    let table = rows(include_str!("../../reference/air/moist_air.csv"));
    assert_eq!(table.len(), 198);
    let close = |value: f64, expected: f64, share: f64| {
        near(value, expected, share * expected.abs());
    };
    for row in table {
        let [t, rh, z] = [row[0], row[1], row[2]].map(Option::unwrap);
        close(1000.0 * p::saturation_kpa(t), row[3].unwrap(), 0.0015);
        let e = p::vapour_kpa(t, rh);
        let pressure = p::pressure_kpa(z);
        if let Some(dew) = row[4] {
            near(p::dew_point_c(e), dew, 0.05);
        }
        if let Some(wet) = row[5] {
            near(p::wet_bulb_c(t, rh, z), wet, 0.04);
        }
        // The library's saturation carries an enhancement of 0.4 % into the humidity ratio at 50 °C.
        close(p::humidity_ratio(e, pressure), row[6].unwrap(), 0.005);
        close(p::density_kg_m3(t, e, pressure), row[7].unwrap(), 0.001);
        close(1000.0 * pressure, row[8].unwrap(), 0.0001);
    }
}

/// MetPy 1.7.1 (Ambaum 2020, over liquid water); see `tests/reference/air`.
#[test]
fn validate_saturation_over_water_against_metpy() {
    for row in rows(include_str!("../../reference/air/over_water.csv")) {
        let (t, e) = (row[0].unwrap(), row[1].unwrap());
        near(1000.0 * p::saturation_kpa(t), e, 0.004 * e);
    }
}

/// Usual handbook values: wet bulb and dew point at 20 °C and 50 %, deficit at 30 °C and 30 %.
#[test]
fn validate_handbook_values() {
    near(p::wet_bulb_c(20.0, 50.0, 0.0), 13.8, 0.1);
    near(p::dew_point_c(p::vapour_kpa(20.0, 50.0)), 9.3, 0.05);
    near(p::vpd_kpa(20.0, 50.0), 1.17, 0.01);
    near(p::vpd_kpa(30.0, 30.0), 2.97, 0.01);
    near(p::vpd_kpa(20.0, 100.0), 0.0, 1e-12);
    // Cold outer air warmed in a room: from 0 °C and 80 % to 20 °C (worked out with FAO-56 eq. 11: 20.9 %).
    near(p::rh_pct(20.0, p::vapour_kpa(0.0, 80.0)), 20.9, 0.2);
}

#[test]
fn verify_limits_of_the_wet_bulb() {
    for t in [-10.0, 0.0, 20.0, 45.0] {
        near(p::wet_bulb_c(t, 100.0, 0.0), t, 0.01);
        let mut last = f64::NEG_INFINITY;
        for rh in [5.0, 20.0, 50.0, 80.0, 100.0] {
            let wet = p::wet_bulb_c(t, rh, 300.0);
            assert!(wet > last && wet <= t + 0.01);
            assert!(wet >= p::dew_point_c(p::vapour_kpa(t, rh)) - 0.01);
            last = wet;
        }
    }
}

#[test]
fn vapour_in_a_cubic_metre_goes_both_ways() {
    let held = p::vapour_kg_m3(20.0, 1.17);
    // 8.6 g/m³ at 20 °C and 50 %: handbook value.
    near(1000.0 * held, 8.65, 0.05);
    near(p::vapour_from_kg_m3_kpa(20.0, held), 1.17, 1e-12);
}
