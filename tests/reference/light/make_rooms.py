"""Daylight factors and sunny sills of the rooms of rooms.json by Radiance: rooms.csv and sills.csv.

Needs pyradiance (PyPI), which brings Radiance's programs along, and pvlib for the sun. Run: python make_rooms.py,
or with the names of cases to make only those anew, or with "sills". Every value is the mean of runs of plain random
sampling (-u+), each of which begins anywhere; the standard error of that mean is kept beside it.
"""
import csv
import json
import math
import pathlib
import statistics
import subprocess
import sys
import tempfile

import pyradiance

BIN = pathlib.Path(pyradiance.__file__).parent / "bin"
HERE = pathlib.Path(__file__).parent
QUALITY = "-u+ -ab 7 -ad 3000 -as 800 -aa 0.08 -ar 400 -lr 12 -lw 1e-6".split()
# One pane as sillward's: index 1.526, 2 % absorbed square on, 0.899 let through.
PANE, INDEX = 0.8993, 1.526
# What bars and dirt leave of the glass of a greenhouse or porch: all light from the sky comes through it once.
BARS = 0.81
# Where light finds its way in by few paths, more runs are needed.
RUNS = {"porch": 8, "balcony above": 6, "glass down to the floor": 6}
ROOF, CANOPY, REVEAL, GROUND, LONE_WALL = 0.2, 0.4, 0.7, 0.2, 0.15


def transmissivity(t):
    """Of one passage, from the transmittance of the pane (materials of Radiance, `glass`)."""
    return (math.sqrt(0.8402528435 + 0.0072522239 * t * t) - 0.9166530661) / (0.0036261119 * t)


def direction(a, b):
    length = math.dist(a, b)
    u = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    return u, length


class Scene:
    def __init__(self):
        t = transmissivity(PANE)
        self.text = f"void glass pane\n0\n0\n4 {t} {t} {t} {INDEX}\n"
        self.n = 0
        self.materials = {}

    def matte(self, reflectance):
        name = f"m{round(1000 * reflectance)}"
        if name not in self.materials:
            self.materials[name] = reflectance
            self.text += f"void plastic {name}\n0\n0\n5 {reflectance} {reflectance} {reflectance} 0 0\n"
        return name

    def polygon(self, material, points):
        self.n += 1
        flat = " ".join(f"{c:.6f}" for p in points for c in p)
        self.text += f"{material} polygon p{self.n}\n0\n0\n{3 * len(points)} {flat}\n"

    def wall(self, material, a, b, z0, z1, holes=()):
        """Upright wall from a to b with rectangular holes (from, to, low, high), cut into columns."""
        u, length = direction(a, b)

        def at(s, z):
            return (a[0] + u[0] * s, a[1] + u[1] * s, z)

        edge = 0.0
        for lo, hi, sill, head in sorted(holes):
            for s0, s1, w0, w1 in ((edge, lo, z0, z1), (lo, hi, z0, sill), (lo, hi, head, z1)):
                if s1 > s0 + 1e-9 and w1 > w0 + 1e-9:
                    self.polygon(material, [at(s0, w0), at(s1, w0), at(s1, w1), at(s0, w1)])
            edge = hi
        if length > edge + 1e-9:
            self.polygon(material, [at(edge, z0), at(length, z0), at(length, z1), at(edge, z1)])

    def level(self, material, outline, z):
        self.polygon(material, [(*p, z) for p in outline])

    def prism(self, material, outline, z0, z1, bottom=True, top=True):
        for i, a in enumerate(outline):
            self.wall(material, a, outline[(i + 1) % len(outline)], z0, z1)
        if top:
            self.level(material, outline, z1)
        if bottom and z0 > 0:
            self.level(material, outline, z0)


def grown(outline, by):
    """Rectangles along the axes only."""
    xs, ys = [p[0] for p in outline], [p[1] for p in outline]
    x0, x1, y0, y1 = min(xs) - by, max(xs) + by, min(ys) - by, max(ys) + by
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def room(s, case):
    r, house = case["room"], case.get("house")
    wall, floor_r, ceiling_r = (r.get(k + "_reflectance", d) for k, d in (("wall", 0.5), ("floor", 0.2), ("ceiling", 0.7)))
    z0 = r.get("floor_m", 0.0)
    z1 = z0 + r["height_m"]
    outline = r["outline"]
    n = len(outline)
    holes, outer_holes = {}, {}
    faces = house["outline"] if house else grown(outline, LONE_WALL)
    for w in case.get("windows", []):
        k = w["wall"]
        a, b = outline[k], outline[(k + 1) % n]
        u, _ = direction(a, b)
        out = (u[1], -u[0])
        lo, hi = w["from_corner_m"], w["from_corner_m"] + w["width_m"]
        sill, head = z0 + w["sill_m"], z0 + w["sill_m"] + w["height_m"]
        holes.setdefault(k, []).append((lo, hi, sill, head))
        depth = w["reveal_m"] + w["outer_reveal_m"]
        ends = [(a[0] + u[0] * t, a[1] + u[1] * t) for t in (lo, hi)]

        def beyond(p, d):
            return (p[0] + out[0] * d, p[1] + out[1] * d)

        white = s.matte(REVEAL)
        for z in (sill, head):
            s.polygon(white, [(*ends[0], z), (*ends[1], z), (*beyond(ends[1], depth), z), (*beyond(ends[0], depth), z)])
        for e in ends:
            s.polygon(white, [(*e, sill), (*beyond(e, depth), sill), (*beyond(e, depth), head), (*e, head)])
        panes = {"Open": [], "Single": [0.0], "Double": [-0.008, 0.008]}[w["glazing"]]
        for gap in panes:
            p, q = (beyond(e, w["reveal_m"] + gap) for e in ends)
            s.polygon("pane", [(*p, sill), (*q, sill), (*q, head), (*p, head)])
        fa = faces[k]
        shift = (a[0] - fa[0]) * u[0] + (a[1] - fa[1]) * u[1]
        outer_holes.setdefault(k, []).append((lo + shift, hi + shift, sill, head))
    glass_walls, glass_roof = r.get("glazed_walls"), r.get("glazed_roof")
    inner = s.matte(wall)
    for i in range(n):
        a, b = outline[i], outline[(i + 1) % n]
        if glass_walls:
            s.wall("pane", a, b, z0, z1)
        else:
            s.wall(inner, a, b, z0, z1, holes.get(i, ()))
    s.level(s.matte(floor_r), outline, z0 + 0.001)
    if glass_roof:
        s.level("pane", outline, z1)
    else:
        s.level(s.matte(ceiling_r), outline, z1)
    if house:
        top, base = house["wall_top_m"], 0.0
    else:
        top, base = z1, z0
    outside = s.matte(house.get("reflectance", 0.4) if house else 0.4)
    if not glass_walls:
        for i in range(n):
            s.wall(outside, faces[i], faces[(i + 1) % n], base, top, outer_holes.get(i, ()))
    if house:
        if house.get("eaves_m", 0.0) > 0:
            s.prism(s.matte(ROOF), grown(house["outline"], house["eaves_m"]), top, top + 0.12)
        else:
            s.level(outside, house["outline"], top)


def scene(case):
    s = Scene()
    room(s, case)
    for o in case.get("others", []):
        s.prism(s.matte(o.get("reflectance", 0.4)), o["outline"], 0.0, o["wall_top_m"])
    for c in case.get("canopies", []):
        s.prism(s.matte(CANOPY), c["outline"], c["height_m"], c["height_m"] + c["thickness_m"])
    if porch := case.get("porch"):
        p = porch["outline"]
        # Its north side is the wall of the house.
        for i in (0, 1, 3):
            s.wall("pane", p[i], p[(i + 1) % 4], 0.0, porch["height_m"])
        s.level("pane", p, porch["height_m"])
    far = 300
    s.level(s.matte(GROUND), [(-far, -far), (far, -far), (far, far), (-far, far)], -0.002)
    return s.text


GLOW = ("\nskyfunc glow sky_glow\n0\n0\n4 1 1 1 0\nsky_glow source sky\n0\n0\n4 0 0 1 180\n"
        "skyfunc glow ground_glow\n0\n0\n4 1 1 1 0\nground_glow source ground\n0\n0\n4 0 0 -1 180\n")


def program(*args, **kw):
    return subprocess.run([BIN / args[0], *args[1:]], check=True, capture_output=True, text=True, **kw).stdout


class Renderer:
    def __init__(self, folder):
        self.folder = pathlib.Path(folder)

    def octree(self, text):
        (self.folder / "scene.rad").write_text(text)
        with open(self.folder / "scene.oct", "wb") as out:
            subprocess.run([BIN / "oconv", self.folder / "scene.rad"], check=True, stdout=out)

    def irradiance(self, text, at):
        self.octree(text)
        rays = "\n".join(f"{x} {y} {z} 0 0 1" for x, y, z in at) + "\n"
        out = program("rtrace", "-I", "-h", *QUALITY, self.folder / "scene.oct", input=rays)
        return [sum(map(float, line.split())) / 3 for line in out.splitlines() if line.strip()]

    def often(self, text, at, runs):
        values = zip(*(self.irradiance(text, at) for _ in range(runs)))
        return [(statistics.mean(v), statistics.stdev(v) / math.sqrt(runs)) for v in values]


def through_bars(case):
    glazed = case.get("porch") or case["room"].get("glazed_roof")
    return BARS if glazed else 1.0


def overcast(render, cases):
    # CIE overcast, horizon a third of the zenith; an open level place gets 100.
    sky = program("gensky", "-ang", "45", "0", "-c", "-b", f"{100 * 9 / (7 * math.pi):.6f}", "-g", str(GROUND)) + GLOW
    open_place = render.irradiance(sky, [(0, 0, 50)])[0]
    for case in cases:
        at = case["points"] + case.get("porch_points", [])
        found = render.often(sky + scene(case), at, RUNS.get(case["name"], 2))
        for k, (p, (value, noise)) in enumerate(zip(at, found)):
            bars = through_bars(case)
            inside = "porch" if k >= len(case["points"]) else "room"
            yield [case["name"], inside, *p, f"{100 * bars * value / open_place:.3f}", f"{100 * bars * noise / open_place:.3f}"]


# Middles of the 12th and the 10th hour of days in the middle of half months, local standard time (UTC+1).
SILL_CASES = ["single glass", "glass down to the floor"]
SILL_HOURS = [(82, 10), (82, 12), (357, 12), (173, 12)]
LATITUDE, LONGITUDE, ELEVATION = 47.0, 8.0, 400.0


def suns(day, hour):
    """At three moments spread over the hour: elevation and azimuth from south to west, degrees."""
    import pandas
    import pvlib

    start = pandas.Timestamp("2027-01-01", tz="Etc/GMT-1") + pandas.Timedelta(days=day, hours=hour)
    times = pandas.DatetimeIndex([start + pandas.Timedelta(minutes=m) for m in (10, 30, 50)])
    found = pvlib.solarposition.spa_python(times, LATITUDE, LONGITUDE, ELEVATION, temperature=15)
    return list(zip(found["apparent_elevation"], found["azimuth"] - 180.0))


def sills(render, cases):
    """Light on sills of a beam of 300 and a sky of 100 W/m2, by a beam of 1 square on and a level sky of 1."""
    for case in (c for c in cases if c["name"] in SILL_CASES):
        at, inside = case["points"][:4], scene(case)
        for day, hour in SILL_HOURS:
            beam, sky = [0.0] * len(at), [0.0] * len(at)
            for elevation, azimuth in suns(day, hour):
                e, a = math.radians(elevation), math.radians(azimuth)
                towards = (-math.sin(a) * math.cos(e), -math.cos(a) * math.cos(e), math.sin(e))
                disc = 2 * math.pi * (1 - math.cos(math.radians(0.533 / 2)))
                sun = "void light sun\n0\n0\n3 {0} {0} {0}\nsun source disc\n0\n0\n4 {1} {2} {3} 0.533\n".format(1 / disc, *towards)
                beam = [b + v / 3 for b, v in zip(beam, render.irradiance(sun + inside, at))]
                dome = program("gendaylit", "-ang", f"{elevation:.4f}", f"{azimuth:.4f}", "-W", "300", "100", "-s", "-O", "1", "-g", str(GROUND)) + GLOW
                level = render.irradiance(dome, [(0, 0, 50)])[0]
                sky = [s + v / level / 3 for s, v in zip(sky, render.irradiance(dome + inside, at))]
            for p, b, s in zip(at, beam, sky):
                yield [case["name"], day, hour, *p, f"{b:.5f}", f"{s:.5f}"]


def table(path, heading, rows, replaced):
    """Writes rows, and keeps those of other cases that were there."""
    old = list(csv.reader(open(path, newline="")))[1:] if path.exists() else []
    order = [c["name"] for c in CASES]
    rows = [r for r in old if r[0] not in replaced] + rows
    rows.sort(key=lambda r: order.index(r[0]))
    with open(path, "w", newline="") as out:
        writer = csv.writer(out)
        writer.writerow(heading)
        writer.writerows(rows)


CASES = json.loads((HERE / "rooms.json").read_text())["cases"]


def main():
    names = sys.argv[1:]
    with tempfile.TemporaryDirectory() as folder:
        render = Renderer(folder)
        if not names or "sills" in names:
            rows = list(sills(render, CASES))
            table(HERE / "sills.csv", ["case", "day", "hour", "x_m", "y_m", "z_m", "of_beam", "of_sky"], rows, SILL_CASES)
        cases = [c for c in CASES if not names or c["name"] in names]
        rows = list(overcast(render, cases))
        if rows:
            heading = ["case", "inside", "x_m", "y_m", "z_m", "daylight_factor_pct", "standard_error_pct"]
            table(HERE / "rooms.csv", heading, rows, [c["name"] for c in cases])


if __name__ == "__main__":
    main()
