#include "job/job.h"

#include "job/keys.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <filesystem>
#include <functional>
#include <utility>

namespace buckram::job {
namespace {

using base::Error;
using base::ErrorCode;
using base::Range;
using base::Table;

[[noreturn]] void fail(const Table& table, std::string_view key, const std::string& what,
                       const std::string& hint) {
  throw Error{ErrorCode::bad_job, what, table.where() + ": " + std::string(key), hint};
}

// Far more than anybody measures; their cost grows with the fourth power.
constexpr std::size_t kMostReadings = 40;

// One of `words`, by position.
template <std::size_t n>
std::optional<int> choice(const Table& table, std::string_view key,
                          const std::array<std::string_view, n>& words) {
  if (!table.has(key)) return std::nullopt;
  const std::string found = table.text(key);
  for (std::size_t i = 0; i < n; ++i) {
    if (words[i] == found) return static_cast<int>(i);
  }
  fail(table, key, fmt::format("is \"{}\"", found),
       fmt::format("Choose one of: {}", fmt::join(words, ", ")));
}

std::optional<bool> maybe_truth(const Table& table, std::string_view key) {
  if (!table.has(key)) return std::nullopt;
  return table.truth(key, false);
}

std::optional<int> maybe_integer(const Table& table, std::string_view key, Range range) {
  if (!table.has(key)) return std::nullopt;
  return table.integer(key, range);
}

std::string from_folder(const std::string& path, const std::string& folder) {
  if (path.empty() || folder.empty() || std::filesystem::path(path).is_absolute()) return path;
  return (std::filesystem::path(folder) / path).lexically_normal().string();
}

void read_lettering_keys(const Table& table, const std::string& folder, artwork::Lettering& l) {
  l.text = table.text("text", l.text);
  l.font = table.text("font", l.font);
  if (artwork::is_font_file(l.font)) l.font = from_folder(l.font, folder);
  l.arc_deg = table.number("arc_deg", {-350, 350}, l.arc_deg);
  l.letter_spacing_em = table.number("letter_spacing_em", {-0.2, 2}, l.letter_spacing_em);
  const std::string colour = table.text("colour", artwork::hex(l.colour));
  const auto rgb = artwork::read_colour(colour);
  if (!rgb)
    fail(table, "colour", fmt::format("is \"{}\"", colour),
         "Write it as #rrggbb, or a colour's CSS name");
  l.colour = *rgb;
}

void read_artwork_keys(const Table& table, const std::string& folder, Job& job) {
  job.artwork_file = from_folder(table.text("file", job.artwork_file), folder);
  job.title = table.text("title", job.title);
  job.height_mm = table.maybe_number("height_mm", {1, 400});
  job.width_mm = table.maybe_number("width_mm", {1, 400});
  job.threads_file = from_folder(table.text("threads", ""), folder);
  const std::vector<double> at = table.numbers("at_mm", {-200, 400});
  if (!at.empty() && at.size() != 2) {
    fail(table, "at_mm", fmt::format("has {} numbers", at.size()), "Write it as [x, y]");
  }
  if (!at.empty()) job.at_mm = geometry::Point{at[0], at[1]};
  read_lettering_keys(table, folder, job.lettering);
  if (!job.artwork_file.empty() && !job.lettering.text.empty()) {
    fail(table, "text", "is given beside artwork.file", "Give one of the two");
  }
  table.refuse_unknown();
}

void read_cap_keys(const Table& table, const std::string& folder, Job& job) {
  job.cap = name_or_file(table.text("name", job.cap), folder);
  job.crown_stiffness =
      table.number("crown_stiffness", cap::ranges::kStiffness, job.crown_stiffness);
  job.has_seam = maybe_truth(table, "seam");
  table.refuse_unknown();
}

void read_bench_keys(const Table& table, const std::string& folder, Job& job) {
  static constexpr std::array<std::string_view, 2> kTurnedBy{"file", "controller"};
  job.mount = name_or_file(table.text("mount", job.mount), folder);
  job.raise_mm = table.maybe_number("raise_mm", cap::ranges::kRaiseMm);
  job.packing_mm = table.maybe_number("packing_mm", cap::ranges::kRaiseMm);
  job.has_clips = maybe_truth(table, "clips");
  job.is_pressed = maybe_truth(table, "pressed");
  job.tautness = table.maybe_number("tautness", cap::ranges::kTautness);
  job.foot_mm = table.maybe_number("foot_mm", cap::ranges::kFootMm);
  job.needle = table.text("needle", job.needle);
  job.speed_spm = table.maybe_number("speed_spm", cap::ranges::kSpeedSpm);
  job.slowest_spm = table.maybe_number("slowest_spm", {0, cap::ranges::kSpeedSpm.high});
  if (table.has("backing")) job.backing = table.texts("backing");
  job.heads = maybe_integer(table, "heads", cap::ranges::kHeads);
  job.needles = maybe_integer(table, "needles", cap::ranges::kNeedles);
  job.turn_deg = table.maybe_number("turn_deg", {0, 180});
  if (job.turn_deg && *job.turn_deg != 0 && *job.turn_deg != 180) {
    fail(table, "turn_deg", fmt::format("is {:g}", *job.turn_deg), "Choose 0 or 180");
  }
  if (const auto by = choice(table, "turned_by", kTurnedBy)) {
    job.turned_by = *by == 0 ? cap::TurnedBy::file : cap::TurnedBy::controller;
  }
  table.refuse_unknown();
}

GapBench read_gap_bench(const Table& table) {
  GapBench bench;
  bench.raise_mm = table.maybe_number("raise_mm", cap::ranges::kRaiseMm);
  bench.packing_mm = table.maybe_number("packing_mm", cap::ranges::kRaiseMm);
  bench.has_clips = maybe_truth(table, "clips");
  bench.is_pressed = maybe_truth(table, "pressed");
  bench.tautness = table.maybe_number("tautness", cap::ranges::kTautness);
  table.refuse_unknown();
  return bench;
}

void read_stitch_keys(const Table& table, Job& job) {
  if (const auto style = choice(table, "style", kStyles)) {
    job.style = static_cast<digitise::Style>(*style);
  }
  if (const auto order = choice(table, "order", kOrders)) {
    job.order = static_cast<sequence::Mode>(*order);
  }
  job.row_spacing_mm = table.maybe_number("row_spacing_mm", {0.2, 2});
  job.column_spacing_mm = table.maybe_number("column_spacing_mm", {0.2, 2});
  job.compensation_mm = table.maybe_number("compensation_mm", {0, 1});
  job.fill_stitch_mm = table.maybe_number("fill_stitch_mm", {1, 7});
  if (table.has("follow_shape")) job.follow_shape = table.texts("follow_shape");
  table.refuse_unknown();
}

digitise::OwnStitches read_object(const Table& table, const std::string& of) {
  digitise::OwnStitches own;
  own.of = of;
  if (const auto kind = choice(table, "sewn_as", kKinds))
    own.sewn_as = static_cast<stitch::Kind>(*kind);
  own.angle_deg = table.maybe_number("angle_deg", {0, 180});
  own.row_mm = table.maybe_number("row_spacing_mm", {0.2, 2});
  own.column_mm = table.maybe_number("column_spacing_mm", {0.2, 2});
  own.stitch_mm = table.maybe_number("stitch_mm", {1, 12});
  if (const auto under = choice(table, "under", kUnders))
    own.under = static_cast<digitise::UnderKind>(*under);
  table.refuse_unknown();
  digitise::OwnStitches nothing;
  nothing.of = of;
  if (own == nothing) {
    throw Error{ErrorCode::bad_job, "sets nothing", table.where(),
                fmt::format("Give it one of: {}", fmt::join(kObjectKeys, ", "))};
  }
  return own;
}

std::vector<digitise::OwnStitches> read_objects(const Table& root) {
  constexpr std::size_t kMostObjects = 1000;
  std::vector<digitise::OwnStitches> all;
  const std::optional<Table> objects = root.table("object");
  if (!objects) return all;
  const std::vector<std::string> names = root.ids("object");
  if (names.size() > kMostObjects) {
    fail(root, "object", fmt::format("has {} objects; {} at most", names.size(), kMostObjects),
         "Give what they share to an element, or to all under [stitch]");
  }
  for (const std::string& name : names) {
    all.push_back(read_object(*objects->table(name), name));
  }
  return all;
}

cap::GapReading read_gap(const Table& table) {
  cap::GapReading reading;
  reading.x_mm = table.number("x_mm", cap::ranges::kReadingX);
  reading.y_mm = table.number("y_mm", cap::ranges::kReadingY);
  reading.gap_mm = table.number("gap_mm", cap::ranges::kReadingGap);
  reading.sd_mm = table.number("sd_mm", cap::ranges::kReadingSd, reading.sd_mm);
  table.refuse_unknown();
  return reading;
}

// "object.7.angle_deg", with or without a value: any name, since only the artwork knows them.
bool is_object_change(const std::string& id) {
  const std::string key = id.substr(0, id.find('='));
  if (!key.starts_with("object.")) return false;
  return std::any_of(kObjectKeys.begin(), kObjectKeys.end(), [&](const std::string& each) {
    return key.size() > each.size() + 8 && key.ends_with("." + each);
  });
}

// Changes by their id, with or without a value, and objects by their number.
std::vector<std::string> read_locked(const Table& table) {
  std::vector<std::string> locked = table.ids("locked");
  for (const std::string& each : locked) {
    if (is_object_change(each)) continue;
    const bool is_number = each.find_first_not_of("0123456789") == std::string::npos;
    const bool is_object = is_number && !each.empty() && each.size() <= 8 && std::stol(each) >= 1 &&
                           std::stol(each) <= stitch::kLargestObjectId;
    const std::vector<std::string> known = advise::change_keys();
    const std::string key = each.substr(0, each.find('='));
    if (is_object || std::find(known.begin(), known.end(), key) != known.end()) continue;
    const std::string nearest = base::nearest_name(key, known);
    fail(table, "locked", fmt::format("\"{}\" is neither a change nor an object's number", each),
         nearest.empty() ? fmt::format("Changes: {}", fmt::join(known, ", "))
                         : "Did you mean " + nearest + "?");
  }
  return locked;
}

Job read_root(const Table& root, const std::string& folder) {
  Job job;
  if (const auto table = root.table("artwork")) read_artwork_keys(*table, folder, job);
  if (const auto table = root.table("cap")) read_cap_keys(*table, folder, job);
  if (const auto table = root.table("bench")) read_bench_keys(*table, folder, job);
  const std::vector<Table> readings = root.tables("gap");
  if (readings.size() > kMostReadings) {
    fail(root, "gap", fmt::format("has {} readings; {} at most", readings.size(), kMostReadings),
         "Five places are enough");
  }
  for (const Table& reading : readings) job.gap.push_back(read_gap(reading));
  if (const auto table = root.table("gap_bench")) job.gap_bench = read_gap_bench(*table);
  if (const auto table = root.table("stitch")) read_stitch_keys(*table, job);
  job.objects = read_objects(root);
  if (const auto table = root.table("order")) {
    job.caps = table->integer("caps", {1, 1'000'000}, job.caps);
    job.customer = table->text("customer", "");
    table->refuse_unknown();
  }
  if (const auto table = root.table("limit")) {
    job.breaks_per_100 = table->number("breaks_per_100", {0, 1000}, job.breaks_per_100);
    job.locked = read_locked(*table);
    table->refuse_unknown();
  }
  job.seed = static_cast<std::uint64_t>(root.integer("seed", {0, 2e9}, 1));
  root.refuse_unknown();
  return job;
}

void apply(Table& root, const std::vector<std::string>& sets) {
  for (const std::string& each : sets) {
    const std::size_t equals = each.find('=');
    if (equals == std::string::npos || equals == 0) {
      throw Error{ErrorCode::bad_job, fmt::format("\"{}\" is not KEY=VALUE", each), "--set",
                  "Write it as in --set bench.raise_mm=2"};
    }
    root.set(each.substr(0, equals), each.substr(equals + 1));
  }
}

// A table reads data files and jobs alike; here its findings are the job's.
Job read_as_job(const std::function<Job()>& read) {
  try {
    return read();
  } catch (Error& error) {
    if (error.code == ErrorCode::bad_data) error.code = ErrorCode::bad_job;
    throw;
  }
}

Job laid_over(const Job& job, const std::string& where, const std::vector<std::string>& sets) {
  Table both = Table::parse(to_toml(job), where);
  apply(both, sets);
  return read_root(both, "");
}

}  // namespace

Job with_settings(const Job& job, const std::string& where, const std::vector<std::string>& sets) {
  return read_as_job([&] {
    const Job asked = laid_over(job, where, sets);
    Job kept = job;
    if (asked.mount != job.mount) kept = without_own(std::move(kept), Own::mount);
    if (asked.cap != job.cap) kept = without_own(std::move(kept), Own::cap);
    const bool has_new_gaps = std::any_of(
        sets.begin(), sets.end(), [](const std::string& each) { return each.starts_with("gap="); });
    if (has_new_gaps) {
      kept.gap_bench.reset();
    } else if (!kept.gap.empty()) {
      kept.gap_bench = gap_bench_of(kept);
    }
    return laid_over(kept, where, sets);
  });
}

std::string name_or_file(const std::string& text, const std::string& folder) {
  return looks_like_file(text) ? from_folder(text, folder) : text;
}

Job read_job(std::string_view toml, const std::string& where, const std::string& folder,
             const std::vector<std::string>& sets) {
  return read_as_job([&] {
    // Settings are read on their own so that their paths stay relative to the working folder.
    const Job job = read_root(Table::parse(toml, where), folder);
    return sets.empty() ? job : with_settings(job, where.empty() ? "settings" : where, sets);
  });
}

Job read_plan_job(const std::string& json, const std::vector<std::string>& sets) {
  return read_as_job([&] {
    // Keys that this version does not know stay in the plan and are passed over; in settings they
    // are mistakes.
    const std::string text = json.empty() ? "" : json_to_toml(json);
    const Job job = read_root(Table::parse(text, "the plan's job", base::UnknownKeys::kept), "");
    return sets.empty() ? job : with_settings(job, "the plan's job", sets);
  });
}

}  // namespace buckram::job
