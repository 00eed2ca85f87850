//! Keys of the drawing that are no commands of the window, and how keys are written on the system at hand.

use egui::{Context, Key, KeyboardShortcut, Modifiers};

const fn command(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::COMMAND, key)
}

pub const SELECT_ALL: KeyboardShortcut = command(Key::A);
pub const COPY: KeyboardShortcut = command(Key::C);
pub const CUT: KeyboardShortcut = command(Key::X);
pub const PASTE: KeyboardShortcut = command(Key::V);
pub const DUPLICATE: KeyboardShortcut = command(Key::D);
pub const LOCK: KeyboardShortcut = command(Key::L);

/// `"Ctrl+D"`, or as the system's own programs write it.
#[must_use]
pub fn written(ctx: &Context, keys: &KeyboardShortcut) -> String {
    ctx.format_shortcut(keys)
}

/// The key that egui knows as Alt, by its name on the system.
#[must_use]
pub fn alt(ctx: &Context) -> &'static str {
    if ctx.os().is_mac() { "Option" } else { "Alt" }
}

/// What is said where the hand meets something locked.
#[must_use]
pub fn locked(ctx: &Context) -> String {
    format!("It is locked; unlock it first ({})", written(ctx, &LOCK))
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::os::OperatingSystem;

    #[test]
    fn keys_are_written_as_the_system_writes_them() {
        let ctx = Context::default();
        let all = |os| {
            ctx.set_os(os);
            let mut words = String::new();
            let mut output = ctx.run_ui(egui::RawInput::default(), |ui| {
                words = format!(
                    "{} {} {}",
                    written(ui.ctx(), &DUPLICATE),
                    locked(ui.ctx()),
                    alt(ui.ctx())
                );
            });
            output.textures_delta.clear();
            words
        };
        let plain = all(OperatingSystem::Nix);
        assert!(
            plain.starts_with("Ctrl+D ") && plain.contains("(Ctrl+L)"),
            "{plain}"
        );
        let mac = all(OperatingSystem::Mac);
        assert!(!mac.contains("Ctrl") && !mac.contains("Alt"), "{mac}");
    }
}
