//! From a file's times to local standard time. Loggers keep standard time, clock time with daylight saving, or UTC,
//! and seldom say which; where the clock was changed the rows themselves tell.

use chrono::{Duration, LocalResult, NaiveDate, NaiveDateTime, Offset, TimeZone};
use chrono_tz::Tz;

/// How a file counts its hours.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum TimeKept {
    /// As the clock on the wall, put forward in summer.
    Clock,
    /// Local standard time through the year.
    Standard,
    /// Minutes east of UTC.
    FromUtc(i16),
    /// Each row names its distance from UTC.
    EachRow,
}

impl TimeKept {
    #[must_use]
    pub fn word(self) -> String {
        match self {
            Self::Clock => "the clock on the wall, with daylight saving".to_owned(),
            Self::Standard => "standard time through the year".to_owned(),
            Self::FromUtc(0) => "UTC".to_owned(),
            Self::FromUtc(minutes) => {
                let sign = if minutes < 0 { '−' } else { '+' };
                let minutes = minutes.unsigned_abs();
                format!("UTC{sign}{}:{:02}", minutes / 60, minutes % 60)
            }
            Self::EachRow => "each row's own distance from UTC".to_owned(),
        }
    }
}

/// A zone's clock.
pub(super) struct Zone(Option<Tz>);

/// What a clock time is in standard time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Standard {
    At(NaiveDateTime),
    /// It comes twice: first in summer time, then in standard time.
    Twice(NaiveDateTime, NaiveDateTime),
    /// The clock was put forward over it.
    Never,
}

impl Zone {
    /// By the name in the time zone database; an unknown name has no daylight saving.
    pub fn named(name: &str) -> Self {
        Self(name.parse().ok())
    }

    fn offset(&self, utc: NaiveDateTime) -> Duration {
        let seconds = self.0.map_or(0, |tz| {
            tz.offset_from_utc_datetime(&utc).fix().local_minus_utc()
        });
        Duration::seconds(i64::from(seconds))
    }

    /// Offset of standard time from UTC: the smaller of those of January and July.
    pub fn standard_offset(&self) -> Duration {
        let noon = |month| {
            NaiveDate::from_ymd_opt(2025, month, 15)
                .and_then(|d| d.and_hms_opt(12, 0, 0))
                .unwrap_or_default()
        };
        self.offset(noon(1)).min(self.offset(noon(7)))
    }

    pub fn standard_of_utc(&self, utc: NaiveDateTime) -> NaiveDateTime {
        utc + self.standard_offset()
    }

    pub fn standard_of(&self, local: NaiveDateTime) -> Standard {
        let Some(tz) = self.0 else {
            return Standard::At(local);
        };
        let standard = self.standard_offset();
        let at = |offset: &<Tz as TimeZone>::Offset| {
            local - Duration::seconds(i64::from(offset.fix().local_minus_utc())) + standard
        };
        match tz.offset_from_local_datetime(&local) {
            LocalResult::Single(offset) => Standard::At(at(&offset)),
            LocalResult::Ambiguous(a, b) => Standard::Twice(at(&a), at(&b)),
            LocalResult::None => Standard::Never,
        }
    }

    /// Whether it matters how the hours are counted.
    pub fn changes(&self, rows: &[NaiveDateTime]) -> bool {
        rows.iter()
            .any(|r| !matches!(self.standard_of(*r), Standard::At(at) if at == *r))
    }

    /// What the rows round the changes of the clock tell; `None` where no change lies within them. `rows` ascend,
    /// but for a step back where the clock was put back.
    pub fn kept(&self, rows: &[NaiveDateTime]) -> Option<TimeKept> {
        self.0?;
        let (mut clock, mut standard) = (0, 0);
        let mut last: Option<(NaiveDateTime, Standard)> = None;
        for now in rows {
            let here = self.standard_of(*now);
            if here == Standard::Never {
                standard += 1;
            }
            if let Some((before, there)) = last {
                let step = *now - before;
                let twice = matches!(there, Standard::Twice(..));
                if twice && step <= Duration::zero() && step >= Duration::hours(-2) {
                    clock += 1;
                }
                // A pause of an hour or so, just where the clock was put forward.
                if let (Standard::At(a), Standard::At(b)) = (there, here)
                    && step > Duration::minutes(40)
                    && step <= Duration::hours(3)
                    && b - a < step
                    && b > a
                {
                    clock += 1;
                }
            }
            last = Some((*now, here));
        }
        match (clock, standard) {
            (0, 0) => None,
            (c, s) if c > s => Some(TimeKept::Clock),
            _ => Some(TimeKept::Standard),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(from: &str, minutes: i64, n: i64) -> Vec<NaiveDateTime> {
        let from: NaiveDateTime = from.parse().unwrap();
        (0..n)
            .map(|i| from + Duration::minutes(minutes * i))
            .collect()
    }

    #[test]
    fn the_rows_tell_how_hours_are_counted() {
        // 29 March 2026 has no 02:00 to 03:00 in Lisbon's neighbour Madrid; 25 October has 02:00 to 03:00 twice.
        let zone = Zone::named("Europe/Madrid");
        let through = rows("2026-03-28T22:00:00", 30, 20);
        assert_eq!(zone.kept(&through), Some(TimeKept::Standard));
        let skipped: Vec<_> = through
            .iter()
            .copied()
            .filter(|t| zone.standard_of(*t) != Standard::Never)
            .collect();
        assert_eq!(zone.kept(&skipped), Some(TimeKept::Clock));
        let mut twice = rows("2026-10-25T00:00:00", 30, 6);
        twice.extend(rows("2026-10-25T02:00:00", 30, 6));
        assert_eq!(zone.kept(&twice), Some(TimeKept::Clock));
        assert_eq!(zone.kept(&rows("2026-06-01T00:00:00", 60, 400)), None);
        assert_eq!(Zone::named("nowhere").kept(&through), None);
    }

    #[test]
    fn clock_times_become_standard_times() {
        let zone = Zone::named("Europe/Madrid");
        let t = |s: &str| s.parse::<NaiveDateTime>().unwrap();
        assert_eq!(
            zone.standard_of(t("2026-07-01T12:00:00")),
            Standard::At(t("2026-07-01T11:00:00"))
        );
        assert_eq!(zone.standard_of(t("2026-03-29T02:30:00")), Standard::Never);
        assert_eq!(
            zone.standard_of(t("2026-10-25T02:30:00")),
            Standard::Twice(t("2026-10-25T01:30:00"), t("2026-10-25T02:30:00"))
        );
        assert_eq!(
            zone.standard_of_utc(t("2026-07-01T10:00:00")),
            t("2026-07-01T11:00:00")
        );
    }
}
