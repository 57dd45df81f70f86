#include "advise/words.h"

#include <fmt/format.h>

#include <array>
#include <cmath>

namespace buckram::advise {
namespace {

// What a count of needles is told per: caps, and the words for it.
struct Per {
  double caps;
  const char* words;
};

// Small chances are told per more caps, so that nobody reads "0.003 needle breaks".
Per per_for(double breaks_per_100) {
  if (breaks_per_100 >= 95) return {1, "a cap"};
  if (breaks_per_100 >= 0.095) return {100, "per 100 caps"};
  return {10'000, "per 10,000 caps"};
}

std::string needles(double breaks_per_100, const Per& per,
                    const std::string& shown_otherwise = {}) {
  const double count = breaks_per_100 * per.caps / 100;
  if (per.caps == 10'000 && count < 0.95) return "fewer than 1 needle break";
  const std::string shown = shown_otherwise.empty() ? figure(count) : shown_otherwise;
  return fmt::format("about {} needle break{}", shown, shown == "1" ? "" : "s");
}

std::string number_word(int n) {
  static constexpr std::array kWords{"No",   "One", "Two",   "Three", "Four",
                                     "Five", "Six", "Seven", "Eight", "Nine"};
  return n < static_cast<int>(kWords.size()) ? kWords[static_cast<std::size_t>(n)]
                                             : fmt::format("{}", n);
}

// The figure with as many digits as tell it from the limit; empty where people's digits do.
std::string figure_near(double count, double limit) {
  if (count == limit || figure(count) != figure(limit)) return {};
  std::string shown;
  for (int digits = 3; digits <= 7; ++digits) {
    shown = fmt::format("{:.{}g}", count, digits);
    if (shown != fmt::format("{:.{}g}", limit, digits)) break;
  }
  return shown;
}

// "about 3 needle breaks per 100 caps (limit 2), likely 1 to 7"
std::string standing_with_range(const Verdict& verdict) {
  return breaks_in_words(range_of(*verdict.forecast), verdict.limit_breaks_per_100);
}

int n_chosen(const Verdict& verdict) {
  int n = 0;
  for (const Change& change : verdict.changes) n += change.chosen;
  return n;
}

}  // namespace

std::string figure(double value) {
  if (!(value > 0)) return "0";
  const int digits = value < 2.45 && value >= 1 ? 2 : value < 95 ? (value < 9.5 ? 1 : 2) : 2;
  const double step = std::pow(10, std::floor(std::log10(value)) - digits + 1);
  return fmt::format("{:.10g}", std::round(value / step) * step);
}

std::string breaks_in_words(double breaks_per_100) {
  const Per per = per_for(breaks_per_100);
  return fmt::format("{} {}", needles(breaks_per_100, per), per.words);
}

std::string breaks_in_words(double breaks_per_100, double limit_per_100) {
  const Per per = per_for(breaks_per_100);
  const double scale = per.caps / 100;
  const std::string near = figure_near(breaks_per_100 * scale, limit_per_100 * scale);
  const std::string words = fmt::format("{} {}", needles(breaks_per_100, per, near), per.words);
  if (near.empty()) return words;
  return fmt::format("{} (limit {:.10g})", words, limit_per_100 * scale);
}

std::string breaks_in_words(const BreakRange& range, double limit_per_100) {
  const double scale = per_for(range.mean).caps / 100;
  return fmt::format("{}, likely {} to {}", breaks_in_words(range.mean, limit_per_100),
                     figure(range.low * scale), figure(range.high * scale));
}

BreakRange range_of(const needle::Forecast& forecast) {
  return {100 * forecast.breaks_per_cap, 100 * forecast.low, 100 * forecast.high};
}

bool may_pass_limit(const Verdict& verdict) {
  if (verdict.answer == Answer::refuse) return false;
  const bool is_changed = verdict.answer == Answer::rework && verdict.best;
  const BreakRange range = is_changed ? *verdict.best : range_of(*verdict.forecast);
  return range.high > verdict.limit_breaks_per_100;
}

bool is_worth_telling(const Verdict& verdict, const Change& change) {
  constexpr double kLeast = 0.01;  // breaks per 100 caps
  return change.breaks <= -kLeast || (change.chosen && verdict.answer == Answer::rework);
}

std::string sentence_of(const Verdict& verdict) {
  if (verdict.answer == Answer::run) {
    return fmt::format("Ready to run: {}.", standing_with_range(verdict));
  }
  const int n = n_chosen(verdict);
  const BreakRange best = verdict.best.value_or(range_of(*verdict.forecast));
  if (verdict.answer == Answer::rework) {
    return fmt::format("As it stands, {}. {} change{} {} it to {}.", standing_with_range(verdict),
                       number_word(n), n == 1 ? "" : "s", n == 1 ? "brings" : "bring",
                       breaks_in_words(best, verdict.limit_breaks_per_100));
  }
  const std::string left = n == 0
                               ? "Nothing on the bench helps"
                               : fmt::format("The best the bench can do leaves {}",
                                             breaks_in_words(best, verdict.limit_breaks_per_100));
  return fmt::format("Not with this design as it is: {}. {}; the limit is {} per 100 caps.",
                     standing_with_range(verdict), left, figure(verdict.limit_breaks_per_100));
}

}  // namespace buckram::advise
