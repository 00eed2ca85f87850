//! What is wrong with a text that does not follow the format, in plain words.

use ron::{
    Options,
    error::{Error, SpannedError},
    extensions::Extensions,
};

use super::{Fault, Severity, locate::Positions};

/// How site files are read: an optional field is written as its plain value.
pub(super) fn options() -> Options {
    Options::default().with_default_extension(Extensions::IMPLICIT_SOME)
}

/// An error of the parser as a fault with its line, its column and a remedy.
pub(super) fn explain(error: &SpannedError, text: &str) -> Fault {
    let positions = Positions::of(text);
    let (line, column) = place(error, text, &positions);
    let offset = positions.offset_of(text, line, column);
    let end = &error.span.end;
    let end = positions.offset_of(text, end.line, end.col);
    let rest = text.get(end.max(offset)..).unwrap_or("").trim();
    let (what, remedy) = if text.trim().is_empty() {
        let remedy = "choose a site file, or begin a new site";
        ("the file is empty".to_owned(), remedy.to_owned())
    } else if rest.is_empty() && error.code != Error::TrailingCharacters {
        words(&Error::Eof)
    } else {
        words(&error.code)
    };
    Fault {
        severity: Severity::Fault,
        line: Some(line),
        field: positions.field_at(offset).to_owned(),
        what: format!("column {column}: {what}"),
        remedy,
    }
}

/// Line and column that the grower should look at.
fn place(error: &SpannedError, text: &str, positions: &Positions) -> (usize, usize) {
    let stated = &error.span.start;
    // The parser stops where it expected more; what is wrong ended before the blanks in front of that.
    let missing_before = matches!(
        error.code,
        Error::ExpectedComma | Error::ExpectedMapColon | Error::ExpectedStructLikeEnd
    );
    if missing_before {
        let offset = positions.offset_of(text, stated.line, stated.col);
        let before = text.get(..offset).unwrap_or(text).trim_end();
        let line = 1 + before.matches('\n').count();
        let column = before.chars().rev().take_while(|c| *c != '\n').count() + 1;
        return (line, column);
    }
    (stated.line.max(1), stated.col.max(1))
}

fn words(code: &Error) -> (String, String) {
    let says = |what: &str, remedy: &str| (what.to_owned(), remedy.to_owned());
    match code {
        Error::NoSuchStructField {
            expected, found, ..
        } => (
            format!("there is no field `{found}` here"),
            choose(found, expected, "fields"),
        ),
        Error::NoSuchEnumVariant {
            expected, found, ..
        } => (
            format!("`{found}` is not one of the choices here"),
            choose(found, expected, "choices"),
        ),
        Error::MissingStructField { field, .. } => (
            format!("the field `{field}` is missing"),
            format!("add `{field}: …`"),
        ),
        Error::DuplicateStructField { field, .. } => (
            format!("the field `{field}` stands twice"),
            "take one of the two away".to_owned(),
        ),
        Error::ExpectedComma => says("a comma is missing", "put a comma between the two fields"),
        Error::ExpectedMapColon => says(
            "a colon is missing",
            "write `name: value`, in a table `\"some-id\": ( … )`",
        ),
        Error::ExpectedFloat | Error::ExpectedInteger | Error::InvalidIntegerDigit { .. } => says(
            "a number is expected",
            "write a plain number with a point for the decimals, without a unit and without quotes",
        ),
        Error::IntegerOutOfBounds => says(
            "the number is too large, or negative where only whole numbers from 0 can stand",
            "correct the number",
        ),
        Error::FloatUnderscore | Error::UnderscoreAtBeginning => {
            says("an underscore stands in a number", "take it out")
        }
        Error::ExpectedBoolean => says("yes or no is expected", "write true or false"),
        Error::ExpectedString | Error::ExpectedChar => says(
            "a text in quotes is expected",
            "put it in double quotes: \"…\"",
        ),
        Error::ExpectedStringEnd => says(
            "a text has no closing quote",
            "close it with \"; a quote within a text is written \\\"",
        ),
        Error::InvalidEscape(_) => says(
            "a backslash stands before a sign that it cannot stand before",
            "write \\\\ for a backslash",
        ),
        Error::ExpectedArray | Error::ExpectedArrayEnd => says(
            "a list in square brackets is expected",
            "write [ … , … ], and close each bracket",
        ),
        Error::ExpectedMap | Error::ExpectedMapEnd => says(
            "a table in curly brackets is expected",
            "write { \"some-id\": ( … ), … }, and close each bracket",
        ),
        Error::ExpectedStructLike
        | Error::ExpectedNamedStructLike(_)
        | Error::ExpectedStructLikeEnd
        | Error::ExpectedOption
        | Error::ExpectedOptionEnd
        | Error::ExpectedUnit => says(
            "fields in round brackets are expected",
            "write ( field: value, … ), and close each bracket",
        ),
        Error::ExpectedDifferentStructName { found, .. } => (
            format!("the name `{found}` does not belong here"),
            "write the brackets without a name before them".to_owned(),
        ),
        Error::ExpectedIdentifier
        | Error::InvalidIdentifier(_)
        | Error::SuggestRawIdentifier(_)
        | Error::ExpectedStructName(_) => says(
            "a name is expected",
            "write the name of a field or of a choice, without quotes",
        ),
        Error::Eof => says(
            "the text ends before everything is closed",
            "close each bracket and each quote",
        ),
        Error::TrailingCharacters => says(
            "something stands after the end",
            "a bracket was closed too early, or there is one too many",
        ),
        Error::UnclosedBlockComment | Error::UnclosedLineComment => {
            says("a comment has no end", "close it with */")
        }
        Error::UnexpectedChar(c) => (
            format!("the sign {c:?} does not belong here"),
            "take it out, or put it in quotes if it is part of a text".to_owned(),
        ),
        Error::InvalidValueForType { expected, found } => (
            format!("{} is found where {expected} is expected", plain(found)),
            format!("write {expected}"),
        ),
        Error::ExpectedDifferentLength { expected, found } => (
            format!("{found} values are found where {expected} is expected"),
            "a point has two numbers, (x, y); a range of needs has four".to_owned(),
        ),
        Error::ExceededRecursionLimit => says(
            "brackets are nested deeper than any site",
            "close the brackets, or choose a site file",
        ),
        Error::NoSuchExtension(name) => (
            format!("the extension `{name}` is unknown"),
            "take the line with #![enable( … )] out".to_owned(),
        ),
        // From our own readers: months, dates of the year, monthly figures, identifiers that stand twice.
        Error::Message(message) => match message.split_once("; ") {
            Some((what, remedy)) => (what.to_owned(), remedy.to_owned()),
            None if message.contains("premature end of input")
                || message.contains("input contains invalid characters")
                || message.contains("input is out of range")
                || message.contains("trailing input") =>
            {
                says(
                    "this is not a date",
                    "write \"2026-10-25\", with a time of day \"2026-10-25T13:30:00\"",
                )
            }
            None => (message.clone(), "correct this value".to_owned()),
        },
        other => (other.to_string(), "correct this value".to_owned()),
    }
}

/// Without the words of the trade of programming.
fn plain(found: &str) -> String {
    found
        .replace("the floating point number", "the number")
        .replace("the unsigned integer", "the number")
        .replace("the signed integer", "the number")
        .replace("the string", "the text")
        .replace("a unit value", "nothing, ()")
        .replace("a sequence", "a list")
        .replace("the boolean", "the word")
}

fn choose(found: &str, expected: &[&str], what: &str) -> String {
    if expected.is_empty() {
        return format!("take it out; there are no {what} here");
    }
    let mut names = expected.to_vec();
    names.sort_unstable();
    let list = names.join(", ");
    match nearest(found, expected) {
        Some(near) => format!("did you mean `{near}`? The {what} are: {list}"),
        None => format!("the {what} are: {list}"),
    }
}

/// The name that differs least, where it differs little.
pub(super) fn nearest<'a>(found: &str, names: &[&'a str]) -> Option<&'a str> {
    let found = found.to_lowercase();
    names
        .iter()
        .map(|name| {
            let lower = name.to_lowercase();
            // A unit that was left out, or a part of the name, is as near as a slip of a key or two.
            let distance = if lower.starts_with(&format!("{found}_")) {
                1
            } else {
                edit_distance(&found, &lower)
            };
            (distance, *name)
        })
        .filter(|(distance, name)| *distance <= 2.max(name.len() / 3))
        .min()
        .map(|(_, name)| name)
}

/// Signs to put in, take out, change or swap with a neighbour (optimal string alignment).
fn edit_distance(a: &str, b: &str) -> usize {
    let a: Vec<char> = a.chars().take(64).collect();
    let b: Vec<char> = b.chars().take(64).collect();
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for (i, ca) in a.iter().enumerate() {
        let mut row = vec![i + 1];
        for (j, cb) in b.iter().enumerate() {
            let mut least = (last[j] + usize::from(ca != cb))
                .min(last[j + 1] + 1)
                .min(row[j] + 1);
            if i > 0 && j > 0 && *ca == b[j - 1] && a[i - 1] == *cb {
                least = least.min(before[j - 1] + 1);
            }
            row.push(least);
        }
        before = std::mem::replace(&mut last, row);
    }
    last.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_of_the_pen_finds_the_name_that_was_meant() {
        let names = ["height_m", "leaf_m", "holds", "outline"];
        for (slip, meant) in [
            ("hieght_m", Some("height_m")),
            ("height", Some("height_m")),
            ("Outline", Some("outline")),
            ("hold", Some("holds")),
            ("colour", None),
        ] {
            assert_eq!(nearest(slip, &names), meant, "{slip}");
        }
    }

    #[test]
    fn distances_count_slips() {
        // Worked by hand.
        assert_eq!(edit_distance("", "abc"), 3);
        assert_eq!(edit_distance("kitten", "sitting"), 3);
        assert_eq!(edit_distance("hieght", "height"), 1);
    }
}
