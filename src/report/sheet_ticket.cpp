// Page 1: the cap, the verdict, the ticket, threads, the machine, the bench, care.
#include "report/sheet.h"
#include "report/sheet_changes.h"
#include "report/words.h"

#include "base/base.h"

#include <algorithm>
#include <cmath>

namespace buckram::report {
namespace {

using geometry::Box;

// A rework sheet speaks of the bench that it tells to set up, and of the job's own only after it.
std::string verdict_sentence(const Sheet& sheet) {
  const advise::Verdict& v = sheet.subject.verdict;
  if (!sheet.is_reworked || !v.best || !v.forecast) return v.sentence;
  const double limit = v.limit_breaks_per_100;
  return "Set up as below, " + advise::breaks_in_words(*v.best, limit) +
         ". Not as the job has it (" + as_asked(sheet) + "): that would be " +
         advise::breaks_in_words(100 * v.forecast->breaks_per_cap, limit) + ".";
}

// What the floor is to do; the verdict's own word stands in verdict.json ("rework" would be read
// as mending spoilt goods).
std::string stamp_words(advise::Answer answer) {
  switch (answer) {
    case advise::Answer::run:
      return "READY TO RUN";
    case advise::Answer::rework:
      return "CHANGE THE SET-UP";
    case advise::Answer::refuse:
      return "DO NOT START";
  }
  return "DO NOT START";
}

// The sentence with its count of breaks in bold.
std::vector<Run> verdict_runs(const Sheet& sheet, double size_mm) {
  const advise::Verdict& verdict = sheet.subject.verdict;
  const Type lead = serif(size_mm);
  std::string words = verdict_sentence(sheet);
  if (words.empty()) words = "No forecast was made for these stitches.";
  const std::size_t at = words.find("about ");
  const std::size_t end = at == std::string::npos ? at : words.find_first_of(",.;:(", at + 6);
  if (!verdict.forecast || end == std::string::npos) return {{words, lead}};
  // A point inside a figure does not end the phrase.
  std::size_t stop = end;
  while (stop != std::string::npos && words[stop] != ';' && stop + 1 < words.size() &&
         words[stop + 1] >= '0' && words[stop + 1] <= '9')
    stop = words.find_first_of(",.;:(", stop + 1);
  if (stop == std::string::npos) return {{words, lead}};
  return {{words.substr(0, at + 6), lead},
          {words.substr(at + 6, stop - at - 6), serif(size_mm, kInk, 700)},
          {words.substr(stop), lead}};
}

std::vector<Run> ticket_runs(const Sheet& sheet, double size_mm) {
  const Subject& s = sheet.subject;
  const Type plain = serif(size_mm, kInk2), bold = serif(size_mm, kInk, 700);
  const cap::Bench& bench = sheet.fit;
  const double tall = s.artwork_box.empty() ? 0 : s.artwork_box.height();
  const double wide = s.artwork_box.empty() ? 0 : s.artwork_box.width();
  const auto& names = s.setup;
  std::vector<Run> runs{
      {s.artwork.empty() ? "the artwork" : s.artwork, bold},
      {", ", plain},
      {millimetres(wide), bold},
      small_inches(wide, plain),
      {" wide, ", plain},
      {millimetres(tall), bold},
      small_inches(tall, plain),
      {" tall, on ", plain},
      {thousands(s.caps), bold},
      {" × ", plain},
      {lower_first(names.cap.title.empty() ? names.cap.name : names.cap.title), bold},
      {", in the ", plain},
      {lower_first(names.mount.title.empty() ? names.mount.name : names.mount.title), bold},
      {", needle ", plain},
      {needle_words(bench.needle.name), bold},
      {", at ", plain},
      {figure(bench.speed_spm, 0), bold},
      {" a minute.", plain}};
  int stitches = 0;
  for (const Visit& visit : sheet.visits) stitches += visit.stitches;
  const double seconds = seconds_a_cap(sheet);
  runs.push_back({" " + count_of(stitches, "stitch", "stitches") + ", about " + duration(seconds) +
                      " a cap with mounting.",
                  plain});
  return runs;
}

// What the count of breaks is held against, and whether the range passes it.
std::string limit_words(const Sheet& sheet) {
  const advise::Verdict& v = sheet.subject.verdict;
  return "Your limit: " + figure(v.limit_breaks_per_100, 2) + " per 100 caps" +
         (advise::may_pass_limit(v) ? "; it could be over. " : ". ");
}

// Stamp, verdict and ticket at the type's `share` of its full size; returns their height.
double draw_verdict_words(Picture& words, const Sheet& sheet, double width, double share) {
  const advise::Verdict& v = sheet.subject.verdict;
  Type stamp = sans(3.05, kInk, 700);
  stamp.tracking_em = 0.15;
  const std::string name = stamp_words(v.answer);
  const double stamp_wide = sheet.rule.width_mm(name, stamp) + 4.4;
  words.stroke(rectangle(0.2, 0.2, stamp_wide, 5.6), {kInk, 0.4, {}, false});
  words.add(Text{{0.2 + 2.2, 0.2 + 2.8 + 0.36 * stamp.size_mm}, name, stamp});
  double end = draw_paragraph(words, 0, 7.2, verdict_runs(sheet, kLead_mm * share),
                              {width, 1.32, 6}, sheet.rule);
  if (v.forecast)
    end = draw_paragraph(words, 0, end + 0.4 * share,
                         {{limit_words(sheet), sans(kNote_mm * share, kInk, 600)},
                          {"An estimate from mechanics, not yet from breaks that your shop logged: "
                           "trust comparisons before the level.",
                           sans(kNote_mm * share, kInk2)}},
                         {width, 1.3, 3}, sheet.rule);
  return draw_paragraph(words, 0, end + 1.6 * share, ticket_runs(sheet, 3.5 * share),
                        {width, 1.44, 8}, sheet.rule);
}

void draw_top(Picture& picture, const Sheet& sheet, double y, double tall) {
  const double wide = sheet.inner() * 0.36;
  const EngravedCap cap = engrave_cap(sheet.subject, base::radians(-31), base::radians(15), kWhite);
  const double scale = std::min(wide / cap.extent.width(), tall / cap.extent.height());
  const geometry::Point m = cap.extent.middle();
  picture.place(cap.picture,
                shift(sheet.left() + wide / 2 - m.x * scale, y + tall / 2 - m.y * scale, scale));

  const double x = sheet.left() + wide + 8, width = sheet.right() - x;
  // The largest type whose words fit beside the cap.
  for (double share = 1;; share -= 0.05) {
    Picture words;
    const double end = draw_verdict_words(words, sheet, width, share);
    if (end > tall && share > 0.6) continue;
    picture.place(words, shift(x, y + std::max(0.0, (tall - end) / 2)));
    return;
  }
}

// What would run instead: the nearest two.
std::string offered_words(const Sheet& sheet) {
  const std::vector<advise::Offer>& offers = sheet.subject.verdict.offers;
  std::string out;
  for (std::size_t k = 0; k < std::min<std::size_t>(offers.size(), 2); ++k)
    out += (k == 0 ? "It " : "; or it ") + offers[k].why;
  return out.empty() ? "Ask for another size, place, cap or mount." : out + ".";
}

// Why the artwork would not read as it is; empty where it would.
std::string unreadable_words(const advise::Verdict& verdict) {
  for (const advise::Note& note : verdict.notes)
    if (note.kind == "unreadable") return "Not at this size: " + note.why + ".";
  return "";
}

// What a refused order can try: the set that leaves the fewest breaks.
std::string refused_words(const Sheet& sheet) {
  std::string out;
  for (const advise::Change& change : sheet.subject.verdict.changes)
    if (change.chosen && advise::is_worth_telling(sheet.subject.verdict, change))
      out += out.empty() ? "Nearest on this bench: " + lower_first(change.words)
                         : "; " + lower_first(change.words);
  return (out.empty() ? "Nothing on this bench helps" : out) +
         ". Not enough for the shop’s limit. " + offered_words(sheet);
}

std::string before_words(const Sheet& sheet) {
  const Subject& s = sheet.subject;
  const std::string unread = unreadable_words(s.verdict);
  if (!unread.empty()) return unread;
  if (s.verdict.answer == advise::Answer::refuse) return refused_words(sheet);
  const double seconds = seconds_a_cap(sheet);
  const double breaks = breaks_a_cap(sheet) * s.caps;
  const int spare = spare_caps(breaks);
  // More spare caps than half the order is no advice to run it.
  std::string out =
      spare > std::max(3, s.caps / 2)
          ? "Do not start the order as it stands: about " + figure(std::ceil(breaks), 0) +
                " needle breaks to expect in it. "
          : "Have " + count_of(spare, "spare cap", "spare caps") +
                (s.caps == 1 ? ". " : " beside the order’s " + thousands(s.caps) + ". ");
  out += "The order takes about " + duration(seconds * s.caps);
  out += s.setup.bench.heads > 1 ? " on " + std::to_string(s.setup.bench.heads) + " heads. " : ". ";
  out += "Start a new needle after about eight hours’ sewing, or at the first burr.";
  if (!sheet.ticket.has_changes) out += " What each change does: page 4.";
  return out;
}

}  // namespace

// The worst place is the one to look at.
double draw_before(Picture& picture, const Sheet& sheet, double y) {
  y = draw_part_head(picture, sheet, sheet.left(), y, sheet.inner(), "BEFORE THE RUN");
  const double half = (sheet.inner() - 8) / 2;
  std::string lead = "Sew one cap first, and look at it in good light.";
  const std::vector<Callout> worst = callouts(sheet.as_set_up(), 1);
  if (sheet.subject.verdict.answer == advise::Answer::refuse) {
    lead = "Do not start this order as it stands.";
    if (unreadable_words(sheet.subject.verdict).empty())
      lead += " Page 2 shows where and why needles would break.";
  } else if (!worst.empty()) {
    lead = "Sew one cap first. The place to look at, in good light: " +
           lower_first(part_beside(worst[0]) + ", " + worst[0].where) + ".";
  }
  const double a = draw_paragraph(picture, sheet.left(), y - 0.6, {{lead, serif(4.0)}},
                                  {half, 1.32, 6}, sheet.rule);
  const double b =
      draw_paragraph(picture, sheet.left() + half + 8, y - 0.2,
                     {{before_words(sheet), sans(kBody_mm)}}, {half, 1.4, 14}, sheet.rule);
  return std::max(a, b);
}

Picture ticket_page(const Sheet& sheet) {
  Picture picture;
  const Subject& s = sheet.subject;
  const TicketLayout& t = sheet.ticket;
  double y = draw_sheet_head(picture, sheet, s.title.empty() ? s.artwork : s.title, 1);
  const std::string more = t.is_whole ? "" : " · page 4: more of the set-up";
  const double foot = draw_sheet_foot(
      picture, sheet, "page 2: chart and worst places · page 3: template at 1:1" + more);
  // From the foot up: care, before the run; the rest is shared by cap, threads and machine.
  picture.place(care_picture(sheet, 0, t.n_cautions).picture,
                shift(sheet.left(), foot - 4 - t.care_tall));
  Picture before;
  const double end = draw_before(before, sheet, 0);
  if (t.has_changes) draw_changes(before, sheet, end);
  const double low = foot - 4 - t.care_tall - t.before_tall - 1;
  picture.place(before, shift(0, low));

  const double table = thread_table_share(sheet, low - y - 4);
  draw_top(picture, sheet, y + 3, t.top_tall - 3);
  y = draw_thread_table(picture, sheet, y + t.top_tall + 1.5, table) + 3.5;
  const double half = sheet.inner() * 0.42, x = sheet.left() + half + 7;
  draw_part_head(picture, sheet, sheet.left(), y, half, "ON THE MACHINE");
  draw_on_machine(picture, sheet, {sheet.left(), y + 7, sheet.left() + half, low - 4});
  const std::size_t n_left = bench_rows(sheet, t.bench_size_mm).size() - t.n_bench_rows;
  draw_part_head(picture, sheet, x, y, sheet.right() - x, "SET UP THE BENCH",
                 n_left > 0 ? "goes on, on page 4" : "");
  draw_bench(picture, sheet, {x, y + 6.4, sheet.right(), low - 3}, t.bench_size_mm, 0,
             t.n_bench_rows);
  return picture;
}

}  // namespace buckram::report
