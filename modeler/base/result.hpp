// A value, or the findings that explain why there is none. The surface of std::expected, which g++ 12 lacks.
#pragma once
#include <cstdlib>
#include <utility>
#include <variant>

#include "modeler/base/finding.hpp"

namespace kerfkiln {

template <class T>
class [[nodiscard]] Result {
 public:
  Result(T value) : state_(std::in_place_index<0>, std::move(value)) {}               // NOLINT: implicit on purpose
  Result(Findings findings) : state_(std::in_place_index<1>, std::move(findings)) {}  // NOLINT
  Result(Finding finding) : Result(Findings{std::move(finding)}) {}                   // NOLINT

  bool has_value() const { return state_.index() == 0; }
  explicit operator bool() const { return has_value(); }
  T& value() & { return *check(); }
  const T& value() const& { return *const_cast<Result*>(this)->check(); }
  T&& value() && { return std::move(*check()); }
  T& operator*() & { return value(); }
  const T& operator*() const& { return value(); }
  T* operator->() { return check(); }
  const T* operator->() const { return const_cast<Result*>(this)->check(); }
  const Findings& findings() const {
    static const Findings none;
    return has_value() ? none : std::get<1>(state_);
  }

 private:
  T* check() {
    if (T* t = std::get_if<0>(&state_)) return t;
    std::abort();  // a fault of ours: the caller did not look
  }
  std::variant<T, Findings> state_;
};

}  // namespace kerfkiln
