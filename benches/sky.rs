//! Speed of the stages from place to sky: each runs once when place or climate change.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use sillward::{
    base::Progress,
    climate::{import, risks::Risks, weather},
    places,
    site::{Climate, Place},
    sky::{SkyYear, patch_radiance, reinhart},
    sun::{SunPosition, SunTable, position},
};

fn stages(c: &mut Criterion) {
    let place = Place {
        latitude_deg: 47.4,
        longitude_deg: 8.5,
        elevation_m: 450.0,
        time_zone: "Europe/Zurich".to_owned(),
        ..Place::default()
    };
    let climate = Climate {
        record_low_c: Some(-19.0),
        ..Climate::default()
    };
    let sun = SunTable::of(&place);
    let computed = weather(&place, &climate, &sun, &Progress::new()).unwrap_or_default();
    let when = chrono::DateTime::UNIX_EPOCH + chrono::Duration::days(20_000);
    let patches = reinhart();
    let noon = SunPosition {
        azimuth_rad: 3.1,
        elevation_rad: 0.9,
    };

    let mut group = c.benchmark_group("sky");
    group.sample_size(20);
    group.bench_function("one sun position", |b| {
        b.iter(|| position(black_box(&place), black_box(when)));
    });
    group.bench_function("sun table of a year", |b| {
        b.iter(|| SunTable::of(black_box(&place)));
    });
    group.bench_function("typical year and 200 weather years", |b| {
        b.iter(|| weather(&place, black_box(&climate), &sun, &Progress::new()));
    });
    group.bench_function("risks of 200 weather years", |b| {
        b.iter(|| Risks::of(black_box(&computed.years), 0.0, 20.0));
    });
    group.bench_function("towns by a name", |b| {
        b.iter(|| places::find(black_box("san"), 8));
    });
    group.bench_function("nearest town", |b| {
        b.iter(|| places::nearest(black_box(47.4), 8.5));
    });
    let epw = include_str!("../tests/reference/climate/greensboro.epw");
    group.bench_function("hourly weather file", |b| {
        b.iter(|| import::epw::read(black_box(epw)).is_ok());
    });
    group.bench_function("sky of one hour", |b| {
        b.iter(|| patch_radiance(&patches, black_box(noon), 700.0, 120.0, 1361.0));
    });
    group.bench_function("skies of a year", |b| {
        b.iter(|| SkyYear::of(&place, &sun, black_box(&computed.typical)));
    });
    group.finish();
}

criterion_group!(benches, stages);
criterion_main!(benches);
