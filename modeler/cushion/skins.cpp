#include "modeler/cushion/skins.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "modeler/base/tolerance.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/plane/offset.hpp"

namespace kerfkiln::cushion {

namespace {

constexpr double kThickestSkinMm = 1000;

template <class T>
const T* look_up(const material::Named<T>& list, const std::string& name, const std::string& path, const char* what,
                 Findings& out) {
  if (name.empty()) return nullptr;
  const T* found = material::find(list, name);
  if (!found) {
    std::vector<std::string> known;
    for (const auto& entry : list) known.push_back(entry.first);
    out.push_back(error("material.unknown", path, std::string("there is no ") + what + " called \"" + name + "\"",
                        offer(name, known)));
  }
  return found;
}

// Adds a skin of known thickness; unknown or out of range is a finding, zero lies nowhere.
void add(std::vector<Skin>& skins, Skin skin, const std::string& path, Findings& out) {
  if (std::isnan(skin.thickness_mm)) {
    out.push_back(error("skins.unknown", path, "the " + skin.name + " \"" + skin.material + "\" has no thickness",
                        "give it one in materials"));
    return;
  }
  if (!(skin.thickness_mm >= 0 && skin.thickness_mm <= kThickestSkinMm)) {
    out.push_back(
        error("skins.thickness", path,
              "the " + skin.name + " is " + mm_text(skin.thickness_mm) + " thick; permitted is 0 mm to 1000 mm",
              "give a thickness in that range"));
    return;
  }
  if (skin.thickness_mm > 0) skins.push_back(std::move(skin));
}

// Largest distance between the curve parallel to the ellipse [a, b] and the ellipse [a - s, b - f], mm.
double parallel_deviation(double a, double b, double s, double f) {
  double worst = 0;
  constexpr int kSteps = 64;
  for (int i = 1; i < kSteps; ++i) {
    const double t = std::numbers::pi / 2 * i / kSteps;
    const Vec2 n = unit(Vec2{b * std::cos(t), a * std::sin(t)});
    const Vec2 p{a * std::cos(t) - s * n.x, b * std::sin(t) - f * n.y};
    // First order distance to the inner ellipse: its implicit function over its gradient.
    const double ia = a - s, ib = b - f;
    const double g = p.x * p.x / (ia * ia) + p.y * p.y / (ib * ib) - 1;
    const double slope = 2 * norm(Vec2{p.x / (ia * ia), p.y / (ib * ib)});
    if (slope > 0) worst = std::max(worst, std::abs(g) / slope);
  }
  return worst;
}

// What the skins leave of an edge below the smallest size is no edge; less than nothing is said to the maker.
CoreEdge elliptic(double a, double b, double side_mm, double face_mm) {
  const double ia = a - side_mm, ib = b - face_mm;
  if (a <= 0 || b <= 0) return {{"square", {}}, false, 0};
  if (std::min(ia, ib) < kSmallestSizeMm) return {{"square", {}}, ia < 0 || ib < 0, 0};
  if (ia == ib && a == b) return {{"round", {Length(ia)}}, false, 0};
  return {{"ellipse", {Length(ia), Length(ib)}}, false, parallel_deviation(a, b, side_mm, face_mm)};
}

// The chamfer's line d/a + z/b = 1 moved inward; unequal skins move it by their distance along its normal.
CoreEdge chamfer(double a, double b, double side_mm, double face_mm) {
  if (a <= 0 || b <= 0) return {{"square", {}}, false, 0};
  const Vec2 n = unit(Vec2{1 / a, 1 / b});
  const double moved = norm(Vec2{side_mm * n.x, face_mm * n.y});
  const double k = 1 + moved * norm(Vec2{1 / a, 1 / b}) - side_mm / a - face_mm / b;
  if (std::min(a, b) * k < kSmallestSizeMm) return {{"square", {}}, k < 0, 0};
  return {{"chamfer", {Length(a * k), Length(b * k)}}, false, 0};
}

double smallest_corner(const plane::Outline& outline) {
  double smallest = -1;
  const std::size_t n = outline.outer.size();
  for (std::size_t i = 0; i < n; ++i) {
    const plane::Segment s = plane::segment(outline.outer, i);
    const Vec2 turn_in = plane::segment(outline.outer, (i + n - 1) % n).tangent(1);
    double r = -1;
    if (s.bulge > 0) r = s.radius();
    if (cross(turn_in, s.tangent(0)) > 1e-6) r = 0;
    if (r >= 0 && (smallest < 0 || r < smallest)) smallest = r;
  }
  return smallest;
}

}  // namespace

Result<Skins> skins_of(const Spec& spec, const material::Library& materials) {
  Findings out;
  Skins s;
  if (const auto* c = look_up(materials.covers, spec.cover, "cover/material", "cover", out))
    add(s.layers, {"cover", spec.cover, c->thickness.value, "", true}, "cover/material", out);
  if (const auto* b = look_up(materials.barriers, spec.barrier, "barrier", "barrier", out))
    add(s.layers, {"barrier", spec.barrier, b->thickness.value, "", true}, "barrier", out);
  if (const auto* b = look_up(materials.battings, spec.batting, "batting", "batting", out))
    add(s.layers,
        {"batting", spec.batting, b->loft.value * b->compressed_to.value,
         mm_text(b->loft.value) + " loft at " + number_text(100 * b->compressed_to.value) + " %", false},
        "batting", out);
  look_up(materials.foams, spec.topper_foam, "topper/foam", "foam", out);
  if (spec.topper_thickness.known())
    add(s.layers, {"topper", spec.topper_foam, spec.topper_thickness.value, "", false}, "topper/thickness", out);

  if (spec.given_at == "dressed")
    s.given = s.layers.size();
  else if (spec.given_at == "topped")
    s.given = !s.layers.empty() && s.layers.back().name == "topper" ? 1 : 0;
  else if (spec.given_at != "core")
    out.push_back(error("skins.given_at", "given_at",
                        "\"" + spec.given_at + "\" is no surface; permitted are core, topped and dressed",
                        offer(spec.given_at, {"core", "topped", "dressed"})));
  if (has_errors(out)) return out;
  for (std::size_t i = s.layers.size() - s.given; i < s.layers.size(); ++i) {
    s.side_mm += s.layers[i].thickness_mm;
    if (s.layers[i].underneath) s.under_mm += s.layers[i].thickness_mm;
  }
  s.top_mm = s.side_mm;
  return s;
}

CoreEdge core_edge(const EdgeSpec& edge, double side_mm, double face_mm) {
  const auto length = [&](std::size_t i) { return i < edge.lengths.size() ? edge.lengths[i].value : 0.0; };
  if (side_mm == 0 && face_mm == 0) return {edge, false, 0};
  if (edge.type == "round") return elliptic(length(0), length(0), side_mm, face_mm);
  if (edge.type == "ellipse") return elliptic(length(0), length(1), side_mm, face_mm);
  if (edge.type == "chamfer") return chamfer(length(0), length(1), side_mm, face_mm);
  return {edge, false, 0};
}

Result<std::vector<ChainSizes>> chain_sizes(const plane::Outline& given, double core_height_mm, const Skins& skins) {
  double over_side = 0, over_under = 0;  // of the whole chain, above the core
  for (const Skin& s : skins.layers) {
    over_side += s.thickness_mm;
    if (s.underneath) over_under += s.thickness_mm;
  }
  std::vector<ChainSizes> chain;
  for (std::size_t i = 0; i <= skins.layers.size(); ++i) {
    ChainSizes c;
    c.surface = i == skins.layers.size() ? "core" : skins.layers[i].name;
    c.side_mm = over_side - skins.side_mm;
    c.height_mm = core_height_mm + over_side + over_under;
    std::vector<plane::Outline> at{given};
    // The same surface must not move by rounding.
    if (std::abs(c.side_mm) > 1e-9) {
      Result<std::vector<plane::Outline>> moved = plane::offset(given, c.side_mm);
      if (!moved) return moved.findings();
      at = std::move(*moved);
    }
    if (at.empty())
      return error("skins.no_core", "outline",
                   "the skins take " + mm_text(-c.side_mm) + " off each side, which leaves nothing of the outline",
                   "make the outline larger or the skins thinner");
    plane::Box box = plane::bounds(at.front());
    for (const plane::Outline& o : at) {
      const plane::Box b = plane::bounds(o);
      box = {{std::min(box.low.x, b.low.x), std::min(box.low.y, b.low.y)},
             {std::max(box.high.x, b.high.x), std::max(box.high.y, b.high.y)}};
      const double corner = smallest_corner(o);
      if (corner >= 0 && (c.corner_mm < 0 || corner < c.corner_mm)) c.corner_mm = corner;
    }
    c.width_mm = box.width();
    c.depth_mm = box.depth();
    chain.push_back(c);
    if (i == skins.layers.size()) break;
    over_side -= skins.layers[i].thickness_mm;
    if (skins.layers[i].underneath) over_under -= skins.layers[i].thickness_mm;
  }
  return chain;
}

product::Table chain_table(const std::vector<ChainSizes>& chain, const Skins& skins) {
  product::Table t;
  t.id = "compensation";
  t.title = "Compensation chain, from the outside in";
  t.columns = {"surface", "material", "thickness mm", "lies", "width mm", "depth mm", "height mm", "corner radius mm"};
  t.numeric = {false, false, true, false, true, true, true, true};
  for (std::size_t i = 0; i < chain.size(); ++i) {
    const ChainSizes& c = chain[i];
    const bool core = i == skins.layers.size();
    const Skin* s = core ? nullptr : &skins.layers[i];
    const bool given = i == skins.layers.size() - skins.given;
    t.rows.push_back({"over the " + c.surface, s ? s->material + (s->how.empty() ? "" : ", " + s->how) : "foam",
                      s ? number_text(s->thickness_mm) : "", s ? (s->underneath ? "all round" : "top and sides") : "",
                      number_text(c.width_mm), number_text(c.depth_mm), number_text(c.height_mm),
                      c.corner_mm < 0 ? "" : number_text(c.corner_mm)});
    if (core) t.rows.back()[0] = "core";
    if (given) t.rows.back()[0] += " (as given)";
  }
  return t;
}

}  // namespace kerfkiln::cushion
