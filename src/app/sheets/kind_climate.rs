//! A kind's ranges drawn against the climate of the open: light, days and nights through the year.

use egui::Ui;

use crate::{
    app::{
        parts::{
            curves::{Curve, Wanted, YearPlot, year_plot_ui},
            figures,
            kept::{Kept, Same},
            weeks,
        },
        state::Sight,
        theme::{self, space, text},
    },
    base::{Hemisphere, Id, Table, calendar::WEEKS},
    climate::Weather,
    needs::{Band, Kind},
    prospects::{AgainstClimate, Open, OpenFactor, against_climate},
};

/// A kind against the climate, and what that follows from: the kind, the site's own kinds, weather, hemisphere.
pub type Climates = Kept<(Id, Table<Kind>, Same<Weather>, Hemisphere), AgainstClimate>;

pub fn climate_ui(ui: &mut Ui, sight: &Sight<'_>, (id, kind): (&Id, &Kind), kept: &mut Climates) {
    let Some(outcome) = sight.outcome else { return };
    let t = theme::tokens(ui);
    let of = (
        id.clone(),
        sight.site().kinds.clone(),
        Same::of(&outcome.weather),
        sight.hemisphere(),
    );
    let found = kept.get(of, || {
        against_climate(kind, &outcome.weather, sight.hemisphere())
    });
    let of_plan: Vec<Option<&Open>> = (0..WEEKS)
        .map(|w| found.weeks.get(sight.calendar_week(w).index()))
        .collect();
    ui.add_space(space::M);
    ui.label(text::group("In the open here"));
    ui.label(text::caption(
        "The line is the open air and sky of this place in a typical year. Shaded between solid edges: as wanted in the \
         stage; dotted edges: harm begins.",
    ));
    for factor in OpenFactor::ALL {
        let (head, unit, colour) = match factor {
            OpenFactor::Light => ("Light of a day", "mol/m²", t.sunlight),
            OpenFactor::Days => (
                "Air by day",
                figures::temperature_unit(sight.looking.units),
                t.heat,
            ),
            OpenFactor::Nights => (
                "Night minimum",
                figures::temperature_unit(sight.looking.units),
                t.frost,
            ),
        };
        let shown = |v: f64| match factor {
            OpenFactor::Light => v,
            _ => figures::temperature_value(sight.looking.units, v),
        };
        ui.add_space(space::S);
        ui.label(found.told(kind, factor));
        ui.label(text::caption(format!("{head}, {unit}")));
        year_plot_ui(
            ui,
            sight,
            &YearPlot {
                name: &format!("{head} in the open against {}", kind.name),
                unit,
                height: 130.0,
                curves: &[Curve {
                    name: "in the open",
                    values: of_plan
                        .iter()
                        .map(|w| w.map(|w| shown(w.of(factor))))
                        .collect(),
                    colour: t.ink,
                    dashed: false,
                }],
                swaths: &[],
                wanted: &wanted(kind, &of_plan, factor, &shown, colour),
                include: &[],
            },
        );
    }
}

/// What the kind wants in each stage of the plan's year.
fn wanted(
    kind: &Kind,
    of_plan: &[Option<&Open>],
    factor: OpenFactor,
    shown: &impl Fn(f64) -> f64,
    colour: egui::Color32,
) -> Vec<Wanted> {
    let places: Vec<Option<usize>> = of_plan.iter().map(|w| w.map(|w| w.stage_place)).collect();
    weeks::runs(&places)
        .into_iter()
        .filter_map(|(place, from, weeks)| {
            let stage = kind.stages.get(place?)?;
            let Band(a, b, c, d) = factor.wanted(&stage.needs);
            Some(Wanted {
                from,
                weeks,
                band: Band(shown(a), shown(b), shown(c), shown(d)),
                colour,
                named: Some(stage.stage.word()),
            })
        })
        .collect()
}
