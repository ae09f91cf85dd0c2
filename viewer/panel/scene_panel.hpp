// The picture of the piece with its sizes, and what steers it.
#pragma once
#include <memory>

#include "viewer/panel/ui.hpp"
#include "viewer/render/camera.hpp"
#include "viewer/render/scene.hpp"

namespace kerfkiln::viewer {

class ScenePanel {
 public:
  explicit ScenePanel(std::unique_ptr<Scene> scene) : scene_(std::move(scene)) {}
  void draw(Ui&);
  void fit() { fit_wanted_ = true; }
  Camera camera;
  double last_draw_ms() const { return scene_->last_draw_ms(); }

 private:
  struct View {  // where the picture stands on the screen, px
    float x, y, w, h;
    double aspect() const { return static_cast<double>(w) / static_cast<double>(h); }
  };
  void take_items(Ui&);
  void steer(Ui&, const View&);
  void sizes(Ui&, const View&);
  void size_label(Ui&, const product::Handle&, const Field&, float x, float y);
  void scale_bar(Ui&, const View&);
  void compass(Ui&, const View&);
  void tools(Ui&, const View&);
  void view_buttons(Ui&, const View&);
  void legend(Ui&, const View&);
  Cut cut_of(const Display&) const;

  std::unique_ptr<Scene> scene_;
  const Snapshot* seen_ = nullptr;
  std::uint64_t seen_revision_ = 0;
  double seen_explode_ = -1;
  std::string fitted_for_;
  bool fit_wanted_ = true;
  bool handle_dragged_ = false;
  Vec3 low_, high_;        // of what is shown, exploded
  int last_motion_ = 100;  // frames since something moved
};

}  // namespace kerfkiln::viewer
