// The jobs that the page works on: what is asked of each, what is being planned, what is shown.
//
// A change is written to disk before it is answered, and planned in the background: two jobs at
// once, each once. A newer change stops the run of an older one. What of a run can be seen before
// its files are there is kept in memory; the files are put in place whole, and only if nothing
// newer was asked meanwhile. Whenever the program is killed, the next start shows what was shown
// and plans again what was not finished.
#pragma once

#include "server/planning.h"
#include "server/record.h"
#include "server/request_body.h"
#include "server/store.h"

#include "base/base.h"

#include <condition_variable>
#include <deque>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>
#include <vector>

namespace buckram::server {

// No job has that id.
struct NoSuchJob {
  std::string id;
};

struct Progress {
  int revision = 0;
  std::string stage;  // in words
  int done = 0;       // of kStages
};
inline constexpr int kStages = 5;

// A job as it stands, copied out.
struct Seen {
  Record record;
  std::optional<Progress> progress;    // while a run is on
  std::shared_ptr<const Ahead> ahead;  // seen before its files, maybe of an older revision
  std::string settings, ticket;        // JSON
};

// The answer to a change.
struct Changed {
  int revision = 0;
  std::optional<double> quick_breaks_per_100;  // of the same stitches; bench changes only
};

// What is asked once a change is made. Another mount or cap leaves behind what was set for the old
// one (job::without_own); measured gaps stay those of the bench that they were measured on.
Step step_after(const Step& before, const Asked& asked);

class Jobs {
 public:
  // Opens what the store holds and plans again what was being planned. `on_news` is called by any
  // thread when a job has news for those who follow it.
  Jobs(Store& store, const job::DataFolder& data, std::function<void()> on_news);
  ~Jobs();
  // Stops every run; what was being planned is planned at the next start. No news afterwards but of
  // what is asked by calls.
  void stop();

  std::vector<std::string> troubles() const { return troubles_; }

  // Newest first. Throw what planning() says; {NoSuchJob} for ids that are not there.
  std::vector<Record> list() const;
  Seen see(const std::string& id) const;
  Record record(const std::string& id) const;
  std::shared_ptr<const Ahead> ahead(const std::string& id) const;
  std::string create(const Asked& asked);  // the new id; planning has begun
  // Asked for afresh, or with the plan as it was made, by whatever version made it.
  std::string copy(const std::string& id, bool with_plan);
  Changed change(const std::string& id, const Asked& asked);
  int undo(const std::string& id);
  int redo(const std::string& id);
  int improve(const std::string& id);
  void cancel(const std::string& id);
  void remove(const std::string& id);
  void restore(const std::string& id);

  // For an event stream: counts up with every piece of news of that job; 0 when it is gone.
  struct News {
    unsigned long count = 0;
    int revision = 0, shown = 0;
    State state = State::empty;
    std::string error;
    Progress progress;
    int ahead = 0;  // of that revision; 1: the stitches are there, 2: the verdict too
  };
  News news(const std::string& id) const;

 private:
  struct Entry {
    Record record;
    Progress progress;
    std::shared_ptr<const Ahead> ahead;  // until files take its place or the run ends without
    unsigned long news = 1;
    bool has_its_stitches = false;  // the plan shown has the stitches that are asked
    bool is_queued = false;
    std::shared_ptr<base::StopFlag> stop;  // of the run that is on; empty: none
  };
  struct Running {
    std::string id;
    int revision = 0;
    Step step;
    std::shared_ptr<base::StopFlag> stop;
    Record before;  // as it was when the run began
  };
  struct KeptPlan {
    std::string id;
    int revision = 0;
    std::shared_ptr<const stitch::Plan> plan;
  };
  using Change = std::function<bool(Record&)>;  // false: nothing to do

  Entry& entry(const std::string& id) const;
  struct Applied {
    int revision = 0;
    std::optional<job::Resolved> job;  // as asked; empty: nothing was done
    std::optional<Record> shown;       // where what it shows has the stitches that are asked
  };
  enum class Begin { at_once, when_told };  // with planning
  Applied apply(const std::string& id, const Change& change, Begin begin = Begin::at_once);
  void begin(const std::string& id, int revision);
  void enqueue(const std::string& id, Entry& entry);
  void told(Entry& entry) const;
  std::string add(Record record);
  std::shared_ptr<const stitch::Plan> kept_plan(const Record& record);
  void keep(KeptPlan kept);
  // The workers' side (runs.cpp).
  void work();
  std::optional<Running> take();
  void run(const Running& running);
  void finish(const Running& running, PlanRun done);
  void fail(const Running& running, const std::string& error);
  void report(const Running& running, std::string_view stage, double share);
  void show_ahead(const Running& running, Ahead ahead);
  bool is_wanted(const Running& running) const;

  Store& store_;
  job::DataFolder data_;
  std::function<void()> on_news_;
  std::vector<std::string> troubles_;
  mutable std::mutex mutex_;
  std::condition_variable wake_;
  bool is_over_ = false;
  std::map<std::string, std::unique_ptr<Entry>> entries_;
  std::deque<std::string> queue_;
  std::deque<KeptPlan> kept_;  // newest first
  std::vector<std::thread> workers_;
};

}  // namespace buckram::server
