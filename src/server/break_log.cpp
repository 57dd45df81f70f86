#include "server/break_log.h"

#include "server/json_text.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <vector>

namespace buckram::server {
namespace {

using Json = nlohmann::ordered_json;

std::vector<Json> lines_of(const std::string& log) {
  std::vector<Json> all;
  for (std::size_t from = 0; from < log.size();) {
    const std::size_t end = std::min(log.find('\n', from), log.size());
    Json line = Json::parse(log.substr(from, end - from), nullptr, false);
    from = end + 1;
    if (line.is_object() && line.contains("event")) all.push_back(std::move(line));
  }
  return all;
}

std::vector<Json> standing(const std::string& log) {
  std::vector<Json> all;
  for (Json& line : lines_of(log)) {
    if (line.contains("taken_back")) {
      std::erase_if(all, [&](const Json& each) { return each["event"] == line["event"]; });
    } else {
      all.push_back(std::move(line));
    }
  }
  return all;
}

bool has_event(const std::vector<Json>& lines, const std::string& event) {
  return std::any_of(lines.begin(), lines.end(),
                     [&](const Json& each) { return each["event"] == event; });
}

}  // namespace

std::string break_line(const std::string& event, const std::string& time, int revision,
                       const BreakReport& report, const BreakPlace& place) {
  return fmt::format(
      R"({{"event":{},"at":{},"broke":"{}","entry":{},"needle":{},"cap":{},"note":{},)"
      R"("revision":{},"object":{},"block":{},"stitch":{}}})",
      text_json(event), text_json(time), name(report.broke), place.entry, report.needle, report.cap,
      text_json(report.note), revision, place.object, place.block, place.stitch);
}

std::string taken_back_line(const std::string& event, const std::string& time) {
  return fmt::format(R"({{"event":{},"at":{},"taken_back":true}})", text_json(event),
                     text_json(time));
}

bool knows(const std::string& log, const std::string& event) {
  return has_event(lines_of(log), event);
}

bool stands(const std::string& log, const std::string& event) {
  return has_event(standing(log), event);
}

std::string standing_json(const std::string& log) {
  std::string out = "[";
  for (const Json& each : standing(log)) {
    out += (out.size() > 1 ? "," : "") + each.dump(-1, ' ', false, Json::error_handler_t::replace);
  }
  return out + "]";
}

}  // namespace buckram::server
