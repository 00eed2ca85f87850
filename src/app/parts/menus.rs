//! What a menu holds, rolled where the window is too low for all of it.

use egui::{ScrollArea, Ui};

/// Left free above and below a menu, points.
const MARGIN: f32 = 14.0;

/// Draws the items of a menu. No menu is taller than the window: the rest is reached by the wheel or the bar.
pub fn rolled_ui<R>(ui: &mut Ui, items: impl FnOnce(&mut Ui) -> R) -> R {
    let most = ui.ctx().content_rect().height() - 2.0 * MARGIN;
    ScrollArea::vertical()
        .max_height(most)
        .min_scrolled_height(most)
        .show(ui, items)
        .inner
}
