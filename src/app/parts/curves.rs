//! Curves through the 52 weeks of the plan, against what a plant wants.

use egui::{Color32, Ui};
use egui_plot::{HoverPosition, Line, LineStyle, Plot, PlotPoints, Polygon, VLine};

use crate::{
    app::{
        parts::{dates, figures},
        state::Sight,
        theme::{self},
    },
    base::calendar::WEEKS,
    needs::Band,
};

/// One curve: a value per week of the plan, where it is known.
pub struct Curve {
    pub name: &'static str,
    pub values: Vec<Option<f64>>,
    pub colour: Color32,
    pub dashed: bool,
}

/// What is wanted from a week of the plan on, for some weeks.
pub struct Wanted {
    pub from: usize,
    pub weeks: usize,
    pub band: Band,
    pub colour: Color32,
    /// Drawn with its edges and this word above, so that it is told without colour.
    pub named: Option<&'static str>,
}

/// A band between two values per week, where both are known.
pub struct Swath {
    pub low: Vec<Option<f64>>,
    pub high: Vec<Option<f64>>,
    pub colour: Color32,
}

impl Swath {
    /// Quadrangles from week to week: a polygon of a plot must not be hollow.
    fn pieces(&self) -> impl Iterator<Item = [[f64; 2]; 4]> {
        let weeks: Vec<Option<(f64, f64)>> = self
            .low
            .iter()
            .zip(&self.high)
            .map(|(low, high)| Some(((*low)?, (*high)?)))
            .collect();
        (1..weeks.len()).filter_map(move |w| {
            let (a, b) = (weeks.get(w - 1).copied()??, weeks.get(w).copied()??);
            let (from, to) = (w as f64 - 0.5, w as f64 + 0.5);
            Some([[from, a.0], [to, b.0], [to, b.1], [from, a.1]])
        })
    }
}

/// What a plot shows.
pub struct YearPlot<'a> {
    /// Read out by screen readers; distinct among the plots that are shown together.
    pub name: &'a str,
    pub unit: &'static str,
    pub height: f32,
    pub curves: &'a [Curve],
    pub swaths: &'a [Swath],
    pub wanted: &'a [Wanted],
    /// Values kept in sight, so that two plots can be compared.
    pub include: &'a [f64],
}

/// Share of a plot's height that the words of stages take.
const NAMES_SHARE: f64 = 0.14;

/// A quiet plot of curves over bands, with the ribbon's week marked.
pub fn year_plot_ui(ui: &mut Ui, sight: &Sight<'_>, plot: &YearPlot<'_>) {
    let &YearPlot {
        curves,
        swaths,
        wanted,
        include,
        ..
    } = plot;
    let from = sight.plan_from();
    let date = move |week: f64| {
        let days = (week.clamp(0.0, WEEKS as f64) * 7.0) as u64;
        dates::short(from + chrono::Days::new(days))
    };
    let known = curves
        .iter()
        .flat_map(|c| c.values.iter().flatten())
        .chain(
            swaths
                .iter()
                .flat_map(|s| s.low.iter().chain(&s.high).flatten()),
        )
        .chain(include);
    let top = known.clone().copied().fold(f64::MIN, f64::max);
    let low = known.copied().fold(f64::MAX, f64::min);
    // Bands reach far beyond; the curves and the wanted ranges decide what is seen.
    let (low, top) = wanted.iter().fold((low, top), |(l, h), w| {
        (l.min(w.band.ideal_low()), h.max(w.band.ideal_high()))
    });
    if low > top {
        return;
    }
    let room = ((top - low) * 0.08).max(0.5);
    // Words of stages stand above what is drawn.
    let head = if wanted.iter().any(|w| w.named.is_some()) {
        (top - low) * NAMES_SHARE
    } else {
        0.0
    };
    let (low, top) = (low - room, top + room + head);
    // The axes speak softly.
    ui.scope(|ui| {
        ui.style_mut().text_styles.insert(
            egui::TextStyle::Body,
            egui::FontId::proportional(theme::text::SMALL),
        );
        plot_ui(ui, sight, plot, (low, top), date);
    });
}

fn plot_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    plot: &YearPlot<'_>,
    (low, top): (f64, f64),
    date: impl Fn(f64) -> String + Clone + 'static,
) {
    let t = theme::tokens(ui);
    let &YearPlot {
        name,
        unit,
        height,
        curves,
        swaths,
        wanted,
        ..
    } = plot;
    let on_axis = date.clone();
    let response = still_plot(name, height, (low, top), (WEEKS, 13), t.line)
        .show_grid([false, true])
        .x_axis_formatter(move |mark, _| on_axis(mark.value))
        .label_formatter(move |position| match position {
            HoverPosition::NearDataPoint {
                plot_name,
                position,
                ..
            } => Some(format!(
                "{plot_name}\n{}: {} {unit}",
                date(position.x),
                figures::signed(position.y, 1)
            )),
            HoverPosition::Elsewhere { .. } => None,
        })
        .show(ui, |plot| {
            for w in wanted {
                let x = (w.from as f64, (w.from + w.weeks) as f64);
                let clip = |v: f64| v.clamp(low, top);
                let area = |from: f64, to: f64, strength: f32| {
                    Polygon::new(
                        "wanted",
                        PlotPoints::from(vec![
                            [x.0, clip(from)],
                            [x.1, clip(from)],
                            [x.1, clip(to)],
                            [x.0, clip(to)],
                        ]),
                    )
                    .fill_color(w.colour.gamma_multiply(strength))
                    .stroke(egui::Stroke::NONE)
                    .allow_hover(false)
                };
                plot.polygon(area(w.band.harm_low(), w.band.harm_high(), 0.18));
                plot.polygon(area(w.band.ideal_low(), w.band.ideal_high(), 0.40));
                let Some(word) = w.named else { continue };
                for (corner, harm) in [
                    (w.band.harm_low(), true),
                    (w.band.ideal_low(), false),
                    (w.band.ideal_high(), false),
                    (w.band.harm_high(), true),
                ] {
                    if corner <= low || corner >= top - NAMES_SHARE * (top - low) {
                        continue;
                    }
                    let style = if harm {
                        LineStyle::dotted_dense()
                    } else {
                        LineStyle::Solid
                    };
                    plot.line(
                        Line::new("edge", vec![[x.0, corner], [x.1, corner]])
                            .color(t.ink_soft)
                            .width(if harm { 1.5 } else { 1.0 })
                            .style(style)
                            .allow_hover(false),
                    );
                }
                // A week is some eight points wide on a sheet, a letter some seven.
                if w.weeks >= word.len() {
                    let at = egui_plot::PlotPoint::new(0.5 * (x.0 + x.1), top);
                    let word = egui::RichText::new(word).size(theme::text::SMALL - 1.0);
                    plot.text(
                        egui_plot::Text::new("stage", at, word)
                            .color(t.ink_soft)
                            .anchor(egui::Align2::CENTER_TOP)
                            .allow_hover(false),
                    );
                }
            }
            for swath in swaths {
                for piece in swath.pieces() {
                    plot.polygon(
                        Polygon::new("band", PlotPoints::from(piece.to_vec()))
                            .fill_color(swath.colour.gamma_multiply(0.16))
                            .stroke(egui::Stroke::NONE)
                            .allow_hover(false),
                    );
                }
            }
            plot.vline(
                VLine::new("week", sight.looking.plan_week as f64 + 0.5)
                    .color(t.accent)
                    .width(1.5)
                    .allow_hover(false),
            );
            for curve in curves {
                let points: Vec<[f64; 2]> = curve
                    .values
                    .iter()
                    .enumerate()
                    .filter_map(|(w, v)| v.map(|v| [w as f64 + 0.5, v]))
                    .collect();
                let style = if curve.dashed {
                    LineStyle::dashed_dense()
                } else {
                    LineStyle::Solid
                };
                plot.line(
                    Line::new(curve.name, points)
                        .color(curve.colour)
                        .width(2.0)
                        .style(style),
                );
            }
        });
    response
        .response
        .widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Image, true, name));
}

/// A plot that is looked at and not moved: from 0 to `steps` with a mark every so many, and round marks upwards.
pub fn still_plot<'p>(
    name: &str,
    height: f32,
    (low, top): (f64, f64),
    (steps, every): (usize, usize),
    grid: Color32,
) -> Plot<'p> {
    let step = tick(top - low);
    let mark = |value: f64, step_size: f64| egui_plot::GridMark { value, step_size };
    Plot::new(name)
        .height(height)
        .allow_zoom(false)
        .allow_drag(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_double_click_reset(false)
        .show_background(false)
        .grid_color(grid)
        .show_crosshair(false)
        .y_axis_min_width(34.0)
        .default_x_bounds(0.0, steps as f64)
        .default_y_bounds(low, top)
        .x_grid_spacer(move |_| {
            // Words at the very end would reach beyond the plot.
            (0..steps)
                .step_by(every)
                .map(|k| mark(k as f64, every as f64))
                .collect()
        })
        .y_grid_spacer(move |_| {
            let first = (low / step).ceil() as i64;
            (first..=first + 12)
                .map(|k| k as f64 * step)
                // A figure at the very foot would stand on the first word below.
                .filter(|v| *v <= top && *v > low + 0.05 * (top - low))
                .map(|v| mark(v, step))
                .collect()
        })
}

/// A round step that gives a span two to five marks.
fn tick(span: f64) -> f64 {
    let rough = (span / 4.0).max(f64::MIN_POSITIVE);
    let power = 10f64.powf(rough.log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|m| m * power)
        .find(|s| *s >= rough)
        .unwrap_or(rough)
}

/// What a plant wants in each stage of the plan's year, as bands.
#[must_use]
pub fn wanted_by_stage(
    sight: &Sight<'_>,
    plant: &crate::base::Id,
    pick: impl Fn(&crate::needs::Needs) -> Band,
    colour: Color32,
) -> Vec<Wanted> {
    let stages: Vec<_> = (0..WEEKS)
        .map(|w| sight.stage(plant, sight.calendar_week(w)))
        .collect();
    let places: Vec<Option<usize>> = stages.iter().map(|s| s.map(|(i, _)| i)).collect();
    super::weeks::runs(&places)
        .into_iter()
        .filter_map(|(_, from, weeks)| {
            let (_, stage) = (*stages.get(from)?)?;
            Some(Wanted {
                from,
                weeks,
                band: pick(&stage.needs),
                colour,
                named: None,
            })
        })
        .collect()
}

/// The legend of a plot in words.
pub fn legend_ui(ui: &mut Ui, curves: &[(&str, Color32, bool)]) {
    ui.horizontal(|ui| {
        for (name, colour, dashed) in curves {
            let (rect, _) = ui.allocate_exact_size(egui::vec2(18.0, 12.0), egui::Sense::hover());
            let y = rect.center().y;
            let pen = egui::Stroke::new(2.0, *colour);
            if *dashed {
                for k in 0..3 {
                    let x = rect.left() + 7.0 * k as f32;
                    ui.painter().hline(x..=x + 4.0, y, pen);
                }
            } else {
                ui.painter().hline(rect.x_range(), y, pen);
            }
            ui.label(theme::text::caption(*name));
        }
    });
}
