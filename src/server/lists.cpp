#include "server/lists.h"

#include "server/json_text.h"

#include "artwork/font_names.h"
#include "cap/cap.h"
#include "machine/machine.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <functional>

namespace buckram::server {
namespace {

constexpr std::uint64_t kMostBytes = 4'000'000;

// "[...]" of what `write` makes of every name of a folder.
std::string each_of(
    const job::DataFolder& data, const std::string& folder, std::string_view kind,
    const std::function<std::string(const std::string&, const job::Source&)>& write) {
  std::string out = "[";
  for (const std::string& name : job::shipped_names(data, folder)) {
    out += (out.size() > 1 ? "," : "") + write(name, job::find_source(data, folder, kind, name));
  }
  return out + "]";
}

std::string shipped(const job::DataFolder& data, const std::string& name) {
  return base::read_file((std::filesystem::path(data.path) / name).string(), kMostBytes);
}

std::string cap_item(const std::string& name, const job::Source& source) {
  const cap::Cap cap = cap::read_cap(source.text, source.where);
  return fmt::format(R"({{"name":{},"title":{},"rgb":{}}})", text_json(name), text_json(cap.title),
                     text_json(cap.cloth_rgb));
}

std::string mount_item(const std::string& name, const job::Source& source) {
  const cap::Mount m = cap::read_mount(source.text, source.where);
  const bool may_raise = m.max_raise_mm > 0;
  return fmt::format(
      R"({{"name":{},"title":{},"kind":"{}","needs":"{}","max_raise_mm":{:g},"raise_mm":{:g},)"
      R"("may_raise":{},"tautness":{:g},"foot_mm":{:g},"turn_deg":{:g},)"
      R"("field_mm":[{:g},{:g},{:g},{:g}]}})",
      text_json(name), text_json(m.title), m.kind == cap::MountKind::rotary ? "rotary" : "flat",
      m.needs == cap::Needs::finished_cap ? "finished_cap" : "cut_panels", m.max_raise_mm,
      m.raise_mm, may_raise, m.tautness, m.foot_mm, m.turn_deg, m.field.x0, m.field.y0, m.field.x1,
      m.field.y1);
}

std::string layout_item(const std::string& name, const job::Source& source) {
  const machine::Layout layout = machine::read_layout(source.text, source.where);
  return fmt::format(R"({{"name":{},"title":{},"file":{}}})", text_json(name),
                     text_json(layout.title), text_json("stitches." + layout.extension));
}

std::string needles_json(const job::DataFolder& data) {
  std::vector<std::string> names;
  for (const cap::Needle& each : cap::read_needles(shipped(data, "needles.toml"), "needles.toml")) {
    names.push_back(each.name);
  }
  return text_list(names);
}

std::string fabrics_json(const job::DataFolder& data) {
  std::string out = "[";
  for (const cap::Fabric& f : cap::read_fabrics(shipped(data, "fabrics.toml"), "fabrics.toml")) {
    out += fmt::format(R"({}{{"name":{},"title":{},"thickness_mm":{:g},"is_backing":{}}})",
                       out.size() > 1 ? "," : "", text_json(f.name), text_json(f.title),
                       f.layer.thickness_mm, f.is_backing);
  }
  return out + "]";
}

std::string threads_json(const job::DataFolder& data) {
  const std::string file = "threads/harbour.csv";
  std::string out = "[";
  for (const artwork::Thread& t : artwork::read_threads(shipped(data, file), file)) {
    out += fmt::format(R"({}{{"number":{},"name":{},"rgb":"{}","tex":{:g}}})",
                       out.size() > 1 ? "," : "", text_json(t.number), text_json(t.name),
                       artwork::hex(t.colour), t.tex);
  }
  return out + "]";
}

std::string ranged(const char* key, base::Range range, const char* unit, double step) {
  return fmt::format(R"("{}":{{"least":{:g},"most":{:g},"unit":"{}","step":{:g}}})", key, range.low,
                     range.high, unit, step);
}

std::string chosen(const char* key, const std::vector<std::string>& choices) {
  return fmt::format(R"("{}":{{"choices":{}}})", key, text_list(choices));
}

// As the job's reader has them (docs/command-line.md).
std::string keys_json() {
  using namespace cap::ranges;
  const std::vector<std::string> keys{
      ranged("artwork.height_mm", {1, 400}, "mm", 1),
      ranged("artwork.width_mm", {1, 400}, "mm", 1),
      ranged("artwork.at_mm", {-200, 400}, "mm", 1),
      ranged("artwork.arc_deg", {-350, 350}, "deg", 5),
      ranged("artwork.letter_spacing_em", {-0.2, 2}, "em", 0.02),
      ranged("cap.crown_stiffness", kStiffness, "", 0.1),
      ranged("bench.raise_mm", kRaiseMm, "mm", 0.5),
      ranged("bench.packing_mm", kRaiseMm, "mm", 0.5),
      ranged("bench.tautness", kTautness, "", 0.1),
      ranged("bench.foot_mm", kFootMm, "mm", 0.5),
      ranged("bench.speed_spm", kSpeedSpm, "a minute", 50),
      ranged("bench.slowest_spm", {0, kSpeedSpm.high}, "a minute", 50),
      ranged("bench.heads", kHeads, "", 1),
      ranged("bench.needles", kNeedles, "", 1),
      ranged("gap.x_mm", kReadingX, "mm", 1),
      ranged("gap.y_mm", kReadingY, "mm", 1),
      ranged("gap.gap_mm", kReadingGap, "mm", 0.1),
      ranged("gap.sd_mm", kReadingSd, "mm", 0.1),
      ranged("stitch.row_spacing_mm", {0.2, 2}, "mm", 0.02),
      ranged("stitch.column_spacing_mm", {0.2, 2}, "mm", 0.02),
      ranged("stitch.compensation_mm", {0, 1}, "mm", 0.05),
      ranged("stitch.fill_stitch_mm", {1, 7}, "mm", 0.5),
      ranged("order.caps", {1, 1'000'000}, "caps", 1),
      ranged("limit.breaks_per_100", {0, 1000}, "per 100 caps", 0.5),
      ranged("seed", {0, 2e9}, "", 1),
      chosen("bench.turn_deg", {"0", "180"}),
      chosen("bench.turned_by", {"file", "controller"}),
      chosen("bench.clips", {"true", "false"}),
      chosen("bench.pressed", {"true", "false"}),
      chosen("cap.seam", {"true", "false"}),
      chosen("stitch.style", {"cap", "flat"}),
      chosen("stitch.order", {"planned", "given", "inward", "across"})};
  return fmt::format("{{{}}}", fmt::join(keys, ","));
}

}  // namespace

std::string lists_json(const job::DataFolder& data) {
  return fmt::format(
      R"({{"caps":{},"mounts":{},"needles":{},"fabrics":{},"threads":{},"layouts":{},)"
      R"("fonts":{},"keys":{}}})",
      each_of(data, "caps", "cap", cap_item), each_of(data, "mounts", "mount", mount_item),
      needles_json(data), fabrics_json(data), threads_json(data),
      each_of(data, "layouts", "layout", layout_item), text_list(artwork::installed_families()),
      keys_json());
}

}  // namespace buckram::server
