//! The Site desk through pointer, keys and accessible names.

use chrono::NaiveDate;
use egui::{Key, Modifiers, accesskit::Role, vec2};
use egui_kittest::{
    Harness,
    kittest::{NodeT, Queryable},
};
use sillward::{
    app::{
        desks::site::SiteDesk,
        state::{Looking, Request, Sight},
        theme,
    },
    base::{Id, Pt},
    site::{
        Cloth, Drawing, Fan, Room, Site, Spot, Underlay, WindowKind,
        edit::{Edit, ObjectKind},
        history::Document,
    },
};

struct Bench {
    desk: SiteDesk,
    document: Document,
    looking: Looking,
    said: Vec<String>,
}

impl Bench {
    fn show(&mut self, ui: &mut egui::Ui) {
        let mut requests = Vec::new();
        let sight = Sight {
            document: &self.document,
            outcome: None,
            stale: false,
            halted: false,
            looking: &self.looking,
            today: NaiveDate::from_ymd_opt(2026, 10, 5).unwrap(),
            folder: None,
        };
        self.desk.show_ui(ui, &sight, &mut requests);
        for request in requests {
            ui.ctx().request_repaint();
            match request {
                Request::Edit(name, edit) => self.document.edit(&name, edit).unwrap(),
                Request::Begin(name) => self.document.begin(&name),
                Request::Apply(edit) => self.document.apply(edit).unwrap(),
                Request::End => self.document.end(),
                Request::Abandon => self.document.abandon(),
                Request::Select(items) => self.looking.selected = items,
                Request::Say(words) => self.said.push(words),
                Request::SeeFromSide(side) => self.looking.from_side = side,
                _ => {}
            }
        }
        let site = self.document.site();
        self.looking
            .selected
            .retain(|(kind, id)| site.has(*kind, id));
    }
}

struct Hand<'a>(Harness<'a, Bench>);

impl Hand<'_> {
    fn new(site: Site) -> Self {
        let bench = Bench {
            desk: SiteDesk::default(),
            document: Document::new(site),
            looking: Looking::default(),
            said: Vec::new(),
        };
        let mut hand = Self(
            Harness::builder()
                .with_size(vec2(1280.0, 760.0))
                .with_theme(egui::Theme::Light)
                .with_max_steps(24)
                .with_context_setup(theme::apply)
                .build_ui_state(|ui, bench: &mut Bench| bench.show(ui), bench),
        );
        hand.0.run();
        hand
    }

    fn site(&self) -> &Site {
        self.0.state().document.site()
    }

    fn take(&mut self, tool: &str) {
        self.0.get_by_label(&format!("Tool {tool}")).click();
        self.0.run();
    }

    fn hover(&mut self, p: Pt) {
        let at = self.0.state().desk.plan().screen_of(p);
        self.0.hover_at(at);
        self.0.step();
    }

    fn pull(&mut self, from: Pt, to: Pt) {
        self.press(from);
        for k in 1..=4 {
            self.hover(from.lerp(to, f64::from(k) / 4.0));
        }
        self.release(to);
    }

    fn press(&mut self, p: Pt) {
        let at = self.0.state().desk.plan().screen_of(p);
        self.0.hover_at(at);
        self.0.step();
        self.0.drag_at(at);
        self.0.step();
    }

    fn release(&mut self, p: Pt) {
        let at = self.0.state().desk.plan().screen_of(p);
        self.0.drop_at(at);
        self.0.run();
    }

    fn click(&mut self, p: Pt) {
        self.press(p);
        self.release(p);
    }

    fn key(&mut self, key: Key) {
        self.0.key_press(key);
        self.0.run();
    }

    fn key_with(&mut self, modifiers: Modifiers, key: Key) {
        self.0.key_press_modifiers(modifiers, key);
        self.0.run();
    }

    fn write(&mut self, words: &str) {
        self.0.event(egui::Event::Text(words.to_owned()));
        self.0.run();
    }

    fn undo_name(&self) -> Option<String> {
        self.0.state().document.undo_name().map(str::to_owned)
    }
}

/// A room with a sill, and a bench outdoors.
fn furnished() -> Site {
    let square = |x: f64, y: f64, w: f64, h: f64| {
        vec![Pt(x, y), Pt(x + w, y), Pt(x + w, y + h), Pt(x, y + h)]
    };
    let mut site = Site::default();
    site.rooms.put(
        Id::new("hall"),
        Room {
            name: "Hall".into(),
            outline: square(0.0, 0.0, 4.0, 3.0),
            ..Room::default()
        },
    );
    for (id, name, room, outline) in [
        (
            "sill",
            "Sill",
            Some(Id::new("hall")),
            vec![Pt(1.0, 0.3), Pt(2.4, 0.3)],
        ),
        ("bench", "Bench", None, square(6.0, 0.5, 1.5, 0.8)),
    ] {
        site.spots.put(
            Id::new(id),
            Spot {
                name: name.into(),
                room,
                outline,
                ..Spot::default()
            },
        );
    }
    site
}

fn bench_corner(hand: &Hand<'_>) -> Pt {
    hand.site().spots.get(&Id::new("bench")).unwrap().outline[0]
}

#[test]
fn a_small_house_is_drawn_by_hand_and_taken_back_step_by_step() {
    let mut hand = Hand::new(Site::default());
    hand.take("Room");
    hand.pull(Pt(-2.0, -1.0), Pt(2.0, 2.0));
    hand.take("Window");
    hand.click(Pt(0.0, -1.0));
    hand.take("Glass door");
    hand.click(Pt(2.0, 0.5));
    hand.take("Heater");
    hand.click(Pt(-1.0, 1.8));
    hand.take("Air vent");
    hand.pull(Pt(-1.8, 0.5), Pt(-0.4, 0.5));
    hand.take("Sill or row");
    hand.pull(Pt(-0.6, -0.7), Pt(0.6, -0.7));
    hand.take("Shade cloth");
    hand.pull(Pt(3.0, -2.0), Pt(5.0, 0.0));
    hand.take("Bench");
    hand.pull(Pt(3.4, -1.6), Pt(4.6, -0.8));
    hand.take("Pick");

    let site = hand.site();
    assert_eq!(site.rooms.len(), 1);
    assert_eq!(site.windows.len(), 2);
    let window = site.windows.get(&Id::new("window-1")).unwrap();
    assert_eq!((window.wall, window.kind), (0, WindowKind::Window));
    assert!((window.from_corner_m + window.width_m / 2.0 - 2.0).abs() < 0.06);
    assert_eq!(site.heaters.values().next().unwrap().faces_deg, 180.0);
    assert_eq!(site.vents.values().next().unwrap().blows_deg, 90.0);
    let sill = site.spots.get(&Id::new("sill-1")).unwrap();
    assert_eq!(sill.room, site.rooms.ids().next().cloned());
    assert_eq!(site.spots.get(&Id::new("bench-1")).unwrap().room, None);
    assert_eq!(site.cloths.len(), 1);
    assert_eq!(hand.undo_name().as_deref(), Some("Draw Bench 1"));

    let steps = {
        let document = &mut hand.0.state_mut().document;
        let mut steps = 0;
        while document.undo() {
            steps += 1;
        }
        steps
    };
    assert_eq!(steps, 8);
    assert_eq!(*hand.site(), Site::default());
}

#[test]
fn lengths_are_typed_while_drawing() {
    let mut hand = Hand::new(Site::default());
    hand.take("Room");
    hand.click(Pt(-2.0, -1.0));
    hand.hover(Pt(1.0, -1.0));
    hand.write("4.25");
    hand.key(Key::Enter);
    hand.hover(Pt(2.25, 2.0));
    hand.write("310cm");
    hand.key(Key::Enter);
    hand.click(Pt(-2.0, 2.1));
    hand.click(Pt(-3.0, 3.0));
    hand.key(Key::Backspace);
    hand.key(Key::Enter);
    let room = hand.site().rooms.values().next().unwrap();
    let expected = [Pt(-2.0, -1.0), Pt(2.25, -1.0), Pt(2.25, 2.1), Pt(-2.0, 2.1)];
    assert_eq!(room.outline.len(), expected.len());
    for (corner, wanted) in room.outline.iter().zip(expected) {
        assert!(corner.distance(wanted) < 1e-3, "{:?}", room.outline);
    }
}

#[test]
fn what_cannot_be_drawn_is_said() {
    let mut hand = Hand::new(Site::default());
    hand.take("Heater");
    hand.click(Pt(0.0, 0.0));
    assert!(hand.site().heaters.is_empty());
    assert!(hand.0.state().said[0].contains("inside a room"));
}

#[test]
fn a_bench_is_moved_nudged_copied_and_deleted() {
    let mut hand = Hand::new(furnished());
    hand.pull(Pt(6.7, 0.9), Pt(6.7, 2.4));
    assert_eq!(hand.undo_name().as_deref(), Some("Move Bench"));
    assert!(bench_corner(&hand).distance(Pt(6.0, 2.0)) < 1e-6);
    hand.key(Key::ArrowLeft);
    assert!(bench_corner(&hand).distance(Pt(5.9, 2.0)) < 1e-6);
    hand.0.key_press_modifiers(Modifiers::SHIFT, Key::ArrowUp);
    hand.0.run();
    assert!(bench_corner(&hand).distance(Pt(5.9, 3.0)) < 1e-6);
    hand.0.key_press_modifiers(Modifiers::COMMAND, Key::D);
    hand.0.run();
    assert_eq!(hand.site().spots.len(), 3);
    hand.key(Key::Delete);
    assert_eq!(hand.site().spots.len(), 2);
    assert!(hand.0.state().looking.selected.is_empty());
    let document = &mut hand.0.state_mut().document;
    for _ in 0..5 {
        assert!(document.undo());
    }
    assert_eq!(*document.site(), furnished());
    for _ in 0..2 {
        assert!(document.redo());
    }
    assert!(bench_corner(&hand).distance(Pt(5.9, 2.0)) < 1e-6);
}

#[test]
fn esc_takes_a_pull_back() {
    let mut hand = Hand::new(furnished());
    hand.press(Pt(6.7, 0.9));
    hand.hover(Pt(7.0, 2.0));
    hand.hover(Pt(7.0, 3.0));
    assert_ne!(*hand.site(), furnished());
    hand.key(Key::Escape);
    hand.release(Pt(7.0, 3.0));
    assert_eq!(*hand.site(), furnished());
    assert_eq!(hand.undo_name(), None);
}

#[test]
fn a_room_is_moved_with_what_stands_in_it() {
    let mut hand = Hand::new(furnished());
    hand.click(Pt(2.0, 2.0));
    hand.pull(Pt(2.0, 2.0), Pt(2.0, 4.0));
    let sill = hand.site().spots.get(&Id::new("sill")).unwrap();
    assert!(sill.outline[0].distance(Pt(1.0, 2.3)) < 1e-6);
    assert_eq!(sill.room, Some(Id::new("hall")));
}

#[test]
fn everything_is_reached_by_name_and_by_list() {
    let mut hand = Hand::new(furnished());
    hand.0.get_by_label("Spot Sill").click_accesskit();
    hand.0.run();
    assert_eq!(
        hand.0.state().looking.selected,
        [(ObjectKind::Spot, Id::new("sill"))]
    );
    hand.0.get_by_label("List").click();
    hand.0.run();
    hand.0.get_by_label("Hall, room").click();
    hand.0.run();
    assert_eq!(
        hand.0.state().looking.selected,
        [(ObjectKind::Room, Id::new("hall"))]
    );
}

#[test]
fn a_field_is_changed_as_one_step() {
    let mut hand = Hand::new(furnished());
    hand.click(Pt(2.0, 2.0));
    hand.0
        .get_by_role_and_label(Role::SpinButton, "Ceiling")
        .click();
    hand.0.run();
    hand.0.key_press_modifiers(Modifiers::COMMAND, Key::A);
    hand.write("3.1");
    hand.key(Key::Enter);
    assert_eq!(hand.site().rooms.values().next().unwrap().height_m, 3.1);
    assert_eq!(hand.undo_name().as_deref(), Some("Change ceiling of Hall"));
    hand.0.get_by_label("Heated in July").click();
    hand.0.run();
    let document = &mut hand.0.state_mut().document;
    assert_eq!(document.undo_name(), Some("Change heated of Hall"));
    assert!(document.undo() && document.undo());
    assert_eq!(*document.site(), furnished());
}

#[test]
fn an_empty_site_says_what_to_do_first() {
    let mut hand = Hand::new(Site::default());
    hand.0.get_by_label("A new site");
    hand.0.get_by_label("Place and climate…");
    hand.take("Building");
    assert!(hand.0.query_by_label("A new site").is_none());
}

#[test]
fn heights_are_set_from_the_side() {
    let mut hand = Hand::new(furnished());
    hand.0.get_by_label("From the side").click();
    hand.0.run();
    hand.0.get_by_label("List").click();
    hand.0.run();
    hand.0.get_by_label("Bench, spot").click();
    hand.0.run();
    let height = |hand: &Hand<'_>| hand.site().spots.get(&Id::new("bench")).unwrap().height_m;
    let before = height(&hand);
    let name = format!("Height of Spot Bench, {before:.2} m");
    let handle = hand.0.get_by_role_and_label(Role::Slider, &name);
    let at = handle.rect().center();
    handle.focus();
    hand.0.run();
    hand.key(Key::ArrowUp);
    assert!((height(&hand) - before - 0.05).abs() < 1e-9);
    assert_eq!(
        hand.undo_name().as_deref(),
        Some("Set height of Spot Bench")
    );
    assert!(hand.0.state_mut().document.undo());
    hand.0.run();

    hand.0.hover_at(at);
    hand.0.step();
    hand.0.drag_at(at);
    hand.0.step();
    for k in 1..=4 {
        hand.0.hover_at(at - vec2(0.0, 10.0 * k as f32));
        hand.0.step();
    }
    hand.0.drop_at(at - vec2(0.0, 40.0));
    hand.0.run();
    let pulled = height(&hand);
    assert!(pulled > before + 0.1, "{pulled} from {before}");
    // One pull is one step.
    assert!(hand.0.state_mut().document.undo());
    assert_eq!(*hand.site(), furnished());
    hand.0.run();
    hand.0.get_by_label("From above").click();
    hand.0.run();
    hand.0.get_by_label("From the side");
}

#[test]
fn taking_a_tool_turns_the_drawing_back_to_the_plan() {
    let mut hand = Hand::new(furnished());
    hand.0.get_by_label("From the side").click();
    hand.0.run();
    hand.take("Room");
    assert!(!hand.0.state().looking.from_side);
}

fn assert_outline(found: &[Pt], wanted: &[Pt]) {
    assert_eq!(found.len(), wanted.len(), "{found:?}");
    for (a, b) in found.iter().zip(wanted) {
        assert!(a.distance(*b) < 1e-3, "{found:?}");
    }
}

#[test]
fn angles_and_rectangles_are_typed_while_drawing() {
    let mut hand = Hand::new(Site::default());
    hand.take("Wall");
    hand.click(Pt(-2.0, -1.0));
    hand.hover(Pt(1.0, -0.4));
    hand.write("3");
    hand.key(Key::Tab);
    hand.write("30");
    hand.key(Key::Enter);
    // Of an angle alone the pointer gives the length, in round steps.
    hand.hover(Pt(1.53, 1.9));
    hand.key(Key::Tab);
    hand.write("90");
    hand.key(Key::Enter);
    hand.key(Key::Enter);
    let line = &hand.site().screens.values().next().unwrap().line;
    let second = Pt(-2.0 + 1.5, -1.0 + 3.0 * 0.75_f64.sqrt());
    assert_outline(line, &[Pt(-2.0, -1.0), second, second + Pt(2.0, 0.0)]);

    hand.take("Room");
    hand.click(Pt(2.0, 2.0));
    hand.hover(Pt(1.0, 1.0));
    hand.write("4 x 3");
    hand.key(Key::Enter);
    let room = hand.site().rooms.values().next().unwrap();
    let corners = [Pt(2.0, 2.0), Pt(-2.0, 2.0), Pt(-2.0, -1.0), Pt(2.0, -1.0)];
    assert_outline(&room.outline, &corners);

    hand.click(Pt(3.0, 3.0));
    hand.hover(Pt(4.0, 3.0));
    hand.write("3 ft ft");
    hand.key(Key::Enter);
    let said = hand.0.state().said.last().unwrap();
    assert!(said.contains("is not a length"), "{said}");
}

#[test]
fn what_is_locked_is_selected_but_not_moved() {
    let mut hand = Hand::new(furnished());
    hand.click(Pt(6.7, 0.9));
    hand.0.key_press_modifiers(Modifiers::COMMAND, Key::L);
    hand.0.run();
    assert_eq!(hand.undo_name().as_deref(), Some("Lock Bench"));
    let before = bench_corner(&hand);
    hand.pull(Pt(6.7, 0.9), Pt(6.7, 2.4));
    hand.click(Pt(6.7, 0.9));
    hand.key(Key::ArrowLeft);
    hand.key(Key::Delete);
    assert_eq!(bench_corner(&hand), before);
    assert!(hand.0.state().said.iter().any(|s| s.contains("locked")));
    hand.0.get_by_label("Unlock").click_accesskit();
    hand.0.run();
    hand.key(Key::ArrowLeft);
    assert!(bench_corner(&hand).distance(before - Pt(0.1, 0.0)) < 1e-6);
}

#[test]
fn several_are_put_in_line_turned_and_changed_at_once() {
    let mut hand = Hand::new(furnished());
    hand.0.key_press_modifiers(Modifiers::COMMAND, Key::A);
    hand.0.run();
    assert_eq!(hand.0.state().looking.selected.len(), 3);
    hand.0.get_by_label("List").click();
    hand.0.run();
    hand.0.get_by_label("Sill, spot").click();
    hand.0.run();
    hand.0
        .get_by_label("Bench, spot")
        .click_modifiers(Modifiers::SHIFT);
    hand.0.run();
    hand.0.get_by_label("Align bottom").click();
    hand.0.run();
    assert!((bench_corner(&hand).y() - 0.3).abs() < 1e-9);
    assert_eq!(hand.undo_name().as_deref(), Some("Align 2 objects"));
    hand.0
        .get_by_role_and_label(Role::SpinButton, "Height")
        .click();
    hand.0.run();
    hand.0.key_press_modifiers(Modifiers::COMMAND, Key::A);
    hand.write("1.1");
    hand.key(Key::Enter);
    for spot in hand.site().spots.values() {
        assert_eq!(spot.height_m, 1.1, "{}", spot.name);
    }
    hand.0.get_by_label("Turn").click();
    hand.0.run();
    let document = &mut hand.0.state_mut().document;
    assert_eq!(document.undo_name(), Some("Turn 2 objects"));
    for _ in 0..3 {
        assert!(document.undo());
    }
    assert_eq!(*document.site(), furnished());
}

#[test]
fn a_copy_goes_through_the_clipboard() {
    let mut hand = Hand::new(furnished());
    hand.click(Pt(2.0, 2.0));
    hand.0.event(egui::Event::Copy);
    hand.0.step();
    let text = hand
        .0
        .output()
        .platform_output
        .commands
        .iter()
        .find_map(|c| match c {
            egui::OutputCommand::CopyText(text) => Some(text.clone()),
            _ => None,
        })
        .unwrap();
    hand.0.run();
    hand.hover(Pt(2.0, 8.0));
    hand.0.event(egui::Event::Paste(text));
    hand.0.run();
    assert_eq!((hand.site().rooms.len(), hand.site().spots.len()), (2, 3));
    assert_eq!(hand.undo_name().as_deref(), Some("Paste 2 objects"));
    hand.0.event(egui::Event::Paste("anything".into()));
    hand.0.run();
    assert!(
        hand.0
            .state()
            .said
            .last()
            .unwrap()
            .contains("nothing that was copied")
    );
    assert!(hand.0.state_mut().document.undo());
    assert_eq!(*hand.site(), furnished());
}

#[test]
fn an_edge_is_pushed_and_a_room_turned_by_its_knob() {
    let mut hand = Hand::new(furnished());
    hand.click(Pt(2.0, 2.0));
    hand.pull(Pt(4.0, 1.5), Pt(5.0, 1.5));
    let outline = |hand: &Hand<'_>| hand.site().rooms.values().next().unwrap().outline.clone();
    assert_outline(
        &outline(&hand),
        &[Pt(0.0, 0.0), Pt(5.0, 0.0), Pt(5.0, 3.0), Pt(0.0, 3.0)],
    );
    assert_eq!(hand.undo_name().as_deref(), Some("Push edge of Hall"));
    hand.0
        .get_by_role_and_label(Role::SpinButton, "Width")
        .focus();
    hand.0.run();
    hand.0.key_press_modifiers(Modifiers::COMMAND, Key::A);
    hand.write("4");
    hand.key(Key::Enter);
    assert!((outline(&hand)[1].x() - 4.0).abs() < 1e-6);
}

#[test]
fn a_pot_is_carried_to_another_spot() {
    let mut site = furnished();
    site.plants.put(
        Id::new("white"),
        sillward::site::Plant {
            name: "White".into(),
            kind: Id::new("cymbidium-standard"),
            stands: Some(Id::new("bench")),
            ..sillward::site::Plant::default()
        },
    );
    let mut hand = Hand::new(site.clone());
    let pot = hand.0.get_by_label("Pot of White on Bench").rect().center();
    hand.0.hover_at(pot);
    hand.0.step();
    hand.0.drag_at(pot);
    hand.0.step();
    for k in 1..=4 {
        let to = hand.0.state().desk.plan().screen_of(Pt(1.5, 0.3));
        hand.0.hover_at(pot + (to - pot) * (k as f32 / 4.0));
        hand.0.step();
    }
    hand.release(Pt(1.5, 0.3));
    hand.0.get_by_label("Pot of White on Sill");
    assert_eq!(hand.undo_name().as_deref(), Some("Stand White on Sill"));
    assert!(hand.0.state_mut().document.undo());
    assert_eq!(*hand.site(), site);
}

/// The hand's site with a fan and a cloth besides, all of whose heights differ.
fn of_many_kinds() -> Site {
    let mut site = furnished();
    site.fans.put(
        Id::new("fan"),
        Fan {
            name: "Fan".into(),
            at: Pt(1.0, 2.0),
            height_m: 1.5,
            ..Fan::default()
        },
    );
    site.cloths.put(
        Id::new("cloth"),
        Cloth {
            name: "Cloth".into(),
            outline: vec![Pt(6.0, 2.0), Pt(8.0, 2.0), Pt(8.0, 4.0), Pt(6.0, 4.0)],
            height_m: 2.4,
            ..Cloth::default()
        },
    );
    site
}

fn select(hand: &mut Hand<'_>, items: &[(ObjectKind, &str)]) {
    hand.0.state_mut().looking.selected = items
        .iter()
        .map(|(kind, id)| (*kind, Id::new(id)))
        .collect();
    hand.0.run();
}

#[test]
fn things_of_different_kinds_are_changed_together_as_one_step() {
    let mut hand = Hand::new(of_many_kinds());
    select(
        &mut hand,
        &[
            (ObjectKind::Spot, "bench"),
            (ObjectKind::Cloth, "cloth"),
            (ObjectKind::Fan, "fan"),
        ],
    );
    assert!(hand.0.query_by_label_contains("they differ").is_some());
    // What only one of them has is not offered.
    assert!(hand.0.query_by_label("Shade").is_none());
    let before = hand.site().clone();
    let steps = hand.0.state().document.steps();
    hand.0
        .get_by_role_and_label(Role::SpinButton, "Height")
        .focus();
    hand.0.run();
    hand.key_with(Modifiers::COMMAND, Key::A);
    hand.write("1.2");
    hand.key(Key::Enter);
    let site = hand.site();
    assert_eq!(site.spots.get(&Id::new("bench")).unwrap().height_m, 1.2);
    assert_eq!(site.cloths.get(&Id::new("cloth")).unwrap().height_m, 1.2);
    assert_eq!(site.fans.get(&Id::new("fan")).unwrap().height_m, 1.2);
    assert_eq!(hand.0.state().document.steps(), steps + 1);
    hand.0.state_mut().document.undo();
    hand.0.run();
    assert_eq!(*hand.site(), before);
    // Months of use, whether they are told in a timetable or alone.
    hand.0
        .get_by_role_and_label(Role::CheckBox, "Months in January")
        .click();
    hand.0.run();
    let site = hand.site();
    assert!(!site.spots.get(&Id::new("bench")).unwrap().months.has(0));
    assert!(!site.cloths.get(&Id::new("cloth")).unwrap().months.has(0));
    assert!(!site.fans.get(&Id::new("fan")).unwrap().runs.months.has(0));
    // One name for all, numbered.
    hand.0
        .get_by_role_and_label(Role::TextInput, "Name of all")
        .focus();
    hand.0.run();
    hand.write("South");
    hand.key(Key::Enter);
    let site = hand.site();
    assert_eq!(site.spots.get(&Id::new("bench")).unwrap().name, "South 1");
    assert_eq!(site.fans.get(&Id::new("fan")).unwrap().name, "South 3");
    // The lock.
    hand.0
        .get_by_role_and_label(Role::CheckBox, "Locked")
        .click();
    hand.0.run();
    let drawing = &hand.site().drawing;
    assert!(drawing.is_locked(ObjectKind::Fan, &Id::new("fan")));
    assert!(drawing.is_locked(ObjectKind::Spot, &Id::new("bench")));
}

#[test]
fn what_is_locked_says_why_it_cannot_be_put_in_line_or_turned() {
    let mut hand = Hand::new(of_many_kinds());
    let both = [(ObjectKind::Spot, "bench"), (ObjectKind::Cloth, "cloth")];
    select(&mut hand, &both);
    let off = |hand: &Hand<'_>, name: &str| {
        hand.0
            .get_by_role_and_label(Role::Button, name)
            .accesskit_node()
            .is_disabled()
    };
    assert!(!off(&hand, "Align left") && !off(&hand, "Turn"));
    hand.0
        .get_by_role_and_label(Role::Button, "Align left")
        .click();
    hand.0.run();
    // In line already: said, not silently nothing.
    hand.0
        .get_by_role_and_label(Role::Button, "Align left")
        .click();
    hand.0.run();
    assert!(hand.0.state().said.iter().any(|s| s.contains("already")));
    hand.0.get_by_role_and_label(Role::Button, "Lock").click();
    hand.0.run();
    for name in ["Align left", "Turn", "Even gaps across", "Delete"] {
        assert!(off(&hand, name), "{name}");
    }
    let before = hand.site().clone();
    hand.0.get_by_role_and_label(Role::Button, "Turn").hover();
    hand.0.run_steps(60);
    assert!(hand.0.query_by_label_contains("unlock it first").is_some());
    assert_eq!(*hand.site(), before);
}

/// A picture of a plan, 40 by 20 pixels, beside the tests' own files.
fn traced(file: &std::path::Path) -> Site {
    let mut site = furnished();
    let drawing = Drawing {
        underlay: Some(Underlay {
            file: file.display().to_string(),
            at: Pt(2.0, 1.0),
            width_m: 8.0,
            ..Underlay::default()
        }),
        ..Drawing::default()
    };
    site.apply(Edit::SetDrawing(drawing)).unwrap();
    site
}

fn write_png(file: &std::path::Path) {
    let out = std::fs::File::create(file).unwrap();
    let mut encoder = png::Encoder::new(out, 40, 20);
    encoder.set_color(png::ColorType::Grayscale);
    let mut writer = encoder.write_header().unwrap();
    writer.write_image_data(&[200; 800]).unwrap();
}

fn underlay(hand: &Hand<'_>) -> Underlay {
    hand.site().drawing.underlay.clone().unwrap()
}

#[test]
fn a_picture_is_scaled_by_two_points_and_turned_to_north() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("plan.png");
    write_png(&file);
    let mut hand = Hand::new(traced(&file));
    hand.0.get_by_role_and_label(Role::Tab, "Trace").click();
    hand.0.run();
    hand.0
        .get_by_role_and_label(Role::Button, "Scale by two points…")
        .click();
    hand.0.run();
    hand.pull(Pt(0.0, 0.0), Pt(4.0, 0.0));
    // The field has the keyboard, and Tab leaves it.
    hand.write("5,0");
    let focused = |hand: &Hand<'_>, name: &str| {
        hand.0
            .query_all_by_label(name)
            .any(|n| n.accesskit_node().is_focused())
    };
    assert!(focused(&hand, "True distance"));
    hand.key(Key::Tab);
    assert!(focused(&hand, "Scale the picture"));
    hand.key(Key::Enter);
    let u = underlay(&hand);
    assert!((u.width_m - 10.0).abs() < 0.05, "{}", u.width_m);
    assert_eq!(hand.undo_name().unwrap(), "Scale the picture");
    // North of the picture lies to the right: a quarter of a turn back.
    hand.0
        .get_by_role_and_label(Role::Button, "Turn to north…")
        .click();
    hand.0.run();
    hand.pull(Pt(0.0, 0.0), Pt(3.0, 0.0));
    let u = underlay(&hand);
    assert!((u.turned_deg + 90.0).abs() < 0.5, "{}", u.turned_deg);
    hand.0.state_mut().document.undo();
    hand.0.state_mut().document.undo();
    hand.0.run();
    assert_eq!(underlay(&hand).width_m, 8.0);
}

#[test]
fn esc_leaves_the_question_for_the_distance() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("plan.png");
    write_png(&file);
    let mut hand = Hand::new(traced(&file));
    hand.0.get_by_role_and_label(Role::Tab, "Trace").click();
    hand.0.run();
    hand.0
        .get_by_role_and_label(Role::Button, "Scale by two points…")
        .click();
    hand.0.run();
    hand.pull(Pt(0.0, 0.0), Pt(4.0, 0.0));
    hand.key(Key::Tab);
    assert!(hand.0.query_by_label("True distance").is_some());
    hand.key(Key::Escape);
    assert!(hand.0.query_by_label("True distance").is_none());
    assert_eq!(underlay(&hand).width_m, 8.0);
}

#[test]
fn a_picture_that_was_missing_is_read_again() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("plan.png");
    let mut hand = Hand::new(traced(&file));
    hand.0.get_by_role_and_label(Role::Tab, "Trace").click();
    let wait = |hand: &mut Hand<'_>, fault: bool| {
        for _ in 0..500 {
            hand.0.step();
            let shown = hand.0.query_by_label_contains("cannot be read").is_some();
            let awaited = hand.0.query_by_label_contains("being read").is_some();
            if shown == fault && !awaited {
                return;
            }
            std::thread::sleep(std::time::Duration::from_millis(10));
        }
        panic!("no answer came");
    };
    wait(&mut hand, true);
    write_png(&file);
    hand.0
        .get_by_role_and_label(Role::Button, "Read the picture again")
        .click_accesskit();
    hand.0.step();
    wait(&mut hand, false);
}
