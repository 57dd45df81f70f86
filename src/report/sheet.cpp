#include "report/sheet.h"

#include "report/words.h"

#include "base/base.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace buckram::report {
namespace {

// A date that every sheet without one carries, so that its bytes depend on the plan alone.
constexpr const char* kNoDate = "2000-01-01T00:00:00Z";

bool is_iso_date(const std::string& date) {
  if (date.size() < 10) return false;
  for (std::size_t i = 0; i < 10; ++i) {
    const bool is_dash = i == 4 || i == 7;
    if (is_dash ? date[i] != '-' : date[i] < '0' || date[i] > '9') return false;
  }
  return true;
}

}  // namespace

Type serif(double size_mm, Colour colour, int weight) {
  return {Face::serif, size_mm, weight, false, colour, 0};
}

Type sans(double size_mm, Colour colour, int weight) {
  return {Face::sans, size_mm, weight, false, colour, 0};
}

Run small_inches(double mm, const Type& beside) {
  Type type = beside;
  type.size_mm *= 0.78;
  type.weight = 400;
  type.colour = kInk3;
  // A no-break space keeps the figure with its unit.
  return {" " + fixed(mm / base::kMmPerInch, 2) + "\u00a0in", type};
}

std::vector<Visit> visits(const stitch::Plan& plan, const std::vector<double>& needle_m) {
  std::vector<Visit> all;
  std::vector<double> weight(plan.threads.size(), 0);
  std::set<int> seen;  // objects of the visit
  for (const stitch::Block& block : plan.blocks) {
    if (all.empty() || all.back().thread != block.thread) {
      all.push_back({block.thread, {}, 0, 0, block.first, block.first, 0});
      seen.clear();
    }
    Visit& visit = all.back();
    if (seen.insert(block.object).second) visit.objects.push_back(block.object);
    visit.end = block.first + block.count;
    for (int i = block.first; i < visit.end; ++i) {
      visit.stitches += plan.op[static_cast<std::size_t>(i)] == stitch::Op::sew;
      if (stitch::has_thread(plan, i))
        visit.sewn_mm += geometry::distance(plan.at(i - 1), plan.at(i));
    }
  }
  // Each thread's metres are shared by length plus what every stitch takes through the cloth.
  const auto share = [](const Visit& v) { return v.sewn_mm + v.stitches; };
  for (const Visit& v : all) weight[static_cast<std::size_t>(v.thread)] += share(v);
  for (Visit& v : all) {
    const auto t = static_cast<std::size_t>(v.thread);
    if (t < needle_m.size() && weight[t] > 0) v.needle_m = needle_m[t] * share(v) / weight[t];
  }
  return all;
}

std::shared_ptr<const SetUp> set_up_of(const Subject& s) {
  const advise::Verdict& v = s.verdict;
  if (v.answer != advise::Answer::rework || !v.best_bench || !v.as_set_up) return nullptr;
  auto made = std::make_shared<SetUp>(SetUp{s.plan, cap::with_bench(s.setup, *v.best_bench), v});
  made->verdict.forecast = v.as_set_up->forecast;
  const std::vector<double>& spm = v.as_set_up->block_spm;
  for (std::size_t k = 0; k < std::min(spm.size(), made->plan.blocks.size()); ++k)
    made->plan.blocks[k].speed_spm = spm[k];
  made->subject.emplace(Subject{made->plan, made->setup, made->verdict, s.title, s.artwork,
                                s.customer, s.caps, s.artwork_box, s.machine_file,
                                s.file_says_speed, s.times, s.date});
  return made;
}

Sheet open_sheet(const Subject& subject, const TypeRule& rule, Paper paper) {
  std::vector<double> metres;
  if (subject.verdict.per_cap) metres = subject.verdict.per_cap->needle_m;
  if (metres.size() != subject.plan.threads.size())
    metres = stitch::thread_use(subject.plan, cap::stack_mm(subject.setup)).needle_m;
  Sheet sheet{subject,
              rule,
              survey(subject),
              visits(subject.plan, metres),
              stitch::timeline(subject.plan, subject.setup.bench.speed_spm, subject.times.machine),
              name_parts(subject.plan),
              subject.setup.bench};
  sheet.set_up = set_up_of(subject);
  if (sheet.set_up) sheet.fit = sheet.set_up->setup.bench, sheet.is_reworked = true;
  sheet.gaps = gaps_under(subject.plan, cap::with_bench(subject.setup, sheet.fit));
  if (paper == Paper::letter)
    sheet.width_mm = 8.5 * base::kMmPerInch, sheet.height_mm = 11 * base::kMmPerInch;
  sheet.ticket = lay_ticket(sheet);
  sheet.n_pages = 3 + static_cast<int>(more_pages(sheet).size());
  return sheet;
}

double seconds_a_cap(const Sheet& sheet) {
  const Subject& s = sheet.subject;
  if (s.verdict.per_cap) return advise::seconds_a_cap(s.verdict, s.times);
  return sheet.timeline.empty() ? 0 : sheet.timeline.back();
}

double breaks_a_cap(const Sheet& sheet) {
  const advise::Verdict& v = sheet.subject.verdict;
  if (sheet.is_reworked && v.best) return v.best->mean / 100;
  return v.forecast ? v.forecast->breaks_per_cap : 0;
}

double draw_sheet_head(Picture& picture, const Sheet& sheet, const std::string& title, int page) {
  const Subject& s = sheet.subject;
  const double base_line = page == 1 ? 19.5 : 18.5;
  std::string note = (s.customer.empty() ? "" : s.customer + " · ") +
                     count_of(s.caps, "cap", "caps") + " · run sheet, page " +
                     std::to_string(page) + " of " + std::to_string(sheet.n_pages);
  const Type big = serif(page == 1 ? kTitle_mm : kLead_mm), small = sans(kNote_mm, kInk2);
  const double title_wide = std::min(sheet.rule.width_mm(title, big), sheet.inner() * 0.62);
  note = sheet.rule.fitted(note, small, sheet.inner() - title_wide - 6);
  const double room = sheet.inner() - sheet.rule.width_mm(note, small) - 6;
  picture.add(Text{{sheet.left(), base_line}, sheet.rule.fitted(title, big, room), big});
  picture.add(Text{{sheet.right(), base_line}, note, small, Anchor::end});
  const double y = base_line + 3;
  picture.stroke(line_between({sheet.left(), y}, {sheet.right(), y}), {kBlack, 0.4, {}, false});
  return y;
}

double draw_sheet_foot(Picture& picture, const Sheet& sheet, const std::string& right_words) {
  const double y = sheet.height_mm - 12.5;
  picture.stroke(line_between({sheet.left(), y}, {sheet.right(), y}), {kRule, 0.2, {}, false});
  const Type small = sans(kNote_mm, kInk2);
  // Without the plan's own date there is a blank to write one in: no clock reaches the bytes.
  const std::string date = is_iso_date(sheet.subject.date)
                               ? "plan of " + sheet.subject.date.substr(0, 10)
                               : "date ____________________";
  picture.add(Text{{sheet.left(), y + 4}, "Buckram · " + date, small});
  picture.add(Text{{sheet.right(), y + 4}, right_words, small, Anchor::end});
  return y;
}

double draw_part_head(Picture& picture, const Sheet& sheet, double x, double y, double width,
                      const std::string& words, const std::string& note) {
  picture.stroke(line_between({x, y}, {x + width, y}), {kBlack, 0.4, {}, false});
  Type type = sans(kHead_mm, kInk, 600);
  type.tracking_em = 0.09;
  const double base_line = y + 4;
  picture.add(Text{{x, base_line}, words, type});
  if (!note.empty()) {
    const Type small = sans(kNote_mm, kInk2);
    const double room = width - sheet.rule.width_mm(words, type) - 4;
    picture.add(
        Text{{x + width, base_line}, sheet.rule.fitted(note, small, room), small, Anchor::end});
  }
  return y + 6;
}

void draw_swatch(Picture& picture, const geometry::Box& box, Colour thread, int index,
                 double pen_mm) {
  picture.fill(rectangle(box.x0, box.y0, box.width(), box.height()), thread);
  // Direction and pitch by index; every ninth repeats. The third is plain.
  struct Hatch {
    double turn_deg, pitch_mm;
    bool is_crossed;
  };
  constexpr Hatch kHatches[] = {{45, 1.3, false}, {90, 1.3, false},  {0, 0, false},
                                {0, 1.2, false},  {-45, 1.3, false}, {45, 2.0, true},
                                {90, 2.4, false}, {0, 1.6, true},    {-45, 2.4, false}};
  const Hatch hatch = kHatches[static_cast<std::size_t>(index) % 9];
  Path lines;
  const auto rule_across = [&](double turn_deg) {
    const double turn = base::radians(turn_deg), reach = box.width() + box.height();
    const geometry::Point along{std::cos(turn), std::sin(turn)}, across{-along.y, along.x};
    for (double t = -reach; t <= reach; t += hatch.pitch_mm)
      lines.segment(box.middle() + across * t - along * reach,
                    box.middle() + across * t + along * reach);
  };
  if (hatch.pitch_mm > 0) {
    rule_across(hatch.turn_deg);
    if (hatch.is_crossed) rule_across(hatch.turn_deg + 90);
    const bool is_dark = luminance(thread) < 0.2;
    picture.add(Open{{}, rectangle(box.x0, box.y0, box.width(), box.height()), 1, {}});
    picture.stroke(
        std::move(lines),
        {with_opacity(is_dark ? kWhite : kBlack, is_dark ? 0.6 : 0.5), pen_mm, {}, false});
    picture.add(Close{});
  }
  picture.stroke(rectangle(box.x0, box.y0, box.width(), box.height()), {kBlack, 0.25, {}, false});
}

int spare_caps(double expected) {
  if (!(expected > 0)) return 1;
  if (expected > 50)
    return 1 + static_cast<int>(std::ceil(expected + 1.2816 * std::sqrt(expected)));
  double term = std::exp(-expected), sum = term;
  int n = 0;
  while (sum < 0.9 && n < 1000) term *= expected / ++n, sum += term;
  return 1 + n;
}

std::string sheet_pdf(const Subject& subject, Paper paper) {
  const TypeRule rule;
  const Sheet sheet = open_sheet(subject, rule, paper);
  std::vector<PdfPage> pages;
  std::vector<Picture> drawn{ticket_page(sheet), chart_page(sheet), template_page(sheet)};
  for (Picture& more : more_pages(sheet)) drawn.push_back(std::move(more));
  for (Picture& page : drawn) pages.push_back({sheet.width_mm, sheet.height_mm, std::move(page)});
  const std::string title = subject.title.empty() ? subject.artwork : subject.title;
  std::string created = kNoDate;
  if (is_iso_date(subject.date)) created = subject.date.substr(0, 10) + "T00:00:00Z";
  return write_pdf(pages, {"Run sheet: " + title, created});
}

}  // namespace buckram::report
