// How to set up the bench: each row with its reason, or with the change that would help most.
#include "report/sheet.h"
#include "report/words.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace buckram::report {
namespace {

std::string lower_first(std::string words) {
  if (words.size() > 1 && words[0] >= 'A' && words[0] <= 'Z' &&
      !(words[1] >= 'A' && words[1] <= 'Z'))
    words[0] = static_cast<char>(words[0] - 'A' + 'a');
  return words;
}

// "80:sharp" is "80 sharp".
std::string needle_words(const cap::Needle& needle) {
  std::string words = needle.name;
  std::replace(words.begin(), words.end(), ':', ' ');
  return words;
}

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

struct RowMaker {
  const Sheet& sheet;
  Type type;
  std::vector<BenchRow> rows;

  const cap::Bench& bench() const { return sheet.subject.setup.bench; }

  void add(std::string label, std::vector<Run> value, std::string reason,
           std::initializer_list<const char*> keys) {
    BenchRow row{std::move(label), std::move(value), std::move(reason), false};
    std::string todo;
    for (const advise::Change& change : sheet.subject.verdict.changes)
      for (const char* key : keys)
        if (change.chosen && change.id.starts_with(key))
          todo += (todo.empty() ? "" : "; ") +
                  (todo.empty() ? change.words : lower_first(change.words));
    if (!todo.empty()) row.reason = todo, row.is_change = true;
    rows.push_back(std::move(row));
  }
  Run words(std::string text) const { return {std::move(text), type}; }
};

void add_plate(RowMaker& m) {
  const cap::Setup& setup = m.sheet.subject.setup;
  const auto& forecast = m.sheet.subject.verdict.forecast;
  std::vector<Run> value;
  const double raise = m.bench().raise_mm, packing = m.bench().packing_mm;
  if (raise > 0)
    value = {m.words("raised " + millimetres(raise)), small_inches(raise, m.type)};
  else
    value = {m.words(setup.mount.kind == cap::MountKind::rotary ? "plain" : "as it is")};
  value.push_back(m.words(packing > 0 ? ", packed " + millimetres(packing) : ", no packing"));
  const std::string reason = forecast ? "gap under the stitches " + figure(forecast->gap_mean_mm) +
                                            " mm, at most " + figure(forecast->gap_max_mm)
                                      : "closes the gap under the cloth";
  m.add("Plate", std::move(value), reason, {"bench.raise_mm", "bench.packing_mm"});
}

void add_front(RowMaker& m) {
  const bool pressed = m.bench().is_pressed, clips = m.bench().has_clips;
  const std::string value = pressed && clips ? "press, then clip both edges"
                            : pressed        ? "press before mounting, no clips"
                            : clips          ? "clip both edges, not pressed"
                                             : "not pressed, no clips";
  m.add("Front", {m.words(value)},
        pressed || clips ? "flattens the seam, draws the cloth down" : "the crown as it comes",
        {"bench.clips", "bench.pressed", "bench.tautness"});
}

void add_way_up(RowMaker& m) {
  const bool is_turned = std::abs(std::fmod(m.bench().turn_deg, 360)) > 90;
  const bool by_file = m.bench().turned_by == cap::TurnedBy::file;
  if (!is_turned) {
    m.add("Way up", {m.words("upright, bill towards you")},
          "no turn in the file: leave the machine’s turn off", {});
    return;
  }
  m.add("Way up", {m.words("bill up, as drawn")},
        by_file ? "the file is turned already: leave the machine’s turn off"
                : "the file is upright: set the machine’s half turn on",
        {});
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
  m.add("Start", std::move(value), "walk round the box first", {});
}

}  // namespace

std::vector<BenchRow> bench_rows(const Sheet& sheet, double size_mm) {
  RowMaker m{sheet, sans(size_mm), {}};
  const cap::Bench& bench = m.bench();
  add_plate(m);
  add_front(m);
  m.add("Foot",
        {m.words(millimetres(bench.foot_mm)), small_inches(bench.foot_mm, m.type),
         m.words(" above the plate")},
        "just clear of the cloth at its thickest", {"bench.foot_mm"});
  const std::string numbers = needle_numbers(sheet.subject.plan);
  m.add(
      "Needle",
      {m.words(needle_words(bench.needle) + ", new" + (numbers.empty() ? "" : ", in " + numbers))},
      bench.needle.point == cap::NeedlePoint::sharp
          ? (sheet.subject.setup.cap.is_structured
                 ? "an acute point needs least push in a stiff front"
                 : "an acute point pierces the weave cleanly")
          : "a rounded point parts the yarns of a knit",
      {"bench.needle"});
  m.add("Backing", {m.words(backing_words(bench.backing))},
        sheet.subject.setup.cap.is_structured ? "the front is stiff by itself"
                                              : "carries the soft front",
        {"bench.backing"});
  const auto& per_cap = sheet.subject.verdict.per_cap;
  m.add("Speed", {m.words(figure(bench.speed_spm, 0) + " a minute")},
        per_cap ? "about " + duration(per_cap->time_s) + " a cap"
                : "less motion while the point is in the cloth",
        {"bench.speed_spm"});
  add_way_up(m);
  add_start(m);
  return m.rows;
}

double draw_bench(Picture& picture, const Sheet& sheet, const geometry::Box& box) {
  // The largest type whose rows fit the box.
  for (double size = kBody_mm;; size -= 0.2) {
    Picture drawn;
    const double pad = size * 0.42, label = 6.2 * size;
    const double value = (box.width() - label) * 0.5, reason = box.width() - label - value - 2;
    double y = box.y0;
    for (const BenchRow& row : bench_rows(sheet, size)) {
      drawn.stroke(line_between({box.x0, y}, {box.x1, y}), {kRule, 0.2, {}, false});
      const Setting setting{value, 1.3, 3};
      draw_paragraph(drawn, box.x0, y + pad, {{row.label, sans(size, kInk, 600)}},
                     {label - 1, 1.3, 1}, sheet.rule);
      const double a =
          draw_paragraph(drawn, box.x0 + label, y + pad, row.value, setting, sheet.rule);
      const Type why = row.is_change ? sans(size, kInk, 600) : sans(size, kInk2);
      const double b = draw_paragraph(drawn, box.x0 + label + value + 2, y + pad,
                                      {{(row.is_change ? "→ " : "") + row.reason, why}},
                                      {reason, 1.3, 4}, sheet.rule);
      y = std::max(a, b) + pad;
    }
    if (y > box.y1 && size > 2.2) continue;
    picture.items.insert(picture.items.end(), drawn.items.begin(), drawn.items.end());
    return y;
  }
}

}  // namespace buckram::report
