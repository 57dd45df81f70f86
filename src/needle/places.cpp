#include "needle/places.h"

#include "needle/penetration.h"

#include <algorithm>

namespace buckram::needle {
namespace {

std::vector<int> sew_entries(const stitch::Plan& plan) {
  std::vector<int> entries;
  for (int i = 0; i < plan.size(); ++i) {
    if (plan.op[static_cast<std::size_t>(i)] == stitch::Op::sew) entries.push_back(i);
  }
  return entries;
}

// Stitches a minute at every entry.
std::vector<double> speeds_of(const stitch::Plan& plan, double bench_spm) {
  std::vector<double> speeds(plan.op.size(), bench_spm);
  for (const stitch::Block& block : plan.blocks) {
    const auto first = speeds.begin() + block.first;
    std::fill(first, first + block.count, stitch::speed_of(block, bench_spm));
  }
  return speeds;
}

// Cloth across its plane: taut cloth is stiffer, and so is cloth near the bill seam that holds it.
double across_stiffness(const cap::Setup& setup, const Mechanics& m, double y) {
  const double open = m.across_n_per_mm + m.across_taut_n_per_mm * setup.bench.tautness;
  if (!setup.mount.bill_is_on) return open;
  return open * (1 + m.across_bill_mm / std::max(y, 1.0));
}

}  // namespace

Places places_of(const stitch::Plan& plan, const cap::Setup& setup, const Mechanics& m,
                 const std::vector<double>& layers, std::vector<int> entries) {
  Places all;
  all.entries = entries.empty() ? sew_entries(plan) : std::move(entries);
  all.places.resize(all.entries.size());
  all.blade = blade_of(setup.bench.needle, m, setup.mount.hole_mm);
  const cap::GapField field(setup);
  const cap::Chart chart(setup);
  const double needle = needle_factor(setup.bench.needle, m);
  const std::vector<double> speeds = speeds_of(plan, setup.bench.speed_spm);
  const double stack = cap::stack_mm(setup);
  const Stack cloth = layers_stack(setup);
  base::parallel_for(
      all.entries.size(),
      [&](std::size_t k) {
        const int i = all.entries[k];
        const geometry::Point at = plan.at(i);
        const geometry::Point before = i > 0 ? plan.at(i - 1) : at;
        Place& place = all.places[k];
        place.gap = field.terms(at);
        place.layers = layers[static_cast<std::size_t>(i)];
        const double spm = speeds[static_cast<std::size_t>(i)];
        const double needle_and_rate = needle * rate_factor(spm, m);
        place.force_n = stack_over(cloth, setup, m, at).sum() * needle_and_rate *
                        crowding_factor(place.layers, m);
        place.across_n_per_mm = across_stiffness(setup, m, at.y);
        place.in_plane_n_per_mm =
            m.in_plane_n_per_mm + m.in_plane_taut_n_per_mm * setup.bench.tautness;
        place.foot_room_mm = std::max(0.0, setup.bench.foot_mm - stack);
        const double step = geometry::distance(chart.to_machine(before), chart.to_machine(at));
        place.motion = frame_motion(setup.mount, m, spm, stack, step, at - before);
      },
      256);
  return all;
}

}  // namespace buckram::needle
