#include "advise/levers.h"

#include "advise/verdict.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <utility>

namespace buckram::advise {
namespace {

// Setting-up times and steps: estimates, from memory.
constexpr double kPlateS = 300, kPackingS = 120, kFootS = 60, kNeedleS = 60, kSpeedS = 5;
constexpr double kClipsEachS = 15, kPressEachS = 20, kTautEachS = 10;
constexpr double kSpeedStepSpm = 50;
constexpr std::size_t kMostSpeeds = 6;
constexpr double kFootStepMm = 0.5;
constexpr double kSlack = 1e-9;

constexpr const char* kTurnByHand =
    "Plate or foot changed? Power off, and turn one full stitch by hand first.";
constexpr const char* kPowerOff = "Power off before hands go near the needle.";
constexpr const char* kHot = "Hot irons and presses burn.";

Lever raise_lever(const cap::Setup& setup, const Owned& owned) {
  Lever lever{LeverKind::raise, {}};
  for (const double mm : owned.raised_plates_mm.value_or(std::vector{1.0, 1.5, 2.0, 2.5, 3.0})) {
    cap::Bench bench = setup.bench;
    bench.raise_mm = mm;
    if (mm < setup.bench.raise_mm + 0.25 || !is_allowed(bench, setup.mount)) continue;
    lever.levels.push_back({fmt::format("bench.raise_mm={:g}", mm),
                            fmt::format("Fit a plate raised by {:g} mm", mm),
                            "The plate comes up to the cloth", kTurnByHand, kPlateS, 0, bench});
  }
  return lever;
}

Lever packing_lever(const cap::Setup& setup, const Owned& owned) {
  Lever lever{LeverKind::packing, {}};
  for (const double more : owned.packing_mm.value_or(std::vector{0.5, 1.0, 1.5})) {
    cap::Bench bench = setup.bench;
    bench.packing_mm += more;
    if (more <= 0 || !is_allowed(bench, setup.mount)) continue;
    lever.levels.push_back({fmt::format("bench.packing_mm={:g}", bench.packing_mm),
                            fmt::format("Pack the plate up by {:g} mm", more),
                            "Packing under the plate brings it up to the cloth", kTurnByHand,
                            kPackingS, 0, bench});
  }
  return lever;
}

Lever clips_lever(const cap::Setup& setup, const Owned& owned) {
  if (setup.bench.has_clips || !owned.has_clips || !cap::is_sewn_up(setup.mount))
    return {LeverKind::clips, {}};
  cap::Bench bench = setup.bench;
  bench.has_clips = true;
  return {LeverKind::clips,
          {{"bench.clips=true", "Clip both edges of the front",
            "Clips draw the front down to the plate", "", 0, kClipsEachS, bench}}};
}

Lever press_lever(const cap::Setup& setup, const Owned& owned) {
  if (setup.bench.is_pressed || !owned.has_press || !cap::is_sewn_up(setup.mount))
    return {LeverKind::pressed, {}};
  cap::Bench bench = setup.bench;
  bench.is_pressed = true;
  return {LeverKind::pressed,
          {{"bench.pressed=true", "Press the seam and the bill edge before mounting",
            "A flat seam stands less off the plate", kHot, 0, kPressEachS, bench}}};
}

Lever foot_lever(const cap::Setup& setup, const Owned& owned) {
  Lever lever{LeverKind::foot, {}};
  const double lowest =
      std::max(cap::lowest_foot_mm(setup), owned.lowest_foot_mm.value_or(0) - kSlack);
  for (double mm : {4.0, 3.5, 3.0, 2.5, 2.0}) {
    if (mm > setup.bench.foot_mm - kFootStepMm + kSlack || mm < lowest) continue;
    cap::Bench bench = setup.bench;
    bench.foot_mm = mm;
    lever.levels.push_back({fmt::format("bench.foot_mm={:g}", mm),
                            fmt::format("Lower the foot to {:g} mm above the plate", mm),
                            "The foot stops the cloth from going up and down with the needle",
                            kTurnByHand, kFootS, 0, bench});
  }
  return lever;
}

// Blades whose eye takes the thread and whose hole the design stands (common practice, no source).
bool suits(const cap::Needle& needle, double tex) {
  const double thinnest = tex > 22 ? 0.75 : 0.65;
  const double thickest = tex > 22 ? 0.90 : 0.80;
  return needle.d_mm >= thinnest - kSlack && needle.d_mm <= thickest + kSlack;
}

// "80/12": hundredths of a millimetre of blade, and the number that is printed beside it, which is
// a fifth of the first less four on blades from 60 to 100 (common practice, no source).
std::string both_sizes(double blade_mm) {
  const double size = std::round(blade_mm * 100);
  if (std::fmod(size, 5) != 0 || size < 60 || size > 100) return fmt::format("{:.0f}", size);
  return fmt::format("{:.0f}/{:.0f}", size, size / 5 - 4);
}

bool is_owned(const cap::Needle& needle, const Owned& owned) {
  return !owned.needles || std::find(owned.needles->begin(), owned.needles->end(), needle.name) !=
                               owned.needles->end();
}

Lever needle_lever(const cap::Setup& setup, const std::vector<cap::Needle>& needles,
                   const LeverOptions& options) {
  Lever lever{LeverKind::needle, {}};
  const cap::Needle& old = setup.bench.needle;
  for (const cap::Needle& needle : needles) {
    if (needle.name == old.name || !suits(needle, options.heaviest_tex)) continue;
    if (!is_owned(needle, options.owned) || !cap::passes_hole(setup.mount, needle)) continue;
    cap::Bench bench = setup.bench;
    bench.needle = needle;
    const char* point = needle.point == cap::NeedlePoint::sharp ? "sharp" : "ball";
    const char* why = needle.d_mm > old.d_mm + kSlack   ? "A thicker blade is pushed aside less"
                      : needle.d_mm < old.d_mm - kSlack ? "A thinner blade needs less force and "
                                                          "leaves more room in the plate's hole"
                                                        : "This point needs less force here";
    lever.levels.push_back(
        {fmt::format("bench.needle={}", needle.name),
         fmt::format("Use a size {} needle with a {} point", both_sizes(needle.d_mm), point), why,
         kPowerOff, kNeedleS, 0, bench});
  }
  return lever;
}

Lever speed_lever(const cap::Setup& setup, const Owned& owned) {
  Lever lever{LeverKind::speed, {}};
  const double slowest = slowest_spm(owned);
  const double now = setup.bench.speed_spm;
  double spm = std::ceil(now / kSpeedStepSpm - 1) * kSpeedStepSpm;  // the next step below
  for (; spm >= slowest && lever.levels.size() < kMostSpeeds; spm -= kSpeedStepSpm) {
    cap::Bench bench = setup.bench;
    bench.speed_spm = spm;
    lever.levels.push_back({fmt::format("bench.speed_spm={:g}", spm),
                            fmt::format("Slow down to {:g} stitches a minute", spm),
                            "The frame has come to rest before the needle goes in", "", kSpeedS, 0,
                            bench});
  }
  return lever;
}

Lever tautness_lever(const cap::Setup& setup) {
  if (setup.bench.tautness > setup.mount.tautness - 0.05) return {LeverKind::tautness, {}};
  cap::Bench bench = setup.bench;
  bench.tautness = setup.mount.tautness;
  return {LeverKind::tautness,
          {{fmt::format("bench.tautness={:g}", bench.tautness),
            "Mount the cap as taut as the frame holds it", "Slack cloth wanders under the needle",
            "", 0, kTautEachS, bench}}};
}

Lever backing_lever(const cap::Setup& setup) {
  const std::size_t usual = cap::usual_backing(setup.cap);
  if (setup.bench.backing.size() <= usual) return {LeverKind::backing, {}};
  cap::Bench bench = setup.bench;
  bench.backing.pop_back();
  std::string names;
  for (const cap::Layer& layer : bench.backing) {
    names += fmt::format("{}\"{}\"", names.empty() ? "" : ",", layer.name);
  }
  return {LeverKind::backing,
          {{fmt::format("bench.backing=[{}]", names), "Take out one layer of backing",
            fmt::format("{} {} usual on this front", usual, usual == 1 ? "is" : "are"), "", 0, 0,
            bench}}};
}

}  // namespace

double slowest_spm(const Owned& owned) {
  return std::max(kSlowestSpm, owned.slowest_spm.value_or(0));
}

bool is_locked(const std::string& id, const std::vector<std::string>& locked) {
  const std::string key = id.substr(0, id.find('='));
  return std::any_of(locked.begin(), locked.end(),
                     [&](const std::string& each) { return each == id || each == key; });
}

std::vector<std::string> change_keys() {
  return {"bench.raise_mm",        "bench.packing_mm",
          "bench.clips",           "bench.pressed",
          "bench.foot_mm",         "bench.needle",
          "bench.speed_spm",       "bench.slowest_spm",
          "bench.tautness",        "bench.backing",
          "stitch.style",          "stitch.order",
          "stitch.row_spacing_mm", "stitch.column_spacing_mm",
          "stitch.fill_stitch_mm", "artwork.at_mm"};
}

std::vector<Lever> levers(const cap::Setup& setup, const std::vector<cap::Needle>& needles,
                          const LeverOptions& options) {
  const Owned& owned = options.owned;
  std::vector<Lever> all{
      raise_lever(setup, owned), packing_lever(setup, owned), clips_lever(setup, owned),
      press_lever(setup, owned), foot_lever(setup, owned),    needle_lever(setup, needles, options),
      speed_lever(setup, owned), tautness_lever(setup),       backing_lever(setup)};
  for (Lever& lever : all) {
    std::erase_if(lever.levels, [&](const Level& l) { return is_locked(l.id, options.locked); });
  }
  std::erase_if(all, [](const Lever& lever) { return lever.levels.empty(); });
  return all;
}

std::vector<std::string> out_of_reach(const cap::Setup& setup, const std::vector<Lever>& levers) {
  using Kind = LeverKind;
  static constexpr std::array<std::pair<Kind, const char*>, 9> kKeys{
      {{Kind::raise, "bench.raise_mm"},
       {Kind::packing, "bench.packing_mm"},
       {Kind::clips, "bench.clips"},
       {Kind::pressed, "bench.pressed"},
       {Kind::foot, "bench.foot_mm"},
       {Kind::needle, "bench.needle"},
       {Kind::speed, "bench.speed_spm"},
       {Kind::tautness, "bench.tautness"},
       {Kind::backing, "bench.backing"}}};
  std::vector<std::string> all;
  for (const auto& [kind, key] : kKeys) {
    const bool is_there = std::any_of(levers.begin(), levers.end(),
                                      [k = kind](const Lever& each) { return each.kind == k; });
    if (!is_there) all.emplace_back(key);
  }
  bool has_sharp = false, has_thicker = false;
  for (const Lever& lever : levers) {
    if (lever.kind != Kind::needle) continue;
    for (const Level& level : lever.levels) {
      const cap::Needle& needle = level.bench.needle;
      has_sharp = has_sharp || needle.point == cap::NeedlePoint::sharp;
      has_thicker = has_thicker || needle.d_mm > setup.bench.needle.d_mm + kSlack;
    }
  }
  if (!has_sharp) all.emplace_back("bench.needle:sharp");
  if (!has_thicker) all.emplace_back("bench.needle:thicker");
  return all;
}

cap::Bench apply(cap::Bench bench, LeverKind kind, const Level& level) {
  const cap::Bench& to = level.bench;
  switch (kind) {
    case LeverKind::raise:
      bench.raise_mm = to.raise_mm;
      break;
    case LeverKind::packing:
      bench.packing_mm = to.packing_mm;
      break;
    case LeverKind::clips:
      bench.has_clips = to.has_clips;
      break;
    case LeverKind::pressed:
      bench.is_pressed = to.is_pressed;
      break;
    case LeverKind::foot:
      bench.foot_mm = to.foot_mm;
      break;
    case LeverKind::needle:
      bench.needle = to.needle;
      break;
    case LeverKind::speed:
      bench.speed_spm = to.speed_spm;
      break;
    case LeverKind::tautness:
      bench.tautness = to.tautness;
      break;
    case LeverKind::backing:
      bench.backing = to.backing;
      break;
  }
  return bench;
}

bool is_allowed(const cap::Bench& bench, const cap::Mount& mount) {
  return bench.raise_mm + bench.packing_mm <= mount.max_raise_mm + kSlack;
}

}  // namespace buckram::advise
