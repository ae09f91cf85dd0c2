"""Reads a DXF with ezdxf and prints what it found, one "key value" a line: the independent judge of our drawings.

Areas: shoelace of the chords plus the circular segments, from the arcs that ezdxf makes of the bulges.
"""
import math
import sys

import ezdxf
from ezdxf import recover
from ezdxf.math import Vec2, bulge_to_arc


def area(polyline):
    points = [(x, y, b) for x, y, b in polyline.get_points("xyb")]
    total = 0.0
    for (x1, y1, bulge), (x2, y2, _) in zip(points, points[1:] + points[:1]):
        total += (x1 * y2 - x2 * y1) / 2
        if bulge:
            _, start, end, radius = bulge_to_arc(Vec2(x1, y1), Vec2(x2, y2), bulge)
            sweep = (end - start) % (2 * math.pi)
            total += math.copysign(radius**2 / 2 * (sweep - math.sin(sweep)), bulge)
    return total


strict = ezdxf.readfile(sys.argv[1])
audit = strict.audit()
print("strict.errors", len(audit.errors))
print("strict.fixes", len(audit.fixes))
doc, audit = recover.readfile(sys.argv[1])
print("recover.errors", len(audit.errors))
print("recover.fixes", len(audit.fixes))
for problem in audit.errors + audit.fixes:
    print("problem", problem.message)
print("version", doc.dxfversion)
print("insunits", doc.header["$INSUNITS"])
print("measurement", doc.header["$MEASUREMENT"])
for name in ("$EXTMIN", "$EXTMAX"):
    print(name[1:].lower(), *(f"{v:.12g}" for v in doc.header[name]))
for layer in sorted(l.dxf.name for l in doc.layers):
    print("layer", layer)
for e in doc.modelspace():
    if e.dxftype() == "LWPOLYLINE":
        bulges = sum(1 for p in e.get_points("b") if p[0])
        closed = "closed" if e.closed else "open"
        print("polyline", e.dxf.layer, closed, len(e), bulges, f"{area(e):.15g}" if e.closed else "-")
    elif e.dxftype() == "TEXT":
        print("text", e.dxf.layer, e.plain_text())
    else:
        print("other", e.dxftype(), e.dxf.layer)
