//! Light month by month: how it falls with the cloth's percentage, against what the plant wants.

use egui::{Rect, Sense, Shape, Stroke, Ui, WidgetInfo, accesskit::Role, pos2, vec2};

use crate::{
    app::{
        parts::{figures, words::centred_paint},
        state::{Sight, Units},
        theme::{self, space, text},
    },
    base::calendar::MONTH_NAMES,
    cloth::{MonthUnder, MonthWanted, PlantWanted, Report},
    needs::Band,
};

const GAP: f32 = 5.0;
const HEIGHT: f32 = 84.0;
const NAME_H: f32 = 18.0;

/// What a row of small plots shows.
struct Row {
    title: &'static str,
    pick: fn(&MonthUnder) -> Option<f64>,
    band: fn(&MonthWanted) -> Band,
    tell: fn(Units, f64) -> String,
    /// Too little is no fault.
    upper_only: bool,
}

const ROWS: [Row; 2] = [
    Row {
        title: "Light of a day",
        pick: |m| m.dli_mol_m2_d,
        band: |w| w.dli_mol_m2_d,
        tell: |_, v| figures::dli(v),
        upper_only: false,
    },
    Row {
        title: "Clear noon",
        pick: |m| m.peak_ppfd_umol_m2_s,
        band: |w| w.peak_ppfd_umol_m2_s,
        tell: figures::brightness,
        upper_only: true,
    },
];

pub fn months_ui(ui: &mut Ui, sight: &Sight<'_>, report: &Report, plant: usize, trial: usize) {
    let (Some(wanted), Some(id)) = (report.wanted.get(plant), report.plants.get(plant)) else {
        return;
    };
    let width = (ui.available_width() + GAP) / 12.0 - GAP;
    let name = sight.plant_name(id);
    ui.label(text::group(format!("{name}, month by month")));
    ui.label(text::caption(
        "Each curve runs from no cloth at the left to 90 % at the right; shaded where the plant wants it; the dot is the \
         cloth looked at, on the left where it is down, rings are its neighbours",
    ));
    for row in &ROWS {
        row_ui(ui, sight, report, (plant, wanted), trial, row, width);
    }
    leaf_ui(ui, sight, report, plant, trial, width);
}

fn row_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    report: &Report,
    (plant, wanted): (usize, &PlantWanted),
    trial: usize,
    row: &Row,
    width: f32,
) {
    let units = sight.looking.units;
    let month = |k: usize, m: usize| report.trials.get(k)?.plants.get(plant)?.months.get(m);
    let value = |k: usize, m: usize| month(k, m).and_then(row.pick);
    // One scale for the year: the open noon, or the top of what is wanted if that is more.
    let top = (0..12)
        .filter_map(|m| value(0, m))
        .chain(
            wanted
                .months
                .iter()
                .map(|w| (row.band)(w).ideal_high())
                .filter(|_| !row.upper_only),
        )
        .fold(1e-6, f64::max)
        * 1.06;
    ui.add_space(space::XS);
    ui.label(text::caption(format!(
        "{}, up to {}",
        row.title,
        (row.tell)(units, top)
    )));
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = GAP;
        for m in 0..12 {
            let Some(want) = wanted.months.get(m) else {
                continue;
            };
            let values: Vec<Option<f64>> = (0..report.trials.len()).map(|k| value(k, m)).collect();
            cell_ui(
                ui,
                report,
                (m, want),
                &values,
                trial,
                row,
                units,
                (width, top),
            );
        }
    });
}

#[expect(
    clippy::too_many_arguments,
    reason = "one small plot, drawn in one place"
)]
fn cell_ui(
    ui: &mut Ui,
    report: &Report,
    (m, want): (usize, &MonthWanted),
    values: &[Option<f64>],
    trial: usize,
    row: &Row,
    units: Units,
    (width, top): (f32, f64),
) {
    let t = theme::tokens(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(width, HEIGHT + NAME_H), Sense::hover());
    let is_up = |k: usize| report.trials.get(k).is_some_and(|x| x.months.has(m));
    let shown = if is_up(trial) { trial } else { 0 };
    let band = (row.band)(want);
    let tell = |v: Option<f64>| v.map_or_else(|| "not known".to_owned(), |v| (row.tell)(units, v));
    let at = |k: usize| values.get(k).copied().flatten();
    let range = if row.upper_only {
        format!("at most {}", (row.tell)(units, band.ideal_high()))
    } else {
        format!(
            "{} to {}",
            figures::signed(band.ideal_low(), 0),
            (row.tell)(units, band.ideal_high())
        )
    };
    let month = MONTH_NAMES.get(m).copied().unwrap_or_default();
    let cloth = report.trials.get(trial).map_or(0.0, |x| x.shade_pct);
    let sentence = if cloth > 0.0 {
        let state = if is_up(trial) { "up" } else { "down" };
        format!(
            "{month}, {}: {} without, {} with the {cloth:.0} % cloth, which is {state}; wanted {range}",
            row.title,
            tell(at(0)),
            tell(at(shown)),
        )
    } else {
        format!(
            "{month}, {}: {} without; wanted {range}",
            row.title,
            tell(at(0))
        )
    };
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &sentence));
    if ui.is_rect_visible(rect) {
        let plot = Rect::from_min_size(rect.min, vec2(width, HEIGHT));
        let dim = if want.counts { 1.0 } else { 0.35 };
        let painter = ui.painter().with_clip_rect(plot.expand(1.0));
        painter.rect_filled(plot, 2, t.sheet);
        let y = |v: f64| plot.bottom() - (v.clamp(0.0, top) / top) as f32 * plot.height();
        let wash = |low: f64, high: f64, strength: f32| {
            let area = Rect::from_min_max(pos2(plot.left(), y(high)), pos2(plot.right(), y(low)));
            painter.rect_filled(area, 0, t.sunlight.gamma_multiply(strength * dim));
        };
        let low = |corner: f64| if row.upper_only { 0.0 } else { corner };
        wash(low(band.harm_low()), band.harm_high(), 0.25);
        wash(low(band.ideal_low()), band.ideal_high(), 0.6);
        let inset = 7.0;
        let x = |k: usize| {
            let pct = report.trials.get(k).map_or(0.0, |x| x.shade_pct);
            plot.left() + inset + (pct / 90.0) as f32 * (plot.width() - 2.0 * inset)
        };
        let points: Vec<egui::Pos2> = values
            .iter()
            .enumerate()
            .filter_map(|(k, v)| Some(pos2(x(k), y((*v)?))))
            .collect();
        let ink = t.ink.gamma_multiply(dim.max(0.5));
        painter.add(Shape::line(points, Stroke::new(1.5, ink)));
        if is_up(trial) {
            for k in [trial.wrapping_sub(1), trial + 1] {
                if let Some(v) = at(k).filter(|_| k != 0) {
                    let c = pos2(x(k), y(v));
                    painter.circle(c, 2.6, t.sheet, Stroke::new(1.2, ink));
                }
            }
        }
        if let Some(v) = at(shown) {
            let c = pos2(x(shown), y(v));
            painter.circle(c, 4.4, t.accent, Stroke::new(1.2, t.sheet));
        }
        // A bar along the foot while the cloth is up.
        if is_up(trial) && cloth > 0.0 {
            let bar = Rect::from_min_max(pos2(plot.left(), plot.bottom() - 3.0), plot.max);
            painter.rect_filled(bar, 0, t.accent);
        }
        painter.rect_stroke(plot, 2, Stroke::new(1.0, t.line), egui::StrokeKind::Inside);
        let foot = Rect::from_min_max(pos2(rect.left(), plot.bottom()), rect.max);
        let short: String = month.chars().take(3).collect();
        centred_paint(ui, foot, &short, text::regular(text::SMALL), t.ink_soft);
    }
    response.on_hover_ui(|ui| {
        ui.label(text::strong(format!("{month}, {}", want.stage.word())));
        ui.label(text::soft(format!("wanted {range}")));
        for (k, trial) in report.trials.iter().enumerate() {
            let name = if trial.shade_pct > 0.0 {
                format!("{:.0} %", trial.shade_pct)
            } else {
                "none".to_owned()
            };
            let line = format!("{name}: {}", tell(at(k)));
            ui.label(if k == shown {
                text::strong(line)
            } else {
                text::soft(line)
            });
        }
    });
}

/// How far a leaf rises above the air at a clear noon, without and with the cloth looked at.
fn leaf_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    report: &Report,
    plant: usize,
    trial: usize,
    width: f32,
) {
    let t = theme::tokens(ui);
    let units = sight.looking.units;
    let under = |k: usize, m: usize| report.trials.get(k)?.plants.get(plant)?.months.get(m);
    let limit = report
        .wanted
        .get(plant)
        .map_or(f64::INFINITY, |w| w.leaf_heat_c);
    ui.add_space(space::XS);
    ui.label(text::caption(format!(
        "Leaf above the air in that noon, {}; leaves scorch from {} on",
        figures::temperature_unit(units),
        figures::temperature(units, limit)
    )));
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = GAP;
        for m in 0..12 {
            let up = report.trials.get(trial).is_some_and(|x| x.months.has(m));
            let figure = |k: usize| {
                let k_above = under(k, m)?.leaf_over_air_k?;
                let shown = if units.fahrenheit {
                    k_above * 1.8
                } else {
                    k_above
                };
                Some(figures::signed(shown, 0))
            };
            let none = figure(0).unwrap_or_else(|| "?".to_owned());
            let words = match figure(trial).filter(|_| up && trial > 0) {
                Some(with) => format!("{none} → {with}"),
                None => none,
            };
            let hot = under(if up { trial } else { 0 }, m)
                .and_then(|x| x.leaf_c)
                .is_some_and(|c| c >= limit);
            let (rect, response) = ui.allocate_exact_size(vec2(width, NAME_H), Sense::hover());
            let month = MONTH_NAMES.get(m).copied().unwrap_or_default();
            response.widget_info(|| {
                WidgetInfo::labeled(
                    Role::Label,
                    true,
                    format!("{month}, leaf above the air: {words}"),
                )
            });
            let ink = if hot { t.fault } else { t.ink };
            centred_paint(ui, rect, &words, text::regular(text::SMALL), ink);
        }
    });
}
