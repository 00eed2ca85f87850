//! What a place sees round about: what stands against the sky, the part of the sky that windows leave, the sun's way
//! on the 21st of each month with the parts that reach the place, hours of sun and light by month.

use glam::{Vec2, Vec3};
use serde::Serialize;

use super::{
    LightInputs, Scene,
    room::{Enclosure, Pane},
    scene::{NO_OWN, Ray, towards},
    sight, spots_year, sun_path,
    year::Year,
};
use crate::{
    base::{
        Cancelled, Id, Progress, Pt, Week,
        calendar::{Day, MONTH_STARTS},
    },
    site::{Site, Spot, edit::ObjectKind},
};

/// Elevations are told apart in steps of half a degree.
const STEPS: usize = 180;
/// Shares closer than this belong to one stretch.
const ALIKE: f32 = 0.05;
/// Minutes between points of the sun's way.
const STEP_MIN: usize = 10;
/// Day of the month for which the sun's way is given.
const DAY: usize = 21;

/// Where something stands against the sky, upwards along one azimuth.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Stretch {
    pub from_deg: f32,
    pub to_deg: f32,
    /// Share of light let through, 0 (solid) ..1.
    pub passes: f32,
    /// What takes most of it: an index into [`Horizon::objects`]; the room itself if `None`.
    pub object: Option<u16>,
}

/// One skyline for the months in which the same leaves are out and the same cloths are up.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Skyline {
    /// 0..12.
    pub months: Vec<usize>,
    /// For each whole degree of true azimuth what stands there, from the horizon up. In a room nothing but the
    /// openings is seen through; glass itself counts as clear.
    pub columns: Vec<Vec<Stretch>>,
}

impl Skyline {
    /// Elevation below which nothing is seen at an azimuth, 0..=90°.
    #[must_use]
    pub fn closed_deg(&self, azimuth_deg: usize) -> f32 {
        let column = self.columns.get(azimuth_deg % 360).into_iter().flatten();
        column
            .take_while(|s| s.passes <= 0.0)
            .fold(0.0, |up, s| if s.from_deg <= up { s.to_deg } else { up })
    }

    /// Highest elevation at which anything stands at an azimuth, 0..=90°.
    #[must_use]
    pub fn top_deg(&self, azimuth_deg: usize) -> f32 {
        let column = self.columns.get(azimuth_deg % 360);
        column.and_then(|c| c.last()).map_or(0.0, |s| s.to_deg)
    }
}

/// An object that stands against the sky.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Obstruction {
    pub kind: ObjectKind,
    pub id: Id,
}

/// The sun at a moment of a day.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct SunPoint {
    /// Local standard time.
    pub hour_h: f64,
    pub azimuth_deg: f64,
    pub elevation_deg: f64,
    /// Share of the beam that reaches the place, 0..=1: through leaves, cloth, glass and what is drawn over it.
    pub reaches: f32,
}

/// The sun's way on one day, while it is up.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SunArc {
    /// Day of the year, 0..365.
    pub day: usize,
    pub points: Vec<SunPoint>,
}

/// The diagram of one place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Horizon {
    pub objects: Vec<Obstruction>,
    /// In the order of their first month.
    pub skylines: Vec<Skyline>,
    /// In a room: what each pane frames, as corners (azimuth, elevation) in degrees. Azimuths run on beyond 0 and 360.
    pub openings: Vec<Vec<(f32, f32)>>,
    /// On the 21st of each of twelve months.
    pub arcs: Vec<SunArc>,
    /// Hours of direct sun on a clear day, mean of each month's days.
    pub sun_h: [f64; 12],
    /// Mean daily light integral of each month in the typical year, mol m⁻² d⁻¹.
    pub dli_mol_m2_d: [f64; 12],
}

/// Where the diagram is taken, and how it sees out.
struct Eye<'a> {
    scene: &'a Scene,
    at: Vec3,
    room: Option<&'a Enclosure>,
}

/// The diagram of a spot, or of any place put in the form of one.
///
/// # Errors
/// [`Cancelled`].
pub fn horizon(
    inputs: &LightInputs<'_>,
    site: &Site,
    spot: &Spot,
    progress: &Progress,
) -> Result<Horizon, Cancelled> {
    let id = Id::new("place");
    let light = spots_year(inputs, site, &[(&id, spot)], progress)?;
    progress.check()?;
    let eye = Eye::of(inputs.scene, site, spot);
    let year = Year::new(inputs, false);
    let (mut sun_h, mut dli) = ([0.0; 12], [0.0; 12]);
    if let Some(light) = light.first() {
        for month in 0..12 {
            let days = MONTH_STARTS[month]..MONTH_STARTS[month + 1];
            let n = days.len() as f64;
            for day in days {
                let of = |v: &[f32], k: usize| v.get(k).copied().map_or(0.0, f64::from);
                dli[month] += of(&light.dli, day) / n;
                sun_h[month] += of(&light.clear_sun_h, Day::new(day).week().index()) / n;
            }
        }
    }
    let arcs = (0..12)
        .map(|m| eye.arc(&year, MONTH_STARTS[m] + DAY - 1))
        .collect();
    progress.check()?;
    Ok(Horizon {
        objects: inputs
            .scene
            .origins
            .iter()
            .map(|(kind, id)| Obstruction {
                kind: *kind,
                id: id.clone(),
            })
            .collect(),
        skylines: eye.skylines(progress)?,
        openings: eye.openings(),
        arcs,
        sun_h,
        dli_mol_m2_d: dli,
    })
}

/// The sun's way over a spot in the middle of a week.
#[must_use]
pub fn arc_of_week(inputs: &LightInputs<'_>, site: &Site, spot: &Spot, week: Week) -> SunArc {
    let year = Year::new(inputs, false);
    Eye::of(inputs.scene, site, spot).arc(&year, week.first_day().index() + 3)
}

/// What stands against the sky in a month (0..12) from a plan point at a height above the ground, m (in a room above
/// its floor).
#[must_use]
pub fn skyline(scene: &Scene, month0: usize, at: Pt, height_m: f64, room: Option<&Id>) -> Skyline {
    let room = scene.room(room);
    let floor = room.map_or(0.0, |r| r.floor);
    let at = scene.turn.point(at).extend(floor + height_m).as_vec3();
    let eye = Eye {
        scene,
        at: room.map_or(at, |r| r.drawn_in(at)),
        room: room.map(|r| &**r),
    };
    let state = scene.state_of_month[month0 % 12];
    Skyline {
        months: (0..12)
            .filter(|m| scene.state_of_month[*m] == state)
            .collect(),
        columns: (0..360).map(|a| eye.column(a, state.into())).collect(),
    }
}

impl<'a> Eye<'a> {
    fn of(scene: &'a Scene, site: &Site, spot: &Spot) -> Self {
        let z = site.spot_height_m(spot) + spot.leaf_m;
        let at = scene.turn.point(spot.middle()).extend(z).as_vec3();
        let room = scene.room(spot.room.as_ref()).map(|r| &**r);
        Self {
            scene,
            at: room.map_or(at, |r| r.drawn_in(at)),
            room,
        }
    }

    fn skylines(&self, progress: &Progress) -> Result<Vec<Skyline>, Cancelled> {
        let mut lines: Vec<Skyline> = Vec::new();
        let mut states = Vec::new();
        for (month, state) in self.scene.state_of_month.iter().enumerate() {
            if let Some(k) = states.iter().position(|s| s == state) {
                lines[k].months.push(month);
                continue;
            }
            progress.check()?;
            states.push(*state);
            lines.push(Skyline {
                months: vec![month],
                columns: (0..360)
                    .map(|a| self.column(a, usize::from(*state)))
                    .collect(),
            });
        }
        Ok(lines)
    }

    /// Share seen along a direction and what takes most of it.
    fn look(&self, dir: Vec3, state: usize) -> (f32, Option<u16>) {
        match self.room {
            None => self
                .scene
                .seen_along(&Ray::new(self.at, dir), &NO_OWN, state),
            Some(room) => room
                .panes
                .iter()
                .find_map(|pane| {
                    let way = pane.way_out(self.at, dir)?;
                    let ray = Ray::new(way.at, dir);
                    room.reaches(self.at, pane, &way)
                        .then(|| self.scene.seen_along(&ray, &pane.own, state))
                })
                .unwrap_or((0.0, None)),
        }
    }

    fn column(&self, azimuth_deg: u16, state: usize) -> Vec<Stretch> {
        let azimuth = f64::from(azimuth_deg).to_radians();
        let mut column: Vec<Stretch> = Vec::new();
        for k in 0..STEPS {
            let step = 90.0 / STEPS as f64;
            let from = k as f64 * step;
            let (passes, object) =
                self.look(towards(azimuth, (from + step / 2.0).to_radians()), state);
            if passes > 0.995 {
                continue;
            }
            let (from_deg, to_deg) = (from as f32, (from + step) as f32);
            match column.last_mut() {
                Some(last)
                    if (last.to_deg - from_deg).abs() < 1e-3
                        && last.object == object
                        && (last.passes - passes).abs() < ALIKE
                        && (last.passes > 0.0) == (passes > 0.0) =>
                {
                    last.to_deg = to_deg;
                }
                _ => column.push(Stretch {
                    from_deg,
                    to_deg,
                    passes,
                    object,
                }),
            }
        }
        column
    }

    fn arc(&self, year: &Year<'_>, day: usize) -> SunArc {
        let (place, sun) = (year.inputs.place, year.inputs.sun);
        let month0 = Day::new(day).month0();
        let state = usize::from(self.scene.state_of_month[month0]);
        let points = (0..24 * 60 / STEP_MIN)
            .filter_map(|k| {
                let hour_h = (k as f64 + 0.5) * STEP_MIN as f64 / 60.0;
                let dir = sun_path::direction_at(place, sun, day, hour_h)?;
                let (azimuth, elevation) = sun_path::angles(dir);
                let clock_h = year.clock_h(day * 24 + hour_h as usize);
                (elevation > 0.0).then(|| SunPoint {
                    hour_h,
                    azimuth_deg: azimuth.to_degrees(),
                    elevation_deg: elevation.to_degrees(),
                    reaches: self.beam(dir.as_vec3(), state, month0, clock_h),
                })
            })
            .collect();
        SunArc { day, points }
    }

    fn beam(&self, dir: Vec3, state: usize, month0: usize, clock_h: f64) -> f32 {
        let Some(room) = self.room else {
            return self
                .scene
                .beam_share(&Ray::new(self.at, dir), &NO_OWN, state);
        };
        sight::beam_indoors(self.scene, room, self.at, dir, state).map_or(0.0, |(k, share)| {
            let left = room.panes.get(k).map_or(1.0, |pane| {
                pane.covered(month0, clock_h, sight::near(pane, self.at)).0
            });
            share * left
        })
    }

    fn openings(&self) -> Vec<Vec<(f32, f32)>> {
        let panes = self.room.iter().flat_map(|r| &r.panes);
        panes
            .filter_map(|pane| {
                let corners = framed(pane, self.at)?;
                let glass = pane.corner + pane.normal * pane.reveal;
                let mut outline: Vec<(f32, f32)> = Vec::new();
                for (i, a) in corners.iter().enumerate() {
                    let b = corners[(i + 1) % corners.len()];
                    // Straight edges are bent in azimuth and elevation.
                    for k in 0..8 {
                        let p = a.lerp(b, k as f32 / 8.0);
                        let to = (glass + pane.u * p.x + pane.v * p.y - self.at)
                            .normalize_or(pane.normal);
                        let (azimuth, elevation) = sun_path::angles(to.as_dvec3());
                        let mut azimuth = azimuth.to_degrees() as f32;
                        if let Some((before, _)) = outline.last() {
                            azimuth += ((before - azimuth) / 360.0).round() * 360.0;
                        }
                        outline.push((azimuth, elevation.to_degrees() as f32));
                    }
                }
                Some(outline)
            })
            .collect()
    }
}

/// The part of a pane that can be seen out of through the whole depth of its wall, in the pane's frame.
fn framed(pane: &Pane, at: Vec3) -> Option<Vec<Vec2>> {
    let d = at - pane.corner;
    let eye = Vec2::new(d.dot(pane.u), d.dot(pane.v));
    let to_glass = pane.reveal - d.dot(pane.normal);
    if to_glass <= 1e-3 {
        return None;
    }
    if !pane.clip.is_empty() {
        return Some(pane.clip.clone());
    }
    let (mut low, mut high) = (Vec2::ZERO, pane.size);
    for depth in [-pane.reveal, pane.outer_reveal] {
        let distance = to_glass + depth;
        if depth != 0.0 && distance > 1e-3 {
            let scale = to_glass / distance;
            low = low.max(eye + (Vec2::ZERO - eye) * scale);
            high = high.min(eye + (pane.size - eye) * scale);
        }
    }
    (low.x < high.x && low.y < high.y).then(|| {
        vec![
            low,
            Vec2::new(high.x, low.y),
            high,
            Vec2::new(low.x, high.y),
        ]
    })
}
