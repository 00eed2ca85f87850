//! The hours of the ribbon's week at one spot or two, against what the plant wants by day and by night.

use egui::{Color32, Ui};
use egui_plot::{HoverPosition, Line, LineStyle, PlotPoints, Polygon};

use crate::{
    app::{
        parts::{
            curves::{legend_ui, still_plot},
            dates, figures, weeks,
        },
        state::{Sight, Units},
        theme::{self, space, text},
    },
    base::{Day, Id},
    needs::Band,
    pipeline::beside::{Beside, SpotHours, beside},
};

const HEIGHT: f32 = 150.0;

/// The week's hours at the spots that are compared.
pub fn hours_ui(ui: &mut Ui, sight: &Sight<'_>, plant: &Id, spots: &[&Id]) {
    let Some(outcome) = sight.outcome else { return };
    // The very days of the ribbon's column, which need not be those of a calendar week.
    let from = sight.date_of(sight.looking.plan_week);
    let found = beside(outcome, spots, Some(plant), (Day::of(from), 7));
    if found.spots.is_empty() {
        return;
    }
    let t = theme::tokens(ui);
    let units = sight.looking.units;
    let colours = [(t.ink, false), (t.accent, true)];
    ui.add_space(space::M);
    ui.label(text::group(format!(
        "Hour by hour, {} to {}",
        dates::short(from),
        dates::short(from + chrono::Days::new(6))
    )));
    ui.label(text::caption(format!(
        "Air as is usual in the week, {}; shaded where the plant wants it by day (warm) and by night (cold)",
        figures::temperature_unit(units)
    )));
    let names: Vec<String> = found
        .spots
        .iter()
        .map(|s| sight.spot_name(&s.spot))
        .collect();
    ui.scope(|ui| {
        ui.style_mut().text_styles.insert(
            egui::TextStyle::Body,
            egui::FontId::proportional(text::SMALL),
        );
        plot_ui(ui, units, &found, &names, &colours);
    });
    let legend: Vec<(&str, Color32, bool)> = names
        .iter()
        .zip(colours)
        .map(|(name, (colour, dashed))| (name.as_str(), colour, dashed))
        .collect();
    legend_ui(ui, &legend);
    for (spot, name) in found.spots.iter().zip(&names) {
        ui.label(told(units, name, spot));
    }
}

fn plot_ui(
    ui: &mut Ui,
    units: Units,
    found: &Beside,
    names: &[String],
    colours: &[(Color32, bool)],
) {
    let t = theme::tokens(ui);
    let shown = |c: f64| figures::temperature_value(units, c);
    let hours = found.sun_up.len();
    let Some((low, top)) = ends(found) else {
        return;
    };
    let (low, top) = (shown(low) - 1.0, shown(top) + 1.0);
    let first = found.first_hour;
    let unit = figures::temperature_unit(units);
    let name = format!("Hours of the week: {}", names.join(" and "));
    let response = still_plot(&name, HEIGHT, (low, top), (hours, 24), t.line)
        .x_axis_formatter(move |mark, _| day_of(first, mark.value))
        .label_formatter(move |position| match position {
            HoverPosition::NearDataPoint {
                plot_name,
                position,
                ..
            } => {
                let hour = position.x.max(0.0) as usize % 24;
                Some(format!(
                    "{plot_name}\n{}, {hour:02} to {:02} h: {} {unit}",
                    day_of(first, position.x),
                    hour + 1,
                    figures::signed(position.y, 1)
                ))
            }
            HoverPosition::Elsewhere { .. } => None,
        })
        .show(ui, |plot| {
            if let Some(wanted) = &found.wanted {
                for (up, from, count) in weeks::runs(&found.sun_up) {
                    let colour = if up { t.heat } else { t.frost };
                    let band = wanted.at(up);
                    for (band, strength) in [
                        ((band.harm_low(), band.harm_high()), 0.10),
                        ((band.ideal_low(), band.ideal_high()), 0.28),
                    ] {
                        let (a, b) = (from as f64, (from + count) as f64);
                        let (c, d) = (shown(band.0).clamp(low, top), shown(band.1).clamp(low, top));
                        plot.polygon(
                            Polygon::new(
                                "wanted",
                                PlotPoints::from(vec![[a, c], [b, c], [b, d], [a, d]]),
                            )
                            .fill_color(colour.gamma_multiply(strength))
                            .stroke(egui::Stroke::NONE)
                            .allow_hover(false),
                        );
                    }
                }
            }
            for ((spot, name), (colour, dashed)) in found.spots.iter().zip(names).zip(colours) {
                let points: Vec<[f64; 2]> = spot
                    .air_c
                    .iter()
                    .enumerate()
                    .map(|(h, c)| [h as f64 + 0.5, shown(*c)])
                    .collect();
                plot.line(
                    Line::new(name.clone(), points)
                        .color(*colour)
                        .width(2.0)
                        .style(if *dashed {
                            LineStyle::dashed_dense()
                        } else {
                            LineStyle::Solid
                        }),
                );
            }
        });
    response
        .response
        .widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Image, true, &name));
}

/// Least and most of the curves and of what is wanted, °C.
fn ends(found: &Beside) -> Option<(f64, f64)> {
    let bands = found.wanted.iter().flat_map(|w| [w.day_c, w.night_c]);
    found
        .spots
        .iter()
        .flat_map(|s| s.air_c.iter().copied())
        .chain(bands.flat_map(|b: Band| [b.ideal_low(), b.ideal_high()]))
        .fold(None, |e: Option<(f64, f64)>, v| {
            Some(e.map_or((v, v), |(l, h)| (l.min(v), h.max(v))))
        })
}

fn day_of(first_hour: usize, hour: f64) -> String {
    let day = Day::new(first_hour / 24).plus(hour.max(0.0) as i64 / 24);
    // Of no leap year, so that every day of the calendar is in it.
    dates::short(day.in_year(2001))
}

/// How the spot does by day and by night, in a sentence.
fn told(units: Units, name: &str, spot: &SpotHours) -> String {
    let part = |c: f64, off: Option<f64>| {
        let figure = figures::temperature(units, c);
        match off {
            Some(k) if k <= -0.05 => {
                format!("{figure}, {} too cold", figures::difference(units, -k))
            }
            Some(k) if k >= 0.05 => format!("{figure}, {} too warm", figures::difference(units, k)),
            Some(_) => format!("{figure}, as wanted"),
            None => figure,
        }
    };
    format!(
        "{name}: days of {}; nights down to {}.",
        part(spot.day_c, spot.day_off_k),
        part(spot.night_c, spot.night_off_k)
    )
}
