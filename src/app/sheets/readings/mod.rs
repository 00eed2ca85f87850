//! A spot's readings and loggers' records, what each says against the model, and what they did to the figures.

mod humidity;
mod light;
mod logger;
mod thermometer;

use chrono::{NaiveTime, Timelike};
use egui::Ui;

use crate::{
    air::Unexplained,
    app::{
        parts::{
            figures,
            form::{Form, figure_ui, group_ui},
            locale,
        },
        state::{Request, Sight},
        theme::{self, text},
    },
    base::Id,
    site::{
        Spot,
        edit::{Edit, Object},
    },
};
pub use logger::LoggerFile;

pub fn readings_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    id: &Id,
    form: &mut Form,
    file: &mut LoggerFile,
    requests: &mut Vec<Request>,
) {
    let Some(spot) = sight.site().spots.get(id) else {
        return;
    };
    let mut next = Spot::clone(spot);
    let step = format!("Change readings of {}", spot.name);
    corrections_ui(ui, sight, id);
    group_ui(ui, "Light, level at leaf height");
    light::light_ui(ui, sight, id, &mut next, form, &step, requests);
    group_ui(ui, "Thermometer, read in the morning");
    thermometer::min_max_ui(ui, sight, id, &mut next, form, &step, requests);
    group_ui(ui, "Humidity");
    humidity::humidity_ui(ui, sight, id, &mut next, form, &step, requests);
    group_ui(ui, "Records of loggers");
    logger::records_ui(ui, &mut next);
    if next != **spot {
        requests.push(Request::Edit(
            step,
            Edit::Put(id.clone(), Object::Spot(next)),
        ));
    }
    file.show_ui(ui, sight, id, requests);
}

/// How far off the figures had been, and how sure they are now.
fn corrections_ui(ui: &mut Ui, sight: &Sight<'_>, id: &Id) {
    let Some(found) = sight.outcome.and_then(|o| o.spots.get(id)) else {
        return;
    };
    let units = sight.looking.units;
    let mut said = found.light.correction.sentences();
    if said.is_empty() {
        ui.label(text::soft(
            "No light readings: the light here is computed from the drawing alone.",
        ));
    }
    let kelvin = |k: f64| figures::difference(units, k);
    said.extend(found.air.correction.sentences(&kelvin));
    said.extend(
        found
            .air
            .readings
            .unexplained
            .as_ref()
            .map(Unexplained::sentence),
    );
    for sentence in said {
        ui.label(locale::said(&sentence));
    }
    let aside = found.light.correction.set_aside + found.air.correction.set_aside;
    if aside > 0 {
        let words = if aside == 1 {
            "One reading is questioned and does not count: see below.".to_owned()
        } else {
            format!(
                "{aside} readings or recorded nights are questioned and do not count: see below."
            )
        };
        doubt_ui(ui, &words);
    }
}

/// Why something is questioned.
fn doubt_ui(ui: &mut Ui, why: &str) {
    let t = theme::tokens(ui);
    let words = egui::RichText::new(format!("Questioned: {why}"))
        .size(text::SMALL)
        .color(t.caution);
    ui.add(egui::Label::new(words).wrap());
}

/// A clock time as hours, in quarter hours.
fn time_ui(ui: &mut Ui, name: &str, when: &mut chrono::NaiveDateTime) -> egui::Response {
    let mut hour = f64::from(when.hour()) + f64::from(when.minute()) / 60.0;
    let ends = 0.0..=23.75;
    let response = figure_ui(ui, name, &mut hour, ends, 0.05, 0..=2, |field| {
        field
            .custom_formatter(|h, _| crate::app::dial::clock(h))
            .custom_parser(|s| {
                let (h, m) = s.split_once(':').unwrap_or((s, "0"));
                Some(h.trim().parse::<f64>().ok()? + m.trim().parse::<f64>().ok()? / 60.0)
            })
    });
    if response.changed() {
        let minutes = ((hour * 4.0).round() * 15.0) as u32;
        if let Some(time) = NaiveTime::from_hms_opt(minutes / 60 % 24, minutes % 60, 0) {
            *when = when.date().and_time(time);
        }
    }
    response
}
