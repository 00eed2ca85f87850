//! What helps the hand that draws.

use super::list::Faults;
use crate::site::{Site, edit::ObjectKind};

pub(super) fn check(site: &Site, faults: &mut Faults) {
    for (i, l) in site.drawing.locked.iter().enumerate() {
        let at = format!("drawing.locked[{i}]");
        if matches!(l.kind, ObjectKind::Plant | ObjectKind::Kind) {
            faults.fault(
                format!("{at}.kind"),
                format!("a {} is not drawn", l.kind.word()),
                "take the entry out",
            );
        } else if !site.has(l.kind, &l.id) {
            faults.fault(
                format!("{at}.id"),
                format!("there is no {} \"{}\"", l.kind.word(), l.id),
                "take the entry out",
            );
        }
    }
    if let Some(u) = &site.drawing.underlay {
        let at = "drawing.underlay";
        if u.file.trim().is_empty() {
            faults.fault(
                format!("{at}.file"),
                "no picture is named",
                "name a PNG or JPEG file, or take the underlay out",
            );
        }
        for (field, value) in [("at[0]", u.at.x()), ("at[1]", u.at.y())] {
            faults.range(at, field, value, -5_000.0..=5_000.0, "m");
        }
        faults.range(at, "width_m", u.width_m, 0.01..=10_000.0, "m");
        faults.range(at, "turned_deg", u.turned_deg, -360.0..=360.0, "°");
        faults.range(at, "strength", u.strength, 0.0..=1.0, "");
    }
}
