// Door of advise/: the verdict, what to change, what to offer instead, and verdict.json.
#pragma once

#include "advise/cap_time.h"
#include "advise/owned.h"
#include "advise/pace.h"

#include "base/base.h"
#include "cap/cap.h"
#include "needle/hazard.h"
#include "stitch/stitch.h"

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace buckram::advise {

enum class Answer { run, rework, refuse };
const char* name(Answer answer);

struct Coverage {
  double missed = 0, spilled = 0, left_out = 0;  // per cent of the artwork's area
};

struct PracticeRow {  // a trade rule, its value here and whether it is kept
  std::string id;
  std::string what;  // what is measured: "height of the design on rotary mounts"
  double value = 0, limit = 0;
  std::string unit;
  bool kept = true;
};

struct Change {       // differences to the plan as it stands, this change made alone
  std::string id;     // "bench.raise_mm=2": what --set takes
  std::string words;  // "Pack the plate up by 0.5 mm"
  std::string why;    // one sentence, with figures where there are any
  double breaks = 0;  // per 100 caps; negative: fewer
  double time_s = 0;  // a cap, setting up shared over the order; stops for breaks not counted
  std::optional<double> cost;  // money a cap; empty: the shop's prices are not known yet
  bool chosen = false;         // in the best set
  std::string caution;         // where it touches a machine
};

struct Offer {
  std::string artwork{};  // where several were asked about
  std::string cap, mount;
  std::vector<std::string> set;
  double height_mm = 0;
  geometry::Point at;
  bool fits = true;
  std::optional<double> breaks_per_100;
  std::optional<double> time_s;
  std::optional<double> tallest_mm;  // that fits there; told at the counter
  std::string why;
};

struct Note {
  std::string kind, source, why;
  geometry::Point at;
};

struct PerCap {
  CapTime time;
  int stitches = 0, trims = 0, thread_changes = 0;
  std::vector<double> needle_m;
  double bobbin_m = 0;
};

struct BreakRange {  // needle breaks per 100 caps; low to high holds 90 %
  double mean = 0, low = 0, high = 0;
};
BreakRange range_of(const needle::Forecast& forecast);

// What else could be had: a set of changes, what it leaves and what it takes. No set listed is
// better than another in both. From a screened forecast, on the scale of the full one.
struct TradeOff {
  std::vector<std::string> set;
  double breaks_per_100 = 0;
  double time_s = 0;  // a cap, more than as it stands; stops for breaks not counted
};

// Those that no other is better than in both, by time.
std::vector<TradeOff> front_of(std::vector<TradeOff> all);

// Changes that were made before this verdict was given, and how the job stood before them.
struct Applied {
  std::vector<Change> changes;  // each with what it does alone to the job as it stood
  BreakRange before;
  double time_before_s = 0;  // a cap
};

// The plan on the bench that a rework asks for: where it would still break, and the blocks' speeds.
struct AsSetUp {
  needle::Forecast forecast;      // with words, without drivers and interval
  std::vector<double> block_spm;  // of each block of the plan, as stitch::Block has it
};

struct Verdict {
  Answer answer = Answer::run;
  std::string sentence;  // for people: "As it stands, about 3 needle breaks per 100 caps ..."
  double limit_breaks_per_100 = 2;
  std::optional<needle::Forecast> forecast;  // empty: no plan was made
  std::optional<BreakRange> best;            // with the chosen changes
  std::optional<cap::Bench> best_bench;      // the bench with the chosen changes made
  std::optional<AsSetUp> as_set_up;          // of a rework that was not judged in brief
  std::optional<Coverage> coverage;
  std::optional<PerCap> per_cap;
  std::vector<PracticeRow> practice;
  std::vector<Change> changes;
  std::vector<TradeOff> trade_off;  // by time; the plan as it stands first, unless it is beaten
  std::optional<Applied> applied;   // --auto
  std::vector<Offer> offers;
  std::vector<Note> notes;
  std::vector<std::string> cautions;
};

struct JudgeOptions {
  double limit_breaks_per_100 = 2;
  int caps = 1;
  ShopTimes times{};
  std::vector<std::string> locked;  // changes not to be made: by id or key; objects by number
  std::uint64_t seed = 1;
  int draws = needle::ForecastOptions{}.draws;  // caps of every forecast
  Owned owned{};
  // Chooses the cheapest set also where the plan keeps the limit as it stands.
  bool improves = false;
  // Only what an offer says: no drivers, words, interval, block speeds or trade practice.
  bool in_brief = false;
};

// Seconds a cap of what is to be sewn: with the changes that a rework asks for, else as it stands.
// 0 where there is no plan.
double seconds_a_cap(const Verdict& verdict, const ShopTimes& times);

// Ids of the changes in the best set.
std::vector<std::string> chosen_ids(const Verdict& verdict);

// What the choice of block speeds needs of them.
PaceOptions pace_options(const JudgeOptions& options, int heads);

// Forecast, bench changes with their own effect, the best set, and the verdict.
//   run      the plan as it stands has at most the limit's expected breaks
//   rework   a set of bench changes gets there; the cheapest such set is `chosen`
//   refuse   none does; the set with the fewest breaks is `chosen`, and a note says that changes to
//            the stitches were not searched
// `practice_toml` is data/practice.toml, which only this report reads: no rule of the trade enters
// the verdict. Throws Error{bad_data} for a practice file that cannot be used, Error{cancelled}.
// Each change's own effect is forecast in full with the same caps: planning again with it alone
// gives the same figure (in brief it is the screen's, within about a tenth). Laws: no change is
// listed that costs breaks; locked changes are neither listed nor chosen; the plate is never raised
// or packed beyond the mount's max_raise_mm; same input, same verdict.
Verdict judge(const stitch::Plan& plan, const cap::Setup& setup, const needle::Mechanics& mechanics,
              const std::vector<cap::Needle>& needles, const JudgeOptions& options,
              std::string_view practice_toml, const base::Watch& watch = {});

// The keys that the ids of changes begin with: "bench.raise_mm", "stitch.style", ...
std::vector<std::string> change_keys();
// Whether the change of that id is among the locked ids and keys.
bool is_locked(const std::string& id, const std::vector<std::string>& locked);

// The cautions that hold always.
std::vector<std::string> standing_cautions();

// "about 3 needle breaks per 100 caps", "about 1.4 needle breaks a cap".
std::string breaks_in_words(double breaks_per_100);
// The same; a figure that would round to the limit gets the digits that tell it apart, and the
// limit beside it: "about 1.99 needle breaks per 100 caps (limit 2)".
std::string breaks_in_words(double breaks_per_100, double limit_per_100);
// The same with what is likely: "about 3 needle breaks per 100 caps, likely 1 to 7".
std::string breaks_in_words(const BreakRange& range, double limit_per_100);
// Whether the likely range of what is to be sewn, with the changes that a rework asks for, passes
// the limit. Of a verdict with a forecast.
bool may_pass_limit(const Verdict& verdict);
// Whether people are told of the change: what saves less than 0.01 breaks per 100 caps is not worth
// a line, unless the set-up that the verdict asks for needs it.
bool is_worth_telling(const Verdict& verdict, const Change& change);
// The figure alone, as people would say it: "3", "0.4", "160".
std::string figure(double value);

// verdict.json, version 1 (docs/files.md); numbers to 4 significant digits; null = not computed.
std::string write_verdict(const Verdict& verdict);
// {"buckram_offers":1,"offers":[...]} with the offers as verdict.json has them.
std::string write_offers(const std::vector<Offer>& offers);

}  // namespace buckram::advise
