//! Months that are missing between months that are known.

use crate::base::calendar::MONTH_NAMES;

pub(super) type Months = [Option<f64>; 12];

/// A year of which some months are known: what these depart from an estimate of the whole year is carried over the months
/// between them in a straight line, round the year, and added to the estimate (interpolation aided by a climatology, Willmott &
/// Robeson 1995, Int. J. Climatol. 15:221). The estimate itself where no month is known.
pub(super) fn filled(known: &Months, estimate: &[f64; 12]) -> [f64; 12] {
    let departures: Months = std::array::from_fn(|m| known[m].map(|v| v - estimate[m]));
    std::array::from_fn(|m| known[m].unwrap_or_else(|| estimate[m] + between(&departures, m)))
}

/// The same by factors, for what can't be less than nothing: an estimate that reads a fifth low in the months about is taken to
/// do so in the month between.
pub(super) fn filled_by_factor(known: &Months, estimate: &[f64; 12]) -> [f64; 12] {
    let factors: Months = std::array::from_fn(|m| {
        known[m]
            .filter(|_| estimate[m] > 1e-3)
            .map(|v| v / estimate[m] - 1.0)
    });
    std::array::from_fn(|m| known[m].unwrap_or_else(|| estimate[m] * (1.0 + between(&factors, m))))
}

/// In a straight line between the nearest months that are known on either side; nothing where there are none.
fn between(known: &Months, month0: usize) -> f64 {
    let nearest = |step: usize| {
        (0..12).find_map(|k| known[(month0 + k * step) % 12].map(|value| (k as f64, value)))
    };
    // Going 11 months on is going one back.
    match (nearest(11), nearest(1)) {
        (Some((0.0, here)), _) => here,
        (Some((back, before)), Some((on, after))) => (before * on + after * back) / (back + on),
        _ => 0.0,
    }
}

/// How many months without a figure follow one another, at most.
pub(super) fn longest(known: &Months) -> usize {
    (0..12)
        .map(|m| {
            (0..12)
                .take_while(|k| known[(m + k) % 12].is_none())
                .count()
        })
        .max()
        .unwrap_or(0)
}

/// "March, April and July" of the months that are not known.
pub(super) fn names(known: &Months) -> String {
    names_where(|m| known[m].is_none())
}

/// The names of some months as in a sentence.
pub(super) fn names_where(which: impl Fn(usize) -> bool) -> String {
    let names: Vec<&str> = (0..12)
        .filter(|m| which(*m))
        .map(|m| MONTH_NAMES[m])
        .collect();
    match names.split_last() {
        Some((last, before)) if !before.is_empty() => format!("{} and {last}", before.join(", ")),
        Some((last, _)) => (*last).to_owned(),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn verify_departures_run_straight_round_the_year() {
        let mut known = [None; 12];
        known[10] = Some(8.0);
        known[2] = Some(4.0);
        let estimate: [f64; 12] = std::array::from_fn(|m| m as f64);
        // November is 2 below the estimate, March 2 above: December to February -1, 0 and 1.
        let year = filled(&known, &estimate);
        assert_eq!(year[11], 10.0);
        assert_eq!(year[0], 0.0);
        assert_eq!(year[1], 2.0);
        assert_eq!((year[10], year[2]), (8.0, 4.0));
        // Halfway through the summer the two meet again.
        assert_eq!(year[6], 6.0);
        assert_eq!(filled(&[None; 12], &estimate), estimate);
        let mut one = [None; 12];
        one[4] = Some(9.0);
        assert_eq!(filled(&one, &estimate)[9], 14.0);
        assert_eq!(filled_by_factor(&one, &[3.0; 12]), [9.0; 12]);
        assert_eq!(filled_by_factor(&one, &[0.0; 12])[3], 0.0);
    }

    #[test]
    fn gaps_are_counted_and_named_round_the_year() {
        let mut known = [Some(1.0); 12];
        assert_eq!((longest(&known), names(&known)), (0, String::new()));
        known[11] = None;
        assert_eq!(names(&known), "December");
        known[0] = None;
        known[5] = None;
        assert_eq!(longest(&known), 2);
        assert_eq!(names(&known), "January, June and December");
        assert_eq!(longest(&[None; 12]), 12);
    }
}
