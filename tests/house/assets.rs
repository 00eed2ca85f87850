//! What is shipped carries its licence and its source.

use super::source::{at, files};

/// Letters and digits only: `SourceSans3-Regular.ttf` and `source-sans-3-OFL.md` speak of the same family.
fn plain(name: &str) -> String {
    let letters = name.chars().filter(|c| c.is_alphanumeric());
    letters.flat_map(char::to_lowercase).collect()
}

#[test]
fn fonts_have_licences() {
    let licences: Vec<String> = files("assets/licences", &["txt", "md"])
        .into_iter()
        .map(|(name, _)| plain(&name))
        .collect();
    let mut fonts = 0;
    for entry in std::fs::read_dir(at("assets/fonts")).unwrap() {
        let path = entry.unwrap().path();
        if !path.extension().is_some_and(|e| e == "ttf" || e == "otf") {
            continue;
        }
        fonts += 1;
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let family = plain(name.split('-').next().unwrap());
        assert!(
            licences.iter().any(|l| l.contains(&family)),
            "assets/fonts/{name} needs a licence file in assets/licences that names the family; there are {licences:?}"
        );
    }
    assert!(
        fonts > 0,
        "no font found: is this test looking at the right folder?"
    );
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
