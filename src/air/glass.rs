//! The cold side of a room: glass, the air that slides down it, and the space behind a drawn curtain.

use super::envelope::{Drawn, glazing_u_w_m2_k};
use crate::{
    base::{Pt, geometry},
    site::{
        CoveringKind, Room, Site, Spot, Window, WindowKind,
        outside::{faces_open, home_of},
    },
};

/// Resistance from room air to the inner surface, m²K/W (ISO 6946, level heat flow).
pub const INNER_RESISTANCE: f64 = 0.13;
/// Share of the step from room to glass that the air beside the glass takes (our choice).
const AIR_SHARE: f64 = 0.35;
/// A clear sky below the air of a frost night, K (0 °C and a dew point of -2 °C; see `sky_heat`).
const CLEAR_SKY_BELOW_AIR_K: f64 = 20.0;
/// How far from the glass that reaches, m (our choice).
const REACH_M: f64 = 0.15;

/// Temperature of the inner face of a pane, °C.
#[must_use]
pub fn inner_surface_c(room_c: f64, out_c: f64, u_w_m2_k: f64) -> f64 {
    room_c - (room_c - out_c) * (u_w_m2_k * INNER_RESISTANCE).min(1.0)
}

/// Air `x_m` from a pane, °C.
#[must_use]
pub fn air_beside_c(room_c: f64, glass_c: f64, x_m: f64) -> f64 {
    room_c - AIR_SHARE * (room_c - glass_c) * (-x_m.max(0.0) / REACH_M).exp()
}

/// Speed of the air that slides down a cold pane, m/s: 0.055 √(H ΔT) close to it (Heiselberg 1994, ASHRAE
/// Transactions 100(1); from memory), fading away from it.
#[must_use]
pub fn downdraught_m_s(pane_height_m: f64, colder_k: f64, x_m: f64) -> f64 {
    let reach = (-(x_m - 0.1).max(0.0) / 0.3).exp();
    0.055 * (pane_height_m.max(0.0) * colder_k.max(0.0)).sqrt() * reach
}

/// A window beside a spot.
#[derive(Clone, Debug)]
pub(crate) struct WindowSide {
    pub name: String,
    pub u_w_m2_k: f64,
    /// From the leaves to the pane, m.
    pub x_m: f64,
    /// How much of its effect reaches the height of the leaves, 0..=1.
    pub at_height: f64,
    pub pane_height_m: f64,
    /// Share of what the leaves see that is this pane, 0..=0.5.
    pub view: f64,
    pub gap_mm: f64,
    window: Window,
}

/// What the windows do at one time.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct BesideGlass {
    /// On the air, K, by the pane itself.
    pub glass_k: f64,
    /// On the air, K, because a curtain cuts the place off from the room.
    pub curtain_k: f64,
    pub speed_m_s: f64,
    /// Temperature of the panes in sight, °C, and their share of the view.
    pub seen_c: f64,
    pub view: f64,
}

impl BesideGlass {
    /// How much there is to keep under a frost cover, by what a clear still night in the open takes, 0..=1: heat that leaves
    /// lose to panes and glazed roof by what they would lose to a clear sky.
    pub fn still(&self, room_c: f64) -> f64 {
        (self.view * (room_c - self.seen_c) / CLEAR_SKY_BELOW_AIR_K).clamp(0.0, 1.0)
    }
}

impl WindowSide {
    /// What it does with this room and outer air.
    pub fn at(&self, room_c: f64, out_c: f64, month0: usize, clock_h: f64) -> BesideGlass {
        let pane_c = inner_surface_c(room_c, out_c, self.u_w_m2_k);
        let (mut behind, mut before) = (0.0_f64, 0.0_f64);
        for covering in &self.window.coverings {
            if !covering.is_drawn(month0, clock_h) {
                continue;
            }
            let tight = match covering.kind {
                CoveringKind::Curtain => 1.0,
                CoveringKind::Blind => 0.6,
                CoveringKind::NetCurtain => 0.25,
                CoveringKind::InsectScreen => 0.0,
            };
            if covering.behind_plants {
                behind = behind.max(tight);
            } else {
                before = before.max(tight);
            }
        }
        // A curtain on the glass side adds about as much resistance as a second pane with a loose fit.
        let pane_c = room_c - (room_c - pane_c) * (1.0 - 0.5 * before);
        let beside = air_beside_c(room_c, pane_c, self.x_m) - room_c;
        let glass_k = beside * self.at_height;
        // Cut off from the room, the space is as far from the pane's temperature as the layer at the pane.
        let cut_off = if self.x_m < 0.45 {
            behind * self.at_height
        } else {
            0.0
        };
        let pocket_k = (AIR_SHARE - 1.0) * (room_c - pane_c);
        BesideGlass {
            glass_k,
            curtain_k: cut_off * (pocket_k - glass_k),
            speed_m_s: self.at_height
                * downdraught_m_s(self.pane_height_m, room_c - pane_c, self.x_m),
            seen_c: pane_c,
            view: self.view,
        }
    }
}

/// The windows and doors of the spot's room that are near enough to matter, nearest first. What leads to another room
/// has no cold behind it.
pub(crate) fn windows_beside(site: &Site, spot: &Spot, room: &Room) -> Vec<WindowSide> {
    let Some(id) = &spot.room else {
        return Vec::new();
    };
    let at = spot.middle();
    let leaf_m = spot.height_m + spot.leaf_m;
    let turn = geometry::signed_area(&room.outline).signum();
    let edges: Vec<(Pt, Pt)> = geometry::edges(&room.outline).collect();
    let home = home_of(site, room);
    let mut sides: Vec<WindowSide> = site
        .windows
        .values()
        .filter(|w| w.room == *id)
        .filter_map(|window| {
            let (a, b) = *edges.get(window.wall)?;
            let along = (b - a).unit();
            let inward = along.left() * turn;
            let first = a + along * window.from_corner_m;
            let last = first + along * window.width_m;
            if !faces_open(site, (id, room), home, first.lerp(last, 0.5), inward * -1.0) {
                return None;
            }
            let (_, place) = geometry::nearest_on_segment(first, last, at);
            let aside = (at - first.lerp(last, place)).dot(along).abs();
            let level = ((at - a).dot(inward) + window.reveal_m)
                .max(0.02)
                .hypot(aside);
            side_of(window, level, leaf_m)
        })
        .collect();
    if let (Some(glazing), false) = (room.glazed_walls, edges.is_empty()) {
        let x_m = geometry::distance_to_rim(&room.outline, at).max(0.02);
        let window = Window {
            name: "glass wall".to_owned(),
            sill_m: 0.0,
            height_m: room.height_m,
            glazing,
            ..Window::default()
        };
        sides.extend(side_of(&window, x_m, leaf_m));
    }
    sides.sort_by(|a, b| a.x_m.total_cmp(&b.x_m).then_with(|| a.name.cmp(&b.name)));
    sides
}

fn side_of(window: &Window, x_m: f64, leaf_m: f64) -> Option<WindowSide> {
    let (low, high) = (window.sill_m, window.sill_m + window.height_m);
    // The cold air slides down: below the pane it is still felt, above it not.
    let off = (low - 0.6 - leaf_m).max(leaf_m - high).max(0.0);
    let at_height = (-off / 0.2).exp();
    let near = x_m < 2.5;
    let size = (window.width_m * window.height_m).max(0.0);
    let solid_angle = size / (size + 4.0 * x_m * x_m);
    near.then(|| WindowSide {
        name: window.name.clone(),
        u_w_m2_k: if window.kind == WindowKind::Door {
            2.5
        } else {
            glazing_u_w_m2_k(window.glazing).min(7.0)
        },
        x_m,
        at_height,
        pane_height_m: window.height_m,
        view: 0.5 * solid_angle,
        gap_mm: window.leak_gap_mm,
        window: window.clone(),
    })
}
