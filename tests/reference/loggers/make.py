"""Makes a logger's file such as growers have, of a spot and of the open beside it; every figure is INVENTED.

The open air is that of the plain year in tests/core/air/fixture.rs (mean 10 °C less 9 K cos of the year, 4 K about it
by day), plus weather: a first-order process of daily anomalies, lag-1 correlation 0.7, 3 K. The spot's nights are
warmer by 1.6 K in mid January and 0.8 K in mid July, its afternoons by 0.7 K; a sensor's noise of 0.3 K, a resolution
of 0.1 K, two pauses, a doubled row, a spike. Clock time of Zurich, with the change of the clock in it.
"""
import datetime as dt
import sys
from zoneinfo import ZoneInfo

import numpy as np

rng = np.random.default_rng(20260920)
utc0 = dt.datetime(2025, 1, 31, 23, tzinfo=dt.timezone.utc)
days, zone = 240, ZoneInfo("Europe/Zurich")
anomaly = [0.0]
for _ in range(days):
    anomaly.append(0.7 * anomaly[-1] + 3.0 * np.sqrt(1 - 0.49) * rng.standard_normal())
rows = ["Datum;Uhrzeit;Temperatur Platz °C;Temperatur im Freien °C"]
for h in range(days * 24):
    local_standard = utc0 + dt.timedelta(hours=h + 1)
    n = local_standard.timetuple().tm_yday - 1
    clock = local_standard.hour + 0.5
    weather = np.interp(h / 24, np.arange(days + 1), anomaly)
    air = 10 - 9 * np.cos(2 * np.pi * (n - 15) / 365) - 4 * np.cos(2 * np.pi * (clock - 3.5) / 24) + weather
    season = np.cos(2 * np.pi * (n - 15) / 365)
    night = 1.2 + 0.4 * season
    by_night = 0.5 + 0.5 * np.cos(2 * np.pi * (clock - 3.5) / 24)
    spot = air + by_night * night + (1 - by_night) * 0.7
    if 900 <= h < 1100 or 3000 <= h < 3060:
        continue
    shown = (utc0 + dt.timedelta(hours=h)).astimezone(zone)
    values = [v + 0.3 * rng.standard_normal() for v in (spot, air)]
    if h == 2000:
        values[0] = 85.0
    line = f"{shown:%d.%m.%Y;%H:%M};" + ";".join(f"{v:.1f}".replace(".", ",") for v in values)
    rows.append(line)
    if h == 2500:
        rows.append(line)
open(sys.argv[1], "w", encoding="utf-8").write("\r\n".join(rows) + "\r\n")
