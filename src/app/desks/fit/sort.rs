//! The order of the table's lines.

use std::cmp::Ordering;

use super::table::Line;

/// The column by which lines are in order.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum By {
    Name,
    #[default]
    Mean,
    /// By its place in [`crate::base::Season::ALL`].
    Season(usize),
    HeldBack,
    Partner,
}

/// How lines are in order: names from a, scores from the best, or the other way round.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Sort {
    pub by: By,
    pub turned: bool,
}

impl Sort {
    /// After a click on a column's head: a second click turns the order round.
    #[must_use]
    pub fn clicked(self, by: By) -> Self {
        Self {
            by,
            turned: self.by == by && !self.turned,
        }
    }

    /// Where the pot does not fit stands last, and before it what is not known, either way; equals stand by name.
    pub fn put_in_order(self, lines: &mut [Line]) {
        lines.sort_by(|a, b| {
            let misfit = |line: &Line| line.misfit.is_some();
            misfit(a)
                .cmp(&misfit(b))
                .then_with(|| self.compare(a, b))
                .then_with(|| a.name.cmp(&b.name))
        });
    }

    fn compare(self, a: &Line, b: &Line) -> Ordering {
        match self.by {
            By::Name => self.turned(a.name.cmp(&b.name)),
            By::HeldBack => self.turned(a.held_back.cmp(&b.held_back)),
            By::Mean => self.best_first(a.mean, b.mean),
            By::Season(i) => {
                let of = |line: &Line| line.seasons.get(i).copied().flatten();
                self.best_first(of(a), of(b))
            }
            By::Partner => {
                let of = |line: &Line| line.partner.as_ref().map(|p| p.1);
                self.best_first(of(a), of(b))
            }
        }
    }

    fn best_first(self, a: Option<f64>, b: Option<f64>) -> Ordering {
        match (a, b) {
            (Some(a), Some(b)) => self.turned(b.total_cmp(&a)),
            (a, b) => a.is_none().cmp(&b.is_none()),
        }
    }

    fn turned(self, order: Ordering) -> Ordering {
        if self.turned { order.reverse() } else { order }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::Id;

    fn line(name: &str, mean: Option<f64>, summer: Option<f64>) -> Line {
        Line {
            id: Id::from(name),
            name: name.to_owned(),
            under: String::new(),
            mean,
            seasons: [None, None, summer, None],
            weeks: Vec::new(),
            held_back: name.chars().rev().collect(),
            partner: summer.map(|s| (name.to_owned(), s)),
            misfit: None,
        }
    }

    #[test]
    fn where_the_pot_does_not_fit_stands_last_either_way() {
        for sort in [Sort::default(), Sort::default().clicked(By::Mean)] {
            let mut lines = [
                Line {
                    misfit: Some("pot too wide".to_owned()),
                    ..line("sill", Some(90.0), None)
                },
                line("bench", Some(1.0), None),
                line("cellar", None, None),
            ];
            sort.put_in_order(&mut lines);
            let names: Vec<&str> = lines.iter().map(|l| l.name.as_str()).collect();
            assert_eq!(names, ["bench", "cellar", "sill"]);
        }
    }

    #[test]
    fn the_best_stands_first_and_the_unknown_last_either_way() {
        let mut lines = vec![
            line("bench", Some(40.0), Some(90.0)),
            line("cellar", None, None),
            line("attic", Some(70.0), Some(20.0)),
        ];
        let mut order = |sort: Sort| -> Vec<String> {
            sort.put_in_order(&mut lines);
            lines.iter().map(|l| l.name.clone()).collect()
        };
        let best = Sort::default();
        assert_eq!(order(best), ["attic", "bench", "cellar"]);
        assert_eq!(order(best.clicked(By::Mean)), ["bench", "attic", "cellar"]);
        let summer = best.clicked(By::Season(2));
        assert!(!summer.turned);
        assert_eq!(order(summer), ["bench", "attic", "cellar"]);
        assert_eq!(
            order(summer.clicked(By::Season(2))),
            ["attic", "bench", "cellar"]
        );
        assert_eq!(
            order(summer.clicked(By::Partner)),
            ["bench", "attic", "cellar"]
        );
        assert_eq!(order(best.clicked(By::Name)), ["attic", "bench", "cellar"]);
        assert_eq!(
            order(best.clicked(By::HeldBack)),
            ["attic", "bench", "cellar"]
        );
    }
}
