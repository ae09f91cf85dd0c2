"""A design in millimetres as the same design in inches: bare lengths get their unit, then "units" becomes "in".

inch_design.py IN OUT
"""
import json
import re
import sys

LENGTHS = {"width", "depth", "corner_radius", "ellipse", "round", "chamfer", "at", "radius", "half_width", "half_depth",
           "height", "length", "thicknesses", "path", "thickness"}


def without_comments(text):
    return re.sub(r'("(?:\\.|[^"\\])*")|//[^\n]*', lambda m: m.group(1) or "", text)


def with_units(value, key=None):
    if isinstance(value, dict):
        return {k: with_units(v, k) for k, v in value.items()}
    if isinstance(value, list):
        return [with_units(v, key) for v in value]
    if isinstance(value, (int, float)) and not isinstance(value, bool) and key in LENGTHS:
        return f"{value} mm"
    return value


design = with_units(json.loads(without_comments(open(sys.argv[1], encoding="utf-8").read())))
design["units"] = "in"
json.dump(design, open(sys.argv[2], "w", encoding="utf-8"))
