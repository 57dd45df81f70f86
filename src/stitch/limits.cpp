#include "stitch/limits.h"

#include "stitch/crowds.h"
#include "stitch/within.h"

#include "base/base.h"

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

namespace buckram::stitch {
namespace {

constexpr std::size_t kMostBreaches = 100;
constexpr double kRoundingMm = 0.0015;  // of a length between two points rounded to 0.001 mm

// A plan with what every rule asks for at hand.
struct Subject {
  const Plan& plan;
  const Limits& limits;
  std::vector<int> block_of;
  std::map<int, Kind> kind_of;  // by object id
  std::map<int, Within> cloth;  // by object id: where the thread's middle may lie

  const Block& block(int i) const {
    return plan.blocks[static_cast<std::size_t>(block_of[static_cast<std::size_t>(i)])];
  }
  Op op(int i) const { return plan.op[static_cast<std::size_t>(i)]; }
};

void add(std::vector<Breach>& found, const Subject& s, int entry, std::string rule) {
  found.push_back({std::move(rule), entry, s.block(entry).object, s.plan.at(entry)});
}

// Whether the thread between i-1 and i turns from one row into the next: the rows before and
// after run against each other.
bool is_row_turn(const Subject& s, int i) {
  if (i < 2 || i + 1 >= s.plan.size() || !has_thread(s.plan, i - 1) || !has_thread(s.plan, i + 1)) {
    return true;  // the row before or after is a single penetration
  }
  const geometry::Point before = s.plan.at(i - 1) - s.plan.at(i - 2);
  const geometry::Point after = s.plan.at(i + 1) - s.plan.at(i);
  return geometry::dot(before, after) < 0;
}

// A run of so few holes has no room for a full stitch: an accent, a dot.
constexpr int kFewHoles = 3;

// Whether a row begins or ends within two stitches: there the outline's steps, caps and turns
// decide where the needle goes down.
bool is_near_row_end(const Subject& s, int i) {
  for (int k = std::max(1, i - 2); k <= std::min(s.plan.size() - 1, i + 2); ++k) {
    const bool is_joint =
        s.block(k).layer != s.block(i).layer || s.block(k).object != s.block(i).object;
    if (is_joint || !has_thread(s.plan, k) || is_row_turn(s, k)) return true;
  }
  return false;
}

// A row shorter than this many shortest stitches cannot be cut into stitches of full length: the
// tips of fills, and fills of a few square millimetres.
constexpr double kShortRow = 3;

double stitch_mm(const Subject& s, int i) {
  return geometry::distance(s.plan.at(i - 1), s.plan.at(i));
}

// Length of the row that stitch i is part of: from the turn before to the turn after.
double row_length(const Subject& s, int i) {
  const double enough = kShortRow * s.limits.shortest_mm;
  double mm = stitch_mm(s, i);
  for (int k = i - 1; mm < enough && k > 0 && has_thread(s.plan, k) && !is_row_turn(s, k); --k) {
    mm += stitch_mm(s, k);
  }
  for (int k = i + 1;
       mm < enough && k < s.plan.size() && has_thread(s.plan, k) && !is_row_turn(s, k); ++k) {
    mm += stitch_mm(s, k);
  }
  return mm;
}

// Whether leaving out the hole at i would carry the thread past the outline: a step in it.
bool is_forced(const Subject& s, int i) {
  const auto cloth = s.cloth.find(s.block(i).object);
  return cloth != s.cloth.end() && i + 1 < s.plan.size() &&
         !cloth->second.contains(s.plan.at(i - 1), s.plan.at(i + 1));
}

// Where docs/limits.md lets a stitch be shorter than the shortest.
bool may_be_short(const Subject& s, int i) {
  const Block& here = s.block(i);
  if (here.layer != s.block(i - 1).layer || here.object != s.block(i - 1).object) return true;
  if (here.layer == Layer::travel) return false;
  const Kind kind = s.kind_of.at(here.object);
  if (here.layer == Layer::top && kind == Kind::column) return true;
  if (is_row_turn(s, i)) return true;
  if (kind == Kind::run) return here.count <= kFewHoles;
  if (kind != Kind::fill) return false;
  return is_near_row_end(s, i) || is_forced(s, i) ||
         row_length(s, i) < kShortRow * s.limits.shortest_mm;
}

// Where caps, rows and led-round gaps of a fill meet, a stitch in a hundred may be short.
constexpr double kShortShare = 0.01;
constexpr int kShortAtLeast = 2;

std::map<int, int> stitches_by_object(const Subject& s) {
  std::map<int, int> n;
  for (int i = 1; i < s.plan.size(); ++i) n[s.block(i).object] += has_thread(s.plan, i);
  return n;
}

// Takes back the short stitches of fills that have few of them.
void pardon_few(const Subject& s, std::vector<Breach>& shorts) {
  std::map<int, int> n_short;
  for (const Breach& each : shorts) ++n_short[each.object];
  const std::map<int, int> n_all = stitches_by_object(s);
  std::erase_if(shorts, [&](const Breach& each) {
    if (s.kind_of.at(each.object) != Kind::fill) return false;
    const double most = std::max<double>(kShortAtLeast, kShortShare * n_all.at(each.object));
    return n_short.at(each.object) <= most;
  });
}

void check_lengths(const Subject& s, std::vector<Breach>& found) {
  std::vector<Breach> shorts;
  const Limits& limits = s.limits;
  for (int i = 1; i < s.plan.size(); ++i) {
    if (!has_thread(s.plan, i)) continue;
    const double mm = geometry::distance(s.plan.at(i - 1), s.plan.at(i));
    if (mm > limits.longest_mm + kRoundingMm) {
      add(found, s, i,
          fmt::format("stitch of {:.2f} mm is longer than {} mm", mm, limits.longest_mm));
    }
    const bool is_lock = s.block(i).layer == Layer::lock || s.block(i - 1).layer == Layer::lock;
    if (is_lock || mm >= limits.shortest_mm - kRoundingMm) continue;
    if (mm < limits.shortest_any_mm - kRoundingMm) {
      add(found, s, i,
          fmt::format("stitch of {:.2f} mm is shorter than {} mm", mm, limits.shortest_any_mm));
    } else if (!may_be_short(s, i)) {
      add(shorts, s, i,
          fmt::format("stitch of {:.2f} mm is shorter than {} mm", mm, limits.shortest_mm));
    }
  }
  pardon_few(s, shorts);
  found.insert(found.end(), shorts.begin(), shorts.end());
}

void check_crowding(const Subject& s, std::vector<Breach>& found) {
  // Only the first ones are reported: what lies beyond need not be counted.
  for (const Crowd& each : crowds(s.plan, s.limits.most_in_disc, kMostBreaches)) {
    add(found, s, each.entry,
        fmt::format("{} penetrations within 1 mm are more than {}", each.most,
                    s.limits.most_in_disc));
  }
}

void check_outlines(const Subject& s, std::vector<Breach>& found) {
  for (int i = 0; i < s.plan.size(); ++i) {
    const Block& here = s.block(i);
    if (s.op(i) != Op::sew || here.layer == Layer::travel) continue;
    const auto it = s.cloth.find(here.object);
    if (it == s.cloth.end()) continue;
    const bool is_joint = i == 0 || !has_thread(s.plan, i) ||
                          s.block(i - 1).object != here.object ||
                          s.block(i - 1).layer == Layer::travel;
    const bool stays = is_joint ? it->second.contains(s.plan.at(i))
                                : it->second.contains(s.plan.at(i - 1), s.plan.at(i));
    if (stays) continue;
    add(found, s, i,
        fmt::format("the thread's edge lies more than {} mm past the outline",
                    s.limits.past_outline_mm));
  }
}

// The stretches of thread between cuts: each starts with a lock or under cloth, each ends with a
// lock, and is cut before a change and before the end.
void check_ends(const Subject& s, std::vector<Breach>& found) {
  bool hangs = false, locked = false;
  int last_sew = 0;
  const auto start = [&](int i) {
    const Layer layer = s.block(i).layer;
    if (layer != Layer::lock && layer != Layer::travel) {
      add(found, s, i, "the thread starts without a lock");
    }
  };
  for (int i = 0; i < s.plan.size(); ++i) {
    switch (s.op(i)) {
      case Op::sew:
        if (!hangs) start(i);
        hangs = true;
        locked = s.block(i).layer == Layer::lock;
        last_sew = i;
        break;
      case Op::trim:
        if (hangs && !locked) add(found, s, last_sew, "the thread is cut without a lock");
        hangs = false;
        break;
      case Op::change:
      case Op::end:
        if (hangs) add(found, s, last_sew, "the thread is not trimmed before a change or the end");
        break;
      case Op::move:
      case Op::stop:
        break;
    }
  }
}

}  // namespace

std::vector<Breach> breaches(const Plan& plan, const Limits& limits,
                             const std::vector<ObjectOutline>& outlines) {
  Subject subject{plan, limits, block_of_entries(plan), {}, {}};
  const double beyond_mm = limits.past_outline_mm - limits.thread_width_mm / 2 + kRoundingMm;
  for (const ObjectOutline& o : outlines) {
    subject.cloth.emplace(o.object, Within(geometry::offset(o.outline, beyond_mm)));
  }
  for (const PlanObject& object : plan.objects) subject.kind_of[object.id] = object.kind;
  std::vector<Breach> found;
  check_lengths(subject, found);
  check_crowding(subject, found);
  check_outlines(subject, found);
  check_ends(subject, found);
  std::stable_sort(found.begin(), found.end(),
                   [](const Breach& a, const Breach& b) { return a.entry < b.entry; });
  if (found.size() > kMostBreaches) found.resize(kMostBreaches);
  return found;
}

void refuse_breaches(const Plan& plan, const std::vector<Breach>& found) {
  if (found.empty()) return;
  const Breach& first = found.front();
  const PlanObject* object = find_object(plan, first.object);
  const std::string source = object == nullptr || object->source.empty()
                                 ? std::string()
                                 : fmt::format(" ({})", object->source);
  const std::string more =
      found.size() == 1
          ? std::string()
          : fmt::format("; {}{} places break a limit",
                        found.size() == kMostBreaches ? "at least " : "", found.size());
  throw base::Error{
      base::ErrorCode::limit_broken, first.rule + more,
      fmt::format("object {}{} at {:.1f}, {:.1f} mm", first.object, source, first.at.x, first.at.y),
      "Change the artwork's size or the stitch settings there"};
}

}  // namespace buckram::stitch
