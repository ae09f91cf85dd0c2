// The editor's promises: undo gives back the very text, comments outlive edits, a saved file holds what was typed.
#include "viewer/state/editor.hpp"

#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <random>

#include "sample.hpp"

namespace kerfkiln::viewer {
namespace {
using viewer_test::get, viewer_test::kDesign, viewer_test::put, viewer_test::TemporaryFolder;

const std::string kThickness = "pieces/0/layers/0/thickness";

std::string applied(const std::string& text, const Splice& s) {
  EXPECT_EQ(text.substr(s.at, s.removed.size()), s.removed);
  return text.substr(0, s.at) + s.inserted + text.substr(s.at + s.removed.size());
}

// Property: applying the difference of two texts to the first gives the second; the shared ends are left out.
TEST(Splice, LeadsFromOneTextToTheOther) {
  std::mt19937 random(20310402);
  const char* letters[] = {"a", "b", "ä", "°", "€", "\n"};
  for (int i = 0; i < 2000; ++i) {
    std::string from, to;
    for (auto* s : {&from, &to})
      for (unsigned n = random() % 8; n > 0; --n) *s += letters[random() % 6];
    const Splice s = difference(from, to);
    ASSERT_EQ(applied(from, s), to) << from << " -> " << to;
    if (from == to) {
      ASSERT_TRUE(s.removed.empty() && s.inserted.empty());
    }
    // Never half a character: the first byte of what goes or comes is no continuation byte (RFC 3629, section 3).
    for (const std::string& part : {s.removed, s.inserted})
      if (!part.empty()) {
        ASSERT_NE(static_cast<unsigned char>(part[0]) & 0xC0U, 0x80U);
      }
  }
}

TEST(Editor, UndoGivesBackTheVeryTextAndRedoTheEdit) {
  Editor e = Editor::of_text(kDesign);
  const std::uint64_t first = e.revision();
  ASSERT_TRUE(e.set(kThickness, "\"60 mm\""));
  ASSERT_TRUE(e.set("pieces/0/outline/rectangle/width", "420"));
  const std::string edited = e.document()->text;
  EXPECT_NE(edited, kDesign);
  e.undo();
  e.undo();
  EXPECT_EQ(e.document()->text, kDesign);
  EXPECT_FALSE(e.can_undo());
  e.redo();
  e.redo();
  EXPECT_EQ(e.document()->text, edited);
  EXPECT_FALSE(e.can_redo());
  EXPECT_EQ(e.revision(), first + 6);
}

TEST(Editor, AnEditAfterUndoForgetsWhatCouldBeRedone) {
  Editor e = Editor::of_text(kDesign);
  ASSERT_TRUE(e.set(kThickness, "\"60 mm\""));
  e.undo();
  ASSERT_TRUE(e.set(kThickness, "\"70 mm\""));
  EXPECT_FALSE(e.can_redo());
  EXPECT_NE(e.document()->text.find("70 mm"), std::string::npos);
}

TEST(Editor, CommentsAndSpellingOutliveEdits) {
  Editor e = Editor::of_text(kDesign);
  ASSERT_TRUE(e.set(kThickness, "\"55 mm\""));
  std::string expected = kDesign;
  expected.replace(expected.find("50 mm"), 5, "55 mm");
  EXPECT_EQ(e.document()->text, expected);
}

TEST(Editor, ADragIsOneStep) {
  Editor e = Editor::of_text(kDesign);
  for (int mm = 51; mm <= 90; ++mm) ASSERT_TRUE(e.set(kThickness, "\"" + std::to_string(mm) + " mm\"", 7));
  EXPECT_NE(e.document()->text.find("90 mm"), std::string::npos);
  e.undo();
  EXPECT_EQ(e.document()->text, kDesign);
  EXPECT_FALSE(e.can_undo());
  e.redo();
  EXPECT_NE(e.document()->text.find("90 mm"), std::string::npos);
}

TEST(Editor, TwoDragsAreTwoSteps) {
  Editor e = Editor::of_text(kDesign);
  ASSERT_TRUE(e.set(kThickness, "\"60 mm\"", 1));
  ASSERT_TRUE(e.set(kThickness, "\"70 mm\"", 2));
  e.undo();
  EXPECT_NE(e.document()->text.find("60 mm"), std::string::npos);
  EXPECT_TRUE(e.can_undo());
}

TEST(Editor, ADragBackToTheStartIsNoStep) {
  Editor e = Editor::of_text(kDesign);
  ASSERT_TRUE(e.set(kThickness, "\"60 mm\"", 3));
  ASSERT_TRUE(e.set(kThickness, "\"50 mm\"", 3));
  EXPECT_FALSE(e.can_undo());
  EXPECT_EQ(e.document()->text, kDesign);
  // The same drag goes on: still one step, from the same start.
  ASSERT_TRUE(e.set(kThickness, "\"80 mm\"", 3));
  e.undo();
  EXPECT_EQ(e.document()->text, kDesign);
}

TEST(Editor, ADragIsNotContinuedAfterUndo) {
  Editor e = Editor::of_text(kDesign);
  ASSERT_TRUE(e.set(kThickness, "\"60 mm\"", 4));
  e.undo();
  ASSERT_TRUE(e.set(kThickness, "\"70 mm\"", 4));
  e.undo();
  EXPECT_EQ(e.document()->text, kDesign);
}

TEST(Editor, AWrongValueIsAFindingAndCanBeUndone) {
  Editor e = Editor::of_text(kDesign);
  ASSERT_TRUE(e.set(kThickness, "\"50 kg\""));
  EXPECT_TRUE(has_errors(e.document()->findings));
  e.undo();
  EXPECT_FALSE(has_errors(e.document()->findings));
}

TEST(Editor, NoPlaceNoEdit) {
  Editor e = Editor::of_text(kDesign);
  EXPECT_FALSE(e.set("pieces/9/wall", "6"));
  EXPECT_FALSE(e.set(kThickness, "{ broken"));
  EXPECT_EQ(e.document()->text, kDesign);
  EXPECT_FALSE(e.can_undo());
}

TEST(Editor, UndoWithoutLimitReturnsToTheStart) {
  Editor e = Editor::of_text(kDesign);
  for (int i = 0; i < 1000; ++i) ASSERT_TRUE(e.set(kThickness, "\"" + std::to_string(10 + i) + " mm\""));
  int steps = 0;
  while (e.can_undo()) e.undo(), ++steps;
  EXPECT_EQ(steps, 1000);
  EXPECT_EQ(e.document()->text, kDesign);
}

TEST(EditorFile, SavedFileHoldsTheValueAndDirtyFollows) {
  const TemporaryFolder folder;
  const auto file = folder.path / "bench.json";
  put(file, kDesign);
  Result<Editor> e = Editor::of_file(file);
  ASSERT_TRUE(e);
  EXPECT_FALSE(e->dirty());
  ASSERT_TRUE(e->set(kThickness, "\"65 mm\""));
  EXPECT_TRUE(e->dirty());
  EXPECT_FALSE(e->save());
  EXPECT_FALSE(e->dirty());
  EXPECT_EQ(get(file), e->document()->text);
  const Result<Editor> again = Editor::of_file(file);
  ASSERT_TRUE(again);
  EXPECT_NE(again->document()->text.find("65 mm"), std::string::npos);
  // Undo past the save makes it dirty again, redo clean.
  e->undo();
  EXPECT_TRUE(e->dirty());
  e->redo();
  EXPECT_FALSE(e->dirty());
}

TEST(EditorFile, ADragThatGoesOnAfterSavingIsItsOwnStep) {
  const TemporaryFolder folder;
  const auto file = folder.path / "bench.json";
  put(file, kDesign);
  Result<Editor> e = Editor::of_file(file);
  ASSERT_TRUE(e->set(kThickness, "\"60 mm\"", 5));
  ASSERT_FALSE(e->save());
  ASSERT_TRUE(e->set(kThickness, "\"70 mm\"", 5));
  e->undo();
  EXPECT_FALSE(e->dirty());
}

TEST(EditorFile, WhatSomeoneElseWroteIsNotOverwrittenUnasked) {
  const TemporaryFolder folder;
  const auto file = folder.path / "bench.json";
  put(file, kDesign);
  Result<Editor> e = Editor::of_file(file);
  ASSERT_TRUE(e->set(kThickness, "\"65 mm\""));
  put(file, kDesign + "\n");
  const auto trouble = e->save();
  ASSERT_TRUE(trouble);
  EXPECT_EQ(trouble->code, "file.changed_outside");
  EXPECT_EQ(get(file), kDesign + "\n");
  EXPECT_FALSE(e->save(true));
  EXPECT_EQ(get(file), e->document()->text);
}

TEST(EditorFile, TroubleIsNamedAndLeavesNothingBehind) {
  EXPECT_FALSE(Editor::of_file("/nonexistent/bench.json"));
  Editor e = Editor::of_text(kDesign);
  ASSERT_TRUE(e.save());
  EXPECT_EQ(e.save()->code, "file.no_name");
  const TemporaryFolder folder;
  const auto trouble = e.save_as(folder.path / "missing" / "bench.json");
  ASSERT_TRUE(trouble);
  EXPECT_EQ(trouble->code, "file.unwritable");
  EXPECT_TRUE(std::filesystem::is_empty(folder.path));
  EXPECT_TRUE(e.path().empty());
  EXPECT_FALSE(e.save_as(folder.path / "bench.json"));
  EXPECT_EQ(get(folder.path / "bench.json"), kDesign);
  EXPECT_FALSE(e.dirty());
}

}  // namespace
}  // namespace kerfkiln::viewer
