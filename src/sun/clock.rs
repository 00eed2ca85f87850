//! Local clock time to UTC and back, and the standard time in which years are computed.

use chrono::{DateTime, Datelike, Duration, LocalResult, NaiveDateTime, Offset, TimeZone, Utc};
use chrono_tz::Tz;

use super::REFERENCE_YEAR;
use crate::{base::calendar::Day, site::Place};

/// Offset of local standard time from UTC, h: the smaller of the offsets in January and July of the reference year.
///
/// An unknown zone name gives the whole hour nearest to the longitude's mean solar time; `site::file` refuses such
/// names, so this only keeps half-typed ones from failing.
#[must_use]
pub fn standard_offset_h(place: &Place) -> f64 {
    Zone::of(place).standard_offset_s() as f64 / 3600.0
}

/// Local clock time as UTC. A time skipped in spring moves forward by the gap; of a time that comes twice in
/// autumn the first is meant.
#[must_use]
pub fn utc_from_local(place: &Place, local: NaiveDateTime) -> DateTime<Utc> {
    Zone::of(place).utc_from_local(local)
}

/// UTC as local clock time.
#[must_use]
pub fn local_from_utc(place: &Place, when: DateTime<Utc>) -> NaiveDateTime {
    shifted(when.naive_utc(), Zone::of(place).offset_s(when.naive_utc()))
}

/// How far clock time is ahead of standard time at an instant of local standard time, h (0 or 1, rarely else).
#[must_use]
pub fn saving_h(place: &Place, standard: NaiveDateTime) -> f64 {
    let zone = Zone::of(place);
    let standard_s = zone.standard_offset_s();
    let utc = shifted(standard, -standard_s);
    (zone.offset_s(utc) - standard_s) as f64 / 3600.0
}

enum Zone {
    Named(Tz),
    /// Seconds east of UTC.
    Fixed(i64),
}

impl Zone {
    fn of(place: &Place) -> Self {
        place.time_zone.parse().map_or_else(
            |_| {
                let hours = (place.longitude_deg / 15.0).round().clamp(-12.0, 12.0);
                Self::Fixed(if hours.is_finite() {
                    hours as i64 * 3600
                } else {
                    0
                })
            },
            Self::Named,
        )
    }

    /// Offset at an instant of UTC, s.
    fn offset_s(&self, utc: NaiveDateTime) -> i64 {
        match self {
            Self::Named(tz) if is_ordinary(utc) => {
                i64::from(tz.offset_from_utc_datetime(&utc).fix().local_minus_utc())
            }
            Self::Named(_) => 0,
            Self::Fixed(offset_s) => *offset_s,
        }
    }

    fn standard_offset_s(&self) -> i64 {
        let noon = |day: usize| {
            Day::new(day)
                .in_year(REFERENCE_YEAR)
                .and_time(chrono::NaiveTime::MIN)
                + Duration::hours(12)
        };
        self.offset_s(noon(14)).min(self.offset_s(noon(195)))
    }

    fn utc_from_local(&self, local: NaiveDateTime) -> DateTime<Utc> {
        let offset_s = match self {
            Self::Fixed(offset_s) => *offset_s,
            Self::Named(_) if !is_ordinary(local) => 0,
            Self::Named(tz) => match tz.offset_from_local_datetime(&local) {
                LocalResult::Single(offset) | LocalResult::Ambiguous(offset, _) => {
                    i64::from(offset.fix().local_minus_utc())
                }
                // In the gap the clock has not been put forward yet: the offset of a little earlier holds, which
                // shows on the clock as the time asked for plus the gap.
                LocalResult::None => [3, 27]
                    .iter()
                    .find_map(|hours| {
                        let earlier = local - Duration::hours(*hours);
                        tz.offset_from_local_datetime(&earlier).latest()
                    })
                    .map_or(0, |offset| i64::from(offset.fix().local_minus_utc())),
            },
        };
        shifted(local, -offset_s).and_utc()
    }
}

/// Years for which time zones mean something and arithmetic cannot overflow.
fn is_ordinary(when: NaiveDateTime) -> bool {
    (1..=9999).contains(&when.year())
}

fn shifted(when: NaiveDateTime, seconds: i64) -> NaiveDateTime {
    when.checked_add_signed(Duration::seconds(seconds))
        .unwrap_or(when)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(zone: &str, longitude_deg: f64) -> Place {
        Place {
            time_zone: zone.to_owned(),
            longitude_deg,
            ..Place::default()
        }
    }

    fn at(text: &str) -> NaiveDateTime {
        text.parse().unwrap()
    }

    // Offsets and dates of change: IANA time zone database, as the zones' governments publish them.
    #[test]
    fn validate_standard_offsets() {
        for (zone, hours) in [
            ("Europe/Zurich", 1.0),
            ("Europe/Dublin", 0.0),
            ("Australia/Sydney", 10.0),
            ("Asia/Kathmandu", 5.75),
            ("America/St_Johns", -3.5),
        ] {
            assert_eq!(standard_offset_h(&place(zone, 0.0)), hours, "{zone}");
        }
    }

    #[test]
    fn an_unknown_zone_follows_the_longitude() {
        assert_eq!(standard_offset_h(&place("Nowhere/Town", 151.2)), 10.0);
        assert_eq!(standard_offset_h(&place("", f64::NAN)), 0.0);
        assert_eq!(saving_h(&place("", -70.0), at("2027-07-01T12:00:00")), 0.0);
    }

    #[test]
    fn a_skipped_time_moves_forward_and_a_doubled_one_is_the_first() {
        let zurich = place("Europe/Zurich", 8.5);
        // 28 March 2027, 02:00 to 03:00 does not exist.
        let utc = utc_from_local(&zurich, at("2027-03-28T02:30:00"));
        assert_eq!(utc.naive_utc(), at("2027-03-28T01:30:00"));
        assert_eq!(local_from_utc(&zurich, utc), at("2027-03-28T03:30:00"));
        // 31 October 2027, 02:30 comes at 00:30 and at 01:30 UTC.
        let utc = utc_from_local(&zurich, at("2027-10-31T02:30:00"));
        assert_eq!(utc.naive_utc(), at("2027-10-31T00:30:00"));
        // Lord Howe Island puts the clock forward by half an hour only (3 October 2027).
        let howe = place("Australia/Lord_Howe", 159.1);
        let utc = utc_from_local(&howe, at("2027-10-03T02:10:00"));
        assert_eq!(local_from_utc(&howe, utc), at("2027-10-03T02:40:00"));
    }

    #[test]
    fn saving_in_summer_only() {
        let sydney = place("Australia/Sydney", 151.2);
        assert_eq!(saving_h(&sydney, at("2027-01-15T12:00:00")), 1.0);
        assert_eq!(saving_h(&sydney, at("2027-07-15T12:00:00")), 0.0);
    }

    #[test]
    fn the_ends_of_time_do_not_fail() {
        let zurich = place("Europe/Zurich", 8.5);
        for when in [NaiveDateTime::MIN, NaiveDateTime::MAX] {
            let _ = utc_from_local(&zurich, when);
            let _ = saving_h(&zurich, when);
            let _ = local_from_utc(&zurich, when.and_utc());
        }
    }
}
