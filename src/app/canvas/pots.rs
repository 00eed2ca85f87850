//! Which pots stand where in a week, and how they stand side by side on a spot.

use std::collections::BTreeMap;

use super::shape;
use crate::{
    app::state::Sight,
    base::{Id, Pt, geometry},
    site::Spot,
};

/// A pot on the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    pub plant: Id,
    pub spot: Id,
    pub at: Pt,
    /// Radius of its rim, m.
    pub radius_m: f64,
    /// Half the way to the nearest other pot on its spot, m.
    pub room_m: f64,
    /// Score of the plant there in the week, if known.
    pub points: Option<f64>,
}

/// Pots in the ribbon's week: where the plan has them, or where they stand while there is no plan.
#[must_use]
pub fn standing(sight: &Sight<'_>) -> Vec<Standing> {
    let site = sight.site();
    let plan = sight.plan();
    let mut on: BTreeMap<&Id, Vec<(&Id, f64)>> = BTreeMap::new();
    for (id, plant) in site.plants.iter() {
        let spot = match plan {
            Some(plan) => plan.spot_of(id, sight.looking.plan_week),
            None => plant.stands.as_ref(),
        };
        if let Some(spot) = spot {
            on.entry(spot)
                .or_default()
                .push((id, plant.pot.rim_cm / 200.0));
        }
    }
    let week = sight.week();
    on.into_iter()
        .filter_map(|(spot_id, pots)| Some((spot_id, site.spots.get(spot_id)?, pots)))
        .flat_map(|(spot_id, spot, pots)| {
            let widest = pots.iter().map(|(_, r)| *r).fold(0.05, f64::max);
            let places = places(spot, pots.len(), widest);
            let room = room_m(&places);
            pots.into_iter()
                .zip(places)
                .map(move |((plant, radius_m), at)| Standing {
                    plant: plant.clone(),
                    spot: spot_id.clone(),
                    at,
                    radius_m,
                    room_m: room,
                    points: sight.score(plant, spot_id, week).and_then(|s| s.points),
                })
                .collect::<Vec<_>>()
        })
        .collect()
}

/// Half the way between the two nearest of some places, m.
fn room_m(places: &[Pt]) -> f64 {
    let between = places
        .iter()
        .enumerate()
        .flat_map(|(i, p)| places.iter().skip(i + 1).map(move |q| q.distance(*p)));
    0.5 * between.fold(f64::INFINITY, f64::min)
}

/// Places for `count` pots side by side: along a sill, in rows on a bench, in a close group at a point.
#[must_use]
pub fn places(spot: &Spot, count: usize, radius_m: f64) -> Vec<Pt> {
    if count == 0 {
        return Vec::new();
    }
    match spot.outline.as_slice() {
        [] => Vec::new(),
        [at] => group(*at, count, radius_m),
        line @ [_, _] => (0..count)
            .map(|k| shape::along(line, (k as f64 + 0.5) / count as f64))
            .collect(),
        outline => rows(outline, count, radius_m),
    }
}

fn group(at: Pt, count: usize, radius_m: f64) -> Vec<Pt> {
    if count == 1 {
        return vec![at];
    }
    let ring = radius_m * 1.1 / (std::f64::consts::PI / count as f64).sin();
    (0..count)
        .map(|k| at + Pt::towards(std::f64::consts::TAU * k as f64 / count as f64) * ring)
        .collect()
}

/// Rows along the longest edge; closer together until all find room.
fn rows(outline: &[Pt], count: usize, radius_m: f64) -> Vec<Pt> {
    let Some((a, b)) =
        geometry::edges(outline).max_by(|(a, b), (c, d)| a.distance(*b).total_cmp(&c.distance(*d)))
    else {
        return Vec::new();
    };
    let along = (b - a).unit();
    let across = along.left();
    let span = |v: Pt| {
        outline
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), p| {
                (lo.min(p.dot(v)), hi.max(p.dot(v)))
            })
    };
    let ((u0, u1), (v0, v1)) = (span(along), span(across));
    let mut step = (radius_m * 2.3).max(0.05);
    for _ in 0..12 {
        let found = lattice(outline, (along, across), (u0, u1), (v0, v1), step);
        if found.len() >= count {
            return spread(&found, count);
        }
        step *= 0.85;
    }
    vec![geometry::centroid(outline); count]
}

fn lattice(
    outline: &[Pt],
    (along, across): (Pt, Pt),
    (u0, u1): (f64, f64),
    (v0, v1): (f64, f64),
    step: f64,
) -> Vec<Pt> {
    let columns = (((u1 - u0) / step).floor() as usize).clamp(1, 200);
    let lines = (((v1 - v0) / step).floor() as usize).clamp(1, 200);
    let mut found = Vec::new();
    for j in 0..lines {
        for i in 0..columns {
            let u = u0 + (i as f64 + 0.5) * (u1 - u0) / columns as f64;
            let v = v0 + (j as f64 + 0.5) * (v1 - v0) / lines as f64;
            let p = along * u + across * v;
            if geometry::contains(outline, p) {
                found.push(p);
            }
        }
    }
    found
}

/// `count` of the places, evenly taken.
fn spread(all: &[Pt], count: usize) -> Vec<Pt> {
    (0..count)
        .filter_map(|k| {
            all.get((k * all.len() + all.len() / 2) / count.max(1))
                .copied()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spot(outline: Vec<Pt>) -> Spot {
        Spot {
            outline,
            ..Spot::default()
        }
    }

    #[test]
    fn pots_on_a_bench_stand_inside_it_and_apart() {
        let bench = vec![Pt(0.0, 0.0), Pt(2.0, 0.0), Pt(2.0, 0.8), Pt(0.0, 0.8)];
        for count in 1..=12 {
            let at = places(&spot(bench.clone()), count, 0.12);
            assert_eq!(at.len(), count);
            for (i, p) in at.iter().enumerate() {
                assert!(geometry::contains(&bench, *p));
                assert!(
                    at[i + 1..].iter().all(|q| q.distance(*p) > 0.1),
                    "{count} pots"
                );
            }
        }
    }

    #[test]
    fn pots_on_a_sill_stand_in_a_row() {
        let at = places(&spot(vec![Pt(0.0, 1.0), Pt(3.0, 1.0)]), 3, 0.1);
        assert_eq!(at, [Pt(0.5, 1.0), Pt(1.5, 1.0), Pt(2.5, 1.0)]);
    }

    #[test]
    fn more_pots_than_room_are_still_drawn() {
        let tiny = vec![Pt(0.0, 0.0), Pt(0.2, 0.0), Pt(0.2, 0.2), Pt(0.0, 0.2)];
        assert_eq!(places(&spot(tiny), 9, 0.3).len(), 9);
        assert_eq!(places(&spot(vec![Pt(1.0, 1.0)]), 4, 0.1).len(), 4);
    }
}
