//! Heights that can be set by hand: which an object has, where their handles lie, and what setting one makes of it.

use super::camera::At;
use crate::{
    app::canvas::shape::{self, Item},
    base::{Pt, geometry},
    site::{
        Building, Roof, Site, Window,
        edit::{Object, ObjectKind},
    },
};

/// Which height of an object.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Level {
    Base,
    WallTop,
    Ridge,
    Floor,
    Ceiling,
    Sill,
    Head,
    /// The one height of something flat or small.
    Height,
    /// Lower rim of a cloth that hangs down.
    Rim,
    Leaves,
    CrownBase,
    Top,
}

impl Level {
    /// What it is called beside its figure.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Base => "Base",
            Self::WallTop => "Top of the walls",
            Self::Ridge => "Ridge",
            Self::Floor => "Floor",
            Self::Ceiling => "Ceiling",
            Self::Sill => "Sill",
            Self::Head => "Head",
            Self::Height => "Height",
            Self::Rim => "Lower rim",
            Self::Leaves => "Leaves",
            Self::CrownBase => "Base of the crown",
            Self::Top => "Top",
        }
    }
}

/// A height of an object.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Handle {
    pub level: Level,
    /// Where it is taken hold of; `z` is above the ground, m.
    pub at: At,
    /// As the grower counts it, m: above the floor indoors.
    pub shown_m: f64,
}

/// Least distance between a height and the next one below or above it, m.
const APART_M: f64 = 0.05;
/// Nothing is higher, m.
const HIGHEST_M: f64 = 60.0;

/// The heights of an object, from the lowest up.
#[must_use]
pub fn of(site: &Site, item: &Item) -> Vec<Handle> {
    let (Some(object), Some(outline)) = (
        site.object(item.0, &item.1),
        shape::shape(site, item).map(|s| s.middle()),
    ) else {
        return Vec::new();
    };
    let floor = floor_m(site, &object);
    let handle = |level, z: f64| Handle {
        level,
        at: At::new(outline, z),
        shown_m: z - floor,
    };
    let pairs: Vec<(Level, f64)> = match &object {
        Object::Building(o) => [(Level::Base, o.base_m), (Level::WallTop, o.wall_top_m)]
            .into_iter()
            .chain(ridge(o).map(|z| (Level::Ridge, z)))
            .collect(),
        Object::Room(o) => vec![
            (Level::Floor, o.floor_m),
            (Level::Ceiling, o.floor_m + o.height_m),
        ],
        Object::Window(o) => vec![
            (Level::Sill, floor + o.sill_m),
            (Level::Head, floor + o.sill_m + o.height_m),
        ],
        Object::Canopy(o) => vec![(Level::Height, o.height_m)],
        Object::Screen(o) => vec![(Level::Base, o.base_m), (Level::Top, o.top_m)],
        Object::Tree(o) => vec![(Level::CrownBase, o.crown_base_m), (Level::Top, o.top_m)],
        Object::Cloth(o) => vec![
            (Level::Rim, (o.height_m - o.drop_m).max(0.0)),
            (Level::Height, o.height_m),
        ],
        Object::Heater(o) => vec![(Level::Top, floor + o.top_m)],
        Object::Vent(o) => vec![(Level::Height, floor + o.height_m)],
        Object::Fan(o) => vec![(Level::Height, floor + o.height_m)],
        Object::Spot(o) => vec![
            (Level::Height, floor + o.height_m),
            (Level::Leaves, floor + o.height_m + o.leaf_m),
        ],
        Object::Ground(_) | Object::Tray(_) | Object::Plant(_) | Object::Kind(_) => Vec::new(),
    };
    pairs.into_iter().map(|(l, z)| handle(l, z)).collect()
}

fn ridge(building: &Building) -> Option<f64> {
    match building.roof {
        Roof::Flat => None,
        Roof::Gable { ridge_m } | Roof::Hip { ridge_m } => Some(ridge_m),
        Roof::Lean { high_m, .. } => Some(high_m),
    }
}

fn floor_m(site: &Site, object: &Object) -> f64 {
    crate::app::canvas::change::room_of(object)
        .and_then(|id| site.rooms.get(id))
        .map_or(0.0, |r| r.floor_m)
}

/// The object with one height brought to `z` above the ground, m, as far as its other heights allow.
#[must_use]
pub fn set(site: &Site, item: &Item, level: Level, z: f64) -> Option<Object> {
    let mut object = site.object(item.0, &item.1)?;
    let floor = floor_m(site, &object);
    let z = z.clamp(-10.0, HIGHEST_M);
    let room_height = crate::app::canvas::change::room_of(&object)
        .and_then(|id| site.rooms.get(id))
        .map_or(HIGHEST_M, |r| r.height_m);
    let above = (z - floor).clamp(0.0, room_height);
    match (&mut object, level) {
        (Object::Building(o), Level::Base) => o.base_m = z.min(o.wall_top_m - APART_M),
        (Object::Building(o), Level::WallTop) => set_wall_top(o, z),
        (Object::Building(o), Level::Ridge) => set_ridge(o, z.max(o.wall_top_m + APART_M)),
        (Object::Room(o), Level::Floor) => o.floor_m = z,
        (Object::Room(o), Level::Ceiling) => o.height_m = (z - o.floor_m).max(1.0),
        (Object::Window(o), Level::Sill) => set_sill(o, above),
        (Object::Window(o), Level::Head) => o.height_m = (above - o.sill_m).max(2.0 * APART_M),
        (Object::Canopy(o), Level::Height) => o.height_m = z.max(0.3),
        (Object::Screen(o), Level::Base) => o.base_m = z.clamp(0.0, o.top_m - APART_M),
        (Object::Screen(o), Level::Top) => o.top_m = z.max(o.base_m + APART_M),
        (Object::Tree(o), Level::CrownBase) => o.crown_base_m = z.clamp(0.0, o.top_m - 0.2),
        (Object::Tree(o), Level::Top) => o.top_m = z.max(o.crown_base_m + 0.2),
        (Object::Cloth(o), Level::Height) => {
            o.height_m = z.max(0.3);
            o.drop_m = o.drop_m.min(o.height_m);
        }
        (Object::Cloth(o), Level::Rim) => o.drop_m = (o.height_m - z).clamp(0.0, o.height_m),
        (Object::Heater(o), Level::Top) => o.top_m = above.max(APART_M),
        (Object::Vent(o), Level::Height) => o.height_m = above,
        (Object::Fan(o), Level::Height) => o.height_m = above,
        (Object::Spot(o), Level::Height) => o.height_m = above.min(HIGHEST_M),
        (Object::Spot(o), Level::Leaves) => o.leaf_m = (z - floor - o.height_m).clamp(0.05, 3.0),
        _ => return None,
    }
    Some(object)
}

/// The roof keeps its pitch when the walls grow.
fn set_wall_top(building: &mut Building, z: f64) {
    let top = z.max(building.base_m + APART_M);
    let by = top - building.wall_top_m;
    building.wall_top_m = top;
    if let Some(ridge) = ridge(building) {
        set_ridge(building, ridge + by);
    }
}

fn set_ridge(building: &mut Building, z: f64) {
    match &mut building.roof {
        Roof::Flat => {}
        Roof::Gable { ridge_m } | Roof::Hip { ridge_m } => *ridge_m = z,
        Roof::Lean { high_m, .. } => *high_m = z,
    }
}

/// The head stays where it is.
fn set_sill(window: &mut Window, above: f64) {
    let head = window.sill_m + window.height_m;
    window.sill_m = above.min(head - 2.0 * APART_M).max(0.0);
    window.height_m = head - window.sill_m;
}

/// The highest point of what stands within a box, m; 3 m where nothing does.
#[must_use]
pub fn highest(site: &Site, (low, high): (Pt, Pt)) -> f64 {
    shape::items(site)
        .filter(|item| {
            item.0 != ObjectKind::Ground
                && shape::shape(site, item).is_some_and(|s| {
                    geometry::bounds(s.extent()).is_some_and(|(a, b)| {
                        a.0 <= high.0 && b.0 >= low.0 && a.1 <= high.1 && b.1 >= low.1
                    })
                })
        })
        .flat_map(|item| of(site, &item))
        .map(|h| h.at.z)
        .fold(3.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{app::canvas::fixture, base::Id, site::edit::Edit};

    fn put(site: &mut Site, item: &Item, level: Level, z: f64) {
        let object = set(site, item, level, z).unwrap();
        site.apply(Edit::Put(item.1.clone(), object)).unwrap();
    }

    fn height(site: &Site, item: &Item, level: Level) -> f64 {
        of(site, item)
            .into_iter()
            .find(|h| h.level == level)
            .unwrap()
            .at
            .z
    }

    fn item(kind: ObjectKind, id: &str) -> Item {
        (kind, Id::new(id))
    }

    #[test]
    fn a_height_set_is_the_height_shown() {
        let mut site = fixture::site();
        for (kind, id, level, z) in [
            (ObjectKind::Building, "house", Level::WallTop, 4.0),
            (ObjectKind::Building, "house", Level::Base, 0.4),
            (ObjectKind::Room, "hall", Level::Ceiling, 2.9),
            (ObjectKind::Window, "south-window", Level::Sill, 0.5),
            (ObjectKind::Window, "south-window", Level::Head, 2.2),
            (ObjectKind::Cloth, "cloth", Level::Height, 2.6),
            (ObjectKind::Cloth, "cloth", Level::Rim, 1.5),
            (ObjectKind::Heater, "stove", Level::Top, 1.1),
            (ObjectKind::Spot, "bench", Level::Height, 0.8),
            (ObjectKind::Spot, "bench", Level::Leaves, 1.3),
        ] {
            let item = item(kind, id);
            put(&mut site, &item, level, z);
            let now = height(&site, &item, level);
            assert!((now - z).abs() < 1e-9, "{id} {level:?}: {now} for {z}");
        }
    }

    #[test]
    fn heights_do_not_pass_one_another() {
        let mut site = fixture::site();
        let window = item(ObjectKind::Window, "south-window");
        let head = height(&site, &window, Level::Head);
        put(&mut site, &window, Level::Sill, head + 3.0);
        assert!(height(&site, &window, Level::Sill) < head);
        assert!(
            (height(&site, &window, Level::Head) - head).abs() < 1e-9,
            "the head stays"
        );
        let house = item(ObjectKind::Building, "house");
        put(&mut site, &house, Level::Base, 99.0);
        assert!(height(&site, &house, Level::Base) < height(&site, &house, Level::WallTop));
        let spot = item(ObjectKind::Spot, "sill");
        put(&mut site, &spot, Level::Height, -5.0);
        assert!(height(&site, &spot, Level::Height).abs() < 1e-9);
    }

    #[test]
    fn a_roof_keeps_its_pitch_when_the_walls_grow() {
        let mut site = fixture::site();
        let house = item(ObjectKind::Building, "house");
        let mut building = Building::clone(site.buildings.get(&house.1).unwrap());
        building.roof = Roof::Gable { ridge_m: 5.0 };
        let wall = building.wall_top_m;
        site.apply(Edit::Put(house.1.clone(), Object::Building(building)))
            .unwrap();
        put(&mut site, &house, Level::WallTop, wall + 1.0);
        assert!((height(&site, &house, Level::Ridge) - 6.0).abs() < 1e-9);
    }

    #[test]
    fn indoors_heights_are_told_above_the_floor() {
        let mut site = fixture::site();
        let hall = item(ObjectKind::Room, "hall");
        put(&mut site, &hall, Level::Floor, 1.0);
        let sill = item(ObjectKind::Window, "south-window");
        let handle = of(&site, &sill)[0];
        assert!((handle.at.z - handle.shown_m - 1.0).abs() < 1e-9);
    }
}
