//! How long a pot lasts: what it holds against what plant and pot lose where they stand, and what growers are used to.
//!
//! Two estimates, neither sure: a water balance, which knows the place and the pot, and growers' intervals, which know the
//! kind but speak of a middling pot in a middling place. In cold still air the balance alone asks for waterings so far
//! apart that no grower would believe it, in a heat wave for more than anyone gives; both have been seen to be wrong by half
//! and more. So the mean of their logarithms is told, each weighed by what it is worth.

use std::f64::consts::PI;

use crate::{
    needs::Water,
    scoring::SpotWeek,
    site::{Medium, Plant, Pot, PotMaterial},
};

/// Share of the mix's volume that is easily available water. From memory, as at [`Medium`]; handbook ranges run a
/// third either way.
fn available_share(medium: Medium) -> f64 {
    match medium {
        Medium::Bark => 0.15,
        Medium::BarkPeat => 0.20,
        Medium::Peat | Medium::Coir => 0.30,
        Medium::Loam => 0.25,
        Medium::Moss => 0.40,
        Medium::Grit => 0.12,
    }
}

/// Evaporation from the mix in the pot's mouth under leaves, as a share of reference evapotranspiration. An 11.4 L pot lost
/// about 160 mL a day through a mouth of 0.051 m² all through its growth in central Florida (Beeson 2010, HortScience
/// 45:1260), at a reference of about 4.2 mm/d (from memory): 0.75. Coarse mixes dry on top and lose less (from memory).
fn mouth_share(medium: Medium) -> f64 {
    match medium {
        Medium::Bark | Medium::Grit => 0.5,
        Medium::BarkPeat | Medium::Peat | Medium::Coir | Medium::Loam | Medium::Moss => 0.75,
    }
}

/// Share of a crop coefficient that is the leaves' own: in the same trial 0.16 of 1.3 L a day at full size came from the mix.
const LEAVES_OWN: f64 = 0.88;

/// Loss through the wall beside that through the leaves: an unglazed pot dries a third to twice faster (common
/// practice).
fn wall_factor(material: PotMaterial) -> f64 {
    match material {
        PotMaterial::Clay => 1.4,
        PotMaterial::Wood => 1.15,
        PotMaterial::Plastic | PotMaterial::Glazed => 1.0,
    }
}

/// Standard deviation of the balance's logarithm: a third each by crop coefficient, mix and air.
const BALANCE_LOG_SD: f64 = 0.5;

/// The same of growers' intervals beside their own spread: for other places than theirs (our choice).
const HABIT_LOG_SD: f64 = 0.5;

/// Error of an interval that nobody has checked: it could as well be this share longer or shorter. Of two estimates of
/// half each.
pub(crate) const UNCERTAINTY: f64 = 0.35;

/// Interval between waterings with its figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Interval {
    /// Both estimates together.
    pub days: f64,
    /// By the water balance alone.
    pub balance_d: f64,
    /// What growers say, for a pot of this size: shortest and longest.
    pub habit_d: (f64, f64),
    /// Water used between two waterings, L.
    pub used_l: f64,
    /// Use of the plant and loss of the pot, L a day.
    pub use_l_d: f64,
    /// Rain that reaches the pot's mouth, L a day.
    pub rain_l_d: f64,
}

/// Days until `depletion` of the available water is used (FAO-56 water balance of a pot; Allen et al. 1998, eqs. 58
/// and 85, on the canopy's area, with the mouth's evaporation apart as in its chapter 7), brought together with growers'
/// intervals. `None` without an evapotranspiration.
pub(crate) fn interval(plant: &Plant, water: &Water, offered: &SpotWeek) -> Option<Interval> {
    let air = offered.air.as_ref()?;
    let et0_mm_d = air.et0_mm_d;
    if !(et0_mm_d.is_finite() && et0_mm_d > 0.0) {
        return None;
    }
    let used_l = available_l(&plant.pot) * water.depletion.value.clamp(0.05, 1.0);
    let mouth_m2 = disc_m2(plant.pot.rim_cm);
    // 1 mm on 1 m² is 1 L.
    let leaves_l_d =
        et0_mm_d * LEAVES_OWN * water.crop_coefficient.value.max(0.02) * canopy_m2(plant.spread_cm);
    let mouth_l_d = et0_mm_d * mouth_share(plant.pot.medium) * mouth_m2;
    let use_l_d = (leaves_l_d + mouth_l_d) * wall_factor(plant.pot.material);
    // Leaves lead a fifth of the rain past the pot (from memory).
    let rain_l_d = air.rain_mm.max(0.0) / 7.0 * mouth_m2 * 0.8;
    // Rain comes in showers, and what the pot cannot hold runs away: half of it counts.
    let net = (use_l_d - 0.5 * rain_l_d).max(0.2 * use_l_d);
    let balance_d = (used_l / net).clamp(0.5, 60.0);
    let habit_d = habit(plant, water);
    Some(Interval {
        days: together(balance_d, habit_d),
        balance_d,
        habit_d,
        used_l,
        use_l_d,
        rain_l_d,
    })
}

/// Growers' shortest and longest interval, carried over to the plant's pot. They speak of pots of 15 to 20 cm with plants
/// to match; a pot that holds twice the water for its leaves lasts twice as long.
pub(crate) fn habit(plant: &Plant, water: &Water) -> (f64, f64) {
    let middling = Pot {
        rim_cm: 17.5,
        height_cm: 16.0,
        medium: Medium::BarkPeat,
        ..Pot::default()
    };
    let store_mm = |pot: &Pot, spread_cm: f64| available_l(pot) / canopy_m2(spread_cm);
    let size = store_mm(&plant.pot, plant.spread_cm) / store_mm(&middling, 40.0);
    let size = size.clamp(0.5, 3.0);
    let (shortest, longest) = water.interval_d.value;
    (shortest * size, longest * size)
}

/// Middle of a growers' interval.
pub(crate) fn middle((shortest, longest): (f64, f64)) -> f64 {
    (shortest * longest).max(0.25).sqrt()
}

/// The mean of the logarithms, weighed by the inverse squares of their errors.
fn together(balance_d: f64, habit_d: (f64, f64)) -> f64 {
    // Shortest and longest taken as the 10 and 90 % points.
    let spread = (habit_d.1 / habit_d.0.max(0.1)).max(1.0).ln() / 2.563;
    let habit_weight = 1.0 / (spread * spread + HABIT_LOG_SD * HABIT_LOG_SD);
    let balance_weight = 1.0 / (BALANCE_LOG_SD * BALANCE_LOG_SD);
    let sum = balance_weight * balance_d.ln() + habit_weight * middle(habit_d).ln();
    (sum / (balance_weight + habit_weight))
        .exp()
        .clamp(0.5, 60.0)
}

/// Water between full and limp, L.
fn available_l(pot: &Pot) -> f64 {
    pot.volume_l() * available_share(pot.medium)
}

fn canopy_m2(spread_cm: f64) -> f64 {
    disc_m2(spread_cm).max(0.002)
}

fn disc_m2(diameter_cm: f64) -> f64 {
    PI * (diameter_cm / 200.0).powi(2)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        air::AirWeek,
        needs::{Figure, Source},
    };

    fn figure<T>(value: T) -> Figure<T> {
        Figure {
            value,
            source: Source::FromMemory,
        }
    }

    fn case(et0_mm_d: f64, rain_mm: f64) -> (Plant, Water, SpotWeek) {
        let plant = Plant {
            pot: Pot {
                rim_cm: 28.0,
                height_cm: 25.5,
                ..Pot::default()
            },
            // 0.35 m²
            spread_cm: 66.8,
            ..Plant::default()
        };
        let water = Water {
            depletion: figure(0.5),
            crop_coefficient: figure(0.4),
            interval_d: figure((2.0, 4.0)),
            note: String::new(),
        };
        let air = AirWeek {
            et0_mm_d,
            rain_mm,
            ..AirWeek::default()
        };
        (
            plant,
            water,
            SpotWeek {
                air: Some(air),
                ..SpotWeek::default()
            },
        )
    }

    #[test]
    fn validate_interval_against_a_worked_example() {
        // A cymbidium in bark that gives 1.5 L, half of it (0.77 L) between waterings, canopy 0.35 m², Kc 0.4, mouth
        // 0.062 m²: 4 × (0.88 × 0.4 × 0.35 + 0.5 × 0.062) = 0.62 L a day and 1.2 d in summer (ET0 4 mm/d), a fifth of that
        // and 6.2 d in winter indoors (ET0 0.8). Growers' guides name 1-3 and 7-10 days (common practice).
        for (et0, expected) in [(4.0, 1.25), (0.8, 6.23)] {
            let (plant, water, offered) = case(et0, 0.0);
            let i = interval(&plant, &water, &offered).unwrap();
            assert!(
                (i.balance_d - expected).abs() < 0.03 * expected,
                "{} days, expected {expected}",
                i.balance_d
            );
            assert!((i.used_l - 0.77).abs() < 0.02, "{} L", i.used_l);
        }
    }

    #[test]
    fn rain_stretches_the_interval_and_unknown_air_gives_none() {
        let (plant, water, dry) = case(3.0, 0.0);
        let (.., wet) = case(3.0, 30.0);
        let days = |o: &SpotWeek| interval(&plant, &water, o).unwrap();
        assert!(days(&wet).balance_d > 1.1 * days(&dry).balance_d);
        assert!(days(&wet).days > days(&dry).days);
        assert_eq!(interval(&plant, &water, &SpotWeek::default()), None);
    }

    #[test]
    fn validate_a_shrubs_pot_against_a_weighed_one() {
        // Viburnum in 11.4 L (rim about 25 cm) on a weighing lysimeter: 160 mL a day from the mix alone, 1.3 L a day in all
        // at market size (Beeson 2010, HortScience 45:1260). Spread 55 cm and a coefficient of 1.1 for a thirsty evergreen
        // under 4.2 mm/d: from memory.
        let (mut plant, mut water, offered) = case(4.2, 0.0);
        plant.pot = Pot {
            rim_cm: 25.5,
            height_cm: 25.0,
            medium: Medium::BarkPeat,
            ..Pot::default()
        };
        plant.spread_cm = 55.0;
        water.crop_coefficient.value = 1.1;
        let all = interval(&plant, &water, &offered).unwrap().use_l_d;
        water.crop_coefficient.value = 0.0;
        plant.spread_cm = 1.0;
        let mix = interval(&plant, &water, &offered).unwrap().use_l_d;
        assert!((0.14..0.18).contains(&mix), "{mix} L a day from the mix");
        assert!((1.0..1.6).contains(&all), "{all} L a day in all");
    }

    #[test]
    fn growers_intervals_grow_with_the_pot() {
        let (mut plant, water, _) = case(2.0, 0.0);
        plant.pot = Pot {
            rim_cm: 17.5,
            height_cm: 16.0,
            medium: Medium::BarkPeat,
            ..Pot::default()
        };
        plant.spread_cm = 40.0;
        let near = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).abs() + (a.1 - b.1).abs() < 1e-9;
        assert!(near(habit(&plant, &water), (2.0, 4.0)));
        // The same plant in twice the mix.
        plant.pot.height_cm = 32.0;
        assert!(near(habit(&plant, &water), (4.0, 8.0)));
    }

    #[test]
    fn what_is_told_lies_between_balance_and_habit() {
        for et0 in [0.05, 0.2, 1.0, 4.0, 9.0] {
            let (plant, water, offered) = case(et0, 0.0);
            let i = interval(&plant, &water, &offered).unwrap();
            let (low, high) = (
                i.balance_d.min(middle(i.habit_d)),
                i.balance_d.max(middle(i.habit_d)),
            );
            assert!((low..=high).contains(&i.days), "{i:?}");
        }
    }

    #[test]
    fn validate_told_intervals_against_what_growers_say() {
        use crate::{base::Id, needs::StageName, needs::library};
        // Days between waterings, shortest and longest that growers tell of such a pot in such a place: common practice, no
        // source. Evapotranspiration from a cool porch in winter (0.25 mm/d) to a sunny terrace in July (5).
        for (kind, stage, rim_cm, height_cm, medium, spread_cm, et0, growers) in [
            (
                "camellia-japonica",
                StageName::Bud,
                38.0,
                35.0,
                Medium::Loam,
                100.0,
                0.25,
                (7.0, 24.0),
            ),
            (
                "cymbidium-standard",
                StageName::Bud,
                28.0,
                26.0,
                Medium::Bark,
                80.0,
                0.8,
                (4.0, 12.0),
            ),
            (
                "cymbidium-standard",
                StageName::Growth,
                28.0,
                26.0,
                Medium::Bark,
                80.0,
                4.0,
                (1.0, 3.0),
            ),
            (
                "lemon",
                StageName::Rest,
                45.0,
                38.0,
                Medium::Loam,
                130.0,
                0.4,
                (10.0, 28.0),
            ),
            (
                "pelargonium-zonale",
                StageName::Rest,
                16.0,
                15.0,
                Medium::Peat,
                35.0,
                0.5,
                (14.0, 35.0),
            ),
            (
                "azalea-indica",
                StageName::Bud,
                20.0,
                16.0,
                Medium::Peat,
                35.0,
                0.5,
                (3.0, 10.0),
            ),
            (
                "oleander",
                StageName::Bloom,
                40.0,
                36.0,
                Medium::Loam,
                120.0,
                5.0,
                (0.5, 2.0),
            ),
        ] {
            let water = &library::kinds()
                .get(&Id::new(kind))
                .unwrap()
                .stages
                .iter()
                .find(|s| s.stage == stage)
                .unwrap()
                .water;
            let (mut plant, _, offered) = case(et0, 0.0);
            plant.pot = Pot {
                rim_cm,
                height_cm,
                medium,
                ..Pot::default()
            };
            plant.spread_cm = spread_cm;
            let days = interval(&plant, water, &offered).unwrap().days;
            assert!(
                (growers.0..=growers.1).contains(&days),
                "{kind} in {stage:?}: every {days:.1} days, growers say {growers:?}"
            );
        }
    }
}
