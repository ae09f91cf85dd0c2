// Writing a packet away from the frame, with progress and cancel.
#pragma once
#include <atomic>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>

#include "export/writer/packet.hpp"

namespace kerfkiln::viewer {

class Packing {
 public:
  struct State {
    double done = 0;  // 0 ... 1
    std::string what;
    bool finished = false;
    std::optional<output::PacketReport> report;  // finished well
    Findings findings;                           // finished otherwise; empty with no report: cancelled
  };
  // Starts at once. `changed` is called from the worker on progress and at the end.
  Packing(std::shared_ptr<const output::Job>, std::filesystem::path out, output::PacketOptions,
          std::function<void()> changed);
  ~Packing();  // cancels and waits
  Packing(const Packing&) = delete;
  Packing& operator=(const Packing&) = delete;

  void cancel() { cancelled_ = true; }
  bool cancelled() const { return cancelled_; }
  State state() const;

 private:
  mutable std::mutex mutex_;
  State state_;
  std::atomic<bool> cancelled_ = false;
  std::thread worker_;
};

}  // namespace kerfkiln::viewer
