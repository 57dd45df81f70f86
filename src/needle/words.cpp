#include "needle/words.h"

#include "needle/causes.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace buckram::needle {
namespace {

constexpr std::size_t kMost = 20;
constexpr double kApartMm = 5;
constexpr std::size_t kMostCauses = 3, kMostHelps = 2;
// A gap, and a way aside, that is told with its number.
constexpr double kSeenGapMm = 0.1, kSeenAsideMm = 0.05;
// One needle in a million caps at one place: nobody changes a bench for that.
constexpr double kNegligible = 1e-6;

std::string words_of(Cause cause, const Push& push, const Place& place) {
  switch (cause) {
    case Cause::gap:
      return push.gap_mm >= kSeenGapMm
                 ? fmt::format("the cloth stands {:.1f} mm off the plate", push.gap_mm)
                 : "the cloth does not lie on the plate on every cap";
    case Cause::slope: {
      const double degrees = base::degrees(std::atan(push.slope));
      const char* how = push.slide_mm > push.drift_mm ? "so steep that the point can slip on it"
                                                      : "so that the point is led downhill";
      return fmt::format("the cloth slopes by {:.0f} degrees, {}", degrees, how);
    }
    case Cause::crowding:
      return fmt::format("{:.1f} layers of thread lie there already", place.layers);
    case Cause::motion:
      return "the frame still moves as the point goes in";
    case Cause::hardness:
      return fmt::format("the layers are hard ({:.0f} N)", push.force_n);
  }
  return "";
}

std::string listed(const std::vector<std::string>& parts) {
  std::string words;
  for (std::size_t k = 0; k < parts.size(); ++k) {
    if (k > 0) words += k + 1 < parts.size() ? "; " : parts.size() > 2 ? "; and " : ", and ";
    words += parts[k];
  }
  return words;
}

// What comes of it, by the likeliest way in which the needle breaks.
std::string outcome_of(const Push& push, const Blade& blade, Mode mode) {
  const double aside = std::hypot(push.mean_x, push.mean_y);
  if (mode == Mode::bend) {
    return fmt::format("The point is pushed {:.2f} mm aside, near what the needle's steel stands",
                       aside);
  }
  if (mode == Mode::hook) return "The point is pushed to the side where the hook passes";
  // How far the common penetrations reach; beyond that it takes a hard spot.
  const double scatter = std::sqrt(std::max(push.xx, push.yy));
  const double hole = blade.hole_clearance_mm;
  if (aside + 3 * scatter >= hole) {
    return fmt::format(
        "The point comes down {:.2f} mm aside; from {:.2f} mm on it strikes the plate", aside,
        hole);
  }
  const char* knot = "knot or a doubled yarn can throw";
  if (aside < kSeenAsideMm) {
    return fmt::format("A {} the point {:.2f} mm aside, onto the plate", knot, hole);
  }
  return fmt::format("The point comes down {:.2f} mm aside; a {} it to {:.2f} mm, onto the plate",
                     aside, knot, hole);
}

std::string why_of(const Push& push, const Place& place, const Blade& blade, Mode mode,
                   const PlaceCauses& found) {
  if (mode == Mode::buckle) {
    return fmt::format("the layers here ask for {:.1f} N, and this needle buckles at {:.1f} N",
                       push.force_n, push.critical_n);
  }
  std::vector<std::string> parts;
  for (const CauseShare& each : found.causes) {
    if (parts.size() < kMostCauses) parts.push_back(words_of(each.cause, push, place));
  }
  const std::string outcome = outcome_of(push, blade, mode);
  return parts.empty() ? outcome : listed(parts) + ". " + outcome;
}

std::string helps_of(const PlaceCauses& found, double chance) {
  if (chance < kNegligible) {
    return "nothing is needed here: fewer than one needle in a million caps";
  }
  std::string words;
  for (std::size_t k = 0; k < std::min(kMostHelps, found.helps.size()); ++k) {
    words += (k > 0 ? "; next best: " : "") + found.helps[k].words;
  }
  return words.empty() ? "no single change helps much here" : words;
}

std::vector<std::size_t> by_chance(const std::vector<double>& hazard) {
  std::vector<std::size_t> order(hazard.size());
  std::iota(order.begin(), order.end(), 0U);
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return hazard[a] > hazard[b]; });
  return order;
}

}  // namespace

std::string place_in_words(const cap::Setup& setup, geometry::Point at) {
  const char* middle = cap::has_seam(setup) ? "seam" : "centre line";
  std::string words;
  if (std::abs(at.x) < 1.5) {
    words = fmt::format("on the {}", middle);
  } else if (cap::has_seam(setup) && std::abs(at.x) < setup.cap.seam.width_mm) {
    words = fmt::format("on the seam's shoulder, {:.0f} mm {}", std::abs(at.x),
                        at.x < 0 ? "left" : "right");
  } else {
    words =
        fmt::format("{:.0f} mm {} of the {}", std::abs(at.x), at.x < 0 ? "left" : "right", middle);
  }
  return words + fmt::format(", {:.0f} mm above the bill", at.y);
}

std::vector<WorstPlace> worst_places(const Sewing& sewing, const Places& all,
                                     const Evaluation& found,
                                     const std::vector<std::string>& locked) {
  const auto& [plan, setup, mechanics, layers] = sewing;
  std::vector<std::size_t> worst;  // of `all`
  for (const std::size_t k : by_chance(found.hazard)) {
    if (worst.size() == kMost || found.hazard[k] <= 0) break;
    const geometry::Point at = plan.at(all.entries[k]);
    const bool near = std::any_of(worst.begin(), worst.end(), [&](std::size_t w) {
      return geometry::distance(plan.at(all.entries[w]), at) < kApartMm;
    });
    if (!near) worst.push_back(k);
  }
  std::vector<int> entries;
  for (const std::size_t k : worst) entries.push_back(all.entries[k]);
  const std::vector<PlaceCauses> causes =
      causes_of(plan, setup, mechanics, layers, entries, locked);
  std::vector<WorstPlace> told;
  for (std::size_t j = 0; j < worst.size(); ++j) {
    const std::size_t k = worst[j];
    const geometry::Point at = plan.at(entries[j]);
    const Push push = push_at(all.places[k], all.blade, mechanics, mean_cap());
    const std::string why = why_of(push, all.places[k], all.blade, found.mode[k], causes[j]);
    told.push_back({entries[j], at, found.hazard[k], found.mode[k],
                    place_in_words(setup, at) + ": " + why, helps_of(causes[j], found.hazard[k])});
  }
  return told;
}

}  // namespace buckram::needle
