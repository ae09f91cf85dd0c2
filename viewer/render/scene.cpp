#include "viewer/render/scene.hpp"

#include <epoxy/gl.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstddef>

#include "viewer/render/shaders.hpp"

namespace kerfkiln::viewer {
namespace {

constexpr int kSamples = 4;

struct GpuMesh {
  std::shared_ptr<const Picture> picture;  // keeps the address ours while we compare it
  GLuint array = 0, vertices = 0, triangles = 0, edge_array = 0, edges = 0;
  GLsizei triangle_count = 0, edge_count = 0;
};

GLsizei count(std::size_t n) { return static_cast<GLsizei>(n); }

template <class T>
void fill(GLenum kind, GLuint buffer, const std::vector<T>& data) {
  glBindBuffer(kind, buffer);
  glBufferData(kind, static_cast<GLsizeiptr>(data.size() * sizeof(T)), data.data(), GL_STATIC_DRAW);
}

void lay_out_vertices() {
  glEnableVertexAttribArray(0);
  glVertexAttribPointer(0, 3, GL_FLOAT, GL_FALSE, sizeof(PictureVertex),
                        reinterpret_cast<const void*>(offsetof(PictureVertex, at)));
  glEnableVertexAttribArray(1);
  glVertexAttribPointer(1, 3, GL_FLOAT, GL_FALSE, sizeof(PictureVertex),
                        reinterpret_cast<const void*>(offsetof(PictureVertex, normal)));
}

GpuMesh upload(std::shared_ptr<const Picture> p) {
  GpuMesh g;
  glGenVertexArrays(1, &g.array);
  glGenVertexArrays(1, &g.edge_array);
  GLuint buffers[3];
  glGenBuffers(3, buffers);
  g.vertices = buffers[0], g.triangles = buffers[1], g.edges = buffers[2];
  glBindVertexArray(g.array);
  fill(GL_ARRAY_BUFFER, g.vertices, p->vertices);
  fill(GL_ELEMENT_ARRAY_BUFFER, g.triangles, p->triangles);
  lay_out_vertices();
  glBindVertexArray(g.edge_array);
  glBindBuffer(GL_ARRAY_BUFFER, g.vertices);
  fill(GL_ELEMENT_ARRAY_BUFFER, g.edges, p->edges);
  lay_out_vertices();
  glBindVertexArray(0);
  g.triangle_count = count(p->triangles.size());
  g.edge_count = count(p->edges.size());
  g.picture = std::move(p);
  return g;
}

void forget(GpuMesh& g) {
  const GLuint buffers[3] = {g.vertices, g.triangles, g.edges}, arrays[2] = {g.array, g.edge_array};
  glDeleteBuffers(3, buffers);
  glDeleteVertexArrays(2, arrays);
}

GLuint compiled(GLenum kind, const char* text, std::string& trouble) {
  const GLuint s = glCreateShader(kind);
  glShaderSource(s, 1, &text, nullptr);
  glCompileShader(s);
  GLint ok = 0;
  glGetShaderiv(s, GL_COMPILE_STATUS, &ok);
  if (!ok) {
    char log[2000] = "";
    glGetShaderInfoLog(s, sizeof log, nullptr, log);
    trouble = log;
  }
  return s;
}

GLuint program(const char* vertex, const char* fragment, std::string& trouble) {
  const GLuint v = compiled(GL_VERTEX_SHADER, vertex, trouble), f = compiled(GL_FRAGMENT_SHADER, fragment, trouble);
  const GLuint p = glCreateProgram();
  glAttachShader(p, v);
  glAttachShader(p, f);
  glLinkProgram(p);
  GLint ok = 0;
  glGetProgramiv(p, GL_LINK_STATUS, &ok);
  if (!ok && trouble.empty()) {
    char log[2000] = "";
    glGetProgramInfoLog(p, sizeof log, nullptr, log);
    trouble = log;
  }
  glDeleteShader(v);
  glDeleteShader(f);
  return p;
}

// A colour target; with samples a multisampled one that has to be resolved.
struct Target {
  GLuint frame = 0, colour = 0, depth = 0;
  int width = 0, height = 0, samples = 0;
  void drop() {
    glDeleteFramebuffers(1, &frame);
    glDeleteRenderbuffers(1, &depth);
    if (samples)
      glDeleteRenderbuffers(1, &colour);
    else
      glDeleteTextures(1, &colour);
    frame = colour = depth = 0;
  }
  void make(int w, int h, int n) {
    if (frame && w == width && h == height) return;
    if (frame) drop();
    width = w, height = h, samples = n;
    glGenFramebuffers(1, &frame);
    glBindFramebuffer(GL_FRAMEBUFFER, frame);
    if (samples) {
      glGenRenderbuffers(1, &colour);
      glBindRenderbuffer(GL_RENDERBUFFER, colour);
      glRenderbufferStorageMultisample(GL_RENDERBUFFER, samples, GL_RGBA8, w, h);
      glFramebufferRenderbuffer(GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, GL_RENDERBUFFER, colour);
    } else {
      glGenTextures(1, &colour);
      glBindTexture(GL_TEXTURE_2D, colour);
      glTexImage2D(GL_TEXTURE_2D, 0, GL_RGBA8, w, h, 0, GL_RGBA, GL_UNSIGNED_BYTE, nullptr);
      glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, GL_LINEAR);
      glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MAG_FILTER, GL_LINEAR);
      glFramebufferTexture2D(GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, GL_TEXTURE_2D, colour, 0);
    }
    glGenRenderbuffers(1, &depth);
    glBindRenderbuffer(GL_RENDERBUFFER, depth);
    glRenderbufferStorageMultisample(GL_RENDERBUFFER, samples, GL_DEPTH24_STENCIL8, w, h);
    glFramebufferRenderbuffer(GL_FRAMEBUFFER, GL_DEPTH_STENCIL_ATTACHMENT, GL_RENDERBUFFER, depth);
  }
};

bool same(const product::Colour& a, const product::Colour& b) { return a.r == b.r && a.g == b.g && a.b == b.b; }
bool same(const Cut& a, const Cut& b) { return a.on == b.on && (!a.on || (a.normal == b.normal && a.at == b.at)); }
bool same(const SceneLook& a, const SceneLook& b) {
  return same(a.above, b.above) && same(a.below, b.below) && same(a.ink, b.ink) && same(a.grid, b.grid) &&
         a.edges == b.edges && a.floor == b.floor && a.faded == b.faded && a.floor_z == b.floor_z &&
         a.middle == b.middle && a.reach == b.reach;
}
bool same(const SceneItem& a, const SceneItem& b) {
  return a.picture == b.picture && same(a.colour, b.colour) && a.move == b.move;
}

void put(GLint where, Vec3 v) {
  glUniform3f(where, static_cast<float>(v.x), static_cast<float>(v.y), static_cast<float>(v.z));
}
void put(GLint where, product::Colour c) { put(where, Vec3{c.r, c.g, c.b}); }

}  // namespace

struct Scene::Inside {
  GLuint solid = 0, line = 0, floor = 0, backdrop = 0, cap = 0, empty_array = 0;
  Target still, moving, shown;  // multisampled, plain, what the panel shows
  std::vector<GpuMesh> meshes;
  std::vector<SceneItem> items;
  bool changed = true, last_still = false;
  Camera camera;
  Cut cut;
  SceneLook look;
  double ms = 0;
  std::uint64_t redraws = 0;
  int width = 0, height = 0;

  const GpuMesh& mesh_of(const SceneItem& i) const {
    return *std::find_if(meshes.begin(), meshes.end(), [&](const GpuMesh& g) { return g.picture == i.picture; });
  }
  void put_view(GLuint p) const {
    const double aspect = static_cast<double>(width) / height;
    glUseProgram(p);
    glUniformMatrix4fv(glGetUniformLocation(p, "view"), 1, GL_FALSE, camera.view().data());
    glUniformMatrix4fv(glGetUniformLocation(p, "projection"), 1, GL_FALSE, camera.projection(aspect).data());
    const float off = 1e9F;
    glUniform4f(glGetUniformLocation(p, "cut"), static_cast<float>(cut.normal.x), static_cast<float>(cut.normal.y),
                static_cast<float>(cut.normal.z), cut.on ? static_cast<float>(cut.at) : off);
  }
  void draw_backdrop() const;
  void draw_floor() const;
  void draw_solids() const;
  void draw_caps() const;
  void draw_edges() const;
  void draw(bool is_still);
};

void Scene::Inside::draw_backdrop() const {
  glDisable(GL_DEPTH_TEST);
  glUseProgram(backdrop);
  put(glGetUniformLocation(backdrop, "above"), look.above);
  put(glGetUniformLocation(backdrop, "below"), look.below);
  glBindVertexArray(empty_array);
  glDrawArrays(GL_TRIANGLES, 0, 3);
}

void Scene::Inside::draw_floor() const {
  glEnable(GL_BLEND);
  glBlendFunc(GL_SRC_ALPHA, GL_ONE_MINUS_SRC_ALPHA);
  put_view(floor);
  put(glGetUniformLocation(floor, "ink"), look.grid);
  put(glGetUniformLocation(floor, "middle"), Vec3{look.middle.x, look.middle.y, look.floor_z});
  glUniform1f(glGetUniformLocation(floor, "reach"), static_cast<float>(look.reach));
  // The finest lines stand at least 12 pixels apart.
  const double px = camera.height_mm() / height;
  glUniform1f(glGetUniformLocation(floor, "pitch"), static_cast<float>(std::pow(10, std::ceil(std::log10(12 * px)))));
  glBindVertexArray(empty_array);
  glDepthMask(GL_FALSE);
  glDrawArrays(GL_TRIANGLE_STRIP, 0, 4);
  glDepthMask(GL_TRUE);
  glDisable(GL_BLEND);
}

void Scene::Inside::draw_solids() const {
  put_view(solid);
  glUniform1f(glGetUniformLocation(solid, "fade"), look.faded ? 0.6F : 0.0F);
  put(glGetUniformLocation(solid, "paper"), look.above);
  glEnable(GL_POLYGON_OFFSET_FILL);
  glPolygonOffset(1, 1);
  for (const SceneItem& i : items) {
    const GpuMesh& g = mesh_of(i);
    put(glGetUniformLocation(solid, "colour"), i.colour);
    put(glGetUniformLocation(solid, "move"), i.move);
    glBindVertexArray(g.array);
    glDrawElements(GL_TRIANGLES, g.triangle_count, GL_UNSIGNED_INT, nullptr);
  }
  glDisable(GL_POLYGON_OFFSET_FILL);
}

// Where a ray enters a closed solid through the cut, it meets one more back face than front faces: the stencil counts
// them, and the plane is painted there.
void Scene::Inside::draw_caps() const {
  glEnable(GL_STENCIL_TEST);
  for (std::size_t n = 0; n < items.size(); ++n) {
    const SceneItem& i = items[n];
    const GpuMesh& g = mesh_of(i);
    glClear(GL_STENCIL_BUFFER_BIT);
    put_view(solid);
    put(glGetUniformLocation(solid, "move"), i.move);
    glColorMask(GL_FALSE, GL_FALSE, GL_FALSE, GL_FALSE);
    glDepthMask(GL_FALSE);
    glDisable(GL_DEPTH_TEST);
    glStencilFunc(GL_ALWAYS, 0, 0xFF);
    glStencilOpSeparate(GL_FRONT, GL_KEEP, GL_KEEP, GL_DECR_WRAP);
    glStencilOpSeparate(GL_BACK, GL_KEEP, GL_KEEP, GL_INCR_WRAP);
    glBindVertexArray(g.array);
    glDrawElements(GL_TRIANGLES, g.triangle_count, GL_UNSIGNED_INT, nullptr);
    glColorMask(GL_TRUE, GL_TRUE, GL_TRUE, GL_TRUE);
    glDepthMask(GL_TRUE);
    glEnable(GL_DEPTH_TEST);
    glStencilFunc(GL_NOTEQUAL, 0, 0xFF);
    glStencilOp(GL_KEEP, GL_KEEP, GL_KEEP);
    glDisable(GL_CLIP_DISTANCE0);
    put_view(cap);
    put(glGetUniformLocation(cap, "colour"), i.colour);
    put(glGetUniformLocation(cap, "middle"), look.middle);
    glUniform1f(glGetUniformLocation(cap, "reach"), static_cast<float>(look.reach * 4));
    glUniform1f(glGetUniformLocation(cap, "slope"), n % 2 == 0 ? 1.0F : -1.0F);
    glBindVertexArray(empty_array);
    glDrawArrays(GL_TRIANGLE_STRIP, 0, 4);
    glEnable(GL_CLIP_DISTANCE0);
  }
  glDisable(GL_STENCIL_TEST);
}

void Scene::Inside::draw_edges() const {
  put_view(line);
  put(glGetUniformLocation(line, "colour"), look.ink);
  glEnable(GL_BLEND);
  glBlendFunc(GL_SRC_ALPHA, GL_ONE_MINUS_SRC_ALPHA);
  for (const SceneItem& i : items) {
    const GpuMesh& g = mesh_of(i);
    put(glGetUniformLocation(line, "move"), i.move);
    glBindVertexArray(g.edge_array);
    glDrawElements(GL_LINES, g.edge_count, GL_UNSIGNED_INT, nullptr);
  }
  glDisable(GL_BLEND);
}

void Scene::Inside::draw(bool is_still) {
  Target& to = is_still ? still : moving;
  to.make(width, height, is_still ? kSamples : 0);
  shown.make(width, height, 0);
  glBindFramebuffer(GL_FRAMEBUFFER, to.frame);
  glViewport(0, 0, width, height);
  glDisable(GL_SCISSOR_TEST);
  glDisable(GL_CULL_FACE);
  glDisable(GL_BLEND);
  glDepthMask(GL_TRUE);
  glClear(GL_DEPTH_BUFFER_BIT | GL_STENCIL_BUFFER_BIT);
  draw_backdrop();
  glEnable(GL_DEPTH_TEST);
  glDepthFunc(GL_LEQUAL);
  glEnable(GL_CLIP_DISTANCE0);
  draw_solids();
  if (cut.on) draw_caps();
  if (look.edges) draw_edges();
  glDisable(GL_CLIP_DISTANCE0);
  if (look.floor) draw_floor();
  glDisable(GL_DEPTH_TEST);
  glBindFramebuffer(GL_READ_FRAMEBUFFER, to.frame);
  glBindFramebuffer(GL_DRAW_FRAMEBUFFER, shown.frame);
  glBlitFramebuffer(0, 0, width, height, 0, 0, width, height, GL_COLOR_BUFFER_BIT, GL_NEAREST);
  glBindVertexArray(0);
  glUseProgram(0);
  glBindFramebuffer(GL_FRAMEBUFFER, 0);
  glFinish();
}

Scene::Scene() : in_(std::make_unique<Inside>()) {}

std::unique_ptr<Scene> Scene::create(std::string& trouble) {
  std::unique_ptr<Scene> s(new Scene);
  Inside& in = *s->in_;
  in.solid = program(shader::kSolidVertex, shader::kSolidFragment, trouble);
  in.line = program(shader::kSolidVertex, shader::kLineFragment, trouble);
  in.floor = program(shader::kFloorVertex, shader::kFloorFragment, trouble);
  in.backdrop = program(shader::kBackdropVertex, shader::kBackdropFragment, trouble);
  in.cap = program(shader::kCapVertex, shader::kCapFragment, trouble);
  glGenVertexArrays(1, &in.empty_array);
  if (!trouble.empty()) return nullptr;
  return s;
}

Scene::~Scene() {
  for (GpuMesh& g : in_->meshes) forget(g);
  for (Target* t : {&in_->still, &in_->moving, &in_->shown})
    if (t->frame) t->drop();
  for (GLuint p : {in_->solid, in_->line, in_->floor, in_->backdrop, in_->cap}) glDeleteProgram(p);
  glDeleteVertexArrays(1, &in_->empty_array);
}

void Scene::set_items(const std::vector<SceneItem>& items) {
  const bool equal = std::equal(items.begin(), items.end(), in_->items.begin(), in_->items.end(),
                                [](const SceneItem& a, const SceneItem& b) { return same(a, b); });
  if (equal) return;
  in_->items = items;
  in_->changed = true;
  std::vector<GpuMesh> kept;
  for (GpuMesh& g : in_->meshes) {
    const bool used =
        std::any_of(items.begin(), items.end(), [&](const SceneItem& i) { return i.picture == g.picture; });
    if (used)
      kept.push_back(std::move(g));
    else
      forget(g);
  }
  in_->meshes = std::move(kept);
  for (const SceneItem& i : items) {
    const bool known =
        std::any_of(in_->meshes.begin(), in_->meshes.end(), [&](const GpuMesh& g) { return g.picture == i.picture; });
    if (!known) in_->meshes.push_back(upload(i.picture));
  }
}

unsigned Scene::texture(int width, int height, const Camera& camera, const Cut& cut, const SceneLook& look,
                        bool still) {
  Inside& in = *in_;
  const bool changed = in.changed || width != in.width || height != in.height || !(camera == in.camera) ||
                       !same(cut, in.cut) || !same(look, in.look) || (still && !in.last_still);
  if (changed) {
    in.width = width, in.height = height, in.camera = camera, in.cut = cut, in.look = look;
    const auto start = std::chrono::steady_clock::now();
    in.draw(still);
    in.ms = std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count();
    in.changed = false;
    in.last_still = still;
    ++in.redraws;
  }
  return in.shown.colour;
}

double Scene::last_draw_ms() const { return in_->ms; }
std::uint64_t Scene::redraws() const { return in_->redraws; }

std::vector<unsigned char> Scene::pixels() const {
  const std::size_t row = static_cast<std::size_t>(in_->width) * 3;
  std::vector<unsigned char> up(row * static_cast<std::size_t>(in_->height)), down(up.size());
  glBindFramebuffer(GL_FRAMEBUFFER, in_->shown.frame);
  glPixelStorei(GL_PACK_ALIGNMENT, 1);
  glReadPixels(0, 0, in_->width, in_->height, GL_RGB, GL_UNSIGNED_BYTE, up.data());
  glBindFramebuffer(GL_FRAMEBUFFER, 0);
  for (std::size_t y = 0; y * row < up.size(); ++y)
    std::copy_n(up.end() - static_cast<std::ptrdiff_t>((y + 1) * row), row,
                down.begin() + static_cast<std::ptrdiff_t>(y * row));
  return down;
}

}  // namespace kerfkiln::viewer
