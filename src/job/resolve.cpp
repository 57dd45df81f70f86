#include "job/job.h"

#include "job/keys.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

namespace buckram::job {
namespace {

namespace fs = std::filesystem;
using base::Error;
using base::ErrorCode;

constexpr std::uint64_t kMaxDataBytes = 4'000'000;

std::string read_data(const DataFolder& data, const std::string& name) {
  return base::read_file((fs::path(data.path) / name).string(), kMaxDataBytes);
}

[[noreturn]] void unknown(std::string_view what, const std::string& name,
                          const std::vector<std::string>& known) {
  const std::string nearest = base::nearest_name(name, known);
  throw Error{ErrorCode::unknown_name, fmt::format("no {} has that name", what), name,
              nearest.empty() ? fmt::format("Known: {}", fmt::join(known, ", "))
                              : fmt::format("Did you mean {}?", nearest)};
}

cap::Cap find_cap(const Job& job, const DataFolder& data) {
  const Source source = find_source(data, "caps", "cap", job.cap);
  cap::Cap cap = cap::read_cap(source.text, source.where);
  cap.stiffness = job.crown_stiffness;
  if (job.has_seam) cap.has_seam = *job.has_seam;
  return cap;
}

cap::Mount find_mount(const Job& job, const DataFolder& data) {
  const Source source = find_source(data, "mounts", "mount", job.mount);
  return cap::read_mount(source.text, source.where);
}

// As the job says, else the usual layers of tear-away.
std::vector<cap::Layer> find_backing(const Job& job, const cap::Cap& cap, const DataFolder& data) {
  const std::vector<cap::Fabric> fabrics =
      cap::read_fabrics(read_data(data, "fabrics.toml"), "fabrics.toml");
  const std::vector<std::string> usual(cap::usual_backing(cap), "tear-away");
  std::vector<cap::Layer> layers;
  for (const std::string& name : job.backing.value_or(usual)) {
    layers.push_back(cap::find_fabric(fabrics, name).layer);
  }
  return layers;
}

void lay_job_over_bench(const Job& job, cap::Bench& bench) {
  if (job.raise_mm) bench.raise_mm = *job.raise_mm;
  if (job.packing_mm) bench.packing_mm = *job.packing_mm;
  if (job.has_clips) bench.has_clips = *job.has_clips;
  if (job.is_pressed) bench.is_pressed = *job.is_pressed;
  if (job.tautness) bench.tautness = *job.tautness;
  if (job.foot_mm) bench.foot_mm = *job.foot_mm;
  if (job.speed_spm) bench.speed_spm = *job.speed_spm;
  if (job.slowest_spm) bench.slowest_spm = *job.slowest_spm;
  if (job.turn_deg) bench.turn_deg = *job.turn_deg;
  if (job.turned_by) bench.turned_by = *job.turned_by;
  if (job.heads) bench.heads = *job.heads;
  if (job.needles) bench.needles = *job.needles;
}

// The bench on which the job's gaps were measured, where that is not the bench itself.
std::optional<cap::Bench> find_gap_bench(const Job& job, const cap::Setup& setup) {
  if (job.gap.empty() || !job.gap_bench) return std::nullopt;
  const GapBench& then = *job.gap_bench;
  cap::Bench bench = setup.bench;
  bench.raise_mm = then.raise_mm.value_or(setup.mount.raise_mm);
  bench.packing_mm = then.packing_mm.value_or(0);
  bench.tautness = then.tautness.value_or(setup.mount.tautness);
  bench.has_clips = then.has_clips.value_or(false);
  bench.is_pressed = then.is_pressed.value_or(false);
  return bench;
}

digitise::Recipe find_recipe(const Job& job, const cap::Setup& setup) {
  digitise::Recipe recipe = digitise::recipe_for(job.style);
  if (job.row_spacing_mm) recipe.row_mm = *job.row_spacing_mm;
  if (job.column_spacing_mm) recipe.column_mm = *job.column_spacing_mm;
  if (job.compensation_mm) recipe.compensation_mm = *job.compensation_mm;
  if (job.fill_stitch_mm) recipe.fill_stitch_mm = *job.fill_stitch_mm;
  recipe.follow_shape = job.follow_shape;
  recipe.own = job.objects;
  recipe.has_seam = setup.cap.has_seam && setup.mount.seam_is_on;
  recipe.check();
  return recipe;
}

std::vector<artwork::Thread> find_threads(const Job& job, const DataFolder& data) {
  if (job.threads_file.empty()) {
    return artwork::read_threads(read_data(data, "threads/harbour.csv"), "threads/harbour.csv");
  }
  return artwork::read_threads(base::read_file(job.threads_file, kMaxDataBytes), job.threads_file);
}

}  // namespace

Source find_source(const DataFolder& data, const std::string& folder, std::string_view kind,
                   const std::string& name) {
  if (looks_like_file(name)) return {base::read_file(name, kMaxDataBytes), name};
  const std::vector<std::string> known = shipped_names(data, folder);
  if (std::find(known.begin(), known.end(), name) == known.end()) unknown(kind, name, known);
  const std::string file = folder + '/' + name + ".toml";
  return {read_data(data, file), file};
}

std::vector<std::string> shipped_names(const DataFolder& data, const std::string& folder) {
  std::vector<std::string> names;
  std::error_code trouble;
  for (const auto& entry : fs::directory_iterator(fs::path(data.path) / folder, trouble)) {
    if (entry.path().extension() == ".toml") names.push_back(entry.path().stem().string());
  }
  if (names.empty()) {
    throw Error{ErrorCode::cannot_read, "holds no data files",
                (fs::path(data.path) / folder).string(),
                "Set BUCKRAM_DATA to the folder that holds caps, mounts and threads"};
  }
  std::sort(names.begin(), names.end());
  return names;
}

Resolved resolve(const Job& job, const DataFolder& data) {
  Resolved all;
  all.job = job;
  all.data = data;
  all.setup.cap = find_cap(job, data);
  all.setup.mount = find_mount(job, data);
  all.needles = cap::read_needles(read_data(data, "needles.toml"), "needles.toml");
  all.setup.bench = cap::bench_of(all.setup.mount, cap::find_needle(all.needles, job.needle),
                                  find_backing(job, all.setup.cap, data));
  lay_job_over_bench(job, all.setup.bench);
  all.setup.readings = job.gap;
  all.setup.read_with = find_gap_bench(job, all.setup);
  cap::check(all.setup);
  all.recipe = find_recipe(job, all.setup);
  all.limits.longest_mm = all.recipe.longest_mm;
  all.threads = find_threads(job, data);
  all.mechanics = needle::read_mechanics(read_data(data, "mechanics.toml"), "mechanics.toml");
  all.times = advise::read_times(read_data(data, "times.toml"), "times.toml");
  all.practice_toml = read_data(data, "practice.toml");
  if (!data.shop_file.empty()) {
    all.owned = advise::read_owned(base::read_file(data.shop_file, kMaxDataBytes), data.shop_file);
  }
  return all;
}

}  // namespace buckram::job
