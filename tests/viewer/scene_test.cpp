// The drawn picture, pixel by pixel, in a context without a display: a sphere's disc has the area pi r^2.
#include "viewer/render/scene.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "viewer/render/headless.hpp"

namespace kerfkiln::viewer {
namespace {

constexpr int kWide = 400, kHigh = 300;
constexpr double kRadius = 50;

std::shared_ptr<const Picture> sphere(double r) {
  const unsigned n = 96, rings = 48;
  solid::Mesh m;
  for (unsigned k = 1; k < rings; ++k)
    for (unsigned i = 0; i < n; ++i) {
      const double t = std::numbers::pi * k / rings, a = 2 * std::numbers::pi * i / n;
      m.points.push_back({r * std::sin(t) * std::cos(a), r * std::sin(t) * std::sin(a), -r * std::cos(t)});
    }
  for (unsigned k = 0; k + 2 < rings; ++k)
    for (unsigned i = 0; i < n; ++i) {
      const unsigned a = k * n + i, b = k * n + (i + 1) % n;
      m.triangles.push_back({a, b, b + n}), m.triangles.push_back({a, b + n, a + n});
    }
  const unsigned low = static_cast<unsigned>(m.points.size()), top = (rings - 2) * n;
  m.points.push_back({0, 0, -r}), m.points.push_back({0, 0, r});
  for (unsigned i = 0; i < n; ++i)
    m.triangles.push_back({low, (i + 1) % n, i}), m.triangles.push_back({low + 1, top + i, top + (i + 1) % n});
  return std::make_shared<const Picture>(picture_of(m));
}

// A green form on a black ground without floor or ink: what is not black is form.
class SceneTest : public testing::Test {
 protected:
  void SetUp() override {
    std::string trouble;
    context = Headless::create(trouble);
    ASSERT_TRUE(context) << trouble;
    scene = Scene::create(trouble);
    ASSERT_TRUE(scene) << trouble;
    look.floor = look.edges = false;
    camera.parallel = true;
    camera.aim(Aim::front);
    camera.fit({-kRadius, -kRadius, -kRadius}, {kRadius, kRadius, kRadius}, static_cast<double>(kWide) / kHigh);
  }
  void TearDown() override { scene.reset(); }

  std::vector<unsigned char> draw(const Cut& cut = {}) {
    scene->texture(kWide, kHigh, camera, cut, look, true);
    return scene->pixels();
  }
  double form_area_mm2(const std::vector<unsigned char>& rgb) const {
    double share = 0;
    for (std::size_t i = 0; i < rgb.size(); i += 3) share += rgb[i + 1] > 25 ? 1 : 0;
    const double mm = camera.height_mm() / kHigh;
    return share * mm * mm;
  }
  static std::array<int, 3> at(const std::vector<unsigned char>& rgb, int x, int y) {
    const std::size_t i = static_cast<std::size_t>(y * kWide + x) * 3;
    return {rgb[i], rgb[i + 1], rgb[i + 2]};
  }

  std::unique_ptr<Headless> context;
  std::unique_ptr<Scene> scene;
  Camera camera;
  SceneLook look;
};

TEST_F(SceneTest, ASphereIsADiscOfItsArea) {
  scene->set_items({{sphere(kRadius), {0, 0.8, 0}, {}}});
  EXPECT_NEAR(form_area_mm2(draw()) / (std::numbers::pi * kRadius * kRadius), 1, 0.01);
}

TEST_F(SceneTest, ACutLeavesHalf) {
  scene->set_items({{sphere(kRadius), {0, 0.8, 0}, {}}});
  const Cut level{true, {0, 0, 1}, 0};
  EXPECT_NEAR(form_area_mm2(draw(level)) / (std::numbers::pi * kRadius * kRadius / 2), 1, 0.015);
}

// Cut through the middle and seen from the front, the whole disc is cut face; a hollow sphere shows a ring of the
// area pi (R^2 - r^2), and the inside of the far half behind it.
TEST_F(SceneTest, TheCutFaceOfAHollowFormIsARing) {
  const auto outer = sphere(kRadius), inner = sphere(kRadius * 0.6);
  auto shell = std::make_shared<Picture>(*outer);
  const auto shift = static_cast<std::uint32_t>(shell->vertices.size());
  for (PictureVertex v : inner->vertices) {
    for (float& x : v.normal) x = -x;
    shell->vertices.push_back(v);
  }
  for (std::size_t i = 0; i < inner->triangles.size(); i += 3)
    for (std::size_t k : {0U, 2U, 1U}) shell->triangles.push_back(shift + inner->triangles[i + k]);
  scene->set_items({{shell, {0, 0.8, 0}, {}}});
  const std::vector<unsigned char> uncut = draw(), cut = draw({true, {0, -1, 0}, 0});
  EXPECT_NEAR(form_area_mm2(cut) / form_area_mm2(uncut), 1, 0.01);
  // Hatched without shading: exactly the colour between the strokes, counted over the ring.
  double plain = 0;
  for (std::size_t i = 0; i < cut.size(); i += 3) plain += std::abs(cut[i + 1] - 204) <= 1 && cut[i] == 0 ? 1 : 0;
  const double mm = camera.height_mm() / kHigh, ring = std::numbers::pi * kRadius * kRadius * (1 - 0.36);
  // Strokes repeat every 9 pixels along x + y and touch 4 of them.
  EXPECT_NEAR(plain * mm * mm / ring, 5.0 / 9.0, 0.02);
  for (int y = kHigh / 2 - 20; y < kHigh / 2 + 20; ++y)
    EXPECT_NE(at(cut, kWide / 2, y)[1], 204);  // the hollow is no cut face
}

TEST_F(SceneTest, DrawsOnlyWhenSomethingChanged) {
  const auto ball = sphere(kRadius);
  scene->set_items({{ball, {0, 0.8, 0}, {}}});
  draw();
  const std::uint64_t before = scene->redraws();
  for (int i = 0; i < 10; ++i) {
    scene->set_items({{ball, {0, 0.8, 0}, {}}});
    draw();
  }
  EXPECT_EQ(scene->redraws(), before);
  camera.orbit(5, 0);
  draw();
  EXPECT_EQ(scene->redraws(), before + 1);
  scene->set_items({{ball, {0, 0.8, 0}, {10, 0, 0}}});
  draw();
  EXPECT_EQ(scene->redraws(), before + 2);
}

TEST_F(SceneTest, SameSceneSamePixels) {
  scene->set_items({{sphere(kRadius), {0, 0.8, 0}, {}}});
  const auto first = draw();
  camera.orbit(5, 0);
  draw();
  camera.orbit(-5, 0);
  EXPECT_EQ(draw(), first);
}

TEST_F(SceneTest, LightComesFromTheUpperLeft) {
  scene->set_items({{sphere(kRadius), {0, 0.8, 0}, {}}});
  const auto rgb = draw();
  const int off = static_cast<int>(kRadius * 0.55 / (camera.height_mm() / kHigh));
  EXPECT_GT(at(rgb, kWide / 2 - off, kHigh / 2 - off)[1], at(rgb, kWide / 2 + off, kHigh / 2 + off)[1] + 20);
}

TEST_F(SceneTest, NothingToShowIsNoFault) {
  scene->set_items({});
  EXPECT_EQ(form_area_mm2(draw()), 0);
}

}  // namespace
}  // namespace kerfkiln::viewer
