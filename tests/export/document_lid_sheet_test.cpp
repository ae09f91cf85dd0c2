// The lid sheet of the demo urn through poppler: what stands on it, and that all of it stands on the paper.
#include <gtest/gtest.h>

#include <algorithm>

#include "export/document/document_type.hpp"
#include "export/drawing/cairo_canvas.hpp"
#include "export/drawing/picture.hpp"
#include "tests/export/document_poppler.hpp"

namespace kerfkiln::output {
namespace {

Job demo() {
  const Result<job::Document> document =
      job::read(std::filesystem::path(KERFKILN_SOURCE_DIR) / "demo" / "bittern_urn.json");
  EXPECT_TRUE(document.has_value());
  return evaluate(*document);
}

TEST(LidSheet, SaysWhatTheBenchNeeds) {
  const Job job = demo();
  const product::Product& urn = job.products.at(0);
  const DocumentType* type = document_type("lid-sheet");
  ASSERT_NE(type, nullptr);
  ASSERT_TRUE(type->applies(job, &urn));
  poppler::Folder folder;
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    const Result<std::string> bytes = pdf_bytes(type->compose(job, &urn, {paper}));
    ASSERT_TRUE(bytes.has_value());
    const std::string file = folder.file("lid.pdf");
    poppler::write(file, *bytes);
    const std::string text = poppler::text(file);
    for (const char* words :
         {"Lid of bittern", "Lid on its urn, fired", "Lid at each state", "Cavity (as cast)", "Thrown (or made)",
          "Will the lid fit?", "as designed", "Lid gauge", "Contact of lid and urn"})
      EXPECT_NE(text.find(words), std::string::npos) << words;
    for (const poppler::Words& page : poppler::words(file)) {
      for (const poppler::Word& w : page.words) {
        EXPECT_GE(w.x_min, 0) << w.text;
        EXPECT_LE(w.x_max, page.width) << w.text;
        EXPECT_LE(w.y_max, page.height) << w.text;
      }
      // No two words run over each other.
      for (std::size_t i = 0; i < page.words.size(); ++i)
        for (std::size_t j = i + 1; j < page.words.size(); ++j) {
          const poppler::Word &v = page.words[i], &w = page.words[j];
          const double wide = std::min(v.x_max, w.x_max) - std::max(v.x_min, w.x_min);
          const double high = std::min(v.y_max, w.y_max) - std::max(v.y_min, w.y_min);
          EXPECT_FALSE(wide > 2 && high > 4) << v.text << " and " << w.text;
        }
    }
  }
}

TEST(LidSheet, NoneWithoutALid) {
  Job job = demo();
  job.products[0].sheets.clear();
  EXPECT_FALSE(document_type("lid-sheet")->applies(job, &job.products[0]));
}

// Lid beside urn: the picture taken apart shows both, and is another one than the picture of the whole.
TEST(LidSheet, PictureTakenApart) {
  const Job job = demo();
  const product::Product& urn = job.products.at(0);
  ASSERT_TRUE(has_picture(urn, PictureMode::exploded));
  PictureOptions options;
  options.wide = 160, options.high = 160;
  const Result<Picture> whole = picture(urn, options);
  options.mode = PictureMode::exploded;
  const Result<Picture> apart = picture(urn, options);
  ASSERT_TRUE(whole.has_value() && apart.has_value());
  EXPECT_NE(whole->rgb, apart->rgb);
  EXPECT_EQ(apart->tags.size(), 2u);
}

}  // namespace
}  // namespace kerfkiln::output
