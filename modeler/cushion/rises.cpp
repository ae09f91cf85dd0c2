#include "modeler/cushion/rises.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/cushion/membrane.hpp"
#include "modeler/cushion/words.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kMostMm = 500;     // of a crown or contour
constexpr double kNeglected = 0.1;  // mm, of the skins' parallel

double or_zero(const Quantity& q) { return q.known() ? q.value : 0; }

class Reader {
 public:
  Reader(const Spec& spec, const Plan& plan, Findings& out)
      : spec_(spec), box_(plane::bounds(plan.outline)), outline_(plan.outline), out_(out) {}

  void crowns(Rises& r) {
    const auto height = [&](const Length& l, const char* path) {
      if (!l.known()) return 0.0;
      if (l.value >= 0 && l.value <= kMostMm) return l.value;
      out_.push_back(error("crown.range", path, "the crown is " + mm_text(l.value) + "; permitted is 0 mm to 500 mm",
                           "give a height in that range; contours may be negative"));
      return 0.0;
    };
    r.crown_top_mm = height(spec_.crown.top, "crown/top");
    r.crown_bottom_mm = height(spec_.crown.bottom, "crown/bottom");
  }

  void curves(Rises& r) {
    typed(spec_.contour.along_depth, "along_depth", true, r);
    typed(spec_.contour.across_width, "across_width", false, r);
    wedge(r);
    bolsters(r);
    lumbar(r);
    for (ContourCurve& c : r.curves) {
      if (spec_.mirrored && !c.along_depth) {
        for (HeightPoint& p : c.points) p.at = box_.low.x + box_.high.x - p.at;
        std::reverse(c.points.begin(), c.points.end());
      }
      c.curve = c.along_depth ? HeightCurve(c.points, box_.low.y, box_.high.y)
                              : HeightCurve(c.points, box_.low.x, box_.high.x);
    }
  }

 private:
  double depth() const { return box_.depth(); }
  double width() const { return box_.width(); }

  bool check_height(double mm, const std::string& path) {
    if (std::abs(mm) <= kMostMm) return true;
    out_.push_back(error("contour.range", path, "the height is " + mm_text(mm) + "; permitted is -500 mm to 500 mm",
                         "give a height in that range"));
    return false;
  }
  void add(Rises& r, std::string name, bool along_depth, std::vector<HeightPoint> points) {
    const double from = along_depth ? box_.low.y : box_.low.x;
    for (HeightPoint& p : points) p.at += from;
    r.curves.push_back({name, "contour/" + name, along_depth, std::move(points), {}});
  }

  void typed(const std::vector<HeightPointSpec>& points, const std::string& key, bool along_depth, Rises& r) {
    std::vector<HeightPoint> out;
    bool good = true;
    for (std::size_t i = 0; i < points.size(); ++i) {
      const std::string path = "contour/" + key + "/" + std::to_string(i);
      const double at = points[i].at.value;
      if (!points[i].at.known() || !points[i].height.known()) {
        good = false;
        continue;
      }
      good = check_height(points[i].height.value, path + "/1") && good;
      if (!(at >= 0 && at <= 10000)) {
        good = false;
        out_.push_back(error("contour.range", path + "/0",
                             "the place is " + mm_text(at) + "; permitted is 0 mm to 10 m",
                             along_depth ? "measure from the front" : "measure from the left side"));
      } else if (!out.empty() && at - out.back().at < 1) {
        good = false;
        out_.push_back(error("contour.order", path + "/0",
                             "the point at " + mm_text(at) + " follows the one at " + mm_text(out.back().at) +
                                 "; each must lie at least 1 mm beyond the one before",
                             along_depth ? "list the points from the front to the back" : "list them left to right"));
      }
      out.push_back({at, points[i].height.value});
    }
    if (good && !out.empty()) add(r, key, along_depth, std::move(out));
  }

  void wedge(Rises& r) {
    const WedgeSpec& w = spec_.contour.wedge;
    const auto pair = [&](const Length& a, const Length& b, const char* key_a, const char* key_b, bool along_depth) {
      if (!a.known() && !b.known()) return;
      const double from = or_zero(a), to = or_zero(b);
      const bool good = check_height(from, std::string("contour/wedge/") + key_a);
      if (!check_height(to, std::string("contour/wedge/") + key_b) || !good || (from == 0 && to == 0)) return;
      add(r, "wedge", along_depth, {{0, from}, {along_depth ? depth() : width(), to}});
    };
    pair(w.front, w.back, "front", "back", true);
    pair(w.left, w.right, "left", "right", false);
  }

  void bolsters(Rises& r) {
    const BolstersSpec& b = spec_.contour.bolsters;
    if (!b.width.known() || !b.height.known()) return;
    const std::string path = "contour/bolsters/";
    if (!check_height(b.height.value, path + "height")) return;
    const bool both = b.sides == "both";
    if (!both && b.sides != "left" && b.sides != "right") {
      out_.push_back(error("contour.bolsters", path + "sides",
                           "\"" + b.sides + "\" is no choice; permitted are both, left and right",
                           offer(b.sides, {"both", "left", "right"})));
      return;
    }
    const double most = both ? width() / 2 : width(), w = b.width.value, h = b.height.value;
    if (!(w >= 1 && w <= most - 1)) {
      out_.push_back(error("contour.bolsters", path + "width",
                           "bolsters of " + mm_text(w) + " do not fit a width of " + mm_text(width()) +
                               "; permitted is 1 mm to " + mm_text(most - 1),
                           "make them narrower"));
      return;
    }
    const double shoulder = w / 3;
    std::vector<HeightPoint> points;
    if (b.sides != "right") points = {{0, h}, {shoulder, h}, {w, 0}};
    if (b.sides == "right") points = {{width() - w, 0}};
    if (both) points.push_back({width() - w, 0});
    if (b.sides != "left") points.insert(points.end(), {{width() - shoulder, h}, {width(), h}});
    add(r, "bolsters", false, std::move(points));
  }

  void lumbar(Rises& r) {
    const LumbarSpec& l = spec_.contour.lumbar;
    if (!l.at.known() || !l.height.known() || !l.width.known()) return;
    const std::string path = "contour/lumbar/";
    if (!check_height(l.height.value, path + "height")) return;
    const double at = l.at.value, half = l.width.value / 2;
    if (!(at >= 0 && at <= depth())) {
      out_.push_back(
          error("contour.lumbar", path + "at",
                "the crest at " + mm_text(at) + " lies off the cushion; permitted is 0 mm to " + mm_text(depth()),
                "measure from the front, on a back rest its lower end"));
      return;
    }
    if (!(half >= 1 && half <= 5000)) {
      out_.push_back(error("contour.lumbar", path + "width",
                           "the bulge is " + mm_text(2 * half) + " wide; permitted is 2 mm to 10 m",
                           "give a width in that range"));
      return;
    }
    add(r, "lumbar", true, {{at - half, 0}, {at, l.height.value}, {at + half, 0}});
  }

  const Spec& spec_;
  plane::Box box_;
  const plane::Outline& outline_;
  Findings& out_;
};

// The steepest slope of the rise, looked for over the plan.
double steepest(const Rise& rise, const plane::Outline& outline) {
  const plane::Box box = plane::bounds(outline);
  constexpr int kParts = 48;
  double worst = 0;
  for (int j = 0; j <= kParts; ++j)
    for (int i = 0; i <= kParts; ++i) {
      const Vec2 p{box.low.x + box.width() * i / kParts, box.low.y + box.depth() * j / kParts};
      if (plane::contains(outline, p)) worst = std::max(worst, norm(rise.at(p).slope));
    }
  return worst;
}

void note_slope(const Rises& r, const Plan& plan, const Skins& skins, Findings& out) {
  const auto look = [&](const Rise& rise, double thickness, const char* what, const char* path) {
    if (rise.flat() || thickness <= 0) return;
    const double slope = steepest(rise, plan.outline);
    const double neglected = thickness * (std::sqrt(1 + slope * slope) - 1);
    if (neglected <= kNeglected) return;
    out.push_back(note("skins.slope", path,
                       std::string("the ") + what + " slopes by up to " + number_text(std::atan(slope) * 57.29578, 1) +
                           " degrees: skins of " + mm_text(thickness) + " come out up to " + mm_text(neglected) +
                           " thicker there, measured upright, than reckoned",
                       "take that off the core where it matters, or give the sizes at the core"));
  };
  const bool contoured = !r.curves.empty();
  look(r.top, skins.top_mm, "top", contoured ? "contour" : "crown/top");
  look(r.bottom, skins.under_mm, "underside", "crown/bottom");
}

}  // namespace

double Rises::contour_along(double y) const {
  double sum = 0;
  for (const ContourCurve& c : curves)
    if (c.along_depth) sum += c.curve.value(y);
  return sum;
}
double Rises::contour_across(double x) const {
  double sum = 0;
  for (const ContourCurve& c : curves)
    if (!c.along_depth) sum += c.curve.value(x);
  return sum;
}
bool Rises::contoured(bool along_depth) const {
  return std::any_of(curves.begin(), curves.end(), [&](const ContourCurve& c) { return c.along_depth == along_depth; });
}

Result<Rises> rises_of(const Spec& spec, const Plan& plan, const Skins& skins) {
  Findings out;
  Rises r;
  Reader reader(spec, plan, out);
  reader.crowns(r);
  reader.curves(r);
  if (has_errors(out)) return out;
  for (const ContourCurve& c : r.curves)
    r.top = r.top + (c.along_depth ? Rise::along_depth(c.curve) : Rise::across_width(c.curve));
  if (r.crown_top_mm > 0 || r.crown_bottom_mm > 0) {
    const auto membrane = Membrane::over(plan.outline.outer);
    r.top = r.top + Rise::crown(membrane, r.crown_top_mm);
    r.bottom = Rise::crown(membrane, r.crown_bottom_mm);
  }
  note_slope(r, plan, skins, r.notes);
  return r;
}

product::Table contour_table(const Rises& rises, const Plan& plan) {
  product::Table t;
  t.id = "contour";
  t.title = "Contour of the top: places from the front or the left, heights above the flat top";
  t.columns = {"curve", "runs", "at mm", "height mm", "all together mm"};
  t.numeric = {false, false, true, true, true};
  const plane::Box box = plane::bounds(plan.outline);
  for (const ContourCurve& c : rises.curves)
    for (const HeightPoint& p : c.points) {
      const double from = c.along_depth ? box.low.y : box.low.x;
      const double all = c.along_depth ? rises.contour_along(p.at) : rises.contour_across(p.at);
      std::string name = c.name;
      std::replace(name.begin(), name.end(), '_', ' ');
      t.rows.push_back({name, c.along_depth ? "front to back" : "left to right", number_text(p.at - from),
                        number_text(p.height), number_text(all)});
    }
  return t;
}

}  // namespace kerfkiln::cushion
