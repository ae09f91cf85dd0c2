// Oracles: ezdxf (an independent DXF library) audits and reads back every drawing; areas are closed forms.
#include <cmath>
#include <limits>
#include <numbers>
#include <sstream>

#include "export/writer/dxf.hpp"
#include "tests/export/writer_support.hpp"

namespace kerfkiln::test {
namespace {

using output::dxf_bytes;
using output::dxf_text;
using product::LineRole;
using product::Sketch;
using std::numbers::pi;

struct Polyline {
  std::string layer;
  bool closed = false;
  int vertices = 0, bulges = 0;
  double area = 0;
};
struct Reading {
  std::map<std::string, std::string> values;
  std::vector<std::string> layers, texts, problems;
  std::vector<Polyline> polylines;
};

Reading read_back(const std::string& bytes) {
  TempFolder folder;
  const fs::path path = folder.path / "a.dxf";
  write_file(path, bytes);
  const Ran r = python("writer_read_dxf.py", {path.string()});
  EXPECT_EQ(r.code, 0) << r.err;
  Reading reading;
  std::istringstream lines(r.out);
  for (std::string line; std::getline(lines, line);) {
    const std::string key = line.substr(0, line.find(' ')), rest = line.substr(std::min(line.size(), key.size() + 1));
    if (key == "polyline") {
      std::istringstream words(rest);
      Polyline p;
      std::string closed, area;
      words >> p.layer >> closed >> p.vertices >> p.bulges >> area;
      p.closed = closed == "closed";
      p.area = p.closed ? std::stod(area) : std::numeric_limits<double>::quiet_NaN();
      reading.polylines.push_back(p);
    } else if (key == "layer") {
      reading.layers.push_back(rest);
    } else if (key == "text") {
      reading.texts.push_back(rest);
    } else if (key == "problem") {
      reading.problems.push_back(rest);
    } else {
      reading.values[key] = rest;
    }
  }
  for (const char* count : {"strict.errors", "strict.fixes", "recover.errors", "recover.fixes"})
    EXPECT_EQ(reading.values[count], "0") << count << (reading.problems.empty() ? "" : ": " + reading.problems[0]);
  return reading;
}

plane::Loop circle(Vec2 c, double r) { return {{{c.x - r, c.y}, 1}, {{c.x + r, c.y}, 1}}; }

TEST(Dxf, AreasReadBack) {
  const double b90 = std::tan(pi / 8);
  Sketch s;
  s.strokes.push_back({plane::rectangle(560, 540, 45).outer, true, LineRole::cut});
  // A square of 100 with four quarter arcs is the circle through its corners: 15707.96 mm2.
  s.strokes.push_back({{{{0, 0}, b90}, {{100, 0}, b90}, {{100, 100}, b90}, {{0, 100}, b90}}, true, LineRole::scribe});
  s.strokes.push_back({circle({1234.5678, -987.654321}, 1.25), true, LineRole::sew});
  s.strokes.push_back({circle({0, 0}, 5000), true, LineRole::construction});
  // A bulge of -tan(22.5 deg) bites a quarter segment out of a square.
  s.strokes.push_back({{{{0, 0}, -b90}, {{100, 0}}, {{100, 100}}, {{0, 100}}}, true, LineRole::fold});
  const Reading r = read_back(dxf_bytes(s, {"note"}));
  ASSERT_EQ(r.polylines.size(), 5u);
  const double corners = (4 - pi) * 45 * 45;
  const double segment = 5000 / 2.0 * (pi / 2 - 1);  // radius^2 = 100^2 / 2
  const std::vector<double> expected = {560.0 * 540 - corners, 5000 * pi, 1.5625 * pi, 25e6 * pi, 1e4 - segment};
  for (std::size_t i = 0; i < expected.size(); ++i) {
    EXPECT_TRUE(r.polylines[i].closed);
    EXPECT_NEAR(r.polylines[i].area / expected[i], 1, 1e-9) << i;
  }
  EXPECT_EQ(r.polylines[0].vertices, 8);
  EXPECT_EQ(r.polylines[0].bulges, 4);
}

TEST(Dxf, HeaderUnitsAndExtents) {
  Sketch s;
  s.strokes.push_back({circle({10, 20}, 5), true, LineRole::cut});
  Reading r = read_back(dxf_bytes(s, {}));
  EXPECT_EQ(r.values["version"], "AC1015");
  EXPECT_EQ(r.values["insunits"], "4");
  EXPECT_EQ(r.values["measurement"], "1");
  // The circle's top and left edge; right and bottom belong to the scale bar and its words.
  std::istringstream low(r.values["extmin"]), high(r.values["extmax"]);
  double x0, y0, x1, y1;
  low >> x0 >> y0, high >> x1 >> y1;
  EXPECT_NEAR(x0, 5, 1e-9);
  EXPECT_NEAR(y0, 15 - 12, 1e-9);
  EXPECT_GE(x1, 105);
  EXPECT_NEAR(y1, 25, 1e-9);
}

TEST(Dxf, OneLayerForEachMeaning) {
  Sketch s;
  const std::vector<std::pair<LineRole, std::string>> meanings = {
      {LineRole::cut, "CUT"},         {LineRole::scribe, "SCRIBE"},   {LineRole::fold, "FOLD"},
      {LineRole::sew, "SEW"},         {LineRole::centre, "CENTRE"},   {LineRole::hidden, "HIDDEN"},
      {LineRole::visible, "VISIBLE"}, {LineRole::section, "SECTION"}, {LineRole::construction, "CONSTRUCTION"},
      {LineRole::station, "STATION"}};
  for (const auto& [role, name] : meanings) s.strokes.push_back({{{{0, 0}}, {{10, 5}, 0.3}}, false, role});
  const Reading r = read_back(dxf_bytes(s, {"words"}));
  ASSERT_EQ(r.polylines.size(), meanings.size());
  for (std::size_t i = 0; i < meanings.size(); ++i) {
    EXPECT_EQ(r.polylines[i].layer, meanings[i].second);
    EXPECT_EQ(output::dxf_layer(meanings[i].first), meanings[i].second);
    EXPECT_FALSE(r.polylines[i].closed);
    EXPECT_EQ(r.polylines[i].bulges, 0) << "an open path has no segment after its last vertex";
  }
  for (const std::string& t : r.texts) EXPECT_EQ(t.substr(0, 5), "NOTE ");
}

TEST(Dxf, TextInAnyLanguageReadsBack) {
  Sketch s;
  const std::vector<std::string> words = {"Sitz für Körper Ø 12 ±0,5 mm", "座面 型紙", "50 % + 100 %% ^ \\ {x}",
                                          "plain"};
  for (const std::string& w : words) s.labels.push_back({{0, 0}, w, 3.5, product::Anchor::right, 0.5});
  const std::string bytes = dxf_bytes(s, {});
  for (const char c : bytes) ASSERT_LT(static_cast<unsigned char>(c), 0x80);
  const Reading r = read_back(bytes);
  ASSERT_GE(r.texts.size(), words.size());
  for (std::size_t i = 0; i < words.size(); ++i) EXPECT_EQ(r.texts[i], "NOTE " + words[i]);
}

TEST(Dxf, TextEscapes) {
  EXPECT_EQ(dxf_text("Ø"), "\\U+00D8");
  EXPECT_EQ(dxf_text("座"), "\\U+5EA7");
  EXPECT_EQ(dxf_text("a\nb\tc"), "a b c");
  EXPECT_EQ(dxf_text("^"), "^ ");
  EXPECT_EQ(dxf_text("\xF0\x9F\x8F\xBA!"), "?!");  // beyond four hexadecimal digits
  EXPECT_EQ(dxf_text("\xFF\xC3"), "??");
  EXPECT_EQ(dxf_text("\xED\xA0\x80"), "?");  // a surrogate
}

TEST(Dxf, DimensionsAreDrawn) {
  Sketch s;
  using product::DimensionKind;
  for (DimensionKind k : {DimensionKind::linear, DimensionKind::horizontal, DimensionKind::vertical,
                          DimensionKind::radius, DimensionKind::diameter, DimensionKind::leader})
    s.dimensions.push_back({k, {0, 0}, {30, 40}, 8, k == DimensionKind::leader ? "here" : "", ""});
  const Reading r = read_back(dxf_bytes(s, {}));
  ASSERT_EQ(r.texts.size(), 7u);  // and the bar's
  const std::vector<std::string> expected = {"50", "30", "40", "R50", "Ø50", "here"};
  for (std::size_t i = 0; i < expected.size(); ++i) EXPECT_EQ(r.texts[i], "NOTE " + expected[i]);
}

TEST(Dxf, NumbersHaveNoExponentAndKeepTheirValue) {
  Sketch s;
  s.strokes.push_back({{{{1e-9, 1.0 / 3}}, {{9999.999999, 1e-20}}, {{-0.0, 7}}}, true, LineRole::cut});
  const std::string bytes = dxf_bytes(s, {});
  EXPECT_NE(bytes.find("\r\n0.000000001\r\n"), std::string::npos);
  EXPECT_NE(bytes.find("\r\n0.3333333333333333\r\n"), std::string::npos);
  EXPECT_EQ(bytes.find("\r\n-0.0\r\n"), std::string::npos);
  EXPECT_EQ(bytes.find("e-"), std::string::npos);
  for (std::size_t i = 0; i < bytes.size(); ++i)
    if (bytes[i] == '\n') {
      ASSERT_EQ(bytes[i - 1], '\r');
    }
  read_back(bytes);
}

TEST(Dxf, EmptyDrawingIsStillSound) {
  EXPECT_EQ(read_back(dxf_bytes({}, {})).polylines.size(), 0u);
  EXPECT_EQ(dxf_bytes({}, {"x"}), dxf_bytes({}, {"x"}));
}

}  // namespace
}  // namespace kerfkiln::test
