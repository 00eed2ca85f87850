//! Dates and times as files write them, and which of their numbers is the day.

use chrono::{Duration, NaiveDate, NaiveDateTime, NaiveTime};

/// Which number of a date comes first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum DateOrder {
    YearMonthDay,
    DayMonthYear,
    MonthDayYear,
}

impl DateOrder {
    pub const ALL: [Self; 3] = [Self::YearMonthDay, Self::DayMonthYear, Self::MonthDayYear];

    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::YearMonthDay => "year, month, day",
            Self::DayMonthYear => "day, month, year",
            Self::MonthDayYear => "month, day, year",
        }
    }
}

/// A date and time as it stands, its numbers not yet told apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Stamp {
    numbers: [u16; 3],
    /// The order is plain from a four-digit year, a month's name or points between the numbers.
    plain: Option<DateOrder>,
    /// Seconds of the day; 86,400 is the midnight after it.
    pub second: u32,
    /// Minutes east of UTC, where it stands there.
    pub offset_min: Option<i16>,
}

impl Stamp {
    /// The order that is plain from its writing.
    pub fn plain(&self) -> Option<DateOrder> {
        self.plain
    }

    pub fn date(&self, order: DateOrder) -> Option<NaiveDate> {
        let [a, b, c] = self.numbers.map(u32::from);
        let (year, month, day) = match self.plain.unwrap_or(order) {
            DateOrder::YearMonthDay => (a, b, c),
            DateOrder::DayMonthYear => (c, b, a),
            DateOrder::MonthDayYear => (c, a, b),
        };
        // Two digits: the century that ends with the year 2069, as POSIX has it.
        let year = match year {
            0..=68 => 2000 + year,
            69..=99 => 1900 + year,
            year => year,
        };
        NaiveDate::from_ymd_opt(i32::try_from(year).ok()?, month, day)
    }

    pub fn moment(&self, order: DateOrder) -> Option<NaiveDateTime> {
        self.date(order)?
            .and_time(NaiveTime::MIN)
            .checked_add_signed(Duration::seconds(i64::from(self.second)))
    }

    /// The same date at another time of day.
    pub fn at(self, time: TimeOfDay) -> Self {
        Self {
            second: time.second,
            offset_min: time.offset_min.or(self.offset_min),
            ..self
        }
    }

    pub fn of_numbers(year: u16, month: u16, day: u16, second: u32) -> Self {
        Self {
            numbers: [year, month, day],
            plain: Some(DateOrder::YearMonthDay),
            second,
            offset_min: None,
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct TimeOfDay {
    pub second: u32,
    pub offset_min: Option<i16>,
}

/// First three letters and more of the months in English, German, French and Spanish.
const MONTHS: [&[&str]; 12] = [
    &["january", "januar", "jänner", "janvier", "enero", "ene"],
    &["february", "februar", "février", "fevrier", "febrero"],
    &["march", "märz", "maerz", "mrz", "mars", "marzo"],
    &["april", "avril", "abril"],
    &["may", "mai", "mayo"],
    &["june", "juni", "juin", "junio"],
    &["july", "juli", "juillet", "julio"],
    &["august", "août", "aout", "agosto"],
    &["september", "septembre", "septiembre", "sept"],
    &["october", "oktober", "octobre", "octubre"],
    &["november", "novembre", "noviembre"],
    &["december", "dezember", "décembre", "decembre", "diciembre"],
];

fn month(word: &str) -> Option<u16> {
    let word = word.to_lowercase();
    if word.chars().count() < 3 {
        return None;
    }
    MONTHS
        .iter()
        .position(|names| names.iter().any(|n| n.starts_with(&word)))
        .map(|m| m as u16 + 1)
}

/// Reads a date, with or without a time after it.
pub(super) fn stamp(text: &str) -> Option<Stamp> {
    let text = text.trim();
    if text.len() > 60 || !text.bytes().any(|b| b.is_ascii_digit()) {
        return None;
    }
    if text.bytes().all(|b| b.is_ascii_digit()) {
        return digits(text);
    }
    let (date, time) = cut(text);
    let mut date = date_of(date)?;
    if let Some(time) = time {
        date = date.at(time_of_day(time)?);
    }
    Some(date)
}

/// Where the date ends and the time begins: before the first number that a colon follows, or at a `T`.
fn cut(text: &str) -> (&str, Option<&str>) {
    let parts = |at: usize, skip: usize| {
        let date = text
            .get(..at)
            .unwrap_or(text)
            .trim_end_matches([' ', ',', ';']);
        let time = text
            .get(at + skip..)
            .map(str::trim)
            .filter(|t| !t.is_empty());
        (date, time)
    };
    let t = text.char_indices().find(|(i, c)| {
        let before = text.get(..*i).and_then(|s| s.chars().next_back());
        let after = text.get(i + 1..).and_then(|s| s.chars().next());
        matches!(c, 'T' | 't' | '_')
            && before.is_some_and(|c| c.is_ascii_digit())
            && after.is_some_and(|c| c.is_ascii_digit())
    });
    if let Some((at, _)) = t {
        return parts(at, 1);
    }
    if let Some(colon) = text.find(':') {
        let head = text.get(..colon).unwrap_or("");
        let at = head.rfind(|c: char| !c.is_ascii_digit()).map_or(0, |i| {
            i + head
                .get(i..)
                .and_then(|s| s.chars().next())
                .map_or(1, char::len_utf8)
        });
        return parts(at, 0);
    }
    // "5/10/2026 3 PM"
    if meridiem(text).is_some()
        && let Some(at) = text
            .trim_end_matches(|c: char| !c.is_ascii_digit())
            .rfind(' ')
    {
        return parts(at, 1);
    }
    (text, None)
}

fn date_of(text: &str) -> Option<Stamp> {
    let mut numbers = Vec::with_capacity(3);
    let mut named = None;
    let mut first_long = false;
    for part in text
        .split(['-', '/', '.', ' ', ',', '年', '月', '日'])
        .filter(|p| !p.is_empty())
    {
        if let Ok(number) = part.parse::<u16>() {
            if numbers.is_empty() {
                first_long = part.len() >= 3;
            }
            numbers.push(number);
        } else if let Some(month) = month(part) {
            named = Some(numbers.len());
            numbers.push(month);
        } else if !numbers.is_empty() || !is_weekday(part) {
            return None;
        }
    }
    let [a, b, c] = <[u16; 3]>::try_from(numbers).ok()?;
    let pointed = text.matches('.').count() == 2;
    let plain = match named {
        Some(0) => Some(DateOrder::MonthDayYear),
        Some(1) if first_long || a > 31 => Some(DateOrder::YearMonthDay),
        Some(1) => Some(DateOrder::DayMonthYear),
        Some(_) => return None,
        None if first_long || a > 31 => Some(DateOrder::YearMonthDay),
        // Points are written only where the day comes first.
        None if pointed => Some(DateOrder::DayMonthYear),
        None => None,
    };
    let stamp = Stamp {
        numbers: [a, b, c],
        plain,
        second: 0,
        offset_min: None,
    };
    DateOrder::ALL
        .iter()
        .any(|o| stamp.date(*o).is_some())
        .then_some(stamp)
}

/// `Mon`, `Monday`, `Mo`: nothing is learnt from it.
fn is_weekday(word: &str) -> bool {
    const BEGINNINGS: [&str; 24] = [
        "mon", "tue", "wed", "thu", "fri", "sat", "sun", "mo", "di", "mi", "do", "fr", "sa", "so",
        "lun", "mar", "mer", "jeu", "ven", "sam", "dim", "mié", "jue", "dom",
    ];
    let word = word.to_lowercase();
    word.chars().all(char::is_alphabetic) && BEGINNINGS.iter().any(|b| word.starts_with(b))
}

/// `20261005`, `2026100514`, `202610051430`, `20261005143000`, or seconds or milliseconds since 1970.
fn digits(text: &str) -> Option<Stamp> {
    let part = |from: usize, to: usize| text.get(from..to).and_then(|s| s.parse::<u32>().ok());
    if matches!(text.len(), 8 | 10 | 12 | 14) {
        let (year, month, day) = (part(0, 4)?, part(4, 6)?, part(6, 8)?);
        let hour = part(8, 10).unwrap_or(0);
        let minute = part(10, 12).unwrap_or(0);
        let second = part(12, 14).unwrap_or(0);
        let fits = (1900..=2200).contains(&year)
            && NaiveDate::from_ymd_opt(year as i32, month, day).is_some()
            && hour <= 24
            && minute < 60
            && second < 60;
        if fits {
            let second = hour * 3600 + minute * 60 + second;
            return Some(Stamp::of_numbers(
                year as u16,
                month as u16,
                day as u16,
                second,
            ));
        }
    }
    let seconds = match text.len() {
        10 => text.parse::<i64>().ok()?,
        13 => text.parse::<i64>().ok()? / 1000,
        _ => return None,
    };
    let at = chrono::DateTime::from_timestamp(seconds, 0)?.naive_utc();
    use chrono::{Datelike, Timelike};
    Some(Stamp {
        offset_min: Some(0),
        ..Stamp::of_numbers(
            u16::try_from(at.year()).ok()?,
            at.month() as u16,
            at.day() as u16,
            at.num_seconds_from_midnight(),
        )
    })
}

/// Whether a time says morning or afternoon, in the ways of several languages.
fn meridiem(text: &str) -> Option<bool> {
    let letters: String = text
        .chars()
        .filter(|c| c.is_alphabetic())
        .flat_map(char::to_lowercase)
        .collect();
    if letters.ends_with("pm") {
        Some(true)
    } else if letters.ends_with("am") {
        Some(false)
    } else {
        None
    }
}

/// Reads `14:30`, `2:30:15 PM`, `14.30`, `24:00`, `14:30:00.000+02:00`, `14:30Z`.
pub(super) fn time_of_day(text: &str) -> Option<TimeOfDay> {
    let text = text.trim();
    let afternoon = meridiem(text);
    let (clock, offset_min) = if afternoon.is_some() {
        let end = text.find(|c: char| c.is_alphabetic()).unwrap_or(text.len());
        (text.get(..end)?, None)
    } else if let Some(clock) = text.strip_suffix(['Z', 'z']) {
        (clock, Some(0))
    } else if let Some(clock) = text
        .strip_suffix("UTC")
        .or_else(|| text.strip_suffix("GMT"))
    {
        (clock, Some(0))
    } else if let Some(at) = text.rfind(['+', '-', '−']).filter(|at| *at > 0) {
        (text.get(..at)?, Some(offset(text.get(at..)?)?))
    } else {
        (
            text.trim_end_matches("Uhr").trim_end_matches(['h', 'H']),
            None,
        )
    };
    let mut parts = clock.trim().split([':', 'h', 'H']);
    let hour: u32 = parts.next()?.trim().parse().ok()?;
    let minute: u32 = parts.next().map_or(Some(0), |m| m.trim().parse().ok())?;
    let second: f64 = parts
        .next()
        .map_or(Some(0.0), |s| s.trim().replace(',', ".").parse().ok())?;
    if parts.next().is_some() || hour > 24 || minute > 59 || !(0.0..60.0).contains(&second) {
        return None;
    }
    let hour = match afternoon {
        Some(_) if !(1..=12).contains(&hour) => return None,
        Some(after) => hour % 12 + if after { 12 } else { 0 },
        None => hour,
    };
    let seconds = hour * 3600 + minute * 60 + second as u32;
    (seconds <= 86_400).then_some(TimeOfDay {
        second: seconds,
        offset_min,
    })
}

/// `+02:00`, `-0330`, `+1` as minutes.
pub(super) fn offset(text: &str) -> Option<i16> {
    let (sign, rest) = match text.chars().next()? {
        '+' => (1, text.get(1..)?),
        '-' => (-1, text.get(1..)?),
        '−' => (-1, text.get('−'.len_utf8()..)?),
        _ => return None,
    };
    let digits: String = rest.chars().filter(|c| *c != ':').collect();
    if digits.is_empty() || !digits.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    let (hours, minutes) = match digits.len() {
        1 | 2 => (digits.parse::<i16>().ok()?, 0),
        3 | 4 => {
            let at = digits.len() - 2;
            (
                digits.get(..at)?.parse().ok()?,
                digits.get(at..)?.parse().ok()?,
            )
        }
        _ => return None,
    };
    (hours <= 14 && minutes < 60).then_some(sign * (hours * 60 + minutes))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str, order: DateOrder) -> Option<String> {
        stamp(text)?.moment(order).map(|m| m.to_string())
    }

    #[test]
    fn dates_of_many_habits() {
        use DateOrder::{DayMonthYear as D, MonthDayYear as M};
        for (text, order, expected) in [
            // ISO 8601 with and without an offset.
            ("2026-10-05T14:30:00", D, "2026-10-05 14:30:00"),
            ("2026-10-05 14:30", M, "2026-10-05 14:30:00"),
            ("2026-10-05", M, "2026-10-05 00:00:00"),
            ("05/10/2026 14:30", D, "2026-10-05 14:30:00"),
            ("10/05/2026 02:30:15 PM", M, "2026-10-05 14:30:15"),
            ("10/05/26 12:00 AM", M, "2026-10-05 00:00:00"),
            ("5.10.2026 14:30", M, "2026-10-05 14:30:00"),
            ("5. Okt. 2026 14:30", M, "2026-10-05 14:30:00"),
            ("5 août 2026, 14:30", M, "2026-08-05 14:30:00"),
            ("Oct 5, 2026 3 PM", D, "2026-10-05 15:00:00"),
            ("Mon 5 Oct 2026", M, "2026-10-05 00:00:00"),
            ("2026/10/05 24:00", D, "2026-10-06 00:00:00"),
            ("2026100514", D, "2026-10-05 14:00:00"),
            ("202610051430", D, "2026-10-05 14:30:00"),
            ("20261005", D, "2026-10-05 00:00:00"),
            // RFC 3339's own example, and the second 1,000,000,000 of Unix time.
            ("1996-12-19T16:39:57-08:00", D, "1996-12-19 16:39:57"),
            ("1000000000", D, "2001-09-09 01:46:40"),
        ] {
            assert_eq!(read(text, order).as_deref(), Some(expected), "{text}");
        }
        for no in [
            "",
            "12.5",
            "hello",
            "2026-13-05",
            "31/02/2026",
            "12:30",
            "2026-10-05 25:00",
            "1-2-3-4",
        ] {
            assert_eq!(read(no, D), None, "{no}");
        }
        assert_eq!(
            stamp("1996-12-19T16:39:57-08:00").unwrap().offset_min,
            Some(-480)
        );
        assert_eq!(stamp("2026-10-05T14:30Z").unwrap().offset_min, Some(0));
    }
}
