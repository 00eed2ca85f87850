//! Monthly normals as fields to type, twelve at a time. An emptied field is a month that is not known.

use std::{cell::Cell, rc::Rc};

use egui::{Grid, Ui};

use crate::{
    app::{
        parts::{
            figures,
            form::{Form, figure_ui, quantity::Quantity as Q},
            icons::{Icon, icon_button_ui},
            locale,
        },
        state::{Request, Sight, Units},
        theme::{space, text},
    },
    base::calendar::MONTH_NAMES,
    climate::FilledNormals,
    site::{Climate, Monthly, Normals, edit::Edit},
};

/// A quantity by the month.
struct Row {
    name: &'static str,
    quantity: Q,
    low: f64,
    high: f64,
    /// What a new row begins with.
    start: f64,
}

impl Row {
    const fn new(name: &'static str, quantity: Q, low: f64, high: f64, start: f64) -> Self {
        Self {
            name,
            quantity,
            low,
            high,
            start,
        }
    }

    const fn celsius(name: &'static str, start: f64) -> Self {
        Self::new(name, Q::Temperature, -60.0, 60.0, start)
    }
}

type Field = fn(&mut Normals) -> &mut Option<Monthly>;
/// What is computed with where nothing is given.
type Filled = fn(&FilledNormals) -> Option<[f64; 12]>;

const ROWS: [(Row, Field, Filled); 12] = [
    (
        Row::celsius("Night minimum", 8.0),
        |n| &mut n.night_min_c,
        |f| Some(f.night_min_c),
    ),
    (
        Row::celsius("Day maximum", 17.0),
        |n| &mut n.day_max_c,
        |f| Some(f.day_max_c),
    ),
    (
        Row::new("Rain", Q::Rain, 0.0, 1500.0, 60.0),
        |n| &mut n.rain_mm,
        |f| Some(f.rain_mm),
    ),
    (
        Row::new("Days with rain", Q::Days, 0.0, 31.0, 9.0),
        |n| &mut n.rain_days,
        |f| Some(f.rain_days),
    ),
    (
        Row::new("Humidity", Q::Percent, 1.0, 100.0, 72.0),
        |n| &mut n.rh_pct,
        |f| Some(f.rh_pct),
    ),
    (
        Row::celsius("Dew point", 7.0),
        |n| &mut n.dew_point_c,
        |_| None,
    ),
    (
        Row::new("Sunshine of a day", Q::Sunshine, 0.0, 24.0, 6.0),
        |n| &mut n.sunshine_h,
        |_| None,
    ),
    (
        Row::new("Radiation of a day", Q::Radiation, 0.0, 40.0, 14.0),
        |n| &mut n.radiation_mj_m2_d,
        |f| Some(f.radiation_mj_m2_d),
    ),
    (
        Row::new("Wind", Q::Wind, 0.0, 20.0, 3.0),
        |n| &mut n.wind_m_s,
        |f| Some(f.wind_m_s),
    ),
    (
        Row::new("Spread of night minima", Q::Difference, 0.2, 12.0, 3.2),
        |n| &mut n.night_min_sd_k,
        |f| Some(f.night_min_sd_k),
    ),
    (
        Row::new("Spread of day maxima", Q::Difference, 0.2, 12.0, 3.2),
        |n| &mut n.day_max_sd_k,
        |f| Some(f.day_max_sd_k),
    ),
    (
        Row::new("Turbidity (Linke)", Q::Plain, 1.5, 9.0, 3.5),
        |n| &mut n.turbidity_linke,
        |f| Some(f.turbidity_linke),
    ),
];

pub fn normals_ui(ui: &mut Ui, sight: &Sight<'_>, form: &mut Form, requests: &mut Vec<Request>) {
    ui.label(text::caption(
        "Empty the field of a month that is not known: it is then taken from the months about it.",
    ));
    let old = &sight.site().climate;
    let mut next = Climate::clone(old);
    let filled = sight.outcome.map(|o| &o.weather.normals);
    for (row, field, estimate) in &ROWS {
        let values = field(&mut next.normals);
        let estimated = filled.and_then(estimate);
        ui.add_space(space::S);
        match values {
            Some(given) => {
                let mut months = given.months();
                let mut gone = false;
                ui.horizontal(|ui| {
                    ui.label(text::strong(row.name));
                    let unit = row.quantity.unit(sight.looking.units).trim();
                    ui.label(text::caption(unit));
                    let name = format!("Leave {} to be estimated", row.name.to_lowercase());
                    gone = icon_button_ui(ui, Icon::Close, &name, true).clicked();
                });
                let taken = estimated.as_ref();
                months_ui(ui, row, &mut months, taken, sight.looking.units, |r| {
                    form.watch(r, "Change the climate", requests);
                });
                *values = if gone { None } else { Monthly::of(months) };
            }
            None => {
                ui.horizontal(|ui| {
                    ui.label(text::soft(row.name));
                    ui.label(text::caption("is estimated"));
                    if ui
                        .small_button("Type it")
                        .on_hover_text(format!("Gives {} month by month", row.name.to_lowercase()))
                        .accessible_name(format!("Type {}", row.name.to_lowercase()))
                        .clicked()
                    {
                        let by = 10_f64.powi(row.quantity.decimals(Units::default()) as i32);
                        let begin = estimated.map(|e| e.map(|v| (v * by).round() / by));
                        *values = Some(begin.unwrap_or([row.start; 12]).into());
                    }
                });
                if let Some(months) = estimated {
                    estimate_ui(ui, row, &months, sight.looking.units);
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
fn estimate_ui(ui: &mut Ui, row: &Row, months: &[f64; 12], units: Units) {
    let shown: Vec<String> = months
        .iter()
        .map(|v| {
            let decimals = row.quantity.decimals(units);
            figures::signed(row.quantity.shown(*v, units), decimals)
        })
        .collect();
    ui.label(text::caption(format!("taken: {}", shown.join("  "))));
}

/// Width of the field of a month, points.
const FIELD: f32 = 62.0;

fn months_ui(
    ui: &mut Ui,
    row: &Row,
    months: &mut [Option<f64>; 12],
    taken: Option<&[f64; 12]>,
    units: Units,
    mut watch: impl FnMut(&egui::Response),
) {
    Grid::new(row.name)
        .num_columns(6)
        .spacing([space::S, 2.0])
        .show(ui, |ui| {
            // One width, whatever figure they hold.
            ui.spacing_mut().interact_size.x = FIELD;
            for half in 0..2 {
                for month in MONTH_NAMES.iter().skip(half * 6).take(6) {
                    ui.label(text::caption(month.get(..3).unwrap_or(month)));
                }
                ui.end_row();
                for (m, value) in months.iter_mut().enumerate().skip(half * 6).take(6) {
                    let taken = taken.and_then(|t| t.get(m)).copied();
                    let name = format!("{}, {}", row.name, MONTH_NAMES.get(m).unwrap_or(&""));
                    watch(&month_ui(ui, row, value, taken, units, &name));
                }
                ui.end_row();
            }
        });
}

/// One month: a figure, or a dash where it is not known. From the dash on, dragging begins at what is computed with.
fn month_ui(
    ui: &mut Ui,
    row: &Row,
    value: &mut Option<f64>,
    taken: Option<f64>,
    units: Units,
    name: &str,
) -> egui::Response {
    let known = value.is_some();
    let begin = value.unwrap_or_else(|| taken.unwrap_or(row.start).clamp(row.low, row.high));
    let turned = |v: f64| row.quantity.shown(v, units);
    let mut shown = turned(begin);
    let decimals = row.quantity.decimals(units);
    let name = if known {
        name.to_owned()
    } else {
        format!("{name}, not known")
    };
    let emptied = Rc::new(Cell::new(false));
    let noted = Rc::clone(&emptied);
    let ends = turned(row.low)..=turned(row.high);
    let mut r = figure_ui(ui, &name, &mut shown, ends, 0.1, decimals..=decimals, |f| {
        let f = f.custom_parser(move |typed| {
            noted.set(is_empty(typed));
            locale::typed(typed)
        });
        if known {
            f
        } else {
            f.custom_formatter(|_, _| UNKNOWN.to_owned())
        }
    });
    if r.changed() {
        *value = Some(row.quantity.held(shown, units));
    } else if known && emptied.get() {
        *value = None;
        r.mark_changed();
    }
    if known {
        return r;
    }
    r.on_hover_text(taken.map_or_else(
        || "Not known".to_owned(),
        |v| {
            format!(
                "Not known; {} is taken",
                figures::signed(turned(v), decimals)
            )
        },
    ))
}

/// What stands in the field of a month that is not known.
const UNKNOWN: &str = "–";

fn is_empty(typed: &str) -> bool {
    matches!(typed.trim(), "" | "-" | "\u{2212}" | UNKNOWN)
}
