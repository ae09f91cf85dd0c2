#include "modeler/plane/drawing_groups.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <optional>
#include <span>
#include <vector>

#include "modeler/plane/drawing.hpp"

namespace kerfkiln::plane {
namespace {

constexpr double kLargestNumber = 1e9;
constexpr std::size_t kLongestText = 255;
constexpr std::size_t kNamed = 5;  // syntax errors named one by one

// The groups of one kind of entity that are passed on. `repeated` come once a vertex or knot.
struct EntityForm {
  std::string_view type;
  std::span<const int> numbers, repeated;
};
constexpr int kLine[] = {10, 20, 30, 11, 21, 31}, kArc[] = {10, 20, 30, 40, 50, 51}, kCircle[] = {10, 20, 30, 40},
              kEllipse[] = {10, 20, 30, 11, 21, 31, 40, 41, 42}, kLwpolyline[] = {70, 38}, kLwVertex[] = {10, 20, 42},
              kPolyline[] = {66, 70, 30}, kVertex[] = {10, 20, 30, 42, 70},
              kSpline[] = {70, 71, 12, 22, 32, 13, 23, 33}, kSplineData[] = {40, 41, 10, 20, 30, 11, 21, 31},
              kInsert[] = {10, 20, 30, 41, 42, 43, 50, 70, 71, 44, 45}, kBlock[] = {10, 20, 30, 70},
              kLayer[] = {70, 62}, kExtrusion[] = {67, 210, 220, 230};
constexpr std::array<EntityForm, 13> kForms{{{"LINE", kLine, {}},
                                             {"ARC", kArc, {}},
                                             {"CIRCLE", kCircle, {}},
                                             {"ELLIPSE", kEllipse, {}},
                                             {"LWPOLYLINE", kLwpolyline, kLwVertex},
                                             {"POLYLINE", kPolyline, {}},
                                             {"VERTEX", kVertex, {}},
                                             {"SEQEND", {}, {}},
                                             {"SPLINE", kSpline, kSplineData},
                                             {"INSERT", kInsert, {}},
                                             {"BLOCK", kBlock, {}},
                                             {"ENDBLK", {}, {}},
                                             {"LAYER", kLayer, {}}}};

bool among(std::span<const int> list, int code) { return std::find(list.begin(), list.end(), code) != list.end(); }

std::string_view trimmed(std::string_view s) {
  const auto first = s.find_first_not_of(" \t\r");
  if (first == std::string_view::npos) return {};
  return s.substr(first, s.find_last_not_of(" \t\r") - first + 1);
}

template <class T>
std::optional<T> parsed(std::string_view s) {
  s = trimmed(s);
  if (!s.empty() && s[0] == '+') s.remove_prefix(1);
  T value{};
  const auto [end, failed] = std::from_chars(s.data(), s.data() + s.size(), value);
  if (failed != std::errc() || end != s.data() + s.size()) return std::nullopt;
  return value;
}

bool whole_number(int code) { return (code >= 60 && code <= 79) || (code >= 90 && code <= 99); }

struct Group {
  int code = 0;
  std::string_view value;
};

// One entity while its groups come in.
struct Entity {
  const EntityForm* form = nullptr;
  std::vector<Group> once, again;
  bool embedded = false;  // an embedded object follows; its groups are not the entity's
};

class Pass {
 public:
  explicit Pass(std::string_view bytes) : bytes_(bytes) {}

  Result<DrawingGroups> run() {
    if (bytes_.empty() || bytes_.size() > kLargestDrawing)
      return finding("drawing.size",
                     bytes_.empty() ? "the drawing is empty"
                                    : "the drawing has " + std::to_string(bytes_.size() >> 20) +
                                          " MiB; permitted are " + std::to_string(kLargestDrawing >> 20),
                     "export the outline alone");
    if (bytes_.find('\0') != std::string_view::npos)
      return finding("drawing.binary", "the drawing is not in text form", "export it as DXF text");
    if (bytes_.substr(0, 3) == "\xEF\xBB\xBF") bytes_.remove_prefix(3);
    out_.text.reserve(bytes_.size() / 2);
    while (at_ < bytes_.size() && !ended_ && wrong_.size() < kNamed) pair();
    if (!wrong_.empty()) return wrong_;
    if (!ended_)
      return finding("drawing.cut_off",
                     "the drawing ends after line " + std::to_string(line_) + " without its EOF mark",
                     "export it again, or copy it completely");
    emit(0, "EOF");
    return std::move(out_);
  }

 private:
  static Finding finding(const char* code, std::string message, std::string remedy) {
    return {Severity::error, code, "", std::move(message), std::move(remedy)};
  }

  std::string_view next_line() {
    const std::size_t end = std::min(bytes_.find('\n', at_), bytes_.size());
    std::string_view line = bytes_.substr(at_, end - at_);
    at_ = std::min(end + 1, bytes_.size());
    ++line_;
    if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
    return line;
  }

  void wrong(std::string_view text, const char* what) {
    std::string shown(text.substr(0, 40));
    for (char& c : shown)
      if (static_cast<unsigned char>(c) < 0x20 || static_cast<unsigned char>(c) > 0x7e) c = '?';
    wrong_.push_back(finding("drawing.syntax", "line " + std::to_string(line_) + ": \"" + shown + "\" is no " + what,
                             "export it again"));
  }

  void pair() {
    const std::string_view first = next_line();
    if (trimmed(first).empty() && at_ >= bytes_.size()) return;  // blank lines at the end
    const std::optional<int> code = parsed<int>(first);
    if (!code || *code < -5 || *code > 1071) return wrong(first, "group code");
    if (at_ >= bytes_.size()) return;  // no value: cut off
    const std::string_view value = next_line();
    if (*code == 0)
      start(trimmed(value));
    else if (*code == 2 && naming_section_)
      section_ = trimmed(value), naming_section_ = false;
    else if (*code == 9)
      variable_ = trimmed(value);
    else
      member(*code, value);
  }

  void start(std::string_view type) {
    flush();
    variable_ = {};
    naming_section_ = type == "SECTION";
    if (naming_section_ || type == "ENDSEC") section_ = {};
    if (type == "EOF") ended_ = true;
    const bool layers = section_ == "TABLES", shapes = section_ == "ENTITIES" || section_ == "BLOCKS";
    if (!layers && !shapes) return;
    const auto* form =
        std::find_if(kForms.begin(), kForms.end(), [type](const EntityForm& f) { return f.type == type; });
    if (form != kForms.end() && (form->type == "LAYER") == layers) {
      // Vertices without their polyline would be taken for parts of whatever came before.
      const bool vertex = type == "VERTEX" || type == "SEQEND";
      if (vertex ? in_polyline_ : true) entity_.form = form;
      in_polyline_ = type == "POLYLINE" || (in_polyline_ && type == "VERTEX");
    } else {
      in_polyline_ = false;
      if (section_ == "ENTITIES" && type.size() < 40) ++out_.left_out[std::string(type)];
    }
  }

  // Numbers are those of our groups alone: texts elsewhere may say what they like.
  bool number(int code, std::string_view value) {
    const std::optional<double> x = parsed<double>(value);
    const bool good = x && std::abs(*x) <= kLargestNumber && (!whole_number(code) || *x == std::floor(*x));
    if (!good) wrong(value, x ? "number within limits" : "number");
    return good;
  }

  void member(int code, std::string_view value) {
    if (section_ == "HEADER") {
      if (variable_ == "$INSUNITS" && code == 70 && number(code, value)) {
        emit(9, "$INSUNITS");
        emit(70, trimmed(value));
      }
      return;
    }
    if (!entity_.form || entity_.embedded) return;
    if (code == 101) entity_.embedded = true;
    if (code == 2 || code == 8) {
      if (value.size() <= kLongestText) entity_.once.push_back({code, value});
    } else if (among(entity_.form->repeated, code)) {
      // A weight or bulge before the first vertex belongs to nothing.
      if (number(code, value)) entity_.again.push_back({code, trimmed(value)});
    } else if (among(entity_.form->numbers, code) || among(kExtrusion, code)) {
      if (number(code, value)) entity_.once.push_back({code, trimmed(value)});
    }
  }

  void emit(int code, std::string_view value) {
    out_.text += std::to_string(code);
    out_.text += '\n';
    if (!value.empty() && value[0] == '+') value.remove_prefix(1);
    out_.text += value;
    out_.text += '\n';
  }

  // The counts that the library trusts come from what is there.
  void counts() {
    const auto count = [this](int code) {
      return std::to_string(
          std::count_if(entity_.again.begin(), entity_.again.end(), [code](const Group& g) { return g.code == code; }));
    };
    if (entity_.form->type == "LWPOLYLINE") emit(90, count(10));
    if (entity_.form->type != "SPLINE") return;
    emit(72, count(40));
    emit(73, count(10));
    emit(74, count(11));
  }

  // Control points of a polyline that was smoothed: the curve itself follows as vertices of its own.
  bool frame_vertex() const {
    return entity_.form->type == "VERTEX" && std::any_of(entity_.once.begin(), entity_.once.end(), [](const Group& g) {
             return g.code == 70 && (static_cast<long>(parsed<double>(g.value).value_or(0)) & 16) != 0;
           });
  }

  void flush() {
    if (!entity_.form) return;
    if (frame_vertex()) {
      entity_ = {};
      return;
    }
    emit(0, entity_.form->type);
    for (const Group& g : entity_.once) emit(g.code, g.value);
    counts();
    bool begun = entity_.form->type != "LWPOLYLINE";
    for (const Group& g : entity_.again) {
      begun = begun || g.code == 10;
      if (begun) emit(g.code, g.value);
    }
    entity_ = {};
  }

  std::string_view bytes_;
  std::size_t at_ = 0, line_ = 0;
  std::string_view section_, variable_;
  bool naming_section_ = false, in_polyline_ = false, ended_ = false;
  Entity entity_;
  DrawingGroups out_;
  Findings wrong_;
};

}  // namespace

Result<DrawingGroups> drawing_groups(std::string_view bytes) { return Pass(bytes).run(); }

}  // namespace kerfkiln::plane
