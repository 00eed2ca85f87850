//! A line's cells, and the numbers in them.

/// What stands between the cells.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Separator {
    Tab,
    Semicolon,
    Comma,
}

impl Separator {
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Tab => "tabs",
            Self::Semicolon => "semicolons",
            Self::Comma => "commas",
        }
    }

    fn character(self) -> char {
        match self {
            Self::Tab => '\t',
            Self::Semicolon => ';',
            Self::Comma => ',',
        }
    }

    /// The separator of a line of a table: the rarer a character is in numbers and dates, the more it tells.
    pub(super) fn of(line: &str) -> Option<Self> {
        [Self::Tab, Self::Semicolon, Self::Comma]
            .into_iter()
            .find(|s| split(line, *s).len() >= 2)
    }
}

/// What stands before the decimals.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Decimal {
    Point,
    Comma,
}

/// Cells of a line, without the spaces and quotes round them; within quotes a separator is a character like others.
pub(super) fn split(line: &str, separator: Separator) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut quoted = false;
    let mut chars = line.chars().peekable();
    while let Some(c) = chars.next() {
        let Some(cell) = cells.last_mut() else { break };
        match c {
            '"' if quoted && chars.peek() == Some(&'"') => {
                chars.next();
                cell.push('"');
            }
            '"' if quoted || cell.trim().is_empty() => quoted = !quoted,
            c if c == separator.character() && !quoted => cells.push(String::new()),
            c => cell.push(c),
        }
    }
    for cell in &mut cells {
        let trimmed = cell.trim().trim_matches('\u{a0}');
        if trimmed.len() != cell.len() {
            *cell = trimmed.to_owned();
        }
    }
    cells
}

/// Which decimal sign the numbers of some cells show: a comma only where none has a point.
pub(super) fn decimal_of<'a>(cells: impl Iterator<Item = &'a str>) -> Decimal {
    let (mut commas, mut points) = (0, 0);
    for cell in cells {
        let number = |c: char| c.is_ascii_digit() || "+-., '\u{a0}\u{202f}".contains(c);
        if !cell.starts_with(|c: char| c.is_ascii_digit() || "+-−".contains(c))
            || !cell.trim_start_matches('−').chars().all(number)
        {
            continue;
        }
        match (cell.rfind(','), cell.rfind('.')) {
            (Some(comma), Some(point)) if comma > point => commas += 1,
            (Some(_), None) => commas += 1,
            (_, Some(_)) => points += 1,
            _ => {}
        }
    }
    if commas > points {
        Decimal::Comma
    } else {
        Decimal::Point
    }
}

/// A cell that says that nothing was measured.
pub(super) fn is_missing(cell: &str) -> bool {
    let word = cell.trim_matches(|c: char| "-–—.*/ ()[]".contains(c));
    if word.is_empty() {
        return true;
    }
    let word = word.to_lowercase();
    matches!(
        word.as_str(),
        "nan"
            | "na"
            | "n/a"
            | "null"
            | "none"
            | "nil"
            | "error"
            | "err"
            | "fault"
            | "missing"
            | "logged"
    ) || matches!(
        cell,
        "-999" | "-9999" | "-999.0" | "-9999.0" | "-999,0" | "999.9" | "9999.9" | "-99.9"
    )
}

/// A number with the file's decimal sign; a unit after it is let pass (`12.5 °C`).
pub(super) fn number(cell: &str, decimal: Decimal) -> Option<f64> {
    let end = cell
        .char_indices()
        .find(|(_, c)| !(c.is_ascii_digit() || "+-−.,'eE\u{a0}\u{202f}".contains(*c)))
        .map_or(cell.len(), |(i, _)| i);
    let (figure, rest) = (cell.get(..end)?, cell.get(end..)?);
    // "1 234" is not taken for 1 with a unit of 234.
    if rest.trim_start().starts_with(|c: char| c.is_ascii_digit()) || rest.len() > 16 {
        return None;
    }
    let figure = figure.trim_end_matches(['e', 'E', ' ']);
    let (mark, group) = match decimal {
        Decimal::Point => ('.', ','),
        Decimal::Comma => (',', '.'),
    };
    let mut plain = String::with_capacity(figure.len());
    for (i, c) in figure.char_indices() {
        if c == mark {
            plain.push('.');
        } else if c == group || matches!(c, '\'' | '\u{a0}' | '\u{202f}') {
            // Thousands are marked before three digits; anything else is the other decimal sign.
            let after = figure.get(i + c.len_utf8()..)?;
            let run = after.bytes().take_while(u8::is_ascii_digit).count();
            if run != 3 || plain.contains('.') {
                return None;
            }
        } else {
            plain.push(if c == '−' { '-' } else { c });
        }
    }
    plain.parse().ok().filter(|v: &f64| v.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_and_quotes_follow_rfc_4180() {
        // RFC 4180 section 2, rules 5 to 7: separators and doubled quotes within quotes.
        assert_eq!(
            split("a, \"b,c\",\"d\"\"e\",", Separator::Comma),
            ["a", "b,c", "d\"e", ""]
        );
        assert_eq!(split("1;2,5", Separator::Semicolon), ["1", "2,5"]);
        assert_eq!(Separator::of("1,5;2,5"), Some(Separator::Semicolon));
        assert_eq!(Separator::of("a b"), None);
    }

    #[test]
    fn numbers_of_all_habits() {
        let point = |s| number(s, Decimal::Point);
        let comma = |s| number(s, Decimal::Comma);
        assert_eq!(point("12.5"), Some(12.5));
        assert_eq!(point("-0.5 °C"), Some(-0.5));
        assert_eq!(point("−3"), Some(-3.0));
        assert_eq!(point("1,234.5"), Some(1234.5));
        assert_eq!(point("1e3"), Some(1000.0));
        assert_eq!(point("85%"), Some(85.0));
        assert_eq!(comma("12,5"), Some(12.5));
        assert_eq!(comma("1.234,5"), Some(1234.5));
        assert_eq!(comma("1'234,5"), Some(1234.5));
        for no in ["", "warm", "1 234 567", "--", "12,5", "1.234,5"] {
            assert_eq!(point(no), None, "{no}");
        }
        assert_eq!(
            decimal_of(["12,5", "3", "-1,5"].into_iter()),
            Decimal::Comma
        );
        assert_eq!(decimal_of(["12.5", "1,200.5"].into_iter()), Decimal::Point);
        assert!(is_missing("--") && is_missing("NaN") && is_missing("") && !is_missing("-1"));
    }
}
