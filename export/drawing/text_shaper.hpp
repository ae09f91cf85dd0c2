// Text through Pango, for text.cpp and cairo_canvas.cpp only.
#pragma once
#include <string>

#include "export/drawing/canvas.hpp"

typedef struct _PangoLayout PangoLayout;
typedef struct _PangoContext PangoContext;

namespace kerfkiln::output {

// One for each thread: Pango's contexts are not shared. The layout stays the shaper's and lives until the next call.
class TextShaper {
 public:
  TextShaper();
  ~TextShaper();
  TextShaper(const TextShaper&) = delete;
  TextShaper& operator=(const TextShaper&) = delete;
  // width_mm < 0: one line, however long.
  PangoLayout* layout(const std::string& text, const TextStyle&, double width_mm = -1);
  static TextShaper& of_this_thread();

 private:
  PangoContext* context_ = nullptr;
  PangoLayout* layout_ = nullptr;
};

}  // namespace kerfkiln::output
