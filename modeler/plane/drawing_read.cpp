// Bytes to placed curves: dxflib parses what drawing_groups has cleared, blocks are expanded here.
#include <dl_creationadapter.h>
#include <dl_dxf.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <sstream>

#include "modeler/base/number_text.hpp"
#include "modeler/plane/drawing_data.hpp"
#include "modeler/plane/drawing_groups.hpp"

namespace kerfkiln::plane {
namespace {

constexpr double kDegree = std::numbers::pi / 180, kTurn = 2 * std::numbers::pi;
constexpr std::size_t kMostCurves = 200000;
constexpr int kDeepestBlocks = 16;

using Shape = std::variant<DrawnLine, DrawnConic, DrawnSpline>;
using Shapes = std::vector<Shape>;

struct Affine {
  Vec2 x{1, 0}, y{0, 1}, at{0, 0};  // images of the axes and of the origin
  Vec2 turned(Vec2 p) const { return p.x * x + p.y * y; }
  Vec2 operator()(Vec2 p) const { return at + turned(p); }
  Affine operator*(const Affine& b) const { return {turned(b.x), turned(b.y), (*this)(b.at)}; }
};

Shape placed(Shape shape, const Affine& t) {
  if (auto* l = std::get_if<DrawnLine>(&shape)) *l = {t(l->a), t(l->b)};
  if (auto* c = std::get_if<DrawnConic>(&shape)) *c = {t(c->c), t.turned(c->u), t.turned(c->v), c->t0, c->t1};
  if (auto* s = std::get_if<DrawnSpline>(&shape))
    for (Vec2& p : s->points) p = t(p);
  return shape;
}

// The arc of a bulge, walked from a to b.
DrawnConic bulged(Vec2 a, Vec2 b, double bulge) {
  const Segment s{a, b, bulge};
  const Vec2 c = s.centre(), u = a - c;
  return {c, u, bulge > 0 ? left(u) : right(u), 0, std::abs(s.sweep())};
}

struct Insert {
  std::string block;
  Affine place;  // of the first cell
  int columns = 1, rows = 1;
  Vec2 column_step, row_step;
};
struct Item {
  std::string layer;
  std::variant<Shapes, Insert> content;
};
struct Block {
  Vec2 base;
  std::vector<Item> items;
};

// What the library calls back; entities are gathered by block, those of the model space under "".
class Gather final : public DL_CreationAdapter {
 public:
  std::map<std::string, Block> blocks;
  std::map<std::string, bool> shown;  // layers of the table
  int unit_code = 0, tilted = 0, raised = 0;

  void setVariableInt(const std::string& key, int value, int) override {
    if (key == "$INSUNITS") unit_code = value;
  }
  void addLayer(const DL_LayerData& l) override { shown[l.name] = !l.off && (l.flags & 1) == 0; }
  void addBlock(const DL_BlockData& b) override {
    finish();
    block_ = b.name.empty() ? "*" : b.name;
    blocks[block_] = {{b.bpx, b.bpy}, {}};
  }
  void endBlock() override {
    finish();
    block_.clear();
  }
  void addLine(const DL_LineData& l) override {
    put(DrawnLine{{l.x1, l.y1}, {l.x2, l.y2}}, Frame::world, l.z1 != 0 || l.z2 != 0);
  }
  void addArc(const DL_ArcData& a) override {
    const double from = a.angle1 * kDegree;
    put(DrawnConic{{a.cx, a.cy}, {a.radius, 0}, {0, a.radius}, from, from + sweep(from, a.angle2 * kDegree)},
        Frame::own, a.cz != 0);
  }
  void addCircle(const DL_CircleData& c) override {
    put(DrawnConic{{c.cx, c.cy}, {c.radius, 0}, {0, c.radius}, 0, kTurn}, Frame::own, c.cz != 0);
  }
  void addEllipse(const DL_EllipseData& e) override {
    const Vec2 u{e.mx, e.my};
    put(
        DrawnConic{
            {e.cx, e.cy}, u, facing().value_or(1) * e.ratio * left(u), e.angle1, e.angle1 + sweep(e.angle1, e.angle2)},
        Frame::world, e.cz != 0 || e.mz != 0);
  }
  void addPolyline(const DL_PolylineData& p) override {
    finish();
    // Meshes and polyface bodies bound no outline; a 3D polyline stands in the world's own frame.
    if (attributes.isInPaperSpace() || (p.flags & (16 | 64)) != 0) return;
    polyline_ = {(p.flags & 1) != 0,    (p.flags & 8) != 0,
                 p.elevation != 0,      {},
                 attributes.getLayer(), (p.flags & 8) != 0 ? std::optional(1.0) : facing()};
  }
  void addVertex(const DL_VertexData& v) override {
    if (!polyline_) return;
    polyline_->vertices.push_back({{v.x, v.y}, v.bulge, 0});
    polyline_->raised = polyline_->raised || v.z != 0;
  }
  void addSpline(const DL_SplineData& s) override {
    finish();
    spline_.emplace();
    spline_->degree = static_cast<int>(std::min(s.degree, 1000u));
  }
  void addControlPoint(const DL_ControlPointData& p) override {
    if (!spline_) return;
    spline_->points.push_back({p.x, p.y});
    spline_->weights.push_back(p.w);
    spline_raised_ = spline_raised_ || p.z != 0;
  }
  void addKnot(const DL_KnotData& k) override {
    if (spline_) spline_->knots.push_back(k.k);
  }
  void addFitPoint(const DL_FitPointData& p) override {
    if (spline_) through_.push_back({p.x, p.y});
  }
  void addInsert(const DL_InsertData& i) override {
    finish();
    if (attributes.isInPaperSpace()) return;
    const std::optional<double> up = facing();
    if (!up) {
      ++tilted;
      return;
    }
    const double angle = i.angle * kDegree, c = std::cos(angle), s = std::sin(angle);
    const Affine frame = Affine{{*up, 0}, {0, 1}, {}} * Affine{{c, s}, {-s, c}, {i.ipx, i.ipy}};
    blocks[block_].items.push_back(
        {attributes.getLayer(), Insert{i.name, frame * Affine{{i.sx, 0}, {0, i.sy}, {}}, std::max(1, i.cols),
                                       std::max(1, i.rows), frame.turned({i.colSp, 0}), frame.turned({0, i.rowSp})}});
  }
  void endEntity() override { finish(); }
  void endSequence() override { finish(); }

  // Puts down the polyline or spline whose parts have been coming in.
  void finish() {
    if (spline_) {
      DrawnSpline s = std::move(*spline_);
      const bool is_raised = spline_raised_;
      spline_.reset();
      spline_raised_ = false;
      if (s.points.empty()) {
        s.points = std::move(through_);
        s.knots.clear();
        s.weights.clear();
      }
      through_.clear();
      put(std::move(s), Frame::world, is_raised);
    }
    if (!polyline_) return;
    const Polyline p = std::move(*polyline_);
    polyline_.reset();
    if (!p.up) {
      ++tilted;
      return;
    }
    if (p.raised) ++raised;
    Shapes shapes;
    const std::size_t n = p.vertices.size();
    for (std::size_t i = 0; i < n && i + (p.closed ? 0 : 1) < n; ++i) {
      const Vec2 a = p.vertices[i].at, b = p.vertices[(i + 1) % n].at;
      const double bulge = p.spatial ? 0 : p.vertices[i].bulge;
      if (a == b) continue;
      const Affine frame{{*p.up, 0}, {0, 1}, {}};
      shapes.push_back(placed(std::abs(bulge) < 1e-9 ? Shape(DrawnLine{a, b}) : Shape(bulged(a, b, bulge)), frame));
    }
    blocks[block_].items.push_back({p.layer, std::move(shapes)});
  }

 private:
  enum class Frame { world, own };
  struct Polyline {
    bool closed = false, spatial = false, raised = false;
    Loop vertices;
    std::string layer;
    std::optional<double> up;
  };

  // +1 seen from above, -1 from below (the entity's own x then runs left); nothing: neither.
  std::optional<double> facing() const {
    const double* d = extrusion->getDirection();
    if (!(std::hypot(d[0], d[1]) <= 1e-6 * std::abs(d[2]))) return std::nullopt;
    return d[2] > 0 ? 1.0 : -1.0;
  }
  static double sweep(double from, double to) {
    const double s = std::fmod(to - from, kTurn);
    return s > 1e-9 ? s : s > -1e-9 ? kTurn : s + kTurn;
  }
  void put(Shape shape, Frame frame, bool is_raised) {
    if (!std::holds_alternative<DrawnSpline>(shape)) finish();
    if (attributes.isInPaperSpace()) return;
    const std::optional<double> up = facing();
    if (!up) {
      ++tilted;
      return;
    }
    if (is_raised) ++raised;
    Shapes one;
    one.push_back(placed(std::move(shape), {{frame == Frame::own ? *up : 1, 0}, {0, 1}, {}}));
    blocks[block_].items.push_back({attributes.getLayer(), std::move(one)});
  }

  std::string block_;
  std::optional<Polyline> polyline_;
  std::optional<DrawnSpline> spline_;
  bool spline_raised_ = false;
  std::vector<Vec2> through_;
};

bool is_utf8(const std::string& s) {
  std::size_t rest = 0;
  for (const char ch : s) {
    const auto c = static_cast<unsigned char>(ch);
    if (rest > 0 ? (c & 0xC0) != 0x80 : c >= 0x80 && (c < 0xC2 || c > 0xF4)) return false;
    rest = rest > 0 ? rest - 1 : c >= 0xF0 ? 3 : c >= 0xE0 ? 2 : c >= 0xC0 ? 1 : 0;
  }
  return rest == 0;
}

// A layer's name as text: older files hold one byte a letter. Control characters have no place in a message.
std::string readable(const std::string& name) {
  std::string out;
  const bool utf8 = is_utf8(name);
  for (const char ch : name) {
    const auto c = static_cast<unsigned char>(ch);
    if (c < 0x20 || c == 0x7f)
      out += ' ';
    else if (c < 0x80 || utf8)
      out += ch;
    else
      out += {static_cast<char>(0xC0 | (c >> 6)), static_cast<char>(0x80 | (c & 0x3F))};
  }
  return out;
}

class Expansion {
 public:
  Expansion(const Gather& g, DrawingData& out) : gathered_(g), out_(out) {}

  Findings run() {
    const auto model = gathered_.blocks.find("");
    if (model != gathered_.blocks.end()) expand(model->second, {}, "0", 0);
    return std::move(wrong_);
  }

 private:
  void expand(const Block& block, const Affine& place, const std::string& layer, int depth) {
    for (const Item& item : block.items) {
      if (!wrong_.empty()) return;
      // What a block draws on layer 0 lies on the layer that the block is placed on.
      const std::string& on = depth > 0 && item.layer == "0" ? layer : item.layer;
      if (const auto* shapes = std::get_if<Shapes>(&item.content))
        draw(*shapes, place, on);
      else
        insert(std::get<Insert>(item.content), place, on, depth);
    }
  }

  void insert(const Insert& i, const Affine& place, const std::string& layer, int depth) {
    const auto block = gathered_.blocks.find(i.block);
    if (i.block.empty() || block == gathered_.blocks.end() || block->second.items.empty()) return;
    if (depth >= kDeepestBlocks)
      return wrong("blocks lie more than " + std::to_string(kDeepestBlocks) + " deep in each other, or in themselves");
    for (int r = 0; r < i.rows && wrong_.empty(); ++r)
      for (int c = 0; c < i.columns && wrong_.empty(); ++c) {
        if (++cells_ > kMostCurves) return wrong("its blocks are placed more than 200 000 times");
        Affine cell = i.place;
        cell.at = cell.at + c * i.column_step + r * i.row_step;
        expand(block->second, place * cell * Affine{{1, 0}, {0, 1}, -block->second.base}, layer, depth + 1);
      }
  }

  void draw(const Shapes& shapes, const Affine& place, const std::string& layer) {
    if (shapes.empty()) return;
    if (out_.curves.size() + shapes.size() > kMostCurves)
      return wrong("it holds more than 200 000 lines and curves, its blocks expanded");
    const int index = layer_index(layer);
    bool was_line = false;
    for (const Shape& s : shapes) {
      const bool line = std::holds_alternative<DrawnLine>(s);
      if (&s == shapes.data() || line != was_line || !line) ++entity_;
      was_line = line;
      out_.curves.push_back({placed(s, place), index, entity_});
      ++out_.layers[static_cast<std::size_t>(index)].curves;
    }
  }

  int layer_index(const std::string& raw) {
    const auto [it, fresh] = indices_.emplace(raw, static_cast<int>(out_.layers.size()));
    if (fresh) {
      const auto shown = gathered_.shown.find(raw);
      out_.layers.push_back({readable(raw), shown == gathered_.shown.end() || shown->second, 0});
    }
    return it->second;
  }

  void wrong(std::string what) {
    wrong_.push_back({Severity::error, "drawing.block", "", "the drawing cannot be expanded: " + std::move(what),
                      "export the outline alone, its blocks dissolved"});
  }

  const Gather& gathered_;
  DrawingData& out_;
  Findings wrong_;
  std::map<std::string, int> indices_;
  std::size_t cells_ = 0;
  int entity_ = 0;
};

// Layers by name, so that messages do not depend on which entity came first.
void sort_layers(DrawingData& d) {
  std::vector<int> order(d.layers.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = static_cast<int>(i);
  const auto layer = [&d](int i) -> DrawingLayer& { return d.layers[static_cast<std::size_t>(i)]; };
  std::sort(order.begin(), order.end(), [&](int a, int b) { return layer(a).name < layer(b).name; });
  std::vector<int> place(order.size());
  std::vector<DrawingLayer> sorted;
  for (std::size_t i = 0; i < order.size(); ++i) {
    place[static_cast<std::size_t>(order[i])] = static_cast<int>(i);
    sorted.push_back(layer(order[i]));
  }
  d.layers = std::move(sorted);
  for (DrawnCurve& c : d.curves) c.layer = place[static_cast<std::size_t>(c.layer)];
}

// Millimetres of the header's unit code (DXF reference, $INSUNITS); 0 for none and for those no workshop draws in.
double unit_of(int code) {
  switch (code) {
    case 1:
      return 25.4;
    case 2:
      return 304.8;
    case 4:
      return 1;
    case 5:
      return 10;
    case 6:
      return 1000;
    default:
      return 0;
  }
}

// False where the library threw.
bool parse(const std::string& text, Gather& gather) {
  try {
    DL_Dxf reader;
    std::istringstream in(text);
    reader.in(in, &gather);
    gather.finish();
    return true;
  } catch (const std::exception&) {
    return false;
  }
}

}  // namespace

const std::vector<DrawingLayer>& Drawing::layers() const { return data_->layers; }
double Drawing::unit_mm() const { return data_->unit_mm; }
std::uint64_t Drawing::digest() const { return data_->digest; }

Result<Drawing> read_drawing(std::string_view bytes) {
  Result<DrawingGroups> groups = drawing_groups(bytes);
  if (!groups) return groups.findings();
  Gather gather;
  if (!parse(groups->text, gather))
    return Finding{Severity::error, "drawing.reader", "", "the drawing could not be read", "export it again"};
  auto data = std::make_shared<DrawingData>();
  data->unit_code = gather.unit_code;
  data->unit_mm = unit_of(gather.unit_code);
  data->digest = fnv1a(bytes);
  data->left_out = std::move(groups->left_out);
  data->tilted = gather.tilted;
  data->raised = gather.raised;
  if (Findings wrong = Expansion(gather, *data).run(); !wrong.empty()) return wrong;
  if (data->curves.empty())
    return Finding{Severity::error, "drawing.empty", "", "the drawing holds no line or curve in its model space",
                   "export the outline as lines, arcs, polylines, ellipses or splines"};
  sort_layers(*data);
  return Drawing(std::move(data));
}

}  // namespace kerfkiln::plane
