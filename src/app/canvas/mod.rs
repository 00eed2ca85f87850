//! The plan to scale: pan, zoom, snap, tools, hit testing, drawing.
