// All that one window is about, without the window: the design, its evaluation, what is selected and how it is shown.
#pragma once
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "viewer/state/editor.hpp"
#include "viewer/state/evaluator.hpp"
#include "viewer/state/field.hpp"
#include "viewer/state/packing.hpp"

namespace kerfkiln::viewer {

enum class CutAxis { none, width, depth, height };

struct Display {
  bool components = false;  // layers instead of the piece as one
  double explode = 0;       // 0 ... 1
  CutAxis cut = CutAxis::none;
  double cut_at = 0.5;  // share of the extent
  bool edges = true, floor = true, sizes = true;
  bool dark = false;
  Units units = Units::mm;
};

// A short message for the foot of the window; errors stay until the next one.
struct Notice {
  std::string text;
  bool trouble = false;
};

class Workspace {
 public:
  // `wake` is called from other threads when there is something new to show.
  Workspace(Editor, Evaluator::Evaluate, std::function<void()> wake, Evaluator::Options = {});

  const Editor& editor() const { return editor_; }
  Display display;
  Notice notice;
  std::set<std::string> emphasised;  // paths that the figure under the pointer comes from

  // Once a frame: takes the newest snapshot, and asks for another where design, piece or display changed.
  void poll();
  const Snapshot* snapshot() const { return snapshot_.get(); }
  bool busy() const { return evaluator_.busy(); }
  void wait() { poll(), evaluator_.wait_until_finest(), poll(); }
  // The selected piece as evaluated, null before the first evaluation.
  const product::Product* product() const;
  bool has_components() const;

  std::size_t piece() const { return piece_; }
  std::size_t piece_count() const { return editor_.document()->design.pieces.size(); }
  void select_piece(std::size_t);
  std::string piece_path() const { return "pieces/" + std::to_string(piece_); }
  // Ids of shapes shown besides the live picture, such as the cavity.
  void show_also(const std::string& id, bool on);
  bool shows_also(const std::string& id) const;

  // The parameter table of the present document.
  std::shared_ptr<const Field> fields();
  std::vector<std::string> names(const std::string& materials_map) const;

  // Edits. What cannot become part of the design (no number, no unit) is kept beside its field instead.
  void set_json(const std::string& path, const std::string& json, Editor::Gesture gesture = 0);
  void set_value(const Field&, double canonical, Editor::Gesture gesture);
  void set_typed(const Field&, const std::string& typed);
  Editor::Gesture new_gesture() { return ++gesture_; }
  // What the selected piece offers, as one step of undo.
  void take(const product::Offer&);
  void duplicate_element(const std::string& list_path, std::size_t i);
  void remove_element(const std::string& list_path, std::size_t i);
  void undo();
  void redo();

  // Findings at a path itself; `below` counts those of all fields under it too.
  std::vector<Finding> findings_at(const std::string& path) const;
  std::optional<Severity> worst_below(const std::string& path) const;

  // Files. True: done; the notice says so or why not.
  bool open(const std::filesystem::path&);
  bool save(bool over = false);
  bool save_as(const std::filesystem::path&);
  bool overwrite_asked = false;  // the file changed outside; the window asks

  bool can_pack() const;
  void start_packing(const std::filesystem::path&);
  Packing* packing() { return packing_.get(); }
  void end_packing();
  std::filesystem::path proposed_packet_folder() const;

 private:
  Wanted wanted() const;
  void changed();
  bool said(std::optional<Finding>, const std::string& well);

  Editor editor_;
  std::function<void()> wake_;
  Evaluator evaluator_;
  std::shared_ptr<const Snapshot> snapshot_;
  std::optional<Wanted> asked_;
  std::uint64_t asked_revision_ = 0;
  std::size_t piece_ = 0;
  std::vector<std::string> also_;
  std::shared_ptr<const Field> fields_;
  std::uint64_t fields_revision_ = 0;
  std::map<std::string, Finding> refused_;  // by path: typed, but no value
  Editor::Gesture gesture_ = 0;
  std::unique_ptr<Packing> packing_;
};

}  // namespace kerfkiln::viewer
