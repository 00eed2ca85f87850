//! What a kind of plant needs in each stage, with the source of every figure.

use egui::{Grid, Ui};

use super::{
    kind_climate::{Climates, climate_ui},
    kind_edit::{copy_ui, edit_ui},
};
use crate::{
    app::{
        parts::{
            caution::caution_ui,
            figures::{self, signed},
            form::{Form, quantity::Quantity},
            locale,
        },
        state::{Request, Sight, Units},
        theme::{self, space, text},
    },
    base::Id,
    needs::{Band, Figure, Kind, Source, Stage, Toxicity},
};

/// A sheet narrower than this has no room for sources beside the figures, points.
const NARROW: f32 = 400.0;

pub fn kind_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    id: &Id,
    form: &mut Form,
    climates: &mut Climates,
    requests: &mut Vec<Request>,
) {
    let Some(kind) = sight.site().kind(id) else {
        return;
    };
    let units = sight.looking.units;
    let narrow = ui.available_width() < NARROW;
    ui.label(text::soft(&kind.botanical));
    if !kind.note.is_empty() {
        ui.label(locale::said(&kind.note));
    }
    poison_ui(ui, kind);
    if sight.site().kinds.contains(id) {
        // Above the fields, so that a change is seen at once.
        climate_ui(ui, sight, (id, kind), climates);
        edit_ui(ui, sight, id, kind, form, requests);
        ui.label(text::heading("What it needs"));
    } else {
        copy_ui(ui, sight, kind, requests);
        climate_ui(ui, sight, (id, kind), climates);
    }
    let now = kind
        .stage_in(sight.week(), sight.hemisphere())
        .map(|(i, _)| i);
    for (i, stage) in kind.stages.iter().enumerate() {
        ui.add_space(space::M);
        let from = sight.hemisphere().shift(stage.from.day_of_year());
        let t = theme::tokens(ui);
        egui::Frame::new()
            .fill(t.stage_colour(stage.stage))
            .corner_radius(space::CORNER)
            .inner_margin(egui::Margin::symmetric(10, 4))
            .show(ui, |ui| {
                ui.set_width(ui.available_width());
                ui.horizontal(|ui| {
                    ui.label(text::group(stage.stage.word()));
                    ui.label(format!("from {from}"));
                    if now == Some(i) {
                        ui.label("in the ribbon's week");
                    }
                });
            });
        stage_ui(ui, stage, (units, narrow), i);
    }
    ui.add_space(space::M);
    ui.label(text::group("What hurts it"));
    let damage = &kind.damage;
    Grid::new("damage").num_columns(3).show(ui, |ui| {
        for (name, figure) in [
            ("Leaves freeze at", Some(&damage.leaf_frost_c)),
            ("Buds freeze at", Some(&damage.bud_frost_c)),
            ("Roots freeze at", Some(&damage.root_frost_c)),
            ("Leaves scorch at", Some(&damage.leaf_heat_c)),
            ("Buds drop in heat from", damage.bud_heat_c.as_ref()),
            ("Roots suffer from", damage.root_heat_c.as_ref()),
            ("Bring in at", Some(&damage.bring_in_c)),
        ] {
            let Some(figure) = figure else { continue };
            ui.label(text::soft(name));
            ui.label(figures::temperature(units, figure.value));
            source_ui(ui, narrow, &figure.source);
            ui.end_row();
        }
    });
    ui.add_space(space::M);
    ui.label(text::group("Repotting"));
    ui.label(format!(
        "Every {} years, {} to {}{}",
        signed(kind.repot.every_years.value, 1),
        sight.hemisphere().shift(kind.repot.from.day_of_year()),
        sight.hemisphere().shift(kind.repot.to.day_of_year()),
        if kind.repot.medium.is_empty() {
            String::new()
        } else {
            format!(", in {}", kind.repot.medium)
        }
    ));
    source_ui(ui, false, &kind.repot.every_years.source);
    if !kind.repot.note.is_empty() {
        ui.label(text::soft(&kind.repot.note));
    }
}

fn poison_ui(ui: &mut Ui, kind: &Kind) {
    let word = |t: Toxicity| match t {
        Toxicity::NotListed => None,
        Toxicity::Mild => Some("mildly poisonous"),
        Toxicity::Serious => Some("seriously poisonous"),
    };
    let people = word(kind.poison.people).map(|w| format!("{w} to people"));
    let pets = word(kind.poison.pets).map(|w| format!("{w} to pets"));
    let both: Vec<String> = people.into_iter().chain(pets).collect();
    if !both.is_empty() {
        caution_ui(
            ui,
            &format!(
                "Listed as {}. Keep it out of reach; in doubt call a poison centre. Source: {}.",
                both.join(", "),
                kind.poison.source.text()
            ),
        );
    }
}

fn stage_ui(ui: &mut Ui, stage: &Stage, (units, narrow): (Units, bool), index: usize) {
    let n = &stage.needs;
    let temperature = |v: f64| signed(figures::temperature_value(units, v), 0);
    Grid::new(("stage", index))
        .num_columns(3)
        .spacing([space::M, space::XS])
        .show(ui, |ui| {
            row(ui, narrow, "Light of a day", &n.dli, |b| {
                between(b, |v| signed(v, 1), "mol/m²")
            });
            row(ui, narrow, "Noon light", &n.peak_ppfd, |b| {
                format!("up to {}", figures::brightness(units, b.ideal_high()))
            });
            row(ui, narrow, "Days", &n.day_c, |b| {
                between(b, temperature, figures::temperature_unit(units))
            });
            row(ui, narrow, "Nights", &n.night_c, |b| {
                between(b, temperature, figures::temperature_unit(units))
            });
            if let Some(difference) = &n.day_night_k {
                row(ui, narrow, "Day less night", difference, |b| {
                    format!("at least {}", figures::difference(units, b.ideal_low()))
                });
            }
            row(ui, narrow, "Humidity", &n.rh_pct, |b| {
                between(b, |v| signed(v, 0), "%")
            });
            if let Some(drying) = &n.vpd_kpa {
                row(ui, narrow, "Drying air", drying, |b| {
                    format!("up to {} kPa", signed(b.ideal_high(), 2))
                });
            }
            row(ui, narrow, "Moving air", &n.air_m_s, |b| {
                let speed = |v| signed(Quantity::Speed.shown(v, units), 1);
                between(b, speed, Quantity::Speed.unit(units).trim())
            });
            row(
                ui,
                narrow,
                "Days between waterings",
                &stage.water.interval_d,
                |b| format!("{} to {}", signed(b.0, 0), signed(b.1, 0)),
            );
            ui.label(text::soft("Feed"));
            ui.label(stage.feed.interval_d.map_or_else(
                || "none".to_owned(),
                |d| format!("every {} days", signed(d, 0)),
            ));
            source_ui(ui, narrow, &stage.feed.source);
            ui.end_row();
        });
    for note in [&stage.water.note, &stage.feed.note] {
        if !note.is_empty() {
            ui.label(text::soft(locale::said(note)));
        }
    }
}

fn between(b: Band, figure: impl Fn(f64) -> String, unit: &str) -> String {
    format!(
        "{} to {} {unit}",
        figure(b.ideal_low()),
        figure(b.ideal_high())
    )
}

fn row<T: Copy>(
    ui: &mut Ui,
    narrow: bool,
    name: &str,
    figure: &Figure<T>,
    words: impl Fn(T) -> String,
) {
    ui.label(text::soft(name));
    ui.label(words(figure.value));
    source_ui(ui, narrow, &figure.source);
    ui.end_row();
}

/// A short mark of the source; the whole of it when the pointer rests there.
fn source_ui(ui: &mut Ui, narrow: bool, source: &Source) {
    let full = source_words(source);
    if narrow {
        let mark = ui.label(text::caption("source")).on_hover_text(&full);
        mark.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Label, true, &full));
        return;
    }
    let short: String = if full.chars().count() > 34 {
        full.chars().take(32).collect::<String>() + "…"
    } else {
        full.clone()
    };
    ui.label(text::caption(short)).on_hover_text(full);
}

/// Where a figure is from, with what is told of it in the grower's units.
pub(super) fn source_words(source: &Source) -> String {
    locale::quoted(source.text())
}
