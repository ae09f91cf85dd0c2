// Outlines from drawing files. Oracle: files written by ezdxf (write_drawings.py), whose areas and lengths are closed
// forms or its own curves; the findings are checked on drawings written here, group by group.
#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <numbers>
#include <sstream>

#include "modeler/plane/drawing.hpp"
#include "modeler/plane/region.hpp"

namespace kerfkiln::plane {
namespace {

namespace fs = std::filesystem;

std::string bytes_of(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

std::string words(const Findings& f) {
  std::string out;
  for (const Finding& x : f) out += x.code + " [" + x.path + "] " + x.message + "\n";
  return out;
}
const Finding* find(const Findings& f, const std::string& code) {
  for (const Finding& x : f)
    if (x.code == code) return &x;
  return nullptr;
}

double unit_of(const std::string& word) { return word == "in" ? 25.4 : word == "cm" ? 10 : word == "mm" ? 1 : 0; }

TEST(Drawing, FilesOfAnIndependentWriterKeepTheirAreaWithinTheFit) {
  const fs::path folder = fs::temp_directory_path() / "kerfkiln-drawings";
  fs::remove_all(folder);
  fs::create_directories(folder);
  const std::string command =
      "/usr/bin/python3 " KERFKILN_SOURCE_DIR "/tests/modeler/plane/write_drawings.py " + folder.string();
  FILE* pipe = popen(command.c_str(), "r");
  ASSERT_NE(pipe, nullptr);
  std::string list;
  for (char part[4096]; std::fgets(part, sizeof part, pipe);) list += part;
  ASSERT_EQ(pclose(pipe), 0) << "ezdxf is needed: Debian's python3-ezdxf";
  std::istringstream lines(list);
  int files = 0;
  for (std::string line; std::getline(lines, line); ++files) {
    SCOPED_TRACE(line);
    std::istringstream fields(line);
    std::string file, unit, layer, area_text, perimeter_text, holes, sides;
    for (std::string* f : {&file, &unit, &layer, &area_text, &perimeter_text, &holes, &sides})
      ASSERT_TRUE(std::getline(fields, *f, '\t'));
    const Result<Drawing> drawing = read_drawing(bytes_of(folder / file));
    ASSERT_TRUE(drawing) << words(drawing.findings());
    const Result<DrawnOutline> drawn = outline_of(*drawing, {layer == "-" ? "" : layer, unit_of(unit)});
    ASSERT_TRUE(drawn) << words(drawn.findings());
    const double perimeter_mm = std::stod(perimeter_text);
    EXPECT_NEAR(area(drawn->outline), std::stod(area_text), kDrawingFitMm * perimeter_mm);
    EXPECT_NEAR(perimeter(drawn->outline), perimeter_mm, 1e-4 * perimeter_mm);
    EXPECT_EQ(drawn->outline.holes.size(), std::stoul(holes));
    std::string named;
    for (const std::string& s : drawn->outline.sides) named += (named.empty() ? "" : " ") + s;
    EXPECT_EQ(named, sides);
    EXPECT_TRUE(check_outline(drawn->outline).empty());
    const Box box = bounds(drawn->outline);
    EXPECT_NEAR(box.low.x, 0, 1e-6);
    EXPECT_NEAR(box.low.y, 0, 1e-6);
    EXPECT_NE(find(drawn->notes, "drawing.left_out"), nullptr) << "the text is left out, and said so";
  }
  EXPECT_EQ(files, 3 * (4 + 3 * 9));
  fs::remove_all(folder);
}

// A drawing of our own, in mm unless said otherwise.
struct Writer {
  std::string entities, blocks, header = "9\n$INSUNITS\n70\n4\n";
  Writer& line(double x1, double y1, double x2, double y2, const std::string& layer = "0") {
    std::ostringstream s;
    s << "0\nLINE\n8\n" << layer << "\n10\n" << x1 << "\n20\n" << y1 << "\n11\n" << x2 << "\n21\n" << y2 << "\n";
    entities += s.str();
    return *this;
  }
  Writer& rectangle(double x, double y, double w, double h) {
    return line(x, y, x + w, y).line(x + w, y, x + w, y + h).line(x + w, y + h, x, y + h).line(x, y + h, x, y);
  }
  Writer& more(const std::string& groups) {
    entities += groups;
    return *this;
  }
  std::string text() const {
    return "0\nSECTION\n2\nHEADER\n" + header + "0\nENDSEC\n0\nSECTION\n2\nBLOCKS\n" + blocks +
           "0\nENDSEC\n0\nSECTION\n2\nENTITIES\n" + entities + "0\nENDSEC\n0\nEOF\n";
  }
  Findings wrong(const DrawingChoice& choice = {}) const {
    const Result<Drawing> d = read_drawing(text());
    if (!d) return d.findings();
    const Result<DrawnOutline> o = outline_of(*d, choice);
    return o ? o->notes : o.findings();
  }
  Outline outline(const DrawingChoice& choice = {}) const {
    const Result<Drawing> d = read_drawing(text());
    EXPECT_TRUE(d) << words(d.findings());
    const Result<DrawnOutline> o = outline_of(*d, choice);
    EXPECT_TRUE(o) << words(o.findings());
    return o ? o->outline : Outline{};
  }
};

TEST(Drawing, NoUnitAsksForIt) {
  Writer w;
  w.header.clear();
  const Findings f = w.rectangle(0, 0, 20, 10).wrong();
  ASSERT_EQ(f.size(), 1u) << words(f);
  EXPECT_EQ(f[0].code, "drawing.unit");
  EXPECT_EQ(f[0].path, "unit");
  EXPECT_NEAR(area(w.outline({"", 25.4})), 20 * 10 * 25.4 * 25.4, 1e-3);
  w.header = "9\n$INSUNITS\n70\n3\n";
  EXPECT_NE(find(w.wrong(), "drawing.unit")->message.find("code 3"), std::string::npos);
}

TEST(Drawing, TheChosenUnitWinsAndIsSaid) {
  Writer w;
  w.rectangle(0, 0, 20, 10);
  const Findings f = w.wrong({"", 10});
  ASSERT_NE(find(f, "drawing.unit"), nullptr);
  EXPECT_FALSE(has_errors(f));
}

TEST(Drawing, GapsAreClosedAndNamed) {
  Writer w;
  w.line(0, 0, 300, 0).line(300.06, 0, 300, 200).line(300, 200, 0, 200).line(0, 200, 0, 0);
  const Findings f = w.wrong();
  ASSERT_NE(find(f, "drawing.gap"), nullptr) << words(f);
  EXPECT_NE(find(f, "drawing.gap")->message.find("0.06 mm at (300.03, 0)"), std::string::npos) << words(f);
  EXPECT_FALSE(has_errors(f));
  const Findings strict = w.wrong({"", 0, 0.01});
  ASSERT_NE(find(strict, "drawing.open"), nullptr) << words(strict);
  EXPECT_NE(find(strict, "drawing.open")->message.find("(300, 0)"), std::string::npos) << words(strict);
}

TEST(Drawing, AnOpenOutlineNamesItsEnds) {
  Writer w;
  const Findings f = w.line(0, 0, 300, 0).line(300, 0, 300, 200).line(300, 200, 0, 200).line(0, 180, 0, 0).wrong();
  ASSERT_EQ(f.size(), 2u) << words(f);
  EXPECT_EQ(f[0].code, "drawing.open");
  EXPECT_NE(f[0].message.find("(0, 200)"), std::string::npos);
  EXPECT_NE(f[0].message.find("20 mm away at (0, 180)"), std::string::npos);
}

TEST(Drawing, CrossingsBranchesAndLoopsBesideAreNamed) {
  Writer bow_tie;
  const Findings crossing =
      bow_tie.line(0, 0, 200, 100).line(200, 100, 200, 0).line(200, 0, 0, 100).line(0, 100, 0, 0).wrong();
  ASSERT_NE(find(crossing, "outline.crossing"), nullptr) << words(crossing);
  EXPECT_NE(find(crossing, "outline.crossing")->message.find("(100, 50)"), std::string::npos) << words(crossing);
  Writer branch;
  const Findings b = branch.rectangle(0, 0, 200, 100).line(0, 0, 200, 100).wrong();
  ASSERT_NE(find(b, "drawing.branch"), nullptr) << words(b);
  EXPECT_NE(find(b, "drawing.branch")->message.find("3 lines meet at (0, 0)"), std::string::npos) << words(b);
  Writer beside;
  const Findings l = beside.rectangle(0, 0, 200, 100).rectangle(300, 10, 50, 50).wrong();
  ASSERT_NE(find(l, "drawing.loops"), nullptr) << words(l);
  EXPECT_NE(find(l, "drawing.loops")->message.find("(300, 10)"), std::string::npos) << words(l);
}

TEST(Drawing, DuplicatesAndTinyLinesAreDroppedAndSaid) {
  Writer w;
  w.rectangle(0, 0, 200, 100).line(200, 100, 200, 0).line(200, 0, 200.004, 0).line(200.004, 0, 200, 0);
  const Findings f = w.wrong();
  EXPECT_FALSE(has_errors(f)) << words(f);
  ASSERT_NE(find(f, "drawing.duplicate"), nullptr) << words(f);
  EXPECT_NE(find(f, "drawing.duplicate")->message.find("(200, 100)"), std::string::npos) << words(f);
  ASSERT_NE(find(f, "drawing.tiny"), nullptr) << words(f);
  EXPECT_NEAR(area(w.outline()), 20000, 1e-6);
}

TEST(Drawing, LayersAreAskedForAndTheNearestOffered) {
  Writer w;
  w.rectangle(0, 0, 200, 100).line(0, 50, 200, 50, "centre");
  const Findings f = w.wrong();
  ASSERT_NE(find(f, "drawing.layer"), nullptr) << words(f);
  EXPECT_NE(find(f, "drawing.layer")->message.find("\"0\" (4), \"centre\" (1)"), std::string::npos) << words(f);
  EXPECT_NE(find(w.wrong({"center"}), "drawing.layer")->remedy.find("centre"), std::string::npos);
  EXPECT_NEAR(area(w.outline({"0"})), 20000, 1e-6);
}

TEST(Drawing, SeenFromBelowIsMirrored) {
  // An LWPOLYLINE with extrusion (0, 0, -1) is seen from behind: its x runs left (DXF reference, object coordinates).
  Writer w;
  w.more("0\nLWPOLYLINE\n8\n0\n90\n3\n70\n1\n10\n0\n20\n0\n10\n30\n20\n0\n10\n0\n20\n10\n210\n0\n220\n0\n230\n-1\n");
  const Outline o = w.outline();
  ASSERT_EQ(o.outer.size(), 3u);
  EXPECT_NEAR(area(o), 150, 1e-6);
  bool right_angle_at_right = false;
  for (const Vertex& v : o.outer) right_angle_at_right |= std::abs(v.at.x - 30) < 1e-5 && std::abs(v.at.y - 10) < 1e-5;
  EXPECT_TRUE(right_angle_at_right);
}

TEST(Drawing, ALineOfManyShortStepsIsOneSide) {
  Writer w;
  const int n = 90;
  for (int i = 0; i < n; ++i) {
    const double a = std::numbers::pi * i / n, b = std::numbers::pi * (i + 1) / n;
    w.line(100 * std::cos(a), 100 * std::sin(a), 100 * std::cos(b), 100 * std::sin(b));
  }
  w.line(-100, 0, 100, 0);
  const Outline o = w.outline();
  EXPECT_EQ(o.sides, (std::vector<std::string>{"side 1", "side 2"}));
  EXPECT_EQ(o.outer[0].side, 0);
  EXPECT_NEAR(segment(o.outer, 0).length(), 200, 1e-6) << "side 1 is the front";
}

TEST(Drawing, ARoundedCornerBelongsToNoSideAndALargeArcDoes) {
  // D-shaped back: a straight front with corners of radius 20, straight sides, a half circle behind.
  Writer w;
  w.more(
      "0\nLWPOLYLINE\n8\n0\n90\n8\n70\n1\n10\n20\n20\n0\n10\n280\n20\n0\n42\n0.41421356237309503\n10\n300\n20\n20\n"
      "10\n300\n20\n200\n42\n1\n10\n0\n20\n200\n10\n0\n20\n20\n42\n0.41421356237309503\n");
  const Outline o = w.outline();
  EXPECT_EQ(o.sides.size(), 4u);
  int loose = 0;
  for (const Vertex& v : o.outer) loose += v.side == -1;
  EXPECT_EQ(loose, 2);
}

TEST(Drawing, DamageIsNamed) {
  Writer w;
  const std::string whole = w.rectangle(0, 0, 200, 100).text();
  const auto code = [](const std::string& bytes) {
    const Result<Drawing> d = read_drawing(bytes);
    return d ? std::string() : d.findings()[0].code;
  };
  EXPECT_EQ(code(whole), "");
  EXPECT_EQ(code(""), "drawing.size");
  EXPECT_EQ(code(std::string(kLargestDrawing + 1, ' ')), "drawing.size");
  EXPECT_EQ(code(whole.substr(0, whole.size() / 2)), "drawing.cut_off");
  EXPECT_EQ(code(whole + std::string(1, '\0')), "drawing.binary");
  std::string bad = whole;
  bad.replace(bad.find("200"), 3, "abc");
  EXPECT_EQ(code(bad), "drawing.syntax");
  EXPECT_EQ(code("hello\nworld\n"), "drawing.syntax");
  EXPECT_EQ(code(Writer().text()), "drawing.empty");
  Writer itself;
  itself.blocks =
      "0\nBLOCK\n2\nA\n10\n0\n20\n0\n0\nLINE\n8\n0\n10\n0\n20\n0\n11\n1\n21\n1\n"
      "0\nINSERT\n2\nA\n10\n0\n20\n0\n0\nENDBLK\n";
  itself.more("0\nINSERT\n8\n0\n2\nA\n10\n0\n20\n0\n");
  EXPECT_EQ(code(itself.text()), "drawing.block");
  Writer many;
  many.blocks = itself.blocks.substr(0, itself.blocks.find("0\nINSERT")) + "0\nENDBLK\n";
  many.more("0\nINSERT\n8\n0\n2\nA\n10\n0\n20\n0\n70\n30000\n71\n30000\n44\n1\n45\n1\n");
  EXPECT_EQ(code(many.text()), "drawing.block");
  // Every cut of a sound file: findings, or a drawing.
  for (std::size_t n = 0; n + 1 < whole.size(); ++n) EXPECT_FALSE(read_drawing(whole.substr(0, n)).has_value()) << n;
}

TEST(Drawing, MoreThanTenThousandSegmentsAreRefused) {
  Writer w;
  const int n = 10001;
  for (int i = 0; i < n; ++i) {
    const double a = 2 * std::numbers::pi * i / n, b = 2 * std::numbers::pi * ((i + 1) % n) / n;
    w.line(400 * std::cos(a), 400 * std::sin(a), 400 * std::cos(b), 400 * std::sin(b));
  }
  const Result<Drawing> drawing = read_drawing(w.text());
  ASSERT_TRUE(drawing);
  const Result<DrawnOutline> drawn = outline_of(*drawing, {});
  ASSERT_FALSE(drawn);
  EXPECT_EQ(drawn.findings()[0].code, "drawing.vertices");
}

TEST(Drawing, TenThousandEntitiesAreReadInUnderASecond) {
  Writer w;
  const int n = 10000;
  for (int i = 0; i < n; ++i) {
    const double a = 2 * std::numbers::pi * i / n, b = 2 * std::numbers::pi * ((i + 1) % n) / n;
    w.line(400 * std::cos(a), 400 * std::sin(a), 400 * std::cos(b), 400 * std::sin(b));
  }
  const std::string text = w.text();
  const auto begin = std::chrono::steady_clock::now();
  const Result<Drawing> drawing = read_drawing(text);
  ASSERT_TRUE(drawing);
  const auto read = std::chrono::steady_clock::now();
  const Result<DrawnOutline> drawn = outline_of(*drawing, {});
  const auto end = std::chrono::steady_clock::now();
  ASSERT_TRUE(drawn) << words(drawn.findings());
  EXPECT_EQ(drawn->outline.outer.size(), 10000u);
  EXPECT_EQ(drawn->outline.sides.size(), 1u);
  const double reading = std::chrono::duration<double>(read - begin).count();
  const double closing = std::chrono::duration<double>(end - read).count();
  RecordProperty("seconds_read", std::to_string(reading));
  RecordProperty("seconds_outline", std::to_string(closing));
  std::printf("10 000 lines: read %.3f s, outline %.3f s\n", reading, closing);
  EXPECT_LT(reading + closing, 1);
}

TEST(Drawing, TooLargeAsksForTheUnit) {
  Writer w;
  w.header = "9\n$INSUNITS\n70\n6\n";
  const Findings f = w.rectangle(0, 0, 500, 400).wrong();
  ASSERT_NE(find(f, "drawing.size"), nullptr) << words(f);
  EXPECT_NE(find(f, "drawing.size")->message.find("read in m"), std::string::npos);
}

}  // namespace
}  // namespace kerfkiln::plane
