//! Places that are measured, and how.

#[allow(dead_code)] // Not all programs that share this module have a use for it.
pub mod measure;

use sillward::{
    base::{Id, Pt, Table},
    climate::TypicalYear,
    light::{LightInputs, Scene},
    site::{Building, Place, Roof, Room, Site, Spot, Tree, Window},
    sky::SkyYear,
    sun::SunTable,
};

pub fn table<T>(prefix: &str, items: impl Iterator<Item = T>) -> Table<T> {
    items
        .enumerate()
        .map(|(k, item)| (Id::new(&format!("{prefix}-{k:02}")), item))
        .collect()
}

/// An invented place: 50 houses and 10 trees round a lawn.
#[allow(dead_code)] // Not all programs that share this module have a use for all of it.
pub fn bodies() -> Site {
    let house = |k: usize| {
        let (x, y) = ((k % 10) as f64 * 9.0, (k / 10) as f64 * 11.0);
        Building {
            outline: vec![
                Pt(x, y),
                Pt(x + 5.0, y),
                Pt(x + 5.0, y + 4.0),
                Pt(x, y + 4.0),
            ],
            roof: if k.is_multiple_of(2) {
                Roof::Gable { ridge_m: 4.5 }
            } else {
                Roof::Flat
            },
            ..Building::default()
        }
    };
    Site {
        place: Place {
            latitude_deg: 47.0,
            ..Place::default()
        }
        .into(),
        buildings: table("house", (0..50).map(house)),
        trees: table(
            "tree",
            (0..10).map(|k| Tree {
                at: Pt(k as f64 * 9.0 + 7.0, 20.0),
                ..Tree::default()
            }),
        ),
        ..Site::default()
    }
}

/// The same with 20 spots: 15 on the lawn, five in a room of the first house.
#[allow(dead_code)]
pub fn site() -> Site {
    let room = Room {
        outline: vec![Pt(0.3, 0.3), Pt(4.7, 0.3), Pt(4.7, 3.7), Pt(0.3, 3.7)],
        ..Room::default()
    };
    let spot = |k: usize| {
        let indoors = k < 5;
        Spot {
            room: indoors.then(|| "room-00".into()),
            outline: vec![if indoors {
                Pt(0.8 + k as f64 * 0.8, 0.6)
            } else {
                Pt(6.5 + (k % 5) as f64 * 9.0, 5.0 + (k / 5) as f64 * 11.0)
            }],
            ..Spot::default()
        }
    };
    Site {
        rooms: table("room", std::iter::once(room)),
        windows: table(
            "window",
            std::iter::once(Window {
                room: "room-00".into(),
                width_m: 2.0,
                from_corner_m: 1.0,
                ..Window::default()
            }),
        ),
        spots: table("spot", (0..20).map(spot)),
        ..bodies()
    }
}

/// Sun and sky over a place, with the same light in every hour of the day.
#[allow(dead_code)]
pub struct Skies {
    pub sun: SunTable,
    pub typical: TypicalYear,
    pub sky: SkyYear,
}

#[allow(dead_code)]
impl Skies {
    pub fn over(site: &Site) -> Self {
        let sun = SunTable::of(&site.place);
        let half = |by: f32| sun.up_share.iter().map(|s| s * by).collect::<Vec<f32>>();
        let typical = TypicalYear {
            global_w_m2: half(300.0),
            beam_w_m2: half(300.0),
            sky_w_m2: half(150.0),
            ..TypicalYear::default()
        };
        let sky = SkyYear::of(&site.place, &sun, &typical);
        Self { sun, typical, sky }
    }

    pub fn inputs<'a>(&'a self, site: &'a Site, scene: &'a Scene) -> LightInputs<'a> {
        LightInputs {
            place: &site.place,
            sun: &self.sun,
            typical: &self.typical,
            sky: &self.sky,
            scene,
            turbidity_linke: [3.0; 12],
        }
    }
}

/// The same bodies as plain boxes, x y z from and to, m, and 20 places among them: what general-purpose tools can be
/// given too.
#[allow(dead_code)]
pub fn boxes() -> (Site, Vec<[f64; 6]>, Vec<[f64; 3]>) {
    let whole = site();
    let corner = |k: usize| ((k % 10) as f64 * 9.0, (k / 10) as f64 * 11.0);
    let boxes: Vec<[f64; 6]> = (0..60)
        .map(|k| {
            let (x, y) = corner(k);
            [x, y, 0.0, x + 5.0, y + 4.0, 3.0 + (k % 4) as f64]
        })
        .collect();
    let points = (0..20)
        .map(|k| {
            let (x, y) = corner(k * 3);
            [x + 7.0, y + 5.5, 0.5]
        })
        .collect();
    let buildings = boxes.iter().map(|[x0, y0, z0, x1, y1, z1]| Building {
        outline: vec![Pt(*x0, *y0), Pt(*x1, *y0), Pt(*x1, *y1), Pt(*x0, *y1)],
        base_m: *z0,
        wall_top_m: *z1,
        eaves_m: 0.0,
        roof: Roof::Flat,
        ..Building::default()
    });
    let site = Site {
        place: whole.place.clone(),
        buildings: table("box", buildings),
        ..Site::default()
    };
    (site, boxes, points)
}
