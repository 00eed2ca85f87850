//! The project's own files as text.

use std::path::{Path, PathBuf};

/// Path from the package's root.
pub fn at(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

/// Every file below a folder with one of the endings, and its text, in the order of the paths.
pub fn files(folder: &str, endings: &[&str]) -> Vec<(String, String)> {
    let mut found = Vec::new();
    let mut folders = vec![at(folder)];
    while let Some(folder) = folders.pop() {
        for entry in
            std::fs::read_dir(&folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display()))
        {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path
                .extension()
                .is_some_and(|e| endings.iter().any(|x| e == *x))
            {
                let name = path.strip_prefix(at("")).unwrap().display().to_string();
                found.push((name, std::fs::read_to_string(&path).unwrap()));
            }
        }
    }
    found.sort();
    found
}

/// Source without comments and text literals, so that words in them do not count as code.
pub fn code_only(text: &str) -> String {
    let mut code = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        if rest.starts_with("//") {
            rest = &rest[rest.find('\n').unwrap_or(rest.len())..];
        } else if c == '"' {
            let mut escaped = false;
            let end = rest[1..].find(|c| {
                let end = c == '"' && !escaped;
                escaped = c == '\\' && !escaped;
                end
            });
            code.push_str("\"\"");
            rest = &rest[end.map_or(rest.len(), |e| e + 2)..];
        } else {
            code.push(c);
            rest = &rest[c.len_utf8()..];
        }
    }
    code
}
