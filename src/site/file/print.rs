//! A site as text. Every object of a table has its own lines, one field each, so that a change shows as one line.

use std::{collections::BTreeMap, fmt::Write, sync::LazyLock};

use super::tree::Node;
use crate::{
    needs,
    site::{
        Building, Canopy, Choices, Climate, Cloth, Covering, DayToDay, Drawing, Fan, Ground,
        Heater, Holds, Normals, Place, Plant, Pot, Room, Screen, Site, Spot, Timetable, Tray, Tree,
        TypicalHours, Underlay, VERSION, Vent, Window,
    },
};

const HEADER: &str = "\
// Sillward site file. Metres on the plan, x to the right and y up; degrees clockwise; °C; months as numbers 1 to 12.
// A field that is left out has its usual value. sample-sites/FORMAT.md explains every field.
";

/// A line is not broken before this many characters, where what it holds can stand in one line.
const WIDTH: usize = 100;

pub(super) fn site(site: &Site) -> String {
    let site = Site {
        version: VERSION,
        ..site.clone()
    };
    let mut text = HEADER.to_owned();
    if let Some(mut node) = Node::of(&site) {
        leave_usual_out(&mut node);
        write_node(&mut text, &node, 0, Shape::Site);
    }
    text.push('\n');
    text
}

/// Usual values of the fields of each type, by the type's name. Only what reading puts in place of a missing field.
static USUAL: LazyLock<BTreeMap<&'static str, Vec<(&'static str, Node)>>> = LazyLock::new(|| {
    macro_rules! defaults {
        ($($t:ty),+ $(,)?) => { vec![$(Node::of(&<$t>::default())),+] };
    }
    let mut usual: BTreeMap<_, _> = defaults!(
        Site,
        Place,
        Climate,
        Normals,
        DayToDay,
        TypicalHours,
        Building,
        Room,
        Window,
        Covering,
        Canopy,
        Screen,
        Tree,
        Ground,
        Cloth,
        Heater,
        Vent,
        Fan,
        Tray,
        Timetable,
        Spot,
        Holds,
        Plant,
        Pot,
        Choices,
        Drawing,
        Underlay,
        needs::kind::Weights,
    )
    .into_iter()
    .flatten()
    .filter_map(|node| match node {
        Node::Fields { of, fields, .. } => Some((of, fields)),
        _ => None,
    })
    .collect();
    // Types of which only some fields can be left out.
    let text = || Node::Text(String::new());
    let all_year = || Node::of(&crate::base::Months::ALL).unwrap_or(Node::None);
    usual.insert("Flowering", vec![("spikes", Node::Whole(0))]);
    usual.insert("LightReading", vec![("sky", Node::Word("Clear"))]);
    let not = Node::of(&false).unwrap_or(Node::None);
    usual.insert("Logged", vec![("name", text()), ("open", not)]);
    usual.insert(
        "Heated",
        vec![
            ("day_from_h", Node::Number(6.5)),
            ("day_to_h", Node::Number(22.5)),
            ("months", all_year()),
            ("cool_to_c", Node::None),
        ],
    );
    usual.insert(
        "Unheated",
        vec![
            ("frost_guard_c", Node::None),
            ("shared_with_house", Node::Number(0.0)),
            ("aired_above_c", Node::None),
        ],
    );
    usual.insert(
        "Kind",
        vec![("light_form", Node::Word("Spreading")), ("note", text())],
    );
    let weights = Node::of(&needs::kind::Weights::default()).unwrap_or(Node::None);
    usual.insert(
        "Needs",
        vec![("day_night_k", Node::None), ("weights", weights)],
    );
    usual.insert("Water", vec![("note", text())]);
    usual.insert(
        "Feed",
        vec![
            ("interval_d", Node::None),
            ("nitrogen_mg_l", Node::None),
            ("note", text()),
        ],
    );
    usual.insert(
        "Repot",
        vec![
            ("note", text()),
            ("medium", text()),
            ("pot_sense", Node::Word("Ordinary")),
        ],
    );
    usual
});

/// Takes the fields out that reading would put in again.
fn leave_usual_out(node: &mut Node) {
    match node {
        Node::Fields { of, fields, .. } => {
            // The version is always written: without it no later program could tell what it reads.
            if let Some(usual) = USUAL.get(of) {
                fields.retain(|field| field.0 == "version" || !usual.contains(field));
            }
            for (_, value) in fields {
                leave_usual_out(value);
            }
        }
        Node::List(items) | Node::Group(items) => items.iter_mut().for_each(leave_usual_out),
        Node::Table(entries) => entries.iter_mut().for_each(|(_, v)| leave_usual_out(v)),
        Node::Holding(_, value) => leave_usual_out(value),
        Node::None
        | Node::Bool(_)
        | Node::Whole(_)
        | Node::Number(_)
        | Node::Text(_)
        | Node::Word(_) => {}
    }
}

/// How much room a value gets.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Shape {
    /// The whole site: an empty line before each table.
    Site,
    /// An object of a table: a line for each field.
    Object,
    /// In one line if it fits.
    Part,
}

fn write_node(text: &mut String, node: &Node, indent: usize, shape: Shape) {
    if shape == Shape::Part {
        let mut line = String::new();
        write_in_line(&mut line, node);
        let start = text.len() - text.rfind('\n').map_or(0, |i| i + 1);
        if start + line.chars().count() < WIDTH && !matches!(node, Node::Table(_)) {
            text.push_str(&line);
            return;
        }
    }
    let inner = indent + 1;
    match node {
        Node::Fields {
            of,
            variant,
            fields,
        } => {
            if *variant {
                text.push_str(of);
            }
            text.push('(');
            for (name, value) in fields {
                if shape == Shape::Site && matches!(value, Node::Table(_) | Node::Fields { .. }) {
                    text.push('\n');
                }
                new_line(text, inner);
                text.push_str(name);
                text.push_str(": ");
                write_node(text, value, inner, Shape::Part);
                text.push(',');
            }
            if !fields.is_empty() {
                new_line(text, indent);
            }
            text.push(')');
        }
        Node::Table(entries) => {
            text.push('{');
            for (id, value) in entries {
                new_line(text, inner);
                write_text(text, id);
                text.push_str(": ");
                write_node(text, value, inner, Shape::Object);
                text.push(',');
            }
            if !entries.is_empty() {
                new_line(text, indent);
            }
            text.push('}');
        }
        Node::List(items) | Node::Group(items) => {
            let (open, close) = brackets(node);
            text.push(open);
            if items.iter().all(is_small) {
                fill_lines(text, items, inner);
            } else {
                for item in items {
                    new_line(text, inner);
                    write_node(text, item, inner, Shape::Part);
                    text.push(',');
                }
            }
            new_line(text, indent);
            text.push(close);
        }
        Node::Holding(name, value) => {
            text.push_str(name);
            text.push('(');
            write_node(text, value, indent, Shape::Part);
            text.push(')');
        }
        _ => write_in_line(text, node),
    }
}

/// Numbers and points, as many in a line as fit.
fn fill_lines(text: &mut String, items: &[Node], indent: usize) {
    let mut column = usize::MAX;
    for item in items {
        let mut word = String::new();
        write_in_line(&mut word, item);
        word.push(',');
        if column.saturating_add(1 + word.len()) > WIDTH {
            new_line(text, indent);
            column = 4 * indent;
        } else {
            text.push(' ');
            column += 1;
        }
        column += word.len();
        text.push_str(&word);
    }
}

fn is_small(node: &Node) -> bool {
    match node {
        Node::Bool(_) | Node::Whole(_) | Node::Number(_) | Node::Word(_) => true,
        Node::Group(items) => items.iter().all(is_small),
        _ => false,
    }
}

fn brackets(node: &Node) -> (char, char) {
    if matches!(node, Node::List(_)) {
        ('[', ']')
    } else {
        ('(', ')')
    }
}

fn new_line(text: &mut String, indent: usize) {
    text.push('\n');
    text.extend(std::iter::repeat_n("    ", indent));
}

fn write_in_line(text: &mut String, node: &Node) {
    match node {
        Node::None => text.push_str("None"),
        Node::Bool(v) => text.push_str(if *v { "true" } else { "false" }),
        Node::Whole(v) => {
            let _ = write!(text, "{v}");
        }
        Node::Number(v) => write_number(text, *v),
        Node::Text(v) => write_text(text, v),
        Node::Word(v) => text.push_str(v),
        Node::List(items) | Node::Group(items) => {
            let (open, close) = brackets(node);
            text.push(open);
            for (i, item) in items.iter().enumerate() {
                if i > 0 {
                    text.push_str(", ");
                }
                write_in_line(text, item);
            }
            text.push(close);
        }
        Node::Table(entries) => {
            text.push('{');
            for (id, value) in entries {
                write_text(text, id);
                text.push_str(": ");
                write_in_line(text, value);
                text.push(',');
            }
            text.push('}');
        }
        Node::Fields {
            of,
            variant,
            fields,
        } => {
            if *variant {
                text.push_str(of);
            }
            text.push('(');
            for (i, (name, value)) in fields.iter().enumerate() {
                if i > 0 {
                    text.push_str(", ");
                }
                text.push_str(name);
                text.push_str(": ");
                write_in_line(text, value);
            }
            text.push(')');
        }
        Node::Holding(name, value) => {
            text.push_str(name);
            text.push('(');
            write_in_line(text, value);
            text.push(')');
        }
    }
}

/// The shortest figures that are read as the same number.
fn write_number(text: &mut String, v: f64) {
    let size = v.abs();
    let _ = if v.is_nan() {
        write!(text, "NaN")
    } else if size != 0.0 && !(1e-5..1e15).contains(&size) && v.is_finite() {
        write!(text, "{v:e}")
    } else {
        write!(text, "{v}")
    };
}

fn write_text(text: &mut String, v: &str) {
    text.push('"');
    for c in v.chars() {
        match c {
            '"' => text.push_str("\\\""),
            '\\' => text.push_str("\\\\"),
            '\n' => text.push_str("\\n"),
            '\r' => text.push_str("\\r"),
            '\t' => text.push_str("\\t"),
            c if c.is_control() => {
                let _ = write!(text, "\\u{{{:x}}}", u32::from(c));
            }
            c => text.push(c),
        }
    }
    text.push('"');
}
