//! One change to the fields of an object, carried over to others of its kind.

use serde_json::Value;

use crate::site::edit::Object;

/// Fields that are each object's own: where it is and what it is called.
const OWN: [&str; 6] = ["name", "at", "outline", "line", "wall", "from_corner_m"];

/// `other` with every field that differs between `before` and `after` as in `after`. `None` if nothing of it changes, or
/// such an object cannot be.
#[must_use]
pub fn carried_over(before: &Object, after: &Object, other: &Object) -> Option<Object> {
    let value = |o: &Object| serde_json::to_value(o).ok();
    let (from, to, mut into) = (value(before)?, value(after)?, value(other)?);
    carry(&from, &to, &mut into);
    let changed: Object = serde_json::from_value(into).ok()?;
    (changed != *other).then_some(changed)
}

fn carry(before: &Value, after: &Value, into: &mut Value) {
    if before == after {
        return;
    }
    let (Value::Object(b), Value::Object(a)) = (before, after) else {
        into.clone_from(after);
        return;
    };
    // Another variant of a choice has other fields: it is taken over whole.
    let alike = |m: &serde_json::Map<String, Value>| a.keys().all(|k| m.contains_key(k));
    match into {
        Value::Object(i) if alike(b) && alike(i) => {
            for (key, value) in a {
                if let (Some(was), Some(slot)) = (b.get(key), i.get_mut(key))
                    && !OWN.contains(&key.as_str())
                {
                    carry(was, value, slot);
                }
            }
        }
        other => other.clone_from(after),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        base::Pt,
        site::{Room, RoomAir, Spot},
    };

    #[test]
    fn only_what_was_changed_is_carried_over() {
        let spot = |name: &str, height_m, rim_cm| {
            let mut spot = Spot {
                name: name.into(),
                outline: vec![Pt(height_m, 0.0)],
                height_m,
                ..Spot::default()
            };
            spot.holds.rim_cm = rim_cm;
            Object::Spot(spot)
        };
        let (before, other) = (spot("Sill", 0.9, 24.0), spot("Bench", 0.6, 30.0));
        let mut after = spot("Sill", 1.2, 24.0);
        after.set_name("Shelf");
        let Some(Object::Spot(changed)) = carried_over(&before, &after, &other) else {
            panic!("nothing carried over");
        };
        assert_eq!(changed.name, "Bench");
        assert_eq!((changed.height_m, changed.holds.rim_cm), (1.2, 30.0));
        assert_eq!(changed.outline, [Pt(0.6, 0.0)]);
        assert_eq!(carried_over(&before, &before, &other), None);
    }

    #[test]
    fn another_choice_is_taken_over_whole() {
        let room = |air| {
            Object::Room(Room {
                air,
                ..Room::default()
            })
        };
        let heated = |day_c| RoomAir::Heated {
            day_c,
            night_c: 14.0,
            day_from_h: 6.0,
            day_to_h: 22.0,
            months: crate::base::Months::ALL,
            cool_to_c: None,
            season: None,
        };
        let unheated = RoomAir::Unheated {
            frost_guard_c: None,
            shared_with_house: 0.3,
            aired_above_c: None,
        };
        let changed = carried_over(
            &room(unheated.clone()),
            &room(heated(19.0)),
            &room(unheated),
        );
        assert_eq!(changed, Some(room(heated(19.0))));
        // A figure within it leaves the other figures.
        let changed = carried_over(
            &room(heated(19.0)),
            &room(heated(20.0)),
            &room(heated(16.0)),
        );
        assert_eq!(changed, Some(room(heated(20.0))));
    }
}
