//! The reason of a score in a grower's words, and what would mend it.

use serde::Serialize;

use super::{Factor, FactorScore, Hazard, HazardKind, Limiting, Score, ScoreWord};
use crate::{
    base::names::years_in,
    needs::{Band, StageName},
};

/// A score with its reason, for tables and JSON.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Explanation {
    /// 0..=100; `None` when too little is known.
    pub points: Option<f64>,
    pub word: Option<ScoreWord>,
    /// 10 and 90 % points.
    pub band: (f64, f64),
    pub stage: StageName,
    pub limiting: Limiting,
    /// Points gained if what holds it back most were mended.
    pub gain: Option<f64>,
    pub why: String,
    pub remedy: Option<String>,
    /// Conditions that are neither measured nor computed here.
    pub unknown: Vec<Factor>,
}

#[must_use]
pub fn explain(score: &Score) -> Explanation {
    Explanation {
        points: score.points,
        word: score.word(),
        band: score.band,
        stage: score.stage,
        limiting: score.limiting,
        gain: score.gain_if_mended(),
        why: why(score),
        remedy: remedy(score),
        unknown: score.unknown().collect(),
    }
}

/// Why, in a sentence a grower would say, with the figure and the plant's range.
#[must_use]
pub fn why(score: &Score) -> String {
    let unknown: Vec<&str> = score.unknown().map(Factor::name).collect();
    let sentence = match score.limiting {
        Limiting::Factor(factor) => score
            .factor(factor)
            .and_then(|f| factor_sentence(&f, score.stage)),
        Limiting::Hazard(kind) => score.hazard(kind).map(hazard_sentence),
        Limiting::Nothing => Some(format!(
            "everything known is within its range for {}",
            score.stage.word()
        )),
        Limiting::Unknown => None,
    };
    match (sentence, unknown.is_empty()) {
        (Some(sentence), true) => sentence,
        (Some(sentence), false) => format!("{sentence}; not known here: {}", unknown.join(", ")),
        (None, false) => format!("too little is known here: no {}", unknown.join(", no ")),
        (None, true) => "nothing is known of this plant's needs".to_owned(),
    }
}

/// What would mend what holds the score back most; `None` when nothing does.
#[must_use]
pub fn remedy(score: &Score) -> Option<String> {
    remedy_of(score, score.limiting)
}

/// What would mend one fault of a score; `None` where it is none.
pub(super) fn remedy_of(score: &Score, fault: Limiting) -> Option<String> {
    match fault {
        Limiting::Factor(factor) => {
            let f = score.factor(factor)?;
            (f.response? < 1.0)
                .then(|| factor_remedy(&f, score))
                .flatten()
        }
        Limiting::Hazard(kind) => score.hazard(kind).map(hazard_remedy),
        Limiting::Nothing => None,
        Limiting::Unknown => Some(unknown_remedy(score)),
    }
}

fn factor_sentence(f: &FactorScore, stage: StageName) -> Option<String> {
    let value = f.value?;
    let stage = stage.word();
    let unit = f.factor.unit();
    let met = figure(f.factor, value);
    let low = value < f.band.ideal_low();
    Some(match f.factor {
        Factor::Light => format!(
            "too {}: {met} {unit} on average, wants {} for {stage}",
            if low { "dim" } else { "bright" },
            range(f),
        ),
        Factor::PeakLight => format!(
            "noon light too strong: {met} {unit} on a clear day, wants at most {} for {stage}",
            corner(f.band.ideal_high()),
        ),
        Factor::DayWarmth | Factor::NightWarmth => format!(
            "{} too {}: {met} {unit} on average, wants {} {unit} for {stage}",
            f.factor.name(),
            if low { "cold" } else { "warm" },
            range(f),
        ),
        Factor::DayNightDifference => format!(
            "day and night too alike: {met} {unit} apart on average, wants {} {unit} or more for {stage}",
            corner(f.band.ideal_low()),
        ),
        Factor::Humidity => format!(
            "air too {}: {met} {unit} by day, wants {} {unit} for {stage}",
            if low { "dry" } else { "damp" },
            range(f),
        ),
        Factor::DryingAir => format!(
            "air draws too hard: {met} {unit} short of moist by day, bears {} {unit} for {stage}",
            corner(f.band.ideal_high()),
        ),
        Factor::AirMovement if low => format!(
            "air too still: {met} {unit}, wants {} {unit} for {stage}",
            range(f),
        ),
        Factor::AirMovement => format!(
            "too windy or draughty: {met} {unit}, wants at most {} {unit} for {stage}",
            corner(f.band.ideal_high()),
        ),
    })
}

fn hazard_sentence(h: &Hazard) -> String {
    let often = years_in(h.chance);
    let limit = corner(h.limit);
    match h.kind {
        HazardKind::LeafFrost | HazardKind::BudFrost | HazardKind::RootFrost => {
            let coldest = if h.met <= h.limit {
                format!("coldest tenth {} °C, ", tenth(h.met))
            } else {
                String::new()
            };
            format!("{} {often} ({coldest}hurt below {limit} °C)", h.kind.name())
        }
        HazardKind::Scorch => format!(
            "leaves scorch {often} in clear noon sun (hottest tenth {} °C at the leaf, hurt above {limit} °C)",
            tenth(h.met),
        ),
        HazardKind::BudHeat => format!(
            "heat on buds {often} (hottest tenth {} °C, hurt above {limit} °C)",
            tenth(h.met),
        ),
        HazardKind::RootHeat => format!(
            "roots of a dark pot in the sun too hot {often} (hottest tenth {} °C in the mix, hurt above {limit} °C)",
            tenth(h.met),
        ),
        HazardKind::HeaterPlume => format!(
            "buds stand in a heater's plume: {} K warmer while it runs, hurt above {limit} K",
            tenth(h.met),
        ),
        HazardKind::VentJet => format!(
            "buds stand in a vent's jet: {:.2} m/s while it blows, hurt above {limit} m/s",
            h.met,
        ),
    }
}

fn factor_remedy(f: &FactorScore, score: &Score) -> Option<String> {
    let value = f.value?;
    let low = value < f.band.ideal_low();
    let away = if low {
        f.band.ideal_low() - value
    } else {
        value - f.band.ideal_high()
    };
    let kelvin = tenth(away);
    Some(match (f.factor, low) {
        (Factor::Light, true) if value > 0.05 => format!(
            "{} times the light: a brighter spot, thinner shade, nearer to the glass, or a lamp",
            tenth(f.band.ideal_low() / value)
        ),
        (Factor::Light, true) => "a spot with daylight, or a lamp".to_owned(),
        (Factor::Light, false) => format!(
            "shade cloth that passes {:.0} % of the light, or a shadier spot",
            100.0 * f.band.ideal_high() / value
        ),
        (Factor::PeakLight, _) => {
            let shade = 100.0 * (1.0 - f.band.ideal_high() / value);
            let dim = score
                .factor(Factor::Light)
                .and_then(|l| Some((l.value?, l.band.ideal_low())))
                .is_some_and(|(dli, wanted)| dli * (1.0 - shade / 100.0) < wanted);
            if dim {
                "shade at noon only: cloth over the whole day would leave it too dim".to_owned()
            } else {
                format!("cloth of about {:.0} % shade", (shade / 5.0).ceil() * 5.0)
            }
        }
        (Factor::DayWarmth, true) => {
            format!("{kelvin} K warmer days: a sunnier or more sheltered spot, or indoors")
        }
        (Factor::DayWarmth, false) => {
            format!("{kelvin} K cooler days: shade, moving air, north side, or a cooler room")
        }
        (Factor::NightWarmth, true) => {
            format!("{kelvin} K warmer nights: under a roof, by a warm wall, or indoors")
        }
        (Factor::NightWarmth, false) => format!(
            "{kelvin} K cooler nights: out in the open, away from walls and paving, or an unheated room; \
             watering in the evening brings a kelvin or so for an hour or two, no more"
        ),
        (Factor::DayNightDifference, _) => format!(
            "{kelvin} K more between day and night: an open spot under clear sky, sun by day, no roof at night"
        ),
        (Factor::Humidity, true) => {
            "moister air: away from the heater, a cooler room, or a humidifier; a tray of water adds little"
                .to_owned()
        }
        (Factor::DryingAir, _) => {
            "cooler or moister air: shade, shelter from hot wind, or away from the heater".to_owned()
        }
        (Factor::Humidity, false) => {
            "air that moves, a little warmth, water in the morning only".to_owned()
        }
        (Factor::AirMovement, true) => "a small fan that stirs the air, or a window ajar".to_owned(),
        (Factor::AirMovement, false) => "shelter: a screen that lets half the wind through, or another spot".to_owned(),
    })
}

fn hazard_remedy(h: &Hazard) -> String {
    match h.kind {
        HazardKind::LeafFrost | HazardKind::BudFrost => {
            "under a roof or fleece on clear nights; indoors before the date when this begins"
                .to_owned()
        }
        HazardKind::RootFrost => {
            "wrap the pot, stand it off the stone and close to others; indoors in long frost"
                .to_owned()
        }
        HazardKind::Scorch => "cloth or shade from late morning on, and moving air".to_owned(),
        HazardKind::BudHeat => "a cooler or shadier spot, and moving air in the heat".to_owned(),
        HazardKind::RootHeat => {
            "shade on the pot, a light or double pot, or pots that shade one another".to_owned()
        }
        HazardKind::HeaterPlume => {
            "a metre to the side of the heater, or an unbroken shelf between the two".to_owned()
        }
        HazardKind::VentJet => "turn the vent away, or shift the pot out of its throw".to_owned(),
    }
}

fn unknown_remedy(score: &Score) -> String {
    let light = score
        .unknown()
        .any(|f| matches!(f, Factor::Light | Factor::PeakLight));
    let air = score
        .unknown()
        .any(|f| !matches!(f, Factor::Light | Factor::PeakLight));
    match (light, air) {
        (true, false) => "draw what shades the spot, or read a light meter there".to_owned(),
        (false, true) => "give the climate, or hang a minimum-maximum thermometer there".to_owned(),
        _ => "draw the spot and give the climate; a light meter and a thermometer there help most"
            .to_owned(),
    }
}

/// The plant's ideal range, as much of it as counts.
fn range(f: &FactorScore) -> String {
    let Band(_, low, high, _) = f.band;
    format!("{} to {}", corner(low), corner(high))
}

/// A condition with as many digits as are worth reading.
pub(super) fn figure(factor: Factor, value: f64) -> String {
    match factor {
        Factor::PeakLight | Factor::Humidity => format!("{:.0}", value.round() + 0.0),
        Factor::AirMovement | Factor::DryingAir => format!("{value:.2}"),
        _ => tenth(value),
    }
}

/// One decimal, and never "-0.0".
fn tenth(value: f64) -> String {
    format!("{:.1}", (value * 10.0).round() / 10.0 + 0.0)
}

/// A corner of a band as it was written: no more decimals than it has.
fn corner(value: f64) -> String {
    let hundredths = (value * 100.0).round() / 100.0 + 0.0;
    format!("{hundredths}")
}
