//! Light readings and loggers' records against the model: by how much the model is off at a spot, and how sure that is.
//!
//! Two errors are learnt, in logarithms: one of all light (standard deviation 0.35 before any reading), and one of the
//! direct sun against the light of sky and surfaces (0.2; our estimates). A cloth or a pane drawn too dense dims both
//! alike; a tree that is not drawn takes the sun and little of the sky. A reading is explained by the first error and
//! by the second as far as direct light makes more or less of it than of the spot's year. What a reading is worth
//! goes by its sky: a clear sky is known best (0.20), a dull one may be twice as bright as another (0.40), a mixed
//! one anything (0.45). A reading with another in the open at the same minute is only held against what share of that
//! arrives (0.15), whatever the sky.

mod moment;
mod record;
mod words;

use serde::Serialize;

use super::{
    LightCorrection,
    year::{Seen, Year, typical_shine},
};
use crate::{
    base::robust::{self, Row, median},
    site::{LightReading, Logged, LoggedQuantity, Site, SkyState, Spot},
};

/// Standard deviations of the model's log errors from spot to spot before any reading: of all light, and of the
/// direct against the rest.
const PRIOR_SD: [f64; 2] = [0.35, 0.2];
/// Log ratios this far from the middle of the others are wild: three times too much or too little.
const WILD: f64 = 1.1;
/// A single reading this far off (seven times) is rather a slip of unit or place.
const WILD_ALONE: f64 = 2.0;
/// Nothing makes a correction surer than this: the spot is no point, leaves come and go.
const LEAST_SD: f64 = 0.05;
/// Rows that are needed to try a correction on a part of them.
const LEAST_TO_TRY: usize = 6;

/// Why a light reading is questioned.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum LightDoubt {
    /// Not a number above nought.
    NoLight,
    /// The sun is below the horizon, or on it.
    SunDown,
    /// More than the open clear sky gives at that minute, µmol m⁻² s⁻¹.
    BrighterThanOpenSky { most_ppfd: f64 },
    /// More than the reading in the open beside it.
    BrighterThanBeside,
    /// So many times what the model gives, or the other readings against it.
    FarFromOthers { times: f64 },
    /// The model gives no light at all here at that minute.
    ModelDark,
}

/// A reading beside the model.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct ReviewedLight {
    pub read_ppfd: f64,
    /// What the model gives then, before correction; `None` where that cannot be said.
    pub model_ppfd: Option<f64>,
    pub corrected_ppfd: Option<f64>,
    /// It is questioned, and does not count.
    pub doubt: Option<LightDoubt>,
}

/// The correction learnt from one part of the readings and tried on the other: root mean square log errors.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct LightHeldBack {
    pub learnt_from: usize,
    pub tried_on: usize,
    pub log_error_before: f64,
    pub log_error_after: f64,
}

/// A log ratio of measured to modelled light.
#[derive(Clone, Copy, Debug)]
struct Evidence {
    ratio: f64,
    sd: f64,
    /// Direct light's share of the model's.
    direct: f64,
    /// How much of an independent reading it is.
    share: f64,
    /// Runs that are held back or learnt from as a whole.
    run: i64,
    /// Which of the spot's readings it is; `None`: from a record.
    reading: Option<usize>,
}

/// Direct light's share of a spot's typical year, before correction.
pub fn direct_share(year: &Year<'_>, seen: &Seen<'_>) -> f64 {
    let (mut direct, mut all) = (0.0, 0.0);
    for sun in year.sun_hours() {
        let level = seen.light(year, &typical_shine(year, sun)).0[0];
        direct += f64::from(level.beam_ppfd());
        all += f64::from(level.ppfd());
    }
    if all > 0.0 { direct / all } else { 0.0 }
}

/// What the readings of a spot, and the site's records in the open, do to the model.
pub fn of_spot(
    year: &Year<'_>,
    seen: &Seen<'_>,
    site: &Site,
    spot: &Spot,
    direct_share: f64,
) -> (LightCorrection, Vec<ReviewedLight>) {
    if spot.light.is_empty() && spot.logged.is_empty() {
        return (LightCorrection::default(), Vec::new());
    }
    let in_the_open: Vec<&Logged> = site.logged_in_the_open(LoggedQuantity::Light).collect();
    correction(year, seen, spot, &in_the_open, direct_share)
}

/// What readings and records say of the model at a spot. `direct_share` is direct light's share of the spot's typical
/// year, about which the two errors part.
fn correction(
    year: &Year<'_>,
    seen: &Seen<'_>,
    spot: &Spot,
    in_the_open: &[&Logged],
    direct_share: f64,
) -> (LightCorrection, Vec<ReviewedLight>) {
    let (mut reviews, mut evidence) = (Vec::new(), Vec::new());
    for (i, reading) in spot.light.iter().enumerate() {
        let (review, found) = review(year, seen, reading, i);
        reviews.push(review);
        evidence.extend(found);
    }
    set_wild_aside(&mut evidence, &mut reviews);
    let recorded = record::evidence(year, seen, spot, in_the_open);
    let hours = recorded.len();
    evidence.extend(recorded);
    let set_aside = reviews.iter().filter(|r| r.doubt.is_some()).count();
    if evidence.is_empty() {
        let none = LightCorrection {
            set_aside,
            ..LightCorrection::default()
        };
        return (none, reviews);
    }
    let known = fit(&evidence, direct_share);
    let (all, direct) = (known.at[0], known.at[1]);
    let correction = LightCorrection {
        factor: all.exp(),
        direct_factor: (all + (1.0 - direct_share) * direct).exp(),
        sky_factor: (all - direct_share * direct).exp(),
        log_sd: known.sd([1.0, 0.0]).max(LEAST_SD),
        readings: evidence.len() - hours,
        hours_logged: hours,
        set_aside,
        log_error_before: Some(error(&evidence, None, direct_share)),
        log_error_after: Some(error(&evidence, Some(&known), direct_share)),
        held_back: held_back(&evidence, direct_share),
    };
    for (review, reading) in reviews.iter_mut().zip(&spot.light) {
        review.corrected_ppfd = moment::of(year, seen, reading).ok().map(|m| {
            m.direct_ppfd * correction.direct_factor + m.rest_ppfd * correction.sky_factor
        });
    }
    (correction, reviews)
}

fn parts(e: &Evidence, direct_share: f64) -> [f64; 2] {
    [1.0, e.direct - direct_share]
}

fn fit(evidence: &[Evidence], direct_share: f64) -> robust::Fit<2> {
    let rows: Vec<Row<2>> = evidence
        .iter()
        .map(|e| Row {
            x: parts(e, direct_share),
            y: e.ratio,
            sd: e.sd,
            share: e.share,
        })
        .collect();
    robust::fit(&rows, PRIOR_SD)
}

/// Root mean square log error of the model, or of the model with a correction.
fn error(evidence: &[Evidence], known: Option<&robust::Fit<2>>, direct_share: f64) -> f64 {
    let square = |e: &Evidence| {
        let rest = e.ratio - known.map_or(0.0, |k| k.value(parts(e, direct_share)));
        e.share * rest * rest
    };
    let weight: f64 = evidence.iter().map(|e| e.share).sum();
    (evidence.iter().map(square).sum::<f64>() / weight.max(1e-9)).sqrt()
}

/// Learns from every other run, and tries what it learnt on the rest.
fn held_back(evidence: &[Evidence], direct_share: f64) -> Option<LightHeldBack> {
    if evidence.len() < LEAST_TO_TRY {
        return None;
    }
    let mut all: Vec<Evidence> = evidence.to_vec();
    all.sort_by_key(|e| e.run);
    let mut runs: Vec<i64> = all.iter().map(|e| e.run).collect();
    runs.dedup();
    let odd = |e: &Evidence| runs.binary_search(&e.run).is_ok_and(|i| i % 2 == 1);
    let (tried, learnt): (Vec<Evidence>, Vec<Evidence>) = all.into_iter().partition(odd);
    if tried.is_empty() || learnt.is_empty() {
        return None;
    }
    let known = fit(&learnt, direct_share);
    Some(LightHeldBack {
        learnt_from: learnt.len(),
        tried_on: tried.len(),
        log_error_before: error(&tried, None, direct_share),
        log_error_after: error(&tried, Some(&known), direct_share),
    })
}

fn review(
    year: &Year<'_>,
    seen: &Seen<'_>,
    reading: &LightReading,
    i: usize,
) -> (ReviewedLight, Option<Evidence>) {
    let mut review = ReviewedLight {
        read_ppfd: reading.value.ppfd(),
        ..ReviewedLight::default()
    };
    match moment::of(year, seen, reading) {
        Ok(model) => {
            let ppfd = model.direct_ppfd + model.rest_ppfd;
            review.model_ppfd = Some(ppfd);
            if ppfd <= 0.0 {
                review.doubt = Some(LightDoubt::ModelDark);
                return (review, None);
            }
            let evidence = Evidence {
                ratio: (review.read_ppfd / ppfd).ln(),
                sd: reading_sd(reading.sky, reading.open.is_some()),
                direct: model.direct_ppfd / ppfd,
                share: 1.0,
                run: reading.when.and_utc().timestamp() / 86_400,
                reading: Some(i),
            };
            (review, Some(evidence))
        }
        Err(doubt) => {
            review.doubt = Some(doubt);
            (review, None)
        }
    }
}

/// Standard deviation of a reading's log error: meter, levelling, and how well the sky's state tells its light.
fn reading_sd(sky: SkyState, beside: bool) -> f64 {
    match (sky, beside) {
        (_, true) => 0.15,
        (SkyState::Clear, _) => 0.20,
        (SkyState::Mixed, _) => 0.45,
        (SkyState::Overcast, _) => 0.40,
    }
}

/// Takes out readings that disagree wildly with the others, or with the model where they are few.
fn set_wild_aside(evidence: &mut Vec<Evidence>, reviews: &mut [ReviewedLight]) {
    let many = evidence.len() >= 3;
    let limit = if many { WILD } else { WILD_ALONE };
    let centre = if many {
        median(evidence.iter().map(|e| e.ratio))
    } else {
        0.0
    };
    evidence.retain(|e| {
        let off = e.ratio - centre;
        let wild = off.abs() > limit;
        if wild && let Some(review) = e.reading.and_then(|i| reviews.get_mut(i)) {
            review.doubt = Some(LightDoubt::FarFromOthers { times: off.exp() });
        }
        !wild
    });
}
