//! Light at a spot, held against closed forms and reference renderers.
