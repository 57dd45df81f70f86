#include "job/offer_words.h"

#include <fmt/format.h>

#include <vector>

namespace buckram::job {
namespace {

// A change as a state of the bench: "bench.raise_mm=3" is "the plate raised 3 mm".
std::string bench_words(const advise::Change& change) {
  const std::string& id = change.id;
  const std::size_t equals = id.find('=');
  const std::string key = id.substr(0, equals);
  const std::string value = equals == std::string::npos ? "" : id.substr(equals + 1);
  if (key == "bench.pressed") return "the seam pressed";
  if (key == "bench.clips") return "both edges clipped";
  if (key == "bench.raise_mm") return "the plate raised " + value + " mm";
  if (key == "bench.packing_mm") return "the plate packed up " + value + " mm";
  if (key == "bench.foot_mm") return "the foot at " + value + " mm";
  if (key == "bench.needle" && change.words.starts_with("Use ")) return change.words.substr(4);
  if (key == "bench.slowest_spm")
    return "what breaks most needles slowed down to " + value + " a minute";
  if (key == "bench.speed_spm") return "the speed at " + value + " a minute";
  if (key == "bench.tautness") return "the cap mounted taut";
  if (key == "bench.backing") return "one layer of backing less";
  return id;
}

}  // namespace

std::string with_set(const advise::Verdict& verdict) {
  std::vector<std::string> states;
  for (const advise::Change& change : verdict.changes) {
    if (change.chosen) states.push_back(bench_words(change));
  }
  std::string words;
  for (std::size_t i = 0; i < states.size(); ++i) {
    words += i == 0 ? "with " : i + 1 == states.size() ? " and " : ", ";
    words += states[i];
  }
  return words;
}

std::string left_in_words(const advise::Verdict& verdict) {
  const double limit = verdict.limit_breaks_per_100;
  const std::string set = with_set(verdict);
  const double left = verdict.best ? verdict.best->mean : 100 * verdict.forecast->breaks_per_cap;
  std::string words = set + (set.empty() ? "" : ": ") + advise::breaks_in_words(left, limit);
  if (verdict.answer == advise::Answer::refuse)
    words += fmt::format(", over the limit of {}", advise::figure(limit));
  return words;
}

}  // namespace buckram::job
