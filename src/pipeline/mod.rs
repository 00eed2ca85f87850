//! Runs the stages in order, keeps what an edit has not touched, tells how far it is. The one way in for commands
//! and app.

pub mod beside;
mod cache;
mod cooler;
mod outlook;
pub mod readings;

use std::{collections::BTreeMap, sync::Arc};

use chrono::NaiveDate;

use crate::{
    air::SpotAir,
    base::{Cancelled, Id, Progress},
    care::Task,
    climate::Weather,
    light::{LightInputs, Scene, SpotLight},
    planner::{Plan, PlanError},
    scoring::{Scores, SpotWeek},
    site::Site,
    sky::SkyYear,
    sun::SunTable,
};
pub use cache::Engine;
pub use cooler::cooler_nights;
pub use outlook::outlook;

/// What every spot's light and air start from.
#[derive(Clone, Debug)]
pub struct Foundations {
    pub sun: Arc<SunTable>,
    pub weather: Arc<Weather>,
    pub sky: Arc<SkyYear>,
    pub scene: Arc<Scene>,
}

impl Foundations {
    /// What light is computed from.
    #[must_use]
    pub fn light_inputs<'a>(&'a self, site: &'a Site) -> LightInputs<'a> {
        LightInputs {
            place: &site.place,
            sun: &self.sun,
            typical: &self.weather.typical,
            sky: &self.sky,
            scene: &self.scene,
            turbidity_linke: self.weather.normals.turbidity_linke,
        }
    }
}

/// All that was computed of one spot.
#[derive(Clone, Debug)]
pub struct SpotOutcome {
    pub light: Arc<SpotLight>,
    pub air: Arc<SpotAir>,
    /// What it offers in each of 52 calendar weeks.
    pub weeks: Arc<Vec<SpotWeek>>,
}

/// Results for one state of a site. Cheap to clone.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// The site these results are of.
    pub site: Site,
    /// The day the plan was asked to begin on.
    pub from: NaiveDate,
    pub sun: Arc<SunTable>,
    pub weather: Arc<Weather>,
    pub sky: Arc<SkyYear>,
    pub scene: Arc<Scene>,
    pub spots: Arc<BTreeMap<Id, SpotOutcome>>,
    pub scores: Arc<Scores>,
    /// The plan, or why there is none.
    pub plan: Result<Arc<Plan>, Arc<PlanError>>,
    /// Empty where there is no plan.
    pub tasks: Arc<Vec<Task>>,
}

impl Outcome {
    /// What each spot offers in each of 52 calendar weeks.
    #[must_use]
    pub fn spot_weeks(&self) -> BTreeMap<Id, &[SpotWeek]> {
        self.spots
            .iter()
            .map(|(id, spot)| (id.clone(), spot.weeks.as_slice()))
            .collect()
    }

    /// What its light and air started from.
    #[must_use]
    pub fn foundations(&self) -> Foundations {
        Foundations {
            sun: Arc::clone(&self.sun),
            weather: Arc::clone(&self.weather),
            sky: Arc::clone(&self.sky),
            scene: Arc::clone(&self.scene),
        }
    }
}

#[derive(Debug, thiserror::Error)]
pub enum PipelineError {
    #[error("cancelled")]
    Cancelled(#[from] Cancelled),
}

/// The plan's first day: the grower's choice, else today. Drawn into the years that site files may name (1900 to
/// 2200), so that no half-typed date leads past the calendar's end.
#[must_use]
pub fn plan_from(site: &Site, today: NaiveDate) -> NaiveDate {
    let from = site.choices.plan_from.unwrap_or(today);
    let date = |year, month, day| NaiveDate::from_ymd_opt(year, month, day).unwrap_or(today);
    from.max(date(1900, 1, 1)).min(date(2200, 12, 31))
}

/// Sun, weather, sky and scene of a site, for work on single spots.
///
/// # Errors
/// [`Cancelled`].
pub fn foundations(site: &Site, progress: &Progress) -> Result<Foundations, Cancelled> {
    let sun = Arc::new(SunTable::of(&site.place));
    let weather = Arc::new(crate::climate::weather(
        &site.place,
        &site.climate,
        &sun,
        progress,
    )?);
    let sky = Arc::new(SkyYear::of(&site.place, &sun, &weather.typical));
    let scene = Arc::new(Scene::of(site));
    Ok(Foundations {
        sun,
        weather,
        sky,
        scene,
    })
}
