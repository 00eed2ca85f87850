"""Clear skies by pvlib and Perez skies by Radiance's gendaymtx. Run: python make.py (needs pvlib, pyradiance)."""

import csv
import pathlib
import subprocess
import tempfile

import numpy as np
import pvlib
import pyradiance

# month, day, hour (local standard), beam W/m2, sky W/m2
SKIES = [
    (6, 21, 12.5, 850, 95),     # clear, high sun
    (6, 21, 8.5, 620, 110),     # clear, middle sun
    (3, 21, 16.5, 480, 90),     # clear, low sun
    (6, 21, 12.5, 0, 250),      # overcast
    (12, 21, 12.5, 0, 60),      # overcast, low sun
    (6, 21, 10.5, 35, 300),     # barely broken
    (9, 10, 13.5, 120, 320),    # broken
    (9, 10, 9.5, 220, 260),     # half
    (4, 15, 15.5, 330, 230),    # half and bright
    (12, 21, 10.5, 350, 45),    # clear, winter
    (6, 21, 5.5, 60, 40),       # just after sunrise
    (7, 15, 12.5, 500, 210),    # hazy
]
LATITUDE, LONGITUDE, ZONE = 47.4, 8.5, 1


def clear():
    for elevation in (0, 400, 1500, 4000):
        pressure = pvlib.atmosphere.alt2pres(elevation)
        for turbidity in (2.0, 3.0, 4.5, 6.5):
            for zenith in (0, 20, 40, 60, 75, 85, 88):
                mass = pvlib.atmosphere.get_absolute_airmass(
                    pvlib.atmosphere.get_relative_airmass(zenith, "kastenyoung1989"), pressure)
                out = pvlib.clearsky.ineichen(zenith, mass, turbidity, altitude=elevation, dni_extra=1361.1)
                yield [elevation, turbidity, zenith] + [f"{out[k]:.4f}" for k in ("ghi", "dni", "dhi")]


def perez():
    binary = pathlib.Path(pyradiance.__file__).parent / "bin" / "gendaymtx"
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        wea = "\n".join([
            "place invented", f"latitude {LATITUDE}", f"longitude {-LONGITUDE}", f"time_zone {-15 * ZONE}",
            "site_elevation 0", "weather_data_file_units 1",
            *(f"{m} {d} {h} {beam} {sky}" for m, d, h, beam, sky in SKIES)]) + "\n"
        (folder / "in.wea").write_text(wea)
        run = subprocess.run([binary, "-m", "2", "-s", "-c", "1", "1", "1", "-O1", "-of", "-D", "suns.rad", "in.wea"],
                             cwd=folder, check=True, capture_output=True)
        suns = [line.split()[1:4] for line in (folder / "suns.rad").read_text().splitlines()
                if line.startswith("4 ")]
        body = run.stdout[run.stdout.index(b"\n\n") + 2:]
        values = np.frombuffer(body, dtype="<f4").reshape(578, len(SKIES), 3)[1:, :, 0]
        assert len(suns) == len(SKIES)
        return suns, values


def write(path, header, rows):
    with open(path, "w", newline="") as f:
        out = csv.writer(f, lineterminator="\n")
        out.writerow(header)
        out.writerows(rows)


write("clear.csv", ["elevation_m", "turbidity_linke", "zenith_deg", "global_w_m2", "beam_w_m2", "sky_w_m2"], clear())
suns, values = perez()
write("skies.csv", ["month", "day", "sun_east", "sun_north", "sun_up", "beam_w_m2", "sky_w_m2"],
      [[m, d, *sun, beam, sky] for (m, d, _, beam, sky), sun in zip(SKIES, suns)])
write("perez.csv", [f"sky_{i}" for i in range(len(SKIES))], [[f"{v:.5g}" for v in row] for row in values])
