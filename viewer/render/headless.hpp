// An OpenGL 3.3 context without any display (EGL, surfaceless): for pictures in tests and for measuring.
#pragma once
#include <memory>
#include <string>

namespace kerfkiln::viewer {

class Headless {
 public:
  // Null with `trouble` set where the system has no such context. Current on the calling thread until destroyed.
  static std::unique_ptr<Headless> create(std::string& trouble);
  ~Headless();
  Headless(const Headless&) = delete;
  Headless& operator=(const Headless&) = delete;

 private:
  Headless() = default;
  void* display_ = nullptr;
  void* context_ = nullptr;
};

}  // namespace kerfkiln::viewer
