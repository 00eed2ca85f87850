//! The next nights from a forecast that is typed, pasted or read from a file: which plants must come in, and what each spot
//! will read. It is kept in the site with the day on which it was told, and offered again as long as it reaches.

use std::sync::Arc;

use chrono::NaiveDate;
use egui::{Button, CollapsingHeader, ComboBox, DragValue, Grid, RichText, Sense, TextEdit, Ui};

use crate::{
    air::forecast::ForecastDay,
    app::{
        canvas::{finder::capital, latest::Latest},
        parts::{
            caution::caution_ui,
            dates, figures,
            file_choice::FileChoice,
            form::quantity::Quantity,
            icons::{Icon, quiet_icon_button_ui},
            locale,
        },
        state::{Request, Sight, Units},
        theme::{self, space, text},
    },
    base::{Id, Progress},
    care::{
        Task,
        forecast::{
            Advice, CAUTIONS, COVER_CAUTION, Outlook, PlantNight, assumed, read, read_file,
            under_words, where_to,
        },
    },
    pipeline::{Outcome, outlook},
    site::{self, Event, JournalEntry, edit::Edit},
};

/// Nights that can be typed.
const MOST_ROWS: usize = 10;
const ENDINGS: &[&str] = &["csv", "txt", "tsv"];
const SKIES: [(f64, &str); 4] = [
    (0.0, "clear"),
    (0.5, "mixed"),
    (0.8, "cloudy"),
    (1.0, "overcast"),
];

/// A night as it is being typed.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Row {
    date: NaiveDate,
    low_c: Option<f64>,
    high_c: Option<f64>,
    wind_m_s: Option<f64>,
    cloud: Option<f64>,
}

impl Row {
    fn of(date: NaiveDate) -> Self {
        Self {
            date,
            low_c: None,
            high_c: None,
            wind_m_s: None,
            cloud: None,
        }
    }

    fn told(&self) -> Option<ForecastDay> {
        Some(ForecastDay {
            date: self.date,
            night_min_c: self.low_c?,
            day_max_c: self.high_c,
            wind_m_s: self.wind_m_s,
            cloud: self.cloud,
        })
    }
}

struct Job {
    outcome: Outcome,
    days: Vec<ForecastDay>,
}

fn work(job: Job, progress: &Progress) -> Option<Outlook> {
    outlook(&job.outcome, &job.days, progress).ok()
}

pub struct Forecast {
    rows: Vec<Row>,
    pasting: bool,
    pasted: String,
    fault: Option<String>,
    latest: Latest<Job, Outlook>,
    /// What was asked last: the days, and the tasks of the outcome, which change with whatever matters here.
    asked: Option<(Vec<ForecastDay>, Arc<Vec<Task>>)>,
    shown: Option<Outlook>,
    choice: FileChoice,
    /// The site's own forecast as last seen or kept.
    kept: Option<Arc<site::Forecast>>,
}

impl Default for Forecast {
    fn default() -> Self {
        Self {
            rows: Vec::new(),
            pasting: false,
            pasted: String::new(),
            fault: None,
            latest: Latest::new("next nights", work),
            asked: None,
            shown: None,
            choice: FileChoice::default(),
            kept: None,
        }
    }
}

impl Forecast {
    pub fn show_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        ui.label(text::heading("The next nights"));
        self.follow(sight);
        self.kept_ui(ui, sight);
        if self.rows.is_empty() {
            self.rows.push(Row::of(sight.today));
        }
        self.rows_ui(ui, sight);
        self.paste_ui(ui, sight);
        self.keep(ui, sight, requests);
        self.ask(ui.ctx(), sight);
        if let Some(outlook) = self.latest.take() {
            self.shown = Some(outlook);
        }
        match (&self.shown, self.asked.is_some()) {
            (Some(outlook), true) => outlook_ui(ui, sight, outlook, requests),
            (None, true) => {
                ui.label(text::soft("Being computed"));
            }
            _ => {
                let words = if sight.outcome.is_none() {
                    "Which plants must come in is told once the site has been computed."
                } else {
                    "Type the low that is forecast for the open, and see which plants must come in."
                };
                ui.label(text::caption(words));
            }
        }
        ui.add_space(space::M);
    }

    /// Takes up what another file, an undo or an earlier day left in the site.
    fn follow(&mut self, sight: &Sight<'_>) {
        if self.kept == sight.site().forecast {
            return;
        }
        self.kept.clone_from(&sight.site().forecast);
        let days: Vec<ForecastDay> = self
            .kept
            .iter()
            .flat_map(|f| f.ahead(sight.today).copied())
            .collect();
        self.take(&days);
    }

    fn take(&mut self, days: &[ForecastDay]) {
        self.rows = days
            .iter()
            .map(|d| Row {
                date: d.date,
                low_c: Some(d.night_min_c),
                high_c: d.day_max_c,
                wind_m_s: d.wind_m_s,
                cloud: d.cloud,
            })
            .collect();
    }

    /// How old the forecast is.
    fn kept_ui(&self, ui: &mut Ui, sight: &Sight<'_>) {
        let Some(kept) = &self.kept else { return };
        let age = (sight.today - kept.told_on).num_days();
        let words = if kept.ahead(sight.today).next().is_none() {
            format!(
                "The forecast told on {} has passed.",
                dates::long(kept.told_on)
            )
        } else if age <= 0 {
            return;
        } else {
            format!(
                "Told on {}, {age} {} ago: a newer one is surer.",
                dates::long(kept.told_on),
                if age == 1 { "day" } else { "days" }
            )
        };
        ui.label(text::soft(words));
    }

    /// Keeps what was typed in the site, once the hand rests.
    fn keep(&mut self, ui: &Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        let rests = ui.memory(|m| m.focused().is_none()) && !ui.input(|i| i.pointer.any_down());
        if !rests {
            return;
        }
        // Days that have passed are not kept: what is compared must be what will be.
        let told: Vec<ForecastDay> = self
            .rows
            .iter()
            .filter_map(Row::told)
            .filter(|d| d.date >= sight.today)
            .collect();
        let ahead: Vec<ForecastDay> = self
            .kept
            .iter()
            .flat_map(|f| f.ahead(sight.today).copied())
            .collect();
        if told == ahead {
            return;
        }
        let next = (!told.is_empty()).then_some(site::Forecast {
            told_on: sight.today,
            days: told,
        });
        let step = if next.is_some() {
            "Keep the forecast"
        } else {
            "Let the forecast go"
        };
        self.kept = next.clone().map(Arc::new);
        requests.push(Request::Edit(step.to_owned(), Edit::SetForecast(next)));
    }

    fn rows_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>) {
        let units = sight.looking.units;
        let mut gone = None;
        let several = self.rows.len() > 1;
        Grid::new("nights of the forecast")
            .num_columns(6)
            .spacing(egui::vec2(space::S, space::XS))
            .show(ui, |ui| {
                for (i, row) in self.rows.iter_mut().enumerate() {
                    let night = format!("the night of {}", dates::short(row.date));
                    ui.label(text::soft(dates::short(row.date)));
                    temperature_ui(
                        ui,
                        units,
                        &format!("Low of {night}"),
                        "low",
                        5.0,
                        &mut row.low_c,
                    );
                    let above = row.low_c.map_or(12.0, |c| c + 8.0);
                    let day = format!("High of {}", dates::short(row.date));
                    temperature_ui(ui, units, &day, "high", above, &mut row.high_c);
                    wind_ui(ui, units, &format!("Wind of {night}"), &mut row.wind_m_s);
                    sky_ui(ui, &format!("Sky of {night}"), i, &mut row.cloud);
                    if several
                        && quiet_icon_button_ui(ui, Icon::Close, &format!("Delete {night}"))
                            .clicked()
                    {
                        gone = Some(i);
                    }
                    ui.end_row();
                }
            });
        if let Some(i) = gone {
            self.rows.remove(i);
        }
        ui.horizontal_wrapped(|ui| {
            let next = self.rows.last().and_then(|r| r.date.succ_opt());
            if let Some(next) = next.filter(|_| self.rows.len() < MOST_ROWS)
                && ui.button("Add a night").clicked()
            {
                self.rows.push(Row::of(next));
            }
            let words = if self.pasting {
                "Close the table"
            } else {
                "Paste or open a table…"
            };
            if ui
                .button(words)
                .on_hover_text("Several days at once, one a line: date, low, high, wind, sky.")
                .clicked()
            {
                self.pasting = !self.pasting;
                self.fault = None;
            }
            if self.rows.iter().any(|r| r.low_c.is_some()) && ui.button("Clear").clicked() {
                self.rows.clear();
                self.shown = None;
                self.asked = None;
            }
        });
    }

    fn paste_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>) {
        if !self.pasting {
            return;
        }
        ui.add(
            TextEdit::multiline(&mut self.pasted)
                .hint_text("date, low, high, wind, sky\n2026-12-05, -2, 6, 1.5, clear")
                .desired_rows(4)
                .desired_width(ui.available_width().min(420.0)),
        )
        .accessible_name("Table of the forecast");
        ui.label(text::caption(
            "°C and m/s, or name °F, km/h, mph or kn in a first line of names. The low is of the night that begins on the day.",
        ));
        if ui.button("Take the table").clicked() {
            let found = read(&self.pasted, sight.today).map_err(|e| e.to_string());
            self.taken(found, sight.today);
        }
        if let Some(path) = self
            .choice
            .ui(ui, "Forecast file", "~/forecast.csv", ENDINGS)
        {
            let found = read_file(&path, sight.today).map_err(|e| e.to_string());
            self.taken(found, sight.today);
        }
        if let Some(fault) = &self.fault {
            ui.label(RichText::new(fault).color(theme::tokens(ui).fault));
        }
    }

    fn taken(&mut self, found: Result<Vec<ForecastDay>, String>, today: NaiveDate) {
        match found.map(|days| ahead_of(days, today)) {
            Ok(days) if days.is_empty() => {
                self.fault = Some("Every night of this table has passed.".to_owned());
            }
            Ok(days) => {
                self.take(&days);
                self.pasting = false;
                self.fault = None;
            }
            Err(fault) => self.fault = Some(fault),
        }
    }

    fn ask(&mut self, ctx: &egui::Context, sight: &Sight<'_>) {
        let days: Vec<ForecastDay> = self.rows.iter().filter_map(Row::told).collect();
        let Some(outcome) = sight.outcome.filter(|_| !days.is_empty()) else {
            if days.is_empty() {
                self.asked = None;
                self.shown = None;
            }
            return;
        };
        let known = self
            .asked
            .as_ref()
            .is_some_and(|(d, tasks)| *d == days && Arc::ptr_eq(tasks, &outcome.tasks));
        if !known {
            self.asked = Some((days.clone(), Arc::clone(&outcome.tasks)));
            self.latest.ask(
                ctx,
                Job {
                    outcome: outcome.clone(),
                    days,
                },
            );
        }
    }
}

/// A temperature that need not be told.
fn temperature_ui(
    ui: &mut Ui,
    units: Units,
    name: &str,
    what: &'static str,
    start_c: f64,
    value_c: &mut Option<f64>,
) {
    let told = value_c.is_some();
    let mut shown = figures::temperature_value(units, value_c.unwrap_or(start_c));
    let unit = figures::temperature_unit(units);
    let range = figures::temperature_value(units, -45.0)..=figures::temperature_value(units, 45.0);
    let field = ui
        .add(
            DragValue::new(&mut shown)
                .range(range)
                .speed(0.2)
                .max_decimals(1)
                .custom_formatter(move |v, _| {
                    if told {
                        format!("{what} {} {unit}", figures::signed(v, 1))
                    } else {
                        format!("{what} …")
                    }
                })
                .custom_parser(number),
        )
        .accessible_name(name);
    if field.changed() {
        *value_c = Some(figures::celsius_from_value(units, shown));
    }
}

fn wind_ui(ui: &mut Ui, units: Units, name: &str, wind_m_s: &mut Option<f64>) {
    let told = wind_m_s.is_some();
    let wind = Quantity::Wind;
    let mut shown = wind.shown(wind_m_s.unwrap_or(1.0), units);
    let field = ui
        .add(
            DragValue::new(&mut shown)
                .range(0.0..=wind.shown(40.0, units))
                .speed(0.1)
                .max_decimals(1)
                .custom_formatter(move |v, _| {
                    if told {
                        format!("wind {}{}", figures::signed(v, 1), wind.unit(units))
                    } else {
                        "wind …".to_owned()
                    }
                })
                .custom_parser(number),
        )
        .on_hover_text(
            "Of the night, at 10 m as forecasts give it. Untold it counts as nearly calm.",
        )
        .accessible_name(name);
    if field.changed() {
        *wind_m_s = Some(wind.held(shown, units));
    }
}

/// The figure in what is typed, whatever words stand round it.
fn number(typed: &str) -> Option<f64> {
    typed
        .replace('\u{2212}', "-")
        .split(|c: char| !(c.is_ascii_digit() || matches!(c, '-' | '.' | ',')))
        .find_map(|part| part.replace(',', ".").parse().ok())
}

fn sky_ui(ui: &mut Ui, name: &str, index: usize, cloud: &mut Option<f64>) {
    let shown = cloud.map_or_else(
        || "sky …".to_owned(),
        |c| {
            SKIES
                .iter()
                .find(|(s, _)| (s - c).abs() < 0.02)
                .map_or_else(
                    || format!("{:.0} % cloud", 100.0 * c),
                    |(_, w)| (*w).to_owned(),
                )
        },
    );
    let chosen = ComboBox::from_id_salt(("sky", index))
        .selected_text(&shown)
        .width(92.0)
        .show_ui(ui, |ui| {
            for (cover, word) in SKIES {
                ui.selectable_value(cloud, Some(cover), word);
            }
        });
    chosen
        .response
        .on_hover_text("Untold it counts as clear.")
        .accessible_name(format!("{name}: {shown}"));
}

fn outlook_ui(ui: &mut Ui, sight: &Sight<'_>, outlook: &Outlook, requests: &mut Vec<Request>) {
    let t = theme::tokens(ui);
    let mut any = false;
    for day in &outlook.forecast {
        let of = |advice: Advice| {
            outlook
                .plants
                .iter()
                .filter(move |p| p.date == day.date && p.advice == advice)
        };
        ui.add_space(space::XS);
        ui.label(text::group(format!("Night of {}", dates::long(day.date))));
        for p in of(Advice::BringIn) {
            any = true;
            plant_ui(ui, sight, p, "Bring in", t.frost, requests);
        }
        for p in of(Advice::BeReady) {
            any = true;
            plant_ui(ui, sight, p, "Be ready for", t.ink, requests);
        }
        let staying = of(Advice::Stay).count();
        let unplaced =
            sight.site().plants.len().saturating_sub(
                staying + of(Advice::BringIn).count() + of(Advice::BeReady).count(),
            );
        let mut words = format!(
            "{staying} {} stay",
            if staying == 1 {
                "plant may"
            } else {
                "plants may"
            }
        );
        if unplaced > 0 {
            words.push_str(&format!("; of {unplaced} it is not known where they stand"));
        }
        ui.label(text::soft(words));
    }
    if any {
        caution_ui(ui, CAUTIONS);
        if outlook.plants.iter().any(|p| p.under.is_some()) {
            caution_ui(ui, COVER_CAUTION);
        }
    }
    CollapsingHeader::new("What each spot will read")
        .id_salt("spots of the forecast")
        .show(ui, |ui| spots_ui(ui, sight, outlook));
}

fn plant_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    p: &PlantNight,
    what: &str,
    colour: egui::Color32,
    requests: &mut Vec<Request>,
) {
    let units = sight.looking.units;
    let c = |v: f64| figures::temperature(units, v);
    ui.horizontal_wrapped(|ui| {
        ui.label(text::soft(what));
        let name = sight.plant_name(&p.plant);
        let button = ui.add(
            Button::new(text::strong(name.clone()).color(colour))
                .frame(false)
                .sense(Sense::click()),
        );
        if button
            .on_hover_text("Shows this plant everywhere.")
            .clicked()
        {
            requests.push(Request::ShowPlant(p.plant.clone()));
        }
        ui.label(format!("from {}", sight.spot_name(&p.spot)));
        ui.label(locale::said(&where_to(sight.site(), p)));
        if let Some(to) = &p.to {
            moved_ui(ui, sight, p, &to.spot, requests);
        }
    });
    let why = format!(
        "air {}, its leaves {}, one night in ten {} colder; {} at {}",
        c(p.air_min_c),
        c(p.leaf_min_c),
        figures::difference(units, p.margin_k),
        p.limit.word(),
        c(p.limit_c),
    );
    ui.indent("why", |ui| {
        ui.label(text::soft(why));
        let assumed = assumed(sight.site(), p);
        if !assumed.is_empty() {
            ui.label(text::soft(capital(&assumed)));
        }
        if let Some(under) = &p.under {
            ui.label(text::soft(capital(&under_words(under, &c))));
        }
        for caution in &p.cautions {
            caution_ui(ui, caution);
        }
    });
}

/// Carried in: recorded with today's date.
fn moved_ui(ui: &mut Ui, sight: &Sight<'_>, p: &PlantNight, to: &Id, requests: &mut Vec<Request>) {
    let (plant, spot) = (sight.plant_name(&p.plant), sight.spot_name(to));
    let button = ui
        .add(Button::new("Done").small())
        .on_hover_text("Records today that it was moved there.")
        .accessible_name(format!(
            "Record as done: {plant} to {spot} for the night of {}",
            dates::short(p.date)
        ));
    if button.clicked() {
        requests.push(Request::Edit(
            format!("Record “Moved” for {plant}"),
            Edit::Record(JournalEntry {
                date: sight.today,
                plant: Some(p.plant.clone()),
                event: Event::Moved(to.clone()),
                from: None,
                note: String::new(),
            }),
        ));
    }
}

fn spots_ui(ui: &mut Ui, sight: &Sight<'_>, outlook: &Outlook) {
    let units = sight.looking.units;
    let mut ids: Vec<_> = outlook.spots.iter().map(|s| &s.spot).collect();
    ids.sort();
    ids.dedup();
    Grid::new("spots by nights")
        .striped(true)
        .spacing(egui::vec2(space::L, 2.0))
        .show(ui, |ui| {
            ui.label(text::caption("Low, and what 9 nights in 10 stay above"));
            for day in &outlook.forecast {
                ui.label(text::caption(dates::short(day.date)));
            }
            ui.end_row();
            for id in ids {
                ui.label(sight.spot_name(id));
                for day in &outlook.forecast {
                    let here = outlook
                        .spots
                        .iter()
                        .find(|s| s.date == day.date && s.spot == *id);
                    ui.label(here.map_or_else(String::new, |s| {
                        format!(
                            "{} ({})",
                            figures::temperature(units, s.air_min_c),
                            figures::signed(
                                figures::temperature_value(units, s.air_min_c - s.margin_k),
                                1
                            )
                        )
                    }));
                }
                ui.end_row();
            }
        });
}
fn ahead_of(mut days: Vec<ForecastDay>, today: NaiveDate) -> Vec<ForecastDay> {
    days.retain(|d| d.date >= today);
    days
}
