//! The trade's known verdicts on plants and places.
