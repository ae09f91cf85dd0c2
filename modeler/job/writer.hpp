// The visitor that turns typed values into JSON text, and the text's layout.
#pragma once
#include <set>
#include <string>
#include <vector>

#include "modeler/base/parameter.hpp"
#include "modeler/base/units.hpp"

namespace kerfkiln::job {

// A JSON value about to be printed: a token, or the members of a record, or the items of a list.
struct JsonValue {
  enum class Kind { token, object, array } kind = Kind::token;
  std::string token;
  std::string key;      // unescaped, of a record's member
  std::string comment;  // printed above it, wrapped; empty: none
  std::vector<JsonValue> items;
};

// One line where it fits, one member a line otherwise. Ends without a line break.
std::string pretty(const JsonValue&);
std::string compact(const JsonValue&);

class Writer final : public Visitor {
 public:
  enum class Style {
    plain,     // what is written or differs from its default
    explained  // defaults too, and the help of each field above its first mention
  };
  Writer(Units, Style);
  JsonValue take() { return std::move(object_); }

  void quantity(const FieldInfo&, Dimension, Quantity&) override;
  void integer(const FieldInfo&, int&) override;
  void flag(const FieldInfo&, bool&) override;
  void text(const FieldInfo&, std::string&) override;
  void tuple(const FieldInfo&, std::span<const TupleItem>) override;
  void record(const FieldInfo&, const Fields&) override;
  void list(const FieldInfo&, List&) override;
  void map(const FieldInfo&, Map&) override;
  void alternatives(const FieldInfo&, Alternatives&) override;
  void kept(const FieldInfo&, KeptSlot) override;

 private:
  bool must(const FieldInfo& info) const { return info.required && needs_required_; }
  void put(const FieldInfo&, JsonValue);
  void put_token(const FieldInfo&, std::string token);
  std::string token(const Quantity&, Dimension) const;
  JsonValue object_of(const Fields&);
  JsonValue element_of(const Fields&);

  Units units_;
  Style style_;
  bool needs_required_ = true;  // false: is anything said at all?
  JsonValue object_{JsonValue::Kind::object, {}, {}, {}, {}};
  std::set<std::string> explained_;  // comments that have been printed
};

}  // namespace kerfkiln::job
