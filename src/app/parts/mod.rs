//! Small pieces that several desks are made of.

pub mod caution;
pub mod curves;
pub mod dates;
pub mod empty;
pub mod escape;
pub mod figures;
pub mod file_choice;
pub mod form;
pub mod icons;
pub mod kept;
pub mod keys;
pub mod locale;
pub mod menus;
pub mod question;
pub mod score;
pub mod tabs;
pub mod weeks;
pub mod words;
