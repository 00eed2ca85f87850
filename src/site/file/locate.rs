//! Finds the line of a field in the text of a site file.
//!
//! A walk over brackets, strings and commas that knows nothing of the document and forgives whatever it does not
//! understand: it only serves messages.

use std::collections::BTreeMap;

/// Brackets nested deeper than this are passed over: a site has no more than ten levels.
const DEEPEST: usize = 100;

/// Where the fields of a text stand.
#[derive(Debug, Default)]
pub(super) struct Positions {
    /// Byte offset of each field's name, or of an element's first byte.
    offsets: BTreeMap<String, usize>,
    /// The same in the order of the text.
    order: Vec<(usize, String)>,
    line_starts: Vec<usize>,
}

impl Positions {
    pub(super) fn of(text: &str) -> Self {
        Self::down_to(text, DEEPEST)
    }

    /// The outermost fields only, which costs little.
    pub(super) fn outermost(text: &str) -> Self {
        Self::down_to(text, 1)
    }

    fn down_to(text: &str, deepest: usize) -> Self {
        let mut walk = Walk {
            text,
            deepest,
            at: 0,
            found: Self {
                line_starts: std::iter::once(0)
                    .chain(text.match_indices('\n').map(|(i, _)| i + 1))
                    .collect(),
                ..Self::default()
            },
        };
        walk.space();
        while walk.attribute() {
            walk.space();
        }
        walk.value("", 0);
        walk.found
    }

    /// Whether the text has no fields at all.
    pub(super) fn is_empty(&self) -> bool {
        self.order.is_empty()
    }

    /// Line, from 1, of a field, or of the nearest thing around it that stands in the text.
    pub(super) fn line(&self, field: &str) -> Option<usize> {
        let mut field = field;
        loop {
            if let Some(offset) = self.offsets.get(field) {
                return Some(self.line_of(*offset));
            }
            field = parent(field)?;
        }
    }

    /// The field in which a byte of the text lies.
    pub(super) fn field_at(&self, offset: usize) -> &str {
        let n = self.order.partition_point(|(at, _)| *at <= offset);
        n.checked_sub(1)
            .and_then(|i| self.order.get(i))
            .map_or("", |(_, field)| field)
    }

    /// Byte offset of the field's name.
    pub(super) fn offset(&self, field: &str) -> Option<usize> {
        self.offsets.get(field).copied()
    }

    /// Byte offset of a line and column, both from 1; columns count characters.
    pub(super) fn offset_of(&self, text: &str, line: usize, column: usize) -> usize {
        let start = line
            .checked_sub(1)
            .and_then(|l| self.line_starts.get(l))
            .copied()
            .unwrap_or(text.len());
        let rest = text.get(start..).unwrap_or("");
        start
            + rest
                .char_indices()
                .nth(column.saturating_sub(1))
                .map_or(rest.len(), |(i, _)| i)
    }

    fn line_of(&self, offset: usize) -> usize {
        self.line_starts.partition_point(|start| *start <= offset)
    }
}

/// The path without its last step: `a."b.c".d[2]` gives `a."b.c".d`.
fn parent(field: &str) -> Option<&str> {
    let mut quoted = false;
    let mut escaped = false;
    let mut cut = None;
    for (i, c) in field.char_indices() {
        match c {
            _ if escaped => escaped = false,
            '\\' if quoted => escaped = true,
            '"' => quoted = !quoted,
            '.' | '[' if !quoted => cut = Some(i),
            _ => {}
        }
    }
    cut.and_then(|i| field.get(..i))
}

struct Walk<'a> {
    text: &'a str,
    deepest: usize,
    at: usize,
    found: Positions,
}

impl Walk<'_> {
    fn rest(&self) -> &str {
        self.text.get(self.at..).unwrap_or("")
    }

    fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    fn bump(&mut self) -> Option<char> {
        let c = self.peek()?;
        self.at += c.len_utf8();
        Some(c)
    }

    fn note(&mut self, path: &str, offset: usize) {
        if !path.is_empty() && !self.found.offsets.contains_key(path) {
            self.found.offsets.insert(path.to_owned(), offset);
            self.found.order.push((offset, path.to_owned()));
        }
    }

    /// Blanks and comments.
    fn space(&mut self) {
        loop {
            let rest = self.rest();
            if rest.starts_with("//") {
                self.at += rest.find('\n').unwrap_or(rest.len());
            } else if rest.starts_with("/*") {
                let mut depth = 0_usize;
                while !self.rest().is_empty() {
                    if self.rest().starts_with("/*") {
                        depth += 1;
                        self.at += 2;
                    } else if self.rest().starts_with("*/") {
                        depth -= 1;
                        self.at += 2;
                        if depth == 0 {
                            break;
                        }
                    } else {
                        self.bump();
                    }
                }
            } else if rest.starts_with(char::is_whitespace) {
                self.bump();
            } else {
                return;
            }
        }
    }

    /// `#![enable(…)]`
    fn attribute(&mut self) -> bool {
        if !self.rest().starts_with("#![") {
            return false;
        }
        self.at += self.rest().find(']').map_or(self.rest().len(), |i| i + 1);
        true
    }

    /// A value whose path is known. Always moves on, or stands at a closing bracket, a comma or the end.
    fn value(&mut self, path: &str, depth: usize) {
        self.space();
        match self.peek() {
            Some('(' | '[' | '{') if depth >= self.deepest => self.skip_nested(),
            Some('(') => {
                self.at += 1;
                self.round(path, depth);
            }
            Some('[') => {
                self.at += 1;
                self.list(path, ']', depth);
            }
            Some('{') => {
                self.at += 1;
                self.map(path, depth);
            }
            Some('"') => {
                self.string();
            }
            Some(c) if !matches!(c, ')' | ']' | '}' | ',' | ':') => {
                let word = self.word();
                if word.is_empty() {
                    self.bump();
                }
                self.space();
                if word == "Some" && self.peek() == Some('(') {
                    self.at += 1;
                    self.value(path, depth + 1);
                    self.space();
                    if self.peek() == Some(',') {
                        self.at += 1;
                        self.space();
                    }
                    if self.peek() == Some(')') {
                        self.at += 1;
                    }
                    return;
                }
                // A variant with its content: the content has the path of the whole.
                if matches!(self.peek(), Some('(' | '"')) {
                    self.value(path, depth + 1);
                }
            }
            _ => {}
        }
    }

    /// Over a bracket and all that it holds, without recursion.
    fn skip_nested(&mut self) {
        let mut open = 0_usize;
        loop {
            self.space();
            match self.peek() {
                None => return,
                Some('(' | '[' | '{') => {
                    open += 1;
                    self.at += 1;
                }
                Some(')' | ']' | '}') => {
                    open -= 1;
                    self.at += 1;
                    if open == 0 {
                        return;
                    }
                }
                Some('"') => {
                    self.string();
                }
                Some(_) => {
                    if self.word().is_empty() {
                        self.bump();
                    }
                }
            }
        }
    }

    /// Name, number or date-like word; raw strings too.
    fn word(&mut self) -> String {
        let rest = self.rest();
        if rest.starts_with("r\"") || rest.starts_with("r#\"") || rest.starts_with("r##") {
            let hashes = rest.chars().skip(1).take_while(|c| *c == '#').count();
            let close = format!("\"{}", "#".repeat(hashes));
            let body = self.at + 2 + hashes;
            let after = self.text.get(body..).unwrap_or("");
            let end = after.find(&close).unwrap_or(after.len());
            let content = after.get(..end).unwrap_or("").to_owned();
            self.at = (body + end + close.len()).min(self.text.len());
            return format!("{content:?}");
        }
        if rest.starts_with('\'') {
            self.bump();
            while let Some(c) = self.bump() {
                if c == '\\' {
                    self.bump();
                } else if c == '\'' {
                    break;
                }
            }
            return String::new();
        }
        let end = rest
            .find(|c: char| !(c.is_alphanumeric() || "_#+-.".contains(c)))
            .unwrap_or(rest.len());
        let word = rest.get(..end).unwrap_or("").to_owned();
        self.at += end;
        word
    }

    /// A string, as its content quoted afresh.
    fn string(&mut self) -> String {
        let mut content = String::new();
        self.bump();
        while let Some(c) = self.bump() {
            match c {
                '"' => break,
                '\\' => match self.bump() {
                    Some('n') => content.push('\n'),
                    Some('t') => content.push('\t'),
                    Some(other) => content.push(other),
                    None => break,
                },
                _ => content.push(c),
            }
        }
        format!("{content:?}")
    }

    /// What stands between round brackets: named fields, or a tuple.
    fn round(&mut self, path: &str, depth: usize) {
        self.space();
        let start = self.at;
        let word = if self.peek().is_some_and(|c| c.is_alphabetic() || c == '_') {
            self.word()
        } else {
            String::new()
        };
        self.space();
        let named = !word.is_empty() && self.peek() == Some(':');
        self.at = start;
        if named {
            self.fields(path, depth);
        } else {
            self.list(path, ')', depth);
        }
    }

    fn fields(&mut self, path: &str, depth: usize) {
        loop {
            self.space();
            match self.peek() {
                None => return,
                Some(')') => {
                    self.at += 1;
                    return;
                }
                Some(',') => self.at += 1,
                Some(c) if c.is_alphabetic() || c == '_' => {
                    let start = self.at;
                    let name = self.word();
                    let dot = if path.is_empty() { "" } else { "." };
                    let path = format!("{path}{dot}{}", name.trim_start_matches("r#"));
                    self.note(&path, start);
                    self.space();
                    if self.peek() == Some(':') {
                        self.at += 1;
                        self.value(&path, depth + 1);
                    }
                }
                Some(_) => {
                    self.bump();
                }
            }
        }
    }

    fn list(&mut self, path: &str, close: char, depth: usize) {
        let mut index = 0_usize;
        loop {
            self.space();
            match self.peek() {
                None => return,
                Some(c) if c == close => {
                    self.at += 1;
                    return;
                }
                Some(',') => self.at += 1,
                Some(')' | ']' | '}' | ':') => {
                    self.bump();
                }
                Some(_) => {
                    let before = self.at;
                    let path = format!("{path}[{index}]");
                    // The numbers of a point need no names: the point has one.
                    if close == ']' || self.peek() == Some('(') {
                        self.note(&path, before);
                    }
                    index += 1;
                    self.value(&path, depth + 1);
                    if self.at == before {
                        self.bump();
                    }
                }
            }
        }
    }

    fn map(&mut self, path: &str, depth: usize) {
        loop {
            self.space();
            match self.peek() {
                None => return,
                Some('}') => {
                    self.at += 1;
                    return;
                }
                Some(',') => self.at += 1,
                Some(c) if c == '"' || c.is_alphanumeric() => {
                    let start = self.at;
                    let key = if c == '"' { self.string() } else { self.word() };
                    let path = format!("{path}.{key}");
                    self.note(&path, start);
                    self.space();
                    if self.peek() == Some(':') {
                        self.at += 1;
                        self.value(&path, depth + 1);
                    } else if self.at == start {
                        self.bump();
                    }
                }
                Some(_) => {
                    self.bump();
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = r##"// a comment with "quotes" and ( brackets
#![enable(implicit_some)]
Site(
    version: 1, /* inner /* nested */ ( */
    name: "a \"quoted\" name, with: ( [ {",
    note: r#"raw " text ( "#,
    spots: {
        "south-sill": (
            outline: [
                (0.0, 1.0),
                (2, 3),
            ],
            holds: Some((pots: 2,
                rim_cm: 24)),
        ), "b": (name: 'x', room: "r"),
        r#"odd"#: (),
    },
    rooms: { "k": (air: Heated(
        day_c: 20,
    )) },
    journal: [(event: Moved("b")), (
        date: "2026-01-01")],
)
"##;

    #[track_caller]
    fn check(field: &str, expected: usize) {
        assert_eq!(Positions::of(TEXT).line(field), Some(expected), "{field}");
    }

    #[test]
    fn fields_are_found_by_their_path() {
        check("version", 4);
        check("name", 5);
        check("note", 6);
        check("spots.\"south-sill\"", 8);
        check("spots.\"south-sill\".outline", 9);
        check("spots.\"south-sill\".outline[1]", 11);
        check("spots.\"south-sill\".holds.rim_cm", 14);
        check("spots.\"b\".room", 15);
        check("spots.\"odd\"", 16);
        check("rooms.\"k\".air.day_c", 19);
        check("journal[1].date", 22);
    }

    #[test]
    fn a_field_that_is_left_out_has_the_line_of_what_it_belongs_to() {
        check("spots.\"b\".outline", 15);
        check("spots.\"b\".outline[4]", 15);
        check("journal[1].plant", 21);
        assert_eq!(Positions::of(TEXT).line("trees.\"a\""), None);
    }

    #[test]
    fn a_place_in_the_text_has_a_field() {
        let positions = Positions::of(TEXT);
        let at = TEXT.find("day_c").unwrap();
        assert_eq!(positions.field_at(at + 7), "rooms.\"k\".air.day_c");
        assert_eq!(positions.field_at(0), "");
        assert_eq!(
            positions.offset_of(TEXT, 4, 5),
            TEXT.find("version").unwrap()
        );
    }

    #[test]
    fn broken_text_ends_the_walk_and_no_more() {
        for text in [
            "",
            "(",
            ")",
            "((((",
            "(a",
            "(a:",
            "(a: [",
            "{\"a",
            "(a: r#\"",
            "(a: '",
            "/*",
            "(a: ]})",
            "\u{301}(ü: 1)",
        ] {
            Positions::of(text);
        }
        // Nested far deeper than any stack would bear.
        let deep = "(a: [".repeat(500_000);
        Positions::of(&deep);
    }
}
