// Files that a design names: found beside it, kept through edits, part of the hash, never looked for elsewhere.
#include "modeler/job/attachments.hpp"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>

namespace kerfkiln::job {
namespace {

namespace fs = std::filesystem;

class Attachments : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = fs::temp_directory_path() / "kerfkiln-attachments";
    fs::remove_all(folder_);
    fs::create_directories(folder_ / "drawings");
    draw(400);
  }
  void TearDown() override { fs::remove_all(folder_); }

  void draw(int width) {
    std::ofstream out(folder_ / "drawings" / "seat.dxf");
    const std::string w = std::to_string(width);
    out << "0\nSECTION\n2\nHEADER\n9\n$"
           "INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n8\n0\n90\n4\n"
           "70\n1\n10\n0\n20\n0\n10\n"
        << w << "\n20\n0\n10\n"
        << w << "\n20\n300\n10\n0\n20\n300\n0\nENDSEC\n0\nEOF\n";
  }
  Document design(const std::string& file) {
    std::ofstream(folder_ / "design.json")
        << R"({ "kerfkiln": 1, "pieces": [ { "name": "a", "kind": "cushion", "given_at": "core", "outline": { "dxf": { "file": ")"
        << file << R"(" } }, "layers": [ { "foam": "soft", "thickness": "40 mm" } ] } ] })";
    const Result<Document> d = read(folder_ / "design.json");
    EXPECT_TRUE(d);
    return d ? *d : Document{};
  }
  static double area(const Document& d) {
    const std::vector<product::Product> p = evaluate(d.design);
    const product::Figure* f = p.at(0).figure("outline.area");
    return f ? f->value : 0;
  }
  static std::string code(const Document& d) {
    const std::vector<product::Product> p = evaluate(d.design);
    return p.at(0).findings.empty() ? "" : p.at(0).findings.at(0).code;
  }
  fs::path folder_;
};

TEST_F(Attachments, ADrawingIsFoundAndKeptThroughEdits) {
  const Document d = design("drawings/seat.dxf");
  EXPECT_NEAR(area(d), 400 * 300, 1e-6);
  fs::remove(folder_ / "drawings" / "seat.dxf");
  const Result<Document> thicker = edited(d, "pieces/0/layers/0/thickness", "\"50 mm\"");
  ASSERT_TRUE(thicker);
  EXPECT_NEAR(area(*thicker), 400 * 300, 1e-6) << "an edit reads nothing again";
  const Result<Document> other = edited(d, "pieces/0/outline/dxf/file", "\"drawings/other.dxf\"");
  ASSERT_TRUE(other);
  EXPECT_EQ(code(*other), "file.unreadable");
}

TEST_F(Attachments, TheHashCoversTheDrawing) {
  const std::string before = hash(design("drawings/seat.dxf").design);
  EXPECT_EQ(hash(design("drawings/seat.dxf").design), before);
  draw(410);
  EXPECT_NE(hash(design("drawings/seat.dxf").design), before);
}

TEST_F(Attachments, NothingOutsideTheFolderIsOpened) {
  EXPECT_EQ(code(design("../kerfkiln-attachments/drawings/seat.dxf")), "file.path");
  EXPECT_EQ(code(design("/dev/zero")), "file.path");
  EXPECT_EQ(code(design("drawings")), "file.unreadable");
  EXPECT_EQ(code(design("drawings/none.dxf")), "file.unreadable");
}

}  // namespace
}  // namespace kerfkiln::job
