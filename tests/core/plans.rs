//! Plans, held against an independent optimiser and the rules.
