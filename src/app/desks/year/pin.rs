//! Keeps a plant on a spot for a span of days, or lets it go again.

use chrono::{Days, NaiveDate};
use egui::Ui;

use crate::{
    app::{
        parts::{
            dates::{self, date_field_ui},
            figures,
            form::row_ui,
            question::question_ui,
            score::chip_ui,
            weeks::PlantWeek,
        },
        state::{Request, Sight},
        theme::{self, space, text},
    },
    base::Id,
    planner::{Alternative, Plan},
    site::{Choices, Pin, edit::Edit},
};

pub struct PinForm {
    plant: Id,
    spot: Id,
    from: NaiveDate,
    to: NaiveDate,
    /// The pin this form was opened on.
    was: Option<Pin>,
    /// What each spot would cost in the first week, for the week it was worked out for.
    costs: Option<(usize, Vec<Alternative>)>,
}

impl PinForm {
    /// For the stay that covers a week.
    pub fn for_stay(
        sight: &Sight<'_>,
        plant: &Id,
        week: usize,
        year: &[PlantWeek<'_>],
    ) -> Option<Self> {
        let here = year.get(week)?;
        let same = |w: &PlantWeek<'_>| w.spot == here.spot && w.pinned == here.pinned;
        let before = year
            .get(..week)?
            .iter()
            .rev()
            .take_while(|w| same(w))
            .count();
        let after = year.get(week + 1..)?.iter().take_while(|w| same(w)).count();
        Self::for_weeks(sight, plant, week - before, week + after, year)
    }

    /// For a span of weeks, both included.
    pub fn for_weeks(
        sight: &Sight<'_>,
        plant: &Id,
        first: usize,
        last: usize,
        year: &[PlantWeek<'_>],
    ) -> Option<Self> {
        let (from, to) = (sight.date_of(first), sight.date_of(last) + Days::new(6));
        let pins = &sight.site().choices.pins;
        let was = pins
            .iter()
            .find(|p| p.plant == *plant && p.from <= to && p.to >= from)
            .cloned();
        let spot = was
            .as_ref()
            .map(|p| p.spot.clone())
            .or_else(|| year.get(first).and_then(|w| w.spot).cloned())
            .or_else(|| sight.site().spots.ids().next().cloned())?;
        let (from, to) = was.as_ref().map_or((from, to), |p| (p.from, p.to));
        Some(Self {
            plant: plant.clone(),
            spot,
            from,
            to,
            was,
            costs: None,
        })
    }

    /// Shows the form; false once it is done with.
    pub fn show_ui(
        &mut self,
        ui: &Ui,
        sight: &Sight<'_>,
        plan: &Plan,
        requests: &mut Vec<Request>,
    ) -> bool {
        let mut stay = true;
        let modal = question_ui(ui.ctx(), "pin", 460.0, |ui| {
            ui.label(text::heading(format!(
                "Keep {} somewhere",
                sight.plant_name(&self.plant)
            )));
            ui.add_space(space::XS);
            row_ui(ui, "Spot", |ui| self.spot_ui(ui, sight, plan));
            row_ui(ui, "First day", |ui| {
                if let (_, Some(day)) = date_field_ui(ui, "First day", self.from) {
                    self.from = day;
                }
            });
            row_ui(ui, "Last day", |ui| {
                if let (_, Some(day)) = date_field_ui(ui, "Last day", self.to) {
                    self.to = day;
                }
            });
            self.cost_ui(ui, sight, plan);
            ui.add_space(space::M);
            ui.horizontal(|ui| {
                let t = theme::tokens(ui);
                let pin =
                    egui::Button::new(egui::RichText::new("Pin").color(t.on_accent)).fill(t.accent);
                if ui
                    .add_enabled(self.from <= self.to, pin)
                    .on_disabled_hover_text("The last day lies before the first")
                    .clicked()
                {
                    requests.push(self.pinned(sight));
                    stay = false;
                }
                if self.was.is_some() && ui.button("Delete the pin").clicked() {
                    requests.push(self.unpinned(sight));
                    stay = false;
                }
                if ui.button("Cancel").clicked() {
                    stay = false;
                }
            });
        });
        stay && !modal.should_close()
    }

    fn spot_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, plan: &Plan) {
        let week = sight.plan_week_of(self.from).unwrap_or(0);
        if self.costs.as_ref().is_none_or(|(w, _)| *w != week) {
            self.costs = Some((week, plan.alternatives(&self.plant, week)));
        }
        let costs = self.costs.iter().flat_map(|(_, c)| c).collect::<Vec<_>>();
        let mut chosen = None;
        let shown = sight.spot_name(&self.spot);
        let inner = egui::ComboBox::from_id_salt("pin spot")
            .selected_text(&shown)
            .width(250.0)
            .show_ui(ui, |ui| {
                for id in sight.site().spots.ids() {
                    let cost = costs.iter().find(|a| a.spot == *id);
                    let note = match cost {
                        Some(a) if a.planned => "as planned".to_owned(),
                        Some(a) => a.loss.map_or_else(
                            || "does not fit".to_owned(),
                            |l| format!("costs {}", figures::signed(l, 1)),
                        ),
                        None => String::new(),
                    };
                    let button = egui::Button::selectable(self.spot == *id, sight.spot_name(id))
                        .right_text(text::caption(note));
                    if ui.add(button).clicked() {
                        chosen = Some(id.clone());
                    }
                }
            });
        inner.response.accessible_name(format!("Spot: {shown}"));
        if let Some(spot) = chosen {
            self.spot = spot;
        }
    }

    /// What it costs in these weeks, as far as it can be said before planning anew.
    fn cost_ui(&self, ui: &mut Ui, sight: &Sight<'_>, plan: &Plan) {
        if self.from > self.to {
            ui.label(text::soft("The last day comes before the first."));
            return;
        }
        let first = sight.plan_week_of(self.from).unwrap_or(0);
        let last = sight.plan_week_of(self.to).unwrap_or(51);
        let mean = |spot: &dyn Fn(usize) -> Option<Id>| {
            super::super::fit::mean((first..=last).map(|w| {
                sight
                    .score(&self.plant, &spot(w)?, sight.calendar_week(w))
                    .and_then(|s| s.points)
            }))
        };
        let there = mean(&|_| Some(self.spot.clone()));
        let planned = mean(&|w| plan.spot_of(&self.plant, w).cloned());
        ui.add_space(space::S);
        ui.horizontal(|ui| {
            ui.label(text::soft("Mean score there"));
            chip_ui(ui, there);
            ui.label(text::soft("as planned"));
            chip_ui(ui, planned);
        });
        let loss = self
            .costs
            .iter()
            .flat_map(|(_, c)| c)
            .find(|a| a.spot == self.spot);
        match loss {
            Some(a) if a.loss.is_none() => {
                ui.label(text::soft(format!(
                    "In the week of {} it may not stand there: the pot does not fit, or the spot is closed.",
                    dates::short(self.from)
                )));
            }
            Some(a) if !a.planned => {
                ui.label(text::soft(format!(
                    "Being there in the first week costs the whole plan about {} score-weeks.",
                    figures::signed(a.loss.unwrap_or(0.0), 1)
                )));
            }
            _ => {}
        }
    }

    fn without(&self, sight: &Sight<'_>) -> Choices {
        let mut choices = Choices::clone(&sight.site().choices);
        if let Some(was) = &self.was {
            choices.pins.retain(|p| p != was);
        }
        choices
    }

    fn pinned(&self, sight: &Sight<'_>) -> Request {
        let mut choices = self.without(sight);
        choices.pin(Pin {
            plant: self.plant.clone(),
            spot: self.spot.clone(),
            from: self.from,
            to: self.to,
        });
        Request::Edit(
            format!("Pin {}", sight.plant_name(&self.plant)),
            Edit::SetChoices(choices),
        )
    }

    fn unpinned(&self, sight: &Sight<'_>) -> Request {
        Request::Edit(
            format!("Unpin {}", sight.plant_name(&self.plant)),
            Edit::SetChoices(self.without(sight)),
        )
    }
}
