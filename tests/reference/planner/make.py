"""Small planning problems and their optima, proven by HiGHS through scipy.optimize.milp.

Each plant has a unit of flow through the network of weeks and spots: y[p,s,t] = 1 while it stands on s in week t,
a[p,s,t] = 1 when it arrives there. A stay that begins lasts at least `min_stay` weeks or to the end.
"""
import json
import numpy as np
import scipy
from scipy.optimize import LinearConstraint, Bounds, milp
from scipy.sparse import lil_matrix


def instance(seed, plants, spots, weeks, min_stay, move_cost, slack, sizes):
    rng = np.random.default_rng(seed)
    foot = rng.choice(sizes, plants)
    share = foot.sum() * slack / spots
    cap = np.maximum((share * rng.uniform(0.6, 1.4, spots)).astype(int), max(sizes))
    turn = 0
    while cap.sum() < slack * foot.sum() or cap.sum() < foot.sum() + max(sizes) * (len(sizes) > 1) * 2:
        cap[turn % spots] += min(sizes)
        turn += 1
    t = np.arange(weeks)
    mean = rng.uniform(0.3, 0.8, (plants, spots, 1))
    swing = rng.uniform(0, 0.4, (plants, spots, 1))
    phase = rng.uniform(0, 2 * np.pi, (plants, spots, 1))
    value = np.clip(mean + swing * np.cos(2 * np.pi * t / weeks + phase), 0, 1).round(2)
    start = rng.integers(0, spots, plants)
    return dict(weeks=weeks, min_stay=min_stay, capacity=cap.tolist(), footprint=foot.tolist(),
                start=start.tolist(), move_cost=move_cost, value=value.tolist())


def optimum(q):
    value = np.array(q["value"])
    P, S, T = value.shape
    y = np.arange(P * S * T).reshape(P, S, T)
    a = y + P * S * T
    n = 2 * P * S * T
    rows = []
    for p in range(P):
        for t in range(T):
            rows.append(({y[p, s, t]: 1 for s in range(S)}, 1, 1))
            for s in range(S):
                # Arrival when it stands here and did not the week before; costs keep `a` from being idle.
                row = {a[p, s, t]: 1, y[p, s, t]: -1}
                stood = 0
                if t > 0:
                    row[y[p, s, t - 1]] = 1
                elif q["start"][p] == s:
                    stood = 1
                rows.append((row, -stood, np.inf))
                for k in range(1, q["min_stay"]):
                    if t + k < T:
                        rows.append(({y[p, s, t + k]: 1, a[p, s, t]: -1}, 0, np.inf))
    for s in range(S):
        for t in range(T):
            rows.append(({y[p, s, t]: q["footprint"][p] for p in range(P)}, -np.inf, q["capacity"][s]))
    m = lil_matrix((len(rows), n))
    lo, hi = np.empty(len(rows)), np.empty(len(rows))
    for i, (row, l, h) in enumerate(rows):
        for j, v in row.items():
            m[i, j] = v
        lo[i], hi[i] = l, h
    cost = np.concatenate([-value.ravel(), np.full(P * S * T, q["move_cost"])])
    out = milp(cost, integrality=np.ones(n), bounds=Bounds(0, 1), constraints=LinearConstraint(m.tocsr(), lo, hi),
               options=dict(mip_rel_gap=0, time_limit=300))
    assert out.status == 0, out.message
    return -out.fun


made = {}
for name, q in {
    "even-pots": instance(1, 6, 4, 26, 3, 0.8, 1.2, [1]),
    "crowded": instance(2, 8, 5, 26, 3, 0.8, 1.1, [1]),
    "three-sizes": instance(3, 8, 5, 26, 2, 0.5, 1.3, [4, 6, 9]),
    "dear-moves": instance(4, 7, 4, 26, 4, 1.5, 1.15, [1, 2]),
}.items():
    q["optimum"] = round(optimum(q), 6)
    print(name, q["optimum"], "capacity", q["capacity"], "footprints", q["footprint"])
    made[name] = q
with open("instances.json", "w") as f:
    json.dump(made, f, separators=(",", ":"))
print("scipy", scipy.__version__)
