//! Water and ice in the evening, against handbook heats and bounds.

use sillward::{
    air::{
        cooler::{self, Question},
        evening::{
            Measure, NightHour, Wetting, depth_k, ice_heat_j, iced_pot, layer_m, misted_leaves,
            watered_pot, wet_floor,
        },
        psychrometrics as p,
    },
    base::{Id, Progress, Pt},
    needs::Leaf,
    site::{Building, Pot, PotMaterial, Site},
};

use super::fixture::{World, near, rectangle, spot_at};

const LEAF: Leaf = Leaf {
    width_m: 0.05,
    conductance_mol_m2_s: 0.05,
};

fn night(air_c: f64, rh_pct: f64, speed_m_s: f64) -> Vec<NightHour> {
    vec![
        NightHour {
            air_c,
            vapour_kpa: p::vapour_kpa(air_c, rh_pct),
            speed_m_s,
            sky_c: air_c,
            sky_view: 0.0,
        };
        15
    ]
}

fn most(values: &[f64]) -> f64 {
    values.iter().copied().fold(0.0, f64::max)
}

/// Heat of melting 333.6 kJ/kg, water 4.19 kJ/(kg K) (handbook values): 100 g melted and warmed to 15 °C takes 39.6 kJ. In a
/// closed pot of 2 L at 2.0 MJ/(m³ K) that is 9.9 K and no more, and with the room's warmth coming in less.
#[test]
fn validate_ice_by_its_heat() {
    near(ice_heat_j(0.1, 15.0), 39.6e3, 150.0);
    let pot = Pot {
        rim_cm: 16.0,
        height_cm: 15.0,
        ..Pot::default()
    };
    let closed_k = 39.6e3 / (2.0e3 * pot.volume_l());
    // Dry enough that no dew settles on the cold pot.
    let hours = night(15.0, 40.0, 0.1);
    let iced = iced_pot(&hours, &pot, 0.1);
    let fall = most(&iced.root_k);
    assert!(fall < closed_k, "{fall} of {closed_k}");
    // A body with one capacity: P/UA (1 - e^(-t/τ)), mean of the third hour; 4 + 4 v and 0.94 · 4 σ T³ a square metre.
    let area = std::f64::consts::PI * (0.25 * 0.16 * 0.16 + 0.875 * 0.16 * 0.15);
    let hold = area * (4.4 + 0.94 * 4.0 * 5.67e-8 * 286.5_f64.powi(3));
    let tau_h = 2.0e3 * pot.volume_l() / hold / 3600.0;
    let left = tau_h * ((-2.0 / tau_h).exp() - (-3.0 / tau_h).exp());
    near(fall, 39.6e3 / (3.0 * 3600.0) / hold * (1.0 - left), 0.15);
    assert!(most(&iced.air_k) == 0.0 && most(&iced.leaf_k) == 0.0);
    // By morning the pot is as warm as ever.
    assert!(iced.root_k[14] < 0.35 * fall, "{:?}", iced.root_k);
}

/// 15 °C and 60 %: wet bulb 10.8 °C (psychrometric chart at sea level).
#[test]
fn validate_no_water_cools_below_the_wet_bulb() {
    let hours = night(15.0, 60.0, 0.5);
    near(depth_k(&hours[0]), 15.0 - 10.8, 0.15);
    for rh in [30.0, 60.0, 90.0, 100.0] {
        for speed in [0.0, 0.3, 3.0] {
            let hours = night(18.0, rh, speed);
            let bound = depth_k(&hours[0]);
            let warm = Wetting {
                water_c: 40.0,
                ..Wetting::default()
            };
            let clay = Pot {
                material: PotMaterial::Clay,
                ..Pot::default()
            };
            for (what, fall) in [
                ("floor", most(&wet_floor(&hours, &warm, 0.0, None).air_k)),
                ("pot", most(&watered_pot(&hours, &clay, 40.0).root_k)),
                ("leaf", most(&misted_leaves(&hours, &LEAF, 0.0).leaf_k)),
            ] {
                assert!(
                    fall >= 0.0 && fall <= bound + 0.05,
                    "{what} {rh} % {speed}: {fall} K, bound {bound}"
                );
            }
            if rh == 100.0 {
                assert!(bound < 1e-6);
            }
        }
    }
}

/// No more water evaporates than was given, and the air cannot have lost more heat than that takes.
#[test]
fn a_floor_spends_no_more_water_than_it_got() {
    let little = Wetting {
        litres_m2: 0.02,
        water_c: 18.0,
        ..Wetting::default()
    };
    let much = Wetting {
        litres_m2: 5.0,
        ..little
    };
    let hours = night(18.0, 40.0, 1.0);
    let (dry_soon, wet_long) = (
        wet_floor(&hours, &little, 0.2, None),
        wet_floor(&hours, &much, 0.2, None),
    );
    near(dry_soon.used_kg, 0.02, 1e-9);
    assert!(wet_long.used_kg > 0.1 && wet_long.used_kg < 5.0);
    assert!(wet_long.air_k[10] > dry_soon.air_k[10] + 0.02);
    // A larger wet floor reaches higher; well above the air that has met it nothing is felt.
    let wide = Wetting {
        area_m2: 100.0,
        ..much
    };
    assert!(
        most(&wet_floor(&hours, &wide, 0.5, None).air_k)
            > most(&wet_floor(&hours, &much, 0.5, None).air_k)
    );
    assert!(most(&wet_floor(&hours, &much, 2.0, None).air_k) < 0.01);
}

/// Wood 1982: 0.28 z0 (x/z0)^0.8, by hand for 1 cm of roughness: 0.11 m after 1 m, 0.70 m after 10 m.
#[test]
fn validate_depth_of_the_air_that_has_met_the_floor() {
    near(layer_m(1.0), 0.111, 0.001);
    near(layer_m(10.0), 0.703, 0.003);
}

#[test]
fn an_evening_study_is_honest_about_water_and_finds_colder_places() {
    let world = World::new();
    let mut site = Site::default();
    site.buildings.put(
        Id::new("house"),
        Building {
            outline: rectangle(0.0, 0.0, 6.0, 6.0),
            ..Building::default()
        },
    );
    let mut spot = spot_at(3.0, -0.4);
    spot.outline = vec![Pt(3.0, -0.4)];
    spot.height_m = 0.8;
    let light = world.open_light(0.5);
    let air = world.air_in(&site, &spot, &light);
    let id = Id::new("spot");
    let pot = Pot::default();
    let ask = |frost_c: Option<f64>| {
        cooler::nights(
            &world.inputs(),
            &site,
            (&id, &spot),
            &light,
            &air,
            &Question {
                month0: 7,
                wetting: Wetting::default(),
                pot: &pot,
                leaf: &LEAF,
                wanted_c: Some(13.0),
                frost_c,
            },
            &Progress::new(),
        )
        .unwrap()
        .unwrap()
    };
    let answer = ask(None);
    assert_eq!(answer.nights_of_month, 31);
    assert!(answer.wet_bulb_below_k > 0.5 && answer.wet_bulb_below_k < 4.0);
    for effect in &answer.effects {
        assert!(
            effect.air_most_k <= answer.wet_bulb_below_k + 0.5,
            "{effect:?}"
        );
        assert!(effect.air_at_low_k <= effect.air_most_k + 1e-9);
        assert!(effect.nights >= answer.nights);
    }
    let of = |m: Measure| answer.effects.iter().find(|e| e.measure == m).unwrap();
    // A patch of wet paving hardly reaches leaves 1.25 m up; ice is felt by roots alone.
    assert!(of(Measure::WetFloor).air_most_k < 0.3, "{answer:?}");
    assert!(of(Measure::Ice).air_most_k == 0.0 && of(Measure::Ice).root_most_k > 0.3);
    let change = |part: &str| {
        answer
            .elsewhere
            .iter()
            .find(|e| e.what.contains(part))
            .unwrap_or_else(|| panic!("{part}: {answer:?}"))
            .change_k
    };
    assert!(change("open sky") < -0.05);
    assert!(change("on the ground") < -0.02);
    assert!(change("from the wall") < 0.0);
    assert!(change("cold air gathers") < -0.3);
    // ISO 2533: 6.5 K a kilometre.
    near(change("300 m higher"), -1.95, 1e-9);
    assert!(
        answer
            .elsewhere
            .is_sorted_by(|a, b| a.change_k <= b.change_k)
    );
    // No place is named where the plant would be frosted.
    let limit_c = answer.elsewhere[0].coldest_leaf_c;
    let safe = ask(Some(limit_c));
    assert!(!safe.elsewhere.is_empty() && safe.elsewhere.len() < answer.elsewhere.len());
    assert!(safe.elsewhere.iter().all(|e| e.coldest_leaf_c > limit_c));
}
