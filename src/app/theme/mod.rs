//! Paper and ink: every colour, distance and typeface of the window by name. No view names a literal colour.
//!
//! `theme::tokens(ui)` gives the names of the theme that is shown; [`apply`] dresses egui's own widgets in them.

mod colour;
mod fonts;
mod style;
mod tokens;

pub use colour::{Ramp, contrast};
pub use fonts::{SEMIBOLD, SERIF};
pub use style::{apply, space, text};
pub use tokens::Tokens;

use tokens::{DARK, LIGHT};

/// The colours of the theme in which `ui` is drawn.
#[must_use]
pub fn tokens(ui: &egui::Ui) -> &'static Tokens {
    of(ui.visuals().dark_mode)
}

/// The colours of one theme.
#[must_use]
pub fn of(dark: bool) -> &'static Tokens {
    if dark { &DARK } else { &LIGHT }
}
