//! A kind held against the climate of the open, week by week and month by month: could it live there, and when not?

use serde::Serialize;

use crate::{
    base::{
        Hemisphere, Week,
        calendar::{DAYS, MONTH_STARTS},
        units::{PPFD_PER_BEAM_W_M2, PPFD_PER_SKY_W_M2},
    },
    climate::{TypicalYear, Weather},
    needs::{Band, Kind, Needs, StageName},
    stages::{StageCalendar, Warmth},
};

/// A condition of the open that is held against a kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum OpenFactor {
    /// Light of a day on the level without anything in its way, mol m⁻² d⁻¹.
    Light,
    /// Mean of the air by day, °C.
    Days,
    /// Night minimum of the air, °C.
    Nights,
}

impl OpenFactor {
    pub const ALL: [Self; 3] = [Self::Light, Self::Days, Self::Nights];

    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Light => "light of a day",
            Self::Days => "days",
            Self::Nights => "nights",
        }
    }

    #[must_use]
    pub fn wanted(self, needs: &Needs) -> Band {
        match self {
            Self::Light => needs.dli.value,
            Self::Days => needs.day_c.value,
            Self::Nights => needs.night_c.value,
        }
    }

    /// What it is where it lies so in its range: `"too cold"`.
    #[must_use]
    pub fn words(self, lies: Lies) -> &'static str {
        match (self, lies) {
            (_, Lies::Ideal) => "as wanted",
            (Self::Light, Lies::Below) => "dimmer than wanted",
            (Self::Light, Lies::Above) => "brighter than wanted",
            (Self::Light, Lies::HarmLow) => "too dim",
            (Self::Light, Lies::HarmHigh) => "too bright",
            (_, Lies::Below) => "cooler than wanted",
            (_, Lies::Above) => "warmer than wanted",
            (_, Lies::HarmLow) => "too cold",
            (_, Lies::HarmHigh) => "too hot",
        }
    }
}

/// Where a figure lies in a range.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Lies {
    HarmLow,
    Below,
    Ideal,
    Above,
    HarmHigh,
}

impl Lies {
    #[must_use]
    pub fn of(value: f64, band: Band) -> Self {
        if value < band.ideal_low() {
            if value <= band.harm_low() {
                Self::HarmLow
            } else {
                Self::Below
            }
        } else if value > band.ideal_high() {
            if value >= band.harm_high() {
                Self::HarmHigh
            } else {
                Self::Above
            }
        } else {
            Self::Ideal
        }
    }
}

/// What the open offers in a week or month, and the stage that the kind is then in.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Open {
    pub light_mol_m2_d: f64,
    pub day_c: f64,
    pub night_c: f64,
    /// In the middle of it.
    pub stage: StageName,
    /// Its place in the kind's list.
    pub stage_place: usize,
}

impl Open {
    #[must_use]
    pub fn of(&self, factor: OpenFactor) -> f64 {
        match factor {
            OpenFactor::Light => self.light_mol_m2_d,
            OpenFactor::Days => self.day_c,
            OpenFactor::Nights => self.night_c,
        }
    }
}

/// A kind against the climate of the open.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AgainstClimate {
    /// 52 weeks of the calendar year, each the mean of itself and two on either side, weighed 1, 2, 3, 2, 1.
    pub weeks: Vec<Open>,
    /// January to December.
    pub months: Vec<Open>,
}

impl AgainstClimate {
    /// Where a factor lies in each month. Empty for a kind without stages.
    #[must_use]
    pub fn by_month(&self, kind: &Kind, factor: OpenFactor) -> Vec<Lies> {
        self.months
            .iter()
            .filter_map(|m| {
                let needs = &kind.stages.get(m.stage_place)?.needs;
                Some(Lies::of(m.of(factor), factor.wanted(needs)))
            })
            .collect()
    }

    /// `"Nights: too cold Dec to Feb; cooler than wanted Nov, Mar; as wanted Apr to Oct"`.
    #[must_use]
    pub fn told(&self, kind: &Kind, factor: OpenFactor) -> String {
        let lies = self.by_month(kind, factor);
        let mut name = factor.name().to_owned();
        if let Some(first) = name.get_mut(0..1) {
            first.make_ascii_uppercase();
        }
        let parts: Vec<String> = [
            Lies::HarmLow,
            Lies::HarmHigh,
            Lies::Below,
            Lies::Above,
            Lies::Ideal,
        ]
        .into_iter()
        .filter(|l| lies.contains(l))
        .map(|l| {
            let months: Vec<bool> = lies.iter().map(|m| *m == l).collect();
            format!("{} {}", factor.words(l), month_spans(&months))
        })
        .collect();
        format!("{name}: {}", parts.join("; "))
    }
}

const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

/// `"Nov to Feb, May"`: runs of months round the year; `"all year"` for all of them.
fn month_spans(on: &[bool]) -> String {
    let n = on.len();
    if n == 0 || on.iter().all(|m| *m) {
        return "all year".to_owned();
    }
    let is = |m: usize| on.get(m % n).copied().unwrap_or(false);
    (0..n)
        .filter(|m| is(*m) && !is(m + n - 1))
        .map(|first| {
            let length = (0..n).take_while(|k| is(first + k)).count();
            let name = |m: usize| MONTHS.get(m % 12).copied().unwrap_or_default();
            if length == 1 {
                name(first).to_owned()
            } else {
                format!("{} to {}", name(first), name(first + length - 1))
            }
        })
        .collect::<Vec<_>>()
        .join(", ")
}

/// Holds a kind against the typical year in the open; its stages as the climate moves them.
#[must_use]
pub fn against_climate(kind: &Kind, weather: &Weather, hemisphere: Hemisphere) -> AgainstClimate {
    let warmth = Warmth::of(&weather.normals, hemisphere);
    let calendar = StageCalendar::of_climate(kind, hemisphere, Some(&warmth));
    let days = open_days(&weather.typical);
    let put = |figures: [f64; 3], middle: usize| {
        let place = calendar.index_on(crate::base::Day::new(middle))?;
        let [light_mol_m2_d, day_c, night_c] = figures;
        Some(Open {
            light_mol_m2_d,
            day_c,
            night_c,
            stage: kind.stages.get(place)?.stage,
            stage_place: place,
        })
    };
    let week = |w: Week| mean(&days, w.days());
    let weeks = Week::all()
        .filter_map(|w| {
            let mut figures = [0.0; 3];
            for near in -2..=2_i64 {
                let of = week(w.plus(near));
                for (sum, value) in figures.iter_mut().zip(of) {
                    *sum += value * (3 - near.abs()) as f64 / 9.0;
                }
            }
            put(figures, w.first_day().index() + 3)
        })
        .collect();
    let months = MONTH_STARTS
        .windows(2)
        .filter_map(|ends| match ends {
            [from, to] => put(mean(&days, *from..*to), usize::midpoint(*from, *to)),
            _ => None,
        })
        .collect();
    AgainstClimate { weeks, months }
}

/// Light, mean by day and night minimum of each day of the typical year.
fn open_days(typical: &TypicalYear) -> Vec<[f64; 3]> {
    let at = |v: &[f32], h: usize| v.get(h).map_or(0.0, |v| f64::from(*v));
    (0..DAYS)
        .map(|d| {
            let (mut light, mut by_day, mut lit, mut all) = (0.0, 0.0, 0.0, 0.0);
            let mut lowest = f64::INFINITY;
            for h in d * 24..d * 24 + 24 {
                let (global, sky, air) = (
                    at(&typical.global_w_m2, h),
                    at(&typical.sky_w_m2, h),
                    at(&typical.air_c, h),
                );
                let ppfd = (global - sky).max(0.0) * PPFD_PER_BEAM_W_M2 + sky * PPFD_PER_SKY_W_M2;
                light += ppfd * 3600.0e-6;
                if global > 0.0 {
                    by_day += air;
                    lit += 1.0;
                }
                all += air / 24.0;
                lowest = lowest.min(air);
            }
            let day_c = if lit > 0.0 { by_day / lit } else { all };
            [light, day_c, lowest]
        })
        .collect()
}

fn mean(days: &[[f64; 3]], over: std::ops::Range<usize>) -> [f64; 3] {
    let of = days.get(over).unwrap_or_default();
    let n = of.len().max(1) as f64;
    let mut sums = [0.0; 3];
    for day in of {
        for (sum, value) in sums.iter_mut().zip(day) {
            *sum += value / n;
        }
    }
    sums
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{base::Id, needs::library};

    #[test]
    fn months_are_told_in_runs_round_the_year() {
        let on = |months: &[usize]| -> Vec<bool> { (0..12).map(|m| months.contains(&m)).collect() };
        assert_eq!(month_spans(&on(&[0, 1, 11])), "Dec to Feb");
        assert_eq!(month_spans(&on(&[2, 4, 5, 6])), "Mar, May to Jul");
        assert_eq!(month_spans(&on(&[3])), "Apr");
        assert_eq!(month_spans(&[true; 12]), "all year");
    }

    #[test]
    fn a_figure_lies_in_one_part_of_its_range() {
        let band = Band(0.0, 7.0, 18.0, 26.0);
        for (value, lies) in [
            (-3.0, Lies::HarmLow),
            (0.0, Lies::HarmLow),
            (3.0, Lies::Below),
            (7.0, Lies::Ideal),
            (18.0, Lies::Ideal),
            (20.0, Lies::Above),
            (26.0, Lies::HarmHigh),
        ] {
            assert_eq!(Lies::of(value, band), lies, "{value}");
        }
    }

    #[test]
    fn a_cool_climate_is_told_as_a_grower_would() {
        let kind = library::kinds()
            .get(&Id::new("cymbidium-standard"))
            .unwrap();
        let open = |night_c: f64, place: usize| Open {
            light_mol_m2_d: 20.0,
            day_c: night_c + 8.0,
            night_c,
            stage: kind.stages[place].stage,
            stage_place: place,
        };
        // Growth from April, initiation from July, bud from October, bloom from February.
        let months: Vec<Open> = [
            (-1.0, 2),
            (-2.0, 3),
            (3.0, 3),
            (7.0, 3),
            (8.0, 0),
            (11.0, 0),
            (13.0, 0),
            (13.0, 1),
            (10.0, 1),
            (7.0, 1),
            (3.0, 2),
            (-1.0, 2),
        ]
        .into_iter()
        .map(|(night_c, place)| open(night_c, place))
        .collect();
        let found = AgainstClimate {
            weeks: Vec::new(),
            months,
        };
        assert_eq!(
            found.told(kind, OpenFactor::Nights),
            "Nights: too cold Dec to Feb; cooler than wanted Mar, Oct to Nov; as wanted Apr to Sep"
        );
    }
}
