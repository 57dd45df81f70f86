// Api: the floor page's routes.
#include "server/api.h"

#include "server/break_log.h"
#include "server/json_text.h"

#include <fmt/format.h>

namespace buckram::server {
namespace {

std::string ticks_json(const std::vector<std::string>& ticked) {
  std::string out;
  for (const std::string& each : ticked)
    out += (out.empty() ? "" : ",") + text_json(each) + ":true";
  return "{" + out + "}";
}

Response nothing_sewn(const std::string& id) {
  return fault(404, "not_found", "the job has no stitches yet", id, "Wait until it is planned");
}

}  // namespace

Response Api::of_floor(const Request& request, const std::string& id) {
  const std::vector<std::string>& path = request.target.path;
  const Record record = jobs_.record(id);
  const std::string& what = path[3];
  const bool is_get = request.method == "GET";
  if (what == "floor" && path.size() == 4 && is_get) {
    const auto facts = store_.plan_file(id, record.shown, "floor.json");
    if (!facts) return nothing_sewn(id);
    const std::string ticks = store_.read_ticks(id);
    return ok(fmt::format(R"({{"revision":{},"floor":{},"ticks":{},"breaks":{}}})", record.shown,
                          *facts, ticks.empty() ? "{}" : ticks,
                          standing_json(store_.read_log(id))));
  }
  if (what == "ticks" && path.size() == 4) {
    if (is_get) {
      const std::string ticks = store_.read_ticks(id);
      return ok("{\"ticks\":" + (ticks.empty() ? "{}" : ticks) + "}");
    }
    if (request.method == "PUT") {
      const std::string ticks = ticks_json(read_ticks(request.body));
      store_.write_ticks(id, ticks);
      return ok("{\"ticks\":" + ticks + "}");
    }
  }
  if (what == "breaks" && path.size() == 4) {
    if (is_get) return ok("{\"breaks\":" + standing_json(store_.read_log(id)) + "}");
    if (request.method == "POST") return log_break(record, request.body);
  }
  if (what == "breaks" && path.size() == 5 && request.method == "DELETE") {
    if (!stands(store_.read_log(id), path[4])) {
      return fault(404, "not_found", "no such break stands in the log", path[4]);
    }
    store_.add_to_log(id, taken_back_line(path[4], utc_now()));
    return ok(fmt::format(R"({{"event":{},"taken_back":true}})", text_json(path[4])));
  }
  return fault(405, "method", "there is nothing to do with that method there", request.method,
               "See docs/api.md");
}

Response Api::log_break(const Record& record, const std::string& body) {
  const BreakReport report = read_break(body);
  const int revision = report.revision > 0 ? report.revision : record.shown;
  const auto bytes = store_.plan_file(record.id, revision, "plan.json");
  if (!bytes && revision == record.shown) return nothing_sewn(record.id);
  if (!bytes) {
    return fault(409, "old_plan", "the plan that it broke on is gone", "revision",
                 "Look for the place on the plan that is shown, and log it there");
  }
  const BreakPlace place =
      place_of_break(stitch::read_plan(*bytes, "plan.json"), report.entry, report.broke);
  const std::string event = report.event.empty() ? random_word(12) : report.event;
  // An answer that did not arrive is asked for again: the break is in the log already.
  if (!knows(store_.read_log(record.id), event)) {
    const std::string at = report.at.empty() ? utc_now() : report.at;
    store_.add_to_log(record.id, break_line(event, at, revision, report, place));
  }
  return ok(fmt::format(R"({{"event":{},"entry":{},"block":{},"object":{},"stitch":{},)"
                        R"("go_back_to":{},"go_back_stitch":{},"words":{}}})",
                        text_json(event), place.entry, place.block, place.object, place.stitch,
                        place.go_back_to, place.go_back_stitch, text_json(place.words)),
            201);
}

}  // namespace buckram::server
