// Page 2: the crown chart, the run strip, the worst places and what helps.
#include "report/chart_words.h"
#include "report/sheet.h"
#include "report/words.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace buckram::report {
namespace {

using geometry::Box;

constexpr double kPaperPx_mm = 0.205;  // one px of the look on paper

// A chart scaled to the width, or to the height where that is less; returns the y below.
double place_chart(Picture& picture, const Sheet& sheet, const Box& room, const ChartParts& parts,
                   const Box& window) {
  // Figures keep their size on paper: the frame's share is taken off before the scale is found.
  const double beside = parts.has_frame ? 88 * kPaperPx_mm : 0,
               above = parts.has_frame ? 59 * kPaperPx_mm : 0;
  const double scale =
      std::min((room.width() - beside) / window.width(), (room.height() - above) / window.height());
  Look look = print_look(sheet.rule, kPaperPx_mm / scale);
  look.land = land_colour(sheet.subject, look.paper);
  const ChartPicture chart = draw_chart(sheet.subject, sheet.terrain, look, parts, window);
  const double x = room.middle().x - chart.extent.middle().x * scale;
  picture.place(chart.picture, shift(x, room.y0 - chart.extent.y0 * scale, scale));
  return room.y0 + chart.extent.height() * scale;
}

Box hazard_window(const Sheet& sheet) {
  Box art = sheet.subject.artwork_box;
  for (int i = 0; i < sheet.subject.plan.size(); ++i) art.add(sheet.subject.plan.at(i));
  if (art.empty()) return sheet.terrain.window;
  const Box& w = sheet.terrain.window;
  return {std::max(w.x0, art.x0 - 14), std::max(w.y0, art.y0 - 6), std::min(w.x1, art.x1 + 14),
          std::min(w.y1, art.y1 + 6)};
}

// With a capital and a full stop.
std::string sentence(std::string words) {
  if (words.empty()) return words;
  if (words[0] >= 'a' && words[0] <= 'z') words[0] = static_cast<char>(words[0] - 'a' + 'A');
  if (words.back() != '.' && words.back() != '!') words += '.';
  return words;
}

// The how-manieth needle-down it is, as a machine counts: moves, trims and changes are none.
int stitch_number(const stitch::Plan& plan, int entry) {
  const auto end = plan.op.begin() + std::min(entry + 1, plan.size());
  return static_cast<int>(std::count(plan.op.begin(), end, stitch::Op::sew));
}

void draw_worst_list(Picture& picture, const Sheet& sheet, const Box& box,
                     const std::vector<Callout>& places) {
  const Look look = print_look(sheet.rule, 0.2646);
  const std::vector<needle::WorstPlace>& worst = sheet.subject.verdict.forecast->worst;
  double y = draw_paragraph(picture, box.x0, box.y0,
                            {{"First figure: how likely this one stitch is to break a needle, each "
                              "cap. Second: what the stitches within 5 mm of it add to the risk of "
                              "the whole design; places near each other share some.",
                              sans(2.45, kInk2)}},
                            {box.width(), 1.25, 2}, sheet.rule) +
             1;
  const double x = box.x0 + 7, width = box.width() - 7;
  for (std::size_t k = 0; k < places.size(); ++k) {
    Picture row;
    const std::string stitch = thousands(stitch_number(sheet.subject.plan, places[k].entry));
    const std::string odds = "stitch " + stitch + ": " + chance(worst[k].p) +
                             " a cap  ·  within 5 mm: " + percent(places[k].share) + " of the risk";
    double end = draw_paragraph(row, x, y, {{places[k].part, serif(3.3, kInk, 700)}},
                                {width, 1.2, 1}, sheet.rule);
    end = draw_paragraph(row, x, end, {{odds, sans(2.65, kInk2)}}, {width, 1.22, 1}, sheet.rule);
    std::vector<Run> words{{sentence(worst[k].why), sans(2.75)}};
    if (!worst[k].helps.empty())
      words.push_back({" " + sentence(worst[k].helps), sans(2.75, kInk, 600)});
    end = draw_paragraph(row, x, end, words, {width, 1.24, 4}, sheet.rule) + 1.1;
    if (end > box.y1) break;
    draw_pin(row, {box.x0 + 2.4, y + 2.2}, places[k].number, look, 8.5);
    picture.items.insert(picture.items.end(), row.items.begin(), row.items.end());
    y = end;
  }
}

void draw_lower(Picture& picture, const Sheet& sheet, double y, double foot,
                const std::vector<Callout>& places) {
  const double half = sheet.inner() * 0.57;
  draw_part_head(picture, sheet, sheet.left(), y, half, "WORST PLACES",
                 places.empty()      ? ""
                 : sheet.is_reworked ? "before the changes, and what helps"
                                     : "and what helps there");
  const double x = sheet.left() + half + 7, width = sheet.right() - x;
  draw_part_head(picture, sheet, x, y, width, "SHADED BY HAZARD",
                 sheet.is_reworked ? "before the changes" : "");
  if (!sheet.subject.verdict.forecast) {
    draw_paragraph(picture, sheet.left(), y + 6,
                   {{"No forecast was made for these stitches.", serif(3.6)}}, {half}, sheet.rule);
    return;
  }
  if (places.empty())
    draw_paragraph(picture, sheet.left(), y + 6,
                   {{"No place stands out from the rest.", serif(3.6)}}, {half}, sheet.rule);
  else
    draw_worst_list(picture, sheet, {sheet.left(), y + 6.4, sheet.left() + half, foot - 1}, places);
  ChartParts parts;
  parts.shading = Shading::hazard;
  parts.has_frame = parts.has_names = parts.has_callouts = false;
  const double below =
      place_chart(picture, sheet, {x, y + 7, x + width, foot - 11}, parts, hazard_window(sheet));
  const Look look = print_look(sheet.rule, 0.23);
  picture.place(draw_ramp(look, width), shift(x, below + 2));
}

// The trade's rules against this plan, in a line.
std::vector<Run> standing_words(const Sheet& sheet, double size_mm) {
  const advise::Verdict& v = sheet.subject.verdict;
  std::vector<Run> runs;
  std::string practice;
  for (const advise::PracticeRow& row : v.practice) {
    if (row.id != "T9" && row.id != "T10") continue;
    const std::string kept = row.kept ? " (kept)" : " (NOT kept)";
    practice += practice.empty() ? "Common practice: " : "; ";
    practice += row.id == "T9" ? "lowest stitch at least " + millimetres(row.limit) +
                                     " above the bill seam, here " + figure(row.value) + kept
                               : "design at most " + millimetres(row.limit) +
                                     " tall on rotary mounts, here " + figure(row.value) + kept;
  }
  if (!practice.empty()) runs.push_back({practice + ".", sans(size_mm, kInk2)});
  return runs;
}

// In a frame: the risk of this page is not that of page 1. Returns the y below.
double draw_before_banner(Picture& picture, const Sheet& sheet, double y) {
  const advise::Verdict& v = sheet.subject.verdict;
  if (!sheet.is_reworked || !v.forecast) return y;
  const double limit = v.limit_breaks_per_100;
  const std::string after =
      v.best_breaks_per_100
          ? " Changed as page 1 says: " + advise::breaks_in_words(*v.best_breaks_per_100, limit) +
                "."
          : "";
  const double end = draw_paragraph(
      picture, sheet.left() + 2.5, y + 1.2,
      {{"BEFORE THE CHANGES. ", sans(kNote_mm, kInk, 700)},
       {"The risk on this page is that of the bench as the job has it (" + as_asked(sheet) +
            "): " + advise::breaks_in_words(100 * v.forecast->breaks_per_cap, limit) + "." + after,
        sans(kNote_mm, kInk, 600)}},
      {sheet.inner() - 5, 1.3, 3}, sheet.rule);
  picture.stroke(rectangle(sheet.left(), y, sheet.inner(), end + 1 - y), {kInk, 0.5, {}, false});
  return end + 2.5;
}

// "Left out, 30 mm up, 6 mm left: 0.07 mm² is too small to sew".
std::string note_words(const advise::Note& note) {
  std::string words = note.kind == "left_out" ? "left out" : note.kind == "run" ? "run" : note.kind;
  const std::string own = own_name(note.source);
  if (!own.empty()) words += ", " + own;
  if (note.kind != "colour" && (note.at.x != 0 || note.at.y != 0)) {
    words += ", " + millimetres(note.at.y, 0) + " up";
    if (std::abs(note.at.x) >= 0.5)
      words += ", " + millimetres(std::abs(note.at.x), 0) + (note.at.x < 0 ? " left" : " right");
  }
  // "… mm wide, under 1.0 mm: thickened to that" would say the kind twice.
  return upper_first(words) + ": " + note.why.substr(0, note.why.find(": thickened"));
}

// What customers would miss first stands first; kinds that the artwork does not lose come last.
int rank_of(const advise::Note& note) {
  static constexpr std::array<std::string_view, 5> kKinds{"left_out", "skipped", "thickened", "run",
                                                          "colour"};
  const auto found = std::find(kKinds.begin(), kKinds.end(), note.kind);
  return static_cast<int>(found - kKinds.begin());
}

// The decisions about the artwork, a line each in two columns; returns the y below.
double draw_notes(Picture& picture, const Sheet& sheet, double y) {
  constexpr std::size_t kMost = 6;
  std::vector<advise::Note> notes = sheet.subject.verdict.notes;
  std::erase_if(notes, [](const advise::Note& n) { return n.source == "plan"; });
  if (notes.empty()) return y;
  std::stable_sort(notes.begin(), notes.end(), [](const advise::Note& a, const advise::Note& b) {
    return rank_of(a) < rank_of(b);
  });
  std::vector<std::string> lines;
  const std::size_t n_shown = notes.size() > kMost ? kMost - 1 : notes.size();
  for (std::size_t k = 0; k < n_shown; ++k) lines.push_back(note_words(notes[k]));
  if (n_shown < notes.size())
    lines.push_back("and " + thousands(static_cast<long long>(notes.size() - n_shown)) +
                    " more in verdict.json");
  const std::size_t columns = lines.size() > 1 ? 2 : 1,
                    rows = (lines.size() + columns - 1) / columns;
  const double gap = 6, width = (sheet.inner() - gap * static_cast<double>(columns - 1)) /
                                static_cast<double>(columns);
  const Type type = sans(kNote_mm * 0.94);
  const double step = 1.32 * type.size_mm;
  for (std::size_t k = 0; k < lines.size(); ++k) {
    const geometry::Point at{sheet.left() + static_cast<double>(k / rows) * (width + gap),
                             y + static_cast<double>(k % rows) * step + type.size_mm};
    picture.add(Text{at, sheet.rule.fitted(lines[k], type, width), type});
  }
  return y + static_cast<double>(rows) * step + 1.6;
}

}  // namespace

Picture chart_page(const Sheet& sheet) {
  Picture picture;
  const Subject& s = sheet.subject;
  double y = draw_sheet_head(picture, sheet, s.title.empty() ? s.artwork : s.title, 2);
  const double foot = draw_sheet_foot(picture, sheet, "page 1: set-up · page 3: template at 1:1");
  const std::vector<Callout> places = callouts(s, 6);
  const double strip_tall = 38, lower_tall = 84;
  y = draw_before_banner(picture, sheet, y);
  Picture notes;
  const double notes_tall = draw_notes(notes, sheet, 0);
  y = draw_part_head(picture, sheet, sheet.left(), y, sheet.inner(), "CROWN CHART",
                     "finished surface, seen from the front, bill below");
  const double chart_room = foot - y - strip_tall - lower_tall - 32 - notes_tall;
  y = place_chart(picture, sheet, {sheet.left(), y, sheet.right(), y + chart_room}, {},
                  sheet.terrain.window) +
      1.5;
  double key_tall = 0;
  Look look = print_look(sheet.rule, 0.215);
  look.land = land_colour(s, look.paper);
  const Picture key = draw_key(s, sheet.terrain, look, sheet.inner(), key_tall);
  picture.place(key, shift(sheet.left(), y));
  y = draw_paragraph(picture, sheet.left(), y + key_tall + 1.2, standing_words(sheet, kNote_mm),
                     {sheet.inner(), 1.32, 3}, sheet.rule) +
      2.2;
  picture.place(notes, shift(0, y - 1.4));
  y += notes_tall;
  const std::string time = sheet.timeline.empty()
                               ? ""
                               : figure(s.setup.bench.speed_spm, 0) + " a minute throughout, " +
                                     minutes_and_seconds(sheet.timeline.back()) + " of sewing";
  y = draw_part_head(picture, sheet, sheet.left(), y, sheet.inner(), "RUN STRIP", time);
  picture.place(draw_strip(sheet, sheet.inner(), strip_tall, places), shift(sheet.left(), y - 0.5));
  y += strip_tall + 0.5;
  draw_lower(picture, sheet, y, foot, places);
  return picture;
}

}  // namespace buckram::report
