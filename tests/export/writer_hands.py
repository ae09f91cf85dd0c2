"""Two DXF drawings of a pair, read with ezdxf: the lines are mirror images of each other, the words are not turned.

Prints "lines N", "texts N" and one line for each disagreement.
"""
import re
import sys

import ezdxf

docs = [ezdxf.readfile(path) for path in sys.argv[1:3]]


def outlines(doc):
    found = [list(e.get_points("xyb")) for e in doc.modelspace() if e.dxftype() == "LWPOLYLINE" and e.dxf.layer == "CUT"]
    return [p for p in found if len(p) > 3]


def texts(doc):
    return [e for e in doc.modelspace() if e.dxftype() in ("TEXT", "MTEXT")]


def matrix_is_upright(e):
    flags = e.dxf.get("text_generation_flag", 0)
    return flags & 6 == 0 and tuple(e.dxf.extrusion) == (0, 0, 1) and e.dxf.get("width", 1) > 0 and e.dxf.height > 0


left, right = (outlines(d) for d in docs)
xs = [p[0] for line in left for p in line] + [p[0] for line in right for p in line]
print("lines", len(left))
if len(left) != len(right):
    print("wrong count of lines", len(right))
for a, b in zip(left, right):
    # The middle of each outline is the axis; bulges go to the segment that starts at the other end.
    middle_a = (min(p[0] for p in a) + max(p[0] for p in a)) / 2
    middle_b = (min(p[0] for p in b) + max(p[0] for p in b)) / 2
    turned = sorted((round(middle_a - x, 4) + 0.0, round(y, 4)) for x, y, _ in a)
    other = sorted((round(x - middle_b, 4) + 0.0, round(y, 4)) for x, y, _ in b)
    worst = max(max(abs(p[0] - q[0]), abs(p[1] - q[1])) for p, q in zip(turned, other)) if len(a) == len(b) else 1e9
    same = sorted((round(x - middle_a, 4) + 0.0, round(y, 4)) for x, y, _ in a)
    if worst > 2e-4:
        print("wrong mirror image", worst)
    if same == other:
        print("wrong part: it is its own mirror image, so nothing is proven")
print("texts", len(texts(docs[0])))
for doc in docs:
    for e in texts(doc):
        if not matrix_is_upright(e):
            print("wrong turned text", e.plain_text())
words = [sorted(re.sub("left|right|other", "hand", e.plain_text()) for e in texts(d)) for d in docs]
if len(words[0]) != len(words[1]):
    print("wrong count of texts", len(words[0]), len(words[1]))
