#include "export/writer/dxf.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <numbers>

#include "export/writer/dxf_document.hpp"
#include "modeler/base/number_text.hpp"

namespace kerfkiln::output {
namespace {

using product::LineRole;

constexpr std::string_view kNoteLayer = "NOTE";

struct RoleLayer {
  LineRole role;
  DxfLayer layer;
};
// Colours by the index of the format; no two roles that meet on one part share one.
constexpr std::array<RoleLayer, 10> kLayers = {{
    {LineRole::cut, {"CUT", 7, "Continuous"}},
    {LineRole::scribe, {"SCRIBE", 5, "DASHED"}},
    {LineRole::fold, {"FOLD", 3, "DASHED"}},
    {LineRole::sew, {"SEW", 6, "DOTTED"}},
    {LineRole::centre, {"CENTRE", 1, "CHAIN"}},
    {LineRole::hidden, {"HIDDEN", 8, "DASHED"}},
    {LineRole::visible, {"VISIBLE", 7, "Continuous"}},
    {LineRole::section, {"SECTION", 30, "Continuous"}},
    {LineRole::construction, {"CONSTRUCTION", 9, "Continuous"}},
    {LineRole::station, {"STATION", 4, "Continuous"}},
}};

std::string_view layer_name(LineRole role) {
  for (const RoleLayer& r : kLayers)
    if (r.role == role) return r.layer.name;
  return "0";
}

class Extents {
 public:
  void include(Vec2 p) {
    if (empty_) box_ = {p, p};
    empty_ = false;
    box_.low = {std::min(box_.low.x, p.x), std::min(box_.low.y, p.y)};
    box_.high = {std::max(box_.high.x, p.x), std::max(box_.high.y, p.y)};
  }
  void include(plane::Box b) { include(b.low), include(b.high); }
  plane::Box box() const { return box_; }

 private:
  plane::Box box_;
  bool empty_ = true;
};

class Draughtsman {
 public:
  void stroke(const product::Stroke& stroke) {
    if (stroke.path.size() < 2) return;
    plane::Loop path = stroke.path;
    if (!stroke.closed) path.back().bulge = 0;
    writer_.start_entity("LWPOLYLINE", layer_name(stroke.role), "AcDbPolyline");
    writer_.integer(90, static_cast<int>(path.size()));
    writer_.integer(70, stroke.closed ? 1 : 0);
    writer_.number(43, 0);
    for (const plane::Vertex& v : path) {
      writer_.point(10, v.at);
      if (v.bulge != 0) writer_.number(42, v.bulge);
    }
    if (stroke.closed) {
      extents_.include(plane::bounds(path));
    } else {
      for (std::size_t i = 0; i + 1 < path.size(); ++i)
        extents_.include(plane::bounds(plane::Loop{path[i], {path[i + 1].at}}));
    }
  }

  void line(Vec2 a, Vec2 b) {
    writer_.start_entity("LINE", kNoteLayer, "AcDbLine");
    writer_.point(10, a, 0), writer_.point(11, b, 0);
    extents_.include(a), extents_.include(b);
  }

  void text(const product::Label& label) {
    const int anchor = label.anchor == product::Anchor::left ? 0 : label.anchor == product::Anchor::centre ? 1 : 2;
    writer_.start_entity("TEXT", kNoteLayer, "AcDbText");
    writer_.point(10, label.at, 0), writer_.number(40, label.height_mm), writer_.text(1, dxf_text(label.text));
    writer_.number(50, label.turn_rad * 180 / std::numbers::pi);
    if (anchor != 0) writer_.integer(72, anchor), writer_.point(11, label.at, 0);
    writer_.text(100, "AcDbText");
    // A reader's font decides the true width; 0.8 of the height a character is on the safe side of stroke fonts.
    const double width = 0.8 * label.height_mm * static_cast<double>(label.text.size());
    const Vec2 along = {std::cos(label.turn_rad), std::sin(label.turn_rad)};
    const Vec2 start = label.at - 0.5 * anchor * width * along;
    extents_.include(start), extents_.include(start + width * along + label.height_mm * left(along));
  }

  void dimension(const product::DimensionLine&);
  plane::Box box() const { return extents_.box(); }
  std::string finish() const {
    std::vector<DxfLayer> layers;
    for (const RoleLayer& r : kLayers) layers.push_back(r.layer);
    layers.push_back({kNoteLayer, 2, "Continuous"});
    return dxf_document(writer_, box(), layers);
  }

 private:
  void tick(Vec2 at, Vec2 along) {
    const Vec2 slant = 1.2 * (along + left(along));
    line(at - slant, at + slant);
  }
  DxfWriter writer_;
  Extents extents_;
};

void Draughtsman::dimension(const product::DimensionLine& d) {
  using product::DimensionKind;
  constexpr double kText = 3.5, kGap = 1.5;
  if (d.a == d.b) return;
  const Vec2 along = d.kind == DimensionKind::horizontal ? Vec2{d.b.x >= d.a.x ? 1.0 : -1.0, 0}
                     : d.kind == DimensionKind::vertical ? Vec2{0, d.b.y >= d.a.y ? 1.0 : -1.0}
                                                         : unit(d.b - d.a);
  const double length = dot(d.b - d.a, along);
  std::string words = d.text;
  if (words.empty()) {
    words = format_number(length, 1);
    if (words.ends_with(".0")) words.resize(words.size() - 2);
    if (d.kind == DimensionKind::radius) words = "R" + words;
    if (d.kind == DimensionKind::diameter) words = "Ø" + words;
  }
  if (d.kind == DimensionKind::leader) {
    line(d.a, d.b);
    text({d.b + Vec2{along.x >= 0 ? kGap : -kGap, 0}, words, kText,
          along.x >= 0 ? product::Anchor::left : product::Anchor::right});
    return;
  }
  Vec2 p = d.a, q = d.b;
  if (d.kind == DimensionKind::linear || d.kind == DimensionKind::horizontal || d.kind == DimensionKind::vertical) {
    const Vec2 out = left(along);
    p = d.a + d.away_mm * out;
    q = p + length * along;
    // For the component kinds b may lie off the line through a: its witness line reaches as far as it must.
    line(d.a, p + (d.away_mm < 0 ? -kGap : kGap) * out);
    line(d.b, q + (d.away_mm < 0 ? -kGap : kGap) * out);
  }
  line(p, q), tick(p, along), tick(q, along);
  // Readable from below or from the right, as drawings are read.
  const bool upside_down = along.x < -1e-9 || (std::abs(along.x) <= 1e-9 && along.y < 0);
  const Vec2 reading = upside_down ? -along : along;
  text({0.5 * (p + q) + kGap * left(reading), words, kText, product::Anchor::centre, std::atan2(reading.y, reading.x)});
}

void append_utf16(std::string& out, std::uint32_t code) {
  out += "\\U+";
  for (int shift = 12; shift >= 0; shift -= 4) out += "0123456789ABCDEF"[code >> shift & 15];
}

}  // namespace

std::string dxf_layer(LineRole role) { return std::string(layer_name(role)); }

std::string dxf_text(const std::string& s) {
  std::string out;
  for (std::size_t i = 0; i < s.size();) {
    const auto c = static_cast<unsigned char>(s[i]);
    if (c < 0x80) {
      ++i;
      if (c < 0x20 || c == 0x7F) {
        out += ' ';
      } else if (c == '^') {
        out += "^ ";  // the format's own way to say a caret, which otherwise starts a control code
      } else if (c == '%' && i < s.size() && s[i] == '%') {
        out += "%\\U+0025";  // a bare pair would start a symbol code
        ++i;
      } else {
        out += static_cast<char>(c);
      }
      continue;
    }
    const std::size_t n = c >= 0xF0 ? 4 : c >= 0xE0 ? 3 : c >= 0xC2 ? 2 : 1;
    std::uint32_t code = c & (0xFFu >> (n + 1));
    std::size_t k = 1;
    while (k < n && i + k < s.size() && (static_cast<unsigned char>(s[i + k]) & 0xC0) == 0x80)
      code = code << 6 | (static_cast<unsigned char>(s[i + k++]) & 0x3Fu);
    if (n == 1 || k < n || n == 4 || (code >= 0xD800 && code <= 0xDFFF) || (n == 3 && code < 0x800))
      out += '?';
    else
      append_utf16(out, code);
    i += k;
  }
  return out;
}

std::string dxf_bytes(const product::Sketch& sketch, const std::vector<std::string>& notes) {
  Draughtsman d;
  for (const product::Stroke& s : sketch.strokes) d.stroke(s);
  for (const product::Label& l : sketch.labels) d.text(l);
  for (const product::DimensionLine& l : sketch.dimensions) d.dimension(l);

  constexpr double kNoteHeight = 4, kNoteStep = 7, kBarLength = 100;
  const plane::Box drawn = d.box();
  Vec2 at = {drawn.low.x, drawn.low.y - 12};
  d.line(at, at + Vec2{kBarLength, 0});
  for (double x : {0.0, 50.0, kBarLength}) d.line(at + Vec2{x, 0}, at + Vec2{x, 3});
  d.text({at + Vec2{kBarLength + 3, 0}, "100 mm", kNoteHeight, product::Anchor::left});
  for (const std::string& note : notes) {
    at.y -= kNoteStep;
    d.text({at, note, kNoteHeight, product::Anchor::left});
  }
  return d.finish();
}

}  // namespace kerfkiln::output
