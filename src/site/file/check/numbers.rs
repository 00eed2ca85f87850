//! Numbers that are none: not-a-number and infinity, wherever they stand.

use super::list::Faults;
use crate::site::{Site, file::tree::Node};

pub(super) fn check(site: &Site, faults: &mut Faults) {
    if let Some(node) = Node::of(site) {
        walk(&node, &mut String::new(), faults);
    }
}

fn walk(node: &Node, path: &mut String, faults: &mut Faults) {
    let before = path.len();
    match node {
        Node::Number(v) if !v.is_finite() => faults.fault(
            path.clone(),
            format!("{v} is not a number that can be computed with"),
            "give a plain number",
        ),
        Node::List(items) => {
            for (i, item) in items.iter().enumerate() {
                path.push_str(&format!("[{i}]"));
                walk(item, path, faults);
                path.truncate(before);
            }
        }
        // A point is told as a whole.
        Node::Group(items) => {
            for item in items {
                walk(item, path, faults);
            }
        }
        Node::Table(entries) => {
            for (id, value) in entries {
                path.push_str(&format!(".{id:?}"));
                walk(value, path, faults);
                path.truncate(before);
            }
        }
        Node::Fields { fields, .. } => {
            for (name, value) in fields {
                if before > 0 {
                    path.push('.');
                }
                path.push_str(name);
                walk(value, path, faults);
                path.truncate(before);
            }
        }
        Node::Holding(_, value) => walk(value, path, faults),
        _ => {}
    }
}
