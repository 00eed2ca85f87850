//! Months, colours and lists as a grower would say them.

use crate::{
    base::{Months, calendar::MONTH_NAMES},
    site::ClothColour,
};

/// `"May to September"`, `"all year"`, `"May, July to August"`.
#[must_use]
pub fn months_words(months: Months) -> String {
    if months.is_all() {
        return "all year".to_owned();
    }
    let name = |m: usize| MONTH_NAMES.get(m % 12).copied().unwrap_or_default();
    // A run begins where the month before is out, and may reach round the year's end.
    let runs: Vec<String> = (0..12)
        .filter(|m| months.has(*m) && !months.has(m + 11))
        .map(|first| {
            let last = (first..first + 12)
                .take_while(|m| months.has(*m))
                .last()
                .unwrap_or(first);
            if last == first {
                name(first).to_owned()
            } else {
                format!("{} to {}", name(first), name(last))
            }
        })
        .collect();
    if runs.is_empty() {
        "never".to_owned()
    } else {
        runs.join(", ")
    }
}

#[must_use]
pub fn colour_word(colour: ClothColour) -> &'static str {
    match colour {
        ClothColour::Black => "black",
        ClothColour::Green => "green",
        ClothColour::White => "white",
        ClothColour::Aluminised => "aluminised",
    }
}

/// `"a, b and c"`.
pub(super) fn listed(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}

/// The months for which `is` holds, as a set.
pub(super) fn months_where(is: impl Fn(usize) -> bool) -> Months {
    (0..12).fold(Months::NONE, |set, m| set.with(m, is(m)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn months_are_told_as_runs_round_the_years_end() {
        assert_eq!(months_words(Months::ALL), "all year");
        assert_eq!(months_words(Months::NONE), "never");
        assert_eq!(months_words(Months::span(5, 9)), "May to September");
        assert_eq!(months_words(Months::span(11, 2)), "November to February");
        assert_eq!(
            months_words(Months::span(3, 3).with(6, true).with(7, true)),
            "March, July to August"
        );
    }
}
