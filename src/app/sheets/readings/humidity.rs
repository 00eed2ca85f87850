//! Readings of hygrometers.

use chrono::NaiveTime;
use egui::Ui;

use super::time_ui;
use crate::{
    app::{
        parts::{
            dates::date_field_ui,
            figures::signed,
            form::{Form, number_ui},
            icons::{Icon, icon_button_ui},
        },
        state::{Request, Sight},
        theme::text,
    },
    base::Id,
    pipeline::readings::date_doubt,
    site::{HumidityReading, Spot},
};

pub(super) fn humidity_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    id: &Id,
    next: &mut Spot,
    form: &mut Form,
    step: &str,
    requests: &mut Vec<Request>,
) {
    let mut gone = None;
    for (i, reading) in next.humidity.iter_mut().enumerate() {
        let n = i + 1;
        ui.push_id(("humidity", i), |ui| {
            ui.horizontal_wrapped(|ui| {
                let name = format!("Day of humidity reading {n}");
                if let (_, Some(day)) = date_field_ui(ui, &name, reading.when.date()) {
                    reading.when = day.and_time(reading.when.time());
                }
                let name = format!("Time of humidity reading {n}");
                let r = time_ui(ui, &name, &mut reading.when);
                form.watch(&r, step, requests);
                let name = format!("Humidity reading {n}");
                let r = number_ui(ui, &name, &mut reading.rh_pct, 1.0..=100.0, 1.0, "%");
                form.watch(&r, step, requests);
                let name = format!("Delete humidity reading {n}");
                if icon_button_ui(ui, Icon::Close, &name, true).clicked() {
                    gone = Some(i);
                }
            });
            if let Some(why) = date_doubt(reading.when.date(), sight.today) {
                super::doubt_ui(ui, why);
            }
        });
    }
    if let Some(i) = gone {
        next.humidity.remove(i);
    }
    if ui.button("Add a humidity reading").clicked() {
        next.humidity.push(HumidityReading {
            when: sight
                .today
                .and_time(NaiveTime::from_hms_opt(12, 0, 0).unwrap_or_default()),
            rh_pct: 60.0,
            air_c: None,
        });
    }
    if let Some(found) = sight.outcome.and_then(|o| o.spots.get(id))
        && let Some(week) = found.air.weeks.get(sight.week().index())
    {
        ui.label(text::caption(format!(
            "Computed for the ribbon's week: {} % by day",
            signed(week.rh_day_pct, 0)
        )));
    }
}
