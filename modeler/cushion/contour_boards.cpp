// What the bench needs of a risen top beyond the edges: boards of the contour, heights at the stations.
#include <algorithm>
#include <cmath>

#include "modeler/cushion/stations.hpp"
#include "modeler/cushion/templates.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/plane/fit.hpp"
#include "modeler/product/lengths.hpp"
#include "modeler/product/sketch_tools.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kBoardMm = 60;  // of board above the highest place of the curve
constexpr double kFitMm = 0.02;
constexpr double kTextMm = 4;

// The lower edge is the contour; x from the front or the left end of the core, y the height above the flat top.
product::FlatPart board(const Core& core, bool along_depth) {
  const plane::Box box = plane::bounds(core.outline());
  const double low = along_depth ? box.low.y : box.low.x, high = along_depth ? box.high.y : box.high.x;
  const auto height = [&](double x) {
    return along_depth ? core.rises.contour_along(x) : core.rises.contour_across(x);
  };
  std::vector<double> knots{low, high};
  for (const ContourCurve& c : core.rises.curves)
    if (c.along_depth == along_depth)
      for (const HeightPoint& p : c.points)
        if (p.at > low && p.at < high) knots.push_back(p.at);
  std::sort(knots.begin(), knots.end());
  knots.erase(std::unique(knots.begin(), knots.end(), [](double a, double b) { return b - a < 1e-6; }), knots.end());
  const plane::CurveFunction curve = [&](double x) {
    constexpr double kStep = 1e-4;
    return plane::CurvePoint{{x - low, height(x)}, {2 * kStep, height(x + kStep) - height(x - kStep)}};
  };
  plane::Loop edge;
  double top = 0;
  for (std::size_t i = 0; i + 1 < knots.size(); ++i) {
    plane::Loop part = plane::fitted(curve, knots[i], knots[i + 1], kFitMm);
    if (i + 2 < knots.size()) part.pop_back();
    edge.insert(edge.end(), part.begin(), part.end());
  }
  for (const plane::Vertex& v : edge) top = std::max(top, v.at.y);
  product::FlatPart part;
  part.id = along_depth ? "contour-depth" : "contour-width";
  part.label = along_depth ? "Contour board, front to back" : "Contour board, left to right";
  part.material = "template board";
  part.hand = core.hand;
  part.face_up = "either face";
  const double length = high - low;
  plane::Loop outline = edge;
  outline.back().bulge = 0;
  outline.push_back({{length, top + kBoardMm}, 0, 0});
  outline.push_back({{0, top + kBoardMm}, 0, 0});
  part.sketch.strokes.push_back(product::closed(outline, product::LineRole::cut));
  double last = -1e9;
  for (const double x : knots) {
    const double at = x - low, z = height(x);
    part.sketch.strokes.push_back(product::line({at, z}, {at, z + 10}, product::LineRole::scribe));
    if (at - last < 14) continue;
    last = at;
    const double beside = std::clamp(at, 10.0, length - 10);
    part.sketch.labels.push_back(
        {{beside, z + 13},
         product::bare_length(number_text(at, 1)) + " / " + product::bare_length(number_text(z, 1)),
         2.5,
         product::Anchor::centre,
         0});
  }
  const std::string words = core.name + ": " + (along_depth ? "top, front (left end) to back" : "top, left to right");
  const auto fitting = [&](const std::string& text, double size) {
    return std::min(size, (length - 20) / (0.6 * static_cast<double>(text.size() + 1)));
  };
  part.sketch.labels.push_back(
      {{length / 2, top + kBoardMm - 14}, words, fitting(words, kTextMm), product::Anchor::centre, 0});
  const std::string note = "place / height above the flat top, mm; crown and edges come on top";
  part.sketch.labels.push_back({{length / 2, top + kBoardMm - 22}, note, fitting(note, 3), product::Anchor::centre, 0});
  return part;
}

}  // namespace

std::vector<product::FlatPart> contour_boards(const Core& core) {
  std::vector<product::FlatPart> parts;
  for (const bool along_depth : {true, false})
    if (core.rises.contoured(along_depth)) parts.push_back(board(core, along_depth));
  return parts;
}

product::Table station_table(const Core& core) {
  product::Table t;
  t.id = "stations";
  t.title = "Heights at the stations, edges apart: drops are measured from these";
  t.columns = {"station", "side", "top mm", "underside mm", "height of the side mm"};
  t.numeric = {false, false, true, true, true};
  for (const Station& s : stations_of(core.outline(), core.plan.shown)) {
    const double top = core.height() + core.form.rise(Sheet::top).value(s.at);
    const double bottom = -core.form.rise(Sheet::bottom).value(s.at);
    t.rows.push_back({s.mark, core.plan.shown[static_cast<std::size_t>(s.side)], number_text(top, 1),
                      number_text(bottom == 0 ? 0 : bottom, 1), number_text(top - bottom, 1)});
  }
  return t;
}

}  // namespace kerfkiln::cushion
