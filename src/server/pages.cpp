#include "server/pages.h"

#include <array>
#include <utility>

namespace buckram::server {
namespace {

constexpr std::array<std::pair<std::string_view, const char*>, 10> kTypes{
    {{".html", "text/html; charset=utf-8"},
     {".js", "text/javascript; charset=utf-8"},
     {".css", "text/css; charset=utf-8"},
     {".svg", "image/svg+xml"},
     {".png", "image/png"},
     {".json", "application/json"},
     {".woff2", "font/woff2"},
     {".ico", "image/x-icon"},
     {".txt", "text/plain; charset=utf-8"},
     {".webmanifest", "application/manifest+json"}}};

const char* type_of(std::string_view path) {
  for (const auto& [ending, type] : kTypes) {
    if (path.ends_with(ending)) return type;
  }
  return "application/octet-stream";
}

// Addresses that the page's own router knows.
bool is_page(const std::vector<std::string>& path) {
  if (path.empty()) return true;
  if (path.size() == 2 && (path[0] == "job" || path[0] == "floor")) return true;
  return path.size() == 3 && path[0] == "compare";
}

std::string joined(const std::vector<std::string>& path) {
  std::string out;
  for (const std::string& each : path) out += (out.empty() ? "" : "/") + each;
  return out;
}

constexpr const char* kNotBuilt =
    "The page is not built into this program. Build it with scripts/build-page, which needs node "
    "and npm, then build the program again; ./run serve does both. The API under /api/ works.\n";

}  // namespace

Pages::Pages(std::vector<PageFile> files) {
  for (PageFile& each : files) {
    const std::string path = each.path;
    files_.emplace(path, std::move(each));
  }
}

Response Pages::answer(const Request& request) const {
  if (request.method != "GET") {
    return {405, "text/plain; charset=utf-8", "Only the API takes that.\n", {}, {{"Allow", "GET"}}};
  }
  const std::string path = joined(request.target.path);
  const bool is_index = is_page(request.target.path);
  // A mistyped address gets the page too, which says so and leads to the jobs; a missing file does
  // not.
  const bool is_mistyped =
      !is_index && path.find('.') == std::string::npos && !files_.contains(path);
  const auto found = files_.find(is_index || is_mistyped ? "index.html" : path);
  if (found == files_.end()) {
    return {is_index ? 503 : 404, "text/plain; charset=utf-8",
            is_index ? kNotBuilt : "There is nothing at this address.\n"};
  }
  const PageFile& file = found->second;
  const bool is_hashed = file.path.starts_with("assets/");
  Response response{is_mistyped ? 404 : 200, type_of(file.path), ""};
  response.fields = {
      {"ETag", file.tag},
      {"Cache-Control", is_hashed ? "private, max-age=31536000, immutable" : "no-cache"}};
  if (request.if_none_match == file.tag && !is_mistyped) {
    response.status = 304;
  } else {
    response.kept = file.bytes;
  }
  return response;
}

}  // namespace buckram::server
