// Plans to steps of a layout and back: machine mm, whole units, long ways split.
#include "machine/layout_file.h"

#include "base/base.h"
#include "machine/entries.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <map>

namespace buckram::machine {
namespace {

using geometry::Point;
using stitch::Op;

constexpr double kFarthestMm = 2000;  // beyond this it is no cap's file

struct Units {
  long long x = 0, y = 0;
  bool operator==(const Units&) const = default;
};

[[noreturn]] void fail(const std::string& what, const std::string& hint) {
  throw base::Error{base::ErrorCode::bad_stitches, what, "the plan", hint};
}

class Stepper {
 public:
  Stepper(const Layout& layout, const stitch::Plan& plan, const MachineMap& map)
      : layout_(layout), codec_(layout), plan_(plan), map_(map) {}

  std::vector<Step> run(bool walk_box) {
    if (walk_box) walk();
    for (const stitch::Block& block : plan_.blocks) {
      for (int i = block.first; i < block.first + block.count; ++i) obey(i, block);
    }
    return std::move(steps_);
  }
  const Codec& codec() const { return codec_; }

 private:
  Units units_at(int i) const {
    const Point p = map_.to_machine(plan_.at(i));
    const bool is_near = std::abs(p.x) <= kFarthestMm && std::abs(p.y) <= kFarthestMm;
    if (!is_near) {  // also when not a number
      fail(fmt::format("entry {} lies more than {:g} mm from the start", i, kFarthestMm),
           "Check the cap and mount it is written for");
    }
    return {std::llround(p.x / layout_.unit_mm), std::llround(p.y / layout_.unit_mm)};
  }

  void walk() {
    Units low, high;
    bool is_first = true;
    for (int i = 0; i < plan_.size(); ++i) {
      if (plan_.op[static_cast<std::size_t>(i)] != Op::sew) continue;
      const Units at = units_at(i);
      low = is_first ? at : Units{std::min(low.x, at.x), std::min(low.y, at.y)};
      high = is_first ? at : Units{std::max(high.x, at.x), std::max(high.y, at.y)};
      is_first = false;
    }
    if (is_first) return;
    const Units corners[] = {low, {high.x, low.y}, high, {low.x, high.y}, low, {}};
    for (const Units corner : corners) go(Op::move, corner);
  }

  void obey(int i, const stitch::Block& block) {
    const Op op = plan_.op[static_cast<std::size_t>(i)];
    switch (op) {
      case Op::sew:
      case Op::move:
        return go(op, units_at(i));
      case Op::trim:
        if (codec_.can_do(op)) put({.op = op});
        return;
      case Op::change:
        return change(plan_.threads[static_cast<std::size_t>(block.thread)].needle);
      case Op::stop:
        if (!codec_.can_do(op)) {
          fail("waits for the operator, and the layout has no stop",
               "Describe the stop under [[operation]], or take it out of the plan");
        }
        return put({.op = op});
      case Op::end:
        if (at_ != Units{}) go(Op::move, {});
        return put({.op = op});
    }
  }

  void change(int needle) {
    if (!codec_.can_do(Op::change)) {
      fail("changes the thread, and the layout has no change",
           "Describe the change under [[operation]], or write a file for each thread");
    }
    put({.op = Op::change, .needle = codec_.names_needles() ? needle : 0});
  }

  void put(const Step& step) {
    if (steps_.size() >= kMostRecords) {
      fail(fmt::format("needs more than {} records in this layout", kMostRecords),
           "Check unit_mm and the steps that it can hold");
    }
    steps_.push_back(step);
  }

  void go(Op op, Units to) {
    const long long dx = to.x - at_.x, dy = to.y - at_.y;
    const Step whole{.op = op, .dx = static_cast<int>(dx), .dy = static_cast<int>(dy)};
    if (codec_.holds(whole)) {
      put(whole);
    } else {
      const long long n = pieces(op, dx, dy);
      Units from = at_;
      for (long long k = 1; k <= n; ++k) {
        const Units next{at_.x + dx * k / n, at_.y + dy * k / n};
        put({.op = k < n ? Op::move : op,
             .dx = static_cast<int>(next.x - from.x),
             .dy = static_cast<int>(next.y - from.y)});
        from = next;
      }
    }
    at_ = to;
  }

  // How many records of equal length a way takes when each is one that moving can hold, and the
  // last one that `op` can.
  long long pieces(Op op, long long dx, long long dy) const {
    const Codec::Reach moving = codec_.reach(Op::move), last = codec_.reach(op);
    const auto along = [](long long d, const StepRange& a, const StepRange& b) -> long long {
      const int limit = d < 0 ? std::min(-a.low, -b.low) : std::min(a.high, b.high);
      return (std::abs(d) + limit - 1) / limit;
    };
    return std::max({along(dx, moving.x, last.x), along(dy, moving.y, last.y), 1LL});
  }

  const Layout& layout_;
  Codec codec_;
  const stitch::Plan& plan_;
  const MachineMap& map_;
  Units at_;
  std::vector<Step> steps_;
};

// Threads as a file's changes name them.
class Threads {
 public:
  explicit Threads(bool by_needle) : by_needle_(by_needle) {
    threads_.push_back(unnamed_thread(0));
  }

  int after_change(int needle) {
    const auto known = by_needle_ ? index_of_.find(needle) : index_of_.end();
    if (known != index_of_.end()) return known->second;
    const int index = static_cast<int>(threads_.size());
    threads_.push_back(unnamed_thread(index));
    if (by_needle_) {
      threads_.back().needle = needle;
      index_of_[needle] = index;
    }
    return index;
  }

  std::size_t size() const { return threads_.size(); }

  // The first thread's needle is not said: the lowest that no change names.
  std::vector<stitch::PlanThread> all() && {
    int needle = 1;
    while (index_of_.contains(needle)) ++needle;
    threads_.front().needle = needle;
    return std::move(threads_);
  }

 private:
  bool by_needle_;
  std::vector<stitch::PlanThread> threads_;
  std::map<int, int> index_of_;  // needle to thread
};

class PlanReader {
 public:
  PlanReader(double unit_mm, const StepFile& file, const std::string& where, const MachineMap& map)
      : unit_mm_(unit_mm), where_(where), map_(map), threads_(file.names_needles) {}

  stitch::Plan run(const std::vector<Step>& steps) && {
    const std::size_t begin = first_own(steps), end = last_own(steps, begin);
    for (std::size_t i = 0; i < steps.size(); ++i) {
      at_.x += steps[i].dx;
      at_.y += steps[i].dy;
      const bool is_own = (i >= begin && i < end) || i + 1 == steps.size();
      if (is_own) take(steps[i], i);
    }
    for (Entry& entry : entries_) entry.at = map_.to_chart(entry.at);
    return plan_of(std::move(entries_), std::move(threads_).all(), where_);
  }

 private:
  [[noreturn]] void fail(std::size_t step, const std::string& what, const std::string& hint) const {
    throw base::Error{base::ErrorCode::bad_stitches, what,
                      fmt::format("{}: operation {}", where_, step + 1), hint};
  }

  // Moves before all else, up to the last one that comes back to the start.
  static std::size_t first_own(const std::vector<Step>& steps) {
    std::size_t begin = 0;
    Units at;
    for (std::size_t i = 0; i < steps.size() && steps[i].op == Op::move; ++i) {
      at = {at.x + steps[i].dx, at.y + steps[i].dy};
      if (at == Units{}) begin = i + 1;
    }
    return begin;
  }

  // One past the last step before the moves home and the end.
  static std::size_t last_own(const std::vector<Step>& steps, std::size_t begin) {
    Units at;
    for (const Step& step : steps) at = {at.x + step.dx, at.y + step.dy};
    std::size_t end = steps.size() - 1;
    if (at != Units{}) return end;
    while (end > begin && steps[end - 1].op == Op::move) --end;
    return end;
  }

  void take(const Step& step, std::size_t index) {
    const double x_mm = static_cast<double>(at_.x) * unit_mm_;
    const double y_mm = static_cast<double>(at_.y) * unit_mm_;
    if (std::abs(x_mm) > kFarthestMm || std::abs(y_mm) > kFarthestMm) {
      fail(index, fmt::format("goes more than {:g} mm away", kFarthestMm),
           "Check the layout's unit_mm and weights");
    }
    const bool continues =
        step.op == Op::move && !entries_.empty() && entries_.back().op == Op::move;
    if (step.op == Op::change) thread_ = threads_.after_change(step.needle);
    if (threads_.size() > 1000) fail(index, "changes between more than 1000 threads", "");
    if (!continues) add(step, index);
    if (step.op == Op::sew || step.op == Op::move) entries_.back().at = {x_mm, y_mm};
  }

  void add(const Step& step, std::size_t index) {
    if (entries_.size() >= static_cast<std::size_t>(stitch::kMostEntries)) {
      fail(index, fmt::format("there are more than {} stitches and moves", stitch::kMostEntries),
           "Split the file");
    }
    Entry entry;
    entry.op = step.op;
    entry.thread = thread_;
    entry.block = -1;
    if (!entries_.empty()) entry.at = entries_.back().at;
    entries_.push_back(entry);
  }

  double unit_mm_;
  const std::string& where_;
  const MachineMap& map_;
  Units at_;
  int thread_ = 0;
  Threads threads_;
  std::vector<Entry> entries_;  // machine mm until the end
};

}  // namespace

std::string write_with(const Layout& layout, const stitch::Plan& plan, const MachineMap& map,
                       const LayoutOptions& options) {
  Stepper stepper(layout, plan, map);
  const std::vector<Step> steps = stepper.run(options.walk_box);
  return write_steps(layout, stepper.codec(), steps);
}

std::vector<std::string> remarks_on(const Layout& layout, const stitch::Plan& plan) {
  std::vector<std::string> all;
  const bool has_trim = std::any_of(layout.operations.begin(), layout.operations.end(),
                                    [](const auto& each) { return each.does == Op::trim; });
  const int n_trims = stitch::count(plan).trims;
  if (!has_trim && n_trims > 0) {
    all.push_back(fmt::format("the layout {} has no trim: cut the thread by hand at {} places",
                              layout.name, n_trims));
  }
  const bool is_slower = std::any_of(plan.blocks.begin(), plan.blocks.end(),
                                     [](const auto& block) { return block.speed_spm > 0; });
  if (is_slower) {
    all.push_back(
        fmt::format("a file of the layout {} says no speeds: slow the machine by hand "
                    "where the plan is sewn slower, or all of it",
                    layout.name));
  }
  return all;
}

LayoutPlan read_with(const Layout& layout, std::string_view bytes, const std::string& where,
                     const MachineMap& map) {
  StepFile file = read_steps(layout, bytes, where);
  return {PlanReader(layout.unit_mm, file, where, map).run(file.decoded.steps),
          std::move(file.disagreements)};
}

}  // namespace buckram::machine
