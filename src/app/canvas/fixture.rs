//! A small drawing for the tests of this folder.

use crate::{
    base::{Id, Pt, Table},
    site::{Building, Cloth, Heater, Room, Site, Spot, Window},
};

fn table<T>(id: &str, value: T) -> Table<T> {
    [(Id::new(id), value)].into_iter().collect()
}

/// A hall of 4 m by 4 m with its lower left corner in the origin, a window in its lower wall, a stove, a sill; to
/// the right of it a bench under a cloth.
pub fn site() -> Site {
    let square = |x: f64, y: f64, w: f64, h: f64| {
        vec![Pt(x, y), Pt(x + w, y), Pt(x + w, y + h), Pt(x, y + h)]
    };
    Site {
        buildings: table(
            "house",
            Building {
                name: "House".into(),
                outline: square(-0.3, -0.3, 4.6, 4.6),
                ..Building::default()
            },
        ),
        rooms: table(
            "hall",
            Room {
                name: "Hall".into(),
                outline: square(0.0, 0.0, 4.0, 4.0),
                ..Room::default()
            },
        ),
        windows: table(
            "south-window",
            Window {
                name: "South window".into(),
                room: Id::new("hall"),
                from_corner_m: 1.0,
                ..Window::default()
            },
        ),
        heaters: table(
            "stove",
            Heater {
                name: "Stove".into(),
                room: Id::new("hall"),
                at: Pt(3.5, 3.9),
                faces_deg: 180.0,
                ..Heater::default()
            },
        ),
        cloths: table(
            "cloth",
            Cloth {
                name: "Cloth".into(),
                outline: square(6.0, 0.0, 3.0, 2.0),
                ..Cloth::default()
            },
        ),
        spots: [
            (
                Id::new("sill"),
                Spot {
                    name: "Sill".into(),
                    room: Some(Id::new("hall")),
                    outline: vec![Pt(1.0, 0.25), Pt(2.2, 0.25)],
                    ..Spot::default()
                },
            ),
            (
                Id::new("bench"),
                Spot {
                    name: "Bench".into(),
                    outline: square(6.5, 0.5, 1.5, 1.0),
                    ..Spot::default()
                },
            ),
        ]
        .into_iter()
        .collect(),
        ..Site::default()
    }
}
