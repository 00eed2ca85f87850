//! Simple shapes of houses to begin with: each is drawn from a few sizes into ordinary objects, to be changed like any
//! others. The front is at the foot of the plan.

use crate::{
    app::canvas::{change, shape},
    base::{Hemisphere, Id, Pt},
    site::{
        Building, Canopy, Glazing, Heater, Place, Roof, Room, RoomAir, Screen, ScreenKind, Site,
        edit::{Edit, Object},
    },
};

/// Thickness of outer walls, m: common practice, no source.
const OUTER_M: f64 = 0.3;
/// Thickness of walls between rooms, m.
const INNER_M: f64 = 0.1;
/// Floor to floor, m.
pub const STOREY_M: f64 = 2.7;
/// From what is drawn already to a new house, m.
const APART_M: f64 = 4.0;
/// Rise of a roof for each metre from eaves to ridge: about 35 degrees.
const PITCH: f64 = 0.7;

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum HouseShape {
    #[default]
    Plain,
    Angle,
    Row,
    Porch,
    Flat,
}

/// What can be said of a shape's size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    Width,
    Depth,
    Storeys,
    WingWidth,
    WingDepth,
    PorchWidth,
    PorchDepth,
    FloorsUp,
}

/// Sizes, m, and the true azimuth of the front, degrees clockwise from north.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sizes {
    pub width_m: f64,
    pub depth_m: f64,
    pub storeys: u32,
    pub wing_width_m: f64,
    pub wing_depth_m: f64,
    pub porch_width_m: f64,
    pub porch_depth_m: f64,
    pub floors_up: u32,
    pub front_deg: f64,
}

impl Sizes {
    /// A middling house whose front has the noon sun.
    #[must_use]
    pub fn usual(hemisphere: Hemisphere) -> Self {
        Self {
            width_m: 9.0,
            depth_m: 8.0,
            storeys: 1,
            wing_width_m: 4.0,
            wing_depth_m: 4.0,
            porch_width_m: 3.0,
            porch_depth_m: 2.2,
            floors_up: 2,
            front_deg: if hemisphere == Hemisphere::South {
                0.0
            } else {
                180.0
            },
        }
    }
}

impl HouseShape {
    pub const ALL: [Self; 5] = [Self::Plain, Self::Angle, Self::Row, Self::Porch, Self::Flat];

    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Plain => "Plain house",
            Self::Angle => "L-shaped house",
            Self::Row => "House in a row",
            Self::Porch => "House with a glazed porch",
            Self::Flat => "Flat with a balcony",
        }
    }

    /// Sizes that matter, in the order in which they are asked for.
    #[must_use]
    pub fn measures(self) -> &'static [Measure] {
        use Measure as M;
        match self {
            Self::Plain | Self::Row => &[M::Width, M::Depth, M::Storeys],
            Self::Angle => &[M::Width, M::Depth, M::WingWidth, M::WingDepth, M::Storeys],
            Self::Porch => &[M::Width, M::Depth, M::PorchWidth, M::PorchDepth, M::Storeys],
            Self::Flat => &[
                M::Width,
                M::Depth,
                M::PorchWidth,
                M::PorchDepth,
                M::FloorsUp,
            ],
        }
    }

    /// What the grower calls a size of this shape.
    #[must_use]
    pub fn measure_name(self, measure: Measure) -> &'static str {
        match (measure, self) {
            (Measure::Width, _) => "Width of the front",
            (Measure::Depth, _) => "Depth",
            (Measure::Storeys, _) => "Storeys",
            (Measure::WingWidth, _) => "Width of the wing",
            (Measure::WingDepth, _) => "Wing stands out by",
            (Measure::PorchWidth, Self::Flat) => "Width of the balcony",
            (Measure::PorchWidth, _) => "Width of the porch",
            (Measure::PorchDepth, Self::Flat) => "Depth of the balcony",
            (Measure::PorchDepth, _) => "Depth of the porch",
            (Measure::FloorsUp, _) => "Floors up",
        }
    }

    /// The edits that draw it into a site, all one step. With nothing drawn yet the whole plan is turned so that the
    /// front looks the right way; later houses stand beside what is there, and the plan keeps its direction.
    #[must_use]
    pub fn drawn(self, sizes: &Sizes, site: &Site) -> Vec<Edit> {
        let bounds = shape::site_bounds(site);
        let origin = bounds.map_or(Pt(-sizes.width_m / 2.0, 0.0), |(low, high)| {
            Pt(high.x() + APART_M, low.y())
        });
        let mut pen = Pen {
            site: site.clone(),
            edits: Vec::new(),
            origin,
        };
        if bounds.is_none() {
            let place = Place {
                plan_north_deg: (sizes.front_deg + 180.0).rem_euclid(360.0),
                ..Place::clone(&site.place)
            };
            if place != *site.place {
                pen.edits.push(Edit::SetPlace(place));
            }
        }
        self.draw(sizes, &mut pen);
        pen.edits
    }

    fn draw(self, s: &Sizes, pen: &mut Pen) {
        let (w, d) = (s.width_m, s.depth_m);
        let top_m = STOREY_M * f64::from(s.storeys.max(1));
        match self {
            Self::Plain => {
                pen.house("House", (0.0, 0.0), (w, d), top_m);
                pen.rooms(w, d, 0.0);
            }
            Self::Angle => {
                let wing = (w - s.wing_width_m, -s.wing_depth_m);
                pen.house("House", (0.0, 0.0), (w, d), top_m);
                pen.house("Wing", wing, (w, 0.0), top_m);
                pen.rooms(w, d, 0.0);
                let low = (wing.0 + OUTER_M, wing.1 + OUTER_M);
                pen.room(
                    "Wing room",
                    low,
                    (w - OUTER_M, OUTER_M - INNER_M),
                    0.0,
                    Warmth::Warm,
                );
            }
            Self::Row => {
                pen.house("The row of houses", (-w, 0.0), (2.0 * w, d), top_m);
                pen.rooms(w, d, 0.0);
            }
            Self::Porch => {
                pen.house("House", (0.0, 0.0), (w, d), top_m);
                pen.rooms(w, d, 0.0);
                let from = (w - s.porch_width_m) / 2.0;
                let low = (from, -s.porch_depth_m);
                let high = (from + s.porch_width_m, -INNER_M / 2.0);
                pen.room("Porch", low, high, 0.0, Warmth::Glass);
            }
            Self::Flat => {
                let floor_m = STOREY_M * f64::from(s.floors_up);
                let top_m = STOREY_M * f64::from(s.floors_up + 2);
                pen.house("The house", (-w, 0.0), (2.0 * w, d), top_m);
                pen.rooms(w, d, floor_m);
                pen.balcony(s, floor_m);
            }
        }
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Warmth {
    Warm,
    Cool,
    Glass,
}

/// Puts one object after another into a copy of the site, so that names and identifiers stay apart.
struct Pen {
    site: Site,
    edits: Vec<Edit>,
    /// Left end of the front, on the plan.
    origin: Pt,
}

impl Pen {
    fn put(&mut self, name: &str, mut object: Object) {
        let kind = object.kind();
        let taken = self
            .site
            .ids(kind)
            .iter()
            .any(|id| self.site.name_of(kind, id) == name);
        let name = if taken {
            change::new_name(&self.site, kind, name)
        } else {
            name.to_owned()
        };
        object.set_name(&name);
        let id = Id::from_name(&name, |i| self.site.has(kind, i));
        let edit = Edit::Put(id, object);
        // What was refused here would be refused in the document too.
        if self.site.apply(edit.clone()).is_ok() {
            self.edits.push(edit);
        }
    }

    fn corners(&self, low: (f64, f64), high: (f64, f64)) -> Vec<Pt> {
        [
            (low.0, low.1),
            (high.0, low.1),
            (high.0, high.1),
            (low.0, high.1),
        ]
        .map(|(x, y)| self.origin + Pt(x, y))
        .to_vec()
    }

    fn house(&mut self, name: &str, low: (f64, f64), high: (f64, f64), top_m: f64) {
        let across = (high.0 - low.0).min(high.1 - low.1);
        let outline = self.corners(low, high);
        self.put(
            name,
            Object::Building(Building {
                outline,
                wall_top_m: top_m,
                roof: Roof::Gable {
                    ridge_m: top_m + PITCH * across / 2.0,
                },
                ..Building::default()
            }),
        );
    }

    /// A front room and a cooler back room behind it.
    fn rooms(&mut self, w: f64, d: f64, floor_m: f64) {
        let middle = d / 2.0;
        let high = (w - OUTER_M, middle - INNER_M / 2.0);
        self.room(
            "Front room",
            (OUTER_M, OUTER_M),
            high,
            floor_m,
            Warmth::Warm,
        );
        let low = (OUTER_M, middle + INNER_M / 2.0);
        let high = (w - OUTER_M, d - OUTER_M);
        self.room("Back room", low, high, floor_m, Warmth::Cool);
    }

    fn room(
        &mut self,
        name: &str,
        low: (f64, f64),
        high: (f64, f64),
        floor_m: f64,
        warmth: Warmth,
    ) {
        let heated = |day_c, night_c| RoomAir::Heated {
            day_c,
            night_c,
            day_from_h: 6.5,
            day_to_h: 22.5,
            months: Heater::usual_months(self.site.hemisphere()),
            cool_to_c: None,
            season: None,
        };
        let outline = self.corners(low, high);
        let room = match warmth {
            Warmth::Warm => Room {
                air: heated(20.0, 17.0),
                ..Room::default()
            },
            Warmth::Cool => Room {
                air: heated(17.0, 14.0),
                ..Room::default()
            },
            Warmth::Glass => Room {
                height_m: 2.3,
                air: RoomAir::Unheated {
                    frost_guard_c: None,
                    shared_with_house: 0.35,
                    aired_above_c: Some(22.0),
                },
                air_changes_per_h: 0.8,
                vapour_kg_d: 0.4,
                glazed_roof: Some(Glazing::Single),
                glazed_walls: Some(Glazing::Single),
                ..Room::default()
            },
        };
        self.put(
            name,
            Object::Room(Room {
                outline,
                floor_m,
                ..room
            }),
        );
    }

    /// The own floor, the floor of the balcony above, and a rail.
    fn balcony(&mut self, s: &Sizes, floor_m: f64) {
        const SLAB_M: f64 = 0.2;
        let from = (s.width_m - s.porch_width_m) / 2.0;
        let low = (from, -s.porch_depth_m);
        let high = (from + s.porch_width_m, 0.0);
        for (name, level_m) in [("Balcony", floor_m), ("Balcony above", floor_m + STOREY_M)] {
            let outline = self.corners(low, high);
            self.put(
                name,
                Object::Canopy(Canopy {
                    outline,
                    height_m: (level_m - SLAB_M).max(0.0),
                    thickness_m: SLAB_M,
                    ..Canopy::default()
                }),
            );
        }
        let line = [(low.0, 0.0), low, (high.0, low.1), (high.0, 0.0)]
            .map(|(x, y)| self.origin + Pt(x, y))
            .to_vec();
        self.put(
            "Balcony rail",
            Object::Screen(Screen {
                kind: ScreenKind::Fence,
                line,
                base_m: floor_m,
                top_m: floor_m + 1.0,
                thickness_m: 0.03,
                porosity: 0.6,
                reflectance: 0.2,
                ..Screen::default()
            }),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::site::file::{self, Severity};

    fn drawn(shape: HouseShape, sizes: &Sizes, site: &Site) -> Site {
        let mut next = site.clone();
        next.apply(Edit::All(shape.drawn(sizes, site))).unwrap();
        next
    }

    #[test]
    fn every_shape_is_a_sound_site_at_both_ends_of_its_sizes() {
        let usual = Sizes::usual(Hemisphere::North);
        let large = Sizes {
            width_m: 24.0,
            depth_m: 16.0,
            storeys: 4,
            wing_width_m: 12.0,
            wing_depth_m: 12.0,
            porch_width_m: 8.0,
            porch_depth_m: 5.0,
            floors_up: 1,
            front_deg: 215.0,
        };
        for shape in HouseShape::ALL {
            for sizes in [usual, large] {
                let site = drawn(shape, &sizes, &Site::default());
                assert!(!site.rooms.is_empty() && !site.buildings.is_empty());
                let faults: Vec<_> = file::check(&site)
                    .into_iter()
                    .filter(|f| f.severity == Severity::Fault)
                    .filter(|f| !f.field.starts_with("climate") && !f.field.starts_with("place"))
                    .collect();
                assert!(faults.is_empty(), "{shape:?}: {faults:?}");
            }
        }
    }

    #[test]
    fn the_front_looks_where_it_is_said_to() {
        let sizes = Sizes {
            front_deg: 200.0,
            ..Sizes::usual(Hemisphere::North)
        };
        let site = drawn(HouseShape::Plain, &sizes, &Site::default());
        // The front is the foot of the plan: opposite to where plan-up points.
        assert_eq!(site.place.plan_north_deg, 20.0);
        let second = drawn(
            HouseShape::Porch,
            &Sizes {
                front_deg: 90.0,
                ..sizes
            },
            &site,
        );
        assert_eq!(second.place.plan_north_deg, 20.0, "what is drawn stays");
        assert_eq!(second.buildings.len(), 2);
        assert_eq!(second.rooms.len(), 5);
        let right = |s: &Site, id: &str| {
            let outline = &s.buildings.get(&Id::new(id)).unwrap().outline;
            outline.iter().map(|p| p.x()).fold(f64::MIN, f64::max)
        };
        let houses: Vec<&str> = second.buildings.ids().map(Id::as_str).collect();
        assert!(right(&second, houses[1]) > right(&second, houses[0]) + APART_M);
    }

    #[test]
    fn the_usual_front_has_the_noon_sun() {
        assert_eq!(Sizes::usual(Hemisphere::North).front_deg, 180.0);
        assert_eq!(Sizes::usual(Hemisphere::South).front_deg, 0.0);
    }
}
