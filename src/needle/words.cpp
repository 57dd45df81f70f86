#include "needle/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace buckram::needle {
namespace {

constexpr std::size_t kMost = 20;
constexpr double kApartMm = 5;
// From here on a gap is worth closing, and a slope worth moving away from.
constexpr double kWideGapMm = 0.6;
constexpr double kManyLayers = 1.5;

std::string why_of(const Push& push, const Place& place, const Blade& blade, Mode mode) {
  if (mode == Mode::buckle) {
    return fmt::format("the stack asks for {:.1f} N and this needle buckles at {:.1f} N",
                       push.force_n, push.critical_n);
  }
  const double aside = geometry::norm(push.mean);
  std::string why =
      push.gap_mm >= 0.1
          ? fmt::format(
                "{:.1f} mm of gap: the cloth goes down {:.1f} mm with the point and takes it "
                "{:.2f} mm aside",
                push.gap_mm, push.travel_mm, aside)
          : fmt::format("the cloth lies on the plate; the point still goes {:.2f} mm aside", aside);
  if (push.slide_mm > push.drift_mm && push.slide_mm > 0.05) {
    why += fmt::format("; on a slope of {:.0f} degrees it slips",
                       base::degrees(std::atan(push.slope)));
  }
  if (place.layers >= kManyLayers) {
    why += fmt::format("; {:.1f} layers of thread lie there already", place.layers);
  }
  why += fmt::format("; the hole leaves {:.2f} mm", blade.hole_clearance_mm);
  if (mode == Mode::hook) why += ", and the hook stands on that side";
  return why;
}

std::string helps_of(const cap::Setup& setup, const Push& push, const Place& place,
                     geometry::Point at) {
  const bool on_seam = cap::has_seam(setup) && std::abs(at.x) < setup.cap.seam.half_width_mm + 3;
  if (push.slide_mm > push.drift_mm && push.slide_mm > 0.05 && at.y > 45) {
    return "a smaller height, or a mount that holds the front flat";
  }
  if (push.gap_mm >= kWideGapMm) {
    if (setup.bench.raise_mm + setup.bench.packing_mm + 0.2 < setup.mount.max_raise_mm) {
      return "raise or pack the plate; clip the front's edges";
    }
    if (at.y < 16) return "move the artwork up; lower the presser foot";
    return "lower the presser foot; clip the front's edges; press the front";
  }
  if (place.layers >= kManyLayers) return "fewer threads there: wider rows or less under-stitching";
  if (on_seam) return "press the seam flat first";
  return "a thicker needle, or one with a sharp point";
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

std::vector<WorstPlace> worst_places(const stitch::Plan& plan, const cap::Setup& setup,
                                     const Mechanics& mechanics, const Places& all,
                                     const Evaluation& found) {
  std::vector<std::size_t> order(all.places.size());
  std::iota(order.begin(), order.end(), 0U);
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return found.hazard[a] > found.hazard[b]; });
  std::vector<WorstPlace> worst;
  for (const std::size_t k : order) {
    if (worst.size() == kMost || found.hazard[k] <= 0) break;
    const geometry::Point at = plan.at(all.entries[k]);
    const bool near = std::any_of(worst.begin(), worst.end(), [&](const WorstPlace& w) {
      return geometry::distance(w.at, at) < kApartMm;
    });
    if (near) continue;
    const Push push = push_at(all.places[k], all.blade, mechanics, mean_cap());
    worst.push_back(
        {all.entries[k], at, found.hazard[k], found.mode[k],
         place_in_words(setup, at) + ", " + why_of(push, all.places[k], all.blade, found.mode[k]),
         helps_of(setup, push, all.places[k], at)});
  }
  return worst;
}

}  // namespace buckram::needle
