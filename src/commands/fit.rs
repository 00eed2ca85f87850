//! `fit`: scores of plants on spots by season, with what limits them.

use chrono::NaiveDate;
use clap::Args;
use serde::Serialize;

use super::{
    Answer, SiteArgs, compute, find_plant, find_spot, guessed,
    output::{Table, figure},
};
use crate::{
    base::{Id, Season, Week},
    needs::StageName,
    pipeline::Outcome,
    scoring::{self, BestPlant, BestSpot, BloomPlace, Difference, Score, ScoreWord, Shift},
    site::{Misfit, edit::ObjectKind},
};

#[derive(Debug, Args)]
pub struct FitArgs {
    #[command(flatten)]
    pub site: SiteArgs,
    /// Plant, by identifier or name; all plants if left out.
    #[arg(long)]
    pub plant: Option<String>,
    /// Spot, by identifier or name; all spots if left out.
    #[arg(long)]
    pub spot: Option<String>,
    /// Every week with its factors, instead of seasons.
    #[arg(long)]
    pub weeks: bool,
    /// Another spot to hold `--spot` against, stage by stage: what each has over the other, and what would mend it.
    #[arg(long, requires = "spot", requires = "plant", conflicts_with = "weeks")]
    pub against: Option<String>,
    /// Where each plant should bud and bloom: places ranked by the weeks of bud and bloom, with what is asked of them.
    #[arg(long, conflicts_with_all = ["weeks", "against", "spot", "partners"])]
    pub bloom: bool,
    /// With --bloom, places in the open too.
    #[arg(long, requires = "bloom")]
    pub outdoors: bool,
    /// The best spot for each plant and the best plant for each spot, over the year.
    #[arg(long, conflicts_with_all = ["weeks", "against"])]
    pub partners: bool,
}

/// Places for one plant to bud and bloom, best first.
#[derive(Serialize)]
struct BloomRow<'a> {
    plant: &'a Id,
    /// Those where its pot fits first.
    places: Vec<BloomPlaceRow>,
}

#[derive(Serialize)]
struct BloomPlaceRow {
    #[serde(flatten)]
    place: BloomPlace,
    /// Why it may not stand there at all; null where it fits.
    misfit: Option<Misfit>,
}

/// Best partners over the year, both ways.
#[derive(Serialize)]
struct Partners<'a> {
    plants: Vec<PlantPartner<'a>>,
    spots: Vec<SpotPartner<'a>>,
}

#[derive(Serialize)]
struct PlantPartner<'a> {
    plant: &'a Id,
    /// Null where too little is known.
    best: Option<BestSpot>,
}

#[derive(Serialize)]
struct SpotPartner<'a> {
    spot: &'a Id,
    best: Option<BestPlant>,
}

/// Two spots side by side in one stage of a plant's year.
#[derive(Serialize)]
struct AgainstRow<'a> {
    plant: &'a Id,
    spot: &'a Id,
    against: &'a Id,
    stage: StageName,
    weeks: usize,
    /// What `spot` has over `against`.
    #[serde(flatten)]
    difference: Difference,
}

#[derive(Serialize)]
struct FitRow<'a> {
    plant: &'a Id,
    spot: &'a Id,
    /// Mean score of each season, 0..=100; null when unknown.
    winter_score: Option<f64>,
    spring_score: Option<f64>,
    summer_score: Option<f64>,
    autumn_score: Option<f64>,
    year_score: Option<f64>,
    /// Calendar week that scores least, 0..52.
    worst_week: usize,
    worst_score: Option<f64>,
    worst_why: String,
    /// Why the plant may not stand there at all; null where it fits.
    misfit: Option<Misfit>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    weeks: Vec<WeekRow<'a>>,
}

#[derive(Serialize)]
struct WeekRow<'a> {
    /// Calendar week, 0..52.
    week: usize,
    word: Option<ScoreWord>,
    why: String,
    #[serde(flatten)]
    score: &'a Score,
}

pub fn run(args: &FitArgs, today: NaiveDate) -> Result<Answer, Answer> {
    let outcome = compute(&args.site, None, today)?;
    let site = &outcome.site;
    let plants = match &args.plant {
        Some(plant) => vec![find_plant(site, plant)?],
        None => site.plants.ids().cloned().collect(),
    };
    let spots = match &args.spot {
        Some(spot) => vec![find_spot(site, spot)?],
        None => site.spots.ids().cloned().collect(),
    };
    if let (Some(against), [plant], [spot]) = (&args.against, &plants[..], &spots[..]) {
        let against = find_spot(site, against)?;
        let rows = side_by_side(&outcome, plant, spot, &against);
        return Ok(if args.site.json {
            Answer::json(&rows)
        } else {
            Answer::report(&tell_apart(&outcome, &rows))
        });
    }
    if args.bloom {
        let rows: Vec<BloomRow<'_>> = plants
            .iter()
            .map(|plant| BloomRow {
                plant,
                places: bloom_places(&outcome, plant, args.outdoors),
            })
            .collect();
        return Ok(if args.site.json {
            Answer::json(&rows)
        } else {
            Answer::report(&tell_bloom(&outcome, &rows))
        });
    }
    if args.partners {
        let partners = Partners {
            plants: plants
                .iter()
                .map(|plant| PlantPartner {
                    plant,
                    best: outcome.scores.best_spot_among(
                        plant,
                        |spot| site.misfit(plant, spot).is_none(),
                        |_, _| true,
                    ),
                })
                .collect(),
            spots: spots
                .iter()
                .map(|spot| SpotPartner {
                    spot,
                    best: outcome
                        .scores
                        .best_plant_over(spot, |plant, _, _| site.misfit(plant, spot).is_none()),
                })
                .collect(),
        };
        return Ok(if args.site.json {
            Answer::json(&partners)
        } else {
            Answer::report(&tell_partners(&outcome, &partners))
        });
    }
    let mut rows: Vec<FitRow> = Vec::new();
    for plant in &plants {
        let first = rows.len();
        for spot in &spots {
            rows.extend(fit(&outcome, plant, spot, args.weeks));
        }
        rows[first..].sort_by(|a, b| {
            let misfit = |r: &FitRow<'_>| r.misfit.is_some();
            misfit(a).cmp(&misfit(b)).then_with(|| {
                b.year_score
                    .unwrap_or(-1.0)
                    .total_cmp(&a.year_score.unwrap_or(-1.0))
            })
        });
    }
    if args.site.json {
        Ok(Answer::json(&rows))
    } else {
        Ok(Answer::report(&tell(&outcome, &rows)))
    }
}

/// Places to bloom, those where the pot does not fit last.
fn bloom_places(outcome: &Outcome, plant: &Id, outdoors: bool) -> Vec<BloomPlaceRow> {
    let site = &outcome.site;
    let among = |spot: &Id| {
        let spot = site.spots.get(spot);
        outdoors || spot.is_some_and(|s| s.room.is_some())
    };
    let mut places: Vec<BloomPlaceRow> = outcome
        .scores
        .bloom_places(plant, among)
        .into_iter()
        .map(|place| BloomPlaceRow {
            misfit: site.misfit(plant, &place.spot),
            place,
        })
        .collect();
    // Stable: the best stays first.
    places.sort_by_key(|p| p.misfit.is_some());
    places
}

fn fit<'a>(outcome: &'a Outcome, plant: &'a Id, spot: &'a Id, weeks: bool) -> Option<FitRow<'a>> {
    let all: Vec<(Week, &Score)> = Week::all()
        .filter_map(|w| outcome.scores.get(plant, spot, w).map(|s| (w, s)))
        .collect();
    let hemisphere = outcome.site.hemisphere();
    let mean = |season: Option<Season>| -> Option<f64> {
        let points: Vec<Option<f64>> = all
            .iter()
            .filter(|(w, _)| season.is_none_or(|s| w.season(hemisphere) == s))
            .map(|(_, score)| score.points)
            .collect();
        let n = points.len() as f64;
        points.into_iter().sum::<Option<f64>>().map(|sum| sum / n)
    };
    let (worst_week, worst) = all
        .iter()
        .min_by(|a, b| {
            a.1.points
                .unwrap_or(-1.0)
                .total_cmp(&b.1.points.unwrap_or(-1.0))
        })
        .copied()?;
    Some(FitRow {
        plant,
        spot,
        winter_score: mean(Some(Season::Winter)),
        spring_score: mean(Some(Season::Spring)),
        summer_score: mean(Some(Season::Summer)),
        autumn_score: mean(Some(Season::Autumn)),
        year_score: mean(None),
        worst_week: worst_week.index(),
        worst_score: worst.points,
        worst_why: scoring::why(worst),
        misfit: outcome.site.misfit(plant, spot),
        weeks: if weeks {
            all.iter()
                .map(|(w, score)| WeekRow {
                    week: w.index(),
                    word: score.points.map(ScoreWord::of),
                    why: scoring::why(score),
                    score,
                })
                .collect()
        } else {
            Vec::new()
        },
    })
}

fn tell(outcome: &Outcome, rows: &[FitRow<'_>]) -> String {
    let site = &outcome.site;
    let mut text = guessed(site);
    for plant_rows in rows.chunk_by(|a, b| a.plant == b.plant) {
        let Some(first) = plant_rows.first() else {
            continue;
        };
        text.push_str(&format!(
            "{}\n",
            site.name_of(ObjectKind::Plant, first.plant)
        ));
        if first.weeks.is_empty() {
            let mut table = Table::new(&[
                "spot",
                "winter",
                "spring",
                "summer",
                "autumn",
                "year",
                "worst week",
                "why",
            ]);
            for r in plant_rows {
                table.row(vec![
                    site.name_of(ObjectKind::Spot, r.spot),
                    figure(r.winter_score, 0),
                    figure(r.spring_score, 0),
                    figure(r.summer_score, 0),
                    figure(r.autumn_score, 0),
                    figure(r.year_score, 0),
                    format!(
                        "{} ({})",
                        Week::new(r.worst_week).first_day(),
                        figure(r.worst_score, 0)
                    ),
                    match &r.misfit {
                        Some(misfit) => format!("{}; {}", misfit.words(), r.worst_why),
                        None => r.worst_why.clone(),
                    },
                ]);
            }
            text.push_str(&table.text());
        } else {
            for r in plant_rows {
                let misfit = r
                    .misfit
                    .as_ref()
                    .map_or_else(String::new, |m| format!(" ({})", m.words()));
                let name = site.name_of(ObjectKind::Spot, r.spot);
                text.push_str(&format!("{name}{misfit}\n"));
                let mut table = Table::new(&["week of", "stage", "score", "word", "why"]);
                for w in &r.weeks {
                    table.row(vec![
                        Week::new(w.week).first_day().to_string(),
                        w.score.stage.word().to_owned(),
                        figure(w.score.points, 0),
                        w.word.map_or_else(String::new, |w| w.word().to_owned()),
                        w.why.clone(),
                    ]);
                }
                text.push_str(&table.text());
            }
        }
        text.push('\n');
    }
    text
}

fn tell_bloom(outcome: &Outcome, rows: &[BloomRow<'_>]) -> String {
    let site = &outcome.site;
    let mut text = String::new();
    for row in rows {
        let name = site.name_of(ObjectKind::Plant, row.plant);
        if row.places.is_empty() {
            text.push_str(&format!(
                "{name}: no place, or it is grown for its leaves\n\n"
            ));
            continue;
        }
        text.push_str(&format!("{name}\n"));
        for (i, BloomPlaceRow { place, misfit }) in row.places.iter().enumerate() {
            text.push_str(&format!(
                "  {}. {}: {:.0}, {}; worst in the week of {} ({:.0}): {}\n",
                i + 1,
                site.name_of(ObjectKind::Spot, &place.spot),
                place.points,
                ScoreWord::of(place.points).word(),
                place.worst_week.first_day(),
                place.worst,
                place.reason,
            ));
            if let Some(misfit) = misfit {
                text.push_str(&format!("       no   {}\n", misfit.words()));
            }
            for check in &place.checks {
                let met = match check.met {
                    Some(true) => "yes",
                    Some(false) => "no ",
                    None => "?  ",
                };
                text.push_str(&format!("       {met}  {}: {}\n", check.told, check.figure));
            }
        }
        text.push('\n');
    }
    text
}

fn tell_partners(outcome: &Outcome, partners: &Partners<'_>) -> String {
    let site = &outcome.site;
    let mut plants = Table::new(&["plant", "best spot over the year", "score", "word"]);
    for p in &partners.plants {
        let points = p.best.as_ref().map(|b| b.points);
        plants.row(vec![
            site.name_of(ObjectKind::Plant, p.plant),
            p.best
                .as_ref()
                .map_or_else(String::new, |b| site.name_of(ObjectKind::Spot, &b.spot)),
            figure(points, 0),
            points.map_or_else(String::new, |p| ScoreWord::of(p).word().to_owned()),
        ]);
    }
    let mut spots = Table::new(&["spot", "best plant over the year", "score", "word"]);
    for s in &partners.spots {
        let points = s.best.as_ref().map(|b| b.points);
        spots.row(vec![
            site.name_of(ObjectKind::Spot, s.spot),
            s.best
                .as_ref()
                .map_or_else(String::new, |b| site.name_of(ObjectKind::Plant, &b.plant)),
            figure(points, 0),
            points.map_or_else(String::new, |p| ScoreWord::of(p).word().to_owned()),
        ]);
    }
    format!("{}\n{}", plants.text(), spots.text())
}

/// The stages in the order of the plant's year.
fn side_by_side<'a>(
    outcome: &'a Outcome,
    plant: &'a Id,
    spot: &'a Id,
    against: &'a Id,
) -> Vec<AgainstRow<'a>> {
    let (Some(here), Some(there)) = (
        outcome.scores.year(plant, spot),
        outcome.scores.year(plant, against),
    ) else {
        return Vec::new();
    };
    let starts = outcome
        .scores
        .calendar(plant)
        .map_or(&[][..], |c| c.starts());
    let mut stages: Vec<StageName> = Vec::new();
    for start in starts {
        if !stages.contains(&start.stage) {
            stages.push(start.stage);
        }
    }
    stages
        .into_iter()
        .filter_map(|stage| {
            let weeks: Vec<(&Score, &Score)> = here
                .iter()
                .zip(there)
                .filter(|(h, _)| h.stage == stage)
                .collect();
            Some(AgainstRow {
                plant,
                spot,
                against,
                stage,
                weeks: weeks.len(),
                difference: scoring::difference_over(&weeks)?,
            })
        })
        .collect()
}

fn tell_apart(outcome: &Outcome, rows: &[AgainstRow<'_>]) -> String {
    let site = &outcome.site;
    let Some(first) = rows.first() else {
        return String::new();
    };
    let spot = |id| site.name_of(ObjectKind::Spot, id);
    let (here, there) = (spot(first.spot), spot(first.against));
    let mut text = format!(
        "{}: “{here}” against “{there}”\n",
        site.name_of(ObjectKind::Plant, first.plant)
    );
    let lines = |text: &mut String, head: &str, shifts: &[Shift]| {
        for shift in shifts {
            text.push_str(&format!("    {head} {}\n", shift.text()));
        }
    };
    for row in rows {
        let d = &row.difference;
        let points = d.points.map_or_else(
            || "too little is known".to_owned(),
            |p| format!("{p:+.0} points"),
        );
        text.push_str(&format!(
            "  {}, {} weeks: {points}\n",
            row.stage.word(),
            row.weeks
        ));
        lines(&mut text, "gains:", &d.gains);
        lines(&mut text, "loses:", &d.losses);
        if let (Some(mend), Some(p)) = (&d.mend, d.points) {
            let poorer = if p > 0.0 { &there } else { &here };
            text.push_str(&format!("    would mend “{poorer}”: {mend}\n"));
        }
    }
    text
}
