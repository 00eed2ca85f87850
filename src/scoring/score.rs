//! The score of a week: responses and dangers brought together, with a band and the reason.
//!
//! S = 100 · (w m + (1 − w) g) · Π(1 − pₖ sₖ)^lₖ, where m is the least of what the factors leave, g their weighted
//! geometric mean, w the share of the least (0.65), and p, s, l chance, severity and lasting weeks of each danger. A
//! pure minimum is easily explained but deaf to a second fault; a pure mean hides a single killer among six comforts.
//! All figures of this stand in `assets/scoring.ron`; see [`super::rules`].

use serde::Serialize;

use super::{
    Factor, FactorScore, Hazard, HazardKind, SpotWeek,
    factor::{response, weighted},
    hazard::{self, Moment},
    rules::rules,
    week::TENTH_SDS,
};
use crate::{
    base::{Hemisphere, Week},
    needs::{Kind, StageName},
    stages::StageCalendar,
};

/// Less than this many points lost is nothing to name.
const NAMEABLE_POINTS: f64 = 1.0;

/// A score with its reason in the type: no caller can show a number without its why.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Score {
    /// 0..=100; `None` when too little is known.
    pub points: Option<f64>,
    /// 10 and 90 % points by what is uncertain.
    pub band: (f64, f64),
    pub stage: StageName,
    /// What holds it back most.
    pub limiting: Limiting,
    pub factors: Vec<FactorScore>,
    pub hazards: Vec<Hazard>,
}

impl Score {
    #[must_use]
    pub fn word(&self) -> Option<ScoreWord> {
        self.points.map(ScoreWord::of)
    }

    #[must_use]
    pub fn factor(&self, factor: Factor) -> Option<&FactorScore> {
        self.factors.iter().find(|f| f.factor == factor)
    }

    #[must_use]
    pub fn hazard(&self, kind: HazardKind) -> Option<&Hazard> {
        self.hazards.iter().find(|h| h.kind == kind)
    }

    /// Factors whose condition is not known here.
    pub fn unknown(&self) -> impl Iterator<Item = Factor> {
        self.factors
            .iter()
            .filter(|f| f.response.is_none())
            .map(|f| f.factor)
    }

    /// Points gained if what holds it back most were mended; `None` when nothing does or too little is known.
    #[must_use]
    pub fn gain_if_mended(&self) -> Option<f64> {
        let points = self.points?;
        let mended = match self.limiting {
            Limiting::Factor(which) => {
                let mut factors = self.factors.clone();
                for f in factors.iter_mut().filter(|f| f.factor == which) {
                    f.response = Some(1.0);
                }
                points_of(&factors, &self.hazards)
            }
            Limiting::Hazard(which) => {
                let mut hazards = self.hazards.clone();
                hazards.retain(|h| h.kind != which);
                points_of(&self.factors, &hazards)
            }
            Limiting::Nothing | Limiting::Unknown => return None,
        };
        Some((mended - points).max(0.0))
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Limiting {
    Factor(Factor),
    Hazard(HazardKind),
    /// Everything is within the plant's range.
    Nothing,
    Unknown,
}

/// Word for a score.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ScoreWord {
    Harmed,
    Suffers,
    Copes,
    Suits,
    Thrives,
}

impl ScoreWord {
    #[must_use]
    pub fn of(points: f64) -> Self {
        // The word must fit the whole number it stands beside.
        let points = points.round();
        if points >= 85.0 {
            Self::Thrives
        } else if points >= 70.0 {
            Self::Suits
        } else if points >= 50.0 {
            Self::Copes
        } else if points >= 25.0 {
            Self::Suffers
        } else {
            Self::Harmed
        }
    }

    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Harmed => "harmed",
            Self::Suffers => "suffers",
            Self::Copes => "copes",
            Self::Suits => "suits",
            Self::Thrives => "thrives",
        }
    }
}

/// Score of a kind on a spot in a week of the calendar year, by the kind's own dates.
#[must_use]
pub fn score(kind: &Kind, hemisphere: Hemisphere, week: Week, offered: &SpotWeek) -> Score {
    score_by(
        kind,
        &StageCalendar::of_kind(kind, hemisphere),
        week,
        offered,
    )
}

/// Score of a plant of a kind on a spot in a week of the calendar year, by the plant's own calendar.
#[must_use]
pub fn score_by(kind: &Kind, calendar: &StageCalendar, week: Week, offered: &SpotWeek) -> Score {
    let Some((index, stage)) = calendar.stage_in(kind, week) else {
        return Score {
            points: None,
            band: (0.0, 100.0),
            stage: StageName::Growth,
            limiting: Limiting::Unknown,
            factors: Vec::new(),
            hazards: Vec::new(),
        };
    };
    let mut factors = Vec::with_capacity(Factor::ALL.len());
    factors.extend(Factor::ALL.iter().filter_map(|factor| {
        let (band, weight) = factor.wanted(&stage.needs)?;
        let value = factor.offered(kind, offered);
        Some(FactorScore::of(*factor, band, weight, value))
    }));
    let at = Moment::of(kind, calendar, week, index);
    let mut hazards = Vec::new();
    hazard::frosts(kind, &at, offered, 0.0, &mut hazards);
    let frosts = hazards.len();
    hazard::others(kind, &at, offered, &mut hazards);

    let tally = Tally::of(&factors);
    let safe: f64 = hazards.iter().map(Hazard::left).product();
    let all_well = tally.points(None);
    let points = all_well * safe;
    if tally.known_share() < rules().responses.known_enough.value {
        return Score {
            points: None,
            band: (0.0, 100.0),
            stage: stage.stage,
            limiting: Limiting::Unknown,
            factors,
            hazards,
        };
    }
    let others: f64 = hazards.iter().skip(frosts).map(Hazard::left).product();
    let mut band = Spread::around(points);
    for (i, factor) in factors.iter().enumerate() {
        if let Some((response_low, response_high)) = uncertain_responses(factor, offered) {
            for response in [response_low, response_high] {
                if factor.response != Some(response) {
                    band.reach(tally.points(Some((i, response))) * safe);
                }
            }
            band.close();
        }
    }
    if offered.night_sd_k > 0.0 {
        let shift = TENTH_SDS * offered.night_sd_k;
        for shift_k in [-shift, shift] {
            let mut shifted = Vec::new();
            hazard::frosts(kind, &at, offered, shift_k, &mut shifted);
            let left: f64 = shifted.iter().map(Hazard::left).product();
            band.reach(all_well * left * others);
        }
        band.close();
    }
    Score {
        points: Some(points),
        band: band.range(),
        stage: stage.stage,
        limiting: limiting(&tally, &factors, &hazards, points, safe),
        factors,
        hazards,
    }
}

/// Points of given factors and dangers, whether or not enough of them is known.
pub(super) fn points_of(factors: &[FactorScore], hazards: &[Hazard]) -> f64 {
    Tally::of(factors).points(None) * hazards.iter().map(Hazard::left).product::<f64>()
}

/// Responses at the 10 and 90 % points of an uncertain condition; of an unknown one, the worst and the best.
fn uncertain_responses(factor: &FactorScore, offered: &SpotWeek) -> Option<(f64, f64)> {
    let Some(value) = factor.value else {
        return Some((0.0, 1.0));
    };
    let at = |v| response(factor.factor, factor.band, v);
    let sd_k = offered.night_sd_k.max(0.0);
    match factor.factor {
        Factor::Light => {
            let (low, high) = offered.dli_band?;
            // The band is of the level; for upright leaves it is taken in proportion.
            let ratio = value / offered.dli.filter(|d| *d > 0.0)?;
            Some((at(low * ratio), at(high * ratio)))
        }
        Factor::NightWarmth => {
            let (low, high) = tenths(&offered.air.as_ref()?.night_means_c, value, sd_k);
            Some((at(low), at(high)))
        }
        Factor::DayNightDifference => {
            let (low, high) = tenths(&offered.air.as_ref()?.day_night_means_k, value, sd_k);
            Some((at(low), at(high)))
        }
        _ => None,
    }
}

/// 10 and 90 % points about a middle, by the years (ascending) and by an independent error.
fn tenths(ascending: &[f32], middle: f64, sd: f64) -> (f64, f64) {
    let last = ascending.len().saturating_sub(1);
    let at = |share: f64| {
        ascending
            .get((last as f64 * share).round() as usize)
            .map_or(middle, |v| f64::from(*v))
    };
    let error = TENTH_SDS * sd;
    (
        middle - (middle - at(0.1)).max(0.0).hypot(error),
        middle + (at(0.9) - middle).max(0.0).hypot(error),
    )
}

/// A 10-90 % band: independent causes add by their squares, downwards and upwards apart.
struct Spread {
    points: f64,
    down: f64,
    up: f64,
    squares_down: f64,
    squares_up: f64,
}

impl Spread {
    fn around(points: f64) -> Self {
        Self {
            points,
            down: 0.0,
            up: 0.0,
            squares_down: 0.0,
            squares_up: 0.0,
        }
    }

    fn reach(&mut self, points: f64) {
        self.down = self.down.max(self.points - points);
        self.up = self.up.max(points - self.points);
    }

    /// Ends one cause.
    fn close(&mut self) {
        self.squares_down += self.down * self.down;
        self.squares_up += self.up * self.up;
        (self.down, self.up) = (0.0, 0.0);
    }

    fn range(&self) -> (f64, f64) {
        (
            (self.points - self.squares_down.sqrt()).max(0.0),
            (self.points + self.squares_up.sqrt()).min(100.0),
        )
    }
}

/// Factors prepared so that one of them can be exchanged cheaply.
struct Tally {
    rows: [Row; Factor::ALL.len()],
    len: usize,
    log_sum: f64,
    known: f64,
    all: f64,
}

#[derive(Clone, Copy)]
struct Row {
    left: Option<f64>,
    weight: f64,
}

impl Tally {
    fn of(factors: &[FactorScore]) -> Self {
        let mut tally = Self {
            rows: [Row {
                left: None,
                weight: 0.0,
            }; Factor::ALL.len()],
            len: factors.len().min(Factor::ALL.len()),
            log_sum: 0.0,
            known: 0.0,
            all: 0.0,
        };
        for (row, factor) in tally.rows.iter_mut().zip(factors) {
            *row = Row {
                left: factor.left(),
                weight: factor.weight,
            };
            tally.all += row.weight;
            if let Some(left) = row.left {
                tally.known += row.weight;
                tally.log_sum += row.weight * log(left);
            }
        }
        tally
    }

    /// Share of the weight that is known, 0..=1.
    fn known_share(&self) -> f64 {
        if self.all > 0.0 {
            self.known / self.all
        } else {
            0.0
        }
    }

    /// Points without dangers, with the response of one factor exchanged.
    fn points(&self, exchange: Option<(usize, f64)>) -> f64 {
        let (mut log_sum, mut known) = (self.log_sum, self.known);
        let mut exchanged = None;
        if let Some((at, response)) = exchange
            && let Some(row) = self.rows.get(at)
        {
            let left = weighted(response, row.weight);
            match row.left {
                Some(before) => log_sum -= row.weight * log(before),
                None => known += row.weight,
            }
            log_sum += row.weight * log(left);
            exchanged = Some((at, left));
        }
        if known <= 0.0 {
            return 0.0;
        }
        let least = self
            .rows
            .iter()
            .take(self.len)
            .enumerate()
            .filter_map(|(i, row)| match exchanged {
                Some((at, left)) if at == i => Some(left),
                _ => row.left,
            })
            .fold(1.0, f64::min);
        let mean = (log_sum / known).exp();
        let unknown = (1.0 - known / self.all).max(0.0);
        let r = &rules().responses;
        let least_share = r.least_share.value;
        100.0
            * (least_share * least + (1.0 - least_share) * mean)
            * (1.0 - r.unknown_takes.value * unknown)
    }
}

fn log(left: f64) -> f64 {
    if left >= 1.0 {
        0.0
    } else {
        left.max(rules().responses.floor.value).ln()
    }
}

/// What, if mended, would gain most; where several faults hide each other's gain, the worst of them.
fn limiting(
    tally: &Tally,
    factors: &[FactorScore],
    hazards: &[Hazard],
    points: f64,
    safe: f64,
) -> Limiting {
    let mut best = (NAMEABLE_POINTS, Limiting::Nothing);
    let mut worst = (0.03, Limiting::Nothing);
    for (i, factor) in factors.iter().enumerate() {
        let Some(left) = factor.left() else { continue };
        if left >= 1.0 {
            continue;
        }
        let what = Limiting::Factor(factor.factor);
        let gain = tally.points(Some((i, 1.0))) * safe - points;
        if gain > best.0 {
            best = (gain, what);
        }
        if 1.0 - left > worst.0 {
            worst = (1.0 - left, what);
        }
    }
    for hazard in hazards {
        let what = Limiting::Hazard(hazard.kind);
        let left = hazard.left();
        let gain = if left > 1e-9 {
            points / left - points
        } else {
            let rest: f64 = hazards
                .iter()
                .filter(|h| h.kind != hazard.kind)
                .map(Hazard::left)
                .product();
            tally.points(None) * rest - points
        };
        if gain > best.0 {
            best = (gain, what);
        }
        if 1.0 - left > worst.0 {
            worst = (1.0 - left, what);
        }
    }
    if best.1 == Limiting::Nothing {
        worst.1
    } else {
        best.1
    }
}
