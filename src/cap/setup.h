// The cap, the mount and the bench: what the shop has before it.
#pragma once

#include "base/base.h"
#include "geometry/geometry.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace buckram::cap {

// Profile of the front, swept round the cap's axis. With s = arc up from the bill seam the
// profile leans inwards by psi(s) = psi0 + (pi/2 - psi0) (s / s90)^m, held at pi/2 beyond s90.
struct CrownShape {
  double r0_mm = 92;  // head circumference / 2 pi
  double s90_mm = 140;
  double psi0_rad = 0.052;
  double m = 2.5;
  bool operator==(const CrownShape&) const = default;
};

struct Layer {
  std::string name;
  double hardness_n_per_mm = 0;  // peak needle force per thickness, 0.8 mm sharp needle
  double thickness_mm = 0;
  bool is_stiffener = false;  // buckram, foam: left out where the mount sews the cloth alone
  bool operator==(const Layer&) const = default;
};

struct Fabric {
  std::string name;
  std::string title;
  Layer layer;
  bool is_backing = false;
};

struct Seam {
  double ridge_mm = 0.6;     // height of the ridge
  double width_mm = 7;       // its reach
  double tape_mm = 0.5;      // tape behind it
  double extra_n = 1.5;      // folded layers' extra force
  double half_width_mm = 6;  // where they end
  bool operator==(const Seam&) const = default;
};

struct BillEdge {
  double bulk_mm = 3;  // of bill seam and sweatband
  double reach_mm = 7;
  double extra_n = 2.5;      // seam allowance
  double allowance_mm = 10;  // where it ends
  double keep_off_mm = 4;    // the strip that the foot cannot reach
  bool operator==(const BillEdge&) const = default;
};

struct Eyelet {
  geometry::Point at;  // chart
  double radius_mm = 6;
  bool operator==(const Eyelet&) const = default;
};

struct Cap {
  std::string name, title;  // title in words: "six-panel, structured, mid"
  CrownShape crown;
  std::vector<Layer> layers;  // crown cloth, buckram or foam; backing is the bench's
  bool has_seam = true;
  Seam seam;
  BillEdge bill;
  std::vector<Eyelet> eyelets;
  int panels = 6;
  bool is_structured = true;
  double stiffness = 1;  // factor on crown and buckram, 0.3 to 3
  std::string cloth_rgb = "#8a8f92";
  std::string source;  // where the numbers come from
  bool operator==(const Cap&) const = default;
};

// How the cloth lies on the plate (docs/notes/needle.md, "Gap"). All estimates, from memory.
struct GapLaw {
  double carry_width_mm = 0.4;   // clearance over which the plate takes the cloth up
  double bulge_flattened = 0.7;  // share of a bulge's slope that a carrying plate takes out
  double taut_flattened = 0.35;  // share of every slope that a fully taut mount takes out
  double clips_close = 0.3;      // share of the gap that clips close
  double press_seam = 0.35, press_bill = 0.20, press_tape = 0.30;  // what pressing takes off
  double slack_sag = 0.3;        // flat mounts: share of the head's curve that a slack one keeps
  double reading_reach_mm = 25;  // how far one measured gap tells about its neighbours
  // Rotary mounts: how far up the front strap, posts and clips pull it flat, and over which height
  // that ends. Above it the crown leans as it was made, however taut the mount.
  double held_mm = 64, held_fade_mm = 4;
  bool operator==(const GapLaw&) const = default;
};

enum class MountKind { rotary, flat };
enum class TurnedBy { file, controller };
// What can be put into a mount: a cap as it is bought, or its front before it is sewn together.
enum class Needs { finished_cap, cut_panels };

struct Mount {
  std::string name, title;
  MountKind kind = MountKind::rotary;
  Needs needs = Needs::finished_cap;
  geometry::Box field;            // machine mm
  double tautness = 0.7;          // 0 to 1
  std::optional<double> hole_mm;  // of its needle plate, across; empty: the mechanics' common one
  double plate_below_mm = 2.8;    // plate's top below the frame's radius
  double raise_mm = 0;            // built in
  double max_raise_mm = 3;
  double hold_mm = 0.5;  // flat mounts: cloth above the plane
  bool bill_is_on = true, seam_is_on = true, buckram_is_on = true,
       is_front_flat = false;  // flat: not sewn up yet
  double gap_sd_mm = 0.9;      // prior spread of the clearance
  GapLaw gap;
  double acceleration_m_s2 = 9, top_speed_m_s = 0.5;
  double ring_rad_s = 188.5, damping = 0.2, ring = 0.5;
  double foot_mm = 3.5;   // lowest height above the plate
  double turn_deg = 180;  // how the cap sits
  TurnedBy turned_by = TurnedBy::file;
  geometry::Point origin;  // chart: where the needle stands at the start
  double mount_s = 60;     // to put a cap on and take it off
  std::string source;
  bool operator==(const Mount&) const = default;
};

enum class NeedlePoint { sharp, ball };

struct Needle {
  std::string name = "80:sharp";
  double d_mm = 0.80;
  NeedlePoint point = NeedlePoint::sharp;
  double blade_mm = 24, shank_mm = 10, shank_d_mm = 2.0;
  double young_mpa = 205000;
  double groove = 0.65;  // second moment left by the groove
};

// The bench as it stands. Starts from the mount; the job's keys override.
struct Bench {
  double raise_mm = 0;  // in all, mount's own included
  double packing_mm = 0;
  bool has_clips = false, is_pressed = false;
  double tautness = 0.7;
  double foot_mm = 3.5;
  Needle needle;
  double speed_spm = 650;
  // Blocks where it pays may be sewn as slowly as this; 0: all at one speed (advise/pace.h).
  double slowest_spm = 0;
  std::vector<Layer> backing;  // one entry a layer
  int heads = 1, needles = 15;
  double turn_deg = 180;
  TurnedBy turned_by = TurnedBy::file;
};

// What a user may set, in a job file or a mount file: one place for readers and check().
namespace ranges {
inline constexpr base::Range kStiffness{0.3, 3};
inline constexpr base::Range kRaiseMm{0, 20};  // and packing; both together: the mount's limit
inline constexpr base::Range kTautness{0, 1};
inline constexpr base::Range kFootMm{0.5, 10};
inline constexpr base::Range kSpeedSpm{100, 1500};
inline constexpr base::Range kNeedleMm{0.4, 2};
inline constexpr base::Range kHoleMm{0.8, 10};
inline constexpr base::Range kHeads{1, 56}, kNeedles{1, 30};
inline constexpr base::Range kReadingX{-150, 150}, kReadingY{0, 200};  // mm on the chart
inline constexpr base::Range kReadingGap{0, 15}, kReadingSd{0.05, 3};  // mm
}  // namespace ranges

struct GapReading {
  double x_mm = 0, y_mm = 0, gap_mm = 0, sd_mm = 0.4;
};

struct Setup {
  Cap cap;
  Mount mount;
  Bench bench;
  std::vector<GapReading> readings;
  // The bench as it stood when the gaps were read; empty: the bench above. A change to the bench
  // has to leave this as it was, or the readings would cancel it: use `with_bench`.
  std::optional<Bench> read_with;
};

// The same cap, mount and readings on another bench.
Setup with_bench(const Setup& setup, Bench bench);

// The bench that a mount gives by itself.
Bench bench_of(const Mount& mount, const Needle& needle, std::vector<Layer> backing);
// What the needle goes through away from seams, from the top: the cap's layers (without the
// stiffener where the mount sews the cloth alone), their hardness times the cap's stiffness, then
// the backing.
std::vector<Layer> layers_of(const Setup& setup);
// Thickness of all of them, mm.
double stack_mm(const Setup& setup);
// Whether the front's seam lies under the needle: the cap has one and the mount keeps it.
bool has_seam(const Setup& setup);

// Whether a sewn-up front is mounted, with edges to clip and a seam and bill edge to press; else it
// is still cut panels, in a hoop.
bool is_sewn_up(const Mount& mount);
// The lowest that the foot may be set above the plate: 0.2 mm (estimate, from memory) clear of all
// layers, the seam's ridge and its tape, mm.
double lowest_foot_mm(const Setup& setup);
// Layers of backing that are usual under this front (common practice, no source).
std::size_t usual_backing(const Cap& cap);

// Whether the needle passes the mount's plate with room to spare; true where its hole is not known.
bool passes_hole(const Mount& mount, const Needle& needle);

// Throws Error{bad_job} naming key, value and range: what a user may set lies outside sense, plate
// and packing together are beyond what the mount allows, or the needle is too thick for the hole.
// Whoever puts a setup together calls it once; what reads the setup relies on it.
void check(const Setup& setup);

// Readers of data files. Throw Error{bad_data} naming file, key, value and range.
Cap read_cap(std::string_view toml, const std::string& where);
Cap read_cap(const base::Table& table);
Mount read_mount(std::string_view toml, const std::string& where);
Mount read_mount(const base::Table& table);
std::vector<Fabric> read_fabrics(std::string_view toml, const std::string& where);
std::vector<Needle> read_needles(std::string_view toml, const std::string& where);
// The needle of that name ("80:sharp"). Throws Error{unknown_name} with the nearest known one.
Needle find_needle(const std::vector<Needle>& needles, std::string_view name);
// The fabric of that name. Throws Error{unknown_name} with the nearest known one.
Fabric find_fabric(const std::vector<Fabric>& fabrics, std::string_view name);

}  // namespace buckram::cap
