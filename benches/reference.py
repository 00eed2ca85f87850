"""The light year of general-purpose tools, for the table of speeds: the sun by pvlib's SPA on whole arrays, occlusion by
the Embree ray tracer, everything else numpy, one process. Reads a scene of boxes (JSON) and writes what it found and
how long it took, in seconds of processor time, best of five.

    pip install numpy pandas pvlib embreex trimesh
    python3 benches/reference.py SCENE.json
"""

import json
import os
import sys
import time

for threads in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "NUMEXPR_NUM_THREADS"):
    os.environ[threads] = "1"

import embreex
import numpy as np
import pandas as pd
import pvlib
import trimesh
from embreex import rtcore_scene
from embreex.mesh_construction import TriangleMesh

scene = json.load(open(sys.argv[1], encoding="utf-8"))


def best(work):
    shortest, out = np.inf, None
    for _ in range(5):
        start = time.process_time()
        out = work()
        shortest = min(shortest, time.process_time() - start)
    return shortest, out


def sun():
    start = pd.Timestamp("2027-01-01T00:30:00") - pd.Timedelta(hours=scene["offset_h"])
    times = pd.date_range(start, periods=8760, freq="h", tz="UTC")
    unix = times.values.astype("datetime64[s]").astype(np.int64)
    found = pvlib.spa.solar_position(
        unix, scene["latitude_deg"], scene["longitude_deg"], scene["elevation_m"],
        1013.25, 15.0, 69.2, 0.5667,
    )
    return np.radians(found[4]), np.radians(found[2])


meshes = [
    trimesh.creation.box(bounds=[b[:3], b[3:]]) for b in scene["boxes"]
]
triangles = np.concatenate([m.triangles for m in meshes]).astype(np.float32)
rays = rtcore_scene.EmbreeScene()
TriangleMesh(rays, triangles)


def hidden(points, directions):
    """Whether each point is in the dark of each direction."""
    origins = np.repeat(points, len(directions), axis=0).astype(np.float32)
    ways = np.tile(directions, (len(points), 1)).astype(np.float32)
    return (rays.run(origins, ways, query="OCCLUDED") != -1).reshape(len(points), -1)


sun_s, (azimuth, elevation) = best(sun)
up = elevation > 0.0
towards = np.column_stack([
    np.sin(azimuth[up]) * np.cos(elevation[up]),
    np.cos(azimuth[up]) * np.cos(elevation[up]),
    np.sin(elevation[up]),
])
points = np.array(scene["points"])
beam_s, dark = best(lambda: hidden(points, towards))

# Cosine-weighted, 64 by 64, the same for every point.
side = 64
jitter = np.random.default_rng(1)
u = (np.arange(side)[:, None] + jitter.random((side, side))) / side
v = (np.arange(side)[None, :] + jitter.random((side, side))) / side
flat, turn = np.sqrt(u).ravel(), (2 * np.pi * v).ravel()
sky = np.column_stack([flat * np.cos(turn), flat * np.sin(turn), np.sqrt(1.0 - u.ravel())])
sky_s, covered = best(lambda: hidden(points, sky))

# A map of 10,000 points: 13 summer days at 15 minutes, 256 rays of the sky.
grid = np.array([[x, y, 0.05] for y in np.arange(100) * 0.8 - 5 for x in np.arange(100) * 0.8 - 5])
map_suns = towards[:: max(1, len(towards) // 780)][:780]
map_sky = sky[::16]


def map_light():
    total = np.zeros(len(grid))
    for part in range(0, len(grid), 1000):
        some = grid[part : part + 1000]
        total[part : part + 1000] = (~hidden(some, map_suns)).sum(1) + (~hidden(some, map_sky)).sum(1)
    return total


map_s, _ = best(map_light)

print(json.dumps({
    "versions": f"numpy {np.__version__}, pvlib {pvlib.__version__}, embreex {embreex.__version__}, trimesh {trimesh.__version__}, Python {sys.version.split()[0]}",
    "sun_s": sun_s,
    "beam_s": beam_s,
    "sky_s": sky_s,
    "map_s": map_s,
    "sun_rays": int(dark.size),
    "sun_hours": [float(h) for h in (~dark).sum(1)],
    "sky_view": [float(h) for h in (~covered).mean(1)],
}))
