#include "tests/support/random_design.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/base/number_text.hpp"
#include "modeler/base/units.hpp"
#include "modeler/cushion/describe.hpp"
#include "modeler/cushion/edge/edge_type.hpp"
#include "modeler/job/describe.hpp"
#include "modeler/urn/describe.hpp"
#include "modeler/urn/lid_describe.hpp"
#include "tests/support/random_zones.hpp"

namespace kerfkiln::test {

std::uint64_t Random::next() {
  std::uint64_t z = (state_ += 0x9E3779B97F4A7C15ULL);
  z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ULL;
  z = (z ^ (z >> 27)) * 0x94D049BB133111EBULL;
  return z ^ (z >> 31);
}
double Random::between(double low, double high) {
  return low + (high - low) * (static_cast<double>(next() >> 11) * 0x1p-53);
}
int Random::below(int n) { return static_cast<int>(next() % static_cast<std::uint64_t>(n)); }

namespace {

double half_millimetres(double mm) { return std::round(mm * 2) / 2; }

// A value of the field's usual range: lengths in half millimetres, the rest to three digits.
double usual(Random& r, const FieldInfo& info, Dimension d) {
  const double x = r.between(info.typical.low, info.typical.high);
  if (d == Dimension::length) return std::max(half_millimetres(x), info.range.open_low ? 0.5 : info.range.low);
  const double digit = std::pow(10, std::floor(std::log10(std::max(std::abs(x), 1e-9))) - 2);
  return std::clamp(std::round(x / digit) * digit, info.typical.low, info.typical.high);
}

// Draws the scalars of what it visits: required ones and, by chance, those with a usual range. Lists, maps and records
// by name are the caller's.
class Draw final : public Visitor {
 public:
  Draw(Random& r, double optional) : random_(r), optional_(optional) {}
  void quantity(const FieldInfo& info, Dimension d, Quantity& q) override {
    if (!info.typical.limited() || !info.computed || (!info.required && !random_.chance(optional_))) return;
    q.value = usual(random_, info, d);
  }
  void tuple(const FieldInfo&, std::span<const TupleItem> items) override {
    for (const TupleItem& item : items) item.value->value = usual(random_, item.info, item.dimension);
  }
  void integer(const FieldInfo& info, int& i) override {
    if (random_.chance(optional_)) i = static_cast<int>(random_.between(info.typical.low, info.typical.high + 1));
  }
  void flag(const FieldInfo&, bool&) override {}
  void text(const FieldInfo& info, std::string& s) override {
    if (info.refers_to.empty() || !info.required) return;
    const std::vector<std::string> names = job::material_names({}, info.refers_to);
    s = names[static_cast<std::size_t>(random_.below(static_cast<int>(names.size())))];
  }
  void record(const FieldInfo& info, const Fields& fields) override {
    if (!info.part) fields(*this);
  }
  void list(const FieldInfo&, List&) override {}
  void map(const FieldInfo&, Map&) override {}
  void alternatives(const FieldInfo& info, Alternatives& forms) override {
    if (!info.key.empty()) return;
    forms.choose(static_cast<std::size_t>(random_.below(static_cast<int>(forms.count()))));
    forms.fields(*this);
  }
  void kept(const FieldInfo&, KeptSlot) override {}

 private:
  Random& random_;
  double optional_;
};

using cushion::VertexSpec;

VertexSpec vertex(double x, double y, const char* side) {
  VertexSpec v;
  v.x = x;
  v.y = y;
  v.side = side;
  return v;
}

// Corners of an L or T in a box; side names as a maker would give them.
std::vector<VertexSpec> angular(Random& r, double w, double d) {
  const double a = half_millimetres(w * r.between(0.35, 0.6)), b = half_millimetres(d * r.between(0.35, 0.6));
  std::vector<VertexSpec> loop;
  if (r.chance(0.5)) {
    loop = {vertex(0, 0, "front"), vertex(w, 0, "right"), vertex(w, b, "inner"),
            vertex(a, b, "step"),  vertex(a, d, "back"),  vertex(0, d, "left")};
  } else {
    const double arm = half_millimetres(w * r.between(0.15, 0.28));
    loop = {vertex(0, 0, "front"),           vertex(w, 0, "right"),
            vertex(w, b, "shoulder right"),  vertex(w - arm, b, "neck right"),
            vertex(w - arm, d, "back"),      vertex(arm, d, "neck left"),
            vertex(arm, b, "shoulder left"), vertex(0, b, "left")};
  }
  const double shortest = std::min({a, b, d - b, w * 0.15, w - a});
  for (VertexSpec& v : loop)
    if (r.chance(0.6)) v.radius = half_millimetres(r.between(2, shortest * 0.4));
  // A bowed front between sharp corners, outward.
  if (r.chance(0.3)) {
    loop[0].radius = loop[1].radius = Length{};
    loop[0].bulge = std::round(r.between(0.02, 0.15) * 1000) / 1000;
  }
  return loop;
}

std::vector<VertexSpec> hole_in(Random& r, Vec2 centre, double room) {
  const double size = half_millimetres(room * r.between(0.3, 0.8));
  if (r.chance(0.5)) {  // round: two half circles
    std::vector<VertexSpec> loop{vertex(centre.x - size, centre.y, ""), vertex(centre.x + size, centre.y, "")};
    for (VertexSpec& v : loop) v.bulge = 1;
    return loop;
  }
  std::vector<VertexSpec> loop{
      vertex(centre.x - size, centre.y - size, ""), vertex(centre.x + size, centre.y - size, ""),
      vertex(centre.x + size, centre.y + size, ""), vertex(centre.x - size, centre.y + size, "")};
  for (VertexSpec& v : loop) v.radius = half_millimetres(size * r.between(0, 0.6));
  return loop;
}

cushion::OutlineSpec outline(Random& r) {
  cushion::RectangleSpec rectangle;
  Draw draw(r, 0.8);
  cushion::describe(draw, rectangle);
  if (r.chance(0.5)) return rectangle;
  const double w = rectangle.width.value, d = rectangle.depth.value;
  cushion::VerticesSpec vertices;
  if (r.chance(0.6)) {
    vertices.outer = angular(r, w, d);
    return vertices;
  }
  vertices.outer = {vertex(0, 0, "front"), vertex(w, 0, "right"), vertex(w, d, "back"), vertex(0, d, "left")};
  for (VertexSpec& v : vertices.outer)
    if (r.chance(0.7)) v.radius = half_millimetres(r.between(5, std::min(w, d) * 0.3));
  vertices.holes.push_back(hole_in(r, {half_millimetres(w / 2), half_millimetres(d / 2)}, std::min(w, d) * 0.2));
  return vertices;
}

// Any profile of the table that drops at most `drop_mm` on a form of that height. Sizes shrink until it fits.
cushion::EdgeSpec edge(Random& r, double height_mm, double drop_mm) {
  for (double scale = 1; scale > 1e-3; scale *= 0.8) {
    cushion::EdgeSpec e;
    Draw draw(r, 1);
    cushion::describe(draw, {}, e);
    std::vector<double> lengths;
    for (Length& l : e.lengths) lengths.push_back(l.value = std::max(half_millimetres(l.value * scale), 0.5));
    const Result<cushion::EdgeProfile> profile = cushion::edge_profile(e.type, lengths, height_mm);
    if (profile && profile->drop <= drop_mm) return e;
  }
  return {};
}

std::vector<std::string> side_names(const cushion::OutlineSpec& o) {
  if (std::holds_alternative<cushion::RectangleSpec>(o)) return {"front", "right", "back", "left"};
  std::vector<std::string> names;
  for (const VertexSpec& v : std::get<cushion::VerticesSpec>(o).outer) names.push_back(v.side);
  return names;
}

cushion::EdgeSet edges(Random& r, const std::vector<std::string>& sides, double height_mm, double drop_mm) {
  cushion::EdgeSet set;
  if (r.chance(0.8)) set.sides["other"] = edge(r, height_mm, drop_mm);
  for (const std::string& side : sides)
    if (r.chance(0.35)) set.sides[side] = edge(r, height_mm, drop_mm);
  return set;
}

// Of what was drawn of crown and contour some is kept, so that flat and risen forms come up alike; points of curves are
// drawn in order.
void rises(Random& r, cushion::Spec& s, double height) {
  if (!r.chance(0.3)) s.crown = {};
  if (!r.chance(0.15)) s.contour.wedge = {};
  if (!r.chance(0.12)) s.contour.bolsters = {};
  if (!r.chance(0.12)) s.contour.lumbar = {};
  if (s.contour.bolsters.width.known()) s.contour.bolsters.width = r.between(10, 60);
  if (s.contour.lumbar.at.known()) s.contour.lumbar.at = r.between(20, 150);
  for (std::vector<cushion::HeightPointSpec>* points : {&s.contour.along_depth, &s.contour.across_width}) {
    points->clear();
    if (!r.chance(0.12)) continue;
    double at = half_millimetres(r.between(0, 60));
    for (int n = 2 + r.below(3); n > 0; --n) {
      points->push_back({Length(at), Length(half_millimetres(r.between(-0.03, 0.2) * height))});
      at = half_millimetres(at + r.between(40, 200));
    }
  }
}

}  // namespace

cushion::Spec random_cushion(std::uint64_t seed) {
  Random r(seed * 2 + 1);
  cushion::Spec s;
  Draw draw(r, 0.5);
  cushion::describe(draw, s);
  s.name = "cushion " + std::to_string(seed);
  s.topper_thickness = Length{};
  s.mirrored = r.chance(0.2);
  s.outline = outline(r);
  double height = 0;
  for (int n = 1 + r.below(4); n > 0; --n) {
    cushion::LayerSpec& layer = s.layers.emplace_back();
    cushion::describe(draw, layer);
    height += layer.thickness.value;
  }
  // Together at most nine tenths of the height, so that a side face is left.
  const std::vector<std::string> sides = side_names(s.outline);
  s.top = edges(r, sides, height, height * 0.5);
  s.bottom = edges(r, sides, height, height * 0.4);
  s.given_at = r.chance(0.6) ? "core" : "dressed";
  if (s.given_at == "dressed" && r.chance(0.7)) {
    s.cover = "cloth";
    if (r.chance(0.5)) s.batting = "standard";
  }
  rises(r, s, height);
  // What the builder relies on has a value, as after reading a file.
  if (!s.trim.known()) s.trim = 10;
  if (!s.kerf.known()) s.kerf = 0.5;
  if (auto* rectangle = std::get_if<cushion::RectangleSpec>(&s.outline); rectangle && !rectangle->corner_radius.known())
    rectangle->corner_radius = 0;
  add_random_zones(s, seed);
  return s;
}

urn::Spec random_urn(std::uint64_t seed) {
  Random r(seed * 2);
  urn::Spec s;
  Draw draw(r, 0.5);
  urn::describe(draw, s);
  s.name = "urn " + std::to_string(seed);
  const int family = r.below(4);  // round, elliptic, superellipse, rounded rectangle
  s.section = family == 3 ? "rounded rectangle" : "superellipse";
  const int n = 3 + r.below(6);
  const double depth = family == 0 ? 1 : r.between(0.75, 1);
  double height = 0, half = r.between(50, 80), about = 0;  // about: mm3, of a round form
  for (int i = 0; i < n; ++i) {
    urn::ProfilePoint p;
    p.height = half_millimetres(height);
    p.half_width = half_millimetres(half);
    if (family != 0) p.half_depth = half_millimetres(half * depth);
    if (family == 2) p.squareness = std::round(r.between(2, 7) * 10) / 10;
    if (family == 3) p.corner_radius = half_millimetres(r.between(8, 30));
    s.profile.push_back(p);
    const double step = r.between(30, 70);
    height += step;
    if (i + 1 < n) about += 3 * half * half * step;
    // Slopes below 40 degrees and nothing thinner than a neck that a wall fits into.
    half = std::clamp(half + step * r.between(-0.7, 0.7), 45.0, 130.0);
  }
  if (r.chance(0.5)) s.profile[static_cast<std::size_t>(n) - 2].corner = true;
  if (n > 4 && r.chance(0.3)) s.profile[1 + static_cast<std::size_t>(r.below(n - 3))].corner = true;
  if (r.chance(0.5)) {
    s.base.foot_width = half_millimetres(r.between(6, 12));
    s.base.recess = half_millimetres(r.between(1, 4));
  } else {
    s.base.foot_width = s.base.recess = Length{};
  }
  if (!s.fill_below_lip.known()) s.fill_below_lip = 0;
  // Flats alone have a bow, and the narrowest of these are some seven millimetres wide.
  const bool flats = family == 3 || (family == 2 && std::ranges::all_of(s.profile, [](const urn::ProfilePoint& p) {
                                       return p.squareness.value >= 4;
                                     }));
  s.bow.flats = flats ? half_millimetres(std::min(s.bow.flats.value, 0.5)) : Length{};
  // A keepsake is nobody's whole urn, and said to be so.
  if (s.capacity.person.known() && about < 60e3 * s.capacity.person.value) s.capacity.person = Mass{};
  return s;
}

namespace {

// Any lid that can be typed, or none: whether it can be made is the builder's to say.
urn::Spec with_some_lid(urn::Spec s, Random& r) {
  if (r.chance(0.4)) return s;
  urn::LidSpec& l = s.lid;
  Draw draw(r, 0.5);
  urn::describe(draw, l);
  l.style = r.chance(0.5) ? "cap" : "inset";
  if (r.chance(0.3)) l.formed = "drained";
  if (r.chance(0.6)) l.knob.diameter = half_millimetres(r.between(16, 34));
  if (l.style == "inset" && r.chance(0.5)) l.gallery.width = half_millimetres(r.between(4, 8));
  for (int n = r.chance(0.3) ? 1 + r.below(4) : 0; n > 0; --n)
    l.profile.push_back({half_millimetres(40.0 - 8 * n), half_millimetres(10.0 * n), r.chance(0.3)});
  return s;
}

// Rewrites values in the spellings makers use; what is read is what the text says.
class Spell final : public Visitor {
 public:
  Spell(Random& r, Units units) : random_(r), units_(units) {}
  void quantity(const FieldInfo& info, Dimension d, Quantity& q) override {
    if (!q.known() || random_.chance(0.3)) return;
    std::string text;
    if (d == Dimension::length) {
      const int form = random_.below(4);
      if (form == 0) text = format_number(q.value / 10, 3) + " cm";
      if (form == 1) text = shortest_number(q.value) + "mm";
      if (form == 2) text = std::to_string(std::max(1, static_cast<int>(q.value / 25.4))) + " 1/4 in";
      if (form == 3) text = format_number(units_ == Units::inch ? q.value / 25.4 : q.value, 2);
    } else if (d == Dimension::ratio) {
      text = format_number(q.value * 100, 2) + " %";
    } else {
      return;
    }
    const auto number = parse_number(text);
    const Result<double> value = number ? bare_quantity(*number, d, units_) : parse_quantity(text, d);
    if (!value || !info.range.contains(*value)) return;
    q.value = *value;
    q.written = text;
  }
  void tuple(const FieldInfo&, std::span<const TupleItem> items) override {
    for (const TupleItem& item : items) quantity(item.info, item.dimension, *item.value);
  }
  void integer(const FieldInfo&, int&) override {}
  void flag(const FieldInfo&, bool&) override {}
  void text(const FieldInfo&, std::string&) override {}
  void record(const FieldInfo&, const Fields& fields) override { fields(*this); }
  void list(const FieldInfo&, List& items) override {
    for (std::size_t i = 0; i < items.size(); ++i) items.element(*this, i);
  }
  void map(const FieldInfo&, Map& items) override {
    for (std::size_t i = 0; i < items.size(); ++i) items.element(*this, i);
  }
  void alternatives(const FieldInfo&, Alternatives& forms) override {
    if (forms.chosen() < forms.count()) forms.fields(*this);
  }
  // Any JSON must survive; the values are no design's.
  void kept(const FieldInfo&, KeptSlot slot) override {
    static constexpr const char* kAny[] = {R"([{"path":[[40,270],[520,270]],"depth":"40 mm"}])", R"("12 mm")", "null",
                                           "4.50", R"({"a/b":[true,false],"\u00e9":"\"quoted\""})"};
    if (random_.chance(0.15)) (*slot.store)[std::string(slot.path)] = kAny[random_.below(5)];
  }

 private:
  Random& random_;
  Units units_;
};

}  // namespace

job::Design random_design(std::uint64_t seed) {
  Random r(~seed);
  Random lids(seed * 31 + 7);
  job::Design d;
  d.title = r.chance(0.8) ? "Design \"" + std::to_string(seed) + "\" \\ caf\u00e9" : "";
  d.units = r.chance(0.5) ? Units::mm : Units::inch;
  if (r.chance(0.5)) d.order = {"A customer", "D-" + std::to_string(seed), "B", "2031-04-02", "me", ""};
  if (r.chance(0.6)) {
    material::Foam foam;
    foam.density = r.between(20, 80);
    foam.sheet.width = 1200;
    foam.sheet.thicknesses = {20, 50};
    d.own.foams = {{"our own, soft/firm", foam}};
    material::Body body;
    body.stages = {{"drying", r.between(0.01, 0.05), {}, {}},
                   {"firing", r.between(0.05, 0.1), r.between(0.05, 0.1), {}}};
    // Ten bars through both stages where the seed is even.
    if (seed % 2 == 0)
      for (std::size_t stage = 0; stage < 2; ++stage) {
        body.stages[stage].shrinkage = {};
        body.stages[stage].height_shrinkage = {};
        for (int i = 0; i < 10; ++i) {
          const double dry = 97 - 0.1 * (i % 4), fired = 88 - 0.1 * (i % 3);
          body.stages[stage].bars.push_back(stage == 0 ? material::Bar{100, dry} : material::Bar{dry, fired});
        }
      }
    d.own.bodies = {{"grey", body}};
  }
  for (int n = 1 + r.below(4), i = 0; i < n; ++i) {
    if (r.chance(0.5))
      d.pieces.emplace_back(random_cushion(r.next()));
    else
      d.pieces.emplace_back(with_some_lid(random_urn(r.next()), lids));
  }
  Spell spell(r, d.units);
  job::describe(spell, d);
  d.materials = material::completed(d.own);
  return d;
}

}  // namespace kerfkiln::test
