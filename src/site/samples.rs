//! Invented sample sites that come with the program.
