//! A spot's readings, and what they did to the figures.

use chrono::{NaiveTime, Timelike};
use egui::Ui;

use crate::{
    app::{
        parts::{
            dates::date_field_ui,
            figures::{self, signed},
            form::{Form, choice_ui, group_ui, number_ui},
            icons::{Icon, icon_button_ui},
        },
        state::{LightUnit, Request, Sight},
        theme::text,
    },
    base::{Id, units},
    site::{
        HumidityReading, LightReading, LightValue, MinMaxReading, SkyState, Spot,
        edit::{Edit, Object},
    },
};

const SKIES: [(SkyState, &str); 3] = [
    (SkyState::Clear, "clear"),
    (SkyState::Mixed, "mixed"),
    (SkyState::Overcast, "overcast"),
];

pub fn readings_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    id: &Id,
    form: &mut Form,
    requests: &mut Vec<Request>,
) {
    let Some(spot) = sight.site().spots.get(id) else {
        return;
    };
    let mut next = Spot::clone(spot);
    let step = format!("Change readings of {}", spot.name);
    corrections_ui(ui, sight, id);
    group_ui(ui, "Light, level at leaf height");
    light_ui(ui, sight, &mut next, form, &step, requests);
    group_ui(ui, "Thermometer, read in the morning");
    min_max_ui(ui, sight, &mut next, form, &step, requests);
    group_ui(ui, "Humidity");
    humidity_ui(ui, sight, id, &mut next, form, &step, requests);
    if next != **spot {
        requests.push(Request::Edit(
            step,
            Edit::Put(id.clone(), Object::Spot(next)),
        ));
    }
}

/// How far off the figures had been.
fn corrections_ui(ui: &mut Ui, sight: &Sight<'_>, id: &Id) {
    let Some(found) = sight.outcome.and_then(|o| o.spots.get(id)) else {
        return;
    };
    let light = &found.light.correction;
    if light.readings > 0 {
        let off = light.log_error_before.map_or_else(String::new, |e| {
            format!(
                " The model had been off by about {:.0} %.",
                (e.exp() - 1.0) * 100.0
            )
        });
        let aside = aside(light.set_aside);
        ui.label(format!(
            "{}: the model's light is multiplied by {:.2}.{off}{aside}",
            counted(light.readings, "light reading"),
            light.factor
        ));
    } else {
        ui.label(text::soft(
            "No light readings: the light here is computed from the drawing alone.",
        ));
    }
    let air = &found.air.correction;
    if air.readings > 0 {
        let units = sight.looking.units;
        let off = air.error_before_k.map_or_else(String::new, |e| {
            format!(
                " The model had been off by {} on average.",
                figures::difference(units, e)
            )
        });
        ui.label(format!(
            "{}: {} is added to night minima.{off}{}",
            counted(air.readings, "thermometer reading"),
            figures::difference(units, air.night_k),
            aside(air.set_aside)
        ));
    }
}

fn counted(number: usize, what: &str) -> String {
    format!("{number} {what}{}", if number == 1 { "" } else { "s" })
}

fn aside(readings: usize) -> String {
    match readings {
        0 => String::new(),
        1 => " One reading was set aside because it cannot be true or disagrees wildly.".to_owned(),
        n => {
            format!(" {n} readings were set aside because they cannot be true or disagree wildly.")
        }
    }
}

/// A clock time as hours, in quarter hours.
fn time_ui(ui: &mut Ui, name: &str, when: &mut chrono::NaiveDateTime) -> egui::Response {
    let mut hour = f64::from(when.hour()) + f64::from(when.minute()) / 60.0;
    let response = ui
        .add(
            egui::DragValue::new(&mut hour)
                .range(0.0..=23.75)
                .speed(0.05)
                .custom_formatter(|h, _| crate::app::dial::clock(h))
                .custom_parser(|s| {
                    let (h, m) = s.split_once(':').unwrap_or((s, "0"));
                    Some(h.trim().parse::<f64>().ok()? + m.trim().parse::<f64>().ok()? / 60.0)
                })
                .update_while_editing(false),
        )
        .accessible_name(name);
    if response.changed() {
        let minutes = ((hour * 4.0).round() * 15.0) as u32;
        if let Some(time) = NaiveTime::from_hms_opt(minutes / 60 % 24, minutes % 60, 0) {
            *when = when.date().and_time(time);
        }
    }
    response
}

fn light_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    next: &mut Spot,
    form: &mut Form,
    step: &str,
    requests: &mut Vec<Request>,
) {
    let mut gone = None;
    for (i, reading) in next.light.iter_mut().enumerate() {
        let n = i + 1;
        ui.push_id(("light", i), |ui| {
            ui.horizontal_wrapped(|ui| {
                if let (_, Some(day)) = date_field_ui(
                    ui,
                    &format!("Day of light reading {n}"),
                    reading.when.date(),
                ) {
                    reading.when = day.and_time(reading.when.time());
                }
                let r = time_ui(ui, &format!("Time of light reading {n}"), &mut reading.when);
                form.watch(&r, step, requests);
                let (value, unit, most) = match &mut reading.value {
                    LightValue::Lux(v) => (v, "lx", 150_000.0),
                    LightValue::FootCandles(v) => (v, "fc", 14_000.0),
                    LightValue::Ppfd(v) => (v, "µmol/m²s", 3_000.0),
                };
                let r = number_ui(
                    ui,
                    &format!("Light reading {n}"),
                    value,
                    0.0..=most,
                    10.0,
                    unit,
                );
                form.watch(&r, step, requests);
                choice_ui(
                    ui,
                    &format!("Sky at light reading {n}"),
                    &mut reading.sky,
                    &SKIES,
                );
                if icon_button_ui(
                    ui,
                    Icon::Close,
                    &format!("Take light reading {n} away"),
                    true,
                )
                .clicked()
                {
                    gone = Some(i);
                }
            });
        });
    }
    if let Some(i) = gone {
        next.light.remove(i);
    }
    if ui.button("Add a light reading").clicked() {
        let ppfd = 400.0;
        let lux = units::lux_from_ppfd(ppfd);
        next.light.push(LightReading {
            when: sight
                .today
                .and_time(NaiveTime::from_hms_opt(12, 0, 0).unwrap_or_default()),
            value: match sight.looking.units.light {
                LightUnit::Ppfd => LightValue::Ppfd(ppfd),
                LightUnit::Lux => LightValue::Lux(lux),
                LightUnit::FootCandles => {
                    LightValue::FootCandles(units::foot_candles_from_lux(lux).round())
                }
            },
            sky: SkyState::Clear,
            open: None,
            note: String::new(),
        });
    }
}

fn min_max_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    next: &mut Spot,
    form: &mut Form,
    step: &str,
    requests: &mut Vec<Request>,
) {
    let units = sight.looking.units;
    let unit = figures::temperature_unit(units);
    let range = if units.fahrenheit {
        -60.0..=140.0
    } else {
        -50.0..=60.0
    };
    let mut gone = None;
    for (i, reading) in next.min_max.iter_mut().enumerate() {
        let n = i + 1;
        ui.push_id(("min max", i), |ui| {
            ui.horizontal_wrapped(|ui| {
                if let (_, Some(day)) =
                    date_field_ui(ui, &format!("Day of thermometer reading {n}"), reading.date)
                {
                    reading.date = day;
                }
                let mut low = figures::temperature_value(units, reading.min_c);
                let name = format!("Minimum of thermometer reading {n}");
                let r = number_ui(ui, &name, &mut low, range.clone(), 0.1, unit);
                form.watch(&r, step, requests);
                if r.changed() {
                    reading.min_c = figures::celsius_from_value(units, low);
                }
                match &mut reading.max_c {
                    Some(max_c) => {
                        let mut high = figures::temperature_value(units, *max_c);
                        let name = format!("Maximum of thermometer reading {n}");
                        let r = number_ui(ui, &name, &mut high, range.clone(), 0.1, unit);
                        form.watch(&r, step, requests);
                        if r.changed() {
                            *max_c = figures::celsius_from_value(units, high);
                        }
                    }
                    None => {
                        if ui
                            .small_button(format!("Add the maximum of reading {n}"))
                            .clicked()
                        {
                            reading.max_c = Some(reading.min_c + 10.0);
                        }
                    }
                }
                let name = format!("Take thermometer reading {n} away");
                if icon_button_ui(ui, Icon::Close, &name, true).clicked() {
                    gone = Some(i);
                }
            });
        });
    }
    if let Some(i) = gone {
        next.min_max.remove(i);
    }
    if ui.button("Add a thermometer reading").clicked() {
        next.min_max.push(MinMaxReading {
            date: sight.today,
            min_c: 10.0,
            max_c: None,
            outdoors_min_c: None,
            note: String::new(),
        });
    }
}

fn humidity_ui(
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
                let name = format!("Take humidity reading {n} away");
                if icon_button_ui(ui, Icon::Close, &name, true).clicked() {
                    gone = Some(i);
                }
            });
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
