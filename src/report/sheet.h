// The run sheet's pages, and what they share.
#pragma once

#include "report/cap_view.h"
#include "report/chart.h"
#include "report/paragraph.h"
#include "report/parts.h"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace buckram::report {

// One stay at one thread: what is sewn between two thread changes.
struct Visit {
  int thread = 0;
  std::vector<int> objects;  // ids in sewing order, each once
  int stitches = 0;
  double sewn_mm = 0;      // thread lying on the cloth
  int first = 0, end = 0;  // entries
  double needle_m = 0;     // its share of the thread's use a cap
};
std::vector<Visit> visits(const stitch::Plan& plan, const std::vector<double>& needle_m);

// Gap under the stitches, mm.
struct Gaps {
  double mean_mm = 0, most_mm = 0;
};
Gaps gaps_under(const stitch::Plan& plan, const cap::Setup& setup);

// How page 1 shares its room. What finds none stands on a page of its own behind the template.
struct TicketLayout {
  double bench_size_mm = 3.3;                    // type of the bench's rows
  std::size_t n_bench_rows = 0, n_cautions = 0;  // on page 1
  std::size_t n_told = 3;                        // changes worth making that are told, at most
  bool has_changes = true;                       // the tables of changes stand on page 1
  bool is_whole = true;                          // all of that is on page 1
  double top_tall = 0, care_tall = 0, before_tall = 0;  // mm of the page's parts
};

// The job on the bench that a rework asks for: its gap, its speeds, and where it would still break.
struct SetUp {
  stitch::Plan plan;
  cap::Setup setup;
  advise::Verdict verdict;           // with that bench's forecast
  std::optional<Subject> subject{};  // of these
};
// Empty where the verdict asks for no other bench.
std::shared_ptr<const SetUp> set_up_of(const Subject& subject);

// What every page draws from.
struct Sheet {
  const Subject& subject;
  const TypeRule& rule;
  Terrain terrain;
  std::vector<Visit> visits;
  std::vector<double> timeline;  // s at the end of each entry
  PartNames names;
  // What the operator is to fit: the bench as the job has it, or with the best set of changes made
  // where the verdict is `rework`. All pages stand for it.
  cap::Bench fit;
  bool is_reworked = false;
  Gaps gaps{};  // on `fit`
  double width_mm = 210, height_mm = 297;
  std::shared_ptr<const SetUp> set_up{};  // where it is reworked
  TicketLayout ticket{};
  int n_pages = 3;

  const Subject& as_set_up() const { return set_up ? *set_up->subject : subject; }

  double left() const { return 14; }
  double right() const { return width_mm - 14; }
  double inner() const { return width_mm - 28; }
};
// Seconds a cap with mounting, and expected needle breaks a cap (0 without a forecast), for `fit`.
double seconds_a_cap(const Sheet& sheet);
double breaks_a_cap(const Sheet& sheet);
// Where `fit` differs from the job's bench, as the job has it: "needle 80/12 sharp, speed 650 a
// minute". Empty when nothing differs.
std::string as_asked(const Sheet& sheet);
Sheet open_sheet(const Subject& subject, const TypeRule& rule, Paper paper);

// The type of the sheet, in mm of paper.
inline constexpr double kTitle_mm = 6.6, kLead_mm = 4.7, kBody_mm = 3.3, kNote_mm = 2.8,
                        kHead_mm = 2.65;
Type serif(double size_mm, Colour colour = kInk, int weight = 400);
Type sans(double size_mm, Colour colour = kInk, int weight = 400);
// Inches beside millimetres, smaller.
Run small_inches(double mm, const Type& beside);

// Title, rule and page number; returns the y below. The foot with its rule; returns the y above.
double draw_sheet_head(Picture& picture, const Sheet& sheet, const std::string& title, int page);
double draw_sheet_foot(Picture& picture, const Sheet& sheet, const std::string& right_words);
// A rule with small capitals under it; returns the y below.
double draw_part_head(Picture& picture, const Sheet& sheet, double x, double y, double width,
                      const std::string& words, const std::string& note = "");

// A thread's colour with a hatch of its own, so that a copy in grey still tells threads apart.
void draw_swatch(Picture& picture, const geometry::Box& box, Colour thread, int index,
                 double pen_mm);

Picture ticket_page(const Sheet& sheet);
// What page 1 had no room for: page 4, and more where cautions take them; none where it had.
std::vector<Picture> more_pages(const Sheet& sheet);
Picture chart_page(const Sheet& sheet);
Picture template_page(const Sheet& sheet);

// Parts of the ticket page. Each draws from (x, y) and returns the y below.
double draw_thread_table(Picture& picture, const Sheet& sheet, double y, double most_tall);
// Height of the table where that room is to be shared with cap, machine and bench.
double thread_table_share(const Sheet& sheet, double room_mm);
// The cap as it sits before the operator, in a box `width` wide and at most `height` tall.
void draw_on_machine(Picture& picture, const Sheet& sheet, const geometry::Box& box);

struct BenchRow {
  std::string label;
  std::vector<Run> value;  // what to fit
  std::string reason;      // why, or what the job had there instead
  bool is_change = false;
};
std::vector<BenchRow> bench_rows(const Sheet& sheet, double size_mm);
// Rows `first` to `end` from the box's top; returns the y below.
double draw_bench(Picture& picture, const Sheet& sheet, const geometry::Box& box, double size_mm,
                  std::size_t first, std::size_t end);

// What to do before the run; from y down, returns the y below.
double draw_before(Picture& picture, const Sheet& sheet, double y);

// The cautions from `first` to `end` in a frame as wide as the page's inside, from the top left.
// They hold always: set in ink, never in the accent. Each in full, however long.
struct CarePicture {
  Picture picture;
  double tall = 0;
};
CarePicture care_picture(const Sheet& sheet, std::size_t first, std::size_t end);
std::vector<std::string> cautions_of(const Sheet& sheet);
// One past the last caution whose frame, begun with `first`, is at most so tall; at least one.
std::size_t cautions_within(const Sheet& sheet, std::size_t first, double most_tall);

// Where page 1's parts meet, of a sheet that is complete but for this.
TicketLayout lay_ticket(const Sheet& sheet);

// The job along time: hazard over thread band over minutes. Picture mm from (0, 0).
Picture draw_strip(const Sheet& sheet, double width_mm, double height_mm,
                   const std::vector<Callout>& places);

// Caps to have beside the order: one to try, and what breaks may cost nine times in ten when each
// spoils its cap. Expected breaks follow Poisson's law; above 50 of them the normal one.
int spare_caps(double expected_breaks);

}  // namespace buckram::report
