// Requests and answers as plain data. The HTTP library is seen by http.cpp alone.
#pragma once

#include "server/target.h"

#include <cstddef>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace buckram::server {

struct Field {
  std::string name, value;
};

// What stands before the body, as it came.
struct Head {
  std::string method, target;
  std::vector<Field> fields;
};
// Names of fields do not tell capitals from small letters (RFC 9110, section 5.1).
std::size_t count_of(const Head& head, std::string_view name);
std::string_view value_of(const Head& head, std::string_view name);  // of the first; empty: none

struct Request {
  std::string method;  // HEAD reads as GET
  Target target;
  std::string body;
  std::string if_none_match, accept_encoding;
};

struct Response {
  int status = 200;
  std::string type = "application/json";
  std::string body;
  std::span<const char> kept{};  // a body that outlives the answer, in place of `body`
  std::vector<Field> fields{};
  // An event stream in place of a body: called whenever the bell rang, until it gives nothing.
  // Empty text: no news.
  std::function<std::optional<std::string>()> events{};
};

}  // namespace buckram::server
