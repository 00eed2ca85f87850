//! Identifiers and names.

use std::collections::BTreeMap;

use super::list::{Faults, object};
use crate::site::{Site, edit::ObjectKind};

pub(super) fn check(site: &Site, faults: &mut Faults) {
    for kind in ObjectKind::ALL {
        let mut seen: BTreeMap<String, crate::base::Id> = BTreeMap::new();
        for id in site.ids(*kind) {
            let at = object(kind.table(), &id);
            if !id.is_well_formed() {
                faults.fault(
                    at.clone(),
                    format!("\"{id}\" cannot name a {}", kind.word()),
                    "use lower-case letters, digits and dashes, 48 characters at most, a letter or digit first",
                );
            }
            let Some(name) = site.object(*kind, &id).map(|o| o.name().trim().to_owned()) else {
                continue;
            };
            if name.is_empty() {
                faults.doubt(
                    format!("{at}.name"),
                    format!("the {} has no name", kind.word()),
                    format!("name it; until then it is shown as \"{id}\""),
                );
            } else if let Some(first) = seen.get(&name.to_lowercase()) {
                faults.doubt(
                    format!("{at}.name"),
                    format!("\"{name}\" is also the name of \"{first}\""),
                    "give one of the two another name, or nobody can tell them apart",
                );
            } else {
                seen.insert(name.to_lowercase(), id);
            }
        }
    }
}
