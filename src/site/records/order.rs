//! Which number of the dates is the day, decided by the whole file.

use chrono::{Duration, NaiveDate, NaiveDateTime};

use super::dates::{DateOrder, Stamp};

/// Steps longer than this between neighbouring rows speak against an order, h.
const LONG_STEP_H: i64 = 40;

/// How the order was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum OrderBy {
    /// The dates are written so that only one order is possible.
    Writing,
    /// Some date has a number that can be no month, or lies in the future.
    Numbers,
    /// Only in this order do the rows follow one another.
    Sequence,
    /// The grower said so.
    Told,
}

/// Both orders fit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Ambiguous;

/// `today` rules out orders that lead into the future.
pub(super) fn decide(
    stamps: &[Stamp],
    told: Option<DateOrder>,
    today: Option<NaiveDate>,
) -> Result<(DateOrder, OrderBy), Ambiguous> {
    let open = || stamps.iter().filter(|s| s.plain().is_none());
    let Some(first) = open().next() else {
        let order = stamps
            .first()
            .and_then(Stamp::plain)
            .unwrap_or(DateOrder::YearMonthDay);
        return Ok((order, OrderBy::Writing));
    };
    if let Some(order) = told {
        return Ok((order, OrderBy::Told));
    }
    // Two digits of the year do not come first but in dates with hyphens, which `Stamp` cannot tell; there the
    // sequence decides among three.
    let candidates: Vec<(DateOrder, usize)> = DateOrder::ALL
        .into_iter()
        .filter(|o| first.date(*o).is_some() || *o != DateOrder::YearMonthDay)
        .map(|order| {
            let late = |d: NaiveDate| today.is_some_and(|t| d > t + Duration::days(1));
            let wrong = open().filter(|s| s.date(order).is_none_or(late)).count();
            (order, wrong)
        })
        .collect();
    let fewest = candidates.iter().map(|c| c.1).min().unwrap_or(0);
    let left: Vec<DateOrder> = candidates
        .iter()
        .filter(|c| c.1 == fewest)
        .map(|c| c.0)
        .collect();
    if let [order] = left[..] {
        return Ok((order, OrderBy::Numbers));
    }
    let breaks: Vec<(DateOrder, usize)> = left
        .into_iter()
        .map(|order| (order, breaks(stamps, order)))
        .collect();
    let fewest = breaks.iter().map(|b| b.1).min().unwrap_or(0);
    // Clearly fewer: one gap in the record must not decide it.
    let close: Vec<DateOrder> = breaks
        .iter()
        .filter(|b| b.1 <= 2 * fewest)
        .map(|b| b.0)
        .collect();
    match close[..] {
        [order] => Ok((order, OrderBy::Sequence)),
        _ => Err(Ambiguous),
    }
}

/// How often a row does not follow closely on the one before it, in either direction of time.
fn breaks(stamps: &[Stamp], order: DateOrder) -> usize {
    let moments: Vec<NaiveDateTime> = stamps.iter().filter_map(|s| s.moment(order)).collect();
    let steps: Vec<i64> = moments
        .iter()
        .zip(moments.iter().skip(1))
        .map(|(a, b)| (*b - *a).num_hours())
        .collect();
    let count = |forward: i64| {
        steps
            .iter()
            // The clock put back is no break.
            .filter(|s| !(-1..=LONG_STEP_H).contains(&(*s * forward)))
            .count()
    };
    count(1).min(count(-1))
}

#[cfg(test)]
mod tests {
    use super::{super::dates::stamp, *};

    fn order_of(texts: &[&str]) -> Result<(DateOrder, OrderBy), Ambiguous> {
        let stamps: Vec<Stamp> = texts.iter().filter_map(|t| stamp(t)).collect();
        let today = NaiveDate::from_ymd_opt(2026, 9, 20);
        decide(&stamps, None, today)
    }

    #[test]
    fn the_whole_file_decides() {
        use DateOrder::{DayMonthYear as D, MonthDayYear as M, YearMonthDay as Y};
        assert_eq!(
            order_of(&["2026-02-03", "2026-02-04"]),
            Ok((Y, OrderBy::Writing))
        );
        assert_eq!(
            order_of(&["03.02.2026", "04.02.2026"]),
            Ok((D, OrderBy::Writing))
        );
        assert_eq!(
            order_of(&["12/02/2026", "13/02/2026"]),
            Ok((D, OrderBy::Numbers))
        );
        assert_eq!(
            order_of(&["2/12/2026", "2/13/2026"]),
            Ok((M, OrderBy::Numbers))
        );
        // 9 October 2026 is still to come.
        assert_eq!(order_of(&["9/10/2026 10:00"]), Ok((M, OrderBy::Numbers)));
        assert_eq!(
            order_of(&["03/02/2026 23:00", "04/02/2026 00:00", "05/02/2026 00:00"]),
            Ok((D, OrderBy::Sequence))
        );
        assert_eq!(
            order_of(&["02/03/2026 23:00", "02/04/2026 00:00", "02/05/2026 00:00"]),
            Ok((M, OrderBy::Sequence))
        );
        assert_eq!(
            order_of(&["05/02/2026", "04/02/2026", "03/02/2026"]),
            Ok((D, OrderBy::Sequence))
        );
        assert_eq!(
            order_of(&["26-02-03", "26-02-04", "26-02-05"]),
            Ok((Y, OrderBy::Sequence))
        );
        assert_eq!(
            order_of(&["03/02/2026 10:00", "03/02/2026 11:00"]),
            Err(Ambiguous)
        );
        let told = decide(&[stamp("03/02/2026").unwrap()], Some(M), None);
        assert_eq!(told, Ok((M, OrderBy::Told)));
    }
}
