#include "export/writer/stl.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <memory>

#ifndef KERFKILN_VERSION
#error "the build states the version"
#endif

namespace kerfkiln::output {
namespace {

constexpr std::size_t kHeaderBytes = 80;
constexpr std::size_t kRecordBytes = 50;
constexpr std::size_t kBatch = 64;  // triangles whose normals are made together, in registers and first-level cache
constexpr std::size_t kBlockTriangles = (1 << 20) / kRecordBytes / kBatch * kBatch;

// Padded to four floats: a corner is then one 16-byte load and store. The fourth is zero and becomes the attribute
// bytes and the start of the next record, which overwrites it.
struct alignas(16) Corner {
  float x, y, z, zero;
};
static_assert(sizeof(Corner) == 16);
static_assert(std::endian::native == std::endian::little, "records are written as they lie in memory");

std::array<char, kHeaderBytes> header(const std::string& name) {
  std::string text = "kerfkiln " KERFKILN_VERSION " unit mm ";
  for (char c : name)
    if ((static_cast<unsigned char>(c) & 0xC0) != 0x80)  // one mark a character, not a byte
      text += c >= 0x20 && c < 0x7F ? c : '?';
  std::array<char, kHeaderBytes> bytes;
  bytes.fill(' ');
  std::copy_n(text.begin(), std::min(text.size(), kHeaderBytes), bytes.begin());
  return bytes;
}

void pack(const Corner* corners, const solid::Triangle* triangles, std::size_t count, char* out) {
  std::array<double, kBatch> nx, ny, nz;
  // In double: on a sliver the products cancel, and a float normal would point visibly elsewhere.
  for (std::size_t i = 0; i < count; ++i) {
    const Corner &a = corners[triangles[i][0]], &b = corners[triangles[i][1]], &c = corners[triangles[i][2]];
    const double ux = double(b.x) - a.x, uy = double(b.y) - a.y, uz = double(b.z) - a.z;
    const double wx = double(c.x) - a.x, wy = double(c.y) - a.y, wz = double(c.z) - a.z;
    nx[i] = uy * wz - uz * wy;
    ny[i] = uz * wx - ux * wz;
    nz[i] = ux * wy - uy * wx;
  }
  std::array<Corner, kBatch> normals;
  for (std::size_t i = 0; i < count; ++i) {
    const double scale = 1 / std::sqrt(nx[i] * nx[i] + ny[i] * ny[i] + nz[i] * nz[i]);
    normals[i] = {float(nx[i] * scale), float(ny[i] * scale), float(nz[i] * scale), 0};
  }
  for (std::size_t i = 0; i < count; ++i, out += kRecordBytes) {
    std::memcpy(out, &normals[i], 16);
    std::memcpy(out + 12, &corners[triangles[i][0]], 16);
    std::memcpy(out + 24, &corners[triangles[i][1]], 16);
    std::memcpy(out + 36, &corners[triangles[i][2]], 16);
  }
}

}  // namespace

void pack_stl(const solid::Solid& solid, const std::string& name, WholeFile& into) {
  const solid::Mesh& mesh = solid.mesh();
  const auto corners = std::make_unique_for_overwrite<Corner[]>(mesh.points.size());
  for (std::size_t i = 0; i < mesh.points.size(); ++i) {
    const Vec3 p = mesh.points[i];
    corners[i] = {float(p.x), float(p.y), float(p.z), 0};
  }
  const std::size_t total = mesh.triangles.size();
  const auto count = static_cast<std::uint32_t>(total);
  const std::array<char, kHeaderBytes> head = header(name);
  // The last record of a block reaches two bytes beyond it.
  const auto block = std::make_unique_for_overwrite<char[]>(std::min(total, kBlockTriangles) * kRecordBytes + 16);
  into.write(head.data(), head.size());
  into.write(&count, sizeof count);
  for (std::size_t start = 0; start < total; start += kBlockTriangles) {
    const std::size_t end = std::min(total, start + kBlockTriangles);
    for (std::size_t i = start; i < end; i += kBatch)
      pack(corners.get(), mesh.triangles.data() + i, std::min(kBatch, end - i),
           block.get() + (i - start) * kRecordBytes);
    into.write(block.get(), (end - start) * kRecordBytes);
  }
}

Findings write_stl(const solid::Solid& solid, const std::string& name, const std::filesystem::path& path, Sync sync) {
  Result<WholeFile> file = WholeFile::create(path);
  if (!file) return file.findings();
  pack_stl(solid, name, *file);
  return file->commit(sync);
}

}  // namespace kerfkiln::output
