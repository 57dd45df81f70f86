// The run strip: the job along time, like the elevation profile of a route.
#include "report/chart_words.h"
#include "report/sheet.h"
#include "report/words.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace buckram::report {
namespace {

using geometry::Point;

struct Frame {
  double left, right, top, base, seconds;  // mm; seconds in all
  double x(double t) const { return left + (right - left) * (seconds > 0 ? t / seconds : 0); }
  // Height is the square root of hazard, so that small peaks stay visible.
  double y(double share) const {
    return base - (base - top) * std::sqrt(std::clamp(share, 0.0, 1.0));
  }
};

// Expected breaks by slice of time, smoothed a little; and the worst class met in each slice.
struct Profile {
  std::vector<double> height;
  std::vector<int> worst;
  double top = 0;
};

Profile profile_of(const Sheet& sheet, int n) {
  Profile p{std::vector<double>(static_cast<std::size_t>(n), 0),
            std::vector<int>(static_cast<std::size_t>(n), -1), 0};
  if (!sheet.subject.verdict.forecast || sheet.timeline.empty()) return p;
  const std::vector<double>& hazard = sheet.subject.verdict.forecast->hazard;
  const double seconds = sheet.timeline.back();
  std::vector<double> raw(p.height.size(), 0);
  for (std::size_t i = 0; i < std::min(hazard.size(), sheet.timeline.size()); ++i) {
    if (!(hazard[i] > 0) || seconds <= 0) continue;
    const auto k =
        std::min(raw.size() - 1, static_cast<std::size_t>(sheet.timeline[i] / seconds * n));
    raw[k] += hazard[i];
    p.worst[k] = std::max(p.worst[k], hazard_class(hazard[i]));
  }
  constexpr std::array<double, 5> kKernel{1, 2, 3, 2, 1};
  for (int k = 0; k < n; ++k)
    for (int j = -2; j <= 2; ++j)
      if (k + j >= 0 && k + j < n)
        p.height[static_cast<std::size_t>(k)] +=
            kKernel[static_cast<std::size_t>(j + 2)] / 9 * raw[static_cast<std::size_t>(k + j)];
  p.top = *std::max_element(p.height.begin(), p.height.end()) * 1.06;
  return p;
}

void draw_profile(Picture& picture, const Frame& f, const Profile& p) {
  if (!(p.top > 0)) return;
  const int n = static_cast<int>(p.height.size());
  Path line;
  for (int k = 0; k < n; ++k) {
    const auto at = static_cast<std::size_t>(k);
    const double x0 = f.left + (f.right - f.left) * k / n,
                 x1 = f.left + (f.right - f.left) * (k + 1) / n;
    const double y = f.y(p.height[at] / p.top);
    if (p.worst[at] >= 0 && f.base - y > 0.05)
      picture.fill(rectangle(x0, y, x1 - x0 + 0.05, f.base - y),
                   kHazard[static_cast<std::size_t>(p.worst[at])]);
    if (k == 0)
      line.move({(x0 + x1) / 2, y});
    else
      line.line({(x0 + x1) / 2, y});
  }
  picture.stroke(std::move(line), {kInk, 0.28, {}, true});
}

void draw_band(Picture& picture, const Sheet& sheet, const Frame& f, double y, double tall) {
  for (const Visit& visit : sheet.visits) {
    const double from =
        visit.first > 0 ? sheet.timeline[static_cast<std::size_t>(visit.first - 1)] : 0;
    const double to =
        sheet.timeline[static_cast<std::size_t>(std::max(visit.first, visit.end - 1))];
    const double x0 = f.x(from), x1 = f.x(to);
    if (x1 - x0 < 0.02) continue;
    const stitch::PlanThread& thread =
        sheet.subject.plan.threads[static_cast<std::size_t>(visit.thread)];
    const Colour colour = parse_colour(thread.rgb);
    draw_swatch(picture, {x0, y, x1, y + tall}, colour, visit.thread, 0.18);
    const Type type = sans(2.7, luminance(colour) < 0.25 ? kWhite : kInk, 600);
    const std::string number = std::to_string(thread.needle);
    std::string label = number + "  " + thread.name;
    if (sheet.rule.width_mm(label, type) + 4 > x1 - x0) label = number;
    const double wide = sheet.rule.width_mm(label, type);
    if (wide + 2.4 > x1 - x0) continue;
    picture.fill(rectangle(x0 + 1, y + 1, wide + 1.6, tall - 2), colour);
    picture.add(Text{{x0 + 1.8, y + tall / 2 + 0.36 * type.size_mm}, label, type});
  }
  picture.stroke(rectangle(f.left, y, f.right - f.left, tall), {kInk, 0.26, {}, false});
}

void draw_trims(Picture& picture, const Sheet& sheet, const Frame& f, double y) {
  Path marks;
  for (int i = 0; i < sheet.subject.plan.size(); ++i) {
    if (sheet.subject.plan.op[static_cast<std::size_t>(i)] != stitch::Op::trim) continue;
    const double x = f.x(sheet.timeline[static_cast<std::size_t>(i)]);
    marks.add({{x, y}, {x + 0.65, y + 1.25}, {x - 0.65, y + 1.25}}, true);
  }
  if (!marks.empty()) picture.fill(std::move(marks), kInk);
}

void draw_minutes(Picture& picture, const Frame& f, double y) {
  const Type type = sans(kNote_mm, kInk2);
  Path ticks;
  ticks.segment({f.left, y}, {f.right, y});
  double step = 60;
  for (const double more : {120.0, 300.0, 600.0, 1800.0, 3600.0, 7200.0})
    if (f.seconds / step > 14) step = more;
  for (double t = 0; t <= f.seconds; t += step) {
    const double x = f.x(t);
    ticks.segment({x, y}, {x, y + 1.2});
    picture.add(Text{{x, y + 4.2},
                     figure(t / 60, 0) + (t > 0 ? "" : " min"),
                     type,
                     t > 0 ? Anchor::middle : Anchor::start});
  }
  picture.stroke(std::move(ticks), {kInk2, 0.22, {}, false});
}

void draw_pins(Picture& picture, const Sheet& sheet, const Frame& f, const Profile& p,
               const std::vector<Callout>& places) {
  const Look look = print_look(sheet.rule, 0.2646);
  const double apart = 5.0;
  std::vector<Point> used;
  for (const Callout& c : places) {
    const double t = sheet.timeline[static_cast<std::size_t>(
        std::clamp(c.entry, 0, sheet.subject.plan.size() - 1))];
    const double x = f.x(t);
    const auto k = std::min(p.height.size() - 1,
                            static_cast<std::size_t>((x - f.left) / (f.right - f.left) *
                                                     static_cast<double>(p.height.size())));
    Point at{x, std::max(f.top - 2.5, (p.top > 0 ? f.y(p.height[k] / p.top) : f.base) - 2.8)};
    // Aside until it is free: left, then right, further each time.
    for (int s = 1; s < 16; ++s) {
      const bool is_free = std::none_of(used.begin(), used.end(), [&](Point u) {
        return std::abs(u.x - at.x) < apart && std::abs(u.y - at.y) < apart;
      });
      if (is_free) break;
      at.x = std::clamp(x + (s % 2 ? -1 : 1) * 2.6 * ((s + 1) / 2), f.left + 2.5, f.right - 2.5);
    }
    used.push_back(at);
    draw_pin(picture, at, c.number, look, 8);
  }
}

}  // namespace

Picture draw_strip(const Sheet& sheet, double width_mm, double height_mm,
                   const std::vector<Callout>& places) {
  constexpr double kBand_mm = 5.6;
  Picture picture;
  if (sheet.timeline.empty()) return picture;
  const Frame f{13, width_mm, 5, height_mm - kBand_mm - 12, sheet.timeline.back()};
  const Type small = sans(kNote_mm, kInk2);
  Path grid;
  for (const double q : {0.25, 0.5, 0.75, 1.0}) {
    const double y = f.base - (f.base - f.top) * q;
    grid.segment({f.left, y}, {f.right, y});
  }
  picture.stroke(std::move(grid), {kRule, 0.2, {}, false});
  for (const auto& [share, words] :
       {std::pair{1.0, "most"}, std::pair{0.25, "¼"}, std::pair{0.0, "0"}})
    picture.add(Text{{f.left - 2, f.y(share) + 1}, words, small, Anchor::end});
  Text axis{{2.6, (f.top + f.base) / 2}, "hazard", small, Anchor::middle};
  axis.turn_deg = -90;
  picture.add(std::move(axis));
  const Profile profile =
      profile_of(sheet, std::max(20, static_cast<int>((f.right - f.left) / 1.0)));
  draw_profile(picture, f, profile);
  picture.stroke(line_between({f.left, f.base}, {f.right, f.base}), {kInk, 0.26, {}, false});
  const double band = f.base + 1.6;
  draw_band(picture, sheet, f, band, kBand_mm);
  draw_trims(picture, sheet, f, band + kBand_mm + 0.5);
  picture.add(Text{{f.left - 2, band + kBand_mm + 2}, "trims", small, Anchor::end});
  draw_minutes(picture, f, band + kBand_mm + 2.8);
  draw_pins(picture, sheet, f, profile, places);
  return picture;
}

}  // namespace buckram::report
