#include "face.h"

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cmath>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <unistd.h>

namespace buckram::app {
namespace {

namespace fs = std::filesystem;

// The one place where a signal has to meet the program. The first asks the work to stop, which
// leaves nothing half written; the next of its kind ends the program as usual. Asked to end, it is
// not asked to go on by a Ctrl-C afterwards.
base::StopFlag interrupted{false};
std::atomic<int> last_signal{0};
static_assert(std::atomic<int>::is_always_lock_free);
void on_interrupt(int signal) {
  if (last_signal.load() != SIGTERM) last_signal.store(signal);
  interrupted.store(true);
  std::signal(signal, SIG_DFL);
}

bool bar_is_drawn = false;

void draw_bar(std::string_view stage, double share) {
  constexpr int kWidth = 24;
  const int full = static_cast<int>(share * kWidth);
  const std::string bar = std::string(static_cast<std::size_t>(full), '=') +
                          std::string(static_cast<std::size_t>(kWidth - full), ' ');
  std::fputs(fmt::format("\r[{}] {:<40.40}", bar, stage).c_str(), stderr);
  std::fflush(stderr);
  bar_is_drawn = true;
}

fs::path program() {
  std::error_code trouble;
  return fs::read_symlink("/proc/self/exe", trouble);
}

// As the sheet rounds it.
std::string minutes(double seconds) {
  if (seconds < 59.5) return fmt::format("{:.0f} s", seconds);
  return fmt::format("{:.0f} min", seconds / 60);
}

// "1 trim", "2 trims".
std::string counted(int n, std::string_view what) {
  return fmt::format("{} {}{}", n, what, n == 1 ? "" : "s");
}

// "your limit: 2 per 100 caps", and whether the range passes it.
std::string limit_words(const advise::Verdict& verdict) {
  return fmt::format("your limit: {:.10g} per 100 caps{}", verdict.limit_breaks_per_100,
                     advise::may_pass_limit(verdict) ? "; it could be over" : "");
}

// Where to look for what the note tells of: by the element's name, or by its place where it has
// none that a person gave it ("path[3]", "g12") and its place is known.
std::string place_of(const advise::Note& note) {
  const std::string& s = note.source;
  const bool is_numbered = !s.empty() &&
                           (s.back() == ']' || (s.back() >= '0' && s.back() <= '9')) &&
                           s.find(' ') == std::string::npos;
  if (!is_numbered || (note.at.x == 0 && note.at.y == 0)) return s;
  return fmt::format("{:.0f} mm {}, {:.0f} mm up", std::abs(note.at.x),
                     note.at.x < 0 ? "left" : "right", note.at.y);
}

// "; about 3 needle breaks per 100 caps as the bench stands"; the changes, and what is left with
// them or without any, are told in `why`.
std::string cost_of(const advise::Offer& offer) {
  if (!offer.breaks_per_100 || offer.set.empty()) return "";
  return fmt::format("; {} as the bench stands", advise::breaks_in_words(*offer.breaks_per_100));
}

// Nobody may take the stitches of a refused plan for ready, nor look for files that are not there.
std::string where_written(const advise::Verdict& verdict, const std::string& folder) {
  if (verdict.answer != advise::Answer::refuse) return "written to " + folder;
  return verdict.per_cap
             ? fmt::format("written to {}, to be looked at: do not sew it as it is", folder)
             : fmt::format(
                   "verdict.json written to {}; no stitches were planned, and none of an "
                   "earlier plan are left there",
                   folder);
}

// BUCKRAM_SHOP, which must then be there, else shop.toml in the working folder if there is one.
std::string shop_file() {
  if (const char* given = std::getenv("BUCKRAM_SHOP")) return given;
  std::error_code trouble;
  return fs::exists("shop.toml", trouble) ? "shop.toml" : "";
}

}  // namespace

job::DataFolder find_data() {
  std::vector<fs::path> candidates;
  if (const char* given = std::getenv("BUCKRAM_DATA")) {
    candidates = {given};
  } else {
    candidates = {program().parent_path() / "../share/buckram", BUCKRAM_SOURCE_DATA};
  }
  for (const fs::path& path : candidates) {
    std::error_code trouble;  // a path that the disk refuses is no data folder either
    if (!fs::is_directory(path / "caps", trouble)) continue;
    const fs::path whole = fs::weakly_canonical(path, trouble);
    return {(trouble ? path : whole).string(), shop_file()};
  }
  throw base::Error{base::ErrorCode::cannot_read, "holds no caps, mounts and threads",
                    candidates.front().string(), "Set BUCKRAM_DATA to the folder of shipped data"};
}

base::Watch watch_for(const Talk& talk) {
  std::signal(SIGINT, on_interrupt);
  std::signal(SIGTERM, on_interrupt);
  base::Watch watch;
  watch.stop = &interrupted;
  if (!talk.is_quiet && !talk.is_json && isatty(STDERR_FILENO) != 0) {
    const auto start = std::chrono::steady_clock::now();
    watch.report = [start](std::string_view stage, double share) {
      const std::chrono::duration<double> passed = std::chrono::steady_clock::now() - start;
      if (passed.count() > 0.5) draw_bar(stage, share);
    };
  }
  return watch;
}

int stopping_signal() {
  return last_signal.load();
}

bool goes_on_after_interrupt() {
  if (last_signal.load() != SIGINT) return false;
  last_signal.store(0);
  interrupted.store(false);
  std::signal(SIGINT, on_interrupt);
  return true;
}

void end_progress() {
  if (bar_is_drawn) std::fputs(fmt::format("\r{:70}\r", "").c_str(), stderr);
  bar_is_drawn = false;
}

std::string length_words(double mm) {
  return fmt::format("{:.0f} mm ({:.2f} in)", mm, mm / base::kMmPerInch);
}

void print_changes(const advise::Verdict& verdict) {
  constexpr int kMost = 6;
  int n_told = 0;
  for (const advise::Change& change : verdict.changes) {
    const bool is_one_too_many = n_told >= kMost && !change.chosen;
    if (!advise::is_worth_telling(verdict, change) || is_one_too_many) continue;
    if (n_told++ == 0) fmt::print("\n  breaks per 100 caps   what to change\n");
    fmt::print("  {:>19.2g}   {}{}\n", change.breaks, change.words,
               change.chosen ? "  (in the best set)" : "");
  }
}

// Those of this job; the standing ones are on the sheet and in verdict.json.
void print_cautions(const advise::Verdict& verdict) {
  const std::vector<std::string> standing = advise::standing_cautions();
  for (const std::string& each : verdict.cautions) {
    if (std::find(standing.begin(), standing.end(), each) == standing.end())
      fmt::print("  take care: {}\n", each);
  }
}

// What --auto changed, and what it changed from.
void print_applied(const advise::Verdict& verdict) {
  if (!verdict.applied) return;
  const advise::Applied& applied = *verdict.applied;
  fmt::print("\n  before: {}, about {} a cap\n",
             advise::breaks_in_words(applied.before, verdict.limit_breaks_per_100),
             minutes(applied.time_before_s));
  bool is_any = false;
  for (const advise::Change& change : applied.changes) {
    if (!change.chosen) continue;
    if (!is_any) fmt::print("  breaks per 100 caps, each alone   what was changed\n");
    is_any = true;
    fmt::print("  {:>33.2g}   {}\n", change.breaks, change.words);
    if (!change.caution.empty()) fmt::print("  {:>33}   {}\n", "", change.caution);
  }
  if (!is_any) fmt::print("  nothing was changed: nothing that may be changed saves enough\n");
}

std::string answer_word(advise::Answer answer) {
  std::string word = advise::name(answer);
  for (char& c : word) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  return word;
}

void print_verdict(const job::Resolved& job, const advise::Verdict& verdict,
                   const std::string& folder, const Talk& talk) {
  if (talk.is_json) {
    std::fputs(advise::write_verdict(verdict).c_str(), stdout);
    return;
  }
  if (talk.is_quiet) return;
  fmt::print("{}  {}\n", answer_word(verdict.answer), verdict.sentence);
  if (verdict.forecast) fmt::print("      {}\n", limit_words(verdict));
  fmt::print("      {}, {}\n", job.setup.cap.title, job.setup.mount.title);
  if (verdict.per_cap) {
    const advise::PerCap& each = *verdict.per_cap;
    const int heads = job.setup.bench.heads;
    fmt::print("      {}, {}, {}, about {} a cap{}\n",
               each.stitches == 1 ? "1 stitch" : fmt::format("{} stitches", each.stitches),
               counted(each.trims, "trim"), counted(each.thread_changes, "thread change"),
               minutes(advise::seconds_a_cap(verdict, job.times)),
               heads > 1 ? fmt::format(" on {} heads", heads) : "");
  }
  print_applied(verdict);
  print_changes(verdict);
  for (const advise::Offer& offer : verdict.offers) {
    // The headline of a refusal tells the first one already, word for word.
    if (verdict.sentence.find(offer.why) != std::string::npos) continue;
    fmt::print("  instead on {}, {}: {}{}\n", offer.cap, offer.mount, offer.why, cost_of(offer));
  }
  print_cautions(verdict);
  std::size_t n_told = 0;
  for (const advise::Note& note : verdict.notes) {
    if (++n_told > 8) break;
    fmt::print("  note: {}: {}\n", base::shown(place_of(note)), base::shown(note.why));
  }
  if (verdict.notes.size() > 8) {
    fmt::print("  and {} in verdict.json\n",
               counted(static_cast<int>(verdict.notes.size()) - 8, "more note"));
  }
  if (folder.empty()) return;
  fmt::print("\n  {}\n", where_written(verdict, folder));
}

int exit_status(const advise::Verdict& verdict) {
  return verdict.answer == advise::Answer::run ? 0 : 1;
}

}  // namespace buckram::app
