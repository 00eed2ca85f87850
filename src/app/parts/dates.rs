//! Dates as growers write them, and a field to type one.

use chrono::{Datelike, NaiveDate};
use egui::{Response, TextEdit, Ui};

use super::locale::{self, DateOrder};
use crate::{app::theme, base::calendar::MONTH_NAMES};

/// `"5 Oct"`, or as the grower's locale has it.
#[must_use]
pub fn short(date: NaiveDate) -> String {
    let month = MONTH_NAMES.get(date.month0() as usize).unwrap_or(&"");
    let month = month.get(..3).unwrap_or(month);
    match locale::here().dates {
        DateOrder::DayMonth => format!("{} {month}", date.day()),
        DateOrder::MonthDay => format!("{month} {}", date.day()),
        DateOrder::YearMonth => date.format("%m-%d").to_string(),
    }
}

/// `"5 October 2026"`, or as the grower's locale has it.
#[must_use]
pub fn long(date: NaiveDate) -> String {
    let month = MONTH_NAMES.get(date.month0() as usize).unwrap_or(&"");
    match locale::here().dates {
        DateOrder::DayMonth => format!("{} {month} {}", date.day(), date.year()),
        DateOrder::MonthDay => format!("{month} {}, {}", date.day(), date.year()),
        DateOrder::YearMonth => date.format("%Y-%m-%d").to_string(),
    }
}

/// Reads `2026-10-05`, `5 Oct 2026`, `5 October`, `October 5, 2026`, `5.10.2026` or `5.10.`, and `10/5/2026` where months
/// come first; a missing year is that of `near`.
#[must_use]
pub fn parse(text: &str, near: NaiveDate) -> Option<NaiveDate> {
    let text = text.trim();
    if let Ok(date) = NaiveDate::parse_from_str(text, "%Y-%m-%d") {
        return Some(date);
    }
    let parts: Vec<&str> = text
        .split(|c: char| c.is_whitespace() || matches!(c, '.' | '/' | ','))
        .filter(|p| !p.is_empty())
        .collect();
    let (mut day, mut month) = (parts.first()?, parts.get(1)?);
    let in_words = day.starts_with(char::is_alphabetic);
    let by_slash = text.contains('/') && locale::here().dates == DateOrder::MonthDay;
    if in_words || by_slash {
        std::mem::swap(&mut day, &mut month);
    }
    let month = month.parse::<u32>().ok().or_else(|| {
        let word = month.to_lowercase();
        let fits = |name: &str| word.len() >= 3 && name.to_lowercase().starts_with(&word);
        MONTH_NAMES
            .iter()
            .position(|n| fits(n))
            .map(|m| m as u32 + 1)
    })?;
    let year = match parts.get(2) {
        Some(year) => year.parse().ok()?,
        None => near.year(),
    };
    NaiveDate::from_ymd_opt(year, month, day.parse().ok()?)
}

/// A field for a date. What is typed stays until it can be read as one; arrow keys go a day back or on.
/// Returns the response and the new date, if it changed.
pub fn date_field_ui(ui: &mut Ui, name: &str, date: NaiveDate) -> (Response, Option<NaiveDate>) {
    let id = ui.make_persistent_id(("date field", name));
    let shown = long(date);
    let typed: Option<String> = ui.data_mut(|d| d.get_temp(id));
    let mut text = typed.unwrap_or_else(|| shown.clone());
    let readable = parse(&text, date).is_some();
    let mut edit = TextEdit::singleline(&mut text)
        .id(id)
        .desired_width(150.0)
        .hint_text(long(date));
    if !readable {
        edit = edit.text_color(theme::tokens(ui).fault);
    }
    let response = ui.add(edit).accessible_name(name);
    let mut next = None;
    if response.has_focus() {
        let by = ui.input(|i| {
            i64::from(i.key_pressed(egui::Key::ArrowUp))
                - i64::from(i.key_pressed(egui::Key::ArrowDown))
        });
        if by != 0 {
            next = date.checked_add_signed(chrono::Duration::days(by));
            if let Some(day) = next {
                text = long(day);
            }
        }
    }
    if response.changed() || next.is_some() {
        let read = parse(&text, date);
        next = read.filter(|d| *d != date);
        ui.data_mut(|d| d.insert_temp(id, text));
    } else if !response.has_focus() {
        ui.data_mut(|d| d.remove::<String>(id));
    }
    (response, next)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_are_read_as_growers_write_them() {
        let day = |y, m, d| NaiveDate::from_ymd_opt(y, m, d).unwrap();
        let near = day(2026, 9, 1);
        for (text, expected) in [
            ("2026-10-05", Some(day(2026, 10, 5))),
            ("5 Oct 2027", Some(day(2027, 10, 5))),
            (" 5 october", Some(day(2026, 10, 5))),
            ("5.10.2026", Some(day(2026, 10, 5))),
            ("5.10.", Some(day(2026, 10, 5))),
            ("5/10/2026", Some(day(2026, 10, 5))),
            ("October 5, 2027", Some(day(2027, 10, 5))),
            ("oct 5", Some(day(2026, 10, 5))),
            ("31 Feb 2026", None),
            ("5 Oc", None),
            ("", None),
        ] {
            assert_eq!(parse(text, near), expected, "{text:?}");
        }
        assert_eq!(parse(&long(near), near), Some(near));
        assert_eq!(short(near), "1 Sep");
        for dates in [DateOrder::MonthDay, DateOrder::YearMonth] {
            locale::set(locale::Locale {
                dates,
                ..locale::Locale::default()
            });
            assert_eq!(parse(&long(near), near), Some(near), "{dates:?}");
        }
        assert_eq!(
            (short(near), long(near)),
            ("09-01".into(), "2026-09-01".into())
        );
        locale::set(locale::Locale {
            dates: DateOrder::MonthDay,
            ..locale::Locale::default()
        });
        assert_eq!(parse("10/5/2026", near), Some(day(2026, 10, 5)));
        assert_eq!(long(near), "September 1, 2026");
        locale::set(locale::Locale::default());
    }
}
