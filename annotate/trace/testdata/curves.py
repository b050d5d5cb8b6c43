# Judges curves by shapely. Reads a list of problems as JSON from stdin and writes
# one answer each: {"ring": [...], "curve": [...]} -> the Hausdorff distance of
# the two closed lines, {"simple": [...]} -> whether the closed line does not cross itself.
import json
import sys

from shapely.geometry import LinearRing, LineString


def densified(ring, step):
    """The closed line with points at most the step apart. It is a LineString, because
    the distance of LinearRings comes out wrong in GEOS 3.11."""
    line = LineString(ring + ring[:1])
    n = max(4, int(line.length / step) + 1)
    return LineString([line.interpolate(i / n, normalized=True) for i in range(n + 1)])


answers = []
for p in json.load(sys.stdin):
    if "simple" in p:
        answers.append(LinearRing(p["simple"]).is_simple)
        continue
    a, b = densified(p["ring"], p["step"]), densified(p["curve"], p["step"])
    answers.append(a.hausdorff_distance(b))
json.dump(answers, sys.stdout)
