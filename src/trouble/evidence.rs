//! What speaks for and against a cause, and how much. One function for each kind of evidence; each looks at the
//! record only and says its figures and dates.

use super::record::{PastWeek, Record};
use crate::{
    needs::{Band, StageName},
    scoring::HazardKind,
    site::Event,
};

/// Collected for one cause. Weights are logarithms of odds: 0.7 doubles, 1.6 is five times. Ours, not measured.
#[derive(Default)]
pub(super) struct Evidence {
    pub odds: f64,
    pub pro: Vec<String>,
    pub con: Vec<String>,
}

impl Evidence {
    pub fn pro(&mut self, weight: f64, text: String) {
        self.odds += weight;
        self.pro.push(text);
    }

    pub fn con(&mut self, weight: f64, text: String) {
        self.odds -= weight;
        self.con.push(text);
    }
}

/// A share of weeks beyond a limit speaks for a cause, their absence against it.
fn weeks_beyond(
    e: &mut Evidence,
    weeks: &[&PastWeek<'_>],
    beyond: impl Fn(&PastWeek<'_>) -> Option<bool>,
    tell: impl Fn(usize, usize, &PastWeek<'_>) -> String,
    clear: impl Fn(usize) -> Option<String>,
) {
    let judged: Vec<(&&PastWeek<'_>, bool)> =
        weeks.iter().filter_map(|w| Some((w, beyond(w)?))).collect();
    if judged.len() < 2 {
        return;
    }
    let hits: Vec<_> = judged.iter().filter(|(_, hit)| *hit).collect();
    let share = hits.len() as f64 / judged.len() as f64;
    if let Some((first, _)) = hits.last().filter(|_| share >= 0.15) {
        e.pro(0.5 + 1.8 * share, tell(hits.len(), judged.len(), first));
    } else if hits.is_empty() {
        // A single week on the wrong side is too little to speak for a cause, and never speaks against it.
        if let Some(text) = clear(judged.len()) {
            e.con(1.2, text);
        }
    }
}

fn mean(values: impl Iterator<Item = f64>) -> Option<(f64, usize)> {
    let (sum, n) = values.fold((0.0, 0), |(s, n), v| (s + v, n + 1));
    (n > 0).then(|| (sum / n as f64, n))
}

/// Decimals that two figures need to be told apart: none if whole numbers do, three at most.
fn apart(a: f64, b: f64) -> usize {
    (0..3)
        .find(|digits| format!("{a:.digits$}") != format!("{b:.digits$}"))
        .unwrap_or(3)
        .max(1)
}

/// A figure that is compared with another: whole, or with the decimals that tell the two apart.
fn beside(value: f64, other: f64) -> String {
    let digits = if format!("{value:.0}") == format!("{other:.0}") {
        apart(value, other)
    } else {
        0
    };
    format!("{value:.digits$}")
}

fn since(week: &PastWeek<'_>) -> String {
    week.date.format("%-d %B %Y").to_string()
}

/// Light under the wanted range.
pub(super) fn dim(r: &Record<'_>, weeks: &[&PastWeek<'_>], e: &mut Evidence) {
    let Some((dli, n)) = mean(weeks.iter().filter_map(|w| r.dli(w.offered?))) else {
        return;
    };
    let Some((low, _)) = mean(
        weeks
            .iter()
            .filter_map(|w| Some(w.stage?.needs.dli.value.ideal_low())),
    ) else {
        return;
    };
    let digits = apart(dli, low);
    let text = format!(
        "{dli:.digits$} mol/m² a day in the mean of {n} weeks, wants {low:.digits$} or more"
    );
    if dli < 0.85 * low {
        e.pro((2.5 * (low / dli.max(0.2)).ln()).clamp(0.5, 2.5), text);
    } else if dli < low {
        // Under the range, if not by much: it speaks for the cause a little, and never against it.
        e.pro((2.5 * (low / dli.max(0.2)).ln()).clamp(0.0, 0.5), text);
    } else {
        e.con(1.2, text);
    }
}

/// Noon light above what is endured, or scorch computed.
pub(super) fn too_bright(weeks: &[&PastWeek<'_>], e: &mut Evidence) {
    weeks_beyond(
        e,
        weeks,
        |w| {
            let peak = w.offered?.clear_peak_ppfd?;
            Some(peak > w.stage?.needs.peak_ppfd.value.ideal_high())
        },
        |n, of, w| {
            let peak = w.offered.and_then(|o| o.clear_peak_ppfd).unwrap_or(0.0);
            format!(
                "noon light over its range in {n} of {of} weeks, {peak:.0} µmol/m² s in that of {}",
                since(w)
            )
        },
        |of| Some(format!("noon light within its range in all {of} weeks")),
    );
    let chance = weeks
        .iter()
        .filter_map(|w| w.chance(&[HazardKind::Scorch]))
        .fold(0.0, f64::max);
    if chance > 0.05 {
        e.pro(
            1.0,
            format!(
                "leaves would scorch here {} in the worst week",
                crate::base::names::years_in(chance)
            ),
        );
    }
}

/// Nights warmer than the range of the stage.
pub(super) fn warm_nights(weeks: &[&PastWeek<'_>], e: &mut Evidence) {
    weeks_beyond(
        e,
        weeks,
        |w| Some(w.night_c()? > w.night_band()?.ideal_high()),
        |n, of, w| {
            let (limit, met) = (
                w.night_band().map_or(0.0, Band::ideal_high),
                w.night_c().unwrap_or(0.0),
            );
            format!(
                "nights over {} °C in {n} of {of} weeks, {} °C in that of {}",
                beside(limit, met),
                beside(met, limit),
                since(w)
            )
        },
        |of| Some(format!("nights cool enough in all {of} weeks")),
    );
}

/// Nights colder than the range of the stage, well beyond.
pub(super) fn cold_nights(weeks: &[&PastWeek<'_>], e: &mut Evidence) {
    let limit = |w: &PastWeek<'_>| {
        let band = w.night_band()?;
        Some(0.5 * (band.harm_low() + band.ideal_low()))
    };
    let all_within = weeks
        .iter()
        .filter_map(|w| Some(w.night_c()? >= w.night_band()?.ideal_low()))
        .all(|within| within);
    weeks_beyond(
        e,
        weeks,
        |w| Some(w.night_c()? < limit(w)?),
        |n, of, w| {
            format!(
                "nights of {:.0} °C and less in {n} of {of} weeks, first in that of {}",
                limit(w).unwrap_or(0.0),
                since(w)
            )
        },
        |of| {
            // Under the range but not yet cold is nothing to count against it.
            all_within.then(|| format!("no cold nights in {of} weeks"))
        },
    );
}

/// Too little between day and night.
pub(super) fn even_days(weeks: &[&PastWeek<'_>], e: &mut Evidence) {
    let low = |w: &PastWeek<'_>| Some(w.stage?.needs.day_night_k.as_ref()?.value.ideal_low());
    let gap = |w: &PastWeek<'_>| Some(w.offered?.air.as_ref()?.day_night_k);
    weeks_beyond(
        e,
        weeks,
        |w| Some(gap(w)? < low(w)?),
        |n, of, w| {
            let (low, gap) = (low(w).unwrap_or(0.0), gap(w).unwrap_or(0.0));
            format!(
                "less than {} K between day and night in {n} of {of} weeks, {} K in that of {}",
                beside(low, gap),
                beside(gap, low),
                since(w)
            )
        },
        |of| Some(format!("day and night far enough apart in all {of} weeks")),
    );
}

/// Air drier than a limit by day, %.
pub(super) fn dry_air(weeks: &[&PastWeek<'_>], limit_pct: f64, e: &mut Evidence) {
    weeks_beyond(
        e,
        weeks,
        |w| Some(w.rh_day_pct()? < limit_pct),
        |n, of, w| {
            let met = w.rh_day_pct().unwrap_or(0.0);
            format!(
                "under {} % humidity by day in {n} of {of} weeks, {} % in that of {}",
                beside(limit_pct, met),
                beside(met, limit_pct),
                since(w)
            )
        },
        |of| {
            Some(format!(
                "{limit_pct:.0} % humidity or more by day in all {of} weeks"
            ))
        },
    );
}

/// Damp air that hardly moves.
pub(super) fn damp_and_still(weeks: &[&PastWeek<'_>], e: &mut Evidence) {
    weeks_beyond(
        e,
        weeks,
        |w| {
            let air = w.offered?.air.as_ref()?;
            Some(air.rh_pct > 80.0 && air.speed_m_s < 0.15)
        },
        |n, of, w| {
            format!(
                "damp air that hardly moved in {n} of {of} weeks, first in that of {}",
                since(w)
            )
        },
        |of| Some(format!("air dry or moving enough in all {of} weeks")),
    );
}

/// Heater or vent felt at the spot.
pub(super) fn heater_or_vent(weeks: &[&PastWeek<'_>], e: &mut Evidence) {
    weeks_beyond(
        e,
        weeks,
        |w| {
            let air = w.offered?.air.as_ref()?;
            Some(air.draught_m_s > 0.5 || air.device_warm_k > 3.0 || air.device_cold_k < -3.0)
        },
        |n, of, w| {
            let (speed, excess) = w
                .offered
                .and_then(|o| o.air.as_ref())
                .map_or((0.0, 0.0), |a| {
                    let cold = a.device_cold_k.abs() > a.device_warm_k;
                    (
                        a.draught_m_s,
                        if cold {
                            a.device_cold_k
                        } else {
                            a.device_warm_k
                        },
                    )
                });
            format!(
                "a heater or vent is felt in {n} of {of} weeks: {speed:.1} m/s, {excess:+.1} K in that of {}",
                since(w)
            )
        },
        |of| Some(format!("no heater or vent is felt in {of} weeks")),
    );
}

/// Frost by the computed weeks and by the journal.
pub(super) fn frost(
    r: &Record<'_>,
    weeks: &[&PastWeek<'_>],
    kinds: &[HazardKind],
    e: &mut Evidence,
) {
    for entry in r
        .entries(7 * weeks.len() as i64)
        .iter()
        .filter(|x| x.event == Event::FrostSeen)
    {
        e.pro(
            1.8,
            format!("you saw frost on {}", entry.date.format("%-d %B %Y")),
        );
    }
    let worst = weeks
        .iter()
        .filter_map(|w| Some((w.chance(kinds)?, w)))
        .max_by(|a, b| a.0.total_cmp(&b.0));
    match worst {
        Some((chance, week)) if chance >= 0.03 => e.pro(
            (0.8 + 2.0 * chance).min(2.5),
            format!(
                "frost reaches it there {} in the week of {}",
                crate::base::names::years_in(chance),
                since(week)
            ),
        ),
        Some(_) => e.con(
            1.5,
            format!(
                "no frost to be expected where it stood in the last {} weeks",
                weeks.len()
            ),
        ),
        None => {}
    }
}

/// What a move changed at once.
pub(super) enum Change {
    Brighter,
    Darker,
    Night,
    Drier,
}

pub(super) fn moved(r: &Record<'_>, within_d: i64, changes: &[Change], e: &mut Evidence) {
    let moves = r.moves(within_d);
    if moves.is_empty() {
        if r.moves_told {
            e.con(1.0, format!("no move in the journal for {within_d} days"));
        }
        return;
    }
    for m in moves {
        let date = m.date.format("%-d %B %Y");
        let to = r.inputs.spot_name(&m.to);
        let (Some(a), Some(b)) = (m.before, m.after) else {
            e.pro(
                0.4,
                format!("moved to {to} on {date}; what that changed is not known"),
            );
            continue;
        };
        let ratio = r.dli(a).zip(r.dli(b)).map(|(a, b)| b.max(0.3) / a.max(0.3));
        let air = a.air.as_ref().zip(b.air.as_ref());
        let mut told = false;
        for change in changes {
            let found = match change {
                Change::Brighter => ratio
                    .filter(|x| *x > r.kind.brighter_step.value)
                    .map(|x| (0.6 + x.log2(), format!("{x:.1} times the light"))),
                Change::Darker => ratio
                    .filter(|x| *x < 0.4)
                    .map(|x| (1.2, format!("only {:.0} % of the light", 100.0 * x))),
                Change::Night => air
                    .map(|(a, b)| b.night_c - a.night_c)
                    .filter(|k| k.abs() > 6.0)
                    .map(|k| (1.2, format!("nights {k:+.0} K"))),
                Change::Drier => air
                    .map(|(a, b)| b.rh_day_pct - a.rh_day_pct)
                    .filter(|p| *p < -20.0)
                    .map(|p| (0.8, format!("humidity {p:+.0} points"))),
            };
            if let Some((weight, what)) = found {
                told = true;
                e.pro(weight.min(2.5), format!("moved to {to} on {date}: {what}"));
            }
        }
        if !told {
            e.con(
                0.4,
                format!("moved to {to} on {date}, without a great change"),
            );
        }
    }
}

/// Waterings in the journal further apart (`long`) or closer together than asked for.
pub(super) fn watering(r: &Record<'_>, within_d: i64, long: bool, e: &mut Evidence) {
    let Some((longest, mean, asked)) = r.waterings(within_d) else {
        return;
    };
    let text = format!(
        "watered every {mean:.0} days, once after {longest:.0}; about {asked:.0} were asked for (sure to ±35 %)"
    );
    let ratio = if long {
        longest / asked
    } else {
        asked / mean.max(0.5)
    };
    if ratio > 1.6 {
        e.pro((1.5 * ratio.ln()).min(2.2), text);
    } else if ratio <= 1.0 {
        e.con(0.8, text);
    }
}

/// How often it was fed in some stages; `None` when the journal knows of no feed at all.
pub(super) fn feeds_in(r: &Record<'_>, stages: &[StageName]) -> Option<usize> {
    let feeds: Vec<_> = r
        .entries(365)
        .into_iter()
        .filter(|x| x.event == Event::Fed)
        .collect();
    if feeds.is_empty() {
        return None;
    }
    let calendar = r.inputs.scores.calendar(r.inputs.plant);
    let in_stage = |date| {
        calendar
            .and_then(|c| r.kind.stages.get(c.index_on(crate::base::Day::of(date))?))
            .is_some_and(|s| stages.contains(&s.stage))
    };
    Some(feeds.iter().filter(|x| in_stage(x.date)).count())
}
