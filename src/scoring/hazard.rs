//! Dangers that strike in some years and not in others.

use serde::Serialize;

use super::{
    SpotWeek,
    offer::{Offer, Years},
    rules::{Device, Heat, rules},
};
use crate::{
    air::{AirWeek, leaf},
    base::Week,
    needs::{Kind, StageName},
    stages::StageCalendar,
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
    /// Air hotter than buds and flowers stand.
    BudHeat,
    /// A pot so hot in the sun that its roots are hurt.
    RootHeat,
    /// Warm dry plume of a heater on buds or flowers.
    HeaterPlume,
    /// Jet of a vent on buds or flowers.
    VentJet,
}

impl HazardKind {
    pub const ALL: [Self; 8] = [
        Self::LeafFrost,
        Self::BudFrost,
        Self::RootFrost,
        Self::Scorch,
        Self::BudHeat,
        Self::RootHeat,
        Self::HeaterPlume,
        Self::VentJet,
    ];

    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::LeafFrost => "frost on leaves",
            Self::BudFrost => "frost on buds",
            Self::RootFrost => "frozen roots",
            Self::Scorch => "scorched leaves",
            Self::BudHeat => "heat on buds",
            Self::RootHeat => "hot roots",
            Self::HeaterPlume => "heater's plume on buds",
            Self::VentJet => "vent's jet on buds",
        }
    }

    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::LeafFrost
            | Self::BudFrost
            | Self::RootFrost
            | Self::Scorch
            | Self::BudHeat
            | Self::RootHeat => "°C",
            Self::HeaterPlume => "K",
            Self::VentJet => "m/s",
        }
    }

    /// For how many weeks' worth the damage counts: a frosted spike is lost for the season, a burnt leaf stays.
    #[must_use]
    pub fn lasting_weeks(self) -> f64 {
        let r = rules();
        match self {
            Self::LeafFrost | Self::BudFrost | Self::RootFrost => r.frost.lasting_weeks.value,
            Self::Scorch => r.scorch.lasting_weeks.value,
            Self::BudHeat => r.bud_heat.lasting_weeks.value,
            Self::RootHeat => r.root_heat.lasting_weeks.value,
            Self::HeaterPlume => r.plume.lasting_weeks.value,
            Self::VentJet => r.jet.lasting_weeks.value,
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
        let left = (1.0 - self.chance * self.severity).clamp(0.0, 1.0);
        for_weeks(left, self.kind.lasting_weeks())
    }
}

/// What is left of a week's score where the same is taken from that of so many weeks.
fn for_weeks(left: f64, weeks: f64) -> f64 {
    let whole = weeks as i32;
    // Whole weeks, as they are, need no logarithm.
    if f64::from(whole) == weeks {
        left.powi(whole)
    } else {
        left.powf(weeks)
    }
}

/// Share of sunlight that a leaf absorbs, over the whole solar spectrum (Campbell & Norman 1998, ch. 11: about 0.5).
const LEAF_ABSORBS: f64 = 0.5;

/// A clear sky by day is colder than the air by about this, K (Campbell & Norman 1998, ch. 10).
const CLEAR_SKY_K: f64 = 20.0;

/// A part of the plant in the cold.
pub(super) struct Cold<'a> {
    kind: HazardKind,
    limit: f64,
    coldest: &'a Years<'a>,
    /// How much warmer the part is than what was coldest, K.
    warmer_k: f64,
    /// Share taken when the limit is just reached.
    least: f64,
}

/// The parts that frost may take in a week, were the nights as cold as they may be.
pub(super) fn in_the_cold<'a>(
    kind: &Kind,
    at: &Moment,
    offer: &'a Offer<'a>,
) -> [Option<Cold<'a>>; 3] {
    let rules = &rules().frost;
    let damage = &kind.damage;
    let may_c = offer.coldest_may_be;
    let lag_k = rules.pot_lag_k.value;
    let part = |kind, limit, warmer_k, least| Cold {
        kind,
        limit,
        coldest: match kind {
            HazardKind::RootFrost => &offer.coldest_air,
            _ => &offer.coldest_leaf,
        },
        warmer_k,
        least,
    };
    let leaf_c = damage.leaf_frost_c.value;
    let bud_c = damage.bud_frost_c.value;
    let root_c = damage.root_frost_c.value;
    [
        (may_c.leaf <= leaf_c)
            .then(|| part(HazardKind::LeafFrost, leaf_c, 0.0, rules.leaf_least.value)),
        (may_c.leaf <= bud_c && at.buds_at_risk())
            .then(|| part(HazardKind::BudFrost, bud_c, 0.0, rules.bud_least.value)),
        (may_c.air + lag_k <= root_c)
            .then(|| part(HazardKind::RootFrost, root_c, lag_k, rules.root_least.value)),
    ]
}

/// Frosts of a week.
pub(super) fn frosts(parts: &[Option<Cold<'_>>], out: &mut Vec<Hazard>) {
    for cold in parts.iter().flatten() {
        if cold.strikes(0.0) {
            out.push(cold.hazard());
        }
    }
}

/// Share of the score that frosts leave, were every night of the week so much colder, 0..=1.
pub(super) fn left_by_frosts(parts: &[Option<Cold<'_>>], colder_k: f64) -> f64 {
    let weeks = rules().frost.lasting_weeks.value;
    let mut left = 1.0;
    for cold in parts.iter().flatten() {
        if cold.strikes(colder_k) {
            let (_, taken) = cold.struck(colder_k);
            let years = cold.coldest.len().max(1) as f64;
            left *= for_weeks((1.0 - taken / years).clamp(0.0, 1.0), weeks);
        }
    }
    left
}

/// Dangers of a week other than frost.
pub(super) fn others(kind: &Kind, at: &Moment, offer: &Offer<'_>, out: &mut Vec<Hazard>) {
    let Some(air) = &offer.week.air else { return };
    out.extend(scorch(kind, offer, air));
    let damage = &kind.damage;
    if let (Some(limit), Some(over_air_k)) = (&damage.root_heat_c, offer.week.roots_over_air_k) {
        let rule = &rules().root_heat;
        out.extend(hot(
            HazardKind::RootHeat,
            rule,
            limit.value,
            offer,
            over_air_k,
        ));
    }
    if matches!(at.stage, StageName::Bud | StageName::Bloom) {
        if let Some(limit) = &damage.bud_heat_c {
            let rule = &rules().bud_heat;
            out.extend(hot(HazardKind::BudHeat, rule, limit.value, offer, 0.0));
        }
        out.extend(device(
            HazardKind::HeaterPlume,
            &rules().plume,
            air.device_warm_k,
        ));
        out.extend(device(HazardKind::VentJet, &rules().jet, air.draught_m_s));
    }
}

impl Cold<'_> {
    fn strikes(&self, colder_k: f64) -> bool {
        let coldest = self.coldest.least();
        coldest.is_some_and(|c| c + self.warmer_k - colder_k <= self.limit)
    }

    /// Years that frost strikes, and the sum of what it takes in them. Every year whose coldest hour reaches the limit
    /// counts, from `least` at the limit to 1 some kelvin below.
    fn struck(&self, colder_k: f64) -> (usize, f64) {
        // Of what was coldest itself, not of the part.
        let limit = self.limit - self.warmer_k + colder_k;
        let full_k = rules().frost.full_k.value;
        let struck = self.coldest.up_to(limit);
        let lost = self.coldest.up_to(limit - full_k).min(struck);
        let partly = (struck - lost) as f64;
        let below_k = limit * partly - self.coldest.sum(lost, struck);
        let taken = lost as f64 + self.least * partly + (1.0 - self.least) * below_k / full_k;
        (struck, taken)
    }

    fn hazard(&self) -> Hazard {
        let years = self.coldest.len();
        let (struck, taken) = self.struck(0.0);
        let in_ten = self.coldest.at(years.saturating_sub(1) / 10);
        Hazard {
            kind: self.kind,
            chance: struck as f64 / years.max(1) as f64,
            severity: (taken / struck.max(1) as f64).clamp(0.0, 1.0),
            limit: self.limit,
            met: in_ten.map_or(self.limit, |c| c + self.warmer_k),
        }
    }
}

/// Heat: every year whose hottest hour, with what a part is hotter than the air, reaches the limit counts, from `least`
/// at the limit to 1 some kelvin above. Without weather years the mean of the days' maxima stands for all of them.
fn hot(
    kind: HazardKind,
    rule: &Heat,
    limit: f64,
    offer: &Offer<'_>,
    over_air_k: f64,
) -> Option<Hazard> {
    let (least, full_k) = (rule.least.value, rule.full_k.value);
    let limit_of_air = limit - over_air_k;
    let hottest = &offer.hottest_air;
    let Some(most) = hottest.most() else {
        let max_c = offer.week.air.as_ref()?.max_c;
        let over_k = max_c - limit_of_air;
        return (over_k >= 0.0).then(|| Hazard {
            kind,
            chance: 1.0,
            severity: least + (1.0 - least) * (over_k / full_k).min(1.0),
            limit,
            met: max_c + over_air_k,
        });
    };
    if most < limit_of_air {
        return None;
    }
    let years = hottest.len();
    let safe = hottest.below(limit_of_air);
    let lost_from = hottest.below(limit_of_air + full_k).max(safe);
    let struck = (years - safe) as f64;
    let partly = (lost_from - safe) as f64;
    let above_k = hottest.sum(safe, lost_from) - limit_of_air * partly;
    let severity = ((years - lost_from) as f64 + least * partly + (1.0 - least) * above_k / full_k)
        / struck.max(1.0);
    Some(Hazard {
        kind,
        chance: struck / years as f64,
        severity: severity.clamp(0.0, 1.0),
        limit,
        met: hottest.at(years * 9 / 10)? + over_air_k,
    })
}

/// Scorch: the leaf in clear noon sun in the hottest hour of each year's week.
fn scorch(kind: &Kind, offer: &Offer<'_>, air: &AirWeek) -> Option<Hazard> {
    let peak = offer.week.clear_peak_ppfd.filter(|p| *p > 0.0)?;
    let limit = kind.damage.leaf_heat_c.value;
    let hottest = offer.hottest_air.most().unwrap_or(air.max_c);
    let absorbed_w_m2 = absorbed_w_m2(peak);
    // Most leaves stand more than radiation alone could not carry off.
    if hottest + absorbed_w_m2 / LEAST_CARRIED_W_M2_K + 1.0 < limit
        || hottest + most_excess_k(kind.leaf.width_m, speed_m_s(air), absorbed_w_m2) < limit
    {
        return None;
    }
    let excess_k = noon_leaf(kind, offer.week)?.over_air_k();
    hot(HazardKind::Scorch, &rules().scorch, limit, offer, excess_k)
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

/// Heat that radiation carries off both sides of a leaf at the least, W m⁻² K⁻¹.
const LEAST_CARRIED_W_M2_K: f64 = 10.0;

/// More than a leaf can be above the air without transpiring, K: absorbed light over what radiation and forced convection (Campbell & Norman 1998, eq. 7.30 with 1.4 for the open) carry
/// off. Spares the energy balance of all the weeks in which no leaf can scorch.
fn most_excess_k(leaf_width_m: f64, speed_m_s: f64, absorbed_w_m2: f64) -> f64 {
    let side_mol_m2_s = 1.4 * 0.135 * (speed_m_s / (0.72 * leaf_width_m.max(1e-3))).sqrt();
    absorbed_w_m2 / (LEAST_CARRIED_W_M2_K + 2.0 * 29.3 * side_mol_m2_s) + 1.0
}

/// Plumes and jets come every year that the device runs.
fn device(kind: HazardKind, rule: &Device, met: f64) -> Option<Hazard> {
    let (begins, worst) = (rule.begins.value, rule.worst.value);
    let curve = rules().responses.curve.value;
    (met > begins).then(|| Hazard {
        kind,
        chance: 1.0,
        severity: rule.most.value * curve.step(met, begins, worst),
        limit: begins,
        met,
    })
}

/// Where a week lies in a kind's year.
#[derive(Clone, Copy, Debug)]
pub(super) struct Moment {
    pub(super) stage: StageName,
    /// In the last third of a stage whose follower is `Bud`.
    spikes_near: bool,
}

impl Moment {
    pub(super) fn of(kind: &Kind, calendar: &StageCalendar, week: Week, index: usize) -> Self {
        let Some(stage) = kind.stages.get(index) else {
            return Self {
                stage: StageName::Growth,
                spikes_near: false,
            };
        };
        let follower = kind.stages.get((index + 1) % kind.stages.len());
        let spikes_near = stage.stage == StageName::Initiation
            && follower.is_some_and(|next| next.stage == StageName::Bud)
            && calendar.progress_in(week) >= 2.0 / 3.0;
        Self {
            stage: stage.stage,
            spikes_near,
        }
    }

    fn buds_at_risk(&self) -> bool {
        self.spikes_near || matches!(self.stage, StageName::Bud | StageName::Bloom)
    }
}
