// Page 2: the crown chart, the run strip, the worst places and what helps.
#include "report/chart_words.h"
#include "report/sheet.h"
#include "report/words.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numeric>

namespace buckram::report {
namespace {

using geometry::Box;

// Room for words from y down to the foot.
struct Column {
  double x = 0, y = 0, width = 0, foot = 0;
};

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

// What helps at two or more of the places, to be said once; the most frequent of them.
struct SharedHelp {
  std::string words;
  std::size_t n_places = 0;
};
SharedHelp shared_help(const Sheet& sheet, const std::vector<Callout>& places) {
  const std::vector<needle::WorstPlace>& worst = sheet.subject.verdict.forecast->worst;
  std::map<std::string, std::size_t> n_of;
  SharedHelp most;
  for (std::size_t k = 0; k < places.size(); ++k) {
    const std::size_t n = ++n_of[worst[k].helps];
    if (!worst[k].helps.empty() && n > 1 && n > most.n_places) most = {worst[k].helps, n};
  }
  return most;
}

// What the list's figures are, and the help that most places share; returns the y below.
double draw_list_head(Picture& picture, const Sheet& sheet, const Column& column,
                      const std::string& help, bool is_of_all) {
  std::vector<Run> runs{
      {"First figure: how likely this one stitch is to break a needle, each cap. "
       "Second: what the stitches within 5 mm of it add to the risk of the whole "
       "design; places near each other share some.",
       sans(2.45, kInk2)}};
  double y = draw_paragraph(picture, column.x, column.y, runs, {column.width, 1.25, 3}, sheet.rule);
  if (!help.empty())
    y = draw_paragraph(
        picture, column.x, y + 0.6,
        {{is_of_all ? "What helps at all of them: " : "What helps unless told: ", sans(2.75)},
         {sentence(help), sans(2.75, kInk, 600)}},
        {column.width, 1.24, 3}, sheet.rule);
  return y + 1;
}

// One place of the list from the top left, its type at `share` of the full size.
struct PlaceRow {
  Picture picture;
  double tall = 0;
};
PlaceRow place_row(const Sheet& sheet, const Callout& place, const needle::WorstPlace& worst,
                   double width, double share, bool tells_help) {
  PlaceRow row;
  const double x = 7 * share;
  const Setting title{width - x, 1.2, 2}, detail{width - x, 1.24, 9};
  const std::string stitch = thousands(stitch_number(sheet.subject.plan, place.entry));
  const std::string odds = "stitch " + stitch + ": " + chance(worst.p) +
                           " a cap  ·  within 5 mm: " + percent(place.share);
  double end = draw_paragraph(row.picture, x, 0, {{place.part, serif(3.3 * share, kInk, 700)}},
                              title, sheet.rule);
  end = draw_paragraph(row.picture, x, end, {{odds, sans(2.65 * share, kInk2)}}, title, sheet.rule);
  std::vector<Run> words{{sentence(worst.why), sans(2.75 * share)}};
  if (tells_help && !worst.helps.empty())
    words.push_back({" " + sentence(worst.helps), sans(2.75 * share, kInk, 600)});
  end = draw_paragraph(row.picture, x, end, words, detail, sheet.rule);
  draw_pin(row.picture, {2.4 * share, 2.2 * share}, place.number,
           print_look(sheet.rule, 0.2646 * share), 8.5);
  row.tall = end + 1.1 * share;
  return row;
}

struct PlaceList {
  Picture picture;
  std::size_t n_shown = 0;
};
// As many places as fit, one below the other, from column to column. Where some are left out the
// last column's last line says how many.
PlaceList flow_places(const Sheet& sheet, const std::vector<Callout>& places,
                      std::vector<Column> columns, double share) {
  PlaceList list;
  const SharedHelp help = shared_help(sheet, places);
  columns[0].y =
      draw_list_head(list.picture, sheet, columns[0], help.words, help.n_places == places.size());
  std::size_t at = 0;
  for (const Callout& place : places) {
    const needle::WorstPlace& worst = sheet.subject.verdict.forecast->worst[list.n_shown];
    for (; at < columns.size(); ++at) {
      Column& c = columns[at];
      const PlaceRow row =
          place_row(sheet, place, worst, c.width, share, worst.helps != help.words);
      if (c.y + row.tall > c.foot) continue;
      list.picture.place(row.picture, shift(c.x, c.y));
      c.y += row.tall;
      ++list.n_shown;
      break;
    }
    if (at == columns.size()) break;
  }
  return list;
}

void draw_hazard_chart(Picture& picture, const Sheet& sheet, Column& column, double most_tall) {
  ChartParts parts;
  parts.shading = Shading::hazard;
  parts.has_frame = parts.has_names = parts.has_callouts = false;
  const double below = place_chart(
      picture, sheet, {column.x, column.y, column.x + column.width, column.y + most_tall}, parts,
      hazard_window(sheet));
  const Look look = print_look(sheet.rule, 0.23);
  picture.place(draw_ramp(look, column.width), shift(column.x, below + 2));
  column.y = below + 2 + 42 * look.px_mm;
}

// The places on the left, the shaded chart on the right. What does not fit on the left goes on
// below the chart, which gives way to half the height, in type as small as 0.85 of the full size.
void draw_places_and_hazard(Picture& picture, const Sheet& sheet, const Column& left,
                            const Column& right, const std::vector<Callout>& places) {
  constexpr double kSmallest = 0.85, kRamp_mm = 10, kMore_mm = 4;
  Column below = right;
  Picture chart;
  draw_hazard_chart(chart, sheet, below, right.foot - right.y - kRamp_mm);
  PlaceList list = flow_places(sheet, places, {left, below}, 1);
  if (list.n_shown < places.size()) {
    chart = {};
    below = right;
    draw_hazard_chart(chart, sheet, below, 0.5 * (right.foot - right.y) - kRamp_mm);
  }
  for (double share = 1; list.n_shown < places.size() && share > kSmallest - 0.01; share -= 0.05) {
    Column shown_left = left;
    if (share < kSmallest + 0.01) shown_left.foot -= kMore_mm;
    list = flow_places(sheet, places, {shown_left, below}, share);
  }
  picture.place(chart, {});
  picture.place(list.picture, {});
  if (list.n_shown == places.size()) return;
  const std::size_t n_left = places.size() - list.n_shown;
  picture.add(Text{{left.x, left.foot - 0.6},
                   "and " + std::to_string(n_left) +
                       " more, ringed on the chart: verdict.json tells of " +
                       (n_left == 1 ? "it" : "them"),
                   sans(2.65, kInk2)});
}

void draw_lower(Picture& picture, const Sheet& sheet, double y, double foot,
                const std::vector<Callout>& places) {
  const double half = sheet.inner() * 0.57;
  draw_part_head(picture, sheet, sheet.left(), y, half, "WORST PLACES",
                 places.empty() ? "" : "and what helps there");
  const double x = sheet.left() + half + 7, width = sheet.right() - x;
  draw_part_head(picture, sheet, x, y, width, "SHADED BY HAZARD");
  if (!sheet.subject.verdict.forecast) {
    draw_paragraph(picture, sheet.left(), y + 6,
                   {{"No forecast was made for these stitches.", serif(3.6)}}, {half}, sheet.rule);
    return;
  }
  const Column left{sheet.left(), y + 6.4, half, foot - 1}, right{x, y + 7, width, foot - 1};
  if (!places.empty()) return draw_places_and_hazard(picture, sheet, left, right, places);
  draw_paragraph(picture, sheet.left(), y + 6, {{"No place stands out from the rest.", serif(3.6)}},
                 {half}, sheet.rule);
  Column below = right;
  draw_hazard_chart(picture, sheet, below, right.foot - right.y - 10);
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
    practice += row.id == "T9"
                    ? "lowest stitch " + millimetres(row.limit) +
                          " or more above the bill seam, here " + figure(row.value) + kept
                    : "height at most " + millimetres(row.limit) + " on rotary mounts, here " +
                          figure(row.value) + kept;
  }
  if (!practice.empty()) runs.push_back({practice + ".", sans(size_mm, kInk2)});
  return runs;
}

// In a frame, where the bench has to change: what this page stands for, and what it was before.
// Returns the y below.
double draw_banner(Picture& picture, const Sheet& sheet, double y) {
  const advise::Verdict& v = sheet.subject.verdict;
  if (!sheet.is_reworked || !v.forecast || !v.best) return y;
  const double limit = v.limit_breaks_per_100;
  const double end = draw_paragraph(
      picture, sheet.left() + 2.5, y + 1.2,
      {{"AS PAGE 1 SETS IT UP. ", sans(kNote_mm, kInk, 700)},
       {"The risk on this page is that of the changed bench: " +
            advise::breaks_in_words(v.best->mean, limit) + ". As the job has it (" +
            as_asked(sheet) +
            "): " + advise::breaks_in_words(100 * v.forecast->breaks_per_cap, limit) + ".",
        sans(kNote_mm, kInk, 600)}},
      {sheet.inner() - 5, 1.3, 6}, sheet.rule);
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

bool is_of_artwork(const advise::Note& note) {
  return note.source != "plan";
}

std::size_t n_notes(const Sheet& sheet) {
  const std::vector<advise::Note>& notes = sheet.subject.verdict.notes;
  return static_cast<std::size_t>(std::count_if(notes.begin(), notes.end(), is_of_artwork));
}

// What customers would miss first stands first; kinds that the artwork does not lose come last.
int rank_of(const advise::Note& note) {
  static constexpr std::array<std::string_view, 5> kKinds{"left_out", "skipped", "thickened", "run",
                                                          "colour"};
  const auto found = std::find(kKinds.begin(), kKinds.end(), note.kind);
  return static_cast<int>(found - kKinds.begin());
}

constexpr int kMostNoteLines = 8;  // in each of the two columns

// Which notes stand in which column, from their lines, when a column holds `most` of them. What
// finds no room is left out, and the second column's last line says so.
struct NoteLayout {
  std::vector<std::size_t> column;  // of each note told
  std::array<int, 2> lines{};       // taken
};
NoteLayout lay_notes(const std::vector<int>& lines, int most) {
  NoteLayout layout;
  std::size_t column = 0;
  for (std::size_t k = 0; k < lines.size(); ++k) {
    const int kept = k + 1 < lines.size() ? 1 : 0;  // for the count of those left out
    if (column == 0 && layout.lines[0] + lines[k] > most) column = 1;
    if (layout.lines[column] + lines[k] > (column == 1 ? most - kept : most)) break;
    layout.column.push_back(column);
    layout.lines[column] += lines[k];
  }
  return layout;
}

// The decisions about the artwork in two columns, each in full; returns the y below.
double draw_notes(Picture& picture, const Sheet& sheet, double y) {
  std::vector<advise::Note> notes = sheet.subject.verdict.notes;
  std::erase_if(notes, [](const advise::Note& n) { return !is_of_artwork(n); });
  if (notes.empty()) return y;
  std::stable_sort(notes.begin(), notes.end(), [](const advise::Note& a, const advise::Note& b) {
    return rank_of(a) < rank_of(b);
  });
  notes.resize(std::min(notes.size(), std::size_t{2 * kMostNoteLines + 1}));
  const double gap = 6;
  const double width = notes.size() == 1 ? sheet.inner() : (sheet.inner() - gap) / 2;
  const Type type = sans(kNote_mm * 0.94);
  const Setting setting{width, 1.32, kMostNoteLines};
  const double step = setting.leading * type.size_mm;
  std::vector<int> lines;
  for (const advise::Note& note : notes)
    lines.push_back(
        static_cast<int>(set_lines({{note_words(note), type}}, setting, sheet.rule).size()));
  int most = (std::accumulate(lines.begin(), lines.end(), 0) + 1) / 2;
  most = std::min(most, kMostNoteLines);
  NoteLayout layout = lay_notes(lines, most);
  while (layout.column.size() < lines.size() && most < kMostNoteLines)
    layout = lay_notes(lines, ++most);
  std::array<double, 2> at{y, y};
  const auto x_of = [&](std::size_t c) {
    return sheet.left() + static_cast<double>(c) * (width + gap);
  };
  for (std::size_t k = 0; k < layout.column.size(); ++k) {
    double& top = at[layout.column[k]];
    top = draw_paragraph(picture, x_of(layout.column[k]), top, {{note_words(notes[k]), type}},
                         setting, sheet.rule);
  }
  const std::size_t n_left = n_notes(sheet) - layout.column.size();
  if (n_left > 0) {
    picture.add(Text{{x_of(1), at[1] + type.size_mm},
                     "and " + thousands(static_cast<long long>(n_left)) + " more in verdict.json",
                     type});
    at[1] += step;
  }
  return std::max(at[0], at[1]) + 1.6;
}

// "650 a minute, slower at 2 places, 7 min 25 s of sewing".
std::string pace_words(const Sheet& sheet) {
  if (sheet.timeline.empty()) return "";
  const double spm = sheet.subject.setup.bench.speed_spm;
  const auto n = static_cast<int>(advise::slow_runs(sheet.subject.plan, spm).size());
  const std::string evenness =
      n > 0 ? ", slower at " + count_of(n, "place", "places") + ", " : " throughout, ";
  return figure(spm, 0) + " a minute" + evenness + minutes_and_seconds(sheet.timeline.back()) +
         " of sewing";
}

// `asked` is the sheet, `sheet` the same for the bench to set up.
Picture draw_page(const Sheet& asked, const Sheet& sheet) {
  Picture picture;
  const Subject& s = sheet.subject;
  double y = draw_sheet_head(picture, sheet, s.title.empty() ? s.artwork : s.title, 2);
  const double foot = draw_sheet_foot(picture, sheet, "page 1: set-up · page 3: template at 1:1");
  const std::vector<Callout> places = callouts(s, 6);
  const double strip_tall = 38, lower_tall = 84;
  y = draw_banner(picture, asked, y);
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
  y = draw_part_head(picture, sheet, sheet.left(), y, sheet.inner(), "RUN STRIP",
                     pace_words(sheet));
  picture.place(draw_strip(sheet, sheet.inner(), strip_tall, places), shift(sheet.left(), y - 0.5));
  y += strip_tall + 0.5;
  draw_lower(picture, sheet, y, foot, places);
  return picture;
}

}  // namespace

Picture chart_page(const Sheet& asked) {
  const Subject& s = asked.as_set_up();
  Sheet sheet{s,
              asked.rule,
              survey(s),
              asked.visits,
              stitch::timeline(s.plan, s.setup.bench.speed_spm, s.times.machine),
              asked.names,
              asked.fit};
  sheet.width_mm = asked.width_mm, sheet.height_mm = asked.height_mm;
  sheet.n_pages = asked.n_pages;
  return draw_page(asked, sheet);
}

}  // namespace buckram::report
