#include "job/keys.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <filesystem>

namespace buckram::job {
namespace {

using Json = nlohmann::ordered_json;

template <class T>
void put(Json& table, const char* key, const std::optional<T>& value) {
  if (value) table[key] = *value;
}

void put_text(Json& table, const char* key, const std::string& value) {
  if (!value.empty()) table[key] = value;
}

Json artwork_keys(const Job& job) {
  Json table = Json::object();
  put_text(table, "file", job.artwork_file);
  put_text(table, "text", job.lettering.text);
  if (!job.lettering.text.empty()) {
    table["font"] = job.lettering.font;
    table["colour"] = artwork::hex(job.lettering.colour);
    table["arc_deg"] = job.lettering.arc_deg;
    table["letter_spacing_em"] = job.lettering.letter_spacing_em;
  }
  put_text(table, "title", job.title);
  put(table, "height_mm", job.height_mm);
  put(table, "width_mm", job.width_mm);
  if (job.at_mm) table["at_mm"] = {job.at_mm->x, job.at_mm->y};
  put_text(table, "threads", job.threads_file);
  return table;
}

Json bench_keys(const Job& job) {
  Json table{{"mount", job.mount}};
  put(table, "raise_mm", job.raise_mm);
  put(table, "packing_mm", job.packing_mm);
  put(table, "clips", job.has_clips);
  put(table, "pressed", job.is_pressed);
  put(table, "tautness", job.tautness);
  put(table, "foot_mm", job.foot_mm);
  table["needle"] = job.needle;
  put(table, "speed_spm", job.speed_spm);
  put(table, "slowest_spm", job.slowest_spm);
  put(table, "backing", job.backing);
  put(table, "heads", job.heads);
  put(table, "needles", job.needles);
  put(table, "turn_deg", job.turn_deg);
  if (job.turned_by) {
    table["turned_by"] = *job.turned_by == cap::TurnedBy::file ? "file" : "controller";
  }
  return table;
}

Json gap_bench_keys(const GapBench& bench) {
  Json table = Json::object();
  put(table, "raise_mm", bench.raise_mm);
  put(table, "packing_mm", bench.packing_mm);
  put(table, "clips", bench.has_clips);
  put(table, "pressed", bench.is_pressed);
  put(table, "tautness", bench.tautness);
  return table;
}

Json stitch_keys(const Job& job) {
  Json table{{"style", kStyles[static_cast<std::size_t>(job.style)]},
             {"order", kOrders[static_cast<std::size_t>(job.order)]}};
  put(table, "row_spacing_mm", job.row_spacing_mm);
  put(table, "column_spacing_mm", job.column_spacing_mm);
  put(table, "compensation_mm", job.compensation_mm);
  put(table, "fill_stitch_mm", job.fill_stitch_mm);
  if (!job.follow_shape.empty()) table["follow_shape"] = job.follow_shape;
  return table;
}

Json object_keys(const digitise::OwnStitches& own) {
  Json table = Json::object();
  if (own.sewn_as) table["sewn_as"] = kKinds[static_cast<std::size_t>(*own.sewn_as)];
  put(table, "angle_deg", own.angle_deg);
  put(table, "row_spacing_mm", own.row_mm);
  put(table, "column_spacing_mm", own.column_mm);
  put(table, "stitch_mm", own.stitch_mm);
  if (own.under) table["under"] = kUnders[static_cast<std::size_t>(*own.under)];
  return table;
}

Json all_keys(const Job& job) {
  Json root;
  root["artwork"] = artwork_keys(job);
  root["cap"] = Json{{"name", job.cap}, {"crown_stiffness", job.crown_stiffness}};
  put(root["cap"], "seam", job.has_seam);
  root["bench"] = bench_keys(job);
  if (!job.gap.empty()) root["gap"] = Json::array();
  for (const cap::GapReading& each : job.gap) {
    root["gap"].push_back(Json{
        {"x_mm", each.x_mm}, {"y_mm", each.y_mm}, {"gap_mm", each.gap_mm}, {"sd_mm", each.sd_mm}});
  }
  if (job.gap_bench) root["gap_bench"] = gap_bench_keys(*job.gap_bench);
  root["stitch"] = stitch_keys(job);
  for (const digitise::OwnStitches& each : job.objects) {
    root["object"][each.of] = object_keys(each);
  }
  root["order"] = Json{{"caps", job.caps}};
  put_text(root["order"], "customer", job.customer);
  root["limit"] = Json{{"breaks_per_100", job.breaks_per_100}};
  if (!job.locked.empty()) root["limit"]["locked"] = job.locked;
  root["seed"] = job.seed;
  return root;
}

// JSON's numbers, booleans and arrays are TOML's; texts and tables differ, and null is left out.
std::string inline_value(const Json& value) {
  if (value.is_object()) {
    std::vector<std::string> parts;
    for (const auto& [key, each] : value.items()) {
      if (!each.is_null()) parts.push_back(base::toml_text(key) + " = " + inline_value(each));
    }
    return fmt::format("{{ {} }}", fmt::join(parts, ", "));
  }
  if (value.is_array()) {
    std::vector<std::string> parts;
    for (const Json& each : value) {
      if (!each.is_null()) parts.push_back(inline_value(each));
    }
    return fmt::format("[{}]", fmt::join(parts, ", "));
  }
  // Past what TOML's whole numbers hold.
  if (value.is_number_unsigned() && value.get<std::uint64_t>() > INT64_MAX) {
    return Json(value.get<double>()).dump();
  }
  const std::string* text = value.get_ptr<const std::string*>();
  return text == nullptr ? value.dump() : base::toml_text(*text);
}

std::string as_toml(const Json& root) {
  std::string text;
  for (const auto& [key, value] : root.items()) {
    if (!value.is_null()) text += base::toml_text(key) + " = " + inline_value(value) + '\n';
  }
  return text;
}

}  // namespace

bool looks_like_file(const std::string& text) {
  return text.find('/') != std::string::npos || text.find('.') != std::string::npos;
}

GapBench gap_bench_of(const Job& job) {
  return job.gap_bench.value_or(
      GapBench{job.raise_mm, job.packing_mm, job.tautness, job.has_clips, job.is_pressed});
}

std::string gap_bench_setting(const Job& job) {
  return "gap_bench=" + inline_value(gap_bench_keys(gap_bench_of(job)));
}

std::string to_json(const Job& job) {
  return all_keys(job).dump();
}

std::string with_artwork_from(const std::string& json, const std::string& folder) {
  namespace fs = std::filesystem;
  Json root = Json::parse(json, nullptr, false);
  if (!root.is_object() || !root.contains("artwork") || !root["artwork"].contains("file")) {
    return json;
  }
  Json& file = root["artwork"]["file"];
  const fs::path given(file.get<std::string>());
  // Links on the way are followed, so that ".." leads back; the artwork keeps the name it was
  // given.
  std::error_code trouble;
  const fs::path from = fs::weakly_canonical(fs::absolute(folder, trouble), trouble);
  const fs::path to = fs::weakly_canonical(fs::absolute(given, trouble).parent_path(), trouble);
  const fs::path way = trouble ? fs::path() : to.lexically_relative(from);
  file = (way.empty() ? given.filename() : (way / given.filename()).lexically_normal()).string();
  return root.dump();
}

// Inline tables: base::Table lays settings over them once parsed.
std::string to_toml(const Job& job) {
  return as_toml(all_keys(job));
}

std::string json_to_toml(const std::string& json) {
  const Json root = Json::parse(json, nullptr, false);
  if (!root.is_object()) {
    throw base::Error{base::ErrorCode::bad_stitches, "is not a table of keys", "the plan's job",
                      "Plan the job again"};
  }
  return as_toml(root);
}

}  // namespace buckram::job
