#include "modeler/urn/shrinkage.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>

namespace kerfkiln::urn {
namespace {

Scale stage_shrinkage(const material::ShrinkageStage& s) {
  const double girth = s.shrinkage.value;
  return {girth, s.height_shrinkage.known() ? s.height_shrinkage.value : girth};
}

Scale before(Scale after, Scale shrunk) {
  return {after.girth / (1 - shrunk.girth), after.height / (1 - shrunk.height)};
}

}  // namespace

const State& ShrinkageChain::state(const std::string& id) const {
  const auto it = std::find_if(states.begin(), states.end(), [&](const State& s) { return s.id == id; });
  if (it == states.end()) std::abort();  // a fault of ours: ids are fixed
  return *it;
}

ShrinkageChain shrinkage_chain(const material::Body& body, const material::Model& model,
                               const material::Plaster& plaster, int generations) {
  ShrinkageChain chain;
  Scale size;
  chain.states.push_back({"fired", "Fired", size, "the form as drawn"});
  for (std::size_t i = body.stages.size(); i-- > 0;) {
    size = before(size, stage_shrinkage(body.stages[i]));
    const bool cast = i == 0;
    const std::string id = cast ? "cavity" : body.stages[i - 1].name;
    const std::string label = cast ? "Cavity (as cast)" : "After " + body.stages[i - 1].name;
    chain.states.push_back(
        {id, label, size, "size after " + body.stages[i].name + " / (1 - shrinkage of " + body.stages[i].name + ")"});
  }
  if (body.stages.empty()) chain.states.push_back({"cavity", "Cavity (as cast)", size, "no shrinkage given"});
  chain.oversize = size;
  chain.total = {1 - 1 / size.girth, 1 - 1 / size.height};

  const double grown = std::pow(1 + plaster.setting_expansion.value, generations);
  size = {size.girth / grown, size.height / grown};
  chain.states.push_back({"model", "Model, when moulded", size, "cavity / (1 + setting expansion)^generations"});
  size = before(size, {model.shrinkage.value, model.shrinkage.value});
  chain.states.push_back({"thrown", "Thrown (or made)", size, "model / (1 - shrinkage of the model until moulded)"});
  return chain;
}

Findings check_shrinkage(const std::string& body_name, const material::Body& body) {
  Findings out;
  if (body.stages.empty())
    out.push_back({Severity::error, "shrinkage.missing", "body",
                   "The clay body \"" + body_name + "\" has no shrinkage stages, so no cavity size follows from it.",
                   "Give it stages such as drying 3 % and firing 9 %, measured on bars cast from the same slip."});
  return out;
}

double linear_from_plastic_volume(double shrunk) { return 1 - std::cbrt(1 - shrunk); }
double linear_from_dry_volume(double shrunk) { return 1 - 1 / std::cbrt(1 + shrunk); }
double volume_from_linear(Scale s) { return 1 - (1 - s.height) * (1 - s.girth) * (1 - s.girth); }

}  // namespace kerfkiln::urn
