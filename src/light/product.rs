//! Many skies times what many places get of each part of the sky, at once.

use std::ops::Range;

use rayon::prelude::*;

use crate::base::lanes;

/// Columns and rows that are worked on at once.
const COLUMNS: usize = 8;
const ROWS: usize = 8;
/// Rows that one core takes at a time.
const ROWS_AT_ONCE: usize = 128;

/// Skies: rows of `parts` radiances, and in which state of the leaves and cloths each stretch of rows is looked at.
pub struct Skies<'s> {
    pub parts: usize,
    pub radiance: &'s [f32],
    pub states: &'s [(Range<usize>, usize)],
}

/// What a place gets of a radiance of 1 of each part: `state * parts + part`.
pub type Column<'c> = &'c [f32];

/// Light by row and column.
pub struct Table {
    columns: usize,
    values: Vec<f32>,
}

impl Table {
    pub fn row(&self, row: usize) -> &[f32] {
        self.values
            .get(row * self.columns..(row + 1) * self.columns)
            .unwrap_or_default()
    }
}

/// Some columns in one state: only the parts in which one of them differs from its base.
struct Block {
    first: usize,
    /// Whether each column is the open place's but for those parts; else nothing.
    open: [bool; COLUMNS],
    parts: Vec<usize>,
    values: Vec<[f32; COLUMNS]>,
}

/// The light of each sky on each column. `open` is the column of a place that sees all of the sky: columns that
/// differ from it in few parts cost little.
pub fn table(skies: &Skies<'_>, open: Column<'_>, columns: &[Column<'_>]) -> Table {
    let n = skies.parts.max(1);
    let rows = skies.radiance.len() / n;
    let width = columns.len();
    let mut values = vec![0.0; rows * width];
    if width == 0 || rows == 0 {
        return Table {
            columns: width,
            values,
        };
    }
    let states = 1 + skies.states.iter().map(|s| s.1).max().unwrap_or(0);
    let blocks: Vec<Vec<Block>> = (0..states)
        .map(|state| blocks(open, columns, n, state))
        .collect();
    values
        .par_chunks_mut(ROWS_AT_ONCE * width)
        .enumerate()
        .for_each(|(chunk, out)| {
            let first = chunk * ROWS_AT_ONCE;
            let last = first + out.len() / width;
            for (stretch, state) in skies.states {
                let (from, to) = (stretch.start.max(first), stretch.end.min(last));
                if from >= to {
                    continue;
                }
                let radiance = &skies.radiance[from * n..to * n];
                let out = &mut out[(from - first) * width..(to - first) * width];
                lanes::widest(
                    #[inline(always)]
                    || multiply(radiance, n, open, &blocks[*state], width, out),
                );
            }
        });
    Table {
        columns: width,
        values,
    }
}

fn blocks(open: Column<'_>, columns: &[Column<'_>], n: usize, state: usize) -> Vec<Block> {
    let parts = |column: Column<'_>| {
        let all = column.get(state * n..(state + 1) * n);
        all.map_or_else(|| vec![0.0; n], <[f32]>::to_vec)
    };
    let same = |value: f32, base: f32| (value - base).abs() <= 2e-6 * base.abs();
    columns
        .chunks(COLUMNS)
        .enumerate()
        .map(|(k, chunk)| {
            let mut block = Block {
                first: k * COLUMNS,
                open: [false; COLUMNS],
                parts: Vec::new(),
                values: Vec::new(),
            };
            let lists: Vec<Vec<f32>> = chunk.iter().map(|c| parts(c)).collect();
            for (is_open, list) in block.open.iter_mut().zip(&lists) {
                let like_open = list
                    .iter()
                    .zip(open)
                    .filter(|(v, o)| same(**v, **o))
                    .count();
                *is_open = like_open > list.iter().filter(|v| **v == 0.0).count();
            }
            for part in 0..n {
                let mut values = [0.0; COLUMNS];
                for ((value, list), is_open) in values.iter_mut().zip(&lists).zip(block.open) {
                    let base = if is_open { open[part] } else { 0.0 };
                    if !same(list[part], base) {
                        *value = list[part] - base;
                    }
                }
                if values != [0.0; COLUMNS] {
                    block.parts.push(part);
                    block.values.push(values);
                }
            }
            block
        })
        .collect()
}

#[inline(always)]
fn multiply(
    radiance: &[f32],
    n: usize,
    open: Column<'_>,
    blocks: &[Block],
    width: usize,
    out: &mut [f32],
) {
    let any_open = blocks.iter().any(|b| b.open.contains(&true));
    let mut picked: Vec<[f32; ROWS]> = Vec::with_capacity(n);
    for (rows, out) in radiance.chunks(ROWS * n).zip(out.chunks_mut(ROWS * width)) {
        let count = rows.len() / n;
        let mut whole = [0.0; ROWS];
        if any_open {
            for (whole, row) in whole.iter_mut().zip(rows.chunks(n)) {
                *whole = lanes::dot(row, open);
            }
        }
        for block in blocks {
            picked.clear();
            picked.resize(block.parts.len(), [0.0; ROWS]);
            for (k, row) in rows.chunks_exact(n).enumerate().take(ROWS) {
                for (picked, part) in picked.iter_mut().zip(&block.parts) {
                    picked[k] = row[*part];
                }
            }
            let mut sums = [[0.0_f32; COLUMNS]; ROWS];
            for (skies, places) in picked.iter().zip(&block.values) {
                for (sum, sky) in sums.iter_mut().zip(skies) {
                    for (s, place) in sum.iter_mut().zip(places) {
                        *s += sky * place;
                    }
                }
            }
            let columns = (width - block.first).min(COLUMNS);
            for (k, sum) in sums.iter().enumerate().take(count) {
                let at = k * width + block.first;
                for ((o, s), is_open) in out[at..at + columns].iter_mut().zip(sum).zip(block.open) {
                    *o = s + if is_open { whole[k] } else { 0.0 };
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_holds_the_products() {
        let (n, rows, states) = (37, 300, 3);
        let number = |k: usize| ((k * 7919) % 1000) as f32 / 1000.0;
        let radiance: Vec<f32> = (0..rows * n).map(number).collect();
        let open: Vec<f32> = (0..n).map(|p| number(p * 31)).collect();
        let columns: Vec<Vec<f32>> = (0..11)
            .map(|c| {
                (0..states * n)
                    .map(|k| match c % 3 {
                        0 => open[k % n] * if k % 5 == 0 { 0.3 } else { 1.0 },
                        1 => number(k * 13 + c),
                        _ => number(k) * f32::from(u8::from(k % 9 == 0)),
                    })
                    .collect()
            })
            .collect();
        let columns: Vec<Column<'_>> = columns.iter().map(Vec::as_slice).collect();
        let spans = [(0..100, 2), (100..170, 0), (170..300, 1)];
        let skies = Skies {
            parts: n,
            radiance: &radiance,
            states: &spans,
        };
        let table = table(&skies, &open, &columns);
        for row in 0..rows {
            let state = spans.iter().find(|s| s.0.contains(&row)).unwrap().1;
            for (c, column) in columns.iter().enumerate() {
                let exact: f64 = (0..n)
                    .map(|p| f64::from(radiance[row * n + p]) * f64::from(column[state * n + p]))
                    .sum();
                let value = f64::from(table.row(row)[c]);
                assert!((value - exact).abs() < 1e-4 * exact.max(0.1), "{row}, {c}");
            }
        }
    }
}
