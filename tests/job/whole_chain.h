// Brute force of the whole chain from a stitch to a broken needle: caps, pushes, swings, loads and
// breaks are all drawn, nothing is in closed form, and no formula is shared with src/needle. The
// equations are those of docs/notes/needle.md, written a second time: slopes by finite
// differences, the crown by summation, thread by pairs, the frame by its time table. Shared are
// data only: plan, set-up, constants, and the three modes of an unmeasured gap.
#pragma once

#include "cap/cap.h"
#include "needle/shop.h"
#include "stitch/stitch.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace buckram::practice {

struct Simulated {
  double breaks_per_cap = 0, standard_error = 0;
};

class WholeChain {
 public:
  WholeChain(const stitch::Plan& plan, const cap::Setup& setup, const needle::Mechanics& mechanics)
      : s_(setup), m_(mechanics) {
    find_crown();
    find_needle();
    find_places(plan);
  }

  // Plain: every cap as it comes, sewn `kSewn` times. With `towards_breaks` caps are drawn harder
  // and off centre, and half of all penetrations meet a knot, all with their weights: for set-ups
  // whose breaks are rare.
  Simulated run(int n_caps, std::uint64_t seed, bool towards_breaks = false) const {
    constexpr int kBatch = 50;
    const int n = (n_caps + kBatch - 1) / kBatch;
    std::vector<std::array<double, 2>> sums(static_cast<std::size_t>(n));
    base::parallel_for(sums.size(), [&](std::size_t b) {
      base::Random random(seed * 1000003 + b);
      for (int k = 0; k < kBatch; ++k) {
        const double breaks = sew_one(random, towards_breaks);
        sums[b][0] += breaks, sums[b][1] += breaks * breaks;
      }
    });
    double sum = 0, square = 0;
    for (const auto& each : sums) sum += each[0], square += each[1];
    const double total = n * kBatch, mean = sum / total;
    return {mean, std::sqrt((square / total - mean * mean) / total)};
  }

 private:
  static constexpr int kSewn = 4;

  struct Spot {
    double clearance, tape, layers, force, across;
    std::array<double, 3> modes;
    geometry::Point bulge, lean;  // slopes before any draw
    geometry::Point direction;    // of the stitch
    double step_mm;               // of the frame
  };
  struct OneCap {
    double hardness, gap, slope, strength, weight;
    geometry::Point alignment;
    std::array<double, 3> modes;
  };
  struct Pushed {
    geometry::Point mean, downhill, swing;
    double common2, hit2, along_slope, force, critical, side;
  };

  void find_crown() {
    const cap::CrownShape& c = s_.cap.crown;
    double r = c.r0_mm, z = 0;
    for (int k = 0; k <= 15000; ++k) {  // steps of 0.01 mm
      radius_.push_back(r), height_.push_back(z);
      const double psi = lean((k + 0.5) * 0.01);
      r -= 0.01 * std::sin(psi), z += 0.01 * std::cos(psi);
    }
  }
  double lean(double y) const {
    const cap::CrownShape& c = s_.cap.crown;
    const double share = std::clamp(y / c.s90_mm, 0.0, 1.0);
    return c.psi0_rad + (base::kPi / 2 - c.psi0_rad) * std::pow(share, c.m);
  }
  static double read(const std::vector<double>& table, double y) {
    const auto k = static_cast<std::size_t>(std::clamp(y * 100, 0.0, 14999.0));
    return table[k];
  }

  bool is_rotary() const { return s_.mount.kind == cap::MountKind::rotary; }
  bool has_ridge() const { return s_.cap.has_seam && s_.mount.seam_is_on; }
  double kept(double pressed_off) const { return s_.bench.is_pressed ? 1 - pressed_off : 1; }
  double bulge_height(geometry::Point p) const {
    const cap::Seam& seam = s_.cap.seam;
    const cap::BillEdge& bill = s_.cap.bill;
    double h = 0;
    if (has_ridge()) {
      h += seam.ridge_mm * kept(s_.mount.gap.press_seam) *
           std::exp(-std::pow(p.x / seam.width_mm, 2));
    }
    if (s_.mount.bill_is_on) {
      h += bill.bulk_mm * kept(s_.mount.gap.press_bill) *
           std::exp(-std::max(0.0, p.y) / bill.reach_mm);
    }
    return h;
  }
  double sag_height(geometry::Point p) const {
    if (is_rotary() || s_.mount.is_front_flat) return 0;
    return s_.mount.gap.slack_sag * (1 - s_.bench.tautness) * p.x * p.x / (2 * s_.cap.crown.r0_mm);
  }
  double clearance(geometry::Point p) const {
    const double under = is_rotary()
                             ? read(radius_, p.y) - s_.cap.crown.r0_mm + s_.mount.plate_below_mm
                             : s_.mount.hold_mm + sag_height(p);
    return under - s_.bench.raise_mm - s_.bench.packing_mm + bulge_height(p);
  }

  void find_needle() {
    const cap::Needle& n = s_.bench.needle;
    const double ei = n.young_mpa * n.groove * base::kPi * std::pow(n.d_mm, 4) / 64;
    const double ei_shank = n.young_mpa * base::kPi * std::pow(n.shank_d_mm, 4) / 64;
    // Deflection under a tip force of 1 N by summing curvature times lever.
    double flexibility = 0;
    const double length = n.shank_mm + n.blade_mm;
    constexpr int kSteps = 20000;
    for (int k = 0; k < kSteps; ++k) {
      const double x = length * (k + 0.5) / kSteps;
      flexibility +=
          (length - x) * (length - x) / (x < n.shank_mm ? ei_shank : ei) * length / kSteps;
    }
    stiffness_ = 1 / flexibility;
    free_ = std::pow(base::kPi, 2) * ei / (4 * n.blade_mm * n.blade_mm);
    pinned_ = m_.pinned_factor * ei / (n.blade_mm * n.blade_mm);
    clear_ = (s_.mount.hole_mm.value_or(m_.hole_mm) - n.d_mm) / 2;
    plate_q_ = std::min(1.0, m_.plate_q * std::pow(m_.reference_d_mm / n.d_mm, 3));
    in_plane_ = m_.in_plane_n_per_mm + m_.in_plane_taut_n_per_mm * s_.bench.tautness;
    for (const cap::Layer& layer : s_.cap.layers) {
      if (layer.is_stiffener && !s_.mount.buckram_is_on) continue;
      cloth_n_ += layer.hardness_n_per_mm * layer.thickness_mm * s_.cap.stiffness;
      stack_ += layer.thickness_mm;
    }
    for (const cap::Layer& layer : s_.bench.backing) {
      cloth_n_ += layer.hardness_n_per_mm * layer.thickness_mm;
      stack_ += layer.thickness_mm;
    }
    // E[(t - mu)+] and P(mu > t), by the middles of 400 equal shares of friction.
    for (int k = 0; k < 400; ++k) {
      frictions_.push_back(m_.friction + m_.friction_sd * base::normal_quantile((k + 0.5) / 400));
    }
    for (int k = 0; k <= kSlopes; ++k) {
      double excess = 0, grip = 0;
      for (const double mu : frictions_) {
        const double slope = k * kSlopeStep;
        excess += std::max(0.0, slope - mu) / 400;
        grip += (mu > slope ? 1.0 : mu == slope ? 0.5 : 0.0) / 400;
      }
      excess_.push_back(excess), grip_.push_back(grip);
    }
  }
  static constexpr int kSlopes = 8000;
  static constexpr double kSlopeStep = 0.00025;
  static double at_slope(const std::vector<double>& table, double slope) {
    const double at = std::min(slope / kSlopeStep, kSlopes - 1.0);
    const auto k = static_cast<std::size_t>(at);
    const double part = at - static_cast<double>(k);
    return table[k] * (1 - part) + table[k + 1] * part;
  }

  // Thread laid before, by looking at every piece: half a millimetre long, fading at the rim.
  std::vector<double> layers_before(const stitch::Plan& plan) const {
    struct Piece {
      geometry::Point at;
      double mm2;
    };
    std::vector<Piece> pieces;
    std::vector<double> layers(static_cast<std::size_t>(plan.size()), 0);
    const std::vector<int> block_of = stitch::block_of_entries(plan);
    const double rim = m_.crowd_radius_mm;
    for (int i = 0; i < plan.size(); ++i) {
      const auto e = static_cast<std::size_t>(i);
      if (plan.op[e] != stitch::Op::sew) continue;
      const geometry::Point at = plan.at(i);
      double mm2 = 0;
      for (const Piece& piece : pieces) {
        const double away = std::hypot(piece.at.x - at.x, piece.at.y - at.y) / rim;
        if (away < 1.125) mm2 += piece.mm2 * std::min(1.0, (1.125 - away) / 0.25);
      }
      const double eta = mm2 / (base::kPi * rim * rim);
      layers[e] = m_.layers_limit * std::tanh(eta / m_.layers_limit);
      const auto block = static_cast<std::size_t>(block_of[e]);
      const double tex = plan.threads[static_cast<std::size_t>(plan.blocks[block].thread)].tex;
      const double width = m_.thread_width_mm * std::sqrt(tex / 27);
      if (i > 0 && plan.op[e - 1] == stitch::Op::sew) {
        const geometry::Point from = plan.at(i - 1);
        const double mm = std::hypot(at.x - from.x, at.y - from.y);
        const int n = std::max(1, static_cast<int>(std::ceil(mm / 0.5)));
        for (int k = 0; k < n; ++k) {
          const double share = (k + 0.5) / n;
          pieces.push_back({{from.x + share * (at.x - from.x), from.y + share * (at.y - from.y)},
                            width * mm / n});
        }
      }
      pieces.push_back({at, width * m_.hole_thread_mm});
    }
    return layers;
  }

  void find_places(const stitch::Plan& plan) {
    const std::vector<double> layers = layers_before(plan);
    const cap::GapField field(s_);  // for its modes only
    const double needle = std::pow(s_.bench.needle.d_mm / m_.reference_d_mm, m_.size_exponent) *
                          (s_.bench.needle.point == cap::NeedlePoint::ball ? m_.ball_factor : 1) *
                          m_.force_level *
                          std::pow(s_.bench.speed_spm / m_.reference_spm, m_.rate_exponent);
    for (int i = 0; i < plan.size(); ++i) {
      const auto e = static_cast<std::size_t>(i);
      if (plan.op[e] != stitch::Op::sew) continue;
      const geometry::Point p = plan.at(i), from = i > 0 ? plan.at(i - 1) : p;
      const auto fades = [&](double beyond) { return 1 / (1 + std::exp(beyond / m_.edge_mm)); };
      double force = cloth_n_;
      if (has_ridge()) {
        force += s_.cap.seam.extra_n * fades(std::abs(p.x) - s_.cap.seam.half_width_mm);
      }
      if (s_.mount.bill_is_on) {
        force += s_.cap.bill.extra_n * fades(p.y - s_.cap.bill.allowance_mm);
      }
      Spot spot;
      spot.clearance = clearance(p);
      const double across = std::pow(p.x / s_.cap.seam.width_mm, 2);
      spot.tape = has_ridge() ? s_.cap.seam.tape_mm * kept(s_.mount.gap.press_tape) * across *
                                    std::exp(1 - across)
                              : 0;
      spot.layers = layers[e];
      spot.force = force * needle * (1 + m_.force_per_layer * spot.layers);
      spot.across = m_.across_n_per_mm + m_.across_taut_n_per_mm * s_.bench.tautness;
      if (s_.mount.bill_is_on) spot.across *= 1 + m_.across_bill_mm / std::max(1.0, p.y);
      const cap::GapTerms terms = field.terms(p);
      for (std::size_t k = 0; k < 3; ++k) spot.modes[k] = terms.modes_mm[k];
      const cap::GapLaw& law = s_.mount.gap;
      const double held =
          is_rotary() ? 1 / (1 + std::exp((p.y - law.held_mm) / law.held_fade_mm)) : 1;
      const double taut = 1 - law.taut_flattened * s_.bench.tautness * held;
      constexpr double kH = 1e-5;
      const auto gradient = [&](const auto& height) {
        return geometry::Point{
            (height({p.x + kH, p.y}) - height({p.x - kH, p.y})) / (2 * kH) * taut,
            (height({p.x, p.y + kH}) - height({p.x, p.y - kH})) / (2 * kH) * taut};
      };
      spot.bulge = gradient([&](geometry::Point q) { return bulge_height(q); });
      spot.lean = gradient([&](geometry::Point q) { return sag_height(q); });
      if (is_rotary()) spot.lean.y -= std::tan(lean(p.y)) * taut;
      const double mm = std::hypot(p.x - from.x, p.y - from.y);
      spot.direction = mm > 0 ? geometry::Point{(p.x - from.x) / mm, (p.y - from.y) / mm}
                              : geometry::Point{0, 0};
      const auto machine = [&](geometry::Point q) {
        if (!is_rotary()) return q;
        return geometry::Point{q.x * s_.cap.crown.r0_mm / read(radius_, q.y), read(height_, q.y)};
      };
      const geometry::Point a = machine(from), b = machine(p);
      spot.step_mm = std::hypot(b.x - a.x, b.y - a.y);
      spots_.push_back(spot);
    }
  }

  OneCap draw(base::Random& random, bool towards_breaks) const {
    OneCap cap;
    cap.weight = 1;
    const auto normal = [&](double shift) {
      const double z = random.normal() + (towards_breaks ? shift : 0);
      if (towards_breaks) cap.weight *= std::exp(-shift * z + shift * shift / 2);
      return z;
    };
    const double sd = m_.hardness_log_sd;
    cap.hardness = std::exp(sd * normal(1.2) - sd * sd / 2);
    cap.gap = std::max(0.0, 1 + m_.gap_sd * normal(0));
    cap.slope = std::max(0.0, 1 + m_.slope_sd * normal(0.3));
    cap.alignment.x = m_.alignment_mm * normal(0);
    cap.alignment.y = m_.alignment_mm * normal(0.5);
    cap.strength = std::exp(m_.steel_log_sd * normal(0));
    for (double& mode : cap.modes) mode = normal(0);
    return cap;
  }

  // Seconds after the needle's top at which its point is `height` above the plate.
  double time_down_to(double height) const {
    const double c = 2 * (height - m_.lowest_mm) / m_.stroke_mm - 1;
    return std::acos(std::clamp(c, -1.0, 1.0)) / (2 * base::kPi) * 60 / s_.bench.speed_spm;
  }

  Pushed push(const Spot& spot, const OneCap& cap) const {
    double u = spot.clearance * cap.gap;
    for (std::size_t k = 0; k < 3; ++k) u += spot.modes[k] * cap.modes[k];
    const cap::GapLaw& law = s_.mount.gap;
    const double carried = 1 / (1 + std::exp(u / law.carry_width_mm));
    const double over = std::max(0.0, u - spot.tape);
    const double open = s_.bench.has_clips ? 1 - law.clips_close : 1;
    const double gap = spot.tape + open * over / (1 + std::exp(-over / law.carry_width_mm));
    const double flat = (1 - law.bulge_flattened * carried) * cap.slope;
    const geometry::Point up{spot.bulge.x * flat + spot.lean.x * cap.slope,
                             spot.bulge.y * flat + spot.lean.y * cap.slope};
    const double slope = std::hypot(up.x, up.y);

    Pushed p;
    p.force = spot.force * cap.hardness;
    const double hold = m_.hold_least + (1 - m_.hold_least) * at_slope(grip_, slope);
    p.critical =
        std::min(pinned_, free_ + m_.hold_factor * in_plane_ * s_.bench.needle.blade_mm * hold);
    const double k_n = stiffness_ * (1 - std::min(m_.load_limit, p.force / p.critical));
    const double drag = in_plane_ / (in_plane_ + k_n);
    const double room = std::max(0.0, s_.bench.foot_mm - stack_);
    const double travel = std::min({gap, p.force / spot.across, room});
    const double drift = travel * std::min(slope, m_.friction) * drag;
    p.side = p.force / 2 * at_slope(excess_, slope) / (1 + m_.friction * slope);
    const double slide = m_.yarn_pitch_mm * std::tanh(p.side / k_n / m_.yarn_pitch_mm);
    p.downhill = slope > 0 ? geometry::Point{-up.x / slope, -up.y / slope} : geometry::Point{0, 0};

    double left = 0, ring = 0;
    if (spot.step_mm > 0) {
      const double a = s_.mount.acceleration_m_s2 * 1000, v = s_.mount.top_speed_m_s * 1000;
      const double whole =
          spot.step_mm <= v * v / a ? 2 * std::sqrt(spot.step_mm / a) : spot.step_mm / v + v / a;
      const double entry = time_down_to(gap + stack_), stops = whole / 2;
      if (entry < stops) left = std::min(m_.way_left_mm, a / 2 * std::pow(stops - entry, 2));
      const double omega = s_.mount.ring_rad_s;
      ring = s_.mount.ring * std::min(a, spot.step_mm * omega * omega / 4) / (omega * omega) *
             std::exp(-s_.mount.damping * omega * std::max(0.0, entry - stops)) * drag;
    }
    p.mean = {p.downhill.x * (drift + slide) - spot.direction.x * left * drag,
              p.downhill.y * (drift + slide) - spot.direction.y * left * drag};
    p.swing = {spot.direction.x * ring, spot.direction.y * ring};
    const double glance = m_.glance * p.force / k_n * (1 + m_.glance_per_layer * spot.layers);
    const auto variance = [&](double factor) {
      const double thrown = m_.throw_limit_mm * std::tanh(factor * glance / m_.throw_limit_mm);
      return thrown * thrown + std::pow(factor * m_.sway * travel, 2) + m_.floor_mm * m_.floor_mm;
    };
    p.common2 = variance(1), p.hit2 = variance(m_.hit_factor);
    p.along_slope = std::hypot(m_.drift_share * drift, m_.slide_share * slide);
    return p;
  }

  // One penetration: does the needle break?
  bool breaks(const Pushed& p, const OneCap& cap, bool is_hit, base::Random& random) const {
    const double spread = std::sqrt(is_hit ? p.hit2 : p.common2);
    const double zx = random.normal();
    const double zy = random.normal();
    const double zs = p.along_slope * random.normal();
    const double swing = std::sin(2 * base::kPi * random.uniform());
    const geometry::Point aside{p.mean.x + spread * zx + zs * p.downhill.x + swing * p.swing.x,
                                p.mean.y + spread * zy + zs * p.downhill.y + swing * p.swing.y};
    if (std::hypot(aside.x + cap.alignment.x, aside.y + cap.alignment.y) > clear_) {
      if (random.uniform() < plate_q_) return true;
    }
    if (m_.hook_gain * aside.y > m_.hook_clearance_mm && aside.y < clear_) {
      if (random.uniform() < m_.hook_q) return true;
    }
    const cap::Needle& n = s_.bench.needle;
    if (p.force > 0.1 * p.critical &&
        p.force * std::exp(m_.buckle_log_sd * random.normal()) > p.critical &&
        random.uniform() < m_.buckle_q) {
      return true;
    }
    const double moment =
        p.force * std::hypot(p.mean.x, p.mean.y) + p.side * (n.shank_mm + n.blade_mm);
    const double stress = 32 * moment / (base::kPi * std::pow(n.d_mm, 3)) +
                          4 * p.force / (base::kPi * n.d_mm * n.d_mm);
    return stress > 0.3 * m_.steel_mpa &&
           stress > m_.steel_mpa * cap.strength * std::exp(m_.steel_log_sd * random.normal()) &&
           random.uniform() < m_.bend_q;
  }

  double sew_one(base::Random& random, bool towards_breaks) const {
    const OneCap cap = draw(random, towards_breaks);
    const double share = towards_breaks ? 0.5 : m_.hit_share;
    const double if_hit = m_.hit_share / share, if_not = (1 - m_.hit_share) / (1 - share);
    double sum = 0;
    for (const Spot& spot : spots_) {
      const Pushed pushed = push(spot, cap);
      for (int k = 0; k < kSewn; ++k) {
        const bool is_hit = random.uniform() < share;
        if (breaks(pushed, cap, is_hit, random)) sum += is_hit ? if_hit : if_not;
      }
    }
    return cap.weight * sum / kSewn;
  }

  const cap::Setup s_;
  const needle::Mechanics& m_;
  std::vector<double> radius_, height_, frictions_, excess_, grip_;
  double stiffness_ = 0, free_ = 0, pinned_ = 0, clear_ = 0, plate_q_ = 0, in_plane_ = 0;
  double cloth_n_ = 0, stack_ = 0;
  std::vector<Spot> spots_;
};

}  // namespace buckram::practice
