//! A sheet in the middle of the window that holds everything else up until it is answered.

use egui::{Context, Frame, Id, Margin, Modal, ModalResponse, Stroke, Ui};

use crate::app::theme::{self, space};

/// `name` tells one question from another.
pub fn question_ui<R>(
    ctx: &Context,
    name: &'static str,
    width: f32,
    content: impl FnOnce(&mut Ui) -> R,
) -> ModalResponse<R> {
    let style = ctx.global_style();
    let t = theme::of(style.visuals.dark_mode);
    let frame = Frame::new()
        .fill(t.sheet)
        .stroke(Stroke::new(1.0, t.line))
        .corner_radius(space::CORNER + 2)
        .inner_margin(Margin::same(space::L as i8))
        .shadow(style.visuals.window_shadow);
    Modal::new(Id::unique(name)).frame(frame).show(ctx, |ui| {
        ui.set_width(width);
        content(ui)
    })
}
