#include "machine/machine.h"

#include "machine/thread_comment.h"

#include <fmt/format.h>

#include <cmath>
#include <iterator>

namespace buckram::machine {
namespace {

using geometry::Point;
using stitch::Op;

// To 0.001, and never "-0.000".
double rounded(double mm) {
  return std::round(mm * 1000) / 1000 + 0.0;
}

class Writer {
 public:
  Writer(const stitch::Plan& plan, const cap::Setup& setup, const GcodeOptions& options)
      : plan_(plan), setup_(setup), options_(options), map_(setup) {}

  std::string run() && {
    head();
    go(0, {});
    if (options_.walk_box) walk();
    line("(sewing)");
    const std::vector<std::size_t> object_of = stitch::object_of_blocks(plan_);
    for (std::size_t k = 0; k < plan_.blocks.size(); ++k) {
      sew(plan_.blocks[k], plan_.objects[object_of[k]].kind);
    }
    line("(return)");
    go(0, {});
    line("M2");
    return std::move(text_);
  }

 private:
  void line(std::string_view words) {
    text_ += words;
    text_ += '\n';
  }

  void go(int motion, Point machine) {
    fmt::format_to(std::back_inserter(text_), "G{} X{:.3f} Y{:.3f}\n", motion, rounded(machine.x),
                   rounded(machine.y));
  }

  void head() {
    const stitch::Counts counts = stitch::count(plan_);
    const auto s = [](int n) { return n == 1 ? "" : "s"; };
    line(fmt::format("(Buckram: {} stitch{}, {} thread change{}, {} trim{})", counts.stitches,
                     counts.stitches == 1 ? "" : "es", counts.thread_changes,
                     s(counts.thread_changes), counts.trims, s(counts.trims)));
    line(fmt::format("(cap {}, mount {}, {})", plain_comment(setup_.cap.name),
                     plain_comment(setup_.mount.name), way_up()));
    line("(X0 Y0 is where the needle stands at the start)");
    line("(G1: the needle goes down there. G0: needle up. M3, M5: needle drive. M8, M9: trimmer)");
    if (!plan_.blocks.empty()) line(comment_of(thread_of(plan_.blocks.front())));
    line("G21 G17 G90 G94");
    line(fmt::format("F{:.0f}", setup_.mount.top_speed_m_s * 60'000));
  }

  std::string way_up() const {
    if (setup_.bench.turn_deg != 180) return "not turned";
    return map_.is_turned() ? "half turn in this file" : "half turn by the controller";
  }

  void walk() {
    geometry::Box box;
    for (int i = 0; i < plan_.size(); ++i) {
      if (plan_.op[static_cast<std::size_t>(i)] == Op::sew) box.add(map_.to_machine(plan_.at(i)));
    }
    if (box.empty()) return;
    line("(walk round the design)");
    const Point corners[] = {{box.x0, box.y0}, {box.x1, box.y0}, {box.x1, box.y1},
                             {box.x0, box.y1}, {box.x0, box.y0}, {0, 0}};
    for (const Point corner : corners) go(0, corner);
  }

  const stitch::PlanThread& thread_of(const stitch::Block& block) const {
    return plan_.threads[static_cast<std::size_t>(block.thread)];
  }

  void sew(const stitch::Block& block, stitch::Kind kind) {
    const double spm = stitch::speed_of(block, options_.speed_spm);
    const std::string speed =
        spm < options_.speed_spm ? fmt::format(", {} a minute", spm) : std::string();
    line(fmt::format("(block: object {}, {}, {}{})", block.object, stitch::name(kind),
                     stitch::name(block.layer), speed));
    set_speed(spm);
    for (int i = block.first; i < block.first + block.count; ++i) entry(i, block);
  }

  void set_speed(double spm) {
    if (spm == speed_spm_) return;
    speed_spm_ = spm;
    if (is_driven_) line(fmt::format("S{}", spm));
  }

  void drive(bool on) {
    if (on == is_driven_) return;
    is_driven_ = on;
    if (on) {
      line(fmt::format("M3 S{:g}", speed_spm_));
    } else {
      line("M5");
    }
  }

  void entry(int i, const stitch::Block& block) {
    const Op op = plan_.op[static_cast<std::size_t>(i)];
    drive(op == Op::sew);
    switch (op) {
      case Op::sew:
        go(1, map_.to_machine(plan_.at(i)));
        break;
      case Op::move:
        go(0, map_.to_machine(plan_.at(i)));
        break;
      case Op::trim:
        line(fmt::format("M8 (trim)\nG4 P{:g}\nM9", options_.trim_s));
        break;
      case Op::change:
        line("M0 " + comment_of(thread_of(block)));
        break;
      case Op::stop:
        line("M0 (stop)");
        break;
      case Op::end:
        break;  // M2, once back at the start
    }
  }

  const stitch::Plan& plan_;
  const cap::Setup& setup_;
  const GcodeOptions& options_;
  MachineMap map_;
  std::string text_;
  bool is_driven_ = false;
  double speed_spm_ = 0;
};

}  // namespace

std::string write_gcode(const stitch::Plan& plan, const cap::Setup& setup,
                        const GcodeOptions& options) {
  return Writer(plan, setup, options).run();
}

}  // namespace buckram::machine
