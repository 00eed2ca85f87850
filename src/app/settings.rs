//! What a grower prefers in every site. Kept by the window, never in a site file.

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::state::Units;

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
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            units: Units::default(),
            theme: ThemeChoice::System,
            scale: 1.0,
            still: false,
            recent: Vec::new(),
        }
    }
}

impl Settings {
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

    pub fn remember(&mut self, path: &Path) {
        self.recent.retain(|p| p != path);
        self.recent.insert(0, path.to_owned());
        self.recent.truncate(MOST_RECENT);
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
    }

    #[test]
    fn settings_of_an_older_program_still_open() {
        let settings: Settings = ron::from_str("(still:true)").unwrap();
        assert!(settings.still && settings.recent.is_empty());
    }
}
