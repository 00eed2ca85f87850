//! How the grower writes figures and dates, and in which units: set once a frame, asked wherever something is written.
//! The engines speak of °C, metres and PPFD with a decimal point; [`said`] turns their sentences into the grower's.

use std::cell::Cell;

use serde::{Deserialize, Serialize};

use crate::{
    app::state::{LightUnit, Units},
    base::units,
};

/// Order of day, month and year.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum DateOrder {
    /// 5 October 2026
    #[default]
    DayMonth,
    /// October 5, 2026
    MonthDay,
    /// 2026-10-05
    YearMonth,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Locale {
    pub units: Units,
    /// Decimals follow a comma.
    pub comma: bool,
    pub dates: DateOrder,
}

thread_local! {
    static HERE: Cell<Locale> = const { Cell::new(Locale {
        units: Units { fahrenheit: false, feet: false, light: LightUnit::Ppfd },
        comma: false,
        dates: DateOrder::DayMonth,
    }) };
}

/// Writes on this thread as the grower does from now on.
pub fn set(locale: Locale) {
    HERE.set(locale);
}

#[must_use]
pub fn here() -> Locale {
    HERE.get()
}

/// Languages that put a comma before decimals, by ISO 639 (Unicode CLDR, from memory).
const COMMA: &[&str] = &[
    "be", "bg", "ca", "cs", "da", "de", "el", "es", "et", "eu", "fi", "fr", "gl", "hr", "hu", "id",
    "is", "it", "lt", "lv", "nb", "nl", "nn", "no", "pl", "pt", "ro", "ru", "sk", "sl", "sr", "sv",
    "tr", "uk", "vi",
];
/// Their regions that keep the point (Unicode CLDR, from memory).
const POINT_REGIONS: &[&str] = &[
    "CH", "LI", "MX", "US", "PR", "GT", "HN", "NI", "PA", "PE", "DO", "SV",
];
/// Languages that begin a date with the year.
const YEAR_FIRST: &[&str] = &["hu", "ja", "ko", "lt", "sv", "zh"];

/// Of a POSIX locale name such as `de_AT.UTF-8`; plain metric English for `C` and what is not known.
#[must_use]
pub fn of_name(name: &str) -> Locale {
    let name = name.split(['.', '@']).next().unwrap_or("");
    let (language, region) = name.split_once(['_', '-']).unwrap_or((name, ""));
    let american = region == "US";
    Locale {
        units: Units {
            fahrenheit: american,
            feet: american,
            light: if american {
                LightUnit::FootCandles
            } else {
                LightUnit::Ppfd
            },
        },
        comma: COMMA.contains(&language) && !POINT_REGIONS.contains(&region),
        dates: if american || region == "PH" {
            DateOrder::MonthDay
        } else if YEAR_FIRST.contains(&language) {
            DateOrder::YearMonth
        } else {
            DateOrder::DayMonth
        },
    }
}

/// As the environment of the program has it, by the order in which POSIX asks; systems that do not say it there get
/// plain metric English, and the preferences change it.
#[must_use]
pub fn of_system() -> Locale {
    let of = |kind: &str| {
        let name = ["LC_ALL", kind, "LANG"]
            .iter()
            .filter_map(|k| std::env::var(k).ok())
            .find(|v| !v.is_empty());
        of_name(&name.unwrap_or_default())
    };
    Locale {
        units: of("LC_MEASUREMENT").units,
        comma: of("LC_NUMERIC").comma,
        dates: of("LC_TIME").dates,
    }
}

/// A written figure with the grower's decimal sign.
#[must_use]
pub fn figure(text: String) -> String {
    if here().comma {
        text.replace('.', ",")
    } else {
        text
    }
}

/// A figure as typed, with either decimal sign and any minus.
#[must_use]
pub fn typed(text: &str) -> Option<f64> {
    let plain: String = text
        .chars()
        .filter(|c| !c.is_whitespace())
        .map(|c| if c == '\u{2212}' { '-' } else { c })
        .collect();
    // Of two signs the last is the decimal one.
    let plain = match (plain.rfind(','), plain.rfind('.')) {
        (Some(comma), Some(point)) if comma > point => plain.replace('.', "").replace(',', "."),
        (Some(_), Some(_)) => plain.replace(',', ""),
        (Some(_), None) if !here().comma && is_grouped(&plain) => plain.replace(',', ""),
        _ => plain.replace(',', "."),
    };
    plain.parse().ok().filter(|v: &f64| v.is_finite())
}

/// Thousands parted by commas, as this program writes them itself: 1,200.
fn is_grouped(text: &str) -> bool {
    let mut parts = text.trim_start_matches('-').split(',');
    let first = parts.next().unwrap_or_default();
    let whole = |p: &str| p.bytes().all(|b| b.is_ascii_digit());
    (1..=3).contains(&first.len())
        && whole(first)
        && first != "0"
        && parts.all(|p| p.len() == 3 && whole(p))
}

/// A sentence of an engine in the grower's units and with the grower's decimal sign.
#[must_use]
pub fn said(sentence: &str) -> String {
    let text = quoted(sentence);
    if here().comma { commas(&text) } else { text }
}

/// The same where numbers of pages and papers stand between the figures: their points stay.
#[must_use]
pub fn quoted(sentence: &str) -> String {
    minus(&converted(sentence, here().units))
}

/// A hyphen before a figure, unless it parts two of them, is a minus.
fn minus(text: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let begins = |i: usize| {
        i.checked_sub(1)
            .and_then(|before| chars.get(before))
            .is_none_or(|c| " (±~".contains(*c))
    };
    chars
        .iter()
        .enumerate()
        .map(|(i, c)| {
            let figure = chars.get(i + 1).is_some_and(char::is_ascii_digit);
            if *c == '-' && figure && begins(i) {
                '\u{2212}'
            } else {
                *c
            }
        })
        .collect()
}

/// Points between figures become commas; those of versions and dates, with another point after, stay.
fn commas(text: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let digit = |i: Option<usize>| {
        i.and_then(|i| chars.get(i))
            .is_some_and(char::is_ascii_digit)
    };
    chars
        .iter()
        .enumerate()
        .map(|(i, c)| {
            if *c == '.' && digit(i.checked_sub(1)) && digit(Some(i + 1)) {
                ','
            } else {
                *c
            }
        })
        .collect()
}

/// How a unit of the engines is turned into another: its new name, the figure, decimals at least.
struct Turn {
    unit: &'static str,
    value: fn(f64) -> f64,
    least_decimals: usize,
    /// Rounded to three figures.
    three: bool,
}

fn turn(unit: &str, units: Units) -> Option<Turn> {
    let plain = |unit, value, least_decimals| {
        Some(Turn {
            unit,
            value,
            least_decimals,
            three: false,
        })
    };
    match unit {
        "°C" if units.fahrenheit => plain("°F", units::fahrenheit_from_celsius, 0),
        "K" if units.fahrenheit => plain("°F", |k| k * 1.8, 0),
        // A grower counts a difference in the degrees of the thermometer.
        "K" => plain("°C", |k| k, 0),
        "m/s" if units.feet => plain("ft/s", units::feet_from_metres, 0),
        "m" if units.feet => plain("ft", units::feet_from_metres, 1),
        "cm" if units.feet => plain("in", |cm| cm / 2.54, 0),
        "mm" if units.feet => plain("in", |mm| mm / 25.4, 2),
        "km" if units.feet => plain("miles", |km| km / 1.609_344, 0),
        "µmol/m²s" => match units.light {
            LightUnit::Ppfd => plain("µmol/m² s", |ppfd| ppfd, 0),
            LightUnit::Lux => Some(Turn {
                unit: "lx",
                value: units::lux_from_ppfd,
                least_decimals: 0,
                three: true,
            }),
            LightUnit::FootCandles => Some(Turn {
                unit: "fc",
                value: |ppfd| units::foot_candles_from_lux(units::lux_from_ppfd(ppfd)),
                least_decimals: 0,
                three: true,
            }),
        },
        _ => None,
    }
}

/// Words between two figures of one unit.
const JOINED: &[&str] = &["to", "against", "and", "or", "–"];

fn converted(sentence: &str, units: Units) -> String {
    // One word while words are looked at.
    let one_word = sentence.replace("µmol/m² s", "µmol/m²s");
    let mut words: Vec<String> = one_word.split(' ').map(str::to_owned).collect();
    // What stands in quotation marks is a name that somebody gave.
    let mut named = false;
    for at in 0..words.len() {
        let Some(word) = words.get(at).cloned() else {
            continue;
        };
        let within = named || word.contains('“');
        named = within && !word.contains('”');
        if within {
            continue;
        }
        let bare = word.trim_end_matches([',', '.', ';', ':', ')', '”']);
        let tail = word.strip_prefix(bare).unwrap_or("");
        let Some(turn) = turn(bare, units) else {
            continue;
        };
        // Figures before the unit: `17 against 14 °C`.
        let mut figures = Vec::new();
        let mut back = at;
        while let Some(i) = back.checked_sub(1).filter(|i| is_figure(&words, *i)) {
            figures.push(i);
            let joined = i
                .checked_sub(1)
                .and_then(|j| words.get(j))
                .is_some_and(|w| JOINED.contains(&w.as_str()));
            back = if joined { i - 1 } else { 0 };
        }
        if figures.is_empty() {
            continue;
        }
        figures.extend(wanted(&words, at, units));
        for i in figures {
            if let Some(w) = words.get_mut(i) {
                *w = turned(w, &turn);
            }
        }
        if let Some(w) = words.get_mut(at) {
            *w = format!("{}{tail}", turn.unit);
        }
    }
    words.join(" ")
}

/// Figures after a unit that are of it without saying so: `17 against 14 °C, wants 18 to 28`.
fn wanted(words: &[String], unit: usize, units: Units) -> Vec<usize> {
    if words.get(unit + 1).map(String::as_str) != Some("wants") {
        return Vec::new();
    }
    let is = |i: usize, all: &[&str]| words.get(i).is_some_and(|w| all.contains(&w.as_str()));
    let mut at = unit + 2;
    while is(at, &["at", "most", "least"]) {
        at += 1;
    }
    let mut figures = Vec::new();
    while is_figure(words, at) {
        figures.push(at);
        at += 1;
        if !is(at, JOINED) {
            break;
        }
        at += 1;
    }
    let has_unit = words
        .get(at)
        .map(|w| w.trim_end_matches([',', '.', ';', ':', ')']))
        .is_some_and(|w| turn(w, units).is_some());
    if has_unit { Vec::new() } else { figures }
}

fn is_figure(words: &[String], at: usize) -> bool {
    words.get(at).is_some_and(|w| parts(w).is_some())
}

/// What stands before a figure, the figure, and what stands after it.
fn parts(word: &str) -> Option<(&str, f64, usize, &str)> {
    let from = word.find(|c: char| c.is_ascii_digit() || c == '-' || c == '\u{2212}')?;
    let (before, rest) = (word.get(..from)?, word.get(from..)?);
    let sign = rest.chars().next().filter(|c| !c.is_ascii_digit());
    let digits = sign.map_or(rest, |s| rest.get(s.len_utf8()..).unwrap_or(""));
    let end = digits
        .find(|c: char| !(c.is_ascii_digit() || c == '.'))
        .unwrap_or(digits.len());
    let (number, after) = (digits.get(..end)?, digits.get(end..)?);
    let (number, after) = match number.strip_suffix('.') {
        Some(whole) => (whole, "."),
        None => (number, after),
    };
    if !before.chars().all(|c| "(±×~+“".contains(c)) || !after.chars().all(|c| ".,;:)".contains(c))
    {
        return None;
    }
    let value: f64 = number.parse().ok()?;
    let decimals = number.split_once('.').map_or(0, |(_, d)| d.len());
    let value = if sign.is_some() { -value } else { value };
    Some((before, value, decimals, after))
}

fn turned(word: &str, turn: &Turn) -> String {
    let Some((before, value, decimals, after)) = parts(word) else {
        return word.to_owned();
    };
    let mut value = (turn.value)(value);
    let mut decimals = decimals.max(turn.least_decimals);
    if turn.three && value.abs() >= 1.0 {
        let step = 10_f64.powi(value.abs().log10().floor() as i32 - 2);
        value = (value / step).round() * step;
        decimals = 0;
    }
    format!(
        "{before}{}{after}",
        if decimals == 0 && value.abs() >= 1000.0 {
            super::figures::grouped(value)
        } else {
            super::figures::plain_signed(value, decimals)
        }
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn american(text: &str) -> String {
        converted(text, of_name("en_US.UTF-8").units)
    }

    #[test]
    fn sentences_of_the_engines_come_in_the_growers_units() {
        // °F = 1.8 °C + 32 (definition); 1 ft = 0.3048 m; 54 lx for each µmol of daylight, 10.764 lx in a foot-candle.
        for (said, expected) in [
            (
                "days too cold: 14.1 °C on average, wants 16 to 29 °C for growth",
                "days too cold: 57.4 °F on average, wants 61 to 84 °F for growth",
            ),
            (
                "warmer days: 17 against 14 °C, wants 18 to 28; “Porch bench” scores 81",
                "warmer days: 63 against 57 °F, wants 64 to 82; “Porch bench” scores 81",
            ),
            (
                "more between day and night: 9 against 5 K, wants 8 or more",
                "more between day and night: 16 against 9 °F, wants 14 or more",
            ),
            ("frost (hurt below -2 °C)", "frost (hurt below 28 °F)"),
            ("sure to ± 1.5 K.", "sure to ± 2.7 °F."),
            (
                "noon: 1000 µmol/m² s on a clear day",
                "noon: 5,020 fc on a clear day",
            ),
            ("0.30 m/s, at 2 m", "0.98 ft/s, at 6.6 ft"),
            (
                "2.2 mol/m² a day on average, wants 4.5 to 17",
                "2.2 mol/m² a day on average, wants 4.5 to 17",
            ),
            (
                "warmer at “Bench, 3 m from the wall” by 2 K",
                "warmer at “Bench, 3 m from the wall” by 4 °F",
            ),
            ("no figure °C here, K", "no figure °C here, K"),
        ] {
            assert_eq!(american(said), expected);
        }
    }

    #[test]
    fn sentences_of_the_engines_speak_as_growers_do() {
        let metric = |text: &str| minus(&converted(text, Units::default()));
        for (said, expected) in [
            (
                "nights +3 K, frost at -2.5 °C",
                "nights +3 °C, frost at \u{2212}2.5 °C",
            ),
            (
                "±2 K on 2026-12-05, in 2-4 weeks",
                "±2 °C on 2026-12-05, in 2-4 weeks",
            ),
            (
                "softer noons: 730 against 1027 µmol/m² s, wants at most 420",
                "softer noons: 730 against 1,027 µmol/m² s, wants at most 420",
            ),
        ] {
            assert_eq!(metric(said), expected);
        }
    }

    #[test]
    fn decimals_follow_the_sign_of_the_locale() {
        assert_eq!(
            commas("2.2 to 3.05 mol, week 5."),
            "2,2 to 3,05 mol, week 5."
        );
        for (text, value) in [
            ("1,5", Some(1.5)),
            ("1.5", Some(1.5)),
            ("\u{2212}2,25", Some(-2.25)),
            ("1 200", Some(1200.0)),
            ("1,200.5", Some(1200.5)),
            ("1.200,5", Some(1200.5)),
            // As the program writes it itself where the decimal sign is a point.
            ("1,200", Some(1200.0)),
            ("\u{2212}12,200,000", Some(-12_200_000.0)),
            ("0,125", Some(0.125)),
            ("1,25", Some(1.25)),
            ("", None),
            ("nan", None),
        ] {
            assert_eq!(typed(text), value, "{text}");
        }
    }

    #[test]
    fn locales_are_known_by_their_names() {
        // Unicode CLDR 44, from memory: decimal signs and date orders of these locales.
        let of = |name| {
            let l = of_name(name);
            (l.comma, l.dates, l.units.fahrenheit)
        };
        assert_eq!(of("de_AT.UTF-8"), (true, DateOrder::DayMonth, false));
        assert_eq!(of("de_CH"), (false, DateOrder::DayMonth, false));
        assert_eq!(of("en_US.UTF-8"), (false, DateOrder::MonthDay, true));
        assert_eq!(of("sv_SE@euro"), (true, DateOrder::YearMonth, false));
        assert_eq!(of("C"), (false, DateOrder::DayMonth, false));
        assert_eq!(of(""), (false, DateOrder::DayMonth, false));
    }
}
