// The window's promises without a window.
#include "viewer/state/workspace.hpp"

#include <gtest/gtest.h>

#include "sample.hpp"

namespace kerfkiln::viewer {
namespace {
using viewer_test::get, viewer_test::kDesign, viewer_test::put, viewer_test::TemporaryFolder;

// One figure that follows the design: the sum of the layers' thicknesses, read from the text by the design reader.
output::Job stand_in(const job::Document& d) {
  output::Job job;
  for (const job::Piece& piece : d.design.pieces) {
    product::Product p;
    double sum = 0;
    for (const cushion::LayerSpec& l : std::get<cushion::Spec>(piece).layers) sum += l.thickness.value;
    product::Figure f;
    f.key = "height", f.value = sum, f.unit = "mm";
    p.figures.push_back(f);
    job.products.push_back(p);
  }
  job.findings = d.findings;
  return job;
}

Workspace workspace() {
  return Workspace(Editor::of_text(kDesign), &stand_in, [] {});
}
double height(Workspace& s) {
  s.wait();
  return s.product()->figure("height")->value;
}
const Field& field(Workspace& s, const std::string& path) {
  static std::shared_ptr<const Field> tree;
  tree = s.fields();
  return *find_field(*tree, path);
}
const std::string kFirst = "pieces/0/layers/0/thickness";

TEST(Workspace, AnEditReachesTheFigures) {
  Workspace s = workspace();
  EXPECT_EQ(height(s), 80);
  s.set_typed(field(s, kFirst), "7 cm");
  EXPECT_EQ(height(s), 100);
  s.undo();
  EXPECT_EQ(height(s), 80);
  s.redo();
  EXPECT_EQ(height(s), 100);
}

TEST(Workspace, WhatIsNoValueStaysBesideItsField) {
  Workspace s = workspace();
  s.set_typed(field(s, kFirst), "thick");
  EXPECT_EQ(s.editor().document()->text, kDesign);
  ASSERT_EQ(s.findings_at(kFirst).size(), 1U);
  EXPECT_EQ(s.worst_below("pieces/0/layers"), Severity::error);
  s.set_typed(field(s, kFirst), "50 mm");  // as it stands: nothing to do, nothing to complain about
  EXPECT_TRUE(s.findings_at(kFirst).empty());
}

TEST(Workspace, OutOfRangeIsAFindingAtTheField) {
  Workspace s = workspace();
  s.set_typed(field(s, kFirst), "-5 mm");
  s.wait();
  ASSERT_FALSE(s.findings_at(kFirst).empty());
  EXPECT_EQ(s.findings_at(kFirst)[0].path, kFirst);
  EXPECT_FALSE(s.can_pack());
}

TEST(Workspace, ElementsAreRepeatedAndTakenOutInOneStep) {
  Workspace s = workspace();
  s.duplicate_element("pieces/0/layers", 0);
  EXPECT_EQ(height(s), 130);
  EXPECT_EQ(field(s, "pieces/0/layers/1/foam").written, "firm");
  EXPECT_EQ(field(s, "pieces/0/layers/2/foam").written, "soft");
  EXPECT_NE(s.editor().document()->text.find("// under"), std::string::npos);
  s.undo();
  EXPECT_EQ(s.editor().document()->text, kDesign);
  s.remove_element("pieces/0/layers", 1);
  EXPECT_EQ(height(s), 50);
}

TEST(Workspace, AnEmptiedBoxGivesTheDefaultBack) {
  Workspace s = workspace();
  s.set_typed(field(s, "pieces/0/outline/rectangle/corner_radius"), "");
  EXPECT_EQ(s.editor().document()->text.find("corner_radius"), std::string::npos);
  s.set_typed(field(s, kFirst), "");  // required: cannot be empty
  EXPECT_FALSE(s.findings_at(kFirst).empty());
}

TEST(Workspace, ASliderDragIsOneStepAndTheNewestFigure) {
  Workspace s = workspace();
  const Editor::Gesture g = s.new_gesture();
  for (double mm = 51; mm <= 70; ++mm) {
    s.poll();  // frames go on meanwhile
    s.set_value(field(s, kFirst), mm, g);
  }
  EXPECT_EQ(height(s), 100);
  EXPECT_EQ(s.snapshot()->revision, s.editor().revision());
  s.undo();
  EXPECT_EQ(s.editor().document()->text, kDesign);
}

TEST(Workspace, OpensSavesAndSaysSo) {
  const TemporaryFolder folder;
  const auto file = folder.path / "bench.json";
  put(file, kDesign);
  Workspace s = workspace();
  EXPECT_FALSE(s.open(folder.path / "missing.json"));
  EXPECT_TRUE(s.notice.trouble);
  ASSERT_TRUE(s.open(file));
  s.set_typed(field(s, kFirst), "64 mm");
  ASSERT_TRUE(s.save());
  EXPECT_FALSE(s.notice.trouble);
  EXPECT_NE(get(file).find("64 mm"), std::string::npos);
  EXPECT_EQ(height(s), 94);
  EXPECT_EQ(s.proposed_packet_folder(), folder.path / "bench-packet");
  put(file, "{}");
  s.set_typed(field(s, kFirst), "65 mm");
  EXPECT_FALSE(s.save());
  EXPECT_TRUE(s.overwrite_asked);
  EXPECT_EQ(get(file), "{}");
}

TEST(Workspace, ABrokenFileIsShownWithItsFindings) {
  Workspace s(Editor::of_text("{ \"kerfkiln\": 1,"), &stand_in, [] {});
  s.wait();
  EXPECT_EQ(s.piece_count(), 0U);
  EXPECT_EQ(s.product(), nullptr);
  EXPECT_TRUE(has_errors(s.snapshot()->findings));
  s.fields();
}

}  // namespace
}  // namespace kerfkiln::viewer
