//! How much there may be of everything.

use super::list::{Faults, object};
use crate::{
    base::Pt,
    site::{Site, edit::ObjectKind},
};

const MOST_OBJECTS: usize = 5_000;
const MOST_CORNERS: usize = 2_000;
const MOST_CORNERS_IN_ALL: usize = 100_000;
const MOST_ENTRIES: usize = 20_000;

/// Whether the site is small enough for the other checks.
pub(super) fn check(site: &Site, faults: &mut Faults) -> bool {
    let objects: usize = ObjectKind::ALL.iter().map(|k| site.ids(*k).len()).sum();
    let mut fine = true;
    if objects > MOST_OBJECTS {
        fine = false;
        faults.fault(
            "",
            format!("the site has {objects} objects; at most {MOST_OBJECTS} are computed with"),
            "leave out what casts no shadow on a pot, or split the site",
        );
    }
    let mut corners = 0;
    for (table, id, outline) in all_outlines(site) {
        corners += outline.len();
        if outline.len() > MOST_CORNERS {
            fine = false;
            faults.fault(
                object(table, id),
                format!(
                    "the outline has {} corners; at most {MOST_CORNERS} can be drawn",
                    outline.len()
                ),
                "draw it more simply",
            );
        }
    }
    if corners > MOST_CORNERS_IN_ALL {
        fine = false;
        faults.fault(
            "",
            format!("all outlines have {corners} corners; at most {MOST_CORNERS_IN_ALL}"),
            "draw outlines more simply",
        );
    }
    let entries = site.journal.len()
        + site
            .spots
            .values()
            .map(|s| s.light.len() + s.min_max.len() + s.humidity.len() + s.logged.len())
            .sum::<usize>();
    if entries > MOST_ENTRIES {
        faults.fault(
            "",
            format!("there are {entries} readings and journal entries; at most {MOST_ENTRIES}"),
            "keep the last years only",
        );
    }
    fine
}

fn all_outlines(site: &Site) -> impl Iterator<Item = (&'static str, &crate::base::Id, &Vec<Pt>)> {
    macro_rules! outlines {
        ($($table:ident . $field:ident),+ $(,)?) => {
            std::iter::empty()
                $(.chain(site.$table.iter().map(|(id, o)| (stringify!($table), id, &o.$field))))+
        };
    }
    outlines!(
        buildings.outline,
        rooms.outline,
        canopies.outline,
        screens.line,
        grounds.outline,
        cloths.outline,
        spots.outline,
    )
}
