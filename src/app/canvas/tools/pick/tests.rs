use super::*;
use crate::{app::canvas::fixture, base::Id, site::history::Document};

struct Bench {
    document: Document,
    selected: Vec<Item>,
    pick: Pick,
}

impl Bench {
    fn new() -> Self {
        Self {
            document: Document::new(fixture::site()),
            selected: Vec::new(),
            pick: Pick::default(),
        }
    }

    fn carry_out(&mut self, requests: Vec<Request>) {
        for request in requests {
            match request {
                Request::Begin(name) => self.document.begin(&name),
                Request::Apply(edit) => self.document.apply(edit).unwrap(),
                Request::End => self.document.end(),
                Request::Abandon => self.document.abandon(),
                Request::Select(items) => self.selected = items,
                other => panic!("unexpected {other:?}"),
            }
        }
    }

    fn go(&mut self, target: Target, path: &[Pt], adds: bool, ends: bool) {
        let layers = Layers::default();
        let manner = Manner {
            layers: &layers,
            snaps: true,
            reach_m: 0.05,
            still_m: 0.02,
            together: true,
            adds,
        };
        let site = self.document.site().clone();
        let requests = self
            .pick
            .down(&site, &self.selected, target, path[0], &manner);
        self.carry_out(requests);
        for p in &path[1..] {
            let requests = self.pick.moved(*p, &manner);
            self.carry_out(requests);
        }
        if ends {
            let site = self.document.site().clone();
            let requests = self.pick.up(&site, &self.selected, &manner);
            self.carry_out(requests);
        }
    }
}

fn bench() -> Item {
    (ObjectKind::Spot, Id::new("bench"))
}

#[test]
fn a_drag_is_one_step_however_many_frames_it_has() {
    let mut b = Bench::new();
    let path: Vec<Pt> = (0..30)
        .map(|k| Pt(7.0 + 0.033 * f64::from(k), 5.0 + 0.1 * f64::from(k)))
        .collect();
    b.go(Target::Item(bench()), &path, false, true);
    assert_eq!(b.document.undo_name(), Some("Move Bench"));
    let moved = b.document.site().spots.get(&bench().1).unwrap().outline[0];
    assert!(moved.distance(Pt(7.5, 3.4)) < 1e-9, "{moved:?}");
    b.document.undo();
    assert_eq!(*b.document.site(), fixture::site());
}

#[test]
fn a_room_is_selected_first_and_moved_then() {
    let mut b = Bench::new();
    let hall = (ObjectKind::Room, Id::new("hall"));
    let path = [Pt(2.0, 1.5), Pt(3.0, 1.5)];
    b.go(Target::Item(hall.clone()), &path, false, true);
    assert_eq!(*b.document.site(), fixture::site());
    b.go(Target::Item(hall.clone()), &path[..1], false, true);
    assert_eq!(b.selected, std::slice::from_ref(&hall));
    b.go(Target::Item(hall.clone()), &path, false, true);
    assert_eq!(
        b.document.site().rooms.get(&hall.1).unwrap().outline[0],
        Pt(1.0, 0.0)
    );
}

#[test]
fn a_click_selects_and_changes_nothing() {
    let mut b = Bench::new();
    b.go(
        Target::Item(bench()),
        &[Pt(7.0, 1.0), Pt(7.005, 1.0)],
        false,
        true,
    );
    assert_eq!(b.selected, [bench()]);
    assert_eq!(b.document.revision(), 0);
    b.go(Target::Paper, &[Pt(20.0, 20.0)], false, true);
    assert!(b.selected.is_empty());
}

#[test]
fn shift_adds_and_takes_away() {
    let mut b = Bench::new();
    let cloth = (ObjectKind::Cloth, Id::new("cloth"));
    b.go(Target::Item(bench()), &[Pt(7.0, 1.0)], false, true);
    b.go(Target::Item(cloth.clone()), &[Pt(6.0, 1.0)], true, true);
    assert_eq!(b.selected, [bench(), cloth.clone()]);
    b.go(Target::Item(cloth), &[Pt(6.0, 1.0)], true, true);
    assert_eq!(b.selected, [bench()]);
}

#[test]
fn esc_puts_everything_back() {
    let mut b = Bench::new();
    b.go(
        Target::Item(bench()),
        &[Pt(7.0, 1.0), Pt(9.0, 4.0)],
        false,
        false,
    );
    assert_ne!(*b.document.site(), fixture::site());
    let requests = b.pick.leave();
    b.carry_out(requests);
    assert_eq!(*b.document.site(), fixture::site());
    assert_eq!(b.document.undo_name(), None);
}

#[test]
fn a_corner_is_not_pulled_through_the_opposite_edge() {
    let mut b = Bench::new();
    let handle = Target::Handle(bench(), Handle::Corner(0));
    b.go(
        handle,
        &[Pt(6.5, 0.5), Pt(6.2, 0.2), Pt(7.2, 2.5)],
        false,
        true,
    );
    let outline = &b.document.site().spots.get(&bench().1).unwrap().outline;
    assert!(geometry::is_simple(outline));
    assert_eq!(outline[0], Pt(6.2, 0.2));
}

#[test]
fn a_middle_handle_puts_a_corner_in() {
    let mut b = Bench::new();
    let handle = Target::Handle((ObjectKind::Room, Id::new("hall")), Handle::NewCorner(1));
    b.go(handle, &[Pt(4.0, 2.0), Pt(4.7, 2.0)], false, true);
    assert_eq!(
        b.document
            .site()
            .rooms
            .get(&Id::new("hall"))
            .unwrap()
            .outline
            .len(),
        5
    );
    assert_eq!(b.document.undo_name(), Some("Add corner to Hall"));
}

#[test]
fn a_box_selects_what_it_holds() {
    let mut b = Bench::new();
    b.go(Target::Paper, &[Pt(5.5, -0.5), Pt(9.5, 3.0)], false, true);
    assert_eq!(b.selected.len(), 2);
}
