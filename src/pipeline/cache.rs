//! Computes outcomes one after another, reusing what an edit has not touched.

use std::{collections::BTreeMap, sync::Arc};

use chrono::NaiveDate;

use super::{Foundations, Outcome, PipelineError, SpotOutcome, plan_from};
use crate::{
    air::{self, AirInputs, SpotAir},
    base::{Cancelled, Id, Progress},
    care::{self, CareInputs},
    climate,
    light::{self, Scene, SpotLight},
    needs::Kind,
    planner::{self, PlanError, PlanInputs},
    scoring::{self, Scores, SpotWeek},
    site::{Site, Spot},
    sky::SkyYear,
    stages::{StageCalendar, Warmth},
    sun::SunTable,
};

/// Keeps the last outcome to start the next from.
#[derive(Default)]
pub struct Engine {
    last: Option<Outcome>,
}

impl Engine {
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Computes everything for a site. `today` is the plan's first day where the site's choices name none.
    ///
    /// # Errors
    /// [`PipelineError::Cancelled`]. A plan that cannot be is not an error of the run: see [`Outcome::plan`].
    pub fn run(
        &mut self,
        site: &Site,
        today: NaiveDate,
        progress: &Progress,
    ) -> Result<Outcome, PipelineError> {
        let last = self.last.as_ref();
        progress.tell("Sun and weather", 0.0);
        let foundations = self::foundations(last, site, progress)?;
        progress.tell("Light and air at each spot", 0.1);
        let spots = Arc::new(spots(last, &foundations, site, progress)?);
        progress.tell("Scores", 0.7);
        let from = plan_from(site, today);
        let warmth = Warmth::of(&foundations.weather.normals, site.hemisphere());
        let calendars = StageCalendar::of_site(site, &warmth, from);
        let scores = scores(last, site, &calendars, &spots, progress)?;
        progress.tell("The plan", 0.8);
        let spot_weeks: BTreeMap<Id, &[SpotWeek]> = spots
            .iter()
            .map(|(id, spot)| (id.clone(), spot.weeks.as_slice()))
            .collect();
        let inputs = PlanInputs {
            site,
            scores: &scores,
            spot_weeks: spot_weeks.clone(),
            from,
        };
        // Never from the plan before: the same site must have the same plan, whatever edits led to it.
        let plan = match planner::plan(&inputs, None, progress) {
            Ok(plan) => Ok(Arc::new(plan)),
            Err(PlanError::Cancelled(cancelled)) => return Err(cancelled.into()),
            Err(error) => Err(Arc::new(error)),
        };
        progress.tell("What to do", 0.95);
        let tasks = match &plan {
            Ok(plan) => care::tasks(&CareInputs {
                site,
                plan,
                scores: &scores,
                spot_weeks,
            }),
            Err(_) => Vec::new(),
        };
        let Foundations {
            sun,
            weather,
            sky,
            scene,
        } = foundations;
        let outcome = Outcome {
            site: site.clone(),
            from,
            sun,
            weather,
            sky,
            scene,
            spots,
            scores,
            plan,
            tasks: Arc::new(tasks),
        };
        self.last = Some(outcome.clone());
        Ok(outcome)
    }
}

fn foundations(
    last: Option<&Outcome>,
    site: &Site,
    progress: &Progress,
) -> Result<Foundations, Cancelled> {
    let same_place = last.filter(|l| l.site.place == site.place);
    let same_weather = same_place.filter(|l| l.site.climate == site.climate);
    let same_scene = last.filter(|l| same_geometry(&l.site, site));
    let sun = same_place.map_or_else(
        || Arc::new(SunTable::of(&site.place)),
        |l| Arc::clone(&l.sun),
    );
    let weather = match same_weather {
        Some(l) => Arc::clone(&l.weather),
        None => Arc::new(climate::weather(
            &site.place,
            &site.climate,
            &sun,
            progress,
        )?),
    };
    let sky = same_weather.map_or_else(
        || Arc::new(SkyYear::of(&site.place, &sun, &weather.typical)),
        |l| Arc::clone(&l.sky),
    );
    let scene = same_scene.map_or_else(|| Arc::new(Scene::of(site)), |l| Arc::clone(&l.scene));
    Ok(Foundations {
        sun,
        weather,
        sky,
        scene,
    })
}

/// Whether nothing that stops or passes light differs.
fn same_geometry(a: &Site, b: &Site) -> bool {
    a.place.plan_north_deg.to_bits() == b.place.plan_north_deg.to_bits()
        && a.buildings.same_as(&b.buildings)
        && a.rooms.same_as(&b.rooms)
        && a.windows.same_as(&b.windows)
        && a.canopies.same_as(&b.canopies)
        && a.screens.same_as(&b.screens)
        && a.trees.same_as(&b.trees)
        && a.grounds.same_as(&b.grounds)
        && a.cloths.same_as(&b.cloths)
}

/// Whether nothing that warms, cools, dries or moves air differs.
fn same_devices(a: &Site, b: &Site) -> bool {
    a.heaters.same_as(&b.heaters)
        && a.vents.same_as(&b.vents)
        && a.fans.same_as(&b.fans)
        && a.trays.same_as(&b.trays)
}

fn spots(
    last: Option<&Outcome>,
    foundations: &Foundations,
    site: &Site,
    progress: &Progress,
) -> Result<BTreeMap<Id, SpotOutcome>, Cancelled> {
    let in_the_open = |site: &Site| -> Vec<_> {
        site.spots
            .values()
            .flat_map(|s| s.logged.clone())
            .filter(|l| l.open)
            .collect()
    };
    let same_light = last.filter(|l| {
        in_the_open(&l.site) == in_the_open(site)
            && Arc::ptr_eq(&l.scene, &foundations.scene)
            && Arc::ptr_eq(&l.sky, &foundations.sky)
    });
    let same_air = same_light.filter(|l| same_devices(&l.site, site));
    let kept = |from: Option<&Outcome>, id: &Id, spot: &Arc<Spot>| -> Option<SpotOutcome> {
        let last = from?;
        let same = last
            .site
            .spots
            .get(id)
            .is_some_and(|s| Arc::ptr_eq(s, spot) || s == spot);
        last.spots.get(id).filter(|_| same).cloned()
    };

    let all: Vec<(&Id, &Arc<Spot>)> = site.spots.iter().collect();
    let dark: Vec<(&Id, &Spot)> = all
        .iter()
        .filter(|(id, s)| kept(same_light, id, s).is_none())
        .map(|(id, s)| (*id, &***s))
        .collect();
    let mut fresh =
        light::spots_year(&foundations.light_inputs(site), site, &dark, progress)?.into_iter();
    let lights: Vec<Arc<SpotLight>> = all
        .iter()
        .filter_map(|(id, s)| {
            kept(same_light, id, s)
                .map(|k| k.light)
                .or_else(|| fresh.next().map(Arc::new))
        })
        .collect();

    progress.tell("Air at each spot", 0.5);
    let (still, stale): (Vec<usize>, Vec<usize>) =
        (0..all.len()).partition(|i| kept(same_air, all[*i].0, all[*i].1).is_some());
    let unknown: Vec<(&Id, &Spot)> = stale.iter().map(|i| (all[*i].0, &**all[*i].1)).collect();
    let their_light: Vec<SpotLight> = stale
        .iter()
        .map(|i| SpotLight::clone(&lights[*i]))
        .collect();
    let inputs = AirInputs {
        place: &site.place,
        sun: &foundations.sun,
        weather: &foundations.weather,
    };
    let airs: Vec<SpotAir> = air::spots_year(&inputs, site, &unknown, &their_light, progress)?;

    let mut spots = BTreeMap::new();
    for i in still {
        if let Some(outcome) = kept(same_air, all[i].0, all[i].1) {
            spots.insert(all[i].0.clone(), outcome);
        }
    }
    for (i, air) in stale.into_iter().zip(airs) {
        let (id, spot) = all[i];
        let weeks = scoring::spot_weeks(&lights[i], &air, spot.room.is_some());
        let light = Arc::clone(&lights[i]);
        spots.insert(
            id.clone(),
            SpotOutcome {
                light,
                air: Arc::new(air),
                weeks: Arc::new(weeks),
            },
        );
    }
    Ok(spots)
}

fn scores(
    last: Option<&Outcome>,
    site: &Site,
    calendars: &[(Id, StageCalendar)],
    spots: &BTreeMap<Id, SpotOutcome>,
    progress: &Progress,
) -> Result<Arc<Scores>, Cancelled> {
    progress.check()?;
    let same = last.filter(|l| {
        l.site.plants.same_as(&site.plants)
            && calendars
                .iter()
                .all(|(id, calendar)| l.scores.calendar(id) == Some(calendar))
            && l.site.kinds.same_as(&site.kinds)
            && l.spots.len() == spots.len()
            && l.spots
                .iter()
                .zip(spots)
                .all(|(a, b)| a.0 == b.0 && Arc::ptr_eq(&a.1.weeks, &b.1.weeks))
    });
    if let Some(last) = same {
        return Ok(Arc::clone(&last.scores));
    }
    let plants: Vec<(Id, &Kind, StageCalendar)> = calendars
        .iter()
        .filter_map(|(id, calendar)| {
            let kind = site.kind(&site.plants.get(id)?.kind)?;
            Some((id.clone(), kind, calendar.clone()))
        })
        .collect();
    let offered: Vec<(Id, &[SpotWeek])> = spots
        .iter()
        .map(|(id, spot)| (id.clone(), spot.weeks.as_slice()))
        .collect();
    Ok(Arc::new(Scores::by_calendar(&plants, &offered)))
}
