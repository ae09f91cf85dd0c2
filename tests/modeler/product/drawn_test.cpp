// Lists drawn when they are looked at: drawn once for all copies and threads, never for nothing.
#include "modeler/product/drawn.hpp"

#include <gtest/gtest.h>

#include <atomic>
#include <string>
#include <thread>

namespace kerfkiln::product {
namespace {

using Words = Drawn<std::string>;

TEST(Drawn, OnceForAllCopiesAndThreads) {
  std::atomic<int> drawings = 0;
  const Words words(Words::Draw([&] {
    ++drawings;
    return std::vector<std::string>{"one", "two"};
  }));
  const Words copy = words;
  EXPECT_FALSE(copy.empty());
  EXPECT_EQ(drawings, 0);
  {
    std::vector<std::jthread> threads;
    for (int i = 0; i < 8; ++i)
      threads.emplace_back([&words, &copy, i] { EXPECT_EQ((i % 2 ? words : copy)[1], "two"); });
  }
  EXPECT_EQ(words.size(), 2u);
  EXPECT_EQ(drawings, 1);
}

TEST(Drawn, ChangesLeaveCopiesAsTheyWere) {
  int drawings = 0;
  Words words(Words::Draw([&] {
    ++drawings;
    return std::vector<std::string>{"one"};
  }));
  const Words before = words;
  words.change([](std::string& s) { s += "!"; });
  EXPECT_EQ(drawings, 0);
  words.push_back("two");
  EXPECT_EQ(words.size(), 2u);
  EXPECT_EQ(words.front(), "one!");
  EXPECT_EQ(before.size(), 1u);
  EXPECT_EQ(before[0], "one");
  EXPECT_EQ(drawings, 1);
}

TEST(Drawn, GivenListsAreThereAtOnce) {
  Words words{"one"};
  const Words before = words;
  words.push_back("two");
  words.push_back("three");
  EXPECT_EQ(words.size(), 3u);
  EXPECT_EQ(before.size(), 1u);
  Words none;
  none.change([](std::string&) { FAIL(); });
  EXPECT_TRUE(none.empty());
  EXPECT_EQ(none.size(), 0u);
}

}  // namespace
}  // namespace kerfkiln::product
