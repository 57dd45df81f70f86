// Which changes to the stitches to make: greedy with look-back, planning again for every set.
//
// A set of bench settings costs milliseconds to forecast; another way to sew costs a plan, about
// half a second. So every change is tried alone, the one that lowers the cost most is taken, then
// the one that lowers it most beside that, until none does; after each the ones taken before are
// tried without. Plans are kept, so that no set is planned twice, and a forecast looks up in the
// one before what a change leaves alone. Exact enumeration was left out: 2^10 plans. This folder
// cannot plan: job/ hands in how (`Replan`).
//
// Two bounds spare plans. A change can hardly take away more breaks than the stitches that it
// changes have (`most_share`): under kLeastGain of all it is never tried. And a change of one
// object that alone, on the job as it stands, saves less than kLeastGain or loses artwork is not
// tried again: what would help only beside another change is missed.
#pragma once

#include "advise/search.h"
#include "advise/verdict.h"

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace buckram::advise {

// Another way to sew the job: "stitch.row_spacing_mm=0.4". Of those with one key one is made.
struct Restitch {
  std::string id;
  std::string words;  // a verb first
  std::string why;
  bool is_of_object = false;  // changes the stitches of single objects only
  double most_share = 1;      // of the breaks as the job stands that it can take away at most
};

struct Sewn {
  stitch::Plan plan;
  Coverage coverage;
};
// The job planned anew with these ids set; empty where that gives no plan (out of reach, a limit
// broken). Asked from several threads at a time.
using Replan = std::function<std::optional<Sewn>(const std::vector<std::string>& ids)>;

struct RestitchProblem {
  std::vector<Restitch> changes;
  Replan replan;
  const needle::Mechanics& mechanics;
  JudgeOptions options;
};

// A set is passed over when it loses more of the artwork than this, in points of a per cent:
// missed and left out together, and spilled. 0.3 is what rounding the grid of the measure does.
inline constexpr double kMostLost = 0.3, kMostSpilled = 1.0;

class RestitchSearch {
 public:
  using Set = std::vector<int>;  // indices into changes, ascending

  // `standing`: the job as it stands.
  RestitchSearch(RestitchProblem problem, Sewn standing);

  // The best set on that bench, from `start`. Laws: never dearer than `start`; what is added saves
  // kLeastGain of the breaks, so that nothing is changed for its minutes alone; loses no more of
  // the artwork than allowed; the same for any number of threads. Throws Error{cancelled}; what
  // had been found by then is best_so_far().
  Set best_on(const cap::Setup& setup, Set start, const base::Watch& watch);
  const Set& best_so_far() const { return best_; }

  // What each change does alone on that bench: breaks a cap and seconds, as differences; empty
  // where it gives no plan. By index of changes.
  struct Effect {
    double breaks_per_cap = 0, time_s = 0;
    bool loses_artwork = false;
  };
  std::vector<std::optional<Effect>> alone_on(const cap::Setup& setup, const base::Watch& watch);

  // The plan of a set that has been tried; none where it gives none.
  const std::optional<Sewn>& sewn(const Set& set);
  std::vector<std::string> ids(const Set& set) const;
  int n_plans() const { return static_cast<int>(known_.size()); }

 private:
  struct Scored {
    Score score;
    double breaks_per_cap = 0;
  };
  void plan_all(const std::vector<Set>& sets, const base::Watch& watch);
  std::vector<std::optional<Scored>> scores(const std::vector<Set>& sets, const cap::Setup& setup,
                                            const base::Watch& watch);
  bool loses_artwork(const Coverage& coverage) const;
  std::vector<Set> one_more(const Set& set) const;
  std::vector<Set> next_to(const Set& set) const;
  void drop_idle(const std::vector<Set>& sets, const std::vector<std::optional<Scored>>& found,
                 const Scored& before);
  double forecast(const Sewn& sewn, const cap::Setup& setup);
  double seconds(const Sewn& sewn, const cap::Setup& setup) const;

  RestitchProblem problem_;
  std::map<Set, std::optional<Sewn>> known_;
  Coverage standing_;
  Set best_;
  std::vector<bool> is_idle_;  // by index of changes: not tried again
  needle::Forecast former_;    // the latest that was kept, for forecasts to look up in
};

}  // namespace buckram::advise
