use sillward::{
    air::map::{clear_night, streams},
    base::{Id, Pt},
    light::map::Grid,
    site::{Building, Fan, Heater, Room, Screen, Site},
};

use super::fixture::rectangle;

fn grid() -> Grid {
    Grid {
        origin: Pt(-3.5, -3.5),
        cell_m: 1.0,
        columns: 8,
        rows: 8,
        height_m: 1.0,
        storey_m: 0.0,
    }
}

fn cell(x: f64, y: f64) -> usize {
    ((y + 3.5).round() as usize) * 8 + (x + 3.5).round() as usize
}

#[test]
fn devices_are_drawn_where_they_blow_and_only_in_their_room() {
    let mut site = Site::default();
    site.rooms.put(
        Id::new("room"),
        Room {
            outline: rectangle(0.0, 0.0, 4.0, 4.0),
            ..Room::default()
        },
    );
    site.heaters.put(
        Id::new("heater"),
        Heater {
            room: Id::new("room"),
            at: Pt(1.5, 0.4),
            ..Heater::default()
        },
    );
    site.fans.put(
        Id::new("fan"),
        Fan {
            at: Pt(-3.5, -2.5),
            blows_deg: 90.0,
            height_m: 1.0,
            ..Fan::default()
        },
    );
    let winter = streams(&site, 0, 8.0, &grid());
    assert_eq!(winter.len(), 64);
    assert!(winter[cell(1.5, 0.5)].excess_k > 1.0);
    assert!(winter[cell(3.5, 3.5)].excess_k < 0.1);
    assert!(winter[cell(1.5, -0.5)].excess_k == 0.0);
    assert!(winter[cell(-1.5, -2.5)].speed_m_s > 0.5);
    assert!(winter[cell(-1.5, 1.5)].speed_m_s < 0.05);
    // By its timetable the heater rests in July and at night.
    assert_eq!(
        streams(&site, 6, 8.0, &grid())[cell(1.5, 0.5)].excess_k,
        0.0
    );
    assert_eq!(
        streams(&site, 0, 3.0, &grid())[cell(1.5, 0.5)].excess_k,
        0.0
    );
}

#[test]
fn clear_nights_are_coldest_low_down_in_the_open_and_out_of_the_wind() {
    let mut site = Site::default();
    site.buildings.put(
        Id::new("house"),
        Building {
            outline: rectangle(0.0, 0.0, 4.0, 4.0),
            ..Building::default()
        },
    );
    let low = Grid {
        height_m: 0.2,
        ..grid()
    };
    let open = vec![1.0; 64];
    let night = clear_night(&site, 0, &open, &low);
    assert_eq!(night[cell(1.5, 1.5)], None);
    let at = |cells: &[Option<f32>], x, y| cells[cell(x, y)].unwrap();
    let here = at(&night, -2.5, -2.5);
    assert!(here < -0.8 && here > -2.5, "{here}");
    assert!(at(&clear_night(&site, 0, &open, &grid()), -2.5, -2.5) > here + 0.5);
    assert!(at(&clear_night(&site, 0, &[0.1; 64], &low), -2.5, -2.5) > 0.2);
    let mut walled = site;
    walled.screens.put(
        Id::new("wall"),
        Screen {
            line: rectangle(-3.9, -3.9, 6.0, 6.0),
            top_m: 2.0,
            ..Screen::default()
        },
    );
    assert!(at(&clear_night(&walled, 0, &open, &low), -2.5, -2.5) < here - 0.02);
}
