//! The sample sites that come with the program.

use sillward::site::samples::SAMPLES;

#[test]
fn every_sample_is_read_without_a_fault() {
    for sample in SAMPLES {
        let read = sample
            .read()
            .unwrap_or_else(|e| panic!("{}: {e}", sample.id));
        assert!(!read.site.plants.is_empty() && !read.site.spots.is_empty());
    }
}
