//! Takes what is selected away: from the plan, the list of all that is drawn, the inspector.

use egui::Context;

use super::{change, shape::Item, tools::pick};
use crate::{
    app::{parts::keys, state::Request},
    site::Site,
};

/// As one step; what is locked stays, stays selected, and it is said.
pub fn delete(ctx: &Context, site: &Site, items: &[Item], requests: &mut Vec<Request>) {
    let (locked, free): (Vec<_>, Vec<_>) = items
        .iter()
        .cloned()
        .partition(|(kind, id)| site.drawing.is_locked(*kind, id));
    if !locked.is_empty() {
        requests.push(Request::Say(keys::locked(ctx)));
    }
    if !free.is_empty() {
        let name = pick::describe(site, &free);
        requests.push(Request::Edit(
            format!("Delete {name}"),
            change::removed(&free),
        ));
        requests.push(Request::Select(locked));
    }
}
