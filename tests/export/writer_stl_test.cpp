// Oracles: admesh and OpenMesh read every file back; volumes are closed forms (regular prisms, Pappus for the torus).
// Layout: the binary STL description (80-byte header, count, 50-byte records).
#include <OpenMesh/Core/IO/MeshIO.hh>
#include <OpenMesh/Core/Mesh/TriMesh_ArrayKernelT.hh>

#include <cstring>

#include "export/writer/stl.hpp"
#include "tests/export/writer_admesh.hpp"
#include "tests/export/writer_meshes.hpp"
#include "tests/export/writer_support.hpp"

namespace kerfkiln::test {
namespace {

solid::Solid checked(solid::Mesh m, int components = 1) {
  solid::CheckOptions options;
  options.components = components;
  Result<solid::Solid> s = solid::Solid::checked(std::move(m), options);
  EXPECT_TRUE(s) << (s ? "" : s.findings()[0].message);
  return std::move(s).value();
}

struct Record {
  float normal[3], corner[3][3];
};
Record record(const std::string& bytes, std::size_t i) {
  Record r;
  std::memcpy(&r, bytes.data() + 84 + 50 * i, 48);
  return r;
}

class StlFile : public ::testing::Test {
 protected:
  std::string write(const solid::Solid& s, const std::string& name) {
    const Findings failed = output::write_stl(s, name, path);
    EXPECT_TRUE(failed.empty()) << failed[0].message;
    return read_file(path);
  }
  TempFolder t;
  fs::path path = t.path / "a.stl";
};

TEST_F(StlFile, LayoutAndHeader) {
  const solid::Solid s = checked(prism(4, 10, 5));
  const std::string bytes = write(s, "seat core");
  ASSERT_EQ(bytes.size(), 84 + 50 * s.mesh().triangles.size());
  EXPECT_EQ(bytes.substr(0, 8), "kerfkiln");
  EXPECT_NE(bytes.find(" unit mm seat core "), std::string::npos);
  std::uint32_t count = 0;
  std::memcpy(&count, bytes.data() + 80, 4);
  EXPECT_EQ(count, s.mesh().triangles.size());
  for (std::size_t i = 0; i < count; ++i) {
    EXPECT_EQ(bytes[84 + 50 * i + 48], 0);
    EXPECT_EQ(bytes[84 + 50 * i + 49], 0);
    const Record r = record(bytes, i);
    for (int k = 0; k < 3; ++k) {
      const Vec3 p = s.mesh().points[s.mesh().triangles[i][static_cast<std::size_t>(k)]];
      EXPECT_EQ(r.corner[k][0], static_cast<float>(p.x));
      EXPECT_EQ(r.corner[k][1], static_cast<float>(p.y));
      EXPECT_EQ(r.corner[k][2], static_cast<float>(p.z));
    }
  }
}

TEST_F(StlFile, OddNamesKeepTheHeaderAscii) {
  const std::string bytes = write(checked(prism(3, 1, 1)), "ünï\n座 " + std::string(200, 'x'));
  EXPECT_NE(bytes.find("unit mm ?n??? xxx"), std::string::npos);
  for (std::size_t i = 0; i < 80; ++i) EXPECT_TRUE(bytes[i] >= 0x20 && bytes[i] < 0x7F) << i;
}

// A long thin sliver is where a normal in float products goes astray.
TEST_F(StlFile, NormalsAreUnitAndTrueAlsoOnSlivers) {
  const solid::Solid s = checked(torus(8000, 12, 300, 100));  // facets of 0.3 mm by 52 mm
  const std::string bytes = write(s, "sliver");
  double worst = 0;
  for (std::size_t i = 0; i < s.mesh().triangles.size(); ++i) {
    const Record r = record(bytes, i);
    const auto at = [&r](int k) { return Vec3{r.corner[k][0], r.corner[k][1], r.corner[k][2]}; };
    const Vec3 n = unit(cross(at(1) - at(0), at(2) - at(0)));
    worst = std::max(worst, norm(n - Vec3{r.normal[0], r.normal[1], r.normal[2]}));
  }
  EXPECT_LT(worst, 1e-5);
}

TEST_F(StlFile, AdmeshFindsNothingToMend) {
  const double pi = std::numbers::pi;
  const struct {
    solid::Mesh mesh;
    int parts;
    double volume, relative;
  } cases[] = {
      {prism(6, 100, 40), 1, prism_volume(6, 100, 40), 1e-6},
      {prism(397, 300, 120, {1000, -2000, 30}), 1, prism_volume(397, 300, 120), 1e-5},
      // Chords stay inside: the volume falls short by up to 2/3 (pi/n)^2 for each of the two directions.
      {torus(360, 180, 150, 40), 1, 2 * pi * pi * 150 * 1600, 2 * 2.0 / 3 * (pi / 180) * (pi / 180)},
      {joined(prism(50, 10, 10), prism(50, 20, 10, {100, 0, 0})), 2,
       prism_volume(50, 10, 10) + prism_volume(50, 20, 10), 1e-6},
  };
  for (const auto& c : cases) {
    write(checked(c.mesh, c.parts), "case");
    const Admesh a = admesh(path);
    EXPECT_TRUE(a.clean()) << a.text;
    EXPECT_EQ(a.parts, c.parts);
    EXPECT_EQ(a.facets, c.mesh.triangles.size());
    EXPECT_NEAR(a.volume / c.volume, 1, c.relative);
  }
}

TEST_F(StlFile, OpenMeshReadsTheSameSolid) {
  const solid::Solid s = checked(torus(300, 100, 150, 40));
  write(s, "torus");
  OpenMesh::TriMesh_ArrayKernelT<> m;
  ASSERT_TRUE(OpenMesh::IO::read_mesh(m, path.string()));
  EXPECT_EQ(m.n_faces(), s.mesh().triangles.size());
  EXPECT_EQ(m.n_vertices(), s.mesh().points.size());
  double six = 0;
  for (const auto f : m.faces()) {
    Vec3 p[3];
    int k = 0;
    for (const auto v : m.fv_range(f)) p[k++] = {m.point(v)[0], m.point(v)[1], m.point(v)[2]};
    six += dot(p[0], cross(p[1], p[2]));
  }
  EXPECT_NEAR(six / 6 / s.volume(), 1, 1e-6);
}

TEST_F(StlFile, BlockBordersAndSameBytes) {
  // Facet counts of two a cell: below, at and above one and two blocks of 20 971, and with remainders of four.
  const std::pair<std::uint32_t, std::uint32_t> grids[] = {{3, 3}, {4, 4}, {3495, 3}, {1498, 7}, {313, 67}, {419, 50}};
  for (const auto& [around, across] : grids) {
    const solid::Solid s = checked(torus(around, across, 300, 100));
    const std::string once = write(s, "b");
    EXPECT_EQ(once, write(s, "b"));
    ASSERT_EQ(once.size(), 84 + 100u * around * across);
    for (const std::size_t i : {std::size_t{0}, s.mesh().triangles.size() / 2, s.mesh().triangles.size() - 1}) {
      const Record r = record(once, i);
      EXPECT_EQ(r.corner[2][0], static_cast<float>(s.mesh().points[s.mesh().triangles[i][2]].x));
    }
  }
}

TEST_F(StlFile, MissingFolderIsAFinding) {
  const solid::Solid s = checked(prism(4, 1, 1));
  const Findings f = output::write_stl(s, "x", t.path / "missing" / "a.stl");
  ASSERT_EQ(f.size(), 1u);
  EXPECT_EQ(f[0].code, "file.unwritable");
}

}  // namespace
}  // namespace kerfkiln::test
