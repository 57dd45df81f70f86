#include "cap/setup.h"

#include <fmt/format.h>

#include <utility>

namespace buckram::cap {
namespace {

void want(double value, base::Range range, const char* key,
          const char* hint = "Choose a value between them") {
  if (value >= range.low && value <= range.high) return;  // false for NaN too
  throw base::Error{base::ErrorCode::bad_job,
                    fmt::format("is {:g}, outside {:g} to {:g}", value, range.low, range.high), key,
                    hint};
}

template <typename Named>
std::size_t find_named(const std::vector<Named>& all, std::string_view name, const char* kind) {
  std::vector<std::string> known;
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (all[i].name == name) return i;
    known.push_back(all[i].name);
  }
  const std::string nearest = base::nearest_name(name, known);
  throw base::Error{base::ErrorCode::unknown_name,
                    fmt::format("no {} is called \"{}\"", kind, name), "",
                    nearest.empty() ? fmt::format("Known: {}", fmt::join(known, ", "))
                                    : fmt::format("Did you mean \"{}\"?", nearest)};
}

}  // namespace

Setup with_bench(const Setup& setup, Bench bench) {
  Setup changed = setup;
  if (!changed.read_with) changed.read_with = setup.bench;
  changed.bench = std::move(bench);
  return changed;
}

Bench bench_of(const Mount& mount, const Needle& needle, std::vector<Layer> backing) {
  Bench bench;
  bench.raise_mm = mount.raise_mm;
  bench.tautness = mount.tautness;
  bench.foot_mm = mount.foot_mm;
  bench.needle = needle;
  bench.backing = std::move(backing);
  bench.turn_deg = mount.turn_deg;
  bench.turned_by = mount.turned_by;
  return bench;
}

std::vector<Layer> layers_of(const Setup& setup) {
  std::vector<Layer> layers;
  for (Layer layer : setup.cap.layers) {
    if (layer.is_stiffener && !setup.mount.buckram_is_on) continue;
    layer.hardness_n_per_mm *= setup.cap.stiffness;
    layers.push_back(std::move(layer));
  }
  layers.insert(layers.end(), setup.bench.backing.begin(), setup.bench.backing.end());
  return layers;
}

double stack_mm(const Setup& setup) {
  double sum = 0;
  for (const Layer& layer : layers_of(setup)) sum += layer.thickness_mm;
  return sum;
}

bool has_seam(const Setup& setup) {
  return setup.cap.has_seam && setup.mount.seam_is_on;
}

bool is_sewn_up(const Mount& mount) {
  return mount.needs == Needs::finished_cap;
}

double lowest_foot_mm(const Setup& setup) {
  constexpr double kClearMm = 0.2;
  const double seam = has_seam(setup) ? setup.cap.seam.ridge_mm + setup.cap.seam.tape_mm : 0;
  return stack_mm(setup) + seam + kClearMm;
}

std::size_t usual_backing(const Cap& cap) {
  return cap.is_structured ? 1 : 2;
}

bool passes_hole(const Mount& mount, const Needle& needle) {
  constexpr double kRoomMm = 0.2;  // estimate, from memory
  return !mount.hole_mm || needle.d_mm + kRoomMm <= *mount.hole_mm + 1e-9;
}

void check(const Setup& setup) {
  const Bench& b = setup.bench;
  want(setup.cap.stiffness, ranges::kStiffness, "cap.crown_stiffness");
  want(b.raise_mm, ranges::kRaiseMm, "bench.raise_mm");
  want(b.packing_mm, ranges::kRaiseMm, "bench.packing_mm");
  const double raised = b.raise_mm + b.packing_mm;
  if (raised > setup.mount.max_raise_mm + 1e-9) {
    throw base::Error{
        base::ErrorCode::bad_job,
        fmt::format("plate and packing together are {:g} mm; this mount allows {:g} mm", raised,
                    setup.mount.max_raise_mm),
        "bench.raise_mm", "Lower one of them, or mend max_raise_mm in the mount's file"};
  }
  want(b.tautness, ranges::kTautness, "bench.tautness");
  want(b.foot_mm, ranges::kFootMm, "bench.foot_mm");
  want(b.speed_spm, ranges::kSpeedSpm, "bench.speed_spm");
  if (b.slowest_spm != 0) want(b.slowest_spm, ranges::kSpeedSpm, "bench.slowest_spm");
  want(b.needle.d_mm, ranges::kNeedleMm, "bench.needle");
  if (!passes_hole(setup.mount, b.needle)) {
    throw base::Error{base::ErrorCode::bad_job,
                      fmt::format("is {:g} mm thick; the hole in this mount's plate is {:g} mm",
                                  b.needle.d_mm, *setup.mount.hole_mm),
                      "bench.needle",
                      "Choose a thinner needle, or mend hole_mm in the mount's file"};
  }
  want(b.heads, ranges::kHeads, "bench.heads");
  want(b.needles, ranges::kNeedles, "bench.needles");
  for (const GapReading& reading : setup.readings) {
    want(reading.gap_mm, ranges::kReadingGap, "gap.gap_mm", "Gaps are in mm: 2.2, not 22");
    want(reading.sd_mm, ranges::kReadingSd, "gap.sd_mm");
    want(reading.x_mm, ranges::kReadingX, "gap.x_mm");
    want(reading.y_mm, ranges::kReadingY, "gap.y_mm");
  }
}

Needle find_needle(const std::vector<Needle>& needles, std::string_view name) {
  return needles[find_named(needles, name, "needle")];
}

Fabric find_fabric(const std::vector<Fabric>& fabrics, std::string_view name) {
  return fabrics[find_named(fabrics, name, "fabric")];
}

}  // namespace buckram::cap
