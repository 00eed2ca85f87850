//! Documents name what is there.

use super::source::at;

/// Paths in the text of a document that look like files of the project.
fn paths(text: &str) -> Vec<&str> {
    text.split(|c: char| c.is_whitespace() || "`()[],;:<>\"'".contains(c))
        .map(|w| w.trim_end_matches('.'))
        .filter(|w| {
            [
                "src/",
                "tests/",
                "assets/",
                "sample-sites/",
                "benches/",
                ".ci/",
            ]
            .iter()
            .any(|f| w.starts_with(f))
                && !w.contains('*')
                && !w.contains('…')
                && !w.contains('{')
        })
        .collect()
}

#[test]
fn documents_name_files_that_exist() {
    let mut missing = Vec::new();
    for document in ["README.md", "DEVELOPERS.md"] {
        let text = std::fs::read_to_string(at(document)).unwrap();
        let named = paths(&text);
        assert!(
            !named.is_empty(),
            "{document} names no file at all: is this test looking at it?"
        );
        missing.extend(
            named
                .into_iter()
                .filter(|p| !at(p).exists())
                .map(|p| format!("{document} names {p}")),
        );
    }
    assert!(missing.is_empty(), "not there:\n{}", missing.join("\n"));
}

#[test]
fn developers_guide_has_every_folder_of_the_source() {
    let text = std::fs::read_to_string(at("DEVELOPERS.md")).unwrap();
    for entry in std::fs::read_dir(at("src")).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            assert!(
                text.contains(&format!("`{name}`")),
                "DEVELOPERS.md says nothing of src/{name}"
            );
        }
    }
}

#[test]
fn readme_names_every_command() {
    use clap::CommandFactory;
    let text = std::fs::read_to_string(at("README.md")).unwrap();
    for command in sillward::commands::Cli::command().get_subcommands() {
        let call = format!("sillward {}", command.get_name());
        assert!(text.contains(&call), "README.md does not show `{call}`");
    }
}
