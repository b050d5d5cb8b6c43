# Answers the questions of the Go tests with OpenCV and Shapely: JSON on
# standard input, JSON on standard output, all problems in one run.
import json
import sys

import cv2
import numpy as np
from shapely.geometry import Polygon

cv2.setRNGSeed(1)
ask = json.load(sys.stdin)
out = {"homographies": [], "pixels": [], "rays": [], "areas": [], "valid": [],
       "opencv": cv2.__version__}

for p in ask.get("homographies") or []:
    src = np.array(p["plane"], float).reshape(-1, 1, 2)
    dst = np.array(p["photo"], float).reshape(-1, 1, 2)
    method = {"": 0, "ransac": cv2.RANSAC, "lmeds": cv2.LMEDS}[p.get("method", "")]
    h, mask = cv2.findHomography(src, dst, method, p.get("limit", 3.0))
    out["homographies"].append({"h": h.ravel().tolist(), "used": mask.ravel().astype(int).tolist()})

for p in ask.get("views") or []:
    k = np.array([[p["f"], 0, p["cx"]], [0, p["f"], p["cy"]], [0, 0, 1.0]])
    dist = np.array([p["k1"], 0, 0, 0], float)
    pts = np.array(p["points"], float).reshape(-1, 1, 3)
    px, _ = cv2.projectPoints(pts, np.array(p["rvec"], float), np.array(p["tvec"], float), k, dist)
    out["pixels"].append(px.reshape(-1, 2).tolist())

for ring in ask.get("rings") or []:
    g = Polygon(ring)
    out["areas"].append(g.area)
    out["valid"].append(bool(g.is_valid))

json.dump(out, sys.stdout)
