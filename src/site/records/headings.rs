//! What a column holds, from its heading: the usual words in English, German, French and Spanish, and marks of units.

use crate::base::units;

/// A measured quantity. Values come in the unit named here, whatever the file's.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Quantity {
    /// Air temperature, °C.
    Temperature,
    /// Lowest air temperature of the row's time, °C.
    TemperatureMin,
    /// Highest air temperature of the row's time, °C.
    TemperatureMax,
    /// °C.
    DewPoint,
    /// Relative humidity, %.
    Humidity,
    /// PPFD, µmol m⁻² s⁻¹; illuminance is taken for daylight.
    Light,
    /// Global radiation on the level, W/m².
    GlobalRadiation,
    /// mm.
    Rain,
    /// m/s.
    Wind,
    /// hPa.
    Pressure,
    /// Hours of sunshine.
    Sunshine,
}

impl Quantity {
    pub const ALL: [Self; 11] = [
        Self::Temperature,
        Self::TemperatureMin,
        Self::TemperatureMax,
        Self::DewPoint,
        Self::Humidity,
        Self::Light,
        Self::GlobalRadiation,
        Self::Rain,
        Self::Wind,
        Self::Pressure,
        Self::Sunshine,
    ];

    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Temperature => "temperature",
            Self::TemperatureMin => "lowest temperature",
            Self::TemperatureMax => "highest temperature",
            Self::DewPoint => "dew point",
            Self::Humidity => "relative humidity",
            Self::Light => "light",
            Self::GlobalRadiation => "global radiation",
            Self::Rain => "rain",
            Self::Wind => "wind",
            Self::Pressure => "air pressure",
            Self::Sunshine => "sunshine",
        }
    }

    /// The unit in which values come.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::Temperature | Self::TemperatureMin | Self::TemperatureMax | Self::DewPoint => {
                "°C"
            }
            Self::Humidity => "%",
            Self::Light => "µmol/m² s",
            Self::GlobalRadiation => "W/m²",
            Self::Rain => "mm",
            Self::Wind => "m/s",
            Self::Pressure => "hPa",
            Self::Sunshine => "h",
        }
    }

    #[must_use]
    pub fn is_temperature(self) -> bool {
        self.unit() == "°C"
    }

    /// Values outside this, in the quantity's unit, were not measured.
    #[must_use]
    pub fn possible(self) -> (f64, f64) {
        match self {
            Self::Temperature | Self::TemperatureMin | Self::TemperatureMax => (-60.0, 70.0),
            Self::DewPoint => (-70.0, 40.0),
            // Sensors in fog read a little above saturation.
            Self::Humidity => (0.0, 105.0),
            Self::Light => (0.0, 3000.0),
            Self::GlobalRadiation => (-20.0, 1600.0),
            Self::Rain => (0.0, 500.0),
            Self::Wind => (0.0, 90.0),
            Self::Pressure => (500.0, 1090.0),
            Self::Sunshine => (0.0, 24.0),
        }
    }
}

/// The unit of a column in the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Unit {
    Celsius,
    Fahrenheit,
    Kelvin,
    Percent,
    /// Of one.
    Fraction,
    Lux,
    Kilolux,
    FootCandles,
    Ppfd,
    WattsPerSquareMetre,
    Millimetres,
    Inches,
    MetresPerSecond,
    KilometresPerHour,
    MilesPerHour,
    Knots,
    Hectopascals,
    Kilopascals,
    InchesOfMercury,
    Hours,
    Minutes,
}

impl Unit {
    pub const ALL: [Self; 21] = [
        Self::Celsius,
        Self::Fahrenheit,
        Self::Kelvin,
        Self::Percent,
        Self::Fraction,
        Self::Lux,
        Self::Kilolux,
        Self::FootCandles,
        Self::Ppfd,
        Self::WattsPerSquareMetre,
        Self::Millimetres,
        Self::Inches,
        Self::MetresPerSecond,
        Self::KilometresPerHour,
        Self::MilesPerHour,
        Self::Knots,
        Self::Hectopascals,
        Self::Kilopascals,
        Self::InchesOfMercury,
        Self::Hours,
        Self::Minutes,
    ];

    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Celsius => "°C",
            Self::Fahrenheit => "°F",
            Self::Kelvin => "K",
            Self::Percent => "%",
            Self::Fraction => "a share of 1",
            Self::Lux => "lux",
            Self::Kilolux => "kilolux",
            Self::FootCandles => "foot-candles",
            Self::Ppfd => "µmol/m² s",
            Self::WattsPerSquareMetre => "W/m²",
            Self::Millimetres => "mm",
            Self::Inches => "inches",
            Self::MetresPerSecond => "m/s",
            Self::KilometresPerHour => "km/h",
            Self::MilesPerHour => "mph",
            Self::Knots => "knots",
            Self::Hectopascals => "hPa",
            Self::Kilopascals => "kPa",
            Self::InchesOfMercury => "inHg",
            Self::Hours => "h",
            Self::Minutes => "min",
        }
    }

    /// A value of the file in the unit of its [`Quantity`].
    #[must_use]
    pub fn held(self, value: f64) -> f64 {
        match self {
            Self::Fahrenheit => units::celsius_from_fahrenheit(value),
            Self::Kelvin => value - 273.15,
            Self::Fraction => value * 100.0,
            Self::Lux => units::ppfd_from_lux(value),
            Self::Kilolux => units::ppfd_from_lux(value * 1000.0),
            Self::FootCandles => units::ppfd_from_lux(units::lux_from_foot_candles(value)),
            Self::Inches => value * 25.4,
            Self::KilometresPerHour => value / 3.6,
            Self::MilesPerHour => value * 0.447_04,
            Self::Knots => value * 1852.0 / 3600.0,
            Self::Kilopascals => value * 10.0,
            // Conventional inch of mercury at 0 °C (ISO 80000-4, annex): 3,386.389 Pa.
            Self::InchesOfMercury => value * 33.863_89,
            Self::Minutes => value / 60.0,
            Self::Celsius
            | Self::Percent
            | Self::Ppfd
            | Self::WattsPerSquareMetre
            | Self::Millimetres
            | Self::MetresPerSecond
            | Self::Hectopascals
            | Self::Hours => value,
        }
    }
}

/// Parts of a time that may stand in columns of their own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum TimeWord {
    /// Date, time, or both: the cells tell which.
    When,
    Year,
    Month,
    Day,
    Hour,
    Minute,
}

/// A heading in small letters, its words apart.
struct Words {
    whole: String,
    words: Vec<String>,
}

impl Words {
    fn of(heading: &str) -> Self {
        let whole = heading.to_lowercase().replace('º', "°").replace('μ', "µ");
        // "airTemp" and "tempC" are two words each.
        let mut parted = String::with_capacity(heading.len() + 8);
        let mut small = false;
        for c in heading.chars() {
            if small && c.is_uppercase() {
                parted.push(' ');
            }
            small = c.is_lowercase();
            parted.extend(c.to_lowercase());
        }
        let words = parted
            .split(|c: char| !c.is_alphanumeric())
            .filter(|w| !w.is_empty())
            .map(str::to_owned)
            .collect();
        Self { whole, words }
    }

    fn any(&self, whole_words: &[&str]) -> bool {
        self.words.iter().any(|w| whole_words.contains(&w.as_str()))
    }

    fn has(&self, parts: &[&str]) -> bool {
        parts.iter().any(|p| self.whole.contains(p))
    }
}

pub(super) fn time_word(heading: &str) -> Option<TimeWord> {
    let w = Words::of(heading);
    let one = w.words.len() == 1;
    if one && w.any(&["year", "yr", "jahr", "année", "annee", "año", "ano"]) {
        return Some(TimeWord::Year);
    }
    if one && w.any(&["month", "monat", "mois", "mes", "mo"]) {
        return Some(TimeWord::Month);
    }
    if one && w.any(&["day", "tag", "jour", "día", "dia", "dy"]) {
        return Some(TimeWord::Day);
    }
    if one && w.any(&["hour", "stunde", "hr", "std"]) {
        return Some(TimeWord::Hour);
    }
    if one && w.any(&["minute", "minuto"]) {
        return Some(TimeWord::Minute);
    }
    w.has(&[
        "date", "datum", "time", "zeit", "heure", "hora", "fecha", "stamp", "jour", "horodat",
        "utc", "gmt",
    ])
    .then_some(TimeWord::When)
}

/// Minutes east of UTC that a heading names: `Time (UTC)`, `Date Time, GMT+01:00`.
pub(super) fn heading_offset(heading: &str) -> Option<i16> {
    let upper = heading.to_uppercase();
    let at = upper.find("UTC").or_else(|| upper.find("GMT"))?;
    let rest: String = upper
        .get(at + 3..)?
        .chars()
        .take_while(|c| c.is_ascii_digit() || "+-−:".contains(*c))
        .collect();
    if rest.is_empty() {
        Some(0)
    } else {
        super::dates::offset(&rest)
    }
}

/// The quantity a heading names, if it is one that is understood.
pub(super) fn quantity(heading: &str) -> Option<Quantity> {
    let w = Words::of(heading);
    let other = w.has(&[
        "soil",
        "boden",
        "wet bulb",
        "wetbulb",
        "feels",
        "chill",
        "heat index",
        "battery",
        "batterie",
        "bateria",
        "richtung",
        "direction",
        "dirección",
        "gust",
        "böe",
        "rafale",
        "ráfaga",
        "rafaga",
        "voltage",
        "absolut",
        "g/m",
        "vpd",
        "ground",
        "water",
        "wasser",
        "alarm",
        "qualit",
        "flag",
    ]) || w.any(&["abs", "dir", "qn", "qual"]);
    if other {
        return None;
    }
    if w.has(&["dew", "taupunkt", "rosée", "rosee", "rocío", "rocio"]) || w.any(&["td", "tau"]) {
        return Some(Quantity::DewPoint);
    }
    if w.has(&["humid", "feucht", "humedad", "hygro"])
        || w.any(&["rh", "hum", "rf", "hr", "relf", "rel", "rhum"])
    {
        return Some(Quantity::Humidity);
    }
    if w.has(&["sunshine", "sonnenschein", "insol", "ensoleil", "heliof"]) {
        return Some(Quantity::Sunshine);
    }
    if w.has(&[
        "solar",
        "radiation",
        "strahlung",
        "rayonnement",
        "radiaci",
        "irradi",
        "w/m",
        "wm-2",
    ]) || w.any(&["ghi", "global", "globale"])
    {
        return Some(Quantity::GlobalRadiation);
    }
    if w.has(&[
        "lux",
        "light",
        "licht",
        "illumin",
        "ilumin",
        "lumi",
        "helligkeit",
        "beleucht",
        "éclair",
        "eclair",
        "intensity",
        "ppfd",
        "foot candle",
        "footcandle",
        "lum/ft",
        "µmol",
        "umol",
    ]) || w.any(&["luz", "par", "lx", "klx", "fc"])
    {
        return Some(Quantity::Light);
    }
    if w.has(&[
        "rain",
        "precip",
        "niederschlag",
        "regen",
        "pluie",
        "précip",
        "lluvia",
    ]) || w.any(&["prcp", "rr", "rsk"])
    {
        return Some(Quantity::Rain);
    }
    if w.has(&["wind", "viento", "vitesse"]) || w.any(&["vent", "ws", "ff", "wspd"]) {
        return Some(Quantity::Wind);
    }
    if w.has(&[
        "pressure", "druck", "pression", "presión", "presion", "baro", "hpa", "inhg",
    ]) || w.any(&["slp", "pres"])
    {
        return Some(Quantity::Pressure);
    }
    let low = w.has(&["minim", "mínim", "tmin", "tiefst", "lowest"])
        || w.any(&["min", "mini", "low", "tn", "tnk", "mín"]);
    let high = w.has(&["maxim", "máxim", "tmax", "höchst", "highest"])
        || w.any(&["max", "maxi", "high", "tx", "txk", "máx"]);
    let warmth = w.has(&["temp", "celsius", "fahrenheit", "°c", "°f", "tmin", "tmax"])
        || w.any(&[
            "t", "ta", "tt", "tmk", "tx", "tn", "txk", "tnk", "tavg", "tair", "t2m", "air", "luft",
            "degc", "degf",
        ]);
    match (warmth, low, high) {
        (_, true, false) => Some(Quantity::TemperatureMin),
        (_, false, true) => Some(Quantity::TemperatureMax),
        (true, ..) => Some(Quantity::Temperature),
        _ => None,
    }
}

/// The unit that stands in a heading, or behind the number in a cell.
pub(super) fn unit(quantity: Quantity, text: &str) -> Option<Unit> {
    let w = Words::of(text);
    let found = |pairs: &[(Unit, &[&str], &[&str])]| {
        pairs
            .iter()
            .find(|(_, parts, words)| w.has(parts) || w.any(words))
            .map(|(unit, ..)| *unit)
    };
    match quantity {
        Quantity::Temperature
        | Quantity::TemperatureMin
        | Quantity::TemperatureMax
        | Quantity::DewPoint => found(&[
            (Unit::Fahrenheit, &["°f", "fahrenheit"], &["f", "degf"]),
            (Unit::Celsius, &["°c", "celsius", "℃"], &["c", "degc"]),
            (Unit::Kelvin, &["kelvin"], &["k"]),
        ]),
        Quantity::Humidity => found(&[(Unit::Percent, &["%", "percent", "prozent"], &["pct"])]),
        Quantity::Light => found(&[
            (Unit::Kilolux, &["kilolux"], &["klx", "klux"]),
            (
                Unit::FootCandles,
                &["foot", "lum/ft", "ft-c", "ftcd", "lm/ft"],
                &["fc"],
            ),
            (Unit::Ppfd, &["µmol", "umol", "mol", "ppfd"], &["par"]),
            (Unit::Lux, &["lux"], &["lx"]),
            (Unit::WattsPerSquareMetre, &["w/m"], &[]),
        ]),
        Quantity::GlobalRadiation => {
            found(&[(Unit::WattsPerSquareMetre, &["w/m", "wm-2", "w m"], &[])])
        }
        Quantity::Rain => found(&[
            (Unit::Millimetres, &[], &["mm"]),
            (Unit::Inches, &["inch"], &["in"]),
        ]),
        Quantity::Wind => found(&[
            (Unit::KilometresPerHour, &["km/h", "kmh", "kph"], &[]),
            (Unit::MilesPerHour, &["mph", "mi/h"], &[]),
            (Unit::Knots, &["knot"], &["kn", "kt", "kts"]),
            (Unit::MetresPerSecond, &["m/s"], &["ms"]),
        ]),
        Quantity::Pressure => found(&[
            (Unit::InchesOfMercury, &["inhg", "in hg"], &[]),
            (Unit::Kilopascals, &["kpa"], &[]),
            (Unit::Hectopascals, &["hpa", "mbar"], &["mb"]),
        ]),
        Quantity::Sunshine => found(&[
            (Unit::Minutes, &["min"], &[]),
            (Unit::Hours, &["hour", "stunden"], &["h"]),
        ]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_of_four_languages_are_understood() {
        use Quantity as Q;
        for (heading, expected, unit_expected) in [
            (
                "Temperature (°C)",
                Some(Q::Temperature),
                Some(Unit::Celsius),
            ),
            (
                "Temp, °F (serial 12)",
                Some(Q::Temperature),
                Some(Unit::Fahrenheit),
            ),
            (
                "Lufttemperatur [°C]",
                Some(Q::Temperature),
                Some(Unit::Celsius),
            ),
            ("Température", Some(Q::Temperature), None),
            ("Temperatura máxima", Some(Q::TemperatureMax), None),
            ("TMIN", Some(Q::TemperatureMin), None),
            ("tempC", Some(Q::Temperature), Some(Unit::Celsius)),
            ("temp_f", Some(Q::Temperature), Some(Unit::Fahrenheit)),
            ("Dew Point (°C)", Some(Q::DewPoint), Some(Unit::Celsius)),
            ("Taupunkt", Some(Q::DewPoint), None),
            ("RH, %", Some(Q::Humidity), Some(Unit::Percent)),
            ("rel. Luftfeuchte", Some(Q::Humidity), None),
            ("Humidité relative", Some(Q::Humidity), None),
            (
                "Intensity, lum/ft²",
                Some(Q::Light),
                Some(Unit::FootCandles),
            ),
            (
                "Beleuchtungsstärke (klx)",
                Some(Q::Light),
                Some(Unit::Kilolux),
            ),
            ("PPFD (µmol/m²/s)", Some(Q::Light), Some(Unit::Ppfd)),
            ("Luminosidad lux", Some(Q::Light), Some(Unit::Lux)),
            (
                "Solar radiation W/m2",
                Some(Q::GlobalRadiation),
                Some(Unit::WattsPerSquareMetre),
            ),
            (
                "Wind speed (km/h)",
                Some(Q::Wind),
                Some(Unit::KilometresPerHour),
            ),
            ("Windrichtung", None, None),
            ("Soil temperature", None, None),
            ("Battery (V)", None, None),
            ("Niederschlag mm", Some(Q::Rain), Some(Unit::Millimetres)),
        ] {
            let found = quantity(heading);
            assert_eq!(found, expected, "{heading}");
            assert_eq!(
                found.and_then(|q| unit(q, heading)),
                unit_expected,
                "{heading}"
            );
        }
        assert_eq!(heading_offset("Date Time, GMT+01:00"), Some(60));
        assert_eq!(heading_offset("time (UTC)"), Some(0));
        assert_eq!(heading_offset("time"), None);
        assert_eq!(time_word("Zeitstempel"), Some(TimeWord::When));
        assert_eq!(time_word("Jahr"), Some(TimeWord::Year));
        assert_eq!(time_word("Temperature"), None);
    }
}
