//! Air at a spot, held against published relations and library values.
