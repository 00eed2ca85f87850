//! What a grower prefers in every site. Kept by the window, never in a site file.

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::{
    parts::locale::{self, DateOrder, Locale},
    state::{Desk, Units},
};

/// Files remembered at most.
const MOST_RECENT: usize = 8;

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum ThemeChoice {
    Light,
    Dark,
    #[default]
    System,
}

impl ThemeChoice {
    pub const ALL: [Self; 3] = [Self::Light, Self::Dark, Self::System];

    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Light => "Light",
            Self::Dark => "Dark",
            Self::System => "As the system",
        }
    }

    #[must_use]
    pub fn preference(self) -> egui::ThemePreference {
        match self {
            Self::Light => egui::ThemePreference::Light,
            Self::Dark => egui::ThemePreference::Dark,
            Self::System => egui::ThemePreference::System,
        }
    }
}

/// The sign before decimals.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Decimals {
    #[default]
    System,
    Point,
    Comma,
}

/// What is shown at the next start without a file.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Last {
    /// The first sample.
    #[default]
    Sample,
    File(PathBuf),
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Settings {
    pub units: Units,
    pub theme: ThemeChoice,
    /// Scale of everything, 1.0..=2.0.
    pub scale: f32,
    /// Nothing slides or plays by itself; playing goes in steps.
    pub still: bool,
    /// Site files used last, newest first.
    pub recent: Vec<PathBuf>,
    pub decimals: Decimals,
    /// Order of dates; `None` as the system has it.
    pub dates: Option<DateOrder>,
    pub desk: Desk,
    pub last: Last,
    /// The tour of the sample was taken or closed.
    pub tour_seen: bool,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            units: Units::default(),
            theme: ThemeChoice::System,
            scale: 1.0,
            still: false,
            recent: Vec::new(),
            decimals: Decimals::System,
            dates: None,
            desk: Desk::Site,
            last: Last::Sample,
            tour_seen: false,
        }
    }
}

impl Settings {
    /// At the first start: units as the system has them.
    #[must_use]
    pub fn of_system() -> Self {
        Self {
            units: locale::of_system().units,
            ..Self::default()
        }
    }

    /// How figures and dates are written.
    #[must_use]
    pub fn locale(&self, system: Locale) -> Locale {
        Locale {
            units: self.units,
            comma: match self.decimals {
                Decimals::System => system.comma,
                Decimals::Point => false,
                Decimals::Comma => true,
            },
            dates: self.dates.unwrap_or(system.dates),
        }
    }

    pub const SCALES: [f32; 5] = [1.0, 1.25, 1.5, 1.75, 2.0];

    /// The next scale up or down.
    pub fn step_scale(&mut self, up: bool) {
        let at = Self::SCALES
            .iter()
            .position(|s| *s >= self.scale - 0.01)
            .unwrap_or(0);
        let next = if up { at + 1 } else { at.saturating_sub(1) };
        if let Some(scale) = Self::SCALES.get(next) {
            self.scale = *scale;
        }
    }

    /// A file was opened or written: it is the newest, and opens at the next start.
    pub fn remember(&mut self, path: &Path) {
        self.recent.retain(|p| p != path);
        self.recent.insert(0, path.to_owned());
        self.recent.truncate(MOST_RECENT);
        self.last = Last::File(path.to_owned());
    }

    /// A file that cannot be opened any more.
    pub fn forget(&mut self, path: &Path) {
        self.recent.retain(|p| p != path);
        if self.last == Last::File(path.to_owned()) {
            self.last = Last::Sample;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_scale_stays_between_its_ends() {
        let mut settings = Settings::default();
        settings.step_scale(false);
        assert!((settings.scale - 1.0).abs() < 1e-6);
        for _ in 0..9 {
            settings.step_scale(true);
        }
        assert!((settings.scale - 2.0).abs() < 1e-6);
    }

    #[test]
    fn a_file_used_again_moves_to_the_front() {
        let mut settings = Settings::default();
        for name in ["a", "b", "a"] {
            settings.remember(Path::new(name));
        }
        assert_eq!(settings.recent, [Path::new("a"), Path::new("b")]);
        for n in 0..20 {
            settings.remember(Path::new(&n.to_string()));
        }
        assert_eq!(settings.recent.len(), MOST_RECENT);
        settings.forget(Path::new("19"));
        assert_eq!(settings.recent.len(), MOST_RECENT - 1);
        assert_eq!(settings.last, Last::Sample);
    }

    #[test]
    fn what_is_chosen_stands_over_the_system() {
        let german = locale::of_name("de_DE.UTF-8");
        let settings = Settings::default();
        assert!(settings.locale(german).comma);
        let settings = Settings {
            decimals: Decimals::Point,
            dates: Some(DateOrder::YearMonth),
            ..settings
        };
        let here = settings.locale(german);
        assert!(!here.comma && here.dates == DateOrder::YearMonth);
    }

    #[test]
    fn settings_of_an_older_program_still_open() {
        let settings: Settings = ron::from_str("(still:true)").unwrap();
        assert!(settings.still && settings.recent.is_empty());
    }
}
