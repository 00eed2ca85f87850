//! Weather from files: what a file holds is shown first, and taken into the site's climate when the grower says so.
//!
//! The site keeps of a record what is computed with, not the record: monthly normals, spreads and how days hang
//! together are a few lines that can be read, compared and corrected by hand. Only the hours of a file that *is* a
//! typical year are kept as they are.

pub mod epw;
mod fault;
pub mod statistics;
pub mod table;

use std::{fs::File, io::Read, path::Path, sync::Arc};

pub use fault::{Fault, ImportError};
use statistics::Statistics;
pub use table::TableRead;

use crate::{
    base::Progress,
    places,
    site::{Climate, Place, Series, TypicalHours, records::Asked},
    sun::clock,
};

/// An hourly year as text has under 2 MB; ten years at six-minute steps would have 90 MB.
pub const MOST_BYTES: u64 = 100_000_000;

/// What a weather file holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Imported {
    /// Origin, for the climate's source.
    pub source: String,
    pub site: Option<FilePlace>,
    pub statistics: Statistics,
    pub hours: Option<Arc<TypicalHours>>,
    /// What was understood and what was filled in, a sentence each.
    pub says: Vec<String>,
    /// What looks wrong but does not stop anything.
    pub doubts: Vec<String>,
}

/// Where a file says that it was measured.
#[derive(Clone, Debug, PartialEq)]
pub struct FilePlace {
    pub name: String,
    pub latitude_deg: f64,
    pub longitude_deg: f64,
    pub elevation_m: f64,
    /// Standard time by UTC, h.
    pub offset_h: f64,
}

impl FilePlace {
    /// A site there: the time zone is that of the nearest town.
    #[must_use]
    pub fn place(&self, old: &Place) -> Place {
        let zone = places::nearest(self.latitude_deg, self.longitude_deg).map_or_else(
            || old.time_zone.clone(),
            |(town, _)| town.time_zone.to_owned(),
        );
        Place {
            name: self.name.clone(),
            latitude_deg: self.latitude_deg,
            longitude_deg: self.longitude_deg,
            elevation_m: self.elevation_m,
            time_zone: zone,
            plan_north_deg: old.plan_north_deg,
            coast_km: None,
            slope_deg: old.slope_deg,
            falls_towards_deg: old.falls_towards_deg,
        }
    }
}

impl Imported {
    /// The climate of a site with what the file holds in place of what it had; the rest, typed by hand, stays.
    #[must_use]
    pub fn climate(&self, old: &Climate, place: &Place) -> Climate {
        let s = &self.statistics;
        let mut next = old.clone();
        self.source.clone_into(&mut next.source);
        s.put_normals(&mut next.normals);
        next.day_to_day = s.day_to_day.clone();
        // A low that the grower remembers goes further back than a short record.
        if let Some((_, low_c)) = s.lowest.filter(|_| s.years >= 20.0) {
            next.record_low_c = Some(low_c);
        }
        next.hours = self.hours.as_ref().map(|hours| {
            let ahead = self
                .site
                .as_ref()
                .map_or(0.0, |f| clock::standard_offset_h(place) - f.offset_h);
            // Clocks of the site that are ahead show a later hour at the same moment.
            match ahead.round() as i64 {
                0 => Arc::clone(hours),
                by => Arc::new(later(hours, by)),
            }
        });
        next
    }
}

/// The same moments on a clock that is ahead.
fn later(hours: &TypicalHours, by_h: i64) -> TypicalHours {
    let turn = |series: &Option<Series>| -> Option<Series> {
        let series = series.as_ref()?;
        if !series.is_hourly() {
            return Some(series.clone());
        }
        let mut values = series.values().to_vec();
        let by = by_h.rem_euclid(values.len().max(1) as i64) as usize;
        values.rotate_right(by);
        Series::new(values)
    };
    TypicalHours {
        air_tenth_c: turn(&hours.air_tenth_c),
        rh_pct: turn(&hours.rh_pct),
        wind_tenth_m_s: turn(&hours.wind_tenth_m_s),
        wind_from_deg: turn(&hours.wind_from_deg),
        cloud_pct: turn(&hours.cloud_pct),
        global_w_m2: turn(&hours.global_w_m2),
        sky_w_m2: turn(&hours.sky_w_m2),
        sky_heat_w_m2: turn(&hours.sky_heat_w_m2),
        rain_tenth_mm: turn(&hours.rain_tenth_mm),
    }
}

/// A weather file as understood.
#[expect(clippy::large_enum_variant, reason = "one lives at a time")]
#[derive(Clone, Debug)]
pub enum WeatherFile {
    Hours(Imported),
    Table(TableRead),
}

impl WeatherFile {
    /// What the climate would take, if there is no question left.
    #[must_use]
    pub fn imported(&self) -> Option<&Imported> {
        match self {
            Self::Hours(imported) => Some(imported),
            Self::Table(table) => table.imported.as_ref(),
        }
    }
}

/// Reads a weather file of either sort: an EPW file by its first word, else a table of days or hours.
///
/// # Errors
/// [`ImportError`].
pub fn read(
    path: &Path,
    place: &Place,
    asked: &Asked,
    progress: &Progress,
) -> Result<WeatherFile, ImportError> {
    let named_epw = path
        .extension()
        .is_some_and(|e| e.eq_ignore_ascii_case("epw"));
    if named_epw || looks_like_epw(path) {
        epw_file(path).map(WeatherFile::Hours)
    } else {
        table::read(path, place, asked, progress).map(WeatherFile::Table)
    }
}

/// Reads an hourly weather file (EPW).
///
/// # Errors
/// [`ImportError`], naming line and field and what to do.
pub fn epw_file(path: &Path) -> Result<Imported, ImportError> {
    epw::read(&text_of(path)?)
}

/// Whether a file begins as an EPW file does.
#[must_use]
pub fn looks_like_epw(path: &Path) -> bool {
    let mut start = [0_u8; 64];
    let read = File::open(path).and_then(|mut f| f.read(&mut start));
    read.is_ok_and(|n| {
        let start = start.get(..n).unwrap_or_default();
        let start = start.strip_prefix(b"\xef\xbb\xbf").unwrap_or(start);
        start
            .get(..8)
            .is_some_and(|s| s.eq_ignore_ascii_case(b"LOCATION"))
    })
}

/// A file's text: UTF-8, or else as western Europe writes single bytes.
fn text_of(path: &Path) -> Result<String, ImportError> {
    let file = File::open(path).map_err(ImportError::Io)?;
    let size = file.metadata().map_err(ImportError::Io)?.len();
    if size > MOST_BYTES {
        return Err(Fault::of_file(
            format!("the file has {:.1} GB", size as f64 / 1e9),
            "a year of hours has under 2 MB: choose the weather file itself, not an archive or a collection",
        )
        .into());
    }
    let mut bytes = Vec::with_capacity(size as usize);
    file.take(MOST_BYTES)
        .read_to_end(&mut bytes)
        .map_err(ImportError::Io)?;
    text(bytes)
}

/// # Errors
/// Where the bytes are no text.
pub fn text(bytes: Vec<u8>) -> Result<String, ImportError> {
    let start = bytes.get(..4096.min(bytes.len())).unwrap_or_default();
    if start.starts_with(b"PK\x03\x04") || start.starts_with(&[0x1f, 0x8b]) {
        return Err(Fault::of_file(
            "this is a packed archive".to_owned(),
            "unpack it and choose the .epw file in it",
        )
        .into());
    }
    let odd = start
        .iter()
        .filter(|b| **b < 9 || (14..32).contains(*b))
        .count();
    if odd * 200 > start.len() {
        return Err(Fault::of_file(
            "this is not text".to_owned(),
            "choose a weather file: an EPW file begins with the word LOCATION",
        )
        .into());
    }
    Ok(match String::from_utf8(bytes) {
        Ok(text) => text,
        Err(e) => e.into_bytes().into_iter().map(char::from).collect(),
    })
}
