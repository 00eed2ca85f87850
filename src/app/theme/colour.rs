//! Colours as the themes are written in, ramps, contrast.

use egui::Color32;
use serde::{Deserialize, Deserializer};

/// `"#RRGGBB"` as a colour.
pub(super) fn from_hex(text: &str) -> Option<Color32> {
    let digits = text.strip_prefix('#').filter(|d| d.len() == 6)?;
    let part = |at: usize| u8::from_str_radix(digits.get(at..at + 2)?, 16).ok();
    Some(Color32::from_rgb(part(0)?, part(2)?, part(4)?))
}

pub(super) fn read<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Color32, D::Error> {
    let text = String::deserialize(deserializer)?;
    from_hex(&text)
        .ok_or_else(|| serde::de::Error::custom(format!("{text:?} is not a colour like #26201A")))
}

/// Colours from low to high, even to the eye and with lightness running one way, so that colour-blind eyes and
/// grey prints keep the order.
#[derive(Clone, Debug)]
pub struct Ramp(Vec<Color32>);

impl Ramp {
    /// Colour at a share of the ramp; shares outside 0..=1 take its ends.
    #[must_use]
    pub fn at(&self, share: f64) -> Color32 {
        let last = self.0.len().saturating_sub(1);
        let along = if share.is_finite() {
            share.clamp(0.0, 1.0) * last as f64
        } else {
            0.0
        };
        let low = (along.floor() as usize).min(last);
        let high = (low + 1).min(last);
        match (self.0.get(low), self.0.get(high)) {
            (Some(a), Some(b)) => mix_oklab(*a, *b, along - low as f64),
            _ => Color32::TRANSPARENT,
        }
    }

    #[must_use]
    pub fn stops(&self) -> &[Color32] {
        &self.0
    }
}

impl<'de> Deserialize<'de> for Ramp {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let stops = Vec::<String>::deserialize(deserializer)?;
        let colours: Option<Vec<Color32>> = stops.iter().map(|s| from_hex(s)).collect();
        colours
            .filter(|c| c.len() >= 2)
            .map(Self)
            .ok_or_else(|| serde::de::Error::custom("a ramp has two or more colours like #26201A"))
    }
}

fn linear(channel: u8) -> f64 {
    let c = f64::from(channel) / 255.0;
    if c <= 0.04045 {
        c / 12.92
    } else {
        ((c + 0.055) / 1.055).powf(2.4)
    }
}

fn gamma(linear: f64) -> u8 {
    let c = linear.clamp(0.0, 1.0);
    let v = if c <= 0.003_130_8 {
        c * 12.92
    } else {
        1.055 * c.powf(1.0 / 2.4) - 0.055
    };
    (v * 255.0).round() as u8
}

/// Lightness, green-red, blue-yellow (OKLab; Ottosson 2020).
pub(super) fn oklab(colour: Color32) -> [f64; 3] {
    let (r, g, b) = (linear(colour.r()), linear(colour.g()), linear(colour.b()));
    let l = (0.412_221_470_8 * r + 0.536_332_536_3 * g + 0.051_445_992_9 * b).cbrt();
    let m = (0.211_903_498_2 * r + 0.680_699_545_1 * g + 0.107_396_956_6 * b).cbrt();
    let s = (0.088_302_461_9 * r + 0.281_718_837_6 * g + 0.629_978_700_5 * b).cbrt();
    [
        0.210_454_255_3 * l + 0.793_617_785_0 * m - 0.004_072_046_8 * s,
        1.977_998_495_1 * l - 2.428_592_205_0 * m + 0.450_593_709_9 * s,
        0.025_904_037_1 * l + 0.782_771_766_2 * m - 0.808_675_766_0 * s,
    ]
}

fn from_oklab([l, a, b]: [f64; 3]) -> Color32 {
    let long = (l + 0.396_337_777_4 * a + 0.215_803_757_3 * b).powi(3);
    let middle = (l - 0.105_561_345_8 * a - 0.063_854_172_8 * b).powi(3);
    let short = (l - 0.089_484_177_5 * a - 1.291_485_548_0 * b).powi(3);
    Color32::from_rgb(
        gamma(4.076_741_662_1 * long - 3.307_711_591_3 * middle + 0.230_969_929_2 * short),
        gamma(-1.268_438_004_6 * long + 2.609_757_401_1 * middle - 0.341_319_396_5 * short),
        gamma(-0.004_196_086_3 * long - 0.703_418_614_7 * middle + 1.707_614_701_0 * short),
    )
}

fn mix_oklab(a: Color32, b: Color32, share: f64) -> Color32 {
    let (from, to) = (oklab(a), oklab(b));
    from_oklab([0, 1, 2].map(|i| from[i] + (to[i] - from[i]) * share))
}

/// Contrast ratio of two opaque colours, 1..=21 (WCAG 2.2, "contrast ratio").
#[must_use]
pub fn contrast(a: Color32, b: Color32) -> f64 {
    let luminance =
        |c: Color32| 0.2126 * linear(c.r()) + 0.7152 * linear(c.g()) + 0.0722 * linear(c.b());
    let (x, y) = (luminance(a), luminance(b));
    (x.max(y) + 0.05) / (x.min(y) + 0.05)
}

/// A colour through a linear filter of sRGB light.
#[cfg(test)]
pub(super) fn through(colour: Color32, matrix: &[[f64; 3]; 3]) -> Color32 {
    let light = [colour.r(), colour.g(), colour.b()].map(linear);
    let [r, g, b] = matrix.map(|row| gamma(row.iter().zip(light).map(|(m, l)| m * l).sum()));
    Color32::from_rgb(r, g, b)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn validate_contrast_against_worked_values() {
        // WCAG 2.2, definition of contrast ratio: black on white is 21:1; #767676 on white is the usual
        // example of the lightest grey that passes 4.5:1 (4.54).
        let white = Color32::from_rgb(255, 255, 255);
        assert!((contrast(Color32::from_rgb(0, 0, 0), white) - 21.0).abs() < 1e-9);
        let grey = from_hex("#767676").unwrap();
        assert!((contrast(grey, white) - 4.54).abs() < 0.01);
    }

    #[test]
    fn validate_oklab_against_published_red() {
        // CSS Color 4, sample of sRGB red in OKLab: 0.62796 0.22486 0.12585.
        let [l, a, b] = oklab(Color32::from_rgb(255, 0, 0));
        assert!((l - 0.627_96).abs() < 1e-4 && (a - 0.224_86).abs() < 1e-4);
        assert!((b - 0.125_85).abs() < 1e-4);
        for hex in ["#26201A", "#82CDCD", "#F2B494"] {
            let colour = from_hex(hex).unwrap();
            assert_eq!(from_oklab(oklab(colour)), colour);
        }
    }

    #[test]
    fn a_colour_that_is_none_is_refused() {
        for bad in ["", "26201A", "#26201", "#26201AFF", "#26201G"] {
            assert_eq!(from_hex(bad), None, "{bad}");
        }
    }
}
