//! Where the site lies, its normals, and what they mean for frost and heat week by week.

use egui::Ui;

use super::{normals::normals_ui, place::PlaceSheet};
use crate::{
    app::{
        parts::{
            curves::{Curve, YearPlot, legend_ui, year_plot_ui},
            figures,
            form::{Form, group_ui, number_ui, row_ui, text_ui},
            years,
        },
        state::{Request, Sight},
        theme::{self, space, text},
    },
    base::{calendar::WEEKS, names::years_in},
    site::{Climate, edit::Edit},
};

pub fn climate_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    place: &mut PlaceSheet,
    form: &mut Form,
    requests: &mut Vec<Request>,
) {
    name_ui(ui, sight, form, requests);
    group_ui(ui, "Place");
    place.show_ui(ui, sight, form, requests);
    group_ui(ui, "Risk through the year, in the open");
    risk_ui(ui, sight);
    group_ui(ui, "Monthly normals");
    source_ui(ui, sight, form, requests);
    normals_ui(ui, sight, form, requests);
    if let Some(outcome) = sight.outcome {
        group_ui(ui, "How each figure was come by");
        for method in &outcome.weather.methods {
            ui.label(text::soft(method));
        }
    }
}

fn name_ui(ui: &mut Ui, sight: &Sight<'_>, form: &mut Form, requests: &mut Vec<Request>) {
    let mut name = sight.site().name.clone();
    row_ui(ui, "Name of the site", |ui| {
        let r = text_ui(ui, "Name of the site", &mut name);
        form.watch(&r, "Name the site", requests);
        if r.changed() {
            requests.push(Request::Edit(
                "Name the site".to_owned(),
                Edit::SetName(name),
            ));
        }
    });
}

fn source_ui(ui: &mut Ui, sight: &Sight<'_>, form: &mut Form, requests: &mut Vec<Request>) {
    let old = &sight.site().climate;
    let mut next = Climate::clone(old);
    let step = "Change the climate";
    row_ui(ui, "Source", |ui| {
        let r = text_ui(ui, "Source", &mut next.source);
        form.watch(&r, step, requests);
    });
    row_ui(ui, "Coldest on record", |ui| match &mut next.record_low_c {
        Some(low) => {
            let units = sight.looking.units;
            let mut shown = figures::temperature_value(units, *low);
            let unit = figures::temperature_unit(units);
            let r = number_ui(ui, "Coldest on record", &mut shown, -80.0..=80.0, 0.1, unit);
            form.watch(&r, step, requests);
            if r.changed() {
                *low = figures::celsius_from_value(units, shown);
            }
        }
        None => {
            if ui
                .button("Not known; type it")
                .on_hover_text(
                    "The coldest night you remember or find on record sharpens the frost risk.",
                )
                .clicked()
            {
                next.record_low_c = Some(-5.0);
            }
        }
    });
    if next != **old {
        requests.push(Request::Edit(step.to_owned(), Edit::SetClimate(next)));
    }
}

fn risk_ui(ui: &mut Ui, sight: &Sight<'_>) {
    let t = theme::tokens(ui);
    let Some(outcome) = sight.outcome else {
        ui.label(text::soft("Being worked out."));
        return;
    };
    let weather = &outcome.weather.years;
    let limit = sight
        .plant()
        .and_then(|(_, p)| sight.site().kind(&p.kind))
        .map(|k| k.damage.bring_in_c.value);
    let share = |limit: f64| -> Vec<Option<f64>> {
        (0..WEEKS)
            .map(|w| {
                years::cold_night_share(weather, sight.calendar_week(w), limit).map(|s| s * 100.0)
            })
            .collect()
    };
    let mut curves = vec![Curve {
        name: "frost in the open",
        values: share(0.0),
        colour: t.frost,
        dashed: false,
    }];
    let mut legend = vec![("frost in the open", t.frost, false)];
    if let Some(limit) = limit {
        curves.push(Curve {
            name: "a night to bring it in",
            values: share(limit),
            colour: t.accent,
            dashed: true,
        });
        legend.push(("a night to bring the plant in", t.accent, true));
    }
    ui.label(text::caption(
        "Share of years with such a night in the week, %",
    ));
    year_plot_ui(
        ui,
        sight,
        &YearPlot {
            name: "Risk through the year",
            unit: "% of years",
            height: 130.0,
            curves: &curves,
            wanted: &[],
            include: &[],
        },
    );
    legend_ui(ui, &legend);
    if let Some(share) = years::cold_night_share(weather, sight.week(), 0.0) {
        ui.label(format!(
            "In the ribbon's week frost comes {}.",
            years_in(share)
        ));
    }
    ui.add_space(space::XS);
}
