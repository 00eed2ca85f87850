//! `kind`: what a kind of plant needs at each stage, with the source of every figure, and how it stands to the climate of
//! the open; without a kind, all there are.

use std::fmt::Write;

use clap::Args;
use serde::Serialize;

use super::{Answer, SiteArgs, find, output::Table, read};
use crate::{
    base::{Id, Progress},
    needs::{Band, Figure, Group, Kind, library},
    pipeline::foundations,
    prospects::{AgainstClimate, OpenFactor, against_climate},
    site::Site,
};

#[derive(Debug, Args)]
pub struct KindArgs {
    #[command(flatten)]
    pub site: SiteArgs,
    /// Kind, by identifier or name; all kinds, the site's own among them, if left out.
    pub kind: Option<String>,
}

#[derive(Serialize)]
struct ListRow<'a> {
    id: &'a Id,
    name: &'a str,
    botanical: &'a str,
    group: Group,
    /// Whether it is the site's own.
    own: bool,
}

#[derive(Serialize)]
struct KindAnswer<'a> {
    id: &'a Id,
    needs: &'a Kind,
    against_climate: &'a AgainstClimate,
    /// Light, days and nights in words.
    told: Vec<String>,
}

pub fn run(args: &KindArgs) -> Result<Answer, Answer> {
    let site = read(&args.site)?.site;
    let Some(wanted) = &args.kind else {
        return Ok(list(&site, args.site.json));
    };
    let id = find(
        wanted,
        "kind",
        all(&site).map(|(id, kind, _)| (id, kind.name.as_str())),
    )?;
    let Some(kind) = site.kind(&id) else {
        return Err(Answer::usage(format!("there is no kind \"{id}\"\n")));
    };
    let base = foundations(&site, &Progress::new()).map_err(|e| Answer::usage(format!("{e}\n")))?;
    let open = against_climate(kind, &base.weather, site.hemisphere());
    let told: Vec<String> = OpenFactor::ALL
        .iter()
        .map(|f| open.told(kind, *f))
        .collect();
    Ok(if args.site.json {
        Answer::json(&KindAnswer {
            id: &id,
            needs: kind,
            against_climate: &open,
            told,
        })
    } else {
        Answer::fine(tell(&site, kind, &open, &told))
    })
}

/// The site's own kinds, then the library's that they do not replace.
fn all(site: &Site) -> impl Iterator<Item = (&Id, &Kind, bool)> {
    let own = site.kinds.iter().map(|(id, k)| (id, &**k, true));
    let library = library::kinds()
        .iter()
        .filter(|(id, _)| !site.kinds.contains(id))
        .map(|(id, k)| (id, &**k, false));
    own.chain(library)
}

fn list(site: &Site, json: bool) -> Answer {
    let rows: Vec<ListRow<'_>> = all(site)
        .map(|(id, kind, own)| ListRow {
            id,
            name: &kind.name,
            botanical: &kind.botanical,
            group: kind.group,
            own,
        })
        .collect();
    if json {
        return Answer::json(&rows);
    }
    let mut table = Table::new(&["kind", "name", "botanical", ""]);
    for row in &rows {
        table.row(vec![
            row.id.to_string(),
            row.name.to_owned(),
            row.botanical.to_owned(),
            if row.own { "your own" } else { "" }.to_owned(),
        ]);
    }
    Answer::fine(table.text())
}

fn tell(site: &Site, kind: &Kind, open: &AgainstClimate, told: &[String]) -> String {
    let mut text = format!("{} ({})\n", kind.name, kind.botanical);
    if !kind.note.is_empty() {
        let _ = writeln!(text, "{}", kind.note);
    }
    for stage in &kind.stages {
        let from = site.hemisphere().shift(stage.from.day_of_year());
        let _ = writeln!(text, "\n{} from {from}", stage.stage.word());
        let mut table = Table::new(&["", "harm", "ideal from", "to", "harm", "unit", "source"]);
        let n = &stage.needs;
        for (name, figure, unit) in [
            ("light of a day", Some(&n.dli), "mol/m² a day"),
            ("noon light", Some(&n.peak_ppfd), "µmol/m² s"),
            ("days", Some(&n.day_c), "°C"),
            ("nights", Some(&n.night_c), "°C"),
            ("day less night", n.day_night_k.as_ref(), "K"),
            ("humidity", Some(&n.rh_pct), "%"),
            ("drying air", n.vpd_kpa.as_ref(), "kPa"),
            ("moving air", Some(&n.air_m_s), "m/s"),
        ] {
            if let Some(figure) = figure {
                table.row(band(name, figure, unit));
            }
        }
        text.push_str(&table.text());
        let (shortest, longest) = stage.water.interval_d.value;
        let _ = writeln!(
            text,
            "water every {shortest} to {longest} days in a middling pot ({})",
            stage.water.interval_d.source.text()
        );
    }
    let d = &kind.damage;
    let mut table = Table::new(&["hurt", "°C", "source"]);
    for (name, figure) in [
        ("leaves freeze at", Some(&d.leaf_frost_c)),
        ("buds freeze at", Some(&d.bud_frost_c)),
        ("roots freeze at", Some(&d.root_frost_c)),
        ("leaves scorch at", Some(&d.leaf_heat_c)),
        ("buds drop in heat from", d.bud_heat_c.as_ref()),
        ("roots suffer from", d.root_heat_c.as_ref()),
        ("bring in at", Some(&d.bring_in_c)),
    ] {
        if let Some(figure) = figure {
            table.row(vec![
                name.to_owned(),
                figure.value.to_string(),
                figure.source.text().to_owned(),
            ]);
        }
    }
    let _ = write!(text, "\n{}", table.text());
    text.push_str("\nIn the open here, typical year\n");
    let mut table = Table::new(&[
        "month",
        "stage",
        "light mol/m² a day",
        "days °C",
        "nights °C",
    ]);
    for (month, row) in (1..).zip(&open.months) {
        table.row(vec![
            format!("{month}"),
            row.stage.word().to_owned(),
            format!("{:.1}", row.light_mol_m2_d),
            format!("{:.1}", row.day_c),
            format!("{:.1}", row.night_c),
        ]);
    }
    text.push_str(&table.text());
    for line in told {
        let _ = writeln!(text, "{line}");
    }
    text
}

fn band(name: &str, figure: &Figure<Band>, unit: &str) -> Vec<String> {
    let Band(a, b, c, d) = figure.value;
    vec![
        name.to_owned(),
        a.to_string(),
        b.to_string(),
        c.to_string(),
        d.to_string(),
        unit.to_owned(),
        figure.source.text().to_owned(),
    ]
}
