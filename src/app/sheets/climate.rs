//! Where the site lies, its normals, and what they mean for frost and heat week by week.

use egui::Ui;

use super::{normals::normals_ui, place::PlaceSheet, risk::RiskPart, weather_file::WeatherSheet};
use crate::{
    app::{
        parts::{
            figures,
            form::{Form, group_ui, quantity::Quantity, quantity_ui, row_ui, text_ui},
            locale,
        },
        state::{Request, Sight},
        theme::text,
    },
    site::{Climate, edit::Edit},
};

/// What the sheet's parts remember.
#[derive(Default)]
pub struct ClimateSheet {
    place: PlaceSheet,
    weather: WeatherSheet,
    risk: RiskPart,
}

impl ClimateSheet {
    /// A weather file that was dropped on the window.
    pub fn take_weather_file(&mut self, path: &std::path::Path) {
        self.weather.take_path(path);
    }
}

pub fn climate_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    sheet: &mut ClimateSheet,
    form: &mut Form,
    requests: &mut Vec<Request>,
) {
    name_ui(ui, sight, form, requests);
    group_ui(ui, "Place");
    sheet.place.show_ui(ui, sight, form, requests);
    group_ui(ui, "Risk through the year, in the open");
    sheet.risk.show_ui(ui, sight);
    group_ui(ui, "Weather from a file");
    sheet.weather.show_ui(ui, sight, requests);
    group_ui(ui, "Monthly normals");
    source_ui(ui, sight, form, requests);
    normals_ui(ui, sight, form, requests);
    if let Some(outcome) = sight.outcome {
        group_ui(ui, "Where each figure comes from");
        for method in &outcome.weather.methods {
            ui.label(text::soft(locale::said(method)));
        }
    }
}

pub(super) fn name_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    form: &mut Form,
    requests: &mut Vec<Request>,
) {
    let mut name = sight.site().name.clone();
    row_ui(ui, "Name of the site", |ui| {
        let r = text_ui(ui, "Name of the site", &mut name);
        form.watch(&r, "Name the site", requests);
        if r.changed() {
            requests.push(Request::Edit(
                "Name the site".to_owned(),
                Edit::SetName(name),
            ));
        }
    });
}

fn source_ui(ui: &mut Ui, sight: &Sight<'_>, form: &mut Form, requests: &mut Vec<Request>) {
    let old = &sight.site().climate;
    let mut next = Climate::clone(old);
    let step = "Change the climate";
    row_ui(ui, "Source", |ui| {
        let r = text_ui(ui, "Source", &mut next.source);
        form.watch(&r, step, requests);
    });
    row_ui(ui, "Coldest on record", |ui| match &mut next.record_low_c {
        Some(low) => {
            let units = sight.looking.units;
            let name = "Coldest on record";
            let ends = -80.0..=40.0;
            let r = quantity_ui(ui, units, name, Quantity::Temperature, ends, low);
            form.watch(&r, step, requests);
        }
        None => {
            if ui
                .button("Not known; type it")
                .on_hover_text(
                    "The coldest night you remember or find on record sharpens the frost risk.",
                )
                .clicked()
            {
                next.record_low_c = Some(-5.0);
            }
        }
    });
    kept_ui(ui, &mut next);
    if next != **old {
        requests.push(Request::Edit(step.to_owned(), Edit::SetClimate(next)));
    }
}

/// What of a file the climate holds beside the normals, and how to be rid of it.
fn kept_ui(ui: &mut Ui, climate: &mut Climate) {
    if climate.hours.is_some() {
        row_ui(ui, "Typical year", |ui| {
            ui.label("by the hour, from the file");
            if ui
                .small_button("Make it from the normals")
                .on_hover_text("The hours of the file are let go; Undo brings them back")
                .clicked()
            {
                climate.hours = None;
            }
        });
    }
    if let Some(days) = &climate.day_to_day {
        let years = days.record_years;
        row_ui(ui, "Spread of days", |ui| {
            ui.label(format!(
                "from a record of {} years",
                figures::signed(years, 1)
            ));
            if ui
                .small_button("Take what is usual")
                .on_hover_text(
                    "How days hang together is then estimated; Undo brings the record's back",
                )
                .clicked()
            {
                climate.day_to_day = None;
            }
        });
    }
}
