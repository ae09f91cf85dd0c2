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
constexpr std::size_t kBlockTriangles = (1 << 20) / kRecordBytes;  // one write() each

// Four floats in one register, by the vector extension that GCC and Clang share on every machine. A corner's fourth is
// zero and becomes the attribute bytes and the start of the next record, which overwrites it.
using Four = float __attribute__((vector_size(16)));
using Mask = std::int32_t __attribute__((vector_size(16)));
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

// In double: for slivers, where float products cancel and the normal would point visibly elsewhere.
Four careful_normal(Four a, Four b, Four c) {
  const auto edge = [&a](Four to) {
    return Vec3{double(to[0]) - double(a[0]), double(to[1]) - double(a[1]), double(to[2]) - double(a[2])};
  };
  const Vec3 n = unit(cross(edge(b), edge(c)));
  return Four{float(n.x), float(n.y), float(n.z), 0};
}

void put(char* out, Four normal, Four a, Four b, Four c) {
  std::memcpy(out, &normal, 16);
  std::memcpy(out + 12, &a, 16);
  std::memcpy(out + 24, &b, 16);
  std::memcpy(out + 36, &c, 16);
}

// Rows to columns; the fourth column is not needed.
struct Columns {
  Four x, y, z;
};
Columns columns(Four a, Four b, Four c, Four d) {
  const Four ab = __builtin_shufflevector(a, b, 0, 4, 1, 5), cd = __builtin_shufflevector(c, d, 0, 4, 1, 5);
  const Four ab_z = __builtin_shufflevector(a, b, 2, 6, 3, 7), cd_z = __builtin_shufflevector(c, d, 2, 6, 3, 7);
  return {__builtin_shufflevector(ab, cd, 0, 1, 4, 5), __builtin_shufflevector(ab, cd, 2, 3, 6, 7),
          __builtin_shufflevector(ab_z, cd_z, 0, 1, 4, 5)};
}

Four square_roots(Four v) {
  for (int i = 0; i < 4; ++i) v[i] = std::sqrt(v[i]);
  return v;
}

// Four records at a time: the arithmetic runs across the triangles, loads and stores along them.
void pack_four(const Four* corners, const solid::Triangle* t, char* out) {
  Four a[4], b[4], c[4];
  for (int i = 0; i < 4; ++i) {
    a[i] = corners[t[i][0]];
    b[i] = corners[t[i][1]];
    c[i] = corners[t[i][2]];
  }
  const Columns u = columns(b[0] - a[0], b[1] - a[1], b[2] - a[2], b[3] - a[3]);
  const Columns w = columns(c[0] - a[0], c[1] - a[1], c[2] - a[2], c[3] - a[3]);
  const Four nx = u.y * w.z - u.z * w.y, ny = u.z * w.x - u.x * w.z, nz = u.x * w.y - u.y * w.x;
  const Four nn = nx * nx + ny * ny + nz * nz;
  // Rounding turns a float normal by about 2e-7 / sin(angle between the edges): below 0.02 that is more than 1e-5.
  const Four full = (u.x * u.x + u.y * u.y + u.z * u.z) * (w.x * w.x + w.y * w.y + w.z * w.z);
  const Mask sliver = nn < 4e-4f * full;
  const Four scale = 1 / square_roots(nn), zero = {};
  const Four x = nx * scale, y = ny * scale, z = nz * scale;
  const Four xy = __builtin_shufflevector(x, y, 0, 4, 1, 5), xy2 = __builtin_shufflevector(x, y, 2, 6, 3, 7);
  const Four z0 = __builtin_shufflevector(z, zero, 0, 4, 1, 5), z2 = __builtin_shufflevector(z, zero, 2, 6, 3, 7);
  Four n[4] = {__builtin_shufflevector(xy, z0, 0, 1, 4, 5), __builtin_shufflevector(xy, z0, 2, 3, 6, 7),
               __builtin_shufflevector(xy2, z2, 0, 1, 4, 5), __builtin_shufflevector(xy2, z2, 2, 3, 6, 7)};
  const auto half = std::bit_cast<std::array<std::uint64_t, 2>>(sliver);
  if ((half[0] | half[1]) != 0) [[unlikely]]
    for (int i = 0; i < 4; ++i)
      if (sliver[i] != 0) n[i] = careful_normal(a[i], b[i], c[i]);
  for (int i = 0; i < 4; ++i) put(out + kRecordBytes * static_cast<std::size_t>(i), n[i], a[i], b[i], c[i]);
}

void pack(const Four* corners, const solid::Triangle* t, std::size_t count, char* out) {
  std::size_t i = 0;
  for (; i + 4 <= count; i += 4) pack_four(corners, t + i, out + i * kRecordBytes);
  for (; i < count; ++i) {
    const Four a = corners[t[i][0]], b = corners[t[i][1]], c = corners[t[i][2]];
    put(out + i * kRecordBytes, careful_normal(a, b, c), a, b, c);
  }
}

}  // namespace

void pack_stl(const solid::Solid& solid, const std::string& name, WholeFile& into) {
  const std::vector<solid::Triangle>& triangles = solid.mesh().triangles;
  const std::size_t total = triangles.size();
  const auto count = static_cast<std::uint32_t>(total);
  const std::array<char, kHeaderBytes> head = header(name);
  into.write(head.data(), head.size());
  into.write(&count, sizeof count);
  // The last record's store reaches two bytes beyond it.
  const auto block = std::make_unique_for_overwrite<char[]>(std::min(total, kBlockTriangles) * kRecordBytes + 16);
  const std::vector<Vec3>& points = solid.mesh().points;
  const auto corners = std::make_unique_for_overwrite<Four[]>(points.size());
  for (std::size_t i = 0; i < points.size(); ++i)
    corners[i] = Four{float(points[i].x), float(points[i].y), float(points[i].z), 0};
  for (std::size_t start = 0; start < total; start += kBlockTriangles) {
    const std::size_t end = std::min(total, start + kBlockTriangles);
    pack(corners.get(), triangles.data() + start, end - start, block.get());
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
