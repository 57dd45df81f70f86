#include "cap/describe.h"

#include <fmt/format.h>

#include <cmath>
#include <iterator>

namespace buckram::cap {
namespace {

using base::toml_text;

// One "key = value" a line, the comments in one column.
class Lines {
 public:
  void comment(std::string_view words) { fmt::format_to(out(), "# {}\n", words); }
  void table(std::string_view name) { fmt::format_to(out(), "\n[{}]\n", name); }
  void row(std::string_view name) { fmt::format_to(out(), "\n[[{}]]\n", name); }
  void text(std::string_view key, std::string_view value, std::string_view words = "") {
    line(fmt::format("{} = {}", key, toml_text(value)), words);
  }
  void truth(std::string_view key, bool value, std::string_view words = "") {
    line(fmt::format("{} = {}", key, value), words);
  }
  // The shortest form that reads back as the same number.
  void number(std::string_view key, double value, std::string_view words = "") {
    line(fmt::format("{} = {}", key, value), words);
  }
  void line(std::string_view text, std::string_view words) {
    if (words.empty()) {
      fmt::format_to(out(), "{}\n", text);
    } else {
      fmt::format_to(out(), "{:<28} # {}\n", text, words);
    }
  }
  std::string take() { return std::move(text_); }

 private:
  std::back_insert_iterator<std::string> out() { return std::back_inserter(text_); }
  std::string text_;
};

void write_layer(Lines& out, const Layer& layer) {
  out.row("layer");
  out.text("name", layer.name);
  out.number("hardness_n_per_mm", layer.hardness_n_per_mm,
             "peak needle force per mm, 0.8 mm sharp needle");
  out.number("thickness_mm", layer.thickness_mm);
  if (layer.is_stiffener) out.truth("stiffener", true);
}

void write_seam(Lines& out, const Seam& seam) {
  out.table("seam");
  out.number("ridge_mm", seam.ridge_mm, "height of the ridge that the seam makes on the front");
  out.number("width_mm", seam.width_mm, "how far the ridge reaches to either side");
  out.number("tape_mm", seam.tape_mm, "thickness of the tape behind it");
  out.number("extra_n", seam.extra_n, "force that the folded layers add");
  out.number("half_width_mm", seam.half_width_mm, "where the folded layers end");
}

void write_bill(Lines& out, const BillEdge& bill) {
  out.table("bill");
  out.number("bulk_mm", bill.bulk_mm, "how far bill seam and sweatband lift the cloth at the bill");
  out.number("reach_mm", bill.reach_mm, "height over which that fades by a factor of e");
  out.number("extra_n", bill.extra_n, "force that the seam allowance adds");
  out.number("allowance_mm", bill.allowance_mm, "height at which the allowance ends");
  out.number("keep_off_mm", bill.keep_off_mm,
             "strip above the seam that the presser foot cannot reach");
}

// To what a rule can tell: more digits would only look exact, and differ from machine to machine.
double rounded(double value, int digits) {
  const double scale = std::pow(10, digits);
  return std::round(value * scale) / scale;
}

void write_gap(Lines& out, const GapLaw& gap) {
  out.table("gap");
  out.number("carry_width_mm", gap.carry_width_mm,
             "clearance over which the plate takes the cloth up");
  out.number("bulge_flattened", gap.bulge_flattened,
             "share of a bulge's slope that a carrying plate takes out");
  out.number("taut_flattened", gap.taut_flattened,
             "share of every slope that a fully taut mount takes out");
  out.number("clips_close", gap.clips_close, "share of the gap that clips close");
  out.number("press_seam", gap.press_seam, "what pressing takes off the seam's ridge,");
  out.number("press_bill", gap.press_bill, "off the bulk at the bill");
  out.number("press_tape", gap.press_tape, "and off the tape");
  out.number("slack_sag", gap.slack_sag,
             "flat mounts: share of the head's curve that a slack one keeps");
  out.number("reading_reach_mm", gap.reading_reach_mm,
             "how far one measured gap tells about its neighbours");
  out.number("held_mm", gap.held_mm,
             "rotary mounts: how far up strap, posts and clips pull the front flat,");
  out.number("held_fade_mm", gap.held_fade_mm, "and over which height that ends");
}

void write_drive(Lines& out, const Mount& mount) {
  out.table("drive");
  out.number("acceleration_m_s2", mount.acceleration_m_s2);
  out.number("top_speed_m_s", mount.top_speed_m_s);
  out.number("ring_hz", rounded(mount.ring_rad_s / (2 * base::kPi), 2),
             "how the frame rings after a step,");
  out.number("damping", mount.damping, "how fast that dies away");
  out.number("ring", mount.ring, "and how strong it is");
}

void write_way_up(Lines& out, const Mount& mount) {
  out.number("turn_deg", mount.turn_deg, "how the cap sits: 0, or 180 upside down");
  out.text("turned_by", mount.turned_by == TurnedBy::file ? "file" : "controller",
           "who turns the design: file or controller");
  out.line(fmt::format("origin_mm = [{}, {}]", mount.origin.x, mount.origin.y),
           "on the front: where the needle stands at the start");
}

}  // namespace

std::string write_cap(const Cap& cap) {
  Lines out;
  out.comment("A cap. Lengths in mm, forces in N.");
  out.text("name", cap.name);
  out.text("title", cap.title);
  out.number("panels", cap.panels);
  out.truth("structured", cap.is_structured);
  out.text("cloth_rgb", cap.cloth_rgb);
  out.text("source", cap.source);
  out.table("crown");
  out.number("r0_mm", rounded(cap.crown.r0_mm, 2), "head circumference / 2 pi");
  out.number("s90_mm", rounded(cap.crown.s90_mm, 2), "arc to where the crown is level");
  out.number("psi0_deg", rounded(base::degrees(cap.crown.psi0_rad), 2), "lean at the bill seam");
  out.number("m", rounded(cap.crown.m, 3), "how late the crown turns over");
  for (const Layer& layer : cap.layers) write_layer(out, layer);
  if (cap.has_seam) write_seam(out, cap.seam);
  write_bill(out, cap.bill);
  for (const Eyelet& eyelet : cap.eyelets) {
    out.row("eyelet");
    out.number("x_mm", eyelet.at.x);
    out.number("y_mm", eyelet.at.y);
    out.number("radius_mm", eyelet.radius_mm);
  }
  return out.take();
}

std::string write_mount(const Mount& mount) {
  Lines out;
  out.comment("A mount: what holds the cap at the machine. Lengths in mm.");
  out.text("name", mount.name);
  out.text("title", mount.title);
  out.text("kind", mount.kind == MountKind::rotary ? "rotary" : "flat");
  out.text("needs", mount.needs == Needs::finished_cap ? "finished cap" : "cut panels");
  out.text("source", mount.source);
  out.number("tautness", mount.tautness, "0 slack to 1 drum-tight");
  if (mount.hole_mm) out.number("hole_mm", *mount.hole_mm, "across the needle plate's hole");
  out.number("plate_below_mm", mount.plate_below_mm, "plate's top below the frame's radius");
  out.number("raise_mm", mount.raise_mm, "built in");
  out.number("max_raise_mm", mount.max_raise_mm, "the most that needle, hook and foot clear");
  out.number("hold_mm", mount.hold_mm, "flat mounts: cloth above the plate");
  out.truth("bill_is_on", mount.bill_is_on);
  out.truth("seam_is_on", mount.seam_is_on);
  out.truth("buckram_is_on", mount.buckram_is_on);
  out.truth("front_is_flat", mount.is_front_flat, "not sewn up yet");
  out.number("gap_sd_mm", mount.gap_sd_mm, "how unsure the clearance is before it is measured");
  out.number("foot_mm", mount.foot_mm, "presser foot's lowest height above the plate");
  write_way_up(out, mount);
  out.number("mount_s", mount.mount_s, "seconds to put a cap on and take it off");
  out.table("field");
  out.comment("machine mm");
  out.number("x0_mm", mount.field.x0);
  out.number("x1_mm", mount.field.x1);
  out.number("y0_mm", mount.field.y0);
  out.number("y1_mm", mount.field.y1);
  write_drive(out, mount);
  write_gap(out, mount.gap);
  return out.take();
}

}  // namespace buckram::cap
