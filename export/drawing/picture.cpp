#include "export/drawing/picture.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numbers>

#include "export/drawing/canvas.hpp"
#include "export/drawing/picture_samples.hpp"

namespace kerfkiln::output {

using product::Colour;
using product::Product;
using product::Shape;

namespace {

constexpr double kMargin = 0.05;  // of the picture, on each side
constexpr double kSlant = 0.3;    // of shadows: shorter than the light would throw them, to stay in the picture

// A field of values with weights, one a pixel.
struct Field {
  int wide, high;
  std::vector<float> value;
  Field(int w, int h) : wide(w), high(h), value(static_cast<std::size_t>(w) * static_cast<std::size_t>(h), 0.0f) {}
};

// Mean over a square, by running sums, along rows and then columns.
void blur(Field& f, int radius) {
  const float share = 1.0f / static_cast<float>(2 * radius + 1);
  std::vector<float> line;
  const auto pass = [&](std::size_t start, std::size_t step, int length) {
    line.resize(static_cast<std::size_t>(length));
    double sum = 0;
    const auto get = [&](int i) {
      return i < 0 || i >= length ? 0.0f : f.value[start + static_cast<std::size_t>(i) * step];
    };
    for (int i = -radius; i <= radius; ++i) sum += get(i);
    for (int i = 0; i < length; ++i) {
      line[static_cast<std::size_t>(i)] = static_cast<float>(sum) * share;
      sum += get(i + radius + 1) - get(i - radius);
    }
    for (int i = 0; i < length; ++i)
      f.value[start + static_cast<std::size_t>(i) * step] = line[static_cast<std::size_t>(i)];
  };
  const std::size_t row = static_cast<std::size_t>(f.wide);
  for (int y = 0; y < f.high; ++y) pass(static_cast<std::size_t>(y) * row, 1, f.wide);
  for (int x = 0; x < f.wide; ++x) pass(static_cast<std::size_t>(x), row, f.high);
}

// The shadow on the ground: all facets thrown along the light onto it, softened.
Field shadow_of(const std::vector<Body>& bodies, const Camera& camera, Vec3 light, double ground, int samples, int wide,
                int high) {
  Field field(wide, high);
  for (const Body& body : bodies) {
    std::vector<Vec3> flat;
    flat.reserve(body.mesh.points.size());
    for (const Vec3& p : body.mesh.points) {
      const double rise = p.z - ground;
      const Vec3 q = camera.project({p.x - kSlant * rise * light.x, p.y - kSlant * rise * light.y, ground});
      flat.push_back({q.x / samples, q.y / samples, 0});
    }
    for (const solid::Triangle& t : body.mesh.triangles) {
      const Vec3 p[3] = {flat[t[0]], flat[t[1]], flat[t[2]]};
      const double twice = edge(p[0], p[1], p[2].x, p[2].y);
      if (twice >= 0) continue;
      const Span s = span(p, wide, high);
      for (int y = s.y0; y <= s.y1; ++y)
        for (int x = s.x0; x <= s.x1; ++x) {
          const double cx = x + 0.5, cy = y + 0.5;
          if (edge(p[0], p[1], cx, cy) <= 0 && edge(p[1], p[2], cx, cy) <= 0 && edge(p[2], p[0], cx, cy) <= 0)
            field.value[static_cast<std::size_t>(y) * static_cast<std::size_t>(wide) + static_cast<std::size_t>(x)] = 1;
        }
    }
  }
  const int radius = std::max(1, wide / 90);
  for (int i = 0; i < 3; ++i) blur(field, radius);
  // A shadow that would leave the picture fades out before its border.
  const double fade = 0.06 * std::min(wide, high);
  for (int y = 0; y < high; ++y)
    for (int x = 0; x < wide; ++x) {
      const double border = std::min({x + 0.5, y + 0.5, wide - x - 0.5, high - y - 0.5});
      if (border < fade)
        field.value[static_cast<std::size_t>(y) * static_cast<std::size_t>(wide) + static_cast<std::size_t>(x)] *=
            static_cast<float>(border / fade);
    }
  return field;
}

// How far each pixel lies behind its neighbourhood, 0 ... 1: hollows darken, as they do under an open sky.
Field hollows_of(const Samples& s, int samples, int wide, int high, double depth_range) {
  Field depth(wide, high), weight(wide, high), hollow(wide, high);
  for (int y = 0; y < high; ++y)
    for (int x = 0; x < wide; ++x) {
      const std::size_t i = static_cast<std::size_t>(y) * static_cast<std::size_t>(wide) + static_cast<std::size_t>(x);
      const std::size_t middle = s.at(x * samples + samples / 2, y * samples + samples / 2);
      if (s.body[middle] == kNobody) continue;
      depth.value[i] = hollow.value[i] = s.depth[middle];
      weight.value[i] = 1;
    }
  const std::vector<float> covered = weight.value;
  const int radius = std::max(2, wide / 36);
  for (int i = 0; i < 2; ++i) {
    blur(depth, radius);
    blur(weight, radius);
  }
  for (std::size_t i = 0; i < hollow.value.size(); ++i) {
    if (covered[i] == 0.0f || weight.value[i] < 1e-4f) {
      hollow.value[i] = 0;
      continue;
    }
    const double behind = static_cast<double>(depth.value[i] / weight.value[i] - hollow.value[i]) / depth_range;
    hollow.value[i] = static_cast<float>(std::clamp(6.0 * behind, 0.0, 1.0));
  }
  return hollow;
}

Colour mix(Colour a, Colour b, double t) {
  return {a.r + t * (b.r - a.r), a.g + t * (b.g - a.g), a.b + t * (b.b - a.b)};
}

Colour shaded(Colour c, Vec3 normal, Vec3 light, Vec3 eye) {
  const double length = norm(normal);
  const Vec3 n = length > 0 ? normal / length : eye;  // means of samples are shorter than 1
  const double key = std::max(0.0, 0.25 + 0.75 * dot(n, light));
  const double sky = 0.5 + 0.5 * n.z;
  const double facing = std::max(0.0, dot(n, eye));
  const double level = 0.46 + 0.36 * key + 0.20 * sky + 0.08 * facing;
  return {std::min(1.0, c.r * level), std::min(1.0, c.g * level), std::min(1.0, c.b * level)};
}

std::vector<const Shape*> shapes_of(const Product& p, PictureMode mode) {
  std::vector<const Shape*> list;
  for (const Shape& s : p.shapes)
    if (s.shown && s.mesh && (mode == PictureMode::solid ? s.whole : !s.whole || s.apart)) list.push_back(&s);
  return list;
}

Result<std::vector<Body>> bodies_of(const Product& p, const PictureOptions& options) {
  const std::vector<const Shape*> shapes = shapes_of(p, options.mode);
  if (shapes.empty() || shapes.size() >= kNobody)
    return Finding{Severity::error, "picture.empty", "", "\"" + p.name + "\" has nothing to be shown in this picture",
                   "mend the errors of the piece first"};
  // Part of a pixel is all the eye can see; the size is known from the exact volume before there is a mesh.
  std::vector<Body> bodies;
  double size = 0;
  for (const Shape* s : shapes) size = std::max(size, std::cbrt(s->volume_mm3));
  const double deviation = std::clamp(1.2 * size / std::max(1, options.wide), 0.1, 1.0);
  Findings findings;
  for (const Shape* s : shapes) {
    Result<solid::Mesh> mesh = s->mesh(deviation);
    if (!mesh) {
      append(findings, mesh.findings());
      continue;
    }
    Body body{std::move(*mesh), {}, s->colour, s->label};
    if (options.mode == PictureMode::exploded)
      for (Vec3& v : body.mesh.points) v = v + s->explode;
    body.shading = solid::shading(body.mesh);
    bodies.push_back(std::move(body));
  }
  if (!findings.empty()) return findings;
  return bodies;
}

Camera camera_for(const std::vector<Body>& bodies, const PictureOptions& o) {
  const double a = o.azimuth_deg * std::numbers::pi / 180, e = o.elevation_deg * std::numbers::pi / 180;
  Camera c;
  c.eye = {std::cos(e) * std::cos(a), std::cos(e) * std::sin(a), std::sin(e)};
  c.right = {-std::sin(a), std::cos(a), 0};
  c.up = cross(c.eye, c.right);
  double x_low = 1e300, x_high = -1e300, y_low = 1e300, y_high = -1e300;
  for (const Body& body : bodies)
    for (const Vec3& p : body.mesh.points) {
      const double x = dot(p, c.right), y = dot(p, c.up);
      x_low = std::min(x_low, x);
      x_high = std::max(x_high, x);
      y_low = std::min(y_low, y);
      y_high = std::max(y_high, y);
    }
  const double wide = static_cast<double>(o.wide) * o.samples, high = static_cast<double>(o.high) * o.samples;
  const double room = 1 - 2 * kMargin;
  c.scale = std::min(room * wide / std::max(1e-9, x_high - x_low), room * high / std::max(1e-9, y_high - y_low));
  c.x0 = wide / 2 - c.scale * (x_low + x_high) / 2;
  c.y0 = high / 2 + c.scale * (y_low + y_high) / 2;
  return c;
}

std::vector<PictureTag> tags_of(const Samples& s, const std::vector<Body>& bodies, const Camera& camera, int samples) {
  struct Sum {
    double x = 0, y = 0, count = 0;
  };
  std::vector<Sum> side(bodies.size()), all(bodies.size());
  for (int y = 0; y < s.high; y += samples)
    for (int x = 0; x < s.wide; x += samples) {
      const std::size_t k = s.at(x, y);
      if (s.body[k] == kNobody) continue;
      const Vec3 n{s.nx[k], s.ny[k], s.nz[k]};
      all[s.body[k]] = {all[s.body[k]].x + x, all[s.body[k]].y + y, all[s.body[k]].count + 1};
      if (std::abs(n.z) < 0.5 && dot(n, camera.right) < 0)
        side[s.body[k]] = {side[s.body[k]].x + x, side[s.body[k]].y + y, side[s.body[k]].count + 1};
    }
  std::vector<PictureTag> tags;
  for (std::size_t b = 0; b < bodies.size(); ++b) {
    const Sum& sum = side[b].count > 0 ? side[b] : all[b];
    if (sum.count == 0) continue;
    const int y = static_cast<int>(sum.y / sum.count), middle = static_cast<int>(sum.x / sum.count);
    int best = -1;  // the mean may lie off the body: the nearest of its samples in that row
    for (int x = 0; x < s.wide; ++x)
      if (s.body[s.at(x, y)] == b && (best < 0 || std::abs(x - middle) < std::abs(best - middle))) best = x;
    if (best >= 0)
      tags.push_back({bodies[b].label, static_cast<double>(best) / samples, static_cast<double>(y) / samples});
  }
  return tags;
}

unsigned char byte_of(double v) { return static_cast<unsigned char>(std::lround(255 * std::clamp(v, 0.0, 1.0))); }

Picture resolved(const Samples& s, const std::vector<std::uint8_t>& marks, const std::vector<Body>& bodies,
                 const Camera& camera, Vec3 light, const Field& hollow, const Field* shadow, const PictureOptions& o) {
  const Colour ink{0.13, 0.12, 0.12}, shade_ink{0.30, 0.28, 0.27};
  Picture out{o.wide, o.high, {}, tags_of(s, bodies, camera, o.samples)};
  out.rgb.resize(3 * static_cast<std::size_t>(o.wide) * static_cast<std::size_t>(o.high));
  const double share = 1.0 / (o.samples * o.samples);
  for (int y = 0; y < o.high; ++y) {
    for (int x = 0; x < o.wide; ++x) {
      const std::size_t pixel =
          static_cast<std::size_t>(y) * static_cast<std::size_t>(o.wide) + static_cast<std::size_t>(x);
      const Colour ground =
          shadow ? mix(o.ground, shade_ink, 0.38 * static_cast<double>(shadow->value[pixel])) : o.ground;
      const double open = 1 - 0.42 * static_cast<double>(hollow.value[pixel]);
      const std::uint8_t body = s.body[s.at(x * o.samples, y * o.samples)];
      bool even = true;
      Vec3 normal;
      for (int j = 0; j < o.samples && even; ++j) {
        std::size_t k = s.at(x * o.samples, y * o.samples + j);
        for (int i = 0; i < o.samples; ++i, ++k) {
          even = even && s.body[k] == body && marks[k] == 0;
          normal = normal + Vec3{s.nx[k], s.ny[k], s.nz[k]};
        }
      }
      const auto lit = [&](std::uint8_t id, Vec3 n) {
        const Colour c = shaded(bodies[id].colour, n, light, camera.eye);
        return Colour{c.r * open, c.g * open, c.b * open};
      };
      Colour sum;
      if (even) {  // most pixels: nothing to mix
        const Colour c = body == kNobody ? ground : lit(body, normal);
        sum = {c.r / share, c.g / share, c.b / share};
      }
      for (int j = 0; j < o.samples && !even; ++j) {
        std::size_t k = s.at(x * o.samples, y * o.samples + j);
        for (int i = 0; i < o.samples; ++i, ++k) {
          Colour c = s.body[k] == kNobody ? ground : lit(s.body[k], {s.nx[k], s.ny[k], s.nz[k]});
          if (marks[k] == 2) c = mix(c, ink, 0.88);
          if (marks[k] == 1) c = mix(c, ink, 0.55);
          sum = {sum.r + c.r, sum.g + c.g, sum.b + c.b};
        }
      }
      out.rgb[3 * pixel] = byte_of(sum.r * share);
      out.rgb[3 * pixel + 1] = byte_of(sum.g * share);
      out.rgb[3 * pixel + 2] = byte_of(sum.b * share);
    }
  }
  return out;
}

}  // namespace

bool has_picture(const Product& p, PictureMode mode) {
  return shapes_of(p, mode).size() >= (mode == PictureMode::exploded ? 2 : 1);
}

Result<Picture> picture(const Product& p, const PictureOptions& options) {
  if (options.wide < 1 || options.high < 1 || options.samples < 1 || options.samples > 8 || options.wide > 8192 ||
      options.high > 8192)
    return Finding{Severity::error, "picture.size", "",
                   "a picture of " + std::to_string(options.wide) + " x " + std::to_string(options.high) +
                       " pixels cannot be made; permitted is 1 to 8192 a side, with 1 to 8 samples",
                   "ask for a smaller picture"};
  Result<std::vector<Body>> made = bodies_of(p, options);
  if (!made) return made.findings();
  const std::vector<Body>& bodies = *made;
  const Camera camera = camera_for(bodies, options);
  Samples samples(options.wide * options.samples, options.high * options.samples);
  double ground = 1e300, near = -1e300, far = 1e300;
  for (std::size_t i = 0; i < bodies.size(); ++i) {
    rasterise(bodies[i], static_cast<std::uint8_t>(i), camera, samples);
    for (const Vec3& v : bodies[i].mesh.points) {
      ground = std::min(ground, v.z);
      near = std::max(near, camera.scale * dot(v, camera.eye));
      far = std::min(far, camera.scale * dot(v, camera.eye));
    }
  }
  const double depth_range = std::max(1.0, near - far);
  // From above the eye's left shoulder: the side that faces the reader's right lies in half-shade.
  const Vec3 light = unit(0.55 * camera.eye - 0.75 * camera.right + 0.95 * Vec3{0, 0, 1});
  const std::vector<std::uint8_t> marks = line_marks(samples, bodies, camera, options.samples, 0.012 * depth_range);
  const Field hollow = hollows_of(samples, options.samples, options.wide, options.high, depth_range);
  if (!options.shadow) return resolved(samples, marks, bodies, camera, light, hollow, nullptr, options);
  const Field shadow = shadow_of(bodies, camera, light, ground, options.samples, options.wide, options.high);
  return resolved(samples, marks, bodies, camera, light, hollow, &shadow, options);
}

Result<std::string> png_bytes(const Picture& p) {
  const Page page{{static_cast<double>(p.wide), static_cast<double>(p.high)}, [&p](Canvas& canvas) {
                    canvas.picture({0, 0}, p.wide, p.high, p.rgb, p.wide, p.high);
                  }};
  return png_bytes(page, 1);
}

}  // namespace kerfkiln::output
