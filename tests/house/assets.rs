//! What is shipped carries its licence and its source.

use super::source::{at, files};

#[test]
fn fonts_have_licences() {
    let licences: Vec<String> = files("assets/licences", &["txt", "md"])
        .into_iter()
        .map(|(name, _)| name)
        .collect();
    let fonts = std::fs::read_dir(at("assets/fonts")).unwrap();
    for font in fonts {
        let name = font.unwrap().file_name().to_string_lossy().into_owned();
        let family = name.split('-').next().unwrap().to_lowercase();
        assert!(
            licences.iter().any(|l| l.to_lowercase().contains(&family)),
            "assets/fonts/{name} needs a licence file in assets/licences whose name holds `{family}`; there are {licences:?}"
        );
    }
}

#[test]
fn samples_say_that_they_are_invented() {
    for sample in sillward::site::samples::SAMPLES {
        assert!(
            sample.text.to_lowercase().contains("invented"),
            "sample {} must say that it is invented",
            sample.id
        );
    }
    let in_folder = files("sample-sites", &["ron"]).len();
    assert_eq!(
        in_folder,
        sillward::site::samples::SAMPLES.len(),
        "each file of sample-sites is compiled in"
    );
}
