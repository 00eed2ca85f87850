//! A site of a few lines: a room with a sill, a bench outdoors, two plants.

pub const SMALL: &str = r#"
(
    version: 1,
    name: "Small house",
    note: "Invented for tests.",
    place: (name: "Nowhere", latitude_deg: 50, longitude_deg: -4, elevation_m: 30, time_zone: "Europe/London"),
    climate: (
        source: "invented",
        normals: (
            night_min_c: [3, 3, 4, 5, 8, 10, 12, 12, 11, 8, 5, 4],
            day_max_c: [8, 8, 10, 13, 16, 18, 20, 20, 18, 15, 11, 9],
        ),
        years: 30,
    ),
    buildings: {
        "house": (name: "House", outline: [(0, 0), (6, 0), (6, 6), (0, 6)], wall_top_m: 3),
    },
    rooms: {
        "room": (
            name: "Room",
            outline: [(0.2, 0.2), (4, 0.2), (4, 4), (0.2, 4)],
            air: Heated(day_c: 18, night_c: 13, months: [1, 2, 3, 4, 10, 11, 12]),
        ),
    },
    windows: {
        "window": (name: "Window", room: "room", wall: 0, from_corner_m: 1, width_m: 1.5, sill_m: 0.9, height_m: 1.2),
    },
    spots: {
        "bench": (name: "Bench", outline: [(1, -3), (3, -3), (3, -2.4), (1, -2.4)], height_m: 0.5, holds: (pots: 3, rim_cm: 30)),
        "sill": (name: "Sill", room: "room", outline: [(1.3, 0.4), (2.7, 0.4)], height_m: 0.9, holds: (pots: 3, rim_cm: 30)),
    },
    plants: {
        "white": (name: "White cymbidium", kind: "cymbidium-standard", stands: "bench"),
        "yellow": (name: "Yellow clivia", kind: "clivia", stands: "sill"),
    },
)
"#;
