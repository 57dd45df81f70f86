#include "needle/mechanics.h"

namespace buckram::needle {
namespace {

struct Row {
  const char* key;
  double Mechanics::* value;
  base::Range range;
};

using M = Mechanics;
constexpr Row kRows[] = {
    {"size_exponent", &M::size_exponent, {0, 4}},
    {"reference_d_mm", &M::reference_d_mm, {0.4, 2}},
    {"ball_factor", &M::ball_factor, {0.5, 3}},
    {"force_per_layer", &M::force_per_layer, {0, 3}},
    {"force_level", &M::force_level, {0.01, 100}},
    {"rate_exponent", &M::rate_exponent, {0, 1}},
    {"reference_spm", &M::reference_spm, {100, 1500}},
    {"edge_mm", &M::edge_mm, {0.01, 10}},
    {"crowd_radius_mm", &M::crowd_radius_mm, {0.2, 5}},
    {"thread_width_mm", &M::thread_width_mm, {0.05, 2}},
    {"hole_thread_mm", &M::hole_thread_mm, {0, 20}},
    {"layers_limit", &M::layers_limit, {0.1, 100}},
    {"across_n_per_mm", &M::across_n_per_mm, {0.01, 100}},
    {"across_taut_n_per_mm", &M::across_taut_n_per_mm, {0, 100}},
    {"across_bill_mm", &M::across_bill_mm, {0, 100}},
    {"in_plane_n_per_mm", &M::in_plane_n_per_mm, {0.01, 100}},
    {"in_plane_taut_n_per_mm", &M::in_plane_taut_n_per_mm, {0, 100}},
    {"friction", &M::friction, {0.01, 2}},
    {"friction_sd", &M::friction_sd, {0.001, 1}},
    {"yarn_pitch_mm", &M::yarn_pitch_mm, {0.01, 3}},
    {"hold_least", &M::hold_least, {0, 1}},
    {"pinned_factor", &M::pinned_factor, {1, 100}},
    {"hold_factor", &M::hold_factor, {0, 10}},
    {"load_limit", &M::load_limit, {0.1, 0.99}},
    {"glance", &M::glance, {0, 1}},
    {"glance_per_layer", &M::glance_per_layer, {0, 10}},
    {"sway", &M::sway, {0, 1}},
    {"throw_limit_mm", &M::throw_limit_mm, {0.01, 5}},
    {"drift_share", &M::drift_share, {0, 2}},
    {"slide_share", &M::slide_share, {0, 2}},
    {"floor_mm", &M::floor_mm, {0.001, 1}},
    {"hit_share", &M::hit_share, {0, 1}},
    {"hit_factor", &M::hit_factor, {1, 20}},
    {"hole_mm", &M::hole_mm, cap::ranges::kHoleMm},
    {"stroke_mm", &M::stroke_mm, {5, 100}},
    {"lowest_mm", &M::lowest_mm, {-50, 0}},
    {"way_left_mm", &M::way_left_mm, {0, 5}},
    {"hook_gain", &M::hook_gain, {0.1, 10}},
    {"hook_clearance_mm", &M::hook_clearance_mm, {0.01, 10}},
    {"plate_q", &M::plate_q, {0, 1}},
    {"hook_q", &M::hook_q, {0, 1}},
    {"buckle_q", &M::buckle_q, {0, 1}},
    {"buckle_log_sd", &M::buckle_log_sd, {0.01, 2}},
    {"bend_q", &M::bend_q, {0, 1}},
    {"steel_mpa", &M::steel_mpa, {100, 10000}},
    {"steel_log_sd", &M::steel_log_sd, {0.001, 2}},
    {"hardness_log_sd", &M::hardness_log_sd, {0, 2}},
    {"gap_sd", &M::gap_sd, {0, 2}},
    {"slope_sd", &M::slope_sd, {0, 2}},
    {"alignment_mm", &M::alignment_mm, {0, 1}},
};

}  // namespace

std::shared_ptr<const Mechanics> read_mechanics(std::string_view toml, const std::string& where) {
  const base::Table file = base::Table::parse(toml, where);
  auto mechanics = std::make_shared<Mechanics>();
  for (const Row& row : kRows) {
    const auto constant = file.table(row.key);
    if (!constant) {
      throw base::Error{base::ErrorCode::bad_data,
                        "the table [" + std::string(row.key) + "] is missing", where, "Add it"};
    }
    (*mechanics).*(row.value) = constant->number("value", row.range);
    constant->text("unit");
    constant->text("source");
    constant->text("symbol", "");
    const double spread = constant->number("spread", {0, 3}, 0);
    constant->refuse_unknown();
    if (spread > 0) mechanics->uncertain.push_back({row.value, spread});
  }
  file.refuse_unknown();
  return mechanics;
}

}  // namespace buckram::needle
