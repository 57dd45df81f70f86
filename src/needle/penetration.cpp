#include "needle/penetration.h"

#include "base/base.h"

#include <cmath>

namespace buckram::needle {
Stack layers_stack(const cap::Setup& setup) {
  Stack stack;
  for (const cap::Layer& layer : cap::layers_of(setup)) {
    (layer.is_stiffener ? stack.stiffener_n : stack.cloth_n) +=
        layer.hardness_n_per_mm * layer.thickness_mm;
  }
  return stack;
}

Stack stack_at(const cap::Setup& setup, const Mechanics& m, geometry::Point at) {
  return stack_over(layers_stack(setup), setup, m, at);
}

Stack stack_over(const Stack& layers, const cap::Setup& setup, const Mechanics& m,
                 geometry::Point at) {
  Stack stack = layers;
  if (cap::has_seam(setup)) {
    const cap::Seam& seam = setup.cap.seam;
    stack.seam_n = seam.extra_n * base::logistic((seam.half_width_mm - std::abs(at.x)) / m.edge_mm);
  }
  if (setup.mount.bill_is_on) {
    const cap::BillEdge& bill = setup.cap.bill;
    stack.allowance_n = bill.extra_n * base::logistic((bill.allowance_mm - at.y) / m.edge_mm);
  }
  return stack;
}

double needle_factor(const cap::Needle& needle, const Mechanics& m) {
  const double point = needle.point == cap::NeedlePoint::ball ? m.ball_factor : 1;
  return std::pow(needle.d_mm / m.reference_d_mm, m.size_exponent) * point * m.force_level;
}

double rate_factor(double speed_spm, const Mechanics& m) {
  return std::pow(speed_spm / m.reference_spm, m.rate_exponent);
}

double crowding_factor(double layers, const Mechanics& m) {
  return 1 + m.force_per_layer * layers;
}

}  // namespace buckram::needle
