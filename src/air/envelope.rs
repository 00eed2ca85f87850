//! What a room loses heat through and what sun comes in, from the drawing.

use super::{openings::Opening, year::OpenYear};
use crate::{
    base::{Id, Pt, calendar::HOURS, geometry},
    site::{
        Building, Covering, CoveringKind, Glazing, Insulation, Mass, Room, Site, Window,
        WindowKind,
        outside::{faces_open, home_of, leads_outside},
    },
};

/// Heat passed by glazing with its frame, W/(m² K). Handbook orders of magnitude, from memory.
#[must_use]
pub fn glazing_u_w_m2_k(glazing: Glazing) -> f64 {
    match glazing {
        Glazing::Single | Glazing::Obscured => 5.7,
        Glazing::Double => 2.8,
        Glazing::DoubleLowE => 1.4,
        Glazing::Triple => 1.1,
        Glazing::Polycarbonate => 3.3,
        // No glass: what the air that goes in and out carries.
        Glazing::Open => 60.0,
    }
}

/// Share of the sun's energy on the pane that comes in, over all angles and with the frame.
#[must_use]
pub fn glazing_gain(glazing: Glazing) -> f64 {
    0.85 * match glazing {
        Glazing::Single => 0.75,
        Glazing::Double => 0.62,
        Glazing::DoubleLowE => 0.55,
        Glazing::Triple => 0.50,
        Glazing::Obscured => 0.70,
        Glazing::Polycarbonate => 0.65,
        Glazing::Open => 1.0 / 0.85,
    }
}

/// Heat passed by opaque outer parts, W/(m² K), as promised at [`Insulation`].
#[must_use]
pub fn insulation_u_w_m2_k(insulation: Insulation) -> f64 {
    match insulation {
        Insulation::Poor => 1.5,
        Insulation::Ordinary => 0.7,
        Insulation::Good => 0.25,
    }
}

/// A plain inner wall between a room and the house, W/(m² K) (our choice).
const SHARED_WALL_U: f64 = 1.2;
/// Floor on the ground, W/(m² K) (our choice).
const GROUND_U: f64 = 0.4;
/// A solid outer door, W/(m² K).
const DOOR_U: f64 = 2.5;
/// Reflectance of the ground before a window.
const GROUND_REFLECTANCE: f64 = 0.2;
const SKYLINE_BINS: usize = 36;

/// Heat capacity that takes part in the day's swing, kJ/(m² K) of floor, and its surface by floor area
/// (ISO 13790:2008 table 12).
#[must_use]
pub fn mass_kj_m2_k(mass: Mass) -> (f64, f64) {
    match mass {
        Mass::Light => (110.0, 2.5),
        Mass::Medium => (165.0, 2.5),
        Mass::Heavy => (260.0, 3.0),
    }
}

/// A room's losses and its glass.
#[derive(Clone, Debug)]
pub struct Envelope {
    pub floor_m2: f64,
    pub volume_m3: f64,
    /// Glass and doors to the open air, W/K.
    pub glass_w_k: f64,
    /// Opaque parts to the open air, W/K.
    pub opaque_w_k: f64,
    /// Inner walls to heated rooms, W/K.
    pub house_w_k: f64,
    /// Floor to the ground, W/K.
    pub ground_w_k: f64,
    /// Heat lost to a cloudless sky beyond that to the air, W (ISO 13790:2008, 11.3.5: 11 K below the air).
    pub sky_loss_w: f64,
    pub panes: Vec<Pane>,
    /// Highest heat loss of any glass, W/(m² K): where vapour condenses first.
    pub worst_glass_u: f64,
}

/// Glass that the sun may come through.
#[derive(Clone, Debug)]
pub struct Pane {
    pub area_m2: f64,
    pub gain: f64,
    /// Outward normal on the plan; `None` for a roof.
    normal: Option<Pt>,
    at: Pt,
    height_m: f64,
    /// Sine of the elevation up to which the sun is hidden, by plan azimuth.
    skyline: [f64; SKYLINE_BINS],
    /// Depth of the eaves before it and their height over its middle, m.
    eaves: Option<(f64, f64)>,
    coverings: Vec<Covering>,
}

impl Envelope {
    #[must_use]
    pub fn of(site: &Site, id: &Id, room: &Room, shared_with_house: f64) -> Self {
        let floor_m2 = geometry::signed_area(&room.outline).abs().max(0.5);
        let u_wall = insulation_u_w_m2_k(room.insulation);
        let home = home_of(site, room);
        let mut panes = Vec::new();
        let (mut glass_w_k, mut sky_loss_w, mut worst_u) = (0.0, 0.0, 0.0_f64);
        let (mut outer_m2, mut all_m2) = (0.0, 0.0);
        let turn = geometry::signed_area(&room.outline).signum();
        let mut add_glass = |area: f64, u: f64, roof: bool| {
            glass_w_k += area * u;
            worst_u = worst_u.max(u.min(6.0));
            sky_loss_w += sky_loss(u.min(6.0), area, if roof { 1.0 } else { 0.5 });
        };
        for (wall, (a, b)) in geometry::edges(&room.outline).enumerate() {
            let normal = (b - a).left().unit() * -turn;
            let area = a.distance(b) * room.height_m;
            let outer = faces_open(site, (id, room), home, a.lerp(b, 0.5), normal);
            all_m2 += area;
            let mut glazed = 0.0;
            for window in site
                .windows
                .values()
                .filter(|w| w.room == *id && w.wall == wall)
            {
                let size = (window.width_m * window.height_m).clamp(0.0, area);
                if !outer || size <= 0.0 {
                    continue;
                }
                glazed += size;
                if window.kind == WindowKind::Door {
                    add_glass(size, DOOR_U, false);
                } else {
                    add_glass(size, glazing_u_w_m2_k(window.glazing), false);
                    panes.push(Pane::of_window(site, room, home, window, (a, b), normal));
                }
            }
            let rest = (area - glazed).max(0.0);
            if let (true, Some(glazing)) = (outer, room.glazed_walls) {
                add_glass(rest, glazing_u_w_m2_k(glazing), false);
                panes.push(Pane::new(
                    site,
                    home,
                    (rest, glazing_gain(glazing) * 0.9),
                    Some(normal),
                    (a.lerp(b, 0.5), room.floor_m + 0.5 * room.height_m),
                    Vec::new(),
                ));
            } else if outer {
                outer_m2 += rest;
            }
        }
        let top = room.floor_m + room.height_m;
        let storey_above = home.is_some_and(|b| b.wall_top_m > top + 1.5);
        let mut opaque_w_k = outer_m2.min((1.0 - shared_with_house) * all_m2) * u_wall;
        if let Some(glazing) = room.glazed_roof {
            add_glass(floor_m2, glazing_u_w_m2_k(glazing), true);
            panes.push(Pane::new(
                site,
                home,
                (floor_m2, glazing_gain(glazing) * 0.9),
                None,
                (geometry::centroid(&room.outline), top),
                Vec::new(),
            ));
        } else if !storey_above {
            opaque_w_k += floor_m2 * u_wall;
            sky_loss_w += sky_loss(u_wall, floor_m2, 1.0);
        }
        Self {
            floor_m2,
            volume_m3: floor_m2 * room.height_m.max(0.5),
            glass_w_k,
            opaque_w_k,
            house_w_k: shared_with_house.clamp(0.0, 1.0) * all_m2 * SHARED_WALL_U,
            ground_w_k: if room.floor_m < 0.6 {
                GROUND_U * floor_m2
            } else {
                0.0
            },
            sky_loss_w,
            panes,
            worst_glass_u: worst_u,
        }
    }

    /// Heat of the sun that comes in, W, in each of 8,760 hours.
    pub(crate) fn sun_w(&self, site: &Site, open: &OpenYear) -> Vec<f32> {
        let mut gains = vec![0.0_f32; HOURS];
        for pane in &self.panes {
            let sky_share = pane.sky_share(site);
            for (h, gain) in gains.iter_mut().enumerate() {
                let sun = &open.sun[h];
                if super::year::at(&open.global_w_m2, h) <= 0.0 {
                    continue;
                }
                let month0 = open.hours[h].month0;
                let beam = super::year::at(&open.beam_w_m2, h)
                    * pane.beam_share(site, month0, sun.x, sun.y, sun.z);
                let sky = super::year::at(&open.sky_w_m2, h) * sky_share;
                let ground = if pane.normal.is_some() {
                    0.5 * GROUND_REFLECTANCE * super::year::at(&open.global_w_m2, h)
                } else {
                    0.0
                };
                let drawn = drawn_share(&pane.coverings, month0, open.hours[h].clock_h);
                *gain += ((beam + sky + ground) * pane.area_m2 * pane.gain * drawn) as f32;
            }
        }
        gains
    }
}

/// Doors and windows of a room that stand open to the outside at times.
pub(crate) fn openings_of(site: &Site, id: &Id, room: &Room) -> Vec<Opening> {
    site.windows
        .values()
        .filter(|w| w.room == *id && w.opened.is_some())
        .filter(|w| leads_outside(site, (id, room), w.wall))
        .filter_map(|w| Opening::of(room, w))
        .collect()
}

fn sky_loss(u: f64, area_m2: f64, view: f64) -> f64 {
    // Outer surface resistance 0.04 m²K/W, radiative coefficient 4.5 W/m²K, sky 11 K below the air.
    0.04 * u * area_m2 * view * 4.5 * 11.0
}

/// Share of the sun's heat that drawn coverings let in.
fn drawn_share(coverings: &[Covering], month0: usize, clock_h: f64) -> f64 {
    coverings
        .iter()
        .filter(|c| c.is_drawn(month0, clock_h))
        .map(|c| match c.kind {
            CoveringKind::NetCurtain | CoveringKind::InsectScreen => 0.7,
            CoveringKind::Blind => 0.5,
            CoveringKind::Curtain => 0.25,
        })
        .product()
}

/// Whether a covering is drawn.
pub(crate) trait Drawn {
    fn is_drawn(&self, month0: usize, clock_h: f64) -> bool;
}

impl Drawn for Covering {
    fn is_drawn(&self, month0: usize, clock_h: f64) -> bool {
        self.months.has(month0)
            && crate::base::calendar::hour_within(clock_h, self.from_h, self.to_h)
    }
}

impl Pane {
    fn of_window(
        site: &Site,
        room: &Room,
        home: Option<&Building>,
        window: &Window,
        (a, b): (Pt, Pt),
        normal: Pt,
    ) -> Self {
        let along = (b - a).unit();
        let middle = a + along * (window.from_corner_m + 0.5 * window.width_m);
        Self::new(
            site,
            home,
            (
                window.width_m.max(0.0) * window.height_m.max(0.0),
                glazing_gain(window.glazing) * window.clean.clamp(0.0, 1.0),
            ),
            Some(normal),
            (middle, room.floor_m + window.sill_m + 0.5 * window.height_m),
            window.coverings.clone(),
        )
    }

    fn new(
        site: &Site,
        home: Option<&Building>,
        (area_m2, gain): (f64, f64),
        normal: Option<Pt>,
        (middle, height_m): (Pt, f64),
        coverings: Vec<Covering>,
    ) -> Self {
        // Start just outside the outer face of the wall.
        let out = normal.map_or(Pt(0.0, 0.0), |n| {
            let to_face = home
                .and_then(|b| nearest_meeting(&b.outline, middle, n))
                .filter(|x| *x < 1.0)
                .unwrap_or(0.3);
            n * (to_face + 0.05)
        });
        let at = middle + out;
        Self {
            area_m2,
            gain,
            normal,
            at,
            height_m,
            skyline: skyline(site, at, height_m),
            eaves: home
                .filter(|b| b.eaves_m > 0.05)
                .map(|b| (b.eaves_m, (b.wall_top_m - height_m).max(0.1))),
            coverings,
        }
    }

    /// Beam on the pane by beam square to the sun.
    fn beam_share(&self, site: &Site, month0: usize, x: f64, y: f64, z: f64) -> f64 {
        let facing = self.normal.map_or(z, |n| n.x() * x + n.y() * y);
        if facing <= 0.01 || z <= 0.0 {
            return 0.0;
        }
        let turn = x.atan2(y).rem_euclid(std::f64::consts::TAU) / std::f64::consts::TAU;
        let bin = (turn * SKYLINE_BINS as f64).round() as usize % SKYLINE_BINS;
        if z < self.skyline[bin] {
            return 0.0;
        }
        if let (Some(_), Some((depth, height))) = (self.normal, self.eaves)
            && z * depth > height * facing
        {
            return 0.0;
        }
        let mut passed = facing;
        for canopy in site.canopies.values() {
            let rise = canopy.height_m - self.height_m;
            if rise > 0.0 && canopy.months.has(month0) {
                let under = self.at + Pt(x, y) * (rise / z.max(0.05));
                if geometry::contains(&canopy.outline, under) {
                    passed *= canopy.passes.clamp(0.0, 1.0);
                }
            }
        }
        passed
    }

    /// Even-sky light on the pane by that on open level ground.
    fn sky_share(&self, site: &Site) -> f64 {
        let open =
            self.skyline.iter().map(|s| (1.0 - s).max(0.0)).sum::<f64>() / SKYLINE_BINS as f64;
        let covered = site
            .canopies
            .values()
            .filter(|c| c.height_m > self.height_m && geometry::contains(&c.outline, self.at))
            .fold(1.0, |left, c| left * (0.4 + 0.6 * c.passes.clamp(0.0, 1.0)));
        let tilt = if self.normal.is_some() { 0.5 } else { 1.0 };
        tilt * open * covered
    }
}

fn nearest_meeting(outline: &[Pt], at: Pt, towards: Pt) -> Option<f64> {
    geometry::edges(outline)
        .filter_map(|(a, b)| super::shelter::ray_meets(at, towards, a, b))
        .min_by(f64::total_cmp)
}

/// Sine of the elevation of what stands around, by plan azimuth.
fn skyline(site: &Site, at: Pt, height_m: f64) -> [f64; SKYLINE_BINS] {
    std::array::from_fn(|bin| {
        let towards = Pt::towards(bin as f64 / SKYLINE_BINS as f64 * std::f64::consts::TAU);
        let mut highest = 0.0_f64;
        let mut meet = |distance: Option<f64>, top: f64| {
            if let Some(x) = distance {
                let rise = top - height_m;
                if rise > 0.0 {
                    highest = highest.max(rise / rise.hypot(x));
                }
            }
        };
        for building in site.buildings.values() {
            meet(
                nearest_meeting(&building.outline, at, towards),
                building.wall_top_m,
            );
        }
        for screen in site.screens.values().filter(|s| s.porosity < 0.5) {
            let nearest = screen
                .line
                .windows(2)
                .filter_map(|w| super::shelter::ray_meets(at, towards, w[0], w[1]))
                .min_by(f64::total_cmp);
            meet(nearest, screen.top_m);
        }
        highest
    })
}
