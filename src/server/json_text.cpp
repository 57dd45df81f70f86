#include "server/json_text.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cmath>

namespace buckram::server {
namespace {

using Json = nlohmann::ordered_json;

std::string parts_json(std::string_view code, const std::string& what, const std::string& where,
                       const std::string& hint) {
  return fmt::format(R"({{"code":{},"what":{},"where":{},"hint":{}}})", text_json(code),
                     text_json(what), text_json(where), text_json(hint));
}

}  // namespace

std::string text_json(std::string_view text) {
  return Json(std::string(text)).dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::string text_list(const std::vector<std::string>& texts) {
  std::string out = "[";
  for (const std::string& each : texts) out += (out.size() > 1 ? "," : "") + text_json(each);
  return out + "]";
}

std::string figure(double value) {
  return std::isfinite(value) ? fmt::format("{:.6g}", value) : "null";
}

std::string figure(const std::optional<double>& value) {
  return value ? figure(*value) : "null";
}

std::string compact(const std::string& json) {
  const Json root = Json::parse(json, nullptr, false);
  return root.is_discarded() ? "" : root.dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::string fault_json(const base::Error& error) {
  return parts_json(base::error_kind(error.code).name, error.what, error.where, error.hint);
}

Response fault(const base::Error& error) {
  return {base::error_kind(error.code).http_status, "application/json",
          "{\"error\":" + fault_json(error) + "}"};
}

Response fault(int status, const char* code, const std::string& what, const std::string& where,
               const std::string& hint) {
  return {status, "application/json", "{\"error\":" + parts_json(code, what, where, hint) + "}"};
}

Response ok(std::string json, int status) {
  return {status, "application/json", std::move(json)};
}

}  // namespace buckram::server
