//! The modules point one way.

use super::source::{code_only, files};

/// In the order of the flow: a module may name only those before it.
const FLOW: &[&str] = &[
    "base",
    "needs",
    "places",
    "site",
    "sun",
    "climate",
    "stages",
    "sky",
    "light",
    "air",
    "scoring",
    "planner",
    "cloth",
    "prospects",
    "care",
    "trouble",
    "pipeline",
    "commands",
    "app",
];

/// First segments of all paths that begin with `crate::`, also in groups over several lines.
fn crate_paths(code: &str) -> Vec<String> {
    let segment = |text: &str| {
        text.trim_start()
            .chars()
            .take_while(|c| c.is_alphanumeric() || *c == '_')
            .collect()
    };
    let mut found = Vec::new();
    for (at, _) in code.match_indices("crate::") {
        let rest = &code[at + "crate::".len()..];
        let Some(group) = rest.trim_start().strip_prefix('{') else {
            found.push(segment(rest));
            continue;
        };
        let (mut depth, mut start) = (0_i32, 0);
        for (i, c) in group.char_indices() {
            match c {
                '{' => depth += 1,
                '}' if depth == 0 => {
                    found.push(segment(&group[start..i]));
                    break;
                }
                '}' => depth -= 1,
                ',' if depth == 0 => {
                    found.push(segment(&group[start..i]));
                    start = i + 1;
                }
                _ => {}
            }
        }
    }
    found.retain(|s: &String| !s.is_empty());
    found
}

#[test]
fn every_form_of_import_is_seen() {
    let code = "use crate::base::Id; use crate::{\n    light::{self, Scene},\n    air,\n};\nfn f() { crate::sun::table(); }";
    assert_eq!(crate_paths(code), ["base", "light", "air", "sun"]);
}

#[test]
fn modules_point_one_way() {
    let mut faults = Vec::new();
    for (rank, module) in FLOW.iter().enumerate() {
        for (file, text) in files(&format!("src/{module}"), &["rs"]) {
            let code = code_only(&text);
            for named in crate_paths(&code) {
                let later = FLOW[rank + 1..].contains(&named.as_str());
                let sides = *module == "app" && named == "commands";
                if later || sides {
                    faults.push(format!("{file} names `{named}`, which comes after `{module}`: move what both need to the left"));
                }
            }
            if *module != "app" {
                for window in ["egui", "eframe", "egui_plot", "rfd"] {
                    if code.contains(&format!("{window}::"))
                        || code.contains(&format!("use {window}"))
                    {
                        faults.push(format!("{file} uses {window}: only src/app may"));
                    }
                }
            }
            for output in ["println!", "eprintln!", "dbg!", "todo!", "unimplemented!"] {
                if code.contains(output) {
                    faults.push(format!(
                        "{file} has {output}: commands answer with text, the app shows it"
                    ));
                }
            }
        }
    }
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}

#[test]
fn every_module_is_in_the_flow() {
    let lib = std::fs::read_to_string(super::source::at("src/lib.rs")).unwrap();
    let listed: Vec<&str> = lib
        .lines()
        .filter_map(|l| l.strip_prefix("pub mod "))
        .filter_map(|l| l.strip_suffix(';'))
        .collect();
    assert_eq!(
        listed, FLOW,
        "src/lib.rs lists the modules in the order of the flow"
    );
}
