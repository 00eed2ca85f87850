//! Stages keep their order: one that is moved pushes its neighbours, and none is squeezed away.

use super::{DAYS, StageStart, since};

/// A stage keeps at least this share of its usual length, and two weeks where it has them (our choice).
const LEAST_SHARE: f64 = 0.35;
const LEAST_D: usize = 14;

/// Puts each start where its shifts ask for, then mends the order: forwards from the one that is best known, then
/// backwards from the same one a year on.
pub(super) fn settle(starts: &mut [StageStart]) {
    let n = starts.len();
    let Some(anchor) = anchor(starts) else { return };
    let usual_length = |i: usize| match since(starts[i % n].usual, starts[(i + 1) % n].usual) {
        0 => DAYS,
        length => length,
    };
    let least: Vec<i64> = (0..n)
        .map(|k| {
            let usual = usual_length(anchor + k);
            let share = (usual as f64 * LEAST_SHARE) as usize;
            usual.min(share.max(LEAST_D)) as i64
        })
        .collect();
    let shift = |s: &StageStart| s.climate_d + s.seen_d + s.own_d;
    let zero = shift(&starts[anchor]);
    // Days after the anchor's own start.
    let mut at: Vec<i64> = Vec::with_capacity(n);
    let mut usual = 0;
    for k in 0..n {
        at.push(usual + shift(&starts[(anchor + k) % n]) - zero);
        usual += usual_length(anchor + k) as i64;
    }
    if let Some(first) = at.first_mut() {
        *first = 0;
    }
    for k in 1..n {
        at[k] = at[k].max(at[k - 1] + least[k - 1]);
    }
    for k in (1..n).rev() {
        let next = at.get(k + 1).copied().unwrap_or(DAYS as i64);
        at[k] = at[k].min(next - least[k]);
    }
    let first = starts[anchor].usual.plus(zero);
    for (k, days) in at.into_iter().enumerate() {
        starts[(anchor + k) % n].day = first.plus(days);
    }
}

/// The stage that is best known: seen in this year, else said by the grower, else the first.
fn anchor(starts: &[StageStart]) -> Option<usize> {
    if starts.is_empty() {
        return None;
    }
    let seen = starts.iter().rposition(|s| s.seen);
    let said = starts.iter().position(|s| s.own_d != 0);
    Some(seen.or(said).unwrap_or(0))
}
