// Full-size sheets through poppler. Check values D04, D05 and D06 of the references: tiles n = 1 + ceil((W - p)/(p -
// o)).
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "export/document/document_type.hpp"
#include "export/document/part_sheet.hpp"
#include "tests/export/document_fixture.hpp"
#include "tests/export/document_poppler.hpp"

namespace kerfkiln::output {
namespace {

std::string written(const poppler::Folder& folder, const Drawing& d) {
  const std::string path = folder.file("a.pdf");
  const Result<std::string> bytes = pdf_bytes(d);
  EXPECT_TRUE(bytes.has_value());
  poppler::write(path, bytes ? *bytes : std::string());
  return path;
}

// D04: 700 x 560 with margins and overlap of 10 mm is 4 x 3 tiles on A4 (190 x 277) and on Letter (195.9 x 259.4).
TEST(Tiles, CountsOfTheReference) {
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    const PageSize page = page_size(paper);
    EXPECT_EQ(tile_count(700, page.width_mm - 2 * kTileMarginMm, kTileOverlapMm), 4);
    EXPECT_EQ(tile_count(560, page.height_mm - 2 * kTileMarginMm, kTileOverlapMm), 3);
  }
  const TileGrid a4 = tile_grid(700, 560, Paper::a4);
  EXPECT_EQ(a4.columns * a4.rows, 12);  // turned, A4 needs 3 x 4: no gain, so upright
  EXPECT_LT(a4.page.width_mm, a4.page.height_mm);
  const TileGrid letter = tile_grid(700, 560, Paper::letter);
  EXPECT_EQ(letter.columns, 3);  // turned: 1 + ceil(440.6 / 249.4) by 1 + ceil(364.1 / 185.9) is 3 x 3
  EXPECT_EQ(letter.rows, 3);
  EXPECT_NEAR(letter.printable.width_mm, 259.4, 1e-9);
  EXPECT_NEAR(letter.printable.height_mm, 195.9, 1e-9);
  EXPECT_EQ(tile_count(190, 190, 10), 1);
  EXPECT_EQ(tile_count(190.01, 190, 10), 2);
  EXPECT_EQ(tile_count(370, 190, 10), 2);  // 190 + 180 exactly
  EXPECT_EQ(tile_count(370.01, 190, 10), 3);
}

// From paper edge to paper edge at 5 px a mm: the outline's width and depth on the single sheet.
TEST(PartSheet, OneMillimetreIsOneMillimetre) {
  const poppler::Folder folder;
  const product::Product p = fixture::cushion();
  const std::string pdf = written(folder, part_sheet(fixture::job().info, p, p.parts[0], Paper::sheet));
  EXPECT_EQ(poppler::page_count(pdf), 1);
  const poppler::Grey g = poppler::rendered(pdf, 1, 127);
  const int middle = g.high / 3;  // across the straight sides, above the label
  int first = -1, last = -1;
  for (int x = 5 * 11; x < g.wide; ++x)
    if (g.at(x, middle) < 200) first = first < 0 ? x : first, last = x;
  EXPECT_NEAR(last - first, 5 * 500 + 2, 2);  // the lines are 0.5 mm wide
}

// Tiles laid on each other by the overlap: the outline is as wide across the seams as it should be, and both pages of a
// seam show the same crosses at the same place of the part.
TEST(PartSheet, TilesJoin) {
  const poppler::Folder folder;
  const product::Product p = fixture::cushion();
  const Drawing d = part_sheet(fixture::job().info, p, p.parts[0], Paper::a4);
  const std::string pdf = written(folder, d);
  const TileGrid grid = tile_grid(500.5, 430, Paper::a4);
  ASSERT_EQ(grid.columns, 3);
  ASSERT_EQ(grid.rows, 2);
  ASSERT_EQ(poppler::page_count(pdf), 1 + 6);
  const poppler::Grey left_page = poppler::rendered(pdf, 2, 127), right_page = poppler::rendered(pdf, 4, 127);
  // A row of pixels below the top line: the vertical side is the only line there.
  const int y = 5 * 200;
  int first = -1, last = -1;
  for (int x = 5 * 25; x < 5 * 195; ++x) {
    if (left_page.at(x, y) < 200 && first < 0) first = x;
    if (right_page.at(x, y) < 200) last = x;
  }
  ASSERT_GE(first, 0);
  ASSERT_GE(last, 0);
  const int step = 5 * 180;
  EXPECT_NEAR(last + 2 * step - first, 5 * 500 + 2, 3);
  // The cross of the seam: 5 mm inside the printable edge on both pages.
  EXPECT_LT(left_page.at(5 * 195, 5 * 15 + 12), 200);
  EXPECT_LT(right_page.at(5 * 15, 5 * 15 + 12), 200);
}

TEST(PartSheet, EveryPageNamesThePart) {
  const poppler::Folder folder;
  const product::Product p = fixture::cushion();
  for (const Paper paper : {Paper::a4, Paper::letter, Paper::sheet}) {
    for (const product::FlatPart& part : p.parts) {
      const std::string pdf = written(folder, part_sheet(fixture::job().info, p, part, paper));
      for (int page = 1; page <= poppler::page_count(pdf); ++page) {
        const std::string text = poppler::text(pdf, page);
        for (const std::string& word :
             {std::string("test block"), part.label, std::string("TB-001"), std::string("rev B"),
              std::string("2031-04-02"), std::string("0123456789abcdef"), part.face_up, part.material,
              "make " + std::to_string(part.count), part.hand.empty() ? "either hand" : part.hand + " hand",
              std::string("test order")})
          EXPECT_NE(text.find(word), std::string::npos) << word << " on page " << page << "\n" << text;
      }
    }
  }
}

// However long the names: all words are on each page, inside it, and in the margin or strip, not on the part.
TEST(PartSheet, LongNamesBreakInsteadOfBeingCutOff) {
  const poppler::Folder folder;
  product::Product p = fixture::cushion();
  Job job = fixture::job();
  p.name = "the left-hand seat of the third chair in the second row of the reading room upstairs";
  p.parts.change([](product::FlatPart& part) {
    part.label = "Gauge of the front edge before the topper is glued on and after the core was ground";
    part.material = "template board of hard fibre, three millimetres, sealed on both faces";
  });
  job.info.order.customer = "an order with a name that nobody would ever write on one line of a sheet";
  const double pt = 72 / 25.4;
  for (const Paper paper : {Paper::a4, Paper::letter, Paper::sheet}) {
    for (const product::FlatPart& part : p.parts) {
      const std::string pdf = written(folder, part_sheet(job.info, p, part, paper));
      const auto pages = poppler::words(pdf);
      ASSERT_FALSE(pages.empty());
      for (std::size_t i = 0; i < pages.size(); ++i) {
        std::string all;
        for (const poppler::Word& w : pages[i].words) {
          all += w.text + " ";
          EXPECT_GE(w.x_min, 3 * pt) << w.text;
          EXPECT_GE(w.y_min, 2 * pt) << w.text;
          EXPECT_LE(w.x_max, pages[i].width - 3 * pt) << w.text;
          EXPECT_LE(w.y_max, pages[i].height - 2 * pt) << w.text;
          // Tiles: nothing but the part's own label stands inside the printable area.
          const bool own = std::string("top face up — Ø ± ç").find(w.text) != std::string::npos;
          if (pages.size() > 1 && i > 0 && !own) {
            const double top = kTileMarginMm * pt, bottom = pages[i].height - top;
            EXPECT_TRUE(w.y_max < top + 0.5 || w.y_min > bottom - 0.5) << w.text << " on page " << i + 1;
          }
        }
        for (const char* word : {"upstairs", "ground", "sealed", "nobody", "sheet"})
          EXPECT_NE(all.find(word), std::string::npos) << word << " on page " << i + 1;
      }
    }
  }
}

TEST(PartSheet, ScaleBarsMeasure) {
  const poppler::Folder folder;
  const product::Product p = fixture::cushion();
  const std::string pdf = written(folder, part_sheet(fixture::job().info, p, p.parts[0], Paper::a4));
  const poppler::Grey g = poppler::rendered(pdf, 1, 254);
  // The check square on the first page is the only closed figure of 1000 px: look for two long vertical runs.
  std::vector<int> columns;
  for (int x = 0; x < g.wide; ++x) {
    int run = 0, most = 0;
    for (int y = 0; y < g.high; ++y) {
      run = g.dark(x, y) ? run + 1 : 0;
      most = std::max(most, run);
    }
    if (most > 990) columns.push_back(x);
  }
  ASSERT_GE(columns.size(), 4u);
  EXPECT_NEAR(columns.back() - columns.front(), 1000, 4);
}

// D06: 100 reads 99.2: a part of 560 comes out 4.48 short, and is to be drawn larger by 1.008065.
TEST(PrintScale, FactorAndErrorOfTheReference) {
  EXPECT_NEAR(print_factor(99.2), 1.008065, 5e-7);
  EXPECT_NEAR(printed_error(99.2, 560), -4.48, 1e-9);
  EXPECT_EQ(print_factor(100), 1);
}

TEST(PrintScale, ReadingsAsTheMakerTypesThem) {
  const auto both = [](const std::string& text) {
    const Result<PrintScale> p = parse_print_scale(text);
    return p ? std::pair{p->across_mm, p->along_mm} : std::pair{0.0, 0.0};
  };
  EXPECT_EQ(both("99.2 mm"), (std::pair{99.2, 99.2}));
  EXPECT_EQ(both("99.2 mm x 100.4 mm"), (std::pair{99.2, 100.4}));
  EXPECT_EQ(both("9.92 cm x99.6mm"), (std::pair{99.2, 99.6}));
  EXPECT_EQ(print_reading({99.2, 99.2}), "99.2 mm");
  EXPECT_EQ(print_reading({99.2, 100.4}), "99.2 x 100.4 mm");
  for (const auto& [text, code] : {std::pair{"96.9 mm", "print.reading"},
                                   {"103.1 mm", "print.reading"},
                                   {"99 mm x 94 mm", "print.reading"},
                                   {"99.2", "quantity.unit.missing"},
                                   {"99.2 mm x ", "quantity.empty"},
                                   {"3 kg", "quantity.dimension"}}) {
    const Result<PrintScale> p = parse_print_scale(text);
    ASSERT_FALSE(p) << text;
    EXPECT_EQ(p.findings()[0].code, code) << text;
  }
}

// The middle of the first dark run of pixels of a row or column of the page at or after `from`; -1: none.
double line_at(const poppler::Grey& g, bool across, int at, int from) {
  const int end = across ? g.wide : g.high;
  const auto dark = [&](int i) { return across ? g.dark(i, at) : g.dark(at, i); };
  int first = from;
  while (first < end && !dark(first)) ++first;
  int last = first;
  while (last < end && dark(last)) ++last;
  return first < end ? (first + last) / 2.0 : -1;
}

// The printer is poppler at 99.2 % of the dots across and 99.6 % along: what it prints of a sheet made for it must
// measure true on the paper, upright and turned, on both papers.
TEST(PrintScale, SheetsComeOutTrueOnThePrinterTheyAreFor) {
  const poppler::Folder folder;
  const PrintScale print{99.2, 99.6};
  product::Product p = fixture::cushion();
  for (const Paper paper : {Paper::a4, Paper::letter})
    for (const bool turned : {false, true}) {
      product::FlatPart part;
      part.id = part.label = "bar";
      const double w = turned ? 240 : 170, h = turned ? 120 : 200;
      part.sketch.strokes.push_back({plane::rectangle(w, h, 0).outer, true, product::LineRole::cut});
      const Drawing d = part_sheet(fixture::job().info, p, part, paper, print);
      ASSERT_EQ(d.pages.size(), 1u);
      EXPECT_EQ(d.pages[0].size.width_mm > d.pages[0].size.height_mm, turned);
      const std::string pdf = written(folder, d);
      // Ten pixels a millimetre of the page; on that printer's paper a millimetre of the page is so much shorter.
      const double x_scale = (turned ? print.along_mm : print.across_mm) / 100;
      const double y_scale = (turned ? print.across_mm : print.along_mm) / 100;
      const poppler::Grey g = poppler::rendered(pdf, 1, 254);
      const int middle_x = g.wide * 2 / 5;
      const double top = line_at(g, false, middle_x, 0),
                   bottom = line_at(g, false, middle_x, static_cast<int>(top) + 20);
      EXPECT_NEAR((bottom - top) / 10 * y_scale, h, 0.15);
      const int middle_y = static_cast<int>((top + bottom) / 2);
      const double left = line_at(g, true, middle_y, 120),
                   right = line_at(g, true, middle_y, static_cast<int>(left) + 20);
      EXPECT_NEAR((right - left) / 10 * x_scale, w, 0.15);
    }
}

// Letter by its words: the row and column numbers of neighbouring tiles, and the label that both show, are one step of
// the printable size less the overlap apart on the joined part.
TEST(PartSheet, LettersTilesStepByPrintableLessOverlap) {
  const poppler::Folder folder;
  product::Product p = fixture::cushion();
  product::FlatPart part;
  part.id = part.label = "wide";
  part.sketch.strokes.push_back({plane::rectangle(370, 250, 0).outer, true, product::LineRole::cut});
  // In the strip that both tiles of the first row show.
  for (int i = 0; i < 40; ++i) part.sketch.labels.push_back({{5.0 + 9 * i, 60}, "w" + std::to_string(i), 2});
  const std::string pdf = written(folder, part_sheet(fixture::job().info, p, part, Paper::letter));
  const auto pages = poppler::words(pdf);
  ASSERT_GE(pages.size(), 3u);
  EXPECT_NEAR(pages[0].width, 612, 0.01);
  EXPECT_NEAR(pages[0].height, 792, 0.01);
  int shared = 0;
  for (const poppler::Word& a : pages[1].words)
    for (const poppler::Word& b : pages[2].words)
      if (a.text == b.text && a.text[0] == 'w' && a.text != "wide") {
        ++shared;
        EXPECT_NEAR(std::max(std::abs(a.x_min - b.x_min), std::abs(a.y_min - b.y_min)) * 25.4 / 72,
                    std::min(pages[1].width, pages[1].height) * 25.4 / 72 - 30, 0.02)
            << a.text;
      }
  EXPECT_GE(shared, 1);
}

TEST(PartSheet, TwoRunsAreIdentical) {
  const product::Product p = fixture::cushion();
  const auto make = [&] { return *pdf_bytes(part_sheet(fixture::job().info, p, p.parts[0], Paper::a4)); };
  EXPECT_EQ(make(), make());
}

TEST(Documents, TableComposesWhatApplies) {
  const Job job = fixture::job();
  for (const DocumentType& type : document_types()) {
    ASSERT_NE(type.applies, nullptr);
    EXPECT_EQ(document_type(type.id), &type);
    for (const product::Product& piece : job.products) {
      const product::Product* which = type.scope == Scope::piece ? &piece : nullptr;
      if (!type.applies(job, which)) continue;
      const Drawing d = type.compose(job, which, {Paper::letter});
      EXPECT_FALSE(d.pages.empty()) << type.id;
      EXPECT_TRUE(pdf_bytes(d).has_value());
    }
    EXPECT_FALSE(type.applies(Job{}, nullptr)) << type.id << " of nothing";
  }
  EXPECT_EQ(document_type("no such document"), nullptr);
}

}  // namespace
}  // namespace kerfkiln::output
