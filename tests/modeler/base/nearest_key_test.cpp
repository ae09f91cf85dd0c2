#include "modeler/base/nearest_key.hpp"

#include <gtest/gtest.h>

#include <array>

namespace kerfkiln {
namespace {

// Textbook pairs: kitten/sitting 3, saturday/sunday 3 (Wagner and Fischer 1974 and every text since); CA/ABC 3 tells
// optimal string alignment (3) from full Damerau distance (2).
TEST(NearestKey, DistanceOfTextbookPairs) {
  EXPECT_EQ(edit_distance("kitten", "sitting"), 3u);
  EXPECT_EQ(edit_distance("saturday", "sunday"), 3u);
  EXPECT_EQ(edit_distance("CA", "ABC"), 3u);
  EXPECT_EQ(edit_distance("teh", "the"), 1u);
  EXPECT_EQ(edit_distance("", "abc"), 3u);
  EXPECT_EQ(edit_distance("Width", "width"), 0u);
}

TEST(NearestKey, OffersWhatWasMeant) {
  constexpr auto known = std::to_array<std::string_view>({"thickness", "foam", "corner_radius", "width", "wall"});
  EXPECT_EQ(nearest_key("thicknes", known), "thickness");
  EXPECT_EQ(nearest_key("cornerradius", known), "corner_radius");
  EXPECT_EQ(nearest_key("foma", known), "foam");
  EXPECT_EQ(nearest_key("Wall", known), "wall");
  EXPECT_EQ(nearest_key("bananas", known), "");
  EXPECT_EQ(nearest_key("x", known), "");
  EXPECT_EQ(nearest_key(std::string(100000, 'w'), known), "");
}

}  // namespace
}  // namespace kerfkiln
