//! A spot: its fields, and what was computed for it.

use egui::Ui;

use crate::{
    app::{
        parts::{
            dates, figures,
            form::{object::ObjectForm, quantity::Quantity as Q},
            locale,
        },
        state::{Request, Sheet, Sight},
        theme::{self, space, text},
    },
    base::{Id, Months, names},
    pipeline::SpotOutcome,
    site::{NightCover, NightCoverKind, Reach, Site, Spot},
};

pub fn fields(form: &mut ObjectForm, ui: &mut Ui, site: &Site, o: &mut Spot) {
    form.room_or_outdoors(ui, site, &mut o.room);
    form.number(
        ui,
        "Height",
        "Foot of the pots above the floor or ground.",
        Q::Length,
        0.0..=6.0,
        &mut o.height_m,
    );
    form.number(
        ui,
        "Leaves",
        "Above the foot of the pots: where light and air are computed.",
        Q::Length,
        0.0..=3.0,
        &mut o.leaf_m,
    );
    form.section(ui, "Room for pots");
    form.count(ui, "Pots", "Side by side.", 1..=500, &mut o.holds.pots);
    form.number(
        ui,
        "of a rim of",
        "Rim diameter; no wider pot fits.",
        Q::Centimetres,
        3.0..=150.0,
        &mut o.holds.rim_cm,
    );
    form.choice(
        ui,
        "Reach",
        "How hard it is to get a pot there.",
        &mut o.reach,
        &[
            (Reach::Easy, "easy"),
            (Reach::Awkward, "awkward: a step, a corner"),
            (Reach::Stairs, "up or down stairs"),
            (Reach::Overhead, "overhead: a ladder"),
        ],
    );
    form.months(
        ui,
        "Open",
        "Months in which pots may stand here.",
        &mut o.months,
    );
    form.number(
        ui,
        "Cold hollow",
        "How much colder clear still nights are here than around.",
        Q::Difference,
        0.0..=5.0,
        &mut o.cold_hollow_k,
    );
    night_cover_ui(form, ui, &mut o.night_cover);
    form.lines(ui, "Note", &mut o.note);
}

/// Fleece or film by night.
fn night_cover_ui(form: &mut ObjectForm, ui: &mut Ui, cover: &mut Option<NightCover>) {
    let mut kind = cover.map(|c| c.kind);
    let mut all = vec![(None, "none")];
    all.extend(NightCoverKind::ALL.map(|k| (Some(k), k.word())));
    if form.choice(
        ui,
        "Frost cover",
        "Laid over the pots by night, down to the ground, and off by day. Indoors it counts in months without heating.",
        &mut kind,
        &all,
    ) {
        *cover = kind.map(|kind| NightCover {
            kind,
            months: cover.map_or(Months::ALL, |c| c.months),
        });
    }
    if let Some(cover) = cover {
        form.months(
            ui,
            "Covered in",
            "Months in which it is laid on in the evenings.",
            &mut cover.months,
        );
    }
}

/// What the computation says of the spot in the ribbon's week, with its sureness.
pub fn summary_ui(ui: &mut Ui, sight: &Sight<'_>, id: &Id) {
    let week = sight.week();
    ui.add_space(space::M);
    let ribbon = dates::long(sight.date_of(sight.looking.plan_week));
    ui.label(text::group(format!("In the week of {ribbon}")));
    let Some(known) = sight.outcome.and_then(|o| o.spots.get(id)) else {
        let words = if sight.outcome.is_none() || sight.stale {
            "Being computed"
        } else {
            "Not computed"
        };
        ui.label(text::soft(words));
        return;
    };
    light(ui, sight, known, week.index());
    air(ui, sight, known, week.index());
    if sight.stale {
        ui.label(text::caption(
            "Of the site before the last change; being computed again",
        ));
    }
}

fn row(ui: &mut Ui, name: &str, figure: Option<String>, more: &str) {
    ui.horizontal_top(|ui| {
        ui.set_min_height(22.0);
        ui.allocate_ui_with_layout(
            egui::vec2(124.0, 20.0),
            egui::Layout::left_to_right(egui::Align::Min),
            |ui| {
                ui.set_min_width(124.0);
                ui.label(text::soft(name));
            },
        );
        ui.vertical(|ui| {
            match figure {
                Some(figure) => ui.label(text::strong(figure)),
                None => ui.label(text::soft("not known")),
            };
            if !more.is_empty() {
                ui.label(text::caption(more));
            }
        });
    });
}

fn light(ui: &mut Ui, sight: &Sight<'_>, known: &SpotOutcome, week: usize) {
    let units = sight.looking.units;
    let offered = known.weeks.get(week);
    let band = offered
        .and_then(|w| w.dli_band)
        .map_or_else(String::new, |(low, high)| {
            format!(
                "8 weeks in 10 between {} and {}",
                figures::signed(low, 1),
                figures::signed(high, 1)
            )
        });
    row(
        ui,
        "Light",
        offered.and_then(|w| w.dli).map(figures::dli),
        &band,
    );
    row(
        ui,
        "Clear noon",
        offered
            .and_then(|w| w.clear_peak_ppfd)
            .map(|p| figures::brightness(units, p)),
        "",
    );
    row(
        ui,
        "Direct sun",
        offered
            .and_then(|w| w.clear_sun_h)
            .map(|h| format!("{} h on a clear day", figures::signed(h, 1))),
        "",
    );
    let c = &known.light.correction;
    let words = match c.sentences().first() {
        None => "No light readings yet: computed from the drawing alone".to_owned(),
        Some(sentence) => format!("{sentence}{}", set_aside(c.set_aside)),
    };
    ui.label(text::caption(locale::said(&words)));
}

fn air(ui: &mut Ui, sight: &Sight<'_>, known: &SpotOutcome, week: usize) {
    let units = sight.looking.units;
    let air = known.air.weeks.get(week);
    row(
        ui,
        "Nights",
        air.map(|a| figures::temperature(units, a.night_c)),
        "mean of the nightly minima",
    );
    row(
        ui,
        "Day less night",
        air.map(|a| figures::difference(units, a.day_night_k)),
        "",
    );
    row(
        ui,
        "Frost on leaves",
        air.map(|a| names::years_in(a.frost_chance(0.0))),
        "",
    );
    row(
        ui,
        "Humidity by day",
        air.map(|a| format!("{:.0} %", a.rh_day_pct)),
        "",
    );
    row(
        ui,
        "Moving air",
        air.map(|a| Q::Speed.words(a.speed_m_s, units)),
        "",
    );
    let t = theme::tokens(ui);
    if !known.air.influences.is_empty() {
        ui.add_space(space::S);
        ui.label(text::group("Through the year"));
    }
    for influence in &known.air.influences {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = space::XS;
            ui.colored_label(t.heat, "–");
            ui.label(locale::said(influence));
        });
    }
    let c = &known.air.correction;
    let words = match c.sentences(&|k| figures::difference(units, k)).first() {
        None => format!(
            "No thermometer readings yet: a night is sure to ± {}",
            figures::difference(units, c.sd_k)
        ),
        Some(sentence) => format!("{sentence}{}", set_aside(c.set_aside)),
    };
    ui.label(text::caption(words));
}

fn set_aside(count: usize) -> String {
    if count == 0 {
        String::new()
    } else {
        format!("; {count} set aside as unlikely")
    }
}

/// How many readings there are, and the way to them.
pub fn readings_ui(ui: &mut Ui, spot: &Spot, id: &Id, requests: &mut Vec<Request>) {
    ui.add_space(space::M);
    let count = spot.light.len() + spot.min_max.len() + spot.humidity.len();
    let words = match count {
        0 => "Add readings…".to_owned(),
        1 => "1 reading…".to_owned(),
        n => format!("{n} readings…"),
    };
    let help = "What a light meter, a minimum-maximum thermometer or a hygrometer said here. They correct what is computed.";
    if ui.button(words).on_hover_text(help).clicked() {
        requests.push(Request::OpenSheet(Sheet::Readings(id.clone())));
    }
    ui.add_space(space::M);
    ui.label(text::group("The spot"));
}
