//! Words in a given room: cut with … where they are too long, left out where even that would say nothing.

use egui::{Color32, FontId, Rect, Ui, pos2};

/// Least room worth a word, points.
const LEAST: f32 = 26.0;

/// Width of the longest of some names, points.
pub fn widest<'a>(ui: &Ui, names: impl Iterator<Item = &'a str>, font: &FontId) -> f32 {
    names
        .map(|name| {
            ui.painter()
                .layout_no_wrap(name.to_owned(), font.clone(), Color32::PLACEHOLDER)
                .size()
                .x
        })
        .fold(0.0, f32::max)
}

/// Writes along the middle of `cell`, from its left edge.
pub fn fit_paint(ui: &Ui, cell: Rect, words: &str, font: FontId, ink: Color32) {
    fit_at_paint(ui, cell, words, font, ink, 0.0);
}

/// The same about the cell's middle.
pub fn centred_paint(ui: &Ui, cell: Rect, words: &str, font: FontId, ink: Color32) {
    fit_at_paint(ui, cell, words, font, ink, 0.5);
}

/// `share` of the room that is left over lies before the words.
fn fit_at_paint(ui: &Ui, cell: Rect, words: &str, font: FontId, ink: Color32, share: f32) {
    if cell.width() < LEAST {
        return;
    }
    let mut job = egui::text::LayoutJob::simple_singleline(words.to_owned(), font, ink);
    job.wrap = egui::text::TextWrapping::truncate_at_width(cell.width());
    let galley = ui.painter().layout_job(job);
    let at = pos2(
        cell.left() + share * (cell.width() - galley.size().x).max(0.0),
        cell.center().y - galley.size().y / 2.0,
    );
    ui.painter().galley(at, galley, ink);
}
