//! A plant's year under one cloth, and what the plant wants, month by month.

use super::{
    COLOURS, MonthUnder, MonthWanted, PlantWanted, PlantYear, SOLD_PCT, Trial,
    choose::{Candidate, Job, Wanting, mean},
    trials::Which,
};
use crate::{
    base::{Day, Months, Week, calendar::MONTH_STARTS},
    needs::LightForm,
    scoring::{Limiting, Score, SpotWeek, noon_leaf, score_by},
};

impl Job<'_> {
    pub(super) fn trial(&self, c: Candidate) -> Trial {
        let weeks = self.trials.year(c.which, c.months);
        let up = self.trials.year(c.which, Months::ALL);
        let year = |which: Which, months: Months| {
            let weeks = self.scored(&self.trials.year(Some(which), months));
            mean(&self.candidate(Some(which), months, &weeks).points)
        };
        let colour_scores = c.which.map_or_else(Vec::new, |w| {
            COLOURS
                .iter()
                .map(|colour| {
                    year(
                        Which {
                            colour: *colour,
                            ..w
                        },
                        c.months,
                    )
                })
                .collect()
        });
        let always_up_score = match c.which {
            Some(which) => year(which, self.counted),
            None => mean(&c.points),
        };
        Trial {
            shade_pct: c
                .which
                .and_then(|w| SOLD_PCT.get(w.size).copied())
                .unwrap_or(0.0),
            colour: c.which.map_or(COLOURS[0], |w| w.colour),
            months: c.months,
            year_score: mean(&c.points),
            always_up_score,
            colour_scores,
            plants: self
                .wanting
                .iter()
                .zip(&c.points)
                .map(|(p, points)| PlantYear {
                    plant: p.id.clone(),
                    year_score: *points,
                    limiting: self.limiting(p, &weeks),
                    months: self.months(p, &up),
                })
                .collect(),
        }
    }

    /// What limits in most of the weeks that count; among equals the earlier in the year.
    fn limiting(&self, p: &Wanting<'_>, weeks: &[SpotWeek]) -> Limiting {
        let mut tally: Vec<(Limiting, f64)> = Vec::new();
        for (week, offered) in Week::all().zip(weeks).filter(|(w, _)| p.weeks[w.index()]) {
            let found: Score = score_by(p.kind, &p.calendar, week, offered);
            let lost = 100.0 - found.points.unwrap_or(100.0);
            match tally.iter_mut().find(|t| t.0 == found.limiting) {
                Some(t) => t.1 += lost,
                None => tally.push((found.limiting, lost)),
            }
        }
        tally
            .into_iter()
            .reduce(|a, b| if b.1 > a.1 { b } else { a })
            .map_or(Limiting::Unknown, |t| t.0)
    }

    fn months(&self, p: &Wanting<'_>, up: &[SpotWeek]) -> Vec<MonthUnder> {
        let kind = p.kind;
        (0..12)
            .map(|m| {
                let weeks: Vec<(Week, &SpotWeek)> = Week::all()
                    .zip(up)
                    .filter(|(w, _)| w.month0() == m)
                    .collect();
                let light = |w: &SpotWeek| match kind.light_form {
                    LightForm::Spreading => w.dli,
                    LightForm::Upright => w.upright_dli.or(w.dli),
                };
                let leaf = weeks
                    .iter()
                    .filter_map(|(_, w)| noon_leaf(kind, w))
                    .reduce(|a, b| {
                        if b.over_air_k() > a.over_air_k() {
                            b
                        } else {
                            a
                        }
                    });
                let dli: Vec<Option<f64>> = weeks.iter().map(|(_, w)| light(w)).collect();
                let scores: Vec<Option<f64>> = weeks
                    .iter()
                    .map(|(week, w)| score_by(kind, &p.calendar, *week, w).points)
                    .collect();
                MonthUnder {
                    dli_mol_m2_d: mean(&dli),
                    peak_ppfd_umol_m2_s: weeks
                        .iter()
                        .filter_map(|(_, w)| w.clear_peak_ppfd)
                        .reduce(f64::max),
                    leaf_over_air_k: leaf.map(|l| l.over_air_k()),
                    leaf_c: leaf.map(|l| l.leaf_c),
                    score: mean(&scores),
                }
            })
            .collect()
    }

    pub(super) fn wanted(&self, p: &Wanting<'_>) -> PlantWanted {
        let months = (0..12)
            .filter_map(|m| {
                let middle = Day::new(MONTH_STARTS[m] + 14);
                let stage = p.kind.stages.get(p.calendar.index_on(middle)?)?;
                Some(MonthWanted {
                    stage: stage.stage,
                    dli_mol_m2_d: stage.needs.dli.value,
                    peak_ppfd_umol_m2_s: stage.needs.peak_ppfd.value,
                    counts: Week::all().any(|w| w.month0() == m && p.weeks[w.index()]),
                })
            })
            .collect();
        PlantWanted {
            plant: p.id.clone(),
            months,
            leaf_heat_c: p.kind.damage.leaf_heat_c.value,
        }
    }
}
