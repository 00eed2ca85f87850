//! Why each move is made: what ends the old stay and what the new place offers, week against week.

use chrono::{Days, NaiveDate};

use super::{Move, PLAN_WEEKS, PlanInputs, Solution, Stay, build::start, cautions};
use crate::{
    base::{
        Id,
        names::{short, years_in},
    },
    needs::Kind,
    scoring::{Factor, FactorScore, HazardKind, Score, ScoreWord},
};

/// Moves of a solution in the order of dates, then plants.
pub(super) fn moves(inputs: &PlanInputs<'_>, solution: &Solution) -> Vec<Move> {
    let mut moves = Vec::new();
    for (id, plant) in inputs.site.plants.iter() {
        let stays: Vec<&Stay> = solution.stays.iter().filter(|s| s.plant == *id).collect();
        let mut before = start(inputs, id, plant)
            .cloned()
            .filter(|s| inputs.site.spots.contains(s));
        for (i, stay) in stays.iter().enumerate() {
            let from = before.replace(stay.spot.clone());
            if from.as_ref() == Some(&stay.spot) || stay.from_week >= PLAN_WEEKS {
                continue;
            }
            let case = Case {
                inputs,
                solution,
                plant: id,
                kind: inputs.site.kind(&plant.kind),
                from: from.as_ref(),
                stay,
                next: stays.get(i + 1).copied(),
            };
            moves.push(Move {
                plant: id.clone(),
                from: from.clone(),
                to: stay.spot.clone(),
                week: stay.from_week,
                date: day_of_move(inputs, stay.from_week),
                reason: case.reason(),
                cautions: cautions::of(
                    inputs,
                    (&stay.plant, plant),
                    from.as_ref(),
                    &stay.spot,
                    stay.from_week,
                ),
            });
        }
    }
    moves.sort_by(|a, b| (a.week, a.date, &a.plant).cmp(&(b.week, b.date, &b.plant)));
    moves
}

fn day_of_move(inputs: &PlanInputs<'_>, week: usize) -> NaiveDate {
    let first = inputs.from + Days::new(week as u64 * 7);
    let away = |d: NaiveDate| {
        inputs
            .site
            .choices
            .absences
            .iter()
            .any(|a| (a.from..=a.to).contains(&d))
    };
    (0..7)
        .map(|d| first + Days::new(d))
        .find(|d| !away(*d))
        .unwrap_or(first)
}

/// One move that is to be explained.
struct Case<'a> {
    inputs: &'a PlanInputs<'a>,
    solution: &'a Solution,
    plant: &'a Id,
    kind: Option<&'a Kind>,
    from: Option<&'a Id>,
    stay: &'a Stay,
    next: Option<&'a Stay>,
}

impl Case<'_> {
    fn reason(&self) -> String {
        let there = self.offer();
        if self.done() {
            return format!("done, as you recorded; {there}");
        }
        if self.pinned_now() {
            return format!("you have pinned it there; {there}");
        }
        let Some(from) = self.from else {
            return format!("its first place: {there}");
        };
        let weeks = self.weeks();
        if let Some(closed) = self.closed(from) {
            return format!("{closed}; {there}");
        }
        // Why now: a place that is better at once is the reason, even where danger comes later.
        let soon = &weeks[..weeks.len().min(3)];
        if let (Some(here), Some(then)) = (self.mean(from, soon), self.mean(&self.stay.spot, soon))
            && then > here + 8.0
            && self.danger(from, soon).is_none()
            && let Some(better) = self.better_factor(from, soon)
        {
            return format!("{better}; {there}{}", against(self.mean(from, &weeks)));
        }
        if let Some(danger) = self.danger(from, &weeks) {
            return format!("{danger}; {there}");
        }
        let (here_mean, there_mean) = (self.mean(from, &weeks), self.mean(&self.stay.spot, &weeks));
        let gains = matches!((here_mean, there_mean), (Some(a), Some(b)) if b > a + 2.0);
        if gains && let Some(better) = self.better_factor(from, &weeks) {
            return format!("{better}; {there}{}", against(here_mean));
        }
        if let Some(other) = self.arriving_in_its_stead(from) {
            return format!("makes room for {other}, which gains more there; {there}");
        }
        if let Some(next) = self.next.filter(|_| !gains) {
            return format!(
                "a step on the way to {}; {there}",
                self.spot_name(&next.spot)
            );
        }
        if gains {
            return format!("suits it better; {there}{}", against(here_mean));
        }
        format!(
            "fits the plan of the others best; {there}{}",
            against(here_mean)
        )
    }

    /// Weeks of the new stay, as far as the plan is shown and a year's turn is not repeated.
    fn weeks(&self) -> Vec<usize> {
        (self.stay.from_week..self.stay.from_week + self.stay.weeks.clamp(1, 20)).collect()
    }

    fn score(&self, spot: &Id, week: usize) -> Option<&Score> {
        self.inputs
            .scores
            .get(self.plant, spot, self.inputs.calendar_week(week))
    }

    fn mean(&self, spot: &Id, weeks: &[usize]) -> Option<f64> {
        let points: Vec<f64> = weeks
            .iter()
            .filter_map(|w| self.score(spot, *w)?.points)
            .collect();
        (!points.is_empty()).then(|| points.iter().sum::<f64>() / points.len() as f64)
    }

    fn spot_name(&self, spot: &Id) -> String {
        name_of(self.inputs, spot)
    }

    /// `"the porch scores 81 (suits)"`.
    fn offer(&self) -> String {
        let name = self.spot_name(&self.stay.spot);
        match self.mean(&self.stay.spot, &self.weeks()) {
            Some(points) => {
                format!(
                    "{name} scores {points:.0} ({})",
                    ScoreWord::of(points.round()).word()
                )
            }
            None => format!("too little is known of {name} to score it"),
        }
    }

    /// Whether the journal tells of this move in its week.
    fn done(&self) -> bool {
        let first = self.inputs.from + Days::new(self.stay.from_week as u64 * 7);
        let week = first..=first + Days::new(6);
        self.inputs
            .site
            .recorded_moves(self.plant)
            .iter()
            .any(|(date, to, _)| **to == self.stay.spot && week.contains(date))
    }

    fn pinned_now(&self) -> bool {
        let day = self.inputs.from + Days::new(self.stay.from_week as u64 * 7 + 3);
        self.inputs.site.choices.pins.iter().any(|p| {
            p.plant == *self.plant && p.spot == self.stay.spot && (p.from..=p.to).contains(&day)
        })
    }

    fn closed(&self, from: &Id) -> Option<String> {
        let spot = self.inputs.site.spots.get(from)?;
        let month = self.inputs.calendar_week(self.stay.from_week).month0();
        (!spot.months.has(month)).then(|| {
            format!(
                "{} is not used in {}",
                self.spot_name(from),
                crate::base::calendar::MONTH_NAMES[month]
            )
        })
    }

    /// A danger at the old place in the weeks to come that the new place has much less of.
    fn danger(&self, from: &Id, weeks: &[usize]) -> Option<String> {
        let ahead = &weeks[..weeks.len().min(8)];
        let chance = |spot: &Id, kind: HazardKind| {
            1.0 - ahead
                .iter()
                .filter_map(|w| {
                    self.score(spot, *w)?
                        .hazards
                        .iter()
                        .find(|h| h.kind == kind)
                })
                .map(|h| 1.0 - h.chance * h.severity.min(1.0))
                .product::<f64>()
        };
        let kinds = [
            HazardKind::LeafFrost,
            HazardKind::BudFrost,
            HazardKind::RootFrost,
            HazardKind::Scorch,
            HazardKind::BudHeat,
            HazardKind::RootHeat,
            HazardKind::HeaterPlume,
            HazardKind::VentJet,
        ];
        let (kind, loss) = kinds
            .into_iter()
            .map(|k| (k, chance(from, k) - chance(&self.stay.spot, k)))
            .max_by(|a, b| a.1.total_cmp(&b.1))?;
        if loss < 0.03 {
            return None;
        }
        // Told as years in which it strikes at all, up to the week when that is first worth naming.
        let mut spared = 1.0;
        let mut until = 0;
        for week in ahead {
            let hazards = self.score(from, *week).map_or(&[][..], |s| &s.hazards);
            let chance = hazards
                .iter()
                .find(|h| h.kind == kind)
                .map_or(0.0, |h| h.chance);
            spared *= 1.0 - chance;
            until = *week;
            if spared < 0.9 {
                break;
            }
        }
        let strikes = 1.0 - spared;
        let what = match kind {
            HazardKind::LeafFrost => "frost on the leaves",
            HazardKind::BudFrost => "frost on the buds",
            HazardKind::RootFrost => "a frozen pot",
            HazardKind::Scorch => "scorched leaves",
            HazardKind::BudHeat => "heat on the buds",
            HazardKind::RootHeat => "a hot pot",
            HazardKind::HeaterPlume => "a heater's plume on the buds",
            HazardKind::VentJet => "a vent's jet on the buds",
        };
        let before = self.inputs.from + Days::new(until as u64 * 7 + 7);
        Some(format!(
            "{what} at {} {} before {}",
            self.spot_name(from),
            years_in(strikes),
            before.format("%-d %B")
        ))
    }

    /// The condition that differs most to the good: `"more light: 17 against 8 mol/d, wants 15-22"`.
    fn better_factor(&self, from: &Id, weeks: &[usize]) -> Option<String> {
        let mut best: Option<(f64, FactorScore, FactorScore)> = None;
        for week in weeks {
            let (Some(here), Some(there)) =
                (self.score(from, *week), self.score(&self.stay.spot, *week))
            else {
                continue;
            };
            for old in here.factors() {
                let Some(new) = there.factor(old.factor) else {
                    continue;
                };
                let (Some(a), Some(b)) = (old.response, new.response) else {
                    continue;
                };
                let gain = (b - a) * old.weight.max(0.0);
                if gain > best.as_ref().map_or(0.05, |(g, ..)| *g) {
                    best = Some((gain, old, new));
                }
            }
        }
        let (_, old, new) = best?;
        let (was, is) = (old.value?, new.value?);
        let more = is > was;
        let (words, unit, digits) = match old.factor {
            Factor::Light => (("more light", "less light"), "mol/m² a day", 0),
            Factor::PeakLight => (("brighter noons", "softer noons"), "µmol/m² s", 0),
            Factor::DayWarmth => (("warmer days", "cooler days"), "°C", 0),
            Factor::NightWarmth => (("warmer nights", "cooler nights"), "°C", 0),
            Factor::DayNightDifference => (
                ("more between day and night", "less between day and night"),
                "K",
                0,
            ),
            Factor::Humidity => (("moister air", "drier air"), "%", 0),
            Factor::DryingAir => (("harder drying air", "softer air"), "kPa", 1),
            Factor::AirMovement => (("more air", "stiller air"), "m/s", 1),
        };
        // So near zero that whole units would hide the difference.
        let digits = if was.abs().max(is.abs()) < 10.0 {
            digits.max(1)
        } else {
            digits
        };
        let wants = match old.factor {
            Factor::PeakLight => format!("wants at most {:.0}", old.band.ideal_high()),
            Factor::DryingAir => format!("bears {:.1}", old.band.ideal_high()),
            Factor::DayNightDifference => format!("wants {:.0} or more", old.band.ideal_low()),
            _ => format!(
                "wants {} to {}",
                short(old.band.ideal_low()),
                short(old.band.ideal_high())
            ),
        };
        Some(format!(
            "{}: {is:.digits$} against {was:.digits$} {unit}, {wants}",
            if more { words.0 } else { words.1 }
        ))
    }

    /// A plant that arrives at the old place within two weeks.
    fn arriving_in_its_stead(&self, from: &Id) -> Option<String> {
        let now = self.stay.from_week;
        self.solution
            .stays
            .iter()
            .find(|s| {
                s.plant != *self.plant
                    && s.spot == *from
                    && s.from_week > 0
                    && (now..now + 2).contains(&s.from_week)
            })
            .and_then(|s| self.inputs.site.plants.get(&s.plant))
            .map(|p| format!("“{}”", p.name))
            .or_else(|| self.kind.is_none().then(|| "others".to_owned()))
    }
}

fn against(points: Option<f64>) -> String {
    points.map_or_else(String::new, |p| format!(" against {p:.0}"))
}

/// Name of a spot for a sentence; its identifier if it has none.
pub(super) fn name_of(inputs: &PlanInputs<'_>, spot: &Id) -> String {
    inputs
        .site
        .spots
        .get(spot)
        .map(|s| s.name.as_str())
        .filter(|n| !n.is_empty())
        .map_or_else(|| spot.to_string(), |n| format!("“{n}”"))
}
