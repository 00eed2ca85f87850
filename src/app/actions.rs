//! All that a grower can tell the window to do: text, tooltip and shortcut in one table, from which menus, the
//! command list and the help sheet are made.

use egui::{Key, KeyboardShortcut, Modifiers};

use super::state::Desk;

macro_rules! actions {
    ($($(#[$doc:meta])* $name:ident: $text:literal, $tip:literal, $keys:expr;)+) => {
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Action { $($(#[$doc])* $name),+ }

        impl Action {
            pub const ALL: &'static [Self] = &[$(Self::$name),+];

            /// As menus and the command list show it.
            #[must_use]
            pub fn text(self) -> &'static str {
                match self { $(Self::$name => $text),+ }
            }

            /// What it does, in a sentence.
            #[must_use]
            pub fn tip(self) -> &'static str {
                match self { $(Self::$name => $tip),+ }
            }

            #[must_use]
            pub fn shortcut(self) -> Option<KeyboardShortcut> {
                match self { $(Self::$name => $keys),+ }
            }
        }
    };
}

const NO_KEYS: Option<KeyboardShortcut> = None;

const fn ctrl(key: Key) -> Option<KeyboardShortcut> {
    Some(KeyboardShortcut::new(Modifiers::COMMAND, key))
}

const fn ctrl_shift(key: Key) -> Option<KeyboardShortcut> {
    Some(KeyboardShortcut::new(
        Modifiers::COMMAND.plus(Modifiers::SHIFT),
        key,
    ))
}

/// Alt, but for digits on a Mac, where Alt types other letters: there it is Ctrl.
const fn alt_digit(key: Key) -> Option<KeyboardShortcut> {
    let with = if cfg!(target_os = "macos") {
        Modifiers::CTRL
    } else {
        Modifiers::ALT
    };
    Some(KeyboardShortcut::new(with, key))
}

const fn alt(key: Key) -> Option<KeyboardShortcut> {
    Some(KeyboardShortcut::new(Modifiers::ALT, key))
}

const fn plain(key: Key) -> Option<KeyboardShortcut> {
    Some(KeyboardShortcut::new(Modifiers::NONE, key))
}

/// Second shortcuts that hands know from other programs.
const ALSO: [(Action, KeyboardShortcut); 3] = [
    (
        Action::Quit,
        KeyboardShortcut::new(Modifiers::COMMAND, Key::W),
    ),
    (
        Action::Redo,
        KeyboardShortcut::new(Modifiers::COMMAND, Key::Y),
    ),
    (
        Action::Larger,
        KeyboardShortcut::new(Modifiers::COMMAND, Key::Equals),
    ),
];

actions! {
    NewSite: "New site", "Begins an empty site.", ctrl(Key::N);
    Open: "Open…", "Opens a site file.", ctrl(Key::O);
    Save: "Save", "Writes the site to its file.", ctrl(Key::S);
    SaveAs: "Save as…", "Writes the site to another file.", ctrl_shift(Key::S);
    Undo: "Undo", "Takes the last change back.", ctrl(Key::Z);
    Redo: "Redo", "Does again what was taken back.", ctrl_shift(Key::Z);
    GoSite: "Site desk", "Draw the house and garden and see light, cold and moving air on it.", alt_digit(Key::Num1);
    GoFit: "Fit desk", "Compare spots for a plant, and plants for a spot.", alt_digit(Key::Num2);
    GoYear: "Year desk", "Where each plant stands in the coming 52 weeks.", alt_digit(Key::Num3);
    GoWeek: "Week desk", "What to do in the week, and the journal.", alt_digit(Key::Num4);
    GoTrouble: "Trouble desk", "Find what went wrong.", alt_digit(Key::Num5);
    WeekBack: "A week back", "Moves the ribbon one week back.", alt(Key::ArrowLeft);
    WeekOn: "A week on", "Moves the ribbon one week on.", alt(Key::ArrowRight);
    ThisWeek: "Go to this week", "Moves the ribbon to the week of today.", alt(Key::Home);
    SeeFromSide: "From the side, or from above", "Turns the drawing up to see and set heights, and back to the plan.", alt_digit(Key::Num0);
    PlayDay: "Play the day", "Lets the hours of one day pass.", NO_KEYS;
    PlayYear: "Play the year", "Lets the 52 weeks pass.", NO_KEYS;
    Plants: "Plants…", "The collection: pots, kinds and where they stand.", ctrl(Key::P);
    Climate: "Place and climate…", "Where the site lies, its normals and what they mean for frost and heat.", NO_KEYS;
    PlanChoices: "Plan choices…", "Pins, absences and how much moves are disliked.", NO_KEYS;
    Preferences: "Preferences…", "Units, theme and size of the text.", ctrl(Key::Comma);
    FindCommand: "Find a command…", "Search all commands by name.", ctrl(Key::K);
    FirstSteps: "First steps…", "From an empty sheet to a plan, step by step.", NO_KEYS;
    Tour: "Tour of the sample", "What to look at, in a few cards.", NO_KEYS;
    Keys: "Keys and names…", "All shortcuts and what is where.", plain(Key::F1);
    ThemeLight: "Light theme", "Paper and ink by daylight.", NO_KEYS;
    ThemeDark: "Dark theme", "Paper and ink by lamplight.", NO_KEYS;
    ThemeSystem: "Theme of the system", "Light or dark as the system has it.", NO_KEYS;
    Larger: "Larger", "Shows everything larger, up to 200 %.", ctrl(Key::Plus);
    Smaller: "Smaller", "Shows everything smaller, down to 100 %.", ctrl(Key::Minus);
    UsualSize: "Usual size", "Shows everything at 100 %.", ctrl(Key::Num0);
    Quit: "Quit", "Closes the window; asks first if something is not saved.", ctrl(Key::Q);
}

impl Action {
    /// The desk it opens.
    #[must_use]
    pub fn desk(self) -> Option<Desk> {
        match self {
            Self::GoSite => Some(Desk::Site),
            Self::GoFit => Some(Desk::Fit),
            Self::GoYear => Some(Desk::Year),
            Self::GoWeek => Some(Desk::Week),
            Self::GoTrouble => Some(Desk::Trouble),
            _ => None,
        }
    }

    #[must_use]
    pub fn opening(desk: Desk) -> Self {
        match desk {
            Desk::Site => Self::GoSite,
            Desk::Fit => Self::GoFit,
            Desk::Year => Self::GoYear,
            Desk::Week => Self::GoWeek,
            Desk::Trouble => Self::GoTrouble,
        }
    }

    /// The action whose keys were pressed, if any; longer shortcuts win over those they contain.
    pub fn pressed(ctx: &egui::Context) -> Option<Self> {
        let mut by_length: Vec<(Self, KeyboardShortcut)> = Self::ALL
            .iter()
            .filter_map(|a| a.shortcut().map(|s| (*a, s)))
            .collect();
        by_length.extend(ALSO);
        by_length.sort_by_key(|(_, s)| std::cmp::Reverse(count(s.modifiers)));
        ctx.input_mut(|input| {
            by_length
                .iter()
                .find(|(_, s)| input.consume_shortcut(s))
                .map(|(a, _)| *a)
        })
    }

    /// Text with the shortcut, as tooltips show it.
    #[must_use]
    pub fn tip_with_keys(self, ctx: &egui::Context) -> String {
        match self.shortcut() {
            Some(keys) => format!("{} {}", self.tip(), ctx.format_shortcut(&keys)),
            None => self.tip().to_owned(),
        }
    }
}

fn count(m: Modifiers) -> u32 {
    u32::from(m.alt) + u32::from(m.shift) + u32::from(m.ctrl || m.command)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_shortcut_is_taken_twice() {
        let all: Vec<(Action, KeyboardShortcut)> = Action::ALL
            .iter()
            .filter_map(|a| a.shortcut().map(|s| (*a, s)))
            .chain(ALSO)
            .collect();
        for (i, (a, keys)) in all.iter().enumerate() {
            for (b, other) in &all[i + 1..] {
                assert!(keys != other, "{a:?} and {b:?} share a shortcut");
            }
        }
    }

    #[test]
    fn every_action_has_a_name_of_its_own_and_says_what_it_does() {
        for (i, a) in Action::ALL.iter().enumerate() {
            assert!(a.tip().ends_with('.'), "{a:?}");
            assert!(
                Action::ALL[i + 1..].iter().all(|b| b.text() != a.text()),
                "{a:?}"
            );
        }
    }
}
