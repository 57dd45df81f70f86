#include "needle/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace buckram::needle {
namespace {

constexpr std::size_t kMost = 20;
constexpr double kApartMm = 5;
// From here on a gap is worth closing, layers are many, a frame's rest of way or swing counts, and
// a foot has room to be lowered.
constexpr double kWideGapMm = 0.6;
constexpr double kManyLayers = 1.5;
constexpr double kMovingMm = 0.08;
constexpr double kFootRoomMm = 0.4;

bool slips(const Push& push) {
  return push.slide_mm > push.drift_mm && push.slide_mm > 0.05;
}

bool is_still_moving(const Push& push, const Place& place) {
  return place.motion.left_mm(push.gap_mm) > kMovingMm ||
         std::hypot(push.swing_x, push.swing_y) > kMovingMm;
}

std::string why_of(const Push& push, const Place& place, const Blade& blade, Mode mode) {
  if (mode == Mode::buckle) {
    return fmt::format("the layers here ask for {:.1f} N, and this needle buckles at {:.1f} N",
                       push.force_n, push.critical_n);
  }
  const double aside = std::hypot(push.mean_x, push.mean_y);
  std::string why = push.gap_mm >= 0.1
                        ? fmt::format("the cloth stands {:.1f} mm off the plate", push.gap_mm)
                        : std::string("the cloth lies on the plate");
  if (slips(push)) {
    why += fmt::format(" and leans {:.0f} degrees, so that the point slips",
                       base::degrees(std::atan(push.slope)));
  }
  if (place.layers >= kManyLayers) {
    why += fmt::format("; {:.1f} layers of thread lie there already", place.layers);
  }
  if (is_still_moving(push, place)) why += "; the frame still moves as the point goes in";
  // How far the common penetrations reach; beyond that it takes a hard spot.
  const double scatter = std::sqrt(std::max(push.xx, push.yy));
  const bool takes_more = aside + 3 * scatter < blade.hole_clearance_mm;
  why += takes_more ? fmt::format(
                          "; {:.2f} mm aside by that, the point is thrown past the {:.2f} mm that "
                          "the hole leaves when it meets a knot or a doubled yarn",
                          aside, blade.hole_clearance_mm)
                    : fmt::format("; the point is {:.2f} mm aside, the hole leaves {:.2f} mm",
                                  aside, blade.hole_clearance_mm);
  if (mode == Mode::hook) why += "; the hook stands on that side";
  return why;
}

// What closes the gap and is not done yet, the nearest first; at most two.
std::string closing_of(const cap::Setup& setup, geometry::Point at) {
  const cap::Bench& bench = setup.bench;
  std::vector<std::string> ways;
  if (bench.raise_mm + bench.packing_mm + 0.2 < setup.mount.max_raise_mm) {
    ways.emplace_back("raise or pack the plate");
  }
  if (at.y < 16 && setup.mount.bill_is_on) ways.emplace_back("move the artwork up");
  if (!bench.has_clips) ways.emplace_back("clip the front's edges");
  if (!bench.is_pressed) ways.emplace_back("press the front");
  if (bench.foot_mm > cap::stack_mm(setup) + kFootRoomMm) {
    ways.emplace_back("lower the presser foot");
  }
  if (ways.empty()) return "another mount or a smaller design";
  return ways.size() == 1 ? ways[0] : ways[0] + "; " + ways[1];
}

std::string helps_of(const cap::Setup& setup, const Push& push, const Place& place,
                     geometry::Point at) {
  const bool on_seam = cap::has_seam(setup) && std::abs(at.x) < setup.cap.seam.half_width_mm + 3;
  const bool is_flat = setup.mount.kind == cap::MountKind::flat;
  if (slips(push) && at.y > 45) {
    return is_flat ? "less height" : "less height, or a mount that holds the front flat";
  }
  if (push.gap_mm >= kWideGapMm) return closing_of(setup, at);
  if (is_still_moving(push, place)) return "sew slower; shorter stitches there";
  if (place.layers >= kManyLayers) return "less thread there: wider rows or less under-stitching";
  if (on_seam && !setup.bench.is_pressed) return "press the seam flat first";
  if (setup.bench.needle.point == cap::NeedlePoint::ball) return "a needle with a sharp point";
  return "a thicker needle, or a softer backing";
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
