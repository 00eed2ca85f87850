//! What one place has over another, factor by factor.

use serde::Serialize;

use super::{
    Factor, HazardKind, Limiting, Score,
    score::points_of,
    why::{figure, remedy_of},
};

/// A condition that tells two scores apart.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Shift {
    /// A factor or a hazard.
    pub what: Limiting,
    /// The condition in the first, in its unit; for a hazard its chance, 0..=1.
    pub first: Option<f64>,
    /// The condition in the second.
    pub second: Option<f64>,
    /// Points the first has over the second by this; negative when it loses.
    pub points: f64,
}

impl Shift {
    /// `"nights 12.1 °C against 16.8 °C: +18"`.
    #[must_use]
    pub fn text(&self) -> String {
        let say = |value: Option<f64>| match (value, self.what) {
            (None, Limiting::Factor(_)) => "not known".to_owned(),
            (Some(v), Limiting::Factor(f)) => format!("{} {}", figure(f, v), f.unit()),
            (None, _) => "none".to_owned(),
            (Some(chance), _) => crate::base::names::years_in(chance),
        };
        let name = match self.what {
            Limiting::Factor(f) => f.name(),
            Limiting::Hazard(h) => h.name(),
            Limiting::Nothing | Limiting::Unknown => "",
        };
        format!(
            "{name} {} against {}: {:+.0}",
            say(self.first),
            say(self.second),
            self.points
        )
    }
}

/// What the first of two scores has over the second.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Difference {
    /// Points of the first less those of the second; `None` when either is unknown.
    pub points: Option<f64>,
    /// What is better in the first, most first.
    pub gains: Vec<Shift>,
    /// What is worse in the first, most first.
    pub losses: Vec<Shift>,
    /// What would mend the greatest want of the one that scores less; `None` between equals.
    pub mend: Option<String>,
}

/// Less than this is not worth a line.
const NAMEABLE_POINTS: f64 = 0.5;

/// Takes two scores apart: each condition is exchanged alone, once in either score, and the mean of the two changes
/// is its share. So the difference of (b, a) is exactly that of (a, b) with the signs turned.
#[must_use]
pub fn difference(first: &Score, second: &Score) -> Difference {
    let whole = |s: &Score| points_of(s.factors(), &s.hazards);
    let (all_first, all_second) = (whole(first), whole(second));
    let mut shifts = Vec::new();
    for factor in Factor::ALL {
        let (a, b) = (first.factor(factor), second.factor(factor));
        if a.is_none() && b.is_none() {
            continue;
        }
        let exchanged = |own: &Score, other: &Score| {
            let factors = own
                .factors()
                .filter(|f| f.factor != factor)
                .chain(other.factor(factor));
            points_of(factors, &own.hazards)
        };
        shifts.push(Shift {
            what: Limiting::Factor(factor),
            first: a.and_then(|f| f.value),
            second: b.and_then(|f| f.value),
            points: (all_first - exchanged(first, second) + exchanged(second, first) - all_second)
                / 2.0,
        });
    }
    for kind in HazardKind::ALL {
        let (a, b) = (first.hazard(kind), second.hazard(kind));
        if a.is_none() && b.is_none() {
            continue;
        }
        let exchanged = |own: &Score, other: &Score| {
            let mut hazards = own.hazards.clone();
            hazards.retain(|h| h.kind != kind);
            hazards.extend(other.hazard(kind).copied());
            points_of(own.factors(), &hazards)
        };
        shifts.push(Shift {
            what: Limiting::Hazard(kind),
            first: a.map(|h| h.chance),
            second: b.map(|h| h.chance),
            points: (all_first - exchanged(first, second) + exchanged(second, first) - all_second)
                / 2.0,
        });
    }
    // A stable sort: equals stay in the order of the factors.
    shifts.sort_by(|x, y| y.points.abs().total_cmp(&x.points.abs()));
    shifts.retain(|s| s.points.abs() >= NAMEABLE_POINTS);
    let points = first.points.zip(second.points).map(|(a, b)| a - b);
    sorted_out(points, shifts, (first, second))
}

/// The same over several weeks: each week is taken apart, and the points of each condition are meant over all of them;
/// its figures are those of the week in which it tells most. `None` for no weeks.
#[must_use]
pub fn difference_over(weeks: &[(&Score, &Score)]) -> Option<Difference> {
    /// A condition with the week in which it tells most.
    struct Told<'a> {
        most: f64,
        shift: Shift,
        week: (&'a Score, &'a Score),
    }
    let n = weeks.len() as f64;
    let mut told: Vec<Told<'_>> = Vec::new();
    let mut points = Some(0.0);
    for week in weeks {
        let one = difference(week.0, week.1);
        points = points.zip(one.points).map(|(sum, p)| sum + p / n);
        for shift in one.gains.into_iter().chain(one.losses) {
            let most = shift.points.abs();
            let mean = shift.points / n;
            match told.iter_mut().find(|t| t.shift.what == shift.what) {
                Some(t) => {
                    let sum = t.shift.points + mean;
                    if most > t.most {
                        (t.most, t.shift, t.week) = (most, shift, *week);
                    }
                    t.shift.points = sum;
                }
                None => told.push(Told {
                    most,
                    shift: Shift {
                        points: mean,
                        ..shift
                    },
                    week: *week,
                }),
            }
        }
    }
    told.retain(|t| t.shift.points.abs() >= NAMEABLE_POINTS);
    told.sort_by(|x, y| y.shift.points.abs().total_cmp(&x.shift.points.abs()));
    // The greatest want of the poorer one is mended in the week in which it is greatest.
    let telling = told
        .iter()
        .find(|t| points.is_some_and(|p| p * t.shift.points > 0.0))
        .map(|t| t.week);
    let week = telling.or_else(|| weeks.first().copied())?;
    let shifts = told.into_iter().map(|t| t.shift).collect();
    Some(sorted_out(points, shifts, week))
}

/// Gains and losses, and the remedy for the greatest of those that hold the poorer one back.
fn sorted_out(
    points: Option<f64>,
    shifts: Vec<Shift>,
    (first, second): (&Score, &Score),
) -> Difference {
    let (gains, losses): (Vec<Shift>, Vec<Shift>) =
        shifts.into_iter().partition(|s| s.points > 0.0);
    let mend = points.and_then(|p| {
        let (poorer, wants) = if p > 0.0 {
            (second, gains.first())
        } else {
            (first, losses.first())
        };
        remedy_of(poorer, wants?.what)
    });
    Difference {
        points,
        gains,
        losses,
        mend,
    }
}
