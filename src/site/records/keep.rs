//! What of a record is kept in the site: hourly means, rounded to what a sensor knows.

use std::sync::Arc;

use chrono::Timelike;

use super::{Quantity, Records};
use crate::site::{Logged, LoggedDay, LoggedQuantity};

/// Days that are kept of one record: the newest.
pub const MOST_DAYS: usize = 1_100;

/// The hourly means of a quantity; `None` where the record has none of it.
#[must_use]
pub fn logged(
    records: &Records,
    quantity: LoggedQuantity,
    name: &str,
    open: bool,
) -> Option<Logged> {
    let (of, step) = match quantity {
        LoggedQuantity::Temperature => (Quantity::Temperature, 0.1),
        LoggedQuantity::Humidity => (Quantity::Humidity, 1.0),
        LoggedQuantity::Light => (Quantity::Light, 1.0),
    };
    let hours = records.hourly(of);
    let last = hours.last()?.0.date();
    let newest = last
        .checked_sub_days(chrono::Days::new(MOST_DAYS as u64 - 1))
        .unwrap_or(last);
    let first_day = hours.first()?.0.date().max(newest);
    let n = usize::try_from((last - first_day).num_days()).ok()? + 1;
    let mut days = vec![LoggedDay::EMPTY; n];
    for (at, mean, _) in hours {
        let day = usize::try_from((at.date() - first_day).num_days()).ok();
        if let Some(hour) = day
            .and_then(|d| days.get_mut(d))
            .and_then(|d| d.0.get_mut(at.hour() as usize))
        {
            // Through the decimal text, so that 0.1 is written as 0.1; and no negative nought.
            let rounded = (mean / step).round() * step;
            *hour = format!("{rounded:.1}").parse::<f32>().ok().map(|v| v + 0.0);
        }
    }
    Some(Logged {
        name: name.to_owned(),
        quantity,
        open,
        first_day,
        days: Arc::new(days),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hours_are_kept_where_they_were_recorded() {
        let at = |text: &str| text.parse().unwrap();
        let records = Records {
            at: vec![
                at("2026-02-01T22:10:00"),
                at("2026-02-01T22:40:00"),
                at("2026-02-03T00:00:00"),
            ],
            columns: vec![(Quantity::Temperature, vec![1.0, 1.33, -0.04])],
        };
        let kept = logged(&records, LoggedQuantity::Temperature, "a", false).unwrap();
        assert_eq!((kept.days.len(), kept.hours()), (3, 2));
        assert_eq!(kept.days[0].0[22], Some(1.2));
        assert_eq!(kept.days[2].0[0], Some(0.0));
        assert!(logged(&records, LoggedQuantity::Light, "a", false).is_none());
    }
}
