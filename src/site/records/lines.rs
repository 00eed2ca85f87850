//! Lines of a text of unknown encoding, one at a time, with nothing kept but the line in hand.

use std::io::{self, BufRead};

/// A line longer than this is no line of a table, bytes; the rest of it is skipped.
pub const LONGEST_LINE: usize = 16_384;

/// What a file is not, told by its first bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotText {
    /// A spreadsheet's own format, which is a zip archive.
    Workbook,
    Packed,
    Pdf,
    Database,
    Binary,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Encoding {
    /// UTF-8, and where a line is none, one byte a character as in western Europe (ISO 8859-1).
    Bytes,
    /// Two bytes a character, the low one first.
    Utf16Le,
    Utf16Be,
}

/// One line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// From 1.
    pub number: u64,
    pub text: String,
    /// It was longer than [`LONGEST_LINE`]; `text` is its beginning.
    pub cut: bool,
}

pub struct Lines<R> {
    from: R,
    encoding: Encoding,
    number: u64,
    /// Bytes read so far.
    pub bytes: u64,
    /// The byte read last: half of a character may lie in the chunk before.
    last: u8,
}

impl<R: BufRead> Lines<R> {
    /// Looks at the first bytes.
    ///
    /// # Errors
    /// What reading gave; or, inside, what the file is instead of a text.
    pub fn new(mut from: R) -> io::Result<Result<Self, NotText>> {
        let start = from.fill_buf()?;
        if let Some(not) = not_text(start) {
            return Ok(Err(not));
        }
        let (encoding, mark) = match start {
            [0xEF, 0xBB, 0xBF, ..] => (Encoding::Bytes, 3),
            [0xFF, 0xFE, ..] => (Encoding::Utf16Le, 2),
            [0xFE, 0xFF, ..] => (Encoding::Utf16Be, 2),
            _ => (Encoding::Bytes, 0),
        };
        from.consume(mark);
        Ok(Ok(Self {
            from,
            encoding,
            number: 0,
            bytes: mark as u64,
            last: 0,
        }))
    }

    /// The next line without its end; `None` at the end of the file.
    ///
    /// # Errors
    /// What reading gave.
    pub fn next_line(&mut self) -> io::Result<Option<Line>> {
        let mut kept: Vec<u8> = Vec::new();
        let (mut cut, mut any) = (false, false);
        loop {
            let chunk = self.from.fill_buf()?;
            if chunk.is_empty() {
                break;
            }
            any = true;
            let end = end_in(
                chunk,
                self.encoding,
                (self.bytes % 2 == 1).then_some(self.last),
            );
            let taken = end.unwrap_or(chunk.len());
            let room = LONGEST_LINE.saturating_sub(kept.len());
            kept.extend(chunk.iter().take(taken.min(room)));
            cut |= taken > room;
            self.last = chunk.get(taken.saturating_sub(1)).copied().unwrap_or(0);
            self.from.consume(taken);
            self.bytes += taken as u64;
            if end.is_some() {
                break;
            }
        }
        if !any {
            return Ok(None);
        }
        self.number += 1;
        let mut text = self.decode(&kept);
        while text.ends_with(['\n', '\r']) {
            text.pop();
        }
        Ok(Some(Line {
            number: self.number,
            text,
            cut,
        }))
    }

    fn decode(&self, bytes: &[u8]) -> String {
        let units = |pair: fn([u8; 2]) -> u16| -> String {
            let units = bytes.chunks_exact(2).map(|p| {
                let pair_of = [
                    p.first().copied().unwrap_or(0),
                    p.get(1).copied().unwrap_or(0),
                ];
                pair(pair_of)
            });
            char::decode_utf16(units)
                .map(|c| c.unwrap_or(char::REPLACEMENT_CHARACTER))
                .collect()
        };
        match self.encoding {
            Encoding::Bytes => match std::str::from_utf8(bytes) {
                Ok(text) => text.to_owned(),
                Err(_) => bytes.iter().map(|b| char::from(*b)).collect(),
            },
            Encoding::Utf16Le => units(u16::from_le_bytes),
            Encoding::Utf16Be => units(u16::from_be_bytes),
        }
    }
}

/// How many bytes of a chunk belong to the line, its end included, if it ends there. `half` is the first byte of a
/// character of two that the chunk goes on with.
fn end_in(chunk: &[u8], encoding: Encoding, half: Option<u8>) -> Option<usize> {
    let feed = match encoding {
        Encoding::Bytes => return chunk.iter().position(|b| *b == b'\n').map(|i| i + 1),
        Encoding::Utf16Le => [b'\n', 0],
        Encoding::Utf16Be => [0, b'\n'],
    };
    let skipped = usize::from(half.is_some());
    if let (Some(half), Some(first)) = (half, chunk.first())
        && [half, *first] == feed
    {
        return Some(1);
    }
    chunk
        .get(skipped..)?
        .chunks_exact(2)
        .position(|pair| pair == feed)
        .map(|i| skipped + 2 * (i + 1))
}

fn not_text(start: &[u8]) -> Option<NotText> {
    match start {
        [b'P', b'K', 3, 4, ..] | [0xD0, 0xCF, 0x11, 0xE0, ..] => return Some(NotText::Workbook),
        [0x1F, 0x8B, ..] | [b'7', b'z', 0xBC, 0xAF, ..] => return Some(NotText::Packed),
        [b'%', b'P', b'D', b'F', ..] => return Some(NotText::Pdf),
        [b'S', b'Q', b'L', b'i', b't', b'e', ..] => return Some(NotText::Database),
        [0xFF, 0xFE, ..] | [0xFE, 0xFF, ..] => return None,
        _ => {}
    }
    let odd = start
        .iter()
        .filter(|b| **b < 32 && !matches!(**b, b'\n' | b'\r' | b'\t'))
        .count();
    // No text has zeros; a stray control character may come from a terminal.
    (start.contains(&0) || odd * 50 > start.len()).then_some(NotText::Binary)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::BufReader;

    fn all(bytes: &[u8], chunk: usize) -> Vec<Line> {
        let mut lines = Lines::new(BufReader::with_capacity(chunk, bytes))
            .unwrap()
            .unwrap();
        std::iter::from_fn(|| lines.next_line().unwrap()).collect()
    }

    fn texts(bytes: &[u8]) -> Vec<String> {
        all(bytes, 64).into_iter().map(|l| l.text).collect()
    }

    #[test]
    fn texts_of_four_encodings_read_alike() {
        let text = "time;°C\r\n1;2\r\n\r\n3;4";
        let expected = ["time;°C", "1;2", "", "3;4"];
        assert_eq!(texts(text.as_bytes()), expected);
        assert_eq!(
            texts(&[&[0xEF, 0xBB, 0xBF], text.as_bytes()].concat()),
            expected
        );
        let latin: Vec<u8> = text.chars().map(|c| c as u8).collect();
        assert_eq!(texts(&latin), expected);
        let units = || std::iter::once(0xFEFF).chain(text.encode_utf16());
        let le: Vec<u8> = units().flat_map(u16::to_le_bytes).collect();
        let be: Vec<u8> = units().flat_map(u16::to_be_bytes).collect();
        assert_eq!(texts(&le), expected);
        assert_eq!(texts(&be), expected);
        // A feed that lies across two chunks.
        for chunk in 4..9 {
            for bytes in [text.as_bytes(), &le, &be] {
                let read: Vec<String> = all(bytes, chunk).into_iter().map(|l| l.text).collect();
                assert_eq!(read, expected, "chunks of {chunk} bytes");
            }
        }
    }

    #[test]
    fn an_endless_line_is_cut_and_the_next_one_read() {
        let mut bytes = vec![b'a'; 5 * LONGEST_LINE];
        bytes.extend(b"\nnext\n");
        let lines = all(&bytes, 8_192);
        assert!(lines[0].cut && lines[0].text.len() == LONGEST_LINE);
        assert_eq!((lines[1].text.as_str(), lines[1].number), ("next", 2));
    }

    #[test]
    fn what_is_no_text_is_named() {
        let not = |bytes: &[u8]| Lines::new(bytes).unwrap().err();
        assert_eq!(not(b"PK\x03\x04rest"), Some(NotText::Workbook));
        assert_eq!(not(b"%PDF-1.7"), Some(NotText::Pdf));
        assert_eq!(not(&[0x1F, 0x8B, 8]), Some(NotText::Packed));
        assert_eq!(not(&[1, 2, 3, 4, 0, 200]), Some(NotText::Binary));
        assert_eq!(not(b"time,temp\n"), None);
    }
}
