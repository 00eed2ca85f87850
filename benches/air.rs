//! Air at twenty spots: the typical year by the hour, and two hundred weather years of risk. Aims: 30 ms of one core for
//! the hours, 1 s for the years. A forecast is to be there at once: 100 ms.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use sillward::{
    air::{
        AirInputs, SpotAir,
        forecast::{ForecastDay, nights},
        spots_year,
    },
    base::{Id, Progress, Pt, calendar::HOURS},
    climate,
    light::{LightFactors, SpotLight},
    site::{Climate, Place, Room, Site, Spot, Window},
    sun::SunTable,
};

fn air(c: &mut Criterion) {
    let place = Place {
        latitude_deg: 47.4,
        longitude_deg: 8.5,
        elevation_m: 400.0,
        ..Place::default()
    };
    let mut known = Climate::default();
    known.normals.night_min_c = Some([
        -2.0, -1.8, 1.1, 4.2, 8.5, 11.7, 13.7, 13.6, 10.0, 6.6, 1.7, -0.8,
    ]);
    known.normals.day_max_c = Some([
        3.0, 4.8, 9.6, 14.0, 18.4, 22.0, 24.3, 23.6, 19.1, 13.8, 7.2, 3.7,
    ]);
    let sun = SunTable::of(&place);
    let progress = Progress::new();
    let Ok(weather) = climate::weather(&place, &known, &sun, &progress) else {
        return;
    };
    let mut site = Site::default();
    site.rooms.put(
        Id::new("room"),
        Room {
            outline: vec![Pt(0.0, 0.0), Pt(4.0, 0.0), Pt(4.0, 5.0), Pt(0.0, 5.0)],
            ..Room::default()
        },
    );
    site.windows.put(
        Id::new("window"),
        Window {
            room: Id::new("room"),
            ..Window::default()
        },
    );
    let spots: Vec<(Id, Spot)> = (0..20)
        .map(|i| {
            let indoors = i % 4 == 0;
            let spot = Spot {
                room: indoors.then(|| Id::new("room")),
                outline: vec![Pt(1.0, if indoors { 0.2 } else { -f64::from(i) })],
                ..Spot::default()
            };
            (Id::new(&format!("spot-{i}")), spot)
        })
        .collect();
    let given: Vec<(&Id, &Spot)> = spots.iter().map(|(id, spot)| (id, spot)).collect();
    let light = SpotLight {
        sky_ppfd: vec![100.0; HOURS],
        factors: vec![
            LightFactors {
                sky_view_cosine: 0.7,
                ..LightFactors::default()
            };
            12
        ],
        ..SpotLight::default()
    };
    let light = vec![light; given.len()];
    let mut without_years = weather.clone();
    without_years.years = climate::WeatherYears::default();
    for (name, weather) in [
        ("air: 20 spots by the hour", &without_years),
        ("air: 20 spots with 200 weather years", &weather),
    ] {
        let inputs = AirInputs {
            place: &place,
            sun: &sun,
            weather,
        };
        c.bench_function(name, |b| {
            b.iter(|| black_box(spots_year(&inputs, &site, &given, &light, &progress)));
        });
    }
    let inputs = AirInputs {
        place: &place,
        sun: &sun,
        weather: &weather,
    };
    let Ok(airs) = spots_year(&inputs, &site, &given, &light, &progress) else {
        return;
    };
    let lights: Vec<&SpotLight> = light.iter().collect();
    let airs: Vec<&SpotAir> = airs.iter().collect();
    let Some(first) = chrono::NaiveDate::from_ymd_opt(2026, 12, 5) else {
        return;
    };
    let week: Vec<ForecastDay> = first
        .iter_days()
        .take(7)
        .map(|date| ForecastDay {
            date,
            night_min_c: -3.0,
            day_max_c: Some(4.0),
            wind_m_s: None,
            cloud: None,
        })
        .collect();
    c.bench_function("air: a week's forecast at 20 spots", |b| {
        b.iter(|| {
            black_box(nights(
                &inputs, &site, &given, &lights, &airs, &week, &progress,
            ))
        });
    });
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(10);
    targets = air
}
criterion_main!(benches);
