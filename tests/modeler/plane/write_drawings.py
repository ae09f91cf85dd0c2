"""Writes drawings with ezdxf, an independent library, and prints what each must come to.

write_drawings.py FOLDER: one line a file on stdout,
  file <tab> unit to choose or - <tab> layer or - <tab> area mm2 <tab> perimeter mm <tab> holes <tab> sides
Areas and perimeters come from closed forms, or from ezdxf's own curves flattened to 1e-5 of the drawing's unit.
"""
import math
import sys

import ezdxf
from ezdxf.math import Vec2, area as polygon_area

FOLDER = sys.argv[1]
UNITS = {"mm": (4, 1.0), "cm": (5, 10.0), "in": (1, 25.4)}
PI = math.pi


def polyline_sums(points):
    points = [Vec2(p) for p in points]
    length = sum((b - a).magnitude for a, b in zip(points, points[1:] + points[:1]))
    return abs(polygon_area(points)), length


def rounded(msp, w, h, r, layer):
    """Loose lines and arcs, neither in order nor in one direction."""
    at = {"layer": layer}
    msp.add_line((w, r), (w, h - r), at)
    msp.add_arc((r, r), r, 180, 270, dxfattribs=at)
    msp.add_line((w - r, 0), (r, 0), at)
    msp.add_arc((w - r, h - r), r, 0, 90, dxfattribs=at)
    msp.add_line((r, h), (w - r, h), at)
    msp.add_arc((w - r, r), r, 270, 360, dxfattribs=at)
    msp.add_line((0, h - r), (0, r), at)
    msp.add_arc((r, h - r), r, 90, 180, dxfattribs=at)
    return w * h - (4 - PI) * r * r, 2 * (w + h) - 8 * r + 2 * PI * r


def lines_and_arcs(doc, s, old):
    a, p = rounded(doc.modelspace(), 500 / s, 450 / s, 40 / s, "OUTLINE")
    doc.modelspace().add_line((-50 / s, 225 / s), (600 / s, 225 / s), {"layer": "CENTRE"})
    return "OUTLINE", a * s * s, p * s, 0, "front right back left"


def polyline_with_hole(doc, s, old):
    """A half disc on a rectangle by bulge 1, with a round hole."""
    msp = doc.modelspace()
    w, h, r = 400 / s, 300 / s, 30 / s
    points = [(0, 0, 0), (w, 0, 0), (w, h, 1), (0, h, 0)]
    if old:
        line = msp.add_polyline2d([], format="xyb", close=True)
        line.append_formatted_vertices(points, format="xyb")
        line.close(True)
    else:
        msp.add_lwpolyline(points, format="xyb", close=True)
    msp.add_circle((w / 2, h / 2), r)
    area = w * h + PI * w * w / 8 - PI * r * r
    return "-", area * s * s, (2 * h + w + PI * w / 2 + 2 * PI * r) * s, 1, "side 1 side 2 side 3 side 4 hole 1"


def block_array(doc, s, old):
    """A plate, and a block of one slot placed 3 x 2 times, turned by 90 degrees and at half size."""
    msp = doc.modelspace()
    w, h = 600 / s, 400 / s
    for a, b in [((0, 0), (w, 0)), ((w, 0), (w, h)), ((w, h), (0, h)), ((0, h), (0, 0))]:
        msp.add_line(a, b)
    slot = doc.blocks.new("SLOT", base_point=(10 / s, 10 / s))
    slot.add_line((10 / s, 0), (50 / s, 0))
    slot.add_arc((50 / s, 10 / s), 10 / s, 270, 90)
    slot.add_line((50 / s, 20 / s), (10 / s, 20 / s))
    slot.add_arc((10 / s, 10 / s), 10 / s, 90, 270)
    msp.add_blockref("SLOT", (150 / s, 100 / s), {
        "xscale": 0.5, "yscale": 0.5, "rotation": 90, "column_count": 3, "row_count": 2,
        "column_spacing": 90 / s, "row_spacing": 120 / s})
    one, round_one = (40 * 20 + PI * 100) / 4, (80 + 20 * PI) / 2
    names = "front right back left " + " ".join(f"hole {i + 1}" for i in range(6))
    return "-", 600 * 400 - 6 * one, 2000 + 6 * round_one, 6, names


def mirrored_insert(doc, s, old):
    """A quarter disc block, mirrored by a negative scale and stretched: its arc becomes elliptic."""
    block = doc.blocks.new("QUARTER")
    r = 200 / s
    block.add_line((0, 0), (r, 0))
    block.add_arc((0, 0), r, 0, 90)
    block.add_line((0, r), (0, 0))
    doc.modelspace().add_blockref("QUARTER", (30 / s, 40 / s), {"xscale": -1.5, "yscale": 1})
    # Quarter of an ellipse 300 x 200: perimeter by Ramanujan's second formula, far within the tolerance.
    a, b = 300, 200
    h = ((a - b) / (a + b)) ** 2
    p = PI * (a + b) * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h))) / 4
    return "-", PI * a * b / 4, a + b + p, 0, "side 1 side 2 side 3"


def ellipse(doc, s, old):
    doc.modelspace().add_ellipse((70 / s, 30 / s), major_axis=(120 / s, 160 / s), ratio=0.6)
    a, b = 200, 120
    h = ((a - b) / (a + b)) ** 2
    return "-", PI * a * b, PI * (a + b) * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h))), 0, "side 1"


def half_ellipse(doc, s, old):
    msp = doc.modelspace()
    msp.add_ellipse((0, 0), major_axis=(200 / s, 0), ratio=0.5, start_param=PI, end_param=2 * PI)
    msp.add_line((-200 / s, 0), (200 / s, 0))
    a, b = 200, 100
    h = ((a - b) / (a + b)) ** 2
    p = PI * (a + b) * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h))) / 2
    return "-", PI * a * b / 2, p + 400, 0, "side 1 side 2"


def rational_circle(doc, s, old):
    """The nine-point rational quadratic circle (The NURBS Book, section 7.3, from memory)."""
    r, w = 150 / s, math.sqrt(0.5)
    points = [(r, 0), (r, r), (0, r), (-r, r), (-r, 0), (-r, -r), (0, -r), (r, -r), (r, 0)]
    msp = doc.modelspace()
    spline = msp.add_rational_spline([(x, y, 0) for x, y in points], [1, w, 1, w, 1, w, 1, w, 1], degree=2,
                                     knots=[0, 0, 0, .25, .25, .5, .5, .75, .75, 1, 1, 1])
    assert spline.dxf.degree == 2
    return "-", PI * 150 * 150, 2 * PI * 150, 0, "side 1"


def closed_spline(doc, s, old):
    points = [(x / s, y / s) for x, y in [(0, 0), (200, -60), (420, 10), (460, 200), (380, 330), (180, 300), (-20, 360)]]
    msp = doc.modelspace()
    curve = ezdxf.math.closed_uniform_bspline([(x, y, 0) for x, y in points], order=4)
    msp.add_spline(degree=3).apply_construction_tool(curve)
    flat = list(curve.flattening(1e-5))
    a, p = polyline_sums(flat[:-1])
    return "-", a * s * s, p * s, 0, "side 1"


def open_spline(doc, s, old):
    points = [(0, 300), (100, 420), (250, 260), (420, 470), (500, 300)]
    points = [(x / s, y / s) for x, y in points]
    msp = doc.modelspace()
    curve = msp.add_open_spline([(x, y, 0) for x, y in points], degree=3).construction_tool()
    for a, b in [((0, 300), (0, 0)), ((0, 0), (500, 0)), ((500, 0), (500, 300))]:
        msp.add_line((a[0] / s, a[1] / s), (b[0] / s, b[1] / s))
    flat = [Vec2(v) for v in curve.flattening(1e-5)]
    a, p = polyline_sums(flat + [Vec2(500 / s, 0), Vec2(0, 0)])
    return "-", a * s * s, p * s, 0, "side 1 side 2 side 3 side 4"


OLD = [lines_and_arcs, polyline_with_hole, block_array, mirrored_insert]
NEW = OLD + [ellipse, half_ellipse, rational_circle, closed_spline, open_spline]

for version in ["R12", "R2000", "R2010", "R2018"]:
    for unit, (code, s) in UNITS.items():
        for make in OLD if version == "R12" else NEW:
            doc = ezdxf.new(version)
            doc.header["$INSUNITS"] = code
            for name in ["OUTLINE", "CENTRE"]:
                doc.layers.add(name)
            layer, area, perimeter, holes, sides = make(doc, s, version == "R12")
            doc.modelspace().add_text("a note", dxfattribs={"layer": layer if layer != "-" else "0"})
            file = f"{version}-{unit}-{make.__name__}.dxf"
            doc.saveas(f"{FOLDER}/{file}")
            chosen = unit if version == "R12" else "-"
            print(file, chosen, layer, repr(area), repr(perimeter), holes, sides, sep="\t")
