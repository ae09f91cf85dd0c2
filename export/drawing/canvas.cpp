#include "export/drawing/canvas.hpp"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <cairo.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <map>
#include <memory>

#include "export/drawing/cairo_canvas.hpp"
#include "export/drawing/pdf_print_scaling.hpp"

namespace kerfkiln::output {

namespace {

constexpr double kPointsPerMm = 72.0 / 25.4;
constexpr double kLargestPageMm = 14400 / kPointsPerMm;  // 14 400 units: ISO 32000-1, annex C
constexpr double kLargestSvgMm = 21000;                  // twice the largest part, and its margins
constexpr int kLargestPixels = 32767;                    // cairo's image surfaces

struct SurfaceEnd {
  void operator()(cairo_surface_t* s) const { cairo_surface_destroy(s); }
};
struct ContextEnd {
  void operator()(cairo_t* c) const { cairo_destroy(c); }
};
using Surface = std::unique_ptr<cairo_surface_t, SurfaceEnd>;
using Context = std::unique_ptr<cairo_t, ContextEnd>;

cairo_status_t append_bytes(void* to, const unsigned char* data, unsigned int length) {
  static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

Finding failed(cairo_status_t status) {
  return {Severity::error, "drawing.failed", "",
          std::string("the drawing could not be made: ") + cairo_status_to_string(status),
          "make the drawing smaller or free memory, then try again"};
}

Findings check_size(const PageSize& s, double most = kLargestPageMm) {
  if (s.width_mm > 0 && s.height_mm > 0 && s.width_mm <= most && s.height_mm <= most) return {};
  return {{Severity::error, "drawing.size", "",
           "a page of " + std::to_string(std::lround(s.width_mm)) + " x " + std::to_string(std::lround(s.height_mm)) +
               " mm cannot be written; a page may be at most " + std::to_string(std::lround(most)) + " mm a side",
           "tile the drawing on A4 or Letter"}};
}

bool is_date(const std::string& s) {
  if (s.size() != 10) return false;
  for (std::size_t i = 0; i < 10; ++i)
    if (i == 4 || i == 7 ? s[i] != '-' : (s[i] < '0' || s[i] > '9')) return false;
  return true;
}

// cairo numbers surfaces and images through the whole process; a file must not depend on what was drawn before it.
std::string renumbered(const std::string& svg) {
  std::string out;
  out.reserve(svg.size());
  std::map<std::string, std::size_t> numbers;
  static constexpr const char* kNames[] = {"surface", "image", "source", "pattern", "radial", "linear"};
  for (std::size_t i = 0; i < svg.size();) {
    bool found = false;
    if (i > 0 && (svg[i - 1] == '"' || svg[i - 1] == '#')) {
      for (const char* name : kNames) {
        const std::size_t n = std::strlen(name);
        if (svg.compare(i, n, name) != 0) continue;
        std::size_t end = i + n;
        while (end < svg.size() && ((svg[end] >= '0' && svg[end] <= '9') || svg[end] == '-')) ++end;
        if (end == i + n) continue;
        const std::size_t number = numbers.emplace(svg.substr(i, end - i), numbers.size() + 1).first->second;
        out += name + std::to_string(number);
        i = end;
        found = true;
        break;
      }
    }
    if (!found) out += svg[i++];
  }
  return out;
}

void draw_page(cairo_t* cr, const Page& page) {
  if (page.stretch_x != 1 || page.stretch_y != 1) {
    cairo_translate(cr, page.size.width_mm / 2, page.size.height_mm / 2);
    cairo_scale(cr, page.stretch_x, page.stretch_y);
    cairo_translate(cr, -page.size.width_mm / 2, -page.size.height_mm / 2);
  }
  CairoCanvas canvas(cr, page.size);
  page.draw(canvas);
}

// A white page of pixels with the drawing on it.
Result<Surface> raster(const Page& page, double pixels_per_mm, cairo_format_t format) {
  if (Findings f = check_size(page.size); !f.empty()) return f;
  const double wide = std::round(page.size.width_mm * pixels_per_mm);
  const double high = std::round(page.size.height_mm * pixels_per_mm);
  if (!(wide >= 1 && high >= 1 && wide <= kLargestPixels && high <= kLargestPixels))
    return Finding{Severity::error, "drawing.size", "",
                   "a picture of " + std::to_string(std::llround(wide)) + " x " + std::to_string(std::llround(high)) +
                       " pixels cannot be made; permitted is 1 to 32767 a side",
                   "ask for fewer pixels a millimetre"};
  Surface surface(cairo_image_surface_create(format, static_cast<int>(wide), static_cast<int>(high)));
  Context cr(cairo_create(surface.get()));
  cairo_set_source_rgb(cr.get(), 1, 1, 1);
  cairo_paint(cr.get());
  cairo_scale(cr.get(), pixels_per_mm, pixels_per_mm);
  draw_page(cr.get(), page);
  cairo_surface_flush(surface.get());
  if (const cairo_status_t s = cairo_status(cr.get()); s != CAIRO_STATUS_SUCCESS) return failed(s);
  return Result<Surface>(std::move(surface));
}

}  // namespace

PageSize page_size(Paper paper, bool landscape) {
  const PageSize upright = paper == Paper::letter ? PageSize{215.9, 279.4} : PageSize{210, 297};
  return landscape ? PageSize{upright.height_mm, upright.width_mm} : upright;
}

Result<std::string> pdf_bytes(const Drawing& drawing) {
  if (drawing.pages.empty())
    return Finding{Severity::error, "drawing.size", "", "the drawing has no pages", "draw at least one page"};
  for (const Page& page : drawing.pages)
    if (Findings f = check_size(page.size); !f.empty()) return f;
  std::string bytes;
  const PageSize first = drawing.pages[0].size;
  Surface surface(cairo_pdf_surface_create_for_stream(append_bytes, &bytes, first.width_mm * kPointsPerMm,
                                                      first.height_mm * kPointsPerMm));
  cairo_surface_t* pdf = surface.get();
  cairo_pdf_surface_restrict_to_version(pdf, CAIRO_PDF_VERSION_1_5);
  const std::string stamp = (is_date(drawing.date) ? drawing.date : "2000-01-01") + "T00:00:00Z";
  cairo_pdf_surface_set_metadata(pdf, CAIRO_PDF_METADATA_TITLE, drawing.title.c_str());
  if (!drawing.keywords.empty())
    cairo_pdf_surface_set_metadata(pdf, CAIRO_PDF_METADATA_KEYWORDS, drawing.keywords.c_str());
  cairo_pdf_surface_set_metadata(pdf, CAIRO_PDF_METADATA_CREATOR, "kerfkiln");
  cairo_pdf_surface_set_metadata(pdf, CAIRO_PDF_METADATA_CREATE_DATE, stamp.c_str());
  {
    Context cr(cairo_create(pdf));
    for (const Page& page : drawing.pages) {
      cairo_pdf_surface_set_size(pdf, page.size.width_mm * kPointsPerMm, page.size.height_mm * kPointsPerMm);
      cairo_save(cr.get());
      cairo_scale(cr.get(), kPointsPerMm, kPointsPerMm);
      draw_page(cr.get(), page);
      cairo_restore(cr.get());
      cairo_show_page(cr.get());
    }
    if (const cairo_status_t s = cairo_status(cr.get()); s != CAIRO_STATUS_SUCCESS) return failed(s);
  }
  cairo_surface_finish(pdf);
  if (const cairo_status_t s = cairo_surface_status(pdf); s != CAIRO_STATUS_SUCCESS) return failed(s);
  std::string marked = with_print_scaling_none(bytes);
  // A PDF without the hint is still right: it only asks the maker to choose "actual size".
  return marked.empty() ? bytes : std::move(marked);
}

Result<std::string> svg_bytes(const Page& page) {
  if (Findings f = check_size(page.size, kLargestSvgMm); !f.empty()) return f;
  std::string bytes;
  Surface surface(cairo_svg_surface_create_for_stream(append_bytes, &bytes, page.size.width_mm, page.size.height_mm));
  cairo_svg_surface_set_document_unit(surface.get(), CAIRO_SVG_UNIT_MM);
  {
    Context cr(cairo_create(surface.get()));
    draw_page(cr.get(), page);
    if (const cairo_status_t s = cairo_status(cr.get()); s != CAIRO_STATUS_SUCCESS) return failed(s);
  }
  cairo_surface_finish(surface.get());
  if (const cairo_status_t s = cairo_surface_status(surface.get()); s != CAIRO_STATUS_SUCCESS) return failed(s);
  return renumbered(bytes);
}

Result<std::string> png_bytes(const Page& page, double pixels_per_mm) {
  Result<Surface> surface = raster(page, pixels_per_mm, CAIRO_FORMAT_RGB24);
  if (!surface) return surface.findings();
  std::string bytes;
  const cairo_status_t s = cairo_surface_write_to_png_stream(surface->get(), append_bytes, &bytes);
  if (s != CAIRO_STATUS_SUCCESS) return failed(s);
  return bytes;
}

Result<std::vector<unsigned char>> rgba_pixels(const Page& page, double pixels_per_mm, int& wide, int& high) {
  Result<Surface> surface = raster(page, pixels_per_mm, CAIRO_FORMAT_RGB24);
  if (!surface) return surface.findings();
  cairo_surface_t* image = surface->get();
  wide = cairo_image_surface_get_width(image);
  high = cairo_image_surface_get_height(image);
  const std::size_t stride = static_cast<std::size_t>(cairo_image_surface_get_stride(image));
  const unsigned char* data = cairo_image_surface_get_data(image);
  const std::size_t columns = static_cast<std::size_t>(wide), rows = static_cast<std::size_t>(high);
  std::vector<unsigned char> pixels(4 * columns * rows);
  for (std::size_t y = 0; y < rows; ++y) {
    unsigned char* to = &pixels[4 * columns * y];
    for (std::size_t x = 0; x < columns; ++x, to += 4) {
      std::uint32_t pixel = 0;
      std::memcpy(&pixel, data + y * stride + 4 * x, 4);
      to[0] = static_cast<unsigned char>(pixel >> 16 & 0xff);
      to[1] = static_cast<unsigned char>(pixel >> 8 & 0xff);
      to[2] = static_cast<unsigned char>(pixel & 0xff);
      to[3] = 255;
    }
  }
  return pixels;
}

}  // namespace kerfkiln::output
