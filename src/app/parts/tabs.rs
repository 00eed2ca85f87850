//! A word to choose among others: ink when it is chosen, underlined in the accent.

use egui::{Response, Sense, Stroke, Ui, WidgetInfo, accesskit::Role, vec2};

use crate::app::theme::{self, space, text};

pub fn tab_ui(ui: &mut Ui, selected: bool, word: &str, size: f32) -> Response {
    let t = theme::tokens(ui);
    let colour = if selected { t.ink } else { t.ink_soft };
    let font = if selected {
        text::semibold(size)
    } else {
        text::regular(size)
    };
    // Room for the bold word either way, so that nothing shifts.
    let room = ui
        .painter()
        .layout_no_wrap(word.to_owned(), text::semibold(size), colour)
        .size();
    let galley = ui.painter().layout_no_wrap(word.to_owned(), font, colour);
    let (rect, response) = ui.allocate_exact_size(
        vec2(room.x + 2.0 * space::M, room.y + 2.0 * space::S),
        Sense::click(),
    );
    response.widget_info(|| WidgetInfo::selected(Role::Tab, true, selected, word));
    if ui.is_rect_visible(rect) {
        let painter = ui.painter();
        if response.hovered() && !selected {
            painter.rect_filled(rect, space::CORNER, t.hover_wash);
        }
        painter.galley(rect.center() - galley.size() / 2.0, galley, colour);
        if selected {
            painter.hline(
                rect.left() + space::M..=rect.right() - space::M,
                rect.bottom() - 3.0,
                Stroke::new(2.5, t.accent),
            );
        }
        if response.has_focus() {
            painter.rect_stroke(
                rect,
                space::CORNER,
                Stroke::new(1.5, t.accent),
                egui::StrokeKind::Inside,
            );
        }
    }
    response
}
