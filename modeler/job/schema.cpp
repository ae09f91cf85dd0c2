// The parameter tables as JSON Schema 2020-12, so that any editor completes and checks a design while it is typed.
#include <nlohmann/json.hpp>

#include "modeler/base/units.hpp"
#include "modeler/job/describe.hpp"
#include "modeler/job/design.hpp"

namespace kerfkiln::job {
namespace {

using Json = nlohmann::ordered_json;

// A number or fraction, then anything that can be a unit; base/units.hpp reads it in earnest.
constexpr const char* kQuantityPattern =
    R"(^\s*[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?((\s+|-)\d+/\d+|/\d+)?\s*([A-Za-z%"'][^,]*)?$)";

void put_limits(Json& j, const Range& r) {
  if (r.low > -kNoLimit) j[r.open_low ? "exclusiveMinimum" : "minimum"] = r.low;
  if (r.high < kNoLimit) j[r.open_high ? "exclusiveMaximum" : "maximum"] = r.high;
}
void put_counts(Json& j, const Range& r, const char* least, const char* most) {
  if (r.low > 0) j[least] = static_cast<std::int64_t>(r.low);
  if (r.high < kNoLimit) j[most] = static_cast<std::int64_t>(r.high);
}

class SchemaWriter final : public Visitor {
 public:
  Json object() {
    Json j{{"type", "object"}, {"properties", properties_}, {"additionalProperties", false}};
    if (!required_.empty()) j["required"] = required_;
    return j;
  }

  void quantity(const FieldInfo& info, Dimension d, Quantity&) override { put(info, quantity_schema(info, d)); }
  void integer(const FieldInfo& info, int&) override {
    Json j = described(info);
    j["type"] = "integer";
    put_limits(j, info.range);
    if (!info.default_text.empty()) j["default"] = Json::parse(info.default_text);
    put(info, std::move(j));
  }
  void flag(const FieldInfo& info, bool&) override {
    Json j = described(info);
    j["type"] = "boolean";
    if (!info.default_text.empty()) j["default"] = info.default_text == "true";
    put(info, std::move(j));
  }
  void text(const FieldInfo& info, std::string&) override {
    Json j = described(info);
    j["type"] = "string";
    if (!info.choices.empty()) {
      for (const Choice& c : info.choices) j["enum"].push_back(c.value);
    } else {
      j["maxLength"] = info.form == TextForm::name ? 80 : 1000;
    }
    if (info.form == TextForm::name) j["minLength"] = 1;
    if (info.form == TextForm::colour) j["pattern"] = "^#[0-9A-Fa-f]{6}$";
    if (info.form == TextForm::date) j["pattern"] = "^([0-9]{4}-[0-9]{2}-[0-9]{2})?$";
    if (!info.refers_to.empty()) j["examples"] = material_names({}, info.refers_to);
    if (!info.default_text.empty()) j["default"] = info.default_text;
    put(info, std::move(j));
  }
  void tuple(const FieldInfo& info, std::span<const TupleItem> items) override {
    Json j = described(info);
    j["type"] = "array";
    for (const TupleItem& item : items) j["prefixItems"].push_back(quantity_schema(item.info, item.dimension));
    j["minItems"] = j["maxItems"] = items.size();
    put(info, std::move(j));
  }
  void record(const FieldInfo& info, const Fields& fields) override {
    SchemaWriter inner;
    fields(inner);
    put(info, merged(described(info), inner.object()));
  }
  void list(const FieldInfo& info, List& items) override {
    SchemaWriter inner;
    items.prototype(inner);
    Json j = described(info);
    j["type"] = "array";
    j["items"] = inner.element();
    put_counts(j, info.range, "minItems", "maxItems");
    put(info, std::move(j));
  }
  void map(const FieldInfo& info, Map& items) override {
    SchemaWriter inner;
    items.prototype(inner);
    Json j = described(info);
    j["type"] = "object";
    j["propertyNames"] = {{"minLength", 1}, {"maxLength", 80}};
    j["additionalProperties"] = inner.element();
    put_counts(j, info.range, "minProperties", "maxProperties");
    put(info, std::move(j));
  }
  void alternatives(const FieldInfo& info, Alternatives& forms) override {
    Json j = described(info);
    for (std::size_t i = 0; i < forms.count(); ++i) j["oneOf"].push_back(form_schema(forms, i));
    put(info, std::move(j));
  }
  void kept(const FieldInfo& info, KeptSlot) override { put(info, described(info)); }

 private:
  Json element() const { return properties_.empty() ? Json::object() : properties_.begin().value(); }

  static Json merged(Json a, const Json& b) {
    for (const auto& [key, value] : b.items()) a[key] = value;
    return a;
  }
  static Json described(const FieldInfo& info) {
    std::string text(info.help);
    if (!info.default_text.empty()) {
      text += " Default: " + std::string(info.default_text);
      if (!info.source.empty()) text += " (" + std::string(info.source) + ")";
      text += ".";
    }
    if (!info.computed) text += " Kept, not computed yet.";
    Json j = Json::object();
    if (!info.label.empty()) j["title"] = info.label;
    if (!text.empty()) j["description"] = text;
    return j;
  }
  static Json quantity_schema(const FieldInfo& info, Dimension d) {
    Json j = described(info);
    std::string text = j.value("description", "");
    if (info.range.limited())
      text += (text.empty() ? "" : " ") + ("Permitted: " + format_range(info.range, d, Units::mm) + ".");
    j["description"] = text + (text.empty() ? "" : " ") + "Write " + std::string(expected_quantity(d)) + ".";
    const bool bare = bare_quantity(1, d, Units::mm).has_value();
    if (bare)
      j["type"] = {"number", "string"};
    else
      j["type"] = "string";
    j["pattern"] = kQuantityPattern;
    // The limits of a bare length depend on the file's units, its sign does not.
    Range limits = info.range;
    if (d == Dimension::length)
      limits = {limits.low >= 0 ? 0 : -kNoLimit, kNoLimit, limits.low > 0 || limits.open_low, false};
    if (bare) put_limits(j, limits);
    if (!info.default_text.empty()) j["default"] = info.default_text;
    return j;
  }
  static Json form_schema(Alternatives& forms, std::size_t i) {
    const Alternative a = forms.at(i);
    if (a.word) return {{"const", a.id}, {"title", a.label}, {"description", a.help}};
    SchemaWriter inner;
    if (!forms.tag().empty()) {
      inner.properties_[std::string(forms.tag())] = {{"const", a.id}};
      inner.required_.push_back(forms.tag());
    }
    forms.prototype(inner, i);
    Json j = merged({{"title", a.label}}, inner.object());
    if (forms.tag().empty()) j["required"] = Json::array({a.id});
    return j;
  }
  void put(const FieldInfo& info, Json j) {
    properties_[std::string(info.key)] = std::move(j);
    if (info.required) required_.push_back(info.key);
  }

  Json properties_ = Json::object();
  Json required_ = Json::array();
};

}  // namespace

std::string schema() {
  SchemaWriter writer;
  Design fresh;
  describe(writer, fresh);
  Json j{{"$schema", "https://json-schema.org/draft/2020-12/schema"}, {"title", "kerfkiln design"}};
  const Json whole = writer.object();
  for (const auto& [key, value] : whole.items()) j[key] = value;
  return j.dump(1, ' ') + "\n";
}

}  // namespace kerfkiln::job
