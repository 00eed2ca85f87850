//! What the comparison comes to, in a grower's words.

use serde::Serialize;

use super::{
    ClothInputs, Frame, PlantWanted, Report,
    choose::{Found, LEAST_GAIN},
    judged::{Light, edge_months},
    words::{colour_word, listed, months_where, months_words},
};
use crate::{
    base::{Id, Months},
    scoring::ScoreWord,
    site::{Spot, Weave, edit::ObjectKind},
};

/// What the comparison comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// The chosen cloth is worth hanging.
    Hang,
    /// The light is within the range, or so near it that a cloth gains nothing to notice.
    NoneNeeded,
    /// No cloth is right: it is too dark already.
    TooDark,
    /// No cloth is right: even the densest leaves it too bright.
    TooBright,
    /// No cloth is right: what it would mend in some months it spoils in others, or something else limits.
    AtOdds,
}

/// Puts the comparison in words.
pub(super) fn report(
    inputs: &ClothInputs<'_>,
    spot_id: &Id,
    frame: Frame,
    found: Found,
    wanted: Vec<PlantWanted>,
) -> Report {
    let chosen = found.chosen;
    let trials = &found.trials;
    let light = |k: usize| match (trials.get(k), trials.first()) {
        (Some(trial), Some(none)) => Light::of(trial, none, &wanted),
        _ => Light::FINE,
    };
    let (bare, under) = (light(0), light(chosen));
    let score = |k: usize| trials.get(k).and_then(|t| t.year_score);
    let gain = match (score(chosen), score(0)) {
        (Some(with), Some(without)) => with - without,
        _ => 0.0,
    };
    let too_dark = bare.too_dark();
    let under_edge = trials
        .last()
        .zip(trials.first())
        .map_or(Months::NONE, |(densest, none)| edge_months(densest, none));
    let left_bright = months_where(|m| under.bright.has(m) && !under_edge.has(m));
    let verdict = if chosen > 0 {
        if chosen + 1 == trials.len() && left_bright != Months::NONE {
            Verdict::TooBright
        } else {
            Verdict::Hang
        }
    } else if bare.bright == Months::NONE {
        if too_dark {
            Verdict::TooDark
        } else {
            Verdict::NoneNeeded
        }
    } else if !too_dark && bare.gravely_bright == Months::NONE {
        Verdict::NoneNeeded
    } else {
        Verdict::AtOdds
    };
    let nearly_as_good_pct = trials
        .iter()
        .enumerate()
        .filter(|(k, t)| *k > 0 && *k != chosen && t.months != Months::NONE)
        .filter(|(k, _)| {
            chosen > 0
                && score(*k)
                    .zip(score(chosen))
                    .is_some_and(|(a, b)| a >= b - LEAST_GAIN)
        })
        .map(|(_, t)| t.shade_pct)
        .collect();
    let shade = trials.get(chosen).map_or(0.0, |t| t.shade_pct);
    let gale_kn = frame.gale_kn(if shade > 0.0 { shade } else { 50.0 });
    let mut report = Report {
        spot: spot_id.clone(),
        plants: wanted.iter().map(|w| w.plant.clone()).collect(),
        frame,
        chosen,
        verdict,
        gain_points: gain,
        nearly_as_good_pct,
        limits: found.limits.as_ref().map(|l| l.0.clone()),
        sentence: String::new(),
        notes: Vec::new(),
        wanted,
        gale_kn,
        caution: super::CAUTION,
        trials: found.trials,
    };
    let told = Told {
        inputs,
        report: &report,
        bare,
        under,
        under_edge,
        too_dark,
    };
    let sentence = told.sentence();
    let mut notes = told.notes();
    notes.extend(told.plants_note(&found.limits, &found.own_best_pct));
    report.sentence = sentence;
    report.notes = notes;
    report
}

struct Told<'a> {
    inputs: &'a ClothInputs<'a>,
    report: &'a Report,
    bare: Light,
    under: Light,
    /// Months in which the noon sun comes in under the cloth's edge.
    under_edge: Months,
    too_dark: bool,
}

impl Told<'_> {
    fn name(&self, kind: ObjectKind, id: &Id) -> String {
        self.inputs.site.name_of(kind, id)
    }

    fn spot(&self) -> Option<&Spot> {
        self.inputs.site.spots.get(&self.report.spot).map(|s| &**s)
    }

    fn sentence(&self) -> String {
        let r = self.report;
        let names: Vec<String> = r
            .plants
            .iter()
            .map(|p| self.name(ObjectKind::Plant, p))
            .collect();
        let (names, several) = (listed(&names), names.len() > 1);
        let none = r.none().and_then(|t| t.year_score);
        let bright = months_words(self.bare.bright);
        let dark = months_words(self.bare.dark);
        let wants = if several { "want" } else { "wants" };
        match r.verdict {
            Verdict::Hang | Verdict::TooBright => {
                let Some(t) = r.chosen() else {
                    return String::new();
                };
                let mut text = format!(
                    "A {:.0} % {} cloth, up {}, gives {names} the best year here: {} against {} without.",
                    t.shade_pct,
                    colour_word(t.colour),
                    months_words(t.months),
                    points(t.year_score),
                    points(none),
                );
                if r.verdict == Verdict::TooBright {
                    text.push_str(&format!(
                        " But no cloth is right: even this leaves too much light in {}.",
                        months_words(months_where(|m| {
                            self.under.bright.has(m) && !self.under_edge.has(m)
                        }))
                    ));
                }
                if !r.nearly_as_good_pct.is_empty() {
                    let near: Vec<String> = r
                        .nearly_as_good_pct
                        .iter()
                        .map(|p| format!("{p:.0}"))
                        .collect();
                    text.push_str(&format!(
                        " {} % {} within a point of it.",
                        listed(&near),
                        if near.len() > 1 { "come" } else { "comes" }
                    ));
                }
                text
            }
            Verdict::NoneNeeded
                if self.bare.bright == Months::NONE && self.bare.dark == Months::NONE =>
            {
                format!(
                    "None needed: the light here is within what {names} {wants} in every month that counts ({} \
                     without a cloth).",
                    points(none)
                )
            }
            Verdict::NoneNeeded if self.bare.bright == Months::NONE => format!(
                "None needed: the light here is nowhere too strong for {names} ({} without a cloth); in {dark} it is \
                 rather short.",
                points(none)
            ),
            Verdict::NoneNeeded => format!(
                "None needed: light is a little above what {names} {wants} in {bright}, but no cloth would gain a \
                 point of the year ({} without).",
                points(none)
            ),
            Verdict::TooDark => format!(
                "No cloth is right: it is too dark already in {dark} for {names} ({} without a cloth).",
                points(none)
            ),
            Verdict::AtOdds if self.too_dark => format!(
                "No cloth is right: light is too strong in {bright} and too weak in {dark}, and for {names} no \
                 cloth does better than none ({}).",
                points(none)
            ),
            Verdict::AtOdds => format!(
                "No cloth is right: light is too strong in {bright}, but something else spoils {names} more there, so \
                 that no cloth does better than none ({}).",
                points(none)
            ),
        }
    }

    fn notes(&self) -> Vec<String> {
        let r = self.report;
        let mut notes = Vec::new();
        notes.extend(self.remedy());
        notes.extend(self.edge_note());
        notes.extend(self.light_note());
        if !r.frame.replaces.is_empty() {
            let old: Vec<String> = r
                .frame
                .replaces
                .iter()
                .map(|id| {
                    let pct = self.inputs.site.cloths.get(id).map_or(0.0, |c| c.shade_pct);
                    format!("“{}” ({pct:.0} %)", self.name(ObjectKind::Cloth, id))
                })
                .collect();
            let hangs = if old.len() > 1 { "hang" } else { "hangs" };
            notes.push(format!(
                "{} {hangs} over the spot now; compared is another cloth in the same frame, in its place.",
                listed(&old)
            ));
            if self.spot().is_some_and(|s| !s.light.is_empty()) {
                notes.push(
                    "The light readings of this spot correct the model as it is now; once another cloth hangs, set \
                     them aside and take new ones."
                        .to_owned(),
                );
            }
        } else {
            notes.push(self.size_note());
        }
        if !r.frame.also_over.is_empty() {
            let others: Vec<String> = r
                .frame
                .also_over
                .iter()
                .map(|id| self.name(ObjectKind::Spot, id))
                .collect();
            notes.push(format!(
                "This cloth hangs over {} too, and changes the light there.",
                listed(&others)
            ));
        }
        notes.push(match r.frame.weave {
            Weave::Knitted => {
                "Percentages are the makers' nominal ones, for light square on; knitted cloth keeps out more of \
                 oblique light, and what comes in at the sides is counted. Labels are off by 5 to 10 points: measure \
                 yours under and beside."
                    .to_owned()
            }
            Weave::Woven => {
                "Percentages are the makers' nominal ones; thin woven cloth passes about the same from every side, \
                 and what comes in at the sides is counted. Labels are off by 5 to 10 points: measure yours under and \
                 beside."
                    .to_owned()
            }
        });
        notes.push(
            "Colour counts by the light it scatters down. Not counted: black cloth grows hot and warms leaves close \
             below by about a kelvin, green takes red light that plants want."
                .to_owned(),
        );
        notes
    }

    fn size_note(&self) -> String {
        let frame = &self.report.frame;
        let size = crate::base::geometry::bounds(frame.outline.iter().copied())
            .map_or((0.0, 0.0), |(low, high)| {
                (high.x() - low.x(), high.y() - low.y())
            });
        format!(
            "Compared is a level cloth of {:.1} × {:.1} m hung {:.1} m above the ground, a metre beyond the pots where \
             there is room and farther towards the midday sun; low sun that comes in under its edge is counted.",
            size.0, size.1, frame.height_m
        )
    }

    fn edge_note(&self) -> Option<String> {
        let months = months_where(|m| self.under.bright.has(m) && self.under_edge.has(m));
        (self.report.chosen > 0 && months != Months::NONE).then(|| {
            format!(
                "In {} the midday sun comes in under the edge, whatever the percentage: a cloth that reaches farther or \
                 hangs down on the sunny side would help then.",
                months_words(months)
            )
        })
    }

    /// What the chosen cloth does in its brightest month, for the first plant.
    fn light_note(&self) -> Option<String> {
        let r = self.report;
        let t = r.chosen().filter(|_| r.chosen > 0)?;
        let (with, without) = (t.plants.first()?, r.none()?.plants.first()?);
        let brightest = (0..12)
            .filter(|m| t.months.has(*m))
            .filter_map(|m| Some((m, without.months.get(m)?.peak_ppfd_umol_m2_s?)))
            .reduce(|a, b| if b.1 > a.1 { b } else { a })?
            .0;
        let (a, b) = (without.months.get(brightest)?, with.months.get(brightest)?);
        let month = crate::base::calendar::MONTH_NAMES.get(brightest)?;
        let mut text = format!(
            "In {month} the light of a day falls from {:.0} to {:.0} mol/m², a clear noon's from {:.0} to {:.0} \
             µmol/m² s",
            a.dli_mol_m2_d?, b.dli_mol_m2_d?, a.peak_ppfd_umol_m2_s?, b.peak_ppfd_umol_m2_s?
        );
        if let (Some(from), Some(to)) = (a.leaf_over_air_k, b.leaf_over_air_k) {
            text.push_str(&format!(
                ", and a leaf in that noon is {to:.0} K above the air instead of {from:.0} K"
            ));
        }
        text.push('.');
        Some(text)
    }

    fn remedy(&self) -> Option<String> {
        let r = self.report;
        match r.verdict {
            Verdict::Hang => {
                let dark = months_where(|m| self.under.dark.has(m));
                (dark != Months::NONE).then(|| {
                    format!(
                        "Light stays short in {}, with or without a cloth: a brighter spot would help then.",
                        months_words(dark)
                    )
                })
            }
            Verdict::NoneNeeded => None,
            Verdict::TooDark => Some(
                "More light would help: thin or cut back what stands over the spot, paint the wall behind it white, or \
                 choose a brighter spot (Spots for a plant)."
                    .to_owned(),
            ),
            Verdict::TooBright => Some(
                "A place out of the midday sun would help: east of a wall, under a tree's light crown, or a second \
                 cloth below the first (two of 50 % pass a quarter)."
                    .to_owned(),
            ),
            Verdict::AtOdds => Some(
                "What would help instead: a place with morning sun and midday shade, a cloth that is drawn over only \
                 at midday, or another spot for those months; and first of all what limits there most."
                    .to_owned(),
            ),
        }
    }

    fn plants_note(&self, limits: &Option<(Id, f64)>, own_best_pct: &[f64]) -> Option<String> {
        let (limiting, loss) = limits.as_ref()?;
        let each: Vec<String> = self
            .report
            .plants
            .iter()
            .zip(own_best_pct)
            .map(|(id, pct)| {
                let name = self.name(ObjectKind::Plant, id);
                if *pct > 0.0 {
                    format!("{name} {pct:.0} %")
                } else {
                    format!("{name} none")
                }
            })
            .collect();
        let name = self.name(ObjectKind::Plant, limiting);
        Some(if *loss < LEAST_GAIN {
            format!(
                "All of them are as well off as with a cloth of their own: {}.",
                listed(&each)
            )
        } else {
            format!(
                "{name} limits: it loses {loss:.0} points of its year against a cloth of its own. Alone they would \
                 have: {}.",
                listed(&each)
            )
        })
    }
}

/// `"74 (suits)"`.
fn points(value: Option<f64>) -> String {
    value.map_or_else(
        || "not known".to_owned(),
        |v| format!("{v:.0} ({})", ScoreWord::of(v).word()),
    )
}
