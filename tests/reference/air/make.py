"""Makes the tables of this folder from PsychroLib and MetPy (versions in README.md)."""

import csv
import warnings

import metpy.calc as mpcalc
import psychrolib as p
from metpy.units import units

warnings.filterwarnings("ignore")
p.SetUnitSystem(p.SI)

with open("moist_air.csv", "w", newline="") as f:
    w = csv.writer(f, lineterminator="\n")
    w.writerow(["air_c", "rh_pct", "elevation_m", "saturation_pa", "dew_point_c", "wet_bulb_c", "humidity_ratio",
                "density_kg_m3", "pressure_pa"])
    for z in (0, 500, 1800):
        pressure = p.GetStandardAtmPressure(z)
        for t in (1, 5, 10, 15, 20, 25, 30, 35, 40, 45, 50):
            for rh in (10, 30, 50, 70, 90, 100):
                r = rh / 100
                ratio = p.GetHumRatioFromRelHum(t, r, pressure)
                # Below zero the library turns to ice; keep to points whose dew point and wet bulb are over water.
                dew = p.GetTDewPointFromRelHum(t, r)
                wet = p.GetTWetBulbFromRelHum(t, r, pressure)
                w.writerow([t, rh, z, f"{p.GetSatVapPres(t):.3f}", f"{dew:.4f}" if dew > 0.01 else "",
                            f"{wet:.4f}" if wet > 0.01 else "", f"{ratio:.7f}",
                            f"{p.GetMoistAirDensity(t, ratio, pressure):.6f}", f"{pressure:.2f}"])

with open("over_water.csv", "w", newline="") as f:
    w = csv.writer(f, lineterminator="\n")
    w.writerow(["air_c", "saturation_pa"])
    for t in range(-20, 11):
        e = mpcalc.saturation_vapor_pressure(t * units.degC, phase="liquid").to("Pa").magnitude
        w.writerow([t, f"{e:.3f}"])
