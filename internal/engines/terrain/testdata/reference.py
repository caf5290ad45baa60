"""Answers the reference tests: triangulations by Qhull and how long they take, volumes by GEOS polygon overlay. One JSON request on stdin."""
import json
import sys
import time

import numpy as np
from scipy.spatial import Delaunay
from shapely.geometry import Polygon

ask = json.load(sys.stdin)


def plane(tri):
    m = np.array([[1, x, y] for x, y, _ in tri])
    return np.linalg.solve(m, np.array([z for _, _, z in tri]))


def below(coef, poly, sign):
    """The part of poly where sign * (a + bx + cy) > 0."""
    a, b, c = (sign * k for k in coef)
    ring, out = list(poly.exterior.coords)[:-1], []
    for p, q in zip(ring, ring[1:] + ring[:1]):
        dp, dq = a + b * p[0] + c * p[1], a + b * q[0] + c * q[1]
        if dp > 0:
            out.append(p)
        if dp * dq < 0:
            t = dp / (dp - dq)
            out.append((p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])))
    return Polygon(out) if len(out) > 2 else Polygon()


def volumes(one, two, boundary):
    cut = fill = 0.0
    flat = [(Polygon([p[:2] for p in t]), plane(t)) for t in two]
    for t in one:
        shape, pa = Polygon([p[:2] for p in t]).intersection(boundary), plane(t)
        for other, pb in flat:
            both = shape.intersection(other)
            for piece in getattr(both, "geoms", [both]):
                if piece.area < 1e-14:
                    continue
                for sign in (1, -1):
                    # a piece may be bent inwards: split it into triangles first
                    for part in convex(piece):
                        wet = below(pa - pb, part, sign)
                        if wet.area > 0:
                            x, y = wet.centroid.coords[0]
                            v = wet.area * sign * ((pa - pb) @ [1, x, y])
                            cut, fill = (cut + v, fill) if sign > 0 else (cut, fill + v)
    return [cut, fill]


def convex(piece):
    points = np.array(piece.exterior.coords[:-1])
    if len(points) == 3 and not piece.interiors:
        return [piece]
    rings = [piece.exterior] + list(piece.interiors)
    points = np.unique(np.array([c for r in rings for c in r.coords[:-1]]), axis=0)
    parts = []
    for simplex in Delaunay(points).simplices:
        common = Polygon(points[simplex]).intersection(piece)
        for g in getattr(common, "geoms", [common]):
            if g.geom_type == "Polygon" and g.area > 0:
                if abs(g.convex_hull.area - g.area) > 1e-12:
                    parts.extend(convex(g))
                else:
                    parts.append(g)
    return parts


answer = {}
if "race" in ask:
    points = np.array(ask["race"])
    started = time.perf_counter()
    Delaunay(points)
    answer["seconds"] = time.perf_counter() - started
if "points" in ask:
    answer["triangles"] = sorted(sorted(int(v) for v in t) for t in Delaunay(np.array(ask["points"])).simplices)
if "one" in ask:
    answer["volumes"] = volumes(ask["one"], ask["two"], Polygon(ask["boundary"], ask.get("holes") or []))
json.dump(answer, sys.stdout)
