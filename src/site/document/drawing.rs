use std::path::Path;

use serde::{Deserialize, Serialize};

use crate::{
    base::{Id, Pt},
    site::edit::ObjectKind,
};

/// What helps the hand that draws. Nothing computed depends on it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Drawing {
    /// Objects that hand and keys leave where they are until they are unlocked.
    pub locked: Vec<Locked>,
    /// A picture of a plan that lies below the drawing, to be drawn over.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub underlay: Option<Underlay>,
}

/// An object that stays where it is.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Locked {
    /// In which table it is: `Building`, `Room`, `Window`, `Canopy`, `Screen`, `Tree`, `Ground`, `Cloth`, `Heater`, `Vent`,
    /// `Fan`, `Tray` or `Spot`.
    pub kind: ObjectKind,
    pub id: Id,
}

/// A picture of a plan below the drawing: a scan or a photograph. The site file holds where it is, not the picture.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Underlay {
    /// PNG or JPEG file; a path that begins with no folder of the system counts from the site file's folder.
    pub file: String,
    /// Where the picture's middle lies on the plan.
    pub at: Pt,
    /// Width of the picture on the plan, m, 0.01..=10000; its height follows.
    pub width_m: f64,
    /// How far it is turned, degrees clockwise, -360..=360.
    pub turned_deg: f64,
    /// How strongly it shows, 0..=1.
    pub strength: f64,
    /// Whether it is to be seen.
    pub shown: bool,
}

impl Default for Underlay {
    fn default() -> Self {
        Self {
            file: String::new(),
            at: Pt(0.0, 0.0),
            width_m: 20.0,
            turned_deg: 0.0,
            strength: 0.5,
            shown: true,
        }
    }
}

impl Underlay {
    /// The name of a picture from a site file's folder where it lies below that, with strokes that every system
    /// understands; else its whole path.
    #[must_use]
    pub fn named_from(picture: &Path, folder: Option<&Path>) -> String {
        let own = folder.and_then(|f| picture.strip_prefix(f).ok());
        own.unwrap_or(picture).to_string_lossy().replace('\\', "/")
    }

    /// The same picture for a site file that moves from one folder to another.
    #[must_use]
    pub fn moved(&self, from: Option<&Path>, to: Option<&Path>) -> Self {
        let file = Path::new(&self.file);
        let picture = from.map_or_else(|| file.to_owned(), |f| f.join(file));
        Self {
            file: Self::named_from(&picture, to),
            ..self.clone()
        }
    }
}

impl Drawing {
    #[must_use]
    pub fn is_locked(&self, kind: ObjectKind, id: &Id) -> bool {
        self.locked.iter().any(|l| l.kind == kind && l.id == *id)
    }

    /// Locks or unlocks objects; the list stays in order.
    pub fn lock(&mut self, items: &[(ObjectKind, Id)], locked: bool) {
        self.locked.retain(|l| {
            !items
                .iter()
                .any(|(kind, id)| l.kind == *kind && l.id == *id)
        });
        if locked {
            self.locked.extend(items.iter().map(|(kind, id)| Locked {
                kind: *kind,
                id: id.clone(),
            }));
            self.locked.sort();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_picture_is_named_from_the_site_files_folder_and_found_again_when_that_moves() {
        let (sites, other) = (Path::new("/home/grower/sites"), Path::new("/home/grower"));
        let named = |p: &str| Underlay::named_from(Path::new(p), Some(sites));
        assert_eq!(
            named("/home/grower/sites/scans/ground.png"),
            "scans/ground.png"
        );
        assert_eq!(named("/home/grower/ground.png"), "/home/grower/ground.png");
        assert_eq!(Underlay::named_from(Path::new("a.png"), None), "a.png");
        let picture = Underlay {
            file: "scans/ground.png".to_owned(),
            ..Underlay::default()
        };
        let up = picture.moved(Some(sites), Some(other));
        assert_eq!(up.file, "sites/scans/ground.png");
        assert_eq!(up.moved(Some(other), Some(sites)), picture);
    }
}
