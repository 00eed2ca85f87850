//! The flat faces of solid bodies, for pictures of the drawing in space.

use glam::{DVec3, Vec3};

use super::{Scene, scene::solid::Solid};

/// A flat face of a body as it is seen from outside, corners in order.
#[derive(Clone, Debug, PartialEq)]
pub struct FlatFace {
    /// Plan x, plan y and height above the ground, m.
    pub corners: Vec<[f64; 3]>,
    /// Out of the body, in the same directions; a unit vector.
    pub normal: [f64; 3],
    /// Part of a roof rather than of a wall.
    pub roof: bool,
}

/// How far outside a face one looks for another piece of the same body, m.
const OUTSIDE_M: f32 = 0.01;
/// Faces smaller than this are slivers where pieces meet, m².
const LEAST_AREA_M2: f64 = 1e-4;

/// All outer faces of the solid bodies of a scene. Faces along which pieces of one body touch are left out.
#[must_use]
pub fn flat_faces(scene: &Scene) -> Vec<FlatFace> {
    let back = |p: DVec3| {
        let plan = scene.turn.back(p.truncate());
        [plan.0, plan.1, p.z]
    };
    let mut found = Vec::new();
    for solid in &scene.solids {
        for k in 0..solid.faces.len() {
            let corners = polygon(solid, k);
            let normal = solid.faces[k].normal;
            if area(&corners, normal.as_dvec3()) < LEAST_AREA_M2 {
                continue;
            }
            let middle = corners.iter().sum::<DVec3>() / corners.len() as f64;
            let beside = middle.as_vec3() + normal * OUTSIDE_M;
            let touches = |o: &Solid| o.mass == solid.mass && o.holds(beside);
            if scene.solids.iter().any(touches) {
                continue;
            }
            found.push(FlatFace {
                normal: back(normal.as_dvec3()),
                corners: corners.into_iter().map(back).collect(),
                roof: solid.roof,
            });
        }
    }
    found
}

/// The polygon of one face: a square on its plane, large enough, cut by all other planes (Sutherland & Hodgman 1974).
pub fn polygon(solid: &Solid, k: usize) -> Vec<DVec3> {
    let face = solid.faces[k];
    let n = face.normal.as_dvec3();
    let (lo, hi) = (solid.bounds.lo.as_dvec3(), solid.bounds.hi.as_dvec3());
    let size = (hi - lo).length() + 1.0;
    let middle = (lo + hi) / 2.0;
    let foot = middle - n * (n.dot(middle) - f64::from(face.offset));
    let u = n.any_orthonormal_vector() * size;
    let v = n.cross(u);
    let mut corners = vec![foot - u - v, foot + u - v, foot + u + v, foot - u + v];
    for (j, other) in solid.faces.iter().enumerate() {
        // A plane given twice must not cut itself away.
        if j == k || (j > k && same(other.normal, face.normal)) {
            continue;
        }
        corners = cut(&corners, other.normal.as_dvec3(), other.offset.into());
    }
    corners
}

fn same(a: Vec3, b: Vec3) -> bool {
    a.dot(b) > 0.999_999
}

/// The part of a polygon on the inner side of a plane.
fn cut(corners: &[DVec3], normal: DVec3, offset: f64) -> Vec<DVec3> {
    let mut kept = Vec::with_capacity(corners.len() + 1);
    for (i, b) in corners.iter().enumerate() {
        let a = corners[(i + corners.len() - 1) % corners.len()];
        let (da, db) = (normal.dot(a) - offset, normal.dot(*b) - offset);
        if (da <= 0.0) != (db <= 0.0) {
            kept.push(a.lerp(*b, da / (da - db)));
        }
        if db <= 0.0 {
            kept.push(*b);
        }
    }
    kept
}

fn area(corners: &[DVec3], normal: DVec3) -> f64 {
    let mut sum = DVec3::ZERO;
    for (i, b) in corners.iter().enumerate() {
        sum += corners[(i + corners.len() - 1) % corners.len()].cross(*b);
    }
    sum.dot(normal).abs() / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        base::{Id, Pt},
        site::{Building, Place, Roof, Site},
    };

    fn house(outline: Vec<Pt>, roof: Roof, plan_north_deg: f64) -> Vec<FlatFace> {
        let building = Building {
            outline,
            roof,
            eaves_m: 0.0,
            ..Building::default()
        };
        flat_faces(&Scene::of(&Site {
            place: Place {
                plan_north_deg,
                ..Place::default()
            }
            .into(),
            buildings: [(Id::new("house"), building)].into_iter().collect(),
            ..Site::default()
        }))
    }

    fn box_of(w: f64, d: f64) -> Vec<Pt> {
        vec![Pt(0.0, 0.0), Pt(w, 0.0), Pt(w, d), Pt(0.0, d)]
    }

    fn size(face: &FlatFace) -> f64 {
        let corners: Vec<DVec3> = face.corners.iter().map(|c| DVec3::from(*c)).collect();
        area(&corners, face.normal.into())
    }

    #[test]
    fn a_flat_house_has_four_walls_a_top_and_a_bottom_wherever_north_is() {
        for north in [0.0, 12.0, 200.0] {
            let faces = house(box_of(6.0, 4.0), Roof::Flat, north);
            assert_eq!(faces.len(), 6);
            let whole: f64 = faces.iter().map(size).sum();
            // 2 (6 × 4) + 3 m high walls of 20 m.
            assert!((whole - 108.0).abs() < 1e-3, "{whole}");
            for face in &faces {
                let n = DVec3::from(face.normal);
                for c in &face.corners {
                    // Every corner is one of the eight of the box.
                    let at = |v: f64, ends: [f64; 2]| ends.iter().any(|e| (v - e).abs() < 1e-4);
                    assert!(at(c[0], [0.0, 6.0]) && at(c[1], [0.0, 4.0]) && at(c[2], [0.0, 3.0]));
                    let out = DVec3::from(*c) - DVec3::new(3.0, 2.0, 1.5);
                    assert!(out.dot(n) > 0.0, "the normal looks out");
                }
            }
        }
    }

    #[test]
    fn a_gable_has_two_slopes_of_the_right_size() {
        let faces = house(box_of(6.0, 4.0), Roof::Gable { ridge_m: 4.5 }, 0.0);
        let slopes: Vec<f64> = faces
            .iter()
            .filter(|f| f.roof && f.normal[2] > 0.1)
            .map(size)
            .collect();
        // Each 6 m by √(2² + 1.5²).
        assert_eq!(slopes.len(), 2);
        assert!(slopes.iter().all(|s| (s - 15.0).abs() < 1e-3), "{slopes:?}");
        // The wall's top is not seen below the roof.
        assert!(!faces.iter().any(|f| !f.roof && f.normal[2] > 0.5));
    }

    #[test]
    fn pieces_of_an_angled_house_show_no_seam() {
        let corner = vec![
            Pt(0.0, 0.0),
            Pt(6.0, 0.0),
            Pt(6.0, 3.0),
            Pt(3.0, 3.0),
            Pt(3.0, 6.0),
            Pt(0.0, 6.0),
        ];
        let walls: f64 = house(corner, Roof::Flat, 0.0)
            .iter()
            .filter(|f| f.normal[2].abs() < 0.5)
            .map(size)
            .sum();
        assert!((walls - 72.0).abs() < 1e-3, "{walls}");
    }
}
