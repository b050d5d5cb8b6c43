"""CIELAB and colour differences by scikit-image and OpenCV (Debian packages
python3-skimage and python3-opencv). Standard input: JSON {"linear": [[r, g,
b] ...]}, linear sRGB within 0..1, pairs of neighbours for the differences.
Standard output: JSON with "skimage" and "opencv" (Lab), "de76" and "de2000"
(of pairs, from skimage's Lab), "encoded" (sRGB of the first step)."""
import json
import sys

import cv2
import numpy
from skimage import color

linear = numpy.array(json.load(sys.stdin)["linear"], dtype=numpy.float64)
encoded = numpy.where(linear <= 0.0031308, 12.92 * linear, 1.055 * numpy.maximum(linear, 0) ** (1 / 2.4) - 0.055)
lab = color.rgb2lab(encoded[None])[0]
other = cv2.cvtColor(encoded[None].astype(numpy.float32), cv2.COLOR_RGB2LAB)[0]
a, b = lab[0::2], lab[1::2]
json.dump({
    "skimage": lab.tolist(),
    "opencv": other.astype(float).tolist(),
    "de76": color.deltaE_cie76(a, b).tolist(),
    "de2000": color.deltaE_ciede2000(a, b).tolist(),
    "encoded": encoded.tolist(),
}, sys.stdout)
