#include <gtest/gtest.h>

#include <cmath>

#include "modeler/job/design.hpp"
#include "tests/support/random_design.hpp"

namespace kerfkiln::job {
namespace {

std::string errors_of(const std::vector<product::Product>& products) {
  std::string out;
  for (const product::Product& p : products)
    for (const Finding& f : p.findings)
      if (f.severity == Severity::error) out += f.code + " " + f.path + ": " + f.message + "\n";
  return out;
}

TEST(Evaluate, StartersAreMadeWithoutErrors) {
  for (const char* kind : {"cushion", "urn"}) {
    const Document d = parse(starter(kind));
    const std::vector<product::Product> products = evaluate(d.design);
    ASSERT_EQ(products.size(), 1u);
    EXPECT_EQ(errors_of(products), "");
    EXPECT_EQ(products[0].kind, kind);
    EXPECT_FALSE(products[0].figures.empty());
    EXPECT_FALSE(products[0].shapes.empty());
    EXPECT_FALSE(products[0].parts.empty());
  }
}

TEST(Evaluate, DemosAreMadeWithoutErrors) {
  for (const char* name : {"observatory_chair.json", "bittern_urn.json"}) {
    const Result<Document> d = read(std::string(KERFKILN_SOURCE_DIR "/demo/") + name);
    ASSERT_TRUE(d) << name;
    EXPECT_EQ(errors_of(evaluate(d->design)), "") << name;
  }
}

TEST(Evaluate, RandomDesignsAreMadeWithoutErrors) {
  for (std::uint64_t seed = 0; seed < 12 && !HasFailure(); ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    Design d;
    d.materials = material::built_in();
    d.pieces.emplace_back(test::random_cushion(seed));
    d.pieces.emplace_back(test::random_urn(seed));
    EXPECT_EQ(errors_of(evaluate(d)), "");
  }
}

// A memo changes how long it takes and nothing else: figures and findings after each of several edits.
TEST(Evaluate, AMemoGivesTheSameProducts) {
  const auto same = [](const std::vector<product::Product>& a, const std::vector<product::Product>& b) {
    ASSERT_EQ(a.size(), b.size());
    for (std::size_t i = 0; i < a.size(); ++i) {
      EXPECT_EQ(a[i].name, b[i].name);
      EXPECT_EQ(a[i].findings, b[i].findings);
      ASSERT_EQ(a[i].figures.size(), b[i].figures.size());
      for (std::size_t k = 0; k < a[i].figures.size(); ++k) {
        EXPECT_EQ(a[i].figures[k].key, b[i].figures[k].key);
        const double x = a[i].figures[k].value,
                     y = b[i].figures[k].value;  // a mass is not known where the material says none
        EXPECT_TRUE(x == y || (std::isnan(x) && std::isnan(y))) << a[i].figures[k].key;
      }
    }
  };
  Document d = parse(starter("urn"));
  d.design.pieces.push_back(std::get<cushion::Spec>(parse(starter("cushion")).design.pieces.front()));
  Memo memo;
  same(evaluate(d.design, memo), evaluate(d.design));
  std::get<urn::Spec>(d.design.pieces[0]).wall = 150;  // an error, below a path with the piece's place
  same(evaluate(d.design, memo), evaluate(d.design));
  std::swap(d.design.pieces[0], d.design.pieces[1]);
  same(evaluate(d.design, memo), evaluate(d.design));
  std::get<cushion::Spec>(d.design.pieces[0]).trim = 17;
  same(evaluate(d.design, memo), evaluate(d.design));
  d.design.materials.foams.front().second.density = 91;
  d.design.own.foams = d.design.materials.foams;
  same(evaluate(d.design, memo), evaluate(d.design));
}

TEST(Evaluate, FindingsCarryTheWholePath) {
  Document d = parse(starter("urn"));
  d.design.pieces.push_back(d.design.pieces.front());
  std::get<urn::Spec>(d.design.pieces[1]).wall = 150;  // in range, but no urn has room for it
  const std::vector<product::Product> products = evaluate(d.design);
  ASSERT_FALSE(products[1].findings.empty());
  for (const Finding& f : products[1].findings) EXPECT_TRUE(f.path.starts_with("pieces/1/")) << f.path;
}

TEST(Evaluate, APieceWithGapsIsNamedAndNotBuilt) {
  const Document d = parse(R"({ "kerfkiln": 1, "pieces": [
    { "name": "a", "kind": "urn", "count": 3, "wall": "900 mm", "profile": [ { "height": 0 }, { "height": 90, "half_width": 50 } ] },
    { "name": "b", "kind": "cushion", "outline": { "frame": {} }, "layers": [ { "foam": "soft", "thickness": 20 } ] } ] })");
  const std::vector<product::Product> products = evaluate(d.design);
  ASSERT_EQ(products.size(), 2u);
  ASSERT_EQ(products[0].findings.size(), 1u);
  EXPECT_EQ(products[0].findings[0].code, "piece.incomplete");
  EXPECT_EQ(products[0].findings[0].path, "pieces/0");
  EXPECT_NE(products[0].findings[0].message.find("profile/0/half_width, wall"), std::string::npos)
      << products[0].findings[0].message;
  EXPECT_EQ(products[0].name, "a");
  EXPECT_EQ(products[0].count, 3);
  EXPECT_EQ(products[1].findings[0].code, "piece.incomplete");
}

TEST(Evaluate, TotalsCountEveryPiece) {
  Document d = parse(starter("urn"));
  std::get<urn::Spec>(d.design.pieces[0]).count = 12;
  const auto figure = [](const char* key, double value) {
    product::Figure f;
    f.key = key;
    f.value = value;
    return f;
  };
  product::Product urn, seat;
  urn.figures = {figure("fired.mass", 2.5)};
  seat.figures = {figure("core.mass", 1.0), figure("total.mass", 1.25)};
  seat.count = 2;
  d.design.pieces.push_back(parse(starter("cushion")).design.pieces[0]);
  std::get<cushion::Spec>(d.design.pieces[1]).count = 2;
  const std::vector<product::Figure> all = totals(d.design, {urn, seat});
  ASSERT_EQ(all.size(), 2u);
  EXPECT_EQ(all[0].key, "total.pieces");
  EXPECT_EQ(all[0].value, 14);
  EXPECT_EQ(all[1].key, "total.mass");
  EXPECT_EQ(all[1].value, 12 * 2.5 + 2 * 1.25);
  EXPECT_EQ(all[1].unit, "kg");
  // Where one mass is unknown there is no total: a sum of some would pass for the whole.
  EXPECT_EQ(totals(d.design, {urn, product::Product{}}).size(), 1u);
}

}  // namespace
}  // namespace kerfkiln::job
