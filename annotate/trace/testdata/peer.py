# A general-purpose segmentation as a peer, and a reference for colours. Reads one JSON
# object from stdin: "photos", a list of {"rgb": base64 of rows of red, green and blue bytes, "w",
# "h", "box": [x, y, w, h] around the instrument}, and "colours", a list of [r, g, b] from 0 to 255. Writes
# {"masks": base64 of a byte a pixel each, "lab": [L, a, b] each}.
import base64
import json
import sys

import cv2
import numpy as np

job = json.load(sys.stdin)
cv2.setRNGSeed(1)
masks = []
for p in job["photos"]:
    rgb = np.frombuffer(base64.b64decode(p["rgb"]), np.uint8).reshape(p["h"], p["w"], 3)
    mask = np.zeros(rgb.shape[:2], np.uint8)
    cv2.grabCut(np.ascontiguousarray(rgb[..., ::-1]), mask, tuple(p["box"]), np.zeros((1, 65)), np.zeros((1, 65)), 5, cv2.GC_INIT_WITH_RECT)
    inside = np.isin(mask, [cv2.GC_FGD, cv2.GC_PR_FGD]).astype(np.uint8)
    masks.append(base64.b64encode(inside.tobytes()).decode())
rgb = np.array(job["colours"], np.float32).reshape(-1, 1, 3) / 255
lab = cv2.cvtColor(rgb, cv2.COLOR_RGB2LAB).reshape(-1, 3) if len(rgb) else rgb.reshape(-1, 3)
json.dump({"masks": masks, "lab": lab.tolist()}, sys.stdout)
