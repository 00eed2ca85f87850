//! What thermometer readings and records did to the model at a spot, and what they leave open.

use crate::base::{calendar::MONTH_NAMES, robust::Fit};

/// What thermometer readings did to the model at a spot.
///
/// What is added goes with the year: `mean + season[0]·cos + season[1]·sin` of the day of the year.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct AirCorrection {
    /// Added to the model's night minimum, mean of the year, K.
    pub night_k: f64,
    /// Its part that goes with the year, K.
    pub night_season_k: [f64; 2],
    /// Added to the model's day maximum, mean of the year, K.
    pub day_k: f64,
    /// Its part that goes with the year, K.
    pub day_season_k: [f64; 2],
    /// Standard deviation of the remaining error of a night minimum in the season that is known best, K.
    pub sd_k: f64,
    #[serde(skip)]
    pub(super) night_covariance: [[f64; 3]; 3],
    /// Thermometer readings that counted.
    pub readings: usize,
    /// Nights of loggers' records that counted.
    pub nights_logged: usize,
    /// Readings and recorded nights that did not.
    pub set_aside: usize,
    /// Mean absolute error of the model's night minima over those that counted, before the correction, K.
    pub error_before_k: Option<f64>,
    /// The same after it, K.
    pub error_after_k: Option<f64>,
    /// The correction learnt from a part of the nights and tried on the rest, K.
    pub held_back: Option<HeldBack>,
}

/// Standard deviation of a night minimum's error where nothing was read, K: what [`super::corrected::PRIOR_SD_K`] adds up to.
const UNREAD_SD_K: f64 = 1.5;

impl Default for AirCorrection {
    fn default() -> Self {
        Self {
            night_k: 0.0,
            night_season_k: [0.0; 2],
            day_k: 0.0,
            day_season_k: [0.0; 2],
            sd_k: UNREAD_SD_K,
            night_covariance: Fit::prior(super::corrected::PRIOR_SD_K).covariance,
            readings: 0,
            nights_logged: 0,
            set_aside: 0,
            error_before_k: None,
            error_after_k: None,
            held_back: None,
        }
    }
}

impl AirCorrection {
    /// Added to a night minimum on a day of the year, K.
    #[must_use]
    pub fn night_at(&self, day: usize) -> f64 {
        let [cos_k, sin_k] = self.night_season_k;
        if cos_k == 0.0 && sin_k == 0.0 {
            return self.night_k;
        }
        let [_, cos, sin] = super::corrected::parts(day);
        self.night_k + cos_k * cos + sin_k * sin
    }

    /// Added to a day maximum on a day of the year, K.
    #[must_use]
    pub fn day_at(&self, day: usize) -> f64 {
        let [cos_k, sin_k] = self.day_season_k;
        if cos_k == 0.0 && sin_k == 0.0 {
            return self.day_k;
        }
        let [_, cos, sin] = super::corrected::parts(day);
        self.day_k + cos_k * cos + sin_k * sin
    }

    /// Standard deviation of the remaining error of a night minimum on a day of the year, K.
    #[must_use]
    pub fn night_sd_at(&self, day: usize) -> f64 {
        let fit = Fit {
            at: [0.0; 3],
            covariance: self.night_covariance,
        };
        fit.sd(super::corrected::parts(day))
            .max(super::corrected::LEAST_SD_K)
    }

    /// Standard deviation of a single night's remaining error on a day of the year, K: that of the usual night, and what
    /// single nights still differ by after the correction, as nights held back show; never more than without any reading.
    #[must_use]
    pub fn one_night_sd_at(&self, day: usize) -> f64 {
        // A normal error's mean absolute value is sqrt(2/π) of its standard deviation.
        const MEAN_BY_SD: f64 = 0.798;
        let off_k = self
            .held_back
            .map(|held| held.error_after)
            .or(self.error_after_k)
            .unwrap_or(0.0);
        self.night_sd_at(day)
            .hypot(off_k / MEAN_BY_SD)
            .min(UNREAD_SD_K)
    }

    /// How far off the model had been, and how well nights are known now, nothing without readings. `k` writes a
    /// difference of temperatures.
    #[must_use]
    pub fn sentences(&self, k: &dyn Fn(f64) -> String) -> Vec<String> {
        let mut out = Vec::new();
        if self.nights() == 0 {
            return out;
        }
        let mut from = Vec::new();
        if self.readings > 0 {
            from.push(counted(self.readings, "reading"));
        }
        if self.nights_logged > 0 {
            from.push(counted(self.nights_logged, "recorded night"));
        }
        let moved = |[january, july]: [f64; 2]| {
            if (january - july).abs() < 0.1 {
                k(january)
            } else {
                format!("{} in January and {} in July", k(january), k(july))
            }
        };
        out.push(format!(
            "By {}, night minima are moved by {}, day maxima by {}; in the season known best the usual night is sure to ±{}.",
            from.join(" and "),
            moved([JANUARY, JULY].map(|d| self.night_at(d))),
            moved([JANUARY, JULY].map(|d| self.day_at(d))),
            k(self.sd_k)
        ));
        if let (Some(before), Some(after)) = (self.error_before_k, self.error_after_k) {
            out.push(format!(
                "From what was measured the model was {} off in the mean, and is {} off after correction.",
                k(before),
                k(after)
            ));
        }
        if let Some(held) = self.held_back {
            out.push(format!(
                "Learnt from {} nights and tried on {} held back: {} off before, {} after.",
                held.learnt_from,
                held.tried_on,
                k(held.error_before),
                k(held.error_after)
            ));
        }
        out
    }

    /// Readings and recorded nights that counted.
    #[must_use]
    pub fn nights(&self) -> usize {
        self.readings + self.nights_logged
    }
}

/// The middles of January and July.
const JANUARY: usize = 14;
const JULY: usize = 195;

fn counted(number: usize, what: &str) -> String {
    format!("{number} {what}{}", if number == 1 { "" } else { "s" })
}

/// A correction learnt from one part of the evidence and tried on the other.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct HeldBack {
    pub learnt_from: usize,
    pub tried_on: usize,
    /// Mean absolute error over what was held back, without the correction and with it.
    pub error_before: f64,
    pub error_after: f64,
}

/// Why a thermometer reading is questioned.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum AirDoubt {
    /// No thermometer in the shade reads that.
    Impossible,
    /// The maximum is below the minimum.
    UpsideDown,
    /// It differs from what the model expects by more than any error of it, K.
    FarOff { by_k: f64 },
}

impl AirDoubt {
    /// `"no thermometer in the shade reads that"`
    #[must_use]
    pub fn text(self) -> String {
        match self {
            Self::Impossible => {
                "no thermometer in the shade reads that: was it in the sun, or is it °F?".to_owned()
            }
            Self::UpsideDown => "the maximum is below the minimum: exchange the two".to_owned(),
            Self::FarOff { by_k } => {
                let way = if by_k < 0.0 { "colder" } else { "warmer" };
                format!(
                    "it is {:.0} K {way} than the nights of that season: look at the date, the unit and the place",
                    by_k.abs()
                )
            }
        }
    }
}

/// A thermometer reading beside the model.
#[derive(Clone, Copy, Debug, Default, PartialEq, serde::Serialize)]
pub struct ReviewedMinMax {
    /// What the model expects of that night, °C; by the same night in the open where that is known.
    pub model_min_c: Option<f64>,
    pub corrected_min_c: Option<f64>,
    pub model_max_c: Option<f64>,
    pub corrected_max_c: Option<f64>,
    /// The same night in the open is known.
    pub beside_open: bool,
    /// It is questioned, and does not count.
    pub doubt: Option<AirDoubt>,
}

/// What loggers' records show that the corrected model does not.
#[derive(Clone, Debug, Default, PartialEq, serde::Serialize)]
pub struct Unexplained {
    /// Recorded less corrected model by the hour of the day, local standard time, each day's own mean taken out, K.
    pub by_hour_k: Vec<Option<f64>>,
    /// Recorded less corrected model by month, K.
    pub by_month_k: Vec<Option<f64>>,
    /// The weather of those days is known from a record in the open, and taken out.
    pub beside_open: bool,
}

impl Unexplained {
    /// What is left, in a sentence.
    #[must_use]
    pub fn sentence(&self) -> String {
        let most = |values: &[Option<f64>]| {
            values
                .iter()
                .enumerate()
                .filter_map(|(i, v)| Some((i, (*v)?)))
                .max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
        };
        let hour = most(&self.by_hour_k)
            .filter(|h| h.1.abs() >= 0.3)
            .map_or_else(
                || "no hour of the day is off by more than 0.3 K".to_owned(),
                |(h, k)| format!("most by the hour from {h}:00 to {}:00 ({k:+.1} K)", h + 1),
            );
        let month = most(&self.by_month_k)
            .filter(|m| m.1.abs() >= 0.3)
            .map_or_else(
                || "no month by more than 0.3 K".to_owned(),
                |(m, k)| format!("most by the month in {} ({k:+.1} K)", MONTH_NAMES[m]),
            );
        let weather = if self.beside_open {
            ""
        } else {
            "; without a record in the open, mild and harsh weather of those days is in it"
        };
        format!("Unexplained: {hour}, {month}{weather}.")
    }
}

/// What readings and records at a spot say against the model.
#[derive(Clone, Debug, Default, PartialEq, serde::Serialize)]
pub struct AirReadings {
    /// In the order of the spot's readings.
    pub min_max: Vec<ReviewedMinMax>,
    pub unexplained: Option<Unexplained>,
}
