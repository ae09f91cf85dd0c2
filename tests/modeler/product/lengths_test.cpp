// Texts in millimetres told in inches. Oracle: 1 in = 25.4 mm exactly (international yard and pound agreement, 1959).
#include "modeler/product/lengths.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>

#include "modeler/base/number_text.hpp"

namespace kerfkiln::product {
namespace {

std::string in(const std::string& text) { return told_in(text, Units::inch); }
std::string mm(const std::string& text) { return told_in(text, Units::mm); }

TEST(Inches, FractionsWhereATapeReadsThemElseDecimals) {
  EXPECT_EQ(inches("25.4"), "1");
  EXPECT_EQ(inches("469.9"), "18 1/2");
  EXPECT_EQ(inches("19.05"), "3/4");
  EXPECT_EQ(inches("6.35"), "1/4");
  EXPECT_EQ(inches("567.8"), "22 11/32");  // 22.354
  EXPECT_EQ(inches("0"), "0");
  EXPECT_EQ(inches("1.6"), "1/16");   // 1.5875 is printed so too
  EXPECT_EQ(inches("1.3"), "0.051");  // a thickness is not rounded to a 16th
  EXPECT_EQ(inches("10"), "0.394");
  EXPECT_EQ(inches("85.52"), "3.367");  // a hundredth of a millimetre is more than a tape reads
  EXPECT_EQ(inches("-0.5"), "-0.02");
  EXPECT_EQ(inches("-50.8"), "-2");
  EXPECT_EQ(inches("none"), "none");
}

// Whatever was printed, the inches read back to it: within a 64th for a tape, within half a thousandth for decimals.
TEST(Inches, ReadBackToWhatTheMillimetresSaid) {
  const auto read = [](std::string text) {
    double value = 0;
    for (std::size_t space = text.find(' '); space != std::string::npos; space = std::string::npos) {
      value = std::strtod(text.c_str(), nullptr);
      text.erase(0, space + 1);
    }
    const std::size_t bar = text.find('/');
    return value +
           std::strtod(text.c_str(), nullptr) / (bar == std::string::npos ? 1 : std::strtod(&text[bar + 1], nullptr));
  };
  for (int decimals = 0; decimals <= 2; ++decimals)
    for (int i = 0; i < 4000; ++i) {
      const std::string text = format_number(i * 0.37 * std::pow(10.0, -decimals), decimals);
      const double value = std::strtod(text.c_str(), nullptr);
      const std::string told = inches(text);
      const bool tape = told.find('.') == std::string::npos;
      const double most = !tape ? 0.00051 : decimals == 2 || value < 12.7 ? 0.05 / 25.4 + 1e-9 : 1.0 / 64 + 1e-9;
      EXPECT_LE(std::abs(read(told) - value / 25.4), most) << text << " " << told;
    }
}

TEST(Told, NumbersBeforeTheUnit) {
  EXPECT_EQ(in("the wall of 6.35 mm is thin"), "the wall of 1/4 in is thin");
  EXPECT_EQ(in("leave 10 to 15 mm dry"), "leave 0.394 to 19/32 in dry");
  EXPECT_EQ(in("at (50.8, -25.4) mm in plan"), "at (2, -1) in in plan");
  EXPECT_EQ(in("4 mm, 5 mm; 25.4 mm."), "5/32 in, 0.197 in; 1 in.");
  EXPECT_EQ(in("slit to 2 x 50.8 mm"), "slit to 2 x 2 in");  // two of them, not two millimetres
  EXPECT_EQ(in("layer 2 to 50.8 mm from 101.6 mm"), "layer 0.079 to 2 in from 4 in") << "so write it otherwise";
  EXPECT_EQ(in("25.4\u00a0mm"), "1\u00a0in");
  EXPECT_EQ(in("\u00b125.4 mm"), "\u00b11 in");
  EXPECT_EQ(in("25.4mm"), "1 in");
  EXPECT_EQ(in("Edges, mm: run x drop"), "Edges, in: run x drop");
}

TEST(Told, WhatIsNoLengthStays) {
  for (const char* text : {"0.096 kPa/mm", "12 mm2", "3 mm3", "N/mm", "5 layers", "80 g/m2 a face",
                           "permitted up to 10 m", "1/16 in a sheet", "hammer 3", "mmm", "5 mm_a", ""})
    EXPECT_EQ(in(text), text);
}

TEST(Told, BareLengths) {
  const std::string text =
      "round " + bare_length("25.4") + ": run " + bare_length("50.8") + ", drop " + bare_length("1.3");
  EXPECT_EQ(mm(text), "round 25.4: run 50.8, drop 1.3");
  EXPECT_EQ(in(text), "round 1: run 2, drop 0.051");
  EXPECT_EQ(shown_size(text), mm(text).size());
  EXPECT_EQ(in(bare_length("50.8") + " x " + bare_length("25.4") + " x 76.2 mm"), "2 x 1 x 3 in");
  EXPECT_EQ(in("\u00d8 " + bare_length("25.4")), "\u00d8 1");
}

TEST(Told, NamesAreTheMakers) {
  const std::vector<std::string> names = {"ply 9 mm"};
  EXPECT_EQ(told_in("board of ply 9 mm, 25.4 mm in", Units::inch, names), "board of ply 9 mm, 1 in in");
}

TEST(Told, MillimetresStayByteForByte) {
  for (const char* text : {"the wall of 6.35 mm", "(1, 2) mm", "Edges, mm: run x drop", "\u00b10.5 mm"})
    EXPECT_EQ(mm(text), text);
  Table t{"t", "Cut list, mm", {"width mm", "n"}, {true, true}, {{"12.5", "3"}, {"", "mm"}}};
  const Table before = t;
  tell_in(t, Units::mm);
  EXPECT_EQ(t.title, before.title);
  EXPECT_EQ(t.columns, before.columns);
  EXPECT_EQ(t.rows, before.rows);
}

TEST(Told, ColumnsAreReadDownAndWrittenAlike) {
  Table t{"t",
          "Sizes (trim 25.4 mm)",
          {"state", "height mm", "off mm", "mass kg", "at"},
          {false, true, true, true, true},
          {{"fired", "50.8", "0.5", "25.4", "1"},
           {"wet", "100", "-", "3", "2"},
           {"band", "50.8 to 76.2", "0.8", "4", "3"},
           {"sag mm", "25.4", "", "50.8", "25.4 to 50.8"}}};
  tell_in(t, Units::inch);
  EXPECT_EQ(t.title, "Sizes (trim 1 in)");
  EXPECT_EQ(t.columns, (std::vector<std::string>{"state", "height in", "off in", "mass kg", "at"}));
  EXPECT_EQ(t.rows[0], (std::vector<std::string>{"fired", "2", "0.02", "25.4", "1"}));
  EXPECT_EQ(t.rows[1], (std::vector<std::string>{"wet", "3 15/16", "-", "3", "2"}));
  EXPECT_EQ(t.rows[2], (std::vector<std::string>{"band", "2 to 3", "0.031", "4", "3"}));
  EXPECT_EQ(t.rows[3], (std::vector<std::string>{"sag in", "1", "", "2", "1 to 2"}));
}

TEST(Told, AllOfAProduct) {
  Product p;
  p.name = "50.8 mm";
  p.shapes.push_back({});
  p.shapes[0].label = "layer, 25.4 mm";
  FlatPart part;
  part.material = "foam, 25.4 mm";
  part.sketch.labels.push_back({{}, bare_length("25.4"), 3});
  part.sketch.dimensions.push_back({});
  part.sketch.dimensions[0].text = "25.4 mm";
  p.parts = {part};
  p.views.push_back({"v", "25.4 mm thick", {}});
  p.sheets.push_back({"s", "sheet", {{"v", "25.4 mm", {}}}, {{"t", "25.4 mm", {}, {}, {}}}});
  p.steps.push_back({"Saw", "at 25.4 mm"});
  p.cautions.push_back("25.4 mm");
  p.figures.push_back({"k", "Least wall", 25.4, "mm", {}, {}, {"wall"}, "wall less 25.4 mm"});
  p.findings.push_back({Severity::note, "c", "p/25.4 mm", "25.4 mm", "use 25.4 mm"});
  tell_in(p, Units::inch);
  EXPECT_EQ(p.name, "50.8 mm");
  EXPECT_EQ(p.shapes[0].label, "layer, 1 in");
  EXPECT_EQ(p.parts[0].material, "foam, 1 in");
  EXPECT_EQ(p.parts[0].sketch.labels[0].text, "1");
  EXPECT_EQ(p.parts[0].sketch.dimensions[0].text, "1 in");
  EXPECT_EQ(p.views[0].caption, "1 in thick");
  EXPECT_EQ(p.sheets[0].views[0].caption, "1 in");
  EXPECT_EQ(p.sheets[0].tables[0].title, "1 in");
  EXPECT_EQ(p.steps[0].text, "at 1 in");
  EXPECT_EQ(p.cautions[0], "1 in");
  EXPECT_EQ(p.figures[0].value, 25.4);
  EXPECT_EQ(p.figures[0].unit, "mm");
  EXPECT_EQ(p.figures[0].how, "wall less 1 in");
  EXPECT_EQ(p.findings[0].path, "p/25.4 mm");
  EXPECT_EQ(p.findings[0].message, "1 in");
  EXPECT_EQ(p.findings[0].remedy, "use 1 in");
}

}  // namespace
}  // namespace kerfkiln::product
