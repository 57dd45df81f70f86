#include "cap/gap_field.h"

#include "cap/readings.h"

#include <algorithm>
#include <cmath>

namespace buckram::cap {
namespace {

struct Bulges {
  double ridge_mm = 0, ridge_width_mm = 1, tape_mm = 0, bulk_mm = 0, bulk_reach_mm = 1;
};

Bulges bulges_of(const Setup& setup, const Bench& bench) {
  const GapLaw& law = setup.mount.gap;
  const auto left = [&](double share) { return bench.is_pressed ? 1 - share : 1.0; };
  Bulges b;
  b.ridge_width_mm = setup.cap.seam.width_mm;
  b.bulk_reach_mm = setup.cap.bill.reach_mm;
  if (has_seam(setup)) {
    b.ridge_mm = setup.cap.seam.ridge_mm * left(law.press_seam);
    b.tape_mm = setup.cap.seam.tape_mm * left(law.press_tape);
  }
  if (setup.mount.bill_is_on) b.bulk_mm = setup.cap.bill.bulk_mm * left(law.press_bill);
  return b;
}

// The clearance whose gap would be read as `gap_mm` away from the seam's tape: the inverse of
// g = tau u logistic(u / w), increasing in u, by bisection to 1e-9 mm.
double clearance_of_gap(double gap_mm, double open_share, double width_mm) {
  double low = 0, high = 2 * gap_mm / open_share;  // logistic(u / w) >= 1/2 for u >= 0
  for (int i = 0; i < 60; ++i) {
    const double u = (low + high) / 2;
    (open_share * u * base::logistic(u / width_mm) < gap_mm ? low : high) = u;
  }
  return (low + high) / 2;
}

double open_share_of(const GapLaw& law, const Bench& bench) {
  return bench.has_clips ? 1 - law.clips_close : 1.0;
}

}  // namespace

struct GapField::State {
  Setup setup;
  Profile profile;
  Bulges bulges;
  Residual residual;

  explicit State(const Setup& s)
      : setup(s),
        profile(s.cap.crown),
        bulges(bulges_of(s, s.bench)),
        residual({s.mount.gap_sd_mm, s.mount.gap.reading_reach_mm}, residuals()) {}

  bool sags() const { return setup.mount.kind == MountKind::flat && !setup.mount.is_front_flat; }

  // Tautness at that height: a hoop pulls all round, a rotary frame from below.
  double pull_at(double y) const {
    const GapLaw& law = setup.mount.gap;
    if (setup.mount.kind == MountKind::flat) return setup.bench.tautness;
    return setup.bench.tautness * base::logistic((law.held_mm - y) / law.held_fade_mm);
  }

  // Clearance under the cloth where it would hang by its own shape.
  double shape_mm(geometry::Point p, const Bench& bench) const {
    const Mount& mount = setup.mount;
    if (mount.kind == MountKind::rotary) {
      return profile.radius(p.y) - setup.cap.crown.r0_mm + mount.plate_below_mm;
    }
    const double sag = sags() ? mount.gap.slack_sag * (1 - bench.tautness) : 0;
    return mount.hold_mm + sag * p.x * p.x / (2 * setup.cap.crown.r0_mm);
  }

  double prior(geometry::Point p, const Bench& bench, const Bulges& b) const {
    const double across = p.x / b.ridge_width_mm;
    return shape_mm(p, bench) - bench.raise_mm - bench.packing_mm +
           b.ridge_mm * std::exp(-across * across) +
           b.bulk_mm * std::exp(-std::max(0.0, p.y) / b.bulk_reach_mm);
  }

  std::vector<ResidualReading> residuals() const {
    const Bench& bench = setup.read_with ? *setup.read_with : setup.bench;
    const Bulges then = bulges_of(setup, bench);
    const double open = open_share_of(setup.mount.gap, bench);
    std::vector<ResidualReading> list;
    for (const GapReading& r : setup.readings) {
      const geometry::Point at{r.x_mm, r.y_mm};
      const bool is_zero = r.gap_mm <= 0;
      const double u =
          is_zero ? 0 : clearance_of_gap(r.gap_mm, open, setup.mount.gap.carry_width_mm);
      list.push_back({at, u - prior(at, bench, then), r.sd_mm / open, is_zero});
    }
    return list;
  }
};

GapPoint gap_point(const GapTerms& terms, const GapDraw& draw) {
  const GapPointOf<double> g = gap_law(terms, draw);
  return {g.clearance_mm, g.gap_mm, g.carried, {g.slope_x, g.slope_y}};
}

GapField::GapField(const Setup& setup) : state_(std::make_shared<const State>(setup)) {}

GapTerms GapField::terms(geometry::Point p) const {
  const State& s = *state_;
  const GapLaw& law = s.setup.mount.gap;
  const Bulges& b = s.bulges;
  GapTerms t;
  t.clearance_mm = prior_clearance(p) + s.residual.mean(p);
  const auto modes = s.residual.modes(p);
  std::copy(modes.begin(), modes.end(), t.modes_mm);
  const double q = (p.x / b.ridge_width_mm) * (p.x / b.ridge_width_mm);
  t.tape_mm = b.tape_mm * q * std::exp(1 - q);
  t.open_share = open_share_of(law, s.setup.bench);
  t.carry_width_mm = law.carry_width_mm;
  t.bulge_flattened = law.bulge_flattened;
  const double kept = 1 - law.taut_flattened * s.pull_at(p.y);
  t.bulge_slope = {-2 * p.x / (b.ridge_width_mm * b.ridge_width_mm) * b.ridge_mm * std::exp(-q),
                   p.y < 0 ? 0 : -b.bulk_mm / b.bulk_reach_mm * std::exp(-p.y / b.bulk_reach_mm)};
  t.bulge_slope = t.bulge_slope * kept;
  if (s.setup.mount.kind == MountKind::rotary) {
    constexpr double kSteepest = 1.4;  // rad: past it the crown is flat top, and out of the field
    t.lean_slope = {0, -std::tan(std::min(kSteepest, s.profile.lean(p.y))) * kept};
  } else if (s.sags()) {
    t.lean_slope = {
        law.slack_sag * (1 - s.setup.bench.tautness) * p.x / s.setup.cap.crown.r0_mm * kept, 0};
  }
  return t;
}

GapPoint GapField::at(geometry::Point chart, const GapDraw& draw) const {
  return gap_point(terms(chart), draw);
}

double GapField::prior_clearance(geometry::Point p) const {
  return state_->prior(p, state_->setup.bench, state_->bulges);
}

double GapField::clearance_sd(geometry::Point p) const {
  return std::sqrt(std::max(0.0, state_->residual.covariance(p, p)));
}

}  // namespace buckram::cap
