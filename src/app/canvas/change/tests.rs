use super::*;
use crate::app::canvas::fixture;

fn item(kind: ObjectKind, id: &str) -> Item {
    (kind, Id::new(id))
}

fn applied(site: &Site, edit: Edit) -> Site {
    let mut site = site.clone();
    site.apply(edit).unwrap();
    site
}

#[test]
fn a_room_takes_along_what_stands_in_it_if_asked() {
    let site = fixture::site();
    let by = Pt(1.0, 2.0);
    let hall = [item(ObjectKind::Room, "hall")];
    let with = applied(&site, Edit::All(moved(&site, &hall, by, true)));
    assert_eq!(
        with.spots.get(&Id::new("sill")).unwrap().outline[0],
        Pt(2.0, 2.25)
    );
    assert_eq!(
        with.heaters.get(&Id::new("stove")).unwrap().at,
        Pt(4.5, 5.9)
    );
    assert_eq!(with.windows, site.windows);
    let alone = applied(&site, Edit::All(moved(&site, &hall, by, false)));
    assert_eq!(alone.spots, site.spots);
    assert_eq!(alone.rooms.get(&Id::new("hall")).unwrap().outline[0], by);
}

#[test]
fn a_window_slides_along_its_wall_and_not_beyond() {
    let site = fixture::site();
    let window = [item(ObjectKind::Window, "south-window")];
    let slid = applied(&site, Edit::All(moved(&site, &window, Pt(0.7, 5.0), true)));
    let at = |s: &Site| {
        s.windows
            .get(&Id::new("south-window"))
            .unwrap()
            .from_corner_m
    };
    assert!((at(&slid) - 1.7).abs() < 1e-12);
    let far = applied(&site, Edit::All(moved(&site, &window, Pt(70.0, 0.0), true)));
    assert!((at(&far) - 2.8).abs() < 1e-12);
}

#[test]
fn a_spot_moved_out_of_the_house_is_outdoors() {
    let site = fixture::site();
    let edits = moved(&site, &[item(ObjectKind::Spot, "sill")], Pt(0.0, 8.0), true);
    assert_eq!(
        applied(&site, Edit::All(edits))
            .spots
            .get(&Id::new("sill"))
            .unwrap()
            .room,
        None
    );
}

#[test]
fn windows_keep_their_place_when_corners_come_and_go() {
    let site = fixture::site();
    let hall = item(ObjectKind::Room, "hall");
    let place = |s: &Site| {
        let w = s.windows.get(&Id::new("south-window")).unwrap();
        shape::opening(s, w).unwrap().a
    };
    let before = place(&site);
    // A corner before the window, one after it, and one in another wall.
    for (after, at) in [(0, Pt(0.5, 0.0)), (0, Pt(3.0, 0.0)), (3, Pt(0.0, 2.0))] {
        let more = applied(&site, with_new_corner(&site, &hall, after, at).unwrap());
        assert!(place(&more).distance(before) < 1e-12, "corner at {at:?}");
        let fewer = applied(&more, without_corner(&more, &hall, after + 1).unwrap());
        assert!(place(&fewer).distance(before) < 1e-12, "without {at:?}");
        assert_eq!(fewer.rooms, site.rooms);
    }
    // The first corner: wall 0 and the last one become one.
    let split = applied(
        &site,
        with_new_corner(&site, &hall, 0, Pt(0.5, 0.0)).unwrap(),
    );
    let mut turned = split.rooms.get(&Id::new("hall")).unwrap().outline.clone();
    turned.rotate_left(1);
    let mut scratch = split.clone();
    let mut room = crate::site::Room::clone(split.rooms.get(&Id::new("hall")).unwrap());
    room.outline = turned;
    scratch
        .apply(Edit::Put(Id::new("hall"), Object::Room(room)))
        .unwrap();
    let mut window = Window::clone(scratch.windows.get(&Id::new("south-window")).unwrap());
    window.wall = 0;
    scratch
        .apply(Edit::Put(Id::new("south-window"), Object::Window(window)))
        .unwrap();
    assert!(place(&scratch).distance(before) < 1e-12);
    let joined = applied(&scratch, without_corner(&scratch, &hall, 0).unwrap());
    assert!(place(&joined).distance(before) < 1e-12);
}

#[test]
fn outlines_never_cross_and_keep_their_fewest_corners() {
    let site = fixture::site();
    let bench = item(ObjectKind::Spot, "bench");
    assert!(with_corner(&site, &bench, 0, Pt(7.0, 0.6)).is_some());
    assert!(with_corner(&site, &bench, 0, Pt(7.2, 2.5)).is_none());
    let cloth = item(ObjectKind::Cloth, "cloth");
    let three = applied(&site, without_corner(&site, &cloth, 0).unwrap());
    assert!(without_corner(&three, &cloth, 0).is_none());
}

#[test]
fn a_shorter_wall_keeps_its_window() {
    let site = fixture::site();
    let edit = with_corner(&site, &item(ObjectKind::Room, "hall"), 1, Pt(1.5, 0.0)).unwrap();
    let window = applied(&site, edit)
        .windows
        .get(&Id::new("south-window"))
        .unwrap()
        .clone();
    assert!(window.from_corner_m + window.width_m <= 1.5 + 1e-9);
}

#[test]
fn copies_have_names_and_windows_of_their_own() {
    let site = fixture::site();
    let (edit, copies) = duplicated(&site, &[item(ObjectKind::Room, "hall")], Pt(10.0, 0.0));
    let after = applied(&site, edit);
    assert_eq!(copies, [item(ObjectKind::Room, "hall-2")]);
    assert_eq!(
        (after.windows.len(), after.heaters.len(), after.spots.len()),
        (2, 2, 3)
    );
    assert_eq!(after.name_of(ObjectKind::Room, &copies[0].1), "Hall 2");
}

#[test]
fn a_room_and_its_window_are_taken_away_together() {
    let site = fixture::site();
    let both = [
        item(ObjectKind::Room, "hall"),
        item(ObjectKind::Window, "south-window"),
    ];
    let after = applied(&site, removed(&both));
    assert!(after.rooms.is_empty() && after.windows.is_empty() && after.heaters.is_empty());
}

#[test]
fn azimuths_turn_clockwise_in_steps_of_five() {
    assert_eq!(azimuth_deg(Pt(0.0, 1.0)), 0.0);
    assert_eq!(azimuth_deg(Pt(1.0, 0.02)), 90.0);
    assert_eq!(azimuth_deg(Pt(-1.0, 0.0)), 270.0);
    assert_eq!(azimuth_deg(Pt(-0.01, 1.0)), 0.0);
}
