"""Positions, rises and sets of the sun by pvlib's SPA. Run: python make.py (needs pvlib)."""

import csv

import numpy as np
import pandas as pd
import pvlib

PLACES = [
    # name, latitude, longitude, elevation m, standard offset h
    ("zurich", 47.37, 8.54, 400, 1),
    ("singapore", 1.35, 103.82, 15, 8),
    ("hobart", -42.88, 147.33, 50, 10),
    ("la-paz", -16.5, -68.15, 4000, -4),
    ("reykjavik", 64.15, -21.94, 30, 0),
    ("longyearbyen", 78.22, 15.63, 20, 1),
]


def positions():
    rng = np.random.default_rng(7)
    for name, lat, lon, elevation, _ in PLACES:
        # The year the program computes with and a few far from it.
        starts = {2027: 70, 1995: 10, 2050: 10}
        for year, count in starts.items():
            seconds = np.sort(rng.integers(0, 365 * 86400, count))
            when = pd.to_datetime(f"{year}-01-01T00:00:00Z") + pd.to_timedelta(seconds, unit="s")
            sun = pvlib.solarposition.spa_python(
                when, lat, lon, altitude=elevation,
                pressure=pvlib.atmosphere.alt2pres(elevation), temperature=15.0, delta_t=None,
            )
            for t, row in zip(when, sun.itertuples()):
                yield [name, lat, lon, elevation, t.strftime("%Y-%m-%dT%H:%M:%SZ"),
                       f"{row.azimuth:.5f}", f"{row.apparent_elevation:.5f}", f"{row.elevation:.5f}"]


def crossing(value, low, high):
    """Hour between two, on which a value changes its sign."""
    below = value(low)
    for _ in range(40):
        middle = (low + high) / 2
        if (value(middle) > 0) == (below > 0):
            low = middle
        else:
            high = middle
    return (low + high) / 2


def events():
    for name, lat, lon, elevation, offset in PLACES[:5]:
        for day in range(0, 365, 15):
            midnight = pd.Timestamp("2027-01-01T00:00:00Z") + pd.Timedelta(days=day, hours=-offset)

            def sun(hour):
                when = pd.DatetimeIndex([midnight + pd.Timedelta(hours=hour)])
                return pvlib.solarposition.spa_python(when, lat, lon, altitude=0, delta_t=None).iloc[0]

            def east(hour):
                return np.sin(np.radians(sun(hour).azimuth))

            def limb(hour):
                return sun(hour).elevation + 50 / 60

            noon = 12 + offset - lon / 15
            transit = crossing(east, noon - 1, noon + 1)
            yield [name, lat, lon, elevation, offset, day, f"{crossing(limb, transit - 12, transit):.5f}",
                   f"{crossing(limb, transit, transit + 12):.5f}", f"{transit:.5f}"]


def write(path, header, rows):
    with open(path, "w", newline="") as f:
        out = csv.writer(f, lineterminator="\n")
        out.writerow(header)
        out.writerows(rows)


write("positions.csv",
      ["place", "latitude_deg", "longitude_deg", "elevation_m", "utc", "azimuth_deg", "apparent_elevation_deg",
       "true_elevation_deg"], positions())
write("events.csv",
      ["place", "latitude_deg", "longitude_deg", "elevation_m", "offset_h", "day", "rise_h", "set_h", "transit_h"],
      events())
