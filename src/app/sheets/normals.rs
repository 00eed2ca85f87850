//! Monthly normals as fields to type, twelve at a time.

use egui::{DragValue, Grid, Ui};

use crate::{
    app::{
        parts::{
            figures,
            form::Form,
            icons::{Icon, icon_button_ui},
            locale,
        },
        state::{Request, Sight, Units},
        theme::{space, text},
    },
    base::calendar::MONTH_NAMES,
    climate::FilledNormals,
    site::{Climate, Normals, edit::Edit},
};

/// How a quantity is shown and typed.
struct Quantity {
    name: &'static str,
    unit: &'static str,
    low: f64,
    high: f64,
    decimals: usize,
    /// What a new row begins with.
    start: f64,
    temperature: bool,
}

impl Quantity {
    const fn new(
        name: &'static str,
        unit: &'static str,
        low: f64,
        high: f64,
        decimals: usize,
        start: f64,
    ) -> Self {
        Self {
            name,
            unit,
            low,
            high,
            decimals,
            start,
            temperature: false,
        }
    }

    const fn celsius(name: &'static str, start: f64) -> Self {
        Self {
            name,
            unit: "°C",
            low: -60.0,
            high: 60.0,
            decimals: 1,
            start,
            temperature: true,
        }
    }
}

type Field = fn(&mut Normals) -> &mut Option<[f64; 12]>;
/// What is computed with where nothing is given.
type Filled = fn(&FilledNormals) -> Option<[f64; 12]>;

const QUANTITIES: [(Quantity, Field, Filled); 12] = [
    (
        Quantity::celsius("Night minimum", 8.0),
        |n| &mut n.night_min_c,
        |f| Some(f.night_min_c),
    ),
    (
        Quantity::celsius("Day maximum", 17.0),
        |n| &mut n.day_max_c,
        |f| Some(f.day_max_c),
    ),
    (
        Quantity::new("Rain", "mm", 0.0, 1500.0, 0, 60.0),
        |n| &mut n.rain_mm,
        |f| Some(f.rain_mm),
    ),
    (
        Quantity::new("Days with rain", "days", 0.0, 31.0, 0, 9.0),
        |n| &mut n.rain_days,
        |f| Some(f.rain_days),
    ),
    (
        Quantity::new("Humidity", "%", 1.0, 100.0, 0, 72.0),
        |n| &mut n.rh_pct,
        |f| Some(f.rh_pct),
    ),
    (
        Quantity::celsius("Dew point", 7.0),
        |n| &mut n.dew_point_c,
        |_| None,
    ),
    (
        Quantity::new("Sunshine of a day", "h", 0.0, 24.0, 1, 6.0),
        |n| &mut n.sunshine_h,
        |_| None,
    ),
    (
        Quantity::new("Radiation of a day", "MJ/m²", 0.0, 40.0, 1, 14.0),
        |n| &mut n.radiation_mj_m2_d,
        |f| Some(f.radiation_mj_m2_d),
    ),
    (
        Quantity::new("Wind", "m/s", 0.0, 20.0, 1, 3.0),
        |n| &mut n.wind_m_s,
        |f| Some(f.wind_m_s),
    ),
    (
        Quantity::new("Spread of night minima", "K", 0.2, 12.0, 1, 3.2),
        |n| &mut n.night_min_sd_k,
        |f| Some(f.night_min_sd_k),
    ),
    (
        Quantity::new("Spread of day maxima", "K", 0.2, 12.0, 1, 3.2),
        |n| &mut n.day_max_sd_k,
        |f| Some(f.day_max_sd_k),
    ),
    (
        Quantity::new("Turbidity (Linke)", "", 1.5, 9.0, 1, 3.5),
        |n| &mut n.turbidity_linke,
        |f| Some(f.turbidity_linke),
    ),
];

pub fn normals_ui(ui: &mut Ui, sight: &Sight<'_>, form: &mut Form, requests: &mut Vec<Request>) {
    let old = &sight.site().climate;
    let mut next = Climate::clone(old);
    let filled = sight.outcome.map(|o| &o.weather.normals);
    for (quantity, field, estimate) in &QUANTITIES {
        let values = field(&mut next.normals);
        let estimated = filled.and_then(estimate);
        ui.add_space(space::S);
        match values {
            Some(months) => {
                let mut gone = false;
                ui.horizontal(|ui| {
                    ui.label(text::strong(quantity.name));
                    let unit = if quantity.temperature {
                        figures::temperature_unit(sight.looking.units)
                    } else {
                        quantity.unit
                    };
                    ui.label(text::caption(unit));
                    let name = format!("Leave {} to be estimated", quantity.name.to_lowercase());
                    gone = icon_button_ui(ui, Icon::Close, &name, true).clicked();
                });
                months_ui(ui, quantity, months, sight.looking.units, |r| {
                    form.watch(r, "Change the climate", requests);
                });
                if gone {
                    *values = None;
                }
            }
            None => {
                ui.horizontal(|ui| {
                    ui.label(text::soft(quantity.name));
                    ui.label(text::caption("is estimated"));
                    if ui
                        .small_button("Type it")
                        .on_hover_text(format!(
                            "Gives {} month by month",
                            quantity.name.to_lowercase()
                        ))
                        .accessible_name(format!("Type {}", quantity.name.to_lowercase()))
                        .clicked()
                    {
                        let by = 10_f64.powi(quantity.decimals as i32);
                        let begin = estimated.map(|e| e.map(|v| (v * by).round() / by));
                        *values = Some(begin.unwrap_or([quantity.start; 12]));
                    }
                });
                if let Some(months) = estimated {
                    estimate_ui(ui, quantity, &months, sight.looking.units);
                }
            }
        }
    }
    if next != **old {
        requests.push(Request::Edit(
            "Change the climate".to_owned(),
            Edit::SetClimate(next),
        ));
    }
}

/// What is computed with, from January on, quietly.
fn estimate_ui(ui: &mut Ui, quantity: &Quantity, months: &[f64; 12], units: Units) {
    let shown: Vec<String> = months
        .iter()
        .map(|v| {
            let v = if quantity.temperature {
                figures::temperature_value(units, *v)
            } else {
                *v
            };
            figures::signed(v, quantity.decimals)
        })
        .collect();
    ui.label(text::caption(format!("taken: {}", shown.join("  "))));
}

fn months_ui(
    ui: &mut Ui,
    quantity: &Quantity,
    months: &mut [f64; 12],
    units: Units,
    mut watch: impl FnMut(&egui::Response),
) {
    Grid::new(quantity.name)
        .num_columns(6)
        .spacing([space::S, 2.0])
        .show(ui, |ui| {
            for half in 0..2 {
                for month in MONTH_NAMES.iter().skip(half * 6).take(6) {
                    ui.label(text::caption(month.get(..3).unwrap_or(month)));
                }
                ui.end_row();
                for (m, value) in months.iter_mut().enumerate().skip(half * 6).take(6) {
                    let turned = |v: f64| {
                        if quantity.temperature {
                            figures::temperature_value(units, v)
                        } else {
                            v
                        }
                    };
                    let mut shown = turned(*value);
                    let r = ui
                        .add(
                            DragValue::new(&mut shown)
                                .range(turned(quantity.low)..=turned(quantity.high))
                                .speed(0.1)
                                .fixed_decimals(quantity.decimals)
                                .custom_parser(locale::typed)
                                .update_while_editing(false),
                        )
                        .accessible_name(format!(
                            "{}, {}",
                            quantity.name,
                            MONTH_NAMES.get(m).unwrap_or(&"")
                        ));
                    watch(&r);
                    if r.changed() {
                        *value = if quantity.temperature {
                            figures::celsius_from_value(units, shown)
                        } else {
                            shown
                        };
                    }
                }
                ui.end_row();
            }
        });
}
