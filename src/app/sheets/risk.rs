//! Nights, days, frost and heat through the year in the open, as curves with bands and in words.

use std::sync::Arc;

use egui::Ui;

use crate::{
    app::{
        parts::{
            curves::{Curve, Swath, YearPlot, legend_ui, year_plot_ui},
            figures,
        },
        state::Sight,
        theme::{self, space, text},
    },
    base::{Day, calendar::WEEKS, names::years_in},
    climate::{Weather, risks::Risks},
};

/// Nights above this count as hot where no plant is chosen, °C; the tropical night of weather services.
const HOT_NIGHT_C: f64 = 20.0;

/// Risks of the weather last seen.
#[derive(Default)]
pub struct RiskPart {
    kept: Option<(Arc<Weather>, Risks)>,
}

impl RiskPart {
    pub fn show_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>) {
        let Some(outcome) = sight.outcome else {
            ui.label(text::soft("Being worked out."));
            return;
        };
        let fresh = |kept: &(Arc<Weather>, Risks)| Arc::ptr_eq(&kept.0, &outcome.weather);
        if !self.kept.as_ref().is_some_and(fresh) {
            let risks = Risks::of(&outcome.weather.years, 0.0, HOT_NIGHT_C);
            self.kept = Some((Arc::clone(&outcome.weather), risks));
        }
        let Some((weather, risks)) = &self.kept else {
            return;
        };
        course_ui(ui, sight, risks);
        chances_ui(ui, sight, weather, risks);
        words_ui(ui, sight, risks);
        ui.add_space(space::XS);
    }
}

/// Usual nights and days, and the band in which eight in ten lie.
fn course_ui(ui: &mut Ui, sight: &Sight<'_>, risks: &Risks) {
    let t = theme::tokens(ui);
    let units = sight.looking.units;
    let of = |pick: fn(&crate::climate::risks::WeekRisk) -> Option<f64>| -> Vec<Option<f64>> {
        (0..WEEKS)
            .map(|w| {
                let week = risks.weeks.get(sight.calendar_week(w).index())?;
                pick(week).map(|c| figures::temperature_value(units, c))
            })
            .collect()
    };
    let curve = |name, values, colour| Curve {
        name,
        values,
        colour,
        dashed: false,
    };
    ui.label(text::caption(format!(
        "Nights and days in the open, {}; eight in ten lie in the band",
        figures::temperature_unit(units)
    )));
    year_plot_ui(
        ui,
        sight,
        &YearPlot {
            name: "Nights and days through the year",
            unit: figures::temperature_unit(units),
            height: 150.0,
            curves: &[
                curve("usual night", of(|w| w.night_p50_c), t.frost),
                curve("usual day", of(|w| w.day_p50_c), t.heat),
            ],
            swaths: &[
                Swath {
                    low: of(|w| w.night_p10_c),
                    high: of(|w| w.night_p90_c),
                    colour: t.frost,
                },
                Swath {
                    low: of(|w| w.day_p10_c),
                    high: of(|w| w.day_p90_c),
                    colour: t.heat,
                },
            ],
            wanted: &[],
            include: &[],
        },
    );
    legend_ui(
        ui,
        &[
            ("usual night", t.frost, false),
            ("usual day", t.heat, false),
        ],
    );
}

fn chances_ui(ui: &mut Ui, sight: &Sight<'_>, weather: &Weather, risks: &Risks) {
    let t = theme::tokens(ui);
    let limit = sight
        .plant()
        .and_then(|(_, p)| sight.site().kind(&p.kind))
        .map(|k| k.damage.bring_in_c.value);
    let of = |share: &dyn Fn(crate::base::Week) -> Option<f64>| -> Vec<Option<f64>> {
        (0..WEEKS)
            .map(|w| share(sight.calendar_week(w)).map(|s| s * 100.0))
            .collect()
    };
    let in_week = |w: crate::base::Week| risks.weeks.get(w.index());
    let mut curves = vec![
        Curve {
            name: "frost in the open",
            values: of(&|w| in_week(w)?.frost_chance),
            colour: t.frost,
            dashed: false,
        },
        Curve {
            name: "hot nights",
            values: of(&|w| in_week(w)?.hot_nights_chance),
            colour: t.warm_night,
            dashed: false,
        },
    ];
    let hot = format!(
        "nights above {}",
        figures::temperature(sight.looking.units, HOT_NIGHT_C)
    );
    let mut legend = vec![
        ("frost in the open", t.frost, false),
        (hot.as_str(), t.warm_night, false),
    ];
    if let Some(limit) = limit {
        curves.push(Curve {
            name: "a night to bring it in",
            values: of(&|w| weather.years.cold_week_share(w, limit)),
            colour: t.accent,
            dashed: true,
        });
        legend.push(("a night to bring the plant in", t.accent, true));
    }
    ui.add_space(space::S);
    ui.label(text::caption("Share of years with it in the week, %"));
    year_plot_ui(
        ui,
        sight,
        &YearPlot {
            name: "Risk through the year",
            unit: "% of years",
            height: 130.0,
            curves: &curves,
            swaths: &[],
            wanted: &[],
            include: &[],
        },
    );
    legend_ui(ui, &legend);
}

fn words_ui(ui: &mut Ui, sight: &Sight<'_>, risks: &Risks) {
    let units = sight.looking.units;
    if let Some(share) = risks
        .weeks
        .get(sight.week().index())
        .and_then(|w| w.frost_chance)
    {
        ui.label(format!(
            "In the ribbon's week frost comes {}.",
            years_in(share)
        ));
    }
    let dates = |pick: fn(&crate::climate::risks::FrostDates) -> Option<usize>| -> Vec<String> {
        risks
            .frost_dates
            .iter()
            .filter(|d| d.chance < 0.6)
            .filter_map(|d| Some(format!("{} {}", Day::new(pick(d)?), years_in(d.chance))))
            .collect()
    };
    let (first, last) = (dates(|d| d.first_day), dates(|d| d.last_day));
    if first.is_empty() {
        ui.label("Frost is too rare for dates; that does not rule it out.");
    } else {
        ui.label(format!("First frost by {}.", first.join(", by ")));
        ui.label(format!(
            "Frost still comes after {}.",
            last.join(", after ")
        ));
    }
    ui.label(format!(
        "{:.0} nights of frost and {:.0} above {} in a usual year.",
        risks.frost_nights_a_year,
        risks.hot_nights_a_year,
        figures::temperature(units, HOT_NIGHT_C)
    ));
    let told =
        |c: Option<f64>| c.map_or_else(|| "unknown".to_owned(), |c| figures::temperature(units, c));
    ui.label(format!(
        "The coldest night is {} every other year and {} one year in ten; the coldest week has nights of {} and {}.",
        told(risks.coldest_night.every_other_c),
        told(risks.coldest_night.one_in_ten_c),
        told(risks.coldest_7_nights.every_other_c),
        told(risks.coldest_7_nights.one_in_ten_c)
    ));
}
