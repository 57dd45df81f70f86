#include "server/ground.h"

#include "server/json_text.h"

#include "base/base.h"
#include "cap/cap.h"
#include "report/told.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>

namespace buckram::server {
namespace {

using geometry::Point;
using Out = std::back_insert_iterator<std::string>;

constexpr double kGapStepMm = 0.5, kProfileStepMm = 2;  // the gap as the sheet's chart has it
constexpr double kUsualLowestMm = 12.7;                 // common practice, no source
constexpr double kOutlineMm = 0.05;                     // by which outlines may be thinned

// Holes of the reach and the parts of the field that it lacks, as outlines.
std::string keep_outs_json(const geometry::Polygons& field, const geometry::Polygons& reach) {
  std::string out = "[";
  for (const geometry::Polygon& each :
       geometry::simplify(geometry::subtract(field, reach), kOutlineMm)) {
    out += (out.size() > 1 ? "," : "") + ring_json(each.outer);
  }
  return out + "]";
}

// The frame's field on the chart.
geometry::Polygons field_on_chart(const cap::Setup& setup) {
  const cap::Chart chart(setup);
  const geometry::Box& f = setup.mount.field;
  const std::vector<Point> corners{{f.x0, f.y0}, {f.x1, f.y0}, {f.x1, f.y1}, {f.x0, f.y1}};
  geometry::Ring ring;
  for (std::size_t k = 0; k < corners.size(); ++k) {
    const Point a = corners[k], b = corners[(k + 1) % corners.size()];
    const int n = std::max(1, static_cast<int>(std::ceil(geometry::distance(a, b))));
    for (int i = 0; i < n; ++i) {
      ring.push_back(chart.from_machine(geometry::mix(a, b, static_cast<double>(i) / n)));
    }
  }
  return geometry::unite({ring}, geometry::FillRule::nonzero);
}

std::string profile_json(const cap::Profile& profile) {
  std::string out = "[";
  const int n = static_cast<int>(std::ceil(profile.to_button() / kProfileStepMm));
  for (int k = 0; k <= n; ++k) {
    const double y = profile.to_button() * k / n;
    fmt::format_to(Out(out), "{}[{:.3f},{:.3f},{:.3f}]", k > 0 ? "," : "", y, profile.radius(y),
                   profile.height(y));
  }
  return out + "]";
}

std::string cap_json(const cap::Setup& setup) {
  const cap::Profile profile(setup.cap.crown);
  constexpr report::BillShape kBill;
  std::string eyelets;
  for (const cap::Eyelet& e : setup.cap.eyelets) {
    fmt::format_to(Out(eyelets), "{}[{:g},{:g},{:g}]", eyelets.empty() ? "" : ",", e.at.x, e.at.y,
                   e.radius_mm);
  }
  return fmt::format(
      R"({{"title":{},"has_seam":{},"profile":{},"arc_to_button_mm":{:.3f},"eyelets":[{}],)"
      R"("bill":{{"half_rad":{:.4f},"long_mm":{:g},"drop_mm":{:g},"curve_per_mm":{:g}}},)"
      R"("panels":{},"head_ratio":{:.5f},"rgb":{}}})",
      text_json(setup.cap.title), cap::has_seam(setup), profile_json(profile), profile.to_button(),
      eyelets, kBill.half_rad, kBill.long_mm, kBill.drop_mm, kBill.curve_per_mm, setup.cap.panels,
      report::head_ratio(), text_json(setup.cap.cloth_rgb));
}

// Three digits, none finer than a thousandth: whole figures are written faster than fractions.
void add_gap(double mm, std::string& out) {
  const int decimals = mm < 0.9995 ? 3 : mm < 9.995 ? 2 : 1;
  const int scale = decimals == 3 ? 1000 : decimals == 2 ? 100 : 10;
  const auto figure = static_cast<int>(std::lround(mm * scale));
  fmt::format_to(Out(out), "{}", figure / scale);
  if (figure % scale != 0) fmt::format_to(Out(out), ".{:0{}}", figure % scale, decimals);
}

std::string gap_json(const cap::Setup& setup, const geometry::Box& window) {
  const cap::GapField gap(setup);
  const auto cells = [](double mm) { return static_cast<int>(std::lround(mm / kGapStepMm)) + 1; };
  const int nx = cells(window.width()), ny = cells(window.height());
  std::vector<std::string> rows(static_cast<std::size_t>(ny));
  base::parallel_for(rows.size(), [&](std::size_t j) {
    const double y = window.y0 + static_cast<double>(j) * kGapStepMm;
    for (int i = 0; i < nx; ++i) {
      if (i > 0) rows[j] += ',';
      add_gap(gap.at({window.x0 + i * kGapStepMm, y}).gap_mm, rows[j]);
    }
  });
  return fmt::format(R"({{"x0":{:g},"y0":{:g},"step_mm":{:g},"nx":{},"ny":{},"mm":[{}]}})",
                     window.x0, window.y0, kGapStepMm, nx, ny, fmt::join(rows, ","));
}

std::string readings_json(const std::vector<cap::GapReading>& readings) {
  std::string out = "[";
  for (const cap::GapReading& each : readings) {
    fmt::format_to(Out(out), R"({}{{"x_mm":{:g},"y_mm":{:g},"gap_mm":{:g},"sd_mm":{:g}}})",
                   out.size() > 1 ? "," : "", each.x_mm, each.y_mm, each.gap_mm, each.sd_mm);
  }
  return out + "]";
}

}  // namespace

std::string ring_json(const geometry::Ring& ring) {
  std::string out = "[";
  for (const Point& p : ring) {
    fmt::format_to(Out(out), "{}[{:.2f},{:.2f}]", out.size() > 1 ? "," : "", p.x, p.y);
  }
  return out + "]";
}

std::string ground_json(const cap::Setup& setup, const geometry::Box& art,
                        std::optional<double> usual_top_mm) {
  const geometry::Polygons field = field_on_chart(setup), reach = cap::reach(setup);
  const geometry::Box window = report::chart_window(art, geometry::simplify(reach, kOutlineMm / 2));
  const geometry::Polygons outline = geometry::simplify(field, kOutlineMm);
  const bool has_bill = setup.mount.bill_is_on;
  return fmt::format(
      R"({{"cap":{},"window":[{:g},{:g},{:g},{:g}],"field":{},"keep_outs":{},)"
      R"("unreachable_mm":{:g},"gap":{},"readings":{},)"
      R"("usual":{{"lowest_mm":{},"top_mm":{}}},"start":[{:g},{:g}],"turn_deg":{:g},)"
      R"("turned_by":"{}"}})",
      cap_json(setup), window.x0, window.y0, window.x1, window.y1,
      outline.empty() ? "[]" : ring_json(outline.front().outer), keep_outs_json(field, reach),
      has_bill ? setup.cap.bill.keep_off_mm : 0.0, gap_json(setup, window),
      readings_json(setup.readings), has_bill ? figure(kUsualLowestMm) : "null",
      figure(usual_top_mm), setup.mount.origin.x, setup.mount.origin.y, setup.bench.turn_deg,
      setup.bench.turned_by == cap::TurnedBy::file ? "file" : "controller");
}

}  // namespace buckram::server
