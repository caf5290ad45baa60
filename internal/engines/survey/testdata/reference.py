"""Adjusts the tape network on stdin (JSON) with a general least-squares solver and answers places and s0."""
import json
import sys

import numpy as np
from scipy.optimize import least_squares

ask = json.load(sys.stdin)
start = np.array(ask["points"], float)
free = np.array(ask["free"])
ends = np.array(ask["ends"])
tapes, sigma = np.array(ask["tapes"]), np.array(ask["sigma"])


def places(x):
    p = start.copy()
    p[free] = x.reshape(-1, 2)
    return p


def residuals(x):
    p = places(x)
    return (np.hypot(*(p[ends[:, 1]] - p[ends[:, 0]]).T) - tapes) / sigma


fit = least_squares(residuals, start[free].ravel(), xtol=1e-15, ftol=1e-15, gtol=1e-15)
q = np.linalg.inv(fit.jac.T @ fit.jac)
freedom = len(tapes) - 2 * len(free)
json.dump({"points": places(fit.x).tolist(), "s0": float(np.sqrt(2 * fit.cost / freedom)),
           "sigma": np.sqrt(np.diag(q)).tolist()}, sys.stdout)
