//! A plant's year as the plan has it, week by week.

use chrono::NaiveDate;

use crate::{
    app::{
        parts::{dates, score},
        state::Sight,
    },
    base::{Id, Week, calendar::WEEKS},
    needs::StageName,
    scoring::Score,
};

/// One week of a plant's year.
#[derive(Clone, Copy)]
pub struct PlantWeek<'a> {
    /// First day.
    pub date: NaiveDate,
    pub week: Week,
    pub stage: Option<StageName>,
    /// Where the plan has it.
    pub spot: Option<&'a Id>,
    pub pinned: bool,
    /// Score on that spot.
    pub score: Option<&'a Score>,
}

impl PlantWeek<'_> {
    #[must_use]
    pub fn points(&self) -> Option<f64> {
        self.score.and_then(|s| s.points)
    }

    /// `"week of 5 Oct, in flower setting, on the bench, scores 81, suits"`
    #[must_use]
    pub fn sentence(&self, sight: &Sight<'_>) -> String {
        let mut text = format!("week of {}", dates::short(self.date));
        if let Some(stage) = self.stage {
            text.push_str(&format!(", in {}", stage.word()));
        }
        if let Some(spot) = self.spot {
            text.push_str(&format!(", on {}", sight.spot_name(spot)));
            if self.pinned {
                text.push_str(", pinned");
            }
        }
        if let Some(points) = self.points() {
            text.push_str(&format!(", scores {}", score::words(Some(points))));
        }
        text
    }
}

/// A plant's week of the plan.
#[must_use]
pub fn of_plant<'a>(sight: &Sight<'a>, plant: &Id, plan_week: usize) -> PlantWeek<'a> {
    let week = sight.calendar_week(plan_week);
    let stay = sight.plan().and_then(|p| {
        p.solution.stays.iter().find(|s| {
            s.plant == *plant && (s.from_week..s.from_week + s.weeks).contains(&plan_week)
        })
    });
    let spot = stay.map(|s| &s.spot);
    let stage = sight.stage(plant, week).map(|(_, s)| s.stage);
    PlantWeek {
        date: sight.date_of(plan_week),
        week,
        stage,
        spot,
        pinned: stay.is_some_and(|s| s.pinned),
        score: spot.and_then(|s| sight.score(plant, s, week)),
    }
}

/// A plant's 52 weeks.
#[must_use]
pub fn year_of<'a>(sight: &Sight<'a>, plant: &Id) -> Vec<PlantWeek<'a>> {
    (0..WEEKS).map(|w| of_plant(sight, plant, w)).collect()
}

/// Runs of weeks with one value: value, first week, weeks.
#[must_use]
pub fn runs<T: PartialEq + Copy>(values: &[T]) -> Vec<(T, usize, usize)> {
    let mut out: Vec<(T, usize, usize)> = Vec::new();
    for (i, v) in values.iter().enumerate() {
        match out.last_mut() {
            Some((last, _, n)) if last == v => *n += 1,
            _ => out.push((*v, i, 1)),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_weeks_make_one_run() {
        assert_eq!(runs(&[1, 1, 2, 2, 2, 1]), [(1, 0, 2), (2, 2, 3), (1, 5, 1)]);
        assert!(runs::<u8>(&[]).is_empty());
    }
}
