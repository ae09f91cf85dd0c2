#include "viewer/state/sheets.hpp"

#include <algorithm>
#include <exception>

namespace kerfkiln::viewer {

Sheets::Sheets(std::function<void()> wake) : wake_(std::move(wake)), worker_([this] { work(); }) {}

Sheets::~Sheets() {
  {
    const std::lock_guard lock(mutex_);
    stopping_ = true;
  }
  changed_.notify_all();
  worker_.join();
}

void Sheets::ask(SheetRequest r) {
  {
    const std::lock_guard lock(mutex_);
    if (asked_ && asked_->same_as(r)) return;
    asked_ = r;
    pending_ = std::move(r);
  }
  changed_.notify_all();
}
std::shared_ptr<const SheetPicture> Sheets::latest() const {
  const std::lock_guard lock(mutex_);
  return latest_;
}
bool Sheets::busy() const {
  const std::lock_guard lock(mutex_);
  return pending_ || working_;
}

void Sheets::work() {
  for (;;) {
    SheetRequest request;
    {
      std::unique_lock lock(mutex_);
      working_ = false;
      changed_.wait(lock, [this] { return stopping_ || pending_; });
      if (stopping_) return;
      request = std::move(*pending_);
      pending_.reset();
      working_ = true;
    }
    auto picture = std::make_shared<const SheetPicture>(draw(request));
    {
      const std::lock_guard lock(mutex_);
      latest_ = std::move(picture);
      working_ = pending_.has_value();
    }
    wake_();
  }
}

SheetPicture Sheets::draw(const SheetRequest& r) {
  SheetPicture p;
  p.request = r;
  try {
    const output::DocumentType* type = output::document_type(r.document);
    const product::Product* piece = r.piece < r.job->products.size() ? &r.job->products[r.piece] : nullptr;
    if (type && type->scope == output::Scope::job) piece = nullptr;
    if (!type || !type->applies(*r.job, piece)) {
      p.findings = {
          {Severity::note, "sheet.none", "", "There is no such sheet of this piece.", "Choose another sheet."}};
      return p;
    }
    const bool known = composed_for_ && composed_for_->revision == r.revision &&
                       composed_for_->document == r.document && composed_for_->piece == r.piece;
    if (!known) {
      composed_ = type->compose(*r.job, piece, {});
      composed_for_ = r;
    }
    p.pages = composed_.pages.size();
    if (p.pages == 0) return p;
    p.request.page = std::min(r.page, p.pages - 1);
    Result<std::vector<unsigned char>> pixels =
        output::rgba_pixels(composed_.pages[p.request.page], r.pixels_per_mm, p.wide, p.high);
    if (pixels)
      p.rgba = std::move(pixels).value();
    else
      p.findings = pixels.findings();
  } catch (const std::exception& e) {
    p.findings = {{Severity::error, "program.fault", "", std::string("Drawing the sheet broke off: ") + e.what() + ".",
                   "This is a fault of the program."}};
  }
  return p;
}

}  // namespace kerfkiln::viewer
