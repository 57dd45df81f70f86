#include "server/gate.h"

#include "server/json_text.h"

#include <algorithm>

namespace buckram::server {
namespace {

constexpr const char* kOpenPrinted = "Open the address that buckram printed when it started";

bool is_read(const std::string& method) {
  return method == "GET" || method == "HEAD";
}

bool is_write(const std::string& method) {
  return method == "POST" || method == "PUT" || method == "PATCH" || method == "DELETE";
}

// RFC 6265, section 5.4: pairs with "; " between.
std::string_view cookie_of(std::string_view all, std::string_view name) {
  while (!all.empty()) {
    const std::size_t end = std::min(all.find(';'), all.size());
    std::string_view pair = all.substr(0, end);
    while (!pair.empty() && pair.front() == ' ') pair.remove_prefix(1);
    if (pair.size() > name.size() && pair.starts_with(name) && pair[name.size()] == '=') {
      return pair.substr(name.size() + 1);
    }
    all.remove_prefix(std::min(end + 1, all.size()));
  }
  return {};
}

std::optional<Response> foreign(const Gate& gate, const Head& head) {
  const std::string_view host = value_of(head, "Host");
  if (count_of(head, "Host") != 1 || host != gate.host) {
    return fault(421, "wrong_host", "this server is not called that", std::string(host),
                 "Open http://" + gate.host + "/");
  }
  const std::size_t n_origins = count_of(head, "Origin");
  if (n_origins > 1 || (n_origins == 1 && value_of(head, "Origin") != "http://" + gate.host)) {
    return fault(403, "foreign", "another site asked", std::string(value_of(head, "Origin")));
  }
  const std::string_view site = value_of(head, "Sec-Fetch-Site");
  const bool is_visit = head.method == "GET" && value_of(head, "Sec-Fetch-Mode") == "navigate" &&
                        value_of(head, "Sec-Fetch-Dest") != "iframe";
  const bool is_own = site.empty() || site == "same-origin" || site == "none";
  if (!is_own && !is_visit) return fault(403, "foreign", "another site asked", std::string(site));
  return std::nullopt;
}

// From the printed address to the same page without the token.
std::optional<Response> welcomed(const Gate& gate, const Head& head) {
  const std::size_t mark = head.target.find("?t=");
  if (mark == std::string::npos || head.method != "GET") return std::nullopt;
  const std::string_view given = std::string_view(head.target).substr(mark + 3);
  if (!is_same(given, gate.token)) return std::nullopt;
  const std::string page = head.target.substr(0, mark);
  // A second slash would make it the name of another host.
  if (!page.starts_with('/') || page.starts_with("//") || page.starts_with("/\\") ||
      !read_target(page))
    return std::nullopt;
  Response response{303, "text/plain; charset=utf-8", ""};
  response.fields = {{"Location", page},
                     {"Set-Cookie", gate.cookie + "=" + gate.token +
                                        "; Path=/; HttpOnly; SameSite=Strict; Max-Age=31536000"}};
  return response;
}

}  // namespace

bool is_token(std::string_view text) {
  return text.size() >= kLeastToken && text.size() <= 512 &&
         std::all_of(text.begin(), text.end(), [](char c) {
           return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                  c == '-' || c == '_';
         });
}

bool is_same(std::string_view a, std::string_view b) {
  if (a.size() != b.size()) return false;
  volatile unsigned char differs = 0;
  for (std::size_t i = 0; i < a.size(); ++i) {
    differs = static_cast<unsigned char>(differs | (a[i] ^ b[i]));
  }
  return differs == 0;
}

std::optional<Response> stopped_at(const Gate& gate, const Head& head) {
  if (!is_read(head.method) && !is_write(head.method)) {
    Response response =
        fault(405, "method", "there is nothing to do with that method", head.method);
    response.fields.push_back({"Allow", "GET, HEAD, POST, PUT, PATCH, DELETE"});
    return response;
  }
  if (auto refused = foreign(gate, head)) return refused;
  if (is_write(head.method) && value_of(head, "X-Buckram") != "1") {
    return fault(403, "foreign", "a write without the field that the page sends", "X-Buckram",
                 "Send X-Buckram: 1");
  }
  if (auto welcome = welcomed(gate, head)) return welcome;
  if (is_same(cookie_of(value_of(head, "Cookie"), gate.cookie), gate.token)) return std::nullopt;
  if (head.target.starts_with("/api/")) {
    return fault(401, "no_token", "the browser has no token for this server", "", kOpenPrinted);
  }
  return Response{401, "text/plain; charset=utf-8", std::string(kOpenPrinted) + ".\n"};
}

const std::vector<Field>& fixed_fields() {
  static const std::vector<Field> fields{
      {"Content-Security-Policy",
       "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "
       "connect-src 'self'; font-src 'self'; worker-src 'self'; manifest-src 'self'; "
       "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"},
      {"X-Content-Type-Options", "nosniff"},
      {"Referrer-Policy", "no-referrer"},
      {"X-Frame-Options", "DENY"},
      {"Cross-Origin-Opener-Policy", "same-origin"},
      {"Cross-Origin-Resource-Policy", "same-origin"},
      {"Cross-Origin-Embedder-Policy", "require-corp"},
      {"Permissions-Policy", "camera=(), microphone=(), geolocation=()"}};
  return fields;
}

}  // namespace buckram::server
