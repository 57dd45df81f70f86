#include "cap/setup.h"

#include <fmt/format.h>

namespace buckram::cap {
namespace {

using base::Table;

template <typename Choice>
Choice pick(const Table& t, std::string_view key, std::string_view otherwise,
            const std::vector<std::pair<std::string, Choice>>& choices) {
  const std::string found = t.text(key, otherwise);
  std::string names;
  for (const auto& [name, choice] : choices) {
    if (name == found) return choice;
    names += (names.empty() ? "" : " or ") + name;
  }
  throw base::Error{base::ErrorCode::bad_data, fmt::format("is \"{}\"", found),
                    t.where() + ": " + std::string(key), "Write " + names};
}

geometry::Box read_field(const Table& t) {
  geometry::Box field;
  field.x0 = t.number("x0_mm", {-400, 400}), field.x1 = t.number("x1_mm", {-400, 400});
  field.y0 = t.number("y0_mm", {-400, 400}), field.y1 = t.number("y1_mm", {-400, 400});
  t.refuse_unknown();
  if (field.x0 < field.x1 && field.y0 < field.y1) return field;
  throw base::Error{base::ErrorCode::bad_data, "the field is empty", t.where(),
                    "x0_mm must be less than x1_mm and y0_mm less than y1_mm"};
}

GapLaw read_gap(const Table& t) {
  GapLaw law;
  law.carry_width_mm = t.number("carry_width_mm", {0.05, 3}, law.carry_width_mm);
  law.bulge_flattened = t.number("bulge_flattened", {0, 1}, law.bulge_flattened);
  law.taut_flattened = t.number("taut_flattened", {0, 1}, law.taut_flattened);
  law.clips_close = t.number("clips_close", {0, 1}, law.clips_close);
  law.press_seam = t.number("press_seam", {0, 1}, law.press_seam);
  law.press_bill = t.number("press_bill", {0, 1}, law.press_bill);
  law.press_tape = t.number("press_tape", {0, 1}, law.press_tape);
  law.slack_sag = t.number("slack_sag", {0, 1}, law.slack_sag);
  law.reading_reach_mm = t.number("reading_reach_mm", {2, 200}, law.reading_reach_mm);
  law.held_mm = t.number("held_mm", {0, 300}, law.held_mm);
  law.held_fade_mm = t.number("held_fade_mm", {0.5, 50}, law.held_fade_mm);
  t.refuse_unknown();
  return law;
}

void read_drive(const Table& t, Mount& mount) {
  mount.acceleration_m_s2 = t.number("acceleration_m_s2", {0.5, 100});
  mount.top_speed_m_s = t.number("top_speed_m_s", {0.05, 10});
  mount.ring_rad_s = 2 * base::kPi * t.number("ring_hz", {2, 500});
  mount.damping = t.number("damping", {0.01, 1});
  mount.ring = t.number("ring", {0, 2});
  t.refuse_unknown();
}

}  // namespace

Mount read_mount(std::string_view toml, const std::string& where) {
  return read_mount(Table::parse(toml, where));
}

Mount read_mount(const Table& t) {
  Mount m;
  m.name = t.text("name");
  m.title = t.text("title");
  m.source = t.text("source");
  m.kind = pick<MountKind>(t, "kind", "rotary",
                           {{"rotary", MountKind::rotary}, {"flat", MountKind::flat}});
  m.needs = pick<Needs>(t, "needs", "finished cap",
                        {{"finished cap", Needs::finished_cap}, {"cut panels", Needs::cut_panels}});
  if (const auto field = t.table("field")) {
    m.field = read_field(*field);
  } else {
    throw base::Error{base::ErrorCode::bad_data, "the table [field] is missing", t.where(),
                      "Add x0_mm, x1_mm, y0_mm and y1_mm in machine mm"};
  }
  m.tautness = t.number("tautness", ranges::kTautness, m.tautness);
  m.hole_mm = t.maybe_number("hole_mm", ranges::kHoleMm);
  m.plate_below_mm = t.number("plate_below_mm", {-5, 20}, m.plate_below_mm);
  m.max_raise_mm = t.number("max_raise_mm", {0, 10}, m.max_raise_mm);
  m.raise_mm = t.number("raise_mm", {0, m.max_raise_mm}, 0);
  m.hold_mm = t.number("hold_mm", {0, 10}, m.hold_mm);
  m.bill_is_on = t.truth("bill_is_on", true);
  m.seam_is_on = t.truth("seam_is_on", true);
  m.buckram_is_on = t.truth("buckram_is_on", true);
  m.is_front_flat = t.truth("front_is_flat", false);
  m.gap_sd_mm = t.number("gap_sd_mm", {0, 5}, m.gap_sd_mm);
  if (const auto gap = t.table("gap")) m.gap = read_gap(*gap);
  if (const auto drive = t.table("drive")) read_drive(*drive, m);
  m.foot_mm = t.number("foot_mm", ranges::kFootMm, m.foot_mm);
  m.turn_deg = t.integer("turn_deg", {0, 180}, 180);
  if (m.turn_deg != 0 && m.turn_deg != 180) {
    throw base::Error{base::ErrorCode::bad_data, fmt::format("is {:g}", m.turn_deg),
                      t.where() + ": turn_deg", "Write 0 or 180"};
  }
  m.turned_by = pick<TurnedBy>(t, "turned_by", "file",
                               {{"file", TurnedBy::file}, {"controller", TurnedBy::controller}});
  const std::vector<double> origin = t.numbers("origin_mm", {-400, 400});
  if (origin.size() != 2) {
    throw base::Error{base::ErrorCode::bad_data, "the mount gives no start point",
                      t.where() + ": origin_mm", "Add origin_mm = [x, y] on the chart"};
  }
  m.origin = {origin[0], origin[1]};
  m.mount_s = t.number("mount_s", {0, 3600}, m.mount_s);
  t.refuse_unknown();
  return m;
}

std::vector<Needle> read_needles(std::string_view toml, const std::string& where) {
  const Table t = Table::parse(toml, where);
  std::vector<Needle> needles;
  for (const Table& row : t.tables("needle")) {
    Needle n;
    n.name = row.text("name");
    n.d_mm = row.number("d_mm", ranges::kNeedleMm);
    n.point = pick<NeedlePoint>(row, "point", "sharp",
                                {{"sharp", NeedlePoint::sharp}, {"ball", NeedlePoint::ball}});
    n.blade_mm = row.number("blade_mm", {5, 60}, n.blade_mm);
    n.shank_mm = row.number("shank_mm", {0, 40}, n.shank_mm);
    n.shank_d_mm = row.number("shank_d_mm", {n.d_mm, 4}, n.shank_d_mm);
    n.young_mpa = row.number("young_mpa", {50000, 700000}, n.young_mpa);
    n.groove = row.number("groove", {0.2, 1}, n.groove);
    row.refuse_unknown();
    needles.push_back(std::move(n));
  }
  t.text("source");
  t.refuse_unknown();
  if (!needles.empty()) return needles;
  throw base::Error{base::ErrorCode::bad_data, "the list holds no [[needle]]", where, "Add one"};
}

}  // namespace buckram::cap
