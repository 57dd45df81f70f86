#include "advise/practice.h"

#include <array>
#include <fmt/format.h>

#include <limits>

namespace buckram::advise {
namespace {

constexpr std::array<std::string_view, 6> kMeasures{
    "lowest_stitch_mm", "height_mm", "longest_stitch_mm", "speed_spm", "needle_mm", "foot_mm"};

double measured(std::string_view measure, const stitch::Counts& counts, const cap::Setup& setup) {
  if (measure == "lowest_stitch_mm") return counts.box.y0;
  if (measure == "height_mm") return counts.box.height();
  if (measure == "longest_stitch_mm") return counts.longest_mm;
  if (measure == "speed_spm") return setup.bench.speed_spm;
  if (measure == "needle_mm") return setup.bench.needle.d_mm;
  BUCKRAM_ASSERT(measure == "foot_mm");
  return setup.bench.foot_mm;
}

// One of the words allowed; throws Error{bad_data} naming the key.
template <std::size_t N>
std::string_view one_of(const base::Table& table, std::string_view key,
                        const std::array<std::string_view, N>& words, std::string_view otherwise) {
  const std::string found = table.text(key, otherwise);
  for (const std::string_view word : words) {
    if (word == found) return word;
  }
  throw base::Error{base::ErrorCode::bad_data, fmt::format("\"{}\" is not known", found),
                    fmt::format("{}: {}", table.where(), key),
                    fmt::format("Choose one of: {}", fmt::join(words, ", "))};
}

bool holds_here(const base::Table& row, const cap::Setup& setup) {
  static constexpr std::array<std::string_view, 3> kMounts{"any", "rotary", "flat"};
  static constexpr std::array<std::string_view, 3> kFronts{"any", "structured", "soft"};
  const std::string_view mounts = one_of(row, "mounts", kMounts, "any");
  const std::string_view fronts = one_of(row, "fronts", kFronts, "any");
  const bool is_rotary = setup.mount.kind == cap::MountKind::rotary;
  const bool mount_fits = mounts == "any" || (mounts == "rotary") == is_rotary;
  const bool front_fits = fronts == "any" || (fronts == "structured") == setup.cap.is_structured;
  return mount_fits && front_fits;
}

PracticeRow read_row(const base::Table& row, const stitch::Counts& counts,
                     const cap::Setup& setup) {
  constexpr double kInfinity = std::numeric_limits<double>::infinity();
  PracticeRow found;
  found.id = row.text("id");
  found.unit = row.text("unit", "");
  found.what = row.text("words");
  found.value = measured(one_of(row, "measure", kMeasures, ""), counts, setup);
  const double least = row.maybe_number("at_least", {-1e6, 1e6}).value_or(-kInfinity);
  const double most = row.maybe_number("at_most", {-1e6, 1e6}).value_or(kInfinity);
  if (least == -kInfinity && most == kInfinity) {
    throw base::Error{base::ErrorCode::bad_data, "has neither at_least nor at_most", row.where(),
                      "Give one of them"};
  }
  constexpr double kRounding = 1e-6;
  const bool is_low = found.value < least - kRounding;
  found.kept = !is_low && found.value <= most + kRounding;
  found.limit = is_low || most == kInfinity ? least : most;
  return found;
}

}  // namespace

std::vector<PracticeRow> practice(const stitch::Plan& plan, const cap::Setup& setup,
                                  std::string_view toml) {
  const base::Table root = base::Table::parse(toml, "practice.toml");
  const stitch::Counts counts = stitch::count(plan);
  std::vector<PracticeRow> rows;
  for (const base::Table& row : root.tables("row")) {
    const bool holds = holds_here(row, setup);
    PracticeRow found = read_row(row, counts, setup);
    row.refuse_unknown();
    if (holds && counts.stitches > 0) rows.push_back(std::move(found));
  }
  root.refuse_unknown();
  return rows;
}

}  // namespace buckram::advise
