// From a drawing's curves to a checked outline in mm.
#include <algorithm>
#include <cmath>
#include <optional>

#include "modeler/base/nearest_key.hpp"
#include "modeler/base/tolerance.hpp"
#include "modeler/plane/drawing_pieces.hpp"
#include "modeler/plane/region.hpp"
#include "modeler/plane/words.hpp"

namespace kerfkiln::plane {
namespace {

constexpr std::size_t kMostVertices = 10000;

Finding finding(Severity severity, const char* code, const char* path, std::string message, std::string remedy) {
  return {severity, code, path, std::move(message), std::move(remedy)};
}
Finding error(const char* code, const char* path, std::string message, std::string remedy) {
  return finding(Severity::error, code, path, std::move(message), std::move(remedy));
}

std::string unit_word(double mm) {
  return mm == 1 ? "mm" : mm == 10 ? "cm" : mm == 1000 ? "m" : mm == 25.4 ? "in" : mm == 304.8 ? "ft" : mm_text(mm);
}

std::optional<double> unit_of(const DrawingData& d, const DrawingChoice& choice, Findings& out) {
  if (choice.unit_mm > 0) {
    if (d.unit_mm > 0 && d.unit_mm != choice.unit_mm)
      out.push_back(finding(Severity::warning, "drawing.unit", "unit",
                            "the drawing says that its unit is " + unit_word(d.unit_mm) + "; it is read in " +
                                unit_word(choice.unit_mm) + " as the design says",
                            "leave \"unit\" out to follow the drawing"));
    return choice.unit_mm;
  }
  if (d.unit_mm > 0) return d.unit_mm;
  out.push_back(error("drawing.unit", "unit",
                      d.unit_code == 0 ? "the drawing does not say its unit; permitted are mm, cm, m, in and ft"
                                       : "the drawing's unit has the code " + std::to_string(d.unit_code) +
                                             " (group $INSUNITS); permitted are mm, cm, m, in and ft",
                      "add the one that it was drawn in, such as \"unit\": \"mm\""));
  return std::nullopt;
}

std::string lower(std::string s) {
  for (char& c : s)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return s;
}

std::string counted(const DrawingLayer& l) { return "\"" + l.name + "\" (" + std::to_string(l.curves) + ")"; }

// Index of the layer to read. Layer names do not tell capitals (DXF reference, symbol tables).
std::optional<int> layer_of(const DrawingData& d, const DrawingChoice& choice, Findings& out) {
  std::vector<int> shown;
  std::string all;
  std::vector<std::string_view> names;
  for (std::size_t i = 0; i < d.layers.size(); ++i) {
    const DrawingLayer& l = d.layers[i];
    if (!choice.layer.empty() && lower(l.name) == lower(choice.layer)) return static_cast<int>(i);
    // The layer that dimensions keep their points on is never printed.
    if (l.shown && lower(l.name) != "defpoints") shown.push_back(static_cast<int>(i));
    names.push_back(l.name);
    if (i < 12) all += (i ? ", " : "") + counted(l);
    if (i == 12) all += ", ...";
  }
  if (!choice.layer.empty()) {
    const std::string near = nearest_key(choice.layer, names);
    out.push_back(error("drawing.layer", "layer",
                        "no line or curve lies on a layer \"" + choice.layer + "\"; the drawing has " + all,
                        near.empty() ? "name one of these layers" : "Did you mean \"" + near + "\"?"));
    return std::nullopt;
  }
  if (shown.size() == 1) return shown[0];
  out.push_back(error("drawing.layer", "layer",
                      shown.empty() ? "all layers of the drawing are off or frozen: " + all
                                    : "the drawing has lines on several layers: " + all,
                      "say which holds the outline: \"layer\": \"" +
                          d.layers[static_cast<std::size_t>(shown.empty() ? 0 : shown[0])].name + "\""));
  return std::nullopt;
}

void note_left_out(const DrawingData& d, Findings& out) {
  int count = 0;
  std::string what;
  for (const auto& [type, n] : d.left_out) {
    if (type == "VIEWPORT") continue;
    count += n;
    std::string word = type;
    for (char& c : word)
      if (static_cast<unsigned char>(c) < 0x20 || static_cast<unsigned char>(c) > 0x7e) c = '?';
    what += (what.empty() ? "" : ", ") + std::to_string(n) + " " + word;
  }
  if (count > 0)
    out.push_back(finding(Severity::note, "drawing.left_out", "", "left out of the outline: " + what,
                          "nothing to do; an outline is made of lines, arcs and curves"));
  if (d.tilted > 0)
    out.push_back(finding(Severity::warning, "drawing.tilted", "",
                          std::to_string(d.tilted) + " entities do not lie in the plan and are left out",
                          "draw the outline flat, seen from above"));
  if (d.raised > 0)
    out.push_back(finding(Severity::note, "drawing.height", "",
                          std::to_string(d.raised) + " entities do not lie at height 0; they are seen from above",
                          "nothing to do unless the drawing is a body"));
}

// The chosen curves' corner and size; too large or small a drawing is most often one in another unit.
std::optional<DrawingFrame> frame_of(const std::vector<const DrawnCurve*>& curves, double unit_mm, Findings& out) {
  Box box = drawn_box(*curves[0]);
  for (const DrawnCurve* c : curves) {
    const Box b = drawn_box(*c);
    box = {{std::min(box.low.x, b.low.x), std::min(box.low.y, b.low.y)},
           {std::max(box.high.x, b.high.x), std::max(box.high.y, b.high.y)}};
  }
  const double width = unit_mm * box.width(), depth = unit_mm * box.depth();
  if (std::max(width, depth) <= kLargestSizeMm && std::min(width, depth) >= kSmallestSizeMm)
    return DrawingFrame{unit_mm, box.low};
  out.push_back(error("drawing.size", "unit",
                      "read in " + unit_word(unit_mm) + ", the drawing is " + mm_text(width) + " wide and " +
                          mm_text(depth) + " deep; permitted is 0.1 mm to 10 m",
                      "check the unit and that nothing else lies on the layer"));
  return std::nullopt;
}

Findings outside(const std::vector<TracedLoop>& loops, std::size_t outer, const DrawingFrame& frame) {
  Findings out;
  for (std::size_t i = 0; i < loops.size(); ++i)
    if (i != outer && winding(loops[outer].loop, segment(loops[i].loop, 0).point(0.5)) == 0)
      if (out.size() < 6)
        out.push_back(error("drawing.loops", "",
                            "the loop at " + frame.place(loops[i].loop[0].at) +
                                " in the drawing lies beside the outer one, the largest",
                            "keep one outline with its holes on the layer"));
  return out;
}

// Snapped to the plan grid, the front-left corner of the box at the origin.
void to_origin(Outline& outline) { outline = snapped(moved(outline, -bounds(outline).low)); }

// What check_outline says, with the place of the drawing's corner: its own paths count segments nobody has typed.
Findings checked(const Outline& outline, const DrawingFrame& frame) {
  Findings out = check_outline(outline);
  for (Finding& f : out) {
    f.path.clear();
    f.message += "; places are measured from " + frame.place({0, 0}) + " in the drawing";
  }
  return out;
}

}  // namespace

Result<DrawnOutline> outline_of(const Drawing& drawing, const DrawingChoice& choice) {
  const DrawingData& d = drawing.data();
  Findings out;
  const std::optional<double> unit_mm = unit_of(d, choice, out);
  const std::optional<int> layer = layer_of(d, choice, out);
  if (!unit_mm || !layer) return out;
  std::vector<const DrawnCurve*> curves;
  for (const DrawnCurve& c : d.curves)
    if (c.layer == *layer) curves.push_back(&c);
  const std::optional<DrawingFrame> frame = frame_of(curves, *unit_mm, out);
  if (!frame) return out;
  note_left_out(d, out);
  const std::vector<Piece> pieces = pieces_of(curves, *frame, out);
  if (has_errors(out)) return out;
  std::vector<TracedLoop> loops = loops_of(pieces, *frame, choice.gap_mm, out);
  if (has_errors(out)) return out;
  std::size_t segments = 0, outer = 0;
  for (std::size_t i = 0; i < loops.size(); ++i) {
    segments += loops[i].loop.size();
    if (std::abs(area(loops[i].loop)) > std::abs(area(loops[outer].loop))) outer = i;
  }
  if (loops.empty())
    out.push_back(error("drawing.open", "", "nothing on the layer closes to a loop", "draw a closed outline"));
  if (segments > kMostVertices)
    out.push_back(error("drawing.vertices", "",
                        "the outline has " + std::to_string(segments) + " segments; permitted are 10 000",
                        "draw it with fewer lines, or with arcs"));
  if (!has_errors(out)) append(out, outside(loops, outer, *frame));
  if (has_errors(out)) return out;

  DrawnOutline result;
  TracedLoop around = area(loops[outer].loop) < 0 ? reversed(loops[outer]) : std::move(loops[outer]);
  name_sides(around, result.outline);
  result.outline.outer = std::move(around.loop);
  loops.erase(loops.begin() + static_cast<std::ptrdiff_t>(outer));
  for (TracedLoop& l : loops) result.outline.holes.push_back(area(l.loop) > 0 ? reversed(l.loop) : std::move(l.loop));
  std::sort(result.outline.holes.begin(), result.outline.holes.end(), [](const Loop& a, const Loop& b) {
    const Box p = bounds(a), q = bounds(b);
    return p.low.y != q.low.y ? p.low.y < q.low.y : p.low.x < q.low.x;
  });
  for (std::size_t h = 0; h < result.outline.holes.size(); ++h) {
    result.outline.sides.push_back("hole " + std::to_string(h + 1));
    for (Vertex& v : result.outline.holes[h]) v.side = static_cast<int>(result.outline.sides.size()) - 1;
  }
  const Vec2 corner = bounds(result.outline).low;
  to_origin(result.outline);
  append(out, checked(result.outline, {frame->unit_mm, frame->low + corner / frame->unit_mm}));
  if (has_errors(out)) return out;
  result.notes = std::move(out);
  return result;
}

}  // namespace kerfkiln::plane
