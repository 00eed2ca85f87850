//! Flowering odds of a plant under a plan: an estimate, modest and monotone, with what holds it back most.
//!
//! odds = best · condition · L · S · B, with
//! - L: light in growth, the mean response to daily light over the weeks of growth;
//! - S: setting, the responses to warmth and to the day-night difference in the weeks of flower setting, as a share of
//!   the good weeks that are enough;
//! - B: buds, the mean of what the factors leave in the weeks of bud (of bloom where the kind shows no bud), times
//!   what frost, plumes and jets spare;
//!
//! each brought from 0..=1 to its least..=1 (`flowering` in `assets/scoring.ron`), because plants now and then
//! flower against all odds. The plan's 52 weeks are taken for the plant's whole year. There is no paper behind the
//! product: it says which plan is likelier and why, not how likely to the tenth.

use serde::Serialize;

use crate::{
    base::{Id, names::years_in},
    needs::StageName,
    planner::{PLAN_WEEKS, Plan},
    scoring::{
        Factor, HazardKind, Score, Scores,
        rules::{Flowering, rules},
    },
    site::{Condition, Site},
};

/// What lowers the odds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Brake {
    LightInGrowth,
    Setting,
    Buds,
    /// Weak.
    Condition,
    /// Repotted within the year.
    FreshPot,
    Nothing,
}

/// One part of the odds.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Chance {
    /// What is left of the odds, 0..=1.
    pub left: f64,
    /// The condition that takes most, in words with its figure; empty where nothing does.
    pub why: String,
    /// Something of it is neither measured nor computed; it was counted as half good.
    pub unknown: bool,
}

/// How likely a plant is to flower under a plan.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FloweringOdds {
    /// 0..=1: an estimate.
    pub odds: f64,
    /// `None` where the plan has the plant through no week of it, or the kind has none.
    pub light_in_growth: Option<Chance>,
    pub setting: Option<Chance>,
    pub buds: Option<Chance>,
    pub brake: Brake,
    /// `"about 6 in 10 (an estimate); held back by nights of 17.8 °C while flowers set, wants 8 to 15 °C"`.
    pub text: String,
}

/// Odds of a plant of a site under its plan. `None` for kinds grown for their leaves, and where nothing is known.
#[must_use]
pub fn flowering(site: &Site, scores: &Scores, plan: &Plan, plant: &Id) -> Option<FloweringOdds> {
    let its = site.plants.get(plant)?;
    let year: Vec<&Score> = (0..PLAN_WEEKS)
        .filter_map(|w| scores.get(plant, plan.spot_of(plant, w)?, plan.calendar_week(w)))
        .collect();
    let repotted = its
        .pot
        .repotted
        .is_some_and(|d| (0..365).contains(&(plan.from - d).num_days()));
    odds(&year, its.condition, repotted)
}

/// Odds from the scores of a plant's weeks. `None` where none of them is a week of bloom.
#[must_use]
pub fn odds(year: &[&Score], condition: Condition, repotted: bool) -> Option<FloweringOdds> {
    if !year.iter().any(|s| s.stage == StageName::Bloom) {
        return None;
    }
    let r = &rules().flowering;
    let of = |stage: StageName| -> Vec<&Score> {
        year.iter().filter(|s| s.stage == stage).copied().collect()
    };
    let light_in_growth = light(&of(StageName::Growth), r);
    let setting = setting(&of(StageName::Initiation), r);
    let mut in_bud = of(StageName::Bud);
    if in_bud.is_empty() {
        in_bud = of(StageName::Bloom);
    }
    let buds = buds(&in_bud, r);

    let mut odds = r.best.value;
    let mut worst = (0.95, Brake::Nothing, String::new());
    let mut take = |left: f64, brake: Brake, why: String| {
        odds *= left;
        if left < worst.0 {
            worst = (left, brake, why);
        }
    };
    for (part, brake) in [
        (&light_in_growth, Brake::LightInGrowth),
        (&setting, Brake::Setting),
        (&buds, Brake::Buds),
    ] {
        if let Some(part) = part {
            take(part.left, brake, part.why.clone());
        }
    }
    if condition == Condition::Weak {
        take(
            r.weak.value,
            Brake::Condition,
            "the plant being weak".to_owned(),
        );
    }
    if repotted {
        let why = "having been repotted within the year".to_owned();
        take(r.fresh_pot.value, Brake::FreshPot, why);
    }
    let (_, brake, why) = worst;
    let unknown = [&light_in_growth, &setting, &buds]
        .into_iter()
        .flatten()
        .any(|c| c.unknown);
    Some(FloweringOdds {
        odds,
        text: text(odds, &why, unknown),
        light_in_growth,
        setting,
        buds,
        brake,
    })
}

fn text(odds: f64, why: &str, unknown: bool) -> String {
    let tenths = (odds * 10.0).round();
    let mut text = if tenths < 1.0 {
        "less than 1 in 10 (an estimate)".to_owned()
    } else {
        format!("about {tenths:.0} in 10 (an estimate)")
    };
    if !why.is_empty() {
        text.push_str("; held back by ");
        text.push_str(why);
    }
    if unknown {
        text.push_str("; not all of it is known");
    }
    text
}

/// Not knowing counts as half good.
const HALF_GOOD: f64 = 0.5;

/// A share 0..=1 drawn up to what is left at the worst.
fn lifted(share: f64, least: f64) -> f64 {
    least + (1.0 - least) * share.clamp(0.0, 1.0)
}

fn light(weeks: &[&Score], r: &Flowering) -> Option<Chance> {
    chance(weeks, &[Factor::Light], r.light_least.value, |weeks| {
        mean(weeks.iter().map(|s| response(s, Factor::Light)))
    })
}

const SETTING: [Factor; 3] = [
    Factor::NightWarmth,
    Factor::DayWarmth,
    Factor::DayNightDifference,
];

fn setting(weeks: &[&Score], r: &Flowering) -> Option<Chance> {
    chance(weeks, &SETTING, r.setting_least.value, |weeks| {
        let good: f64 = weeks
            .iter()
            .map(|s| SETTING.iter().map(|f| response(s, *f)).fold(1.0, f64::min))
            .sum();
        good / r.setting_weeks.value.min(weeks.len() as f64)
    })
}

fn buds(weeks: &[&Score], r: &Flowering) -> Option<Chance> {
    let mut chance = chance(weeks, &Factor::ALL, r.bud_least.value, |weeks| {
        mean(weeks.iter().map(|s| {
            s.factors()
                .map(|f| f.left().unwrap_or(HALF_GOOD))
                .fold(1.0, f64::min)
        })) * spared(weeks)
    })?;
    // A danger that takes more than any factor is the one to name.
    let worst = weeks
        .iter()
        .flat_map(|s| &s.hazards)
        .filter(|h| on_buds(h.kind))
        .max_by(|a, b| (a.chance * a.severity).total_cmp(&(b.chance * b.severity)));
    if let Some(h) = worst
        && h.chance * h.severity > 0.15
    {
        chance.why = match h.kind {
            HazardKind::HeaterPlume | HazardKind::VentJet => format!("a {}", h.kind.name()),
            _ => format!("{} {}", h.kind.name(), years_in(h.chance)),
        };
    }
    Some(chance)
}

fn on_buds(kind: HazardKind) -> bool {
    matches!(
        kind,
        HazardKind::BudFrost | HazardKind::BudHeat | HazardKind::HeaterPlume | HazardKind::VentJet
    )
}

/// What frost, heat, plumes and jets leave of the buds, 0..=1. Frost and heat may come in any week; a device is one fault however
/// long it runs.
fn spared(weeks: &[&Score]) -> f64 {
    let taken = |s: &Score, kind: HazardKind| s.hazard(kind).map_or(0.0, |h| h.chance * h.severity);
    let weather: f64 = weeks
        .iter()
        .map(|s| (1.0 - taken(s, HazardKind::BudFrost)) * (1.0 - taken(s, HazardKind::BudHeat)))
        .product();
    let device = |kind| 1.0 - weeks.iter().map(|s| taken(s, kind)).fold(0.0, f64::max);
    weather * device(HazardKind::HeaterPlume) * device(HazardKind::VentJet)
}

fn chance(
    weeks: &[&Score],
    factors: &[Factor],
    least: f64,
    share: impl Fn(&[&Score]) -> f64,
) -> Option<Chance> {
    if weeks.is_empty() {
        return None;
    }
    Some(Chance {
        left: lifted(share(weeks), least),
        why: worst_factor(weeks, factors).unwrap_or_default(),
        unknown: weeks
            .iter()
            .any(|s| s.unknown().any(|f| factors.contains(&f))),
    })
}

/// Response to a factor; 1 where it does not matter to the plant.
fn response(score: &Score, factor: Factor) -> f64 {
    score
        .factor(factor)
        .map_or(1.0, |f| f.response.unwrap_or(HALF_GOOD))
}

fn mean(values: impl ExactSizeIterator<Item = f64>) -> f64 {
    let n = values.len().max(1) as f64;
    values.sum::<f64>() / n
}

/// The factor with the lowest mean response, with its mean and what is wanted; `None` where all are good.
fn worst_factor(weeks: &[&Score], factors: &[Factor]) -> Option<String> {
    let stage = weeks.first()?.stage.word();
    let (factor, low) = factors
        .iter()
        .map(|f| (*f, mean(weeks.iter().map(|s| response(s, *f)))))
        .min_by(|a, b| a.1.total_cmp(&b.1))?;
    if low > 0.97 {
        return None;
    }
    // The week in the middle of the bad ones speaks for them.
    let mut told: Vec<(f64, f64, (f64, f64))> = weeks
        .iter()
        .filter_map(|s| {
            let f = s.factor(factor)?;
            Some((
                f.response?,
                f.value?,
                (f.band.ideal_low(), f.band.ideal_high()),
            ))
        })
        .filter(|(response, ..)| *response < 0.97)
        .collect();
    told.sort_by(|a, b| a.0.total_cmp(&b.0));
    let Some((_, value, (wants_low, wants_high))) = told.get(told.len() / 2).copied() else {
        return Some(format!("{} that nobody knows", factor.name()));
    };
    let unit = factor.unit();
    let wanted = match factor {
        Factor::DayNightDifference => format!("{wants_low} {unit} or more"),
        Factor::PeakLight | Factor::DryingAir | Factor::AirMovement if value > wants_high => {
            format!("at most {wants_high} {unit}")
        }
        _ => format!("{wants_low} to {wants_high} {unit}"),
    };
    let met = match factor {
        Factor::AirMovement | Factor::DryingAir => format!("{value:.2}"),
        Factor::PeakLight | Factor::Humidity => format!("{value:.0}"),
        _ => format!("{value:.1}"),
    };
    Some(format!(
        "{} of {met} {unit} in {stage}, wants {wanted}",
        factor.name()
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        air::AirWeek,
        base::{Hemisphere, Week},
        needs::{Kind, library},
        scoring::{SpotWeek, score},
    };
    use proptest::prelude::*;

    fn kind(id: &str) -> &'static Kind {
        library::kinds().get(&Id::new(id)).unwrap()
    }

    #[derive(Clone, Copy, Debug)]
    struct Place {
        dli: f64,
        night_c: f64,
        gap_k: f64,
        /// Share of years with -4 °C.
        frost: f64,
        plume_k: f64,
    }

    const GOOD: Place = Place {
        dli: 15.0,
        night_c: 11.0,
        gap_k: 12.0,
        frost: 0.0,
        plume_k: 0.0,
    };

    fn week(p: Place) -> SpotWeek {
        let coldest: Vec<f32> = (0..20)
            .map(|i| {
                if f64::from(i) < p.frost * 20.0 {
                    -4.0
                } else {
                    5.0
                }
            })
            .collect();
        SpotWeek {
            dli: Some(p.dli),
            clear_peak_ppfd: Some(450.0),
            air: Some(AirWeek {
                day_c: p.night_c + p.gap_k - 4.0,
                max_c: p.night_c + p.gap_k,
                night_c: p.night_c,
                day_night_k: p.gap_k,
                rh_day_pct: 60.0,
                speed_m_s: 0.2,
                device_warm_k: p.plume_k,
                coldest_leaf_c: coldest.clone(),
                coldest_air_c: coldest,
                ..AirWeek::default()
            }),
            ..SpotWeek::default()
        }
    }

    /// Odds of a standard cymbidium whose stages are spent in the given places.
    fn cymbidium(place: impl Fn(StageName) -> Place) -> FloweringOdds {
        let kind = kind("cymbidium-standard");
        let year: Vec<Score> = Week::all()
            .map(|w| {
                let stage = kind.stage_in(w, Hemisphere::North).unwrap().1.stage;
                score(kind, Hemisphere::North, w, &week(place(stage)))
            })
            .collect();
        let year: Vec<&Score> = year.iter().collect();
        odds(&year, Condition::Fair, false).unwrap()
    }

    fn only(stage: StageName, there: Place) -> FloweringOdds {
        cymbidium(|s| if s == stage { there } else { GOOD })
    }

    #[test]
    fn a_year_without_fault_is_good_and_never_certain() {
        let all = cymbidium(|_| GOOD);
        assert!((0.75..=0.9).contains(&all.odds), "{all:?}");
        assert_eq!(all.brake, Brake::Nothing);
        assert!(all.text.contains("an estimate"));
    }

    #[test]
    fn each_known_fault_is_named() {
        // Growers' three reasons for a cymbidium without flowers: too dark in growth, no cool nights in late summer,
        // buds lost to warmth or frost (American Orchid Society; Cymbidium Society of America).
        let dim = only(StageName::Growth, Place { dli: 4.5, ..GOOD });
        assert_eq!(dim.brake, Brake::LightInGrowth);
        assert!(dim.text.contains("daily light of 4.5 mol"), "{}", dim.text);
        let warm = only(
            StageName::Initiation,
            Place {
                night_c: 20.5,
                ..GOOD
            },
        );
        assert_eq!(warm.brake, Brake::Setting);
        assert!(warm.text.contains("nights of 20.5 °C"), "{}", warm.text);
        let frosty = only(StageName::Bud, Place { frost: 0.4, ..GOOD });
        assert_eq!(frosty.brake, Brake::Buds);
        assert!(frosty.text.contains("frost on buds"), "{}", frosty.text);
        let plume = only(
            StageName::Bud,
            Place {
                plume_k: 6.0,
                ..GOOD
            },
        );
        assert!(plume.text.contains("heater's plume"), "{}", plume.text);
        for poor in [dim, warm, frosty, plume] {
            assert!(poor.odds < 0.4, "{poor:?}");
        }
    }

    #[test]
    fn weak_and_fresh_plants_flower_less_and_leaves_have_no_odds() {
        let bay = kind("bay");
        let year: Vec<Score> = Week::all()
            .map(|w| score(bay, Hemisphere::North, w, &week(GOOD)))
            .collect();
        let year: Vec<&Score> = year.iter().collect();
        assert_eq!(odds(&year, Condition::Fair, false), None);

        let kind = kind("clivia");
        let year: Vec<Score> = Week::all()
            .map(|w| score(kind, Hemisphere::North, w, &week(GOOD)))
            .collect();
        let year: Vec<&Score> = year.iter().collect();
        let fair = odds(&year, Condition::Fair, false).unwrap();
        assert!(odds(&year, Condition::Weak, false).unwrap().odds < fair.odds);
        assert!(odds(&year, Condition::Fair, true).unwrap().odds < fair.odds);
        assert_eq!(
            odds(&year, Condition::Strong, false).unwrap().odds,
            fair.odds
        );
    }

    #[test]
    fn not_knowing_is_worse_than_knowing_it_is_well() {
        let kind = kind("cymbidium-standard");
        let mut blind = week(GOOD);
        blind.dli = None;
        let year: Vec<Score> = Week::all()
            .map(|w| score(kind, Hemisphere::North, w, &blind))
            .collect();
        let year: Vec<&Score> = year.iter().collect();
        let unknown = odds(&year, Condition::Fair, false).unwrap();
        assert!(unknown.odds < cymbidium(|_| GOOD).odds);
        assert!(unknown.text.contains("not all of it is known"));
    }

    fn place() -> impl Strategy<Value = Place> {
        (
            0.1..13.0_f64,
            8.0..24.0_f64,
            2.0..14.0_f64,
            0.0..1.0_f64,
            0.0..8.0_f64,
        )
            .prop_map(|(dli, night_c, gap_k, frost, plume_k)| Place {
                dli,
                night_c,
                gap_k,
                frost,
                plume_k,
            })
    }

    proptest! {
        #[test]
        fn more_light_in_growth_never_lowers_the_odds(p in place(), more in 0.0..10.0_f64) {
            let before = only(StageName::Growth, p).odds;
            let brighter = Place { dli: (p.dli + more).min(13.0_f64.max(p.dli)), ..p };
            prop_assert!(only(StageName::Growth, brighter).odds >= before - 1e-12);
        }

        #[test]
        fn cooler_nights_at_setting_never_lower_the_odds(p in place(), cooler in 0.0..10.0_f64) {
            let before = only(StageName::Initiation, p);
            // Days kept as they are: the night alone falls, no further than the ideal.
            let night_c = (p.night_c - cooler).max(8.0);
            let there = Place { night_c, gap_k: p.gap_k + p.night_c - night_c, ..p };
            let day = |p: Place| p.night_c + p.gap_k - 4.0;
            prop_assert!((day(p) - day(there)).abs() < 1e-9);
            prop_assert!(only(StageName::Initiation, there).odds >= before.odds - 1e-12);
        }

        #[test]
        fn more_frost_and_plume_on_buds_never_raise_the_odds(p in place(), frost in 0.0..1.0_f64, plume in 0.0..4.0_f64) {
            let before = only(StageName::Bud, p).odds;
            let worse = Place { frost: (p.frost + frost).min(1.0), plume_k: p.plume_k + plume, ..p };
            prop_assert!(only(StageName::Bud, worse).odds <= before + 1e-12);
        }

        #[test]
        fn odds_are_modest(a in place(), b in place(), c in place()) {
            let o = cymbidium(|s| match s {
                StageName::Growth => a,
                StageName::Initiation => b,
                _ => c,
            });
            prop_assert!(o.odds > 0.0 && o.odds <= rules().flowering.best.value);
        }
    }
}
