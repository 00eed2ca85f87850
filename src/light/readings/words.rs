//! What a correction says, for people.

use super::LightDoubt;
use crate::light::LightCorrection;

/// A log error as a share: 0.26 is 30 %.
fn pct(log: f64) -> f64 {
    (log.exp() - 1.0) * 100.0
}

impl LightCorrection {
    /// How far off the model had been, and how well it is known now; nothing without readings.
    #[must_use]
    pub fn sentences(&self) -> Vec<String> {
        let mut out = Vec::new();
        if self.readings + self.hours_logged == 0 {
            return out;
        }
        let mut from = Vec::new();
        if self.readings > 0 {
            from.push(counted(self.readings, "reading"));
        }
        if self.hours_logged > 0 {
            from.push(counted(self.hours_logged, "recorded hour"));
        }
        let off = if self.factor < 0.995 {
            format!(
                "the model gave {:.0} % too much light",
                (1.0 / self.factor - 1.0) * 100.0
            )
        } else if self.factor > 1.005 {
            format!(
                "the model gave {:.0} % too little light",
                (1.0 - 1.0 / self.factor) * 100.0
            )
        } else {
            "the model was right".to_owned()
        };
        let apart = if (self.direct_factor / self.sky_factor).ln().abs() > 0.03 {
            format!(
                "; direct sun ×{:.2}, sky and surfaces ×{:.2}",
                self.direct_factor, self.sky_factor
            )
        } else {
            String::new()
        };
        out.push(format!(
            "By {}, {off}; after correction (×{:.2}{apart}) it is right within {:.0} %.",
            from.join(" and "),
            self.factor,
            pct(self.log_sd)
        ));
        if let (Some(before), Some(after)) = (self.log_error_before, self.log_error_after) {
            out.push(format!(
                "From what was measured the model was {:.0} % off, and is {:.0} % off after correction.",
                pct(before),
                pct(after)
            ));
        }
        if let Some(held) = self.held_back {
            out.push(format!(
                "Learnt from {} and tried on {} held back: {:.0} % off before, {:.0} % after.",
                held.learnt_from,
                held.tried_on,
                pct(held.log_error_before),
                pct(held.log_error_after)
            ));
        }
        out
    }
}

impl LightDoubt {
    /// What is wrong and what to look at.
    #[must_use]
    pub fn text(self) -> String {
        match self {
            Self::NoLight => "it is no reading of light: take it out, or type it again".to_owned(),
            Self::SunDown => {
                "the sun is not up then: look at the date, the hour and the place's time zone"
                    .to_owned()
            }
            Self::BrighterThanOpenSky { most_ppfd } => format!(
                "it is more than the open clear sky gives then ({most_ppfd:.0} µmol/m² s): look at the unit and the \
                 meter's range"
            ),
            Self::BrighterThanBeside => {
                "it is brighter than the open beside it: are the two exchanged?".to_owned()
            }
            Self::FarFromOthers { times } => {
                let by = if times >= 1.0 { times } else { 1.0 / times };
                let way = if times >= 1.0 { "more" } else { "less" };
                format!(
                    "it is {by:.1} times {way} than the rest leads to expect: a slip of unit, sky or place?"
                )
            }
            Self::ModelDark => {
                "the model finds no light at all here then: is a window, or a gap, not drawn?"
                    .to_owned()
            }
        }
    }
}

fn counted(number: usize, what: &str) -> String {
    format!("{number} {what}{}", if number == 1 { "" } else { "s" })
}
