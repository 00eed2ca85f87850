//! What the comparison of cloths found.

use serde::Serialize;

use super::{Frame, Verdict};
use crate::{
    base::{Id, Months},
    needs::{Band, StageName},
    scoring::Limiting,
    site::{
        Cloth, ClothColour, Site,
        edit::{Edit, Object, ObjectKind},
    },
};

/// The comparison of all cloths over a spot, for one plant or several.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Report {
    pub spot: Id,
    pub plants: Vec<Id>,
    /// Where the compared cloth hangs.
    pub frame: Frame,
    /// Without a cloth first, then each percentage sold in the best one's colour, each in the months that suit it best.
    pub trials: Vec<Trial>,
    /// Index into `trials`: the best, which is the first where no cloth is worth its while.
    pub chosen: usize,
    pub verdict: Verdict,
    /// Points of the year that the chosen cloth gains over none.
    pub gain_points: f64,
    /// Percentages within a point of the chosen one.
    pub nearly_as_good_pct: Vec<f64>,
    /// Of several plants, the one that loses most against a cloth of its own.
    pub limits: Option<Id>,
    /// The verdict in a sentence.
    pub sentence: String,
    /// What else to know, and what would help.
    pub notes: Vec<String>,
    /// What each plant wants, in the order of `plants`.
    pub wanted: Vec<PlantWanted>,
    /// Pull of a wind of 20 m/s on the chosen cloth, or on a 50 % cloth where none is chosen, kN.
    pub gale_kn: f64,
    pub caution: &'static str,
}

/// One cloth, or none.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Trial {
    /// Nominal; 0 is no cloth.
    pub shade_pct: f64,
    pub colour: ClothColour,
    /// Months up that give the best year; none where it is better never hung.
    pub months: Months,
    /// Mean score over the weeks that count and over the plants, 0..=100; `None` when too little is known.
    pub year_score: Option<f64>,
    /// The same if it is up in every month that counts.
    pub always_up_score: Option<f64>,
    /// The same for each colour in these months, in the order of [`super::COLOURS`]; empty without cloth.
    pub colour_scores: Vec<Option<f64>>,
    /// In the order of [`Report::plants`].
    pub plants: Vec<PlantYear>,
}

/// A plant's year under one cloth.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlantYear {
    pub plant: Id,
    /// Mean score over the weeks that count, 0..=100.
    pub year_score: Option<f64>,
    /// What limits in most of the weeks that count.
    pub limiting: Limiting,
    /// January to December, as it is in months in which the cloth is up.
    pub months: Vec<MonthUnder>,
}

/// A month under a cloth that is up.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct MonthUnder {
    /// As the plant's leaves count it, mean of the month.
    pub dli_mol_m2_d: Option<f64>,
    /// Brightest week's clear noon.
    pub peak_ppfd_umol_m2_s: Option<f64>,
    /// How much hotter than the air a leaf is at that noon, in the week where it is most, K.
    pub leaf_over_air_k: Option<f64>,
    /// That leaf's temperature.
    pub leaf_c: Option<f64>,
    /// Mean score of the month's weeks.
    pub score: Option<f64>,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlantWanted {
    pub plant: Id,
    /// January to December, in the middle of each.
    pub months: Vec<MonthWanted>,
    /// Leaves scorch from here on, °C.
    pub leaf_heat_c: f64,
}

#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct MonthWanted {
    pub stage: StageName,
    /// mol m⁻² d⁻¹.
    pub dli_mol_m2_d: Band,
    /// µmol m⁻² s⁻¹; only the upper corners count.
    pub peak_ppfd_umol_m2_s: Band,
    /// Whether weeks of this month count.
    pub counts: bool,
}

impl Report {
    #[must_use]
    pub fn chosen(&self) -> Option<&Trial> {
        self.trials.get(self.chosen)
    }

    #[must_use]
    pub fn none(&self) -> Option<&Trial> {
        self.trials.first()
    }

    /// The trials next to the chosen one, thinner and denser, without the one without cloth.
    #[must_use]
    pub fn neighbours(&self) -> Vec<usize> {
        [self.chosen.wrapping_sub(1), self.chosen + 1]
            .into_iter()
            .filter(|k| (1..self.trials.len()).contains(k))
            .collect()
    }

    /// Whether a trial is a cloth that could be hung.
    #[must_use]
    pub fn can_hang(&self, trial: usize) -> bool {
        self.trials
            .get(trial)
            .is_some_and(|t| t.shade_pct > 0.0 && t.months != Months::NONE)
    }

    /// The wind's pull on it, and the caution.
    #[must_use]
    pub fn wind_words(&self) -> String {
        let what = match self.trials.get(self.chosen).filter(|t| t.shade_pct > 0.0) {
            Some(_) => "this cloth",
            None => "a 50 % cloth here",
        };
        format!(
            "A wind of 20 m/s (72 km/h) pulls at {what} with about {:.1} kN. {}",
            self.gale_kn, self.caution
        )
    }

    /// One edit, with its name, that puts a trial's cloth into the drawing in place of what hangs over the spot. `None`
    /// for a trial that is no cloth.
    #[must_use]
    pub fn hang(&self, site: &Site, trial: usize) -> Option<(String, Edit)> {
        let found = self.trials.get(trial).filter(|_| self.can_hang(trial))?;
        let spot = site.name_of(ObjectKind::Spot, &self.spot);
        let mut cloth: Cloth = self
            .frame
            .cloth(found.shade_pct, found.colour, found.months);
        let there = self
            .frame
            .replaces
            .iter()
            .find_map(|id| Some((id, site.cloths.get(id)?)));
        let id = match there {
            Some((id, old)) => {
                cloth.name.clone_from(&old.name);
                id.clone()
            }
            None => {
                cloth.name = format!("Cloth over {spot}");
                Id::from_name(&cloth.name, |id| site.cloths.contains(id))
            }
        };
        let others = self
            .frame
            .replaces
            .iter()
            .filter(|old| **old != id && site.cloths.contains(old))
            .map(|old| Edit::Remove(ObjectKind::Cloth, old.clone()));
        let mut edits: Vec<Edit> = others.collect();
        edits.push(Edit::Put(id, Object::Cloth(cloth)));
        let name = format!("Hang a {:.0} % cloth over {spot}", found.shade_pct);
        Some((name, Edit::All(edits)))
    }
}
