//! Compares spots for a plant and plants for a spot, through seasons and weeks.

mod bloom;
mod cloth;
mod compare;
mod cooler;
mod hours;
mod period;
mod sort;
mod table;

use chrono::NaiveDate;
use egui::{Frame, Margin, ScrollArea, Ui};

use crate::{
    app::{
        parts::{
            empty::{awaited_ui, empty_ui, steps_button_ui},
            kept::{Kept, Same},
            locale::{self, Locale},
            tabs::tab_ui,
        },
        state::{Request, Sight},
        theme::{space, text},
    },
    base::{Hemisphere, Id, Table},
    needs::Kind,
    planner::Plan,
    scoring::{BloomPlace, Scores},
    site::{Plant, Spot},
};
use period::Period;
pub(super) use period::mean;
use sort::Sort;
use table::Line;

/// Below this height of the window list and comparison take turns, points: side by side neither would be seen.
const LEAST_FOR_BOTH: f32 = 700.0;
/// Width of the choice of weeks, points.
const PERIOD_WIDTH: f32 = 140.0;
/// Room of the button that shows the comparison, points, and height of its row.
const SHOW_WIDTH: f32 = 172.0;
const TITLE_ROW: f32 = 38.0;
/// Height of the row of choices, points.
const ROW: f32 = 34.0;

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Asked {
    #[default]
    SpotsForPlant,
    PlantsForSpot,
    /// Where a plant should bud and bloom.
    BloomPlace,
    ClothForSpot,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Where {
    #[default]
    Anywhere,
    Outdoors,
    Indoors,
}

impl Where {
    fn has(self, sight: &Sight<'_>, spot: &Id) -> bool {
        let indoors = sight
            .site()
            .spots
            .get(spot)
            .is_some_and(|s| s.room.is_some());
        match self {
            Self::Anywhere => true,
            Self::Outdoors => !indoors,
            Self::Indoors => indoors,
        }
    }
}

#[derive(Default)]
pub struct FitDesk {
    asked: Asked,
    period: Period,
    place: Where,
    sort: Sort,
    /// The second of the two spots side by side; the first is [`crate::app::state::Looking::spot`].
    other: Option<Id>,
    /// In a low window: the comparison is shown, not the list.
    facing: bool,
    cooler: cooler::Cooler,
    cloth: cloth::Chooser,
    lines: Kept<Ranked, Vec<Line>>,
    places: Kept<Ranked, Vec<BloomPlace>>,
}

/// A plant, and the spot or two that it is compared on.
type Compared = (Id, Id, Option<Id>);

/// What the ranking follows from.
#[derive(PartialEq)]
struct Ranked {
    scores: Same<Scores>,
    plan: Option<Same<Plan>>,
    spots: Table<Spot>,
    plants: Table<Plant>,
    kinds: Table<Kind>,
    plant: Option<Id>,
    spot: Option<Id>,
    from: NaiveDate,
    week: usize,
    hemisphere: Hemisphere,
    asked: Asked,
    period: Period,
    place: Where,
    sort: Sort,
    /// Lines hold words with figures in them.
    locale: Locale,
}

impl FitDesk {
    pub fn show_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        let Some(_) = sight.outcome else {
            awaited_ui(
                ui,
                sight,
                "Being worked out",
                "As soon as light and air are computed, every spot is compared here for every plant.",
            );
            return;
        };
        let site = sight.site();
        if site.plants.is_empty() || site.spots.is_empty() {
            empty_ui(
                ui,
                "Nothing to compare yet",
                "Draw spots on the Site desk and add plants to the collection. Then each spot is \
                 scored for each plant in every week of the year.",
            );
            steps_button_ui(ui, requests);
            return;
        }
        Frame::new()
            .inner_margin(Margin::symmetric(24, 16))
            .show(ui, |ui| {
                let compared = self.compared(sight);
                let low = ui.ctx().content_rect().height() < LEAST_FOR_BOTH;
                if low
                    && self.facing
                    && let Some(compared) = &compared
                {
                    if self.back_ui(ui, sight, compared) {
                        self.facing = false;
                        ui.ctx().request_repaint();
                    }
                    self.compare_ui(ui, sight, compared, requests);
                    return;
                }
                self.head_ui(ui, sight, low.then_some(compared.is_some()), requests);
                if self.asked == Asked::ClothForSpot {
                    let spot = self.spot(sight);
                    self.cloth.show_ui(ui, sight, spot.as_ref(), requests);
                    return;
                }
                let height = ui.available_height();
                let table_height = if compared.is_some() && !low {
                    (height * 0.42).max(150.0)
                } else {
                    height
                };
                ui.allocate_ui(egui::vec2(ui.available_width(), table_height), |ui| {
                    ScrollArea::vertical()
                        .id_salt("fit lines")
                        .auto_shrink([false, true])
                        .show(ui, |ui| {
                            ui.set_width(ui.available_width() - space::M);
                            let picked = self.ranked_ui(ui, sight);
                            if let Some(id) = picked {
                                self.pick(sight, &id, requests);
                                // A single spot for a plant waits for the second; all else is shown at once.
                                self.facing =
                                    self.asked != Asked::SpotsForPlant || self.other.is_some();
                            }
                        });
                });
                if let Some(compared) = compared.filter(|_| !low) {
                    ui.add_space(space::S);
                    ui.separator();
                    self.compare_ui(ui, sight, &compared, requests);
                }
            });
    }

    /// The way back from a comparison that has taken the list's place. Returns whether it was taken.
    fn back_ui(&self, ui: &mut Ui, sight: &Sight<'_>, (plant, first, second): &Compared) -> bool {
        ui.horizontal(|ui| {
            let back = ui.button("Back to the list").clicked();
            let mut words = format!("{}: {}", sight.plant_name(plant), sight.spot_name(first));
            if let Some(second) = second {
                words.push_str(" and ");
                words.push_str(&sight.spot_name(second));
            }
            ui.add(egui::Label::new(text::heading(words)).truncate());
            back
        })
        .inner
    }

    fn compare_ui(
        &mut self,
        ui: &mut Ui,
        sight: &Sight<'_>,
        (plant, first, second): &Compared,
        requests: &mut Vec<Request>,
    ) {
        compare::compare_ui(
            ui,
            sight,
            (plant, self.period),
            (first, second.as_ref()),
            &mut self.cooler,
            requests,
        );
    }

    /// What is ranked: lines of the table, or places to bloom. Returns the one that was picked.
    fn ranked_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>) -> Option<Id> {
        let of = self.ranked(sight)?;
        if self.asked == Asked::BloomPlace {
            let mut kept = std::mem::take(&mut self.places);
            let places = kept.get(of, || self.worked_out_places(sight));
            let picked = bloom::places_ui(ui, sight, places, |id| self.is_marked(sight, id));
            self.places = kept;
            return picked;
        }
        let mut kept = std::mem::take(&mut self.lines);
        let lines = kept.get(of, || self.worked_out_lines(sight));
        let marked = |id: &Id| self.is_marked(sight, id);
        let (picked, sort) = table::table_ui(ui, sight, self.period, lines, self.sort, marked);
        self.lines = kept;
        self.sort = sort;
        picked
    }

    fn ranked(&self, sight: &Sight<'_>) -> Option<Ranked> {
        let site = sight.site();
        let outcome = sight.outcome?;
        Some(Ranked {
            scores: Same::of(&outcome.scores),
            plan: outcome.plan.as_ref().ok().map(Same::of),
            spots: site.spots.clone(),
            plants: site.plants.clone(),
            kinds: site.kinds.clone(),
            plant: sight.looking.plant.clone(),
            spot: self.spot(sight),
            from: sight.plan_from(),
            week: sight.looking.plan_week,
            hemisphere: sight.hemisphere(),
            asked: self.asked,
            period: self.period,
            place: self.place,
            sort: self.sort,
            locale: locale::here(),
        })
    }

    fn worked_out_places(&self, sight: &Sight<'_>) -> Vec<BloomPlace> {
        let (Some((plant, _)), Some(outcome)) = (sight.plant(), sight.outcome) else {
            return Vec::new();
        };
        let among = |id: &Id| self.place.has(sight, id);
        let mut places = outcome.scores.bloom_places(plant, among);
        // Stable: among those that fit and those that do not, the best stays first.
        places.sort_by_key(|p| sight.site().misfit(plant, &p.spot).is_some());
        places
    }

    /// `chosen` is whether there is something to compare, in a window where the comparison takes the list's place. Its
    /// button is always there, or the lines would move under the pointer at the first click.
    fn head_ui(
        &mut self,
        ui: &mut Ui,
        sight: &Sight<'_>,
        chosen: Option<bool>,
        requests: &mut Vec<Request>,
    ) {
        ui.horizontal(|ui| {
            let title = match self.asked {
                Asked::SpotsForPlant => {
                    let name = sight.plant().map(|(id, _)| sight.plant_name(id));
                    format!("Spots for {}", name.unwrap_or_default())
                }
                Asked::BloomPlace => {
                    let name = sight.plant().map(|(id, _)| sight.plant_name(id));
                    format!("A place to bloom for {}", name.unwrap_or_default())
                }
                Asked::PlantsForSpot => {
                    let name = self.spot(sight).map(|id| sight.spot_name(&id));
                    format!("Plants for {}", name.unwrap_or_default())
                }
                Asked::ClothForSpot => {
                    let name = self.spot(sight).map(|id| sight.spot_name(&id));
                    format!("A cloth over {}", name.unwrap_or_default())
                }
            };
            let row = ui.available_rect_before_wrap();
            if let Some(any) = chosen.filter(|_| self.asked != Asked::ClothForSpot) {
                let place = egui::Rect::from_min_max(
                    egui::pos2((row.right() - SHOW_WIDTH).max(row.left()), row.top()),
                    egui::pos2(row.right(), row.top() + TITLE_ROW),
                );
                ui.set_max_width(row.width() - SHOW_WIDTH - space::S);
                let button = egui::Button::new("Show what is chosen");
                let mut inside = ui.new_child(
                    egui::UiBuilder::new()
                        .max_rect(place)
                        .layout(egui::Layout::right_to_left(egui::Align::Center)),
                );
                if inside
                    .add_enabled(any, button)
                    .on_disabled_hover_text("Nothing is chosen in the list yet")
                    .clicked()
                {
                    self.facing = true;
                }
            }
            ui.add(egui::Label::new(text::title(title)).truncate());
            let hint = match self.asked {
                Asked::SpotsForPlant => "Click one spot, then another, to lay them side by side.",
                Asked::PlantsForSpot => "Click a plant to see its year on this spot.",
                Asked::BloomPlace => "By the weeks of bud and bloom and by the worst of them.",
                Asked::ClothForSpot => "Click a percentage to see the light under it.",
            };
            ui.add(egui::Label::new(text::caption(hint)).truncate());
        });
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 0.0;
            for (asked, word) in [
                (Asked::SpotsForPlant, "Spots for a plant"),
                (Asked::PlantsForSpot, "Plants for a spot"),
                (Asked::BloomPlace, "Where should it bloom?"),
                (Asked::ClothForSpot, "A cloth for a spot"),
            ] {
                if tab_ui(ui, self.asked == asked, word, text::BODY).clicked() {
                    self.asked = asked;
                    // Buds are carried in to be seen; the open is a click away.
                    self.place = if asked == Asked::BloomPlace {
                        Where::Indoors
                    } else {
                        Where::Anywhere
                    };
                }
            }
            ui.add_space(space::L);
            if matches!(self.asked, Asked::SpotsForPlant | Asked::BloomPlace) {
                for (place, word) in [
                    (Where::Anywhere, "Anywhere"),
                    (Where::Outdoors, "Outdoors"),
                    (Where::Indoors, "Indoors"),
                ] {
                    if tab_ui(ui, self.place == place, word, text::BODY).clicked() {
                        self.place = place;
                    }
                }
            } else {
                self.spot_chooser_ui(ui, sight, requests);
            }
            if matches!(self.asked, Asked::ClothForSpot | Asked::BloomPlace) {
                return;
            }
            ui.add_space(space::L);
            self.period_ui(ui, sight);
        });
        ui.add_space(space::XS);
    }

    fn period_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>) {
        ui.spacing_mut().item_spacing.x = space::S;
        // The words and their choice stay together.
        if ui.available_size_before_wrap().x < 2.0 * PERIOD_WIDTH {
            ui.end_row();
        }
        ui.horizontal(|ui| {
            ui.set_min_height(ROW);
            ui.add(egui::Label::new(text::soft("Ranked by")).extend());
            let inner = egui::ComboBox::from_id_salt("period")
                .selected_text(self.period.name())
                .width(PERIOD_WIDTH)
                .show_ui(ui, |ui| {
                    for period in Period::offered(sight) {
                        ui.selectable_value(&mut self.period, period, period.name());
                    }
                });
            inner
                .response
                .accessible_name(format!("Ranked by: {}", self.period.name()));
        });
    }

    fn spot_chooser_ui(&self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        let chosen = self.spot(sight);
        let name = chosen
            .as_ref()
            .map_or_else(String::new, |s| sight.spot_name(s));
        let inner = egui::ComboBox::from_id_salt("fit spot")
            .selected_text(&name)
            .width(180.0)
            .show_ui(ui, |ui| {
                for id in sight.site().spots.ids() {
                    if ui
                        .selectable_label(chosen.as_ref() == Some(id), sight.spot_name(id))
                        .clicked()
                    {
                        requests.push(Request::ShowSpot(id.clone()));
                    }
                }
            });
        inner.response.accessible_name(format!("Spot: {name}"));
    }

    /// The spot that plants are asked for.
    fn spot(&self, sight: &Sight<'_>) -> Option<Id> {
        sight
            .looking
            .spot
            .clone()
            .or_else(|| sight.site().spots.ids().next().cloned())
    }

    fn worked_out_lines(&self, sight: &Sight<'_>) -> Vec<Line> {
        let site = sight.site();
        let mut lines: Vec<Line> = match self.asked {
            Asked::SpotsForPlant => {
                let Some((plant, _)) = sight.plant() else {
                    return Vec::new();
                };
                let planned = sight
                    .plan()
                    .and_then(|p| p.spot_of(plant, sight.looking.plan_week));
                site.spots
                    .iter()
                    .filter(|(id, _)| self.place.has(sight, id))
                    .map(|(id, s)| {
                        let mut place = if s.room.is_some() {
                            "indoors".to_owned()
                        } else {
                            "outdoors".to_owned()
                        };
                        if planned == Some(id) {
                            place.push_str(", planned for this week");
                        }
                        let best = sight.outcome.and_then(|o| {
                            o.scores.best_plant_over(id, |p, w, _| {
                                self.period.has(sight, p, w) && site.misfit(p, id).is_none()
                            })
                        });
                        let partner = best.map(|b| (sight.plant_name(&b.plant), b.points));
                        Line::of(
                            sight,
                            (plant, id),
                            (id, sight.spot_name(id), &place),
                            partner,
                            self.period,
                        )
                    })
                    .collect()
            }
            Asked::ClothForSpot | Asked::BloomPlace => Vec::new(),
            Asked::PlantsForSpot => {
                let Some(spot) = self.spot(sight) else {
                    return Vec::new();
                };
                site.plants
                    .iter()
                    .map(|(id, p)| {
                        let kind = site.kind(&p.kind).map_or("", |k| k.name.as_str());
                        let best = sight.outcome.and_then(|o| {
                            o.scores.best_spot_among(
                                id,
                                |s| site.misfit(id, s).is_none(),
                                |w, _| self.period.has(sight, id, w),
                            )
                        });
                        let partner = best.map(|b| (sight.spot_name(&b.spot), b.points));
                        Line::of(
                            sight,
                            (id, &spot),
                            (id, sight.plant_name(id), kind),
                            partner,
                            self.period,
                        )
                    })
                    .collect()
            }
        };
        self.sort.put_in_order(&mut lines);
        lines
    }

    fn is_marked(&self, sight: &Sight<'_>, id: &Id) -> bool {
        match self.asked {
            Asked::SpotsForPlant | Asked::BloomPlace => {
                sight.looking.spot.as_ref() == Some(id) || self.other.as_ref() == Some(id)
            }
            Asked::PlantsForSpot | Asked::ClothForSpot => sight.looking.plant.as_ref() == Some(id),
        }
    }

    fn pick(&mut self, sight: &Sight<'_>, id: &Id, requests: &mut Vec<Request>) {
        match self.asked {
            Asked::PlantsForSpot | Asked::ClothForSpot => {
                requests.push(Request::ShowPlant(id.clone()));
            }
            Asked::SpotsForPlant | Asked::BloomPlace => {
                let first = sight.looking.spot.as_ref();
                if first == Some(id) {
                    // The first goes; the second steps into its place.
                    if let Some(other) = self.other.take() {
                        requests.push(Request::ShowSpot(other));
                    }
                } else if self.other.as_ref() == Some(id) {
                    self.other = None;
                } else if first.is_none() {
                    requests.push(Request::ShowSpot(id.clone()));
                } else {
                    self.other = Some(id.clone());
                }
            }
        }
    }

    /// Plant and spots to be shown side by side.
    fn compared(&self, sight: &Sight<'_>) -> Option<Compared> {
        let (plant, _) = sight.plant()?;
        let first = match self.asked {
            Asked::SpotsForPlant | Asked::BloomPlace => sight.looking.spot.clone()?,
            Asked::PlantsForSpot | Asked::ClothForSpot => self.spot(sight)?,
        };
        let second = self
            .other
            .clone()
            .filter(|o| self.asked != Asked::PlantsForSpot && sight.site().spots.contains(o));
        Some((plant.clone(), first, second))
    }
}
