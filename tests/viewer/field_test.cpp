// From the parameter table to a control and back to JSON text, in the unit the maker writes.
#include "viewer/state/field.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "modeler/job/describe.hpp"
#include "sample.hpp"

namespace kerfkiln::viewer {
namespace {

Field tree_of(const std::string& text) {
  job::Design d = job::parse(text).design;
  return field_tree([&d](Visitor& v) { job::describe(v, d); });
}
Field length(const std::string& written) {
  Field f;
  f.kind = Field::Kind::quantity;
  f.dimension = Dimension::length;
  f.path = "wall";
  f.written = written;
  return f;
}

TEST(FieldTree, HoldsEveryWrittenFieldAtItsPath) {
  const Field tree = tree_of(viewer_test::kDesign);
  const Field* width = find_field(tree, "pieces/0/outline/rectangle/width");
  ASSERT_TRUE(width);
  EXPECT_EQ(width->kind, Field::Kind::quantity);
  EXPECT_EQ(width->value, 400);
  const Field* depth = find_field(tree, "pieces/0/outline/rectangle/depth");
  ASSERT_TRUE(depth);
  EXPECT_EQ(depth->written, "30 cm");
  EXPECT_DOUBLE_EQ(depth->value, 300);
  const Field* radius = find_field(tree, "pieces/0/outline/rectangle/corner_radius");
  ASSERT_TRUE(radius);
  EXPECT_DOUBLE_EQ(radius->value, 38.1);  // 1.5 in of 25.4 mm (international inch, exact)
  EXPECT_TRUE(find_field(tree, "pieces/0/layers/1/thickness"));
  EXPECT_TRUE(find_field(tree, "pieces/0/edges/top/other/round"));
  EXPECT_FALSE(find_field(tree, "pieces/0/layers/2"));
}

TEST(FieldTree, EveryLeafSaysWhatItIs) {
  const std::function<void(const Field&)> look = [&](const Field& f) {
    for (const Field& c : f.children) {
      EXPECT_FALSE(c.label.empty()) << c.path;
      if (!c.is_group()) {
        EXPECT_FALSE(c.help.empty()) << c.path;
      }
      look(c);
    }
  };
  look(tree_of(viewer_test::kDesign));
}

// Each offered form is a piece of JSON that the reader accepts in its place, judged by an independent JSON reader
// first.
TEST(FieldTree, FreshFormsCanBeRead) {
  const job::Document document = job::parse(viewer_test::kDesign);
  const Field tree = tree_of(viewer_test::kDesign);
  int tried = 0;
  for (const char* path : {"pieces/0/outline", "pieces/0/edges/top/other"}) {
    const Field* f = find_field(tree, path);
    ASSERT_TRUE(f);
    ASSERT_EQ(f->choices.size(), f->fresh.size());
    for (std::size_t i = 0; i < f->fresh.size(); ++i) {
      const std::string& id = f->choices[i].first;
      if (id == "frame" || id == "dxf") continue;  // measures and files are nobody's to invent
      ASSERT_TRUE(nlohmann::json::accept(f->fresh[i])) << f->fresh[i];
      const Result<job::Document> next = job::edited(document, path, f->fresh[i]);
      ASSERT_TRUE(next) << f->fresh[i];
      for (const Finding& x : next->findings)
        EXPECT_NE(x.severity, Severity::error) << id << ": " << x.path << " " << x.message << " in " << f->fresh[i];
      ++tried;
    }
  }
  EXPECT_GE(tried, 7);
}

TEST(JsonForValue, KeepsTheFormItWasWrittenIn) {
  EXPECT_EQ(json_for_value(length("400"), 412.5, Units::mm), "412.5");
  EXPECT_EQ(json_for_value(length("16"), 254, Units::inch), "10");
  EXPECT_EQ(json_for_value(length("50 mm"), 60, Units::mm), "\"60 mm\"");
  EXPECT_EQ(json_for_value(length("5 cm"), 64, Units::mm), "\"6.4 cm\"");
  EXPECT_EQ(json_for_value(length("1 1/2 in"), 25.4 * 1.625, Units::mm), "\"1 5/8 in\"");
  EXPECT_EQ(json_for_value(length("3/4 in"), 25.4 * 2, Units::mm), "\"2 in\"");
  EXPECT_EQ(json_for_value(length("1 1/2 in"), 25.4 / 4, Units::mm), "\"1/4 in\"");
  EXPECT_EQ(json_for_value(length(""), 6, Units::mm), "\"6 mm\"");
  EXPECT_EQ(json_for_value(length(""), 12.7, Units::inch), "\"0.5 in\"");
  Field share = length("6 %");
  share.dimension = Dimension::ratio;
  EXPECT_EQ(json_for_value(share, 0.085, Units::mm), "\"8.5 %\"");
}

TEST(JsonForTyped, TakesUnitsAndFractions) {
  EXPECT_EQ(*json_for_typed(length("50 mm"), " 4 cm ", Units::mm), "\"4 cm\"");
  EXPECT_EQ(*json_for_typed(length("50 mm"), "1 1/2 in", Units::mm), "\"1 1/2 in\"");
  EXPECT_EQ(*json_for_typed(length("50 mm"), "60", Units::mm), "\"60 mm\"");  // in the unit of the box
  EXPECT_EQ(*json_for_typed(length("400"), "410", Units::mm), "410");
  EXPECT_EQ(*json_for_typed(length(""), "12", Units::mm), "12");
  EXPECT_FALSE(json_for_typed(length("50 mm"), "5 kg", Units::mm));
  EXPECT_FALSE(json_for_typed(length("50 mm"), "thick", Units::mm));
  EXPECT_FALSE(json_for_typed(length("50 mm"), "", Units::mm));
  EXPECT_EQ(json_for_typed(length("50 mm"), "thick", Units::mm).findings().front().path, "wall");
  Field count;
  count.kind = Field::Kind::integer;
  EXPECT_EQ(*json_for_typed(count, "4", Units::mm), "4");
  EXPECT_FALSE(json_for_typed(count, "4.5", Units::mm));
}

TEST(TypedValue, IsCanonical) {
  EXPECT_DOUBLE_EQ(*typed_value(length("50 mm"), "1 1/2 in", Units::mm), 38.1);
  EXPECT_DOUBLE_EQ(*typed_value(length("10"), "10", Units::inch), 254);
  EXPECT_FALSE(typed_value(length("10"), "ten", Units::mm));
}

TEST(JsonString, IsReadBackByAnIndependentReader) {
  const std::string nasty = "a\"b\\c\n\t\x01 é €";
  EXPECT_EQ(nlohmann::json::parse(json_string(nasty)).get<std::string>(), nasty);
}

TEST(Slide, RunsOverTheUsualRangeAndHoldsTheValue) {
  Field f = length("50 mm");
  f.typical = {15, 80};
  f.value = 50;
  const auto s = slide_of(f, Units::mm);
  ASSERT_TRUE(s);
  EXPECT_EQ(s->low, 15);
  EXPECT_EQ(s->high, 80);
  EXPECT_DOUBLE_EQ(snapped(*s, 50.4), 50);
  f.value = 120;
  EXPECT_EQ(slide_of(f, Units::mm)->high, 120);
  f.typical = {};
  f.range = {0.1, 10000};  // five decades are no slider
  EXPECT_FALSE(slide_of(f, Units::mm));
  Field inch = length("2 in");
  inch.typical = {10, 100};
  inch.value = 50.8;
  EXPECT_DOUBLE_EQ(slide_of(inch, Units::mm)->step, 25.4 / 16);
}

}  // namespace
}  // namespace kerfkiln::viewer
