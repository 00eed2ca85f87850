"""Daylight factors of small rooms by Radiance, written to daylight_factors.csv.

Needs pyradiance (PyPI), which brings Radiance's programs along. Run: python make.py
Rooms stand on ground of reflectance 0.2 under the CIE overcast sky. Openings are bare, without glass, so that the
geometry and the light thrown about are compared and not two models of glass. x east, y north, z up, metres;
windows look south.
"""
import csv
import pathlib
import subprocess
import tempfile

import pyradiance

BIN = pathlib.Path(pyradiance.__file__).parent / "bin"
HERE = pathlib.Path(__file__).parent
WALL, FLOOR, CEILING, REVEAL, OUTER, GROUND = 0.5, 0.2, 0.7, 0.7, 0.4, 0.2
QUALITY = "-ab 5 -ad 2048 -as 512 -aa 0.1 -ar 300 -lw 1e-5".split()


class Scene:
    def __init__(self):
        self.text = ""
        self.n = 0

    def material(self, name, reflectance):
        self.text += f"void plastic {name}\n0\n0\n5 {reflectance} {reflectance} {reflectance} 0 0\n"

    def polygon(self, material, points):
        self.n += 1
        flat = " ".join(f"{c:.6f}" for p in points for c in p)
        self.text += f"{material} polygon p{self.n}\n0\n0\n{3 * len(points)} {flat}\n"

    def wall(self, material, a, b, z0, z1, holes=()):
        """Upright wall from a to b with rectangular holes (from, to, sill, head), cut into columns."""
        length = ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5

        def at(s, z):
            return (a[0] + (b[0] - a[0]) * s / length, a[1] + (b[1] - a[1]) * s / length, z)

        edge = 0.0
        for lo, hi, sill, head in sorted(holes):
            for s0, s1, w0, w1 in ((edge, lo, z0, z1), (lo, hi, z0, sill), (lo, hi, head, z1)):
                if s1 > s0 + 1e-9 and w1 > w0 + 1e-9:
                    self.polygon(material, [at(s0, w0), at(s1, w0), at(s1, w1), at(s0, w1)])
            edge = hi
        if length > edge + 1e-9:
            self.polygon(material, [at(edge, z0), at(length, z0), at(length, z1), at(edge, z1)])

    def box(self, material, x0, y0, x1, y1, z0, z1):
        c = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
        for i in range(4):
            self.wall(material, c[i], c[(i + 1) % 4], z0, z1)
        self.polygon(material, [(x, y, z1) for x, y in c])


def room(outline, outer, windows, thickness, height=2.6, top=3.0):
    """outline: inner corners anticlockwise; outer: corners of the building's faces; windows: per wall index."""
    s = Scene()
    for name, r in (("wall", WALL), ("floor", FLOOR), ("ceiling", CEILING), ("reveal", REVEAL), ("outer", OUTER),
                    ("earth", GROUND)):
        s.material(name, r)
    n = len(outline)
    for i in range(n):
        a, b = outline[i], outline[(i + 1) % n]
        holes = windows.get(i, [])
        s.wall("wall", a, b, 0, height, holes)
        length = ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5
        u = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
        out = (u[1] * thickness, -u[0] * thickness)
        for lo, hi, sill, head in holes:
            inner = [(a[0] + u[0] * t, a[1] + u[1] * t) for t in (lo, hi)]
            face = [(p[0] + out[0], p[1] + out[1]) for p in inner]
            for z in (sill, head):
                s.polygon("reveal", [(*inner[0], z), (*inner[1], z), (*face[1], z), (*face[0], z)])
            for k in range(2):
                s.polygon("reveal", [(*inner[k], sill), (*face[k], sill), (*face[k], head), (*inner[k], head)])
    s.polygon("floor", [(*p, 0.0) for p in outline])
    s.polygon("ceiling", [(*p, height) for p in outline])
    for i in range(n):
        a, b = outer[i], outer[(i + 1) % n]
        # The hole in the outer face lies square before that in the inner one.
        inner = outline[i]
        length = ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5
        u = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
        shift = (inner[0] - a[0]) * u[0] + (inner[1] - a[1]) * u[1]
        holes = [(lo + shift, hi + shift, sill, head) for lo, hi, sill, head in windows.get(i, [])]
        s.wall("outer", a, b, 0, top, holes)
    s.polygon("outer", [(*p, top) for p in outer])
    s.polygon("earth", [(-300, -300, -0.005), (300, -300, -0.005), (300, 300, -0.005), (-300, 300, -0.005)])
    return s


def rectangle(x0, y0, x1, y1):
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def cases():
    box, outer = rectangle(-1.75, 0, 1.75, 5), rectangle(-2.05, -0.3, 2.05, 5.3)
    window = {0: [(0.75, 2.75, 0.9, 2.1)]}
    axis = [(0.0, y, 0.9) for y in (0.3, 0.6, 1.0, 2.0, 3.0, 4.0)]
    yield "reveal", room(box, outer, window, 0.3), axis
    opposite = room(box, outer, window, 0.3)
    opposite.box("outer", -15, -12, 15, -6, 0, 6)
    yield "obstruction", opposite, axis
    two = {0: [(0.75, 2.75, 0.9, 2.1)], 1: [(2.0, 3.2, 0.9, 2.1)]}
    yield "two windows", room(box, outer, two, 0.3), axis
    ell = [(0, 0), (5, 0), (5, 3), (2.5, 3), (2.5, 6), (0, 6)]
    ell_outer = [(-0.3, -0.3), (5.3, -0.3), (5.3, 3.3), (2.8, 3.3), (2.8, 6.3), (-0.3, 6.3)]
    ell_window = {0: [(3.0, 4.5, 0.6, 2.2)]}
    points = [(3.75, 0.5, 0.9), (3.75, 1.5, 0.9), (2.0, 1.5, 0.9), (1.0, 2.5, 0.9), (1.0, 4.0, 0.9), (1.5, 5.0, 0.9)]
    yield "L", room(ell, ell_outer, ell_window, 0.3), points


def main():
    rows = []
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        sky = subprocess.run([BIN / "gensky", "-ang", "45", "0", "-c", "-B", "100", "-g", str(GROUND)],
                             check=True, capture_output=True, text=True).stdout
        sky += "\nskyfunc glow sky_glow\n0\n0\n4 1 1 1 0\nsky_glow source sky\n0\n0\n4 0 0 1 180\n"
        sky += "skyfunc glow ground_glow\n0\n0\n4 1 1 1 0\nground_glow source ground\n0\n0\n4 0 0 -1 180\n"
        for name, scene, points in cases():
            for label, text in (("open", sky), ("room", sky + scene.text)):
                (folder / f"{label}.rad").write_text(text)
                with open(folder / f"{label}.oct", "wb") as out:
                    subprocess.run([BIN / "oconv", folder / f"{label}.rad"], check=True, stdout=out)

            def irradiance(octree, at):
                text = "\n".join(f"{x} {y} {z} 0 0 1" for x, y, z in at) + "\n"
                out = subprocess.run([BIN / "rtrace", "-I", "-h", *QUALITY, folder / octree],
                                     check=True, capture_output=True, text=True, input=text).stdout
                return [sum(map(float, line.split())) / 3 for line in out.splitlines() if line.strip()]

            whole = irradiance("open.oct", [(0, 0, 5)])[0]
            for at, value in zip(points, irradiance("room.oct", points)):
                rows.append([name, *at, f"{100 * value / whole:.3f}"])
                print(rows[-1], flush=True)
    with open(HERE / "daylight_factors.csv", "w", newline="") as out:
        writer = csv.writer(out)
        writer.writerow(["case", "x_m", "y_m", "z_m", "daylight_factor_pct"])
        writer.writerows(rows)


if __name__ == "__main__":
    main()
