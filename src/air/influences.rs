//! What acts on the air at a spot, in sentences, strongest first.

use super::{
    AirCorrection,
    damp::{self, RoomDampness},
    devices::{Effect, EffectKind},
    indoors::IndoorSpot,
    jet::draught_rating_pct,
    outdoors::OutdoorSpot,
    parts::Cause,
    risk::RISK_LEAF,
    room_year::Rooms,
    roots::{self, PotHour, Stands},
    spot_model::SpotModel,
    year::{OpenYear, at},
};
use crate::{
    base::calendar::{DAYS, HOURS, MONTH_NAMES},
    site::{Plant, Pot, Site, Spot},
};

/// Roots of many kinds stop growing above this, °C (nursery handbooks say 38 to 40; from memory).
const ROOTS_SUFFER_C: f64 = 38.0;
/// Plants of half a metre that make a group.
const GROUP: usize = 10;
/// Turbulence of air from vents and fans, % (ISO 7730 takes 40 where it is not measured).
const TURBULENCE_PCT: f64 = 40.0;

/// A sentence and how much it matters: K, or its like in m/s times four.
struct Sentence {
    weight: f64,
    text: String,
}

pub(crate) struct Told<'a> {
    pub site: &'a Site,
    pub spot: &'a Spot,
    pub open: &'a OpenYear,
    pub rooms: &'a Rooms,
    pub correction: &'a AirCorrection,
    pub humidity_points: f64,
    pub humidity_readings: usize,
}

pub(crate) fn sentences(model: &SpotModel, told: &Told<'_>) -> Vec<String> {
    let mut all: Vec<Sentence> = model.effects().iter().filter_map(of_effect).collect();
    match model {
        SpotModel::Outdoors(spot) => outdoors(spot, told, &mut all),
        SpotModel::Indoors(spot) => indoors(spot, told, &mut all),
    }
    let c = told.correction;
    if c.nights() > 0 {
        let mut what = Vec::new();
        if c.readings > 0 {
            what.push(counted(c.readings, "thermometer reading"));
        }
        if c.nights_logged > 0 {
            what.push(counted(c.nights_logged, "recorded night"));
        }
        all.push(Sentence {
            weight: c.night_k.abs().max(c.day_k.abs()) + 0.05,
            text: format!(
                "{} moved nights by {} K and days by {} K",
                what.join(" and "),
                signed(c.night_k),
                signed(c.day_k)
            ),
        });
    }
    if told.humidity_readings > 0 {
        all.push(Sentence {
            weight: told.humidity_points.abs() / 10.0,
            text: format!(
                "{} moved humidity by {} points",
                counted(told.humidity_readings, "hygrometer reading"),
                signed_whole(told.humidity_points)
            ),
        });
    }
    all.sort_by(|a, b| {
        b.weight
            .total_cmp(&a.weight)
            .then_with(|| a.text.cmp(&b.text))
    });
    all.into_iter().map(|s| s.text).collect()
}

fn counted(n: usize, what: &str) -> String {
    format!("{n} {what}{}", if n == 1 { "" } else { "s" })
}

fn signed(value: f64) -> String {
    let shown = if value.abs() < 0.05 { 0.0 } else { value };
    format!("{shown:+.1}").replace('-', "\u{2212}")
}

fn signed_whole(value: f64) -> String {
    let shown = if value.abs() < 0.5 { 0.0 } else { value };
    format!("{shown:+.0}").replace('-', "\u{2212}")
}

/// "Bay radiator" reads as "the bay radiator" inside a sentence; a proper name such as "Harbour Terrace" stays as it is.
fn named(name: &str, otherwise: &str) -> String {
    let mut letters = name.chars();
    match letters.next() {
        None => otherwise.to_owned(),
        Some(_) if letters.clone().any(char::is_uppercase) => name.to_owned(),
        Some(first) => format!("the {}{}", first.to_lowercase(), letters.as_str()),
    }
}

fn of_effect(effect: &Effect) -> Option<Sentence> {
    let full = effect.at_full();
    let weight = full.excess_k.abs().max(4.0 * full.speed_m_s);
    if full.excess_k.abs() < 0.1 && full.speed_m_s < 0.03 {
        return None;
    }
    let figures = format!(
        "{} K, {:.1} m/s while it runs",
        signed(full.excess_k),
        full.speed_m_s
    );
    let text = match effect.kind {
        EffectKind::Plume => {
            format!(
                "in the plume of {}: {figures} at full output",
                named(&effect.name, "a heater")
            )
        }
        EffectKind::HotJet => {
            format!(
                "in the hot air of {}: {figures}",
                named(&effect.name, "a fan heater")
            )
        }
        EffectKind::Jet => format!(
            "in the jet of {}: {figures}; {:.0} people in 100 would feel a draught",
            named(&effect.name, "an air vent"),
            draught_rating_pct(
                20.0 + full.excess_k,
                full.speed_m_s.min(0.5),
                TURBULENCE_PCT
            )
        ),
        EffectKind::Extract => format!(
            "near {}, which draws air past at {:.1} m/s",
            named(&effect.name, "an extract vent"),
            full.speed_m_s
        ),
        EffectKind::Fan => format!(
            "in the wind of {}: {:.1} m/s while it runs",
            named(&effect.name, "a fan"),
            full.speed_m_s
        ),
    };
    Some(Sentence { weight, text })
}

/// Mean of a cause over the nights' minima of the months, K, and the month's mean extreme of it.
fn at_minima(open: &OpenYear, model: impl Fn(usize) -> f64) -> f64 {
    (0..DAYS).map(|d| model(open.min_hour[d])).sum::<f64>() / DAYS as f64
}

fn outdoors(spot: &OutdoorSpot, told: &Told<'_>, all: &mut Vec<Sentence>) {
    let open = told.open;
    let clear = |m: usize| spot.night(m, 1.0, spot.mean_shelter(m), 0.0, 1.0);
    let cold = open.coldest_month(|_| true).unwrap_or(0);
    let worst = clear(cold);
    let view = spot.sky_view(cold);
    let net = worst.sky_k + worst.cover_k;
    if net.abs() > 0.15 {
        all.push(Sentence {
            weight: net.abs(),
            text: format!(
                "sees {:.0} % of the sky, {:.1} m above the ground: {} K on clear still nights",
                100.0 * view,
                spot.height_m,
                signed(net)
            ),
        });
    }
    if worst.hollow_k < -0.05 {
        all.push(Sentence {
            weight: -worst.hollow_k,
            text: format!(
                "cold air gathers here: {} K on clear still nights ({})",
                signed(worst.hollow_k),
                held_up_by(spot)
            ),
        });
    }
    // By the coldest of the months in which it is laid on.
    if let Some(month) = open.coldest_month(|m| spot.covered(m).is_some())
        && let Some(kind) = spot.covered(month)
    {
        let clear = spot.gain_under_k(kind, month, clear(month).still);
        all.push(Sentence {
            weight: clear,
            text: format!(
                "{} laid on by night: {} K on clear still nights, {} K on dull or windy ones",
                kind.word(),
                signed(clear),
                signed(spot.gain_under_k(kind, month, 0.0))
            ),
        });
    }
    if let Some(wall) = spot.wall() {
        let night = at_minima(open, |h| spot.wall_at_night_k(h).0);
        let day = (0..DAYS)
            .map(|d| spot.parts(open, open.max_hour[d]).parts[Cause::Wall as usize])
            .sum::<f64>()
            / DAYS as f64;
        if day.max(night) > 0.1 {
            all.push(Sentence {
                weight: day.max(night),
                text: format!(
                    "{:.1} m from the wall of {}: {} K by day, {} K at night, the year's mean",
                    wall.x_m,
                    named(&wall.name, "a building"),
                    signed(day),
                    signed(night)
                ),
            });
        }
    }
    let left = (0..12).map(|m| spot.mean_shelter(m)).sum::<f64>() / 12.0;
    if left < 0.85 {
        all.push(Sentence {
            weight: 1.5 * (1.0 - left),
            text: format!(
                "sheltered: {:.0} % of the garden's wind is left",
                100.0 * left
            ),
        });
    }
    hot_pot(spot, told, all);
    let dry = (0..12).map(|m| spot.rain_share[m]).sum::<f64>() / 12.0;
    if dry < 0.5 {
        all.push(Sentence {
            weight: 0.1,
            text: "out of the rain".to_owned(),
        });
    }
}

fn held_up_by(spot: &OutdoorSpot) -> String {
    spot.pool().map_or_else(
        || "your figure".to_owned(),
        |pool| {
            format!(
                "it runs down the slope and stands behind {}",
                named(&pool.behind, "a wall")
            )
        },
    )
}

fn indoors(spot: &IndoorSpot, told: &Told<'_>, all: &mut Vec<Sentence>) {
    let open = told.open;
    let cold = open.coldest_month(|_| true).unwrap_or(0);
    let mut sums = [0.0; super::parts::CAUSES];
    let mut n = 0.0_f64;
    for d in 0..DAYS {
        let h = open.min_hour[d];
        if open.hours[h].month0 == cold {
            let parts = spot.parts(open, told.rooms, h);
            for (sum, k) in sums.iter_mut().zip(parts.parts) {
                *sum += k;
            }
            n += 1.0;
        }
    }
    let mean = |cause: Cause| sums[cause as usize] / n.max(1.0);
    let side = spot.sides.first();
    let glass = mean(Cause::Glass);
    if let (Some(side), true) = (side, glass < -0.1) {
        all.push(Sentence {
            weight: -glass,
            text: format!(
                "{:.1} m from the glass of {}: {} K on nights of the coldest month",
                side.x_m,
                named(&side.name, "a window"),
                signed(glass)
            ),
        });
    }
    let curtain = mean(Cause::Curtain);
    if curtain < -0.1 {
        all.push(Sentence {
            weight: -curtain,
            text: format!(
                "behind the drawn curtain: {} K on nights of the coldest month",
                signed(curtain)
            ),
        });
    }
    if let Some(month) = open.coldest_month(|m| spot.covered(m).is_some())
        && let Some(kind) = spot.covered(month)
    {
        let nights = open
            .min_hour
            .iter()
            .filter(|h| open.hours[**h].month0 == month);
        let n = nights.clone().count().max(1) as f64;
        let gain_k = nights
            .map(|h| spot.parts(open, told.rooms, *h).parts[Cause::NightCover as usize])
            .sum::<f64>()
            / n;
        all.push(Sentence {
            weight: gain_k,
            text: format!(
                "{} laid on by night: {} K on nights of {}",
                kind.word(),
                signed(gain_k),
                MONTH_NAMES.get(month).unwrap_or(&"the coldest month")
            ),
        });
    }
    if let Some(leaky) = spot.sides.iter().find(|s| s.gap_mm > 0.0) {
        let felt = super::jet::leak(leaky.gap_mm, 4.0, -20.0, leaky.x_m);
        if felt.speed_m_s > 0.02 {
            all.push(Sentence {
                weight: 4.0 * felt.speed_m_s,
                text: format!(
                    "{} leaks: {:.2} m/s and {} K when it blows outside at 4 m/s and is 20 K colder",
                    named(&leaky.name, "a window"),
                    felt.speed_m_s,
                    signed(felt.excess_k)
                ),
            });
        }
    }
    for opening in spot.openings() {
        let felt = spot.in_the_draught_of(opening, 3.0, -15.0);
        if felt.speed_m_s > 0.03 {
            all.push(Sentence {
                weight: 4.0 * felt.speed_m_s,
                text: format!(
                    "in the draught of {} while it stands open: {:.1} m/s and {} K when it is 15 K colder outside",
                    named(&opening.name, "a door"),
                    felt.speed_m_s,
                    signed(felt.excess_k)
                ),
            });
        }
    }
    for stove in &spot.stove_heat {
        let flux = stove.full_w_m2;
        if flux > 15.0 {
            all.push(Sentence {
                weight: flux / 26.0,
                text: format!(
                    "in the heat of {}: {flux:.0} W/m² on leaves that face it, while it burns",
                    named(&stove.name, "a stove")
                ),
            });
        }
    }
    dampness(spot, told, cold, all);
}

/// What would add to the room's humidity by day in the coldest month, when air is driest.
fn dampness(spot: &IndoorSpot, told: &Told<'_>, cold: usize, all: &mut Vec<Sentence>) {
    let (Some(id), Some(room)) = (
        told.spot.room.as_ref(),
        told.rooms.years.get(spot.room_id()),
    ) else {
        return;
    };
    let open = told.open;
    let (mut air, mut vapour, mut out, mut n) = (0.0, 0.0, 0.0, 0.0_f64);
    for (h, hour) in open.hours.iter().enumerate() {
        if hour.month0 == cold && hour.sun_up {
            air += at(&room.air_c, h);
            vapour += at(&room.vapour_kpa, h);
            out += hour.air_c;
            n += 1.0;
        }
    }
    let n = n.max(1.0);
    let now = RoomDampness::of(&room.model, air / n, vapour / n, out / n);
    let drawn_m2: f64 = told
        .site
        .trays
        .values()
        .filter(|t| t.room.as_ref() == Some(id) && t.months.has(cold))
        .map(|t| t.area_m2)
        .sum();
    let tray_m2 = if drawn_m2 > 0.0 { drawn_m2 } else { 0.1 };
    // A group of usual size: air is kept from edit to edit, and does not hang on which plants stand where.
    let usual = Plant::default();
    let group = [(&usual, RISK_LEAF.conductance_mol_m2_s); GROUP];
    let added: Vec<String> = damp::additions(&now, tray_m2, &group)
        .iter()
        .enumerate()
        .map(|(i, a)| {
            let of = if i == 0 { " points of humidity" } else { "" };
            format!("{} adds {:.1}{of}", a.what, a.rh_points)
        })
        .collect();
    all.push(Sentence {
        weight: 0.02,
        text: format!(
            "humidity by day in {}: {:.0} %; {}",
            MONTH_NAMES.get(cold).unwrap_or(&"the coldest month"),
            now.rh_pct(),
            added.join(", ")
        ),
    });
}

/// A black pot in the sun here: its roots on the hottest afternoon of the typical year.
fn hot_pot(spot: &OutdoorSpot, told: &Told<'_>, all: &mut Vec<Sentence>) {
    let open = told.open;
    let Some(hottest) = (0..DAYS).max_by(|a, b| open.day_max_c[*a].total_cmp(&open.day_max_c[*b]))
    else {
        return;
    };
    let hours: Vec<PotHour> = (0..48)
        .map(|k| {
            let h = (hottest * 24 + HOURS - 24 + k) % HOURS;
            let parts = spot.parts(open, h);
            PotHour {
                air_c: parts.air_c(),
                sun_w_m2: spot.sun_w_m2(h),
                speed_m_s: parts.speed_m_s,
            }
        })
        .collect();
    let pot = Pot::default();
    let most = |values: &mut dyn Iterator<Item = f64>| values.fold(f64::NEG_INFINITY, f64::max);
    let roots_c = |stands| most(&mut roots::mix_c(&hours, &pot, stands).into_iter());
    let roots = roots_c(Stands::Alone);
    let air = most(&mut hours.iter().map(|h| h.air_c));
    if roots > ROOTS_SUFFER_C {
        all.push(Sentence {
            weight: 0.1 * (roots - air).max(0.5),
            text: format!(
                "sun on the pot: a black one of {:.0} cm gets {roots:.0} °C at its roots on the hottest day where it stands \
                 alone, {:.0} °C among others, the air {air:.0} °C",
                pot.rim_cm,
                roots_c(Stands::AmongOthers)
            ),
        });
    }
}
