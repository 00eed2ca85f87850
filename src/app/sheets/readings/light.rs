//! Light readings, each beside what the model gives then.

use chrono::NaiveTime;
use egui::{Response, Ui};

use super::time_ui;
use crate::{
    app::{
        parts::{
            dates::date_field_ui,
            figures,
            form::{Form, choice_ui, number_ui},
            icons::{Icon, icon_button_ui},
        },
        state::{LightUnit, Request, Sight, Units},
        theme::{space, text},
    },
    base::{Id, units},
    light::ReviewedLight,
    pipeline::readings::date_doubt,
    site::{LightReading, LightValue, SkyState, Spot},
};

const SKIES: [(SkyState, &str); 3] = [
    (SkyState::Clear, "clear"),
    (SkyState::Mixed, "mixed"),
    (SkyState::Overcast, "overcast"),
];

pub(super) fn light_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    id: &Id,
    next: &mut Spot,
    form: &mut Form,
    step: &str,
    requests: &mut Vec<Request>,
) {
    let reviews = sight
        .outcome
        .and_then(|o| o.spots.get(id))
        .filter(|_| !sight.stale)
        .map(|s| s.light.readings.as_slice())
        .unwrap_or_default();
    let units = sight.looking.units;
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
                let r = value_ui(ui, &format!("Light reading {n}"), &mut reading.value);
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
                    &format!("Delete light reading {n}"),
                    true,
                )
                .clicked()
                {
                    gone = Some(i);
                }
            });
            ui.horizontal_wrapped(|ui| {
                let mut beside = reading.open.is_some();
                let tick = ui
                    .checkbox(&mut beside, "Read in the open at the same minute")
                    .on_hover_text(
                        "The same meter, under the whole sky near by. It makes a reading under clouds worth much more.",
                    );
                if tick.changed() {
                    reading.open = beside.then(|| brighter(reading.value));
                }
                if let Some(open) = &mut reading.open {
                    let r = value_ui(ui, &format!("Light in the open at reading {n}"), open);
                    form.watch(&r, step, requests);
                }
            });
            if let Some(review) = reviews.get(i) {
                match review.doubt {
                    Some(doubt) => super::doubt_ui(ui, &doubt.text()),
                    None => {
                        if let Some(words) = against(units, review) {
                            ui.label(text::caption(words));
                        }
                    }
                }
            }
            if let Some(why) = date_doubt(reading.when.date(), sight.today) {
                super::doubt_ui(ui, why);
            }
        });
        ui.add_space(space::S);
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

fn value_ui(ui: &mut Ui, name: &str, value: &mut LightValue) -> Response {
    let (value, unit, most) = match value {
        LightValue::Lux(v) => (v, "lx", 150_000.0),
        LightValue::FootCandles(v) => (v, "fc", 14_000.0),
        LightValue::Ppfd(v) => (v, "µmol/m² s", 3_000.0),
    };
    number_ui(ui, name, value, 0.0..=most, 10.0, unit)
}

/// What the open is likely to give beside a reading, in its unit: a value to begin with.
fn brighter(value: LightValue) -> LightValue {
    match value {
        LightValue::Lux(v) => LightValue::Lux((v * 1.5).round()),
        LightValue::FootCandles(v) => LightValue::FootCandles((v * 1.5).round()),
        LightValue::Ppfd(v) => LightValue::Ppfd((v * 1.5).round()),
    }
}

/// A reading against the model, in words.
fn against(units: Units, review: &ReviewedLight) -> Option<String> {
    let model = review.model_ppfd.filter(|m| *m > 0.0)?;
    let ratio = review.read_ppfd / model;
    let word = if ratio > 1.1 {
        "brighter than the model"
    } else if ratio < 0.9 {
        "darker than the model"
    } else {
        "as the model"
    };
    let corrected = review.corrected_ppfd.map_or_else(String::new, |c| {
        format!("; corrected {}", figures::brightness(units, c))
    });
    Some(format!(
        "{word} (×{}): it gave {}{corrected}",
        figures::signed(ratio, 2),
        figures::brightness(units, model)
    ))
}
