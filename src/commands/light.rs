//! `light`: light at a spot by the hour, and what the geometry does to it.

use chrono::NaiveDate;
use clap::{Args, ValueEnum};
use serde::Serialize;

use super::{Answer, SiteArgs, find_spot, output::Table, read};
use crate::{
    base::{Day, Id, Progress, calendar},
    light::{self, FromOneSide, LightCorrection, LightFactors, LightHour, SkyChoice, SpotLight},
    pipeline,
    site::{Site, Spot},
};

#[derive(Debug, Args)]
pub struct LightArgs {
    #[command(flatten)]
    pub site: SiteArgs,
    /// Spot, by identifier or name.
    #[arg(long, required_unless_present = "map")]
    pub spot: Option<String>,
    /// First day, YYYY-MM-DD; today if left out.
    #[arg(long, value_parser = super::date)]
    pub date: Option<NaiveDate>,
    /// Number of days.
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u16).range(1..=365))]
    pub days: u16,
    /// Sky to compute under.
    #[arg(long, value_enum, default_value_t = Sky::Typical)]
    pub sky: Sky,
    /// Linke turbidity of the clear sky; the month's usual one if left out.
    #[arg(long, value_name = "TL", value_parser = turbidity)]
    pub turbidity: Option<f64>,
    /// Sky view factors and daylight factor by month instead of hours.
    #[arg(long)]
    pub factors: bool,
    #[command(flatten)]
    pub map: super::light_map::MapArgs,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Sky {
    Clear,
    Overcast,
    Typical,
}

fn turbidity(text: &str) -> Result<f64, String> {
    let value: f64 = text
        .parse()
        .map_err(|_| "a number from 1 to 10 is wanted".to_owned())?;
    if (1.0..=10.0).contains(&value) {
        Ok(value)
    } else {
        Err("a number from 1 to 10 is wanted".to_owned())
    }
}

/// Hours of `light` as JSON.
#[derive(Serialize)]
struct Hours<'a> {
    spot: &'a Id,
    first_day: NaiveDate,
    sky: &'static str,
    /// Daily light integrals of the days asked for.
    dli_mol_m2_d: Vec<f64>,
    /// Hours of direct sun of the days asked for, h.
    sun_h: Vec<f64>,
    /// Where the light comes from one side all year.
    from_one_side: Option<FromOneSide>,
    correction: LightCorrection,
    hours: Vec<LightHour>,
}

/// Factors of `light --factors` as JSON.
#[derive(Serialize)]
struct Factors<'a> {
    spot: &'a Id,
    /// January to December.
    months: &'a [LightFactors],
    /// Where the light comes from one side all year.
    from_one_side: Option<FromOneSide>,
    correction: LightCorrection,
}

pub fn run(args: &LightArgs, today: NaiveDate) -> Result<Answer, Answer> {
    let site = read(&args.site)?.site;
    let Some(wanted) = &args.spot else {
        return super::light_map::run(&args.map, &site, today, args.site.json);
    };
    let id = find_spot(&site, wanted)?;
    let Some(spot) = site.spots.get(&id) else {
        return Err(Answer::usage(String::new()));
    };
    let date = args.date.unwrap_or(today);
    let foundations = pipeline::foundations(&site, &Progress::new())
        .map_err(|e| Answer::usage(format!("{e}\n")))?;
    let inputs = foundations.light_inputs(&site);
    let year = light::spots_year(&inputs, &site, &[(&id, spot)], &Progress::new())
        .map_err(|e| Answer::usage(format!("{e}\n")))?;
    let Some(year) = year.first() else {
        return Err(Answer::usage(String::new()));
    };
    if args.factors {
        return Ok(factors(args, &id, year));
    }
    let sky = match args.sky {
        Sky::Clear => SkyChoice::Clear {
            turbidity_linke: args.turbidity,
        },
        Sky::Overcast => SkyChoice::Overcast,
        Sky::Typical => SkyChoice::Typical,
    };
    let first = Day::of(date).index();
    let hours = light::spot_hours(&inputs, &site, spot, first, usize::from(args.days), sky);
    Ok(tell_hours(args, &site, (&id, spot), date, hours, year))
}

fn tell_hours(
    args: &LightArgs,
    site: &Site,
    (id, spot): (&Id, &Spot),
    date: NaiveDate,
    hours: Vec<LightHour>,
    year: &SpotLight,
) -> Answer {
    let by_day = |value: &dyn Fn(&LightHour) -> f64| -> Vec<f64> {
        hours
            .chunks(24)
            .map(|day| day.iter().map(value).sum())
            .collect()
    };
    let dli = by_day(&|h| {
        (h.beam_ppfd_umol_m2_s + h.sky_ppfd_umol_m2_s + h.reflected_ppfd_umol_m2_s) * 3600.0 / 1e6
    });
    let sun = by_day(&|h| h.sunlit_fraction);
    if args.site.json {
        let sky = match args.sky {
            Sky::Clear => "clear",
            Sky::Overcast => "overcast",
            Sky::Typical => "typical",
        };
        return Answer::json(&Hours {
            spot: id,
            first_day: date,
            sky,
            dli_mol_m2_d: dli,
            sun_h: sun,
            from_one_side: light::from_one_side(&year.factors),
            correction: year.correction,
            hours,
        });
    }
    let mut text = format!(
        "Light at {} ({}), level, at leaf height. Hours are local standard time; PPFD in µmol/m²/s.\n",
        spot.name, site.name
    );
    for (n, day) in hours.chunks(24).enumerate() {
        let shown = Day::of(date).plus(n as i64);
        text.push_str(&format!(
            "\n{shown}: DLI {:.1} mol/m² a day, {:.1} h of direct sun\n",
            dli[n], sun[n]
        ));
        let mut table = Table::new(&[
            "hour",
            "azimuth°",
            "elevation°",
            "beam",
            "sky",
            "reflected",
            "total",
            "sunlit",
            "open",
        ]);
        for h in day
            .iter()
            .filter(|h| h.open_ppfd_umol_m2_s > 0.0 || h.sun_elevation_deg > 0.0)
        {
            let total = h.beam_ppfd_umol_m2_s + h.sky_ppfd_umol_m2_s + h.reflected_ppfd_umol_m2_s;
            table.row(vec![
                format!("{:02}-{:02}", h.hour % 24, h.hour % 24 + 1),
                format!("{:.1}", h.sun_azimuth_deg),
                format!("{:.1}", h.sun_elevation_deg),
                format!("{:.0}", h.beam_ppfd_umol_m2_s),
                format!("{:.0}", h.sky_ppfd_umol_m2_s),
                format!("{:.0}", h.reflected_ppfd_umol_m2_s),
                format!("{total:.0}"),
                format!("{:.0} %", h.sunlit_fraction * 100.0),
                format!("{:.0}", h.open_ppfd_umol_m2_s),
            ]);
        }
        text.push_str(&table.text());
    }
    text.push('\n');
    text.push_str(&tell_spot(year));
    Answer::fine(text)
}

fn factors(args: &LightArgs, id: &Id, year: &SpotLight) -> Answer {
    let months = &year.factors;
    if args.site.json {
        return Answer::json(&Factors {
            spot: id,
            months,
            from_one_side: light::from_one_side(months),
            correction: year.correction,
        });
    }
    let mut table = Table::new(&[
        "month",
        "sky view",
        "sky view, cosine",
        "daylight factor %",
        "from sky",
        "outside-reflected",
        "inside-reflected",
        "one-sided",
    ]);
    for (name, f) in calendar::MONTH_NAMES.iter().zip(months) {
        let total = f.daylight_sky_pct + f.daylight_outside_pct + f.daylight_inside_pct;
        table.row(vec![
            (*name).to_owned(),
            format!("{:.3}", f.sky_view_plain),
            format!("{:.3}", f.sky_view_cosine),
            format!("{total:.2}"),
            format!("{:.2}", f.daylight_sky_pct),
            format!("{:.2}", f.daylight_outside_pct),
            format!("{:.2}", f.daylight_inside_pct),
            format!("{:.2}", f.one_sided),
        ]);
    }
    Answer::fine(table.text() + "\n" + &tell_spot(year))
}

/// What holds of the spot whatever the day.
fn tell_spot(year: &SpotLight) -> String {
    let side = light::from_one_side(&year.factors).map_or_else(String::new, |s| s.told + "\n");
    side + &tell_correction(year.correction)
}

fn tell_correction(c: LightCorrection) -> String {
    let says = c.sentences();
    if says.is_empty() {
        return "No light readings here: the model stands as it is, about ±20 %. A reading makes it surer.\n".to_owned();
    }
    let aside = if c.set_aside > 0 {
        format!(
            "{} set aside: `sillward readings` tells why.\n",
            c.set_aside
        )
    } else {
        String::new()
    };
    says.join("\n") + "\n" + &aside
}
