//! Words for figures, shared by reports, commands and the window.

/// The eight points of the compass from north clockwise, as charts mark them.
pub const POINTS: [&str; 8] = ["N", "NE", "E", "SE", "S", "SW", "W", "NW"];

/// A compass word for an azimuth in degrees from north, clockwise: `"south-west"`.
#[must_use]
pub fn compass(azimuth_deg: f64) -> &'static str {
    const WORDS: [&str; 8] = [
        "north",
        "north-east",
        "east",
        "south-east",
        "south",
        "south-west",
        "west",
        "north-west",
    ];
    WORDS[((azimuth_deg.rem_euclid(360.0) / 45.0).round() as usize) % 8]
}

/// `"1 year in 4"` for a chance of 0.25. Never promises: a chance below 1 in 50 is `"under 1 year in 50"`.
#[must_use]
pub fn years_in(chance: f64) -> String {
    if chance >= 0.97 {
        "nearly every year".to_owned()
    } else if chance > 0.5 {
        let of_ten = (chance * 10.0).round().clamp(6.0, 9.0);
        format!("{of_ten:.0} years in 10")
    } else if chance >= 0.02 {
        format!("1 year in {:.0}", 1.0 / chance)
    } else {
        "under 1 year in 50".to_owned()
    }
}

/// A figure with one decimal at most: `"18"`, `"18.5"`.
#[must_use]
pub fn short(value: f64) -> String {
    if value.fract().abs() < 0.05 {
        format!("{value:.0}")
    } else {
        format!("{value:.1}")
    }
}

/// A report in which differences of temperature stand in °C, the degrees of a grower's thermometer, not in K.
#[must_use]
pub fn in_degrees(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut after_figure = false;
    for (i, word) in text.split(' ').enumerate() {
        if i > 0 {
            out.push(' ');
        }
        match word.strip_prefix('K') {
            Some(rest) if after_figure && !rest.starts_with(char::is_alphanumeric) => {
                out.push_str("°C");
                out.push_str(rest);
            }
            _ => out.push_str(word),
        }
        after_figure = word.ends_with(|c: char| c.is_ascii_digit());
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn differences_stand_in_degrees() {
        assert_eq!(
            in_degrees("sure to ±1.5 K; 9 against 5 K, wants 8 or more\nPot K 3, 2 Kings"),
            "sure to ±1.5 °C; 9 against 5 °C, wants 8 or more\nPot K 3, 2 Kings"
        );
    }

    #[test]
    fn chances_in_a_growers_words() {
        assert_eq!(years_in(0.25), "1 year in 4");
        assert_eq!(years_in(0.5), "1 year in 2");
        assert_eq!(years_in(0.72), "7 years in 10");
        assert_eq!(years_in(0.0), "under 1 year in 50");
        assert_eq!(compass(-10.0), "north");
        assert_eq!(compass(230.0), "south-west");
    }
}
