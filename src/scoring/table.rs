//! Scores of a whole collection, and what is asked of them.

use std::sync::Arc;

use rayon::prelude::*;
use serde::Serialize;

use super::{Score, SpotWeek, judge::Judge, offer::Offer};
use crate::{
    base::{Hemisphere, Id, Season, Week, calendar::WEEKS},
    needs::{Kind, Stage, StageName},
    stages::StageCalendar,
};

/// Scores of every plant on every spot in every calendar week. `plants` and `spots` ascend.
#[derive(Clone, Debug, Default)]
pub struct Scores {
    pub plants: Vec<Id>,
    pub spots: Vec<Id>,
    /// By which each plant was scored, in the order of `plants`.
    calendars: Vec<StageCalendar>,
    /// For each plant its scores, index `spot * 52 + week`; plants of one kind and calendar share them.
    of_plant: Vec<Arc<Vec<Score>>>,
}

/// Mean of some weeks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Mean {
    /// Mean of the weeks that have a score; `None` when none has.
    pub points: Option<f64>,
    /// Least of them.
    pub least: Option<f64>,
    pub weeks: usize,
    /// Weeks of which too little is known.
    pub unknown_weeks: usize,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BestSpot {
    pub spot: Id,
    pub points: f64,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BestPlant {
    pub plant: Id,
    pub points: f64,
}

impl Scores {
    /// Scores plants of which nothing is known, by their kinds' own dates; see [`Scores::by_calendar`].
    #[must_use]
    pub fn of(plants: &[(Id, &Kind)], hemisphere: Hemisphere, spots: &[(Id, &[SpotWeek])]) -> Self {
        let plants: Vec<(Id, &Kind, StageCalendar)> = plants
            .iter()
            .map(|(id, kind)| (id.clone(), *kind, StageCalendar::of_kind(kind, hemisphere)))
            .collect();
        Self::by_calendar(&plants, spots)
    }

    /// Scores everything, on all cores. The order of `plants` and `spots` does not matter; a spot has 52 weeks.
    #[must_use]
    pub fn by_calendar(plants: &[(Id, &Kind, StageCalendar)], spots: &[(Id, &[SpotWeek])]) -> Self {
        let mut plants: Vec<&(Id, &Kind, StageCalendar)> = plants.iter().collect();
        let mut spots: Vec<&(Id, &[SpotWeek])> = spots.iter().collect();
        plants.sort_by(|a, b| a.0.cmp(&b.0));
        spots.sort_by(|a, b| a.0.cmp(&b.0));
        // Plants of one kind and calendar have the same scores: they are scored once.
        let mut kinds: Vec<(&Kind, &StageCalendar)> = Vec::new();
        let kind_of: Vec<usize> = plants
            .iter()
            .map(|(_, kind, calendar)| {
                kinds
                    .iter()
                    .position(|(k, c)| std::ptr::eq(*k, *kind) && *c == calendar)
                    .unwrap_or_else(|| {
                        kinds.push((kind, calendar));
                        kinds.len() - 1
                    })
            })
            .collect();
        let unknown = SpotWeek::default();
        let offers: Vec<Vec<(Week, Offer<'_>)>> = spots
            .iter()
            .map(|(_, weeks)| {
                Week::all()
                    .map(|w| (w, Offer::of(weeks.get(w.index()).unwrap_or(&unknown))))
                    .collect()
            })
            .collect();
        let of_kind: Vec<Arc<Vec<Score>>> = kinds
            .par_iter()
            .map(|(kind, calendar)| {
                let judge = Judge::of(kind, calendar);
                let mut scores = Vec::with_capacity(offers.len() * WEEKS);
                for (week, offer) in offers.iter().flatten() {
                    scores.push(judge.score(*week, offer));
                }
                Arc::new(scores)
            })
            .collect();
        Self {
            plants: plants.iter().map(|p| p.0.clone()).collect(),
            spots: spots.iter().map(|s| s.0.clone()).collect(),
            calendars: plants.iter().map(|p| p.2.clone()).collect(),
            of_plant: kind_of
                .into_iter()
                .filter_map(|kind| of_kind.get(kind).cloned())
                .collect(),
        }
    }

    /// When a plant goes through its stages; `None` for one that was not scored.
    #[must_use]
    pub fn calendar(&self, plant: &Id) -> Option<&StageCalendar> {
        let p = self.plants.binary_search(plant).ok()?;
        self.calendars.get(p)
    }

    /// The stage of a plant, whose kind is given, in the middle of a week, with its place in the kind's list.
    #[must_use]
    pub fn stage<'k>(&self, plant: &Id, kind: &'k Kind, week: Week) -> Option<(usize, &'k Stage)> {
        self.calendar(plant)?.stage_in(kind, week)
    }

    #[must_use]
    pub fn get(&self, plant: &Id, spot: &Id, week: Week) -> Option<&Score> {
        self.year(plant, spot)?.get(week.index())
    }

    /// The 52 scores of a plant on a spot.
    #[must_use]
    pub fn year(&self, plant: &Id, spot: &Id) -> Option<&[Score]> {
        let p = self.plants.binary_search(plant).ok()?;
        let s = self.spots.binary_search(spot).ok()?;
        self.of_plant.get(p)?.get(s * WEEKS..(s + 1) * WEEKS)
    }

    /// Mean of the weeks that are wanted.
    #[must_use]
    pub fn mean(
        &self,
        plant: &Id,
        spot: &Id,
        mut wanted: impl FnMut(Week, &Score) -> bool,
    ) -> Mean {
        let mut mean = Mean::default();
        let mut sum = 0.0;
        for (week, score) in Week::all().zip(self.year(plant, spot).unwrap_or_default()) {
            if !wanted(week, score) {
                continue;
            }
            mean.weeks += 1;
            match score.points {
                Some(points) => {
                    sum += points;
                    mean.least = Some(mean.least.map_or(points, |l: f64| l.min(points)));
                }
                None => mean.unknown_weeks += 1,
            }
        }
        let known = mean.weeks - mean.unknown_weeks;
        if known > 0 {
            mean.points = Some(sum / known as f64);
        }
        mean
    }

    /// Mean of each stage that the plant goes through, in the order of [`StageName`].
    #[must_use]
    pub fn by_stage(&self, plant: &Id, spot: &Id) -> Vec<(StageName, Mean)> {
        let mut stages: Vec<StageName> = self
            .year(plant, spot)
            .unwrap_or_default()
            .iter()
            .map(|s| s.stage)
            .collect();
        stages.sort_unstable();
        stages.dedup();
        stages
            .into_iter()
            .map(|stage| (stage, self.mean(plant, spot, |_, s| s.stage == stage)))
            .collect()
    }

    /// Mean of each season.
    #[must_use]
    pub fn by_season(&self, plant: &Id, spot: &Id, hemisphere: Hemisphere) -> [(Season, Mean); 4] {
        Season::ALL.map(|season| {
            (
                season,
                self.mean(plant, spot, |w, _| w.season(hemisphere) == season),
            )
        })
    }

    /// The spot that suits a plant best in a week; the first by name among equals.
    #[must_use]
    pub fn best_spot(&self, plant: &Id, week: Week) -> Option<BestSpot> {
        self.best(|spot| self.get(plant, spot, week)?.points)
    }

    /// The spot that suits a plant best throughout a stage.
    #[must_use]
    pub fn best_spot_in_stage(&self, plant: &Id, stage: StageName) -> Option<BestSpot> {
        self.best(|spot| self.mean(plant, spot, |_, s| s.stage == stage).points)
    }

    fn best(&self, points_of: impl Fn(&Id) -> Option<f64>) -> Option<BestSpot> {
        let mut best: Option<BestSpot> = None;
        for spot in &self.spots {
            let Some(points) = points_of(spot) else {
                continue;
            };
            if best.as_ref().is_none_or(|b| points > b.points) {
                best = Some(BestSpot {
                    spot: spot.clone(),
                    points,
                });
            }
        }
        best
    }

    /// The spot that suits a plant best in the mean of the weeks that are wanted.
    #[must_use]
    pub fn best_spot_over(
        &self,
        plant: &Id,
        wanted: impl Fn(Week, &Score) -> bool,
    ) -> Option<BestSpot> {
        self.best_spot_among(plant, |_| true, wanted)
    }

    /// The same among the spots for which `among` answers true.
    #[must_use]
    pub fn best_spot_among(
        &self,
        plant: &Id,
        among: impl Fn(&Id) -> bool,
        wanted: impl Fn(Week, &Score) -> bool,
    ) -> Option<BestSpot> {
        self.best(|spot| {
            among(spot)
                .then(|| self.mean(plant, spot, &wanted).points)
                .flatten()
        })
    }

    /// The plant that a spot suits best in the mean of the weeks that are wanted; the first by name among equals.
    #[must_use]
    pub fn best_plant_over(
        &self,
        spot: &Id,
        wanted: impl Fn(&Id, Week, &Score) -> bool,
    ) -> Option<BestPlant> {
        let mut best: Option<BestPlant> = None;
        for plant in &self.plants {
            let mean = self.mean(plant, spot, |week, score| wanted(plant, week, score));
            let Some(points) = mean.points else { continue };
            if best.as_ref().is_none_or(|b| points > b.points) {
                best = Some(BestPlant {
                    plant: plant.clone(),
                    points,
                });
            }
        }
        best
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{air::AirWeek, needs::library, scoring::score};

    /// A place whose nights and light stay the same all year.
    fn steady(dli: f64, night_c: f64) -> Vec<SpotWeek> {
        vec![
            SpotWeek {
                dli: Some(dli),
                clear_peak_ppfd: Some(dli * 40.0),
                air: Some(AirWeek {
                    day_c: night_c + 9.0,
                    max_c: night_c + 12.0,
                    night_c,
                    day_night_k: 12.0,
                    rh_day_pct: 60.0,
                    speed_m_s: 0.2,
                    ..AirWeek::default()
                }),
                ..SpotWeek::default()
            };
            WEEKS
        ]
    }

    fn collection(spots: &[(&str, Vec<SpotWeek>)]) -> Scores {
        let kind = |id: &str| &**library::kinds().get(&Id::new(id)).unwrap();
        // Out of order on purpose.
        let plants = [
            (Id::new("zygo"), kind("zygopetalum")),
            (Id::new("cym-b"), kind("cymbidium-standard")),
            (Id::new("bay"), kind("bay")),
            (Id::new("cym-a"), kind("cymbidium-standard")),
        ];
        let spots: Vec<(Id, &[SpotWeek])> = spots
            .iter()
            .map(|(id, weeks)| (Id::new(id), weeks.as_slice()))
            .collect();
        Scores::of(&plants, Hemisphere::North, &spots)
    }

    #[test]
    fn each_plant_finds_its_own_scores() {
        let scores = collection(&[("porch", steady(14.0, 9.0)), ("hall", steady(0.5, 17.0))]);
        assert_eq!(scores.plants.len(), 4);
        assert!(scores.plants.is_sorted() && scores.spots.is_sorted());
        for (plant, kind) in [
            ("bay", "bay"),
            ("cym-a", "cymbidium-standard"),
            ("cym-b", "cymbidium-standard"),
            ("zygo", "zygopetalum"),
        ] {
            let kind = library::kinds().get(&Id::new(kind)).unwrap();
            for (spot, weeks) in [("porch", steady(14.0, 9.0)), ("hall", steady(0.5, 17.0))] {
                for week in Week::all() {
                    assert_eq!(
                        scores.get(&Id::new(plant), &Id::new(spot), week),
                        Some(&score(kind, Hemisphere::North, week, &weeks[week.index()]))
                    );
                }
            }
        }
        assert_eq!(
            scores.get(&Id::new("none"), &Id::new("hall"), Week::new(0)),
            None
        );
    }

    #[test]
    fn means_count_each_week_once() {
        let scores = collection(&[("porch", steady(14.0, 9.0))]);
        let (plant, spot) = (Id::new("cym-a"), Id::new("porch"));
        let stages = scores.by_stage(&plant, &spot);
        assert_eq!(stages.iter().map(|(_, m)| m.weeks).sum::<usize>(), WEEKS);
        let seasons = scores.by_season(&plant, &spot, Hemisphere::North);
        assert_eq!(seasons.iter().map(|(_, m)| m.weeks).sum::<usize>(), WEEKS);
        let year = scores.mean(&plant, &spot, |_, _| true);
        let by_seasons: f64 = seasons
            .iter()
            .map(|(_, m)| m.points.unwrap() * m.weeks as f64)
            .sum();
        assert!((year.points.unwrap() * WEEKS as f64 - by_seasons).abs() < 1e-6);
        assert!(year.least.unwrap() <= year.points.unwrap());
    }

    #[test]
    fn unknown_spots_have_no_mean_and_are_never_best() {
        let scores = collection(&[("blank", Vec::new()), ("porch", steady(14.0, 9.0))]);
        let plant = Id::new("cym-a");
        let blank = scores.mean(&plant, &Id::new("blank"), |_, _| true);
        assert_eq!((blank.points, blank.unknown_weeks), (None, WEEKS));
        for week in Week::all() {
            assert_eq!(
                scores.best_spot(&plant, week).unwrap().spot,
                Id::new("porch")
            );
        }
        let best = scores.best_spot_in_stage(&plant, StageName::Bud).unwrap();
        assert_eq!(best.spot, Id::new("porch"));
        assert_eq!(
            scores.best_spot_in_stage(&plant, StageName::AfterBloom),
            None
        );
    }

    #[test]
    fn partners_are_found_both_ways() {
        let scores = collection(&[("porch", steady(14.0, 9.0)), ("hall", steady(0.5, 17.0))]);
        let best = scores
            .best_spot_over(&Id::new("cym-a"), |_, _| true)
            .unwrap();
        assert_eq!(best.spot, Id::new("porch"));
        for spot in ["porch", "hall"] {
            let spot = Id::new(spot);
            let best = scores.best_plant_over(&spot, |_, _, _| true).unwrap();
            let year = |plant: &str| scores.mean(&Id::new(plant), &spot, |_, _| true).points;
            for plant in ["bay", "cym-a", "cym-b", "zygo"] {
                assert!(Some(best.points) >= year(plant), "{plant}");
            }
        }
        assert_eq!(
            scores.best_plant_over(&Id::new("none"), |_, _, _| true),
            None
        );
    }

    #[test]
    fn bloom_places_are_ranked_with_reasons() {
        let mut one_hot_week = steady(8.0, 9.0);
        one_hot_week[50] = steady(8.0, 21.0).remove(50);
        let scores = collection(&[
            ("cool-porch", steady(8.0, 9.0)),
            ("hall", steady(0.8, 17.0)),
            ("party-room", one_hot_week),
            ("bench", steady(8.0, 9.0)),
        ]);
        let places = scores.bloom_places(&Id::new("cym-a"), |spot| spot.as_str() != "bench");
        let order: Vec<&str> = places.iter().map(|p| p.spot.as_str()).collect();
        assert_eq!(order, ["cool-porch", "party-room", "hall"]);
        assert_eq!(places[1].worst_week, Week::new(50));
        assert!(places[1].reason.starts_with("nights too warm: 21.0 °C"));
        assert!(places[1].points > places[1].worst + 20.0);
        let check = |place: usize, asked: &str| {
            let of = &places[place].checks;
            of.iter().find(|c| c.asked == asked).unwrap().met
        };
        assert_eq!(check(0, "bright"), Some(true));
        assert_eq!(check(0, "no heater's plume"), Some(true));
        assert_eq!(check(2, "bright"), Some(false));
        assert_eq!(check(2, "cool nights"), Some(false));
        // Bay is grown for its leaves.
        assert!(scores.bloom_places(&Id::new("bay"), |_| true).is_empty());
    }
}
