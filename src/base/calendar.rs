//! The year as the program counts it: 365 days, 52 weeks, 8,760 hours of local standard time.
//!
//! A typical year has no 29 February and no daylight saving. Week 0 begins on 1 January and each week has seven
//! days, but for week 51, which has eight (24 to 31 December). Local clock time appears only at the edges.

use std::fmt;

use chrono::{Datelike, NaiveDate};
use serde::{Deserialize, Serialize};

pub const DAYS: usize = 365;
pub const WEEKS: usize = 52;
pub const HOURS: usize = 8_760;

/// First day of each month, 0 to 334, then 365.
pub const MONTH_STARTS: [usize; 13] = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365];

pub const MONTH_NAMES: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// Day of the year, 0 (1 January) to 364 (31 December).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Day(u16);

impl Day {
    /// Wraps round the year, so that day 365 is 1 January again.
    #[must_use]
    pub fn new(index: usize) -> Self {
        Self((index % DAYS) as u16)
    }

    /// 29 February counts as 28 February.
    #[must_use]
    pub fn of(date: NaiveDate) -> Self {
        let month = date.month0() as usize;
        let day = (date.day0() as usize).min(MONTH_STARTS[month + 1] - MONTH_STARTS[month] - 1);
        Self::new(MONTH_STARTS[month] + day)
    }

    #[must_use]
    pub fn index(self) -> usize {
        self.0 as usize
    }

    /// 0 to 11.
    #[must_use]
    pub fn month0(self) -> usize {
        (0..12)
            .rev()
            .find(|m| MONTH_STARTS[*m] <= self.index())
            .unwrap_or(0)
    }

    #[must_use]
    pub fn week(self) -> Week {
        Week::new((self.index() / 7).min(WEEKS - 1))
    }

    #[must_use]
    pub fn plus(self, days: i64) -> Self {
        Self::new((self.index() as i64 + days).rem_euclid(DAYS as i64) as usize)
    }

    #[must_use]
    pub fn month_day(self) -> MonthDay {
        let month0 = self.month0();
        MonthDay {
            month: month0 as u8 + 1,
            day: (self.index() - MONTH_STARTS[month0]) as u8 + 1,
        }
    }

    /// The date of this day in a given calendar year.
    #[must_use]
    pub fn in_year(self, year: i32) -> NaiveDate {
        let md = self.month_day();
        NaiveDate::from_ymd_opt(year, u32::from(md.month), u32::from(md.day))
            .unwrap_or(NaiveDate::MIN)
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.month_day().fmt(f)
    }
}

/// Month and day of the month, for dates that come back every year. In a file: `"10-25"` (25 October).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MonthDay {
    /// 1 to 12.
    pub month: u8,
    /// 1 to the month's length in a year without a leap day.
    pub day: u8,
}

impl MonthDay {
    #[must_use]
    pub fn new(month: u8, day: u8) -> Option<Self> {
        let m = usize::from(month);
        let fits = (1..=12).contains(&m)
            && day >= 1
            && usize::from(day) <= MONTH_STARTS[m] - MONTH_STARTS[m - 1];
        fits.then_some(Self { month, day })
    }

    #[must_use]
    pub fn day_of_year(self) -> Day {
        Day::new(MONTH_STARTS[usize::from(self.month) - 1] + usize::from(self.day) - 1)
    }
}

impl fmt::Display for MonthDay {
    /// `25 Oct`
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} {}",
            self.day,
            &MONTH_NAMES[usize::from(self.month) - 1][..3]
        )
    }
}

impl Serialize for MonthDay {
    fn serialize<S: serde::Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.collect_str(&format_args!("{:02}-{:02}", self.month, self.day))
    }
}

impl<'de> Deserialize<'de> for MonthDay {
    fn deserialize<D: serde::Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        let text = String::deserialize(d)?;
        text.split_once('-')
            .and_then(|(m, d)| Self::new(m.parse().ok()?, d.parse().ok()?))
            .ok_or_else(|| {
                serde::de::Error::custom(format!(
                    "{text:?} is not a month and day such as \"10-25\""
                ))
            })
    }
}

/// Week of the calendar year, 0 to 51.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Week(u8);

impl Week {
    /// Wraps round the year, so that week 52 is week 0 again.
    #[must_use]
    pub fn new(index: usize) -> Self {
        Self((index % WEEKS) as u8)
    }

    #[must_use]
    pub fn index(self) -> usize {
        self.0 as usize
    }

    pub fn all() -> impl DoubleEndedIterator<Item = Self> + ExactSizeIterator {
        (0..WEEKS).map(Self::new)
    }

    #[must_use]
    pub fn first_day(self) -> Day {
        Day::new(self.index() * 7)
    }

    /// The days of the week as indices 0..=364: seven, or eight in week 51.
    #[must_use]
    pub fn days(self) -> std::ops::Range<usize> {
        let first = self.index() * 7;
        first..if self.index() == WEEKS - 1 {
            DAYS
        } else {
            first + 7
        }
    }

    #[must_use]
    pub fn hours(self) -> std::ops::Range<usize> {
        let days = self.days();
        days.start * 24..days.end * 24
    }

    /// The month that holds the week's middle, 0 to 11.
    #[must_use]
    pub fn month0(self) -> usize {
        Day::new(self.index() * 7 + 3).month0()
    }

    #[must_use]
    pub fn plus(self, weeks: i64) -> Self {
        Self::new((self.index() as i64 + weeks).rem_euclid(WEEKS as i64) as usize)
    }

    /// Weeks from `self` forward to `later`, 0 to 51.
    #[must_use]
    pub fn until(self, later: Self) -> usize {
        (later.index() + WEEKS - self.index()) % WEEKS
    }

    #[must_use]
    pub fn season(self, hemisphere: Hemisphere) -> Season {
        Season::of_month0(self.month0(), hemisphere)
    }
}

/// Which half of the earth: the seasons of the south lie six months away.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Hemisphere {
    North,
    South,
}

impl Hemisphere {
    #[must_use]
    pub fn of_latitude_deg(latitude_deg: f64) -> Self {
        if latitude_deg < 0.0 {
            Self::South
        } else {
            Self::North
        }
    }

    /// Where a date written for the north falls here: the same, or half a year on.
    #[must_use]
    pub fn shift(self, northern: Day) -> Day {
        match self {
            Self::North => northern,
            Self::South => northern.plus(182),
        }
    }
}

/// Season of three whole calendar months.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Season {
    Winter,
    Spring,
    Summer,
    Autumn,
}

impl Season {
    pub const ALL: [Self; 4] = [Self::Winter, Self::Spring, Self::Summer, Self::Autumn];

    #[must_use]
    pub fn of_month0(month0: usize, hemisphere: Hemisphere) -> Self {
        let northern = if hemisphere == Hemisphere::South {
            (month0 + 6) % 12
        } else {
            month0
        };
        Self::ALL[(northern + 1) % 12 / 3]
    }

    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Winter => "winter",
            Self::Spring => "spring",
            Self::Summer => "summer",
            Self::Autumn => "autumn",
        }
    }
}

/// A set of months. In a file: a list of numbers, `[6, 7, 8]`; all twelve if the field is left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Months(u16);

impl Months {
    pub const ALL: Self = Self(0x0fff);
    pub const NONE: Self = Self(0);

    /// From `first` to `last`, both 1 to 12, round the year's end if need be.
    #[must_use]
    pub fn span(first: u8, last: u8) -> Self {
        let mut set = Self::NONE;
        let mut m = (first.max(1) - 1) % 12;
        loop {
            set = set.with(usize::from(m), true);
            if m == (last.max(1) - 1) % 12 {
                return set;
            }
            m = (m + 1) % 12;
        }
    }

    #[must_use]
    pub fn has(self, month0: usize) -> bool {
        self.0 >> (month0 % 12) & 1 == 1
    }

    #[must_use]
    pub fn with(self, month0: usize, on: bool) -> Self {
        let bit = 1 << (month0 % 12);
        Self(if on { self.0 | bit } else { self.0 & !bit })
    }

    #[must_use]
    pub fn is_all(&self) -> bool {
        *self == Self::ALL
    }
}

impl Default for Months {
    fn default() -> Self {
        Self::ALL
    }
}

impl Serialize for Months {
    fn serialize<S: serde::Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.collect_seq(
            (0..12_u8)
                .filter(|m| self.has(usize::from(*m)))
                .map(|m| m + 1),
        )
    }
}

impl<'de> Deserialize<'de> for Months {
    fn deserialize<D: serde::Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        let mut set = Self::NONE;
        for month in Vec::<u8>::deserialize(d)? {
            if !(1..=12).contains(&month) {
                return Err(serde::de::Error::custom(format!(
                    "{month} is not a month; months run from 1 to 12"
                )));
            }
            set = set.with(usize::from(month) - 1, true);
        }
        Ok(set)
    }
}

/// Whether an hour of the day, 0..24, lies between two clock hours, round midnight if need be.
/// Equal hours mean the whole day.
#[must_use]
pub fn hour_within(hour: f64, from: f64, to: f64) -> bool {
    if (from - to).abs() < 1e-9 {
        true
    } else if from < to {
        (from..to).contains(&hour)
    } else {
        hour >= from || hour < to
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weeks_cover_each_day_once() {
        let days: Vec<usize> = Week::all().flat_map(Week::days).collect();
        assert_eq!(days, (0..DAYS).collect::<Vec<_>>());
        assert_eq!(Day::new(364).week().index(), 51);
        assert_eq!(Week::new(50).until(Week::new(3)), 5);
        assert_eq!(Week::new(0).plus(-1), Week::new(51));
    }

    #[test]
    fn leap_day_counts_as_the_day_before() {
        let leap = NaiveDate::from_ymd_opt(2028, 2, 29).unwrap();
        assert_eq!(Day::of(leap).to_string(), "28 Feb");
        assert_eq!(
            Day::of(NaiveDate::from_ymd_opt(2028, 3, 1).unwrap()),
            Day::new(59)
        );
        assert_eq!(
            Day::new(59).in_year(2027),
            NaiveDate::from_ymd_opt(2027, 3, 1).unwrap()
        );
    }

    #[test]
    fn seasons_turn_with_the_hemisphere() {
        assert_eq!(Season::of_month0(0, Hemisphere::North), Season::Winter);
        assert_eq!(Season::of_month0(11, Hemisphere::North), Season::Winter);
        assert_eq!(Season::of_month0(0, Hemisphere::South), Season::Summer);
        assert_eq!(Season::of_month0(3, Hemisphere::South), Season::Autumn);
        assert_eq!(Hemisphere::South.shift(Day::new(0)).month0(), 6);
    }

    #[test]
    fn months_wrap_round_the_year() {
        let winter = Months::span(11, 2);
        assert!(winter.has(10) && winter.has(11) && winter.has(0) && winter.has(1));
        assert!(!winter.has(2) && !winter.has(9));
        assert_eq!(
            ron::from_str::<Months>(&ron::to_string(&winter).unwrap()).unwrap(),
            winter
        );
        assert!(ron::from_str::<Months>("[0]").is_err());
    }

    #[test]
    fn hours_wrap_round_midnight() {
        assert!(hour_within(23.5, 22.0, 6.0) && hour_within(3.0, 22.0, 6.0));
        assert!(!hour_within(12.0, 22.0, 6.0));
        assert!(hour_within(12.0, 0.0, 0.0));
    }
}
