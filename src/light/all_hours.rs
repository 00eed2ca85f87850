//! Every hour of the year at all spots at once: what holds for an hour at every spot is done once, and what a spot
//! gets of every hour's sky is one product of tables.

use std::ops::Range;

use rayon::prelude::*;

use super::{
    SpotLight,
    dome::DomeRay,
    flow::Flow,
    product::{self, Column, Skies, Table},
    readings,
    scene::fan::Fan,
    sight::{self, weights},
    sun_path::{self, HourShares, LOOKS, SunHour, Way},
    works::Works,
    year::{ClearMoment, Ready, STEP_H, Seen, Year, typical_shine},
};
use crate::{
    base::{
        Cancelled, Day, Progress, Week,
        calendar::{DAYS, HOURS},
        lanes,
        units::{PPFD_PER_BEAM_W_M2, PPFD_PER_SKY_W_M2, dli_from_ppfd},
    },
    site::{Site, Spot},
};

/// Skies by patch and by group.
#[derive(Default)]
struct Rows {
    patches: Vec<f32>,
    groups: Vec<f32>,
    states: Vec<(Range<usize>, usize)>,
}

impl Rows {
    fn of(works: &Works<'_>, patches: Vec<f32>, state_of: impl Fn(usize) -> usize) -> Self {
        let dome = &works.dome;
        let rows = patches.len() / dome.patches.max(1);
        let mut groups = vec![0.0; rows * dome.groups];
        groups
            .par_chunks_mut(dome.groups.max(1))
            .with_min_len(64)
            .zip(patches.par_chunks(dome.patches.max(1)))
            .for_each(|(groups, patches)| dome.blend(patches, groups));
        Self {
            patches,
            groups,
            states: stretches(rows, state_of),
        }
    }
}

/// Rows of the same state that follow one another.
fn stretches(rows: usize, state_of: impl Fn(usize) -> usize) -> Vec<(Range<usize>, usize)> {
    let mut states: Vec<(Range<usize>, usize)> = Vec::new();
    for row in 0..rows {
        let state = state_of(row);
        match states.last_mut() {
            Some((stretch, last)) if *last == state => stretch.end = row + 1,
            _ => states.push((row..row + 1, state)),
        }
    }
    states
}

/// What all spots share.
pub struct AllHours<'y, 'a> {
    year: &'y Year<'a>,
    /// Hours with a sky, in the order of the sky's rows.
    bright: Vec<usize>,
    groups: Vec<f32>,
    states: Vec<(Range<usize>, usize)>,
    /// Sums over the hours of each day.
    daily: Rows,
    /// Clear skies: 24 rows a week.
    clear: Rows,
    /// The sun at all looks of the hours, then at all moments of the clear days, and the state of each.
    beams: Fan,
    beam_states: Vec<u16>,
    /// Directions in the order given, with their weights on the receptors.
    directions: Vec<glam::Vec3>,
    beam_weights: Vec<[f32; sight::RECEPTORS]>,
    /// An open level place and an open cylinder, by patch.
    open: [Vec<f32>; sight::RECEPTORS],
}

/// Which columns of the tables belong to a group of panes at a spot.
struct Columns {
    spot: usize,
    group: usize,
    /// Coverings change by the hour: the cylinder's light can't be had from daily sums.
    hourly: bool,
    /// First column of the level's and cylinder's flows.
    sky: usize,
    thrown: usize,
    daily: usize,
}

/// Light of one hour, or sums over a day's hours, for a group: level and cylinder.
#[derive(Clone, Copy, Default)]
struct Parts {
    sky: f32,
    thrown: f32,
    scattered: f32,
}

struct Tables {
    columns: Vec<Columns>,
    sky: Table,
    thrown: Table,
    clear_sky: Table,
    clear_thrown: Table,
    daily_sky: Table,
    daily_thrown: Table,
}

impl<'y, 'a> AllHours<'y, 'a> {
    pub fn of(year: &'y Year<'a>) -> Self {
        let (works, inputs) = (&year.works, year.inputs);
        let scene = works.scene;
        let n = works.dome.patches.max(1);
        let state_of_day = |day: usize| usize::from(scene.state_of_month[Day::new(day).month0()]);
        let mut bright = vec![0; inputs.sky.radiance.len() / n];
        for (hour, row) in inputs.sky.row_of_hour.iter().enumerate() {
            if let Some(slot) = row.and_then(|row| bright.get_mut(usize::from(row))) {
                *slot = hour;
            }
        }
        let mut groups = vec![0.0; bright.len() * works.dome.groups];
        groups
            .par_chunks_mut(works.dome.groups.max(1))
            .with_min_len(64)
            .zip(inputs.sky.radiance.par_chunks(n))
            .for_each(|(groups, patches)| works.dome.blend(patches, groups));
        let states = stretches(bright.len(), |row| state_of_day(bright[row] / 24));
        let mut daily = vec![0.0; DAYS * n];
        lanes::widest(
            #[inline(always)]
            || {
                for (hour, radiance) in bright.iter().zip(inputs.sky.radiance.chunks(n)) {
                    let day = hour / 24 % DAYS;
                    for (sum, l) in daily[day * n..(day + 1) * n].iter_mut().zip(radiance) {
                        *sum += l;
                    }
                }
            },
        );
        let mut clear = vec![0.0; year.clear_skies.len() * n];
        for (row, sky) in clear.chunks_mut(n).zip(&year.clear_skies) {
            if sky.len() == row.len() {
                row.copy_from_slice(sky);
            }
        }
        let hours = year.sun_hours().iter().flat_map(|sun| {
            let state = state_of_day(sun.hour / 24) as u16;
            sun_path::looks(sun.moments).map(move |dir| (dir, state))
        });
        let clear_days = year.clear_days.iter().enumerate().flat_map(|(week, day)| {
            let state = state_of_day(clear_day(week)) as u16;
            day.iter().map(move |m| (m.dir, state))
        });
        let (directions, given_states): (Vec<glam::Vec3>, Vec<u16>) =
            hours.chain(clear_days).unzip();
        let beams = Fan::of(&directions);
        let open = std::array::from_fn(|c| {
            let mut open = vec![0.0; n];
            for DomeRay { dir, patch, sr } in &works.fine {
                open[usize::from(*patch)] += weights(*dir)[c] * sr;
            }
            open
        });
        Self {
            bright,
            groups,
            states,
            daily: Rows::of(works, daily, state_of_day),
            clear: Rows::of(works, clear, |row| state_of_day(clear_day(row / 24))),
            beam_states: beams
                .source
                .iter()
                .map(|i| given_states[*i as usize])
                .collect(),
            beam_weights: directions.iter().map(|d| weights(*d)).collect(),
            beams,
            directions,
            open,
            year,
        }
    }

    /// The year at each spot.
    ///
    /// # Errors
    /// [`Cancelled`].
    pub fn lights(
        &self,
        site: &Site,
        seen: &[Seen<'a>],
        spots: &[&Spot],
        progress: &Progress,
    ) -> Result<Vec<SpotLight>, Cancelled> {
        let tables = self.tables(seen);
        progress.check()?;
        seen.par_iter()
            .zip(spots)
            .enumerate()
            .map(|(k, (seen, spot))| {
                progress.check()?;
                Ok(self.light(&tables, k, seen, site, spot))
            })
            .collect()
    }

    fn tables(&self, seen: &[Seen<'a>]) -> Tables {
        let mut columns = Vec::new();
        let (mut sky, mut thrown): (Vec<Column<'_>>, Vec<Column<'_>>) = (Vec::new(), Vec::new());
        let (mut daily_sky, mut daily_thrown): (Vec<Column<'_>>, Vec<Column<'_>>) =
            (Vec::new(), Vec::new());
        for (spot, seen) in seen.iter().enumerate() {
            for (group, ready) in seen.ready.iter().enumerate() {
                let hourly = seen.covers(ready);
                columns.push(Columns {
                    spot,
                    group,
                    hourly,
                    sky: sky.len(),
                    thrown: thrown.len(),
                    daily: daily_sky.len(),
                });
                if hourly {
                    sky.extend(ready.sky.iter().map(Vec::as_slice));
                    let flows = ready.thrown.iter().chain(&ready.scattered);
                    thrown.extend(flows.map(|f| f.sky.as_slice()));
                } else {
                    sky.push(&ready.sky[0]);
                    thrown.push(&ready.thrown[0].sky);
                    daily_sky.push(&ready.sky[1]);
                    daily_thrown.push(&ready.thrown[1].sky);
                }
            }
        }
        let works = &self.year.works;
        let by_patch = |radiance, states, open: usize, columns: &[Column<'_>]| {
            let skies = Skies {
                parts: works.dome.patches,
                radiance,
                states,
            };
            product::table(&skies, &self.open[open], columns)
        };
        let nothing = vec![0.0; works.dome.groups];
        let by_group = |radiance, states, columns: &[Column<'_>]| {
            let skies = Skies {
                parts: works.dome.groups,
                radiance,
                states,
            };
            product::table(&skies, &nothing, columns)
        };
        let (typical, daily, clear) = (&self.year.inputs.sky.radiance, &self.daily, &self.clear);
        Tables {
            sky: by_patch(typical, &self.states, 0, &sky),
            thrown: by_group(&self.groups, &self.states, &thrown),
            clear_sky: by_patch(&clear.patches, &clear.states, 0, &sky),
            clear_thrown: by_group(&clear.groups, &clear.states, &thrown),
            daily_sky: by_patch(&daily.patches, &daily.states, 1, &daily_sky),
            daily_thrown: by_group(&daily.groups, &daily.states, &daily_thrown),
            columns,
        }
    }

    fn light(
        &self,
        tables: &Tables,
        k: usize,
        seen: &Seen<'a>,
        site: &Site,
        spot: &Spot,
    ) -> SpotLight {
        let year = self.year;
        let mut light = SpotLight {
            beam_ppfd: vec![0.0; HOURS],
            sky_ppfd: vec![0.0; HOURS],
            reflected_ppfd: vec![0.0; HOURS],
            sunlit: vec![0.0; HOURS],
            upright_dli: vec![0.0; DAYS],
            dli: vec![0.0; DAYS],
            factors: seen.factors.clone(),
            ..SpotLight::default()
        };
        let mut of_spot = Vec::new();
        for columns in tables.columns.iter().filter(|c| c.spot == k) {
            if let Some(ready) = seen.ready.get(columns.group) {
                of_spot.push((columns, ready));
            }
        }
        // First in physical units; PPFD by source at the end.
        let mut cylinder = vec![0.0_f32; DAYS];
        // Its direct part, which is corrected apart.
        let mut cylinder_beam = vec![0.0_f32; DAYS];
        self.skies(tables, &of_spot, seen, &mut light, &mut cylinder);
        let shares = self.shares(seen);
        let around = [cylinder.as_mut_slice(), cylinder_beam.as_mut_slice()];
        self.beams(&of_spot, seen, &shares, &mut light, around);
        let sum = |v: &[f32]| v.iter().map(|x| f64::from(*x)).sum::<f64>();
        let direct = sum(&light.beam_ppfd);
        let all = direct + sum(&light.sky_ppfd) + sum(&light.reflected_ppfd);
        let share = if all > 0.0 { direct / all } else { 0.0 };
        (light.correction, light.readings) = readings::of_spot(year, seen, site, spot, share);
        let by_sun = light.correction.direct_factor as f32;
        let by_sky = light.correction.sky_factor as f32;
        self.clear_days(
            tables,
            &of_spot,
            seen,
            &shares,
            (by_sun, by_sky),
            &mut light,
        );
        for (list, factor) in [
            (&mut light.beam_ppfd, by_sun),
            (&mut light.sky_ppfd, by_sky),
            (&mut light.reflected_ppfd, by_sky),
        ] {
            list.iter_mut().for_each(|v| *v *= factor);
        }
        let dli = |ppfd_hours: f32| dli_from_ppfd(f64::from(ppfd_hours), 1.0) as f32;
        for (day, (cylinder, beam)) in cylinder.iter().zip(&cylinder_beam).enumerate() {
            let hours = day * 24..day * 24 + 24;
            let level: f32 = hours
                .map(|h| light.beam_ppfd[h] + light.sky_ppfd[h] + light.reflected_ppfd[h])
                .sum();
            light.dli[day] = dli(level);
            light.upright_dli[day] = dli(0.5 * level + 0.5 * (by_sky * cylinder + by_sun * beam));
        }
        light
    }

    /// Light of the sky, straight and thrown.
    fn skies(
        &self,
        tables: &Tables,
        of_spot: &[(&Columns, &Ready)],
        seen: &Seen<'a>,
        light: &mut SpotLight,
        cylinder: &mut [f32],
    ) {
        let per_sky = PPFD_PER_SKY_W_M2 as f32;
        for (columns, ready) in of_spot {
            for (row, hour) in self.bright.iter().copied().enumerate() {
                let [level, upright] = columns.parts(tables.sky.row(row), tables.thrown.row(row));
                if columns.hourly {
                    let (straight, part) = self.covered(seen, ready, hour);
                    light.sky_ppfd[hour] += straight * level.sky * per_sky;
                    light.reflected_ppfd[hour] += per_sky * level.around(straight, part);
                    cylinder[hour / 24] +=
                        per_sky * (straight * upright.sky + upright.around(straight, part));
                } else {
                    light.sky_ppfd[hour] += level.sky * per_sky;
                    light.reflected_ppfd[hour] += level.thrown * per_sky;
                }
            }
            if !columns.hourly {
                for (day, sum) in cylinder.iter_mut().enumerate() {
                    let at = |table: &Table| table.row(day).get(columns.daily).copied();
                    let sky = at(&tables.daily_sky).unwrap_or(0.0);
                    let thrown = at(&tables.daily_thrown).unwrap_or(0.0);
                    *sum += per_sky * (sky + thrown);
                }
            }
        }
    }

    fn covered(&self, seen: &Seen<'a>, ready: &Ready, hour: usize) -> (f32, f32) {
        let month0 = Day::new(hour / 24).month0();
        seen.covered(&ready.panes, month0, self.year.clock_h(hour))
    }

    /// Share of the beam that arrives at each moment, coverings left out; indoors with the pane.
    fn shares(&self, seen: &Seen<'a>) -> Vec<(f32, u16)> {
        let scene = self.year.works.scene;
        match &seen.room {
            None => super::scene::outlook::Outlook::default()
                .beams(scene, &self.beams, &self.beam_states, seen.at)
                .into_iter()
                .map(|share| (share, 0))
                .collect(),
            Some(room) => {
                let mut states = vec![0; self.directions.len()];
                for (source, state) in self.beams.source.iter().zip(&self.beam_states) {
                    states[*source as usize] = *state;
                }
                self.directions
                    .iter()
                    .zip(states)
                    .map(|(dir, state)| {
                        sight::beam_indoors(scene, room, seen.at, *dir, state.into())
                            .map_or((0.0, 0), |(pane, share)| (share, pane as u16))
                    })
                    .collect()
            }
        }
    }

    /// What coverings leave of a share of the beam.
    fn uncovered(&self, seen: &Seen<'a>, (share, pane): (f32, u16), hour: usize) -> f32 {
        if share <= 0.0 || seen.room.is_none() {
            return share;
        }
        let month0 = Day::new(hour / 24).month0();
        let clock_h = self.year.clock_h(hour);
        share * seen.covered(&[usize::from(pane)], month0, clock_h).0
    }

    /// Light of the beam, straight and thrown.
    fn beams(
        &self,
        of_spot: &[(&Columns, &Ready)],
        seen: &Seen<'a>,
        shares: &[(f32, u16)],
        light: &mut SpotLight,
        [cylinder, cylinder_beam]: [&mut [f32]; 2],
    ) {
        let per_beam = PPFD_PER_BEAM_W_M2 as f32;
        let hours = self.year.sun_hours();
        let of_hour = |k: usize| -> [f32; LOOKS] {
            let (Some(sun), Some(shares)) = (hours.get(k), shares.get(k * LOOKS..)) else {
                return [0.0; LOOKS];
            };
            let at = |m: usize| shares.get(m).copied().unwrap_or_default();
            std::array::from_fn(|m| self.uncovered(seen, at(m), sun.hour))
        };
        let mut last: Option<(usize, [f32; LOOKS])> = None;
        let mut now = of_hour(0);
        for (k, sun) in hours.iter().enumerate() {
            let shine = typical_shine(self.year, sun);
            let next = of_hour(k + 1);
            let follows = hours.get(k + 1).is_some_and(|n| n.hour == sun.hour + 1);
            let around = HourShares {
                looks: now,
                before: last
                    .filter(|(hour, _)| hour + 1 == sun.hour)
                    .map_or(now[0], |(_, shares)| shares[LOOKS - 1]),
                after: if follows { next[0] } else { now[LOOKS - 1] },
            };
            let (mut share, mut level, mut open, mut upright) = (0.0, 0.0, 0.0, 0.0);
            let mut add = |w: [f32; sight::RECEPTORS], s: f32, part: f32| {
                share += part * s;
                level += part * s * w[0];
                open += part * w[0];
                upright += part * s * w[1];
            };
            let look = |m: usize| {
                let w = self.beam_weights.get(k * LOOKS + m);
                w.copied().unwrap_or_default()
            };
            if around.even() {
                for (m, s) in now.into_iter().enumerate() {
                    add(look(m), s, 1.0 / LOOKS as f32);
                }
            } else {
                let month0 = Day::new(sun.hour / 24).month0();
                let clock_h = self.year.clock_h(sun.hour);
                around.follow(
                    sun.moments,
                    |dir| seen.beam_share(dir, month0, clock_h),
                    |way, s, part| {
                        let w = match way {
                            Way::At(dir) => weights(dir),
                            Way::Between(m) => {
                                let [a, b] = [look(m - 1), look(m)];
                                std::array::from_fn(|c| f32::midpoint(a[c], b[c]))
                            }
                        };
                        add(w, s, part);
                    },
                );
            }
            last = Some((sun.hour, now));
            now = next;
            let hour = sun.hour;
            light.sunlit[hour] = share * sun.up_share;
            if open > 0.0 {
                light.beam_ppfd[hour] = level / open * shine.level_beam_w_m2 * per_beam;
            }
            let [thrown, glow] = self.thrown_beam(of_spot, seen, sun);
            light.reflected_ppfd[hour] += per_beam * thrown * shine.beam_w_m2;
            cylinder[hour / 24] += per_beam * glow * shine.beam_w_m2;
            cylinder_beam[hour / 24] += per_beam * upright * shine.beam_w_m2;
        }
    }

    /// Light thrown on the level and the cylinder by a beam of 1.
    fn thrown_beam(
        &self,
        of_spot: &[(&Columns, &Ready)],
        seen: &Seen<'a>,
        sun: &SunHour,
    ) -> [f32; sight::RECEPTORS] {
        let k = Works::sun_of_hour(sun.hour);
        let mut sum = [0.0; sight::RECEPTORS];
        for (columns, ready) in of_spot {
            let (straight, part) = if columns.hourly {
                self.covered(seen, ready, sun.hour)
            } else {
                (1.0, 0.0)
            };
            let at = |flow: &Flow| flow.beam.get(k).copied().unwrap_or(0.0);
            for (c, sum) in sum.iter_mut().enumerate() {
                *sum += straight * at(&ready.thrown[c]) + part * at(&ready.scattered[c]);
            }
        }
        sum
    }

    fn clear_days(
        &self,
        tables: &Tables,
        of_spot: &[(&Columns, &Ready)],
        seen: &Seen<'a>,
        shares: &[(f32, u16)],
        (by_sun, by_sky): (f32, f32),
        light: &mut SpotLight,
    ) {
        let first = shares.len() - self.year.clear_days.iter().map(Vec::len).sum::<usize>();
        let mut shares = shares[first..].iter().copied();
        for (week, moments) in self.year.clear_days.iter().enumerate() {
            let (mut peak, mut sun_h) = (0.0_f32, 0.0);
            let day = clear_day(week);
            for of_hour in moments.chunk_by(|a, b| a.hour == b.hour) {
                let Some(ClearMoment { hour, .. }) = of_hour.first() else {
                    continue;
                };
                let row = week * 24 + hour;
                let hour = day * 24 + hour;
                // For a sky of 1 and a beam of 1.
                let mut sky = 0.0;
                for (columns, ready) in of_spot {
                    let [level, _] =
                        columns.parts(tables.clear_sky.row(row), tables.clear_thrown.row(row));
                    let (straight, part) = if columns.hourly {
                        self.covered(seen, ready, hour)
                    } else {
                        (1.0, 0.0)
                    };
                    sky += straight * level.sky + level.around(straight, part);
                }
                let sun = SunHour {
                    hour,
                    up_share: 1.0,
                    moments: Default::default(),
                };
                let [thrown, _] = self.thrown_beam(of_spot, seen, &sun);
                for m in of_hour {
                    let share = self.uncovered(seen, shares.next().unwrap_or_default(), hour);
                    let per_beam = m.beam_w_m2 * PPFD_PER_BEAM_W_M2 as f32;
                    let around = thrown * per_beam + sky * m.sky_w_m2 * PPFD_PER_SKY_W_M2 as f32;
                    let ppfd = by_sun * share * m.dir.z * per_beam + by_sky * around;
                    peak = peak.max(ppfd);
                    sun_h += STEP_H as f32 * (share * 2.0).min(1.0);
                }
            }
            light.clear_peak_ppfd.push(peak);
            light.clear_sun_h.push(sun_h);
        }
    }
}

impl Columns {
    /// The level's and the cylinder's light; of the cylinder only where that is had by the hour.
    fn parts(&self, sky: &[f32], thrown: &[f32]) -> [Parts; sight::RECEPTORS] {
        let at = |list: &[f32], k: usize| list.get(k).copied().unwrap_or(0.0);
        if self.hourly {
            std::array::from_fn(|c| Parts {
                sky: at(sky, self.sky + c),
                thrown: at(thrown, self.thrown + c),
                scattered: at(thrown, self.thrown + sight::RECEPTORS + c),
            })
        } else {
            let level = Parts {
                sky: at(sky, self.sky),
                thrown: at(thrown, self.thrown),
                scattered: 0.0,
            };
            [level, Parts::default()]
        }
    }
}

impl Parts {
    /// What arrives by way of surfaces and coverings.
    fn around(self, straight: f32, part: f32) -> f32 {
        straight * self.thrown + part * self.scattered
    }
}

/// The day that stands for a week's clear days.
pub fn clear_day(week: usize) -> usize {
    Week::new(week).first_day().index() + 3
}
