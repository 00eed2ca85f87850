//! From rows as they stand to series: order of the dates, units, hours, doubled and missing rows.

use chrono::{Datelike, Duration, NaiveDateTime};

use super::{
    Asked, ColumnPreview, Preview, Quantity, Question, Reading, Records, Rows, TimeKept, Unit,
    UnitBy,
    clock::{Standard, Zone},
    order,
};

/// Half of an outdoor or indoor record above this, °C, was not measured in °C.
const TOO_HOT_C: f64 = 38.0;
/// Between this and the limit above it may be either.
const HOT_C: f64 = 30.0;

pub(super) fn finish(mut rows: Rows, asked: &Asked) -> Reading {
    let mut questions = Vec::new();
    let order = order::decide(&rows.stamps, asked.order, asked.today);
    if order.is_err() {
        let open = rows.stamps.iter().position(|s| s.plain().is_none());
        let line = open
            .and_then(|i| rows.lines.get(i))
            .map_or(0, |l| u64::from(*l));
        let row = line.saturating_sub(rows.layout.first_line) as usize;
        let column = rows.layout.when.columns().first().copied().unwrap_or(0);
        let example = rows
            .first
            .get(row)
            .or(rows.first.first())
            .and_then(|r| r.get(column))
            .cloned()
            .unwrap_or_default();
        questions.push(Question::Order { example, line });
    }
    for i in 0..rows.layout.held.len() {
        questions.extend(settle_unit(&mut rows, i));
    }
    let mut preview = preview_of(&rows);
    preview.questions = questions;
    if let Ok((order, by)) = order {
        preview.order = Some(order);
        preview.order_by = Some(by);
    }
    let (Ok((order, _)), true) = (order, preview.questions.is_empty()) else {
        return Reading {
            preview,
            records: None,
        };
    };
    hold(&mut rows);
    let times = standard_times(&mut rows, order, asked, &mut preview);
    let records = in_order(&mut rows, &times, &mut preview);
    preview.columns = columns_of(&rows);
    preview.faults = rows.faults;
    preview.faults.sort_by_key(|f| f.line);
    preview.fault_count = rows.fault_count;
    Reading {
        preview,
        records: Some(records),
    }
}

/// Finds the unit of a column from its values where none stands there; asks where that leaves two.
fn settle_unit(rows: &mut Rows, i: usize) -> Option<Question> {
    let values = rows.values.get(i)?;
    let held = rows.layout.held.get_mut(i)?;
    let (median, highest) = (median(values), highest(values));
    let ask = |choices: &[Unit], why: String| {
        Some(Question::Unit {
            column: held.at,
            heading: if held.heading.is_empty() {
                format!("column {}", held.at + 1)
            } else {
                held.heading.clone()
            },
            choices: choices.to_vec(),
            why,
        })
    };
    use Unit as U;
    let (unit, by) = match (held.quantity, held.unit) {
        (q, Some((U::Celsius, UnitBy::Marked))) if q.is_temperature() && median > TOO_HOT_C => {
            return ask(
                &[U::Fahrenheit, U::Celsius],
                format!(
                    "It is marked °C, but half of its values are above {median:.0}, as °F would be"
                ),
            );
        }
        (_, Some(known)) => known,
        (q, None) if q.is_temperature() => {
            if median > 200.0 {
                (U::Kelvin, UnitBy::Numbers)
            } else if median > TOO_HOT_C {
                (U::Fahrenheit, UnitBy::Numbers)
            } else if median > HOT_C {
                return ask(
                    &[U::Fahrenheit, U::Celsius],
                    format!("No unit stands there, and the middle of its values is {median:.0}"),
                );
            } else {
                (U::Celsius, UnitBy::Usual)
            }
        }
        (Quantity::Humidity, None) if highest <= 1.0 => (U::Fraction, UnitBy::Numbers),
        (Quantity::Humidity, None) => (U::Percent, UnitBy::Usual),
        // Full sun is 120,000 lux, 11,000 foot-candles, 2,200 µmol/m²s.
        (Quantity::Light, None) if highest > 15_000.0 => (U::Lux, UnitBy::Numbers),
        (Quantity::Light, None) => {
            return ask(
                &[U::Lux, U::FootCandles, U::Ppfd],
                format!("No unit stands there, and its highest value is {highest:.0}"),
            );
        }
        (Quantity::GlobalRadiation, None) => (U::WattsPerSquareMetre, UnitBy::Usual),
        (Quantity::Rain, None) => (U::Millimetres, UnitBy::Usual),
        (Quantity::Wind, None) => (U::MetresPerSecond, UnitBy::Usual),
        (Quantity::Pressure, None) => (U::Hectopascals, UnitBy::Usual),
        (Quantity::Sunshine, None) => (U::Hours, UnitBy::Usual),
        (_, None) => return None,
    };
    held.unit = Some((unit, by));
    None
}

fn finite(values: &[f32]) -> impl Iterator<Item = f32> + '_ {
    values.iter().copied().filter(|v| v.is_finite())
}

fn median(values: &[f32]) -> f64 {
    let mut all: Vec<f32> = finite(values).collect();
    if all.is_empty() {
        return 0.0;
    }
    let middle = all.len() / 2;
    f64::from(*all.select_nth_unstable_by(middle, f32::total_cmp).1)
}

fn highest(values: &[f32]) -> f64 {
    finite(values).fold(0.0, |a, b| a.max(f64::from(b)))
}

/// Turns values into the units of their quantities and leaves out what cannot be.
fn hold(rows: &mut Rows) {
    for i in 0..rows.layout.held.len() {
        let Some(held) = rows.layout.held.get(i).cloned() else {
            break;
        };
        let Some((unit, _)) = held.unit else { continue };
        let (least, most) = held.quantity.possible();
        let mut wrong = Vec::new();
        if let Some(values) = rows.values.get_mut(i) {
            for (row, value) in values.iter_mut().enumerate().filter(|(_, v)| v.is_finite()) {
                let v = unit.held(f64::from(*value));
                *value = if (least..=most).contains(&v) {
                    let v = if held.quantity == Quantity::Humidity {
                        v.min(100.0)
                    } else {
                        v
                    };
                    v as f32
                } else {
                    wrong.push((row, *value));
                    f32::NAN
                };
            }
        }
        for (row, value) in wrong {
            let line = rows.lines.get(row).map_or(0, |l| u64::from(*l));
            rows.fault(
                line,
                Some(held.at),
                format!(
                    "{value} {} cannot be a {}",
                    unit.word(),
                    held.quantity.word()
                ),
                "the value is left out: was the sensor off, or is the unit another?",
            );
        }
    }
}

/// Each row's local standard time; `None` where it has none.
fn standard_times(
    rows: &mut Rows,
    order: super::DateOrder,
    asked: &Asked,
    preview: &mut Preview,
) -> Vec<Option<NaiveDateTime>> {
    let zone = Zone::named(&asked.time_zone);
    let latest = asked.today.map(|t| t + Duration::days(2));
    let mut moments: Vec<Option<NaiveDateTime>> = Vec::with_capacity(rows.stamps.len());
    for i in 0..rows.stamps.len() {
        let Some(stamp) = rows.stamps.get(i).copied() else {
            break;
        };
        let line = rows.lines.get(i).map_or(0, |l| u64::from(*l));
        let column = rows.layout.when.columns().first().copied();
        let moment = stamp.moment(order);
        let fault = match moment {
            None => Some((
                "this day is in no calendar".to_owned(),
                "the row is left out: correct the date",
            )),
            Some(m) if !(1900..=2200).contains(&m.year()) => Some((
                format!("the year {} is out of range", m.year()),
                "the row is left out: set the logger's clock",
            )),
            Some(m) if latest.is_some_and(|l| m.date() >= l) => Some((
                format!("{} is still to come", m.date()),
                "the row is left out: set the logger's clock, or say in which order the dates stand",
            )),
            Some(_) => None,
        };
        if let Some((what, remedy)) = fault {
            rows.fault(line, column, what, remedy);
            moments.push(None);
        } else {
            moments.push(moment);
        }
    }
    newest_last(rows, &mut moments);
    let each = rows.stamps.iter().any(|s| s.offset_min.is_some());
    let plain: Vec<NaiveDateTime> = moments.iter().flatten().copied().collect();
    let told = asked.time.or(if each {
        Some(TimeKept::EachRow)
    } else {
        rows.layout.offset_min.map(TimeKept::FromUtc)
    });
    let seen = told.or_else(|| zone.kept(&plain));
    preview.time = seen.unwrap_or(TimeKept::Clock);
    preview.time_assumed = seen.is_none() && zone.changes(&plain);
    let mut last: Option<NaiveDateTime> = None;
    let mut second = false;
    let mut times = Vec::with_capacity(moments.len());
    for (i, moment) in moments.iter().enumerate() {
        let Some(moment) = *moment else {
            times.push(None);
            continue;
        };
        let from_utc =
            |minutes: i16| zone.standard_of_utc(moment - Duration::minutes(i64::from(minutes)));
        let time = match preview.time {
            TimeKept::Standard => Some(moment),
            TimeKept::FromUtc(minutes) => Some(from_utc(minutes)),
            TimeKept::EachRow => rows.stamps.get(i).and_then(|s| s.offset_min).map(from_utc),
            TimeKept::Clock => match zone.standard_of(moment) {
                Standard::At(at) => {
                    second = false;
                    Some(at)
                }
                Standard::Twice(a, b) => {
                    second |= last.is_some_and(|l| moment <= l && l - moment < Duration::hours(3));
                    Some(if second { b } else { a })
                }
                Standard::Never => None,
            },
        };
        last = Some(moment);
        if time.is_none() {
            let line = rows.lines.get(i).map_or(0, |l| u64::from(*l));
            let (what, remedy) = if preview.time == TimeKept::EachRow {
                (
                    "this row alone does not say its distance from UTC",
                    "the row is left out: add it",
                )
            } else {
                (
                    "the clock was put forward over this time",
                    "the row is left out; if the logger keeps standard time, say so",
                )
            };
            rows.fault(
                line,
                rows.layout.when.columns().first().copied(),
                what.to_owned(),
                remedy,
            );
        }
        times.push(time);
    }
    times
}

/// Turns a file round that has its newest rows first.
fn newest_last(rows: &mut Rows, moments: &mut [Option<NaiveDateTime>]) {
    let plain: Vec<NaiveDateTime> = moments.iter().flatten().copied().collect();
    let back = plain
        .iter()
        .zip(plain.iter().skip(1))
        .filter(|(a, b)| b < a)
        .count();
    if back * 2 > plain.len() {
        moments.reverse();
        rows.stamps.reverse();
        rows.lines.reverse();
        for column in &mut rows.values {
            column.reverse();
        }
    }
}

/// Rows by time, each time once.
fn in_order(rows: &mut Rows, times: &[Option<NaiveDateTime>], preview: &mut Preview) -> Records {
    let mut by_time: Vec<(NaiveDateTime, usize)> = times
        .iter()
        .enumerate()
        .filter_map(|(i, t)| Some(((*t)?, i)))
        .collect();
    by_time.sort();
    let value = |rows: &Rows, c: usize, i: usize| {
        rows.values
            .get(c)
            .and_then(|v| v.get(i))
            .copied()
            .unwrap_or(f32::NAN)
    };
    let width = rows.layout.held.len();
    let mut kept: Vec<(NaiveDateTime, usize)> = Vec::with_capacity(by_time.len());
    for (at, i) in by_time {
        match kept.last() {
            Some((last, first)) if *last == at => {
                preview.rows_doubled += 1;
                let same = (0..width).all(|c| {
                    let (a, b) = (value(rows, c, *first), value(rows, c, i));
                    a == b || (a.is_nan() && b.is_nan())
                });
                if !same {
                    let line = |i: usize| rows.lines.get(i).map_or(0, |l| u64::from(*l));
                    let (here, before) = (line(i), line(*first));
                    rows.fault(
                        here,
                        rows.layout.when.columns().first().copied(),
                        format!("line {before} has the same time and other values"),
                        "line by line the first is kept: take out the wrong one",
                    );
                }
            }
            _ if (0..width).any(|c| value(rows, c, i).is_finite()) => kept.push((at, i)),
            _ => {}
        }
    }
    let at: Vec<NaiveDateTime> = kept.iter().map(|k| k.0).collect();
    let columns = rows
        .layout
        .held
        .iter()
        .enumerate()
        .map(|(c, h)| {
            (
                h.quantity,
                kept.iter().map(|k| value(rows, c, k.1)).collect(),
            )
        })
        .collect();
    preview.rows_taken = at.len();
    preview.first = at.first().copied();
    preview.last = at.last().copied();
    gaps(&at, preview);
    Records { at, columns }
}

fn gaps(at: &[NaiveDateTime], preview: &mut Preview) {
    let steps: Vec<i64> = at
        .iter()
        .zip(at.iter().skip(1))
        .map(|(a, b)| (*b - *a).num_seconds())
        .collect();
    let mut sorted = steps.clone();
    sorted.sort_unstable();
    let Some(usual) = sorted.get(sorted.len() / 2).copied().filter(|s| *s > 0) else {
        return;
    };
    preview.step_min = Some(usual as f64 / 60.0);
    for (from, step) in at.iter().zip(&steps) {
        if *step * 2 > usual * 3 {
            preview.rows_missing += ((step + usual / 2) / usual - 1).max(0) as usize;
            let hours = *step as f64 / 3600.0;
            if preview.longest_gap.is_none_or(|g| g.1 < hours) {
                preview.longest_gap = Some((*from, hours));
            }
        }
    }
}

fn preview_of(rows: &Rows) -> Preview {
    Preview {
        rows_read: rows.rows_seen,
        rows_taken: 0,
        first: None,
        last: None,
        step_min: None,
        rows_missing: 0,
        longest_gap: None,
        rows_doubled: 0,
        separator: rows.layout.separator,
        decimal: rows.layout.decimal,
        order: None,
        order_by: None,
        time: TimeKept::Clock,
        time_assumed: false,
        columns: columns_of(rows),
        first_rows: rows.first.clone(),
        questions: Vec::new(),
        faults: rows.faults.clone(),
        fault_count: rows.fault_count,
        stopped_at_line: rows.stopped,
    }
}

fn columns_of(rows: &Rows) -> Vec<ColumnPreview> {
    let times = rows.layout.when.columns();
    let width = rows.first.first().map_or(0, Vec::len);
    (0..width.max(rows.layout.headings.len()))
        .filter(|c| !times.contains(c))
        .map(|column| {
            let found = rows
                .layout
                .held
                .iter()
                .zip(&rows.values)
                .find(|(h, _)| h.at == column);
            let values: Vec<f32> = found.map_or_else(Vec::new, |(_, v)| finite(v).collect());
            let least = values.iter().copied().min_by(f32::total_cmp);
            let most = values.iter().copied().max_by(f32::total_cmp);
            ColumnPreview {
                column,
                heading: rows.layout.name_of(column),
                quantity: found.map(|(h, _)| h.quantity),
                unit: found.and_then(|(h, _)| h.unit).map(|u| u.0),
                unit_by: found.and_then(|(h, _)| h.unit).map(|u| u.1),
                values: values.len(),
                lowest: least.map(f64::from),
                median: (!values.is_empty()).then(|| median(&values)),
                highest: most.map(f64::from),
            }
        })
        .collect()
}
