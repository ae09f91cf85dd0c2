#include "viewer/state/evaluator.hpp"

#include <algorithm>
#include <chrono>
#include <exception>

namespace kerfkiln::viewer {
namespace {

double milliseconds_since(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count();
}

Findings all_findings(const output::Job& job) {
  Findings all = job.findings;
  for (const product::Product& p : job.products)
    for (const Finding& f : p.findings)
      if (std::find(all.begin(), all.end(), f) == all.end()) all.push_back(f);
  return all;
}

}  // namespace

bool is_wanted(const product::Shape& s, const Wanted& w) {
  if (std::find(w.also.begin(), w.also.end(), s.id) != w.also.end()) return true;
  return s.shown && (w.components ? !s.whole || s.apart : s.whole);
}

Evaluator::Evaluator(Evaluate evaluate, Options options)
    : evaluate_(std::move(evaluate)), options_(std::move(options)), worker_([this] { work(); }) {}

Evaluator::~Evaluator() {
  {
    const std::lock_guard lock(mutex_);
    stopping_ = true;
    ++ticket_;
  }
  changed_.notify_all();
  worker_.join();
}

void Evaluator::submit(std::uint64_t revision, std::shared_ptr<const job::Document> document, Wanted wanted) {
  {
    const std::lock_guard lock(mutex_);
    pending_ = Request{revision, ++ticket_, std::move(document), std::move(wanted)};
  }
  changed_.notify_all();
}

std::shared_ptr<const Snapshot> Evaluator::latest() const {
  const std::lock_guard lock(mutex_);
  return latest_;
}
bool Evaluator::busy() const {
  const std::lock_guard lock(mutex_);
  return live_ticket_ != ticket_;
}
bool Evaluator::refining() const {
  const std::lock_guard lock(mutex_);
  return done_ticket_ != ticket_;
}
void Evaluator::wait_until_finest() const {
  std::unique_lock lock(mutex_);
  changed_.wait(lock, [this] { return done_ticket_ == ticket_ || stopping_; });
}

void Evaluator::work() {
  for (;;) {
    Request request{};
    {
      std::unique_lock lock(mutex_);
      changed_.wait(lock, [this] { return stopping_ || pending_; });
      if (stopping_) return;
      request = std::move(*pending_);
      pending_.reset();
    }
    evaluate(request);
  }
}

bool Evaluator::stopping() const {
  const std::lock_guard lock(mutex_);
  return stopping_;
}

bool Evaluator::current(const Request& r) const {
  const std::lock_guard lock(mutex_);
  return r.ticket == ticket_;
}

void Evaluator::publish(const Request& r, std::shared_ptr<const Snapshot> snapshot) {
  {
    const std::lock_guard lock(mutex_);
    live_ticket_ = r.ticket;
    if (snapshot->finest) done_ticket_ = r.ticket;
    latest_ = std::move(snapshot);
  }
  changed_.notify_all();
  options_.published();
}

void Evaluator::evaluate(const Request& r) {
  const auto begun = std::chrono::steady_clock::now();
  const auto wanted = [&] { return current(r) || (!stopping() && milliseconds_since(begun) <= options_.follow_ms); };
  if (!evaluated_.job || evaluated_.revision != r.revision) {
    const auto start = std::chrono::steady_clock::now();
    Evaluated next;
    next.revision = r.revision;
    try {
      next.job = std::make_shared<const output::Job>(evaluate_(*r.document));
      next.findings = all_findings(*next.job);
    } catch (const std::exception& e) {  // the window stays alive and the design can still be saved
      next.job = std::make_shared<const output::Job>();
      next.findings = {{Severity::error, "program.fault", "",
                        std::string("The evaluation broke off: ") + e.what() + ".",
                        "Undo the last change; the design can be saved as it is. This is a fault of the program."}};
    }
    next.ms = milliseconds_since(start);
    evaluated_ = std::move(next);
  }
  Snapshot s;
  s.revision = r.revision;
  s.document = r.document;
  s.job = evaluated_.job;
  s.findings = evaluated_.findings;
  s.wanted = r.wanted;
  s.evaluate_ms = evaluated_.ms;
  if (!wanted() || !mesh(r, options_.live_deviation_mm, s, wanted)) return;
  s.finest = s.outdated || s.pictures.empty();
  publish(r, std::make_shared<const Snapshot>(s));
  if (s.finest) return;

  Snapshot fine = s;
  fine.findings = evaluated_.findings;
  if (!mesh(r, options_.fine_deviation_mm, fine, [&] { return current(r); })) return;
  fine.finest = true;
  publish(r, std::make_shared<const Snapshot>(std::move(fine)));
}

bool Evaluator::mesh(const Request& r, double deviation_mm, Snapshot& s, const std::function<bool()>& wanted) const {
  const auto start = std::chrono::steady_clock::now();
  s.pictures.clear();
  s.triangles = 0;
  s.deviation_mm = deviation_mm;
  if (r.wanted.piece < s.job->products.size()) {
    for (const product::Shape& shape : s.job->products[r.wanted.piece].shapes) {
      if (!is_wanted(shape, r.wanted)) continue;
      if (!wanted()) return false;
      try {
        const Result<solid::Mesh> mesh = shape.mesh(deviation_mm);
        if (!mesh) {
          append(s.findings, under("pieces/" + std::to_string(r.wanted.piece), mesh.findings()));
          continue;
        }
        auto picture = std::make_shared<const Picture>(picture_of(*mesh));
        s.triangles += picture->triangles.size() / 3;
        s.pictures.push_back(
            {shape.id, shape.label, shape.colour, shape.explode, shape.whole && !shape.apart, std::move(picture)});
      } catch (const std::exception& e) {
        s.findings.push_back({Severity::error, "program.fault", "",
                              "The picture of " + shape.label + " broke off: " + e.what() + ".",
                              "Undo the last change. This is a fault of the program."});
      }
    }
  }
  if (s.pictures.empty() && has_errors(s.findings)) {
    const std::shared_ptr<const Snapshot> before = latest();
    if (before && before->wanted.piece == r.wanted.piece) {
      s.pictures = before->pictures;
      s.triangles = before->triangles;
      s.deviation_mm = before->deviation_mm;
      s.outdated = !s.pictures.empty();
    }
  }
  s.mesh_ms = milliseconds_since(start);
  return wanted();
}

}  // namespace kerfkiln::viewer
