// Designs that several tests of cushions start from.
#pragma once
#include <string>

#include "modeler/cushion/build.hpp"

namespace kerfkiln::cushion::sample {

inline EdgeSpec edge(std::string type, std::vector<Length> lengths = {}) {
  return {std::move(type), std::move(lengths)};
}

inline Spec block(double width, double depth, double corner, std::vector<std::pair<std::string, double>> layers) {
  Spec s;
  s.name = "block";
  s.given_at = "core";
  s.outline = RectangleSpec{width, depth, corner};
  for (auto& [foam, thickness] : layers) s.layers.push_back({foam, thickness, {}});
  s.trim = 10;
  s.kerf = 0.5;
  return s;
}

inline PocketSpec pocket(const char* from, double w, double d, double r, Vec2 middle, double depth) {
  PocketSpec p;
  p.from = from;
  p.outline.shape = RectangleSpec{w, d, r};
  p.outline.x = middle.x;
  p.outline.y = middle.y;
  p.depth = depth;
  return p;
}

inline material::Foam foam(double density) {
  material::Foam f;
  f.density = density;
  return f;
}

// Foams by their density, an adhesive and skins of round numbers.
inline material::Library materials() {
  material::Library m;
  for (const int d : {25, 40, 45, 50, 60}) m.foams.push_back({"f" + std::to_string(d), foam(d)});
  material::Adhesive a;
  a.coverage = 0.080;
  a.faces = 2;
  a.loss = 0.10;
  a.waiting_time = 600;
  m.adhesives.push_back({material::kDefaultAdhesive, a});
  material::Cover c;
  c.thickness = 1.2;
  m.covers.push_back({"hide", c});
  material::Batting b;
  b.loft = 20;
  b.compressed_to = 0.5;
  m.battings.push_back({"loft20", b});
  material::Barrier w;
  w.thickness = 0.3;
  m.barriers.push_back({"woven", w});
  material::Board ply;
  ply.density = 680;
  m.boards.push_back({"ply", ply});
  return m;
}

inline const Finding* finding(const Findings& list, const std::string& code, const std::string& path) {
  for (const Finding& f : list)
    if (f.code == code && f.path == path) return &f;
  return nullptr;
}

inline double value(const product::Product& p, const std::string& key) {
  const product::Figure* f = p.figure(key);
  return f ? f->value : -1e300;
}

inline const product::FlatPart* part(const product::Product& p, const std::string& id) {
  for (const product::FlatPart& x : p.parts)
    if (x.id == id) return &x;
  return nullptr;
}

inline const product::Table* table(const product::Product& p, const std::string& id) {
  for (const product::Table& t : p.tables)
    if (t.id == id) return &t;
  return nullptr;
}

}  // namespace kerfkiln::cushion::sample
