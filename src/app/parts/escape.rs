//! What Esc backs out of: the innermost thing that is open. Menus and questions close by themselves and fields give back
//! what they held; some of them are drawn before whatever lies beneath asks for the key, so what had it is remembered
//! from the end of the frame before.

use egui::{Context, Id, Key, LayerId, Modifiers, Popup};

fn memory() -> Id {
    Id::unique("esc belongs to a field or a menu")
}

/// To be called at the end of each frame.
pub fn follow(ctx: &Context) {
    let taken = ctx.text_edit_focused() || Popup::is_any_open(ctx);
    ctx.data_mut(|d| d.insert_temp(memory(), taken));
}

/// Whether Esc was pressed for whoever asks: no field, menu or question has it, and nobody asked before. Asks in the
/// order from the inside out, so call it only where there is something to back out of.
#[must_use]
pub fn take(ctx: &Context) -> bool {
    let taken = ctx.data(|d| d.get_temp(memory())).unwrap_or(false);
    let below_question = !ctx.memory(|m| m.allows_interaction(LayerId::background()));
    !taken && !below_question && pressed(ctx)
}

/// Whether Esc was pressed, for what has the hand or the keyboard itself. Nobody else sees it then.
#[must_use]
pub fn pressed(ctx: &Context) -> bool {
    ctx.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape))
}
