//! Every change is an edit, and every edit can be taken back.

use chrono::NaiveDate;
use proptest::prelude::*;
use sillward::{
    base::{Id, Pt},
    site::{
        Absence, Choices, Drawing, Event, Heater, JournalEntry, Pin, Plant, Room, Site, Spot,
        Window,
        edit::{Edit, EditError, Object, ObjectKind},
        file::{self, Severity},
        history::Document,
        samples::SAMPLES,
    },
};

fn sample() -> Site {
    SAMPLES[0].read().unwrap().site
}

fn day(d: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 11, d).unwrap()
}

/// An identifier out of those of a sample, some of none, and one that is no identifier.
fn ids() -> impl Strategy<Value = Id> {
    prop::sample::select(
        &[
            "porch",
            "kitchen",
            "parlour",
            "porch-bench",
            "kitchen-sill",
            "south-patio",
            "lemon",
            "zygo",
            "sea-chapel",
            "kitchen-window",
            "porch-fan",
            "apple",
            "new-one",
            "new-two",
            "Not An Id",
        ][..],
    )
    .prop_map(Id::new)
}

fn object() -> impl Strategy<Value = Object> {
    prop_oneof![
        (0.0..5.0_f64).prop_map(|h| Object::Room(Room {
            height_m: h,
            ..Room::default()
        })),
        (ids(), 0.0..3.0_f64).prop_map(|(room, w)| {
            Object::Window(Window {
                room,
                width_m: w,
                ..Window::default()
            })
        }),
        ids().prop_map(|room| Object::Heater(Heater {
            room,
            ..Heater::default()
        })),
        (prop::option::of(ids()), -9.0..9.0_f64).prop_map(|(room, x)| {
            Object::Spot(Spot {
                room,
                outline: vec![Pt(x, x)],
                ..Spot::default()
            })
        }),
        (ids(), prop::option::of(ids())).prop_map(|(kind, stands)| {
            Object::Plant(Plant {
                kind,
                stands,
                ..Plant::default()
            })
        }),
    ]
}

fn edit() -> impl Strategy<Value = Edit> {
    let kind = || prop::sample::select(ObjectKind::ALL);
    let one = prop_oneof![
        4 => (ids(), object()).prop_map(|(id, object)| Edit::Put(id, object)),
        3 => (kind(), ids()).prop_map(|(kind, id)| Edit::Remove(kind, id)),
        3 => (kind(), ids(), ids()).prop_map(|(kind, from, to)| Edit::Rename { kind, from, to }),
        1 => "[a-c]{0,2}".prop_map(Edit::SetName),
        1 => "[a-c]{0,2}".prop_map(Edit::SetNote),
        2 => (prop::option::of(ids()), ids(), any::<bool>(), 1..30_u32).prop_map(|(plant, spot, moved, d)| {
            let event = if moved { Event::Moved(spot) } else { Event::Watered };
            Edit::Record(JournalEntry { date: day(d), plant, event, from: None, note: String::new() })
        }),
        1 => (0_usize..12).prop_map(Edit::Unrecord),
        1 => (ids(), ids(), 1..30_u32).prop_map(|(plant, spot, d)| {
            Edit::SetChoices(Choices {
                pins: vec![Pin { plant, spot, from: day(d), to: day(30) }],
                absences: vec![Absence { from: day(d), to: day(d) }],
                ..Choices::default()
            })
        }),
        1 => (kind(), ids()).prop_map(|(kind, id)| {
            let mut drawing = Drawing::default();
            drawing.lock(&[(kind, id)], true);
            Edit::SetDrawing(drawing)
        }),
    ];
    prop_oneof![
        5 => one.clone(),
        1 => prop::collection::vec(one, 0..4).prop_map(Edit::All),
    ]
}

/// Faults that no edit may bring about: something that names what is not there.
fn dangling(site: &Site) -> Vec<String> {
    file::check(site)
        .iter()
        .filter(|f| f.severity == Severity::Fault && f.what.starts_with("there is no"))
        .map(ToString::to_string)
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, ..ProptestConfig::default() })]

    #[test]
    fn all_undone_is_the_first_state_and_all_redone_the_last(edits in prop::collection::vec(edit(), 1..40)) {
        let first = sample();
        let first_text = file::to_text(&first);
        let mut document = Document::new(first.clone());
        for (i, edit) in edits.into_iter().enumerate() {
            let before = document.site().clone();
            let (steps, revision) = (document.steps(), document.revision());
            match document.edit(&format!("step {i}"), edit) {
                Ok(()) => {
                    let changed = *document.site() != before;
                    prop_assert_eq!(document.steps(), steps + usize::from(changed));
                    prop_assert!(document.revision() > revision);
                }
                Err(_) => {
                    prop_assert_eq!(document.site(), &before);
                    prop_assert_eq!(document.steps(), steps);
                    prop_assert_eq!(document.revision(), revision);
                }
            }
            let dangling = dangling(document.site());
            prop_assert!(dangling.is_empty(), "{dangling:?}");
        }
        let last = document.site().clone();
        let steps = document.steps();
        prop_assert_eq!(document.is_changed(), last != first);
        while document.undo() {}
        prop_assert_eq!(document.site(), &first);
        prop_assert_eq!(file::to_text(document.site()), first_text);
        prop_assert!(!document.is_changed() && document.undo_name().is_none());
        let mut redone = 0;
        while document.redo() {
            redone += 1;
        }
        prop_assert_eq!(redone, steps);
        prop_assert_eq!(document.site(), &last);
        prop_assert_eq!(file::to_text(document.site()), file::to_text(&last));
    }

    #[test]
    fn an_object_renamed_there_and_back_is_as_before(kind in prop::sample::select(ObjectKind::ALL), n in 0_usize..20) {
        let before = sample();
        let ids = before.ids(kind);
        if let Some(id) = ids.get(n % ids.len().max(1)) {
            let other = Id::new("another-name");
            let mut site = before.clone();
            site.apply(Edit::Rename { kind, from: id.clone(), to: other.clone() }).unwrap();
            prop_assert!(site.has(kind, &other) && !site.has(kind, id));
            let quoted = format!("\"{id}\"");
            // Other tables may hold the same identifier; that of this object is named nowhere any more.
            let elsewhere = ObjectKind::ALL.iter().any(|k| *k != kind && site.has(*k, id))
                || site.kind(id).is_some();
            prop_assert!(elsewhere || !file::to_text(&site).contains(&quoted));
            prop_assert_eq!(dangling(&site).len(), 0);
            site.apply(Edit::Rename { kind, from: other, to: id.clone() }).unwrap();
            prop_assert_eq!(site, before);
        }
    }
}

#[test]
fn what_depends_on_an_object_goes_with_it() {
    let mut site = sample();
    site.apply(Edit::Remove(ObjectKind::Room, Id::new("porch")))
        .unwrap();
    assert!(!site.spots.contains(&Id::new("porch-bench")));
    assert!(site.fans.is_empty() && site.trays.is_empty());
    assert_eq!(site.windows.len(), 3, "windows of other rooms stay");

    site.apply(Edit::Remove(ObjectKind::Spot, Id::new("cloth-bench")))
        .unwrap();
    let orchid = site.plants.get(&Id::new("sea-chapel")).unwrap();
    assert_eq!(orchid.stands, None);

    let pins = site.choices.pins.len();
    site.apply(Edit::Remove(ObjectKind::Plant, Id::new("november-cactus")))
        .unwrap();
    assert_eq!(site.choices.pins.len(), pins - 1);
}

#[test]
fn a_record_of_a_move_moves_the_plant() {
    let mut site = sample();
    let entry = |plant: &str, spot: &str| JournalEntry {
        date: day(3),
        plant: Some(Id::new(plant)),
        event: Event::Moved(Id::new(spot)),
        from: None,
        note: String::new(),
    };
    site.apply(Edit::Record(entry("lemon", "porch-floor")))
        .unwrap();
    let lemon = site.plants.get(&Id::new("lemon")).unwrap();
    assert_eq!(lemon.stands, Some(Id::new("porch-floor")));
    for refused in [entry("lime", "porch-floor"), entry("lemon", "attic")] {
        let before = site.clone();
        assert!(site.apply(Edit::Record(refused)).is_err());
        assert_eq!(site, before);
    }
}

#[test]
fn one_refused_edit_of_many_refuses_all() {
    let mut site = sample();
    let before = site.clone();
    let refused = site.apply(Edit::All(vec![
        Edit::SetName("half".into()),
        Edit::Remove(ObjectKind::Room, Id::new("porch")),
        Edit::Remove(ObjectKind::Spot, Id::new("porch-bench")),
    ]));
    assert_eq!(
        refused,
        Err(EditError::Missing {
            kind: ObjectKind::Spot,
            id: Id::new("porch-bench")
        })
    );
    assert_eq!(site, before);
}

#[test]
fn a_kind_in_use_stays_but_one_of_the_library_can_be_fallen_back_on() {
    let mut site = sample();
    let lemon = sillward::needs::Kind::clone(site.kind(&Id::new("lemon")).unwrap());
    for id in ["lemon", "own-lemon"] {
        site.apply(Edit::Put(Id::new(id), Object::Kind(lemon.clone())))
            .unwrap();
    }
    site.apply(Edit::Remove(ObjectKind::Kind, Id::new("lemon")))
        .unwrap();
    let own = Plant {
        kind: Id::new("own-lemon"),
        name: "Second lemon".into(),
        ..Plant::default()
    };
    site.apply(Edit::Put(Id::new("second"), Object::Plant(own)))
        .unwrap();
    let said = site
        .apply(Edit::Remove(ObjectKind::Kind, Id::new("own-lemon")))
        .unwrap_err();
    assert!(
        said.to_string()
            .contains("still of this kind: Second lemon")
    );
    let taken = site.apply(Edit::Rename {
        kind: ObjectKind::Plant,
        from: Id::new("second"),
        to: Id::new("lemon"),
    });
    assert!(matches!(taken, Err(EditError::Taken { .. })));
}

#[test]
fn a_drag_is_one_step_and_an_abandoned_one_is_none() {
    let mut document = Document::new(sample());
    let place = |x: f64| {
        let spot = Spot {
            outline: vec![Pt(x, -1.0)],
            ..Spot::default()
        };
        Edit::Put(Id::new("dragged"), Object::Spot(spot))
    };
    document.begin("Move spot");
    for i in 0..50 {
        document.apply(place(f64::from(i))).unwrap();
    }
    document.end();
    assert_eq!(
        (document.steps(), document.undo_name()),
        (1, Some("Move spot"))
    );

    let before = document.site().clone();
    document.begin("Move spot");
    document.apply(place(-3.0)).unwrap();
    document.abandon();
    assert_eq!(document.site(), &before);
    assert_eq!(document.steps(), 1);

    document.begin("Nothing");
    document.end();
    assert_eq!(document.steps(), 1);

    document.mark_saved();
    assert!(!document.is_changed());
    assert!(document.undo() && document.is_changed());
    assert!(document.redo() && !document.is_changed() && !document.redo());
}

#[test]
fn memory_is_bounded_and_the_last_steps_are_kept() {
    let mut site = Site::default();
    for i in 0..5_000 {
        site.spots.put(Id::new(&format!("s{i}")), Spot::default());
    }
    let mut document = Document::new(site);
    for i in 0..1_200_u32 {
        let spot = Spot {
            height_m: f64::from(i) + 1.0,
            ..Spot::default()
        };
        let edit = Edit::Put(Id::new("s7"), Object::Spot(spot));
        document.edit("Raise", edit).unwrap();
    }
    // 2,000,000 table entries at 5,000 a step.
    assert_eq!(document.steps(), 400);
    let mut document = Document::new(Site::default());
    for i in 0..1_200 {
        document.edit("Name", Edit::SetName(i.to_string())).unwrap();
    }
    assert_eq!(document.steps(), 1_000);
    document.undo();
    assert_eq!(document.site().name, "1198");
}

/// An earlier move that is recorded late tells where it stood then, not where it stands now.
#[test]
fn a_move_recorded_late_does_not_move_the_plant_back() {
    let mut site = sample();
    let lemon = Id::new("lemon");
    let first = site.plants.get(&lemon).unwrap().stands.clone();
    let entry = |d: u32, spot: &str| JournalEntry {
        date: day(d),
        plant: Some(Id::new("lemon")),
        event: Event::Moved(Id::new(spot)),
        from: None,
        note: String::new(),
    };
    site.apply(Edit::Record(entry(9, "porch-floor"))).unwrap();
    site.apply(Edit::Record(entry(3, "porch-bench"))).unwrap();
    let now = site.plants.get(&lemon).unwrap().stands.clone();
    assert_eq!(now, Some(Id::new("porch-floor")));
    // Where it came from is kept, and so is known from the first day on.
    assert_eq!(site.stood_on(&lemon, day(2)), first.as_ref());
    assert_eq!(site.stood_on(&lemon, day(3)), Some(&Id::new("porch-bench")));
    assert_eq!(
        site.stood_on(&lemon, day(20)),
        Some(&Id::new("porch-floor"))
    );
    // Another name of a spot is carried through.
    site.apply(Edit::Rename {
        kind: ObjectKind::Spot,
        from: Id::new("porch-floor"),
        to: Id::new("tiles"),
    })
    .unwrap();
    assert_eq!(site.stood_on(&lemon, day(20)), Some(&Id::new("tiles")));
}
