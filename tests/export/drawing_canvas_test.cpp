// Paper through poppler (pdfinfo, pdftoppm, pdftotext): sizes, scale, arcs, text, determinism.
#include <gtest/gtest.h>

#include <cmath>
#include <thread>

#include "export/drawing/canvas.hpp"
#include "tests/export/document_poppler.hpp"

namespace kerfkiln::output {
namespace {

using product::Hatch;

const LineStyle kThin{0.2, {0, 0, 0}, {}};

std::string pdf_of(const Drawing& d) {
  Result<std::string> bytes = pdf_bytes(d);
  EXPECT_TRUE(bytes.has_value());
  return bytes ? *bytes : std::string();
}

Page ruler() {
  return {page_size(Paper::a4), [](Canvas& c) {
            c.line({50, 100}, {150, 100}, {0.3, {0, 0, 0}, {}});
            c.text({50, 90}, "100 mm scale bar: Ø ± — ç", {});
          }};
}

Page mixed() {
  return {{120, 80}, [](Canvas& c) {
            c.fill(plane::moved(plane::rectangle(60, 40, 5), {10, 10}), {0.8, 0.6, 0.3}, Hatch::waves);
            c.path(plane::moved(plane::rectangle(60, 40, 5), {10, 10}).outer, true, kThin);
            c.picture({80, 10}, 20, 20, std::vector<unsigned char>(3 * 4 * 4, 90), 4, 4);
            c.clip({0, 60}, 100, 20);
            c.text({10, 70}, "clipped", {});
            c.unclip();
          }};
}

// D05 of the references: 100 mm = 283.465 pt, A4 = 595.276 x 841.890 pt (definition of the point, ISO 216).
TEST(Canvas, PagesHaveTheirSizes) {
  const poppler::Folder folder;
  poppler::write(folder.file("a.pdf"), pdf_of({"sizes", "", "", {ruler(), {{700, 560}, [](Canvas&) {}}}}));
  const std::string info = poppler::run("pdfinfo -f 1 -l 2 '" + folder.file("a.pdf") + "'");
  EXPECT_NE(info.find("595.276 x 841.89 pts (A4)"), std::string::npos) << info;
  EXPECT_NE(info.find("1984.25 x 1587.4 pts"), std::string::npos) << info;  // 700 / 25.4 * 72
}

TEST(Canvas, AHundredMillimetresMeasureAHundred) {
  const poppler::Folder folder;
  poppler::write(folder.file("a.pdf"), pdf_of({"ruler", "", "", {ruler()}}));
  const poppler::Grey g = poppler::rendered(folder.file("a.pdf"), 1, 254);  // 10 px a mm
  int first = -1, last = -1;
  for (int x = 0; x < g.wide; ++x)
    if (g.dark(x, 1000)) first = first < 0 ? x : first, last = x;
  EXPECT_EQ(first, 500);
  EXPECT_EQ(last, 1499);
}

// Every dark pixel of a circle drawn by two half-turn bulges lies at its radius.
TEST(Canvas, BulgesAreArcs) {
  const poppler::Folder folder;
  const Page page{{140, 140}, [](Canvas& c) { c.path({{{20, 70}, 1, -1}, {{120, 70}, 1, -1}}, true, kThin); }};
  poppler::write(folder.file("a.pdf"), pdf_of({"circle", "", "", {page}}));
  const poppler::Grey g = poppler::rendered(folder.file("a.pdf"), 1, 254);
  int count = 0;
  double worst = 0;
  for (int y = 0; y < g.high; ++y)
    for (int x = 0; x < g.wide; ++x)
      if (g.dark(x, y)) {
        worst = std::max(worst, std::abs(std::hypot(x + 0.5 - 700, y + 0.5 - 700) - 500));
        ++count;
      }
  EXPECT_LT(worst, 1.8);   // half of 0.2 mm is 1 px, and half a pixel of rounding
  EXPECT_GT(count, 3000);  // the circle is 3142 px long and 2 px wide
}

TEST(Canvas, TextCanBeExtracted) {
  const poppler::Folder folder;
  poppler::write(folder.file("a.pdf"), pdf_of({"text", "", "", {ruler()}}));
  EXPECT_NE(poppler::text(folder.file("a.pdf")).find("100 mm scale bar: Ø ± — ç"), std::string::npos);
}

TEST(Canvas, SameDrawingSameBytes) {
  const Drawing d{"twice", "key", "2031-04-02", {ruler(), mixed()}};
  const std::string pdf = pdf_of(d), svg = *svg_bytes(mixed()), png = *png_bytes(mixed(), 6);
  ASSERT_TRUE(svg_bytes(ruler()).has_value());  // what was drawn in between must not show
  EXPECT_EQ(pdf_of(d), pdf);
  EXPECT_EQ(*svg_bytes(mixed()), svg);
  EXPECT_EQ(*png_bytes(mixed(), 6), png);
}

TEST(Canvas, ThreadsDrawAlike) {
  const Drawing d{"threads", "", "2031-04-02", {ruler(), mixed()}};
  const std::string expected = pdf_of(d);
  std::vector<std::string> got(4);
  std::vector<std::thread> threads;
  for (std::string& mine : got) threads.emplace_back([&d, &mine] { mine = *pdf_bytes(d); });
  for (std::thread& t : threads) t.join();
  for (const std::string& mine : got) EXPECT_EQ(mine, expected);
}

TEST(Canvas, MetadataComeFromTheOrder) {
  const poppler::Folder folder;
  poppler::write(folder.file("a.pdf"), pdf_of({"A title — ç", "OB-1 A", "2031-04-02", {ruler()}}));
  const std::string info = poppler::run("TZ=UTC pdfinfo '" + folder.file("a.pdf") + "'");
  EXPECT_NE(info.find("A title — ç"), std::string::npos) << info;
  EXPECT_NE(info.find("Wed Apr  2 00:00:00 2031 UTC"), std::string::npos) << info;
}

// ISO 32000-1, table 150: PrintScaling None. poppler reads the updated catalogue without complaint and names the page.
TEST(Canvas, AsksToPrintAtActualSize) {
  const poppler::Folder folder;
  const std::string pdf = pdf_of({"scaling", "", "", {ruler()}});
  const std::size_t at = pdf.find("/ViewerPreferences << /PrintScaling /None >>");
  ASSERT_NE(at, std::string::npos);
  EXPECT_GT(at, pdf.find("%%EOF"));  // an update after the first end of file
  poppler::write(folder.file("a.pdf"), pdf);
  EXPECT_EQ(poppler::run("pdfinfo '" + folder.file("a.pdf") + "'").find("Syntax"), std::string::npos);
}

TEST(Canvas, HatchesDifferAndStayInside) {
  std::vector<std::string> seen;
  for (const Hatch h : {Hatch::none, Hatch::lines, Hatch::cross, Hatch::dots, Hatch::waves}) {
    const Page page{{60, 60}, [h](Canvas& c) {
                      plane::Outline o = plane::moved(plane::rectangle(40, 40, 10), {10, 10});
                      o.holes.push_back(plane::reversed(plane::moved(plane::rectangle(10, 10, 0), {25, 25}).outer));
                      c.fill(o, {0.5, 0.5, 0.5}, h);
                    }};
    int wide = 0, high = 0;
    const auto pixels = rgba_pixels(page, 4, wide, high);
    ASSERT_TRUE(pixels.has_value());
    ASSERT_EQ(wide, 240);
    int outside = 0;
    std::string grey;
    for (int y = 0; y < high; ++y)
      for (int x = 0; x < wide; ++x) {
        const unsigned char v = (*pixels)[4 * static_cast<std::size_t>(y * wide + x)];
        grey += static_cast<char>(v);
        const bool in_hole = x > 101 && x < 139 && y > 101 && y < 139;
        if ((x < 39 || x > 200 || y < 39 || y > 200 || in_hole) && v != 255) ++outside;
      }
    EXPECT_EQ(outside, 0);
    EXPECT_LT((*pixels)[4 * (120 * 240 + 41)], 255);  // just inside the left side
    for (const std::string& other : seen) EXPECT_NE(grey, other);
    seen.push_back(grey);
  }
}

TEST(Canvas, WrappedTextFitsAndKeepsItsWords) {
  const std::string words =
      "The quick brown prototype maker jumps over the laminated — and very, very-long — "
      "Donaudampfschifffahrtsgesellschaftskapitänsmütze";
  TextStyle style;
  for (double width = 12; width < 120; width += 7.3) {
    std::string joined;
    for (const std::string& line : wrapped(words, width, style)) {
      EXPECT_LE(text_width(line, style), width + 0.01) << line;
      joined += line;
    }
    std::string expected = words;
    for (std::string* s : {&joined, &expected}) std::erase(*s, ' ');
    EXPECT_EQ(joined, expected);
  }
}

TEST(Canvas, ImpossiblePagesAreFindings) {
  EXPECT_EQ(pdf_bytes({"none", "", "", {}}).findings().at(0).code, "drawing.size");
  const Page huge{{6000, 100}, [](Canvas&) {}};
  EXPECT_EQ(pdf_bytes({"huge", "", "", {huge}}).findings().at(0).code, "drawing.size");
  EXPECT_TRUE(svg_bytes(huge).has_value());  // a PDF page ends at 14 400 units (ISO 32000-1, annex C), an SVG does not
  EXPECT_EQ(svg_bytes({{60000, 100}, [](Canvas&) {}}).findings().at(0).code, "drawing.size");
  EXPECT_EQ(png_bytes(ruler(), 1000).findings().at(0).code, "drawing.size");
}

}  // namespace
}  // namespace kerfkiln::output
