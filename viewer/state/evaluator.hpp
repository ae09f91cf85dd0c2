// Evaluation away from the frame: one worker, the newest request wins, finished results arrive as immutable snapshots.
#pragma once
#include <condition_variable>
#include <cstdint>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>
#include <vector>

#include "export/document/job_info.hpp"
#include "viewer/state/picture.hpp"

namespace kerfkiln::viewer {

// Which solids of a piece are wanted.
struct Wanted {
  std::size_t piece = 0;
  bool components = false;        // layers and the like instead of the piece as one
  std::vector<std::string> also;  // ids of shapes that are not part of the live picture
  friend bool operator==(const Wanted&, const Wanted&) = default;
};
bool is_wanted(const product::Shape&, const Wanted&);

struct ShapePicture {
  std::string id, label;
  product::Colour colour;
  Vec3 explode;
  bool whole = true;
  std::shared_ptr<const Picture> picture;
};

struct Snapshot {
  std::uint64_t revision = 0;
  std::shared_ptr<const job::Document> document;
  std::shared_ptr<const output::Job> job;
  Findings findings;  // reading, pieces and meshing, each once
  Wanted wanted;
  std::vector<ShapePicture> pictures;
  bool outdated = false;    // the design has errors: the pictures show the last form that could be made
  double deviation_mm = 0;  // of the pictures
  bool finest = false;      // no finer pictures will follow
  std::size_t triangles = 0;
  double evaluate_ms = 0, mesh_ms = 0;
};

class Evaluator {
 public:
  using Evaluate = std::function<output::Job(const job::Document&)>;
  struct Options {
    double live_deviation_mm = 0.25;
    double fine_deviation_mm = 0.05;
    // A result that was superseded while it was worked out still appears if it took no longer than this: under a drag
    // the picture follows a step behind instead of standing still. Slower ones are dropped.
    double follow_ms = 250;
    // Called from the worker after each publication (to wake the window).
    std::function<void()> published = [] {};
  };
  Evaluator(Evaluate, Options);
  ~Evaluator();
  Evaluator(const Evaluator&) = delete;
  Evaluator& operator=(const Evaluator&) = delete;

  // Returns at once. Replaces a request that has not begun, and cancels one that has (see follow_ms).
  void submit(std::uint64_t revision, std::shared_ptr<const job::Document>, Wanted);
  // The newest snapshot, null before the first. Revisions never go back.
  std::shared_ptr<const Snapshot> latest() const;
  bool busy() const;  // a snapshot of the newest request at live deviation is still to come
  bool refining() const;
  // For tests and batch pictures: until nothing more will be published.
  void wait_until_finest() const;

 private:
  struct Request {
    std::uint64_t revision, ticket;
    std::shared_ptr<const job::Document> document;
    Wanted wanted;
  };
  struct Evaluated {  // kept by the worker, so that another view of the same design costs no evaluation
    std::uint64_t revision = 0;
    std::shared_ptr<const output::Job> job;
    Findings findings;
    double ms = 0;
  };
  void work();
  void evaluate(const Request&);
  // False: cancelled.
  bool mesh(const Request&, double deviation_mm, Snapshot&, const std::function<bool()>& wanted) const;
  bool current(const Request&) const;
  bool stopping() const;
  void publish(const Request&, std::shared_ptr<const Snapshot>);

  Evaluate evaluate_;
  Options options_;
  Evaluated evaluated_;
  mutable std::mutex mutex_;
  mutable std::condition_variable changed_;
  std::optional<Request> pending_;
  std::shared_ptr<const Snapshot> latest_;
  std::uint64_t ticket_ = 0;       // of the newest request
  std::uint64_t live_ticket_ = 0;  // of the newest live publication
  std::uint64_t done_ticket_ = 0;  // of the newest request with nothing more to come
  bool stopping_ = false;
  std::thread worker_;  // last: started when all else stands
};

}  // namespace kerfkiln::viewer
