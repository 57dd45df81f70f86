#include "server/jobs.h"

#include <fmt/format.h>

#include <algorithm>

namespace buckram::server {
namespace {

constexpr int kWorkers = 2;

// Another mount or cap brings its own: what was set for the one before goes, but for what is asked
// with the change.
void drop_own(const std::vector<std::string>& before, const std::vector<std::string>& asked,
              std::vector<std::string>& set) {
  std::vector<std::string> next = set;
  lay_over(next, asked);
  const job::Job was = job::read_job("", "", "", before), is = job::read_job("", "", "", next);
  const auto drop = [&](job::Own what) {
    const std::vector<std::string> own = job::keys_of(what);
    std::erase_if(set, [&](const std::string& each) {
      return std::find(own.begin(), own.end(), key_of(each)) != own.end();
    });
  };
  if (is.mount != was.mount) drop(job::Own::mount);
  if (is.cap != was.cap) drop(job::Own::cap);
}

// Gaps stay those of the bench that they were measured on: the one before the change, unless they
// came with it.
void keep_gap_bench(const std::vector<std::string>& before, const Asked& asked,
                    std::vector<std::string>& set) {
  const auto has = [](const std::vector<std::string>& all, std::string_view key) {
    return std::any_of(all.begin(), all.end(),
                       [&](const std::string& each) { return key_of(each) == key; });
  };
  if (has(asked.set, "gap") || !has(set, "gap")) {
    std::erase_if(set, [](const std::string& each) { return key_of(each) == "gap_bench"; });
  } else if (!has(set, "gap_bench")) {
    lay_over(set, {job::gap_bench_setting(job::read_job("", "", "", before))});
  }
}

void push_step(Record& record, Step step) {
  record.steps.resize(record.at + 1);
  record.steps.push_back(std::move(step));
  if (record.steps.size() > kMostSteps) record.steps.erase(record.steps.begin());
  record.at = record.steps.size() - 1;
}

// What is asked has changed: a new revision, to be planned unless there is nothing to sew.
void begin_revision(Record& record, const job::Resolved& job) {
  ++record.revision;
  record.state = has_artwork(job.job) ? State::planning : State::empty;
  record.error.clear();
  record.changed = utc_now();
  const Summary last = record.summary;
  record.summary = summary_of(record.step(), job);
  record.summary.verdict = last.verdict;
  record.summary.breaks_per_100 = last.breaks_per_100;
  if (!record.summary.height_mm) record.summary.height_mm = last.height_mm;
}

bool is_bench_change(const Asked& asked) {
  const auto is_bench = [](const std::string& each) { return is_bench_key(key_of(each)); };
  return !asked.artwork && !asked.layout && !(asked.set.empty() && asked.unset.empty()) &&
         std::all_of(asked.set.begin(), asked.set.end(), is_bench) &&
         std::all_of(asked.unset.begin(), asked.unset.end(), is_bench);
}

}  // namespace

Step step_after(const Step& before, const Asked& asked) {
  Step step = before;
  step.improves = false;
  step.words = asked.words;
  if (asked.artwork) step.artwork = *asked.artwork;
  if (asked.layout) step.layout = *asked.layout;
  std::erase_if(step.set, [&](const std::string& each) {
    return std::find(asked.unset.begin(), asked.unset.end(), key_of(each)) != asked.unset.end();
  });
  drop_own(before.set, asked.set, step.set);
  keep_gap_bench(before.set, asked, step.set);
  lay_over(step.set, asked.set);
  if (step.words.empty()) {
    step.words = asked.set.empty() ? "The change" : fmt::format("{}", fmt::join(asked.set, ", "));
  }
  return step;
}

Jobs::Jobs(Store& store, const job::DataFolder& data, std::function<void()> on_news)
    : store_(store), data_(data), on_news_(std::move(on_news)) {
  Store::Opened opened = store_.open_jobs();
  troubles_ = std::move(opened.troubles);
  for (Record& record : opened.records) {
    auto entry = std::make_unique<Entry>();
    entry->record = std::move(record);
    const std::string id = entry->record.id;
    Entry& placed = *entries_.emplace(id, std::move(entry)).first->second;
    if (placed.record.state == State::planning) enqueue(id, placed);
    placed.has_its_stitches = placed.record.shown == placed.record.revision;
  }
  for (int i = 0; i < kWorkers; ++i) workers_.emplace_back([this] { work(); });
}

Jobs::~Jobs() {
  stop();
}

void Jobs::stop() {
  {
    const std::lock_guard lock(mutex_);
    is_over_ = true;
    for (const auto& [id, entry] : entries_) {
      if (entry->stop) entry->stop->store(true);
    }
  }
  wake_.notify_all();
  for (std::thread& each : workers_) each.join();
  workers_.clear();
}

// The lock is held by whoever calls these three.
Jobs::Entry& Jobs::entry(const std::string& id) const {
  const auto found = entries_.find(id);
  if (found == entries_.end()) throw NoSuchJob{id};
  return *found->second;
}

void Jobs::enqueue(const std::string& id, Entry& entry) {
  if (entry.stop) entry.stop->store(true);
  entry.progress = {entry.record.revision, "waiting for its turn", 0};
  if (!entry.is_queued) queue_.push_back(id);
  entry.is_queued = true;
  wake_.notify_one();
}

void Jobs::told(Entry& entry) const {
  ++entry.news;
  on_news_();
}

std::vector<Record> Jobs::list() const {
  std::vector<Record> records;
  {
    const std::lock_guard lock(mutex_);
    for (const auto& [id, entry] : entries_) records.push_back(entry->record);
  }
  std::stable_sort(records.begin(), records.end(), [](const Record& a, const Record& b) {
    return a.changed != b.changed ? a.changed > b.changed : a.id > b.id;
  });
  return records;
}

Record Jobs::record(const std::string& id) const {
  const std::lock_guard lock(mutex_);
  return entry(id).record;
}

Seen Jobs::see(const std::string& id) const {
  Seen seen;
  {
    const std::lock_guard lock(mutex_);
    const Entry& it = entry(id);
    seen.record = it.record;
    if (it.record.state == State::planning) {
      seen.progress = it.progress;
      seen.ahead = it.ahead;
    }
  }
  const job::Resolved job = resolved_of(seen.record.step(), store_, data_);
  seen.settings = settings_json(job);
  seen.ticket = ticket_json(seen.record.step(), job, seen.record.summary);
  return seen;
}

std::shared_ptr<const Ahead> Jobs::ahead(const std::string& id) const {
  const std::lock_guard lock(mutex_);
  return entry(id).ahead;
}

Jobs::News Jobs::news(const std::string& id) const {
  const std::lock_guard lock(mutex_);
  const auto found = entries_.find(id);
  if (found == entries_.end()) return {};
  const Entry& it = *found->second;
  const bool is_ahead = it.ahead && it.ahead->revision == it.record.revision;
  const int ahead = !is_ahead ? 0 : it.ahead->verdict.empty() ? 1 : 2;
  return {
      it.news, it.record.revision, it.record.shown, it.record.state, it.record.error, it.progress,
      ahead};
}

std::string Jobs::add(Record record) {
  const std::lock_guard lock(mutex_);
  store_.save(record);
  const std::string id = record.id;
  auto made = std::make_unique<Entry>();
  made->record = std::move(record);
  Entry& placed = *entries_.emplace(id, std::move(made)).first->second;
  placed.has_its_stitches = placed.record.shown == placed.record.revision;
  if (placed.record.state == State::planning) enqueue(id, placed);
  return id;
}

std::string Jobs::create(const Asked& asked) {
  Record record;
  record.steps = {step_after({}, asked)};
  const job::Resolved job = resolved_of(record.step(), store_, data_);
  record.made = utc_now();
  record.revision = 0;
  begin_revision(record, job);
  record.id = new_id(record.summary.title);
  return add(std::move(record));
}

std::string Jobs::copy(const std::string& id, bool with_plan) {
  const Record record = this->record(id);
  const std::string to = new_id(record.summary.title);
  if (with_plan && record.state != State::done) {
    throw base::Error{base::ErrorCode::bad_job, "has no finished plan", id,
                      "Wait until it is planned, or copy it to plan it afresh"};
  }
  resolved_of(record.step(), store_, data_);  // a cap that is no longer there is told before
  if (with_plan) store_.copy_plan(record, to);
  Step step = record.step();
  step.words = with_plan ? "Made again" : "Copied";
  Record made;
  made.id = to;
  made.steps = {step};
  made.made = made.changed = utc_now();
  made.summary = record.summary;
  made.shown = with_plan ? 1 : 0;
  made.state = record.state == State::empty ? State::empty
               : with_plan                  ? State::done
                                            : State::planning;
  return add(std::move(made));
}

Jobs::Applied Jobs::apply(const std::string& id, const Change& change, Begin begin) {
  while (true) {
    const Record found = record(id);
    Record asked = found;
    if (!change(asked)) return {found.revision, std::nullopt, std::nullopt};
    job::Resolved job = resolved_of(asked.step(), store_, data_);
    begin_revision(asked, job);
    const std::lock_guard lock(mutex_);
    Entry& it = entry(id);
    if (it.record != found) continue;  // a run ended, or somebody else was quicker
    store_.save(asked);
    it.record = std::move(asked);
    it.progress = {it.record.revision, "waiting for its turn", 0};
    it.has_its_stitches &= begin == Begin::when_told;
    if (it.stop) it.stop->store(true);
    if (it.record.state == State::planning && begin == Begin::at_once) enqueue(id, it);
    told(it);
    return {it.record.revision, std::move(job),
            it.has_its_stitches ? std::optional(it.record) : std::nullopt};
  }
}

// Begins to plan that revision, unless something else was asked meanwhile.
void Jobs::begin(const std::string& id, int revision) {
  const std::lock_guard lock(mutex_);
  const auto found = entries_.find(id);
  if (found == entries_.end()) return;
  const Record& record = found->second->record;
  if (record.state == State::planning && record.revision == revision) enqueue(id, *found->second);
}

Changed Jobs::change(const std::string& id, const Asked& asked) {
  const auto make = [&](Record& record) {
    Step step = step_after(record.step(), asked);
    const bool is_same_asked = step.set == record.step().set &&
                               step.artwork == record.step().artwork &&
                               step.layout == record.step().layout;
    const bool is_finished = record.state == State::done || record.state == State::refused ||
                             record.state == State::planning || record.state == State::empty;
    if (is_same_asked) return !is_finished;  // stopped or failed: once more
    push_step(record, std::move(step));
    return true;
  };
  const bool is_quick = is_bench_change(asked);
  const Applied applied = apply(id, make, is_quick ? Begin::when_told : Begin::at_once);
  if (!applied.job || !is_quick) return {applied.revision, std::nullopt};
  // The number first: planned at the same time, both would take twice as long.
  struct Then {
    std::function<void()> work;
    ~Then() { work(); }
  } const then{[&] { begin(id, applied.revision); }};
  try {
    const std::shared_ptr<const stitch::Plan> plan =
        applied.shown ? kept_plan(*applied.shown) : nullptr;
    if (plan) return {applied.revision, quick_breaks_per_100(*plan, *applied.job)};
  } catch (const base::Error&) {
    // Stitches that cannot be read are laid anew: the change itself is kept.
  }
  return {applied.revision, std::nullopt};
}

int Jobs::undo(const std::string& id) {
  return apply(id,
               [](Record& record) {
                 if (record.at == 0) return false;
                 --record.at;
                 return true;
               })
      .revision;
}

int Jobs::redo(const std::string& id) {
  return apply(id,
               [](Record& record) {
                 if (record.at + 1 >= record.steps.size()) return false;
                 ++record.at;
                 return true;
               })
      .revision;
}

int Jobs::improve(const std::string& id) {
  return apply(id,
               [](Record& record) {
                 Step step = record.step();
                 step.words = "Best changes made";
                 step.improves = true;
                 push_step(record, std::move(step));
                 return true;
               })
      .revision;
}

void Jobs::cancel(const std::string& id) {
  const std::lock_guard lock(mutex_);
  Entry& it = entry(id);
  if (it.record.state != State::planning) return;
  Record record = it.record;
  record.state = State::cancelled;
  store_.save(record);
  it.record = std::move(record);
  it.ahead.reset();
  if (it.stop) it.stop->store(true);
  std::erase(queue_, id);
  it.is_queued = false;
  told(it);
}

void Jobs::remove(const std::string& id) {
  const std::lock_guard lock(mutex_);
  Entry& it = entry(id);
  store_.to_bin(id);  // may fail: then the job is as it was
  if (it.stop) it.stop->store(true);
  std::erase(queue_, id);
  std::erase_if(kept_, [&](const KeptPlan& each) { return each.id == id; });
  entries_.erase(id);
  on_news_();
}

void Jobs::restore(const std::string& id) {
  const std::lock_guard lock(mutex_);
  if (entries_.contains(id)) return;
  if (!store_.is_in_bin(id)) throw NoSuchJob{id};
  auto made = std::make_unique<Entry>();
  made->record = store_.from_bin(id);
  Entry& placed = *entries_.emplace(id, std::move(made)).first->second;
  if (placed.record.state == State::planning) enqueue(id, placed);
  on_news_();
}

}  // namespace buckram::server
