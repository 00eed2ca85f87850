"""Coastline for the distance to the sea. Run: python make_coast.py NATURALEARTH_LOWRES_SHP (packages shapely and pyshp).

The shapefile of lands in 1:110 million; README.md says where it comes from. Borders between countries are dissolved,
islands under 0.2 square degrees left out, corners thinned to 0.03 degrees and rounded to 0.01.
"""

import pathlib
import sys

import shapefile
from shapely.geometry import Polygon, shape
from shapely.ops import unary_union

SLIVER = 0.02
LEAST_AREA = 0.2

lands = [shape(s.__geo_interface__).buffer(SLIVER) for s in shapefile.Reader(sys.argv[1]).shapes()]
whole = unary_union(lands).buffer(-SLIVER)
lines = ["# Coasts: one ring a line, longitude and latitude in degrees. Made with Natural Earth, public domain."]
for land in whole.geoms:
    for ring in [land.exterior, *land.interiors]:
        if Polygon(ring).area >= LEAST_AREA:
            corners = ring.simplify(0.03).coords
            lines.append(" ".join(f"{x:.2f},{y:.2f}" for x, y in corners))
lines[1:] = sorted(lines[1:])
pathlib.Path(__file__).with_name("coasts.txt").write_text("\n".join(lines) + "\n")
