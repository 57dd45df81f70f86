// How to set up the bench: each row with its reason, or with the change that would help most.
#include "report/sheet.h"
#include "report/words.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace buckram::report {
namespace {

std::string needle_numbers(const stitch::Plan& plan) {
  std::set<int> numbers;
  for (const stitch::Block& block : plan.blocks)
    numbers.insert(plan.threads[static_cast<std::size_t>(block.thread)].needle);
  std::string out;
  for (const int n : numbers) out += (out.empty() ? "" : ", ") + std::to_string(n);
  return out;
}

// "one layer of tear-away", "two layers: …".
std::string backing_words(const std::vector<cap::Layer>& backing) {
  if (backing.empty()) return "none";
  const bool is_same = std::all_of(backing.begin(), backing.end(),
                                   [&](const cap::Layer& l) { return l.name == backing[0].name; });
  const std::string count =
      backing.size() == 1 ? "one layer" : std::to_string(backing.size()) + " layers";
  if (is_same) return count + " of " + backing[0].name;
  std::string out = count + ": ";
  for (const cap::Layer& layer : backing)
    out += (&layer == backing.data() ? "" : ", ") + layer.name;
  return out;
}

// The rows of one bench.
struct RowMaker {
  const Sheet& sheet;
  const cap::Bench& bench;
  Type type;
  std::vector<BenchRow> rows;

  void add(std::string label, std::vector<Run> value, std::string reason) {
    rows.push_back({std::move(label), std::move(value), std::move(reason), false});
  }
  Run words(std::string text) const { return {std::move(text), type}; }
};

void add_plate(RowMaker& m) {
  const cap::Setup& setup = m.sheet.subject.setup;
  std::vector<Run> value;
  const double raise = m.bench.raise_mm, packing = m.bench.packing_mm;
  if (raise > 0)
    value = {m.words("raised " + millimetres(raise)), small_inches(raise, m.type)};
  else
    value = {m.words(setup.mount.kind == cap::MountKind::rotary ? "plain" : "as it is")};
  value.push_back(m.words(packing > 0 ? ", packed " + millimetres(packing) : ", no packing"));
  const Gaps& gaps = m.sheet.gaps;
  m.add("Plate", std::move(value),
        "gap under the stitches " + figure(gaps.mean_mm) + " mm, at most " + figure(gaps.most_mm));
}

void add_front(RowMaker& m) {
  const bool pressed = m.bench.is_pressed, clips = m.bench.has_clips;
  const std::string value = pressed && clips ? "press, then clip both edges"
                            : pressed        ? "press before mounting, no clips"
                            : clips          ? "clip both edges, not pressed"
                                             : "not pressed, no clips";
  m.add("Front", {m.words(value)},
        pressed || clips ? "flattens the seam, draws the cloth down" : "the crown as it comes");
}

void add_way_up(RowMaker& m) {
  const bool is_turned = std::abs(std::fmod(m.bench.turn_deg, 360)) > 90;
  const bool by_file = m.bench.turned_by == cap::TurnedBy::file;
  if (!is_turned) {
    m.add("Way up", {m.words("upright, bill towards you")},
          "no turn in the file: leave the machine’s turn off");
    return;
  }
  m.add("Way up", {m.words("bill up, as drawn")},
        by_file ? "the file is turned already: leave the machine’s turn off"
                : "the file is upright: set the machine’s half turn on");
}

// What to load, and how its count is checked against the machine's.
void add_file(RowMaker& m) {
  const Subject& s = m.sheet.subject;
  if (s.machine_file.empty()) {
    m.add("Load", {m.words("no machine file yet")},
          "make it: buckram convert PLAN.json --to gcode");
    return;
  }
  if (s.verdict.answer == advise::Answer::refuse) {
    m.add("Load", {m.words("nothing yet")}, s.machine_file + " is not to be sewn as it is");
    return;
  }
  const std::string count = count_of(stitch::count(s.plan).stitches, "stitch", "stitches");
  const bool is_slower = s.file_says_speed && (m.bench.speed_spm != s.setup.bench.speed_spm ||
                                               m.bench.slowest_spm != s.setup.bench.slowest_spm);
  m.add("Load", {{s.machine_file, sans(m.type.size_mm, kInk, 600)}, m.words(", " + count)},
        is_slower ? "it says " + figure(s.setup.bench.speed_spm, 0) +
                        " a minute: plan again with the changes, or set the speed by hand"
                  : "the machine must count as many");
}

void add_start(RowMaker& m) {
  const geometry::Point o = m.sheet.subject.setup.mount.origin;
  const bool has_seam = m.sheet.terrain.has_seam;
  const std::string line = has_seam ? "the seam" : "the centre line";
  std::vector<Run> value;
  if (std::abs(o.x) < 0.05)
    value.push_back(m.words("on " + line + ", " + millimetres(o.y)));
  else
    value.push_back(
        m.words(millimetres(std::abs(o.x)) + " beside " + line + ", " + millimetres(o.y)));
  value.push_back(small_inches(o.y, m.type));
  value.push_back(m.words(" up from the bill seam"));
  m.add("Start", std::move(value), "walk round the box first");
}

void add_needle(RowMaker& m) {
  const std::string numbers = needle_numbers(m.sheet.subject.plan);
  const bool is_structured = m.sheet.subject.setup.cap.is_structured;
  const bool is_sharp = m.bench.needle.point == cap::NeedlePoint::sharp;
  m.add("Needle",
        {{needle_words(m.bench.needle.name), sans(m.type.size_mm, kInk, 600)},
         m.words(", new" + (numbers.empty() ? "" : ", in " + numbers))},
        is_sharp && is_structured ? "a sharp point needs least push in a stiff front"
        : is_sharp                ? "a sharp point pierces the weave cleanly"
                                  : "a ball point parts the yarns of a knit");
}

void add_speed(RowMaker& m) {
  const Subject& s = m.sheet.subject;
  std::string words = figure(m.bench.speed_spm, 0) + " a minute";
  std::string note = s.verdict.per_cap ? "about " + duration(seconds_a_cap(m.sheet)) + " a cap"
                                       : "less motion while the point is in the cloth";
  const std::vector<advise::SlowRun> slow = advise::slow_runs(s.plan, m.bench.speed_spm);
  if (slow.size() == 1) {
    words += ", " + figure(slow[0].spm, 0) + " for stitches " + thousands(slow[0].first) + " to " +
             thousands(slow[0].last);
  } else if (!slow.empty()) {
    words += ", slower at " + count_of(static_cast<int>(slow.size()), "place", "places");
  }
  if (!slow.empty()) {
    if (!s.machine_file.empty())
      note +=
          s.file_says_speed ? "; the file slows by itself" : "; slow by hand, the file does not";
  } else if (m.bench.slowest_spm > 0 && s.setup.bench.slowest_spm != m.bench.slowest_spm) {
    words += ", down to " + figure(m.bench.slowest_spm, 0) + " where it pays";
    note = s.file_says_speed ? "plan again with the changes: the new file slows by itself"
                             : "slow by hand: the file does not";
  }
  m.add("Speed", {m.words(words)}, note);
}

std::vector<BenchRow> rows_of(const Sheet& sheet, const cap::Bench& bench, double size_mm) {
  RowMaker m{sheet, bench, sans(size_mm), {}};
  add_plate(m);
  add_front(m);
  m.add("Foot",
        {m.words(millimetres(bench.foot_mm)), small_inches(bench.foot_mm, m.type),
         m.words(" above the plate")},
        bench.raise_mm + bench.packing_mm > 0 ? "from the plate as it stands: set the plate first"
                                              : "just clear of the cloth at its thickest");
  add_needle(m);
  m.add("Backing", {m.words(backing_words(bench.backing))},
        sheet.subject.setup.cap.is_structured ? "the front is stiff by itself"
                                              : "carries the soft front");
  add_speed(m);
  if (std::abs(bench.tautness - sheet.subject.setup.mount.tautness) > 0.01)
    m.add("Mounting", {m.words("tautness " + figure(bench.tautness, 2) + " of 1")},
          "a taut front moves less");
  add_file(m);
  add_way_up(m);
  add_start(m);
  return m.rows;
}

// Without the inches, which say the same again.
std::string value_words(const BenchRow& row) {
  std::string words;
  for (const Run& run : row.value)
    if (!run.words.ends_with("\u00a0in")) words += run.words;
  return words;
}

const BenchRow* same_row(const std::vector<BenchRow>& rows, const BenchRow& row) {
  const auto found = std::find_if(rows.begin(), rows.end(),
                                  [&](const BenchRow& other) { return other.label == row.label; });
  return found == rows.end() ? nullptr : &*found;
}

// "80/12 sharp": what a changed row had, cut before what is the same on both benches.
std::string had_words(const BenchRow& asked) {
  const std::string words = value_words(asked);
  return words.substr(0, words.find(", new"));
}

}  // namespace

Gaps gaps_under(const stitch::Plan& plan, const cap::Setup& setup) {
  const cap::GapField field(setup);
  Gaps gaps;
  int n = 0;
  for (int i = 0; i < plan.size(); ++i) {
    if (plan.op[static_cast<std::size_t>(i)] != stitch::Op::sew) continue;
    const double gap = field.at(plan.at(i)).gap_mm;
    gaps.mean_mm += gap, gaps.most_mm = std::max(gaps.most_mm, gap), ++n;
  }
  if (n > 0) gaps.mean_mm /= n;
  return gaps;
}

std::vector<BenchRow> bench_rows(const Sheet& sheet, double size_mm) {
  std::vector<BenchRow> rows = rows_of(sheet, sheet.fit, size_mm);
  if (!sheet.is_reworked) return rows;
  const std::vector<BenchRow> asked = rows_of(sheet, sheet.subject.setup.bench, size_mm);
  for (BenchRow& row : rows) {
    const BenchRow* was = same_row(asked, row);
    if (was == nullptr || value_words(*was) == value_words(row)) continue;
    row.is_change = true;
    row.reason = "the job has " + had_words(*was);
    for (Run& run : row.value)
      if (run.type.size_mm == size_mm) run.type.weight = 700;
  }
  return rows;
}

std::string as_asked(const Sheet& sheet) {
  std::string out;
  if (!sheet.is_reworked) return out;
  const std::vector<BenchRow> asked = rows_of(sheet, sheet.subject.setup.bench, kBody_mm);
  for (const BenchRow& row : bench_rows(sheet, kBody_mm)) {
    const BenchRow* was = same_row(asked, row);
    if (!row.is_change || was == nullptr) continue;
    out += (out.empty() ? "" : "; ") + lower_first(row.label) + " " + had_words(*was);
  }
  return out;
}

double draw_bench(Picture& picture, const Sheet& sheet, const geometry::Box& box, double size_mm,
                  std::size_t first, std::size_t end) {
  const double pad = size_mm * 0.42, label = 6.2 * size_mm;
  const double value = (box.width() - label) * 0.5, reason = box.width() - label - value - 2;
  const std::vector<BenchRow> rows = bench_rows(sheet, size_mm);
  double y = box.y0;
  for (std::size_t k = first; k < std::min(end, rows.size()); ++k) {
    const BenchRow& row = rows[k];
    picture.stroke(line_between({box.x0, y}, {box.x1, y}), {kRule, 0.2, {}, false});
    draw_paragraph(picture, box.x0, y + pad, {{row.label, sans(size_mm, kInk, 600)}},
                   {label - 1, 1.3}, sheet.rule);
    const double a =
        draw_paragraph(picture, box.x0 + label, y + pad, row.value, {value, 1.3}, sheet.rule);
    const Type why = row.is_change ? sans(size_mm, kInk, 600) : sans(size_mm, kInk2);
    const double b = draw_paragraph(picture, box.x0 + label + value + 2, y + pad,
                                    {{(row.is_change ? "→ CHANGED: " : "") + row.reason, why}},
                                    {reason, 1.3}, sheet.rule);
    y = std::max(a, b) + pad;
  }
  return y;
}

}  // namespace buckram::report
