// The sheets of the packet as they will print.
#pragma once
#include <memory>
#include <string>

#include "viewer/panel/ui.hpp"
#include "viewer/state/sheets.hpp"

namespace kerfkiln::viewer {

class SheetsPanel {
 public:
  explicit SheetsPanel(std::function<void()> wake) : sheets_(std::move(wake)) {}
  ~SheetsPanel();
  void draw(Ui&);

 private:
  void upload(const SheetPicture&);
  Sheets sheets_;
  std::string document_;
  std::size_t page_ = 0;
  float zoom_ = 1;  // of a page that fits the width
  std::shared_ptr<const SheetPicture> shown_;
  unsigned texture_ = 0;
};

}  // namespace kerfkiln::viewer
