//! Air at a spot in the open: what the night sky, walls, paving, wind and cover make of the garden's air.

use super::{
    covers,
    devices::{Effect, Running},
    parts::{Cause, HourParts},
    plume::Stream,
    pools::{self, Pool},
    shelter::{self, DIRECTIONS},
    year::{OpenHour, OpenYear, at},
};
use crate::{
    base::{
        Pt,
        calendar::{DAYS, HOURS, MONTH_STARTS},
        geometry, units,
    },
    light::SpotLight,
    site::{GroundKind, Insulation, NightCover, NightCoverKind, RoomAir, ScreenKind, Site, Spot},
};

/// Air at the ground below that at 1.5 m on a clear still night under an open sky, K (our choice; grass minima lie
/// 2 to 5 K below the screen).
const POOL_K: f64 = 2.5;
/// Height over which that fades, m.
const POOL_HEIGHT_M: f64 = 0.7;
/// Wind that breaks it, m/s.
const POOL_WIND_M_S: f64 = 1.5;
/// Air under full cover above that in the open, clear still night, K (our choice; 0.5 to 1.5).
const COVER_K: f64 = 1.0;
/// Share of a warm wall's excess in the air at the wall, and how it fades with distance, m (our choice).
const WALL_SHARE: f64 = 0.2;
const WALL_FADE_M: f64 = 0.4;
/// Time constant of masonry in the sun, h.
const WALL_LAG_H: f64 = 4.0;
/// Share of warm paving's excess in the air close above it (our choice).
const PAVING_SHARE: f64 = 0.1;
const PAVING_LAG_H: f64 = 5.0;
/// Sunny air out of the wind above that in the wind, K at 800 W/m² and no wind at all (our choice; 0.5 to 2).
const LEE_K: f64 = 1.5;
/// Walls farther away than this are not felt, m.
const WALL_REACH_M: f64 = 2.0;

pub(crate) struct OutdoorSpot {
    pub height_m: f64,
    sky_view: [f64; 12],
    shelter: Vec<[f64; DIRECTIONS]>,
    mean_shelter: [f64; 12],
    profile: f64,
    hollow_k: [f64; 12],
    pool: Option<Pool>,
    foot_m: f64,
    night_cover: Option<NightCover>,
    wall: Option<NearWall>,
    wall_excess_k: Vec<f32>,
    paving_excess_k: Vec<f32>,
    sun_w_m2: Vec<f32>,
    effects: Vec<Effect>,
    pub rain_share: [f64; 12],
}

/// The nearest wall that stands high enough to matter.
#[derive(Clone, Debug)]
pub(crate) struct NearWall {
    pub name: String,
    pub x_m: f64,
    normal: Pt,
    absorptance: f64,
    /// Heat that the house loses through it per kelvin, W/(m² K).
    house_u: f64,
    /// Share of a half space that it fills, seen from the leaves.
    view: f64,
}

impl NearWall {
    /// Away from it on the plan.
    pub fn outwards(&self) -> Pt {
        self.normal
    }

    /// What of its warmth over the air, K, is in the air at the leaves.
    fn in_air(&self, excess_k: f64) -> f64 {
        WALL_SHARE * excess_k * (-self.x_m / WALL_FADE_M).exp()
    }
}

fn paving_in_air(excess_k: f64, height_m: f64) -> f64 {
    PAVING_SHARE * excess_k * (-height_m / POOL_HEIGHT_M).exp()
}

/// Hours that lead in to what sun-warmed masses hold.
const LEAD_H: usize = 48;

/// Wall and paving that take up the sun's warmth.
struct Masses<'a> {
    wall: Option<&'a NearWall>,
    paving: f64,
    /// Wind there in the open garden by that at 10 m.
    wind_share: f64,
}

/// What reaches them in an hour.
struct Around {
    shelter: f64,
    sky_view: f64,
    /// Share of the sun's time in the hour that the place lies in the sun.
    sunlit: f64,
    /// On the level.
    sun_w_m2: f64,
}

impl Masses<'_> {
    /// Steps through hours; `each` gets the number of the step, the hour of the year, and how much warmer than the air wall
    /// and paving are, K.
    fn run(
        &self,
        open: &OpenYear,
        hours: impl Iterator<Item = usize>,
        around: impl Fn(usize) -> Around,
        mut each: impl FnMut(usize, usize, f64, f64),
    ) {
        let wall_step = 1.0 - (-1.0 / WALL_LAG_H).exp();
        let paving_step = 1.0 - (-1.0 / PAVING_LAG_H).exp();
        let (mut wall_k, mut paving_k) = (0.0, 0.0);
        for (k, h) in hours.enumerate() {
            let hour = &open.hours[h];
            let here = around(h);
            let surface = 10.0 + 4.0 * hour.wind_m_s * self.wind_share * here.shelter;
            if let Some(wall) = self.wall {
                let sun = &open.sun[h];
                let facing = (wall.normal.x() * sun.x + wall.normal.y() * sun.y).max(0.0);
                let beam = at(&open.beam_w_m2, h) * facing * here.sunlit;
                let sky = 0.5 * at(&open.sky_w_m2, h) * here.sky_view;
                let sun_k = wall.absorptance * (beam + sky) / surface;
                let house_k = wall.house_u * (19.0 - hour.air_c).max(0.0) / surface;
                wall_k += (sun_k + house_k - wall_k) * wall_step;
            }
            if self.paving > 0.0 {
                paving_k += (self.paving * here.sun_w_m2 / surface - paving_k) * paving_step;
            }
            each(k, h, wall_k, paving_k);
        }
    }
}

/// What walls and paving give back to the air at a place at the night's lowest, K, mean of a month's nights (0..12). The
/// place counts as sunlit whenever the sun stands before the wall: what shades it is not looked for.
pub(crate) fn warm_by_night_k(
    site: &Site,
    spot: &Spot,
    open: &OpenYear,
    month0: usize,
    sky_view: f64,
    shelter: f64,
) -> f64 {
    let height_m = site.spot_height_m(spot) + spot.leaf_m;
    let wall = near_wall(site, spot, height_m);
    let paving = paving_absorptance(site, spot.middle());
    if wall.is_none() && paving <= 0.0 {
        return 0.0;
    }
    let masses = Masses {
        wall: wall.as_ref(),
        paving,
        wind_share: shelter::profile(height_m),
    };
    let first = MONTH_STARTS.get(month0).copied().unwrap_or(0) * 24;
    let end = MONTH_STARTS.get(month0 + 1).copied().unwrap_or(DAYS) * 24;
    let (mut sum, mut n) = (0.0, 0.0_f64);
    masses.run(
        open,
        (first + HOURS - LEAD_H..end + HOURS).map(|h| h % HOURS),
        |h| Around {
            shelter,
            sky_view,
            sunlit: 1.0,
            sun_w_m2: sky_view * at(&open.global_w_m2, h),
        },
        |k, h, wall_k, paving_k| {
            if k >= LEAD_H && open.min_hour[(h + 12) % HOURS / 24] == h {
                sum += wall.as_ref().map_or(0.0, |w| w.in_air(wall_k))
                    + paving_in_air(paving_k, height_m);
                n += 1.0;
            }
        },
    );
    sum / n.max(1.0)
}

/// What the night does at one time; shared by the typical year and the weather years.
#[derive(Clone, Copy, Debug)]
pub(crate) struct NightAir {
    pub sky_k: f64,
    pub cover_k: f64,
    pub hollow_k: f64,
    /// By a frost cover.
    pub fleece_k: f64,
    /// How clear and still it is about the spot, 0..=1.
    pub still: f64,
    /// Wind at the leaves, m/s.
    pub speed_m_s: f64,
}

impl OutdoorSpot {
    pub fn of(site: &Site, spot: &Spot, light: Option<&SpotLight>, open: &OpenYear) -> Self {
        let height_m = site.spot_height_m(spot) + spot.leaf_m;
        let shelter: Vec<[f64; DIRECTIONS]> = (0..12)
            .map(|m| shelter::by_direction(site, spot, m))
            .collect();
        let mean_shelter =
            std::array::from_fn(|m| shelter[m].iter().sum::<f64>() / DIRECTIONS as f64);
        // Without light figures the sky counts as open: frost is then rather over- than understated.
        let sky_view = std::array::from_fn(|m| {
            light
                .and_then(|l| l.factors.get(m))
                .map_or(1.0, |f| f.sky_view_cosine.clamp(0.0, 1.0))
        });
        let mut model = Self {
            height_m,
            sky_view,
            shelter,
            mean_shelter,
            profile: shelter::profile(height_m),
            // The grower's own figure may have the pool in it already.
            hollow_k: std::array::from_fn(|m| {
                let pool = pools::at(site, spot, m).map_or(0.0, |p| p.colder_k);
                spot.cold_hollow_k.clamp(0.0, 8.0).max(pool)
            }),
            // The grower's own figure stands where it is the larger.
            pool: pools::at(site, spot, open.coldest_month(|_| true).unwrap_or(0))
                .filter(|p| p.colder_k > spot.cold_hollow_k),
            foot_m: site.spot_height_m(spot),
            night_cover: spot.night_cover,
            wall: near_wall(site, spot, height_m),
            wall_excess_k: Vec::new(),
            paving_excess_k: Vec::new(),
            sun_w_m2: light.map_or_else(Vec::new, sun_w_m2),
            effects: super::devices::effects(site, spot),
            rain_share: std::array::from_fn(|m| rain_share(site, spot, height_m, m)),
        };
        model.warm_masses(site, spot, light, open);
        model
    }

    fn warm_masses(
        &mut self,
        site: &Site,
        spot: &Spot,
        light: Option<&SpotLight>,
        open: &OpenYear,
    ) {
        let paving = paving_absorptance(site, spot.middle());
        let wants_wall = self.wall.is_some();
        if !wants_wall && paving <= 0.0 {
            return;
        }
        let sunlit = light.map_or(&[][..], |l| &l.sunlit);
        let (mut wall_k, mut paving_k) = (Vec::new(), Vec::new());
        let masses = Masses {
            wall: self.wall.as_ref(),
            paving,
            wind_share: self.profile,
        };
        masses.run(
            open,
            (HOURS - LEAD_H..HOURS).chain(0..HOURS),
            |h| {
                let m = open.hours[h].month0;
                Around {
                    shelter: self.mean_shelter[m],
                    sky_view: self.sky_view[m],
                    // Both the beam's mean and the sunlit share count the part of the hour with the sun up.
                    sunlit: (at(sunlit, h) / open.sun[h].up.max(0.01)).min(1.0),
                    sun_w_m2: at(&self.sun_w_m2, h),
                }
            },
            |k, _, wall, floor| {
                if k >= LEAD_H {
                    wall_k.push(wall as f32);
                    paving_k.push(floor as f32);
                }
            },
        );
        if wants_wall {
            self.wall_excess_k = wall_k;
        }
        if paving > 0.0 {
            self.paving_excess_k = paving_k;
        }
    }

    /// Global irradiance at the leaves in an hour, W/m²; none where the light is not known.
    pub fn sun_w_m2(&self, h: usize) -> f64 {
        at(&self.sun_w_m2, h)
    }

    pub fn wall(&self) -> Option<&NearWall> {
        self.wall.as_ref()
    }

    pub fn effects(&self) -> &[Effect] {
        &self.effects
    }

    pub fn sky_view(&self, month0: usize) -> f64 {
        self.sky_view[month0]
    }

    /// Mean share of the open garden's wind that is left.
    pub fn mean_shelter(&self, month0: usize) -> f64 {
        self.mean_shelter[month0]
    }

    /// Excess of the wall and of the paving over the air at an hour, K, as felt in the air at the leaves.
    fn warm_k(&self, h: usize) -> (f64, f64) {
        let wall = self
            .wall
            .as_ref()
            .map_or(0.0, |w| w.in_air(at(&self.wall_excess_k, h)));
        (
            wall,
            paving_in_air(at(&self.paving_excess_k, h), self.height_m),
        )
    }

    /// What a night does to the air here: cooling under open sky near the ground, the gain of cover, the hollow; all in
    /// step with a clear sky and still air. `share` says how far the night's cooling has set in, 0..=1. The air about
    /// the spot is as still as half the garden's wind and half the sheltered wind make it.
    pub fn night(
        &self,
        month0: usize,
        wind_10m: f64,
        shelter: f64,
        cloud: f64,
        share: f64,
    ) -> NightAir {
        let place = NightPlace {
            height_m: self.height_m,
            view: self.sky_view[month0],
            hollow_k: self.hollow_k[month0],
            shelter,
        };
        let night = place.night(wind_10m, cloud, share);
        NightAir {
            fleece_k: self.covered(month0).map_or(0.0, |kind| {
                share * self.gain_under_k(kind, month0, night.still)
            }),
            ..night
        }
    }

    /// The frost cover that is laid on in a month.
    pub fn covered(&self, month0: usize) -> Option<NightCoverKind> {
        self.night_cover
            .filter(|c| c.months.has(month0))
            .map(|c| c.kind)
    }

    /// What a cover adds here in a night that is so clear and still, K. Under a roof there is no more to keep than on a dull
    /// night.
    pub fn gain_under_k(&self, kind: NightCoverKind, month0: usize, still: f64) -> f64 {
        covers::gain_k(kind, still * self.sky_view[month0], self.foot_m)
    }

    /// Cold air that is held up here, as in the coldest month.
    pub fn pool(&self) -> Option<&Pool> {
        self.pool.as_ref()
    }

    pub fn parts(&self, open: &OpenYear, h: usize) -> HourParts {
        let hour: &OpenHour = &open.hours[h];
        let m = hour.month0;
        let shelter = hour
            .wind_from
            .map_or(self.mean_shelter[m], |from| self.shelter[m][from]);
        let night = self.night(m, hour.wind_m_s, shelter, hour.cloud, hour.night);
        let mut parts = HourParts::new(hour.air_c, hour.vapour_kpa);
        parts.add(Cause::NightSky, night.sky_k);
        parts.add(Cause::Cover, night.cover_k);
        parts.add(Cause::Hollow, night.hollow_k);
        parts.add(Cause::NightCover, night.fleece_k);
        let (wall, paving) = self.warm_k(h);
        parts.add(Cause::Wall, wall);
        parts.add(Cause::Paving, paving);
        let lee = LEE_K * (1.0 - shelter) * (at(&self.sun_w_m2, h) / 800.0).min(1.2);
        parts.add(Cause::Lee, lee);
        parts.speed_m_s = night.speed_m_s.max(0.05);
        parts.device = self.device(hour, parts.air_c());
        parts.add(Cause::Devices, parts.device.excess_k);
        parts
    }

    /// How much warmer than the air the leaves' surroundings are on account of the wall, K.
    fn around_excess_k(&self, h: usize) -> f64 {
        self.wall
            .as_ref()
            .map_or(0.0, |w| w.view * at(&self.wall_excess_k, h))
    }

    /// The wall's part in a night at an hour: in the air, and in what the leaves see, K.
    pub fn wall_at_night_k(&self, h: usize) -> (f64, f64) {
        let (wall, paving) = self.warm_k(h);
        (wall + paving, self.around_excess_k(h))
    }

    fn device(&self, hour: &OpenHour, air_c: f64) -> Stream {
        let now = Running {
            month0: hour.month0,
            clock_h: hour.clock_h,
            room_c: air_c,
            demand: 0.0,
        };
        super::sum_streams(self.effects.iter().map(|e| e.at(&now)))
    }
}

/// What decides on a spot's nights besides the weather.
pub(crate) struct NightPlace {
    height_m: f64,
    view: f64,
    hollow_k: f64,
    /// Share of the garden's wind that is left.
    shelter: f64,
}

impl NightPlace {
    /// A spot that sees this share of the sky, with the cold air that is held up there.
    pub fn of(site: &Site, spot: &Spot, month0: usize, view: f64) -> Self {
        let shelter = shelter::by_direction(site, spot, month0);
        Self {
            height_m: site.spot_height_m(spot) + spot.leaf_m,
            view,
            hollow_k: pools::at(site, spot, month0).map_or(0.0, |p| p.colder_k),
            shelter: shelter.iter().sum::<f64>() / DIRECTIONS as f64,
        }
    }

    /// Share of the garden's wind that is left.
    pub fn shelter(&self) -> f64 {
        self.shelter
    }

    pub fn night(&self, wind_10m: f64, cloud: f64, share: f64) -> NightAir {
        let speed_m_s = wind_10m * shelter::profile(self.height_m) * self.shelter;
        let around = 0.5 * (speed_m_s + wind_10m * shelter::profile(1.5));
        let calm = (1.0 - cloud) * (-around / POOL_WIND_M_S).exp();
        let still = share * calm;
        NightAir {
            sky_k: -POOL_K * still * self.view * (-self.height_m / POOL_HEIGHT_M).exp(),
            cover_k: COVER_K * still * (1.0 - self.view),
            hollow_k: -self.hollow_k * still,
            fleece_k: 0.0,
            still: calm,
            speed_m_s,
        }
    }
}

/// Global irradiance at a spot from its light, W/m².
pub(crate) fn sun_w_m2(light: &SpotLight) -> Vec<f32> {
    let hours = light
        .beam_ppfd
        .len()
        .max(light.sky_ppfd.len())
        .max(light.reflected_ppfd.len());
    (0..hours)
        .map(|h| {
            (at(&light.beam_ppfd, h) / units::PPFD_PER_BEAM_W_M2
                + (at(&light.sky_ppfd, h) + at(&light.reflected_ppfd, h))
                    / units::PPFD_PER_SKY_W_M2) as f32
        })
        .collect()
}

fn near_wall(site: &Site, spot: &Spot, leaf_m: f64) -> Option<NearWall> {
    let middle = spot.middle();
    let mut nearest: Option<NearWall> = None;
    let mut offer =
        |name: &str, a: Pt, b: Pt, top_m: f64, base_m: f64, absorptance: f64, u: f64| {
            let (foot, _) = geometry::nearest_on_segment(a, b, middle);
            let x_m = foot.distance(middle);
            let reaches = top_m > leaf_m + 0.2 && base_m < leaf_m;
            if reaches && x_m < WALL_REACH_M && nearest.as_ref().is_none_or(|n| x_m < n.x_m) {
                let rise = (top_m - leaf_m).min(3.0);
                let width = a.distance(b).min(6.0);
                nearest = Some(NearWall {
                    name: name.to_owned(),
                    x_m,
                    normal: (middle - foot).unit(),
                    absorptance,
                    house_u: u,
                    view: 0.25 * (rise / (rise + x_m)) * (width / (width + 2.0 * x_m)),
                });
            }
        };
    for building in site.buildings.values() {
        if geometry::contains(&building.outline, middle) {
            continue;
        }
        let house_u = site
            .rooms
            .values()
            .filter(|r| {
                matches!(r.air, RoomAir::Heated { .. })
                    && geometry::contains(&building.outline, geometry::centroid(&r.outline))
            })
            .map(|r| match r.insulation {
                Insulation::Poor => 1.5,
                Insulation::Ordinary => 0.7,
                Insulation::Good => 0.25,
            })
            .fold(0.0, f64::max);
        for (a, b) in geometry::edges(&building.outline) {
            let dark = 1.0 - building.reflectance.clamp(0.0, 1.0);
            offer(
                &building.name,
                a,
                b,
                building.wall_top_m,
                building.base_m,
                dark,
                house_u,
            );
        }
    }
    for screen in site.screens.values().filter(|s| s.kind == ScreenKind::Wall) {
        for w in screen.line.windows(2) {
            let dark = (1.0 - screen.reflectance.clamp(0.0, 1.0)) * (1.0 - screen.porosity);
            offer(
                &screen.name,
                w[0],
                w[1],
                screen.top_m,
                screen.base_m,
                dark,
                0.0,
            );
        }
    }
    nearest
}

/// Share of the sun that turns into warmth at the ground beyond what lawn does; lawn evaporates most of it.
fn paving_absorptance(site: &Site, at: Pt) -> f64 {
    site.grounds
        .values()
        .filter(|g| geometry::contains(&g.outline, at))
        .map(|g| match g.kind {
            GroundKind::DarkPaving => 0.6,
            GroundKind::PalePaving => 0.4,
            GroundKind::Gravel => 0.3,
            GroundKind::Decking | GroundKind::Soil => 0.2,
            GroundKind::Lawn | GroundKind::Water => 0.0,
        })
        .next_back()
        .unwrap_or(0.0)
}

/// Share of the rain that reaches a spot in a month: none under rainproof canopies or eaves, less under crowns.
fn rain_share(site: &Site, spot: &Spot, leaf_m: f64, month0: usize) -> f64 {
    let points = super::devices::sample_points(spot);
    let reached: f64 = points
        .iter()
        .map(|p| {
            let roofed = site.canopies.values().any(|c| {
                c.rainproof
                    && c.months.has(month0)
                    && c.height_m > leaf_m
                    && geometry::contains(&c.outline, *p)
            });
            let eaved = site.buildings.values().any(|b| {
                let inside = geometry::contains(&b.outline, *p);
                let near = geometry::distance_to_rim(&b.outline, *p) < b.eaves_m;
                b.wall_top_m > leaf_m && (inside || near)
            });
            if roofed || eaved {
                return 0.0;
            }
            let crowned = site.trees.values().any(|t| {
                let in_leaf = match t.leafing {
                    crate::site::Leafing::Evergreen => true,
                    crate::site::Leafing::Deciduous { months } => months.has(month0),
                };
                in_leaf && t.top_m > leaf_m && t.at.distance(*p) < t.crown_radius_m
            });
            // Crowns keep back about a quarter (from memory).
            if crowned { 0.75 } else { 1.0 }
        })
        .sum();
    reached / points.len().max(1) as f64
}
