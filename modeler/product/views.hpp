// The views of a piece, drawn when they are first looked at: a form under edit is shown far more often than its sheets.
#pragma once
#include <functional>
#include <initializer_list>
#include <memory>
#include <mutex>
#include <string>
#include <utility>
#include <vector>

#include "modeler/product/sketch.hpp"

namespace kerfkiln::product {

// A view to be drawn at whatever scale fits the sheet.
struct View {
  std::string id, caption;
  Sketch sketch;
};

// A list. Copies share what has been drawn; any thread may look.
class Views {
 public:
  using Draw = std::function<std::vector<View>()>;  // pure; whatever it needs it owns
  Views() : Views(std::vector<View>{}) {}
  Views(std::initializer_list<View> views) : Views(std::vector<View>(views)) {}
  Views(std::vector<View> views) : drawn_(std::make_shared<Drawn>()) { drawn_->views = std::move(views); }
  explicit Views(Draw draw) : drawn_(std::make_shared<Drawn>()) { drawn_->draw = std::move(draw); }

  // Looks, and leaves copies as they were.
  void push_back(View view) {
    std::vector<View> views = list();
    views.push_back(std::move(view));
    *this = Views(std::move(views));
  }
  // When they are looked at each is changed so. Copies stay as they were.
  void change(std::function<void(View&)> by) {
    *this = Views(Draw([before = *this, by = std::move(by)] {
      std::vector<View> views = before.list();
      for (View& v : views) by(v);
      return views;
    }));
  }
  std::size_t size() const { return list().size(); }
  bool empty() const { return list().empty(); }
  const View& operator[](std::size_t i) const { return list()[i]; }
  const View& front() const { return list().front(); }
  auto begin() const { return list().begin(); }
  auto end() const { return list().end(); }

 private:
  struct Drawn {
    std::once_flag once;
    Draw draw;  // none: drawn
    std::vector<View> views;
  };
  const std::vector<View>& list() const {
    std::call_once(drawn_->once, [d = drawn_.get()] {
      if (!d->draw) return;
      d->views = d->draw();
      d->draw = nullptr;
    });
    return drawn_->views;
  }
  std::shared_ptr<Drawn> drawn_;
};

}  // namespace kerfkiln::product
