#include "server/record.h"

#include "base/base.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>

namespace buckram::server {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::array<const char*, 6> kStates{"empty",   "planning", "done",
                                             "refused", "failed",   "cancelled"};

template <class T>
Json maybe(const std::optional<T>& value) {
  return value ? Json(*value) : Json(nullptr);
}

std::optional<double> maybe_number(const Json& value) {
  return value.is_null() ? std::nullopt : std::optional(value.get<double>());
}

Json step_json(const Step& step) {
  return {{"words", step.words},
          {"artwork", step.artwork},
          {"set", step.set},
          {"layout", step.layout},
          {"improves", step.improves}};
}

Step step_of(const Json& json) {
  return {json.at("words"), json.at("artwork"), json.at("set"), json.at("layout"),
          json.at("improves")};
}

Json summary_json(const Summary& s) {
  return {{"title", s.title},
          {"artwork", s.artwork},
          {"cap", s.cap},
          {"mount", s.mount},
          {"height_mm", maybe(s.height_mm)},
          {"caps", s.caps},
          {"verdict", s.verdict},
          {"breaks_per_100_caps", maybe(s.breaks_per_100)}};
}

Summary summary_of(const Json& json) {
  return {json.at("title"),
          json.at("artwork"),
          json.at("cap"),
          json.at("mount"),
          maybe_number(json.at("height_mm")),
          json.at("caps"),
          json.at("verdict"),
          maybe_number(json.at("breaks_per_100_caps"))};
}

State state_of(const std::string& word) {
  const auto found = std::find(kStates.begin(), kStates.end(), word);
  if (found == kStates.end()) throw std::out_of_range("state");
  return static_cast<State>(found - kStates.begin());
}

Record record_of(const Json& json) {
  Record record;
  record.id = json.at("id");
  record.made = json.at("made");
  record.changed = json.at("changed");
  for (const Json& each : json.at("steps")) record.steps.push_back(step_of(each));
  record.at = json.at("at");
  record.revision = json.at("revision");
  record.shown = json.at("shown");
  record.before = json.at("before");
  record.state = state_of(json.at("state"));
  record.error = json.at("error");
  record.summary = summary_of(json.at("summary"));
  return record;
}

bool is_sound(const Record& r) {
  return is_id(r.id) && r.at < r.steps.size() && r.revision >= 1 && r.shown >= 0 &&
         r.shown <= r.revision && r.before >= 0 && r.before <= r.shown;
}

}  // namespace

const char* name(State state) {
  return kStates[static_cast<std::size_t>(state)];
}

bool is_id(const std::string& text) {
  return !text.empty() && text.size() <= 80 && std::all_of(text.begin(), text.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-';
  });
}

std::string key_of(const std::string& setting) {
  return setting.substr(0, setting.find('='));
}

void lay_over(std::vector<std::string>& set, const std::vector<std::string>& next) {
  for (const std::string& each : next) {
    const auto same = std::find_if(set.begin(), set.end(), [&](const std::string& other) {
      return key_of(other) == key_of(each);
    });
    if (same != set.end()) {
      *same = each;
    } else {
      set.push_back(each);
    }
  }
  if (set.size() > kMostSettings) {
    throw base::Error{base::ErrorCode::bad_job,
                      fmt::format("has more than {} settings", kMostSettings), "the job",
                      "Take some back"};
  }
}

std::string write_record(const Record& record) {
  Json steps = Json::array();
  for (const Step& each : record.steps) steps.push_back(step_json(each));
  const Json json{{"buckram_job", 1},
                  {"id", record.id},
                  {"made", record.made},
                  {"changed", record.changed},
                  {"state", name(record.state)},
                  {"revision", record.revision},
                  {"shown", record.shown},
                  {"before", record.before},
                  {"error", record.error},
                  {"summary", summary_json(record.summary)},
                  {"at", record.at},
                  {"steps", steps}};
  return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

Record read_record(const std::string& bytes, const std::string& where) {
  const auto fail = [&] {
    throw base::Error{base::ErrorCode::bad_data, "is not a job of this server", where,
                      "Put it back from a copy, or move its folder away"};
  };
  const Json json = Json::parse(bytes, nullptr, false);
  if (!json.is_object() || json.value("buckram_job", Json()) != 1) fail();
  Record record;
  try {
    record = record_of(json);
  } catch (const std::exception&) {
    fail();
  }
  if (!is_sound(record)) fail();
  return record;
}

}  // namespace buckram::server
