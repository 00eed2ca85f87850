//! What percentage a cloth really is, from a light reading under it and one beside it.
//!
//! Nominal shade is for light square on; a reading under a cloth also holds oblique light, of which a knitted cloth
//! keeps out more, and light that comes in at the sides, of which it keeps out nothing. Where the cloth is drawn the
//! light engine knows both for the hour of the readings, and the percentage is sought at which it gives their ratio.

use chrono::{NaiveDateTime, TimeDelta, Timelike};
use serde::Serialize;

use super::{ClothInputs, Frame};
use crate::{
    base::{Day, Id, Months},
    light::{self, Scene, SkyChoice},
    site::{ClothColour, LightValue, SkyState, Spot},
    sun::clock,
};

/// Two readings with one meter, held level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TwoReadings {
    pub under: LightValue,
    /// In the open next to it, away from other shadows.
    pub beside: LightValue,
    /// Time between them, min.
    pub minutes_apart: f64,
    pub sky: SkyState,
}

/// Why two readings tell nothing.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum CannotTell {
    #[error("a reading of light is a number above nothing")]
    NotLight,
    #[error("give both readings in the same unit")]
    TwoUnits,
    #[error(
        "the reading beside the cloth is more than the sun gives anywhere: is the unit right, or a comma slipped?"
    )]
    BeyondSun,
    #[error(
        "the light beside the cloth is too weak to compare by: read again about noon on a bright day"
    )]
    TooDim,
    #[error(
        "it is brighter under the cloth than beside it: were the readings swapped, or did the one beside stand in another \
         shadow?"
    )]
    BrighterUnder,
    #[error(
        "{0:.0} minutes lie between the readings, and the sun has moved on: take them within 15 minutes"
    )]
    TooFarApart(f64),
    #[error("no cloth is drawn over this spot: draw it first, or ask by the readings alone")]
    NoCloth,
    #[error("this spot stands in a room: read under a cloth outdoors")]
    Indoors,
    #[error("the sun was down or too low at that time: read again about noon")]
    SunLow,
    #[error(
        "under the cloth it is darker ({0:.0} % of beside) than light from the sides alone would make it ({1:.0} %): \
         something else shades it, or the cloth hangs otherwise than drawn"
    )]
    DarkerThanSides(f64, f64),
}

/// What a cloth really is.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct RealShade {
    /// Shade of light square on where the cloth is drawn; else of the light as it fell then.
    pub shade_pct: f64,
    /// 10 and 90 % points.
    pub low_pct: f64,
    pub high_pct: f64,
    /// Light under the cloth as a share of that beside it, %.
    pub ratio_pct: f64,
    /// Light that came in at the sides or thrown back, as a share of that beside the cloth, %; `None` where the cloth
    /// is not drawn.
    pub sides_pct: Option<f64>,
    pub nominal: Option<Nominal>,
}

/// A cloth's label held against the readings.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Nominal {
    pub label_pct: f64,
    /// Real less label, points.
    pub off_points: f64,
    pub verdict: LabelVerdict,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LabelVerdict {
    /// Within what sellers' figures vary by and readings can tell.
    AsLabelled,
    Denser,
    Thinner,
}

/// Labels are off by up to this without anybody complaining, points (common practice, no source: 5 to 10).
const LABEL_POINTS: f64 = 7.5;
/// Relative standard deviation of one reading against another of the same meter: levelling, cosine, the meter's last
/// digit (common practice, no source).
const READING_SD: f64 = 0.04;
/// Relative drift of daylight in a minute: the sun's climb, haze; and under broken cloud (our estimates; a quarter of
/// an hour of morning sun adds some 5 %).
const CLEAR_DRIFT: f64 = 0.006;
const CLOUD_DRIFT: f64 = 0.04;
/// More than this between the readings is refused, min.
const MOST_APART_MIN: f64 = 30.0;
/// Least and most PPFD beside the cloth, µmol m⁻² s⁻¹. High mountains under cloud edges reach some 2,700.
const LEAST_PPFD: f64 = 60.0;
const MOST_PPFD: f64 = 2_750.0;
/// Light from the sides of a cloth of which nothing is known, at most, as a share of the open light: a cloth twice as
/// wide as it hangs high above the meter, under a clear sky near noon (our estimate).
const UNKNOWN_SIDES: f64 = 0.08;
/// Relative error of the light that the engine lets in at the sides, and error of its ratio (our estimates).
const SIDES_SD: f64 = 0.2;
const MODEL_SD: f64 = 0.02;
/// 10 and 90 % points lie this many standard deviations from the mean.
const TENTH_SDS: f64 = 1.2816;

/// From the readings alone: the shade of the light as it fell then. Where the cloth is small or hung high, light from
/// its sides makes it look thinner than it is; the upper end of the range allows for that.
///
/// # Errors
/// [`CannotTell`]: the pair cannot be true, or tells nothing.
pub fn real_shade(readings: &TwoReadings, label_pct: Option<f64>) -> Result<RealShade, CannotTell> {
    let (ratio, sd) = ratio(readings)?;
    let shade = |ratio: f64| (100.0 * (1.0 - ratio)).clamp(0.0, 100.0);
    let low = shade(ratio * (1.0 + TENTH_SDS * sd));
    // With the sides' light taken off: ratio = through (1 - sides) + sides.
    let least = ratio * (1.0 - TENTH_SDS * sd);
    let high = shade(((least - UNKNOWN_SIDES) / (1.0 - UNKNOWN_SIDES)).max(0.0));
    Ok(told(shade(ratio), (low, high), ratio, None, label_pct))
}

/// Where and when readings were taken.
#[derive(Clone, Copy, Debug)]
pub struct Drawn<'a> {
    /// The spot, under a cloth that is drawn.
    pub spot: &'a Id,
    /// Local clock time.
    pub when: NaiveDateTime,
}

/// By the drawing: the nominal percentage at which the light engine gives the ratio of the readings, in the frame of
/// the cloth that hangs over the spot, for the sun of that hour. The reading beside is taken to be as open as the spot
/// would be without the cloth.
///
/// # Errors
/// [`CannotTell`], also where no cloth hangs there or the sun was low.
pub fn real_shade_drawn(
    inputs: &ClothInputs<'_>,
    place: &Drawn<'_>,
    readings: &TwoReadings,
    label_pct: Option<f64>,
) -> Result<RealShade, CannotTell> {
    let (ratio, sd) = ratio(readings)?;
    let spot = inputs
        .site
        .spots
        .get(place.spot)
        .ok_or(CannotTell::NoCloth)?;
    if spot.room.is_some() {
        return Err(CannotTell::Indoors);
    }
    let frame = Frame::over(inputs.site, place.spot, spot);
    let there = frame
        .replaces
        .iter()
        .find_map(|id| inputs.site.cloths.get(id))
        .ok_or(CannotTell::NoCloth)?;
    let shared = Shared::of(inputs, spot, &frame, there.colour, place.when, readings.sky);
    let open = shared.ppfd(None);
    if open < LEAST_PPFD / 2.0 {
        return Err(CannotTell::SunLow);
    }
    let at = |shade_pct: f64| shared.ppfd(Some(shade_pct)) / open;
    let sides = at(100.0);
    // The engine's ratio falls steadily with the percentage.
    let seek = |ratio: f64| {
        if ratio >= 1.0 {
            return 0.0;
        }
        if ratio <= sides {
            return 100.0;
        }
        let (mut low, mut high) = ((0.0, 1.0), (100.0, sides));
        let mut side = 0;
        for _ in 0..12 {
            // Regula falsi, with the end that stays halved (Illinois).
            let share = ((low.1 - ratio) / (low.1 - high.1)).clamp(0.02, 0.98);
            let middle = low.0 + share * (high.0 - low.0);
            let value = at(middle);
            if (value - ratio).abs() < 5e-4 || (high.0 - low.0) < 0.1 {
                return middle;
            }
            if value > ratio {
                low = (middle, value);
                if side == 1 {
                    high.1 = ratio - (ratio - high.1) / 2.0;
                }
                side = 1;
            } else {
                high = (middle, value);
                if side == -1 {
                    low.1 = ratio + (low.1 - ratio) / 2.0;
                }
                side = -1;
            }
        }
        0.5 * (low.0 + high.0)
    };
    let spread =
        (sd * sd * ratio * ratio + MODEL_SD * MODEL_SD + (SIDES_SD * sides).powi(2)).sqrt();
    if ratio < sides - 2.0 * spread {
        return Err(CannotTell::DarkerThanSides(100.0 * ratio, 100.0 * sides));
    }
    let band = (
        seek(ratio + TENTH_SDS * spread),
        seek(ratio - TENTH_SDS * spread),
    );
    Ok(told(
        seek(ratio),
        band,
        ratio,
        Some(100.0 * sides),
        label_pct,
    ))
}

fn told(
    shade_pct: f64,
    (low_pct, high_pct): (f64, f64),
    ratio: f64,
    sides_pct: Option<f64>,
    label_pct: Option<f64>,
) -> RealShade {
    let nominal = label_pct.map(|label_pct| Nominal {
        label_pct,
        off_points: shade_pct - label_pct,
        verdict: if low_pct > label_pct + LABEL_POINTS {
            LabelVerdict::Denser
        } else if high_pct < label_pct - LABEL_POINTS {
            LabelVerdict::Thinner
        } else {
            LabelVerdict::AsLabelled
        },
    });
    RealShade {
        shade_pct,
        low_pct,
        high_pct,
        ratio_pct: 100.0 * ratio,
        sides_pct,
        nominal,
    }
}

/// Light under by light beside, and its relative standard deviation.
fn ratio(readings: &TwoReadings) -> Result<(f64, f64), CannotTell> {
    let same = matches!(
        (readings.under, readings.beside),
        (LightValue::Lux(_), LightValue::Lux(_))
            | (LightValue::FootCandles(_), LightValue::FootCandles(_))
            | (LightValue::Ppfd(_), LightValue::Ppfd(_))
    );
    if !same {
        return Err(CannotTell::TwoUnits);
    }
    let (under, beside) = (readings.under.ppfd(), readings.beside.ppfd());
    let light = |v: f64| v.is_finite() && v > 0.0;
    let apart = readings.minutes_apart;
    if !(light(under) && light(beside) && apart.is_finite() && apart >= 0.0) {
        return Err(CannotTell::NotLight);
    }
    if beside > MOST_PPFD {
        return Err(CannotTell::BeyondSun);
    }
    if beside < LEAST_PPFD {
        return Err(CannotTell::TooDim);
    }
    if apart > MOST_APART_MIN {
        return Err(CannotTell::TooFarApart(apart));
    }
    let drift = match readings.sky {
        SkyState::Clear => CLEAR_DRIFT,
        SkyState::Mixed | SkyState::Overcast => CLOUD_DRIFT,
    } * apart.max(1.0);
    let sd = (2.0 * READING_SD * READING_SD + drift * drift).sqrt();
    let ratio = under / beside;
    if ratio > 1.0 + 2.0 * sd {
        return Err(CannotTell::BrighterUnder);
    }
    Ok((ratio, sd))
}

/// The engine at the hour of the readings.
struct Shared<'a> {
    inputs: &'a ClothInputs<'a>,
    spot: Spot,
    frame: &'a Frame,
    colour: ClothColour,
    hour: usize,
    sky: SkyChoice,
}

impl<'a> Shared<'a> {
    fn of(
        inputs: &'a ClothInputs<'a>,
        spot: &Spot,
        frame: &'a Frame,
        colour: ClothColour,
        when: NaiveDateTime,
        sky: SkyState,
    ) -> Self {
        let utc = clock::utc_from_local(&inputs.site.place, when).naive_utc();
        let offset = TimeDelta::seconds((inputs.sun.standard_offset_h * 3600.0) as i64);
        let standard = utc.checked_add_signed(offset).unwrap_or(utc);
        let hour = Day::of(standard.date()).index() * 24 + standard.hour() as usize;
        Self {
            inputs,
            spot: Spot {
                light: Vec::new(),
                ..spot.clone()
            },
            frame,
            colour,
            hour,
            sky: match sky {
                SkyState::Clear => SkyChoice::Clear {
                    turbidity_linke: None,
                },
                // Ratios under broken cloud lie between the two; cloud is the commoner part of the sky.
                SkyState::Mixed | SkyState::Overcast => SkyChoice::Overcast,
            },
        }
    }

    /// Light at the spot under a cloth of a percentage, or without.
    fn ppfd(&self, shade_pct: Option<f64>) -> f64 {
        let cloth = shade_pct.map(|p| self.frame.cloth(p, self.colour, Months::ALL));
        let site = self.frame.hung(self.inputs.site, cloth);
        let scene = Scene::of(&site);
        let hours = light::spot_hours(
            &self.inputs.light(&scene),
            &site,
            &self.spot,
            self.hour / 24,
            1,
            self.sky,
        );
        hours.get(self.hour % 24).map_or(0.0, |h| {
            h.beam_ppfd_umol_m2_s + h.sky_ppfd_umol_m2_s + h.reflected_ppfd_umol_m2_s
        })
    }
}

impl RealShade {
    /// In a sentence.
    #[must_use]
    pub fn sentence(&self) -> String {
        let mut text = format!(
            "It keeps out about {:.0} % (between {:.0} and {:.0}).",
            self.shade_pct, self.low_pct, self.high_pct
        );
        if let Some(sides) = self.sides_pct {
            text.push_str(&format!(
                " Under it is {:.0} % of the light beside it, and {sides:.0} % of that light comes in at the sides or is \
                 thrown back; both are allowed for, and oblique light too, so this is the nominal percentage.",
                self.ratio_pct
            ));
        } else {
            text.push_str(
                " This is of the light as it fell then: low sun makes a knitted cloth look denser than its label, light \
                 from the sides of a small cloth thinner.",
            );
        }
        if let Some(n) = &self.nominal {
            text.push_str(&match n.verdict {
                LabelVerdict::AsLabelled => format!(
                    " The label of {:.0} % holds, as nearly as labels (within 5 to 10 points) and meters go.",
                    n.label_pct
                ),
                LabelVerdict::Denser => format!(
                    " It is denser than its label of {:.0} % by {:.0} points: dust and algae make it so, too.",
                    n.label_pct, n.off_points
                ),
                LabelVerdict::Thinner => format!(
                    " It is thinner than its label of {:.0} % by {:.0} points.",
                    n.label_pct, -n.off_points
                ),
            });
        }
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pair(under: f64, beside: f64) -> TwoReadings {
        TwoReadings {
            under: LightValue::Lux(under),
            beside: LightValue::Lux(beside),
            minutes_apart: 2.0,
            sky: SkyState::Clear,
        }
    }

    #[test]
    fn two_readings_give_a_shade_with_its_range() {
        let found = real_shade(&pair(40_000.0, 100_000.0), Some(50.0)).unwrap();
        assert!((found.shade_pct - 60.0).abs() < 1e-9);
        // 1.2816 × √(2 × 0.04² + 0.012²) = 7.41 % of 0.4: 57.0; above with 8 % from the sides.
        assert!((found.low_pct - 57.04).abs() < 0.05, "{}", found.low_pct);
        assert!(found.high_pct > 62.0 && found.high_pct < 70.0);
        assert_eq!(found.nominal.unwrap().verdict, LabelVerdict::AsLabelled);
        let thin = real_shade(&pair(60_000.0, 100_000.0), Some(70.0)).unwrap();
        assert_eq!(thin.nominal.unwrap().verdict, LabelVerdict::Thinner);
        let dense = real_shade(&pair(30_000.0, 100_000.0), Some(50.0)).unwrap();
        assert_eq!(dense.nominal.unwrap().verdict, LabelVerdict::Denser);
    }

    #[test]
    fn more_time_and_cloud_between_readings_widen_the_range() {
        let width = |minutes_apart, sky| {
            let found = real_shade(
                &TwoReadings {
                    minutes_apart,
                    sky,
                    ..pair(40_000.0, 100_000.0)
                },
                None,
            )
            .unwrap();
            found.high_pct - found.low_pct
        };
        assert!(width(15.0, SkyState::Clear) > width(1.0, SkyState::Clear));
        assert!(width(5.0, SkyState::Mixed) > width(5.0, SkyState::Clear));
    }

    #[test]
    fn impossible_pairs_are_refused_with_a_word() {
        let refused = |r: TwoReadings| real_shade(&r, None).unwrap_err();
        assert_eq!(refused(pair(90_000.0, 40_000.0)), CannotTell::BrighterUnder);
        assert_eq!(refused(pair(0.0, 40_000.0)), CannotTell::NotLight);
        assert_eq!(refused(pair(-3.0, 40_000.0)), CannotTell::NotLight);
        assert_eq!(refused(pair(f64::NAN, 40_000.0)), CannotTell::NotLight);
        assert_eq!(refused(pair(40_000.0, 400_000.0)), CannotTell::BeyondSun);
        assert_eq!(refused(pair(400.0, 1_000.0)), CannotTell::TooDim);
        assert_eq!(
            refused(TwoReadings {
                minutes_apart: 45.0,
                ..pair(40_000.0, 90_000.0)
            }),
            CannotTell::TooFarApart(45.0)
        );
        assert_eq!(
            refused(TwoReadings {
                under: LightValue::Ppfd(400.0),
                ..pair(1.0, 90_000.0)
            }),
            CannotTell::TwoUnits
        );
        // A little brighter under than beside is within what meters differ by: no shade to speak of.
        let none = real_shade(&pair(91_000.0, 90_000.0), None).unwrap();
        assert_eq!(none.shade_pct, 0.0);
    }
}
