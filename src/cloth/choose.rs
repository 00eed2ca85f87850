//! The comparison: every percentage, colour and span of months by the plants' own scores.

use rayon::prelude::*;

use super::{
    COLOURS, CannotChoose, ClothInputs, Frame, PlantAsk, Report, SOLD_PCT, Trial,
    trials::{Trials, Which},
    verdict, words,
};
use crate::{
    base::{Cancelled, Id, Months, Progress, Week, calendar::WEEKS},
    needs::Kind,
    scoring::{SpotWeek, score_by},
    site::edit::ObjectKind,
    stages::{StageCalendar, Warmth},
};

/// Points of the year that it costs to put a cloth up and take it down once a year (our choice).
const HANDLING_POINTS: f64 = 0.5;
/// Points for each percent of shade: among near equals the thinner cloth is the smaller sail and leaves more light in
/// dull years (our choice: 90 % must gain a point more than 40 %).
const DENSITY_POINTS: f64 = 0.02;
/// Points that a colour other than black must gain to be named (our choice).
const COLOUR_POINTS: f64 = 0.25;
/// A cloth that gains less over none is not worth hanging (our choice: a point is nothing to notice on a plant).
pub(super) const LEAST_GAIN: f64 = 1.0;
/// Spans of months that are put together exactly for each percentage, out of those that look best.
const FINALISTS: usize = 3;

/// Scores of 52 weeks for each plant.
pub(super) type Weeks = Vec<Vec<Option<f64>>>;

/// The best cloth over a spot for one plant or several, out of all percentages sold, colours and spans of months.
///
/// For several plants the cloth is sought whose greatest loss, against a cloth of each plant's own, is least.
///
/// # Errors
/// [`CannotChoose`]: a spot indoors, no plants, no weeks that count, or cancelled.
pub fn choose(
    inputs: &ClothInputs<'_>,
    spot_id: &Id,
    asks: &[PlantAsk],
    progress: &Progress,
) -> Result<Report, CannotChoose> {
    let site = inputs.site;
    let spot = site
        .spots
        .get(spot_id)
        .ok_or_else(|| CannotChoose::NoSpot(spot_id.clone()))?;
    let name = site.name_of(ObjectKind::Spot, spot_id);
    if spot.room.is_some() {
        return Err(CannotChoose::Indoors(name));
    }
    let warmth = Warmth::of(&inputs.weather.normals, site.hemisphere());
    // Where the site names no day, the plants' records count as habits.
    let from = site.choices.plan_from.unwrap_or(chrono::NaiveDate::MAX);
    let wanting: Vec<Wanting<'_>> = asks
        .iter()
        .filter_map(|ask| {
            let plant = site.plants.get(&ask.plant)?;
            Some(Wanting {
                id: &ask.plant,
                kind: site.kind(&plant.kind)?,
                calendar: StageCalendar::of_plant(site, &ask.plant, Some(&warmth), from)?,
                weeks: &ask.weeks,
            })
        })
        .collect();
    if wanting.is_empty() {
        return Err(CannotChoose::NoPlants(name));
    }
    let counted = words::months_where(|m| {
        Week::all().any(|w| w.month0() == m && wanting.iter().any(|p| p.weeks[w.index()]))
    });
    if counted == Months::NONE {
        return Err(CannotChoose::NoWeeks(name));
    }
    let frame = Frame::over(site, spot_id, spot);
    let trials = Trials::of(inputs, spot_id, spot, &frame, progress)?;
    progress.tell("Scores under each cloth", 0.8);
    let job = Job {
        trials,
        wanting,
        counted,
    };
    let found = job.compare(progress)?;
    progress.tell("The verdict", 1.0);
    let wanted = job.wanting.iter().map(|p| job.wanted(p)).collect();
    Ok(verdict::report(inputs, spot_id, frame, found, wanted))
}

pub(super) struct Wanting<'a> {
    pub id: &'a Id,
    pub kind: &'a Kind,
    pub calendar: StageCalendar,
    pub weeks: &'a [bool; WEEKS],
}

pub(super) struct Job<'a> {
    pub trials: Trials,
    pub wanting: Vec<Wanting<'a>>,
    /// Months with weeks that count.
    pub counted: Months,
}

/// The comparison before it is put in words.
pub(super) struct Found {
    pub trials: Vec<Trial>,
    pub chosen: usize,
    /// The plant that loses most against its own best cloth, and how many points, where there are several.
    pub limits: Option<(Id, f64)>,
    /// What each plant would get on its own: percentage (0 is none), in the order of the plants.
    pub own_best_pct: Vec<f64>,
}

/// A cloth with its months, and each plant's year.
pub(super) struct Candidate {
    pub which: Option<Which>,
    pub months: Months,
    cost: f64,
    pub points: Vec<Option<f64>>,
}

impl Job<'_> {
    fn compare(&self, progress: &Progress) -> Result<Found, Cancelled> {
        let spans = spans(self.counted);
        let none = self.scored(&self.trials.year(None, Months::NONE));
        let all: Vec<Which> = (0..SOLD_PCT.len())
            .flat_map(|size| COLOURS.map(|colour| Which { size, colour }))
            .collect();
        // Scores with the cloth always up: spans are first compared week by week from these.
        let up: Vec<Weeks> = all
            .par_iter()
            .map(|w| {
                progress.check()?;
                Ok(self.scored(&self.trials.year(Some(*w), Months::ALL)))
            })
            .collect::<Result<_, Cancelled>>()?;
        let mut rough = vec![self.candidate(None, Months::NONE, &none)];
        for (which, weeks) in all.iter().zip(&up) {
            for span in &spans {
                let mixed = mixed(&none, weeks, *span);
                rough.push(self.candidate(Some(*which), *span, &mixed));
            }
        }
        let best_own = self.best_own(&rough);
        progress.tell("Scores under each cloth", 0.9);
        // All sizes are compared in the colour of the best, so that only their percentage differs.
        let colour = rough
            .iter()
            .filter_map(|c| Some((c.which?.colour, self.rank(c, &best_own))))
            .min_by(|a, b| compare(&a.1, &b.1))
            .map_or(COLOURS[0], |c| c.0);
        let sizes: Vec<Vec<Candidate>> = (0..SOLD_PCT.len())
            .into_par_iter()
            .map(|size| {
                progress.check()?;
                Ok(self.finalists(&rough, Which { size, colour }, &best_own))
            })
            .collect::<Result<_, Cancelled>>()?;

        let mut candidates = vec![self.candidate(None, Months::NONE, &none)];
        candidates.extend(sizes.into_iter().filter_map(|f| {
            f.into_iter()
                .min_by(|a, b| compare(&self.rank(a, &best_own), &self.rank(b, &best_own)))
        }));
        let best_own = self.best_own(&candidates);
        let chosen = (0..candidates.len())
            .min_by(|a, b| {
                compare(
                    &self.rank(&candidates[*a], &best_own),
                    &self.rank(&candidates[*b], &best_own),
                )
            })
            .unwrap_or(0);
        let gain = mean(&candidates[chosen].points).unwrap_or(0.0)
            - mean(&candidates[0].points).unwrap_or(0.0);
        let chosen = if gain < LEAST_GAIN { 0 } else { chosen };
        let limits = (self.wanting.len() > 1)
            .then(|| self.hardest_hit(&candidates[chosen], &best_own))
            .flatten();
        let own_best_pct = (0..self.wanting.len())
            .map(|p| self.own_best(&candidates, p))
            .collect();
        let trials = candidates.into_par_iter().map(|c| self.trial(c)).collect();
        Ok(Found {
            trials,
            chosen,
            limits,
            own_best_pct,
        })
    }

    /// The few best spans of one cloth, put together exactly.
    fn finalists(&self, rough: &[Candidate], which: Which, best_own: &[f64]) -> Vec<Candidate> {
        let mut spans: Vec<(&Candidate, (f64, f64))> = rough
            .iter()
            .filter(|c| c.which == Some(which))
            .map(|c| (c, self.rank(c, best_own)))
            .collect();
        spans.sort_by(|a, b| compare(&a.1, &b.1));
        spans
            .into_iter()
            .take(FINALISTS)
            .map(|(c, _)| {
                let weeks = self.scored(&self.trials.year(c.which, c.months));
                self.candidate(c.which, c.months, &weeks)
            })
            .collect()
    }

    pub(super) fn candidate(
        &self,
        which: Option<Which>,
        months: Months,
        weeks: &Weeks,
    ) -> Candidate {
        let cost = which.filter(|_| months != Months::NONE).map_or(0.0, |w| {
            let handling = if months == self.counted {
                0.0
            } else {
                HANDLING_POINTS
            };
            let colour = if w.colour == COLOURS[0] {
                0.0
            } else {
                COLOUR_POINTS
            };
            handling + colour + DENSITY_POINTS * SOLD_PCT.get(w.size).copied().unwrap_or(0.0)
        });
        Candidate {
            which,
            months,
            cost,
            points: self
                .wanting
                .iter()
                .zip(weeks)
                .map(|(p, weeks)| counted_mean(weeks, p.weeks))
                .collect(),
        }
    }

    /// Each plant's best net year.
    fn best_own(&self, candidates: &[Candidate]) -> Vec<f64> {
        (0..self.wanting.len())
            .map(|p| {
                candidates
                    .iter()
                    .filter_map(|c| Some((*c.points.get(p)?)? - c.cost))
                    .fold(0.0, f64::max)
            })
            .collect()
    }

    /// Percentage of a plant's own best cloth; 0 where none is worth its while.
    fn own_best(&self, candidates: &[Candidate], p: usize) -> f64 {
        let net = |c: &Candidate| c.points.get(p).copied().flatten().map(|v| v - c.cost);
        let none = candidates.first().and_then(net).unwrap_or(0.0);
        candidates
            .iter()
            .filter_map(|c| Some((c, net(c)?)))
            .filter(|(_, v)| *v >= none + LEAST_GAIN)
            .min_by(|a, b| b.1.total_cmp(&a.1))
            .and_then(|(c, _)| SOLD_PCT.get(c.which?.size).copied())
            .unwrap_or(0.0)
    }

    /// Greatest loss of any plant against its own best, then the mean loss: less is better.
    fn rank(&self, c: &Candidate, best_own: &[f64]) -> (f64, f64) {
        let losses: Vec<f64> = c
            .points
            .iter()
            .zip(best_own)
            .map(|(v, best)| best + c.cost - v.unwrap_or(0.0))
            .collect();
        let most = losses.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        (
            most,
            losses.iter().sum::<f64>() / losses.len().max(1) as f64,
        )
    }

    fn hardest_hit(&self, c: &Candidate, best_own: &[f64]) -> Option<(Id, f64)> {
        let losses = c
            .points
            .iter()
            .zip(best_own)
            .map(|(v, best)| best + c.cost - v.unwrap_or(0.0));
        let (at, loss) = losses.enumerate().min_by(|a, b| b.1.total_cmp(&a.1))?;
        Some((self.wanting.get(at)?.id.clone(), loss))
    }

    /// Points of every plant in every week.
    pub(super) fn scored(&self, weeks: &[SpotWeek]) -> Weeks {
        self.of_plants(|p| {
            Week::all()
                .zip(weeks)
                .map(|(week, offered)| score_by(p.kind, &p.calendar, week, offered).points)
                .collect()
        })
    }

    /// The same work once for plants of one kind and calendar, told for each plant.
    fn of_plants<T: Clone>(&self, work: impl Fn(&Wanting<'_>) -> T) -> Vec<T> {
        let mut done: Vec<(&Wanting<'_>, T)> = Vec::new();
        let same = |a: &Wanting<'_>, b: &Wanting<'_>| {
            std::ptr::eq(a.kind, b.kind) && a.calendar == b.calendar
        };
        self.wanting
            .iter()
            .map(|p| match done.iter().find(|d| same(d.0, p)) {
                Some((_, found)) => found.clone(),
                None => {
                    let found = work(p);
                    done.push((p, found.clone()));
                    found
                }
            })
            .collect()
    }
}

/// Every unbroken span of months within those that count, and never; without repeats, in a fixed order.
fn spans(counted: Months) -> Vec<Months> {
    let mut spans = vec![counted];
    for first in 1..=12 {
        for last in 1..=12 {
            let span = Months::span(first, last);
            let within = words::months_where(|m| span.has(m) && counted.has(m));
            if !spans.contains(&within) {
                spans.push(within);
            }
        }
    }
    if !spans.contains(&Months::NONE) {
        spans.push(Months::NONE);
    }
    spans
}

fn mixed(none: &Weeks, up: &Weeks, months: Months) -> Weeks {
    none.iter()
        .zip(up)
        .map(|(none, up)| {
            none.iter()
                .zip(up)
                .enumerate()
                .map(|(w, (none, up))| {
                    if months.has(Week::new(w).month0()) {
                        *up
                    } else {
                        *none
                    }
                })
                .collect()
        })
        .collect()
}

/// Mean of the weeks that count and have a score.
fn counted_mean(weeks: &[Option<f64>], counted: &[bool; WEEKS]) -> Option<f64> {
    let known: Vec<Option<f64>> = weeks
        .iter()
        .zip(counted)
        .filter(|(_, counts)| **counts)
        .map(|(v, _)| *v)
        .collect();
    mean(&known)
}

pub(super) fn mean(values: &[Option<f64>]) -> Option<f64> {
    let known: Vec<f64> = values.iter().copied().flatten().collect();
    (!known.is_empty()).then(|| known.iter().sum::<f64>() / known.len() as f64)
}

fn compare(a: &(f64, f64), b: &(f64, f64)) -> std::cmp::Ordering {
    a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
}
