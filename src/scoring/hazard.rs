//! Dangers that strike in some years and not in others.

use serde::Serialize;

use super::{SpotWeek, factor::smooth_step};
use crate::{
    air::{AirWeek, leaf},
    base::{Hemisphere, Week},
    needs::{Kind, StageName},
};

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum HazardKind {
    /// Frost on leaves.
    LeafFrost,
    /// Frost on spikes, buds or flowers.
    BudFrost,
    /// Frozen roots.
    RootFrost,
    /// Leaves hotter than they stand.
    Scorch,
    /// Warm dry plume of a heater on buds or flowers.
    HeaterPlume,
    /// Jet of a vent on buds or flowers.
    VentJet,
}

impl HazardKind {
    pub const ALL: [Self; 6] = [
        Self::LeafFrost,
        Self::BudFrost,
        Self::RootFrost,
        Self::Scorch,
        Self::HeaterPlume,
        Self::VentJet,
    ];

    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::LeafFrost => "frost on leaves",
            Self::BudFrost => "frost on spikes and buds",
            Self::RootFrost => "frozen roots",
            Self::Scorch => "scorched leaves",
            Self::HeaterPlume => "heater's plume on buds",
            Self::VentJet => "vent's jet on buds",
        }
    }

    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::LeafFrost | Self::BudFrost | Self::RootFrost | Self::Scorch => "°C",
            Self::HeaterPlume => "K",
            Self::VentJet => "m/s",
        }
    }

    /// For how many weeks' worth the damage counts: a frosted spike is lost for the season, a burnt leaf stays.
    /// With four weeks, frost that takes half a plant in one year of ten costs a week a fifth of its score, which
    /// is how growers treat the one-in-ten date. Our choice.
    #[must_use]
    pub fn lasting_weeks(self) -> f64 {
        match self {
            Self::LeafFrost | Self::BudFrost | Self::RootFrost => 4.0,
            Self::Scorch => 3.0,
            Self::HeaterPlume | Self::VentJet => 2.0,
        }
    }
}

/// A danger that comes in some years.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Hazard {
    pub kind: HazardKind,
    /// Share of years in which it strikes in this week, 0..=1.
    pub chance: f64,
    /// Share of the score it takes when it strikes, 0..=1.
    pub severity: f64,
    /// Limit of the plant, °C, K or m/s.
    pub limit: f64,
    /// What is met here in the worst tenth of years, in the same unit.
    pub met: f64,
}

impl Hazard {
    /// Share of the score that is left in spite of the danger, 0..=1.
    #[must_use]
    pub fn left(&self) -> f64 {
        (1.0 - self.chance * self.severity)
            .clamp(0.0, 1.0)
            .powf(self.kind.lasting_weeks())
    }
}

/// A pot's mix lags behind the air of a frosty night by about this, K (from memory; trade texts say only that it
/// follows within hours).
const POT_LAG_K: f64 = 1.5;

/// Warm-air plume on buds: begins to tell, and is at its worst, K above the room's air. Our choice, after the
/// growers' rule to keep buds out of the air above a radiator.
const PLUME_K: (f64, f64) = (1.5, 5.0);

/// Jet on buds: begins to tell, and is at its worst, m/s. Growers count more than 0.5 m/s of dry air on buds a fault.
const JET_M_S: (f64, f64) = (0.45, 1.2);

/// Most that a plume or jet takes of a week's score.
const DEVICE_WORST: f64 = 0.9;

/// Share of sunlight that a leaf absorbs, over the whole solar spectrum (Campbell & Norman 1998, ch. 11: about 0.5).
const LEAF_ABSORBS: f64 = 0.5;

/// A clear sky by day is colder than the air by about this, K (Campbell & Norman 1998, ch. 10).
const CLEAR_SKY_K: f64 = 20.0;

/// Frosts of a week. `shift_k` moves every limit up, for the band of uncertainty.
pub(super) fn frosts(
    kind: &Kind,
    at: &Moment,
    offered: &SpotWeek,
    shift_k: f64,
    out: &mut Vec<Hazard>,
) {
    let Some(air) = &offered.air else { return };
    let damage = &kind.damage;
    let leaves = if air.coldest_leaf_c.is_empty() {
        &air.coldest_air_c
    } else {
        &air.coldest_leaf_c
    };
    out.extend(cold(
        HazardKind::LeafFrost,
        damage.leaf_frost_c.value,
        leaves,
        -shift_k,
        0.3,
    ));
    if at.buds_at_risk() {
        out.extend(cold(
            HazardKind::BudFrost,
            damage.bud_frost_c.value,
            leaves,
            -shift_k,
            0.5,
        ));
    }
    out.extend(cold(
        HazardKind::RootFrost,
        damage.root_frost_c.value,
        &air.coldest_air_c,
        POT_LAG_K - shift_k,
        0.5,
    ));
}

/// Dangers of a week other than frost.
pub(super) fn others(kind: &Kind, at: &Moment, offered: &SpotWeek, out: &mut Vec<Hazard>) {
    let Some(air) = &offered.air else { return };
    out.extend(scorch(kind, offered));
    if matches!(at.stage, StageName::Bud | StageName::Bloom) {
        out.extend(device(HazardKind::HeaterPlume, PLUME_K, air.device_warm_k));
        out.extend(device(HazardKind::VentJet, JET_M_S, air.draught_m_s));
    }
}

/// Frost: every year whose coldest hour reaches the limit counts, from `least` at the limit to 1 three kelvin below.
fn cold(
    kind: HazardKind,
    limit: f64,
    coldest_ascending: &[f32],
    warmer_k: f64,
    least: f64,
) -> Option<Hazard> {
    let years = coldest_ascending.len();
    let struck = coldest_ascending.partition_point(|c| f64::from(*c) + warmer_k <= limit);
    if struck == 0 {
        return None;
    }
    let severity = coldest_ascending
        .iter()
        .take(struck)
        .map(|c| least + (1.0 - least) * ((limit - f64::from(*c) - warmer_k) / 3.0).min(1.0))
        .sum::<f64>()
        / struck as f64;
    Some(Hazard {
        kind,
        chance: struck as f64 / years as f64,
        severity,
        limit,
        met: f64::from(*coldest_ascending.get((years - 1) / 10)?) + warmer_k,
    })
}

/// Scorch: the leaf in clear noon sun in the hottest hour of each year's week.
fn scorch(kind: &Kind, offered: &SpotWeek) -> Option<Hazard> {
    let air = offered.air.as_ref()?;
    let peak = offered.clear_peak_ppfd.filter(|p| *p > 0.0)?;
    let limit = kind.damage.leaf_heat_c.value;
    let hottest = air
        .hottest_air_c
        .last()
        .map_or(air.max_c, |v| f64::from(*v));
    let absorbed_w_m2 = absorbed_w_m2(peak);
    let speed_m_s = speed_m_s(air);
    if hottest + most_excess_k(kind.leaf.width_m, speed_m_s, absorbed_w_m2) < limit {
        return None;
    }
    let excess_k = noon_leaf(kind, offered)?.over_air_k();
    let mean_year = [air.max_c as f32];
    let years: &[f32] = if air.hottest_air_c.is_empty() {
        &mean_year
    } else {
        &air.hottest_air_c
    };
    let safe = years.partition_point(|v| f64::from(*v) + excess_k < limit);
    let struck = years.get(safe..).filter(|s| !s.is_empty())?;
    let severity = struck
        .iter()
        .map(|v| 0.3 + 0.7 * ((f64::from(*v) + excess_k - limit) / 5.0).min(1.0))
        .sum::<f64>()
        / struck.len() as f64;
    Some(Hazard {
        kind: HazardKind::Scorch,
        chance: struck.len() as f64 / years.len() as f64,
        severity,
        limit,
        met: f64::from(*years.get(years.len() * 9 / 10)?) + excess_k,
    })
}

/// A leaf in clear noon sun in the hottest hour of a week of a middling year.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct NoonLeaf {
    pub air_c: f64,
    pub leaf_c: f64,
}

impl NoonLeaf {
    /// How much hotter than the air it is, K.
    #[must_use]
    pub fn over_air_k(self) -> f64 {
        self.leaf_c - self.air_c
    }
}

/// How hot a kind's leaf grows in the sun of a clear noon; `None` where light or air is not known.
#[must_use]
pub fn noon_leaf(kind: &Kind, offered: &SpotWeek) -> Option<NoonLeaf> {
    let air = offered.air.as_ref()?;
    let peak = offered.clear_peak_ppfd.filter(|p| *p >= 0.0)?;
    let air_c = air
        .hottest_air_c
        .get(air.hottest_air_c.len() / 2)
        .map_or(air.max_c, |v| f64::from(*v));
    let place = leaf::LeafPlace {
        air_c,
        rh_pct: air.rh_day_pct,
        speed_m_s: speed_m_s(air),
        absorbed_w_m2: absorbed_w_m2(peak),
        sky_c: air_c - CLEAR_SKY_K,
        around_c: air_c,
        sky_view: offered.sky_view,
        elevation_m: 0.0,
        day: true,
    };
    let leaf_c = leaf::temperature_c(&kind.leaf, &place);
    leaf_c.is_finite().then_some(NoonLeaf { air_c, leaf_c })
}

fn absorbed_w_m2(peak_ppfd: f64) -> f64 {
    LEAF_ABSORBS * peak_ppfd / crate::base::units::PPFD_PER_BEAM_W_M2
}

fn speed_m_s(air: &AirWeek) -> f64 {
    air.speed_m_s.max(0.1)
}

/// More than a leaf can be above the air without transpiring, K: absorbed light over what radiation (at least
/// 10 W m⁻² K⁻¹ for both sides) and forced convection (Campbell & Norman 1998, eq. 7.30 with 1.4 for the open) carry
/// off. Spares the energy balance of all the weeks in which no leaf can scorch.
fn most_excess_k(leaf_width_m: f64, speed_m_s: f64, absorbed_w_m2: f64) -> f64 {
    let side_mol_m2_s = 1.4 * 0.135 * (speed_m_s / (0.72 * leaf_width_m.max(1e-3))).sqrt();
    absorbed_w_m2 / (10.0 + 2.0 * 29.3 * side_mol_m2_s) + 1.0
}

/// Plumes and jets come every year that the device runs.
fn device(kind: HazardKind, (begins, worst): (f64, f64), met: f64) -> Option<Hazard> {
    (met > begins).then(|| Hazard {
        kind,
        chance: 1.0,
        severity: DEVICE_WORST * smooth_step(met, begins, worst),
        limit: begins,
        met,
    })
}

/// Where a week lies in a kind's year.
pub(super) struct Moment {
    pub(super) stage: StageName,
    /// In the last third of a stage whose follower is `Bud`.
    spikes_near: bool,
}

impl Moment {
    pub(super) fn of(kind: &Kind, hemisphere: Hemisphere, week: Week, index: usize) -> Self {
        let Some(stage) = kind.stages.get(index) else {
            return Self {
                stage: StageName::Growth,
                spikes_near: false,
            };
        };
        let follower = kind.stages.get((index + 1) % kind.stages.len());
        let spikes_near = stage.stage == StageName::Initiation
            && follower.is_some_and(|next| {
                if next.stage != StageName::Bud {
                    return false;
                }
                let day = week.first_day().plus(3).index();
                let until = |from: crate::base::MonthDay| {
                    (hemisphere.shift(from.day_of_year()).index() + 365 - day) % 365
                };
                let length = (next.from.day_of_year().index() + 365
                    - stage.from.day_of_year().index())
                    % 365;
                until(next.from) * 3 <= length
            });
        Self {
            stage: stage.stage,
            spikes_near,
        }
    }

    fn buds_at_risk(&self) -> bool {
        self.spikes_near || matches!(self.stage, StageName::Bud | StageName::Bloom)
    }
}
