#include "needle/causes.h"

#include "needle/drivers.h"
#include "needle/evaluate.h"
#include "needle/penetration.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <utility>

namespace buckram::needle {
namespace {

// One step of each change, as a shop would make it. Estimates, from memory.
constexpr double kRaiseMm = 1, kLeastRaiseMm = 0.5, kFootMm = 0.5;
constexpr double kSlowerSpm = 150, kSlowestSpm = 500;
constexpr double kThickerMm = 0.1, kThickestMm = 0.9;
constexpr double kUpMm = 5, kLessHigh = 0.85, kLessThread = 0.7;
// Only near the bill does moving up help for what it is, only high up does less height.
constexpr double kNearBillMm = 20, kHighMm = 40;

struct Subject {
  const stitch::Plan& plan;
  const cap::Setup& setup;
  const Mechanics& mechanics;
  const std::vector<double>& layers;
  const std::vector<int>& entries;
  std::vector<WeightedCap> caps;

  std::vector<double> chances(const Places& places) const {
    return evaluate(places, mechanics, caps).hazard;
  }
  std::vector<double> chances(const cap::Setup& changed) const {
    return chances(places_of(plan, changed, mechanics, layers, entries));
  }
};

// A change and the chances with it; where it is no answer, told by height, it is not offered.
struct Trial {
  std::string words;
  std::vector<double> chances;
  double from_mm = -std::numeric_limits<double>::infinity();
  double to_mm = std::numeric_limits<double>::infinity();
};

class Trials {
 public:
  Trials(const Subject& subject, const std::vector<std::string>& locked)
      : subject_(subject), locked_(locked) {
    closing();
    bench();
    design();
  }
  std::vector<Trial> all;

 private:
  bool may(const std::string& key) const {
    return std::find(locked_.begin(), locked_.end(), key) == locked_.end();
  }
  void bench_trial(const std::string& words, const std::function<void(cap::Bench&)>& change) {
    cap::Bench changed = subject_.setup.bench;
    change(changed);
    all.push_back({words, subject_.chances(cap::with_bench(subject_.setup, changed))});
  }

  void closing() {
    const cap::Setup& s = subject_.setup;
    const bool may_raise = may("bench.raise_mm"), may_pack = may("bench.packing_mm");
    const double left = s.mount.max_raise_mm - s.bench.raise_mm - s.bench.packing_mm;
    if (left >= kLeastRaiseMm && (may_raise || may_pack)) {
      bench_trial(!may_pack    ? "raise the plate"
                  : !may_raise ? "pack the plate up"
                               : "raise or pack the plate",
                  [&](cap::Bench& b) { b.packing_mm += std::min(left, kRaiseMm); });
    }
    const bool is_sewn_up = cap::is_sewn_up(s.mount);
    if (is_sewn_up && !s.bench.has_clips && may("bench.clips")) {
      bench_trial("clip the front's edges", [](cap::Bench& b) { b.has_clips = true; });
    }
    if (is_sewn_up && !s.bench.is_pressed && may("bench.pressed")) {
      bench_trial(cap::has_seam(s) ? "press the seam and the bill edge" : "press the bill edge",
                  [](cap::Bench& b) { b.is_pressed = true; });
    }
    if (s.bench.foot_mm - kFootMm >= cap::lowest_foot_mm(s) && may("bench.foot_mm")) {
      bench_trial("lower the presser foot", [](cap::Bench& b) { b.foot_mm -= kFootMm; });
    }
  }

  void bench() {
    const cap::Setup& s = subject_.setup;
    if (s.bench.speed_spm > kSlowestSpm && may("bench.speed_spm")) {
      bench_trial("sew slower there", [](cap::Bench& b) {
        b.speed_spm = std::max(kSlowestSpm, b.speed_spm - kSlowerSpm);
      });
    }
    const bool may_take = may("bench.needle");
    if (s.bench.needle.point == cap::NeedlePoint::ball && may_take && may("bench.needle:sharp")) {
      bench_trial("take a needle with a sharp point",
                  [](cap::Bench& b) { b.needle.point = cap::NeedlePoint::sharp; });
    }
    cap::Needle thicker = s.bench.needle;
    thicker.d_mm = std::min(kThickestMm, thicker.d_mm + kThickerMm);
    if (thicker.d_mm > s.bench.needle.d_mm && cap::passes_hole(s.mount, thicker) && may_take &&
        may("bench.needle:thicker")) {
      bench_trial("take a thicker needle", [&](cap::Bench& b) { b.needle = thicker; });
    }
    if (s.bench.tautness < s.mount.tautness - 0.05 && may("bench.tautness")) {
      bench_trial("mount it tauter", [&](cap::Bench& b) { b.tautness = s.mount.tautness; });
    }
    if (s.bench.backing.size() > cap::usual_backing(s.cap) && may("bench.backing")) {
      bench_trial("take out a layer of backing", [](cap::Bench& b) { b.backing.pop_back(); });
    }
  }

  void design() {
    const Subject& s = subject_;
    std::vector<double> less = s.layers;
    for (double& each : less) each *= kLessThread;
    all.push_back({"lay less thread there, in wider rows or with less under-stitching",
                   s.chances(places_of(s.plan, s.setup, s.mechanics, less, s.entries))});
    const auto [lowest, highest] = std::minmax_element(s.plan.y.begin(), s.plan.y.end());
    const double top = cap::Chart(s.setup).to_machine({0, *highest + kUpMm}).y;
    if (s.setup.mount.bill_is_on && top <= s.setup.mount.field.y1) {
      all.push_back({"move the artwork up", with_heights([](double y) { return y + kUpMm; }),
                     -std::numeric_limits<double>::infinity(), kNearBillMm});
    }
    const bool is_rotary = s.setup.mount.kind == cap::MountKind::rotary;
    const double low = *lowest;
    all.push_back({is_rotary
                       ? "make the design less tall, or take a mount that holds the front flat"
                       : "make the design less tall",
                   with_heights([low](double y) { return low + kLessHigh * (y - low); }), kHighMm});
  }
  std::vector<double> with_heights(const std::function<double(double)>& height) const {
    stitch::Plan moved = subject_.plan;
    for (double& y : moved.y) y = height(y);
    return subject_.chances(
        places_of(moved, subject_.setup, subject_.mechanics, subject_.layers, subject_.entries));
  }

  const Subject& subject_;
  const std::vector<std::string>& locked_;
};

struct Without {
  Cause cause;
  std::vector<double> chances;
};
std::vector<Without> without_each(const Subject& s, const Places& standing) {
  const auto with = [&](const std::function<void(Place&)>& change) {
    Places places = standing;
    for (Place& place : places.places) change(place);
    return s.chances(places);
  };
  const std::vector<double> none(s.layers.size(), 0);
  return {{Cause::gap, with(without_gap)},
          {Cause::slope, with(without_slope)},
          {Cause::crowding, s.chances(places_of(s.plan, s.setup, s.mechanics, none, s.entries))},
          {Cause::motion, with([](Place& place) { place.motion = {}; })},
          {Cause::hardness, s.chances(without_stiffener(s.setup))}};
}

template <class Told>
void largest_first(std::vector<Told>& told) {
  std::stable_sort(told.begin(), told.end(),
                   [](const Told& a, const Told& b) { return a.drop > b.drop; });
}

}  // namespace

std::vector<PlaceCauses> causes_of(const stitch::Plan& plan, const cap::Setup& setup,
                                   const Mechanics& mechanics, const std::vector<double>& layers,
                                   const std::vector<int>& entries,
                                   const std::vector<std::string>& locked) {
  if (entries.empty()) return {};
  const Subject subject{plan, setup, mechanics, layers, entries, pilot_caps(mechanics)};
  const Places standing = places_of(plan, setup, mechanics, layers, entries);
  const std::vector<double> now = subject.chances(standing);
  const std::vector<Without> causes = without_each(subject, standing);
  const Trials trials(subject, locked);
  std::vector<PlaceCauses> found(entries.size());
  for (std::size_t k = 0; k < entries.size(); ++k) {
    if (now[k] <= 0) continue;
    const double y = plan.at(entries[k]).y;
    for (const Without& each : causes) {
      const double drop = 1 - each.chances[k] / now[k];
      if (drop >= kToldCause) found[k].causes.push_back({each.cause, drop});
    }
    for (const Trial& each : trials.all) {
      const double drop = 1 - each.chances[k] / now[k];
      const bool is_there = y >= each.from_mm && y <= each.to_mm;
      if (is_there && drop >= kToldHelp) found[k].helps.push_back({each.words, drop});
    }
    largest_first(found[k].causes);
    largest_first(found[k].helps);
  }
  return found;
}

}  // namespace buckram::needle
