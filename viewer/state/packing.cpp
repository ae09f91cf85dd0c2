#include "viewer/state/packing.hpp"

#include <exception>

namespace kerfkiln::viewer {

Packing::Packing(std::shared_ptr<const output::Job> job, std::filesystem::path out, output::PacketOptions options,
                 std::function<void()> changed)
    : worker_([this, job = std::move(job), out = std::move(out), options = std::move(options),
               changed = std::move(changed)] {
        const auto progress = [&](double done, const std::string& what) {
          {
            const std::lock_guard lock(mutex_);
            state_.done = done;
            state_.what = what;
          }
          changed();
          return !cancelled_;
        };
        State last;
        try {
          Result<output::PacketReport> written = output::write_packet(*job, out, options, progress);
          if (written)
            last.report = std::move(written).value();
          else if (!cancelled_)
            last.findings = written.findings();
        } catch (const std::exception& e) {
          last.findings = {{Severity::error, "program.fault", "", std::string("Writing broke off: ") + e.what() + ".",
                            "This is a fault of the program; nothing was left behind."}};
        }
        last.done = 1;
        last.finished = true;
        {
          const std::lock_guard lock(mutex_);
          state_ = std::move(last);
        }
        changed();
      }) {}

Packing::~Packing() {
  cancel();
  worker_.join();
}

Packing::State Packing::state() const {
  const std::lock_guard lock(mutex_);
  return state_;
}

}  // namespace kerfkiln::viewer
