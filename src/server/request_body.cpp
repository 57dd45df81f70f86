#include "server/request_body.h"

#include "server/record.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>

namespace buckram::server {
namespace {

using Json = nlohmann::json;

constexpr std::size_t kMostTexts = 300, kLongestText = 20'000, kLongestWords = 300;
constexpr int kMostNested = 20;

[[noreturn]] void fail(const std::string& what, const std::string& where, const char* hint) {
  throw base::Error{base::ErrorCode::bad_job, what, where, hint};
}

// Deep nesting is refused before it is parsed: readers of it call themselves.
bool is_too_deep(const std::string& body) {
  int depth = 0;
  bool is_text = false;
  for (std::size_t i = 0; i < body.size(); ++i) {
    const char c = body[i];
    if (is_text && c == '\\') {
      ++i;
    } else if (c == '"') {
      is_text = !is_text;
    } else if (!is_text && (c == '[' || c == '{')) {
      if (++depth > kMostNested) return true;
    } else if (!is_text && (c == ']' || c == '}')) {
      --depth;
    }
  }
  return false;
}

Json object_of(const std::string& body) {
  if (body.empty()) return Json::object();
  if (is_too_deep(body)) throw NotJson{};
  Json root = Json::parse(body, nullptr, false);
  if (root.is_discarded()) throw NotJson{};
  if (!root.is_object()) fail("is no object", "the body", "Send {\"set\":[...]}");
  return root;
}

std::string text_of(const Json& value, const std::string& where, std::size_t most = kLongestText) {
  if (!value.is_string()) fail("is no text", where, "Give a JSON string");
  const std::string text = value.get<std::string>();
  if (text.size() > most) fail(fmt::format("has more than {} bytes", most), where, "Shorten it");
  return text;
}

std::vector<std::string> texts_of(const Json& value, const std::string& where) {
  if (value.is_null()) return {};
  if (!value.is_array()) fail("is no list", where, "Give a JSON array of strings");
  if (value.size() > kMostTexts) {
    fail(fmt::format("has more than {} entries", kMostTexts), where, "Send fewer");
  }
  std::vector<std::string> texts;
  for (const Json& each : value) texts.push_back(text_of(each, where));
  return texts;
}

int whole_of(const Json& value, const std::string& where, int least, int most) {
  const bool is_whole = value.is_number_integer() || value.is_number_unsigned();
  if (!is_whole || value < least || value > most) {
    fail("is no whole number in the range", where, "See the range in docs/api.md");
  }
  return value.get<int>();
}

// Null: none.
std::string name_of(const Json& value, const std::string& where) {
  return value.is_null() ? "" : text_of(value, where, kLongestWords);
}

[[noreturn]] void unknown(const std::string& key) {
  fail("no field has that name", key, "See docs/api.md for the fields there are");
}

}  // namespace

Asked read_asked(const std::string& body) {
  Asked asked;
  const Json root = object_of(body);
  for (const auto& [key, value] : root.items()) {
    if (key == "artwork") {
      asked.artwork = name_of(value, key);
    } else if (key == "layout") {
      asked.layout = name_of(value, key);
    } else if (key == "set") {
      asked.set = texts_of(value, key);
    } else if (key == "unset") {
      asked.unset = texts_of(value, key);
    } else if (key == "caps") {
      asked.caps = texts_of(value, key);
    } else if (key == "words") {
      asked.words = name_of(value, key);
    } else if (key == "job") {
      asked.job = name_of(value, key);
    } else if (key == "copy_of") {
      asked.copy_of = text_of(value, key);
    } else if (key == "again") {
      asked.again = text_of(value, key);
    } else {
      unknown(key);
    }
  }
  return asked;
}

const char* name(Broke what) {
  return what == Broke::thread ? "thread" : "needle";
}

// "2026-11-30T07:21:06Z", or with parts of a second.
bool is_time(const std::string& text) {
  constexpr std::string_view kForm = "dddd-dd-ddTdd:dd:dd";
  if (text.size() <= kForm.size() || text.size() > 30 || text.back() != 'Z') return false;
  const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
  for (std::size_t i = 0; i < kForm.size(); ++i) {
    if (kForm[i] == 'd' ? !is_digit(text[i]) : text[i] != kForm[i]) return false;
  }
  return std::all_of(text.begin() + kForm.size(), text.end() - 1,
                     [&](char c) { return c == '.' || is_digit(c); });
}

BreakReport read_break(const std::string& body) {
  BreakReport report;
  bool has_entry = false;
  const Json root = object_of(body);
  for (const auto& [key, value] : root.items()) {
    if (key == "event") {
      report.event = text_of(value, key, 40);
      if (!is_id(report.event)) fail("is not a name for a break", key, "Use letters and digits");
    } else if (key == "at") {
      report.at = text_of(value, key, 40);
      if (!is_time(report.at)) fail("is not a time", key, "Write it as 2026-11-30T07:21:06Z");
    } else if (key == "revision") {
      report.revision = whole_of(value, key, 1, 1'000'000'000);
    } else if (key == "entry") {
      report.entry = whole_of(value, key, 0, 10'000'000);
      has_entry = true;
    } else if (key == "needle") {
      report.needle = whole_of(value, key, 0, 99);
    } else if (key == "cap") {
      report.cap = whole_of(value, key, 0, 1'000'000);
    } else if (key == "broke") {
      const std::string what = text_of(value, key);
      if (what != name(Broke::needle) && what != name(Broke::thread)) {
        fail("is neither needle nor thread", key, "Say which of the two broke");
      }
      report.broke = what == name(Broke::thread) ? Broke::thread : Broke::needle;
    } else if (key == "note") {
      report.note = text_of(value, key, 1000);
    } else {
      unknown(key);
    }
  }
  if (!has_entry) fail("is not given", "entry", "Say at which entry of the plan it broke");
  return report;
}

std::vector<std::string> read_ticks(const std::string& body) {
  std::vector<std::string> ticked;
  const Json root = object_of(body);
  if (!root.contains("ticks") || !root["ticks"].is_object() || root.size() != 1) {
    fail("is no object", "ticks", "Send {\"ticks\":{\"step\":true}}");
  }
  if (root["ticks"].size() > kMostTexts) fail("has too many steps", "ticks", "Send fewer");
  for (const auto& [id, value] : root["ticks"].items()) {
    if (!value.is_boolean() || id.size() > kLongestWords) {
      fail("is neither true nor false", "ticks: " + id.substr(0, 80), "Send true or false");
    }
    if (value.get<bool>()) ticked.push_back(id);
  }
  return ticked;
}

}  // namespace buckram::server
