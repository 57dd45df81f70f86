#include "advise/owned.h"

#include "base/base.h"
#include "cap/cap.h"

#include <fmt/format.h>

#include <algorithm>

namespace buckram::advise {
namespace {

using base::Table;

std::optional<std::vector<std::string>> maybe_texts(const Table& table, std::string_view key) {
  if (!table.has(key)) return std::nullopt;
  return table.texts(key);
}

std::optional<std::vector<double>> maybe_numbers(const Table& table, std::string_view key) {
  if (!table.has(key)) return std::nullopt;
  std::vector<double> all = table.numbers(key, cap::ranges::kRaiseMm);
  std::sort(all.begin(), all.end());
  return all;
}

}  // namespace

Owned read_owned(std::string_view toml, const std::string& where) {
  const Table root = Table::parse(toml, where);
  Owned owned;
  if (const auto table = root.table("owns")) {
    owned.needles = maybe_texts(*table, "needles");
    owned.raised_plates_mm = maybe_numbers(*table, "raised_plates_mm");
    owned.packing_mm = maybe_numbers(*table, "packing_mm");
    owned.mounts = maybe_texts(*table, "mounts");
    owned.has_clips = table->truth("clips", true);
    owned.has_press = table->truth("press", true);
    owned.slowest_spm = table->maybe_number("slowest_spm", cap::ranges::kSpeedSpm);
    owned.lowest_foot_mm = table->maybe_number("lowest_foot_mm", cap::ranges::kFootMm);
    table->refuse_unknown();
  }
  root.refuse_unknown();
  return owned;
}

}  // namespace buckram::advise
