//! Which kinds would do well here, to choose what to buy: the whole library, ranked over a site's spots.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::{
    base::{Hemisphere, Id, Week, calendar::WEEKS},
    needs::{Group, Kind, Poison, library},
    planner::Plan,
    scoring::{Score, SpotWeek, score_by, why},
    site::{Condition, Site, Spot},
    stages::{StageCalendar, Warmth},
};

use super::flowering::{FloweringOdds, odds};

/// What a ranking is made from.
#[derive(Clone)]
pub struct SuitInputs<'a> {
    pub site: &'a Site,
    /// What each spot offers in each of 52 calendar weeks.
    pub spot_weeks: BTreeMap<Id, &'a [SpotWeek]>,
    pub warmth: &'a Warmth,
    /// The plan whose plants keep their room; all spots are empty without one.
    pub plan: Option<&'a Plan>,
    /// Rim of the pot that room is looked for, cm.
    pub rim_cm: f64,
}

/// A year on one spot.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SpotYear {
    pub spot: Id,
    /// Mean score of the year, 0..=100.
    pub year_score: f64,
    /// Mean of its worst four weeks in a row.
    pub worst_month_score: f64,
}

/// Weeks on one spot.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Stretch {
    pub spot: Id,
    /// Calendar week, 0..52.
    pub from_week: usize,
    pub weeks: usize,
}

/// How well a kind would do here.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct KindFit {
    pub kind: Id,
    pub name: String,
    pub botanical: String,
    pub group: Group,
    pub poison: Poison,
    /// The grower has one already.
    pub grown_here: bool,
    /// By which kinds are ranked, 0..=100: mean of the year and of its worst month, carried about as in `course`.
    pub score: f64,
    pub year_score: f64,
    pub worst_month_score: f64,
    /// Best course through the year, over the spots with room.
    pub course: Vec<Stretch>,
    /// The spot where it does best if it is never moved; `None` where no spot has room all year.
    pub best_spot: Option<SpotYear>,
    /// What holds it back in the worst week of its course.
    pub reason: String,
    pub flowering: Option<FloweringOdds>,
}

/// A move is worth making from so many points times weeks on: ten points over six weeks (our choice).
const MOVE_COSTS: f64 = 60.0;

/// Weeks that make a worst month.
const MONTH: usize = 4;

/// Every kind of the library and of the site that finds room, best first; by name among equals.
#[must_use]
pub fn suits(inputs: &SuitInputs<'_>) -> Vec<KindFit> {
    let site = inputs.site;
    let free = free_spots(inputs);
    let mut kinds: BTreeMap<&Id, &Kind> =
        library::kinds().iter().map(|(id, k)| (id, &**k)).collect();
    kinds.extend(site.kinds.iter().map(|(id, k)| (id, &**k)));
    let mut fits: Vec<KindFit> = kinds
        .into_iter()
        .filter_map(|(id, kind)| fit(inputs, &free, id, kind))
        .collect();
    fits.sort_by(|a, b| {
        b.score
            .total_cmp(&a.score)
            .then_with(|| a.name.cmp(&b.name))
    });
    fits
}

/// A spot that could take another pot in some weeks.
struct FreeSpot<'a> {
    id: &'a Id,
    weeks: &'a [SpotWeek],
    open: Vec<bool>,
}

fn free_spots<'a>(inputs: &SuitInputs<'a>) -> Vec<FreeSpot<'a>> {
    let wanted = inputs.rim_cm * inputs.rim_cm;
    inputs
        .site
        .spots
        .iter()
        .filter(|(_, spot)| inputs.rim_cm <= spot.holds.rim_cm + 0.1)
        .filter_map(|(id, spot)| {
            let taken = taken_cm2(inputs, id);
            let open: Vec<bool> = Week::all()
                .map(|w| spot.months.has(w.month0()) && room_cm2(spot) - taken[w.index()] >= wanted)
                .collect();
            let weeks = inputs.spot_weeks.get(id).copied()?;
            open.contains(&true).then_some(FreeSpot { id, weeks, open })
        })
        .collect()
}

fn room_cm2(spot: &Spot) -> f64 {
    f64::from(spot.holds.pots) * spot.holds.rim_cm * spot.holds.rim_cm
}

/// What the plan's plants take up of a spot in each calendar week, cm² of rim squared.
fn taken_cm2(inputs: &SuitInputs<'_>, spot: &Id) -> Vec<f64> {
    let mut taken = vec![0.0; WEEKS];
    let Some(plan) = inputs.plan else {
        return taken;
    };
    for stay in plan.solution.stays.iter().filter(|s| s.spot == *spot) {
        let Some(plant) = inputs.site.plants.get(&stay.plant) else {
            continue;
        };
        // A plan week touches two calendar weeks: the pot is in the way in both.
        let mut weeks: Vec<usize> = (stay.from_week..stay.from_week + stay.weeks)
            .flat_map(|w| {
                let first = crate::base::Day::of(plan.date_of_week(w));
                [first.week().index(), first.plus(6).week().index()]
            })
            .collect();
        weeks.sort_unstable();
        weeks.dedup();
        for week in weeks {
            taken[week] += plant.pot.footprint_cm2();
        }
    }
    taken
}

fn fit(inputs: &SuitInputs<'_>, free: &[FreeSpot<'_>], id: &Id, kind: &Kind) -> Option<KindFit> {
    let hemisphere: Hemisphere = inputs.site.hemisphere();
    let calendar = StageCalendar::of_climate(kind, hemisphere, Some(inputs.warmth));
    let unknown = SpotWeek::default();
    let scores: Vec<Vec<Score>> = free
        .iter()
        .map(|spot| {
            Week::all()
                .map(|w| {
                    let offered = spot.weeks.get(w.index()).unwrap_or(&unknown);
                    score_by(kind, &calendar, w, offered)
                })
                .collect()
        })
        .collect();
    // What is not known counts as nothing: nobody should buy a plant on it.
    let worth = |s: usize, w: usize| -> f64 {
        if free[s].open[w] {
            scores[s][w].points.unwrap_or(0.0)
        } else {
            -1000.0
        }
    };
    let course = best_course(free.len(), worth)?;
    let year: Vec<&Score> = (0..WEEKS).map(|w| &scores[course[w]][w]).collect();
    let points: Vec<f64> = year.iter().map(|s| s.points.unwrap_or(0.0)).collect();
    let (year_score, worst_month_score) = year_and_month(&points);
    let worst = year
        .iter()
        .min_by(|a, b| a.points.unwrap_or(0.0).total_cmp(&b.points.unwrap_or(0.0)))?;
    let best_spot = (0..free.len())
        .filter(|s| !free[*s].open.contains(&false))
        .map(|s| {
            let points: Vec<f64> = scores[s].iter().map(|s| s.points.unwrap_or(0.0)).collect();
            let (year_score, worst_month_score) = year_and_month(&points);
            SpotYear {
                spot: free[s].id.clone(),
                year_score,
                worst_month_score,
            }
        })
        .reduce(|best, other| {
            let of = |y: &SpotYear| y.year_score + y.worst_month_score;
            if of(&other) > of(&best) { other } else { best }
        });
    Some(KindFit {
        kind: id.clone(),
        name: kind.name.clone(),
        botanical: kind.botanical.clone(),
        group: kind.group,
        poison: kind.poison.clone(),
        grown_here: inputs.site.plants.values().any(|p| p.kind == *id),
        score: f64::midpoint(year_score, worst_month_score),
        year_score,
        worst_month_score,
        course: stretches(free, &course),
        best_spot,
        reason: why(worst),
        flowering: odds(&year, Condition::Fair, false),
    })
}

/// Mean of a year of points and of its worst month, round the year's end.
fn year_and_month(points: &[f64]) -> (f64, f64) {
    let n = points.len().max(1);
    let mean = points.iter().sum::<f64>() / n as f64;
    let month = (0..points.len())
        .map(|from| (0..MONTH).map(|k| points[(from + k) % n]).sum::<f64>() / MONTH as f64)
        .fold(f64::INFINITY, f64::min);
    (mean, month.min(mean))
}

/// The course of 52 weeks, round the year, that is worth most less its moves: exact, one dynamic programme for each
/// spot to begin and end on. `None` where there is no spot, or a week in which none is open.
fn best_course(spots: usize, worth: impl Fn(usize, usize) -> f64) -> Option<Vec<usize>> {
    let mut best: Option<(f64, Vec<usize>)> = None;
    for first in 0..spots {
        let mut value: Vec<f64> = vec![f64::NEG_INFINITY; spots];
        value[first] = worth(first, 0);
        let mut came: Vec<Vec<usize>> = Vec::with_capacity(WEEKS);
        for week in 1..WEEKS {
            // The best to come from; the first among equals.
            let top = (0..spots).fold(0, |t, s| if value[s] > value[t] { s } else { t });
            let mut next = vec![0.0; spots];
            let mut from = vec![0; spots];
            for s in 0..spots {
                let (stay, moved) = (value[s], value[top] - MOVE_COSTS);
                (next[s], from[s]) = if stay >= moved {
                    (stay, s)
                } else {
                    (moved, top)
                };
                next[s] += worth(s, week);
            }
            value = next;
            came.push(from);
        }
        for (last, value) in value.iter().enumerate() {
            let round = value - if last == first { 0.0 } else { MOVE_COSTS };
            if best.as_ref().is_none_or(|(b, _)| round > *b + 1e-9) {
                let mut course = vec![last; WEEKS];
                for week in (1..WEEKS).rev() {
                    course[week - 1] = came[week - 1][course[week]];
                }
                best = Some((round, course));
            }
        }
    }
    let (_, course) = best?;
    let homeless = course.iter().enumerate().any(|(w, s)| worth(*s, w) < 0.0);
    (!homeless).then_some(course)
}

/// Runs of a course; one that goes on over the year's end is one.
fn stretches(free: &[FreeSpot<'_>], course: &[usize]) -> Vec<Stretch> {
    let n = course.len();
    let starts: Vec<usize> = (0..n)
        .filter(|w| course[*w] != course[(w + n - 1) % n])
        .collect();
    if starts.is_empty() {
        return vec![Stretch {
            spot: free[course[0]].id.clone(),
            from_week: 0,
            weeks: n,
        }];
    }
    starts
        .iter()
        .enumerate()
        .map(|(i, from)| {
            let next = starts[(i + 1) % starts.len()];
            Stretch {
                spot: free[course[*from]].id.clone(),
                from_week: *from,
                weeks: match (next + n - from) % n {
                    0 => n,
                    weeks => weeks,
                },
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{air::AirWeek, site::Holds};
    use proptest::prelude::*;

    fn spot_of(pots: u32) -> Spot {
        Spot {
            holds: Holds { pots, rim_cm: 30.0 },
            ..Spot::default()
        }
    }

    fn offered(dli: f64, day_c: f64, night_c: f64) -> SpotWeek {
        SpotWeek {
            dli: Some(dli),
            clear_peak_ppfd: Some(dli * 45.0),
            air: Some(AirWeek {
                day_c,
                max_c: day_c + 3.0,
                night_c,
                day_night_k: day_c + 3.0 - night_c,
                rh_day_pct: 60.0,
                speed_m_s: 0.2,
                coldest_leaf_c: vec![(night_c - 3.0) as f32; 10],
                coldest_air_c: vec![(night_c - 2.0) as f32; 10],
                ..AirWeek::default()
            }),
            ..SpotWeek::default()
        }
    }

    /// A warm dim room all year, and an open bench that is hot in summer and freezes in winter.
    fn ranked(room_pots: u32, rim_cm: f64) -> Vec<KindFit> {
        let mut site = Site::default();
        let mut place = crate::site::Place::clone(&site.place);
        place.latitude_deg = 45.0;
        site.place = place.into();
        site.spots.put(Id::new("room"), spot_of(room_pots));
        site.spots.put(Id::new("bench"), spot_of(4));
        let room: Vec<SpotWeek> = vec![offered(4.0, 21.0, 17.0); WEEKS];
        let bench: Vec<SpotWeek> = (0..WEEKS)
            .map(|w| {
                let season = ((w as f64 - 28.0) / 52.0 * std::f64::consts::TAU).cos();
                offered(
                    22.0 + 16.0 * season,
                    13.0 + 11.0 * season,
                    6.0 + 9.0 * season,
                )
            })
            .collect();
        let warmth = Warmth::of(
            &crate::climate::FilledNormals {
                night_min_c: [5.0; 12],
                day_max_c: [15.0; 12],
                ..crate::climate::FilledNormals::default()
            },
            Hemisphere::North,
        );
        suits(&SuitInputs {
            site: &site,
            spot_weeks: [
                (Id::new("room"), room.as_slice()),
                (Id::new("bench"), bench.as_slice()),
            ]
            .into(),
            warmth: &warmth,
            plan: None,
            rim_cm,
        })
    }

    #[test]
    fn room_plants_go_to_the_room_and_hardy_ones_to_the_bench() {
        let all = ranked(3, 20.0);
        assert_eq!(all.len(), library::kinds().len());
        assert!(all.is_sorted_by(|a, b| a.score >= b.score));
        let of = |id: &str| all.iter().find(|f| f.kind.as_str() == id).unwrap();
        for (id, spot) in [
            ("spathiphyllum", "room"),
            ("monstera", "room"),
            ("bay", "bench"),
        ] {
            let fit = of(id);
            assert_eq!(fit.course.len(), 1, "{id}: {:?}", fit.course);
            assert_eq!(fit.course[0].spot.as_str(), spot, "{id}");
            assert!(fit.score > 70.0, "{id}: {fit:?}");
        }
        // A bougainvillea summers outdoors, and its winter in the warm dim room is what it suffers from.
        assert!(of("bougainvillea").score < of("bay").score);
        assert!(!of("bougainvillea").reason.is_empty());
        assert!(of("bay").flowering.is_none() && of("clivia").flowering.is_some());
    }

    #[test]
    fn what_has_no_room_is_not_offered() {
        assert!(ranked(3, 40.0).is_empty(), "a pot too wide for any spot");
        let crowded = ranked(0, 20.0);
        assert!(
            crowded
                .iter()
                .all(|f| f.course.iter().all(|c| c.spot.as_str() == "bench"))
        );
    }

    #[test]
    fn a_course_round_the_year_is_one_ring() {
        // Summer here, winter there: two moves.
        let worth = |s: usize, w: usize| -> f64 {
            let summer = (20..40).contains(&w);
            if (s == 0) == summer { 90.0 } else { 20.0 }
        };
        let course = best_course(2, worth).unwrap();
        assert!((0..WEEKS).all(|w| course[w] == usize::from(!(20..40).contains(&w))));
        // A gain of a fortnight is not worth two moves.
        let brief = |s: usize, w: usize| {
            if s == 0 {
                60.0
            } else if (10..12).contains(&w) {
                90.0
            } else {
                50.0
            }
        };
        assert!(best_course(2, brief).unwrap().iter().all(|s| *s == 0));
        assert_eq!(best_course(0, brief), None);
    }

    proptest! {
        #[test]
        fn no_course_is_worth_less_than_staying(points in prop::collection::vec(0.0..100.0_f64, 3 * WEEKS)) {
            let worth = |s: usize, w: usize| points[s * WEEKS + w];
            let course = best_course(3, worth).unwrap();
            let moves = (0..WEEKS).filter(|w| course[*w] != course[(w + 51) % 52]).count();
            let value: f64 = (0..WEEKS).map(|w| worth(course[w], w)).sum::<f64>() - MOVE_COSTS * moves as f64;
            for s in 0..3 {
                prop_assert!(value >= (0..WEEKS).map(|w| worth(s, w)).sum::<f64>() - 1e-6);
            }
        }
    }
}
