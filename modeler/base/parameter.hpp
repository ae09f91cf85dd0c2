// The parameter table. A type that a maker can type has ONE function
//
//   void describe(Visitor&, T&);
//
// that names each key once, with its label, help, permitted and usual range, default and source. Reader, writer, JSON
// Schema, defaults, the viewer's controls, the job sheet and the random designs of the tests are visitors of it.
//
// A description is a sequence of calls. Inside a record (and at the top) each call describes the member info.key; the
// description of one element of a list or map is exactly ONE call with an empty key. Visitors that only look (writer,
// schema) leave the values alone; the views below never outlive the call they are passed to.
#pragma once
#include <cstddef>
#include <functional>
#include <iterator>
#include <limits>
#include <map>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "modeler/base/kept.hpp"
#include "modeler/base/quantity.hpp"

namespace kerfkiln {

inline constexpr double kNoLimit = std::numeric_limits<double>::infinity();

// Canonical units (quantity.hpp). An open end is itself not permitted: a length above_zero() is 0 < x <= high.
struct Range {
  double low = -kNoLimit, high = kNoLimit;
  bool open_low = false, open_high = false;
  bool contains(double x) const { return (open_low ? x > low : x >= low) && (open_high ? x < high : x <= high); }
  bool limited() const { return low > -kNoLimit || high < kNoLimit; }
};
constexpr Range above_zero(double high = kNoLimit) { return {0, high, true, false}; }

// What a text may hold, beyond any words: name is 1 ... 80 characters without control characters, colour "#rrggbb",
// date "2031-04-02" (ISO 8601) or empty.
enum class TextForm { any, name, colour, date };

struct Choice {
  std::string_view value;  // as in the file
  std::string_view label;
};

// All text lives as long as the program (literals and tables).
struct FieldInfo {
  std::string_view key{};             // as in the design file; empty for an element of a list or map
  std::string_view label{};           // a maker's words: "Wall"
  std::string_view help{};            // one or two sentences, terms glossed
  Range range{};                      // permitted: quantities and integers by value, lists and maps by count
  Range typical{};                    // usual: sliders and random designs
  std::string_view default_text{};    // "6 mm", "1", "false", "dressed"; empty: none, the value stays unknown
  bool required = false;              // a finding if missing (only where the record around it is written)
  std::string_view source{};          // of the default: a reference or "common practice"
  bool computed = true;               // false: read, kept and written, but no figure depends on it yet
  std::span<const Choice> choices{};  // text: the permitted words; empty: any
  TextForm form = TextForm::any;
  std::string_view refers_to{};  // text: a name out of this map of "materials" ("foams")
  bool part = false;             // record: a part that may be missing; its defaults hold only where it is written
};

class Visitor;
using Fields = std::function<void(Visitor&)>;

// A list seen by a visitor. prototype() describes one fresh element, for visitors that need the form of an empty list.
class List {
 public:
  virtual ~List() = default;
  virtual std::size_t size() const = 0;
  virtual void resize(std::size_t) = 0;
  virtual void element(Visitor&, std::size_t i) = 0;
  virtual void prototype(Visitor&) = 0;
};

// A map by name, in the order of first mention (or of the names, where the type sorts them).
class Map {
 public:
  virtual ~Map() = default;
  virtual std::size_t size() const = 0;
  virtual std::string_view name(std::size_t i) const = 0;
  virtual std::size_t add(const std::string& name) = 0;  // index of the new (or existing) entry
  virtual void element(Visitor&, std::size_t i) = 0;
  virtual void prototype(Visitor&) = 0;
};

// One of several forms. In the file:
//   word            "square"
//   otherwise       an object that has the key `id`: {"round": 20}, {"rectangle": {...}}
// and where tag() is not empty, all forms are objects in which the member tag() holds the id: {"kind": "urn", ...}.
struct Alternative {
  std::string_view id{}, label{}, help{};
  bool word = false;
  bool computed = true;
};
class Alternatives {
 public:
  virtual ~Alternatives() = default;
  virtual std::string_view tag() const { return {}; }
  virtual std::size_t count() const = 0;
  virtual Alternative at(std::size_t) const = 0;
  virtual std::size_t chosen() const = 0;  // count(): none
  virtual void choose(std::size_t) = 0;    // a fresh value of that form
  virtual void fields(Visitor&) = 0;       // the members of the chosen form
  virtual void prototype(Visitor&, std::size_t) = 0;
};

// One number of a fixed-length list such as a point [x, y].
struct TupleItem {
  FieldInfo info;  // key empty; label and range count
  Dimension dimension = Dimension::length;
  Quantity* value = nullptr;
};

// Where a member that is not computed yet is kept.
struct KeptSlot {
  Kept* store;
  std::string_view path;  // unique in the store: "cover/seams"
};

class Visitor {
 public:
  virtual ~Visitor() = default;
  virtual void quantity(const FieldInfo&, Dimension, Quantity&) = 0;
  virtual void integer(const FieldInfo&, int&) = 0;
  virtual void flag(const FieldInfo&, bool&) = 0;
  virtual void text(const FieldInfo&, std::string&) = 0;
  virtual void tuple(const FieldInfo&, std::span<const TupleItem>) = 0;
  virtual void record(const FieldInfo&, const Fields&) = 0;
  virtual void list(const FieldInfo&, List&) = 0;
  virtual void map(const FieldInfo&, Map&) = 0;
  virtual void alternatives(const FieldInfo&, Alternatives&) = 0;
  virtual void kept(const FieldInfo&, KeptSlot) = 0;  // info.computed is false
};

// A member that is read, kept and written, but that nothing depends on yet. path: unique in the store; the key where it
// is left out.
inline void later(Visitor& v, Kept& store, std::string_view path, std::string_view key, std::string_view label,
                  std::string_view help) {
  v.kept({.key = key, .label = label, .help = help, .computed = false}, {&store, path});
}
inline void later(Visitor& v, Kept& store, std::string_view key, std::string_view label, std::string_view help) {
  later(v, store, key, key, label, help);
}

template <Dimension D>
void quantity(Visitor& v, const FieldInfo& info, Measure<D>& m) {
  v.quantity(info, D, m);
}
template <Dimension D>
TupleItem tuple_item(const FieldInfo& info, Measure<D>& m) {
  return {info, D, &m};
}

// list(v, info, items, element): element(Visitor&, T&) makes the one call that describes an element.
template <class T, class F>
void list(Visitor& v, const FieldInfo& info, std::vector<T>& items, F element) {
  class View final : public List {
   public:
    View(std::vector<T>& x, F& f) : items_(x), element_(f) {}
    std::size_t size() const override { return items_.size(); }
    void resize(std::size_t n) override { items_.resize(n); }
    void element(Visitor& w, std::size_t i) override { element_(w, items_[i]); }
    void prototype(Visitor& w) override {
      T fresh{};
      element_(w, fresh);
    }

   private:
    std::vector<T>& items_;
    F& element_;
  } view(items, element);
  v.list(info, view);
}

// map(v, info, items, element) over std::map<std::string, T> or std::vector<std::pair<std::string, T>>.
template <class C, class F>
void map(Visitor& v, const FieldInfo& info, C& items, F element) {
  class View final : public Map {
   public:
    View(C& x, F& f) : items_(x), element_(f) {}
    std::size_t size() const override { return items_.size(); }
    std::string_view name(std::size_t i) const override { return at(i)->first; }
    std::size_t add(const std::string& key) override {
      for (std::size_t i = 0; i < items_.size(); ++i)
        if (at(i)->first == key) return i;
      const auto it = items_.insert(items_.end(), typename C::value_type(key, {}));
      return static_cast<std::size_t>(std::distance(items_.begin(), it));
    }
    void element(Visitor& w, std::size_t i) override { element_(w, at(i)->second); }
    void prototype(Visitor& w) override {
      typename C::value_type fresh{};
      element_(w, fresh.second);
    }

   private:
    auto at(std::size_t i) const { return std::next(items_.begin(), static_cast<std::ptrdiff_t>(i)); }
    C& items_;
    F& element_;
  } view(items, element);
  v.map(info, view);
}

}  // namespace kerfkiln
