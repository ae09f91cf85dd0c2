// The job sheet through poppler, and the layout engine against a canvas that only takes notes.
#include <gtest/gtest.h>

#include <algorithm>

#include "export/document/figure_text.hpp"
#include "export/document/flow.hpp"
#include "export/document/job_sheet.hpp"
#include "tests/export/document_fixture.hpp"
#include "tests/export/document_poppler.hpp"

namespace kerfkiln::output {
namespace {

class Notes final : public Canvas {
 public:
  explicit Notes(PageSize size) : size_(size) {}
  std::vector<std::pair<double, std::string>> texts;
  PageSize size() const override { return size_; }
  void line(Vec2, Vec2, const LineStyle&) override {}
  void path(const plane::Loop&, bool, const LineStyle&) override {}
  void fill(const plane::Outline&, product::Colour, product::Hatch) override {}
  void rectangle(Vec2, double, double, const LineStyle&) override {}
  void fill_rectangle(Vec2, double, double, product::Colour) override {}
  void text(Vec2 at, const std::string& words, const TextStyle&) override { texts.emplace_back(at.y, words); }
  double text_width(const std::string& s, const TextStyle& t) override { return output::text_width(s, t); }
  std::vector<std::string> wrapped(const std::string& s, double w, const TextStyle& t) override {
    return output::wrapped(s, w, t);
  }
  void picture(Vec2, double, double, const std::vector<unsigned char>&, int, int) override {}
  void clip(Vec2, double, double) override {}
  void unclip() override {}

 private:
  PageSize size_;
};

// Tables of all lengths after a block of all heights: titles and heads never end a page, each page of rows has its
// head.
TEST(Flow, NoTitleStandsAlone) {
  for (double before = 0; before < 240; before += 7) {
    for (const int rows : {1, 2, 3, 30, 90}) {
      Flow flow(page_size(Paper::a4), 18, 12, 30, 14);
      if (before > 0) flow.block(before, [](Canvas&, Vec2) {});
      product::Table t{"table", "The title", {"head", "value"}, {false, true}, {}};
      for (int i = 0; i < rows; ++i) t.rows.push_back({"row " + std::to_string(i), std::to_string(i)});
      flow.table(t);
      int seen = 0;
      for (const Page& page : flow.pages([](Canvas&, int, int) {})) {
        Notes notes(page.size);
        page.draw(notes);
        if (notes.texts.empty()) continue;
        EXPECT_NE(notes.texts.back().second, "The title");
        EXPECT_NE(notes.texts.back().second, "value") << before << " " << rows;
        EXPECT_TRUE(notes.texts[0].second == "The title" || notes.texts[0].second == "The title (continued)");
        EXPECT_EQ(notes.texts[1].second, "head");
        int on_page = 0;
        for (const auto& [y, words] : notes.texts) {
          EXPECT_LE(y, 297 - 14);
          on_page += words.rfind("row ", 0) == 0;
        }
        if (seen == 0) {
          EXPECT_GE(on_page, std::min(2, rows));
        }
        seen += on_page;
      }
      EXPECT_EQ(seen, rows);
    }
  }
}

// Narrow spaces between thousands as plain ones, which is how some readers hand them on.
std::string spaced(std::string s) {
  const std::string narrow = "\u202f";
  for (std::size_t at = s.find(narrow); at != std::string::npos; at = s.find(narrow)) s.replace(at, narrow.size(), " ");
  return s;
}

class JobSheet : public testing::TestWithParam<Paper> {};

TEST_P(JobSheet, SaysEverything) {
  const poppler::Folder folder;
  const Job job = fixture::job();
  const Result<std::string> bytes = pdf_bytes(job_sheet(job, {GetParam()}));
  ASSERT_TRUE(bytes.has_value());
  const std::string pdf = folder.file("a.pdf");
  poppler::write(pdf, *bytes);
  const std::string all = spaced(poppler::text(pdf));
  const auto says = [&](const std::string& words) { EXPECT_NE(all.find(words), std::string::npos) << words; };
  for (const product::Product& p : job.products) {
    says(p.name);
    for (const product::Figure& f : p.figures) {
      says(f.key);
      says(f.label);
      says(spaced(figure_text(f, job::Units::mm).value));
    }
    for (const product::Table& t : p.tables) says(t.title);
    for (const product::View& v : p.views) says(v.caption);
    for (const product::Step& s : p.steps) says(s.title);
    for (const Finding& f : p.findings) says(f.code);
  }
  for (const product::Figure& f : job.totals) says(f.key);
  says("Solvent adhesives");
  says("Local codes");
  says("WARNING");
  says("Choose stock of 52 mm or more.");
  says("0.86 to 1.05");
  const int pages = poppler::page_count(pdf);
  for (int page = 1; page <= pages; ++page) {
    const std::string text = poppler::text(pdf, page);
    for (const std::string& words :
         {std::string("Test block and vessel"), std::string("TB-001"), std::string("2031-04-02"),
          std::string("0123456789abcdef"), std::to_string(page) + " of " + std::to_string(pages)})
      EXPECT_NE(text.find(words), std::string::npos) << words << " on page " << page;
  }
}
INSTANTIATE_TEST_SUITE_P(Papers, JobSheet, testing::Values(Paper::a4, Paper::letter));

// Of several pieces every caution stands once, with those that it concerns.
TEST(JobSheetLayout, CautionsStandOnce) {
  const poppler::Folder folder;
  Job job = fixture::job();
  ASSERT_GE(job.products.size(), 2U);
  job.products.resize(2);
  job.products[0].name = "first";
  job.products[1].name = "second";
  job.products[0].cautions = {"Mind the blade.", "Mind the dust."};
  job.products[1].cautions = {"Mind the dust."};
  const std::string pdf = folder.file("a.pdf");
  poppler::write(pdf, *pdf_bytes(job_sheet(job, {})));
  const std::string all = spaced(poppler::text(pdf));
  const auto times = [&](const std::string& words) {
    int n = 0;
    for (std::size_t at = all.find(words); at != std::string::npos; at = all.find(words, at + 1)) ++n;
    return n;
  };
  EXPECT_EQ(times("Mind the blade."), 1);
  EXPECT_EQ(times("Mind the dust."), 1);
  EXPECT_EQ(times("Mind the blade. (Concerns first.)"), 1);
  EXPECT_EQ(times("Mind the dust. (Every piece.)"), 1);
  EXPECT_EQ(times("Local codes"), 1);
}

// No word leaves its page or runs into the binder's margin, whatever the names.
TEST(JobSheetLayout, LongWordsStayOnThePage) {
  const poppler::Folder folder;
  Job job = fixture::job();
  job.info.title = std::string(60, 'W') + " a title that goes on and on until it must break " + std::string(90, 'M');
  job.info.order.customer = std::string(80, 'm');
  job.products[0].name = std::string(70, 'Q') + " seat";
  job.products[0].tables[0].rows[0][1] = std::string(120, 'x');
  job.products[0].steps[0].title = std::string(120, 'S');
  job.products[0].figures[0].label = std::string(100, 'L');
  job.products[0].findings[0].message = std::string(200, 'F');
  const std::string pdf = folder.file("a.pdf");
  poppler::write(pdf, *pdf_bytes(job_sheet(job, {})));
  const double pt = 72 / 25.4;
  for (const poppler::Words& page : poppler::words(pdf))
    for (const poppler::Word& w : page.words) {
      EXPECT_GE(w.x_min, 17 * pt) << w.text;
      EXPECT_LE(w.x_max, page.width - 11 * pt) << w.text;
      EXPECT_GE(w.y_min, 8 * pt) << w.text;
      EXPECT_LE(w.y_max, page.height - 5 * pt) << w.text;
    }
}

// Capitals of the main numbers: about 1/200 of the reading distance of a metre (ISO 9241-303 asks 20 to 22 minutes of
// arc; 1 m * tan(20') = 5.8 mm for a comfortable line, 16' = 4.7 mm at least; from memory).
TEST(JobSheetLayout, MainNumbersAreReadFromAMetre) {
  const poppler::Folder folder;
  const std::string pdf = folder.file("a.pdf");
  poppler::write(pdf, *pdf_bytes(job_sheet(fixture::job(), {})));
  double tallest = 0;
  for (const poppler::Words& page : poppler::words(pdf))
    for (const poppler::Word& w : page.words)
      if (w.text == "23.89") tallest = std::max(tallest, w.y_max - w.y_min);
  // poppler's boxes run from descent to ascent, 1.164 em of DejaVu Sans; its capitals are 0.729 em.
  EXPECT_GE(tallest / 1.164 * 0.729 / (72 / 25.4), 4.7);
}

TEST(JobSheetLayout, TwoRunsAreIdentical) {
  EXPECT_EQ(*pdf_bytes(job_sheet(fixture::job(), {})), *pdf_bytes(job_sheet(fixture::job(), {})));
}

TEST(FigureText, UnitsAndDigits) {
  const auto text = [](double v, const char* unit, job::Units u = job::Units::mm) {
    std::string s = figure_text({"", "", v, unit, {}, {}, {}, ""}, u).joined();
    if (const std::size_t at = s.find("\u00a0"); at != std::string::npos) s.replace(at, 2, " ");
    return s;
  };
  EXPECT_EQ(text(560, "mm"), "560 mm");
  EXPECT_EQ(text(560.04, "mm"), "560 mm");
  EXPECT_EQ(text(482.6, "mm", job::Units::inch), "19 in");
  EXPECT_EQ(text(645.16 * 12, "mm2", job::Units::inch), "12 in²");
  EXPECT_EQ(text(302400, "mm2"), "302\u202f400 mm²");
  EXPECT_EQ(text(1.2345, "kg"), "1.234 kg");  // half to even: 1.2345 is below the half in binary
  EXPECT_EQ(text(123.456, "L"), "123.5 L");
  EXPECT_EQ(text(12.25, "deg"), "12.2°");
  EXPECT_EQ(text(1.13636, ""), "1.1364");
  EXPECT_EQ(text(-1234567, "mm2"), "-1\u202f234\u202f567 mm²");
  EXPECT_EQ(figure_text({"", "", 1, "kg", 0.9, 1.1, {}, ""}, job::Units::mm).band, "0.9 to 1.1");
}

}  // namespace
}  // namespace kerfkiln::output
