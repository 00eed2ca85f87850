//! How a climate hurries or holds back the stages.
//!
//! What begins in spring waits for warmth: it comes on the day on which as much of it has been gathered here as on
//! the kind's date in the climate that the dates are written for. Warmth is gathered as degree-days above 5 °C from
//! the middle of winter on (McMaster & Wilhelm 1997, Agric. For. Meteorol. 87:291, eq. 1, the mean of maximum and
//! minimum less a base; 5 °C is the base usual for plants of cool seasons). What begins in autumn comes a day later for
//! each kelvin by which that day is warmer here (leaf colouring in Europe: 1 day per kelvin; Menzel and others 2006,
//! Glob. Change Biol. 12:1969). Between midsummer and the equinox, and in December and January, one goes over into
//! the other. Flower setting after spring, and rest, go by autumn's rule alone.

use crate::{
    base::{Day, Hemisphere, calendar::DAYS},
    climate::FilledNormals,
    needs::{Kind, StageName},
};

/// Base of the degree-days, °C.
const BASE_C: f64 = 5.0;

/// Days that an autumn stage comes later for each kelvin.
const AUTUMN_D_PER_K: f64 = 1.0;

/// Monthly means of the climate that the kinds' dates are written for, °C, northern: a mild temperate one such as
/// that of south-west England or the coast of the Pacific North-West. Our choice, rounded from memory.
const WRITTEN_FOR_C: [f64; 12] = [
    5.0, 5.5, 7.5, 9.5, 12.5, 15.5, 17.5, 17.5, 15.0, 12.0, 8.0, 5.5,
];

/// A plant in a pot is carried out of the worst of its climate: of what the open air does to the dates it feels this
/// share at most (our choice).
const FELT: f64 = 0.5;

/// Kinds that stay out until this temperature feel all of that share, °C, and those that come in at the next, none:
/// they live by the house. Our choice.
const FELT_ALL_C: f64 = 3.0;
const FELT_NONE_C: f64 = 12.0;

/// No date moves further than this, days (our choice).
pub const FARTHEST_D: f64 = 21.0;

/// Middle of winter, first of June, midsummer, equinox, first of December and last of January, northern days.
const MIDWINTER: usize = 14;
const JUNE: usize = 151;
const MIDSUMMER: usize = 171;
const EQUINOX: usize = 265;
const DECEMBER: usize = 334;
const JANUARY_END: usize = 30;

/// Warmth of a place through the year, by northern days.
#[derive(Clone, Debug, PartialEq)]
pub struct Warmth {
    here: Course,
    written_for: Course,
}

impl Warmth {
    /// Of a climate's normals: what is to be expected in any year, not what one year brought.
    #[must_use]
    pub fn of(normals: &FilledNormals, hemisphere: Hemisphere) -> Self {
        let monthly: [f64; 12] =
            std::array::from_fn(|m| f64::midpoint(normals.night_min_c[m], normals.day_max_c[m]));
        Self {
            here: Course::of(&monthly, hemisphere),
            written_for: Course::of(&WRITTEN_FOR_C, Hemisphere::North),
        }
    }

    /// Days that a stage of a kind begins later here than on its northern date; earlier if negative.
    #[must_use]
    pub fn later_d(&self, kind: &Kind, stage: StageName, northern: Day) -> i64 {
        let bring_in = kind.damage.bring_in_c.value;
        let felt = FELT * ((FELT_NONE_C - bring_in) / (FELT_NONE_C - FELT_ALL_C)).clamp(0.0, 1.0);
        let days = felt * self.open_air_d(northern.index(), waits_for_cool(stage, northern));
        days.clamp(-FARTHEST_D, FARTHEST_D).round() as i64
    }

    /// The same for a plant that stays in the open air.
    fn open_air_d(&self, day: usize, waits_for_cool: bool) -> f64 {
        let spring = if waits_for_cool {
            0.0
        } else {
            self.spring_share(day)
        };
        let mut later = 0.0;
        if spring > 0.0 {
            later += spring * self.by_heat_d(day);
        }
        if spring < 1.0 {
            let warmer = self.here.mean_c[day] - self.written_for.mean_c[day];
            later += (1.0 - spring) * AUTUMN_D_PER_K * warmer;
        }
        later
    }

    /// Share of spring's rule in a date, 0..=1.
    fn spring_share(&self, day: usize) -> f64 {
        let part = |from: usize, to: usize| (day as f64 - from as f64) / (to - from) as f64;
        if day >= DECEMBER || day <= JANUARY_END {
            let since_december = (day + DAYS - DECEMBER) % DAYS;
            since_december as f64 / (JANUARY_END + DAYS - DECEMBER) as f64
        } else if day <= MIDSUMMER {
            1.0
        } else if day < EQUINOX {
            1.0 - part(MIDSUMMER, EQUINOX)
        } else {
            0.0
        }
    }

    fn by_heat_d(&self, day: usize) -> f64 {
        // Before the middle of winter nothing is gathered.
        if !(MIDWINTER..DECEMBER).contains(&day) {
            return 0.0;
        }
        let wanted = self.written_for.gathered_k_d[day];
        self.here.day_of(wanted) - self.written_for.day_of(wanted)
    }
}

/// Flower setting from June on, and rest, wait for cool nights: no warmth of spring hurries them.
fn waits_for_cool(stage: StageName, northern: Day) -> bool {
    match stage {
        StageName::Initiation => (JUNE..DECEMBER).contains(&northern.index()),
        StageName::Rest => northern.index() >= JUNE,
        _ => false,
    }
}

/// The course of a year, by northern days.
#[derive(Clone, Debug, PartialEq)]
struct Course {
    mean_c: Vec<f64>,
    /// Degree-days since the middle of winter; 0 before.
    gathered_k_d: Vec<f64>,
}

impl Course {
    fn of(monthly_c: &[f64; 12], hemisphere: Hemisphere) -> Self {
        let local = by_day(monthly_c);
        let mean_c: Vec<f64> = (0..DAYS)
            .map(|d| local[hemisphere.shift(Day::new(d)).index()])
            .collect();
        let mut sum = 0.0;
        let gathered_k_d = mean_c
            .iter()
            .enumerate()
            .map(|(day, mean)| {
                if day >= MIDWINTER {
                    sum += (mean - BASE_C).max(0.0);
                }
                sum
            })
            .collect();
        Self {
            mean_c,
            gathered_k_d,
        }
    }

    /// The day, with its fraction, on which so much has been gathered; the year's end where it never is.
    fn day_of(&self, wanted_k_d: f64) -> f64 {
        let after = self.gathered_k_d.partition_point(|g| *g < wanted_k_d);
        if after == 0 {
            return 0.0;
        }
        let Some(reached) = self.gathered_k_d.get(after) else {
            return DAYS as f64;
        };
        let before = self.gathered_k_d[after - 1];
        let step = reached - before;
        let part = if step > 0.0 {
            (wanted_k_d - before) / step
        } else {
            1.0
        };
        (after - 1) as f64 + part
    }
}

/// Monthly means to daily ones, straight from the middle of a month to the middle of the next.
fn by_day(monthly: &[f64; 12]) -> Vec<f64> {
    let middles: Vec<f64> = crate::base::calendar::MONTH_STARTS
        .windows(2)
        .map(|m| (m[0] + m[1]) as f64 / 2.0)
        .collect();
    (0..DAYS)
        .map(|day| {
            let at = day as f64 + 0.5;
            let next = middles.partition_point(|m| *m <= at);
            let before = (next + 11) % 12;
            let from = middles[before] - if next == 0 { DAYS as f64 } else { 0.0 };
            let to = middles[next % 12] + if next == 12 { DAYS as f64 } else { 0.0 };
            let part = (at - from) / (to - from);
            monthly[before] + part * (monthly[next % 12] - monthly[before])
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{base::Id, needs::library};
    use proptest::prelude::*;

    fn normals(monthly: [f64; 12]) -> FilledNormals {
        FilledNormals {
            night_min_c: monthly.map(|m| m - 4.0),
            day_max_c: monthly.map(|m| m + 4.0),
            ..FilledNormals::default()
        }
    }

    fn kind(id: &str) -> &'static Kind {
        library::kinds().get(&Id::new(id)).unwrap()
    }

    #[test]
    fn the_climate_that_the_dates_are_written_for_moves_none() {
        let warmth = Warmth::of(&normals(WRITTEN_FOR_C), Hemisphere::North);
        for (id, kind) in library::kinds().iter() {
            for stage in &kind.stages {
                let day = stage.from.day_of_year();
                assert_eq!(warmth.later_d(kind, stage.stage, day), 0, "{id} {day}");
            }
        }
    }

    #[test]
    fn spring_comes_early_and_autumn_late_where_it_is_warm() {
        let warm = Warmth::of(&normals(WRITTEN_FOR_C.map(|m| m + 4.0)), Hemisphere::North);
        let cold = Warmth::of(&normals(WRITTEN_FOR_C.map(|m| m - 4.0)), Hemisphere::North);
        let bay = kind("bay");
        let (april, november) = (Day::new(100), Day::new(304));
        let growth = |w: &Warmth, day| w.later_d(bay, StageName::Growth, day);
        assert!(growth(&warm, april) < -7 && growth(&cold, april) > 7);
        assert!(growth(&warm, november) > 0 && growth(&cold, november) < 0);
        // Cymbidiums do not set before the nights cool, however early their growth was.
        let july = Day::new(200);
        let set = warm.later_d(kind("cymbidium-standard"), StageName::Initiation, july);
        assert!((0..=4).contains(&set), "{set}");
        // Four kelvin, one day each, half of it felt.
        assert_eq!(growth(&warm, november), 2);
        // What lives by the house does not ask the garden.
        assert_eq!(
            cold.later_d(kind("phalaenopsis"), StageName::Growth, april),
            0
        );
    }

    #[test]
    fn verify_gathered_warmth_by_hand() {
        // Ten degrees all year: five degree-days a day from 15 January on.
        let course = Course::of(&[10.0; 12], Hemisphere::North);
        assert!((course.gathered_k_d[MIDWINTER] - 5.0).abs() < 1e-9);
        assert!((course.gathered_k_d[113] - 500.0).abs() < 1e-9);
        assert!((course.day_of(500.0) - 113.0).abs() < 1e-9);
        assert!((course.day_of(1e9) - 365.0).abs() < 1e-9);
    }

    proptest! {
        #[test]
        fn a_date_moves_within_its_bounds_and_the_same_in_the_south(
            mean_c in -8.0..28.0_f64, half_range_k in 0.0..22.0_f64, coldest in 0.0..0.1_f64,
            day in 0..DAYS, which in 0..57_usize
        ) {
            let monthly: [f64; 12] = std::array::from_fn(|m| {
                mean_c - half_range_k * ((m as f64 - coldest) / 12.0 * std::f64::consts::TAU).cos()
            });
            let kinds = library::kinds();
            let kind = kinds.values().nth(which % kinds.len()).unwrap();
            let north = Warmth::of(&normals(monthly), Hemisphere::North);
            let later = north.later_d(kind, StageName::Growth, Day::new(day));
            prop_assert!(later.abs() as f64 <= FARTHEST_D);
            let mut turned = monthly;
            turned.rotate_left(6);
            let south = Warmth::of(&normals(turned), Hemisphere::South);
            // Half years of months differ by up to four days, and late in a cold winter warmth gathers slowly.
            prop_assert!((south.later_d(kind, StageName::Growth, Day::new(day)) - later).abs() <= 6);
        }
    }
}
