//! `sample-sites/FORMAT.md` is made from the code: field docs from the source, usual values from the `Default`s.
//!
//! `SILLWARD_BLESS=1 cargo test --test core format` writes it anew.

use std::{collections::BTreeMap, fmt::Write, fs, path::Path};

use serde_json::Value;
use sillward::{needs, site};

/// Files that hold the format, in the order of the reference.
const FILES: &[(&str, &str)] = &[
    ("The site", "src/site/document/mod.rs"),
    ("Place", "src/site/document/place.rs"),
    ("Climate", "src/site/document/climate.rs"),
    ("Hours of a typical year", "src/site/document/hours.rs"),
    ("House", "src/site/document/house.rs"),
    ("Garden", "src/site/document/garden.rs"),
    ("Shade cloth", "src/site/document/cloth.rs"),
    (
        "Heaters, vents, fans, trays",
        "src/site/document/devices.rs",
    ),
    ("Spots and readings", "src/site/document/spot.rs"),
    ("Logger records", "src/site/document/logged.rs"),
    ("Plants", "src/site/document/plant.rs"),
    ("Forecast", "src/site/document/forecast.rs"),
    ("Journal", "src/site/document/journal.rs"),
    ("Choices", "src/site/document/choices.rs"),
    ("Drawing", "src/site/document/drawing.rs"),
    ("Plant kinds of your own", "src/needs/kind.rs"),
    ("Figures and their sources", "src/needs/figure.rs"),
];

const INTRODUCTION: &str = "\
# The site file

One grower's house, garden, plants and choices are one text file, written in RON (a notation for data that reads like
the literals of the language this program is written in). This page is made from the program's source; the three
files beside it are invented examples with comments.

## How to write it

- `( field: value, … )` holds fields by name, `{ \"some-id\": ( … ), … }` is a table of objects, `[ … ]` a list.
- Commas part; one after the last entry does no harm. `// …` is a comment. Saving from the program drops comments.
- A field that is left out has its usual value, given below. Where it says *needed*, it must be written.
- An identifier is 1 to 48 lower-case letters, digits and dashes: `\"south-sill\"`.
- A point is `(x, y)` in metres on the plan, x to the right and y up. An outline is a list of points round the rim,
  either way round; the last leads back to the first by itself.
- Heights are metres above the ground, unless the field says that they count from the floor. Angles are degrees,
  clockwise; angles on the plan count from plan-up. Temperatures are °C.
- Months are a list of numbers: `[11, 12, 1, 2]`. Dates are `\"2026-10-25\"`, with a time `\"2026-10-25T13:30:00\"` (clock
  time at the place), days that come back every year `\"10-25\"`.
- A choice between several things is a bare word: `kind: Hedge`; some carry values: `roof: Gable(ridge_m: 6.5)`.

Reading a file tells every fault at once, each with its line and its remedy; doubts are told and do not stop anything.
`sillward check FILE` does the same without a window.
";

#[derive(Debug, Default)]
struct Type {
    name: String,
    doc: String,
    is_enum: bool,
    /// All fields have usual values.
    all_default: bool,
    fields: Vec<Field>,
}

#[derive(Debug, Default)]
struct Field {
    name: String,
    kind: String,
    doc: String,
    default: Option<Usual>,
    /// Fields of a variant.
    inner: Vec<Field>,
}

#[derive(Clone, Debug)]
enum Usual {
    OfType,
    Figure(String),
}

/// Reads the types of a file: just what the document's files contain, no more of the language.
fn types(source: &str) -> Vec<Type> {
    let source = source.split("#[cfg(test)]").next().unwrap_or_default();
    let mut found: Vec<Type> = Vec::new();
    let (mut doc, mut attributes) = (String::new(), String::new());
    let mut within: Option<Type> = None;
    let mut variant: Option<Field> = None;
    for line in source.lines() {
        let text = line.trim();
        if let Some(said) = text.strip_prefix("///") {
            if !doc.is_empty() && !said.trim().is_empty() {
                doc.push(' ');
            }
            doc.push_str(said.trim());
        } else if text.starts_with("#[") {
            attributes.push_str(text);
        } else if let Some(head) = text
            .strip_prefix("pub struct ")
            .or_else(|| text.strip_prefix("pub enum "))
            .filter(|_| within.is_none())
        {
            let name: String = head.chars().take_while(|c| c.is_alphanumeric()).collect();
            let new = Type {
                name,
                doc: std::mem::take(&mut doc),
                is_enum: text.starts_with("pub enum"),
                all_default: attributes.contains("serde(default"),
                fields: Vec::new(),
            };
            attributes.clear();
            if text.ends_with('{') {
                within = Some(new);
            } else if let Some(content) = head.split_once('(') {
                // A tuple: described by its own doc.
                let mut new = new;
                new.fields.push(Field {
                    kind: content.1.trim_end_matches(");").to_owned(),
                    ..Field::default()
                });
                found.push(new);
            }
        } else if let Some(current) = &mut within {
            let field = |text: &str, doc: &mut String, attributes: &mut String| {
                let (name, kind) = text
                    .trim_start_matches("pub ")
                    .trim_end_matches(',')
                    .split_once(": ")
                    .map_or((text.trim_end_matches(','), ""), |(n, k)| (n, k));
                let default = if let Some(rest) = attributes.split("default = \"").nth(1) {
                    let function = rest.split('"').next().unwrap_or_default();
                    let body = source.split(&format!("fn {function}()")).nth(1);
                    body.and_then(|b| b.lines().nth(1))
                        .map(|l| Usual::Figure(l.trim().to_owned()))
                } else if attributes.contains("(default") || attributes.contains(", default") {
                    Some(Usual::OfType)
                } else {
                    None
                };
                attributes.clear();
                Field {
                    name: name.to_owned(),
                    kind: kind.to_owned(),
                    doc: std::mem::take(doc),
                    default,
                    inner: Vec::new(),
                }
            };
            if text == "}" {
                found.extend(within.take());
            } else if text == "}," {
                current.fields.extend(variant.take());
            } else if let Some(open) = &mut variant {
                open.inner.push(field(text, &mut doc, &mut attributes));
            } else if text.is_empty() {
            } else if current.is_enum && text.ends_with('{') {
                let name = text.trim_end_matches(" {");
                variant = Some(field(name, &mut doc, &mut attributes));
            } else if current.is_enum {
                let text = text.trim_end_matches(',');
                if let Some((name, inner)) = text.split_once(" { ") {
                    let mut new = field(name, &mut doc, &mut attributes);
                    for part in inner.trim_end_matches(" }").split(", ") {
                        new.inner.push(field(part, &mut doc, &mut attributes));
                    }
                    current.fields.push(new);
                } else {
                    let (name, content) = text
                        .split_once('(')
                        .map_or((text, ""), |(n, c)| (n, c.trim_end_matches(')')));
                    let mut new = field(name, &mut doc, &mut attributes);
                    content.clone_into(&mut new.kind);
                    current.fields.push(new);
                }
            } else {
                current.fields.push(field(text, &mut doc, &mut attributes));
            }
        } else {
            doc.clear();
            attributes.clear();
        }
    }
    found
}

/// Usual values of the types that have them, by type and field.
fn usual() -> BTreeMap<&'static str, Value> {
    macro_rules! of {
        ($($module:ident :: $($name:ident)::+),+ $(,)?) => {
            [$((last(stringify!($($name)::+)), serde_json::to_value($module::$($name)::+::default()).unwrap())),+]
        };
    }
    fn last(path: &'static str) -> &'static str {
        path.rsplit("::").next().unwrap_or(path).trim()
    }
    of!(
        site::Site,
        site::Place,
        site::Climate,
        site::Normals,
        site::DayToDay,
        site::TypicalHours,
        site::Building,
        site::Room,
        site::Window,
        site::Covering,
        site::Opened,
        site::NightCover,
        site::Canopy,
        site::Screen,
        site::Tree,
        site::Ground,
        site::Cloth,
        site::Heater,
        site::Timetable,
        site::Vent,
        site::Fan,
        site::Tray,
        site::Spot,
        site::Holds,
        site::Plant,
        site::Pot,
        site::Choices,
        site::Drawing,
        site::Underlay,
        needs::kind::Weights,
    )
    .into()
}

/// Type of a field in the grower's words, with links to the types described on this page.
fn kind_words(kind: &str, name: &str, known: &[String]) -> String {
    let inner = |prefix: &str| {
        kind.strip_prefix(prefix)
            .and_then(|k| k.strip_suffix('>'))
            .map(str::to_owned)
    };
    if let Some(k) = inner("Option<").or_else(|| inner("Arc<")) {
        return kind_words(&k, name, known);
    }
    if let Some(k) = inner("Table<") {
        return format!("table of {}", link(&k, known));
    }
    if let Some(k) = inner("Figure<") {
        return format!("{} with its source", kind_words(&k, name, known));
    }
    if kind == "Vec<Pt>" {
        return "list of points".to_owned();
    }
    if let Some(k) = inner("Vec<") {
        return format!("list of {}", link(&k, known));
    }
    match kind {
        "f64" => match unit(name) {
            "" => "number".to_owned(),
            unit => unit.to_owned(),
        },
        "Monthly" => format!(
            "{}, each may be `None`",
            kind_words("[f64; 12]", name, known)
        ),
        "[f64; 12]" => match unit(name) {
            "" => "12 numbers".to_owned(),
            unit => format!("12 × {unit}"),
        },
        "(f64, f64)" => "(number, number)".to_owned(),
        "u32" | "u64" | "usize" => "whole number".to_owned(),
        "bool" => "`true` or `false`".to_owned(),
        "String" => "text".to_owned(),
        "T" => "the value".to_owned(),
        "Id" => "identifier".to_owned(),
        "ObjectKind" => "word".to_owned(),
        "Pt" => "point".to_owned(),
        "Months" => "months".to_owned(),
        "MonthDay" => "day of the year".to_owned(),
        "NaiveDate" => "date".to_owned(),
        "NaiveDateTime" => "date and time".to_owned(),
        other => link(other.rsplit("::").next().unwrap_or(other), known),
    }
}

fn unit(name: &str) -> &'static str {
    const UNITS: &[(&str, &str)] = &[
        ("_mj_m2_d", "MJ/m² a day"),
        ("_mol_m2_s", "mol m⁻² s⁻¹"),
        ("_mg_l", "mg/L"),
        ("_kg_d", "kg a day"),
        ("_per_h", "per hour"),
        ("_m_s", "m/s"),
        ("_m2", "m²"),
        ("_deg", "°"),
        ("_pct", "%"),
        ("_cm", "cm"),
        ("_mm", "mm"),
        ("_kg", "kg"),
        ("_sd_k", "K"),
        ("_m", "m"),
        ("_c", "°C"),
        ("_k", "K"),
        ("_w", "W"),
        ("_h", "h"),
        ("_d", "days"),
    ];
    UNITS
        .iter()
        .find(|(ending, _)| name.ends_with(ending))
        .map_or("", |(_, unit)| unit)
}

fn link(name: &str, known: &[String]) -> String {
    if known.iter().any(|k| k == name) {
        format!("[{name}](#{})", name.to_lowercase())
    } else {
        name.to_lowercase()
    }
}

fn value_words(
    value: Option<&Value>,
    kind: &str,
    enums: &[String],
    usual: &BTreeMap<&'static str, Value>,
) -> String {
    let bare = kind.trim_start_matches("Option<").trim_end_matches('>');
    match value {
        None | Some(Value::Null) => "none".to_owned(),
        Some(Value::Array(items)) if kind == "Months" => {
            if items.len() == 12 {
                "all".to_owned()
            } else {
                format!("`{}`", Value::Array(items.clone()))
            }
        }
        Some(Value::Array(items)) if items.is_empty() => "empty".to_owned(),
        Some(Value::Array(items)) if bare == "Pt" => {
            let xy: Vec<String> = items.iter().map(figure).collect();
            format!("({})", xy.join(", "))
        }
        Some(Value::Object(fields)) if fields.is_empty() => "empty".to_owned(),
        Some(Value::Object(fields)) if enums.iter().any(|e| e == bare) => {
            let content = fields.iter().next().map(|(variant, content)| {
                let figures: Vec<String> = content
                    .as_object()
                    .into_iter()
                    .flatten()
                    .filter(|(_, v)| v.is_number())
                    .map(|(name, v)| format!("{name}: {}", figure(v)))
                    .collect();
                format!("`{variant}({})`", figures.join(", "))
            });
            content.unwrap_or_default()
        }
        Some(Value::Object(fields)) => {
            // An object may usually have other values here than objects of its type have by themselves.
            let own = usual.get(bare.trim_start_matches("Arc<"));
            let different: Vec<String> = fields
                .iter()
                .filter(|(name, v)| own.and_then(|o| o.get(name.as_str())) != Some(v))
                .map(|(name, v)| format!("{name}: {}", v.to_string().replace(',', ", ")))
                .collect();
            if different.is_empty() {
                "as below".to_owned()
            } else {
                format!("`({})`", different.join(", "))
            }
        }
        Some(Value::String(text)) if enums.iter().any(|e| e == bare) => format!("`{text}`"),
        Some(Value::String(text)) if text.is_empty() => "empty".to_owned(),
        Some(Value::String(text)) => format!("\"{text}\""),
        Some(number) => figure(number),
    }
}

fn figure(value: &Value) -> String {
    match value.as_f64() {
        Some(v) => format!("{v}"),
        None => value.to_string(),
    }
}

/// Usual value of a field that may be left out of a type that is otherwise needed.
fn of_type(kind: &str) -> &'static str {
    match kind {
        "f64" | "u32" => "0",
        "Months" => "all",
        "SkyState" => "`Clear`",
        "LightForm" => "`Spreading`",
        "PotSense" => "`Ordinary`",
        "String" => "empty",
        "Weights" => "all 1",
        _ => "none",
    }
}

fn clean(doc: &str) -> String {
    // Links of the code's own documentation lead nowhere here.
    let mut text = String::new();
    let mut rest = doc;
    while let Some((before, after)) = rest.split_once("[`") {
        text.push_str(before);
        let (name, after) = after.split_once("`]").unwrap_or((after, ""));
        let name = name.trim_start_matches("super::").replace("Place::", "");
        let _ = write!(text, "`{name}`");
        rest = after;
    }
    text.push_str(rest);
    text.replace('|', "\\|")
        .replace("`None`", "none")
        .replace(" ..=", " to ")
        .replace("..=", " to ")
}

fn document(root: &Path) -> String {
    let chapters: Vec<(&str, Vec<Type>)> = FILES
        .iter()
        .map(|(title, file)| {
            let source = fs::read_to_string(root.join(file)).unwrap();
            (*title, types(&source))
        })
        .collect();
    let all = || chapters.iter().flat_map(|(_, types)| types);
    let known: Vec<String> = all().map(|t| t.name.clone()).collect();
    let enums: Vec<String> = all()
        .filter(|t| t.is_enum)
        .map(|t| t.name.clone())
        .collect();
    let usual = usual();
    let mut page = INTRODUCTION.to_owned();
    for (title, types) in &chapters {
        let _ = write!(page, "\n## {title}\n\n");
        for t in types {
            if t.name != *title {
                let _ = write!(page, "\n### {}\n\n", t.name);
            }
            if !t.doc.is_empty() {
                let _ = write!(page, "{}\n\n", clean(&t.doc));
            }
            if t.is_enum {
                for variant in &t.fields {
                    write_variant(&mut page, variant, &known);
                }
                continue;
            }
            if t.fields.iter().all(|f| f.name.is_empty()) {
                continue;
            }
            page.push_str("| field | value | usual | meaning |\n|---|---|---|---|\n");
            let defaults = usual.get(t.name.as_str());
            assert_eq!(
                t.all_default,
                defaults.is_some(),
                "{} is in the list of types with usual values",
                t.name
            );
            for field in &t.fields {
                let words = if field.name == "version" {
                    "*needed*".to_owned()
                } else {
                    match (defaults, &field.default) {
                        (Some(d), _) => {
                            value_words(d.get(&field.name), &field.kind, &enums, &usual)
                        }
                        (None, Some(Usual::OfType)) => of_type(&field.kind).to_owned(),
                        (None, Some(Usual::Figure(figure))) => figure.clone(),
                        (None, None) => "*needed*".to_owned(),
                    }
                };
                let weights = t.name == "Weights";
                write_row(&mut page, field, &words, &known, weights);
            }
        }
    }
    page.replace("\n\n\n", "\n\n")
}

fn write_row(page: &mut String, field: &Field, usual: &str, known: &[String], weight: bool) {
    // A weight is named after its factor, but has no unit.
    let name = if weight { "" } else { &field.name };
    let _ = writeln!(
        page,
        "| `{}` | {} | {usual} | {} |",
        field.name,
        kind_words(&field.kind, name, known),
        clean(&field.doc)
    );
}

fn write_variant(page: &mut String, variant: &Field, known: &[String]) {
    let content = match (variant.inner.as_slice(), variant.kind.as_str()) {
        ([], "") => String::new(),
        ([], kind) => format!("({})", kind_words(kind, &variant.name, known)),
        (fields, _) => {
            let names: Vec<&str> = fields.iter().map(|f| f.name.as_str()).collect();
            format!("({}: …)", names.join(": …, "))
        }
    };
    let _ = write!(page, "- `{}`{content}", variant.name);
    if !variant.doc.is_empty() {
        let _ = write!(page, ": {}", clean(&variant.doc));
    }
    page.push('\n');
    for field in &variant.inner {
        let usual = match &field.default {
            Some(Usual::Figure(figure)) => figure.as_str(),
            Some(Usual::OfType) => of_type(&field.kind),
            None => "*needed*",
        };
        let _ = write!(
            page,
            "  - `{}`: {}, {}",
            field.name,
            kind_words(&field.kind, &field.name, known),
            if usual == "*needed*" {
                usual.to_owned()
            } else {
                format!("usually {usual}")
            },
        );
        if !field.doc.is_empty() {
            let _ = write!(page, ". {}", clean(&field.doc));
        }
        page.push('\n');
    }
}

#[test]
fn the_reference_of_the_format_is_up_to_date() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let path = root.join("sample-sites/FORMAT.md");
    let page = document(root);
    if std::env::var_os("SILLWARD_BLESS").is_some() {
        fs::write(&path, &page).unwrap();
    }
    let written = fs::read_to_string(&path).unwrap_or_default();
    let differs = page
        .lines()
        .zip(written.lines())
        .position(|(a, b)| a != b)
        .map(|i| i + 1);
    assert!(
        page == written,
        "sample-sites/FORMAT.md is not what the code says (line {differs:?}): run \
         `SILLWARD_BLESS=1 cargo test --test core format` and look at the difference"
    );
}

#[test]
fn every_field_of_the_format_says_what_it_means_or_is_plain_by_its_name() {
    const PLAIN: &[&str] = &[
        "name", "note", "room", "kind", "months", "outline", "at", "runs", "place", "climate",
        "rooms", "trees", "cloths", "heaters", "vents", "fans", "spots", "plants", "journal",
        "choices",
    ];
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut silent = Vec::new();
    for (_, file) in FILES.iter().filter(|(_, f)| f.contains("site/document")) {
        for t in types(&fs::read_to_string(root.join(file)).unwrap()) {
            assert!(!t.fields.is_empty(), "{} has fields", t.name);
            for field in t.fields.iter().filter(|_| !t.is_enum) {
                let plain = PLAIN.contains(&field.name.as_str())
                    || !unit(&field.name).is_empty()
                    || !matches!(field.kind.as_str(), "f64" | "u32" | "usize" | "bool");
                if !plain && field.doc.is_empty() {
                    silent.push(format!("{}.{}", t.name, field.name));
                }
            }
        }
    }
    assert!(silent.is_empty(), "without a doc comment: {silent:?}");
}
