//! What one place has over another, factor by factor.

use serde::Serialize;

use super::{Factor, HazardKind, Limiting, Score, score::points_of, why::figure};

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
}

/// Less than this is not worth a line.
const NAMEABLE_POINTS: f64 = 0.5;

/// Takes two scores apart: each condition is exchanged alone, once in either score, and the mean of the two changes
/// is its share. So the difference of (b, a) is exactly that of (a, b) with the signs turned.
#[must_use]
pub fn difference(first: &Score, second: &Score) -> Difference {
    let whole = |s: &Score| points_of(&s.factors, &s.hazards);
    let (all_first, all_second) = (whole(first), whole(second));
    let mut shifts = Vec::new();
    for factor in Factor::ALL {
        let (a, b) = (first.factor(factor), second.factor(factor));
        if a.is_none() && b.is_none() {
            continue;
        }
        let exchanged = |own: &Score, other: &Score| {
            let mut factors = own.factors.clone();
            factors.retain(|f| f.factor != factor);
            factors.extend(other.factor(factor).copied());
            points_of(&factors, &own.hazards)
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
            points_of(&own.factors, &hazards)
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
    let (gains, losses) = shifts.into_iter().partition(|s| s.points > 0.0);
    Difference {
        points: first.points.zip(second.points).map(|(a, b)| a - b),
        gains,
        losses,
    }
}
