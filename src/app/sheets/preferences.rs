//! Units, theme, scale.

use egui::Ui;

use crate::app::{
    parts::{
        form::{choice_ui, group_ui, row_ui},
        locale::DateOrder,
    },
    settings::{Decimals, Settings, ThemeChoice},
    state::LightUnit,
    theme::{space, text},
};

pub fn preferences_ui(ui: &mut Ui, settings: &mut Settings) {
    group_ui(ui, "Units");
    let units = &mut settings.units;
    row_ui(ui, "Temperature", |ui| {
        choice_ui(
            ui,
            "Temperature",
            &mut units.fahrenheit,
            &[(false, "°C"), (true, "°F")],
        )
    });
    row_ui(ui, "Lengths", |ui| {
        choice_ui(
            ui,
            "Lengths",
            &mut units.feet,
            &[(false, "metres"), (true, "feet")],
        )
    });
    row_ui(ui, "Light", |ui| {
        choice_ui(
            ui,
            "Light",
            &mut units.light,
            &[
                (LightUnit::Ppfd, "PPFD, µmol/m² s"),
                (LightUnit::Lux, "lux"),
                (LightUnit::FootCandles, "foot-candles"),
            ],
        )
    });
    group_ui(ui, "Figures and dates");
    row_ui(ui, "Decimals", |ui| {
        choice_ui(
            ui,
            "Decimals",
            &mut settings.decimals,
            &[
                (Decimals::System, "as the system"),
                (Decimals::Point, "1.5"),
                (Decimals::Comma, "1,5"),
            ],
        )
    });
    row_ui(ui, "Dates", |ui| {
        choice_ui(
            ui,
            "Dates",
            &mut settings.dates,
            &[
                (None, "as the system"),
                (Some(DateOrder::DayMonth), "5 October 2026"),
                (Some(DateOrder::MonthDay), "October 5, 2026"),
                (Some(DateOrder::YearMonth), "2026-10-05"),
            ],
        )
    });
    group_ui(ui, "Look");
    let before = settings.theme;
    row_ui(ui, "Theme", |ui| {
        choice_ui(
            ui,
            "Theme",
            &mut settings.theme,
            &ThemeChoice::ALL.map(|t| (t, t.name())),
        )
    });
    if settings.theme != before {
        ui.ctx().set_theme(settings.theme.preference());
    }
    let names: Vec<String> = Settings::SCALES
        .iter()
        .map(|s| format!("{:.0} %", s * 100.0))
        .collect();
    let scales: Vec<(f32, &str)> = Settings::SCALES
        .iter()
        .zip(&names)
        .map(|(s, n)| (*s, n.as_str()))
        .collect();
    row_ui(ui, "Size", |ui| {
        choice_ui(ui, "Size", &mut settings.scale, &scales)
    });
    ui.checkbox(&mut settings.still, "Keep still");
    ui.label(text::caption(
        "Playing the day or the year then goes in slow steps instead of a glide.",
    ));
    ui.add_space(space::M);
    ui.label(text::caption(
        "Preferences belong to this computer. They are not part of the site file.",
    ));
}
