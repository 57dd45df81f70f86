#include "server/api.h"

#include "server/floor.h"
#include "server/ground.h"
#include "server/json_text.h"
#include "server/lists.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace buckram::server {
namespace {

constexpr int kMostOffersAtOnce = 2;

Response not_found(const std::string& where) {
  return fault(404, "not_found", "there is nothing there", where, "See docs/api.md");
}

Response not_allowed(const std::string& method, const char* allow) {
  Response response = fault(405, "method", "there is nothing to do with that method", method);
  response.fields.push_back({"Allow", allow});
  return response;
}

const char* type_of_file(const std::string& name) {
  constexpr std::array<std::pair<std::string_view, const char*>, 6> kTypes{
      {{".json", "application/json"},
       {".csv", "text/csv; charset=utf-8"},
       {".svg", "image/svg+xml"},
       {".png", "image/png"},
       {".pdf", "application/pdf"},
       {".gcode", "text/plain; charset=utf-8"}}};
  for (const auto& [ending, type] : kTypes) {
    if (name.ends_with(ending)) return type;
  }
  return "application/octet-stream";
}

std::string state_json(const Record& record) {
  return fmt::format(R"("state":"{}","revision":{},"shown_revision":{})", name(record.state),
                     record.revision, record.shown);
}

std::string row_json(const Record& record) {
  const Summary& s = record.summary;
  return fmt::format(
      R"({{"id":{},"title":{},"changed":{},"state":"{}","verdict":{},"breaks_per_100_caps":{},)"
      R"("artwork":{},"cap":{},"mount":{},"height_mm":{},"caps":{},"has_preview":{}}})",
      text_json(record.id), text_json(s.title), text_json(record.changed), name(record.state),
      s.verdict.empty() ? "null" : text_json(s.verdict), figure(s.breaks_per_100),
      text_json(s.artwork), text_json(s.cap), text_json(s.mount), figure(s.height_mm), s.caps,
      s.breaks_per_100.has_value() && record.shown > 0);
}

std::string small(std::string text) {
  for (char& c : text) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  return text;
}

// Every word of `wanted` stands somewhere in what the row shows.
bool matches(const Record& record, const std::string& wanted) {
  const Summary& s = record.summary;
  const std::string text = small(s.title + '\n' + s.artwork + '\n' + s.cap + '\n' + s.mount + '\n' +
                                 record.id + '\n' + record.changed);
  std::size_t from = 0;
  const std::string words = small(wanted);
  while (from < words.size()) {
    const std::size_t end = std::min(words.find(' ', from), words.size());
    if (text.find(words.substr(from, end - from)) == std::string::npos) return false;
    from = end + 1;
  }
  return true;
}

std::string progress_json(const Progress& p) {
  return fmt::format(R"({{"revision":{},"stage":{},"done":{},"of":{}}})", p.revision,
                     text_json(p.stage), p.done, kStages);
}

const char* name_of_ahead(bool has_verdict) {
  return has_verdict ? "verdict" : "stitches";
}

std::string breaks_json(double breaks_per_100) {
  return fmt::format(R"("breaks_per_100_caps":{{"mean":{}}},"words":{})", figure(breaks_per_100),
                     text_json(advise::breaks_in_words(breaks_per_100)));
}

std::string ahead_json(const Ahead& ahead) {
  return fmt::format(R"({{"revision":{},"has":"{}",{}}})", ahead.revision,
                     name_of_ahead(!ahead.verdict.empty()), breaks_json(ahead.breaks_per_100));
}

std::string event(const char* name, const std::string& data) {
  return fmt::format("event: {}\ndata: {}\n\n", name, data);
}

// What a stream tells when it opens and whenever there is news.
struct Follower {
  unsigned long seen = 0;
  int shown = -1;
  State state = State::empty;
  int revision = -1;
  int ahead = 0;

  std::optional<std::string> next(const Jobs::News& now) {
    if (now.count == 0) return std::nullopt;
    if (now.count == seen) return "";
    seen = now.count;
    std::string out;
    const bool is_other = now.state != state || now.revision != revision || shown < 0;
    if (is_other) {
      out += event("state", fmt::format(R"({{"state":"{}","revision":{},"shown_revision":{}}})",
                                        name(now.state), now.revision, now.shown));
    }
    if (now.shown != shown && now.shown > 0) {
      out += event("shown",
                   fmt::format(R"({{"revision":{},"state":"{}"}})", now.shown, name(now.state)));
    }
    if (now.ahead > 0 && (now.ahead != ahead || now.revision != revision)) {
      out += event("ahead", fmt::format(R"({{"revision":{},"has":"{}"}})", now.revision,
                                        name_of_ahead(now.ahead == 2)));
    }
    if (now.state == State::planning) out += event("progress", progress_json(now.progress));
    if (is_other && now.state == State::failed) {
      out +=
          event("failed", fmt::format(R"({{"revision":{},"error":{}}})", now.revision, now.error));
    }
    if (is_other && now.state == State::cancelled) {
      out += event("cancelled", fmt::format(R"({{"revision":{}}})", now.revision));
    }
    ahead = now.ahead;
    shown = now.shown;
    state = now.state;
    revision = now.revision;
    return out;
  }
};

}  // namespace

Api::Api(Jobs& jobs, Store& store, job::DataFolder data, std::string version)
    : jobs_(jobs), store_(store), data_(std::move(data)), version_(std::move(version)) {}

bool Api::takes(const Target& target) {
  return !target.path.empty() && target.path[0] == "api";
}

std::uint64_t Api::most_body(const Head& head) {
  return head.method == "POST" && head.target.starts_with("/api/artwork") ? kMostArtwork
                                                                          : kMostBody;
}

Response Api::answer(const Request& request) {
  try {
    return routed(request);
  } catch (const NoSuchJob& missing) {
    return fault(404, "unknown_job", "no job has that id", missing.id, "Look at the list of jobs");
  } catch (const NotJson&) {
    return fault(400, "bad_json", "the body is no JSON", "the body", "See docs/api.md");
  } catch (const base::Error& error) {
    return fault(error);
  }
}

Response Api::routed(const Request& request) {
  const std::vector<std::string>& path = request.target.path;
  const bool is_get = request.method == "GET", is_post = request.method == "POST";
  const std::string what = path.size() > 1 ? path[1] : "";
  if (what == "jobs") return of_jobs(request);
  if (path.size() != 2) return not_found("the address");
  if (what == "about") {
    if (!is_get) return not_allowed(request.method, "GET");
    return ok(fmt::format(R"({{"buckram":{},"api":1}})", text_json(version_)));
  }
  if (what == "lists") return is_get ? ok(lists_json(data_)) : not_allowed(request.method, "GET");
  if (what == "artwork" || what == "ground" || what == "offers") {
    if (!is_post) return not_allowed(request.method, "POST");
    if (what == "artwork") return artwork(request);
    return what == "ground" ? ground(request.body) : offers(request.body);
  }
  return not_found("the address");
}

Response Api::of_jobs(const Request& request) {
  const std::vector<std::string>& path = request.target.path;
  if (path.size() == 2) {
    if (request.method == "GET") return list(request);
    if (request.method == "POST") return create(request);
    return not_allowed(request.method, "GET, POST");
  }
  if (!is_id(path[2])) throw NoSuchJob{path[2]};
  if (path.size() == 3) {
    if (request.method == "GET") return see(path[2]);
    if (request.method == "PATCH") return change(path[2], request.body);
    if (request.method == "DELETE") {
      jobs_.remove(path[2]);
      return ok(
          fmt::format(R"({{"id":{},"bin":{}}})", text_json(path[2]), text_json("bin/" + path[2])));
    }
    return not_allowed(request.method, "GET, PATCH, DELETE");
  }
  return of_job(request, path[2]);
}

Response Api::of_job(const Request& request, const std::string& id) {
  const std::vector<std::string>& path = request.target.path;
  const std::string& what = path[3];
  const bool is_floor = what == "floor" || what == "ticks" || what == "breaks";
  if (is_floor) return of_floor(request, id);
  if (path.size() != 4) return not_found("the address");
  const bool is_order = what == "undo" || what == "redo" || what == "cancel" || what == "improve" ||
                        what == "restore";
  if (!is_order) {
    if (request.method != "GET") return not_allowed(request.method, "GET");
    return what == "events" ? events(id) : file(request, id, what);
  }
  if (request.method != "POST") return not_allowed(request.method, "POST");
  int revision = 0;
  if (what == "undo") revision = jobs_.undo(id);
  if (what == "redo") revision = jobs_.redo(id);
  if (what == "improve") revision = jobs_.improve(id);
  if (what == "cancel") jobs_.cancel(id);
  if (what == "restore") jobs_.restore(id);
  if (revision > 0) return ok(fmt::format(R"({{"revision":{}}})", revision), 202);
  return see(id);
}

Response Api::list(const Request& request) {
  const std::string wanted = query_of(request.target, "find").value_or("");
  std::string rows;
  for (const Record& record : jobs_.list()) {
    if (matches(record, wanted)) rows += (rows.empty() ? "" : ",") + row_json(record);
  }
  return ok("{\"jobs\":[" + rows + "]}");
}

Response Api::create(const Request& request) {
  const Asked asked = read_asked(request.body);
  std::string id;
  if (asked.copy_of) {
    id = jobs_.copy(*asked.copy_of, false);
  } else if (asked.again) {
    id = jobs_.copy(*asked.again, true);
  } else {
    id = jobs_.create(asked);
  }
  Response response = see(id);
  response.status = 201;
  response.fields.push_back({"Location", "/api/jobs/" + id});
  return response;
}

Response Api::see(const std::string& id) {
  const Seen seen = jobs_.see(id);
  const Record& r = seen.record;
  const bool is_ahead = seen.ahead && !seen.ahead->verdict.empty();
  const auto shown = [&](const char* file) { return store_.plan_file(id, r.shown, file); };
  const auto verdict = is_ahead ? seen.ahead->verdict : shown("verdict.json").value_or("");
  const auto words = is_ahead ? seen.ahead->words : shown("words.json").value_or("");
  const std::string undo = r.at > 0 ? text_json(r.step().words) : "null";
  const std::string redo = r.at + 1 < r.steps.size() ? text_json(r.steps[r.at + 1].words) : "null";
  return ok(fmt::format(
      R"({{"id":{},"title":{},{},"before_revision":{},"made":{},"changed":{},"settings":{},)"
      R"("set":{},"artwork":{},"layout":{},"undo":{},"redo":{},"error":{},"progress":{},)"
      R"("ahead":{},"verdict":{},"words":{},"ticket":{}}})",
      text_json(id), text_json(r.summary.title), state_json(r), r.before, text_json(r.made),
      text_json(r.changed), seen.settings, text_list(r.step().set),
      r.step().artwork.empty() ? "null" : text_json(r.step().artwork),
      r.step().layout.empty() ? "null" : text_json(r.step().layout), undo, redo,
      r.error.empty() ? "null" : r.error, seen.progress ? progress_json(*seen.progress) : "null",
      seen.ahead ? ahead_json(*seen.ahead) : "null", verdict.empty() ? "null" : compact(verdict),
      words.empty() ? "null" : words, seen.ticket));
}

Response Api::change(const std::string& id, const std::string& body) {
  const Changed changed = jobs_.change(id, read_asked(body));
  std::string quick = "null";
  if (changed.quick_breaks_per_100) {
    quick =
        fmt::format(R"({{{},"of":"same stitches"}})", breaks_json(*changed.quick_breaks_per_100));
  }
  return ok(fmt::format(R"({{"revision":{},"quick":{}}})", changed.revision, quick), 202);
}

Response Api::events(const std::string& id) {
  if (jobs_.news(id).count == 0) throw NoSuchJob{id};
  Response response;
  response.events = [this, id, follower = Follower{}]() mutable {
    return follower.next(jobs_.news(id));
  };
  return response;
}

Response Api::file(const Request& request, const std::string& id, const std::string& name) {
  const Record record = jobs_.record(id);
  const bool is_before = query_of(request.target, "of") == "before";
  const int revision = is_before ? record.before : record.shown;
  const std::string on_disk = name == "view" ? "view.json" : name;
  const auto ahead = name == "view" && !is_before ? jobs_.ahead(id) : nullptr;
  auto bytes = ahead ? ahead->view : store_.plan_file(id, revision, on_disk);
  if (!bytes) {
    return fault(404, "not_found",
                 is_before ? "no earlier plan is kept" : "the job has no such file", name,
                 "Look at shown_revision: 0 means that nothing is shown yet");
  }
  Response response{200, type_of_file(on_disk), std::move(*bytes)};
  if (query_of(request.target, "download")) {
    response.fields.push_back(
        {"Content-Disposition", fmt::format("attachment; filename=\"{}-{}\"", id, on_disk)});
  }
  return response;
}

Response Api::artwork(const Request& request) {
  if (request.body.empty()) {
    throw base::Error{base::ErrorCode::bad_artwork, "has no bytes", "the artwork",
                      "Send the file as the body"};
  }
  const std::string name = query_of(request.target, "name").value_or("artwork.svg");
  const std::string clean = clean_name(name);
  // Read before it is kept: what cannot be read is not.
  refuse_other_kinds(clean);
  const artwork::Drawing drawing = artwork::read_svg(request.body, clean);
  const KeptArtwork kept = store_.keep_artwork(name, request.body);
  const double scale = drawing.mm_per_unit;
  const auto size = [&](double units) { return scale > 0 ? figure(units * scale) : "null"; };
  return ok(
      fmt::format(R"({{"artwork":{},"name":{},"width_mm":{},"height_mm":{},"width_to_height":{}}})",
                  text_json(kept.id), text_json(kept.name), size(drawing.painted.width()),
                  size(drawing.painted.height()),
                  drawing.painted.height() > 0
                      ? figure(drawing.painted.width() / drawing.painted.height())
                      : "null"),
      201);
}

// What the settings of a request lie over: a job's, or nothing.
Step Api::step_below(const Asked& asked) {
  Step step;
  if (!asked.job.empty()) step = jobs_.record(asked.job).step();
  return step_after(step, asked);
}

Response Api::ground(const std::string& body) {
  Step step = step_below(read_asked(body));
  step.artwork.clear();  // it takes no part
  const job::Resolved job = resolved_of(step, store_, data_);
  return ok(ground_json(job.setup, {}, std::nullopt));
}

Response Api::offers(const std::string& body) {
  struct Counted {
    std::atomic<int>& n;
    int before = n.fetch_add(1);
    ~Counted() { --n; }
  } const counted{n_offers_};
  if (counted.before >= kMostOffersAtOnce) {
    return fault(503, "busy", "offers are being worked out already", "", "Ask again in a moment");
  }
  const Asked asked = read_asked(body);
  const Step step = step_below(asked);
  const job::Job job = job_of(step, store_);
  const bool has_mount = std::any_of(step.set.begin(), step.set.end(), [](const std::string& each) {
    return key_of(each) == "bench.mount";
  });
  for (const std::string& cap : asked.caps) {
    Step check = step;
    lay_over(check.set, {"cap.name=" + base::toml_text(cap)});
    job_of(check, store_);  // no files
  }
  const std::vector<std::string> caps = asked.caps.empty() ? job::caps_from("", data_) : asked.caps;
  const std::vector<std::string> mounts =
      has_mount ? std::vector{job.mount} : job::counter_mounts(job, data_);
  const auto answers = job::counter_answers(job, data_, job::read_artwork(job), caps, mounts,
                                            base::Watch{{}, &stop_});
  std::vector<advise::Offer> all;
  for (const job::CounterAnswer& each : answers) all.push_back(each.offer);
  return ok(advise::write_offers(all));
}

}  // namespace buckram::server
