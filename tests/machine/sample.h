// A small plan with every operation in it, and setups for each way up.
#pragma once

#include "cap/cap.h"
#include "machine/machine.h"
#include "stitch/stitch.h"

namespace buckram::machine {

// Where the sample waits for the operator.
inline constexpr std::size_t kStopEntry = 37;

// A capital F of two threads, upright on the chart: its arms point right and lie at the top.
inline stitch::Plan sample_plan() {
  stitch::Plan plan;
  plan.threads = {
      {.name = "Navy (dark); 5%", .rgb = "#22303c", .tex = 27, .needle = 3},
      {.name = "Signal red", .rgb = "#b4432f", .tex = 18.5, .needle = 7, .number = "R-40"}};
  plan.objects = {{.id = 4, .kind = stitch::Kind::column, .thread = 0},
                  {.id = 9, .kind = stitch::Kind::fill, .thread = 1}};
  const auto put = [&](double x, double y, stitch::Op op) {
    plan.x.push_back(x);
    plan.y.push_back(y);
    plan.op.push_back(op);
  };
  using stitch::Op;
  put(-20, 20, Op::move);
  for (int i = 0; i <= 20; ++i) put(-20 + 0.001 * i, 20 + 2 * i, Op::sew);
  put(-19.98, 60, Op::trim);
  put(-19.98, 60, Op::change);
  put(0, 55, Op::move);
  put(10, 60, Op::move);
  for (int i = 0; i <= 10; ++i) put(10 - 3 * i, 60, Op::sew);
  put(-20, 60, Op::stop);
  put(-20, 42, Op::move);
  for (int i = 0; i <= 8; ++i) put(-20 + 2.5 * i, 42, Op::sew);
  put(0, 42, Op::trim);
  put(0, 42, Op::end);
  plan.blocks = {{.object = 4, .layer = stitch::Layer::under, .thread = 0, .first = 0, .count = 11},
                 {.object = 4, .layer = stitch::Layer::top, .thread = 0, .first = 11, .count = 11},
                 {.object = 9,
                  .layer = stitch::Layer::top,
                  .thread = 1,
                  .first = 22,
                  .count = plan.size() - 22}};
  return plan;
}

inline cap::Setup setup_for(cap::MountKind kind, double turn_deg, cap::TurnedBy by) {
  cap::Setup setup;
  setup.mount.name = "bench mount";
  setup.mount.kind = kind;
  setup.mount.field = {-110, 4, 110, 90};
  setup.mount.origin = {3, 30};
  setup.bench.turn_deg = turn_deg;
  setup.bench.turned_by = by;
  return setup;
}

}  // namespace buckram::machine
