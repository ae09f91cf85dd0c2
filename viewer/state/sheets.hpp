// Sheets as they will print, drawn to pixels away from the frame. The newest request wins.
#pragma once
#include <condition_variable>
#include <cstdint>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>
#include <vector>

#include "export/document/document_type.hpp"

namespace kerfkiln::viewer {

struct SheetRequest {
  std::uint64_t revision = 0;
  std::shared_ptr<const output::Job> job;
  std::string document;  // id out of output::document_types()
  std::size_t piece = 0;
  std::size_t page = 0;
  double pixels_per_mm = 2;
  bool same_as(const SheetRequest& o) const {
    return revision == o.revision && document == o.document && piece == o.piece && page == o.page &&
           pixels_per_mm == o.pixels_per_mm;
  }
};
struct SheetPicture {
  SheetRequest request;
  std::size_t pages = 0;
  int wide = 0, high = 0;
  std::vector<unsigned char> rgba;
  Findings findings;  // why there is no picture
};

class Sheets {
 public:
  explicit Sheets(std::function<void()> wake);
  ~Sheets();
  Sheets(const Sheets&) = delete;
  Sheets& operator=(const Sheets&) = delete;

  void ask(SheetRequest);  // returns at once; asking for what is under way or there already does nothing
  std::shared_ptr<const SheetPicture> latest() const;
  bool busy() const;

 private:
  void work();
  SheetPicture draw(const SheetRequest&);
  std::function<void()> wake_;
  mutable std::mutex mutex_;
  std::condition_variable changed_;
  std::optional<SheetRequest> pending_, asked_;
  std::shared_ptr<const SheetPicture> latest_;
  // The composed document, so that turning pages composes nothing.
  std::optional<SheetRequest> composed_for_;
  output::Drawing composed_;
  bool stopping_ = false, working_ = false;
  std::thread worker_;
};

}  // namespace kerfkiln::viewer
