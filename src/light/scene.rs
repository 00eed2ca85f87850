use crate::site::Site;

/// The drawing as solid, thin and leafy bodies that rays meet, in true directions: x east, y north, z up, metres.
#[derive(Clone, Debug, Default)]
pub struct Scene {}

impl Scene {
    #[must_use]
    pub fn of(site: &Site) -> Self {
        let _ = site;
        Self::default()
    }
}
