// The worker's promises: the newest request wins, what is superseded never appears, nobody waits for it.
#include "viewer/state/evaluator.hpp"

#include <gtest/gtest.h>

#include <atomic>
#include <chrono>
#include <latch>
#include <stdexcept>

namespace kerfkiln::viewer {
namespace {

solid::Mesh tetrahedron(double size) {
  return {{{0, 0, 0}, {size, 0, 0}, {0, size, 0}, {0, 0, size}}, {{0, 2, 1}, {0, 1, 3}, {0, 3, 2}, {1, 2, 3}}};
}

// A product named after the document's text; an empty text has errors and no shapes.
output::Job stand_in(const job::Document& d) {
  product::Product p;
  p.name = d.text;
  if (d.text.empty()) {
    p.findings.push_back({Severity::error, "test.error", "pieces/0", "cannot be made", "type something"});
  } else {
    for (const char* id : {"whole", "part"}) {
      product::Shape s;
      s.id = id;
      s.whole = s.id == "whole";
      s.mesh = [](double deviation) -> Result<solid::Mesh> { return tetrahedron(deviation); };
      p.shapes.push_back(s);
    }
    product::Shape hidden;
    hidden.id = "cavity";
    hidden.shown = false;
    hidden.mesh = [](double) -> Result<solid::Mesh> { return tetrahedron(9); };
    p.shapes.push_back(hidden);
  }
  output::Job job;
  job.products.push_back(std::move(p));
  return job;
}

std::shared_ptr<const job::Document> document(const std::string& text) {
  auto d = std::make_shared<job::Document>();
  d->text = text;
  return d;
}

std::string name(const Snapshot& s) { return s.job->products.at(0).name; }

TEST(Evaluator, PublishesLiveThenFine) {
  std::atomic<int> publications = 0;
  {
    Evaluator e(&stand_in, {0.25, 0.05, 250, [&] { ++publications; }});
    EXPECT_EQ(e.latest(), nullptr);
    e.submit(1, document("a"), {});
    e.wait_until_finest();
    const auto s = e.latest();
    ASSERT_TRUE(s);
    EXPECT_EQ(name(*s), "a");
    EXPECT_TRUE(s->finest);
    EXPECT_EQ(s->deviation_mm, 0.05);
    ASSERT_EQ(s->pictures.size(), 1U);
    EXPECT_NEAR(s->pictures[0].picture->high.x, 0.05, 1e-12);  // meshed at the fine deviation
    EXPECT_FALSE(e.busy());
  }
  EXPECT_EQ(publications, 2);
}

TEST(Evaluator, TheNewestWinsAndTheSupersededNeverAppears) {
  std::latch begun(1), go(1);
  std::atomic<int> evaluations = 0;
  std::vector<std::string> seen;
  Evaluator* self = nullptr;
  Evaluator::Options options;
  options.follow_ms = -1;
  options.published = [&] { seen.push_back(name(*self->latest())); };
  Evaluator e(
      [&](const job::Document& d) {
        if (++evaluations == 1) begun.count_down(), go.wait();
        return stand_in(d);
      },
      options);
  self = &e;
  e.submit(1, document("first"), {});
  begun.wait();
  // While the first is being evaluated, a hundred more arrive. None of these calls waits for it: it cannot go on yet.
  for (std::uint64_t i = 2; i <= 100; ++i) e.submit(i, document("between"), {});
  e.submit(101, document("last"), {});
  EXPECT_TRUE(e.busy());
  EXPECT_EQ(e.latest(), nullptr);
  go.count_down();
  e.wait_until_finest();
  EXPECT_EQ(evaluations, 2);
  EXPECT_EQ(e.latest()->revision, 101U);
  for (const std::string& s : seen) EXPECT_EQ(s, "last");
}

TEST(Evaluator, ASupersededMeshIsDropped) {
  std::latch meshing(1), go(1);
  std::atomic<int> meshes = 0;
  Evaluator::Options strict;
  strict.follow_ms = -1;
  Evaluator e(
      [&](const job::Document& d) {
        output::Job job = stand_in(d);
        if (d.text == "slow")
          job.products[0].shapes[0].mesh = [&](double deviation) -> Result<solid::Mesh> {
            if (++meshes == 1) meshing.count_down(), go.wait();
            return tetrahedron(deviation);
          };
        return job;
      },
      strict);
  e.submit(1, document("slow"), {});
  meshing.wait();
  e.submit(2, document("next"), {});
  go.count_down();
  e.wait_until_finest();
  EXPECT_EQ(meshes, 1);
  EXPECT_EQ(name(*e.latest()), "next");
}

// Under a drag requests come faster than results: the picture follows all the same, never backwards, and ends newest.
TEST(Evaluator, FollowsADragAStepBehind) {
  std::vector<std::uint64_t> seen;
  std::latch first(1), enough(3);
  std::atomic<int> evaluations = 0;
  Evaluator* self = nullptr;
  std::uint64_t revision = 0;
  Evaluator::Options options;
  options.follow_ms = 60000;
  options.published = [&] { seen.push_back(self->latest()->revision); };
  {
    Evaluator e(
        [&](const job::Document& d) {
          // Each of the first three is superseded while it is being worked out.
          if (++evaluations == 1) first.wait();
          if (evaluations <= 3) self->submit(++revision, document("drag"), {}), enough.count_down();
          return stand_in(d);
        },
        options);
    self = &e;
    e.submit(++revision, document("drag"), {});
    first.count_down();
    enough.wait();
    e.wait_until_finest();
    EXPECT_EQ(e.latest()->revision, 4U);
    EXPECT_TRUE(e.latest()->finest);
  }
  EXPECT_EQ(seen, (std::vector<std::uint64_t>{1, 2, 3, 4, 4}));  // each live, only the last refined
}

TEST(Evaluator, AnotherViewOfTheSameDesignIsNotEvaluatedAgain) {
  std::atomic<int> evaluations = 0;
  Evaluator e([&](const job::Document& d) { return ++evaluations, stand_in(d); }, {});
  e.submit(1, document("a"), {});
  e.wait_until_finest();
  e.submit(1, document("a"), {0, true, {"cavity"}});
  e.wait_until_finest();
  EXPECT_EQ(evaluations, 1);
  const auto s = e.latest();
  ASSERT_EQ(s->pictures.size(), 2U);
  EXPECT_EQ(s->pictures[0].id, "part");
  EXPECT_EQ(s->pictures[1].id, "cavity");
}

TEST(Evaluator, WithErrorsTheLastFormStays) {
  Evaluator e(&stand_in, {});
  e.submit(1, document("a"), {});
  e.wait_until_finest();
  e.submit(2, document(""), {});
  e.wait_until_finest();
  const auto s = e.latest();
  EXPECT_EQ(s->revision, 2U);
  EXPECT_TRUE(s->outdated);
  EXPECT_EQ(s->pictures.size(), 1U);
  ASSERT_EQ(s->findings.size(), 1U);
  EXPECT_EQ(s->findings[0].code, "test.error");
}

TEST(Evaluator, AFaultBecomesAFinding) {
  Evaluator e([](const job::Document&) -> output::Job { throw std::runtime_error("broken"); }, {});
  e.submit(1, document("a"), {});
  e.wait_until_finest();
  ASSERT_EQ(e.latest()->findings.size(), 1U);
  EXPECT_EQ(e.latest()->findings[0].code, "program.fault");
}

TEST(Evaluator, EndsWhileWorkIsPending) {
  for (int i = 0; i < 50; ++i) {
    Evaluator e(&stand_in, {});
    e.submit(1, document("a"), {});
    e.submit(2, document("b"), {});
  }
}

}  // namespace
}  // namespace kerfkiln::viewer
