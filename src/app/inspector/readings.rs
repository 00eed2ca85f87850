//! A spot's readings: light, minimum and maximum, humidity.

use chrono::{NaiveDate, NaiveDateTime, NaiveTime};
use egui::Ui;

use super::{form::Form, quantity::Quantity as Q};
use crate::{
    app::{
        parts::figures,
        state::{LightUnit, Units},
        theme::text,
    },
    base::units,
    site::{HumidityReading, LightReading, LightValue, MinMaxReading, SkyState, Spot},
};

const DATE: &str = "%Y-%m-%d";
const DATE_TIME: &str = "%Y-%m-%d %H:%M";

pub fn readings(form: &mut Form, ui: &mut Ui, today: NaiveDate, o: &mut Spot) {
    let count = o.light.len() + o.min_max.len() + o.humidity.len();
    egui::CollapsingHeader::new(text::group(format!("Readings ({count})")))
        .id_salt("readings")
        .default_open(count > 0)
        .show(ui, |ui| {
            light(form, ui, today, &mut o.light);
            min_max(form, ui, today, &mut o.min_max);
            humidity(form, ui, today, &mut o.humidity);
        });
}

fn noon(today: NaiveDate) -> NaiveDateTime {
    today.and_time(NaiveTime::from_hms_opt(12, 0, 0).unwrap_or_default())
}

/// A list of readings, each folded to its line, with a button to take it away.
fn list<T>(
    form: &mut Form,
    ui: &mut Ui,
    what: &str,
    all: &mut Vec<T>,
    line: impl Fn(&T) -> String,
    mut fields: impl FnMut(&mut Form, &mut Ui, &mut T),
) {
    let mut gone = None;
    for (i, reading) in all.iter_mut().enumerate() {
        egui::CollapsingHeader::new(line(reading))
            .id_salt((what, i))
            .show(ui, |ui| {
                fields(form, ui, reading);
                if ui.button(format!("Remove {what} {}", i + 1)).clicked() {
                    gone = Some(i);
                }
            });
    }
    if let Some(i) = gone {
        all.remove(i);
        form.mark("Readings");
    }
}

fn light(form: &mut Form, ui: &mut Ui, today: NaiveDate, all: &mut Vec<LightReading>) {
    let u = form.units;
    list(
        form,
        ui,
        "light reading",
        all,
        |r| {
            format!(
                "{}  {}",
                r.when.format("%e %b %Y %H:%M"),
                value_words(r.value)
            )
        },
        |form, ui, r| {
            time(form, ui, &mut r.when);
            light_value(form, ui, &mut r.value);
            form.choice(
                ui,
                "Sky",
                "As it was while you measured.",
                &mut r.sky,
                &[
                    (SkyState::Clear, "clear"),
                    (SkyState::Mixed, "mixed"),
                    (SkyState::Overcast, "overcast"),
                ],
            );
            form.text(ui, "Note", &mut r.note);
        },
    );
    if ui
        .button("Add a light reading")
        .on_hover_text("Hold the meter level at leaf height.")
        .clicked()
    {
        all.push(LightReading {
            when: noon(today),
            value: first_value(u),
            sky: SkyState::Clear,
            note: String::new(),
        });
        form.mark("Readings");
    }
}

/// Something to begin with, in the grower's unit: bright shade.
fn first_value(u: Units) -> LightValue {
    match u.light {
        LightUnit::Ppfd => LightValue::Ppfd(200.0),
        LightUnit::Lux => LightValue::Lux(10_000.0),
        LightUnit::FootCandles => LightValue::FootCandles(1_000.0),
    }
}

fn value_words(value: LightValue) -> String {
    let unit = match value {
        LightValue::Ppfd(_) => LightUnit::Ppfd,
        LightValue::Lux(_) => LightUnit::Lux,
        LightValue::FootCandles(_) => LightUnit::FootCandles,
    };
    figures::brightness(
        Units {
            light: unit,
            ..Units::default()
        },
        value.ppfd(),
    )
}

fn light_value(form: &mut Form, ui: &mut Ui, value: &mut LightValue) {
    let mut unit = match value {
        LightValue::Ppfd(_) => 0,
        LightValue::Lux(_) => 1,
        LightValue::FootCandles(_) => 2,
    };
    let ppfd = value.ppfd();
    if form.choice(
        ui,
        "Unit",
        "As the meter shows it.",
        &mut unit,
        &[(0, "PPFD, µmol/m²s"), (1, "lux"), (2, "foot-candles")],
    ) {
        let lux = units::lux_from_ppfd(ppfd);
        *value = match unit {
            0 => LightValue::Ppfd(ppfd.round()),
            1 => LightValue::Lux(lux.round()),
            _ => LightValue::FootCandles(units::foot_candles_from_lux(lux).round()),
        };
    }
    let (figure, most) = match value {
        LightValue::Ppfd(v) => (v, 3_000.0),
        LightValue::Lux(v) => (v, 160_000.0),
        LightValue::FootCandles(v) => (v, 15_000.0),
    };
    form.number(
        ui,
        "Reading",
        "Level, at leaf height.",
        Q::Plain,
        0.0..=most,
        figure,
    );
}

fn min_max(form: &mut Form, ui: &mut Ui, today: NaiveDate, all: &mut Vec<MinMaxReading>) {
    let u = form.units;
    list(
        form,
        ui,
        "thermometer reading",
        all,
        |r| {
            let max = r.max_c.map_or_else(String::new, |m| {
                format!(" to {}", figures::temperature(u, m))
            });
            format!(
                "{}  {}{max}",
                r.date.format("%e %b %Y"),
                figures::temperature(u, r.min_c)
            )
        },
        |form, ui, r| {
            date(form, ui, &mut r.date);
            form.number(
                ui,
                "Lowest",
                "Of the night just past.",
                Q::Temperature,
                -40.0..=45.0,
                &mut r.min_c,
            );
            form.optional(
                ui,
                "Highest",
                "Of the day before.",
                Q::Temperature,
                -30.0..=60.0,
                20.0,
                &mut r.max_c,
            );
            form.optional(
                ui,
                "Lowest outside",
                "The same night at a weather station or in the open.",
                Q::Temperature,
                -40.0..=45.0,
                5.0,
                &mut r.outdoors_min_c,
            );
            form.text(ui, "Note", &mut r.note);
        },
    );
    if ui
        .button("Add a thermometer reading")
        .on_hover_text("What a minimum-maximum thermometer shows in the morning.")
        .clicked()
    {
        all.push(MinMaxReading {
            date: today,
            min_c: 8.0,
            max_c: None,
            outdoors_min_c: None,
            note: String::new(),
        });
        form.mark("Readings");
    }
}

fn humidity(form: &mut Form, ui: &mut Ui, today: NaiveDate, all: &mut Vec<HumidityReading>) {
    list(
        form,
        ui,
        "humidity reading",
        all,
        |r| format!("{}  {:.0} %", r.when.format("%e %b %Y %H:%M"), r.rh_pct),
        |form, ui, r| {
            time(form, ui, &mut r.when);
            form.number(
                ui,
                "Humidity",
                "Relative.",
                Q::Percent,
                1.0..=100.0,
                &mut r.rh_pct,
            );
            form.optional(
                ui,
                "Air",
                "Its temperature then.",
                Q::Temperature,
                -30.0..=60.0,
                18.0,
                &mut r.air_c,
            );
        },
    );
    if ui.button("Add a humidity reading").clicked() {
        all.push(HumidityReading {
            when: noon(today),
            rh_pct: 60.0,
            air_c: None,
        });
        form.mark("Readings");
    }
}

fn time(form: &mut Form, ui: &mut Ui, when: &mut NaiveDateTime) {
    let mut typed = when.format(DATE_TIME).to_string();
    form.text(ui, "When", &mut typed);
    match NaiveDateTime::parse_from_str(typed.trim(), DATE_TIME) {
        Ok(read) => *when = read,
        Err(_) => wrong(form, ui, "2026-06-12 13:30"),
    }
}

fn date(form: &mut Form, ui: &mut Ui, day: &mut NaiveDate) {
    let mut typed = day.format(DATE).to_string();
    form.text(ui, "Morning of", &mut typed);
    match NaiveDate::parse_from_str(typed.trim(), DATE) {
        Ok(read) => *day = read,
        Err(_) => wrong(form, ui, "2026-01-31"),
    }
}

fn wrong(form: &mut Form, ui: &mut Ui, example: &str) {
    form.forget();
    ui.label(text::caption(format!("Write it as {example}")));
}
