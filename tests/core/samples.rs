//! The sample sites that come with the program.

use sillward::site::samples::{SAMPLES, by_id};

#[test]
fn samples_are_found_by_their_identifier() {
    for sample in SAMPLES {
        let found = by_id(sample.id).expect(sample.id);
        assert_eq!(found.title, sample.title);
    }
    assert!(by_id("no-such-sample").is_none());
}

#[test]
fn every_sample_is_read_without_a_fault() {
    for sample in SAMPLES {
        let read = sample
            .read()
            .unwrap_or_else(|e| panic!("{}: {e}", sample.id));
        assert!(
            (8..=20).contains(&read.site.plants.len()) && (8..=14).contains(&read.site.spots.len())
        );
        let doubts: Vec<String> = read.doubts.iter().map(ToString::to_string).collect();
        assert!(doubts.is_empty(), "{}: {doubts:#?}", sample.id);
    }
}
