#include "server/store.h"

#include <boost/uuid/name_generator.hpp>
#include <boost/uuid/uuid_io.hpp>
#include <fmt/chrono.h>
#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <ctime>
#include <fcntl.h>
#include <filesystem>
#include <sys/file.h>
#include <sys/random.h>
#include <unistd.h>

namespace buckram::server {
namespace fs = std::filesystem;
namespace {

using base::Error;
using base::ErrorCode;

constexpr std::uint64_t kMostFile = 256'000'000;
constexpr std::size_t kLongestName = 100;

[[noreturn]] void cannot_write(const std::string& path, const std::string& why) {
  throw Error{ErrorCode::cannot_write, "cannot write: " + why, path,
              "Choose a folder you may write to, with room on its disk"};
}

void make_folder(const fs::path& path) {
  std::error_code trouble;
  fs::create_directories(path, trouble);
  if (trouble) cannot_write(path.string(), trouble.message());
}

void rename_folder(const fs::path& from, const fs::path& to) {
  std::error_code trouble;
  fs::rename(from, to, trouble);
  if (trouble) cannot_write(to.string(), trouble.message());
}

int lock_folder(const fs::path& folder) {
  const fs::path path = folder / "lock";
  const int file = ::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600);
  if (file < 0) cannot_write(path.string(), std::strerror(errno));
  if (::flock(file, LOCK_EX | LOCK_NB) != 0) {
    ::close(file);
    throw Error{ErrorCode::bad_job, "another buckram serve has this folder", folder.string(),
                "Use its page, or give another folder with --folder"};
  }
  return file;
}

bool is_plan_of(const std::string& name, const Record& record) {
  return name == fmt::format("plan-{}", record.shown) ||
         name == fmt::format("plan-{}", record.before);
}

// What no job.json speaks of.
void clear_leftovers(const fs::path& folder, const Record& record) {
  std::error_code trouble;
  for (const auto& entry : fs::directory_iterator(folder, trouble)) {
    const std::string name = entry.path().filename().string();
    const bool is_half_written = name.starts_with('.');
    const bool is_old_plan = name.starts_with("plan-") && !is_plan_of(name, record);
    if (is_half_written || is_old_plan) fs::remove_all(entry.path(), trouble);
  }
}

// A power cut leaves files empty that job.json speaks of already.
bool is_whole_plan(const fs::path& folder) {
  std::error_code trouble;
  bool has_files = false;
  for (const auto& entry : fs::directory_iterator(folder, trouble)) {
    has_files = true;
    if (entry.file_size(trouble) == 0 || trouble) return false;
  }
  return has_files && !trouble;
}

// A line that was written only in part, when the disk was full, would swallow the next.
bool is_cut_short(int file) {
  const off_t end = ::lseek(file, 0, SEEK_END);
  char last = '\n';
  return end > 0 && ::pread(file, &last, 1, end - 1) == 1 && last != '\n';
}

bool has_ending(const std::string& name, std::string_view ending) {
  if (name.size() <= ending.size()) return false;
  return std::equal(ending.begin(), ending.end(), name.end() - static_cast<long>(ending.size()),
                    [](char a, char b) { return a == (b >= 'A' && b <= 'Z' ? b - 'A' + 'a' : b); });
}

}  // namespace

Store::Store(const std::string& folder) : folder_(fs::absolute(folder).lexically_normal()) {
  std::error_code trouble;
  if (fs::create_directories(folder_, trouble)) {
    fs::permissions(folder_, fs::perms::owner_all, trouble);  // orders are nobody else's to read
  }
  for (const char* part : {"artwork", "jobs", "bin"}) make_folder(fs::path(folder_) / part);
  lock_ = lock_folder(folder_);
}

Store::~Store() {
  ::close(lock_);
}

std::string Store::job_folder(const std::string& id) const {
  BUCKRAM_ASSERT(is_id(id));
  return (fs::path(folder_) / "jobs" / id).string();
}

std::string Store::plan_folder(const std::string& id, int revision) const {
  return (fs::path(job_folder(id)) / fmt::format("plan-{}", revision)).string();
}

Store::Opened Store::open_jobs() {
  Opened opened;
  std::error_code trouble;
  fs::remove_all(fs::path(folder_) / "making", trouble);
  for (const auto& entry : fs::directory_iterator(fs::path(folder_) / "jobs", trouble)) {
    const std::string id = entry.path().filename().string();
    const fs::path file = entry.path() / "job.json";
    if (!is_id(id)) continue;
    try {
      Record record = read_record(base::read_file(file.string(), kMostFile), file.string());
      record.id = id;  // a folder that was copied by hand is a job of its own
      plan_again_if_spoilt(record);
      clear_leftovers(entry.path(), record);
      opened.records.push_back(std::move(record));
    } catch (const Error& error) {
      opened.troubles.push_back(base::message(error));
    }
  }
  return opened;
}

void Store::plan_again_if_spoilt(Record& record) const {
  const auto is_whole = [&](int revision) {
    return revision == 0 || is_whole_plan(plan_folder(record.id, revision));
  };
  if (!is_whole(record.before)) record.before = 0;
  if (is_whole(record.shown)) return;
  record.shown = record.before;
  record.before = 0;
  if (record.state == State::done || record.state == State::refused) {
    record.state = State::planning;
  }
}

void Store::save(const Record& record) const {
  write(job_folder(record.id) + "/job.json", write_record(record));
}

void Store::write(const std::string& path, const std::string& bytes) const {
  const std::lock_guard lock(one_at_a_time_);
  base::write_files({{path, bytes}});
}

std::string Store::making(const std::string& id, int revision) const {
  return (fs::path(folder_) / "making" / fmt::format("{}-{}", id, revision)).string();
}

void Store::prepare(const std::string& id, int revision,
                    std::vector<base::OutputFile> files) const {
  const fs::path place = making(id, revision);
  drop_prepared(id, revision);
  make_folder(place);
  for (base::OutputFile& file : files) file.path = (place / file.path).string();
  base::write_files(files);
}

void Store::drop_prepared(const std::string& id, int revision) const {
  std::error_code ignored;
  fs::remove_all(making(id, revision), ignored);
}

void Store::publish(const std::string& id, int revision) const {
  drop_plan(id, revision);  // of a run that was killed before job.json spoke of it
  rename_folder(making(id, revision), plan_folder(id, revision));
}

void Store::drop_plan(const std::string& id, int revision) const {
  std::error_code ignored;
  fs::remove_all(plan_folder(id, revision), ignored);
}

void Store::copy_plan(const Record& from, const std::string& to) const {
  make_folder(job_folder(to));
  if (from.shown == 0) return;
  std::vector<base::OutputFile> files;
  for (const auto& entry : fs::directory_iterator(plan_folder(from.id, from.shown))) {
    files.push_back(
        {entry.path().filename().string(), base::read_file(entry.path().string(), kMostFile)});
  }
  prepare(to, 1, std::move(files));
  publish(to, 1);
}

std::optional<std::string> Store::plan_file(const std::string& id, int revision,
                                            const std::string& name) const {
  const fs::path path = fs::path(plan_folder(id, revision)) / name;
  std::error_code trouble;
  if (revision < 1 || !fs::is_regular_file(path, trouble)) return std::nullopt;
  return base::read_file(path.string(), kMostFile);
}

void Store::to_bin(const std::string& id) const {
  const fs::path place = fs::path(folder_) / "bin" / id;
  std::error_code ignored;
  fs::remove_all(place, ignored);  // what a restored job left there
  rename_folder(job_folder(id), place);
}

bool Store::is_in_bin(const std::string& id) const {
  std::error_code trouble;
  return is_id(id) && fs::is_regular_file(fs::path(folder_) / "bin" / id / "job.json", trouble);
}

Record Store::from_bin(const std::string& id) const {
  const fs::path place = fs::path(folder_) / "bin" / id;
  const std::string file = (place / "job.json").string();
  Record record = read_record(base::read_file(file, kMostFile), file);
  record.id = id;
  rename_folder(place, job_folder(id));
  return record;
}

KeptArtwork Store::keep_artwork(const std::string& name, const std::string& bytes) const {
  const std::string clean = clean_name(name);
  refuse_other_kinds(clean);
  static const boost::uuids::name_generator_sha1 generate(boost::uuids::ns::oid());
  const std::string id = boost::uuids::to_string(generate(clean + '\0' + bytes));
  const fs::path folder = fs::path(folder_) / "artwork" / id, path = folder / clean;
  std::error_code trouble;
  if (!fs::is_regular_file(path, trouble)) write(path.string(), bytes);
  return {id, clean, path.string()};
}

std::optional<KeptArtwork> Store::find_artwork(const std::string& id) const {
  if (!is_id(id)) return std::nullopt;
  std::error_code trouble;
  for (const auto& entry : fs::directory_iterator(fs::path(folder_) / "artwork" / id, trouble)) {
    const std::string name = entry.path().filename().string();
    if (!name.starts_with('.')) return KeptArtwork{id, name, entry.path().string()};
  }
  return std::nullopt;
}

void Store::add_to_log(const std::string& id, const std::string& line) const {
  const std::string path = job_folder(id) + "/log.jsonl";
  std::string whole = line + '\n';
  const int file = ::open(path.c_str(), O_RDWR | O_CREAT | O_APPEND | O_CLOEXEC, 0644);
  if (file < 0) cannot_write(path, std::strerror(errno));
  if (is_cut_short(file)) whole.insert(0, 1, '\n');
  const ssize_t n = ::write(file, whole.data(), whole.size());
  const bool is_kept = n == static_cast<ssize_t>(whole.size()) && ::fsync(file) == 0;
  ::close(file);
  if (!is_kept) cannot_write(path, "not all could be written");
}

std::string Store::read_log(const std::string& id) const {
  const std::string path = job_folder(id) + "/log.jsonl";
  std::error_code trouble;
  return fs::exists(path, trouble) ? base::read_file(path, kMostFile) : "";
}

void Store::write_ticks(const std::string& id, const std::string& json) const {
  write(job_folder(id) + "/ticks.json", json);
}

std::string Store::read_ticks(const std::string& id) const {
  const std::string path = job_folder(id) + "/ticks.json";
  std::error_code trouble;
  return fs::exists(path, trouble) ? base::read_file(path, kMostFile) : "";
}

std::string random_word(std::size_t letters) {
  constexpr std::string_view kLetters = "abcdefghijklmnopqrstuvwxyz234567";  // 5 bits each
  std::string word(letters, 'a');
  for (std::size_t i = 0; i < letters; ++i) {
    unsigned char byte = 0;
    if (::getrandom(&byte, 1, 0) != 1) cannot_write("the system's random source", "no answer");
    word[i] = kLetters[byte % 32];
  }
  return word;
}

std::string new_id(std::string_view title) {
  constexpr std::size_t kMostOfTitle = 40;
  std::string id;
  for (const char c : title) {
    const char small = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    const bool is_kept = (small >= 'a' && small <= 'z') || (small >= '0' && small <= '9');
    if (is_kept) id += small;
    if (!is_kept && !id.empty() && id.back() != '-') id += '-';
    if (id.size() >= kMostOfTitle) break;
  }
  if (id.empty()) id = "job";
  if (id.back() != '-') id += '-';
  return id + random_word(8);
}

std::string clean_name(std::string_view name) {
  name.remove_prefix(std::min(name.size(), name.find_last_of("/\\") + 1));
  std::string clean;
  while (!name.empty()) {
    const std::string_view c = base::first_character(name);
    name.remove_prefix(c.size());
    const bool is_control = c.size() == 1 && (static_cast<unsigned char>(c[0]) < 0x20 ||
                                              static_cast<unsigned char>(c[0]) >= 0x7f);
    if (!is_control && !(clean.empty() && (c == "." || c == " "))) clean += c;
  }
  if (clean.size() <= kLongestName) return clean;
  const std::size_t dot = clean.rfind('.');
  const std::string ending =
      dot == std::string::npos || clean.size() - dot > 8 ? "" : clean.substr(dot);
  std::string_view rest(clean);
  std::string front;
  while (front.size() + ending.size() + 4 < kLongestName) {
    const std::string_view c = base::first_character(rest);
    front += c;
    rest.remove_prefix(c.size());
  }
  return front + ending;
}

void refuse_other_kinds(const std::string& name) {
  if (has_ending(name, ".svg")) return;
  throw Error{ErrorCode::bad_artwork, "is not a kind of artwork that Buckram reads",
              name.empty() ? "the artwork" : name, "Give an SVG drawing (.svg)"};
}

std::string utc_now() {
  return fmt::format("{:%Y-%m-%dT%H:%M:%SZ}", fmt::gmtime(std::time(nullptr)));
}

}  // namespace buckram::server
