//! What any grower would expect of a year's plan, on invented weather and three invented spots: out after the frosts,
//! in before them, a bright cool place for buds.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};
use sillward::{
    air::AirWeek,
    base::{Hemisphere, Id, Progress, Table, Week},
    needs::Kind,
    planner::{Plan, PlanInputs, plan},
    scoring::{Scores, SpotWeek},
    site::{Holds, Pin, Place, Plant, Room, RoomAir, Site, Spot},
};

/// Weather of a place with frosty winters; `indoors` lifts and evens it out.
fn week(hemisphere: Hemisphere, week: Week, spot: &str) -> SpotWeek {
    let northern = match hemisphere {
        Hemisphere::North => week.index() as f64,
        Hemisphere::South => week.plus(26).index() as f64,
    };
    // -1 in mid-January to 1 in mid-July.
    let warmth = -(std::f64::consts::TAU * (northern - 2.0) / 52.0).cos();
    let light = -(std::f64::consts::TAU * (northern + 1.5) / 52.0).cos();
    let (night, day) = (6.5 + 8.0 * warmth, 14.0 + 11.0 * warmth);
    let (night_c, day_c, dli, rh, speed, indoors) = match spot {
        "bench" => (night, day, 12.0 + 8.0 * light, 65.0, 0.8, false),
        "porch" => (
            (night + 4.0).max(6.0),
            day + 5.0,
            9.0 + 4.0 * light,
            60.0,
            0.15,
            true,
        ),
        _ => (
            17.0_f64.max(night + 4.0),
            21.0_f64.max(day + 2.0),
            4.5 + 2.0 * light,
            42.0,
            0.1,
            true,
        ),
    };
    // 50 years: the coldest night of a week lies 1 to 8 K under the mean night outdoors.
    let coldest: Vec<f32> = (0..50)
        .map(|year| {
            (night_c
                - if indoors {
                    1.0
                } else {
                    8.0 - 7.0 * f64::from(year) / 49.0
                }) as f32
        })
        .collect();
    SpotWeek {
        dli: Some(dli),
        upright_dli: Some(0.9 * dli),
        dli_band: Some((0.8 * dli, 1.2 * dli)),
        clear_peak_ppfd: Some(45.0 * dli),
        clear_sun_h: Some(4.0),
        one_sided: Some(if indoors { 0.6 } else { 0.1 }),
        air: Some(AirWeek {
            day_c,
            max_c: day_c + 2.0,
            night_c,
            day_night_k: day_c + 2.0 - night_c,
            rh_day_pct: rh,
            rh_pct: rh + 5.0,
            vpd_kpa: 0.9,
            speed_m_s: speed,
            coldest_leaf_c: coldest.clone(),
            coldest_air_c: coldest,
            night_means_c: (0..50)
                .map(|y| (night_c - 2.0 + 0.08 * f64::from(y)) as f32)
                .collect(),
            hottest_air_c: (0..50)
                .map(|y| (day_c + 4.0 + 0.08 * f64::from(y)) as f32)
                .collect(),
            day_night_means_k: vec![(day_c + 2.0 - night_c) as f32; 50],
            et0_mm_d: if indoors { 1.0 } else { 2.5 + 1.5 * warmth },
            ..AirWeek::default()
        }),
        night_sd_k: 1.0,
        roots_over_air_k: None,
        indoors,
        sky_view: if indoors { 0.1 } else { 0.8 },
    }
}

pub struct Case {
    pub site: Site,
    weeks: BTreeMap<Id, Vec<SpotWeek>>,
    pub scores: Scores,
}

impl Case {
    pub fn new(latitude_deg: f64, plants: &[(&str, &str)]) -> Self {
        let mut site = Site {
            place: Place {
                latitude_deg,
                ..Place::default()
            }
            .into(),
            ..Site::default()
        };
        let room = |air| Room {
            air,
            ..Room::default()
        };
        site.rooms = Table::from_iter([
            (Id::new("living"), room(RoomAir::default())),
            (
                Id::new("porch-room"),
                room(RoomAir::Unheated {
                    frost_guard_c: Some(5.0),
                    shared_with_house: 0.3,
                    aired_above_c: Some(20.0),
                }),
            ),
        ]);
        let spot = |name: &str, room: Option<&str>, x: f64| Spot {
            name: name.to_owned(),
            room: room.map(Id::new),
            outline: vec![sillward::base::Pt(x, 0.0)],
            holds: Holds {
                pots: 3,
                rim_cm: 30.0,
            },
            ..Spot::default()
        };
        site.spots = Table::from_iter([
            (Id::new("bench"), spot("Bench", None, 0.0)),
            (Id::new("porch"), spot("Porch", Some("porch-room"), 6.0)),
            (Id::new("sill"), spot("Sill", Some("living"), 12.0)),
        ]);
        site.plants = plants
            .iter()
            .map(|(id, kind)| {
                let plant = Plant {
                    name: (*id).to_owned(),
                    kind: Id::new(kind),
                    stands: Some(Id::new("porch")),
                    ..Plant::default()
                };
                (Id::new(id), plant)
            })
            .collect();
        let hemisphere = site.hemisphere();
        let weeks: BTreeMap<Id, Vec<SpotWeek>> = site
            .spots
            .ids()
            .map(|id| {
                (
                    id.clone(),
                    Week::all()
                        .map(|w| week(hemisphere, w, id.as_str()))
                        .collect(),
                )
            })
            .collect();
        let kinds: Vec<(Id, &Kind)> = site
            .plants
            .iter()
            .map(|(id, p)| {
                (
                    id.clone(),
                    site.kind(&p.kind).expect("a kind of the library"),
                )
            })
            .collect();
        let rows: Vec<(Id, &[SpotWeek])> = weeks
            .iter()
            .map(|(id, w)| (id.clone(), w.as_slice()))
            .collect();
        let scores = Scores::of(&kinds, hemisphere, &rows);
        Self {
            site,
            weeks,
            scores,
        }
    }

    pub fn spot_weeks(&self) -> BTreeMap<Id, &[SpotWeek]> {
        self.weeks
            .iter()
            .map(|(id, w)| (id.clone(), w.as_slice()))
            .collect()
    }

    pub fn plan(&self, from: NaiveDate, warm: Option<&Plan>) -> Plan {
        let inputs = PlanInputs {
            site: &self.site,
            scores: &self.scores,
            spot_weeks: self.spot_weeks(),
            from,
        };
        plan(&inputs, warm, &Progress::new()).expect("pins that can be")
    }
}

pub fn date(y: i32, m: u32, d: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(y, m, d).expect("a date")
}

/// The spot in the middle of a month of the planned year.
fn in_month(plan: &Plan, plant: &str, month: u32) -> String {
    let week = (0..52)
        .find(|w| {
            let day = plan.date_of_week(*w);
            day.month() == month && day.day() >= 10
        })
        .expect("every month is planned");
    plan.spot_of(&Id::new(plant), week)
        .expect("there is room")
        .to_string()
}

#[test]
fn tender_plants_go_out_after_the_frosts_and_come_in_before_them() {
    let case = Case::new(
        45.0,
        &[
            ("cym", "cymbidium-standard"),
            ("lemon", "lemon"),
            ("hib", "hibiscus"),
        ],
    );
    let plan = case.plan(date(2026, 11, 25), None);
    assert!(plan.solution.without_room.is_empty());
    for plant in ["cym", "lemon", "hib"] {
        if plant != "hib" {
            // The hibiscus likes the hot porch as well.
            assert_eq!(
                in_month(&plan, plant, 7),
                "bench",
                "{plant}: {:#?}",
                plan.moves
            );
        }
        for month in [12, 1, 2] {
            assert_ne!(
                in_month(&plan, plant, month),
                "bench",
                "{plant} in month {month}"
            );
        }
        // Never outdoors in a week in which leaves freeze more than one year in ten.
        let kind = case
            .site
            .kind(&case.site.plants.get(&Id::new(plant)).unwrap().kind)
            .unwrap();
        let limit = kind.damage.leaf_frost_c.value;
        for w in 0..52 {
            let calendar = plan.calendar_week(w);
            let here = plan.spot_of(&Id::new(plant), w).unwrap();
            let air = case.weeks[here][calendar.index()].air.clone().unwrap();
            assert!(
                air.frost_chance(limit) <= 0.1,
                "{plant} on {here} in week {calendar:?}"
            );
        }
    }
    // A cymbidium in bud wants it cool: not on the warm sill.
    assert_eq!(in_month(&plan, "cym", 12), "porch");
    assert_eq!(in_month(&plan, "cym", 1), "porch");
    for m in &plan.moves {
        assert!(m.reason.contains("scores"), "no score in {:?}", m.reason);
        assert!(m.date >= plan.date_of_week(m.week) && m.date < plan.date_of_week(m.week + 1));
    }
    assert!(
        plan.moves
            .iter()
            .any(|m| m.from == Some(Id::new("bench")) && !m.cautions.is_empty()),
        "coming in, pests are looked for"
    );
    assert_eq!(plan, case.plan(date(2026, 11, 25), None), "not repeatable");
}

#[test]
fn the_south_is_the_north_half_a_year_later() {
    let south = Case::new(-40.0, &[("cym", "cymbidium-standard")]);
    let plan = south.plan(date(2026, 11, 25), None);
    assert_eq!(in_month(&plan, "cym", 1), "bench");
    assert_ne!(in_month(&plan, "cym", 7), "bench");
}

#[test]
fn pins_absences_and_closed_months_are_kept_and_told() {
    let mut case = Case::new(45.0, &[("cym", "cymbidium-standard"), ("hib", "hibiscus")]);
    let mut choices = (*case.site.choices).clone();
    choices.pins.push(Pin {
        plant: Id::new("cym"),
        spot: Id::new("sill"),
        from: date(2026, 12, 7),
        to: date(2026, 12, 31),
    });
    choices.absences.push(sillward::site::Absence {
        from: date(2027, 5, 1),
        to: date(2027, 6, 6),
    });
    case.site.choices = choices.into();
    let before = case.plan(date(2026, 11, 25), None);
    let inputs = |plan: &Plan| {
        assert_eq!(in_month(plan, "cym", 12), "sill");
        for m in &plan.moves {
            assert!(
                !(date(2027, 5, 1)..=date(2027, 6, 6)).contains(&m.date),
                "nobody is there on {}",
                m.date
            );
        }
    };
    inputs(&before);
    let pinned = before
        .moves
        .iter()
        .find(|m| m.to == Id::new("sill") && m.plant == Id::new("cym"))
        .unwrap();
    assert!(
        pinned.reason.starts_with("you have pinned it there"),
        "{}",
        pinned.reason
    );

    // The same year after an edit, begun from the plan before.
    let mut bench = (**case.site.spots.get(&Id::new("bench")).unwrap()).clone();
    bench.months = sillward::base::Months::span(5, 8);
    case.site.spots.put(Id::new("bench"), bench);
    let after = case.plan(date(2026, 11, 25), Some(&before));
    inputs(&after);
    for m in [9, 10, 11] {
        assert_ne!(in_month(&after, "hib", m), "bench");
    }
    assert!(
        after
            .moves
            .iter()
            .any(|m| m.reason.contains("not used in September")),
        "{:#?}",
        after.moves
    );
}

#[test]
fn each_choice_has_its_price() {
    let case = Case::new(45.0, &[("cym", "cymbidium-standard")]);
    let plan = case.plan(date(2026, 11, 25), None);
    let january = 8;
    let choices = plan.alternatives(&Id::new("cym"), january);
    assert_eq!(choices.len(), 3);
    let loss = |spot: &str| {
        choices
            .iter()
            .find(|c| c.spot == Id::new(spot))
            .unwrap()
            .loss
            .unwrap()
    };
    assert!(
        loss("porch") < 1e-6,
        "the plan's own choice costs nothing: {choices:?}"
    );
    assert!(loss("bench") > 1.0, "frost in January: {choices:?}");
    assert!(loss("sill") > 0.0);
    assert!(
        choices
            .iter()
            .any(|c| c.planned && c.spot == Id::new("porch"))
    );
    assert!(plan.alternatives(&Id::new("nobody"), 0).is_empty());
}
