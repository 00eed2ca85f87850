//! Every change to a site is an [`Edit`]; nothing else has `&mut` to one.
