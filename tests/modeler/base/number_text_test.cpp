#include "modeler/base/number_text.hpp"

#include <gtest/gtest.h>

#include <clocale>
#include <cmath>
#include <limits>

namespace kerfkiln {
namespace {

TEST(NumberText, FixedDecimalsAreTheValuesOwn) {
  EXPECT_EQ(format_number(2.5, 1), "2.5");
  EXPECT_EQ(format_number(0.125, 2), "0.12");  // exactly half: to even, as IEEE 754 rounds
  EXPECT_EQ(format_number(0.375, 2), "0.38");
  EXPECT_EQ(format_number(-0.0001, 2), "0.00");
  EXPECT_EQ(format_number(-0.006, 2), "-0.01");
  EXPECT_EQ(format_number(1e15, 0), "1000000000000000");
  EXPECT_EQ(format_number(std::numeric_limits<double>::max(), 17).size(), 309u + 1 + 17);
}

TEST(NumberText, ShortestReadsBackToTheSameBits) {
  for (const double x : {0.1, 1.0 / 3, 5e-324, 1.7976931348623157e308, -12.7, 0.0}) {
    const auto back = parse_number(shortest_number(x));
    ASSERT_TRUE(back) << x;
    EXPECT_EQ(*back, x);
  }
  EXPECT_EQ(shortest_number(0.1), "0.1");
}

TEST(NumberText, OnlyWholeFiniteDecimalNumbersAreRead) {
  EXPECT_EQ(parse_number("12"), 12.0);
  EXPECT_EQ(parse_number("-0.5"), -0.5);
  EXPECT_EQ(parse_number("1e3"), 1000.0);
  EXPECT_EQ(parse_number("+3"), 3.0);
  for (const char* bad :
       {"", " 1", "1 ", "1,5", "0x10", "inf", "nan", "1e999", "--1", "+-1", "++1", "1e", "e5", ".", "1.2.3"})
    EXPECT_FALSE(parse_number(bad)) << bad;
}

TEST(NumberText, LocaleChangesNothing) {
  const char* const found = std::setlocale(LC_ALL, "de_DE.UTF-8");  // may be missing: then the test says little
  EXPECT_EQ(format_number(1.5, 1), "1.5");
  EXPECT_EQ(parse_number("1.5"), 1.5);
  if (found != nullptr) std::setlocale(LC_ALL, "C");
}

// Check values of the reference distribution (Fowler, Noll, Vo, Eastlake, draft-eastlake-fnv, appendix C).
TEST(NumberText, Fnv1aMatchesItsPublishedVectors) {
  EXPECT_EQ(fnv1a(""), 0xcbf29ce484222325ULL);
  EXPECT_EQ(fnv1a("a"), 0xaf63dc4c8601ec8cULL);
  EXPECT_EQ(fnv1a("foobar"), 0x85944171f73967e8ULL);
}

}  // namespace
}  // namespace kerfkiln
