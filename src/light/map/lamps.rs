//! Directions that light comes from in a span of weeks, and how much from each.

use glam::Vec3;

use super::{Ask, Quantity};
use crate::{
    base::{
        Week,
        units::{PPFD_PER_BEAM_W_M2, PPFD_PER_SKY_W_M2},
    },
    light::{
        LightInputs,
        dome::Dome,
        sun_path::{self, SunHour},
    },
};

/// Weights are whole numbers with this sum, so that sums of them are exact in whatever order they are taken.
const WHOLE: f64 = (1 << 24) as f64;

/// A direction and, for each part of the time, how much of the light on the open level comes from it.
#[derive(Clone, Debug, PartialEq)]
pub struct Lamp {
    pub dir: Vec3,
    /// State of the scene and weight.
    pub parts: Vec<(usize, u32)>,
}

/// All directions of a quantity.
#[derive(Clone, Debug, PartialEq)]
pub struct Lamps {
    pub list: Vec<Lamp>,
    /// What a weight of 1 stands for, in the quantity's unit.
    pub unit: f64,
}

/// How finely directions are taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fineness {
    /// One ray in each patch of the sky, one sun an hour (two for hours of sun).
    Coarse,
    /// Four, and three (six).
    Fine,
}

/// The part of the time in which the scene is in one state: leaves out or fallen, cloths up or down.
#[derive(Clone, Debug)]
pub struct Part {
    pub state: usize,
    /// Summed over its hours: radiance of each patch, µmol m⁻² s⁻¹ sr⁻¹ h.
    pub sky: Vec<f32>,
    pub suns: Vec<Sun>,
}

/// A sun that stands for the same hour of the days of one week.
#[derive(Clone, Copy, Debug)]
pub struct Sun {
    /// Hour of the year at the week's middle.
    pub hour: usize,
    pub moments: [Vec3; sun_path::MOMENTS],
    /// PPFD hours on the open level.
    pub level: f32,
    /// PPFD hours square to the beam.
    pub square: f32,
}

/// The light of a span, by the states of the scene.
pub struct Supply {
    pub parts: Vec<Part>,
    pub days: usize,
    pub hours: Vec<usize>,
}

impl Supply {
    pub fn of(inputs: &LightInputs<'_>, ask: &Ask) -> Self {
        let suns = sun_path::sun_hours(inputs.place, inputs.sun);
        let mut supply = Self {
            parts: Vec::new(),
            days: 0,
            hours: Vec::new(),
        };
        for week in ask.span.weeks() {
            supply.days += week.days().len();
            supply.add(inputs, week, ask.hour, &suns);
        }
        supply
    }

    fn add(&mut self, inputs: &LightInputs<'_>, week: Week, only: Option<usize>, suns: &[SunHour]) {
        let patches = inputs.sky.patches.len();
        let state = usize::from(inputs.scene.state_of_month[week.month0()]);
        let k = self.parts.iter().position(|p| p.state == state);
        let k = k.unwrap_or_else(|| {
            self.parts.push(Part {
                state,
                sky: vec![0.0; patches],
                suns: Vec::new(),
            });
            self.parts.len() - 1
        });
        let part = &mut self.parts[k];
        let t = inputs.typical;
        let value = |v: &[f32], h: usize| v.get(h).copied().unwrap_or(0.0).max(0.0);
        let mut by_hour = [(0.0_f32, 0.0_f32); 24];
        let of_week = week.hours();
        let hours = of_week.filter(|h| only.is_none_or(|o| h % 24 == o));
        for hour in hours {
            self.hours.push(hour);
            if let Some(radiance) = inputs.sky.hour(hour) {
                for (sum, l) in part.sky.iter_mut().zip(radiance) {
                    *sum += l * PPFD_PER_SKY_W_M2 as f32;
                }
            }
            let level = (value(&t.global_w_m2, hour) - value(&t.sky_w_m2, hour)).max(0.0);
            let sums = &mut by_hour[hour % 24];
            sums.0 += level * PPFD_PER_BEAM_W_M2 as f32;
            sums.1 += value(&t.beam_w_m2, hour) * PPFD_PER_BEAM_W_M2 as f32;
        }
        let middle = week.first_day().index() + 3;
        let mut lost = (0.0, 0.0);
        let mut added = (0.0, 0.0);
        let begin = part.suns.len();
        for (h, (level, square)) in by_hour.into_iter().enumerate() {
            let hour = middle * 24 + h;
            match suns.binary_search_by_key(&hour, |s| s.hour) {
                Ok(k) if level > 0.0 || square > 0.0 => {
                    added = (added.0 + level, added.1 + square);
                    part.suns.push(Sun {
                        hour,
                        moments: suns[k].moments,
                        level,
                        square,
                    });
                }
                Ok(_) => {}
                // An hour in which only the week's first or last days have sun.
                Err(_) => lost = (lost.0 + level, lost.1 + square),
            }
        }
        let grown = |lost: f32, added: f32| 1.0 + if added > 0.0 { lost / added } else { 0.0 };
        for sun in part.suns.iter_mut().skip(begin) {
            sun.level *= grown(lost.0, added.0);
            sun.square *= grown(lost.1, added.1);
        }
    }

    /// Directions of the light on the open level, in PPFD hours a unit.
    pub fn lamps(&self, inputs: &LightInputs<'_>, dome: &Dome, fineness: Fineness) -> Lamps {
        let mut found: Vec<(Vec3, Vec<f64>)> = Vec::new();
        let parts = self.parts.len();
        let rays = dome.rays(if fineness == Fineness::Fine { 2 } else { 1 });
        let mut level = vec![0.0_f64; inputs.sky.patches.len()];
        for r in &rays {
            level[usize::from(r.patch)] += f64::from(r.dir.z * r.sr);
        }
        for r in &rays {
            let patch = usize::from(r.patch);
            let weight = inputs.sky.patches[patch].level_weight_sr() * f64::from(r.dir.z * r.sr)
                / level[patch].max(1e-12);
            let of = |p: &Part| f64::from(p.sky.get(patch).copied().unwrap_or(0.0)) * weight;
            found.push((r.dir, self.parts.iter().map(of).collect()));
        }
        for (k, part) in self.parts.iter().enumerate() {
            for sun in &part.suns {
                let all: f32 = sun.moments.iter().map(|m| m.z).sum();
                let moments: Vec<(Vec3, f32)> = match fineness {
                    Fineness::Fine => sun.moments.map(|m| (m, sun.level * m.z / all)).to_vec(),
                    Fineness::Coarse => vec![(sun.moments[1], sun.level)],
                };
                for (dir, weight) in moments {
                    let mut weights = vec![0.0; parts];
                    weights[k] = f64::from(weight);
                    found.push((dir, weights));
                }
            }
        }
        whole(
            found,
            &self.parts.iter().map(|p| p.state).collect::<Vec<_>>(),
        )
    }
}

/// A moment of a clear day in the middle of a week.
#[derive(Clone, Copy, Debug)]
pub struct Moment {
    /// Hour of the year.
    pub hour: usize,
    pub dir: Vec3,
    pub state: usize,
    /// Hours a day that it stands for, averaged over the span.
    pub hours: f64,
}

/// The sun at every tenth minute.
pub fn clear_moments(inputs: &LightInputs<'_>, ask: &Ask) -> Vec<Moment> {
    const STEP_H: f64 = 1.0 / 6.0;
    let weeks: Vec<Week> = ask.span.weeks().collect();
    let mut found = Vec::new();
    for week in &weeks {
        let day = week.first_day().index() + 3;
        for step in 0..(24.0 / STEP_H) as usize {
            let time = (step as f64 + 0.5) * STEP_H;
            if ask.hour.is_some_and(|h| time as usize != h) {
                continue;
            }
            if let Some(dir) = sun_path::direction_at(inputs.place, inputs.sun, day, time)
                && dir.z > 0.0
            {
                found.push(Moment {
                    hour: day * 24 + time as usize,
                    dir: dir.as_vec3(),
                    state: usize::from(inputs.scene.state_of_month[week.month0()]),
                    hours: STEP_H / weeks.len() as f64,
                });
            }
        }
    }
    found
}

/// Directions of the sun on clear days, in hours a day a unit.
pub fn sun_lamps(moments: &[Moment], fineness: Fineness) -> Lamps {
    let step = if fineness == Fineness::Fine { 1 } else { 3 };
    let mut states: Vec<usize> = moments.iter().map(|m| m.state).collect();
    states.sort_unstable();
    states.dedup();
    let weights = |m: &Moment| {
        let hours = m.hours * step as f64;
        let of = |s: &usize| if *s == m.state { hours } else { 0.0 };
        states.iter().map(of).collect()
    };
    let some = moments.iter().skip(step / 2).step_by(step);
    let found = some.map(|m| (m.dir, weights(m))).collect();
    whole(found, &states)
}

fn whole(found: Vec<(Vec3, Vec<f64>)>, states: &[usize]) -> Lamps {
    let sum: f64 = found.iter().flat_map(|(_, w)| w).sum();
    let unit = if sum > 0.0 { sum / WHOLE } else { 1.0 };
    let list = found
        .into_iter()
        .map(|(dir, weights)| Lamp {
            dir,
            parts: states
                .iter()
                .zip(weights)
                .map(|(s, w)| (*s, (w / unit).round() as u32))
                .collect(),
        })
        .filter(|l| l.parts.iter().any(|(_, w)| *w > 0))
        .collect();
    Lamps { list, unit }
}

impl Lamps {
    /// Sum of all weights.
    pub fn all(&self) -> u64 {
        let weights = self.list.iter().flat_map(|l| &l.parts);
        weights.map(|(_, w)| u64::from(*w)).sum()
    }
}

impl Ask {
    /// PPFD hours of the span in the quantity's unit.
    pub fn per_ppfd_h(&self, supply: &Supply) -> f64 {
        let days = supply.days.max(1) as f64;
        match self.quantity {
            Quantity::Dli => crate::base::units::dli_from_ppfd(1.0, 1.0) / days,
            Quantity::Ppfd => 1.0 / (supply.hours.len().max(1) as f64),
            Quantity::SunHours => 1.0,
        }
    }
}
