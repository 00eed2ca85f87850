"""Monthly normals and how hours and days lie about them at four stations. Run: python make.py.

Needs pvlib (which carries three typical meteorological years of the USA) and vega_datasets (four years of daily weather
of Seattle). Only derived means are kept.
"""

import csv
import pathlib

import numpy as np
import pandas as pd
import pvlib
from vega_datasets import local_data

DATA = pathlib.Path(pvlib.__file__).parent / "data"
TYPICAL = {
    "greensboro": ("723170TYA.CSV", pvlib.iotools.read_tmy3),
    "sand-point": ("703165TY.csv", pvlib.iotools.read_tmy3),
    "miami": ("12839.tm2", pvlib.iotools.read_tmy2),
}


def typical_hours(name):
    path, read = TYPICAL[name]
    data, meta = read(DATA / path, map_variables=True) if read is pvlib.iotools.read_tmy3 else read(DATA / path)
    low = {c.lower(): c for c in data.columns}

    def column(*names):
        return next(data[low[n]].to_numpy(float) for n in names if n in low)

    air = column("temp_air", "drybulb")
    if name == "miami":
        air = air / (1 if np.abs(air).max() < 60 else 10)
    humidity = column("relative_humidity", "rhum")
    hours = pd.DataFrame({
        # Temperature and humidity are read at the end of each hour: its mean lies between two readings.
        "air": (np.roll(air, 1) + air) / 2,
        "rh": (np.roll(humidity, 1) + humidity) / 2,
        "wind": column("wind_speed", "wspd"),
        "global": column("ghi"),
        "sky": column("dhi"),
    })
    if name == "miami" and hours.wind.max() > 60:
        hours.wind /= 10
    months = np.repeat(np.arange(12), np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]) * 24)
    hours["month"], hours["hour"], hours["day"] = months, np.arange(8760) % 24, np.arange(8760) // 24
    return hours, meta


def outside(latitude, day):
    doy = pd.DatetimeIndex(pd.Timestamp("2027-01-01") + pd.to_timedelta(day, unit="D"))
    d = pvlib.solarposition.declination_spencer71(doy.day_of_year.to_numpy())
    dr = pvlib.irradiance.get_extra_radiation(doy, solar_constant=1361.1, method="spencer").to_numpy() / 1361.1
    p = np.radians(latitude)
    w = np.arccos(np.clip(-np.tan(p) * np.tan(d), -1, 1))
    return 86400 / np.pi * 1361.1e-6 * dr * (w * np.sin(p) * np.sin(d) + np.cos(p) * np.cos(d) * np.sin(w))


def within_days(hours, latitude, longitude, elevation, zone):
    """Scatter of hourly clearness about that of its day, sun above 25 degrees, by classes of the day's."""
    when = pd.date_range("2027-01-01", periods=8760, freq="h", tz=f"Etc/GMT{-zone:+d}") + pd.Timedelta(minutes=30)
    zenith = pvlib.solarposition.get_solarposition(when, latitude, longitude, altitude=elevation).apparent_zenith
    level = (pvlib.irradiance.get_extra_radiation(when, solar_constant=1361.1) * np.cos(np.radians(zenith))).to_numpy()
    high = hours[(zenith.to_numpy() < 65)].assign(level=level[zenith.to_numpy() < 65])
    of_day = high.groupby("day")["global"].transform("sum") / high.groupby("day")["level"].transform("sum")
    off = high["global"] / high["level"] - of_day
    return [off[(of_day >= a) & (of_day < b)].std() for a, b in zip(CLASSES, CLASSES[1:])]


CLASSES = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8]
stations, normals, courses, scatter = [], [], [], []
for name in TYPICAL:
    hours, meta = typical_hours(name)
    low = {k.lower(): v for k, v in meta.items()}
    latitude = low["latitude"]
    zone = int(low.get("tz", low.get("utc_offset", 0)))
    stations.append([name, latitude, low["longitude"], low["altitude"], zone])
    scatter.append([name, *(f"{v:.3f}" for v in within_days(hours, latitude, low["longitude"], low["altitude"], zone))])
    days = hours.groupby("day").agg(low=("air", "min"), high=("air", "max"), month=("month", "first"),
                                    mj=("global", lambda g: g.sum() * 0.0036))
    days["kt"] = days.mj / outside(latitude, days.index.to_numpy())
    for m in range(12):
        d, h = days[days.month == m], hours[hours.month == m]
        normals.append([name, m + 1, *(f"{v:.3f}" for v in (
            d.low.mean(), d.high.mean(), d.mj.mean(), h.rh.mean(), h.wind.mean(),
            h["sky"].sum() / h["global"].sum(), d.kt.quantile(0.1), d.kt.quantile(0.5), d.kt.quantile(0.9)))])
        courses.append([name, m + 1, *(f"{v:.2f}" for v in h.groupby("hour").air.mean())])

seattle = local_data.seattle_weather()
seattle["m"], seattle["y"] = seattle.date.dt.month, seattle.date.dt.year
wet = seattle.precipitation >= 1.0
rows = []
low_off = seattle.temp_min - seattle.groupby("m").temp_min.transform("mean")
high_off = seattle.temp_max - seattle.groupby("m").temp_max.transform("mean")
for m in range(1, 13):
    s = seattle[seattle.m == m]
    w = wet[s.index]
    n = len(s) / (30.4375 * 4)
    rows.append([m, *(f"{v:.3f}" for v in (
        s.temp_min.mean(), s.temp_max.mean(), s.temp_min.std(), s.temp_max.std(), s.precipitation[w].sum() / 4,
        w.sum() / 4, s.wind.mean()))])
both = pd.DataFrame({"now": wet, "before": wet.shift(1)}).iloc[1:]
facts = [
    ("night_min_lag_1", low_off.autocorr(1)),
    ("day_max_lag_1", high_off.autocorr(1)),
    ("night_and_day_together", low_off.corr(high_off)),
    ("wet_after_wet", both[both.before.astype(bool)].now.mean()),
    ("wet_after_dry", both[~both.before.astype(bool)].now.mean()),
    ("mean_of_annual_minima_c", seattle.groupby("y").temp_min.min().mean()),
    ("mean_of_annual_maxima_c", seattle.groupby("y").temp_max.max().mean()),
    ("daily_wind_cv", (seattle.wind / seattle.groupby("m").wind.transform("mean")).std()),
]


def write(path, header, rows):
    with open(path, "w", newline="") as f:
        out = csv.writer(f, lineterminator="\n")
        out.writerow(header)
        out.writerows(rows)


write("stations.csv", ["station", "latitude_deg", "longitude_deg", "elevation_m", "offset_h"], stations)
write("normals.csv", ["station", "month", "night_min_c", "day_max_c", "radiation_mj_m2_d", "rh_pct", "wind_m_s",
                      "sky_share", "clearness_p10", "clearness_p50", "clearness_p90"], normals)
write("scatter.csv", ["station", *(f"from_{a}" for a in CLASSES[:-1])], scatter)
write("courses.csv", ["station", "month", *(f"h{h}" for h in range(24))], courses)
write("seattle.csv", ["month", "night_min_c", "day_max_c", "night_min_sd_k", "day_max_sd_k", "rain_mm", "rain_days",
                      "wind_m_s"], rows)
write("seattle_facts.csv", ["fact", "value"], [[k, f"{v:.3f}"] for k, v in facts])
