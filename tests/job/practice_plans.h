// Plans that the trade's facts are tried on: the three examples, planned as a customer gets them
// and in the variants that the pairs ask for, on three structured crowns.
#pragma once

#include "job/job.h"

#include "needle/shop.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace buckram::practice {

using needle::testing::Shop;

// One logo's plans. The stitches do not differ between seamed crowns, so one planning does for all.
struct Plans {
  stitch::Plan plan;            // as the program makes it for a cap
  stitch::Plan full;            // T4: digitised as for flat goods, and 0.34 mm close
  stitch::Plan tall, middling;  // T10: drawn 61 and 50 mm tall, lowest at 12.7
  stitch::Plan forty;           // 40 mm tall
  stitch::Plan busy, calm;      // T12: equal area and top thread, as 64 shapes and as 4
};

struct Case {
  std::string logo, cap;
  const Plans& plans;
};

inline int downs(const stitch::Plan& plan) {
  return static_cast<int>(std::count(plan.op.begin(), plan.op.end(), stitch::Op::sew));
}

inline double lowest(const stitch::Plan& plan) {
  double y = 1e300;
  for (int i = 0; i < plan.size(); ++i) {
    if (plan.op[static_cast<std::size_t>(i)] == stitch::Op::sew) y = std::min(y, plan.at(i).y);
  }
  return y;
}

// The same stitches with the lowest at `y_mm`, and `x_mm` to the right.
inline stitch::Plan placed(stitch::Plan plan, double y_mm, double x_mm = 0) {
  const double up = y_mm - lowest(plan);
  for (double& y : plan.y) y += up;
  for (double& x : plan.x) x += x_mm;
  return plan;
}

// The drawing stretched upwards: a tall wordmark is drawn tall, not scaled until it is 170 mm wide.
inline std::string stretched(std::string svg, double by) {
  const std::size_t box = svg.find("viewBox=\"") + 9, end = svg.find('"', box);
  double x = 0, y = 0, width = 0, height = 0;
  std::sscanf(svg.substr(box, end - box).c_str(), "%lf %lf %lf %lf", &x, &y, &width, &height);
  const std::size_t inside = svg.find('>', svg.find("<svg")) + 1;
  return fmt::format(
      "<svg xmlns='http://www.w3.org/2000/svg' xmlns:xlink='http://www.w3.org/1999/xlink' "
      "viewBox='{} {} {} {}'><g transform='scale(1 {})'>{}</g></svg>",
      x, y * by, width, height * by, by, svg.substr(inside, svg.rfind("</svg>") - inside));
}

// Shapes of `side` squared mm each, `across` in a row and in a column, 48 mm wide and 40 tall.
inline std::string tiles(int across, double side, const std::string& kind) {
  std::string inside;
  for (int k = 0; k < across * across; ++k) {
    const double x = (k % across + 0.5) * 48 / across, y = (k / across + 0.5) * 40 / across;
    if (kind == "disc") {
      inside += fmt::format("<circle cx='{}' cy='{}' r='{}'/>", x, y, side / std::sqrt(base::kPi));
    } else {
      inside +=
          fmt::format("<rect x='{}' y='{}' width='{}' height='{}' transform='rotate({} {} {})'/>",
                      x - side / 2, y - side / 2, side, side, kind == "diamond" ? 45 : 0, x, y);
    }
  }
  return "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 48 40'><g fill='#1f3f5b'>" + inside +
         "</g></svg>";
}

// Throws Error{bad_artwork} where it cannot be planned.
inline stitch::Plan planned(const Shop& shop, const std::string& svg,
                            const std::vector<std::string>& sets) {
  const job::Resolved job =
      job::resolve(job::read_job("", "practice", "", sets), {.path = shop.folder});
  job::Planned found = job::plan_stitches(job, artwork::read_svg(svg, "practice"));
  if (found.plan) return std::move(*found.plan);
  throw base::Error{base::ErrorCode::bad_artwork, found.refusal, "practice", "Look at its size"};
}

struct Logo {
  const char* name;
  const char* file;
  const char* size;  // as its example asks
  double
      painted_per_mm;  // height it would have at 1 mm of that size, where only the width is asked
  const char* shape;   // of its busy and calm tiles
};
inline constexpr Logo kLogos[] = {
    {"crest", "keld-harbour-crest.svg", "artwork.height_mm=46", 0, "square"},
    {"badge", "skerry-light-badge.svg", "artwork.height_mm=50", 0, "disc"},
    {"wordmark", "tern-and-tide-wordmark.svg", "artwork.width_mm=105", 30.2, "diamond"}};
inline constexpr const char* kCrowns[] = {"six-panel-structured-low", "six-panel-structured-mid",
                                          "six-panel-structured-high"};

inline Plans plans_of(const Shop& shop, const Logo& logo, const std::string& examples) {
  const std::string svg = base::read_file(examples + "/" + logo.file, 1 << 20);
  const auto tall = [&](double height_mm) {
    const std::string drawn =
        logo.painted_per_mm > 0 ? stretched(svg, height_mm / logo.painted_per_mm) : svg;
    return placed(planned(shop, drawn, {fmt::format("artwork.height_mm={}", height_mm)}), 12.7);
  };
  Plans plans;
  plans.plan = planned(shop, svg, {logo.size});
  plans.full = planned(shop, svg,
                       {logo.size, "stitch.style=flat", "stitch.row_spacing_mm=0.34",
                        "stitch.column_spacing_mm=0.34"});
  plans.tall = tall(61), plans.middling = tall(50), plans.forty = tall(40);
  const auto squares = [&](int across, double side) {
    const std::string shape = logo.shape;
    const double extent = shape == "square" ? side
                          : shape == "disc" ? 2 * side / std::sqrt(base::kPi)
                                            : side * std::sqrt(2);
    return planned(shop, tiles(across, side, shape),
                   {fmt::format("artwork.height_mm={}", 40 - 40.0 / across + extent)});
  };
  plans.busy = squares(8, 3), plans.calm = squares(2, 12);
  return plans;
}

}  // namespace buckram::practice
