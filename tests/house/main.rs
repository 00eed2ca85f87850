//! Rules of the house, held by reading the source: which way modules point, what assets carry, what is nowhere said.

mod assets;
mod figures;
mod flow;
mod source;
mod words;
