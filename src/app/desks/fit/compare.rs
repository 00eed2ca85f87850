//! Two spots side by side: curves of light and warmth against the plant's range, and why the week scores as it does.

use egui::{ScrollArea, Ui};

use super::{cooler::Cooler, period::Period};
use crate::{
    app::{
        parts::{
            curves::{Curve, YearPlot, legend_ui, wanted_by_stage, year_plot_ui},
            figures, locale, score,
        },
        state::{Request, Sheet, Sight},
        theme::{self, space, text},
    },
    base::{Id, calendar::WEEKS},
    needs::{Kind, LightForm},
    scoring::{SpotWeek, difference_over, why},
};

pub fn compare_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    (plant, period): (&Id, Period),
    (first, second): (&Id, Option<&Id>),
    cooler: &mut Cooler,
    requests: &mut Vec<Request>,
) {
    let Some(kind) = sight
        .site()
        .plants
        .get(plant)
        .and_then(|p| sight.site().kind(&p.kind))
    else {
        return;
    };
    let both: Vec<&Id> = std::iter::once(first).chain(second).collect();
    let seen = Seen::of(sight, kind, &both);
    ScrollArea::vertical()
        .id_salt("compare")
        .auto_shrink([false, true])
        .show(ui, |ui| {
            ui.set_width(ui.available_width() - space::M);
            // The verdict before what it follows from.
            if let Some(second) = second {
                difference_ui(ui, sight, plant, (first, second), period);
                ui.add_space(space::M);
            }
            ui.spacing_mut().item_spacing.x = space::XL;
            ui.columns(2, |columns| {
                for column in columns.iter_mut() {
                    column.spacing_mut().item_spacing.x = space::S;
                }
                let [left, right] = columns else { return };
                spot_ui(left, sight, plant, kind, first, &seen, requests);
                cooler.show_ui(left, sight, plant, first);
                match second {
                    Some(second) => {
                        spot_ui(right, sight, plant, kind, second, &seen, requests);
                        cooler.show_ui(right, sight, plant, second);
                    }
                    None => {
                        right.add_space(space::XL);
                        right.label(text::soft(
                            "Click a second spot above to lay it beside this one.",
                        ));
                    }
                }
            });
            super::hours::hours_ui(ui, sight, plant, &both);
        });
}

/// What the first spot has over the second in the weeks that are ranked by, and what would mend the poorer.
fn difference_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    plant: &Id,
    (first, second): (&Id, &Id),
    period: Period,
) {
    let weeks: Vec<_> = (0..WEEKS)
        .map(|w| sight.calendar_week(w))
        .filter(|w| period.has(sight, plant, *w))
        .filter_map(|w| {
            Some((
                sight.score(plant, first, w)?,
                sight.score(plant, second, w)?,
            ))
        })
        .collect();
    let Some(d) = difference_over(&weeks) else {
        return;
    };
    let (here, there) = (sight.spot_name(first), sight.spot_name(second));
    ui.label(text::group(format!(
        "{here} against {there}, {}",
        period.name()
    )));
    if let Some(points) = d.points {
        let sign = if points > 0.0 { "+" } else { "" };
        ui.label(text::soft(format!(
            "{sign}{} points in the mean; figures are those of the week in which each tells most.",
            figures::signed(points, 0)
        )));
    }
    for (head, shifts) in [("Gains", &d.gains), ("Loses", &d.losses)] {
        for shift in shifts {
            ui.label(locale::said(&format!("{head}: {}", shift.text())));
        }
    }
    if d.gains.is_empty() && d.losses.is_empty() {
        ui.label(text::soft("Nothing tells them apart."));
    }
    if let (Some(mend), Some(points)) = (&d.mend, d.points) {
        let poorer = if points > 0.0 { &there } else { &here };
        ui.label(text::soft(locale::said(&format!(
            "Would mend “{poorer}”: {mend}."
        ))));
    }
}

fn spot_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    plant: &Id,
    kind: &Kind,
    spot: &Id,
    seen: &Seen,
    requests: &mut Vec<Request>,
) {
    let t = theme::tokens(ui);
    let units = sight.looking.units;
    ui.push_id(spot.as_str(), |ui| {
        ui.horizontal(|ui| {
            ui.label(text::heading(sight.spot_name(spot)));
            if ui
                .button("Readings…")
                .on_hover_text("What was measured on this spot, and what it did to the figures.")
                .clicked()
            {
                requests.push(Request::OpenSheet(Sheet::Readings(spot.clone())));
            }
        });
        if let Some(s) = sight.score(plant, spot, sight.week()) {
            ui.horizontal_wrapped(|ui| {
                score::chip_ui(ui, s.points);
                ui.label(locale::said(&why(s)));
            });
        }
        let Some(found) = sight.outcome.and_then(|o| o.spots.get(spot)) else {
            return;
        };
        let at =
            |w: usize| -> Option<&SpotWeek> { found.weeks.get(sight.calendar_week(w).index()) };
        let each = |pick: &dyn Fn(&SpotWeek) -> Option<f64>| -> Vec<Option<f64>> {
            (0..WEEKS).map(|w| at(w).and_then(pick)).collect()
        };
        let light = each(&|w| light_of(kind, w));
        ui.label(text::caption(
            "Light of a day, mol/m²; shaded where it is wanted",
        ));
        year_plot_ui(
            ui,
            sight,
            &YearPlot {
                name: &format!("Light on {}", sight.spot_name(spot)),
                unit: "mol/m²",
                height: 120.0,
                curves: &[Curve {
                    name: "light of a day",
                    values: light,
                    colour: t.ink,
                    dashed: false,
                }],
                swaths: &[],
                wanted: &wanted_by_stage(sight, plant, |n| n.dli.value, t.sunlight),
                include: &seen.light,
            },
        );
        let shown = |c: f64| figures::temperature_value(units, c);
        let warm = each(&|w| w.air.as_ref().map(|a| shown(a.day_c)));
        let cold = each(&|w| w.air.as_ref().map(|a| shown(a.night_c)));
        let turned = |b: crate::needs::Band| {
            crate::needs::Band(
                shown(b.harm_low()),
                shown(b.ideal_low()),
                shown(b.ideal_high()),
                shown(b.harm_high()),
            )
        };
        let mut wanted = wanted_by_stage(sight, plant, |n| turned(n.day_c.value), t.heat);
        wanted.extend(wanted_by_stage(
            sight,
            plant,
            |n| turned(n.night_c.value),
            t.frost,
        ));
        ui.label(text::caption(format!(
            "Air by day and by night, {}; shaded where each is wanted",
            figures::temperature_unit(units)
        )));
        year_plot_ui(
            ui,
            sight,
            &YearPlot {
                name: &format!("Warmth on {}", sight.spot_name(spot)),
                unit: figures::temperature_unit(units),
                height: 140.0,
                curves: &[
                    Curve {
                        name: "mean of the day",
                        values: warm,
                        colour: t.heat,
                        dashed: false,
                    },
                    Curve {
                        name: "night minimum",
                        values: cold,
                        colour: t.frost,
                        dashed: true,
                    },
                ],
                swaths: &[],
                wanted: &wanted,
                include: &seen.warmth,
            },
        );
        legend_ui(
            ui,
            &[
                ("mean of the day", t.heat, false),
                ("night minimum", t.frost, true),
            ],
        );
        if let Some(side) = crate::light::from_one_side(&found.light.factors) {
            ui.label(text::caption(side.told));
        }
        for influence in &found.air.influences {
            ui.label(text::caption(locale::said(influence)));
        }
    });
}

/// The light of a day as the kind counts it, mol m⁻² d⁻¹.
fn light_of(kind: &Kind, week: &SpotWeek) -> Option<f64> {
    match kind.light_form {
        LightForm::Spreading => week.dli,
        LightForm::Upright => week.upright_dli,
    }
}

/// Least and most over all spots that are compared: their plots share one scale.
struct Seen {
    light: Vec<f64>,
    /// In the grower's unit.
    warmth: Vec<f64>,
}

impl Seen {
    fn of(sight: &Sight<'_>, kind: &Kind, spots: &[&Id]) -> Self {
        let weeks: Vec<&SpotWeek> = spots
            .iter()
            .filter_map(|id| sight.outcome?.spots.get(*id))
            .flat_map(|s| s.weeks.iter())
            .collect();
        let shown = |c: f64| figures::temperature_value(sight.looking.units, c);
        Self {
            light: ends(weeks.iter().filter_map(|w| light_of(kind, w))),
            warmth: ends(
                weeks
                    .iter()
                    .filter_map(|w| w.air.as_ref())
                    .flat_map(|a| [shown(a.day_c), shown(a.night_c)]),
            ),
        }
    }
}

fn ends(values: impl Iterator<Item = f64>) -> Vec<f64> {
    let ends = values.fold(None, |e: Option<(f64, f64)>, v| {
        Some(e.map_or((v, v), |(l, h)| (l.min(v), h.max(v))))
    });
    ends.map_or_else(Vec::new, |(l, h)| vec![l, h])
}
