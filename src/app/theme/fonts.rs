//! The typefaces: Source Sans 3 for text and figures (its digits are all of one width), Source Serif 4 for headings.

use std::sync::Arc;

use egui::{FontData, FontDefinitions, FontFamily};

/// Family name of the half-bold text face.
pub const SEMIBOLD: &str = "semibold";
/// Family name of the heading face.
pub const SERIF: &str = "serif";

const REGULAR_FACE: &[u8] = include_bytes!("../../../assets/fonts/SourceSans3-Regular.ttf");
const SEMIBOLD_FACE: &[u8] = include_bytes!("../../../assets/fonts/SourceSans3-Semibold.ttf");
const SERIF_FACE: &[u8] = include_bytes!("../../../assets/fonts/SourceSerif4-Semibold.ttf");

/// egui's own fonts stay behind ours for the few signs that ours lack.
pub(super) fn definitions() -> FontDefinitions {
    let mut fonts = FontDefinitions::default();
    let fallback = fonts
        .families
        .get(&FontFamily::Proportional)
        .cloned()
        .unwrap_or_default();
    for (name, face) in [
        ("regular", REGULAR_FACE),
        (SEMIBOLD, SEMIBOLD_FACE),
        (SERIF, SERIF_FACE),
    ] {
        fonts
            .font_data
            .insert(name.to_owned(), Arc::new(FontData::from_static(face)));
    }
    let chain = |first: &[&str]| {
        first
            .iter()
            .map(|name| (*name).to_owned())
            .chain(fallback.iter().cloned())
            .collect::<Vec<_>>()
    };
    fonts
        .families
        .insert(FontFamily::Proportional, chain(&["regular"]));
    fonts.families.insert(
        FontFamily::Name(SEMIBOLD.into()),
        chain(&[SEMIBOLD, "regular"]),
    );
    fonts.families.insert(
        FontFamily::Name(SERIF.into()),
        chain(&[SERIF, SEMIBOLD, "regular"]),
    );
    fonts
}
