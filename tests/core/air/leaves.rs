use sillward::{
    air::{
        leaf::{LeafPlace, dry_temperature_c, temperature_c},
        psychrometrics as p, sky_heat,
    },
    needs::Leaf,
};

use super::fixture::near;

const ORCHID: Leaf = Leaf {
    width_m: 0.05,
    conductance_mol_m2_s: 0.02,
};
const SOFT: Leaf = Leaf {
    width_m: 0.05,
    conductance_mol_m2_s: 0.3,
};

fn night(speed_m_s: f64, sky_view: f64, cloud: f64) -> LeafPlace {
    LeafPlace {
        air_c: 2.0,
        rh_pct: 90.0,
        speed_m_s,
        absorbed_w_m2: 0.0,
        sky_c: sky_heat::sky_c(2.0, p::vapour_kpa(2.0, 90.0), cloud),
        around_c: 2.0,
        sky_view,
        elevation_m: 0.0,
        day: false,
    }
}

/// Own reasoning: the balance solved apart from this program for a 5 cm leaf on which no dew settles.
#[test]
fn verify_leaf_below_air_on_a_night_of_2_c() {
    for (speed, view, cloud, expected) in [
        (0.1, 1.0, 0.0, -3.3),
        (0.5, 1.0, 0.0, -1.8),
        (2.0, 1.0, 0.0, -1.0),
        (0.1, 1.0, 0.5, -1.9),
        (0.5, 1.0, 0.5, -1.0),
        (2.0, 1.0, 0.5, -0.6),
        (0.1, 1.0, 1.0, -0.5),
        (2.0, 1.0, 1.0, -0.2),
        (0.1, 0.3, 0.0, -1.0),
        (0.5, 0.3, 0.0, -0.5),
        (2.0, 0.3, 0.0, -0.3),
    ] {
        let leaf = dry_temperature_c(&ORCHID, &night(speed, view, cloud)) - 2.0;
        near(leaf, expected, 0.15);
    }
}

#[test]
fn verify_dew_warms_the_leaf_but_not_beyond_the_air() {
    for speed in [0.1, 0.5, 2.0] {
        let place = night(speed, 1.0, 0.0);
        let (wet, dry) = (
            temperature_c(&ORCHID, &place),
            dry_temperature_c(&ORCHID, &place),
        );
        assert!(wet >= dry && wet < place.air_c, "{dry} {wet}");
    }
    // Frost on a leaf in air of 2 °C: the reason why the list of frosts goes by the leaf.
    assert!(temperature_c(&ORCHID, &night(0.1, 1.0, 0.0)) < 0.0);
}

/// Own reasoning, as above: 28 °C, 450 W/m² absorbed; humidity (40 %) and sky view (0.3) are assumed.
#[test]
fn verify_leaf_above_air_at_noon() {
    for (leaf, rows) in [
        (&ORCHID, [(0.1, 12.0), (0.5, 7.2), (2.0, 4.1)]),
        (&SOFT, [(0.1, 5.4), (0.5, 2.8), (2.0, 1.5)]),
    ] {
        for (speed_m_s, expected) in rows {
            let vapour = p::vapour_kpa(28.0, 40.0);
            let place = LeafPlace {
                air_c: 28.0,
                rh_pct: 40.0,
                speed_m_s,
                absorbed_w_m2: 450.0,
                sky_c: sky_heat::sky_c(28.0, vapour, 0.0),
                around_c: 28.0,
                sky_view: 0.3,
                elevation_m: 0.0,
                day: true,
            };
            near(temperature_c(leaf, &place) - 28.0, expected, 0.7);
        }
    }
}

#[test]
fn verify_limits_without_radiation() {
    let mut place = LeafPlace {
        air_c: 15.0,
        rh_pct: 100.0,
        speed_m_s: 0.2,
        absorbed_w_m2: 0.0,
        sky_c: 15.0,
        around_c: 15.0,
        sky_view: 0.7,
        elevation_m: 0.0,
        day: true,
    };
    near(temperature_c(&SOFT, &place), 15.0, 0.01);
    // Drier air cools a leaf with open stomata, but never to the wet bulb.
    place.rh_pct = 40.0;
    let leaf = temperature_c(&SOFT, &place);
    assert!(
        leaf < 14.8 && leaf > p::wet_bulb_c(15.0, 40.0, 0.0),
        "{leaf}"
    );
    // A storm holds it at the air's temperature whatever the sun.
    place.speed_m_s = 30.0;
    place.absorbed_w_m2 = 400.0;
    near(temperature_c(&ORCHID, &place), 15.0, 1.5);
}

#[test]
fn leaf_temperature_never_fails() {
    let leaf = Leaf {
        width_m: 0.0,
        conductance_mol_m2_s: 0.0,
    };
    for air_c in [-60.0, 0.0, 70.0] {
        for absorbed_w_m2 in [-5.0, 0.0, 5_000.0] {
            for speed_m_s in [0.0, 100.0] {
                let found = temperature_c(
                    &leaf,
                    &LeafPlace {
                        air_c,
                        rh_pct: 150.0,
                        speed_m_s,
                        absorbed_w_m2,
                        sky_c: -80.0,
                        around_c: 90.0,
                        sky_view: 2.0,
                        elevation_m: 9_000.0,
                        day: true,
                    },
                );
                assert!(found.is_finite() && (found - air_c).abs() <= 60.0);
            }
        }
    }
}
