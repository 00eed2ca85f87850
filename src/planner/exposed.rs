//! Weeks in which a plan leaves a plant where it comes to harm, why it finds no better place, and what would help.

use chrono::{Days, NaiveDate};
use serde::Serialize;

use super::{PLAN_WEEKS, PlanInputs, Problem, Solution, reasons::name_of};
use crate::{
    base::{
        Id,
        names::{short, years_in},
    },
    scoring::{Factor, Hazard, HazardKind, Limiting, Score, ScoreWord, why},
};

/// A place whose dangers leave less than this of a week's score is not safe (our choice).
const LEAST_LEFT: f64 = 0.5;

/// Spells that lie no further apart are told as one, weeks.
const BRIDGED: usize = 2;

/// A plant without a safe place for some weeks.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Exposed {
    pub plant: Id,
    /// First week of the plan, 0..52.
    pub from_week: usize,
    pub weeks: usize,
    /// Where the plan has it in the worst of these weeks; `None` where it has no room anywhere.
    pub spot: Option<Id>,
    /// `"no spot that it fits is safe from 7 December to 11 April: on “Bench” frost on leaves nearly every year"`
    pub what: String,
    /// `"the pot of 20 cm is 2 cm too wide for “Sill”, which would score 71 (suits)"`
    pub help: String,
}

impl Exposed {
    /// Both as one sentence.
    #[must_use]
    pub fn words(&self) -> String {
        format!("{}; {}", self.what, self.help)
    }
}

/// In the order of plants, then weeks. What is not known is not told of.
pub(super) fn of(inputs: &PlanInputs<'_>, problem: &Problem, solution: &Solution) -> Vec<Exposed> {
    let mut all = Vec::new();
    for plant in inputs.site.plants.ids() {
        let place = |week: usize| {
            solution
                .stays
                .iter()
                .find(|s| s.plant == *plant && (s.from_week..s.from_week + s.weeks).contains(&week))
                .map(|s| &s.spot)
        };
        let unsafe_weeks: Vec<usize> = (0..PLAN_WEEKS)
            .filter(|w| match place(*w) {
                Some(spot) => score(inputs, plant, spot, *w).is_some_and(|s| !is_safe(s)),
                None => !inputs.site.spots.is_empty(),
            })
            .collect();
        for spell in unsafe_weeks.chunk_by(|a, b| b - a <= BRIDGED) {
            let (Some(first), Some(last)) = (spell.first(), spell.last()) else {
                continue;
            };
            let points = |week: &usize| {
                place(*week)
                    .and_then(|s| score(inputs, plant, s, *week)?.points)
                    .unwrap_or(-1.0)
            };
            let worst = spell
                .iter()
                .copied()
                .min_by(|a, b| points(a).total_cmp(&points(b)))
                .unwrap_or(*first);
            let case = Case {
                inputs,
                problem,
                solution,
                plant,
                spell,
                spot: place(worst),
                worst,
            };
            let (what, help) = case.told(*first, *last);
            all.push(Exposed {
                plant: plant.clone(),
                from_week: *first,
                weeks: last + 1 - first,
                spot: case.spot.cloned(),
                what,
                help,
            });
        }
    }
    all
}

fn score<'a>(inputs: &PlanInputs<'a>, plant: &Id, spot: &Id, week: usize) -> Option<&'a Score> {
    inputs.scores.get(plant, spot, inputs.calendar_week(week))
}

fn left(score: &Score) -> f64 {
    score.hazards.iter().map(Hazard::left).product()
}

/// The danger that leaves least, where that is not safe.
fn worst_hazard(score: &Score) -> Option<&Hazard> {
    score
        .hazards
        .iter()
        .min_by(|a, b| a.left().total_cmp(&b.left()))
        .filter(|h| h.left() < LEAST_LEFT)
}

/// Neither in great danger nor harmed by cold, heat or sun as they usually are in the week. A dim week harms none yet.
fn is_safe(score: &Score) -> bool {
    let harmed = score
        .points
        .is_some_and(|p| ScoreWord::of(p) == ScoreWord::Harmed)
        && matches!(
            score.limiting,
            Limiting::Factor(Factor::NightWarmth | Factor::DayWarmth | Factor::PeakLight)
        );
    !harmed && left(score) >= LEAST_LEFT
}

struct Case<'a> {
    inputs: &'a PlanInputs<'a>,
    problem: &'a Problem,
    solution: &'a Solution,
    plant: &'a Id,
    spell: &'a [usize],
    spot: Option<&'a Id>,
    worst: usize,
}

/// Another spot through the weeks of a spell.
struct Other<'a> {
    id: &'a Id,
    index: usize,
    /// Mean of the weeks, 0..=100.
    points: f64,
}

impl Case<'_> {
    fn told(&self, first: usize, last: usize) -> (String, String) {
        let safe = self.safe_elsewhere();
        let fitting: Vec<&Other<'_>> = safe
            .iter()
            .filter(|o| self.fits(o) && self.open_always(o))
            .collect();
        let weeks = self.weeks(first, last);
        let head = match (self.spot, fitting.is_empty()) {
            (None, _) => format!("there is no room for it {weeks}"),
            (Some(_), true) => format!("no spot that it fits is safe {weeks}"),
            (Some(_), false) => format!("it has no safe place {weeks}"),
        };
        let what = match self.danger() {
            Some(danger) => format!("{head}: {danger}"),
            None => head,
        };
        (what, self.help(&safe, &fitting))
    }

    /// `"from 7 December to 11 April"`
    fn weeks(&self, first: usize, last: usize) -> String {
        let day = |week: usize| -> NaiveDate { self.inputs.from + Days::new(week as u64 * 7) };
        if first == 0 && last + 1 >= PLAN_WEEKS {
            return "in any week".to_owned();
        }
        format!(
            "from {} to {}",
            day(first).format("%-d %B"),
            (day(last) + Days::new(6)).format("%-d %B")
        )
    }

    /// What threatens in the worst week.
    fn danger(&self) -> Option<String> {
        let spot = self.spot?;
        let score = score(self.inputs, self.plant, spot, self.worst)?;
        let name = name_of(self.inputs, spot);
        Some(match worst_hazard(score) {
            Some(hazard) => format!(
                "on {name} {} {} in the worst week",
                hazard.kind.name(),
                years_in(hazard.chance)
            ),
            None => format!("on {name} {}", why(score)),
        })
    }

    /// Spots where it would be safe and not harmed otherwise in all these weeks, the best first.
    fn safe_elsewhere(&self) -> Vec<Other<'_>> {
        let mut all: Vec<Other<'_>> = self
            .problem
            .spots
            .iter()
            .enumerate()
            .filter_map(|(index, row)| {
                let mut sum = 0.0;
                for week in self.spell {
                    let score = score(self.inputs, self.plant, &row.id, *week)?;
                    if !is_safe(score) {
                        return None;
                    }
                    sum += score.points?;
                }
                let points = sum / self.spell.len().max(1) as f64;
                // Out of the frost and into the dark is no help.
                (ScoreWord::of(points) != ScoreWord::Harmed).then_some(Other {
                    id: &row.id,
                    index,
                    points,
                })
            })
            .collect();
        all.sort_by(|a, b| b.points.total_cmp(&a.points).then_with(|| a.id.cmp(b.id)));
        all
    }

    fn fits(&self, other: &Other<'_>) -> bool {
        self.inputs.site.misfit(self.plant, other.id).is_none()
    }

    fn open_always(&self, other: &Other<'_>) -> bool {
        self.problem.spots.get(other.index).is_some_and(|row| {
            self.spell
                .iter()
                .all(|w| row.open.get(*w).copied().unwrap_or(false))
        })
    }

    /// Whether nobody is there when it would have to move.
    fn is_away(&self) -> bool {
        let first = self.spell.first().copied().unwrap_or(0);
        self.problem.absent.get(first).copied().unwrap_or(false)
    }

    /// Whether the plan leaves room for it there in all these weeks.
    fn has_room(&self, other: &Other<'_>) -> bool {
        let print = |plant: &Id| {
            let row = self.problem.plants.iter().find(|p| p.id == *plant);
            row.map_or(0, |p| p.footprint)
        };
        let room = self
            .problem
            .spots
            .get(other.index)
            .map_or(0, |s| s.capacity);
        self.spell.iter().all(|w| {
            let taken: u32 = self
                .solution
                .stays
                .iter()
                .filter(|s| s.plant != *self.plant && s.spot == *other.id)
                .filter(|s| (s.from_week..s.from_week + s.weeks).contains(w))
                .map(|s| print(&s.plant))
                .sum();
            taken + print(self.plant) <= room
        })
    }

    fn help(&self, safe: &[Other<'_>], fitting: &[&Other<'_>]) -> String {
        let name = |o: &Other<'_>| name_of(self.inputs, o.id);
        let scores = |o: &Other<'_>| {
            format!(
                "would score {:.0} ({})",
                o.points,
                ScoreWord::of(o.points).word()
            )
        };
        let pinned = self.spell.iter().any(|w| {
            let day = self.inputs.from + Days::new(*w as u64 * 7 + 3);
            let pins = &self.inputs.site.choices.pins;
            pins.iter()
                .any(|p| p.plant == *self.plant && (p.from..=p.to).contains(&day))
        });
        if let Some(best) = fitting.first() {
            return if pinned {
                format!("without your pin {} {}", name(best), scores(best))
            } else if self.is_away() {
                format!(
                    "{} {}, but you are away and nobody carries it there",
                    name(best),
                    scores(best)
                )
            } else if let Some(free) = fitting.iter().find(|o| self.has_room(o)) {
                format!(
                    "{} {} and has room, but the moves cost the plan more: pin it there if you would rather be safe",
                    name(free),
                    scores(free)
                )
            } else {
                format!(
                    "{} {}, but others have its room then: make room for one pot more there",
                    name(best),
                    scores(best)
                )
            };
        }
        // The best that asks for one thing only.
        for other in safe {
            let misfit = self.inputs.site.misfit(self.plant, other.id);
            match (misfit, self.open_always(other)) {
                (Some(misfit), true) => {
                    return format!(
                        "the pot of {} cm is {} cm too wide for {}, which {}: a place for wider pots there would do",
                        short(misfit.pot_cm),
                        short(misfit.over_cm()),
                        name(other),
                        scores(other)
                    );
                }
                (None, false) => {
                    return format!(
                        "{} {} but is not used in all these months",
                        name(other),
                        scores(other)
                    );
                }
                _ => {}
            }
        }
        format!(
            "no drawn spot would do in all these weeks: draw one that does, such as {}",
            self.wanted_place()
        )
    }

    /// A place without what threatens in the worst week.
    fn wanted_place(&self) -> &'static str {
        const WARM: &str = "a bright frost-free room or porch";
        const COOL: &str = "a cool airy place in half shade";
        const SHADY: &str = "a shadier place";
        let score = self
            .spot
            .and_then(|spot| score(self.inputs, self.plant, spot, self.worst));
        let Some(score) = score else {
            return "a place with room for it";
        };
        if let Some(hazard) = worst_hazard(score) {
            return match hazard.kind {
                HazardKind::LeafFrost | HazardKind::BudFrost | HazardKind::RootFrost => WARM,
                HazardKind::Scorch => SHADY,
                HazardKind::BudHeat | HazardKind::RootHeat => COOL,
                HazardKind::HeaterPlume | HazardKind::VentJet => {
                    "a place out of the way of heaters and vents"
                }
            };
        }
        let Limiting::Factor(factor) = score.limiting else {
            return WARM;
        };
        let is_high = score
            .factor(factor)
            .is_some_and(|f| f.value.is_some_and(|v| v > f.band.ideal_high()));
        match (factor, is_high) {
            (Factor::PeakLight, _) => SHADY,
            (_, true) => COOL,
            (_, false) => WARM,
        }
    }
}
