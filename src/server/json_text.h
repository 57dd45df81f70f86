// JSON written by hand: texts, figures and faults. What is read is in request_body.h.
#pragma once

#include "server/message.h"

#include "base/base.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace buckram::server {

// The text as a JSON string, quotes included; bytes that are not UTF-8 as U+FFFD.
std::string text_json(std::string_view text);
std::string text_list(const std::vector<std::string>& texts);
// At most 6 significant digits; null for what is no number.
std::string figure(double value);
std::string figure(const std::optional<double>& value);
// Blanks taken out, or empty where it is no JSON.
std::string compact(const std::string& json);

// {"code","what","where","hint"}
std::string fault_json(const base::Error& error);
// {"error":{...}} with the status of its code. Faults of what was asked have status 422.
Response fault(const base::Error& error);
Response fault(int status, const char* code, const std::string& what, const std::string& where = "",
               const std::string& hint = "");
Response ok(std::string json, int status = 200);

}  // namespace buckram::server
