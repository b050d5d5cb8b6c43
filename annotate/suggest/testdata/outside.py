# Answers of other people's code, for outside_test.go: reads one JSON object from standard input and writes one.
import json
import sys

import numpy as np
from PIL import Image
from scipy import ndimage
from skimage import measure

ask = json.load(sys.stdin)
plane = np.array(ask["plane"], dtype=np.float64).reshape(ask["h"], ask["w"])
blurred = [
    ndimage.gaussian_filter(plane, b["sigma"], mode="nearest", truncate=b["reach"] / b["sigma"]).ravel().tolist()
    for b in ask["blurs"]
]
thinned = [
    measure.approximate_polygon(np.array(line, dtype=np.float64), ask["stray"]).tolist() for line in ask["lines"]
]
rgb = np.array(ask["rgb"], dtype=np.uint8).reshape(1, -1, 3)
grey = np.asarray(Image.fromarray(rgb, "RGB").convert("L")).ravel().tolist()
json.dump({"blurred": blurred, "thinned": thinned, "grey": grey}, sys.stdout)
