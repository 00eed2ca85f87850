use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::base::Id;

/// A stay that the grower has decided.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pin {
    pub plant: Id,
    pub spot: Id,
    /// First day.
    pub from: NaiveDate,
    /// Last day.
    pub to: NaiveDate,
}

/// Days on which nobody is there to move pots.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Absence {
    pub from: NaiveDate,
    pub to: NaiveDate,
}

/// What the grower has decided about the plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Choices {
    /// The plan's first day; today if `None`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plan_from: Option<NaiveDate>,
    pub pins: Vec<Pin>,
    pub absences: Vec<Absence>,
    /// How much a move is disliked: 1 as usual, 0 not at all, 3 very much.
    pub move_dislike: f64,
    /// Shortest stay worth a move, weeks, 1..=12.
    pub shortest_stay_weeks: u32,
    /// Heaviest pot that one person moves here, kg; heavier ones are flagged for two people or a trolley.
    pub lift_limit_kg: f64,
}

impl Default for Choices {
    fn default() -> Self {
        Self {
            plan_from: None,
            pins: Vec::new(),
            absences: Vec::new(),
            move_dislike: 1.0,
            shortest_stay_weeks: 3,
            lift_limit_kg: 20.0,
        }
    }
}

impl Choices {
    /// Pins a stay. One plant stands in one place: other pins of it give way on these days.
    pub fn pin(&mut self, pin: Pin) {
        let mut pins = Vec::with_capacity(self.pins.len() + 1);
        for other in self.pins.drain(..) {
            if other.plant != pin.plant || other.to < pin.from || other.from > pin.to {
                pins.push(other);
                continue;
            }
            if let Some(to) = pin.from.pred_opt().filter(|to| other.from <= *to) {
                pins.push(Pin {
                    to,
                    ..other.clone()
                });
            }
            if let Some(from) = pin.to.succ_opt().filter(|from| *from <= other.to) {
                pins.push(Pin { from, ..other });
            }
        }
        pins.push(pin);
        self.pins = pins;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pin(plant: &str, spot: &str, from: u32, to: u32) -> Pin {
        let day = |d| NaiveDate::from_ymd_opt(2026, 11, d).unwrap();
        Pin {
            plant: Id::new(plant),
            spot: Id::new(spot),
            from: day(from),
            to: day(to),
        }
    }

    #[test]
    fn a_new_pin_cuts_what_it_meets_and_leaves_the_rest() {
        let mut choices = Choices {
            pins: vec![pin("lemon", "porch", 2, 20), pin("clivia", "porch", 1, 30)],
            ..Choices::default()
        };
        choices.pin(pin("lemon", "sill", 8, 14));
        assert_eq!(
            choices.pins,
            [
                pin("lemon", "porch", 2, 7),
                pin("lemon", "porch", 15, 20),
                pin("clivia", "porch", 1, 30),
                pin("lemon", "sill", 8, 14),
            ]
        );
        choices.pin(pin("lemon", "bench", 1, 28));
        assert_eq!(
            choices.pins,
            [pin("clivia", "porch", 1, 30), pin("lemon", "bench", 1, 28)]
        );
    }
}
