"""Four weeks of reference case 1 by SciPy's BDF, to set speed and error beside the engine's.

Run: python3 bdf.py [K]        prints rtol, worst error against the fine solution (K, hours 2 to 168), processor seconds for 28 days.
Same cells as the engine (ten in the slab, five in the base, soil growing 8 %), same surface, hydration as a state per cell.
The loosest tolerance is taken whose error is at most K (0.05, that of the engine's fitting steps).
"""
import csv, math, os, sys, time
import numpy as np
from scipy.integrate import solve_ivp

here = os.path.dirname(os.path.abspath(__file__))
rows = list(csv.DictReader(open(os.path.join(here, "curing-case1-spring-4in-inputs.csv"))))
fine = list(csv.DictReader(open(os.path.join(here, "curing-case1-spring-4in-reference.csv"))))
T = np.array([float(r["t_h"]) for r in rows]); col = lambda k: np.array([float(r[k]) for r in rows])
air, dew, wind, sun, cloud = col("air_c"), col("dew_c"), col("wind_ms"), col("solar_w_m2"), col("cloud_0_1")

h, base, deep, ground, placed, wet = 0.1016, 0.1016, 11.0, 12.0, 18.0, 5.0
tau, beta, au, Hu, Cc, Ea, R, Tr = 16.0405, 0.62511, 0.72042, 475.21, 335.0, 45163.8, 8.314462618, 294.25

dz = [h / 10] * 10 + [base / 6] * 6
s, d, left = [], 0.02, 3 - h - base
while sum(s) < left:
    s.append(d); d = min(d * 1.08, 0.1)
dz = np.array(dz + [x * left / sum(s) for x in s]); n = len(dz)
k = np.array([2.0] * 10 + [1.2] * 6 + [1.3] * (n - 16)); c = np.array([2.3e6] * 10 + [1.71e6] * 6 + [2.16e6] * (n - 16))
g = 1 / (dz[:-1] / (2 * k[:-1]) + dz[1:] / (2 * k[1:]))
mid = np.cumsum(dz) - dz / 2
T0 = np.where(mid < h, placed, ground + (deep - ground) * np.clip((mid - h) / 1.5, 0, 1))
es = lambda t: 6.112 * math.exp(17.62 * t / (243.12 + t))


def surface(hour, node):
    w = hour % 168
    Ta, Td, V, G, N = (np.interp(w, T, x) for x in (air, dew, wind, sun, cloud))
    sky = (0.711 + 0.56 * Td / 100 + 0.73 * (Td / 100) ** 2) * (1 - 0.84 * N) + 0.84 * N
    hc = 5.6 + 4 * V if V <= 5 else 7.2 * V ** 0.78
    r = min(1, es(Td) / es(Ta)); res = dz[0] / (2 * k[0]); To = node
    def q(t):
        E = max(0, 5e-6 * ((t + 18) ** 2.5 - r * (Ta + 18) ** 2.5) * (3.6 * V + 4)) if hour < wet else 0
        return 0.6 * G + 0.9 * 5.670374419e-8 * (sky * (Ta + 273.15) ** 4 - (t + 273.15) ** 4) - hc * (t - Ta) - 2.45e6 * E / 3600
    for _ in range(8):
        f = q(To) - (To - node) / res; slope = (q(To + 1e-4) - q(To)) / 1e-4 - 1 / res; move = f / slope; To -= move
        if abs(move) < 1e-8: break
    return (To - node) / res, To


def rhs(t, y):
    temps, ages = y[:n], np.maximum(y[n:], 1e-6)
    gamma = np.exp(Ea / R * (1 / Tr - 1 / (temps[:10] + 273.15)))
    alpha = au * np.exp(-(tau / ages) ** beta)
    rate = alpha * (tau / ages) ** beta * beta / ages
    flow = g * np.diff(temps)
    net = np.zeros(n); net[:-1] += flow; net[1:] -= flow
    net[0] += surface(t, temps[0])[0]; net[-1] += 2 * k[-1] / dz[-1] * (deep - temps[-1])
    net[:10] += Hu * 1e3 * Cc * rate * gamma / 3600 * dz[:10]
    return np.concatenate([net / (c * dz) * 3600, gamma])


def band():
    J = np.zeros((n + 10, n + 10))
    for i in range(n):
        for j in (i - 1, i, i + 1):
            if 0 <= j < n: J[i, j] = 1
    for i in range(10): J[i, n + i] = J[n + i, i] = 1
    return J


def run(hours, rtol):
    y, out = np.concatenate([T0, np.full(10, 1e-6)]), {}
    for a, b in ((0.0, wet), (wet, hours)):
        at = np.arange(math.floor(a) + 1, b + 1e-9)
        sol = solve_ivp(rhs, (a, b), y, method="BDF", rtol=rtol, atol=rtol * 10, t_eval=at, jac_sparsity=band(), max_step=1.0)
        for j, t in enumerate(sol.t): out[int(round(t))] = sol.y[:, j]
        y = sol.y[:, -1]
    return out


def error(out):
    worst = 0
    for r in fine:
        t = int(float(r["t_h"]))
        if t < 2 or t not in out: continue
        v = out[t][:n]; flux, top = surface(t - 1e-6, v[0])  # at a switch the limit from the left
        bottom = (2 * k[9] / dz[9] * v[9] + 2 * k[10] / dz[10] * v[10]) / (2 * k[9] / dz[9] + 2 * k[10] / dz[10])
        worst = max(worst, abs(top - float(r["T_top_c"])), abs((v[4] + v[5]) / 2 - float(r["T_mid_c"])), abs(bottom - float(r["T_bot_c"])))
    return worst


limit = float(sys.argv[1]) if len(sys.argv) > 1 else 0.05
for rtol in [1e-2, 3e-3, 1e-3, 5e-4, 2e-4, 1e-4, 5e-5, 2e-5, 1e-5]:
    off = error(run(168, rtol))
    if off <= limit:
        seconds = []
        for _ in range(3):
            began = time.process_time(); run(28 * 24.0, rtol); seconds.append(time.process_time() - began)
        print(f"{rtol:g},{off:.3f},{min(seconds):.3f}")
        break
