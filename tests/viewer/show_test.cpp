// Figures in words and units.
#include "viewer/state/show.hpp"

#include <gtest/gtest.h>

#include "modeler/job/describe.hpp"
#include "sample.hpp"

namespace kerfkiln::viewer {
namespace {

product::Figure figure(const std::string& key, double value, const std::string& unit) {
  product::Figure f;
  f.key = key, f.value = value, f.unit = unit;
  return f;
}
std::string text(double value, const std::string& unit, Units units) {
  const ShownFigure s = shown(figure("x", value, unit), units);
  return s.number + " " + s.unit;
}

// Factors: NIST Special Publication 811 (2008), appendix B.8.
TEST(Shown, InchesByThePublishedFactors) {
  EXPECT_EQ(text(25.4, "mm", Units::inch), "1.000 in");
  EXPECT_EQ(text(0.45359237, "kg", Units::inch), "1.000 lb");
  EXPECT_EQ(text(0.01638706, "L", Units::inch), "1.000 in³");
  EXPECT_EQ(text(645.16, "mm2", Units::inch), "1.000 in²");
  EXPECT_EQ(text(0.09290304, "m2", Units::inch), "1.000 ft²");
  EXPECT_EQ(text(6.5, "%", Units::inch), "6.500 %");
}

TEST(Shown, AsManyDigitsAsTheBenchCanUse) {
  EXPECT_EQ(text(34.598, "L", Units::mm), "34.60 L");
  EXPECT_EQ(text(284.11, "mm", Units::mm), "284.1 mm");
  EXPECT_EQ(text(303542.1, "mm2", Units::mm), "303\u202f542 mm²");
  EXPECT_EQ(text(2130.4, "mm", Units::mm), "2130 mm");
  EXPECT_EQ(text(12, "", Units::mm), "12 ");
  EXPECT_EQ(text(1.1342, "", Units::mm), "1.134 ");
}

TEST(Leading, TheImportantOnesFirstWhateverTheFamily) {
  product::Product p;
  for (const char* key : {"layer.1.volume", "total.mass", "core.mass", "core.volume"})
    p.figures.push_back(figure(key, 1, "L"));
  const auto lead = leading_figures(p, 2);
  ASSERT_EQ(lead.size(), 2U);
  EXPECT_EQ(lead[0]->key, "core.volume");
  EXPECT_EQ(lead[1]->key, "core.mass");
  product::Product other;
  other.figures = {figure("something.new", 1, "mm")};
  EXPECT_EQ(leading_figures(other, 4).at(0)->key, "something.new");
}

TEST(SpokenPath, SaysThePlaceInTheMakersWords) {
  job::Design d = job::parse(viewer_test::kDesign).design;
  const Field tree = field_tree([&d](Visitor& v) { job::describe(v, d); });
  EXPECT_EQ(spoken_path(tree, "pieces/0/layers/1/thickness"), "seat, Layers 2, Thickness");
  EXPECT_EQ(spoken_path(tree, "nowhere/7"), "nowhere/7");
}

}  // namespace
}  // namespace kerfkiln::viewer
