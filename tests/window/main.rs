//! The window through accessible names, pointer and keys; one file per desk.

mod site_desk;
