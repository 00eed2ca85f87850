//! The accuracy table, `tests/reference/ACCURACY.md`: each check against something outside fills one row of it.
//!
//! A check gathers its differences and calls [`Check::hold`], which asserts the limits and compares the row with the
//! one in the file. `SILLWARD_BLESS=1 cargo test --test core` writes the rows of the tests that run anew. To add a row,
//! name it in [`ROWS`] and hold a check of that name.

use std::{
    collections::BTreeMap,
    fmt::Write as _,
    fs,
    path::{Path, PathBuf},
    sync::Mutex,
};

/// Part and quantity of every row, in the order of the table.
const ROWS: &[(&str, &str)] = &[
    ("Sun", "elevation"),
    ("Sun", "azimuth, across the sky"),
    ("Sun", "rise, set and transit"),
    ("Sky", "clear sky, global"),
    ("Sky", "clear sky, beam"),
    ("Sky", "clear sky, from the sky"),
    ("Sky", "radiance of 577 patches"),
    ("Sky", "monthly radiation of the typical year"),
    ("Sky", "share of days up to a clearness"),
    ("Outdoors", "minutes of direct sun on a day"),
    ("Outdoors", "sky view factor, level"),
    ("Outdoors", "sky view factor, solid angle"),
    ("Outdoors", "light of a month (mean DLI)"),
    ("Indoors", "daylight factor, overcast"),
    ("Indoors", "minutes of direct sun through windows on a day"),
];

const HEAD: &str = "# How near it comes

Own figures against those of general references: standards, published algorithms, general-purpose libraries and plain
brute force. Made by the tests; anyone can have it anew with

    SILLWARD_BLESS=1 cargo test --test core

and look at the difference. Without the variable the same tests fail when a limit is passed or when a row no longer says
what they find (to a quarter). References that are not computed in the test itself lie in the folders beside this file,
each with the script that made it and the versions of what it used. \"Mean\" keeps its sign: what is left over when too much
here makes up for too little there.
";

/// One comparison of many figures with a reference.
pub struct Check {
    part: &'static str,
    quantity: &'static str,
    unit: &'static str,
    reference: &'static str,
    largest_allowed: f64,
    mean_allowed: Option<f64>,
}

static FILE: Mutex<()> = Mutex::new(());

impl Check {
    /// `reference` names what is compared with, and its version; `largest_allowed` is in `unit`.
    pub fn new(
        part: &'static str,
        quantity: &'static str,
        reference: &'static str,
        (largest_allowed, unit): (f64, &'static str),
    ) -> Self {
        assert!(
            ROWS.contains(&(part, quantity)),
            "name {part}, {quantity} in ROWS"
        );
        Self {
            part,
            quantity,
            unit,
            reference,
            largest_allowed,
            mean_allowed: None,
        }
    }

    /// Limits the mean of the differences as well.
    pub fn mean_within(mut self, allowed: f64) -> Self {
        self.mean_allowed = Some(allowed);
        self
    }

    /// Asserts the limits over what was found, each with words that say where, and that the table says so.
    #[track_caller]
    pub fn hold(&self, differences: &[(f64, String)]) {
        hold_all([self.found(differences)]);
    }

    /// The same without panicking: what is wrong, in words.
    pub fn found(&self, differences: &[(f64, String)]) -> Result<(), String> {
        assert!(
            !differences.is_empty(),
            "{}: nothing compared",
            self.quantity
        );
        let n = differences.len() as f64;
        let mean = differences.iter().map(|d| d.0).sum::<f64>() / n;
        let largest = differences.iter().map(|d| d.0.abs()).fold(0.0, f64::max);
        let mut off: Vec<&(f64, String)> = differences
            .iter()
            // Not a number is never near.
            .filter(|d| d.0.is_nan() || d.0.abs() > self.largest_allowed)
            .collect();
        off.sort_by(|a, b| b.0.abs().total_cmp(&a.0.abs()));
        let told: String = off
            .iter()
            .take(60)
            .fold(String::new(), |mut text, (d, at)| {
                let _ = writeln!(text, "  {d:+.4} {} {at}", self.unit);
                text
            });
        let mean_off = self
            .mean_allowed
            .is_some_and(|allowed| mean.abs() > allowed);
        if !off.is_empty() || mean_off {
            return Err(format!(
                "{}, {}: {} of {n} beyond {} {}, mean {mean:+.4} (allowed {:?})\n{told}",
                self.part,
                self.quantity,
                off.len(),
                self.largest_allowed,
                self.unit,
                self.mean_allowed
            ));
        }
        self.compare(differences.len(), mean, largest)
    }

    fn compare(&self, cases: usize, mean: f64, largest: f64) -> Result<(), String> {
        let _one_at_a_time = FILE.lock().unwrap_or_else(|e| e.into_inner());
        let mut rows = read();
        let key = (self.part.to_owned(), self.quantity.to_owned());
        let allowed = match self.mean_allowed {
            Some(mean) => format!(
                "{} {u}; mean {mean} {u}",
                self.largest_allowed,
                u = self.unit
            ),
            None => format!("{} {}", self.largest_allowed, self.unit),
        };
        // A thousandth of what is allowed is nothing; other processors round otherwise there.
        let [mean, largest] = [mean, largest].map(|v| {
            let grain = self.largest_allowed / 1000.0;
            (v / grain).round() * grain
        });
        let cells = [
            self.reference.to_owned(),
            cases.to_string(),
            format!("{} {}", signed(mean), self.unit),
            format!("{} {}", rounded(largest), self.unit),
            allowed,
        ];
        if std::env::var_os("SILLWARD_BLESS").is_some() {
            rows.insert(key, cells.into());
            write(&rows);
            return Ok(());
        }
        let Some(written) = rows.get(&key) else {
            return Err(format!(
                "{key:?} is not in ACCURACY.md yet: run with SILLWARD_BLESS=1"
            ));
        };
        // Nor need the rest be the same to the last place.
        let figure = |cell: &str| -> f64 { cell.split(' ').next().unwrap().parse().unwrap() };
        let alike = |cell: &str, found: f64| {
            (figure(cell) - found).abs() <= 0.25 * largest + self.largest_allowed / 500.0
        };
        let same = [0, 1, 4].iter().all(|i| written[*i] == cells[*i])
            && alike(&written[2], mean)
            && alike(&written[3], largest);
        same.then_some(()).ok_or_else(|| {
            format!(
                "ACCURACY.md says {written:?} of {key:?}, but it is {cells:?} now: run with SILLWARD_BLESS=1 and look \
                 at the difference"
            )
        })
    }
}

/// Asserts several at once, so that all that is wrong is told.
#[track_caller]
pub fn hold_all(found: impl IntoIterator<Item = Result<(), String>>) {
    let faults: Vec<String> = found.into_iter().filter_map(Result::err).collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// To two figures that count.
fn rounded(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let places = (1 - value.abs().log10().floor() as i64).max(0) as usize;
    format!("{value:.places$}")
}

fn signed(value: f64) -> String {
    let text = rounded(value);
    if value > 0.0 {
        format!("+{text}")
    } else {
        text
    }
}

fn path() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference/ACCURACY.md")
}

type Rows = BTreeMap<(String, String), Vec<String>>;

fn read() -> Rows {
    let text = fs::read_to_string(path()).unwrap_or_default();
    text.lines()
        .filter(|line| line.starts_with("| ") && !line.starts_with("| part"))
        .filter_map(|line| {
            let mut cells = line
                .trim_matches('|')
                .split('|')
                .map(|c| c.trim().to_owned());
            Some(((cells.next()?, cells.next()?), cells.collect()))
        })
        .collect()
}

fn write(rows: &Rows) {
    let mut text = HEAD.to_owned();
    text.push_str("\n| part | quantity | reference | cases | mean | largest | allowed |\n|---|---|---|--:|--:|--:|--:|\n");
    for (part, quantity) in ROWS {
        if let Some(cells) = rows.get(&((*part).to_owned(), (*quantity).to_owned())) {
            let _ = writeln!(text, "| {part} | {quantity} | {} |", cells.join(" | "));
        }
    }
    fs::write(path(), text).unwrap();
}

#[test]
fn the_accuracy_table_has_the_rows_that_are_named() {
    let _one_at_a_time = FILE.lock().unwrap_or_else(|e| e.into_inner());
    let rows = read();
    for (part, quantity) in ROWS {
        assert!(
            rows.contains_key(&((*part).to_owned(), (*quantity).to_owned()))
                || std::env::var_os("SILLWARD_BLESS").is_some(),
            "{part}, {quantity} has no row: run with SILLWARD_BLESS=1"
        );
    }
    assert!(rows.len() <= ROWS.len(), "rows that nobody makes");
}
