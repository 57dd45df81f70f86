// Every constant of the mechanics, read from data/mechanics.toml, where each has its unit, its
// spread and its source. docs/notes/needle.md gives the equations they stand in.
#pragma once

#include "needle/hazard.h"

#include <string>
#include <vector>

namespace buckram::needle {

struct Mechanics {
  // Penetration force
  double size_exponent = 0;    // a: force grows with (d / d_ref)^a
  double reference_d_mm = 0;   // d_ref
  double ball_factor = 0;      // f_point of a ball point; a sharp one has 1
  double force_per_layer = 0;  // c_P: share of force added by a layer of thread sewn before
  double force_level = 0;      // on all forces; 1, with the spread of how little is known
  double rate_exponent = 0;    // force grows with (speed / reference_spm)^this
  double reference_spm = 0;
  double edge_mm = 0;          // over which an extra layer ends
  double crowd_radius_mm = 0;  // within which thread counts
  double thread_width_mm = 0;  // of a size-40 thread of 27 tex, lying flat
  double hole_thread_mm = 0;   // thread that an earlier hole holds within the cloth
  double layers_limit = 0;     // layers of thread beyond which more adds little

  // Cloth
  double across_n_per_mm = 0, across_taut_n_per_mm = 0;  // k_z0, k_z1
  double across_bill_mm = 0;  // stiffer by this over y near the bill seam
  double in_plane_n_per_mm = 0, in_plane_taut_n_per_mm = 0;  // k_c = this + that T
  double friction = 0, friction_sd = 0;                      // mu, s_mu: point on cloth
  double yarn_pitch_mm = 0;  // s_y: the farthest that the point slips
  double hold_least = 0;     // least share of the cloth's sideways hold

  // Needle
  double pinned_factor = 0;  // P_pinned = this EI / L^2
  double hold_factor = 0;    // P_cr = P_free + this k_c L h
  double load_limit = 0;     // P / P_cr counted at most

  // Scatter within a cap
  double glance = 0, glance_per_layer = 0, sway = 0;  // kappa_g, c_g, s_w
  double throw_limit_mm = 0;                // the farthest that a yarn or a knot throws the point
  double drift_share = 0, slide_share = 0;  // of drift and slide
  double floor_mm = 0;
  double hit_share = 0, hit_factor = 0;  // epsilon, f: a yarn crossing or a knot met squarely

  // Machine
  double hole_mm = 0;                   // D_hole
  double stroke_mm = 0, lowest_mm = 0;  // A, z_low
  double way_left_mm = 0;  // of a step at entry; for more the controller slows the machine
  double hook_gain = 0, hook_clearance_mm = 0;

  // Failure
  double plate_q = 0;  // chance that a strike breaks a 0.8 mm needle
  double hook_q = 0;
  double buckle_q = 0, buckle_log_sd = 0;
  double bend_q = 0, steel_mpa = 0, steel_log_sd = 0;

  // Cap to cap, standard deviations
  double hardness_log_sd = 0, gap_sd = 0, slope_sd = 0, alignment_mm = 0;

  // How little is known of a constant: the interval draws it from a lognormal of this spread.
  struct Uncertain {
    double Mechanics::* value;
    double log_sd;
    bool operator==(const Uncertain&) const = default;
  };
  std::vector<Uncertain> uncertain;
  bool operator==(const Mechanics&) const = default;
};

}  // namespace buckram::needle
