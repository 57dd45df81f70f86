// Jobs: the runs, by the workers.
#include "server/jobs.h"

#include "server/json_text.h"

#include <algorithm>
#include <sys/resource.h>
#include <unistd.h>

namespace buckram::server {
namespace {

constexpr std::size_t kMostKept = 6;  // plans in memory

// About half as much of a busy processor as the threads that answer (Linux: nice is per thread), so
// that a number does not wait for the plans of other jobs.
constexpr int kNice = 3;

int stage_of(double share) {
  return share < 0.1 ? 1 : share < 0.5 ? 2 : share < 0.7 ? 3 : share < 0.95 ? 4 : 5;
}

}  // namespace

void Jobs::work() {
  ::setpriority(PRIO_PROCESS, static_cast<id_t>(::gettid()), kNice);
  while (true) {
    std::optional<Running> next;
    {
      std::unique_lock lock(mutex_);
      wake_.wait(lock, [&] { return is_over_ || (next = take()).has_value(); });
      if (is_over_) return;
    }
    run(*next);
    wake_.notify_all();  // a newer change of the same job may have waited for this run to end
  }
}

// The first in the queue that has no run on. The lock is held.
std::optional<Jobs::Running> Jobs::take() {
  for (auto id = queue_.begin(); id != queue_.end(); ++id) {
    Entry& it = *entries_.at(*id);
    if (it.stop) continue;
    it.stop = std::make_shared<base::StopFlag>(false);
    it.is_queued = false;
    Running running{*id, it.record.revision, it.record.step(), it.stop, it.record};
    queue_.erase(id);
    return running;
  }
  return std::nullopt;
}

void Jobs::run(const Running& running) {
  Waiting waiting{{[&](std::string_view stage, double share) { report(running, stage, share); },
                   running.stop.get()},
                  [&](Ahead ahead) { show_ahead(running, std::move(ahead)); }};
  try {
    waiting.seen = kept_plan(running.before);
    const std::string folder = store_.plan_folder(running.id, running.revision);
    finish(running, run_plan(running.step, running.revision, store_, data_, folder, waiting));
  } catch (const base::Error& error) {
    if (error.code != base::ErrorCode::cancelled) fail(running, fault_json(error));
  } catch (const std::exception& error) {
    fail(running, R"({"code":"internal","what":"internal fault","where":"","hint":)"
                  R"("Keep the artwork and report it"})");
  }
  const std::lock_guard lock(mutex_);
  const auto found = entries_.find(running.id);
  if (found != entries_.end() && found->second->stop == running.stop) found->second->stop.reset();
}

// Whether what the run was begun for is still asked. The lock is held.
bool Jobs::is_wanted(const Running& running) const {
  const auto found = entries_.find(running.id);
  return found != entries_.end() && found->second->stop == running.stop &&
         found->second->record.revision == running.revision &&
         found->second->record.state == State::planning;
}

void Jobs::report(const Running& running, std::string_view stage, double share) {
  const std::lock_guard lock(mutex_);
  if (!is_wanted(running)) return;
  Entry& it = *entries_.at(running.id);
  const Progress now{running.revision, std::string(stage), stage_of(share)};
  if (it.progress.stage == now.stage && it.progress.done == now.done) return;
  it.progress = now;
  told(it);
}

void Jobs::show_ahead(const Running& running, Ahead ahead) {
  const std::lock_guard lock(mutex_);
  if (!is_wanted(running)) return;
  Entry& it = *entries_.at(running.id);
  it.ahead = std::make_shared<const Ahead>(std::move(ahead));
  told(it);
}

void Jobs::finish(const Running& running, PlanRun done) {
  store_.prepare(running.id, running.revision, std::move(done.files));
  const std::lock_guard lock(mutex_);
  if (!is_wanted(running)) return store_.drop_prepared(running.id, running.revision);
  Entry& it = *entries_.at(running.id);
  Record record = it.record;
  store_.publish(running.id, running.revision);
  const int old = record.before;
  record.before = record.shown;
  record.shown = running.revision;
  record.state = done.state;
  record.summary = done.summary;
  Step& step = record.steps[record.at];
  lay_over(step.set, done.improved);
  step.improves = false;
  store_.save(record);
  it.record = std::move(record);
  it.ahead.reset();
  it.has_its_stitches = true;
  if (old > 0) store_.drop_plan(running.id, old);
  if (done.plan) keep({running.id, running.revision, std::move(done.plan)});
  told(it);
}

void Jobs::fail(const Running& running, const std::string& error) {
  const std::lock_guard lock(mutex_);
  if (!is_wanted(running)) return;
  Entry& it = *entries_.at(running.id);
  it.record.state = State::failed;
  it.record.error = error;
  it.ahead.reset();
  try {
    store_.save(it.record);
  } catch (const base::Error&) {
    // The disk is full, which may be what is being told; the next start plans again.
  }
  told(it);
}

// The lock is held.
void Jobs::keep(KeptPlan kept) {
  std::erase_if(kept_, [&](const KeptPlan& each) { return each.id == kept.id; });
  kept_.push_front(std::move(kept));
  if (kept_.size() > kMostKept) kept_.pop_back();
}

// The stitches that are shown, from memory or from disk; empty where there are none.
std::shared_ptr<const stitch::Plan> Jobs::kept_plan(const Record& record) {
  {
    const std::lock_guard lock(mutex_);
    for (const KeptPlan& each : kept_) {
      if (each.id == record.id && each.revision == record.shown) return each.plan;
    }
  }
  const auto bytes = store_.plan_file(record.id, record.shown, "plan.json");
  if (!bytes) return nullptr;
  auto plan = std::make_shared<const stitch::Plan>(stitch::read_plan(*bytes, "plan.json"));
  const std::lock_guard lock(mutex_);
  if (entries_.contains(record.id)) keep({record.id, record.shown, plan});
  return plan;
}

}  // namespace buckram::server
