"""Writes a JPEG and a PNG with a given ICC profile, by Pillow (Debian package
python3-pil). Standard input: JSON {"profile": base64}; standard output: JSON
{"jpeg": base64, "png": base64}."""
import base64
import io
import json
import sys

from PIL import Image

profile = base64.b64decode(json.load(sys.stdin)["profile"])
picture = Image.new("RGB", (40, 30), (180, 90, 30))
out = {}
for kind in ("jpeg", "png"):
    b = io.BytesIO()
    picture.save(b, kind.upper(), icc_profile=profile)
    out[kind] = base64.b64encode(b.getvalue()).decode()
json.dump(out, sys.stdout)
