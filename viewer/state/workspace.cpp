#include "viewer/state/workspace.hpp"

#include <algorithm>

#include "modeler/job/describe.hpp"
#include "modeler/job/json_tree.hpp"

namespace kerfkiln::viewer {

Workspace::Workspace(Editor editor, Evaluator::Evaluate evaluate, std::function<void()> wake,
                     Evaluator::Options options)
    : editor_(std::move(editor)), wake_(wake), evaluator_(std::move(evaluate), [&] {
        options.published = wake;
        return options;
      }()) {
  display.units = editor_.document()->design.units;
}

Wanted Workspace::wanted() const { return {piece_, display.components && has_components(), also_}; }

void Workspace::poll() {
  snapshot_ = evaluator_.latest();
  if (asked_revision_ != editor_.revision() || asked_ != wanted()) {
    asked_revision_ = editor_.revision();
    asked_ = wanted();
    evaluator_.submit(asked_revision_, editor_.document(), *asked_);
  }
}

const product::Product* Workspace::product() const {
  if (!snapshot_ || piece_ >= snapshot_->job->products.size()) return nullptr;
  return &snapshot_->job->products[piece_];
}

bool Workspace::has_components() const {
  const product::Product* p = product();
  // While the design cannot be made there are no shapes; the choice outlives that.
  if (!p || p->shapes.empty()) return display.components;
  return std::any_of(p->shapes.begin(), p->shapes.end(),
                     [](const product::Shape& s) { return (!s.whole || s.apart) && s.shown; });
}

void Workspace::select_piece(std::size_t i) {
  if (i >= piece_count() || i == piece_) return;
  piece_ = i;
  also_.clear();
}

void Workspace::show_also(const std::string& id, bool on) {
  std::erase(also_, id);
  if (on) also_.push_back(id);
}
bool Workspace::shows_also(const std::string& id) const {
  return std::find(also_.begin(), also_.end(), id) != also_.end();
}

std::shared_ptr<const Field> Workspace::fields() {
  if (fields_revision_ != editor_.revision()) {
    job::Design copy = editor_.document()->design;
    fields_ = std::make_shared<const Field>(field_tree([&copy](Visitor& v) { job::describe(v, copy); }));
    fields_revision_ = editor_.revision();
  }
  return fields_;
}

std::vector<std::string> Workspace::names(const std::string& materials_map) const {
  return job::material_names(editor_.document()->design, materials_map);
}

void Workspace::changed() {
  piece_ = std::min(piece_, std::max<std::size_t>(piece_count(), 1) - 1);
  notice = {};
}

void Workspace::set_json(const std::string& path, const std::string& json, Editor::Gesture gesture) {
  const Result<bool> done = editor_.set(path, json, gesture);
  if (!done) {
    refused_.insert_or_assign(path, done.findings().front());
    return;
  }
  refused_.erase(path);
  if (*done) changed();
}

void Workspace::set_value(const Field& f, double canonical, Editor::Gesture gesture) {
  set_json(f.path, json_for_value(f, canonical, editor_.document()->design.units), gesture);
}

void Workspace::set_typed(const Field& f, const std::string& typed) {
  const Units units = editor_.document()->design.units;
  if (typed == shown_text(f, units)) {
    refused_.erase(f.path);
    return;
  }
  // An emptied box takes the value out of the file, where the default may speak for it.
  if (typed.empty() && !f.required) {
    set_json(f.path, "");
    return;
  }
  const Result<std::string> json = json_for_typed(f, typed, units);
  if (json)
    set_json(f.path, *json);
  else
    refused_.insert_or_assign(f.path, json.findings().front());
}

void Workspace::take(const product::Offer& offer) {
  const Result<job::Document> next = job::taken(*editor_.document(), piece_, offer);
  if (!next) {
    notice = {next.findings().front().message + " " + next.findings().front().remedy, true};
    return;
  }
  editor_.replace(next->text, offer.label);
  refused_.clear();
  changed();
  notice = {offer.label + ": done; undo takes it back.", false};
}

void Workspace::duplicate_element(const std::string& list_path, std::size_t i) {
  const std::shared_ptr<const job::Document> document = editor_.document();
  const Result<job::JsonTree> tree = job::read_json(document->text);
  if (!tree) return;
  const int list = tree->find(list_path);
  if (list < 0) return;
  const std::size_t n = (*tree)[list].size;
  if (i >= n) return;
  const auto raw = [&](std::size_t k) { return std::string(tree->raw(tree->element(list, k))); };
  // From the end, so that the comments between the elements stay where they are.
  const Editor::Gesture one_step = new_gesture();
  for (std::size_t k = n; k > i; --k) set_json(list_path + "/" + std::to_string(k), raw(k - 1), one_step);
}

void Workspace::remove_element(const std::string& list_path, std::size_t i) {
  set_json(list_path + "/" + std::to_string(i), "");
}

void Workspace::undo() {
  editor_.undo();
  refused_.clear();
  changed();
}
void Workspace::redo() {
  editor_.redo();
  refused_.clear();
  changed();
}

std::vector<Finding> Workspace::findings_at(const std::string& path) const {
  std::vector<Finding> out;
  if (const auto it = refused_.find(path); it != refused_.end()) out.push_back(it->second);
  if (snapshot_)
    for (const Finding& f : snapshot_->findings)
      if (f.path == path) out.push_back(f);
  return out;
}

std::optional<Severity> Workspace::worst_below(const std::string& path) const {
  std::optional<Severity> worst;
  const auto take = [&](const std::string& at, Severity s) {
    if (at == path || at.starts_with(path + "/")) worst = worst ? std::max(*worst, s) : s;
  };
  for (const auto& [at, f] : refused_) take(at, f.severity);
  if (snapshot_)
    for (const Finding& f : snapshot_->findings) take(f.path, f.severity);
  return worst;
}

bool Workspace::said(std::optional<Finding> trouble, const std::string& well) {
  if (trouble) {
    notice = {trouble->message + " " + trouble->remedy, true};
    return false;
  }
  notice = {well, false};
  return true;
}

bool Workspace::open(const std::filesystem::path& path) {
  Result<Editor> next = Editor::of_file(path);
  if (!next) return said(next.findings().front(), "");
  next->continue_after(editor_);
  editor_ = std::move(next).value();
  refused_.clear();
  piece_ = 0;
  also_.clear();
  display.units = editor_.document()->design.units;
  changed();
  return said(std::nullopt, "Opened " + path.filename().string());
}

bool Workspace::save(bool over) {
  std::optional<Finding> trouble = editor_.save(over);
  if (trouble && trouble->code == "file.changed_outside") overwrite_asked = true;
  return said(std::move(trouble), "Saved " + editor_.path().filename().string());
}
bool Workspace::save_as(const std::filesystem::path& path) {
  return said(editor_.save_as(path), "Saved " + path.filename().string());
}

bool Workspace::can_pack() const {
  return !packing_ && snapshot_ && snapshot_->revision == editor_.revision() && !has_errors(snapshot_->findings);
}
void Workspace::start_packing(const std::filesystem::path& folder) {
  if (!can_pack()) return;
  packing_ = std::make_unique<Packing>(snapshot_->job, folder, output::PacketOptions{}, wake_);
}
void Workspace::end_packing() { packing_.reset(); }

std::filesystem::path Workspace::proposed_packet_folder() const {
  const std::filesystem::path& file = editor_.path();
  const std::filesystem::path base =
      file.empty() ? std::filesystem::current_path() : std::filesystem::absolute(file).parent_path();
  return base / ((file.empty() ? std::string("design") : file.stem().string()) + "-packet");
}

}  // namespace kerfkiln::viewer
