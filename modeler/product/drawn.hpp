// Lists that are drawn when they are first looked at: a form under edit is shown far more often than its sheets.
#pragma once
#include <functional>
#include <initializer_list>
#include <memory>
#include <mutex>
#include <utility>
#include <vector>

namespace kerfkiln::product {

// Copies share what has been drawn; any thread may look.
template <class T>
class Drawn {
 public:
  // Pure; whatever it needs it owns; never an empty list.
  using Draw = std::function<std::vector<T>()>;
  Drawn() : Drawn(std::vector<T>{}) {}
  Drawn(std::initializer_list<T> items) : Drawn(std::vector<T>(items)) {}
  Drawn(std::vector<T> items) : state_(std::make_shared<State>()) { state_->items = std::move(items); }
  explicit Drawn(Draw draw) : state_(std::make_shared<State>()) {
    state_->draw = std::move(draw);
    state_->later = true;
  }

  // Looks, and leaves copies as they were.
  void push_back(T item) {
    std::vector<T> items = state_.use_count() == 1 && !state_->later ? std::move(state_->items) : list();
    items.push_back(std::move(item));
    *this = Drawn(std::move(items));
  }
  // When they are looked at each is changed so. Copies stay as they were.
  void change(std::function<void(T&)> by) {
    if (empty()) return;
    *this = Drawn(Draw([before = *this, by = std::move(by)] {
      std::vector<T> items = before.list();
      for (T& item : items) by(item);
      return items;
    }));
  }
  std::size_t size() const { return list().size(); }
  bool empty() const { return !state_->later && state_->items.empty(); }  // without looking
  const T& operator[](std::size_t i) const { return list()[i]; }
  const T& front() const { return list().front(); }
  auto begin() const { return list().begin(); }
  auto end() const { return list().end(); }

 private:
  struct State {
    std::once_flag once;
    Draw draw;
    bool later = false;  // made by draw
    std::vector<T> items;
  };
  const std::vector<T>& list() const {
    if (state_->later)
      std::call_once(state_->once, [s = state_.get()] {
        s->items = s->draw();
        s->draw = nullptr;
      });
    return state_->items;
  }
  std::shared_ptr<State> state_;
};

}  // namespace kerfkiln::product
